//! A whole job over real HTTP: what is answered to a job's text, edits by place, files, and the file on disk.

mod served;
mod trying;

use std::collections::BTreeSet;
use std::fs;
use std::process::Command;

use girthline::job::schema::schema;
use girthline::job::starters::STARTERS;
use proptest::prelude::*;
use serde_json::{Value, json};
use served::{Answer, Page};
use trying::tried_afresh;

fn starter(name: &str) -> String {
    let path = format!("{}/templates/{name}.json", env!("CARGO_MANIFEST_DIR"));
    fs::read_to_string(path).expect("a starter")
}

fn query(pairs: &[(&str, &str)]) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    pairs.iter().for_each(|(name, text)| {
        query.append_pair(name, text);
    });
    query.finish()
}

fn edit(page: &Page, text: &str, edits: &Value) -> Answer {
    let query = query(&[("edits", &edits.to_string())]);
    page.post(&format!("/job/edit?{query}"), text.as_bytes())
}

fn edited(page: &Page, text: &str, edits: &Value) -> String {
    let answer = edit(page, text, edits);
    assert_eq!(answer.status, 200, "{}", answer.text());
    answer.json()["text"].as_str().expect("a text").to_owned()
}

fn answer(page: &Page, text: &str) -> Value {
    let answer = page.post("/job/answer", text.as_bytes());
    assert_eq!(answer.status, 200, "{}", answer.text());
    answer.json()
}

/// What `batch` writes for a job's text, by the ending of the file.
fn by_command(text: &str, flags: &[&str], file: &str) -> Vec<u8> {
    by_command_of("batch", text, flags, file)
}

fn by_command_of(command: &str, text: &str, flags: &[&str], file: &str) -> Vec<u8> {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("job.json"), text).expect("it is written");
    let run = Command::new(env!("CARGO_BIN_EXE_girthline"))
        .current_dir(folder.path())
        .args([command, "job.json"])
        .args(flags)
        .output()
        .expect("it runs");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    fs::read(folder.path().join(file)).expect("the file")
}

#[test]
fn a_starter_is_drawn_and_its_files_are_those_of_the_command() {
    let page = Page::open();
    for (name, ..) in STARTERS {
        let sent = page.get(&format!("/job/starter/{name}"));
        assert_eq!(sent.text(), starter(name), "{name}");
        let known = answer(&page, &sent.text());
        assert_eq!(known["is_whole"], true, "{name}: {}", known["problems"]);
        assert!(
            known["picture"].as_str().is_some_and(|svg| svg.starts_with("<svg")),
            "{name}"
        );
    }
    let text = starter("drain-standpipe");
    let made = page.post("/job/file/report", text.as_bytes());
    let flags = [
        "--report",
        "out.report.json",
        "--out",
        "out.pdf",
        "--svg",
        "out.svg",
        "--dxf",
        "out.dxf",
        "--cut-list",
        "out.csv",
    ];
    assert!(made.body == by_command(&text, &flags, "out.report.json"));
    assert!(page.post("/job/file/csv", text.as_bytes()).body == by_command(&text, &flags, "out.csv"));
    assert!(page.post("/job/file/pdf?name=job.json", text.as_bytes()).body == by_command(&text, &flags, "out.pdf"));
    assert!(page.post("/job/file/svg", text.as_bytes()).body == by_command(&text, &flags, "out.svg"));
    assert!(page.post("/job/file/dxf", text.as_bytes()).body == by_command(&text, &flags, "out.dxf"));
    // One body's sheets alone are fewer than the pack.
    let body = page.post("/job/file/pdf?body=drum", text.as_bytes());
    assert!(
        body.body.starts_with(b"%PDF")
            && body.body.len() < page.post("/job/file/pdf?name=job.json", text.as_bytes()).body.len()
    );
    assert_eq!(page.post("/job/file/pdf?body=gone", text.as_bytes()).status, 422);
    assert_eq!(page.post("/job/file/exe", text.as_bytes()).status, 404);
}

