//! Every piece is cut by its curves, put in its place in space, and held against what it was to meet.

mod trying;

use std::f64::consts::{PI, TAU};
use std::fs;

use girthline::job::read::read_job;
use girthline::job::resolve::{Resolved, job_file};
use girthline::job::{Assembly, End, Ending, Piece, Touch};
use girthline::plan::solve_drains;
use girthline::section::{Profile, Section};
use girthline::solver::{SolvedPiece, solve_piece};
use glam::{DVec2, DVec3};
use kurbo::{ParamCurve, Point, Shape};
use proptest::prelude::*;
use trying::tried;

/// Pieces in place must lie on their bodies within this, in millimetres.
const IN_PLACE: f64 = 0.01;
/// Mitered faces must meet within this.
const FACES: f64 = 0.001;

fn assemble(text: &str) -> Assembly {
    let job = read_job("job.json", text).unwrap_or_else(|problems| panic!("{problems}"));
    let Resolved { joint, .. } = job_file(&job, &job.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    solve_drains(&joint)
        .unwrap_or_else(|problem| panic!("{problem}"))
        .0
        .into_owned()
}

/// Places on a drawn edge: azimuth in radians and t.
fn drawn(path: &kurbo::BezPath, seam: f64, radius: f64) -> Vec<(f64, f64)> {
    path.segments()
        .flat_map(|segment| (0..8).map(move |step| segment.eval(f64::from(step) / 8.0)))
        .map(|Point { x, y }| (seam + x / radius, y))
        .collect()
}

/// How far the end is from touching what it lands on, when the tube is cut along `edge` in space: the smallest distance
/// over the wall. Negative where it overlaps.
fn gap(end: &End, azimuth: f64, t: f64) -> f64 {
    let frame = end.frame;
    let wall = end.tube.wall_line(azimuth);
    let at = |radius: f64| {
        let line = girthline::body::Line {
            origin: frame.origin + frame.across(wall.origin) + radius * frame.outward(wall.facing),
            direction: -frame.axis,
        };
        end.landing.first_hit(&line).map_or(f64::NAN, |hit| t + hit.distance)
    };
    let (bore, skin) = (wall.inner, wall.outer);
    match end.touch {
        Touch::Outside => at(skin),
        Touch::Inside => at(bore),
        Touch::Wall => (0..=400)
            .map(|layer| at(bore + (skin - bore) * f64::from(layer) / 400.0))
            .fold(f64::MAX, f64::min),
    }
}

fn check_piece(piece: &Piece, solved: &SolvedPiece) {
    let radius = solved.near.girth_radius_mm;
    let near = drawn(&solved.near.path, solved.near.seam, radius);
    // The far cut is taken from the near end's own wrap, on one girth scale.
    let far = drawn(&solved.far_on_near_wrap(piece.length_mm), solved.near.seam, radius);
    for &(azimuth, t) in &near {
        let gap = gap(&piece.near, azimuth, t);
        assert!(
            gap.abs() < IN_PLACE * (1.0 + slope(&near, azimuth)),
            "{} near at {azimuth}: {gap}",
            piece.name
        );
    }
    for &(azimuth, along) in &far {
        // In the far end's frame azimuths run the other way and t is counted from its own work point.
        let gap = gap(&piece.far, -azimuth, piece.length_mm - along);
        assert!(
            gap.abs() < IN_PLACE * (1.0 + slope(&far, azimuth)),
            "{} far at {azimuth}: {gap}",
            piece.name
        );
        let in_space = skin(&piece.near, &piece.near.tube.section, azimuth) + along * piece.near.frame.axis;
        let other =
            skin(&piece.far, &piece.far.tube.section, -azimuth) + (piece.length_mm - along) * piece.far.frame.axis;
        assert!((in_space - other).length() < 1e-9, "both frames are one tube");
    }
    // Tip to tip, from the drawn curves.
    let reach = |path: &kurbo::BezPath| path.bounding_box();
    let drawn_length = reach(&solved.far_on_near_wrap(piece.length_mm)).y1 - reach(&solved.near.path).y0;
    assert!(
        (drawn_length - solved.tip_to_tip_mm).abs() < 0.011,
        "{}: {drawn_length} against {}",
        piece.name,
        solved.tip_to_tip_mm
    );
}

/// The place of a section at an azimuth, square across from the end's work point.
fn skin(end: &End, section: &Section, azimuth: f64) -> DVec3 {
    let line = section.wall_line(azimuth, 0.0);
    end.frame.origin + end.frame.across(line.origin) + line.outer * end.frame.outward(line.facing)
}

/// A fitted curve is within 0.005 mm square across; along the tube that is more on a slope.
fn slope(places: &[(f64, f64)], azimuth: f64) -> f64 {
    let at = places
        .partition_point(|place| place.0 < azimuth)
        .clamp(1, places.len() - 1);
    let (from, to) = (places[at - 1], places[at]);
    if to.0 - from.0 < 1e-9 {
        0.0
    } else {
        ((to.1 - from.1) / (to.0 - from.0)).abs() / 20.0
    }
}

fn check(assembly: &Assembly) {
    for tube in &assembly.tubes {
        let pieces = assembly.pieces(tube);
        for piece in &pieces {
            let girth_radius = piece.near.tube.section.girth() / TAU + 0.05;
            let solved =
                solve_piece(piece, girth_radius, PI).unwrap_or_else(|problem| panic!("{}: {problem}", piece.name));
            check_piece(piece, &solved);
        }
        for pair in pieces.windows(2).filter(|_| tube.gaps.is_empty()) {
            check_corner(&pair[0], &pair[1]);
        }
        for other in &assembly.tubes {
            let meet = matches!((&tube.end, &other.start), (Ending::Miter(_), Ending::Miter(_)));
            if meet && (tube.nodes[tube.nodes.len() - 1] - other.nodes[0]).length() < 0.5 {
                check_corner(&pieces[pieces.len() - 1], &assembly.pieces(other)[0]);
            }
        }
        // A hole for every landing: laid flat, or marked by compass where the skin can't be.
        let landings = tube.ends().into_iter().filter(|end| end.body().is_some()).count();
        let holes = assembly.holes(tube).len() + assembly.round_holes(tube).len();
        assert_eq!(holes, landings, "{}", tube.name);
    }
}

/// The rims of two mitered pieces are one closed curve in space, faces together.
fn check_corner(before: &Piece, after: &Piece) {
    let (far, near) = (&before.far, &after.near);
    assert!((far.frame.origin - near.frame.origin).length() < 1e-9);
    let rim = |end: &End, azimuth: f64, section: &Section| -> DVec3 {
        let line = girthline::body::Line {
            origin: skin(end, section, azimuth),
            direction: -end.frame.axis,
        };
        line.at(end.landing.first_hit(&line).map_or(f64::NAN, |hit| hit.distance))
    };
    let normal = (far.frame.axis - near.frame.axis).normalize();
    for section in [far.tube.bore(), far.tube.section] {
        for step in 0..180 {
            let azimuth = TAU * f64::from(step) / 180.0;
            let here = rim(far, azimuth, &section);
            // The same place seen from the other piece: on its skin or bore, and on its cut.
            let from_axis = here - near.frame.origin;
            let outward = from_axis - from_axis.dot(near.frame.axis) * near.frame.axis;
            let off = section.outside_by(outward, near.frame.front, near.frame.right);
            assert!(off.abs() < FACES, "{} and {}: {off}", before.name, after.name);
            let across = DVec2::new(outward.dot(near.frame.front), outward.dot(near.frame.right));
            let other = rim(near, section.azimuth_of(across), &section);
            assert!(
                (here - other).length() < FACES,
                "{} and {}: {}",
                before.name,
                after.name,
                (here - other).length()
            );
            assert!(from_axis.dot(normal).abs() < FACES, "the rim is flat");
        }
    }
}

#[test]
fn every_template_fits_together_in_space() {
    let mut count = 0;
    for entry in fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/templates")).expect("templates") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|extension| extension == "json") {
            check(&assemble(&fs::read_to_string(&path).expect("text")));
            count += 1;
        }
    }
    assert!(count >= 3, "{count}");
}

