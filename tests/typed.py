"""A calculator's open page, driven: worked examples typed into its fields as sources print them, and read as shown."""

from __future__ import annotations

import math
import re

from answers import SITE
from fillmark.model.amount import Amount
from fillmark.model.calculator import Output

# Types each example into the fields of the open page and reads what it shows. What the example does not give stands as
# when the page was opened, or empty where it may stay so.
TYPED = """async ([name, examples]) => {
  const { calculator } = await import(new URL(`../../js/data/calc/${name}.js`, location.href).href)
  const told = (event) => new Event(event, { bubbles: true })
  const all = [...document.querySelectorAll('[data-input]')].map((field) => {
    const box = field.querySelector('input') ?? field.querySelector('select')
    const units = field.querySelector('.pair select')
    const may = calculator.inputs.find(({ id }) => id === field.dataset.input).optional
    return { field, box, units, first: [may ? '' : box.value, units?.value ?? ''] }
  })
  return examples.map(({ fields, values }) => {
    const wrong = []
    for (const { field, box, units, first } of all) {
      const [number, unit] = fields[field.dataset.input] ?? first
      box.value = number
      if (box.value !== number) wrong.push(`${field.dataset.input}: ${number} cannot be picked`)
      if (units && unit) units.value = unit
      const stands = units ? units.value : field.querySelector('.unit')?.textContent ?? ''
      if (unit && stands !== unit) wrong.push(`${field.dataset.input}: ${unit} is not offered`)
      for (const part of [box, units]) part?.dispatchEvent(told('input'))
    }
    for (const { field } of all) {
      const said = field.querySelector('[data-say]').textContent
      if (fields[field.dataset.input] && /^Not used/.test(said)) wrong.push(`${field.dataset.input}: ${said}`)
    }
    const refused = document.querySelector('[data-refused]')
    if (!refused.hidden) wrong.push(refused.textContent)
    const shown = [...document.querySelectorAll('[data-output]')].map((place) => [place.dataset.output,
      place.querySelector('[data-value]').textContent, place.querySelector('[data-also]').textContent])
    const work = calculator.work(values)
    return { wrong, shown: Object.fromEntries(shown.map(([id, ...texts]) => [id, texts])), work }
  })
}"""


def as_typed(got: Amount | str) -> tuple[str, str]:
    """Return what is typed or picked, and the unit beside it: the number as the source prints it."""
    if not isinstance(got, Amount):
        return got, ""
    unit = SITE.units.known(got.unit)
    assert unit, got
    return (got.text.removesuffix(got.unit).strip() if got.unit != "1" else got.text.removesuffix(" 1")), (
        "" if got.unit == "1" else unit.symbol)


def shown_off(output: Output, shown: list[str], printed: Amount, allowed: float) -> str:
    """Return what is wrong with a number on the page, which is rounded to the digits of its output."""
    value, also = shown
    text = also.split(" · ")[0] if output.words else value
    match = re.match(r"[-−]?\d+(\.\d+)?", text)
    if not match:
        return f"shows '{value}' '{also}', no number"
    number, unit = float(match[0].replace("−", "-")), SITE.units.known(output.unit)
    assert unit
    whole = math.floor(math.log10(abs(number))) + 1 if number else 0
    step = 0.5 * 10.0 ** (whole - output.digits) if output.digits else 0.5
    apart = abs(number * unit.factor + unit.offset - SITE.units.si(printed))
    if apart <= allowed + step * unit.factor * (1 + 1e-9):
        return ""
    return f"shows {text}, the source prints {printed.text}"
