//! The sheets of a whole job: what is told on one must be true of the others.

mod support;

use std::collections::BTreeSet;

use girthline::letters::Face;
use kurbo::{ParamCurve, Point};
use serde_json::Value;
use support::{Pdf, Shop, Words};

/// A standpipe with short and long branches: pieces on one wrap, on two, and with square ends.
const JOB: &str = r#"{ "units": "mm",
  "stock": { "a": { "size": "34mm x 2mm" } },
  "bodies": { "low": { "shape": "cylinder", "size": "200mm x 2mm", "from": [0, 0, 0], "to": [0, 900, 0], "zero": [0, 0, 1] },
              "high": { "shape": "cylinder", "size": "180mm x 2mm", "from": [0, 0, 330], "to": [60, 900, 330], "zero": [0, 0, -1] } },
  "tubes": {
    "short": { "stock": "a", "path": [ { "on": "low", "along": 100, "round": "10deg" }, { "on": "high", "along": 130, "round": "-8deg" } ] },
    "bend": { "stock": "a", "path": [ { "on": "low", "along": 400, "round": "60deg" }, { "on": "low", "along": 400, "round": "60deg", "out": 420 }, { "step": [0, 100, 300] } ] },
    "straight": { "stock": "a", "path": [ { "at": [400, 0, 0] }, { "at": [400, 0, 500] } ] } } }"#;

fn pack(paper: &str) -> (Pdf, Value) {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    shop.run(&format!("batch job.json --out p.pdf --report r.json --paper {paper}"))
        .succeeds();
    (Pdf::read(&shop.read("p.pdf")), shop.report("r.json"))
}

#[test]
fn the_cut_list_names_the_sheets_of_all_that_a_piece_needs() {
    let mut holes = 0;
    for paper in ["a4", "letter", "a3"] {
        let (pdf, report) = pack(paper);
        let head = pdf.words.iter().find(|words| words.text == "sheet").expect("a head");
        for row in report["job"]["cut_list"].as_array().expect("rows") {
            let (number, name) = (row["number"].to_string(), row["name"].as_str().expect("a name"));
            // Its wraps, its tables, and the holes that it goes into.
            let (wrap, table) = (format!("PIECE {number} {name},"), format!("{number} {name}: "));
            let hole = format!("(piece {number},");
            let is_needed = |words: &&Words| {
                words.text.starts_with(&wrap)
                    || words.text.starts_with(&table) && words.text.ends_with(": by hand")
                    || words.text.starts_with("HOLE in ") && words.text.contains(&hole)
            };
            let needed: BTreeSet<usize> = pdf.words.iter().filter(is_needed).map(|words| words.page + 1).collect();
            let cell = pdf
                .words
                .iter()
                .find(|words| words.page == 0 && words.text == name)
                .expect("its row");
            let told = pdf
                .words
                .iter()
                .filter(|words| words.page == 0 && (words.at.y - cell.at.y).abs() < 0.1)
                .filter(|words| (words.at.x - head.at.x).abs() < 9.0)
                .max_by(|a, b| a.at.x.total_cmp(&b.at.x))
                .expect("a last cell");
            let read: BTreeSet<usize> = told
                .text
                .split(", ")
                .filter(|part| *part != "-")
                .flat_map(|part| {
                    let (first, last) = part.split_once('-').unwrap_or((part, part));
                    first.parse::<usize>().expect("a sheet")..=last.parse().expect("a sheet")
                })
                .collect();
            assert_eq!(read, needed, "{paper}: {name}: {}", told.text);
            holes += usize::from(name == "short" && needed.len() > 1);
        }
    }
    assert!(
        holes > 0,
        "a piece whose holes or tables are on other sheets than its wrap"
    );
}

#[test]
fn the_terminal_tells_of_every_end_what_its_wrap_does() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    let told = shop.run("batch job.json --out p.pdf").succeeds().out();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    let words = words.join(" ");
    let ends: Vec<&str> = words.split("This end: ").skip(1).collect();
    assert!(ends.len() >= 3, "{words}");
    for end in ends {
        let (what, base) = end.split_once(". Base line to ").expect("a base line");
        let base = base.split(" mm").next().expect("a length");
        assert!(
            told.contains(&format!("start {what}")) || told.contains(&format!("end {what}")),
            "{what}: {told}"
        );
        assert!(told.contains(&format!("base line to {base} mm")), "{base}: {told}");
    }
    let checked = shop.run("batch job.json --check").out();
    let lines = |said: &str| said.lines().filter(|line| line.starts_with("piece ")).count();
    assert!(lines(&told) >= 3 && lines(&checked) == lines(&told), "{checked}");
}

