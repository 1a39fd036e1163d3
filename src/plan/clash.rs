//! What is in the way of what: tube against tube, tube against body, distances to be kept.

use glam::{DAffine3, DMat3, DVec2, DVec3};

use super::apart::{Bar, apart as bars_apart};
use crate::body::{Cylinder, Locate, Placed};
use crate::job::{Assembly, BodyInSpace, Ending, Extent, Frame, TubeEnd, TubeInSpace};
use crate::section::{Profile, Section};

/// Overlaps below this are rounding, in millimetres.
const SLIGHT: f64 = 0.01;

/// Two things that are nearer to each other than they may be.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// In words: "riser 1 against riser 2".
    pub what: String,
    /// Between their skins, in millimetres; negative where they overlap.
    pub apart_mm: f64,
    /// What was asked for, in millimetres: 0, or the distance to be kept.
    pub asked_mm: f64,
    /// Where they are nearest, in space.
    pub at: DVec3,
}

/// A straight stretch of tube.
#[derive(Debug, Clone, Copy)]
struct Leg {
    from: DVec3,
    to: DVec3,
    /// At its beginning, the axis leading to its end.
    frame: Frame,
    section: Section,
    /// How far the section reaches from the axis.
    radius: f64,
    tube: usize,
    leg: usize,
}

/// Every clash of an assembly.
pub fn clashes(assembly: &Assembly) -> Vec<Clash> {
    let legs = legs(assembly);
    let mut found = tubes_against_tubes(assembly, &legs);
    found.extend(tubes_against_bodies(assembly, &legs));
    found
}

fn legs(assembly: &Assembly) -> Vec<Leg> {
    let of = |(index, tube): (usize, &TubeInSpace)| -> Vec<Leg> {
        let section = assembly.stock[tube.stock].tube.section;
        let legs = (0..tube.nodes.len() - 1).filter(|leg| !tube.gaps.contains(leg));
        legs.map(|leg| Leg {
            from: tube.nodes[leg],
            to: tube.nodes[leg + 1],
            frame: frame(assembly, tube, leg),
            section,
            radius: section.reach(),
            tube: index,
            leg,
        })
        .collect()
    };
    assembly.tubes.iter().enumerate().flat_map(of).collect()
}

/// Of round tube any front will do.
fn frame(assembly: &Assembly, tube: &TubeInSpace, leg: usize) -> Frame {
    let (from, to) = (tube.nodes[leg], tube.nodes[leg + 1]);
    let axis = (to - from).normalize();
    match assembly.front_of_leg(tube, leg) {
        Some(front) => Frame::new(from, axis, front),
        None => {
            let (front, right) = axis.any_orthonormal_pair();
            Frame {
                origin: from,
                axis,
                front,
                right,
            }
        }
    }
}

/// Legs in the order of their lowest x are held against those that begin before they end.
fn tubes_against_tubes(assembly: &Assembly, legs: &[Leg]) -> Vec<Clash> {
    let low = |leg: &Leg| leg.from.x.min(leg.to.x) - leg.radius;
    let high = |leg: &Leg| leg.from.x.max(leg.to.x) + leg.radius;
    let mut order: Vec<&Leg> = legs.iter().collect();
    order.sort_by(|a, b| low(a).total_cmp(&low(b)));
    let mut found = Vec::new();
    for (index, a) in order.iter().enumerate() {
        for b in order[index + 1..].iter().take_while(|b| low(b) <= high(a)) {
            if are_neighbours(assembly, a, b) || are_joined(assembly, a.tube, b.tube) {
                continue;
            }
            let (p, q) = nearest((a.from, a.to), (b.from, b.to));
            let mut apart_mm = (p - q).length() - a.radius - b.radius;
            let is_at_an_end = [a.from, a.to].contains(&p) || [b.from, b.to].contains(&q);
            if apart_mm < -SLIGHT && [a, b].iter().any(|leg| leg.section.sides().is_some()) {
                apart_mm = bars_apart(&a.bar(), &b.bar(), q - p);
            } else if apart_mm < -SLIGHT && is_at_an_end {
                // Ends are flat, not round: looked at place by place.
                apart_mm = flat_ended(a, b).min(flat_ended(b, a));
            }
            if apart_mm < -SLIGHT {
                let names = [&assembly.tubes[a.tube].name, &assembly.tubes[b.tube].name];
                found.push(Clash {
                    what: format!("{} against {}", names[0], names[1]),
                    apart_mm,
                    asked_mm: 0.0,
                    at: 0.5 * (p + q),
                });
            }
        }
    }
    found
}

