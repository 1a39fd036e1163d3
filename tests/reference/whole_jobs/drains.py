"""Where a drain must land, and what stays in the vessel."""

import numpy as np

from cuts import Cuts
from holes import Hole
from space import Refused


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
        litres = body.bore_area() * max(0.0, lip) / 1e6
    return tube, Drain(tube.name, hole.along, up * (wanted - body.floor), litres, fall)


def end_hole(tube, at):
    leg, side = (tube.legs[0], 0) if at == 0 else (tube.legs[-1], 1)
    return Hole(tube, leg, side)


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
