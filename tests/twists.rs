//! The twist of a piece: from which side of its start to which side of its end, and which way round.

mod support;

use support::{Pdf, Shop};

/// An upright tube between two plates that slant: the lower one falls to +x, so that the acute angle is at -x; the upper one rises
/// to +y or to -y, so that it is at the other side.
fn job(rises: f64) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "48.3mm x 2mm" }} }}, "bodies": {{
        "low": {{ "shape": "plane", "at": [0, 0, 0], "out": [0.3, 0, 1], "zero": [0, 1, 0] }},
        "high": {{ "shape": "plane", "at": [0, 0, 600], "out": [0, {rises}, -1], "zero": [1, 0, 0] }} }},
        "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "low", "along": 0, "round": 0 }}, {{ "on": "high", "along": 0, "round": 0 }} ] }} }} }}"#
    )
}

/// Held with START up and seen from outside, to the right is up x outward: from -x, up being -z, that is +y.
#[test]
fn the_twist_is_told_from_the_starts_acute_side_to_the_ends_with_start_up() {
    for (rises, side, sign) in [(0.3, "left", "-"), (-0.3, "right", "")] {
        let shop = Shop::open();
        shop.write("job.json", job(rises).as_bytes());
        let said = shop.run("batch job.json --cut-list c.csv --out p.pdf").succeeds().out();
        let list = String::from_utf8(shop.read("c.csv")).expect("text");
        assert!(list.contains(&format!(",{sign}90.00,")), "{list}");
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let cell = format!("90° {side}");
        assert!(
            pdf.words.iter().any(|words| words.page == 0 && words.text == cell),
            "{cell}"
        );
        let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
        let words = words.join(" ");
        let told = format!("The end's acute side is 90.0° to the {side} of the start's with START up");
        for printed in [
            "Twist: from the start's acute side (at a miter the long side) round to the end's, with START up",
            &told,
        ] {
            assert!(words.contains(printed), "{printed}: {words}");
        }
        assert!(said.contains(&told), "{said}");
    }
}

#[test]
fn where_no_piece_has_a_twist_nothing_is_said_of_it() {
    let shop = Shop::open();
    let square = job(0.3).replace(r#""path": ["#, r#""end": { "join": "square" }, "path": ["#);
    shop.write("job.json", square.as_bytes());
    shop.run("batch job.json --out p.pdf").succeeds();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    assert!(!pdf.says("Twist: "), "a square end has no side");
}
