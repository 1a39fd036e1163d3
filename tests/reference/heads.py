#!/usr/bin/env python3
"""Reference cuts of tubes on dished heads, and of tubes that are cut to several bodies, made without the
program under test.

As in bodies.py every value is worked out in two independent ways that must
agree before a file is written:

1. numbers: a crown is a ball, a flange a cylinder, a knuckle a torus whose
   quartic numpy solves; an ellipsoid is a ball in stretched heights. Of
   several bodies each is asked for itself, and the first hit of all counts.
2. a CAD kernel (OpenCASCADE): the tube's straight lines meet the kernel's
   spherical, toroidal and cylindrical faces, an ellipsoid made by revolving
   an ellipse, and each body of a node for itself; of all hits the first.

    python tests/reference/heads.py             write shared/checks/heads.json and nodes.json
    python tests/reference/heads.py --check N   recompute every N-th record
                                                and compare with the files

heads.json, "heads", and nodes.json, "nodes", one record a line; millimetres
and degrees. As bodies.json, without holes, and with

    body       {"shape": "torisphere", "radius", "crown", "knuckle", "flange"},
               {"shape": "ellipsoid", "radius", "depth", "flange"}: about +y,
               the rim of its flange at y = 0
    bodies     of a node, the first the one that the tube is on; also
               {"shape": "cylinder", "radius", "at", "axis"}
    decider    [azimuth, number of the body whose hit is the cut there]
"""

import math

import numpy as np

from OCP.Geom import (Geom_CylindricalSurface, Geom_Ellipse, Geom_Line, Geom_SphericalSurface,
                      Geom_SurfaceOfRevolution, Geom_ToroidalSurface)
from OCP.GeomLProp import GeomLProp_SLProps
from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Lin, gp_Pnt, gp_Trsf, gp_Vec

from bodies import Ball, Flat, KernelLanding, Landing, Taper, Y_AXIS, add, cross, dot, times, unit
from joints import AZIMUTHS, CROWN, ORIGIN, ROOT, Z_AXIS, agree, cosd, crossings, golden, kept, sind
from records import Records, main

HEADS = ROOT / "shared" / "checks" / "heads.json"
NODES = ROOT / "shared" / "checks" / "nodes.json"
UPRIGHT = gp_Ax3(ORIGIN, gp_Dir(0, 1, 0), gp_Dir(0, 0, 1))


def lifted(height):
    return gp_Ax3(gp_Pnt(0, height, 0), gp_Dir(0, 1, 0), gp_Dir(0, 0, 1))


class Round:
    """What the heads share: faces of the kernel, each with where on it the head's skin is."""

    def hits(self, p, d):
        return [t for t in self.crosses(p, d) if dot(self.normal(add(p, d, t)), d) > 0.0]

    def kernel_hits(self, line):
        return [q for surface, is_on in self.faces() for q in crossings(line, surface) if is_on(q)]

    def kernel_normal(self, point):
        own = [face for face, is_on in self.faces() if is_on(point)]
        u, v = KernelLanding.parameters(None, own[0], point)
        normal = gp_Vec(GeomLProp_SLProps(own[0], u, v, 1, 1e-9).Normal())
        if normal.Dot(gp_Vec(*self.normal([point.X(), point.Y(), point.Z()]))) < 0.0:
            normal.Reverse()  # which side is out is not the kernel's to know
        return normal


class Flanged(Round):
    """A head over the cylinder of its flange."""

    def on_flange(self, p, d):
        a = d[0] ** 2 + d[2] ** 2
        if a < 1e-18:
            return []
        b = p[0] * d[0] + p[2] * d[2]
        square = b * b - a * (p[0] ** 2 + p[2] ** 2 - self.radius**2)
        if square < 0.0:
            return []
        found = [(-b - math.sqrt(square)) / a, (-b + math.sqrt(square)) / a]
        return [t for t in found if p[1] + t * d[1] <= self.flange]

    def flange_face(self):
        return Geom_CylindricalSurface(UPRIGHT, self.radius), lambda q: q.Y() <= self.flange


