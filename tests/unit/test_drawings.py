"""The drawings of signs: whole SVG, inside their frame, the same every time, and more of what there is more of."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from fillmark.model.drawing import Debris, Drawing, Jar, Jug, Leak, Sound, Surface
from fillmark.render.drawings import SIDE, svg

EVERY: list[Drawing] = [
    *(Jar(draw="jar", dark=dark, clear=dark < 4, dots=90, specks=12, water=0.3, foam=True) for dark in range(5)),
    *(Debris(draw=on, paste=paste, glitter=24, flakes=12, slivers=12, chips=4)  # type: ignore[arg-type]
      for on in ("magnet", "pan") for paste in range(4)),
    *(Surface(draw=on, mark=mark)  # type: ignore[arg-type]
      for on in ("tooth", "roller") for mark in ("even", "worn", "stain", "pits", "blue", "chip", "hidden")),
    *(Sound(draw="sound", loud=10, beats=beats, strokes=strokes, smooth=smooth)
      for beats in (0, 1, 8) for strokes in (1, 40) for smooth in (False, True)),
    Leak(draw="leak"), Leak(draw="leak", damp=True, bead=True, drops=3),
    *(Jug(draw="jug", share=share) for share in (0, 0.5, 1, 1.3)),
]


def shapes(one: Drawing) -> list[ElementTree.Element]:
    """Return all that is drawn on the piece of card, which is the first shape."""
    root = ElementTree.fromstring(svg(one))
    assert root.get("viewBox") == f"0 0 {SIDE} {SIDE}" and root.get("aria-hidden") == "true"
    return list(root)[1:]


def paths(one: Drawing) -> str:
    return " ".join(shape.get("d", "") for shape in shapes(one))


@pytest.mark.parametrize("one", EVERY, ids=repr)
def test_all_of_it_is_inside_the_frame(one: Drawing) -> None:
    starts = [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", paths(one))]
    starts += [(float(shape.get("cx", 0)), float(shape.get("cy", 0))) for shape in shapes(one) if shape.tag == "circle"]
    assert starts and all(0 <= number <= SIDE for point in starts for number in point)
    assert "nan" not in svg(one) and svg(one) == svg(one.model_copy())


def test_nothing_is_drawn_of_nothing() -> None:
    assert svg(None) == ""


def test_the_darker_the_oil_the_more_ink() -> None:
    lines = [paths(Jar(draw="jar", dark=dark)).count("H") for dark in range(4)]
    assert lines == sorted(set(lines))
    assert any(shape.get("fill") for shape in shapes(Jar(draw="jar", dark=4)))


def test_a_ring_is_seen_through_clear_oil_only() -> None:
    rings = [[shape for shape in shapes(Jar(draw="jar", clear=clear)) if shape.tag == "circle"]
             for clear in (True, False)]
    assert [len(one) for one in rings] == [1, 0]


@pytest.mark.parametrize("share", [0.1, 0.25, 0.5])
def test_the_layer_of_water_is_its_share_of_the_column(share: float) -> None:
    layer = next(shape for shape in shapes(Jar(draw="jar", water=share)) if shape.tag == "rect")
    top, bottom = float(layer.get("y", 0)), float(layer.get("y", 0)) + float(layer.get("height", 0))
    surface = float(re.findall(r"M22 ([\d.]+)H58", paths(Jar(draw="jar", dark=0)))[0])
    assert (bottom - top) / (bottom - surface) == pytest.approx(share, abs=0.003)


@pytest.mark.parametrize("on", ["magnet", "pan"])
def test_as_many_pieces_as_are_said(on: str) -> None:
    def filled(chips: int) -> int:
        debris = Debris(draw=on, chips=chips)  # type: ignore[arg-type]
        return sum(shape.get("fill") is not None for shape in shapes(debris))

    assert [filled(chips) for chips in range(5)] == [0, 1, 2, 3, 4]
    few, many = (paths(Debris(draw=on, flakes=count)).count("z") for count in (2, 9))  # type: ignore[arg-type]
    assert many - few == 7


@pytest.mark.parametrize("share", [0.4, 0.9, 1.2])
def test_the_jug_stands_as_full_as_its_share(share: float) -> None:
    level = float(re.findall(r"M[\d.]+ ([\d.]+)H", paths(Jug(draw="jug", share=share)))[0])
    line = float(re.findall(r"M10 ([\d.]+)h52", paths(Jug(draw="jug", share=share)))[0])
    assert (70 - level) / (70 - line) == pytest.approx(share, abs=0.003)


def test_a_noise_is_as_many_beats_and_strokes_as_are_said() -> None:
    assert paths(Sound(draw="sound", loud=8, beats=5, strokes=4)).count("v") == 20
    assert paths(Sound(draw="sound", loud=8, strokes=26)).count("v") == 26
    loud, soft = (re.findall(r"v([\d.]+)", paths(Sound(draw="sound", loud=one, strokes=26))) for one in (9, 3))
    assert max(map(float, loud)) == pytest.approx(3 * max(map(float, soft)), rel=0.02)
