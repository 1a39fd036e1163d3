"""Sections of tube across its axis: x towards the front, y towards the right."""

import numpy as np


class Round:
    has_sides = False

    def __init__(self, od):
        self.r = self.reach = od / 2.0
        self.girth = np.pi * od

    def line(self, azimuth):
        """Of the wall at azimuths in radians: places on the skin, the ways out there."""
        out = np.stack([np.cos(azimuth), np.sin(azimuth)], -1)
        return self.r * out, out

    def depth(self, azimuth, wall):
        return np.full(np.shape(azimuth), wall)

    def off(self, xy):
        return np.hypot(xy[..., 0], xy[..., 1]) - self.r

    def azimuth(self, xy):
        return np.arctan2(xy[..., 1], xy[..., 0])

    def grown(self, by):
        return Round(2.0 * (self.r + by))


class Sides:
    has_sides = True

    def __init__(self, width, height, corner):
        self.width, self.height, self.corner = width, height, corner
        w, h, r = width / 2.0, height / 2.0, corner
        self.reach = np.hypot(w - r, h - r) + r
        # Straight sides and arcs, from the middle of the front to the right: (length, start, way, arc's middle).
        e, right, front = np.pi / 2.0 * r, np.array([0.0, 1.0]), np.array([1.0, 0.0])
        self.runs = [
            (w - r, front * h, right, None),
            (e, None, 0.0, [h - r, w - r]),
            (2 * (h - r), [h - r, w], -front, None),
            (e, None, np.pi / 2, [-(h - r), w - r]),
            (2 * (w - r), [-h, w - r], -right, None),
            (e, None, np.pi, [-(h - r), -(w - r)]),
            (2 * (h - r), [-(h - r), -w], front, None),
            (e, None, 1.5 * np.pi, [h - r, -(w - r)]),
            (w - r, [h, -(w - r)], right, None),
        ]
        self.girth = sum(run[0] for run in self.runs)
        self.starts = np.cumsum([0.0] + [run[0] for run in self.runs])

    def _runs(self, azimuth):
        place = np.mod(np.asarray(azimuth, float) / (2.0 * np.pi), 1.0) * self.girth
        # A side holds its ends, so that a sharp corner belongs to the side before it.
        run = np.clip(np.searchsorted(self.starts, place, side="right") - 1, 0, 8)
        return place, run

    def line(self, azimuth):
        place, which = self._runs(azimuth)
        skin, out = np.zeros(place.shape + (2,)), np.zeros(place.shape + (2,))
        for index, (length, start, way, middle) in enumerate(self.runs):
            here = which == index
            s = place[here] - self.starts[index]
            if middle is None:
                skin[here] = np.asarray(start) + s[:, None] * way
                out[here] = [way[1], -way[0]]
            elif length > 0.0:
                turn = way + s / self.corner
                out[here] = np.stack([np.cos(turn), np.sin(turn)], -1)
                skin[here] = np.asarray(middle) + self.corner * out[here]
        return skin, out

    def depth(self, azimuth, wall):
        """As deep as the wall; beside corners rounder inside than the wall only to where the next side is as near."""
        place, which = self._runs(azimuth)
        deep = np.full(place.shape, wall)
        for index, (length, _, _, middle) in enumerate(self.runs):
            here = which == index
            s = place[here] - self.starts[index]
            if middle is not None:
                deep[here] = min(wall, self.corner)
            else:
                to_corner = np.minimum(s, length - s)
                if index == 0:
                    to_corner = length - s
                if index == 8:
                    to_corner = s
                deep[here] = np.minimum(wall, self.corner + to_corner)
        return deep

    def azimuth(self, xy):
        """Of the nearest place of the skin."""
        return self._nearest(xy)[0]

    def off(self, xy):
        """From the skin, below 0 inside."""
        xy = np.asarray(xy, float)
        x, y = np.abs(xy[..., 0]), np.abs(xy[..., 1])
        h, w, r = self.height / 2.0, self.width / 2.0, self.corner
        in_corner = (x > h - r) & (y > w - r)
        inside = (x <= h) & (y <= w) & (~in_corner | (np.hypot(x - h + r, y - w + r) <= r))
        return np.where(inside, -1.0, 1.0) * self._nearest(xy)[1]

    def _nearest(self, xy):
        xy = np.asarray(xy, float)
        best, far = np.zeros(xy.shape[:-1]), np.full(xy.shape[:-1], np.inf)
        for index, (length, start, way, middle) in enumerate(self.runs):
            if middle is None:
                s = np.clip((xy - start) @ way, 0.0, length)
                away = np.linalg.norm(xy - start - s[..., None] * way, axis=-1)
            elif length > 0.0:
                own = xy - middle
                turn = np.arctan2(own[..., 1], own[..., 0]) - way
                turn = turn - 2.0 * np.pi * np.round((turn - np.pi / 4) / (2.0 * np.pi))
                s = np.clip(turn, 0.0, np.pi / 2) * self.corner
                away = np.abs(np.linalg.norm(own, axis=-1) - self.corner)
                away = np.where((turn < 0.0) | (turn > np.pi / 2), np.inf, away)
            else:
                continue
            nearer = away < far - 1e-12
            best, far = np.where(nearer, self.starts[index] + s, best), np.where(nearer, away, far)
        return best / self.girth * 2.0 * np.pi, far

    def grown(self, by):
        return Sides(self.width + 2 * by, self.height + 2 * by, max(0.0, self.corner + by))
