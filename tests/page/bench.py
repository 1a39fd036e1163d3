"""The bench for whole jobs, as a person uses it."""

import json
import subprocess
import tempfile
from pathlib import Path

from selenium.webdriver.common.keys import Keys

TEMPLATES = Path(__file__).parents[2] / "templates"
STARTERS = ("cooler-bank", "drain-standpipe", "node-frame", "plate-frame", "stacked-hopper", "used-bottle")

# The job as the browser keeps it.
KEPT = """
const done = arguments[arguments.length - 1];
const opening = indexedDB.open('girthline job', 1);
opening.onupgradeneeded = () => { opening.transaction.abort(); };
opening.onerror = () => done(null);
opening.onsuccess = () => {
  const asked = opening.result.transaction('now').objectStore('now').get('job');
  asked.onsuccess = () => { opening.result.close(); done(asked.result ?? null); };
};
"""
FORGET = """
const done = arguments[arguments.length - 1];
const forgetting = indexedDB.deleteDatabase('girthline job');
forgetting.onsuccess = forgetting.onerror = () => done(true);
"""
CHIPS = "#sections .chip"
# The first button that is shown with these words.
BUTTON = """
return [...document.querySelectorAll(arguments[0] + ' button')]
  .find((one) => one.checkVisibility() && one.innerText.trim() === arguments[1]) ?? null;
"""


class Bench:
    """`/job` in a browser, with nothing on it."""

    def __init__(self, page, browser, keep=False):
        self.page, self.browser = page, browser
        if not keep:
            # Not from the bench itself: it holds on to what it keeps.
            browser.go(page.address + "/ruler")
            browser.driver.execute_async_script(FORGET)
        browser.go(page.address + "/job")
        self.settled()

    def settled(self):
        """Waits until nothing is asked any more."""
        self.browser.until("the bench is at rest", lambda: self.browser.run(
            "return document.getElementById('starters').childElementCount > 0"
            " && document.getElementById('main').getAttribute('aria-busy') === 'false'"))

    def kept(self):
        return self.browser.driver.execute_async_script(KEPT)

    def text(self):
        """The job's text, as the browser keeps it."""
        self.settled()
        return self.kept()["text"]

    def click(self, element):
        self.browser.click(element)
        self.settled()

    def press(self, words, within="body"):
        """Presses the button with these words on it."""
        self.click(self.browser.until(f"a button {words!r} in {within}", lambda: self.browser.run(BUTTON, within, words)))

    def start(self, name):
        """Opens a starter of this name."""
        buttons = self.browser.all("#starters button")
        assert len(buttons) == len(STARTERS)
        self.click(buttons[STARTERS.index(name)])
        self.browser.until("a picture", lambda: self.browser.one("#turned svg"))

    def open(self, path):
        self.browser.one("#file").send_keys(str(path))
        self.browser.until("the file's name", lambda: Path(path).name in self.browser.text("#where"))
        self.settled()

    def choose(self, name):
        """Opens the card of what is called so."""
        chips = [one for one in self.browser.all(CHIPS) if one.find_element("css selector", "span").text == name]
        assert chips, f"no chip {name!r}: {[one.text for one in self.browser.all(CHIPS)]}"
        self.click(chips[0])

    def field(self, at):
        """The field of a place of the card that is open."""
        fields = [one for one in self.browser.all("#card [data-at]") if json.loads(one.get_attribute("data-at")) == at]
        assert fields, f"no field {at}: {[one.get_attribute('data-at') for one in self.browser.all('#card [data-at]')]}"
        if not fields[0].is_displayed():
            self.browser.click(self.browser.one("#card details > summary"))
        return fields[0]

    def type(self, at, words):
        """Types into a field, and leaves it."""
        field = self.field(at)
        self.browser.run("arguments[0].scrollIntoView({block: 'center'})", field)
        if field.tag_name == "select":
            self.browser.run("arguments[0].focus()", field)
            [option] = [one for one in field.find_elements("css selector", "option") if one.get_attribute("value") == words]
            option.click()
        else:
            field.send_keys(Keys.CONTROL, "a")
            field.send_keys(Keys.NULL, Keys.DELETE, *words, Keys.TAB)
        self.settled()

    def labelled(self, label):
        """The place of the field with this label."""
        for one in self.browser.all("#card .gap"):
            if one.find_element("css selector", "label").get_attribute("textContent") == label:
                return json.loads(one.find_element("css selector", "[data-at]").get_attribute("data-at"))
        raise AssertionError(f"no field is called {label!r}")

    def rename(self, name):
        self.type(self.labelled("Name"), name)

    def take(self, words):
        """The file that a button of the row at the bottom gives."""
        [button] = [one for one in self.browser.all(".along button") if one.text.strip() == words]
        name, data = self.browser.downloaded(lambda: self.browser.click(button))
        self.settled()
        return name, data


def batch(program, text, *flags):
    """What the command writes for a job's text: its report and its PDF."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "job.json").write_bytes(text if isinstance(text, bytes) else text.encode())
        subprocess.run([program, "batch", "job.json", "--out", "out.pdf", "--report", "out.json", *flags],
                       cwd=folder, capture_output=True, text=True, timeout=60, check=True)
        return json.loads((Path(folder) / "out.json").read_text()), (Path(folder) / "out.pdf").read_bytes()
