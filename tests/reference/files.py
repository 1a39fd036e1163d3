#!/usr/bin/env python3
"""Check the program's PDF, DXF and SVG files with software that is not its own.

    python tests/reference/files.py PATH_TO_girthline

For each job in JOBS, on A4 and on letter and some on other papers, the program
writes its files into a temporary folder. Its JSON report says what they should show; they are read by:

1. qpdf: `qpdf --check` finds nothing to say against the PDF.
2. poppler and MuPDF, both rendering every sheet at 600 dpi. One pixel is the
   bound (25.4/600 mm, 0.042 mm) of everything that is measured:
   size      the picture is as large as the paper
   ruler     150 mm between the centres of the first and the last millimetre
             tick of both rulers, and each tick at its millimetre (times the
             correction that --ruler-reads asks for)
   girth     from the wrap's left edge to its right edge
   cut       the line's centre at every tenth degree of azimuth, from the
             wrap's left edge and from its base line: nothing is shifted to fit
   bold      how thick the line is there: 0.7 mm
   hole      the line's centre, square to the outline, every five degrees; the
             outline may be shifted as a whole, as the report doesn't say where
             on the pattern it stands
   Lines to be cut are measured in a copy of the PDF whose other layers are
   switched off; `layers` checks that the copy has no rulers, and that each of
   its pixels is at least as dark on the sheet as made. Edges, base lines and
   crosses are measured in a copy with the layer `notes` alone. A tiled wrap is
   put together as on the bench, cross on cross.
3. ezdxf: units, layers; an audit without errors, and with nothing mended but
   the missing handles of tables' heads (a note tells how many); the cut and
   the hole against the report; the cut's length against that of the SVG's path.
4. the standard library's XML parser: size in millimetres, groups, the cut and
   the hole in the SVG against the report.

A line for each kind of check tells the largest difference seen. Exit status 1
on any failure. Needs poppler-utils, mupdf-tools and qpdf on the system.
"""

import json
import math
import os
import re
import shlex
import subprocess
import sys
import tempfile
import threading
import xml.etree.ElementTree as ElementTree
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import ezdxf
import numpy as np
import pikepdf
from scipy import ndimage

DPI = 600
PX = DPI / 25.4  # pixels per millimetre of paper
PIXEL = 25.4 / DPI  # the bound of what is rendered, mm
CURVE_BOUND = 0.006  # of curves in DXF and SVG, mm
LENGTH_BOUND = 0.005  # between the DXF's cut and the SVG's, mm
EXACT = 1e-3  # lines that are found by their length, mm
LINE = 0.7  # thickness of a line to be cut, mm
RULER = 150  # length of the metric rulers, mm
SPINE = 152.4  # length of a ruler's own line: six inches, mm
STRIP = 20.0  # the rulers stand within this much of the edges, mm
CROSS = 8.0  # arms of a tile's cross, from end to end, mm
LAYERS = ("crown lines", "cut line", "notes", "rulers")
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a3": (297.0, 420.0), "legal": (215.9, 355.6),
          "tabloid": (279.4, 431.8)}
RENDERERS = ("poppler", "MuPDF")
# By a millionth of a radian, 0.3 micrometres across a sheet: poppler moves thin lines that are exactly
# level or upright to whole pixels, and leaves these alone.
SLIGHT_TURN = "1 0.000001 -0.000001 1 0 0 cm\n"


@dataclass(frozen=True)
class Job:
    """A joint, as the command line says it, and what the report doesn't repeat."""

    name: str
    words: str
    header_od: float = 0.0  # 0: no hole
    reads: tuple = (RULER, RULER)  # across, down: what --ruler-reads is told
    towards_cut: bool = False  # the report's t grows towards the cut
    papers: tuple = ("a4", "letter")

    @property
    def pattern(self):
        """What the wrap's tiles are called."""
        return "end pieces" if self.towards_cut else "branch end"

    @property
    def correction(self):
        """What lengths across and down the sheet are multiplied by."""
        return tuple(RULER / reading for reading in self.reads)


