"""The key of units: true answers in any order keep the right unit and end at it, and it says so when they do not."""

from __future__ import annotations

import json
import math
import random
from typing import Any

import pytest
from playwright.sync_api import Page

import keys
from keys import Answers, Facts, Json

NAME = "final-drive"
# Of each list of answers the verdict after every one of them, as the page's library gives it.
CALL = """async ({page, walks, units}) => {
  const at = (path) => import(new URL(path, document.baseURI).href)
  const [{judge, kindCandidate}, {factsOf}, {DRIVES}] = await Promise.all(
    ['key', 'facts', 'match'].map((one) => at(`js/lib/${one}.js`)))
  const had = async (path) => (await fetch(path)).json()
  const [key, site] = await Promise.all([had(`data/keys/${page}.json`), had('data/site.json')])
  const named = key.units ? site.vehicles.map(({id}) => id) : []
  const sheets = await Promise.all(named.map(async (id) => [id, await had(`data/vehicles/${id}.json`)]))
  const all = sheets.flatMap(([id, sheet]) => Object.entries(sheet.units)
    .map(([name, unit]) => [`${id}/${name}`, unit]))
  const drives = units ? Object.entries(units) : all.filter(([, unit]) => DRIVES.includes(unit.kind))
  const candidates = [
    ...drives.map(([id, unit]) => ({id, own: true, facts: factsOf(unit)})), ...key.kinds.map(kindCandidate)]
  const ids = (held) => held.map(({candidate}) => candidate.id)
  return walks.map((steps) => {
    const answers = {}
    return steps.map(([question, answer]) => {
      answers[question] = answer
      const verdict = judge(key, candidates, answers)
      return {...verdict, left: ids(verdict.left), kinds: ids(verdict.kinds)}
    })
  })
}"""
Step = tuple[str, str]


def judged(page: Page, walks: list[list[Step]], units: Json | None = None, of: str = "which-unit") -> list[list[Json]]:
    page.goto("404.html")
    return list(page.evaluate(CALL, {"page": of, "walks": walks, "units": units}))


def last(page: Page, answers: Answers, units: Json | None = None, of: str = "which-unit") -> Json:
    return judged(page, [list(answers.items())], units, of)[0][-1]


@pytest.fixture(scope="module")
def known() -> dict[str, Facts]:
    return {name: keys.facts(unit) for name, unit in keys.drives().items()}


def walk(unit: Facts, chance: random.Random, share: float) -> list[Step]:
    """Return true answers in a random order, each given with this share of chance, others as cannot tell."""
    steps = []
    for question in keys.key(NAME)["questions"]:
        true = keys.true_answers(NAME, question, unit, chance)
        if true and chance.random() < share:
            steps.append((question, chance.choice(true)))
        elif chance.random() < 0.3:
            steps.append((question, "?"))
    chance.shuffle(steps)
    return steps


def test_the_demo_garage_has_six_final_drives(known: dict[str, Facts]) -> None:
    assert sorted(known) == ["drystone/front-axle", "drystone/rear-axle", "thornback/front-axle", "thornback/rear-axle",
                             "wicket/front-axle", "wicket/rear-axle"]


def test_true_answers_in_any_order_keep_the_right_unit(page: Page, known: dict[str, Facts]) -> None:
    chance = random.Random(2026)
    for name, unit in known.items():
        walks = [steps for steps in (walk(unit, chance, chance.choice([0.3, 0.6, 1.0])) for _ in range(60)) if steps]
        for steps, verdicts in zip(walks, judged(page, walks), strict=True):
            for verdict in verdicts:
                assert name in verdict["left"], (name, steps)
                assert verdict["state"] != "found" or verdict["left"] == [name]


def test_all_true_answers_end_at_the_right_unit(page: Page, known: dict[str, Facts]) -> None:
    chance = random.Random(7)
    for name, unit in known.items():
        walks = [[(asked, chance.choice(true)) for asked in keys.key(NAME)["questions"]
                  if (true := keys.true_answers(NAME, asked, unit, chance))] for _ in range(25)]
        for steps in walks:
            chance.shuffle(steps)
        for steps, verdicts in zip(walks, judged(page, walks), strict=True):
            assert (verdicts[-1]["state"], verdicts[-1]["left"]) == ("found", [name]), steps


