"""Ends made of several flat saw cuts: the smallest largest gap by global search.

Random joints (seeded) of tube on header. For every number of front cuts out of all cuts (none at all, too) differential
evolution looks for scribe depths and saw angles; what it finds is improved by min-max steps (linear programmes over all
sampled azimuths). The tube's wall is sampled in space: lines along the tube at several radii, against the header's cylinder.
No formula is shared with the program.

    python tests/reference/cuts.py            writes shared/checks/facet_cuts.json (ten minutes on two cores)
    python tests/reference/cuts.py --check N  measures every N-th stored recipe again, and searches once more near it
"""

import json
import math
import sys
from pathlib import Path

import numpy as np
from scipy.optimize import differential_evolution, linprog

STORED = Path(__file__).resolve().parents[2] / "shared" / "checks" / "facet_cuts.json"
JOINTS = 40
SEED = 1200


class End:
    """A tube's wall as lines along it, half the girth; the other half is its mirror image."""

    def __init__(self, joint, azimuths=721, radii=7):
        self.r = joint["branch_od"] / 2.0
        header, angle = joint["header_od"] / 2.0, math.radians(joint["angle"])
        self.cot, self.limit = 1.0 / math.tan(angle), joint["saw_limit"]
        a = np.linspace(0.0, math.pi, azimuths)
        rho = np.linspace(self.r - joint["branch_wall"], self.r, radii)[:, None]
        self.y = rho * np.cos(a)
        # the point x to the side, y towards the front, t along the tube: its distance from the header's axis is the
        # header's radius where (t sin A - y cos A)^2 + x^2 = R^2
        x = rho * np.sin(a)
        self.body = (np.sqrt(header**2 - x**2) + self.y * math.cos(angle)) / math.sin(angle)
        self.depth = float(np.ptp((self.body - self.y * self.cot)[0]))

    def lines(self, cuts, fronts):
        """Cuts as rows of scribe depth and tangent of the saw angle to height at the axis and slope; the first cut too."""
        cuts = np.asarray(cuts)
        side = np.where(np.arange(cuts.shape[0]) < fronts, 1.0, -1.0).reshape(-1, *[1] * (cuts.ndim - 2))
        scribe, tangent = cuts[:, 0], cuts[:, 1]
        slope = side * tangent
        height = side * self.r * self.cot + scribe - slope * side * self.r
        return (np.concatenate([np.zeros((1, *height.shape[1:])), height]),
                np.concatenate([np.full((1, *slope.shape[1:]), self.cot), slope]))

    def room(self, cuts, fronts):
        height, slope = self.lines(cuts, fronts)
        end = np.max(height[..., None, None] + slope[..., None, None] * self.y, axis=0)
        return np.min(end - self.body, axis=-2)

    def gap(self, cuts, fronts):
        room = self.room(cuts, fronts)
        return room.max(axis=-1) - room.min(axis=-1)

    def search(self, fronts, count, seed, generations=500):
        """Differential evolution, half of it begun near the first cut's slope, then min-max steps on the best."""
        steepest = math.tan(math.radians(self.limit))
        deepest = 2.0 * self.depth + 2.0 * self.r * self.cot * 0.3
        span = np.array([[0.0, deepest], [0.0, steepest]] * count)
        rng = np.random.default_rng(seed)
        size = 12 * len(span)
        start = rng.uniform(span[:, 0], span[:, 1], (size, len(span)))
        side = np.where(np.arange(count) < fronts, 1.0, -1.0)
        near = side * self.cot + rng.uniform(-0.2, 2.5, (size // 2, count)) * self.depth / self.r
        start[::2, 1::2] = np.clip(near, 0.0, steepest)
        start[::2, 0::2] = rng.uniform(0.0, 1.3 * self.depth, (size // 2, count))
        start = np.clip(start, span[:, 0], span[:, 1])

        def value(x):
            x = np.asarray(x)
            return quick.gap(x.reshape(count, 2, *x.shape[1:]), fronts)

        quick = self.coarse
        found = differential_evolution(value, span, init=start, seed=seed, maxiter=generations, tol=1e-8,
                                       polish=False, vectorized=True, updating="deferred")
        return self.improve(found.x, fronts, span)

    def improve(self, here, fronts, span, steps=60):
        """Steps that would be best if every sampled azimuth's room changed linearly, within a limited reach."""
        count = len(here) // 2
        gap, reach = float(self.gap(here.reshape(count, 2), fronts)), 0.1
        scale = np.array([self.depth, self.depth / self.r] * count)
        for _ in range(steps):
            room = self.room(here.reshape(count, 2), fronts)
            slopes = np.empty((len(room), len(here)))
            for i in range(len(here)):
                d = np.zeros(len(here))
                d[i] = 1e-6 * scale[i]
                slopes[:, i] = (self.room((here + d).reshape(count, 2), fronts) - room) / d[i]
            ones = np.ones((len(room), 1))
            step = linprog([0.0] * len(here) + [1.0, -1.0],
                           A_ub=np.block([[slopes, -ones, 0 * ones], [-slopes, 0 * ones, ones]]),
                           b_ub=np.concatenate([-room, room]),
                           bounds=[(max(-reach * s, lo - x), min(reach * s, hi - x))
                                   for s, (lo, hi), x in zip(scale, span, here)] + [(None, None)] * 2)
            trial = np.clip(here + step.x[:len(here)], span[:, 0], span[:, 1]) if step.status == 0 else here
            reached = float(self.gap(trial.reshape(count, 2), fronts))
            if reached < gap - 1e-9:
                here, gap = trial, reached
            else:
                reach /= 3.0
            if reach < 1e-5:
                break
        return gap, here


def end_of(joint):
    end = End(joint)
    end.coarse = End(joint, 121, 3)
    return end


def joints():
    """The two known to be hard, and random ones."""
    yield {"branch_od": 48.3, "branch_wall": 2.0, "header_od": 1200.0, "angle": 60.0, "saw_limit": 45.0}
    yield {"branch_od": 21.3, "branch_wall": 2.6, "header_od": 26.9, "angle": 75.0, "saw_limit": 60.0}
    rng = np.random.default_rng(SEED)
    for _ in range(JOINTS):
        od = rng.uniform(20.0, 120.0)
        wider = rng.choice([1.0, rng.uniform(1.0, 3.0), rng.uniform(1.0, 15.0)])
        yield {"branch_od": round(od, 2), "branch_wall": round(min(rng.uniform(1.0, 6.0), 0.4 * od), 2),
               "header_od": round(od, 2) if wider == 1.0 else round(od * wider, 2),
               "angle": float(rng.choice([90.0, round(rng.uniform(30.0, 90.0), 1), round(rng.uniform(30.0, 90.0), 1)])),
               "saw_limit": float(rng.choice([30.0, 45.0, 45.0, 60.0]))}


def best_of(end, count, seed):
    found = [(*end.search(fronts, count, seed), fronts) for fronts in range(count + 1)]
    gap, here, fronts = min(found, key=lambda one: one[0])
    saws = [[round(float(s), 6), round(math.degrees(math.atan(t)), 6)] for s, t in here.reshape(count, 2)]
    return {"cuts": count, "front": saws[:fronts], "back": saws[fronts:], "largest_gap": round(gap, 6)}


def compute(joint, counts=(4, 6), seed=1):
    end = end_of(joint)
    return {**joint, "best": [best_of(end, count, seed) for count in counts]}


def measured(end, best):
    cuts = [[s, math.tan(math.radians(a))] for s, a in best["front"] + best["back"]]
    return float(end.gap(np.array(cuts).reshape(-1, 2), len(best["front"])))


def write():
    from multiprocessing import Pool
    with Pool(2) as pool:
        records = []
        for record in pool.imap(compute, list(joints())):
            records.append(record)
            print(json.dumps(record), flush=True)
    lines = ",\n".join(json.dumps(record, separators=(",", ":")) for record in records)
    STORED.write_text('{"facet_cuts":[\n' + lines + "\n]}\n", encoding="utf-8")


def check(every):
    """Stored gaps are those of the stored recipes, and another seed finds nothing smaller by more than 2 % + 0.01 mm."""
    stored = json.loads(STORED.read_text(encoding="utf-8"))["facet_cuts"]
    expected = list(joints())
    good = len(stored) == len(expected)
    for joint, record in list(zip(expected, stored))[::every]:
        good &= all(record[key] == value for key, value in joint.items())
        end = end_of(joint)
        for best in record["best"]:
            again = measured(end, best)
            if abs(again - best["largest_gap"]) > 1e-4:
                print(f"{joint}: {again} against {best['largest_gap']}")
                good = False
        four = record["best"][0]
        gap, _ = end.search(len(four["front"]), four["cuts"], seed=2, generations=150)
        if gap < 0.98 * four["largest_gap"] - 0.01:
            print(f"{joint}: {gap} is smaller than {four['largest_gap']}")
            good = False
    print("facet cuts:", "agree" if good else "DISAGREE", f"({len(stored[::every])} joints)")
    return good


if __name__ == "__main__":
    if "--check" in sys.argv:
        sys.exit(0 if check(int(sys.argv[-1])) else 1)
    write()
