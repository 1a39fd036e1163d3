#!/usr/bin/env python3
"""Use the page in a real browser as a person would.

    python tests/page PATH_TO_girthline [--pictures FOLDER] [--speed] [--walk N] [--only WORD]

Needs chromium and chromedriver on the system, and what requirements.txt and checker.txt name. A line for each check
that holds; exit status 1 on the first that doesn't hold, with what was on the page then. `--pictures` keeps a picture of every
screen. `--speed` measures the time from a key, or a change of a whole job, to the new picture, of a release build on a machine that does nothing else. `--walk 2000`
makes so many random edits of a whole job in place of the few of the ordinary run.
"""

import argparse
import sys
import time
import traceback
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from browser import Browser, Served  # noqa: E402
from checks import CHECKS  # noqa: E402
from job_bench import BENCH  # noqa: E402
from job_files import FILES  # noqa: E402
from job_made import MADE  # noqa: E402
from job_trial import OFFERED  # noqa: E402
from job_walk import WALK, walked  # noqa: E402
from looks import Look  # noqa: E402
import speed_job  # noqa: E402
from trial import FITS  # noqa: E402
from speed import KEYS, MIDDLE, WORST, measure  # noqa: E402


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--pictures", type=Path)
    parser.add_argument("--speed", action="store_true")
    parser.add_argument("--walk", type=int)
    parser.add_argument("--only", default="")
    asked = parser.parse_args()
    begin = time.monotonic()
    # The network is this machine's own, by its address.
    page = Served(asked.program, "--on-network", "127.0.0.1")
    browser = Browser()
    failed = 0
    try:
        for check in (*CHECKS, *FITS, *OFFERED, *MADE, *FILES, *BENCH, *WALK):
            if asked.only in check.__name__:
                failed += not holds(check.__name__, browser, lambda: check(page, browser, *pictures(check, asked)))
        if asked.only in "every_screen_looks_right":
            look = Look(page, browser, asked.pictures)
            failed += not holds("every screen looks right", browser, look.all)
        if asked.walk:
            failed += not holds("a walk of edits", browser, lambda: walked(page, browser, asked.walk))
        if asked.speed:
            middle, worst = measure(page, browser)
            print(f"from a key to the picture: {middle:.1f} ms in the middle, {worst:.1f} ms at worst of {KEYS}")
            failed += middle > MIDDLE or worst > WORST
            failed += speed_job.measure(page, browser).count(False)
    finally:
        browser.close()
        page.stop()
    print(f"the page: {failed or 'no'} check{'s' if failed != 1 else ''} failed, {time.monotonic() - begin:.0f} s")
    return 1 if failed else 0


def pictures(check, asked):
    """The folder for pictures, for a check that takes some."""
    return (asked.pictures,) if "pictures" in check.__code__.co_varnames[:check.__code__.co_argcount] else ()


def holds(name, browser, check):
    words = name.replace("_", " ")
    browser.run("try { localStorage.clear() } catch {}")
    browser.complaints()
    try:
        said = check()
        complaints = [one for one in browser.complaints() if "404 (Not Found)" not in one]
        assert not complaints, f"the browser complains: {complaints}"
    except Exception:
        traceback.print_exc()
        print(f"FAILED: {words}\n  at {browser.driver.current_url}\n  {browser.text('body')[:600]!r}")
        return False
    print(f"holds: {words}" + (f" ({said})" if said else ""), flush=True)
    return True


if __name__ == "__main__":
    sys.exit(main())