#[test]
fn ends_that_fit_either_way_are_not_said_to_be_twisted() {
    // The upper drum leads the other way, so that fronts to the far ends lie opposite each other: square on both drums that is
    // no matter, leaning it is.
    let said = |shift: f64| {
        let shop = Shop::open();
        let job = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "34mm x 2mm" }} }},
  "bodies": {{ "low": {{ "shape": "cylinder", "size": "200mm x 2mm", "from": [0, 0, 0], "to": [0, 900, 0], "zero": [0, 0, 1] }},
              "high": {{ "shape": "cylinder", "size": "180mm x 2mm", "from": [0, 900, 600], "to": [0, 0, 600], "zero": [0, 0, -1] }} }},
  "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "low", "along": 400 }}, {{ "on": "high", "along": {} }} ] }} }} }}"#,
            500.0 - shift
        );
        shop.write("job.json", job.as_bytes());
        shop.run("batch job.json --check --cut-list c.csv").out()
    };
    assert!(!said(0.0).contains("turn nothing"), "{}", said(0.0));
    assert!(
        said(150.0).contains("The end is turned half round from the start"),
        "{}",
        said(150.0)
    );
}

/// Without its pattern a hole is placed and turned by the table's words alone: here the branch leans to the header's far end and
/// passes 5 mm to the right, so that line A is round the header by R asin(5 / R).
#[test]
fn the_table_of_a_holes_ordinates_says_where_its_lines_are_and_which_way_is_up() {
    let shop = Shop::open();
    let run = shop.run(
        "saddle --branch 48.3mm_x_2mm --header 88.9mm --angle 60 --offset 5mm --without holes --ordinates --out p.pdf",
    );
    let said = run.succeeds().out();
    let round = 44.45 * (5.0_f64 / 44.45).asin();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let printed: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    for told in [said, printed.join(" ")] {
        for words in [
            format!("Line A runs along {round:.2} mm round the header to the right of its line"),
            "line B goes round where the branch's centre line comes through".to_owned(),
            "up is towards the branch's FRONT".to_owned(),
        ] {
            assert!(told.contains(&words), "{words}: {told}");
        }
        assert!(!told.contains("as on the pattern"), "{told}");
    }
    // Of many equal holes the mark-out has the lines, the table which way is up.
    let job = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/templates/cooler-bank.json"));
    shop.write("job.json", job.expect("a starter").as_bytes());
    shop.run("batch job.json --without holes --out q.pdf").succeeds();
    let pdf = Pdf::read(&shop.read("q.pdf"));
    let printed: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    let printed = printed.join(" ");
    assert!(
        printed.contains("Lines A and B of all 6: see the mark-out sheet; up is towards the far end."),
        "{printed}"
    );
}

#[test]
fn without_patterns_of_holes_there_are_their_tables() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    let table = |words: &str, title: &str| -> Option<Vec<String>> {
        shop.run(&format!("{words} --out p.pdf")).succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let begins = pdf.words.iter().position(|words| words.text == title)?;
        let words = pdf.words[begins..].iter().map(|words| words.text.clone());
        Some(words.take_while(|words| !words.starts_with("Up or down")).collect())
    };
    let (of_hole, of_end) = (
        "hole in low for short (piece 1, start): by hand",
        "1 short: start: by hand",
    );
    let told = table("batch job.json --without holes", of_hole).expect("a table");
    // The same as on the terminal, where its lines are.
    let lines = shop.run("batch job.json --check --ordinates").out();
    let mut rows = lines.lines().skip_while(|line| *line != of_hole).skip(2);
    let top: Vec<&str> = rows
        .next()
        .expect("a row")
        .split("  ")
        .map(str::trim)
        .filter(|cell| !cell.is_empty())
        .collect();
    assert!(
        top.len() == 4 && top.iter().all(|cell| told.contains(&(*cell).to_owned())),
        "{top:?}: {told:?}"
    );
    assert!(table("batch job.json", of_hole).is_none());
    assert!(table("batch job.json --without holes,tables", of_hole).is_none());
    // The cut list names their sheets, too: the other tables are on sheets of their own there.
    assert!(table("batch job.json --without holes", of_end).is_some());
    let joint = "saddle --branch 48.3mm_x_2mm --header 60.3mm --angle 60";
    assert!(table(&format!("{joint} --without holes"), "Hole: by hand").is_some());
    assert!(table(joint, "Hole: by hand").is_none());
}

