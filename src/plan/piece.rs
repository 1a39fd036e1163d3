//! A kind of piece of a job, and its row in the cut list.

use std::collections::HashMap;
use std::f64::consts::PI;
use std::sync::Arc;

use super::cut_list::CutRow;
use super::end::PlannedEnd;
use super::marks::Marks;
use super::weld::EndWeld;
use crate::job::{Assembly, End, FrontOn, Piece, SheetOptions, TubeInSpace, WhichEnd};
use crate::measure::Units;
use crate::phrase::stretches;
use crate::section::Profile;
use crate::solver::{EndCurve, SolvedPiece, cut_at, deciding_bodies};

/// A piece of tube.
#[derive(Debug, serde::Serialize)]
pub struct PlannedPiece {
    /// Its name.
    pub name: String,
    /// How many are made.
    pub quantity: usize,
    /// Along the centre line between its cuts, or from the tangent point to its cut, in millimetres, where it is known.
    pub centre_line_mm: Option<f64>,
    /// From tip to tip, in millimetres, where it is known.
    pub tip_to_tip_mm: Option<f64>,
    /// Each cut's angle off square, in degrees.
    pub cut_off_square_deg: Vec<f64>,
    /// From one end's front to the other's, in degrees, where both have one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub twist_deg: Option<f64>,
}

/// A cut that strays less than this from a square one is square, in millimetres: no saw cuts truer.
const SQUARE: f64 = 0.01;

/// No more bodies than this are named where an equal piece lands on each.
const MOST_BODIES: usize = 3;

/// No more names than these are told of equal pieces, copies of one tube by one.
const MOST_NAMES: usize = 3;

/// So many ways in which fronts of equal pieces lie on what they land on are told apart.
const MOST_FRONTS: usize = 6;

/// Fronts that are turned from each other by less are told alike, in degrees.
const LIKE_DEG: f64 = 0.05;

/// Ends that are turned from each other by less, in degrees, are not.
const SLIGHT_TWIST_DEG: f64 = 0.05;

/// What the ends of a piece are called.
pub(crate) const SIDES: [&str; 2] = ["start", "end"];
/// A wrap of a whole piece is no longer than this, in millimetres; a longer piece has one for each end.
const LONGEST_WHOLE: f64 = 180.0;

/// A piece of a kind: equal ones may stand otherwise.
pub(crate) struct Like {
    /// Its tube, by its place in the list.
    pub(crate) of_tube: usize,
    /// What its name says after the tube's: ` b`, or nothing.
    pub(crate) part: String,
    /// How its ends' fronts lie, among the kind's; none where too many lie otherwise to be told.
    pub(crate) fronts: Option<usize>,
}

/// A kind of piece: the first of its like, and how many there are.
pub(crate) struct Kind {
    pub(crate) piece: Piece,
    /// What the ends of all its like land on: names, in the order of the pieces.
    pub(crate) bodies: [Vec<String>; 2],
    pub(crate) solved: Arc<SolvedPiece>,
    /// At each end, where it is welded to something.
    pub(crate) welds: [Option<EndWeld>; 2],
    pub(crate) quantity: usize,
    /// In the cut list, from 1.
    pub(crate) number: usize,
    /// All of its like, in the order of the tubes.
    pub(crate) all: Vec<Like>,
    /// How fronts of these lie on what the ends land on.
    pub(crate) fronts: Vec<[Option<FrontOn>; 2]>,
}

impl Kind {
    /// One more of its like, or its first, of this tube.
    pub(crate) fn count(&mut self, piece: &Piece, (of_tube, tube): (usize, &TubeInSpace)) {
        self.quantity += 1;
        let known = self
            .fronts
            .iter()
            .position(|fronts| lie_alike(fronts, &piece.fronts_on));
        let fronts = known.or_else(|| {
            (self.fronts.len() < MOST_FRONTS).then(|| {
                self.fronts.push(piece.fronts_on);
                self.fronts.len() - 1
            })
        });
        let part = piece
            .name
            .strip_prefix(tube.name.as_str())
            .unwrap_or_default()
            .to_owned();
        self.all.push(Like { of_tube, part, fronts });
        for (bodies, end) in self.bodies.iter_mut().zip(&piece.ends) {
            let body = end.body.as_ref().filter(|body| !bodies.contains(body));
            bodies.extend(body.cloned());
        }
    }

    /// Its number and name, as on all its sheets.
    pub(crate) fn label(&self) -> String {
        format!("{} {}", self.number, self.piece.name)
    }

