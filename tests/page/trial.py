"""The trial fit as a person uses it with a feeler in one hand and a phone in the other."""

import json

from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from browser import DESK, PHONE
from checks import report_of

LANDING = "branch=48.3mm+x+2mm&header=88.9mm&angle=60"
TRIAL = LANDING + "&gaps=front+0,45deg+0.3,right+1.2,135deg+2.1,back+2.6,225deg+2,left+1.1,315deg+0.3"
COMMAND = ("trial", "--branch", "48.3mm x 2mm", "--header", "88.9mm", "--angle", "60", "--gaps")
ROUND = {"front": "0", "front-right": "0.3", "right": "1.2", "back-right": "2.1", "back": "2.6", "back-left": "2",
         "left": "1.1", "front-left": "0.3"}


def notes(browser):
    return browser.text("#answer .notes")


def a_phone_reads_eight_gaps_and_is_told_what_is_off(page, browser):
    browser.size(*PHONE)
    browser.go(page.address + "/")
    browser.click(browser.one(".choices a[href='/trial']"))
    for name, words in (("branch", "48.3mm x 2mm"), ("header", "88.9mm"), ("angle", "60")):
        browser.type(name, words)
    for name, words in ROUND.items():
        browser.type(name, words)
    browser.one("#front-left").send_keys(Keys.TAB)
    browser.until("what is off", lambda: "it leans 2.1°" in notes(browser))
    browser.settled()
    report, same = report_of(page.program, [*COMMAND, "0,0.3,1.2,2.1,2.6,2,1.1,0.3"])
    assert browser.run("return [...document.querySelectorAll('#answer .notes li')].map((one) => one.textContent)") == \
        report["warnings"], notes(browser)
    assert "to grind, from" in notes(browser)
    names = browser.run("return [...document.querySelectorAll('#answer figure[data-name]')].map((one) => one.dataset.name)")
    assert any("grinding strip" in name.lower() for name in names) and "Gap round the girth" in names, names
    assert "gaps=front+0%2C+45deg+0.3" in browser.driver.current_url, browser.driver.current_url
    _, data = browser.downloaded(lambda: browser.click(browser.one("#along .links a")))
    assert data == same, "the PDF isn't the command's"
    # Each field stands where its place is: the front below, the right on the right.
    box = {name: browser.run("const b = arguments[0].getBoundingClientRect(); return [b.left, b.top]", browser.one(f"#{name}"))
           for name in ROUND}
    assert box["front"][1] > box["right"][1] > box["back"][1], box
    assert box["left"][0] < box["front"][0] < box["right"][0], box