class Dished(Flanged):
    def __init__(self, radius, crown, knuckle, flange):
        self.radius, self.crown, self.knuckle, self.flange = radius, crown, knuckle, flange
        self.words = {"shape": "torisphere", "radius": radius, "crown": crown, "knuckle": knuckle, "flange": flange}
        self.ring = radius - knuckle
        self.middle = flange - math.sqrt((crown - knuckle) ** 2 - self.ring**2)
        # Where crown and knuckle meet: on the line through both their middles.
        self.meet = math.atan2(self.ring, flange - self.middle)

    def place(self, along, around):
        bend = self.crown * self.meet
        if along <= bend:
            angle = along / self.crown
            off, y = self.crown * math.sin(angle), self.middle + self.crown * math.cos(angle)
        else:
            angle = self.meet + (along - bend) / self.knuckle
            if angle > math.pi / 2.0:
                off, y = self.radius, self.flange - self.knuckle * (angle - math.pi / 2.0)
            else:
                off, y = self.ring + self.knuckle * math.sin(angle), self.flange + self.knuckle * math.cos(angle)
        return [off * sind(around), y, off * cosd(around)]

    def is_crown(self, off, y):
        return y > self.flange and off * math.cos(self.meet) <= (y - self.middle) * math.sin(self.meet)

    def crosses(self, p, d):
        found = self.on_flange(p, d)
        from_middle = add(p, [0.0, self.middle, 0.0], -1.0)
        b = dot(from_middle, d)
        square = b * b - dot(from_middle, from_middle) + self.crown**2
        if square >= 0.0:
            for t in (-b - math.sqrt(square), -b + math.sqrt(square)):
                q = add(p, d, t)
                if self.is_crown(math.hypot(q[0], q[2]), q[1]):
                    found.append(t)
        return found + self.on_knuckle(p, d)

    def on_knuckle(self, p, d):
        """The torus's quartic, about where the line is nearest to the torus's middle, and Newton's last digits."""
        start = add(p, [0.0, self.flange, 0.0], -1.0)
        near = -dot(start, d)
        q = add(start, d, near)
        k = dot(q, q) + self.ring**2 - self.knuckle**2
        a, b, c = d[0] ** 2 + d[2] ** 2, q[0] * d[0] + q[2] * d[2], q[0] ** 2 + q[2] ** 2
        four = 4.0 * self.ring**2
        found = []
        for root in np.roots([1.0, 0.0, 2.0 * k - four * a, -2.0 * four * b, k * k - four * c]):
            if abs(root.imag) > 1e-3:
                continue
            t = root.real
            for _ in range(40):
                x = add(q, d, t)
                off = math.hypot(x[0], x[2])
                value = math.hypot(off - self.ring, x[1]) - self.knuckle
                slope = ((off - self.ring) * (x[0] * d[0] + x[2] * d[2]) / off + x[1] * d[1]) / math.hypot(
                    off - self.ring, x[1])
                if abs(slope) < 1e-12 or abs(value / slope) < 1e-14:
                    break
                t -= value / slope
            x = add(q, d, t)
            off, y = math.hypot(x[0], x[2]), x[1] + self.flange
            if abs(value) < 1e-9 and off >= self.ring and y > self.flange and not self.is_crown(off, y):
                found.append(near + t)
        return found

    def normal(self, p):
        off = math.hypot(p[0], p[2])
        if p[1] <= self.flange:
            return [p[0] / off, 0.0, p[2] / off]
        if self.is_crown(off, p[1]):
            return unit(add(p, [0.0, self.middle, 0.0], -1.0))
        return unit([p[0] * (1.0 - self.ring / off), p[1] - self.flange, p[2] * (1.0 - self.ring / off)])

    def faces(self):
        def off(q):
            return math.hypot(q.X(), q.Z())

        crown = Geom_SphericalSurface(lifted(self.middle), self.crown)
        knuckle = Geom_ToroidalSurface(lifted(self.flange), self.ring, self.knuckle)
        return [(crown, lambda q: self.is_crown(off(q), q.Y())),
                (knuckle, lambda q: q.Y() > self.flange and off(q) >= self.ring and not self.is_crown(off(q), q.Y())),
                self.flange_face()]


