//! The page over real HTTP: every address, the same figures and bytes as the command line's, problems at their gaps.

mod served;
mod support;

use serde_json::Value;
use served::Page;
use support::Shop;

/// Joints as a query, and as words of the command line.
const JOINTS: [(&str, &str, &str); 5] = [
    (
        "saddle",
        "branch=fence+1-7%2F8+x+0.065in&header=girth+71in&angle=60&paper=letter",
        "--branch fence_1-7/8_x_0.065in --header girth_71in --angle 60 --paper letter",
    ),
    (
        "saddle",
        "branch=rect+60mm+x+40mm+x+3mm&header=300mm+x+3mm&angle=70&turned=20&join=set-in&clearance=1mm&units=in&label=R%26D",
        "--branch rect_60mm_x_40mm_x_3mm --header 300mm_x_3mm --angle 70 --turned 20 --join set-in --clearance 1mm --units in --label R&D",
    ),
    (
        "miter",
        "tube=NPS+2+sch+40&turn=90&pieces=4&radius=9in&stations=12&ruler-reads=149.3%2C150.2",
        "--tube NPS_2_sch_40 --turn 90 --pieces 4 --radius 9in --stations 12 --ruler-reads 149.3,150.2",
    ),
    (
        "facets",
        "branch=48.3mm+x+2mm&header=48.3mm",
        "--branch 48.3mm_x_2mm --header 48.3mm",
    ),
    (
        "facets",
        "branch=fence+1-7%2F8+x+0.065in&header=fence+2-3%2F8&angle=75&scribe=1%2F4od&saw-front=40&saw-back=30&seam=90",
        "--branch fence_1-7/8_x_0.065in --header fence_2-3/8 --angle 75 --scribe 1/4od --saw-front 40 --saw-back 30 --seam 90",
    ),
];

#[test]
fn files_are_those_of_the_command_byte_for_byte() {
    let (page, shop) = (Page::open(), Shop::open());
    for (command, query, words) in JOINTS {
        let flags = "--out s.pdf --svg s.svg --dxf s.dxf --report s.json";
        assert_eq!(shop.run(&format!("{command} {words} {flags}")).code(), 0, "{words}");
        for (kind, name, media) in [
            ("pdf", "s.pdf", "application/pdf"),
            ("svg", "s.svg", "image/svg+xml"),
            ("dxf", "s.dxf", "image/vnd.dxf"),
            ("report", "s.json", "application/json"),
        ] {
            let answer = page.get(&format!("/{command}/{kind}?{query}"));
            assert_eq!(answer.status, 200, "{command} {kind}: {}", answer.text());
            assert_eq!(answer.header("content-type"), Some(media));
            assert!(answer.body == shop.read(name), "{command} {kind} of {query} differs");
            let called = answer.header("content-disposition").expect("a name").to_owned();
            assert!(called.contains(&format!("filename=\"{command}-")), "{called}");
        }
    }
    shop.run("ruler --paper letter --out r.pdf");
    assert!(page.get("/ruler/pdf?paper=letter").body == shop.read("r.pdf"));
}

#[test]
fn what_is_shown_is_what_the_command_says_of_the_same_words() {
    let (page, shop) = (Page::open(), Shop::open());
    for (command, query, words) in JOINTS {
        let said = shop
            .run(&format!("{command} {words} --out s.pdf --report s.json"))
            .out();
        let report = shop.report("s.json");
        let answer = page.get(&format!("/{command}/answer?{query}")).json();
        assert_eq!(answer["title"], report["title"], "{query}");
        assert_eq!(answer["notes"], report["warnings"], "{query}");
        assert_eq!(answer["problems"], Value::Array(Vec::new()));
        for fact in answer["facts"].as_array().expect("facts") {
            let (name, words) = (text(&fact["name"]), text(&fact["words"]));
            assert!(said.contains(&format!("{name:<15}{words}")), "{name}: {words}");
        }
        assert!(text(&answer["picture"]).starts_with("<svg "));
        let drawings = answer["drawings"].as_array().expect("drawings");
        assert!(drawings.iter().all(|drawn| text(&drawn["svg"]).starts_with("<svg ")) && !drawings.is_empty());
        let screen = page.get(&format!("/{command}?{query}")).text();
        assert!(screen.matches("<svg ").count() >= drawings.len(), "{query}");
    }
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("no words: {value}"))
}

