#!/usr/bin/env python3
"""Reference cuts of tubes on plates, cones and balls, made without the program under test.

As in joints.py every value is worked out in two independent ways that must
agree before the file is written:

1. numbers: the closed forms of where a line meets a plane, a cone, a sphere;
   `touch = wall` by dense search and golden section.
2. a CAD kernel (OpenCASCADE): the tube stands on +z and is brought to its
   place by rigid motions of the kernel, then its straight lines meet the
   kernel's surfaces. Normals and the unrolled cone come from the kernel's own
   surface parameters; the true intersection of the two surfaces is checked
   against the lines as well.

    python tests/reference/bodies.py             write shared/checks/bodies.json
    python tests/reference/bodies.py --check N   recompute every N-th record
                                                 and compare with the file

bodies.json, "bodies", one record a line; millimetres and degrees:
    body       {"shape": "plane"}: z = 0, its outside towards +z
               {"shape": "cone", "radius", "taper"}: about +y, of that radius
               at y = 0, growing by `taper` a millimetre of y
               {"shape": "sphere", "radius"}: about the origin
    at, axis, front   the tube's work point on the body's skin, its direction
               away from the body, and azimuth 0; azimuth 90 is front x axis
    curve      [azimuth, t] of the cut, t from the work point along the axis
    hole       [u, v] where the bore's cylinder meets the skin, laid flat: on
               the plane x and y; on the cone a sector whose middle line is
               the one through +z, (0, 0) where that has the radius of y = 0
               and v growing with y. A sphere has none.
    dihedral   at the four crown lines, on the tube's outer skin
"""

import math

from OCP.Geom import Geom_ConicalSurface, Geom_CylindricalSurface, Geom_Line, Geom_Plane, Geom_SphericalSurface
from OCP.GeomAPI import GeomAPI_IntSS, GeomAPI_ProjectPointOnSurf
from OCP.GeomLProp import GeomLProp_SLProps
from OCP.gp import gp_Ax1, gp_Ax3, gp_Dir, gp_Lin, gp_Pnt, gp_Trsf, gp_Vec

from joints import (AZIMUTHS, CROWN, ORIGIN, ROOT, X_AXIS, Z_AXIS, Disagreement, agree, cosd, crossings, kept, largest,
                    sind)
from records import Records, main

BODIES = ROOT / "shared" / "checks" / "bodies.json"
Y_AXIS = gp_Ax1(ORIGIN, gp_Dir(0, 1, 0))


def dot(a, b):
    return sum(p * q for p, q in zip(a, b))


def add(a, b, share=1.0):
    return [p + share * q for p, q in zip(a, b)]


def times(a, share):
    return [share * p for p in a]


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def unit(a):
    return times(a, 1.0 / math.sqrt(dot(a, a)))


# Shapes: where a line first meets them from outside, which way out is there, the skin laid flat, each by
# numbers; and the same surface of the kernel.


class Flat:
    words = {"shape": "plane"}

    def place(self, along, _round):
        return [along, along / 3.0, 0.0]

    def hits(self, p, d):
        return [-p[2] / d[2]]

    def normal(self, _p):
        return [0.0, 0.0, 1.0]

    def flat(self, p):
        return p[0], p[1]

    def surface(self):
        return Geom_Plane(ORIGIN, gp_Dir(0, 0, 1))

    def kernel_flat(self, parameters, point):
        return point.X(), point.Y()


class Taper:
    def __init__(self, radius, taper):
        self.radius, self.taper = radius, taper
        self.words = {"shape": "cone", "radius": radius, "taper": taper}
        self.half = math.atan(taper)  # below 0 where it narrows towards +y

    def radius_at(self, y):
        return self.radius + self.taper * y

    def place(self, along, around):
        r = self.radius_at(along)
        return [r * sind(around), along, r * cosd(around)]

    def hits(self, p, d):
        k = self.taper
        a = d[0] ** 2 + d[2] ** 2 - (k * d[1]) ** 2
        b = p[0] * d[0] + p[2] * d[2] - k * d[1] * self.radius_at(p[1])
        c = p[0] ** 2 + p[2] ** 2 - self.radius_at(p[1]) ** 2
        root = math.sqrt(b * b - a * c)
        found = [(-b - root) / a, (-b + root) / a]
        return [t for t in found if self.radius_at(p[1] + t * d[1]) > 0.0]

    def normal(self, p):
        return unit([p[0], -self.taper * self.radius_at(p[1]), p[2]])

    def flat(self, p):
        # Distance from the tip straight through space, as points on one line to the tip have it on the skin.
        tip = [0.0, -self.radius / self.taper, 0.0]
        far = math.dist(p, tip)
        turn = math.atan2(p[0], p[2]) * math.sin(abs(self.half))
        start = self.radius / math.sin(abs(self.half))
        sign = math.copysign(1.0, self.taper)
        return far * math.sin(turn), sign * (far * math.cos(turn) - start)

    def surface(self):
        return Geom_ConicalSurface(gp_Ax3(ORIGIN, gp_Dir(0, 1, 0), gp_Dir(0, 0, 1)), self.half, self.radius)

    def kernel_flat(self, parameters, _point):
        # The kernel's own angle, and its length along the generatrix from the circle at y = 0.
        angle = (parameters[0] + math.pi) % (2.0 * math.pi) - math.pi
        sine = math.sin(abs(self.half))
        sign = math.copysign(1.0, self.taper)
        far = self.radius / sine + sign * parameters[1]
        return far * math.sin(angle * sine), sign * (far * math.cos(angle * sine) - self.radius / sine)