#[test]
fn an_end_at_the_trial_fit_is_told_as_the_command_tells_it() {
    let page = Page::open();
    // A set-in end leaves no gap.
    let text = starter("cooler-bank").replace(r#""join": "set-in", "clearance": 0.5"#, r#""join": "set-on""#);
    let card = page.post("/job/answer?thing=%5B%22tubes%22%2C%22riser%22%5D", text.as_bytes());
    let card = &card.json()["card"];
    let parts = card["parts"].as_array().expect("parts");
    let ends = parts.iter().find_map(|part| part["offer_up"]["ends"].as_array());
    let ends = ends.expect("ends that can be offered up");
    assert_eq!(ends.len(), 12, "six risers' two ends");
    assert_eq!(ends[5]["words"], "riser 3, END");
    for (end, is_far) in [("start", false), ("end", true)] {
        let told = ends.iter().find(|told| told["tube"] == "riser 3" && told["end"] == end);
        assert_eq!(told.expect("an end")["is_far"], is_far);
        let gaps = "front 0, 45deg 0.1, right 0.6, 135deg 1.5, back 2.1, 225deg 1.7, left 0.9, 315deg 0.2";
        let asked = query(&[("tube", "riser 3"), ("end", end), ("gaps", gaps)]);
        let known = page.post(&format!("/job/trial?{asked}"), text.as_bytes()).json();
        let flags = [
            "--tube", "riser 3", "--end", end, "--gaps", gaps, "--report", "t.json", "--out", "t.pdf",
        ];
        let report: Value = serde_json::from_slice(&by_command_of("trial", &text, &flags, "t.json")).expect("a report");
        assert_eq!(known["notes"], report["warnings"], "{end}");
        assert_eq!(known["problems"], json!([]));
        assert!(
            known["end"].as_str().is_some_and(|svg| svg.starts_with("<svg")),
            "{end}"
        );
        let strip = page.post(&format!("/job/file/strip?{asked}"), text.as_bytes());
        assert!(strip.body == by_command_of("trial", &text, &flags, "t.pdf"), "{end}");
    }
    // What is wrong stands at the field of its flag; what is wrong with the job at none.
    let asked = query(&[
        ("tube", "riser 3"),
        ("end", "end"),
        ("gaps", "front 1, right 2, back 1, left 2"),
    ]);
    let known = page.post(&format!("/job/trial?{asked}"), text.as_bytes()).json();
    assert_eq!(known["problems"][0]["at"], json!(["gaps"]), "{}", known["problems"]);
    assert_eq!(known["title"], Value::Null);
    assert_eq!(
        page.post(&format!("/job/file/strip?{asked}"), text.as_bytes()).status,
        422
    );
    let known = page.post(&format!("/job/trial?{asked}"), b"{").json();
    assert_eq!(known["problems"][0]["at"], json!([]), "{}", known["problems"]);
}

/// The keys that cards ask for or put in, by the ways of their fields and the JSON of their buttons.
fn keys_of(card: &Value, keys: &mut BTreeSet<String>) {
    match card {
        Value::Object(members) => {
            if let Some(at) = members.get("at").and_then(Value::as_array) {
                // Before them stand the section and the name; what belongs to the whole job has no name.
                let named = if at.first().is_some_and(|first| first == "sheet") {
                    1
                } else {
                    2
                };
                let after = at.iter().skip(if at.len() == 1 { 0 } else { named });
                keys.extend(after.filter_map(Value::as_str).map(str::to_owned));
            }
            if let Some(json) = members.get("json").and_then(Value::as_str) {
                keys.extend(json.split('"').skip(1).step_by(2).map(str::to_owned));
            }
            members.values().for_each(|member| keys_of(member, keys));
        }
        Value::Array(items) => items.iter().for_each(|item| keys_of(item, keys)),
        _ => {}
    }
}

#[test]
fn every_key_of_the_schema_is_asked_for_on_a_card() {
    let page = Page::open();
    let mut keys = BTreeSet::new();
    // What no starter has: a cone, a fall, a distance to be kept.
    let others = r#"{ "units": "mm", "stock": { "a": { "size": "48.3 x 3" } },
        "bodies": { "hopper": { "shape": "cone", "size": "600 x 2", "size_to": "200 x 2", "from": [0, 0, 600], "to": [0, 0, 0] } },
        "tubes": { "t": { "stock": "a", "path": [{ "at": [800, 0, 300] }, { "on": "hopper", "fall": "20mm/m" }] } },
        "keep_clear": [{ "tube": "t", "body": "hopper", "by": 10 }] }"#;
    let texts = STARTERS.iter().map(|(name, ..)| starter(name));
    for text in texts.chain([others.to_owned()]) {
        let sections = answer(&page, &text)["sections"].clone();
        let chips = sections.as_array().expect("sections").iter();
        for chip in chips.flat_map(|section| section["chips"].as_array().expect("chips")) {
            let query = query(&[("thing", &chip["at"].to_string())]);
            let answer = page.post(&format!("/job/answer?{query}"), text.as_bytes()).json();
            keys_of(&answer["card"], &mut keys);
        }
    }
    let definitions = schema()["$defs"].as_object().expect("definitions");
    // A shape is chosen by the button that begins a body.
    let begun = ["note", "shape"];
    let all = definitions
        .values()
        .flat_map(|of| of["properties"].as_object().into_iter().flatten());
    let missing: Vec<&String> = all
        .map(|(key, _)| key)
        .filter(|key| !keys.contains(*key) && !begun.contains(&key.as_str()))
        .collect();
    assert_eq!(missing, Vec::<&String>::new());
}

