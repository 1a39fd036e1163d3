//! The picture of a whole job: bodies and tubes as they stand in space.

use glam::{DAffine3, DVec2, DVec3};

use crate::job::{Assembly, BodyInSpace, End, Piece};
use crate::layout::picture::{
    Ball, CutBy, Dome, Eye, Look, Numbered, Part, Plate, Ring, Scene, Solid, TubePiece, Vessel, direction,
};
use crate::plan::Clash;
use crate::section::Profile;

/// More bodies or pieces than this make a picture that nobody can read, and take long.
const MOST_DRAWN: usize = 80;
/// Clashes that are marked: those that the cover tells.
const MOST_CLASHES: usize = 12;
/// What +x, +y, -x and -y are called: as in the job file.
pub(super) const SIDES: [&str; 4] = ["+x", "+y", "-x", "-y"];

/// Of what is made already so many are named; the notes name more, and some names without the others say too little.
const MOST_MADE: usize = 3;

/// The whole assembly; `numbers` are those of all its pieces, in order, `made` what is there already, in words.
pub(super) fn scene(assembly: &Assembly, numbers: &[usize], clashes: &[Clash], made: &[String], look: &Look) -> Scene {
    let bodies = assembly.bodies.iter().enumerate();
    let bodies = bodies.filter(|(_, body)| body.of_tube.is_none());
    let mut things: Vec<(Part, Box<dyn Solid>)> = bodies
        .filter_map(|(index, body)| {
            let name = body.name.clone();
            Some((Part::Body { name }, solid(assembly, index, body)?))
        })
        .take(MOST_DRAWN)
        .collect();
    let found = assembly.bodies.iter().flat_map(|body| {
        let name = body.name.clone();
        let rings = body.found.iter().filter_map(|hole| Ring::new(body, hole));
        rings.map(move |ring| (Part::Body { name: name.clone() }, Box::new(ring) as Box<dyn Solid>))
    });
    things.extend(found.take(MOST_DRAWN));
    let tubes = assembly.tubes.iter();
    let pieces = tubes.flat_map(|tube| assembly.pieces(tube).into_iter().map(move |piece| (&tube.name, piece)));
    let mut numbered = Vec::new();
    for ((tube, piece), &number) in pieces.zip(numbers).take(MOST_DRAWN) {
        let is_made = piece.ends.iter().all(|end| end.is_made);
        let (piece, tube) = (tube_piece(&piece), tube.clone());
        let balloon = Numbered {
            places: piece.before_axis(direction(look.eye)),
            words: format!("{number}{}", if is_made { " made already" } else { "" }),
        };
        let of_balloon = tube.clone();
        numbered.push((
            Part::Balloon {
                tube: of_balloon,
                number,
            },
            balloon,
        ));
        things.push((Part::Piece { tube, number }, Box::new(piece)));
    }
    let of = match numbers.len() {
        0 => String::new(),
        1 => "; 1 piece of tube".to_owned(),
        all if all > MOST_DRAWN => format!("; the first {MOST_DRAWN} of {all} pieces of tube"),
        all => format!("; {all} pieces of tube, numbered as in the cut list"),
    };
    Scene {
        things,
        shown: None,
        numbers: numbered,
        clashes: clashes.iter().take(MOST_CLASHES).map(|clash| clash.at).collect(),
        caption: format!("the whole, {}{of}{}", seen_from(assembly, look.eye), made_words(made)),
    }
}

/// From where it is seen, by what is known of the first body in the shop: its zero line, its ends, its outside.
fn seen_from(assembly: &Assembly, eye: Eye) -> String {
    /// Less of the way to the eye along an axis, or out of a plate, is from its side.
    const SIDEWAYS: f64 = 0.17;
    let mut own = assembly
        .bodies
        .iter()
        .filter(|body| body.of_tube.is_none() && body.of_body.is_none());
    let (Some(height), Some(body)) = (eye.height_words(), own.next()) else {
        return eye.words(SIDES);
    };
    let (name, way) = (&body.name, direction(eye));
    if body.outside.is_flat() {
        let out = way.dot(body.placement.transform_vector3(DVec3::Z));
        let from = match out {
            out if out > SIDEWAYS => "from outside",
            out if out < -SIDEWAYS => "from behind",
            _ => "along",
        };
        return format!("{height}, {from} {name}");
    }
    let Some(length) = body.length_mm() else {
        return eye.words(SIDES);
    };
    let ends = body.end_names();
    if ends == ["NEAR END", "FAR END"] {
        return match way.dot(body.axis()) {
            along if along > SIDEWAYS => format!("{height}, the far end of {name} in front"),
            along if along < -SIDEWAYS => format!("{height}, the near end of {name} in front"),
            _ => format!("{height}, from the side of {name}"),
        };
    }
    // Where the skin faces the eye, so far round from the zero line as it stands: its far end may be below.
    let middle = body.placement.translation + 0.5 * length * body.axis();
    let (_, round) = body.surface.place_of(middle + length * way);
    let degrees = round.to_degrees().round() * body.axis().z.signum();
    let side = if degrees < 0.0 { "left" } else { "right" };
    match degrees.abs() {
        near if near < 1.0 => format!("{height}, from the zero line of {name}"),
        off if off > 179.0 => format!("{height}, from opposite the zero line of {name}"),
        off if body.axis().z < 0.0 => format!("{height}, {off}° {side} of the zero line of {name} as it stands"),
        off => format!("{height}, {off}° {side} of the zero line of {name}"),
    }
}