def test_who_is_left_is_who_is_left_by_brute_force(page: Page, known: dict[str, Facts]) -> None:
    chance, questions = random.Random(41), list(keys.key(NAME)["questions"])
    walks = [[(asked, keys.any_answer(NAME, asked, chance)) for asked in chance.sample(questions, chance.randint(1, 6))]
             for _ in range(400)]
    kinds, seen = keys.kind_facts(NAME), set[int]()
    for steps, verdicts in zip(walks, judged(page, walks), strict=True):
        answers: Answers = {}
        for (question, answer), verdict in zip(steps, verdicts, strict=True):
            answers[question] = answer
            assert set(verdict["left"]) == keys.left(NAME, known, answers), answers
            assert set(verdict["kinds"]) == keys.left(NAME, kinds, answers), answers
            seen.add(len(verdict["left"]))
            # With nothing left, the odd answers are those without which something would be.
            if verdict["state"] == "none":
                odd = [one for one in questions if answers.get(one, "?") != "?"
                       and keys.left(NAME, known, {key: value for key, value in answers.items() if key != one})]
                assert set(verdict["doubtful"]) == set(odd), answers
    assert seen >= {0, 1, 2, 3, 4}


def score(question: str, left: list[str], known: dict[str, Facts], answers: Answers) -> float:
    """How many a true answer sets aside, summed over which unit is the true one."""
    total = 0.0
    for one in left:
        true = keys.true_answers(NAME, question, known[one], random.Random(1))
        if keys.key(NAME)["questions"][question].get("entry") == "text":
            true = [known[one][question]] if true else []  # all that can be read
        for answer in true:
            total += sum(keys.ruled_out(NAME, question, answer, known[other], {}) for other in left) / len(true)
    return total


def test_the_question_asked_next_splits_what_is_left_best(page: Page, known: dict[str, Facts]) -> None:
    chance, questions = random.Random(15), list(keys.key(NAME)["questions"])
    walks = [walk(known[name], chance, 0.2)[:3] or [("key", "?")] for name in known for _ in range(20)]
    many = 0
    for steps, verdicts in zip(walks, judged(page, walks), strict=True):
        answers, verdict = dict(steps), verdicts[-1]
        if len(verdict["left"]) < 2:
            continue
        scores = {asked: score(asked, verdict["left"], known, answers) for asked in questions if asked not in answers}
        best = max(scores.values())
        if best == 0:
            assert verdict["next"] == "", answers
        else:
            many += 1
            assert scores[verdict["next"]] == pytest.approx(best), (answers, scores)
            assert set(verdict["splitting"]) == {asked for asked, value in scores.items() if value > 0}
    assert many > 60


def test_it_says_when_the_answers_do_not_tell(page: Page) -> None:
    # Both covers of the Thornback have ten bolts.
    verdict = last(page, {"face": "cover", "bolts": "10", "ends": "plain", "plug": "?"})
    assert verdict["state"] == "open"
    assert {"thornback/rear-axle", "thornback/front-axle"} <= set(verdict["left"])
    # Nothing answered, or only what cannot be told.
    assert last(page, {"bolts": "?"})["state"] == "start"
    # Where it sits names no unit: an axle can have been swapped, also in a garage with one rear axle.
    alone = {"mine/rear-axle": keys.drives()["wicket/rear-axle"], "mine/front-axle": keys.drives()["wicket/front-axle"]}
    verdict = last(page, {"seat": "rear"}, alone)
    assert (verdict["state"], verdict["left"]) == ("open", ["mine/rear-axle"]) and verdict["confirm"]
    assert last(page, {"seat": "rear", "face": "smooth", "plug": "taper"}, alone)["state"] == "found"
    # Two of the same: nothing tells them apart, and no question is asked for it.
    twins = {"a/rear-axle": keys.drives()["wicket/rear-axle"], "b/rear-axle": keys.drives()["wicket/rear-axle"]}
    verdict = last(page, {"plug": "taper"}, twins)
    assert (verdict["state"], len(verdict["left"]), verdict["next"], verdict["splitting"]) == ("open", 2, "", [])
    # None of yours.
    verdict = last(page, {"face": "cover", "bolts": "14", "ends": "plain", "drain": "none"})
    assert (verdict["state"], verdict["left"]) == ("none", [])
    assert verdict["kinds"] == ["beam-cover", "independent-cover"]
    # Without a garage the kinds are told apart.
    verdict = last(page, {"ends": "swivels"}, {})
    assert (verdict["state"], verdict["left"]) == ("found", ["swivels"])


