//! Pieces so short that there is hardly room between their cuts: what is written on their wraps stands on no other words and on no
//! cut.

mod support;

use kurbo::{Affine, ParamCurve, Rect};
use support::{Pdf, Shop, Words};

/// Sizes of which there are stubs of each length, in millimetres along their middle, between two drums.
const SIZES: [&str; 5] = [
    "48.3mm x 2mm",
    "21.3mm x 2mm",
    "square 50mm x 2mm r 4mm",
    "rect 30mm x 20mm x 2mm r 3mm",
    "114.3mm x 3mm",
];
const LENGTHS: [u32; 6] = [6, 12, 20, 25, 32, 45];

fn stubs(size: &str, lengths: &[u32]) -> String {
    let (mut bodies, mut tubes) = (Vec::new(), Vec::new());
    for (number, length) in lengths.iter().enumerate() {
        let (from, to) = (number * 700, number * 700 + 600);
        for (name, height, up) in [("low", 0, 1), ("high", 600 + length, -1)] {
            bodies.push(format!(
                r#""{name}{number}": {{ "shape": "cylinder", "size": "600mm x 3mm", "from": [0, {from}, {height}], "to": [0, {to}, {height}],
                "zero": [0, 0, {up}] }}"#
            ));
        }
        // A little aslant, so that none is like another when it is turned over.
        tubes.push(format!(
            r#""stub {length}": {{ "stock": "a", "path": [ {{ "on": "low{number}", "along": 300 }}, {{ "on": "high{number}", "along": 302 }} ] }}"#
        ));
    }
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{size}" }} }}, "bodies": {{ {} }}, "tubes": {{ {} }} }}"#,
        bodies.join(", "),
        tubes.join(", ")
    )
}

#[test]
fn nothing_on_the_wrap_of_a_short_piece_is_written_over_words_or_over_its_cuts() {
    let shop = Shop::open();
    let mut wraps = 0;
    for paper in ["a4 --units mm", "letter --units in"] {
        for size in SIZES {
            shop.write("job.json", stubs(size, &LENGTHS).as_bytes());
            shop.run(&format!("batch job.json --without cover --paper {paper} --out p.pdf"))
                .succeeds();
            let pdf = Pdf::read(&shop.read("p.pdf"));
            assert_eq!(pdf.overprinted(), Vec::<String>::new(), "{size} on {paper}");
            // What the lines are stays told; of a wrap in tiles on the first.
            for length in LENGTHS {
                let title = format!(" stub {length}, make 1");
                let titled = pdf
                    .words
                    .iter()
                    .find(|words| words.text.starts_with("PIECE") && words.text.ends_with(&title));
                let page = titled.unwrap_or_else(|| panic!("{size}, {length}")).page;
                let near = |words: &&Words| words.page == page;
                let all: Vec<&str> = pdf.words.iter().filter(near).map(|words| words.text.as_str()).collect();
                let all = all.join(" ");
                assert!(
                    all.contains("BASE LINE") && all.contains("WASTE"),
                    "{size}, {length}: {all}"
                );
                wraps += 1;
            }
        }
    }
    assert_eq!(wraps, 2 * SIZES.len() * LENGTHS.len());
}

#[test]
fn nor_is_it_on_short_middle_pieces_of_a_turn_and_on_short_branches() {
    let shop = Shop::open();
    for command in [
        "miter --tube 48.3mm_x_2mm --turn 90 --pieces 8 --radius 70mm",
        "miter --tube 48.3mm_x_2mm --turn 10 --pieces 3 --radius 60mm",
        "miter --tube 48.3mm_x_2mm --turn 60 --pieces 4 --radius 80mm",
        "miter --tube square_40mm_x_2mm_r_4mm --turn 60 --pieces 4 --radius 80mm",
        "saddle --branch 48.3mm_x_2mm --header head_600mm_x_6mm_DIN_28011_flange_20mm --along 150mm --length 15mm",
    ] {
        for paper in ["a4 --units mm", "letter --units in"] {
            shop.run(&format!("{command} --paper {paper} --out p.pdf")).succeeds();
            let wrong = Pdf::read(&shop.read("p.pdf")).overprinted();
            assert_eq!(wrong, Vec::<String>::new(), "{command} on {paper}");
        }
    }
}

/// Where a title stands, of which this is the beginning and this a part.
fn title<'a>(pdf: &'a Pdf, begins: &str, part: &str) -> Option<&'a Words> {
    let mut all = pdf.words.iter();
    all.find(|words| words.bold && words.text.starts_with(begins) && words.text.contains(part))
}

/// Whether what has this title is found before the other: on an earlier sheet, or left of it or over it and neither the other way round.
fn is_before(a: &Words, b: &Words) -> bool {
    let leads = |a: &Words, b: &Words| a.at.x < b.at.x - 1.0 || a.at.y > b.at.y + 1.0;
    a.page < b.page || (a.page == b.page && leads(a, b) && !leads(b, a))
}

