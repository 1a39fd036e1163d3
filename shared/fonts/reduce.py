#!/usr/bin/env python3
"""Make the two faces of this folder out of Liberation Sans 2.1.5 (Debian package fonts-liberation2 2.1.5-1).

    pip install fonttools==4.68.0
    python reduce.py FOLDER_WITH_LiberationSans-Regular.ttf_AND_-Bold.ttf

Keeps the letters of LETTERS, drops hints, kerning and every feature, and gives the result a name of its own, as the
licence asks (SIL Open Font License 1.1, clause 3: "Liberation" is a reserved name). The licence stands in OFL.txt.
"""

import pathlib
import sys

from fontTools import subset
from fontTools.ttLib import TTFont

# Latin with Vietnamese, Greek, Cyrillic, the usual marks, fractions and arrows. Without marks that combine with a letter
# before them, what is written from right to left, and the soft hyphen.
LETTERS = [
    (0x20, 0x7E), (0xA0, 0xAC), (0xAE, 0x17F), (0x18F, 0x192), (0x1A0, 0x1A1), (0x1AF, 0x1B0), (0x1CD, 0x1DC),
    (0x1E6, 0x1E7), (0x1FA, 0x21B), (0x259, 0x259), (0x2BB, 0x2BC), (0x2C6, 0x2C7), (0x2D8, 0x2DD), (0x384, 0x3CE),
    (0x400, 0x45F), (0x462, 0x463), (0x472, 0x475), (0x490, 0x4FF), (0x1E02, 0x1E03), (0x1E80, 0x1E85),
    (0x1E9E, 0x1E9E), (0x1EA0, 0x1EF9), (0x2010, 0x2015), (0x2018, 0x201E), (0x2020, 0x2022), (0x2026, 0x2026),
    (0x2030, 0x2030), (0x2032, 0x2033), (0x2039, 0x203A), (0x2044, 0x2044), (0x2070, 0x2079), (0x2080, 0x2089),
    (0x20A0, 0x20BF), (0x2116, 0x2116), (0x2122, 0x2122), (0x2126, 0x2126), (0x2150, 0x215E), (0x2190, 0x2195),
    (0x2202, 0x2202), (0x2206, 0x2206), (0x220F, 0x2212), (0x221A, 0x221A), (0x221E, 0x221E), (0x2248, 0x2248),
    (0x2260, 0x2265), (0x25A0, 0x25CF),
]
NAMES = {1: "Girthline Sans", 13: "SIL Open Font License 1.1", 14: "https://openfontlicense.org"}


def main():
    here, source = pathlib.Path(__file__).parent, pathlib.Path(sys.argv[1])
    for face in ("Regular", "Bold"):
        font = TTFont(source / f"LiberationSans-{face}.ttf", recalcTimestamp=False)
        options = subset.Options(hinting=False, layout_features=[], name_IDs=[0], glyph_names=False, legacy_kern=False)
        options.drop_tables += ["GPOS", "GSUB", "GDEF", "kern", "FFTM", "gasp"]
        reduced = subset.Subsetter(options)
        reduced.populate(unicodes=[letter for first, last in LETTERS for letter in range(first, last + 1)])
        reduced.subset(font)
        for name, words in (NAMES | {2: face, 4: f"Girthline Sans {face}", 6: f"GirthlineSans-{face}"}).items():
            font["name"].setName(words, name, 3, 1, 0x409)
        font.save(here / f"girthline-sans-{face.lower()}.ttf")


if __name__ == "__main__":
    main()
