"""The program's page, and a real browser in front of it."""

import os
import shutil
import signal
import subprocess
import tempfile
from pathlib import Path

from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import WebDriverWait

FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync",
         "--disable-dev-shm-usage", "--force-color-profile=srgb")
SECONDS = 20  # to wait for what should happen at once: machines are busy
PHONE = (360, 740)
DESK = (1280, 900)


class Served:
    """`girthline page` on a free port."""

    def __init__(self, program, *flags):
        self.program = str(Path(program).resolve())
        self.process = subprocess.Popen([self.program, "page", "--no-browser", "--port", "0", *flags],
                                        stdout=subprocess.PIPE, text=True)
        line = self.process.stdout.readline()
        self.address = line.removeprefix("girthline page: ").strip().rstrip("/")
        if not self.address.startswith("http://127.0.0.1:"):
            raise RuntimeError(f"the program printed {line!r}")

    def stop(self):
        self.process.terminate()
        self.process.wait(10)


class Browser:
    """Chromium with a new empty profile, and what a person does with it."""

    def __init__(self):
        self.folder = Path(tempfile.mkdtemp(prefix="page-"))
        self.downloads = self.folder / "downloads"
        self.downloads.mkdir()
        self.start()

    def start(self):
        """Chromium, with its profile as it stands."""
        options = webdriver.ChromeOptions()
        options.binary_location = shutil.which("chromium")
        for flag in (*FLAGS, f"--user-data-dir={self.folder / 'profile'}"):
            options.add_argument(flag)
        options.add_experimental_option("prefs", {
            "download.default_directory": str(self.downloads),
            "plugins.always_open_pdf_externally": True,
        })
        options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
        service = webdriver.ChromeService(shutil.which("chromedriver"))
        self.driver = webdriver.Chrome(options=options, service=service)
        self.size(*DESK)

    def close(self):
        self.driver.quit()
        shutil.rmtree(self.folder, ignore_errors=True)

    def kill(self):
        """Ends it as a fault or a power cut does: without a word to the page."""
        os.kill(self.process(), signal.SIGKILL)
        self.driver.service.stop()
        (self.folder / "profile" / "SingletonLock").unlink(missing_ok=True)

    def process(self):
        """The browser's own process: the one that chromedriver began."""
        driver = self.driver.service.process.pid
        for children in Path(f"/proc/{driver}/task").glob("*/children"):
            for child in children.read_text().split():
                return int(child)
        raise RuntimeError("chromedriver has no browser")

    def size(self, width, height):
        """The window's inside, in CSS pixels."""
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600})

    def dark(self, is_dark):
        self.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [
            {"name": "prefers-color-scheme", "value": "dark" if is_dark else "light"}]})

    def scripts(self, are_on):
        self.driver.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": not are_on})

    def go(self, address):
        self.driver.get(address)

    def run(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)

    def one(self, selector):
        return self.driver.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector):
        return self.driver.find_elements(By.CSS_SELECTOR, selector)

    def text(self, selector):
        """What is shown there, in one look: a page that draws itself anew can't come between."""
        found = self.run("const it = document.querySelector(arguments[0]);"
                         "return it && (it.checkVisibility() ? it.innerText.trim() : '')", selector)
        assert found is not None, f"there is no {selector}"
        return found

    def type(self, name, words):
        """Replaces what stands in a gap, key by key."""
        field = self.one(f"#{name}")
        field.send_keys(Keys.CONTROL, "a")
        field.send_keys(Keys.NULL, Keys.DELETE)
        for key in words:
            field.send_keys(key)

    def click(self, element):
        """Brings it into the middle of the window first, where no row that sticks covers it."""
        self.run("arguments[0].scrollIntoView({block: 'center'})", element)
        element.click()

    def picture(self):
        """The joint in space, as it is drawn now."""
        found = self.all("#view svg")
        return found[0].get_attribute("outerHTML") if found else ""

    def until(self, what, condition):
        """Waits until `condition()` is true, and gives what it gave."""
        try:
            return WebDriverWait(self.driver, SECONDS, 0.02,
                                 ignored_exceptions=(Exception,)).until(lambda _: condition())
        except Exception as error:
            raise AssertionError(f"never: {what}") from error

    def settled(self):
        """Waits until the answer to what is typed is there."""
        self.until("the answer to what is typed", lambda: self.run(
            "return document.documentElement.classList.contains('scripted')"
            " && document.getElementById('answer').getAttribute('aria-busy') === 'false'"))

    def downloaded(self, act):
        """The file that comes when `act` is done: its name and its bytes."""
        before = set(os.listdir(self.downloads))

        def new():
            # While it comes, an empty file holds its name.
            names = [name for name in set(os.listdir(self.downloads)) - before
                     if not name.endswith(".crdownload") and not name.startswith(".")
                     and (self.downloads / name).stat().st_size > 0]
            return names[0] if names else None

        act()
        name = self.until("a download", new)
        path = self.downloads / name
        data = path.read_bytes()
        path.unlink()
        return name, data

    def complaints(self):
        """What the browser's console has to say since it was asked last."""
        return [entry["message"] for entry in self.driver.get_log("browser") if entry["level"] == "SEVERE"]

    def complained(self, status):
        """Waits until the console complains of this status, which may be well after the page has acted on it."""
        self.until(f"a complaint of {status}", lambda: any(f"status of {status}" in one for one in self.complaints()))