JOBS = (
    Job("square", "saddle --branch 48.3x2.6 --header 114.3x3.6", 114.3, papers=tuple(PAPERS)),
    Job("angled", "saddle --branch 60.3x3.9 --header 114.3x6 --angle 45", 114.3),
    Job("offset right", "saddle --branch 42.4x2.6 --header 114.3x3.6 --offset 20", 114.3),
    Job("offset left", "saddle --branch 42.4x2.6 --header 88.9x3.2 --angle 60 --offset=-12", 88.9),
    Job("thick wall", "saddle --branch 60.3x11 --header 88.9x8 --angle 60", 88.9),
    Job("equal diameters", "saddle --branch 60.3x2.9 --header 60.3x2.9", 60.3),
    Job("drum", "saddle --branch 88.9x3.2 --header 572x1.2 --angle 80 --seam 90", 572.0),
    Job("set-in", "saddle --branch 42.4x2.6 --header 88.9x3.2 --join set-in --clearance 0.5", 88.9),
    Job("with sides", "saddle --branch 'rect 60x40x3 r 5' --header 168.3x4 --angle 65 --offset 15 --turned 20", 168.3),
    Job("square miter", "miter --tube 'square 50x3 r 6' --turn 60", towards_cut=True),
    Job("miter", "miter --tube 76.1x2.9 --turn 45", towards_cut=True),
    Job("tiled", "saddle --branch 168.3x4.5 --header 219.1x6 --angle 70", 219.1,
        papers=("a4", "letter", "legal")),
    Job("corrected", "saddle --branch 48.3x2.6 --header 76.1x2.9 --angle 75 --ruler-reads 149.3,150.6",
        76.1, reads=(149.3, 150.6)),
)


class Fault(Exception):
    """What should be in a file can't be found there."""


class Tally:
    """Counts checks, and remembers the largest difference of each kind."""

    def __init__(self):
        self.lock = threading.Lock()
        self.passed = self.failed = 0
        self.kinds = {}
        self.notes = Counter()

    def check(self, kind, where, difference, bound):
        """A number that may be as large as its bound; NaN never passes."""
        is_good = bool(difference <= bound)
        with self.lock:
            count, worst, at, _ = self.kinds.get(kind, (0, -1.0, "", bound))
            if not difference <= worst:
                worst, at = difference, where
            self.kinds[kind] = (count + 1, worst, at, bound)
            self.passed += is_good
            self.failed += not is_good
            if not is_good:
                print(f"FAIL {kind}, {where}: {difference:.4f}, may be {bound:.4f}")

    def fault(self, kind, where, words):
        """Something that went wrong before it could be measured."""
        with self.lock:
            self.failed += 1
            print(f"FAIL {kind}, {where}: {words}")

    def expect(self, kind, where, is_true, words):
        """Something that is so or isn't."""
        if is_true:
            self.check(kind, where, 0.0, 0.0)
        else:
            self.fault(kind, where, words)

    def note(self, words, count):
        """Something to be told that is no failure."""
        with self.lock:
            self.notes[words] += count

    def report(self, order):
        """A line for each kind; then the sum. True if all is well."""
        for kind in order:
            count, worst, at, bound = self.kinds.get(kind, (0, 0.0, "", 0.0))
            largest = f", largest difference {worst:.4f} mm of {bound:.4f} ({at})" if bound else ""
            print(f"{kind}: {count} checks{largest}")
            if not count:
                self.fault(kind, "all jobs", "nothing was checked")
        for words, count in self.notes.items():
            print(f"note: {count} {words}")
        print(f"files: {self.passed} passed, {self.failed} failed")
        return not self.failed


class Wrap:
    """What the report says of a wrap. x: girth from the left edge; height: above the base line; mm."""

    def __init__(self, job, report):
        end = report["ends"][0]
        azimuth, t = np.array(end["curve"]).T
        self.girth = end["printed_girth_mm"]
        own = end["sides"]["girth_mm"] if "sides" in end else math.pi * end["od_mm"]
        self.seam = end["seam_deg"]
        self.is_turned = end["turned"]
        self.thickness = (self.girth - own) / math.pi  # of the paper
        height = (end["base_line_t_mm"] - t) * (-1.0 if job.towards_cut else 1.0)
        x = self.x(azimuth[:-1])
        order = np.argsort(x)
        seam = np.interp(self.seam, azimuth, height)
        self.places = np.column_stack([x[order], height[:-1][order]])
        inner = self.places[self.places[:, 0] > 1e-9]
        self.profile = np.vstack([[0.0, seam], inner, [self.girth, seam]])

    def x(self, azimuth):
        """Where an azimuth in degrees is."""
        return self.girth * ((azimuth - self.seam) % 360.0) / 360.0

    def height(self, x):
        """The cut at x; the report has it at whole degrees, and lines between them."""
        return np.interp(x, *self.profile.T)


def outline_of(job, report, thickness):
    """The hole's outline on its paper (x to the right, y up; mm), closed."""
    outline = np.array(report["holes"][0]["outline"])
    return outline * [1.0 + thickness / job.header_od, 1.0]


def run(*words):
    """What a command prints; a fault with its complaint if it fails."""
    done = subprocess.run([str(word) for word in words], capture_output=True)
    if done.returncode:
        raise Fault(f"{words[0]}: {done.stderr.decode(errors='replace').strip() or done.returncode}")
    return done.stdout


# Curves.


