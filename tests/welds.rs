//! Welds: how long they are on the skins, what metal and wire they take, where the skins are too close for one.

use std::f64::consts::{PI, TAU};

use girthline::job::raw::Sheet;
use girthline::job::read::read_job;
use girthline::job::{Assembly, Join, Saddle, Touch, WeldSize, resolve};
use girthline::solver::{cut_at, weld};
use glam::DVec3;
use plain::leaning;
use serde_json::Value;
use support::{Pdf, Shop};

mod plain;
mod support;

/// What is promised of a length, in millimetres.
const PROMISED: f64 = 0.01;

fn near(told: f64, expected: f64, within: f64) {
    assert!((told - expected).abs() <= within, "{told}, expected {expected}");
}

/// The perimeter of an ellipse by the arithmetic-geometric mean (Gauss; Borwein and Borwein, Pi and the AGM, 1987).
fn ellipse(a: f64, b: f64) -> f64 {
    let (mut x, mut y, mut power, mut sum) = (a, b, 0.5, 0.5 * (a * a - b * b));
    while (x - y).abs() > 1e-15 * a {
        (x, y, power) = (0.5 * (x + y), (x * y).sqrt(), 2.0 * power);
        sum += power * (x * x - y * y);
    }
    TAU * (a * a - sum) / x
}

fn saddle(od_mm: f64, header_mm: f64, angle_deg: f64, offset_mm: f64) -> Saddle {
    leaning((od_mm, 2.0), header_mm, angle_deg, offset_mm)
}

fn length(joint: &Saddle) -> f64 {
    weld(&joint.end(), None).expect("it lands").length_mm
}

/// Where the branch's outer skin meets the header's, the header along y: GEOMETRY's t at rho = r, put back in space.
fn meeting(joint: &Saddle, azimuth: f64) -> DVec3 {
    let (big, small, lean) = (
        joint.header.radius(),
        joint.branch.radius(),
        joint.angle_deg.to_radians(),
    );
    let x = joint.offset_mm + small * azimuth.sin();
    let height = (big * big - x * x).max(0.0).sqrt();
    let t = (height + small * azimuth.cos() * lean.cos()) / lean.sin();
    // Along the axis, and from it along the front (0, sin A, -cos A).
    let y = t * lean.cos() + small * azimuth.cos() * lean.sin();
    DVec3::new(x, y, height)
}

/// Its length by so many chords.
fn by_chords(at: impl Fn(f64) -> DVec3, chords: u32) -> f64 {
    let place = |step: u32| at(TAU * f64::from(step) / f64::from(chords));
    (0..chords).map(|step| (place(step + 1) - place(step)).length()).sum()
}

/// The angle between the skins by their normals in space: the branch's points out of it, the header's out of that.
fn angle_between(joint: &Saddle, azimuth: f64) -> f64 {
    let lean = joint.angle_deg.to_radians();
    let out = DVec3::new(azimuth.sin(), azimuth.cos() * lean.sin(), -azimuth.cos() * lean.cos());
    let place = meeting(joint, azimuth);
    let skin = DVec3::new(place.x, 0.0, place.z) / joint.header.radius();
    (-skin.dot(out)).clamp(-1.0, 1.0).acos()
}

#[test]
fn an_ellipse_is_as_long_as_handbooks_have_it() {
    near(ellipse(1.0, 1.0), TAU, 1e-14);
    // Abramowitz and Stegun, table 17.1: E(m = 0.5) = 1.35064 38810.
    near(
        ellipse(2.0_f64.sqrt(), 1.0),
        4.0 * 2.0_f64.sqrt() * 1.350_643_881_0,
        1e-9,
    );
}

#[test]
fn equal_tubes_meet_in_half_ellipses() {
    for r in [12.0, 24.15, 250.0] {
        // Square: both halves of the same ellipse, 7.640396 r (MathWorld, "Steinmetz Solid").
        let square = length(&saddle(2.0 * r, 2.0 * r, 90.0, 0.0));
        near(square, ellipse(r * 2.0_f64.sqrt(), r), PROMISED);
        near(square, 7.640_396 * r, PROMISED + 1e-6 * r);
        // Leaning: half of one ellipse and half of another, in the planes that halve the two angles.
        for angle in [30.0_f64, 60.0] {
            let half = (angle / 2.0).to_radians();
            let expected = 0.5 * (ellipse(r / half.sin(), r) + ellipse(r / half.cos(), r));
            near(length(&saddle(2.0 * r, 2.0 * r, angle, 0.0)), expected, PROMISED);
        }
    }
}

