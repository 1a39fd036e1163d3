//! Mark-outs of dished heads: seen from outside along the axis, every hole where its landing has it.

use girthline::job::raw::Sheet;
use girthline::job::read::read_job;
use girthline::job::resolve;
use girthline::plan::{Plan, batch};
use glam::DVec3;
use kurbo::{PathEl, Point, Shape, Vec2};
use support::{Pdf, Shop, Stroke};

mod support;

/// A dish of DIN 28011: crown 600, knuckle 60 on 600 mm, leaning, with a tube along its axis at each place (along, round in degrees).
fn job(places: &[(f64, f64)]) -> String {
    let out = out();
    let tube = |(number, (along, round)): (usize, &(f64, f64))| {
        format!(
            r#""tube {number}": {{ "stock": "tube", "path": [ {{ "on": "end", "along": {along}, "round": "{round}deg" }},
               {{ "step": [{}, {}, {}] }} ] }}"#,
            400.0 * out.x,
            400.0 * out.y,
            400.0 * out.z
        )
    };
    let tubes: Vec<String> = places.iter().enumerate().map(tube).collect();
    format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "48.3mm x 2.6mm" }} }},
             "bodies": {{ "end": {{ "shape": "head", "size": "600mm x 6mm", "at": [10, 20, 30], "out": [0, 1, 3], "zero": [1, 0, 0],
                                   "dish": "DIN 28011", "flange": 20 }} }},
             "tubes": {{ {} }} }}"#,
        tubes.join(", ")
    )
}

fn out() -> DVec3 {
    DVec3::new(0.0, 1.0, 3.0).normalize()
}

const AT: DVec3 = DVec3::new(10.0, 20.0, 30.0);
const ZERO: DVec3 = DVec3::X;

/// The holes' places: on the crown to both sides and behind, at the apex, on the knuckle.
const PLACES: [(f64, f64); 5] = [(150.0, 40.0), (200.0, -75.0), (120.0, 180.0), (0.0, 0.0), (285.0, 0.0)];