def test_what_a_record_does_not_say_never_rules_a_unit_out(page: Page, known: dict[str, Facts]) -> None:
    """Take something off a record, and it is left wherever it was left before."""
    chance, drives = random.Random(3), keys.drives()
    for name, unit in drives.items():
        loose = [("outline", one) for one in unit.get("outline", {})] + [
            (one,) for one in ("tag", "ratio", "diff", "ring_teeth", "fasteners", "plugs") if one in unit]
        walks = [walk(known[chance.choice(list(known))], chance, 0.4) or [("key", "?")] for _ in range(6)]
        for path in loose:
            less = json.loads(json.dumps(unit))
            inner = less if len(path) == 1 else less["outline"]
            del inner[path[-1]]
            for one in (unit, less):  # as the page reads it, with numbers
                one.update({key: float(one[key]) for key in ("ratio", "ring_teeth", "pinion_teeth") if key in one})
            for shape in (less, unit):
                if "bolts" in shape.get("outline", {}):
                    shape["outline"]["bolts"] = int(shape["outline"]["bolts"])
                for group in shape.get("fasteners", {}).values():
                    group["count"] = int(group["count"])
            before, after = (judged(page, walks, {name: one}) for one in (unit, less))
            for old, new in zip(before, after, strict=True):
                for one, two in zip(old, new, strict=True):
                    assert set(one["left"]) <= set(two["left"]), (name, path)


READ = """async ([entry, answer, all]) => {
  const {read} = await import(new URL('js/lib/key.js', document.baseURI).href)
  return read({id: 'ratio', entry, options: []}, answer, all)
}"""


def test_a_count_of_turns_is_refused_until_it_says_which_wheels_turned(page: Page) -> None:
    def read(answer: str, entry: str = "turns", **others: str) -> Any:
        return page.evaluate(READ, [entry, answer, others])

    page.goto("404.html")
    assert "one wheel" in read("37.3/20/")["says"] and not read("37.3/20")["ok"] and not read("0/20/one")["ok"]
    # One wheel of an open differential, 37.3 turns of the shaft for 20: 2P/N = 3.73. Both wheels together: P/N.
    assert read("37.3/20/one")["read"]["ratio"] == pytest.approx(3.73)
    assert read("41/10/both")["read"]["ratio"] == pytest.approx(4.10)
    # Wheels that turn together cannot be counted one by one.
    refused = read("37.3/20/one", turn="same")
    assert not refused["ok"] and "Turn both" in refused["says"]
    assert read("37.3/20/both", turn="same")["ok"] and read("37.3/20/one", turn="opposite")["ok"]
    # The slack: 1 %, or a quarter of a turn where the count was short.
    assert read("50/10/both")["read"]["off"] == pytest.approx(0.01)
    assert read("5/2/both")["read"]["off"] == pytest.approx(0.05)
    assert not read("11/41", "teeth")["ok"] and not read("41", "teeth")["ok"] and read("41/11", "teeth")["ok"]
    assert not read("2", "count")["ok"] and not read("10.5", "count")["ok"] and not read(" / ", "text")["ok"]


