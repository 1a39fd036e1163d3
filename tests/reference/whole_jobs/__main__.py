#!/usr/bin/env python3
"""Random whole jobs, made by the program and by a model of them that shares nothing with it.

    python tests/reference/whole_jobs PROGRAM [--jobs N] [--seed S] [--keep FOLDER] [--processes P]

The model puts every line of a tube's wall into the bodies' implicit surfaces, asks of places of a body's skin whether
they lie inside a tube, and looks for the least distances between walls as they are cut, all by numpy. Each job is made
from its own seed, S, S + 1 and so on. Jobs that disagree are written to FOLDER. What is compared, and to what:
check.py. Fails on the first disagreement's account, after all jobs; and where fewer than four jobs in five are taken.
"""

import argparse
import json
import multiprocessing
import os
import sys
import tempfile
import time
import traceback
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import check  # noqa: E402
import near  # noqa: E402
from random_jobs import random_job  # noqa: E402
from space import Refused, Space  # noqa: E402

# Words of the program's refusals, and the model's own that agree with them.
REASONS = [
    ("the tube leads into", ["leads into"]),
    ("runs past the body's side", ["misses", "the hole runs past"]),
    ("a part of the tube's wall passes beside", ["misses"]),
    ("a copy leaves", ["misses", "leads into", "leaves"]),
    ("copies leave", ["misses", "leads into", "leaves"]),
    ("too short to hold its two cuts", ["too short"]),
    ("too short for the corners", ["a leg is too short for the corners"]),
    ("gap doesn't lie within one", ["the coupling's gap"]),
    ("no place was found for this drain", ["no place", "the hole runs past"]),
    ("too thick for one straight hole", ["too thick"]),
    ("this hole lies wholly off", ["lies wholly off"]),
]


def reason_of(words):
    return next((reason for reason, _ in REASONS if reason in words), None)


def agrees(words, why):
    return any(reason in words and any(own in why for own in owns) for reason, owns in REASONS)


def with_distances(job, model):
    """Asks for distances to be kept that are there, and some that are a little more than there is."""
    keep = []
    for count, tube in enumerate(model.space.tubes):
        for name, body in model.space.bodies.items():
            if tube.number or name in model.space.of_tube:
                continue
            legs = [leg for leg in tube.legs if all(end.body is not body for end in leg.ends)]
            if not legs or len(keep) >= 3:
                continue
            least = min(near.to_body(model.cuts[leg], body, 60.0) for leg in legs)
            if 0.5 < least < 60.0:
                keep.append({"tube": tube.shared, "body": name, "by": round(least + (0.2, -0.2)[count % 2], 3)})
    return {**job, "keep_clear": keep} if keep else job


def one(task):
    program, seed = task
    job = random_job(seed)
    with tempfile.TemporaryDirectory() as folder:
        try:
            try:
                model, why = check.Model(job), None
                job = with_distances(job, model)
                model.space.keep_clear = job.get("keep_clear", [])
            except Refused as refused:
                model, why = None, str(refused)
            report, words = check.run(program, job, folder)
            if report is None:
                is_right = why is not None and agrees(words, why)
                words = words.strip().splitlines()[0] if words.strip() else "nothing"
                return seed, job, None, None if is_right else f"refused: {words!r}, by the model: {why!r}", why
            if why is not None:
                return seed, job, None, f"taken, but by the model: {why!r}", why
            return seed, job, check.check(model, report), None, None
        except Exception:  # noqa: BLE001 - a job on which the model itself fails is told with its seed
            return seed, job, None, "the model failed: " + " < ".join(traceback.format_exc().strip().splitlines()[:-6:-1]), None


def main():
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("program")
    words.add_argument("--jobs", type=int, default=200)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--keep")
    words.add_argument("--processes", type=int, default=os.cpu_count())
    words = words.parse_args()
    began = time.time()
    total, refused, wrong = check.Findings(), {}, []
    taken = 0
    with multiprocessing.Pool(words.processes) as pool:
        tasks = [(words.program, seed) for seed in range(words.seed, words.seed + words.jobs)]
        for seed, job, found, problem, why in pool.imap_unordered(one, tasks, chunksize=2):
            problems = [problem] if problem else []
            if found is not None:
                taken += 1
                problems += found.wrong
                for what, count in found.counts.items():
                    total.count(what, count)
                for what, most in found.largest.items():
                    total.largest[what] = max(total.largest.get(what, 0.0), most)
            elif not problem:
                refused[why] = refused.get(why, 0) + 1
            if problems:
                wrong.append((seed, problems))
                if words.keep:
                    Path(words.keep).mkdir(parents=True, exist_ok=True)
                    (Path(words.keep) / f"{seed}.json").write_text(json.dumps(job, indent=1))
    tell(total, taken, refused, wrong, words.jobs, time.time() - began)
    if wrong or taken < 0.8 * words.jobs:
        sys.exit(1)


def tell(total, taken, refused, wrong, jobs, seconds):
    print(f"{jobs} jobs in {seconds:.0f} s: {taken} taken and compared, {sum(refused.values())} refused by both")
    for why, count in sorted(refused.items()):
        print(f"  refused {count:5}  {why}")
    for what, count in sorted(total.counts.items()):
        most = f", at most {total.largest[what]:.2g}" if what in total.largest else ""
        print(f"  {count:8}  {what}{most}")
    for seed, problems in sorted(wrong):
        for problem in problems:
            print(f"seed {seed}: {problem}")
    print(f"{len(wrong)} jobs disagree" if wrong else "all agree")


if __name__ == "__main__":
    main()
