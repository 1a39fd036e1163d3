//! A value of a JSON document that knows where it stands, and keeps the problems found in it.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::rc::Rc;

use jsonc_parser::ast::{Array, Object, ObjectProp, Value};
use jsonc_parser::common::Ranged;

use super::document::{Document, without_exponent};
use crate::job::limits::{LONGEST_NAME, LONGEST_NOTE};
use crate::job::raw::{Named, Word};
use crate::job::schema::NOTE;
use crate::letters::{as_printable, composed, printable};
use crate::problem::{Problem, quoted, shortened};

/// Names that are this alike are offered for each other.
const ALIKE: f64 = 0.7;

/// What an object of a job file says.
pub(super) trait Thing: Sized {
    /// The keys that it may have in a file, a note not among them: any object may have one.
    const KEYS: &'static [&'static str];

    /// What a node says of it; what is wrong is kept by the node.
    fn read(node: &Node<'_>) -> Self;
}

/// An object of the document.
pub(super) struct Node<'a> {
    document: &'a Document<'a>,
    at: usize,
    path: String,
    object: Rc<Object<'a>>,
    /// Known keys that are missing, and the place of the property that is taken for each: its key is all but the same.
    meant: RefCell<Vec<(&'static str, usize)>>,
}

impl<'a> Node<'a> {
    /// The outermost object of a document.
    pub(super) fn root(document: &'a Document<'a>, object: Object<'a>) -> Self {
        Self {
            document,
            at: object.range.start,
            path: String::new(),
            object: Rc::new(object),
            meant: RefCell::default(),
        }
    }

