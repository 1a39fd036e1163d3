#!/usr/bin/env python3
"""What the program costs against its peers, side by side in one run on one machine.

    python -m venv venv && venv/bin/pip install -r tests/reference/requirements.txt
    venv/bin/python tests/benches/ratios.py            the table, 3 minutes when all is built
    venv/bin/python tests/benches/ratios.py --without-large   leaves out 10,000 tubes and more
It needs GNU time (`apt install time`).

The peers: OpenCASCADE's surface intersection with sampling for a saddle end; printpdf and lopdf alone, on one core, for
the pages of a batch; a program that writes one empty page with printpdf for a single joint. Runs alternate, and the
shortest of each counts: what else the machine does only adds. Prints a table with a verdict a row, and exits with 1
where a row is not met.
"""

import argparse
import json
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
JOINTS = json.loads((ROOT / "shared" / "checks" / "joints.json").read_text())["joints"]


def cargo(*words):
    """Executables that a cargo command builds, by target name."""
    built = subprocess.run(
        ["cargo", *words, "--locked", "--message-format=json"],
        cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True,
    ).stdout
    messages = map(json.loads, built.splitlines())
    return {m["target"]["name"]: m["executable"] for m in messages if m.get("executable")}


def run(*words):
    """Seconds and what was said."""
    with tempfile.TemporaryFile("w+") as out:
        start = time.perf_counter()
        status = subprocess.call(list(map(str, words)), stdout=out)
        seconds = time.perf_counter() - start
        out.seek(0)
        if status != 0:
            sys.exit(f"{words} failed")
        return seconds, out.read()


def memory_mb(*words):
    """Peak memory, told by GNU time: a child of this script would be told with the script's own."""
    told = subprocess.run(["/usr/bin/time", "-f", "%M", *map(str, words)], capture_output=True, text=True, check=True)
    return int(told.stderr.split()[-1]) / 1024


def in_turn(times, *commands):
    """The shortest seconds of each command, run by turns."""
    seen = [[run(*command)[0] for command in commands] for _ in range(times)]
    return [min(column) for column in zip(*seen)]


def kernel_seconds(joint, runs=3):
    """OpenCASCADE: the header's and the tube's cylinders intersected, and 360 places on the curve."""
    from OCP.Geom import Geom_CylindricalSurface
    from OCP.GeomAPI import GeomAPI_IntSS
    from OCP.gp import gp_Ax1, gp_Ax3, gp_Dir, gp_Pnt
    import math

    origin = gp_Pnt(0, 0, 0)
    header = Geom_CylindricalSurface(gp_Ax3(origin, gp_Dir(0, 1, 0)), joint["header_od"] / 2)
    lean = gp_Ax1(origin, gp_Dir(1, 0, 0))
    way = gp_Dir(0, 1, 0).Rotated(lean, math.radians(joint["angle"]))
    tube = Geom_CylindricalSurface(gp_Ax3(gp_Pnt(joint["offset"], 0, 0), way), joint["branch_od"] / 2)
    best = math.inf
    for _ in range(runs):
        start = time.perf_counter()
        found = GeomAPI_IntSS(header, tube, 1e-9)
        for number in range(1, found.NbLines() + 1):
            line = found.Line(number)
            low, high = line.FirstParameter(), line.LastParameter()
            for step in range(360):
                line.Value(low + (high - low) * step / 360)
        best = min(best, time.perf_counter() - start)
    return best


