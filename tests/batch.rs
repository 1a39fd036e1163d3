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
            assert!(pdf.words.iter().all(|words| words.size_pt >= 8.0));
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
        assert!(!check.out().contains("CLASH"), "{}", check.out());
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
            above == 0.0 && said.contains("drains dry") || said.contains(&format!("{litres:.2} litres left standing")),
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
            vec!["p against q", "overlap by 15.00 mm", "the holes for p and q in low"],
        ),
        // 10 mm from the end the tube of 20 mm radius stands 10 mm off it.
        (
            job(&straight("p", 10.0, "0deg"), ""),
            vec![
                "the hole for p against the end of low",
                "moved about 10.00 mm over the skin towards the far end",
            ],
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
            vec!["p against high", "overlap by 70.00 mm"],
        ),
    ];
    for (text, wanted) in cases {
        shop.write("job.json", text.as_bytes());
        let check = shop.run("batch job.json --check");
        assert_eq!(check.code(), 1, "a job that can't be built doesn't pass");
        let said = check.out();
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
        // As `saddle` refuses an angle below 10 degrees.
        (
            job(
                r#""p": { "stock": "a", "path": [ { "on": "low", "along": 100 }, { "step": [0, 300, 52] } ], "end": { "join": "square" } }"#,
                "",
            ),
            vec!["tubes.p.path[0]", "lands too flat", "9.8 degrees to its centre line, at least 10"],
        ),
        // What is too flat by a hair isn't told as steep enough.
        (
            job(
                r#""p": { "stock": "a", "path": [ { "on": "low", "along": 100 }, { "step": [0, 300, 52.89] } ], "end": { "join": "square" } }"#,
                "",
            ),
            vec!["tubes.p.path[0]", "lands too flat", "9.999 degrees to its centre line, at least 10"],
        ),
        // A copy stepped aside by a hair more than counts as equal: a line of its wall misses.
        (
            r#"{ "units": "mm", "stock": { "a": { "size": "48.3mm x 2mm" } },
                "bodies": { "low": { "shape": "cylinder", "size": "48.3mm x 2mm", "from": [0, 0, 0], "to": [0, 400, 0], "zero": [0, 0, 1] } },
                "tubes": { "p": { "stock": "a", "path": [ { "on": "low", "along": 100 }, { "step": [0, 0, 200] } ],
                    "end": { "join": "square" }, "repeat": { "times": 2, "step": [-0.0000017, 100, 0] } } } }"#
                .to_owned(),
            vec!["tube \"p 2\"", "passes beside \"low\"", "270.0° round from FRONT to the right, by 0.0000017 mm"],
        ),
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
            job(&straight.replace("\"p\":", "\"low\":"), ""),
            vec!["job.json:7:14", "\"low\" is the name of a body already"],
        ),
        (
            job(
                r#""bent": { "stock": "a", "path": [ { "at": [500, 0, 0] }, { "step": [0, 0, 200] }, { "step": [0, 200, 0] } ] },
                "q": { "stock": "a", "path": [ { "on": "bent", "along": 90 }, { "step": [200, 0, 0] } ] }"#,
                "",
            ),
            vec![
                "tubes.q.path[0].on",
                "nothing can land on the tube \"bent\"",
                "it has a corner",
            ],
        ),
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
            // What is left across the axis is the rounding of the last figure typed.
            job(straight, "").replace(
                r#""to": [0, 600, 0], "zero": [0, 0, 1]"#,
                r#""to": [440, 880, 293.33], "zero": [3, 6, 2]"#,
            ),
            vec!["bodies.low.zero", "along the axis", "0.00 degrees between them"],
        ),
        (
            job(straight, "").replace("\"zero\": [0, 0, 1]", "\"zero\": [0.01, 1, 0]"),
            vec!["bodies.low.zero", "0.57 degrees between them", "at least 1"],
        ),
        (
            job(straight, "").replace(
                "\"bodies\": {",
                r#""bodies": { "wall": { "shape": "plane", "at": [0, 0, 0], "out": [1, 2, 3], "zero": [0.33333, 0.66667, 1] },
                "ball": { "shape": "sphere", "size": "300mm", "at": [0, 0, 0], "zero": [0, 0, -5] },
                "funnel": { "shape": "cone", "size": "300mm", "size_to": "90mm", "from": [0, 0, 0], "to": [1, 2, 300], "zero": [1, 2, 300.001] },"#,
            ),
            vec!["bodies.wall.zero", "straight out of the plate", "bodies.ball.zero", "the ball's pole", "bodies.funnel.zero"],
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

#[test]
fn a_starter_whose_zero_line_lies_along_its_drum_is_refused() {
    let shop = Shop::open();
    let text = &templates()
        .into_iter()
        .find(|(name, _)| name.contains("cooler-bank"))
        .expect("a starter")
        .1;
    let upper = text.find("\"upper\": {").expect("a drum");
    let zero = upper + text[upper..].find("\"zero\": [").expect("its zero");
    let end = zero + text[zero..].find(']').expect("its end");
    shop.write(
        "job.json",
        format!("{}\"zero\": [0, 1, 0{}", &text[..zero], &text[end..]).as_bytes(),
    );
    let run = shop.run("batch job.json");
    assert_eq!(run.code(), 2, "{}{}", run.out(), run.err());
    assert!(
        run.err().contains("bodies.upper.zero") && run.err().contains("along the axis"),
        "{}",
        run.err()
    );
    assert_eq!(shop.files(), ["job.json"]);
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
        // From left to right; within a cubic x grows with its parameter.
        let height = |x: f64| {
            let holds = |segment: &kurbo::PathSeg| segment.end().x.max(segment.start().x) >= x - 1e-9;
            let segment = cut.path.segments().find(holds).expect("a place");
            let rises = segment.end().x > segment.start().x;
            assert!(rises, "{name}: from left to right");
            let (mut low, mut high) = (0.0, 1.0);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if segment.eval(middle).x < x {
                    low = middle
                } else {
                    high = middle
                }
            }
            segment.eval(low).y
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
                ((drawn - first) - (told - base)).abs() < 0.005,
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

/// By hand: a ball's inner skin is a ball of its radius less the wall, here 97 mm.
#[test]
fn a_tube_set_into_a_ball_ends_at_its_inner_skin() {
    // A step out of the skin at 10 degrees off the pole, leaning 20 degrees from its normal towards the pole and beyond.
    let (at, lean) = (f64::to_radians(10.0), f64::to_radians(-10.0));
    let (middle, axis) = ([100.0 * at.sin(), 100.0 * at.cos()], [lean.sin(), lean.cos()]);
    for (touch, rho) in [("outside", 12.0), ("inside", 10.0)] {
        let report = report_of(&format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "24mm x 2mm" }} }},
            "bodies": {{ "head": {{ "shape": "sphere", "size": "200mm x 3mm", "at": [0, 0, 0], "zero": [1, 0, 0] }} }},
            "tubes": {{ "p": {{ "stock": "a", "path": [ {{ "on": "head", "along": {} }}, {{ "step": [{}, 0, {}] }} ],
                "start": {{ "join": "set-in", "touch": "{touch}", "clearance": "1mm" }} }} }} }}"#,
            100.0 * at,
            200.0 * axis[0],
            200.0 * axis[1],
        ));
        let curve = report["ends"][0]["curve"].as_array().expect("a curve");
        for place in curve {
            let (azimuth, t) = (place[0].as_f64().expect("degrees"), place[1].as_f64().expect("t"));
            let (sin, cos) = azimuth.to_radians().sin_cos();
            // The front is the side that it leans to, towards -x.
            let x = middle[0] - rho * cos * axis[1] + t * axis[0];
            let z = middle[1] + rho * cos * axis[0] + t * axis[1];
            let off = x.hypot(z).hypot(rho * sin) - 97.0;
            assert!(off.abs() < 1e-9, "{touch} at {azimuth}: {off}");
        }
        assert_eq!(curve.len(), 361);
    }
}

