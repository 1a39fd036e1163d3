//! Root gaps: what is left between a set-on end and its body, square to the body's skin.

use std::f64::consts::TAU;

use girthline::job::raw::Sheet;
use girthline::job::read::read_job;
use girthline::job::{Piece, resolve};
use girthline::solver::cut_at;
use glam::DVec3;
use serde_json::Value;
use support::Shop;

mod support;

const GAP: f64 = 2.5;

/// A tube on a body, cut for its outer skin alone, with the gap that `end` asks for.
fn piece(body: &str, end: &str) -> Piece {
    let job = format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "48.3mm x 3mm" }} }}, "bodies": {{ "body": {body} }},
            "tubes": {{ "riser": {{ "stock": "tube", "path": [ {{ "on": "body", "along": 120, "round": 25 }}, {{ "step": [80, 60, 400] }} ],
                                    "start": {{ "touch": "outside"{end} }} }} }} }}"#
    );
    let words = read_job("job.json", &job).expect("JSON");
    let assembly = resolve::job_file(&words, &Sheet::default()).expect("a job").joint;
    assembly.pieces(&assembly.tubes[0]).swap_remove(0)
}

/// Places on the outer skin's cut, all round.
fn cut_places(piece: &Piece) -> Vec<DVec3> {
    let (frame, radius) = (piece.near.frame, piece.near.tube.radius());
    let place = |azimuth: f64| {
        let t = cut_at(&piece.near, azimuth).expect("it meets the body").t;
        frame.origin + radius * (azimuth.cos() * frame.front + azimuth.sin() * frame.right) + t * frame.axis
    };
    (0..72).map(|step| place(TAU * f64::from(step) / 72.0)).collect()
}

type FromSkin = fn(DVec3) -> f64;

/// How far a place is from the nearest of an ellipse's places about the y axis.
fn from_ellipse(place: DVec3) -> f64 {
    let [wide, high] = [310.0 / 2.0, 290.0 / 2.0];
    let to = |turn: f64| (place.x - wide * turn.sin()).hypot(place.z - high * turn.cos());
    let (mut best, mut step) = (place.x.atan2(place.z), 0.1);
    while step > 1e-9 {
        let nearest = [best - step, best, best + step];
        let next = nearest
            .into_iter()
            .min_by(|a, b| to(*a).total_cmp(&to(*b)))
            .expect("three");
        if next == best {
            step /= 2.0;
        }
        best = next;
    }
    to(best)
}

