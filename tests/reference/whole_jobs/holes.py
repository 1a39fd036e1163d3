"""Holes from their definition: which places of the body's skin, carried square through the wall, lie inside the tube."""

import numpy as np
from scipy.spatial import cKDTree

from vectors import roots

RAYS = 720


class Hole:
    """The hole that an end needs, on the skin laid flat about the place under the tube's axis."""

    def __init__(self, tube, leg, side):
        self.tube, self.leg, self.side, self.end = tube, leg, side, leg.ends[side]
        self.body = self.end.body
        self.along, self.around = self.body.place_of(self.end.at)
        is_set_in = self.end.join == "set-in"
        if leg.front is None:
            leg.set_front(self.end.front)
        self.section = leg.stock.section.grown(self.end.clearance) if is_set_in else leg.stock.bore
        self.lifts = [0.0, self.body.wall] if is_set_in else [0.0]

    def places(self, uv):
        return self.body.from_flat(np.asarray(uv, float), self.along, self.around)

    def off(self, uv):
        """Below 0 within the hole, 0 on its outline, in mm across the tube."""
        p = self.places(uv)
        n = self.body.normal_from_flat(uv, self.along, self.around) if len(self.lifts) > 1 else 0.0
        return np.minimum.reduce([self.section.off(self.leg.own(p - lift * n)[0]) for lift in self.lifts])

    def off_skin(self, uv):
        """The same in mm on the skin, near the outline."""
        uv, step = np.asarray(uv, float), 1e-4
        here = self.off(uv)
        slope = np.stack([self.off(uv + step * way) - self.off(uv - step * way) for way in np.eye(2)], -1) / (2 * step)
        return here / np.maximum(np.linalg.norm(slope, axis=-1), 1e-9)

    def facing(self, uv):
        """Above 0 where the skin looks the way that the tube comes from."""
        return self.body.normal_from_flat(uv, self.along, self.around) @ self.end.axis

    def on_rays(self, turns, far):
        """Places of the outline at some turns about the place under the axis, where it is nearly `far` from it."""
        way = np.stack([np.cos(turns), np.sin(turns)], -1)
        r = roots(lambda r: self.off(r[:, None] * way), np.full(len(turns), 0.8 * far), np.full(len(turns), 1.25 * far))
        return r[:, None] * way

    def outline(self, rays=RAYS):
        """Places of the true outline, on rays from under the axis."""
        turns = 2.0 * np.pi * (np.arange(rays) + 0.31) / rays
        way = np.stack([np.cos(turns), np.sin(turns)], -1)
        rise = abs(self.end.axis @ self.body.normal(self.end.at[None])[0])
        farthest = 3.0 * self.section.reach / rise + 20.0
        if not self.body.is_flat:
            farthest = min(farthest, self.widest())
        # Outwards in steps, ever longer, until all rays are out of the hole.
        low, high, found = np.zeros(rays), np.zeros(rays), np.zeros(rays, bool)
        far = 0.0
        while not found.all():
            before, far = far, far + max(0.15 * self.section.reach, 0.12 * far)
            if before > farthest:
                return None
            open_ = np.nonzero(~found)[0]
            reached = np.full(len(open_), far)
            if not self.body.is_flat:
                # Where the skin turns away from the tube the hole must have ended.
                away = self.facing(far * way[open_]) < 0.0
                beyond = way[open_[away]]
                reached[away] = roots(lambda r: self.facing(r[:, None] * beyond), low[open_[away]] + before,
                                      reached[away])
                if np.any(self.off(reached[away, None] * beyond) <= 0.0):
                    return None
            outside = self.off(reached[:, None] * way[open_]) > 0.0
            low[open_[outside]], high[open_[outside]] = before, reached[outside]
            found[open_[outside]] = True
        far = roots(lambda r: self.off(r[:, None] * way), low, high)
        return self.with_corners(far[:, None] * way)

    def with_corners(self, uv):
        """With the places where the outline has corners, which lie between rays: where the chords beside them meet."""
        turn = turns(uv)
        both = np.abs(turn + np.roll(turn, -1))
        corners = np.nonzero((both > 0.2) & (both >= np.roll(both, 1)) & (both > np.roll(both, -1)))[0]
        before, a, b, after = (uv[(corners + by) % len(uv)] for by in (-1, 0, 1, 2))
        run, back = a - before, b - after
        cross = run[:, 0] * back[:, 1] - run[:, 1] * back[:, 0]
        apart = b - a
        with np.errstate(all="ignore"):
            ahead = (apart[:, 0] * back[:, 1] - apart[:, 1] * back[:, 0]) / cross
        places = a + np.clip(np.nan_to_num(ahead), 0.0, 3.0)[:, None] * run
        far = np.linalg.norm(places, axis=-1)
        way = places / far[:, None]
        near, away = 0.97 * far, 1.03 * far
        is_between = (self.off(near[:, None] * way) < 0.0) & (self.off(away[:, None] * way) > 0.0)
        if not is_between.any():
            return uv
        way = way[is_between]
        far = roots(lambda r: self.off(r[:, None] * way), near[is_between], away[is_between])
        whole = np.concatenate([uv, far[:, None] * way])
        return whole[np.argsort(np.mod(np.arctan2(whole[:, 1], whole[:, 0]), 2.0 * np.pi))]

    def is_in_two(self):
        """Of a set-in tube: the places cut out of the two skins, one over the other, have nothing in common."""
        if len(self.lifts) == 1:
            return False
        # The axis leads through both; what lies between its places on the two is looked at.
        n = self.body.normal(self.end.at[None])[0]
        slope = self.end.axis - (self.end.axis @ n) * n
        far = self.body.wall / max(self.end.axis @ n, 1e-3)
        here = self.end.at - np.linspace(0.0, 1.6, 161)[:, None] * far * slope
        within = [self.section.off(self.leg.own(here - lift * n)[0]) for lift in self.lifts]
        return not np.any(np.maximum(*within) < 0.0)

    def footprint(self):
        """Where the outer skin of a tube that is set on meets the body."""
        if self.end.join != "set-on":
            return None
        whole = Hole(self.tube, self.leg, self.side)
        whole.section = self.leg.stock.section
        return whole.outline()

    def widest(self):
        body = self.body
        if hasattr(body, "girth"):
            return 0.6 * body.girth + 400.0
        return 3.2 * body.reach(self.along, 0.0) + 400.0

    def lowest(self, up):
        """The lowest place along the body where `up` is 1, of the highest for -1, counted from under the axis."""
        uv = self.outline()
        k = np.argmin(up * uv[:, 1])
        # Ever closer rays about the lowest.
        middle, spread = np.arctan2(uv[k, 1], uv[k, 0]), 4.0 * np.pi / RAYS
        far = np.linalg.norm(uv[k])
        for _ in range(6):
            turns = middle + spread * np.linspace(-1.0, 1.0, 41)
            way = np.stack([np.cos(turns), np.sin(turns)], -1)
            r = roots(lambda r: self.off(r[:, None] * way), np.full(41, 0.8 * far), np.full(41, 1.25 * far), 1e-12)
            k = np.argmin(up * r * way[:, 1])
            low, middle, far, spread = r[k] * way[k, 1], turns[k], r[k], spread / 10.0
        return low


