//! An end of the job's tubes at the trial fit: which one, and the gaps that were read round it.

use super::form::{Form, OfferedEnd, Part, ToOfferUp};
use super::solved::NAME;
use crate::job::edit::Key;
use crate::job::raw;
use crate::job::read::read_job;
use crate::job::{WhichEnd, resolve};
use crate::page::answer::{Answer, Named, end_svg, tables, wrong_by_flag};
use crate::page::readings;
use crate::page::typed::Typed;
use crate::plan::{self, Plan, SIDES};
use crate::problem::Problems;
use crate::wording::said;

/// Of a tube's card: its ends, those of its copies too, at which gaps can be read.
pub(super) fn of_tube(form: &mut Form<'_>, at: &[Key]) {
    let (Some(job), [_, Key::Name(name)]) = (form.job, at) else {
        return;
    };
    let tubes = job.assembly.tubes.iter().filter(|tube| tube.shared_name == *name);
    let ends = tubes.flat_map(|tube| {
        let sides = (0..SIDES.len()).filter(|side| tube.can_be_offered(*side));
        sides.map(|side| OfferedEnd {
            tube: tube.name.clone(),
            end: SIDES[side],
            is_far: WhichEnd::BOTH[side] == WhichEnd::Far,
            words: format!("{}, {}", tube.name, SIDES[side].to_uppercase()),
        })
    });
    let ends: Vec<OfferedEnd> = ends.collect();
    if !ends.is_empty() {
        form.parts.push(Part::OfferUp(ToOfferUp {
            ends,
            label: "At the trial fit",
        }));
    }
}

/// The trial fit that is asked about.
///
/// # Errors
/// Everything that is wrong with the job, with which end it is, or with what was read.
pub(super) fn plan(text: &str, typed: &Typed) -> Result<Plan, Problems> {
    let job = read_job(NAME, text)?;
    let trial = raw::EndTrial {
        tube: typed.needed("--tube"),
        end: typed.needed("--end"),
        read: raw::Readings {
            gaps: typed.needed("--gaps"),
            apart: Vec::new(),
            read_within: typed.word("--read-within"),
            gap: typed.word("--gap"),
        },
    };
    plan::trial_of_job(&resolve::trial_of_job(&job, &trial, &job.sheet)?)
}

/// What is off, and what to grind.
pub(super) fn answer(text: &str, typed: &Typed) -> Answer {
    let mut answer = Answer::default();
    match plan(text, typed) {
        Err(problems) => answer.problems = wrong_by_flag(&problems),
        Ok(plan) => {
            let said = said(&plan);
            answer.end = plan.trial().map(|of| end_svg(Some(of)));
            answer.understood = heard(&plan);
            answer.tables = tables(&plan);
            answer.notes = said.all_notes().cloned().collect();
            answer.facts = said.facts.into_iter().map(Named::from).collect();
            answer.title = Some(said.title);
        }
    }
    answer
}

/// What was taken for what.
fn heard(plan: &Plan) -> Vec<Named> {
    let (Some(of), units) = (plan.trial(), plan.sheet.units) else {
        return Vec::new();
    };
    let mut heard = readings::heard(&of.asked.readings, units);
    heard.extend([
        ("--read-within", units.show(of.asked.read_within_mm)),
        ("--gap", units.show(of.asked.gap_limit_mm)),
    ]);
    heard.into_iter().map(Named::from).collect()
}