#[test]
fn what_is_wrong_leads_to_its_place_and_the_rest_is_drawn() {
    let page = Page::open();
    let text = starter("cooler-bank").replace("\"along\": 110", "\"along\": \"far\"");
    let known = answer(&page, &text);
    assert_eq!(
        known["problems"][0]["at"],
        json!(["tubes", "riser", "path", 0, "along"])
    );
    assert_eq!(known["is_whole"], false);
    let picture = known["picture"].as_str().expect("the drums are drawn");
    assert!(picture.contains("data-body=\"lower\"") && !picture.contains("data-tube"));
    assert_eq!(page.post("/job/file/pdf?name=job.json", text.as_bytes()).status, 422);
    let unknown = starter("cooler-bank").replace("\"along\": 110", "\"alnog\": 110");
    assert_eq!(
        answer(&page, &unknown)["problems"][0]["at"],
        json!(["tubes", "riser", "path", 0, "alnog"])
    );
    let broken = answer(&page, "{ \"tubes\": ");
    assert_eq!(
        (&broken["is_job"], broken["problems"][0]["line"].as_u64()),
        (&json!(false), Some(1))
    );
    let clash = starter("cooler-bank").replace("\"step\": [0, 120, 0]", "\"step\": [0, 20, 0]");
    let known = answer(&page, &clash);
    let note = &known["notes"][0];
    assert!(
        note["words"].as_str().is_some_and(|words| words.starts_with("CLASH")),
        "{note}"
    );
    assert_eq!(note["about"][0], json!(["tubes", "riser"]));
    let chip = known["sections"][1]["chips"][0].clone();
    assert_eq!((&chip["state"], &chip["says"]), (&json!("note"), &json!("x6")));
}

#[test]
fn from_an_empty_page_two_drums_and_six_risers_are_made_by_forms() {
    let page = Page::open();
    let begin = page.get("/job/begin").json();
    let mut text = begin["empty"].as_str().expect("a text").to_owned();
    let mut then = Value::Null;
    for what in ["lying drum", "lying drum"] {
        let answer = edit(&page, &text, &json!([{ "begin": { "what": what } }])).json();
        text = answer["text"].as_str().expect("a text").to_owned();
        then = answer["then"].clone();
    }
    // The second is put over the first: each measure as its field sends it.
    let measure = |what: &str, words: &str| json!([{ "measure": { "at": then, "what": what, "words": words } }]);
    text = edited(&page, &text, &measure("right", "0"));
    text = edited(&page, &text, &measure("up", "1300"));
    let answered = edit(
        &page,
        &text,
        &json!([{ "begin": { "what": "tube", "from": "drum", "to": then[1] } }]),
    )
    .json();
    text = answered["text"].as_str().expect("a text").to_owned();
    let tube = &answered["then"];
    let at = |keys: Value| -> Value {
        [
            tube.as_array().expect("a way").clone(),
            keys.as_array().expect("keys").clone(),
        ]
        .concat()
        .into()
    };
    text = edited(
        &page,
        &text,
        &json!([{ "type": { "at": at(json!(["path", 0, "along"])), "words": "110" } }]),
    );
    text = edited(
        &page,
        &text,
        &json!([{ "type": { "at": at(json!(["path", 1, "along"])), "words": "110" } }]),
    );
    text = edited(
        &page,
        &text,
        &json!([{ "type": { "at": at(json!(["repeat", "times"])), "words": "6" } }]),
    );
    text = edited(
        &page,
        &text,
        &json!([{ "put": { "at": at(json!(["repeat", "step"])), "json": "[0, 0, 0]" } },
        { "type": { "at": at(json!(["repeat", "step", 1])), "words": "120" } }]),
    );
    let known = answer(&page, &text);
    assert_eq!(known["is_whole"], true, "{text}\n{}", known["problems"]);
    assert!(!known["notes"].to_string().contains("CLASH"), "{}", known["notes"]);
    // By hand: the axes are 1000 mm apart, and the bore's edge, 48.26 / 2 - 1.651 mm beside the middle, meets each drum of
    // 573.9 mm first at its sides: 1000 - 2 sqrt(286.95^2 - 22.479^2).
    assert_eq!(known["cut_list"][0]["quantity"], 6, "{text}");
    assert_eq!(known["cut_list"][0]["length"], "427.86 mm", "{text}");
    let pack = page.post("/job/file/pdf?name=job.json", text.as_bytes());
    assert!(pack.body == by_command(&text, &["--out", "out.pdf"], "out.pdf"));
}