def normals(points):
    """Unit normals of a closed polyline, by each point's neighbours."""
    along = np.roll(points[:-1], -1, 0) - np.roll(points[:-1], 1, 0)
    along = np.vstack([along, along[:1]])
    return np.column_stack([-along[:, 1], along[:, 0]]) / np.linalg.norm(along, axis=1)[:, None]


def shift_of(facing, off):
    """The shift as a whole that best explains how far each point is off along its normal."""
    return np.linalg.lstsq(facing, off, rcond=None)[0]


def nearest(points, polyline):
    """For each point the vector to the nearest place on a polyline."""
    start, step = polyline[:-1], np.diff(polyline, axis=0)
    square = np.maximum((step**2).sum(1), 1e-18)
    vectors = []
    for point in points:
        share = np.clip(((point - start) * step).sum(1) / square, 0.0, 1.0)
        away = start + share[:, None] * step - point
        vectors.append(away[np.argmin((away**2).sum(1))])
    return np.array(vectors)


def distance(points, polyline):
    """The farthest that any of the points is from a polyline."""
    return np.linalg.norm(nearest(points, polyline), axis=1).max()


def outline_distance(outline, polyline):
    """The same for a hole's outline, which may be shifted as a whole."""
    shifted = outline + (polyline.max(0) + polyline.min(0) - outline.max(0) - outline.min(0)) / 2.0
    facing = normals(outline)
    shifted = shifted + shift_of(facing, (nearest(shifted, polyline) * facing).sum(1))
    return distance(shifted, polyline)


class Cubics:
    """Bezier cubics end to end, four points each."""

    def __init__(self, cubics):
        self.cubics = np.array(cubics)

    def points(self):
        """Close together along all of it."""
        t = np.linspace(0.0, 1.0, 129)[:, None]
        a, b, c, d = (self.cubics[:, None, place] for place in range(4))
        inner = a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t**2 * (1 - t) + d * t**3
        return inner.reshape(-1, 2)

    def length(self):
        """By quadrature of the speed, each cubic in four parts."""
        t, weights = gauss(np.linspace(0.0, 1.0, 5))
        a, b, c, d = (self.cubics[:, None, place] for place in range(4))
        t = t[:, None]
        speed = 3 * ((b - a) * (1 - t) ** 2 + 2 * (c - b) * t * (1 - t) + (d - c) * t**2)
        return float((np.linalg.norm(speed, axis=2) * weights).sum())


def gauss(stops):
    """Places and weights of a quadrature over the spans between stops."""
    places, weights = np.polynomial.legendre.leggauss(16)
    middle, half = (stops[1:] + stops[:-1]) / 2.0, np.diff(stops) / 2.0
    return (middle[:, None] + half[:, None] * places).ravel(), (half[:, None] * weights).ravel()


# SVG.


def svg_subpaths(data, height):
    """The parts of path data as lists of cubics, y turned up."""
    parts, here = [], None
    for letter, figures in re.findall(r"([A-Za-z])([^A-Za-z]*)", data):
        points = np.array(figures.split(), float).reshape(-1, 2) * [1, -1] + [0, height]
        if letter == "M":
            parts.append([])
        elif letter == "L":
            parts[-1].append([here, (2 * here + points[0]) / 3, (here + 2 * points[0]) / 3, points[0]])
        elif letter == "C":
            parts[-1].append([here, *points])
        elif letter != "Z":
            raise Fault(f"path data with {letter}")
        here = points[-1] if len(points) else here
    return [Cubics(part) for part in parts if part]


class Svg:
    """The parts of an SVG that are checked."""

    NAMESPACE = "{http://www.w3.org/2000/svg}"

    def __init__(self, path):
        self.root = ElementTree.parse(path).getroot()
        self.box = [float(word) for word in self.root.get("viewBox").split()]
        groups = self.root.iter(f"{self.NAMESPACE}g")
        self.groups = {group.get("id"): group for group in groups}

    def is_in_millimetres(self):
        """Whether a unit of the drawing is a millimetre."""
        size = [self.root.get("width"), self.root.get("height")]
        written = [re.fullmatch(r"([0-9.]+)mm", word or "") for word in size]
        return all(written) and [0.0, 0.0, *(float(word[1]) for word in written)] == self.box

    def paths(self, layer):
        """Every part of every path of a layer."""
        group = self.groups[layer.replace(" ", "-")]
        found = group.iter(f"{self.NAMESPACE}path")
        return [part for path in found for part in svg_subpaths(path.get("d"), self.box[3])]

    def lines(self):
        """The straight lines of the notes, as pairs of ends."""
        return [path.cubics[0][[0, 3]] for path in self.paths("notes") if len(path.cubics) == 1]


# DXF.


