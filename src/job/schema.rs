//! The JSON Schema of job files, made of the types that hold a file's words: what the one knows, the other knows.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde_json::{Map, Value, json};

use super::raw::JobFile;

/// Any object of a job file may have it.
pub const NOTE: &str = "note";

/// The JSON Schema, draft 2020-12, of a job file.
pub fn schema() -> &'static Value {
    static SCHEMA: LazyLock<Value> = LazyLock::new(made);
    &SCHEMA
}

/// The keys that an object of this type may have in a job file, as the schema lists them; `note` is the last.
pub(super) fn keys<T: JsonSchema>() -> &'static [&'static str] {
    static KEYS: LazyLock<BTreeMap<&'static str, Vec<&'static str>>> = LazyLock::new(|| {
        let definitions = schema()["$defs"].as_object().into_iter().flatten();
        let definitions = definitions.map(|(name, definition)| (name.as_str(), definition));
        let whole = [("", schema())].into_iter();
        let keys = |of: &'static Value| of["properties"].as_object().into_iter().flat_map(Map::keys);
        let all = definitions.chain(whole);
        all.map(|(name, of)| (name, keys(of).map(String::as_str).collect()))
            .collect()
    });
    let name = T::schema_name();
    let name = if name == JobFile::schema_name() { "" } else { &*name };
    KEYS.get(name).map_or(&[], Vec::as_slice)
}

fn made() -> Value {
    let settings = SchemaSettings::draft2020_12()
        .with_transform(RecursiveTransform(on_one_line))
        .with_transform(RecursiveTransform(without_null))
        .with_transform(RecursiveTransform(closed));
    settings.into_generator().into_root_schema_for::<JobFile>().to_value()
}

/// A description is as wide as who shows it wants it.
fn on_one_line(schema: &mut Schema) {
    if let Some(Value::String(said)) = schema.get_mut("description") {
        *said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    }
}

/// What may be left out is left out, never null.
fn without_null(schema: &mut Schema) {
    if let Some(Value::Array(kinds)) = schema.get_mut("type") {
        kinds.retain(|kind| kind != "null");
        if let [only] = &kinds[..] {
            let only = only.clone();
            schema.insert("type".to_owned(), only);
        }
    }
    let Some(Value::Array(shapes)) = schema.get_mut("anyOf") else {
        return;
    };
    shapes.retain(|shape| shape["type"] != "null");
    if let [Value::Object(only)] = &shapes[..] {
        let only = only.clone();
        schema.remove("anyOf");
        for (key, value) in only {
            if schema.get(&key).is_none() {
                schema.insert(key, value);
            }
        }
    }
}

/// An object has the keys that are listed, a note, and no others.
fn closed(schema: &mut Schema) {
    let Some(Value::Object(properties)) = schema.get_mut("properties") else {
        return;
    };
    properties.insert(
        NOTE.to_owned(),
        json!({ "description": "Anything that people should know. That of the whole job is printed on the cover, if it is text, and a body's on its mark-out sheet." }),
    );
    if schema.get("additionalProperties").is_none() {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
}
