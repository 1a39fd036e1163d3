//! Lines through space.

use glam::DVec3;

/// Steps round an edge, from which its length is told.
const ROUND: usize = 60;

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::layout) enum Kind {
    /// An edge or an outline.
    Edge,
    /// The edge of a cut that is made.
    Cut,
    /// Marked on a skin: a front line.
    Mark,
}

/// A line through places in space.
pub(in crate::layout) struct LineInSpace<'a> {
    /// From 0 to 1 along it.
    at: Box<dyn Fn(f64) -> DVec3 + 'a>,
    /// Steps in which its shape shows.
    steps: usize,
    pub(super) kind: Kind,
}

impl<'a> LineInSpace<'a> {
    /// One that bends.
    pub(super) fn curve(at: impl Fn(f64) -> DVec3 + 'a) -> Self {
        Self {
            at: Box::new(at),
            steps: ROUND,
            kind: Kind::Edge,
        }
    }

    /// A straight one.
    pub(super) fn straight(from: DVec3, to: DVec3) -> Self {
        Self {
            at: Box::new(move |share| from.lerp(to, share)),
            steps: 1,
            kind: Kind::Edge,
        }
    }

    /// The same as another kind.
    pub(super) fn of(self, kind: Kind) -> Self {
        Self { kind, ..self }
    }

    /// Its place at a share of it, from 0 to 1.
    pub(super) fn at(&self, share: f64) -> DVec3 {
        (self.at)(share)
    }

    /// So many of its places that its shape shows, evenly spread over its shares.
    pub(super) fn shape(&self) -> impl Iterator<Item = DVec3> {
        (0..=self.steps).map(|step| (self.at)(step as f64 / self.steps as f64))
    }
}
