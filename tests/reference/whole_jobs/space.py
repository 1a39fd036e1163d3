"""A job's words to things in space, as the README and the schema describe them: bodies, legs of tubes, their ends."""

import numpy as np

from sections import Round, Sides
from shapes import Ball, Cone, Cylinder, Oval, Plate, measured
from vectors import across, unit, usual_zero


class Refused(Exception):
    """The model itself finds that the job can't be made; the word says why."""


def numbers(size):
    """`48.3mm x 3mm`, `rect 60mm x 40mm x 3mm r 5mm` to plain numbers."""
    for word in ("rect", "girth", "mm", "x", "r"):
        size = size.replace(word, " ")
    return [float(part) for part in size.split()]


class Stock:
    def __init__(self, size):
        n = numbers(size)
        if size.startswith("rect"):
            self.section, self.wall = Sides(n[0], n[1], n[3]), n[2]
        else:
            self.section, self.wall = Round(n[0]), n[1]
        self.bore = self.section.grown(-self.wall)


def body_of(words):
    shape = words["shape"]
    zero = words.get("zero")
    if shape in ("cylinder", "cone"):
        origin, far = np.array(words["from"], float), np.array(words["to"], float)
        axis, length = unit(far - origin), np.linalg.norm(far - origin)
        size = numbers(words["size"])
        if "section" in words:
            made = Oval(measured(words["section"], size[0]), size[1], length)
        elif shape == "cone":
            made = Cone(size[0] / 2.0, numbers(words["size_to"])[0] / 2.0, size[1], length)
        else:
            made = Cylinder(size[0] / 2.0, size[1], length)
    elif shape == "plane":
        edges = (words["wide"], words["high"]) if "wide" in words else None
        made, origin, axis = Plate(words.get("size"), edges), words["at"], unit(words["out"])
    else:
        size = numbers(words["size"])
        made = Ball(size[0] / 2.0, size[1] if len(size) > 1 else None)
        origin, axis = words["at"], unit(words.get("out", [0, 0, 1]))
    zero = across(zero, axis) if zero is not None else usual_zero(axis)
    if shape == "plane":
        made.stand(origin, zero, axis)
    else:
        made.stand(origin, axis, zero)
    made.floor = words.get("floor")
    return made


class End:
    """One end of a leg: t is counted from `at` along `axis`, which leads into the leg."""

    def __init__(self, at, axis):
        self.at, self.axis = at, axis
        self.front = None
        self.body = self.shape = None  # what it lands on, and the skin that it is cut for
        self.plane = axis  # the normal of a flat cut
        self.join, self.touch, self.clearance = None, "wall", 0.0
        self.joint = None  # the index of a tube that it is mitered to

    @property
    def is_flat(self):
        return self.body is None

    def lands(self, body, join, touch, clearance):
        self.body, self.join, self.touch, self.clearance = body, join, touch, clearance
        self.shape = body.inner() if join == "set-in" else body
        if body.is_flat or body.is_ball:
            n = body.normal(self.at)
            lean = self.axis - (self.axis @ n) * n
            lean = unit(lean) if np.linalg.norm(lean) > 1e-9 else body.y
        else:
            lean = body.y if body.y @ self.axis > -1e-9 else -body.y
        self.front = across(lean, self.axis)
        if self.front is None:
            self.front = usual_zero(self.axis)

    def mitered(self, other):
        """`other` leads into the other leg."""
        self.plane = unit(self.axis - other)
        self.front = across(-other, self.axis)


class Leg:
    def __init__(self, tube, index, name, stock, near, far):
        self.tube, self.index, self.name, self.stock = tube, index, name, stock
        self.ends = [near, far]
        self.length = np.linalg.norm(far.at - near.at)
        self.axis = near.axis

    def set_front(self, front):
        self.front = front
        self.right = np.cross(front, self.axis)

    def wall(self, azimuth, rho_in):
        """Places (on the plane square to the axis through the near end's point) `rho_in` inside the skin."""
        skin, out = self.stock.section.line(azimuth)
        xy = skin - rho_in[..., None] * out
        return self.ends[0].at + xy[..., :1] * self.front + xy[..., 1:] * self.right

    def own(self, p):
        """Across the axis (front, right), and along it from the near point."""
        q = p - self.ends[0].at
        return np.stack([q @ self.front, q @ self.right], -1), q @ self.axis


class Tube:
    def __init__(self, name, shared, number, nodes, gaps):
        self.name, self.shared, self.number, self.nodes, self.gaps = name, shared, number, nodes, gaps
        self.legs, self.drain = [], None


