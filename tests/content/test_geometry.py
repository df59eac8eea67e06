"""Level, lift, sealant, grease and belt against references apart from this project, each named beside it.

Random inputs are seeded. The references are scipy and numpy, exact fractions, and the figures of standards.
"""

from __future__ import annotations

import math
from fractions import Fraction

import numpy
import pytest
from scipy.integrate import quad
from scipy.spatial.transform import Rotation

from answers import SITE, answer, says
from geometry import each, slipped, worked

# -- Level ------------------------------------------------------------------------------------------------------------

# Plane geometry: the wheelbase, seen as a line between the axles, is turned by scipy until its end stands as high as
# typed; the oil stays flat, and the hole's height over it is read along the casing.
def test_hole_tilt_from_a_lift() -> None:
    for chance in each(5):
        along, across, surface = (round(chance.uniform(*ends), 1) for ends in ((-600, 600), (0, 600), (20, 4000)))
        wheelbase = round(chance.uniform(1500, 4500), 1)
        lifted = round(chance.uniform(-0.173, 0.173) * wheelbase, 1)
        turned = Rotation.from_euler("y", math.asin(lifted / wheelbase))
        assert turned.apply([-wheelbase, 0, 0])[2] == pytest.approx(lifted, abs=1e-9)
        up = turned.inv().apply([0, 0, 1])
        rise = (up[0] * -along + up[1] * across) / up[2]
        got = worked("hole-tilt", lifted=f"{lifted} mm", wheelbase=f"{wheelbase} mm", roll="0 °", along=f"{along} mm",
                     across=f"{across} mm", surface=f"{surface} cm²")
        assert got["rise"] == pytest.approx(rise, rel=1e-9, abs=1e-9)
        assert got["volume"] == pytest.approx(rise * surface / 1e4, rel=1e-9, abs=1e-9)


def test_hole_tilt_both_ways_at_once() -> None:
    worst = 0.0
    for chance in each(6):
        pitch, roll = (round(chance.uniform(-10, 10), 2) for _ in range(2))
        along, across = round(chance.uniform(-600, 600), 1), round(chance.uniform(0, 600), 1)
        up = Rotation.from_euler("yx", [pitch, roll], degrees=True).inv().apply([0, 0, 1])
        rise = (up[0] * -along + up[1] * across) / up[2]
        got = answer("hole-tilt", "mm", "rise", pitch=f"{pitch} °", roll=f"{roll} °", along=f"{along} mm",
                     across=f"{across} mm", surface="420 cm²")
        # The two parts may cancel, so the error is held against their size; the note on the page says 2 %.
        size = abs(along * math.tan(math.radians(pitch))) + abs(across * math.tan(math.radians(roll)))
        worst = max(worst, abs(got - rise) / size if size else 0)
    assert 0.005 < worst < 0.02


def test_filling_to_the_hole_on_a_slope_is_said() -> None:
    level = {"roll": "0 °", "along": "110 mm", "across": "0 mm", "surface": "420 cm²"}
    assert slipped("hole-tilt", pitch="5.41 °", **level) == [0]
    assert slipped("hole-tilt", pitch="-5.41 °", **level) == [1]
    assert slipped("hole-tilt", pitch="0.5 °", **level) == []


# scipy.integrate.quad: the chord of a circle, summed from the bottom up to the level.
def test_lying_housing_against_integration() -> None:
    for chance in each(41):
        diameter, length = round(chance.uniform(20, 1000), 1), round(chance.uniform(10, 3000), 1)
        level = round(chance.uniform(max(1, diameter / 200), diameter), 2)
        got = worked("lying-housing", diameter=f"{diameter} mm", length=f"{length} mm", level=f"{level} mm")
        # In the angle from the bottom, where the chord is smooth: z = D/2 (1 − cos t), the strip D²/2 sin² t dt.
        area, _ = quad(lambda t, d=diameter: d**2 / 2 * math.sin(t) ** 2, 0, math.acos(1 - 2 * level / diameter))
        assert got["volume"] == pytest.approx(area * length / 1e6, rel=1e-9)
        assert got["share"] == pytest.approx(400 * area / (math.pi * diameter**2), rel=1e-9)
        assert got["full"] == pytest.approx(math.pi / 4 * diameter**2 * length / 1e6, rel=1e-12)
        if 0.05 < level / diameter < 0.95:
            step = diameter * 1e-4
            up, down = (answer("lying-housing", "mL", "volume", diameter=f"{diameter} mm", length=f"{length} mm",
                               level=f"{level + way * step:.9f} mm") for way in (1, -1))
            assert got["surface"] == pytest.approx((up - down) / (2 * step) * 10, rel=1e-5)
            assert got["millimetre"] == pytest.approx(got["surface"] / 10, rel=1e-12)


