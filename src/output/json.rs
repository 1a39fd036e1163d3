//! Objects of the report: their keys stand in the order in which they are put together.

use serde_json::{Map, Value};

/// One object with the keys of several, one behind the other.
pub(super) fn joined<const N: usize>(parts: [Value; N]) -> Value {
    let objects = parts.into_iter().filter_map(|part| match part {
        Value::Object(object) => Some(object),
        _ => None,
    });
    Value::Object(objects.flatten().collect::<Map<_, _>>())
}

/// The object without those of these keys that hold nothing: null, an empty list, false.
pub(super) fn without_empty<const N: usize>(keys: [&str; N], mut object: Value) -> Value {
    if let Value::Object(map) = &mut object {
        map.retain(|key, value| {
            let is_empty = value.is_null() || *value == false || value.as_array().is_some_and(Vec::is_empty);
            !(is_empty && keys.contains(&key.as_str()))
        });
    }
    object
}

/// Values by the degree, from 0.
pub(super) fn by_degree(values: &[f64]) -> Vec<[f64; 2]> {
    let values = values.iter().enumerate();
    values.map(|(degree, value)| [degree as f64, *value]).collect()
}
