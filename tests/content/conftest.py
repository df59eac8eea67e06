"""Reads the content as the build does, file by file, so that these tests do not need the rest of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fillmark.load import parse_yaml
from fillmark.model.card import Card
from fillmark.model.site import Table
from fillmark.model.vehicle import Vehicle

CONTENT = Path(__file__).parents[2] / "content"


def read(folder: str, model: type[Any]) -> dict[str, Any]:
    """Return {file name without ending: model} of one folder; fail on the first file that cannot be read."""
    out = {}
    for path in sorted((CONTENT / folder).rglob("*.yaml")):
        document, problems = parse_yaml(f"content/{path.relative_to(CONTENT).as_posix()}", path.read_text("utf-8"))
        assert not problems, problems
        out[path.stem] = model.model_validate_json(json.dumps(document.data))
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
