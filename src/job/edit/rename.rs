//! Another name for something, and for whatever names it.

use jsonc_parser::ast::Value;
use jsonc_parser::common::Ranged;

use super::place::{Key, Way};
use super::splice::Splice;
use super::tree::{Tree, children};
use super::{not_there, text_of};
use crate::job::HEADS;
use crate::problem::{Problem, quoted};

/// Under which keys the things of a section are named.
fn named_by(section: &str) -> &'static [&'static str] {
    match section {
        "stock" => &["stock"],
        "stacks" => &["stack"],
        "bodies" => &["on", "about", "body", "also"],
        "tubes" => &["on", "about", "body", "to", "tube", "also"],
        _ => &[],
    }
}

pub(super) fn splices(tree: &Tree<'_>, at: &[Key], name: &str) -> Result<Vec<Splice>, Problem> {
    let [Key::Name(section), Key::Name(old)] = at else {
        return Err(not_there(at));
    };
    let holder = tree.value(&at[..1]).ok_or_else(|| not_there(at))?;
    let whole = children(holder).find(|(key, ..)| *key == at[1]);
    let (_, range, value) = whole.ok_or_else(|| not_there(at))?;
    let bears = |section: &str, name: &str| tree.has(&[section.into(), name.into()]);
    // Tubes and bodies are both landed on by name.
    let is_taken = match section.as_str() {
        "tubes" | "bodies" => ["tubes", "bodies"].iter().any(|section| bears(section, name)),
        section => bears(section, name),
    };
    if is_taken && name != old {
        return Err(
            Problem::new(format!("there is one of the name {} already", quoted(name)))
                .help("give each a name of its own"),
        );
    }
    let between = &tree.text[range.start..value.range().start];
    let end = range.start + between.rfind(':').map_or(0, |colon| between[..colon].trim_end().len());
    let mut splices = vec![(range.start..end, text_of(name))];
    let renames = Renames {
        tree,
        section,
        old,
        name,
    };
    renames.within(&mut Vec::new(), tree.value(&[]), &mut splices);
    Ok(splices)
}

struct Renames<'t, 'a> {
    tree: &'t Tree<'a>,
    section: &'t str,
    old: &'t str,
    name: &'t str,
}

impl<'a> Renames<'_, 'a> {
    fn within(&self, way: &mut Way, value: Option<&Value<'a>>, splices: &mut Vec<Splice>) {
        for (key, _, child) in value.into_iter().flat_map(|value| children(value)) {
            if key == Key::from("note") && !matches!(way.as_slice(), [Key::Name(_)]) {
                continue;
            }
            way.push(key);
            if let Some(new) = self.new_name(way) {
                let range = child.range();
                splices.push((range.start..range.end, text_of(&new)));
            }
            self.within(way, Some(child), splices);
            way.pop();
        }
    }

    /// What is named at a place, where it is the one that gets another name: `riser 3` is a copy of `riser`.
    fn new_name(&self, way: &[Key]) -> Option<String> {
        // A name in a list is meant as the list's key says.
        let names = match way {
            [of_list @ .., Key::Index(_)] => of_list,
            way => way,
        };
        let (Key::Name(key), holder) = names.split_last()? else {
            return None;
        };
        // Directly under a section stand names of things, not of what they name.
        if holder.len() < 2 || !named_by(self.section).contains(&key.as_str()) {
            return None;
        }
        let typed = self.tree.typed(way)?;
        if typed == self.old {
            return Some(self.name.to_owned());
        }
        // What is to be kept off a body is named with it: `seam of drum`.
        let of_body = typed.strip_suffix(self.old).filter(|what| what.ends_with(" of "));
        if let Some(what) = of_body.filter(|_| self.section == "bodies" && key == "body") {
            return Some(format!("{what}{}", self.name));
        }
        let copy = typed.strip_prefix(self.old)?.strip_prefix(' ')?;
        // Its heads are named with a cylinder: `drum to head`.
        if self.section == "bodies"
            && HEADS.contains(&copy)
            && !self.tree.has(&["bodies".into(), typed.as_str().into()])
        {
            return Some(format!("{} {copy}", self.name));
        }
        let is_copy = self.section == "tubes"
            && copy.parse::<usize>().is_ok()
            && !["tubes", "bodies"]
                .iter()
                .any(|section| self.tree.has(&[(*section).into(), typed.as_str().into()]));
        is_copy.then(|| format!("{} {copy}", self.name))
    }
}
