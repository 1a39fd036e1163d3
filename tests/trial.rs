//! The trial fit: invented misfits, whose gaps the solver gives, are found again from a few bad readings, and what is ground
//! closes them. `TRIAL_FITS=1000` tries as many random joints; where nothing is said fewer are tried.

mod misfits;
mod plain;
mod support;

use std::collections::BTreeMap;

use girthline::job::{End, Misfit, Saddle, Thing, Trial};
use girthline::plan::{Plan, TrialPlan};
use girthline::solver::{Offered, cut_at};
use microlp::{ComparisonOp, OptimizationDirection, Problem};
use misfits::{Case, Chance, joint, solved};
use support::{Pdf, Shop};

const USUAL: usize = 40;

/// How well gaps are read in all of these, in millimetres.
const WITHIN: f64 = 0.2;

fn fits() -> usize {
    std::env::var("TRIAL_FITS").map_or(USUAL, |count| count.parse().expect("a number"))
}

fn of(plan: &Plan) -> &TrialPlan {
    plan.trial().expect("a trial fit")
}

/// Random misfits, one and two things off, at 8 and at 16 stations in turn.
fn invented() -> impl Iterator<Item = (Case, Trial, Chance)> {
    (0..fits()).map(|number| {
        let mut chance = Chance(7 * number as u64);
        let case = Case::invented(&mut chance, 1 + number % 2);
        let stations = [8, 16][number / 2 % 2];
        let trial = case.read_badly(&mut chance, stations, WITHIN);
        (case, trial, chance)
    })
}

/// Whether exact gaps that are read half as well would still name what is off, and nothing else.
fn can_be_told(case: &Case, readings: usize) -> bool {
    let plan = solved(case.read(readings, 2.0 * WITHIN, |gap| gap));
    let found = of(&plan);
    found.guess.things == case.things && found.others.is_empty() && found.stray.is_none()
}

#[test]
fn what_is_off_is_named_with_its_size_and_grinding_as_printed_closes_it() {
    let mut tally: BTreeMap<&str, usize> = BTreeMap::new();
    let mut count = |what: &'static str| *tally.entry(what).or_default() += 1;
    for (case, trial, _) in invented() {
        let stations = if trial.readings.len() > 10 { 16 } else { 8 };
        let plan = solved(trial);
        let found = of(&plan);
        let off = |thing: &Thing| (found.guess.misfit.of(*thing) - case.misfit.of(*thing)).abs();
        let mut sizes = found.guess.things.iter().zip(&found.guess.within);
        if can_be_told(&case, stations) {
            count("can be told");
            // Where others are named with it, that it can't be told from them was said.
            let all = std::iter::once(&found.guess).chain(&found.others);
            let is_named = found.stray.is_none() && all.clone().any(|guess| guess.things == case.things);
            let is_first = found.stray.is_none() && found.guess.things == case.things;
            count(if is_named { "named" } else { "not named" });
            count(if is_first { "named first" } else { "not named first" });
            if is_first {
                count(if sizes.all(|(thing, within)| off(thing) <= *within) {
                    "size told"
                } else {
                    "size wrong"
                });
            }
        } else if found.stray.is_none() && found.others.is_empty() {
            let is_part = found.guess.things.iter().all(|thing| case.things.contains(thing));
            count(if is_part {
                "no more than is off"
            } else {
                "another thing alone"
            });
        }
        let depths = &found.grind.depths_mm;
        let taken_off = |degrees: f64| {
            let (before, share) = (degrees.floor() as usize, degrees.fract());
            depths[before % 360] * (1.0 - share) + depths[(before + 1) % 360] * share
        };
        let after = case.gap(taken_off);
        for stations in [8, 16] {
            let widest = (0..stations)
                .map(|station| after[3600 * station / stations])
                .fold(0.0, f64::max);
            let is_closed = widest <= found.asked.gap_limit_mm + 1e-9;
            count(match (found.grind.is_sure, is_closed) {
                (true, true) => "sure and closed",
                (true, false) => "sure and not closed",
                (false, true) => "not sure but closed",
                (false, false) => "not sure nor closed",
            });
            assert!(widest < found.asked.gap_limit_mm + 2.0 * WITHIN, "{widest}");
        }
    }
    println!("{tally:?}");
    let of = |what: &str| tally.get(what).copied().unwrap_or(0) as f64;
    assert!(of("can be told") >= 0.5 * fits() as f64, "{tally:?}");
    assert!(of("named") >= 0.97 * of("can be told"), "{tally:?}");
    assert!(of("named first") >= 0.95 * of("can be told"), "{tally:?}");
    assert!(of("size told") >= 0.95 * of("named first"), "{tally:?}");
    assert!(of("another thing alone") <= 0.02 * fits() as f64, "{tally:?}");
    let sure = [of("sure and closed"), of("sure and not closed")];
    let closed = sure[0] + of("not sure but closed");
    assert!(sure[0] >= 0.99 * (sure[0] + sure[1]), "{tally:?}");
    assert!(sure[0] + sure[1] >= 1.5 * fits() as f64, "{tally:?}");
    assert!(closed >= 0.97 * 2.0 * fits() as f64, "{tally:?}");
}

