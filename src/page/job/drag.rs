//! A landing is taken hold of on the picture and dragged over its body's skin.

use glam::DVec3;
use kurbo::{Line, ParamCurve, ParamCurveNearest, Point, Vec2};

use super::form::below;
use super::land::Landing;
use crate::body::{Hit, Site};
use crate::job::edit::{Edit, Key, Tree, Way};
use crate::layout::Sights;
use crate::plan::JobPlan;

/// How often the way of a finger that has left the body is halved for the outline: until nothing is left of it.
const HALVINGS: u32 = 50;

/// Where the points of a tube's path that are measured on a body land.
pub(super) fn landings(tree: &Tree<'_>, job: &JobPlan, thing: &[Key]) -> Vec<(Way, Site)> {
    if thing.first() != Some(&"tubes".into()) {
        return Vec::new();
    }
    let path = below(thing, "path");
    let points = (0..tree.count(&path)).map(|index| below(&path, index));
    let landing = |at: Way| {
        let landing = Landing::of(tree, job, &at)?;
        let is_lifted = tree.has(&below(&at, "out"));
        let (along, round) = landing.place.filter(|_| landing.is_told[1] && !is_lifted)?;
        Some((at, landing.in_space().surface.site(along, round)))
    };
    points.filter_map(landing).collect()
}

impl Landing<'_> {
    /// The edits with which it lands so far from where it does on the picture, right and up in its millimetres: where one sees the
    /// body there, or at its outline nearby where one sees past it. What is dragged on the far side of the body stays there. None
    /// where it lands nowhere yet.
    pub(super) fn dragged(&self, tree: &Tree<'_>, at: &[Key], sights: &Sights, by: [f64; 2]) -> Option<Vec<Edit>> {
        let by = Vec2::new(by[0], by[1]);
        let (along, round) = self.place.filter(|_| by.is_finite())?;
        let surface = &self.in_space().surface;
        let site = surface.site(along, round);
        let is_behind = site.normal.dot(sights.eye()) < 0.0;
        let finger = sights.flat(site.point) + by;
        let seen = |place: Point| -> Option<DVec3> {
            let mut line = sights.line(place);
            if is_behind {
                line.direction = -line.direction;
            }
            let Hit { distance, .. } = surface.first_hit(&line)?;
            Some(line.at(distance))
        };
        let point = seen(finger).or_else(|| {
            let (mut on, mut past) = (self.axis_near(sights, finger), finger);
            for _ in 0..HALVINGS {
                let middle = on.midpoint(past);
                if seen(middle).is_some() {
                    on = middle;
                } else {
                    past = middle;
                }
            }
            seen(on)
        });
        let (along, round) = point.map_or((along, round), |point| surface.place_of(point));
        Some(self.elsewhere(tree, at, along, round))
    }

    /// Where the body's axis is on the picture, nearest to a place of it.
    fn axis_near(&self, sights: &Sights, place: Point) -> Point {
        let body = self.in_space();
        let at = |along: f64| sights.flat(body.placement.transform_point3(along * DVec3::Y));
        let [low, high] = body.reach_along().unwrap_or_default();
        let axis = Line::new(at(low), at(high));
        axis.eval(axis.nearest(place, 1e-9).t)
    }
}
