//! What becomes of the points of a tube's path: corners in several pieces, and the gap of a coupling.

use glam::{DQuat, DVec3};

use crate::phrase::Phrase;
use crate::problem::Problem;

/// How corners are made, and where the tube is parted.
#[derive(Debug, Clone, PartialEq)]
pub struct PathShape {
    /// Pieces of a corner, its legs counted: 2 or more.
    pub corner_pieces: usize,
    /// Of the centre line's arc through a corner of more than two, in millimetres, above the tube's radius.
    pub corner_radius_mm: f64,
    /// A coupling's middle along the path from its start, and its gap, in millimetres.
    pub parting: Option<(f64, f64)>,
}

/// The centre line of a tube, leg by leg.
#[derive(Debug, Clone, PartialEq)]
pub struct CentreLine {
    /// Two or more, in space.
    pub nodes: Vec<DVec3>,
    /// Pairs of nodes, by the index of the first, between which there is no tube.
    pub gaps: Vec<usize>,
}

impl PathShape {
    /// The centre line through `points`, two or more.
    ///
    /// # Errors
    /// Where a leg is too short for its corners, or the coupling's gap lies across a corner or past an end.
    pub fn centre_line(&self, points: &[DVec3]) -> Result<CentreLine, Problem> {
        let nodes = self.with_corners(points)?;
        match self.parting {
            None => Ok(CentreLine {
                nodes,
                gaps: Vec::new(),
            }),
            Some((at, gap)) => parted(nodes, at, gap),
        }
    }

    /// Corners of more than two pieces become several nodes on the polygon round their arc.
    fn with_corners(&self, points: &[DVec3]) -> Result<Vec<DVec3>, Problem> {
        if self.corner_pieces == 2 {
            return Ok(points.to_vec());
        }
        self.require_legs(points)?;
        let mut made = vec![points[0]];
        for three in points.windows(3) {
            self.push_corner(&mut made, [three[0], three[1], three[2]]);
        }
        made.push(points[points.len() - 1]);
        Ok(made)
    }

    fn push_corner(&self, made: &mut Vec<DVec3>, [from, corner, to]: [DVec3; 3]) {
        let (pieces, radius) = (self.corner_pieces, self.corner_radius_mm);
        let (before, after) = ((corner - from).normalize(), (to - corner).normalize());
        let turn = before.angle_between(after);
        let cut = turn / (2 * (pieces - 1)) as f64;
        // A path that goes straight on has no corner here.
        let Some(about) = before.cross(after).try_normalize() else {
            return;
        };
        let mut at = corner - radius * (turn / 2.0).tan() * before + radius * cut.tan() * before;
        made.push(at);
        for piece in 1..pieces - 1 {
            let heading = DQuat::from_axis_angle(about, 2.0 * cut * piece as f64) * before;
            at += 2.0 * radius * cut.tan() * heading;
            made.push(at);
        }
    }

    fn require_legs(&self, points: &[DVec3]) -> Result<(), Problem> {
        let half_turn = |three: &[DVec3]| (three[1] - three[0]).angle_between(three[2] - three[1]) / 2.0;
        let tangents: Vec<f64> = points
            .windows(3)
            .map(|three| self.corner_radius_mm * half_turn(three).tan())
            .collect();
        for (leg, pair) in points.windows(2).enumerate() {
            let tangent =
                |corner: Option<usize>| corner.and_then(|corner| tangents.get(corner)).copied().unwrap_or(0.0);
            let needed = tangent(leg.checked_sub(1)) + tangent(Some(leg));
            let length = (pair[1] - pair[0]).length();
            if needed > length {
                return Err(Problem::new("a leg is too short for the corners at its ends")
                    .figures(
                        Phrase::from(format!("leg {} is ", leg + 1))
                            .length(length)
                            .words(" long, its corners take ")
                            .length(needed),
                    )
                    .help("give a smaller radius, or longer legs"));
            }
        }
        Ok(())
    }
}

/// The gap, which is more than 0, becomes two more nodes.
fn parted(mut nodes: Vec<DVec3>, at: f64, gap: f64) -> Result<CentreLine, Problem> {
    let mut passed = 0.0;
    for leg in 0..nodes.len() - 1 {
        let (from, to) = (nodes[leg], nodes[leg + 1]);
        let length = (to - from).length();
        let (begin, end) = (at - gap / 2.0 - passed, at + gap / 2.0 - passed);
        if begin > 0.0 && end < length {
            let way = (to - from).normalize();
            nodes.splice(leg + 1..leg + 1, [from + begin * way, from + end * way]);
            return Ok(CentreLine {
                nodes,
                gaps: vec![leg + 1],
            });
        }
        passed += length;
    }
    Err(Problem::new("the coupling's gap doesn't lie within one straight leg")
        .figures(
            Phrase::default()
                .length(at - gap / 2.0)
                .words(" to ")
                .length(at + gap / 2.0)
                .words(" along a path of ")
                .length(passed),
        )
        .help("move \"at\" of the coupling to the middle of a straight leg, or make its gap shorter"))
}