/// The least sum of squares with one thing off, by trying all its sizes: nothing of how the program searches.
fn by_trying(trial: &Trial, thing: Thing) -> f64 {
    let stations: Vec<f64> = trial
        .readings
        .iter()
        .map(|reading| reading.azimuth_deg.to_radians())
        .collect();
    let offered = Offered::new(&trial.offered.end, &stations).expect("an end");
    let limits = trial.offered.limits(thing);
    let sum = |size: f64| {
        let met = trial.offered.met(&Misfit::default().with(thing, size))?;
        let gaps = offered.gaps(&met)?;
        let off = gaps
            .iter()
            .zip(&trial.readings)
            .map(|(gap, reading)| (gap - reading.gap_mm) / WITHIN);
        Some(off.map(|off| off * off).sum::<f64>())
    };
    let sizes = (0..=600).map(|step| limits.start() + (limits.end() - limits.start()) * f64::from(step) / 600.0);
    sizes.filter_map(sum).fold(f64::MAX, f64::min)
}

#[test]
fn one_thing_is_never_named_alone_where_another_explains_as_well() {
    let mut alone = 0;
    for (_, trial, _) in invented().take(fits().min(200)) {
        let plan = solved(trial.clone());
        let found = of(&plan);
        if found.guess.things.len() != 1 || found.stray.is_some() {
            continue;
        }
        alone += usize::from(found.others.is_empty());
        for thing in Thing::ALL
            .into_iter()
            .filter(|thing| trial.offered.asked(*thing).is_some() && !found.guess.things.contains(thing))
        {
            let is_told = found.others.iter().any(|other| other.things == [thing]);
            let worse = by_trying(&trial, thing) - found.guess.chi_squared;
            // Twice as far off as counts as well would still be told; nothing much better than the best was missed.
            assert!(worse > -0.5, "{thing:?} is better by {worse}");
            assert!(is_told || worse > 8.0, "{thing:?} explains as well but for {worse}");
        }
    }
    assert!(alone > 10, "only {alone} were named alone");
}

/// Front, right, back and left can't tell a tube that leans to its front from a header that is too small where only three of
/// them are read, and the fourth is what decides.
#[test]
fn what_cannot_be_told_apart_is_said_with_the_reading_that_decides() {
    let shop = Shop::open();
    let run = shop.run("trial --branch 48.3mm_x_2mm --header 60.3mm --gaps front_0,22.5deg_0.4,right_1.5,left_1/32in --units mm --report a.json");
    let run = run.succeeds();
    assert!(
        run.out().contains("the readings can't tell which of 2"),
        "{}",
        run.out()
    );
    assert!(run.out().contains("to decide, read the gap at back"), "{}", run.out());
    let report = &shop.report("a.json")["trial"];
    assert_eq!(report["alternatives"].as_array().map(Vec::len), Some(1));
    assert_eq!(report["decided_by"]["azimuth_deg"], 180.0);
    assert_eq!(report["is_sure"], false);
}