#[test]
fn every_place_of_the_outer_skins_cut_is_the_gap_off_the_body_square_to_its_skin() {
    let bodies: [(&str, FromSkin); 5] = [
        (
            r#"{ "shape": "cylinder", "size": "300mm x 3mm", "from": [0, 0, 0], "to": [0, 900, 0] }"#,
            |p| p.x.hypot(p.z) - 150.0,
        ),
        (
            r#"{ "shape": "cone", "size": "400mm x 3mm", "size_to": "200mm x 3mm", "from": [0, 0, 0], "to": [0, 500, 0] }"#,
            // Across the axis, times the cosine of the cone's half angle: 100 mm in 500.
            |p| (p.x.hypot(p.z) - (200.0 - 0.2 * p.y)) / 1.04_f64.sqrt(),
        ),
        (
            r#"{ "shape": "sphere", "size": "400mm x 4mm", "at": [0, 0, 0] }"#,
            |p| p.length() - 200.0,
        ),
        (r#"{ "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1] }"#, |p| p.z),
        (
            r#"{ "shape": "cylinder", "size": "girth 943mm x 3mm", "from": [0, 0, 0], "to": [0, 900, 0],
                 "section": { "oval": [290, 310] } }"#,
            from_ellipse,
        ),
    ];
    for (body, from_skin) in bodies {
        let (touching, apart) = (piece(body, ""), piece(body, &format!(r#", "root_gap": {GAP}"#)));
        for (place, off) in [(&touching, 0.0), (&apart, GAP)] {
            for place in cut_places(place) {
                assert!((from_skin(place) - off).abs() < 2e-5, "{body}: {}", from_skin(place));
            }
        }
        assert_eq!(touching.near.frame, apart.near.frame, "the centre line stays");
    }
}

fn report(words: &str) -> Value {
    let shop = Shop::open();
    shop.run(&format!("{words} --out - --report r.json")).succeeds();
    shop.report("r.json")
}

#[test]
fn a_saddle_with_a_root_gap_is_cut_for_the_grown_header_and_its_hole_and_weld_angles_stay() {
    let joint = "saddle --branch 60.3mm_x_3mm --header 114.3mm_x_4mm --angle 60 --offset 12mm";
    let (plain, gap) = (report(joint), report(&format!("{joint} --root-gap 2mm")));
    let grown = report(&joint.replace("114.3mm", "118.3mm"));
    assert_eq!(gap["ends"][0]["curve"], grown["ends"][0]["curve"]);
    assert_ne!(gap["ends"][0]["curve"], plain["ends"][0]["curve"]);
    assert_eq!(gap["holes"], plain["holes"]);
    assert_eq!(gap["ends"][0]["dihedral_deg"], plain["ends"][0]["dihedral_deg"]);
    assert_eq!(gap["ends"][0]["root_gap_mm"], 2.0);
    assert_eq!(plain["ends"][0]["root_gap_mm"], Value::Null);
    // GEOMETRY: t = sqrt((R + g)^2 - x^2) / sin A at the side, of which the outer skin is the lowest place.
    let outside = report(&format!("{joint} --root-gap 2mm --touch outside"));
    let t = |degree: usize| outside["ends"][0]["curve"][degree][1].as_f64().expect("a number");
    let sin = 60_f64.to_radians().sin();
    for (degree, x) in [(90, 12.0 + 30.15), (270, 12.0 - 30.15_f64)] {
        let expected = (59.15_f64.powi(2) - x * x).sqrt() / sin;
        assert!(
            (t(degree) - expected).abs() < 1e-6,
            "{degree}: {} {expected}",
            t(degree)
        );
    }
}

const TWO_ENDS: &str = r#"{ "units": "mm", "root_gap": 2, "stock": { "tube": { "size": "42.4mm x 2.6mm" } },
  "bodies": { "low": { "shape": "cylinder", "size": "200mm x 3mm", "from": [0, 0, 0], "to": [0, 600, 0] },
              "high": { "shape": "cylinder", "size": "200mm x 3mm", "from": [0, 0, 500], "to": [0, 600, 500], "zero": [0, 0, -1] } },
  "tubes": { "post": { "stock": "tube", "path": [ { "on": "low", "along": 300, "round": 0 }, { "on": "high", "along": 300, "round": 0 } ]
                       ENDS } } }"#;

fn pack(job: &str) -> (Value, String) {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    let run = shop.run("batch job.json --out - --report r.json").succeeds();
    (shop.report("r.json"), run.err())
}

#[test]
fn a_gap_at_the_top_is_for_all_set_on_ends_and_an_end_may_say_otherwise() {
    let tip_to_tip = |ends: &str| {
        let (report, _) = pack(&TWO_ENDS.replace("ENDS", ends));
        let piece = &report["pieces"][0];
        let list = report["job"]["cut_list"][0]["ends"].clone();
        (piece["tip_to_tip_mm"].as_f64().expect("a length"), list)
    };
    let (both, words) = tip_to_tip("");
    let (one, _) = tip_to_tip(r#", "end": { "root_gap": 0 }"#);
    let (none, _) = tip_to_tip(r#", "start": { "root_gap": 0 }, "end": { "root_gap": 0 }"#);
    let (set_in, in_words) = tip_to_tip(r#", "end": { "join": "set-in" }, "start": { "root_gap": 0 }"#);
    let (set_in_plain, _) = {
        let (report, _) = pack(
            &TWO_ENDS
                .replace(r#""root_gap": 2, "#, "")
                .replace("ENDS", r#", "end": { "join": "set-in" }"#),
        );
        (report["pieces"][0]["tip_to_tip_mm"].as_f64().expect("a length"), ())
    };
    // The tips are at the sides, where the bore, 18.6 mm off the axis, touches first.
    let tip = |radius: f64| (radius * radius - 18.6_f64 * 18.6).sqrt();
    let taken = tip(102.0) - tip(100.0);
    assert!((none - both - 2.0 * taken).abs() < 1e-6, "{none} {both}");
    assert!((none - one - taken).abs() < 1e-6, "{none} {one}");
    assert!((set_in - set_in_plain).abs() < 1e-9, "a set-in end has none");
    assert_eq!(words[0], "set-on low, root gap 2.00 mm in the pattern");
    assert_eq!(words[1], "set-on high, root gap 2.00 mm in the pattern");
    assert_eq!(in_words[1], "set-in high");
}

#[test]
fn a_gap_that_swallows_the_tube_is_refused_and_named() {
    let short = TWO_ENDS
        .replace("500]", "214]")
        .replace("500, ", "214, ")
        .replace("ENDS", "");
    let shop = Shop::open();
    shop.write(
        "job.json",
        short.replace("\"root_gap\": 2", "\"root_gap\": 7").as_bytes(),
    );
    let run = shop.run("batch job.json --check");
    assert_eq!(run.code(), 2, "{}", run.out());
    for words in [
        "the piece is too short to hold its two cuts",
        "root gaps of 7.00 mm and 7.00 mm",
        "give less root gap",
    ] {
        assert!(run.err().contains(words), "{words}: {}", run.err());
    }
    shop.write("job.json", short.as_bytes());
    shop.run("batch job.json --check").succeeds();
}

#[test]
fn the_limit_of_flat_cuts_counts_the_root_gap() {
    let joint = "facets --branch 48.26mm_x_1.65mm --header 60.3mm";
    let plain = report(&format!("{joint} --gap 3mm"));
    let gap = report(&format!("{joint} --gap 4.5mm --root-gap 1.5mm"));
    let share = |report: &Value| {
        report["facets"]["as_cut"]["share_within_limit"]
            .as_f64()
            .expect("a share")
    };
    let largest = |report: &Value| report["facets"]["as_cut"]["largest_gap_mm"].as_f64().expect("a gap");
    // The cuts are the same, so against the grown header they leave what a header as large as that is left.
    let grown = report(&format!("{joint} --gap 3mm").replace("60.3mm", "63.3mm"));
    assert!((largest(&gap) - largest(&grown) - 1.5).abs() < 1e-9);
    assert!((share(&gap) - share(&grown)).abs() < 1e-9);
    assert!((largest(&plain) - largest(&grown)).abs() > 0.1);
    let shop = Shop::open();
    let refused = shop.run(&format!("{joint} --gap 0.8mm --root-gap 1mm --out -"));
    assert_eq!(refused.code(), 2);
    for words in ["--root-gap \"1mm\"", "root gap 1.00 mm, widest gap 0.80 mm", "--gap"] {
        assert!(refused.err().contains(words), "{words}: {}", refused.err());
    }
}
