//! Several bodies at once: a node, or a drum with the ring round it.

use std::sync::Arc;

use super::{Body, Hit, Line};

/// What a line of the wall goes to whichever it meets first.
#[derive(Clone, PartialEq)]
pub struct Several {
    parts: Vec<Arc<dyn Body + Send + Sync>>,
}

impl Several {
    /// `parts`: two or more, each of them one body.
    pub fn new(parts: Vec<Arc<dyn Body + Send + Sync>>) -> Self {
        debug_assert!(parts.len() > 1 && parts.iter().all(|part| part.parts().is_none()));
        Self { parts }
    }
}

impl Body for Several {
    /// All together they are not convex: the solver asks each for itself.
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let hits = self.parts.iter().filter_map(|part| part.first_hit(line));
        hits.min_by(|a, b| a.distance.total_cmp(&b.distance))
    }

    fn passes_by(&self, line: &Line) -> Option<f64> {
        let by: Option<Vec<f64>> = self.parts.iter().map(|part| part.passes_by(line)).collect();
        by?.into_iter().reduce(f64::min)
    }

    fn parts(&self) -> Option<&[Arc<dyn Body + Send + Sync>]> {
        Some(&self.parts)
    }
}
