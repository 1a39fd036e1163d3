"""Bodies as implicit surfaces in their own frame: y along the axis, z towards the zero line; a plate's outside is +z.

A line is met by putting it into the surface's function: three values of it along the line make the quadratic, whose
roots are polished on the function itself.
"""

import numpy as np
from scipy.interpolate import CubicHermiteSpline, CubicSpline
from scipy.optimize import brentq
from scipy.spatial import cKDTree

from vectors import roots

# Places and weights of Gauss's rule.
GAUSS = np.polynomial.legendre.leggauss(5)


class Shape:
    """A body with its place. `wall` is None where it isn't known."""

    is_flat = is_ball = False
    length = None

    def stand(self, origin, axis, zero):
        self.origin, self.y, self.z = (np.asarray(v, float) for v in (origin, axis, zero))
        self.x = np.cross(self.y, self.z)
        return self

    def own(self, p):
        return (np.asarray(p) - self.origin) @ np.array([self.x, self.y, self.z]).T

    def out_of_own(self, p):
        return self.origin + np.asarray(p) @ np.array([self.x, self.y, self.z])

    def turn(self, v):
        return np.asarray(v) @ np.array([self.x, self.y, self.z]).T

    def turn_back(self, v):
        return np.asarray(v) @ np.array([self.x, self.y, self.z])

    # The surface's function of own places, quadratic along any line: f, its gradient, and whether a place counts.

    def counts(self, p):
        return np.ones(p.shape[:-1], bool)

    def normal(self, p):
        """Out of the skin, at places in space on or near it."""
        slope = self.gradient(self.own(p))
        return self.turn_back(slope / np.linalg.norm(slope, axis=-1, keepdims=True))

    def normal_from_flat(self, uv, along, around):
        return self.normal(self.from_flat(uv, along, around))

    def hits(self, p, d):
        """How far along d from each of the places p the skin is met, coming from far out on the side of d."""
        q, e = self.own(p), self.turn(d)
        reach = 100.0
        here, ahead, behind = self.f(q), self.f(q + reach * e), self.f(q - reach * e)
        a = (ahead + behind - 2.0 * here) / (2.0 * reach**2)
        b = (ahead - behind) / (2.0 * reach)
        with np.errstate(all="ignore"):
            square = b * b - 4.0 * a * here
            # A graze meets, whatever rounding makes of it.
            is_graze = (square < 0.0) & (square > -1e-10 * (b * b + np.abs(4.0 * a * here)))
            root = np.sqrt(np.where(is_graze, 0.0, square))
            stable = -0.5 * (b + np.where(b >= 0.0, root, -root))
            linear = np.abs(a) * reach < 1e-11 * np.abs(b)
            roots = np.where(linear, [-here / b, np.full_like(b, np.nan)], [stable / a, here / stable])
            best = np.full(here.shape, -np.inf)
            for t in roots:
                for _ in range(2):
                    at = q + t[..., None] * e
                    step = self.f(at) / (self.gradient(at) @ e)
                    t = t - np.where(np.abs(step) < 1.0, step, 0.0)
                at = q + t[..., None] * e
                enters = np.isfinite(t) & (self.gradient(at) @ e > -1e-6 * reach) & self.counts(at)
                best = np.where(enters & (t > best), t, best)
        return np.where(np.isfinite(best), best, np.nan)


class Plate(Shape):
    is_flat = True

    def __init__(self, wall=None, edges=None):
        self.wall, self.edges = wall, edges

    def inner(self):
        return Plate().stand(self.origin - self.wall * self.z, self.y, self.z)

    def f(self, q):
        return q[..., 2]

    def gradient(self, q):
        return np.broadcast_to([0.0, 0.0, 1.0], q.shape)

    def site(self, along, around):
        return self.out_of_own([around, along, 0.0])

    def place_of(self, p):
        x, y, _ = self.own(p)
        return y, x

    def angle_of(self, along, arc):
        return arc

    def arc_of(self, along, around):
        return around

    def from_flat(self, uv, along, around):
        return self.out_of_own(np.stack([around + uv[..., 0], along + uv[..., 1], 0.0 * uv[..., 0]], -1))

    def to_flat(self, p):
        return self.own(p)[..., :2]

    images = [None]

    def apart(self, p):
        """From places to the half-space under it, or to the plate as thick as it is, with its edges."""
        q = self.own(p)
        if self.edges is None:
            return q[..., 2]
        wall = self.wall or 0.0
        out = np.stack([np.abs(q[..., 0]) - self.edges[0] / 2.0, np.abs(q[..., 1]) - self.edges[1] / 2.0,
                        np.abs(q[..., 2] + wall / 2.0) - wall / 2.0], -1)
        return np.where(out.max(-1) > 0.0, np.linalg.norm(np.maximum(out, 0.0), axis=-1), out.max(-1))

    def to_end(self, p):
        if self.edges is None:
            return None
        q = self.own(p)
        return np.minimum(self.edges[0] / 2.0 - np.abs(q[..., 0]), self.edges[1] / 2.0 - np.abs(q[..., 1]))


