//! Vessels as they are, from job files: out of round, stacked and parted; what can't be is refused with its figures.

mod support;

use std::f64::consts::PI;

use serde_json::Value;
use support::{Pdf, Shop};

/// A drum out of round, or a stack, with one tube on it; `body` and `stack` are what is tried.
fn vessel(body: &str, stack: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }}, "stacks": {{ "s": {{ {stack} }} }},
  "bodies": {{ "drum": {{ "shape": "cylinder", "size": "girth 1802mm x 1.2mm", {body} }} }},
  "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "drum", "along": 150 }}, {{ "step": [0, 0, 300] }} ] }} }} }}"#
    )
}

const LYING: &str = r#""from": [0, 0, 0], "to": [0, 600, 0]"#;
const ONE_PART: &str = r#""height": 900, "parts": [ { "name": "p", "height": 880 } ]"#;

/// What can't be, and what must be said of it: of a section, then of a stack.
#[rustfmt::skip]
const WRONG_SECTIONS: [(&str, &[&str]); 17] = [
    (r#""oval": [592, 555], "diameters": [ { "at": 0, "across": 592 } ]"#, &["bodies.drum.section", "measured in one way", "\"oval\""]),
    ("", &["bodies.drum.section", "measured in one way"]),
    (r#""oval": [592]"#, &["bodies.drum.section.oval", "a list of 2"]),
    (r#""oval": [580, 530]"#, &["bodies.drum.section", "contradict", "1802.00 mm round as given, 1744.", "3.3 % more"]),
    (r#""oval": [630, 592]"#, &["contradict", "1802.00 mm", "1919.98 mm", "6.1 % less"]),
    (r#""oval": [592, "55 cubits"]"#, &["bodies.drum.section.oval[1]", "cubits"]),
    (r#""oval": [592, -555]"#, &["bodies.drum.section.oval[1]", "-555.00 mm across", "1802.00 mm round"]),
    (r#""oval": [592, 5550]"#, &["bodies.drum.section.oval[1]", "5550.00 mm across", "573.59 mm across"]),
    (r#""oval": [860, 200]"#, &["bodies.drum.section.oval[0]", "too flat", "860.00 mm by 200.00 mm"]),
    (r#""oval": [592, 555], "at": "400deg""#, &["bodies.drum.section.at", "more than once round", "360 degrees"]),
    (r#""oval": [592, 555], "at": 1900"#, &["bodies.drum.section.at", "more than once round", "1802.00 mm"]),
    (r#""diameters": [ { "at": 0, "across": 574 } ]"#, &["bodies.drum.section", "2 to 48 diameters", "1 given"]),
    (r#""diameters": [ { "at": "10deg", "across": 574 }, { "at": "190.5deg", "across": 573 } ]"#,
        &["diameters[1].at", "as good as one", "0.5 degrees apart, a diameter's other end counted"]),
    (r#""diameters": [ { "at": "0deg", "across": 574 }, { "at": "12deg", "across": 560 }, { "at": "24deg", "across": 574 }, { "at": "90deg", "across": 574 } ]"#,
        &["bodies.drum.section", "hollow", "mm deep under a straight edge"]),
    (r#""offsets": [ { "at": 0, "out": 4 }, { "at": 600, "out": 4 } ]"#, &["3 to 48 offsets", "2 given"]),
    (r#""offsets": [ { "at": 0, "out": 4 }, { "at": 600, "out": -90 }, { "at": 1200, "out": 0 } ]"#,
        &["offsets[1].out", "-90.00 mm, on a radius of 286.80 mm", "up to 71.69 mm"]),
    (r#""offsets": [ { "at": 0, "out": 4 }, { "at": 600, "across": 4 }, { "at": 1200, "out": 0 } ]"#,
        &["offsets[1].across", "not known here", "\"out\" is missing"]),
];

#[rustfmt::skip]
const WRONG_STACKS: [(&str, &[&str]); 15] = [
    (r#""height": 900"#, &["stacks.s", "1 to 12 parts", "0 given"]),
    (r#""parts": [ { "name": "p", "height": 880 } ]"#, &["stacks.s", "\"height\" is missing"]),
    (r#""height": 870, "parts": [ { "name": "p", "height": 880 } ]"#, &["stacks.s.height", "too high, however", "at least 880.00 mm high, and there are 870.00 mm"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "part_at": [290, 900] } ]"#,
        &["stacks.s.parts[0].part_at[1]", "above the part's top", "at 900.00 mm, the part is 880.00 mm high"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "part_at": [-5] } ]"#, &["part_at[0]", "below the part's bottom", "at -5.00 mm"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "nests": 20 } ]"#, &["parts[0].nests", "nothing to nest in"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 400 }, { "name": "q", "height": 300, "nests": 310 } ]"#,
        &["parts[1].nests", "deeper than it is high", "310.00 mm deep, 300.00 mm high"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 400 }, { "name": "q", "height": 300, "nests": -3 } ]"#, &["parts[1].nests", "-3.00 mm"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 400 }, { "name": "p", "height": 300 } ]"#, &["parts[1].name", "two parts of the name \"p\""]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 200 }, { "name": "q", "height": 300, "nests": 250 } ]"#, &["no longer than it nests", "250.00 mm"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "must_part": true } ]"#, &["parts[0].must_part", "no place where it may be"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "must_part": "yes" } ]"#, &["parts[0].must_part", "true or false"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "stays": "left" } ]"#, &["parts[0].stays", "bottom, top"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880 } ], "take": 2"#, &["stacks.s.take", "from 1 to 1"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 850 } ], "on_top": [ { "what": "lid", "height": 60 } ]"#, &["too high", "910.00 mm high, and there are 900.00 mm"]),
];

/// Where bodies are on a stack, and what can't be of that.
#[rustfmt::skip]
const WRONG_PLACES: [(&str, &[&str]); 9] = [
    (r#""stack": "z", "part": "p""#, &["bodies.drum.stack", "no stack of the name \"z\""]),
    (r#""stack": "s", "part": "q""#, &["bodies.drum.part", "no part of the name \"q\""]),
    (r#""stack": "s""#, &["bodies.drum", "\"part\" is missing"]),
    (r#""part": "p""#, &["bodies.drum", "\"stack\" is missing"]),
    (r#""stack": "s", "part": "p", "from": [0, 0, 0]"#, &["bodies.drum", "\"from\" is known from the stack"]),
    (r#""from": { "stack": "s", "place": "middle" }, "to": [0, 0, 900]"#, &["bodies.drum.from.place", "bottom, top, parting"]),
    (r#""from": { "stack": "s", "place": "parting" }, "to": [0, 0, 900]"#, &["bodies.drum.from.place", "several partings"]),
    (r#""from": { "stack": "s" }, "to": [0, 0, 900]"#, &["bodies.drum.from", "\"place\" is missing"]),
    (r#""from": { "stack": "s", "place": "top", "aside": [1, 2, 3] }, "to": [0, 0, 900]"#, &["bodies.drum.from.aside", "a list of 2"]),
];

#[test]
fn vessels_that_cannot_be_are_refused_with_their_figures() {
    let sections = WRONG_SECTIONS.map(|(section, says)| {
        (
            vessel(&format!(r#"{LYING}, "section": {{ {section} }}"#), ONE_PART),
            says,
        )
    });
    let stacks = WRONG_STACKS.map(|(stack, says)| (vessel(LYING, stack), says));
    let places = WRONG_PLACES.map(|(body, says)| (vessel(body, ONE_PART), says));
    let thick = vessel(&format!(r#"{LYING}, "section": {{ "oval": [760, 330] }}"#), ONE_PART);
    let others = [
        (
            thick.replace("1802mm x 1.2mm", "1783mm x 80mm"),
            [
                "thicker than the section's tightest bend",
                "wall 80.00 mm; a radius of 71.6",
            ]
            .as_slice(),
        ),
        (
            vessel(&format!(r#"{LYING}, "section": {{ "oval": [592, 555] }}"#), ONE_PART)
                .replace("\"cylinder\"", "\"plane\""),
            &["\"section\" belongs to", "cylinder"],
        ),
    ];
    for (text, says) in sections.into_iter().chain(stacks).chain(places).chain(others) {
        let shop = Shop::open();
        shop.write("job.json", text.as_bytes());
        let run = shop.run("batch job.json --out pack.pdf --report r.json");
        let said = run.err();
        assert_eq!(run.code(), 2, "{text}\n{said}\n{}", run.out());
        for words in says {
            assert!(said.contains(words), "\"{words}\" in:\n{text}\n{said}");
        }
        assert!(said.contains("job.json:") && !said.contains("panicked"), "{said}");
        assert_eq!(shop.files(), ["job.json"]);
    }
}

#[test]
fn a_true_circle_measured_as_an_oval_or_by_its_offsets_is_a_true_circle() {
    let shop = Shop::open();
    let across = 1802.0 / PI;
    let sections = [
        String::new(),
        format!(r#", "section": {{ "oval": [{across}, {across}] }}"#),
        format!(r#", "section": {{ "diameters": [ {{ "at": 0, "across": {across} }}, {{ "at": 300, "across": {across} }} ] }}"#),
        r#", "section": { "offsets": [ { "at": 0, "out": 3 }, { "at": 700, "out": 3 }, { "at": "200deg", "out": 3 } ] }"#.to_owned(),
    ];
    let reports = sections.map(|section| {
        shop.write("job.json", vessel(&format!("{LYING}{section}"), ONE_PART).as_bytes());
        shop.run("batch job.json --out d.pdf --report r.json").succeeds();
        shop.report("r.json")
    });
    let numbers = |report: &Value, place: &str| -> Vec<f64> {
        let pairs = report.pointer(place).and_then(Value::as_array).expect("pairs");
        pairs
            .iter()
            .flat_map(|pair| [pair[0].as_f64().expect("n"), pair[1].as_f64().expect("n")])
            .collect()
    };
    for report in &reports[1..] {
        for place in ["/ends/0/curve", "/holes/0/outline"] {
            for (a, b) in numbers(&reports[0], place).into_iter().zip(numbers(report, place)) {
                assert!((a - b).abs() < 1e-6, "{place}: {a} against {b}");
            }
        }
        let gap = report["holes"][0]["if_round"]["largest_gap_mm"].as_f64().expect("mm");
        assert!(gap.abs() < 1e-6, "{gap}");
    }
    assert!(
        reports[0]["holes"][0].get("if_round").is_none(),
        "a round body is not taken for round"
    );
}

#[test]
fn the_gap_on_a_drum_taken_for_round_is_that_of_the_two_sections() {
    // By hand: a square foil tube of radius r on the crown of an ellipse a (up) by b: t = a sqrt(1 - x^2 / b^2) at x = r sin,
    // and sqrt(R^2 - x^2) on the circle of the given girth. Their difference at the sides, less that in front, is the gap.
    let shop = Shop::open();
    let (a, b, r) = (277.5, 296.0, 30.0_f64);
    let text = vessel(&format!(r#"{LYING}, "section": {{ "oval": [555, 592] }}"#), ONE_PART)
        .replace("40mm x 2mm", "60mm x 0.001mm");
    shop.write("job.json", text.as_bytes());
    shop.run("batch job.json --out d.pdf --report r.json").succeeds();
    let radius = 1802.0 / (2.0 * PI);
    let drops = [
        a - a * (1.0 - r * r / (b * b)).sqrt(),
        radius - (radius * radius - r * r).sqrt(),
    ];
    let gap = shop.report("r.json")["holes"][0]["if_round"]["largest_gap_mm"]
        .as_f64()
        .expect("mm");
    assert!(
        (gap - (drops[1] - drops[0]).abs()).abs() < 1e-5,
        "{gap} against {drops:?}"
    );
}

#[test]
fn what_passes_an_oval_drum_is_as_far_from_it_as_its_real_section() {
    let shop = Shop::open();
    // 200 mm from the axis to the narrow side; a tube of 40 mm passes 250 mm from it: 30 mm are between them.
    let text = r#"{ "units": "mm", "stock": { "a": { "size": "40mm x 2mm" } },
        "bodies": { "drum": { "shape": "cylinder", "size": "girth 1586mm x 2mm", "section": { "oval": [600, 400] }, "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 0, 1] } },
        "tubes": { "past": { "stock": "a", "path": [ { "at": [250, 300, -400] }, { "at": [250, 300, 400] } ] },
                   "into": { "stock": "a", "path": [ { "at": [-210, 100, -400] }, { "at": [-210, 100, 400] } ] } },
        "keep_clear": [ { "tube": "past", "body": "drum", "by": BY } ] }"#;
    shop.write("job.json", text.replace("BY", "29").as_bytes());
    let check = shop.run("batch job.json --check");
    assert_eq!(check.code(), 1);
    let said = check.out();
    assert!(
        !said.contains("CLASH: past") && said.contains("CLASH: into against drum, overlap by 10.00 mm"),
        "{said}"
    );
    shop.write("job.json", text.replace("BY", "31").as_bytes());
    let check = shop.run("batch job.json --check");
    assert_eq!(check.code(), 1);
    let said = check.out();
    assert!(
        said.contains("CLASH: past against drum, 30.00 mm apart, 31.00 mm asked for"),
        "{said}"
    );
}

#[test]
fn a_girth_that_differs_a_little_from_the_diameters_is_said_and_the_diameters_are_followed() {
    let shop = Shop::open();
    let text = vessel(&format!(r#"{LYING}, "section": {{ "oval": [592, 560] }}"#), ONE_PART);
    shop.write("job.json", text.as_bytes());
    let said = shop.run("batch job.json --check").succeeds().out();
    assert!(
        said.contains("given as 1802.00 mm") && said.contains("is 1809.91 mm round") && said.contains("followed"),
        "{said}"
    );
}

#[test]
fn bodies_and_tubes_move_with_the_partings_of_a_stack() {
    let shop = Shop::open();
    let text = |take: usize| {
        format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }},
  "stacks": {{ "s": {{ "height": 1000, "at": [10, 20, 300], "take": {take}, "parts": [
    {{ "name": "low", "height": 600, "part_at": [250, 400], "stays": "bottom" }}, {{ "name": "up", "height": 500, "part_at": [120], "stays": "top", "nests": 30 }} ],
    "on_top": [ {{ "what": "lid", "height": 10 }} ] }} }},
  "bodies": {{
    "lower": {{ "shape": "cylinder", "size": "500mm x 2mm", "stack": "s", "part": "low" }},
    "upper": {{ "shape": "cylinder", "size": "500mm x 2mm", "stack": "s", "part": "up" }},
    "side": {{ "shape": "cylinder", "size": "200mm x 2mm", "from": {{ "stack": "s", "part": "low", "place": "parting", "above": 50, "aside": [600, 0] }},
      "to": {{ "stack": "s", "part": "low", "place": "parting", "above": 50, "aside": [600, 300] }}, "zero": [0, 0, 1] }} }},
  "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "side", "along": 150 }}, {{ "at": {{ "stack": "s", "place": "top", "above": 90, "aside": [600, 150] }} }} ] }},
    "u": {{ "stock": "a", "path": [ {{ "on": "upper", "along": 40 }}, {{ "step": [300, 0, 0] }} ] }} }} }}"#
        )
    };
    // By hand: low 600, 250, 400; up 500, 380; less 30 and 10 more. Within 1000: 960 (600 + 380), 880 (400 + 500),
    // 760 (400 + 380), 730 (250 + 500), 610 (250 + 380).
    for (take, low, total) in [
        (1, 600.0, 960.0),
        (2, 400.0, 880.0),
        (3, 400.0, 760.0),
        (4, 250.0, 730.0),
        (5, 250.0, 610.0),
    ] {
        shop.write("job.json", text(take).as_bytes());
        let said = shop.run("batch job.json --out d.pdf --report r.json").succeeds().out();
        assert!(
            said.contains(&format!(
                "= {total:.2} mm; 1000.00 mm available, {:.2} mm left over",
                1000.0 - total
            )),
            "{said}"
        );
        let report = shop.report("r.json");
        let stack = &report["job"]["stacks"][0];
        let totals: Vec<f64> = stack["ways"]
            .as_array()
            .expect("ways")
            .iter()
            .map(|way| way["total_mm"].as_f64().expect("mm"))
            .collect();
        assert_eq!(totals, [960.0, 880.0, 760.0, 730.0, 610.0]);
        assert_eq!(stack["taken"], take);
        // From the side drum's crown, 50 + 100 over the parting, to 90 over the top.
        let length = report["pieces"][0]["centre_line_mm"].as_f64().expect("mm");
        assert!(
            (length - (total + 90.0 - (low + 50.0 + 100.0))).abs() < 1e-9,
            "{length}"
        );
        let pdf = Pdf::read(&shop.read("d.pdf"));
        assert!(!said.contains("no mark-out sheet"), "{said}");
        let without = text(take).replace(
            r#""stack": "s", "part": "low" }"#,
            r#""from": [10, 20, 0], "to": [10, 20, 300] }"#,
        );
        shop.write("without.json", without.as_bytes());
        let said = shop.run("batch without.json --check").succeeds().out();
        assert_eq!(said.contains("part low of stack s is parted"), low < 600.0, "{said}");
        assert_eq!(pdf.says("PARTING lower (s)"), low < 600.0);
        assert!(low == 600.0 || pdf.says(&format!("The line runs round {low:.2} mm from the bottom end")));
    }
}

#[test]
fn a_drain_of_an_oval_drum_leaves_what_its_real_section_holds() {
    let shop = Shop::open();
    let text = r#"{ "units": "mm", "stock": { "a": { "size": "40mm x 2mm" } },
        "bodies": { "drum": { "shape": "cylinder", "size": "girth 1808.69mm x 2mm", "section": { "oval": [540, 610] }, "from": [0, 0, 100], "to": [0, 0, 900], "zero": [1, 0, 0], "floor": 30 } },
        "tubes": { "drain": { "stock": "a", "path": [ { "on": "drum", "round": "30deg", "drain": { "above_floor": 10 } }, { "step": [260, 120, -30] } ] } } }"#;
    shop.write("job.json", text.as_bytes());
    let said = shop.run("batch job.json --out d.pdf --report r.json").succeeds().out();
    // The bore: the ellipse less a strip of the wall times the girth half way through it.
    let litres = (PI * 270.0 * 305.0 - 2.0 * (1808.69 - PI * 2.0)) * 10.0 / 1e6;
    assert!(said.contains(&format!("{litres:.2} litres")), "{litres}: {said}");
    let hole = shop.report("r.json")["holes"][0].clone();
    let low = hole["outline"]
        .as_array()
        .expect("places")
        .iter()
        .map(|place| place[1].as_f64().expect("v"))
        .fold(f64::MAX, f64::min);
    assert!((hole["along_mm"].as_f64().expect("mm") + low - 40.0).abs() < 1e-3);
}
