//! Words to things. Every problem is collected, not only the first.

mod assembly;
mod facets;
mod flat_cuts;
mod miter;
mod names;
mod on_head;
mod others;
mod readings;
mod root_gap;
mod saddle;
mod sheet;
mod sizes;
mod trial;
mod trial_end;
mod weld;

use std::collections::{BTreeMap, BTreeSet};

use crate::measure::{Fractions, Units, parse_angle};
use crate::phrase::Phrase;
use crate::problem::{Place, Problem, Problems, quoted};
use crate::section::Section;

use names::Names;
pub use on_head::{is_head, on_head};
pub use others::what_else_is_wrong;
pub(crate) use readings::named_reading;
pub use trial::{trial, trial_of_job};

use super::raw::{self, Word};
use super::{Assembly, Facets, Miter, Saddle, SheetOptions, Touch};

/// No tube meets the centre line of a round body, or the face of a plate, at less, in degrees: its tip would be drawn out
/// beyond any use.
const SHALLOWEST_DEG: f64 = 10.0;

/// A joint, the sheets it goes on, and what the person must be told.
#[derive(Debug, Clone)]
pub struct Resolved<J> {
    /// The joint.
    pub joint: J,
    /// The sheets.
    pub sheet: SheetOptions,
    /// Whether a number was meant as it was read: told before all else.
    pub questions: Vec<String>,
    /// What a person must know of how the words were read, or of the joint itself.
    pub warnings: Vec<String>,
    /// The questions, where something turns out to be wrong: asked before it.
    pub doubts: Vec<Problem>,
}

impl<J> Resolved<J> {
    /// What was made of it; or what is wrong, behind what must be asked first.
    pub(crate) fn asking<T, P: Into<Problems>>(&self, made: Result<T, P>) -> Result<T, Problems> {
        made.map_err(|problems| problems.into().behind(&self.doubts))
    }
}

/// A branch on a header.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn saddle(joint: &raw::Saddle, sheet: &raw::Sheet) -> Result<Resolved<Saddle>, Problems> {
    let mut reader = Reader::new(sheet);
    let joint = saddle::resolve(&mut reader, joint);
    reader.finish(joint, sheet)
}

/// A mitered turn.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn miter(joint: &raw::Miter, sheet: &raw::Sheet) -> Result<Resolved<Miter>, Problems> {
    let mut reader = Reader::new(sheet);
    let joint = miter::resolve(&mut reader, joint);
    reader.finish(joint, sheet)
}

/// A branch cut flat on a chop saw.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn facets(joint: &raw::Facets, sheet: &raw::Sheet) -> Result<Resolved<Facets>, Problems> {
    let mut reader = Reader::new(sheet);
    let joint = facets::resolve(&mut reader, joint);
    reader.finish(joint, sheet)
}

/// A whole job. Its bare numbers are in its own units whatever `sheet` names: these are for bare numbers in flags, and for
/// the results.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn job_file(job: &raw::JobFile, sheet: &raw::Sheet) -> Result<Resolved<Assembly>, Problems> {
    let mut reader = Reader::of_file(job, sheet);
    let assembly = assembly::resolve(&mut reader, job);
    assembly::require_tubes(&mut reader, job);
    reader.finish(assembly, &with_welds(job, sheet))
}

/// The same of a job that is still being made: it may have no tubes yet.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn unfinished_job(job: &raw::JobFile, sheet: &raw::Sheet) -> Result<Resolved<Assembly>, Problems> {
    let mut reader = Reader::of_file(job, sheet);
    let assembly = assembly::resolve(&mut reader, job);
    reader.finish(assembly, &with_welds(job, sheet))
}

/// A file says at its top how large its welds are.
fn with_welds(job: &raw::JobFile, sheet: &raw::Sheet) -> raw::Sheet {
    raw::Sheet {
        weld_leg: job.weld_leg.clone(),
        weld_throat: job.weld_throat.clone(),
        ..sheet.clone()
    }
}

/// Sheets without a joint, for the ruler.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn sheet(sheet: &raw::Sheet) -> Result<Resolved<()>, Problems> {
    Reader::new(sheet).finish(Some(()), sheet)
}

/// What `read` makes of what is given; the usual where nothing is.
fn given<W, T>(word: &Option<W>, usual: T, read: impl FnOnce(&W) -> Option<T>) -> Option<T> {
    word.as_ref().map_or(Some(usual), read)
}

/// What is mended by a length in this range.
fn give(range: &str) -> String {
    format!("give {range}")
}

