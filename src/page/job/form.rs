//! Fields for everything that a job file may hold, as its schema says: what there is, and what may be added.

use serde::Serialize;
use serde_json::{Value, json};

use super::kind::Kind;
use super::lengths::about;
use crate::job::edit::{Key, Tree, Way};
use crate::plan::JobPlan;

/// A part of a card.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Part {
    /// Words of the sentence.
    Words(String),
    /// What the next fields are about.
    Heading(String),
    /// A field.
    Gap(Gap),
    /// A button that changes the job.
    Act(Act),
    /// A vessel's skin laid flat.
    Skin(Skin),
    /// A button that leads to a vessel's mark-out.
    MarkOut(ToMarkOut),
    /// A button that leads to a tube's ends at the trial fit.
    OfferUp(ToOfferUp),
}

/// A field.
#[derive(Debug, Clone, Default, Serialize)]
pub(super) struct Gap {
    pub(super) at: Way,
    pub(super) label: String,
    pub(super) typed: String,
    pub(super) hint: String,
    /// What can be chosen, where that is known: each with what is said of it.
    pub(super) choices: Vec<(String, String)>,
    /// The names of sizes to choose from while typing: `tubes` or `bodies`.
    pub(super) list: Option<&'static str>,
    /// What is put there first where it isn't there yet, as JSON: the whole list of which this is a part.
    pub(super) base: Option<(Way, String)>,
    /// What it measures, where that stands in several places of the file.
    pub(super) measure: Option<&'static str>,
}

/// A button.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Act {
    pub(super) label: String,
    /// Edits as the page sends them.
    pub(super) edits: Vec<Value>,
}

/// A vessel's skin laid flat, beside what is measured on it.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Skin {
    /// The point of a path that is shown on it, and that goes where one points at it; none where it is solved for.
    pub(super) at: Option<Way>,
    pub(super) svg: String,
    pub(super) words: &'static str,
}

/// What leads to a vessel's mark-out.
#[derive(Debug, Clone, Serialize)]
pub(super) struct ToMarkOut {
    pub(super) body: String,
    pub(super) label: String,
}

/// What leads from a tube's card to its ends at the trial fit.
#[derive(Debug, Clone, Serialize)]
pub(super) struct ToOfferUp {
    pub(super) ends: Vec<OfferedEnd>,
    pub(super) label: &'static str,
}

/// An end that can be asked about.
#[derive(Debug, Clone, Serialize)]
pub(super) struct OfferedEnd {
    /// Of a copy with its number.
    pub(super) tube: String,
    /// `start` or `end`.
    pub(super) end: &'static str,
    /// With the cut end up its crown line RIGHT is to the left of the front.
    pub(super) is_far: bool,
    pub(super) words: String,
}

/// What the keys of a file are called across the shop.
const CALLED: [(&str, &str); 47] = [
    ("also", "Cut to as well"),
    ("without", "Left out"),
    ("size_to", "Size at the far end"),
    ("part_at", "Can be parted at"),
    ("must_part", "Must be parted"),
    ("on_top", "On top"),
    ("from", "From"),
    ("zero", "Zero line towards"),
    ("keep_off", "To be kept off"),
    ("holes", "Holes as found"),
    ("across", "Straight across"),
    ("on", "On"),
    ("along", "Along from its end"),
    ("round", "Round from the zero line"),
    ("out", "Straight out"),
    ("step", "On by"),
    ("fall", "It falls"),
    ("towards", "Along the level towards"),
    ("above_floor", "Over the floor"),
    ("start", "How it begins"),
    ("end", "How it ends"),
    ("join", "Joined"),
    ("made", "Made already"),
    ("turned", "Turned about itself"),
    ("corner", "Corners"),
    ("coupling", "Parted by a coupling"),
    ("repeat", "More of them"),
    ("times", "How many in all"),
    ("turn", "Turned from one to the next"),
    ("about", "About the axis of"),
    ("by", "By"),
    ("tube", "Tube"),
    ("body", "From"),
    ("kerf", "A cut takes"),
    ("stick", "A stick is"),
    ("floor", "Floor inside, from the end"),
    ("oval", "Across, oval"),
    ("at", "At"),
    ("part", "Part"),
    ("take", "Which way is built"),
    ("path", "Its way"),
    ("section", "Out of round"),
    ("ruler_reads", "The rulers read"),
    ("paper_thickness", "Paper thickness"),
    ("gap", "Gap"),
    ("sleeve", "Sleeve"),
    ("pieces", "Pieces in each corner"),
];

