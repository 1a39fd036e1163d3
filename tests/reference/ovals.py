#!/usr/bin/env python3
"""Reference values for tubes on bodies that are out of round, made without the program under test.

A tube lands on a body along +y, zero line towards +z, 500 mm along it.  Everything is worked out in two ways that
must agree before the file is written:

1. numbers: on an oval the tube's lines are met by the quadratic of the ellipse, arcs are scipy's incomplete elliptic
   integral; other sections are scipy's periodic cubic spline of the radius over the angle, lines are met by Brent's
   root finder, arcs are by quadrature.  `touch = wall` is a dense search over the wall, refined.
2. a CAD kernel (OpenCASCADE): the section's curve is swept along +y (surface of linear extrusion), the inner skin is
   that of its offset curve, and lines of the wall at three radii are intersected with these surfaces.  Arcs are the
   kernel's own lengths.
   A section through measured places is handed to the kernel as a B-spline through 720 of its places.

    python tests/reference/ovals.py              write shared/checks/ovals.json
    python tests/reference/ovals.py --check N    recompute every N-th record and compare with the file

ovals.json, "ovals", one record a line:
    section    as a job file has it; girth and wall of the body
    round_deg  where the tube's axis lands, about the body's axis; `to` is its other end
    curve      [azimuth, t] of the cut; azimuth 0 is towards the body's +y across the tube, 90 is front x axis
    hole       [u, v] places on its outline on the outer skin laid flat, about the place under the tube's axis
    round_mm   from the zero line to that place along the skin
"""

import argparse
import json
import math
import pathlib
import sys

import numpy as np
from scipy.integrate import quad
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq
from scipy.special import ellipe, ellipeinc

from OCP.GCPnts import GCPnts_AbscissaPoint
from OCP.Geom import Geom_Ellipse, Geom_Line, Geom_OffsetCurve, Geom_SurfaceOfLinearExtrusion
from OCP.GeomAdaptor import GeomAdaptor_Curve
from OCP.GeomAPI import GeomAPI_IntCS, GeomAPI_Interpolate, GeomAPI_ProjectPointOnCurve
from OCP.gp import gp_Ax2, gp_Dir, gp_Lin, gp_Pnt
from OCP.OCP.collections import HArray1_gp_Pnt

from joints import agree, differs, dump, kept, largest, Disagreement, WORST

OVALS = pathlib.Path(__file__).resolve().parents[2] / "shared" / "checks" / "ovals.json"
AZIMUTHS = [float(a) for a in range(0, 360, 15)]
# A B-spline through 720 places of a curve is the curve to about this, in millimetres.
SPLINED = 2e-5


class Ellipse:
    """Half diameters a and b, a at the angle `turned`; the parameter is the eccentric angle from there."""

    exact = 1e-6

    def __init__(self, a, b, turned):
        self.a, self.b, self.turned = a, b, turned
        self.first = np.array([math.sin(turned), math.cos(turned)])
        self.second = np.array([math.cos(turned), -math.sin(turned)])

    def point(self, e):
        return self.a * math.cos(e) * self.first + self.b * math.sin(e) * self.second

    def speed(self, e):
        return -self.a * math.sin(e) * self.first + self.b * math.cos(e) * self.second

    def parameter(self, round_):
        """Of the place at an angle about the axis."""
        return math.atan2(math.sin(round_ - self.turned) / self.b, math.cos(round_ - self.turned) / self.a)

    def length(self, p, q):
        """From p to q.  dl = sqrt(a^2 sin^2 + b^2 cos^2) de = b sqrt(1 - m sin^2) de with m = 1 - (a/b)^2."""
        m = 1.0 - (self.a / self.b) ** 2
        return self.b * (ellipeinc(q, m) - ellipeinc(p, m))

    def girth(self):
        return 4.0 * self.b * ellipe(1.0 - (self.a / self.b) ** 2)

    def meet(self, o, d):
        """Parameter of the first place that a line o + s d meets."""
        ou, ov, du, dv = o @ self.first, o @ self.second, d @ self.first, d @ self.second
        two = (du / self.a) ** 2 + (dv / self.b) ** 2
        one = ou * du / self.a**2 + ov * dv / self.b**2
        none = (ou / self.a) ** 2 + (ov / self.b) ** 2 - 1.0
        s = (-one - math.sqrt(one * one - two * none)) / two
        return math.atan2((ov + s * dv) / self.b, (ou + s * du) / self.a)

    def kernel_curve(self):
        major, minor, first = (self.a, self.b, self.first) if self.a >= self.b else (self.b, self.a, self.second)
        axes = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0), gp_Dir(float(first[0]), 0, float(first[1])))
        return Geom_Ellipse(axes, major, minor)