class DxfSpline:
    """A spline as ezdxf evaluates it."""

    def __init__(self, entity):
        self.spline = entity.construction_tool()
        self.knots = np.unique(self.spline.knots())

    def points(self):
        """Close together along all of it."""
        share = np.linspace(0.0, 1.0, 129)
        spans = self.knots[:-1, None] + np.diff(self.knots)[:, None] * share
        return np.array([point.vec2 for point in self.spline.points(spans.ravel())])

    def length(self):
        """By quadrature of the speed, each span in four parts."""
        stops = np.interp(np.arange(4 * len(self.knots) - 3) / 4, np.arange(len(self.knots)), self.knots)
        places, weights = gauss(stops)
        speeds = [at[1].magnitude for at in self.spline.derivatives(places, 1)]
        return float(np.dot(speeds, weights))


def dxf_lines(model):
    """The straight lines of the notes, as pairs of ends."""
    found = model.query('LWPOLYLINE[layer=="notes"]')
    return [np.array(line.get_points("xy")) for line in found if len(line) == 2]


# DXF and SVG against the report.


def the_only(things, what):
    """The one thing that there should be."""
    if len(things) != 1:
        raise Fault(f"{len(things)} times {what}")
    return things[0]


def cut_and_base(curves, lines, girth):
    """The curve that is as wide as the wrap, and the left end of the base line under it."""
    wide = [curve for curve in curves if abs(np.ptp(curve.points()[:, 0]) - girth) < EXACT]
    cut = the_only(wide, "a cut as wide as the girth")
    left, low = cut.points().min(0)
    bases = [line for line in lines
             if abs(line[1][0] - line[0][0] - girth) < EXACT and line[0][1] == line[1][1] < low
             and abs(line[0][0] - left) < EXACT]
    return cut, the_only(bases, "a base line under the cut")[0]


def check_curves(tally, kind, job, curves, lines, report):
    """The cut and the hole; gives the cut."""
    wrap = Wrap(job, report)
    cut, corner = cut_and_base(curves, lines, wrap.girth)
    tally.check(f"{kind} cut", job.name, distance(wrap.places + corner, cut.points()), CURVE_BOUND)
    if job.header_od:
        hole = the_only([curve for curve in curves if curve is not cut], "a hole")
        outline = outline_of(job, report, wrap.thickness)
        tally.check(f"{kind} hole", job.name, outline_distance(outline, hole.points()), CURVE_BOUND)
    return cut


def check_svg(tally, job, path, report):
    """The SVG; gives its cut."""
    svg = Svg(path)
    tally.expect("SVG size", job.name, svg.is_in_millimetres(), "width and height are not the viewBox in mm")
    missing = {layer.replace(" ", "-") for layer in LAYERS} - set(svg.groups)
    tally.expect("SVG groups", job.name, not missing, f"no group {missing}")
    return check_curves(tally, "SVG", job, svg.paths("cut line"), svg.lines(), report)


def check_dxf(tally, job, path, report, svg_cut):
    """The DXF."""
    document = ezdxf.readfile(path)
    units = document.header["$INSUNITS"]
    tally.expect("DXF units", job.name, units == 4, f"$INSUNITS is {units}")
    missing = [layer for layer in LAYERS if layer not in document.layers]
    tally.expect("DXF layers", job.name, not missing, f"no layer {missing}")
    audit = document.audit()
    words = "; ".join(entry.message for entry in audit.errors + audit.fixes)
    tally.expect("DXF audit", job.name, not words, words)
    model = document.modelspace()
    curves = [DxfSpline(spline) for spline in model.query('SPLINE[layer=="cut line"]')]
    cut = check_curves(tally, "DXF", job, curves, dxf_lines(model), report)
    tally.check("DXF length", job.name, abs(cut.length() - svg_cut.length()), LENGTH_BOUND)


# Rendered sheets: arrays of darkness, 0 white to 1 black, rows down the page.


def render(renderer, pdf, page):
    """A page at 600 dpi, as 8-bit grey."""
    if renderer == "poppler":
        data = run("pdftoppm", "-r", DPI, "-gray", "-f", page, "-l", page, pdf)
    else:
        data = run("mutool", "draw", "-q", "-r", DPI, "-c", "gray", "-F", "pgm", "-o", "-", pdf, page)
    head = re.match(rb"P5\s+(?:#[^\n]*\n)*(\d+)\s+(\d+)\s+255\s", data)
    width, height = int(head[1]), int(head[2])
    return np.frombuffer(data, np.uint8, width * height, head.end()).reshape(height, width)


def darkness(grey):
    """0 white to 1 black."""
    return 1.0 - grey.astype(np.float32) / 255.0


