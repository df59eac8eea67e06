"""Small line drawings of what a sign looks like, as SVG, from the numbers that the content gives.

Each stands on a piece of card stock of its own, in fixed ink: how dark an oil is drawn must not turn round in the dark.
Nothing is left to chance: what is scattered lies on a sequence that fills an area evenly.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from markupsafe import Markup

from fillmark.model.drawing import Debris, Drawing, Jar, Jug, Leak, Sound, Surface

SIDE = 80
STOCK, INK = "#f1eee4", "#16150f"
# Two steps without a common measure, so that no two points fall together (the plastic number's powers).
STEP = (0.7548776662, 0.5698402910)


def svg(one: Drawing | None) -> Markup:
    """Return the drawing, hidden from readers of screens, since the words beside it say the same; nothing for none."""
    if one is None:
        return Markup("")
    return Markup(
        f'<svg viewBox="0 0 {SIDE} {SIDE}" width="{SIDE}" height="{SIDE}" fill="none" stroke="{INK}" stroke-width="2" '
        f'stroke-linecap="round" stroke-linejoin="round" aria-hidden="true">'
        f'<rect width="{SIDE}" height="{SIDE}" rx="6" fill="{STOCK}" stroke="none"/>{"".join(_lines(one))}</svg>'
    )


def _lines(one: Drawing) -> Iterator[str]:
    match one:
        case Jar():
            return _jar(one)
        case Debris():
            return _debris(one)
        case Surface():
            return _surface(one)
        case Sound():
            return _sound(one)
        case Leak():
            return _leak(one)
        case Jug():
            return _jug(one)


def _path(d: str, fill: bool = False, width: float = 0) -> str:
    filled = f' fill="{INK}"' if fill else ""
    drawn = f' stroke-width="{width:g}"' if width else ""
    return f'<path d="{d}"{filled}{drawn}/>'


def _at(x: float, y: float) -> str:
    return f"{round(x, 1):g} {round(y, 1):g}"


def _spread(count: int, left: float, top: float, wide: float, high: float) -> list[tuple[float, float]]:
    """Return points that fill a box evenly."""
    return [(left + wide * ((0.5 + at * STEP[0]) % 1), top + high * ((0.5 + at * STEP[1]) % 1))
            for at in range(1, count + 1)]


def _dots(points: list[tuple[float, float]], width: float) -> str:
    return _path("".join(f"M{_at(x, y)}h0" for x, y in points), width=width) if points else ""


def _strokes(points: list[tuple[float, float]], length: float, width: float = 1.6) -> str:
    """Return a short line through each point, each another way."""
    d = ""
    for at, (x, y) in enumerate(points):
        turn = at * 2.4
        dx, dy = length / 2 * math.cos(turn), length / 2 * math.sin(turn)
        d += f"M{_at(x - dx, y - dy)}L{_at(x + dx, y + dy)}"
    return _path(d, width=width) if d else ""


def _chips(points: list[tuple[float, float]]) -> str:
    """Return pieces with a shape: a tooth's corner, a bit of roller, a bit of ring, in turn."""
    shapes = ("l12-3l3 11l-9 3z", "h13v8h-13z", "q7-9 14 0l-3 6q-4-6-8 0z")
    return "".join(_path(f"M{_at(x - 7, y - 3)}{shapes[at % 3]}", fill=True, width=1)
                   for at, (x, y) in enumerate(points))