const SIDED: &str = r#"{ "units": "mm",
    "stock": { "a": { "size": "rect 50mm x 30mm x 3mm r 5mm" }, "b": { "size": "square 40mm x 4mm r 2mm" },
               "c": { "size": "rect 30mm x 50mm x 2mm r 0mm" } },
    "bodies": { "drum": { "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 600, 0] },
                "plate": { "shape": "plane", "at": [0, 0, -300], "out": [0, 0, 1], "size": 5 },
                "ball": { "shape": "sphere", "size": "300mm x 2mm", "at": [0, 300, 700] },
                "hopper": { "shape": "cone", "size": "400mm x 2mm", "size_to": "200mm", "from": [900, 0, 0], "to": [900, 0, 500] } },
    "tubes": { "one": { "stock": "STOCK", "turned": TURNED, "corner": { "pieces": PIECES, "radius": 90 }, "path": [
                   { "on": "drum", "along": 200, "round": "20deg" }, { "step": [150, 30, 300] }, { "step": [0, 400, 50] },
                   { "step": [-300, 20, 250] } ] },
               "two": { "stock": "STOCK", "turned": TURNED, "path": [
                   { "on": "drum", "along": 400, "round": "-100deg" }, { "on": "plate", "along": -300, "round": -380 } ],
                 "end": { "join": "set-in", "clearance": 0.5 } },
               "three": { "stock": "STOCK", "turned": TURNED, "path": [
                   { "at": [300, 900, 900] }, { "at": [250, 400, 1000] }, { "on": "ball", "along": 150, "round": "40deg" } ] },
               "four": { "stock": "STOCK", "turned": TURNED, "path": [
                   { "on": "hopper", "along": 250, "round": "100deg" }, { "step": [-100, 250, 80] } ],
                 "start": { "touch": "inside" } } } }"#;

