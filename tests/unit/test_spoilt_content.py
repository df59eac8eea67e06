"""Spoilt content: a build refuses it with the place, or shows it as text; a sample of `tests/bench/fuzz.py`."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import spoil_content
from fillmark import load, pipeline, text
from fillmark.model.routes import TAKEN
from fillmark.problem import Problem, render_one
from harness import ROOT
from small_garage import good_garage
from spoil_builds import Page, Spoiler, wrong_in


@pytest.fixture(scope="module")
def spoiler(tmp_path_factory: pytest.TempPathFactory) -> Spoiler:
    return Spoiler(good_garage(tmp_path_factory.mktemp("spoilt")))


def test_spoilt_content_is_refused_with_its_place_or_stands_as_text(spoiler: Spoiler) -> None:
    for seed in range(40):
        spoiler.build(seed)
    assert not spoiler.faults, "\n".join(spoiler.faults)
    assert {came for _, came in spoiler.kinds} == {"refused", "built"}


@pytest.mark.parametrize("kind", spoil_content.KINDS)
def test_every_way_of_spoiling_does_something(
    kind: str, spoiler: Spoiler, monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(spoil_content, "ODDS", [kind])
    said, changed = spoil_content.spoilt(spoiler.good, 1)
    assert said.startswith(kind) and any(body != spoiler.good.get(name) for name, body in changed.items())


@pytest.mark.parametrize("said", [
    "<script>x</script>", "<b onclick='x'>", "<a href='java&#10;script:x'>", "<iframe></iframe>", "<i zqx=1>",
    "<!-- x -->", "<meta http-equiv=refresh content=0>", "<img src='javascript:x'>", "<p style='x'>", "<?x ?>",
])
def test_the_judge_sees_what_may_not_be(said: str, spoiler: Spoiler) -> None:
    page = spoiler.clean["index.html"].replace(b"</main>", said.encode() + b"</main>")
    assert list(wrong_in({"index.html": page}, spoiler.most, spoiler.clean))


def test_the_judge_sees_text_that_became_code(spoiler: Spoiler) -> None:
    for path, more in (("js/data/units.js", b"zqx()"), ("js/data/units.js", b"({__proto__:1})"), ("../x.html", b"")):
        body = spoiler.clean.get(path, b"") + more
        assert list(wrong_in({path: body}, spoiler.most, spoiler.clean)), path


def test_raw_html_is_text_even_where_no_check_has_refused_it() -> None:
    from fillmark.render.pages import prose_html

    for said in spoil_content.RAW:
        page = Page(prose_html(said, "../").encode())
        assert not page.wrong and page.tags.keys() <= {"p", "em", "pre", "code", "blockquote"}, said


def test_a_link_out_of_the_content_is_not_followed(tmp_path: Path) -> None:
    content = good_garage(tmp_path)
    secret = tmp_path / "secret.md"
    secret.write_text("# Secret\n\nThe key of the shed.\n")
    (content / "pages/about.md").unlink()
    (content / "pages/about.md").symlink_to(secret)
    outcome = pipeline.run(content, ROOT / "site_src", None)
    assert [(one.file, one.message) for one in outcome.problems] == [
        ("content/pages/about.md", "file is a link that leads out of the content"),
        ("content/pages/about.md", "file is missing")]


def test_a_file_may_not_be_larger_than_can_be_read_in_time(tmp_path: Path) -> None:
    content = good_garage(tmp_path)
    (content / "pages/about.md").write_text("# About\n" + "x" * text.LARGEST)
    assert "file is too large" in {one.message for one in pipeline.run(content, ROOT / "site_src", None).problems}


def test_a_windows_file_reads_as_any_other(tmp_path: Path) -> None:
    plain = load.read(ROOT / "content", ROOT / "site_src")
    folder = Path(shutil.copytree(ROOT / "content", tmp_path / "content"))
    for path in folder.rglob("*.*"):
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    windows = load.read(folder, ROOT / "site_src")
    assert windows.documents == plain.documents and windows.prose == plain.prose and not windows.problems


def test_a_report_obeys_no_character_of_the_content() -> None:
    said = render_one(Problem("content/\x1b[2Ja.yaml", 1, 1, "", "wrong", got="\u202e26",
                              source_line="\x07" + "x" * 900))
    assert said.startswith("content/\\u001b[2Ja.yaml") and "\\u202e26" in said and "\\u0007xxx" in said
    assert max(map(len, said.splitlines())) < 600


def test_every_folder_of_the_site_is_taken(dist: Path) -> None:
    pages = {path.stem for path in (ROOT / "content/pages").glob("*.md")}
    assert {path.name for path in dist.iterdir() if path.is_dir()} - pages <= TAKEN
    assert not pages & TAKEN
