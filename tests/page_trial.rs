//! The trial fit on the page over real HTTP: gaps typed round the end are those of the command line, with its figures, bytes and
//! messages, each at the field that it is about.

mod served;
mod support;

use serde_json::Value;
use served::Page;
use support::Shop;

const JOINT: &str = "branch=48.3mm+x+2mm&header=88.9mm&angle=60";
const WORDS: &str = "--branch 48.3mm_x_2mm --header 88.9mm --angle 60";

/// Gaps by the fields round the end, in the line of an address, and on the command line.
const GAPS: [[&str; 3]; 5] = [
    [
        "front=0&front-right=0.3&right=1.2&back-right=2.1&back=2.6&back-left=2.0&left=1.1&front-left=0.3",
        "gaps=0,0.3,1.2,2.1,2.6,2.0,1.1,0.3",
        "0,0.3,1.2,2.1,2.6,2.0,1.1,0.3",
    ],
    [
        "front=0&right=1.5&left=1%2F32in&gaps=22.5deg+0.4&read-within=0.1mm&gap=0.5",
        "gaps=front+0,22.5deg+0.4,right+1.5,left+1%2F32in&read-within=0.1mm&gap=0.5",
        "front_0,22.5deg_0.4,right_1.5,left_1/32in --read-within 0.1mm --gap 0.5",
    ],
    [
        "gaps=0,0.5,1.1,1.7,1.0,0.4&label=R%26D",
        "gaps=0,0.5,1.1,1.7,1.0,0.4&label=R%26D",
        "0,0.5,1.1,1.7,1.0,0.4 --label R&D",
    ],
    // Nothing explains it.
    [
        "front=0&front-right=0&right=0.12&back-right=0&back=0.004&back-left=0&left=0&front-left=0&units=in",
        "gaps=0,0,0.12,0,0.004,0,0,0&units=in",
        "0,0,0.12,0,0.004,0,0,0 --units in",
    ],
    // Sawn flat.
    [
        "front=0.2&front-right=0&right=2.1&back-right=1.2&back=0.9&back-left=1.2&left=2.4&front-left=0.1&scribe=1%2F3od&saw-front=55&saw-back=30",
        "gaps=0.2,0,2.1,1.2,0.9,1.2,2.4,0.1&scribe=1%2F3od&saw-front=55&saw-back=30",
        "0.2,0,2.1,1.2,0.9,1.2,2.4,0.1 --scribe 1/3od --saw-front 55 --saw-back 30",
    ],
];

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("no words: {value}"))
}

#[test]
fn files_and_words_are_those_of_the_command_however_the_gaps_are_typed() {
    let (page, shop) = (Page::open(), Shop::open());
    for [fields, line, words] in &GAPS {
        let run = shop.run(&format!(
            "trial {WORDS} --gaps {words} --out s.pdf --svg s.svg --dxf s.dxf --report s.json"
        ));
        let said = run.succeeds().out();
        let report = shop.report("s.json");
        for query in [fields, line].map(|gaps| format!("{JOINT}&{gaps}")) {
            for (kind, name) in [
                ("pdf", "s.pdf"),
                ("svg", "s.svg"),
                ("dxf", "s.dxf"),
                ("report", "s.json"),
            ] {
                let file = page.get(&format!("/trial/{kind}?{query}"));
                assert_eq!(file.status, 200, "{query}: {}", file.text());
                assert!(file.body == shop.read(name), "{kind} of {query} differs");
            }
            let answer = page.get(&format!("/trial/answer?{query}")).json();
            assert_eq!(answer["title"], report["title"], "{query}");
            assert_eq!(answer["notes"], report["warnings"], "{query}");
            assert_eq!(answer["problems"], Value::Array(Vec::new()));
            for fact in answer["facts"].as_array().expect("facts") {
                let (name, words) = (text(&fact["name"]), text(&fact["words"]));
                assert!(said.contains(&format!("{name:<15}{words}")), "{name}: {words}");
            }
            let names: Vec<&str> = answer["drawings"]
                .as_array()
                .expect("drawings")
                .iter()
                .map(|drawn| text(&drawn["name"]))
                .collect();
            assert!(names.contains(&"Gap round the girth"), "{names:?}");
            let strip = report["trial"]["moves_in_mm"].as_f64() > Some(0.0);
            assert_eq!(
                names
                    .iter()
                    .any(|name| name.contains("GRINDING STRIP") || *name == "grinding strip"),
                strip,
                "{names:?}"
            );
            assert!(text(&answer["end"]).starts_with("<svg "));
            // All of it in one line of the address, which brings it back.
            let whole = text(&answer["query"]).to_owned();
            assert!(whole.contains("gaps=") && !whole.contains("&front="), "{whole}");
            assert!(page.get(&format!("/trial/pdf?{whole}")).body == shop.read("s.pdf"));
        }
    }
}

