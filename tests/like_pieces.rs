//! Which pieces are made alike, and that what is equal is printed alike.

mod support;

use serde_json::Value;
use support::{Pdf, Shop};

/// The cut list of a job: quantity and what each end is, row by row.
fn rows(shop: &Shop, job: &str) -> Vec<(u64, [String; 2])> {
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --out job.pdf --report r.json --cut-list cut.csv")
        .succeeds();
    let report = shop.report("r.json");
    let rows = report["job"]["cut_list"].as_array().expect("rows");
    let words = |row: &Value, end: usize| row["ends"][end].as_str().expect("words").to_owned();
    let rows = rows.iter();
    rows.map(|row| {
        (
            row["quantity"].as_u64().expect("a number"),
            [words(row, 0), words(row, 1)],
        )
    })
    .collect()
}

/// Copies turned about an upright drum, each `leg` mm long outside of it.
fn turned(leg: f64, times: usize) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }},
        "bodies": {{ "drum": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 600], "zero": [1, 0, 0] }} }},
        "tubes": {{ "spoke": {{ "stock": "a", "path": [ {{ "on": "drum", "along": 300.005 }}, {{ "step": [{leg}, 0, 0] }} ],
          "repeat": {{ "times": {times}, "turn": {}, "about": "drum" }} }} }} }}"#,
        360 / times
    )
}

#[test]
fn copies_turned_about_a_drum_are_one_kind_whatever_their_length() {
    let shop = Shop::open();
    // At 100.005 mm rounding to hundredths would tell them apart by the last digit of what was computed.
    for leg in [100.0, 100.005, 100.015, 99.995, 57.325] {
        let rows = rows(&shop, &turned(leg, 8));
        assert_eq!(rows.len(), 1, "{leg}: {rows:?}");
        assert_eq!(rows[0].0, 8, "{leg}");
    }
}

#[test]
fn equal_holes_are_printed_at_equal_heights() {
    let shop = Shop::open();
    rows(&shop, &turned(100.005, 8));
    let pdf = Pdf::read(&shop.read("job.pdf"));
    let heights = pdf.words.iter().filter(|words| words.text.starts_with("300.0"));
    let heights: Vec<&str> = heights.map(|words| words.text.as_str()).collect();
    assert!(
        heights.iter().filter(|text| **text == "300.01 mm").count() >= 8,
        "{heights:?}"
    );
    assert!(!heights.contains(&"300.00 mm"), "{heights:?}");
}

#[test]
fn pieces_whose_ends_are_of_another_kind_are_kinds_of_their_own() {
    // A tube parted by a coupling leaves a square end with a sleeve's mark; the same piece on nothing has none.
    let job = r#"{ "units": "mm", "stock": { "a": { "size": "40mm x 2mm" } },
        "bodies": { "floor": { "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0] } },
        "tubes": {
          "hose": { "stock": "a", "path": [ { "on": "floor", "along": 0 }, { "at": [0, 0, 700] } ], "coupling": { "at": 300, "gap": 20, "sleeve": 100 } },
          "post": { "stock": "a", "path": [ { "on": "floor", "along": 300 }, { "at": [300, 0, 290] } ] } } }"#;
    let shop = Shop::open();
    let rows = rows(&shop, job);
    assert_eq!(rows.iter().map(|row| row.0).collect::<Vec<_>>(), [1, 1, 1], "{rows:?}");
    assert!(
        rows[0].1[1].contains("sleeve mark") && !rows[2].1[1].contains("sleeve mark"),
        "{rows:?}"
    );
}

#[test]
fn equal_pieces_on_other_bodies_are_one_kind_that_names_them() {
    let feet: Vec<String> = (0..5)
        .map(|foot| {
            format!(
                r#""foot{foot}": {{ "shape": "plane", "at": [{}, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0], "wide": 200, "high": 200 }}"#,
                400 * foot
            )
        })
        .collect();
    let posts = |count: usize| -> String {
        let posts: Vec<String> = (0..count)
            .map(|foot| {
                format!(
                    r#""post{foot}": {{ "stock": "a", "path": [ {{ "on": "foot{foot}" }}, {{ "step": [50, 0, 300] }} ] }}"#
                )
            })
            .collect();
        format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }}, "bodies": {{ {} }}, "tubes": {{ {} }} }}"#,
            feet.join(", "),
            posts.join(", ")
        )
    };
    let shop = Shop::open();
    for (count, start) in [
        (1, "set-on foot0"),
        (3, "set-on foot0, foot1, foot2"),
        (5, "set-on foot0 and 4 more"),
    ] {
        let rows = rows(&shop, &posts(count));
        assert_eq!(rows, [(count as u64, [start.to_owned(), "square".to_owned()])]);
    }
}

/// All words of a pack in one line.
fn told(job: &str) -> String {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --out p.pdf --cut-list cut.csv").succeeds();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    words.join(" ")
}

/// By hand: the braces lean from the post to either end of the rail, and an end's front is on the acute side, which is where it leans to.
#[test]
fn equal_pieces_are_all_named_each_with_its_own_front() {
    let node =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/templates/node-frame.json")).expect("a starter");
    let words = told(&node);
    assert!(
        words.contains("PIECE 2 left brace, right brace, START, make 2"),
        "{words}"
    );
    let fronts = "left brace: FRONT to the near end; right brace: FRONT to the far end";
    assert!(words.contains(fronts), "{words}");
    // In the cut list too, on the sheet and in the file.
    assert!(words.contains("left brace, right brace 2 "), "{words}");
    let shop = Shop::open();
    shop.write("job.json", node.as_bytes());
    shop.run("batch job.json --out p.pdf --cut-list cut.csv").succeeds();
    let list = String::from_utf8(shop.read("cut.csv")).expect("text");
    assert!(list.contains("\"left brace, right brace\",2"), "{list}");
}

#[test]
fn of_many_equal_pieces_some_are_named_and_copies_by_their_numbers() {
    let words = told(&turned(100.0, 8));
    assert!(words.contains("PIECE 1 spoke 1 to 8, "), "{words}");
    assert!(!words.contains("spoke 1 to 8: FRONT"), "{words}");
    let tube = |name: &str, along: u32| {
        format!(
            r#""{name}": {{ "stock": "a", "path": [ {{ "on": "drum", "along": {along} }}, {{ "step": [100, 0, 40] }} ] }}"#
        )
    };
    let names = ["a", "b", "c", "d", "e"];
    let tubes: Vec<String> = names
        .iter()
        .zip(1..)
        .map(|(name, place)| tube(name, 100 * place))
        .collect();
    let job = format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }},
        "bodies": {{ "drum": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 600], "zero": [1, 0, 0] }} }},
        "tubes": {{ {} }} }}"#,
        tubes.join(", ")
    );
    let words = told(&job);
    assert!(words.contains("PIECE 1 a, b, c and 2 more, "), "{words}");
}