class Ball(Shape):
    is_ball = True

    def __init__(self, radius, wall=None):
        self.radius, self.wall = radius, wall

    def inner(self):
        return Ball(self.radius - self.wall).stand(self.origin, self.y, self.z)

    def f(self, q):
        return (q * q).sum(-1) - self.radius**2

    def gradient(self, q):
        return 2.0 * q

    def site(self, along, around):
        polar = along / self.radius
        return self.out_of_own(self.radius * np.array(
            [np.sin(polar) * np.sin(around), np.cos(polar), np.sin(polar) * np.cos(around)]))

    def angle_of(self, along, arc):
        return arc / (self.radius * np.sin(along / self.radius))

    def apart(self, p):
        return np.linalg.norm(self.own(p), axis=-1) - self.radius


class Standing(Shape):
    """What has an axis from y = 0 to `length`."""

    def site(self, along, around):
        r = self.reach(along, around)
        return self.out_of_own([r * np.sin(around), along, r * np.cos(around)])

    def place_of(self, p):
        q = self.own(p)
        return q[1], np.arctan2(q[0], q[2])

    def apart(self, p):
        """From places to the solid with its flat ends; below 0 inside."""
        q = self.own(p)
        out, past = self.out_by(q), np.maximum(-q[..., 1], q[..., 1] - self.length)
        return np.where((out <= 0.0) | (past <= 0.0), np.maximum(out, past), np.hypot(out, past))

    def to_end(self, p):
        y = self.own(p)[..., 1]
        return np.minimum(y, self.length - y) * self.slant


class Cylinder(Standing):
    slant = 1.0

    def __init__(self, radius, wall, length):
        self.radius, self.wall, self.length = radius, wall, length
        self.images = [np.array([turns * 2.0 * np.pi * radius, 0.0]) for turns in (-1, 0, 1)]

    def inner(self):
        return Cylinder(self.radius - self.wall, None, self.length).stand(self.origin, self.y, self.z)

    def f(self, q):
        return q[..., 0] ** 2 + q[..., 2] ** 2 - self.radius**2

    def gradient(self, q):
        return 2.0 * q * [1.0, 0.0, 1.0]

    def reach(self, _along, _around):
        return self.radius

    def angle_of(self, _along, arc):
        return arc / self.radius

    def arc_of(self, _along, around):
        return around * self.radius

    def from_flat(self, uv, along, around):
        turn = around + uv[..., 0] / self.radius
        return self.out_of_own(
            np.stack([self.radius * np.sin(turn), along + uv[..., 1], self.radius * np.cos(turn)], -1))

    def to_flat(self, p):
        q = self.own(p)
        return np.stack([self.radius * np.arctan2(q[..., 0], q[..., 2]), q[..., 1]], -1)

    def out_by(self, q):
        return np.hypot(q[..., 0], q[..., 2]) - self.radius

    def bore_area(self):
        return np.pi * (self.radius - self.wall) ** 2


