//! What is drawn of a plan: patterns, tables and pictures.

mod chart;
mod compass;
mod cover;
mod dimensions;
mod facets;
mod found;
mod gores;
mod head_view;
mod hole;
mod if_round;
mod job_hole;
mod job_pack;
mod leader;
mod mark_out;
mod marked;
mod miter;
mod parting;
mod piece;
mod saddle;
mod saw_settings;
mod skin_sheet;
mod stack;
mod standing;
mod strips;
mod table;
mod taken;
mod trial;
mod wrap;

use cover::cover;

use crate::job::LeftOut;
use crate::layout::label::{Heading, heading_panel, short_heading_panel};
use crate::layout::sheets::rooms;
use crate::layout::{Panel, scenes};
use crate::plan::{Plan, Planned};
use crate::wording::{ClashesOfTubes, Said};

/// Heading, patterns and tables, in order. Those of a whole job, which together are many times larger than what they are
/// made of, are drawn when they are asked for.
pub fn panels<'a>(plan: &'a Plan, said: &'a Said) -> impl Iterator<Item = Panel> + 'a {
    let mut others = without_heading(plan, said).peekable();
    // Of nothing there is nothing to be told: that no sheet is left is.
    let mut is_shown = || others.peek().is_some() || has_cover(plan);
    let heading = match &plan.of {
        // Its first panels are drawn on the other cores meanwhile.
        Planned::Job(job) if job.kinds.len() <= job_pack::MOST_AT_ONCE => {
            let (heading, is_shown) = rayon::join(|| heading(plan, said), is_shown);
            if is_shown { heading } else { Vec::new() }
        }
        _ if is_shown() => heading(plan, said),
        _ => Vec::new(),
    };
    heading.into_iter().chain(others)
}

/// Whether the whole heading is wanted. A trial fit always has it: it says what is off.
fn has_cover(plan: &Plan) -> bool {
    plan.sheet.has(LeftOut::Cover) || matches!(plan.of, Planned::Trial(_))
}

/// The same but for the heading, whose picture is most of its cost: all patterns are here.
pub fn without_heading<'a>(plan: &'a Plan, said: &'a Said) -> impl Iterator<Item = Panel> + 'a {
    let sheet = &plan.sheet;
    let (of_joint, job) = match &plan.of {
        Planned::Saddle(of) => (saddle::panels(of, sheet, said), None),
        Planned::Miter(of) => (miter::panels(of, sheet, said), None),
        Planned::Facets(of) => (facets::panels(of, sheet), None),
        Planned::Trial(of) => (trial::panels(of, sheet, said), None),
        Planned::Job(job) => (Vec::new(), Some(job)),
    };
    let of_job = job.into_iter().flat_map(move |job| job_pack::panels(job, sheet));
    of_joint.into_iter().chain(of_job)
}

/// What is made, what the person must be told, and a picture of it; of a job its lists as well. Without the cover what
/// nobody may do without.
fn heading(plan: &Plan, said: &Said) -> Vec<Panel> {
    let sheet = &plan.sheet;
    let title = match &plan.of {
        Planned::Saddle(of) => saddle::heading(of, sheet, said),
        _ => said.title.clone(),
    };
    let heading = Heading {
        title: &title,
        note: None,
        clashes: &said.clashes,
        notes: said.questions.iter().chain(&said.notes).collect(),
        may_be_bottle: plan.job().is_some_and(|job| cover::may_be_bottle(&job.assembly)),
    };
    if !has_cover(plan) {
        return short_heading_panel(&heading, sheet, rooms(&sheet.paper));
    }
    let picture = scenes::on_sheet(&plan.of).drawing();
    match &plan.of {
        Planned::Job(job) => {
            let needed = job_pack::needed_for_pieces(job, sheet);
            cover(&job.assembly, sheet, (&job.cut_list, &needed), said, &picture)
        }
        _ => heading_panel(&heading, &picture, sheet, rooms(&sheet.paper)),
    }
}

/// Each kind of piece of a whole job: what it is called on its sheets, and its own panels, drawn when they are asked for.
pub fn kinds(plan: &Plan) -> impl Iterator<Item = (String, Vec<Panel>)> {
    plan.job().into_iter().flat_map(move |job| {
        let clashes = ClashesOfTubes::new(job, plan.sheet.units);
        let panels = move |kind| piece::piece_panels(job, kind, &clashes, &plan.sheet);
        job.kinds.iter().map(move |kind| (kind.label(), panels(kind)))
    })
}

/// Of a whole job what is drawn of one body: its mark-out, and the patterns of the holes in it.
pub fn of_body(plan: &Plan, name: &str) -> Vec<Panel> {
    plan.job()
        .map_or_else(Vec::new, |job| job_pack::of_body(job, name, &plan.sheet))
}
