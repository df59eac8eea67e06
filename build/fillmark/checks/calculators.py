"""Calculators: every formula reads, every name is known and used, ranges and choices hold together.

Dimensions and worked examples are the check `examples`; that sources exist is the check `origins`.
"""

from __future__ import annotations

import keyword
import re
from collections.abc import Callable, Mapping

from fillmark.formula.language import RESERVED, parse, parse_condition
from fillmark.formula.tree import Condition, Curve, FormulaError, Tree, curves, names
from fillmark.load import Document, Path_
from fillmark.model.amount import Amount
from fillmark.model.calculator import Calculator
from fillmark.model.site import Site
from fillmark.problem import Problem, inside, nearest, one_of

NAME = "calculators"


def check(site: Site) -> list[Problem]:
    return [
        problem for name, one in site.calculators.items()
        for rule in (_names, _formulas, _units, _curves, _ranges, _choices, _drawing)
        for problem in rule(site, site.documents["calculators", name], one)
    ]


def _declared(one: Calculator) -> list[tuple[str, Path_]]:
    """Return every name a formula may use, and every choice, with its place, in file order."""
    out: list[tuple[str, Path_]] = [(name, ("inputs", name)) for name in one.inputs]
    for name, choice in one.picked().items():
        out += [(carried, ("inputs", name, "carries", carried)) for carried in choice.carries]
    out += [(name, ("constants", name)) for name in one.constants]
    out += [(name, ("curves", name)) for name in one.curves]
    return out + [(name, (kind, name)) for kind, name, _ in one.formulas()]


def _names(site: Site, document: Document, one: Calculator) -> list[Problem]:
    out, seen = [], dict[str, Path_]()
    for name, path in _declared(one):
        if name in RESERVED or keyword.iskeyword(name):
            out.append(document.problem(path, "this name belongs to the language of formulas", key=True,
                                        expected="another name", got=name, rule=NAME))
        elif name in seen:
            out.append(document.problem(path, "name stands twice in one calculator", key=True, got=name, rule=NAME,
                                        expected="a name of its own for every input, constant, curve, step and output"))
        seen[name] = path
    return out


def _formulas(site: Site, document: Document, one: Calculator) -> list[Problem]:
    out: list[Problem] = []
    used: set[str] = set()
    drawn = {name: Curve(name, (), (), "", "") for name in one.curves}  # only the names matter here
    known = {name for name in one.units() if name not in {done for _, done, _ in one.formulas()}}
    for index, rule in enumerate(one.refuse):
        out += _read(document, ("refuse", index, "when"), rule.when, parse_condition, known, used, drawn)
    for kind, name, step in one.formulas():
        out += _read(document, (kind, name, "formula"), step.formula, parse, known, used, drawn)
        known.add(name)
    for index, slip in enumerate(one.slips):
        out += _read(document, ("slips", index, "when"), slip.when, parse_condition, known, used, drawn)
        for named in re.findall(r"\{([^}]*)\}", slip.say):
            if named not in one.units():
                out.append(document.problem(("slips", index, "say"), "unknown name in braces", got=named, rule=NAME,
                                            expected=one_of(sorted(known)), hint=nearest(named, sorted(known))))
    # A formula that cannot be read may use anything.
    readable = all(problem.message.startswith("unknown name") for problem in out)
    for name, path in _declared(one) if readable else []:
        if path[0] != "outputs" and name not in one.picked() and name not in used:
            out.append(document.problem(path, "no formula uses this", key=True, got=name, rule=NAME,
                                        expected="a formula with it, or no entry"))
    return out


def _read(
    document: Document, path: Path_, text: str,
    reader: Callable[[str, Mapping[str, Curve]], Tree | Condition], known: set[str], used: set[str],
    drawn: Mapping[str, Curve],
) -> list[Problem]:
    try:
        tree = reader(text, drawn)
    except FormulaError as error:
        return [_at(document, path, text, error)]
    out = []
    used |= {curve.id for curve in curves(tree)}
    for one in names(tree):
        used.add(one.id)
        if one.id not in known:
            unknown = FormulaError(f"unknown name '{one.id}'", one.column, nearest(one.id, sorted(known)))
            out.append(_at(document, path, text, unknown, one_of(sorted(known))))
    return out


