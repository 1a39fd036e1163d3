//! A job file's words to an assembly in space.

mod bodies;
mod corners;
mod ends;
mod points;
mod section;
mod shape;
mod stacks;
mod tubes;

use std::collections::BTreeMap;

use glam::DVec3;

use crate::body::Mark;
use crate::job::raw::{self, Named, Word};
use crate::job::read::nearest;
use crate::job::{Assembly, Stack, StockTube, Tube, TubeInSpace};
use crate::measure::parse_angle;
use crate::problem::Problem;

use super::Reader;

/// The most of each that one job may have; a job past it is refused before any work starts.
const MOST_TUBES: usize = 20_000;
const MOST_POINTS: usize = 64;
const MOST_BODIES: usize = 500;

/// What a stick is where nothing is said: 6 m.
const USUAL_STICK_MM: f64 = 6_000.0;
/// What a chop saw's disc takes where nothing is said (common practice).
const USUAL_KERF_MM: f64 = 3.0;

pub(super) fn resolve(reader: &mut Reader, job: &raw::JobFile) -> Option<Assembly> {
    require_counts(reader, job)?;
    let stock: Vec<Option<StockTube>> = job.stock.iter().map(|stock| self::stock(reader, stock)).collect();
    let mut assembly = Assembly {
        title: job
            .title
            .as_ref()
            .map_or_else(|| "Job".to_owned(), |title| title.text.clone()),
        stock: stock.iter().flatten().cloned().collect(),
        bodies: Vec::new(),
        tubes: Vec::new(),
        keep_clear: Vec::new(),
        stacks: Vec::new(),
        words: BTreeMap::new(),
    };
    let stock_is_whole = stock.iter().all(Option::is_some);
    let stacks: Vec<Option<Stack>> = job.stacks.iter().map(|stack| stacks::resolve(reader, stack)).collect();
    let unstacked = job.stacks.iter().zip(&stacks).filter(|(_, stack)| stack.is_none());
    reader.broken.extend(unstacked.map(|(raw, _)| raw.name.text.clone()));
    let mut bodies_are_whole = stacks.iter().all(Option::is_some);
    assembly.stacks = stacks.into_iter().flatten().collect();
    for body in &job.bodies {
        match bodies::resolve(reader, body, &assembly.stacks) {
            Some(body) => assembly.bodies.push(body),
            None => {
                bodies_are_whole = false;
                reader.broken.push(body.name.text.clone());
            }
        }
    }
    if bodies_are_whole {
        stacks::warn_of_unmarked(reader, &assembly.stacks, &assembly.bodies);
    }
    for tube in &job.tubes {
        // Names are looked up even where other parts are broken, but geometry needs all of them.
        let before = assembly.tubes.len();
        tubes::resolve(reader, tube, &mut assembly, stock_is_whole && bodies_are_whole);
        if assembly.tubes.len() == before {
            reader.broken.push(tube.name.text.clone());
        }
    }
    let words = job
        .tubes
        .iter()
        .map(|tube| (tube.name.text.clone(), tube.name.place.clone()));
    assembly.words = words.collect();
    ends::link_miters(reader, &job.tubes, &mut assembly);
    for keep in &job.keep_clear {
        let tube = keep.tube.as_ref().and_then(|word| {
            let names: Vec<&str> = job.tubes.iter().map(|tube| tube.name.text.as_str()).collect();
            find(reader, word, "tube", &names).map(|index| names[index].to_owned())
        });
        let body = keep.body.as_ref().and_then(|word| find_body(reader, word, &assembly));
        let by = keep.by.as_ref().and_then(|word| reader.length(word));
        if let (Some(tube), Some(body), Some(by)) = (tube, body, by) {
            assembly.keep_clear.push((tube, body, by));
        }
    }
    if job.tubes.is_empty() {
        reader.problems.add(
            Problem::new("this job has no tubes")
                .help("describe them under \"tubes\"; `girthline new` gives a job to start from"),
        );
    }
    Some(assembly)
}

fn require_counts(reader: &mut Reader, job: &raw::JobFile) -> Option<()> {
    let points = job.tubes.iter().map(|tube| tube.thing.path.len()).max().unwrap_or(0);
    let counts = [
        ("tubes", job.tubes.len(), MOST_TUBES),
        ("bodies", job.bodies.len(), MOST_BODIES),
        ("points of a path", points, MOST_POINTS),
    ];
    let mut is_within = true;
    for (what, count, most) in counts.into_iter().filter(|(_, count, most)| count > most) {
        reader.problems.add(
            Problem::new(format!("this job has too many {what}"))
                .figures(format!("{count}, at most {most}"))
                .help("split it into several jobs"),
        );
        is_within = false;
    }
    is_within.then_some(())
}

