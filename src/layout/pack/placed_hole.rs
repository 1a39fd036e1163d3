//! A hole on its body's skin: where it goes, in figures and words, and what is left between it and the next.

use std::f64::consts::PI;

use kurbo::{Affine, Point};

use super::if_round::IfRound;
use crate::job::{Assembly, Extent, HoleInBody, TubeInSpace};
use crate::layout::polygon;
use crate::measure::{Units, show_angle};
use crate::solver::{Clash, HoleOutline};

/// A hole with its outline about the place under the tube's axis.
pub(super) struct PlacedHole {
    pub(super) hole: HoleInBody,
    pub(super) outline: HoleOutline,
    /// The number in the cut list of the piece that it is for.
    pub(super) piece: Option<usize>,
    /// From the zero line round the skin, in millimetres.
    pub(super) round_mm: f64,
    /// Once round the skin, in millimetres; none on a plane.
    pub(super) girth: Option<f64>,
    /// A tapering skin is no rectangle when it is laid flat: it has no mark-out, and no ligaments are measured on it.
    pub(super) tapers: bool,
    /// The outline's farthest distance from the place under the axis, in millimetres.
    reach: f64,
    /// The nearest other hole in the same body: its tube, and the ligament to it.
    pub(super) next: Option<(String, f64)>,
    /// What its end would be like if the body were taken for round; none where it is round.
    pub(super) if_round: Option<IfRound>,
}

/// The holes, each with its ligament.
pub(super) fn with_ligaments(mut holes: Vec<PlacedHole>) -> Vec<PlacedHole> {
    let nearest: Vec<_> = holes.iter().map(|hole| hole.nearest(&holes)).collect();
    for (hole, next) in holes.iter_mut().zip(nearest) {
        hole.next = next;
    }
    holes
}

impl PlacedHole {
    pub(super) fn new(
        assembly: &Assembly,
        tube: &TubeInSpace,
        hole: HoleInBody,
        outline: HoleOutline,
        piece: Option<usize>,
    ) -> Self {
        let body = &assembly.bodies[hole.body];
        let (round_mm, girth) = (
            body.surface.arc_of(hole.along_mm, hole.round),
            body.surface.girth(hole.along_mm),
        );
        // The place under the tube's axis becomes the outline's zero.
        let site = body.surface.site(hole.along_mm, hole.round);
        let back = Affine::translate(-hole.drilling.outer.lay_flat(site.point).to_vec2());
        let points = outline.points.iter().map(|point| back * *point).collect();
        let outline = HoleOutline {
            path: back * outline.path.clone(),
            points,
            ..outline
        };
        let tapers = girth.is_some() && !body.is_straight();
        let distances = outline.points.iter().map(|point| point.to_vec2().hypot());
        let reach = distances.fold(0.0, f64::max);
        Self {
            outline,
            piece,
            round_mm,
            girth,
            tapers,
            reach,
            next: None,
            if_round: IfRound::new(assembly, tube, &hole),
            hole,
        }
    }

    /// The tube that it is for, with its piece and which end: `riser (piece 1, start)`.
    pub(super) fn name(&self) -> String {
        let side = if self.hole.is_at_start { "start" } else { "end" };
        match self.piece {
            Some(piece) => format!("{} (piece {piece}, {side})", self.hole.tube),
            None => format!("{} ({side})", self.hole.tube),
        }
    }

    /// The name of its pattern, unless another's serves.
    pub(super) fn pattern(&self, assembly: &Assembly) -> String {
        format!("hole in {} for {}", assembly.bodies[self.hole.body].name, self.name())
    }

    /// The printed girth over the body's own at the hole: its paper lies half a sheet above the skin.
    pub(super) fn girth_scale(&self, paper_thickness_mm: f64) -> f64 {
        self.girth.map_or(1.0, |girth| 1.0 + PI * paper_thickness_mm / girth)
    }

    /// Where the place under the tube's axis is, in words: along the body, and round it or across it.
    pub(super) fn place_words(&self, units: Units) -> (String, String) {
        let (along, round) = (self.hole.along_mm, self.round_mm);
        if self.girth.is_some() {
            let to_axis = format!("{} along from the end", units.show(along));
            (to_axis, self.round_words(units))
        } else {
            let side = |value: f64, more: &str, less: &str| {
                if value.abs() < 5e-3 {
                    return "through the cross".to_owned();
                }
                let way = if value < 0.0 { less } else { more };
                format!("{} {way} the cross", units.show(value.abs()))
            };
            (
                side(along, "above", "below"),
                side(round, "to the right of", "to the left of"),
            )
        }
    }

