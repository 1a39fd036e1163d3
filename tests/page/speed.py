"""From a key pressed to the new picture, in the browser's own time: of a release build, on a machine that does nothing else."""

import statistics

from browser import DESK
from checks import JOINT

KEYS = 200
MIDDLE, WORST = 50.0, 100.0  # milliseconds

# Keeps what passes from `begun` until the picture changes.
WATCH = """
window.took = [];
window.begun = null;
new MutationObserver(() => {
  if (window.begun === null) return;
  const begun = window.begun;
  window.begun = null;
  // After the frame that shows it.
  requestAnimationFrame(() => setTimeout(() => window.took.push(performance.now() - begun)));
}).observe(document.getElementById(arguments[0]), {childList: true, subtree: true});
"""
PRESSED = "arguments[0].addEventListener('input', (event) => (window.begun = event.timeStamp), true)"


def took(browser, count, do):
    """The milliseconds that so many changes took, each waited for."""
    for change in range(count):
        do(change)
        browser.until("the picture", lambda: len(browser.run("return window.took")) > change)
    return browser.run("return window.took")


def measure(page, browser):
    """The middle and the worst of so many keys, in milliseconds."""
    browser.size(*DESK)
    browser.go(f"{page.address}/saddle?{JOINT}&units=in&offset=0")
    browser.until("a picture", browser.picture)
    browser.settled()
    browser.run(WATCH, "view")
    field = browser.one("#offset")
    browser.run(PRESSED, field)

    def press(key):
        # One key that makes another joint, none of the last few, out of 10.
        browser.run("arguments[0].select()", field)
        field.send_keys(str((key + 1) % 10))

    of_key = took(browser, KEYS, press)
    return statistics.median(of_key), max(of_key)
