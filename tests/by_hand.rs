//! Who has no printer marks the tube by the printed ordinates: 16 stations, read as fractions of an inch, and a smooth
//! curve through them. How far is that from the true cut? Only the sheet's words are used for the marks.

mod support;

use std::f64::consts::PI;

use serde_json::Value;
use support::{Pdf, Shop, Words};

const STATIONS: usize = 16;
const MM_PER_INCH: f64 = 25.4;

/// Stated in the README for branches and miters of pipe to 4 in, in millimetres along the tube: the finest fraction that is
/// asked for, and how far off the marks are then.
const STATED: [(u32, f64); 2] = [(32, 0.8), (64, 0.6)];

/// A fraction as the sheet has it, such as `1-27/32 (1.840)`: the fraction, not the decimal beside it.
fn fraction(words: &str, finest: u32) -> f64 {
    if words.starts_with("under ") {
        return 0.0;
    }
    let mark = words.split(" (").next().expect("a mark");
    let (sign, mark) = mark.strip_prefix('-').map_or((1.0, mark), |mark| (-1.0, mark));
    let (whole, part) = mark
        .split_once('-')
        .unwrap_or(if mark.contains('/') { ("0", mark) } else { (mark, "0/1") });
    let (above, below) = part.split_once('/').expect("a fraction");
    let number = |words: &str| words.parse::<f64>().unwrap_or_else(|_| panic!("{words:?} of {mark:?}"));
    assert!(number(below) <= f64::from(finest), "{mark}");
    sign * (number(whole) + number(above) / number(below)) * MM_PER_INCH
}

/// The table's rows: girth from the front and height over the base line, in millimetres.
fn printed_marks(pdf: &Pdf, finest: u32) -> Vec<(f64, f64)> {
    let head = pdf.words.iter().find(|words| words.text == "no.").expect("a table");
    let on_page: Vec<&Words> = pdf.words.iter().filter(|words| words.page == head.page).collect();
    // Its rows may stand in blocks beside each other, each with its heads.
    let heads: Vec<&&Words> = on_page
        .iter()
        .filter(|words| words.text == "no." && words.at.y == head.at.y)
        .collect();
    let row = |number: usize| {
        let begins = |words: &Words| heads.iter().any(|head| (words.at.x - head.at.x).abs() < 0.5);
        let first = on_page
            .iter()
            .filter(|words| words.text == number.to_string() && begins(words))
            .find(|words| words.at.y < head.at.y)
            .unwrap_or_else(|| panic!("no station {number}"));
        let next = heads.iter().map(|head| head.at.x).filter(|x| *x > first.at.x + 0.5);
        let until = next.fold(f64::MAX, f64::min) - 0.5;
        let mut row: Vec<&&Words> = on_page
            .iter()
            .filter(|words| (words.at.y - first.at.y).abs() < 0.1 && words.turn == 0.0)
            .filter(|words| (first.at.x..until).contains(&words.at.x))
            .collect();
        row.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
        (fraction(&row[2].text, finest), fraction(&row[3].text, finest))
    };
    (0..STATIONS).map(row).collect()
}

/// The smooth closed curve through marks: a periodic cubic spline, by its second derivatives.
struct Spline {
    marks: Vec<(f64, f64)>,
    bends: Vec<f64>,
    girth: f64,
}

impl Spline {
    fn through(marks: Vec<(f64, f64)>, girth: f64) -> Self {
        let count = marks.len();
        let step = |k: usize| (marks[(k + 1) % count].0 - marks[k].0).rem_euclid(girth);
        let rise = |k: usize| (marks[(k + 1) % count].1 - marks[k].1) / step(k);
        let mut rows: Vec<Vec<f64>> = (0..count)
            .map(|k| {
                let before = (k + count - 1) % count;
                let mut row = vec![0.0; count + 1];
                row[before] = step(before);
                row[k] = 2.0 * (step(before) + step(k));
                row[(k + 1) % count] = step(k);
                row[count] = 6.0 * (rise(k) - rise(before));
                row
            })
            .collect();
        // The middle of each row outweighs the rest: no pivots are needed.
        for pivot in 0..count {
            let chosen = rows[pivot].clone();
            for (index, row) in rows.iter_mut().enumerate() {
                let share = row[pivot] / chosen[pivot];
                if index != pivot {
                    row.iter_mut().zip(&chosen).for_each(|(value, by)| *value -= share * by);
                }
            }
        }
        let bends = (0..count).map(|k| rows[k][count] / rows[k][k]).collect();
        Self { marks, bends, girth }
    }

