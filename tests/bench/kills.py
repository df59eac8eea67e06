"""`python3 tests/bench/kills.py [kills]`: kill the browser 1 000 times while it saves, and count what was lost.

A fifth of the kills falls on a real job page, at random moments of ticking, measuring and timing. The others fall on
the store alone: jobs with photos, log entries, vehicles and whole backups taken in, where every process of the browser
gets SIGKILL the moment an item is acknowledged, with the next one under way. After each new start everything
acknowledged must be there; a store that does not open ends the run. Also prints what one append takes. A killed process
is not a power cut: what the disk itself does with a flush cannot be seen from here.
"""

import math
import statistics
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
KILLS = 1000
PROFILE = 50  # kills on one profile, all of whose records are read once more at its end
SLOWER = 4

TIMES = """async ([url, photo]) => {
  const store = await import(url)
  const job = store.newId()
  await store.claim(job, () => {})
  const event = (kind, data) => ({ id: store.newId(), job, at: Date.now(), zone: 0, kind, data })
  await store.append(job, [event('begin', {})], { state: 'open' })
  const taken = []
  for (let i = 0; i < 100; i += 1) {
    const blob = photo ? new Blob([crypto.getRandomValues(new Uint8Array(photo))]) : null
    const extra = blob ? { photo: { id: store.newId(), job, step: 1, blob } } : {}
    const start = performance.now()
    await store.append(job, [event('done', { step: i })], { state: 'open' }, extra)
    taken.push(performance.now() - start)
  }
  return taken
}"""


def main(arguments: list[str]) -> int:
    from playwright.sync_api import expect, sync_playwright

    import chromium
    from fillmark import pipeline
    from harness import SiteServer
    from jobkills import job_rounds
    from kills import Killable, rounds
    from killwork import KINDS

    expect.set_options(timeout=30_000)  # a start on a busy machine
    count = int(arguments[0]) if arguments else KILLS
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        folder = Path(name)
        outcome = pipeline.run(ROOT / "content", ROOT / "site_src", folder / "site")
        assert not outcome.problems, "the content has problems: run `python3 build check`"
        path = chromium.find_or_install()
        with SiteServer(folder / "site") as server:
            phone = Killable(driver, folder / "profile", path)
            try:
                page = phone.start()
                page.goto(server.url + "about/")
                expect(page.locator("[data-module=offline]")).to_have_text("Ready for no signal", timeout=60_000)
                page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
                for what, photo in (("one event", 0), ("with a photo of 60 kB", 60_000)):
                    taken = sorted(page.evaluate(TIMES, [server.url + "js/store.js", photo]))
                    print(f"append, {what}, CPU / {SLOWER}: median {statistics.median(taken):.1f} ms, "
                          f"95 of 100 within {taken[94]:.1f} ms, slowest {taken[-1]:.1f} ms")
                phone.kill()
                phone.disconnect()

                def say(done: int) -> None:
                    if done % 20 == 0:
                        print(f"  {done}", flush=True)

                start, seed = time.monotonic(), int(time.time())
                print(f"kills at work: {count // 5}, seed {seed}", flush=True)
                told = job_rounds(Killable(driver, folder / "work", path), server.url, count // 5, seed, say)
                print(f"{told['kills']} kills at work on {told['jobs']} jobs in {time.monotonic() - start:.0f} s: "
                      f"{told['acknowledged']} events looked for again, 0 lost, {told['in flight']} stored before "
                      "their word got out", flush=True)
                sums: Counter[str] = Counter()
                start, left = time.monotonic(), count - count // 5
                print(f"kills in the middle of a write: {left}", flush=True)
                for number in range(math.ceil(left / PROFILE)):
                    phone = Killable(driver, folder / f"profile {number}", path)
                    share = min(PROFILE, left - sums["kills"])
                    sums += rounds(phone, server.url, share, seed + number, say, hammer=True)
                    print(f"  {dict(sums)}", flush=True)
            finally:
                phone.kill()
    kinds = ", ".join(f"{sums[kind.name]} {kind.name}" for kind in KINDS)
    print(f"{sums['kills']} kills in the middle of a write ({sums['processes']} processes) in "
          f"{time.monotonic() - start:.0f} s: {sums['acknowledged']} acknowledged ({kinds}), {sums['beyond']} stored "
          f"before their word got out; the browser threw the whole database away {sums['put back']} times, and it was "
          "put back from the second copy (tests/kills.py says how that comes). 0 lost, 0 stores that do not open")
    return 0


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main(sys.argv[1:]))
