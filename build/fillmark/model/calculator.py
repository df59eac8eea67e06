"""content/calculators/<id>.yaml: inputs, constants, steps and outputs, each formula declared once.

Formulas see values in coherent SI only; `unit` says what a number is typed and shown in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, PlainSerializer, StringConstraints, Tag, WithJsonSchema

from fillmark.model.amount import AMOUNT, AMOUNT_SCHEMA, Amount, Frozen, Origin, parse_amount
from fillmark.model.vehicle import Kind

Name = Annotated[str, StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9_]*$", max_length=30)]
OptionId = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9.-]*$", max_length=40)]
Label = Annotated[str, StringConstraints(min_length=1, max_length=80)]
Symbol = Annotated[str, StringConstraints(pattern=r"^[^\s_]{1,4}(_[^\s_]{1,12})?$")]
Sentence = Annotated[str, StringConstraints(min_length=3, max_length=400)]
Formula = Annotated[str, StringConstraints(min_length=1)]
Finite = Annotated[float, Field(allow_inf_nan=False)]
Digits = Annotated[int, Field(ge=0, le=7)]


def _amount_or_number(raw: Any) -> Amount:
    """A plain number is an amount too: a factor, a count of teeth."""
    if isinstance(raw, (int, float)) and not isinstance(raw, bool):
        return Amount(str(raw), float(raw), "1")
    return parse_amount(raw)


def _amount_or_option(raw: Any) -> Any:
    return raw if isinstance(raw, str) and not AMOUNT.match(raw) and not re.match(r"[-−]?\d+([.,]\d*)?$", raw) else (
        _amount_or_number(raw)
    )


Value = Annotated[
    Amount, BeforeValidator(_amount_or_number), PlainSerializer(lambda one: one.text, return_type=str),
    WithJsonSchema({"anyOf": [AMOUNT_SCHEMA, {"type": "number"}]}),
]
Chosen = Annotated[Any, BeforeValidator(_amount_or_option), WithJsonSchema({"type": ["string", "number"]})]


# What of a unit, of its vehicle or of one of its fastener groups an input can be filled with.
# js/lib/prefill.js says where each is found; `thread` of a typed input is its diameter, of a choice the option.
Take = Literal[
    "refill", "dry-fill", "additive", "flush", "swivel-each", "torque", "torque-state", "bolts", "thread", "pitch",
    "class", "ratio", "ring-teeth", "pinion-teeth", "hole-offset", "surface", "level-low", "level-high",
    "tyre", "tyre-width", "tyre-aspect", "tyre-rim", "old-tyre", "old-tyre-width", "old-tyre-aspect", "old-tyre-rim",
    "tyre-factor", "kerb-mass", "rear-share", "wheelbase", "coldest", "odometer",
]
Figure = Literal["curve", "oils", "dilution", "freeze", "clamp", "tilt", "tyres", "housing"]
Place = Literal["oils", "fills", "fasteners", "driveline", "vehicle", "other fluids", "job"]


class Constant(Origin):
    """A number with its source. `symbol` is how the formula prints it, `label` what it is."""

    value: Value
    label: Label
    symbol: Symbol


class Quantity(Frozen):
    """An input that is typed. `offer` narrows the units of the dimension; `why` explains the range.

    `optional` may stay empty: only the outputs that need it wait for it. `take` names what a unit of a vehicle has for
    it, so that a page opened from a unit comes filled.
    """

    label: Label
    symbol: Symbol
    unit: str
    offer: tuple[str, ...] = ()
    default: Value | None = None
    min: Value
    max: Value
    why: Sentence
    optional: bool = False
    take: Take | None = None


class Curve(Origin):
    """Published points; a formula reads between them with along(name, x): straight lines, no answer outside.

    `x` and `y` are the units of the two numbers of each point.
    """

    label: Label
    symbol: Symbol
    x: str
    y: str
    points: tuple[tuple[Finite, ...], ...]

    def readable(self) -> bool:
        """Return whether there are two points or more, each of two numbers, x rising."""
        at = [point[0] for point in self.points if len(point) == 2]
        return len(at) == len(self.points) > 1 and all(one < after for one, after in pairwise(at))


class Given(Origin):
    """A constant that an option carries."""

    value: Value


class Option(Frozen):
    """One option of a choice, and the constants that it carries."""

    label: Label
    gives: Annotated[dict[Name, Given], Field(min_length=1)]


def _caution(raw: Any) -> Any:
    return {"severity": "caution", "says": raw} if isinstance(raw, str) else raw


class Warned(Frozen):
    """What can hurt: a sentence, which is a CAUTION, or `{severity: danger, says: …}`. A danger or a warning stands
    before the results.
    """

    severity: Literal["danger", "warning", "caution", "notice"]
    says: Sentence


Caution = Annotated[
    Warned, BeforeValidator(_caution),
    WithJsonSchema({"anyOf": [{"type": "string", "minLength": 3, "maxLength": 400}, Warned.model_json_schema()]}),
]


class Slip(Frozen):
    """A classic error of use: when the comparison holds, it is said beside the results, which still stand.

    `{name}` in `say` becomes that input, step or output in its own unit.
    """

    when: Formula
    say: Sentence


class Carried(Frozen):
    """What the constants of a choice are, whichever option gives them."""

    label: Label
    symbol: Symbol
    unit: str


class Choice(Frozen):
    """An input that is picked. Without `default` nothing is worked out until the user has picked."""

    label: Label
    carries: Annotated[dict[Name, Carried], Field(min_length=1)]
    choices: Annotated[dict[OptionId, Option], Field(min_length=2)]
    default: OptionId | None = None
    optional: bool = False
    take: Take | None = None


def _shape(raw: Any) -> str:
    return "(choice)" if isinstance(raw, Choice) or (isinstance(raw, dict) and "choices" in raw) else "(quantity)"


# The brackets in the tags keep them out of the author's path: `inputs.d.unti`, not `inputs.d.(quantity).unti`.
Input = Annotated[
    Annotated[Quantity, Tag("(quantity)")] | Annotated[Choice, Tag("(choice)")], Discriminator(_shape)
]


class Step(Frozen):
    """A named part of a long calculation."""

    label: Label
    symbol: Symbol
    unit: str
    formula: Formula


class Band(Frozen):
    """A word for the numbers that reach no further than `below` (not itself) or `upto` (itself included)."""

    below: Value | None = None
    upto: Value | None = None
    say: Label


class Output(Step):
    """A result. `also` are other units shown; `words` say it in words; `digits` are significant digits; 0 stands
    for a whole number, such as a count.
    """

    also: tuple[str, ...] = ()
    digits: Digits = 3
    words: tuple[Band, ...] = ()
    only_words: bool = False


class Refusal(Frozen):
    """A condition between inputs under which nothing is worked out, and the reason in words."""

    when: Formula
    say: Sentence


class Example(Frozen):
    """A worked example with its source. Without `tolerance` the last printed digit counts, half up or down."""

    name: Label
    source: str
    page: Label | None = None
    inputs: Annotated[dict[Name, Chosen], Field(alias="in", min_length=1)]
    outputs: Annotated[dict[Name, Value], Field(alias="out", default_factory=dict)]
    words: dict[Name, Label] = Field(default_factory=dict)
    tolerance: dict[Name, Value] = Field(default_factory=dict)


class Drawing(Frozen):
    """A curve of output `y` over input `x`, the other inputs as typed."""

    x: Name
    start: Annotated[Value, Field(alias="from")]
    end: Annotated[Value, Field(alias="to")]
    y: Name
    scale: Literal["linear", "log"] = "linear"


class Calculator(Origin):
    """One calculator; its own source and state are those of the method.

    `also_checked` are further published figures: checked like the examples and listed in "How we know", but not on
    the calculator's own page. `figure` is a drawing of its own, where a plain curve (`draw`) does not do. `place` is
    where the list of calculators shows it, and `kinds` for which units: without them, those of its place, see tools.py.
    `carry` says where an output can be taken with one tap.
    """

    no: Annotated[str, StringConstraints(pattern=r"^C\d{2}$")]
    title: Label
    purpose: Sentence
    words: tuple[Label, ...] = ()
    cautions: tuple[Caution, ...] = ()
    inputs: Annotated[dict[Name, Input], Field(min_length=1)]
    constants: dict[Name, Constant] = Field(default_factory=dict)
    curves: dict[Name, Curve] = Field(default_factory=dict)
    steps: dict[Name, Step] = Field(default_factory=dict)
    outputs: Annotated[dict[Name, Output], Field(min_length=1)]
    refuse: tuple[Refusal, ...] = ()
    slips: tuple[Slip, ...] = ()
    examples: Annotated[tuple[Example, ...], Field(min_length=1)]
    also_checked: tuple[Example, ...] = ()
    draw: Drawing | None = None
    figure: Figure | None = None
    place: Place = "job"
    kinds: tuple[Kind, ...] = ()
    carry: dict[Name, Literal["buy-list", "job"]] = Field(default_factory=dict)

    def formulas(self) -> Iterator[tuple[str, str, Step]]:
        """Yield ('steps' or 'outputs', name, step) in the order of working."""
        for name, step in self.steps.items():
            yield "steps", name, step
        for name, output in self.outputs.items():
            yield "outputs", name, output

    def typed(self) -> dict[str, Quantity]:
        """Return the inputs that are typed."""
        return {name: one for name, one in self.inputs.items() if isinstance(one, Quantity)}

    def picked(self) -> dict[str, Choice]:
        """Return the inputs that are picked."""
        return {name: one for name, one in self.inputs.items() if isinstance(one, Choice)}

    def units(self) -> dict[str, str]:
        """Return the unit of every number that a formula may use."""
        carried = {name: one.unit for choice in self.picked().values() for name, one in choice.carries.items()}
        return {
            **{name: one.unit for name, one in self.typed().items()}, **carried,
            **{name: one.value.unit for name, one in self.constants.items()},
            **{name: one.unit for _, name, one in self.formulas()},
        }

    def symbols(self) -> dict[str, str]:
        """Return the printed symbol of every name that a formula may use."""
        carried = {name: one.symbol for choice in self.picked().values() for name, one in choice.carries.items()}
        return {
            **{name: one.symbol for name, one in self.typed().items()}, **carried,
            **{name: one.symbol for name, one in self.constants.items()},
            **{name: one.symbol for name, one in self.curves.items()},
            **{name: one.symbol for _, name, one in self.formulas()},
        }
