//! What is drawn, as the entities of a DXF: lines of straight parts, splines, words.

use std::io;

use kurbo::{BezPath, CubicBez, ParamCurve, PathSeg, Point};

use super::frame::MODEL_SPACE;
use super::pairs::Pairs;
use crate::layout::{Align, Item, Layer, Text};

const MM_PER_POINT: f64 = 25.4 / 72.0;
/// Height of capitals in ems: DXF measures letters by them.
const CAPITALS: f64 = 0.72;

/// An entity.
pub(super) enum Entity<'a> {
    /// Straight from place to place.
    Line(Vec<PathSeg>),
    /// Cubics end to end.
    Spline(Vec<PathSeg>),
    Words(&'a Text),
}

/// What a thing drawn is made of.
pub(super) fn entities(item: &Item) -> Vec<Entity<'_>> {
    match item {
        // White fills only make room for words on paper.
        Item::Fill(_, shade) if *shade >= 1.0 => Vec::new(),
        Item::Stroke(path, _) | Item::Fill(path, _) => subpaths(path).into_iter().map(entity).collect(),
        Item::Words(text) => vec![Entity::Words(text)],
    }
}

/// The segments of each connected part of a path.
fn subpaths(path: &BezPath) -> Vec<Vec<PathSeg>> {
    let mut parts: Vec<Vec<PathSeg>> = Vec::new();
    let mut end = None;
    for segment in path.segments() {
        match parts.last_mut() {
            Some(part) if end == Some(segment.start()) => part.push(segment),
            _ => parts.push(vec![segment]),
        }
        end = Some(segment.end());
    }
    parts
}

fn entity<'a>(segments: Vec<PathSeg>) -> Entity<'a> {
    if segments.iter().all(|segment| matches!(segment, PathSeg::Line(_))) {
        Entity::Line(segments)
    } else {
        Entity::Spline(segments)
    }
}

impl Entity<'_> {
    /// On its layer, under its own handle.
    pub(super) fn write(&self, pairs: &mut Pairs<'_>, layer: Layer, handle: u64) -> io::Result<()> {
        pairs.put(0, self.kind())?;
        pairs.put(5, format_args!("{handle:X}"))?;
        pairs.put(330, MODEL_SPACE)?;
        pairs.put(100, "AcDbEntity")?;
        pairs.words(8, layer.name())?;
        match self {
            Self::Line(segments) => line(pairs, segments),
            Self::Spline(segments) => spline(pairs, segments),
            Self::Words(text) => words(pairs, text),
        }
    }

    fn kind(&self) -> &'static str {
        match self {
            Self::Line(_) => "LWPOLYLINE",
            Self::Spline(_) => "SPLINE",
            Self::Words(_) => "TEXT",
        }
    }
}

fn line(pairs: &mut Pairs<'_>, segments: &[PathSeg]) -> io::Result<()> {
    let ends = segments.iter().map(PathSeg::end);
    let mut points: Vec<Point> = segments.first().map(PathSeg::start).into_iter().chain(ends).collect();
    let is_closed = points.len() > 3 && points.first() == points.last();
    if is_closed {
        points.pop();
    }
    pairs.put(100, "AcDbPolyline")?;
    pairs.put(90, points.len())?;
    pairs.put(70, u8::from(is_closed))?;
    points.into_iter().try_for_each(|point| pairs.place(10, point))
}

/// Cubics end to end as one spline: inner knots three times, so that each cubic is one span of it.
fn spline(pairs: &mut Pairs<'_>, segments: &[PathSeg]) -> io::Result<()> {
    let cubics: Vec<CubicBez> = segments.iter().map(PathSeg::to_cubic).collect();
    let start = cubics.first().map(|cubic| cubic.p0);
    let points = cubics.iter().flat_map(|cubic| [cubic.p1, cubic.p2, cubic.p3]);
    let inner = (0..=cubics.len()).flat_map(|knot| [knot; 3]);
    pairs.put(100, "AcDbSpline")?;
    // Planar, of the third degree.
    pairs.all("70 8 | 71 3")?;
    pairs.put(72, 3 * cubics.len() + 5)?;
    pairs.put(73, 3 * cubics.len() + 1)?;
    pairs.put(74, 0)?;
    for knot in [0].into_iter().chain(inner).chain([cubics.len()]) {
        pairs.number(40, knot as f64)?;
    }
    start
        .into_iter()
        .chain(points)
        .try_for_each(|point| pairs.place_in_space(10, point))
}

fn words(pairs: &mut Pairs<'_>, text: &Text) -> io::Result<()> {
    let align = match text.align {
        Align::Left => 0,
        Align::Middle => 1,
        Align::Right => 2,
    };
    pairs.put(100, "AcDbText")?;
    pairs.place_in_space(10, text.at)?;
    pairs.number(40, text.size_pt * MM_PER_POINT * CAPITALS)?;
    pairs.words(1, &text.words)?;
    pairs.number(50, 90.0 * f64::from(text.quarter_turns % 4))?;
    pairs.put(72, align)?;
    pairs.place_in_space(11, text.at)?;
    pairs.put(100, "AcDbText")
}
