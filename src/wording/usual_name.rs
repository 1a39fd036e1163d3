//! What a joint's files are called unless another name is asked for: joints that differ have different names.

use crate::job::{Facets, FlatCuts, Header, Join, Miter, Saddle, SawCut, Touch, TrialOf, Tube};
use crate::measure::{Units, decimals, without_noughts};
use crate::plan::{Plan, Planned, SIDES};
use crate::section::Section;

/// Without an ending, of plain letters, sizes in the units of the results. A job's files are called as the job's file is.
pub fn usual_name(plan: &Plan) -> String {
    let units = plan.sheet.units;
    match &plan.of {
        Planned::Saddle(of) => saddle(&of.joint, units),
        Planned::Miter(of) => miter(&of.joint, units),
        Planned::Facets(of) => facets(&of.asked, units),
        Planned::Trial(of) => match &of.asked.of {
            TrialOf::Joint(joint) => match &of.asked.offered.flat {
                Some(flat) => format!("trial-{}", sawn(joint, flat, units)),
                None => format!("trial-{}", saddle(joint, units)),
            },
            TrialOf::End(end) => format!("trial-{}-{}", plain(&end.tube().name), SIDES[end.side]),
        },
        Planned::Job(_) => "job".to_owned(),
    }
}

/// `saddle-48.3x2mm-on-60.3mm-60deg-offset-5mm-right-set-in`.
fn saddle(joint: &Saddle, units: Units) -> String {
    let mut words = vec![
        format!("saddle-{}", landing(&joint.branch, &joint.header, units)),
        degrees(joint.angle_deg),
    ];
    if joint.offset_mm != 0.0 {
        let side = if joint.offset_mm < 0.0 { "left" } else { "right" };
        words.push(format!("offset-{}-{side}", length(joint.offset_mm.abs(), units)));
    }
    words.extend(turned(joint.turned_deg));
    if joint.join == Join::SetIn {
        words.push(joint.join.word().to_owned());
    }
    if joint.clearance_mm != 0.0 {
        words.push(format!("clearance-{}", length(joint.clearance_mm, units)));
    }
    words.extend(root_gap(joint, units));
    if joint.touch != Touch::Wall {
        words.push(format!("touch-{}", joint.touch.word()));
    }
    words.join("-")
}

/// `miter-48.3x2mm-90deg-3-pieces-radius-150mm`.
fn miter(joint: &Miter, units: Units) -> String {
    let mut words = vec![format!("miter-{}", tube(&joint.tube, units)), degrees(joint.turn_deg)];
    words.extend(turned(joint.turned_deg));
    if joint.pieces != 2 {
        words.push(format!("{}-pieces", joint.pieces));
    }
    words.extend(
        joint
            .radius_mm
            .map(|radius| format!("radius-{}", length(radius, units))),
    );
    words.join("-")
}

/// `facets-48.3x2mm-on-60.3mm-90deg-scribe-16.1mm-saw-45-30deg`.
fn facets(joint: &Facets, units: Units) -> String {
    let cuts = FlatCuts::pair(joint.scribe_mm, joint.saw_front_deg, joint.saw_back_deg);
    sawn(&joint.joint, &cuts, units)
}

fn sawn(saddle: &Saddle, cuts: &FlatCuts, units: Units) -> String {
    let named = format!(
        "facets-{}-{}-{}",
        landing(&saddle.branch, &saddle.header, units),
        degrees(saddle.angle_deg),
        saw_settings(cuts, units)
    );
    let rounded = (cuts.rounded_mm > 0.0).then(|| format!("rounded-{}", length(cuts.rounded_mm, units)));
    std::iter::once(named)
        .chain(root_gap(saddle, units))
        .chain(rounded)
        .collect::<Vec<_>>()
        .join("-")
}

/// `scribe-16.1mm-saw-45-30deg`, `front-50deg-at-16.1mm-back-50deg-at-16.1mm-35deg-at-8mm`.
fn saw_settings(cuts: &FlatCuts, units: Units) -> String {
    let Some((scribe_mm, saws)) = cuts.as_pair() else {
        let cut = |cut: &SawCut| format!("{}-at-{}", degrees(cut.saw_deg), length(cut.scribe_mm, units));
        let side = |name: &str, cuts: &[SawCut]| {
            let cuts: Vec<String> = cuts.iter().map(cut).collect();
            (!cuts.is_empty()).then(|| format!("{name}-{}", cuts.join("-")))
        };
        let sides = [side("front", &cuts.front), side("back", &cuts.back)];
        return sides.into_iter().flatten().collect::<Vec<_>>().join("-");
    };
    let saws = match saws.map(|saw| number(saw, 2)) {
        [front, back] if front == back => front,
        [front, back] => format!("{front}-{back}"),
    };
    format!("scribe-{}-saw-{saws}deg", length(scribe_mm, units))
}

