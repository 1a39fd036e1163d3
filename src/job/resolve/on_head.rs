//! A branch on a dished head: a job of one head and one tube, by the words of flags.

use glam::DVec3;

use crate::job::Assembly;
use crate::job::raw::{self, Dish, MeasuredDish, Named, OnHead, Spot, Word};
use crate::measure::show_angle;
use crate::phrase::Phrase;
use crate::problem::{Problem, Problems};

use super::{Reader, Resolved, assembly, given};

/// What a header that is a head begins with.
const HEAD: &str = "head ";

/// What the head and the branch are called.
const CALLED: [&str; 2] = ["head", "branch"];

/// Words with which the dish begins, behind the size, and what may follow it; those with a figure of their own last.
const NAMED: [&str; 4] = ["din ", "asme ", "ellipsoidal ", "hemisphere"];
const MEASURED: [&str; 5] = ["crown ", "knuckle ", "ratio ", "depth ", "flange "];

/// A branch that leans more than this towards the skin can't be cut, in degrees from the skin.
const SHALLOWEST_DEG: f64 = 10.0;

/// A branch is no longer than this, in millimetres.
const LONGEST_MM: f64 = 50_000.0;

/// Whether a header's words tell a dished head.
pub fn is_head(header: &Word) -> bool {
    let text = header.text.trim_start().to_lowercase();
    text.starts_with(HEAD)
}

/// A branch on a head, as the job that it is.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn on_head(raw: &OnHead, sheet: &raw::Sheet) -> Result<Resolved<Assembly>, Problems> {
    let mut reader = Reader::new(sheet);
    let assembly = resolve(&mut reader, raw);
    reader.finish(assembly, sheet)
}

fn resolve(reader: &mut Reader, raw: &OnHead) -> Option<Assembly> {
    refuse_of_round(reader, raw)?;
    let mut job = raw::JobFile {
        title: Some(Word {
            text: "Branch on a dished head".to_owned(),
            ..raw.joint.branch.clone()
        }),
        root_gap: raw.joint.root_gap.clone(),
        stock: vec![named(CALLED[1], &raw.joint.branch, stock(&raw.joint.branch))],
        bodies: vec![named(CALLED[0], &raw.joint.header, head(reader, &raw.joint.header)?)],
        ..raw::JobFile::default()
    };
    // Which way the branch goes is told from the head's skin, so that the head is made first, for itself.
    let mut skin = Reader::new(&raw::Sheet::default());
    skin.flag_units = reader.flag_units;
    let bodies = raw::JobFile {
        bodies: job.bodies.clone(),
        ..raw::JobFile::default()
    };
    if let Some(step) = assembly::resolve(&mut skin, &bodies).and_then(|alone| step(reader, raw, &alone)) {
        job.tubes = vec![named(CALLED[1], &raw.joint.branch, tube(raw, step))];
    }
    let assembly = assembly::resolve(reader, &job)?;
    (!assembly.tubes.is_empty()).then_some(assembly)
}

/// What is said of headers that are round.
fn refuse_of_round(reader: &mut Reader, raw: &OnHead) -> Option<()> {
    let Some(offset) = &raw.joint.offset else {
        return Some(());
    };
    let problem = Problem::new("an offset is between two centre lines, and a head's is not the branch's to pass")
        .help("leave it out: the places along and round say where on the head the branch lands");
    reader.refused(offset, problem)
}

fn named<T>(name: &str, word: &Word, thing: T) -> Named<T> {
    let text = name.to_owned();
    Named {
        name: Word { text, ..word.clone() },
        thing,
    }
}

fn stock(branch: &Word) -> raw::Stock {
    raw::Stock {
        size: Some(branch.clone()),
        stick: None,
        kerf: None,
    }
}

/// `head 600mm x 6mm DIN 28011 flange 20mm`: the size, the dish, and a flange where there is one.
fn head(reader: &mut Reader, header: &Word) -> Option<raw::Body> {
    let text = header.text.trim_start();
    let text = text.get(HEAD.len()..).unwrap_or_default();
    let part = |text: &str| Word {
        text: text.trim().to_owned(),
        ..header.clone()
    };
    // Where each of the words begins that are known, and its length.
    let lower = text.to_ascii_lowercase();
    let known = NAMED.iter().chain(&MEASURED);
    let mut begins: Vec<(usize, &str)> = known.filter_map(|word| Some((lower.find(word)?, *word))).collect();
    begins.sort_unstable();
    let ends = begins.iter().skip(1).map(|(at, _)| *at).chain([text.len()]);
    let parts: Vec<(&str, &str)> = begins
        .iter()
        .zip(ends)
        .map(|((at, word), end)| (*word, &text[*at..end]))
        .collect();
    let of = |key: &str| {
        let found = parts.iter().find(|(word, _)| *word == key);
        found.map(|(word, text)| part(&text[word.len()..]))
    };
    let by_name = parts.iter().find(|(word, _)| NAMED.contains(word));
    let measures = ["crown ", "knuckle ", "ratio ", "depth "].map(of);
    let is_measured = measures.iter().any(Option::is_some);
    let dish = match by_name {
        Some((_, name)) if !is_measured => Dish::Named(part(name)),
        None if is_measured => {
            let [crown, knuckle, ratio, depth] = measures;
            Dish::Measured(Box::new(MeasuredDish {
                here: header.clone(),
                crown,
                knuckle,
                ratio,
                depth,
            }))
        }
        _ => {
            let problem = Problem::new("what dish a head has is told in one way")
                .help("such as \"head 600mm x 6mm DIN 28011\", \"... ellipsoidal 2:1\", \"... hemisphere\", \"... depth 120mm\", \"... depth 120mm knuckle 60mm\", \"... crown 600mm knuckle 60mm\", each with \"flange 20mm\" where it has one");
            return reader.refused(header, problem);
        }
    };
    let size = part(&text[..begins.first().map_or(text.len(), |(at, _)| *at)]);
    Some(of_words(header, size, dish, of("flange ")))
}

