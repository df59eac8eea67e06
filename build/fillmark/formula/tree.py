"""The parts of a checked formula. Each remembers its column, from 1, for messages."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

Operator = Literal["+", "-", "*", "/", "**"]
Comparison = Literal["<", "<=", ">", ">="]


@dataclass(frozen=True)
class Number:
    value: float
    text: str
    column: int


@dataclass(frozen=True)
class Name:
    id: str
    column: int


@dataclass(frozen=True)
class Minus:
    of: Tree
    column: int


@dataclass(frozen=True)
class Binary:
    op: Operator
    left: Tree
    right: Tree
    column: int


@dataclass(frozen=True)
class Call:
    function: str
    args: tuple[Tree, ...]
    column: int


@dataclass(frozen=True)
class Curve:
    """The points of a published table in coherent SI, x rising; the units are SI units as pint writes them."""

    id: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    x_unit: str
    y_unit: str


@dataclass(frozen=True)
class Along:
    """A point of a curve: straight between its points, no answer outside them."""

    curve: Curve
    at: Tree
    column: int


@dataclass(frozen=True)
class Condition:
    op: Comparison
    left: Tree
    right: Tree
    column: int


@dataclass(frozen=True)
class Choose:
    condition: Condition
    yes: Tree
    no: Tree
    column: int


Tree = Number | Name | Minus | Binary | Call | Along | Choose


class FormulaError(ValueError):
    """What is wrong in a formula, at which column (from 1), and what to do."""

    def __init__(self, message: str, column: int, hint: str = "") -> None:
        super().__init__(message)
        self.message, self.column, self.hint = message, column, hint


def parts(tree: Tree | Condition) -> Iterator[Tree | Condition]:
    """Yield a tree and every tree within it, in reading order."""
    yield tree
    match tree:
        case Minus(of=inner) | Along(at=inner):
            yield from parts(inner)
        case Binary(left=left, right=right) | Condition(left=left, right=right):
            yield from parts(left)
            yield from parts(right)
        case Call(args=args):
            for arg in args:
                yield from parts(arg)
        case Choose(condition=condition, yes=yes, no=no):
            for part in (condition, yes, no):
                yield from parts(part)


def names(tree: Tree | Condition) -> Iterator[Name]:
    """Yield every name of a number that a tree uses, in reading order."""
    yield from (part for part in parts(tree) if isinstance(part, Name))


def curves(tree: Tree | Condition) -> Iterator[Curve]:
    """Yield every curve that a tree reads, in reading order."""
    yield from (part.curve for part in parts(tree) if isinstance(part, Along))
