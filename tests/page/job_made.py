"""Whole jobs made from an empty page by forms alone."""

import io
import json

import pikepdf

from bench import TEMPLATES, Bench, batch
from browser import DESK, PHONE


def lying_drum(bench, name, right, back, up, zero):
    """A new lying drum with these measures; `zero` is a button's words where the zero line isn't there already."""
    bench.press("+ a lying drum")
    at = bench.labelled("Size")[:2]
    for label, words in (("To the right", right), ("To the back", back), ("Middle over the ground", up)):
        bench.type(bench.labelled(label), words)
    if zero:
        bench.press(zero, "#card")
    bench.rename(name)
    return at


def risers(bench, path, clearance, step):
    """A tube from the drum lower to upper, and five more; `path` holds what is measured at each end."""
    bench.press("+ a tube")
    for which, name in (("#tube-from", "lower"), ("#tube-to", "upper")):
        [option] = [one for one in bench.browser.all(f"{which} option") if one.text == name]
        option.click()
    bench.press("Put it in")
    bench.rename("riser")
    tube = ["tubes", "riser"]
    for index, (along, round_) in enumerate(path):
        bench.type([*tube, "path", index, "along"], along)
        bench.type([*tube, "path", index, "round"], round_)
    if clearance:
        bench.type([*tube, "end", "join"], "set-in")
        bench.type([*tube, "end", "clearance"], clearance)
    bench.type([*tube, "repeat", "times"], "6")
    bench.type([*tube, "repeat", "step", 1], step)


def the_readmes_job_is_built_by_forms_alone(page, browser):
    browser.size(*DESK)
    bench = Bench(page, browser)
    lying_drum(bench, "lower", "0", "0", "0", None)
    lying_drum(bench, "upper", "0", "60", "1000", "Zero line down")
    bench.press("+ stock")
    bench.rename("riser")
    bench.type(["stock", "riser", "kerf"], "3")
    risers(bench, (("110", "-18deg"), ("130", "24deg")), "0.5", "120")
    bench.choose("Title and paper")
    bench.type(["title"], "Glasshouse heat bank: risers between two drums")
    assert browser.text("#problems") == "", browser.text("#problems")
    made, _ = batch(page.program, bench.text())
    starter, _ = batch(page.program, (TEMPLATES / "cooler-bank.json").read_bytes())
    differ = [key for key in starter if made.get(key) != starter[key]]
    assert made == starter, f"the report differs in {differ}"


def a_phone_makes_a_bank_with_a_drain_and_a_foot_and_prints_it(page, browser):
    """Two lying drums with six risers, a flush drain and a mitered foot, without a word of JSON."""
    browser.size(*PHONE)
    bench = Bench(page, browser)
    lying_drum(bench, "lower", "0", "0", "400", None)
    lying_drum(bench, "upper", "0", "0", "1400", None)
    risers(bench, (("110", "0deg"), ("110", "180deg")), None, "120")
    for name in ("drain", "foot"):
        bench.press("+ a tube")
        for which, words in (("#tube-from", "lower"), ("#tube-to", "straight out")):
            [option] = [one for one in browser.all(f"{which} option") if one.text == words]
            option.click()
        bench.press("Put it in")
        bench.rename(name)
    # The foot stands under the drum, then turns to the side.
    foot = ["tubes", "foot"]
    bench.type([*foot, "path", 0, "along"], "700")
    bench.type([*foot, "path", 0, "round"], "180deg")
    bench.press("A step instead", "#card")
    bench.type([*foot, "path", 1, "step", 2], "-100")
    bench.press("Add a step", "#card")
    bench.type([*foot, "path", 2, "step", 0], "200")
    bench.type([*foot, "path", 2, "step", 2], "0")
    # The drain goes out at the lowest line of the drum, square to it: flush, with nothing left standing.
    bench.choose("drain")
    drain = ["tubes", "drain"]
    bench.type([*drain, "path", 0, "round"], "180deg")
    bench.type([*drain, "path", 0, "along"], "300")
    bench.type([*drain, "path", 1, "round"], "180deg")
    bench.type([*drain, "path", 1, "along"], "300")
    assert browser.text("#problems") == "", browser.text("#problems")
    rows = browser.run("return [...document.querySelectorAll('#tables details:first-of-type tbody tr')]"
                       ".map((row) => [...row.cells].map((cell) => cell.textContent))")
    counts = {row[1].split(" ")[0]: row[2] for row in rows}
    assert counts.get("riser") == "6" and "drain" in counts and "foot" in counts, rows
    assert any("miter" in row[5] for row in rows if row[1].startswith("foot")), rows
    _, pack = bench.take("PDF")
    text = bench.text()
    name = browser.text("#where").split(":")[0]
    assert name == "job.json"
    assert pack == batch(page.program, text)[1], "the pack isn't the command's"
    pages = len(pikepdf.open(io.BytesIO(pack)).pages)
    assert pages > 4, pages
    return f"{pages} sheets"


