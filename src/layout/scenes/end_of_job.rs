//! An end of a job's tube on what it lands on, as it stands in the job.

use crate::job::{EndOfJob, TubeEnd};
use crate::layout::picture::{Look, Part, Scene, Solid, TubePiece, flat_cut};

use super::job::{SIDES, parts, solid, tube_piece};

/// So much of the tube is shown over its cut, in its own radii.
const SHOWN: f64 = 2.6;

/// So much is in the picture all round the end, in the tube's radii.
const ROUND: f64 = 4.2;

pub(super) fn scene(of: &EndOfJob, look: &Look) -> Scene {
    let (tube, end) = (of.tube(), &of.tube().ends()[of.side]);
    let mut things = landings(of, end);
    let name = tube.name.clone();
    things.push((Part::Piece { tube: name, number: 1 }, Box::new(stump(of))));
    Scene {
        things,
        shown: Some((end.at, ROUND * of.piece.near.tube.radius())),
        numbers: Vec::new(),
        clashes: Vec::new(),
        caption: format!(
            "the {} of {}, {}",
            crate::plan::SIDES[of.side],
            tube.name,
            look.eye.words(SIDES)
        ),
    }
}

/// What the end is cut to, tubes with all their pieces.
fn landings(of: &EndOfJob, end: &TubeEnd) -> Vec<(Part, Box<dyn Solid>)> {
    let assembly = &of.assembly;
    let bodies = end.body().into_iter().chain(end.also().iter().copied());
    let things = bodies.flat_map(|index| -> Vec<(Part, Box<dyn Solid>)> {
        let body = &assembly.bodies[index];
        let Some(tube) = body.of_tube else {
            let part = Part::Body {
                name: body.name.clone(),
            };
            return solid(assembly, index, body)
                .map(|solid| (part, solid))
                .into_iter()
                .collect();
        };
        let pieces = assembly.pieces(&assembly.tubes[tube]).into_iter();
        let part = || Part::Body {
            name: body.name.clone(),
        };
        pieces
            .map(|piece| (part(), Box::new(tube_piece(&piece)) as Box<dyn Solid>))
            .collect()
    });
    things.collect()
}

/// The piece from the end that is offered up, seen from there, as far as it is shown.
fn stump(of: &EndOfJob) -> TubePiece {
    let (piece, end) = (&of.piece, of.piece.end(of.side));
    let tube = &end.tube;
    let bore = Some(tube.bore()).filter(|_| tube.wall_mm > 0.0);
    let whole = TubePiece::new(end.frame, tube.section, bore, parts(end), parts(piece.end(1 - of.side)));
    let reach = whole.cut_reach().1 + SHOWN * tube.radius();
    let mut stump = if reach < 0.8 * piece.length_mm {
        let far = vec![flat_cut(end.frame.origin + reach * end.frame.axis, -end.frame.axis)];
        TubePiece::new(end.frame, tube.section, bore, parts(end), far)
    } else {
        whole
    };
    stump.is_cut = [true, false];
    stump.front_label = Some("front");
    stump
}
