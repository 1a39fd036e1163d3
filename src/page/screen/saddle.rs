//! `/saddle`: a branch on a header.

use super::landing;
use crate::job::raw;
use crate::job::resolve;
use crate::measure::show_angle;
use crate::page::gap::{Gap, Kind};
use crate::page::question::{Part, Question};
use crate::page::typed::Typed;
use crate::plan::{self, Plan, Planned};
use crate::problem::Problems;

/// A branch on a header.
pub(in crate::page) const QUESTION: Question = Question {
    name: "saddle",
    title: "A branch on a header",
    sentence: &[
        Part::Words("A"),
        Part::Gap(landing::BRANCH),
        Part::Words("tube lands on a"),
        Part::Gap(Gap::needed(
            "--header",
            "Header",
            Kind::Body,
            "what it lands on, such as drum 55 gal or girth 71in",
        )),
        Part::Words("drum or tube, leaning at"),
        Part::Gap(landing::ANGLE),
        Part::Words("degrees, passing its middle by"),
        Part::Gap(landing::OFFSET),
    ],
    has_readings: false,
    more: &[
        landing::JOIN,
        Gap::new("--clearance", "Clearance", Kind::Length, "round a tube that is set in"),
        Gap::new(
            "--root-gap",
            "Root gap",
            Kind::Length,
            "left between a set-on end and the header",
        ),
        landing::TOUCH,
        landing::TURNED,
        Gap::new(
            "--weld-leg",
            "Weld leg",
            Kind::Length,
            "of the fillet: tells its metal and wire",
        ),
        Gap::new(
            "--weld-throat",
            "Weld throat",
            Kind::Length,
            "the same by the fillet's throat",
        ),
    ],
    example: "branch=fence+1-7%2F8+x+0.065in&header=girth+71in&angle=60",
    tells: "Before you cut",
    plan,
    heard,
};

fn plan(typed: &Typed) -> Result<Plan, Problems> {
    let sheet = raw::Sheet {
        weld_leg: typed.word("--weld-leg"),
        weld_throat: typed.word("--weld-throat"),
        ..typed.sheet()
    };
    plan::saddle(&resolve::saddle(&typed.saddle(), &sheet)?)
}

fn heard(plan: &Plan) -> Vec<(&'static str, String)> {
    let (Planned::Saddle(of), units) = (&plan.of, plan.sheet.units) else {
        return Vec::new();
    };
    let joint = &of.joint;
    vec![
        ("--angle", show_angle(joint.angle_deg)),
        ("--offset", units.show(joint.offset_mm)),
        ("--clearance", units.show_given(joint.clearance_mm)),
        ("--root-gap", units.show_given(joint.root_gap_mm)),
        ("--turned", show_angle(joint.turned_deg)),
    ]
}