#[test]
fn what_is_of_the_start_stands_before_what_is_of_the_end() {
    let shop = Shop::open();
    let (mut wraps, mut tables) = (0, 0);
    let mut hold = |command: &str| {
        shop.run(&format!("batch job.json {command} --out p.pdf")).succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        for number in 1..=12 {
            let of_wraps = [", START, ", ", END, "].map(|end| title(&pdf, &format!("PIECE {number} "), end));
            let of_tables = [": start: by", ": end: by"].map(|end| title(&pdf, &format!("{number} "), end));
            if let [Some(start), Some(end)] = of_wraps {
                assert!(!is_before(end, start), "{command}: {end:?} before {start:?}");
                wraps += 1;
            }
            if let [Some(start), Some(end)] = of_tables {
                assert!(!is_before(end, start), "{command}: {end:?} before {start:?}");
                tables += 1;
            }
        }
    };
    for (starter, without) in [
        ("cooler-bank", ""),
        ("cooler-bank", "--without holes"),
        ("cooler-bank", "--without cover"),
        ("cooler-bank", "--without cover,holes"),
        ("stacked-hopper", ""),
        ("node-frame", ""),
        ("used-bottle", ""),
    ] {
        let job = std::fs::read(format!("templates/{starter}.json")).expect("a starter");
        shop.write("job.json", &job);
        for paper in [
            "a4 --units mm",
            "a4 --units in",
            "letter --units mm",
            "letter --units in",
        ] {
            hold(&format!("{without} --paper {paper}"));
        }
    }
    // Of this one the start and the end have tables of several shapes.
    let job = std::fs::read("templates/plate-frame.json").expect("a starter");
    shop.write("job.json", &job);
    for units in ["mm", "in"] {
        hold(&format!("--paper a4 --units {units}"));
    }
    for size in SIZES {
        shop.write("job.json", stubs(size, &LENGTHS).as_bytes());
        for paper in ["a4 --units mm", "letter --units in"] {
            hold(&format!("--paper {paper}"));
        }
        for length in LENGTHS {
            shop.write("job.json", stubs(size, &[length]).as_bytes());
            hold("--paper a4 --units mm");
            hold("--paper letter --units in");
        }
    }
    assert!(
        wraps >= 20 && tables >= 60,
        "{wraps} pieces in two wraps, {tables} with two tables"
    );
}

#[test]
fn whoever_marks_a_short_piece_by_hand_is_told_its_length_and_that_both_ends_have_one_base_line() {
    let shop = Shop::open();
    shop.write("job.json", stubs("48.3mm x 2mm", &[45]).as_bytes());
    let said = shop
        .run("batch job.json --ordinates --report r.json --out p.pdf")
        .succeeds()
        .out();
    let length = shop.report("r.json")["job"]["cut_list"][0]["length_mm"]
        .as_f64()
        .expect("mm");
    let told = format!("; one base line for both ends; {length:.2} mm from tip to tip");
    assert!(said.contains(&told), "{told}: {said}");
}