def one_layer(pdf, copy, layer, turn=""):
    """A copy of a PDF with every other layer switched off, its pages turned; gives how many it has."""
    with pikepdf.open(pdf) as document:
        properties = document.Root.OCProperties
        groups = {str(group.Name): group for group in properties.OCGs}
        if set(groups) != set(LAYERS):
            raise Fault(f"layers {sorted(groups)}")
        properties.D.ON = pikepdf.Array([groups[layer]])
        properties.D.OFF = pikepdf.Array([group for name, group in groups.items() if name != layer])
        for page in document.pages:
            page.contents_add(turn.encode(), prepend=True)
        document.save(copy)
        return len(document.pages)


def centre(profile):
    """The middle of the ink along a profile of darkness; a place's middle is half a pixel on."""
    ink = profile.sum()
    return float((profile * (np.arange(len(profile)) + 0.5)).sum() / ink) if ink > 0.5 else math.nan


def runs(row):
    """Starts and ends of what is true in a row."""
    edges = np.diff(np.pad(row, 1).astype(np.int8))
    return np.nonzero(edges == 1)[0], np.nonzero(edges == -1)[0]


def middle_of(picture, rows, columns, axis):
    """Where a straight line's centre is along an axis: the median over the window's other one."""
    if not np.isfinite([*rows, *columns]).all():
        return math.nan
    (top, bottom), (left, right) = np.round(rows).astype(int), np.round(columns).astype(int)
    if min(top, left) < 0 or bottom > picture.shape[0] or right > picture.shape[1]:
        return math.nan
    window = darkness(picture[top:bottom, left:right])
    window = window.T if axis == 0 else window
    return float(np.median([centre(line) for line in window])) + (top if axis == 0 else left)


def turned_right(picture):
    """A picture turned a quarter to the right: its left is up."""
    return np.rot90(picture, -1)


def check_size(tally, where, page, paper):
    """The picture's size in pixels."""
    difference = max(abs(pixels / PX - mm) for pixels, mm in zip(page.shape[::-1], paper))
    tally.check("size", where, difference, PIXEL)


def ruler_ticks(strip, scale):
    """Centres of the millimetre ticks in a strip whose ruler runs across, millimetres upwards; pixels."""
    dark = strip < 128
    spine = np.nonzero(dark.sum(1) > 0.98 * SPINE * scale * PX)[0]
    if not len(spine) or np.ptp(spine) > PX:
        raise Fault("no ruler's line")
    line = spine.mean() + 0.5
    starts, ends = runs(dark[spine[0]])
    longest = np.argmax(ends - starts)
    reach = slice(starts[longest] - round(PX), ends[longest] + round(PX))
    band = darkness(strip[round(line - 1.4 * PX):round(line - 1.0 * PX), reach]).mean(0)
    starts, ends = runs(band > 0.1)
    return np.array([start - 1 + centre(band[start - 1:end + 1]) for start, end in zip(starts, ends)])


def check_rulers(tally, where, page, correction):
    """Both rulers of a sheet."""
    edge = round(STRIP * PX)
    # What stands over the upright ruler's end on a tall sheet is no part of it.
    upright = page[-round((STRIP + SPINE + 5.0) * correction[1] * PX):, :edge]
    strips = {"across": page[-edge:], "down": turned_right(upright)}
    for (way, strip), scale in zip(strips.items(), correction):
        ticks = ruler_ticks(strip, scale) / PX
        if len(ticks) != RULER + 1:
            raise Fault(f"{len(ticks)} millimetre ticks {way}")
        length = ticks[-1] - ticks[0]
        tally.check(f"ruler {way}", where, abs(length - RULER * scale), PIXEL)
        off = np.abs(ticks - ticks[0] - scale * np.arange(RULER + 1)).max()
        tally.check("ruler ticks", where, off, PIXEL)


def check_layers(tally, where, page, cuts):
    """The copy has no rulers, and the sheet has all of the copy's ink."""
    edge = round(STRIP * PX)
    # Beside the upright ruler only: over its end a tall sheet has room for patterns.
    beside = round((STRIP + RULER) * PX)
    is_bare = cuts[-edge:].min() == 255 == cuts[-beside:, :edge].min()
    tally.expect("layers", where, is_bare, "rulers are left with their layer off")
    is_same = page.shape == cuts.shape and bool((page <= cuts).all())
    tally.expect("layers", where, is_same, "the lines to be cut are lighter on the sheet than alone")


