"""The bench of a whole job, used by mouse, finger and keys."""

import json
import math

from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from bench import Bench, batch
from browser import DESK, PHONE
from looks import Look

START = ["tubes", "riser", "path", 0]

# Where a place of a skin is in the window; millimetres to the right and up from where the zero line meets the end.
ON_SKIN = """
const [map, right, up] = arguments;
map.scrollIntoView({block: 'center'});
const [zero, mm] = [map.dataset.zero, map.dataset.mm].map((two) => two.split(' ').map(Number));
const at = new DOMPoint(zero[0] + right / mm[0], zero[1] - up / mm[1]).matrixTransform(map.getScreenCTM());
return [at.x, at.y];
"""
# The middle of a landing's dot in the window, without the room for a finger round it.
HANDLE = """
const group = [...document.querySelectorAll('#turned .handle')].find((one) => one.dataset.point === arguments[0]);
if (!group) return null;
const box = group.getBBox();
const at = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2).matrixTransform(group.getScreenCTM());
return [at.x, at.y];
"""
ROW = "return document.querySelector('#tables details:first-of-type tbody tr').cells[4].textContent"


def mouse(browser, kind, place, buttons=0):
    """What a mouse does at a place of the window."""
    browser.driver.execute_cdp_cmd("Input.dispatchMouseEvent", {
        "type": kind, "x": place[0], "y": place[1], "button": "left" if kind != "mouseMoved" or buttons else "none",
        "buttons": buttons, "clickCount": 1})


def finger(browser, kind, place=None):
    points = [{"x": place[0], "y": place[1]}] if place else []
    browser.driver.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def click(browser, place):
    mouse(browser, "mousePressed", place, 1)
    mouse(browser, "mouseReleased", place)


def point(bench):
    return json.loads(bench.text())["tubes"]["riser"]["path"][0]


def handle(browser, at):
    return browser.run(HANDLE, json.dumps(at, separators=(",", ":")))


def a_click_on_the_skin_fills_both_measures(page, browser):
    browser.size(*DESK)
    bench = Bench(page, browser)
    bench.start("cooler-bank")
    bench.choose("riser")
    was = bench.text()
    # A quarter round to the left: 573.9 mm across.
    place = browser.run(ON_SKIN, browser.one(".skin svg"), -math.pi * 573.9 / 4, 700.0)
    click(browser, place)
    browser.until("both measures", lambda: point(bench)["round"] != "-18deg")
    landed = point(bench)
    # A pixel is about 5 mm here.
    degrees = float(landed["round"].removesuffix("deg"))
    assert abs(landed["along"] - 700) < 6 and abs(degrees + 90) < 1.5, landed
    assert bench.field([*START, "along"]).get_attribute("value") == str(landed["along"])
    assert bench.field([*START, "round"]).get_attribute("value") == landed["round"]
    # The measure that has the focus is drawn thick.
    thick = "return getComputedStyle(document.querySelector(arguments[0])).strokeWidth"
    for held, other in (("along", "round"), ("round", "along")):
        browser.run("arguments[0].focus()", bench.field([*START, held]))
        widths = [float(browser.run(thick, f".skin .{one} path").removesuffix("px")) for one in (held, other)]
        assert widths[0] > 2 * widths[1], widths
    # One step.
    bench.press("Undo")
    assert bench.text() == was
    bench.press("Redo")
    assert point(bench) == landed


