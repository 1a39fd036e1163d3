"""Where a drain must land, and what stays in the vessel."""

from copy import copy

import numpy as np

from cuts import Cuts, on_start_plane, t_flat
from holes import Hole
from space import Refused
from vectors import usual_zero


class Drain:
    def __init__(self, tube, along, low_edge, litres, fall):
        self.tube, self.along, self.low_edge, self.litres, self.fall = tube, along, low_edge, litres, fall


def solve(space, tube, points, words, at):
    """Moves the landing, and the points given by steps from it, until the hole's low edge is where it must be."""
    point = words["path"][at]
    body = space.bodies[point["on"]]
    up = np.sign(body.y[2])
    wanted = body.floor + up * point["drain"]["above_floor"]
    points = [np.array(p) for p in points]

    def moves(k):
        return k == at if at else k == 0 or all("step" in p for p in words["path"][1:k + 1])

    for _ in range(40):
        hole = end_hole(tube, at)
        if hole.outline() is None:
            raise Refused("the hole runs past the body's side")
        off = wanted - (hole.along + hole.lowest(up))
        if abs(off) < 1e-8:
            break
        points = [p + off * body.y if moves(k) else p for k, p in enumerate(points)]
        tube = space.tube(tube.name, tube.shared, tube.number, points, words)
    else:
        raise Refused("no place was found for this drain")
    legs = tube.legs if at == 0 else tube.legs[::-1]
    side = 0 if at == 0 else 1
    ways = [(1 if at == 0 else -1) * leg.axis for leg in legs]
    fall = min(np.degrees(np.arcsin(np.clip(-way[2], -1.0, 1.0))) for way in ways)
    lip = up * (lowest_of_bore(hole, side) - body.floor)
    litres = None
    if abs(body.y[2]) > 0.99999:
        highest = max(lowest_of_lip(leg, end, body, up) for leg in legs for end in (0, 1))
        litres = body.bore_area() * max(0.0, lip, highest - up * body.floor) / 1e6
    return tube, Drain(tube.name, hole.along, up * (wanted - body.floor), litres, fall)


def end_hole(tube, at):
    leg, side = (tube.legs[0], 0) if at == 0 else (tube.legs[-1], 1)
    return Hole(tube, leg, side)


def lowest_of_lip(leg, side, body, up):
    """Up along the body: the lowest place of the bore's edge at a cut, which liquid gets over on its way through."""
    if leg.front is None:
        # Of a round tube any front will do, and its own is set later.
        leg = copy(leg)
        leg.set_front(usual_zero(leg.axis))
    cuts, end = Cuts(leg), leg.ends[side]
    deep = leg.stock.section.depth(cuts.azimuths, leg.stock.wall)
    level = on_start_plane(leg, side, leg.wall(cuts.azimuths, deep))
    t = t_flat(leg, side, level) if end.is_flat else cuts.t[side]
    return np.min(up * body.own(level + t[:, None] * end.axis)[:, 1])


def lowest_of_bore(hole, side):
    """Along the body: the place over which what is left would have to run, the hole's edge or the tube's own bore."""
    leg, body = hole.leg, hole.body
    up = np.sign(body.y[2])
    edge = hole.along + hole.lowest(up)
    cuts = Cuts(leg)
    azimuth = cuts.azimuths
    deep = leg.stock.section.depth(azimuth, leg.stock.wall)
    level = leg.wall(azimuth, deep) + (hole.end.at - leg.ends[0].at)
    lip = body.own(level + cuts.t[side][:, None] * hole.end.axis)[:, 1]
    lowest = up * np.min(up * lip)
    if hole.end.join == "set-in":
        return lowest
    return up * max(up * lowest, up * edge)
