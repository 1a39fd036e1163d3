//! Who measures in inches meets no millimetre, and the other way about: on sheets, on the terminal, in the cut list, the
//! report's sentences, the page's answers and in messages. What was typed may stand there in quotes, and the printed ruler
//! has both scales, as rules do.

mod served;
mod support;
mod wrong_inputs;

use girthline::job::starters::STARTERS;
use served::Page;
use support::{Pdf, Shop};
use wrong_inputs::tables;

/// What must not be in a text of one unit, behind a number or alone.
struct Foreign {
    units: &'static str,
    behind_a_number: &'static [&'static str],
    alone: &'static [&'static str],
}

const FOREIGN: [Foreign; 2] = [
    Foreign {
        units: "in",
        behind_a_number: &["mm", "mm3", "cm", "m", "kg"],
        alone: &[
            "mm",
            "mm3",
            "cm",
            "kg",
            "millimetre",
            "millimetres",
            "metre",
            "metres",
            "litre",
            "litres",
        ],
    },
    Foreign {
        units: "mm",
        behind_a_number: &["in", "ft", "lb", "gallons", "gallon"],
        alone: &["inch", "inches", "lb", "gallon", "gallons", "ft"],
    },
];

/// Without what stands in quotes, and without a standard's number.
fn unquoted(text: &str) -> String {
    let text = text.replace("B36.10M", "");
    text.split('"').step_by(2).collect::<Vec<_>>().join(" \" ")
}

/// The first word of the other unit, with what stands about it.
fn foreign(text: &str, of: &Foreign) -> Option<String> {
    for line in text.lines() {
        let line = unquoted(line).to_lowercase();
        let letters: Vec<char> = line.chars().collect();
        let mut start = 0;
        while start < letters.len() {
            let is_letter = letters[start].is_ascii_alphabetic();
            let goes_on = start > 0 && letters[start - 1].is_ascii_alphabetic();
            if !is_letter || goes_on {
                start += 1;
                continue;
            }
            let rest = letters[start..].iter();
            let word: String = rest.take_while(|letter| letter.is_ascii_alphanumeric()).collect();
            let before: String = letters[..start].iter().collect();
            let is_behind = before.trim_end().ends_with(|letter: char| letter.is_ascii_digit());
            let is_alone = of.alone.contains(&word.as_str());
            if is_alone || is_behind && of.behind_a_number.contains(&word.as_str()) {
                return Some(format!("{word:?} in {line:?}"));
            }
            start += word.chars().count().max(1);
        }
    }
    None
}

#[track_caller]
fn assert_of_one_unit(text: &str, of: &Foreign, what: &str) {
    let found = foreign(text, of);
    assert_eq!(found, None, "{what} in {}", of.units);
}

#[test]
fn words_of_another_unit_are_found() {
    let [inches, millimetres] = &FOREIGN;
    for text in [
        "12.00 mm apart",
        "by 1mm",
        "right, mm",
        "0.2 litres",
        "2 mm per metre",
        "weld, mm3",
        "4.20 m of tube",
    ] {
        assert!(foreign(text, inches).is_some(), "{text}");
        assert!(foreign(text, millimetres).is_none(), "{text}");
    }
    for text in [
        "1/4 in apart",
        "0.250in",
        "3 gallons",
        "12.0 ft of tube",
        "1-7/8 in (1.875)",
    ] {
        assert!(foreign(text, millimetres).is_some(), "{text}");
        assert!(foreign(text, inches).is_none(), "{text}");
    }
    for text in [
        "typed \"12mm\" and \"3in\"",
        "in the drum",
        "set-in, 90°, in 2 pieces",
        "make 3",
    ] {
        assert!(
            foreign(text, inches).is_none() && foreign(text, millimetres).is_none(),
            "{text}"
        );
    }
}

const JOINTS: [&str; 13] = [
    "saddle --branch 48.3mm_x_2mm --header 60.3mm_x_3mm",
    "saddle --branch fence_1-7/8_x_16ga --header drum_55_gal --angle 60 --offset 50mm",
    "saddle --branch NPS_1_sch_40 --header DN_40_sch_40 --join set-in --clearance 0.5mm --angle 50",
    "saddle --branch rect_60mm_x_40mm_x_3mm --header girth_900mm_x_3mm --turned 20",
    "saddle --branch 1.9in_x_22ga_sheet --header 4.5in --angle 20 --touch outside",
    "saddle --branch EN_DN_40_x_2.6mm --header EN_DN_65_x_2.9mm --ruler-reads 149.3,150.2",
    "miter --tube 48.3mm_x_2mm --turn 45",
    "miter --tube 1.9in_x_0.065in --turn 130",
    "miter --tube square_2in_x_1/8in --turn 90 --pieces 4 --radius 9in",
    "facets --branch 48.3mm_x_2mm --header 48.3mm",
    "facets --branch fence_1-7/8_x_0.065in --header fence_2-3/8 --angle 75 --scribe 1/4od --saw-front 40 --saw-back 30",
    "facets --branch 1.9in_x_0.065in --header 6in --round 1/16in",
    "facets --branch 48.3mm_x_2mm --header 60.3mm --saw 70 --saw-limit 30",
];

