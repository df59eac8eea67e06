"""Tyres, gears, axle, propshaft and the second look at wheel nuts against references apart from this project.

Random inputs are seeded. The references are exact fractions, numpy and scipy, and the figures of standards.
"""

from __future__ import annotations

import math
from fractions import Fraction

import numpy
import pint
import pytest
from scipy.spatial.transform import Rotation

from answers import SITE, answer, says
from fillmark.render.calculator_page import field
from geometry import INCH, MILE, each, slipped, worked

# -- Tyres ------------------------------------------------------------------------------------------------------------

# Outside diameters in mm as several public size tables print them.
@pytest.mark.parametrize(("width", "aspect", "rim", "printed"), [
    (205, 55, 16, 631.9), (215, 65, 17, 711.3), (225, 60, 17, 701.8), (225, 65, 17, 724.3), (215, 60, 16, 664.4),
    (265, 70, 16, 777.4), (265, 75, 16, 803.9), (235, 85, 16, 805.9), (235, 75, 15, 733.5),
])
def test_published_diameters(width: int, aspect: int, rim: int, printed: float) -> None:
    got = answer("tyre-factor", "mm", "new_od", new_width=f"{width} mm", new_aspect=f"{aspect} %", new_rim=f"{rim} in")
    assert got == pytest.approx(printed, abs=0.05 + 1e-9)


def test_the_published_circumference() -> None:
    # 205/55R16: 1985 mm in the tables that print 631.9 mm.
    got = answer("tyre-factor", "mm", "new_od", new_width="205 mm", new_aspect="55 %", new_rim="16 in")
    assert math.pi * got == pytest.approx(1985, abs=0.5)


def test_where_the_634_4_of_a_public_table_comes_from() -> None:
    # 225/45R17 is 634.3 mm exactly. A table prints 634.4 mm and 24.98 in: it rounded the side wall to 3.99 in first,
    # took 17 + 2 · 3.99 = 24.98 in, and cut 634.49 mm short. Ours is the exact one.
    got = answer("tyre-factor", "mm", "new_od", new_width="225 mm", new_aspect="45 %", new_rim="17 in")
    assert got == pytest.approx(634.3, abs=1e-9)
    wall = round(225 * 0.45 / 25.4, 2)
    assert 17 + 2 * wall == pytest.approx(24.98) and math.floor(24.98 * 25.4 * 10) / 10 == 634.4


# UN R30 and ETRTO take rims of 381, 406 and 432 mm for 15, 16 and 17 in and round to whole millimetres (from memory):
# the size code agrees with them to the millimetre, but not to the tenth.
@pytest.mark.parametrize(("size", "rim_mm"), [((205, 55, 16), 406), ((235, 75, 15), 381), ((215, 65, 17), 432)])
def test_rounding_of_un_r30(size: tuple[int, int, int], rim_mm: int) -> None:
    width, aspect, rim = size
    got = answer("tyre-factor", "mm", "new_od", new_width=f"{width} mm", new_aspect=f"{aspect} %", new_rim=f"{rim} in")
    assert abs(2 * width * aspect / 100 + rim_mm - got) <= 0.5


