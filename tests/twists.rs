//! The twist of a piece: from which side of its start to which side of its end, and which way round.

mod support;

use support::{Pdf, Shop};

/// An upright tube between two plates that slant: the lower one falls to +x, so that the acute angle is at -x; the upper one rises
/// to +y or to -y, so that it is at the other side.
fn job(rises: f64) -> String {
    between([0.0, rises])
}

/// The same, the upper plate's outside towards this way and down.
fn between([x, y]: [f64; 2]) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "48.3mm x 2mm" }} }}, "bodies": {{
        "low": {{ "shape": "plane", "at": [0, 0, 0], "out": [0.3, 0, 1], "zero": [0, 1, 0] }},
        "high": {{ "shape": "plane", "at": [0, 0, 600], "out": [{x}, {y}, -1], "zero": [1, 0, 0] }} }},
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
        let told = format!("The end is turned 90.0° to the {side} from the start, with START up");
        for printed in [
            "Twist: how far the end is turned from the start, between the acute angles of the centre lines (at a miter the long sides), with START up",
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

/// FRONT is on the start's acute side, at -x. The end's acute side, where the tube is shortest, is opposite to where the plate's
/// outside leans; with END up, right of -x is -y.
#[test]
fn where_front_is_on_an_end_that_is_cut_already_is_told_from_its_longest_or_shortest_side() {
    let girth = std::f64::consts::PI * 48.3;
    for (deg, way, side, off) in [
        (50.0_f64, "left", "shortest", 50.0),
        (-50.0, "right", "shortest", 50.0),
        (140.0, "right", "longest", 40.0),
        (-140.0, "left", "longest", 40.0),
    ] {
        let shop = Shop::open();
        let leans = [0.3 * deg.to_radians().cos(), 0.3 * deg.to_radians().sin()];
        let made = between(leans).replace(r#""path": ["#, r#""end": { "made": "end" }, "path": ["#);
        shop.write("job.json", made.as_bytes());
        let said = shop.run("batch job.json --out p.pdf").succeeds().out();
        let round = girth * off / 360.0;
        let told =
            format!("END is cut already: FRONT is {round:.2} mm round to the {way} of its {side} side, that end up");
        assert!(said.contains(&told), "{told}: {said}");
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
        assert!(
            words.join(" ").contains(&told) && !words.join(" ").contains("turn nothing"),
            "{told}"
        );
    }
}

/// On a drum an end that leans along it a little is longest at two places, one on either side of FRONT: from them FRONT can't be
/// told, and the shortest is opposite to it. Less aslant, none is told.
#[test]
fn a_side_that_is_there_twice_does_not_tell_where_front_is() {
    let told = |lean: f64| {
        let shop = Shop::open();
        let job = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "42.4mm x 2.6mm" }} }}, "bodies": {{
  "low": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [800, 0, 0], "zero": [0, 0, 1] }},
  "high": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 700], "to": [800, 0, 700], "zero": [0, 0, -1] }} }},
  "tubes": {{ "riser": {{ "stock": "a", "path": [ {{ "on": "low", "along": 400 }}, {{ "on": "high", "along": {} }} ], "end": {{ "made": "end" }} }} }} }}"#,
            400.0 + lean
        );
        shop.write("job.json", job.as_bytes());
        let said = shop.run("batch job.json --check").succeeds().out();
        said.split_once("END is cut already: ")
            .expect("words")
            .1
            .lines()
            .next()
            .unwrap_or_default()
            .to_owned()
    };
    let half = std::f64::consts::PI * 42.4 / 2.0;
    assert!(
        told(30.0).starts_with(&format!("FRONT is {half:.2} mm round to the ")),
        "{}",
        told(30.0)
    );
    assert!(told(30.0).contains("of its shortest side"), "{}", told(30.0));
    assert!(
        told(2.0).starts_with("hold it where it goes to find FRONT on it"),
        "{}",
        told(2.0)
    );
    // Square on the drum it fits either way.
    assert!(told(0.0).starts_with("FRONT is "), "{}", told(0.0));
}
