"""`python3 tests/bench/kills.py [kills]`: kill the browser at work, 200 times, and count what was lost.

First on a real job page, at random moments of ticking, measuring and timing; then on the store alone, where
every process of the browser gets SIGKILL the moment an append is acknowledged, with the next one under way; after
each new start everything acknowledged must be there. Also prints what one append takes. A killed process is not a
power cut: what the disk itself does with a flush cannot be seen from here.
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
KILLS = 200
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
                print(f"kills at work: {count}, seed {seed}", flush=True)
                told = job_rounds(Killable(driver, folder / "work", path), server.url, count, seed, say)
                print(f"{told['kills']} kills at work on {told['jobs']} jobs in {time.monotonic() - start:.0f} s: "
                      f"{told['acknowledged']} events looked for again, 0 lost, {told['in flight']} stored before "
                      "their word got out", flush=True)
                start = time.monotonic()
                print(f"kills: {count}, seed {seed}", flush=True)
                sums = rounds(phone, server.url, count, seed, say, hammer=True)
            finally:
                phone.kill()
    print(f"{sums['kills']} kills in the middle of an append ({sums['processes']} processes) in "
          f"{time.monotonic() - start:.0f} s: {sums['acknowledged']} appends acknowledged, {sums['beyond']} stored "
          f"before their word got out; {sums['put back']} times the browser threw its whole database away, which was "
          "put back from the second copy (tests/kills.py says how); 0 lost")
    return 0


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main(sys.argv[1:]))
