//! What else is wrong with a job of which not all can be read.

use super::{Reader, assembly, with_welds};
use crate::job::raw;
use crate::job::read::ReadSoFar;
use crate::problem::Problems;

/// What is wrong with a job besides what was found when its words were read. Things in which something can't be read are left
/// out, and nothing is said of what names them; nor of what a thing lacks that has an unknown key. Nothing at all where what
/// can't be read stands in no thing that could be left out.
pub fn what_else_is_wrong(read: &ReadSoFar<raw::JobFile>, sheet: &raw::Sheet) -> Problems {
    let Some(rest) = read.value.as_ref().and_then(|job| job.without(&read.spoiling)) else {
        return Problems::none();
    };
    let mut reader = Reader::of_file(&rest, sheet);
    reader.spoilt = raw::ways(&read.spoiling);
    let assembly = assembly::resolve(&mut reader, &rest);
    let found = reader.finish(assembly, &with_welds(&rest, sheet));
    let found = found.map_or_else(|problems| problems, |whole| Problems::none().behind(&whole.doubts));
    let mut told = Problems::none();
    for problem in found.iter() {
        let may_lack = raw::way(problem).is_some_and(|way| read.lacking.contains(way));
        if !may_lack {
            told.add(problem.clone());
        }
    }
    told
}

impl Reader {
    /// Whether a thing of this name was left out.
    pub(super) fn is_spoilt(&self, what: &str, name: &str) -> bool {
        let sections: &[&str] = match what {
            "stock" => &["stock"],
            "stack" => &["stacks"],
            "tube" | "tube of the file" => &["tubes"],
            "part" => &[],
            // A tube is a body, too.
            _ => &["bodies", "tubes"],
        };
        let mut sections = sections.iter();
        sections.any(|section| self.spoilt.iter().any(|way| raw::leads_into(way, section, name)))
    }
}
