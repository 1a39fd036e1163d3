//! Drains with a far end that stays: the landing moves, corners and coupling with it.

mod support;

use girthline::job::read::read_job;
use girthline::job::{Assembly, resolve};
use girthline::plan::{Drain, solve_drains};
use girthline::solver::hole_outline;
use support::Shop;

/// From an upright drum, floor 5 mm over its end, to a pot that stays where it is.
fn solved(shape: &str) -> (Assembly, Vec<Drain>) {
    let text = format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "34mm x 2mm" }} }},
  "bodies": {{
    "drum": {{ "shape": "cylinder", "size": "500mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 800], "zero": [1, 0, 0], "floor": 5 }},
    "pot": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [900, 0, -500], "to": [900, 0, 100], "zero": [-1, 0, 0] }} }},
  "tubes": {{ "drain": {{ "stock": "a", {shape} "path": [ {{ "on": "drum", "round": 0, "drain": {{ "above_floor": 0 }} }},
    {{ "at": [600, 0, -60] }}, {{ "on": "pot", "along": 350, "round": 0 }} ] }} }} }}"#
    );
    let raw = read_job("job.json", &text).unwrap_or_else(|problems| panic!("{problems}"));
    let job = resolve::job_file(&raw, &raw.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    let (assembly, drains) = solve_drains(&job.joint).unwrap_or_else(|problem| panic!("{problem}"));
    (assembly.into_owned(), drains)
}

#[test]
fn a_drain_to_a_fixed_pot_may_be_parted_and_have_corners_in_several_pieces() {
    for shape in [
        "",
        r#""coupling": { "at": 120, "gap": 20 },"#,
        r#""corner": { "pieces": 4, "radius": 90 },"#,
        r#""corner": { "pieces": 3, "radius": 90 }, "coupling": { "at": 120, "gap": 20 },"#,
    ] {
        let (assembly, drains) = solved(shape);
        let tube = &assembly.tubes[0];
        // The low edge, from the hole itself: v is up, about the place under the axis, counted from the drum's end.
        let hole = &assembly.holes(tube)[0];
        let outline = hole_outline(&hole.drilling).expect("a hole");
        let lowest = outline.points.iter().map(|point| point.y).fold(f64::MAX, f64::min);
        assert!((lowest - 5.0).abs() < 1e-6, "{shape}: {lowest}");
        assert!((drains[0].along_mm - hole.along_mm).abs() < 1e-9);
        // The pot's end has stayed: 350 up from -500, on the near side of its skin.
        let end = tube.nodes[tube.nodes.len() - 1];
        assert!(
            (end - glam::DVec3::new(750.0, 0.0, -150.0)).length() < 1e-9,
            "{shape}: {end}"
        );
        // The legs are straight on from the landing, and the coupling is where it was asked for.
        let pieces = assembly.pieces(tube);
        if shape.contains("coupling") {
            assert!((pieces[0].length_mm - 110.0).abs() < 1e-9, "{}", pieces[0].length_mm);
            let gap = tube.gaps[0];
            assert!(((tube.nodes[gap + 1] - tube.nodes[gap]).length() - 20.0).abs() < 1e-9);
        }
        let corners = if shape.contains("corner") {
            shape.matches("\"pieces\": 4").count() + 2
        } else {
            1
        };
        assert_eq!(pieces.len(), 1 + corners + tube.gaps.len(), "{shape}");
    }
}

/// A drain of an upright drum 580 x 1.5, floor 25: what it leaves.
fn left(stock: &str, end: &str) -> Drain {
    drain_of(&job(stock, end, r#"{ "step": [200, 0, -10] }"#))
}

fn job(stock: &str, end: &str, steps: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{stock}" }} }},
  "bodies": {{ "drum": {{ "shape": "cylinder", "size": "580mm x 1.5mm", "from": [0, 0, 0], "to": [0, 0, 800], "zero": [1, 0, 0], "floor": 25 }} }},
  "tubes": {{ "drain": {{ "stock": "a", {end} "path": [ {{ "on": "drum", "round": 0, "drain": {{ "above_floor": 0 }} }},
    {steps} ] }} }} }}"#
    )
}

