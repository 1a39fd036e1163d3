"""One job: what the program says against what the model finds."""

import json
import re
import subprocess
from itertools import combinations
from pathlib import Path

import numpy as np

import drains
import near
from cuts import Cuts
from holes import Hole, Laid, along_polygon, sags
from space import Refused, Space

# What must agree, in mm.
ENDS, OUTLINE, PLACE, CLEAR, LIGAMENT = 1e-6, 0.005, 1e-5, 0.01, 0.005
# How deep an overlap is, as a share of it.
DEPTH = 0.01
# Walls that overlap by more than this must be told; where they are so near to touching the model doesn't decide.
UNDECIDED = 0.02
# Pieces listed as one kind are alike to a hundredth, cut by cut.
ALIKE = 0.03


class Findings:
    """Largest differences by kind of figure, counts, and what disagrees."""

    def __init__(self):
        self.largest, self.counts, self.wrong = {}, {}, []

    def count(self, what, by=1):
        self.counts[what] = self.counts.get(what, 0) + by

    def hold(self, what, difference, limit, where):
        difference = float(abs(difference))
        self.count(what)
        if not difference <= limit:
            self.wrong.append(f"{what}: off by {difference:.3g} mm, {where}")
        elif difference > self.largest.get(what, 0.0):
            self.largest[what] = difference

    def must(self, what, is_so, where):
        self.count(what)
        if not is_so:
            self.wrong.append(f"{what}: {where}")


def run(program, job, folder):
    """The program's report, or its words where it refuses."""
    folder = Path(folder)
    path, report = folder / "job.json", folder / "report.json"
    report.unlink(missing_ok=True)
    path.write_text(json.dumps(job))
    done = subprocess.run([program, "batch", path, "--out", folder / "job.pdf", "--report", report],
                          capture_output=True, text=True, timeout=120)
    if report.exists():
        return json.loads(report.read_text()), ""
    return None, done.stderr


class Model:
    def __init__(self, job):
        self.space = Space(job, drains.solve)
        self.legs = [leg for tube in self.space.tubes for leg in tube.legs]
        self.cuts = {}
        for leg in self.legs:
            self.cuts[leg] = Cuts(leg)
            if self.cuts[leg].left_between() < 1.0:
                raise Refused("too short")
        self.holes = []
        for tube in self.space.tubes:
            for leg, side in ((tube.legs[0], 0), (tube.legs[-1], 1)):
                end = leg.ends[side]
                if end.body is None or end.body.is_ball:
                    continue
                hole = Hole(tube, leg, side)
                hole.uv = hole.outline()
                if hole.uv is None:
                    raise Refused("the hole runs past the body's side")
                if hole.is_in_two():
                    raise Refused("too thick")
                left = end.body.to_end(hole.places(hole.uv))
                if left is not None and left.max() < 0.0:
                    raise Refused("the hole lies wholly off its body")
                self.holes.append(hole)


def check(model, report):
    """Of a job as the model has it, and the program's report on it."""
    found = Findings()
    check_pieces(found, model, report)
    check_holes(found, model, report)
    check_drains(found, model, report)
    check_clashes(found, model, report)
    return found


# Pieces and their ends.


def check_pieces(found, model, report):
    ends = {end["name"]: end for end in report["ends"]}
    rows = {}
    for number, row in enumerate(report["pieces"], 1):
        rows[row["name"]] = (number, row)
    found.must("pieces in all", sum(row["quantity"] for row in report["pieces"]) == len(model.legs),
               f"{len(model.legs)} by the model")
    for leg in model.legs:
        figures = figures_of(model, leg)
        if leg.name in rows:
            number, row = rows[leg.name]
            figures["extremes"] = [model.cuts[leg].extremes(side) for side in (0, 1)]
            hold_piece(found, leg, figures, row, [ends[f"{number} {leg.name}: {side}"] for side in ("start", "end")])
        else:
            alike = any(is_alike(figures, row, [ends[f"{number} {name}: {side}"] for side in ("start", "end")])
                        for name, (number, row) in rows.items())
            found.must("equal pieces", alike, f"{leg.name} is like none of those listed")


