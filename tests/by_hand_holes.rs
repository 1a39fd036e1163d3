//! Who has no printer marks a hole by the printed table: marks down its left side and down its right, joined by straight lines.
//! How far is that from the solved outline?

mod support;

use kurbo::{Line, ParamCurveNearest, Point};
use support::Shop;

const MM_PER_INCH: f64 = 25.4;

/// Stock, its turn, and where a tube of it goes from a place on a drum 400 mm across: leaning to the far end, round the drum, and
/// past its axis.
const TUBES: [(&str, f64, [f64; 3]); 10] = [
    ("square 100mm x 3mm r 6mm", 0.0, [0.0, 0.0, 500.0]),
    ("square 100mm x 3mm r 0mm", 0.0, [0.0, 0.0, 500.0]),
    ("square 100mm x 3mm r 6mm", 0.0, [0.0, 300.0, 500.0]),
    ("rect 150mm x 90mm x 3mm r 8mm", 0.0, [0.0, 350.0, 500.0]),
    ("rect 150mm x 90mm x 3mm r 8mm", 30.0, [0.0, 0.0, 500.0]),
    ("rect 90mm x 140mm x 3mm r 0mm", 65.0, [0.0, -250.0, 500.0]),
    ("square 80mm x 2mm r 4mm", 45.0, [180.0, 0.0, 500.0]),
    ("rect 120mm x 60mm x 2mm r 4mm", 20.0, [-150.0, 200.0, 500.0]),
    ("square 30mm x 2mm r 3mm", 10.0, [100.0, 300.0, 500.0]),
    ("48.3mm x 2mm", 0.0, [150.0, 300.0, 500.0]),
];

fn job(join: &str) -> String {
    let lines = TUBES.iter().enumerate().map(|(number, (size, turned, way))| {
        let stock = format!(r#""s{number}": {{ "size": "{size}" }}"#);
        let [x, y, z] = way;
        let along = 300 + 400 * number;
        // Round tube has no sides to be turned.
        let turned = if *turned == 0.0 {
            String::new()
        } else {
            format!(r#""turned": {turned}, "#)
        };
        let tube = format!(
            r#""t{number}": {{ "stock": "s{number}", {turned}"start": {{ "join": "{join}" }}, "path": [
            {{ "on": "drum", "along": {along}, "round": 0 }}, {{ "step": [{x}, {y}, {z}] }} ] }}"#
        );
        (stock, tube)
    });
    let (stock, tubes): (Vec<String>, Vec<String>) = lines.unzip();
    format!(
        r#"{{ "units": "mm", "stock": {{ {} }}, "bodies": {{ "drum": {{ "shape": "cylinder", "size": "400mm x 3mm",
            "from": [0, 0, 0], "to": [0, 5000, 0], "zero": [0, 0, 1] }} }}, "tubes": {{ {} }} }}"#,
        stock.join(", "),
        tubes.join(", ")
    )
}

/// A length of the table as a person reads it, to the fraction and not to the decimal beside it, in millimetres; none where there
/// is no mark.
fn length(cell: &str) -> Option<f64> {
    let (sign, cell) = match cell.strip_prefix("down ") {
        Some(cell) => (-1.0, cell),
        None => (1.0, cell.strip_prefix("up ").unwrap_or(cell)),
    };
    match cell {
        "-" => return None,
        "on A" | "on B" => return Some(0.0),
        _ if cell.starts_with("under ") || cell.starts_with("minus under ") => return Some(0.0),
        _ => {}
    }
    let (sign, cell) = cell.strip_prefix('-').map_or((sign, cell), |cell| (-sign, cell));
    let Some((mark, _)) = cell.split_once(" (") else {
        return Some(sign * cell.parse::<f64>().unwrap_or_else(|_| panic!("{cell:?}")));
    };
    let parts = mark.split('-').map(|part| match part.split_once('/') {
        Some((above, below)) => above.parse::<f64>().expect("above") / below.parse::<f64>().expect("below"),
        None => part.parse().expect("a whole number"),
    });
    Some(sign * parts.sum::<f64>() * MM_PER_INCH)
}

/// A printed table: its marks in order round the hole, its rows, and how near it says that they are.
struct Table {
    marks: Vec<Point>,
    rows: usize,
    within: f64,
}