class Splined:
    """The radius over the angle: a periodic cubic spline through (angle, radius)."""

    exact = SPLINED

    def __init__(self, places):
        turn = 2.0 * math.pi
        places = sorted((at % turn, radius) for at, radius in places)
        at = [p[0] for p in places] + [places[0][0] + turn]
        radius = [p[1] for p in places] + [places[0][1]]
        self.radius = CubicSpline(at, radius, bc_type="periodic")
        self.knots = at[:-1]

    def point(self, u):
        return float(self.radius(u)) * np.array([math.sin(u), math.cos(u)])

    def speed(self, u):
        out, on = np.array([math.sin(u), math.cos(u)]), np.array([math.cos(u), -math.sin(u)])
        return float(self.radius(u, 1)) * out + float(self.radius(u)) * on

    def parameter(self, round_):
        return round_

    def length(self, p, q):
        turn = 2.0 * math.pi
        stops = sorted(k + turn * n for k in self.knots for n in (-2, -1, 0, 1, 2))
        cuts = [s for s in stops if min(p, q) < s < max(p, q)]
        ends = [min(p, q), *cuts, max(p, q)]
        whole = sum(quad(lambda u: float(np.hypot(*self.speed(u))), s, t, epsabs=1e-11, epsrel=1e-13)[0]
                    for s, t in zip(ends, ends[1:]))
        return whole if q >= p else -whole

    def girth(self):
        return self.length(0.0, 2.0 * math.pi)

    def meet(self, o, d):
        return first_crossing(self, 0.0, o, d)

    def kernel_curve(self):
        count = 720
        points = HArray1_gp_Pnt(1, count)
        for k in range(count):
            x, z = self.point(2.0 * math.pi * k / count)
            points.SetValue(k + 1, gp_Pnt(float(x), 0, float(z)))
        through = GeomAPI_Interpolate(points, True, 1e-9)
        through.Perform()
        return through.Curve()


def normal(curve, u):
    """Out of the body, in (x, z)."""
    x, z = curve.speed(u)
    return np.array([-z, x]) / math.hypot(x, z)


def grid(curve, inset):
    """Parameters and places all round, kept with the curve."""
    kept_grids = curve.__dict__.setdefault("grids", {})
    if inset not in kept_grids:
        us = [2.0 * math.pi * k / 360 for k in range(361)]
        kept_grids[inset] = us, np.array([curve.point(u) - inset * normal(curve, u) for u in us])
    return kept_grids[inset]


def first_crossing(curve, inset, o, d):
    """Parameter of the first place where the line meets the curve moved in by `inset`."""
    across = np.array([-d[1], d[0]]) / np.hypot(*d)

    def side(u):
        return float((curve.point(u) - inset * normal(curve, u) - o) @ across)

    us, places = grid(curve, inset)
    signs = (places - o) @ across < 0.0
    found = []
    for k in np.flatnonzero(signs[:-1] != signs[1:]):
        # On a line through a place of the grid rounding may have it on either side.
        ends = side(us[k]), side(us[k + 1])
        if ends[0] * ends[1] < 0.0:
            u = brentq(side, us[k], us[k + 1], xtol=1e-14)
        else:
            u = us[k] if abs(ends[0]) < abs(ends[1]) else us[k + 1]
        found.append((float((curve.point(u) - inset * normal(curve, u) - o) @ d), u))
    if not found:
        raise Disagreement("a line misses the body")
    return min(found)[1]


