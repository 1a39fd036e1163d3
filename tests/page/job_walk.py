"""Weeks of edits in a minute: a random walk over the bench, and back again."""

import random
import re
from pathlib import Path

from bench import Bench
from browser import DESK

SEED = 20261127
# How many edits in the ordinary run; `--walk N` takes more.
EDITS = 60
# What the server may hold after all that, in MB, and how much of it may have come since the first third.
MOST, GROWTH = 400, 60
WORDS = ("0", "1", "12.5", "110", "-18deg", "24deg", "90", "1-7/8", "2in", "300mm", "", "far", "drum 55 gal", "60.3mm x 2mm",
         "1/4in/ft", "set-in", "\u00e9 \u00b0", "a & <b>", "1e99")

# Everything on the bench that an edit can be made with, and doing it: words into a field, a choice, a press of a button.
FIELDS = "return [...document.querySelectorAll('#card [data-at], #card button.small, .adds button, #sections .chip')].length"
DO = """
const [number, words, choice] = arguments;
for (const one of document.querySelectorAll('#card details')) one.open = true;
const all = [...document.querySelectorAll('#card [data-at], #card button.small, .adds button, #sections .chip')];
const one = all[number % all.length];
if (one.tagName === 'BUTTON') one.click();
else {
  one.focus();
  one.value = one.tagName === 'SELECT' ? one.options[choice % one.options.length].value : words;
  one.dispatchEvent(new Event('change'));
}
return one.dataset.at ?? one.textContent;
"""
BACK = "document.getElementById(arguments[0]).click()"


def held(page):
    """What the server holds of the machine's memory, in MB."""
    status = Path(f"/proc/{page.process.pid}/status").read_text()
    return int(re.search(r"VmRSS:\s+(\d+)", status).group(1)) / 1024


def walked(page, browser, edits):
    browser.size(*DESK)
    chance = random.Random(SEED)
    bench = Bench(page, browser)
    bench.start("stacked-hopper")
    first, begin = bench.text(), bench.kept()["at"]
    steps, early, texts = 0, None, set()
    for edit in range(edits):
        before = bench.kept()["at"]
        if chance.random() < 0.15:
            # Not past the beginning.
            browser.run(BACK, chance.choice(["undo", "redo"]) if before > begin else "redo")
        else:
            browser.run(DO, chance.randrange(10_000), chance.choice(WORDS), chance.randrange(100))
            form = browser.all("#between:not([hidden]) button[type=submit]")
            if form:
                form[0].click()
        bench.settled()
        now = bench.kept()
        steps += now["at"] != before
        texts.add(now["text"])
        if edit == edits // 3:
            early = held(page)
    # Nothing but what can't be done is complained of.
    complaints = [one for one in browser.complaints() if "status of 422" not in one]
    assert not complaints, complaints
    assert len(texts) > edits / 5, f"only {len(texts)} texts: the walk stands still"
    while bench.kept()["at"] > begin:
        browser.run(BACK, "undo")
        bench.settled()
    assert bench.text() == first, "undone, it isn't what it was"
    late = held(page)
    assert late < MOST and late - early < GROWTH, f"{early:.0f} MB, then {late:.0f} MB"
    complaints = browser.complaints()
    assert not complaints, complaints
    return f"{edits} edits, {steps} steps, {late:.0f} MB after {early:.0f} MB"


def a_random_walk_of_edits_is_undone_without_a_fault(page, browser):
    return walked(page, browser, EDITS)


WALK = (a_random_walk_of_edits_is_undone_without_a_fault,)
