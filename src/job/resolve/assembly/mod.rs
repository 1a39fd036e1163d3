//! A job file's words to an assembly in space.

mod also;
mod bodies;
mod corners;
mod ends;
mod found;
mod keep_off;
mod leads_out;
mod made;
mod miters;
mod nests;
mod points;
mod seams;
mod section;
mod shape;
mod slope;
mod stacks;
mod tubes;

use glam::DVec3;

use crate::body::Mark;
use crate::job::limits::{MOST_BODIES, MOST_POINTS, MOST_TUBES};
use crate::job::raw::{self, Named, Word};
use crate::job::{Assembly, BodyInSpace, Ending, KeepOff, Seam, Stack, StockTube, Tube};
use crate::measure::{SAME_MM, parse_angle};
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted};

use super::{Reader, give, given};

/// What a stick is where nothing is said: 6 m.
const USUAL_STICK_MM: f64 = 6_000.0;
/// What a chop saw's disc takes where nothing is said (common practice).
const USUAL_KERF_MM: f64 = 3.0;

pub(super) fn resolve(reader: &mut Reader, job: &raw::JobFile) -> Option<Assembly> {
    require_counts(reader, job)?;
    let stock: Vec<Option<StockTube>> = job.stock.iter().map(|stock| self::stock(reader, stock)).collect();
    let stock_is_whole = stock.iter().all(Option::is_some);
    let refused = job.stock.iter().zip(&stock).filter(|(_, stock)| stock.is_none());
    let refused = refused.map(|(raw, _)| ("stock", raw.name.text.clone()));
    reader.broken.extend(refused);
    let stacks = stacks(reader, job);
    let stacks_are_whole = stacks.len() == job.stacks.len();
    let words = job.tubes.iter();
    let words = words.map(|tube| (tube.name.text.clone(), tube.name.place.clone()));
    let mut assembly = Assembly {
        title: job
            .title
            .as_ref()
            .map_or_else(|| "Job".to_owned(), |title| title.text.clone()),
        note: job.note.clone(),
        stock: stock.into_iter().flatten().collect(),
        bodies: Vec::new(),
        tubes: Vec::new(),
        root_gap_mm: reader.root_gap(job.root_gap.as_ref()).flatten().unwrap_or(0.0),
        keep_clear: Vec::new(),
        stacks,
        words: words.collect(),
    };
    for stock in &assembly.stock {
        reader.name("stock", &stock.name);
    }
    let bodies_are_whole = bodies(reader, job, &mut assembly) && stacks_are_whole;
    if bodies_are_whole {
        stacks::warn_of_unmarked(reader, &assembly.stacks, &assembly.bodies);
        nests::tell_turns(&job.bodies, &assembly.stacks, &mut assembly.bodies);
        nests::warn_of_tight(reader, &job.bodies, &assembly.stacks, &assembly.bodies);
    }
    for tube in &job.tubes {
        reader.name("tube of the file", &tube.name.text);
    }
    for tube in &job.tubes {
        // Names are looked up even where other parts are broken, but geometry needs all of them.
        let count = assembly.tubes.len();
        tubes::resolve(reader, tube, &mut assembly, stock_is_whole && bodies_are_whole);
        if assembly.tubes.len() == count {
            reader.broken.insert(("body", tube.name.text.clone()));
        }
    }
    for tube in &job.tubes {
        reader.name("tube", &tube.name.text);
    }
    miters::link_miters(reader, &job.tubes, &mut assembly);
    keep_clear(reader, job, &mut assembly);
    Some(assembly)
}

/// The stacks that could be solved.
fn stacks(reader: &mut Reader, job: &raw::JobFile) -> Vec<Stack> {
    let mut whole = Vec::new();
    for stack in &job.stacks {
        match stacks::resolve(reader, stack) {
            Some(resolved) => whole.push(resolved),
            None => {
                reader.broken.insert(("stack", stack.name.text.clone()));
            }
        }
    }
    for stack in &whole {
        reader.name("stack", &stack.name);
    }
    whole
}

/// Adds the bodies; whether all of them could be.
fn bodies(reader: &mut Reader, job: &raw::JobFile, assembly: &mut Assembly) -> bool {
    let mut are_whole = true;
    for body in &job.bodies {
        reader.name("body of the file", &body.name.text);
    }
    for body in &job.bodies {
        match bodies::resolve(reader, body, &assembly.stacks) {
            Some(resolved) => {
                // Where one of its strips was refused it is known where it is: what else names it need not be refused.
                let kept = keep_off::resolve(reader, &body.thing.keep_off, &resolved);
                if kept.is_none() {
                    keep_off::break_all(reader, body);
                }
                let found = found::resolve(reader, &body.thing.holes, &resolved).unwrap_or_default();
                let index = assembly.bodies.len();
                push_body(
                    reader,
                    assembly,
                    BodyInSpace { found, ..resolved },
                    kept.unwrap_or_default(),
                );
                are_whole &= push_heads(reader, assembly, body, index);
            }
            None => {
                are_whole = false;
                reader.broken.insert(("body", body.name.text.clone()));
                keep_off::break_all(reader, body);
            }
        }
    }
    are_whole
}

