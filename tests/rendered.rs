//! The printed page, pixel by pixel: rulers, girth and cut are where the report has them, on every paper, on one sheet
//! or in tiles that are laid over each other, cross on cross. Lengths in millimetres.
//!
//! Where to look is read from the PDF's lines; what is measured is ink.

mod raster;
mod support;

use kurbo::{ParamCurve, Point, Rect, Shape, Vec2};
use raster::{PIXEL, Raster};
use serde_json::Value;
use support::{Pdf, Shop, Stroke};

const PAPERS: [&str; 5] = ["a4", "a3", "letter", "legal", "tabloid"];
/// On one sheet of every paper.
const SMALL: &str = "saddle --branch 42.4mm_x_2.6mm --header 88.9mm_x_3.2mm --angle 60 --offset 7mm";
/// On one sheet of none.
const LARGE: &str = "saddle --branch 168.3mm_x_4.5mm --header 219.1mm_x_6mm --angle 70 --offset -12mm";
/// Width of the line to be cut along.
const BOLD: f64 = 0.7;

struct Sheets {
    name: String,
    report: Value,
    pdf: Pdf,
    bytes: Vec<u8>,
}

fn printed(joint: &str, paper: &str) -> Sheets {
    let shop = Shop::open();
    shop.run(&format!("{joint} --paper {paper} --out s.pdf --report r.json"))
        .succeeds();
    let bytes = shop.read("s.pdf");
    Sheets {
        name: format!("{joint} on {paper}"),
        report: shop.report("r.json"),
        pdf: Pdf::read(&bytes),
        bytes,
    }
}

/// A pattern or a tile of it on a page: where its base line begins or would, along the girth, and up.
#[derive(Debug, Clone, Copy)]
struct Laid {
    page: usize,
    origin: Point,
    along: Vec2,
    up: Vec2,
}

impl Laid {
    /// With its base line's start in the page's corner; turned a quarter to the left or not.
    fn somewhere(page: usize, is_turned: bool) -> Self {
        let (along, up) = if is_turned {
            (Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0))
        } else {
            (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0))
        };
        Self {
            page,
            origin: Point::ZERO,
            along,
            up,
        }
    }

    /// Along the girth, and up.
    fn of(&self, place: Point) -> (f64, f64) {
        let from = place - self.origin;
        (from.dot(self.along), from.dot(self.up))
    }

    /// The widest line to be cut on the page.
    fn cut<'a>(&self, pdf: &'a Pdf) -> &'a Stroke {
        let reach = |stroke: &&Stroke| stroke.path.bounding_box().size().to_vec2().dot(self.along);
        let cuts = pdf.on("cut-line").filter(|stroke| stroke.page == self.page);
        cuts.max_by(|a, b| reach(a).total_cmp(&reach(b))).expect("a cut")
    }

    /// Lies where the left end of its cut says, `height` being the cut's there.
    fn by_its_cut(self, pdf: &Pdf, height: f64) -> Self {
        let start = self.cut(pdf).path.segments().next().expect("a segment").start();
        Self {
            origin: start - height * self.up,
            ..self
        }
    }

    fn at(&self, girth: f64, height: f64) -> Point {
        self.origin + girth * self.along + height * self.up
    }
}

/// The wrap that a report speaks of.
struct Wrap {
    girth: f64,
    seam: f64,
    /// Height above the base line at each degree of azimuth.
    heights: Vec<f64>,
}

impl Wrap {
    fn new(report: &Value) -> Self {
        let end = &report["ends"][0];
        let number = |key: &str| end[key].as_f64().unwrap_or_else(|| panic!("{key}"));
        let t = |row: &Value| row[1].as_f64().expect("t");
        let rows = end["curve"].as_array().expect("a curve");
        Self {
            girth: number("printed_girth_mm"),
            seam: number("seam_deg"),
            heights: rows.iter().map(|row| number("base_line_t_mm") - t(row)).collect(),
        }
    }

