"""What a small line drawing of a sign shows, told in numbers: the build draws it from them, and nothing else."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag

from fillmark.model.amount import Frozen
from fillmark.problem import nearest

Few = Annotated[int, Field(ge=0, le=12)]
Part = Annotated[float, Field(ge=0, le=1.3)]


class Jar(Frozen):
    """Oil in a glass jar against the light. `clear`: the ring behind it shows through. `water` is the share of the
    column that has settled as water, `dots` what makes it milky, `specks` what glitters."""

    draw: Literal["jar"]
    dark: Annotated[int, Field(ge=0, le=4)] = 1
    clear: bool = False
    dots: Annotated[int, Field(ge=0, le=90)] = 0
    specks: Few = 0
    water: Part = 0
    foam: bool = False


class Debris(Frozen):
    """What lies on a plug's magnet or in the pan: paste (how thick), glitter, flakes, slivers, chips with a shape."""

    draw: Literal["magnet", "pan"]
    paste: Annotated[int, Field(ge=0, le=3)] = 0
    glitter: Annotated[int, Field(ge=0, le=24)] = 0
    flakes: Few = 0
    slivers: Few = 0
    chips: Annotated[int, Field(ge=0, le=4)] = 0


class Surface(Frozen):
    """The flank of a tooth or the side of a roller, and the mark on it."""

    draw: Literal["tooth", "roller"]
    mark: Literal["even", "worn", "stain", "pits", "blue", "chip", "hidden"]


class Sound(Frozen):
    """A noise over time: how loud, in how many beats (0: without a break), of how many strokes, or a smooth tone."""

    draw: Literal["sound"]
    loud: Annotated[int, Field(ge=0, le=10)]
    beats: Annotated[int, Field(ge=0, le=8)] = 0
    strokes: Annotated[int, Field(ge=1, le=40)] = 24
    smooth: bool = False


class Leak(Frozen):
    """A joint from the side: damp below it, a bead that hangs, drops that fall."""

    draw: Literal["leak"]
    damp: bool = False
    bead: bool = False
    drops: Annotated[int, Field(ge=0, le=3)] = 0


class Jug(Frozen):
    """What was caught in a jug, as a share of the figure that was expected, which is the line across it."""

    draw: Literal["jug"]
    share: Part


KINDS = {
    "jar": "(jar)", "magnet": "(debris)", "pan": "(debris)", "tooth": "(surface)", "roller": "(surface)",
    "sound": "(sound)", "leak": "(leak)", "jug": "(jug)",
}


def _kind(raw: Any) -> str | None:
    return KINDS.get(str(raw.get("draw") if isinstance(raw, dict) else getattr(raw, "draw", None)))


def _known(raw: Any) -> Any:
    if _kind(raw) is None:
        said = str(raw.get("draw", "no 'draw'") if isinstance(raw, dict) else raw)
        close = nearest(said, list(KINDS))
        raise ValueError(f"there is no such drawing|{{draw: one of {', '.join(KINDS)}}}{close and '; '}{close}|{said}")
    return raw


Drawing = Annotated[
    Annotated[Jar, Tag("(jar)")] | Annotated[Debris, Tag("(debris)")] | Annotated[Surface, Tag("(surface)")]
    | Annotated[Sound, Tag("(sound)")] | Annotated[Leak, Tag("(leak)")] | Annotated[Jug, Tag("(jug)")],
    Discriminator(_kind), BeforeValidator(_known),
]
