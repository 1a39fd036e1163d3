//! A hole on its body's skin: where it goes, and what is left between it and the next.

use std::f64::consts::{PI, TAU};

use glam::DVec2;
use kurbo::{Affine, Point};

use super::clash::Clash;
use super::flat_skin::FlatSkin;
use super::if_round::IfRound;
use crate::body::{Development, Line};
use crate::job::{Assembly, Frame, HoleInBody, Join, Tube, TubeInSpace};
use crate::section::Profile;
use crate::solver::HoleOutline;

/// Outlines no farther from each other than this, in millimetres, are one pattern.
pub(crate) const LIKE_MM: f64 = 0.01;

/// Places looked at round where a tube sits.
const FOOTPRINT: u32 = 720;

/// A tube's wall is looked at where its hole is nearer to an end than this many walls.
const NEAR_WALLS: f64 = 10.0;

/// A hole with its pattern.
#[derive(Debug, Clone)]
pub struct PlannedHole {
    /// What it is cut into.
    pub body: String,
    /// How the tube joins.
    pub join: Join,
    /// Added to the tube's radius, in millimetres.
    pub clearance_mm: f64,
    /// On the outer skin, laid flat, closed. In a job, about the place under the tube's axis.
    pub outline: Vec<Point>,
    /// Where it goes, in a job.
    pub place: Option<HolePlace>,
}

/// Where a hole goes on its body.
#[derive(Debug, Clone, PartialEq)]
pub struct HolePlace {
    /// The tube's name.
    pub tube: String,
    /// From the body's end to the tube's axis on the skin, in millimetres.
    pub along_mm: f64,
    /// From the zero line to it, round the skin, to the right as seen from outside with the far end up, in millimetres.
    pub round_mm: f64,
    /// The same in degrees; on a plane 0.
    pub round_deg: f64,
    /// The nearest other hole in the same body: its tube, and what is left between them in millimetres.
    pub ligament: Option<(String, f64)>,
    /// What the tube's end would be like if the body were taken for round; none where it is round.
    pub if_round: Option<IfRound>,
}