/// Upright, its zero line towards +x.
fn of_words(header: &Word, size: Word, dish: Dish, flange: Option<Word>) -> raw::Body {
    let at = |place: [&str; 3]| {
        place.map(|text| Word {
            text: text.to_owned(),
            ..header.clone()
        })
    };
    raw::Body {
        note: None,
        here: header.clone(),
        shape: Some(Word {
            text: "head".to_owned(),
            ..header.clone()
        }),
        dish: Some(dish),
        from_head: None,
        to_head: None,
        flange,
        size: Some(size),
        size_to: None,
        section: None,
        stack: None,
        part: None,
        from: None,
        to: None,
        at: Some(Spot::At(Box::new(at(["0mm", "0mm", "0mm"])))),
        out: Some(at(["0", "0", "1"])),
        zero: Some(at(["1", "0", "0"])),
        wide: None,
        high: None,
        floor: None,
        holes: Vec::new(),
        keep_off: Vec::new(),
    }
}

/// From the skin to the branch's square end: away from the skin, leaning towards the apex by what the angle is less than 90 degrees.
fn step(reader: &mut Reader, raw: &OnHead, alone: &Assembly) -> Option<DVec3> {
    let head = alone.bodies.first()?;
    let along = given(&raw.along, 0.0, |word| reader.length(word));
    let round = given(&raw.round, 0.0, |word| {
        let mark = assembly::mark(reader, word)?;
        assembly::round_of(reader, word, mark, head, along?)
    });
    let angle = given(&raw.joint.angle, 90.0, |word| angle(reader, word));
    let length = length(reader, raw);
    let site = head.surface.site(along?, round?);
    let laid = |way: DVec3| (way - way.dot(site.normal) * site.normal).try_normalize();
    // At the apex there is no way to it: there it leans towards the zero line.
    let towards = laid(DVec3::Z).filter(|_| along != Some(0.0)).or(laid(DVec3::X))?;
    let lean = (90.0 - angle?).to_radians();
    Some(length? * (lean.cos() * site.normal + lean.sin() * towards))
}

fn angle(reader: &mut Reader, word: &Word) -> Option<f64> {
    let angle = reader.angle(word)?;
    if (SHALLOWEST_DEG..=90.0).contains(&angle) {
        return Some(angle);
    }
    let problem = Problem::new(format!("a branch can't stand at {} on a head", show_angle(angle)));
    reader.refused(
        word,
        problem.help(format!(
            "give the angle between branch and skin on the apex's side, from {SHALLOWEST_DEG} to 90 degrees; 90 is straight out"
        )),
    )
}

fn length(reader: &mut Reader, raw: &OnHead) -> Option<f64> {
    let Some(word) = &raw.length else {
        let problem = Problem::new("how long the branch is isn't said")
            .help("give it along its middle, from the head's skin to its square end")
            .by("--length LENGTH");
        return reader.refused(&raw.joint.branch, problem);
    };
    let length = reader.length(word)?;
    let [_, longest] = reader.result_units().round_range([0.0, LONGEST_MM]);
    if length > 0.0 && length <= longest {
        return Some(length);
    }
    let problem = Problem::new("a branch can't have this length").figures(Phrase::default().length(length));
    let most = reader.result_units().show_limit(longest);
    reader.refused(word, problem.help(format!("give more than 0, and {most} at most")))
}

fn tube(raw: &OnHead, step: DVec3) -> raw::Tube {
    let word = |text: String, place: &Word| Word { text, ..place.clone() };
    let branch = &raw.joint.branch;
    let point = raw::Point {
        here: raw.along.clone().unwrap_or(raw.joint.header.clone()),
        on: Some(word(CALLED[0].to_owned(), &raw.joint.header)),
        along: raw.along.clone(),
        round: raw.round.clone(),
        out: None,
        step: None,
        at: None,
        fall: None,
        towards: None,
        drain: None,
    };
    let far = raw::Point {
        here: raw.length.clone().unwrap_or(branch.clone()),
        on: None,
        along: None,
        round: None,
        step: Some(step.to_array().map(|mm| word(format!("{mm:.12}mm"), branch))),
        ..point.clone()
    };
    raw::Tube {
        here: branch.clone(),
        stock: Some(word(CALLED[1].to_owned(), branch)),
        path: vec![point, far],
        start: raw::End {
            join: raw.joint.join.clone(),
            touch: raw.joint.touch.clone(),
            clearance: raw.joint.clearance.clone(),
            ..raw::End::default()
        },
        end: raw::End::default(),
        turned: raw.joint.turned.clone(),
        corner: raw::Corner::default(),
        coupling: None,
        repeat: None,
    }
}