class Ball:
    def __init__(self, radius):
        self.radius = radius
        self.words = {"shape": "sphere", "radius": radius}

    def place(self, along, around):
        polar = math.degrees(along / self.radius)
        return [self.radius * sind(polar) * sind(around), self.radius * cosd(polar),
                self.radius * sind(polar) * cosd(around)]

    def hits(self, p, d):
        b = dot(p, d)
        root = math.sqrt(b * b - dot(p, p) + self.radius**2)
        return [-b - root, -b + root]

    def normal(self, p):
        return times(p, 1.0 / self.radius)

    def surface(self):
        return Geom_SphericalSurface(gp_Ax3(ORIGIN, gp_Dir(0, 1, 0), gp_Dir(0, 0, 1)), self.radius)


class Landing:
    """A tube on a shape, by numbers: it leans by `tilt` from the skin's normal, towards `bearing` from the
    body's +y laid into the skin (from +x on a ball's pole), and is moved sideways by `aside` along its
    azimuth 90, so that its axis needn't point at a ball's middle or a cone's axis."""

    def __init__(self, case):
        self.shape, (self.od, self.wall), (along, around), self.tilt, self.bearing, self.aside, self.touch = case
        self.r, self.ri = self.od / 2.0, self.od / 2.0 - self.wall
        self.foot = self.shape.place(along, around)
        self.out = self.shape.normal(self.foot)
        up = [1.0, 0.0, 0.0] if abs(self.out[1]) > 0.999 else [0.0, 1.0, 0.0]
        self.ahead = unit(add(up, self.out, -dot(up, self.out)))
        side = cross(self.ahead, self.out)
        lean = add(times(self.ahead, cosd(self.bearing)), side, sind(self.bearing))
        self.axis = add(times(self.out, cosd(self.tilt)), lean, sind(self.tilt))
        self.front = add(times(lean, cosd(self.tilt)), self.out, -sind(self.tilt))
        self.right = cross(self.front, self.axis)
        # The work point is where the axis meets the skin.
        moved = add(self.foot, self.right, self.aside)
        self.at = add(moved, self.axis, max(self.shape.hits(moved, self.axis)))

    def wall_line(self, a, rho):
        return add(add(self.at, self.front, rho * cosd(a)), self.right, rho * sind(a))

    def t(self, a, rho):
        return max(self.shape.hits(self.wall_line(a, rho), self.axis))

    def point(self, a, rho):
        return add(self.wall_line(a, rho), self.axis, self.t(a, rho))

    def mark(self, a):
        if self.touch == "wall":
            return largest(lambda rho: self.t(a, rho), self.ri, self.r, 2000)[1]
        return self.t(a, self.r if self.touch == "outside" else self.ri)

    def dihedral(self, a):
        tube = add(times(self.front, cosd(a)), self.right, sind(a))
        body = self.shape.normal(self.point(a, self.r))
        across = cross(body, tube)
        return math.degrees(math.atan2(math.sqrt(dot(across, across)), -dot(body, tube)))