fn plan(job: &str) -> Plan {
    let words = read_job("job.json", job).expect("JSON");
    let resolved = resolve::job_file(&words, &Sheet::default()).unwrap_or_else(|problems| panic!("{problems}"));
    batch(&resolved, &|_, _| ()).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Off the axis at `along` over the skin from the apex (GEOMETRY, "Dished heads"), in millimetres.
fn off_axis(along: f64) -> f64 {
    let (crown, knuckle, radius) = (600.0_f64, 60.0_f64, 300.0_f64);
    let phi = ((radius - knuckle) / (crown - knuckle)).asin();
    match along / crown {
        angle if angle <= phi => crown * angle.sin(),
        _ => radius - knuckle + knuckle * (phi + (along - crown * phi) / knuckle).sin(),
    }
}

#[test]
fn holes_are_seen_where_they_land() {
    let job = job(&PLACES);
    let plan = plan(&job);
    let holes = plan.compass_holes();
    assert_eq!(holes.len(), PLACES.len());
    // Outside at the zero line, looking in, the apex up: to the right of the eye.
    let right = (-ZERO).cross(out());
    let words = read_job("job.json", &job).expect("JSON");
    let assembly = resolve::job_file(&words, &Sheet::default()).expect("a job").joint;
    for ((hole, (along, round)), tube) in holes.iter().zip(PLACES).zip(&assembly.tubes) {
        let seen = &hole.seen;
        let landing = tube.nodes[0] - AT;
        let expected = Point::new(landing.dot(right), -landing.dot(ZERO));
        assert!(seen.middle.distance(expected) < 1e-6, "{:?} {expected:?}", seen.middle);
        let (sin, cos) = round.to_radians().sin_cos();
        let by_formula = Point::new(off_axis(along) * sin, -off_axis(along) * cos);
        assert!(
            seen.middle.distance(by_formula) < 1e-6,
            "{:?} {by_formula:?}",
            seen.middle
        );
        // Along the axis the bore is seen as the circle that it is.
        for place in &seen.outline {
            let off = place.distance(seen.middle) - 21.55;
            assert!(off.abs() < 1e-6, "{off}");
        }
        assert_eq!(seen.rim_radius_mm, 300.0);
    }
}

struct Drawn {
    pdf: Pdf,
    page: usize,
}

impl Drawn {
    fn of(job: &str) -> Self {
        let shop = Shop::open();
        shop.write("job.json", job.as_bytes());
        let run = shop.run("batch job.json --out p.pdf --without gores");
        assert!(run.code() < 2, "{}", run.err());
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let title = pdf.words.iter().find(|words| words.text.starts_with("MARK-OUT: end"));
        let page = title.expect("a mark-out").page;
        Self { pdf, page }
    }

    fn words(&self) -> String {
        let words = self.pdf.words.iter().filter(|words| words.page == self.page);
        words.map(|words| words.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    fn at(&self, text: &str) -> Point {
        let mut words = self.pdf.words.iter().filter(|words| words.page == self.page);
        let found = words.find(|words| words.text == text);
        found.unwrap_or_else(|| panic!("{text}: {}", self.words())).at
    }

    /// Outlines so wide, as boxes' middles and widths.
    fn boxes(&self, is_it: impl Fn(&Stroke) -> bool) -> Vec<(Point, f64)> {
        let strokes = self
            .pdf
            .strokes
            .iter()
            .filter(|stroke| stroke.page == self.page && is_it(stroke));
        let boxes = strokes.map(|stroke| stroke.path.bounding_box());
        boxes.map(|around| (around.center(), around.width())).collect()
    }
}

#[test]
fn the_sheet_shows_every_hole_to_scale_and_says_that_it_is_a_view() {
    let drawn = Drawn::of(&job(&PLACES));
    let words = drawn.words();
    assert!(
        words.contains("Seen from outside along the axis")
            && words.contains("A VIEW, NOT A PATTERN: don't tape it on."),
        "{words}"
    );
    // 600 mm in what the sheet has: 1 : 5 leaves 120 mm.
    assert!(words.contains("to scale 1 : 5."), "{words}");
    let rims =
        drawn.boxes(|stroke| (stroke.path.bounding_box().width() - 120.0).abs() < 0.05 && stroke.layer == "notes");
    let (apex, _) = *rims
        .iter()
        .find(|(_, width)| (width - 120.0).abs() < 0.05)
        .expect("the rim");
    let holes = drawn.boxes(|stroke| (stroke.width - 0.35).abs() < 0.01);
    for (along, round) in PLACES {
        let (sin, cos) = round.to_radians().sin_cos();
        let expected = apex + 0.2 * off_axis(along) * kurbo::Vec2::new(sin, -cos);
        let (place, width) = holes
            .iter()
            .min_by(|a, b| a.0.distance(expected).total_cmp(&b.0.distance(expected)))
            .expect("holes");
        assert!(
            place.distance(expected) < 0.02,
            "{along}, {round}: {place:?} {expected:?}"
        );
        assert!((width - 0.2 * 43.1).abs() < 0.02, "{width}");
    }
    assert_eq!(holes.len(), PLACES.len());
    // Zero is down, right is to the right.
    let (zero, right, left) = (drawn.at("ZERO"), drawn.at("90° right"), drawn.at("90° left"));
    assert!(zero.y < apex.y - 60.0 && right.x > apex.x + 60.0 && left.x < apex.x - 60.0);
    let arrow = drawn.at("to the right");
    assert!(arrow.x > apex.x && arrow.y < apex.y);
    // Each hole has its number beside it and its two tapes in the table: over the skin, and round the rim.
    let chord = 2.0 * 600.0 * (150.0_f64 / 1200.0).sin();
    for expected in [
        format!(
            "H1 tube 0 (start) 150.00 mm {:.2} mm (40°) to the right {chord:.2} mm",
            300.0 * 40_f64.to_radians()
        ),
        format!(
            "H2 tube 1 (start) 200.00 mm {:.2} mm (75°) to the left",
            300.0 * 75_f64.to_radians()
        ),
        "H4 tube 3 (start) 0.00 mm - 0.00 mm".to_owned(),
        "H5 tube 4 (start) 285.00 mm on the line".to_owned(),
    ] {
        assert!(words.contains(&expected), "{expected}: {words}");
    }
    for number in ["H1", "H2", "H3", "H4", "H5"] {
        let all = drawn
            .pdf
            .words
            .iter()
            .filter(|words| words.page == drawn.page && words.bold);
        let near = all
            .filter(|words| words.text.starts_with(number) && words.at.distance(apex) < 75.0)
            .count();
        assert_eq!(near, 1, "{number} by its hole: {words}");
    }
}

/// A hole smaller than the cross at the apex has its number, too.
#[test]
fn a_small_hole_at_the_apex_has_its_number() {
    let drawn = Drawn::of(&job(&PLACES).replace("48.3mm x 2.6mm", "17.2mm x 2mm"));
    for number in 1..=5 {
        let bold = drawn
            .pdf
            .words
            .iter()
            .filter(|words| words.page == drawn.page && words.bold);
        let named = format!("H{number} tube {}", number - 1);
        assert_eq!(
            bold.filter(|words| words.text == named).count(),
            1,
            "{named}: {}",
            drawn.words()
        );
    }
}

/// A tube that leans: every place of its outline as it is seen, put back on the crown, is on its bore.
#[test]
fn a_leaning_tubes_outline_is_seen_along_the_axis_and_not_along_the_tube() {
    for lean in ["[150, 126", "[-150, 126"] {
        let job = job(&[(150.0, 40.0)]).replace("[0, 126", lean);
        let words = read_job("job.json", &job).expect("JSON");
        let nodes = resolve::job_file(&words, &Sheet::default()).expect("a job").joint.tubes[0]
            .nodes
            .clone();
        let (at, way) = (nodes[0], (nodes[1] - nodes[0]).normalize());
        let plan = plan(&job);
        let seen = plan.compass_holes()[0].seen.clone();
        let right = (-ZERO).cross(out());
        // The dish is 116.26 mm deep, so the crown's middle is that less 600 mm over the rim's.
        let crown = AT + (600.0 - 540.0 * (1.0 - (240.0_f64 / 540.0).powi(2)).sqrt() - 600.0) * out();
        for place in &seen.outline {
            let over = (600.0 * 600.0 - place.to_vec2().hypot2()).sqrt();
            let on_skin = crown + place.x * right - place.y * ZERO + over * out() - at;
            let off = (on_skin - on_skin.dot(way) * way).length() - 21.55;
            assert!(off.abs() < 1e-6, "{lean}: {off}");
        }
    }
}

/// A ball about the origin, its pole up and its zero line towards +x, with tubes straight out at these places (along, round in degrees).
fn ball(places: &[(f64, f64)]) -> String {
    let tube = |(number, (along, round)): (usize, &(f64, f64))| {
        let (polar, round_by) = (along / 150.0, round.to_radians());
        let step = 200.0 * DVec3::new(polar.sin() * round_by.cos(), polar.sin() * round_by.sin(), polar.cos());
        format!(
            r#""tube {number}": {{ "stock": "tube", "path": [ {{ "on": "ball", "along": {along}, "round": "{round}deg" }},
               {{ "step": [{}, {}, {}] }} ] }}"#,
            step.x, step.y, step.z
        )
    };
    let tubes: Vec<String> = places.iter().enumerate().map(tube).collect();
    format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "33.7mm x 2.6mm" }} }},
        "bodies": {{ "ball": {{ "shape": "sphere", "size": "300mm x 4mm", "at": [0, 0, 0] }},
                    "end": {{ "shape": "head", "size": "300mm x 4mm", "at": [600, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0], "dish": "hemisphere" }} }},
        "tubes": {{ {} }} }}"#,
        tubes.join(", ")
    )
}

