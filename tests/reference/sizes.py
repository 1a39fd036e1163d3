"""Compare shared/sizes/pipe.json with the PyPI package fluids 1.3.1.

Every wall that both tables have is one row; sizes are matched by NPS, never
by outside diameter. fluids rounds outside diameters to 0.1 mm, or to whole
millimetres at NPS 18, 22, 24 and 36, and walls to 0.01 mm, so each bound is
half of that rounding or the known difference. Exit status 1 on any failure.
"""

import json
import sys
from fractions import Fraction
from pathlib import Path

from fluids.piping import schedule_lookup

PIPE = Path(__file__).resolve().parents[2] / "shared" / "sizes" / "pipe.json"
SCHEDULES = "5S 10S 40S 80S 5 10 20 30 40 60 80 100 120 140 160 STD XS XXS".split()
MM_PER_INCH = 25.4
OD_BOUND = 0.05
OD_BOUND_AT = {"18": 0.2, "22": 0.2, "24": 0.4, "36": 0.4}  # 457, 559, 610, 914 mm
WALL_BOUND = 0.005
WALL_BOUND_AT = {("1-1/2", "XXS"): 0.01}  # 0.400 in is 10.16 mm, fluids has 10.15
SLACK = 1e-6  # floating point only


def inches(nps):
    """Nominal size as a number: "1-1/2" gives 1.5."""
    return float(sum(Fraction(part) for part in nps.split("-")))


def main():
    rows = json.loads(PIPE.read_text(encoding="utf-8"))["rows"]
    passed = failed = compared = unmatched = 0
    largest_od = largest_wall = (0.0, "")
    for row in rows:
        nps, walls = row["nps"], row["walls_in"]
        for name in set(walls) - set(SCHEDULES):
            failed += 1
            print(f"FAIL NPS {nps}: no such schedule: {name}")
        for name in SCHEDULES:
            sizes, _, ods, ts = schedule_lookup[name]
            there = inches(nps) in sizes
            if there != (name in walls):
                unmatched += 1
                print(f"only in {'fluids' if there else 'pipe.json'}: NPS {nps} {name}")
            if not there or name not in walls:
                continue
            compared += 1
            at = list(sizes).index(inches(nps))
            od = abs(row["od_in"] * MM_PER_INCH - ods[at])
            wall = abs(walls[name] * MM_PER_INCH - ts[at])
            largest_od = max(largest_od, (od, f"NPS {nps} {name}"))
            largest_wall = max(largest_wall, (wall, f"NPS {nps} {name}"))
            if (od <= OD_BOUND_AT.get(nps, OD_BOUND) + SLACK
                    and wall <= WALL_BOUND_AT.get((nps, name), WALL_BOUND) + SLACK):
                passed += 1
            else:
                failed += 1
                print(f"FAIL NPS {nps} {name}: outside diameter off by {od:.4f} mm, wall by {wall:.4f} mm")
    print(f"{compared} rows compared, {unmatched} in one table only")
    print(f"largest difference: outside diameter {largest_od[0]:.4f} mm ({largest_od[1]}), "
          f"wall {largest_wall[0]:.4f} mm ({largest_wall[1]})")
    print(f"sizes: {passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())