def a_landing_is_dragged_and_the_numbers_follow(page, browser):
    browser.size(*DESK)
    bench = Bench(page, browser)
    bench.start("cooler-bank")
    bench.choose("riser")
    browser.run("document.querySelector('#tables details').open = true")
    was, long, begin = bench.text(), browser.run(ROW), bench.kept()["at"]

    def along():
        return browser.run("return document.querySelector('#card [data-at$=\\'0,\"along\"]\\']').value")

    def drag(by):
        """Takes hold of the landing and moves it, in steps; what the field says on the way."""
        browser.run("document.getElementById('turned').scrollIntoView({block: 'center'})")
        start = handle(browser, START)
        mouse(browser, "mousePressed", start, 1)
        seen = []
        for step in range(1, 9):
            to = [start[0] + by[0] * step / 8, start[1] + by[1] * step / 8]
            mouse(browser, "mouseMoved", to, 1)
            bench.settled()
            seen.append(along())
        # It is where the finger is: within a step of 1 mm, and what is left of a pixel.
        browser.until("the landing is where the finger is", lambda: math.dist(handle(browser, START), to) < 2.5)
        return to, seen

    to, seen = drag((14, 3.4))
    assert len(set(seen)) > 5, f"the numbers don't follow while it is dragged: {seen}"
    assert browser.run(ROW) != long, "the cut list doesn't follow"
    assert (bench.kept()["text"], bench.kept()["at"]) == (was, begin), "a step before it is let go"
    mouse(browser, "mouseReleased", to)
    browser.until("a step", lambda: bench.text() != was)
    landed = point(bench)
    assert str(landed["along"]) == seen[-1] and isinstance(landed["along"], int), (landed, seen)
    assert landed["round"].endswith("deg"), landed
    assert bench.kept()["at"] == begin + 1, "more than one step"
    bench.press("Undo")
    assert bench.text() == was
    # Escape puts it back.
    to, seen = drag((-8, 8))
    assert len(set(seen)) > 2
    ActionChains(browser.driver).send_keys(Keys.ESCAPE).perform()
    browser.until("it is back", lambda: along() == "110")
    mouse(browser, "mouseReleased", to)
    assert bench.text() == was and browser.run(ROW) == long
    # What isn't on the dot turns the picture.
    picture = browser.one("#turned svg").get_attribute("outerHTML")
    box = browser.run("const box = document.getElementById('turned').getBoundingClientRect(); return [box.x + 20, box.y + 20]")
    mouse(browser, "mousePressed", box, 1)
    mouse(browser, "mouseMoved", [box[0] + 60, box[1]], 1)
    mouse(browser, "mouseReleased", [box[0] + 60, box[1]])
    browser.until("it is turned", lambda: browser.one("#turned svg").get_attribute("outerHTML") != picture)
    assert bench.text() == was


def a_finger_drags_a_landing_on_a_phone(page, browser):
    browser.size(*PHONE)
    browser.driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": True})
    try:
        bench = Bench(page, browser)
        bench.start("cooler-bank")
        bench.choose("riser")
        was = bench.text()
        start = browser.until("the landing in the strip", lambda: handle(browser, START))
        finger(browser, "touchStart", start)
        for step in range(1, 5):
            finger(browser, "touchMove", [start[0] + 3 * step, start[1] - step])
            bench.settled()
        finger(browser, "touchEnd")
        browser.until("a step", lambda: bench.text() != was)
        bench.press("Undo")
        assert bench.text() == was
    finally:
        browser.driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": False})


class Hands:
    """Keys alone: what has the focus is asked anew each time, for every answer puts other elements there."""

    def __init__(self, bench):
        self.bench, self.browser = bench, bench.browser

    def press(self, *keys):
        ActionChains(self.browser.driver).send_keys(*keys).perform()
        self.bench.settled()

    def focused(self):
        return self.browser.run("const it = document.activeElement; return [it.textContent.trim(), it.dataset.at ?? it.dataset.chip ?? '', it.id]")

    def to(self, words="", at=None, ident=None):
        """Goes on by the tabulator until what has these words on it, is at such a place or is called so has the focus."""
        wanted = json.dumps(at, separators=(",", ":")) if at else None
        for _ in range(160):
            self.press(Keys.TAB)
            text, where, called = self.focused()
            if (words and text == words) or (wanted and where == wanted) or (ident and called == ident):
                return
        raise AssertionError(f"the tabulator doesn't lead to {words or at or ident}")

    def type(self, at, words):
        self.to(at=at)
        ActionChains(self.browser.driver).key_down(Keys.CONTROL).send_keys("a").key_up(Keys.CONTROL).perform()
        self.press(words)


def a_job_is_made_by_keys_alone(page, browser):
    browser.size(*DESK)
    bench = Bench(page, browser)
    hands = Hands(bench)
    hands.to("+ a lying drum")
    hands.press(Keys.ENTER)
    hands.type(["bodies", "drum", "to", 1], "900")
    hands.to("+ a tube")
    hands.press(Keys.ENTER)
    # The vessel is chosen already; straight out of it.
    hands.to("Put it in")
    hands.press(Keys.ENTER)
    hands.type(["tubes", "pipe", "path", 0, "along"], "250")
    hands.type(["tubes", "pipe", "path", 1, "along"], "250")
    hands.type(["tubes", "pipe", "path", 1, "out"], "400")
    hands.press(Keys.TAB)
    job = json.loads(bench.text())
    assert job["bodies"]["drum"]["to"][1] == 900, job
    path = job["tubes"]["pipe"]["path"]
    assert [node["along"] for node in path] == [250, 250] and path[1]["out"] == 400, path
    assert browser.text("#problems") == "", browser.text("#problems")
    # A chip by key keeps the focus, and leads to its card.
    hands.to(at=["bodies", "drum"])
    hands.press(Keys.ENTER)
    assert hands.focused()[0].startswith("drum") and browser.text("#card h2") == "Vessel: drum"
    hands.to("PDF")
    name, pack = browser.downloaded(lambda: hands.press(Keys.ENTER))
    assert name == "job.pdf" and pack == batch(page.program, bench.text())[1], "the pack isn't the command's"