impl Leg {
    fn bar(&self) -> Bar<'_> {
        Bar {
            frame: self.frame,
            length: (self.to - self.from).length(),
            section: &self.section,
        }
    }

    /// From its skin and flat ends to a place, in millimetres; negative inside.
    fn outside_by(&self, place: DVec3) -> f64 {
        let Frame {
            origin,
            axis,
            front,
            right,
        } = self.frame;
        let along = (place - origin).dot(axis);
        let beyond = (-along).max(along - (self.to - self.from).length());
        let outside = self.section.outside_by(place - origin - along * axis, front, right);
        if beyond > 0.0 {
            beyond.hypot(outside.max(0.0))
        } else {
            outside.max(beyond)
        }
    }

    /// A place of its skin: an azimuth in radians, and the share of its length.
    fn skin(&self, azimuth: f64, share: f64) -> DVec3 {
        let line = self.section.wall_line(azimuth, 0.0);
        let outward = self.frame.outward(line.facing);
        self.from + share * (self.to - self.from) + self.frame.across(line.origin) + line.outer * outward
    }
}

/// From the places of one leg to the other, whose ends are flat; negative where they overlap.
fn flat_ended(a: &Leg, b: &Leg) -> f64 {
    let length = (b.to - b.from).length();
    let way = (b.to - b.from) / length;
    let x = way.any_orthonormal_vector();
    let placement = DAffine3::from_mat3_translation(DMat3::from_cols(x, way, x.cross(way)), b.from);
    let skin = Placed::new(Cylinder::new(b.radius), placement);
    places(a)
        .into_iter()
        .map(|place| solid_distance(&skin, placement.inverse(), place, length))
        .fold(f64::INFINITY, f64::min)
}

/// Legs of one tube that follow each other, or nearly so: along its path there is less than two diameters between them.
fn are_neighbours(assembly: &Assembly, a: &Leg, b: &Leg) -> bool {
    let (first, second) = if a.leg < b.leg { (a, b) } else { (b, a) };
    let nodes = &assembly.tubes[a.tube].nodes;
    a.tube == b.tube
        && nodes[first.leg + 1..=second.leg]
            .windows(2)
            .map(|leg| (leg[1] - leg[0]).length())
            .sum::<f64>()
            < 4.0 * a.radius
}

/// One of them lands on the other, or they are mitered to each other.
fn are_joined(assembly: &Assembly, a: usize, b: usize) -> bool {
    let [ends, others] = [a, b].map(|tube| assembly.tubes[tube].ends());
    let is_mitered = |end: &&TubeEnd| matches!(end.ending, Ending::Miter(_));
    let meets = |end: &TubeEnd| {
        others
            .iter()
            .filter(is_mitered)
            .any(|other| (end.at - other.at).length() < 1.0)
    };
    let lands = |ends: &[TubeEnd; 2], on: usize| {
        ends.iter()
            .filter_map(TubeEnd::body)
            .any(|body| assembly.bodies[body].of_tube == Some(on))
    };
    lands(&ends, b) || lands(&others, a) || ends.iter().filter(is_mitered).any(meets)
}

fn tubes_against_bodies(assembly: &Assembly, legs: &[Leg]) -> Vec<Clash> {
    let mut found = Vec::new();
    for (index, body) in assembly.bodies.iter().enumerate() {
        let kept: Vec<(&str, f64)> = assembly
            .keep_clear
            .iter()
            .filter(|keep| keep.1 == index)
            .map(|keep| (keep.0.as_str(), keep.2))
            .collect();
        // Tubes are held against tubes elsewhere, and a plate's edges are not known: both only where asked for.
        let only_if_asked = body.of_tube.is_some() || body.extent == Extent::Flat;
        if only_if_asked && kept.is_empty() {
            continue;
        }
        for leg in legs.iter().filter(|leg| body.of_tube != Some(leg.tube)) {
            let tube = &assembly.tubes[leg.tube];
            let asked = kept
                .iter()
                .filter(|keep| keep.0 == tube.shared_name)
                .map(|keep| keep.1)
                .fold(0.0, f64::max);
            if lands(tube, leg, index) || only_if_asked && asked == 0.0 {
                continue;
            }
            let (at, apart_mm) = apart(leg, body, asked);
            if apart_mm < asked - SLIGHT {
                let what = format!("{} against {}", tube.name, body.name);
                found.push(Clash {
                    what,
                    apart_mm,
                    asked_mm: asked,
                    at,
                });
            }
        }
    }
    found
}

/// Whether this leg is the one that ends on the body.
fn lands(tube: &TubeInSpace, leg: &Leg, body: usize) -> bool {
    let [start, end] = tube.ends().map(|end| end.body() == Some(body));
    leg.leg == 0 && start || leg.leg + 2 == tube.nodes.len() && end
}