def job(tubes):
    """So many different tubes, with their holes, each thousand between two long drums of their own."""
    bank = 1000
    def drum(x, z, zero):
        return {"shape": "cylinder", "size": "600mm x 2mm", "from": [x, 0, z], "to": [x, 96_000, z], "zero": [0, 0, zero]}
    def tube(n):
        # No two alike: the step along grows a little with every tube.
        along = 60 + 95 * (n % bank)
        low = {"on": f"low {n // bank}", "along": along, "round": f"{n % 41 - 20}deg"}
        high = {"on": f"high {n // bank}", "along": along + n * 30 / tubes, "round": f"{n % 37 - 18}deg"}
        return {"stock": "a", "path": [low, high]}
    banks = range(-(-tubes // bank))
    return {
        "title": f"{tubes} tubes", "units": "mm",
        "stock": {"a": {"size": "40mm x 2mm"}},
        "bodies": {f"low {b}": drum(2000 * b, 0, 1) for b in banks}
        | {f"high {b}": drum(2000 * b, 1200, -1) for b in banks},
        "tubes": {f"t{n}": tube(n) for n in range(tubes)},
    }


class Table:
    """Rows of work, target and what was measured."""

    def __init__(self):
        self.rows, self.all_met = [], True

    def add(self, work, target, measured, met):
        self.all_met &= met
        self.rows.append((work, target, measured, "met" if met else "NOT MET"))

    def show(self):
        heads = ("work", "target", "measured", "")
        widths = [max(len(row[i]) for row in [heads, *self.rows]) for i in range(4)]
        for row in [heads, tuple("-" * w for w in widths), *self.rows]:
            print("| " + " | ".join(cell.ljust(w) for cell, w in zip(row, widths)) + " |")


def saddle(table, peers):
    """One end, solved and fitted, and the cubics of its curve."""
    lines = run(peers["ends"])[1].splitlines()
    on_drums = {words[0]: float(words[1]) for words in map(str.split, lines[-6:])}
    ours = [(float(line.split()[0]), int(line.split()[1])) for line in lines[:-6]]
    kernel = [kernel_seconds(joint) for joint in JOINTS]
    ratio = statistics.median(k / o[0] for k, o in zip(kernel, ours))
    table.add(
        f"a saddle end of {len(ours)} joints, against OpenCASCADE",
        "400 times faster",
        f"{ratio:.0f} times ({1e6 * statistics.median(o[0] for o in ours):.0f} us against "
        f"{1e3 * statistics.median(kernel):.1f} ms)",
        ratio >= 400,
    )
    for kind in ("oval", "measured"):
        ratio = on_drums[kind] / on_drums["round"]
        table.add(
            f"an end on a drum of {kind} section, against a round one", "at most 3 times",
            f"{ratio:.1f} times ({1e6 * on_drums[kind]:.0f} us)", ratio <= 3,
        )
    for kind, words in (("crown", "on the crown of a torispherical head"), ("knuckle", "over its crown and knuckle"),
                        ("ellipsoidal", "on an ellipsoidal head")):
        ratio = on_drums[kind] / on_drums["round"]
        table.add(
            f"an end {words}, against a round drum's", "at most 3 times",
            f"{ratio:.1f} times ({1e6 * on_drums[kind]:.0f} us)", ratio <= 3,
        )
    cubics = [o[1] for o in ours]
    table.add(
        "cubics in a fitted saddle, 0.005 mm", "at most 20, usually 12",
        f"at most {max(cubics)}, median {statistics.median(cubics):.0f}",
        max(cubics) <= 20 and statistics.median(cubics) <= 12,
    )


def batch(table, program, peers, folder, tubes, times):
    """A whole job from file to PDF; the seconds of it and of its peer."""
    name = folder / f"{tubes}.json"
    name.write_text(json.dumps(job(tubes)))
    command = [program, "batch", name, "--out", folder / "a.pdf"]
    mine, alone = [], []
    for _ in range(times):
        mine.append(run(*command)[0])
        if tubes <= 1000:
            alone.append(float(run(peers["serialise"], name, folder / "b.pdf")[1].split()[0]))
    seconds, memory = min(mine), memory_mb(*command)
    if alone:
        ratio = seconds / min(alone)
        table.add(
            f"{tubes} different tubes, file to PDF, against printpdf and lopdf alone", "at most 0.5 times",
            f"{ratio:.2f} times ({seconds:.2f} s against {min(alone):.2f} s)", ratio <= 0.5,
        )
    return seconds, memory


def single(table, program, peers, folder):
    """One joint from command start to PDF on disk."""
    out = folder / "one.pdf"
    joint = [program, "saddle", "--branch", "48.3mm x 2mm", "--header", "114.3mm x 3mm", "--angle", "60", "--out", out]
    mine, empty = in_turn(30, joint, [peers["empty_page"], folder / "empty.pdf"])
    memory = memory_mb(*joint)
    table.add(
        "one joint, command to PDF, against one empty page", "at most 2 times",
        f"{mine / empty:.2f} times ({1e3 * mine:.1f} ms against {1e3 * empty:.1f} ms)", mine <= 2 * empty,
    )
    table.add("memory of one joint", "under 30 MB", f"{memory:.0f} MB", memory < 30)
    size = out.stat().st_size / 1000
    table.add("PDF of one joint", "under 60 kB", f"{size:.0f} kB", size < 60)
    fence = ["--branch", "fence 1-7/8 x 0.065in", "--header", "fence 1-7/8", "--units", "mm", "--out", folder / "f.pdf"]
    facets, same = in_turn(15, [program, "facets", *fence], [program, "saddle", *fence])
    table.add(
        "facets with the best recipe, all counts of cuts, against the saddle of the same joint", "at most 4 times",
        f"{facets / same:.1f} times ({1e3 * facets:.0f} ms)", facets <= 4 * same,
    )


def starters(table, program, peers):
    """A job on ovals and measured sections against one on round drums, and their pictures."""
    check = [[program, "batch", ROOT / "templates" / f"{name}.json", "--check"] for name in ("stacked-hopper", "cooler-bank")]
    hopper, bank = in_turn(15, *check)
    table.add(
        "stacked-hopper, file to plan, against cooler-bank", "at most 8 times",
        f"{hopper / bank:.1f} times ({1e3 * hopper:.0f} ms against {1e3 * bank:.0f} ms)", hopper <= 8 * bank,
    )
    pictures = dict(line.split() for line in run(peers["pictures"])[1].splitlines())
    seconds = float(pictures["stacked-hopper"])
    table.add(
        "stacked-hopper's picture from 48 eyes, in the middle", "at most 6 ms", f"{1e3 * seconds:.1f} ms", seconds <= 0.006,
    )


def change(table, peers):
    """A change to one landing, from plan to plan; the milliseconds are the shortest and the median of 25."""
    lines = (line.rsplit(": ", 1) for line in run(peers["change"])[1].splitlines())
    least = {what: float(figures.split()[0]) for what, figures in lines}
    after, beside, whole = (
        least[f"40 tubes, {what}"] for what in ("after an earlier plan", "of it and the tubes beside it", "whole")
    )
    table.add(
        "a change to one landing of 40 tubes, plan to plan, against that tube with the two beside it", "at most 2 times",
        f"{after / beside:.1f} times ({after:.1f} ms; all of them {whole:.0f} ms)", after <= 2 * beside,
    )


def pieces(table, peers):
    """Ten times as many pieces, in a row and in a pile: clashes, ligaments, sticks."""
    for line in run(peers["pieces"])[1].splitlines():
        if line.lstrip().startswith("5000 "):
            times = float(line.split(" times")[0].split()[-1])
            table.add(
                f"5,000 against 500 {line.split('pieces ')[1].split(',')[0]}, file to plan", "at most 10.3 times",
                f"{times:.1f} times", times <= 10.3,
            )


def everything(table, program, folder):
    """The memory of 20,000 tubes with everything asked for."""
    name = folder / "20000.json"
    name.write_text(json.dumps(job(20_000)))
    outputs = [["--out", "a.pdf"], ["--report", "a.json"], ["--svg", "a.svg"], ["--dxf", "a.dxf"]]
    memory = memory_mb(program, "batch", name, *(word for flag, file in outputs for word in (flag, folder / file)))
    table.add("memory of 20,000 tubes with report, SVG and DXF", "under 1 GB", f"{memory:.0f} MB", memory < 1000)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--without-large", action="store_true", help="leave out 10,000 tubes and more")
    asked = parser.parse_args()
    program = cargo("build", "--release")["girthline"]
    peers = cargo("bench", "--no-run")
    table = Table()
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        saddle(table, peers)
        seconds, memory = batch(table, program, peers, folder, 1000, 3)
        table.add("memory of 1000 tubes", "under 300 MB", f"{memory:.0f} MB", memory < 300)
        if not asked.without_large:
            ten, most = batch(table, program, peers, folder, 10_000, 2)
            table.add(
                "10,000 tubes against 1000", "at most 10.3 times", f"{ten / seconds:.2f} times ({ten:.1f} s)",
                ten <= 10.3 * seconds,
            )
            table.add("memory of 10,000 tubes", "under 1 GB", f"{most:.0f} MB", most < 1000)
            everything(table, program, folder)
            pieces(table, peers)
        starters(table, program, peers)
        change(table, peers)
        single(table, program, peers, folder)
    table.show()
    sys.exit(0 if table.all_met else 1)


if __name__ == "__main__":
    main()
