//! Which way a tube's FRONT lies on what it lands on: towards the place where its FRONT line, drawn along the tube, meets the skin.
//! Told at the ends, marked by the hole's wedge and given on the compass sheet, it is one way.

mod support;

use girthline::job::read::read_job;
use girthline::job::{Assembly, resolve};
use glam::DVec3;
use support::{Pdf, Shop};

const TUBE: f64 = 24.15;

fn job(bodies: &str, path: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "48.3mm x 2mm" }} }},
  "bodies": {{ {bodies} }}, "tubes": {{ "t": {{ "stock": "tube", "path": [ {path} ] }} }} }}"#
    )
}

fn assembly(job: &str) -> Assembly {
    let raw = read_job("job.json", job).unwrap_or_else(|problems| panic!("{problems}"));
    let job = resolve::job_file(&raw, &raw.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    job.joint
}

/// How far the ends' fronts are told as turned to the right, in degrees.
fn told(job: &str) -> [Option<f64>; 2] {
    let assembly = assembly(job);
    let pieces = assembly.pieces(&assembly.tubes[0]);
    pieces[0].fronts_on.map(|front| front.map(|front| front.turned_deg))
}

/// All words of the pack in one line.
fn words(job: &str) -> String {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --out p.pdf").succeeds();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    words.join(" ")
}

const DRUM: &str = r#""drum": { "shape": "cylinder", "size": "573.9mm x 1.2mm", "from": [0, 0, 0], "to": [0, 0, 850], "zero": [0, 1, 0] }"#;

#[test]
fn the_front_of_a_tube_that_leans_up_beside_its_drum_lies_straight_up_the_drum() {
    // By hand: the tube rises by 45 degrees in a plane along the drum, so its FRONT line meets the drum's line
    // through its axis, radius times root 2 farther up, wherever round the drum that is.
    for round in ["45deg", "-45deg", "20deg", "0deg"] {
        let path = format!(r#"{{ "on": "drum", "along": 400, "round": "{round}" }}, {{ "step": [0, 300, 300] }}"#);
        let [turned, _] = told(&job(DRUM, &path));
        assert!(turned.expect("it lands").abs() < 1e-6, "{round}: {turned:?}");
    }
}

/// Where the FRONT line of a tube that lands at `at`, its axis `axis`, meets a cylinder about `axis_of` through `through`: how
/// far it is turned to the right from `axis_of`, on the skin laid flat.
fn turned_by_hand(at: DVec3, axis: DVec3, front: DVec3, (through, axis_of): (DVec3, DVec3)) -> f64 {
    let square = |way: DVec3| way - way.dot(axis_of) * axis_of;
    let (from, way, radius) = (
        square(at + TUBE * front - through),
        square(axis),
        square(at - through).length(),
    );
    let (a, b, c) = (way.dot(way), from.dot(way), from.dot(from) - radius * radius);
    let t = (-b + (b * b - a * c).sqrt()) / a;
    let meets = at + TUBE * front + t * axis;
    let out = square(at - through).normalize();
    let to_right = axis_of.cross(out);
    let round = square(meets - through);
    let right = radius * round.dot(to_right).atan2(round.dot(out));
    right.atan2((meets - at).dot(axis_of)).to_degrees()
}

#[test]
fn both_ends_of_a_tube_say_where_its_front_line_meets_their_drums() {
    let header = r#""header": { "shape": "cylinder", "size": "200mm x 3mm", "from": [-600, 600, 700], "to": [600, 700, 760], "zero": [0, -1, 0] }"#;
    let path =
        r#"{ "on": "drum", "along": 400, "round": "35deg" }, { "on": "header", "along": 420, "round": "10deg" }"#;
    let job = job(&format!("{DRUM}, {header}"), path);
    let (from, to) = (DVec3::new(-600.0, 600.0, 700.0), DVec3::new(600.0, 700.0, 760.0));
    let along = (to - from).normalize();
    let zero = DVec3::NEG_Y - DVec3::NEG_Y.dot(along) * along;
    let zero = zero.normalize();
    let (sin, cos) = 10_f64.to_radians().sin_cos();
    let on_header = from + 420.0 * along + 100.0 * (cos * zero + sin * along.cross(zero));
    let (sin, cos) = 35_f64.to_radians().sin_cos();
    let on_drum = 400.0 * DVec3::Z + 286.95 * (cos * DVec3::Y + sin * DVec3::Z.cross(DVec3::Y));
    let axis = (on_header - on_drum).normalize();
    let front = (DVec3::Z - DVec3::Z.dot(axis) * axis).normalize();
    let by_hand = [
        turned_by_hand(on_drum, axis, front, (DVec3::ZERO, DVec3::Z)),
        turned_by_hand(on_header, -axis, front, (from, along)),
    ];
    for (told, by_hand) in told(&job).into_iter().zip(by_hand) {
        let off = told.expect("it lands") - by_hand;
        assert!(off.abs() < 1e-6, "{told:?} {by_hand}");
    }
    assert!(by_hand[0].abs() < 1e-9, "{by_hand:?}");
    let at_header = format!(
        "set-on header, FRONT turned {:.1}° to the left from the way to the far end",
        -by_hand[1]
    );
    let words = words(&job);
    for told in ["set-on drum, FRONT to the top end", &at_header] {
        assert!(words.contains(told), "{told}: {words}");
    }
}

#[test]
fn on_a_cone_the_front_is_told_as_it_lies_on_the_skin_laid_flat() {
    // By hand: 800 mm across below, 400 mm across 400 mm farther up, so that the tip is at (0, 0, 800). A cone laid flat has the
    // same distances from its tip, its turns shrunk by the sine of half its opening.
    let cone = r#""cone": { "shape": "cone", "size": "800mm x 2mm", "size_to": "400mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 400], "zero": [1, 0, 0] }"#;
    let path = r#"{ "on": "cone", "along": 200, "round": 0 }, { "step": [100, 60, 300] }"#;
    let [turned, _] = told(&job(cone, path));
    let (at, axis) = (
        DVec3::new(300.0, 0.0, 200.0),
        DVec3::new(100.0, 60.0, 300.0).normalize(),
    );
    let front = (DVec3::Z - DVec3::Z.dot(axis) * axis).normalize();
    // x^2 + y^2 = ((800 - z) / 2)^2, closed in on along the FRONT line.
    let outside = |t: f64| {
        let place = at + TUBE * front + t * axis;
        place.truncate().length() - (800.0 - place.z) / 2.0
    };
    let (mut inside, mut out) = (-200.0, 200.0);
    assert!(outside(inside) < 0.0 && outside(out) > 0.0);
    for _ in 0..80 {
        let middle = 0.5 * (inside + out);
        if outside(middle) < 0.0 {
            inside = middle
        } else {
            out = middle
        }
    }
    let meets = at + TUBE * front + out * axis;
    let tip = DVec3::new(0.0, 0.0, 800.0);
    // Seen from outside with the tip up, +y is to the right of +x.
    let turn = meets.y.atan2(meets.x) * f64::atan2(1.0, 2.0).sin();
    let (reach, before) = ((meets - tip).length(), (at - tip).length());
    let by_hand = (reach * turn.sin()).atan2(before - reach * turn.cos()).to_degrees();
    assert!(
        (turned.expect("it lands") - by_hand).abs() < 1e-4,
        "{turned:?} {by_hand}"
    );
}

#[test]
fn a_front_line_that_passes_beside_its_drum_is_told_by_its_way_along_the_tube() {
    // The tube's front is the header's: across the upright drum, whose edge is less than the tube's radius farther out. One way
    // its FRONT line meets the drum, the other way it passes. By hand: level, so a quarter turn from the drum's own way.
    let x = 286.95 * 70_f64.to_radians().sin();
    for (from, to, by_hand) in [(x - 500.0, x + 500.0, -90.0), (x + 500.0, x - 500.0, 90.0)] {
        let header = format!(
            r#""header": {{ "shape": "cylinder", "size": "200mm x 3mm", "from": [{from}, 900, 400], "to": [{to}, 900, 400], "zero": [0, -1, 0] }}"#
        );
        let path = r#"{ "on": "header", "along": 500, "round": 0 }, { "on": "drum", "along": 400, "round": "-70deg" }"#;
        let [at_header, at_drum] = told(&job(&format!("{DRUM}, {header}"), path));
        assert!(at_header.expect("it lands").abs() < 1e-6, "{at_header:?}");
        assert!((at_drum.expect("it lands") - by_hand).abs() < 1e-6, "{at_drum:?}");
    }
}

#[test]
fn wrap_and_compass_sheet_of_a_tube_between_a_head_and_a_ball_say_the_same() {
    let bodies = r#""lid": { "shape": "head", "size": "500mm x 4mm", "at": [0, 0, 0], "out": [0.3, 0.2, 1], "zero": [1, 0, 0], "dish": "ASME F&D", "flange": 40 },
      "ball": { "shape": "sphere", "size": "400mm x 4mm", "at": [900, 0, 100], "out": [0, 0.2, 1], "zero": [1, 0.3, 0] }"#;
    let path = r#"{ "on": "lid", "along": 150, "round": "-70mm" }, { "on": "ball", "along": 200, "round": "150deg" }"#;
    let words = words(&job(bodies, path));
    let after = |begin: &str, end: &str| {
        let all = words.split(begin).skip(1);
        all.filter_map(|words| Some(words.split_once(end)?.0.to_owned()))
            .collect::<Vec<_>>()
    };
    for to in ["apex", "pole"] {
        let ends = after("FRONT turned ", &format!(" from the line to the {to}"));
        let sheet = after("FRONT of the tube: ", &format!(" of the line to the {to}"));
        let told = ends.first().expect("an end");
        assert_eq!(sheet.first(), Some(told), "{to}");
    }
}

/// Whichever way the front points, and of whatever shape the hole is.
#[test]
fn the_word_at_a_holes_front_stands_on_no_cut_and_no_other_words() {
    for size in [
        "48.3mm x 2mm",
        "square 50mm x 2mm r 4mm",
        "rect 80mm x 30mm x 2mm r 3mm",
    ] {
        let tubes = (0..24).map(|number| {
            let (sin, cos) = f64::from(15 * number + 4).to_radians().sin_cos();
            let (x, y) = (f64::from(number % 6) * 300.0 - 750.0, f64::from(number / 6) * 300.0 - 450.0);
            format!(
                r#""t{number}": {{ "stock": "tube", "path": [ {{ "on": "plate", "along": {y}, "round": {x} }}, {{ "step": [{}, {}, 260] }} ] }}"#,
                150.0 * cos,
                150.0 * sin
            )
        });
        let tubes: Vec<String> = tubes.collect();
        let job = format!(
            r#"{{ "units": "mm", "sheet": {{ "without": ["cover", "tables"] }}, "stock": {{ "tube": {{ "size": "{size}" }} }},
            "bodies": {{ "plate": {{ "shape": "plane", "size": "6mm", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0] }} }}, "tubes": {{ {} }} }}"#,
            tubes.join(", ")
        );
        let shop = Shop::open();
        shop.write("job.json", job.as_bytes());
        shop.run("batch job.json --out p.pdf").succeeds();
        let wrong = Pdf::read(&shop.read("p.pdf")).overprinted();
        let wrong: Vec<&String> = wrong.iter().filter(|words| words.contains("\"FRONT\"")).collect();
        assert!(wrong.is_empty(), "{size}: {wrong:?}");
    }
}
