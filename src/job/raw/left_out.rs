//! A job without what is wrong in it, so that the rest can be looked at.

use super::{JobFile, Named};
use crate::problem::{Cause, Place, Problem, Problems};

impl JobFile {
    /// The job without the things in which these problems stand; `None` where one stands in no thing that could be left out.
    pub fn without(&self, problems: &Problems) -> Option<Self> {
        let mut left = self.clone();
        for problem in problems.iter().filter(|problem| problem.cause != Cause::Doubt) {
            let path = problem.place.as_deref().and_then(path_of)?;
            if !left.leave_out(path) {
                // With another problem it may be gone already.
                self.clone().leave_out(path).then_some(())?;
            }
        }
        Some(left)
    }

    fn leave_out(&mut self, path: &str) -> bool {
        let Some((section, _)) = path.split_once(['.', '[']) else {
            return self.leave_out_word(path);
        };
        match section {
            "stock" => leave_out(&mut self.stock, section, path),
            "stacks" => leave_out(&mut self.stacks, section, path),
            "bodies" => leave_out(&mut self.bodies, section, path),
            "tubes" => leave_out(&mut self.tubes, section, path),
            "sheet" => {
                self.sheet = super::Sheet::default();
                true
            }
            "keep_clear" => {
                self.keep_clear.clear();
                true
            }
            _ => false,
        }
    }
}

/// The ways in the file of all that these problems stand at.
pub(in crate::job) fn ways(problems: &Problems) -> Vec<String> {
    problems.iter().filter_map(way).map(str::to_owned).collect()
}

/// The way in the file to what a problem stands at.
pub(in crate::job) fn way(problem: &Problem) -> Option<&str> {
    path_of(problem.place.as_deref()?)
}

/// Whether a way leads to the thing of this name or into it.
pub(in crate::job) fn leads_into(path: &str, section: &str, name: &str) -> bool {
    let way = path.strip_prefix(section).and_then(|rest| rest.strip_prefix('.'));
    let rest = way.and_then(|rest| rest.strip_prefix(name));
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
}

impl JobFile {
    /// A word of the file itself; whether there was one.
    fn leave_out_word(&mut self, key: &str) -> bool {
        let word = match key {
            "root_gap" => &mut self.root_gap,
            "weld_leg" => &mut self.weld_leg,
            "weld_throat" => &mut self.weld_throat,
            _ => return false,
        };
        word.take().is_some()
    }
}

/// The way in the file, of what was found in the geometry that of the words it comes from.
fn path_of(place: &Place) -> Option<&str> {
    match place {
        Place::Word { path, .. } => Some(path),
        Place::Found { word, .. } => path_of(word.as_deref()?),
        Place::Flag { .. } | Place::File(_) => None,
    }
}

/// Takes out the thing with the longest name that the way can lead to. What couldn't be read at all is not there.
fn leave_out<T>(things: &mut Vec<Named<T>>, section: &str, path: &str) -> bool {
    let leads_to = |name: &str| leads_into(path, section, name).then_some(name.len());
    let found = things.iter().enumerate();
    let found = found.filter_map(|(index, thing)| Some((leads_to(&thing.name.text)?, index)));
    if let Some((_, index)) = found.max() {
        things.remove(index);
    }
    true
}
