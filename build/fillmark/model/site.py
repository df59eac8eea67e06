"""content/site.yaml, rules.yaml, tables/, and the Site that the whole content becomes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Field, StringConstraints

from fillmark.model.amount import Frozen, Origin
from fillmark.model.calculator import Calculator
from fillmark.model.card import Card, CautionText, RecordField
from fillmark.model.guide import Guide
from fillmark.model.key import Key
from fillmark.model.source import Source
from fillmark.model.vehicle import Date, Distance, Id, Kind, Text, Vehicle

if TYPE_CHECKING:  # only named in annotations: the model reads no files and knows no units
    from fillmark.load import Document
    from fillmark.model.log import LogFile
    from fillmark.units import Units

# What may be logged: a card's number, an event, or a test that a rule asks for.
WorkId = Annotated[str, StringConstraints(pattern=r"^(P\d{2}|event|test)$")]
Sentence = Annotated[str, StringConstraints(min_length=3, max_length=500)]


class Meta(Frozen):
    """The site's own words: its public address for the printed code, the notice line, the date of its values."""

    name: Text
    tagline: Sentence
    address: Annotated[str, StringConstraints(pattern=r"^https://[^\s?#]+/$")]
    values_as_of: Date
    notice: Sentence
    demo_note: Sentence


class Column(Frozen):
    """A column of a reference table; a column with a unit holds numbers only.

    Its own origin stands where it differs from the table's; the origin of a row wins over it.
    """

    id: Id
    label: Text
    unit: Text | None = None
    source: Text | None = None
    state: Literal["unverified", "plausible", "verified"] | None = None


class Row(Frozen):
    """A row by column id, with its own origin where it differs from the table's."""

    cells: Annotated[dict[Id, str | int | float], Field(min_length=1)]
    source: Text | None = None
    state: Literal["unverified", "plausible", "verified"] | None = None


class Table(Origin):
    """A reference table: columns, rows, one origin for all that does not name another."""

    title: Text
    purpose: Sentence
    columns: Annotated[tuple[Column, ...], Field(min_length=2)]
    rows: Annotated[tuple[Row, ...], Field(min_length=1)]
    notes: tuple[Sentence, ...] = ()
    words: tuple[Text, ...] = ()


class Work(Frozen):
    """Something that may stand in the log, and what it does to the unit's fluid."""

    title: Text
    does: Literal["change", "part-change", "top-up", "look", "other"]


class ServiceRule(Origin):
    """How often a kind of unit is due, by distance and months; severe use multiplies both by `severe_factor`.

    `distance_km` is what a handbook in kilometres rounds the distance to: it counts where the odometer is in km.
    The work of `reset_by` sets it back; a test has months of its own and the work that counts as one.
    """

    kinds: Annotated[tuple[Kind, ...], Field(min_length=1)]
    distance: Distance | None = None
    distance_km: Distance | None = None
    months: Annotated[int, Field(ge=1, le=240)]
    test_months: Annotated[int | None, Field(ge=1, le=240)] = None
    severe_factor: Annotated[float, Field(gt=0, le=1)] = 0.5
    reset_by: Annotated[tuple[WorkId, ...], Field(min_length=1)]
    test_reset_by: tuple[WorkId, ...] = ()


class EventRule(Origin):
    """The look that an event makes due: within days, at a true distance, or both.

    `after` names the work that brings it about, or the event's own id where it is logged as one; `kinds` the units it
    touches, none for the unit of the entry alone; `closed_by` the work that settles it.
    """

    id: Id
    event: Text
    action: Sentence
    after: Annotated[tuple[WorkId | Id, ...], Field(min_length=1)]
    kinds: tuple[Kind, ...] = ()
    condition: Annotated[Literal["limited-slip"] | None, Field(alias="if")] = None
    look: Literal["inspection", "re-torque", "leak", "chatter"]
    days: Annotated[int | None, Field(ge=1, le=400)] = None
    earliest: Distance | None = None
    latest: Distance | None = None
    hard_stop: Distance | None = None
    closed_by: Annotated[tuple[WorkId, ...], Field(min_length=1)]


class Rules(Frozen):
    """content/rules.yaml."""

    work: Annotated[dict[WorkId, Work], Field(min_length=1)]
    service: tuple[ServiceRule, ...]
    events: tuple[EventRule, ...]


class Cautions(Frozen):
    """content/cautions.yaml: cautions that cards name, worded once."""

    cautions: dict[Id, CautionText]


class Fields(Frozen):
    """content/fields.yaml: record fields that cards name, the same on all of them."""

    fields: tuple[RecordField, ...]


class Sources(Frozen):
    """content/sources.yaml: the closed list of sources by id."""

    sources: Annotated[dict[Id, Source], Field(min_length=1)]


# With more vehicles than this a site is for several people, and no phone is given all of them: each is chosen.
MANY = 12


@dataclass(frozen=True)
class Prose:
    """A prose page: the title from its first heading, and its Markdown."""

    title: str
    markdown: str


@dataclass(frozen=True)
class Site:
    """All content, shaped and by id. `documents` gives each entry's positions for problems."""

    meta: Meta
    rules: Rules
    units: Units
    sources: dict[str, Source]
    vehicles: dict[str, Vehicle]
    cards: dict[str, Card]
    tables: dict[str, Table]
    calculators: dict[str, Calculator]
    logs: dict[str, LogFile]
    keys: dict[str, Key]
    guides: dict[str, Guide]
    pages: dict[str, Prose]
    documents: dict[tuple[str, str], Document]

    def of_kind(self, kind: str) -> dict[str, Any]:
        """Return {id: model} of one kind: vehicles, cards, tables, calculators, logs, keys, guides."""
        return dict(getattr(self, kind))

    @property
    def laid_out(self) -> dict[str, Vehicle]:
        """The vehicles that stand on every page that lists vehicles: all, or none where they are chosen by a person."""
        return {} if self.chosen_from else self.vehicles

    @property
    def chosen_from(self) -> int:
        """How many vehicles a person chooses from; 0 where all are kept on every phone."""
        return len(self.vehicles) if len(self.vehicles) > MANY else 0

    @property
    def works(self) -> dict[str, Work]:
        """Everything that may be logged: the work of the rules, and any card that they do not speak of."""
        cards = {one.no: Work(title=one.title, does="other") for one in self.cards.values()}
        return dict(sorted({**cards, **self.rules.work}.items()))
