#!/usr/bin/env python3
"""Reference values for tubes with sides, made without the program under test.

The section is a wire of a CAD kernel (OpenCASCADE): straight edges and arcs, walked by the kernel's own arc length, whose
tangents give the normals through the wall.  How deep a line square to the skin goes is asked of the kernel too: to where
the bore begins, or another place of the skin is nearer.  The straight lines along the tube are placed by rigid motions
and met with the kernel's cylinder, plane, cone or sphere; `touch = wall` is a dense search over the depth, refined by
golden section.  On cylinders the closed form of DEVELOPERS.md, "Geometry", must give the same.

    python tests/reference/sides.py             write shared/checks/sides.json
    python tests/reference/sides.py --check N   recompute every N-th record and compare with the file

Records (lengths in mm, angles in degrees):

saddles   curve   [girth, t]: girth from the middle of the front to the right on the outer skin, t from the work point
          holes   one or two outlines [u, v], of the outer skin and for set-in of the inner one carried out along the
                  radius: the hole is their union
landings  a job's body and a tube's first end on it: the same curve
"""

import argparse
import json
import math
import pathlib
import sys

from OCP.BRepAdaptor import BRepAdaptor_CompCurve
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeVertex, BRepBuilderAPI_MakeWire
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakeOffset
from OCP.GCPnts import GCPnts_AbscissaPoint
from OCP.Geom import (Geom_ConicalSurface, Geom_CylindricalSurface, Geom_Line, Geom_Plane, Geom_SphericalSurface)
from OCP.GeomAPI import GeomAPI_ProjectPointOnSurf
from OCP.GeomAbs import GeomAbs_Arc
from OCP.gp import gp_Ax1, gp_Ax2, gp_Ax3, gp_Circ, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopoDS import TopoDS

from joints import Disagreement, agree, crossings, differs, dump, header_surface, kept, largest

FILE = pathlib.Path(__file__).resolve().parents[2] / "shared" / "checks" / "sides.json"
STATIONS = 36


class Wire:
    """A closed wire in the plane z = 0: x to the right, y to the front, walked clockwise from the front."""

    def __init__(self, wire):
        self.wire = wire
        self.curve = BRepAdaptor_CompCurve(wire)
        self.girth = GCPnts_AbscissaPoint.Length_s(self.curve)

    def at(self, girth):
        """Point and outward normal."""
        start = self.curve.FirstParameter()
        parameter = GCPnts_AbscissaPoint(self.curve, girth, start).Parameter() if girth else start
        point, way = gp_Pnt(), gp_Vec()
        self.curve.D1(parameter, point, way)
        size = math.hypot(way.X(), way.Y())
        return (point.X(), point.Y()), (-way.Y() / size, way.X() / size)

    def nearest(self, x, y):
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(x, y, 0)).Vertex()
        return BRepExtrema_DistShapeShape(vertex, self.wire).Value()

    def depth(self, girth, wall):
        """How deep the line through the wall goes."""
        (x, y), (nx, ny) = self.at(girth)

        def is_own(depth):
            return self.nearest(x - depth * nx, y - depth * ny) >= depth - 1e-9

        if is_own(wall):
            return wall
        low, high = 0.0, wall
        while high - low > 1e-10:
            middle = (low + high) / 2
            low, high = (middle, high) if is_own(middle) else (low, middle)
        return low

    def offset(self, by):
        made = BRepOffsetAPI_MakeOffset(self.wire, GeomAbs_Arc)
        made.Perform(by)
        return Wire(TopoDS.Wire(made.Shape()))


def rectangle(width, height, corner):
    w, h, r = width / 2, height / 2, corner
    up = gp_Dir(0, 0, 1)
    make = BRepBuilderAPI_MakeWire()

    def line(a, b):
        if math.dist(a, b) > 1e-9:
            make.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(*a, 0), gp_Pnt(*b, 0)).Edge())

    def arc(x, y, start, end):
        if r > 0:
            # Clockwise about +z is anticlockwise about -z.
            circle = gp_Circ(gp_Ax2(gp_Pnt(x, y, 0), up.Reversed()), r)
            edge = BRepBuilderAPI_MakeEdge(circle, gp_Pnt(*start, 0), gp_Pnt(*end, 0))
            make.Add(edge.Edge())

    line((0, h), (w - r, h))
    arc(w - r, h - r, (w - r, h), (w, h - r))
    line((w, h - r), (w, r - h))
    arc(w - r, r - h, (w, r - h), (w - r, -h))
    line((w - r, -h), (r - w, -h))
    arc(r - w, r - h, (r - w, -h), (-w, r - h))
    line((-w, r - h), (-w, h - r))
    arc(r - w, h - r, (-w, h - r), (r - w, h))
    line((r - w, h), (0, h))
    wire = Wire(make.Wire())
    agree("girth: kernel / closed form", wire.girth, 2 * (width + height) - (8 - 2 * math.pi) * r)
    return wire


