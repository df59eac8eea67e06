"""dist/ is swapped as a whole or left alone, and what goes into it is checked first."""

from __future__ import annotations

from pathlib import Path

import pytest

from fillmark import write

OLD = {"sw.js": b"old", "index.html": b"old", "gone/index.html": b"old"}
NEW = {"sw.js": b"new", "index.html": b"new", "a/b/index.html": b"new"}


def held(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_swap_leaves_exactly_the_new_files_and_nothing_beside(tmp_path: Path) -> None:
    write.swap(OLD, tmp_path / "dist")
    write.swap(NEW, tmp_path / "dist")
    assert held(tmp_path / "dist") == NEW
    assert [p.name for p in tmp_path.iterdir()] == ["dist"]


def test_swap_takes_over_after_a_run_that_was_killed(tmp_path: Path) -> None:
    write.swap(OLD, tmp_path / "dist")
    for left in ("dist.new", "dist.old"):
        (tmp_path / left / "half").mkdir(parents=True)
    write.swap(NEW, tmp_path / "dist")
    assert held(tmp_path / "dist") == NEW
    assert [p.name for p in tmp_path.iterdir()] == ["dist"]


def test_swap_that_fails_while_writing_leaves_the_old_site(tmp_path: Path) -> None:
    write.swap(OLD, tmp_path / "dist")
    clash = {"sw.js": b"new", "a": b"a file", "a/index.html": b"below a file"}
    with pytest.raises(OSError):
        write.swap(clash, tmp_path / "dist")
    assert held(tmp_path / "dist") == OLD


def test_swap_puts_the_old_site_back_when_the_second_rename_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write.swap(OLD, tmp_path / "dist")
    rename = Path.rename

    def refuse(self: Path, target: Path) -> Path:
        if self.name == "dist.new":
            raise PermissionError("in use")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse)
    with pytest.raises(PermissionError):
        write.swap(NEW, tmp_path / "dist")
    assert held(tmp_path / "dist") == OLD


def test_swap_refuses_a_folder_that_is_not_ours(tmp_path: Path) -> None:
    theirs = tmp_path / "photos"
    theirs.mkdir()
    (theirs / "axle.jpg").write_bytes(b"mine")
    with pytest.raises(FileExistsError, match="not a site that Fillmark wrote"):
        write.swap(NEW, theirs)
    assert held(theirs) == {"axle.jpg": b"mine"}
    assert [p.name for p in tmp_path.iterdir()] == ["photos"]


def test_swap_fills_an_empty_folder(tmp_path: Path) -> None:
    (tmp_path / "dist").mkdir()
    write.swap(NEW, tmp_path / "dist")
    assert held(tmp_path / "dist") == NEW


def site(body: str, path: str = "cards/p01/index.html", **more: bytes) -> dict[str, bytes]:
    """A site that is right but for `body`, the content of one page."""
    right = b'<!doctype html><p id="top"><a href="cards/p01/">card</a>'
    return {"sw.js": b"", "index.html": right, "cards/p01/index.html": b"", path: body.encode(),
            "css/site.css": b"", "js/main.js": b"", "js/ui/offline.js": b"", **more}


GOOD = [
    '<a href="../../">home</a>',
    '<a href="./">here</a>',
    '<a href="../../#top">an id of another page</a>',
    '<a href="?x=1#a"></a><i id="a"></i>',
    '<a href="https://example.org/x">out</a>',
    '<a href="mailto:a@example.org">out</a>',
    '<img src="data:image/png;base64,AAAA" alt="">',
    '<link rel="stylesheet" href="../../css/site.css"><script type="module" src="../../js/main.js"></script>',
    '<svg><use href="#a"/><g id="a"/></svg>',
    '<span data-module="offline"></span>',
]


@pytest.mark.parametrize("body", GOOD)
def test_output_that_is_right(body: str) -> None:
    assert write.check_output(site(body)) == []


BAD = [
    ('<a href="../p02/">', "leads to nothing in the site"),
    ('<a href="../p01">slash-less: a redirect at the host, a dead page offline</a>', "leads to nothing in the site"),
    ('<a href="index.html">', "not the page's own address"),
    ('<a href="../../../">', "leads out of the site"),
    ('<a href="/cards/p01/">', "absolute address"),
    ('<a href="#none">', "no element with this id in cards/p01/index.html"),
    ('<a href="../../#none">', "no element with this id in index.html"),
    ('<img src="https://example.org/x.png">', "request to another host"),
    ('<img src="//example.org/x.png">', "request to another host"),
    ('<link rel="icon" href="https://example.org/x.ico">', "request to another host"),
    ('<a href="javascript:void 0">', "request to another host"),
    ('<script src="../../js/none.js"></script>', "leads to nothing in the site"),
    ("<script>1</script>", "refuses an inline <script>"),
    ("<style>p{}</style>", "refuses an inline <style>"),
    ('<p style="color:red">', "refuses the attribute `style` on <p>"),
    ('<p onclick="x()">', "refuses the attribute `onclick` on <p>"),
    ('<i id="a"></i><i id="a"></i>', "id stands twice in the page: a"),
    ('<img srcset="x.png 2x">', "srcset is not used here"),
    ('<p data-module="none">', "there is no js/ui/none.js"),
]


@pytest.mark.parametrize(("body", "said"), BAD)
def test_output_that_is_wrong_is_one_problem_with_its_place(body: str, said: str) -> None:
    problems = write.check_output(site("\n" + body))
    assert [said in p.message for p in problems] == [True], problems
    assert (problems[0].file, problems[0].line, problems[0].rule) == ("cards/p01/index.html", 2, "output")
    assert problems[0].column >= 1


def test_a_script_that_imports_nothing_there_is_a_problem() -> None:
    more = {"js/ui/offline.js": b"import { a } from './none.js';\nimport('../main.js');\n"}
    problems = write.check_output(site("", **more))
    assert [(p.file, p.got) for p in problems] == [("js/ui/offline.js", "./none.js")]


def test_a_type_named_in_a_note_is_no_import() -> None:
    more = {"js/ui/offline.js": b"/** @typedef {import('../types.js').Event} Event */\nimport '../main.js'\n"}
    assert write.check_output(site("", **more)) == []


def test_a_site_without_its_worker_is_a_problem() -> None:
    files = site("")
    del files["sw.js"]
    assert [p.message for p in write.check_output(files)] == ["the site has no service worker"]


@pytest.mark.parametrize(
    ("page", "link", "target"),
    [
        ("index.html", "./", "index.html"),
        ("index.html", "", "index.html"),
        ("index.html", "cards/", "cards/index.html"),
        ("a/b/index.html", "../../", "index.html"),
        ("a/b/index.html", "../..", "index.html"),
        ("a/b/index.html", "..", "a/index.html"),
        ("a/b/index.html", "../c/x.js", "a/c/x.js"),
        ("a/index.html", "../../x/", "../x/index.html"),
    ],
)
def test_resolve(page: str, link: str, target: str) -> None:
    assert write.resolve(page, link) == target
