"""Random jobs from a seed: bodies of every kind, joins, touches, corners, couplings, copies, drains, distances kept."""

import numpy as np

TUBES = [(17.2, 1.8), (21.3, 2.6), (26.9, 2.3), (33.7, 2.6), (42.4, 2.6), (48.3, 3.0), (60.3, 2.9), (76.1, 3.6)]
SIDES = [(30, 30, 2, 3), (40, 25, 2, 4), (50, 30, 3, 6), (60, 40, 3, 4.5), (40, 40, 4, 6), (30, 20, 2, 0)]


def listed(v):
    return [round(float(x), 4) for x in v]


class Maker:
    def __init__(self, seed):
        self.rng = np.random.default_rng(seed)
        self.job = {"title": f"Random job {seed}", "units": "mm", "stock": {}, "bodies": {}, "tubes": {}}
        self.seed = seed

    # Little helpers.

    def chance(self, share):
        return self.rng.random() < share

    def between(self, low, high):
        return round(float(self.rng.uniform(low, high)), 3)

    def choice(self, things):
        return things[int(self.rng.integers(len(things)))]

    def direction(self):
        way = self.rng.normal(size=3)
        return way / np.linalg.norm(way)

    def stock(self, sides=False, at_most=80.0, at_least=0.0):
        if sides:
            w, h, wall, r = self.choice(SIDES)
            size, across = f"rect {w}mm x {h}mm x {wall}mm r {r}mm", float(np.hypot(w, h))
        else:
            od, wall = self.choice([t for t in TUBES if at_least <= t[0] <= at_most] or TUBES[:1])
            size, across = f"{od}mm x {wall}mm", od
        name = f"stock {len(self.job['stock'])}"
        self.job["stock"][name] = {"size": size}
        return name, across

    # Bodies. Each is told as (name, kind, least radius, length, axis, zero, origin).

    def body(self, kind, origin, upright=False):
        name = f"{kind} {len(self.job['bodies'])}"
        axis = np.array([0.0, 0.0, 1.0]) if upright else self.choice(
            [self.direction(), np.eye(3)[self.rng.integers(3)]])
        zero = np.cross(axis, self.direction())
        zero /= np.linalg.norm(zero)
        length, radius = self.between(500, 900), self.between(70, 300)
        wall = self.between(1.0, 6.0)
        words = {"shape": "cylinder", "size": f"{2 * radius}mm x {wall}mm", "from": listed(origin),
                 "to": listed(origin + length * axis), "zero": listed(zero)}
        if kind == "oval":
            words.update(self.section(radius, wall))
        elif kind == "cone":
            half = np.tan(np.radians(self.between(4, 35))) * self.choice([-1.0, 1.0])
            radius_to = radius + half * length
            if radius_to < 60.0:
                radius, radius_to = radius - half * length, radius
            words.update(shape="cone", size=f"{2 * radius:.3f}mm x {wall}mm", size_to=f"{2 * radius_to:.3f}mm x {wall}mm")
            radius = min(radius, radius_to)
        elif kind == "plate":
            words = {"shape": "plane", "at": listed(origin), "out": listed(axis), "zero": listed(zero), "size": wall}
            if self.chance(0.5):
                words.update(wide=self.between(200, 700), high=self.between(200, 700))
                length = min(words["wide"], words["high"])
        elif kind == "ball":
            words = {"shape": "sphere", "size": f"{2 * radius}mm x {wall}mm", "at": listed(origin), "out": listed(axis),
                     "zero": listed(zero)}
        self.job["bodies"][name] = words
        return {"name": name, "kind": kind, "radius": radius, "length": length, "axis": axis, "zero": zero,
                "origin": np.array(origin), "upright": upright, "wall": wall}

    def section(self, radius, wall):
        which = self.choice(["oval", "diameters", "offsets"])
        if which == "oval":
            a = 2 * radius * self.between(1.0, 1.06)
            b = 2 * radius * self.between(0.94, 1.0)
            # The girth by Ramanujan's second rule, good to a millionth here; only 1 % is asked for.
            h = ((a - b) / (a + b)) ** 2
            girth = np.pi * (a + b) / 2 * (1 + 3 * h / (10 + np.sqrt(4 - 3 * h)))
            section = {"oval": [round(a, 3), round(b, 3)], "at": f"{self.between(0, 180)}deg"}
        elif which == "diameters":
            first = self.between(0, 40)
            section = {"diameters": [{"at": f"{first + 45 * k:.3f}deg", "across": round(2 * radius * self.between(0.985, 1.015), 3)}
                                     for k in range(4)]}
            girth = np.pi * np.mean([d["across"] for d in section["diameters"]])
        else:
            section = {"offsets": [{"at": f"{60 * k + self.between(-15, 15):.3f}deg", "out": self.between(-0.012, 0.012) * radius}
                                   for k in range(6)]}
            for place in section["offsets"]:
                place["out"] = round(place["out"], 3)
            girth = 2 * np.pi * radius
        return {"size": f"girth {girth:.3f}mm x {wall}mm", "section": section}

    # Places and ways.

    def place(self, body, od):
        if body["kind"] == "plate":
            far = body["length"] / 2 - od if "wide" in self.job["bodies"][body["name"]] else 300.0
            far = max(far, 5.0)
            return {"on": body["name"], "along": self.between(-far, far), "round": self.between(-far, far)}
        if body["kind"] == "ball":
            along = body["radius"] * self.between(0.3, 2.6)
            return {"on": body["name"], "along": round(along, 3), "round": f"{self.between(-170, 170)}deg"}
        along = self.between(1.2 * od + 20, max(body["length"] - 1.2 * od - 20, 1.2 * od + 30))
        if self.chance(0.15) and body["kind"] != "oval":
            return {"on": body["name"], "along": along, "round": self.between(-2.5, 2.5) * body["radius"]}
        return {"on": body["name"], "along": along, "round": f"{self.between(-180, 180)}deg"}

    def frame_at(self, body, place):
        """The way out and along at a place, near enough to choose a direction by."""
        y, z = body["axis"], body["zero"]
        if body["kind"] == "plate":
            return y, z
        x = np.cross(y, z)
        word = place.get("round", 0.0)
        around = np.radians(float(word[:-3])) if isinstance(word, str) else word / body["radius"]
        out = np.cos(around) * z + np.sin(around) * x
        if body["kind"] == "ball":
            polar = place["along"] / body["radius"]
            return np.sin(polar) * out + np.cos(polar) * y, np.cos(polar) * out - np.sin(polar) * y
        if body["kind"] == "cone":
            words = self.job["bodies"][body["name"]]
            ends = [float(words[key].split("mm")[0]) / 2 for key in ("size", "size_to")]
            half = np.arctan((ends[1] - ends[0]) / body["length"])
            return np.cos(half) * out - np.sin(half) * y, np.cos(half) * y + np.sin(half) * out
        return out, y

    def lean(self, out, along, most):
        tilt, way = np.radians(self.between(0, most)), np.radians(self.between(0, 360))
        if self.chance(0.2):
            tilt = 0.0
        side = np.cross(along, out)
        return np.cos(tilt) * out + np.sin(tilt) * (np.cos(way) * along + np.sin(way) * side)

    def most_lean(self, body, od):
        """So that most tubes land whole."""
        if body["kind"] == "plate":
            return 65.0
        return 45.0 * (1.0 - 0.6 * od / (2 * body["radius"]))

    def ending(self, body):
        made = {"join": self.choice(["set-on", "set-in"])}
        if made["join"] == "set-in" and self.chance(0.8):
            made["clearance"] = self.choice([0.2, 0.5, 1.0, 1.5])
        if self.chance(0.35):
            made["touch"] = self.choice(["wall", "outside", "inside"])
        return made

    def fits(self, body):
        return 1.3 * body["radius"] if body["kind"] != "plate" else 80.0

    # Tubes.

    def add(self, words):
        name = f"tube {len(self.job['tubes'])}"
        self.job["tubes"][name] = words
        return name

    def branch(self, body, sides=False):
        """On a body and away from it, straight or with corners, a coupling, copies."""
        stock, od = self.stock(sides, self.fits(body))
        place = self.place(body, od)
        out, along = self.frame_at(body, place)
        way = self.lean(out, along, self.most_lean(body, od) * (0.6 if sides else 1.0))
        words = {"stock": stock, "path": [place, {"step": listed(way * self.between(4 * od + 40, 450))}]}
        words["start"] = self.ending(body)
        if sides:
            words["turned"] = self.between(-90, 90)
        self.more(words, body, way, od, sides)
        if self.chance(0.15) and "coupling" not in words and "corner" not in words:
            words["path"], words["end"] = self.backwards(words["path"]), words.pop("start")
        return self.add(words)

    def backwards(self, path):
        """From straight out of the skin to the body."""
        out = {**path[0], "out": self.between(150, 400)}
        return [out, path[0]]

    def more(self, words, body, way, od, sides):
        corners = self.choice([0, 0, 0, 1, 2])
        for _ in range(corners):
            turned = way + 0.9 * self.direction()
            way = turned / np.linalg.norm(turned)
            words["path"].append({"step": listed(way * self.between(5 * od + 60, 500))})
        if corners and self.chance(0.4) and not sides:
            words["corner"] = {"pieces": int(self.rng.integers(3, 5)), "radius": self.between(1.2 * od, 2.0 * od)}
        if self.chance(0.15) and "corner" not in words:
            length = np.linalg.norm(words["path"][1]["step"])
            words["coupling"] = {"at": round(0.35 * length, 3), "gap": self.between(2, 15)}
        if self.chance(0.35) and body["kind"] != "cone" and body["kind"] != "ball":
            step = body["axis"] * self.between(0.6 * od, 3.0 * od)
            if body["kind"] == "plate":
                step = body["zero"] * self.between(0.8 * od, 3.0 * od)
            words["repeat"] = {"times": int(self.rng.integers(2, 4)), "step": [float(x) for x in step]}
        elif self.chance(0.3) and body["kind"] not in ("plate", "oval"):
            words["repeat"] = {"times": int(self.rng.integers(2, 5)), "turn": self.between(20, 110), "about": body["name"]}

    def bank(self, origin):
        """Two drums over each other with tubes between them."""
        kinds = [self.choice(["cylinder", "oval"]) for _ in range(2)]
        lower, upper = self.body(kinds[0], origin), self.body(kinds[1], origin)
        far = lower["radius"] + upper["radius"] + self.between(150, 600)
        axis = lower["axis"]
        out = lower["zero"]
        words = self.job["bodies"][upper["name"]]
        words["from"] = listed(np.array(lower["origin"]) + far * out + 20 * axis)
        words["to"] = listed(np.array(words["from"]) + upper["length"] * axis)
        words["zero"] = listed(-out)
        upper.update(origin=np.array(words["from"]), axis=axis, zero=-out)
        od_most = self.fits(lower if lower["radius"] < upper["radius"] else upper)
        stock, od = self.stock(False, 0.7 * od_most)
        along = self.between(2 * od, 200)
        path = [{"on": lower["name"], "along": along, "round": f"{self.between(-25, 25)}deg"},
                {"on": upper["name"], "along": round(along + self.between(-60, 60), 3) + 60, "round": f"{self.between(-25, 25)}deg"}]
        words = {"stock": stock, "path": path, "start": self.ending(lower), "end": self.ending(upper)}
        if self.chance(0.7):
            words["repeat"] = {"times": int(self.rng.integers(2, 4)), "step": [float(x) for x in axis * self.between(0.9 * od, 3 * od)]}
        self.add(words)
        return [lower, upper]

    def drain(self, body):
        self.job["bodies"][body["name"]]["floor"] = 25
        stock, od = self.stock(False, 50)
        around = self.between(-180, 180)
        place = {"on": body["name"], "round": f"{around}deg", "drain": {"above_floor": self.choice([0, 0, self.between(0, 20)])}}
        out, _ = self.frame_at(body, place)
        way = out + np.array([0.0, 0.0, -self.between(-0.02, 0.2)])
        words = {"stock": stock, "path": [place, {"step": listed(way * self.between(150, 300))}], "start": self.ending(body)}
        if self.chance(0.5):
            words["path"].append({"step": listed(out * 100 + [0, 0, -200])})
        self.add(words)

    def standpipe(self, origin):
        """A free tube, and branches on it."""
        stock, od = self.stock(at_least=33.0)
        way = self.direction()
        length = self.between(500, 900)
        name = self.add({"stock": stock, "path": [{"at": listed(origin)}, {"step": listed(way * length)}]})
        zero = np.array([0, 0, 1.0]) - way[2] * way
        if np.linalg.norm(zero) <= 0.1:
            zero = np.array([1.0, 0, 0]) - way[0] * way
        pipe = {"name": name, "kind": "tube", "radius": od / 2, "length": length, "axis": way,
                "zero": zero / np.linalg.norm(zero)}
        self.branch(pipe)
        if self.chance(0.5):
            self.branch(pipe)

    def ridge(self, origin):
        """Two tubes mitered to each other."""
        sides = self.chance(0.3)
        stock, od = self.stock(sides)
        a = self.direction()
        b = a + 0.8 * self.direction()
        top = np.array(listed(origin))
        names = [f"tube {len(self.job['tubes']) + k}" for k in range(2)]
        for k, (way, own) in enumerate(((-a, names[0]), (b / np.linalg.norm(b), names[1]))):
            ends = [{"at": listed(top + way * self.between(5 * od, 400))}, {"at": listed(top)}]
            self.job["tubes"][own] = {"stock": stock, "path": ends if k == 0 else ends[::-1],
                                      ("end" if k == 0 else "start"): {"join": "miter", "to": names[1 - k]}}

    def make(self):
        origins = [np.zeros(3), np.array([1500.0, 200, 0]), np.array([0, 1600.0, 300])]
        kinds = self.choice([["cylinder"], ["oval"], ["cone"], ["ball"], ["plate"], ["bank"], ["bank"], ["cylinder"],
                             ["cone", "plate"], ["cylinder", "ball"], ["upright"], ["upright", "plate"]])
        bodies = []
        for kind, origin in zip(kinds, origins):
            if kind == "bank":
                bodies += self.bank(origin)
            elif kind == "upright":
                body = self.body(self.choice(["cylinder", "oval"]), origin, upright=True)
                bodies.append(body)
                self.drain(body)
            else:
                bodies.append(self.body(kind, origin))
        for body in bodies:
            for _ in range(int(self.rng.integers(1, 4))):
                self.branch(body, sides=self.chance(0.2))
        if self.chance(0.3):
            self.standpipe(self.rng.uniform(-300, 300, 3) + [0, 0, 700])
        if self.chance(0.2):
            self.ridge(self.rng.uniform(-300, 300, 3) + [500, 0, 600])
        return self.job


def random_job(seed):
    return Maker(seed).make()