def settled(make, rounds, arcs):
    """Moves the angles of places that were measured with the tape until they lie at their arcs."""
    for _ in range(100):
        curve = make(rounds)
        moved = 0.0
        for k, arc in arcs.items():
            off = arc - curve.length(curve.parameter(0.0), curve.parameter(0.0) + rounds[k])
            moved = max(moved, abs(off))
            rounds[k] += off / float(np.hypot(*curve.speed(rounds[k])))
        if moved < 1e-10:
            return make(rounds)
    raise Disagreement("places measured with the tape don't settle")


def angle_and_arc(at):
    """A job's word for a place: (angle, None) or (None, arc)."""
    if isinstance(at, str):
        return math.radians(float(at.removesuffix("deg"))), None
    return None, float(at)


def curve_of(rec):
    section, girth = rec["section"], rec["girth"]
    if "oval" in section:
        first, second = section["oval"]
        turned, arc = angle_and_arc(section.get("at", 0.0))
        if turned is None:
            level = Ellipse(first / 2.0, second / 2.0, 0.0)
            e = brentq(lambda e: level.length(e, 0.0) - arc, -2 * math.pi, 2 * math.pi, xtol=1e-15)
            x, z = level.point(e)
            turned = -math.atan2(x, z)
        return Ellipse(first / 2.0, second / 2.0, turned)
    what, value = ("diameters", "across") if "diameters" in section else ("offsets", "out")
    rounds, arcs = [], {}
    for k, place in enumerate(section[what]):
        angle, arc = angle_and_arc(place["at"])
        rounds.append(arc / girth * 2.0 * math.pi if angle is None else angle)
        if angle is None:
            arcs[k] = arc
    values = [place[value] for place in section[what]]
    if what == "diameters":
        def through(rounds):
            return Splined([(r + turn, v / 2.0) for r, v in zip(rounds, values) for turn in (0.0, math.pi)])
        return settled(through, rounds, arcs)

    def with_radius(base):
        return settled(lambda rounds: Splined([(r, base + v) for r, v in zip(rounds, values)]), list(rounds), arcs)
    base = girth / (2.0 * math.pi)
    for _ in range(60):
        curve = with_radius(base)
        off = girth - curve.girth()
        if abs(off) < 1e-10:
            return curve
        base += off / (2.0 * math.pi)
    raise Disagreement("the offsets' circle does not settle")


class Landing:
    """A tube on the body, by numbers."""

    def __init__(self, rec):
        self.rec = rec
        self.curve = curve_of(rec)
        self.r = rec["branch_od"] / 2.0
        self.ri = self.r - rec["branch_wall"]
        self.inset = rec["wall"] if rec["join"] == "set-in" else 0.0
        self.foot_u = self.curve.parameter(math.radians(rec["round_deg"]))
        x, z = self.curve.point(self.foot_u)
        self.foot = np.array([x, 500.0, z])
        d = np.array(rec["to"], dtype=float) - self.foot
        self.d = d / np.linalg.norm(d)
        y = np.array([0.0, 1.0, 0.0])
        lean = y * (-1.0 if self.d[1] < -1e-9 else 1.0)
        f = lean - (lean @ self.d) * self.d
        self.f = f / np.linalg.norm(f)
        self.right = np.cross(self.f, self.d)

    def line(self, a, rho):
        a = math.radians(a)
        return self.foot + rho * (math.cos(a) * self.f + math.sin(a) * self.right)

    def hit(self, a, rho, inset):
        """(parameter, point) where the wall's line meets a skin."""
        o, d = self.line(a, rho), -self.d
        flat_o, flat_d = o[[0, 2]], d[[0, 2]]
        if inset == 0.0:
            u = self.curve.meet(flat_o, flat_d)
        else:
            u = first_crossing(self.curve, inset, flat_o, flat_d)
        place = self.curve.point(u) - inset * normal(self.curve, u)
        s = float((place - flat_o) @ flat_d) / float(flat_d @ flat_d)
        return u, o + s * d

    def t(self, a, rho):
        return float((self.hit(a, rho, self.inset)[1] - self.foot) @ self.d)

    def mark(self, a, samples):
        if self.rec["touch"] == "outside":
            return self.t(a, self.r)
        if self.rec["touch"] == "inside":
            return self.t(a, self.ri)
        return largest(lambda q: self.t(a, q), self.ri, self.r, samples)[1]

    def radius_of_hole(self):
        return self.r + self.rec["clearance"] if self.rec["join"] == "set-in" else self.ri

    def outside_by(self, u, y, inset):
        """How far a place in the wall lies outside the hole's cylinder."""
        x, z = self.curve.point(u) - inset * normal(self.curve, u)
        off = np.array([x, y, z]) - self.foot
        return float(np.linalg.norm(off - (off @ self.d) * self.d)) - self.radius_of_hole()

    def hole(self):
        """Places on the outline: (parameter, y, inset of the skin that makes it)."""
        insets = [(0.0, 0.0)] if self.inset == 0.0 else [(0.0, self.inset), (self.inset, 0.0)]
        found = []
        for inset, other in insets:
            for a in range(0, 360, 5):
                u, point = self.hit(float(a) + 1.0, self.radius_of_hole(), inset)
                if other == inset or self.outside_by(u, point[1], other) > 1e-9:
                    found.append((u, float(point[1]), inset, float(a) + 1.0))
        return found


