"""The cautions that a card may not lack, because of what its steps do and say; and how bad each may be called."""

from __future__ import annotations

import re
from collections.abc import Iterator

from fillmark.load import Document
from fillmark.model.card import Card, Step
from fillmark.model.hazards import CLOTHS, NEEDS, SEVERITIES, WHEEL, Need
from fillmark.model.site import Site
from fillmark.problem import Problem, nearest, one_of

NAME = "hazards"
SUPPORT_CARD = "lift-and-support"  # its own checks are in holds.py; it lifts and nobody is beneath yet
LEAD = re.compile(r"(danger|warning|caution|notice)\b", re.I)


def check(site: Site) -> list[Problem]:
    return [
        problem for name, card in site.cards.items() for rule in (_called, _missing, _stops)
        for problem in rule(name, site.documents["cards", name], card)
    ]


def _called(_name: str, document: Document, card: Card) -> list[Problem]:
    out = []
    for index, one in enumerate(card.cautions):
        allowed = SEVERITIES.get(one.topic)
        if allowed is None:
            known = list(SEVERITIES)
            out.append(document.problem(("cautions", index, "topic"), "unknown hazard", expected=one_of(known),
                                        got=one.topic, hint=nearest(one.topic, known), rule=NAME))
        elif one.severity not in allowed:
            out.append(document.problem(("cautions", index, "severity"), f"'{one.topic}' is not called so",
                                        expected=one_of(list(allowed)), got=one.severity, rule=NAME))
        if LEAD.match(one.says):
            out.append(document.problem(("cautions", index, "says"), "the page prints the word of severity itself",
                                        expected="the hazard first", got=one.says[:40], rule=NAME))
    return out


def _missing(name: str, document: Document, card: Card) -> list[Problem]:
    out = []
    asked: set[tuple[str, str]] = set()
    for index, need in _needs(card):
        number = card.steps[index].no
        there = [one for one in card.cautions if one.topic == need.topic and one.severity == need.severity]
        if name == SUPPORT_CARD or (need.topic, need.severity) in asked:
            continue
        if any(need.anywhere or one.before <= number for one in there):
            continue
        asked.add((need.topic, need.severity))
        where = "" if need.anywhere else f", before {number} or earlier"
        out.append(document.problem(
            ("steps", index), f"a {need.severity} is missing: {need.why}",
            expected=f"a caution: {need.severity}, topic {need.topic}{where}",
            got=f"before {min(one.before for one in there)}" if there else "none", rule=NAME))
    return out


def _needs(card: Card) -> Iterator[tuple[int, Need]]:
    """Yield what each step asks for, with the index of the step, the first one first."""
    texts = [" ".join([step.do or "", *(way.do for way in step.variants.values())]) for step in card.steps]
    for index, step in enumerate(card.steps):
        for need in NEEDS:
            if _does(step, need.flag) or need.met_by(texts[index]) or set(card.applies.kinds) <= set(need.kinds):
                yield index, need
    if "wheel" in card.torque:
        yield len(card.steps) - 1, WHEEL
    wet = any(step.opens for step in card.steps) or any(need.topic == "solvent" for _, need in _texts(texts))
    if wet and re.search(r"\bcloths?\b", " ".join([*texts, *card.parts]), re.I):
        yield len(card.steps) - 1, CLOTHS


def _texts(texts: list[str]) -> Iterator[tuple[int, Need]]:
    return ((index, need) for index, text in enumerate(texts) for need in NEEDS if need.met_by(text))


def _does(step: Step, flag: str) -> bool:
    return {"lifts": step.lifts, "opens": step.opens}.get(flag, False)


def _stops(_name: str, document: Document, card: Card) -> list[Problem]:
    """A card that lifts or lets oil out says when it is a workshop's work, among other things on another's vehicle."""
    risky = any(step.lifts or step.opens for step in card.steps) and not card.sub
    if not risky or any("another person" in text for text in card.stop):
        return []
    return [document.problem(("stop",), "the card does not say whose vehicle it is not for",
                             expected="a line on a vehicle that is another person's, for hire or due for inspection",
                             got=f"{len(card.stop)} other lines", rule=NAME)]