#[test]
fn the_picture_is_turned_and_no_eye_that_is_none_breaks_it() {
    let page = Page::open();
    for (command, query, _) in [JOINTS[0], JOINTS[2], JOINTS[4]] {
        let seen = |eye: &str| page.get(&format!("/{command}/picture?{query}&eye={eye}"));
        let (one, other) = (seen("30,25"), seen("80,-40"));
        assert!(one.status == 200 && other.status == 200 && one.body != other.body);
        assert_eq!(one.header("content-type"), Some("image/svg+xml"));
        let usual = text(&page.get(&format!("/{command}/answer?{query}")).json()["picture"]).to_owned();
        for eye in ["", "NaN,0", "0,inf", "x", "1", "1e400,2"] {
            assert_eq!(seen(eye).text(), usual, "{eye}");
        }
        let turned = page.get(&format!("/{command}/answer?{query}&eye=80,-40")).json();
        assert_eq!(text(&turned["picture"]), other.text());
    }
    assert_eq!(page.get("/saddle/picture?branch=x").status, 204);
}

#[test]
fn the_command_that_is_shown_makes_the_same_sheet() {
    let (page, shop) = (Page::open(), Shop::open());
    for (command, query, _) in JOINTS {
        let answer = page.get(&format!("/{command}/answer?{query}")).json();
        let line = text(&answer["command"]).to_owned();
        let program = env!("CARGO_BIN_EXE_girthline");
        let line = line.replacen("girthline", &format!("'{program}'"), 1) + " --out again.pdf";
        let ran = std::process::Command::new("sh")
            .args(["-c", &line])
            .current_dir(shop.path(""))
            .output();
        assert!(ran.expect("a shell").status.success(), "{line}");
        let pdf = page.get(&format!("/{command}/pdf?{}", text(&answer["query"])));
        assert!(pdf.body == shop.read("again.pdf"), "{line}");
    }
}

/// Wrong words, the gaps that they stand at, and a part of what is said.
const WRONG: [(&str, &str, &[&str], &str); 12] = [
    ("saddle", "branch=48%2C3mm+x+2mm&header=300mm", &["branch"], "comma"),
    (
        "saddle",
        "branch=48.3mm+x+2mm",
        &["header"],
        "nothing is given for the header",
    ),
    ("saddle", "branch=48.3mm&header=300mm", &["branch"], "the outside touch"),
    (
        "saddle",
        "branch=400mm+x+2mm&header=300mm",
        &["branch", "header"],
        "wider",
    ),
    (
        "saddle",
        "branch=48.3mm+x+2mm&header=300mm&offset=5",
        &["offset"],
        "no unit",
    ),
    (
        "saddle",
        "branch=48.3mm+x+2mm&header=300mm&clearance=1mm",
        &["clearance"],
        "passes through",
    ),
    (
        "saddle",
        "branch=48.3mm+x+2mm&header=300mm&ruler-reads=120",
        &["ruler-reads"],
        "read twice",
    ),
    ("saddle", "branch=NPS+1-7%2F8&header=300mm", &["branch"], "nearest"),
    (
        "saddle",
        "branch=48.3mm+x+2mm&header=300mm&units=furlong",
        &["units"],
        "unit",
    ),
    ("miter", "tube=NPS+2+sch+40&turn=190", &["turn"], "180"),
    (
        "facets",
        "branch=48.3mm+x+2mm&header=48.3mm&saw=40&saw-back=30",
        &["saw", "saw-back"],
        "both sides",
    ),
    (
        "facets",
        "branch=square+50mm+x+3mm&header=90mm",
        &["branch"],
        "round tube only",
    ),
];

#[test]
fn a_problem_stands_at_its_gaps_in_the_commands_words_without_a_flag() {
    let page = Page::open();
    for (command, query, at, part) in WRONG {
        let answer = page.get(&format!("/{command}/answer?{query}"));
        assert_eq!(answer.status, 200);
        let answer = answer.json();
        let problem = &answer["problems"][0];
        assert_eq!(problem["at"], Value::from(at.to_vec()), "{query}: {problem}");
        let words = problem.to_string();
        assert!(words.contains(part), "{query}: {words}");
        assert!(!words.contains("--") && !words.contains("girthline"), "{words}");
        assert!(!text(&problem["help"]).is_empty(), "{words}");
        assert_eq!(answer["title"], Value::Null);
        // Without the script: the form again, with what was typed, the problem, and no PDF.
        let form = page.get(&format!("/{command}/pdf?{query}"));
        assert_eq!(form.status, 422);
        let form = form.text();
        let said = text(&problem["what"]).replace('&', "&amp;").replace('"', "&quot;");
        assert!(
            form.contains(&format!("id=\"{}-wrong\"", at[0])) && form.contains(&said),
            "{form}"
        );
    }
}

