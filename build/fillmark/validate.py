"""Plain data and positions -> Site, or Problems in the author's words.

pydantic finds what does not fit; this module says it with file, line, column and a hint.
"""

from __future__ import annotations

import json
import types
import typing
from typing import Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from fillmark import units
from fillmark.load import Document, Loaded, Path_
from fillmark.model.calculator import Calculator
from fillmark.model.card import Card
from fillmark.model.guide import Guide
from fillmark.model.key import Key
from fillmark.model.log import LogFile
from fillmark.model.site import Cautions, Fields, Meta, Prose, Rules, Site, Sources, Table
from fillmark.model.vehicle import Vehicle
from fillmark.problem import Problem, nearest, one_of

MODELS: dict[str, type[BaseModel]] = {
    "vehicles": Vehicle, "cards": Card, "tables": Table, "calculators": Calculator, "logs": LogFile,
    "keys": Key, "guides": Guide,
}
TOP: dict[str, type[BaseModel]] = {
    "site": Meta, "rules": Rules, "sources": Sources, "cautions": Cautions, "fields": Fields,
}
# What cards may name of these they may as well write themselves.
OPTIONAL = {"cautions", "fields"}
NEEDED = ("about", "safety")


def site(loaded: Loaded) -> tuple[Site | None, list[Problem]]:
    """Return the Site, or None with every problem of shape in every file."""
    problems = list(loaded.problems)
    table, unit_problems = units.read(loaded.units_text.text)
    problems += [
        loaded.units_text.problem((), said, rule="units") if not line else
        Problem("content/units.txt", line, 1, "", said, rule="units",
                source_line=loaded.units_text.text.splitlines()[line - 1])
        for line, said in unit_problems
    ]
    found: dict[str, dict[str, Any]] = {kind: {} for kind in (*MODELS, "top")}
    documents = {(document.kind, document.id): document for document in loaded.documents}
    # The top files first, since cards name cautions and fields of theirs.
    for document in sorted(loaded.documents, key=lambda one: one.kind != "top"):
        model = TOP.get(document.id) if document.kind == "top" else MODELS.get(document.kind)
        if model is None:
            problems.append(
                Problem(document.file, 0, 0, "", "file is not content", "one of the folders or files the site knows",
                        document.file, nearest(document.kind, [*MODELS, *TOP]), "files")
            )
        elif document.data is not None:
            instance, wrong = shape(document, model, shared(found["top"]))
            problems += wrong
            if instance is not None:
                found[document.kind][document.id] = instance
    for name in TOP:
        if ("top", name) not in documents and name not in OPTIONAL:
            problems.append(Problem(f"content/{name}.yaml", 0, 0, "", "file is missing", rule="files"))
    pages, prose_problems = _prose(loaded)
    problems += prose_problems
    if problems or table is None:
        return None, problems
    top = found["top"]
    documents |= {("pages", name): document for name, document in loaded.prose.items()}
    return Site(
        top["site"], top["rules"], table, top["sources"].sources, found["vehicles"], found["cards"], found["tables"],
        found["calculators"], found["logs"], found["keys"], found["guides"], pages,
        documents,
    ), []


def _prose(loaded: Loaded) -> tuple[dict[str, Prose], list[Problem]]:
    pages: dict[str, Prose] = {}
    problems: list[Problem] = []
    for name in NEEDED:
        if name not in loaded.prose:
            problems.append(Problem(f"content/pages/{name}.md", 0, 0, "", "file is missing", rule="files",
                                    expected="a page that every page leads to"))
    unread = {one.file for one in loaded.problems}
    for name, document in loaded.prose.items():
        if document.file in unread:
            continue
        first, _, rest = document.text.partition("\n")
        if first.startswith("# ") and first[2:].strip():
            pages[name] = Prose(first[2:].strip(), rest)
        else:
            problems.append(document.problem((), "page has no title", expected="a first line such as '# Safety'",
                                             got=first[:40], rule="prose"))
    return pages, problems