    fn at(&self, x: f64) -> f64 {
        let count = self.marks.len();
        let (k, width) = (0..count)
            .map(|k| {
                (
                    k,
                    (self.marks[(k + 1) % count].0 - self.marks[k].0).rem_euclid(self.girth),
                )
            })
            .find(|&(k, width)| (x - self.marks[k].0).rem_euclid(self.girth) <= width)
            .expect("a span");
        let right = (x - self.marks[k].0).rem_euclid(self.girth);
        let left = width - right;
        let next = (k + 1) % count;
        let bend = |left: f64, bend: f64| bend * (left.powi(3) / width - width * left) / 6.0;
        (self.marks[k].1 * left + self.marks[next].1 * right) / width
            + bend(left, self.bends[k])
            + bend(right, self.bends[next])
    }
}

/// The largest distance along the tube between the curve by hand and the true cut, looked at degree by degree.
fn off_by_hand(command: &str, finest: u32) -> f64 {
    let shop = Shop::open();
    shop.run(&format!(
        "{command} --units in --fractions {finest} --paper letter --out s.pdf --report r.json"
    ))
    .succeeds();
    let report = shop.report("r.json");
    let end = &report["ends"][0];
    let number = |value: &Value| value.as_f64().expect("a number");
    let girth = PI * number(&end["od_mm"]);
    let curve = Spline::through(printed_marks(&Pdf::read(&shop.read("s.pdf")), finest), girth);
    let base = number(&end["base_line_t_mm"]);
    // A branch's t grows away from the cut end, a miter's towards it.
    let towards = if command.starts_with("miter") { -1.0 } else { 1.0 };
    let rows = end["curve"].as_array().expect("a curve").iter();
    let offs = rows.map(|row| {
        let (azimuth, t) = (number(&row[0]), number(&row[1]));
        (curve.at(azimuth / 360.0 * girth) - towards * (base - t)).abs()
    });
    offs.fold(0.0, f64::max)
}

#[test]
fn tubes_marked_by_hand_are_as_close_as_is_stated() {
    let commands = [
        "saddle --branch 1.9in_x_0.145in --header 4.5in",
        "saddle --branch 1.9in_x_0.145in --header 4.5in --angle 60",
        "saddle --branch 1.9in_x_0.145in --header 4.5in --angle 45",
        "saddle --branch 1.9in_x_0.145in --header 4.5in --angle 30",
        "saddle --branch 1.9in_x_0.145in --header 2.375in",
        "saddle --branch 1.9in_x_0.145in --header 2.375in --angle 45",
        "saddle --branch fence_1-7/8_x_0.065in --header drum_55_gal",
        "saddle --branch fence_1-7/8_x_0.065in --header drum_55_gal --angle 60 --offset 8in",
        "saddle --branch fence_1-7/8_x_0.065in --header fence_1-7/8",
        "saddle --branch fence_1-7/8_x_0.065in --header fence_1-7/8 --angle 45",
        "saddle --branch NPS_1/2_sch_40 --header NPS_2_sch_40 --angle 75",
        "saddle --branch NPS_2_sch_40 --header NPS_4_sch_40 --offset 0.75in",
        "saddle --branch NPS_2_sch_40 --header NPS_2_sch_40",
        "saddle --branch NPS_3_sch_40 --header NPS_6_sch_40 --join set-in --clearance 1/32in --angle 60",
        "saddle --branch NPS_4_sch_40 --header NPS_6_sch_40 --angle 45",
        "saddle --branch NPS_4_sch_40 --header NPS_4_sch_40",
        "miter --tube 1.9in_x_0.145in --turn 90",
        "miter --tube 4.5in_x_0.237in --turn 90 --pieces 3",
        "miter --tube NPS_4_sch_40 --turn 45",
    ];
    for (finest, stated) in STATED {
        let offs = commands.map(|command| off_by_hand(command, finest));
        for (off, command) in offs.iter().zip(commands) {
            println!("{off:.3} mm by hand to 1/{finest} in: {command}");
        }
        let worst = offs.into_iter().fold(0.0, f64::max);
        // A bound that is far away would tell nobody anything.
        assert!((0.5 * stated..=stated).contains(&worst), "{worst} to 1/{finest} in");
    }
}

