//! Names that words refer to, and what is said of one that isn't there.

use std::collections::{HashMap, HashSet};

use crate::job::read::nearest;
use crate::problem::shortened;

/// No more names are listed.
const LISTED: usize = 10;

/// For no more unknown names is the nearest known one looked for: nobody reads on.
const MOST_NEAREST: usize = 200;

/// Names of one kind of thing, in order.
#[derive(Debug, Default)]
pub(super) struct Names {
    order: Vec<String>,
    first: HashMap<String, usize>,
    /// What was said of unknown ones.
    unknown: HashMap<String, String>,
}

impl Names {
    /// Adds the next one; of equal names the first is found.
    pub(super) fn add(&mut self, name: &str) {
        self.first.entry(name.to_owned()).or_insert(self.order.len());
        self.order.push(name.to_owned());
    }

    /// Its number from 0.
    pub(super) fn number(&self, name: &str) -> Option<usize> {
        self.first.get(name).copied()
    }

    /// How to mend a name that isn't there; `what` says of what it is a name.
    pub(super) fn help(&mut self, what: &str, name: &str) -> String {
        if let Some(said) = self.unknown.get(name) {
            return said.clone();
        }
        let is_looked_for = self.unknown.len() < MOST_NEAREST;
        let near = nearest(name, self.order.iter().map(String::as_str).filter(|_| is_looked_for));
        let help = match near {
            Some(near) => format!("did you mean \"{near}\"?"),
            None if self.order.is_empty() => format!("there is no {what} in this job before this place"),
            None => format!("there are {}", self.listed()),
        };
        // Said alike of all tubes after this one, too, so that it is one message.
        self.unknown.insert(name.to_owned(), help.clone());
        help
    }

    fn listed(&self) -> String {
        let mut known = HashSet::new();
        let each: Vec<&String> = self.order.iter().filter(|name| known.insert(*name)).collect();
        let listed: Vec<_> = each.iter().take(LISTED).map(|name| shortened(name)).collect();
        match each.len().saturating_sub(LISTED) {
            0 => listed.join(", "),
            more => format!("{} and {more} more", listed.join(", ")),
        }
    }
}