/// What a key is called.
pub(super) fn called(key: &str) -> String {
    let known = CALLED.iter().find(|(known, _)| *known == key);
    known.map_or_else(
        || {
            let words = key.replace('_', " ");
            let mut letters = words.chars();
            letters
                .next()
                .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
        },
        |(_, words)| (*words).to_owned(),
    )
}

/// A form is being written.
pub(super) struct Form<'t> {
    pub(super) tree: &'t Tree<'t>,
    /// The job as far as it is solved.
    pub(super) job: Option<&'t JobPlan>,
    pub(super) parts: Vec<Part>,
}

impl<'t> Form<'t> {
    pub(super) fn new(tree: &'t Tree<'t>, job: Option<&'t JobPlan>) -> Self {
        Self {
            tree,
            job,
            parts: Vec::new(),
        }
    }

    pub(super) fn words(&mut self, words: &str) {
        self.parts.push(Part::Words(words.to_owned()));
    }

    pub(super) fn heading(&mut self, words: impl Into<String>) {
        self.parts.push(Part::Heading(words.into()));
    }

    pub(super) fn act(&mut self, label: impl Into<String>, edits: impl IntoIterator<Item = Value>) {
        let (label, edits) = (label.into(), edits.into_iter().collect());
        self.parts.push(Part::Act(Act { label, edits }));
    }

    /// All fields below a place, but for some keys.
    pub(super) fn all(&mut self, at: &[Key], kind: Kind, but: &[&str]) {
        for key in kind.keys().filter(|key| !but.contains(key)) {
            self.one(&below(at, key), kind.property(key));
        }
    }

    /// The field or fields of one value; none where the schema doesn't know it.
    pub(super) fn one(&mut self, at: &[Key], kind: Option<Kind>) {
        let Some(kind) = kind else { return };
        let hint = kind.hint();
        let kind = kind.shaped(!self.tree.names(at).is_empty());
        let label = at.last().map_or_else(String::new, |key| called(&key.to_string()));
        let is_dish = at.last() == Some(&"dish".into());
        if kind.is_object() {
            self.heading(label);
            self.all(at, kind, &["note"]);
            if is_dish {
                self.act("By its name instead", [put(at, "\"ellipsoidal 2:1\"")]);
            }
        } else if let Some(count) = kind.count() {
            self.several(at, &label, count, hint);
        } else if let Some(items) = kind.items() {
            self.list(at, items, &label);
        } else if kind.is_answer() {
            self.answer(at, &label);
        } else {
            let typed = self.tree.typed(at).unwrap_or_default();
            // A note may be anything; only words are for a field.
            if self.tree.has(at) && typed.is_empty() && !self.tree.typed(at).is_some_and(|typed| typed.is_empty()) {
                return;
            }
            let choices = kind
                .choices()
                .into_iter()
                .map(|word| (word.to_owned(), word.to_owned()));
            self.gap(at, &label, hint, choices.collect());
            if is_dish {
                let json = format!("{{ \"depth\": {} }}", about(self.tree, 70.0));
                self.act("By its measures instead", [put(at, &json)]);
            }
        }
    }

    /// A field for one word.
    pub(super) fn gap(&mut self, at: &[Key], label: &str, hint: &str, mut choices: Vec<(String, String)>) {
        let key = at.last().map_or_else(String::new, ToString::to_string);
        let typed = self.tree.typed(at).unwrap_or_default();
        if choices.is_empty() {
            choices = self.names_for(&key);
        }
        if !choices.is_empty() && !choices.iter().any(|(word, _)| *word == typed) {
            choices.insert(0, (typed.clone(), typed.clone()));
        }
        let list =
            (key == "size" || key == "size_to").then(|| if at[0] == "stock".into() { "tubes" } else { "bodies" });
        self.parts.push(Part::Gap(Gap {
            at: at.to_vec(),
            label: label.to_owned(),
            hint: hint.to_owned(),
            typed,
            choices,
            list,
            ..Gap::default()
        }));
    }

    /// What is so or isn't, as a button that changes it.
    fn answer(&mut self, at: &[Key], label: &str) {
        if self.tree.has(at) {
            let edit = json!({ "type": { "at": at, "words": "" } });
            self.act(format!("No longer: {}", label.to_lowercase()), [edit]);
        } else {
            self.act(label, [put(at, "true")]);
        }
    }

