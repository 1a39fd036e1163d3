//! Whole jobs from outside: starters, problems with their places, drains, clashes, cut lists.

mod support;

use std::f64::consts::PI;
use std::fs;

use serde_json::Value;
use support::{Pdf, Shop};

fn templates() -> Vec<(String, String)> {
    let entries = fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/templates")).expect("templates");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let jobs = paths.filter(|path| path.extension().is_some_and(|extension| extension == "json"));
    jobs.map(|path| {
        (
            path.file_stem().expect("a name").to_string_lossy().into_owned(),
            fs::read_to_string(&path).expect("text"),
        )
    })
    .collect()
}

/// Two drums and whatever else is given.
fn job(tubes: &str, more: &str) -> String {
    format!(
        r#"{{ "units": "mm",
  "stock": {{ "a": {{ "size": "40mm x 2mm", "stick": 3000, "kerf": 3 }} }},
  "bodies": {{
    "low": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 0, 1] }},
    "high": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 700], "to": [0, 600, 700], "zero": [0, 0, -1] }}
  }},
  "tubes": {{ {tubes} }}{more} }}"#
    )
}

#[test]
fn every_starter_is_listed_and_makes_a_pack_on_a4_and_letter_within_the_margins() {
    let shop = Shop::open();
    let list = shop.run("new").succeeds().out();
    let templates = templates();
    assert!(templates.len() >= 3);
    for (name, _) in &templates {
        assert!(list.contains(name.as_str()), "{list}");
        shop.run(&format!("new {name}")).succeeds();
        for paper in ["a4", "letter"] {
            shop.run(&format!(
                "batch {name}.json --paper {paper} --out {name}.pdf --report {name}.r.json --cut-list {name}.csv"
            ))
            .succeeds();
            let pdf = Pdf::read(&shop.read(&format!("{name}.pdf")));
            for stroke in &pdf.strokes {
                use kurbo::Shape;
                let (width, height) = pdf.pages[stroke.page];
                let inside = kurbo::Rect::new(6.0, 6.0, width - 6.0, height - 6.0);
                let bounds = stroke
                    .path
                    .bounding_box()
                    .inflate(stroke.width / 2.0, stroke.width / 2.0);
                assert_eq!(
                    inside.union(bounds),
                    inside,
                    "{name} on {paper}, sheet {}: {}",
                    stroke.page + 1,
                    stroke.layer
                );
            }
            assert!(pdf.words.iter().all(|words| words.size_pt >= 7.0));
            assert!(pdf.says("Cut list") && pdf.says("Sticks") && pdf.says("CAUTION"));
            let outlines = pdf.document.catalog().expect("a catalog").has(b"Outlines");
            assert!(outlines, "bookmarks for pieces");
        }
        let report = shop.report(&format!("{name}.r.json"));
        let rows = report["job"]["cut_list"].as_array().expect("rows");
        let total: f64 = rows
            .iter()
            .map(|row| row["quantity"].as_f64().expect("n") * row["length_mm"].as_f64().expect("mm"))
            .sum();
        assert!((total - report["job"]["total_mm"].as_f64().expect("mm")).abs() < 1e-6);
        let csv = String::from_utf8(shop.read(&format!("{name}.csv"))).expect("text");
        assert_eq!(csv.lines().count(), rows.len() + 1);
        let check = shop.run(&format!("batch {name}.json --check")).succeeds();
        assert!(!check.out().contains("clash"), "{}", check.out());
    }
}

#[test]
fn equal_pieces_are_made_once_with_their_quantity() {
    let shop = Shop::open();
    shop.run("new cooler-bank").succeeds();
    shop.run("batch cooler-bank.json --report r.json").succeeds();
    let report = shop.report("r.json");
    assert_eq!(report["pieces"].as_array().expect("pieces").len(), 1);
    assert_eq!(report["pieces"][0]["quantity"], 6);
    assert_eq!(report["holes"].as_array().expect("holes").len(), 12);
    // Stepped by 120 mm: what is left between the holes is that less the hole, measured along.
    let hole = &report["holes"][0];
    let along: Vec<f64> = hole["outline"]
        .as_array()
        .expect("places")
        .iter()
        .map(|place| place[1].as_f64().expect("v"))
        .collect();
    let height = along.iter().copied().fold(f64::MIN, f64::max) - along.iter().copied().fold(f64::MAX, f64::min);
    assert!(
        (hole["ligament_mm"].as_f64().expect("mm") - (120.0 - height)).abs() < 0.05,
        "{hole}"
    );
}