fn table(said: &str, title: &str) -> Table {
    let mut lines = said.lines().skip_while(|line| *line != title).skip(2);
    let (mut left, mut right, mut rows) = (Vec::new(), Vec::new(), 0);
    let under = loop {
        let line = lines.next().expect("words under the table");
        if line.starts_with("Up or down") {
            break line;
        }
        rows += 1;
        let cells: Vec<&str> = line
            .split("  ")
            .map(str::trim)
            .filter(|cell| !cell.is_empty())
            .collect();
        let [up_left, at_left, up_right, at_right] = cells.try_into().expect("four cells");
        left.extend(
            length(up_left)
                .zip(length(at_left))
                .map(|(up, aside)| Point::new(-aside, up)),
        );
        right.extend(
            length(up_right)
                .zip(length(at_right))
                .map(|(up, aside)| Point::new(aside, up)),
        );
    };
    let within = under
        .split(" are within ")
        .nth(1)
        .and_then(|words| words.split(" of the hole's edge").next());
    let within = within.unwrap_or_else(|| panic!("how near it is: {under}"));
    let within = length(&within.replace(" mm", "").replace(" in", "")).expect("a length");
    right.reverse();
    left.extend(right);
    Table {
        marks: left,
        rows,
        within,
    }
}

/// The farthest that a place of one closed line is from another.
fn farthest(places: &[Point], from: &[Point]) -> f64 {
    let next = from.iter().cycle().skip(1);
    let sides: Vec<Line> = from.iter().zip(next).map(|(a, b)| Line::new(*a, *b)).collect();
    let off = |place: &Point| {
        let to_sides = sides.iter().map(|side| side.nearest(*place, 1e-6).distance_sq);
        to_sides.fold(f64::MAX, f64::min).sqrt()
    };
    places.iter().map(off).fold(0.0, f64::max)
}

/// Places on the straight sides of what was marked, a hundred on each.
fn joined(marks: &[Point]) -> Vec<Point> {
    let next = marks.iter().cycle().skip(1);
    let sides = marks.iter().zip(next);
    sides
        .flat_map(|(a, b)| (0..100).map(|share| a.lerp(*b, f64::from(share) / 100.0)))
        .collect()
}

#[test]
fn the_marks_of_a_table_joined_by_straight_lines_are_as_near_to_the_hole_as_is_stated() {
    for (units, least, most) in [
        ("mm", 0.3, 0.51),
        ("in --fractions 16", 0.9, 1.59),
        ("in", 0.45, 0.80),
        ("in --fractions 64", 0.22, 0.40),
    ] {
        let mut worst = 0.0_f64;
        for join in ["set-on", "set-in"] {
            let shop = Shop::open();
            shop.write("job.json", job(join).as_bytes());
            let run = format!("batch job.json --units {units} --ordinates --report r.json --out p.pdf");
            let said = shop.run(&run).succeeds().out();
            let report = shop.report("r.json");
            let holes = report["holes"].as_array().expect("holes");
            assert_eq!(holes.len(), TUBES.len());
            for (hole, (size, ..)) in holes.iter().zip(TUBES) {
                let name = hole["tube"].as_str().expect("a tube");
                let title = said
                    .lines()
                    .find(|line| line.starts_with(&format!("hole in drum for {name} (")));
                let Table { marks, rows, within } = table(&said, title.unwrap_or_else(|| panic!("{name}: {said}")));
                let outline = hole["outline"].as_array().expect("an outline").iter();
                let number = |place: &serde_json::Value, of: usize| place[of].as_f64().expect("a number");
                let outline: Vec<Point> = outline
                    .map(|place| Point::new(number(place, 0), number(place, 1)))
                    .collect();
                let off = farthest(&outline, &marks).max(farthest(&joined(&marks), &outline));
                println!("{off:.3} of {within:.3} mm, {rows} rows: {size}, {join}, {units}");
                assert!(
                    off <= within + 1e-3,
                    "{name}, {size}, {join}, {units}: {off} of {within}\n{marks:?}"
                );
                assert!(rows <= 36, "{rows}");
                worst = worst.max(off);
                // Either side told as the other would be another hole, where it isn't its own mirror image.
                let mirrored: Vec<Point> = marks.iter().map(|mark| Point::new(-mark.x, mark.y)).collect();
                let is_even = matches!(
                    TUBES[holes.iter().position(|h| h["tube"] == name).expect("it")],
                    (_, 0.0, [0.0, ..])
                );
                assert!(is_even == (farthest(&outline, &mirrored) < 2.0), "{name}");
            }
        }
        // A bound that is far away would tell nobody anything.
        assert!((least..=most).contains(&worst), "{worst} in {units}");
    }
}

#[test]
fn a_table_has_no_more_rows_than_it_needs_and_a_large_hole_one_that_fits_on_a_sheet() {
    let shop = Shop::open();
    // Where both sides are alike, a quarter of the circle is four straight lines within half a millimetre: R (1 - cos(90 / 8)).
    for (size, rows, within) in [("48.3mm x 2mm", 9, 0.5), ("1500mm x 5mm", 36, 1.0)] {
        let saddle = [
            "saddle",
            "--branch",
            size,
            "--header",
            "1900mm x 10mm",
            "--ordinates",
            "--without",
            "holes",
        ];
        let said = shop.run_words(&saddle).succeeds().out();
        let table = table(&said, "Hole: by hand");
        assert!(table.rows <= rows, "{size}: {}", table.rows);
        assert_eq!(table.within, within);
    }
}

