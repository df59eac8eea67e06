"""How a step reads under a vehicle: what to do first, short, at most two sentences, and no number of any vehicle."""

from __future__ import annotations

import re

from fillmark.load import Document, Path_
from fillmark.model.card import SLOT, Card, texts
from fillmark.model.site import Site
from fillmark.model.verbs import LEAD_INS, VERBS
from fillmark.problem import Problem, nearest

NAME = "style"
SENTENCES = 2
WORDS = 32
# A litre or newton-metre figure in a card's text is some vehicle's: it belongs in the vehicle's file.
VEHICLE_NUMBER = re.compile(
    r"\d[\d.,]*\s*(?:L\b|N·m|Nm\b|lb·ft|lb·in|lbf|US qt|US pt|imp pt|imp qt|pints?\b|quarts?\b|lit(?:re|er)s?\b)"
)
BREAK = re.compile(r"(?<=[.!?])\s+")


def check(site: Site) -> list[Problem]:
    return [
        problem for name, card in site.cards.items() for path, text in texts(card)
        for problem in _text(site.documents["cards", name], card, path, text)
    ] + [
        problem for name, guide in site.guides.items() for ladder_id, ladder in guide.ladders.items()
        for at, rung in enumerate(ladder.rungs)
        for problem in _step(site.documents["guides", name], ("ladders", ladder_id, "rungs", at, "do"), rung.do)
    ]


def _text(document: Document, card: Card, path: Path_, text: str) -> list[Problem]:
    out = []
    number = VEHICLE_NUMBER.search(SLOT.sub("", text))
    if number:
        out.append(document.problem(path, "a card never carries a vehicle's number",
                                    expected="a slot such as {fill.refill}", got=number[0], rule=NAME,
                                    hint="put the number into the vehicle's file and the slot here"))
    said = SLOT.sub("slot", text)
    for word in ("!", "please"):
        if word in said.lower():
            out.append(document.problem(path, "a card does not call or beg", expected=f"the text without '{word}'",
                                        got=word, rule=NAME))
    return out + (_step(document, path, said) if path[0] == "steps" else [])


def _step(document: Document, path: Path_, said: str) -> list[Problem]:
    out = []
    sentences = BREAK.split(said)
    if len(sentences) > SENTENCES:
        out.append(document.problem(path, "a step says at most two sentences", expected="one or two sentences",
                                    got=f"{len(sentences)}", hint="split the step", rule=NAME))
    for sentence in sentences:
        length = len(sentence.split())
        if length > WORDS:
            out.append(document.problem(path, "a sentence is too long to hold while the hands are busy",
                                        expected=f"at most {WORDS} words, a slot counts one", got=f"{length} words",
                                        hint="split it", rule=NAME))
    if not said.endswith("."):
        out.append(document.problem(path, "a step ends with a full stop", expected="…", got=said[-20:], rule=NAME))
    first = re.split(r"[\s,]", said, maxsplit=1)[0].lower()
    if first not in VERBS | LEAD_INS:
        out.append(document.problem(path, "a step begins with what to do", expected="a verb, or when or where to do it",
                                    got=said.split()[0], hint=nearest(first, sorted(VERBS | LEAD_INS)), rule=NAME))
    return out
