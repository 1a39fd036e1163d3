"""From a change of a whole job to its new picture, cut list and clashes, and from a turn to the turned picture, in the
browser's own time: of a release build, on a machine that does nothing else."""

import json
import statistics
import tempfile
from pathlib import Path

from bench import Bench
from browser import DESK
from speed import WATCH, took

CHANGES = 60
MIDDLE, SLOWEST_TURN = 100.0, 1000.0 / 30.0  # milliseconds
LARGE, LARGE_MOST = 1000, 3000.0

CHANGE = """
const [at, value] = arguments;
const field = [...document.querySelectorAll('#card [data-at]')].find((one) => one.dataset.at === at);
field.focus();
field.value = value;
window.begun = performance.now();
field.dispatchEvent(new Event('change'));
"""
TURN = """
window.begun = performance.now();
document.getElementById('turned').dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowRight', bubbles: true}));
"""


def bank(tubes):
    """So many different tubes between two long drums."""
    drum = {"shape": "cylinder", "size": "600mm x 2mm", "from": [0, 0, 0], "to": [0, 96 * tubes + 200, 0], "zero": [0, 0, 1]}
    upper = drum | {"from": [0, 0, 1200], "to": [0, 96 * tubes + 200, 1200], "zero": [0, 0, -1]}
    landing = lambda body, number, turn: {"on": body, "along": 60 + 95 * number + number / tubes, "round": f"{turn}deg"}
    return {"title": f"{tubes} tubes", "units": "mm", "stock": {"a": {"size": "40mm x 2mm"}},
            "bodies": {"low": drum, "high": upper},
            "tubes": {f"t{n}": {"stock": "a", "path": [landing("low", n, n % 41 - 20), landing("high", n, n % 37 - 18)]}
                      for n in range(tubes)}}


def measured(page, browser, name, tube, values, changes):
    """A line of what changes of a landing and turns of the picture take, and whether that is quick enough."""
    bench = Bench(page, browser)
    if isinstance(name, str):
        bench.start(name)
    else:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "bank.json"
            path.write_text(json.dumps(name))
            bench.open(path)
        name = name["title"]
    bench.choose(tube)
    at = json.dumps(["tubes", tube, "path", 0, "along"], separators=(",", ":"))
    browser.run(WATCH, "turned")
    of_change = took(browser, changes, lambda change: browser.run(CHANGE, at, values(change)))
    bench.settled()
    browser.run(WATCH, "turned")
    of_turn = took(browser, changes, lambda _: browser.run(TURN))
    middle, turn = statistics.median(of_change), statistics.median(of_turn)
    print(f"{name}: a change {middle:.0f} ms in the middle, {max(of_change):.0f} at worst of {changes}; "
          f"a turn {turn:.0f} ms, {max(of_turn):.0f} at worst")
    return middle, turn


def measure(page, browser):
    """Whether each whole job is quick enough."""
    browser.size(*DESK)
    met = []
    for job, tube, values in (("stacked-hopper", "chute", lambda n: str(185 + n % 10)), (bank(40), "t7", lambda n: str(725 + n % 10))):
        middle, turn = measured(page, browser, job, tube, values, CHANGES)
        met.append(middle <= MIDDLE and turn <= SLOWEST_TURN)
    middle, _ = measured(page, browser, bank(LARGE), "t7", lambda n: str(725 + n % 10), 5)
    met.append(middle <= LARGE_MOST)
    return met
