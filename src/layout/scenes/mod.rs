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
        Planned::Job(_) => Look::new(eye_of_job(plan), 72.0, 56.0),
    };
    scene(plan, &look).seen(&look)
}

/// From where most of a job's tubes are seen: as a picture is seen by default, unless one is hidden there or points at the eye.
fn eye_of_job(plan: &Planned) -> Eye {
    /// Of a tube that shows less than this, people don't see that it is there or where it leads.
    const LEAST_SHOWN: f64 = 0.2;
    /// Azimuths and heights, those nearest to the usual ones first.
    const EYES: [(f64, f64); 13] = [
        (30.0, 25.0),
        (60.0, 25.0),
        (-30.0, 25.0),
        (30.0, 50.0),
        (120.0, 25.0),
        (-60.0, 25.0),
        (120.0, 50.0),
        (-60.0, 50.0),
        (150.0, 25.0),
        (-120.0, 25.0),
        (-150.0, 25.0),
        (210.0, 50.0),
        (-120.0, 50.0),
    ];
    let mut best = (usize::MAX, Eye::default());
    for eye in EYES.map(|(azimuth, height)| Eye::at(azimuth, height)) {
        let shown = scene(plan, &Look::new(eye, 72.0, 56.0)).shown(eye);
        let missed = shown.into_iter().filter(|shown| *shown < LEAST_SHOWN).count();
        if missed < best.0 {
            best = (missed, eye);
        }
        if missed == 0 {
            break;
        }
    }
    best.1
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{read, resolve};
    use crate::layout::Part;
    use crate::plan::batch;

    /// A drum of 572 mm that stands 900 mm high, with these tubes.
    fn planned(tubes: &str) -> Planned {
        let text = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "50mm x 2mm" }} }},
  "bodies": {{ "drum": {{ "shape": "cylinder", "size": "572mm x 1.2mm", "from": [0, 0, 0], "to": [0, 0, 900], "zero": [1, 0, 0] }} }},
  "tubes": {{ {tubes} }} }}"#
        );
        let job = read::read_job("job.json", &text).expect("it reads");
        let job = resolve::job_file(&job, &job.sheet).expect("it resolves");
        batch(&job, &|_, _| ()).expect("it is solved").of
    }

    /// How long what is drawn of a tube is from tip to tip on the picture, in millimetres.
    fn drawn(seen: &Seen, tube: &str) -> f64 {
        let of_tube = |part: &Part| matches!(part, Part::Piece { tube: name, .. } if name == tube);
        let drawn = seen.parts.iter().filter(|(part, _)| of_tube(part));
        let bounds = drawn.map(|(_, drawing)| drawing.bounds());
        bounds.map(|bounds| bounds.size().to_vec2().hypot()).fold(0.0, f64::max)
    }

    #[test]
    fn the_cover_shows_tubes_that_point_at_the_usual_eye_or_stand_behind() {
        // 30 degrees round from +x and 25 degrees up is where the usual eye is.
        let at_the_eye = r#""t": { "stock": "a", "path": [ { "on": "drum", "along": 400, "round": "30deg" }, { "step": [313.9, 181.3, 169.0] } ] }"#;
        let behind = r#""t": { "stock": "a", "path": [ { "on": "drum", "along": 300, "round": "210deg" }, { "on": "drum", "along": 300, "round": "210deg", "out": 200 } ] }"#;
        let aside = behind.replace("210deg", "0deg").replace("\"t\"", "\"u\"");
        for (tubes, is_usual) in [
            (at_the_eye.to_owned(), false),
            (behind.to_owned(), false),
            (format!("{behind}, {aside}"), false),
            (aside.clone(), true),
        ] {
            let plan = planned(&tubes);
            assert_eq!(eye_of_job(&plan) == Eye::default(), is_usual, "{tubes}");
            let seen = on_sheet(&plan);
            for tube in ["t", "u"].iter().filter(|name| tubes.contains(&format!("\"{name}\""))) {
                // The picture is 56 mm high, the drum some 44 mm.
                let long = drawn(&seen, tube);
                assert!(long > 6.0, "{tube}: {long}: {tubes}");
            }
        }
    }
}