def figures_of(model, leg):
    cuts = model.cuts[leg]
    every = int(round(1.0 / cuts.STEP))
    return {"curves": [t[::every] for t in cuts.t], "length": leg.length}


def hold_piece(found, leg, figures, row, ends):
    found.hold("length between work points", row["centre_line_mm"] - leg.length, ENDS, leg.name)
    tips = leg.length - sum(extremes[0] for extremes in figures["extremes"])
    found.hold("length from tip to tip", row["tip_to_tip_mm"] - tips, 1e-5, leg.name)
    fronts = [end.front for end in leg.ends]
    if all(front is not None for front in fronts):
        azimuths = [np.arctan2(front @ leg.right, front @ leg.front) for front in fronts]
        twist = np.degrees(azimuths[1] - azimuths[0])
        found.hold("twist, degrees", (row["twist_deg"] - twist + 180.0) % 360.0 - 180.0, 1e-6, leg.name)
    # Sharp corners belong to both of their sides.
    section = leg.stock.section
    for side, end in enumerate(ends):
        where = f"{leg.name} {('start', 'end')[side]}"
        curve = np.array(end["curve"])[:, 1]
        off = np.abs(curve - figures["curves"][side])
        found.hold("cut at every degree", np.max(off[~on_sharp_corner(section)]), ENDS, f"{where} at {off.argmax()}")
        low, high = figures["extremes"][side]
        found.hold("longest and shortest", max(abs(end["base_line_t_mm"] - end["longest_mm"] - low),
                                               abs(end["base_line_t_mm"] - end["shortest_mm"] - high)), 1e-5, where)


def on_sharp_corner(section):
    degrees = np.arange(361.0)
    if not section.has_sides or section.corner > 0.0:
        return np.zeros(361, bool)
    corners = np.degrees(section.starts / section.girth * 2.0 * np.pi)
    return np.min(np.abs(degrees[:, None] - corners), axis=1) < 1e-6


def is_alike(figures, row, ends):
    return abs(row["centre_line_mm"] - figures["length"]) < ALIKE and all(
        np.max(np.abs(np.array(end["curve"])[:, 1] - curve)) < ALIKE for end, curve in zip(ends, figures["curves"]))


# Holes.


def check_holes(found, model, report):
    known = list(report["holes"])
    named = {name: body for name, body in model.space.bodies.items()}
    for hole in model.holes:
        body = next(name for name, body in named.items() if body is hole.body)
        fits = [r for r in known if r["body"] == body and r.get("tube") == hole.tube.name
                and abs(r["along_mm"] - hole.along) < 0.01]
        found.must("a hole for each end", bool(fits), f"{hole.tube.name} in {body}")
        if not fits:
            continue
        known.remove(fits[0])
        is_drain = any(drain.tube == hole.tube.name for drain in model.space.drains)
        hold_hole(found, hole, fits[0], f"{hole.tube.name} in {body}", is_drain)
    known = [r for r in known if not model.space.bodies[r["body"]].is_ball]
    found.must("no other holes", not known, str([r["tube"] for r in known]))
    hold_ligaments(found, model, report)


def hold_hole(found, hole, row, where, is_drain):
    # A drain lands where its lowest place is to be, which is one of an outline.
    found.hold("hole's place along", row["along_mm"] - hole.along, OUTLINE if is_drain else PLACE, where)
    arc = hole.body.arc_of(hole.along, hole.around)
    found.hold("hole's place round", row["round_mm"] - arc, PLACE, where)
    told = np.array(row["outline"])
    found.must("outline is closed", np.allclose(told[0], told[-1]), where)
    told = told[:-1]
    found.hold(f"outline, {hole.end.join}: told places on the true one", np.max(np.abs(hole.off_skin(told))), OUTLINE, where)
    away, chord = along_polygon(hole.uv, told)
    allowed = sags(told)
    found.hold(f"outline, {hole.end.join}: true places on the told one", np.max(np.maximum(0.0, away - allowed[chord])),
               OUTLINE, f"{where}, chords stand off by up to {allowed.max():.4f}")
    # No jog: between told places the true outline is no farther away than chords are from what bends as they do.
    middles = 0.5 * (told + np.roll(told, -1, axis=0))
    found.hold(f"outline, {hole.end.join}: no jog", np.max(np.maximum(0.0, np.abs(hole.off_skin(middles)) - allowed)),
               OUTLINE, where)


