"""`python3 tests/bench/evaluate.py`: one evaluation of every calculator, beside the same formulas in mathjs from npm.

Both run in Node.js on the same inputs: ours is the script that the build writes, theirs the formulas compiled once.
Formulas with a table of points are left out of the comparison, which has none. Their answers must be ours.
"""

from __future__ import annotations

import json
import math
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from row import Row

ROOT = Path(__file__).resolve().parents[2]
CACHE, PACKAGE = ROOT / ".cache" / "mathjs", "mathjs@14"
BUDGET = 1000.0  # ns an evaluation
SCRIPT = """
import { all, create } from 'mathjs'
import { readFileSync } from 'node:fs'
const math = create(all)
const [, , folder, cases] = process.argv
const out = {}
for (const { id, values, formulas } of JSON.parse(readFileSync(cases, 'utf8'))) {
  const { calculator } = await import(`${folder}/${id}.js`)
  const timed = (work) => {
    let times = 200
    for (;;) {
      const start = process.hrtime.bigint()
      for (let turn = 0; turn < times; turn += 1) work()
      const taken = Number(process.hrtime.bigint() - start)
      if (taken > 2e7) return taken / times
      times *= 4
    }
  }
  let kept = 0
  const best = (work) => Math.min(timed(work), timed(work), timed(work))
  const ours = best(() => { kept += Object.values(calculator.work(values))[0] })
  let theirs = null, worst = 0
  if (formulas) {
    const compiled = formulas.map(([name, text]) => [name, math.compile(text)])
    const run = () => {
      const scope = { ...values }
      for (const [name, formula] of compiled) scope[name] = formula.evaluate(scope)
      return scope
    }
    const [here, there] = [calculator.work(values), run()]
    for (const [name] of compiled) {
      const off = Math.abs(here[name] - there[name])
      if (Number.isFinite(here[name])) worst = Math.max(worst, off / Math.max(1e-300, Math.abs(here[name])))
    }
    theirs = best(() => { kept += run()[compiled[0][0]] })
  }
  out[id] = { ours, theirs, worst, kept: Number.isFinite(kept) }
}
console.log(JSON.stringify(out))
"""


def theirs(text: str) -> str:
    """Return a formula in the other language: powers by ^, a choice by ? and :."""
    text = text.replace("**", "^")
    while (start := re.search(r"\bchoose\(", text)) is not None:
        depth, parts, last, place = 1, [], start.end(), start.end()
        while depth:
            letter = text[place]
            depth += (letter == "(") - (letter == ")")
            if (letter == "," and depth == 1) or not depth:
                parts.append(text[last:place])
                last = place + 1
            place += 1
        text = f"{text[:start.start()]}(({parts[0]}) ? ({parts[1]}) : ({parts[2]})){text[place:]}"
    return text


def cases() -> list[dict[str, object]]:
    """Return every calculator with its defaults in SI, and its formulas where the other can have them."""
    from fillmark import load, validate
    from fillmark.checks.examples import bind

    site, problems = validate.site(load.read(ROOT / "content", ROOT / "site_src"))
    assert site and not problems
    out: list[dict[str, object]] = []
    for name, one in sorted(site.calculators.items()):
        first = one.examples[0].inputs
        values = {key: value for key, value in bind(site.units, one, first).items() if isinstance(value, float)}
        formulas = [(key, theirs(step.formula)) for _, key, step in one.formulas()]
        plain = not any("along(" in text for _, text in formulas) and not any(map(math.isnan, values.values()))
        out.append({"id": name, "formulas": formulas if plain else None,
                    "values": {key: value for key, value in values.items() if not math.isnan(value)}})
    return out


def rows() -> list[Row]:
    from fillmark import pipeline

    node, npm = shutil.which("node"), shutil.which("npm")
    assert node and npm, "this bench needs Node.js and npm"
    if not (CACHE / "node_modules" / "mathjs").exists():
        CACHE.mkdir(parents=True, exist_ok=True)
        subprocess.check_call([npm, "install", "--silent", "--no-audit", "--no-fund", "--prefix", str(CACHE), PACKAGE])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        assert not pipeline.run(ROOT / "content", ROOT / "site_src", folder / "site").problems
        built = folder / "site" / "js" / "data" / "calc"
        (folder / "site" / "package.json").write_text('{"type": "module"}')
        (folder / "cases.json").write_text(json.dumps(cases()))
        script = CACHE / "side-by-side.mjs"
        script.write_text(SCRIPT)
        printed = subprocess.check_output([node, str(script), str(built), str(folder / "cases.json")], text=True)
    got = json.loads(printed)
    assert all(one["worst"] < 1e-9 for one in got.values()), {key: one["worst"] for key, one in got.items()}
    both = [one["theirs"] / one["ours"] for one in got.values() if one["theirs"]]
    slowest = max(got, key=lambda key: got[key]["ours"])
    return [
        Row(f"one evaluation, median of {len(got)} calculators", statistics.median(one["ours"] for one in got.values()),
            BUDGET, "ns"),
        Row(f"one evaluation, slowest: {slowest}", got[slowest]["ours"], BUDGET, "ns"),
        Row(f"mathjs, the same formulas: so many times as long, median of {len(both)}", statistics.median(both),
            math.inf, ""),
    ]


def main() -> int:
    found = rows()
    print("\n".join(map(str, found)))
    return int(any(row.value > row.budget for row in found))


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main())
