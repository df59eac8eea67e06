"""What a plan buys, and whether place and weather allow it: against the worked examples of the calculators."""

from __future__ import annotations

import json
import random
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from js.test_schedule import card

Json = dict[str, Any]
US_QT, IMP_PT = 0.946352946e-3, 0.56826125e-3  # m³: NIST SP 811 appendix B; UK Weights and Measures Act 1985


def ask(page: Page, call: str, *arguments: Any) -> Any:
    if page.url == "about:blank":
        page.goto("404.html")
    return json.loads(page.evaluate(
        f"""async a => {{
            const {{ lines, refused, purchase, sizes, things }} = await import('./js/lib/plan/buy.js')
            const {{ gate }} = await import('./js/lib/plan/gate.js')
            const {{ calculators }} = await import('./js/data/judging.js')
            const of = (id) => (given) => calculators[id].work(given)
            const works = {{ dew: of('dew-gate'), stretch: of('sealant-stretch') }}
            const vehicle = async id => {{
              const {{ vehicleOf }} = await import('./js/lib/sheet.js')
              const at = path => fetch(path).then(got => got.json())
              return vehicleOf(id, await at(`data/vehicles/${{id}}.json`), await at('data/site.json'))
            }}
            return JSON.stringify({call}) }}""", list(arguments)))


def wanted(page: Page, dist: Path, *which: tuple[str, str, str]) -> list[Json]:
    out = []
    for no, vehicle, unit in which:
        whole = ask(page, "await vehicle(a[0])", vehicle)
        out.append({"card": card(dist, no), "unit": whole["units"][unit], "vehicle": whole["short"]})
    return out


def test_the_worked_example_of_the_buy_list(page: Page, dist: Path) -> None:
    # C01: 2.35 L, of it 150 mL additive, 5 % spill: 2.31 L; 2 × 1.0 at 12.40 and 1 × 0.5 at 7.10 are 31.90.
    # With a litre to flush 3.36 L: 3 × 1.0 and 1 × 0.5 are 44.30.
    jobs = wanted(page, dist, ("p01", "thornback", "rear-axle"))
    bottles = [{"size": 1e-3, "price": 12.4}, {"size": 0.5e-3, "price": 7.1}]
    for flush, need, cost, counts in ((0, 2.31e-3, 31.9, [2, 1]), (1e-3, 3.36e-3, 44.3, [3, 1])):
        oil, additive = ask(page, "lines(a[0], 0.05, a[1])", jobs, flush)
        assert oil["need"] == pytest.approx(need, abs=5e-7) and oil["what"] == "75W-110 GL-5 LS" and not oil["unknown"]
        assert additive["need"] == pytest.approx(150e-6), "a dose: nothing is spilt on top of it"
        found = ask(page, "purchase(a[0], [], a[1], '2026-06-10')", oil, bottles)["buy"]
        assert found["cost"] == pytest.approx(cost) and [one["count"] for one in found["bottles"]] == counts


def test_the_same_fluid_is_one_line_and_an_unknown_one_never_is(page: Page, dist: Path) -> None:
    jobs = wanted(page, dist, ("p02", "drystone", "rear-axle"), ("p02", "drystone", "front-axle"),
                  ("p05", "drystone", "gearbox"), ("p09", "drystone", "brakes"))
    rear, front, gearbox, brakes = (job["unit"] for job in jobs)
    front["fluid"] = dict(rear["fluid"])
    axles, box, sealed = ask(page, "lines(a[0], 0)", jobs)
    assert axles["need"] == pytest.approx(rear["fills"]["refill"]["si"] + front["fills"]["refill"]["si"])
    assert len(axles["from"]) == 2 and box["need"] == pytest.approx(gearbox["fills"]["refill"]["si"])
    assert brakes["fluid"] is None and sealed["sealed"] and sealed["what"] == "Fluid not known"
    assert sealed["need"] == 0 and len(sealed["unknown"]) == 2, "neither which nor how much"
    rear["fluid"] = front["fluid"] = None
    lost = ask(page, "lines(a[0], 0)", jobs)
    assert [one["what"] for one in lost].count("Fluid not known") == 3, "what is not known is never one and the same"