#[test]
fn of_a_short_piece_with_a_square_end_it_is_told_how_far_the_base_line_is_from_that_end() {
    let shop = Shop::open();
    let whole = stubs("48.3mm x 2mm", &[45]);
    for (from, to, other) in [
        (
            r#"{ "on": "low0", "along": 300 }"#,
            r#"{ "at": [0, 300, 362] }"#,
            "start",
        ),
        (r#"{ "at": [0, 300, 362] }"#, r#"{ "on": "low0", "along": 300 }"#, "end"),
    ] {
        let path = whole.find("\"path\"").expect("a path");
        let job = format!("{}\"path\": [{from}, {to}] }} }} }}", &whole[..path]);
        shop.write("job.json", job.as_bytes());
        let said = shop
            .run("batch job.json --ordinates --report r.json --out p.pdf")
            .succeeds()
            .out();
        let report = shop.report("r.json");
        // The tube is longest at the drum's sides.
        let at_right = said
            .lines()
            .map(str::split_whitespace)
            .find(|row| row.clone().nth(1) == Some("right"));
        let longest: f64 = at_right
            .and_then(|mut row| row.nth(3))
            .expect("a row")
            .parse()
            .expect("mm");
        let length = report["job"]["cut_list"][0]["length_mm"].as_f64().expect("mm");
        let told = format!("; {other}'s base line to the square end: {:.2} mm;", length - longest);
        assert!(said.contains(&told), "{told}: {said}");
        let on_sheet = format!("Base line to the square end: {:.2} mm.", length - longest);
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
        assert!(words.join(" ").contains(&on_sheet), "{on_sheet}");
    }
}

#[test]
fn nor_is_anything_on_the_wrap_of_a_stub_with_a_square_end_however_short() {
    let shop = Shop::open();
    let whole = stubs("60.3mm x 2mm", &[45]);
    let path = whole.find("\"path\"").expect("a path");
    let mut named = 0;
    for out in [8, 10, 11, 12, 13, 14, 16, 18, 22, 30] {
        let ends = format!(r#"{{ "on": "low0", "along": 300 }}, {{ "on": "low0", "along": 300, "out": {out} }}"#);
        // On a pipe hardly wider than itself the cut is deep.
        let job = format!("{}\"path\": [{ends}] }} }} }}", &whole[..path]).replace("600mm x 3mm", "88.9mm x 3mm");
        shop.write("job.json", job.as_bytes());
        shop.run("batch job.json --without cover --paper a4 --out p.pdf")
            .succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        assert_eq!(pdf.overprinted(), Vec::<String>::new(), "{out}");
        // Where it has room for no more than its name; capitals are wider than most words.
        let Some(name) = pdf.words.iter().find(|words| words.text == "BASE LINE") else {
            continue;
        };
        named += 1;
        let (page, size) = (name.page, name.size_pt * 25.4 / 72.0);
        let level = Rect::new(0.0, 0.0, 9.0 * 0.6 * size, 0.7 * size);
        let place = Affine::translate(name.at.to_vec2()) * Affine::rotate(name.turn.to_radians());
        let around = place.transform_rect_bbox(level);
        let cuts = pdf.on("cut-line").filter(|cut| cut.page == page);
        let parts = cuts.flat_map(|cut| cut.path.segments().collect::<Vec<_>>());
        let mut places = parts.flat_map(|part| (0..=200).map(move |share| part.eval(f64::from(share) / 200.0)));
        assert!(!places.any(|place| around.contains(place)), "{out}");
    }
    assert!(named >= 5, "{named}");
}

/// A wrap of the whole piece would be a little wider than a sheet, either way round.
#[test]
fn a_piece_with_one_square_end_is_not_tiled_where_a_wrap_of_its_cut_alone_fits_on_a_sheet() {
    let shop = Shop::open();
    for (size, length) in [("60.3mm x 2mm", 132), ("76.1mm x 2mm", 120), ("76.1mm x 2mm", 160)] {
        let job = format!(
            r#"{{ "units": "mm", "sheet": {{ "without": ["cover"] }}, "stock": {{ "t": {{ "size": "{size}" }} }},
            "bodies": {{ "drum": {{ "shape": "cylinder", "size": "572mm x 1.2mm", "from": [0, 0, 0], "to": [0, 840, 0] }} }},
            "tubes": {{ "stub": {{ "stock": "t", "path": [ {{ "on": "drum", "along": 300 }}, {{ "step": [0, 40, {length}] }} ] }} }} }}"#
        );
        shop.write("job.json", job.as_bytes());
        for paper in ["a4", "letter"] {
            let out = shop
                .run(&format!("batch job.json --paper {paper} --out p.pdf"))
                .succeeds()
                .out();
            let pdf = Pdf::read(&shop.read("p.pdf"));
            assert!(out.contains("(2 sheets"), "{size} {length} {paper}: {out}");
            // 76.1 mm tube goes nearly 240 mm round: longer than letter paper has room for.
            let is_wide = size.starts_with("76.1") && paper == "letter";
            assert_eq!(pdf.says("tile 1"), is_wide, "{size} {length} {paper}");
        }
    }
}

/// One end's numbers alone would be read for the other's, which run the other way.
#[test]
fn a_short_wrap_has_the_numbers_of_both_ends_or_of_neither() {
    let shop = Shop::open();
    let mut counts = Vec::new();
    for (size, lengths) in SIZES.iter().flat_map(|size| LENGTHS.map(|length| (size, [length]))) {
        let job = stubs(size, &lengths).replacen(
            r#""units": "mm""#,
            r#""units": "mm", "sheet": { "without": ["cover", "tables", "holes"] }"#,
            1,
        );
        shop.write("job.json", job.as_bytes());
        shop.run("batch job.json --out p.pdf").succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        // No ruler has a 7.
        let sevens = pdf.words.iter().filter(|words| words.text == "7").count();
        assert!([0, 2].contains(&sevens), "{size} {lengths:?}: {sevens}");
        counts.push(sevens);
    }
    assert!(counts.contains(&0) && counts.contains(&2), "{counts:?}");
}

#[test]
fn an_ordinate_below_the_base_line_is_told_to_be_down_from_it() {
    let shop = Shop::open();
    shop.write("job.json", stubs(SIZES[0], &[6]).as_bytes());
    let told = shop.run("batch job.json --ordinates --out p.pdf").succeeds().out();
    let has_minus = told
        .split_whitespace()
        .any(|word| word.starts_with('-') && word.len() > 2);
    assert!(
        has_minus && told.contains("base line to cut, below 0 down from it."),
        "{told}"
    );
    shop.write("job.json", stubs(SIZES[0], &[45]).as_bytes());
    let told = shop.run("batch job.json --ordinates --out p.pdf").succeeds().out();
    assert!(!told.contains("below 0"), "{told}");
}