    /// What some of its like are called: `left brace, right brace`, `riser 1 to 8`, `a, b, c and 3 more`.
    pub(crate) fn names<'a>(assembly: &'a Assembly, some: impl Iterator<Item = &'a Like>) -> String {
        let mut found: Vec<((&'a str, &'a str), Vec<usize>)> = Vec::new();
        let mut known: HashMap<(&'a str, &'a str), usize> = HashMap::new();
        for like in some {
            let tube = &assembly.tubes[like.of_tube];
            let name = (tube.shared_name.as_str(), like.part.as_str());
            let index = *known.entry(name).or_insert_with(|| {
                found.push((name, Vec::new()));
                found.len() - 1
            });
            // A tube that isn't repeated is itself alone.
            found[index].1.push(tube.copy_number().unwrap_or(0));
        }
        let left: usize = found.iter().skip(MOST_NAMES).map(|(_, copies)| copies.len()).sum();
        let told = found
            .iter()
            .take(MOST_NAMES)
            .map(|((name, part), copies)| match copies.as_slice() {
                [0] => format!("{name}{part}"),
                [one] => format!("{name} {one}{part}"),
                // Letters after several numbers would be read as the last one's.
                many if part.is_empty() => format!("{name} {}", stretches(many.iter().copied())),
                many => format!("{name} {}, each{part}", stretches(many.iter().copied())),
            });
        let told = told.collect::<Vec<_>>().join(", ");
        if left > 0 {
            format!("{told} and {left} more")
        } else {
            told
        }
    }

    /// Its row in the cut list.
    pub(crate) fn row(&self, assembly: &Assembly, units: Units) -> CutRow {
        CutRow {
            number: self.number,
            name: self.piece.name.clone(),
            names: Self::names(assembly, self.all.iter()),
            quantity: self.quantity,
            stock: self.piece.stock,
            length_mm: self.solved.tip_to_tip_mm,
            ends: self.ends(units),
            twist_deg: self.solved.twist_deg.map(|_| self.told_twist_deg().unwrap_or(0.0)),
            // Of no welds the sum is -0.
            weld_mm: self.welds.iter().flatten().map(EndWeld::counted_mm).sum::<f64>() + 0.0,
            is_made: self.piece.ends.iter().all(|end| end.is_made),
            patterns: self.patterns(),
        }
    }

    pub(crate) fn planned(&self) -> PlannedPiece {
        PlannedPiece {
            name: self.piece.name.clone(),
            quantity: self.quantity,
            centre_line_mm: Some(self.piece.length_mm),
            tip_to_tip_mm: Some(self.solved.tip_to_tip_mm),
            cut_off_square_deg: self.piece.flat_cuts_deg.iter().flatten().copied().collect(),
            twist_deg: self.solved.twist_deg,
        }
    }

    /// A square end needs no pattern, whatever it lands on.
    pub(crate) fn is_square(&self, end: usize) -> bool {
        let curve = self.curve(end);
        curve.highest.0 - curve.lowest.0 < SQUARE
    }

    /// Whether an end has yet to be marked: it is neither square nor cut already.
    pub(crate) fn is_marked(&self, end: usize) -> bool {
        !self.is_square(end) && !self.piece.ends[end].is_made
    }

    pub(crate) fn curve(&self, end: usize) -> &EndCurve {
        if end == 0 { &self.solved.near } else { &self.solved.far }
    }

    /// From one end's front to the other's, in degrees; none where they lie alike, or an end is cut alike at its front and its
    /// back, so that it fits either way.
    pub(crate) fn told_twist_deg(&self) -> Option<f64> {
        let twist = self.solved.twist_deg?;
        let fits_either_way = [&self.piece.near, &self.piece.far]
            .into_iter()
            .any(is_alike_turned_over);
        let least = if fits_either_way {
            twist - 180.0 * (twist / 180.0).round()
        } else {
            twist
        };
        (least.abs() > SLIGHT_TWIST_DEG).then_some(least)
    }

    /// What each end is, in words.
    pub(crate) fn ends(&self, units: Units) -> [String; 2] {
        [0, 1].map(|end| {
            let kind = units.tell(&self.piece.ends[end].kind);
            let words = match self.bodies[end].as_slice() {
                [] => kind,
                few if few.len() <= MOST_BODIES => format!("{kind} {}", few.join(", ")),
                [first, more @ ..] => format!("{kind} {first} and {} more", more.len()),
            };
            let square = if self.is_square(end) && self.piece.flat_cuts_deg[end].is_none() {
                ", cut square"
            } else {
                ""
            };
            let root_gap = match [&self.piece.near, &self.piece.far][end].root_gap_mm {
                0.0 => String::new(),
                gap => format!(", root gap {} in the pattern", units.show(gap)),
            };
            let also = match self.also(end, true).as_slice() {
                [] => String::new(),
                others => format!(", cut to {} too", others.join(", ")),
            };
            let made = if self.piece.ends[end].is_made {
                ", cut already"
            } else {
                ""
            };
            format!("{words}{also}{square}{root_gap}{made}")
        })
    }

    /// What else an end was to be cut to, by place in the list, that no line of its wall comes to first.
    pub(crate) fn unmet(&self, end: usize) -> Vec<usize> {
        let also = self.piece.ends[end].also.len();
        if also == 0 {
            return Vec::new();
        }
        // The first is what it lands on.
        let met = deciding_bodies(self.piece.end(end), self.curve(end));
        (0..also).filter(|other| !met.contains(&(other + 1))).collect()
    }

    /// The names of those that are met, or of those that are not.
    pub(crate) fn also(&self, end: usize, is_met: bool) -> Vec<&str> {
        let unmet = self.unmet(end);
        let all = self.piece.ends[end].also.iter().enumerate();
        let wanted = all.filter(|(other, _)| unmet.contains(other) != is_met);
        wanted.map(|(_, name)| name.as_str()).collect()
    }

    /// Whether one wrap bears both cuts.
    pub(crate) fn is_on_one_wrap(&self) -> bool {
        let is_any_made = self.piece.ends.iter().any(|end| end.is_made);
        let is_short = self.solved.tip_to_tip_mm <= LONGEST_WHOLE;
        let marked = [0, 1].map(|end| self.is_marked(end));
        let is_wanted = match marked.iter().filter(|is_marked| **is_marked).count() {
            0 => false,
            // Where a whole one would be tiled, one of the cut alone is on one sheet.
            1 => !self.needs_tiles_whole(),
            _ => true,
        };
        is_short && !is_any_made && is_wanted
    }

    /// Whether a wrap that bears both cuts is larger than a sheet, and one of a cut alone isn't.
    fn needs_tiles_whole(&self) -> bool {
        /// Girths that go across a sheet, and along it, with the tab; and what a wrap may be high then, without its words.
        const ACROSS: f64 = 155.0;
        const ALONG: f64 = 240.0;
        const HIGH: f64 = 115.0;
        let tube = &self.piece.near.tube;
        let girth = tube.section.girth();
        girth > ACROSS && girth <= ALONG && self.solved.tip_to_tip_mm > HIGH
    }

    /// Where the base line of a wrap that bears both cuts is, from either end's work point, in millimetres.
    pub(super) fn base_line_of_whole(&self) -> f64 {
        self.piece.length_mm / 2.0
    }

    /// What an end is called, as on its table.
    pub(crate) fn end_name(&self, end: usize) -> String {
        format!("{}: {}", self.label(), SIDES[end])
    }

    /// The name of an end's pattern, or of the one that bears both.
    fn pattern(&self, end: usize) -> String {
        let what = if self.is_on_one_wrap() {
            "whole piece"
        } else {
            SIDES[end]
        };
        format!("{}: {what}", self.label())
    }

    /// The names of its patterns.
    fn patterns(&self) -> Vec<String> {
        let mut names: Vec<String> = (0..2)
            .filter(|end| self.is_marked(*end))
            .map(|end| self.pattern(end))
            .collect();
        names.dedup();
        names
    }
}