def test_tyre_factor_against_exact_fractions() -> None:
    for chance in each(14):
        sizes, given = [], {}
        for which in ("old", "new"):
            width, aspect, rim = chance.randint(125, 405), chance.randint(25, 100), chance.randint(10, 24)
            over = round(chance.uniform(20, 46), 2) if chance.random() < 0.25 else None
            given |= {f"{which}_width": f"{width} mm", f"{which}_aspect": f"{aspect} %", f"{which}_rim": f"{rim} in"}
            given |= {f"{which}_over": f"{over} in"} if over else {}
            sizes.append(Fraction(str(over)) * INCH if over else Fraction(2 * width * aspect, 100) + INCH * rim)
        k = sizes[1] / sizes[0]
        if chance.random() < 0.25:
            rolled = [chance.randint(1500, 3700) for _ in range(2)]
            given |= {"old_roll": f"{rolled[0]} mm", "new_roll": f"{rolled[1]} mm"}
            k = Fraction(rolled[1], rolled[0])
        elif chance.random() < 0.2:
            given["new_roll"] = "2400 mm"  # one alone counts for nothing
        distance, speed, ratio = chance.randint(0, 999999), chance.randint(10, 130), round(chance.uniform(2, 8), 2)
        got = worked("tyre-factor", **given, distance=f"{distance} mi", speed=f"{speed} mph", ratio=f"{ratio} 1")
        assert got["k"] == pytest.approx(float(k), rel=1e-12)
        assert got["old_od"] == pytest.approx(float(sizes[0]), rel=1e-12)
        assert got["new_od"] == pytest.approx(float(sizes[1]), rel=1e-12)
        assert got["true_distance"] == pytest.approx(float(k * distance), rel=1e-12)
        assert got["true_speed"] == pytest.approx(float(k * speed), rel=1e-12)
        assert got["acts"] * got["restore"] == pytest.approx(ratio**2, rel=1e-12)
        # A wheel that is k times as large turns 1/k times as often: the axle acts as one with that ratio.
        assert got["acts"] == pytest.approx(float(Fraction(str(ratio)) / k), rel=1e-12)
        # UN R39: 0 ≤ V1 − V2 ≤ 0.1 V2 + 4 km/h, said by the words and by the most it may show.
        true = k * speed * MILE / 1000
        over = speed * MILE / 1000 - true
        word = "below" if over < 0 else "within" if over <= true / 10 + 4 else "shows too much"
        if abs(over) > Fraction(1, 10**6):
            assert says("tyre-factor", "lawful", **given, speed=f"{speed} mph").startswith(word)
        assert got["most"] * float(MILE) / 1000 == pytest.approx(float(true * 11 / 10 + 4), rel=1e-12)


# UN R39, 5.3: the speed shown at 50, 70, 90, 110 and 130 km/h may be 59, 81, 103, 125 and 147 km/h at most.
@pytest.mark.parametrize(("true", "shown"), [(50, 59), (70, 81), (90, 103), (110, 125), (130, 147)])
def test_un_r39_at_its_edges(true: int, shown: int) -> None:
    tyres = {"old_over": "30 in"}
    at_edge = {**tyres, "new_over": f"{30 * true / shown!r} in"}  # shown is what an exact one showed on the old tyres
    assert says("tyre-factor", "lawful", **at_edge, speed=f"{shown} km/h") == "within its limits"
    assert says("tyre-factor", "lawful", **at_edge, speed=f"{shown - 1} km/h") == "within its limits"
    assert says("tyre-factor", "lawful", **at_edge, speed=f"{shown + 1} km/h").startswith("shows too much")
    assert says("tyre-factor", "lawful", **tyres, new_over="30 in", speed=f"{true} km/h") == "within its limits"


def test_slips_of_tyres() -> None:
    old, new = ({f"{which}_width": w, f"{which}_aspect": "75 %", f"{which}_rim": rim}
                for which, w, rim in (("old", "235 mm", "15 in"), ("new", "265 mm", "16 in")))
    swapped = {"old_over": "31.65 in", "new_over": "28.9 in"}
    assert slipped("tyre-factor", **old, **new, speed="60 mph") == [0]
    assert slipped("tyre-factor", **swapped, speed="60 mph") == []
    # Roll-outs of about 3 % under the circumference are usual; a diameter typed for a roll-out is not, nor two turns.
    assert slipped("tyre-factor", **old, **new, speed="60 mph", old_roll="2240 mm", new_roll="2455 mm") == [0]
    assert slipped("tyre-factor", **old, **new, speed="60 mph", old_roll="2240 mm", new_roll="2140 mm") == [1]
    assert slipped("tyre-factor", **old, **new, speed="60 mph", old_roll="2040 mm", new_roll="2455 mm") == [0, 1]


# -- Gears ------------------------------------------------------------------------------------------------------------

