//! A plate: a flat sheet with four straight edges.

use glam::{DAffine3, DVec2, DVec3};

use super::Solid;
use super::line::LineInSpace;
use super::sight::{CLEAR, Sight, shared};

/// A rectangle of sheet.
pub(in crate::layout) struct Plate {
    /// From its own coordinates to space: it is tubed on its +z side.
    pub placement: DAffine3,
    /// Its corners nearest to and farthest from its own -x and -y.
    pub corners: [DVec2; 2],
    /// Down from its outside, in millimetres; 0 where it isn't known.
    pub thickness: f64,
}

impl Plate {
    /// Its corner at this end along x and along y, and on this face.
    fn corner(&self, x: usize, y: usize, is_under: bool) -> DVec3 {
        let down = if is_under { -self.thickness } else { 0.0 };
        let own = DVec3::new(self.corners[x].x, self.corners[y].y, down);
        self.placement.transform_point3(own)
    }

    fn rim(&self, is_under: bool) -> impl Iterator<Item = LineInSpace<'_>> {
        let corners = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(x, y)| self.corner(x, y, is_under));
        (0..4).map(move |side| LineInSpace::straight(corners[side], corners[(side + 1) % 4]))
    }
}

impl Solid for Plate {
    fn lines(&self, _eye: DVec3) -> Vec<LineInSpace<'_>> {
        let mut lines: Vec<LineInSpace<'_>> = self.rim(false).collect();
        if self.thickness > 0.0 {
            lines.extend(self.rim(true));
            let corners = [(0, 0), (1, 0), (1, 1), (0, 1)];
            let upright = |(x, y)| LineInSpace::straight(self.corner(x, y, false), self.corner(x, y, true));
            lines.extend(corners.into_iter().map(upright));
        }
        lines
    }

    /// Between each pair of faces the line of sight has a stretch; what they have in common lies in the sheet.
    fn hides(&self, sight: &Sight) -> bool {
        let to_own = self.placement.inverse();
        let own = Sight {
            from: to_own.transform_point3(sight.from),
            eye: to_own.transform_vector3(sight.eye),
        };
        // Of one without thickness the place on it is told from one under it by the distance alone.
        let clear = CLEAR.min(0.25 * self.thickness);
        let [low, high] = self.corners;
        let faces = [
            own.between(DVec3::X, low.x + CLEAR, high.x - CLEAR),
            own.between(DVec3::Y, low.y + CLEAR, high.y - CLEAR),
            if self.thickness > 0.0 {
                own.between(DVec3::Z, clear - self.thickness, -clear)
            } else {
                own.between(DVec3::Z, -1e-6, 1e-6).filter(|_| own.from.z.abs() > CLEAR)
            },
        ];
        let within = shared(shared(faces[0], faces[1]), faces[2]);
        within.is_some_and(|within| within.1 > 0.0)
    }

    fn ball(&self) -> (DVec3, f64) {
        let [low, high] = self.corners;
        let middle = (0.5 * (low + high)).extend(-0.5 * self.thickness);
        let radius = (0.5 * (high - low)).extend(0.5 * self.thickness).length();
        (self.placement.transform_point3(middle), radius)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plate_hides_what_is_under_it_also_where_it_has_no_thickness() {
        for thickness in [0.0, 6.0] {
            let plate = Plate {
                placement: DAffine3::from_translation(DVec3::new(0.0, 0.0, 100.0)),
                corners: [DVec2::new(-50.0, -40.0), DVec2::new(50.0, 40.0)],
                thickness,
            };
            let hides = |x: f64, y: f64, z: f64| {
                plate.hides(&Sight {
                    from: DVec3::new(x, y, z),
                    eye: DVec3::Z,
                })
            };
            assert!(hides(0.0, 0.0, 0.0) && hides(49.0, -39.0, 90.0));
            assert!(!hides(0.0, 0.0, 100.0) && !hides(0.0, 0.0, 120.0) && !hides(51.0, 0.0, 0.0));
            assert_eq!(plate.lines(DVec3::Z).len(), if thickness > 0.0 { 12 } else { 4 });
        }
    }
}