def test_the_turn_test_never_tells_open_from_worn_out(page: Page) -> None:
    def told(**answers: str) -> Json:
        return last(page, answers, of="which-diff")

    # The same way rules out what is on record as open; the opposite way rules nothing out. Common practice, no source.
    ways = {way: set(last(page, {"turn": way})["left"]) for way in ("same", "opposite")}
    assert ways["opposite"] - ways["same"] == {"thornback/front-axle", "drystone/rear-axle"}
    assert len(ways["opposite"]) == 6
    assert set(told(turn="opposite")["left"]) == {"open", "worn", "gear", "locker-off"}
    assert set(told(turn="same")["left"]) == {"clutch", "gear", "locked"}
    assert told(turn="opposite")["state"] == told(turn="same")["state"] == "open"
    # Letters that stand for limited slip rule the open one out; none at all rule nothing out.
    assert set(told(turn="opposite", switch="absent", letters="marked", oil="asked")["left"]) == {"worn"}
    assert "worn" in told(turn="opposite", switch="absent", letters="unmarked", oil="silent", drag="free")["left"]
    assert told(turn="same", drag="drags", oil="asked")["left"] == ["clutch"]
    chance, name = random.Random(5), "differential"
    questions, kinds = list(keys.key(name)["questions"]), keys.kind_facts(name)
    for _ in range(15):
        answers = {one: keys.any_answer(name, one, chance) for one in chance.sample(questions, chance.randint(1, 5))}
        assert set(told(**answers)["left"]) == keys.left(name, kinds, answers), answers


def test_the_danger_stands_before_every_test_with_wheels_up() -> None:
    # A jack alone, and an engine that drives a raised axle: the two hazards that kill. Common practice, no source.
    for name, questions in (("final-drive", ("turn", "ratio")), ("differential", ("turn", "drag"))):
        for question in questions:
            assert keys.key(name)["questions"][question]["cautions"] == ["support", "driven-wheels"], question


SKETCH = """async (outlines) => {
  const {sketch} = await import(new URL('js/lib/sketch.js', document.baseURI).href)
  return outlines.map(sketch)
}"""


def test_the_drawing_is_the_record_drawn(page: Page) -> None:
    page.goto("404.html")
    shapes = ["round", "flat-oval", "tall-oval", "egg", "square", "cornered"]
    hours = ["12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock", "2 o'clock", "7 o'clock"]
    drawn = page.evaluate(SKETCH, [{"face": "cover", "shape": shape, "bolts": count, "fill": hour}
                                   for shape in shapes for count in (8, 10, 13) for hour in hours])
    for at, one in enumerate(drawn):
        shape, count, hour = shapes[at // 18], (8, 10, 13)[at // 6 % 3], hours[at % 6]
        bolts = one["bolts"]
        assert len(bolts) == count and bolts[0]["x"] == pytest.approx(0, abs=1e-9)
        assert bolts[0]["y"] == min(bolt["y"] for bolt in bolts)
        # Every bolt lies on a smaller outline of the same shape; neighbours are about equally far apart.
        far = [math.dist((a["x"], a["y"]), (b["x"], b["y"])) for a, b in zip(bolts, bolts[1:] + bolts[:1], strict=True)]
        assert max(far) / min(far) < 1.25, (shape, count, far)
        edge = [(point["x"], point["y"]) for point in one["edge"]]
        for bolt in bolts:
            assert min(math.dist((bolt["x"] / 0.84, bolt["y"] / 0.84), point) for point in edge) < 0.06
        # Clockwise, as the hours go: 12 at the top, 3 on the right.
        turn = (math.degrees(math.atan2(one["fill"]["x"], -one["fill"]["y"])) + 360) % 360
        assert abs((turn - int(hour.split()[0]) * 30 + 180) % 360 - 180) < 12, (shape, hour, turn)
        assert one["known"] and not one["behind"] and f"{count} bolts" in one["says"]
    wide = {shape: [max(abs(point[axis]) for point in drawn[at * 18]["edge"]) for axis in "xy"]
            for at, shape in enumerate(shapes)}
    assert wide["flat-oval"][0] > wide["flat-oval"][1] and wide["tall-oval"][0] < wide["tall-oval"][1]
    # What is not written down is not drawn, and said.
    bare, smooth = page.evaluate(SKETCH, [{}, {"face": "smooth", "bolts": 10, "drain": "present", "fill": "middle"}])
    assert (bare["known"], bare["bolts"], bare["fill"], bare["drain"]) == (False, [], None, None)
    assert "not recorded" in bare["says"] and "not counted" in bare["says"]
    assert smooth["behind"] and smooth["drain"]["y"] > 0.5 and (smooth["fill"]["x"], smooth["fill"]["y"]) == (0, 0)