/// The least that has to come off, and how far in the tube then goes, as a linear programme has it: p and d(a) at least 0 with
/// g(a) + d(a) - p from 0 to what may be left.
#[test]
fn no_less_metal_closes_the_gap() {
    for number in 0..6 {
        let mut chance = Chance(number);
        let case = Case::invented(&mut chance, 2);
        let plan = solved(case.read_badly(&mut chance, 12, WITHIN));
        let found = of(&plan);
        let at: Vec<usize> = (0..360).step_by(3).collect();
        let widest = at.iter().map(|degree| found.gap_mm[*degree]).fold(0.0, f64::max);
        let limit = widest - found.grind.moves_in_mm;
        let mut programme = Problem::new(OptimizationDirection::Minimize);
        let push_in = programme.add_var(0.0, (0.0, f64::INFINITY));
        for degree in &at {
            let depth = programme.add_var(1.0, (0.0, f64::INFINITY));
            let gap = found.gap_mm[*degree];
            programme.add_constraint([(depth, 1.0), (push_in, -1.0)], ComparisonOp::Ge, -gap);
            programme.add_constraint([(depth, 1.0), (push_in, -1.0)], ComparisonOp::Le, limit - gap);
        }
        let least = programme
            .solve()
            .expect("it can be closed")
            .into_solution()
            .expect("it is")
            .objective();
        let ours: f64 = at.iter().map(|degree| found.grind.depths_mm[*degree]).sum();
        assert!(
            (least - ours).abs() < 1e-6 * (1.0 + ours),
            "{least} is enough, {ours} comes off"
        );
    }
}

#[test]
fn what_is_off_about_how_the_tube_stands_is_closed_without_grinding() {
    let asked = joint(48.3, 2.0, 88.9, 60.0, 0.0);
    for (thing, by) in [
        (Thing::Angle, -2.0),
        (Thing::Angle, 3.0),
        (Thing::Turned, 6.0),
        (Thing::Aside, -2.5),
    ] {
        let case = Case::new(asked.clone(), &[(thing, by)]).expect("a joint");
        let plan = solved(case.read(16, 0.05, |gap| gap));
        let found = of(&plan);
        assert_eq!(found.guess.things, [thing], "{by}");
        let best = found.ways.first().expect("a way");
        let [(changed, back)] = best.changes[..] else {
            panic!("{:?}", best.changes)
        };
        assert_eq!(changed, thing);
        assert!((back + by).abs() < 0.05 * by.abs(), "{back} for {by}");
        // Put right by that much the solver finds it closed.
        let mended = Case::new(asked.clone(), &[(thing, by + back)]).expect("a joint");
        let widest = mended.gap(|_| 0.0).into_iter().fold(0.0, f64::max);
        assert!(widest < 0.1, "{widest}");
    }
    let case = Case::new(asked, &[(Thing::Radius, -6.0)]).expect("a joint");
    let plan = solved(case.read(16, 0.05, |gap| gap));
    assert_eq!(of(&plan).guess.things, [Thing::Radius]);
    let closing = of(&plan).ways.iter().find(|way| way.largest_mm < 0.3);
    assert_eq!(closing, None, "no turn makes up for a wrong header");
}

#[test]
fn a_cut_that_strays_at_one_place_is_told_with_the_place_and_its_side() {
    let case = Case::new(joint(60.3, 2.0, 114.3, 75.0, 0.0), &[(Thing::Angle, 2.0)]).expect("a joint");
    let exact = case.read(16, WITHIN, |gap| gap);
    let strays = |change: &dyn Fn(&mut Trial)| {
        let mut trial = exact.clone();
        change(&mut trial);
        let plan = solved(trial);
        let stray = of(&plan).stray.clone().expect("it strays");
        assert!(stray.is_alone);
        assert_eq!(of(&plan).guess.things, [Thing::Angle]);
        let left = of(&plan).grind.largest_left_mm;
        assert!(left <= 0.8, "{left}");
        stray
    };
    let wide = strays(&|trial| trial.readings[5].gap_mm += 3.0);
    assert_eq!(wide.reading, 5);
    assert!((wide.by_mm - 3.0).abs() < 0.2, "{wide:?}");
    // Metal that stands out touches first, and all other gaps are wider by as much.
    let out = strays(&|trial| {
        let stands_out = trial.readings[9].gap_mm + 3.0;
        trial.readings.iter_mut().for_each(|reading| reading.gap_mm += 3.0);
        trial.readings[9].gap_mm += -stands_out;
    });
    assert_eq!(out.reading, 9);
    assert!(out.by_mm < -2.5, "{out:?}");
}

