//! A body's skin laid flat for a screen: small, with the holes that are there, and how a place on it is measured.

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape, Size, Vec2};

use super::drawing::{Align, Drawing, Layer, Pen, Text};
use super::label::TITLE_PT;
use super::polyline::{polyline, thinned};
use super::text::MM_PER_POINT;
use crate::body::Development;
use crate::job::{BodyInSpace, Strip};
use crate::plan::{FlatSkin, JobPlan};

/// Room for the skin, in millimetres.
const ROOM: Size = Size::new(76.0, 62.0);
/// A long narrow skin is drawn no narrower than this share of the room, and a flat one no flatter: one must be able to point
/// at a place of it.
const NARROWEST: f64 = 0.45;
/// Shown round what is on a plate without edges, in millimetres: room for more.
const ROUND_PLATE: f64 = 150.0;
/// An outline is drawn with no more places than keep it this near, in millimetres on the picture.
const NEAR: f64 = 0.01;
/// How light strips are, 1 being white.
const GREY: f64 = 0.85;
const HOLE: Pen = Pen {
    width_mm: 0.35,
    ..Pen::PLAIN
};
const MEASURE: Pen = Pen {
    width_mm: 0.4,
    ..Pen::PLAIN
};

/// What a part of it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SkinPart {
    /// The skin's edge and its zero line.
    Skin,
    /// What no hole may come into, and where parts lap.
    Strips,
    /// A tube's hole.
    Hole {
        /// The tube's name.
        tube: String,
    },
    /// A hole as it was found.
    Found,
    /// What is measured along the body.
    Along,
    /// What is measured round it.
    Round,
    /// The place itself.
    Here,
    /// What its ends and sides are called.
    Words,
}

/// A body's skin laid flat.
#[derive(Debug, Clone)]
pub struct SkinMap {
    /// The body's name.
    pub body: String,
    /// Its parts, in the order in which they are drawn. Millimetres, y up.
    pub parts: Vec<(SkinPart, Drawing)>,
    /// From the flat skin, (0, 0) being where the zero line meets the body's end, to the picture: scales and moves, turns
    /// nothing.
    pub onto: Affine,
}

/// The skin of a job's body, by index, and how a place on it is measured that is so many millimetres along and so many
/// radians (across a plate millimetres) round; none where the body can't be laid flat.
pub fn skin_map(job: &JobPlan, body: usize, place: Option<(f64, f64)>) -> Option<SkinMap> {
    let (index, body) = (body, job.assembly.bodies.get(body)?);
    let flat = FlatSkin::new(body)?;
    let place = place.filter(|(along, round)| is_near(body, *along, *round));
    let holes: Vec<(SkinPart, Vec<Vec<Point>>)> = (job.holes.iter())
        .filter(|hole| hole.hole.body == index)
        .map(|hole| {
            let tube = hole.hole.tube.clone();
            (SkinPart::Hole { tube }, flat.slit(&hole.on_skin(), hole.middle))
        })
        .chain(
            flat.found()
                .map(|found| (SkinPart::Found, flat.slit(&found.outline, found.middle))),
        )
        .collect();
    let measures = place.map(|(along, round)| (flat.at(along, round), flat.measures(along, round)));
    let edge = flat.edge();
    let places = holes.iter().flat_map(|(_, parts)| parts.iter().flatten().copied());
    let places = places.chain(measures.iter().map(|(place, _)| *place));
    let on_it = places.fold(Rect::ZERO, |all, place| all.union_pt(place));
    let shown = edge.as_ref().map_or_else(
        || on_it.inflate(ROUND_PLATE, ROUND_PLATE),
        |edge| edge.bounding_box().union(on_it),
    );
    let onto = onto(shown, &flat.shape);
    let mut parts = vec![
        (SkinPart::Strips, strips(body, &flat, shown, onto)),
        (SkinPart::Skin, skin(&flat, edge.as_ref(), shown, onto)),
    ];
    for (part, outlines) in holes {
        let pen = if part == SkinPart::Found { Pen::DASHED } else { HOLE };
        parts.push((part, lines(&outlines, pen, onto)));
    }
    if let Some((place, [round, along])) = measures {
        parts.push((SkinPart::Round, measure(&round, onto)));
        parts.push((SkinPart::Along, measure(&along, onto)));
        parts.push((SkinPart::Here, here(onto * place)));
    }
    parts.push((
        SkinPart::Words,
        names(body, &flat, onto.transform_rect_bbox(shown), onto),
    ));
    Some(SkinMap {
        body: body.name.clone(),
        parts,
        onto,
    })
}