/// Heads too, whose holes can't be laid flat: each of them has a file of its own.
#[test]
fn every_body_with_holes_has_its_mark_out() {
    let page = Page::open();
    for (name, bodies) in [
        ("used-bottle", ["bottle from head", "bottle to head"]),
        ("cooler-bank", ["lower", "upper"]),
    ] {
        let text = starter(name);
        let mut told: Vec<String> = serde_json::from_value(answer(&page, &text)["mark_outs"].clone()).expect("names");
        told.sort();
        assert_eq!(told, bodies, "{name}");
        for body in bodies {
            let pdf = page.post(&format!("/job/file/pdf?{}", query(&[("body", body)])), text.as_bytes());
            assert!(pdf.body.starts_with(b"%PDF"), "{name}, {body}");
        }
    }
}

#[test]
fn every_thing_has_a_card_whose_fields_hold_what_is_typed() {
    let page = Page::open();
    for (name, ..) in STARTERS {
        let text = starter(name);
        let known = answer(&page, &text);
        for chip in known["sections"]
            .as_array()
            .into_iter()
            .flatten()
            .flat_map(|section| section["chips"].as_array().cloned().unwrap_or_default())
        {
            let query = query(&[("thing", &chip["at"].to_string())]);
            let card = page.post(&format!("/job/answer?{query}"), text.as_bytes()).json()["card"].clone();
            let parts = [&card["parts"], &card["more"]]
                .into_iter()
                .flat_map(|parts| parts.as_array().cloned().unwrap_or_default());
            let gaps: Vec<Value> = parts
                .map(|part| part["gap"].clone())
                .filter(|gap| gap.is_object())
                .collect();
            assert!(!gaps.is_empty(), "{name} {chip}");
            for gap in gaps.iter().filter(|gap| gap["measure"].is_null() && gap["typed"] != "") {
                // Typed again as it is, nothing changes.
                let same = edited(
                    &page,
                    &text,
                    &json!([{ "type": { "at": gap["at"], "words": gap["typed"] } }]),
                );
                assert_eq!(same, text, "{name} {gap}");
            }
        }
    }
}

#[test]
fn the_file_on_disk_is_saved_whole_and_not_over_what_another_program_wrote() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bank.json");
    fs::write(&path, starter("cooler-bank")).expect("it is written");
    let page = Page::with(&["--port", "0", path.to_str().expect("a path")]);
    let opened = page.get("/job/disk").json();
    assert_eq!(
        (&opened["name"], &opened["text"]),
        (&json!("bank.json"), &json!(starter("cooler-bank")))
    );
    let mark = opened["mark"].as_str().expect("a mark").to_owned();
    let saved = page.post(&format!("/job/disk?mark={mark}"), b"{ }");
    assert_eq!(
        (saved.status, fs::read(&path).expect("it is there")),
        (200, b"{ }".to_vec())
    );
    fs::write(&path, "{ \"title\": \"theirs\" }").expect("it is written");
    let mark = saved.json()["mark"].as_str().expect("a mark").to_owned();
    let refused = page.post(&format!("/job/disk?mark={mark}"), b"{ }");
    assert_eq!(refused.status, 409);
    assert_eq!(
        fs::read_to_string(&path).expect("it is there"),
        "{ \"title\": \"theirs\" }"
    );
    assert_eq!(
        page.post(&format!("/job/disk?mark={mark}&over=yes"), b"{ }").status,
        200
    );
    // Without a file there is nothing to save to.
    let bare = Page::open();
    assert_eq!(
        (
            bare.get("/job/disk").status,
            bare.post("/job/disk?mark=&over=yes", b"{ }").status
        ),
        (204, 404)
    );
}