/// From above +x is down and +y to the right; from below, +x down, +y is to the left. Heads without holes have no view.
#[test]
fn each_half_of_a_ball_with_holes_has_a_view() {
    let places = [(80.0, 40.0), (320.0, 40.0), (360.0, -100.0)];
    let text = ball(&places);
    for (hole, (along, round)) in plan(&text).compass_holes().iter().zip(places) {
        let (sin, cos) = round.to_radians().sin_cos();
        let off = 150.0 * (along / 150.0_f64).sin();
        let is_behind = along > 75.0 * std::f64::consts::PI;
        let x = if is_behind { -off * sin } else { off * sin };
        assert_eq!(hole.seen.is_behind, is_behind);
        assert!(
            hole.seen.middle.distance(Point::new(x, -off * cos)) < 1e-6,
            "{:?}",
            hole.seen.middle
        );
        assert_eq!(hole.seen.rim_radius_mm, 150.0);
    }
    for (places, count, is_behind) in [
        (&places[..], 2, false),
        (&places[1..], 1, true),
        (&places[..1], 1, false),
    ] {
        let shop = Shop::open();
        shop.write("job.json", ball(places).as_bytes());
        shop.run("batch job.json --out p.pdf").succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let titles: Vec<_> = pdf
            .words
            .iter()
            .filter(|words| words.text.starts_with("MARK-OUT"))
            .collect();
        assert_eq!(titles.len(), count);
        assert!(titles.iter().all(|title| title.text.starts_with("MARK-OUT: ball")));
        if count == 1 {
            let all: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
            assert_eq!(all.join(" ").contains("right on the skin is left here"), is_behind);
            let x = |text: &str| {
                pdf.words
                    .iter()
                    .find(|words| words.text == text)
                    .expect("a quarter")
                    .at
                    .x
            };
            assert_eq!(x("90° right") < x("180°"), is_behind);
            assert_eq!(x("to the right") < x("ZERO"), is_behind);
        }
    }
}