/// A tube that is coped to a pipe, with a branch on its side: how the branch's hole is found on the tube, from what is printed of
/// it. `up` is where the branch goes, 1 or -1 along z.
fn on_a_coped_tube(up: f64, start: &str) -> (String, f64) {
    let job = format!(
        r#"{{ "units": "mm", "stock": {{ "t": {{ "size": "60.3mm x 2mm" }}, "w": {{ "size": "33.7mm x 2.6mm" }} }},
        "bodies": {{ "pipe": {{ "shape": "cylinder", "size": "219.1mm x 3mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [1, 0, 0] }} }},
        "tubes": {{
          "leg": {{ "stock": "t", "path": [ {{ "on": "pipe", "along": 211 }}, {{ "step": [300, 230, 0] }} ]{start} }},
          "branch": {{ "stock": "w", "path": [ {{ "on": "leg", "along": 120, "round": {} }}, {{ "step": [0, 0, {}] }} ] }} }} }}"#,
        if up > 0.0 { "\"90deg\"" } else { "\"-90deg\"" },
        97.0 * up
    );
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    let told = shop.run("batch job.json --out p.pdf --ordinates").succeeds().out();
    let pdf = support::Pdf::read(&shop.read("p.pdf"));
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    let line = told.lines().find(|line| line.contains("base line to the square end"));
    let to_end = line.and_then(|line| line.split("square end: ").nth(1)?.split(" mm").next()?.parse().ok());
    let base = to_end.map_or(f64::NAN, |to_end: f64| 300.0_f64.hypot(230.0) - to_end);
    (format!("{told}\n{}", words.join(" ")), base)
}

/// Its start's middle line begins in the air, and with its end up its LEFT line is to the right: neither the start nor a side as one
/// sees it finds the hole.
#[test]
fn a_hole_in_a_coped_tube_is_found_from_its_base_line_and_its_own_lines() {
    let along = glam::DVec3::new(300.0, 230.0, 0.0).normalize();
    // The acute angle is on the side of the pipe's far end: FRONT.
    let front = (glam::DVec3::Y - along.y * along).normalize();
    // Up is the start's cut, and right is as seen from outside.
    let right = (-along).cross(front);
    for up in [1.0, -1.0] {
        let (said, base) = on_a_coped_tube(up, "");
        let side = if right.z * up > 0.0 { "RIGHT" } else { "LEFT" };
        let past = 120.0 - base;
        for words in [
            format!("leg: line A 47.36 mm (90°) from its FRONT line towards its {side}, line B {past:.2} mm from the base line at its START")
                .replacen("leg", "branch", 1),
            format!("up {past:.2} mm"),
            format!("to {side} 47.36 mm (90°)"),
        ] {
            assert!(said.contains(&words), "{words}\n{said}");
        }
        assert!(!said.contains("120.00 mm along"), "{said}");
    }
}

/// Cut already it has no base line: its tip is found.
#[test]
fn a_hole_in_a_tube_that_is_cut_already_is_found_from_its_tip() {
    let (said, _) = on_a_coped_tube(1.0, r#", "start": { "made": "end" }"#);
    // At the back the bore touches last: from there the pipe's skin falls away.
    let tip = -(60.3 / 2.0 - 2.0) * 230.0 / 300.0;
    let words = format!("line B {:.2} mm from the tip of its START towards its END", 120.0 - tip);
    assert!(said.contains(&words), "{words}\n{said}");
}

/// On a cone a tape lies on the skin, which is longer than the axis.
#[test]
fn a_hole_in_a_cone_is_found_with_the_tape_on_the_skin() {
    let job = r#"{ "units": "mm", "stock": { "t": { "size": "42.4mm x 2.6mm" } },
        "bodies": { "funnel": { "shape": "cone", "size": "560mm x 2mm", "size_to": "210mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 290], "zero": [1, 0, 0] } },
        "tubes": { "stub": { "stock": "t", "path": [ { "on": "funnel", "along": 140, "round": "-47deg" }, { "step": [160, -140, 71] } ] } } }"#;
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --out p.pdf").succeeds();
    let pdf = support::Pdf::read(&shop.read("p.pdf"));
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    let said = words.join(" ");
    let on_skin = 140.0 * 290.0_f64.hypot((560.0 - 210.0) / 2.0) / 290.0;
    assert!(
        said.contains(&format!("line B {on_skin:.2} mm with the tape on the skin")),
        "{said}"
    );
}
