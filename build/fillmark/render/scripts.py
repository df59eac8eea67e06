"""The page's scripts: our modules, and those made from content: `js/data/calc/<id>.js`, `judging.js`, `units.js`.

A formula becomes a plain JavaScript function at build time, so that the page needs no eval and the strict
content-security policy holds. The same content always gives the same bytes.
"""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from fillmark.formula import curves, javascript
from fillmark.formula.language import parse, parse_condition
from fillmark.formula.program import Program, compiled
from fillmark.formula.tree import Condition, Curve, names
from fillmark.model.amount import Amount, State
from fillmark.model.calculator import Band, Calculator, Choice, Output, Quantity, Refusal, Slip
from fillmark.model.site import Site
from fillmark.render import figure_data, precache
from fillmark.units import Units

# What a job is judged with while it is done; its page loads no other calculator.
JUDGES = ("dew-gate", "fill-reconcile", "hole-tilt", "sealant-stretch", "thread-condition")
IMPORT = re.compile(rb"""(?:\bfrom|\bimport) ?["'](\.[^"']+)["']""")
EVERYWHERE = ("main.js", "ui/offline.js")  # store/early.js asks for them by name
STATES: tuple[State, ...] = ("verified", "plausible", "unverified", "superseded", "conflict")  # best first


def files(site: Site, assets: dict[str, bytes]) -> dict[str, bytes]:
    """Return {path: bytes}: every module but the service workers, which need the list of all files first."""
    workers = (*precache.PARTS, precache.OFF)
    out = {path: body.decode() for path, body in assets.items() if path.startswith("js/") and path not in workers}
    out |= {
        **{f"js/data/calc/{name}.js": calculator_module(site, one) for name, one in site.calculators.items()},
        "js/data/along.js": f"export {curves.JAVASCRIPT}\n",
        "js/data/states.js": f"export const states = {_json(STATES)};\n",
        "js/data/judging.js": judging_module(site, [name for name in JUDGES if name in site.calculators]),
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

    What the page's entry, store/early.js, has loaded or asks for on every page is left out.
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

    return sorted(reach(modules) - reach(["store/early.js", *EVERYWHERE]))


def units_module(units: Units) -> str:
    """Return the factor and offset of every unit: SI value = value * factor + offset."""
    table = {
        unit.symbol: {"dimension": unit.dimension, "factor": unit.factor, "offset": unit.offset}
        for unit in units.by_symbol.values()
    }
    return f"export const units = {_script(table)};\n"


def judging_module(site: Site, ids: list[str]) -> str:
    """Return calculators by id with no more than a job asks of them: what a choice gives, and `work`."""
    parts = []
    for name in ids:
        one = site.calculators[name]
        inputs = [{"id": key, "options": {
            option: {"gives": {given: site.units.si(value.value) for given, value in shape.gives.items()}}
            for option, shape in choice.choices.items()}} for key, choice in one.picked().items()]
        parts.append(f"{_json(name)}:{{inputs:{_script(inputs)},{next(functions(site, one, {}))}}}")
    return "export const calculators = {" + ",\n".join(parts) + "}\n"


def calculator_module(site: Site, one: Calculator) -> str:
    """Return one calculator as a module. What goes without saying is left out: lib/calculator.js fills it in."""
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
    said = [f"{key}:{_script(value)}" for key, value in _said(facts).items()]
    body = ",\n".join([*said, *functions(site, one, drawn)])
    head = ["import {whole} from '../../lib/calculator.js'"]
    if drawn:
        head += ["import {along} from '../along.js'", *map(javascript.curve, drawn.values())]
    return "\n".join([*head, f"export const calculator = whole({{\n{body}\n}})", ""])


def slip(one: Calculator, program: Program, when: Condition, about: Slip) -> dict[str, Any]:
    """Return an error of use as the page says it: its words, units of the steps they name, the inputs it waits for.

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
            "names": {name: [shown[name], 3] for name in named if name not in {*one.typed(), *one.outputs}}}


def functions(site: Site, one: Calculator, drawn: Mapping[str, Curve]) -> Iterator[str]:
    """Yield `work`, from inputs in SI, `v`, to steps and outputs in SI, `r`; where there are any, `refused`, one truth
    per refusal, and `slipped`, one truth per slip, from the inputs and all that `work` gave.
    """
    constants = {name: javascript.number(site.units.si(constant.value)) for name, constant in one.constants.items()}
    results = {name for _, name, _ in one.formulas()}

    def placed(expression: str, made: str) -> str:
        """Put each name where the functions have it: a constant's number, a result in `made`, what is given in `v`."""
        return re.sub(r"\$(\w+)", lambda name: name[0] if name[1] in drawn else constants.get(
            name[1], f"{made if name[1] in results else 'v'}.{name[1]}"), expression)

    def truths(rules: Iterable[Refusal | Slip]) -> str:
        met = (javascript.condition(parse_condition(rule.when, drawn)) for rule in rules)
        return placed(f"v=>[{','.join(met)}]", "v")

    steps = (f"r.{name}={javascript.bare(parse(step.formula, drawn))}" for _, name, step in one.formulas())
    yield placed("work:(v,r={})=>{" + ";".join(steps) + ";return r}", "r")
    if one.refuse:
        yield f"refused:{truths(one.refuse)}"
    if one.slips:
        yield f"slipped:{truths(one.slips)}"


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
    """Return a picked input: its options as rows of the label, its constants in SI in the order of `carries`, and
    their state where it is not plausible.
    """
    options = dict[str, list[Any]]()
    for name, option in shape.choices.items():
        state = worst([one.state for one in option.gives.values()])
        options[name] = [option.label, *(units.si(option.gives[key].value) for key in shape.carries),
                         *([state] if state != "plausible" else [])]
    return {
        "label": shape.label, **({"optional": True} if shape.optional else {}),
        **({"take": shape.take} if shape.take else {}), "carries": list(shape.carries), "options": options,
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


def inputs_of(one: Calculator, used: set[str]) -> list[int] | None:
    """Return the places, in the order of the page, of the inputs that a set of names comes from; None for all."""
    found = [
        place for place, (name, shape) in enumerate(one.inputs.items())
        if (name in used if isinstance(shape, Quantity) else used & set(shape.carries))
    ]
    return found if len(found) < len(one.inputs) else None


def worst(states: list[State]) -> State:
    """Return the state that trusts least: a result is no better than the poorest number it rests on."""
    return max(states, key=STATES.index)


# What goes without saying, by key; js/lib/calculator.js says it again.
UNSAID: dict[str, Any] = {
    "kind": "typed", "minus": False, "also": [], "digits": 3, "onlyWords": False, "words": [], "needs": None,
    "names": {}, "refuse": [], "slips": [], "carry": {}, "figure": "",
}


def _said(facts: Any) -> Any:
    """Return facts without what goes without saying, at any depth."""
    if isinstance(facts, list):
        return [_said(one) for one in facts]
    if not isinstance(facts, dict):
        return facts
    return {key: _said(value) for key, value in facts.items() if key not in UNSAID or value != UNSAID[key]}


def _script(value: Any) -> str:
    """Return a value as JavaScript: as JSON, but a key that is a name stands bare."""
    if isinstance(value, dict):
        keys = ((key if key.isidentifier() else _json(key), one) for key, one in value.items())
        return f"{{{','.join(f'{key}:{_script(one)}' for key, one in keys)}}}"
    if isinstance(value, (list, tuple)):
        return f"[{','.join(map(_script, value))}]"
    return javascript.number(value) if isinstance(value, float) else _json(value)


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