def test_the_additive_goes_with_the_limited_slip_only(page: Page, dist: Path) -> None:
    jobs = wanted(page, dist, ("p02", "drystone", "rear-axle"))
    assert [one["of"] for one in ask(page, "lines(a[0], 0)", jobs)] == ["fluid"], "an open differential takes none"
    unit = jobs[0]["unit"]
    unit["diff"], unit["fluid"]["additive"] = "clutch-ls", "unknown"
    oil, additive = ask(page, "lines(a[0], 0)", jobs)
    assert additive["unknown"] and oil["need"] == pytest.approx(unit["fills"]["refill"]["si"])
    unit["fluid"]["additive"] = "included"
    assert len(ask(page, "lines(a[0], 0)", jobs)) == 1


def test_the_sizes_that_a_shop_asks_for(page: Page, dist: Path) -> None:
    jobs = wanted(page, dist, ("p01", "thornback", "rear-axle"), ("p02", "drystone", "rear-axle"))
    found = ask(page, "sizes(a[0])", jobs)
    assert "Thornback HR-225C rear axle, fill plug: M18×1.5, seal not known, key 10 mm square" in found
    assert any(one.startswith("Thornback HR-225C rear axle, cover: 10 × M8×1.25 8.8") for one in found)
    assert all(one.startswith(("Thornback", "Drystone")) for one in found)


# Common practice, no source: only what says the same thing on its label goes into the same fill.
@pytest.mark.parametrize(("change", "why"), [
    ({}, ""),
    ({"category": "GL-5"}, "category is GL-5"),
    ({"category": ""}, "not known"),
    ({"grade": "80W-90"}, "grade is 80W-90"),
    ({"best": "2026-06-09"}, "best before 2026-06-09"),
    ({"best": "2026-06-10"}, ""),
    ({"opened": "2020-01-01"}, ""),
])
def test_a_part_bottle_is_counted_or_it_is_said_why_not(page: Page, change: Json, why: str) -> None:
    line = {"need": 2e-3, "grade": "75W-110", "category": "GL-5 LS", "sealed": False}
    one = {"grade": "75w-110 ", "category": "GL-5 LS", "left": 0.4e-3, "opened": "", "best": ""} | change
    day, bottles = "2026-06-10", [{"size": 1e-3, "price": 10}, {"size": 0.6e-3, "price": 7}]
    said, found = ask(page, "[refused(a[0], a[1], a[3]), purchase(a[0], [a[1]], a[2], a[3])]", line, one, bottles, day)
    assert (why in said) if why else said == ""
    assert found["from"] == pytest.approx(0 if why else 0.4e-3)
    # 1.6 L: 1.0 and 0.6 for 17; 2.0 L: two of 1.0 for 20.
    assert found["buy"]["cost"] == (20 if why else 17)
    assert "drawn water" in ask(page, "refused({...a[0], sealed: true}, a[1], '2026-06-10')", line, one)


def cheapest(need: float, bottles: list[Json]) -> tuple[float, float]:
    """Return (cost, left over) of the best of all counts of bottles, cheapest first, then least over."""
    most = [range(int(need / one["size"] + 1) + 2) for one in bottles]
    best = (float("inf"), 0.0)
    for counts in product(*most):
        over = sum(n * one["size"] for n, one in zip(counts, bottles, strict=True)) - need
        if over >= -1e-9:
            cost = round(sum(n * one["price"] for n, one in zip(counts, bottles, strict=True)), 6)
            best = min(best, (cost, round(over, 9)))
    return best