def _at(document: Document, path: Path_, text: str, error: FormulaError, expected: str = "") -> Problem:
    text = text.strip()
    problem = document.problem(path, error.message, expected=expected, hint=error.hint, rule=NAME,
                               got=text[error.column - 1:][:24] or "the end of the formula")
    return inside(problem, text, error.column)


def _units(site: Site, document: Document, one: Calculator) -> list[Problem]:
    out = []

    def want(path: Path_, symbol: str, like: str | None = None) -> None:
        unit, model = site.units.known(symbol), site.units.known(like) if like else None
        if unit is None:
            out.append(document.problem(path, "unknown unit", expected="a unit of content/units.txt", got=symbol,
                                        hint=site.units.near(symbol), rule=NAME))
        elif model and unit.dimension != model.dimension:
            out.append(document.problem(path, f"wrong kind of unit: this is a {model.dimension}",
                                        expected=", ".join(site.units.symbols(model.dimension)), got=symbol, rule=NAME))
    for name, shape in one.typed().items():
        want(("inputs", name, "unit"), shape.unit)
        for index, symbol in enumerate(shape.offer):
            want(("inputs", name, "offer", index), symbol, shape.unit)
    for name, choice in one.picked().items():
        for carried, about in choice.carries.items():
            want(("inputs", name, "carries", carried, "unit"), about.unit)
    for name, curve in one.curves.items():
        want(("curves", name, "x"), curve.x)
        want(("curves", name, "y"), curve.y)
    for kind, name, step in one.formulas():
        want((kind, name, "unit"), step.unit)
    for name, output in one.outputs.items():
        for index, symbol in enumerate(output.also):
            want(("outputs", name, "also", index), symbol, output.unit)
    return out


def _curves(site: Site, document: Document, one: Calculator) -> list[Problem]:
    out = []
    for name, curve in one.curves.items():
        here: Path_ = ("curves", name, "points")
        if len(curve.points) < 2:
            out.append(document.problem(here, "too few points for a curve", expected="2 points or more",
                                        got=str(len(curve.points)), rule=NAME))
        last: float | None = None
        for index, point in enumerate(curve.points):
            if len(point) != 2:
                listed = ", ".join(f"{number:g}" for number in point)
                out.append(document.problem((*here, index), "a point is two numbers", got=f"[{listed}]", rule=NAME,
                                            expected=f"[x in {curve.x}, y in {curve.y}]"))
                last = None
            else:
                if last is not None and point[0] <= last:
                    out.append(document.problem((*here, index, 0), "x must rise from point to point", rule=NAME,
                                                expected=f"more than {last:g}", got=f"{point[0]:g}",
                                                hint="put the points in the order of x, each x once"))
                last = point[0]
    return out


