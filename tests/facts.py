"""What a finished page must show, asked of it in the browser: used with the host on, off and after an update."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

PAGE = "cards/p01/"
CARD = PAGE + "?for=thornback/rear-axle"

# Calculator -> (what to type or choose, the output, the value in a unit or the word that must be shown).
# The answers are those of the worked examples; tests/content/test_calculators.py names their sources.
ANSWERS: dict[str, tuple[dict[str, str], str, float | str, str]] = {
    "torque-units": ({"target": "26", "low": "5", "high": "60"}, "torque", 19.2, "lb·ft"),
    "volumes": ({"volume": "2.2"}, "litres", 1.25, "L"),
    "cold-start": ({"coldest": "-18"}, "w85", "fails", ""),
    "thread-condition": ({"target": "26", "stated": "dry", "actual": "lubricated"}, "torque", 19.5, "N·m"),
    "axle-ratio": ({"shaft": "37.3", "wheel": "20", "held": "one"}, "counted", 3.73, ""),
    "viscosity": ({"kv40": "32", "kv100": "5.4", "temp": "80"}, "nu", 8.5, "mm²/s"),
    "torque-adapter": ({"torque": "26", "lever": "400", "adapter": "60", "angle": "0"}, "setting", 22.6, "N·m"),
    "fill-reconcile": ({"table": "2.35", "out": "1.70", "poured": "2.33"}, "drained", 72.3, "%"),
    "hole-tilt": ({"pitch": "5.41", "roll": "0", "along": "110", "across": "0", "surface": "420"}, "rise", 10.4, "mm"),
    "dew-gate": ({"air": "12", "humidity": "85", "metal": "11"}, "dew", 9.55, "°C"),
    "torque-ceiling": ({"thread": "m8", "mark": "class-8.8", "state": "dry"}, "torque", 25.5, "N·m"),
}


def card_shows_its_numbers(page: Page) -> None:
    """The rear axle's card: the demo garage's capacity, grade, cover torque in both units, and the drawn order."""
    main = page.locator("main")
    for shown in ("2.35 L", "75W-110", "19 lb·ft"):
        expect(main).to_contain_text(shown)
    expect(main).to_contain_text(re.compile(r"26\s*N·m"))
    expect(page.locator(".tags svg").first).to_be_visible()


def look_up_answers(page: Page) -> None:
    """Typing a vehicle and a unit leaves that unit first, with its capacity."""
    page.locator("#q").fill("thornback rear")
    first = page.locator("[data-list] .entry:visible").first
    expect(first).to_contain_text("Thornback")
    expect(first).to_contain_text("rear axle")
    expect(first).to_contain_text("2.35 L")


def calculator_answers(page: Page, name: str) -> None:
    """Type the figures of ANSWERS on the open page of a calculator and read its answer."""
    typed, output, expected, unit = ANSWERS[name]
    for field, value in typed.items():
        box = page.locator(f"#in-{field}")
        if box.evaluate("box => box.tagName") == "SELECT":
            box.select_option(value)
        else:
            box.fill(value)
    place = page.locator(f"[data-output={output}]")
    if isinstance(expected, str):
        expect(place).to_contain_text(expected)
        return
    expect(place.locator("[data-value]")).not_to_have_text("–")
    text = place.inner_text()
    shown = [float(number) for number in re.findall(rf"(\d+(?:\.\d+)?)\s*{re.escape(unit)}", text)]
    assert any(abs(number - expected) <= 0.005 * expected for number in shown), f"{name}: {expected} {unit} in {text!r}"
