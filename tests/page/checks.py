"""What a person does on the page, and what must come of it. Each function is a check of its own."""

import io
import json
import os
import subprocess
import tempfile
from pathlib import Path

import zxingcpp
from PIL import Image
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

import pdf
from browser import DESK, PHONE

JOINT = "branch=fence+1-7%2F8+x+0.065in&header=girth+71in&angle=60"
SAW = "branch=fence+1-7%2F8+x+0.065in&header=fence+1-7%2F8"
TURN = "tube=fence+1-7%2F8+x+0.065in&turn=45"


def command_line(program, words, folder):
    """What the command line writes for the same words."""
    return subprocess.run([program, *words], cwd=folder, capture_output=True, text=True, timeout=60, check=True)


def report_of(program, words):
    with tempfile.TemporaryDirectory() as folder:
        command_line(program, [*words, "--out", "a.pdf", "--report", "a.json"], folder)
        return json.loads((Path(folder) / "a.json").read_text()), (Path(folder) / "a.pdf").read_bytes()


FENCE = ("saddle", "--branch", "fence 1-7/8 x 0.065in", "--header", "girth 71in", "--angle", "60")


def a_phone_makes_the_wrap_from_three_values(page, browser):
    """From the first screen of a phone to the PDF: no more than four values are typed."""
    browser.size(*PHONE)
    browser.go(page.address + "/")
    browser.one("a[href='/saddle']").click()
    browser.until("the sentence", lambda: browser.all("#branch"))
    for name, words in (("branch", "fence 1-7/8 x 0.065in"), ("header", "girth 71in"), ("angle", "60")):
        browser.type(name, words)
    browser.one("#angle").send_keys(Keys.TAB)
    browser.until("a picture", browser.picture)
    browser.settled()
    assert "60" in browser.text("#answer dl"), browser.text("#answer dl")
    link = browser.one("#along .links a")
    assert link.text == "PDF" and link.is_displayed()
    name, data = browser.downloaded(link.click)
    report, same = report_of(page.program, FENCE)
    assert name.endswith(".pdf") and data == same, "the PDF isn't the command's"
    end = report["ends"][0]
    line = pdf.wrap_cut(data, end["printed_girth_mm"], end["longest_mm"] - end["shortest_mm"])
    worst = pdf.largest_difference(line, end)
    assert worst < 0.01, f"the cut line is {worst} mm off the report's"
    return f"its cut line is within {worst:.4f} mm of the report's"


