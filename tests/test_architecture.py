"""Who may import whom, who may touch the world, how long a module may be, and that a build is repeatable."""

from __future__ import annotations

import ast
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from harness import ROOT

SOURCE = ROOT / "build" / "fillmark"
PAGE = ROOT / "site_src" / "js"

# Module (or folder) -> (modules of ours, packages of others) that it may import besides the standard library.
# The longest name that fits a module rules it. DEVELOPERS.md explains the table.
MAY_IMPORT: dict[str, tuple[set[str], set[str]]] = {
    "door": (set(), set()),
    "problem": (set(), set()),
    "model": ({"model", "problem"}, {"pydantic"}),
    "model.site": ({"model", "problem", "load", "units"}, {"pydantic"}),  # both for annotations only
    "units": ({"problem"}, {"pint"}),
    "formula": ({"formula"}, set()),
    "formula.evaluate": ({"formula", "units"}, set()),
    "formula.curves": ({"formula", "units"}, set()),
    "text": ({"problem"}, set()),
    "load": ({"problem", "text"}, {"yaml"}),
    "validate": ({"load", "model", "problem", "units"}, {"pydantic"}),
    "worked": ({"model", "formula", "units"}, set()),
    "checks": ({"model", "formula", "units", "worked", "problem", "load"}, set()),  # load: for the type Document only
    "checks.__init__": ({"checks", "model", "problem"}, set()),
    "graph": ({"model", "units"}, set()),
    "render": ({"render", "model", "formula", "units", "worked", "graph"},
               {"jinja2", "markdown", "markupsafe", "segno"}),
    "write": ({"problem"}, set()),
    "pipeline": ({"load", "validate", "checks", "render", "write", "problem"}, set()),
    "serve": ({"pipeline", "problem"}, {"watchfiles"}),
    "certificate": (set(), {"cryptography"}),
    "handover": ({"certificate", "serve"}, {"segno"}),
    "schema": ({"validate"}, set()),
    "skeletons": (set(), set()),
    "cli": ({"pipeline", "problem", "serve", "handover", "schema", "skeletons"}, set()),
    "__init__": (set(), set()),
}

# Only these may meet files, the clock, chance, the network or the terminal.
EDGES = {"door", "load", "text", "write", "serve", "certificate", "handover", "cli"}
WORLD_MODULES = {"os", "io", "time", "random", "secrets", "socket", "subprocess", "shutil", "tempfile", "sys", "glob",
                 "urllib.request", "http", "threading", "logging", "uuid"}
WORLD_CALLS = {"open", "print", "input", "exec", "eval", "compile", "__import__"}
WORLD_METHODS = {"read_text", "read_bytes", "write_text", "write_bytes", "exists", "is_file", "is_dir", "iterdir",
                 "rglob", "mkdir", "unlink", "rename", "touch", "now", "today", "utcnow", "home", "cwd", "resolve"}

LONGEST = 300
LONGER: dict[str, str] = {}  # path -> why it may be longer

# Folder of the page's scripts ("" is for the files beside the folders) -> the folders it may import from.
MAY_REACH: dict[str, set[str]] = {
    "": {"", "lib", "phone", "store"},
    "store": {"store", "lib", "phone"},  # behind store.js, which is the only door
    "lib": {"lib", "lib/findings"},
    "lib/plan": {"lib", "lib/plan"},
    "lib/findings": {"lib", "lib/findings"},
    "phone": {"phone", "lib"},  # the phone's own means, one each, knowing nothing of jobs
    "job": {"job", "", "data", "lib", "phone", "ui"},
    # Pages of what is kept, in parts: one's own vehicles, the log, what is due, the backup.
    "own": {"own", "", "data", "data/calc", "job", "lib", "phone", "ui"},
    "log": {"log", "", "backup", "data", "job", "lib", "phone"},
    "due": {"due", "", "data", "job", "lib", "ui"},
    "backup": {"backup", "", "job", "lib", "phone"},
    "plan": {"plan", "", "data", "job", "lib", "lib/plan", "own", "phone"},  # the page of the plan, in parts
    "reckon": {"reckon", "", "data", "job", "lib", "own", "store", "ui"},  # the pages of Work out, in parts
    "ui": {"ui", "", "backup", "data", "due", "job", "lib", "log", "own", "phone", "plan", "reckon", "store"},
    "figure": {"figure", "data", "lib", "ui"},  # drawings of calculators; from ui the maker of SVG elements
    "data": {"data/calc"},  # made by the build
    "data/calc": {"data", "lib"},  # made by the build, one file for each calculator
}
# main.js is asked for by the page's own list of scripts, and a worker is a world of its own: nothing imports them.
NEVER_IMPORTED = {"main.js", "sw.js", "sw-tabs.js", "off.js"}

