#!/usr/bin/env python3
"""Build cut tubes and what they land on as solids in a CAD kernel (OpenCASCADE), and see whether they fit.

    python tests/reference/solids.py PATH_TO_girthline

The program reports its cuts (`--report`). Each tube's wall is built from that report alone, cut as a blade held
square to the wall cuts it: twelve sectors, each with its end face ruled between the mark on the skin and the same
heights on the bore. The tube's place comes from the words of the job, by the conventions of GEOMETRY.md. With
`touch = wall` every sector, pulled out by HAIR along its axis, must

    not overlap   it shares no volume with the body, and there is some distance between them
    touch         that distance is HAIR at most

and the check must be able to fail: pushed in by PUSH each sector must share some volume with the body. Between the
report's whole degrees, where one skin takes over from the other, the splines are off by a little less than HAIR. A
set-in end lies against the bore: there the body is the space inside the header, into which nothing may stand.
Millimetres; exit status 1 on any failure.
"""

import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_Transform
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepFill import BRepFill
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import (BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism,
                             BRepPrimAPI_MakeSphere)
from OCP.collections import HArray1_gp_Pnt
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps

HAIR = 0.005  # what drawn curves may be off by, mm
NOTHING = 1e-9  # a volume that is none, mm3
PUSH = 0.02  # mm
SECTOR = 30  # degrees
FAR = 3000.0  # how far a body without an end is built, mm

SADDLES = (  # od, wall, header od, wall, angle, offset, set-in
    (60.3, 2.9, 114.3, 3.6, 90, 0, False),
    (60.3, 2.9, 114.3, 3.6, 45, 0, False),
    (42.4, 2.6, 114.3, 3.6, 60, 20, False),
    (42.4, 2.6, 114.3, 3.6, 60, -20, False),
    (48.26, 1.65, 48.26, 1.65, 90, 0, False),
    (48.26, 1.65, 48.26, 1.65, 45, 0, False),
    (60.0, 13.5, 101.6, 10.0, 60, 12, False),
    (48.26, 1.65, 572.0, 1.2, 75, -150, False),
    (33.7, 2.6, 168.3, 4.5, 20, 30, False),
    (42.4, 2.6, 88.9, 3.2, 60, 0, True),
    (33.7, 2.6, 114.3, 6.0, 75, -25, True),
)

