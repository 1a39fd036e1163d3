"""Distances between tubes as they are cut and what is beside them, from places of their walls."""

import numpy as np
from scipy.optimize import differential_evolution

DEPTHS = np.array([0.0, 0.5, 1.0])


def walls(cuts, azimuth, share, depth):
    """Places of a leg's wall: azimuths, shares of what is left there between the cuts, shares of the wall's depth."""
    leg = cuts.leg
    deep = depth * leg.stock.section.depth(azimuth, leg.stock.wall)
    level = leg.wall(azimuth, deep)
    near, far = cuts.between(azimuth, level)
    return level + (near + share * (far - near))[..., None] * leg.axis


def least(f, cuts, azimuths=96, shares=61, keep=6, rounds=9, span=(0.0, 1.0)):
    """The least of f over a leg's wall, looked at ever more closely about the best places. Also where."""
    grid = np.meshgrid(np.linspace(0.0, 2.0 * np.pi, azimuths, endpoint=False), np.linspace(*span, shares), DEPTHS,
                       indexing="ij")
    a, s, d = (g.ravel() for g in grid)
    values = f(walls(cuts, a, s, d))
    order = np.argsort(values)
    # The best, and others that are not beside it.
    chosen = []
    for k in order[:400]:
        beside = [j for j in chosen if abs((a[j] - a[k] + np.pi) % (2 * np.pi) - np.pi) < 0.3
                  and abs(s[j] - s[k]) < 3.1 / shares]
        if not beside:
            chosen.append(k)
        if len(chosen) == keep:
            break
    # Boxes about the best places: moved as long as that leads nearer, made smaller where it hardly does.
    sizes = np.array([2.0 * np.pi / azimuths, (span[1] - span[0]) / (shares - 1), 0.5])
    looks = np.linspace(-1.0, 1.0, 7)
    box = np.stack([g.ravel() for g in np.meshgrid(looks, looks, looks[::2], indexing="ij")], -1)
    spots, found, share = np.stack([a, s, d], -1)[chosen], values[chosen], np.ones(len(chosen))
    for _ in range(4 * rounds):
        open_ = np.nonzero(share > 0.4**rounds)[0]
        if len(open_) == 0:
            break
        at = spots[open_, None] + box * sizes * share[open_, None, None]
        at[..., 1:] = np.clip(at[..., 1:], 0.0, 1.0)
        looked = f(walls(cuts, *np.moveaxis(at, -1, 0)))
        best, rows = looked.argmin(axis=1), np.arange(len(open_))
        is_nearer = looked[rows, best] < found[open_]
        leads_on = looked[rows, best] < found[open_] - np.maximum(2e-4, 1e-4 * np.abs(found[open_]))
        spots[open_] = np.where(is_nearer[:, None], at[rows, best], spots[open_])
        found[open_] = np.where(is_nearer, looked[rows, best], found[open_])
        share[open_] *= np.where(leads_on, 1.0, 0.4)
    k = found.argmin()
    return found[k], walls(cuts, *spots[k:k + 1].T)[0]


def reach(cuts):
    """From where to where along its axis the leg's wall goes, and how far from the axis."""
    return cuts.t[0].min(), cuts.leg.length - cuts.t[1].min(), cuts.leg.stock.section.reach


def segments_apart(a, b):
    """Between two stretches of axis, by looking at places of the one against the other, ever more closely."""
    (p, q), (r, s) = a, b
    run = s - r

    def to_b(places):
        share = np.clip((places - r) @ run / (run @ run), 0.0, 1.0)
        return np.linalg.norm(places - r - share[:, None] * run, axis=-1)

    low, high = 0.0, 1.0
    for _ in range(8):
        shares = np.linspace(low, high, 21)
        far = to_b(p + shares[:, None] * (q - p))
        k = far.argmin()
        low, high = shares[max(k - 1, 0)], shares[min(k + 1, 20)]
    return far.min()


def axis_of(cuts):
    low, high, _ = reach(cuts)
    start = cuts.leg.ends[0].at
    return start + low * cuts.leg.axis, start + high * cuts.leg.axis


def legs_overlap(a, b, slack=0.3):
    """Below 0 where the wall of one lies in the other tube, taken as solid between its cuts: by how much."""
    if segments_apart(axis_of(a), axis_of(b)) > reach(a)[2] + reach(b)[2] + slack:
        return np.inf
    found = []
    for one, other in ((a, b), (b, a)):
        found.append(least(other.outside, one, span=span_near(one, other))[0])
        if found[-1] < 0.0 and stands_in_bore(one, other):
            return np.inf
    return min(found)


def stands_in_bore(one, other):
    """Whether a leg's wall stands in the other's bore, wherever it is within that tube, and so meets no wall."""
    grid = np.meshgrid(np.linspace(0.0, 2.0 * np.pi, 180, endpoint=False), np.linspace(0.0, 1.0, 181), DEPTHS, indexing="ij")
    places = walls(one, *(g.ravel() for g in grid))
    within = places[other.outside(places) < 0.0]
    return len(within) > 0 and bool(np.all(other.in_bore(within)))


def span_near(one, other):
    """The shares of a leg that can be near another."""
    low, high, r = reach(one)
    start, end = axis_of(other)
    run = end - start
    shares = np.linspace(0.0, 1.0, 201)
    places = one.leg.ends[0].at + (low + shares * (high - low))[:, None] * one.leg.axis
    along = np.clip((places - start) @ run / (run @ run), 0.0, 1.0)
    far = np.linalg.norm(places - start - along[:, None] * run, axis=-1)
    near = np.nonzero(far < r + reach(other)[2] + 0.05 * (high - low) + 5.0)[0]
    if len(near) == 0:
        return 0.0, 1.0
    return max(0.0, shares[near[0]] - 0.05), min(1.0, shares[near[-1]] + 0.05)


def to_body(cuts, body, at_most):
    """From a leg's wall to a body; places farther than `at_most` aren't looked at closely."""
    start, end = axis_of(cuts)
    coarse = body.apart(start + np.linspace(0.0, 1.0, 41)[:, None] * (end - start)).min()
    gap = np.linalg.norm(end - start) / 40.0
    if coarse - gap - reach(cuts)[2] > at_most:
        return coarse - gap - reach(cuts)[2]
    if body.length and hasattr(body, "tree"):
        apart = least(body.apart, cuts, 48, 41, 4)[0]
    else:
        apart = least(body.apart, cuts)[0]
    return apart if apart > 0.0 else min(apart, deepest(body, cuts))


def deepest(body, cuts):
    """How deep a leg's wall goes into a body, below 0. About a rim it has ridges that looks from place to place may miss."""
    found = differential_evolution(
        lambda spots: body.apart(walls(cuts, *spots)), [(0.0, 2.0 * np.pi), (0.0, 1.0), (0.0, 1.0)],
        popsize=24, maxiter=150, tol=1e-6, seed=1, vectorized=True, updating="deferred", polish=False)
    return found.fun
