"""The holds and cautions that a card may not lack, because of what its steps do.

A card that opens an oil space proves the fill plug first. A card that lifts carries the support sub-card, a support
hold on what follows, and the crush DANGER before the lift.
"""

from __future__ import annotations

from fillmark.load import Document
from fillmark.model.card import Card, predecessors
from fillmark.model.site import Site
from fillmark.problem import Problem

NAME = "holds"
SUPPORT_CARD = "lift-and-support"


def check(site: Site) -> list[Problem]:
    return [
        problem for name, card in site.cards.items() for rule in (_opens, _lifts)
        for problem in rule(site.documents["cards", name], card)
    ]


def before(card: Card, number: int) -> set[int]:
    """Return the numbers of all steps that must be over before step `number`."""
    direct = {step.no: {one for one, _ in predecessors(step)} for step in card.steps}
    found: set[int] = set()
    fresh = set(direct.get(number, ()))
    while fresh:
        found |= fresh
        fresh = {after for one in fresh for after in direct.get(one, ())} - found
    return found


def _opens(document: Document, card: Card) -> list[Problem]:
    opening = [(index, step) for index, step in enumerate(card.steps) if step.opens]
    if not opening:
        return []
    out = []
    proving = {step.no for step in card.steps if step.proves_fill}
    blocked = {number for hold in card.holds if hold.guard == "fill-plug-first" for number in hold.blocks}
    for index, step in opening:
        if step.no not in blocked:
            out.append(document.problem(
                ("steps", index, "opens"), f"no hold keeps step {step.no} shut until the fill plug is out",
                expected=f"a hold with guard: fill-plug-first that blocks {step.no}",
                got=f"blocked are {sorted(blocked)}" if blocked else "no such hold", rule=NAME))
        if not proving & before(card, step.no):
            out.append(document.problem(
                ("steps", index, "after"), f"step {step.no} lets oil out before any step proves the fill plug",
                expected="a step with proves_fill: true among those that come before",
                got=f"proving steps {sorted(proving)}" if proving else "none", rule=NAME))
    return out


def _lifts(document: Document, card: Card) -> list[Problem]:
    lifting = [(index, step) for index, step in enumerate(card.steps) if step.lifts]
    if not lifting:
        return []
    out = []
    first_index, first = lifting[0]
    path = ("steps", first_index, "lifts")
    if not card.sub and SUPPORT_CARD not in card.includes:
        out.append(document.problem(path, "a card that lifts the vehicle needs the support sub-card",
                                    expected=f"includes: [{SUPPORT_CARD}]", got=str(list(card.includes)), rule=NAME))
    guarded = {number for hold in card.holds if hold.guard == "support" for number in hold.blocks}
    later = {step.no for step in card.steps if first.no in before(card, step.no)}
    holding = guarded & later
    # Every way on from the lift leads through the hold. The support card itself sets the stands between the two.
    past = {number for number in later - holding if not before(card, number) & holding}
    if (later and not holding) or (past and not card.sub):
        out.append(document.problem(path, "no hold keeps the work underneath shut until the stands carry the weight",
                                    expected="a hold with guard: support on the steps that follow the lift",
                                    got=f"blocked are {sorted(guarded)}", rule=NAME))
    if not any(one.severity == "danger" and one.topic == "support" and one.before <= first.no for one in card.cautions):
        out.append(document.problem(path, "the crush DANGER is missing before the lift",
                                    expected=f"a caution: danger, topic support, before {first.no} or earlier",
                                    got="none", rule=NAME))
    return out