/// A hole with its outline about the place under the tube's axis.
pub(crate) struct PlacedHole {
    pub(crate) hole: HoleInBody,
    pub(crate) outline: HoleOutline,
    /// The number in the cut list of the piece that it is for.
    pub(crate) piece: Option<usize>,
    /// Where the FRONT line of the tube's skin comes to stand, about the place under the axis.
    pub(crate) front: Option<Point>,
    /// What the ends of the body are called: the one that tapes measure from, and the far one.
    pub(crate) ends: [&'static str; 2],
    /// From the zero line round the skin, in millimetres.
    pub(crate) round_mm: f64,
    /// Once round the skin, in millimetres; none on a plane.
    pub(crate) girth: Option<f64>,
    /// From about the place under the axis to the body's whole skin laid flat from the zero line.
    onto_skin: Affine,
    /// The place under the axis there.
    pub(crate) middle: Point,
    /// From the end up along the skin, in millimetres: what a tape measures. Not `along_mm` where the body tapers.
    pub(crate) up_mm: f64,
    /// The shape of that skin.
    pub(crate) shape: Development,
    /// What is left between it and the nearer end of its body, or a plate's nearest edge, in millimetres, below 0 where it runs off; none where the
    /// body has no ends.
    to_end: Option<f64>,
    /// The same of the tube's wall where it sits on the body, if it is set on.
    wall_to_end: Option<f64>,
    /// The outline's farthest distance from the place under the axis, in millimetres.
    pub(crate) reach: f64,
    /// The nearest other hole in the same body: its tube, and the ligament to it.
    pub(crate) next: Option<(String, f64)>,
    /// The holes before it that overlap it, by index, and by how much in millimetres, below 0.
    pub(crate) overlaps: Vec<(usize, f64)>,
    /// What its end would be like if the body were taken for round; none where it is round.
    pub(crate) if_round: Option<IfRound>,
}

impl PlacedHole {
    /// None where the body can't be laid flat.
    pub(crate) fn new(
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
        let nearest = |places: &mut dyn Iterator<Item = Point>| {
            let to_end = places.filter_map(|place| flat.to_end(carry * place));
            to_end.reduce(f64::min)
        };
        let to_end = nearest(&mut outline.points.iter().copied());
        let stock = &assembly.stock[tube.stock].tube;
        let is_near = to_end.is_some_and(|left| left < NEAR_WALLS * stock.wall_mm);
        let wall_to_end = (is_near && hole.join == Join::SetOn).then(|| nearest(&mut footprint(stock, &hole)));
        Some(Self {
            piece,
            front: front_on_skin(stock, &hole).map(|place| back * place),
            ends: body.end_names(),
            round_mm,
            girth,
            middle: carry * zero,
            up_mm: flat.shape.up(carry * zero),
            shape: flat.shape,
            to_end,
            wall_to_end: wall_to_end.flatten(),
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

    /// Where the tube's FRONT line comes to stand on the body's whole skin laid flat from the zero line.
    pub(crate) fn front_on_skin(&self) -> Option<Point> {
        self.front.map(|front| self.onto_skin * front)
    }

    /// Its outline on the body's whole skin laid flat from the zero line.
    pub(crate) fn on_skin(&self) -> Vec<Point> {
        self.outline
            .points
            .iter()
            .map(|point| self.onto_skin * *point)
            .collect()
    }

    /// The printed girth over the body's own at the hole: its paper lies half a sheet above the skin.
    pub(crate) fn girth_scale(&self, paper_thickness_mm: f64) -> f64 {
        self.girth.map_or(1.0, |girth| 1.0 + PI * paper_thickness_mm / girth)
    }

    /// Round from the zero line in degrees; 0 on a plane.
    pub(crate) fn round_deg(&self) -> f64 {
        self.girth.map_or(0.0, |_| self.hole.round.to_degrees())
    }

    /// Whether the other's pattern serves for this one.
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        self.hole.body == other.hole.body
            && self.hole.join == other.hole.join
            && match (self.front, other.front) {
                (Some(front), Some(other)) => front.distance(other) < LIKE_MM,
                (front, other) => front.is_none() && other.is_none(),
            }
            && self.outline.points.len() == other.outline.points.len()
            && self
                .outline
                .points
                .iter()
                .zip(&other.outline.points)
                .all(|(a, b)| a.distance(*b) < LIKE_MM)
    }

    /// A clash where it overlaps another by `apart_mm`.
    pub(crate) fn overlap(&self, assembly: &Assembly, other: &Self, apart_mm: f64) -> Clash {
        Clash {
            what: format!(
                "the holes for {} and {} in {}",
                other.hole.tube, self.hole.tube, assembly.bodies[self.hole.body].name
            ),
            apart_mm,
            is_bound: false,
            asked_mm: 0.0,
            at: self.hole.drilling.frame.origin,
        }
    }

    /// Clashes where the hole, or the wall of a tube that is set on, runs off its body's end or a plate's edge.
    pub(crate) fn off_the_end(&self, assembly: &Assembly) -> impl Iterator<Item = Clash> {
        let body = &assembly.bodies[self.hole.body];
        let edge = if body.edges_mm.is_some() { "edge" } else { "end" };
        let past = move |what: &str, left: Option<f64>| {
            left.filter(|left| *left < 0.0).map(|apart_mm| Clash {
                what: format!("{what} {} and the {edge} of {}", self.hole.tube, body.name),
                apart_mm,
                is_bound: false,
                asked_mm: 0.0,
                at: self.hole.drilling.frame.origin,
            })
        };
        let hole = past("the hole for", self.to_end);
        hole.into_iter().chain(past("the wall of", self.wall_to_end))
    }

    /// As the report has it.
    pub(crate) fn planned(&self, assembly: &Assembly) -> PlannedHole {
        PlannedHole {
            body: assembly.bodies[self.hole.body].name.clone(),
            join: self.hole.join,
            clearance_mm: self.hole.clearance_mm,
            outline: self.outline.points.clone(),
            place: Some(HolePlace {
                tube: self.hole.tube.clone(),
                along_mm: self.hole.along_mm,
                round_mm: self.round_mm,
                round_deg: self.round_deg(),
                ligament: self.next.clone(),
                if_round: self.if_round,
            }),
        }
    }
}

/// Where the line along the front of the tube's skin meets the body's, laid flat; none where it passes beside the body.
fn front_on_skin(tube: &Tube, hole: &HoleInBody) -> Option<Point> {
    let Frame {
        origin,
        axis,
        front,
        right,
    } = hole.drilling.frame;
    let across = DVec2::new(hole.front.dot(front), hole.front.dot(right));
    let line = Line {
        origin: origin + tube.section.reach_towards(across) * hole.front,
        direction: -axis,
    };
    let hit = hole.drilling.outer.first_hit(&line)?;
    Some(hole.drilling.outer.lay_flat(line.at(hit.distance)))
}

/// Places of the tube's outer skin on its body's, laid flat: every half degree, and where its corners are.
fn footprint<'a>(tube: &'a Tube, hole: &'a HoleInBody) -> impl Iterator<Item = Point> + use<'a> {
    let drilling = &hole.drilling;
    let steps = (0..FOOTPRINT).map(|step| TAU * f64::from(step) / f64::from(FOOTPRINT));
    steps.chain(tube.section.folds()).filter_map(|azimuth| {
        let (wall, frame) = (tube.wall_line(azimuth), &drilling.frame);
        let line = Line {
            origin: frame.origin + frame.across(wall.origin) + wall.outer * frame.outward(wall.facing),
            direction: -frame.axis,
        };
        let hit = drilling.outer.first_hit(&line)?;
        Some(drilling.outer.lay_flat(line.at(hit.distance)))
    })
}
