//! The answer to a question: problems at their gaps, notes, facts and drawings. A function of what was typed.

use serde::Serialize;

use super::eye;
use super::gap::Gap;
use super::kept::Kept;
use super::question::Question;
use super::sliders::{Slider, sliders};
use super::typed::{Typed, name};
use super::work::Wanted;
use crate::layout::{Panel, Role, end_from_above, panels};
use crate::output::{drawing_svg, svg_text};
use crate::plan::{Plan, Planned, TrialPlan};
use crate::problem::{Place, Problem, Problems};
use crate::wording::{Ordinates, Said, ordinates_of, readings_table, said, ways};

/// All that is shown beside a sentence.
#[derive(Debug, Default, Serialize)]
pub(super) struct Answer {
    /// What is made, where it can be.
    pub(super) title: Option<String>,
    /// What gaps were taken for, by name.
    pub(super) understood: Vec<Named>,
    /// What is wrong.
    pub(super) problems: Vec<Wrong>,
    /// What the person must be told.
    pub(super) notes: Vec<String>,
    /// What there is to know.
    pub(super) facts: Vec<Named>,
    /// Tables to mark it by hand.
    pub(super) tables: Vec<Ordinates>,
    /// Ways to cut it, with what they leave.
    pub(super) ways: Vec<Card>,
    /// Where sliders stand.
    pub(super) sliders: Vec<Slider>,
    /// The end round which gaps are read, as SVG.
    pub(super) end: Option<String>,
    /// The joint in space, as SVG.
    pub(super) picture: Option<String>,
    /// The patterns and charts.
    pub(super) drawings: Vec<Drawn>,
    /// The same joint on the command line.
    pub(super) command: String,
    /// The query that holds the joint, to be put behind any of its addresses.
    pub(super) query: String,
}

/// Words and what they belong to.
#[derive(Debug, Serialize)]
pub(super) struct Named {
    pub(super) name: String,
    pub(super) words: String,
}

/// A problem, by the names of the gaps that it stands at.
#[derive(Debug, Serialize)]
pub(super) struct Wrong {
    pub(super) at: Vec<String>,
    pub(super) what: String,
    pub(super) figures: Option<String>,
    pub(super) help: Option<String>,
    /// Whether only something isn't typed yet.
    pub(super) is_unfinished: bool,
}

/// A way to cut an end.
#[derive(Debug, Serialize)]
pub(super) struct Card {
    pub(super) name: String,
    pub(super) gap: String,
    pub(super) within: String,
    pub(super) cuts: Vec<String>,
    /// What to put into which gap to have this one's sheet, by name.
    pub(super) settings: Vec<Named>,
}

/// A drawing as SVG.
#[derive(Debug, Serialize)]
pub(super) struct Drawn {
    pub(super) name: String,
    pub(super) svg: String,
}

/// What is answered to what was typed. Where nobody waits any more, it is left as far as it has come.
pub(super) fn answer(question: &Question, typed: &Typed, kept: &Kept, wanted: &Wanted) -> Answer {
    let mut answer = Answer {
        command: question.command(typed),
        query: question.query(typed),
        ..Answer::default()
    };
    match kept.plan(question, typed) {
        Err(problems) => {
            answer.problems = wrong(question, typed, &problems);
            answer.understood = understood(question, typed, &[]);
        }
        Ok(plan) if !wanted.is_over() => {
            answer.understood = understood(question, typed, &(question.heard)(&plan));
            let said = said(&plan);
            answer.picture = Some(eye::picture(&plan, &said.title, typed));
            answer.drawings = drawings(&plan, &said);
            answer.end = plan.trial().map(|of| end_svg(Some(of)));
            answer.tables = tables(&plan);
            answer.ways = cards(&plan);
            answer.sliders = sliders(&plan);
            answer.notes = said.all_notes().cloned().collect();
            answer.facts = said.facts.into_iter().map(Named::from).collect();
            answer.title = Some(said.title);
        }
        Ok(_) => {}
    }
    answer
}

/// The end of a trial fit, or of any before one is known.
pub(super) fn end_svg(of: Option<&TrialPlan>) -> String {
    drawing_svg(
        "The end seen from above, the front towards you: outside the skin the gap, inside it what comes off, both drawn wider than they are",
        &end_from_above(of),
    )
}

