//! Problems in words: one cause has one message, and there are never pages of them.

use std::collections::{HashMap, HashSet};
use std::fmt;

use super::{Cause, Place, Problem, Problems};

impl fmt::Display for Problem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        Alike::of(self).fmt(out)
    }
}

/// So many messages are told in full.
const TOLD: usize = 20;

/// Help that is longer is a list of forms, in bytes: it is told once.
const LONG_HELP: usize = 150;

/// So many of one message's places.
const PLACES: usize = 5;

/// So many kinds of the other messages.
const KINDS: usize = 10;

/// A message, and all the places at which it was found.
struct Alike<'a> {
    problem: &'a Problem,
    places: Vec<&'a Place>,
}

impl<'a> Alike<'a> {
    fn of(problem: &'a Problem) -> Self {
        Self {
            problem,
            places: problem.place.as_deref().into_iter().collect(),
        }
    }

    /// In the order in which they were first found.
    fn all(problems: &'a [Problem]) -> Vec<Self> {
        let (mut all, mut known): (Vec<Self>, HashMap<_, usize>) = (Vec::new(), HashMap::new());
        for problem in problems {
            let said = (&problem.what, &problem.figures, &problem.help, problem.place.is_some());
            if let Some(index) = known.get(&said) {
                all[*index].places.extend(problem.place.as_deref());
            } else {
                known.insert(said, all.len());
                all.push(Self::of(problem));
            }
        }
        all
    }
}

impl fmt::Display for Alike<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.told(out, self.problem.help.as_deref())
    }
}

impl Alike<'_> {
    /// The message with this help.
    fn told(&self, out: &mut fmt::Formatter<'_>, help: Option<&str>) -> fmt::Result {
        let Problem {
            what,
            figures,
            against,
            by,
            ..
        } = self.problem;
        let kind = match self.problem.cause {
            Cause::Doubt => "question",
            Cause::Input | Cause::Output => "error",
        };
        write!(out, "{kind}: {what}")?;
        // In place of the last one there may be the number of those that are left.
        let shown = if self.places.len() > PLACES { PLACES - 1 } else { PLACES };
        for place in self.places.iter().take(shown) {
            write!(out, "\n  --> {place}")?;
        }
        if self.places.len() > shown {
            write!(out, "\n  --> and at {} more places", self.places.len() - shown)?;
        }
        if let Some(place) = against {
            write!(out, "\n  --> against {place}")?;
        }
        if let Some(figures) = figures {
            write!(out, "\n   |  {figures}")?;
        }
        if let Some(help) = help {
            write!(out, "\n   |  help: {help}")?;
        }
        if let Some(flags) = by {
            write!(out, " ({flags})")?;
        }
        Ok(())
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all = Alike::all(&self.found);
        let (told, more) = all.split_at(all.len().min(TOLD));
        let mut helped = HashSet::new();
        for (index, alike) in told.iter().enumerate() {
            if index > 0 {
                out.write_str("\n\n")?;
            }
            let help = alike.problem.help.as_deref();
            let is_told = help.is_some_and(|help| help.len() > LONG_HELP && !helped.insert(help));
            alike.told(
                out,
                if is_told {
                    Some("as above: one of the same forms")
                } else {
                    help
                },
            )?;
        }
        if more.is_empty() {
            return Ok(());
        }
        write!(out, "\n\nerror: there are {} more problems", counted(more))?;
        let kinds = kinds(more);
        for (kind, count) in kinds.iter().take(KINDS) {
            write!(out, "\n   |  {count} of this kind: {kind}")?;
        }
        if kinds.len() > KINDS {
            let others: usize = kinds[KINDS..].iter().map(|(_, count)| count).sum();
            write!(out, "\n   |  {others} of other kinds")?;
        }
        out.write_str("\n   |  help: mend those above first, and run it again")
    }
}

/// Each place counts.
fn counted(alike: &[Alike<'_>]) -> usize {
    alike.iter().map(|alike| alike.places.len().max(1)).sum()
}

/// What kinds of problems there are, and how many of each, the most frequent first.
fn kinds(problems: &[Alike<'_>]) -> Vec<(String, usize)> {
    let (mut kinds, mut known): (Vec<(String, usize)>, HashMap<String, usize>) = (Vec::new(), HashMap::new());
    for alike in problems {
        let kind = kind(&alike.problem.what);
        let index = *known.entry(kind).or_insert_with_key(|kind| {
            kinds.push((kind.clone(), 0));
            kinds.len() - 1
        });
        kinds[index].1 += alike.places.len().max(1);
    }
    kinds.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    kinds
}

/// A statement without what is quoted in it.
fn kind(what: &str) -> String {
    let mut kind = String::new();
    for (index, part) in what.split('"').enumerate() {
        match index % 2 {
            0 => kind.push_str(part),
            _ => kind.push_str("\"...\""),
        }
    }
    kind
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_twenty_are_told_and_the_others_counted_by_kind() {
        let mut problems = Problems::none();
        for number in 0..300 {
            let what = format!("\"key {number}\" is not known here");
            problems.add(
                Problem::new(what)
                    .at(Place::File(format!("place {number}")))
                    .help("mend it"),
            );
        }
        problems.add(Problem::new("the tube is too short"));
        let said = problems.to_string();
        assert!(
            said.contains("\"key 19\" is") && !said.contains("\"key 20\" is"),
            "{said}"
        );
        assert!(said.contains("error: there are 281 more problems"), "{said}");
        assert!(said.contains("280 of this kind: \"...\" is not known here"), "{said}");
        assert!(said.contains("1 of this kind: the tube is too short"), "{said}");
    }

    #[test]
    fn a_list_of_forms_is_told_once() {
        let forms = "sizes look like this; ".repeat(10);
        let mut problems = Problems::none();
        for (what, help) in [
            ("one", &*forms),
            ("two", "mend it"),
            ("three", &*forms),
            ("four", "mend it"),
        ] {
            problems.add(Problem::new(what).help(help));
        }
        let said = problems.to_string();
        assert_eq!(said.matches(forms.as_str()).count(), 1, "{said}");
        assert!(
            said.contains("three\n   |  help: as above: one of the same forms"),
            "{said}"
        );
        assert_eq!(said.matches("help: mend it").count(), 2, "{said}");
    }

    #[test]
    fn one_cause_has_one_message_with_its_first_places() {
        let mut problems = Problems::none();
        for tube in 1..=3 {
            problems.add(
                Problem::new("it is wrong")
                    .at(Place::File(format!("tube {tube}")))
                    .help("mend it"),
            );
            problems.add(
                Problem::new("it is wrong")
                    .at(Place::File("tube 1".to_owned()))
                    .help("mend it"),
            );
        }
        let three = "error: it is wrong\n  --> tube 1\n  --> tube 2\n  --> tube 3\n   |  help: mend it";
        assert_eq!(problems.to_string(), three);
        for tube in 4..=50 {
            problems.add(
                Problem::new("it is wrong")
                    .at(Place::File(format!("tube {tube}")))
                    .help("mend it"),
            );
        }
        let said = problems.to_string();
        assert!(said.contains("  --> tube 4\n  --> and at 46 more places\n"), "{said}");
    }
}
