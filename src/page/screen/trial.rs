//! `/trial`: at the trial fit.

use super::landing;
use crate::job::{TrialOf, raw, resolve};
use crate::measure::show_angle;
use crate::page::gap::{Gap, Kind};
use crate::page::question::{Part, Question};
use crate::page::readings;
use crate::page::typed::Typed;
use crate::plan::{self, Plan};
use crate::problem::Problems;

/// How well gaps were read.
pub(super) const READ_WITHIN: Gap = Gap::new(
    "--read-within",
    "Read within",
    Kind::Length,
    "how well: 0.2 mm with a feeler or a wedge",
);

/// What they may be after grinding.
pub(super) const GAP_LIMIT: Gap = Gap::new(
    "--gap",
    "Gap limit",
    Kind::Length,
    "what can be welded: 0.8 mm is usual",
);

/// The trial fit of a branch on a header.
pub(in crate::page) const QUESTION: Question = Question {
    name: "trial",
    title: "At the trial fit",
    sentence: &[
        Part::Words("A"),
        Part::Gap(landing::BRANCH),
        Part::Words("tube was cut for a"),
        Part::Gap(Gap::needed(
            "--header",
            "Header",
            Kind::Body,
            "what it was to land on, such as drum 55 gal or girth 71in",
        )),
        Part::Words("drum or tube, leaning at"),
        Part::Gap(landing::ANGLE),
        Part::Words("degrees, passing its middle by"),
        Part::Gap(landing::OFFSET),
        Part::Words("The gaps are read within"),
        Part::Gap(READ_WITHIN),
        Part::Words("and may be no wider than"),
        Part::Gap(GAP_LIMIT),
    ],
    has_readings: true,
    more: &[
        landing::JOIN,
        Gap::new(
            "--root-gap",
            "Root gap",
            Kind::Length,
            "that a set-on end was cut to leave",
        ),
        landing::TOUCH,
        landing::TURNED,
        Gap::new(
            "--scribe",
            "Scribe",
            Kind::Length,
            "of an end that was sawn flat, from the first cut: 16mm or 1/3od",
        ),
        Gap::new(
            "--saw",
            "Saw",
            Kind::Angle,
            "one setting for front and back, off square",
        ),
        Gap::new(
            "--saw-front",
            "Saw front",
            Kind::Text,
            "off square, or cut by cut: 50 at 16mm, 35 at 8mm",
        ),
        Gap::new(
            "--saw-back",
            "Saw back",
            Kind::Text,
            "the same of the back; none where it has no cut",
        ),
        Gap::new(
            "--round",
            "Rounded by",
            Kind::Length,
            "how far the corners of flat cuts were rounded off",
        ),
    ],
    example: "branch=48.3mm+x+2mm&header=88.9mm&angle=60&gaps=front+0,45deg+0.3,right+1.2,135deg+2.1,back+2.6,225deg+2,left+1.1,315deg+0.3",
    tells: "What is off, and what to grind",
    plan,
    heard,
};

fn plan(typed: &Typed) -> Result<Plan, Problems> {
    let trial = raw::Trial {
        // A hole's clearance is no matter of its tube's end.
        joint: raw::Saddle {
            clearance: None,
            ..typed.saddle()
        },
        cuts: typed.flat_cuts(),
        round: typed.word("--round"),
        read: raw::Readings {
            gaps: typed.needed("--gaps"),
            apart: readings::apart(typed),
            read_within: typed.word("--read-within"),
            gap: typed.word("--gap"),
        },
    };
    plan::trial(&resolve::trial(&trial, &typed.sheet())?)
}

fn heard(plan: &Plan) -> Vec<(&'static str, String)> {
    let (Some(of), units) = (plan.trial(), plan.sheet.units) else {
        return Vec::new();
    };
    let asked = &of.asked;
    let mut heard = readings::heard(&asked.readings, units);
    heard.extend([
        ("--read-within", units.show(asked.read_within_mm)),
        ("--gap", units.show(asked.gap_limit_mm)),
    ]);
    if let TrialOf::Joint(joint) = &asked.of {
        heard.extend([
            ("--angle", show_angle(joint.angle_deg)),
            ("--offset", units.show(joint.offset_mm)),
            ("--root-gap", units.show_given(joint.root_gap_mm)),
            ("--turned", show_angle(joint.turned_deg)),
        ]);
    }
    if let Some(flat) = &asked.offered.flat {
        if let Some((scribe_mm, saws)) = flat.as_pair() {
            let [front, back] = saws.map(show_angle);
            heard.extend([
                ("--scribe", units.show(scribe_mm)),
                ("--saw-front", front),
                ("--saw-back", back),
            ]);
        }
        heard.push(("--round", units.show(flat.rounded_mm)));
    }
    heard
}