class Cone(Standing):
    def __init__(self, radius, radius_to, wall, length):
        self.radius, self.radius_to, self.wall, self.length = radius, radius_to, wall, length
        self.grows = (radius_to - radius) / length
        self.half = np.arctan(abs(self.grows))
        self.slant = 1.0 / np.cos(self.half)

    def inner(self):
        # Square to the skin by the wall: the tip moves up the axis.
        less = self.wall / np.cos(self.half)
        return Cone(self.radius - less, self.radius_to - less, None, self.length).stand(self.origin, self.y, self.z)

    def f(self, q):
        return q[..., 0] ** 2 + q[..., 2] ** 2 - self.reach(q[..., 1], 0.0) ** 2

    def gradient(self, q):
        return 2.0 * np.stack([q[..., 0], -self.grows * self.reach(q[..., 1], 0.0), q[..., 2]], -1)

    def counts(self, q):
        return self.reach(q[..., 1], 0.0) > 0.0

    def reach(self, along, _around):
        return self.radius + self.grows * along

    def angle_of(self, along, arc):
        return arc / self.reach(along, 0.0)

    def arc_of(self, along, around):
        return around * self.reach(along, 0.0)

    def from_flat(self, uv, along, around):
        sign, sine = np.sign(self.grows), np.sin(self.half)
        start = self.reach(along, 0.0) / sine
        # From the tip: away from it is up where the cone widens upwards.
        away = start + sign * uv[..., 1]
        far, turn = np.hypot(uv[..., 0], away), around + np.arctan2(uv[..., 0], away) / sine
        r = far * sine
        return self.out_of_own(np.stack([r * np.sin(turn), (r - self.radius) / self.grows, r * np.cos(turn)], -1))

    def to_flat(self, p):
        """Distance from the tip, and the angle in the flat sector."""
        q = self.own(p)
        sine = np.sin(self.half)
        return np.stack([np.hypot(q[..., 0], q[..., 2]) / sine, np.arctan2(q[..., 0], q[..., 2]) * sine], -1)

    def out_by(self, q):
        raise NotImplementedError

    def apart(self, p):
        q = self.own(p)
        at = np.stack([np.hypot(q[..., 0], q[..., 2]), q[..., 1]], -1)
        corners = np.array([[0.0, 0.0], [self.radius, 0.0], [self.radius_to, self.length], [0.0, self.length]])
        far = np.full(at.shape[:-1], np.inf)
        inside = np.ones(at.shape[:-1], bool)
        for a, b in zip(corners[:-1], corners[1:]):
            run = b - a
            share = np.clip(((at - a) @ run) / (run @ run), 0.0, 1.0)
            far = np.minimum(far, np.linalg.norm(at - a - share[..., None] * run, axis=-1))
            # Inside is to the left of each side.
            inside &= run[0] * (at[..., 1] - a[1]) - run[1] * (at[..., 0] - a[0]) >= 0.0
        return np.where(inside, -far, far)


