"""A torque against what its bolt takes: between 30 % and 105 % of the ceiling that the calculator C31 gives.

Above it the bolt yields, below it the figure is more likely another unit or another bolt. Manuals round their charts by
up to 5 %, so a figure that far over is let through. A thread or class that C31 does not know is not judged.
"""

from __future__ import annotations

import math

from fillmark.formula.program import compiled
from fillmark.formula.tree import FormulaError
from fillmark.model.calculator import Calculator, Option
from fillmark.model.site import Site
from fillmark.model.vehicle import FastenerGroup
from fillmark.problem import Problem

NAME = "ceiling"
CALCULATOR = "torque-ceiling"
LEAST, MOST = 0.30, 1.05
THREAD_STATES = {"dry": "dry", "new-plated": "dry", "oiled": "oiled"}


def check(site: Site) -> list[Problem]:
    one = site.calculators.get(CALCULATOR)
    if one is None:
        return [Problem(f"content/calculators/{CALCULATOR}.yaml", 0, 0, "", "file is missing", rule=NAME,
                        expected="the calculator that every torque is judged by")]
    out = []
    for name, vehicle in site.vehicles.items():
        for unit_id, unit in vehicle.units.items():
            for role, group in unit.fasteners.items():
                try:
                    most = ceiling(site, one, group)
                    assert most is None or 0 < most < math.inf
                except (AssertionError, FormulaError, KeyError):  # a name, a unit or a formula that is not there
                    return [site.documents["calculators", CALCULATOR].problem(
                        ("outputs",), f"no torque follows for {group.thread}", rule=NAME,
                        expected="inputs thread, mark and state, and an output torque above zero")]
                if most is None or site.units.known(group.torque.value.unit) is None:
                    continue
                share = site.units.si(group.torque.value) / most
                if not LEAST <= share <= MOST:
                    path = ("units", unit_id, "fasteners", role, "torque", "value")
                    out.append(site.documents["vehicles", name].problem(
                        path, "torque over the bolt's proof ceiling" if share > MOST else "torque far under the bolt's",
                        expected=f"{LEAST * most:.1f} to {MOST * most:.1f} N·m for {group.thread}, class "
                        f"{group.strength}, {group.thread_state}", got=group.torque.value.text, rule=NAME,
                        hint="check the unit of the figure, the thread and the class"))
    return out


def ceiling(site: Site, one: Calculator, group: FastenerGroup) -> float | None:
    """Return the ceiling in N·m by the calculator's own formula, or None where it cannot judge this bolt."""
    picked = one.picked()
    options = [
        _labelled(picked["thread"].choices, group.thread.replace("x", "×")),
        _labelled(picked["mark"].choices, group.strength or ""),
        picked["state"].choices.get(THREAD_STATES.get(group.thread_state, "")),
    ]
    values = {name: site.units.si(constant.value) for name, constant in one.constants.items()}
    for option in options:
        if option is None:
            return None
        values |= {name: site.units.si(given.value) for name, given in option.gives.items()}
    formulas = ((name, step.formula) for _, name, step in one.formulas())
    return compiled(formulas).numbers(values)["torque"]


# ISO 261 coarse pitches: a thread written with its coarse pitch is the one written without.
COARSE = {"M6×1": "M6", "M8×1.25": "M8", "M10×1.5": "M10", "M12×1.75": "M12", "M14×2": "M14"}


def _labelled(options: dict[str, Option], word: str) -> Option | None:
    """Return the option whose label is or begins with the word: `M12×1.5`, `8.8 metric`, `Grade 5 inch`."""
    asked = COARSE.get(word, word)
    for option in options.values():
        if asked and asked in (option.label, option.label.split(" ")[0], option.label.removesuffix(" inch")):
            return option
    return None
