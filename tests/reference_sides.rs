//! Tubes with sides held against `shared/checks/sides.json`, made by a CAD kernel (tests/reference/sides.py).

use std::f64::consts::TAU;

use girthline::job::read::read_job;
use girthline::job::resolve::job_file;
use girthline::job::{Assembly, Header, Join, Saddle, Touch, Tube};
use girthline::section::{Profile, Rectangle, Section};
use girthline::solver::{cut_at, hole_outline};
use kurbo::{ParamCurveNearest, Point, Shape};
use serde_json::Value;

/// The solver's own promise, in millimetres.
const SOLVER: f64 = 1e-6;
/// Of curves in files.
const FITTED: f64 = 0.005;

fn records(list: &str) -> Vec<Value> {
    let text = include_str!("../shared/checks/sides.json");
    let checks: Value = serde_json::from_str(text).expect("JSON");
    checks[list].as_array().expect("a list").clone()
}

fn number(record: &Value, key: &str) -> f64 {
    record[key].as_f64().unwrap_or_else(|| panic!("{key} of {record}"))
}

fn pairs(list: &Value) -> Vec<(f64, f64)> {
    let pair = |pair: &Value| (pair[0].as_f64().expect("x"), pair[1].as_f64().expect("y"));
    list.as_array().expect("a list").iter().map(pair).collect()
}

fn touch(record: &Value) -> Touch {
    [Touch::Wall, Touch::Outside, Touch::Inside]
        .into_iter()
        .find(|touch| record["touch"] == touch.word())
        .expect("a touch")
}

fn tube(record: &Value) -> Tube {
    Tube {
        section: Section::Rectangle(Rectangle {
            width: number(record, "width"),
            height: number(record, "height"),
            corner: number(record, "corner"),
        }),
        wall_mm: number(record, "wall"),
        name: None,
    }
}

fn saddle(record: &Value) -> Saddle {
    Saddle {
        branch: tube(record),
        header: Header {
            od_mm: number(record, "header_od"),
            wall_mm: Some(number(record, "header_wall")),
            name: None,
        },
        turned_deg: number(record, "turned"),
        angle_deg: number(record, "angle"),
        offset_mm: number(record, "offset"),
        touch: touch(record),
        join: if record["join"] == "set-in" {
            Join::SetIn
        } else {
            Join::SetOn
        },
        clearance_mm: number(record, "clearance"),
        root_gap_mm: 0.0,
    }
}

/// What a record is about, without its curves.
fn name(record: &Value) -> String {
    let mut name = record.clone();
    for key in ["curve", "holes"] {
        name[key].take();
    }
    name.to_string()
}

fn assert_curve(record: &Value, end: &girthline::job::End) {
    let girth = end.tube.section.girth();
    for (at, t) in pairs(&record["curve"]) {
        let cut = cut_at(end, TAU * at / girth).unwrap_or_else(|| panic!("{} misses at {at}", name(record)));
        assert!(
            (cut.t - t).abs() < SOLVER,
            "{} at {at}: {} against {t}",
            name(record),
            cut.t
        );
    }
}

#[test]
fn every_saddle_of_a_tube_with_sides_agrees_with_the_kernel() {
    for record in records("saddles") {
        let joint = saddle(&record);
        assert!((joint.branch.section.girth() - number(&record, "girth")).abs() < SOLVER);
        assert_curve(&record, &joint.end());
    }
}