def _jar(one: Jar) -> Iterator[str]:
    top, bottom, left, right = 24.0, 70.0, 22.0, 58.0
    floor = bottom - (bottom - top) * one.water
    if one.clear:
        yield '<circle cx="40" cy="46" r="9" stroke-width="3"/>'
    if one.dark == 4:
        yield _path(f"M{left:g} {top:g}H{right:g}V{floor:g}H{left:g}z", fill=True)
    elif one.dark:
        gap = (0, 11, 6.5, 3.8)[one.dark]
        rows = int((floor - top) / gap)
        yield _path("".join(f"M{left:g} {top + gap * row:.1f}H{right:g}" for row in range(1, rows + 1)), width=1.2)
    yield _dots(_spread(one.dots, left + 2, top + 3, right - left - 4, floor - top - 5), 2.2)
    yield _strokes(_spread(one.specks, left + 3, top + 4, right - left - 6, floor - top - 8), 4.5, 1.8)
    if one.water:
        yield (f'<rect x="{left:g}" y="{floor:.1f}" width="{right - left:g}" height="{bottom - floor:.1f}" '
               f'fill="{STOCK}"/>')
        if bottom - floor > 9:
            yield _path(f"M{left + 6:g} {floor + 7:.1f}q4-3 8 0t8 0t8 0", width=1.2)
    if one.foam:
        yield "".join(f'<circle cx="{25 + 6 * at}" cy="{21 - at % 2 * 4}" r="4" stroke-width="1.4"/>'
                      for at in range(6))
    yield _path(f"M{left:g} {top:g}H{right:g}M22 14v50q0 8 8 8h20q8 0 8-8v-50M19 8h42v6h-42z")


def _debris(one: Debris) -> Iterator[str]:
    if one.draw == "magnet":
        # A plug, its head down: thread, and the magnet on top with what clings to it.
        yield _path("M22 62h36v12h-36zM28 62v-18h24v18M28 50l24 4M28 56l24 4M32 44v-8h16v8")
        left, top, wide, high = 31.0, 30.0 - 4 * one.paste, 18.0, 4.0 + 4 * one.paste
        if one.paste:
            rise = 6 + 6 * one.paste
            yield _path(f"M29 40q-3-{rise} 11-{rise}t11 {rise}", width=1.6)
            yield _dots(_spread(10 * one.paste, left, top, wide, high), 1.6)
        lean = [-1.1 + 2.2 * at / max(one.slivers - 1, 1) for at in range(one.slivers)]
        hairs = "".join(f"M{_at(40 + 10 * math.sin(by), 30 - 6 * math.cos(by))}"
                        f"l{_at(15 * math.sin(by), -15 * math.cos(by))}" for by in lean)
        yield _path(hairs) if hairs else ""
        chips = [(40.0 + 21 * (at - (one.chips - 1) / 2), 22.0 - 8 * (at % 2)) for at in range(one.chips)]
    else:
        # A pan from above, a little from the side.
        yield _path("M6 34q34-20 68 0l-9 32q-25 10-50 0zM14 38q26-14 52 0")
        left, top, wide, high = 20.0, 40.0, 40.0, 24.0
        if one.paste:
            yield _path("M22 58q4-10 9-3t9 0t9 0t9 3", width=1.6)
            yield _dots(_spread(12 * one.paste, left + 3, top + 12, wide - 6, 9), 1.6)
        yield _strokes(_spread(one.slivers, left, top, wide, high), 4, 2.6)
        chips = [(21.0 + 13 * at, 46.0 + 12 * (at % 2)) for at in range(one.chips)]
    yield _strokes(_spread(one.glitter, left, top, wide, high), 3.5, 1.2)
    yield "".join(_path(f"M{_at(x, y - 3)}l3 3l-3 3l-3-3z", width=1.3)
                  for x, y in _spread(one.flakes, left, top, wide, high))
    yield _chips(chips)


BAND = (24.0, 32.0, 32.0, 22.0)  # where teeth and rollers touch: left, top, width, height