# pint turns the engine's revolutions into metres of road: another way than radians and half a diameter.
def test_gear_speeds_by_revolutions() -> None:
    quantity = pint.UnitRegistry().Quantity
    for chance in each(42):
        engine, road = round(chance.uniform(300, 8000), 1), round(chance.uniform(1, 150), 2)
        gear, transfer, axle = (round(chance.uniform(*ends), 3) for ends in ((0.4, 9), (0.7, 5), (2, 8)))
        width, aspect, rim = chance.randint(125, 405), chance.randint(25, 100), chance.randint(10, 24)
        got = worked("gear-speeds", engine=f"{engine} rpm", gear=f"{gear} 1", transfer=f"{transfer} 1",
                     axle=f"{axle} 1", width=f"{width} mm", aspect=f"{aspect} %", rim=f"{rim} in", road=f"{road} mph")
        turn = quantity(math.pi, "1") * (quantity(rim, "inch") + 2 * quantity(width * aspect / 100, "mm"))
        wheel = quantity(engine / (gear * transfer * axle), "1/minute")
        assert got["speed"] == pytest.approx((turn * wheel).to("mile/hour").magnitude, rel=1e-12)
        needed = quantity(road, "mile/hour") / turn * gear * transfer * axle
        assert got["needed"] == pytest.approx(needed.to("1/minute").magnitude, rel=1e-12)
        assert got["crawl"] == pytest.approx(gear * transfer * axle, rel=1e-12)


def test_the_rule_with_336() -> None:
    # Published: 70 mph · 4.10 · 336 / 28 in = 3444. The constant is 63360/(60 π) = 336.135, so 336 gives 0.04 % less:
    # that is the whole difference to our 3445.4.
    drive = {"gear": "1 1", "transfer": "1 1", "axle": "4.10 1", "over": "28 in", "road": "70 mph"}
    got = answer("gear-speeds", "rpm", "needed", **drive)
    assert pytest.approx(3444) == 70 * 4.10 * 336 / 28
    assert got == pytest.approx(3444 * (63360 / (60 * math.pi)) / 336, rel=1e-12)
    assert got == pytest.approx(3445.4, abs=0.05)


# Kinematics of an open differential, solved by numpy: ring = (left + right)/2, pinion = ratio · ring.
def test_axle_ratio_against_the_differential() -> None:
    for chance in each(15):
        ring, pinion, wheel = chance.randint(20, 80), chance.randint(5, 25), round(chance.uniform(1, 100), 2)
        held = chance.choice(("one", "both"))
        # unknown: shaft, ring, left, right; the left wheel turns as counted, the right one is held or turns alike
        equations = [[0, 1, -0.5, -0.5], [1, -ring / pinion, 0, 0], [0, 0, 1, 0], [0, 0, 0 if held == "one" else 1, -1]]
        shaft = numpy.linalg.solve(equations, [0, 0, wheel, 0])[0]
        got = worked("axle-ratio", shaft=f"{float(shaft)!r} turn",
                     wheel=f"{wheel} turn", held=held, ring=f"{ring} 1", pinion=f"{pinion} 1")
        assert got["counted"] == pytest.approx(ring / pinion, rel=1e-9)
        assert got["teeth"] == pytest.approx(float(Fraction(ring, pinion)), rel=1e-12)
        assert got["differ"] == pytest.approx(0, abs=1e-6)


def test_the_factor_of_two_is_said() -> None:
    turns = {"shaft": "37.3 turn", "wheel": "20 turn"}
    assert slipped("axle-ratio", **turns, held="both") == [0]
    assert slipped("axle-ratio", **turns, held="one") == []
    assert slipped("axle-ratio", shaft="74.6 turn", wheel="20 turn", held="one") == [1]


# -- Propshaft --------------------------------------------------------------------------------------------------------

def direction(slope: float, plan: float) -> numpy.ndarray:
    """Return the unit vector of a shaft that goes down by `slope` and left by `plan`, degrees."""
    return Rotation.from_euler("zy", [plan, slope], degrees=True).apply([1.0, 0, 0])


