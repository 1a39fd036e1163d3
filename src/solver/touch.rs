//! Which part of the wall decides where the mark on the outer skin goes.

use super::extrema::peak_by_secants;
use super::line::{Lines, WallHit, WallRays};
use super::trace::Part;
use crate::body::Body;
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
    /// The least such cosine of all the parts of the wall that were asked for: the nearer to 0, the nearer to a miss.
    pub(super) grazing: f64,
}

impl<'a> Deciding<'a> {
    pub(super) fn of(end: &'a End) -> Self {
        Self::to(end, end.landing.as_ref())
    }

    /// The same as if the end were cut to this body.
    pub(super) fn to(end: &End, body: &'a dyn Body) -> Self {
        Self {
            lines: Lines::at_the_body(&end.frame, body),
            touch: end.touch,
        }
    }

    /// How far outside the body the farthest part of the wall that is asked for passes, in millimetres, where that is known.
    pub(super) fn passes_by(&self, wall: &WallLine) -> Option<f64> {
        let rays = self.lines.through(wall);
        let past = |radius: f64| rays.passes_by(radius);
        match self.touch {
            Touch::Outside => past(wall.outer),
            Touch::Inside => past(wall.inner),
            Touch::Wall => Some(past(wall.outer)?.max(past(wall.inner)?)),
        }
    }

    /// What decides on a line through the wall; `None` where a part of the wall that could decide misses the body.
    pub(super) fn on(&self, wall: &WallLine) -> Option<Decided> {
        let rays = self.lines.through(wall);
        let (bore, skin) = (wall.inner, wall.outer);
        let decided = |hit: WallHit, radius: f64, part: Part, margin: f64, grazing: f64| {
            Self::decided(wall, &rays, hit, radius, part, margin, grazing)
        };
        let only = |hit: WallHit, radius: f64, part: Part| decided(hit, radius, part, f64::INFINITY, hit.facing);
        Some(match self.touch {
            Touch::Outside => only(rays.meet(skin)?, skin, Part::Outer),
            Touch::Inside => only(rays.meet(bore)?, bore, Part::Inner),
            Touch::Wall => {
                let (inner, outer) = (rays.meet(bore)?, rays.meet(skin)?);
                let grazing = inner.facing.min(outer.facing);
                let (at_bore, at_skin) = (inner.radial_lean, outer.radial_lean);
                // t is concave in the radius (`Body`), so its lean falls from bore to skin.
                if at_bore <= 0.0 {
                    decided(inner, bore, Part::Inner, -at_bore, grazing)
                } else if at_skin >= 0.0 {
                    decided(outer, skin, Part::Outer, at_skin, grazing)
                } else {
                    let ends = [(bore, inner.per_radius()), (skin, outer.per_radius())];
                    let slope_at = |radius: f64| rays.meet(radius).map(|hit| (hit.per_radius(), hit));
                    let (radius, hit) = peak_by_secants(ends, PRECISION, slope_at)?;
                    decided(hit, radius, Part::Within, at_bore.min(-at_skin), grazing)
                }
            }
        })
    }

    /// From which radius to which the wall could decide.
    pub(super) fn stretch(&self, wall: &WallLine) -> [f64; 2] {
        match self.touch {
            Touch::Outside => [wall.outer; 2],
            Touch::Inside => [wall.inner; 2],
            Touch::Wall => [wall.inner, wall.outer],
        }
    }

    /// What decides of the part of a line through the wall that meets the body, and from which radius to which that part is;
    /// `None` where none of it does.
    pub(super) fn partly_on(&self, wall: &WallLine) -> Option<(Decided, [f64; 2])> {
        if let Some(decided) = self.on(wall) {
            return Some((decided, self.stretch(wall)));
        }
        if self.touch != Touch::Wall {
            return None;
        }
        let rays = self.lines.through(wall);
        let [low, high] = met_stretch(|radius| rays.meet(radius).is_some(), [wall.inner, wall.outer])?;
        let (inner, outer) = (rays.meet(low)?, rays.meet(high)?);
        let part_at = |radius: f64| {
            if radius == wall.inner {
                Part::Inner
            } else if radius == wall.outer {
                Part::Outer
            } else {
                Part::Within
            }
        };
        let grazing = inner.facing.min(outer.facing);
        let decided = |hit, radius| Self::decided(wall, &rays, hit, radius, part_at(radius), f64::INFINITY, grazing);
        let decided = if inner.radial_lean <= 0.0 {
            decided(inner, low)
        } else if outer.radial_lean >= 0.0 {
            decided(outer, high)
        } else {
            let ends = [(low, inner.per_radius()), (high, outer.per_radius())];
            let slope_at = |radius: f64| rays.meet(radius).map(|hit| (hit.per_radius(), hit));
            let (radius, hit) = peak_by_secants(ends, PRECISION, slope_at)?;
            decided(hit, radius)
        };
        Some((decided, [low, high]))
    }

    fn decided(
        wall: &WallLine,
        rays: &WallRays<'_>,
        hit: WallHit,
        radius: f64,
        part: Part,
        margin: f64,
        grazing: f64,
    ) -> Decided {
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
            grazing,
        }
    }
}

/// Places through the wall at which a part that meets the body is looked for, where neither skin does.
const PLACES: usize = 16;

/// Between which radii the lines of a wall meet a convex body: one stretch, as where it begins and ends is found by halves.
fn met_stretch(is_met: impl Fn(f64) -> bool, [inner, outer]: [f64; 2]) -> Option<[f64; 2]> {
    let at = |place: usize| inner + (outer - inner) * place as f64 / PLACES as f64;
    let known = (0..=PLACES).map(at).find(|radius| is_met(*radius))?;
    let last_met = (0..=PLACES).rev().map(at).find(|radius| is_met(*radius))?;
    let edge = |mut met: f64, mut missed: f64| {
        if is_met(missed) {
            return missed;
        }
        for _ in 0..60 {
            let middle = 0.5 * (met + missed);
            if is_met(middle) { met = middle } else { missed = middle }
        }
        met
    };
    Some([edge(known, inner), edge(last_met, outer)])
}
