"""The drawings of calculators against the numbers: each known point lies where the axes say, and the table agrees."""

from __future__ import annotations

import io
import math
import re
from importlib import resources
from urllib.parse import urlencode

import pypdfium2
import pytest
from playwright.sync_api import Page, expect

PAGES = ["battery-rest", "viscosity", "partial-change", "coolant-freeze", "clamp-band", "hole-tilt", "tyre-factor",
         "lying-housing"]
# Where each label of an axis is, by its number: its line of the grid, or else its own middle.
AXES = """() => {
  const svg = document.querySelector('[data-figure] svg')
  const lines = [...svg.querySelectorAll('path.grid:not([stroke-dasharray])')].map((one) => one.getBBox())
  const found = { x: [], y: [] }
  for (const text of svg.querySelectorAll('text')) {
    if (!/^−?[\\d.]+$/.test(text.textContent)) continue
    const box = text.getBBox()
    const [across, down] = [box.x + box.width / 2, box.y + box.height / 2]
    const up = lines.find((one) => one.width < 0.1 && Math.abs(one.x - across) < 1)
    const level = lines.find((one) => one.height < 0.1 && Math.abs(one.y - down) < 2 && one.x > box.x)
    const number = Number(text.textContent.replace('−', '-'))
    if (up && box.y > up.y + up.height) found.x.push([number, up.x])
    else if (level) found.y.push([number, level.y])
  }
  return found
}"""


def open_(page: Page, name: str, **figures: object) -> None:
    page.set_viewport_size({"width": 360, "height": 800})
    page.goto(f"work-out/{name}/" + (f"?{urlencode(figures)}" if figures else ""))
    expect(page.locator("[data-figure] table")).to_be_visible()


def change(page: Page, field: str, text: str) -> None:
    """Type or pick another figure, and wait until it is drawn."""
    page.locator("[data-figure] > :first-child").evaluate("one => { one.dataset.before = '' }")
    box = page.locator(field)
    if box.evaluate("one => one.tagName") == "SELECT":
        box.select_option(text)
    else:
        box.fill(text)
    expect(page.locator("[data-figure] > [data-before]")).to_have_count(0)


def of(page: Page, selector: str, *names: str) -> list[float]:
    """Return the attributes of one shape of the drawing as numbers."""
    shape = page.locator(f"[data-figure] svg {selector}")
    return [float(shape.get_attribute(name) or "nan") for name in names]


def numbers(page: Page, selector: str) -> list[float]:
    path = page.locator(f"[data-figure] svg {selector}").get_attribute("d") or ""
    return [float(found) for found in re.findall(r"-?[\d.]+", path)]


def value(page: Page, output: str) -> str:
    return page.locator(f'[data-output="{output}"] [data-value]').inner_text()


def rows(page: Page) -> dict[str, list[str]]:
    found = [row.split("\t") for row in page.locator("[data-figure] tbody tr").all_inner_texts()]
    return {first: rest for first, *rest in found}


def scale(marks: list[list[float]], value: float, even: object = None) -> float:
    """Return where a value lies between the two outermost marks of an axis; `even` makes the axis an even one."""
    f = even if callable(even) else float
    (low, at_low), (high, at_high) = min(marks), max(marks)
    assert high > low
    return at_low + (f(value) - f(low)) / (f(high) - f(low)) * (at_high - at_low)


def test_curve(page: Page) -> None:
    open_(page, "battery-rest", rest="12.24 V")  # half charged, by the table of common practice
    axes = page.evaluate(AXES)
    half = [scale(axes["x"], 12.24), scale(axes["y"], 50)]
    assert of(page, "circle.here", "cx", "cy") == pytest.approx(half, abs=0.6)
    assert rows(page)["12.2 V"] == ["44 %"]
    [at] = of(page, "circle.here", "cy")
    change(page, "#in-rest", "12,65")
    expect(page.locator("[data-figure] circle.here")).not_to_have_attribute("cy", f"{at:g}")  # drawn a frame later
    assert of(page, "circle.here", "cy") == pytest.approx([scale(axes["y"], 100)], abs=0.6)
    change(page, "#in-rest", "")
    expect(page.locator("[data-figure] circle")).to_have_count(0)  # the curve needs no point of its own


def double(nu: float) -> float:
    return math.log10(math.log10(nu + 0.7))


def kelvin(celsius: float) -> float:
    return math.log10(celsius + 273.15)


