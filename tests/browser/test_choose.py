"""A site with more vehicles than a phone should carry: a person chooses, and those chosen are there for no signal."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from conftest import Opener, build_site
from deploys import redeployed
from fillmark.model.site import MANY
from garages import grow
from harness import SiteServer, at_a_port_of_its_own, watch

READY = "Ready for no signal"
HELD = """async () => (await Promise.all((await caches.keys()).filter((name) => name.startsWith('fillmark '))
  .map(async (name) => (await (await caches.open(name)).keys()).map(({ url }) => new URL(url).pathname)))).flat()
  .filter((path) => path.includes('vehicles/')).sort()"""


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site of three vehicles more than every phone keeps."""
    folder = tmp_path_factory.mktemp("club")
    return build_site(folder / "dist", grow(folder / "content", MANY))


@pytest.fixture
def host(club: Path) -> Iterator[SiteServer]:
    server = at_a_port_of_its_own(club, "/repo/")
    yield server
    server.stop()


def names(club: Path) -> list[dict[str, str]]:
    """Return the made vehicles by id, as the page chooses from them."""
    rows = json.loads((club / "data/choice.json").read_text("utf-8"))
    return sorted((row for row in rows if row["id"].startswith("made-")), key=lambda row: row["id"])


def ready(page: Page) -> None:
    expect(page.locator("[data-module=offline]")).to_have_text(READY, timeout=60_000)


def tick(page: Page, short: str, says: str) -> None:
    """Find a vehicle by its short name and tick it; wait until the page says how it went."""
    page.locator("#find-vehicle").fill(short)
    page.get_by_role("checkbox", name=short).click()
    page.locator("#find-vehicle").fill("")
    expect(page.locator(".count")).to_have_text(says)


@pytest.mark.apart
def test_what_is_chosen_is_there_without_signal_and_nothing_else_is(
    profile: Opener, host: SiteServer, club: Path, tmp_path: Path
) -> None:
    first, third, _, _, second, *_ = names(club)
    context = profile()
    page = context.new_page()
    faults = watch(page, host.origin, quiet=("/sw.js", "/favicon.ico", f"vehicles/{third['id']}/"))
    page.goto(host.url)
    ready(page)
    assert page.evaluate(HELD) == ["/repo/vehicles/"], "no vehicle before one is chosen"
    page.get_by_role("link", name=re.compile("Choose vehicles")).click()
    expect(page.locator(".count")).to_have_text("None is kept on this phone yet. Type a name.")

    # One that the host does not give whole is not kept, and said so.
    host.poison[f"data/vehicles/{first['id']}.json"] = "flipped"
    page.locator("#find-vehicle").fill(first["short"])
    page.get_by_role("checkbox", name=first["short"]).click()
    expect(page.get_by_role("alert").filter(has_text="NOT kept")).to_contain_text("the host sent other files")
    expect(page.get_by_role("checkbox", name=first["short"])).not_to_be_checked()
    host.poison.clear()

    tick(page, first["short"], "1 kept on this phone")
    tick(page, second["short"], "2 kept on this phone")
    host.stop()
    for one in (first, second):
        page.goto(f"{host.url}vehicles/{one['id']}/")
        expect(page.get_by_role("heading", level=1)).to_contain_text(one["name"])
    page.goto(host.url)
    expect(page.locator("[data-own]")).to_contain_text(first["name"])
    expect(page.locator("[data-own]")).to_contain_text(second["name"])
    expect(page.locator("[data-module=today]")).to_contain_text("unknown")
    page.goto(f"{host.url}look-up/?q={first['short'].replace(' ', '+')}+rear")
    expect(page.locator("[data-own] .entry").first).to_contain_text(first["name"])
    page.goto(f"{host.url}look-up/?q={third['short'].replace(' ', '+')}")
    expect(page.locator("[data-count]")).to_contain_text("Nothing found")
    page.goto(f"{host.url}cards/p11/")
    page.get_by_role("link", name=re.compile(f"^{re.escape(first['short'])} .*heel")).click()
    expect(page.locator("[data-start]")).to_have_text("Start this job")
    page.goto(f"{host.url}vehicles/{third['id']}/")
    expect(page.locator("body")).to_have_text("This page is not saved on this phone yet, and there is no signal.")

    host.start()
    page.goto(f"{host.url}vehicles/")
    page.get_by_role("checkbox", name=first["short"]).click()
    expect(page.locator(".count")).to_have_text("1 kept on this phone")
    assert page.evaluate(HELD) == [f"/repo/data/vehicles/{second['id']}.json", "/repo/vehicles/",
                                   f"/repo/vehicles/{second['id']}/"]
    page.goto(host.url)
    expect(page.locator("[data-own]")).to_contain_text(second["name"])
    expect(page.locator("[data-own]")).not_to_contain_text(first["name"])

    # A new version brings the chosen one with it, also where nothing else of the vehicles is wanted.
    path = f"vehicles/{second['id']}/index.html"
    host.folder = redeployed(club, tmp_path, path, lambda body: body + b"<!-- newer -->")
    page.reload()
    expect(page.locator(".mast")).to_contain_text("New version ready", timeout=60_000)
    assert page.evaluate(HELD).count(f"/repo/vehicles/{second['id']}/") == 2, "of the old version and of the new"
    assert not [path for path in page.evaluate(HELD) if third["id"] in path]
    assert faults == []


def test_a_site_with_few_vehicles_asks_nobody(dist: Path) -> None:
    assert not (dist / "vehicles/index.html").exists() and not (dist / "data/choice.json").exists()
    files, core, common = (dist / "sw.js").read_text("utf-8").partition("const CORE")
    assert json.loads(re.search(r"const COMMON = (\d+)", core + common)[1]) == files.count('=",')  # type: ignore[index]
