"""data/keys/<page>.json: a key as the phone works with it; `Key` of types.d.ts."""

from __future__ import annotations

import json
from typing import Any

from fillmark.model.key import Key, Kind, Least, Question, Rule, Turn
from fillmark.model.site import Site

Json = dict[str, Any]
GRADES = "gear-oil-grades"


def files(site: Site) -> dict[str, bytes]:
    """Return {path: bytes} of every key."""
    return {f"data/keys/{one.page}.json": json.dumps(key(site, one), ensure_ascii=False, allow_nan=False,
                                                     separators=(",", ":")).encode() + b"\n"
            for one in site.keys.values()}


def key(site: Site, one: Key) -> Json:
    """Return a `Key`. Limits are as the table of grades has them, in °C and mm²/s, and only where a turn needs them."""
    graded = any(turn.least for turn in one.turns.values())
    return {
        "page": one.page, "title": one.title, "units": one.units,
        "questions": [question(name, each) for name, each in one.questions.items()],
        "kinds": [kind(name, each) for name, each in one.kinds.items()],
        "turns": [turn(site, name, each) for name, each in one.turns.items()],
        "grades": grades(site) if graded else [],
    }


def question(name: str, one: Question) -> Json:
    """Return a `KeyQuestion`; an answer that names nothing else stands for its own id."""
    return {
        "id": name, "short": one.short, "ask": one.ask, "how": one.how or "", "entry": one.entry, "proof": one.proof,
        "check": one.check or "",
        "options": [{"id": option, "label": answer.label, "fits": list(answer.fits or (option,))}
                    for option, answer in one.options.items()],
        "cautions": [{"severity": each.severity, "says": each.says} for each in one.cautions],
    }


def kind(name: str, one: Kind) -> Json:
    """Return a `KeyKind`."""
    outline = one.outline.model_dump(exclude_none=True) if one.outline else None
    return {"id": name, "title": one.title, "says": one.says, "card": one.card or "",
            "facts": {asked: list(values) for asked, values in one.facts.items()}, "outline": outline}


def turn(site: Site, name: str, one: Turn) -> Json:
    """Return a `KeyTurn`."""
    return {"id": name, "title": one.title, "asks": list(one.asks), "rules": [rule(each) for each in one.rules],
            "notes": [rule(each) for each in one.notes], "least": [least(site, each) for each in one.least]}


def rule(one: Rule) -> Json:
    """Return a `KeyRule`."""
    return {"when": {name: list(values) for name, values in one.when.items()}, "verdict": one.verdict,
            "gives": one.gives or "", "says": one.says, "source": one.source, "state": one.state}


def least(site: Site, one: Least) -> Json:
    """Return a `KeyLeast`, its temperature in °C."""
    upto = site.units.convert(one.upto.value, one.upto.unit, "°C") if one.upto else None
    return {"load": one.load, "upto": upto, "grade": one.grade, "says": one.says, "source": one.source,
            "state": one.state}


def grades(site: Site) -> list[Json]:
    """Return the `KeyGrade`s of the table, a limit that it does not have as null."""
    table = site.tables.get(GRADES)
    if not table:
        return []
    units = {column.id: column.unit or "1" for column in table.columns}

    def number(cells: dict[str, str | int | float], name: str, unit: str) -> float | None:
        cell = cells[name]
        if isinstance(cell, str):
            return None
        return round(site.units.convert(cell, units[name], unit), 9)

    return [{"grade": str(row.cells["grade"]), "cold": number(row.cells, "cold", "°C"),
             "thin": number(row.cells, "thin", "mm²/s"), "thick": number(row.cells, "thick", "mm²/s")}
            for row in table.rows]