def test_a_thousand_lists_of_metric_and_other_bottles_against_all_counts(page: Page) -> None:
    chance = random.Random(31)
    sizes = [0.25e-3, 0.5e-3, 1e-3, 2e-3, 5e-3, US_QT, 4 * US_QT, US_QT / 2, IMP_PT, 2 * IMP_PT]
    cases = []
    for _ in range(1000):
        bottles = [{"size": size, "price": round(size * 12_000 * chance.uniform(0.7, 1.6), 2)}
                   for size in chance.sample(sizes, chance.randint(1, 3))]
        line = {"need": chance.uniform(0.1e-3, 6e-3), "grade": "g", "category": "c", "sealed": False}
        open_ = [{"grade": "g", "category": "c", "left": chance.uniform(0, 0.8e-3), "opened": "", "best": ""}]
        cases.append((line, open_ if chance.random() < 0.4 else [], bottles))
    found = ask(page, "a[0].map(([line, open, bottles]) => purchase(line, open, bottles, '2026-06-10'))", cases)
    for (line, open_, bottles), one in zip(cases, found, strict=True):
        left = max(0.0, line["need"] - sum(part["left"] for part in open_))
        cost, over = cheapest(left, bottles)
        assert one["buy"]["proven"] and one["buy"]["cost"] == pytest.approx(cost, abs=1e-6), (line, bottles)
        assert one["buy"]["over"] == pytest.approx(over, abs=2e-9)


NOTHING = dict.fromkeys(("air", "damp", "metal", "labelAir", "labelDamp", "slope", "stand", "gap", "stack", "under",
                         "creeper"))
THORNBACK = {"name": "Thornback", "kerb": 1960, "rear": 0.48}


def judged(page: Page, place: Json, sealed: bool = False, dries: bool = False, raised: Json | None = None) -> Json:
    what = {"sealed": sealed, "dries": dries, "raised": [raised] if raised else []}
    return dict(ask(page, "gate(a[0], a[1], works)", place, what))


def test_what_was_not_measured_is_unknown_and_never_clear(page: Page) -> None:
    found = judged(page, NOTHING, sealed=True, dries=True, raised=THORNBACK)
    assert {one["state"] for one in found["verdicts"]} == {"unknown"} and found["times"] is None
    assert judged(page, NOTHING)["verdicts"] == []


def test_the_gate_is_that_of_the_calculators(page: Page) -> None:
    # C13, Magnus: 12 °C at 85 % has its dew point at 9.6 °C; metal at 11 °C is 1.4 K above it, and 3 are needed.
    # C12: a label at 23 °C and 50 %, today 8 °C and 45 %: 2.91 times.
    # C21: 1960 kg with 48 % on the rear axle is 941 kg there, so 1019 kg in front.
    place = NOTHING | {"air": 285.15, "damp": 0.85, "metal": 284.15, "slope": 0.015, "stand": 1000}
    dew, _, slope, stands = judged(page, place, sealed=True, raised=THORNBACK)["verdicts"]
    assert dew["state"] == "hold" and "9.6 °C" in dew["says"] and "1.4 K above" in dew["says"]
    assert slope["state"] == "go"
    assert stands["state"] == "hold" and "1019 kg" in stands["says"]
    cold = NOTHING | {"air": 281.15, "damp": 0.45, "metal": 281.15, "labelAir": 296.15, "labelDamp": 0.5}
    found = judged(page, cold, sealed=True)
    assert found["times"] == pytest.approx(2.91, abs=0.005)
    warm = cold | {"air": 303.15, "damp": 0.8}
    assert judged(page, warm, sealed=True)["times"] == 1, "never shortened"
    tight = NOTHING | {"gap": 0.12, "stack": 0.13, "under": 0.35, "creeper": 0.30, "slope": 0.02, "stand": 1019}
    level, stand, tools, room = judged(page, tight, raised=THORNBACK)["verdicts"]
    assert [one["state"] for one in (level, tools, room)] == ["hold", "hold", "go"]
    assert stand["state"] == "hold", "1019.2 kg: a kilogram short is short"


def test_cleaner_in_the_cold_is_never_called_dry(page: Page) -> None:
    for air, state in ((None, "unknown"), (282.15, "unknown"), (283.15, "go"), (300.15, "go")):
        [one] = judged(page, NOTHING | {"air": air}, dries=True)["verdicts"]
        assert one["state"] == state and one["says"].startswith("Cleaner: "), air
