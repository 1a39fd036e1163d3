//! What is written on wraps, and in the tables of tubes with sides.

mod support;

use kurbo::{Point, Rect, Shape};
use support::{Pdf, Shop, Stroke, pdf_of as pdf};

/// Wraps that lie level on their sheet, wraps that are turned, short and narrow ones, and one in tiles.
const JOINTS: [&str; 8] = [
    "saddle --branch 48.3mm_x_2mm --header 60.3mm",
    "saddle --branch 12mm_x_1mm --header 60mm --seam 45",
    "saddle --branch 60.3mm_x_2.9mm --header 60.3mm_x_2.9mm",
    "saddle --branch square_50mm_x_2mm_r_4mm --header 200mm --angle 60",
    "saddle --branch rect_60mm_x_40mm_x_3mm_r_5mm --header 200mm --turned 20",
    "saddle --branch square_100mm_x_3mm_r_6mm --header 300mm",
    "saddle --branch square_30mm_x_2mm_r_3mm --header 200mm --angle 60",
    "miter --tube 30mm_x_2mm --turn 20 --pieces 3 --radius 120mm",
];

#[test]
fn nothing_is_written_upside_down() {
    let (mut folds, mut turned) = (0, 0);
    for joint in JOINTS {
        for paper in ["a4", "letter"] {
            for words in &pdf(&format!("{joint} --paper {paper}")).words {
                // The cosine of its turn to the left.
                assert!(words.turn.to_radians().cos() > -0.5, "{joint} on {paper}: {words:?}");
                folds += usize::from(words.text == "FOLD");
                turned += usize::from(words.text == "FOLD" && words.turn.abs() < 1.0);
            }
        }
    }
    // On wraps that lie level and on those that are turned.
    assert!(folds >= 16 && turned >= 8 && folds - turned >= 4, "{folds}, {turned}");
}

#[test]
fn every_tab_says_under_which_edge_it_is_glued_and_where_the_seam_is() {
    let mut tabs = 0;
    for joint in JOINTS {
        for paper in ["a4", "letter"] {
            let pdf = pdf(&format!("{joint} --paper {paper}"));
            let begins = pdf
                .words
                .iter()
                .enumerate()
                .filter(|(_, words)| words.text.starts_with("TAB: "));
            for (index, first) in begins {
                // The lines of a tab follow each other.
                let lines = pdf.words[index..]
                    .iter()
                    .take(4)
                    .filter(|words| (words.turn - first.turn).abs() < 1.0);
                let lines: Vec<&str> = lines.map(|words| words.text.as_str()).collect();
                let told = lines.join(" ");
                assert!(
                    told.starts_with("TAB: glue under the left edge"),
                    "{joint} on {paper}: {told}"
                );
                let seam = if joint.contains("--seam 45") {
                    "45° from the FRONT"
                } else {
                    "at the BACK"
                };
                assert!(
                    told.contains("SEAM") && told.contains(seam),
                    "{joint} on {paper}: {told}"
                );
                tabs += 1;
            }
        }
    }
    assert!(tabs >= 2 * JOINTS.len(), "{tabs}");
}

#[test]
fn a_fold_that_is_at_a_station_has_no_row_of_its_own() {
    let shop = Shop::open();
    for (size, at_stations) in [("square_100mm_x_3mm_r_6mm", 4), ("rect_60mm_x_40mm_x_3mm_r_5mm", 0)] {
        let run = format!("saddle --branch {size} --header 300mm --ordinates --out p.pdf");
        let said = shop.run(&run).succeeds().out();
        let rows = said.lines().skip_while(|line| *line != "Branch end: by hand").skip(2);
        let rows = rows.take_while(|line| !line.starts_with("Cut end up"));
        let rows: Vec<Vec<&str>> = rows.map(|row| row.split_whitespace().collect()).collect();
        let named = |name: &str| rows.iter().filter(|row| row.get(1) == Some(&name)).count();
        // Where the rounds begin and end; a corner's middle only where a station is there anyway.
        assert_eq!(
            [named("fold"), named("bend"), rows.len()],
            [at_stations, 8, 24],
            "{rows:?}"
        );
        // Beside the wrap, which has the folds, the table has their middles alone.
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let printed = |name: &str| pdf.words.iter().filter(|words| words.text == name).count();
        assert_eq!([printed("fold"), printed("bend")], [4, 0]);
        // How far to the right, of which every place has its own.
        let mut places: Vec<&str> = rows.iter().map(|row| row[row.len() - 3]).collect();
        places.dedup();
        assert_eq!(places.len(), rows.len(), "{rows:?}");
    }
}

/// A piece between two drums, of one size and of a length in millimetres along its middle.
fn piece(size: &str, length: f64) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{size}" }} }}, "bodies": {{
        "low": {{ "shape": "cylinder", "size": "600mm x 3mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 0, 1] }},
        "high": {{ "shape": "cylinder", "size": "600mm x 3mm", "from": [0, 0, {high}], "to": [0, 600, {high}], "zero": [0, 0, -1] }} }},
        "tubes": {{ "stub": {{ "stock": "a", "path": [ {{ "on": "low", "along": 300 }}, {{ "on": "high", "along": 303 }} ] }} }} }}"#,
        high = 600.0 + length
    )
}

