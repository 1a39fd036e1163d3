//! The numbers of holes on mark-outs, as they are drawn: each can be read as its own hole's alone, or a leader leads from it to
//! the hole. All lengths are in millimetres on the sheet.

mod support;

use girthline::letters::Face;
use kurbo::{Line, ParamCurveNearest, PathEl, Point, Rect, Shape};
use support::{MM_PER_POINT, Pdf, Shop, Stroke, Words};

/// A bare label is so near to its hole at most, and so many times nearer than to any other.
const NEAR: f64 = 3.0;
const NEARER: f64 = 1.5;
/// A leader begins so far from its words, and ends on its hole's outline.
const FROM_WORDS: f64 = 0.4;
const ON_OUTLINE: f64 = 0.02;

const DRUM: f64 = 572.0;
const LONG: f64 = 880.0;

/// Clamp rings, by their edges along the drum.
const RINGS: [[f64; 2]; 2] = [[90.0, 120.0], [630.0, 665.0]];

/// A drum with small tubes at places along it and round it, in mm and degrees.
fn job(units: &str, places: &[(f64, f64)], has_rings: bool) -> String {
    let told = |mm: f64| if units == "mm" { mm } else { mm / 25.4 };
    let rings = RINGS.map(|ring| {
        let [from, to] = ring.map(told);
        format!(r#"{{ "name": "clamp ring", "along": [{from}, {to}] }}"#)
    });
    let rings = format!(r#", "keep_off": [ {} ]"#, rings.join(", "));
    let of_drum = if has_rings { rings.as_str() } else { "" };
    let tube = if units == "mm" {
        "16mm x 1.5mm"
    } else {
        "0.625in x 0.06in"
    };
    let tubes = places.iter().enumerate().map(|(index, (along, round))| {
        let place = format!(r#""on": "drum", "along": {}, "round": "{round}deg""#, told(*along));
        let out = told(120.0);
        format!(
            r#""t{index}": {{ "stock": "a", "path": [ {{ {place} }}, {{ {place}, "out": {out} }} ], "end": {{ "join": "square" }} }}"#
        )
    });
    format!(
        r#"{{ "units": "{units}", "stock": {{ "a": {{ "size": "{tube}" }} }}, "bodies": {{ "drum": {{ "shape": "cylinder",
        "size": "{}{units} x {}{units}", "from": [0, 0, 0], "to": [0, 0, {}], "zero": [1, 0, 0]{of_drum} }} }}, "tubes": {{ {} }} }}"#,
        told(DRUM),
        told(1.2),
        told(LONG),
        tubes.collect::<Vec<_>>().join(", ")
    )
}

/// A label: a hole's number, and the figures beside and below it.
#[derive(Debug)]
struct Label {
    hole: usize,
    place: Rect,
}

/// A drum's mark-out as it is drawn.
struct Sheet {
    labels: Vec<Label>,
    /// By their numbers.
    holes: Vec<Vec<Line>>,
    /// Thin straight lines.
    thin: Vec<Line>,
    zero: Line,
    /// Of the clamp rings, across the skin.
    edges: Vec<Line>,
    says_left_out: bool,
}

fn bounds(words: &Words) -> Rect {
    let size = words.size_pt * MM_PER_POINT;
    let face = Face::of(words.bold);
    let advance = |letter| face.glyph(letter).map_or(0.0, |glyph| f64::from(glyph.advance));
    let width: f64 = words.text.chars().map(advance).sum::<f64>() * size;
    Rect::new(0.0, -0.22 * size, width, 0.76 * size) + words.at.to_vec2()
}

fn sides(path: &kurbo::BezPath) -> Vec<Line> {
    path.segments().filter_map(|segment| segment.as_line()).collect()
}

fn is_pen(stroke: &Stroke, width: f64) -> bool {
    (stroke.width - width).abs() < 0.02
}

impl Sheet {
    fn read(units: &str, paper: &str, places: &[(f64, f64)], has_rings: bool) -> Self {
        let shop = Shop::open();
        shop.write("job.json", job(units, places, has_rings).as_bytes());
        shop.run(&format!("batch job.json --paper {paper} --out p.pdf"))
            .succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let title = pdf.words.iter().find(|words| words.text.starts_with("MARK-OUT"));
        let page = title.expect("a mark-out").page;
        let words: Vec<&Words> = pdf.words.iter().filter(|words| words.page == page).collect();
        let strokes: Vec<&Stroke> = pdf.strokes.iter().filter(|stroke| stroke.page == page).collect();
        let zero = strokes.iter().filter(|stroke| stroke.layer.contains("crown"));
        let zero: Vec<Line> = zero.flat_map(|stroke| sides(&stroke.path)).collect();
        assert_eq!(zero.len(), 1, "{zero:?}");
        let thin = strokes
            .iter()
            .filter(|stroke| is_pen(stroke, 0.15))
            .map(|stroke| sides(&stroke.path));
        let (foot, scale) = foot_and_scale(zero[0]);
        let edges = RINGS.into_iter().flatten().filter(|_| has_rings);
        Self {
            edges: edges
                .map(|along| {
                    let (aside, y) = (scale * std::f64::consts::PI * DRUM / 2.0, foot.y + scale * along);
                    Line::new((foot.x - aside, y), (foot.x + aside, y))
                })
                .collect(),
            labels: words.iter().filter_map(|number| label(number, &words)).collect(),
            holes: holes(&strokes, zero[0], places),
            thin: thin.filter(|sides| sides.len() == 1).flatten().collect(),
            zero: zero[0],
            says_left_out: words.iter().any(|words| words.text.contains("fit here")),
        }
    }

