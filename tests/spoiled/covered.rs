//! What the schema knows of, and the jobs that are spoilt have: a key that none of them has is never moved, doubled or lost.

use std::collections::BTreeSet;

use serde_json::Value;

/// A type of the schema, a key of it, and where it is one of a list of words, which.
type Known = (String, String, String);

/// Every key of every type of `schema`, and every word that one may be.
pub fn known(schema: &Value) -> BTreeSet<Known> {
    let types = schema["$defs"].as_object().expect("types").iter();
    let types = types.map(|(name, of)| (name.as_str(), of)).chain([("job", schema)]);
    let mut known = BTreeSet::new();
    for (name, of) in types {
        for (key, value) in of["properties"].as_object().into_iter().flatten() {
            // Nobody reads notes; a fraction is one of a few numbers, and those are moved anyway.
            if key == "note" || key == "fractions" {
                continue;
            }
            known.insert((name.to_owned(), key.clone(), String::new()));
            let words = [&value["enum"], &value["items"]["enum"]].map(Value::as_array);
            for word in words.into_iter().flatten().flatten() {
                known.insert((name.to_owned(), key.clone(), word.as_str().expect("a word").to_owned()));
            }
        }
    }
    known
}

/// What `job` has of them.
pub fn had(schema: &Value, job: &Value) -> BTreeSet<Known> {
    let mut had = BTreeSet::new();
    look(schema, ("job", schema), job, &mut had);
    had
}

fn look(schema: &Value, of: (&str, &Value), value: &Value, had: &mut BTreeSet<Known>) {
    let (name, of) = followed(schema, of, value);
    match value {
        Value::Object(object) => {
            for (key, inner) in object {
                let property = of["properties"].get(key);
                if property.is_some() {
                    let each = inner.as_array().map_or(std::slice::from_ref(inner), Vec::as_slice);
                    let words = each.iter().filter_map(Value::as_str).chain([""]);
                    had.extend(words.map(|word| (name.to_owned(), key.clone(), word.to_owned())));
                }
                if let Some(next) = property.or(of.get("additionalProperties").filter(|next| next.is_object())) {
                    look(schema, ("", next), inner, had);
                }
            }
        }
        Value::Array(list) => list
            .iter()
            .for_each(|inner| look(schema, ("", &of["items"]), inner, had)),
        _ => {}
    }
}

/// What is meant where a type is only named, or is one of several.
fn followed<'s>(schema: &'s Value, (name, of): (&'s str, &'s Value), value: &Value) -> (&'s str, &'s Value) {
    if let Some(name) = of["$ref"].as_str().and_then(|way| way.strip_prefix("#/$defs/")) {
        return followed(schema, (name, &schema["$defs"][name]), value);
    }
    let several = of["anyOf"].as_array().filter(|_| name != "job");
    let one = several.and_then(|several| {
        several
            .iter()
            .find(|one| one.get("$ref").is_some() == value.is_object())
    });
    one.map_or((name, of), |one| followed(schema, (name, one), value))
}
