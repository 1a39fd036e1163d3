//! What is to be kept off on a body, and holes that can't be cut: told with the figures that circles and cylinders give.

mod support;

use support::{Pdf, Shop};

/// A drum of 572 mm that stands 900 mm high, what is on it, and tubes of 50 mm x 2 mm.
fn job(drum: &str, tubes: &str, more: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "50mm x 2mm" }} }},
  "bodies": {{ "drum": {{ "shape": "cylinder", "size": "572mm x 1.2mm", "from": [0, 0, 0], "to": [0, 0, 900], "zero": [1, 0, 0]{drum} }} }},
  "tubes": {{ {tubes} }}{more} }}"#
    )
}

/// Square on the drum.
fn square(along: f64, round: &str) -> String {
    format!(
        r#""t": {{ "stock": "a", "path": [ {{ "on": "drum", "along": {along}, "round": {round} }}, {{ "on": "drum", "along": {along}, "round": {round}, "out": 200 }} ] }}"#
    )
}

/// What a check says, problems and notes.
fn said(job: &str) -> String {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    let run = shop.run("batch job.json --check");
    format!("{}{}", run.out(), run.err())
}

/// The figure of the only clash.
#[track_caller]
fn clash(job: &str, what: &str) -> f64 {
    let said = said(job);
    let clashes: Vec<&str> = said.lines().filter(|line| line.contains("CLASH")).collect();
    assert_eq!(clashes.len(), 1, "{said}");
    let figures = clashes[0]
        .split(what)
        .nth(1)
        .unwrap_or_else(|| panic!("{what}: {said}"));
    let word = |words: &str| figures.split(words).nth(1).map(str::to_owned);
    let number = word(", overlap by ").or_else(|| word(": clear when moved "));
    let number = number.map(|words| words.trim_start_matches("about ").to_owned());
    let (words, sign) = number
        .map(|words| (words, -1.0))
        .or_else(|| word(", ").map(|words| (words, 1.0)))
        .expect("figures");
    let number: f64 = words.split(" mm").next().unwrap_or_default().parse().expect("a number");
    sign * number
}

const RING: &str = r#", "keep_off": [ { "name": "clamp ring", "along": [100, 130], "out": 20 } ]"#;
const FLUSH: &str = r#", "keep_off": [ { "name": "weld", "along": [100, 130] } ]"#;

#[test]
fn a_hole_that_comes_into_a_ring_is_a_clash_by_how_far_it_would_have_to_be_moved() {
    // The bore's radius is 23 mm, the tube's 25 mm.
    for body in [RING, FLUSH] {
        let name = if body == RING { "clamp ring" } else { "weld" };
        let hole = |along: f64| {
            clash(
                &job(body, &square(along, "0"), ""),
                &format!("the hole and wall of t against {name} of drum"),
            )
        };
        // Where the hole comes in, the wall does so 2 mm farther.
        assert_eq!(hole(140.0), -15.0);
        assert_eq!(hole(80.0), -5.0);
        let wall = |along: f64| {
            clash(
                &job(body, &square(along, "0"), ""),
                &format!("the wall of t against {name} of drum"),
            )
        };
        assert_eq!(wall(154.0), -1.0);
        assert_eq!(wall(76.0), -1.0);
        for along in [74.9, 155.1] {
            let said = said(&job(body, &square(along, "0"), ""));
            assert!(!said.contains("CLASH"), "{along}: {said}");
        }
    }
}

