//! A whole job in space: bodies, tubes with two ends, and what they are cut from.

use std::collections::{BTreeMap, HashMap};

use glam::DVec3;

use super::{BodyInSpace, Join, PathShape, Stack, Touch, Tube};
use crate::measure::SAME_MM;
use crate::problem::Place;

/// How a tube's end is made.
#[derive(Debug, Clone, PartialEq)]
pub enum Ending {
    /// A square cut.
    Square,
    /// Mitered to another tube, which comes along this direction to where both end.
    Miter(DVec3),
    /// On a body, by its index.
    Lands {
        /// Which.
        body: usize,
        /// On it or in it.
        join: Join,
        /// Which part of the wall decides.
        touch: Touch,
        /// Of a set-in hole, in millimetres.
        clearance_mm: f64,
        /// Left between a set-on end and the body, square to the body's skin, in millimetres.
        root_gap_mm: f64,
        /// What else the end is cut to, by index: each line of the wall goes to whichever it meets first.
        also: Vec<usize>,
    },
}

/// What of a tube's end is there already: it is drawn and measured, and nothing is printed to make it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct MadeAlready {
    /// The end is cut.
    pub end: bool,
    /// The hole in what it lands on is cut.
    pub hole: bool,
}

/// What tubes are cut from.
#[derive(Debug, Clone, PartialEq)]
pub struct StockTube {
    /// Its name in the job.
    pub name: String,
    /// Its size.
    pub tube: Tube,
    /// A stick's length in millimetres.
    pub stick_mm: f64,
    /// What a cut takes away, in millimetres.
    pub kerf_mm: f64,
    /// Where its stick's length stands, or else its name.
    pub place: Place,
}

/// A tube along a path of straight legs.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeInSpace {
    /// Its name, with its number where it is repeated.
    pub name: String,
    /// Its name in the job, which all copies share.
    pub shared_name: String,
    /// What it is cut from, by index.
    pub stock: usize,
    /// Two or more, in space.
    pub nodes: Vec<DVec3>,
    /// At the first node.
    pub start: Ending,
    /// At the last.
    pub end: Ending,
    /// What of these two is there already.
    pub made: [MadeAlready; 2],
    /// Whether where it ends follows from its fall.
    pub falls_to_end: bool,
    /// Pairs of nodes, by the index of the first, between which there is no tube: the gaps of couplings.
    pub gaps: Vec<usize>,
    /// How far from the square ends at its couplings the sleeve reaches, in millimetres.
    pub sleeve_mark_mm: Option<f64>,
    /// Where a drain of it must come to lie.
    pub drain: Option<DrainRequest>,
    /// Of a tube with sides: how far its front side is turned from the front of the end that it is set by
    /// ([`Assembly::front_of_leg`]), in degrees to the right. `None` of round tube, each of whose pieces takes the front
    /// that is handy.
    pub turned_deg: Option<f64>,
}

/// An end of a tube.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeEnd {
    /// How it is made.
    pub ending: Ending,
    /// Where it is.
    pub at: DVec3,
    /// The node beside it.
    pub next: DVec3,
}

impl TubeEnd {
    /// From the end into the tube, as a unit vector.
    pub fn into_tube(&self) -> DVec3 {
        (self.next - self.at).normalize()
    }

    /// Whether it is cut to a miter with another tube.
    pub fn is_mitered(&self) -> bool {
        matches!(self.ending, Ending::Miter(_))
    }

    /// The body that it lands on, where it does.
    pub fn body(&self) -> Option<usize> {
        match self.ending {
            Ending::Lands { body, .. } => Some(body),
            _ => None,
        }
    }

    /// Whether it is cut to the body: the one that it lands on, or one of those that it is cut to as well.
    pub fn is_cut_to(&self, index: usize) -> bool {
        match &self.ending {
            Ending::Lands { body, also, .. } => *body == index || also.contains(&index),
            _ => false,
        }
    }

    /// What else than the body on which it lands it is cut to, by index.
    pub fn also(&self) -> &[usize] {
        match &self.ending {
            Ending::Lands { also, .. } => also,
            _ => &[],
        }
    }
}