/// Between a leg's skin and a body's, and where on the leg's axis that is.
/// Things farther than `asked` apart are not looked at closely.
fn apart(leg: &Leg, body: &BodyInSpace, asked: f64) -> (DVec3, f64) {
    let to_body = body.placement.inverse();
    match body.extent {
        Extent::Round { length, radii } => {
            let start = body.placement.translation;
            let (p, q) = nearest((leg.from, leg.to), (start, start + length * body.axis()));
            let at_least = (p - q).length() - leg.radius - radii.0.max(radii.1);
            if at_least > asked {
                return (p, at_least);
            }
            let places = places(leg)
                .into_iter()
                .map(|place| (place, solid_distance(body.surface.as_ref(), to_body, place, length)));
            places
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .unwrap_or((leg.from, f64::INFINITY))
        }
        Extent::Ball(radius) => {
            let middle = body.placement.translation;
            let (p, _) = nearest((leg.from, leg.to), (middle, middle));
            let outside = if leg.section.sides().is_some() {
                leg.outside_by(middle)
            } else {
                (p - middle).length() - leg.radius
            };
            (p, outside - radius)
        }
        Extent::Flat => {
            let height = |point: DVec3| to_body.transform_point3(point).z;
            let low = if height(leg.from) < height(leg.to) {
                leg.from
            } else {
                leg.to
            };
            let normal = body.placement.transform_vector3(DVec3::Z);
            let down = DVec2::new(normal.dot(leg.frame.front), normal.dot(leg.frame.right));
            (low, height(low) - leg.section.reach_towards(down))
        }
    }
}

/// Along a leg and round it, at steps that miss no more than a millimetre or so of a drum.
const ALONG: usize = 160;
const ROUND: usize = 24;

/// Places on a leg's skin and on its square ends.
fn places(leg: &Leg) -> Vec<DVec3> {
    let mut azimuths: Vec<f64> = (0..ROUND)
        .map(|step| std::f64::consts::TAU * step as f64 / ROUND as f64)
        .collect();
    azimuths.extend(leg.section.folds());
    let along = (0..=ALONG).map(|along| along as f64 / ALONG as f64);
    let skin = along.flat_map(|share| azimuths.iter().map(move |azimuth| (share, *azimuth)));
    let mut places: Vec<DVec3> = skin.map(|(share, azimuth)| leg.skin(azimuth, share)).collect();
    places.extend([leg.from, leg.to]);
    places.extend((0..=ALONG).map(|along| leg.from + along as f64 / ALONG as f64 * (leg.to - leg.from)));
    places
}

/// From a place to a body with flat ends, whose skin is known where its axis is `to_body`'s y; negative inside.
fn solid_distance(skin: &(impl Locate + ?Sized), to_body: DAffine3, place: DVec3, length: f64) -> f64 {
    let own = to_body.transform_point3(place);
    let beyond = (-own.y).max(own.y - length);
    // Beyond an end it is the rim that is nearest.
    let level = place + (own.y.clamp(0.0, length) - own.y) * to_body.inverse().transform_vector3(DVec3::Y);
    let (along, round) = skin.place_of(level);
    let under = skin.site(along, round);
    let out = (level - under.point).dot(under.normal);
    if beyond <= 0.0 {
        out.max(beyond)
    } else if out <= 0.0 {
        beyond
    } else {
        beyond.hypot((level - under.point).length())
    }
}

/// The nearest points of two straight stretches (Ericson, Real-Time Collision Detection, 2005, 5.1.9).
fn nearest(a: (DVec3, DVec3), b: (DVec3, DVec3)) -> (DVec3, DVec3) {
    let (u, v, w) = (a.1 - a.0, b.1 - b.0, a.0 - b.0);
    let (uu, uv, vv, uw, vw) = (u.dot(u), u.dot(v), v.dot(v), u.dot(w), v.dot(w));
    let denominator = uu * vv - uv * uv;
    let mut s = if denominator > 1e-12 * uu * vv {
        ((uv * vw - vv * uw) / denominator).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let t = if vv > 0.0 {
        ((uv * s + vw) / vv).clamp(0.0, 1.0)
    } else {
        0.0
    };
    if uu > 0.0 {
        s = ((uv * t - uw) / uu).clamp(0.0, 1.0);
    }
    (a.0 + s * u, b.0 + t * v)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_points_of_stretches_that_cross_miss_and_lie_alongside() {
        let apart = |a, b| {
            let (p, q) = nearest(a, b);
            (p - q).length()
        };
        let x = (DVec3::ZERO, 10.0 * DVec3::X);
        assert!((apart(x, (DVec3::new(5.0, -5.0, 3.0), DVec3::new(5.0, 5.0, 3.0))) - 3.0).abs() < 1e-12);
        assert!((apart(x, (DVec3::new(13.0, 4.0, 0.0), DVec3::new(20.0, 4.0, 0.0))) - 5.0).abs() < 1e-12);
        assert!((apart(x, (DVec3::new(2.0, 4.0, 0.0), DVec3::new(8.0, 4.0, 0.0))) - 4.0).abs() < 1e-12);
        assert!((apart(x, (DVec3::new(-3.0, 4.0, 0.0), DVec3::new(-3.0, 4.0, 0.0))) - 5.0).abs() < 1e-12);
    }
}
