#!/usr/bin/env python3
"""Nodes and tubes on dished heads as solids in a CAD kernel (OpenCASCADE): as solids.py, of ends that are cut to several
bodies, and of ends on torispheres, ellipsoids and over the seam between a drum and its head.

    python tests/reference/solid_nodes.py PATH_TO_girthline

Of several bodies a sector, pulled out by HAIR, must overlap none and be HAIR at most from one; pushed in by PUSH it must
share some volume with one. The braces of a node that stand earlier count as solid rods. A sector is parted where another
body takes over: there the cut has a true corner. Millimetres; exit status 1 on any failure.
"""

import math
import sys
import tempfile
from pathlib import Path

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepFill import BRepFill
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.collections import HArray1_gp_Pnt
from OCP.GC import GC_MakeArcOfCircle
from OCP.Geom import Geom_Ellipse, Geom_TrimmedCurve
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Elips, gp_Pnt, gp_Vec

from solids import HAIR, NOTHING, PUSH, SECTOR, Round, Tube, across, distance, moved, reported, shared_volume, unit

RAIL = {"shape": "cylinder", "size": "114.3mm x 3.6mm", "from": [0, -300, 0], "to": [0, 300, 0], "zero": [0, 0, 1]}
# Each brace: size, along, round, the way into it, and which earlier ones it is cut to as well.
NODES = {
    "two braces": (("60.3mm x 2.9mm", 320, 0, (0, 0.5, 0.9), ()),
                   ("48.3mm x 2.6mm", 285, 0, (0, -0.6, 0.8), (0,))),
    "two braces, one aside": (("48.3mm x 2.6mm", 310, 20, (0.3, 0.4, 0.9), ()),
                              ("60.3mm x 2.9mm", 280, -10, (-0.1, -0.4, 0.9), (0,))),
    "three braces": (("48.3mm x 2.6mm", 325, 0, (0, 0.6, 0.8), ()),
                     ("48.3mm x 2.6mm", 275, 0, (0, -0.6, 0.8), ()),
                     ("42.4mm x 2.6mm", 300, 5, (0.1, 0.05, 1), (0, 1))),
    "three braces round the rail": (("48.3mm x 2.6mm", 318, 0, (0, 0.5, 0.9), ()),
                                    ("42.4mm x 2.6mm", 285, 10, (0.1, -0.5, 0.9), (0,)),
                                    ("33.7mm x 2.6mm", 300, 38, (0.8, 0, 0.7), (0, 1))),
}

KLOEPPER = {"shape": "head", "size": "600mm x 6mm", "at": [0, 0, 0], "out": [0, 1, 0], "zero": [0, 0, 1],
            "dish": "DIN 28011", "flange": 40}
ELLIPSOID = {"shape": "head", "size": "400mm x 4mm", "at": [0, 0, 0], "out": [0, 1, 0], "zero": [0, 0, 1],
             "dish": "ellipsoidal 2:1", "flange": 40}
BOTTLE = {"shape": "cylinder", "size": "300mm x 3mm", "from": [0, -400, 0], "to": [0, -40, 0], "zero": [0, 0, 1],
          "to_head": {"depth": 75}, "flange": 40}
# Body, whether it is a bottle, size, along, round, the way into the tube.
ON_HEADS = (
    ("crown", KLOEPPER, "60.3mm x 2.9mm", 150, 30, (0.1, 1, 0.3)),
    ("crown and knuckle", KLOEPPER, "60.3mm x 2.9mm", 262, 60, (0.5, 1, 0.2)),
    ("ellipsoid", ELLIPSOID, "48.3mm x 2.6mm", 130, -40, (-0.3, 1, 0.4)),
    ("ellipsoid and flange", ELLIPSOID, "48.3mm x 2.6mm", 225, 10, (0.1, 0.5, 1)),
    ("over the seam of a bottle", BOTTLE, "60.3mm x 2.9mm", 350, 20, (0.4, 0.3, 1)),
)


class Rod:
    """A tube that stands earlier, as far as it can be in the way."""

    def __init__(self, at, axis, radius):
        start = at - 60.0 * axis
        self.shape = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*start), gp_Dir(*axis)), radius, 500.0).Shape()