#[test]
fn a_weld_is_as_long_as_very_many_chords_on_the_skins() {
    for (od, header, angle, offset) in [
        (48.3, 60.3, 90.0, 0.0),
        (48.3, 60.3, 35.0, 5.0),
        (48.3, 48.3, 45.0, 0.0),
        (21.3, 114.3, 12.0, -40.0),
        (500.0, 1200.0, 70.0, 300.0),
        (1000.0, 1000.0, 90.0, 0.0),
        (3.5, 3000.0, 90.0, 0.0),
    ] {
        let joint = saddle(od, header, angle, offset);
        near(
            length(&joint),
            by_chords(|azimuth| meeting(&joint, azimuth), 400_000),
            PROMISED,
        );
    }
}

/// What the cut touches with, and how the tube joins, doesn't move where the outer skins meet; a root gap doesn't either.
#[test]
fn a_weld_is_where_the_outer_skins_meet_however_the_end_is_cut() {
    let joint = saddle(48.3, 114.3, 55.0, 8.0);
    let expected = length(&joint);
    let others = [
        Saddle {
            touch: Touch::Inside,
            ..joint.clone()
        },
        Saddle {
            touch: Touch::Outside,
            ..joint.clone()
        },
        Saddle {
            join: Join::SetIn,
            ..joint.clone()
        },
        Saddle {
            root_gap_mm: 3.0,
            ..joint.clone()
        },
    ];
    for other in others {
        near(length(&other), expected, 1e-9);
    }
}

/// Where the outer skin passes beside a header that the bore just meets, the weld follows the edge as it is cut.
#[test]
fn a_weld_beside_the_body_follows_the_edge_as_it_is_cut() {
    let joint = Saddle {
        touch: Touch::Inside,
        ..saddle(52.0, 49.0, 90.0, 0.0)
    };
    let edge = |azimuth: f64| {
        // The bore decides: 24 mm in a radius of 24.5.
        let height = (24.5_f64.powi(2) - (24.0 * azimuth.sin()).powi(2)).sqrt();
        DVec3::new(26.0 * azimuth.sin(), 26.0 * azimuth.cos(), height)
    };
    near(length(&joint), by_chords(edge, 400_000), PROMISED);
}

fn assembly(job: &str) -> Assembly {
    let words = read_job("job.json", job).expect("JSON");
    let resolved = resolve::job_file(&words, &Sheet::default());
    resolved.unwrap_or_else(|problems| panic!("{problems}")).joint
}

/// The near end of a job's last tube.
fn last_weld(job: &str) -> f64 {
    let assembly = assembly(job);
    let tube = assembly.tubes.last().expect("a tube");
    let end = assembly.pieces(tube).swap_remove(0).near;
    weld(&end, None).expect("it lands").length_mm
}

fn on_plate(size: &str, step: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "s": {{ "size": "{size}" }} }},
             "bodies": {{ "plate": {{ "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1] }} }},
             "tubes": {{ "t": {{ "stock": "s", "path": [ {{ "on": "plate", "along": 0, "round": 0 }}, {{ "step": {step} }} ] }} }} }}"#
    )
}

#[test]
fn on_a_plate_a_weld_is_the_girth_or_an_ellipse() {
    near(last_weld(&on_plate("48.3mm x 2mm", "[0, 0, 300]")), PI * 48.3, PROMISED);
    // Leaning by 30 degrees from the upright: 1 / cos 30 longer one way.
    let leaning = last_weld(&on_plate("48.3mm x 2mm", "[173.20508075688772, 0, 300]"));
    near(leaning, ellipse(24.15 / 30_f64.to_radians().cos(), 24.15), PROMISED);
    // Four sides and a whole circle of corners.
    let can = last_weld(&on_plate("rect 60mm x 40mm x 3mm r 5mm", "[0, 0, 300]"));
    near(can, 200.0 - 40.0 + 10.0 * PI, PROMISED);
    let sharp = last_weld(&on_plate("rect 60mm x 40mm x 3mm r 0mm", "[0, 0, 300]"));
    near(sharp, 200.0, PROMISED);
}

