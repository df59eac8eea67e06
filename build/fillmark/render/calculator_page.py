"""A calculator's page: fields, the formula as it was declared, constants with their origin, worked examples."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from fillmark.formula import curves, mathml
from fillmark.formula.language import parse
from fillmark.formula.program import compiled
from fillmark.model.amount import Amount, Origin
from fillmark.model.calculator import Calculator, Choice, Example, Quantity
from fillmark.model.site import Site
from fillmark.render.scripts import offers

# What each drawing shows; a curve is named by its output and its input.
FIGURES: dict[str, str] = {
    "oils": "Viscosity over oil temperature",
    "dilution": "Old fluid left after each change",
    "freeze": "Freezing point over glycol share",
    "clamp": "Clamp load by thread state",
    "tilt": "Section of the casing on its tilt",
    "tyres": "Both tyres to the same scale",
    "housing": "Oil in the lying housing",
}


@dataclass(frozen=True)
class Field:
    """An input of the page: typed (number and unit) or picked (`options`; `chosen` is one of them or empty)."""

    id: str
    label: str
    symbol: Markup
    limits: str
    number: str = ""
    unit: str = ""
    units: tuple[str, ...] = ()
    minus: bool = False
    optional: bool = False
    options: tuple[tuple[str, str], ...] = ()
    chosen: str = ""


@dataclass(frozen=True)
class Meaning:
    """A line of the list beneath the formulas: what a symbol means, its value, where that comes from."""

    symbol: Markup
    label: str
    value: str
    state: str = ""
    origin: str = ""


@dataclass(frozen=True)
class Worked:
    """A worked example in words."""

    name: str
    given: str
    answer: str
    origin: str


class Sources:
    """The sources of a page: each stands once at its foot, and is named by its number wherever a figure rests on it."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.titles: list[str] = []

    def cite(self, value: Origin) -> str:
        """Return `[2]`, with the value's own note where it has one."""
        title = origin(self.site, value).removesuffix(f". {value.note}")
        return self.number(title) + (f" {value.note}" if value.note else "")

    def number(self, title: str) -> str:
        """Return `[2]`."""
        if title not in self.titles:
            self.titles.append(title)
        return f"[{self.titles.index(title) + 1}]"


def context(site: Site, one: Calculator) -> dict[str, Any]:
    """Return what the template calculator.html shows."""
    name = next(name for name, known in site.calculators.items() if known is one)
    symbols, drawn = one.symbols(), curves.read(site.units, one.curves)
    sources = Sources(site)
    program = compiled(((key, step.formula) for _, key, step in one.formulas()), drawn)
    return {
        "calculator": one,
        "calculator_id": name,
        "fields": [field(site, input_id, shape) for input_id, shape in one.inputs.items()],
        "equal": all(output.words and not output.only_words for output in one.outputs.values()),
        "formulas": [
            (", ".join(filter(None, (step.label, unit_words(step.unit)))),
             Markup(mathml.block(step.symbol, parse(step.formula, drawn), symbols)))
            for _, _, step in one.formulas()
        ],
        "meanings": meanings(sources, one),
        "unit_words": unit_words,
        "curves": [
            (Meaning(Markup(mathml.inline(curve.symbol)), curve.label, "", curve.state, sources.cite(curve)), curve)
            for curve in one.curves.values()
        ],
        "options": options(sources, one),
        "backwards": any(not shape.only_words and program.needs(key) & set(one.typed())
                         for key, shape in one.outputs.items()),
        "refusals": [rule.say for rule in one.refuse],
        "examples": [worked(sources, one, example) for example in one.examples],
        "origin": sources.cite(one),
        "sources": sources.titles,
        "figure": one.figure or ("curve" if one.draw else ""),
        "figure_words": figure_words(one),
    }


def field(site: Site, name: str, shape: Quantity | Choice) -> Field:
    """Return one input as the page asks for it, with its default in place."""
    if isinstance(shape, Choice):
        listed = tuple((key, option.label) for key, option in shape.choices.items())
        return Field(name, shape.label, Markup(""), "", options=listed, chosen=shape.default or "",
                     optional=shape.optional)
    start = shape.default
    # A plain number has no unit to take off: the 1 of 11 is a digit.
    number = start.text.removesuffix(" 1" if start.unit == "1" else start.unit).strip() if start else ""
    units = tuple(offers(site.units, shape))
    least = site.units.si(shape.min)
    return Field(
        name, shape.label, Markup(mathml.inline(shape.symbol)), f"{span(shape.min, shape.max)}. {shape.why}",
        number, spelled(site, start.unit if start else shape.unit), units,
        any(site.units.from_si(least, unit) < 0 for unit in units), shape.optional,
    )


def spelled(site: Site, symbol: str) -> str:
    """Return a unit's own symbol for it or for an alias."""
    unit = site.units.known(symbol)
    return unit.symbol if unit else symbol