def _ranges(site: Site, document: Document, one: Calculator) -> list[Problem]:
    out = []

    def si(amount: Amount, like: str, path: Path_) -> float | None:
        unit, wanted = site.units.known(amount.unit), site.units.known(like)
        if unit is None or wanted is None:
            return None  # the checks of units have said so
        if unit.dimension != wanted.dimension:
            out.append(document.problem(path, f"wrong kind of unit: this is a {wanted.dimension}",
                                        expected=", ".join(site.units.symbols(wanted.dimension)), got=amount.text,
                                        rule=NAME))
            return None
        return site.units.si(amount)
    for name, shape in one.typed().items():
        here: Path_ = ("inputs", name)
        low, high = si(shape.min, shape.unit, (*here, "min")), si(shape.max, shape.unit, (*here, "max"))
        start = si(shape.default, shape.unit, (*here, "default")) if shape.default else None
        if low is None or high is None:
            continue
        if low >= high:
            out.append(document.problem((*here, "max"), "the range is empty", expected=f"more than {shape.min.text}",
                                        got=shape.max.text, rule=NAME))
        elif start is not None and not low <= start <= high and shape.default:
            out.append(document.problem((*here, "default"), "the default lies outside its own range",
                                        expected=f"{shape.min.text} to {shape.max.text}", got=shape.default.text,
                                        rule=NAME))
    for name, output in one.outputs.items():
        edges = []
        for index, band in enumerate(output.words):
            place: Path_ = ("outputs", name, "words", index)
            edge, last = band.below or band.upto, index == len(output.words) - 1
            if (band.below and band.upto) or (edge is None) != last:
                out.append(document.problem(place, "a band has one edge, and the last has none",
                                            expected="say alone" if last else "below or upto, and say", rule=NAME))
            elif edge is not None:
                edges.append(si(edge, output.unit, (*place, "below" if band.below else "upto")))
                if len(edges) > 1 and None not in edges[-2:] and edges[-2] >= edges[-1]:  # type: ignore[operator]
                    out.append(document.problem(place, "the bands must rise", got=edge.text, rule=NAME,
                                                expected="an edge above that of the band before"))
        if output.only_words and not output.words:
            out.append(document.problem(("outputs", name, "only_words"), "there are no words to show",
                                        expected="words: with bands", got="none", rule=NAME))
    return out


def _choices(site: Site, document: Document, one: Calculator) -> list[Problem]:
    out = []
    for name, choice in one.picked().items():
        if choice.default and choice.default not in choice.choices:
            out.append(document.problem(("inputs", name, "default"), "no such option", rule=NAME, got=choice.default,
                                        expected=one_of(list(choice.choices)),
                                        hint=nearest(choice.default, list(choice.choices))))
        for option, given in choice.choices.items():
            path: Path_ = ("inputs", name, "choices", option, "gives")
            if set(given.gives) != set(choice.carries):
                out.append(document.problem(path, "every option gives the constants that the choice carries", rule=NAME,
                                            expected=", ".join(choice.carries), got=", ".join(given.gives)))
            for constant, value in given.gives.items():
                unit, carried = site.units.known(value.value.unit), choice.carries.get(constant)
                wanted = site.units.known(carried.unit) if carried else None
                if unit and wanted and unit.dimension != wanted.dimension:
                    out.append(document.problem((*path, constant, "value"),
                                                f"wrong kind of unit: this is a {wanted.dimension}", rule=NAME,
                                                expected=", ".join(site.units.symbols(wanted.dimension)),
                                                got=value.value.text))
    return out


def _drawing(site: Site, document: Document, one: Calculator) -> list[Problem]:
    if one.draw is None:
        return []
    out = []
    for key, name, known in (("x", one.draw.x, list(one.typed())), ("y", one.draw.y, list(one.outputs))):
        if name not in known:
            out.append(document.problem(("draw", key), "no such name to draw", expected=one_of(known), got=name,
                                        hint=nearest(name, known), rule=NAME))
    shape = one.typed().get(one.draw.x)
    ends = [one.draw.start, one.draw.end]
    wanted = site.units.known(shape.unit) if shape else None
    if wanted and all(unit and unit.dimension == wanted.dimension for unit in map(site.units.known, (
        end.unit for end in ends
    ))):
        if site.units.si(ends[0]) >= site.units.si(ends[1]):
            out.append(document.problem(("draw", "to"), "the curve has no length", expected=f"more than {ends[0].text}",
                                        got=ends[1].text, rule=NAME))
    elif wanted:
        out.append(document.problem(("draw", "from"), f"the ends of the curve are a {wanted.dimension}",
                                    expected=", ".join(site.units.symbols(wanted.dimension)),
                                    got=f"{ends[0].text} to {ends[1].text}", rule=NAME))
    return out
