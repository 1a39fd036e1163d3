//! The trial fit of a job's ends: what is off is found again from a few bad readings, at starts and at ends alike, and so is what
//! becomes of the other end. `TRIAL_FITS=1000` tries as many.

mod misfits;
mod misplaced;
mod plain;
mod support;

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use girthline::job::{End, Frame, Thing};
use girthline::plan::{self, Plan, TrialPlan};
use girthline::solver::{Offered, cut_at};
use glam::{DAffine3, DVec3};
use misfits::Chance;
use misplaced::stand::KINDS;
use misplaced::{Case, LIMIT, WITHIN, resolved};
use support::{Pdf, Shop};

const USUAL: usize = 48;

fn fits() -> usize {
    std::env::var("TRIAL_FITS").map_or(USUAL, |count| count.parse().expect("a number"))
}

fn of(plan: &Plan) -> &TrialPlan {
    plan.trial().expect("a trial fit")
}

#[test]
fn what_is_off_is_named_at_starts_and_ends_and_what_is_ground_closes_it() {
    let mut tally: BTreeMap<String, usize> = BTreeMap::new();
    let mut chance = Chance(11);
    let mut number = 0;
    while number < fits() {
        let (kind, side) = (KINDS[number / 2 % KINDS.len()], ["start", "end"][number % 2]);
        let Some(case) = Case::invented(&mut chance, kind, 1 + number / 16 % 2, side) else {
            continue;
        };
        number += 1;
        let mut count = |what: &str| *tally.entry(format!("{side} {what}")).or_default() += 1;
        count("tried");
        let exact = case.solved(16, 2.0 * WITHIN, |gap| gap);
        let can_be_told = case.is_named(of(&exact)) && of(&exact).others.is_empty();
        let plan = case.solved(16, WITHIN, |gap| {
            ((gap + WITHIN * chance.normal()).max(0.0) * 10.0).round() / 10.0
        });
        let found = of(&plan);
        if can_be_told {
            count("can be told");
            if case.is_named(found) {
                count("named");
                let mut sizes = found.guess.things.iter().zip(&found.guess.within);
                let is_told = sizes
                    .all(|(thing, within)| (found.guess.misfit.of(*thing) - case.by[thing.word()]).abs() <= *within);
                count(if is_told { "size told" } else { "size wrong" });
            } else {
                println!("{kind} {side} {:?} {:?}", case.by, found.guess.things);
            }
        } else if found.stray.is_some() {
            println!("strays: {kind} {side} {:?}", case.by);
            count("strays");
        }
        if found.grind.is_sure {
            // As the strip has it, at every quarter of a degree.
            let edges = &found.grind.edges_t;
            let depth = |place: usize| edges[place % edges.len()][0] - edges[place % edges.len()][1];
            let taken_off = |degrees: f64| {
                let (before, share) = ((4.0 * degrees).floor() as usize, (4.0 * degrees).fract());
                depth(before) * (1.0 - share) + depth(before + 1) * share
            };
            let after = case.gap(taken_off).expect("it meets");
            let widest = after.into_iter().fold(0.0, f64::max);
            count(if widest <= LIMIT + 0.02 { "closed" } else { "not closed" });
            if widest > LIMIT + 2.0 * WITHIN {
                count("far from closed");
                println!(
                    "{widest} left: {kind} {side} {:?}, {:?} {:?}",
                    case.by, found.guess.things, found.guess.misfit
                );
                println!("{} {:?} {:?}", case.text, found.asked.readings, found.grind.doubt_mm);
            }
        }
    }
    println!("{tally:?}");
    for side in ["start", "end"] {
        let of = |what: &str| tally.get(&format!("{side} {what}")).copied().unwrap_or(0) as f64;
        assert!(of("can be told") >= 0.4 * of("tried"), "{tally:?}");
        assert!(of("named") >= 0.95 * of("can be told") - 0.5, "{tally:?}");
        assert!(of("size told") >= 0.95 * of("named") - 0.5, "{tally:?}");
        assert!(of("strays") <= 0.05 * of("tried") + 0.5, "{tally:?}");
        assert!(of("closed") >= 0.3 * of("tried"), "{tally:?}");
        assert!(of("far from closed") <= 0.01 * of("closed"), "{tally:?}");
        assert!(
            of("closed") >= 0.95 * (of("closed") + of("not closed")) - 0.5,
            "{tally:?}"
        );
    }
}

