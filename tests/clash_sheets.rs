//! What can't be built, and the cautions, are on the sheets whatever is left out of them.

mod support;

use kurbo::Affine;
use support::{Pdf, Shop, Words};

/// Two tubes whose holes overlap, and one far from both.
const JOB: &str = r#"{ "units": "mm", "stock": { "a": { "size": "48mm x 2mm" } },
  "bodies": { "drum": { "shape": "cylinder", "size": "400mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 800], "zero": [1, 0, 0] },
              "far": { "shape": "cylinder", "size": "300mm x 2mm", "from": [900, 0, 0], "to": [900, 0, 800], "zero": [1, 0, 0] } },
  "tubes": {
    "one": { "stock": "a", "path": [ { "on": "drum", "along": 300, "round": 0 }, { "step": [200, 0, 0] } ] },
    "two": { "stock": "a", "path": [ { "on": "drum", "along": 330, "round": 0 }, { "step": [200, 0, 60] } ] },
    "alone": { "stock": "a", "path": [ { "on": "far", "along": 600, "round": 0 }, { "step": [200, 0, 30] } ] } } }"#;

fn pack(flags: &str) -> Pdf {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    let run = shop.run(&format!("batch job.json --out p.pdf {flags}"));
    assert!(run.code() < 2, "{}", run.err());
    Pdf::read(&shop.read("p.pdf"))
}

/// Whether the line under a title, which may take several lines, tells a clash in bold; patterns may be turned.
fn tells_a_clash(pdf: &Pdf, title: &str) -> bool {
    let titled = |words: &&Words| words.bold && words.text.starts_with(title);
    let title = pdf.words.iter().find(titled).unwrap_or_else(|| panic!("{title}"));
    pdf.words.iter().any(|words| {
        let by = Affine::rotate(-title.turn.to_radians()) * (words.at - title.at).to_point();
        let is_under = words.page == title.page && by.x.abs() < 0.1 && (1.0..14.0).contains(&-by.y);
        is_under && words.bold && words.text.starts_with("CLASH: ") && words.size_pt >= 8.99
    })
}

#[test]
fn without_the_cover_clashes_cautions_and_the_scale_are_on_the_first_sheet() {
    for flags in ["--without cover", "--without cover,tables,holes"] {
        let pdf = pack(flags);
        let first = |start: &str| {
            let starts = |words: &&Words| words.page == 0 && words.text.starts_with(start);
            pdf.words.iter().find(starts).unwrap_or_else(|| panic!("{start}"))
        };
        let clash = first("CLASH: the holes for one and two in drum, overlap,");
        assert!(clash.bold && clash.size_pt > 10.0);
        assert!(!first("CAUTION. Never cut or weld a used drum").bold);
        assert!(first("1 Print at 100 %").text.contains("actual size"));
        assert!(!pdf.says("Cut list"), "the cover is left out");
    }
    let shop = Shop::open();
    shop.run("saddle --branch 48.3mm_x_2mm --header 60.3mm --angle 60 --without cover --out s.pdf")
        .succeeds();
    let pdf = Pdf::read(&shop.read("s.pdf"));
    let says = |words: &str| pdf.words.iter().any(|line| line.page == 0 && line.text.contains(words));
    assert!(says("CAUTION. ") && says("actual size"));
}

#[test]
fn the_sheets_of_what_clashes_say_so() {
    let pdf = pack("");
    for title in [
        "HOLE in drum for one",
        "HOLE in drum for two",
        "PIECE 1 one",
        "PIECE 2 two",
        "MARK-OUT: drum",
    ] {
        assert!(tells_a_clash(&pdf, title), "{title}");
    }
    // Nothing is left between the two: its table doesn't call that metal.
    let page = pdf
        .words
        .iter()
        .find(|words| words.text.starts_with("MARK-OUT: drum"))
        .expect("a sheet")
        .page;
    let cells = |start: &str| {
        pdf.words
            .iter()
            .filter(|words| words.page == page && words.text.starts_with(start))
            .count()
    };
    assert_eq!((cells("overlap by 1"), cells("-1")), (2, 0));
    for title in ["HOLE in far for alone", "PIECE 3 alone", "MARK-OUT: far"] {
        assert!(!tells_a_clash(&pdf, title), "{title}");
    }
}

#[test]
fn the_sheets_of_a_head_say_what_their_tubes_clash_with() {
    let shop = Shop::open();
    let job = r#"{ "units": "mm", "stock": { "a": { "size": "48mm x 2mm" } },
  "bodies": { "end": { "shape": "head", "size": "600mm x 6mm", "at": [0, 0, 0], "out": [0, 0, 1], "dish": "DIN 28011" } },
  "tubes": {
    "one": { "stock": "a", "path": [ { "on": "end", "along": 100, "round": 0 }, { "step": [0, 0, 200] } ] },
    "bar": { "stock": "a", "path": [ { "at": [-300, 0, 200] }, { "at": [300, 0, 200] } ], "start": { "join": "square" }, "end": { "join": "square" } },
    "alone": { "stock": "a", "path": [ { "on": "end", "along": 200, "round": "90deg" }, { "step": [0, 0, 60] } ] } } }"#;
    shop.write("job.json", job.as_bytes());
    let run = shop.run("batch job.json --out p.pdf");
    assert!(run.code() < 2, "{}", run.err());
    let pdf = Pdf::read(&shop.read("p.pdf"));
    assert!(tells_a_clash(&pdf, "MARK-OUT: end") && tells_a_clash(&pdf, "HOLE in end for one"));
    assert!(!tells_a_clash(&pdf, "HOLE in end for alone"));
}

