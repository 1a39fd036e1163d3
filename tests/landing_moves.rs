//! The move that is told of a landing that is in the way: made, it leaves all that the landing comes over, and comes over
//! nothing else. Jobs are random, from a fixed seed.

mod support;

use support::Shop;

/// The next of a row of random numbers from 0 to 1 (a 64-bit linear congruential generator; its factor is that of Knuth's
/// MMIX).
fn random(state: &mut u64) -> f64 {
    *state = state
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    (*state >> 11) as f64 / (1_u64 << 53) as f64
}

/// Places of tubes: along and round, in millimetres.
type Place = [f64; 2];

/// A tube square to the drum, or leaning along it.
fn tube(name: &str, [along, round]: Place, lean: f64, more: &str) -> String {
    format!(
        r#""{name}": {{ {more} "stock": "a", "path": [ {{ "on": "drum", "along": {along}, "round": {round} }},
             {{ "on": "drum", "along": {}, "round": {round}, "out": 150 }} ] }}"#,
        along + lean
    )
}

/// A drum of 572 mm, 900 mm high, with these tubes of 50 mm x 2 mm.
fn job(on_drum: &str, tubes: &[String]) -> String {
    format!(
        r#"{{ "title": "Tap", "units": "mm", "stock": {{ "a": {{ "size": "50mm x 2mm" }} }},
  "bodies": {{ "drum": {{ "shape": "cylinder", "size": "572mm x 1.2mm", "from": [0, 0, 0], "to": [0, 0, 900], "zero": [1, 0, 0]{on_drum} }} }},
  "tubes": {{ {} }} }}"#,
        tubes.join(",\n")
    )
}

/// What is said to be in the way.
fn clashes(job: &str) -> Vec<String> {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    let run = shop.run("batch job.json --check");
    let said = run.out() + &run.err();
    assert!(!said.contains("error"), "{said}\n{job}");
    let lines = said.lines().filter(|line| line.contains("CLASH"));
    lines.map(str::to_owned).collect()
}

/// The move that a clash tells: along and round, in millimetres.
fn moved(line: &str) -> Option<Place> {
    let words = line.split_once(": clear").map(|(_, words)| words)?;
    let words = words
        .split_once("moved ")
        .expect("how far")
        .1
        .trim_start_matches("about ");
    let by: f64 = words.split(" mm").next().expect("a figure").parse().expect("a number");
    let way = words.split("over the skin ").nth(1).expect("which way");
    let way = way.split([',', ';']).next().expect("which way");
    Some(match way {
        "towards the bottom end" => [-by, 0.0],
        "towards the top end" => [by, 0.0],
        "to the left" => [0.0, -by],
        "to the right" => [0.0, by],
        other => panic!("{other}"),
    })
}

#[test]
fn one_move_leaves_a_rib_a_seam_holes_as_found_other_tubes_and_the_floor() {
    let mut state = 7;
    let mut both = 0;
    for _ in 0..40 {
        let mut at = |from: f64, to: f64| from + (to - from) * random(&mut state);
        let (rib, seam, floor) = (at(200.0, 700.0), at(-200.0, 200.0), at(20.0, 60.0));
        let bungs: Vec<String> = (0..4)
            .map(|number| {
                // The first is near the rib, the second near the seam.
                let (along, round) = match number {
                    0 => (rib + at(-70.0, 70.0), 120.0),
                    1 => (150.0, seam + at(-70.0, 70.0)),
                    _ => (at(100.0, 800.0), at(-250.0, 250.0)),
                };
                let across = at(20.0, 80.0);
                format!(r#"{{ "name": "bung {number}", "along": {along}, "round": {round}, "across": {across} }}"#)
            })
            .collect();
        let on_drum = format!(
            r#", "floor": {floor}, "keep_off": [ {{ "name": "rib", "along": [{rib}, {}], "out": 10 }}, {{ "name": "seam", "round": {seam}, "wide": 12 }} ],
     "holes": [ {} ]"#,
            rib + 12.0,
            bungs.join(", ")
        );
        let other = [at(60.0, 840.0), at(-250.0, 250.0)];
        let place = match at(0.0, 4.0) as u32 {
            0 => [rib + at(-20.0, 30.0), 120.0 + at(-60.0, 60.0)],
            1 => [150.0 + at(-60.0, 60.0), seam + at(-20.0, 20.0)],
            2 => [rib + at(-20.0, 30.0), at(-250.0, 250.0)],
            _ => [at(20.0, 880.0), seam + at(-20.0, 20.0)],
        };
        let lean = [0.0, at(-60.0, 60.0)][at(0.0, 2.0) as usize];
        let with = |place: Place| {
            let tubes = [tube("other", other, 0.0, ""), tube("t", place, lean, "")];
            clashes(&job(&on_drum, &tubes))
        };
        let told = with(place);
        // What of the other one is in the way of something is not looked at, nor what isn't told of a landing.
        let own: Vec<&String> = told
            .iter()
            .filter(|line| line.contains("of t against ") || line.contains("for t against "))
            .collect();
        let ways: Vec<Place> = own.iter().filter_map(|line| moved(line)).collect();
        let Some(way) = ways.first() else { continue };
        assert!(ways.iter().all(|other| other == way), "{own:?}");
        both += usize::from(own.iter().any(|line| line.contains("clear of ")));
        let of_t = |place: Place| {
            let told = with(place);
            told.iter()
                .filter(|line| line.contains(" t ") || line.contains(" t, "))
                .cloned()
                .collect::<Vec<String>>()
        };
        let there = of_t([place[0] + way[0], place[1] + way[1]]);
        assert!(there.is_empty(), "{own:?}\n{there:?}");
        // No less, whichever way.
        let slack = if own[0].contains("moved about ") { 0.5 } else { 0.05 };
        let by = way[0].abs().max(way[1].abs()) - slack;
        for [up, right] in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
            let there = |by: f64| of_t([place[0] + up * by, place[1] + right * by]);
            assert!(
                by <= 0.0 || !there(by).is_empty() && !there(by / 2.0).is_empty(),
                "{own:?} {up} {right}"
            );
        }
    }
    assert!(both >= 5, "{both}");
}