/// All that a run says, on the terminal and on what it writes.
fn all_said(shop: &Shop, command: &str) -> String {
    let run = shop
        .run(&format!("{command} --out s.pdf --report r.json --svg s.svg"))
        .succeeds();
    let pdf = Pdf::read(&shop.read("s.pdf"));
    let sheets = pdf.words.iter().filter(|words| words.layer != "rulers");
    let mut said = sheets.fold(run.out(), |said, words| format!("{said}\n{}", words.text));
    let report = shop.report("r.json");
    for note in report["warnings"].as_array().expect("a list") {
        said += &format!("\n{}", note.as_str().expect("a sentence"));
    }
    let svg = String::from_utf8(shop.read("s.svg")).expect("text");
    // A group a layer; the ruler's has both scales.
    for layer in svg.split("<g ").filter(|layer| !layer.starts_with("id=\"rulers\"")) {
        for part in layer.split('>').filter_map(|part| part.split_once('<')) {
            said += &format!("\n{}", part.0);
        }
    }
    said
}

#[test]
fn joints_are_told_in_one_unit() {
    let shop = Shop::open();
    for command in JOINTS {
        for of in &FOREIGN {
            let command = format!("{command} --units {}", of.units);
            assert_of_one_unit(&all_said(&shop, &command), of, &command);
        }
    }
}

/// A job with what starters don't show: clashes of every kind, a coupling, a drain, plates, a cone and a ball.
const CROWDED: &str = r#"{ "title": "Crowded", "units": "mm",
  "stock": { "pipe": { "size": "40mm x 2mm", "stick": "6m" }, "can": { "size": "rect 60mm x 40mm x 2mm" } },
  "bodies": {
    "drum": { "shape": "cylinder", "size": "drum 55 gal", "from": [0, 0, 0], "to": [0, 0, 850], "zero": [1, 0, 0], "floor": 25,
      "keep_off": [{ "name": "clamp ring", "along": [380, 410], "out": 20 }] },
    "oval": { "shape": "cylinder", "size": "girth 1802mm x 1.2mm", "from": [1500, 0, 0], "to": [1500, 0, 800], "zero": [1, 0, 0], "section": { "oval": [592, 555] } },
    "cone": { "shape": "cone", "size": "300mm x 3mm", "size_to": "200mm x 3mm", "from": [0, 1500, 0], "to": [0, 1500, 400], "zero": [1, 0, 0] },
    "ball": { "shape": "sphere", "size": "400mm x 3mm", "at": [0, -1500, 500] },
    "plate": { "shape": "plane", "size": 6, "at": [3000, 0, 0], "out": [0, 0, 1], "wide": 300, "high": 200 } },
  "tubes": {
    "drain": { "stock": "pipe", "path": [ { "on": "drum", "round": "0deg", "drain": { "above_floor": 5 } }, { "step": [250, 0, -20] } ] },
    "flat drain": { "stock": "pipe", "path": [ { "on": "drum", "round": "90deg", "drain": { "above_floor": 0 } }, { "step": [0, 250, 0] } ] },
    "low": { "stock": "pipe", "path": [ { "on": "drum", "along": 395, "round": "180deg" }, { "step": [-300, 0, 0] } ] },
    "near": { "stock": "pipe", "path": [ { "at": [0, 330, 100] }, { "at": [0, 330, 700] } ] },
    "through": { "stock": "pipe", "path": [ { "at": [200, -600, 300] }, { "at": [200, 600, 300] } ] },
    "crossing": { "stock": "pipe", "path": [ { "at": [700, -300, 300] }, { "at": [700, 300, 300] } ] },
    "crossed": { "stock": "pipe", "path": [ { "at": [600, 0, 300] }, { "at": [900, 0, 300] } ] },
    "edge": { "stock": "pipe", "path": [ { "on": "oval", "along": 795, "round": "0deg" }, { "step": [300, 0, 0] } ] },
    "beside": { "stock": "pipe", "path": [ { "on": "oval", "along": 300, "round": "20deg" }, { "step": [300, 0, 0] } ], "start": { "join": "set-in", "clearance": 1 } },
    "on cone": { "stock": "pipe", "path": [ { "on": "cone", "along": 200, "round": "30deg" }, { "step": [300, 150, 0] } ] },
    "on ball": { "stock": "pipe", "path": [ { "on": "ball", "along": 100, "round": "30deg", "out": 0 }, { "step": [100, 50, 400] } ] },
    "port": { "stock": "can", "path": [ { "on": "plate", "along": 20, "round": 30 }, { "step": [0, 0, 200] } ] },
    "coupled": { "stock": "pipe", "path": [ { "at": [5000, 0, 0] }, { "step": [0, 0, 900] }, { "step": [500, 0, -700] } ], "coupling": { "at": 450, "gap": 6 } },
    "hairpin": { "stock": "pipe", "path": [ { "at": [6000, 0, 0] }, { "step": [0, 0, 900] }, { "step": [300, 0, -700] } ] } },
  "keep_clear": [ { "tube": "near", "body": "drum", "by": 60 } ] }"#;

