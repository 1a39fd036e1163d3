//! Job files changed in structure: types swapped, keys moved between shapes, numbers at their limits, copies of copies.

use serde_json::{Value, json};

use super::{Choices, TEMPLATES};

/// Where the program draws lines, in millimetres, degrees or counts.
#[rustfmt::skip]
const LIMITS: [f64; 30] = [
    0.0, 1e-9, 1e-6, 0.005, 0.1, 0.5, 1.0, 2.0, 3.0, 10.0, 12.0, 25.0, 48.0, 50.0, 64.0, 80.0, 90.0, 160.0, 180.0, 360.0,
    500.0, 2_000.0, 20_000.0, 20_001.0, 50_000.0, 99_999.999, 100_000.0, 1e6, 1e15, 1e300,
];

/// Keys of every kind of thing, with values that would be right somewhere.
fn keys() -> Vec<(&'static str, Value)> {
    vec![
        ("shape", json!("cone")),
        ("shape", json!("sphere")),
        ("shape", json!("plane")),
        ("shape", json!("cylinder")),
        ("size", json!("300mm x 2mm")),
        ("size_to", json!("200mm x 2mm")),
        ("section", json!({ "oval": [310, 290] })),
        (
            "section",
            json!({ "offsets": [{ "at": "0deg", "out": 1 }, { "at": "90deg", "out": -1 }, { "at": "200deg", "out": 2 }] }),
        ),
        ("stack", json!("vessel")),
        ("from", json!([0, 0, 0])),
        ("to", json!([0, 1, 1])),
        ("at", json!([0, 0, 500])),
        ("out", json!([0, 1, 0])),
        ("out", json!(25)),
        ("zero", json!([1, 0, 0])),
        ("wide", json!(400)),
        ("high", json!(300)),
        ("floor", json!(10)),
        ("along", json!(0)),
        ("round", json!("90deg")),
        ("step", json!([0, 0, 300])),
        ("drain", json!({ "above_floor": 5 })),
        ("join", json!("miter")),
        ("join", json!("set-in")),
        ("clearance", json!(1)),
        ("root_gap", json!(2)),
        ("shape", json!("head")),
        ("dish", json!("DIN 28011")),
        ("dish", json!({ "crown": 300, "knuckle": 30 })),
        ("dish", json!({ "ratio": 2 })),
        ("flange", json!(20)),
        ("also", json!(["post"])),
        ("also", json!(["left brace", "rail"])),
        ("weld_leg", json!(3)),
        ("weld_throat", json!(2)),
        ("turned", json!(30)),
        ("corner", json!({ "pieces": 5, "radius": 90 })),
        ("coupling", json!({ "at": 200, "gap": 10, "sleeve": 60 })),
    ]
}

/// A starter with some of its structure changed; always JSON.
pub fn restructured(choices: &mut Choices<'_>) -> String {
    let template = TEMPLATES[choices.below(TEMPLATES.len())];
    let mut job: Value = serde_json::from_str(template).expect("a starter is JSON");
    for _ in 0..=choices.below(4) {
        match choices.below(8) {
            0 => swap_a_type(&mut job, choices),
            1 => move_a_key(&mut job, choices),
            2 => give_a_key(&mut job, choices),
            3 | 4 => move_a_number(&mut job, choices),
            5 => exchange(&mut job, choices),
            6 => copy_a_tube(&mut job, choices),
            _ => land_on_a_copy(&mut job, choices),
        }
        if choices.is_spent() {
            break;
        }
    }
    job.to_string()
}

/// The ways to all values that are `wanted`, as JSON pointers.
fn ways(value: &Value, wanted: fn(&Value) -> bool) -> Vec<String> {
    let mut found = Vec::new();
    gather(value, String::new(), wanted, &mut found);
    found
}

fn gather(value: &Value, way: String, wanted: fn(&Value) -> bool, found: &mut Vec<String>) {
    match value {
        Value::Object(object) => {
            for (key, inner) in object {
                gather(inner, format!("{way}/{key}"), wanted, found);
            }
        }
        Value::Array(list) => {
            for (index, inner) in list.iter().enumerate() {
                gather(inner, format!("{way}/{index}"), wanted, found);
            }
        }
        _ => {}
    }
    if wanted(value) {
        found.push(way);
    }
}

/// One of the values that are `wanted`.
fn one<'v>(job: &'v mut Value, choices: &mut Choices<'_>, wanted: fn(&Value) -> bool) -> Option<&'v mut Value> {
    let ways = ways(job, wanted);
    let way = ways.get(choices.below(ways.len()))?;
    job.pointer_mut(way)
}