#[test]
fn tubes_with_sides_lie_on_their_bodies_and_their_sides_meet_at_corners() {
    for (stock, turned, pieces) in [
        ("a", 0, 2),
        ("a", 25, 3),
        ("b", -40, 2),
        ("b", 10, 4),
        ("c", 15, 2),
        ("c", 90, 2),
    ] {
        let text = SIDED.replace("STOCK", stock);
        let text = text
            .replace("TURNED", &turned.to_string())
            .replace("PIECES", &pieces.to_string());
        check(&assemble(&text));
    }
}

#[test]
fn mitered_tubes_with_sides_meet_and_those_that_cannot_are_refused_with_the_angle() {
    let frame = |turned: f64| {
        format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "rect 60mm x 40mm x 3mm r 5mm" }} }},
            "tubes": {{ "post": {{ "stock": "a", "path": [ {{ "at": [0, 0, 0] }}, {{ "at": [0, 0, 500] }} ],
                         "end": {{ "join": "miter", "to": "rail" }}, "turned": 30 }},
                       "rail": {{ "stock": "a", "path": [ {{ "at": [0, 0, 500] }}, {{ "at": [600, 100, 550] }} ],
                         "start": {{ "join": "miter", "to": "post" }}, "turned": {turned} }} }} }}"#
        )
    };
    // Both have their front on the long side of the miter; in the mirror of the cut right is left.
    check(&assemble(&frame(-30.0)));
    check(&assemble(&frame(150.0)));
    let job = read_job("job.json", &frame(-22.0)).unwrap_or_else(|problems| panic!("{problems}"));
    let problems = job_file(&job, &job.sheet).expect_err("8 degrees apart").to_string();
    assert!(
        problems.contains("8.00 degrees apart") && problems.contains("\"turned\""),
        "{problems}"
    );
}

