//! What there is to be seen of a plan: things in space, from any side.

mod end_of_job;
mod facets;
mod job;
mod miter;
mod saddle;

use crate::job::TrialOf;
use crate::layout::picture::{Eye, Look, Scene, Seen};
use crate::plan::{Plan, Planned};
use crate::wording::made_already;

/// What is asked for, as it stands in space, seen as `look` says.
pub fn picture(plan: &Plan, look: &Look) -> Seen {
    scene(&plan.of, look).seen(look)
}

/// As it is seen on the sheets.
pub(super) fn on_sheet(plan: &Planned) -> Seen {
    let look = match plan {
        Planned::Saddle(_) | Planned::Trial(_) => Look::new(Eye::at(30.0, 25.0), 54.0, 38.0),
        Planned::Miter(_) => Look::new(Eye::at(-74.0, 24.0), 54.0, 38.0),
        Planned::Facets(_) => Look {
            is_apart: true,
            ..Look::new(Eye::at(16.0, 18.0), 54.0, 38.0)
        },
        Planned::Job(_) => Look::new(Eye::at(30.0, 25.0), 72.0, 56.0),
    };
    scene(plan, &look).seen(&look)
}

fn scene(plan: &Planned, look: &Look) -> Scene {
    match plan {
        Planned::Saddle(of) => saddle::scene(&of.joint, look),
        Planned::Miter(of) => miter::scene(&of.joint, look),
        Planned::Facets(of) => facets::scene(of, look),
        Planned::Trial(of) => match &of.asked.of {
            TrialOf::Joint(joint) => match &of.flat {
                Some(flat) => facets::flat_end(joint, flat, look),
                None => saddle::scene(joint, look),
            },
            TrialOf::End(end) => end_of_job::scene(end, look),
        },
        Planned::Job(of) => job::scene(&of.assembly, &of.numbers, &of.cut_list.clashes, &made_already(of), look),
    }
}
