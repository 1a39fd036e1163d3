"""Files of reference records: written whole, or made again record by record and compared."""

import argparse
import json
import sys

from joints import WORST, Disagreement, differs, dump


class Records:
    """The records of one file: `cases()` lists what is asked, `compute(case)` makes a record with a "name"."""

    def __init__(self, path, key, cases, compute, name_of):
        self.path, self.key, self.cases, self.compute, self.name_of = path, key, cases, compute, name_of

    def write(self):
        records = []
        for case in self.cases():
            try:
                records.append(self.compute(case))
            except (Disagreement, ValueError, TypeError) as wrong:
                sys.exit(f"{self.name_of(case)}: {wrong!r}")
        if len({record["name"] for record in records}) != len(records):
            sys.exit("two records have the same name")
        dump(self.path, {self.key: records})
        print(f"{len(records)} {self.key}")

    def check(self, every):
        """Makes every so many of them again; whether some were compared and all are as before."""
        stored = json.loads(self.path.read_text(encoding="utf-8"))[self.key]
        listed = list(self.cases())
        failed, passed = int(len(listed) != len(stored)), 0
        for case, old in list(zip(listed, stored))[::every]:
            try:
                wrong = differs(old, self.compute(case))
            except (Disagreement, ValueError, TypeError) as error:
                wrong = repr(error)
            if wrong:
                print(f"{self.key}: {old['name']}: {wrong}")
                failed += 1
            else:
                passed += 1
        print(f"{self.key}: {passed} passed, {failed} failed")
        return not failed and passed > 0


def main(words, *files):
    """Writes the files, or with --check N compares them with what is made again."""
    parser = argparse.ArgumentParser(description=words.split("\n")[0])
    parser.add_argument("--check", type=int, metavar="N",
                        help="recompute every N-th record and compare with the file")
    options = parser.parse_args()
    if options.check is not None and options.check < 1:
        parser.error("N must be at least 1")
    if options.check is None:
        for file in files:
            file.write()
        good = True
    else:
        good = all([file.check(options.check) for file in files])
    print("largest differences between the two ways:", file=sys.stderr)
    for what, gap in WORST.items():
        print(f"  {what}: {gap:.1e}", file=sys.stderr)
    sys.exit(0 if good else 1)
