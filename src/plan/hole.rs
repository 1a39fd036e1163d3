//! A hole on its body's skin: where it goes, and what is left between it and the next.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use glam::DVec3;
use kurbo::{Affine, BezPath, Point};

use super::clash::Clash;
use super::datum::Datum;
use super::flat_skin::FlatSkin;
use super::found::{Met, NearFound};
use super::if_round::IfRound;
use super::in_the_way::{InTheWay, LandingPart, Over};
use super::strips::Strips;
use crate::body::{Development, Line};
use crate::job::{Assembly, Drilling, HoleInBody, Join, Tube, ZeroLine, front_on_skin};
use crate::section::Profile;
use crate::solver::{HoleOutline, opening_places};

/// Outlines no farther from each other than this, in millimetres, are one pattern.
pub(super) const LIKE_MM: f64 = 0.01;

/// Places from one by which holes are known to be alike to the next: six degrees or less.
const TWELFTH: usize = 12;

/// Places looked at round where a tube sits.
const FOOTPRINT: u32 = 720;

/// A tube's wall is looked at where its hole is nearer to an end than this many walls.
pub(super) const NEAR_WALLS: f64 = 10.0;

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
    /// Whether it is cut already.
    pub is_made: bool,
}

/// What is near a hole in its body.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Near {
    /// The nearest other hole, by index, and the ligament to it in millimetres.
    pub(super) nearest: Option<(usize, f64)>,
    /// The holes before it that overlap it, and by how much in millimetres, below 0.
    pub(super) overlaps: Vec<(usize, f64)>,
}

/// A hole with its outline about the place under the tube's axis.
#[derive(Clone)]
pub(crate) struct PlacedHole {
    pub(crate) hole: HoleInBody,
    /// The tube that it is for, by its place in the assembly's list.
    pub(crate) of_tube: usize,
    /// Its outline, closed, as it is drawn.
    pub(crate) path: BezPath,
    /// By how much the wall still stands into it ([`HoleOutline::stands_in_mm`]).
    pub(crate) stands_in_mm: f64,
    /// Its places, where they are kept.
    kept_places: Option<Arc<[Point]>>,
    /// Every twelfth of its places, by which holes that are alike are known.
    signature: Vec<Point>,
    /// The number in the cut list of the piece that it is for.
    pub(crate) piece: Option<usize>,
    /// Where the FRONT line of the tube's skin comes to stand, about the place under the axis.
    pub(crate) front: Option<Point>,
    /// What the ends of the body are called: the one that tapes measure from, and the far one.
    pub(crate) ends: [&'static str; 2],
    /// From what on a tube it is measured instead of that end, where the tube that it is in is cut there.
    pub(crate) datum: Option<Datum>,
    /// The line that it is measured round from.
    pub(crate) zero_line: ZeroLine,
    /// From the zero line round the skin, in millimetres.
    pub(crate) round_mm: f64,
    /// Once round the skin, in millimetres; none on a plane.
    pub(crate) girth: Option<f64>,
    /// The place under the axis as the drilling's skin is laid flat.
    site: Point,
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
    /// The other holes near it.
    pub(super) near: Near,
    /// What its end would be like if the body were taken for round; none where it is round.
    pub(crate) if_round: Option<IfRound>,
    /// How it lies to the strips of the skin that holes must not come into.
    pub(crate) strips: Strips,
    /// How near it comes to holes that were found in the body.
    pub(super) near_found: NearFound,
}

impl PlacedHole {
    /// None where the body can't be laid flat; `found` are the holes that it has already.
    pub(super) fn new(
        assembly: &Assembly,
        of_tube: usize,
        hole: HoleInBody,
        outline: HoleOutline,
        found: &[Met],
    ) -> Option<Self> {
        let tube = &assembly.tubes[of_tube];
        let body = &assembly.bodies[hole.body];
        let flat = FlatSkin::new(body)?;
        let carry = flat.carry(&hole);
        // The place under the tube's axis becomes the outline's zero.
        let site = body.surface.site(hole.along_mm, hole.round);
        let zero = hole.drilling.outer.lay_flat(site.point);
        let back = Affine::translate(-zero.to_vec2());
        let points: Vec<Point> = outline.points.iter().map(|point| *point - zero.to_vec2()).collect();
        let nearest = |places: &mut dyn Iterator<Item = Point>| {
            let to_end = places.filter_map(|place| flat.to_end(carry * place));
            to_end.reduce(f64::min)
        };
        let to_end = nearest(&mut outline.points.iter().copied());
        let stock = &assembly.stock[tube.stock].tube;
        let is_near = to_end.is_some_and(|left| left < NEAR_WALLS * stock.wall_mm);
        let wall_to_end = (is_near && hole.join == Join::SetOn).then(|| nearest(&mut footprint(stock, &hole)));
        let on_skin: Vec<Point> = outline.points.iter().map(|place| carry * *place).collect();
        let wall = || wall_on_skin(stock, &hole, carry);
        let strips = Strips::new(&flat, (&on_skin, carry * zero), wall);
        let near_found = NearFound::new(found, &flat, (&on_skin, hole.round), wall);
        Some(Self {
            of_tube,
            piece: None,
            strips,
            near_found,
            front: front_laid_flat(stock, &hole.drilling, hole.front).map(|place| back * place),
            ends: body.end_names(),
            datum: None,
            zero_line: body.zero_line,
            round_mm: body.surface.arc_of(hole.along_mm, hole.round),
            girth: body.surface.girth(hole.along_mm),
            middle: carry * zero,
            site: zero,
            up_mm: flat.shape.up(carry * zero),
            shape: flat.shape,
            to_end,
            wall_to_end: wall_to_end.flatten(),
            onto_skin: carry * Affine::translate(zero.to_vec2()),
            reach: points.iter().map(|point| point.to_vec2().hypot()).fold(0.0, f64::max),
            path: back * outline.path,
            stands_in_mm: outline.stands_in_mm,
            signature: points.iter().copied().step_by(TWELFTH).collect(),
            kept_places: Some(points.into()),
            next: None,
            near: Near::default(),
            if_round: None,
            hole,
        })
    }