#[test]
fn every_hole_for_a_tube_with_sides_is_the_union_of_the_kernels_outlines() {
    for record in records("saddles") {
        let hole = hole_outline(&saddle(&record).drilling()).unwrap_or_else(|problem| panic!("{problem}"));
        let outlines: Vec<Vec<Point>> = record["holes"]
            .as_array()
            .expect("outlines")
            .iter()
            .map(|outline| pairs(outline).into_iter().map(Point::from).collect())
            .collect();
        // No place of the kernel's is outside the hole, and those on the union lie on its line.
        let mut on_line = 0;
        for place in outlines.iter().flatten() {
            let distance = hole
                .path
                .segments()
                .map(|segment| segment.nearest(*place, 1e-9).distance_sq)
                .fold(f64::MAX, f64::min)
                .sqrt();
            on_line += usize::from(distance < FITTED);
            assert!(
                distance < FITTED || hole.path.contains(*place),
                "{}: {place} by {distance}",
                name(&record)
            );
        }
        assert!(
            on_line >= 120,
            "{}: only {on_line} places on the outline",
            name(&record)
        );
        for place in &hole.points {
            let outside = outside_drill(&record, *place);
            assert!(
                outside.iter().any(|by| by.abs() < SOLVER) && outside.iter().all(|by| *by > -FITTED),
                "{}: {place} by {outside:?}",
                name(&record)
            );
        }
    }
}

/// How far outside what must pass a place of the pattern lies, on the outer skin and for set-in on the inner one: worked
/// out from the record's numbers alone.
fn outside_drill(record: &Value, place: Point) -> Vec<f64> {
    let [width, height, wall, corner, od, header_wall, clearance] = [
        "width",
        "height",
        "wall",
        "corner",
        "header_od",
        "header_wall",
        "clearance",
    ]
    .map(|key| number(record, key));
    let is_set_in = record["join"] == "set-in";
    let grown = if is_set_in { clearance } else { -wall };
    let corner = (corner + grown).max(0.0);
    let (half_width, half_height) = (width / 2.0 + grown - corner, height / 2.0 + grown - corner);
    let (sin, cos) = number(record, "angle").to_radians().sin_cos();
    let (turn_sin, turn_cos) = number(record, "turned").to_radians().sin_cos();
    let radii = [od / 2.0, od / 2.0 - header_wall];
    let outside = |radius: f64| {
        let (around_sin, around_cos) = (place.x / (od / 2.0)).sin_cos();
        let across = radius * around_sin - number(record, "offset");
        let ahead = place.y * sin - radius * around_cos * cos;
        let (right, front) = (
            across * turn_cos - ahead * turn_sin,
            across * turn_sin + ahead * turn_cos,
        );
        let (beyond_right, beyond_front) = (right.abs() - half_width, front.abs() - half_height);
        let inside = beyond_right.max(beyond_front).min(0.0);
        beyond_right.max(0.0).hypot(beyond_front.max(0.0)) + inside - corner
    };
    radii
        .into_iter()
        .take(if is_set_in { 2 } else { 1 })
        .map(outside)
        .collect()
}

fn assemble(record: &Value) -> Assembly {
    let Value::Object(sides) = record else {
        panic!("a record")
    };
    let size = format!(
        "rect {}mm x {}mm x {}mm r {}mm",
        sides["width"], sides["height"], sides["wall"], sides["corner"]
    );
    let text = serde_json::json!({
        "units": "mm",
        "stock": { "a": { "size": size } },
        "bodies": { "body": record["body"] },
        "tubes": { "tube": {
            "stock": "a", "turned": record["turned"], "start": { "touch": record["touch"] },
            "path": [
                { "on": "body", "along": record["along"], "round": format!("{}deg", record["round"]) },
                { "step": record["step"] },
            ] } }
    });
    let mut text = text;
    if record["body"]["shape"] == "plane" {
        text["tubes"]["tube"]["path"][0]["round"] = record["round"].clone();
    }
    let job = read_job("job.json", &text.to_string()).unwrap_or_else(|problems| panic!("{problems}"));
    job_file(&job, &job.sheet)
        .unwrap_or_else(|problems| panic!("{problems}"))
        .joint
}

#[test]
fn every_landing_of_a_tube_with_sides_agrees_with_the_kernel() {
    for record in records("landings") {
        let assembly = assemble(&record);
        assert_curve(&record, &assembly.pieces(&assembly.tubes[0])[0].near);
    }
}