#[test]
fn notes_are_printed_where_they_are_needed() {
    let shop = Shop::open();
    let job = JOB.replace(
        "{ \"units\": \"mm\",",
        "{ \"units\": \"mm\", \"note\": \"Mind\\nthe \u{e01} gap.\",",
    );
    let job = job.replace(
        "\"zero\": [0, 0, 1] }",
        "\"zero\": [0, 0, 1], \"note\": \"the seam is up\" }",
    );
    let long = "word ".repeat(200);
    let job = job.replace(
        "\"zero\": [0, 0, -1] }",
        &format!("\"zero\": [0, 0, -1], \"note\": \"{long}\" }}"),
    );
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --out p.pdf").succeeds();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let on = |title: &str, note: &str| {
        let is_on = |words: &&Words, start: &str| words.text.starts_with(start);
        let titled = pdf.words.iter().find(|words| is_on(words, title)).expect("a title");
        pdf.words
            .iter()
            .any(|words| words.page == titled.page && words.text.contains(note))
    };
    assert!(on("1 Print at 100 %", "Mind the ? gap."));
    assert!(on("MARK-OUT: low", "Note: the seam is up."));
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    let printed = words.join(" ").matches("word ").count();
    assert!((79..=81).contains(&printed), "{printed} of 200 words in 400 letters");
    let rest = "word word ... (the rest of this note is in the job file).";
    assert!(words.join(" ").contains(rest), "{words:?}");
    // A note may be anything else: it is no word of the job.
    shop.write(
        "other.json",
        JOB.replace(
            "{ \"units\": \"mm\",",
            "{ \"units\": \"mm\", \"note\": [1, { \"a\": 2 }],",
        )
        .as_bytes(),
    );
    shop.run("batch other.json --check").succeeds();
}

#[test]
fn the_tables_of_a_piece_on_one_wrap_are_measured_from_its_one_base_line() {
    let (pdf, report) = pack("a4");
    let ends: Vec<&Value> = report["ends"]
        .as_array()
        .expect("ends")
        .iter()
        .filter(|end| end["name"].as_str().is_some_and(|name| name.contains("short")))
        .collect();
    let number = |value: &Value| value.as_f64().expect("a number");
    let length = report["pieces"]
        .as_array()
        .expect("pieces")
        .iter()
        .find(|piece| piece["name"] == "short")
        .map(|piece| number(&piece["centre_line_mm"]))
        .expect("the piece");
    // One base line: counted from both work points it is the whole centre line.
    let bases = number(&ends[0]["base_line_t_mm"]) + number(&ends[1]["base_line_t_mm"]);
    assert!((bases - length).abs() < 1e-9, "{bases} against {length}");
    // The printed table bears these figures, each in its station's row under the end's own heading.
    for end in ends {
        let title = format!("{}: by hand", end["name"].as_str().expect("a name"));
        let title = pdf.words.iter().find(|words| words.text == title).expect("a table");
        let under = |words: &&support::Words| {
            words.page == title.page && words.at.y < title.at.y && (-1.0..90.0).contains(&(words.at.x - title.at.x))
        };
        for ordinate in end["ordinates"].as_array().expect("ordinates") {
            let station = ordinate["station"].to_string();
            let row = pdf.words.iter().filter(under).filter(|words| words.text == station);
            // The station's number is flush left.
            let row = row.filter(|words| (words.at.x - title.at.x).abs() < 0.1);
            let row = row.max_by(|a, b| a.at.y.total_cmp(&b.at.y)).expect("a row");
            let up = format!("{:.2}", number(&ordinate["from_base_mm"]));
            let cells = pdf
                .words
                .iter()
                .filter(under)
                .filter(|words| (words.at.y - row.at.y).abs() < 0.01);
            let cells: Vec<&str> = cells.map(|words| words.text.as_str()).collect();
            assert!(cells.get(3) == Some(&up.as_str()), "{up} in {cells:?}");
        }
    }
}