/// What is shown of each figure is the report's, rounded.
#[test]
fn the_tables_are_the_reports() {
    let (page, shop) = (Page::open(), Shop::open());
    let [fields, _, words] = GAPS[0];
    shop.run(&format!("trial {WORDS} --gaps {words} --out s.pdf --report s.json"))
        .succeeds();
    let report = &shop.report("s.json")["trial"];
    let answer = page.get(&format!("/trial/answer?{JOINT}&{fields}")).json();
    let near = |cell: &Value, told: f64| {
        let shown: f64 = text(cell).parse().expect("a number");
        assert!((shown - told).abs() <= 0.0051, "{shown} for {told}");
    };
    let number = |value: &Value| value.as_f64().expect("a number");
    let rows = |table: usize| answer["tables"][table]["rows"].as_array().expect("rows").clone();
    let edge = report["new_edge"].as_array().expect("stations");
    assert_eq!(rows(0).len(), edge.len());
    let mut comes_off = 0;
    for (row, station) in rows(0).iter().zip(edge) {
        near(&row[3], number(&station["from_base_mm"]));
        let degree = number(&station["azimuth_deg"]);
        let depth = |degree: f64| number(&report["grind"][degree as usize % 360][1]);
        let depth = 0.5 * (depth(degree.floor()) + depth(degree.ceil()));
        let shown: f64 = text(&row[4]).parse().expect("a number");
        assert!((shown - depth).abs() < 0.02, "{shown} for {depth} at {degree}");
        comes_off += usize::from(depth > 0.1);
    }
    assert!(comes_off > 3, "{comes_off}");
    let read = report["readings"].as_array().expect("readings");
    assert_eq!(rows(1).len(), read.len());
    for (row, reading) in rows(1).iter().zip(read) {
        near(&row[2], number(&reading["gap_mm"]));
        near(&row[3], number(&reading["explained_mm"]));
    }
}

#[test]
fn the_command_that_is_shown_makes_the_same_strip() {
    let (page, shop) = (Page::open(), Shop::open());
    for [fields, _, _] in GAPS {
        let answer = page.get(&format!("/trial/answer?{JOINT}&{fields}")).json();
        let line = text(&answer["command"]).to_owned();
        let program = env!("CARGO_BIN_EXE_girthline");
        let line = line.replacen("girthline", &format!("'{program}'"), 1) + " --out again.pdf";
        let ran = std::process::Command::new("sh")
            .args(["-c", &line])
            .current_dir(shop.path(""))
            .output();
        assert!(ran.expect("a shell").status.success(), "{line}");
        let pdf = page.get(&format!("/trial/pdf?{}", text(&answer["query"])));
        assert!(pdf.body == shop.read("again.pdf"), "{line}");
    }
}