/// The end is cut for its root gap, and touches the header without one: what shows then isn't to be closed.
#[test]
fn a_root_gap_is_not_ground_away_and_what_is_off_is_found_beyond_it() {
    let asked = Saddle {
        root_gap_mm: 2.0,
        ..joint(60.3, 2.0, 101.6, 70.0, 0.0)
    };
    let built = |off: &[(Thing, f64)]| {
        let mut case = Case::new(asked.clone(), off).expect("a joint");
        case.real.root_gap_mm = 0.0;
        case
    };
    let plan = solved(built(&[]).read(16, 0.05, |gap| gap));
    let found = of(&plan);
    assert!(found.guess.things.is_empty(), "{:?}", found.guess.things);
    assert!(found.gap_mm.iter().any(|gap| *gap > 0.3), "the root gap shows");
    assert!(found.beyond_mm.iter().all(|gap| *gap < 1e-6));
    assert!(found.grind.moves_in_mm == 0.0 && found.ways.is_empty());
    for (thing, by) in [
        (Thing::Angle, -2.5),
        (Thing::Angle, 0.9),
        (Thing::Turned, 6.0),
        (Thing::Turned, -6.0),
        (Thing::Aside, 2.0),
        (Thing::Radius, 4.0),
        (Thing::Radius, -4.0),
    ] {
        let case = built(&[(thing, by)]);
        let plan = solved(case.read(16, 0.05, |gap| gap));
        let found = of(&plan);
        assert_eq!(found.guess.things, [thing], "{by}");
        assert!((found.guess.misfit.of(thing) - by).abs() < 0.02 * by.abs(), "{by}");
        if let Some(back) = found.ways.first().filter(|_| thing != Thing::Radius) {
            assert!(
                (back.changes[0].1 + by).abs() < 0.05 * by.abs(),
                "{:?} for {by}",
                back.changes
            );
        }
        // Ground as told, and with the root gap left square to the header, nothing is wider than the limit beyond it.
        let cut = asked.end();
        let met = case.real.end();
        let designed = Saddle {
            root_gap_mm: 0.0,
            ..asked.clone()
        };
        let beyond: Vec<f64> = (0..360)
            .map(|degree| {
                let at = f64::from(degree).to_radians();
                let t = |end: &End| cut_at(end, at).expect("a cut").t;
                t(&cut) + found.grind.depth_mm(f64::from(degree)) - t(&met) - (t(&cut) - t(&designed.end()))
            })
            .collect();
        let (low, high) = beyond
            .iter()
            .fold((f64::MAX, f64::MIN), |(low, high), gap| (low.min(*gap), high.max(*gap)));
        assert!(high - low <= found.asked.gap_limit_mm + 0.02, "{}", high - low);
        // From the first touch, which has no root gap, to where that is left.
        let touches = (0..360)
            .map(|degree| f64::from(degree).to_radians())
            .map(|at| cut_at(&cut, at).expect("a cut").t - cut_at(&met, at).expect("a seat").t)
            .fold(f64::MAX, f64::min);
        let goes_in = low - touches;
        assert!(
            (found.goes_in_mm - goes_in).abs() < 0.02,
            "{} for {goes_in}",
            found.goes_in_mm
        );
        let notes = girthline::wording::said(&plan).notes.join("\n");
        let goes = if goes_in < 0.0 { "is drawn back" } else { "goes in" };
        if found.grind.moves_in_mm > 0.0 {
            assert!(notes.contains(&format!("the tube then {goes} ")), "{goes}: {notes}");
        }
    }
}