/// Adds the distances that are to be kept.
fn keep_clear(reader: &mut Reader, job: &raw::JobFile, assembly: &mut Assembly) {
    for keep in &job.keep_clear {
        let tube = keep
            .tube
            .as_ref()
            .and_then(|word| reader.find(word, "tube").map(|_| word.text.clone()));
        let body = keep
            .body
            .as_ref()
            .and_then(|word| keep_off::find_kept(reader, word, assembly));
        let by = keep.by.as_ref().and_then(|word| reader.length(word));
        if let (Some(tube), Some(body), Some(word)) = (&tube, body, &keep.body)
            && keeps_nothing(assembly, tube, body)
        {
            let problem = Problem::new(format!(
                "{} can't keep clear of {}: it lands there",
                quoted(tube),
                quoted(&assembly.bodies[body].name)
            ));
            reader.refuse(
                word,
                problem.help("leave this out, or keep it clear of something that it passes by"),
            );
            continue;
        }
        if let (Some(tube), Some(body), Some(by)) = (tube, body, by) {
            assembly.keep_clear.push((tube, body, by));
        }
    }
}

/// Whether each leg of a tube lands on a body, so that none passes by.
fn keeps_nothing(assembly: &Assembly, tube: &str, body: usize) -> bool {
    let Some(tube) = assembly.tubes.iter().find(|known| known.shared_name == tube) else {
        return false;
    };
    let lands = |ending: &Ending| matches!(ending, Ending::Lands { body: on, .. } if *on == body);
    let landings = [&tube.start, &tube.end].map(lands);
    match tube.nodes.len() - 1 - tube.gaps.len() {
        1 => landings.contains(&true),
        2 => landings == [true; 2],
        _ => false,
    }
}

/// A job is made of tubes, or of a stack alone.
pub(super) fn require_tubes(reader: &mut Reader, job: &raw::JobFile) {
    if job.tubes.is_empty() && job.stacks.is_empty() {
        let problem = Problem::new("this job has no tubes")
            .help("describe them under \"tubes\"; `girthline new` gives a job to start from");
        reader.refuse_whole(job, problem);
    }
}

/// With what is to be kept off on it behind it, as things of their own.
fn push_body(reader: &mut Reader, assembly: &mut Assembly, body: BodyInSpace, keep_off: Vec<KeepOff>) {
    let index = assembly.bodies.len();
    let things: Vec<BodyInSpace> = keep_off
        .iter()
        .filter_map(|keep| keep_off::as_body(&body, index, keep))
        .collect();
    for body in std::iter::once(BodyInSpace { keep_off, ..body }).chain(things) {
        reader.name("body", &body.name);
        assembly.bodies.push(body);
    }
}

/// The heads that close a body, behind it; whether all of them could be.
fn push_heads(reader: &mut Reader, assembly: &mut Assembly, raw: &Named<raw::Body>, index: usize) -> bool {
    let Some(heads) = bodies::heads(reader, raw, &assembly.bodies[index], index) else {
        return false;
    };
    for (head, along_mm) in heads {
        let other = assembly.bodies.len();
        assembly.bodies[index].seams.push(Seam {
            other,
            name: head.name.clone(),
            along_mm,
        });
        reader.name("body", &head.name);
        assembly.bodies.push(head);
    }
    true
}

/// A job with too much in it is refused before any work starts.
fn require_counts(reader: &mut Reader, job: &raw::JobFile) -> Option<()> {
    let split = "split it into several jobs";
    let tubes = (
        ["tubes", split],
        job.tubes.len(),
        MOST_TUBES,
        job.tubes.get(MOST_TUBES).map(|tube| &tube.name),
    );
    let bodies = (
        ["bodies", split],
        job.bodies.len(),
        MOST_BODIES,
        job.bodies.get(MOST_BODIES).map(|body| &body.name),
    );
    let points = job.tubes.iter().map(|tube| &tube.thing.path);
    let points = points.map(|path| {
        (
            [
                "points of a path",
                "leave some out, or part the path into several tubes",
            ],
            path.len(),
            MOST_POINTS,
            path.get(MOST_POINTS).map(|point| &point.here),
        )
    });
    let mut is_within = true;
    for ([what, help], count, most, first_too_many) in [tubes, bodies].into_iter().chain(points) {
        let Some(place) = first_too_many else { continue };
        let problem = Problem::new(format!("this job has too many {what}"))
            .figures(format!("{count}, at most {most}"))
            .help(help);
        reader.refuse(place, problem);
        is_within = false;
    }
    is_within.then_some(())
}

