//! What is in the way of what: tube against tube, tube against body, distances to be kept.

use glam::DVec3;

use crate::job::{Assembly, BodyInSpace, Ending, Extent, TubeInSpace};

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

/// A straight stretch with a radius.
#[derive(Debug, Clone, Copy)]
struct Leg {
    from: DVec3,
    to: DVec3,
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
        let radius = assembly.stock[tube.stock].tube.radius();
        let legs = (0..tube.nodes.len() - 1).filter(|leg| !tube.gaps.contains(leg));
        legs.map(|leg| Leg {
            from: tube.nodes[leg],
            to: tube.nodes[leg + 1],
            radius,
            tube: index,
            leg,
        })
        .collect()
    };
    assembly.tubes.iter().enumerate().flat_map(of).collect()
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
            let apart_mm = (p - q).length() - a.radius - b.radius;
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

/// One of them lands on the other, which is a body of the same name; or they are mitered to each other.
fn are_joined(assembly: &Assembly, a: usize, b: usize) -> bool {
    let mitered = |tube: usize| {
        let tube = &assembly.tubes[tube];
        let ends = [(tube.start, tube.nodes.first()), (tube.end, tube.nodes.last())];
        ends.into_iter()
            .filter(|(ending, _)| matches!(ending, Ending::Miter(_)))
            .filter_map(|(_, node)| node.copied())
    };
    if mitered(a).any(|node| mitered(b).any(|other| (node - other).length() < 1.0)) {
        return true;
    }
    let lands = |tube: usize, on: usize| {
        let name = &assembly.tubes[on].name;
        let ends = [assembly.tubes[tube].start, assembly.tubes[tube].end];
        ends.into_iter()
            .any(|ending| matches!(ending, Ending::Lands { body, .. } if name.starts_with(&assembly.bodies[body].name)))
    };
    lands(a, b) || lands(b, a)
}

fn tubes_against_bodies(assembly: &Assembly, legs: &[Leg]) -> Vec<Clash> {
    let is_tube = |body: &BodyInSpace| {
        assembly
            .tubes
            .iter()
            .any(|tube| tube.name == body.name || tube.name == format!("{} 1", body.name))
    };
    let mut found = Vec::new();
    for (index, body) in assembly.bodies.iter().enumerate().filter(|(_, body)| !is_tube(body)) {
        for leg in legs {
            let tube = &assembly.tubes[leg.tube];
            let lands = [tube.start, tube.end]
                .into_iter()
                .any(|ending| matches!(ending, Ending::Lands { body, .. } if body == index));
            let asked = assembly
                .keep_clear
                .iter()
                .filter(|(name, keep, _)| *keep == index && is_named(tube, name))
                .map(|keep| keep.2)
                .fold(0.0, f64::max);
            let Some((at, apart_mm)) = apart(leg, body).filter(|_| !lands) else {
                continue;
            };
            if apart_mm < asked - SLIGHT {
                found.push(Clash {
                    what: format!("{} against {}", tube.name, body.name),
                    apart_mm,
                    asked_mm: asked,
                    at,
                });
            }
        }
    }
    found
}

fn is_named(tube: &TubeInSpace, name: &str) -> bool {
    tube.name == name || tube.name.strip_prefix(name).is_some_and(|rest| rest.starts_with(' '))
}

/// Between a leg's skin and a body's; `None` for bodies without bounds.
fn apart(leg: &Leg, body: &BodyInSpace) -> Option<(DVec3, f64)> {
    match body.extent {
        Extent::Round { length, radii } => {
            let start = body.placement.translation;
            let (p, q) = nearest((leg.from, leg.to), (start, start + length * body.axis()));
            // A cone is held at its radius where it is nearest.
            let share = (q - start).length() / length;
            let radius = radii.0 + share * (radii.1 - radii.0);
            Some((p, (p - q).length() - leg.radius - radius))
        }
        Extent::Ball(radius) => {
            let middle = body.placement.translation;
            let (p, _) = nearest((leg.from, leg.to), (middle, middle));
            Some((p, (p - middle).length() - leg.radius - radius))
        }
        Extent::Flat => None,
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