    /// `90.15 mm (18°) to the left of the zero line`.
    fn round_words(&self, units: Units) -> String {
        let round = self.round_mm;
        if round.abs() < 5e-3 {
            return "on the zero line".to_owned();
        }
        let side = if round > 0.0 { "right" } else { "left" };
        format!(
            "{} ({}) to the {side} of the zero line",
            units.show(round.abs()),
            show_angle(self.round_deg().abs())
        )
    }

    /// The same in degrees; 0 on a plane.
    pub(super) fn round_deg(&self) -> f64 {
        self.girth.map_or(0.0, |_| self.hole.round.to_degrees())
    }

    /// Whether the other's pattern serves for this one.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        self.hole.body == other.hole.body
            && self.hole.join == other.hole.join
            && self.outline.points.len() == other.outline.points.len()
            && self
                .outline
                .points
                .iter()
                .zip(&other.outline.points)
                .all(|(a, b)| a.distance(*b) < 0.01)
    }

    /// Its outline on the whole skin laid flat, the zero line in the middle.
    pub(super) fn on_skin(&self, points: impl Iterator<Item = Point>) -> Vec<Point> {
        points
            .map(|point| Point::new(point.x + self.round_mm, point.y + self.hole.along_mm))
            .collect()
    }

    /// Round and along between two places on the skin, the shorter way round, in millimetres.
    fn across(&self, a: Point, b: Point) -> f64 {
        let girth = self.girth.unwrap_or(f64::INFINITY);
        let round = (a.x - b.x).abs() % girth;
        round.min(girth - round).hypot(a.y - b.y)
    }

    /// The place under the tube's axis.
    fn middle(&self) -> Point {
        Point::new(self.round_mm, self.hole.along_mm)
    }

    /// The least that two holes can be apart, by their middles and reaches.
    fn at_least_apart(&self, other: &Self) -> f64 {
        self.across(self.middle(), other.middle()) - self.reach - other.reach
    }

    /// What is left between two outlines, in millimetres; where they overlap, less than 0 by how deep the one reaches
    /// into the other.
    fn ligament(&self, other: &Self) -> f64 {
        let mine = self.on_skin(self.outline.points.iter().copied());
        let theirs = other.beside(self.middle());
        polygon::clearance(&mine, &theirs)
    }

    /// Its outline on the skin laid flat, the way round that is nearest to a place.
    fn beside(&self, place: Point) -> Vec<Point> {
        let whole_turns = |girth: f64| ((place.x - self.middle().x) / girth).round() * girth;
        let shift = self.girth.map_or(0.0, whole_turns);
        self.on_skin(
            self.outline
                .points
                .iter()
                .map(|point| Point::new(point.x + shift, point.y)),
        )
    }

    /// The nearest other hole in the same body, and the ligament to it.
    fn nearest(&self, all: &[Self]) -> Option<(String, f64)> {
        if self.tapers {
            return None;
        }
        let others = all
            .iter()
            .filter(|other| other.hole.body == self.hole.body && !std::ptr::eq(*other, self));
        let mut by_distance: Vec<(f64, &Self)> = others.map(|other| (self.at_least_apart(other), other)).collect();
        by_distance.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut best: Option<(String, f64)> = None;
        for (least, other) in by_distance {
            if best.as_ref().is_some_and(|(_, ligament)| *ligament <= least) {
                break;
            }
            let ligament = self.ligament(other);
            if best.as_ref().is_none_or(|(_, best)| ligament < *best) {
                best = Some((other.hole.tube.clone(), ligament));
            }
        }
        best
    }

    /// A clash where the two holes overlap.
    pub(super) fn overlap(&self, assembly: &Assembly, other: &Self) -> Option<Clash> {
        if self.tapers || self.hole.body != other.hole.body || self.at_least_apart(other) > 0.0 {
            return None;
        }
        let apart_mm = self.ligament(other);
        (apart_mm <= 0.0).then(|| Clash {
            what: format!(
                "the holes for {} and {} in {}",
                other.hole.tube, self.hole.tube, assembly.bodies[self.hole.body].name
            ),
            apart_mm,
            asked_mm: 0.0,
            at: self.hole.drilling.frame.origin,
        })
    }

    /// A clash where the hole runs off its body's end.
    pub(super) fn off_the_end(&self, assembly: &Assembly) -> Option<Clash> {
        let body = &assembly.bodies[self.hole.body];
        let Extent::Round { length, .. } = body.extent else {
            return None;
        };
        if self.tapers {
            return None;
        }
        let along = self.outline.points.iter().map(|point| point.y + self.hole.along_mm);
        let inside = along.map(|v| v.min(length - v)).fold(f64::MAX, f64::min);
        (inside < 0.0).then(|| Clash {
            what: format!("the hole for {} and the end of {}", self.hole.tube, body.name),
            apart_mm: inside,
            asked_mm: 0.0,
            at: self.hole.drilling.frame.origin,
        })
    }
}
