//! How far a landing is moved over its body's skin until it is clear of what is there.

use kurbo::{Affine, Point};

use super::in_the_way::{Move, Towards};
use super::strips::{SLIGHT, Span};
use crate::body::Development;

/// Moves are found within this, in millimetres, and told no shorter than they are.
const WITHIN: f64 = 2e-3;

/// No move is looked for past this, in millimetres.
const FARTHEST: f64 = 4_000.0;

/// The least distance from which on it is clear, in millimetres, where none is not; `None` where it is so nowhere. It has to
/// be clear from there on as far as is looked. `first` is a guess at the distance, above 0.
pub(super) fn least_clear(first: f64, is_clear: &dyn Fn(f64) -> bool) -> Option<f64> {
    let (mut low, mut high) = (0.0, first);
    while !is_clear(high) {
        (low, high) = (high, 2.0 * high);
        if high > FARTHEST {
            return None;
        }
    }
    while high - low > WITHIN {
        let middle = f64::midpoint(low, high);
        if is_clear(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

/// What stops a move however far it leads.
pub(super) const EVERYWHERE: Span = [f64::NEG_INFINITY, f64::INFINITY];

/// The least distance that lies in none of these stops and at which nothing else is in the way, in millimetres; none where
/// there is none. `past` gives the distance from which on what is in the way at one is not.
pub(super) fn first_clear(stops: &[Span], past: &dyn Fn(f64) -> Option<f64>) -> Option<f64> {
    let mut by = 0.0;
    loop {
        let stopped = stops
            .iter()
            .filter(|[from, to]| *from + SLIGHT < by && by < *to - SLIGHT);
        let beyond = stopped.map(|[_, to]| *to).reduce(f64::max).or_else(|| past(by));
        match beyond {
            None => return Some(by).filter(|by| *by > 0.0),
            Some(beyond) if beyond > FARTHEST => return None,
            Some(beyond) => by = beyond,
        }
    }
}

impl Towards {
    /// All of them.
    pub(super) const ALL: [Self; 4] = [Self::NearEnd, Self::FarEnd, Self::Right, Self::Left];

    /// Whether it leads along the body.
    pub(crate) fn is_along(self) -> bool {
        matches!(self, Self::NearEnd | Self::FarEnd)
    }

    /// 1 to the far end and to the right, else -1.
    pub(super) fn sign(self) -> f64 {
        match self {
            Self::FarEnd | Self::Right => 1.0,
            Self::NearEnd | Self::Left => -1.0,
        }
    }

    /// Moves what lies about `middle` of a skin laid flat so far, in millimetres.
    pub(super) fn over(self, shape: &Development, middle: Point, by_mm: f64) -> Affine {
        let by = self.sign() * by_mm;
        match (*shape, self.is_along()) {
            (Development::Plane | Development::Strip { .. }, true) => Affine::translate((0.0, by)),
            (Development::Plane, false) => Affine::translate((by, 0.0)),
            (Development::Strip { girth }, false) => shape.turned(by / girth),
            (Development::Sector { tip, .. }, true) => {
                let up = -tip.y.signum() * (middle - tip).normalize();
                Affine::translate(by * up)
            }
            (Development::Sector { tip, turn }, false) => shape.turned(by / (turn.abs() * middle.distance(tip))),
        }
    }
}

impl Move {
    /// The least of the moves of a tube's landing over a body's skin of this shape, of those that there are.
    pub(super) fn least(
        shape: &Development,
        tube: usize,
        ways: impl IntoIterator<Item = (Towards, f64)>,
    ) -> Option<Self> {
        let least = ways.into_iter().min_by(|a, b| a.1.total_cmp(&b.1));
        least.map(|(towards, by_mm)| Self {
            tube,
            clears: 1,
            towards,
            by_mm,
            // Moved along a cone it is met where the cone is wider or narrower; round a body it is met at another angle, unless
            // the tube is turned with it.
            is_near: match towards.is_along() {
                true => matches!(shape, Development::Sector { .. }),
                false => !matches!(shape, Development::Plane),
            },
        })
    }
}