/// At creases, where another of several bodies takes over, a gap is as sharp as a roof.
#[test]
fn the_first_touch_is_found_on_a_crease() {
    let mut chance = Chance(2);
    let mut tried = 0;
    while tried < 30 {
        let Some(case) = Case::invented(&mut chance, ["node", "node", "drum"][tried % 3], 1, "start") else {
            continue;
        };
        let off = |at: f64| cut_at(&case.end, at).expect("a cut").t - cut_at(&case.real, at).expect("a seat").t;
        let step = TAU / 3600.0;
        let near = (0..3600).map(|place| step * f64::from(place));
        let near = near.min_by(|a, b| off(*a).total_cmp(&off(*b))).expect("a place");
        let close = (-500..=500).map(|place| off(near + step * f64::from(place) / 500.0));
        let least = close.fold(f64::MAX, f64::min);
        let (_, told) = Offered::new(&case.end, &[])
            .expect("an end")
            .stands_off(&case.real)
            .expect("it meets");
        assert!((told - least).abs() < 0.01, "{told} for {least}: {:?}", case.by);
        tried += 1;
    }
}

/// Two drums 700 mm apart, the tube between them leaning at 70 degrees to the first.
const BETWEEN: &str = r#"{ "units": "mm", "stock": { "t": { "size": "48.3mm x 2mm" } },
    "bodies": { "low": { "shape": "cylinder", "size": "150mm x 3mm", "from": [0, -500, 0], "to": [0, 500, 0], "zero": [0, 0, 1] },
                "high": { "shape": "cylinder", "size": "180mm x 3mm", "from": [-500, 260, 700], "to": [500, 260, 700], "zero": [0, 0, -1] } },
    "tubes": { "t": { "stock": "t", "path": [ { "on": "low", "along": 500, "round": 0 }, { "on": "high", "along": 500, "round": 0 } ] } } }"#;

/// The tube's middle line from where it is tried to the other end, leaned by hand about the landing point.
#[test]
fn the_other_end_moves_as_a_hand_made_motion_has_it() {
    for (side, other) in [("start", "end"), ("end", "start")] {
        let (assembly, end) = Case::assembly(BETWEEN, side);
        let (_, other) = Case::assembly(BETWEEN, other);
        let (at, out) = (end.frame.origin, end.frame.axis);
        let body = &assembly.bodies[usize::from(side == "end")];
        let axis = body.axis() * if body.axis().dot(out) < 0.0 { -1.0 } else { 1.0 };
        // 2 degrees more than the angle that was asked for.
        let away = (-(axis - axis.dot(out) * out)).normalize();
        let lean = DAffine3::from_translation(at)
            * DAffine3::from_axis_angle(out.cross(away), 2_f64.to_radians())
            * DAffine3::from_translation(-at);
        let leans = end.frame.brought(&lean);
        let real = End {
            frame: leans,
            ..end.clone()
        };
        let case = Case {
            text: BETWEEN.to_owned(),
            side,
            end: end.clone(),
            real: real.clone(),
            things: vec![Thing::Angle],
            by: BTreeMap::from([("angle", 2.0)]),
        };
        let plan = case.solved(16, 0.05, |gap| gap);
        let found = of(&plan);
        assert!(case.is_named(found), "{side}: {:?}", found.guess.things);
        let off = |place: usize| {
            let at = TAU * place as f64 / 720.0;
            cut_at(&end, at).expect("a cut").t - cut_at(&real, at).expect("a seat").t
        };
        let in_mm = (0..720).map(off).fold(f64::MAX, f64::min);
        let length = at.distance(other.frame.origin);
        let now = at + (length - in_mm) * leans.axis;
        // Tilted back it stands as the job has it.
        let way = found
            .ways
            .iter()
            .find(|way| way.changes.len() == 1 && way.changes[0].0 == Thing::Angle)
            .expect("a way");
        let moves = way.other_end.expect("another end");
        let by = other.frame.origin - now;
        let along = by.dot(leans.axis);
        let aside = (by - along * leans.axis).length();
        assert!(
            (moves.along_mm - along).abs() < 0.05,
            "{side}: {} for {along}",
            moves.along_mm
        );
        assert!(
            (moves.aside_mm - aside).abs() < 0.2,
            "{side}: {} for {aside}",
            moves.aside_mm
        );
        assert!(aside > 20.0, "{aside}");
        let stands = moves.stands.expect("it lands");
        assert!(
            stands.is_within && stands.largest_gap_mm.expect("it meets") < 0.1,
            "{side}: {stands:?}"
        );
        // Ground, it goes on leaning, and farther in.
        let ground = found.other_end.expect("another end");
        let push = found.grind.moves_in_mm;
        assert!(push > 0.2, "{push}");
        assert!(
            (ground.along_mm + push).abs() < 1e-9 && ground.aside_mm < 1e-9,
            "{ground:?}"
        );
        let brought = DAffine3::from_translation(-(in_mm + push) * leans.axis) * lean;
        let there = End {
            frame: other.frame.brought(&brought),
            ..other.clone()
        };
        let gaps: Vec<f64> = (0..720)
            .map(|place| TAU * f64::from(place) / 720.0)
            .map(|at| cut_at(&other, at).expect("a cut").t - cut_at(&there, at).expect("a seat").t)
            .collect();
        let (least, most) = gaps
            .iter()
            .fold((f64::MAX, f64::MIN), |(low, high), gap| (low.min(*gap), high.max(*gap)));
        let stands = ground.stands.expect("it lands");
        assert!(
            (stands.largest_gap_mm.expect("it meets") - most).abs() < 0.1,
            "{side}: {stands:?} for {most}"
        );
        assert!(
            (stands.overlap_mm - (-least).max(0.0)).abs() < 0.1,
            "{side}: {stands:?} for {least}"
        );
        assert_eq!(stands.is_within, most <= LIMIT && least >= -0.05, "{side}: {stands:?}");
    }
}