/// Wrong gaps, the fields that they stand at, and what is said.
const WRONG: [(&str, &[&str], &str); 14] = [
    ("", &["gaps"], "too few gaps were read"),
    ("front=0&right=1&back=2", &["gaps"], "there are 3"),
    ("front=0&right=1&back=x&left=1", &["back"], "is not a length"),
    ("front=0&right=0,4&back=1&left=1", &["right"], "comma"),
    ("front=0&right=-1&back=1&left=1", &["right"], "-1.00 mm at right"),
    ("front=0.3&right=1&back=1&left=1", &["gaps"], "touches nowhere"),
    (
        "front=0&right=1&back=1&left=25",
        &["left"],
        "25.00 mm at left, of a radius of 24.15 mm",
    ),
    (
        "front=0&right=1&back=1&left=1&gaps=90deg+2",
        &["right", "gaps"],
        "given twice",
    ),
    ("gaps=right+0,left+1,back+1,right+2", &["right", "gaps"], "given twice"),
    ("gaps=22.5deg+0,22.5deg+1,back+1,left+1", &["gaps"], "given twice"),
    ("front=0&right=1&back=1&gaps=2", &["gaps"], "some readings say where"),
    (
        "front=0&right=1&back=1&left=1&read-within=9mm",
        &["read-within"],
        "accuracy",
    ),
    (
        "front=0&right=1&back=1&left=1&saw=45&offset=2mm",
        &["offset", "saw"],
        "centre lines meet",
    ),
    ("front=0&right=1&back=1&left=1&round=1mm", &["round"], "sawn flat"),
];

#[test]
fn a_wrong_gap_is_told_at_its_field_in_the_words_of_the_command() {
    let (page, shop) = (Page::open(), Shop::open());
    for (gaps, at, part) in WRONG {
        let answer = page.get(&format!("/trial/answer?{JOINT}&{gaps}")).json();
        let problem = &answer["problems"][0];
        assert_eq!(problem["at"], Value::from(at.to_vec()), "{gaps}: {problem}");
        let words = problem.to_string();
        assert!(words.contains(part) && !words.contains("--"), "{gaps}: {words}");
        assert!(!text(&problem["help"]).is_empty(), "{words}");
        assert_eq!(answer["title"], Value::Null);
        // Without the script: the form again with what was typed, and no PDF.
        let form = page.get(&format!("/trial/pdf?{JOINT}&{gaps}"));
        assert_eq!(form.status, 422);
        let form = form.text();
        let said = text(&problem["what"]).replace('&', "&amp;").replace('"', "&quot;");
        let place = form
            .split(&format!("id=\"{}-wrong\"", at[0]))
            .nth(1)
            .expect("its place");
        let place = place.split("</span></span>").next().unwrap_or_default();
        assert!(place.contains(&said), "{gaps}: {place}");
    }
    for (list, gaps) in [
        ("front 0,right -1,back 1,left 1", WRONG[4].0),
        ("front 0.3,right 1,back 1,left 1", WRONG[5].0),
        ("front 0,right 1,back x,left 1", WRONG[2].0),
    ] {
        let mut words: Vec<&str> = vec!["trial", "--branch", "48.3mm x 2mm", "--header", "88.9mm", "--gaps"];
        words.push(list);
        let run = shop.run_words(&words);
        let problem = &page.get(&format!("/trial/answer?{JOINT}&{gaps}")).json()["problems"][0];
        assert!(run.err().contains(text(&problem["what"])), "{problem} in {}", run.err());
        let figures = problem["figures"].as_str().unwrap_or_default();
        assert!(run.err().contains(figures), "{figures} in {}", run.err());
    }
}

#[test]
fn the_screen_has_a_labelled_field_for_every_gap_with_what_the_address_says() {
    let page = Page::open();
    let html = page.get(&format!("/trial?{JOINT}&{}&gap=0.7", GAPS[0][1])).text();
    for (name, value) in [
        ("front", "0"),
        ("front-right", "0.3"),
        ("back", "2.6"),
        ("front-left", "0.3"),
        ("gap", "0.7"),
    ] {
        assert!(html.contains(&format!("<label for=\"{name}\">")), "{name}");
        assert!(
            html.contains(&format!("id=\"{name}\" name=\"{name}\" value=\"{value}\"")),
            "{name}: {value}"
        );
    }
    assert!(html.contains("id=\"gaps\" name=\"gaps\" value=\"\""), "{html}");
    // What is explained stands there without the script.
    assert!(html.contains("it leans 2.1°") && html.contains("to grind, "), "{html}");
    assert!(html.contains("action=\"/trial\"") && html.contains("formaction=\"/trial/pdf\""));
    let home = page.get("/").text();
    let link = home.split("href=\"/trial\"").nth(2).expect("a choice among all");
    assert!(
        link.split("</a>").next().unwrap_or_default().contains("<svg "),
        "no drawing"
    );
}