/// `; made already: the hole for riser in drum`, `; 5 ends and holes made already: see the note`.
fn made_words(made: &[String]) -> String {
    match made {
        [] => String::new(),
        some if some.len() > MOST_MADE => format!("; {} ends and holes made already: see the note", some.len()),
        some => format!("; made already: {}", some.join("; ")),
    }
}

/// Of a body that is no tube.
pub(super) fn solid(assembly: &Assembly, index: usize, body: &BodyInSpace) -> Option<Box<dyn Solid>> {
    let outside = &body.outside;
    if let Some(ends) = outside.ends() {
        return Some(Box::new(Vessel {
            surface: body.surface.clone(),
            from: body.placement.translation,
            axis: body.axis(),
            length: ends.length_mm,
            reach: ends.most_reach_mm(),
            // What is to be kept off on a body has none of its own.
            ends: (body.end_names() == ["NEAR END", "FAR END"] && body.of_body.is_none())
                .then_some(["near end", "far end"]),
        }));
    }
    if outside.is_flat() {
        return Some(Box::new(Plate {
            placement: body.placement,
            corners: match outside.edges_mm() {
                Some(edges) => [-0.5, 0.5].map(|half| half * DVec2::from_array(edges)),
                None => round_landings(assembly, index, body.placement)?,
            },
            thickness: wall(body),
        }));
    }
    if let Some(rim) = outside.rim_mm() {
        return Some(Box::new(Dome {
            surface: body.surface.clone(),
            outside: body.outside.clone(),
            placement: body.placement,
            height: outside.core()?.length_mm,
            rim,
        }));
    }
    Some(Box::new(Ball {
        middle: body.placement.translation,
        radius: outside.core()?.reach_mm,
    }))
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
pub(super) fn tube_piece(piece: &Piece) -> TubePiece {
    let tube = &piece.near.tube;
    TubePiece::new(
        piece.near.frame,
        tube.section,
        Some(tube.bore()).filter(|_| tube.wall_mm > 0.0),
        parts(&piece.near),
        parts(&piece.far),
    )
}

/// What an end is cut by, each body for itself.
pub(super) fn parts(end: &End) -> CutBy {
    end.weld_skin
        .parts()
        .map_or_else(|| vec![end.weld_skin.clone()], <[_]>::to_vec)
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
        let look = Look::new(crate::layout::Eye::at(30.0, 25.0), 74.0, 62.0);
        let drawing = scene(&job, &[7], &[], &[], &look).seen(&look).drawing();
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

    /// The ends of what lies are told apart, which are up and down of what stands; from where it is seen is told by what is in
    /// the shop: the eye is 30 degrees round from +x to the right, 25 degrees up.
    #[test]
    fn a_vessel_that_lies_has_its_ends_named_and_the_picture_says_from_where_it_is_seen() {
        let side = r#"{ "on": "it", "along": 200, "round": 0 }"#;
        let caption = |to: &str, zero: &str, ends: bool| {
            let body = format!(
                r#"{{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": {to}, "zero": {zero} }}"#
            );
            let (_, words) = drawn(&body, side);
            for end in ["near end", "far end"] {
                assert_eq!(words.contains(&end.to_owned()), ends, "{end}: {words:?}");
            }
            words.join(" ")
        };
        let says = |caption: String, words: &str| assert!(caption.contains(words), "{words}: {caption}");
        says(caption("[0, 400, 0]", "[1, 0, 0]", true), "the far end of it in front");
        says(
            caption("[0, -400, 0]", "[1, 0, 0]", true),
            "the near end of it in front",
        );
        // As it stands, +x towards +y is to the right as seen from outside, whichever of its ends is up.
        says(
            caption("[0, 0, 400]", "[1, 0, 0]", false),
            "30° right of the zero line of it",
        );
        says(
            caption("[0, 0, -400]", "[1, 0, 0]", false),
            "30° right of the zero line of it as it stands",
        );
    }

    #[test]
    fn what_is_made_already_is_named_or_counted() {
        let made: Vec<String> = ["a, its start", "b, its end", "c, its end", "the hole for a in drum"]
            .map(str::to_owned)
            .into();
        assert_eq!(made_words(&[]), "");
        assert_eq!(
            made_words(&made[..3]),
            "; made already: a, its start; b, its end; c, its end"
        );
        assert_eq!(made_words(&made), "; 4 ends and holes made already: see the note");
    }

    /// By hand, besides two edges, the bore's edge and two outlines of the tube, the leader and the frame: two rims and two outlines; a
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
            assert_eq!(drawn, lines + 5 + 2, "{body}");
            assert!(words.contains(&"7".to_owned()), "{body}: {words:?}");
        }
    }
}
