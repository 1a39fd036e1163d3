//! Where the sliders of the chop-saw check stand, and where they stand best; where the limit of a gap stands on its chart.

use serde::Serialize;

use super::typed::name;
use crate::plan::{FacetsPlan, Plan, Planned, Recipe};

/// A gap that one can drag. Saws in degrees off square, the scribe as a share of the diameter, the gap's limit in
/// millimetres.
#[derive(Debug, Serialize)]
pub(super) struct Slider {
    name: &'static str,
    now: f64,
    best: Option<f64>,
}

/// Those of the chop-saw check, and the limit of a trial fit.
pub(super) fn sliders(plan: &Plan) -> Vec<Slider> {
    match &plan.of {
        Planned::Facets(of) => of_cuts(of),
        Planned::Trial(of) => vec![one("--gap", of.asked.gap_limit_mm, None)],
        Planned::Saddle(_) | Planned::Miter(_) | Planned::Job(_) => Vec::new(),
    }
}

fn one(flag: &'static str, now: f64, best: Option<f64>) -> Slider {
    Slider {
        name: name(flag),
        now,
        best,
    }
}

fn of_cuts(of: &FacetsPlan) -> Vec<Slider> {
    let asked = &of.asked;
    let Recipe { front, back } = &of.study.best.recipe;
    let (front, back) = (front.first().copied(), back.first().copied());
    let mut all = vec![
        one("--saw-front", asked.saw_front_deg, front.map(|cut| cut.1)),
        one("--saw-back", asked.saw_back_deg, back.map(|cut| cut.1)),
        one("--gap", asked.gap_limit_mm, None),
    ];
    if let Some(od) = asked.joint.branch.section.od_mm() {
        all.push(one("--scribe", asked.scribe_mm / od, front.map(|cut| cut.0 / od)));
    }
    all
}