    fn leader(&self, label: &Label) -> Option<Line> {
        let ends = self.thin.iter().flat_map(|line| [*line, line.reversed()]);
        let begins = ends.filter(|line| (gap(line.p0, label.place) - FROM_WORDS).abs() < 0.12);
        let mut ends = begins.filter(|line| from_outline(line.p1, &self.holes[label.hole]) < ON_OUTLINE);
        ends.next()
    }

    /// All that is wrong with the labels; how many of them have leaders.
    fn wrong(&self) -> (Vec<String>, usize) {
        let (mut wrong, mut leaders) = (Vec::new(), Vec::new());
        for label in &self.labels {
            let number = label.hole + 1;
            let distances: Vec<f64> = self.holes.iter().map(|hole| distance(label.place, hole)).collect();
            let others = distances.iter().enumerate().filter(|(other, _)| *other != label.hole);
            let nearest = others.map(|(_, distance)| *distance).fold(f64::MAX, f64::min);
            let own = distances[label.hole];
            let is_bare = own <= NEAR + 0.05 && nearest >= NEARER * own - 0.05;
            match self.leader(label) {
                Some(leader) => leaders.push((label.hole, leader)),
                None if is_bare => {}
                None => wrong.push(format!(
                    "H{number} is {own:.2} from its hole, {nearest:.2} from another, and has no leader"
                )),
            }
            if crosses(self.zero, label.place) {
                wrong.push(format!("H{number} lies over the zero line"));
            }
            for edge in &self.edges {
                if crosses(*edge, label.place) {
                    wrong.push(format!("H{number} lies over the edge of a clamp ring"));
                }
            }
            for other in self.labels.iter().filter(|other| other.hole > label.hole) {
                if !label.place.intersect(other.place).is_zero_area() {
                    wrong.push(format!("H{number} lies over H{}", other.hole + 1));
                }
            }
        }
        for (hole, leader) in &leaders {
            let number = hole + 1;
            for other in self
                .labels
                .iter()
                .filter(|other| other.hole != *hole && crosses(*leader, other.place))
            {
                wrong.push(format!(
                    "the leader of H{number} crosses the words of H{}",
                    other.hole + 1
                ));
            }
            for (other, sides) in self.holes.iter().enumerate().filter(|(other, _)| other != hole) {
                if sides.iter().any(|side| meet(*side, *leader)) {
                    wrong.push(format!("the leader of H{number} runs through H{}", other + 1));
                }
            }
            for (other, _) in leaders
                .iter()
                .filter(|(other, line)| other > hole && meet(*line, *leader))
            {
                wrong.push(format!("the leaders of H{number} and H{} cross", other + 1));
            }
        }
        (wrong, leaders.len())
    }
}

/// The label that a bold number begins.
fn label(number: &Words, words: &[&Words]) -> Option<Label> {
    let hole: usize = number.text.strip_prefix('H')?.parse().ok()?;
    let own = Some(bounds(number)).filter(|_| number.bold)?;
    let beside = Point::new(own.x1 + 1.2, number.at.y);
    let below = Point::new(own.x0, number.at.y - 3.2);
    let figures = words
        .iter()
        .filter(|words| !words.bold && words.size_pt == number.size_pt);
    let figures = figures.filter(|words| [beside, below].iter().any(|at| words.at.distance(*at) < 0.05));
    Some(Label {
        hole: hole - 1,
        place: figures.fold(own, |place, words| place.union(bounds(words))),
    })
}

/// Where the zero line meets the drum's bottom, and to which scale the drum is drawn.
fn foot_and_scale(zero: Line) -> (Point, f64) {
    let foot = if zero.p0.y < zero.p1.y { zero.p0 } else { zero.p1 };
    (foot, zero.length() / LONG)
}

