//! A drum that has had a hard life: endless along its axis +y like a cylinder, its section any smooth convex curve.

use std::f64::consts::{FRAC_PI_2, PI, TAU};
use std::sync::Arc;

use glam::{DVec2, DVec3};
use kurbo::{Point, Vec2};

use super::contour::Contour;
use super::curve::{Spot, angle};
use super::{Body, Development, Grow, Hit, Line, Locate, Site, Unroll};
use crate::measure::SAME_MM;

/// A skin of a body whose section is a [`Contour`]: the outer one, or one that lies inside it by a wall.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRound {
    contour: Arc<Contour>,
    /// How far it lies inside the contour, in millimetres.
    inset: f64,
    /// The parameter of the line from which it is laid flat.
    from: f64,
    /// The parameter of the zero line.
    zero: f64,
}

impl OutOfRound {
    /// The skin that lies `inset` millimetres inside the contour, square to it everywhere; less than its tightest
    /// radius of curvature.
    pub fn new(contour: Arc<Contour>, inset: f64) -> Self {
        debug_assert!(inset < contour.tightest().0, "inset {inset}");
        let zero = contour.at_round(0.0);
        Self {
            from: zero,
            zero,
            inset,
            contour,
        }
    }

    /// The same skin, laid flat from the line `round` radians from the zero line.
    #[must_use]
    pub fn laid_from(self, round: f64) -> Self {
        Self {
            from: self.contour.at_round(round),
            ..self
        }
    }

    /// It reaches no farther than this from the axis, in millimetres.
    pub fn reach(&self) -> f64 {
        self.contour.reach() - self.inset
    }

    /// What it encloses, in square millimetres: a parallel curve's area (Steiner).
    pub fn area(&self) -> f64 {
        self.contour.area() - self.inset * self.contour.girth() + PI * self.inset * self.inset
    }

    fn skin_girth(&self) -> f64 {
        self.contour.girth() - TAU * self.inset
    }

    fn point(&self, spot: &Spot) -> DVec2 {
        spot.point - self.inset * spot.normal
    }

    /// Along the skin from one parameter to another, in millimetres.
    fn arc(&self, from: f64, to: f64) -> f64 {
        let turned = self.contour.turned(to) - self.contour.turned(from);
        self.contour.arc(to) - self.contour.arc(from) - self.inset * turned
    }

    /// The place under a point.
    fn under(&self, point: DVec3) -> (f64, Spot) {
        let parameter = self.contour.nearest(across(point));
        (parameter, self.contour.spot(parameter))
    }
}

/// What remains of a vector when one looks along the axis.
fn across(vector: DVec3) -> DVec2 {
    DVec2::new(vector.x, vector.z)
}

fn in_space(vector: DVec2, along: f64) -> DVec3 {
    DVec3::new(vector.x, along, vector.y)
}

impl Body for OutOfRound {
    /// Seen along the axis, the side that faces the line lies between the places where the skin runs along with it; on
    /// the way from one to the other it goes from one side of the line to the other, once.
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let (origin, direction) = (across(line.origin), across(line.direction));
        let speed = direction.length();
        if speed < f64::EPSILON {
            return None;
        }
        let heading = direction / speed;
        if self.inset == 0.0
            && let Some((distance, normal)) = self.contour.first_of_line(origin, heading)
        {
            return Some(Hit {
                distance: distance / speed,
                normal: in_space(normal, 0.0),
            });
        }
        let spot = self.contour.crossing((origin, heading), self.inset, SAME_MM)?;
        Some(Hit {
            distance: heading.dot(self.point(&spot) - origin) / speed,
            normal: in_space(spot.normal, 0.0),
        })
    }

    fn passes_by(&self, line: &Line) -> Option<f64> {
        let (origin, heading) = (across(line.origin), across(line.direction).try_normalize()?);
        let sides = [FRAC_PI_2, -FRAC_PI_2].map(|turn| {
            let spot = self.contour.spot(self.contour.at_normal(angle(heading) + turn));
            (origin - self.point(&spot)).dot(spot.normal)
        });
        Some(sides[0].max(sides[1]))
    }
}

