//! The sheets of a whole job: what is told on one must be true of the others.

mod support;

use serde_json::Value;
use support::{Pdf, Shop};

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
fn the_cut_list_names_the_sheets_that_the_wraps_are_on() {
    for paper in ["a4", "letter", "a3"] {
        let (pdf, report) = pack(paper);
        let head = pdf.words.iter().find(|words| words.text == "sheet").expect("a head");
        for row in report["job"]["cut_list"].as_array().expect("rows") {
            let (number, name) = (row["number"].to_string(), row["name"].as_str().expect("a name"));
            let title = format!("PIECE {number} {name},");
            let mut pages: Vec<String> = pdf
                .words
                .iter()
                .filter(|words| words.text.starts_with(&title))
                .map(|words| (words.page + 1).to_string())
                .collect();
            pages.dedup();
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
            let expected = match pages.len() {
                0 => "-".to_owned(),
                1 => pages[0].clone(),
                _ if pages[0].parse::<usize>().map(|page| (page + 1).to_string()) == Ok(pages[1].clone()) => {
                    format!("{}-{}", pages[0], pages[1])
                }
                _ => pages.join(", "),
            };
            assert_eq!(told.text, expected, "{paper}: {name}");
        }
    }
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