#[test]
fn a_hole_that_comes_into_a_seam_is_a_clash_on_either_side_of_it() {
    // Round the drum the tube reaches R asin(25 / R) to each side.
    let (radius, outside, half) = (286.0_f64, 25.0_f64, 10.0);
    let reach = radius * (outside / radius).asin();
    let seam = |at: &str| format!(r#", "keep_off": [ {{ "name": "seam", "round": {at}, "wide": 20 }} ]"#);
    for (at, middle) in [
        ("\"180deg\"", std::f64::consts::PI * radius),
        ("300", 300.0),
        ("-40", -40.0),
    ] {
        for side in [-30.0, 30.0, -5.0] {
            let round = format!("{:.6}", middle + side);
            let found = clash(
                &job(&seam(at), &square(400.0, &round), ""),
                "the hole and wall of t against seam of drum",
            );
            // A move is told to the next 0.01 mm.
            let farther = f64::abs(side) - half - reach - found;
            assert!((-1e-6..=0.0101).contains(&farther), "{at} {side}: {found}");
        }
    }
    let said = said(&job(&seam("0"), &square(400.0, "36"), ""));
    assert!(!said.contains("CLASH"), "{said}");
}

#[test]
fn moved_by_as_much_as_is_told_a_tube_that_leans_is_clear_of_its_rib() {
    let rib = r#", "keep_off": [ { "name": "rib", "along": [380, 400] } ]"#;
    let leaning = |along: f64| {
        let tube = format!(
            r#""t": {{ "stock": "a", "path": [ {{ "on": "drum", "along": {along}, "round": "70deg" }}, {{ "step": [60, 180, 40] }} ] }}"#
        );
        job(rib, &tube, "")
    };
    let by = -clash(&leaning(365.0), "the hole and wall of t against rib of drum");
    let wall = -clash(&leaning(365.0 - by + 0.5), "the wall of t against rib of drum");
    assert!((wall - 0.5).abs() < 0.011, "{by} {wall}");
    let clear = said(&leaning(365.0 - by - 0.02));
    assert!(!clear.contains("CLASH"), "{by}: {clear}");
    // The hole of a tube that is set in is its outside: there is no wall on the skin.
    let set_in = leaning(365.0).replace(r#""path""#, r#""start": { "join": "set-in" }, "path""#);
    assert!(clash(&set_in, "the hole for t against rib of drum") < 0.0);
}

/// A drum with one strip, and a tube that lands `along` it and `round` it, from where it leads `lean` farther along and round
/// as it goes out; it is to keep so far from the strip.
fn leaning(strip: &str, [along, round]: [f64; 2], lean: [f64; 2], clear: f64) -> String {
    let [to, on] = [along + lean[0], round + lean[1]];
    let tube = format!(
        r#""t": {{ "stock": "a", "path": [ {{ "on": "drum", "along": {along}, "round": {round} }}, {{ "on": "drum", "along": {to}, "round": {on}, "out": 250 }} ] }}"#
    );
    let keep = match clear {
        0.0 => String::new(),
        clear => format!(r#", "keep_clear": [ {{ "tube": "t", "body": "it", "by": {clear} }} ]"#),
    };
    job(&format!(r#", "keep_off": [ {strip} ]"#), &tube, &keep)
}

const STANDING_RING: &str = r#"{ "name": "it", "along": [380, 400], "out": 30 }"#;
const BEAD: &str = r#"{ "name": "it", "round": 300, "wide": 20, "out": 25 }"#;

/// Leans along and round: upright, and leaning every way.
const LEANS: [[f64; 2]; 5] = [[0.0, 0.0], [140.0, 0.0], [-140.0, 60.0], [40.0, 110.0], [-30.0, -120.0]];

/// What is said of a job as it stands, in its one clash; moved as that tells, and a hair less far.
struct Moved {
    line: String,
    clear: String,
    not_yet: String,
}

impl Moved {
    /// `job` makes it of where the tube lands, along and round; a hair is `near` millimetres.
    #[track_caller]
    fn new(at: [f64; 2], near: f64, job: &dyn Fn([f64; 2]) -> String) -> Self {
        let told = said(&job(at));
        let lines: Vec<&str> = told.lines().filter(|line| line.contains("CLASH")).collect();
        let [line] = lines[..] else { panic!("one clash: {told}") };
        let words = line.split("clear when moved ").nth(1).expect("how far");
        let words = words.trim_start_matches("about ");
        let by: f64 = words.split(" mm").next().unwrap_or_default().parse().expect("a number");
        let ways = [
            ("towards the bottom end", [-1.0, 0.0]),
            ("towards the top end", [1.0, 0.0]),
            ("to the left", [0.0, -1.0]),
            ("to the right", [0.0, 1.0]),
            ("skin down", [-1.0, 0.0]),
            ("skin up", [1.0, 0.0]),
        ];
        let way = ways.iter().find(|(way, _)| words.contains(way)).expect("which way").1;
        let moved = |by: f64| said(&job([at[0] + by * way[0], at[1] + by * way[1]]));
        Self {
            clear: moved(by + near),
            not_yet: moved(by - 0.02 - near),
            line: line.to_owned(),
        }
    }
}

#[test]
fn moved_as_told_a_tube_that_leans_is_clear_of_what_stands_out_too() {
    let mut farther = 0;
    for strip in [STANDING_RING, BEAD] {
        for lean in LEANS {
            for aside in [-22.0, 6.0, 19.0] {
                let at = if strip == BEAD {
                    [500.0, 300.0 + aside]
                } else {
                    [390.0 + aside, 420.0]
                };
                let Moved { line, clear, not_yet } = Moved::new(at, 0.03, &|at| leaning(strip, at, lean, 0.0));
                assert!(!clear.contains("CLASH"), "{strip} {lean:?} {aside}: {line}\n{clear}");
                assert!(not_yet.contains("CLASH"), "{strip} {lean:?} {aside}: {line}\n{not_yet}");
                // Where the wall alone is clear of the strip, what stands out is still in its way.
                farther += usize::from(not_yet.contains("t against it of drum"));
            }
        }
    }
    assert!(farther >= 8, "{farther}");
}

#[test]
fn moved_as_told_a_tube_keeps_the_distance_that_was_asked_for() {
    for strip in [STANDING_RING, BEAD] {
        for (lean, asked) in LEANS.into_iter().zip([15.0, 40.0, 6.0, 60.0, 12.0]) {
            // On the strip, and beside it with too little between.
            for aside in [-7.0, 16.0, 38.0, -37.0] {
                let at = if strip == BEAD {
                    [500.0, 300.0 + aside]
                } else {
                    [390.0 + aside, 420.0]
                };
                if !said(&leaning(strip, at, lean, asked)).contains("CLASH") {
                    continue;
                }
                let Moved { line, clear, not_yet } = Moved::new(at, 0.03, &|at| leaning(strip, at, lean, asked));
                let what = format!("{strip} {lean:?} {aside} {asked}: {line}");
                assert!(line.contains(&format!("{asked:.2} mm asked for")), "{what}");
                assert!(!clear.contains("CLASH") && clear.contains("t stays"), "{what}\n{clear}");
                assert!(
                    not_yet.contains("CLASH") && !not_yet.contains("stays"),
                    "{what}\n{not_yet}"
                );
            }
        }
    }
}

#[test]
fn a_move_over_a_plate_is_exact_and_one_round_an_oval_or_up_a_cone_is_about_as_far() {
    let tube = |at: f64, round: f64| {
        format!(
            r#""t": {{ "stock": "a", "path": [ {{ "on": "drum", "along": {at}, "round": {round} }}, {{ "on": "drum", "along": {at}, "round": {round}, "out": 200 }} ] }}"#
        )
    };
    let keep = r#", "keep_clear": [ { "tube": "t", "body": "it", "by": 9 } ]"#;
    let on = |body: &str, strip: &str, at: [f64; 2]| {
        format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "50mm x 2mm" }} }},
  "bodies": {{ "drum": {{ {body}, "keep_off": [ {strip} ] }} }}, "tubes": {{ {} }}{keep} }}"#,
            tube(at[0], at[1])
        )
    };
    let plate = r#""shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0], "size": 3, "wide": 900, "high": 900"#;
    let oval = r#""shape": "cylinder", "size": "570mm x 1.2mm", "section": { "oval": [600, 540] }, "from": [0, 0, 0], "to": [0, 0, 900], "zero": [1, 0, 0]"#;
    let cone = r#""shape": "cone", "size": "600mm x 2mm", "size_to": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 700], "zero": [1, 0, 0]"#;
    for (body, strip, at, about) in [
        (plate, STANDING_RING, [350.0, 0.0], false),
        (plate, BEAD, [0.0, 340.0], false),
        (oval, STANDING_RING, [350.0, 50.0], false),
        (oval, BEAD, [500.0, 340.0], true),
        (cone, STANDING_RING, [350.0, 50.0], true),
    ] {
        let near = if about { 1.5 } else { 0.03 };
        let Moved { line, clear, not_yet } = Moved::new(at, near, &|at| on(body, strip, at));
        assert_eq!(line.contains("clear when moved about"), about, "{line}");
        assert!(!clear.contains("CLASH"), "{line}\n{clear}");
        assert!(not_yet.contains("CLASH"), "{line}\n{not_yet}");
    }
}