/// Without any sheet the terminal says where a hole's lines are: by the figures of the report, to its own side of the zero line.
#[test]
fn the_terminal_says_where_the_lines_of_every_hole_are() {
    let shop = Shop::open();
    let bank = std::fs::read_to_string("templates/cooler-bank.json").expect("a starter");
    shop.write("job.json", bank.as_bytes());
    let said = shop
        .run("batch job.json --report r.json --out p.pdf --ordinates")
        .succeeds()
        .out();
    let report = shop.report("r.json");
    let holes = report["holes"].as_array().expect("holes");
    assert_eq!(holes.len(), 12);
    let mut sides = Vec::new();
    for hole in holes {
        let number = |key: &str| hole[key].as_f64().expect("a number");
        let (along, round, degrees) = (number("along_mm"), number("round_mm"), number("round_deg"));
        let side = if round < 0.0 { "left" } else { "right" };
        let line = format!(
            "{}: line A {:.2} mm ({:.0}°) to the {side} of the zero line, line B {along:.2} mm along from the near end; up is towards the far end.",
            hole["tube"].as_str().expect("a tube"),
            round.abs(),
            degrees.abs(),
        );
        assert!(said.lines().any(|one| one == line), "{line}\n{said}");
        sides.push(side);
    }
    assert!(sides.contains(&"left") && sides.contains(&"right"));
}

/// What the table says of straight lines from mark to mark, in millimetres.
fn straight_lines_off(said: &str) -> f64 {
    let words = said
        .split("straight lines are up to ")
        .nth(1)
        .expect("how to join the marks");
    words.split(' ').next().expect("a figure").parse().expect("millimetres")
}

#[test]
fn straight_lines_from_mark_to_mark_are_as_far_off_as_the_table_says() {
    let shop = Shop::open();
    // A miter's cut is a cosine: between marks 15 degrees apart it rises over a straight line most beside its top.
    let said = shop
        .run("miter --tube 114.3mm_x_3mm --turn 90 --stations 24 --ordinates --out m.pdf")
        .succeeds()
        .out();
    let half = PI / 24.0;
    let rises = 57.15 * half.cos() * (1.0 - half.cos());
    assert!((straight_lines_off(&said) - rises).abs() < 0.011, "{rises}: {said}");
    for command in [
        "saddle --branch 48.3mm_x_2mm --header 114.3mm_x_3mm --angle 60",
        "saddle --branch 48.3mm_x_2mm --header 48.3mm_x_2mm",
        "saddle --branch 60.3mm_x_2mm --header 573mm --angle 35 --offset 150",
    ] {
        let said = shop
            .run(&format!(
                "{command} --stations 24 --ordinates --units mm --report r.json --out s.pdf"
            ))
            .succeeds()
            .out();
        let report = shop.report("r.json");
        let rows = report["ends"][0]["curve"].as_array().expect("a curve").iter();
        let t: Vec<f64> = rows.map(|row| row[1].as_f64().expect("mm")).take(360).collect();
        assert_eq!(t.len(), 360);
        let off = |degree: usize| {
            let (from, past) = (degree / 15 * 15, degree % 15);
            let (a, b) = (t[from], t[(from + 15) % 360]);
            (t[degree] - a - (b - a) * past as f64 / 15.0).abs()
        };
        let most = (0..360).map(off).fold(0.0, f64::max);
        let told = straight_lines_off(&said);
        assert!(
            (-0.005..0.02 * most + 0.011).contains(&(told - most)),
            "{told}, {most}: {command}"
        );
    }
    let said = shop
        .run("miter --tube 114.3mm_x_3mm --turn 1 --ordinates --out m.pdf")
        .succeeds()
        .out();
    assert!(said.contains("Join them by straight lines."), "{said}");
}