/// Reads words, keeps the problems and the warnings.
struct Reader {
    /// The units of bare numbers in flags, and of results.
    flag_units: Option<Units>,
    /// The units of bare numbers in the job file, and of results where no flag asks for others.
    file_units: Option<Units>,
    /// Whether the job file names units, known ones or not.
    names_units: bool,
    /// The units of the first size that was read, for results when none were asked for.
    spoken_units: Option<Units>,
    /// The finest that are told.
    fractions: Fractions,
    /// Bare numbers of a job file that doesn't say what they are in.
    unitless: Vec<Word>,
    problems: Problems,
    questions: Vec<Phrase>,
    warnings: Vec<Phrase>,
    /// Sizes that are asked about, each at its word.
    doubts: Vec<Problem>,
    /// Names of bodies, stacks and tubes that are there and wrong: whatever uses them is not at fault.
    broken: BTreeSet<(&'static str, String)>,
    /// The ways in the file to what was left out as it can't be read.
    spoilt: Vec<String>,
    /// Names that are known so far, of each kind.
    names: BTreeMap<&'static str, Names>,
    /// Of all tubes so far, with their copies.
    pieces: usize,
}

impl Reader {
    fn new(sheet: &raw::Sheet) -> Self {
        let mut reader = Self {
            flag_units: None,
            file_units: None,
            names_units: false,
            spoken_units: None,
            fractions: Fractions::default(),
            unitless: Vec::new(),
            problems: Problems::none(),
            questions: Vec::new(),
            warnings: Vec::new(),
            doubts: Vec::new(),
            broken: BTreeSet::new(),
            spoilt: Vec::new(),
            names: BTreeMap::new(),
            pieces: 0,
        };
        reader.flag_units = reader.named_units(sheet.units.as_ref());
        reader.fractions = sheet
            .fractions
            .as_ref()
            .and_then(|word| reader.choice(word, &Fractions::ALL))
            .unwrap_or_default();
        reader
    }

    fn of_file(job: &raw::JobFile, sheet: &raw::Sheet) -> Self {
        let mut reader = Self::new(sheet);
        reader.file_units = reader.named_units(job.units.as_ref());
        reader.names_units = job.units.is_some();
        reader
    }

    fn named_units(&mut self, word: Option<&Word>) -> Option<Units> {
        let word = word?;
        self.take(word, Units::parse(&word.text))
    }

    /// Whether a thing of this name is there, and wrong.
    fn is_broken(&self, what: &'static str, name: &str) -> bool {
        let is_broken = !self.broken.is_empty() && self.broken.contains(&(what, name.to_owned()));
        is_broken || self.is_spoilt(what, name)
    }

    /// Makes a name known to what comes after it.
    fn name(&mut self, what: &'static str, name: &str) {
        self.names.entry(what).or_default().add(name);
    }

    /// Makes these names known, and no others of their kind.
    fn only_names<'n>(&mut self, what: &'static str, names: impl Iterator<Item = &'n str>) {
        self.names.remove(what);
        names.for_each(|name| self.name(what, name));
    }

    /// The number of a thing by its name, if it is known so far.
    fn number(&self, what: &'static str, name: &str) -> Option<usize> {
        self.names.get(what)?.number(name)
    }

    /// The number of the thing that a word names; the nearest name is offered for an unknown one.
    fn find(&mut self, word: &Word, what: &'static str) -> Option<usize> {
        let found = self.number(what, &word.text);
        if found.is_none() && !self.is_broken(what, &word.text) {
            let help = self.names.entry(what).or_default().help(what, &word.text);
            self.refuse(
                word,
                Problem::new(format!("there is no {what} of the name {}", quoted(&word.text))).help(help),
            );
        }
        found
    }

    fn finish<J>(mut self, joint: Option<J>, sheet: &raw::Sheet) -> Result<Resolved<J>, Problems> {
        let sheet = sheet::resolve(&mut self, sheet);
        self.refuse_unitless();
        let units = self.result_units();
        let told = |phrases: &[Phrase]| phrases.iter().map(|phrase| units.tell(phrase)).collect();
        let (questions, warnings) = (told(&self.questions), told(&self.warnings));
        let problems = self.problems.told(|mm| units.show_telling(mm));
        let doubts = self.doubts;
        match problems.unless_any(joint.zip(sheet)) {
            Ok((joint, sheet)) => Ok(Resolved {
                joint,
                sheet,
                questions,
                warnings,
                doubts,
            }),
            Err(problems) => Err(problems.behind(&doubts)),
        }
    }

    /// The units of results, where they were asked for.
    fn asked_units(&self) -> Option<Units> {
        self.flag_units.or(self.file_units)
    }

    fn result_units(&self) -> Units {
        let units = self.asked_units().or(self.spoken_units).unwrap_or(Units::Millimetres);
        units.to_fractions(self.fractions)
    }

