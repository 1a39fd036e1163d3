//! A mitered turn, in the plane of x and z: its first piece leads along +x.

use glam::DVec3;

use crate::job::{Frame, Miter};
use crate::layout::picture::{Look, Part, Scene, TubePiece, flat_cut};
use crate::measure::show_angle;

/// So much of the end pieces is shown beyond the bend, in the tube's radii.
const SHOWN: f64 = 3.0;
/// How far the pieces are apart where they are drawn so, likewise.
const APART: f64 = 1.2;

/// The whole turn, or its pieces drawn apart.
pub(super) fn scene(joint: &Miter, look: &Look) -> Scene {
    let radius = joint.tube.radius();
    let cut = joint.cut_off_square_deg().to_radians();
    let leg = SHOWN * radius + joint.end_piece_mm().unwrap_or(radius * cut.tan());
    let middle = joint.middle_piece_mm().unwrap_or(0.0);
    let apart = if look.is_apart { APART * radius } else { 0.0 };
    let way = |angle: f64| DVec3::new(angle.cos(), 0.0, angle.sin());
    let last = joint.pieces - 1;
    let mut at = DVec3::ZERO;
    let mut things: Vec<(Part, Box<dyn crate::layout::picture::Solid>)> = Vec::new();
    for piece in 0..joint.pieces {
        let length = if piece == 0 || piece == last { leg } else { middle };
        let heading = 2.0 * cut * piece as f64;
        let axis = way(heading);
        // Square at the two ends of the turn, half of the turn off it between pieces.
        let [before, after] = [-1.0, 1.0].map(|sign| {
            let is_end = if sign < 0.0 { piece == 0 } else { piece == last };
            if is_end { axis } else { way(heading + sign * cut) }
        });
        let end = at + length * axis;
        let front = DVec3::new(heading.sin(), 0.0, -heading.cos());
        let mut tube = TubePiece::new(
            Frame::new(at, axis, front).turned(joint.turned_deg.to_radians()),
            joint.tube.section,
            Some(joint.tube.bore()).filter(|_| joint.tube.wall_mm > 0.0),
            vec![flat_cut(at, before)],
            vec![flat_cut(end, -after)],
        );
        tube.is_cut = [piece > 0, piece < last];
        let name = if piece == 0 || piece == last {
            "end piece"
        } else {
            "middle piece"
        };
        let part = Part::Piece {
            tube: name.to_owned(),
            number: piece + 1,
        };
        things.push((part, Box::new(tube)));
        at = end + apart * after;
    }
    let sides = [
        "where it leads to",
        "its one side",
        "where it comes from",
        "its other side",
    ];
    Scene {
        things,
        shown: None,
        numbers: Vec::new(),
        clashes: Vec::new(),
        caption: format!(
            "turn {}, long sides outside, {}",
            show_angle(joint.turn_deg),
            look.eye.words(sides)
        ),
    }
}
