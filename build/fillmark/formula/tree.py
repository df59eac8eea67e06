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


Tree = Number | Name | Minus | Binary | Call | Choose


class FormulaError(ValueError):
    """What is wrong in a formula, at which column (from 1), and what to do."""

    def __init__(self, message: str, column: int, hint: str = "") -> None:
        super().__init__(message)
        self.message, self.column, self.hint = message, column, hint


def names(tree: Tree | Condition) -> Iterator[Name]:
    """Yield every name that a tree uses, in reading order."""
    match tree:
        case Name():
            yield tree
        case Minus(of=inner):
            yield from names(inner)
        case Binary(left=left, right=right) | Condition(left=left, right=right):
            yield from names(left)
            yield from names(right)
        case Call(args=args):
            for arg in args:
                yield from names(arg)
        case Choose(condition=condition, yes=yes, no=no):
            for part in (condition, yes, no):
                yield from names(part)