class Egg(Flanged):
    def __init__(self, radius, depth, flange):
        self.radius, self.depth, self.flange = radius, depth, flange
        self.words = {"shape": "ellipsoid", "radius": radius, "depth": depth, "flange": flange}

    def place(self, along, around):
        # The eccentric angle is summed in small steps of the arc; where it ends is the tube's place, whatever it is.
        angle, left = 0.0, along
        while left > 0.0 and angle < math.pi / 2.0:
            speed = math.hypot(self.radius * math.cos(angle), self.depth * math.sin(angle))
            angle, left = angle + min(left, 0.5) / speed, left - 0.5
        off, y = self.radius * math.sin(angle), self.flange + self.depth * math.cos(angle)
        return [off * sind(around), y, off * cosd(around)]

    def crosses(self, p, d):
        m = self.radius / self.depth
        q, e = [p[0], m * (p[1] - self.flange), p[2]], [d[0], m * d[1], d[2]]
        a, b = dot(e, e), dot(q, e)
        square = b * b - a * (dot(q, q) - self.radius**2)
        found = self.on_flange(p, d)
        if square >= 0.0:
            both = ((-b - math.sqrt(square)) / a, (-b + math.sqrt(square)) / a)
            found += [t for t in both if p[1] + t * d[1] > self.flange]
        return found

    def normal(self, p):
        if p[1] <= self.flange:
            return unit([p[0], 0.0, p[2]])
        return unit([p[0] / self.radius**2, (p[1] - self.flange) / self.depth**2, p[2] / self.radius**2])

    def faces(self):
        # The ellipse in the plane of y and z, its longer axis along z, turned about y.
        ellipse = Geom_Ellipse(gp_Ax2(gp_Pnt(0, self.flange, 0), gp_Dir(1, 0, 0), gp_Dir(0, 0, 1)), self.radius,
                               self.depth)
        return [(Geom_SurfaceOfRevolution(ellipse, Y_AXIS), lambda q: q.Y() > self.flange), self.flange_face()]


class Pipe(Round):
    """A cylinder anywhere, without ends."""

    def __init__(self, radius, at, axis):
        self.radius, self.at, self.axis = radius, at, unit(axis)
        self.words = {"shape": "cylinder", "radius": radius, "at": at, "axis": self.axis}

    def place(self, along, around):
        out = unit(cross([0.3, 0.1, 0.9] if abs(self.axis[1]) > 0.9 else [0.0, 1.0, 0.0], self.axis))
        side = cross(self.axis, out)
        return add(add(self.at, self.axis, along),
                   add(times(out, self.radius * sind(around)), side, -self.radius * cosd(around)))

    def crosses(self, p, d):
        q = add(p, self.at, -1.0)
        q = add(q, self.axis, -dot(q, self.axis))
        e = add(d, self.axis, -dot(d, self.axis))
        a, b = dot(e, e), dot(q, e)
        square = b * b - a * (dot(q, q) - self.radius**2)
        return [] if square < 0.0 else [(-b - math.sqrt(square)) / a, (-b + math.sqrt(square)) / a]

    def normal(self, p):
        q = add(p, self.at, -1.0)
        return unit(add(q, self.axis, -dot(q, self.axis)))

    def faces(self):
        frame = gp_Ax3(gp_Pnt(*self.at), gp_Dir(*self.axis))
        return [(Geom_CylindricalSurface(frame, self.radius), lambda _q: True)]