def along_polygon(points, polygon):
    """How far each point is from a closed polygon, and on which of its chords the nearest place is."""
    ahead = np.roll(polygon, -1, axis=0)
    tree = cKDTree(polygon)
    near = tree.query(points, k=min(4, len(polygon)))[1]
    best, which = np.full(len(points), np.inf), np.zeros(len(points), int)
    for column in near.T:
        for start in (column, column - 1):
            a, b = polygon[start], ahead[start]
            run = b - a
            long = np.maximum((run * run).sum(-1), 1e-30)
            share = np.clip(((points - a) * run).sum(-1) / long, 0.0, 1.0)
            far = np.linalg.norm(points - a - share[:, None] * run, axis=-1)
            best, which = np.where(far < best, far, best), np.where(far < best, start % len(polygon), which)
    return best, which


def turns(polygon):
    """By how much a closed polygon turns at each of its corners, in radians."""
    run = np.roll(polygon, -1, axis=0) - polygon
    way = np.arctan2(run[:, 1], run[:, 0])
    return (way - np.roll(way, 1) + np.pi) % (2.0 * np.pi) - np.pi


def sags(polygon):
    """How far a smooth outline stands off each of its chords, at most: from the turns at both ends."""
    long = np.linalg.norm(np.roll(polygon, -1, axis=0) - polygon, axis=-1)
    bend = np.minimum(np.abs(turns(polygon)), 0.3)
    return long * np.maximum(bend, np.roll(bend, -1)) / 4.0