#[test]
fn a_drains_low_edge_is_where_it_was_asked_for() {
    // By hand: a bore of radius b along a line falling at angle f, square to the skin of an upright drum at its zero
    // line, has its low edge b / cos f under the axis where the skin is met, plus the skin's bow, nothing at azimuth down.
    let shop = Shop::open();
    for (above, step) in [(0.0, -20.0), (15.0, -60.0), (4.0, 0.0)] {
        let text = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }},
            "bodies": {{ "drum": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 100], "to": [0, 0, 900], "zero": [1, 0, 0], "floor": 30 }} }},
            "tubes": {{ "drain": {{ "stock": "a", "path": [ {{ "on": "drum", "round": 0, "drain": {{ "above_floor": {above} }} }}, {{ "step": [200, 0, {step}] }} ] }} }} }}"#
        );
        shop.write("drain.json", text.as_bytes());
        let run = shop.run("batch drain.json --report r.json --out d.pdf").succeeds();
        let hole = shop.report("r.json")["holes"][0].clone();
        let low = hole["outline"]
            .as_array()
            .expect("places")
            .iter()
            .map(|place| place[1].as_f64().expect("v"))
            .fold(f64::MAX, f64::min);
        let along = hole["along_mm"].as_f64().expect("mm");
        assert!((along + low - (30.0 + above)).abs() < 1e-3, "{along} {low}");
        let fall = f64::atan2(-step, 200.0);
        assert!((along - (30.0 + above + 18.0 / fall.cos())).abs() < 1e-3, "{along}");
        let litres = PI * 148.0 * 148.0 * above / 1e6;
        let said = run.out();
        assert!(
            above == 0.0 && said.contains("nothing is left") || said.contains(&format!("{litres:.2} litres")),
            "{said}"
        );
        assert_eq!(step == 0.0, said.contains("DOES NOT FALL"), "{said}");
    }
}

#[test]
fn clashes_are_told_with_their_figures() {
    let shop = Shop::open();
    let straight = |name: &str, along: f64, round: &str| {
        format!(
            r#""{name}": {{ "stock": "a", "path": [ {{ "on": "low", "along": {along}, "round": "{round}" }}, {{ "on": "high", "along": {along}, "round": 0 }} ] }}"#
        )
    };
    let cases = [
        // Axes 25 mm apart, tubes of 40 mm: 15 mm into each other; holes of 36 mm overlap too.
        (
            job(
                &[straight("p", 200.0, "0deg"), straight("q", 225.0, "0deg")].join(","),
                "",
            ),
            vec!["p against q", "-15.00 mm", "the holes for p and q in low"],
        ),
        // 10 mm from the end the hole of 18 mm radius runs 8 mm off it.
        (
            job(&straight("p", 10.0, "0deg"), ""),
            vec!["the hole for p and the end of low", "-8.00 mm"],
        ),
        // Past the upper drum at 8 mm, where 25 are asked for.
        (
            job(
                r#""p": { "stock": "a", "path": [ { "at": [178, 300, 400] }, { "at": [178, 300, 1000] } ] }"#,
                r#", "keep_clear": [ { "tube": "p", "body": "high", "by": 25 } ]"#,
            ),
            vec!["p against high", "8.00 mm apart, 25.00 mm asked for"],
        ),
        (
            job(
                r#""p": { "stock": "a", "path": [ { "at": [100, 300, 400] }, { "at": [100, 300, 1000] } ] }"#,
                "",
            ),
            vec!["p against high", "-70.00 mm"],
        ),
    ];
    for (text, wanted) in cases {
        shop.write("job.json", text.as_bytes());
        let said = shop.run("batch job.json --check").succeeds().out();
        for words in wanted {
            assert!(said.contains(words), "{words} in {said}");
        }
    }
    assert_eq!(shop.files(), ["job.json"], "--check writes nothing");
}