def hold_ligaments(found, model, report):
    by_body = {}
    for hole in model.holes:
        by_body.setdefault(id(hole.body), []).append(hole)
    model.overlapping_holes, model.near_holes = [], []
    for holes in by_body.values():
        laid = [Laid(hole) for hole in holes]
        least, nearest, closely = {hole: np.inf for hole in holes}, {}, {}
        for (k, a), (j, b) in combinations(enumerate(laid), 2):
            left, image = a.ligament(b)
            for hole in (holes[k], holes[j]):
                if left < least[hole]:
                    least[hole], nearest[hole] = left, (a, b, image)
            if left < UNDECIDED:
                model.near_holes.append((holes[k], holes[j], left))
        for hole in holes:
            body = next(name for name, body in model.space.bodies.items() if body is hole.body)
            row = next((r for r in report["holes"] if r["body"] == body and r["tube"] == hole.tube.name
                        and abs(r["along_mm"] - hole.along) < 0.01), None)
            if row is None or least[hole] < 0.0:
                continue
            told = row["ligament_mm"]
            if told is None:
                found.must("a ligament", not np.isfinite(least[hole]), f"{hole.tube.name}: {least[hole]:.3f} by the model")
            elif hole in nearest:
                a, b, image = nearest[hole]
                if image not in closely:
                    closely[image] = a.ligament_closely(b, image)
                left = min(least[hole], closely[image])
                found.hold("ligament", told - left, LIGAMENT, f"{hole.tube.name}: {told:.4f}, {left:.4f} by the model")
            else:
                found.must("a ligament", False, f"{hole.tube.name}: {told:.4f}, none by the model")


# Drains.

DRAIN = re.compile(r'drain "(.*)" lands (-?[\d.]+) mm along, its hole\'s low edge (?:level with|(-?[\d.]+) mm over) the floor(.*)')


def check_drains(found, model, report):
    told = {m[1]: m for m in (DRAIN.match(word) for word in report["warnings"]) if m}
    for drain in model.space.drains:
        words = told.get(drain.tube)
        found.must("each drain is told", words is not None, drain.tube)
        if words is None:
            continue
        found.hold("drain's place along", float(words[2]) - drain.along, 0.0051, drain.tube)
        found.hold("drain's low edge", float(words[3] or 0.0) - drain.low_edge, 0.0051, drain.tube)
        slope = re.search(r"(falls|rises by up to) ([\d.]+)°", words[4])
        fall = 0.0 if slope is None else float(slope[2]) * (1 if slope[1] == "falls" else -1)
        found.hold("drain's fall, degrees", fall - drain.fall, 0.0051, drain.tube)
        if drain.litres is not None:
            # Told to a hundredth of a litre below 10 of them, and to a whole one from there.
            litres = re.search(r"([\d.]+) litres? left standing", words[4])
            said = float(litres[1]) if litres else 0.0
            found.hold("litres left", said - drain.litres, 0.0101 if said < 10 else 0.5001, f"{drain.tube}: {said}, {drain.litres:.3f} by the model")


# Clashes.


def names(a, b):
    return frozenset([a, b]) if a != b else frozenset([a])


def check_clashes(found, model, report):
    told = {}
    for clash in report["job"]["clashes"]:
        told.setdefault(clash["what"], []).append(clash)
    unexplained = set(told)
    hold_hole_clashes(found, model, told, unexplained)
    hold_tube_clashes(found, model, told, unexplained)
    hold_body_clashes(found, model, told, unexplained)
    found.must("no clash is invented", not unexplained, "; ".join(
        f"{what} ({told[what][0]['apart_mm']:.4f})" for what in sorted(unexplained)))


