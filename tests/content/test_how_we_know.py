"""The page "How we know": all that is published, our answers beside it, and that a wrong figure never gets that far."""

from __future__ import annotations

import re
import shutil
from io import BytesIO
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from answers import SITE
from fillmark import pipeline, worked
from fillmark.model.calculator import Calculator, Example
from harness import ROOT

PUBLISHED = [
    (one, example) for one in sorted(SITE.calculators.values(), key=lambda one: one.no)
    for example in (*one.examples, *one.also_checked) if SITE.sources[example.source].kind == "published"
]
# A number printed by a source is a row; where a source gives no number, what it says in words is one.
ROWS = [(one, example, name) for one, example in PUBLISHED for name in example.outputs or example.words]
CELLS = "all => all.map(row => [...row.cells].map(cell => cell.textContent.trim()))"


@pytest.fixture
def rows(page: Page) -> list[list[str]]:
    page.goto("how-we-know/")
    found: list[list[str]] = page.locator("tbody tr:has(td)").evaluate_all(CELLS)
    return found


def test_every_published_figure_stands_there_once(page: Page, rows: list[list[str]]) -> None:
    assert len(rows) == len(ROWS) >= 120
    assert page.locator("main p b").first.inner_text() == str(len(ROWS))
    assert page.locator("th[scope=rowgroup]").count() == len({one.no for one, _ in PUBLISHED})
    for cells, (one, example, name) in zip(rows, ROWS, strict=True):
        assert len(cells) == 4
        assert example.name in cells[0] or cells[0].startswith(one.outputs[name].label), cells


def number(text: str) -> float:
    found = re.match(r"[-−+]?\d+(\.\d+)?", text)
    assert found, text
    return float(found[0].replace("−", "-"))


def by_quantities(one: Calculator, example: Example, name: str) -> float:
    """Return our answer in the unit that the source prints, by quantities: the page has it by floats."""
    values = worked.bind(SITE.units, one, example.inputs)
    got = worked.program(SITE.units, one).quantities(worked.quantities(SITE.units, one, values))[name]
    return SITE.units.from_si(float(got.to_base_units().magnitude), example.outputs[name].unit)


def test_ours_and_what_it_is_off_by(rows: list[list[str]]) -> None:
    for (_, published, ours, off), (one, example, name) in zip(rows, ROWS, strict=True):
        if name not in example.outputs:
            assert (published, ours, off) == (example.words[name], example.words[name], "the same")
            continue
        printed = example.outputs[name]
        assert number(published) == printed.value
        digits = len(printed.text.split()[0].partition(".")[2])
        assert len(ours.partition(".")[2]) == digits + 1, (example.name, ours)
        got = by_quantities(one, example, name)
        assert number(ours) == pytest.approx(got, abs=0.51 * 10.0 ** -(digits + 1)), example.name
        by, may, power = re.fullmatch(r"(\S+) of ([\d.]+)(?: × 10(\S+))?", off).groups()  # type: ignore[union-attr]
        ten = 10.0 ** int(power.translate(str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789"))) if power else 1.0
        assert number(by) * ten == pytest.approx(got - printed.value, abs=0.51 * 10.0 ** -(digits + 1)), example.name
        # A last digit may be rounded away on both sides.
        assert abs(got - printed.value) <= float(may) * ten * 1.005, (example.name, off)


def test_sources_are_numbered_and_from_memory_is_said(page: Page, rows: list[list[str]]) -> None:
    listed = page.locator("main ol li").all_inner_texts()
    for cells, (_, example, _) in zip(rows, ROWS, strict=True):
        place = re.search(r"\[(\d+)(?:, ([^\]]+))?\]$", cells[0])
        assert place, cells
        source, said = SITE.sources[example.source], listed[int(place[1]) - 1]
        assert said.startswith(source.title) and (source.where or "") in said
        assert place[2] in (None, example.page) and (example.page or "") in f"{place[2]} {said}"
        assert said.endswith("from memory, check") == (source.confidence == "memory")
    assert len(listed) == len({example.source for _, example in PUBLISHED})


def test_a_wrong_figure_stops_the_build(tmp_path: Path) -> None:
    content = tmp_path / "content"
    shutil.copytree(ROOT / "content", content)
    for kind, old, new in (("examples", "out: {nu: 8.5 mm²/s}", "out: {nu: 8.6 mm²/s}"),
                           ("also_checked", "out: {area: 61.2 mm²}", "out: {area: 61.3 mm²}")):
        for path in (content / "calculators").glob("*.yaml"):
            text = path.read_text("utf-8")
            if old in text.partition("also_checked:")[2 if kind == "also_checked" else 0]:
                path.write_text(text.replace(old, new, 1), "utf-8")
                break
        else:
            pytest.fail(f"no figure '{old}' under {kind} to make wrong")
        outcome = pipeline.run(content, ROOT / "site_src", tmp_path / "dist")
        assert [(one.file, one.message) for one in outcome.problems] == [
            (f"content/calculators/{path.name}", "the calculator gives another answer, by floats")]
        assert outcome.problems[0].path.startswith(kind) and not (tmp_path / "dist").exists()
        path.write_text(text, "utf-8")


def test_it_is_light_and_kept_for_no_signal(dist: Path) -> None:
    page = (dist / "how-we-know" / "index.html").read_bytes()
    assert len(page) <= max(45_000, 150 * len(ROWS)), f"{len(page)} bytes for {len(ROWS)} rows"
    assert '"how-we-know/"' in (dist / "sw.js").read_text("utf-8")


@pytest.mark.parametrize("start", ["work-out/", "about/"])
def test_the_way_there(page: Page, start: str) -> None:
    page.goto(start)
    page.locator("main").get_by_role("link", name=re.compile("How we know")).click()
    expect(page.locator("h1")).to_have_text("How we know")


def test_on_a_small_phone_and_for_everybody(page: Page) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto("how-we-know/")
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    found = Axe().run(page, options={"rules": {"color-contrast-enhanced": {"enabled": True}}})
    assert found.violations_count == 0, found.generate_report()


def test_on_paper_no_column_is_cut_off(page: Page) -> None:
    page.goto("how-we-know/")
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 730, "height": 1000})  # A4 less its margins, in CSS pixels
    assert page.locator(".checks").evaluate("table => table.scrollWidth <= table.parentElement.clientWidth")
    printed = PdfReader(BytesIO(page.pdf(format="A4")))
    text = " ".join(sheet.extract_text() for sheet in printed.pages)
    assert len(printed.pages) <= 4 + len(ROWS) // 45
    assert "Misprints of public charts" in text and text.count("the same") >= sum(
        name not in example.outputs for _, example, name in ROWS)