def holes_are_marked_out_one_at_a_time_on_a_phone(page, browser):
    browser.size(*PHONE)
    bench = Bench(page, browser)
    bench.start("cooler-bank")
    bench.choose("lower")
    bench.press("Mark out its 6 holes, large", "#card")

    def hole():
        return browser.text("#markout h2"), [one.text for one in browser.all("#markout .tape strong")]

    # Round: 18 degrees of 573.9 mm across are 90.15 mm.
    assert hole() == ("lower: H1", ["110.00 mm", "90.15 mm"]), hole()
    words = browser.text("#markout")
    assert "near end" in words and "to the left of the zero line" in words and "18" in words, words
    # Each measure goes across the screen, and all of it is on it at once.
    for one in browser.all("#markout .tape strong"):
        box = one.rect
        assert box["height"] > 50, box
    fits = browser.run("const it = document.getElementById('markout'); return [it.scrollHeight - it.clientHeight, it.scrollWidth - it.clientWidth]")
    assert max(fits) <= 0, fits
    bench.press("Done", "#markout")
    assert hole()[0] == "lower: H2" and "1 marked" in browser.text("#markout"), browser.text("#markout")
    assert hole()[1][0] == "230.00 mm", hole()
    bench.press("Back", "#markout")
    assert hole()[0] == "lower: H1" and "marked" in browser.text("#markout > p"), browser.text("#markout")
    bench.press("Close", "#markout")
    # It is remembered, as long as the hole stays where it is.
    bench = Bench(page, browser, keep=True)
    bench.choose("lower")
    bench.press("Mark out its 6 holes, large", "#card")
    assert "1 marked" in browser.text("#markout")
    for _ in range(6):
        buttons = [one.text for one in browser.all("#markout button")]
        bench.press("Done" if "Done" in buttons else "Next", "#markout")
    assert "All 6 are marked." in browser.text("#markout"), browser.text("#markout")
    bench.press("Close", "#markout")
    bench.choose("riser")
    bench.type([*START, "along"], "111")
    bench.choose("lower")
    bench.press("Mark out its 6 holes, large", "#card")
    assert "0 marked" in browser.text("#markout"), browser.text("#markout")
    bench.press("Close", "#markout")


def the_bench_looks_right_with_a_card_open(page, browser, pictures=None):
    look, count = Look(page, browser, pictures), 0
    # Both sizes and both lights; all four where somebody looks at the pictures.
    looks = ((DESK, False), (PHONE, True), *(((DESK, True), (PHONE, False)) if pictures else ()))
    for size, is_dark in looks:
        browser.size(*size)
        browser.dark(is_dark)
        bench = Bench(page, browser)
        for name, act in (
            ("bench empty", lambda: None),
            ("bench", lambda: bench.start("cooler-bank")),
            ("bench tube", lambda: bench.choose("riser")),
            ("bench wrong", lambda: bench.type([*START, "along"], "far")),
            ("bench vessel", lambda: (bench.press("Undo"), bench.choose("lower"))),
            ("bench paper", lambda: bench.choose("Title and paper")),
            ("bench mark-out", lambda: (bench.choose("lower"), bench.press("Mark out its 6 holes, large", "#card"))),
        ):
            act()
            if pictures:
                look.take(f"{name} {size[0]}{' dark' if is_dark else ''}")
            look.standing(name, size)
            count += 1
    browser.dark(False)
    return f"{count} screens"


BENCH = (
    a_click_on_the_skin_fills_both_measures,
    a_landing_is_dragged_and_the_numbers_follow,
    a_finger_drags_a_landing_on_a_phone,
    a_job_is_made_by_keys_alone,
    holes_are_marked_out_one_at_a_time_on_a_phone,
    the_bench_looks_right_with_a_card_open,
)