/// A size has brackets of its own: `drum 55 gal (573.90 x 1.20 mm)`.
#[test]
fn no_words_of_a_starters_sheets_have_brackets_in_brackets() {
    let mut titles = 0;
    for (name, _, job) in girthline::job::starters::STARTERS {
        let shop = Shop::open();
        shop.write("job.json", job.as_bytes());
        for units in ["mm", "in"] {
            shop.run(&format!("batch job.json --out p.pdf --units {units}"))
                .succeeds();
            for words in Pdf::read(&shop.read("p.pdf")).words {
                let deepest = words.text.chars().scan(0_i32, |depth, letter| {
                    *depth += i32::from(letter == '(') - i32::from(letter == ')');
                    Some(*depth)
                });
                assert!(deepest.max().unwrap_or(0) < 2, "{name}: {}", words.text);
                titles += usize::from(words.text.starts_with("MARK-OUT: ") && words.text.contains('('));
            }
        }
    }
    assert!(titles > 4, "{titles}");
}

/// The number of the piece that words of a sheet belong to; 0 of a body's mark-out.
fn belongs_to(text: &str) -> Option<usize> {
    let number = |text: &str| text.split([' ', ',']).next()?.parse().ok();
    if text.starts_with("MARK-OUT:") || text.starts_with("Stack ") {
        return Some(0);
    }
    if let Some(piece) = text.strip_prefix("PIECE ") {
        return number(piece);
    }
    if text.ends_with(": by hand") {
        return number(text);
    }
    // Under each tile of a large pattern, which bears its title on one of them alone.
    let (pattern, _) = text.split_once(": tile ")?;
    match pattern.split_once("(piece ") {
        Some((_, piece)) => number(piece),
        None => number(pattern),
    }
}

/// Which sheets each piece's patterns and tables are on. A hole's title may be broken into lines.
fn sheets_of_pieces(pdf: &Pdf) -> Vec<Vec<usize>> {
    let mut sheets: Vec<Vec<usize>> = Vec::new();
    let titled = pdf
        .words
        .iter()
        .filter_map(|words| Some((belongs_to(&words.text)?, words.page)));
    let holes = pdf
        .words
        .windows(4)
        .filter(|lines| lines[0].text.starts_with("HOLE in "));
    let titles = holes.map(|lines| {
        let words: Vec<&str> = lines.iter().map(|line| line.text.as_str()).collect();
        (words.join(" "), lines)
    });
    // What is marked by compass, or with paper strips, belongs to its body.
    let on_patterns = titles.filter(|(title, _)| !title.contains("by compass") && !title.contains("paper strips"));
    let holes = on_patterns.map(|(title, lines)| {
        let (_, piece) = title.split_once("(piece ").expect("its piece");
        let number = piece.split(',').next().and_then(|number| number.parse().ok());
        (number.expect("a number"), lines[0].page)
    });
    for (piece, page) in titled.chain(holes) {
        sheets.resize_with(sheets.len().max(piece + 1), Vec::new);
        sheets[piece].push(page);
    }
    for sheets in &mut sheets {
        sheets.sort_unstable();
        sheets.dedup();
    }
    sheets
}

#[test]
fn the_sheets_of_a_piece_follow_each_other_and_those_of_bodies_come_first() {
    let templates = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
    let mut jobs: Vec<(String, String)> = std::fs::read_dir(templates)
        .expect("starters")
        .map(|entry| entry.expect("an entry").path())
        .map(|path| {
            let text = std::fs::read_to_string(&path).expect("a job");
            (path.display().to_string(), text)
        })
        .collect();
    assert_eq!(jobs.len(), 6);
    jobs.push(("the test's".to_owned(), JOB.to_owned()));
    for ((name, job), paper) in jobs.iter().flat_map(|job| ["a4", "letter"].map(|paper| (job, paper))) {
        let shop = Shop::open();
        shop.write("job.json", job.as_bytes());
        shop.run(&format!("batch job.json --out p.pdf --paper {paper}"));
        let sheets = sheets_of_pieces(&Pdf::read(&shop.read("p.pdf")));
        let pieces: Vec<&Vec<usize>> = sheets.iter().filter(|sheets| !sheets.is_empty()).collect();
        // Those of bodies, and of one kind of piece or more.
        assert!(!sheets[0].is_empty() && pieces.len() > 1, "{name}");
        for pair in pieces.windows(2) {
            let (before, after) = (pair[0], pair[1]);
            assert!(before[0] <= after[0], "{name} on {paper}: {sheets:?}");
        }
        for sheets_of_one in &pieces[1..] {
            let span = sheets_of_one[sheets_of_one.len() - 1] - sheets_of_one[0];
            assert_eq!(span + 1, sheets_of_one.len(), "{name} on {paper}: {sheets:?}");
        }
    }
}

