#!/usr/bin/env python3
"""Check what the program is built from: licences, and where it comes from.

    python tests/reference/licences.py

Every package of Cargo.lock, whatever it is used for and on which system, must be ours or from crates.io, with a checksum,
and carry a licence by which a program under MIT may be passed on: one of ALLOWED in each part of its expression that is
joined by AND. `unsafe_code` must be forbidden. Exit status 1 on any failure. Advisories aren't looked up, as their list
would have to be fetched; `cargo audit` does that.
"""

import json
import re
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CRATES_IO = "registry+https://github.com/rust-lang/crates.io-index"
ALLOWED = {"0BSD", "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "BSD-2-Clause", "BSD-3-Clause", "BSL-1.0",
           "CC0-1.0", "ISC", "MIT", "MIT-0", "Unicode-3.0", "Unlicense", "Zlib"}


def is_allowed(expression):
    """An SPDX expression with OR, AND and brackets; the older `A/B` is A OR B."""
    words = re.findall(r"\(|\)|[^\s()]+", expression.replace("/", " OR "))

    def any_of():
        good = all_of()
        while words and words[0] == "OR":
            words.pop(0)
            good = all_of() or good
        return good

    def all_of():
        good = one()
        while words and words[0] == "AND":
            words.pop(0)
            good = one() and good
        return good

    def one():
        word = words.pop(0)
        if word == "(":
            good = any_of()
            words.pop(0)
            return good
        if words and words[0] == "WITH":
            word = f"{word} {words.pop(0)} {words.pop(0)}"
        return word in ALLOWED

    return any_of() and not words


def main():
    # The check must be able to fail.
    assert is_allowed("MIT OR GPL-3.0") and is_allowed("(MIT OR Apache-2.0) AND Unicode-3.0")
    assert not is_allowed("GPL-3.0") and not is_allowed("MIT AND GPL-3.0")
    metadata = json.loads(subprocess.run(["cargo", "metadata", "--locked", "--format-version", "1"], cwd=ROOT,
                                         check=True, capture_output=True).stdout)
    locked = tomllib.loads((ROOT / "Cargo.lock").read_text(encoding="utf-8"))["package"]
    failed = []
    for package in locked:
        is_ours = package["name"] == "girthline"
        if not is_ours and (package.get("source") != CRATES_IO or "checksum" not in package):
            failed.append(f"{package['name']}: from {package.get('source')}")
    counts = Counter()
    for package in metadata["packages"]:
        licence = package["license"] or ""
        counts[licence] += 1
        if not licence or not is_allowed(licence):
            failed.append(f"{package['name']} {package['version']}: licence {licence!r}")
    manifest = tomllib.loads((ROOT / "Cargo.toml").read_text(encoding="utf-8"))
    if manifest["lints"]["rust"].get("unsafe_code") != "forbid":
        failed.append("unsafe code is not forbidden")
    for problem in failed:
        print(f"FAIL {problem}")
    print(f"licences: {sum(counts.values())} packages, {len(counts)} licence expressions, {len(failed)} failed")
    return 1 if failed or len(metadata["packages"]) < 50 else 0


if __name__ == "__main__":
    sys.exit(main())
