"""A card as a whole: its number, its sub-cards, its choice, its words."""

from __future__ import annotations

import re

from fillmark.load import Document
from fillmark.model import tools
from fillmark.model.card import SLOT, Card, texts
from fillmark.model.site import Site
from fillmark.problem import Problem, nearest

NAME = "cards"
# A litre or newton-metre figure in a card's text is some vehicle's: it belongs in the vehicle's file.
VEHICLE_NUMBER = re.compile(
    r"\d[\d.,]*\s*(?:L\b|N·m|Nm\b|lb·ft|lb·in|lbf|US qt|US pt|imp pt|imp qt|pints?\b|quarts?\b|lit(?:re|er)s?\b)"
)
SENTENCE_END = re.compile(r"[.!?](?:\s|$)")


def check(site: Site) -> list[Problem]:
    out: list[Problem] = []
    numbers: dict[str, str] = {}
    for name, card in site.cards.items():
        document = site.documents["cards", name]
        if card.no in numbers:
            out.append(document.problem(("no",), "card number is taken", expected="a number of its own", got=card.no,
                                        hint=f"'{numbers[card.no]}' has it", rule=NAME))
        numbers.setdefault(card.no, name)
        out += _includes(site, document, card) + _choice(document, card) + _words(document, card)
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


def _words(document: Document, card: Card) -> list[Problem]:
    out = []
    for path, text in texts(card):
        number = VEHICLE_NUMBER.search(SLOT.sub("", text))
        if number:
            out.append(document.problem(path, "a card never carries a vehicle's number",
                                        expected="a slot such as {fill.refill}", got=number[0], rule=NAME,
                                        hint="put the number into the vehicle's file and the slot here"))
        sentences = len(SENTENCE_END.findall(text))
        if path[0] == "steps" and sentences > 2:
            out.append(document.problem(path, "a step says at most two sentences", expected="one or two sentences",
                                        got=f"{sentences}", hint="split the step", rule=NAME))
    return out