#[test]
fn what_is_left_out_is_not_printed_and_all_else_is() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    let in_file = JOB.replace(
        "\"units\": \"mm\",",
        "\"units\": \"mm\", \"sheet\": { \"without\": [\"tables\"] },",
    );
    shop.write("without.json", in_file.as_bytes());
    let says = |words: &str| -> [bool; 5] {
        shop.run(&format!("{words} --out p.pdf")).succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let starts = |start: &str| pdf.words.iter().any(|words| words.text.starts_with(start));
        let tables = pdf.words.iter().any(|words| words.text.ends_with(": by hand"));
        let wraps = starts("PIECE ") || starts("BRANCH END");
        [starts("CAUTION"), tables, starts("HOLE"), wraps, starts("MARK-OUT")]
    };
    assert_eq!(says("batch job.json"), [true, true, true, true, true]);
    assert_eq!(says("batch job.json --without tables"), [true, false, true, true, true]);
    assert_eq!(says("batch without.json"), [true, false, true, true, true]);
    // What a flag says counts before what the file says.
    assert_eq!(
        says("batch without.json --without holes"),
        [true, true, false, true, true]
    );
    assert_eq!(
        says("batch job.json --without tables,holes --without cover"),
        // What nobody may do without stays.
        [true, false, false, true, true]
    );
    let joint = "saddle --branch 48.3mm_x_2mm --header 60.3mm --angle 60";
    assert_eq!(says(joint), [true, true, true, true, false]);
    assert_eq!(
        says(&format!("{joint} --without holes")),
        [true, true, false, true, false]
    );
    let wrong = shop.run(&format!("{joint} --without hole"));
    assert_eq!(wrong.code(), 2);
    assert!(
        wrong.err().contains("choose tables, holes, gores, cover"),
        "{}",
        wrong.err()
    );
}

/// By hand: from the skin's zero line to where the axis lands is the header's radius times the angle; to the right as seen from outside.
#[test]
fn a_holes_pattern_says_on_which_side_of_the_zero_line_its_line_a_runs() {
    let (pdf, _) = pack("a4");
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    let words = words.join(" ");
    for (radius, degrees, side) in [
        (100.0_f64, 10.0_f64, "right"),
        (90.0, 8.0, "left"),
        (100.0, 60.0, "right"),
    ] {
        let round = radius * degrees.to_radians();
        let told = format!("line A {round:.2} mm ({degrees}°) to the {side} of the zero line");
        assert!(words.contains(&told), "{told}: {words}");
    }
}