fn drain_of(text: &str) -> Drain {
    let raw = read_job("job.json", text).unwrap_or_else(|problems| panic!("{problems}"));
    let job = resolve::job_file(&raw, &raw.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    let (_, mut drains) = solve_drains(&job.joint).unwrap_or_else(|problem| panic!("{problem}"));
    drains.swap_remove(0)
}

#[test]
fn a_set_in_drain_leaves_what_stands_below_the_lip_of_its_bore() {
    // By hand, in the plane through the drum's axis: the line under the tube rises inwards by 1 in 20, so that a hole cut
    // square to the wall has its low edge at the outer skin. From there the line under the bore is a wall and the clearance
    // higher, square to the tube, and again higher at the inner skin by the drum's wall's share of the fall.
    // Below, the tube's skin touches the inner skin first, and the bore ends farther out by the wall's share of the fall.
    let fall = f64::atan2(10.0, 200.0);
    let (sin, cos, tan) = (fall.sin(), fall.cos(), fall.tan());
    for clearance in [0.0, 0.5] {
        let end = format!(r#""start": {{ "join": "set-in", "clearance": {clearance} }},"#);
        let drain = left("48.3mm x 3mm", &end);
        let lip = (3.0 + clearance) / cos + 1.5 * tan - 3.0 * sin * tan;
        assert!(drain.low_edge_mm.abs() < 1e-6, "{drain:?}");
        assert!((drain.lip_mm - lip).abs() < 1e-6, "{lip}: {drain:?}");
        let litres = std::f64::consts::PI * 288.5 * 288.5 * drain.lip_mm / 1e6;
        assert!((drain.left_litres.expect("litres") - litres).abs() < 1e-9, "{drain:?}");
    }
    let set_on = left("48.3mm x 3mm", "");
    assert!(
        set_on.lip_mm.abs() < 1e-6 && set_on.left_litres.expect("litres") < 1e-6,
        "{set_on:?}"
    );
}

/// What a check says.
fn said(text: &str) -> String {
    let shop = Shop::open();
    shop.write("job.json", text.as_bytes());
    let run = shop.run("batch job.json --check");
    format!("{}{}", run.out(), run.err())
}

#[test]
fn a_drain_that_rises_leaves_what_stands_below_the_highest_low_edge_of_its_bore() {
    // By hand, in the plane through the drum's axis and the drain's: its axis lands a bore's radius over the cosine of its
    // slope over the floor. Where it ends square the low edge is a radius times the cosine under the axis; at a crest the
    // low lines meet in the cut, which stands as far off upright as one leg rises more than the other falls.
    let bore = 22.15;
    let slope = |up: f64| f64::atan2(up, 200.0);
    let square_end = |ups: &[f64]| {
        let last = ups.last().expect("a step");
        bore / slope(ups[0]).cos() + ups.iter().sum::<f64>() - bore * slope(*last).cos()
    };
    let (rise, fall) = (slope(30.0), slope(40.0));
    let crest = bore / rise.cos() + 30.0 - bore * (0.5 * (rise - fall)).cos() / (0.5 * (rise + fall)).cos();
    for (ups, sill, says) in [
        (
            vec![10.0],
            square_end(&[10.0]),
            "it rises by up to 2.86°, 50 mm per metre",
        ),
        (
            vec![-10.0, 40.0],
            square_end(&[-10.0, 40.0]),
            "it rises by up to 11.31°",
        ),
        (vec![30.0, -40.0], crest, "it rises by up to 8.53°"),
        (vec![-10.0, -40.0], 0.0, "it drains dry; it falls 2.86°"),
    ] {
        let steps: Vec<String> = ups
            .iter()
            .map(|up| format!(r#"{{ "step": [200, 0, {up}] }}"#))
            .collect();
        let job = job("48.3mm x 2mm", "", &steps.join(", "));
        let drain = drain_of(&job);
        assert!(
            (drain.sill_mm.expect("it stands") - sill).abs() < 1e-6,
            "{sill}: {drain:?}"
        );
        let litres = std::f64::consts::PI * 288.5 * 288.5 * sill / 1e6;
        assert!((drain.left_litres.expect("litres") - litres).abs() < 1e-6, "{drain:?}");
        let said = said(&job);
        assert!(said.contains(says), "{says}: {said}");
        let rises = says.contains("rises");
        let told = format!("the low side of its bore up to {sill:.2} mm: {litres:.2} litres left standing");
        assert_eq!(said.contains(&told), rises, "{told}: {said}");
        assert_eq!(said.contains("drains dry"), !rises, "{said}");
        assert_eq!(said.contains("DOES NOT FALL"), rises, "{said}");
        assert!(!said.contains("falls -"), "{said}");
    }
}

#[test]
fn a_level_drain_is_said_to_be_level_and_not_to_drain_dry() {
    let said = said(&job("48.3mm x 2mm", "", r#"{ "step": [200, 0, 0] }"#));
    assert!(
        said.contains("a part of it lies level") && !said.contains("drains dry"),
        "{said}"
    );
    assert!(said.contains("DOES NOT FALL"), "{said}");
}

#[test]
fn an_upright_part_of_a_drain_is_said_to_be_upright_and_a_steep_one_is_told_in_degrees() {
    for (up, says) in [
        (r#"[0, 0, 200]"#, "a part of it rises straight up"),
        (r#"[10, 0, 200]"#, "it rises by up to 87.14°"),
        (r#"[0, 0, -200]"#, "it falls 2.86°, 50 mm per metre"),
    ] {
        let steps = format!(r#"{{ "step": [200, 0, -10] }}, {{ "step": {up} }}"#);
        let said = said(&job("48.3mm x 2mm", "", &steps));
        assert!(said.contains(says), "{says}: {said}");
        let told_over_a_length = said.contains("per metre");
        assert_eq!(told_over_a_length, says.contains("per metre"), "{said}");
    }
}

#[test]
fn a_standpipe_is_not_said_to_fail_to_fall_and_what_rises_or_lies_level_is() {
    for (steps, stands) in [
        (r#"{ "step": [200, 0, -10] }, { "step": [0, 0, 200] }"#, true),
        (r#"{ "step": [200, 0, 0] }, { "step": [0, 0, 200] }"#, false),
        (r#"{ "step": [200, 0, -10] }, { "step": [10, 0, 200] }"#, false),
        (r#"{ "step": [200, 0, 10] }, { "step": [0, 0, -200] }"#, false),
    ] {
        let said = said(&job("48.3mm x 2mm", "", steps));
        assert_eq!(said.contains("DOES NOT FALL"), !stands, "{steps}: {said}");
        assert_eq!(
            said.contains("stands upright: liquid stays in it"),
            stands,
            "{steps}: {said}"
        );
        assert!(said.contains("left standing"), "{steps}: {said}");
    }
}
