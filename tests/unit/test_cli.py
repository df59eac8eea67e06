"""The commands, run as the doors run them: what they write, what they refuse, and their exit codes."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import get_args

import jsonschema
import pytest

from fillmark import cli, load, schema
from fillmark.model import card
from fillmark.model.vehicle import OpensBy
from fillmark.skeletons import skeleton

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def content(tmp_path: Path) -> Path:
    return Path(shutil.copytree(ROOT / "content", tmp_path / "content"))


def test_build_writes_the_site_and_says_what_it_did(
    content: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["build", "--content", str(content), "--out", str(tmp_path / "out")]) == 0
    assert (tmp_path / "out" / "cards" / "p01" / "index.html").exists()
    assert capsys.readouterr().out.startswith("load, validate, check, render, write: ")


def test_a_problem_writes_nothing_and_leaves_the_last_site(
    content: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    cli.main(["build", "--content", str(content), "--out", str(out)])
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    (content / "vehicles" / "thornback.yaml").write_text("rev: one\n", "utf-8")
    assert cli.main(["build", "--content", str(content), "--out", str(out)]) == 1
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == before
    assert capsys.readouterr().err.endswith("Nothing was written to dist/.\n")


def test_a_site_is_switched_off_by_an_option_of_the_build_which_needs_no_name(
    content: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert cli.main(["--switched-off", "--content", str(content), "--out", str(out)]) == 0
    assert "SWITCHED OFF" in capsys.readouterr().out
    assert (out / "sw.js").read_bytes() == (ROOT / "site_src/js/off.js").read_bytes()
    pages = [path.read_text("utf-8") for path in out.rglob("*.html")]
    assert len(pages) > 100 and not any("data-module=\"offline\"" in page for page in pages)


@pytest.mark.parametrize("kind", ["vehicle", "card", "calculator"])
def test_a_skeleton_passes_check_as_it_stands(
    content: Path, kind: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["new", kind, "old-blue", "--content", str(content)]) == 0
    assert cli.main(["check", "--content", str(content)]) == 0, capsys.readouterr().err


def test_the_skeleton_of_a_card_names_every_word_there_is_to_pick() -> None:
    """Its comments are all that an author sees; a guard or a kind that came later must be in them."""
    _, text = skeleton("card", "axle-breather")
    kind, phase, size = (model.model_fields[name].annotation for model, name in (
        (card.FollowUp, "kind"), (card.RecordField, "phase"), (card.Tool, "size")))
    for words in (card.Guard, card.WaitKind, card.Shared, OpensBy, kind, phase, size):
        assert get_args(words) and [word for word in get_args(words) if not re.search(rf"\b{word}\b", text)] == []
    given = set(re.findall(r"^(?:# )?(\w+):", text, re.M))
    assert set(card.Card.model_fields) - given == set(), "every key of a card is in it, as a line or a comment"


def test_new_never_overwrites_and_refuses_what_is_no_id(content: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = content / "vehicles" / "thornback.yaml"
    before = target.read_bytes()
    assert cli.main(["new", "vehicle", "thornback", "--content", str(content)]) == 1
    assert target.read_bytes() == before
    for name in ("Old Blue", "../x", "a--b", "9x"):
        assert cli.main(["new", "vehicle", name, "--content", str(content)]) == 2
    assert "is not an id" in capsys.readouterr().err


def test_unknown_commands_end_with_a_usage_line(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        cli.main(["bake"])
    assert stop.value.code == 2
    assert "usage: python3 build" in capsys.readouterr().err


def test_the_schemas_agree_with_the_content_and_refuse_a_typo(content: Path) -> None:
    """An independent validator (jsonschema, draft 2020-12) takes every file of the content by our schemas."""
    assert cli.main(["schema", "--content", str(content)]) == 0
    seen = 0
    for path, text in schema.files().items():
        shape = json.loads(text)
        jsonschema.Draft202012Validator.check_schema(shape)
        name = path.removesuffix(".schema.json")
        files = [content / f"{name}.yaml"] if (content / f"{name}.yaml").exists() else (content / name).rglob("*.yaml")
        for file in files:
            document, problems = load.parse_yaml("content/x.yaml", file.read_text("utf-8"))
            assert not problems
            errors = [error.message for error in jsonschema.Draft202012Validator(shape).iter_errors(document.data)]
            assert not errors, (file.name, errors[:3])
            assert list(jsonschema.Draft202012Validator(shape).iter_errors({**document.data, "unti": "mm"}))
            seen += 1
    assert seen >= 20
