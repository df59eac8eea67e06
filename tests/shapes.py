"""A reader of types.d.ts, to hold data against: names, unions, intersections, lists, objects, Record and optional keys.

Only what the build and the page's library make is written in that part of TypeScript; the rest of the file is left.
"""

from __future__ import annotations

import re
from typing import Any

from harness import ROOT

TOKEN = re.compile(r"\s*('[^']*'|[A-Za-z]\w*|[\[\]{}<>|&?;:,()=])", re.S)
PLAIN: dict[str, Any] = {"string": str, "boolean": bool, "number": (int, float), "null": type(None)}
Tree = tuple[str, Any]


class Types:
    """The types of a file, by name."""

    def __init__(self, text: str) -> None:
        bare = re.sub(r"/\*.*?\*/|//[^\n]*", "", text, flags=re.S)
        self.bodies = dict(re.findall(r"^export type (\w+) = (.*?;)[ \t]*\n(?=\s*(?:export|\Z))", bare, re.S | re.M))

    def wrong(self, value: Any, name: str) -> list[str]:
        """Return what in `value` is not as the type `name` says."""
        return self._hold(value, self.tree(name), name)

    def tree(self, name: str) -> Tree:
        tree, rest = self._union(TOKEN.findall(self.bodies[name]))
        assert rest in ([], [";"]), rest
        return tree

    def _union(self, tokens: list[str]) -> tuple[Tree, list[str]]:
        parts = []
        while True:
            if tokens[0] == "|":  # a union may begin with its mark
                tokens = tokens[1:]
            both, tokens = self._both(tokens)
            parts.append(both)
            if not tokens or tokens[0] != "|":
                return (parts[0] if len(parts) == 1 else ("union", parts)), tokens

    def _both(self, tokens: list[str]) -> tuple[Tree, list[str]]:
        one, tokens = self._one(tokens)
        parts = [one]
        while tokens and tokens[0] == "&":
            one, tokens = self._one(tokens[1:])
            parts.append(one)
        if len(parts) == 1:
            return one, tokens
        keys: dict[str, Any] = {}
        for kind, what in parts:
            keys |= self.tree(what)[1] if kind == "name" else what
        return ("object", keys), tokens

    def _one(self, tokens: list[str]) -> tuple[Tree, list[str]]:
        head, tokens = tokens[0], tokens[1:]
        tree: Tree
        if head == "{":
            keys = {}
            while tokens[0] != "}":
                key, tokens = tokens[0], tokens[1:]
                optional = tokens[0] == "?"
                tokens = tokens[1:] if optional else tokens
                assert tokens[0] == ":", (key, tokens[:4])
                inner, tokens = self._union(tokens[1:])
                keys[key] = (optional, inner)
                tokens = tokens[1:] if tokens[0] in ";," else tokens
            tree, tokens = ("object", keys), tokens[1:]
        elif head == "Record":
            inner, tokens = self._union(tokens[3:])  # < string ,
            tree, tokens = ("record", inner), tokens[1:]
        elif head.startswith("'"):
            tree = ("word", head[1:-1])
        else:
            tree = ("name", head)
        while tokens[:2] == ["[", "]"]:
            tree, tokens = ("list", tree), tokens[2:]
        return tree, tokens

    def _hold(self, value: Any, tree: Tree, path: str) -> list[str]:
        kind, what = tree
        if kind == "union":
            tried = [self._hold(value, one, path) for one in what]
            return [] if [] in tried else min(tried, key=len)
        if kind == "list":
            if not isinstance(value, list):
                return [f"{path}: not a list"]
            return [said for index, item in enumerate(value) for said in self._hold(item, what, f"{path}[{index}]")]
        if kind == "record" or kind == "object":
            if not isinstance(value, dict):
                return [f"{path}: not an object"]
            if kind == "record":
                return [said for key, item in value.items() for said in self._hold(item, what, f"{path}.{key}")]
            missing = {key for key, (optional, _) in what.items() if not optional and key not in value}
            odd = missing | (set(value) - set(what))
            if odd:
                return [f"{path}: keys {sorted(odd)} are on one side only"]
            return [said for key, item in value.items() for said in self._hold(item, what[key][1], f"{path}.{key}")]
        if kind == "word":
            return [] if value == what else [f"{path}: {value!r} is not {what!r}"]
        if what in PLAIN:
            fits = isinstance(value, PLAIN[what]) and (what != "number" or not isinstance(value, bool))
            return [] if fits else [f"{path}: {value!r} is no {what}"]
        return self.wrong(value, what)


def page_types() -> Types:
    """Return the types of the page's own shapes."""
    return Types((ROOT / "site_src/js/types.d.ts").read_text("utf-8"))
