//! What a tube's end opens in the body on which it lands, however the hole is marked.

use std::sync::Arc;

use super::{Assembly, BodyInSpace, Ending, Join, TubeEnd, TubeInSpace};
use crate::body::Body;
use crate::section::{Profile, Section};

pub(super) struct Opening<'a> {
    pub(super) end: TubeEnd,
    /// Whether it is the tube's start.
    pub(super) is_at_start: bool,
    /// Whether it is cut already.
    pub(super) is_made: bool,
    /// What it lands on, and which that is.
    pub(super) body: &'a BodyInSpace,
    pub(super) index: usize,
    pub(super) join: Join,
    /// Added to the tube's radius, in millimetres.
    pub(super) clearance_mm: f64,
    /// What cuts it out: the bore of a set-on tube, the outside of a set-in one with the clearance.
    pub(super) section: Section,
    /// What else the end is cut to.
    pub(super) others: Vec<Arc<dyn Body + Send + Sync>>,
    /// Their names.
    pub(super) covered_by: Vec<String>,
}

impl Assembly {
    pub(super) fn openings(&self, tube: &TubeInSpace) -> impl Iterator<Item = Opening<'_>> {
        let stock = &self.stock[tube.stock].tube;
        let ends = tube.ends().into_iter().zip([true, false]);
        ends.filter_map(move |(end, is_at_start)| {
            let Ending::Lands {
                body: index,
                join,
                clearance_mm,
                ..
            } = end.ending
            else {
                return None;
            };
            let also = end.also().iter().map(|other| &self.bodies[*other]);
            let (others, covered_by) = also
                .map(|other| (other.surface.clone() as _, other.name.clone()))
                .unzip();
            Some(Opening {
                is_at_start,
                is_made: tube.made[usize::from(!is_at_start)].hole,
                body: &self.bodies[index],
                index,
                join,
                clearance_mm,
                section: match join {
                    Join::SetOn => stock.bore(),
                    Join::SetIn => stock.section.grown(clearance_mm),
                },
                others,
                covered_by,
                end,
            })
        })
    }
}