/// By how far from its landing point the tube leans in all it goes in, and the widest gap and the overlap at the other end, worked
/// out with the motion of this file.
fn other_end_of(lean_deg: f64, [end, other]: [&End; 2], away: DVec3) -> [f64; 2] {
    let (at, out) = (end.frame.origin, end.frame.axis);
    let lean = DAffine3::from_translation(at)
        * DAffine3::from_axis_angle(out.cross(away), lean_deg.to_radians())
        * DAffine3::from_translation(-at);
    let off = |asked: &End, real: &End| -> Vec<f64> {
        let places = (0..720).map(|place| TAU * f64::from(place) / 720.0);
        places
            .map(|at| cut_at(asked, at).expect("a cut").t - cut_at(real, at).expect("a seat").t)
            .collect()
    };
    let moved = |of: &End, motion: &DAffine3| End {
        frame: of.frame.brought(motion),
        ..of.clone()
    };
    let real = moved(end, &lean);
    let in_mm = off(end, &real).into_iter().fold(f64::MAX, f64::min);
    let brought = DAffine3::from_translation(-in_mm * real.frame.axis) * lean;
    let gaps = off(other, &moved(other, &brought));
    let (least, most) = gaps
        .iter()
        .fold((f64::MAX, f64::MIN), |(low, high), gap| (low.min(*gap), high.max(*gap)));
    [most.max(0.0), (-least).max(0.0)]
}

/// Tilted back by as much as was told, the other end has what it is said to have, within what that is told within.
#[test]
fn the_range_of_the_other_ends_gap_holds_what_it_really_is() {
    let mut chance = Chance(5);
    let (mut tried, mut held, mut narrow) = (0, 0, 0);
    for number in 0..24 {
        let (side, other) = [("start", "end"), ("end", "start")][number % 2];
        let (assembly, end) = Case::assembly(BETWEEN, side);
        let (_, other) = Case::assembly(BETWEEN, other);
        let out = end.frame.axis;
        let body = &assembly.bodies[usize::from(side == "end")];
        let axis = body.axis() * if body.axis().dot(out) < 0.0 { -1.0 } else { 1.0 };
        let away = (-(axis - axis.dot(out) * out)).normalize();
        let by = chance.sign() * chance.within(1.0, 3.0);
        let lean = DAffine3::from_translation(end.frame.origin)
            * DAffine3::from_axis_angle(out.cross(away), by.to_radians())
            * DAffine3::from_translation(-end.frame.origin);
        let case = Case {
            text: BETWEEN.to_owned(),
            side,
            real: End {
                frame: end.frame.brought(&lean),
                ..end.clone()
            },
            end: end.clone(),
            things: vec![Thing::Angle],
            by: BTreeMap::from([("angle", by)]),
        };
        let plan = case.solved(16, WITHIN, |gap| (gap + WITHIN * chance.normal()).max(0.0));
        let found = of(&plan);
        let way = found
            .ways
            .iter()
            .find(|way| matches!(way.changes[..], [(Thing::Angle, _)]));
        let (Some(way), true) = (way, case.is_named(found)) else {
            continue;
        };
        let left = by + way.changes[0].1;
        let [gap, overlap] = other_end_of(left, [&end, &other], away);
        let moves = way.other_end.expect("another end");
        let stands = moves.stands.expect("it lands");
        tried += 1;
        let is_held = (stands.largest_gap_mm.expect("it meets") - gap).abs() <= stands.gap_within_mm + 0.1
            && (stands.overlap_mm - overlap).abs() <= stands.overlap_within_mm + 0.1;
        held += usize::from(is_held);
        narrow += usize::from(stands.gap_within_mm < 6.0);
        assert!(stands.gap_within_mm > 0.1, "{stands:?}");
    }
    println!("{tried} tilted back: {held} within, {narrow} told within 6 mm");
    assert!(
        tried >= 16 && held >= tried - 1 && 2 * narrow >= tried,
        "{tried} {held} {narrow}"
    );
}