/// A tube of a head at `along` and `round`, which leans by `lean` mm towards its own `way` on 400 mm out.
fn leaning(along: f64, round: f64, lean: DVec3) -> String {
    let step = 400.0 * out() + lean;
    format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "48.3mm x 2.6mm" }} }},
             "bodies": {{ "end": {{ "shape": "head", "size": "600mm x 6mm", "at": [10, 20, 30], "out": [0, 1, 3], "zero": [1, 0, 0],
                                   "dish": "DIN 28011", "flange": 20 }} }},
             "tubes": {{ "leg": {{ "stock": "tube", "path": [ {{ "on": "end", "along": {along}, "round": "{round}deg" }},
               {{ "step": [{}, {}, {}] }} ] }} }} }}"#,
        step.x, step.y, step.z
    )
}

/// By hand: on the crown the front is on the acute side, which is where the tube leans to in the skin; seen from outside with the way to the
/// apex up, right is that of who looks in. In degrees to the right from the line to the apex.
fn front_by_hand(along: f64, round: f64, lean: DVec3) -> f64 {
    let (slope, round) = (along / 600.0, round.to_radians());
    let right_of_zero = (-ZERO).cross(out());
    let off = round.cos() * ZERO + round.sin() * right_of_zero;
    let normal = slope.cos() * out() + slope.sin() * off;
    let to_apex = slope.sin() * out() - slope.cos() * off;
    let tube = 400.0 * out() + lean;
    let front = tube - tube.dot(normal) * normal;
    let right = (-normal).cross(to_apex);
    front.dot(right).atan2(front.dot(to_apex)).to_degrees()
}

/// Filled triangles on a page, by foot's middle and tip: the sharpest corner is the tip.
fn arrowheads(pdf: &Pdf, page: usize) -> Vec<(Point, Point)> {
    let heads = pdf.fills.iter().filter(|fill| fill.page == page).filter_map(|fill| {
        let corners: Vec<Point> = fill.path.elements().iter().filter_map(PathEl::end_point).collect();
        let &[a, tip, b] = corners.as_slice() else { return None };
        Some((a.midpoint(b), tip))
    });
    heads.collect()
}

/// To the right from up, in degrees.
fn turn(way: Vec2) -> f64 {
    way.x.atan2(way.y).to_degrees()
}

fn is_near_turn(one: f64, other: f64) -> bool {
    let off = (one - other).rem_euclid(360.0);
    off.min(360.0 - off) < 0.3
}