class Laid:
    """A hole on its body's whole skin laid flat, to tell what is left to others."""

    def __init__(self, hole):
        self.hole, self.body = hole, hole.body
        self.flat = self.lay(hole.uv)

    def lay(self, uv):
        """Continuously from the place under the axis: no jump at the line where the skin is slit."""
        body, hole = self.body, self.hole
        if body.is_flat:
            return uv + [hole.around, hole.along]
        p = body.to_flat(hole.places(uv))
        round_ = self.round_of(uv)
        if hasattr(body, "half"):
            return np.stack([p[:, 0], round_], -1)
        return np.stack([round_, p[:, 1]], -1)

    def round_of(self, uv):
        body, hole = self.body, self.hole
        if hasattr(body, "half"):
            start = body.to_flat(hole.places(np.zeros((1, 2))))[0, 1]
            sign = np.sign(body.grows)
            away = body.reach(hole.along, 0.0) / np.sin(body.half) + sign * uv[:, 1]
            return start + np.arctan2(uv[:, 0], away)
        return body.arc_of(hole.along, hole.around) + uv[:, 0]

    def images(self):
        """From the whole skin laid flat to places in a plane, for each turn on which they can be met in a straight line;
        and which way from the tip they are there on the middle."""
        if not hasattr(self.body, "half"):
            for image in self.body.images:
                yield (lambda flat, image=image: flat if image is None else flat + image), 0.0
            return
        full = 2.0 * np.pi * np.sin(self.body.half)
        for turns in (-1, 0, 1):
            yield (lambda flat, turn=turns * full: polar(flat, turn)), self.flat[:, 1].mean() + turns * full

    def ligament(self, other):
        """The least distance to another hole's outline; below 0 where one holds places of the other. Also the image."""
        least, found = np.inf, None
        is_sector = hasattr(self.body, "half")
        mine, middle = (polar(self.flat), self.flat[:, 1].mean()) if is_sector else (self.flat, 0.0)
        for image, angle in other.images():
            theirs = image(other.flat)
            if abs(angle - middle) >= np.pi:
                continue
            box = np.maximum(theirs.min(0) - mine.max(0), mine.min(0) - theirs.max(0)).max()
            if box > least:
                continue
            apart = along_polygon(theirs, mine)[0].min()
            apart = min(apart, along_polygon(mine, theirs)[0].min())
            within, held = inside(theirs, mine), inside(mine, theirs)
            if within.any() or held.any():
                apart = -max(apart, along_polygon(theirs[within], mine)[0].max(initial=0.0),
                             along_polygon(mine[held], theirs)[0].max(initial=0.0))
            if apart < least:
                least, found = apart, image
        return least, found

    def ligament_closely(self, other, image):
        """The least distance of outlines that are apart, with ever closer rays about their nearest places."""
        mine = polar(self.flat) if hasattr(self.body, "half") else self.flat
        far, near = cKDTree(mine).query(image(other.flat))
        k = far.argmin()
        pair = [(self, lambda flat: polar(flat) if hasattr(self.body, "half") else flat, self.hole.uv[near[k]]),
                (other, image, other.hole.uv[k])]
        spread, least = 3.0 * 2.0 * np.pi / RAYS, np.inf
        for _ in range(4):
            uvs = []
            for laid, _, uv in pair:
                turns = np.arctan2(uv[1], uv[0]) + spread * np.linspace(-1.0, 1.0, 21)
                uvs.append(laid.hole.on_rays(turns, np.linalg.norm(uv)))
            planes = [image(laid.lay(uv)) for (laid, image, _), uv in zip(pair, uvs)]
            far = np.linalg.norm(planes[0][:, None] - planes[1], axis=-1)
            i, j = np.unravel_index(far.argmin(), far.shape)
            least = min(least, far[i, j])
            pair = [(laid, image, uv[at]) for (laid, image, _), uv, at in zip(pair, uvs, (i, j))]
            spread /= 6.0
        return least


def polar(flat, turn=0.0):
    far, angle = flat[:, 0], flat[:, 1] + turn
    return np.stack([far * np.sin(angle), far * np.cos(angle)], -1)


def inside(points, polygon):
    """Which points lie in a closed polygon, by how often a line to the right crosses it."""
    a, b = polygon, np.roll(polygon, -1, axis=0)
    within = np.zeros(len(points), bool)
    candidates = np.all((points >= polygon.min(0)) & (points <= polygon.max(0)), axis=-1)
    for k in np.nonzero(candidates)[0]:
        x, y = points[k]
        spans = (a[:, 1] > y) != (b[:, 1] > y)
        at = a[spans, 0] + (y - a[spans, 1]) / (b[spans, 1] - a[spans, 1]) * (b[spans, 0] - a[spans, 0])
        within[k] = np.count_nonzero(at > x) % 2 == 1
    return within