/// On a wrap that bears both cuts the base line is half way, on others at a round length: in both the strip has it, too.
#[test]
fn the_strip_goes_on_the_base_line_of_the_piece_in_the_pack() {
    let shop = Shop::open();
    shop.write("long.json", BETWEEN.as_bytes());
    let short = BETWEEN.replace("700]", "290]").replace("260", "90");
    shop.write("short.json", short.as_bytes());
    for job in ["long", "short"] {
        shop.run(&format!(
            "batch {job}.json --out pack.pdf --report pack-{job}.json --paper 700mmx700mm"
        ))
        .succeeds();
        let pack = shop.report(&format!("pack-{job}.json"));
        for (side, end) in ["start", "end"].into_iter().enumerate() {
            let run = shop.run(&format!(
                "trial {job}.json --tube t --end {end} --gaps 0,0.3,1.2,2.1,2.6,2.0,1.1,0.3 --out strip-{job}-{end}.pdf --report {job}-{end}.json --paper 700mmx700mm"
            ));
            run.succeeds();
            let trial = shop.report(&format!("{job}-{end}.json"));
            for same in [
                "base_line_t_mm",
                "printed_girth_mm",
                "seam_deg",
                "azimuths_run",
                "ordinates",
                "curve",
            ] {
                assert_eq!(pack["ends"][side][same], trial["ends"][0][same], "{job} {end} {same}");
            }
            let rows = |of: &serde_json::Value| of.as_array().expect("stations").clone();
            let (old, new) = (
                rows(&pack["ends"][side]["ordinates"]),
                rows(&trial["trial"]["new_edge"]),
            );
            let grind = rows(&trial["trial"]["grind"]);
            for (station, (old, new)) in old.iter().zip(&new).enumerate() {
                let up = |row: &serde_json::Value| row["from_base_mm"].as_f64().expect("a number");
                // The depths are told to the right at both ends, as stations are.
                let degree = 22.5 * station as f64;
                let depth = |degree: f64| grind[degree as usize % 360][1].as_f64().expect("a number");
                let depth = (depth(degree.floor()) + depth(degree.ceil())) / 2.0;
                assert!((up(old) - up(new) - depth).abs() < 0.01, "{job} {end} {station}");
                assert_eq!(old["azimuth_deg"], new["azimuth_deg"]);
            }
            let pdf = Pdf::read(&shop.read(&format!("strip-{job}-{end}.pdf")));
            let x = |name: &str| {
                pdf.words
                    .iter()
                    .find(|words| words.text == name)
                    .map(|words| words.at.x)
            };
            let is_right_after_front = x("RIGHT") > x("FRONT");
            assert_eq!(is_right_after_front, end == "start", "{job} {end}");
        }
    }
}

/// A named reading is that of the line on the tube: at an end the RIGHT line is to the left of the front.
#[test]
fn named_readings_are_those_of_the_lines_on_the_tube() {
    let shop = Shop::open();
    shop.write("job.json", BETWEEN.as_bytes());
    for (end, right) in [("start", 90.0), ("end", 270.0)] {
        let run = shop.run_words(&[
            "trial",
            "job.json",
            "--tube",
            "t",
            "--end",
            end,
            "--gaps",
            "front 0, right 0.5, back 1, left 2",
            "--report",
            "a.json",
        ]);
        let run = run.succeeds();
        assert!(
            run.out().contains("right 0.50") && run.out().contains("left 2.00"),
            "{}",
            run.out()
        );
        let report = shop.report("a.json");
        let readings = report["trial"]["readings"].as_array().expect("readings").clone();
        let of_right = readings.iter().find(|reading| reading["gap_mm"] == 0.5).expect("it");
        assert_eq!(of_right["azimuth_deg"], right);
    }
}