class Placed:
    """A tube standing on +z, put somewhere else: its work point, axis and front."""

    def __init__(self, foot, axis, front, turned):
        to = gp_Trsf()
        # The frame's x is the right, its y the front.
        there = gp_Ax3(gp_Pnt(*foot), gp_Dir(*axis), gp_Dir(*cross(front, axis)))
        to.SetTransformation(there, gp_Ax3())
        turn = gp_Trsf()
        # Front towards the right: clockwise seen with the axis towards the eye.
        turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1)), -math.radians(turned))
        self.place = to.Multiplied(turn)
        self.foot, self.axis = gp_Pnt(*foot), gp_Dir(*axis)

    def hits(self, x, y, surface):
        """Crossings of the line along the tube with a surface: (t, point), the first met last."""
        line = Geom_Line(gp_Pnt(x, y, 0).Transformed(self.place), self.axis)
        points = crossings(line, surface)
        along = [gp_Vec(self.foot, point).Dot(gp_Vec(self.axis)) for point in points]
        return sorted(zip(along, points), key=lambda hit: hit[0])

    def t(self, x, y, surface):
        hits = self.hits(x, y, surface)
        if not hits:
            raise Disagreement("a line misses")
        return hits[-1][0]


def cross(a, b):
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def dot(a, b):
    return sum(x * y for x, y in zip(a, b))


def scaled(a, by):
    return tuple(by * x for x in a)


def added(*vectors):
    return tuple(sum(parts) for parts in zip(*vectors))


def unit(a):
    return scaled(a, 1 / math.sqrt(dot(a, a)))


def across(way, axis):
    return unit(added(way, scaled(axis, -dot(way, axis))))


def usual_zero(axis):
    """Up; +x for what stands upright."""
    return (0, 0, 1) if math.hypot(axis[0], axis[1]) > 0.1 else (1, 0, 0)


def curve(section, wall, placed, surface, touch, closed=None):
    girths = [section.girth * k / 4 for k in range(4)]
    girths += [section.girth * (k + 0.37) / STATIONS for k in range(STATIONS)]
    found = []
    for girth in sorted(girths):
        (x, y), (nx, ny) = section.at(girth)
        deepest = section.depth(girth, wall)

        def t(depth):
            return placed.t(x - depth * nx, y - depth * ny, surface)

        if touch == "outside":
            best = 0.0
        elif touch == "inside":
            best = deepest
        else:
            best = largest(t, 0.0, deepest, 40)[0]
            best = max((0.0, best, deepest), key=t)
        if closed:
            agree("t: kernel / closed form", t(best), closed(x - best * nx, y - best * ny))
        found.append([kept(girth), kept(t(best))])
    return found


def saddle(case):
    section = rectangle(case["width"], case["height"], case["corner"])
    a, e = math.radians(case["angle"]), case["offset"]
    placed = Placed((e, 0, 0), (0, math.cos(a), math.sin(a)), (0, math.sin(a), -math.cos(a)), case["turned"])
    outer = case["header_od"] / 2
    skin = outer - (case["header_wall"] if case["join"] == "set-in" else 0)
    turn = math.radians(case["turned"])

    def closed(x, y):
        right, front = x * math.cos(turn) + y * math.sin(turn), y * math.cos(turn) - x * math.sin(turn)
        return (math.sqrt(skin ** 2 - (e + right) ** 2) + front * math.cos(a)) / math.sin(a)

    record = dict(case)
    record["girth"] = kept(section.girth)
    record["curve"] = curve(section, case["wall"], placed, header_surface(skin), case["touch"], closed)
    drill = section.offset(case["clearance"] if case["join"] == "set-in" else -case["wall"])
    record["holes"] = [outline(drill, placed, radius, outer) for radius in sorted({outer, skin}, reverse=True)]
    return record