impl TubeInSpace {
    /// What stands before the number in its name, and the number, as copies have it: `riser` and 3.
    pub fn numbered(&self) -> Option<(&str, usize)> {
        let (name, number) = self.name.rsplit_once(' ')?;
        Some((name, number.parse().ok()?))
    }

    /// Which of the copies of a repeated tube it is, from 1; `None` of a tube that isn't repeated.
    pub fn copy_number(&self) -> Option<usize> {
        let number = self.name.strip_prefix(self.shared_name.as_str())?;
        number.strip_prefix(' ')?.parse().ok()
    }

    /// Whether the two would be one tube: cut from the same stock, along the same path.
    pub fn is_same_as(&self, other: &Self) -> bool {
        let is_same = |(one, other): (&DVec3, &DVec3)| one.distance(*other) < SAME_MM;
        self.stock == other.stock
            && self.nodes.len() == other.nodes.len()
            && self.nodes.iter().zip(&other.nodes).all(is_same)
    }

    /// Where it begins, and where it ends.
    pub fn ends(&self) -> [TubeEnd; 2] {
        let last = self.nodes.len() - 1;
        [
            TubeEnd {
                ending: self.start.clone(),
                at: self.nodes[0],
                next: self.nodes[1],
            },
            TubeEnd {
                ending: self.end.clone(),
                at: self.nodes[last],
                next: self.nodes[last - 1],
            },
        ]
    }
}

/// A drain to be solved: the landing is moved along its body until the hole's low edge is where it must be.
#[derive(Debug, Clone, PartialEq)]
pub struct DrainRequest {
    /// At the tube's first node, else at its last.
    pub is_at_start: bool,
    /// 1 where the body's axis leads up, -1 where it leads down.
    pub up: f64,
    /// Where the floor is along the body from its end, in millimetres.
    pub floor_along: f64,
    /// Where the low edge must be along it, in millimetres.
    pub low_edge_along: f64,
    /// The path's points before they are given corners and a gap, in space.
    pub points: Vec<DVec3>,
    /// Which of them move with the landing.
    pub moves: Vec<bool>,
    /// What becomes of them.
    pub shape: PathShape,
}

/// A whole job in space.
#[derive(Debug, Clone)]
pub struct Assembly {
    /// Names it.
    pub title: String,
    /// What people should know, to be printed on the cover.
    pub note: Option<String>,
    /// What tubes are cut from.
    pub stock: Vec<StockTube>,
    /// What they land on; tubes that others land on among them.
    pub bodies: Vec<BodyInSpace>,
    /// All of them, copies too.
    pub tubes: Vec<TubeInSpace>,
    /// The root gap of set-on ends that say nothing else, in millimetres.
    pub root_gap_mm: f64,
    /// Tube by its name without number, body by index, and the distance in millimetres.
    pub keep_clear: Vec<(String, usize, f64)>,
    /// Vessels stacked from parts.
    pub stacks: Vec<Stack>,
    /// Where the words of each tube stand, by its name without number.
    pub words: BTreeMap<String, Place>,
}

impl Assembly {
    /// By body, the distances that tubes are to keep from it, by the names that their copies share.
    pub fn distances_kept(&self) -> HashMap<usize, HashMap<&str, f64>> {
        let mut kept: HashMap<usize, HashMap<&str, f64>> = HashMap::new();
        for (tube, body, by) in &self.keep_clear {
            let most = kept.entry(*body).or_default().entry(tube).or_insert(0.0);
            *most = most.max(*by);
        }
        kept
    }

    /// A thing that is to be kept off on a body, by its place in the body's list, as a body of its own; none where it is in no
    /// tube's way.
    pub fn kept_off(&self, on: usize, index: usize) -> Option<usize> {
        let name = format!("{} of {}", self.bodies[on].keep_off[index].name, self.bodies[on].name);
        self.bodies.iter().position(|body| body.name == name)
    }

    /// Where the words of a tube stand, for problems that are found in its geometry.
    pub fn word_of(&self, tube: &TubeInSpace) -> Option<&Place> {
        self.words.get(&tube.shared_name)
    }
}