def test_oils(page: Page) -> None:
    open_(page, "viscosity", kv40=140, kv100=14.5, kv40_b="73.3", kv100_b="8.86", temp=20, coldest=-18, hot=115)
    axes = page.evaluate(AXES)
    # ASTM D341: straight on these scales; 140/14.5 is 489.45 at 20 °C, 73.30/8.86 is 240.981
    for oil, nu in ((0, 489.45), (1, 240.981)):
        dot = page.locator("[data-figure] circle.here").nth(oil)
        at = [float(dot.get_attribute(name) or 0) for name in ("cx", "cy")]
        assert at == pytest.approx([scale(axes["x"], 20, kelvin), scale(axes["y"], nu, double)], abs=0.6)
    line = numbers(page, "[data-oil=A]")
    points = list(zip(line[::2], line[1::2], strict=True))
    (x0, y0), (x1, y1) = points[0], points[-1]
    assert max(abs(y0 + (x - x0) / (x1 - x0) * (y1 - y0) - y) for x, y in points) < 0.3
    assert page.locator("[data-oil=A]").get_attribute("stroke-dasharray") is None
    assert page.locator("[data-oil=B]").get_attribute("stroke-dasharray") == "9 4"
    # SAE J306 (2019): 90 from 13.5, below 18.5
    top, high = of(page, "[data-grade='90']", "y", "height")
    assert [top, top + high] == pytest.approx([scale(axes["y"], nu, double) for nu in (18.5, 13.5)], abs=0.6)
    assert rows(page)["SAE J306, by 100 °C"] == ["90", "80"]
    assert rows(page)["20 °C"] == [value(page, "nu").removesuffix(" mm²/s"), value(page, "nu_b").removesuffix(" mm²/s")]
    assert rows(page)["−18 °C, coldest"] == ["none", "none"]
    expect(page.locator("[data-figure]")).to_contain_text("below 0 °C the equation says nothing")
    change(page, "#in-kv40_c", "200")
    expect(page.locator("[data-figure]")).to_contain_text("Oil C is not drawn: it needs both of its figures.")


def test_dilution(page: Page) -> None:
    open_(page, "partial-change", total="10 L", each="4 L", target="90 %", changes=1)
    ground = page.evaluate(AXES)["y"]
    # 40 % at a time leaves 60, 36, 21.6, 12.96, 7.78 %
    for count, left in enumerate((100, 60, 36, 21.6, 12.96, 7.776)):
        top, high = of(page, f"[data-changes='{count}']", "y", "height")
        assert [top, top + high] == pytest.approx([scale(ground, left), scale(ground, 0)], abs=0.6)
    fills = [page.locator(f"[data-changes='{count}']").get_attribute("fill") for count in range(7)]
    assert fills == ["url(#hatch)"] * 5 + ["currentColor"] * 2  # the fifth change reaches 90 %
    assert numbers(page, "[data-target]")[1] == pytest.approx(scale(ground, 10), abs=0.6)
    assert rows(page)["1"] == [value(page, one).removesuffix(" %") for one in ("left", "fresh")]
    assert value(page, "needed") == "5" and rows(page)["3"] == ["21.60", "78.40"]
    change(page, "#in-total", "")
    assert page.locator("[data-figure]").inner_text() == "Needs: All the fluid in the unit"


def test_freeze(page: Page) -> None:
    open_(page, "coolant-freeze", share="49.6 %", coldest="-18 °C")  # the handbook: −36.4 °C
    axes = page.evaluate(AXES)
    across, down = of(page, "circle.here", "cx", "cy")
    assert [across, down] == pytest.approx([scale(axes["x"], 49.6), scale(axes["y"], -36.4)], abs=0.6)
    x, top, bottom = numbers(page, "[data-margin]")
    assert [x, top, bottom] == pytest.approx([across, scale(axes["y"], -33.4), scale(axes["y"], -18)], abs=0.6)
    assert value(page, "margin").startswith("enough")
    assert rows(page)["49.6 %"] == ["−36", "−33 and −39"]
    change(page, "#in-coldest", "-40")
    expect(page.locator("[data-figure] svg")).to_have_attribute("aria-label", re.compile("short by 7 °C"))
    change(page, "#in-coldest", "")
    expect(page.locator("[data-margin]")).to_have_count(0)


def test_clamp(page: Page) -> None:
    open_(page, "clamp-band", target="26 N·m", state="dry", d="8 mm", lead="1.25")
    texts = page.locator("[data-figure] svg text").filter(has_text=re.compile(r"^\d+$")).all()
    marks = [[float(text.text_content() or 0), float(text.get_attribute("x") or 0)] for text in texts]
    left, wide = of(page, "[data-row='0']", "x", "width")
    shown = [float(value(page, name).split()[0]) for name in ("lowest", "mean", "highest")]
    mean = numbers(page, "[data-mean='0']")[0]
    assert [left, mean, left + wide] == pytest.approx([scale(marks, kn) for kn in shown], abs=0.8)
    proof = 580 * 36.609 / 1000  # kN, M8 8.8 by the formula of ISO 898-1
    for part in (0.75, 1):
        assert numbers(page, f"[data-proof='{part}']")[0] == pytest.approx(scale(marks, proof * part), abs=0.8)
    assert [float(number) for number in rows(page)["Dry, clean, plain or zinc-plated"]] == shown
    assert page.locator("[data-row='0']").get_attribute("fill") == "url(#hatch)"
    change(page, "#in-state", "lubricated")
    assert page.locator("[data-row='0']").get_attribute("fill") != "url(#hatch)"