#[test]
fn no_move_is_told_that_leads_off_the_body_or_under_its_floor() {
    // The hole of 23 mm radius at 60 mm, the ring from 70 mm on: down is nearer, but 12 mm are left under the hole.
    let ring =
        |along: &str| format!(r#", "floor": 25, "keep_off": [ {{ "name": "clamp ring", "along": [{along}] }} ]"#);
    let said = |ring: &str, along: f64| said(&job(ring, &square(along, "0"), ""));
    let up = said(&ring("70, 80"), 60.0);
    assert!(
        up.contains("clear when moved 45.00 mm over the skin towards the top end"),
        "{up}"
    );
    let down = said(&ring("90, 150"), 75.0);
    assert!(
        down.contains("clear when moved 10.00 mm over the skin towards the bottom end"),
        "{down}"
    );
}

#[test]
fn a_move_is_told_in_inches_that_are_enough() {
    let mm = leaning(STANDING_RING, [395.0, 420.0], [0.0, 0.0], 3.0);
    let inches = mm.replace(r#""units": "mm""#, r#""units": "in""#);
    let inches = inches
        .replace("380, 400", r#""380 mm", "400 mm""#)
        .replace(r#""out": 30"#, r#""out": "30 mm""#)
        .replace("900]", r#""900 mm"]"#)
        .replace(
            r#""along": 395, "round": 420"#,
            r#""along": "395 mm", "round": "420 mm""#,
        )
        .replace(r#""out": 250"#, r#""out": "250 mm""#)
        .replace(r#""by": 3"#, r#""by": "3 mm""#);
    // 400 + 3 + 25 - 395 is 33 mm, 1.2992 in: 1-10/32 in is the next.
    let told = said(&inches);
    assert!(
        told.contains("clear when moved 1-5/16 in (1.313) over the skin towards the top end"),
        "{told}"
    );
}

#[test]
fn copies_that_are_too_near_are_told_with_their_move() {
    let tube = square(380.0, "0").replace(
        r#""stock""#,
        r#""repeat": { "times": 6, "turn": 60, "about": "drum" }, "stock""#,
    );
    let keep = r#", "keep_clear": [ { "tube": "t", "body": "clamp ring", "by": 8 } ]"#;
    let ring = r#", "keep_off": [ { "name": "clamp ring", "along": [341, 350], "out": 20 } ]"#;
    let told = said(&job(ring, &tube, keep));
    assert!(
        told.contains("CLASH: t 1 to 6 against clamp ring of drum, the nearest 5.00 mm apart, 8.00 mm asked for"),
        "{told}"
    );
    assert!(
        told.contains("clear when all of t are moved 3.00 mm over the skin towards the top end, each as a whole\n"),
        "{told}"
    );
}

#[test]
fn a_move_says_what_becomes_of_the_other_end() {
    let ring = r#", "keep_off": [ { "name": "clamp ring", "along": [390, 400] } ]"#;
    let alone = said(&job(ring, &square(380.0, "0"), ""));
    assert!(
        alone.contains(": clear when moved 15.00 mm over the skin towards the bottom end, the whole tube with it\n"),
        "{alone}"
    );
    let between = r#""t": { "stock": "a", "path": [ { "on": "drum", "along": 380 }, { "on": "post", "along": 500, "round": "180deg" } ] }"#;
    let post = r#" }, "post": { "shape": "cylinder", "size": "300mm x 5mm", "from": [900, 0, 0], "to": [900, 0, 900], "zero": [1, 0, 0]"#;
    let between = said(&job(&format!("{ring}{post}"), between, ""));
    assert!(
        between.contains(" over the skin towards the bottom end; its other end stays where it is, so check again\n"),
        "{between}"
    );
}

/// Upright beside the drum, `apart` millimetres from its ring.
fn standpipe(apart: f64) -> String {
    let x = 286.0 + 20.0 + 25.0 + apart;
    format!(
        r#""standpipe": {{ "stock": "a", "path": [ {{ "at": [{x}, 0, 0] }}, {{ "at": [{x}, 0, 500] }} ],
      "start": {{ "join": "square" }}, "end": {{ "join": "square" }} }}"#
    )
}

#[test]
fn a_tube_that_passes_is_held_against_what_stands_out() {
    let against = "standpipe against clamp ring of drum";
    assert_eq!(clash(&job(RING, &standpipe(-5.0), ""), against), -5.0);
    assert!(!said(&job(RING, &standpipe(0.1), "")).contains("CLASH"));
    assert!(!said(&job(FLUSH, &standpipe(-5.0), "")).contains("CLASH"));
    // By the name of the ring alone, or with the body's.
    for name in ["clamp ring", "clamp ring of drum"] {
        let keep = format!(r#", "keep_clear": [ {{ "tube": "standpipe", "body": "{name}", "by": 15 }} ]"#);
        assert_eq!(clash(&job(RING, &standpipe(10.0), &keep), against), 10.0);
        assert!(!said(&job(RING, &standpipe(15.1), &keep)).contains("CLASH"));
    }
    // A bead along the drum, under the standpipe.
    let bead = r#", "keep_off": [ { "name": "bead", "round": 0, "wide": 12, "out": 20 } ]"#;
    assert_eq!(
        clash(&job(bead, &standpipe(-5.0), ""), "standpipe against bead of drum"),
        -5.0
    );
}

#[test]
fn holes_that_cannot_be_cut_are_refused_with_their_figures() {
    let floor = r#", "floor": 100"#;
    let cases: [(String, &[&str]); 4] = [
        (
            job("", &square(960.0, "0"), ""),
            &["wholly off \"drum\"", "37.00 mm past the top end", "900.00 mm long", "change \"along\""],
        ),
        (
            job("", &square(-30.0, "0"), ""),
            &["wholly off \"drum\"", "7.00 mm past the bottom end"],
        ),
        (
            job(floor, &square(60.0, "0"), ""),
            &["wholly under the floor of \"drum\"", "63.00 mm under it", "above_floor"],
        ),
        (
            r#"{ "units": "mm", "stock": { "a": { "size": "50mm x 2mm" } },
  "bodies": { "plate": { "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "wide": 200, "high": 300 } },
  "tubes": { "t": { "stock": "a", "path": [ { "on": "plate", "along": 10, "round": 130 }, { "step": [0, 0, 200] } ] } } }"#
                .to_owned(),
            &["wholly off \"plate\"", "7.00 mm past the edge", "200.00 mm wide and 300.00 mm high"],
        ),
    ];
    for (job, says) in &cases {
        let said = said(job);
        for words in *says {
            assert!(said.contains(words), "{words}: {said}");
        }
    }
    assert_eq!(
        clash(
            &job(floor, &square(110.0, "0"), ""),
            "the hole for t against the floor of drum"
        ),
        -13.0
    );
}

/// Two drums of 880 mm, the upper nested 30 mm deep and parted 400 mm from its top, with a tube on one of them.
fn stacked(on: &str, along: f64) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "50mm x 2mm" }} }},
  "stacks": {{ "s": {{ "height": 1260, "parts": [ {{ "name": "lower", "height": 880 }},
      {{ "name": "upper", "height": 880, "part_at": [480], "must_part": true, "stays": "top", "nests": 30 }} ] }} }},
  "bodies": {{ "low": {{ "shape": "cylinder", "size": "572mm x 1.2mm", "stack": "s", "part": "lower" }},
              "high": {{ "shape": "cylinder", "size": "570mm x 1.2mm", "stack": "s", "part": "upper" }} }},
  "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "{on}", "along": {along} }}, {{ "on": "{on}", "along": {along}, "out": 200 }} ] }} }} }}"#
    )
}

#[test]
fn a_hole_under_a_lap_or_across_a_parting_is_refused() {
    // The lower drum's lap is from 850 to 880 mm over its bottom; the upper's from 370 to 400 mm under its top.
    let lap = "under the lap where upper nests in lower";
    for (on, along, words) in [
        (
            "low",
            830.0,
            ["from 807.00 mm to 853.00 mm along \"low\"", "along by 3.00 mm"],
        ),
        (
            "high",
            360.0,
            ["the lap from 370.00 mm to 400.00 mm", "along by 13.00 mm"],
        ),
    ] {
        let said = said(&stacked(on, along));
        for words in [lap].into_iter().chain(words) {
            assert!(said.contains(words), "{on} {along}: {words}: {said}");
        }
    }
    let across = said(&stacked("high", 390.0));
    for words in [
        "across the parting of \"high\"",
        "413.00 mm from the top end",
        "parted at 400.00 mm",
        "13.00 mm nearer",
    ] {
        assert!(across.contains(words), "{words}: {across}");
    }
    for (on, along) in [("low", 826.0), ("high", 344.0)] {
        assert!(!said(&stacked(on, along)).contains("under the lap"), "{on} {along}");
    }
}

#[test]
fn which_end_of_a_part_is_kept_is_told_where_it_matters() {
    // Parted 400 mm from its top; and where that is left out, so that the higher that fits is taken, from its bottom.
    for (stays, at, kept) in [
        (r#""stays": "top", "#, 480, "top"),
        ("", 480, "top"),
        ("", 400, "bottom"),
    ] {
        let job = stacked("high", 100.0).replace(r#""stays": "top", "#, stays);
        let job = job.replace("[480]", &format!("[{at}]"));
        let job = job.replace(r#""along": 100, "out": 200 }"#, r#""along": 100, "out": -200 }"#);
        let told = said(&job);
        let words = format!("\"high\" keeps its {kept} end, and is measured with that end down");
        assert!(
            told.contains(&words) && told.contains("say with \"stays\" which end"),
            "{words}: {told}"
        );
    }
    // What goes with the waste is told by the parting, and what else can be kept.
    let told = said(&stacked("high", 450.0));
    for words in [
        "wholly in what is parted from \"high\"",
        "27.00 mm past the parting, and 400.00 mm are kept from the top end",
        "\"stays\": \"bottom\"",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
}

#[test]
fn strips_that_cannot_be_are_refused_and_say_what_can() {
    let keep = |words: &str| job(&format!(r#", "keep_off": [ {words} ]"#), &square(400.0, "0"), "");
    let cases = [
        (r#"{ "along": [100, 130] }"#, "\"name\" is missing"),
        (r#"{ "name": "rib" }"#, "given in one of two ways"),
        (
            r#"{ "name": "rib", "along": [100, 130], "wide": 3 }"#,
            "given in one of two ways",
        ),
        (r#"{ "name": "rib", "along": [130, 100] }"#, "begins before it ends"),
        (
            r#"{ "name": "rib", "along": [880, 910] }"#,
            "the body reaches from 0.00 mm to 900.00 mm",
        ),
        (
            r#"{ "name": "rib", "along": [100, 130], "out": -3 }"#,
            "stand out of the skin by that much",
        ),
        (r#"{ "name": "rib", "round": 0, "wide": 0 }"#, "wider than nothing"),
        (r#"{ "name": "rib", "round": 0, "wide": 900 }"#, "wider than nothing"),
    ];
    for (words, says) in cases {
        let said = said(&keep(words));
        assert!(
            said.contains(says) && said.contains("bodies.drum.keep_off[0]"),
            "{words}: {said}"
        );
    }
    let land =
        r#""t": { "stock": "a", "path": [ { "on": "clamp ring of drum", "along": 5 }, { "step": [200, 0, 0] } ] }"#;
    assert!(said(&job(RING, land, "")).contains("is to be kept off"));
}

/// All words of a table, its cells' lines put together.
fn table(job: &str, title: &str) -> String {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --out p.pdf").succeeds();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let begins = pdf.words.iter().position(|words| words.text == title);
    let begins = begins.unwrap_or_else(|| panic!("no table {title}"));
    let words = pdf.words[begins..].iter().map(|words| words.text.as_str());
    let ends = |words: &&str| !words.starts_with("MEASURE") && !words.starts_with("MARK-OUT");
    words.take_while(ends).collect::<Vec<_>>().join(" ")
}

#[test]
fn the_mark_out_tells_where_a_ring_is_how_far_it_stands_out_and_what_is_left_to_it() {
    // The bore's radius is 23 mm, the tube's 25 mm: from 130 mm to the hole's low edge at 137, to the wall's at 135.
    let told = table(&job(RING, &square(160.0, "0"), ""), "Keep off on drum");
    for words in [
        "clamp ring",
        "along 100.00 mm to 130.00 mm",
        "20.00 mm",
        "H1: 7.00 mm",
        "H1: 5.00 mm",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    // What is kept off has no ends of its own in the picture.
    let shop = Shop::open();
    let lies = job(RING, &square(160.0, "0"), "").replace(r#""to": [0, 0, 900]"#, r#""to": [0, 900, 0]"#);
    shop.write(
        "job.json",
        lies.replace("\"zero\": [1, 0, 0]", "\"zero\": [0, 0, 1]").as_bytes(),
    );
    shop.run("batch job.json --out p.pdf").succeeds();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let ends = pdf
        .words
        .iter()
        .filter(|words| words.page == 0 && words.text == "far end");
    assert_eq!(ends.count(), 1);
    // From below to the ring's lower edge; of two holes the nearer, by its number.
    let two = format!(
        "{}, {}",
        square(400.0, "0"),
        square(60.0, "300").replace("\"t\"", "\"u\"")
    );
    let told = table(&job(RING, &two, ""), "Keep off on drum");
    assert!(told.contains("H2: 17.00 mm") && told.contains("H2: 15.00 mm"), "{told}");
    // What comes into it overlaps; a flush one doesn't stand out; no wall sits on the skin round a tube that is set in.
    let told = table(&job(FLUSH, &square(140.0, "0"), ""), "Keep off on drum");
    assert!(
        told.contains("H1: overlaps by 13.00 mm") && told.contains("flush"),
        "{told}"
    );
    let set_in = square(160.0, "0").replace(
        "] }",
        r#"], "start": { "join": "set-in" }, "end": { "join": "square" } }"#,
    );
    let told = table(&job(RING, &set_in, ""), "Keep off on drum");
    assert!(told.contains("H1: 5.00 mm") && !told.contains("H1: 7.00 mm"), "{told}");
    // A seam is told by its middle.
    let seam = r#", "keep_off": [ { "name": "seam", "round": -40, "wide": 20 } ]"#;
    let told = table(&job(seam, &square(400.0, "0"), ""), "Keep off on drum");
    let middle = "left 40.00 mm (8°), 20.00 mm wide";
    assert!(told.contains(middle), "{told}");
    let reach = 286.0 * (23.0_f64 / 286.0).asin();
    assert!(told.contains(&format!("H1: {:.2} mm", 30.0 - reach)), "{told}");
}

#[test]
fn a_distance_that_is_kept_is_told_with_what_there_is() {
    let keep = |name: &str| format!(r#", "keep_clear": [ {{ "tube": "standpipe", "body": "{name}", "by": 5 }} ]"#);
    let told = said(&job(RING, &standpipe(10.0), &keep("clamp ring")));
    assert!(
        told.contains("note: standpipe stays 10.00 mm clear of clamp ring of drum, 5.00 mm asked for"),
        "{told}"
    );
    // To the drum itself it is 20 mm more; where it isn't kept the clash tells it, once.
    let told = said(&job(RING, &standpipe(10.0), &keep("drum")));
    assert!(
        told.contains("stays 30.00 mm clear of drum, 5.00 mm asked for"),
        "{told}"
    );
    let told = said(&job(RING, &standpipe(4.0), &keep("clamp ring")));
    assert!(told.contains("CLASH") && !told.contains("stays"), "{told}");
    // Of copies the nearest.
    let copies = standpipe(10.0).replace(
        r#""start""#,
        r#""repeat": { "times": 3, "step": [-1, 60, 0] }, "start""#,
    );
    let told = said(&job("", &copies, &keep("drum")));
    assert!(told.contains("clear of drum, standpipe 1 the nearest"), "{told}");
}
