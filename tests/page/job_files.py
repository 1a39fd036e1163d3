"""A job file opened, changed, saved; wrong ones; a browser that is killed, and another program that writes the same file."""

import json
import tempfile
from pathlib import Path

from bench import STARTERS, TEMPLATES, Bench
from browser import DESK, Browser, Served

ALONG = ["tubes", "riser", "path", 0, "along"]


def each_starter_is_changed_and_undone_and_saved_as_it_was(page, browser):
    browser.size(*DESK)
    for name in STARTERS:
        bench = Bench(page, browser)
        bench.start(name)
        was = (TEMPLATES / f"{name}.json").read_text()
        assert bench.text() == was, name
        assert "saved" in browser.text("#where") and "not saved" not in browser.text("#where")
        bench.choose("Title and paper")
        bench.type(["title"], "Another title")
        tube = next(iter(json.loads(was)["tubes"]))
        bench.choose(tube)
        bench.rename("another name")
        changed = bench.text()
        assert json.loads(changed)["title"] == "Another title" and "another name" in changed
        assert "not saved" in browser.text("#where")
        for _ in range(2):
            bench.press("Undo")
        file, saved = bench.take("Save")
        assert (file, saved.decode()) == (f"{name}.json", was), name
        bench.press("Redo")
        bench.press("Redo")
        assert bench.text() == changed
    return f"{len(STARTERS)} of them"


def the_errors_of_a_wrong_file_lead_to_their_fields(page, browser):
    browser.size(*DESK)
    text = (TEMPLATES / "cooler-bank.json").read_text()
    wrong = {
        '"along": 110': ('"along": "far"', ALONG),
        '"21ft"': ('"21 elephants"', ["stock", "riser", "stick"]),
        '"clearance": 0.5': ('"clearance": "wide"', ["tubes", "riser", "end", "clearance"]),
        '[0, 850, 0]': ('[0, "long", 0]', ["bodies", "lower", "to", 1]),
    }
    for right, (words, _) in wrong.items():
        assert text.count(right) == 1, right
        text = text.replace(right, words)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "wrong.json"
        path.write_text(text)
        bench = Bench(page, browser)
        bench.open(path)
        for words, at in wrong.values():
            word = words.split('"')[-2]
            [lead] = [one for one in browser.all("#problems button") if word in one.text]
            bench.click(lead)
            field = browser.driver.switch_to.active_element
            assert json.loads(field.get_attribute("data-at") or "null") == at, f"{word} led to {field.get_attribute('outerHTML')}"
            assert field.get_attribute("aria-invalid") == "true" and field.is_displayed()
            told = browser.run("return document.getElementById(arguments[0].id + '-wrong').textContent", field)
            assert word in told, told
        [pdf] = [one for one in browser.all(".along button") if one.text == "PDF"]
        assert not pdf.is_enabled(), "a job that is wrong can't be printed"
        for (right, (_, at)) in wrong.items():
            if at[0] == "bodies":
                continue
            bench.choose(at[1]) if at[0] != "stock" else bench.click(browser.all("#sections .chip")[3])
            bench.type(at, json.loads("{" + right + "}")[at[-1]].__str__() if ":" in right else right.strip('"'))
        assert len(browser.all("#problems > li")) == 1, browser.text("#problems")
        path.write_text("{ \"tubes\": ")
        bench.open(path)
        assert "line 1" in browser.text("#problems"), browser.text("#problems")


def a_browser_that_is_killed_comes_back_with_every_step(page, browser):
    other = Browser()
    try:
        other.size(*DESK)
        bench = Bench(page, other)
        bench.start("cooler-bank")
        bench.choose("riser")
        for words in ("115", "120", "125"):
            bench.type([*ALONG], words)
        bench.press("Undo")
        was = bench.kept()
        # Half a word stands in a field when it ends.
        bench.field(ALONG).send_keys("9")
        other.kill()
        other.start()
        other.size(*DESK)
        bench = Bench(page, other, keep=True)
        assert bench.kept() == was and json.loads(was["text"])["tubes"]["riser"]["path"][0]["along"] == 120
        other.until("the picture", lambda: other.one("#turned svg"))
        assert "not saved" in other.text("#where")
        bench.press("Redo")
        bench.choose("riser")
        assert bench.field(ALONG).get_attribute("value") == "125"
        for _ in range(3):
            bench.press("Undo")
        assert bench.text() == (TEMPLATES / "cooler-bank.json").read_text()
    finally:
        other.close()


def a_file_that_another_program_changed_is_not_written_over_unasked(page, browser):
    browser.size(*DESK)
    was = (TEMPLATES / "cooler-bank.json").read_text()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bank.json"
        path.write_text(was)
        served = Served(page.program, str(path))
        try:
            bench = Bench(served, browser)
            assert bench.text() == was and browser.text("#where").startswith("bank.json: saved")
            bench.choose("riser")
            bench.type(ALONG, "115")
            bench.press("Save")
            assert path.read_text() == was.replace('"along": 110', '"along": 115'), "it isn't saved"
            others = was.replace('"along": 110', '"along": 200')
            path.write_text(others)
            bench.type(ALONG, "120")
            bench.press("Save")
            assert "another program" in browser.text("#told"), browser.text("#told")
            assert path.read_text() == others, "it was written over unasked"
            browser.complained(409)
            bench.press("Open what is there now", "#told")
            assert bench.text() == others
            bench.press("Undo")
            assert json.loads(bench.text())["tubes"]["riser"]["path"][0]["along"] == 120
            path.write_text(was)
            bench.press("Save")
            browser.complained(409)
            bench.press("Write over it", "#told")
            assert path.read_text() == bench.text() and browser.text("#told") == ""
        finally:
            browser.go(page.address + "/ruler")
            served.stop()


FILES = (
    each_starter_is_changed_and_undone_and_saved_as_it_was,
    the_errors_of_a_wrong_file_lead_to_their_fields,
    a_browser_that_is_killed_comes_back_with_every_step,
    a_file_that_another_program_changed_is_not_written_over_unasked,
)