#[test]
fn on_a_ball_a_weld_is_as_long_as_very_many_chords() {
    let job = r#"{ "units": "mm", "stock": { "s": { "size": "60.3mm x 3mm" } },
        "bodies": { "ball": { "shape": "sphere", "size": "300mm x 4mm", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0] } },
        "tubes": { "t": { "stock": "s", "path": [ { "at": [70, 0, 500] }, { "on": "ball", "along": 0, "round": 0 } ],
                   "start": { "join": "square" } } } }"#;
    let assembly = assembly(job);
    let end = assembly.pieces(&assembly.tubes[0]).swap_remove(0).far;
    let frame = end.frame;
    let meets = |azimuth: f64| {
        let foot = frame.origin + 30.15 * (azimuth.cos() * frame.front + azimuth.sin() * frame.right);
        // The higher root of |foot + t axis| = 150.
        let along = foot.dot(frame.axis);
        let t = -along + (along * along - foot.length_squared() + 150.0 * 150.0).sqrt();
        foot + t * frame.axis
    };
    let told = weld(&end, None).expect("it lands").length_mm;
    near(told, by_chords(meets, 400_000), PROMISED);
    assert!(told > PI * 60.3 + 1.0, "it leans: {told}");
}

/// A brace that is cut to a header and another brace: corners, and a step where the other one ends at its side.
#[test]
fn at_a_node_a_weld_goes_on_over_corners_and_steps() {
    let node = |along: &str| {
        format!(
            r#"{{ "units": "mm", "stock": {{ "one": {{ "size": "48.3mm x 2mm" }}, "two": {{ "size": "42.4mm x 2.6mm" }} }},
              "bodies": {{ "header": {{ "shape": "cylinder", "size": "60.3mm x 3mm", "from": [0, -300, 0], "to": [0, 300, 0] }} }},
              "tubes": {{ "brace 1": {{ "stock": "one", "path": [ {{ "on": "header", "along": 317 }}, {{ "step": [0, 200, 346] }} ] }},
                "brace 2": {{ "stock": "two", "path": [ {{ "on": "header", "along": {along} }}, {{ "step": [0, -257, 306] }} ],
                              "start": {{ "also": ["brace 1"], "touch": "outside" }} }} }} }}"#
        )
    };
    let plain = last_weld(&node("275").replace(r#""also": ["brace 1"], "#, ""));
    for along in ["275", "290"] {
        let assembly = assembly(&node(along));
        let end = assembly.pieces(&assembly.tubes[1]).swap_remove(0).near;
        // Cut for the outer skin, the edge is where the skins meet.
        let edge = |azimuth: f64| {
            let t = cut_at(&end, azimuth).expect("it lands").t;
            let across = azimuth.cos() * end.frame.front + azimuth.sin() * end.frame.right;
            end.frame.origin + 21.2 * across + t * end.frame.axis
        };
        let told = weld(&end, None).expect("it lands").length_mm;
        near(told, by_chords(edge, 200_000), PROMISED);
        assert!((told - plain).abs() > 1.0, "the other brace is met: {told} {plain}");
    }
}

#[test]
fn metal_is_the_fillets_section_along_the_weld() {
    for (joint, size) in [
        (saddle(48.3, 60.3, 90.0, 0.0), WeldSize::Leg(5.0)),
        (saddle(48.3, 60.3, 40.0, 4.0), WeldSize::Leg(3.0)),
        (saddle(48.3, 114.3, 60.0, 10.0), WeldSize::Throat(3.5)),
        (saddle(100.0, 300.0, 90.0, 0.0), WeldSize::Throat(4.0)),
    ] {
        let chords = 100_000_u32;
        let mut metal = 0.0;
        for step in 0..chords {
            let at = |half: f64| TAU * (f64::from(step) + half) / f64::from(chords);
            let along = (meeting(&joint, at(1.0)) - meeting(&joint, at(0.0))).length();
            let between = angle_between(&joint, at(0.5));
            metal += along
                * match size {
                    WeldSize::Leg(leg) => leg * leg * between.sin() / 2.0,
                    WeldSize::Throat(throat) if between < 135_f64.to_radians() => {
                        throat * throat * (between / 2.0).tan()
                    }
                    WeldSize::Throat(throat) => (throat / 67.5_f64.to_radians().cos()).powi(2) * between.sin() / 2.0,
                };
        }
        let told = weld(&joint.end(), Some(size))
            .expect("it lands")
            .metal_mm3
            .expect("a size");
        assert!((told / metal - 1.0).abs() < 1e-4, "{told} {metal}");
    }
    let equal = weld(&saddle(48.3, 48.3, 90.0, 0.0).end(), Some(WeldSize::Throat(3.0)));
    let metal = equal.expect("it lands").metal_mm3.expect("a size");
    assert!(
        metal.is_finite() && metal > 0.0,
        "the skins run into each other at the sides: {metal}"
    );
}

fn report(words: &str) -> Value {
    let shop = Shop::open();
    shop.run(&format!("{words} --out - --report r.json")).succeeds();
    shop.report("r.json")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is a number"))
}

#[test]
fn a_saddle_tells_its_weld_on_the_terminal_the_sheet_and_in_the_report() {
    let shop = Shop::open();
    let joint = "saddle --branch 48.3mm_x_2mm --header 60.3mm_x_3mm --weld-leg 4mm --out s.pdf --report r.json";
    let said = shop.run(joint).succeeds().out();
    let joint = saddle(48.3, 60.3, 90.0, 0.0);
    let told = shop.report("r.json")["ends"][0]["weld"].clone();
    near(number(&told["length_mm"]), length(&joint), 1e-9);
    let metal = weld(&joint.end(), Some(WeldSize::Leg(4.0)))
        .and_then(|weld| weld.metal_mm3)
        .expect("metal");
    near(number(&told["metal_kg"]), metal * 7.85e-6, 1e-12);
    near(number(&told["wire_kg"]), metal * 7.85e-6 / 0.9, 1e-12);
    let words = format!(
        "{:.2} mm along the outer skin; a fillet with legs of 4.00 mm: {:.1} g of weld metal, {:.1} g of wire \
         (steel of 7850 kg/m3; 10 % of the wire lost, common practice)",
        length(&joint),
        metal * 7.85e-3,
        metal * 7.85e-3 / 0.9
    );
    assert!(said.contains(&words), "{words}\n{said}");
    let sheet = sheet_words(&shop, "s.pdf");
    assert!(sheet.contains(&format!("Weld: {words}.")), "{sheet}");
    let plain = report("saddle --branch 48.3mm_x_2mm --header 60.3mm_x_3mm");
    assert!(plain["ends"][0]["weld"]["metal_kg"].is_null());
    near(number(&plain["ends"][0]["weld"]["length_mm"]), length(&joint), 1e-9);
}

/// All that is written on the sheets, words that were parted at lines' ends together.
fn sheet_words(shop: &Shop, name: &str) -> String {
    let pdf = Pdf::read(&shop.read(name));
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    words.join(" ")
}

#[test]
fn inch_jobs_tell_pounds_and_a_throat_tells_its_own_metal() {
    let shop = Shop::open();
    let said = shop
        .run("saddle --branch 1.9in_x_0.065in --header 4in --weld-throat 1/8in --out s.pdf --report r.json")
        .succeeds()
        .out();
    let kg = number(&shop.report("r.json")["ends"][0]["weld"]["metal_kg"]);
    let pounds = format!("a throat of 1/8 in (0.125): {:.3} lb of weld metal", kg / 0.453_592_37);
    assert!(
        said.contains(&pounds) && said.contains("steel of 0.2836 lb/cu in"),
        "{pounds}\n{said}"
    );
}

#[test]
fn a_mitered_turn_tells_its_seams() {
    let shop = Shop::open();
    let said = shop
        .run("miter --tube 60.3mm_x_3mm --turn 90 --pieces 4 --radius 200mm --out m.pdf --report r.json")
        .succeeds()
        .out();
    let each = ellipse(30.15 / 15_f64.to_radians().cos(), 30.15);
    near(
        number(&shop.report("r.json")["ends"][0]["weld"]["length_mm"]),
        each,
        PROMISED,
    );
    let words = format!(
        "{each:.2} mm along the outer skin of each of 3 seams, {:.2} mm in all",
        3.0 * each
    );
    assert!(said.contains(&words), "{words}\n{said}");
}

/// A leg with a corner, three copies of a brace, an end that is made, one that is coupled, and one that is free.
const JOB: &str = r#"{ "title": "Frame", "units": "mm", "weld_leg": 3,
  "stock": { "s": { "size": "48.3mm x 2mm" } },
  "bodies": { "floor": { "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1] } },
  "tubes": {
    "bent": { "stock": "s", "path": [ { "on": "floor", "along": 0, "round": 0 }, { "step": [0, 0, 500] }, { "step": [400, 0, 0] } ] },
    "post": { "stock": "s", "path": [ { "on": "floor", "along": 500, "round": 0 }, { "step": [0, 0, 300] } ],
              "repeat": { "times": 3, "step": [0, 120, 0] } },
    "old": { "stock": "s", "path": [ { "on": "floor", "along": 900, "round": 0 }, { "step": [0, 0, 700] } ],
             "start": { "made": "end" }, "end": { "made": "end" }, "coupling": { "at": 300, "gap": 6 } } } }"#;

#[test]
fn a_job_counts_every_seam_once_and_what_is_made_too() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    let said = shop
        .run("batch job.json --out p.pdf --report r.json --cut-list c.csv")
        .succeeds()
        .out();
    let report = shop.report("r.json");
    let girth = PI * 48.3;
    let corner = ellipse(24.15 * 2.0_f64.sqrt(), 24.15);
    let welds = &report["job"]["welds"];
    // On the floor: the bent one, three posts, the old one; and the corner's seam once.
    near(number(&welds["length_mm"]), 5.0 * girth + corner, 0.02);
    near(number(&welds["mitered_mm"]), corner, PROMISED);
    near(number(&welds["metal_kg"]), 5.0 * girth * 4.5 * 7.85e-6, 1e-6);
    near(number(&welds["wire_kg"]), 5.0 * girth * 4.5 * 7.85e-6 / 0.9, 1e-6);
    assert_eq!([&welds["leg_mm"], &welds["density_kg_m3"]].map(number), [3.0, 7850.0]);
    let rows = report["job"]["cut_list"].as_array().expect("rows");
    let row = |name: &str| {
        let row = rows.iter().find(|row| row["name"] == name);
        row.unwrap_or_else(|| panic!("{name}: {rows:?}"))
    };
    near(number(&row("bent a")["weld_mm"]), girth + corner / 2.0, PROMISED);
    near(number(&row("bent b")["weld_mm"]), corner / 2.0, PROMISED);
    let post = rows.iter().find(|row| row["quantity"] == 3).expect("three posts");
    near(number(&post["weld_mm"]), girth, PROMISED);
    near(number(&row("old a")["weld_mm"]), girth, PROMISED);
    near(number(&row("old b")["weld_mm"]), 0.0, 0.0);
    assert!(number(&row("old b")["weld_mm"]).is_sign_positive());
    let sum: f64 = rows
        .iter()
        .map(|row| number(&row["weld_mm"]) * number(&row["quantity"]))
        .sum();
    near(sum, number(&welds["length_mm"]), 1e-9);
    // The ends know theirs, both sides of the corner the whole seam.
    let ends = report["ends"].as_array().expect("ends");
    let shared: Vec<f64> = ends
        .iter()
        .filter(|end| end["weld"]["shared"] == true)
        .map(|end| number(&end["weld"]["length_mm"]))
        .collect();
    assert_eq!(shared.len(), 2);
    shared.iter().for_each(|seam| near(*seam, corner, PROMISED));
    assert_eq!(
        ends.iter().filter(|end| end["weld"].is_null()).count(),
        5,
        "free and coupled ends"
    );

    let words = format!(
        "{:.2} m of weld along the outer skins, {:.2} m of it mitered seams; fillets with legs of 3.00 mm: ",
        (5.0 * girth + corner) / 1000.0,
        corner / 1000.0
    );
    assert!(
        said.contains(&words) && said.contains("butt welds, whose metal is not counted"),
        "{words}\n{said}"
    );
    assert!(sheet_words(&shop, "p.pdf").contains(&words), "the cover's cut list");
    let list = String::from_utf8(shop.read("c.csv")).expect("text");
    let mut lines = list.lines();
    assert!(
        lines.next().is_some_and(|heads| heads.ends_with(",twist_deg,weld_mm")),
        "{list}"
    );
    let first = lines.next().expect("a row");
    assert!(first.ends_with(&format!(",{:.2}", girth + corner / 2.0)), "{first}");
}

#[test]
fn skins_that_are_too_close_are_told_at_their_place() {
    let shop = Shop::open();
    let run = |angle: &str| {
        shop.run(&format!(
            "saddle --branch 48.3mm_x_2mm --header 114.3mm_x_3mm --angle {angle} --out s.pdf --report r.json"
        ))
        .succeeds()
        .out()
    };
    let said = run("25");
    let note = "the skins meet at only 25° at the front (station 0): that is hard to weld; try it on scrap first";
    assert!(said.contains(note), "{said}");
    assert!(sheet_words(&shop, "s.pdf").contains("SKINS MEET at only 25° at the front (station 0): hard to weld."));
    let tight = shop.report("r.json")["ends"][0]["weld"]["tight"].clone();
    assert_eq!(tight.as_array().map(Vec::len), Some(1));
    near(number(&tight[0]["dihedral_deg"]), 25.0, 1e-6);
    near(number(&tight[0]["azimuth_deg"]), 0.0, 1e-6);
    assert!(run("29.99").contains("the skins meet at only"));
    assert!(!run("30.01").contains("the skins meet at only"));
}

/// With an offset the tightest place is beside the front, to the same side at an even distance as an independent search finds.
#[test]
fn the_tightest_place_is_where_a_dense_search_finds_it() {
    for offset in [14.0, -14.0] {
        let joint = saddle(48.3, 114.3, 25.0, offset);
        let tight = weld(&joint.end(), None).expect("it lands").tight;
        let [tight] = tight.as_slice() else { panic!("{tight:?}") };
        let steps = 0..3_600_000_u32;
        let azimuths = steps.map(|step| TAU * f64::from(step) / 3_600_000.0);
        let least = azimuths.map(|azimuth| (angle_between(&joint, azimuth), azimuth));
        let (angle, azimuth) = least.min_by(|a, b| a.0.total_cmp(&b.0)).expect("places");
        near(tight.angle_deg, angle.to_degrees(), 1e-9);
        near(tight.azimuth, azimuth, 1e-4);
        assert!((azimuth - PI).abs() < PI - 0.05, "not at the front: {azimuth}");
    }
}

/// At the far end of a piece, too: measured with its own cut end up.
#[test]
fn a_jobs_tight_weld_names_its_piece_its_end_and_its_station() {
    let job = |from: &str, to: &str| {
        format!(
            r#"{{ "units": "mm", "stock": {{ "s": {{ "size": "48.3mm x 2mm" }} }},
              "bodies": {{ "drum": {{ "shape": "cylinder", "size": "114.3mm x 3mm", "from": [0, 0, 0], "to": [0, 900, 0], "zero": [0, 0, 1] }} }},
              "tubes": {{ "brace": {{ "stock": "s", "path": [ {from}, {to} ] }} }} }}"#
        )
    };
    let (land, far) = (
        r#"{ "on": "drum", "along": 300, "round": 14 }"#,
        r#"{ "at": [30, 800, 250] }"#,
    );
    let shop = Shop::open();
    let tight = |job: &str| {
        shop.write("job.json", job.as_bytes());
        let said = shop.run("batch job.json --out - --report r.json").err();
        let report = shop.report("r.json");
        let ends = report["ends"].as_array().expect("ends").clone();
        let end = ends
            .into_iter()
            .find(|end| !end["weld"].is_null())
            .expect("an end that lands");
        (end, said, report["warnings"].to_string())
    };
    let (near_end, _, near_said) = tight(&job(land, far));
    let (far_end, _, far_said) = tight(&job(far, land));
    let [one, other] = [&near_end, &far_end].map(|end| end["weld"]["tight"][0].clone());
    near(number(&one["right_mm"]), number(&other["right_mm"]), 1e-3);
    near(number(&one["dihedral_deg"]), number(&other["dihedral_deg"]), 1e-6);
    near(number(&one["azimuth_deg"]) + number(&other["azimuth_deg"]), 360.0, 1e-3);
    let right = format!(
        "at {:.2} mm round from FRONT to the right (between stations",
        number(&one["right_mm"])
    );
    assert!(
        near_said.contains("piece 1 brace, its start: the skins meet at only"),
        "{near_said}"
    );
    assert!(
        far_said.contains("piece 1 brace, its end: the skins meet at only"),
        "{far_said}"
    );
    assert!(
        near_said.contains(&right) && far_said.contains(&right),
        "{right} {near_said} {far_said}"
    );
    // The stations that are named stand to both sides of it.
    let stations = near_said.split("between stations ").nth(1).expect("stations");
    let numbers: Vec<f64> = stations
        .split(|c: char| !c.is_ascii_digit())
        .filter_map(|word| word.parse().ok())
        .take(2)
        .collect();
    let station = number(&one["right_mm"]) / (PI * 48.3) * 16.0;
    assert!(
        numbers[0] < station && station < numbers[0] + 1.0,
        "{station} {numbers:?}"
    );
}
