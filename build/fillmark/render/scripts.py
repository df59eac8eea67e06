"""The page's scripts: our modules, and those made from content: `js/data/calc/<id>.js`, `judging.js`, `units.js`.

A formula becomes a plain JavaScript function at build time, so that the page needs no eval and the strict
content-security policy holds. The same content always gives the same bytes.
"""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Mapping
from typing import Any

from fillmark.formula import curves, javascript
from fillmark.formula.language import parse, parse_condition
from fillmark.formula.program import Program, compiled
from fillmark.formula.tree import Condition, Curve, names
from fillmark.model.amount import Amount, State
from fillmark.model.calculator import Band, Calculator, Choice, Output, Quantity, Slip
from fillmark.model.site import Site
from fillmark.render import figure_data
from fillmark.units import Units

# What a job is judged with while it is done; its page loads no other calculator.
JUDGES = ("dew-gate", "fill-reconcile", "hole-tilt", "thread-condition")
IMPORT = re.compile(rb"""(?:\bfrom|\bimport) ?["'](\.[^"']+)["']""")
STATES: tuple[State, ...] = ("verified", "plausible", "unverified", "superseded", "conflict")  # best first


def files(site: Site, assets: dict[str, bytes]) -> dict[str, bytes]:
    """Return {path: bytes}: every module but the service worker, which needs the list of all files first."""
    out = {path: body.decode() for path, body in assets.items() if path.startswith("js/") and path != "js/sw.js"}
    out |= {
        **{f"js/data/calc/{name}.js": f"export const calculator = {calculator(site, one)};\n"
           for name, one in site.calculators.items()},
        "js/data/states.js": f"export const states = {_json(STATES)};\n",
        "js/data/judging.js": calculators_module(site, [name for name in JUDGES if name in site.calculators]),
        "js/data/units.js": units_module(site.units),
        "js/data/grades.js": figure_data.grades(site),
    }
    return {path: lean(text).encode() for path, text in sorted(out.items())}


def lean(script: str) -> str:
    """Return a script without comments and indents: they are for us, and a quarter of what a phone would keep.

    Whole lines and blocks only, never inside a line's code: a general minifier that was tried moved a declaration
    before what it rests on. The tests hold our scripts to what this rule takes for granted.
    """
    bare = re.sub(r"/\*\*.*?\*/", "", script, flags=re.S)
    return re.sub(r"\n\s*", "\n", re.sub(r"^[ \t]*//[^\n]*$", "", bare, flags=re.M)).strip() + "\n"


def needed(files: dict[str, bytes], modules: list[str]) -> list[str]:
    """Return a page's modules and what they import at their start, all the way down, as paths below js/, sorted.

    What the page's entry, store/early.js, has loaded by itself is left out.
    """
    def reach(todo: list[str]) -> set[str]:
        found = set[str]()
        while todo:
            path = todo.pop()
            if path in found or f"js/{path}" not in files:
                continue
            found.add(path)
            todo += [posixpath.normpath(posixpath.join(posixpath.dirname(path), name.decode()))
                     for name in IMPORT.findall(files[f"js/{path}"])]
        return found

    return sorted(reach(["main.js", *modules]) - reach(["store/early.js"]))


def units_module(units: Units) -> str:
    """Return the factor and offset of every unit: SI value = value * factor + offset."""
    table = {
        unit.symbol: {"dimension": unit.dimension, "factor": unit.factor, "offset": unit.offset}
        for unit in units.by_symbol.values()
    }
    lines = ",\n".join(f"{_json(symbol)}: {_json(row)}" for symbol, row in table.items())
    return f"export const units = {{\n{lines}\n}};\n"


def calculators_module(site: Site, ids: list[str]) -> str:
    """Return calculators by id: what a page shows about each, and its functions `work`, `refused` and `slipped`."""
    parts = [f"{_json(name)}: {calculator(site, site.calculators[name])}" for name in ids]
    return "export const calculators = {\n" + ",\n".join(parts) + "\n};\n"


def calculator(site: Site, one: Calculator) -> str:
    """Return one calculator as a JavaScript object."""
    units = site.units
    drawn = curves.read(units, one.curves)
    program = compiled(((name, step.formula) for _, name, step in one.formulas()), drawn)
    source = site.sources[one.source]
    facts: dict[str, Any] = {
        "title": one.title,
        "source": source.title + (f", {one.page}" if one.page else ""),
        "state": worst([one.state, *(each.state for each in (*one.constants.values(), *one.curves.values()))]),
        "inputs": [
            {"id": name, **(typed(units, shape) if isinstance(shape, Quantity) else picked(units, shape))}
            for name, shape in one.inputs.items()
        ],
        "outputs": [output(units, one, program, name, shape) for name, shape in one.outputs.items()],
        "refuse": [
            {"say": rule.say, "needs": inputs_of(one, {used.id for used in names(parse_condition(rule.when, drawn))})}
            for rule in one.refuse
        ],
        "slips": [slip(one, program, parse_condition(about.when, drawn), about) for about in one.slips],
        "carry": one.carry, "figure": one.figure or ("curve" if one.draw else ""),
    }
    if one.draw:
        facts["draw"] = {
            "x": one.draw.x, "from": units.si(one.draw.start), "to": units.si(one.draw.end), "y": one.draw.y,
            "log": one.draw.scale == "log",
        }
    body = ",\n".join(f"{_json(key)}: {_json(value)}" for key, value in facts.items())
    made = f"{{\n{body},\n{functions(units, one, drawn)}\n}}"
    if not drawn:
        return made
    points = "\n".join(javascript.curve(curve) for curve in drawn.values())
    return f"(() => {{\n{curves.JAVASCRIPT}\n{points}\nreturn {made};\n}})()"


