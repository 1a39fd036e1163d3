//! Whether tubes leave what they land on, and steeply enough.

use glam::DVec3;

use super::super::SHALLOWEST_DEG;
use super::Reader;
use crate::job::raw;
use crate::job::{Assembly, BodyInSpace, TubeInSpace};
use crate::problem::Problem;

/// Whether each end that lands on a body leads out of it, not through it.
pub(super) fn leads_out(reader: &mut Reader, raw: &raw::Tube, tube: &TubeInSpace, assembly: &Assembly) -> bool {
    let mut all_do = true;
    for (end, point) in tube
        .ends()
        .into_iter()
        .zip([&raw.path[0], &raw.path[raw.path.len() - 1]])
    {
        let Some(body) = end.body().map(|body| &assembly.bodies[body]) else {
            continue;
        };
        let (along, round) = body.surface.place_of(end.at);
        let normal = body.surface.site(along, round).normal;
        let rise = end.into_tube().dot(normal).clamp(-1.0, 1.0).asin().to_degrees();
        if rise < 1.0 {
            let problem = Problem::new(format!(
                "from here the tube leads into \"{}\", not out of it",
                body.name
            ))
            .figures(format!("{rise:.1} degrees over its skin{}", kept_end(body)));
            let help = "land on the side that faces the next point: change \"round\", or the step";
            let kept = if body.parting.is_some() {
                ", or say with \"stays\" which end of the part is kept"
            } else {
                ""
            };
            reader.refuse(&point.here, problem.help(format!("{help}{kept}")));
            all_do = false;
        } else if let Some(problem) = too_shallow(end.into_tube(), body) {
            reader.refuse(&point.here, problem);
            all_do = false;
        }
    }
    all_do
}

/// Which end of a part of a stack is kept, which may not have been said, and what hangs on it.
fn kept_end(body: &BodyInSpace) -> String {
    let kept = body.parting.as_ref().map(|parting| {
        format!(
            "; \"{}\" keeps its {} end, and is measured with that end down",
            body.name,
            parting.stays.word()
        )
    });
    kept.unwrap_or_default()
}

/// A problem where a tube that goes `into_tube` meets a round body's centre line, or a plate's face, at less than the
/// command line's joints may. A ball has neither.
fn too_shallow(into_tube: DVec3, body: &BodyInSpace) -> Option<Problem> {
    let (sine, what) = if body.outside.is_flat() {
        (into_tube.dot(body.placement.transform_vector3(DVec3::Z)), "face")
    } else {
        body.outside.ends()?;
        (into_tube.cross(body.axis()).length(), "centre line")
    };
    let angle = sine.clamp(-1.0, 1.0).asin().to_degrees();
    (angle < SHALLOWEST_DEG - 1e-6).then(|| {
        Problem::new(format!(
            "this tube can't be cut for \"{}\": it lands too flat",
            body.name
        ))
        .figures(format!(
            "{} degrees to its {what}, at least {SHALLOWEST_DEG}",
            below_shallowest(angle)
        ))
        .help("let it land more steeply: move this point or the next one")
    })
}

/// With as many decimals as show that it is less.
fn below_shallowest(angle: f64) -> String {
    let told = (1..=6).map(|decimals| format!("{angle:.decimals$}"));
    let less = told
        .into_iter()
        .find(|told| told.parse().is_ok_and(|told: f64| told < SHALLOWEST_DEG));
    less.unwrap_or_else(|| angle.to_string())
}
