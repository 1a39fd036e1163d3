//! A number means what its file says, whatever the results are shown in.

mod support;

use serde_json::Value;
use support::{Pdf, Shop};

/// What the mark-out sheet calls the drum.
const MM: &str = "low, 304.80 x 2.54 mm";
const IN: &str = "low, 12.000 x 0.100 in";

/// A riser between two drums, its lengths bare; `scale` is how many millimetres a bare number stands for.
fn job(units: &str, scale: f64) -> String {
    let mm = |length: f64| length / scale;
    format!(
        r#"{{ {units} "sheet": {{ "paper_thickness": {} }},
  "stock": {{ "a": {{ "size": "{} x {}", "stick": {}, "kerf": {} }} }},
  "bodies": {{
    "low": {{ "shape": "cylinder", "size": "{drum} x {}", "from": [0, 0, 0], "to": [0, {}, 0], "zero": [0, 0, 1] }},
    "high": {{ "shape": "cylinder", "size": "{drum}", "from": [0, 0, {}], "to": [0, {}, {}], "zero": [0, 0, -1] }}
  }},
  "tubes": {{ "riser": {{ "stock": "a", "path": [ {{ "on": "low", "along": {}, "round": {} }}, {{ "on": "high", "along": {} }} ] }} }} }}"#,
        mm(0.127),
        mm(50.8),
        mm(2.54),
        mm(3048.0),
        mm(2.54),
        mm(2.54),
        mm(609.6),
        mm(711.2),
        mm(609.6),
        mm(711.2),
        mm(223.52),
        mm(25.4),
        mm(254.0),
        drum = mm(304.8),
    )
}

/// What is counted from the base line, which stands a whole number of the shown units from the cut.
const FROM_BASE: [&str; 4] = ["base_line_t_mm", "from_base_mm", "longest_mm", "shortest_mm"];

/// Numbers of the report, each with its way to it.
fn figures(report: &Value) -> Vec<(String, f64)> {
    fn walk(path: &str, value: &Value, all: &mut Vec<(String, f64)>) {
        match value {
            Value::Number(number) => all.push((path.to_owned(), number.as_f64().expect("a number"))),
            Value::Array(items) => (0..)
                .zip(items)
                .for_each(|(at, item)| walk(&format!("{path}[{at}]"), item, all)),
            Value::Object(keys) => keys
                .iter()
                .filter(|(key, _)| !FROM_BASE.contains(&key.as_str()))
                .for_each(|(key, item)| walk(&format!("{path}.{key}"), item, all)),
            _ => {}
        }
    }
    let mut all = Vec::new();
    for part in ["ends", "holes", "pieces", "job"] {
        walk(part, &report[part], &mut all);
    }
    all
}

#[track_caller]
fn assert_same_figures(one: &Value, other: &Value) {
    let (one, other) = (figures(one), figures(other));
    assert!(one.len() > 1000, "{}", one.len());
    assert_eq!(one.len(), other.len());
    for ((path, a), (_, b)) in one.iter().zip(&other) {
        assert!((a - b).abs() < 1e-6, "{path}: {a} and {b}");
    }
}