def slip(one: Calculator, program: Program, when: Condition, about: Slip) -> dict[str, Any]:
    """Return an error of use as the page says it: its words, the units of what they name, the inputs it waits for.

    A constant is written out here: the page gets only what is typed, picked and worked out.
    """
    say = about.say
    for name, constant in one.constants.items():
        say = say.replace(f"{{{name}}}", constant.value.text.removesuffix(" 1").replace("-", "−", 1).replace("Δ", ""))
    named = re.findall(r"\{([^}]*)\}", say)
    used = {name.id for name in names(when)} | set(named)
    deep = {far for name in used for far in (program.needs(name) if name in program.trees else {name})}
    shown = one.units()
    return {"say": say, "needs": inputs_of(one, deep),
            "names": {name: [shown[name], getattr(one.outputs.get(name), "digits", 3)] for name in named}}


def functions(units: Units, one: Calculator, drawn: Mapping[str, Curve]) -> str:
    """Return `work`, from inputs in SI to steps and outputs in SI; `refused`, one truth per refusal; `slipped`, one
    truth per slip, from the inputs and all that `work` gave.
    """
    given = [name for name, shape in one.inputs.items() if isinstance(shape, Quantity)]
    given += [name for shape in one.picked().values() for name in shape.carries]
    takes = "{" + ", ".join(f"{name}: ${name}" for name in given) + "}"
    constants = [f"const ${name} = {units.si(constant.value)!r};" for name, constant in one.constants.items()]
    steps = [f"const ${name} = {javascript.expression(parse(step.formula, drawn))};"
             for _, name, step in one.formulas()]
    results = ", ".join(f"{name}: ${name}" for _, name, _ in one.formulas())
    conditions = ", ".join(javascript.condition(parse_condition(rule.when, drawn)) for rule in one.refuse)
    slips = ", ".join(javascript.condition(parse_condition(about.when, drawn)) for about in one.slips)
    all_ = "{" + ", ".join(f"{name}: ${name}" for name in [*given, *(name for _, name, _ in one.formulas())]) + "}"
    head = " ".join(constants)
    return (
        f"work({takes}) {{ {head}\n" + "\n".join(steps) + f"\nreturn {{{results}}}; }},\n"
        f"refused({takes}) {{ {head} return [{conditions}]; }},\n"
        f"slipped({all_}) {{ {head} return [{slips}]; }}"
    )


def typed(units: Units, shape: Quantity) -> dict[str, Any]:
    """Return what the page needs to read a typed input. `minus` says whether any offered unit can go below zero."""
    offered = offers(units, shape)
    least = units.si(shape.min)
    return {
        "kind": "typed", "label": shape.label, "unit": shape.unit, "why": shape.why,
        "min": [least, shape.min.text], "max": [units.si(shape.max), shape.max.text],
        "minus": any(units.from_si(least, unit) < 0 for unit in offered),
        **({"optional": True} if shape.optional else {}), **({"take": shape.take} if shape.take else {}),
    }


def offers(units: Units, shape: Quantity) -> list[str]:
    """Return the units offered for an input, its own first."""
    known = units.known(shape.unit)
    listed = list(shape.offer) or (units.symbols(known.dimension) if known else [])
    return [shape.unit, *(unit for unit in listed if unit != shape.unit)]


def picked(units: Units, shape: Choice) -> dict[str, Any]:
    """Return the options of a picked input with their constants in SI."""
    return {
        "kind": "picked", "label": shape.label, **({"take": shape.take} if shape.take else {}),
        "options": {
            name: {"label": option.label, "state": worst([one.state for one in option.gives.values()]),
                   "gives": {key: units.si(one.value) for key, one in option.gives.items()}}
            for name, option in shape.choices.items()
        },
    }


def output(units: Units, one: Calculator, program: Program, name: str, shape: Output) -> dict[str, Any]:
    """Return how the page shows an output, and which inputs it waits for."""
    return {
        "id": name, "label": shape.label, "unit": shape.unit, "also": list(shape.also), "digits": shape.digits,
        "onlyWords": shape.only_words, "words": [band(units, shape.unit, word) for word in shape.words],
        "needs": inputs_of(one, program.needs(name)),
    }


def band(units: Units, unit: str, word: Band) -> dict[str, Any]:
    """Return a band with its edge in the unit of the output."""
    def edge(amount: Amount) -> float:
        return units.convert(amount.value, amount.unit, unit)

    limits = {key: edge(at) for key, at in (("below", word.below), ("upto", word.upto)) if at is not None}
    return {**limits, "say": word.say}


def inputs_of(one: Calculator, used: set[str]) -> list[str]:
    """Return the inputs that a set of names comes from, in the order of the page."""
    return [
        name for name, shape in one.inputs.items()
        if (name in used if isinstance(shape, Quantity) else used & set(shape.carries))
    ]


def worst(states: list[State]) -> State:
    """Return the state that trusts least: a result is no better than the poorest number it rests on."""
    return max(states, key=STATES.index)


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