#[test]
fn ends_without_a_gap_and_tubes_that_are_not_there_are_refused() {
    let shop = Shop::open();
    let job = r#"{ "units": "mm", "stock": { "t": { "size": "48.3mm x 2mm" } },
        "bodies": { "low": { "shape": "cylinder", "size": "150mm x 3mm", "from": [0, -500, 0], "to": [0, 500, 0], "zero": [0, 0, 1] } },
        "tubes": { "riser": { "stock": "t", "path": [ { "on": "low", "along": 200, "round": 0 }, { "step": [0, 0, 300] } ], "repeat": { "times": 3, "step": [0, 120, 0] } },
                   "inlet": { "stock": "t", "path": [ { "on": "low", "along": 800, "round": 0 }, { "step": [0, 0, 300] } ], "start": { "join": "set-in" } } } }"#;
    shop.write("job.json", job.as_bytes());
    let cases = [
        (
            "risr",
            "start",
            [
                "there is no tube of the name \"risr\"",
                "did you mean \"riser\"?",
                "--tube",
            ],
        ),
        (
            "riser 4",
            "start",
            [
                "there is no tube of the name \"riser 4\"",
                "did you mean \"riser",
                "--tube",
            ],
        ),
        (
            "riser 2",
            "top",
            ["\"top\" is not one of the choices", "choose start, end", "--end"],
        ),
        (
            "riser 2",
            "end",
            [
                "cut square and lands on nothing",
                "read the gaps of its start",
                "--end \"end\"",
            ],
        ),
        (
            "inlet",
            "start",
            [
                "a set-in end goes through its hole",
                "the start of \"inlet\"",
                "--end \"start\"",
            ],
        ),
    ];
    for (tube, end, words) in cases {
        let run = shop.run_words(&["trial", "job.json", "--tube", tube, "--end", end, "--gaps", "0,1,2,1"]);
        assert_eq!(run.code(), 2, "{tube} {end}: {}", run.err());
        for word in words {
            assert!(run.err().contains(word), "{tube} {end}: {}", run.err());
        }
    }
    for (tube, named) in [("riser", "riser 1"), ("riser 3", "riser 3")] {
        let run = shop.run_words(&[
            "trial", "job.json", "--tube", tube, "--end", "start", "--gaps", "0,1,0,1", "--out", "a.pdf",
        ]);
        assert!(
            run.succeeds()
                .out()
                .contains(&format!("Trial fit: {named}, start: set-on low"))
        );
    }
    let mixed = shop.run("trial job.json --tube riser --end start --gaps 0,1,0,1 --header 60mm");
    assert_eq!(mixed.code(), 2);
    assert!(mixed.err().contains("cannot be used with"), "{}", mixed.err());
}

/// What changes no gap is not offered: a tube square on a plate may be turned, and stand where it likes.
#[test]
fn what_changes_no_gap_is_never_named() {
    let plate = |step: &str| {
        format!(
            r#"{{ "units": "mm", "stock": {{ "t": {{ "size": "48.3mm x 2mm" }} }},
               "bodies": {{ "foot": {{ "shape": "plane", "size": 6, "at": [0, 0, 0], "out": [0, 0, 1] }} }},
               "tubes": {{ "t": {{ "stock": "t", "path": [ {{ "on": "foot" }}, {{ "step": {step} }} ] }} }} }}"#
        )
    };
    let offered = |text: &str| {
        let plan = plan::trial_of_job(&resolved(text, "start", "0, 0.7, 1.4, 0.7", WITHIN)).expect("a plan");
        let asked = of(&plan).asked.offered.asked;
        let things = Thing::ALL.into_iter().filter(|thing| asked[*thing as usize].is_some());
        (things.collect::<Vec<_>>(), of(&plan).guess.things.clone())
    };
    let (square, named) = offered(&plate("[0, 0, 400]"));
    assert_eq!(square, [Thing::Angle, Thing::Sideways]);
    assert_eq!(named, [Thing::Angle]);
    let (leaning, _) = offered(&plate("[200, 0, 400]"));
    assert_eq!(leaning, [Thing::Angle, Thing::Turned, Thing::Sideways]);
}

/// The motion between two frames takes one's axes to the other's.
#[test]
fn a_motion_takes_one_frame_to_another() {
    let one = Frame::branch(1.1, 4.0);
    let other = Frame::new(DVec3::new(3.0, -2.0, 7.0), DVec3::X, DVec3::Z);
    let brought = one.brought(&one.way_to(&other));
    for (is, asked) in [
        (brought.origin, other.origin),
        (brought.axis, other.axis),
        (brought.front, other.front),
        (brought.right, other.right),
    ] {
        assert!((is - asked).length() < 1e-12, "{is} for {asked}");
    }
}