class KernelLanding:
    """The same in the kernel: a tube on +z with its front at +y, tilted, turned about the normal, and moved."""

    def __init__(self, landing):
        self.n = landing
        self.surface = landing.shape.surface()
        tilt, turn, lay, move, aside = (gp_Trsf() for _ in range(5))
        aside.SetTranslation(gp_Vec(landing.aside, 0, 0))
        tilt.SetRotation(X_AXIS, -math.radians(landing.tilt))
        turn.SetRotation(Z_AXIS, -math.radians(landing.bearing))
        foot = gp_Pnt(*landing.foot)
        ahead, out = gp_Dir(*landing.ahead), gp_Dir(*landing.out)
        # From the world's axes to the skin's: z to its normal, y ahead in it.
        lay.SetTransformation(gp_Ax3(ORIGIN, out, gp_Dir(ahead.Crossed(out).XYZ())), gp_Ax3())
        move.SetTranslation(gp_Vec(ORIGIN, foot))
        self.place = move.Multiplied(lay).Multiplied(turn).Multiplied(tilt).Multiplied(aside)
        self.axis = gp_Dir(0, 0, 1).Transformed(self.place)
        self.front = gp_Dir(0, 1, 0).Transformed(self.place)
        start = ORIGIN.Transformed(self.place)
        axis_hits = self.on_skin(Geom_Line(gp_Lin(start, self.axis)))
        self.at = max(axis_hits, key=lambda p: gp_Vec(start, p).Dot(gp_Vec(self.axis)))

    def on_skin(self, line):
        """Crossings, without those on a cone's other half beyond its tip."""
        points = crossings(line, self.surface)
        if isinstance(self.n.shape, Taper):
            points = [p for p in points if self.n.shape.radius_at(p.Y()) > 0.0]
        return points

    def along(self, point):
        return gp_Vec(self.at, point).Dot(gp_Vec(self.axis))

    def point(self, a, rho):
        turn = gp_Trsf()
        turn.SetRotation(Z_AXIS, -math.radians(a))
        stand = gp_Lin(gp_Pnt(0, rho, 0), gp_Dir(0, 0, 1))
        line = Geom_Line(stand.Transformed(self.place.Multiplied(turn)))
        points = self.on_skin(line)
        if not points:
            raise Disagreement(f"the kernel finds no hit at azimuth {a}, radius {rho}")
        return max(points, key=self.along)

    def t(self, a, rho):
        return self.along(self.point(a, rho))

    def mark(self, a):
        n = self.n
        if n.touch == "wall":
            return largest(lambda rho: self.t(a, rho), n.ri, n.r, 24)[1]
        return self.t(a, n.r if n.touch == "outside" else n.ri)

    def tube_surface(self, radius):
        return Geom_CylindricalSurface(gp_Ax3(self.at, self.axis, self.front), radius)

    def parameters(self, surface, point):
        return GeomAPI_ProjectPointOnSurf(point, surface).LowerDistanceParameters()

    def dihedral(self, a):
        point = self.point(a, self.n.r)
        normals = []
        for surface in (self.surface, self.tube_surface(self.n.r)):
            u, v = self.parameters(surface, point)
            normals.append(gp_Vec(GeomLProp_SLProps(surface, u, v, 1, 1e-9).Normal()))
        body, tube = normals
        if body.Dot(gp_Vec(*self.n.shape.normal([point.X(), point.Y(), point.Z()]))) < 0.0:
            body.Reverse()  # a cone that narrows has its own normal inwards
        return math.degrees(math.atan2(body.Crossed(tube).Magnitude(), -body.Dot(tube)))

    def check_surfaces(self):
        """The true intersection of tube and body, each of its points against the line through it."""
        n = self.n
        tube = self.tube_surface(n.r)
        found = GeomAPI_IntSS(self.surface, tube, 1e-9)
        if not found.IsDone() or found.NbLines() == 0:
            raise Disagreement("the kernel could not intersect the surfaces")
        seen = 0
        for i in range(1, found.NbLines() + 1):
            curve = found.Line(i)
            lo, hi = curve.FirstParameter(), curve.LastParameter()
            for k in range(181):
                point = curve.Value(lo + (hi - lo) * k / 180)
                a = -math.degrees(self.parameters(tube, point)[0])
                t = n.t(a, n.r)
                # The far side of the body and a cone's other half are crossed too.
                if abs(self.along(point) - t) < 0.5:
                    agree("surface/surface against closed form, mm", self.along(point), t)
                    seen += 1
        if seen < 60:
            raise Disagreement("too few points of the surfaces' intersection")


def name_of(case):
    shape, (od, wall), (along, around), tilt, bearing, aside, touch = case
    words = shape.words
    body = words["shape"] + "".join(f" {key} {value:g}" for key, value in words.items() if key != "shape")
    return (f"{od:g}x{wall:g} on {body} at {along:g}, {around:g}deg tilt {tilt:g} bearing {bearing:g}"
            f" aside {aside:g} {touch}")