def decide(found, what, apart, words, told, unexplained, asked=0.0):
    """`apart` below what is asked must be told, in one of the wordings; above it mustn't be."""
    said = [word for word in words if word in told]
    unexplained.difference_update(said)
    if abs(apart - asked) < UNDECIDED:
        found.count(f"{what}: too near to decide")
    elif apart < asked:
        found.must(f"{what}: told", bool(said), f"{words[0]}: {apart:.3f} by the model, {asked:g} asked")
    elif said:
        found.must(f"{what}: not told", False, f"{said[0]}: {apart:.3f} by the model, told {told[said[0]][0]['apart_mm']:.3f}")
    else:
        found.count(f"{what}: clear")
    return said


def hold_hole_clashes(found, model, told, unexplained):
    for a, b, left in model.near_holes:
        body = next(name for name, body in model.space.bodies.items() if body is a.body)
        pair = [f"the holes for {p.tube.name} and {q.tube.name} in {body}" for p, q in ((a, b), (b, a))]
        decide(found, "holes that overlap", left, pair, told, unexplained)
    for hole in model.holes:
        body = next(name for name, body in model.space.bodies.items() if body is hole.body)
        left = hole.body.to_end(hole.places(hole.uv))
        if left is None:
            continue
        words = [f"the hole for {hole.tube.name} against the {kind} of {body}" for kind in ("edge", "end")]
        decide(found, "holes past an end or edge", left.min(), words, told, unexplained)
        foot = hole.footprint()
        if foot is not None:
            words = [word.replace("the hole for", "the wall of") for word in words]
            left = hole.body.to_end(hole.places(foot)).min()
            decide(found, "walls past an end or edge", left, words, told, unexplained)


def are_joined(model, a, b):
    """Legs that meet: at a corner, mitered to each other, or one landing on the other."""
    if a.tube is b.tube and abs(a.index - b.index) == 1:
        return True
    for one, other in ((a, b), (b, a)):
        for end in one.ends:
            if end.joint is other.tube:
                return True
            if end.body is not None and any(body is end.body and model.space.of_tube.get(name) is other.tube
                                            for name, body in model.space.bodies.items()):
                return True
    return False


def hold_tube_clashes(found, model, told, unexplained):
    apart = {}
    for a, b in combinations(model.legs, 2):
        key = names(a.tube.name, b.tube.name)
        if are_joined(model, a, b):
            continue
        left = near.legs_overlap(model.cuts[a], model.cuts[b])
        apart[key] = min(apart.get(key, np.inf), left)
    for key, left in apart.items():
        a, b = (sorted(key) * 2)[:2]
        words = [f"{a} against {b}", f"{b} against {a}"]
        decide(found, "tubes against tubes", left, words, told, unexplained)


def hold_body_clashes(found, model, told, unexplained):
    for name, body in model.space.bodies.items():
        for tube in model.space.tubes:
            asked = [k["by"] for k in model.space.keep_clear if k["body"] == name and k["tube"] == tube.shared]
            if (name in model.space.of_tube or body.is_flat and body.edges is None) and not asked:
                continue
            asked = max(asked, default=0.0)
            least = np.inf
            for leg in tube.legs:
                if any(end.body is body for end in leg.ends) or model.space.of_tube.get(name) is tube:
                    continue
                least = min(least, near.to_body(model.cuts[leg], body, asked + 1.0))
            word = f"{tube.name} against {name}"
            said = decide(found, "tubes against bodies" if not asked else "distances to be kept", least, [word], told,
                          unexplained, asked)
            if said:
                told_apart = min(clash["apart_mm"] for clash in told[word])
                words = f"{word}: {told_apart:.4f}, {least:.4f} by the model"
                if least > 0.0:
                    found.hold("distance told", told_apart - least, CLEAR, words)
                else:
                    # How deep an overlap is nobody cuts to: to a hundredth of itself.
                    found.hold("depth of an overlap, as a share", told_apart / least - 1.0, DEPTH, words)
