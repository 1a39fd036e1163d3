//! Which part of the wall decides where the mark on the outer skin goes.

use kurbo::common::solve_itp;

use super::line::{WallHit, WallRays};
use crate::job::{End, Touch};
use crate::section::WallLine;

/// To where the deciding radius is found, in millimetres; t is flat there, so its own error is far smaller.
const RADIUS_PRECISION: f64 = 1e-8;

/// The hit that decides on a line through the wall, and the radius at which the wall makes it; `None` where
/// a part of the wall that could decide misses the body.
pub(super) fn deciding_hit(end: &End, wall: &WallLine) -> Option<(WallHit, f64)> {
    let rays = WallRays::new(&end.frame, wall);
    let at = |radius: f64| rays.meet(end.landing.as_ref(), radius);
    let (bore, skin) = (wall.inner, wall.outer);
    match end.touch {
        Touch::Outside => Some((at(skin)?, skin)),
        Touch::Inside => Some((at(bore)?, bore)),
        Touch::Wall => {
            let (inner, outer) = (at(bore)?, at(skin)?);
            // t is concave in the radius (`Body`), so its lean falls from bore to skin.
            if inner.radial_lean <= 0.0 {
                Some((inner, bore))
            } else if outer.radial_lean >= 0.0 {
                Some((outer, skin))
            } else {
                let falling = |radius: f64| at(radius).map_or(f64::NAN, |hit| -hit.radial_lean);
                let radius = solve_itp(
                    falling,
                    bore,
                    skin,
                    RADIUS_PRECISION,
                    1,
                    0.2 / (skin - bore),
                    -inner.radial_lean,
                    -outer.radial_lean,
                );
                Some((at(radius)?, radius))
            }
        }
    }
}
