"""The formulas of one calculator, in the order of working: what each needs, and all of them at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from fillmark.formula import evaluate
from fillmark.formula.language import NO_CURVES, parse
from fillmark.formula.tree import Curve, Tree, names


@dataclass(frozen=True)
class Program:
    """Trees by name, in order; a tree may use the names before it."""

    trees: dict[str, Tree]

    def numbers(self, values: Mapping[str, float]) -> dict[str, float]:
        """Return every result as a float in coherent SI; infinity or NaN means no answer."""
        known = dict(values)
        for name, tree in self.trees.items():
            known[name] = evaluate.number(tree, known)
        return {name: known[name] for name in self.trees}

    def quantities(self, values: Mapping[str, Any]) -> dict[str, Any]:
        """Return every result as a pint quantity. Raises FormulaError where dimensions do not fit."""
        known = dict(values)
        for name, tree in self.trees.items():
            known[name] = evaluate.quantity(tree, known)
        return {name: known[name] for name in self.trees}

    def needs(self, name: str) -> set[str]:
        """Return the names that a result rests on and that are not formulas themselves: inputs and constants."""
        used = {one.id for one in names(self.trees[name])}
        return {deep for one in used for deep in (self.needs(one) if one in self.trees else {one})}


def compiled(formulas: Iterable[tuple[str, str]], curves: Mapping[str, Curve] = NO_CURVES) -> Program:
    """Return the program of (name, formula) pairs. Raises FormulaError for the first that cannot be read."""
    return Program({name: parse(text, curves) for name, text in formulas})