/// What is read at the tube or the drum stands in 9 points or more, and no starter takes more sheets for it than these, on letter and on A4.
#[test]
fn what_is_read_at_the_tube_is_large_enough_and_takes_no_more_sheets() {
    let read = [
        "Cut end up",
        "Right and left as seen",
        "Lay one tape",
        "Compass point in the",
        "Grind only there",
        "First cut, parallel",
    ];
    let large = |pdf: &Pdf| {
        let told = pdf
            .words
            .iter()
            .filter(|words| read.iter().any(|start| words.text.starts_with(start)));
        let sizes: Vec<f64> = told.map(|words| words.size_pt).collect();
        assert!(sizes.iter().all(|size| *size > 8.99), "{sizes:?}");
        sizes.len()
    };
    let shop = Shop::open();
    let mut found = 0;
    for (name, most) in [
        ("cooler-bank", [3, 3]),
        ("drain-standpipe", [7, 7]),
        ("node-frame", [5, 5]),
        ("plate-frame", [10, 10]),
        ("stacked-hopper", [12, 13]),
        // Of a hole in a head there are strips as well; each head's mark-out says where its seam is.
        ("used-bottle", [5, 5]),
        ("used-bottle --without gores", [5, 4]),
    ] {
        let (name, flags) = name.split_once(' ').unwrap_or((name, ""));
        let starter = format!("{}/templates/{name}.json", env!("CARGO_MANIFEST_DIR"));
        std::fs::copy(starter, shop.path("job.json")).expect("a starter");
        for (paper, most) in ["letter", "a4"].into_iter().zip(most) {
            let run = shop.run(&format!("batch job.json --out p.pdf --paper {paper} {flags}"));
            assert!(run.code() < 2, "{}", run.err());
            let pdf = Pdf::read(&shop.read("p.pdf"));
            assert!(pdf.pages.len() <= most, "{name} on {paper}: {} sheets", pdf.pages.len());
            found += large(&pdf);
        }
    }
    shop.run("facets --branch 48.3mm_x_2mm --header 60.3mm --angle 60 --out p.pdf")
        .succeeds();
    found += large(&Pdf::read(&shop.read("p.pdf")));
    assert!(found > 20, "{found}");
    for (paper, most) in [("letter", 1), ("a4", 2)] {
        let fence = "saddle --branch fence_1-7/8_x_0.065in --header fence_2-3/8_x_0.065in --angle 60 --out p.pdf";
        shop.run(&format!("{fence} --paper {paper}")).succeeds();
        assert!(Pdf::read(&shop.read("p.pdf")).pages.len() <= most, "{paper}");
    }
}

/// Right and left are those of whoever sees the far end up: of a drum that is measured from its top, with the drum turned over.
#[test]
fn the_pattern_of_a_hole_in_a_drum_that_is_measured_from_its_top_says_that_it_is_turned_over() {
    let shop = Shop::open();
    let pack = |from: u32, to: u32| {
        let job = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "34mm x 2mm" }} }},
            "bodies": {{ "drum": {{ "shape": "cylinder", "size": "400mm x 2mm", "from": [0, 0, {from}], "to": [0, 0, {to}], "zero": [1, 0, 0] }} }},
            "tubes": {{ "p": {{ "stock": "a", "path": [ {{ "on": "drum", "along": 150, "round": "30deg" }},
                                                      {{ "on": "drum", "along": 150, "round": "30deg", "out": 200 }} ] }} }} }}"#
        );
        shop.write("job.json", job.as_bytes());
        let run = shop.run("batch job.json --out p.pdf");
        assert!(run.code() < 2, "{}", run.err());
        Pdf::read(&shop.read("p.pdf"))
    };
    let turned = pack(800, 0);
    let hole = turned
        .words
        .iter()
        .find(|words| words.text.starts_with("HOLE in drum"))
        .expect("a pattern");
    let told = turned
        .words
        .iter()
        .find(|words| words.text.starts_with("With drum turned over, its bottom end up:"));
    let told = told.expect("what is up");
    // In the pattern's own column.
    assert!(told.page == hole.page && told.size_pt > 8.99 && (told.at.x - hole.at.x).abs() < 0.1);
    assert!(!pack(0, 800).says("turned over"));
}

#[test]
fn a_small_wrap_has_all_its_stations_numbers_and_its_words_beside_each_other() {
    let shop = Shop::open();
    shop.run_words(&[
        "saddle",
        "--branch",
        "26.7mm x 2mm",
        "--header",
        "60.3mm",
        "--without",
        "tables,holes,cover",
        "--out",
        "s.pdf",
    ])
    .succeeds();
    let pdf = Pdf::read(&shop.read("s.pdf"));
    let is_numbered = |station: u32| pdf.words.iter().any(|words| words.text == station.to_string());
    let missing: Vec<u32> = (0..16).filter(|station| !is_numbered(*station)).collect();
    assert!(missing.is_empty(), "{missing:?}");
    // What the line is called stands over the lines along the tube, whose layer is drawn over the notes.
    let base = pdf
        .words
        .iter()
        .find(|words| words.text.starts_with("BASE LINE"))
        .expect("a base line");
    let crown = pdf
        .words
        .iter()
        .find(|words| words.text == "BACK")
        .expect("a crown line");
    assert_eq!(base.layer, crown.layer);
    shop.run_words(&[
        "facets",
        "--branch",
        "1.9in x 0.065in",
        "--header",
        "1.9in",
        "--angle",
        "60",
        "--out",
        "f.pdf",
    ])
    .succeeds();
    let pdf = Pdf::read(&shop.read("f.pdf"));
    let back = pdf
        .words
        .iter()
        .find(|words| words.text == "the back cut touches here")
        .expect("the back's dot");
    let first = pdf
        .words
        .iter()
        .filter(|words| words.page == back.page && words.text == "FIRST CUT");
    let apart: Vec<bool> = first
        .map(|words| {
            let by = words.at - back.at;
            // Its 25 letters are some 34 mm wide, those of the other 15.
            by.y.abs() > 3.5 || by.x > 33.0 || by.x < -15.0
        })
        .collect();
    assert!(apart.len() >= 2 && apart.iter().all(|apart| *apart), "{apart:?}");
}

