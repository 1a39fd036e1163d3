//! Corners in several pieces, and couplings: more nodes than there were points.

use glam::{DQuat, DVec3};

use crate::job::raw;
use crate::problem::Problem;

use super::Reader;

/// In how many pieces corners are made, and on what radius.
pub(super) fn corner(reader: &mut Reader, raw: &raw::Corner) -> Option<(usize, Option<f64>)> {
    let pieces = raw
        .pieces
        .as_ref()
        .map_or(Some(2), |word| reader.count(word, "pieces", 2..=12));
    let radius = raw.radius.as_ref().map(|word| reader.length(word));
    Some((
        pieces?,
        match radius {
            Some(radius) => Some(radius?),
            None => None,
        },
    ))
}

/// Corners of more than two pieces become several nodes on the polygon round their arc.
pub(super) fn with_corners(
    reader: &mut Reader,
    raw: &raw::Tube,
    nodes: &[DVec3],
    (pieces, radius): (usize, Option<f64>),
    tube_radius: f64,
) -> Option<Vec<DVec3>> {
    if pieces == 2 {
        return Some(nodes.to_vec());
    }
    let radius = radius.unwrap_or(3.0 * tube_radius);
    if radius <= tube_radius {
        let at = raw.corner.radius.as_ref().unwrap_or(&raw.here);
        reader.refuse(
            at,
            Problem::new("the corners' radius leaves the inside of the turn no length")
                .figures(format!("{radius:.1} mm against the tube's {tube_radius:.1} mm")),
        );
        return None;
    }
    let tangents: Vec<f64> = nodes
        .windows(3)
        .map(|three| radius * ((three[1] - three[0]).angle_between(three[2] - three[1]) / 2.0).tan())
        .collect();
    for (leg, pair) in nodes.windows(2).enumerate() {
        let tangent = |corner: Option<usize>| corner.and_then(|corner| tangents.get(corner)).copied().unwrap_or(0.0);
        let (needed, length) = (
            tangent(leg.checked_sub(1)) + tangent(Some(leg)),
            (pair[1] - pair[0]).length(),
        );
        if needed > length {
            let at = raw.corner.radius.as_ref().unwrap_or(&raw.here);
            let problem = Problem::new("a leg is too short for the corners at its ends");
            let figures = format!("leg {} is {length:.1} mm, its corners take {needed:.1} mm", leg + 1);
            reader.refuse(
                at,
                problem.figures(figures).help("give a smaller radius, or longer legs"),
            );
            return None;
        }
    }
    let mut made = vec![nodes[0]];
    for three in nodes.windows(3) {
        let (before, after) = ((three[1] - three[0]).normalize(), (three[2] - three[1]).normalize());
        let turn = before.angle_between(after);
        let cut = turn / (2 * (pieces - 1)) as f64;
        let Some(about) = before.cross(after).try_normalize() else {
            continue;
        };
        let mut at = three[1] - radius * (turn / 2.0).tan() * before + radius * cut.tan() * before;
        made.push(at);
        for piece in 1..pieces - 1 {
            let heading = DQuat::from_axis_angle(about, 2.0 * cut * piece as f64) * before;
            at += 2.0 * radius * cut.tan() * heading;
            made.push(at);
        }
    }
    made.push(nodes[nodes.len() - 1]);
    Some(made)
}

/// A coupling's gap as two more nodes.
pub(super) fn parted(
    reader: &mut Reader,
    raw: Option<&raw::Coupling>,
    mut nodes: Vec<DVec3>,
) -> Option<(Vec<DVec3>, Vec<usize>)> {
    let Some(raw) = raw else {
        return Some((nodes, Vec::new()));
    };
    let (at, gap) = (
        raw.at.as_ref().and_then(|word| reader.length(word)),
        raw.gap.as_ref().and_then(|word| reader.length(word)),
    );
    let (at, gap) = (at?, gap?);
    let mut passed = 0.0;
    for leg in 0..nodes.len() - 1 {
        let (from, to) = (nodes[leg], nodes[leg + 1]);
        let length = (to - from).length();
        let (begin, end) = (at - gap / 2.0 - passed, at + gap / 2.0 - passed);
        if gap > 0.0 && begin > 0.0 && end < length {
            let way = (to - from).normalize();
            nodes.splice(leg + 1..leg + 1, [from + begin * way, from + end * way]);
            return Some((nodes, vec![leg + 1]));
        }
        passed += length;
    }
    if let Some(word) = &raw.at {
        reader.refuse(
            word,
            Problem::new("the coupling's gap doesn't lie within one straight leg").figures(format!(
                "{:.1} to {:.1} mm along a path of {passed:.1} mm",
                at - gap / 2.0,
                at + gap / 2.0
            )),
        );
    }
    None
}

/// How far a coupling's sleeve reaches over each of the two ends; `None` within where nothing is parted.
pub(super) fn sleeve_mark(reader: &mut Reader, raw: Option<&raw::Coupling>, od_mm: f64) -> Option<Option<f64>> {
    let Some(raw) = raw else { return Some(None) };
    let sleeve = raw
        .sleeve
        .as_ref()
        .map_or(Some(2.0 * od_mm), |word| reader.length(word))?;
    let gap = raw.gap.as_ref().and_then(|word| reader.length(word))?;
    if let Some(word) = raw.sleeve.as_ref().filter(|_| sleeve <= gap) {
        reader.refuse(
            word,
            Problem::new("the sleeve is no longer than the gap").figures(format!("{sleeve:.1} mm against {gap:.1} mm")),
        );
        return None;
    }
    Some(Some((sleeve - gap) / 2.0))
}
