//! Which part of the wall decides where the mark on the outer skin goes.

use super::line::{Lines, WallHit, WallRays};
use super::trace::Part;
use crate::job::{End, Touch};
use crate::section::WallLine;

/// To where t is found within the wall, in millimetres.
const PRECISION: f64 = 1e-10;

/// Steps after which the deciding radius is as good as it gets; bisection alone would take 40.
const STEPS: usize = 60;

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
                per_radian += wall.inner_rise * hit.radial_lean / hit.facing;
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
                    let (hit, radius) = highest_within(&rays, [(bore, at_bore), (skin, at_skin)])?;
                    decided(hit, radius, Part::Within, at_bore.min(-at_skin))
                }
            }
        })
    }
}

/// The largest t between two radii, given with their leans, one above and one below 0: where the lean is 0. By secants
/// through the last two places, or by halves where they lead out of what is left.
fn highest_within(rays: &WallRays<'_>, [mut low, mut high]: [(f64, f64); 2]) -> Option<(WallHit, f64)> {
    let (mut before, mut last) = (low, high);
    let mut found = None;
    for _ in 0..STEPS {
        let secant = last.0 - last.1 * (last.0 - before.0) / (last.1 - before.1);
        let is_inside = low.0 < secant && secant < high.0;
        let radius = if is_inside { secant } else { 0.5 * (low.0 + high.0) };
        let hit = rays.meet(radius)?;
        found = Some((hit, radius));
        (before, last) = (last, (radius, hit.radial_lean));
        let rises = hit.radial_lean > 0.0;
        *(if rises { &mut low } else { &mut high }) = last;
        // t is concave: it rises no farther than its slope would take it to the end of what is left.
        let left = if rises { high.0 - radius } else { radius - low.0 };
        if hit.radial_lean.abs() * left <= PRECISION * hit.facing {
            break;
        }
    }
    found
}