#[test]
fn a_job_in_millimetres_keeps_its_geometry_when_it_is_shown_in_inches() {
    let shop = Shop::open();
    shop.write("job.json", job(r#""units": "mm","#, 1.0).as_bytes());
    shop.run("batch job.json --out mm.pdf --report mm.json").succeeds();
    shop.run("batch job.json --units in --out in.pdf --report in.json")
        .succeeds();
    let (own, shown) = (shop.report("mm.json"), shop.report("in.json"));
    assert_same_figures(&own, &shown);
    // The drum's 304.8 mm: 12 in.
    let (own, shown) = (Pdf::read(&shop.read("mm.pdf")), Pdf::read(&shop.read("in.pdf")));
    assert!(own.says(MM) && !own.says(IN));
    assert!(shown.says(IN) && !shown.says(MM));
}

#[test]
fn a_job_in_inches_keeps_its_geometry_when_it_is_shown_in_millimetres() {
    let shop = Shop::open();
    shop.write("mm.json", job(r#""units": "mm","#, 1.0).as_bytes());
    shop.write("in.json", job(r#""units": "in","#, 25.4).as_bytes());
    shop.run("batch mm.json --report own.r.json").succeeds();
    shop.run("batch in.json --units mm --out in.pdf --report shown.r.json")
        .succeeds();
    let shown = shop.report("shown.r.json");
    assert_same_figures(&shop.report("own.r.json"), &shown);
    let sheets = Pdf::read(&shop.read("in.pdf"));
    assert!(sheets.says(MM) && !sheets.says(IN));
}

#[test]
fn bare_numbers_of_a_file_without_units_are_refused_whatever_the_flag_says() {
    let shop = Shop::open();
    shop.write("job.json", job("", 1.0).as_bytes());
    for flag in ["", "--units mm", "--units in"] {
        let run = shop.run(&format!("batch job.json {flag}"));
        let said = run.err();
        assert_eq!(run.code(), 2, "{flag}: {said}");
        for part in [
            "the job file doesn't say what its bare numbers are in",
            "job.json:2:29  stock.a.size",
            "\"50.8 x 2.54\" has no unit, nor have 20 more",
            "add \"units\": \"mm\" or \"units\": \"in\" to the job file",
        ] {
            assert!(said.contains(part), "{flag}: {part} is not in {said}");
        }
        // What only follows from it is no problem of its own.
        assert_eq!(said.matches("error:").count(), 1, "{said}");
    }
    assert_eq!(shop.files(), ["job.json"]);
}

#[test]
fn a_file_whose_lengths_all_have_units_needs_none_and_is_shown_as_asked() {
    let shop = Shop::open();
    let text = r#"{ "stock": { "a": { "size": "48.3mm x 2mm" } },
        "tubes": { "post": { "stock": "a", "path": [ { "at": ["0mm", "0mm", "0mm"] }, { "at": ["0mm", "0mm", "1ft"] } ] } } }"#;
    shop.write("job.json", text.as_bytes());
    for (flag, shown) in [
        ("", "0.30 m of tube"),
        ("--units mm", "0.30 m of tube"),
        ("--units in", "1.0 ft of tube"),
    ] {
        let run = shop.run(&format!("batch job.json {flag} --report r.json")).succeeds();
        assert!(run.out().contains(shown), "{}", run.out());
        let report = shop.report("r.json");
        let length = report["job"]["cut_list"][0]["length_mm"].as_f64().expect("mm");
        assert!((length - 304.8).abs() < 1e-9, "{length}");
    }
}

#[test]
fn a_bare_number_in_a_flag_is_in_the_units_of_the_flags_and_not_in_those_of_the_file() {
    let shop = Shop::open();
    shop.write("job.json", job(r#""units": "in","#, 25.4).as_bytes());
    shop.run("batch job.json --units mm --paper 300x400 --paper-thickness 0.2 --report r.json")
        .succeeds();
    let report = shop.report("r.json");
    assert_eq!(report["sheets"]["width_mm"], 300.0);
    let girth = report["ends"][0]["printed_girth_mm"].as_f64().expect("mm");
    assert!((girth - std::f64::consts::PI * 51.0).abs() < 1e-6, "{girth}");
    // Without --units nothing says what a flag's bare number is in.
    for flag in ["--paper 300x400", "--paper-thickness 0.2"] {
        let run = shop.run(&format!("batch job.json {flag}"));
        assert_eq!(run.code(), 2);
        assert!(
            run.err().contains("has no unit") && run.err().contains("--units mm"),
            "{}",
            run.err()
        );
    }
}

#[test]
fn a_size_that_is_hardly_meant_in_its_units_is_asked_about_before_all_else() {
    let shop = Shop::open();
    let notes = |command: &str| {
        let run = shop.run(command);
        let said = format!("{}{}", run.out(), run.err());
        let notes = said
            .lines()
            .filter(|line| line.starts_with("question: ") || line.starts_with("note: "));
        notes.map(str::to_owned).collect::<Vec<_>>()
    };
    let asks = "question: 48.3 in: was 48.3 mm meant?";
    let saddle = |branch: &str, header: &str| {
        notes(&format!(
            "saddle --branch {branch} --header {header} --units in --out a.pdf"
        ))
    };
    let told = saddle("48.3x16ga", "88.9");
    assert!(
        told[0].starts_with("question: 88.9 in: ") || told[0].starts_with(asks),
        "{told:?}"
    );
    let run = shop.run("saddle --branch 48.3x2 --header 88.9 --units in --out b.pdf");
    assert!(run.out().starts_with("question: "), "before all facts: {}", run.out());
    assert!(told.iter().any(|note| note.starts_with(asks)), "{told:?}");
    let sound = saddle("48.3mmx16ga", "36x0.25");
    assert!(sound.iter().all(|note| !note.contains("meant?")), "{sound:?}");
    // A job file's numbers are in its own units, whatever it is shown in.
    let text = job(r#""units": "mm","#, 1.0);
    shop.write("job.json", text.as_bytes());
    assert!(
        notes("batch job.json --check --units in")
            .iter()
            .all(|note| !note.contains("meant?"))
    );
    let inch = r#"{ "units": "in", "stock": { "a": { "size": "48.3 x 2" } },
      "bodies": { "tank": { "shape": "cylinder", "size": "120 x 1", "from": [0, 0, 0], "to": [0, 0, 200] } },
      "tubes": { "t": { "stock": "a", "path": [ { "on": "tank", "along": 100 }, { "on": "tank", "along": 100, "out": 60 } ] } } }"#;
    shop.write("inch.json", inch.as_bytes());
    let told = notes("batch inch.json --check");
    assert!(told[0].starts_with(asks), "{told:?}");
    assert!(told.iter().all(|note| !note.contains("120 in:")), "{told:?}");
}

#[test]
fn every_word_for_a_unit_is_understood_in_a_file_and_on_the_command_line_and_stands_in_the_schema() {
    let shop = Shop::open();
    let schema = girthline::job::schema::schema();
    let listed: Vec<&str> = schema["properties"]["units"]["enum"]
        .as_array()
        .expect("words")
        .iter()
        .filter_map(|word| word.as_str())
        .collect();
    let inches = ["in", "inch", "inches", "\""];
    let mm = ["mm", "millimetre", "millimetres", "millimeter", "millimeters"];
    let mut all: Vec<&str> = inches.into_iter().chain(mm).collect();
    let mut sorted = listed.clone();
    all.sort_unstable();
    sorted.sort_unstable();
    assert_eq!(sorted, all);
    for word in listed.into_iter().chain(["IN", "Inches", "MM", "mm.", "in."]) {
        let in_inches = word.to_lowercase().starts_with('i') || word == "\"";
        let text = job(
            &format!(r#""units": {},"#, serde_json::Value::from(word)),
            if in_inches { 25.4 } else { 1.0 },
        );
        shop.write("job.json", text.as_bytes());
        let said = shop.run("batch job.json --check").succeeds().out();
        assert_eq!(said.contains(" ft of tube"), in_inches, "{word}: {said}");
        assert_eq!(said.contains(" m of tube"), !in_inches, "{word}: {said}");
        let flags = ["ruler", "--units", word, "--out", "ruler.pdf"];
        let written = shop.run_words(&flags).succeeds().out();
        assert_eq!(
            written.contains("as the job is in inches"),
            in_inches,
            "{word}: {written}"
        );
    }
    for word in ["cm", "feet", "i", "m", ""] {
        let run = shop.run_words(&["ruler", "--units", word, "--out", "ruler.pdf"]);
        assert_eq!(run.code(), 2, "{word}");
        assert!(run.err().contains("use in or mm"), "{word}: {}", run.err());
    }
}

#[test]
fn what_may_be_meant_in_the_other_unit_is_asked_before_what_is_wrong() {
    let shop = Shop::open();
    let first_line = |command: &str| {
        let run = shop.run(command);
        assert_eq!(run.code(), 2, "{command}: {}", run.out());
        run.err().lines().next().unwrap_or_default().to_owned()
    };
    let tube_asks = "question: 48.3 in: was 48.3 mm meant?";
    // What is wrong is found when the words are read, when it is solved, and in the size itself.
    for (command, asks) in [
        ("saddle --units in --branch 48.3 --header 60.3mm", tube_asks),
        ("saddle --units in --branch 48.3x2 --header 60.3mm", tube_asks),
        ("saddle --units in --branch 48.3x2 --header 48.3 --offset 40", tube_asks),
        ("facets --units in --branch 48.3x2 --header 60.3mm", tube_asks),
        ("miter --units in --tube 48.3x2 --turn 90 --radius 1", tube_asks),
        (
            "saddle --units in --branch 114.3x3 --header 20",
            "question: 114.3 in: was 114.3 mm meant?",
        ),
        (
            "saddle --units mm --branch 1.9x0.065 --header 1.5",
            "question: 1.9 mm: was 1.9 in meant?",
        ),
    ] {
        assert_eq!(first_line(command), asks, "{command}");
    }
    let doubted = |size: &str, along: f64| {
        format!(
            r#"{{ "units": "in", "stock": {{ "a": {{ "size": "{size}" }} }},
            "bodies": {{ "tank": {{ "shape": "cylinder", "size": "40mm x 1mm", "from": [0, 0, 0], "to": [0, 0, 200] }} }},
            "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "tank", "along": {along} }}, {{ "on": "tank", "along": {along}, "out": 60 }} ] }} }} }}"#
        )
    };
    for (size, along) in [("48.3 x 2", 100.0), ("48.3", 100.0)] {
        shop.write("doubted.json", doubted(size, along).as_bytes());
        assert_eq!(first_line("batch doubted.json --check"), tube_asks, "{size}");
    }
    let misspelt = doubted("48.3 x 2", 100.0).replace("\"out\"", "\"uot\"");
    shop.write("misspelt.json", misspelt.as_bytes());
    let said = shop.run("batch misspelt.json --check").err();
    assert!(said.contains(tube_asks) && said.contains("uot"), "{said}");
    // A sound size is not asked about.
    let sound = shop.run("saddle --units in --branch 1.9 --header 4 --angle 60").err();
    assert!(!sound.contains("question:"), "{sound}");
}

#[test]
fn lengths_that_fit_only_in_the_other_unit_are_asked_about() {
    let shop = Shop::open();
    let questions = |stock: &str, holes: &str, along: &str| {
        let job = format!(
            r#"{{ "units": "in", "stock": {{ "a": {{ "size": "0.84in x 0.109in"{stock} }} }},
            "bodies": {{ "tank": {{ "shape": "cylinder", "size": "22-1/2in x 18ga", "from": [0, 0, 0], "to": [0, 0, 34.5]{holes} }} }},
            "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "tank", "along": {along} }}, {{ "on": "tank", "along": {along}, "out": 6 }} ] }} }} }}"#
        );
        shop.write("job.json", job.as_bytes());
        let run = shop.run("batch job.json --check");
        assert_eq!(run.code(), 2, "{job}");
        let said = run.err();
        let asked = said.lines().filter_map(|line| line.strip_prefix("question: "));
        asked.map(str::to_owned).collect::<Vec<String>>()
    };
    assert_eq!(
        questions(r#", "stick": 6000, "kerf": 3"#, "", "12"),
        ["6000 in: was 6000 mm meant?", "3 in: was 3 mm meant?"]
    );
    let hole = r#", "holes": [ { "name": "bung", "along": 380, "across": 2 } ]"#;
    assert_eq!(questions("", hole, "12"), ["380 in: was 380 mm meant?"]);
    assert_eq!(questions("", "", "350"), ["350 in: was 350 mm meant?"]);
    // Wrong in either unit, or told with its unit.
    assert_eq!(questions("", "", "\"350in\""), [""; 0]);
    assert_eq!(questions("", "", "1200"), [""; 0]);
    assert_eq!(questions(r#", "kerf": 30"#, "", "12"), [""; 0]);
}