    /// Two or three words that belong together, such as a place in space.
    fn several(&mut self, at: &[Key], label: &str, count: usize, hint: &str) {
        const WAYS: [&str; 3] = ["right (x)", "back (y)", "up (z)"];
        for (index, said) in WAYS.iter().enumerate().take(count) {
            let way: Way = [at, &[index.into()]].concat();
            let which = if count == 3 {
                (*said).to_owned()
            } else {
                (index + 1).to_string()
            };
            let zeros = vec!["0"; count].join(", ");
            self.parts.push(Part::Gap(Gap {
                label: format!("{label}, {which}"),
                typed: self.tree.typed(&way).unwrap_or_default(),
                hint: hint.to_owned(),
                base: (!self.tree.has(at)).then(|| (at.to_vec(), format!("[{zeros}]"))),
                at: way,
                ..Gap::default()
            }));
        }
    }

    /// Each of a list, with what adds one and what takes one out.
    fn list(&mut self, at: &[Key], items: Kind, label: &str) {
        let count = self.tree.count(at);
        let key = at.last().map_or_else(String::new, ToString::to_string);
        let mut choices: Vec<(String, String)> = self.names_for(&key);
        let words = items.choices().into_iter();
        choices.extend(words.map(|word| (word.to_owned(), word.to_owned())));
        for index in 0..count {
            let way: Way = [at, &[index.into()]].concat();
            let is_one_word = self.tree.typed(&way).is_some();
            if is_one_word {
                self.gap(&way, &format!("{label} {}", index + 1), "", choices.clone());
            } else {
                self.heading(format!("{label} {}", index + 1));
                self.all(&way, items, &[]);
            }
            // With the last of them goes what holds nothing else.
            let edit = match count {
                1 => json!({ "type": { "at": at, "words": "" } }),
                _ => remove(&way),
            };
            self.act(format!("Take out {} {}", label.to_lowercase(), index + 1), [edit]);
        }
        let first = choices.first().map(|(word, _)| json!(word).to_string());
        let mm = |mm: f64| about(self.tree, mm);
        let new = match (key.as_str(), first) {
            ("part_at", _) => mm(300.0),
            ("keep_off", _) => format!(r#"{{ "name": "rib", "along": [0, {}] }}"#, mm(12.7)),
            ("holes", _) => format!(
                r#"{{ "name": "bung", "along": {}, "round": 0, "across": {} }}"#,
                mm(100.0),
                mm(60.0)
            ),
            ("diameters", _) => format!(r#"{{ "at": "0deg", "across": {} }}"#, mm(500.0)),
            ("offsets", _) => r#"{ "at": "0deg", "out": 0 }"#.to_owned(),
            ("on_top", _) => format!(r#"{{ "what": "lid", "height": {} }}"#, mm(12.7)),
            ("parts", _) => format!(r#"{{ "name": "part", "height": {} }}"#, mm(850.0)),
            (_, Some(first)) => first,
            _ => return,
        };
        let way: Way = [at, &[count.into()]].concat();
        self.act(format!("Add: {}", label.to_lowercase()), [put(&way, &new)]);
    }

    /// What a word of this key can name.
    fn names_for(&self, key: &str) -> Vec<(String, String)> {
        let sections: &[&str] = match key {
            "stock" => &["stock"],
            "on" | "body" | "also" => &["bodies", "tubes"],
            "about" => &["bodies"],
            "tube" | "to" => &["tubes"],
            "stack" => &["stacks"],
            _ => &[],
        };
        let names = sections
            .iter()
            .flat_map(|section| self.tree.names(&[(*section).into()]));
        names
            .filter(|name| name != "note")
            .map(|name| (name.clone(), name))
            .collect()
    }
}

/// The edit that puts something at a place, as JSON.
pub(super) fn put(at: &[Key], words: &str) -> Value {
    json!({ "put": { "at": at, "json": words } })
}

/// The edit that takes out what is at a place.
pub(super) fn remove(at: &[Key]) -> Value {
    json!({ "remove": { "at": at } })
}

/// The way to what is within a place.
pub(super) fn below(at: &[Key], key: impl Into<Key>) -> Way {
    [at, &[key.into()]].concat()
}
