#!/usr/bin/env python3
"""Hold two builds of the program against each other: are all their files and words the same, byte for byte?

    python tests/reference/same_files.py OLD NEW

OLD and NEW are programs, such as one built before the code was moved and one built after. Both are run in folders of
their own, with the same words, over every starter and over JOINTS, JOBS and REFUSED: joints and jobs of every kind, in
millimetres and inches, on several papers. What must be equal: the exit code, what is said on standard output and error,
the names of the files written, and every byte of them: PDF, SVG, DXF, report and cut list.

Says what differs and exits with 1 where anything does. Where a fault was mended on purpose, name the reason in the
commit and hold the next change against a build with that mend.
"""

import difflib
import json
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

STARTERS = Path(__file__).resolve().parents[2] / "templates"
FILES = ["--out", "a.pdf", "--svg", "a.svg", "--dxf", "a.dxf", "--report", "a.json"]

JOINTS = {
    "saddle": [
        "--branch|48.3mm x 2mm|--header|114.3mm x 3mm|--angle|60|--units|mm",
        "--branch|fence 1-7/8 x 0.065in|--header|girth 71in|--angle|45|--units|in|--paper|letter",
        "--branch|60.3mm x 3mm|--header|114.3mm x 4mm|--offset|12mm|--join|set-in|--clearance|0.5mm|--touch|outside",
        "--branch|60.3mm x 3mm|--header|60.3mm x 3mm|--touch|inside|--seam|90|--stations|24|--label|north end",
        "--branch|48.3mm x 2mm|--header|114.3mm|--offset|-20mm|--angle|75|--ruler-reads|149.3,150.2",
        "--branch|rect 60mm x 40mm x 3mm r 5mm|--header|168.3mm x 4mm|--turned|20|--angle|70|--units|mm",
        "--branch|square 50mm x 3mm r 0mm|--header|drum 55 gal|--join|set-in|--clearance|1mm|--offset|80mm|--paper|a3",
        "--branch|NPS 8 sch 40|--header|NPS 12 sch 40|--angle|30|--units|in|--paper|letter|--paper-thickness|0.2mm",
        "--branch|48.3mm x 5mm|--header|50mm x 4mm|--angle|20|--paper|200mmx190mm",
    ],
    "miter": [
        "--tube|48.3mm x 2mm|--turn|90",
        "--tube|NPS 2 sch 40|--turn|90|--pieces|4|--radius|9in|--units|in|--paper|letter",
        "--tube|rect 60mm x 40mm x 3mm|--turn|45|--turned|90|--radius|200mm|--pieces|3|--seam|180",
        "--tube|square 50mm x 3mm r 6mm|--turn|30|--units|mm",
    ],
    "facets": [
        "--branch|fence 1-7/8 x 0.065in|--header|fence 1-7/8|--units|mm",
        "--branch|48.3mm x 2mm|--header|114.3mm|--angle|60|--saw-limit|50|--gap|0.5mm|--units|mm",
        "--branch|NPS 1-1/2 sch 40|--header|NPS 2 sch 40|--saw-front|40|--saw-back|30|--scribe|0.5in|--round|0.02in|--units|in"
        "|--paper|letter",
    ],
    "ruler": ["--units|in|--paper|letter", "--ruler-reads|149.3,150.2|--label|office printer"],
}

STOCK = {
    "round": {"size": "42.4mm x 2.6mm", "stick": 6000, "kerf": 3},
    "thick": {"size": "33.7mm x 6mm", "stick": 3000, "kerf": 2},
    "sided": {"size": "rect 60mm x 40mm x 3mm r 5mm", "stick": 6000, "kerf": 3},
}


def drum(name_from, name_to, zero, **more):
    return {"shape": "cylinder", "size": "300mm x 2mm", "from": name_from, "to": name_to, "zero": zero, **more}


def job(title, bodies, tubes, **more):
    return {"title": title, "units": "mm", "stock": STOCK, "bodies": bodies, "tubes": tubes, **more}


LOW = drum([0, 0, 0], [0, 600, 0], [0, 0, 1])
HIGH = drum([0, 0, 700], [0, 600, 700], [0, 0, -1])
SET_IN = {"join": "set-in", "clearance": 0.5}