#[test]
fn the_caution_about_bottles_is_where_something_has_a_dished_head() {
    let caution = "CAUTION. Gas stays in an empty bottle";
    assert!(!pack("").says(caution));
    let shop = Shop::open();
    let bottle = concat!(env!("CARGO_MANIFEST_DIR"), "/templates/used-bottle.json");
    std::fs::copy(bottle, shop.path("bottle.json")).expect("a starter");
    for flags in ["", "--without cover"] {
        shop.run(&format!("batch bottle.json --out b.pdf {flags}")).succeeds();
        let pdf = Pdf::read(&shop.read("b.pdf"));
        let first = |start: &str| {
            pdf.words
                .iter()
                .any(|words| words.page == 0 && words.text.starts_with(start))
        };
        assert!(
            first(caution) && first("CAUTION. Never cut or weld a used drum"),
            "{flags}"
        );
        let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
        assert!(words.join(" ").contains("never holds pressure again"), "{flags}");
    }
}

/// A drum with so many old holes in the way of one tube.
fn with_clashes(count: usize) -> String {
    let holes: Vec<String> = (0..count)
        .map(|hole| {
            let along = 340 + 12 * hole;
            format!(r#"{{ "name": "old hole {hole}", "along": {along}, "round": "{hole}deg", "across": 40 }}"#)
        })
        .collect();
    format!(
        r#"{{ "title": "In the way", "units": "mm", "stock": {{ "a": {{ "size": "60mm x 2mm" }} }},
  "bodies": {{ "drum": {{ "shape": "cylinder", "size": "570mm x 1.2mm", "from": [0, 0, 0], "to": [0, 0, 880], "zero": [1, 0, 0],
    "holes": [{}] }} }},
  "tubes": {{ "inlet": {{ "stock": "a", "path": [ {{ "on": "drum", "along": 370, "round": 0 }}, {{ "step": [260, 0, 60] }} ] }} }} }}"#,
        holes.join(", ")
    )
}

/// A heading that is too high for the room over the upright ruler goes beside it, and what is higher yet on a sheet more.
#[test]
fn however_many_clashes_there_are_the_cover_has_them_all() {
    for (count, paper) in [
        (2, "letter"),
        (4, "letter"),
        (6, "letter"),
        (6, "a4"),
        (6, "190mmx230mm"),
        (9, "190mmx230mm"),
    ] {
        let shop = Shop::open();
        shop.write("job.json", with_clashes(count).as_bytes());
        let run = shop.run(&format!("batch job.json --out p.pdf --paper {paper}"));
        assert!(run.code() < 2, "{}", run.err());
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let all = |page: Option<usize>| {
            let words = pdf
                .words
                .iter()
                .filter(|words| page.is_none_or(|page| words.page == page));
            words.map(|words| words.text.as_str()).collect::<Vec<_>>().join(" ")
        };
        let told = run.out().matches("CLASH: ").count();
        assert!(told >= count.min(6), "{}", run.out());
        let first = all(Some(0));
        assert!(
            first.contains("In the way") && first.contains("CLASH: "),
            "{count} on {paper}: {first}"
        );
        for words in [
            "Print at 100 %",
            "CAUTION. Never cut",
            "old hole 0",
            "have the last word",
        ] {
            assert!(all(None).contains(words), "{count} on {paper}: {words}");
        }
        for hole in 0..count.min(told) {
            let name = format!("old hole {hole}");
            assert!(all(None).contains(&name), "{count} on {paper}: {name}");
        }
    }
}

/// One tube between two drums, in the way of a rib of the one and of a hole in the other: each sheet tells its own.
#[test]
fn a_bodys_sheets_tell_the_clash_on_that_body() {
    let shop = Shop::open();
    shop.write(
        "job.json",
        br#"{ "title": "Bank", "units": "mm", "stock": { "a": { "size": "42.4mm x 2.6mm" } }, "bodies": {
  "low": { "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [800, 0, 0], "zero": [0, 0, 1],
           "keep_off": [ { "name": "rib", "along": [390, 430], "out": 10 } ] },
  "high": { "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 700], "to": [800, 0, 700], "zero": [0, 0, -1],
            "holes": [ { "name": "bung", "along": 380, "round": 0, "across": 30 } ] } },
  "tubes": { "riser": { "stock": "a", "path": [ { "on": "low", "along": 400 }, { "on": "high", "along": 400 } ] } } }"#,
    );
    shop.run("batch job.json --out p.pdf").succeeds();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    for (title, own, other) in [
        ("MARK-OUT: low", "against rib", "against bung"),
        ("MARK-OUT: high", "against bung", "against rib"),
        ("HOLE in low", "against rib", "against bung"),
        ("HOLE in high", "against bung", "against rib"),
        ("PIECE 1 riser, START", "against rib", "against bung"),
        ("PIECE 1 riser, END", "against bung", "against rib"),
    ] {
        let start = pdf.words.iter().find(|words| words.text.starts_with(title));
        let start = start.unwrap_or_else(|| panic!("{title}"));
        let near = pdf.words.iter().filter(|words| words.page == start.page);
        let clash = near.filter(|words| words.text.starts_with("CLASH: "));
        let nearest = clash.min_by(|a, b| (a.at - start.at).hypot().total_cmp(&(b.at - start.at).hypot()));
        let text = &nearest.unwrap_or_else(|| panic!("{title}")).text;
        assert!(text.contains(own) && !text.contains(other), "{title}: {text}");
    }
}
