//! Which part of the wall decides where the mark on the outer skin goes.

use super::line::{Lines, WallHit, WallRays};
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

impl<'a> Deciding<'a> {
    pub(super) fn of(end: &'a End) -> Self {
        Self {
            lines: Lines::at_the_body(&end.frame, end.landing.as_ref()),
            touch: end.touch,
        }
    }

    /// The hit that decides on a line through the wall, and the radius at which the wall makes it; `None` where
    /// a part of the wall that could decide misses the body.
    pub(super) fn hit(&self, wall: &WallLine) -> Option<(WallHit, f64)> {
        let rays = self.lines.through(wall);
        let (bore, skin) = (wall.inner, wall.outer);
        match self.touch {
            Touch::Outside => Some((rays.meet(skin)?, skin)),
            Touch::Inside => Some((rays.meet(bore)?, bore)),
            Touch::Wall => {
                let (inner, outer) = (rays.meet(bore)?, rays.meet(skin)?);
                // t is concave in the radius (`Body`), so its lean falls from bore to skin.
                if inner.radial_lean <= 0.0 {
                    Some((inner, bore))
                } else if outer.radial_lean >= 0.0 {
                    Some((outer, skin))
                } else {
                    highest_within(&rays, [(bore, inner.radial_lean), (skin, outer.radial_lean)])
                }
            }
        }
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
