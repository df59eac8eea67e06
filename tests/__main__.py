"""The door of the tests: `python3 tests [pytest arguments]`, from any folder, on a bare Python 3.11+.

Runs lint, types of the Python, types of the page scripts (where npm is present) and the tests, browser tests
included. Prints what ran and how long it took; ends non-zero if any of them failed.
"""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TSC = ROOT / ".cache" / "tsc"
TYPESCRIPT = "typescript@5.9.3"


def run(*command: str) -> str:
    """Run one tool in the project's folder; return "passed" or "FAILED"."""
    return "passed" if subprocess.call(command, cwd=ROOT) == 0 else "FAILED"


def page_types() -> str:
    """Check the page scripts' JSDoc types; say why if that could not be done here."""
    npm = shutil.which("npm")
    if not npm:
        return "not run: no npm"
    compiler = TSC / "node_modules" / "typescript" / "bin" / "tsc"
    if not compiler.exists():
        TSC.mkdir(parents=True, exist_ok=True)
        install = [npm, "install", "--silent", "--no-audit", "--no-fund", "--prefix", str(TSC), TYPESCRIPT]
        if subprocess.call(install) or not compiler.exists():
            return f"not run: npm could not fetch {TYPESCRIPT}"
    node = shutil.which("node") or "node"
    projects = ("site_src/jsconfig.json", "site_src/jsconfig.worker.json")
    said = [run(node, str(compiler), "--project", project) for project in projects]
    return "FAILED" if "FAILED" in said else "passed"


def main(arguments: list[str]) -> int:
    """Run every stage and print the summary; return the exit code."""
    import chromium

    os.environ["FILLMARK_CHROMIUM"] = chromium.find_or_install()
    python = sys.executable
    # Most of the time is the browser's and the disk's: files of tests run side by side, each file in one process.
    pytest = ("-m", "pytest", "-n", str(min(4, os.cpu_count() or 1)), "--dist", "loadscope",
              "--no-loadscope-reorder")  # conftest.py puts the long files first
    stages = {
        "ruff": lambda: run(python, "-m", "ruff", "check", "build", "tests"),
        "mypy": lambda: run(python, "-m", "mypy"),
        "tsc": page_types,
        "pytest": lambda: run(python, *pytest, *arguments),
    }
    summary = {}
    for name, stage in stages.items():
        print(f"== {name}", flush=True)
        start = time.monotonic()
        summary[name] = (stage(), time.monotonic() - start)
    print("\n== What ran")
    for name, (said, seconds) in summary.items():
        print(f"{name:<8} {seconds:6.1f} s  {said}")
    return int(any(said == "FAILED" for said, _ in summary.values()))


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT / "build"))
    from fillmark import door

    door.enter(ROOT / "tests", extra="test")
    sys.exit(main(sys.argv[1:]))