class Oval(Standing):
    """A cylinder whose section is r over the angle about the axis, or an ellipse."""

    slant = 1.0
    LOOKS = 1440

    def __init__(self, curve, wall, length, inset=0.0):
        self.curve, self.wall, self.length, self.inset = curve, wall, length, inset
        self.known, self.halves = {}, {}
        self.u = np.linspace(0.0, 2.0 * np.pi, self.LOOKS + 1)
        self.skin = self.at(self.u)[0]
        self.tree = cKDTree(self.skin)
        # Arc lengths by Gauss's rule between the looks.
        nodes, weights = GAUSS
        step = self.u[1]
        inner = self.u[:-1, None] + step * 0.5 * (nodes + 1.0)
        pace = np.linalg.norm(self.at(inner.ravel())[1], axis=-1).reshape(inner.shape)
        self.arcs = np.concatenate([[0.0], np.cumsum(pace @ weights * 0.5 * step)])
        self.girth = self.arcs[-1]
        self.usual = self.girth / (2.0 * np.pi)
        # Back from arcs to places, good to a millionth of a millimetre.
        self.of_arc = CubicHermiteSpline(self.arcs, self.u, 1.0 / np.linalg.norm(self.at(self.u)[1], axis=-1))
        self.images = [np.array([turns * self.girth, 0.0]) for turns in (-1, 0, 1)]

    def at(self, u):
        """Places (x, z), how they move with u, and the normals."""
        p, dp, ddp = self.curve(u)
        pace = np.linalg.norm(dp, axis=-1, keepdims=True)
        # Along +u is to the right: outwards is to its left.
        n = np.stack([-dp[..., 1], dp[..., 0]], -1) / pace
        n = n * np.sign((n * p).sum(-1, keepdims=True))
        bends = np.abs(dp[..., :1] * ddp[..., 1:] - dp[..., 1:] * ddp[..., :1]) / pace**3
        return p - self.inset * n, dp * (1.0 - self.inset * bends), n

    def inner(self):
        return Oval(self.curve, None, self.length, self.wall).stand(self.origin, self.y, self.z)

    def hits(self, p, d):
        q, e = self.own(p), self.turn(d)
        flat = np.array([e[0], e[2]])
        pace = np.linalg.norm(flat)
        if pace < 1e-9:
            return np.full(q.shape[:-1], np.nan)
        way = flat / pace
        side = np.array([way[1], -way[0]])
        if tuple(way) not in self.halves:
            self.halves[tuple(way)] = self.half_that_faces(way, side)
        first, last, places, reached = self.halves[tuple(way)]
        offset = np.stack([q[..., 0], q[..., 2]], -1) @ side
        low, high = reached[0], reached[-1]
        meets = (offset - low) * (offset - high) <= 0.0
        shape = offset.shape
        wanted = np.where(meets, offset, 0.5 * (low + high)).ravel()
        rising = 1.0 if reached[-1] > reached[0] else -1.0
        u = np.interp(rising * wanted, rising * reached, places)
        for _ in range(4):
            p, dp, _ = self.at(u)
            off, rise = p @ side - wanted, dp @ side
            u = np.clip(u - off / np.where(np.abs(rise) > 1e-9, rise, np.inf), first, last)
        # Beside the ends, where the skin runs along the line, by halves.
        left = np.abs(self.at(u)[0] @ side - wanted) > 1e-11 * self.girth
        if left.any():
            rest = wanted[left]
            u[left] = roots(lambda u: self.at(u)[0] @ side - rest, np.full(rest.shape, first), np.full(rest.shape, last), 1e-15)
        t = (self.at(u)[0] @ way).reshape(shape) - np.stack([q[..., 0], q[..., 2]], -1) @ way
        return np.where(meets, t / pace, np.nan)

    def half_that_faces(self, way, side):
        """From where to where the skin faces a way square to its axis, and how far to its side places between reach."""
        # Farthest to either side, then the half between them that faces the way.
        ends = []
        for sign in (1.0, -1.0):
            near = self.u[np.argmax(sign * self.skin @ side)]
            step = self.u[1]
            ends.append(float(roots(lambda u: sign * (self.at(u)[1] @ side), [near - step], [near + step], 1e-15)[0]))
        first, last = min(ends), max(ends)
        if self.at(np.array([0.5 * (first + last)]))[0][0] @ way < np.mean(self.skin @ way):
            first, last = last, first + 2.0 * np.pi
        places = np.linspace(first, last, self.LOOKS)
        return first, last, places, self.at(places)[0] @ side

    def u_of(self, p):
        """Under places in space: the parameter whose normal leads to them."""
        q = self.own(p)
        at = np.stack([q[..., 0], q[..., 2]], -1)
        return self._nearest(at)

    def _nearest(self, at):
        shape = at.shape[:-1]
        flat = at.reshape(-1, 2)
        near = u = self.u[self.tree.query(flat)[1]]
        step = 1.5 * self.u[1]
        for _ in range(4):
            # Along the skin by how far the place is from straight over it; the skin's bend hardly matters so near.
            p, dp, n = self.at(u)
            pace = (dp * dp).sum(-1)
            lift = ((flat - p) * n).sum(-1)
            u = np.clip(u + ((flat - p) * dp).sum(-1) / pace / (1.0 + lift / self.usual), near - step, near + step)
        return u.reshape(shape)

    def out_by(self, q):
        at = np.stack([q[..., 0], q[..., 2]], -1)
        skin, _, n = self.at(self._nearest(at))
        return ((at - skin) * n).sum(-1)

    def normal(self, p):
        n = self.at(self.u_of(p))[2]
        return self.turn_back(np.stack([n[..., 0], 0.0 * n[..., 0], n[..., 1]], -1))

    def reach(self, _along, around):
        u = self.u_at(around)
        return np.linalg.norm(self.at(np.array([u]))[0][0])

    def u_at(self, around):
        """Where the angle about the axis is `around`; found once."""
        around = float(around)
        if around not in self.known:
            x, z = self.skin[:-1].T
            near = self.u[np.argmax(np.cos(np.arctan2(x, z) - around))]

            def off(u):
                x, z = self.at(np.atleast_1d(u))[0][0]
                return np.sin(np.arctan2(x, z) - around)

            self.known[around] = brentq(off, near - 2 * self.u[1], near + 2 * self.u[1], xtol=1e-14)
        return self.known[around]

    def arc_at(self, u):
        turns = np.floor(u / (2.0 * np.pi))
        u = u - turns * 2.0 * np.pi
        cell = np.minimum((u / self.u[1]).astype(int), self.LOOKS - 1)
        nodes, weights = GAUSS
        width = u - self.u[cell]
        places = self.u[cell][..., None] + width[..., None] * 0.5 * (nodes + 1.0)
        pace = np.linalg.norm(self.at(places)[1], axis=-1)
        return self.arcs[cell] + (pace @ weights) * 0.5 * width + turns * self.girth

    def zero_arc(self):
        return self.arc_at(np.array([self.u_at(0.0)]))[0]

    def arc_of(self, _along, around):
        u = self.u_at(around)
        arc = self.arc_at(np.array([u]))[0] - self.zero_arc()
        # The nearest to that of a circle.
        usual = around / (2.0 * np.pi) * self.girth
        return arc + np.round((usual - arc) / self.girth) * self.girth

    def angle_of(self, along, arc):
        usual = arc / self.girth * 2.0 * np.pi
        return brentq(lambda around: self.arc_of(along, around) - arc, usual - 1.0, usual + 1.0, xtol=1e-13)

    def u_from_flat(self, uv, around):
        start = self.arc_at(np.array([self.u_at(around)]))[0]
        arc = start + uv[..., 0]
        turns = np.floor(arc / self.girth)
        return self.of_arc(arc - turns * self.girth) + turns * 2.0 * np.pi

    def from_flat(self, uv, along, around):
        p = self.at(self.u_from_flat(uv, around))[0]
        return self.out_of_own(np.stack([p[..., 0], along + uv[..., 1], p[..., 1]], -1))

    def normal_from_flat(self, uv, along, around):
        """At the same places."""
        n = self.at(self.u_from_flat(uv, around))[2]
        return self.turn_back(np.stack([n[..., 0], 0.0 * n[..., 0], n[..., 1]], -1))

    def to_flat(self, p):
        arc = self.arc_at(self.u_of(p)) - self.zero_arc()
        return np.stack([arc - np.round(arc / self.girth) * self.girth, self.own(p)[..., 1]], -1)

    def bore_area(self):
        inner = self.inner().skin[:-1]
        ahead = np.roll(inner, -1, axis=0)
        return 0.5 * abs(np.sum(inner[:, 0] * ahead[:, 1] - inner[:, 1] * ahead[:, 0]))