fn stock(reader: &mut Reader, stock: &Named<raw::Stock>) -> Option<StockTube> {
    let size = stock.thing.size.as_ref().and_then(|word| {
        let size = reader.tube(word)?;
        if size.wall_mm.is_none() {
            reader.refuse(
                word,
                Problem::new("the tube's wall is not given, and the fit depends on it")
                    .help(format!("add it, e.g. \"{} x 2mm\"", word.text)),
            );
            return None;
        }
        Some(size)
    });
    let stick_mm = length_or(reader, stock.thing.stick.as_ref(), USUAL_STICK_MM);
    let kerf_mm = length_or(reader, stock.thing.kerf.as_ref(), USUAL_KERF_MM);
    for (word, value, low, high) in [
        (&stock.thing.stick, stick_mm, 50.0, 50_000.0),
        (&stock.thing.kerf, kerf_mm, 0.0, 20.0),
    ] {
        if let (Some(word), Some(value)) = (word, value.filter(|value| !(low..=high).contains(value))) {
            reader.refuse(
                word,
                Problem::new("this length can't be right")
                    .figures(format!("{value:.1} mm"))
                    .help(format!("give {low} to {high} mm")),
            );
        }
    }
    Some(StockTube {
        name: stock.name.text.clone(),
        tube: Tube::from(size?),
        stick_mm: stick_mm?,
        kerf_mm: kerf_mm?,
    })
}

fn length_or(reader: &mut Reader, word: Option<&Word>, usual: f64) -> Option<f64> {
    word.map_or(Some(usual), |word| reader.length(word))
}

/// The index of a name; the nearest one is offered for an unknown one. One with problems of its own is not there either,
/// and nothing more is said of it.
fn find(reader: &mut Reader, word: &Word, what: &str, names: &[&str]) -> Option<usize> {
    let found = names.iter().position(|name| *name == word.text);
    if found.is_none() && !reader.broken.contains(&word.text) {
        let help = match nearest(&word.text, names.iter().copied()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None if names.is_empty() => format!("there is no {what} in this job before this place"),
            None => format!("there are {}", names.join(", ")),
        };
        reader.refuse(
            word,
            Problem::new(format!("there is no {what} of the name \"{}\"", word.text)).help(help),
        );
    }
    found
}

fn find_body(reader: &mut Reader, word: &Word, assembly: &Assembly) -> Option<usize> {
    let names: Vec<&str> = assembly.bodies.iter().map(|body| body.name.as_str()).collect();
    let is_tube = |tube: &&TubeInSpace| tube.shared_name == word.text;
    // Of thousands of tubes none is looked at where a body has the name.
    if !names.contains(&word.text.as_str())
        && let Some(tube) = assembly.tubes.iter().find(is_tube)
    {
        let stock = &assembly.stock[tube.stock].tube;
        let problem = if stock.has_sides() {
            Problem::new("tubes land on round bodies and plates, not on a tube with sides")
                .figures(format!(
                    "\"{}\" is {}",
                    word.text,
                    stock.describe(reader.result_units())
                ))
                .help("for a landing on one flat side give that side as a body of the shape \"plane\"")
        } else {
            Problem::new(format!("nothing can land on the tube \"{}\"", word.text))
                .figures("it has a corner or a coupling, or is a drain that has yet to find its place")
                .help("land on a straight tube that stands earlier in the file, or on a body")
        };
        reader.refuse(word, problem);
        return None;
    }
    find(reader, word, "body", &names)
}

/// A place round a girth: degrees where it says so, else a length.
fn mark(reader: &mut Reader, word: &Word) -> Option<Mark> {
    let lower = word.text.to_lowercase();
    if lower.contains("deg") || lower.contains('°') {
        return reader
            .take(word, parse_angle(&word.text))
            .map(|degrees| Mark::Angle(degrees.to_radians()));
    }
    reader.length(word).map(Mark::Arc)
}

/// Three lengths.
fn lengths(reader: &mut Reader, words: &[Word; 3]) -> Option<DVec3> {
    let [x, y, z] = words.each_ref().map(|word| reader.length(word));
    Some(DVec3::new(x?, y?, z?))
}

/// Three plain numbers as a direction.
fn direction(reader: &mut Reader, words: &[Word; 3]) -> Option<DVec3> {
    let numbers = words.each_ref().map(|word| {
        let number = word
            .text
            .trim()
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite() && number.abs() < 1e6);
        reader.take(
            word,
            number.ok_or_else(|| {
                Problem::new(format!("\"{}\" is not a number", word.text))
                    .help("a direction is three plain numbers, such as 0, 0, 1")
            }),
        )
    });
    let [x, y, z] = numbers;
    let direction = DVec3::new(x?, y?, z?).try_normalize();
    reader.take(
        &words[0],
        direction.ok_or_else(|| Problem::new("a direction can't be 0, 0, 0")),
    )
}
