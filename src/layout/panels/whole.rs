//! The picture of a whole job: bodies and tubes as they stand in space.

use std::f64::consts::TAU;

use glam::{DAffine3, DVec2, DVec3};

use crate::job::{Assembly, BodyInSpace, End, Extent, Piece, Touch};
use crate::layout::Drawing;
use crate::layout::picture::{Ball, Numbered, Picture, Plate, Solid, TubePiece, Vessel};
use crate::section::Profile;
use crate::solver::cut_at;

/// More bodies or pieces than this make a picture that nobody can read, and take long.
const MOST_DRAWN: usize = 80;
/// Places round a cut edge.
const PLACES: u32 = 180;
/// From where it is seen.
const EYE: DVec3 = DVec3::new(0.78, 0.45, 0.42);
/// In millimetres.
const SIZE: (f64, f64) = (74.0, 62.0);

/// The whole assembly; `numbers` are those of all its pieces, in order.
pub(super) fn picture(assembly: &Assembly, numbers: &[usize]) -> Drawing {
    let bodies = assembly.bodies.iter().enumerate();
    let mut solids: Vec<Box<dyn Solid>> = bodies
        .filter(|(_, body)| body.of_tube.is_none())
        .filter_map(|(index, body)| solid(assembly, index, body))
        .take(MOST_DRAWN)
        .collect();
    let pieces = assembly.tubes.iter().flat_map(|tube| assembly.pieces(tube));
    let mut numbered = Vec::new();
    for (piece, number) in pieces.zip(numbers).take(MOST_DRAWN) {
        let piece = tube_piece(&piece);
        numbered.push(Numbered {
            places: piece.before_axis(EYE),
            words: number.to_string(),
        });
        solids.push(Box::new(piece));
    }
    let of = match numbers.len() {
        0 => String::new(),
        1 => "; 1 piece of tube".to_owned(),
        all if all > MOST_DRAWN => format!("; the first {MOST_DRAWN} of {all} pieces of tube"),
        all => format!("; {all} pieces of tube, numbered as in the cut list"),
    };
    let picture = Picture {
        solids,
        eye: EYE,
        middle: DVec3::ZERO,
        shown: 1.0,
        numbers: numbered,
        caption: format!("the whole, seen from above, between +x and +y{of}"),
    };
    picture.fitted(SIZE.0, SIZE.1).draw(SIZE.0, SIZE.1)
}

fn solid(assembly: &Assembly, index: usize, body: &BodyInSpace) -> Option<Box<dyn Solid>> {
    match body.extent {
        Extent::Round { length, radii } => Some(Box::new(Vessel {
            surface: body.surface.clone(),
            from: body.placement.translation,
            axis: body.axis(),
            length,
            reach: radii.0.max(radii.1),
        })),
        Extent::Ball(radius) => Some(Box::new(Ball {
            middle: body.placement.translation,
            radius,
        })),
        Extent::Flat => Some(Box::new(Plate {
            placement: body.placement,
            corners: round_landings(assembly, index, body.placement)?,
            thickness: wall(body),
        })),
    }
}

/// In millimetres; 0 where it isn't known.
fn wall(body: &BodyInSpace) -> f64 {
    let inner = body.flat.as_ref().and_then(|flat| flat.inner.as_ref());
    inner.map_or(0.0, |(_, wall)| *wall)
}

/// A job's plane has no edges: those of a rectangle round all that lands on it, `None` where nothing does.
fn round_landings(assembly: &Assembly, index: usize, placement: DAffine3) -> Option<[DVec2; 2]> {
    // A tube that lies nearly flat would make a plate without end.
    const LEAST_SINE: f64 = 0.25;
    const RIM: f64 = 0.8;
    let to_own = placement.inverse();
    let landings = assembly.tubes.iter().flat_map(|tube| {
        let reach = assembly.stock[tube.stock].tube.section.reach();
        let ends = tube.ends().into_iter().filter(|end| end.body() == Some(index));
        ends.map(move |end| {
            let at = to_own.transform_point3(end.at).truncate();
            let sine = to_own.transform_vector3(end.into_tube()).z.abs().max(LEAST_SINE);
            let half = DVec2::splat(reach / sine + RIM * reach);
            [at - half, at + half]
        })
    });
    landings.reduce(|[low, high], [other_low, other_high]| [low.min(other_low), high.max(other_high)])
}

