//! Tubes on bodies that are out of round against scipy and a general-purpose CAD kernel's swept surfaces, from job files.
//! `tests/reference/ovals.py` makes the data and says how.

use girthline::job::Assembly;
use girthline::job::read::read_job;
use girthline::job::resolve::job_file;
use girthline::solver::{cut_at, hole_outline};
use kurbo::{Affine, ParamCurveNearest, Point};
use serde_json::{Value, json};

/// The promise of the solver, in millimetres; the data are rounded to a tenth of it.
const SOLVER: f64 = 1e-6;

fn assembly(record: &Value) -> Assembly {
    let size = |across: &str, wall: &str| format!("{}mm x {}mm", record[across], record[wall]);
    let mut end = json!({ "join": record["join"], "touch": record["touch"] });
    if record["join"] == "set-in" {
        end["clearance"] = record["clearance"].clone();
    }
    let job = json!({
        "units": "mm",
        "stock": { "a": { "size": size("branch_od", "branch_wall") } },
        "bodies": { "drum": {
            "shape": "cylinder", "size": format!("girth {}", size("girth", "wall")), "section": record["section"],
            "from": [0, 0, 0], "to": [0, 1000, 0], "zero": [0, 0, 1],
        } },
        "tubes": { "t": { "stock": "a", "start": end, "path": [
            { "on": "drum", "along": 500, "round": format!("{}deg", record["round_deg"]) }, { "at": record["to"] },
        ] } },
    });
    let job = read_job("job.json", &job.to_string()).unwrap_or_else(|problems| panic!("{problems}"));
    job_file(&job, &job.sheet)
        .unwrap_or_else(|problems| panic!("{problems}"))
        .joint
}

fn pairs<'a>(record: &'a Value, key: &str) -> impl Iterator<Item = (f64, f64)> + 'a {
    let pairs = record[key].as_array().expect("a list");
    pairs
        .iter()
        .map(|pair| (pair[0].as_f64().expect("a number"), pair[1].as_f64().expect("a number")))
}

fn for_each(check: impl Fn(&str, &Value, &Assembly)) {
    let checks: Value = serde_json::from_str(include_str!("../shared/checks/ovals.json")).expect("JSON");
    let records = checks["ovals"].as_array().expect("a list");
    assert!(records.len() >= 25, "{}", records.len());
    for record in records {
        check(record["name"].as_str().expect("a name"), record, &assembly(record));
    }
}

#[test]
fn every_cut_on_a_body_that_is_out_of_round_agrees() {
    for_each(|name, record, assembly| {
        let end = &assembly.pieces(&assembly.tubes[0])[0].near;
        for (azimuth, t) in pairs(record, "curve") {
            let solved = cut_at(end, azimuth.to_radians()).map_or(f64::NAN, |cut| cut.t);
            assert!((solved - t).abs() < SOLVER, "{name} at {azimuth}: {solved} against {t}");
        }
    });
}

#[test]
fn girths_and_places_round_them_agree() {
    for_each(|name, record, assembly| {
        let surface = &assembly.bodies[0].surface;
        let girth = surface.girth(0.0).expect("a girth");
        assert!(
            (girth - record["girth_mm"].as_f64().expect("mm")).abs() < SOLVER,
            "{name}: {girth}"
        );
        let hole = &assembly.holes(&assembly.tubes[0])[0];
        let round = surface.arc_of(hole.along_mm, hole.round);
        assert!(
            (round - record["round_mm"].as_f64().expect("mm")).abs() < SOLVER,
            "{name}: {round}"
        );
    });
}

#[test]
fn every_hole_in_a_body_that_is_out_of_round_agrees() {
    for_each(|name, record, assembly| {
        let hole = &assembly.holes(&assembly.tubes[0])[0];
        let outline = hole_outline(&hole.drilling).unwrap_or_else(|problem| panic!("{name}: {problem}"));
        // About the place under the tube's axis, as on the sheet.
        let site = assembly.bodies[0].surface.site(hole.along_mm, hole.round);
        let back = Affine::translate(-hole.drilling.outer.lay_flat(site.point).to_vec2());
        let path = back * outline.path;
        for (u, v) in pairs(record, "hole") {
            let place = Point::new(u, v);
            let nearest = path
                .segments()
                .map(|segment| segment.nearest(place, 1e-9).distance_sq)
                .fold(f64::MAX, f64::min)
                .sqrt();
            assert!(nearest < 0.005, "{name}: ({u}, {v}) is {nearest} mm off the outline");
        }
    });
}