PURE = re.compile(
    r"\b(document|window|self|globalThis|navigator|location|Date|performance|localStorage|sessionStorage|indexedDB|"
    r"caches|fetch|XMLHttpRequest|setTimeout|setInterval|requestAnimationFrame|crypto|console|Math\.random|await)\b"
)
STORAGE = re.compile(r"\b(localStorage|sessionStorage|indexedDB)\b")
PHONE = re.compile(
    r"\b(wakeLock|AudioContext|OscillatorNode|vibrate|speechSynthesis|SpeechSynthesisUtterance|createImageBitmap|"
    r"canShare|navigator\.share)\b"
)
UNSAFE = re.compile(r"\b(innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval|new Function)\b")


def name_of(path: Path) -> str:
    return path.relative_to(SOURCE).with_suffix("").as_posix().replace("/", ".")


def rule_for(module: str) -> str:
    fitting = [rule for rule in MAY_IMPORT if module == rule or module.startswith(rule + ".")]
    assert fitting, f"{module}: not in the import table"
    return max(fitting, key=len)


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Yield (line, dotted module) for every import, `from package import module` taken as package.module."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: relative import"
            for alias in node.names:
                below = SOURCE.parent / (node.module or "").replace(".", "/") / alias.name
                is_module = below.with_suffix(".py").exists() or below.is_dir()
                yield node.lineno, f"{node.module}.{alias.name}" if is_module else str(node.module)


MODULES = sorted(SOURCE.rglob("*.py"))
SCRIPTS = sorted(PAGE.rglob("*.js"))


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_module_imports_only_what_the_table_allows(path: Path) -> None:
    module = name_of(path)
    own, others = MAY_IMPORT[rule_for(module)]
    for line, name in imports(path):
        top, _, rest = name.partition(".")
        if top != "fillmark":
            assert top in sys.stdlib_module_names or top in others, f"{path}:{line}: may not import {name}"
        elif rest:
            allowed = any(rest == one or rest.startswith(one + ".") for one in own)
            assert allowed, f"{path}:{line}: may not import {name}"


def test_the_import_table_names_no_module_that_is_gone() -> None:
    names = {name_of(path) for path in MODULES}
    gone = [rule for rule in MAY_IMPORT if not any(name == rule or name.startswith(rule + ".") for name in names)]
    assert gone == []


@pytest.mark.parametrize("path", [p for p in MODULES if name_of(p) not in EDGES], ids=name_of)
def test_only_the_edges_touch_the_world(path: Path) -> None:
    for line, name in imports(path):
        assert not any(name == one or name.startswith(one + ".") for one in WORLD_MODULES), f"{path}:{line}: {name}"
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        if isinstance(node.func, ast.Name):
            assert node.func.id not in WORLD_CALLS, f"{path}:{node.lineno}: {node.func.id}()"
        elif isinstance(node.func, ast.Attribute):
            assert node.func.attr not in WORLD_METHODS, f"{path}:{node.lineno}: .{node.func.attr}()"


def code(path: Path) -> str:
    """Return a script without its comments and without the text of its strings."""
    text = re.sub(r"/\*.*?\*/|(?<![:'\"])//[^\n]*", "", path.read_text("utf-8"), flags=re.S)
    return re.sub(r"'[^'\n]*'|\"[^\"\n]*\"", "''", text)


@pytest.mark.parametrize("path", [p for p in SCRIPTS if PAGE / "lib" in p.parents], ids=lambda p: p.name)
def test_the_page_library_is_pure(path: Path) -> None:
    assert [found[0] for found in PURE.finditer(code(path))] == []
    wanted = re.findall(r"^\s*import\b.*?from\s*'([^']+)'", path.read_text("utf-8"), flags=re.M | re.S)
    inside = [(path.parent / name).resolve().is_relative_to(PAGE / "lib") for name in wanted]
    assert all(inside), "the library imports only itself"


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.relative_to(PAGE).as_posix())
def test_one_script_touches_storage_and_none_writes_markup(path: Path) -> None:
    if path != PAGE / "store.js" and path.parent != PAGE / "store":
        assert [found[0] for found in STORAGE.finditer(code(path))] == []
    assert [found[0] for found in UNSAFE.finditer(code(path))] == []


