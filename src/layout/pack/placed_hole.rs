//! A hole on its body's skin: where it goes, in figures and words, and what is left between it and the next.

use std::f64::consts::PI;

use kurbo::{Affine, Point};

use super::flat_skin::FlatSkin;
use super::if_round::IfRound;
use super::ligaments::neighbours;
use crate::body::Development;
use crate::job::{Assembly, HoleInBody, TubeInSpace};
use crate::measure::{Units, show_angle};
use crate::solver::{Clash, HoleOutline};

/// Outlines no farther from each other than this, in millimetres, are one pattern.
pub(super) const LIKE_MM: f64 = 0.01;

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
    /// From about the place under the axis to the body's whole skin laid flat from the zero line.
    onto_skin: Affine,
    /// The place under the axis there.
    pub(super) middle: Point,
    /// From the end up along the skin, in millimetres: what a tape measures. Not `along_mm` where the body tapers.
    pub(super) up_mm: f64,
    /// The shape of that skin.
    pub(super) shape: Development,
    /// What is left between it and the nearer end of its body, or a plate's nearest edge, in millimetres, below 0 where it runs off; none where the
    /// body has no ends.
    to_end: Option<f64>,
    /// The outline's farthest distance from the place under the axis, in millimetres.
    pub(super) reach: f64,
    /// The nearest other hole in the same body: its tube, and the ligament to it.
    pub(super) next: Option<(String, f64)>,
    /// The holes before it that overlap it, by index, and by how much in millimetres, below 0.
    pub(super) overlaps: Vec<(usize, f64)>,
    /// What its end would be like if the body were taken for round; none where it is round.
    pub(super) if_round: Option<IfRound>,
}

/// The holes, each with its ligament and with what overlaps it.
pub(super) fn with_ligaments(mut holes: Vec<PlacedHole>) -> Vec<PlacedHole> {
    for (index, near) in neighbours(&holes).into_iter().enumerate() {
        let next = near
            .nearest
            .map(|(other, ligament)| (holes[other].hole.tube.clone(), ligament));
        holes[index].next = next;
        holes[index].overlaps = near.overlaps;
    }
    holes
}

impl PlacedHole {
    /// None where the body can't be laid flat.
    pub(super) fn new(
        assembly: &Assembly,
        tube: &TubeInSpace,
        hole: HoleInBody,
        outline: HoleOutline,
        piece: Option<usize>,
    ) -> Option<Self> {
        let body = &assembly.bodies[hole.body];
        let (round_mm, girth) = (
            body.surface.arc_of(hole.along_mm, hole.round),
            body.surface.girth(hole.along_mm),
        );
        let flat = FlatSkin::new(body)?;
        let carry = flat.carry(&hole);
        // The place under the tube's axis becomes the outline's zero.
        let site = body.surface.site(hole.along_mm, hole.round);
        let zero = hole.drilling.outer.lay_flat(site.point);
        let back = Affine::translate(-zero.to_vec2());
        let points: Vec<Point> = outline.points.iter().map(|point| back * *point).collect();
        let to_end = outline.points.iter().filter_map(|place| flat.to_end(carry * *place));
        Some(Self {
            piece,
            round_mm,
            girth,
            middle: carry * zero,
            up_mm: flat.shape.up(carry * zero),
            shape: flat.shape,
            to_end: to_end.reduce(f64::min),
            onto_skin: carry * Affine::translate(zero.to_vec2()),
            reach: points.iter().map(|point| point.to_vec2().hypot()).fold(0.0, f64::max),
            outline: HoleOutline {
                path: back * outline.path.clone(),
                points,
                ..outline
            },
            next: None,
            overlaps: Vec::new(),
            if_round: IfRound::new(assembly, tube, &hole),
            hole,
        })
    }

    /// Its outline on the body's whole skin laid flat from the zero line.
    pub(super) fn on_skin(&self) -> Vec<Point> {
        self.outline
            .points
            .iter()
            .map(|point| self.onto_skin * *point)
            .collect()
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

    /// How far up from the end it is, measured along the skin; on a plate from its cross: `up 320.00 mm`.
    pub(super) fn up_words(&self, units: Units) -> String {
        self.signed(self.up_mm, ["up", "down"], units)
    }

    /// How far it is from the zero line, or from a plate's cross: `left 90.15 mm`.
    pub(super) fn side_words(&self, units: Units) -> String {
        self.signed(self.round_mm, ["right", "left"], units)
    }

    fn signed(&self, mm: f64, [more, less]: [&str; 2], units: Units) -> String {
        if mm.abs() < 5e-3 && (self.girth.is_none() || more == "right") {
            return "on the line".to_owned();
        }
        format!("{} {}", if mm < 0.0 { less } else { more }, units.show(mm.abs()))
    }

    /// Round from the zero line in degrees; 0 on a plane.
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
                .all(|(a, b)| a.distance(*b) < LIKE_MM)
    }

    /// A clash where it overlaps another by `apart_mm`.
    pub(super) fn overlap(&self, assembly: &Assembly, other: &Self, apart_mm: f64) -> Clash {
        Clash {
            what: format!(
                "the holes for {} and {} in {}",
                other.hole.tube, self.hole.tube, assembly.bodies[self.hole.body].name
            ),
            apart_mm,
            asked_mm: 0.0,
            at: self.hole.drilling.frame.origin,
        }
    }

    /// A clash where the hole runs off its body's end or a plate's edge.
    pub(super) fn off_the_end(&self, assembly: &Assembly) -> Option<Clash> {
        let body = &assembly.bodies[self.hole.body];
        let edge = if body.edges_mm.is_some() { "edge" } else { "end" };
        self.to_end.filter(|left| *left < 0.0).map(|apart_mm| Clash {
            what: format!("the hole for {} and the {edge} of {}", self.hole.tube, body.name),
            apart_mm,
            asked_mm: 0.0,
            at: self.hole.drilling.frame.origin,
        })
    }
}