    /// Girth from the left edge, and height, at a degree of azimuth.
    fn place(&self, degree: usize) -> (f64, f64) {
        let girth = (degree as f64 - self.seam).rem_euclid(360.0) / 360.0 * self.girth;
        (girth, self.heights[degree % 360])
    }

    /// Square to the cut at a degree: along the girth, and up.
    fn normal(&self, degree: usize) -> Vec2 {
        let rise = self.heights[(degree + 1) % 360] - self.heights[(degree + 359) % 360];
        Vec2::new(-rise, self.girth / 180.0).normalize()
    }

    /// The cut's height at the left edge.
    fn at_seam(&self) -> f64 {
        self.heights[self.seam.round() as usize % 360]
    }
}

/// Moves a guessed origin onto the ink of the paper's left edge and of the base line.
fn onto_ink(notes: &Raster, laid: Laid) -> Laid {
    let edge = middle(notes, laid.page, |share| laid.at(0.0, 8.0 + 10.0 * share), laid.along);
    // Between the marks of the stations.
    let base = middle(notes, laid.page, |share| laid.at(3.5 + 2.0 * share, 0.0), laid.up);
    Laid {
        origin: laid.origin + edge * laid.along + base * laid.up,
        ..laid
    }
}

/// The middle of how far a straight line's ink is off the places where it is looked for, along `way`.
fn middle(raster: &Raster, page: usize, place: impl Fn(f64) -> Point, way: Vec2) -> f64 {
    let mut offs: Vec<f64> = (0..=8)
        .filter_map(|part| raster.line_across(page, place(f64::from(part) / 8.0), way, 0.8))
        .map(|(off, _)| off)
        .collect();
    offs.sort_by(f64::total_cmp);
    assert!(offs.len() >= 5, "no line near {}", place(0.5));
    offs[offs.len() / 2]
}

/// The cut's ink at a degree is where the report has it, and bold.
#[track_caller]
fn assert_cut(what: &str, cuts: &Raster, wrap: &Wrap, laid: Laid, degree: usize) -> f64 {
    let (girth, height) = wrap.place(degree);
    let normal = wrap.normal(degree);
    let way = normal.x * laid.along + normal.y * laid.up;
    let found = cuts.line_across(laid.page, laid.at(girth, height), way, 2.0 * BOLD);
    let (off, width) = found.unwrap_or_else(|| panic!("{what}: no cut at {degree}"));
    assert!(off.abs() <= PIXEL, "{what} at {degree}: {off}");
    assert!((width - BOLD).abs() <= PIXEL, "{what} at {degree}: {width} wide");
    off.abs()
}

/// Degrees whose line is whole: not at the very edges of the paper.
fn degrees(wrap: &Wrap) -> impl Iterator<Item = usize> {
    (0..360).step_by(5).filter(|degree| {
        let girth = wrap.place(*degree).0;
        girth > 1.5 && girth < wrap.girth - 1.5
    })
}

#[test]
fn rulers_measure_150_mm_both_ways_on_every_paper() {
    for paper in PAPERS {
        let sheets = printed(SMALL, paper);
        let rulers = Raster::only("rulers", &sheets.bytes);
        for (along, off) in [
            (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)),
            (Vec2::new(0.0, 1.0), Vec2::new(1.0, 0.0)),
        ] {
            let length = |stroke: &Stroke| stroke.path.bounding_box().size().to_vec2();
            let spine = sheets
                .pdf
                .on("rulers")
                .find(|stroke| {
                    stroke.page == 0
                        && (length(stroke).dot(along) - 152.4).abs() < 1e-3
                        && length(stroke).dot(off) < 1e-3
                })
                .unwrap_or_else(|| panic!("{}: no ruler", sheets.name));
            let start = spine.path.bounding_box().origin();
            let ticks = [1.2, -1.2]
                .map(|beside| ticks(&rulers, start + beside * off, along))
                .into_iter()
                .max_by_key(Vec::len)
                .unwrap_or_default();
            assert_eq!(ticks.len(), 151, "{}: a tick a millimetre", sheets.name);
            for (tick, at) in ticks.iter().enumerate() {
                let off = at - ticks[0] - tick as f64;
                assert!(off.abs() <= PIXEL, "{}: {off} at {tick}", sheets.name);
            }
        }
    }
}