class Plain(Round):
    """A plate, a ball or a cone of bodies.py, as a part of a node."""

    def __init__(self, shape):
        self.shape, self.words = shape, shape.words
        self.place, self.normal, self.crosses = shape.place, shape.normal, shape.hits

    def faces(self):
        cone = isinstance(self.shape, Taper)
        return [(self.shape.surface(), lambda q: not cone or self.shape.radius_at(q.Y()) > 0.0)]


def first(shape, p, d):
    """How far along `d`, which leads away from the body, the first hit is; none where the line misses."""
    try:
        found = shape.hits(p, d)
    except (ValueError, ZeroDivisionError):
        return None
    return max(found, default=None)


def largest_met(t, low, high, samples):
    """The largest t between two radii of those that there are: dense search, edges by halves, then golden section."""
    radii = [low + (high - low) * k / samples for k in range(samples + 1)]
    radii[-1] = high
    values = [t(radius) for radius in radii]
    for k in range(samples):
        if (values[k] is None) != (values[k + 1] is None):
            met, missed = (k, k + 1) if values[k] is not None else (k + 1, k)
            a, b = radii[met], radii[missed]
            for _ in range(60):
                middle = (a + b) / 2.0
                if t(middle) is None:
                    b = middle
                else:
                    a = middle
            radii[missed], values[missed] = a, t(a)
    there = [k for k in range(samples + 1) if values[k] is not None]
    if not there:
        return None
    best = max(there, key=lambda k: values[k])
    around = [k for k in (best - 1, best + 1) if k in there]
    ends = [radii[k] for k in around] + [radii[best]]

    def met(radius):
        value = t(radius)
        return -math.inf if value is None else value

    return max(values[best], golden(met, min(ends), max(ends), 1e-6)[1])


class Node(Landing):
    """A tube on the first of several bodies, cut to all of them; a head alone is a node of one."""

    def __init__(self, case):
        shapes, *rest = case
        self.parts = shapes
        super().__init__((shapes[0], *rest))

    def t_on(self, part, a, rho):
        return first(part, self.wall_line(a, rho), self.axis)

    def t(self, a, rho):
        return max(t for t in (self.t_on(part, a, rho) for part in self.parts) if t is not None)

    def marks(self, a):
        if self.touch == "wall":
            return [largest_met(lambda rho: self.t_on(part, a, rho), self.ri, self.r, 600) for part in self.parts]
        return [self.t_on(part, a, self.r if self.touch == "outside" else self.ri) for part in self.parts]

    def dihedral(self, a):
        found = [self.t_on(part, a, self.r) for part in self.parts]
        number = max((k for k, t in enumerate(found) if t is not None), key=lambda k: found[k])
        tube = add(times(self.front, cosd(a)), self.right, sind(a))
        body = self.parts[number].normal(add(self.wall_line(a, self.r), self.axis, found[number]))
        across = cross(body, tube)
        return math.degrees(math.atan2(math.sqrt(dot(across, across)), -dot(body, tube))), number


class KernelNode(KernelLanding):
    """The same in the kernel."""

    def __init__(self, node):
        self.parts = node.parts
        node.shape.surface = lambda: None
        super().__init__(node)

    def on_skin(self, line):
        return self.parts[0].kernel_hits(line)

    def points(self, part, a, rho):
        turn = gp_Trsf()
        turn.SetRotation(Z_AXIS, -math.radians(a))
        stand = gp_Lin(gp_Pnt(0, rho, 0), gp_Dir(0, 0, 1))
        return part.kernel_hits(Geom_Line(stand.Transformed(self.place.Multiplied(turn))))

    def t_on(self, part, a, rho):
        return max((self.along(q) for q in self.points(part, a, rho)), default=None)

    def marks(self, a):
        n = self.n
        if n.touch == "wall":
            return [largest_met(lambda rho: self.t_on(part, a, rho), n.ri, n.r, 12) for part in self.parts]
        return [self.t_on(part, a, n.r if n.touch == "outside" else n.ri) for part in self.parts]

    def dihedral(self, a, number):
        point = max(self.points(self.parts[number], a, self.n.r), key=self.along)
        body = self.parts[number].kernel_normal(point)
        tube_surface = self.tube_surface(self.n.r)
        u, v = self.parameters(tube_surface, point)
        tube = gp_Vec(GeomLProp_SLProps(tube_surface, u, v, 1, 1e-9).Normal())
        return math.degrees(math.atan2(body.Crossed(tube).Magnitude(), -body.Dot(tube)))


