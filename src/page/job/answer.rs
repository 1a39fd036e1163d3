//! The answer to a job's text: what is wrong, what to know, what is cut, and the picture. A function of the text and the view.

use serde::Serialize;

use super::card::{Card, card};
use super::drag::landings;
use super::solved::Solved;
use super::things::{Section, sections};
use super::told::{Note, Wrong, about, named_things, wrong};
use super::view::{View, frame_words};
use crate::job::edit::Tree;
use crate::job::read::plain;
use crate::layout;
use crate::output::picture_svg;
use crate::plan::{JobPlan, Plan};
use crate::problem::Problem;
use crate::wording::{ends_of_piece, said};

/// All that is shown of a job.
#[derive(Debug, Default, Serialize)]
pub(super) struct Answer {
    /// What the job is called, where anything of it can be drawn.
    title: Option<String>,
    /// Whether it can be printed.
    is_whole: bool,
    /// Whether the text can be read by forms.
    is_job: bool,
    problems: Vec<Wrong>,
    notes: Vec<Note>,
    summary: Vec<String>,
    cut_list: Vec<Row>,
    sticks: Vec<StickRow>,
    holes: Vec<Hole>,
    /// The bodies that have sheets of their own.
    mark_outs: Vec<String>,
    sections: Vec<Section>,
    card: Option<Card>,
    /// As SVG.
    picture: Option<String>,
    /// What it shows, for a question whose picture is to stay where this one is.
    frame: Option<String>,
    /// The text that is answered, where the question asked for changes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) text: Option<String>,
}

#[derive(Debug, Serialize)]
struct Row {
    number: usize,
    name: String,
    quantity: usize,
    stock: String,
    length: String,
    weld: String,
    ends: String,
}

#[derive(Debug, Serialize)]
struct StickRow {
    stock: String,
    pieces: String,
    offcut: String,
}

#[derive(Debug, Serialize)]
struct Hole {
    body: String,
    tube: String,
    along: String,
    round: String,
    left: String,
}

/// What is answered to a text that is looked at so.
pub(super) fn answer(text: &str, solved: &Solved, view: &View) -> Answer {
    let text = plain(text);
    let tree = Tree::new(&text).ok();
    let mut answer = Answer {
        problems: solved
            .problems
            .iter()
            .map(|problem| wrong(problem, tree.as_ref()))
            .collect(),
        is_job: tree.is_some(),
        ..Answer::default()
    };
    if let Some((plan, job)) = solved.plan.as_ref().and_then(|plan| Some((plan, plan.job()?))) {
        facts(&mut answer, plan, job, tree.as_ref());
        let (svg, frame) = picture(plan, tree.as_ref(), view);
        (answer.picture, answer.frame) = (Some(svg), frame);
        answer.is_whole = solved.problems.is_empty() && !job.cut_list.rows.is_empty();
    }
    if let Some(tree) = &tree {
        answer.sections = sections(tree, &answer.problems, &answer.notes);
        let job = solved.plan.as_ref().and_then(Plan::job);
        answer.card = view.thing.as_ref().and_then(|thing| card(tree, job, thing));
    }
    answer
}

/// What is answered where there is no text.
pub(super) fn unreadable(problem: &Problem) -> Answer {
    Answer {
        problems: vec![wrong(problem, None)],
        ..Answer::default()
    }
}

/// The picture alone, and what it shows; where the chosen tube lands it can be taken hold of.
pub(super) fn picture(plan: &Plan, tree: Option<&Tree<'_>>, view: &View) -> (String, Option<String>) {
    let job = plan.job();
    let title = job.map_or("", |job| job.assembly.title.as_str());
    let mut seen = layout::picture(plan, &view.look);
    let chosen = tree.zip(job).zip(view.thing.as_ref());
    for (at, site) in chosen
        .into_iter()
        .flat_map(|((tree, job), thing)| landings(tree, job, thing))
    {
        seen.add_handle(site, serde_json::json!(at).to_string());
    }
    (picture_svg(title, &seen), seen.frame.map(frame_words))
}

fn facts(answer: &mut Answer, plan: &Plan, job: &JobPlan, tree: Option<&Tree<'_>>) {
    let (said, units, list) = (said(plan), plan.sheet.units, &job.cut_list);
    let things = tree.map_or_else(Vec::new, named_things);
    let notes = said.all_notes().map(|words| Note {
        about: about(words, &things),
        words: words.clone(),
    });
    answer.notes = notes.collect();
    answer.summary = said.summary.into_iter().skip(1).collect();
    answer.title = Some(said.title);
    let stock = |index: usize| list.stock[index].0.clone();
    let rows = list.rows.iter().zip(&job.kinds).map(|(row, kind)| Row {
        number: row.number,
        name: row.name.clone(),
        quantity: row.quantity,
        stock: stock(row.stock),
        length: units.show(row.length_mm),
        weld: if row.weld_mm > 0.0 {
            units.show(row.weld_mm)
        } else {
            "-".to_owned()
        },
        ends: ends_of_piece(&job.assembly, kind, &plan.sheet),
    });
    answer.cut_list = rows.collect();
    let sticks = list.sticks.iter().map(|stick| StickRow {
        stock: stock(stick.stock),
        pieces: stick
            .pieces
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(", "),
        offcut: units.show(stick.offcut_mm),
    });
    answer.sticks = sticks.collect();
    let holes = job.holes.iter().map(|hole| {
        let (along, round) = hole.place_words(units);
        let next = hole.next.as_ref();
        Hole {
            body: job.assembly.bodies[hole.hole.body].name.clone(),
            tube: hole.hole.tube.clone(),
            along,
            round,
            left: next.map_or_else(
                || "-".to_owned(),
                |(tube, left)| format!("{} to {tube}", units.show(*left)),
            ),
        }
    });
    answer.holes = holes.collect();
    answer.mark_outs = marked_bodies(job);
}

/// The names of bodies with holes, whether these are laid flat or marked with a compass.
fn marked_bodies(job: &JobPlan) -> Vec<String> {
    let bodies = job.assembly.bodies.iter().enumerate();
    let has_holes = |index: usize, name: &str| {
        let is_flat = job.holes.iter().any(|hole| hole.hole.body == index);
        is_flat || job.compass_holes.iter().any(|hole| hole.body[0] == name)
    };
    let marked = bodies.filter(|(index, body)| has_holes(*index, &body.name));
    marked.map(|(_, body)| body.name.clone()).collect()
}
