"""content/keys/<id>.yaml: a key. It asks what can be seen, in any order, and leads to a unit, a kind or an oil.

A key with `kinds` is held against what is written down of each kind and, where it is for `units`, of the owner's own
units. A key with `turns` goes by rules: the first rule that fits decides the turn, and names its source.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, StringConstraints, ValidationInfo

from fillmark.model.amount import Frozen, Origin, Temperature
from fillmark.model.card import CautionText, Sentence
from fillmark.model.vehicle import Id, Outline, Text
from fillmark.problem import nearest

CardNo = Annotated[str, StringConstraints(pattern=r"^P[0-9]{2}$")]
Entry = Literal["pick", "count", "text", "turns", "teeth", "grade", "temperature"]
# What an answer proves: `settles`, a count or a tag that hardly two units share; `helps`; `place`, where it sits, which
# proves nothing, since axles are swapped.
Proof = Literal["settles", "helps", "place"]
Verdict = Literal["buy", "approval", "manual", "part-of-fill", "none", "fits", "stop", "note", "open"]


def _worded(raw: Any, info: ValidationInfo) -> Any:
    if not isinstance(raw, str):
        return raw
    known = (info.context or {}).get("cautions", {})
    if raw not in known:
        close = nearest(raw, list(known))
        raise ValueError(f"there is no such caution|a name in content/cautions.yaml{close and '; '}{close}|{raw}")
    return known[raw]


# A caution that stands before a question is answered, by its name where it is worded once for all.
Care = Annotated[CautionText, BeforeValidator(_worded, json_schema_input_type=Id | CautionText)]


class Answer(Frozen):
    """An answer to pick, and what a record may say where it is true; nothing there: the answer's own id."""

    label: Text
    fits: tuple[Id, ...] = ()


class Question(Frozen):
    """One thing to look at, or to know. `short` names it in a list; `check` says how it confirms what is found."""

    short: Text
    ask: Sentence
    how: Sentence | None = None
    cautions: tuple[Care, ...] = ()
    entry: Entry = "pick"
    options: dict[Id, Answer] = {}
    proof: Proof = "helps"
    check: Sentence | None = None


class Kind(Frozen):
    """A kind that a key leads to, and the answers that it can have; a question that is not named says nothing."""

    title: Text
    says: Sentence
    card: CardNo | None = None
    facts: dict[Id, Annotated[tuple[Id, ...], Field(min_length=1)]]
    outline: Outline | None = None


class Rule(Origin):
    """What holds where every question of `when` has one of these answers. `unknown` stands for cannot tell."""

    when: dict[Id, Annotated[tuple[Id, ...], Field(min_length=1)]] = {}
    verdict: Verdict
    gives: Text | None = None
    says: Sentence


class Least(Origin):
    """The thinnest hot grade that will do: for a load, up to an oil temperature; none: any above the others."""

    load: Id
    upto: Temperature | None = None
    grade: Text
    says: Sentence


class Turn(Frozen):
    """One decision on the way: what it asks, the rules in their order, and what else holds beside the verdict.

    `least` makes it the turn of the grade: that is worked out from the coldest start, the hottest oil and the load.
    """

    title: Text
    asks: Annotated[tuple[Id, ...], Field(min_length=1)]
    rules: tuple[Rule, ...] = ()
    notes: tuple[Rule, ...] = ()
    least: tuple[Least, ...] = ()


class Key(Origin):
    """A key: its page, keys/<page>/, its questions in the order in which they are the easiest to see, and its end."""

    page: Id
    title: Text
    purpose: Sentence
    lead: tuple[Sentence, ...] = ()
    units: bool = False
    questions: Annotated[dict[Id, Question], Field(min_length=2)]
    kinds: dict[Id, Kind] = {}
    turns: dict[Id, Turn] = {}
