//! How a job is looked at: from where, how near, and which thing is chosen. Never a part of the document.

use glam::DVec3;
use kurbo::Vec2;

use crate::job::edit::Way;
use crate::layout::{Eye, Look};
use crate::page::typed::Typed;

/// As wide as the picture is drawn, in millimetres.
const WIDE_MM: f64 = 150.0;
/// Its height as a share of its width where nothing is said, and how low and high it may be.
const SHAPE: f64 = 0.75;
const SHAPES: (f64, f64) = (0.25, 1.5);
/// How near one may go, and how far.
const ZOOM: (f64, f64) = (0.2, 60.0);

/// How it is looked at.
pub(super) struct View {
    pub(super) look: Look,
    /// The chosen thing.
    pub(super) thing: Option<Way>,
}

impl View {
    /// Of a query: `eye=30,25`, `zoom=1.5`, `shape=0.4` (height over width), `moved=10,-4`, `thing=["tubes","riser"]`, and
    /// `frame=0,425,500,760` while the picture is to stay where it was (a ball: its middle and its radius).
    pub(super) fn of(typed: &Typed) -> Self {
        let eye = pair(typed.text("eye")).and_then(|(azimuth, height)| Eye::new(azimuth, height));
        let zoom = typed.text("zoom").parse().ok().filter(|zoom: &f64| zoom.is_finite());
        let moved = pair(typed.text("moved")).filter(|(right, up)| right.is_finite() && up.is_finite());
        let shape = typed.text("shape").parse().ok().filter(|shape: &f64| shape.is_finite());
        let high = WIDE_MM * shape.unwrap_or(SHAPE).clamp(SHAPES.0, SHAPES.1);
        let look = Look::new(eye.unwrap_or_default(), WIDE_MM, high);
        Self {
            look: Look {
                is_steady: true,
                zoom: zoom.unwrap_or(1.0).clamp(ZOOM.0, ZOOM.1),
                frame: frame(typed.text("frame")),
                moved: moved.map_or(Vec2::ZERO, |(right, up)| Vec2::new(right, up)),
                ..look
            },
            thing: serde_json::from_str(typed.text("thing")).ok(),
        }
    }
}

/// As [`frame_words`] writes it.
fn frame(text: &str) -> Option<(DVec3, f64)> {
    let figures = text
        .split(',')
        .map(|figure| figure.parse().ok().filter(|figure: &f64| figure.is_finite()));
    let figures: Vec<f64> = figures.collect::<Option<_>>()?;
    match figures[..] {
        [x, y, z, radius] if radius > 0.0 => Some((DVec3::new(x, y, z), radius)),
        _ => None,
    }
}

/// What a picture shows, in the words of a query.
pub(super) fn frame_words((middle, radius): (DVec3, f64)) -> String {
    let [x, y, z] = middle.to_array();
    format!("{x},{y},{z},{radius}")
}

fn pair(text: &str) -> Option<(f64, f64)> {
    let (one, other) = text.split_once(',')?;
    Some((one.trim().parse().ok()?, other.trim().parse().ok()?))
}
