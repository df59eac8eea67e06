"""What a card reads and tightens: fields that exist, holds that can be judged, readings that can say stop.

The phone judges a hold by its readings. A hold that asks for none of them could be ticked by a thumb in a hurry.
"""

from __future__ import annotations

from collections.abc import Iterator

from fillmark.load import Document, Path_
from fillmark.model.card import Card
from fillmark.model.site import Site
from fillmark.problem import Problem, nearest, one_of

NAME = "reads"
# What each kind of hold is judged by. The reason why litres differ, and the rest, may be read as well.
JUDGED_BY = {
    "count": ("cloths-in", "cloths-out"),
    "dry": ("air-temp", "humidity", "metal-temp"),
    "reconcile": ("volume-in",),
}
LEVEL_FOUND = "level-found"
# Signs of wear or water, on which the right answer can be to stop.
SIGNS = {"magnet", "water", "teeth", "studs", "warmth", "leak-grade"}


def check(site: Site) -> list[Problem]:
    return [
        problem for name, card in site.cards.items()
        for rule in (_fields, _tightens, _holds, _level, _signs, _conditions)
        for problem in rule(site.documents["cards", name], card)
    ]


def _lists(card: Card) -> Iterator[tuple[Path_, tuple[str, ...]]]:
    yield from ((("steps", index, "reads"), step.reads) for index, step in enumerate(card.steps))
    yield from ((("holds", index, "reads"), hold.reads) for index, hold in enumerate(card.holds))


def _fields(document: Document, card: Card) -> list[Problem]:
    known = [field.id for field in card.record]
    return [
        document.problem((*path, place), "no such field in the record", expected=one_of(known) if known else
                         "a field of the card's record, which is empty", got=name, hint=nearest(name, known), rule=NAME)
        for path, listed in _lists(card) for place, name in enumerate(listed) if name not in known
    ]


def _tightens(document: Document, card: Card) -> list[Problem]:
    out = []
    for index, step in enumerate(card.steps):
        if step.tightens and step.tightens not in card.torque:
            out.append(document.problem(("steps", index, "tightens"), "the card has no torque for this group",
                                        expected=one_of(card.torque) if card.torque else "a group of the card's torque",
                                        got=step.tightens, hint=f"add it: torque: [{step.tightens}]", rule=NAME))
        if step.part != "all" and not step.tightens:
            out.append(document.problem(("steps", index, "part"), "a part of the tightening, but nothing is tightened",
                                        expected="tightens: and a group", got=f"part: {step.part}", rule=NAME))
    return out


def _holds(document: Document, card: Card) -> list[Problem]:
    out = []
    for index, hold in enumerate(card.holds):
        wanted = JUDGED_BY.get(hold.guard, ())
        if not set(wanted) <= set(hold.reads):
            out.append(document.problem(
                ("holds", index, "reads") if hold.reads else ("holds", index, "guard"),
                f"a hold with guard {hold.guard} cannot be judged without its readings",
                expected=f"reads: [{', '.join(wanted)}]", got=_shown(hold.reads), rule=NAME))
    return out


def _shown(listed: tuple[str, ...]) -> str:
    return f"[{', '.join(listed)}]" if listed else "no reads"


def _level(document: Document, card: Card) -> list[Problem]:
    if LEVEL_FOUND not in {field.id for field in card.record}:
        return []
    return [
        document.problem(("steps", index, "proves_fill"), "the fill plug is out, and the level found is not read",
                         expected=f"reads: [{LEVEL_FOUND}] at step {step.no}",
                         got=_shown(step.reads), rule=NAME)
        for index, step in enumerate(card.steps) if step.proves_fill and LEVEL_FOUND not in step.reads
    ]


def _signs(document: Document, card: Card) -> list[Problem]:
    out = []
    for index, field in enumerate(card.record):
        if field.id in SIGNS and field.options and not any(option.stop for option in field.options):
            out.append(document.problem(("record", index, "options"), f"no reading of '{field.id}' says stop",
                                        expected="an option with stop: true", got=", ".join(field.words), rule=NAME))
        for place, option in enumerate(field.options):
            if option.stop and not (option.means or "").startswith("Stop."):
                out.append(document.problem(("record", index, "options", place), "stop without a word of what to do",
                                            expected="means: Stop. … Turn to …", got=option.means or "no means",
                                            rule=NAME))
    return out


def _conditions(document: Document, card: Card) -> list[Problem]:
    return [
        document.problem(("follow_ups", index), "a condition needs its words and its name",
                         expected="only_if: in words, and if: limited-slip or wet-or-glittery",
                         got="only_if alone" if one.only_if else "if alone", rule=NAME)
        for index, one in enumerate(card.follow_ups) if (one.only_if is None) != (one.condition is None)
    ]