fn root_gap(joint: &Saddle, units: Units) -> Option<String> {
    (joint.root_gap_mm != 0.0).then(|| format!("root-gap-{}", length(joint.root_gap_mm, units)))
}

fn landing(branch: &Tube, header: &Header, units: Units) -> String {
    let sizes = std::iter::once(header.od_mm).chain(header.wall_mm);
    format!("{}-on-{}", tube(branch, units), across(sizes, units))
}

/// `48.3x2mm`, `rect-60x40x3mm-r5mm`.
fn tube(tube: &Tube, units: Units) -> String {
    match tube.section {
        Section::Round(round) => across([2.0 * round.radius, tube.wall_mm], units),
        Section::Rectangle(sides) => format!(
            "rect-{}-r{}",
            across([sides.width, sides.height, tube.wall_mm], units),
            length(sides.corner, units)
        ),
    }
}

fn across(sizes: impl IntoIterator<Item = f64>, units: Units) -> String {
    let sizes = sizes.into_iter().filter(|size| *size > 0.0);
    let numbers: Vec<String> = sizes.map(|size| bare(size, units)).collect();
    format!("{}{}", numbers.join("x"), units.name())
}

/// A name in plain letters.
fn plain(name: &str) -> String {
    let letter = |letter: char| if letter.is_alphanumeric() { letter } else { '-' };
    name.chars().map(letter).collect()
}

fn turned(degrees: f64) -> Option<String> {
    let side = if degrees < 0.0 { "-left" } else { "" };
    (degrees != 0.0).then(|| format!("turned-{}{side}", self::degrees(degrees.abs())))
}

fn degrees(degrees: f64) -> String {
    format!("{}deg", number(degrees, 2))
}

fn length(mm: f64, units: Units) -> String {
    format!("{}{}", bare(mm, units), units.name())
}

fn bare(mm: f64, units: Units) -> String {
    without_noughts(&units.decimal(mm))
}

fn number(value: f64, places: u32) -> String {
    without_noughts(&decimals(value, places))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn plain() -> Saddle {
        Saddle {
            branch: Tube::round(48.3, 2.0),
            header: Header {
                od_mm: 114.3,
                wall_mm: None,
                name: None,
            },
            turned_deg: 0.0,
            angle_deg: 90.0,
            offset_mm: 0.0,
            touch: Touch::Wall,
            join: Join::SetOn,
            clearance_mm: 0.0,
            root_gap_mm: 0.0,
        }
    }

    #[test]
    fn joints_that_differ_have_different_names_of_plain_letters() {
        let change = |how: &dyn Fn(&mut Saddle)| {
            let mut joint = plain();
            how(&mut joint);
            joint
        };
        let joints = [
            plain(),
            change(&|joint| joint.angle_deg = 60.0),
            change(&|joint| joint.angle_deg = 60.5),
            change(&|joint| joint.offset_mm = 5.0),
            change(&|joint| joint.offset_mm = -5.0),
            change(&|joint| joint.turned_deg = 30.0),
            change(&|joint| joint.turned_deg = -30.0),
            change(&|joint| joint.join = Join::SetIn),
            change(&|joint| joint.clearance_mm = 0.5),
            change(&|joint| joint.root_gap_mm = 1.5),
            change(&|joint| joint.touch = Touch::Outside),
            change(&|joint| joint.touch = Touch::Inside),
            change(&|joint| joint.branch = Tube::round(48.3, 2.6)),
            change(&|joint| joint.header.wall_mm = Some(3.6)),
        ];
        let names: BTreeSet<String> = joints.iter().map(|joint| saddle(joint, Units::Millimetres)).collect();
        assert_eq!(names.len(), joints.len(), "{names:?}");
        let in_inches = joints.iter().map(|joint| saddle(joint, Units::INCHES));
        for name in names.iter().cloned().chain(in_inches) {
            let is_plain =
                |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || ".-".contains(letter);
            assert!(name.chars().all(is_plain), "{name}");
        }
    }

    #[test]
    fn names_are_in_the_jobs_units() {
        let mut joint = plain();
        (joint.angle_deg, joint.offset_mm, joint.join) = (60.0, -25.4, Join::SetIn);
        assert_eq!(
            saddle(&joint, Units::Millimetres),
            "saddle-48.3x2mm-on-114.3mm-60deg-offset-25.4mm-left-set-in"
        );
        assert_eq!(
            saddle(&joint, Units::INCHES),
            "saddle-1.902x0.079in-on-4.5in-60deg-offset-1in-left-set-in"
        );
    }
}
