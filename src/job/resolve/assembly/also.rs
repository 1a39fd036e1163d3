//! What else an end is cut to than the body that it lands on.

use crate::job::limits::MOST_ALSO;
use crate::job::raw::{self, Word};
use crate::job::{Assembly, Join};
use crate::problem::{Problem, quoted};

use super::{Reader, find_body};

/// The bodies that are named, by index; `None` where one was refused. `on` is the one that the end lands on.
pub(super) fn also(
    reader: &mut Reader,
    raw: &raw::End,
    tube: &Word,
    (on, join): (usize, Join),
    assembly: &Assembly,
) -> Option<Vec<usize>> {
    let first = raw.also.get(MOST_ALSO).or(raw.also.first());
    let problem = if raw.also.len() > MOST_ALSO {
        Problem::new("this end is cut to too much at once")
            .figures(format!(
                "{}, at most {MOST_ALSO} besides the body that it is on",
                raw.also.len()
            ))
            .help("name only what its wall comes near to")
    } else if join == Join::SetIn {
        Problem::new("an end that is set in can't be cut to other bodies as well")
            .figures("it passes through its hole and ends flush with the inner skin")
            .help("set it on, or leave \"also\" out")
    } else {
        let found = raw.also.iter().map(|word| one(reader, word, tube, on, assembly));
        let found: Vec<Option<usize>> = found.collect();
        return require_each_once(reader, raw, found.into_iter().collect::<Option<_>>()?);
    };
    match first {
        None => Some(Vec::new()),
        Some(word) => reader.refused(word, problem),
    }
}

fn one(reader: &mut Reader, word: &Word, tube: &Word, on: usize, assembly: &Assembly) -> Option<usize> {
    let is_known = reader.number("body", &word.text).is_some() || reader.number("tube so far", &word.text).is_some();
    let problem = if word.text == tube.text {
        Problem::new("a tube can't be cut to itself").help("name what else its wall meets there")
    } else if !is_known && reader.number("tube of the file", &word.text).is_some() {
        let problem = Problem::new(format!(
            "{} stands later in the file than this tube",
            quoted(&word.text)
        ));
        problem.help("what is cut to another comes after it: move this tube behind that one")
    } else {
        let found = find_body(reader, word, assembly)?;
        if !assembly.is_one_vessel(found, on) {
            return Some(found);
        }
        if found == on {
            Problem::new(format!("the end is on {} already", quoted(&word.text)))
                .help("name only what it is cut to besides the body that its point is on")
        } else {
            let one = [found, on].map(|body| quoted(&assembly.bodies[body].name));
            Problem::new(format!("{} and {} are one vessel", one[0], one[1]))
                .help("leave it out: an end that reaches over their seam is cut to both anyway")
        }
    };
    reader.refused(word, problem)
}

fn require_each_once(reader: &mut Reader, raw: &raw::End, found: Vec<usize>) -> Option<Vec<usize>> {
    let twice = (1..found.len()).find(|at| found[..*at].contains(&found[*at]));
    let Some(twice) = twice else { return Some(found) };
    let word = &raw.also[twice];
    reader.refused(
        word,
        Problem::new(format!("{} is named twice", quoted(&word.text))).help("name it once"),
    )
}
