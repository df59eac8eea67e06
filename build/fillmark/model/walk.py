"""Walks a model and gives every value that a check may care about, with its path in the file."""

from __future__ import annotations

import typing
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from fillmark.model.amount import Amount, Measures

Found = tuple[tuple[str | int, ...], Any, str | None]


def walk(value: Any, path: tuple[str | int, ...] = (), annotation: Any = None) -> Iterator[Found]:
    """Yield (path, value, dimension) for every model and every Amount inside `value`, outermost first.

    `dimension` is the one the field asks for (`Measures`), or None.
    """
    if isinstance(value, Amount):
        yield path, value, _dimension(annotation)
    elif isinstance(value, BaseModel):
        yield path, value, None
        for name, info in type(value).model_fields.items():
            asked = typing.Annotated[info.annotation, *info.metadata] if info.metadata else info.annotation
            yield from walk(getattr(value, name), (*path, info.alias or name), asked)
    elif isinstance(value, tuple):
        for index, item in enumerate(value):
            yield from walk(item, (*path, index), annotation)
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from walk(item, (*path, key), annotation)


def _dimension(annotation: Any) -> str | None:
    for part in getattr(annotation, "__metadata__", ()):
        if isinstance(part, Measures):
            return part.dimension
    for inner in typing.get_args(annotation):
        found = _dimension(inner)
        if found:
            return found
    return None
