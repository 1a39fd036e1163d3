//! How much weld is laid: what a fillet is told by.

/// The widest angle between the skins at which common practice lays a fillet, in degrees (AWS D1.1 has 60 to 135, from
/// memory); past it the legs stay as they are there.
const WIDEST_FILLET_DEG: f64 = 135.0;

/// The size of every fillet, in millimetres above 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeldSize {
    /// From the root to either toe, along the skin.
    Leg(f64),
    /// From the root square to the face.
    Throat(f64),
}

impl WeldSize {
    /// The section of a fillet with equal legs and a flat face where the skins meet at `angle_deg`, in square millimetres:
    /// legs z give z^2 sin(angle) / 2, and a throat a is z cos(angle / 2), which gives a^2 tan(angle / 2) (plane geometry of
    /// the isosceles triangle; common practice). Nothing at 180 degrees and past it.
    pub fn section_mm2(self, angle_deg: f64) -> f64 {
        let leg = match self {
            Self::Leg(leg) => leg,
            Self::Throat(throat) => throat / (angle_deg.clamp(0.0, WIDEST_FILLET_DEG).to_radians() / 2.0).cos(),
        };
        (leg * leg * angle_deg.to_radians().sin() / 2.0).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fillet_is_a_triangle_of_its_legs_or_its_throat() {
        let near = |told: f64, expected: f64| assert!((told - expected).abs() < 1e-12, "{told} {expected}");
        near(WeldSize::Leg(6.0).section_mm2(90.0), 18.0);
        near(WeldSize::Throat(3.0).section_mm2(90.0), 9.0);
        // Half the base 3 sqrt(3) times the height 3, of an equilateral triangle 3 high from its corner.
        near(WeldSize::Leg(6.0).section_mm2(60.0), 9.0 * 3_f64.sqrt());
        near(
            WeldSize::Throat(3.0 * 3_f64.sqrt()).section_mm2(60.0),
            9.0 * 3_f64.sqrt(),
        );
        near(WeldSize::Throat(2.0).section_mm2(120.0), 4.0 * 3_f64.sqrt());
        // Past 135 degrees the legs stay: the throat of 135 degrees is cos 67.5 of a leg.
        let leg = 2.0 / 67.5_f64.to_radians().cos();
        near(WeldSize::Throat(2.0).section_mm2(150.0), leg * leg / 4.0);
        near(WeldSize::Throat(2.0).section_mm2(180.0), 0.0);
        near(WeldSize::Leg(2.0).section_mm2(270.0), 0.0);
    }
}