    /// What `read` makes of what stands behind a key.
    pub(super) fn field<T>(&self, key: &'static str, read: impl Fn(&Self, &'static str) -> T) -> T {
        read(self, key)
    }

    /// The object as a whole.
    pub(super) fn here(&self) -> Word {
        self.document.word(self.at, &self.path, String::new())
    }

    /// Refuses every key that is neither a note nor one of these, and every key that comes twice. What stands behind an
    /// unknown key is read as that of the known one that was meant, where that is clear, so that its mistakes are told too.
    pub(super) fn takes(&self, keys: &[&'static str]) {
        let known = || keys.iter().copied().chain([NOTE]);
        let mut seen = BTreeSet::new();
        for (place, property) in self.object.properties.iter().enumerate() {
            let key = property.name.as_str();
            if !seen.insert(key) {
                self.refuse(
                    property,
                    Problem::new(format!("{} is here twice", quoted(key))).help("keep one of them"),
                );
            }
            if known().any(|known| known == key) {
                continue;
            }
            let near = nearest(key, known());
            let help = near.map_or_else(
                || format!("known here: {}", known().collect::<Vec<_>>().join(", ")),
                |near| format!("did you mean \"{near}\"?"),
            );
            let problem = Problem::new(format!("{} is not known here", quoted(key))).help(help);
            self.document
                .refuse_key(property.range.start, &self.below(key), problem);
            match near.filter(|near| self.is_missing(near)) {
                Some(known) => {
                    self.meant.borrow_mut().push((known, place));
                    self.document.guess(self.below(known));
                }
                None => self.document.lacks(&self.path),
            }
        }
    }

    /// Whether there is no such key, nor one that is taken for it.
    fn is_missing(&self, key: &str) -> bool {
        self.property(key).is_none()
    }

    fn refuse(&self, property: &ObjectProp<'_>, problem: Problem) {
        self.document
            .refuse(property.range.start, &self.below(property.name.as_str()), problem);
    }

    fn below(&self, key: &str) -> String {
        let key = shortened(key);
        if self.path.is_empty() {
            key.into_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    fn property(&self, key: &str) -> Option<&ObjectProp<'a>> {
        let properties = &self.object.properties;
        let exact = properties.iter().find(|property| property.name.as_str() == key);
        let meant = || {
            let meant = self.meant.borrow();
            let (_, place) = meant.iter().find(|(known, _)| *known == key)?;
            properties.get(*place)
        };
        exact.or_else(meant)
    }

    /// A number or text.
    pub(super) fn word(&self, key: &str) -> Option<Word> {
        let property = self.property(key)?;
        self.word_of(&property.value, &self.below(key))
    }

    /// A note, as it can be printed; none where it is no text.
    pub(super) fn note(&self) -> Option<String> {
        match &self.property(NOTE)?.value {
            Value::StringLit(text) => {
                let note = as_printable(
                    &text.value,
                    LONGEST_NOTE,
                    "... (the rest of this note is in the job file)",
                );
                Some(note).filter(|note| !note.is_empty())
            }
            _ => None,
        }
    }

    /// The same, to be printed; what the sheets can't print, or is longer than so many letters, is a problem.
    pub(super) fn printed_word(&self, key: &str, longest: usize) -> Option<Word> {
        self.printed(self.word(key)?, longest)
    }

    /// The same where it must be there.
    pub(super) fn needed_printed_word(&self, key: &str) -> Option<Word> {
        self.printed(self.needed_word(key)?, LONGEST_NAME)
    }

    fn printed(&self, word: Word, longest: usize) -> Option<Word> {
        if let Err(problem) = printable(&word.text).and_then(|()| require_short(&word.text, longest)) {
            self.document.refuse_at(problem.at(&word));
            return None;
        }
        Some(word)
    }

    /// A number or text that must be there.
    pub(super) fn needed_word(&self, key: &str) -> Option<Word> {
        if self.property(key).is_none() {
            let problem = Problem::new(format!("\"{key}\" is missing here"));
            let help = format!("add \"{key}\": ...; `girthline schema` says what it holds");
            self.document.refuse(self.at, &self.path, problem.help(help));
        }
        self.word(key)
    }

    fn word_of(&self, value: &Value<'_>, path: &str) -> Option<Word> {
        let text = match value {
            Value::StringLit(text) => composed(&text.value).into_owned(),
            Value::NumberLit(number) => without_exponent(number.value),
            _ => {
                let problem = Problem::new("a number or a text belongs here").help("such as 48.3, or \"1-7/8in\"");
                self.document.refuse(value.range().start, path, problem);
                return None;
            }
        };
        Some(self.document.word(value.range().start, path, text))
    }

    /// `true` or `false`.
    pub(super) fn answer(&self, key: &str) -> Option<Word> {
        let property = self.property(key)?;
        let (value, path) = (&property.value, self.below(key));
        if let Value::BooleanLit(answer) = value {
            let text = answer.value.to_string();
            return Some(self.document.word(value.range().start, &path, text));
        }
        let problem = Problem::new("true or false belongs here").help("write it without quotes");
        self.document.refuse(value.range().start, &path, problem);
        None
    }

    /// So many numbers or texts; `what` says which.
    pub(super) fn few<const N: usize>(&self, key: &str, what: &str) -> Option<[Word; N]> {
        let property = self.property(key)?;
        let path = self.below(key);
        match &property.value {
            Value::Array(array) if array.elements.len() == N => self.words_of(array, &path).try_into().ok(),
            value => {
                let problem = Problem::new(format!("a list of {N} belongs here: {what}")).help(format!(
                    "such as [{}]",
                    [["0"; N], ["1"; N]][usize::from(N == 2)].join(", ")
                ));
                self.document.refuse(value.range().start, &path, problem);
                None
            }
        }
    }

    /// Any number of numbers or texts; none where there is no such list.
    pub(super) fn words(&self, key: &str) -> Vec<Word> {
        let path = self.below(key);
        let list = self
            .property(key)
            .and_then(|property| self.array(&property.value, &path));
        list.map_or_else(Vec::new, |array| self.words_of(array, &path))
    }

    fn words_of(&self, array: &Array<'_>, path: &str) -> Vec<Word> {
        let elements = array.elements.iter().enumerate();
        elements
            .filter_map(|(index, value)| self.word_of(value, &format!("{path}[{index}]")))
            .collect()
    }

    fn array<'v>(&self, value: &'v Value<'a>, path: &str) -> Option<&'v Array<'a>> {
        if let Value::Array(array) = value {
            return Some(array);
        }
        let problem = Problem::new("a list belongs here").help("put it in square brackets: [ ... ]");
        self.document.refuse(value.range().start, path, problem);
        None
    }

    /// Whether there is such a key.
    pub(super) fn has(&self, key: &str) -> bool {
        self.property(key).is_some()
    }

    /// Whether there is such a key, with an object behind it.
    pub(super) fn holds_object(&self, key: &str) -> bool {
        self.property(key)
            .is_some_and(|property| matches!(property.value, Value::Object(_)))
    }

    /// An object within.
    pub(super) fn child(&self, key: &str) -> Option<Self> {
        let property = self.property(key)?;
        self.node(&property.value, self.below(key))
    }

    fn node(&self, value: &Value<'a>, path: String) -> Option<Self> {
        match value {
            Value::Object(object) => Some(Self {
                document: self.document,
                at: object.range.start,
                path,
                object: Rc::new(object.clone()),
                meant: RefCell::default(),
            }),
            _ => {
                let problem = Problem::new("an object { ... } belongs here");
                let help = "put keys and their values in braces: { \"key\": value }";
                self.document.refuse(value.range().start, &path, problem.help(help));
                None
            }
        }
    }

    /// Each object of a list.
    pub(super) fn each<T: Thing>(&self, key: &str) -> Vec<T> {
        let Some(property) = self.property(key) else {
            return Vec::new();
        };
        let path = self.below(key);
        let Some(array) = self.array(&property.value, &path) else {
            return Vec::new();
        };
        let nodes = array
            .elements
            .iter()
            .enumerate()
            .filter_map(|(index, value)| self.node(value, format!("{path}[{index}]")));
        nodes.map(|node| T::read(&node)).collect()
    }

    /// Each object of an object, by name.
    pub(super) fn named<T: Thing>(&self, key: &str) -> Vec<Named<T>> {
        let Some(child) = self.child(key) else {
            return Vec::new();
        };
        let (mut found, mut names) = (Vec::new(), BTreeSet::new());
        for property in child
            .object
            .properties
            .iter()
            .filter(|property| property.name.as_str() != "note")
        {
            let name = composed(property.name.as_str());
            let path = child.below(&name);
            if names.contains(&name) {
                child.refuse(
                    property,
                    Problem::new(format!("there are two of the name {}", quoted(&name)))
                        .help("give each a name of its own"),
                );
            }
            let word = self
                .document
                .word(property.range.start, &path, name.clone().into_owned());
            if let Err(problem) = printable(&name).and_then(|()| require_short(&name, LONGEST_NAME)) {
                child.refuse(property, problem);
            }
            if let Some(node) = child.node(&property.value, path) {
                names.insert(name);
                found.push(Named {
                    name: word,
                    thing: T::read(&node),
                });
            }
        }
        found
    }
}

fn require_short(text: &str, longest: usize) -> Result<(), Problem> {
    let letters = text.chars().count();
    if letters <= longest {
        return Ok(());
    }
    Err(Problem::new("this is too long for a sheet")
        .figures(format!("{letters} letters, at most {longest}"))
        .help("shorten it; what else should be known can go into a \"note\""))
}

/// The name that is most like `word`, where one is.
pub(in crate::job) fn nearest<'n>(word: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    let alike = |name: &str| strsim::jaro_winkler(&word.to_lowercase(), &name.to_lowercase());
    names
        .map(|name| (alike(name), name))
        .filter(|(alike, _)| *alike >= ALIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}