def _surface(one: Surface) -> Iterator[str]:
    edge = "stroke-dasharray=\"4 4\"" if one.mark == "hidden" else ""
    if one.draw == "tooth":
        shape = "M10 72l10-54q3-6 10-6h20q7 0 10 6l10 54z"
        if one.mark == "worn":
            shape = "M10 72l9-46q4-12 21-12t21 12l9 46z"
        elif one.mark == "chip":
            shape = "M10 72l10-54q3-6 10-6h10l4 8l6 3l2 8l8 4l10 37z"
    else:
        shape = "M16 18q24-8 48 0l-6 46q-18 6-36 0zM16 18q24 8 48 0"
    yield f'<path d="{shape}" {edge}/>'
    left, top, wide, high = BAND
    match one.mark:
        case "even" | "worn":
            more = 5 if one.mark == "worn" else 0
            yield _path("".join(f"M{_at(left - more + 5 * at, top + high)}l6-{high:g}" for at in range(6 + more // 3)),
                        width=1.2)
        case "stain":
            yield _path("".join(f"M{_at(left + 2 + 13 * at, top - 4)}v{high + 4:g}" for at in range(3)), width=5)
        case "pits":
            yield "".join(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{1.6 + at % 3 * 0.8:.1f}" fill="{INK}"/>'
                          for at, (x, y) in enumerate(_spread(9, left, top - 6, wide, high + 16)))
        case "blue":
            yield _path("".join(f"M{_at(left, top + 5 * at)}q8-5 16 0t16 0" for at in range(5)), width=1.4)
        case "chip":
            yield _path("M44 20l-4 6M50 23l-5 7M52 31l-6 5", width=1.2)
        case "hidden":
            yield _path("M33 36q0-8 7-8t7 7q0 5-7 8v5M40 56h0", width=3)


def _sound(one: Sound) -> Iterator[str]:
    yield _path("M8 40h64", width=0.8)
    if one.smooth:
        yield _path("M8 40" + f"q4-{4 * one.loud} 8 0t8 0" + "t8 0" * 6)
        return
    beats = one.beats or 1
    wide = 64 / beats
    inside = wide * (0.55 if one.beats else 1)
    d = ""
    for beat in range(beats):
        for at in range(one.strokes):
            x = 8 + beat * wide + (inside * (at + 0.5) / one.strokes)
            # Strokes of one height would be a tone: a noise is uneven.
            high = 3 * one.loud * (0.62 + 0.38 * math.cos(at * 2.4 + beat)) if one.strokes > 1 else 3 * one.loud
            d += f"M{_at(x, 40 - high)}v{2 * high:.1f}"
    yield _path(d, width=1.6)


def _leak(one: Leak) -> Iterator[str]:
    # A casing above, its cover below, the joint between them.
    yield _path("M8 12h64v18h-64zM14 30h52v14h-52z")
    yield _path("M14 30h52", width=3.4)
    if one.damp:
        yield _dots(_spread(26, 33, 33, 18, 20 if one.bead else 10), 2)
    if one.bead:
        yield _path("M37 44q-2 7 3 8t3-8", fill=True, width=1)
    for at in range(one.drops):
        y = 56 + 9 * at
        yield _path(f"M40 {y}q-5 7 0 7t0-7z", fill=True, width=1)
    if one.drops:
        yield _path("M26 76q14-5 28 0", width=2)
    elif one.bead or one.damp:
        yield _path("M26 76h28", width=1.2)


def _jug(one: Jug) -> Iterator[str]:
    bottom, whole = 70.0, 40.0  # the expected figure stands 40 above the bottom
    level, line = bottom - whole * one.share, bottom - whole
    yield _path("M18 12l6 58h30l6-58M18 12q-5-1-6-4M60 22q14 0 11 16q-2 12-14 12")
    leaning = (level - 12) * 6 / 58
    yield _path(f"M{18.8 + leaning:.1f} {level:.1f}H{59.2 - leaning:.1f}", width=2.4)
    rows = int((bottom - level) / 5)
    yield _path("".join(f"M{26 - row * 0.5:.1f} {bottom - 5 * row:g}h{26 + row:g}" for row in range(1, rows)), width=1)
    yield f'<path d="M10 {line:g}h52" stroke-dasharray="5 4"/>'
    yield _path(f"M6 {line - 4:g}l5 4l-5 4z", fill=True, width=1)