def test_tilt(page: Page) -> None:
    open_(page, "hole-tilt", pitch="5.41 °", roll="0 °", along="110 mm", across="0 mm", surface="420 cm²")
    x, y = of(page, "circle.here", "cx", "cy")
    right = numbers(page, "[data-right]")[1]
    assert (right - y) / (x - 160) * 110 == pytest.approx(10.4, abs=0.05)  # to scale: 250 mm over 2640 mm, 110 mm out
    top, high = of(page, "[data-area=surplus]", "y", "height")
    assert [top, top + high] == pytest.approx([y, right], abs=0.1)
    x1, y1, x2, y2 = numbers(page, "[data-casing]")
    assert math.degrees(math.atan2(y1 - y2, x2 - x1)) == pytest.approx(5.41, abs=0.05)
    assert rows(page)["Together"][-1] == "10.4" and value(page, "volume") == "0.44 L"
    change(page, "#in-pitch", "-5.41")
    assert of(page, "[data-area=short]", "height") == pytest.approx([high], abs=0.1)
    change(page, "#in-pitch", "")
    assert page.locator("[data-figure]").inner_text().startswith("Needs: Pitch")


def test_tyres(page: Page) -> None:
    open_(page, "tyre-factor", old_width="235 mm", old_aspect="75 %", old_rim="15 in", new_width="265 mm",
          new_aspect="75 %", new_rim="16 in")
    old, new = (of(page, f"[data-tyre={when}]", "cy", "r") for when in ("old", "new"))
    assert new[1] / old[1] == pytest.approx(803.9 / 733.5, abs=1e-3)  # by the size code
    assert sum(old) == pytest.approx(sum(new), abs=0.02), "both stand on the ground"
    for when, (_, radius), rim, od in (("old", old, 15, 733.5), ("new", new, 16, 803.9)):
        assert of(page, f"[data-rim={when}]", "r")[0] / radius == pytest.approx(rim * 25.4 / od, abs=1e-3)
    assert rows(page)["Height, mm"] == ["733.5", "803.9"] and value(page, "new_od") == "803.9 mm"
    assert page.locator("[data-figure] svg").get_by_text("the new one is 70.4 mm higher").count() == 1


def test_housing(page: Page) -> None:
    open_(page, "lying-housing", diameter="200 mm", length="150 mm", level="60 mm")
    cy, radius = of(page, "[data-end]", "cy", "r")
    x, y, wide, _, level, deep = numbers(page, "[data-level]")
    assert [y, level] == pytest.approx([cy + radius - 0.6 * radius] * 2, abs=0.1)
    assert wide / (2 * radius) == pytest.approx(2 * math.sqrt(60 * 140) / 200, abs=0.01)
    assert deep / (2 * radius) == pytest.approx(150 / 200, abs=0.01) and x < 160
    assert rows(page)["60 mm"] == [value(page, "volume")] == ["1.19 L"]
    change(page, '[data-input="level"] select', "in")
    change(page, "#in-level", "2")
    assert "2 in" in rows(page)


@pytest.mark.parametrize("name", PAGES)
def test_readable_in_every_theme_and_black_on_white_on_paper(page: Page, name: str) -> None:
    open_(page, name)
    scripts = (page.locator("html").get_attribute("data-scripts") or "").split()
    assert f"figure/{page.locator('[data-figure]').get_attribute('data-figure')}" in scripts, "asked for at once"
    axe = (resources.files("axe_playwright_python") / "axe.min.js").read_text()
    page.evaluate(axe)
    for theme in ("card", "white", "dark"):
        page.evaluate("theme => { document.documentElement.dataset.theme = theme }", theme)
        told = page.evaluate("axe.run('[data-figure]', { resultTypes: ['violations'] })")
        assert told["violations"] == [], theme
        ink, labels = page.evaluate("""() => [getComputedStyle(document.body).color,
          [...document.querySelectorAll('[data-figure] text')].map((one) => getComputedStyle(one).fill)]""")
        assert labels and set(labels) == {ink}, theme
    size = page.evaluate("""() => { const svg = document.querySelector('[data-figure] svg')
      return parseFloat(getComputedStyle(svg.querySelector('text')).fontSize) * svg.getScreenCTM().a }""")
    assert size >= 12, "labels of at least 12 px at 360 px"
    page.evaluate("""() => { const others = 'main > :not(.calc), .calc > :not(figure)'
      document.querySelectorAll(others).forEach((one) => { one.hidden = true }) }""")
    sheet = pypdfium2.PdfDocument(io.BytesIO(page.pdf(format="A4", print_background=False)))[0]
    colours = sheet.render(scale=1.5).to_pil().convert("RGB").getcolors(1 << 24) or []
    counts = {colour: count for count, colour in colours}
    assert max(counts, key=lambda one: counts[one]) == (255, 255, 255) and counts[0, 0, 0] > 500
    assert all(max(colour) - min(colour) <= 8 for colour in counts), "nothing is printed in colour"
