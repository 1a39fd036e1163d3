//! What is written on wraps, and in the tables of tubes with sides.

mod support;

use support::{Pdf, Shop};

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

fn pdf(command: &str) -> Pdf {
    let shop = Shop::open();
    shop.run(&format!("{command} --out p.pdf")).succeeds();
    Pdf::read(&shop.read("p.pdf"))
}

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
        let folds: Vec<&Vec<&str>> = rows.iter().filter(|row| row.get(1) == Some(&"fold")).collect();
        assert_eq!(folds.len(), 4, "{rows:?}");
        let numbered = folds.iter().filter(|row| row[0] != "-").count();
        assert_eq!((numbered, rows.len()), (at_stations, 20 - at_stations), "{rows:?}");
        // How far to the right, of which every place has its own.
        let mut places: Vec<&str> = rows.iter().map(|row| row[row.len() - 3]).collect();
        places.dedup();
        assert_eq!(places.len(), rows.len(), "{rows:?}");
    }
}