impl Grow for OutOfRound {
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync> {
        Arc::new(Self::new(self.contour.clone(), self.inset - by))
    }

    fn deepest_mm(&self) -> f64 {
        self.contour.tightest().0 - self.inset
    }
}

impl Unroll for OutOfRound {
    /// u: true length along the section from the line it is laid flat from, the shorter way; v: along the axis.
    fn lay_flat(&self, point: DVec3) -> Point {
        let (parameter, _) = self.under(point);
        let girth = self.skin_girth();
        let arc = self.arc(self.from, parameter);
        Point::new(arc - (arc / girth).round() * girth, point.y)
    }

    fn lay_flat_vector(&self, point: DVec3, vector: DVec3) -> Vec2 {
        let (_, spot) = self.under(point);
        let height = (across(point) - spot.point).dot(spot.normal);
        // A step at a height is longer than the one on the skin under it, by the radii of curvature.
        let share = (1.0 - self.inset * spot.curvature) / (1.0 + height * spot.curvature);
        Vec2::new(across(vector).dot(spot.tangent) * share, vector.y)
    }

    fn carry(&self, point: DVec3, lift: f64) -> DVec3 {
        let (_, spot) = self.under(point);
        point + lift * in_space(spot.normal, 0.0)
    }

    fn development(&self) -> Development {
        Development::Strip {
            girth: self.skin_girth(),
        }
    }
}

impl Locate for OutOfRound {
    /// `round` is the angle about the axis on the outer skin.
    fn site(&self, along: f64, round: f64) -> Site {
        let spot = self.contour.spot(self.contour.at_round(round));
        Site {
            point: in_space(self.point(&spot), along),
            normal: in_space(spot.normal, 0.0),
        }
    }

    fn angle_of(&self, _along: f64, arc: f64) -> f64 {
        // Laid on the outer skin, on which the tape lies.
        let parameter = self.contour.at_arc(self.contour.arc(self.zero) + arc);
        self.contour.round_of(parameter)
    }

    fn arc_of(&self, _along: f64, round: f64) -> f64 {
        self.contour.arc(self.contour.at_round(round)) - self.contour.arc(self.zero)
    }

    fn girth(&self, _along: f64) -> Option<f64> {
        Some(self.contour.girth())
    }

    fn place_of(&self, point: DVec3) -> (f64, f64) {
        let (_, spot) = self.under(point);
        (point.y, angle(spot.point))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the table and steps, as the skins of any other section are met.
    fn by_steps(skin: &OutOfRound, line: &Line) -> Option<f64> {
        let (origin, direction) = (across(line.origin), across(line.direction));
        let heading = direction.normalize();
        let spot = skin.contour.crossing((origin, heading), 0.0, SAME_MM)?;
        Some(heading.dot(spot.point - origin) / direction.length())
    }

    #[test]
    fn a_line_meets_an_oval_where_steps_over_its_table_lead() {
        let oval = OutOfRound::new(Arc::new(Contour::ellipse([592.0, 555.0], 0.4)), 0.0);
        let mut met = 0;
        for step in 0..2000 {
            let turn = f64::from(step) * 0.317;
            let aside = 310.0 * (f64::from(step) * 0.713).sin();
            let way = DVec3::new(turn.sin(), 0.3, turn.cos()).normalize();
            let line = Line {
                origin: DVec3::new(aside * turn.cos(), 12.0, -aside * turn.sin()) - 500.0 * way,
                direction: way,
            };
            let hit = oval.first_hit(&line);
            match (hit, by_steps(&oval, &line)) {
                (Some(hit), Some(distance)) => {
                    assert!((hit.distance - distance).abs() < 1e-8, "{line:?}: {hit:?}, {distance}");
                    let site = oval.site(0.0, angle(across(line.at(hit.distance))));
                    assert!(site.normal.distance(hit.normal) < 1e-9, "{hit:?}, {site:?}");
                    met += 1;
                }
                (None, None) => {}
                both => panic!("{line:?}: {both:?}"),
            }
        }
        assert!((1500..2000).contains(&met), "{met}");
    }
}