def outline(drill, placed, radius, outer):
    surface = header_surface(radius)
    found = []
    for k in range(120):
        (x, y), _ = drill.at(drill.girth * (k + 0.37) / 120)
        point = placed.hits(x, y, surface)[-1][1]
        phi, v = GeomAPI_ProjectPointOnSurf(point, surface).LowerDistanceParameters()
        phi = (phi + math.pi) % (2 * math.pi) - math.pi
        found.append([kept(outer * phi), kept(v)])
    return found


def landing(case):
    """A tube's first end on a job's body: work point, axis and front by the conventions of DEVELOPERS.md."""
    body, shape = case["body"], case["body"]["shape"]
    number = lambda size: float(size.split("mm")[0])
    along, round_ = case["along"], case["round"]
    axis = unit(case["step"])
    if shape == "plane":
        out, zero = unit(body["out"]), across(body["zero"], unit(body["out"]))
        foot = added(body["at"], scaled(zero, along), scaled(cross(zero, out), round_))
        surface, normal, own = Geom_Plane(gp_Pnt(*body["at"]), gp_Dir(*out)), out, zero
    elif shape == "sphere":
        pole = unit(body["out"])
        zero = across(usual_zero(pole), pole)
        radius = number(body["size"]) / 2
        aside = added(scaled(zero, math.cos(math.radians(round_))),
                      scaled(cross(pole, zero), math.sin(math.radians(round_))))
        normal = added(scaled(pole, math.cos(along / radius)), scaled(aside, math.sin(along / radius)))
        foot = added(body["at"], scaled(normal, radius))
        surface = Geom_SphericalSurface(gp_Ax3(gp_Pnt(*body["at"]), gp_Dir(*pole)), radius)
        own = pole
    else:
        way = added(body["to"], scaled(body["from"], -1))
        length, own = math.sqrt(dot(way, way)), unit(way)
        zero = across(body["zero"], own)
        first = number(body["size"]) / 2
        last = number(body.get("size_to", body["size"])) / 2
        radius = first + (last - first) * along / length
        aside = added(scaled(zero, math.cos(math.radians(round_))),
                      scaled(cross(own, zero), math.sin(math.radians(round_))))
        foot = added(body["from"], scaled(own, along), scaled(aside, radius))
        at = gp_Ax3(gp_Pnt(*body["from"]), gp_Dir(*own))
        if shape == "cone":
            surface = Geom_ConicalSurface(at, math.atan2(last - first, length), first)
        else:
            surface = Geom_CylindricalSurface(at, first)
    if shape in ("plane", "sphere"):
        lean = added(axis, scaled(normal, -dot(axis, normal)))
        lean = lean if dot(lean, lean) > 1e-12 else own
        # What stands on a ball's pole has its front where upright things have their zero.
        front = across(lean if dot(cross(lean, axis), cross(lean, axis)) > 1e-12 else usual_zero(axis), axis)
    else:
        front = across(scaled(own, -1 if dot(own, axis) < -1e-9 else 1), axis)
    section = rectangle(case["width"], case["height"], case["corner"])
    record = dict(case)
    record["curve"] = curve(section, case["wall"], Placed(foot, axis, front, case["turned"]), surface, case["touch"])
    return record