/// Whether a cut stays the same where its tube is turned half round: square on a round body, say.
pub(super) fn is_alike_turned_over(end: &End) -> bool {
    /// Places looked at over half of the girth.
    const PLACES: u32 = 24;
    let height = |azimuth: f64| cut_at(end, azimuth).map(|cut| cut.t);
    (0..PLACES).all(|place| {
        let azimuth = PI * f64::from(place) / f64::from(PLACES);
        let both = height(azimuth).zip(height(azimuth + PI));
        both.is_some_and(|(one, other)| (one - other).abs() < SQUARE)
    })
}

/// Whether the fronts of two pieces lie alike on what their ends land on.
fn lie_alike(one: &[Option<FrontOn>; 2], other: &[Option<FrontOn>; 2]) -> bool {
    one.iter().zip(other).all(|pair| match pair {
        (Some(one), Some(other)) => {
            let turned = (one.turned_deg - other.turned_deg).rem_euclid(360.0);
            one.ways == other.ways && turned.min(360.0 - turned) < LIKE_DEG
        }
        (one, other) => one.is_none() && other.is_none(),
    })
}

/// The welds at the ends of a piece: where it lands on a body, and where it goes on round a mitered corner. What a square end
/// meets, a coupling or nothing, isn't known.
pub(crate) fn piece_welds(piece: &Piece, sheet: &SheetOptions) -> [Option<EndWeld>; 2] {
    let ends = [&piece.near, &piece.far];
    [0, 1].map(|side| {
        let end = ends[side];
        let is_welded = piece.ends[side].body.is_some() || end.is_mirrored;
        is_welded
            .then(|| EndWeld::new(end, sheet.weld, WhichEnd::BOTH[side]))
            .flatten()
    })
}

/// The ends of a piece, as the report has them.
pub(crate) fn piece_ends(kind: &Kind, sheet: &SheetOptions) -> [PlannedEnd; 2] {
    let (piece, solved) = (&kind.piece, &kind.solved);
    let end = |side: usize, end: &End, curve: &EndCurve| {
        let which = WhichEnd::BOTH[side];
        let marks = if kind.is_on_one_wrap() {
            Marks::from_base(kind.base_line_of_whole(), end, curve, which, sheet.stations)
        } else {
            Marks::new(end, curve, which, sheet.stations, sheet.units)
        };
        let name = kind.end_name(side);
        PlannedEnd {
            pattern: kind.pattern(side),
            weld: kind.welds[side].clone(),
            ..PlannedEnd::new(name, end.clone(), curve.clone(), which, marks)
        }
    };
    [end(0, &piece.near, &solved.near), end(1, &piece.far, &solved.far)]
}