/// Both ends of a standpipe are square: only the words tell which one is up.
#[test]
fn the_ends_of_a_tube_that_stands_are_told_apart_by_up_and_down() {
    let job = |low: &str, high: &str, out: &str| {
        format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "76mm x 2mm" }}, "b": {{ "size": "34mm x 2mm" }} }},
              "tubes": {{ "post": {{ "stock": "a", "path": [ {{ "at": {low} }}, {{ "at": {high} }} ] }},
                "arm": {{ "stock": "b", "path": [ {{ "on": "post", "along": 200, "round": "0deg" }}, {{ "step": {out} }} ] }} }} }}"#
        )
    };
    let (floor, top, out) = ("[0, 0, 0]", "[0, 0, 900]", "[300, 0, 0]");
    for (job, near, far, measured) in [
        (
            job(floor, top, out),
            "LOWER END (START)",
            "UPPER END (END)",
            "from the lower end",
        ),
        (
            job(top, floor, out),
            "UPPER END (START)",
            "LOWER END (END)",
            "from the upper end",
        ),
        (
            job(floor, "[900, 0, 0]", "[0, 0, 300]"),
            "START",
            "END",
            "from the start",
        ),
    ] {
        let shop = Shop::open();
        shop.write("job.json", job.as_bytes());
        shop.run("batch job.json --out p.pdf").succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let at = |words: &str| pdf.words.iter().find(|one| one.text == words).map(|one| one.at.y);
        let (near, far) = (at(near).expect("the near end"), at(far).expect("the far end"));
        assert!(near < far, "the tape is laid from below on the sheet");
        assert!(pdf.words.iter().any(|one| one.text.contains(measured)), "{measured}");
    }
}

/// In a hole of which another tube covers a part there may be no room for the word.
#[test]
fn the_word_waste_stands_on_no_cut() {
    for (name, _, text) in girthline::job::starters::STARTERS {
        let shop = Shop::open();
        shop.write("job.json", text.as_bytes());
        for paper in ["a4", "letter"] {
            shop.run(&format!("batch job.json --paper {paper} --out p.pdf"))
                .succeeds();
            let pdf = Pdf::read(&shop.read("p.pdf"));
            let (words, cuts) = (pdf.words.iter(), pdf.on("cut-line"));
            let places: Vec<(usize, Point)> = cuts
                .flat_map(|cut| {
                    let parts = cut.path.segments();
                    parts
                        .flat_map(move |part| (0..=50).map(move |share| (cut.page, part.eval(f64::from(share) / 50.0))))
                })
                .collect();
            // The word stands on white.
            for words in words.filter(|words| words.text == "WASTE") {
                let advances = words.text.chars().filter_map(|letter| Face::Bold.glyph(letter));
                let advances = advances.map(|glyph| f64::from(glyph.advance));
                let long = advances.sum::<f64>() * words.size_pt * support::MM_PER_POINT;
                let about = words.about();
                let far = match words.turn {
                    0.0 => Point::new(about.x0 + long, about.y1),
                    _ => Point::new(about.x1, about.y0 + long),
                };
                let white = about.union_pt(far).inflate(0.8, 0.5);
                let is_cut = places
                    .iter()
                    .any(|(page, place)| *page == words.page && white.contains(*place));
                assert!(!is_cut, "{name} {paper}, page {}: {:?}", words.page, words.about());
            }
        }
    }
}