/// Mirror images are told alike, the sides apart.
#[test]
fn mirrored_readings_are_explained_by_the_mirror_image() {
    let asked = Saddle {
        root_gap_mm: 1.5,
        ..joint(50.0, 2.0, 90.0, 75.0, 4.0)
    };
    let told = |sign: f64| {
        let asked = Saddle {
            offset_mm: sign * asked.offset_mm,
            ..asked.clone()
        };
        let mut case = Case::new(asked, &[(Thing::Turned, sign * 4.0), (Thing::Angle, 2.0)]).expect("a joint");
        case.real.root_gap_mm = 0.0;
        let plan = solved(case.read(16, 0.1, |gap| (gap * 10.0).round() / 10.0));
        let found = of(&plan);
        let by = Thing::ALL.map(|thing| found.guess.misfit.of(thing));
        (by, found.grind.moves_in_mm, found.grind.doubt_mm, found.grind.is_sure)
    };
    let (one, other) = (told(1.0), told(-1.0));
    for (thing, (by, mirrored)) in Thing::ALL.into_iter().zip(one.0.into_iter().zip(other.0)) {
        let sign = if matches!(thing, Thing::Turned | Thing::Aside) {
            -1.0
        } else {
            1.0
        };
        assert!((by - sign * mirrored).abs() < 0.02, "{thing:?}: {by} and {mirrored}");
    }
    assert!((one.1 - other.1).abs() < 0.02 && (one.2 - other.2).abs() < 0.02 && one.3 == other.3);
}

/// The same gaps are those of a tube whose top leans the other way about the place where it lands.
#[test]
fn a_tube_that_stands_aside_may_as_well_lean_to_the_other_side() {
    let asked = joint(48.3, 2.0, 88.9, 90.0, 0.0);
    for (by, words) in [
        (-2.33, "aside towards its LEFT, or leans towards its RIGHT"),
        (2.33, "aside towards its RIGHT, or leans towards its LEFT"),
    ] {
        let case = Case::new(asked.clone(), &[(Thing::Aside, by)]).expect("a joint");
        let plan = solved(case.read(16, 0.05, |gap| gap));
        let notes = girthline::wording::said(&plan).notes.join("\n");
        assert!(notes.contains(words), "{notes}");
    }
    // Closed form: leaning by d about the landing point the axis passes R sin d to the other side of the header's.
    let lean = f64::to_radians(3.0);
    let (r, header) = (24.15, 44.45);
    let (aside, tilted): (Vec<f64>, Vec<f64>) = (0..360)
        .map(|degree| {
            let sin = f64::from(degree).to_radians().sin();
            let passes = |x: f64| (header * header - x * x).sqrt();
            let cut = passes(r * sin);
            // The top leans to the right: the axis goes up along (sin d, cos d) through (0, R).
            let across = r * sin;
            let foot = (across * lean.cos(), header - across * lean.sin());
            let b = foot.0 * lean.sin() + foot.1 * lean.cos();
            let c = foot.0 * foot.0 + foot.1 * foot.1 - header * header;
            (
                cut - passes(across - header * lean.sin()),
                (cut - header) - (-b + (b * b - c).sqrt()),
            )
        })
        .unzip();
    let gap = |off: &[f64]| {
        let least = off.iter().copied().fold(f64::MAX, f64::min);
        off.iter().map(|off| off - least).collect::<Vec<_>>()
    };
    for (one, other) in gap(&aside).iter().zip(gap(&tilted)) {
        assert!((one - other).abs() < 1e-9, "{one} and {other}");
    }
}

#[test]
fn an_end_that_fits_has_nothing_off_and_nothing_to_grind() {
    let shop = Shop::open();
    let run = shop.run(
        "trial --branch 48.3mm_x_2mm --header 88.9mm --gaps 0,0.1mm,0.2mm,0.1mm,0,0.1mm --report a.json --out a.pdf",
    );
    let run = run.succeeds();
    assert!(
        run.out()
            .contains("nothing is off that gaps read within 0.20 mm can tell"),
        "{}",
        run.out()
    );
    assert!(run.out().contains("nothing has to come off"), "{}", run.out());
    let report = &shop.report("a.json")["trial"];
    assert_eq!(report["moves_in_mm"], 0.0);
    assert!(!Pdf::read(&shop.read("a.pdf")).says("GRINDING STRIP"));
}