def blobs(picture):
    """Boxes of connected ink, lighter hatching not counted: top, bottom, left, right in pixels."""
    block = 4
    padding = [(0, -size % block) for size in picture.shape]
    ink = np.pad(picture, padding, constant_values=255) < 128
    small = ink.reshape(ink.shape[0] // block, block, -1, block).any((1, 3))
    labels, _ = ndimage.label(small, np.ones((3, 3)))
    boxes = ndimage.find_objects(labels)
    return [tuple(block * edge for part in box for edge in (part.start, part.stop)) for box in boxes]


def is_sized(box, width, height):
    """Whether a box of ink is so large, in pixels, to a millimetre."""
    top, bottom, left, right = box
    return abs(right - left - width) < PX and abs(bottom - top - height) < PX


# Wraps on rendered sheets.


@dataclass
class Tile:
    """A sheet with a wrap or a part of one, cut end up."""

    notes: np.ndarray  # pictures of two layers alone
    cuts: np.ndarray
    box: tuple  # of the cut's ink
    origin: tuple = (0.0, 0.0)  # column of the left edge, row of the base line


class Scale:
    """Pixels per millimetre of a pattern, along its girth and up."""

    def __init__(self, correction, is_turned):
        across, down = (PX * factor for factor in correction)
        self.x, self.y = (down, across) if is_turned else (across, down)


def whole_wrap(wrap, scale, sheets):
    """The sheet with the wrap, as a list of one tile."""
    size = (wrap.girth * scale.x, np.ptp(wrap.profile[:, 1]) * scale.y + LINE * PX)
    fits = [Tile(notes, cuts, box) for notes, cuts in sheets for box in blobs(cuts) if is_sized(box, *size)]
    return [the_only(fits, "a cut of the wrap's size on the sheets")]


def tile_numbers(pdf, count, name):
    """Which tile of a pattern is on which page, from the words under the tiles; empty if it is whole."""
    numbers = {}
    for page in range(count):
        words = run("pdftotext", "-f", page + 1, "-l", page + 1, pdf, "-").decode()
        for number, of in re.findall(rf"{name}: tile (\d+) of (\d+)", words):
            numbers[int(number)] = (page, int(of))
    if sorted(numbers) != [number + 1 for number in range(max((of for _, of in numbers.values()), default=0))]:
        raise Fault(f"{name}: tiles {sorted(numbers)}")
    return [numbers[number][0] for number in sorted(numbers)]


def tiles(pages, sheets):
    """The tiles of a wrap, from the left one to the right one; a hole beside one is narrower than its cut."""
    found = []
    for page in pages:
        boxes = blobs(sheets[page][1])
        if not boxes:
            raise Fault("no cut on a tile")
        found.append(Tile(*sheets[page], max(boxes, key=lambda box: box[3] - box[2])))
    return found


def find_origin(wrap, scale, tile):
    """The left edge and the base line of a tile that has the left edge."""
    top, bottom, left, _ = tile.box
    column = round(left + 10.0 * scale.x)
    row = top + centre(darkness(tile.cuts[top:bottom, column]))
    base = row + wrap.height(10.0) * scale.y
    column = edge_column(tile.notes, left, base, scale)
    return column, base_row(tile.notes, column, base, scale, wrap)


def edge_column(notes, guess, base, scale):
    """The paper's edge near a column, where nothing is written: 8 to 18 mm above the base line."""
    rows = (base - 18.0 * scale.y, base - 8.0 * scale.y)
    return middle_of(notes, rows, (guess - PX, guess + PX), axis=1)


def base_row(notes, left, guess, scale, wrap):
    """The base line near a row, between the first two of sixteen stations, where nothing else is."""
    station = wrap.girth * scale.x / 16.0
    columns = (left + 0.3 * station, left + 0.7 * station)
    return middle_of(notes, (guess - 1.5 * PX, guess + 1.5 * PX), columns, axis=0)


def crosses(notes, scale):
    """Centres (column, row) of the crosses by which tiles are joined."""
    boxes = [box for box in blobs(notes) if is_sized(box, CROSS * scale.x, CROSS * scale.y)]
    return np.array([cross_centre(notes, box, scale) for box in boxes]).reshape(-1, 2)


def cross_centre(notes, box, scale):
    """A cross's centre from the ink of its arms, away from its middle."""
    row, column = (box[0] + box[1]) / 2.0, (box[2] + box[3]) / 2.0
    beside = np.array([1.0, 3.5])
    level = [middle_of(notes, (row - PX, row + PX), column + reach * scale.x, axis=0)
             for reach in (-beside[::-1], beside)]
    upright = [middle_of(notes, row + reach * scale.y, (column - PX, column + PX), axis=1)
               for reach in (-beside[::-1], beside)]
    return np.mean(upright), np.mean(level)


def join(tally, where, scale, tile, following):
    """Lays a tile's crosses on those of the one before it, which gives it its origin."""
    ours = [side_crosses(of, scale, is_right) for of, is_right in ((tile, True), (following, False))]
    shifts = ours[1] - ours[0]
    tally.check("crosses", where, np.abs(shifts[0] - shifts[1]).max() / PX, PIXEL)
    following.origin = tuple(tile.origin + shifts.mean(0))


def side_crosses(tile, scale, is_right):
    """The two crosses at one side of a tile, the upper one first."""
    found = crosses(tile.notes, scale)
    middle = (tile.box[2] + tile.box[3]) / 2.0
    found = found[(found[:, 0] > middle) == is_right]
    if len(found) != 2:
        raise Fault(f"{len(found)} crosses at a tile's side")
    return found[np.argsort(found[:, 1])]


def expected_ink(wrap, scale, tile, column):
    """Top and bottom row of the cut's ink in a pixel column, from the report's curve and the line's width.

    The ink is everything within half a line's width of the curve.
    """
    radius = LINE * PX / 2.0
    off = np.linspace(-radius, radius, 401)
    x = (column + 0.5 + off - tile.origin[0]) / scale.x
    rows = tile.origin[1] - wrap.height(x) * scale.y
    reach = np.sqrt(np.maximum(radius**2 - off**2, 0.0))
    return (rows - reach).min(), (rows + reach).max()


def column_of(wrap, scale, tile, azimuth):
    """The pixel column of an azimuth; None where the tile ends before it. A little away from the ends
    of the line, which are cut off square."""
    x = np.clip(wrap.x(azimuth), 1.5, wrap.girth - 1.5)
    column = tile.origin[0] + x * scale.x
    _, _, left, right = tile.box
    return math.floor(column) if left + PX <= column <= right - PX else None


def check_azimuth(tally, where, wrap, scale, tile, azimuth):
    """Centre and thickness of the line at an azimuth; False where the tile doesn't show it."""
    column = column_of(wrap, scale, tile, azimuth)
    if column is None:
        return False
    top, bottom = expected_ink(wrap, scale, tile, column)
    start = max(0, math.floor(top - 2.0 * PX))
    profile = darkness(tile.cuts[start:math.ceil(bottom + 2.0 * PX), column])
    off = start + centre(profile) - (top + bottom) / 2.0
    at = f"{where}, {azimuth} degrees"
    tally.check("cut", at, abs(off) / PX, PIXEL)
    tally.check("bold", at, abs(profile.sum() - (bottom - top)) / PX, PIXEL)
    return True


def check_wrap(tally, where, job, report, pdf, sheets):
    """The wrap on all of its sheets."""
    wrap = Wrap(job, report)
    scale = Scale(job.correction, wrap.is_turned)
    if wrap.is_turned:
        sheets = [tuple(turned_right(picture) for picture in sheet) for sheet in sheets]
    pages = tile_numbers(pdf, len(sheets), job.pattern)
    parts = tiles(pages, sheets) if pages else whole_wrap(wrap, scale, sheets)
    parts[0].origin = find_origin(wrap, scale, parts[0])
    for tile, following in zip(parts, parts[1:]):
        join(tally, where, scale, tile, following)
    check_girth(tally, where, wrap, scale, parts[-1])
    for azimuth in range(0, 360, 10):
        shown = [check_azimuth(tally, where, wrap, scale, tile, azimuth) for tile in parts]
        if not any(shown):
            raise Fault(f"the cut isn't shown at {azimuth} degrees")


def check_girth(tally, where, wrap, scale, tile):
    """From the left edge to the right one, in true millimetres of the pattern."""
    left, base = tile.origin
    right = edge_column(tile.notes, left + wrap.girth * scale.x, base, scale)
    tally.check("girth", where, abs(right - left - wrap.girth * scale.x) / PX, PIXEL)


# Holes on rendered sheets.


def check_hole(tally, where, job, report, pdf, sheets):
    """The hole, if there is one and it is whole: the line's centre along the outline's normals."""
    if not job.header_od or tile_numbers(pdf, len(sheets), "hole"):
        return
    outline = outline_of(job, report, Wrap(job, report).thickness)
    fits = []
    for _, cuts in sheets:
        for picture, is_turned in ((cuts, False), (turned_right(cuts), True)):
            scale = Scale(job.correction, is_turned)
            pixels = outline * [scale.x, -scale.y]
            size = np.ptp(pixels, axis=0) + LINE * PX
            fits += [(picture, box, pixels) for box in blobs(picture) if is_sized(box, *size)]
    picture, box, pixels = best_fit(fits)
    tally.check("hole", where, hole_off(picture, box, pixels), PIXEL)


def best_fit(fits):
    """The way round that fits better, where a hole is almost as wide as long."""
    if not fits:
        raise Fault("no hole of the report's size on the sheets")
    return min(fits, key=lambda fit: hole_off(*fit))


def hole_off(picture, box, pixels):
    """How far the line's centre is off the outline at most, in millimetres of paper."""
    top, bottom, left, right = box
    middle = np.array([left + right, top + bottom]) / 2.0
    places = pixels + middle - (pixels.max(0) + pixels.min(0)) / 2.0
    facing = normals(places)
    places, facing = places[:-1:10], facing[:-1:10]
    along = np.arange(-1.5 * PX, 1.5 * PX, 0.1)
    samples = places[:, None] + along[:, None] * facing[:, None]
    columns, rows = samples[..., 0] - 0.5, samples[..., 1] - 0.5
    ink = ndimage.map_coordinates(darkness(picture), [rows, columns], order=1)
    off = (ink * along).sum(1) / np.where(ink.sum(1) > 0, ink.sum(1), np.nan)
    if np.isnan(off).any():
        return math.inf
    return np.abs(off - facing @ shift_of(facing, off)).max() / PX


# Jobs.


def make(program, job, paper, folder):
    """The job's files; gives their paths without the suffix, and the report."""
    stem = folder / f"{job.name.replace(' ', '-')}-{paper}"
    out = [f"--{flag}={stem}.{suffix}" for flag, suffix in
           (("out", "pdf"), ("svg", "svg"), ("dxf", "dxf"), ("report", "json"))]
    run(program, *shlex.split(job.words), "--units=mm", f"--paper={paper}", *out)
    return stem, json.loads(stem.with_suffix(".json").read_text(encoding="utf-8"))


def check_pdf(tally, job, paper, stem, report):
    """The PDF with qpdf and with both renderers."""
    pdf, cuts, notes = (stem.with_suffix(suffix) for suffix in (".pdf", ".cuts.pdf", ".notes.pdf"))
    attempt(tally, "qpdf", f"{job.name} {paper}", lambda: check_qpdf(tally, job, paper, pdf))
    count = one_layer(pdf, cuts, "cut line")
    one_layer(pdf, notes, "notes", SLIGHT_TURN)
    if count != report["sheets"]["count"]:
        raise Fault(f"{count} pages, but {report['sheets']['count']} sheets")
    for renderer in RENDERERS:
        where = f"{job.name} {paper} {renderer}"
        sheets = []
        for page in range(1, count + 1):
            alone = render(renderer, cuts, page)
            check_sheet(tally, f"{where}, sheet {page}", job, PAPERS[paper], render(renderer, pdf, page), alone)
            sheets.append((render(renderer, notes, page), alone))
        attempt(tally, "cut", where, lambda: check_wrap(tally, where, job, report, pdf, sheets))
        attempt(tally, "hole", where, lambda: check_hole(tally, where, job, report, pdf, sheets))


def check_sheet(tally, where, job, paper, sheet, cuts):
    """What a sheet is checked for whatever is on it."""
    check_size(tally, where, sheet, paper)
    attempt(tally, "ruler", where, lambda: check_rulers(tally, where, sheet, job.correction))
    check_layers(tally, where, sheet, cuts)


def check_qpdf(tally, job, paper, pdf):
    """qpdf's own check; a warning fails it as an error does."""
    run("qpdf", "--check", pdf)
    tally.expect("qpdf", f"{job.name} {paper}", True, "")


def attempt(tally, kind, where, check):
    """Runs a check; what it can't find or read is a failure, and the others go on."""
    try:
        check()
    except Exception as error:
        tally.fault(kind, where, f"{type(error).__name__}: {error}")


def check_job(tally, program, job, paper, folder):
    """Everything of a job on one paper; the patterns' own files know no paper, and are checked once."""
    where = f"{job.name} {paper}"

    def everything():
        stem, report = make(program, job, paper, folder)
        attempt(tally, "PDF", where, lambda: check_pdf(tally, job, paper, stem, report))
        if paper == "a4":
            cut = check_svg(tally, job, stem.with_suffix(".svg"), report)
            check_dxf(tally, job, stem.with_suffix(".dxf"), report, cut)

    attempt(tally, "files", where, everything)


KINDS = ("qpdf", "size", "ruler across", "ruler down", "ruler ticks", "layers", "girth", "cut", "bold", "crosses",
         "hole", "SVG size", "SVG groups", "SVG cut", "SVG hole", "DXF units", "DXF layers", "DXF audit", "DXF cut",
         "DXF hole", "DXF length")


def main():
    if len(sys.argv) != 2:
        print(__doc__)
        return 2
    program = Path(sys.argv[1]).resolve()
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(os.cpu_count()) as pool:
        work = [pool.submit(check_job, tally, program, job, paper, Path(folder)) for job in JOBS for paper in job.papers]
        for done in work:
            done.result()
    return 0 if tally.report(KINDS) else 1


if __name__ == "__main__":
    sys.exit(main())