#[test]
fn the_front_is_told_and_drawn_on_a_head_from_the_line_to_its_apex() {
    for (along, round, lean) in [
        (150.0, 40.0, DVec3::new(300.0, 0.0, 0.0)),
        (200.0, -75.0, DVec3::new(-80.0, 300.0, -100.0)),
        (200.0, 180.0, DVec3::new(0.0, -300.0, 100.0)),
    ] {
        let drawn = Drawn::of(&leaning(along, round, lean));
        let expected = front_by_hand(along, round, lean);
        let words: Vec<&str> = drawn.pdf.words.iter().map(|words| words.text.as_str()).collect();
        let words = words.join(" ");
        let side = if expected < 0.0 { "left" } else { "right" };
        let turned = format!("{:.1}°", expected.abs());
        let on_wrap = format!("FRONT turned {turned} to the {side} from the line to the apex (seen from outside)");
        assert!(words.contains(&on_wrap), "{on_wrap}: {words}");
        let on_hole = format!("FRONT of the tube: {turned} to the {side} of the line to the apex.");
        assert!(words.contains(&on_hole), "{on_hole}: {words}");
        assert!(
            !words.contains("360°") && !words.contains("the side where the zero line is"),
            "{words}"
        );
        // On the view the wedge points away from the hole; the apex is in the middle of it.
        let plan = plan(&leaning(along, round, lean));
        let hole = &plan.compass_holes()[0];
        let seen = &hole.seen;
        let way = seen.front.expect("it meets the head") - seen.middle;
        let wedges = arrowheads(&drawn.pdf, drawn.page);
        assert!(
            wedges
                .iter()
                .any(|(foot, tip)| is_near_turn(turn(*tip - *foot), turn(way))),
            "{wedges:?}"
        );
        // On the hole's own drawing it and the apex stand where the table has them, about the point in the middle.
        let title = drawn
            .pdf
            .words
            .iter()
            .find(|words| words.text.starts_with("HOLE in end for leg"));
        let page = title.expect("its drawing").page;
        let is_point = |width: f64| (width - 1.6).abs() < 0.01;
        let strokes = || drawn.pdf.strokes.iter().filter(|stroke| stroke.page == page);
        let point = strokes()
            .map(|stroke| stroke.path.bounding_box())
            .find(|bounds| is_point(bounds.width()));
        let middle = point.expect("its point").center();
        let apex = hole.apex_deg.expect("off the apex");
        let front = arrowheads(&drawn.pdf, page)
            .into_iter()
            .find(|(_, tip)| tip.distance(middle) > 20.0);
        let (_, tip) = front.expect("its front");
        assert!(is_near_turn(turn(tip - middle), apex + expected), "{along} {round}");
        let lines: Vec<f64> = strokes()
            .filter_map(|stroke| match stroke.path.elements() {
                [PathEl::MoveTo(from), PathEl::LineTo(to)] if (from.distance(*to) - 6.5).abs() < 0.01 => {
                    Some(turn(*to - middle))
                }
                _ => None,
            })
            .collect();
        assert_eq!(lines.len(), 2, "{lines:?}");
        assert!(
            is_near_turn(lines[0], apex) && is_near_turn(lines[1], 0.0),
            "{lines:?} {apex}"
        );
        // Words that would stand on each other stand above each other.
        let word = |word: &str| {
            let mut words = drawn.pdf.words.iter().filter(|words| words.page == page);
            words
                .find(|words| words.text == word)
                .unwrap_or_else(|| panic!("{word}"))
                .at
        };
        for (one, other) in [("APEX", "ZERO"), ("APEX", "FRONT"), ("ZERO", "FRONT")] {
            let by = word(one) - word(other);
            assert!(by.y.abs() > 2.4 || by.x.abs() > 8.0, "{one} {other} {by:?}");
        }
    }
}

#[test]
fn at_the_apex_the_front_is_told_from_the_zero_line() {
    let lean = 150.0 * ZERO;
    let drawn = Drawn::of(&leaning(0.0, 0.0, lean));
    assert!(drawn.pdf.says("FRONT towards the zero line"));
    let words: Vec<&str> = drawn.pdf.words.iter().map(|words| words.text.as_str()).collect();
    let words = words.join(" ");
    assert!(
        words.contains("FRONT of the tube: on the line to the zero line's mark."),
        "{words}"
    );
    assert!(
        words.contains("Zero is the line to the zero line's mark on the rim."),
        "{words}"
    );
}
