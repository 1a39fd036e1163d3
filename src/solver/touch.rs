//! Which part of the wall decides where the mark on the outer skin goes.

use super::extreme::peak_by_secants;
use super::line::{Lines, WallHit};
use super::trace::Part;
use crate::job::{End, Touch};
use crate::section::WallLine;

/// To where t is found within the wall, in millimetres.
const PRECISION: f64 = 1e-10;

/// A tube's end, asked line by line which part of its wall decides.
pub(super) struct Deciding<'a> {
    lines: Lines<'a>,
    touch: Touch,
}

/// The place of the wall that decides on one of its lines.
pub(super) struct Decided {
    /// Along the tube from the work point, in millimetres, positive away from the body.
    pub(super) t: f64,
    /// By how much t grows per radian of azimuth, where there is no corner.
    pub(super) per_radian: f64,
    /// At which the wall makes it, in millimetres.
    pub(super) radius: f64,
    /// Which part of the wall that is.
    pub(super) part: Part,
    /// How near another part is to deciding, as in [`super::trace::Place`].
    pub(super) margin: f64,
    /// The (never negative) cosine between the line and the body's normal.
    pub(super) facing: f64,
}

impl<'a> Deciding<'a> {
    pub(super) fn of(end: &'a End) -> Self {
        Self {
            lines: Lines::at_the_body(&end.frame, end.landing.as_ref()),
            touch: end.touch,
        }
    }

    /// What decides on a line through the wall; `None` where a part of the wall that could decide misses the body.
    pub(super) fn on(&self, wall: &WallLine) -> Option<Decided> {
        let rays = self.lines.through(wall);
        let (bore, skin) = (wall.inner, wall.outer);
        let decided = |hit: WallHit, radius: f64, part: Part, margin: f64| {
            let mut per_radian = wall.pace(radius) * rays.per_girth(&hit);
            if part == Part::Inner && wall.inner_rise != 0.0 {
                per_radian += wall.inner_rise * hit.per_radius();
            }
            Decided {
                t: hit.t,
                per_radian,
                radius,
                part,
                margin,
                facing: hit.facing,
            }
        };
        Some(match self.touch {
            Touch::Outside => decided(rays.meet(skin)?, skin, Part::Outer, f64::INFINITY),
            Touch::Inside => decided(rays.meet(bore)?, bore, Part::Inner, f64::INFINITY),
            Touch::Wall => {
                let (inner, outer) = (rays.meet(bore)?, rays.meet(skin)?);
                let (at_bore, at_skin) = (inner.radial_lean, outer.radial_lean);
                // t is concave in the radius (`Body`), so its lean falls from bore to skin.
                if at_bore <= 0.0 {
                    decided(inner, bore, Part::Inner, -at_bore)
                } else if at_skin >= 0.0 {
                    decided(outer, skin, Part::Outer, at_skin)
                } else {
                    let ends = [(bore, inner.per_radius()), (skin, outer.per_radius())];
                    let slope_at = |radius: f64| rays.meet(radius).map(|hit| (hit.per_radius(), hit));
                    let (radius, hit) = peak_by_secants(ends, PRECISION, slope_at)?;
                    decided(hit, radius, Part::Within, at_bore.min(-at_skin))
                }
            }
        })
    }
}
