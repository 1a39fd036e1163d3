//! How a tube's corners are made, and its coupling.

use crate::job::PathShape;
use crate::job::raw::{self, Word};
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::{Reader, given};

/// What becomes of a tube's points. `tube_radius` in millimetres.
pub(super) fn path_shape(reader: &mut Reader, raw: &raw::Tube, tube_radius: f64) -> Option<PathShape> {
    let pieces = given(&raw.corner.pieces, 2, |word| reader.count(word, "pieces", 2..=12));
    let radius = given(&raw.corner.radius, 3.0 * tube_radius, |word| reader.length(word));
    let parting = given(&raw.coupling, None, |coupling| parting(reader, coupling).map(Some));
    let shape = PathShape {
        corner_pieces: pieces?,
        corner_radius_mm: radius?,
        parting: parting?,
    };
    if shape.corner_pieces > 2 && shape.corner_radius_mm <= tube_radius {
        let problem = Problem::new("the corners' radius leaves the inside of the turn no length")
            .figures(
                Phrase::default()
                    .length(shape.corner_radius_mm)
                    .words(" against the tube's ")
                    .length(tube_radius),
            )
            .help("give a larger \"radius\"; 1.5 times the outside diameter is usual");
        return reader.refused(raw.corner.radius.as_ref().unwrap_or(&raw.here), problem);
    }
    Some(shape)
}

fn parting(reader: &mut Reader, raw: &raw::Coupling) -> Option<(f64, f64)> {
    let at = raw.at.as_ref().and_then(|word| reader.length(word));
    let gap = raw.gap.as_ref().and_then(|word| {
        let gap = reader.length(word)?;
        if gap <= 0.0 {
            let problem = Problem::new("the coupling's gap isn't more than 0").figures(Phrase::default().length(gap));
            let help = "give the length that is left between the pieces; leave \"coupling\" out where none is left";
            return reader.refused(word, problem.help(help));
        }
        Some(gap)
    });
    Some((at?, gap?))
}

/// The word to blame where the points can't be given this shape.
pub(super) fn shape_word(raw: &raw::Tube) -> &Word {
    let coupling = raw.coupling.as_ref().and_then(|coupling| coupling.at.as_ref());
    raw.corner.radius.as_ref().or(coupling).unwrap_or(&raw.here)
}

/// How far a coupling's sleeve reaches over each of the two ends; `None` within where nothing is parted.
pub(super) fn sleeve_mark(reader: &mut Reader, raw: Option<&raw::Coupling>, od_mm: f64) -> Option<Option<f64>> {
    let Some(raw) = raw else { return Some(None) };
    let sleeve = given(&raw.sleeve, 2.0 * od_mm, |word| reader.length(word))?;
    let gap = raw.gap.as_ref().and_then(|word| reader.length(word))?;
    if let Some(word) = raw.sleeve.as_ref().filter(|_| sleeve <= gap) {
        return reader.refused(
            word,
            Problem::new("the sleeve is no longer than the gap")
                .figures(Phrase::default().length(sleeve).words(" against ").length(gap))
                .help("give a longer \"sleeve\", or a shorter \"gap\""),
        );
    }
    Some(Some((sleeve - gap) / 2.0))
}
