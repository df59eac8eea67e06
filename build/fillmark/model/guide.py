"""content/guides/<id>.yaml: a page to read beside the work, at guides/<id>/.

It has ladders, for what will not come apart: one try after the other, and when to stop. Or it has signs, for what
came out: the words that a card's record offers, each with how it looks, a drawing, and what follows. What a word means
is not written here again: it is what the card, or the reference table, says.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from fillmark.model.amount import Frozen, Origin
from fillmark.model.card import Sentence
from fillmark.model.drawing import Drawing
from fillmark.model.key import CardNo, Care
from fillmark.model.vehicle import Id, Text


class Rung(Frozen):
    """One try: what to do, what it takes, when to go on to the next. `hold` and `stop` stand before it; a `stop` goes
    on from the words “Stop if”."""

    do: Sentence
    needs: tuple[Text, ...] = ()
    next: Sentence | None = None
    hold: Sentence | None = None
    stop: tuple[Sentence, ...] = ()
    cautions: tuple[Care, ...] = ()


class Sizes(Frozen):
    """Rows of a reference table, named by their first column, and some of its columns: read there, never typed."""

    table: Id
    rows: Annotated[tuple[Text, ...], Field(min_length=1)]
    columns: Annotated[tuple[Id, ...], Field(min_length=1)]


class Ladder(Frozen):
    """The rungs for one trouble, in order; `done` says when it is mended, `tell` what a workshop must hear."""

    title: Text
    says: Sentence
    cautions: tuple[Care, ...] = ()
    rungs: Annotated[tuple[Rung, ...], Field(min_length=2)]
    sizes: tuple[Sizes, ...] = ()
    sizes_say: Sentence | None = None
    done: tuple[Sentence, ...] = ()
    tell: Annotated[tuple[Sentence, ...], Field(min_length=1)]
    cards: tuple[CardNo, ...] = ()
    work_out: tuple[Id, ...] = ()
    keys: tuple[Id, ...] = ()


class Word(Frozen):
    """One word of a sign. `means` and `stop` only where neither a card nor a table has them."""

    looks: Sentence
    draw: Drawing | None = None
    means: Sentence | None = None
    stop: bool = False


class Sign(Frozen):
    """One thing to look at. Its words are the options of `field` on `card`, or the first column of `table`, or both.

    `record` names what else is written down with it, by the fields of the same card. A `group` stands together.
    """

    group: Text
    title: Text
    look: Sentence
    cautions: tuple[Care, ...] = ()
    card: CardNo
    field: Id | None = None
    table: Id | None = None
    words: Annotated[dict[Text, Word], Field(min_length=2)]
    record: tuple[Id, ...] = ()


class Guide(Origin):
    """A page of ladders or of signs, with where its practice comes from. `row` says it in the list of cards."""

    title: Text
    row: Text
    purpose: Sentence
    lead: tuple[Sentence, ...] = ()
    ladders: dict[Id, Ladder] = {}
    signs: dict[Id, Sign] = {}
