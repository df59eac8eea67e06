"""The step graph: numbers in order, predecessors that exist, no circle, waits that say what they wait for.

Steps that several jobs share come in one order, so that one drive, one lift and one lowering can serve them all.
"""

from __future__ import annotations

from itertools import pairwise
from typing import get_args

from fillmark.load import Document
from fillmark.model.card import Card, Shared, predecessors
from fillmark.model.site import Site
from fillmark.model.slot import SLOTS
from fillmark.problem import Problem, nearest

NAME = "steps"
ORDERS = 300  # sets of steps of one size that may be done


def check(site: Site) -> list[Problem]:
    return [
        problem for name, card in site.cards.items()
        for rule in (_numbers, _after, _waits, _circle, _orders, _references, _shared, _pours)
        for problem in rule(site.documents["cards", name], card)
    ]


def _numbers(document: Document, card: Card) -> list[Problem]:
    return [
        document.problem(("steps", index, "no"), "steps are numbered 1, 2, 3 … in order", expected=str(index + 1),
                         got=str(step.no), rule=NAME)
        for index, step in enumerate(card.steps) if step.no != index + 1
    ]


def _after(document: Document, card: Card) -> list[Problem]:
    out = []
    steps = {step.no: step for step in card.steps}
    for index, step in enumerate(card.steps):
        for place, (number, hands_only) in enumerate(predecessors(step)):
            path = ("steps", index, "after", place)
            if any(number == other for other, _ in predecessors(step)[:place]):
                out.append(document.problem(path, "step stands twice", expected="each step once", got=str(number),
                                            rule=NAME))
            elif number not in steps:
                out.append(document.problem(path, "no such step", expected=f"a step from 1 to {len(card.steps)}",
                                            got=str(number), rule=NAME))
            elif hands_only and not _has_wait(card, number):
                out.append(document.problem(path, f"step {number} has no wait to use", expected=str(number),
                                            got=f"{number}!", rule=NAME,
                                            hint="'!' lets a step use the wait of its predecessor"))
    return out


def _orders(document: Document, card: Card) -> list[Problem]:
    """Refuse a card whose shortest time nobody can work out: where any step may come next, each doubles the work."""
    needs = {step.no: {number for number, _ in predecessors(step)} for step in card.steps}
    done = {frozenset[int]()}
    for _ in needs:
        done = {one | {no} for one in done for no, before in needs.items() if no not in one and before <= one}
        if len(done) > ORDERS:
            return [document.problem(("steps",), "too many steps may come next", rule=NAME, got=f"{len(needs)} steps",
                                     expected="more steps with what they come after", hint="add after: to steps")]
    return []


def _has_wait(card: Card, number: int) -> bool:
    step = next(step for step in card.steps if step.no == number)
    return step.wait is not None or any(variant.wait for variant in step.variants.values())


def _waits(document: Document, card: Card) -> list[Problem]:
    out = []
    for index, step in enumerate(card.steps):
        for path, one in [(("steps", index), step)] + [
            (("steps", index, "variants", name), variant) for name, variant in step.variants.items()
        ]:
            if (one.wait is None) != (one.wait_kind is None):
                out.append(document.problem(path, "a wait needs its length and its kind", expected="wait and wait_kind",
                                            got="only one of them", rule=NAME))
    return out


def _circle(document: Document, card: Card) -> list[Problem]:
    """Strip steps whose predecessors are all stripped; what cannot be stripped goes round in a circle."""
    left = {step.no: {number for number, _ in predecessors(step)} for step in card.steps}
    while True:
        free = [number for number, before in left.items() if not before & set(left)]
        if not free:
            break
        for number in free:
            del left[number]
    if not left:
        return []
    index = next(index for index, step in enumerate(card.steps) if step.no in left)
    circle = ", ".join(str(number) for number in sorted(left))
    return [document.problem(("steps", index, "after"), "these steps wait for each other in a circle",
                             expected="an order in which every step can start", got=f"steps {circle}", rule=NAME)]


def _references(document: Document, card: Card) -> list[Problem]:
    out = []
    numbers = {step.no for step in card.steps}
    for index, hold in enumerate(card.holds):
        for place, number in enumerate(hold.blocks):
            if number not in numbers:
                out.append(document.problem(("holds", index, "blocks", place), "the hold blocks no step of this card",
                                            expected=f"a step from 1 to {len(numbers)}", got=str(number), rule=NAME))
    for index, caution in enumerate(card.cautions):
        if caution.before not in numbers:
            out.append(document.problem(("cautions", index, "before"), "the caution guards no step of this card",
                                        expected=f"a step from 1 to {len(numbers)}", got=str(caution.before),
                                        rule=NAME))
    return out


def _shared(document: Document, card: Card) -> list[Problem]:
    """Each shared step stands once and rests on the one before it; what is raised is lowered, and is what lifts."""
    out = []
    order = get_args(Shared)
    found = [(index, step) for index, step in enumerate(card.steps) if step.shared]
    before = _before(card)
    for (_, first), (index, then) in pairwise(found):
        if order.index(first.shared) >= order.index(then.shared) or first.no not in before.get(then.no, set()):
            out.append(document.problem(("steps", index, "shared"), "shared steps come once each, one after the other",
                                        expected=", then ".join(order), got=f"{first.shared}, then {then.shared}",
                                        rule=NAME))
    names = {step.shared: index for index, step in found}
    for one, other in (("raise", "lower"), ("lower", "raise")):
        if one in names and other not in names:
            out.append(document.problem(("steps", names[one], "shared"), "what is raised is lowered again",
                                        expected=f"a step that is shared as '{other}'", got="none", rule=NAME))
    for index, step in enumerate(card.steps):
        if step.shared == "raise" and not step.lifts:
            out.append(document.problem(("steps", index, "shared"), "the step that raises lifts the vehicle",
                                        expected="lifts: true", got="no lifts", rule=NAME))
    return out


def _before(card: Card) -> dict[int, set[int]]:
    """Return all that each step comes after, near and far; a circle is another rule's matter."""
    steps = {step.no: {number for number, _ in predecessors(step)} for step in card.steps}
    for _ in steps:
        steps = {no: near.union(*(steps.get(one, set()) for one in near)) for no, near in steps.items()}
    return steps


def _pours(document: Document, card: Card) -> list[Problem]:
    known = [name.removeprefix("fill.") for name in SLOTS if name.startswith("fill.")]
    return [
        document.problem(("pours", index, "fill"), "no such fill", expected=", ".join(known), got=one.fill, rule=NAME,
                         hint=nearest(one.fill, known))
        for index, one in enumerate(card.pours) if one.fill not in known
    ]
