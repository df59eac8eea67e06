"""content/logs/<id>.yaml: a service log that comes with the site, entry by entry as its owner would have written it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainSerializer, StringConstraints, WithJsonSchema

from fillmark.model.amount import AMOUNT, AMOUNT_SCHEMA, Amount, Frozen, Volume, parse_amount
from fillmark.model.site import WorkId
from fillmark.model.vehicle import Date, Distance, Id, Text

EntryId = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9-]{0,39}$")]

# What may be read without a card that asks for it: field -> the dimension of its amount, '' for a word.
READINGS = {
    "level-found": "length", "colour": "", "water": "", "magnet": "", "smell": "", "glycol-share": "share",
    "voltage": "voltage", "temperature": "temperature", "play": "length", "water-column": "length",
    "water-in-column": "length", "water-depth": "length", "breather-height": "length",
}


def _amount_or_word(raw: Any) -> Any:
    """A reading is an amount where it is written as one, and else a word."""
    return parse_amount(raw) if isinstance(raw, (int, float)) or (isinstance(raw, str) and AMOUNT.match(raw)) else raw


Reading = Annotated[
    Amount | Text, BeforeValidator(_amount_or_word), PlainSerializer(str, return_type=str),
    WithJsonSchema({"anyOf": [AMOUNT_SCHEMA, {"type": "string", "minLength": 1}]}),
]


class LogEntry(Frozen):
    """One thing that was done or seen. A correction is a new entry that names the one it `replaces`.

    The odometer is as indicated. `found` and `left` hold readings by the fields of the cards; `says` the owner's words.
    """

    id: EntryId
    date: Date
    vehicle: Id
    unit: Id
    work: WorkId
    event: Id | None = None
    odometer: Distance
    fluid: Text | None = None
    out: Volume | None = None
    flush: Volume | None = None
    into: Annotated[Volume | None, Field(alias="in")] = None
    additive: Volume | None = None
    found: dict[Id, Reading] = {}
    left: dict[Id, Reading] = {}
    level_verified: Literal["yes", "no"] | None = None
    vehicle_level: Literal["yes", "no", "unknown"] | None = None
    says: Text | None = None
    replaces: EntryId | None = None
    closes: tuple[EntryId, ...] = ()


class LogFile(Frozen):
    """A log in the order of its days."""

    entries: Annotated[tuple[LogEntry, ...], Field(min_length=1)]
