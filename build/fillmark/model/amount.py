"""An amount is what the trade writes: a number, a space, a unit. `2.35 L`, `26 N·m`, `2.2 imp pt`, `-18 °C`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    PlainSerializer,
    WithJsonSchema,
    model_validator,
)

AMOUNT = re.compile(r"^(?P<value>[-−]?\d+(?:\.\d+)?)\s+(?P<unit>\S.*)$")

LONGEST = 30  # characters of a number: more digits than any quantity has

DATE = re.compile(r"\d{4}-\d{2}-\d{2}")

State = Literal["unverified", "plausible", "verified", "conflict", "superseded"]


class Frozen(BaseModel):
    """Base of every model: frozen, unknown keys refused, no silent conversions."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, arbitrary_types_allowed=True)


@dataclass(frozen=True)
class Amount:
    """A number with its unit, and the text as the author typed it."""

    text: str
    value: float
    unit: str

    def __str__(self) -> str:
        return self.text


def parse_amount(raw: Any) -> Amount:
    """Return the Amount in a text such as `2.35 L`; raise ValueError that says what is missing."""
    if isinstance(raw, Amount):
        return raw
    if isinstance(raw, (int, float)) and not isinstance(raw, bool):
        raise ValueError(f"number without a unit|a number and a unit, such as 2.35 L|{raw:g}")
    if not isinstance(raw, str):
        raise ValueError(f"not an amount|a number and a unit, such as 2.35 L|{raw!r}")
    match = AMOUNT.match(raw.strip())
    if not match:
        comma = re.match(r"[-−]?\d+,\d+", raw.strip())
        bare = re.fullmatch(r"[-−]?\d+(\.\d+)?", raw.strip())
        said = "decimal comma" if comma else "number without a unit" if bare else "not an amount"
        raise ValueError(f"{said}|a number and a unit, such as 2.35 L|{raw}")
    if len(match["value"]) > LONGEST:
        raise ValueError(f"number is too long|at most {LONGEST} characters|{match['value'][:20]}…")
    return Amount(raw.strip(), float(match["value"].replace("−", "-")), match["unit"].strip())


@dataclass(frozen=True)
class Measures:
    """Marks an Amount field with the dimension it must have; the check `amounts` reads it."""

    dimension: str


# What an editor is told of an amount: it is text, in this form.
AMOUNT_SCHEMA = {"type": "string", "pattern": r"^[-−]?\d+(\.\d+)?\s+\S.*$", "examples": ["2.35 L", "26 N·m"]}

AnyAmount = Annotated[
    Amount, BeforeValidator(parse_amount), PlainSerializer(lambda amount: amount.text, return_type=str),
    WithJsonSchema(AMOUNT_SCHEMA),
]


def not_below_zero(amount: Amount) -> Amount:
    """Return an amount of which there can be none, but not less."""
    if amount.value < 0:
        raise ValueError(f"amount below zero|zero or more|{amount.text}")
    return amount


Positive = Annotated[AnyAmount, AfterValidator(not_below_zero)]
Volume = Annotated[Positive, Measures("volume")]
Torque = Annotated[Positive, Measures("torque")]
Length = Annotated[AnyAmount, Measures("length")]
Mass = Annotated[Positive, Measures("mass")]
Time = Annotated[Positive, Measures("time")]
Temperature = Annotated[AnyAmount, Measures("temperature")]
Share = Annotated[Positive, Measures("share")]


def real_date(text: str) -> str:
    """Return a date that a calendar has, as it is written; raise ValueError that says what is wrong."""
    try:
        if not DATE.fullmatch(text):
            raise ValueError
        date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"not a date|year-month-day, such as 2022-06-11|{text}") from None
    return text


class Origin(Frozen):
    """Where a value comes from and how far it is trusted; shared by every quantity."""

    source: str
    state: State
    date: str | None = None
    page: str | None = None
    note: str | None = None

    @model_validator(mode="after")
    def dated(self) -> Origin:
        if self.date is not None:
            real_date(self.date)
        return self


class VolumeFigure(Origin):
    """A capacity with its origin; `other` holds the rival values of a conflict."""

    value: Volume
    other: tuple[VolumeFigure, ...] = ()


class TorqueFigure(Origin):
    """A torque with its origin; `other` holds the rival values of a conflict."""

    value: Torque
    other: tuple[TorqueFigure, ...] = ()