JOBS = {
    "bodies of every kind": job(
        "Bodies",
        {
            "cone": {"shape": "cone", "size": "200mm x 2mm", "size_to": "600mm x 2mm", "from": [0, 0, 0], "to": [0, 400, 0],
                     "zero": [0, 0, 1]},
            "ball": {"shape": "sphere", "size": "300mm x 3mm", "at": [1000, 0, 0], "out": [0, 1, 1]},
            "plate": {"shape": "plane", "size": 6, "at": [0, 1000, 0], "out": [0, 0, 1], "zero": [1, 0, 0], "wide": 300, "high": 400},
            "oval": {"shape": "cylinder", "size": "girth 1276mm x 1mm", "from": [2000, 0, 0], "to": [2000, 0, 500],
                     "zero": [1, 0, 0], "section": {"oval": [500, 300], "at": "20deg"}},
            "dented": {"shape": "cylinder", "size": "girth 1276mm x 1mm", "from": [3000, 0, 0], "to": [3000, 0, 500],
                       "zero": [1, 0, 0], "section": {"offsets": [{"at": 0, "out": 4}, {"at": "110deg", "out": -3},
                                                                  {"at": "240deg", "out": 1}]}},
        },
        {
            "a": {"stock": "round", "path": [{"on": "cone", "along": 150, "round": "30deg"}, {"step": [50, 20, 300]}], "start": SET_IN},
            "b": {"stock": "round", "path": [{"on": "cone", "along": 250, "round": "-60deg"}, {"step": [-300, 0, 200]}]},
            "c": {"stock": "thick", "path": [{"on": "ball", "along": 40, "round": "25deg"}, {"step": [0, 200, 260]}]},
            "d": {"stock": "sided", "turned": 25, "path": [{"on": "plate", "along": 90, "round": -60}, {"step": [120, 0, 400]}]},
            "e": {"stock": "round", "path": [{"on": "plate", "along": 185, "round": 100}, {"step": [0, 50, 400]}], "start": SET_IN},
            "f": {"stock": "round", "path": [{"on": "oval", "along": 200, "round": "70deg"}, {"step": [80, 300, 60]}]},
            "g": {"stock": "thick", "path": [{"on": "oval", "along": 60, "round": 500}, {"step": [-400, 60, 60]}], "start": SET_IN},
            "h": {"stock": "sided", "path": [{"on": "dented", "along": 250, "round": "10deg"}, {"step": [400, 60, 60]}]},
            "i": {"stock": "round", "path": [{"on": "dented", "along": 250, "round": "-100deg"}, {"step": [20, -300, 100]}]},
        },
    ),
    "corners, couplings, miters, copies": job(
        "Paths",
        {"low": LOW, "high": HIGH},
        {
            "riser": {"stock": "round", "path": [{"on": "low", "along": 60, "round": "-20deg"}, {"on": "high", "along": 60, "round": "20deg"}],
                      "start": SET_IN, "repeat": {"times": 4, "step": [0, 120, 0]}},
            "bent": {"stock": "round", "coupling": {"at": 130, "gap": 6}, "corner": {"pieces": 3, "radius": 120},
                     "path": [{"on": "low", "along": 300, "round": "90deg"}, {"step": [300, 0, 0]},
                              {"step": [300, 0, 300]}, {"step": [0, 300, 200]}]},
            "sided": {"stock": "sided", "turned": 15, "path": [{"on": "low", "along": 500, "round": "-90deg"}, {"step": [-300, 0, 0]},
                                                              {"step": [-200, 0, 250]}]},
            "around": {"stock": "thick", "path": [{"on": "high", "along": 500, "round": "120deg"}, {"step": [-150, 0, 180]}],
                       "repeat": {"times": 3, "turn": "40deg", "about": "high"}},
            "ridge": {"stock": "round", "path": [{"at": [0, 1600, 0]}, {"at": [300, 1600, 500]}], "start": {"join": "square"},
                      "end": {"join": "miter", "to": "other"}},
            "other": {"stock": "round", "path": [{"at": [300, 1600, 500]}, {"at": [600, 1650, 0]}], "end": {"join": "square"},
                      "start": {"join": "miter", "to": "ridge"}},
        },
    ),
    "clashes and distances": job(
        "Clashes",
        {"low": LOW, "high": HIGH, "wall": {"shape": "plane", "size": 10, "at": [300, 0, 0], "out": [-1, 0, 0]}},
        {
            "a": {"stock": "round", "path": [{"on": "low", "along": 100, "round": 0}, {"on": "high", "along": 100, "round": 0}]},
            "b": {"stock": "round", "path": [{"on": "low", "along": 130, "round": 0}, {"on": "high", "along": 90, "round": 0}]},
            "c": {"stock": "sided", "path": [{"on": "low", "along": 10, "round": "40deg"}, {"step": [200, 0, 280]}]},
            "d": {"stock": "sided", "path": [{"at": [-300, 300, 350]}, {"at": [280, 300, 360]}], "start": {"join": "square"},
                  "end": {"join": "square"}},
            "e": {"stock": "round", "path": [{"on": "low", "along": 300, "round": 0}, {"on": "high", "along": 300, "round": 0}]},
        },
        keep_clear=[{"tube": "d", "body": "wall", "by": 50}, {"tube": "c", "body": "high", "by": 300}],
    ),
    "drains that rise and fall": job(
        "Drains",
        {"drum": drum([0, 0, 100], [0, 0, 900], [1, 0, 0], floor=30)},
        {
            "falls": {"stock": "round", "path": [{"on": "drum", "round": "20deg", "drain": {"above_floor": 12}}, {"step": [300, 0, -60]}]},
            "rises": {"stock": "thick", "path": [{"at": [-500, 0, 260]}, {"on": "drum", "round": "180deg", "drain": {"above_floor": 0}}],
                      "start": {"join": "square"}},
        },
    ),
}