def the_picture_follows_what_is_typed(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/saddle?{JOINT}")
    browser.until("a picture", browser.picture)
    browser.settled()
    before, wrap = browser.picture(), browser.one("#answer figure[data-name] svg").get_attribute("outerHTML")
    browser.type("angle", "70")
    browser.until("another picture", lambda: browser.picture() != before)
    browser.settled()
    assert browser.text("#angle-heard").startswith("70"), browser.text("#angle-heard")
    assert browser.one("#answer figure[data-name] svg").get_attribute("outerHTML") != wrap
    browser.one("#angle").send_keys(Keys.TAB)
    browser.until("the address", lambda: "angle=70" in browser.driver.current_url)


def a_wrong_length_is_told_at_its_field_once_it_is_left(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/saddle?{JOINT}")
    browser.until("a picture", browser.picture)
    browser.settled()
    before = browser.picture()
    browser.type("offset", "1-x")
    browser.settled()
    assert browser.text("#offset-wrong") == "", "it is told while one types"
    browser.one("#offset").send_keys(Keys.TAB)
    told = browser.until("a message at the field", lambda: browser.text("#offset-wrong"))
    assert "1-x" in told and "--" not in told, told
    field = browser.one("#offset")
    assert field.get_attribute("aria-invalid") == "true"
    assert "offset-wrong" in field.get_attribute("aria-describedby")
    assert browser.one("#offset-wrong").get_attribute("role") == "alert"
    assert browser.text("#branch-wrong") == "" and browser.text("#header-wrong") == ""
    assert browser.picture() == before, "what was drawn last stays"
    assert "stale" in browser.one("#answer").get_attribute("class")
    assert not browser.one("#along").is_displayed(), "nothing can be taken along"
    browser.type("offset", "10mm")
    browser.until("the message goes", lambda: browser.text("#offset-wrong") == "")
    browser.until("drawn anew", lambda: browser.picture() != before)


def what_is_at_odds_is_told_at_both_fields(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/saddle?branch=100mm+x+3mm&header=60mm")
    told = [browser.until(f"a message at the {name}", lambda: browser.text(f"#{name}-wrong"))
            for name in ("branch", "header")]
    assert told[0] == told[1] and "--" not in told[0], told


def the_picture_is_turned_by_mouse_and_keys(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/saddle?{JOINT}")
    browser.until("a picture", browser.picture)
    browser.settled()
    seen = [browser.picture()]
    place = browser.one("#view")
    actions = ActionChains(browser.driver, duration=20)
    actions.click_and_hold(place)
    for _ in range(6):
        actions.move_by_offset(12, 4)
    actions.release().perform()
    browser.until("turned by the mouse", lambda: browser.picture() != seen[-1])
    for key in (Keys.ARROW_LEFT, Keys.ARROW_UP):
        browser.settled()
        seen.append(browser.picture())
        place.send_keys(key)
        browser.until("turned by a key", lambda: browser.picture() != seen[-1])
    # What is typed is then seen from where one stands.
    browser.settled()
    turned = browser.picture()
    browser.one("#angle").send_keys(Keys.END, "0", Keys.BACKSPACE)
    browser.settled()
    assert browser.picture() == turned, "it turned back"


def a_slider_moves_the_gap(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/facets?{SAW}")
    browser.until("cards", lambda: browser.all(".ways article"))
    browser.settled()
    gap, chart = browser.text(".ways article strong"), chart_of(browser)
    slider = browser.one("#saw-front ~ .slider input")
    width = slider.size["width"]
    ActionChains(browser.driver, duration=20).drag_and_drop_by_offset(slider, int(-width * 0.2), 0).perform()
    browser.until("another gap", lambda: browser.text(".ways article strong") != gap)
    browser.settled()
    assert chart_of(browser) != chart
    typed = browser.one("#saw-front").get_attribute("value")
    assert browser.text("#saw-front-heard").startswith(typed.rstrip("0").rstrip(".")), typed
    browser.until("the address", lambda: f"saw-front={typed}" in browser.driver.current_url)
    # By the keys as well.
    gap = browser.text(".ways article strong")
    slider.send_keys(*[Keys.ARROW_RIGHT] * 10)
    browser.until("another gap", lambda: browser.text(".ways article strong") != gap)
    # The best pair has a button that puts it into the gaps.
    browser.click(browser.one(".ways button"))
    browser.until("the best pair", lambda: browser.one("#saw-front").get_attribute("value") != typed)


def the_limit_is_a_line_to_drag(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/facets?{SAW}")
    browser.until("a limit", lambda: browser.all("svg .limit"))
    browser.settled()
    within = browser.text(".ways article .quiet")
    line = "return (({left, top, width}) => [left + width / 2, top])(document.querySelector('svg .limit').getBoundingClientRect())"
    browser.run("document.querySelector('svg .limit').scrollIntoView({block: 'center'})")
    x, y = browser.run(line)
    actions = ActionChains(browser.driver, duration=20)
    actions.w3c_actions.pointer_action.move_to_location(int(x), int(y)).pointer_down()
    for step in range(1, 6):
        actions.w3c_actions.pointer_action.move_to_location(int(x), int(y) - 6 * step)
    actions.w3c_actions.pointer_action.pointer_up()
    actions.perform()
    browser.until("another share within it", lambda: browser.text(".ways article .quiet") != within)
    browser.settled()
    typed = browser.run("return document.getElementById('gap').value")
    assert typed.endswith("mm") and float(typed[:-2]) > 0.8, typed
    browser.until("the address", lambda: f"gap={typed}" in browser.driver.current_url)
    # The line stands where the finger let it go, as long as the chart's scale is the same.
    assert browser.run(line)[1] < y


def the_best_is_marked_and_the_ordinates_are_there(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/facets?{SAW}&saw-front=38.3&saw-back=38.3&units=mm")
    browser.until("a mark", lambda: browser.one("#saw-front ~ .slider .best").is_displayed())
    browser.settled()
    # With the front at its best, the knob stands over the mark.
    knob, mark = browser.run("""
        const slider = document.querySelector('#saw-front ~ .slider input'), box = slider.getBoundingClientRect();
        const share = (slider.value - slider.min) / (slider.max - slider.min);
        const mark = document.querySelector('#saw-front ~ .slider .best').getBoundingClientRect();
        return [box.left + 8 + share * (box.width - 16), mark.left + mark.width / 2]""")
    assert abs(knob - mark) < 6, (knob, mark)
    browser.go(f"{page.address}/saddle?{JOINT}&units=mm")
    browser.until("the table", lambda: browser.all(".tables details"))
    browser.settled()
    browser.click(browser.one(".tables summary"))
    report, _ = report_of(page.program, [*FENCE, "--units", "mm"])
    ordinates = report["ends"][0]["ordinates"]
    rows = browser.all(".tables tbody tr")
    assert len(rows) == len(ordinates), (len(rows), len(ordinates))
    for row, ordinate in zip(rows, ordinates):
        cells = [cell.text for cell in row.find_elements("css selector", "td")]
        assert abs(float(cells[3]) - ordinate["from_base_mm"]) <= 0.051, (cells, ordinate)
        assert abs(float(cells[2]) - ordinate["girth_mm"]) <= 0.051, (cells, ordinate)


def the_picture_stays_in_sight_on_a_phone(page, browser):
    browser.size(*PHONE)
    browser.go(f"{page.address}/saddle?{JOINT}")
    browser.until("a picture", browser.picture)
    browser.settled()
    for name in ("branch", "header", "angle", "offset"):
        field = browser.one(f"#{name}")
        browser.click(field)
        strip = browser.run("return (({top, bottom}) => [top, bottom])"
                            "(document.getElementById('picture').getBoundingClientRect())")
        top = browser.run("return arguments[0].getBoundingClientRect().top", field)
        assert -1 <= strip[0] and strip[1] <= PHONE[1] and strip[1] > 60, strip
        assert top >= strip[1], f"{name} is under the strip: {top} {strip}"
    before = browser.picture()
    browser.type("angle", "50")
    browser.until("another picture", lambda: browser.picture() != before)


def chart_of(browser):
    return browser.one("#answer figure[data-name^=Gap] svg").get_attribute("outerHTML")


def the_command_that_is_shown_makes_the_same_files(page, browser):
    browser.size(*DESK)
    for path, query in (("saddle", JOINT), ("facets", SAW + "&saw-front=40&saw-back=30"), ("miter", TURN)):
        browser.go(f"{page.address}/{path}?{query}&label=don%27t+%22x%22+%24HOME")
        browser.until("a picture", browser.picture)
        browser.settled()
        browser.click(browser.one("#as-command summary"))
        shown = browser.text("#command")
        _, data = browser.downloaded(browser.one("#along .links a").click)
        with tempfile.TemporaryDirectory() as folder:
            (Path(folder) / "girthline").symlink_to(page.program)
            env = {**os.environ, "PATH": f"{folder}:{os.environ['PATH']}"}
            subprocess.run(f"{shown} --out a.pdf", shell=True, cwd=folder, env=env, check=True, capture_output=True)
            assert (Path(folder) / "a.pdf").read_bytes() == data, shown


def a_bookmark_brings_the_joint_back(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/saddle")
    browser.type("branch", "48.3mm x 2mm")
    browser.type("header", "114.3mm")
    browser.type("angle", "55")
    browser.one("#angle").send_keys(Keys.TAB)
    browser.until("the address", lambda: "angle=55" in browser.driver.current_url)
    browser.settled()
    bookmark, picture = browser.driver.current_url, browser.picture()
    browser.go("about:blank")
    browser.go(bookmark)
    browser.until("the same picture", lambda: browser.picture() == picture)
    typed = [browser.one(f"#{name}").get_attribute("value") for name in ("branch", "header", "angle")]
    assert typed == ["48.3mm x 2mm", "114.3mm", "55"], typed
    # A step back is the joint before.
    browser.type("angle", "65")
    browser.one("#angle").send_keys(Keys.TAB)
    browser.until("the address", lambda: "angle=65" in browser.driver.current_url)
    browser.driver.back()
    browser.until("the joint before", lambda: browser.one("#angle").get_attribute("value") == "55")
    browser.until("its picture", lambda: browser.picture() == picture)


def what_the_printer_does_is_remembered_and_cleared(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/ruler")
    browser.one("#across").send_keys("149.3")
    browser.one("#down").send_keys("150.6")
    browser.one("#keep-readings").click()
    browser.go(f"{page.address}/saddle?{JOINT}")
    browser.until("it is said", lambda: "149.3" in browser.text("#corrected"))
    browser.settled()
    _, data = browser.downloaded(browser.one("#along .links a").click)
    _, same = report_of(page.program, [*FENCE, "--ruler-reads", "149.3,150.6"])
    assert data == same, "the sheet isn't corrected"
    browser.one("#corrected button").click()
    browser.until("it is cleared", lambda: not browser.one("#corrected").is_displayed())
    browser.settled()
    _, data = browser.downloaded(browser.one("#along .links a").click)
    _, plain = report_of(page.program, FENCE)
    assert data == plain, "the sheet is still corrected"


def it_is_used_by_the_keyboard_alone(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/saddle")
    keys = lambda *them: ActionChains(browser.driver).send_keys(*them).perform()
    focused = lambda: browser.run("return document.activeElement.id")

    def tab_to(name):
        for _ in range(60):
            keys(Keys.TAB)
            if focused() == name:
                break
        assert focused() == name, f"{name} isn't reached"
        outline = browser.run("const s = getComputedStyle(document.activeElement);"
                              "return s.outlineStyle !== 'none' ? parseFloat(s.outlineWidth) : 0")
        assert outline >= 2, f"{name} doesn't show that it has the focus"

    keys(Keys.TAB)
    assert browser.run("return document.activeElement.className") == "skip"
    for name, words in (("branch", "48.3mm x 2mm"), ("header", "114.3mm"), ("angle", "60")):
        tab_to(name)
        keys(*words)
        keys(Keys.ESCAPE)
    keys(Keys.ENTER)
    browser.until("a picture", browser.picture)
    browser.settled()
    tab_to("view")
    before = browser.picture()
    keys(Keys.ARROW_RIGHT)
    browser.until("turned", lambda: browser.picture() != before)
    for _ in range(30):
        keys(Keys.TAB)
        if browser.run("return document.activeElement.textContent") == "PDF":
            break
    name, data = browser.downloaded(lambda: keys(Keys.ENTER))
    assert data.startswith(b"%PDF"), name


def it_is_whole_without_the_script(page, browser):
    browser.size(*PHONE)
    browser.scripts(False)
    try:
        browser.go(f"{page.address}/saddle")
        for name, words in (("branch", "48.3mm x 2mm"), ("header", "114.3mm"), ("angle", "60")):
            browser.one(f"#{name}").send_keys(words)
        browser.click(browser.all("p.without-script button")[0])
        browser.until("the answer", lambda: browser.picture() and "angle=60" in browser.driver.current_url)
        assert browser.text("#answer dl")
        pdf_button = browser.all("p.without-script button")[1]
        assert pdf_button.text == "PDF"
        _, data = browser.downloaded(lambda: browser.click(pdf_button))
        words = ["saddle", "--branch", "48.3mm x 2mm", "--header", "114.3mm", "--angle", "60"]
        assert data == report_of(page.program, words)[1]
    finally:
        browser.scripts(True)


def words_are_never_read_as_html(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/saddle?{JOINT}&label=%3Cimg+src%3Dx+onerror%3Ddocument.title%3D1%3E")
    browser.until("a picture", browser.picture)
    browser.settled()
    browser.type("offset", "<b>x</b>")
    browser.one("#offset").send_keys(Keys.TAB)
    told = browser.until("a message", lambda: browser.text("#offset-wrong"))
    assert "<b>x</b>" in told, told
    assert not browser.all("main img, main b") and browser.driver.title != "1"


def a_phone_comes_in_by_the_code_and_is_sent_off(page, browser):
    try:
        browser.size(*DESK)
        browser.go(f"{page.address}/phones")
        # The first code is there from the start; until the new page is there its address is still read.
        first = browser.text("code")
        browser.one("form[action='/phones/invite'] button").click()
        new = lambda: (shown := browser.text("code")) != first and shown  # noqa: E731
        shown = browser.until("the address of a new code", new)
        assert "isn't encrypted" in browser.text("main")
        for is_dark in (False, True):
            browser.dark(is_dark)
            read = zxingcpp.read_barcodes(Image.open(io.BytesIO(browser.driver.get_screenshot_as_png())))
            assert [one.text for one in read] == [shown], ([one.text for one in read], shown)
        browser.dark(False)
        browser.size(*PHONE)
        browser.go(shown)
        browser.one("form button").click()
        browser.until("the first page", lambda: browser.all(".choices"))
        way_in = shown.split("/phone?")[0]
        assert browser.driver.current_url == f"{way_in}/", browser.driver.current_url
        browser.go(f"{way_in}/saddle?{JOINT}")
        browser.until("a picture", browser.picture)
        browser.go(f"{page.address}/phones")
        browser.one(".phones button").click()
        browser.until("nobody", lambda: "No phone is connected" in browser.text("main"))
        browser.go(f"{way_in}/saddle?{JOINT}")
        browser.until("it isn't let in", lambda: "isn't let in" in browser.text("main"))
        browser.complained(403)
    finally:
        browser.dark(False)


CHECKS = [
    a_phone_makes_the_wrap_from_three_values,
    the_picture_follows_what_is_typed,
    a_wrong_length_is_told_at_its_field_once_it_is_left,
    what_is_at_odds_is_told_at_both_fields,
    the_picture_is_turned_by_mouse_and_keys,
    a_slider_moves_the_gap,
    the_limit_is_a_line_to_drag,
    the_best_is_marked_and_the_ordinates_are_there,
    the_picture_stays_in_sight_on_a_phone,
    the_command_that_is_shown_makes_the_same_files,
    a_bookmark_brings_the_joint_back,
    what_the_printer_does_is_remembered_and_cleared,
    it_is_used_by_the_keyboard_alone,
    it_is_whole_without_the_script,
    words_are_never_read_as_html,
    a_phone_comes_in_by_the_code_and_is_sent_off,
]
