"""How each screen looks: no wider than the window, targets large enough, and nothing serious found by axe-core."""

import base64
import importlib.util
from pathlib import Path

from browser import DESK, PHONE
from checks import JOINT, SAW, TURN
from trial import LANDING, TRIAL

SCREENS = {
    "home": "/",
    "saddle empty": "/saddle",
    "saddle": f"/saddle?{JOINT}",
    "saddle wrong": "/saddle?branch=100mm+x+3mm&header=60mm&offset=1-x",
    "miter": f"/miter?{TURN}&pieces=4&radius=6in",
    "facets": f"/facets?{SAW}&saw-front=40",
    "trial empty": "/trial",
    "trial": f"/trial?{TRIAL}",
    "trial undecided": "/trial?branch=48.3mm+x+2mm&header=60.3mm&units=mm&gaps=front+0,22.5deg+0.4,right+1.5,left+0.8",
    "trial wrong": f"/trial?{LANDING}&gaps=front+0.3,right+x,back+1,left+-1",
    "ruler": "/ruler",
    "phones": "/phones",
    "no such thing": "/nothing",
}
TARGET = 44  # a finger's, in CSS pixels
SERIOUS = ("serious", "critical")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

SMALL = """
return [...document.querySelectorAll('button, input, select, summary, nav a, .links a, .choices a')]
  .filter((one) => one.checkVisibility())
  .map((one) => [one.id || one.textContent.trim(), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < arguments[0] - 0.5 || box.width < arguments[0] - 0.5)
  .map(([name, box]) => `${name}: ${box.width} x ${box.height}`)
"""
WIDE = """
const wide = document.documentElement.clientWidth;
return [document.scrollingElement.scrollWidth, [...document.body.querySelectorAll('*')]
  .filter((one) => one.getBoundingClientRect().right > wide + 0.5 && !one.closest('code, .skip, datalist, svg'))
  .map((one) => one.outerHTML.slice(0, 80))]
"""

TWICE = """
const ids = [...document.querySelectorAll('[id]')].map((one) => one.id);
return ids.filter((id, index) => ids.indexOf(id) !== index)
"""


def axe_source():
    spec = importlib.util.find_spec("axe_playwright_python")
    return (Path(spec.submodule_search_locations[0]) / "axe.min.js").read_text()


class Look:
    """Looks at every screen as it is on a desk or on a phone, by day or by night."""

    def __init__(self, page, browser, pictures=None):
        self.page, self.browser, self.pictures = page, browser, pictures
        self.axe = axe_source()

    def look(self, name, path, size, is_dark):
        browser = self.browser
        browser.size(*size)
        browser.dark(is_dark)
        browser.go(self.page.address + path)
        if browser.all("#answer"):
            browser.settled()
        if self.pictures:
            self.take(f"{name} {size[0]}{' dark' if is_dark else ''}")
        self.standing(name, size)

    def standing(self, name, size):
        """The screen that stands there."""
        browser = self.browser
        # What is behind a dialog can't be opened.
        front = "dialog[open] " if browser.all("dialog[open]") else ""
        for more in browser.all(front + "details:not([open]) > summary"):
            if more.is_displayed():
                browser.click(more)
        wide, what = browser.run(WIDE)
        assert wide <= size[0], f"{name} is {wide} px wide on {size[0]}: {what[:3]}"
        twice = browser.run(TWICE)
        assert not twice, f"{name}: more than one is called {twice}"
        small = browser.run(SMALL, TARGET)
        assert not small, f"{name}: too small for a finger: {small}"
        self.accessible(name)

    def accessible(self, name):
        self.browser.run(self.axe)
        found = self.browser.driver.execute_async_script(
            "const done = arguments[arguments.length - 1];"
            "axe.run(document, {runOnly: {type: 'tag', values: arguments[0]},"
            " rules: {'color-contrast-enhanced': {enabled: true}}, resultTypes: ['violations']}).then(done)", TAGS)
        assert found["passes"], "the checker looked at nothing"
        serious = [f"{one['id']}: {one['nodes'][0]['html'][:120]} {one['nodes'][0].get('failureSummary', '')[:200]}"
                   for one in found["violations"] if one["impact"] in SERIOUS]
        assert not serious, f"{name}: " + "\n".join(serious)

    def take(self, name):
        self.pictures.mkdir(parents=True, exist_ok=True)
        size = self.browser.run("return [innerWidth, document.documentElement.scrollHeight]")
        shot = self.browser.driver.execute_cdp_cmd("Page.captureScreenshot", {
            "captureBeyondViewport": True,
            "clip": {"x": 0, "y": 0, "width": size[0], "height": min(size[1], 4000), "scale": 1}})
        (self.pictures / f"{name.replace(' ', '_')}.png").write_bytes(base64.b64decode(shot["data"]))

    def all(self):
        count = 0
        for size in (DESK, PHONE):
            for is_dark in (False, True):
                for name, path in SCREENS.items():
                    self.look(name, path, size, is_dark)
                    count += 1
        self.browser.dark(False)
        return count
