"""Every slot of a card is a number that the model knows, and every card finds a unit to be for."""

from __future__ import annotations

from fillmark.load import Document, Path_
from fillmark.model.card import SLOT, texts
from fillmark.model.match import units_for
from fillmark.model.site import Site
from fillmark.model.slot import FILLS, SLOTS
from fillmark.problem import Problem, nearest, one_of

NAME = "slots"


def check(site: Site) -> list[Problem]:
    out: list[Problem] = []
    for name, card in site.cards.items():
        document = site.documents["cards", name]
        for path, text in texts(card):
            for match in SLOT.finditer(text):
                out += _known(document, path, match[1], list(SLOTS))
        for index, slot in enumerate(card.capacity):
            out += _known(document, ("capacity", index), slot, [*FILLS, "level.rule"])
        for index, step in enumerate(card.steps):
            for place, slot in enumerate(step.shows):
                out += _known(document, ("steps", index, "shows", place), slot, list(SLOTS))
        if not units_for(card, site.vehicles):
            out.append(document.problem(("applies",), "no unit of any vehicle fits this card",
                                        expected="a kind (and opens_by) that a unit has",
                                        got=", ".join(card.applies.kinds), rule=NAME))
    return out


def _known(document: Document, path: Path_, slot: str, known: list[str]) -> list[Problem]:
    if slot in known:
        return []
    return [document.problem(path, "unknown slot", expected=one_of(known), got=slot, hint=nearest(slot, known),
                             rule=NAME)]
