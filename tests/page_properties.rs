//! What must be true of every sheet, tried on random joints and papers: nothing outside the margins, and the pattern in
//! tiles, laid over each other by their crosses, is exactly the pattern of the report.

mod support;
mod trying;

use kurbo::{Affine, BezPath, ParamCurve, ParamCurveNearest, Point, Rect, Shape, Vec2};
use proptest::prelude::*;
use serde_json::Value;
use support::{Pdf, Shop, Words};
use trying::{FITTED, tried};

/// Failing joints.
const KEPT: &str = "tests/page_properties.regressions";
/// PDF numbers are single precision; a tile's place is found from two crosses.
const SINGLE: f64 = 1e-3;
/// Of the sheet's edge, less the width of a line.
const MARGIN: f64 = 6.0;

/// A saddle on a paper, as typed; joints and papers of every size that is usual, and some that aren't.
fn commands() -> impl Strategy<Value = String> {
    let papers = prop_oneof![
        3 => prop::sample::select(vec!["a4", "a3", "letter", "legal", "tabloid"]).prop_map(str::to_owned),
        2 => (186.0..480.0, 186.0..480.0).prop_map(|(width, height)| format!("{width:.1}mmx{height:.1}mm")),
    ];
    let joints = (15.0..260.0, 0.02..0.3, 1.0..4.0, 30.0..90.0, -1.0..1.0, 0..360);
    (joints, papers).prop_map(|((od, wall, ratio, angle, side, seam), paper)| {
        let header: f64 = od * ratio;
        let offset = side * (header - od) / 2.0 * 0.95;
        format!(
            "saddle --branch {od:.2}mm_x_{:.2}mm --header {header:.2}mm --angle {angle:.1} --offset={offset:.2}mm \
             --seam {seam} --paper {paper}",
            wall * od / 2.0
        )
    })
}

/// Takes places on a page to those of the wrap laid level: turned back, where it lies on its side.
fn level(is_turned: bool) -> Affine {
    if is_turned {
        Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, 0.0])
    } else {
        Affine::IDENTITY
    }
}

/// A tile of the wrap, or all of it, its lines level but not yet in their place.
struct Tile {
    cuts: Vec<BezPath>,
    crosses: Vec<Point>,
    /// Where its sides and its top and foot are trimmed: x of upright lines, and y of level ones.
    trims: [Vec<f64>; 2],
}

impl Tile {
    fn new(pdf: &Pdf, page: usize, is_turned: bool) -> Self {
        let back = level(is_turned);
        let on = |layer: &'static str| {
            let strokes = pdf.on(layer).filter(move |stroke| stroke.page == page);
            strokes.map(|stroke| back * stroke.path.clone()).collect::<Vec<_>>()
        };
        let arms: Vec<Rect> = on("notes").iter().map(Shape::bounding_box).collect();
        let is_arm = |long: f64, across: f64| (long - 8.0).abs() < SINGLE && across < SINGLE;
        let uprights: Vec<Point> = arms
            .iter()
            .filter(|arm| is_arm(arm.height(), arm.width()))
            .map(Rect::center)
            .collect();
        let long = |line: &&Rect| line.width().max(line.height()) > 60.0;
        let upright = arms.iter().filter(long).filter(|line| line.width() < SINGLE);
        let lying = arms.iter().filter(long).filter(|line| line.height() < SINGLE);
        let trims = [
            upright.map(|line| line.x0).collect(),
            lying.map(|line| line.y0).collect(),
        ];
        let crosses = arms
            .iter()
            .filter(|arm| is_arm(arm.width(), arm.height()))
            .map(Rect::center)
            .filter(|at| uprights.iter().any(|other| other.distance(*at) < SINGLE))
            .collect();
        Self {
            cuts: on("cut-line"),
            crosses,
            trims,
        }
    }

    /// Pairs of crosses, each pair in order: over each other at a side, or beside each other at the top or foot.
    fn pairs(&self, at_sides: bool) -> Vec<[Point; 2]> {
        let key = |at: &Point| if at_sides { (at.x, at.y) } else { (at.y, at.x) };
        // Half the overlap in from where it is trimmed.
        let trims = &self.trims[usize::from(!at_sides)];
        let is_here = |at: &&Point| {
            let place = if at_sides { at.x } else { at.y };
            trims.iter().any(|trim| ((place - trim).abs() - 5.0).abs() < 0.01)
        };
        let mut sorted: Vec<Point> = self.crosses.iter().filter(is_here).copied().collect();
        sorted.sort_by(|a, b| {
            let (a, b) = (key(a), key(b));
            if (a.0 - b.0).abs() < 0.01 {
                a.1.total_cmp(&b.1)
            } else {
                a.0.total_cmp(&b.0)
            }
        });
        let pairs = sorted
            .windows(2)
            .filter(|pair| (key(&pair[0]).0 - key(&pair[1]).0).abs() < 0.01);
        pairs.map(|pair| [pair[0], pair[1]]).collect()
    }
}