def test_a_housing_filled_to_a_third_is_not_a_third_full() -> None:
    round_one = {"diameter": "200 mm", "length": "150 mm"}
    assert slipped("lying-housing", level="60 mm", **round_one) == [0]
    assert slipped("lying-housing", level="100 mm", **round_one) == []
    assert answer("lying-housing", "%", "share", level="100 mm", **round_one) == pytest.approx(50, rel=1e-12)
    assert answer("lying-housing", "%", "share", level="200 mm", **round_one) == pytest.approx(100, rel=1e-12)


# API MPMS 11.1 (ASTM D1250-04, IP 200/04), lubricating oils, read in a public description: K0 = 0, K1 = 0.34878,
# factor = exp(−α·ΔF·(1 + 0.8·α·ΔF)) with α = K1/ρ at 60 °F and ΔF in °F. A volume goes as the inverse of its factor.
def test_swelling_against_the_standard_in_fahrenheit() -> None:
    def factor(density: float, celsius: float) -> float:
        alpha, above = 0.34878 / (density * 1000), celsius * 9 / 5 + 32 - 60
        return math.exp(-alpha * above * (1 + 0.8 * alpha * above))

    for chance in each(26):
        volume, density = round(chance.uniform(0.1, 20), 3), round(chance.uniform(0.8, 1.16), 4)
        cold, hot = round(chance.uniform(-20, 120), 1), round(chance.uniform(-20, 140), 1)
        got = worked("fill-temperature", volume=f"{volume} L", cold=f"{cold} °C", hot=f"{hot} °C",
                     density=f"{density} kg/L", surface="420 cm²")
        full = volume * factor(density, cold) / factor(density, hot)
        assert got["then"] == pytest.approx(full, rel=1e-12)
        # The short form leaves out what the standard adds with the span: at most a seventh of the change.
        assert got["change"] == pytest.approx(full - volume, rel=1 / 7, abs=1e-12)
        assert got["level"] == pytest.approx(got["change"] / 420 * 1e4, rel=1e-12, abs=1e-12)


def test_swelling_a_degree_is_that_of_the_standard() -> None:
    # 0.34878/890 per °F is 0.000705 per °C; near 60 °F the full form goes the same way.
    alpha = 0.34878 / 890 * 1.8
    assert alpha == pytest.approx(0.00071, abs=5e-6)
    oil = {"volume": "1 L", "density": "0.89 kg/L", "cold": "60 °F", "hot": "61.8 °F"}
    assert answer("fill-temperature", "L", "change", **oil) == pytest.approx(alpha, rel=1e-9)
    assert answer("fill-temperature", "L", "then", **oil) == pytest.approx(1 + alpha, abs=1e-6)
    assert slipped("fill-temperature", **oil) == []
    assert slipped("fill-temperature", **{**oil, "hot": "10 °C"}) == [0]


# -- Lift -------------------------------------------------------------------------------------------------------------

# Statics: the two axle loads are the solution of forces and moments, by numpy; the rise is the turned wheelbase.
def test_axle_loads_against_statics() -> None:
    for chance in each(21):
        kerb, share = round(chance.uniform(400, 5000), 1), round(chance.uniform(20, 80), 1)
        load, wheelbase = round(chance.uniform(0, 2000), 1), round(chance.uniform(1500, 4500), 1)
        rise, rating = round(chance.uniform(0, 450), 1), round(chance.uniform(0.2, 20), 2)
        end, count = chance.choice(("rear", "front")), chance.choice(("each", "pair"))
        behind = share / 100 * wheelbase  # where the mass of the empty vehicle acts
        on = wheelbase if end == "rear" else 0
        front, rear = numpy.linalg.solve([[1, 1], [0, wheelbase]], [kerb + load, kerb * behind + load * on])
        got = worked("lift-and-stands", kerb=f"{kerb} kg", rear=f"{share} %", load=f"{load} kg", end=end, count=count,
                     rating=f"{rating} t", rise=f"{rise} mm", wheelbase=f"{wheelbase} mm")
        lifted = rear if end == "rear" else front
        assert got["axle"] == pytest.approx(lifted, rel=1e-9)
        stand = rating * 1000 / (2 if count == "pair" else 1)
        assert got["each"] == pytest.approx(stand, rel=1e-12)
        assert got["margin"] == pytest.approx(100 * stand / lifted, rel=1e-9)
        turned = Rotation.from_euler("y", got["pitch"], degrees=True).apply([-wheelbase, 0, 0])
        assert turned[2] == pytest.approx(rise, abs=1e-7)


def test_stands_rated_by_the_pair_are_not_read_as_each() -> None:
    lift = {"kerb": "1960 kg", "rear": "48 %", "load": "0 kg", "end": "rear"}
    assert slipped("lift-and-stands", rating="1.5 t", count="pair", **lift) == [0]
    assert says("lift-and-stands", "margin", rating="1.5 t", count="pair", **lift).startswith("too weak")
    assert slipped("lift-and-stands", rating="1.5 t", count="each", **lift) == []
    assert slipped("lift-and-stands", rating="2 t", count="pair", **lift) == []
    assert slipped("lift-and-stands", rating="0.5 t", count="pair", **lift) == []  # too weak either way
    # Not said of itself: what the label speaks of must be picked.
    assert math.isnan(answer("lift-and-stands", "kg", "each", rating="2 t", **lift))