def compute(case):
    """One record, after both ways have agreed."""
    landing = Landing(case)
    kernel = KernelLanding(landing)
    for what, mine, theirs in (("at", landing.at, kernel.at), ("axis", landing.axis, kernel.axis),
                               ("front", landing.front, kernel.front)):
        for p, q in zip(mine, (theirs.X(), theirs.Y(), theirs.Z())):
            agree(f"tube's place: {what}", p, q, 1e-9)
    curve = []
    for a in AZIMUTHS:
        t = landing.mark(a)
        agree("curve: t, mm", t, kernel.mark(a))
        curve.append([a, kept(t)])
    hole = []
    if not isinstance(landing.shape, Ball):
        for k in range(72):
            a = 5.0 * k
            flat = landing.shape.flat(landing.point(a, landing.ri))
            point = kernel.point(a, landing.ri)
            theirs = landing.shape.kernel_flat(kernel.parameters(kernel.surface, point), point)
            for p, q in zip(flat, theirs):
                agree("hole: place, mm", p, q)
            hole.append([kept(q) for q in flat])
    dihedral = {}
    for name, a in CROWN:
        psi = landing.dihedral(a)
        agree("dihedral: numbers / kernel, degrees", psi, kernel.dihedral(a))
        dihedral[name] = kept(psi)
    kernel.check_surfaces()
    # The tube's place unrounded, as a tilted tube a metre away would move.
    return {"name": name_of(case), "body": landing.shape.words, "od": landing.od, "wall": landing.wall,
            "touch": landing.touch, "at": landing.at, "axis": landing.axis, "front": landing.front,
            "curve": curve, "hole": hole, "dihedral": dihedral}


def cases():
    """Shape, tube, where (along, round), tilt, bearing, aside, touch."""
    thin, usual, thick, small = (48.26, 1.65), (60.3, 2.9), (60.0, 13.5), (12.0, 1.0)
    plate = Flat()
    for tilt, bearing, touch in ((0, 0, "wall"), (15, 0, "wall"), (30, 90, "wall"), (45, 200, "wall"),
                                 (60, 0, "wall"), (75, 310, "wall"), (80, 0, "wall"),
                                 (45, 0, "outside"), (45, 0, "inside"), (60, 120, "outside")):
        yield plate, usual, (40.0, 0.0), tilt, bearing, 0.0, touch
    yield plate, thick, (-300.0, 0.0), 50, 75, 0.0, "wall"
    yield plate, small, (5.0, 0.0), 70, 180, 0.0, "inside"
    hopper, reducer, steep, slim = Taper(300.0, 0.5), Taper(110.0, -0.25), Taper(200.0, -1.5), Taper(80.0, 0.02)
    for tilt, bearing, touch in ((0, 0, "wall"), (20, 0, "wall"), (20, 180, "wall"), (35, 90, "wall"),
                                 (50, 300, "wall"), (40, 0, "outside"), (40, 0, "inside")):
        yield hopper, usual, (60.0, 30.0), tilt, bearing, 0.0, touch
    for tilt, bearing, aside in ((0, 0, 0.0), (30, 180, 0.0), (45, 45, 0.0), (10, 90, 25.0), (0, 0, -40.0)):
        yield reducer, thin, (80.0, -75.0), tilt, bearing, aside, "wall"
    for tilt, bearing, aside, touch in ((0, 0, 0.0, "wall"), (30, 90, 0.0, "outside"), (25, 250, 30.0, "wall")):
        yield steep, usual, (20.0, 140.0), tilt, bearing, aside, touch
    for tilt, aside in ((0, 0.0), (55, 15.0), (0, 20.0)):
        yield slim, thick, (100.0, 0.0), tilt, 0, aside, "wall"
    yield hopper, small, (-200.0, 110.0), 60, 45, 0.0, "wall"
    head, ball, float_ball = Ball(286.0), Ball(60.0), Ball(25.0)
    for tilt, bearing, touch in ((0, 0, "wall"), (15, 0, "wall"), (30, 100, "wall"), (45, 0, "outside"),
                                 (45, 0, "inside"), (60, 210, "wall")):
        yield head, usual, (120.0, 40.0), tilt, bearing, 0.0, touch
    for tilt, aside, touch in ((0, 0.0, "wall"), (0, 15.0, "wall"), (20, -20.0, "wall"), (0, 29.0, "outside")):
        yield ball, usual, (30.0, 10.0), tilt, 90, aside, touch
    yield ball, thick, (0.0, 0.0), 0, 0, 20.0, "wall"
    yield ball, thick, (60.0, 200.0), 25, 60, -5.0, "wall"
    yield head, thin, (0.0, 0.0), 0, 0, 150.0, "wall"
    yield float_ball, small, (20.0, 300.0), 40, 15, 3.0, "inside"


if __name__ == "__main__":
    main(__doc__, Records(BODIES, "bodies", cases, compute, name_of))