def letter(k):
    return chr(ord("a") + k)


class Space:
    """The whole job. `solve_drain` moves a drain's points to where they must be."""

    def __init__(self, job, solve_drain):
        self.stock = {name: Stock(words["size"]) for name, words in job["stock"].items()}
        self.bodies = {name: body_of(words) for name, words in job["bodies"].items()}
        self.of_tube = {}  # bodies that are tubes: their first copy
        self.tubes, self.drains = [], []
        self.keep_clear = job.get("keep_clear", [])
        for name, words in job["tubes"].items():
            self.add(name, words, solve_drain)
        self.miter(job["tubes"])
        for tube in self.tubes:
            for leg in tube.legs:
                if leg.front is None:
                    fronts = [end.front for end in leg.ends if end.front is not None]
                    leg.set_front(fronts[0] if fronts else usual_zero(leg.axis))
        self.turn_sides(job["tubes"])

    def point(self, words, before):
        if "at" in words:
            return np.array(words["at"], float)
        if "step" in words:
            return before + np.array(words["step"], float)
        body = self.bodies[words["on"]]
        along = words.get("along", 0.0)
        if "drain" in words:
            along = body.floor
        round_word = words.get("round", 0.0)
        if isinstance(round_word, str):
            around = np.radians(float(round_word.replace("deg", "")))
        else:
            around = body.angle_of(along, round_word) if round_word else 0.0
        site = body.site(along, around)
        return site + words.get("out", 0.0) * body.normal(site) if words.get("out") else site

    def add(self, name, words, solve_drain):
        places = []
        for point in words["path"]:
            places.append(self.point(point, places[-1] if places else None))
        drain_at = [k for k, point in enumerate(words["path"]) if "drain" in point]
        copies = self.copies(words.get("repeat"))
        for number, move in enumerate(copies):
            own = name if len(copies) == 1 else f"{name} {number + 1}"
            points = [move(place) for place in places]
            tube = self.tube(own, name, number, points, words)
            for leg in (tube.legs[0], tube.legs[-1]):
                for end in leg.ends:
                    if number and hasattr(end.body, "place_of") and np.linalg.norm(end.body.site(*end.body.place_of(end.at)) - end.at) > 1.0:
                        raise Refused("a copy leaves its body")
            if drain_at:
                tube, drain = solve_drain(self, tube, points, words, drain_at[0])
                self.drains.append(drain)
            self.tubes.append(tube)
        first = self.tubes[-len(copies)]
        can_be_landed_on = len(first.nodes) == 2 and not drain_at and not first.legs[0].stock.section.has_sides
        if can_be_landed_on:
            leg = first.legs[0]
            fronts = [end.front for end in leg.ends if end.front is not None]
            zero = fronts[0] if fronts else usual_zero(leg.axis)
            section = leg.stock.section
            self.bodies[name] = Cylinder(section.r, leg.stock.wall, leg.length).stand(leg.ends[0].at, leg.axis, zero)
            self.of_tube[name] = first

    def copies(self, repeat):
        if repeat is None:
            return [lambda p: p]
        if "step" in repeat:
            step = np.array(repeat["step"], float)
            return [lambda p, k=k: p + k * step for k in range(repeat["times"])]
        body = self.bodies[repeat["about"]]

        def turned(k):
            # Rodrigues
            a, w = np.radians(repeat["turn"]) * k, body.y
            return lambda p: body.origin + (np.cos(a) * (p - body.origin) + np.sin(a) * np.cross(w, p - body.origin)
                                            + (1.0 - np.cos(a)) * w * (w @ (p - body.origin)))

        return [turned(k) for k in range(repeat["times"])]

    def centre_line(self, points, words):
        nodes = [points[0]]
        corner = words.get("corner", {})
        pieces = corner.get("pieces", 2)
        for before, at, after in zip(points, points[1:], points[2:]):
            a, b = unit(at - before), unit(after - at)
            turn = np.arccos(np.clip(a @ b, -1.0, 1.0))
            if pieces == 2 or turn < 1e-9:
                nodes.append(at)
                continue
            # The arc touches both legs; its chords' polygon goes round it, touching it in their middles.
            radius = corner["radius"]
            start = at - radius * np.tan(turn / 2.0) * a
            inward = across(b, a)
            step = turn / (pieces - 1)
            for k in range(pieces - 1):
                angle = (k + 0.5) * step
                far = radius / np.cos(step / 2.0)
                nodes.append(start + radius * inward + far * (np.sin(angle) * a - np.cos(angle) * inward))
        nodes.append(points[-1])
        gaps = []
        coupling = words.get("coupling")
        if coupling:
            passed = 0.0
            for k, (p, q) in enumerate(zip(nodes, nodes[1:])):
                length = np.linalg.norm(q - p)
                begin, end = (coupling["at"] + side * coupling["gap"] / 2.0 - passed for side in (-1, 1))
                if begin > 0.0 and end < length:
                    nodes[k + 1:k + 1] = [p + begin * unit(q - p), p + end * unit(q - p)]
                    gaps = [k + 1]
                    break
                passed += length
            else:
                raise Refused("the coupling's gap doesn't lie within one straight leg")
        self.require_legs(points, pieces, corner)
        return nodes, gaps

    def require_legs(self, points, pieces, corner):
        if pieces == 2:
            return
        takes = [0.0]
        for before, at, after in zip(points, points[1:], points[2:]):
            turn = np.arccos(np.clip(unit(at - before) @ unit(after - at), -1.0, 1.0))
            takes.append(corner["radius"] * np.tan(turn / 2.0))
        takes.append(0.0)
        for k, (p, q) in enumerate(zip(points, points[1:])):
            if takes[k] + takes[k + 1] > np.linalg.norm(q - p):
                raise Refused("a leg is too short for the corners")

    def tube(self, own, shared, number, points, words):
        nodes, gaps = self.centre_line(points, words)
        tube = Tube(own, shared, number, nodes, gaps)
        stock = self.stock[words["stock"]]
        kept = [k for k in range(len(nodes) - 1) if k not in gaps]
        for count, k in enumerate(kept):
            axis = unit(nodes[k + 1] - nodes[k])
            near, far = End(nodes[k], axis), End(nodes[k + 1], -axis)
            name = own if len(kept) == 1 else f"{own} {letter(count)}"
            leg = Leg(tube, k, name, stock, near, far)
            leg.front = None
            tube.legs.append(leg)
        for leg, after in zip(tube.legs, tube.legs[1:]):
            if leg.index + 1 == after.index:
                leg.ends[1].mitered(after.axis)
                after.ends[0].mitered(-leg.axis)
        for end, key, point in ((tube.legs[0].ends[0], "start", words["path"][0]),
                                (tube.legs[-1].ends[1], "end", words["path"][-1])):
            made = words.get(key, {})
            on_body = "on" in point and not point.get("out")
            join = made.get("join", "set-on" if on_body else "square")
            if join in ("set-on", "set-in"):
                end.on = point["on"]
                end.lands(self.bodies[point["on"]], join, made.get("touch", "wall"), made.get("clearance", 0.0))
                if end.axis @ end.body.normal(end.at) < np.sin(np.radians(1.0)):
                    raise Refused("leads into")
        return tube

    def miter(self, words):
        def outer_ends(tube):
            return [tube.legs[0].ends[0], tube.legs[-1].ends[1]]

        for tube in self.tubes:
            for end, key in zip(outer_ends(tube), ("start", "end")):
                made = words[tube.shared].get(key, {})
                if made.get("join") != "miter":
                    continue
                met = [(other, far) for other in self.tubes if other.shared == made["to"] and other is not tube
                       for far, far_key in zip(outer_ends(other), ("start", "end"))
                       if words[other.shared].get(far_key, {}).get("join") == "miter"
                       and np.linalg.norm(far.at - end.at) < 0.5]
                if not met:
                    raise Refused("no mitered end")
                end.mitered(met[0][1].axis)
                end.joint = met[0][0]

    def turn_sides(self, words):
        """A tube with sides is set at one end and mirrored in every corner from there."""
        for tube in self.tubes:
            legs = tube.legs
            if not legs[0].stock.section.has_sides:
                continue
            turned = np.radians(words[tube.shared].get("turned", 0.0))
            start, last = legs[0].ends[0], legs[-1].ends[1]
            corners = [leg for leg in legs[:-1] if leg.ends[1].front is not None]
            if start.front is not None:
                here, end = 0, start
            elif last.front is not None:
                here, end = len(legs) - 1, last
            elif corners:
                here, end = legs.index(corners[0]), corners[0].ends[1]
            else:
                here, end = 0, start
            front = end.front if end.front is not None else usual_zero(end.axis)
            front = np.cos(turned) * front + np.sin(turned) * np.cross(front, end.axis)
            for indices in (range(here, len(legs)), range(here, -1, -1)):
                way, before = front, None
                for k in indices:
                    if before is not None:
                        cut = unit(legs[before].axis + legs[k].axis)
                        way = way - 2.0 * (way @ cut) * cut
                    legs[k].set_front(across(way, legs[k].axis))
                    before = k
