"""The drawings of calculators over a grid of figures: nothing overlaps, sticks out, or is lost that matters."""

from __future__ import annotations

import random
import re
from typing import Any

import pytest
from playwright.sync_api import Page

from harness import ROOT

Json = dict[str, Any]
FIGURES = {  # figure -> the calculator that has it, and the labels that no figures may crowd out
    "curve": ("sealant-stretch", []),
    "oils": ("viscosity", ["^Viscosity, mm²/s$", "^Oil temper", "^75$", "^80$", "^85$", "^90$", "^110$", "^140$",
                           "^SAE at$", "^100 °C$"]),
    "dilution": ("partial-change", ["^Old fluid left, %$", "^Changes$", "^100$", r"^target [\d.]+ %$"]),
    "freeze": ("coolant-freeze", ["^Freezing point, °[CF]$", "^Share of antifreeze"]),
    "clamp": ("clamp-band", ["^75 %$", "^100 %$", "^Clamp load, kN$", "^Dry, clean", "^Anti-seize"]),
    "tilt": ("hole-tilt", ["^From ", "^hole$", "^Filled to the hole", "(too high|too low|as on level ground)$"]),
    "tyres": ("tyre-factor", ["^old$", "^new$", "^the new one is "]),
    "housing": ("lying-housing", ["^level .* of ", "^end$", "^side$"]),
}

# Draws each case on the page's own figure and looks at it. What is refused must say so, and is not looked at further.
LOOK = """async ({ name, figure, cases }) => {
  const { calculator } = await import(`../../js/data/calc/${name}.js`)
  const { draw } = await import(`../../js/figure/${figure}.js`)
  const place = document.querySelector('[data-figure]')
  const all = (selector) => [...place.querySelectorAll(selector)]
  const apart = (a, b) => a.x >= b.x + b.width || b.x >= a.x + a.width || a.y >= b.y + b.height || b.y >= a.y + a.height
  return cases.map(({ values, units }) => {
    const empty = calculator.inputs.filter(({ id, kind }) => kind === 'typed' && !(id in values))
    const missing = new Map(empty.map(({ id, label }) => [id, label]))
    const refused = calculator.refused(values).some(Boolean)
    const results = refused ? {} : calculator.work(values)
    draw(place, { calculator, values, results, missing, refused, units })
    const svg = place.querySelector('svg')
    if (!svg) return { said: place.textContent, refused }
    const [, , wide, high] = svg.getAttribute('viewBox').split(' ').map(Number)
    const out = ({ x, y, width, height }, slack) =>
      Math.min(x, y) < -slack || x + width > wide + slack || y + height > high + slack
    const texts = all('text').map((one) => ({ text: one.textContent, box: one.getBBox() }))
    const faults = []
    texts.forEach((one, index) => {
      if (out(one.box, 0.6)) faults.push(`sticks out: ${one.text}`)
      for (const other of texts.slice(index + 1)) {
        if (!apart(one.box, other.box)) faults.push(`${one.text} lies on ${other.text}`)
      }
    })
    for (const shape of all('g > :not(text)')) {
      if (out(shape.getBBox(), 1.6)) faults.push(`sticks out: ${shape.outerHTML}`)
    }
    for (const bad of place.innerHTML.match(/NaN|undefined|Infinity|null|–/g) ?? []) faults.push(`says ${bad}`)
    if (svg.getAttribute('role') !== 'img') faults.push('no role')
    if (!svg.getAttribute('aria-label').endsWith('The table beneath holds the numbers.')) faults.push('not told')
    if (all('caption, thead th[scope=col], tbody th[scope=row]').length < 4) faults.push('no table')
    for (const one of all('*')) {
      if (one.getBoundingClientRect().right > innerWidth) faults.push(`too wide: ${one.tagName} ${one.textContent}`)
    }
    return { faults, refused, texts: texts.map(({ text }) => text),
      oils: all('[data-oil]').map((one) => one.dataset.oil), margin: Number.isFinite(results.margin) }
  })
}"""
ABOUT = """async (name) => {
  const { calculator } = await import(`../../js/data/calc/${name}.js`)
  const offered = (id) => [...document.querySelectorAll(`[data-input="${id}"] .pair option`)].map(({ value }) => value)
  return calculator.inputs.map((one) => ({ ...one, offered: offered(one.id) }))
}"""


def cases(inputs: list[Json], count: int) -> list[Json]:
    """Return seeded figures within the declared ranges, one in three at an end, optional ones there or not."""
    chance = random.Random(20260418)
    out = []
    for _ in range(count):
        values: dict[str, float] = {}
        for one in inputs:
            if one["kind"] == "picked":
                values |= chance.choice(list(one["options"].values()))["gives"]
                continue
            if one.get("optional") and chance.random() < 0.5:
                continue
            low, high = one["min"][0], one["max"][0]
            share, even = chance.random(), low <= 0 or one["unit"] == "°C"
            between = low + (high - low) * share if even else low * (high / low) ** share
            values[one["id"]] = chance.choice([low, high]) if chance.random() < 0.33 else float(f"{between:.4g}")
            if one["id"] == "changes":  # a change is done or not
                values["changes"] = round(values["changes"])
        units = {one["id"]: chance.choice(one["offered"] or [one["unit"]]) for one in inputs if one["kind"] == "typed"}
        out.append({"values": values, "units": units})
    return out


@pytest.mark.parametrize("figure", FIGURES)
def test_no_label_lies_on_another_and_nothing_sticks_out(narrow: Page, figure: str) -> None:
    name, needed = FIGURES[figure]
    narrow.goto(f"work-out/{name}/")
    narrow.locator("[data-figure] svg").wait_for()
    tried = cases(narrow.evaluate(ABOUT, name), 200)
    found = narrow.evaluate(LOOK, {"name": name, "figure": figure, "cases": tried})
    drawn = 0
    for case, seen in zip(tried, found, strict=True):
        if "said" in seen:
            why = "No drawing for these figures." if seen["refused"] else "Needs: "
            assert seen["said"].startswith(why), (case, seen)
            continue
        drawn += 1
        assert seen["faults"] == [], (case, seen["faults"])
        marks = [f"^{mark} " for mark in ("coldest", "hot") if mark in case["values"] and figure in ("oils", "freeze")]
        marks += [rf"^{oil}$" for oil in seen["oils"] if len(seen["oils"]) > 1]
        marks += ["^(margin|short by) "] if seen["margin"] else []
        lost = [label for label in [*needed, *marks] if not any(re.search(label, text) for text in seen["texts"])]
        assert lost == [], (case, seen["texts"])
    assert drawn >= 30, f"only {drawn} of {len(tried)} were drawn"


def test_every_figure_of_the_folder_is_some_calculators() -> None:
    named = {found[1] for path in (ROOT / "content" / "calculators").glob("*.yaml")
             for found in re.finditer(r"^figure: (\w+)$", path.read_text("utf-8"), flags=re.M)}
    there = {path.stem for path in (ROOT / "site_src" / "js" / "figure").glob("*.js")} - {"axes", "paper", "curve"}
    assert named == there == set(FIGURES) - {"curve"}