    /// The same hole as it is told in this assembly, of this tube.
    pub(super) fn again(&self, (of_tube, hole): (usize, HoleInBody)) -> Self {
        Self {
            of_tube,
            hole,
            ..self.clone()
        }
    }

    /// What its end would be like if the body were taken for round.
    pub(super) fn held_against_round(&self, assembly: &Assembly) -> Option<IfRound> {
        IfRound::new(assembly, &assembly.tubes[self.of_tube], &self.hole)
    }

    /// Where the tube's FRONT line comes to stand on the body's whole skin laid flat from the zero line.
    pub(crate) fn front_on_skin(&self) -> Option<Point> {
        self.front.map(|front| self.onto_skin * front)
    }

    /// Gives its places away: of a job of many holes they would be most of all that is known. They are solved anew each time.
    pub(super) fn without_places(self) -> Self {
        Self {
            kept_places: None,
            ..self
        }
    }

    /// Solved places on its outline, half a degree apart or less, about the place under the axis.
    pub(crate) fn places(&self) -> Vec<Point> {
        if let Some(kept) = &self.kept_places {
            return kept.to_vec();
        }
        let site = self.site;
        // They were solved before.
        let mut places = opening_places(&self.hole.drilling).unwrap_or_default();
        places.iter_mut().for_each(|place| *place -= site.to_vec2());
        places
    }

    /// Its outline on the body's whole skin laid flat from the zero line.
    pub(crate) fn on_skin(&self) -> Vec<Point> {
        let mut places = self.places();
        places.iter_mut().for_each(|place| *place = self.onto_skin * *place);
        places
    }

    /// Where the tube's wall sits on that skin; nowhere where it is set in.
    pub(super) fn wall_on_skin(&self, assembly: &Assembly) -> Vec<Point> {
        let tube = &assembly.stock[assembly.tubes[self.of_tube].stock].tube;
        wall_on_skin(
            tube,
            &self.hole,
            self.onto_skin * Affine::translate(-self.site.to_vec2()),
        )
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
            && self.signature.len() == other.signature.len()
            && self
                .signature
                .iter()
                .zip(&other.signature)
                .all(|(a, b)| a.distance(*b) < LIKE_MM)
    }

