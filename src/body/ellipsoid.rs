//! A dished head that is half an ellipsoid, with a straight flange.

use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;

use glam::{DVec2, DVec3};

use super::curve::integral;
use super::dished::Dished;
use super::root::rising_root;
use super::{Body, Grow, Hit, Line};
use crate::measure::SAME_MM;

/// Panels of equal angles in which the arc from apex to rim is summed: to a millionth of a millimetre on the largest and
/// flattest head.
const PANELS: usize = 24;
const PANEL: f64 = FRAC_PI_2 / PANELS as f64;

/// About the y axis: the rim of its flange at y = 0, its apex up; below the rim the flange goes on without end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipsoid {
    radius: f64,
    depth: f64,
    flange: f64,
    /// Over the skin from the apex to the end of each panel, in millimetres: summed once.
    arcs: [f64; PANELS],
}

impl Ellipsoid {
    /// All in millimetres: the outside radius, how deep it is from where the flange begins to bend to the apex, both above
    /// 0, and how high the flange is, 0 or more.
    pub fn new(radius: f64, depth: f64, flange: f64) -> Self {
        debug_assert!(radius > 0.0 && depth > 0.0 && flange >= 0.0);
        let mut head = Self {
            radius,
            depth,
            flange,
            arcs: [0.0; PANELS],
        };
        let mut arc = 0.0;
        for panel in 0..PANELS {
            arc += head.arc_between(panel as f64 * PANEL, (panel + 1) as f64 * PANEL);
            head.arcs[panel] = arc;
        }
        head
    }

    /// Where its apex is over the rim of its flange, in millimetres.
    pub fn apex(&self) -> f64 {
        self.flange + self.depth
    }

    /// By how much heights are stretched to make a ball of it.
    fn stretch(&self) -> f64 {
        self.radius / self.depth
    }

    /// Off the axis and over the flange of a place at an eccentric angle from the apex.
    fn at(&self, angle: f64) -> DVec2 {
        DVec2::new(self.radius * angle.sin(), self.depth * angle.cos())
    }

    /// Millimetres of skin to a radian of the eccentric angle.
    fn pace(&self, angle: f64) -> f64 {
        (self.radius * angle.cos()).hypot(self.depth * angle.sin())
    }

    /// Over the skin between two eccentric angles no more than a panel apart, in millimetres.
    fn arc_between(&self, from: f64, to: f64) -> f64 {
        integral(|angle| self.pace(angle), from, to)
    }

    /// From the apex to where a panel begins, in millimetres.
    fn arc_to_panel(&self, panel: usize) -> f64 {
        panel.checked_sub(1).map_or(0.0, |before| self.arcs[before])
    }

    /// Over the skin from the apex to an eccentric angle, in millimetres.
    fn arc(&self, angle: f64) -> f64 {
        let panel = ((angle / PANEL) as usize).min(PANELS - 1);
        self.arc_to_panel(panel) + self.arc_between(panel as f64 * PANEL, angle)
    }

    /// The eccentric angle of a place `along` over the skin from the apex, up to the rim.
    fn angle_at(&self, along: f64) -> f64 {
        let panel = self.arcs.partition_point(|arc| *arc < along).min(PANELS - 1);
        let (from, over) = (panel as f64 * PANEL, along - self.arc_to_panel(panel));
        rising_root(|angle| self.arc_between(from, angle) - over, from, from + PANEL)
    }

    /// The eccentric angle of the place of the quarter ellipse nearest to a place: the way to it is square to the skin there.
    fn angle_under(&self, place: DVec2) -> f64 {
        let past = |angle: f64| {
            let (sin, cos) = angle.sin_cos();
            (self.at(angle) - place).dot(DVec2::new(self.radius * cos, -self.depth * sin))
        };
        rising_root(past, 0.0, FRAC_PI_2)
    }

    /// How far a place is outside the skin, in millimetres, below 0 inside.
    pub fn outside_by(&self, place: DVec3) -> f64 {
        let (across, y) = (place.x.hypot(place.z), place.y - self.flange);
        if y <= 0.0 {
            return across - self.radius;
        }
        let place = DVec2::new(across, y);
        let under = self.at(self.angle_under(place));
        let is_inside = DVec2::new(place.x, self.stretch() * place.y).length() < self.radius;
        place.distance(under) * if is_inside { -1.0 } else { 1.0 }
    }
}

impl Body for Ellipsoid {
    /// The flange's cylinder, and over it the ellipsoid as a ball in stretched heights.
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let from = line.origin - self.flange * DVec3::Y;
        let entered = |from: DVec3, way: DVec3| {
            let speed = way.length();
            let along = from.dot(way) / speed;
            let past = (from - along / speed * way).length();
            let square = (self.radius - past) * (self.radius + past);
            (speed > f64::EPSILON && past <= self.radius + SAME_MM).then(|| (-along - square.max(0.0).sqrt()) / speed)
        };
        let flat = DVec3::new(1.0, 0.0, 1.0);
        let on_flange = entered(from * flat, line.direction * flat);
        if let Some(distance) = on_flange {
            let place = from + distance * line.direction;
            if place.y <= 0.0 {
                let normal = (place * flat).normalize_or_zero();
                return Some(Hit { distance, normal });
            }
        }
        let stretch = DVec3::new(1.0, self.stretch(), 1.0);
        let distance = entered(from * stretch, line.direction * stretch)?;
        let place = from + distance * line.direction;
        let normal = (place * stretch * stretch).normalize_or_zero();
        // What comes from under the rim comes from within.
        (place.y >= -SAME_MM).then_some(Hit { distance, normal })
    }
}

impl Grow for Ellipsoid {
    /// The ellipsoid of which both semi-axes are so much longer: exact at apex and rim, and less than that is off what is
    /// square to the skin between.
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync> {
        Arc::new(Self::new(self.radius + by, self.depth + by, self.flange))
    }

    fn deepest_mm(&self) -> f64 {
        self.radius.min(self.depth)
    }
}

impl Dished for Ellipsoid {
    fn rim_radius(&self) -> f64 {
        self.radius
    }

    fn flange(&self) -> f64 {
        self.flange
    }

    fn top(&self) -> f64 {
        self.apex()
    }

    fn under(&self, way: DVec3) -> DVec3 {
        let across = DVec2::new(way.x, way.z);
        let out = across.normalize_or_zero();
        let angle = (self.radius * across.length()).atan2(self.depth * way.y.max(0.0));
        let place = self.at(angle) + DVec2::new(0.0, self.flange);
        DVec3::new(place.x * out.x, place.y, place.x * out.y)
    }

    fn outside_mm(&self, place: DVec3) -> f64 {
        self.outside_by(place)
    }

    fn arc_to_flange(&self) -> f64 {
        self.arcs[PANELS - 1]
    }

    fn over_flange(&self, along: f64) -> (DVec2, DVec2) {
        let angle = self.angle_at(along);
        let normal = DVec2::new(self.depth * angle.sin(), self.radius * angle.cos());
        (self.at(angle) + DVec2::new(0.0, self.flange), normal.normalize())
    }

    fn arc_to(&self, place: DVec3) -> f64 {
        self.arc(self.angle_under(DVec2::new(place.x.hypot(place.z), place.y - self.flange)))
    }
}