#[test]
fn the_same_words_are_refused_by_the_command_too() {
    let (page, shop) = (Page::open(), Shop::open());
    let query = "branch=400mm+x+2mm&header=300mm";
    let run = shop.run("saddle --branch 400mm_x_2mm --header 300mm");
    let problem = &page.get(&format!("/saddle/answer?{query}")).json()["problems"][0];
    for part in ["what", "figures", "help"] {
        assert!(run.err().contains(text(&problem[part])), "{part} in {}", run.err());
    }
}

#[test]
fn what_was_typed_is_kept_and_never_read_as_html() {
    let page = Page::open();
    let nasty = "%22%3E%3Cscript%3Ealert(1)%3C%2Fscript%3E";
    for address in [
        format!("/saddle?branch={nasty}"),
        format!("/saddle?branch=48.3mm+x+2mm&header=300mm&label={nasty}"),
        format!("/ruler?paper={nasty}"),
        format!("/{nasty}"),
    ] {
        let html = page.get(&address).text();
        assert!(!html.contains("<script>alert"), "{address}: {html}");
    }
    let html = page.get(&format!("/saddle?branch={nasty}")).text();
    assert!(
        html.contains("value=\"&quot;&gt;&lt;script&gt;alert(1)&lt;/script&gt;\""),
        "{html}"
    );
}

#[test]
fn every_screen_is_there_with_all_that_it_loads() {
    let page = Page::open();
    let mut loaded = std::collections::BTreeSet::new();
    for address in ["/", "/saddle", "/miter", "/facets", "/trial", "/ruler"] {
        let answer = page.get(address);
        assert_eq!(answer.status, 200, "{address}");
        assert!(
            answer
                .header("content-type")
                .is_some_and(|kind| kind.starts_with("text/html"))
        );
        let html = answer.text();
        assert!(html.contains("<label for=") || address == "/", "{address}");
        let assets = html
            .split("\"/assets/")
            .skip(1)
            .filter_map(|rest| rest.split('"').next());
        loaded.extend(assets.map(str::to_owned));
        assert!(
            !html.contains("style=") && !html.contains("onclick"),
            "{address} has what the policy forbids"
        );
    }
    while let Some(name) = loaded.pop_first() {
        let asset = page.get(&format!("/assets/{name}"));
        assert_eq!(asset.status, 200, "{name}");
        let imports = asset.text();
        let imports = imports
            .split("from \"./")
            .skip(1)
            .filter_map(|rest| rest.split('"').next());
        imports.for_each(|name| assert_eq!(page.get(&format!("/assets/{name}")).status, 200, "{name}"));
    }
    for address in [
        "/nothing",
        "/assets/nothing",
        "/assets/..%2Fmod.rs",
        "/saddle/exe",
        "/saddle/pdf/x",
    ] {
        assert_eq!(page.get(address).status, 404, "{address}");
    }
}

/// The report's figures are not rounded; the page's are, to a hundredth.
#[test]
fn the_ordinates_are_the_reports_and_the_sliders_stand_where_it_was_asked() {
    let (page, shop) = (Page::open(), Shop::open());
    for (command, query, words) in [JOINTS[0], JOINTS[4]] {
        shop.run(&format!("{command} {words} --units mm --out s.pdf --report s.json"));
        let report = shop.report("s.json");
        let answer = page.get(&format!("/{command}/answer?{query}&units=mm")).json();
        let rows = answer["tables"][0]["rows"].as_array().expect("rows").clone();
        let ordinates = report["ends"][0]["ordinates"].as_array().expect("ordinates").clone();
        assert_eq!(rows.len(), ordinates.len(), "{query}");
        for (row, ordinate) in rows.iter().zip(&ordinates) {
            for (cell, name) in [(2, "girth_mm"), (3, "from_base_mm")] {
                let shown: f64 = text(&row[cell]).parse().expect("a number");
                let told = ordinate[name].as_f64().expect("a number");
                assert!((shown - told).abs() <= 0.0051, "{name}: {shown} and {told}");
            }
        }
        assert_eq!(answer["tables"].as_array().map(Vec::len), Some(1), "{query}");
    }
    let (command, query, _) = JOINTS[4];
    let sliders = page.get(&format!("/{command}/answer?{query}")).json()["sliders"].clone();
    let now = |name: &str| {
        let mut all = sliders.as_array().expect("sliders").iter();
        all.find(|slider| slider["name"] == name)
            .and_then(|slider| slider["now"].as_f64())
    };
    assert_eq!((now("saw-front"), now("saw-back")), (Some(40.0), Some(30.0)));
    assert!(
        now("scribe").is_some_and(|share| (share - 0.25).abs() < 1e-9),
        "{sliders}"
    );
}