    /// A clash where it overlaps another by `apart_mm`.
    pub(crate) fn overlap(&self, other: &Self, apart_mm: f64) -> Clash {
        let way = InTheWay::Holes {
            tubes: [other.of_tube, self.of_tube],
            body: self.hole.body,
        };
        self.clash(way, apart_mm)
    }

    /// Clashes where the hole, or the wall of a tube that is set on, runs off its body's end or a plate's edge.
    pub(crate) fn off_the_end(&self) -> impl Iterator<Item = Clash> {
        let parts = [(LandingPart::Hole, self.to_end), (LandingPart::Wall, self.wall_to_end)];
        let past = parts.into_iter().filter_map(|(part, left)| Some((part, left?)));
        past.filter(|(_, left)| *left < 0.0)
            .map(|(part, left)| self.clash_of_landing(part, Over::End, left))
    }

    pub(super) fn clash_of_landing(&self, part: LandingPart, over: Over, apart_mm: f64) -> Clash {
        let way = InTheWay::Landing {
            tube: self.of_tube,
            body: self.hole.body,
            part,
            over,
        };
        self.clash(way, apart_mm)
    }

    fn clash(&self, way: InTheWay, apart_mm: f64) -> Clash {
        Clash {
            way,
            apart_mm,
            is_bound: false,
            asked_mm: 0.0,
            leaves: None,
            at: self.hole.drilling.frame.origin,
        }
    }

    /// As the report has it.
    pub(crate) fn planned(&self, assembly: &Assembly) -> PlannedHole {
        PlannedHole {
            body: assembly.bodies[self.hole.body].name.clone(),
            join: self.hole.join,
            clearance_mm: self.hole.clearance_mm,
            outline: self.places(),
            place: Some(HolePlace {
                tube: self.hole.tube.clone(),
                along_mm: self.hole.along_mm,
                round_mm: self.round_mm,
                round_deg: self.round_deg(),
                ligament: self.next.clone(),
                if_round: self.if_round,
                is_made: self.hole.is_made,
            }),
        }
    }
}

/// Where the tube's FRONT comes to stand on the body's skin laid flat; none where its line passes beside the body.
pub(super) fn front_laid_flat(tube: &Tube, drilling: &Drilling, front_way: DVec3) -> Option<Point> {
    let place = front_on_skin(tube, &drilling.frame, front_way, drilling.outer.as_ref())?;
    Some(drilling.outer.lay_flat(place))
}

/// Where the wall of a tube that is set on sits on its body's whole skin laid flat; nowhere of one that is set in.
fn wall_on_skin(tube: &Tube, hole: &HoleInBody, carry: Affine) -> Vec<Point> {
    match hole.join {
        Join::SetOn => footprint(tube, hole).map(|place| carry * place).collect(),
        Join::SetIn => Vec::new(),
    }
}

/// Places of the tube's outer skin on its body's, laid flat.
fn footprint<'a>(tube: &'a Tube, hole: &'a HoleInBody) -> impl Iterator<Item = Point> + use<'a> {
    let outer = &hole.drilling.outer;
    wall_lines(tube, &hole.drilling).filter_map(|line| {
        let hit = outer.first_hit(&line)?;
        Some(outer.lay_flat(line.at(hit.distance)))
    })
}

/// Lines of the tube's outer skin, coming towards its body: every half degree, and where its corners are.
pub(super) fn wall_lines<'a>(tube: &'a Tube, drilling: &'a Drilling) -> impl Iterator<Item = Line> + use<'a> {
    let steps = (0..FOOTPRINT).map(|step| TAU * f64::from(step) / f64::from(FOOTPRINT));
    steps.chain(tube.section.folds()).map(|azimuth| {
        let (wall, frame) = (tube.wall_line(azimuth), &drilling.frame);
        Line {
            origin: frame.origin + frame.across(wall.origin) + wall.outer * frame.outward(wall.facing),
            direction: -frame.axis,
        }
    })
}