def shared(top: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return what cards may name of the top files: cautions and record fields by id."""
    cautions = top["cautions"].cautions if "cautions" in top else {}
    fields = top["fields"].fields if "fields" in top else ()
    return {"cautions": cautions, "fields": {one.id: one for one in fields}}


def shape(
    document: Document, model: type[BaseModel], context: dict[str, Any] | None = None,
) -> tuple[Any, list[Problem]]:
    """Return (instance, []) or (None, problems) for one document; `context` is what it may name of others."""
    try:
        # Through JSON, since strict JSON mode takes a list for a tuple and nothing else for anything.
        return TypeAdapter(model).validate_json(json.dumps(document.data), context=context), []
    except ValidationError as error:
        return None, [_problem(document, model, one) for one in _most_telling(error.errors())]


def _most_telling(errors: list[Any]) -> list[Any]:
    """Drop the echoes a union makes: one value, several complaints. The first branch speaks for all."""
    seen: set[tuple[Any, ...]] = set()
    out = []
    for one in errors:
        place = tuple(part for part in one["loc"] if not _is_branch(part))
        # A list that lost its only item to a mistake is not too short as well.
        echo = one["type"] == "too_short" and any(
            len(other["loc"]) > len(one["loc"]) and other["loc"][: len(one["loc"])] == one["loc"] for other in errors)
        if place not in seen and not echo:
            seen.add(place)
            out.append(one)
    return out


def _is_branch(part: Any) -> bool:
    return isinstance(part, str) and ("[" in part or "(" in part or part in {"str", "int", "float"})


def _problem(document: Document, model: type[BaseModel], error: Any) -> Problem:
    loc: Path_ = tuple(part for part in error["loc"] if not _is_branch(part))
    kind, got, context = error["type"], error.get("input"), error.get("ctx", {})
    if kind in ("extra_forbidden", "missing"):
        loc = (*(part for part in error["loc"][:-1] if not _is_branch(part)), error["loc"][-1])
    if kind == "extra_forbidden":
        known = fields_at(model, loc[:-1])
        return document.problem(loc, "unknown key", key=True, expected=one_of(known), got=str(loc[-1]),
                                hint=nearest(str(loc[-1]), known))
    if kind == "missing":
        return document.problem(loc[:-1], f"'{loc[-1]}' is missing", expected=f"a key '{loc[-1]}'")
    if kind == "value_error":
        said, _, rest = str(context.get("error", error["msg"])).partition("|")
        expected, _, found = rest.partition("|")
        return document.problem(loc, said, expected=expected, got=found or _short(got))
    if kind == "literal_error" or "enum" in kind:
        known = [word.strip("' ") for word in str(context["expected"]).replace(" or ", ", ").split(",")]
        at_key = bool(loc) and loc[-1] == got and loc not in document.values
        return document.problem(loc, "unknown word", key=at_key, expected=one_of(known), got=_short(got),
                                hint=nearest(str(got), known))
    if kind == "string_pattern_mismatch":
        return document.problem(loc, "text has the wrong form", key=loc not in document.values,
                                expected=f"text like {context['pattern']}", got=_short(got))
    if kind == "too_short":
        return document.problem(loc, "too few entries", expected=f"at least {context['min_length']}",
                                got=str(context["actual_length"]))
    return document.problem(loc, _plain(error["msg"]), got=_short(got))


def _plain(message: str) -> str:
    said = message.replace("Input should be", "must be").replace("a valid integer", "a whole number")
    said = said.replace("a valid ", "a ").replace("string", "text")
    said = said.replace("Tuple", "list").replace("tuple", "list").replace("an object", "a mapping")
    return said.replace("dictionary", "mapping").replace("array", "list")


def _short(value: Any) -> str:
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= 60 else text[:57] + "…"


def fields_at(model: Any, path: Path_) -> list[str]:
    """Return the keys allowed in the mapping at `path` of a model, following lists, mappings and options."""
    here = [model]
    for part in path:
        here = [after for one in here for after in _step(one, part)]
    return sorted({key for one in here for key in _keys(one)})


def _parts(annotation: Any) -> list[Any]:
    origin = typing.get_origin(annotation)
    if origin is typing.Annotated:
        return _parts(typing.get_args(annotation)[0])
    if origin in (typing.Union, types.UnionType):
        return [part for one in typing.get_args(annotation) for part in _parts(one)]
    return [annotation]


def _step(annotation: Any, part: str | int) -> list[Any]:
    out: list[Any] = []
    for one in _parts(annotation):
        origin, args = typing.get_origin(one), typing.get_args(one)
        if origin is tuple and isinstance(part, int):
            out += _parts(args[0])
        elif origin is dict:
            out += _parts(args[1])
        elif isinstance(one, type) and issubclass(one, BaseModel):
            out += [
                after for name, info in one.model_fields.items() if (info.alias or name) == part
                for after in _parts(info.annotation)
            ]
    return out


def _keys(annotation: Any) -> list[str]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [info.alias or name for name, info in annotation.model_fields.items()]
    if typing.get_origin(annotation) is dict:
        first = typing.get_args(annotation)[0]
        return [str(word) for word in typing.get_args(first)] if typing.get_origin(first) is typing.Literal else []
    return []
