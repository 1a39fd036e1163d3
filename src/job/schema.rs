//! The JSON Schema of job files, made of the types that hold a file's words: what the one knows, the other knows.

use std::sync::LazyLock;

use schemars::Schema;
use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use serde_json::{Value, json};

use super::raw::JobFile;

/// Any object of a job file may have it.
pub const NOTE: &str = "note";

/// The JSON Schema, draft 2020-12, of a job file.
pub fn schema() -> &'static Value {
    static SCHEMA: LazyLock<Value> = LazyLock::new(made);
    &SCHEMA
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
