//! How the words of a job file stand in it, for its JSON Schema: the kinds of the fields that a field's own type doesn't say.

use std::borrow::Cow;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use super::Word;
use crate::job::limits::{LONGEST_NAME, LONGEST_TITLE};

impl JsonSchema for Word {
    fn schema_name() -> Cow<'static, str> {
        "Word".into()
    }

    fn inline_schema() -> bool {
        true
    }

    /// A number in the file's units, or text.
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["number", "string"] })
    }
}

/// Something that is printed, no longer than so many letters.
pub(super) struct Printed<const LONGEST: usize>;

/// A name that is printed.
pub(super) type Name = Printed<LONGEST_NAME>;

/// A title.
pub(super) type Title = Printed<LONGEST_TITLE>;

impl<const LONGEST: usize> JsonSchema for Printed<LONGEST> {
    fn schema_name() -> Cow<'static, str> {
        format!("Printed{LONGEST}").into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["number", "string"], "maxLength": LONGEST })
    }
}

/// Things of one kind by their names.
pub(super) struct ByName<T>(PhantomData<T>);

impl<T: JsonSchema> JsonSchema for ByName<T> {
    fn schema_name() -> Cow<'static, str> {
        format!("{}ByName", T::schema_name()).into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "propertyNames": { "maxLength": LONGEST_NAME },
            "properties": {},
            "additionalProperties": generator.subschema_for::<T>(),
        })
    }
}