def what_is_there_already_and_what_falls_is_said_by_forms(page, browser):
    """Holes as found, ends and holes that are made, tubes told by their fall: made, changed and taken back."""
    browser.size(*DESK)
    bench = Bench(page, browser)
    bench.start("cooler-bank")
    was = bench.text()

    def job():
        return json.loads(bench.text())

    bench.choose("lower")
    browser.run("document.querySelector('#card details').open = true")
    bench.press("Add: holes as found", "#card")
    hole = ["bodies", "lower", "holes", 0]
    for key, words in (("name", "old bung"), ("along", "420"), ("round", "-90deg"), ("across", "57")):
        bench.type([*hole, key], words)
    assert job()["bodies"]["lower"]["holes"] == [{"name": "old bung", "along": 420, "round": "-90deg", "across": 57}]
    assert browser.one("#card .skin .found path") and browser.text("#problems") == ""
    # Where the riser would come over it, it is told.
    bench.type([*hole, "round"], "-18deg")
    bench.type([*hole, "along"], "470")
    assert "old bung" in browser.text("#notes"), browser.text("#notes")
    bench.press("Take out holes as found 1", "#card")
    assert "holes" not in job()["bodies"]["lower"]
    bench.choose("riser")
    for end, word in (("start", "both"), ("end", "hole")):
        bench.type(["tubes", "riser", end, "made"], word)
        assert job()["tubes"]["riser"][end]["made"] == word
    assert "made already" in browser.text("#picture"), browser.text("#picture")
    for end in ("start", "end"):
        bench.type(["tubes", "riser", end, "made"], "")
    assert bench.text() == was, "taken back, it isn't what it was"
    # A drum a little higher beside the lower one, and a tube that falls from it to that.
    at = lying_drum(bench, "header", "900", "0", "100", None)
    assert at[0] == "bodies"
    bench.press("+ a tube")
    for which, name in (("#tube-from", "header"), ("#tube-to", "lower")):
        [option] = [one for one in browser.all(f"{which} option") if one.text == name]
        option.click()
    bench.press("Put it in")
    bench.rename("return")
    end = ["tubes", "return", "path", 1]
    bench.press("It falls to there", "#card")
    assert job()["tubes"]["return"]["path"][1] == {"on": "lower", "fall": "20mm/m"}, job()["tubes"]["return"]
    bench.type([*end, "fall"], "2deg")
    assert browser.text("#problems") == "", browser.text("#problems")
    long = browser.run("return [...document.querySelectorAll('#tables details:first-of-type tbody tr')]"
                       ".find((row) => row.cells[1].textContent.startsWith('return')).cells[4].textContent")
    # What follows from a fall is shown on the skin, and not filled in.
    skins = browser.all("#card figure.skin")
    assert [one.get_attribute("data-point") is None for one in skins] == [False, True] and browser.all("#card .skin .here")[1]
    bench.press("Measured instead", "#card")
    point = job()["tubes"]["return"]["path"][1]
    assert set(point) == {"on", "along", "round"}, point
    now = browser.run("return [...document.querySelectorAll('#tables details:first-of-type tbody tr')]"
                      ".find((row) => row.cells[1].textContent.startsWith('return')).cells[4].textContent")
    assert abs(float(now.split()[0]) - float(long.split()[0])) < 2, (long, now)
    bench.press("A step instead", "#card")
    for index, words in enumerate(("-300", "0", "0")):
        bench.type([*end, "step", index], words)
    bench.press("It falls to there", "#card")
    assert job()["tubes"]["return"]["path"][1] == {"step": [-300, 0, 0], "fall": "20mm/m"}
    assert browser.text("#problems") == "", browser.text("#problems")
    bench.press("Without a fall", "#card")
    assert job()["tubes"]["return"]["path"][1] == {"step": [-300, 0, 0]}


MADE = (what_is_there_already_and_what_falls_is_said_by_forms, the_readmes_job_is_built_by_forms_alone, a_phone_makes_a_bank_with_a_drain_and_a_foot_and_prints_it)
