"""The reminder for the phone's calendar, read back by a library that knows RFC 5545."""

from __future__ import annotations

import datetime as dt
import random
import re
from typing import Any

import pytest
from icalendar import Calendar
from playwright.sync_api import Page

from stories import START, Json, ask

# Commas, semicolons, backslashes, line ends, marks that a parser could take for a property, letters of two, three and
# four octets, and a text without a single place to break.
TEXTS = [
    "Set of step 13 is over", "Look, then tap; not before.", "C:\\cards\\p01", "first\nsecond\r\nthird\rfourth",
    "END:VEVENT\nBEGIN:VEVENT", "Öl, über 3 °C – dämpfen; 26 N·m", "刻限だ" * 40, "🛢️🔧" * 30, "x" * 400,
    "\\n stays \\, so", "", " a space first", "tab\there", '"quoted": =1;2',
]


def event(**changes: Any) -> Json:
    return {"uid": "0123456789abcdef-13@fillmark", "start": START + 50 * 60_000, "minutes": 5,
            "summary": "P01 step 13: set is over", "description": "Look first, then tap on the job card.", **changes}


def calendar(page: Page, *events: Json) -> str:
    return str(ask(page, "ics.calendar(a[0], a[1])", list(events), START))


def lines_are_sound(text: str) -> None:
    octets = text.encode()
    assert octets.endswith(b"END:VCALENDAR\r\n")
    lines = octets.split(b"\r\n")[:-1]
    assert all(b"\n" not in line and b"\r" not in line for line in lines), "CR LF only (RFC 5545, 3.1)"
    assert max(len(line) for line in lines) <= 75
    for line in lines:
        line.decode()  # not folded inside a character


def test_one_reminder_rings_when_the_wait_is_over(page: Page) -> None:
    text = calendar(page, event())
    lines_are_sound(text)
    read = Calendar.from_ical(text)
    assert str(read["VERSION"]) == "2.0" and "Fillmark" in str(read["PRODID"]) and "METHOD" not in read
    [one] = read.walk("VEVENT")
    start = dt.datetime.fromtimestamp((START + 50 * 60_000) / 1000, dt.UTC)
    assert one.decoded("DTSTART") == start and one.decoded("DTSTART").utcoffset() == dt.timedelta(0)
    assert one.decoded("DTSTAMP") == dt.datetime.fromtimestamp(START // 1000, dt.UTC)
    assert one.decoded("DURATION") == dt.timedelta(minutes=5)
    assert str(one["UID"]) == "0123456789abcdef-13@fillmark" and str(one["TRANSP"]) == "TRANSPARENT"
    [alarm] = one.walk("VALARM")
    assert str(alarm["ACTION"]) == "DISPLAY" and alarm.decoded("TRIGGER") == dt.timedelta(0)
    assert str(alarm["DESCRIPTION"]) == "P01 step 13: set is over"
    assert not read.errors and not one.errors and not alarm.errors


def test_any_text_comes_back_as_it_was(page: Page) -> None:
    text = calendar(page, *(event(uid=f"u{n}", summary=one, description=one) for n, one in enumerate(TEXTS)))
    lines_are_sound(text)
    found = Calendar.from_ical(text).walk("VEVENT")
    assert len(found) == len(TEXTS)
    for one, typed in zip(found, TEXTS, strict=True):
        expected = re.sub(r"\r\n?", "\n", typed)
        assert str(one["SUMMARY"]) == str(one["DESCRIPTION"]) == expected


def test_marks_are_escaped_as_the_standard_says(page: Page) -> None:
    # RFC 5545, 3.3.11: backslash, semicolon, comma and line end. A reader may forgive a bare comma; do not ask it to.
    text = calendar(page, event(summary="Look, then tap; C:\\p01\nnow"))
    assert "SUMMARY:Look\\, then tap\\; C:\\\\p01\\nnow\r\n" in text


def test_folding_at_every_length(page: Page) -> None:
    dice = random.Random(5)
    texts = ["".join(dice.choice("aé刻🔧,;\\") for _ in range(length)) for length in range(60, 160)]
    text = calendar(page, *(event(uid=f"u{n}", summary=one) for n, one in enumerate(texts)))
    lines_are_sound(text)
    assert [str(one["SUMMARY"]) for one in Calendar.from_ical(text).walk("VEVENT")] == texts
    assert any(len(line) == 75 for line in text.encode().split(b"\r\n")), "lines are filled"


def test_signs_that_no_calendar_takes_are_left_out(page: Page) -> None:
    text = str(ask(page, "ics.calendar([{...a[0], summary: 'bell\\u0007 and \\ud800half'}], a[1])", event(), START))
    lines_are_sound(text)
    assert str(Calendar.from_ical(text).walk("VEVENT")[0]["SUMMARY"]) == "bell and \ufffdhalf"


@pytest.mark.parametrize("moment", [0, 951_782_399_000, 951_868_800_000, 4_107_542_400_000, 1_772_063_400_000])
def test_moments_are_written_in_utc(page: Page, moment: int) -> None:
    one = Calendar.from_ical(calendar(page, event(start=moment))).walk("VEVENT")[0]
    assert one.decoded("DTSTART") == dt.datetime.fromtimestamp(moment // 1000, dt.UTC)


def test_what_is_not_a_time_is_refused(page: Page) -> None:
    page.goto("")
    tried = "a[0].map(one => { try { return ics.calendar([one], a[1]) } catch (e) { return e.message } })"
    bad = [event(start=None), event(minutes=0), event(minutes=2.5)]
    assert ask(page, tried, bad, START) == [
        f"calendar: start null of {event()['uid']}, expected epoch milliseconds",
        f"calendar: 0 minutes of {event()['uid']}, expected 1 or more",
        f"calendar: 2.5 minutes of {event()['uid']}, expected 1 or more",
    ]