class Kernel:
    """The same by the kernel's surfaces."""

    def __init__(self, landing):
        self.l = landing
        self.section = landing.curve.kernel_curve()
        up = gp_Dir(0, 1, 0)
        self.skins = {0.0: Geom_SurfaceOfLinearExtrusion(self.section, up)}
        if landing.inset:
            # The kernel moves to the right of (tangent x direction); which way is in depends on how the curve runs.
            for sign in (1.0, -1.0):
                moved = Geom_OffsetCurve(self.section, sign * landing.inset, up)
                p = moved.Value(0.1)
                q = self.section.Value(0.1)
                if math.hypot(p.X(), p.Z()) < math.hypot(q.X(), q.Z()):
                    self.skins[landing.inset] = Geom_SurfaceOfLinearExtrusion(moved, up)

    def hit(self, a, rho, inset):
        o = self.l.line(a, rho)
        line = Geom_Line(gp_Lin(gp_Pnt(*map(float, o)), gp_Dir(*map(float, self.l.d))))
        found = GeomAPI_IntCS(line, self.skins[inset])
        points = [found.Point(i) for i in range(1, found.NbPoints() + 1)]
        if not points:
            raise Disagreement("the kernel finds no hit")
        points = [np.array([p.X(), p.Y(), p.Z()]) for p in points]
        return max(points, key=lambda p: p @ self.l.d)

    def t(self, a, rho):
        return float((self.hit(a, rho, self.l.inset) - self.l.foot) @ self.l.d)

    def arc(self, p, q):
        """Length along the section from under one point to under another, the shorter way."""
        adaptor = GeomAdaptor_Curve(self.section)
        at = [GeomAPI_ProjectPointOnCurve(gp_Pnt(float(x), 0, float(z)), self.section).LowerDistanceParameter()
              for x, z in (p, q)]
        length = GCPnts_AbscissaPoint.Length_s(adaptor, min(at), max(at), 1e-10)
        whole = GCPnts_AbscissaPoint.Length_s(adaptor, 1e-10)
        return min(length, whole - length)


def compute(case):
    rec = dict(case)
    landing = Landing(rec)
    kernel = Kernel(landing)
    exact = landing.curve.exact
    what = "oval" if exact < 1e-5 else "splined section"
    rec["girth_mm"] = kept(landing.curve.girth())
    rec["curve"] = []
    for a in AZIMUTHS:
        t = landing.mark(a, 60)
        for rho in (landing.ri, 0.5 * (landing.ri + landing.r), landing.r):
            agree(f"{what}: line of the wall, mm", landing.t(a, rho), kernel.t(a, rho), exact)
        rec["curve"].append([a, kept(t)])
    rec["hole"] = []
    for u, y, inset, a in landing.hole():
        point = kernel.hit(a, landing.radius_of_hole(), inset)
        agree(f"{what}: hole along, mm", y, float(point[1]), exact)
        arc = landing.curve.length(landing.foot_u, u)
        girth = landing.curve.girth()
        arc -= round(arc / girth) * girth
        flat = kernel.arc(landing.foot[[0, 2]], point[[0, 2]])
        agree(f"{what}: hole round, mm", abs(arc), flat, 10 * exact)
        rec["hole"].append([kept(arc), kept(y - 500.0)])
    start = landing.curve.parameter(0.0)
    arc = landing.curve.length(start, landing.foot_u)
    arc -= round(arc / landing.curve.girth()) * landing.curve.girth()
    agree(f"{what}: round, mm", abs(arc),
          kernel.arc(landing.curve.point(start), landing.foot[[0, 2]]), 10 * exact)
    rec["round_mm"] = kept(arc)
    return rec