/// The strip's bold edge is the new edge of the report, on the base line and girth of the saddle's own wrap.
#[test]
fn the_strip_goes_on_the_lines_that_are_on_the_tube() {
    let shop = Shop::open();
    let joint = "--branch 48.3mm_x_2mm --header 88.9mm --angle 60 --paper 400mmx400mm";
    shop.run(&format!("saddle {joint} --report a.json --out a.pdf"))
        .succeeds();
    let run = shop.run(&format!(
        "trial {joint} --gaps 0,0.3,1.2,2.1,2.6,2.0,1.1,0.3 --report b.json --out b.pdf"
    ));
    assert!(run.succeeds().out().contains("it leans 2.1° towards its FRONT"));
    let (saddle, trial) = (shop.report("a.json"), shop.report("b.json"));
    for same in ["base_line_t_mm", "printed_girth_mm", "seam_deg"] {
        assert_eq!(saddle["ends"][0][same], trial["ends"][0][same], "{same}");
    }
    let pdf = Pdf::read(&shop.read("b.pdf"));
    assert!(pdf.says("GRINDING STRIP"));
    let (readings, right) = (pdf.says("The readings"), pdf.says("right, mm"));
    assert!(readings && !right, "by hand it is called round");
    let edge = pdf.on("cut-line").next().expect("the new edge");
    let bounds = kurbo::Shape::bounding_box(&edge.path);
    let heights = |what: &str| -> Vec<f64> {
        let list = if what == "new" {
            &trial["trial"]["new_edge"]
        } else {
            &saddle["ends"][0]["ordinates"]
        };
        let rows = list.as_array().expect("stations").iter();
        rows.map(|row| row["from_base_mm"].as_f64().expect("a number"))
            .collect()
    };
    let (new, old) = (heights("new"), heights("old"));
    let grind = trial["trial"]["grind"].as_array().expect("depths");
    for (station, (new, old)) in new.iter().zip(&old).enumerate() {
        let degree = 22.5 * station as f64;
        let depth = |degree: usize| grind[degree % 360][1].as_f64().expect("a number");
        let depth = (depth(degree.floor() as usize) + depth(degree.ceil() as usize)) / 2.0;
        assert!((old - new - depth).abs() < 0.01, "{station}: {old} {new} {depth}");
    }
    let spread = new.iter().copied().fold(f64::MIN, f64::max) - new.iter().copied().fold(f64::MAX, f64::min);
    assert!((bounds.height() - spread).abs() < 0.02, "{} {spread}", bounds.height());
    assert!((bounds.width() - trial["ends"][0]["printed_girth_mm"].as_f64().expect("a girth")).abs() < 0.02);
}

#[test]
fn readings_that_tell_nothing_are_refused_with_their_figures() {
    let shop = Shop::open();
    let cases = [
        ("0,1.2,0.4", "too few gaps were read", "there are 3"),
        ("front_0,right_1,left_2", "too few gaps were read", "there are 3"),
        ("", "too few gaps were read", "there are 0"),
        ("0.3,1.2,0.4,1.2", "touches nowhere", "0.30 mm at front"),
        (
            "0,1.2,0.4,25",
            "wider than the tube's radius",
            "25.00 mm at left, of a radius of 24.15 mm",
        ),
        (
            "front_0,right_1,90deg_2,left_1",
            "given twice",
            "1.00 mm at right and 2.00 mm at right",
        ),
        (
            "front_0,right_1,360deg_2,left_1",
            "given twice",
            "0.00 mm at front and 2.00 mm at front",
        ),
        ("0,1,right_2,1", "some readings say where", "\"0\""),
        ("0,-1,2,1", "less than nothing", "-1.00 mm at right"),
        ("0,1,x,1", "is not a length", ""),
    ];
    for (gaps, what, figures) in cases {
        let run = shop.run_words(&[
            "trial",
            "--branch",
            "48.3mm x 2mm",
            "--header",
            "60.3mm",
            "--gaps",
            &gaps.replace('_', " "),
        ]);
        assert_eq!(run.code(), 2, "{gaps}: {}", run.err());
        for words in [what, figures, "--gaps"] {
            assert!(run.err().contains(words), "{gaps}: {}", run.err());
        }
    }
    let too_many = vec!["0"; 33].join(",");
    let run = shop.run_words(&[
        "trial",
        "--branch",
        "48.3mm x 2mm",
        "--header",
        "60.3mm",
        "--gaps",
        &too_many,
    ]);
    assert!(run.err().contains("there are 33"), "{}", run.err());
    assert!(shop.files().is_empty(), "{:?}", shop.files());
}