def test_the_danger_of_a_jack_is_said() -> None:
    first = SITE.calculators["lift-and-stands"].cautions[0]
    assert first.severity == "danger" and "jack only" in first.says


# -- Sealant, grease, belt --------------------------------------------------------------------------------------------

# scipy.integrate.quad: the round bead as strips of its height, swept along its length.
def test_bead_against_integration() -> None:
    for chance in each(22):
        bead, gap, flange = (round(chance.uniform(*ends), 2) for ends in ((1, 6), (0.05, 3), (3, 60)))
        perimeter, loop = round(chance.uniform(50, 5000), 1), round(chance.uniform(4, 40), 1)
        bolts = chance.randint(0, 60)
        tube = round(chance.uniform(5, 400), 1)
        area, _ = quad(lambda t, d=bead: d**2 / 2 * math.sin(t) ** 2, 0, math.pi)
        length = perimeter + sum(math.pi * loop for _ in range(bolts))
        got = worked("bead-and-tube", perimeter=f"{perimeter} mm", bolts=f"{bolts} 1", loop=f"{loop} mm",
                     bead=f"{bead} mm", gap=f"{gap} mm", flange=f"{flange} mm", tube=f"{tube} mL")
        assert got["long"] == pytest.approx(length, rel=1e-12)
        assert got["volume"] == pytest.approx(area * length / 1000, rel=1e-9)
        assert got["width"] * gap == pytest.approx(area, rel=1e-9)
        # Nothing is lost: what stays under the flange and what comes out make the bead.
        stays = min(got["width"], flange) * gap * length / 1000
        assert got["waste"] + stays == pytest.approx(got["volume"], rel=1e-9)
        assert got["part"] == pytest.approx(100 * got["volume"] / tube, rel=1e-9)


def test_a_bead_wider_than_its_flange_is_said() -> None:
    cover = {"perimeter": "780 mm", "bolts": "10 1", "loop": "14 mm", "gap": "1 mm", "flange": "12 mm"}
    assert slipped("bead-and-tube", bead="5 mm", **cover) == [0]
    assert slipped("bead-and-tube", bead="3 mm", **cover) == []


# scipy.integrate.quad: the ring as tubes round the axis; mass by 7.80 kg/L, which is the 76.5 kN/m³ of Shigley, table
# A-5, over the standard gravity of 9.80665 m/s².
def test_grease_against_integration() -> None:
    assert pytest.approx(7800, rel=2e-4) == 76.5e3 / 9.80665
    for chance in each(33):
        inner = round(chance.uniform(4, 200), 1)
        outer, width = round(inner + chance.uniform(10, 100), 1), round(chance.uniform(3, 120), 1)
        ring, _ = quad(lambda r, w=width: 2 * math.pi * r * w, inner / 2, outer / 2)
        mass, part = round(ring * 7.8e-3 * chance.uniform(0.2, 0.9), 3), round(chance.uniform(10, 100), 1)
        got = worked("grease", outer=f"{outer} mm", inner=f"{inner} mm", width=f"{width} mm", mass=f"{mass} g",
                     part=f"{part} %", stroke="0.8 g")
        assert got["free"] == pytest.approx(ring / 1000 - mass / 7.8, rel=1e-9)
        assert got["strokes"] * 0.8 == pytest.approx(got["need"], rel=1e-12)
        assert got["need"] == pytest.approx(got["free"] * part / 100 * 0.9, rel=1e-9)


def test_a_bearing_without_its_outer_ring_is_said() -> None:
    size = {"outer": "65 mm", "inner": "35 mm", "width": "18 mm", "part": "100 %"}
    assert slipped("grease", mass="90 g", **size) == [0]
    assert slipped("grease", mass="240 g", **size) == []


# The rule of belts is 1/64 inch for each inch of free run; in metric it is rounded up to 1.6 mm for 100 mm.
def test_belt_against_the_rule_in_inches() -> None:
    assert Fraction("1.6") / 100 / Fraction(1, 64) == Fraction("1.024")  # so 16 in give 0.256 in, not 0.250
    for chance in each(35):
        span = round(chance.uniform(3, 39), 2)
        give = answer("belt-deflection", "in", "give", span=f"{span} in")
        assert give == pytest.approx(float(Fraction(str(span)) / 64 * Fraction("1.024")), rel=1e-12)
    assert slipped("belt-deflection", span="900 mm") == [0] and slipped("belt-deflection", span="320 mm") == []
    assert says("belt-deflection", "off", span="320 mm", measured="5 mm") == "right"