/// The base lines of a page, level or upright: the lines with ticks on them, as they are of wraps and of their tiles.
fn base_lines(pdf: &Pdf, page: usize) -> Vec<Rect> {
    let of_page = pdf.on("notes").filter(|stroke| stroke.page == page);
    let straight = of_page.filter(|stroke| stroke.path.elements().len() == 2);
    let (ticks, long): (Vec<&Stroke>, Vec<&Stroke>) =
        straight.partition(|stroke| reach(&stroke.path.bounding_box()) < 4.1);
    let ticks: Vec<Point> = ticks.iter().map(|tick| tick.path.bounding_box().center()).collect();
    let lines = long.into_iter().map(|line| line.path.bounding_box());
    let is_ticked = |line: &Rect| {
        let near = line.inflate(0.01, 0.01);
        ticks.iter().filter(|tick| near.contains(**tick)).count() >= 3
    };
    lines
        .filter(|line| line.width().min(line.height()) < 0.01 && is_ticked(line))
        .collect()
}

/// How long a straight line is, level or upright.
fn reach(line: &Rect) -> f64 {
    line.width().max(line.height())
}

/// Beside the line wherever there is room, else in the wrap's words.
#[test]
fn every_base_line_is_named_on_each_sheet_where_it_is_seen() {
    let jobs = [
        "8mm x 1mm",
        "21.3mm x 2mm",
        "48.3mm x 2mm",
        "114.3mm x 3mm",
        "square 40mm x 2mm r 4mm",
    ]
    .map(|size| {
        // The shortest whose cuts leave no room, then some of two cuts on one wrap, then one in two wraps.
        [6.0, 20.0, 45.0, 150.0, 400.0].map(|length| (size, length))
    });
    let (mut lines, mut tiles) = (0, 0);
    let mut hold = |pdf: &Pdf, what: &str| {
        for page in 0..pdf.pages.len() {
            let words: Vec<_> = pdf.words.iter().filter(|words| words.page == page).collect();
            let all = words
                .iter()
                .map(|words| words.text.as_str())
                .collect::<Vec<_>>()
                .join(" ");
            for line in base_lines(pdf, page) {
                let beside = line.inflate(10.0, 10.0);
                let is_beside = words
                    .iter()
                    .any(|words| words.text.starts_with("BASE LINE") && beside.contains(words.at));
                assert!(
                    is_beside || all.contains("The thin line square round the tube is the BASE LINE."),
                    "{what}, sheet {}: {line:?}: {all}",
                    page + 1
                );
                lines += 1;
                tiles += usize::from(all.contains(": tile "));
            }
        }
    };
    for paper in ["a4 --units mm", "letter --units in"] {
        for (size, length) in jobs.iter().flatten() {
            let shop = Shop::open();
            shop.write("job.json", piece(size, *length).as_bytes());
            shop.run(&format!("batch job.json --paper {paper} --out p.pdf"))
                .succeeds();
            hold(&Pdf::read(&shop.read("p.pdf")), &format!("{size}, {length} on {paper}"));
        }
        for joint in JOINTS.iter().chain(&[
            "saddle --branch 168.3mm_x_5mm --header 219.1mm --angle 45",
            "saddle --branch 8mm_x_1mm --header 60mm",
            "miter --tube 114.3mm_x_3mm --turn 60 --pieces 4 --radius 200mm",
            "facets --branch 114.3mm_x_3mm --header 168.3mm",
        ]) {
            hold(&pdf(&format!("{joint} --paper {paper}")), joint);
        }
    }
    assert!(lines >= 90 && tiles >= 40, "{lines} lines, {tiles} of them on tiles");
}

#[test]
fn whose_numbers_stand_upside_down_is_told_once() {
    let mut rows = 0;
    for paper in ["a4 --units mm", "letter --units in"] {
        for size in ["8mm x 1mm", "21.3mm x 2mm", "48.3mm x 2mm", "114.3mm x 3mm"] {
            for length in [6.0, 20.0, 30.0, 45.0, 150.0] {
                let shop = Shop::open();
                shop.write("job.json", piece(size, length).as_bytes());
                shop.run(&format!(
                    "batch job.json --without tables,cover --paper {paper} --out p.pdf"
                ))
                .succeeds();
                let pdf = Pdf::read(&shop.read("p.pdf"));
                // Stations of the END, read from above or from the right.
                let is_turned_over = |turn: f64| (turn.abs() - 180.0).abs() < 1.0 || (turn + 90.0).abs() < 1.0;
                let is_number = |text: &str| text.parse::<u32>().is_ok_and(|number| number < 16);
                let upside_down = pdf
                    .words
                    .iter()
                    .filter(|words| words.layer == "notes" && is_number(&words.text) && is_turned_over(words.turn));
                let has_row = upside_down.count() > 0;
                let all: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
                let all = all.join(" ");
                let told = all.matches("upside down").count();
                assert_eq!(told, usize::from(has_row), "{size}, {length} on {paper}: {all}");
                assert!(!has_row || all.contains("END"), "{size}, {length} on {paper}: {all}");
                rows += usize::from(has_row);
            }
        }
    }
    assert!(rows >= 20, "{rows}");
}
