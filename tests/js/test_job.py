"""A job replayed from its events: the words for what is shut, every refusal, what falls with an undo, how quick."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from stories import Json, Story, ask, copy, permit, reading


@pytest.fixture
def cover(dist: Path) -> Json:
    return copy(dist, "p01", "thornback", "rear-axle", "sealant")


def opened_up(taken: Json) -> Story:
    """The axle stands open: cover off, step 7 done."""
    story = Story(taken).done(1, 2, 3).add("hold", hold=1).done(4, 5).add("hold", hold=2)
    story.add("opened", at=10, step=2, early=0).done(6).add("opened", at=20, step=6, early=0).add("hold", hold=3)
    return story.done(7)


def whole(taken: Json) -> Story:
    """All of card P01 with a gasket, every wait opened as it came to be ready."""
    story = opened_up(taken).add("opened", at=40, step=7, early=0).done(8, 9, 10, 11, 12)
    story.add("opened", at=55, step=12, early=0).add("hold", hold=4).add("hold", hold=5).done(13, 14, 15)
    story.add("hold", hold=6).done(16).add("opened", at=60, step=16, early=0).done(17, 18).add("hold", hold=7).done(19)
    return story.add("opened", at=70, step=19, early=0).done(20, 21)


def seen(page: Page, story: Story, now: float, verdicts: dict[str, str] | None = None) -> Any:
    return ask(page, "job.view(job.replay(a[0]), at(a[1]), a[2], wall)", story.events, now, verdicts or {})


def test_what_shuts_a_step_is_said_in_words(page: Page, cover: Json) -> None:
    story = Story(cover)
    first = seen(page, story, 0)
    assert [one["state"] for one in first["steps"]] == ["now"] + ["shut"] * 20
    assert first["next"] == 1
    assert first["steps"][5]["why"] == "Not yet: after steps 2, 4, 5; hold 2 not ticked"
    assert first["steps"][12]["why"] == "Not yet: after steps 9, 12; holds 4, 5 not ticked"
    story.done(1, 2, 3).add("hold", hold=1).done(4, 5)
    later = seen(page, story, 4)
    ready = ask(page, "wall(at(10))")
    assert later["steps"][5]["why"] == f"Not yet: hold 2 not ticked; the cooling of step 2 is ready at {ready}"
    assert "is over: look, then tap it" in seen(page, story, 10)["steps"][5]["why"]
    assert later["next"] == 0 and [one["step"] for one in later["clocks"]] == [2]
    assert permit(page, story, "done", 4, step=6) == later["steps"][5]["why"]


def test_a_hold_asks_for_the_lift_the_plug_and_the_label(page: Page, cover: Json) -> None:
    story = Story(cover)
    holds = {one["no"]: one for one in seen(page, story, 0)["holds"]}
    assert holds[1]["why"] == "Not before step 3: the vehicle is not up." and not holds[1]["may"]
    assert holds[2]["why"] == "Not before step 4: the fill plug is not out."
    assert holds[6]["why"] == "Not before the set of step 13 is over: the label asks for 50 min."
    story.done(1, 2, 3).add("hold", hold=1).done(4)
    assert [one["no"] for one in seen(page, story, 0)["holds"] if one["may"]] == [2, 3, 4, 5, 7]


def test_a_dry_gasket_has_no_label_to_wait_for(page: Page, dist: Path) -> None:
    story = opened_up(copy(dist, "p01", "thornback", "rear-axle", "gasket"))
    assert permit(page, story, "hold", 25, hold=6) == ""
    assert permit(page, story, "label", 25, step=13, minutes=50) == "No label time follows step 13."


def test_a_label_time_is_typed_at_the_start_read_again_and_never_shortened(page: Page, cover: Json) -> None:
    story = opened_up({**cover, "label": {13: 80}}).done(13, at=100)
    said = permit(page, story, "opened", 179, step=13, early=1)
    assert said.startswith("Not yet: the set of step 13 is ready at")
    assert said.endswith("A label time is never shortened.")
    assert permit(page, story, "opened", 180, step=13, early=0) == ""
    story.add("label", at=110, step=13, minutes=95)
    assert permit(page, story, "opened", 180, step=13, early=0) != ""
    assert permit(page, story, "opened", 195, step=13, early=0) == ""
    story.add("opened", at=195, step=13, early=0)
    assert "Take the step back first" in permit(page, story, "label", 196, step=13, minutes=5)


def test_a_planned_wait_may_be_opened_early_and_says_by_how_much(page: Page, cover: Json) -> None:
    story = opened_up(cover)  # the drain of step 7 runs from minute 20 to 40
    assert "it is 15 min early, not 0" in permit(page, story, "opened", 25, step=7, early=0)
    assert permit(page, story, "opened", 25, step=7, early=15) == ""
    assert permit(page, story, "done", 25, step=8) == "", "hands may work while it drains"
    assert permit(page, story, "done", 25, step=10).startswith("Not yet: the drain of step 7")
    story.add("opened", at=25, step=7, early=15)
    assert permit(page, story, "done", 25, step=10) == ""
    assert permit(page, story, "opened", 26, step=7, early=14) == "The wait of step 7 is over already."


# What is tried on a housing that stands open, and the first words of the answer.
REFUSED: list[tuple[str, Json, str]] = [
    ("begin", {}, "The job has begun already."),
    ("done", {"step": 99}, "The card has no step 99."), ("done", {"step": 7}, "Step 7 is done already."),
    ("done", {"step": None}, "The card has no step null."),
    ("hold", {"hold": 9}, "The card has no hold 9."), ("hold", {"hold": 1}, "Hold 1 is ticked already."),
    ("override", {"hold": 6, "reason": "I have no time for it"}, "Hold 6 cannot be passed: a label time is never"),
    ("override", {"hold": 1, "reason": "it stands well enough"}, "Hold 1 cannot be passed with a reason."),
    ("override", {"hold": 2, "reason": "the plug is rounded"}, "Hold 2 cannot be passed with a reason."),
    ("override", {"hold": 4, "reason": " seven7 "}, "Type the reason, at least 8 letters."),
    ("override", {"hold": 3, "reason": "long enough, but ticked"}, "Hold 3 is ticked already."),
    ("opened", {"step": 8, "early": 0}, "No wait runs after step 8."),
    ("label", {"step": 13, "minutes": 0}, "Type the minutes on the label, from 1 to 20160; got 0."),
    ("label", {"step": 13, "minutes": "50"}, "Type the minutes on the label"),
    ("label", {"step": 7, "minutes": 50}, "No label time follows step 7."),
    ("undone", {"steps": [], "holds": []}, "There is nothing to take back."),
    ("undone", {"steps": [4], "holds": []}, "What rests on it must go too: steps 4, 6, 7; holds 2, 3."),
    ("undone", {"steps": [8], "holds": []}, "Only what is done or ticked can be taken back."),
    ("put-back", {"undone": ""}, "Too late to put it back"), ("put-back", {"undone": "0" * 32}, "Too late"),
    ("read", {"field": "mood", "reading": None}, "The card has no field mood."),
    ("read", {"field": "water", "reading": reading("wet")}, "Water: pick one of none seen, hazy"),
    ("read", {"field": "volume-out", "reading": reading("lots")}, "Oil out: type a number; got lots."),
    ("read", {"field": "cloths-in", "reading": reading("2.5", 2.5)}, "Cloths"),
    ("bolt", {"step": 14, "tap": 1}, "Not yet: after step 13"), ("bolt", {"step": 14, "tap": 2}, "Tap 1 is next"),
    ("bolt", {"step": 7, "tap": 1}, "Nothing is tightened at step 7."),
    ("unbolt", {"step": 14, "tap": 1}, "No tap is counted at step 14."),
    ("threads", {"role": "wheel", "state": "dry"}, "The card tightens no wheel."),
    ("threads", {"role": "cover", "state": "muddy"}, "The state of a thread is one of dry, oiled"),
    ("note", {"step": 99, "text": "hm"}, "The card has no step 99."),
    ("note", {"step": 7, "text": " "}, "Type the note."),
    ("photo", {"step": 7, "photo": "", "width": 1, "height": 1, "bytes": 1}, "There is no photo."),
    ("clock", {"by": 0, "counted": False}, "A clock moves by whole milliseconds"),
    ("clock", {"by": -5000, "counted": True}, "A clock set back counts no time."),
    ("rest", {"note": ""}, "Write where you stopped"), ("resume", {}, "The job is not resting."),
    ("stopped", {"entry": {}, "defect": "  "}, "Write the defect note"),
    ("signed", {"entry": {}, "followUps": []}, "Not yet: steps 8, 9, 10"),
    ("wished", {}, "This version knows no event of the kind wished."),
]


def test_what_may_not_happen_is_refused_in_words(page: Page, cover: Json) -> None:
    tries = [[kind, data] for kind, data, _ in REFUSED]
    call = "a[1].map(([kind, data]) => job.permit(job.replay(a[0]), kind, data, at(25), {}, wall))"
    said = ask(page, call, opened_up(cover).events, tries)
    for (kind, data, words), answer in zip(REFUSED, said, strict=True):
        assert answer.startswith(words), (kind, data, answer)


def test_a_tick_whose_readings_change_stands_no_longer(page: Page, cover: Json) -> None:
    story = opened_up(cover).add("opened", at=40, step=7, early=0).done(8, 9, 10, 11, 12)
    story.add("opened", at=55, step=12, early=0).add("hold", hold=4).add("hold", hold=5)
    assert permit(page, story, "done", 56, step=13) == ""
    lost = {4: "Cloths in 6, out 5."}
    assert permit(page, story, "done", 56, lost, step=13) == "Not yet: hold 4 stands no longer (Cloths in 6, out 5)"
    hold = seen(page, story, 56, {"4": "Cloths in 6, out 5."})["holds"][3]
    assert hold["ticked"] and not hold["may"] and hold["why"] == "Cloths in 6, out 5."
    reason = "The sixth lies in the bin, I saw it"
    assert permit(page, story, "override", 56, lost, hold=4, reason=reason) == ""
    story.add("override", hold=4, reason=reason)
    assert permit(page, story, "done", 56, lost, step=13) == ""


def test_sign_off_asks_for_every_step_every_wait_and_every_hold(page: Page, dist: Path) -> None:
    story = whole(copy(dist, "p01", "thornback", "rear-axle", "gasket"))
    assert seen(page, story, 80)["finished"]
    assert permit(page, story, "signed", 80, entry={}, followUps=[]) == ""
    lost = permit(page, story, "signed", 80, {7: "12.0 % less than the table."}, entry={}, followUps=[])
    assert lost == "Hold 7 stands no longer. 12.0 % less than the table."
    story.add("signed", entry={"id": "e"}, followUps=[])
    late = [("done", {"step": 1}), ("note", {"step": 0, "text": "late"}), ("undone", {"steps": [21], "holds": []})]
    for kind, data in late:
        assert permit(page, story, kind, 81, **data) == "The job is signed off."
    assert not seen(page, story, 81)["next"]


def test_a_wait_at_the_very_end_is_opened_before_sign_off(page: Page, dist: Path) -> None:
    taken = copy(dist, "p01", "thornback", "rear-axle", "gasket")
    taken["card"]["steps"][-1]["ways"][""] |= {"wait": 5, "waitKind": "settle"}
    story = whole(taken)
    assert not seen(page, story, 80)["finished"]
    said = permit(page, story, "signed", 80, entry={}, followUps=[])
    assert said == "Not yet: the settling of step 21 not opened."
    assert seen(page, story.add("opened", at=80, step=21, early=0), 80)["finished"]


def test_a_resting_job_takes_only_what_does_no_work(page: Page, cover: Json) -> None:
    story = opened_up(cover).add("rest", note="Cover off, pan under. Axle empty.")
    assert permit(page, story, "done", 25, step=8) == "The job is resting. Resume it first."
    assert {one["state"] for one in seen(page, story, 25)["steps"]} == {"done", "shut"}
    assert permit(page, story, "note", 25, step=0, text="Rain") == permit(page, story, "resume", 25) == ""
    assert permit(page, story, "stopped", 25, entry={}, defect="A tooth is chipped") == ""
    assert permit(page, story.add("resume"), "done", 25, step=8) == ""


def test_undo_takes_what_rests_on_it_and_put_back_restores_the_times(page: Page, cover: Json) -> None:
    story = opened_up(cover).done(8, at=25)
    falls = "a[1].map(what => job.undo(job.replay(a[0]), what))"
    fall = ask(page, falls, story.events, [{"step": 4}, {"step": 5}, {"step": 8}, {"hold": 1}, {"hold": 3}])
    assert fall == [
        {"steps": [4, 6, 7, 8], "holds": [2, 3]}, {"steps": [5, 6, 7, 8], "holds": [3]}, {"steps": [8], "holds": []},
        {"steps": [4, 5, 6, 7, 8], "holds": [1, 2, 3]}, {"steps": [7, 8], "holds": [3]},
    ]
    assert ask(page, "job.undo(job.replay(a[0]), {step: 20})", story.events) == {"steps": [], "holds": []}
    before = seen(page, story, 30)
    story.add("undone", at=30, **fall[0])
    undone = story.events[-1]["id"]
    assert [one["no"] for one in seen(page, story, 30)["steps"] if one["state"] == "done"] == [1, 2, 3, 5]
    assert permit(page, story, "put-back", 31, undone=undone) == ""
    assert permit(page, story.add("clock", by=90_000, counted=False), "put-back", 33, undone=undone) == ""
    story.events.pop()
    assert permit(page, story.add("note", step=4, text="slip"), "put-back", 31, undone=undone).startswith("Too late")
    story.events.pop()
    assert seen(page, story.add("put-back", undone=undone), 30) == before
    assert permit(page, story, "put-back", 31, undone=undone).startswith("Too late")


def test_a_slip_of_the_thumb_loosens_no_bolt_but_a_cover_taken_off_does(page: Page, cover: Json) -> None:
    story = whole({**cover, "option": "gasket"})
    story.events = [one for one in story.events if one["data"].get("step", 0) < 14]
    for number, event in enumerate(story.events, 1):
        event["seq"] = number
    assert permit(page, story, "bolt", 80, step=14, tap=1) == permit(page, story, "bolt", 80, step=14, tap=10) == ""
    assert permit(page, story, "bolt", 80, step=14, tap=9).startswith("Tap 1 is next at step 14, or 10 for the whole")
    story.add("bolt", step=14, tap=10).add("bolt", step=14, tap=11).add("unbolt", step=14, tap=11)
    story.add("bolt", step=14, tap=20).done(14)
    counts = "job.replay(a[0]).bolts"
    assert permit(page, story, "unbolt", 81, step=14, tap=20) == "Step 14 is done. Take it back first."
    assert ask(page, counts, story.events) == {"14": 20}
    assert ask(page, counts, story.add("undone", steps=[14], holds=[]).events) == {"14": 20}
    story.add("undone", steps=[13], holds=[])
    assert ask(page, counts, story.events) == {}
    assert ask(page, counts, story.add("put-back", undone=story.events[-1]["id"]).events) == {"14": 20}


def test_a_job_without_its_beginning_or_from_another_version_is_refused(page: Page, cover: Json) -> None:
    page.goto("")
    replay = "(() => { try { job.replay(a[0]) } catch (e) { return `${e.name}: ${e.message}` } })()"
    assert ask(page, replay, []) == "RangeError: a job starts with begin; got no events"
    torn = Story(cover).done(1).events[1:]
    assert ask(page, replay, torn) == "RangeError: a job starts with begin; got done as number 2"
    odd = Story(cover).add("levitate").events
    assert "event 2 is of the kind levitate, which this version does not know" in ask(page, replay, odd)


def test_two_thousand_events_are_thought_through_in_five_milliseconds(page: Page, cover: Json) -> None:
    story = opened_up(cover)
    for _ in range(500):
        story.read(magnet=reading("2"), water=reading("hazy")).done(8).add("undone", steps=[8], holds=[])
    assert len(story.events) > 2000
    quickest = ask(page, """(() => { const took = []
        for (let go = 0; go < 40; go += 1) {
            const from = performance.now()
            job.view(job.replay(a[0]), at(30), {}, wall)
            took.push(performance.now() - from)
        }
        return Math.min(...took) })()""", story.events)
    assert quickest <= 5, f"{quickest} ms"
