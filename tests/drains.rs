//! Drains with a far end that stays: the landing moves, corners and coupling with it.

use girthline::job::read::read_job;
use girthline::job::{Assembly, resolve};
use girthline::plan::{Drain, solve_drains};
use girthline::solver::hole_outline;

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
    let text = format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{stock}" }} }},
  "bodies": {{ "drum": {{ "shape": "cylinder", "size": "580mm x 1.5mm", "from": [0, 0, 0], "to": [0, 0, 800], "zero": [1, 0, 0], "floor": 25 }} }},
  "tubes": {{ "drain": {{ "stock": "a", {end} "path": [ {{ "on": "drum", "round": 0, "drain": {{ "above_floor": 0 }} }},
    {{ "step": [200, 0, -10] }} ] }} }} }}"#
    );
    let raw = read_job("job.json", &text).unwrap_or_else(|problems| panic!("{problems}"));
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
