"""Where each line of a tube's wall is cut, at either end of a leg."""

import numpy as np

from space import Refused
from vectors import largest


def t_flat(leg, side, p):
    """Of a flat cut: from the plane through the end's point square to the axis, along the end's axis."""
    end = leg.ends[side]
    return ((end.at - p) @ end.plane) / (end.axis @ end.plane)


def on_start_plane(leg, side, p):
    """Lines of the wall are held at the near point's height; t at the far end is counted from its own."""
    return p + (leg.ends[side].at - leg.ends[0].at)


def cut(leg, side, azimuth):
    """t of the cut at azimuths of the near end, in radians, counted from the end's own point."""
    end = leg.ends[side]
    azimuth = np.asarray(azimuth, float)
    nothing = np.zeros(azimuth.shape)
    if end.is_flat:
        return t_flat(leg, side, on_start_plane(leg, side, leg.wall(azimuth, nothing)))
    deep = leg.stock.section.depth(azimuth, leg.stock.wall)

    def t(depth):
        shaped = np.broadcast_to(azimuth.reshape(azimuth.shape + (1,) * (depth.ndim - azimuth.ndim)), depth.shape)
        return end.shape.hits(on_start_plane(leg, side, leg.wall(shaped, depth)), end.axis)

    sides = {"outside": [nothing], "inside": [deep], "wall": [nothing, deep]}[end.touch]
    ends = [t(depth) for depth in sides]
    if np.isnan(ends).any():
        raise Refused("misses")
    if len(ends) == 1:
        return ends[0]
    best = largest(t, nothing, deep, 9, 3)[0]
    return np.maximum(best, np.maximum(*ends))


class Cuts:
    """Both cuts of a leg as tables over the azimuth, for looking near them."""

    STEP = 0.5

    def __init__(self, leg):
        self.leg = leg
        self.azimuths = np.radians(np.arange(0.0, 360.0 + 1e-9, self.STEP))
        self.t = [cut(leg, side, self.azimuths) for side in (0, 1)]
        self.tables = [self.refined(side) for side in (0, 1)]

    def refined(self, side, within=0.002, rounds=7):
        """Azimuths and t, with more of them wherever a straight line between two isn't near enough to the cut."""
        azimuths, t = self.azimuths, self.t[side]
        if self.leg.ends[side].is_flat:
            return azimuths, t
        steep = np.abs(np.diff(t, n=2, append=t[1:3])) > within
        wanted = np.nonzero(steep | np.roll(steep, 1) | np.roll(steep, -1))[0]
        wanted = wanted[wanted < len(azimuths) - 1]
        begin, end = azimuths[wanted], azimuths[wanted + 1]
        for _ in range(rounds):
            if len(begin) == 0:
                break
            middle = 0.5 * (begin + end)
            between = cut(self.leg, side, middle)
            off = np.abs(between - np.interp(middle, azimuths, t)) > within
            order = np.argsort(np.concatenate([azimuths, middle]), kind="stable")
            azimuths, t = np.concatenate([azimuths, middle])[order], np.concatenate([t, between])[order]
            begin, end = np.concatenate([begin[off], middle[off]]), np.concatenate([middle[off], end[off]])
        return azimuths, t

    def extremes(self, side):
        """The lowest and highest t, looked at closely about the best of the table and beside folds."""
        found, step = [], np.radians(self.STEP)
        for sign in (-1.0, 1.0):
            t = sign * self.t[side][:-1]
            before, after = np.roll(t, 1), np.roll(t, -1)
            # Between places a peak stands over the table by no more than the table rises beside it.
            could = t + np.maximum(np.abs(t - before), np.abs(t - after))
            at = np.nonzero((t >= before) & (t >= after) & (could >= t.max()))[0]
            middles = self.azimuths[at[np.argsort(could[at])[-6:]]]
            f = lambda places: sign * cut(self.leg, side, places.ravel()).reshape(places.shape)
            found.append(sign * max(largest(f, middles - step, middles + step, 9, 8)[0].max(), t.max()))
        return found

    def left_between(self):
        """What is left of the tube, at the shortest."""
        return (self.leg.length - self.t[0] - self.t[1]).min()

    def between(self, azimuth, p=None):
        """From where to where along the leg the wall is there; flat cuts go straight through the wall at places p."""
        period = np.mod(azimuth, 2.0 * np.pi)
        ends = []
        for side in (0, 1):
            if self.leg.ends[side].is_flat and p is not None:
                ends.append(t_flat(self.leg, side, p + self._level(p, side)))
            else:
                ends.append(np.interp(period, *self.tables[side]))
        return ends[0], self.leg.length - ends[1]

    def _level(self, p, side):
        leg = self.leg
        along = (p - leg.ends[side].at) @ leg.axis
        return -along[..., None] * leg.axis

    def in_bore(self, p):
        """Of places that lie within the tube: whether they lie in its bore, beside its wall."""
        return self.leg.stock.bore.off(self.leg.own(p)[0]) < 0.0

    def outside(self, p):
        """Above 0 outside the tube as it is cut and taken as solid, below 0 inside: how far from the nearer bound."""
        xy, along = self.leg.own(p)
        near, far = self.between(self.leg.stock.section.azimuth(xy), p)
        return np.maximum(self.leg.stock.section.off(xy), np.maximum(near - along, along - far))