def highest(marks):
    return max((k for k, t in enumerate(marks) if t is not None), key=lambda k: marks[k])


def compute(case):
    """One record, after both ways have agreed."""
    node = Node(case)
    kernel = KernelNode(node)
    for what, mine, theirs in (("at", node.at, kernel.at), ("axis", node.axis, kernel.axis),
                               ("front", node.front, kernel.front)):
        for p, q in zip(mine, (theirs.X(), theirs.Y(), theirs.Z())):
            agree(f"tube's place: {what}", p, q, 1e-7)
    curve, decider = [], []
    for a in AZIMUTHS:
        mine, theirs = node.marks(a), kernel.marks(a)
        number = highest(mine)
        agree("curve: t, mm", mine[number], theirs[highest(theirs)])
        curve.append([a, kept(mine[number])])
        decider.append([a, number])
    dihedral = {}
    for name, a in CROWN:
        psi, number = node.dihedral(a)
        agree("dihedral: numbers / kernel, degrees", psi, kernel.dihedral(a, number), 2e-6)
        dihedral[name] = kept(psi)
    bodies = [part.words for part in node.parts]
    what = {"body": bodies[0]} if len(bodies) == 1 else {"bodies": bodies, "decider": decider}
    return {"name": name_of(case), **what, "od": node.od, "wall": node.wall, "touch": node.touch, "at": node.at,
            "axis": node.axis, "front": node.front, "curve": curve, "dihedral": dihedral}


def told(shape):
    words = shape.words
    return words["shape"] + "".join(f" {value:g}" for key, value in words.items()
                                    if isinstance(value, (int, float)))


def name_of(case):
    shapes, (od, wall), (along, around), tilt, bearing, aside, touch = case
    return (f"{od:g}x{wall:g} on {' and '.join(told(shape) for shape in shapes)} at {along:g}, {around:g}deg"
            f" tilt {tilt:g} bearing {bearing:g} aside {aside:g} {touch}")


THIN, USUAL, THICK, SMALL = (48.26, 1.65), (60.3, 2.9), (60.0, 13.5), (12.0, 1.0)


