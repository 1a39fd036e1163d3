//! How a hole lies to the strips of its body's skin: what is to be kept off, and the body's ends.

use kurbo::{BezPath, Point, Rect, Shape};

use super::flat_skin::FlatSkin;
use super::in_the_way::{LandingPart, Towards};
use super::outline::polyline;
use crate::body::Development;
use crate::job::Strip;

/// Overlaps below this are rounding, in millimetres.
pub(super) const SLIGHT: f64 = 0.01;
/// A body that leans no more than this stands: the least upward part of its axis.
pub(super) const STANDING: f64 = 0.5;
/// From the least to the greatest of some figures.
pub(super) type Span = [f64; 2];

/// How far what lies in one span is from another; below 0 how far it would have to be moved to leave it.
pub(super) fn apart(one: Span, other: Span) -> f64 {
    ways_apart(one, other)[1].max(ways_apart(one, other)[0])
}

/// The same moved down, and moved up.
pub(super) fn ways_apart(one: Span, other: Span) -> [f64; 2] {
    [other[0] - one[1], one[0] - other[1]]
}

pub(super) fn span(values: impl Iterator<Item = f64>) -> Span {
    values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| {
        [low.min(value), high.max(value)]
    })
}

impl FlatSkin<'_> {
    /// An outline about `middle` and a strip, both measured across the strip: up the skin, or aside, to the left.
    pub(super) fn across(&self, strip: Strip, outline: &[Point], middle: Point) -> [Span; 2] {
        match strip {
            Strip::Round(ends) => {
                let up = outline.iter().map(|place| self.shape.up(*place));
                [span(up), ends.map(|along| self.up_of(along))]
            }
            Strip::Along { round, wide_mm } => {
                let [from, to] = [0.0, 1.0].map(|along| self.at(along, round));
                // As it is met again nearest to the outline.
                let nearest = self.shape.turned(self.shape.turns(from, middle).round());
                let (from, to) = (nearest * from, nearest * to);
                let way = (to - from).normalize();
                let aside = outline.iter().map(|place| way.cross(*place - from));
                [span(aside), [-wide_mm / 2.0, wide_mm / 2.0]]
            }
        }
    }

    /// How far up the skin a place along the body is.
    pub(super) fn up_of(&self, along: f64) -> f64 {
        self.shape.up(self.at(along, 0.0))
    }

    /// Where a place that is measured on the body is on its flat skin.
    pub(crate) fn at(&self, along: f64, round: f64) -> Point {
        self.skin.lay_flat(self.body.surface.site(along, round).point)
    }

    /// The areas that a strip covers of the skin as it is slit, within `shown`.
    pub(crate) fn areas(&self, strip: Strip, shown: Rect) -> Vec<BezPath> {
        /// Straight pieces of an arc once round.
        const STEPS: u32 = 180;
        match (strip, self.shape) {
            (Strip::Round([from, to]), Development::Sector { .. }) => {
                let turned = |step: u32| self.shape.turned(f64::from(step) / f64::from(STEPS) - 0.5);
                let [low, high] = [from, to].map(|along| self.at(along, 0.0));
                let there = (0..=STEPS).map(|step| turned(step) * low);
                let back = (0..=STEPS).rev().map(|step| turned(step) * high);
                vec![closed(&there.chain(back).collect::<Vec<_>>())]
            }
            (Strip::Round([from, to]), _) => {
                let [low, high] = [from, to].map(|along| self.up_of(along));
                vec![Rect::new(shown.x0, low, shown.x1, high).to_path(1e-3)]
            }
            (Strip::Along { round, wide_mm }, shape) => {
                let length = self.body.length_mm();
                let ends = length.map_or([shown.y0, shown.y1], |length| [0.0, length]);
                let [from, to] = ends.map(|along| self.at(along, round));
                let aside = (to - from).normalize().turn_90() * (wide_mm / 2.0);
                let corners = [from + aside, from - aside, to - aside, to + aside];
                let Development::Strip { girth } = shape else {
                    return vec![closed(&corners)];
                };
                // What lies past the slit is met again at the other side.
                let here = Rect::from_points(corners[0], corners[2]);
                let images = [-girth, 0.0, girth].map(|on| (here + kurbo::Vec2::new(on, 0.0)).intersect(shown));
                let images = images.into_iter().filter(|image| image.width() > 0.0);
                images.map(|image| image.to_path(1e-3)).collect()
            }
        }
    }
}

fn closed(places: &[Point]) -> BezPath {
    let mut path = polyline(places);
    path.close_path();
    path
}

/// What a hole is too near to on its body's skin.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Strips {
    /// Of the outline up the skin, in millimetres.
    pub(super) up: Span,
    /// How far its place that is farthest in is from the body's nearer end, in millimetres, below 0 where all of it is past
    /// the end; none where the body has no ends.
    pub(super) farthest_in: Option<f64>,
    /// Of each thing that is to be kept off on the body, in the body's order, what is left between it and the hole, and
    /// between it and the wall of a tube that is set on, in millimetres; below 0 how far it would have to be moved.
    pub(crate) left: Vec<[Option<f64>; 2]>,
}

impl Strips {
    /// Of an outline on the whole skin about `middle`; `wall` gives where the tube's wall sits, where it sits on the skin.
    pub(crate) fn new(
        flat: &FlatSkin<'_>,
        (outline, middle): (&[Point], Point),
        wall: impl Fn() -> Vec<Point>,
    ) -> Self {
        let body = flat.body;
        let wall = if body.keep_off.is_empty() { Vec::new() } else { wall() };
        let left = body.keep_off.iter().map(|keep| {
            let [hole, strip] = flat.across(keep.strip, outline, middle);
            let wall = (!wall.is_empty()).then(|| flat.across(keep.strip, &wall, middle)[0]);
            [Some(apart(hole, strip)), wall.map(|wall| apart(wall, strip))]
        });
        let to_end = outline.iter().filter_map(|place| flat.to_end(*place));
        Self {
            up: span(outline.iter().map(|place| flat.shape.up(*place))),
            farthest_in: to_end.reduce(f64::max),
            left: left.collect(),
        }
    }

    /// What is to be kept off and is not: by its index, what comes into it, and how far it has to be moved at least, below 0.
    pub(super) fn trespasses(&self) -> impl Iterator<Item = (usize, LandingPart, f64)> {
        self.left.iter().enumerate().filter_map(|(index, [hole, wall])| {
            let (part, by) = LandingPart::over((*hole)?, *wall, is_over)?;
            Some((index, part, by))
        })
    }
}

/// Whether something comes over what it is so far apart from.
fn is_over(apart: f64) -> bool {
    apart < -SLIGHT
}

impl Towards {
    /// The two ways in which a strip is left: down and up, right and left.
    pub(super) fn of(strip: Strip) -> [Self; 2] {
        match strip {
            Strip::Round(_) => [Self::NearEnd, Self::FarEnd],
            Strip::Along { .. } => [Self::Right, Self::Left],
        }
    }
}

impl LandingPart {
    /// What of a tube's end comes over something, by how far its hole, and its wall where one sits on the skin, are apart from
    /// it, and how far it has to be moved at least, below 0; none where neither `is_over` it.
    pub(super) fn over(hole: f64, wall: Option<f64>, is_over: impl Fn(f64) -> bool) -> Option<(Self, f64)> {
        match (is_over(hole), wall.filter(|wall| is_over(*wall))) {
            (true, Some(wall)) => Some((Self::HoleAndWall, hole.min(wall))),
            (true, None) => Some((Self::Hole, hole)),
            (false, wall) => wall.map(|wall| (Self::Wall, wall)),
        }
    }
}