def the_end_and_the_verdict_follow_each_gap(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/trial?{TRIAL}")
    browser.until("what is off", lambda: "it leans 2.1°" in notes(browser))
    browser.settled()
    end = lambda: browser.one("#end svg").get_attribute("outerHTML")
    before = end()
    browser.type("back", "4")
    browser.until("another drawing", lambda: end() != before)
    browser.until("it strays", lambda: "the cut itself strays" in notes(browser))
    browser.one("#back").send_keys(Keys.TAB)
    browser.until("the address", lambda: "back+4%2C" in browser.driver.current_url)
    browser.driver.back()
    browser.until("the gaps before", lambda: browser.one("#back").get_attribute("value") == "2.6")
    browser.until("the drawing before", lambda: end() == before)


def four_places_leave_those_between_out(page, browser):
    browser.size(*PHONE)
    browser.go(f"{page.address}/trial?{TRIAL}")
    browser.until("what is off", lambda: "it leans 2.1°" in notes(browser))
    browser.settled()
    Select(browser.one("#how-many")).select_by_value("4")
    browser.until("fewer readings", lambda: "45°" not in browser.text("#answer dl"))
    assert not browser.one("#front-right").is_displayed()
    browser.until("the address", lambda: "45deg" not in browser.driver.current_url)
    Select(browser.one("#how-many")).select_by_value("8")
    browser.until("all readings", lambda: "45°" in browser.text("#answer dl"))
    assert browser.one("#front-right").get_attribute("value") == "0.3"
    # Four gaps are asked for where the address has four.
    browser.go(f"{page.address}/trial?{LANDING}&gaps=0,1.2,2.6,1.1")
    browser.settled()
    assert browser.one("#how-many").get_attribute("value") == "4"
    assert browser.one("#back").get_attribute("value") == "2.6"


def wrong_gaps_are_told_at_their_fields(page, browser):
    browser.size(*PHONE)
    browser.go(f"{page.address}/trial?{LANDING}")
    browser.settled()
    browser.one("#front").click()
    for words in ("0.2", "1", "x", "1", "1"):
        browser.driver.switch_to.active_element.send_keys(words)
        browser.driver.switch_to.active_element.send_keys(Keys.TAB)
    told = browser.until("a message", lambda: browser.text("#right-wrong"))
    assert "is not a length" in told and "--" not in told, told
    assert browser.one("#right").get_attribute("aria-invalid") == "true"
    assert "right-wrong" in browser.one("#right").get_attribute("aria-describedby")
    browser.one("#right").click()
    browser.driver.switch_to.active_element.send_keys(Keys.BACKSPACE, "1")
    browser.until("the message goes", lambda: browser.text("#right-wrong") == "")
    browser.settled()
    assert browser.text("#gaps-wrong") == "", "it is told while gaps are typed"
    browser.click(browser.one("#angle"))
    told = browser.until("a message of all gaps", lambda: browser.text("#gaps-wrong"))
    assert "touches nowhere" in told, told
    browser.type("gaps", "200deg 0")
    browser.until("an answer", lambda: "to grind" in notes(browser) or "nothing has to come off" in notes(browser))


def the_limit_of_the_gap_is_dragged_on_its_chart(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/trial?{TRIAL}")
    browser.until("a limit", lambda: browser.all("svg .limit"))
    browser.settled()
    before = notes(browser)
    line = "return (({left, top, width}) => [left + width / 2, top])(document.querySelector('svg .limit').getBoundingClientRect())"
    browser.run("document.querySelector('svg .limit').scrollIntoView({block: 'center'})")
    x, y = browser.run(line)
    actions = ActionChains(browser.driver, duration=20)
    actions.w3c_actions.pointer_action.move_to_location(int(x), int(y)).pointer_down()
    for step in range(1, 6):
        actions.w3c_actions.pointer_action.move_to_location(int(x), int(y) - 4 * step)
    actions.w3c_actions.pointer_action.pointer_up()
    actions.perform()
    browser.until("less to grind", lambda: notes(browser) != before)
    browser.settled()
    typed = browser.run("return document.getElementById('gap').value")
    assert typed.endswith("mm") and float(typed[:-2]) > 0.9, typed
    browser.until("the address", lambda: f"gap={typed}" in browser.driver.current_url)


def gaps_are_told_without_the_script(page, browser):
    browser.size(*PHONE)
    browser.scripts(False)
    try:
        browser.go(f"{page.address}/trial")
        for name, words in (("branch", "48.3mm x 2mm"), ("header", "88.9mm"), ("angle", "60"), *ROUND.items()):
            browser.one(f"#{name}").send_keys(words)
        browser.click(browser.all("p.without-script button")[0])
        browser.until("what is off", lambda: "it leans 2.1°" in notes(browser))
        assert browser.one("#back").get_attribute("value") == "2.6"
        _, data = browser.downloaded(lambda: browser.click(browser.all("p.without-script button")[1]))
        assert data == report_of(page.program, [*COMMAND, "0,0.3,1.2,2.1,2.6,2,1.1,0.3"])[1]
    finally:
        browser.scripts(True)


def gaps_are_typed_by_the_keyboard_in_their_order(page, browser):
    browser.size(*DESK)
    browser.go(f"{page.address}/trial?{LANDING}")
    browser.settled()
    browser.one("#front").click()
    seen = []
    for words in ROUND.values():
        browser.driver.switch_to.active_element.send_keys(words)
        seen.append(browser.run("return document.activeElement.id"))
        browser.driver.switch_to.active_element.send_keys(Keys.TAB)
    assert seen == list(ROUND), seen
    browser.until("what is off", lambda: "it leans 2.1°" in notes(browser))
    labels = browser.run("return [...document.querySelectorAll('[data-place]')].map((one) => one.labels[0].textContent)")
    assert labels[1] == "45°, between front and right" and labels[0] == "Front", json.dumps(labels)


FITS = [
    a_phone_reads_eight_gaps_and_is_told_what_is_off,
    the_end_and_the_verdict_follow_each_gap,
    four_places_leave_those_between_out,
    wrong_gaps_are_told_at_their_fields,
    the_limit_of_the_gap_is_dragged_on_its_chart,
    gaps_are_told_without_the_script,
    gaps_are_typed_by_the_keyboard_in_their_order,
]