IN_INCHES = {
    "title": "Inches", "units": "in", "sheet": {"paper": "letter", "stations": 12, "label": "a line of our own"},
    "stock": {"riser": {"size": "fence 1-7/8 x 0.065in", "stick": "21ft", "kerf": "1/8in"}, "square": {"size": "square 2in x 1/8in"}},
    "bodies": {"drum": {"shape": "cylinder", "size": "drum 55 gal", "from": [0, 0, 0], "to": [0, 0, 34], "zero": [1, 0, 0], "floor": 1},
               "plate": {"shape": "plane", "size": 0.25, "at": [40, 0, 0], "out": [0, 0, 1]}},
    "tubes": {"riser": {"stock": "riser", "path": [{"on": "drum", "along": 5, "round": "-18deg"}, {"step": [12, 3, 4.5]}, {"step": [0, 0, 9]}],
                        "repeat": {"times": 3, "turn": 120, "about": "drum"}},
              "drain": {"stock": "riser", "path": [{"on": "drum", "round": 10, "drain": {"above_floor": 0.25}}, {"step": [14, 12, -1]}]},
              "leg": {"stock": "square", "turned": 45, "path": [{"on": "plate", "round": -4}, {"step": [2, 3, 20]}]}},
}
JOBS["inches"] = IN_INCHES

REFUSED = {
    "everything wrong at once": job("Wrong", {"low": {**LOW, "shape": "cube"}, "high": {**HIGH, "zero": [0, 1, 0]}},
                                    {"a": {"stock": "none", "path": [{"on": "nowhere"}]}}),
    "misses": job("Misses", {"low": LOW}, {"a": {"stock": "round", "path": [{"on": "low", "along": 100}, {"step": [300, 0, 3]}]},
                                           "b": {"stock": "round", "path": [{"on": "low", "along": 200}, {"step": [0, 0, 20]}]}}),
}


def runs():
    """Name, arguments, files to be there first."""
    for command, all_words in JOINTS.items():
        for words in all_words:
            files = FILES[:2] if command == "ruler" else FILES
            yield f"{command} {words}", [command, *words.split("|"), *files], {}
    yield "saddle misses", ["saddle", "--branch", "60mm x 2mm", "--header", "50mm", "--angle", "5"], {}
    yield "facets refused", ["facets", "--branch", "60 x 2mm", "--header", "50mm", "--gap", "0"], {}
    jobs = {path.stem: json.loads(path.read_text()) for path in sorted(STARTERS.glob("*.json"))}
    batch = ["batch", "job.json", *FILES]
    for name, content in {**jobs, **JOBS}.items():
        there = {"job.json": json.dumps(content, indent=1)}
        yield f"batch {name}", [*batch, "--cut-list", "a.csv"], there
        yield f"batch {name}, letter", [*batch, "--paper", "letter", "--split", "."], there
        yield f"batch {name}, check", ["batch", "job.json", "--check"], there
    for name, content in REFUSED.items():
        yield f"batch {name}", batch, {"job.json": json.dumps(content, indent=1)}


def outcome(program, words, there):
    """All that one run leaves behind."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in there.items():
            (Path(folder) / name).write_text(text)
        run = subprocess.run([program, *words], cwd=folder, capture_output=True, stdin=subprocess.DEVNULL)
        left = {path.name: path.read_bytes() for path in Path(folder).iterdir()}
    return {"exit code": str(run.returncode).encode(), "standard output": run.stdout, "standard error": run.stderr, **left}


def differences(old, new):
    for what in sorted(old.keys() | new.keys()):
        before, after = old.get(what), new.get(what)
        if before is None or after is None:
            yield f"{what}: only {'after' if before is None else 'before'}"
        elif before != after:
            lines = [side.decode("latin-1").splitlines() for side in (before, after)]
            changed = [line for line in difflib.unified_diff(*lines, lineterm="", n=0) if line[:3] not in ("---", "+++", "@@ ")]
            shown = [] if what.endswith(".pdf") else [f"    {line[:160]}" for line in changed[:6]]
            yield "\n".join([f"{what}: {len(before)} and {len(after)} bytes", *shown])


def main():
    old, new = (str(Path(program).resolve()) for program in sys.argv[1:3])
    bad, count, refused = 0, 0, 0

    def both(run):
        name, words, there = run
        return name, outcome(old, words, there), outcome(new, words, there)

    with ThreadPoolExecutor(2) as pool:
        for name, before, after in pool.map(both, runs()):
            count += 1
            refused += before["exit code"] != b"0"
            found = list(differences(before, after))
            if found:
                bad += 1
                print(f"{name}\n  " + "\n  ".join(found))
            if "-v" in sys.argv:
                print(name, before["exit code"].decode(), before["standard error"].decode()[:1500])
    print(f"{count} runs ({refused} of them refused): {bad} differ")
    return 1 if bad or refused > len(REFUSED) + 2 else 0


if __name__ == "__main__":
    sys.exit(main())
