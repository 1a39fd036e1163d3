//! `/miter`: a turn in two or more pieces.

use crate::job::raw;
use crate::job::resolve;
use crate::measure::show_angle;
use crate::page::gap::{Gap, Kind};
use crate::page::question::{Part, Question};
use crate::page::typed::Typed;
use crate::plan::{self, Plan, Planned};
use crate::problem::Problems;

/// A turn.
pub(in crate::page) const QUESTION: Question = Question {
    name: "miter",
    title: "A turn, mitered",
    sentence: &[
        Part::Words("A"),
        Part::Gap(Gap::needed(
            "--tube",
            "Tube",
            Kind::Tube,
            "size and wall, such as NPS 2 sch 40 or square 50mm x 3mm",
        )),
        Part::Words("tube turns by"),
        Part::Gap(Gap::needed(
            "--turn",
            "Turn",
            Kind::Angle,
            "degrees: 180 less what the tubes enclose",
        )),
        Part::Words("degrees in"),
        Part::Gap(Gap::new("--pieces", "Pieces", Kind::Text, "2 to 24")),
        Part::Words("pieces, with a radius of"),
        Part::Gap(Gap::new("--radius", "Radius", Kind::Length, "of the centre line's arc")),
        Part::Words("along the middle."),
    ],
    has_readings: false,
    more: &[Gap::new(
        "--turned",
        "Turned",
        Kind::Angle,
        "of tube with sides, about its own axis to the right",
    )],
    example: "tube=fence+1-7%2F8+x+0.065in&turn=45",
    tells: "Before you cut",
    plan,
    heard,
};

fn plan(typed: &Typed) -> Result<Plan, Problems> {
    let joint = raw::Miter {
        tube: typed.needed("--tube"),
        turn: typed.needed("--turn"),
        turned: typed.word("--turned"),
        pieces: typed.word("--pieces"),
        radius: typed.word("--radius"),
    };
    plan::miter(&resolve::miter(&joint, &typed.sheet())?)
}

fn heard(plan: &Plan) -> Vec<(&'static str, String)> {
    let (Planned::Miter(of), units) = (&plan.of, plan.sheet.units) else {
        return Vec::new();
    };
    let joint = &of.joint;
    let radius = joint
        .radius_mm
        .map_or_else(|| "of no matter for two pieces".to_owned(), |radius| units.show(radius));
    vec![
        ("--turn", show_angle(joint.turn_deg)),
        ("--pieces", joint.pieces.to_string()),
        ("--radius", radius),
        ("--turned", show_angle(joint.turned_deg)),
    ]
}
