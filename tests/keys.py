"""Keys reckoned a second time: what a record says, which answers are true of a unit, and who is left, by brute force.

Read from the YAML as another reader takes it, and by the rules of the trade as they are written here, not by those of
the page. Common practice, no source, but where one is named.
"""

from __future__ import annotations

import random
import re
from functools import cache
from typing import Any

import yaml

from harness import ROOT

Json = dict[str, Any]
Facts = dict[str, Any]
Answers = dict[str, str]
DRIVES = {"axle-cover", "axle-dropout", "front-axle", "swivel"}
# An hour of the clock, and what it may be called where it lies between two.
SIDES = {12: {"above"}, 1: {"above", "right"}, 2: {"above", "right"}, 3: {"right"}, 4: {"right", "below"},
         5: {"right", "below"}, 6: {"below"}, 7: {"below", "left"}, 8: {"below", "left"}, 9: {"left"},
         10: {"left", "above"}, 11: {"left", "above"}}


@cache
def key(name: str) -> Json:
    return dict(yaml.load((ROOT / "content/keys" / f"{name}.yaml").read_text("utf-8"), yaml.BaseLoader))


@cache
def drives() -> dict[str, Json]:
    """Return {vehicle/unit: record} of every final drive of the demo garage."""
    found = {}
    for path in sorted((ROOT / "content/vehicles").glob("*.yaml")):
        for name, unit in yaml.load(path.read_text("utf-8"), yaml.BaseLoader)["units"].items():
            if unit["kind"] in DRIVES:
                found[f"{path.stem}/{name}"] = unit
    return found


def facts(unit: Json) -> Facts:
    """Return what a record says: a set of words, a number or a text by question; nothing where it says nothing."""
    outline, kind, opens = unit.get("outline", {}), unit["kind"], unit.get("opens_by")
    out: Facts = {name: {outline[name]} for name in ("face", "shape", "plug", "key", "drain", "housing", "ends")
                  if name in outline}
    if kind == "axle-dropout":
        out.setdefault("face", {"smooth"})
    if kind == "axle-cover" or opens == "cover":
        out.setdefault("face", {"cover"})
    if opens == "plugs" or "drain-plug" in unit.get("fasteners", {}):
        out.setdefault("drain", {"present"})
    elif opens == "cover":
        out.setdefault("drain", {"none"})
    out.setdefault("ends", {"swivels" if kind == "swivel" else "plain"})
    if kind == "swivel":
        out.setdefault("housing", {"beam"})
    thread = unit.get("plugs", {}).get("fill", {}).get("thread") or unit.get("fasteners", {}).get(
        "fill-plug", {}).get("thread", "")
    if thread:
        out.setdefault("plug", {"taper" if thread.startswith("taper") else "straight"})
    if "fill" in outline:
        hour = outline["fill"].split()[0]
        out["fill"] = {"middle"} if hour == "middle" else SIDES[int(hour)]
    if kind in {"front-axle", "swivel"}:
        out["seat"] = {"front"}
    elif "rear" in unit["place"]:
        out["seat"] = {"rear"}
    if "tag" in unit:
        out["tag"] = {"none" if unit["tag"] == "none" else "there"}
        out["tag-text"] = unit["tag"]
    if unit.get("diff", "unknown") != "unknown":
        out["turn"] = {unit["diff"]}
    bolts = outline.get("bolts") or unit.get("fasteners", {}).get("cover", {}).get("count")
    if bolts:
        out["bolts"] = int(bolts)
    if "ring_teeth" in unit and "pinion_teeth" in unit:
        out["teeth"] = (int(unit["ring_teeth"]), int(unit["pinion_teeth"]))
    if "ratio" in unit or "teeth" in out:
        out["ratio"] = float(unit["ratio"]) if "ratio" in unit else out["teeth"][0] / out["teeth"][1]
    return out


def kind_facts(name: str) -> dict[str, Facts]:
    return {kind: {asked: set(values) for asked, values in one["facts"].items()}
            for kind, one in key(name)["kinds"].items()}


def plain(text: str) -> str:
    return re.sub(r"[^A-Z0-9]", "", text.upper())


def means(name: str, question: str, option: str) -> set[str]:
    """Return what a record may say where this answer is true."""
    return set(key(name)["questions"][question]["options"][option].get("fits", [option]))


def ruled_out(name: str, question: str, answer: str, known: Facts, answers: Answers) -> bool:
    """Say whether an answer is against what is known. Nothing known, nothing against it."""
    entry = key(name)["questions"][question].get("entry", "pick")
    if answer == "?":
        return False
    if entry == "pick":
        return question in known and not means(name, question, answer) & known[question]
    if entry == "count":
        return "bolts" in known and int(answer) != known["bolts"]
    if entry == "text":
        return question in known and not all(plain(word) in plain(known[question])
                                             for word in re.findall(r"[A-Za-z0-9]+", answer))
    if entry == "turns":
        shaft, wheel, held = answer.split("/")
        if held == "one" and answers.get("turn") == "same":
            return False  # the wheels turn together: no count
        # Kinematics: with one side held, the carrier goes half as far as the wheel that turns.
        ratio = float(shaft) / (float(wheel) / 2 if held == "one" else float(wheel))
        slack = max(0.01, 0.25 / float(shaft))  # 1 %, or a quarter of a turn of the shaft
        return "ratio" in known and abs(ratio / known["ratio"] - 1) > slack
    ring, pinion = map(int, answer.split("/"))
    if "teeth" in known:
        return bool((ring, pinion) != known["teeth"])
    return "ratio" in known and abs(ring / pinion / known["ratio"] - 1) > 0.01


def left(name: str, candidates: dict[str, Facts], answers: Answers) -> set[str]:
    return {one for one, known in candidates.items()
            if not any(ruled_out(name, question, answer, known, answers) for question, answer in answers.items())}


def true_answers(name: str, question: str, known: Facts, chance: random.Random) -> list[str]:
    """Return the answers that a person who looks at the unit may give; none where the record does not say."""
    one = key(name)["questions"][question]
    entry = one.get("entry", "pick")
    if entry == "pick":
        return [option for option in one["options"] if means(name, question, option) & known.get(question, set())]
    if entry == "count":
        return [str(known["bolts"])] if "bolts" in known else []
    if entry == "text":
        words = re.findall(r"[A-Za-z0-9]+", known.get(question, "none"))
        return [" ".join(chance.sample(words, chance.randint(1, len(words))))] if words != ["none"] else []
    if entry == "turns":
        if "ratio" not in known:
            return []
        wheel, held = chance.randint(5, 20), chance.choice(["one", "both"])
        shaft = known["ratio"] * wheel / (2 if held == "one" else 1)
        return [f"{round(shaft * 4) / 4}/{wheel}/{held}"]  # read to a quarter of a turn
    return ["{}/{}".format(*known["teeth"])] if "teeth" in known else []


def any_answer(name: str, question: str, chance: random.Random) -> str:
    """Return some answer that can be given, true or not."""
    one = key(name)["questions"][question]
    return {
        "pick": lambda: chance.choice([*one.get("options", {}), "?"]), "count": lambda: str(chance.choice([8, 10, 12])),
        "text": lambda: chance.choice(["41-11", "LS", "41/10", "HR 225", "77", "?"]),
        "turns": lambda: "/".join(map(str, (chance.choice([37.25, 41, 18.5, 30]), chance.choice([10, 20]),
                                             chance.choice(["one", "both"])))),
        "teeth": lambda: chance.choice(["41/11", "41/10", "37/10"]),
    }[one.get("entry", "pick")]()
