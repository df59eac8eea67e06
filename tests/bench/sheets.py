"""`python3 tests/bench/sheets.py [cards/p01/ ...]`: every card, blank and for every unit it is for, on A4 and Letter.

Each must be one sheet. Prints those that are not, and ends non-zero if there is any.
"""

import re
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def addresses(dist: Path) -> list[str]:
    """Return the address of every card: with no unit's numbers, and with those of each unit that it offers."""
    found = []
    for page in sorted(dist.glob("cards/*/index.html")):
        blank = page.parent.relative_to(dist).as_posix() + "/"
        found += [blank, *(blank + unit for unit in re.findall(r'href="(\?for=[^"]+)"', page.read_text("utf-8")))]
    return found


def main() -> int:
    import pypdfium2
    from playwright.sync_api import expect, sync_playwright

    import chromium
    from fillmark import pipeline
    from harness import SiteServer

    more = 0
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        dist = Path(name) / "site"
        assert not pipeline.run(ROOT / "content", ROOT / "site_src", dist).problems
        browser = driver.chromium.launch(executable_path=chromium.find_or_install(), args=chromium.FLAGS)
        with SiteServer(dist) as server:
            page = browser.new_page(base_url=server.url, service_workers="block")
            paths = [one for one in addresses(dist) if not sys.argv[1:] or one.startswith(tuple(sys.argv[1:]))]
            for path in paths:
                page.goto(path)
                expect(page.locator("[data-printed]")).not_to_be_empty()
                expect(page.locator(".code svg.qr")).to_have_count(1)
                if "?for=" in path:
                    expect(page.get_by_role("link", name="Start this job")).to_be_attached()
                for paper in ("A4", "Letter"):
                    sheets = len(pypdfium2.PdfDocument(page.pdf(format=paper, print_background=False)))
                    if sheets != 1:
                        more += 1
                        print(f"{path}: {sheets} sheets of {paper}")
        browser.close()
    print(f"{len(paths)} cards and bindings on A4 and Letter, {more} on more than one sheet")
    return int(more > 0)


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main())
