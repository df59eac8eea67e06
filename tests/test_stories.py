"""The failures that sites like this one are known for are twenty tests by name: none is missing, none is skipped."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

FILES = sorted((Path(__file__).parent / "browser").glob("test_*.py"))
SKIPPED = re.compile(r"\b(skip|skipif|xfail|importorskip|skipTest|SkipTest)\b")


def stories(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Yield number and name of every test of a file that is a story; pytest collects none inside a function."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and (told := re.match(r"test_story_(\d+)_[a-z]", node.name)):
            yield int(told[1]), node.name


def skips(tree: ast.Module) -> Iterator[str]:
    """Yield every name in the code that skips a test or lets it fail; strings and comments are none."""
    for node in ast.walk(tree):
        name = node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""
        if SKIPPED.fullmatch(name):
            yield f"line {node.lineno}: {name}"  # type: ignore[attr-defined]


def test_the_stories_are_one_to_twenty() -> None:
    found = [story for path in FILES for story in stories(ast.parse(path.read_text("utf-8")))]
    assert sorted({number for number, _ in found}) == list(range(1, 21))
    assert len({name for _, name in found}) == len(found), "no name stands for two"


def test_no_file_with_a_story_skips_a_test_or_lets_it_fail() -> None:
    trees = {path.name: ast.parse(path.read_text("utf-8")) for path in FILES}
    assert {name: list(skips(tree)) for name, tree in trees.items() if any(stories(tree)) and any(skips(tree))} == {}
    assert list(skips(ast.parse("@pytest.mark.skipif(True)\ndef test(): ...\npytest.xfail()"))) == [
        "line 1: skipif", "line 3: xfail"]
