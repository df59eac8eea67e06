"""The whole way with a vehicle of one's own, without signal: added, worked on by a card, logged, backed up, lost with
the phone's storage, and brought back to the byte."""

from __future__ import annotations

import json
import re
from pathlib import Path

from playwright.sync_api import BrowserContext, expect

from backuppage import kept, pick, wipe
from harness import watch
from jobs import Worker, wheel_off_to_its_nuts
from own import add_marten, press, record, typed


def test_a_vehicle_of_ones_own_from_its_first_form_to_a_new_phone(stored: tuple[BrowserContext, str]) -> None:
    context, origin = stored
    page = context.new_page()
    faults = watch(page, origin, quiet=("/sw.js", "/favicon.ico"))
    name = add_marten(page)
    wheels = page.locator("#wheels")
    press(wheels, "Wheel nuts: bolts and torque")
    page.locator("form.own-form select[aria-label^='Unit']").select_option("lb·ft")
    typed(page, count="5", thread="1/2-20", value="90", source="service-manual-page", page="3-1", threads="dry")
    # 90 lb·ft = 122.02 N·m: 1 lb·ft = 1.355818 N·m (NIST SP 811, App. B).
    expect(wheels.locator(".tag")).to_contain_text("90 lb·ft")

    page.goto("cards/p11/?for=" + name + "/wheels")
    page.get_by_role("link", name="Start this job").click()
    worker = Worker(page)
    page.locator("#f-begin-odometer").fill("98800")
    page.get_by_role("button", name="Start the job").click()
    worker.saved()
    wheel_off_to_its_nuts(worker)
    worker.whole(12)
    worker.done(12)
    worker.whole(13)
    worker.read("second-lap", "no nut turned")
    worker.done(13, 14, 15, 16)
    page.get_by_role("button", name="Sign off").click()
    expect(page.locator(".signed")).to_be_visible()
    worker.saved()
    [done] = [one for one in worker.log() if one["entry"]["vehicle"] == name]
    assert (done["entry"]["unit"], done["entry"]["procedure"], done["entry"]["demo"]) == ("wheels", "P11", False)
    assert [round(one["used"], 2) for one in done["entry"]["torque"]] == [122.02]
    # 50 and 160 km true on its first tyres, whose factor is 1: 31.07 and 99.42 mi on the clock (common practice).
    assert [(one["from"], one["hardStop"]) for one in done["followUps"]] == [(98831, 98899)]

    page.goto("")
    expect(page.locator("[data-module=today]")).to_contain_text("Marten, Wheels: re-torque")
    page.goto(f"due/?vehicle={name}&unit=rear-axle")
    expect(page.locator(".due-row")).to_contain_text("unknown")  # never logged, so never clear
    page.goto(f"due/?vehicle={name}&unit=wheels")
    expect(page.locator(".due-row")).to_contain_text("98\u202f831 mi")

    before, sheet = kept(page), record(page, name)
    page.goto("backup/")
    with page.expect_download() as caught:
        page.get_by_role("button", name=re.compile("^Give out the backup, ")).click()
    text = Path(caught.value.path()).read_text("utf-8")
    wipe(page)
    assert kept(page) == []
    pick(page, text)
    page.locator("[data-take]").click()
    expect(page.locator("section [role=alert]")).to_contain_text("Taken in and read back.")
    assert kept(page) == before and any(json.loads(line)["record"] == sheet for line in before)
    page.goto("cards/p11/?for=" + name + "/wheels")
    expect(page.locator(".tag .v")).to_have_text("90 lb·ft")
    assert faults == []
    page.close()