    /// What `parse` makes of a word: a bare number is in the units that are named where it stands, and nowhere else.
    fn read<T>(&mut self, word: &Word, parse: impl Fn(&str, Option<Units>) -> Result<T, Problem>) -> Option<T> {
        let is_in_file = !matches!(word.place, Place::Flag { .. });
        let units = self.bare_units(word);
        let read = parse(&word.text, units);
        if let Err(problem) = &read
            && is_in_file
            && units.is_none()
            && parse(&word.text, Some(Units::Millimetres)).err().as_ref() != Some(problem)
        {
            self.unitless.push(word.clone());
            return None;
        }
        self.take(word, read)
    }

    /// One problem for all bare numbers of a file that names no units. A unit it doesn't know is a problem of its own.
    fn refuse_unitless(&mut self) {
        let Some(first) = self.unitless.first().filter(|_| !self.names_units) else {
            return;
        };
        let more = match self.unitless.len() - 1 {
            0 => String::new(),
            more => format!(", nor have {more} more"),
        };
        let problem = Problem::new("the job file doesn't say what its bare numbers are in")
            .figures(format!("{} has no unit{more}", quoted(&first.text)))
            .help("add \"units\": \"mm\" or \"units\": \"in\" to the job file, or write a unit with each: \"12mm\"; the flag --units says what results are shown in, not what a file means")
            .at(first);
        self.problems.add(problem);
    }

    /// Keeps the problem and gives `None`, or the value.
    fn take<T>(&mut self, word: &Word, result: Result<T, Problem>) -> Option<T> {
        self.problems.take(result.map_err(|problem| problem.at(word)))
    }

    fn refuse(&mut self, word: &Word, problem: Problem) {
        self.problems.add(problem.at(word));
    }

    /// Keeps the problem and gives `None`: what is wrong is not there.
    fn refused<T>(&mut self, word: &Word, problem: Problem) -> Option<T> {
        self.take(word, Err(problem))
    }

    /// A problem of the job as a whole.
    fn refuse_whole(&mut self, job: &raw::JobFile, problem: Problem) {
        self.problems.add(match &job.here {
            Some(here) => problem.at(here),
            None => problem,
        });
    }

    fn angle(&mut self, word: &Word) -> Option<f64> {
        self.take(word, parse_angle(&word.text))
    }

    /// A whole number within `range`; `what` names it in the plural.
    fn count(&mut self, word: &Word, what: &str, range: std::ops::RangeInclusive<usize>) -> Option<usize> {
        let count = word.text.trim().parse().ok().filter(|count| range.contains(count));
        let help = || format!("give a whole number from {} to {}", range.start(), range.end());
        let problem = || Problem::new(format!("{} is not a number of {what}", quoted(&word.text))).help(help());
        self.take(word, count.ok_or_else(problem))
    }

    /// One of `words`.
    fn choice<T: Copy>(&mut self, word: &Word, words: &[(&str, T)]) -> Option<T> {
        let found = words
            .iter()
            .find(|(name, _)| name.eq_ignore_ascii_case(word.text.trim()));
        let names: Vec<&str> = words.iter().map(|&(name, _)| name).collect();
        self.take(
            word,
            found.map(|&(_, value)| value).ok_or_else(|| {
                Problem::new(format!("{} is not one of the choices", quoted(&word.text)))
                    .help(format!("choose {}", names.join(", ")))
            }),
        )
    }

    /// Which part of the wall decides; the whole of it where nothing is said.
    fn touch(&mut self, word: Option<&Word>) -> Option<Touch> {
        let touches = [Touch::Wall, Touch::Outside, Touch::Inside].map(|touch| (touch.word(), touch));
        word.map_or(Some(Touch::Wall), |word| self.choice(word, &touches))
    }

    /// How far a tube is turned about its own axis, in degrees; 0 where nothing is said. Only one with sides may be.
    fn turned(&mut self, word: Option<&Word>, section: Option<&Section>) -> Option<f64> {
        let Some(word) = word else { return Some(0.0) };
        let turned = self.angle(word)?;
        let problem = if !(-360.0..=360.0).contains(&turned) {
            Problem::new(format!("a tube isn't turned by {turned} degrees")).help("give -360 to 360 degrees")
        } else if section.is_some_and(|section| section.sides().is_none()) {
            Problem::new("round tube has no sides that could be turned").help(self.result_units().either(
                "leave it out, or give a size with sides, e.g. \"rect 60mm x 40mm x 3mm\"",
                "leave it out, or give a size with sides, e.g. \"rect 3in x 2in x 1/8in\"",
            ))
        } else {
            return Some(turned);
        };
        self.refused(word, problem)
    }

    /// What bare numbers in a word are read in.
    fn bare_units(&self, word: &Word) -> Option<Units> {
        match word.place {
            Place::Flag { .. } => self.flag_units,
            _ => self.file_units,
        }
    }

    /// Keeps a warning, once.
    fn warn(&mut self, warning: impl Into<Phrase>) {
        let warning = warning.into();
        if !self.warnings.contains(&warning) {
            self.warnings.push(warning);
        }
    }
}