/// Between where its skin meets the outer skins of what it joins: what is let in ends there for the eye.
fn tube_piece(piece: &Piece) -> TubePiece {
    let edge = |end: &End, sign: f64| -> Vec<f64> {
        let skin = End {
            landing: end.weld_skin.clone(),
            touch: Touch::Outside,
            ..end.clone()
        };
        let azimuths = (0..PLACES).map(|step| sign * TAU * f64::from(step) / f64::from(PLACES));
        azimuths
            .map(|azimuth| cut_at(&skin, azimuth).map_or(0.0, |cut| cut.t))
            .collect()
    };
    TubePiece {
        frame: piece.near.frame,
        section: piece.near.tube.section,
        bore: None,
        near: edge(&piece.near, 1.0),
        far: edge(&piece.far, -1.0).iter().map(|t| piece.length_mm - t).collect(),
        front_label: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{read, resolve};
    use crate::layout::drawing::Item;

    /// What is drawn of a job with these bodies and a tube on the one of the name "it": its lines and its words.
    fn drawn(it: &str, on: &str) -> (usize, Vec<String>) {
        let text = format!(
            r#"{{ "title": "T", "units": "mm", "stock": {{ "t": {{ "size": "42.4mm x 2mm", "stick": "6m" }} }},
                 "bodies": {{ "it": {it} }},
                 "tubes": {{ "t": {{ "stock": "t", "path": [ {on}, {{ "step": [300, 40, 60] }} ] }} }} }}"#
        );
        let job = read::read_job("job.json", &text).expect("it reads");
        let job = resolve::job_file(&job, &job.sheet).expect("it resolves").joint;
        let drawing = picture(&job, &[7]);
        let lines = drawing
            .items
            .iter()
            .filter(|(_, item)| matches!(item, Item::Stroke(..)) && is_long(item));
        let words = drawing.items.iter().filter_map(|(_, item)| match item {
            Item::Words(text) => Some(text.words.clone()),
            _ => None,
        });
        (lines.count(), words.collect())
    }

    /// Of a hidden line a hair may show at its end.
    fn is_long(item: &Item) -> bool {
        let bounds = item.bounds();
        bounds.width().max(bounds.height()) > 0.8
    }

    /// By hand, besides two edges and two outlines of the tube, the leader and the frame: two rims and two outlines; a
    /// circle; the edges of a plate that aren't hidden (from above and two sides, nine of twelve).
    #[test]
    fn every_kind_of_body_is_drawn_with_its_numbered_tube() {
        let side = r#"{ "on": "it", "along": 200, "round": 0 }"#;
        let axis = r#""from": [0, 0, 0], "to": [0, 0, 400], "zero": [1, 0, 0]"#;
        let kinds = [
            (
                format!(r#"{{ "shape": "cylinder", "size": "300mm x 2mm", {axis} }}"#),
                side,
                4,
            ),
            (
                format!(
                    r#"{{ "shape": "cylinder", "size": "girth 1276mm x 1mm", {axis}, "section": {{ "oval": [500, 300] }} }}"#
                ),
                side,
                4,
            ),
            (
                format!(r#"{{ "shape": "cone", "size": "200mm x 2mm", "size_to": "400mm x 2mm", {axis} }}"#),
                side,
                4,
            ),
            (
                r#"{ "shape": "sphere", "size": "300mm x 2mm", "at": [0, 0, 0], "out": [1, 0, 0] }"#.to_owned(),
                r#"{ "on": "it" }"#,
                1,
            ),
            (
                r#"{ "shape": "plane", "size": 6, "at": [0, 0, 0], "out": [1, 0, 0] }"#.to_owned(),
                r#"{ "on": "it" }"#,
                9,
            ),
        ];
        for (body, on, lines) in kinds {
            let (drawn, words) = drawn(&body, on);
            assert_eq!(drawn, lines + 4 + 2, "{body}");
            assert!(words.contains(&"7".to_owned()), "{body}: {words:?}");
        }
    }
}