SECTIONS = [
    # Consistent girths: of ovals by the elliptic integral, to a hundredth of a millimetre.
    ("oval 592 x 555", {"oval": [592.0, 555.0], "at": "20deg"}, 1802.17),
    ("oval 540 x 610", {"oval": [540.0, 610.0], "at": 150.0}, 1808.69),
    ("oval 300 x 150", {"oval": [300.0, 150.0], "at": "0deg"}, 726.63),
    ("diameters", {"diameters": [{"at": "0deg", "across": 569.0}, {"at": "45deg", "across": 577.0},
                                 {"at": "90deg", "across": 575.0}, {"at": 700.0, "across": 568.0}]}, 1798.0),
    ("offsets", {"offsets": [{"at": 0.0, "out": 4.0}, {"at": 300.0, "out": -2.0}, {"at": "110deg", "out": 3.0},
                             {"at": "190deg", "out": -5.0}, {"at": -400.0, "out": 1.0}]}, 1800.0),
]
# round about the axis, heading about it, lean along it (degrees), branch, join, touch, clearance
LANDINGS = [
    (10.0, 10.0, 0.0, (60.3, 2.0), "set-on", "wall", 0.0),
    (50.0, 62.0, 35.0, (48.3, 5.0), "set-on", "wall", 0.0),
    (-75.0, -60.0, -25.0, (60.3, 3.2), "set-in", "wall", 0.5),
    (140.0, 128.0, 45.0, (33.7, 2.6), "set-in", "outside", 0.0),
    (-160.0, -172.0, 12.0, (76.1, 2.9), "set-on", "inside", 0.0),
]


def cases():
    for name, section, girth in SECTIONS:
        for number, (at, heading, lean, (od, wall), join, touch, clearance) in enumerate(LANDINGS):
            case = dict(name=f"{name}, landing {number + 1}", section=section, girth=girth, wall=3.0,
                        branch_od=od, branch_wall=wall, round_deg=at, join=join, touch=touch, clearance=clearance)
            # A far end that needs no rounding in a file: whole millimetres.
            curve = curve_of(case)
            x, z = curve.point(curve.parameter(math.radians(at)))
            h, l = math.radians(heading), math.radians(lean)
            case["to"] = [round(x + 600 * math.sin(h) * math.cos(l)), round(500 + 600 * math.sin(l)),
                          round(z + 600 * math.cos(h) * math.cos(l))]
            yield case


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--check", type=int, metavar="N", help="recompute every N-th record and compare with the file")
    parser.add_argument("--worst", action="store_true", help="print the largest differences between the two ways")
    options = parser.parse_args()
    good = True
    if options.check is None:
        records = [compute(case) for case in cases()]
        dump(OVALS, {"ovals": records})
        print(f"{len(records)} landings on bodies that are out of round")
    else:
        stored = json.loads(OVALS.read_text(encoding="utf-8"))["ovals"]
        wanted = list(cases())
        good = len(stored) == len(wanted)
        passed = 0
        for case, old in list(zip(wanted, stored))[:: options.check]:
            wrong = differs(old, compute(case))
            if wrong:
                print(f"ovals: {old['name']}: {wrong}")
                good = False
            else:
                passed += 1
        print(f"ovals: {passed} passed")
    if options.check is None or options.worst:
        print("largest differences between the two ways:", file=sys.stderr)
        for what, gap in WORST.items():
            print(f"  {what}: {gap:.1e}", file=sys.stderr)
    sys.exit(0 if good else 1)


if __name__ == "__main__":
    main()