/// Lays the tiles over each other, row by row from the upper left one; the shift of each.
fn laid(tiles: &[Tile]) -> Result<Vec<Vec2>, TestCaseError> {
    let (mut shifts, mut row_start, mut goes_on) = (vec![Vec2::ZERO], 0, false);
    for (index, tile) in tiles.iter().enumerate() {
        let sides = tile.pairs(true);
        if index > 0 {
            let (before, ours) = if goes_on {
                (tiles[index - 1].pairs(true).pop(), sides.first().copied())
            } else {
                (tiles[row_start].pairs(false).first().copied(), tile.pairs(false).pop())
            };
            let (before, ours) = before
                .zip(ours)
                .ok_or_else(|| TestCaseError::fail("a tile without crosses"))?;
            let laid_on = if goes_on { index - 1 } else { row_start };
            let apart = [before[0] - ours[0], before[1] - ours[1]];
            prop_assert!((apart[0] - apart[1]).hypot() < SINGLE, "{apart:?}");
            shifts.push(shifts[laid_on] + (apart[0] + apart[1]) / 2.0);
        }
        let is_first = !goes_on;
        if is_first {
            row_start = index;
        }
        goes_on = sides.len() > usize::from(!is_first);
    }
    Ok(shifts)
}

/// The wrap's cut as the report has it: girth from the left edge and height over the base line.
fn reported(report: &Value) -> Vec<Point> {
    let end = &report["ends"][0];
    let number = |value: &Value| value.as_f64().expect("a number");
    // Whole degrees were asked for, and went through radians.
    let (girth, seam) = (number(&end["printed_girth_mm"]), number(&end["seam_deg"]).round());
    let base = number(&end["base_line_t_mm"]);
    let rows = end["curve"].as_array().expect("a curve").iter();
    rows.map(|row| {
        let x = (number(&row[0]) - seam).rem_euclid(360.0) / 360.0 * girth;
        Point::new(x, base - number(&row[1]))
    })
    .collect()
}

/// Every place of the report's cut lies on a line to be cut, and every such line that is open on the wrap's cut.
fn assert_whole(report: &Value, tiles: &[Tile]) -> Result<(), TestCaseError> {
    let places = reported(report);
    let shifts = laid(tiles)?;
    let lines = tiles
        .iter()
        .zip(&shifts)
        .flat_map(|(tile, shift)| tile.cuts.iter().map(move |cut| Affine::translate(*shift) * cut.clone()));
    let lines: Vec<BezPath> = lines.collect();
    let seam = places
        .iter()
        .find(|place| place.x < 1e-9)
        .copied()
        .expect("the seam is at a whole degree");
    // The line that begins farthest to the left at the wrap's own edge begins at the seam.
    let starts = lines
        .iter()
        .filter_map(|line| line.segments().next())
        .map(|first| first.start());
    let fits = |start: &Point| {
        let move_by = start.to_vec2() - seam.to_vec2();
        places
            .iter()
            .map(|place| off(&lines, *place + move_by))
            .fold(0.0, f64::max)
    };
    let best = starts.map(|start| fits(&start)).fold(f64::MAX, f64::min);
    prop_assert!(
        best <= FITTED + 2.0 * SINGLE,
        "the tiles' cut is {best} off the report's"
    );
    Ok(())
}

fn off(lines: &[BezPath], place: Point) -> f64 {
    lines
        .iter()
        .filter(|line| line.bounding_box().inflate(1.0, 1.0).contains(place))
        .flat_map(BezPath::segments)
        .map(|segment| segment.nearest(place, 1e-9).distance_sq)
        .fold(f64::MAX, f64::min)
        .sqrt()
}

fn assert_within_margins(pdf: &Pdf) -> Result<(), TestCaseError> {
    for stroke in &pdf.strokes {
        let (width, height) = pdf.pages[stroke.page];
        let inside = Rect::new(MARGIN, MARGIN, width - MARGIN, height - MARGIN);
        let ink = stroke
            .path
            .bounding_box()
            .inflate(stroke.width / 2.0, stroke.width / 2.0);
        prop_assert!(inside.union(ink) == inside, "{stroke:?}");
    }
    for words in &pdf.words {
        let (width, height) = pdf.pages[words.page];
        let inside = Rect::new(MARGIN, MARGIN, width - MARGIN, height - MARGIN);
        prop_assert!(inside.contains(words.at) && words.size_pt >= 8.0, "{words:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(tried(96, KEPT))]

    #[test]
    fn every_sheet_keeps_its_margins_and_every_pattern_is_whole(command in commands()) {
        let shop = Shop::open();
        let run = shop.run(&format!("{command} --out s.pdf --report r.json"));
        prop_assert_eq!(run.code(), 0, "{}", run.err());
        let (pdf, report) = (Pdf::read(&shop.read("s.pdf")), shop.report("r.json"));
        assert_within_margins(&pdf)?;
        let words: Vec<&Words> = pdf.words.iter().filter(|words| words.text.starts_with("branch end: tile")).collect();
        if words.is_empty() {
            let is_turned = report["ends"][0]["turned"] == true;
            let on_a_page = (0..pdf.pages.len()).map(|page| assert_whole(&report, &[Tile::new(&pdf, page, is_turned)]));
            let all: Vec<_> = on_a_page.collect();
            prop_assert!(all.iter().any(Result::is_ok), "{all:?}");
            return Ok(());
        }
        // Which crosses belong to which tile can't be told where two share a sheet.
        let on_page = |page: usize| pdf.words.iter().filter(move |words| words.page == page && words.text.contains(": tile "));
        prop_assume!(words.iter().all(|words| on_page(words.page).count() == 1));
        let tiles: Vec<Tile> =
            words.iter().map(|words| Tile::new(&pdf, words.page, words.turn.abs() > 45.0)).collect();
        assert_whole(&report, &tiles)?;
    }
}