def heads():
    """Shapes, tube, where (along, round), tilt, bearing, aside, touch."""
    kloepper, korbbogen = Dished(300.0, 600.0, 60.0, 0.0), Dished(300.0, 480.0, 92.4, 40.0)
    asme, deep = Dished(150.0, 300.0, 18.0, 25.0), Dished(286.95, 320.0, 240.0, 10.0)
    flat, half = Egg(300.0, 150.0, 0.0), Egg(150.0, 75.0, 30.0)
    tall, bottle = Egg(118.0, 110.0, 20.0), Egg(150.0, 40.0, 0.0)
    # On the crown, over where crown and knuckle meet, on the knuckle, over where it begins to bend.
    for head, places in ((kloepper, (0.0, 150.0, 255.0, 300.0)), (korbbogen, (60.0, 210.0, 290.0, 350.0)),
                         (asme, (90.0, 130.0, 150.0)), (deep, (100.0, 330.0))):
        for number, along in enumerate(places):
            yield [head], THIN if number % 2 else SMALL, (along, 40.0 * number), 0, 0, 0.0, "wall"
            yield [head], THIN, (along, 200.0 + number), 25, 70 * number, 6.0, ("wall", "outside", "inside")[number % 3]
    yield [kloepper], THICK, (250.0, 10.0), 40, 180, 0.0, "wall"
    yield [korbbogen], THICK, (280.0, -30.0), 15, 100, -12.0, "wall"
    yield [asme], USUAL, (60.0, 0.0), 35, 0, 0.0, "wall"
    for head, places in ((flat, (0.0, 130.0, 260.0, 340.0)), (half, (60.0, 130.0, 175.0)), (tall, (0.0, 120.0)),
                         (bottle, (70.0,))):
        for number, along in enumerate(places):
            yield [head], THIN if number % 2 else SMALL, (along, 55.0 * number), 0, 0, 0.0, "wall"
            yield [head], THIN, (along, 300.0 - number), 20, 80 * number, 5.0, ("wall", "inside", "outside")[number % 3]
    yield [flat], THICK, (200.0, 90.0), 30, 200, 0.0, "wall"
    # More of both, between and beyond these places, leaning to every side.
    touches = ("outside", "wall", "inside")
    for head, places in ((kloepper, (80.0, 200.0, 270.0)), (korbbogen, (130.0, 250.0, 320.0)),
                         (asme, (40.0, 110.0, 140.0)), (deep, (180.0, 250.0, 300.0))):
        for number, along in enumerate(places):
            yield ([head], USUAL, (along, -70.0 - 20.0 * number), 30 - 10 * number, 45 + 130 * number, -8.0,
                   touches[number])
    shallow = Egg(250.0, 100.0, 10.0)
    for head, places in ((flat, (60.0, 180.0, 300.0, 330.0)), (half, (30.0, 90.0, 150.0, 165.0)),
                         (tall, (60.0, 100.0, 140.0)), (bottle, (30.0, 100.0, 130.0)), (shallow, (50.0, 150.0, 240.0))):
        for number, along in enumerate(places):
            yield ([head], USUAL, (along, -50.0 - 25.0 * number), 28 - 8 * number, 20 + 110 * number, -7.0,
                   touches[(number + 1) % 3])
    for head, along in ((flat, 120.0), (half, 100.0), (tall, 70.0), (shallow, 180.0)):
        yield [head], THICK, (along, 15.0), 18, 250, 4.0, "wall"


def braces(header, *ways):
    """Pipes that leave a pipe along +y from its axis: radius, angle from +y in degrees, turn about y, place along y."""
    return [header] + [Pipe(radius, [0.0, along, 0.0],
                            [sind(angle) * sind(turn), cosd(angle), sind(angle) * cosd(turn)])
                       for radius, angle, turn, along in ways]


