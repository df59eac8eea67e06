"""content/vehicles/<id>.yaml: a vehicle, its units, what they hold and how they are fastened."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, StringConstraints, WithJsonSchema

from fillmark.model.amount import (
    AnyAmount,
    Frozen,
    Length,
    Mass,
    Measures,
    Origin,
    Positive,
    Share,
    TorqueFigure,
    VolumeFigure,
    real_date,
)
from fillmark.model.amount import Temperature as TemperatureAmount

Id = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$")]
Text = Annotated[str, StringConstraints(min_length=1, max_length=400)]
Distance = Annotated[Positive, Measures("length")]
Date = Annotated[
    str, AfterValidator(real_date),
    WithJsonSchema({"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$"}),
]

Kind = Literal[
    "axle-cover", "axle-dropout", "front-axle", "swivel", "transfer", "manual-box", "auto-box", "engine", "cooling",
    "brakes", "steering", "hub", "propshaft", "battery", "belt", "wheels", "vehicle",
]
OpensBy = Literal["cover", "plugs", "pan"]
FillRole = Literal["refill", "dry", "additive", "flush", "swivel-each"]
FastenerRole = Literal[
    "cover", "fill-plug", "drain-plug", "pan", "wheel", "hub-seat", "hub-lock", "hub-bolts", "swivel-plug",
    "bleed-screw", "flange", "tensioner", "joint", "clamp",
]
Diff = Literal["open", "clutch-ls", "cone-ls", "gear-ls", "locker", "unknown"]
Use = Literal["normal", "severe"]
Pattern = Literal["ring", "rail", "inline", "single"]
Face = Literal["cover", "smooth"]
Shape = Literal["round", "flat-oval", "tall-oval", "egg", "square", "cornered"]
Hour = Literal[
    "middle", "1 o'clock", "2 o'clock", "3 o'clock", "4 o'clock", "5 o'clock", "6 o'clock", "7 o'clock", "8 o'clock",
    "9 o'clock", "10 o'clock", "11 o'clock", "12 o'clock",
]


class TyreEra(Origin):
    """A span of the odometer with one tyre size; `factor` is true distance per indicated distance.

    `since` counts rollovers in: 101 450 mi where five digits show 01450 for the second time.
    """

    since: Distance
    since_date: Date | None = None
    size: Text
    factor: Annotated[float, Field(gt=0.5, lt=2.0)]
    method: Literal["size-code", "roll-out", "GPS-track"]


class SeverityEra(Frozen):
    """From `since` on, rollovers counted in, the vehicle is used so; before the first era as `severity` says."""

    since: Distance
    since_date: Date
    use: Use


class OwnRule(Origin):
    """The vehicle's own interval for some of its units, in place of the rule for their kind."""

    units: Annotated[tuple[Id, ...], Field(min_length=1)]
    distance: Distance | None = None
    months: Annotated[int | None, Field(ge=1, le=240)] = None
    severe_factor: Annotated[float, Field(gt=0, le=1)] = 0.5


class Change(Frozen):
    """What was changed at a revision of this record, and why."""

    rev: Annotated[int, Field(ge=1)]
    date: Date
    why: Text


class Odometer(Frozen):
    """What the clock shows: its unit, how many digits before it rolls over, and a dated reading."""

    unit: Literal["mi", "km"]
    digits: Annotated[int, Field(ge=5, le=7)]
    reading: Distance
    rollovers: Annotated[int, Field(ge=0, le=9)] = 0
    as_of: Date


class Fluid(Origin):
    """What goes in: grade and category, never a brand; `additive` says whether friction modifier is needed."""

    grade: Text
    category: Text
    additive: Literal["none", "included", "separate", "unknown"] = "none"


class LevelRule(Origin):
    """Where the level belongs, as a band below a named mark, and the attitude it is true for."""

    low: Length
    high: Length
    below: Text
    attitude: Text = "vehicle level both ways"


class Plug(Frozen):
    """A plug's key, thread and seal, so that it can be tried the week before."""

    tool: Text
    thread: Text | None = None
    seal: Text | None = None


class Outline(Frozen):
    """What is seen of a final drive from outside, face on: it is told from others by this, and drawn from it.

    The face is the side away from the propshaft: `smooth` where the carrier drops out on the other side. `bolts` are
    those of the cover or, on a smooth one, of the carrier's flange. A key that is left out is not known.
    """

    face: Face | None = None
    shape: Shape | None = None
    bolts: Annotated[int | None, Field(ge=3, le=48)] = None
    fill: Hour | None = None
    plug: Literal["straight", "taper", "push"] | None = None
    key: Literal["square", "hexagon", "head"] | None = None
    drain: Literal["present", "none"] | None = None
    housing: Literal["beam", "independent"] | None = None
    ends: Literal["plain", "swivels"] | None = None
    marks: Text | None = None


class FastenerGroup(Frozen):
    """Bolts that are tightened together: one torque, one thread state, one pattern."""

    name: Text
    count: Annotated[int, Field(ge=1, le=48)]
    thread: Text
    strength: Annotated[str | None, Field(alias="class")] = None
    torque: TorqueFigure
    thread_state: Literal["dry", "oiled", "anti-seize", "sealant", "new-plated", "unknown"]
    pattern: Pattern
    stages: tuple[Share, ...] = ()
    then: Text | None = None


class Unit(Frozen):
    """One assembly that holds fluid or fasteners."""

    code: Text
    kind: Kind
    label: Text
    place: Text
    words: tuple[Text, ...] = ()
    opens_by: OpensBy | None = None
    cover: Text | None = None
    outline: Outline | None = None
    tag: Text | None = None
    ratio: Annotated[float | None, Field(gt=0.5, lt=12)] = None
    ring_teeth: int | None = None
    pinion_teeth: int | None = None
    diff: Diff | None = None
    yellow_metal: Literal["yes", "no", "unknown"] = "unknown"
    fluid: Fluid | None = None
    fills: dict[FillRole, VolumeFigure] = {}
    level: LevelRule | None = None
    plugs: dict[Literal["fill", "drain"], Plug] = {}
    fasteners: dict[FastenerRole, FastenerGroup] = {}
    fill_hole_offset: Length | None = None
    oil_surface: Annotated[AnyAmount | None, Measures("area")] = None
    note: Text | None = None

    @property
    def title(self) -> str:
        """The label with its place, such as `HR-225C rear axle`, unless the label says the place itself."""
        return self.label if self.place.lower() in self.label.lower() else f"{self.label} {self.place}"


class Vehicle(Frozen):
    """A vehicle of the garage. `invented` marks demo data on every screen and sheet."""

    rev: Annotated[int, Field(ge=1)]
    name: Text
    short: Text
    invented: bool
    model_year: Annotated[int | None, Field(ge=1930, le=2035)] = None
    odometer: Odometer
    wheelbase: Length | None = None
    kerb_mass: Mass | None = None
    rear_share: Share | None = None
    coldest_start: TemperatureAmount
    severity: Use
    severity_eras: tuple[SeverityEra, ...] = ()
    tyre_eras: Annotated[tuple[TyreEra, ...], Field(min_length=1)]
    service: tuple[OwnRule, ...] = ()
    changed: tuple[Change, ...] = ()
    note: Text | None = None
    units: Annotated[dict[Id, Unit], Field(min_length=1)]