def reached(path: Path) -> list[str]:
    """Return what a script imports, at its start or later, as paths below js/; types named in comments do not count."""
    text = re.sub(r"/\*.*?\*/|(?<![:'\"])//[^\n]*", "", path.read_text("utf-8"), flags=re.S)
    named = re.findall(r"^\s*(?:import|export)\b[^';]*?\bfrom\s*'([^']+)'", text, flags=re.M)
    named += re.findall(r"^\s*import\s*'([^']+)'|\bimport\(\s*'([^']+)'", text, flags=re.M)
    flat = [one if isinstance(one, str) else one[0] or one[1] for one in named]
    assert all(one.startswith(".") for one in flat), f"{path}: {flat}: only our own scripts are imported"
    return [Path(os.path.normpath(path.parent / one)).relative_to(PAGE).as_posix() for one in flat]


def folder(path: str) -> str:
    return path.rpartition("/")[0]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.relative_to(PAGE).as_posix())
def test_a_script_imports_only_from_where_its_folder_may(path: Path) -> None:
    here = folder(path.relative_to(PAGE).as_posix())
    assert here in MAY_REACH, f"js/{here}: a folder that no rule knows"
    for found in reached(path):
        assert folder(found) in MAY_REACH[here] and found not in NEVER_IMPORTED, f"{path}: may not import {found}"


def test_the_table_of_script_folders_names_none_that_is_gone() -> None:
    there = {folder(path.relative_to(PAGE).as_posix()) for path in [*SCRIPTS, *PAGE.rglob("*.d.ts")]}
    assert set(MAY_REACH) == there


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.relative_to(PAGE).as_posix())
def test_only_the_folder_phone_uses_the_phones_own_means(path: Path) -> None:
    if path.parent != PAGE / "phone":
        assert [found[0] for found in PHONE.finditer(code(path))] == []


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda p: p.relative_to(PAGE).as_posix())
def test_a_script_may_lose_its_comments_and_indents(path: Path) -> None:
    """What the build takes for granted: no template or string runs over a line end or holds a comment's marks."""
    for number, line in enumerate(re.sub(r"/\*\*.*?\*/", "", path.read_text("utf-8"), flags=re.S).splitlines(), 1):
        bare = re.sub(r"/(?![*/])(?:\\.|\[[^\]]*\]|[^/\n\\])+/[a-z]*", "", line.split(" // ")[0])
        assert line.lstrip().startswith("//") or bare.count("`") % 2 == 0, f"{path}:{number}: a template over two lines"
    text = path.read_text("utf-8")
    assert text.count("/**") == len(re.findall(r"/\*\*.*?\*/", text, flags=re.S)), f"{path}: a comment's mark in text"


def test_modules_are_short() -> None:
    ours = [*MODULES, *SCRIPTS, *(ROOT / "tests").rglob("*.py")]
    lengths = {path.relative_to(ROOT).as_posix(): len(path.read_text("utf-8").splitlines()) for path in ours}
    assert {path: n for path, n in lengths.items() if n > LONGEST and path not in LONGER} == {}
    assert {path for path in LONGER if lengths.get(path, 0) <= LONGEST} == set(), "short again: take it off the list"


def test_two_builds_are_the_same_to_the_byte() -> None:
    script = (
        "import hashlib, json, sys; from pathlib import Path; from fillmark import pipeline\n"
        f"done = pipeline.run(Path({str(ROOT / 'content')!r}), Path({str(ROOT / 'site_src')!r}), None)\n"
        "print(json.dumps({path: hashlib.sha256(body).hexdigest() for path, body in done.files.items()}))"
    )

    def build(seed: str) -> dict[str, str]:
        # Another hash seed shows an order taken from a set; another zone and language, one taken from the machine.
        env = {**os.environ, "PYTHONPATH": str(ROOT / "build"), "PYTHONHASHSEED": seed, "TZ": f"UTC{seed}", "LANG": "C"}
        printed = subprocess.run([sys.executable, "-c", script], env=env, capture_output=True, text=True, check=True)
        return dict(json.loads(printed.stdout))

    first, second = build("1"), build("2")
    assert first.keys() == second.keys() and len(first) > 20
    assert [path for path in first if first[path] != second[path]] == []


def test_what_is_committed_was_not_built() -> None:
    listed = subprocess.run(["git", "ls-files", "dist", ".venv", ".cache"], cwd=ROOT, capture_output=True, text=True)
    assert listed.stdout == "", "output is not committed"
