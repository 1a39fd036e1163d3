//! From where a picture is seen, and what that is called.

use glam::DVec3;
use kurbo::Point;

/// Directions nearer than this to one that has a name are called by it, in degrees.
const NEAR_DEG: f64 = 7.5;
/// Nobody tells straight above, or level, from what is this near to it, in degrees.
const STRAIGHT_DEG: f64 = 0.5;

/// The direction from a scene to whoever looks at it, who is so far away that nothing looks smaller for being farther off.
///
/// Up on the picture is up in the scene. From straight above it is away from the side that the azimuth names, as for somebody
/// who stands there and bends over the scene; from straight below towards that side. So a picture that is turned never
/// jumps. A height past straight above goes on down the other side, head first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    azimuth_deg: f64,
    height_deg: f64,
}

/// As jobs are seen on their cover: from above, between +x and +y.
impl Default for Eye {
    fn default() -> Self {
        Self::at(30.0, 25.0)
    }
}

impl Eye {
    /// `azimuth_deg` from +x towards +y, as seen from above; `height_deg` over the level, 90 straight above, below 0 from
    /// below. Any values; `None` where one isn't finite.
    pub fn new(azimuth_deg: f64, height_deg: f64) -> Option<Self> {
        (azimuth_deg.is_finite() && height_deg.is_finite()).then(|| Self::at(azimuth_deg, height_deg))
    }

    /// The same of figures that are known to be finite.
    pub(in crate::layout) const fn at(azimuth_deg: f64, height_deg: f64) -> Self {
        Self {
            azimuth_deg,
            height_deg,
        }
    }

    /// From what height it is seen: `seen from above`; none from straight above or below, or upside down.
    pub(in crate::layout) fn height_words(self) -> Option<&'static str> {
        let View { eye, up, .. } = View::from(self);
        let height = eye.z.clamp(-1.0, 1.0).asin().to_degrees();
        (height.abs() <= 90.0 - STRAIGHT_DEG && up.z >= 0.0).then(|| from_height(height))
    }

    /// From where it is seen in words: `seen from above, between +x and +y`. `sides` is what +x, +y, -x and -y are called.
    pub fn words(self, sides: [&str; 4]) -> String {
        let View { eye, up, .. } = View::from(self);
        let side = |way: DVec3| side(way, sides);
        let height = eye.z.clamp(-1.0, 1.0).asin().to_degrees();
        if height.abs() > 90.0 - STRAIGHT_DEG {
            let from = if height > 0.0 { "above" } else { "below" };
            return format!("seen from straight {from}, {} at the top", side(up));
        }
        let from = from_height(height);
        let place = side(eye);
        let place = if place.starts_with("between") {
            place
        } else {
            format!("from {place}")
        };
        let turned = if up.z < 0.0 { ", upside down" } else { "" };
        format!("{from}, {place}{turned}")
    }
}

/// From what height, where that is neither straight above nor straight below.
fn from_height(height_deg: f64) -> &'static str {
    match height_deg {
        level if level.abs() < STRAIGHT_DEG => "seen level",
        above if above > 0.0 => "seen from above",
        _ => "seen from below",
    }
}

/// What a level direction is called.
fn side(way: DVec3, sides: [&str; 4]) -> String {
    let quarters = way.y.atan2(way.x).to_degrees().rem_euclid(360.0) / 90.0;
    let nearest = quarters.round();
    if (quarters - nearest).abs() * 90.0 < NEAR_DEG {
        return sides[nearest as usize % 4].to_owned();
    }
    let before = quarters.floor() as usize;
    format!("between {} and {}", sides[before % 4], sides[(before + 1) % 4])
}

/// Where things of space are on a picture: unit vectors, square to each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct View {
    /// To the eye.
    pub(super) eye: DVec3,
    pub(super) right: DVec3,
    pub(super) up: DVec3,
}

impl From<Eye> for View {
    fn from(eye: Eye) -> Self {
        let (sin, cos) = sin_cos_deg(eye.azimuth_deg);
        let (rise, level) = sin_cos_deg(eye.height_deg);
        let right = DVec3::new(-sin, cos, 0.0);
        let eye = DVec3::new(level * cos, level * sin, rise);
        Self {
            eye,
            right,
            up: eye.cross(right),
        }
    }
}

impl View {
    /// Right and up, in millimetres of the scene.
    #[inline]
    pub(super) fn flat(&self, point: DVec3) -> Point {
        Point::new(point.dot(self.right), point.dot(self.up))
    }
}

/// Exact at quarter turns, so that what is seen along an axis is seen exactly along it.
fn sin_cos_deg(angle: f64) -> (f64, f64) {
    let angle = angle.rem_euclid(360.0);
    let quarter = (angle / 90.0).round();
    let (sin, cos) = (angle - 90.0 * quarter).to_radians().sin_cos();
    match quarter as u8 % 4 {
        0 => (sin, cos),
        1 => (cos, -sin),
        2 => (-sin, -cos),
        _ => (-cos, sin),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDES: [&str; 4] = ["+x", "+y", "-x", "-y"];

    fn words(azimuth: f64, height: f64) -> String {
        Eye::new(azimuth, height).expect("finite").words(SIDES)
    }

    #[test]
    fn a_view_says_from_where_it_is_seen() {
        assert_eq!(words(30.0, 25.0), "seen from above, between +x and +y");
        assert_eq!(words(-4.0, -25.0), "seen from below, from +x");
        assert_eq!(words(270.0, 0.0), "seen level, from -y");
        assert_eq!(words(330.0, 0.2), "seen level, between -y and +x");
        assert_eq!(words(200.0, 100.0), "seen from above, between +x and +y, upside down");
    }

    #[test]
    fn straight_above_up_is_away_from_where_one_stands() {
        assert_eq!(words(270.0, 90.0), "seen from straight above, +y at the top");
        assert_eq!(words(0.0, 90.0), "seen from straight above, -x at the top");
        assert_eq!(words(270.0, -90.0), "seen from straight below, -y at the top");
        let view = View::from(Eye::at(270.0, 90.0));
        assert_eq!((view.eye, view.right, view.up), (DVec3::Z, DVec3::X, DVec3::Y));
    }

    #[test]
    fn a_view_never_jumps_and_is_never_mirrored() {
        let steps = (0..=7200).map(|step| View::from(Eye::at(40.0, 0.1 * f64::from(step) - 360.0)));
        let views: Vec<View> = steps.collect();
        for pair in views.windows(2) {
            assert!((pair[0].up - pair[1].up).length() < 2e-3 && (pair[0].eye - pair[1].eye).length() < 2e-3);
            assert!((pair[0].right.cross(pair[0].up) - pair[0].eye).length() < 1e-12);
        }
    }

    #[test]
    fn figures_that_are_none_give_no_eye() {
        assert_eq!(Eye::new(f64::NAN, 0.0), None);
        assert_eq!(Eye::new(0.0, f64::INFINITY), None);
    }
}