/// Whether a place is on the body or so near to it that both can be shown.
fn is_near(body: &BodyInSpace, along: f64, round: f64) -> bool {
    let is_along = body.reach_along().is_none_or(|[low, high]| {
        let past = 0.5 * (high - low);
        (low - past..=high + past).contains(&along)
    });
    is_along && along.is_finite() && round.is_finite()
}

fn onto(shown: Rect, shape: &Development) -> Affine {
    let [wide, high] = [ROOM.width / shown.width(), ROOM.height / shown.height()];
    let scale = wide.min(high);
    // Only where what is straight and square stays so.
    let (wide, high) = match shape {
        Development::Sector { .. } => (scale, scale),
        Development::Plane | Development::Strip { .. } => (scale.max(NARROWEST * wide), scale.max(NARROWEST * high)),
    };
    Affine::scale_non_uniform(wide, high) * Affine::translate((-shown.x0, -shown.y0))
}

fn strips(body: &BodyInSpace, flat: &FlatSkin<'_>, shown: Rect, onto: Affine) -> Drawing {
    let mut drawing = Drawing::default();
    let laps = body.laps.iter().map(|lap| Strip::Round(lap.along_mm));
    for strip in body.keep_off.iter().map(|keep| keep.strip).chain(laps) {
        for area in flat.areas(strip, shown) {
            let area = onto * area;
            drawing.fill(Layer::Notes, GREY, &area);
            drawing.stroke(Layer::Notes, Pen::FINE, &area);
        }
    }
    drawing
}

/// Its edge and its zero line, or the cross through a plate's point; where it is parted.
fn skin(flat: &FlatSkin<'_>, edge: Option<&BezPath>, shown: Rect, onto: Affine) -> Drawing {
    let mut drawing = Drawing::default();
    if let Some(edge) = edge {
        drawing.stroke(Layer::Notes, Pen::PLAIN, onto * edge);
    }
    let mut guide = |from: Point, to: Point| drawing.line(Layer::CrownLines, Pen::CROWN, onto * from, onto * to);
    match flat.zero_line() {
        Some(zero) => guide(zero.p0, zero.p1),
        None => {
            guide(Point::new(0.0, shown.y0), Point::new(0.0, shown.y1));
            guide(Point::new(shown.x0, 0.0), Point::new(shown.x1, 0.0));
        }
    }
    drawing
}

fn lines(outlines: &[Vec<Point>], pen: Pen, onto: Affine) -> Drawing {
    let mut drawing = Drawing::default();
    for outline in outlines {
        let places: Vec<Point> = outline.iter().map(|place| onto * *place).collect();
        drawing.stroke(Layer::Notes, pen, polyline(&thinned(&places, NEAR)));
    }
    drawing
}

/// With a tick where it begins.
fn measure(parts: &[Vec<Point>], onto: Affine) -> Drawing {
    const TICK: f64 = 1.2;
    let mut drawing = lines(parts, MEASURE, onto);
    // Along is told from the place down, round from the zero line: ticks stand at both ends.
    let ends = parts.iter().filter_map(|part| Some((part.first()?, part.get(1)?)));
    let ends = ends.take(1).chain(parts.last().and_then(|part| match part.as_slice() {
        [.., before, last] => Some((last, before)),
        _ => None,
    }));
    for (end, beside) in ends {
        let (end, beside) = (onto * *end, onto * *beside);
        let across = (beside - end).normalize().turn_90() * TICK;
        if across.is_finite() {
            drawing.line(Layer::Notes, MEASURE, end - across, end + across);
        }
    }
    drawing
}

fn here(place: Point) -> Drawing {
    let mut drawing = Drawing::default();
    drawing.fill(Layer::Notes, 0.0, Circle::new(place, 1.1));
    drawing
}

/// Outside the skin, so that they stand over nothing.
fn names(body: &BodyInSpace, flat: &FlatSkin<'_>, shown: Rect, onto: Affine) -> Drawing {
    let mut drawing = Drawing::default();
    let height = TITLE_PT * MM_PER_POINT;
    let [below, above] = match flat.shape {
        Development::Plane => ["", "UP"],
        _ => body.end_names(),
    };
    let middle = flat.zero_line().map_or(shown.center().x, |zero| (onto * zero.p0).x);
    for (words, y) in [
        (below, shown.y0 - 1.0 - 0.76 * height),
        (above, shown.y1 + 1.0 + 0.22 * height),
    ] {
        drawing.note(Text::new((middle, y), TITLE_PT, words).align(Align::Middle));
    }
    let sides = [("LEFT", shown.x0 - 1.2), ("RIGHT", shown.x1 + 1.2 + 0.76 * height)];
    for (words, x) in sides {
        let at = Point::new(x, shown.center().y) + Vec2::ZERO;
        drawing.note(Text::new(at, TITLE_PT, words).align(Align::Middle).upwards());
    }
    drawing
}