class Parted(Tube):
    """A tube's end with corners: azimuths in degrees and heights."""

    def __init__(self, corners, *rest):
        super().__init__(*rest)
        self.corners = sorted(corners)

    def height(self, degree):
        known = dict(self.corners)
        return known[degree] if degree in known else self.curve[round(degree) % 360]

    def place(self, degree, rho):
        a = math.radians(degree)
        out = math.cos(a) * self.front + math.sin(a) * self.right
        return self.at + rho * out + self.height(degree) * self.axis

    def through(self, degrees, rho):
        points = HArray1_gp_Pnt(1, len(degrees))
        for k, degree in enumerate(degrees):
            points.SetValue(k + 1, gp_Pnt(*self.place(degree, rho)))
        spline = GeomAPI_Interpolate(points, False, 1e-9)
        spline.Perform()
        return BRepBuilderAPI_MakeEdge(spline.Curve()).Edge()

    def sectors(self, length=60.0):
        for start in range(0, 360, SECTOR):
            end = start + SECTOR
            stops = [start, *(a for a, _ in self.corners if start + 1e-3 < a < end - 1e-3), end]
            for low, high in zip(stops, stops[1:]):
                # No whole degree right beside a corner: the spline would turn there.
                between = [float(d) for d in range(math.ceil(low + 0.02), math.floor(high - 0.02) + 1)]
                degrees = sorted({low, high, *(d for d in between if low < d < high)})
                face = BRepFill.Face_s(self.through(degrees, self.r), self.through(degrees, self.ri))
                yield low, BRepPrimAPI_MakePrism(face, gp_Vec(*(length * self.axis))).Shape()


def turned(profile):
    """A closed profile of edges, turned about the y axis."""
    wire = BRepBuilderAPI_MakeWire()
    for edge in profile:
        wire.Add(edge)
    return BRepPrimAPI_MakeRevol(BRepBuilderAPI_MakeFace(wire.Wire()).Face(),
                                 gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0))).Shape()


def head_solid(words):
    """The head and what goes on below it, in the plane of x and y; the rim is at y = 0."""
    radius, low = float(words["size"].split("mm")[0]) / 2.0, -500.0

    def line(*ends):
        return BRepBuilderAPI_MakeEdge(*(gp_Pnt(x, y, 0) for x, y in ends)).Edge()

    if words.get("dish") == "DIN 28011":
        crown, knuckle = 2.0 * radius, 0.2 * radius
        phi = math.asin((radius - knuckle) / (crown - knuckle))
        middle = -(crown - knuckle) * math.cos(phi)

        def on(r, x, y, angle):
            return gp_Pnt(x + r * math.sin(angle), y + r * math.cos(angle), 0)

        top = middle + crown
        arcs = [BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(on(crown, 0, middle, 0), on(crown, 0, middle, phi / 2),
                                                           on(crown, 0, middle, phi)).Value()).Edge(),
                BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(
                    on(knuckle, radius - knuckle, 0, phi), on(knuckle, radius - knuckle, 0, (phi + math.pi / 2) / 2),
                    on(knuckle, radius - knuckle, 0, math.pi / 2)).Value()).Edge()]
    else:
        top = words["to_head"]["depth"] if "to_head" in words else radius / 2.0
        # The kernel's ellipse has its longer axis first: from the rim to the apex is a quarter turn.
        ellipse = Geom_Ellipse(gp_Elips(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1), gp_Dir(1, 0, 0)), radius, top))
        arcs = [BRepBuilderAPI_MakeEdge(Geom_TrimmedCurve(ellipse, 0.0, math.pi / 2.0)).Edge()]
    return turned([*arcs, line((radius, 0), (radius, low)), line((radius, low), (0, low)), line((0, low), (0, top))])


class Fits:
    """Counts sectors."""

    def __init__(self):
        self.passed = self.failed = 0

    def check(self, name, tube, bodies):
        nearest, farthest = math.inf, 0.0
        for start, solid in tube.sectors():
            pulled, pushed = moved(solid, HAIR * tube.axis), moved(solid, -PUSH * tube.axis)
            overlap = max(shared_volume(pulled, body) for body in bodies)
            apart = min(distance(pulled, body) for body in bodies)
            into = max(shared_volume(pushed, body) for body in bodies)
            nearest, farthest = min(nearest, apart), max(farthest, apart)
            good = overlap <= NOTHING and 0.0 < apart <= HAIR + 1e-9 and into > 1e3 * NOTHING
            self.passed += good
            self.failed += not good
            if not good:
                print(f"FAIL {name} from {start:.2f} degrees: pulled out by {HAIR} mm it shares {overlap:.2e} mm3 and is "
                      f"{apart:.2e} mm away; pushed in by {PUSH} mm it shares {into:.3g} mm3")
        print(f"{name}: from {nearest:.1e} to {farthest:.1e} mm away when pulled out by {HAIR:.0e}")


def corners_of(end):
    """Azimuths, and heights over the work point: the base line stands over the cut."""
    return [(c["azimuth_deg"] % 360.0, end["base_line_t_mm"] - c["from_base_mm"]) for c in end.get("corners", [])]


def dimensions(size):
    return tuple(float(part) for part in size.replace("mm", "").split(" x "))