BODIES = {
    "plate": {"shape": "plane", "size": 6, "at": [100, 50, 20], "out": [0.3, -0.2, 1]},
    "hopper": {"shape": "cone", "size": "600mm x 2mm", "size_to": "120mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 500],
               "zero": [1, 0, 0]},
    "reducer": {"shape": "cone", "size": "219.1mm x 4mm", "size_to": "114.3mm x 4mm", "from": [10, 20, 30],
                "to": [310, 120, 130], "zero": [0, 0, 1]},
    "head": {"shape": "sphere", "size": "300mm", "at": [-40, 30, 10], "out": [0.2, 0.1, 1], "zero": [1, 0, 0]},
    "drum": {"shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [600, 300, 200], "zero": [0, 0, 1]},
    "upper": {"shape": "cylinder", "size": "219.1mm x 4mm", "from": [100, -100, 900], "to": [500, 500, 800],
              "zero": [0, 0, -1]},
}
LANDINGS = (  # body, along, round, size, from the skin into the tube
    ("plate", 30, -20, "48.3mm x 2.6mm", (0.3, -0.2, 1)),
    ("plate", 0, 0, "60mm x 13.5mm", (1, 0.4, 0.8)),
    ("hopper", 200, "35deg", "60.3mm x 2.9mm", (0.9, 0.7, 0.2)),
    ("hopper", 120, "-160deg", "33.7mm x 2.6mm", (-1, -0.1, 0.9)),
    ("reducer", 150, "20deg", "48.3mm x 2.6mm", (-0.4, 0.1, 1)),
    ("head", 60, "100deg", "60.3mm x 2.9mm", (0.2, 0.3, 1)),
    ("head", 90, "-50deg", "60mm x 13.5mm", (0.5, -0.2, 0.9)),
    ("drum", 250, "-18deg", "48.3mm x 2.6mm", (-0.2, -0.4, 1)),
)


def unit(v):
    v = np.array(v, float)
    return v / np.linalg.norm(v)


def across(way, axis):
    """The part of `way` that is square to `axis`, as a unit vector."""
    return unit(np.array(way, float) - np.dot(way, axis) * axis)


# Bodies: each by the words of the job. A skin gives places on it and its normals; a solid is the kernel's.


class Round:
    """A cylinder or cone about an axis, with a radius at each end."""

    def __init__(self, start, end, radii, zero=(0, 0, 1)):
        self.start, self.radii = np.array(start, float), radii
        self.length = float(np.linalg.norm(np.array(end, float) - self.start))
        self.axis = unit(np.array(end, float) - self.start)
        self.zero = across(zero, self.axis)

    def place(self, along, degrees):
        # To the right as seen from outside with the far end up.
        right = np.cross(self.axis, self.zero)
        a = math.radians(degrees)
        radius = self.radii[0] + (self.radii[1] - self.radii[0]) * along / self.length
        return self.start + along * self.axis + radius * (math.cos(a) * self.zero + math.sin(a) * right)

    def lean(self, axis, _at):
        return self.axis * (-1.0 if np.dot(self.axis, axis) < -1e-9 else 1.0)

    def solid(self):
        # Longer than the body is, by as much at both ends: only the skin counts here.
        slope = (self.radii[1] - self.radii[0]) / self.length
        more = FAR if slope == 0.0 else 0.4 * min(self.radii) / abs(slope)
        start = gp_Pnt(*(self.start - more * self.axis))
        place = gp_Ax2(start, gp_Dir(*self.axis))
        if slope == 0.0:
            return BRepPrimAPI_MakeCylinder(place, self.radii[0], self.length + 2.0 * more).Shape()
        first, last = self.radii[0] - slope * more, self.radii[1] + slope * more
        return BRepPrimAPI_MakeCone(place, first, last, self.length + 2.0 * more).Shape()


class Ball:
    def __init__(self, at, radius, pole, zero):
        self.at, self.radius, self.pole = np.array(at, float), radius, unit(pole)
        self.zero = across(zero, self.pole)

    def place(self, along, degrees):
        right = np.cross(self.pole, self.zero)
        a, polar = math.radians(degrees), along / self.radius
        side = math.cos(a) * self.zero + math.sin(a) * right
        return self.at + self.radius * (math.cos(polar) * self.pole + math.sin(polar) * side)

    def lean(self, axis, at):
        normal = unit(at - self.at)
        return axis - np.dot(axis, normal) * normal

    def solid(self):
        return BRepPrimAPI_MakeSphere(gp_Pnt(*self.at), self.radius).Shape()


class Plate:
    def __init__(self, at, out):
        self.at, self.out = np.array(at, float), unit(out)
        self.ahead = across((0, 0, 1), self.out)

    def place(self, along, aside):
        return self.at + along * self.ahead + aside * np.cross(self.ahead, self.out)

    def lean(self, axis, _at):
        lean = axis - np.dot(axis, self.out) * self.out
        return lean if np.linalg.norm(lean) > 1e-9 else self.ahead

    def solid(self):
        corner = self.at - FAR * self.out - FAR * self.ahead - FAR * np.cross(self.ahead, self.out)
        place = gp_Ax2(gp_Pnt(*corner), gp_Dir(*self.out), gp_Dir(*self.ahead))
        # Its own y is out x ahead, against the side that this begins on.
        box = BRepPrimAPI_MakeBox(gp_Ax2(gp_Pnt(*(corner + 2 * FAR * np.cross(self.ahead, self.out))),
                                         place.Direction(), place.XDirection()), 2 * FAR, 2 * FAR, FAR)
        return box.Shape()


def body_of(words):
    """A body of a job, by its words."""

    def sizes(key):
        return [float(part) for part in words[key].replace("mm", "").split(" x ")]

    if words["shape"] == "plane":
        return Plate(words["at"], words["out"])
    radius = sizes("size")[0] / 2.0
    if words["shape"] == "sphere":
        return Ball(words["at"], radius, words["out"], words["zero"])
    far = sizes("size_to")[0] / 2.0 if words["shape"] == "cone" else radius
    return Round(words["from"], words["to"], (radius, far), words["zero"])


class Tube:
    """A tube's end in space: t grows along `axis` from `at`; azimuth 0 at `front`, 90 at `right`."""

    def __init__(self, at, axis, front, size, curve, right=None):
        self.at, self.axis, self.front = at, axis, front
        self.right = np.cross(front, axis) if right is None else right
        self.r, self.ri = size[0] / 2.0, size[0] / 2.0 - size[1]
        self.curve = dict((round(a), t) for a, t in curve)

    def point(self, degree, rho):
        a = math.radians(degree)
        out = math.cos(a) * self.front + math.sin(a) * self.right
        return self.at + rho * out + self.curve[degree % 360] * self.axis

    def edge(self, start, rho):
        """The end's edge over a sector, through a point each degree."""
        points = HArray1_gp_Pnt(1, SECTOR + 1)
        for k in range(SECTOR + 1):
            points.SetValue(k + 1, gp_Pnt(*self.point(start + k, rho)))
        through = GeomAPI_Interpolate(points, False, 1e-9)
        through.Perform()
        return BRepBuilderAPI_MakeEdge(through.Curve()).Edge()

    def sector(self, start, length=80.0):
        """The wall's solid over a sector."""
        face = BRepFill.Face_s(self.edge(start, self.r), self.edge(start, self.ri))
        return BRepPrimAPI_MakePrism(face, gp_Vec(*(length * self.axis))).Shape()


def shared_volume(one, other):
    common = BRepAlgoAPI_Common(one, other)
    if not common.IsDone():
        raise RuntimeError("the kernel could not intersect two solids")
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(common.Shape(), props)
    return abs(props.Mass())


def distance(one, other):
    found = BRepExtrema_DistShapeShape(one, other)
    if not found.IsDone():
        raise RuntimeError("the kernel found no distance")
    return found.Value()


def moved(shape, vector):
    move = gp_Trsf()
    move.SetTranslation(gp_Vec(*vector))
    return BRepBuilderAPI_Transform(shape, move, True).Shape()


class Fits:
    """Counts sectors."""

    def __init__(self):
        self.passed = self.failed = 0

    def check(self, name, tube, body):
        nearest, farthest = math.inf, 0.0
        for start in range(0, 360, SECTOR):
            solid = tube.sector(start)
            pulled, pushed = moved(solid, HAIR * tube.axis), moved(solid, -PUSH * tube.axis)
            overlap, apart, into = shared_volume(pulled, body), distance(pulled, body), shared_volume(pushed, body)
            nearest, farthest = min(nearest, apart), max(farthest, apart)
            good = overlap <= NOTHING and 0.0 < apart <= HAIR + 1e-9 and into > 1e3 * NOTHING
            self.passed += good
            self.failed += not good
            if not good:
                print(f"FAIL {name} from {start} degrees: pulled out by {HAIR} mm it shares {overlap:.2e} mm3 and is "
                      f"{apart:.2e} mm away; pushed in by {PUSH} mm it shares {into:.3g} mm3")
        print(f"{name}: from {nearest:.1e} to {farthest:.1e} mm away when pulled out by {HAIR:.0e}")


def reported(program, folder, words, job=None):
    """What the program reports."""
    if job is not None:
        (folder / "job.json").write_text(json.dumps(job), encoding="utf-8")
    done = subprocess.run([program, *words, "--report", "r.json", "--out", "s.pdf"], cwd=folder, capture_output=True)
    if done.returncode:
        sys.exit(f"{' '.join(words)}: {done.stderr.decode()}")
    return json.loads((folder / "r.json").read_text(encoding="utf-8"))


def check_saddle(fits, program, folder, case):
    od, wall, header, header_wall, angle, offset, set_in = case
    words = ["saddle", "--branch", f"{od}mm x {wall}mm", "--header", f"{header}mm x {header_wall}mm",
             "--angle", str(angle), f"--offset={offset}mm", "--join", "set-in" if set_in else "set-on"]
    report = reported(program, folder, words)
    # GEOMETRY.md: the header along +y, d = (0, cos A, sin A), f = (0, sin A, -cos A), moved along +x.
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    tube = Tube(np.array([offset, 0.0, 0.0]), np.array([0.0, cos, sin]), np.array([0.0, sin, -cos]), (od, wall),
                report["ends"][0]["curve"])
    radius = header / 2.0 - (header_wall if set_in else 0.0)
    fits.check(" ".join(words[2:]), tube, Round([0, -200, 0], [0, 200, 0], (radius, radius)).solid())


def check_landing(fits, program, folder, case):
    """A tube with a square far end, somewhere on a body."""
    name, along, around, size, way = case
    body = body_of(BODIES[name])
    at = body.place(along, float(str(around).removesuffix("deg")))
    axis = unit(way)
    far = at + 400.0 * axis
    job = {"title": name, "units": "mm", "stock": {"tube": {"size": size}}, "bodies": {name: BODIES[name]},
           "tubes": {"tube": {"stock": "tube", "end": {"join": "square"},
                              "path": [{"on": name, "along": along, "round": around}, {"at": list(far)}]}}}
    report = reported(program, folder, ["batch", "job.json"], job)
    (od, wall) = (float(part) for part in size.replace("mm", "").split(" x "))
    # The front is the side of the acute angle; on a plane or ball the side that the tube leans to.
    front = across(body.lean(axis, at), axis)
    tube = Tube(at, axis, front, (od, wall), report["ends"][0]["curve"])
    fits.check(f"{size} on {name} at {along}, {around}", tube, body.solid())


def check_two_ends(fits, program, folder):
    """A riser between two skew drums: both ends on the near one's girth scale, the far one set in."""
    lower, upper = body_of(BODIES["drum"]), body_of(BODIES["upper"])
    near, far = lower.place(260, -10.0), upper.place(300, 15.0)
    job = {"title": "riser", "units": "mm", "stock": {"tube": {"size": "48.3mm x 2.6mm"}},
           "bodies": {name: BODIES[name] for name in ("drum", "upper")},
           "tubes": {"riser": {"stock": "tube", "end": {"join": "set-in", "clearance": 0.5},
                               "path": [{"on": "drum", "along": 260, "round": "-10deg"},
                                        {"on": "upper", "along": 300, "round": "15deg"}]}}}
    ends = reported(program, folder, ["batch", "job.json"], job)["ends"]
    axis = unit(far - near)
    front = across(lower.lean(axis, near), axis)
    right = np.cross(front, axis)
    fits.check("riser, near end", Tube(near, axis, front, (48.3, 2.6), ends[0]["curve"]), lower.solid())
    bore = Round(BODIES["upper"]["from"], BODIES["upper"]["to"], (219.1 / 2 - 4.0,) * 2, BODIES["upper"]["zero"])
    fits.check("riser, far end set in", Tube(far, -axis, front, (48.3, 2.6), ends[1]["curve"], right), bore.solid())


def main():
    if len(sys.argv) != 2:
        print(__doc__)
        return 2
    program = str(Path(sys.argv[1]).resolve())
    fits = Fits()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for case in SADDLES:
            check_saddle(fits, program, folder, case)
        for case in LANDINGS:
            check_landing(fits, program, folder, case)
        check_two_ends(fits, program, folder)
    print(f"solids: {fits.passed} passed, {fits.failed} failed")
    return 1 if fits.failed or not fits.passed else 0


if __name__ == "__main__":
    sys.exit(main())