fn stock(reader: &mut Reader, stock: &Named<raw::Stock>) -> Option<StockTube> {
    let size = stock.thing.size.as_ref().and_then(|word| {
        let size = reader.tube(word)?;
        if size.wall_mm.is_none() {
            return reader.refused(
                word,
                Problem::new("the tube's wall is not given, and the fit depends on it").help(
                    reader.result_units().either(
                        "add it behind the diameter, as in \"48.3mm x 2mm\"",
                        "add it behind the diameter, as in \"1-7/8in x 16ga\"",
                    ),
                ),
            );
        }
        Some(size)
    });
    let stick_mm = given(&stock.thing.stick, USUAL_STICK_MM, |word| reader.length(word));
    let kerf_mm = given(&stock.thing.kerf, USUAL_KERF_MM, |word| reader.length(word));
    for (word, value, range) in [
        (&stock.thing.stick, stick_mm, [50.0, 50_000.0]),
        (&stock.thing.kerf, kerf_mm, [0.0, 20.0]),
    ] {
        if let Some((word, value)) = word.as_ref().zip(value) {
            reader.within(word, value, range, Problem::new("this length can't be right"), give);
        }
    }
    Some(StockTube {
        name: stock.name.text.clone(),
        tube: Tube::from(size?),
        stick_mm: stick_mm?,
        kerf_mm: kerf_mm?,
        place: stock.thing.stick.as_ref().unwrap_or(&stock.name).place.clone(),
    })
}

/// Why nothing lands on a tube by its name alone: it has several legs, or is a drain that moves.
fn no_one_leg(word: &Word, assembly: &Assembly) -> Problem {
    let tube = assembly.tubes.iter().position(|tube| tube.shared_name == word.text);
    let legs = assembly
        .bodies
        .iter()
        .filter(|body| tube.is_some() && body.of_tube == tube);
    let legs: Vec<String> = legs.map(|body| quoted(&body.name)).collect();
    let problem = Problem::new(format!("nothing can land on the tube \"{}\"", word.text));
    if legs.is_empty() {
        return problem
            .figures("it is a drain that has yet to find its place")
            .help("land on another tube that stands earlier in the file, or on a body");
    }
    problem
        .figures("it has a corner or a coupling")
        .help(format!("land on one of its straight legs: {}", legs.join(", ")))
}

fn find_body(reader: &mut Reader, word: &Word, assembly: &Assembly) -> Option<usize> {
    if reader.number("body", &word.text).is_none()
        && let Some(tube) = reader
            .number("tube so far", &word.text)
            .map(|tube| &assembly.tubes[tube])
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
            no_one_leg(word, assembly)
        };
        return reader.refused(word, problem);
    }
    let found = reader.find(word, "body")?;
    if assembly.bodies[found].of_body.is_none() {
        return Some(found);
    }
    let problem = Problem::new(format!("{} is to be kept off", quoted(&word.text)));
    reader.refused(word, problem.help("name the body on which it is"))
}

/// A place round a girth: degrees where it says so, else a length.
pub(super) fn mark(reader: &mut Reader, word: &Word) -> Option<Mark> {
    let lower = word.text.to_lowercase();
    if lower.contains("deg") || lower.contains('°') {
        return reader
            .take(word, parse_angle(&word.text))
            .map(|degrees| Mark::Angle(degrees.to_radians()));
    }
    reader.length(word).map(Mark::Arc)
}

/// Where a place round a body is from its zero line: an angle in radians, on a plate across it in millimetres. `word` is what
/// said it; a length is measured round the skin at `along_mm`, and is not finite where there is no girth.
pub(super) fn round_of(reader: &mut Reader, word: &Word, at: Mark, body: &BodyInSpace, along_mm: f64) -> Option<f64> {
    match at {
        Mark::Angle(_) if body.outside.is_flat() => {
            let problem = Problem::new("a plate has no girth to turn round");
            reader.refused(word, problem.help("give \"round\" as a length: across the plate"))
        }
        Mark::Angle(angle) => Some(angle),
        Mark::Arc(0.0) => Some(0.0),
        Mark::Arc(arc) => {
            let girth = body.surface.girth(along_mm).filter(|girth| *girth > SAME_MM);
            if let Some(girth) = girth.filter(|girth| arc.abs() > girth + SAME_MM) {
                let figures = Phrase::default().length(arc).words(", once round it is ");
                let problem = Problem::new("this is farther than once round the body")
                    .figures(figures.length(girth).words(" there"))
                    // Degrees without their word, most likely.
                    .help("give less; degrees are written with their word: \"30deg\"");
                return reader.refused(word, problem);
            }
            Some(body.surface.angle_of(along_mm, arc))
        }
    }
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
                Problem::new(format!("{} is not a number", quoted(&word.text)))
                    .help("a direction is three plain numbers, such as 0, 0, 1")
            }),
        )
    });
    let [x, y, z] = numbers;
    let direction = DVec3::new(x?, y?, z?).try_normalize();
    reader.take(
        &words[0],
        direction.ok_or_else(|| {
            Problem::new("a direction can't be 0, 0, 0")
                .help("give three numbers of which one is not 0, such as 0, 0, 1")
        }),
    )
}