#[test]
fn a_three_bend_tube_out_of_plane_closes() {
    let text = r#"{ "units": "mm", "stock": { "a": { "size": "48.3mm x 2mm" } },
        "bodies": { "drum": { "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 500, 0] } },
        "tubes": { "bend": { "stock": "a", "corner": { "pieces": PIECES, "radius": 90 }, "path": [
            { "on": "drum", "along": 200, "round": "20deg" }, { "step": [150, 30, 300] }, { "step": [0, 400, 50] },
            { "step": [-300, 20, 250] }, { "step": [-50, -400, 100] } ] } } }"#;
    for pieces in ["2", "3", "4"] {
        let assembly = assemble(&text.replace("PIECES", pieces));
        assert_eq!(
            assembly.pieces(&assembly.tubes[0]).len(),
            4 + 3 * (pieces.parse::<usize>().expect("a number") - 2)
        );
        check(&assembly);
    }
}

/// A section in words, an oval, diameters or offsets, for a girth in millimetres.
fn section(kind: usize, girth: f64, out: [f64; 4], turned: f64) -> String {
    let round = girth / PI;
    let places = |value: &dyn Fn(f64) -> f64, what: &str, step: f64| {
        let places = out.iter().enumerate().map(|(index, out)| {
            let at = (turned + step * index as f64).rem_euclid(360.0);
            format!(r#"{{ "at": "{at}deg", "{what}": {} }}"#, value(*out))
        });
        places.collect::<Vec<_>>().join(", ")
    };
    match kind {
        0 => format!(
            r#""oval": [{}, {}], "at": "{turned}deg""#,
            round + 6.0 * out[0],
            round - 6.0 * out[0]
        ),
        1 => {
            // As much in as out, so that the girth stays.
            let mean = out.iter().sum::<f64>() / 4.0;
            format!(
                r#""diameters": [ {} ]"#,
                places(&|out| round + out - mean, "across", 45.0)
            )
        }
        _ => format!(r#""offsets": [ {} ]"#, places(&|out| out, "out", 90.0)),
    }
}

proptest! {
    #![proptest_config(tried(64, "tests/placed_pieces.regressions"))]
    #[test]
    fn random_tubes_between_drums_that_are_out_of_round_fit_in_space(
        od in 20.0..80.0_f64, wall_share in 0.02..0.3_f64, shift in -60.0..60.0_f64, kinds in (0..3_usize, 0..3_usize),
        outs in ([-2.5..2.5_f64, -2.5..2.5, -2.5..2.5, -2.5..2.5], [-2.5..2.5_f64, -2.5..2.5, -2.5..2.5, -2.5..2.5]),
        turned in (0.0..360.0_f64, 0.0..360.0_f64), round in (-40.0..40.0_f64, -100.0..100.0_f64), set_in in any::<bool>()
    ) {
        let wall = od / 2.0 * wall_share;
        let join = if set_in { "set-in" } else { "set-on" };
        let (low, high) = (section(kinds.0, 950.0, outs.0, turned.0 - 180.0), section(kinds.1, 1000.0, outs.1, turned.1 - 180.0));
        let text = format!(r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{od}mm x {wall}mm" }} }},
            "bodies": {{
                "low": {{ "shape": "cylinder", "size": "girth 950mm x 2mm", "section": {{ {low} }}, "from": [0, 0, 0], "to": [0, 600, 0] }},
                "high": {{ "shape": "cylinder", "size": "girth 1000mm x 3mm", "section": {{ {high} }}, "from": [{shift}, 0, 800], "to": [0, 600, 800], "zero": [0, 0, -1] }}
            }},
            "tubes": {{ "r": {{ "stock": "a", "end": {{ "join": "{join}" }}, "path": [
                {{ "on": "low", "along": 250, "round": "{}deg" }}, {{ "on": "high", "along": 330, "round": {} }} ] }} }} }}"#,
            round.0, round.1);
        let job = read_job("job.json", &text).map_err(|problems| TestCaseError::fail(problems.to_string()))?;
        let assembly = match job_file(&job, &job.sheet) {
            Ok(resolved) => resolved.joint,
            // Some of these have a dent, or lean the wrong way.
            Err(problems) => {
                let said = problems.to_string();
                prop_assert!(said.contains("hollow") || said.contains("leads into"), "{}", said);
                return Ok(());
            }
        };
        let piece = &assembly.pieces(&assembly.tubes[0])[0];
        match solve_piece(piece, od / 2.0, PI) {
            Ok(solved) => check_piece(piece, &solved),
            Err(problem) => prop_assert!(problem.to_string().contains("beside") || problem.to_string().contains("short"), "{}", problem),
        }
    }

    #[test]
    fn random_banks_between_two_drums_fit_in_space(
        od in 20.0..80.0_f64, wall_share in 0.02..0.3_f64, tilt in -0.5..0.5_f64, shift in -200.0..200.0_f64,
        along in (150.0..450.0_f64, 150.0..450.0_f64), round in (-40.0..40.0_f64, -40.0..40.0_f64), set_in in any::<bool>()
    ) {
        let wall = od / 2.0 * wall_share;
        let join = if set_in { "set-in" } else { "set-on" };
        let text = format!(r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{od}mm x {wall}mm" }} }},
            "bodies": {{
                "low": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 0, 1] }},
                "high": {{ "shape": "cylinder", "size": "320mm x 3mm", "from": [{shift}, 0, 800], "to": [{}, 600, 800], "zero": [0, 0, -1] }}
            }},
            "tubes": {{ "r": {{ "stock": "a", "end": {{ "join": "{join}" }}, "path": [
                {{ "on": "low", "along": {}, "round": "{}deg" }}, {{ "on": "high", "along": {}, "round": "{}deg" }} ] }} }} }}"#,
            shift + 600.0 * tilt, along.0, round.0, along.1, round.1);
        let job = read_job("job.json", &text).map_err(|problems| TestCaseError::fail(problems.to_string()))?;
        let assembly = job_file(&job, &job.sheet).map_err(|problems| TestCaseError::fail(problems.to_string()))?.joint;
        let piece = &assembly.pieces(&assembly.tubes[0])[0];
        // A tube that runs past a drum's side is refused, with where; the others must fit.
        match solve_piece(piece, od / 2.0, PI) {
            Ok(solved) => check_piece(piece, &solved),
            Err(problem) => prop_assert!(problem.to_string().contains("beside") || problem.to_string().contains("short"), "{}", problem),
        }
    }
}