def nodes():
    """The same of several bodies; the tube leans on the first, from a place near the others."""
    header = Pipe(30.15, [0.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    wide = Pipe(57.15, [0.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    slim, usual, thick = (42.4, 2.6), (48.3, 3.2), (42.0, 9.0)
    # `place` counts its turn from the header's own side: 180 is towards +z.
    for along, tilt, tube, touch in ((-25.3, 40, slim, "wall"), (-35.0, 40, slim, "wall"), (-10.0, 20, slim, "wall"),
                                     (-45.0, 55, slim, "wall"), (-25.3, 40, slim, "outside"),
                                     (-25.3, 40, slim, "inside"), (-25.3, 40, thick, "wall"),
                                     (-30.0, 30, thick, "wall"), (20.0, 0, slim, "wall"), (5.0, 0, usual, "wall")):
        yield braces(header, (24.13, 60.0, 0.0, 0.0)), tube, (along, 180.0), tilt, 180, 0.0, touch
    for along, turn, tilt, bearing, aside in ((-20.0, 60.0, 30, 180, 0.0), (0.0, 70.0, 0, 0, 0.0),
                                              (10.0, -80.0, 15, 200, 4.0), (-30.0, 45.0, 45, 180, -5.0),
                                              (25.0, 90.0, 20, 90, 0.0)):
        yield (braces(wide, (24.15, 70.0, turn, 0.0)), usual, (along, 180.0), tilt, bearing, aside, "wall")
    # Two and three braces besides the header.
    for along, tilt, touch in ((0.0, 0, "wall"), (6.0, 10, "wall"), (-8.0, 0, "outside"), (0.0, 0, "inside"),
                               (12.0, 25, "wall")):
        yield (braces(header, (21.2, 45.0, 0.0, 12.0), (21.2, 135.0, 0.0, -12.0)), slim, (along, 180.0), tilt, 0, 0.0,
               touch)
    for along, tilt, bearing, tube in ((0.0, 0, 0, usual), (10.0, 15, 30, usual), (0.0, 0, 0, thick),
                                       (-15.0, 20, 160, slim), (5.0, 5, 300, slim)):
        yield (braces(wide, (24.15, 50.0, 0.0, 20.0), (21.2, 130.0, 15.0, -20.0), (16.85, 90.0, 60.0, 0.0)), tube,
               (along, 180.0), tilt, bearing, 0.0, "wall")
    for along, tilt, bearing, touch in ((4.0, 12, 20, "outside"), (-4.0, 8, 340, "inside"), (9.0, 18, 10, "wall"),
                                        (-9.0, 5, 170, "wall"), (2.0, 3, 90, "wall")):
        yield (braces(header, (21.2, 50.0, 0.0, 10.0), (16.85, 130.0, 5.0, -10.0)), slim, (along, 180.0), tilt, bearing, 0.0,
               touch)
    for along, tilt, bearing, touch in ((3.0, 8, 40, "outside"), (-6.0, 10, 200, "inside"), (8.0, 12, 20, "wall"),
                                        (-3.0, 4, 120, "wall"), (0.0, 15, 330, "wall")):
        yield (braces(wide, (21.2, 55.0, 0.0, 18.0), (24.15, 125.0, -10.0, -18.0), (13.45, 90.0, -55.0, 0.0)), slim,
               (along, 180.0), tilt, bearing, 0.0, touch)
    # Of which another is a plate, a ball, a cone, a head, or which stand on those.
    plate, ball = Plain(Flat()), Plain(Ball(60.0))
    post = Pipe(30.0, [0.0, 0.0, 0.0], [0.0, 0.0, 1.0])
    for along, tilt, bearing, tube in ((35.0, 0, 0, slim), (60.0, 50, 0, slim), (45.0, 30, 20, thick),
                                       (55.0, 45, 330, usual), (40.0, 0, 0, (80.0, 40.0 / 8.0))):
        yield [plate, post], tube, (along, 0.0), tilt, bearing, 0.0, "wall"
    knob = Pipe(16.0, [0.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    for along, tilt, touch in ((35.0, 0, "wall"), (45.0, 20, "wall"), (40.0, 10, "outside")):
        yield [ball, knob], SMALL if tilt == 20 else (33.7, 2.6), (along, 10.0), tilt, 180, 0.0, touch
    head = Dished(300.0, 600.0, 60.0, 30.0)
    filler = Pipe(24.13, [0.0, 0.0, 60.0], [0.0, 1.0, 0.0])
    for along, tilt, bearing in ((95.0, 20, 180), (100.0, 0, 0), (110.0, 35, 170), (90.0, 10, 90)):
        yield [head, filler], slim, (along, 0.0), tilt, bearing, 0.0, "wall"
    drum, hopper = Pipe(286.95, [0.0, 0.0, 0.0], [0.0, 1.0, 0.0]), Plain(Taper(300.0, 0.5))
    ring = Pipe(295.0, [0.0, 0.0, 4.0], [0.0, 1.0, 0.02])
    yield [drum, ring], usual, (0.0, 170.0), 20, 30, 0.0, "wall"
    yield [drum, Plain(Ball(290.0))], usual, (-30.0, 190.0), 10, 0, 0.0, "wall"
    yield [drum, hopper], usual, (-26.0, 180.0), 0, 0, 0.0, "wall"


if __name__ == "__main__":
    main(__doc__, Records(HEADS, "heads", heads, compute, name_of), Records(NODES, "nodes", nodes, compute, name_of))