def text(amount: Amount) -> str:
    """Return an amount as shown: without the unit of plain numbers, with a real minus."""
    return amount.text.removesuffix(" 1").replace("-", "−", 1).replace("Δ", "")


def span(low: Amount, high: Amount) -> str:
    """Return `80 to 1500 mm`, or both units where they differ."""
    first = text(low).removesuffix(low.unit).strip() if low.unit == high.unit and low.unit != "1" else text(low)
    return f"{first} to {text(high)}"


def origin(site: Site, value: Origin) -> str:
    """Return the source in words: title, place, note."""
    source = site.sources[value.source]
    place = value.page or source.where
    said = source.title + (f", {place}" if place else "")
    if source.confidence == "memory":
        said += ", from memory, check"
    return f"{said}. {value.note}" if value.note else said


def meanings(sources: Sources, one: Calculator) -> list[Meaning]:
    """Return what the symbols of constants mean; those of fields, choices and results stand where they are shown."""
    return [
        Meaning(Markup(mathml.inline(constant.symbol)), constant.label, text(constant.value), constant.state,
                sources.cite(constant))
        for constant in one.constants.values()
    ]


def unit_words(symbol: str) -> str:
    """Return `in mm²/s`, or nothing for a plain number."""
    return "" if symbol == "1" else "in " + symbol.replace("Δ", "")


@dataclass(frozen=True)
class Carries:
    """Options of one choice whose constants come from the same places, so that those are said once for all of them.

    `options` are (label, values in the order of the choice's symbols); an origin names its symbols only where there
    are several.
    """

    options: tuple[tuple[str, tuple[str, ...]], ...]
    origins: tuple[Meaning, ...]


@dataclass(frozen=True)
class Options:
    """A table of options: the choices whose options these are, the symbols and meanings of its columns, its rows."""

    choices: str
    heads: tuple[tuple[Markup, str], ...]
    groups: tuple[Carries, ...]


def options(sources: Sources, one: Calculator) -> list[Options]:
    """Return the options of every choice with the constants they carry; choices that carry the same share a table."""
    out: dict[Any, Options] = {}
    for choice in one.picked().values():
        symbols = {key: Markup(mathml.inline(about.symbol)) for key, about in choice.carries.items()}
        made = Options(choice.label, tuple((symbols[key], about.label) for key, about in choice.carries.items()),
                       carried(sources, choice, symbols))
        key = made.groups, tuple(label for _, label in made.heads)
        if key in out:
            last = out[key]
            heads = tuple((symbol + Markup(", ") + other, label)
                          for (symbol, label), (other, _) in zip(last.heads, made.heads, strict=True))
            made = Options(f"{last.choices}; {made.choices}", heads, made.groups)
        out[key] = made
    return list(out.values())


def carried(sources: Sources, choice: Choice, symbols: dict[str, Markup]) -> tuple[Carries, ...]:
    """Return the options of a choice, neighbours of one origin together."""
    groups: list[Carries] = []
    for option in choice.choices.values():
        given = {key: option.gives[key] for key in choice.carries}
        values = tuple(text(value.value) for value in given.values())
        places = [(symbols[key], value.state, sources.cite(value)) for key, value in given.items()]
        said = sorted({(state, where) for _, state, where in places}, key=[place[1:] for place in places].index)
        origins = tuple(Meaning(
            Markup(", ").join(symbol for symbol, *place in places if tuple(place) == one_place) if len(said) > 1
            else Markup(""), "", "", *one_place,
        ) for one_place in said)
        last = groups.pop() if groups and groups[-1].origins == origins else Carries((), origins)
        groups.append(Carries((*last.options, (option.label, values)), origins))
    return tuple(groups)


def worked(sources: Sources, one: Calculator, example: Example) -> Worked:
    """Return a worked example as one line of what goes in and one of what comes out."""
    given = []
    for name, got in example.inputs.items():
        shape = one.inputs[name]
        shown = shape.choices[got].label if isinstance(shape, Choice) else text(got)
        given.append(f"{shape.label}: {shown}")
    said = {name: [text(amount)] for name, amount in example.outputs.items()}
    for name, word in example.words.items():
        said.setdefault(name, []).append(word)
    answers = [f"{one.outputs[name].label}: {', '.join(parts)}" for name, parts in said.items()]
    source = sources.site.sources[example.source]
    place = example.page or source.where
    return Worked(example.name, " · ".join(given), " · ".join(answers),
                  sources.number(source.title + (f", {place}" if place else "")))


def figure_words(one: Calculator) -> str:
    """Return what the drawing shows, or an empty string where there is none."""
    if one.figure and one.figure in FIGURES:
        return FIGURES[one.figure]
    if one.draw is None:
        return ""
    return f"{one.outputs[one.draw.y].label} over {one.inputs[one.draw.x].label.lower()}"