/// The middles of the ticks that cross the way from `start`, over the length of the inch ruler.
fn ticks(rulers: &Raster, start: Point, along: Vec2) -> Vec<f64> {
    let (before, fine) = (1.0, PIXEL / 8.0);
    let count = (155.0 / fine) as usize;
    let from = start - before * along;
    let dark = rulers.profile(0, from, from + (count - 1) as f64 * fine * along, count);
    let (mut found, mut ink, mut moment) = (Vec::new(), 0.0, 0.0);
    for (place, dark) in dark.into_iter().enumerate() {
        if dark > 0.02 {
            ink += dark;
            moment += dark * place as f64;
        } else if ink > 0.0 {
            found.push(moment / ink * fine - before);
            (ink, moment) = (0.0, 0.0);
        }
    }
    found
}

#[test]
fn the_girth_and_the_cut_are_as_reported_on_one_sheet_of_every_paper() {
    let mut worst = 0.0_f64;
    for paper in PAPERS {
        let sheets = printed(SMALL, paper);
        let wrap = Wrap::new(&sheets.report);
        let (cuts, notes) = (
            Raster::only("cut-line", &sheets.bytes),
            Raster::only("notes", &sheets.bytes),
        );
        let guess = Laid::somewhere(0, sheets.report["ends"][0]["turned"] == true);
        let laid = onto_ink(&notes, guess.by_its_cut(&sheets.pdf, wrap.at_seam()));
        let right = middle(
            &notes,
            laid.page,
            |share| laid.at(wrap.girth, 8.0 + 10.0 * share),
            laid.along,
        );
        assert!(right.abs() <= PIXEL, "{}: the girth is off by {right}", sheets.name);
        for degree in degrees(&wrap) {
            worst = worst.max(assert_cut(&sheets.name, &cuts, &wrap, laid, degree));
        }
    }
    println!("largest difference of the cut's ink on one sheet: {worst:.4} mm");
}

/// The crosses of a tile: pairs of lines of 8 mm with one middle, each by its vectors.
fn crosses(pdf: &Pdf, page: usize) -> Vec<Point> {
    let arms: Vec<Rect> = pdf
        .on("notes")
        .filter(|stroke| stroke.page == page)
        .map(|stroke| stroke.path.bounding_box())
        .collect();
    let is_arm = |long: f64, across: f64| (long - 8.0).abs() < 1e-3 && across < 1e-3;
    let level = arms.iter().filter(|arm| is_arm(arm.width(), arm.height()));
    let upright: Vec<Point> = arms
        .iter()
        .filter(|arm| is_arm(arm.height(), arm.width()))
        .map(Rect::center)
        .collect();
    level
        .map(Rect::center)
        .filter(|at| upright.iter().any(|other| other.distance(*at) < 1e-3))
        .collect()
}

/// The middle of a cross by its ink, beside its own middle.
fn cross_ink(notes: &Raster, page: usize, at: Point) -> Point {
    let beside = [-3.4, -2.6, -1.8, 1.8, 2.6, 3.4];
    let mean = |across: Vec2, along: Vec2| {
        let offs = beside.map(|by| {
            notes
                .line_across(page, at + by * along, across, 0.5)
                .map_or(f64::NAN, |line| line.0)
        });
        offs.iter().sum::<f64>() / beside.len() as f64
    };
    let (x, y) = (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0));
    at + mean(x, y) * x + mean(y, x) * y
}

/// The wrap's tiles in order, each turned or not as its words are.
fn tiles(pdf: &Pdf) -> Vec<Laid> {
    let words = pdf
        .words
        .iter()
        .filter(|words| words.text.starts_with("branch end: tile"));
    words
        .map(|words| Laid::somewhere(words.page, words.turn.abs() > 45.0))
        .collect()
}