#[test]
fn wrong_jobs_are_refused_with_every_place() {
    let straight =
        r#""p": { "stock": "a", "path": [ { "on": "low", "along": 200 }, { "on": "high", "along": 200 } ] }"#;
    let cases: Vec<(String, Vec<&str>)> = vec![
        (String::new(), vec!["job.json:1:1"]),
        ("[]".to_owned(), vec!["one JSON object"]),
        ("{ \"tubes\": {} }".to_owned(), vec!["no tubes"]),
        (
            job(&straight.replace("\"stock\": \"a\"", "\"stock\": \"aa\""), ""),
            vec!["job.json:7:30  tubes.p.stock", "did you mean \"a\"?"],
        ),
        (
            job(&straight.replace("\"on\": \"low\"", "\"on\": \"lo\""), ""),
            vec!["tubes.p.path[0].on", "did you mean \"low\"?"],
        ),
        (
            job(&straight.replace("\"along\": 200 }", "\"along\": \"20 parsecs\" }"), ""),
            vec!["tubes.p.path[0].along", "tubes.p.path[1].along", "parsecs"],
        ),
        (
            job(&straight.replace("{ \"on\": \"low\", \"along\": 200 }", "{}"), ""),
            vec!["tubes.p.path[0]", "given in one way"],
        ),
        (
            job(r#""p": { "stock": "a", "path": [ { "at": [0, 0, 0] } ] }"#, ""),
            vec!["two points"],
        ),
        (
            job(
                r#""p": { "stock": "a", "path": [ { "at": [0, 0, 0] }, { "at": [0, 0] } ] }"#,
                "",
            ),
            vec!["tubes.p.path[1].at", "a list of 3"],
        ),
        (
            job(
                r#""p": { "stock": "a", "path": [ { "at": [0, 0, 0] }, { "step": [0, 0, 0] } ] }"#,
                "",
            ),
            vec!["where the one before it is"],
        ),
        (
            job(
                r#""p": { "stock": "a", "path": [ { "at": [0, 0, 0] }, { "step": [0, 0, 90] }, { "step": [0, 1, -90] } ] }"#,
                "",
            ),
            vec!["turn back on itself"],
        ),
        (
            job(
                &straight.replace("\"path\"", "\"end\": { \"join\": \"set_in\" }, \"path\""),
                "",
            ),
            vec!["tubes.p.end.join", "set-in"],
        ),
        (
            job(
                &straight.replace("\"path\"", "\"repeat\": { \"times\": 3 }, \"path\""),
                "",
            ),
            vec!["stepped or turned"],
        ),
        (
            job(
                &straight.replace(
                    "\"path\"",
                    "\"repeat\": { \"times\": 30000, \"step\": [0, 1, 0] }, \"path\"",
                ),
                "",
            ),
            vec!["tubes.p.repeat.times"],
        ),
        (
            job(
                &straight.replace("\"path\"", "\"coupling\": { \"at\": 5000, \"gap\": 5 }, \"path\""),
                "",
            ),
            vec!["tubes.p.coupling.at", "straight leg"],
        ),
        (
            job(
                &straight.replace("\"path\"", "\"corner\": { \"pieces\": 1 }, \"path\""),
                "",
            ),
            vec!["tubes.p.corner.pieces"],
        ),
        (
            job(
                &straight.replace("\"along\": 200 },", "\"drain\": { \"above_floor\": 0 } },"),
                "",
            ),
            vec!["above_floor", "body that stands"],
        ),
        (
            job(
                straight,
                ", \"keep_clear\": [ { \"tube\": \"q\", \"body\": \"low\", \"by\": 5 } ]",
            ),
            vec!["keep_clear[0].tube"],
        ),
        (job(straight, ", \"notes\": 3"), vec!["notes", "not known here"]),
        (
            job(&format!("{straight}, {straight}"), ""),
            vec!["two of the name \"p\""],
        ),
        (
            job(straight, "").replace("\"size\": \"40mm x 2mm\"", "\"size\": \"40mm\""),
            vec!["stock.a.size", "wall"],
        ),
        (
            job(straight, "").replace("\"to\": [0, 600, 0]", "\"to\": [0, 0, 0]"),
            vec!["bodies.low", "no length"],
        ),
        (
            job(straight, "").replace("\"zero\": [0, 0, 1]", "\"zero\": [0, 1, 0]"),
            vec!["bodies.low.zero", "along the axis"],
        ),
        (
            job(straight, "").replace("\"shape\": \"cylinder\"", "\"shape\": \"cube\""),
            vec!["bodies.low.shape", "bodies.high.shape"],
        ),
        (job(straight, "").replace("\"units\": \"mm\",", ""), vec!["has no unit"]),
        (
            job(straight, "").replace("40mm x 2mm", "400mm x 2mm"),
            vec!["tube \"p\"", "beside"],
        ),
        (
            job(straight, "").replace("\"stick\": 3000", "\"stick\": 100"),
            vec!["longer than a stick"],
        ),
        (
            job(
                r#""p": { "stock": "a", "path": [ { "on": "low", "along": 200, "round": "80deg" }, { "step": [0, 0, 300] } ] }"#,
                "",
            ),
            vec!["tube \"p\"", "beside"],
        ),
        (
            job(
                r#""p": { "stock": "a", "path": [ { "at": [0, 0, 900] }, { "step": [0, 0, 20] }, { "step": [300, 0, 0] } ] }"#,
                "",
            ),
            vec!["too short"],
        ),
        (
            job(
                r#""p": { "stock": "a", "end": { "join": "miter" }, "path": [ { "at": [0, 0, 900] }, { "step": [0, 0, 200] } ] }"#,
                "",
            ),
            vec!["meets another tube"],
        ),
        (
            job(
                r#""p": { "stock": "a", "end": { "join": "miter", "to": "p" }, "path": [ { "at": [0, 0, 900] }, { "step": [0, 0, 200] } ] }"#,
                "",
            ),
            vec!["tubes.p.end.to"],
        ),
    ];
    for (text, wanted) in cases {
        let shop = Shop::open();
        shop.write("job.json", text.as_bytes());
        shop.write("pack.pdf", b"the older pack");
        let run = shop.run("batch job.json --out pack.pdf --report r.json");
        let said = run.err();
        assert_eq!(run.code(), 2, "{text}\n{said}\n{}", run.out());
        assert!(!said.contains("panicked"), "{said}");
        for words in wanted {
            assert!(said.contains(words), "\"{words}\" in:\n{said}");
        }
        assert_eq!(shop.files(), ["job.json", "pack.pdf"]);
        assert_eq!(shop.read("pack.pdf"), b"the older pack", "the older pack survives");
    }
}

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
    (r#""oval": [580, 530]"#, &["bodies.drum.section", "contradict", "1802.0 mm round as given, 1744.", "3.3 % more"]),
    (r#""oval": [630, 592]"#, &["contradict", "1802.0 mm", "1920.", "6.1 % less"]),
    (r#""oval": [592, "55 cubits"]"#, &["bodies.drum.section.oval[1]", "cubits"]),
    (r#""oval": [592, -555]"#, &["bodies.drum.section.oval[1]", "-555.0 mm across", "1802.0 mm round"]),
    (r#""oval": [592, 5550]"#, &["bodies.drum.section.oval[1]", "5550.0 mm across", "573.6 mm across"]),
    (r#""oval": [860, 200]"#, &["bodies.drum.section.oval[0]", "too flat", "860.0 by 200.0 mm"]),
    (r#""oval": [592, 555], "at": "400deg""#, &["bodies.drum.section.at", "more than once round", "360 degrees"]),
    (r#""oval": [592, 555], "at": 1900"#, &["bodies.drum.section.at", "more than once round", "1802.0 mm"]),
    (r#""diameters": [ { "at": 0, "across": 574 } ]"#, &["bodies.drum.section", "2 to 48 diameters", "1 given"]),
    (r#""diameters": [ { "at": "10deg", "across": 574 }, { "at": "190.5deg", "across": 573 } ]"#,
        &["diameters[1].at", "as good as one", "0.5 degrees apart, a diameter's other end counted"]),
    (r#""diameters": [ { "at": "0deg", "across": 574 }, { "at": "12deg", "across": 560 }, { "at": "24deg", "across": 574 }, { "at": "90deg", "across": 574 } ]"#,
        &["bodies.drum.section", "hollow", "mm deep under a straight edge"]),
    (r#""offsets": [ { "at": 0, "out": 4 }, { "at": 600, "out": 4 } ]"#, &["3 to 48 offsets", "2 given"]),
    (r#""offsets": [ { "at": 0, "out": 4 }, { "at": 600, "out": -90 }, { "at": 1200, "out": 0 } ]"#,
        &["offsets[1].out", "-90.0 mm, on a radius of 286.8 mm", "up to 72 mm"]),
    (r#""offsets": [ { "at": 0, "out": 4 }, { "at": 600, "across": 4 }, { "at": 1200, "out": 0 } ]"#,
        &["offsets[1].across", "not known here", "\"out\" is missing"]),
];

#[rustfmt::skip]
const WRONG_STACKS: [(&str, &[&str]); 15] = [
    (r#""height": 900"#, &["stacks.s", "1 to 12 parts", "0 given"]),
    (r#""parts": [ { "name": "p", "height": 880 } ]"#, &["stacks.s", "\"height\" is missing"]),
    (r#""height": 870, "parts": [ { "name": "p", "height": 880 } ]"#, &["stacks.s.height", "too high, however", "at least 880.0 mm, 870.0 mm there are"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "part_at": [290, 900] } ]"#,
        &["stacks.s.parts[0].part_at[1]", "above the part's top", "at 900.0 mm, the part is 880.0 mm high"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "part_at": [-5] } ]"#, &["part_at[0]", "below the part's bottom", "at -5.0 mm"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "nests": 20 } ]"#, &["parts[0].nests", "nothing to nest in"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 400 }, { "name": "q", "height": 300, "nests": 310 } ]"#,
        &["parts[1].nests", "deeper than it is high", "310.0 mm deep, 300.0 mm high"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 400 }, { "name": "q", "height": 300, "nests": -3 } ]"#, &["parts[1].nests", "-3.0 mm"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 400 }, { "name": "p", "height": 300 } ]"#, &["parts[1].name", "two parts of the name \"p\""]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 200 }, { "name": "q", "height": 300, "nests": 250 } ]"#, &["longer than they nest", "250.0 mm"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "must_part": true } ]"#, &["parts[0].must_part", "no place where it may be"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "must_part": "yes" } ]"#, &["parts[0].must_part", "true or false"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880, "stays": "left" } ]"#, &["parts[0].stays", "bottom, top"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 880 } ], "take": 2"#, &["stacks.s.take", "from 1 to 1"]),
    (r#""height": 900, "parts": [ { "name": "p", "height": 850 } ], "on_top": [ { "what": "lid", "height": 60 } ]"#, &["too high", "910.0 mm, 900.0 mm"]),
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
    let said = shop.run("batch job.json --check").succeeds().out();
    assert!(
        !said.contains("clash: past") && said.contains("clash: into against drum, -10.00 mm apart"),
        "{said}"
    );
    shop.write("job.json", text.replace("BY", "31").as_bytes());
    let said = shop.run("batch job.json --check").succeeds().out();
    assert!(
        said.contains("clash: past against drum, 30.00 mm apart, 31.00 mm asked for"),
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
    {{ "name": "low", "height": 600, "part_at": [250, 400] }}, {{ "name": "up", "height": 500, "part_at": [120], "stays": "top", "nests": 30 }} ],
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
                "= {total:.2} mm, of 1000.00 mm: {:.2} mm left over",
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

#[test]
fn a_job_that_is_not_there_and_one_that_is_not_text_are_refused() {
    let shop = Shop::open();
    shop.write("bytes.json", &[0xff, 0xfe, 0x00]);
    for name in ["nowhere.json", "bytes.json"] {
        let run = shop.run(&format!("batch {name}"));
        assert_eq!(run.code(), 2);
        assert!(
            run.err().contains(name) && run.err().contains("can't be read"),
            "{}",
            run.err()
        );
    }
}

/// Runs a job and gives its report.
fn report_of(text: &str) -> Value {
    let shop = Shop::open();
    shop.write("job.json", text.as_bytes());
    shop.run("batch job.json --report r.json --svg p.svg --out p.pdf")
        .succeeds();
    shop.report("r.json")
}

#[test]
fn the_far_end_is_told_on_the_girth_scale_of_the_near_one() {
    // A slanting tube off the middle of both drums: left and right differ at both ends. Placed in space, station by
    // station, the far ordinates must give places on the upper drum.
    let report = report_of(&job(
        r#""p": { "stock": "a", "path": [ { "on": "low", "along": 200, "round": "25deg" }, { "on": "high", "along": 320, "round": "-10deg" } ] }"#,
        "",
    ));
    let end = &report["ends"][1];
    assert_eq!(
        (end["azimuths_run"].as_str(), report["ends"][0]["azimuths_run"].as_str()),
        (Some("left"), Some("right"))
    );
    let curve = end["curve"].as_array().expect("a curve");
    let base = end["base_line_t_mm"].as_f64().expect("mm");
    let mut turns = 0;
    for ordinate in end["ordinates"].as_array().expect("ordinates") {
        let degree = ordinate["azimuth_deg"].as_f64().expect("degrees");
        if degree.fract() == 0.0 {
            let t = curve[degree as usize][1].as_f64().expect("t");
            assert!(
                (ordinate["from_base_mm"].as_f64().expect("mm") - (base - t)).abs() < 1e-9,
                "{ordinate}"
            );
            turns += 1;
        }
    }
    assert!(turns >= 8);
    // The near end's frame, from the two places and the side of the acute angle.
    use glam::DVec3;
    let on = |round: f64, along: f64, z: f64, up: f64| {
        let (sin, cos) = round.to_radians().sin_cos();
        // To the right as seen from outside with the far end (+y) up.
        DVec3::new(up * 150.0 * sin, along, z + up * 150.0 * cos)
    };
    let (from, to) = (on(25.0, 200.0, 0.0, 1.0), on(-10.0, 320.0, 700.0, -1.0));
    let axis = (to - from).normalize();
    let front = (DVec3::Y - DVec3::Y.dot(axis) * axis).normalize();
    let right = front.cross(axis);
    for degree in (0..360).step_by(15) {
        let (sin, cos) = f64::from(degree).to_radians().sin_cos();
        let t = curve[degree as usize][1].as_f64().expect("t");
        // touch = wall: somewhere between bore and skin the wall is on the drum, nowhere inside it.
        let off = (0..=200)
            .map(|layer| 18.0 + 2.0 * f64::from(layer) / 200.0)
            .map(|radius| {
                let place = to + radius * (cos * front + sin * right) - t * axis;
                place.x.hypot(place.z - 700.0) - 150.0
            });
        let least = off.fold(f64::MAX, f64::min);
        assert!(least.abs() < 1e-3, "{degree}: {least}");
    }
}

#[test]
fn the_drawn_far_wrap_agrees_with_its_table() {
    let shop = Shop::open();
    let tube = r#""p": { "stock": "a", "path": [ { "on": "low", "along": 200, "round": "25deg" }, { "on": "high", "along": 320, "round": "-10deg" } ] }"#;
    shop.write("job.json", job(tube, "").as_bytes());
    shop.run("batch job.json --report r.json --out p.pdf --paper 1000mmx900mm")
        .succeeds();
    let (report, pdf) = (shop.report("r.json"), Pdf::read(&shop.read("p.pdf")));
    for (name, end) in ["START", "END"]
        .into_iter()
        .zip(report["ends"].as_array().expect("ends"))
    {
        let title = pdf
            .words
            .iter()
            .find(|words| words.text.contains(&format!("PIECE 1 p, {name}")))
            .expect("a wrap");
        let girth = end["printed_girth_mm"].as_f64().expect("mm");
        use kurbo::{ParamCurve, Shape};
        // The wrap's cut is the nearest open one above its title that is as wide as the girth.
        let cut = pdf
            .on("cut-line")
            .filter(|stroke| stroke.page == title.page && (stroke.path.bounding_box().width() - girth).abs() < 0.05)
            .filter(|stroke| {
                stroke.path.bounding_box().y0 > title.at.y && (stroke.path.bounding_box().x0 - title.at.x).abs() < 20.0
            })
            .min_by(|a, b| a.path.bounding_box().y0.total_cmp(&b.path.bounding_box().y0))
            .expect("a cut");
        let bounds = cut.path.bounding_box();
        let (seam, sign) = (
            end["seam_deg"].as_f64().expect("degrees"),
            if end["azimuths_run"] == "left" { -1.0 } else { 1.0 },
        );
        let height = |x: f64| {
            let places = cut
                .path
                .segments()
                .flat_map(|segment| (0..=60).map(move |step| segment.eval(f64::from(step) / 60.0)));
            places
                .min_by(|a, b| (a.x - x).abs().total_cmp(&(b.x - x).abs()))
                .expect("a place")
                .y
        };
        let at = |station: &Value| {
            let turn = (sign * (station["azimuth_deg"].as_f64().expect("degrees") - seam)).rem_euclid(360.0) / 360.0;
            (
                height(bounds.x0 + turn * girth),
                station["from_base_mm"].as_f64().expect("mm"),
            )
        };
        let stations = end["ordinates"].as_array().expect("ordinates");
        let (first, base) = at(&stations[0]);
        for station in stations {
            let (drawn, told) = at(station);
            assert!(
                ((drawn - first) - (told - base)).abs() < 0.5,
                "{name} {station}: {} against {}",
                drawn - first,
                told - base
            );
        }
    }
}

#[test]
fn a_tube_straight_out_of_a_balls_pole_is_cut_level() {
    // By hand: on a ball of 200 mm the wall from 10 to 12 mm radius touches with its bore, sqrt(100^2 - 10^2) up.
    let report = report_of(
        r#"{ "units": "mm", "stock": { "a": { "size": "24mm x 2mm" } },
        "bodies": { "head": { "shape": "sphere", "size": "200mm x 3mm", "at": [0, 0, 0], "out": [0, 1, 1] } },
        "tubes": { "p": { "stock": "a", "path": [ { "on": "head" }, { "step": [0, 141.42135623730951, 141.42135623730951] } ] } } }"#,
    );
    for place in report["ends"][0]["curve"].as_array().expect("a curve") {
        assert!(
            (place[1].as_f64().expect("t") - ((10_000.0_f64 - 100.0).sqrt() - 100.0)).abs() < 1e-9,
            "{place}"
        );
    }
    assert!(
        report["holes"].as_array().expect("holes").is_empty(),
        "a ball's hole can't be laid flat"
    );
}

#[test]
fn a_hole_in_a_cone_is_about_the_place_under_the_tubes_axis() {
    // Square to the skin of a cone the bore's outline is about its place, alike to both sides.
    let report = report_of(
        r#"{ "units": "mm", "stock": { "a": { "size": "24mm x 2mm" } },
        "bodies": { "hopper": { "shape": "cone", "size": "200mm x 2mm", "size_to": "600mm x 2mm", "from": [0, 0, 0], "to": [0, 400, 0], "zero": [0, 0, 1] } },
        "tubes": { "p": { "stock": "a", "path": [ { "on": "hopper", "along": 200 }, { "step": [0, -100, 200] } ] } } }"#,
    );
    let outline = report["holes"][0]["outline"].as_array().expect("places");
    let of = |axis: usize| {
        outline
            .iter()
            .map(|place| place[axis].as_f64().expect("mm"))
            .fold((f64::MAX, f64::MIN), |(low, high), at| (low.min(at), high.max(at)))
    };
    let ((left, right), (low, high)) = (of(0), of(1));
    assert!(
        (left + right).abs() < 1e-6 && (low + 10.0).abs() < 0.2 && (high - 10.0).abs() < 0.2,
        "{left} {right} {low} {high}"
    );
}

#[test]
fn holes_that_overlap_say_by_how_much_and_flat_ends_are_flat() {
    let shop = Shop::open();
    let at = |name: &str, along: f64| {
        format!(
            r#""{name}": {{ "stock": "a", "path": [ {{ "on": "low", "along": {along} }}, {{ "step": [0, 0, 200] }} ] }}"#
        )
    };
    shop.write(
        "job.json",
        job(&[at("p", 200.0), at("q", 230.0)].join(","), "").as_bytes(),
    );
    let said = shop.run("batch job.json --check").succeeds().out();
    // Bores of 36 mm, 30 mm apart: 6 mm into each other.
    assert!(said.contains("the holes for p and q in low, -6.0"), "{said}");
    let straight = r#""p": { "stock": "a", "path": [ { "at": [900, 0, 0] }, { "at": [900, 0, 300] } ] },
        "q": { "stock": "a", "path": [ { "at": [900, 0, 310] }, { "at": [900, 0, 600] } ] }"#;
    shop.write("job.json", job(straight, "").as_bytes());
    let said = shop.run("batch job.json --check").succeeds().out();
    assert!(!said.contains("clash"), "ends 10 mm apart: {said}");
}

/// What the schema says of a value is held against the value: kinds, known keys, needed keys, choices.
fn hold(root: &Value, schema: &Value, value: &Value, path: &str) {
    let named = schema["$ref"].as_str().and_then(|name| name.strip_prefix("#"));
    let schema = named.map_or(schema, |name| root.pointer(name).expect("a definition"));
    if let Some(choices) = schema["enum"].as_array() {
        assert!(choices.contains(value), "{path}: {value}");
    }
    let kinds = match &schema["type"] {
        Value::Array(kinds) => kinds.clone(),
        Value::Null => Vec::new(),
        kind => vec![kind.clone()],
    };
    let kind = match value {
        Value::Object(_) => "object",
        Value::Array(_) => "array",
        Value::String(_) => "string",
        Value::Bool(_) => "boolean",
        _ => "number",
    };
    assert!(
        kinds.is_empty() || kinds.contains(&Value::from(kind)),
        "{path}: {value} is a {kind}"
    );
    match value {
        Value::Object(members) => {
            for (key, member) in members {
                let known = &schema["properties"][key];
                let other = &schema["additionalProperties"];
                assert!(
                    known.is_object() || other.is_object(),
                    "{path}.{key} is not in the schema"
                );
                let member_of = if known.is_object() { known } else { other };
                hold(root, member_of, member, &format!("{path}.{key}"));
            }
            for needed in schema["required"].as_array().into_iter().flatten() {
                assert!(
                    members.contains_key(needed.as_str().expect("a key")),
                    "{path}: {needed}"
                );
            }
        }
        Value::Array(items) => items.iter().for_each(|item| hold(root, &schema["items"], item, path)),
        _ => {}
    }
}

#[test]
fn every_starter_keeps_the_schema_and_the_schema_knows_what_the_program_knows() {
    let shop = Shop::open();
    let schema: Value = serde_json::from_str(&shop.run("schema").succeeds().out()).expect("the schema is JSON");
    for (name, text) in templates() {
        let starter = serde_json::from_str(&text).expect("the starter is JSON");
        hold(&schema, &schema, &starter, &name);
    }
    // Each key of the schema is known to the program: a job that uses it is not refused for that.
    let tube = &schema["properties"]["tubes"]["additionalProperties"]["properties"];
    let body = &schema["properties"]["bodies"]["additionalProperties"]["properties"];
    let point = &tube["path"]["items"]["properties"];
    let stack = &schema["properties"]["stacks"]["additionalProperties"]["properties"];
    for (place, keys) in [
        ("section", &body["section"]["properties"]),
        (
            "diameters",
            &body["section"]["properties"]["diameters"]["items"]["properties"],
        ),
        (
            "offsets",
            &body["section"]["properties"]["offsets"]["items"]["properties"],
        ),
        ("place", &schema["$defs"]["place"]["properties"]),
        ("stack", stack),
        ("parts", &stack["parts"]["items"]["properties"]),
        ("on_top", &stack["on_top"]["items"]["properties"]),
        ("tube", tube),
        ("body", body),
        ("point", point),
        ("end", &tube["end"]["properties"]),
        ("coupling", &tube["coupling"]["properties"]),
    ] {
        for key in keys.as_object().expect("properties").keys() {
            let text = match place {
                "section" => format!(r#"{{ "bodies": {{ "b": {{ "section": {{ "{key}": 1 }} }} }} }}"#),
                "diameters" | "offsets" => {
                    format!(r#"{{ "bodies": {{ "b": {{ "section": {{ "{place}": [ {{ "{key}": 1 }} ] }} }} }} }}"#)
                }
                "place" => format!(r#"{{ "bodies": {{ "b": {{ "from": {{ "{key}": 1 }} }} }} }}"#),
                "stack" => format!(r#"{{ "stacks": {{ "s": {{ "{key}": 1 }} }} }}"#),
                "parts" | "on_top" => format!(r#"{{ "stacks": {{ "s": {{ "{place}": [ {{ "{key}": 1 }} ] }} }} }}"#),
                "tube" => format!(r#"{{ "tubes": {{ "t": {{ "{key}": 1 }} }} }}"#),
                "body" => format!(r#"{{ "bodies": {{ "b": {{ "{key}": 1 }} }} }}"#),
                "point" => format!(r#"{{ "tubes": {{ "t": {{ "path": [ {{ "{key}": 1 }} ] }} }} }}"#),
                _ => format!(r#"{{ "tubes": {{ "t": {{ "{place}": {{ "{key}": 1 }} }} }} }}"#),
            };
            shop.write("job.json", text.as_bytes());
            let said = shop.run("batch job.json").err();
            assert!(!said.contains(&format!("\"{key}\" is not known here")), "{said}");
        }
    }
}