#[test]
fn a_tube_set_into_a_ball_whose_wall_isnt_known_is_refused_for_that() {
    let job = r#"{ "units": "mm", "stock": { "a": { "size": "24mm x 2mm" } },
        "bodies": { "head": { "shape": "sphere", "size": "200mm", "at": [0, 0, 0] } },
        "tubes": { "p": { "stock": "a", "path": [ { "on": "head" }, { "step": [0, 0, 200] } ], "start": { "join": "set-in" } } } }"#;
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    let run = shop.run("batch job.json");
    assert_eq!(run.code(), 2);
    assert!(
        run.err().contains("a set-in end needs the wall of \"head\""),
        "{}",
        run.err()
    );
}

#[test]
fn a_balls_zero_line_is_where_it_was_said_to_be() {
    // By hand: a quarter of the ball's girth from the pole at +z, towards +y and a quarter turn on, is -x. Straight out
    // of the skin the cut is level; anywhere else it leans.
    let report = report_of(
        r#"{ "units": "mm", "stock": { "a": { "size": "24mm x 2mm" } },
        "bodies": { "head": { "shape": "sphere", "size": "200mm x 3mm", "at": [0, 0, 0], "zero": [0, 1, 0] } },
        "tubes": { "p": { "stock": "a", "path": [ { "on": "head", "along": 157.07963267948966, "round": "90deg" },
            { "at": [-300, 0, 0] } ] } } }"#,
    );
    for place in report["ends"][0]["curve"].as_array().expect("a curve") {
        assert!(
            (place[1].as_f64().expect("t") - ((10_000.0_f64 - 100.0).sqrt() - 100.0)).abs() < 1e-9,
            "{place}"
        );
    }
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
fn holes_that_overlap_say_by_what_move_they_do_not_and_flat_ends_are_flat() {
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
    let check = shop.run("batch job.json --check");
    assert_eq!(check.code(), 1);
    let said = check.out();
    // Bores of 36 mm, 30 mm apart; tubes of 40 mm, which have to go 10 mm from each other.
    let words = "the holes for p and q in low, overlap, on low, 230.00 mm along from the near end, on the zero line: \
                 clear when p is moved 10.01 mm over the skin towards the near end";
    assert!(said.contains(words), "{said}");
    let straight = r#""p": { "stock": "a", "path": [ { "at": [900, 0, 0] }, { "at": [900, 0, 300] } ] },
        "q": { "stock": "a", "path": [ { "at": [900, 0, 310] }, { "at": [900, 0, 600] } ] }"#;
    shop.write("job.json", job(straight, "").as_bytes());
    let said = shop.run("batch job.json --check").succeeds().out();
    assert!(!said.contains("CLASH"), "ends 10 mm apart: {said}");
}