fn swap_a_type(job: &mut Value, choices: &mut Choices<'_>) {
    let kind = choices.below(9);
    let Some(value) = one(job, choices, |value| !value.is_null()) else {
        return;
    };
    let old = value.take();
    *value = match kind {
        0 => Value::Null,
        1 => json!(true),
        2 => json!(0),
        3 => json!(old.to_string()),
        4 => json!([old]),
        5 => json!([old, old, old]),
        6 => json!({ "a": old }),
        7 => json!([]),
        _ => json!({}),
    };
}

/// From one object to another, or into both.
fn move_a_key(job: &mut Value, choices: &mut Choices<'_>) {
    let is_moved = choices.below(2) == 0;
    let Some(from) = one(job, choices, is_filled).and_then(Value::as_object_mut) else {
        return;
    };
    let key = from.keys().nth(choices.below(from.len())).cloned().expect("a key");
    let value = if is_moved {
        from.remove(&key)
    } else {
        from.get(&key).cloned()
    };
    if let Some(to) = one(job, choices, Value::is_object).and_then(Value::as_object_mut) {
        to.insert(key, value.expect("a value"));
    }
}

fn is_filled(value: &Value) -> bool {
    value.as_object().is_some_and(|object| !object.is_empty())
}

fn give_a_key(job: &mut Value, choices: &mut Choices<'_>) {
    let keys = keys();
    let (key, value) = keys[choices.below(keys.len())].clone();
    if let Some(to) = one(job, choices, Value::is_object).and_then(Value::as_object_mut) {
        to.insert(key.to_owned(), value);
    }
}

/// To a limit or right beside it, or to another number of the job.
fn move_a_number(job: &mut Value, choices: &mut Choices<'_>) {
    let limit = LIMITS[choices.below(LIMITS.len())];
    let beside = [0.0, 1e-9, -1e-9, 1e-5, -1e-5, 1e-3, -1e-3, 1.0, -1.0][choices.below(9)];
    let how = choices.below(5);
    let other = one(job, choices, Value::is_number).and_then(|value| value.as_f64());
    let Some(value) = one(job, choices, Value::is_number) else {
        return;
    };
    let old = value.as_f64().unwrap_or(0.0);
    *value = json!(match how {
        0 => limit + beside,
        1 => -(limit + beside),
        2 => other.unwrap_or(0.0) + beside,
        3 => -old,
        _ => old + beside,
    });
}

/// Any value in place of any other.
fn exchange(job: &mut Value, choices: &mut Choices<'_>) {
    let copied = one(job, choices, |_| true).map(|value| value.clone());
    if let (Some(copied), Some(value)) = (copied, one(job, choices, |_| true)) {
        *value = copied;
    }
}

/// The names of the job's tubes.
pub fn tube_names(job: &Value) -> Vec<String> {
    let tubes = job.get("tubes").and_then(Value::as_object);
    tubes.map_or_else(Vec::new, |tubes| tubes.keys().cloned().collect())
}

fn repeat(choices: &mut Choices<'_>, body: Option<String>) -> Value {
    let times = [1, 2, 3, 7, 24, 200, 5_000, 20_000][choices.below(8)];
    let step = [0.0, 1e-9, 0.5, 10.0, 60.0, -100.0][choices.below(6)];
    match choices.below(3) {
        0 => json!({ "times": times, "step": [step, 0, 0] }),
        1 => json!({ "times": times, "step": [0, step, step] }),
        _ => json!({ "times": times, "turn": step, "about": body }),
    }
}

fn copy_a_tube(job: &mut Value, choices: &mut Choices<'_>) {
    let names = tube_names(job);
    let bodies = job.get("bodies").and_then(Value::as_object);
    let body = bodies.and_then(|bodies| bodies.keys().nth(choices.below(bodies.len())).cloned());
    let Some(name) = names.get(choices.below(names.len())) else {
        return;
    };
    let repeat = repeat(choices, body);
    if let Some(tube) = job["tubes"][name].as_object_mut() {
        tube.insert("repeat".to_owned(), repeat);
    }
}

/// A new tube on a tube that may have copies, with copies of its own about it.
fn land_on_a_copy(job: &mut Value, choices: &mut Choices<'_>) {
    copy_a_tube(job, choices);
    let names = tube_names(job);
    let Some(name) = names.get(choices.below(names.len())) else {
        return;
    };
    let repeat = repeat(choices, Some(name.clone()));
    let stock = job["tubes"][name].get("stock").cloned().unwrap_or(Value::Null);
    let along = LIMITS[choices.below(LIMITS.len())];
    let round = ["0deg", "90deg", "180deg", "-90deg"][choices.below(4)];
    // Keys stand in the order of the alphabet: the new tube comes after the old.
    job["tubes"][format!("{name} z")] = json!({
        "stock": stock,
        "path": [ { "on": name, "along": along, "round": round }, { "step": [0, 130, 170] } ],
        "repeat": repeat,
    });
}
