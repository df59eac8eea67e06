"""A card as a whole: its number, its sub-cards, its choice."""

from __future__ import annotations

from fillmark.load import Document
from fillmark.model import tools
from fillmark.model.card import Card
from fillmark.model.site import Site
from fillmark.problem import Problem, nearest

NAME = "cards"


def check(site: Site) -> list[Problem]:
    out: list[Problem] = []
    numbers: dict[str, str] = {}
    for name, card in site.cards.items():
        document = site.documents["cards", name]
        if card.no in numbers:
            out.append(document.problem(("no",), "card number is taken", expected="a number of its own", got=card.no,
                                        hint=f"'{numbers[card.no]}' has it", rule=NAME))
        numbers.setdefault(card.no, name)
        out += _includes(site, document, card) + _choice(document, card)
        out += _work_out(site, document, card)
    return out


def _includes(site: Site, document: Document, card: Card) -> list[Problem]:
    return [
        document.problem((key, index), "unknown sub-card", expected="the id of a card with sub: true", got=name,
                         hint=nearest(name, list(site.cards)), rule=NAME)
        for key, listed in (("includes", card.includes), ("see", card.see))
        for index, name in enumerate(listed) if name not in site.cards or not site.cards[name].sub
    ]


def _work_out(site: Site, document: Document, card: Card) -> list[Problem]:
    known = list(tools.every(site))
    return [
        document.problem(("work_out", index), "no such page to work out", expected="the id of a calculator", got=name,
                         hint=nearest(name, known), rule=NAME)
        for index, name in enumerate(card.work_out) if name not in known
    ]


def _choice(document: Document, card: Card) -> list[Problem]:
    out = []
    options = set(card.choice.options) if card.choice else set()
    for index, step in enumerate(card.steps):
        if step.variants and set(step.variants) != options:
            out.append(document.problem(
                ("steps", index, "variants"), "the step's variants are not the options of the card's choice",
                expected=", ".join(sorted(options)) or "no variants, since the card has no choice",
                got=", ".join(sorted(step.variants)), rule=NAME))
        if not step.variants and (step.do is None or step.hands is None):
            out.append(document.problem(("steps", index), "a step without variants needs 'do' and 'hands'",
                                        expected="do and hands", got="neither" if step.do is None else "no hands",
                                        rule=NAME))
    if card.choice and not any(step.variants for step in card.steps):
        out.append(document.problem(("choice",), "the choice changes no step", expected="a step with variants",
                                    got="none", rule=NAME))
    return out