def ellipse(across, at):
    """Two diameters, the first at an angle in radians."""
    first = across[0] / 2.0 * np.array([np.sin(at), np.cos(at)])
    second = across[1] / 2.0 * np.array([np.cos(at), -np.sin(at)])

    def curve(u):
        c, s = np.cos(u)[..., None], np.sin(u)[..., None]
        return c * first + s * second, c * second - s * first, -c * first - s * second

    return curve


def polar(radius):
    """From a function of the angle with its first and second derivatives."""

    def curve(u):
        r, dr, ddr = (values[..., None] for values in radius(u))
        sine, cosine = np.sin(u), np.cos(u)
        out, on = np.stack([sine, cosine], -1), np.stack([cosine, -sine], -1)
        return r * out, dr * out + r * on, ddr * out + 2.0 * dr * on - r * out

    return curve


def through(angles, radii):
    """A radius that runs smoothly through what is measured, and its first and second derivatives."""
    order = np.argsort(np.mod(angles, 2.0 * np.pi))
    a, r = np.mod(angles, 2.0 * np.pi)[order], np.asarray(radii, float)[order]
    spline = CubicSpline(np.append(a, a[0] + 2.0 * np.pi), np.append(r, r[0]), bc_type="periodic")

    def radius(u):
        u = np.mod(u - a[0], 2.0 * np.pi)
        piece = np.clip(np.searchsorted(spline.x - a[0], u, side="right") - 1, 0, len(a) - 1)
        c, x = spline.c[:, piece], u - (spline.x[piece] - a[0])
        return ((c[0] * x + c[1]) * x + c[2]) * x + c[3], (3 * c[0] * x + 2 * c[1]) * x + c[2], 6 * c[0] * x + 2 * c[1]

    return radius


def measured(section, girth):
    """The curve of a job's `section`, angles given in degrees."""
    degrees = lambda word: np.radians(float(str(word).replace("deg", "")))
    if "oval" in section:
        return ellipse(section["oval"], degrees(section.get("at", "0deg")))
    if "diameters" in section:
        places = section["diameters"]
        angles = [degrees(place["at"]) for place in places]
        radii = [place["across"] / 2.0 for place in places]
        return polar(through(np.array(angles + [a + np.pi for a in angles]), radii + radii))
    angles = np.array([degrees(place["at"]) for place in section["offsets"]])
    out = np.array([place["out"] for place in section["offsets"]])
    usual = girth / (2.0 * np.pi)
    off = lambda radius: Oval(polar(through(angles, radius + out)), None, 1.0).girth - girth
    radius = brentq(off, 0.8 * usual, 1.2 * usual, xtol=1e-10)
    return polar(through(angles, radius + out))