/// Ordinates, and what was read.
pub(super) fn tables(plan: &Plan) -> Vec<Ordinates> {
    let read = plan.trial().map(|of| readings_table(of, plan.sheet.units));
    ordinates_of(plan).into_iter().chain(read).collect()
}

impl From<(&'static str, String)> for Named {
    fn from((flag, words): (&'static str, String)) -> Self {
        Self {
            name: name(flag).to_owned(),
            words,
        }
    }
}

/// What each gap was taken for: in the whole plan where there is one, else by itself.
fn understood(question: &Question, typed: &Typed, heard: &[(&'static str, String)]) -> Vec<Named> {
    let gaps = question.gaps().filter_map(|gap| {
        let heard = heard.iter().find(|(flag, _)| *flag == gap.flag);
        let words = heard.map(|(_, words)| words.clone()).or_else(|| gap.understood(typed));
        words.map(|words| Named::from((gap.flag, words)))
    });
    gaps.collect()
}

/// The problems as they stand on the page.
pub(super) fn wrong(question: &Question, typed: &Typed, problems: &Problems) -> Vec<Wrong> {
    let missing = |flag: &str| {
        let is_missing = |gap: &&Gap| gap.is_needed && gap.flag == flag && typed.text(flag).trim().is_empty();
        question.gaps().find(is_missing)
    };
    problems.iter().map(|problem| one_wrong(problem, missing)).collect()
}

/// The same where no gap says what is missing.
pub(super) fn wrong_by_flag(problems: &Problems) -> Vec<Wrong> {
    problems.iter().map(|problem| one_wrong(problem, |_| None)).collect()
}

fn one_wrong(problem: &Problem, missing: impl Fn(&str) -> Option<&'static Gap>) -> Wrong {
    let places = problem.place.iter().chain(&problem.against);
    let flags: Vec<&'static str> = places.filter_map(|place| flag_of(place)).collect();
    let missing = flags.first().and_then(|flag| missing(flag));
    let at = flags.into_iter().map(|flag| name(flag).to_owned()).collect();
    match missing {
        Some(gap) => Wrong {
            at,
            what: format!("nothing is given for the {}", gap.label.to_lowercase()),
            figures: None,
            help: Some(format!("give {}", gap.hint)),
            is_unfinished: true,
        },
        None => Wrong {
            at,
            what: problem.what.clone(),
            figures: problem.figures.as_ref().map(ToString::to_string),
            help: problem.help.clone(),
            is_unfinished: false,
        },
    }
}

fn flag_of(place: &Place) -> Option<&'static str> {
    match place {
        Place::Flag { flag, .. } => Some(flag),
        Place::Found { word: Some(word), .. } => flag_of(word),
        _ => None,
    }
}

/// The patterns as they are printed, and the chart where there is one.
fn drawings(plan: &Plan, said: &Said) -> Vec<Drawn> {
    let is_shown = |panel: &Panel| panel.role == Role::Pattern || panel.name.starts_with("Gap ");
    let panels = panels::without_heading(plan, said).filter(is_shown);
    let drawn = panels.map(|panel| Drawn {
        svg: beside_others(&svg_text(&panel.name, &panel.drawing)),
        name: panel.name.to_string(),
    });
    drawn.collect()
}

/// An SVG to stand on one page with others: a layer, by its id in a file of its own, is told by its data there.
fn beside_others(svg: &str) -> String {
    svg.replace("<g id=\"", "<g data-layer=\"")
}

fn cards(plan: &Plan) -> Vec<Card> {
    let Planned::Facets(of) = &plan.of else {
        return Vec::new();
    };
    let units = plan.sheet.units;
    let ways = ways(of, units).into_iter();
    let cards = ways.map(|way| {
        let settings = way.pair.map(|(scribe, front, back)| {
            [
                ("--scribe", format!("{}{}", units.decimal(scribe), units.name())),
                ("--saw-front", format!("{front:.2}")),
                ("--saw-back", format!("{back:.2}")),
            ]
            .map(Named::from)
        });
        Card {
            name: way.name,
            gap: way.gap,
            within: way.within,
            cuts: way.cuts,
            settings: settings.into_iter().flatten().collect(),
        }
    });
    cards.collect()
}