def check_node(fits, program, folder, name, braces):
    rail = Round(RAIL["from"], RAIL["to"], (57.15, 57.15), RAIL["zero"])
    tubes, placed = {}, []
    for number, (size, along, around, way, also) in enumerate(braces):
        at, axis = rail.place(along, around), unit(way)
        placed.append((at, axis, dimensions(size)))
        tubes[f"brace {number}"] = {"stock": size, "path": [{"on": "rail", "along": along, "round": f"{around}deg"},
                                                            {"at": list(at + 400.0 * axis)}],
                                    "start": {"also": [f"brace {other}" for other in also]}}
    job = {"title": name, "units": "mm", "stock": {size: {"size": size} for size, *_ in braces}, "bodies": {"rail": RAIL},
           "tubes": tubes}
    ends = reported(program, folder, ["batch", "job.json"], job)["ends"]
    starts = {end["name"].split(" ", 1)[1]: end for end in ends if end["name"].endswith(": start")}
    for number, (*_, also) in enumerate(braces):
        if not also:
            continue
        at, axis, size = placed[number]
        end = starts[f"brace {number}: start"]
        tube = Parted(corners_of(end), at, axis, across(rail.lean(axis, at), axis), size, end["curve"])
        if not tube.corners:
            sys.exit(f"{name}: brace {number} has no corners: it is not cut to several")
        rods = [Rod(placed[other][0], placed[other][1], placed[other][2][0] / 2.0).shape for other in also]
        fits.check(f"{name}, brace {number}", tube, [rail.solid(), *rods])


def check_on_head(fits, program, folder, case):
    name, body, size, along, around, way = case
    axis = unit(way)
    step = list(300.0 * axis)
    job = {"title": name, "units": "mm", "stock": {"tube": {"size": size}}, "bodies": {"body": body},
           "tubes": {"tube": {"stock": "tube", "path": [{"on": "body", "along": along, "round": f"{around}deg"},
                                                        {"step": step}]}}}
    report = reported(program, folder, ["batch", "job.json"], job)
    solid = head_solid(body)
    # Where the tube's axis meets the skin, and the skin's normal there, are the kernel's to say.
    hole = report["job"]["compass_holes"][0]
    at, normal = on_profile(body, hole["along_mm"], hole["round_deg"])
    lean = axis - np.dot(axis, normal) * normal
    tube = Parted([], at, axis, across(lean, axis), dimensions(size), report["ends"][0]["curve"])
    fits.check(f"{size} on {name}", tube, [solid])


def on_profile(body, along, around):
    """The place at an arc from the apex, by small steps along the profile, and the normal there."""
    radius = float(body["size"].split("mm")[0]) / 2.0
    if body.get("dish") == "DIN 28011":
        crown, knuckle = 2.0 * radius, 0.2 * radius
        phi = math.asin((radius - knuckle) / (crown - knuckle))
        if along <= crown * phi:
            a = along / crown
            off, y = crown * math.sin(a), -(crown - knuckle) * math.cos(phi) + crown * math.cos(a)
        else:
            a = phi + (along - crown * phi) / knuckle
            off, y = radius - knuckle + knuckle * math.sin(a), knuckle * math.cos(a)
        normal = (math.sin(a), math.cos(a))
    else:
        depth = body["to_head"]["depth"] if "to_head" in body else radius / 2.0
        e = np.linspace(0.0, math.pi / 2.0, 2_000_001)
        pace = np.hypot(radius * np.cos(e), depth * np.sin(e))
        arc = np.concatenate(([0.0], np.cumsum((pace[1:] + pace[:-1]) / 2.0 * (e[1] - e[0]))))
        if along >= arc[-1]:
            off, y, normal = radius, -(along - arc[-1]), (1.0, 0.0)
        else:
            a = float(np.interp(along, arc, e))
            off, y = radius * math.sin(a), depth * math.cos(a)
            normal = unit((depth * math.sin(a), radius * math.cos(a)))
    a = math.radians(around)
    side = np.array([math.sin(a), 0.0, math.cos(a)])
    up = np.array([0.0, 1.0, 0.0])
    return off * side + y * up, normal[0] * side + normal[1] * up


def main():
    if len(sys.argv) != 2:
        print(__doc__)
        return 2
    program = str(Path(sys.argv[1]).resolve())
    fits = Fits()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for words, braces in NODES.items():
            check_node(fits, program, folder, words, braces)
        for case in ON_HEADS:
            check_on_head(fits, program, folder, case)
    print(f"solids of nodes and heads: {fits.passed} passed, {fits.failed} failed")
    return 1 if fits.failed or not fits.passed else 0


if __name__ == "__main__":
    sys.exit(main())
