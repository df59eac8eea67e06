"""The worker's list: every file once, by its canonical address, with the digest of its bytes; the core first."""

from __future__ import annotations

import base64
import hashlib
import json
import re

import pytest

from fillmark.render import headers, precache
from harness import ROOT

TEMPLATE = {path: (ROOT / "site_src" / path).read_bytes() for path in (*precache.PARTS, precache.OFF)}
SITE = {
    "tables/x/index.html": b"table", "index.html": b"today", "cards/p01/index.html": b"card",
    "css/site.css": b"css", "js/main.js": b"js", "404.html": b"lost", "icons/icon.svg": b"<svg/>",
}


def constants(site: dict[str, bytes]) -> dict[str, str]:
    worker = precache.files(site, TEMPLATE)["sw.js"].decode()
    return dict(re.findall(r"^const (FILES|CORE|COMMON|VERSION) = ([^;]*);", worker, flags=re.M))


def test_every_file_is_listed_by_its_address_with_digest_and_size_core_first() -> None:
    rows = json.loads(constants(SITE)["FILES"])
    assert [row[0] for row in rows] == ["", "404.html", "css/site.css", "js/main.js",
                                        "cards/p01/", "icons/icon.svg", "tables/x/"]
    assert constants(SITE)["CORE"] == "4"
    digest = base64.b64encode(hashlib.sha256(b"table").digest()).decode()
    assert rows[-1] == ["tables/x/", digest, 5]


def test_the_files_of_single_vehicles_come_last_and_are_for_those_who_choose_them() -> None:
    site = {**SITE, "vehicles/b/index.html": b"b", "data/vehicles/b.json": b"{}", "vehicles/index.html": b"all"}
    few, many = constants(site), constants({**site, "data/choice.json": b"[]"})
    assert [row[0] for row in json.loads(many["FILES"])][-2:] == ["data/vehicles/b.json", "vehicles/b/"]
    assert few["COMMON"] == str(len(SITE) + 3), "all, where they are few"
    assert many["COMMON"] == str(len(SITE) + 2)


def test_what_only_hosts_read_is_not_kept_on_the_phone() -> None:
    assert set(headers.files()) == {"_headers", ".nojekyll"}
    assert constants({**SITE, **headers.files()}) == constants(SITE)


def test_the_version_changes_with_any_byte_of_any_file_and_with_nothing_else() -> None:
    again = dict(reversed(SITE.items()))
    assert constants(again)["VERSION"] == constants(SITE)["VERSION"]
    versions = {constants({**SITE, path: body + b"."})["VERSION"] for path, body in SITE.items()}
    assert len(versions - {constants(SITE)["VERSION"]}) == len(SITE)


def test_the_version_changes_with_the_worker_itself() -> None:
    other = {**TEMPLATE, "js/sw-tabs.js": TEMPLATE["js/sw-tabs.js"] + b"\n// another worker\n"}
    assert f"const VERSION = {constants(SITE)['VERSION']};" not in precache.files(SITE, other)["sw.js"].decode()


def test_a_site_switched_off_has_the_worker_that_takes_itself_away() -> None:
    assert precache.files(SITE, TEMPLATE, switched_off=True) == {"sw.js": TEMPLATE["js/off.js"]}


@pytest.mark.parametrize("broken", [b"", TEMPLATE["js/sw.js"].replace(b"const CORE", b"const KERN"),
                                    TEMPLATE["js/sw.js"] + b"const FILES = [];\n"])
def test_a_worker_without_the_places_to_fill_is_refused(broken: bytes) -> None:
    with pytest.raises(ValueError, match=r"must stand once"):
        precache.files(SITE, {**TEMPLATE, "js/sw.js": broken})