#[test]
fn jobs_are_told_in_one_unit_with_their_cut_lists() {
    let shop = Shop::open();
    let starters = STARTERS.map(|(name, ..)| name);
    for name in starters {
        shop.run(&format!("new {name}")).succeeds();
    }
    shop.write("crowded.json", CROWDED.as_bytes());
    for name in starters.into_iter().chain(["crowded"]) {
        for of in &FOREIGN {
            let command = format!("batch {name}.json --units {} --cut-list c.csv", of.units);
            let mut said = all_said(&shop, &command);
            let list = String::from_utf8(shop.read("c.csv")).expect("text");
            assert!(list.contains(&format!(",length_{},", of.units)), "{list}");
            assert!(list.contains(&format!(",weld_{}\r\n", of.units)), "{list}");
            said += &list
                .replace(&format!("length_{}", of.units), "")
                .replace(&format!("weld_{}", of.units), "");
            assert_of_one_unit(&said, of, &command);
        }
    }
}

#[test]
fn clashes_are_told_by_body_and_tape() {
    let shop = Shop::open();
    shop.write("crowded.json", CROWDED.as_bytes());
    let said = shop.run("batch crowded.json --check").out();
    let clash = |what: &str| {
        let line = said.lines().find(|line| line.contains(what));
        line.unwrap_or_else(|| panic!("{what}: {said}")).to_owned()
    };
    assert!(clash("CLASH: near against drum").contains("on drum, "), "{said}");
    // Where there is no body: both axes meet 300 mm along the one and 100 mm along the other.
    let crossing = clash("CLASH: crossing against crossed");
    assert!(
        crossing.ends_with("300.00 mm along crossing from its START")
            || crossing.ends_with("100.00 mm along crossed from its START"),
        "{crossing}"
    );
    // The tube stands 330 mm out along +y: a quarter round to the right of the line at +x, seen from outside.
    let near = clash("CLASH: near against drum");
    assert!(near.contains("(90°) to the right of the zero line"), "{near}");
    assert!(!said.contains("near ["), "{said}");
    assert!(
        clash("\"hairpin\" doubles back").contains("at its corner 1 it turns by 157°"),
        "{said}"
    );
    assert!(said.contains("no chop saw turns farther than 60°"), "{said}");
}

/// Without the messages that ask whether the other unit was meant.
fn without_questions(said: &str) -> String {
    let mut is_asked = false;
    let kept = said.lines().filter(|line| {
        if line.starts_with("question:") || line.starts_with("error:") {
            is_asked = line.starts_with("question:");
        }
        !is_asked
    });
    kept.collect::<Vec<_>>().join("\n")
}

#[test]
fn messages_are_in_the_units_that_were_asked_for() {
    let shop = Shop::open();
    let saddle = "saddle --branch 48.3mm_x_2mm --header 60.3mm_x_2mm";
    let miter = "miter --tube 48.3mm_x_2mm";
    let rows = [
        ("saddle", tables::BRANCHES.as_slice()),
        ("saddle --branch 48.3mm_x_2mm", &tables::HEADERS),
        (saddle, &tables::JOINTS),
        ("saddle --header 200mm_x_3mm", &tables::SIDES),
        (saddle, &tables::SHEETS),
        (miter, &tables::MITERS),
    ];
    for (command, rows) in rows {
        for (flags, _) in rows.iter().filter(|(flags, _)| !flags.contains("--units")) {
            for of in &FOREIGN {
                let command = format!("{command} {flags} --units {}", of.units);
                let said = shop.run(&command).err();
                // The units that there are are listed for who writes one that there isn't.
                let said = without_questions(&said);
                if !said.contains("units are mm") {
                    assert_of_one_unit(&said, of, &format!("{command}: {said}"));
                }
            }
        }
    }
}