def saddle_cases():
    cases = []

    def add(size, header, angle=90.0, offset=0.0, turned=0.0, touch="wall", clearance=None):
        (width, height, wall, corner), (od, header_wall) = size, header
        cases.append({
            "width": width, "height": height, "wall": wall, "corner": corner, "header_od": od,
            "header_wall": header_wall, "angle": angle, "offset": offset, "turned": turned, "touch": touch,
            "join": "set-on" if clearance is None else "set-in", "clearance": clearance or 0.0})

    rect, square, can = (60.0, 40.0, 3.0, 5.0), (50.0, 50.0, 3.0, 6.0), (200.0, 150.0, 1.5, 4.0)
    drum = (573.9, 1.2)
    for touch in ("wall", "outside", "inside"):
        add(rect, (200.0, 2.0), touch=touch)
        add(rect, (200.0, 2.0), 60.0, 20.0, 30.0, touch)
        add((40.0, 40.0, 6.0, 4.0), (114.3, 6.0), 45.0, -10.0, 20.0, touch)
    add(square, (60.3, 3.0))
    add(square, (114.3, 6.0), 45.0)
    add(square, (114.3, 6.0), 45.0, turned=45.0)
    add(square, (114.3, 6.0), 70.0, 15.0, -45.0, clearance=0.5)
    add(rect, (114.3, 6.0), 30.0, 12.0, 90.0, clearance=1.0)
    add(rect, (114.3, 6.0), 50.0, -20.0, 190.0)
    add(can, drum, clearance=1.0)
    add(can, drum, 75.0, 60.0, 15.0, clearance=1.0)
    add((60.0, 40.0, 3.0, 0.0), (150.0, 4.0), 65.0, 5.0, 25.0)
    add((60.0, 40.0, 3.0, 0.0), (150.0, 4.0), 65.0, 5.0, 25.0, clearance=0.8)
    add((40.0, 40.0, 2.0, 20.0), (90.0, 3.0), 55.0, 8.0, 33.0)
    return cases


def landing_cases():
    cases = []
    plane = {"shape": "plane", "at": [10, 20, 30], "out": [0.2, 0.1, 1], "zero": [1, 0, 0], "size": "5mm"}
    cone = {"shape": "cone", "size": "300mm x 2mm", "size_to": "180mm", "from": [0, 0, 0], "to": [0, 0, 500],
            "zero": [1, 0, 0]}
    ball = {"shape": "sphere", "size": "400mm x 3mm", "at": [5, 6, 7], "out": [0, 0, 1]}
    drum = {"shape": "cylinder", "size": "300mm x 2mm", "from": [10, 0, 0], "to": [200, 400, 100], "zero": [0, 0, 1]}

    def add(body, along, round_, step, turned, size=(60.0, 40.0, 3.0, 5.0), touch="wall"):
        width, height, wall, corner = size
        cases.append({"width": width, "height": height, "wall": wall, "corner": corner, "body": body, "along": along,
                      "round": round_, "step": step, "turned": turned, "touch": touch})

    add(plane, 25.0, 15.0, [60, 20, 200], 20.0)
    add(plane, -40.0, 8.0, [0.2, 0.1, 1.0], 0.0)
    add(plane, 0.0, 0.0, [-90, 70, 200], -35.0, (40.0, 40.0, 4.0, 2.0))
    add(cone, 200.0, 30.0, [250, 140, 60], 0.0)
    add(cone, 200.0, -70.0, [120, -200, -90], 40.0)
    add(cone, 260.0, 100.0, [-40, 250, 150], 10.0, (50.0, 50.0, 3.0, 6.0), "inside")
    add(ball, 120.0, 40.0, [150, 120, 300], 25.0)
    add(ball, 0.0, 0.0, [0, 0, 300], 10.0)
    add(ball, 200.0, -60.0, [120, -90, 200], -15.0, (80.0, 30.0, 2.0, 0.0), "outside")
    add(drum, 180.0, 25.0, [60, -40, 300], 12.0)
    add(drum, 240.0, -30.0, [-140, 30, 300], -50.0, (30.0, 70.0, 5.0, 3.0))
    return cases


LISTS = (("saddles", saddle_cases, saddle), ("landings", landing_cases, landing))


def check(every):
    stored, good = json.loads(FILE.read_text(encoding="utf-8")), True
    for name, cases, compute in LISTS:
        cases, passed, failed = cases(), 0, 0
        if len(cases) != len(stored[name]):
            print(f"{name}: {len(stored[name])} stored, {len(cases)} expected")
            failed += 1
        for case, old in list(zip(cases, stored[name]))[::every]:
            wrong = differs(old, compute(case))
            if wrong:
                print(f"{name}: {case}: {wrong}")
                failed += 1
            else:
                passed += 1
        print(f"{name}: {passed} passed, {failed} failed")
        good = good and failed == 0
    return good


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--check", type=int, metavar="N", help="recompute every N-th record and compare with the file")
    options = parser.parse_args()
    if options.check:
        sys.exit(0 if check(options.check) else 1)
    dump(FILE, {name: [compute(case) for case in cases()] for name, cases, compute in LISTS})


if __name__ == "__main__":
    main()