/// The outlines of the holes, in the order in which they are numbered.
fn holes(strokes: &[&Stroke], zero: Line, places: &[(f64, f64)]) -> Vec<Vec<Line>> {
    let drawn: Vec<&&Stroke> = strokes.iter().filter(|stroke| is_pen(stroke, 0.35)).collect();
    let (foot, scale) = foot_and_scale(zero);
    let found = places.iter().map(|(along, round)| {
        let right = std::f64::consts::PI * DRUM * round / 360.0;
        let at = foot + scale * kurbo::Vec2::new(right, *along);
        let mut here = drawn
            .iter()
            .filter(|stroke| stroke.path.bounding_box().center().distance(at) < 0.1);
        let outline = here.next().unwrap_or_else(|| panic!("no hole at {at:?}"));
        sides(&outline.path)
    });
    found.collect()
}

fn gap(place: Point, area: Rect) -> f64 {
    let near = Point::new(place.x.clamp(area.x0, area.x1), place.y.clamp(area.y0, area.y1));
    near.distance(place)
}

fn from_outline(place: Point, outline: &[Line]) -> f64 {
    let distances = outline.iter().map(|side| side.nearest(place, 1e-6).distance_sq.sqrt());
    distances.fold(f64::MAX, f64::min)
}

/// Holes here are specks beside words: none reaches round a label.
fn distance(place: Rect, outline: &[Line]) -> f64 {
    outline.iter().map(|side| gap(side.p0, place)).fold(f64::MAX, f64::min)
}

fn meet(a: Line, b: Line) -> bool {
    let on = |at: Point, line: Line| line.nearest(at, 1e-6).distance_sq < 1e-9;
    a.crossing_point(b).is_some_and(|at| on(at, a) && on(at, b))
}

fn crosses(line: Line, area: Rect) -> bool {
    let corners: Vec<Point> = area
        .to_path(0.1)
        .elements()
        .iter()
        .filter_map(|element| match element {
            PathEl::MoveTo(at) | PathEl::LineTo(at) => Some(*at),
            _ => None,
        })
        .collect();
    let next = corners.iter().cycle().skip(1);
    area.contains(line.p0) || corners.iter().zip(next).any(|(a, b)| meet(Line::new(*a, *b), line))
}

/// Numbers from 0 to 1, the same ones each time.
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

/// Rows along the drum, rows round it and grids of close holes.
fn strewn(seed: u64) -> Vec<(f64, f64)> {
    let mut random = Random(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
    let (along, round) = (random.between(150.0, 450.0), random.between(-100.0, 80.0));
    let count = random.between(3.0, 12.99) as usize;
    let columns = match seed % 3 {
        0 => 1,
        1 => count,
        _ => 3,
    };
    let rows = (0..count).map(|hole| {
        let (column, row) = (hole % columns, hole / columns);
        let (up, aside) = (random.between(0.0, 8.0), random.between(0.0, 1.5));
        (along + 36.0 * row as f64 + up, round + 7.5 * column as f64 + aside)
    });
    let rounded = rows.map(|(along, round)| ((10.0 * along).round() / 10.0, (10.0 * round).round() / 10.0));
    rounded.collect()
}

#[test]
fn every_label_of_close_holes_can_be_read_as_its_own_holes_alone() {
    let (mut wrong, mut leaders, mut labels) = (Vec::new(), 0, 0);
    for seed in 1..=24 {
        let places = strewn(seed);
        let (units, paper) = (
            ["mm", "in"][(seed / 3 % 2) as usize],
            ["a4", "letter"][(seed % 2) as usize],
        );
        let sheet = Sheet::read(units, paper, &places, seed % 4 > 1);
        let (found, with_leaders) = sheet.wrong();
        wrong.extend(found.into_iter().map(|wrong| format!("{seed}: {wrong}")));
        if sheet.labels.len() != places.len() || sheet.says_left_out {
            wrong.push(format!("{seed}: {} labels of {}", sheet.labels.len(), places.len()));
        }
        labels += sheet.labels.len();
        leaders += with_leaders;
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(labels > 120 && leaders > 80, "{labels} {leaders}");
}

#[test]
fn a_row_of_three_tubes_near_a_drums_end_is_labelled_beside_its_zero_line_and_on_it() {
    for (round, has_rings) in [
        (40.0, false),
        (40.0, true),
        (0.0, false),
        (3.0, true),
        (-3.0, false),
        (-90.0, true),
    ] {
        let places = [690.0, 760.0, 795.0].map(|along| (along, round));
        for units in ["mm", "in"] {
            let sheet = Sheet::read(units, "a4", &places, has_rings);
            let (wrong, leaders) = sheet.wrong();
            assert_eq!(wrong, Vec::<String>::new(), "{round} {units}");
            assert!(sheet.labels.len() == 3 && leaders > 0, "{round} {units}");
        }
    }
}