#[test]
fn wrong_jobs_in_inches_are_told_in_inches() {
    let shop = Shop::open();
    let job = |from: &str, to: &str| {
        let text = r#"{ "units": "in", "stock": { "a": { "size": "1.9 x 0.065" } },
            "stacks": { "s": { "height": 40, "parts": [ { "name": "p", "height": 34 } ] } },
            "bodies": { "drum": { "shape": "cylinder", "size": "22.6 x 0.05", "from": [0, 0, 0], "to": [0, 0, 33], "zero": [1, 0, 0] } },
            "tubes": { "t": { "stock": "a", "path": [ { "on": "drum", "along": 12, "round": 3 }, { "step": [20, 0, 0] } ] } } }"#;
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    };
    for (from, to) in [
        ("1.9 x 0.065", "1.9 x 1"),
        ("1.9 x 0.065", "0.01 x 0.001"),
        ("1.9 x 0.065", "1.9"),
        ("1.9 x 0.065", "banana"),
        ("1.9 x 0.065", "rect 3 x 2 x 0.1 r 1.5"),
        ("\"height\": 40", "\"height\": 30"),
        ("\"height\": 40", "\"height\": -3"),
        ("\"along\": 12", "\"along\": 99"),
        ("\"along\": 12", "\"along\": \"12 furlongs\""),
        ("[20, 0, 0]", "[0.01, 0, 0]"),
        ("[20, 0, 0]", "[0, 20, 0.4]"),
        ("\"size\": \"1.9 x 0.065\"", "\"size\": \"1.9 x 0.065\", \"kerf\": 9"),
        ("\"size\": \"1.9 x 0.065\"", "\"size\": \"1.9 x 0.065\", \"stick\": 8"),
        (
            "\"round\": 3 }",
            "\"round\": 3 }, { \"step\": [1, 0, 0] }, { \"step\": [0, 1, 0] }",
        ),
        ("22.6 x 0.05", "22.6 x 12"),
        (
            "\"zero\": [1, 0, 0]",
            "\"zero\": [1, 0, 0], \"section\": { \"oval\": [30, 5] }",
        ),
        (
            "\"zero\": [1, 0, 0]",
            "\"zero\": [1, 0, 0], \"section\": { \"oval\": [24, 23.5] }",
        ),
        (
            "\"zero\": [1, 0, 0]",
            "\"zero\": [1, 0, 0], \"keep_off\": [{ \"name\": \"rib\", \"along\": [30, 40] }]",
        ),
        (
            "\"zero\": [1, 0, 0]",
            "\"zero\": [1, 0, 0], \"keep_off\": [{ \"name\": \"rib\", \"along\": [3, 4], \"out\": 99 }]",
        ),
    ] {
        shop.write("job.json", job(from, to).as_bytes());
        let run = shop.run("batch job.json --check");
        let said = format!("{}{}", run.out(), run.err());
        if !said.contains("units are mm") {
            assert_of_one_unit(
                &without_questions(&said),
                &FOREIGN[0],
                &format!("{from} -> {to}: {said}"),
            );
        }
    }
}

#[test]
fn the_pages_answers_are_in_one_unit() {
    let page = Page::open();
    for query in [
        "saddle/answer?branch=48.3mm+x+2mm&header=300mm+x+3mm&angle=70&join=set-in&clearance=1mm",
        "saddle/answer?branch=48.3mm+x+2mm&header=20mm",
        "miter/answer?tube=NPS+2+sch+40&turn=130",
        "facets/answer?branch=48.3mm+x+2mm&header=48.3mm",
    ] {
        for of in &FOREIGN {
            let answer = page.get(&format!("/{query}&units={}", of.units)).json();
            let mut said = String::new();
            for part in ["title", "understood", "facts", "problems", "notes", "ways"] {
                sentences(&answer[part], &mut said);
            }
            assert!(!said.is_empty(), "{query}");
            assert_of_one_unit(&said, of, query);
        }
    }
}

/// All texts in a value, a line each.
fn sentences(value: &serde_json::Value, said: &mut String) {
    match value {
        serde_json::Value::String(text) => *said += &format!("{text}\n"),
        serde_json::Value::Array(all) => all.iter().for_each(|one| sentences(one, said)),
        serde_json::Value::Object(all) => all.values().for_each(|one| sentences(one, said)),
        _ => {}
    }
}