#[test]
fn tiles_laid_cross_on_cross_give_the_whole_cut_on_every_paper() {
    let mut worst = 0.0_f64;
    for paper in PAPERS {
        let sheets = printed(LARGE, paper);
        let wrap = Wrap::new(&sheets.report);
        let (cuts, notes) = (
            Raster::only("cut-line", &sheets.bytes),
            Raster::only("notes", &sheets.bytes),
        );
        let laid = laid_tiles(&sheets, &wrap, &notes);
        assert!(laid.len() >= 2, "{}", sheets.name);
        let last = laid[laid.len() - 1];
        let right = middle(
            &notes,
            last.page,
            |share| last.at(wrap.girth, 8.0 + 10.0 * share),
            last.along,
        );
        // One pixel for each time that a tile is laid on another, at most.
        assert!(right.abs() <= PIXEL, "{}: the girth is off by {right}", sheets.name);
        for degree in degrees(&wrap) {
            let (girth, height) = wrap.place(degree);
            let shown: Vec<Laid> = laid
                .iter()
                .copied()
                .filter(|tile| is_on(&sheets.pdf, *tile, girth, height))
                .collect();
            assert!(!shown.is_empty(), "{}: no tile has the cut at {degree}", sheets.name);
            for tile in shown {
                worst = worst.max(assert_cut(&sheets.name, &cuts, &wrap, tile, degree));
            }
        }
    }
    println!("largest difference of the cut's ink over tiles: {worst:.4} mm");
}

/// The tiles one after the other along the girth, each laid by the ink of its crosses on that of the one before.
fn laid_tiles(sheets: &Sheets, wrap: &Wrap, notes: &Raster) -> Vec<Laid> {
    let tiles = tiles(&sheets.pdf);
    let mut laid = vec![onto_ink(notes, tiles[0].by_its_cut(&sheets.pdf, wrap.at_seam()))];
    for next in &tiles[1..] {
        let before = laid[laid.len() - 1];
        let inked = |tile: Laid, is_right: bool| {
            side_crosses(&sheets.pdf, tile, is_right).map(|at| cross_ink(notes, tile.page, at))
        };
        let origins: Vec<Point> = inked(before, true)
            .into_iter()
            .zip(inked(*next, false))
            .map(|(one, other)| {
                let (girth, height) = before.of(one);
                other - girth * next.along - height * next.up
            })
            .collect();
        assert!(origins[0].distance(origins[1]) <= PIXEL, "{}: {origins:?}", sheets.name);
        laid.push(Laid {
            origin: origins[0].midpoint(origins[1]),
            ..*next
        });
    }
    laid
}

/// The crosses at one side of a tile, the lower one first: in the middle of an overlap of 10 mm, which the cut reaches
/// across.
fn side_crosses(pdf: &Pdf, tile: Laid, is_right: bool) -> [Point; 2] {
    let bounds = tile.cut(pdf).path.bounding_box();
    let ends = [bounds.origin(), Point::new(bounds.x1, bounds.y1)].map(|end| tile.of(end).0);
    let middle = if is_right { ends[1] - 5.0 } else { ends[0] + 5.0 };
    let mut found = crosses(pdf, tile.page);
    found.retain(|at| (tile.of(*at).0 - middle).abs() < 0.5);
    found.sort_by(|a, b| tile.of(*a).1.total_cmp(&tile.of(*b).1));
    found
        .try_into()
        .unwrap_or_else(|found| panic!("sheet {}: crosses {found:?}", tile.page))
}

/// Whether a tile shows a place of the cut, a little within its edges.
fn is_on(pdf: &Pdf, tile: Laid, girth: f64, height: f64) -> bool {
    let place = tile.at(girth, height);
    let reaches = |stroke: &&Stroke| {
        let bounds = stroke.path.bounding_box();
        let ends = [bounds.origin(), Point::new(bounds.x1, bounds.y1)].map(|end| (end - place).dot(tile.along));
        ends[0] < -1.5 && ends[1] > 1.5 && bounds.inflate(1.0, 1.0).contains(place)
    };
    pdf.on("cut-line")
        .filter(|stroke| stroke.page == tile.page)
        .any(|stroke| reaches(&stroke))
}
