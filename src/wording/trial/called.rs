//! What is offered up at a trial fit is called, and what it lands on: all other words ask here.

use crate::job::{EndOfJob, FlatCuts, Saddle, SawCut, TrialOf};
use crate::measure::{Units, show_angle};
use crate::plan::{SIDES, TrialPlan};
use crate::wording::facets::joint_title;
use crate::wording::saddle::describe_joint;

/// Names for sentences.
pub(super) struct Called {
    /// Of the sheets.
    pub(super) title: String,
    /// The same with all that was asked for.
    pub(super) headline: String,
    /// What it lands on: `the header`.
    pub(super) body: String,
    /// `the header's size`.
    pub(super) body_size: String,
    /// `its radius`, of what isn't the same all along `its radius there`.
    pub(super) radius: &'static str,
    /// Whether it lands on what has an axis, by which the tube's own may pass.
    pub(super) has_axis: bool,
}

pub(super) fn called(of: &TrialPlan, units: Units) -> Called {
    match &of.asked.of {
        TrialOf::Joint(joint) => of_joint(joint, of.asked.offered.flat.as_ref(), units),
        TrialOf::End(end) => of_end(end, units),
    }
}

fn of_joint(joint: &Saddle, flat: Option<&FlatCuts>, units: Units) -> Called {
    let of = joint_title(joint, units);
    let (sawn, settings) = match flat {
        None => ("", String::new()),
        Some(flat) => (", sawn flat", format!(", {}", sawn_flat(flat, units))),
    };
    Called {
        title: format!("Trial fit: {of}, {}{sawn}", show_angle(joint.angle_deg)),
        headline: format!("Trial fit: {of}, {}{settings}", describe_joint(joint, units)),
        body: "the header".to_owned(),
        body_size: "the header's size".to_owned(),
        radius: "its radius",
        has_axis: true,
    }
}

/// `sawn flat: scribed at 16.1 mm, front 45°, back 45° off square`, `sawn flat: front 50° scribed at 16.1 mm and 35° scribed
/// at 8 mm, back not cut, angles off square`.
fn sawn_flat(flat: &FlatCuts, units: Units) -> String {
    let rounded = if flat.rounded_mm > 0.0 {
        format!(", rounded off for {}", units.show(flat.rounded_mm))
    } else {
        String::new()
    };
    let Some((scribe_mm, saws)) = flat.as_pair() else {
        let side = |cuts: &[SawCut]| {
            let cut = |cut: &SawCut| format!("{} scribed at {}", show_angle(cut.saw_deg), units.show(cut.scribe_mm));
            match cuts {
                [] => "not cut".to_owned(),
                cuts => cuts.iter().map(cut).collect::<Vec<_>>().join(" and "),
            }
        };
        let (front, back) = (side(&flat.front), side(&flat.back));
        return format!("sawn flat: front {front}, back {back}, angles off square{rounded}");
    };
    let [front, back] = saws.map(show_angle);
    format!(
        "sawn flat: scribed at {}, front {front}, back {back} off square{rounded}",
        units.show(scribe_mm)
    )
}

fn of_end(end: &EndOfJob, units: Units) -> Called {
    let EndOfJob { piece, side, .. } = end;
    let words = &piece.ends[*side];
    let also = match words.also.as_slice() {
        [] => String::new(),
        others => format!(", cut to {} too", others.join(", ")),
    };
    let on = words.body.as_ref().map_or_else(String::new, |body| format!(" {body}"));
    let title = format!(
        "Trial fit: {}, {}: {}{on}{also}",
        end.tube().name,
        SIDES[*side],
        units.tell(&words.kind)
    );
    let body = end.body().map_or_else(
        || "the other tube's cut".to_owned(),
        |body| format!("\"{}\"", body.name),
    );
    Called {
        headline: format!("{title}, {}", piece.near.tube.describe(units)),
        title,
        body_size: format!("the size of {body}"),
        body,
        radius: match end.body().is_none_or(crate::job::BodyInSpace::is_straight) {
            true => "its radius",
            false => "its radius there",
        },
        has_axis: end.body().is_some_and(|body| body.outside.ends().is_some()),
    }
}
