//! From what on a tube the holes in it are measured: of a start that is cut its work point can't be found.

use super::marks::base_line;
use super::piece::Kind;
use super::telling_side::TellingSide;
use crate::job::Assembly;
use crate::measure::Units;

/// What can be found on a tube near its cut start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Datum {
    /// How far it is from the start's work point towards the end, in millimetres.
    pub(crate) along_mm: f64,
    /// What it is.
    pub(crate) what: Found,
    /// Where the tube has no wrap there, by which side its FRONT is found.
    pub(crate) telling: Option<TellingSide>,
}

/// Marks and edges that are found on a tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Found {
    /// The wrap's base line.
    BaseLine,
    /// The tip of a start that is cut already.
    Tip,
}

impl Datum {
    /// Of a piece; none where its start is square, and so is found itself.
    pub(super) fn new(kind: &Kind, units: Units) -> Option<Self> {
        let (along_mm, what) = if kind.is_square(0) {
            return None;
        } else if !kind.is_marked(0) {
            (kind.curve(0).lowest.0, Found::Tip)
        } else if kind.is_on_one_wrap() {
            (kind.base_line_of_whole(), Found::BaseLine)
        } else {
            (base_line(kind.curve(0), units), Found::BaseLine)
        };
        let telling = (what == Found::Tip).then(|| kind.telling_side(0)).flatten();
        Some(Self {
            along_mm,
            what,
            telling,
        })
    }
}

/// From what holes in the tubes of an assembly are measured.
pub(super) struct Datums<'a> {
    assembly: &'a Assembly,
    kinds: &'a [Kind],
    /// Those of the kinds, from 1, of every piece in its order.
    numbers: &'a [usize],
    /// Of each tube which piece is its first.
    first_pieces: Vec<usize>,
    units: Units,
}

impl<'a> Datums<'a> {
    pub(super) fn new(assembly: &'a Assembly, kinds: &'a [Kind], numbers: &'a [usize], units: Units) -> Self {
        let mut pieces = 0;
        let first_pieces = assembly.tubes.iter().map(|tube| {
            let first = pieces;
            pieces += tube.nodes.len() - 1 - tube.gaps.len();
            first
        });
        Self {
            assembly,
            kinds,
            numbers,
            first_pieces: first_pieces.collect(),
            units,
        }
    }

    /// Of a body by its place in the list; none of one that is no tube, or whose start is found itself.
    pub(super) fn of_body(&self, body: usize) -> Option<Datum> {
        let body = &self.assembly.bodies[body];
        let (tube, leg) = (body.of_tube?, body.of_leg.unwrap_or(0));
        let gaps = self.assembly.tubes[tube].gaps.iter().filter(|gap| **gap < leg).count();
        let number = self.numbers.get(self.first_pieces[tube] + leg - gaps)?;
        Datum::new(&self.kinds[number - 1], self.units)
    }
}
