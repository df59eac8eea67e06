"""Reads the content as the build does, file by file, so that these tests do not need the rest of it."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from fillmark import validate
from fillmark.load import parse_yaml
from fillmark.model.card import Card
from fillmark.model.site import Table
from fillmark.model.vehicle import Vehicle

CONTENT = Path(__file__).parents[2] / "content"


@lru_cache
def named() -> dict[str, Any]:
    """Return the cautions and record fields that cards name."""
    top = {}
    for name in ("cautions", "fields"):
        document, _ = parse_yaml(f"content/{name}.yaml", (CONTENT / f"{name}.yaml").read_text("utf-8"))
        top[name], _ = validate.shape(document, validate.TOP[name])
    return validate.shared(top)


def read(folder: str, model: type[Any]) -> dict[str, Any]:
    """Return {file name without ending: model} of one folder; fail on the first file that cannot be read."""
    out = {}
    for path in sorted((CONTENT / folder).rglob("*.yaml")):
        document, problems = parse_yaml(f"content/{path.relative_to(CONTENT).as_posix()}", path.read_text("utf-8"))
        out[path.stem], wrong = validate.shape(document, model, named())
        assert not problems + wrong, problems + wrong
    assert out, f"no file in {folder}"
    return out


@pytest.fixture(scope="session")
def cards() -> dict[str, Card]:
    """The cards by number, such as P01."""
    return {card.no: card for card in read("cards", Card).values()}


@pytest.fixture(scope="session")
def tables() -> dict[str, Table]:
    """The reference tables by id."""
    return read("tables", Table)


@pytest.fixture(scope="session")
def garage() -> dict[str, Vehicle]:
    """The vehicles by id."""
    return read("vehicles", Vehicle)


@pytest.fixture(scope="session")
def safety_page() -> str:
    return (CONTENT / "pages" / "safety.md").read_text("utf-8")
