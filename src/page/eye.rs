//! The joint in space, seen from where one turned it.

use super::typed::Typed;
use crate::layout::{self, Eye, Look};
use crate::output::picture_svg;
use crate::plan::{Plan, Planned};

/// The name of the eye in a query: `eye=30,25`, its azimuth and its height in degrees. Not part of any joint.
const EYE: &str = "eye";

/// As large as the picture is drawn, in millimetres: its words are read at arm's length.
const SIZE_MM: (f64, f64) = (120.0, 90.0);

/// What was asked for as it stands in space, as SVG; `title` is read out in its place.
pub(super) fn picture(plan: &Plan, title: &str, typed: &Typed) -> String {
    let eye = eye_of(typed.text(EYE)).or_else(|| usual(plan));
    let looks = eye.map(|eye| Look {
        is_steady: true,
        ..Look::new(eye, SIZE_MM.0, SIZE_MM.1)
    });
    looks.map_or_else(String::new, |look| picture_svg(title, &layout::picture(plan, &look)))
}

fn eye_of(text: &str) -> Option<Eye> {
    let (azimuth, height) = text.split_once(',')?;
    Eye::new(azimuth.trim().parse().ok()?, height.trim().parse().ok()?)
}

/// From where the joint is best seen at first.
fn usual(plan: &Plan) -> Option<Eye> {
    match &plan.of {
        Planned::Miter(_) => Eye::new(-74.0, 24.0),
        Planned::Facets(_) => Eye::new(16.0, 18.0),
        Planned::Saddle(_) | Planned::Trial(_) | Planned::Job(_) => Eye::new(30.0, 25.0),
    }
}
