"""A tube of a whole job at the trial fit."""

import tempfile
from pathlib import Path

from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from bench import TEMPLATES, Bench
from browser import DESK, PHONE
from checks import report_of
from looks import Look
from trial import ROUND


def a_tube_of_a_job_is_offered_up(page, browser, pictures=None):
    browser.size(*PHONE)
    bench = Bench(page, browser)
    # A set-in end leaves no gap.
    text = Path(TEMPLATES, "cooler-bank.json").read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder, "bank.json")
        job.write_text(text.replace('"join": "set-in", "clearance": 0.5', '"join": "set-on"'), encoding="utf-8")
        bench.open(job)
        bench.settled()
    bench.choose("riser")
    bench.press("At the trial fit", "#card")
    assert browser.run("return document.activeElement.id") == "trial-title"

    def told():
        return browser.run("return [...document.querySelectorAll('#explained:not([hidden], .stale) .notes li')].map((one) => one.textContent)")

    def label(name):
        return browser.text(f"label[for='{name}']")

    # What is right of the front with the cut end up is the crown line LEFT of a far end.
    for end, sides in (("start", ("Right", "Left")), ("end", ("Left", "Right"))):
        Select(browser.one("#which-end")).select_by_visible_text(f"riser 3, {end.upper()}")
        browser.until("the sides' names", lambda: (label("right"), label("left")) == sides)
        assert label("front-right").startswith("45°"), label("front-right")
        for name, words in ROUND.items():
            browser.type(name, words)
        browser.one("#front-left").send_keys(Keys.TAB)
        bench.settled()
        gaps = (f"front 0, 45deg 0.3, {sides[0]} 1.2, 135deg 2.1, back 2.6, 225deg 2, {sides[1]} 1.1, 315deg 0.3").lower()
        with tempfile.TemporaryDirectory() as folder:
            job = Path(folder, "job.json")
            job.write_text(bench.text(), encoding="utf-8")
            command = ("trial", str(job), "--tube", "riser 3", "--end", end, "--gaps", gaps)
            report, same = report_of(page.program, [*command])
        browser.until("what is off", lambda: told() == report["warnings"])
        name, data = browser.downloaded(lambda: bench.press("The strip to grind by, PDF", "#trial"))
        assert data == same and name == f"bank-riser 3-{end}.strip.pdf", name
    fits = browser.run("const it = document.getElementById('trial'); return it.scrollWidth - it.clientWidth")
    assert fits <= 0, fits
    look = Look(page, browser, pictures)
    for size in (PHONE, DESK):
        browser.size(*size)
        bench.settled()
        if pictures:
            look.take(f"job trial {size[0]}")
        look.standing("a riser at the trial fit", size)
    browser.type("back", "x")
    browser.one("#back").send_keys(Keys.TAB)
    browser.until("a message", lambda: "is not a length" in browser.text("#back-wrong") + browser.text("#gaps-wrong"))
    bench.press("Close", "#trial")
    assert not browser.one("#trial").is_displayed()


OFFERED = [a_tube_of_a_job_is_offered_up]
