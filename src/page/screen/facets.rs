//! `/facets`: is the chop saw good enough?

use super::landing;
use crate::job::raw;
use crate::job::resolve;
use crate::measure::show_angle;
use crate::page::gap::{Gap, Kind};
use crate::page::question::{Part, Question};
use crate::page::typed::Typed;
use crate::plan::{self, Plan, Planned};
use crate::problem::Problems;

/// The chop-saw check.
pub(in crate::page) const QUESTION: Question = Question {
    name: "facets",
    title: "The chop-saw check",
    sentence: &[
        Part::Words("A"),
        Part::Gap(landing::BRANCH),
        Part::Words("tube lands on a"),
        Part::Gap(Gap::needed(
            "--header",
            "Header",
            Kind::Body,
            "what it lands on, such as fence 1-7/8",
        )),
        Part::Words("tube at"),
        Part::Gap(landing::ANGLE),
        Part::Words("degrees. I scribe a line"),
        Part::Gap(Gap::new(
            "--scribe",
            "Scribe",
            Kind::Scribe,
            "from the first cut: a length, or a share of the diameter such as 1/3od",
        )),
        Part::Words("from the first cut and saw the front at"),
        Part::Gap(Gap::new("--saw-front", "Saw front", Kind::Saw, "degrees off square")),
        Part::Words("and the back at"),
        Part::Gap(Gap::new("--saw-back", "Saw back", Kind::Saw, "degrees off square")),
        Part::Words("degrees off square."),
    ],
    has_readings: false,
    more: &[
        Gap::new("--saw", "Saw", Kind::Angle, "one setting for front and back"),
        Gap::new(
            "--saw-limit",
            "Saw limit",
            Kind::Angle,
            "the steepest that the saw can be set",
        ),
        Gap::new("--gap", "Gap limit", Kind::Length, "the widest gap that can be welded"),
        Gap::new(
            "--root-gap",
            "Root gap",
            Kind::Length,
            "left where the end would touch; the limit counts it in",
        ),
        Gap::new(
            "--round",
            "Rounded by",
            Kind::Length,
            "how far the corners are rounded off",
        ),
    ],
    example: "branch=fence+1-7%2F8+x+0.065in&header=fence+1-7%2F8",
    tells: "Before you cut",
    plan,
    heard,
};

fn plan(typed: &Typed) -> Result<Plan, Problems> {
    let joint = raw::Facets {
        branch: typed.needed("--branch"),
        header: typed.needed("--header"),
        angle: typed.word("--angle"),
        cuts: typed.flat_cuts(),
        saw_limit: typed.word("--saw-limit"),
        gap: typed.word("--gap"),
        root_gap: typed.word("--root-gap"),
        round: typed.word("--round"),
    };
    plan::facets(&resolve::facets(&joint, &typed.sheet())?)
}

fn heard(plan: &Plan) -> Vec<(&'static str, String)> {
    let (Planned::Facets(of), units) = (&plan.of, plan.sheet.units) else {
        return Vec::new();
    };
    let asked = &of.asked;
    vec![
        ("--angle", show_angle(asked.joint.angle_deg)),
        ("--scribe", units.show(asked.scribe_mm)),
        ("--saw-front", show_angle(asked.saw_front_deg)),
        ("--saw-back", show_angle(asked.saw_back_deg)),
        ("--saw-limit", show_angle(asked.saw_limit_deg)),
        ("--gap", units.show(asked.gap_limit_mm)),
        ("--root-gap", units.show_given(asked.joint.root_gap_mm)),
    ]
}
