//! The JSON Schema of job files against the program that reads them, and against a validator of its own.

mod support;

use girthline::job::read::read_so_far;
use girthline::job::starters::STARTERS;
use serde_json::{Map, Value, json};
use support::Shop;

fn schema() -> Value {
    let said = Shop::open().run("schema").succeeds().out();
    serde_json::from_str(&said).expect("the schema is JSON")
}

#[test]
fn the_schema_is_one_of_its_draft() {
    let schema = schema();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    jsonschema::draft202012::meta::validate(&schema).expect("a schema");
}

#[test]
fn every_starter_keeps_the_schema() {
    let validator = jsonschema::validator_for(&schema()).expect("a schema");
    for (name, _, text) in STARTERS {
        let starter = serde_json::from_str(text).expect("the starter is JSON");
        let said = validator
            .iter_errors(&starter)
            .map(|error| format!("{}: {error}", error.instance_path()));
        assert_eq!(said.collect::<Vec<_>>(), Vec::<String>::new(), "{name}");
    }
    assert!(validator.is_valid(&json!({ "stacks": {} })), "a stack alone");
}

#[test]
fn the_schema_refuses_what_the_program_refuses() {
    let validator = jsonschema::validator_for(&schema()).expect("a schema");
    let job = json!({
        "units": "mm",
        "stock": { "a": { "size": "48.3 x 3" } },
        "bodies": { "drum": { "shape": "cylinder", "size": "300 x 5", "from": [0, 0, 0], "to": [0, 0, 800] } },
        "tubes": { "t": {
            "stock": "a",
            "path": [{ "on": "drum", "along": 300, "round": "0deg" }, { "step": [200, 0, 0] }],
            "start": { "join": "set-on" }
        } }
    });
    let shop = Shop::open();
    let is_taken = |job: &Value| {
        shop.write("job.json", job.to_string().as_bytes());
        shop.run("batch job.json --check").code() == 0
    };
    assert!(validator.is_valid(&job) && is_taken(&job), "as it is");
    let path = "/tubes/t/path";
    let wrong = [
        ("", "tubse", json!({})),
        ("", "units", json!("cm")),
        ("", "stock", json!([])),
        ("/stock/a", "size", json!(["48.3"])),
        ("/stock/a", "colour", json!("red")),
        ("/bodies/drum", "shape", json!("egg")),
        ("/bodies/drum", "from", json!([0, 0])),
        ("/bodies/drum", "from", json!({ "stack": "s" })),
        ("/bodies/drum", "from", json!(null)),
        ("/bodies/drum", "section", json!({ "oval": [300] })),
        ("/bodies/drum", "keep_off", json!([{ "along": [0, 10] }])),
        (
            "/tubes/t",
            "path",
            json!([{ "on": "drum", "along": 300, "round": "0deg" }]),
        ),
        ("/tubes/t", "start", json!({ "join": "glued" })),
        ("/tubes/t", "coupling", json!({ "at": 100 })),
        ("/tubes/t", "repeat", json!({ "step": [0, 0, 100] })),
        (&format!("{path}/0"), "along", json!([300])),
        (&format!("{path}/1"), "step", json!([200, 0, 0, 0])),
        (&format!("{path}/0"), "drain", json!({})),
    ];
    for (at, key, value) in wrong {
        let mut spoilt = job.clone();
        let object = spoilt.pointer_mut(at).and_then(Value::as_object_mut).expect(at);
        object.insert(key.to_owned(), value.clone());
        assert!(!validator.is_valid(&spoilt), "the schema takes {at} {key}: {value}");
        assert!(!is_taken(&spoilt), "the program takes {at} {key}: {value}");
    }
    for (at, key) in [
        ("/stock/a", "size"),
        ("/bodies/drum", "shape"),
        ("/tubes/t", "stock"),
        ("", "tubes"),
    ] {
        let mut spoilt = job.clone();
        let object = spoilt.pointer_mut(at).and_then(Value::as_object_mut).expect(at);
        object.remove(key);
        assert!(!validator.is_valid(&spoilt), "the schema takes {at} without {key}");
        assert!(!is_taken(&spoilt), "the program takes {at} without {key}");
    }
}

/// Every word that the schema knows is read where it says: put there alone, it is found again in what was read.
#[test]
fn the_program_reads_every_key_of_the_schema() {
    let schema = schema();
    let mut jobs = Vec::new();
    each(&schema, &schema, &mut |job, leaf| jobs.push((job, leaf)));
    assert!(jobs.len() > 90, "only {} keys were found", jobs.len());
    for (job, leaf) in jobs {
        let read = read_so_far("job.json", &job.to_string());
        let said = read.problems.iter().map(|problem| problem.what.to_string());
        let not_missing: Vec<String> = said.filter(|what| !what.contains("is missing here")).collect();
        assert_eq!(not_missing, Vec::<String>::new(), "{job}");
        let read = format!("{:?}", read.value.expect("an object"));
        assert!(leaf.is_none_or(|leaf| read.contains(leaf)), "{job} was read as {read}");
    }
}

/// Calls `found` with each job that holds one single word, and with that word; none for what isn't read.
fn each(root: &Value, kind: &Value, found: &mut dyn FnMut(Value, Option<&'static str>)) {
    let defined = kind["$ref"]
        .as_str()
        .and_then(|name| root.pointer(name.strip_prefix('#')?));
    let kind = defined.unwrap_or(kind);
    let shapes = kind["anyOf"].as_array().into_iter().flatten();
    for shape in shapes.filter(|shape| shape.get("required").is_none()) {
        each(root, shape, found);
    }
    for (key, inner) in kind["properties"].as_object().into_iter().flatten() {
        each(root, inner, &mut |value, leaf| found(one(key, value), leaf));
    }
    if kind["additionalProperties"].is_object() {
        each(root, &kind["additionalProperties"], &mut |value, leaf| {
            found(one("thing", value), leaf);
        });
    }
    if kind["items"].is_object() {
        let count = kind["minItems"]
            .as_u64()
            .filter(|least| kind["maxItems"] == *least)
            .unwrap_or(1);
        each(root, &kind["items"], &mut |value, leaf| {
            found(Value::from(vec![value; usize::try_from(count).expect("few")]), leaf);
        });
    }
    let is_word = kind["enum"].is_array()
        || kind["type"]
            .as_array()
            .is_some_and(|kinds| kinds.contains(&json!("string")));
    if is_word {
        found(json!("quince"), Some("\"quince\""));
    } else if kind["type"] == "boolean" {
        found(json!(true), Some("\"true\""));
    } else if kind.get("type").is_none() && kind.get("anyOf").is_none() {
        found(json!("a note"), None);
    }
}

fn one(key: &str, value: Value) -> Value {
    Value::from(Map::from_iter([(key.to_owned(), value)]))
}
