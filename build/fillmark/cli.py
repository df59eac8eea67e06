"""The commands: build | serve | check | schema | new. Prints the problems and gives the exit code."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from fillmark import pipeline, schema, skeletons
from fillmark.problem import render

ROOT = Path(__file__).resolve().parents[2]
CONTENT, SITE_SRC, DIST = ROOT / "content", ROOT / "site_src", ROOT / "dist"
CERTIFICATE = ROOT / ".certificate"


def main(arguments: list[str]) -> int:
    """Run one command; return 0, 1 for problems, 2 for a command that cannot be understood."""
    if not arguments or (arguments[0].startswith("--") and arguments[0] != "--help"):
        arguments = ["build", *arguments]
    options = _parser().parse_args(arguments)
    return int(options.run(options))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python3 build", description="YAML in, an offline job card out. Without a command: build.")
    commands = parser.add_subparsers(metavar="command", required=True)

    def command(name: str, run: object, said: str) -> argparse.ArgumentParser:
        one = commands.add_parser(name, help=said, description=said)
        one.add_argument("--content", type=Path, default=CONTENT, help="folder to read (default: content/)")
        one.set_defaults(run=run)
        return one

    build = command("build", _build, "write the site into dist/, or report every problem and write nothing")
    serve = command("serve", _serve, "build, serve at http://127.0.0.1:8000 and rebuild on every change")
    command("check", _check, "report every problem; write nothing")
    command("schema", _schema, "write JSON Schema into content/.schema/ for completion in an editor")
    new = command("new", _new, "write a commented skeleton of a vehicle, card or calculator into content/")
    for one in (build, serve):
        one.add_argument("--out", type=Path, default=DIST, help="folder to write (default: dist/)")
    build.add_argument("--switched-off", action="store_true",
                       help="write a site that takes its saved files off every phone; what is logged there stays")
    serve.add_argument("--phone", action="store_true", help="serve over https on the home network, for a phone; "
                       "says how the phone comes to trust it (needs the extra `phone`, installed at first use)")
    serve.add_argument("--host", help="address to listen on (default: this machine only; with --phone, all its own)")
    serve.add_argument("--port", type=int, help="default: 8000; with --phone 8443, and 8444 for the page of trust")
    new.add_argument("kind", choices=sorted(skeletons.KINDS))
    new.add_argument("id", help="lower-case words with hyphens, such as old-blue; becomes the file's name")
    return parser


def _build(options: argparse.Namespace) -> int:
    outcome = pipeline.run(options.content, SITE_SRC, options.out, switched_off=options.switched_off)
    off = "; SWITCHED OFF, phones will no longer keep it" if options.switched_off else ""
    return _report(outcome, f"in {_shown(options.out)}/{off}")


def _check(options: argparse.Namespace) -> int:
    return _report(pipeline.run(options.content, SITE_SRC, None), "would be written")


def _report(outcome: pipeline.Outcome, where: str) -> int:
    if outcome.problems:
        print(render(outcome.problems, outcome.files_read), end="", file=sys.stderr)
        return 1
    size = sum(map(len, outcome.files.values()))
    print(f"load, validate, check, render, write: {outcome.files_read} files read, "
          f"{len(outcome.files)} files, {size / 1000:.0f} kB {where}")
    return 0


def _serve(options: argparse.Namespace) -> int:
    from fillmark.serve import serve  # the watcher is not needed for a build

    def build() -> str:
        outcome = pipeline.run(options.content, SITE_SRC, options.out)
        return render(outcome.problems, outcome.files_read) if outcome.problems else ""

    watched = [options.content, SITE_SRC]
    if options.phone:
        from fillmark import handover  # needs what only the extra `phone` installs

        return handover.run(build, options.out, watched, options.host or "", options.port or 8443, CERTIFICATE)
    return serve(build, options.out, watched, options.host or "127.0.0.1",
                 8000 if options.port is None else options.port)


def _schema(options: argparse.Namespace) -> int:
    for path, text in schema.files().items():
        target = options.content / ".schema" / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, "utf-8")
        print(_shown(target))
    return 0


def _new(options: argparse.Namespace) -> int:
    name, text = skeletons.skeleton(options.kind, options.id)
    target = options.content / name
    if not text:
        print(f"'{options.id}' is not an id: lower-case letters, digits and single hyphens, such as old-blue. "
              "Nothing was written.", file=sys.stderr)
        return 2
    if target.exists():
        print(f"{_shown(target)} exists. Nothing was written.", file=sys.stderr)
        return 1
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(text, "utf-8")
    print(f"{_shown(target)}: fill in what the comments ask for, then run: python3 build check")
    return 0


def _shown(path: Path) -> str:
    full = path.resolve()
    return full.relative_to(ROOT).as_posix() if full.is_relative_to(ROOT) else str(path)
