//! The pack of a clean-out box: a large square tube on a drum, whose wrap and hole take most of each sheet.

mod support;

use support::{Pdf, Shop};

fn job(units: &str, size: &str, drum: [f64; 2], [along, out, down]: [f64; 3]) -> String {
    let [across, long] = drum;
    format!(
        r#"{{ "title": "Clean-out box", "units": "{units}", "stock": {{ "box": {{ "size": "{size}" }} }},
        "bodies": {{ "drum": {{ "shape": "cylinder", "size": "{across}{units} x 1.2mm", "from": [0, 0, 0], "to": [0, 0, {long}], "zero": [1, 0, 0] }} }},
        "tubes": {{ "clean-out": {{ "stock": "box", "path": [ {{ "on": "drum", "along": {along}, "round": "90deg" }},
            {{ "step": [0, {out}, {down}] }} ], "start": {{ "join": "set-in", "clearance": 0.04 }}, "end": {{ "join": "square" }} }} }} }}"#
    )
}

/// Three tiles of the wrap, its hole, and all else on the cover: the table by hand goes where there is room, lower if it must.
#[test]
fn no_table_of_a_box_stands_on_a_sheet_by_itself() {
    let jobs = [
        (
            "mm",
            job("mm", "square 150mm x 3mm r 6mm", [572.0, 880.0], [130.0, 200.0, -60.0]),
        ),
        (
            "in",
            job("in", "square 6in x 0.125in r 0.25in", [22.5, 34.5], [5.0, 8.0, -2.5]),
        ),
    ];
    for (units, job) in jobs {
        for paper in ["a4", "letter"] {
            let shop = Shop::open();
            shop.write("job.json", job.as_bytes());
            shop.run(&format!("batch job.json --paper {paper} --out p.pdf"))
                .succeeds();
            let pdf = Pdf::read(&shop.read("p.pdf"));
            assert!(pdf.pages.len() <= 5, "{} sheets in {units} on {paper}", pdf.pages.len());
            assert!(
                pdf.words.iter().all(|words| !words.text.contains("The start: Weld")),
                "a sentence goes on after a colon"
            );
            // All of its sixteen stations, in however many blocks, each with its heads.
            let table = pdf
                .words
                .iter()
                .find(|words| words.text == "1 clean-out: start: by hand")
                .expect("a table");
            let below = pdf
                .words
                .iter()
                .filter(|words| words.page == table.page && words.at.y < table.at.y);
            let below: Vec<_> = below.filter(|words| words.at.x >= table.at.x - 0.1).collect();
            let blocks: Vec<f64> = below
                .iter()
                .filter(|words| words.text == "no.")
                .map(|words| words.at.x)
                .collect();
            let stations: Vec<&str> = (0..16)
                .filter_map(|station| below.iter().find(|words| words.text == station.to_string()))
                .filter(|words| blocks.iter().any(|x| (x - words.at.x).abs() < 0.1) && words.size_pt >= 9.0)
                .map(|words| words.text.as_str())
                .collect();
            assert_eq!(
                stations.len(),
                16,
                "{units} on {paper}: {stations:?} in {} blocks",
                blocks.len()
            );
        }
    }
}
