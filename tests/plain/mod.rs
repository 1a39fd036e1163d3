//! Plain joints in millimetres and degrees, as handbooks have them.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

use girthline::job::{Header, Join, Miter, Saddle, Touch, Tube};
use girthline::solver::cut_at;

/// A thin branch, outer skin to outer skin, square and in the middle of its header: diameter and wall, and diameter.
pub fn saddle(branch: (f64, f64), header_od: f64) -> Saddle {
    Saddle {
        branch: Tube::round(branch.0, branch.1),
        header: Header {
            od_mm: header_od,
            wall_mm: None,
            name: None,
        },
        turned_deg: 0.0,
        angle_deg: 90.0,
        offset_mm: 0.0,
        touch: Touch::Outside,
        join: Join::SetOn,
        clearance_mm: 0.0,
        root_gap_mm: 0.0,
    }
}

/// A branch at an angle and aside, its whole wall touching: diameter and wall, and the header's diameter.
pub fn leaning(branch: (f64, f64), header_od: f64, angle_deg: f64, offset_mm: f64) -> Saddle {
    Saddle {
        angle_deg,
        offset_mm,
        touch: Touch::Wall,
        ..saddle(branch, header_od)
    }
}

/// The height of the cut, NaN where the wall misses.
pub fn t(saddle: &Saddle, azimuth_deg: f64) -> f64 {
    cut_at(&saddle.end(), azimuth_deg.to_radians()).map_or(f64::NAN, |cut| cut.t)
}

/// A turn of tube with a wall of 2 mm.
pub fn miter(od_mm: f64, turn_deg: f64, pieces: usize, radius_mm: Option<f64>) -> Miter {
    Miter {
        tube: Tube::round(od_mm, 2.0),
        turn_deg,
        turned_deg: 0.0,
        pieces,
        radius_mm,
    }
}