def between(one: numpy.ndarray, other: numpy.ndarray) -> float:
    return math.degrees(math.atan2(float(numpy.linalg.norm(numpy.cross(one, other))), float(one @ other)))


def test_joint_angles_against_vectors() -> None:
    for chance in each(29):
        slopes = [round(chance.uniform(-10, 10), 2) for _ in range(3)]
        sides = [round(chance.uniform(-8, 8), 2) if chance.random() < 0.7 else 0.0 for _ in range(2)]
        plans = [0.0, sides[0], sides[0] + sides[1]]
        shafts = [direction(slope, plan) for slope, plan in zip(slopes, plans, strict=True)]
        got = worked("propshaft-angles", gearbox=f"{slopes[0]} °", shaft=f"{slopes[1]} °", pinion=f"{slopes[2]} °",
                     side_front=f"{sides[0]} °", side_rear=f"{sides[1]} °")
        front, rear = between(shafts[0], shafts[1]), between(shafts[1], shafts[2])
        exact = not any(sides)  # √(a² + b²) is the small-angle form: true within 1.6 % up to 10°, exact in one plane
        assert got["front"] == pytest.approx(front, rel=1e-9 if exact else 0.016, abs=1e-9)
        assert got["rear"] == pytest.approx(rear, rel=1e-9 if exact else 0.016, abs=1e-9)
        assert got["apart"] == pytest.approx(abs(got["front"] - got["rear"]), abs=1e-9)
        if front > 1 and rear > 1:
            normals = [numpy.cross(shafts[0], shafts[1]), numpy.cross(shafts[1], shafts[2])]
            apart = between(*normals)
            assert got["planes"] == pytest.approx(min(apart, 180 - apart), abs=2.5 if not exact else 1e-6)


def test_bends_in_two_planes_are_said() -> None:
    bent = {"gearbox": "0 °", "shaft": "3 °", "pinion": "0 °"}
    assert slipped("propshaft-angles", **bent, side_front="4 °", side_rear="4 °") == [0]
    assert slipped("propshaft-angles", **bent, side_front="4 °", side_rear="-4 °") == []
    assert slipped("propshaft-angles", **bent, side_front="0 °", side_rear="0 °") == []
    assert says("propshaft-angles", "front", gearbox="4 °", shaft="4.3 °", side_front="0 °").startswith("too straight")


def driven(turned: numpy.ndarray, angle: float) -> numpy.ndarray:
    """Return how far the second shaft of one Cardan joint has turned, from the cross itself: its arm in the second
    yoke is square to the arm in the first and to the second shaft. Radians; both yokes start in the plane of the bend.
    """
    first = numpy.stack([numpy.zeros_like(turned), numpy.cos(turned), numpy.sin(turned)])
    axis = numpy.array([math.cos(angle), math.sin(angle), 0.0])
    arm = numpy.cross(axis, first, axisb=0, axisc=0)
    side = numpy.array([-math.sin(angle), math.cos(angle), 0.0])
    return numpy.unwrap(numpy.arctan2(arm[2], side @ arm)) - math.pi / 2


def test_joint_phasing_against_the_cross() -> None:
    turned = numpy.linspace(0, 2 * math.pi, 2881)
    for chance in each(43):
        front, rear = (round(chance.uniform(0.2, 35), 2) for _ in range(2))
        rear = front if chance.random() < 0.2 else rear
        out = chance.choice((0.0, 90.0, round(chance.uniform(0, 90), 1)))
        middle = driven(turned, math.radians(front))
        # The yokes of the middle shaft in line: what is driven by the first joint drives the second a quarter turn on.
        last = driven(middle + math.pi / 2 + math.radians(out), math.radians(rear))
        speed = numpy.gradient(last, turned, edge_order=2)[1:-1]
        got = worked("joint-phasing", front=f"{front} °", rear=f"{rear} °", out=f"{out} °")
        assert got["left"] == pytest.approx(100 * (speed.max() - speed.min()), rel=2e-4, abs=2e-4)
        single = numpy.gradient(middle, turned, edge_order=2)[1:-1]
        assert got["one"] == pytest.approx(100 * (single.max() - single.min()), rel=2e-4, abs=2e-4)
        assert got["fast"] == pytest.approx(single.max(), rel=1e-5)
        # One joint at the angle said is as uneven as the two.
        like = math.radians(got["like"])
        assert 100 * math.sin(like) * math.tan(like) == pytest.approx(got["left"], rel=1e-9, abs=1e-9)


