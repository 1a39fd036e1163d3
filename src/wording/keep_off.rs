//! What is to be kept off on a body, in words: where it is, how far it stands out, what is left beside it; and what is left of
//! distances that were asked for.

use super::hole::hole_number;
use crate::job::{BodyInSpace, KeepOff, Strip};
use crate::measure::{Units, show_angle};
use crate::plan::{JobPlan, PlacedHole};

/// Less than this off a line is on it, in millimetres.
const ON_THE_LINE: f64 = 5e-3;

/// The heads of [`keep_off_rows`].
pub(crate) const KEEP_OFF_HEADS: [&str; 5] = [
    "",
    "where",
    "stands out",
    "left to the nearest hole",
    "to the nearest set-on wall",
];

/// Of each thing that is to be kept off on a body its name, its place, how far it stands out, and what is left between it and the
/// nearest hole, and the nearest wall of a tube that is set on. `here` are the holes in the body as they are numbered.
pub(crate) fn keep_off_rows(body: &BodyInSpace, here: &[&PlacedHole], units: Units) -> Vec<[String; 5]> {
    let kept = body.keep_off.iter().enumerate();
    kept.map(|(index, keep)| {
        let left = |part: usize| {
            let all = here.iter().enumerate();
            let left = all.filter_map(|(number, hole)| Some((number, hole.strips.left.get(index)?[part]?)));
            let nearest = left.min_by(|a, b| a.1.total_cmp(&b.1));
            nearest.map_or_else(
                || "-".to_owned(),
                |(number, left)| match left {
                    left if left < 0.0 => format!("{}: overlaps by {}", hole_number(number), units.show(-left)),
                    left => format!("{}: {}", hole_number(number), units.show(left)),
                },
            )
        };
        let out = match keep.out_mm {
            0.0 => "flush".to_owned(),
            out => units.show(out),
        };
        [keep.name.clone(), place(body, keep, units), out, left(0), left(1)]
    })
    .collect()
}

/// `along 100.00 mm to 130.00 mm`; `right 898.50 mm (180°), 20.00 mm wide`.
fn place(body: &BodyInSpace, keep: &KeepOff, units: Units) -> String {
    match keep.strip {
        Strip::Round([from, to]) => {
            let up = if body.outside.is_flat() { "up" } else { "along" };
            format!("{up} {} to {}", units.show(from), units.show(to))
        }
        Strip::Along { round, wide_mm } => {
            let arc = body.surface.arc_of(0.0, round);
            let side = if arc < 0.0 { "left" } else { "right" };
            let degrees = body
                .surface
                .girth(0.0)
                .map_or_else(String::new, |_| format!(" ({})", show_angle(round.to_degrees().abs())));
            let middle = match arc.abs() {
                none if none < ON_THE_LINE => "on the line".to_owned(),
                arc => format!("{side} {}{degrees}", units.show(arc)),
            };
            format!("{middle}, {} wide", units.show(wide_mm))
        }
    }
}

/// `standpipe stays 66.70 mm clear of clamp ring of drum, 50.00 mm asked for`: what is kept of all that was asked for.
pub(super) fn kept_clear_notes(job: &JobPlan, units: Units) -> Vec<String> {
    let assembly = &job.assembly;
    let kept = job.kept_clear.iter().map(|kept| {
        let (tube, body) = (&assembly.tubes[kept.tube], &assembly.bodies[kept.body].name);
        let bound = if kept.is_bound { "at least " } else { "" };
        let nearest = match tube.copy_number() {
            Some(_) => format!(", {} the nearest", tube.name),
            None => String::new(),
        };
        let but = if kept.lands_there {
            " (but for its leg that lands there)"
        } else {
            ""
        };
        format!(
            "{} stays {bound}{} clear of {body}{but}{nearest}, {} asked for",
            tube.shared_name,
            units.show(kept.left_mm),
            units.show_given(kept.asked_mm)
        )
    });
    kept.collect()
}
