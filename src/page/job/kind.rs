//! What a job file's schema says of one value.

use serde_json::{Map, Value};

use crate::job::schema::schema;

/// What may stand in a place of a job file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Kind {
    /// As the place says it, which may be only the name of a definition.
    here: &'static Value,
    /// What that comes to.
    whole: &'static Value,
}

impl Kind {
    /// The whole file.
    pub(super) fn file() -> Self {
        Self::of(schema())
    }

    fn of(here: &'static Value) -> Self {
        let defined = |said: &Value| schema().pointer(said.as_str()?.strip_prefix('#')?);
        let whole = defined(&here["$ref"]).unwrap_or(here);
        Self { here, whole }
    }

    /// Each thing of a section in which things have names, or stand in a list.
    pub(super) fn each_of(section: &str) -> Option<Self> {
        let section = Self::file().property(section)?;
        section.items().or_else(|| section.part("additionalProperties"))
    }

    fn part(self, key: &str) -> Option<Self> {
        self.whole.get(key).filter(|part| part.is_object()).map(Self::of)
    }

    /// The value behind a key.
    pub(super) fn property(self, key: &str) -> Option<Self> {
        self.whole["properties"].get(key).map(Self::of)
    }

    /// The keys that it may have, in their order.
    pub(super) fn keys(self) -> impl Iterator<Item = &'static str> {
        let properties = self.whole["properties"].as_object();
        properties.into_iter().flat_map(Map::keys).map(String::as_str)
    }

    /// Each value of a list.
    pub(super) fn items(self) -> Option<Self> {
        self.part("items")
    }

    /// How many values a list has that always has so many.
    pub(super) fn count(self) -> Option<usize> {
        let most = self.whole["maxItems"].as_u64()?;
        (self.whole["minItems"].as_u64() == Some(most)).then(|| usize::try_from(most).ok())?
    }

    /// Of several shapes the one that is an object, where `is_object`, else the first; itself where it has only one.
    pub(super) fn shaped(self, is_object: bool) -> Self {
        let mut shapes = self.whole["anyOf"].as_array().into_iter().flatten().map(Self::of);
        let shape = if is_object {
            shapes.find(|shape| shape.is_object())
        } else {
            shapes.next()
        };
        // The shapes of the whole file are not shapes: they say which keys it needs.
        shape.filter(|shape| shape.whole.get("type").is_some()).unwrap_or(self)
    }

    /// Whether keys may stand in it.
    pub(super) fn is_object(self) -> bool {
        self.whole["properties"].is_object()
    }

    /// Whether it is so or isn't: `true` or `false`.
    pub(super) fn is_answer(self) -> bool {
        self.whole["type"] == "boolean"
    }

    /// What is said of it.
    pub(super) fn hint(self) -> &'static str {
        let said = self.here["description"].as_str();
        said.or_else(|| self.whole["description"].as_str()).unwrap_or_default()
    }

    /// What it can be, where there are only so many; numbers that are there as text too are left out.
    pub(super) fn choices(self) -> Vec<&'static str> {
        // Of several words for one thing the usual ones are offered.
        let choices = self.here["examples"].as_array();
        let choices = choices
            .or_else(|| self.here["enum"].as_array())
            .or_else(|| self.whole["enum"].as_array());
        choices.into_iter().flatten().filter_map(Value::as_str).collect()
    }
}