#[test]
fn of_two_holes_that_overlap_one_is_told_to_be_moved() {
    let at = |one: Place, two: Place, more: &str| {
        clashes(&job(more, &[tube("one", one, 0.0, ""), tube("two", two, 0.0, "")]))
    };
    let told = |all: &[String]| {
        let holes = all
            .iter()
            .find(|line| line.contains("the holes for one and two"))
            .expect("a clash")
            .clone();
        (moved(&holes).expect("a move"), holes)
    };
    let (one, two) = ([400.0, 0.0], [430.0, 12.0]);
    let (way, words) = told(&at(one, two, ""));
    assert!(words.contains(": clear when one is moved "), "{words}");
    assert!(at([one[0] + way[0], one[1] + way[1]], two, "").is_empty(), "{words}");
    // The one that is to be moved anyway.
    let rib = r#", "keep_off": [ { "name": "rib", "along": [450, 460], "out": 10 } ]"#;
    let all = at(one, two, rib);
    let (way, words) = told(&all);
    assert!(
        words.contains(": clear of this and one more when two is moved "),
        "{words}"
    );
    assert!(at(one, [two[0] + way[0], two[1] + way[1]], rib).is_empty(), "{all:?}");
    // Copies of one tube stay as far apart as they are.
    let copies = tube("one", one, 0.0, r#""repeat": { "times": 2, "step": [0, 0, 30] },"#);
    let all = clashes(&job("", &[copies]));
    assert!(
        all.iter()
            .any(|line| line.contains("the holes for one 1 and one 2") && !line.contains("moved")),
        "{all:?}"
    );
}

#[test]
fn copies_are_moved_alike_so_that_each_is_clear() {
    // The first of them comes over the bung from below, the last over the rib from above: down past the one, or up past both.
    let on_drum = r#", "keep_off": [ { "name": "rib", "along": [500, 520], "out": 10 } ],
     "holes": [ { "name": "bung", "along": 330, "round": 0, "across": 60 } ]"#;
    let bank = |along: f64, round: f64| {
        let copies = tube(
            "t",
            [along, round],
            0.0,
            r#""repeat": { "times": 3, "step": [0, 0, 120] },"#,
        );
        clashes(&job(on_drum, &[copies]))
    };
    let told = bank(300.0, 0.0);
    assert_eq!(told.len(), 2, "{told:?}");
    let ways: Vec<Place> = told.iter().filter_map(|line| moved(line)).collect();
    assert!(ways.len() == 2 && ways[0] == ways[1], "{told:?}");
    assert!(
        told.iter()
            .all(|line| line.contains(": clear of this and one more when all of t are moved ")),
        "{told:?}"
    );
    assert!(bank(300.0 + ways[0][0], ways[0][1]).is_empty(), "{told:?}");
}