#[test]
fn a_job_may_be_one_mebibyte_and_a_joint_may_not() {
    let page = Page::open();
    let long = |count: usize| format!("{{ \"note\": \"{}\", \"tubes\": {{}} }}", "x".repeat(count));
    assert_eq!(page.post("/job/answer", long(1_000_000).as_bytes()).status, 200);
    assert_eq!(page.post("/job/answer", long(1_100_000).as_bytes()).status, 413);
    assert_eq!(page.post("/saddle", vec![b'x'; 70_000]).status, 413);
    assert_eq!(
        page.post("/job/answer", b"{ \"title\": \"\xff\" }").json()["problems"][0]["what"]
            .as_str()
            .map(|what| what.contains("UTF-8")),
        Some(true)
    );
    assert_eq!(edit(&page, "{}", &json!([{ "nothing": 1 }])).status, 422);
}

/// A way to a word of the starter, and what is typed there.
fn words() -> impl Strategy<Value = (Vec<Value>, String)> {
    let ways = prop_oneof![
        Just(json!(["tubes", "riser", "path", 0, "along"])),
        Just(json!(["tubes", "riser", "path", 1, "round"])),
        Just(json!(["bodies", "upper", "from", 2])),
        Just(json!(["bodies", "lower", "size"])),
        Just(json!(["stock", "riser", "kerf"])),
        Just(json!(["title"])),
    ];
    let typed = prop_oneof!["[0-9]{1,4}(\\.[0-9]{1,3})?", "[0-9]{1,2}-[1-7]/8", "[ -~é°]{1,20}"];
    (ways.prop_map(|way| way.as_array().expect("a way").clone()), typed)
}

proptest! {
    #![proptest_config(tried_afresh(24))]

    /// The text but for the word that was typed into is the same byte for byte, notes and order and figures included; the
    /// word is what was typed.
    #[test]
    fn an_edit_touches_nothing_but_its_word((way, typed) in words()) {
        let typed = typed.trim().to_owned();
        prop_assume!(!typed.is_empty());
        let page = Page::shared();
        let text = starter("cooler-bank").replace("\"tubes\"", "// mine, 1.50\n  \"tubes\"");
        let new = edited(&page, &text, &json!([{ "type": { "at": way, "words": typed } }]));
        let start = text.bytes().zip(new.bytes()).take_while(|(a, b)| a == b).count();
        let left = text.len().min(new.len()) - start;
        let end = text.bytes().rev().zip(new.bytes().rev()).take(left).take_while(|(a, b)| a == b).count();
        // Nothing but one word without a quote or comma of another is in between.
        let changed = &text.as_bytes()[start..text.len() - end];
        prop_assert!(!changed.contains(&b'\n') && changed.len() < 70, "{:?}", String::from_utf8_lossy(changed));
        let read = |text: &str| -> Value {
            let plain: String = text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
            serde_json::from_str(&plain).expect("JSON")
        };
        let (mut before, after) = (read(&text), read(&new));
        let pointer: String = way.iter().map(|key| format!("/{}", key.as_str().map_or_else(|| key.to_string(), str::to_owned))).collect();
        let word = after.pointer(&pointer).expect("the word").clone();
        let as_typed = word.as_str().map_or_else(|| word.to_string(), str::to_owned);
        let is_same_number = typed.parse::<f64>().ok().zip(word.as_f64()).is_some_and(|(a, b)| a == b);
        prop_assert!(as_typed == typed || is_same_number, "{as_typed} for {typed}");
        *before.pointer_mut(&pointer).expect("the word") = word;
        prop_assert_eq!(before, after);
    }
}