# Mechanical Engineer's Data Handbook, 2.4.3: fastest 1/cos a, slowest cos a. VDI 2722 (from memory): for small angles
# the squares add with their sign, in line against each other and a quarter turn out together, and 0.0027 is 3°.
def test_joint_phasing_against_the_published_forms() -> None:
    for chance in each(44):
        front, rear = (round(chance.uniform(0.5, 8), 2) for _ in range(2))
        a, b = math.radians(front) ** 2, math.radians(rear) ** 2
        for out, squares in ((0, abs(a - b)), (90, a + b)):
            got = worked("joint-phasing", front=f"{front} °", rear=f"{rear} °", out=f"{out} °")
            assert math.radians(got["like"]) ** 2 == pytest.approx(squares, rel=0.02)
        angle = math.radians(front)
        assert got["one"] == pytest.approx(100 * (1 / math.cos(angle) - math.cos(angle)), rel=1e-9)
    assert math.radians(3) ** 2 == pytest.approx(0.0027, abs=5e-5)
    assert says("joint-phasing", "like", front="3 °", rear="0 °", out="0 °") == "runs even enough"


def test_yokes_out_of_line_are_said() -> None:
    assert slipped("joint-phasing", front="6 °", rear="6 °", out="0 °") == []
    assert slipped("joint-phasing", front="6 °", rear="6 °", out="22.5 °") == [0]


# -- Wheel nuts -------------------------------------------------------------------------------------------------------

def test_second_look_against_exact_fractions() -> None:
    for chance in each(20):
        unit, metres = chance.choice((("mi", MILE), ("km", Fraction(1000))))
        refit, k = chance.randint(0, 999000), round(chance.uniform(0.7, 1.5), 4)
        driven_on = round(chance.uniform(0, 300), 1)
        got = worked("retorque-due", refit=f"{refit} {unit}", k=f"{k} 1", now=f"{refit + driven_on:.1f} {unit}")
        for output, true in (("start", 50), ("until", 80), ("stop", 160)):
            shown = refit + Fraction(true * 1000) / metres / Fraction(str(k))  # by the odometer, in its own unit
            assert got[output] * float(MILE) == pytest.approx(float(shown * metres), rel=1e-12)
        since = Fraction(str(driven_on)) * metres / 1000 * Fraction(str(k))
        assert got["since"] == pytest.approx(float(since), rel=1e-7, abs=1e-6)
        word = ["not yet", "look now", "late", "overdue"][sum(since >= edge for edge in (50, 80, 160))]
        if min(abs(since - edge) for edge in (50, 80, 160)) > Fraction(1, 1000):
            assert says("retorque-due", "since", refit=f"{refit} {unit}", k=f"{k} 1",
                        now=f"{refit + driven_on:.1f} {unit}").startswith(word)


def test_an_odometer_that_does_not_count_true_is_said() -> None:
    assert slipped("retorque-due", refit="91340 mi", k="1.0960 1") == [0]
    assert slipped("retorque-due", refit="91340 mi", k="1 1") == []


def test_a_default_keeps_all_its_digits_on_the_page() -> None:
    # The unit of a plain number is "1": taking it off must not take the last digit of 1, 11 or 21.
    for name, one in SITE.calculators.items():
        for key, shape in one.typed().items():
            shown = field(SITE, key, shape)
            if shape.default:
                assert float(shown.number) == shape.default.value, (name, key, shown.number)
