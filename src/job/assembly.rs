//! A whole job in space: bodies, tubes with two ends, and the pieces that the tubes are made of.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use glam::{DAffine3, DVec3};

use super::{
    COMPUTED, Drilling, End, Frame, FrontOn, Join, PathShape, Skin, Stack, Stays, Touch, Tube, across, usual_zero,
};
use crate::body::{Body, Locate, Placed, Plane};
use crate::problem::Place;
use crate::section::Profile;

/// A skin on which places are measured.
pub trait Surface: Body + Locate + Send + Sync {}
impl<T: Body + Locate + Send + Sync> Surface for T {}

/// Makes a skin in its place that is laid flat from the line so many radians round from the zero line (a plane's from
/// its own lines).
pub type SkinFrom = Arc<dyn Fn(f64) -> Arc<dyn Skin> + Send + Sync>;

/// The skins of a body that can be laid flat.
#[derive(Clone)]
pub struct FlatSkins {
    /// The outer one.
    pub outer: SkinFrom,
    /// The inner one, where the wall is known, and the wall in millimetres.
    pub inner: Option<(SkinFrom, f64)>,
}

/// What a body that is out of round would be taken for by its girth alone.
#[derive(Clone)]
pub struct IfRound {
    /// A true cylinder of the girth that was given, about the same axis.
    pub outer: Arc<dyn Body + Send + Sync>,
    /// Its inner skin, where the wall is known.
    pub inner: Option<Arc<dyn Body + Send + Sync>>,
}

/// Where a body is parted from what is left of it.
#[derive(Debug, Clone, PartialEq)]
pub struct PartingLine {
    /// Of the whole before it is parted, along from the end that stays, in millimetres.
    pub whole_mm: f64,
    /// Which end of it stays, as it stands.
    pub stays: Stays,
    /// The stack that it belongs to.
    pub stack: String,
    /// Which part of it it is.
    pub part: String,
}

/// How far a body reaches, for pictures, mark-out sheets and clashes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extent {
    /// About its axis from y = 0 to `length`, with a radius at each end, in millimetres.
    Round {
        /// From the end, in millimetres.
        length: f64,
        /// At the end and at the far end; where it is out of round the farthest that it reaches.
        radii: (f64, f64),
    },
    /// A ball of this radius about its origin.
    Ball(f64),
    /// A plane through its origin, its outside towards its own +z.
    Flat,
}

/// A body with its place in space.
#[derive(Clone)]
pub struct BodyInSpace {
    /// Its name in the job.
    pub name: String,
    /// Its size in words.
    pub size: String,
    /// From its own coordinates to space: axis +y from its end, zero line towards +z; a plane's outside +z.
    pub placement: DAffine3,
    /// Its outer skin.
    pub surface: Arc<dyn Surface>,
    /// The skins that can be laid flat, where they can.
    pub flat: Option<FlatSkins>,
    /// How far it reaches.
    pub extent: Extent,
    /// Of a plate with edges how wide it is, and how high towards its zero, in millimetres; its point is the middle.
    pub edges_mm: Option<[f64; 2]>,
    /// The tube that it is, by index (of several copies the first), where it is one.
    pub of_tube: Option<usize>,
    /// The inside floor's distance from the end, in millimetres, where it is known.
    pub floor_mm: Option<f64>,
    /// What its inner skin encloses across the axis, in square millimetres, where that is the same all along and known.
    pub bore_mm2: Option<f64>,
    /// What it would be taken for, where it is out of round.
    pub if_round: Option<IfRound>,
    /// Where it is parted: there its length ends.
    pub parting: Option<PartingLine>,
}

impl fmt::Debug for BodyInSpace {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_struct("BodyInSpace")
            .field("name", &self.name)
            .field("extent", &self.extent)
            .finish_non_exhaustive()
    }
}

impl BodyInSpace {
    /// The direction of its axis; of a plane, the direction along it.
    pub fn axis(&self) -> DVec3 {
        self.placement.transform_vector3(DVec3::Y)
    }

    /// Which direction a tube along `axis` that lands at `at` calls its front: the side of the acute angle.
    pub fn front_of(&self, axis: DVec3, at: DVec3) -> DVec3 {
        let lean = match self.extent {
            Extent::Round { .. } => self.axis() * if self.axis().dot(axis) < -1e-9 { -1.0 } else { 1.0 },
            _ => {
                let (along, round) = self.surface.place_of(at);
                let normal = self.surface.site(along, round).normal;
                let lean = axis - axis.dot(normal) * normal;
                if lean.length() > 1e-9 { lean } else { self.axis() }
            }
        };
        across(lean, axis, COMPUTED).unwrap_or_else(|| usual_zero(axis))
    }

    /// Whether it is the same all along its axis.
    pub fn is_straight(&self) -> bool {
        matches!(self.extent, Extent::Round { radii, .. } if radii.0 == radii.1)
    }
}

/// How a tube's end is made.
#[derive(Debug, Clone, Copy, PartialEq)]
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
    },
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
    /// Pairs of nodes, by the index of the first, between which there is no tube: the gaps of couplings.
    pub gaps: Vec<usize>,
    /// How far from the square ends at its couplings the sleeve reaches, in millimetres.
    pub sleeve_mark_mm: Option<f64>,
    /// Where a drain of it must come to lie.
    pub drain: Option<DrainAsk>,
    /// Of a tube with sides: how far its front side is turned from the front of the end that it is set by
    /// ([`Assembly::front_of_leg`]), in degrees to the right. `None` of round tube, each of whose pieces takes the front
    /// that is handy.
    pub turned_deg: Option<f64>,
}

/// An end of a tube.
#[derive(Debug, Clone, Copy, PartialEq)]
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

    /// The body that it lands on, where it does.
    pub fn body(&self) -> Option<usize> {
        match self.ending {
            Ending::Lands { body, .. } => Some(body),
            _ => None,
        }
    }
}

impl TubeInSpace {
    /// Where it begins, and where it ends.
    pub fn ends(&self) -> [TubeEnd; 2] {
        let last = self.nodes.len() - 1;
        [
            TubeEnd {
                ending: self.start,
                at: self.nodes[0],
                next: self.nodes[1],
            },
            TubeEnd {
                ending: self.end,
                at: self.nodes[last],
                next: self.nodes[last - 1],
            },
        ]
    }
}

/// A drain to be solved: the landing is moved along its body until the hole's low edge is where it must be.
#[derive(Debug, Clone, PartialEq)]
pub struct DrainAsk {
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
    /// What tubes are cut from.
    pub stock: Vec<StockTube>,
    /// What they land on; tubes that others land on among them.
    pub bodies: Vec<BodyInSpace>,
    /// All of them, copies too.
    pub tubes: Vec<TubeInSpace>,
    /// Tube by its name without number, body by index, and the distance in millimetres.
    pub keep_clear: Vec<(String, usize, f64)>,
    /// Vessels stacked from parts.
    pub stacks: Vec<Stack>,
    /// Where the words of each tube stand, by its name without number.
    pub words: BTreeMap<String, Place>,
}

/// What an end of a piece is, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EndWords {
    /// `set-on`, `miter, turn 45°`, `square`: pieces are alike only where this is equal.
    pub kind: String,
    /// The body that it lands on.
    pub body: Option<String>,
}

/// A straight piece of tube between two cuts.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Of the tube, with a number where the tube has several.
    pub name: String,
    /// What it is cut from, by index.
    pub stock: usize,
    /// Between the work points of its ends, in millimetres.
    pub length_mm: f64,
    /// At its first end; t grows towards the far one.
    pub near: End,
    /// At the other; its frame has the same front and the opposite axis.
    pub far: End,
    /// What each end is.
    pub ends: [EndWords; 2],
    /// Which way each end's own front points, where it has one.
    pub fronts: [Option<DVec3>; 2],
    /// How the piece's front lies on what each end lands on, where it lands on a body.
    pub fronts_on: [Option<FrontOn>; 2],
    /// How far off square each end's flat cut is, in degrees, where it is flat.
    pub flat_cuts_deg: [Option<f64>; 2],
}

/// A hole that a tube's end needs.
#[derive(Clone)]
pub struct HoleInBody {
    /// Which, by index.
    pub body: usize,
    /// The tube's name.
    pub tube: String,
    /// Whether it is for the tube's first node.
    pub is_at_start: bool,
    /// How it joins.
    pub join: Join,
    /// In millimetres.
    pub clearance_mm: f64,
    /// What is cut out, laid flat about the place under the tube's axis.
    pub drilling: Drilling,
    /// Round the body from the zero line to that place, in radians (across a plane, in millimetres).
    pub round: f64,
    /// Along it from its end, in millimetres.
    pub along_mm: f64,
    /// Which way the front of the tube's piece points here, as a unit vector square to the tube.
    pub front: DVec3,
}

impl Assembly {
    /// Where the words of a tube stand, for problems that are found in its geometry.
    pub fn word_of(&self, tube: &TubeInSpace) -> Option<&Place> {
        self.words.get(&tube.shared_name)
    }

    /// The pieces of a tube, in order.
    pub fn pieces(&self, tube: &TubeInSpace) -> Vec<Piece> {
        let legs: Vec<usize> = (0..tube.nodes.len() - 1)
            .filter(|leg| !tube.gaps.contains(leg))
            .collect();
        let name = |number: usize| {
            if legs.len() == 1 {
                tube.name.clone()
            } else {
                format!("{} {}", tube.name, letters(number))
            }
        };
        legs.iter()
            .enumerate()
            .map(|(number, &leg)| self.piece(tube, leg, name(number)))
            .collect()
    }

    fn piece(&self, tube: &TubeInSpace, leg: usize, name: String) -> Piece {
        let (from, to) = (tube.nodes[leg], tube.nodes[leg + 1]);
        let axis = (to - from).normalize();
        let near = self.landing(tube, leg, axis, from, true);
        let far = self.landing(tube, leg, -axis, to, false);
        let front = self.front_of(tube, leg, axis, &near, &far);
        let end = |made: &Made, at: DVec3, axis: DVec3| End {
            tube: self.stock[tube.stock].tube.clone(),
            frame: Frame::new(at, axis, front),
            landing: made.landing.clone(),
            weld_skin: made.weld_skin.clone(),
            is_mirrored: made.is_mirrored,
            touch: made.touch,
        };
        Piece {
            name,
            stock: tube.stock,
            length_mm: (to - from).length(),
            near: end(&near, from, axis),
            far: end(&far, to, -axis),
            fronts: [near.front, far.front],
            fronts_on: [(near.body, from), (far.body, to)].map(|(body, at)| self.bodies[body?].front_on(at, front)),
            flat_cuts_deg: [near.flat_deg, far.flat_deg],
            ends: [near.words, far.words],
        }
    }

    /// A piece's front: that of a tube with sides, else of its first end that has one of its own.
    fn front_of(&self, tube: &TubeInSpace, leg: usize, axis: DVec3, near: &Made, far: &Made) -> DVec3 {
        self.front_of_leg(tube, leg)
            .or(near.front)
            .or(far.front)
            .unwrap_or_else(|| usual_zero(axis))
    }

    /// The front of the piece that is a leg of a tube.
    fn front_of_piece(&self, tube: &TubeInSpace, leg: usize) -> DVec3 {
        let (from, to) = (tube.nodes[leg], tube.nodes[leg + 1]);
        let axis = (to - from).normalize();
        let near = self.landing(tube, leg, axis, from, true);
        let far = self.landing(tube, leg, -axis, to, false);
        self.front_of(tube, leg, axis, &near, &far)
    }

    /// What the end at node `at` of the leg lands on; `axis` leads away from it, into the leg.
    pub(super) fn landing(&self, tube: &TubeInSpace, leg: usize, axis: DVec3, at: DVec3, is_near: bool) -> Made {
        let node = if is_near { leg } else { leg + 1 };
        let beyond = if is_near {
            leg.checked_sub(1)
        } else {
            Some(leg + 1).filter(|next| next + 1 < tube.nodes.len())
        };
        if let Some(beyond) = beyond.filter(|beyond| !tube.gaps.contains(beyond)) {
            // On the way along the path through the corner; towards the tube is the way of `axis`.
            let other = if is_near {
                at - tube.nodes[beyond]
            } else {
                at - tube.nodes[beyond + 1]
            }
            .normalize();
            return Made::corner(axis, other, at);
        }
        let ending = if node == 0 {
            tube.start
        } else if node + 1 == tube.nodes.len() {
            tube.end
        } else {
            Ending::Square
        };
        let is_coupled =
            (is_near && tube.gaps.contains(&(leg.wrapping_sub(1)))) || (!is_near && tube.gaps.contains(&(leg + 1)));
        let square = match tube.sleeve_mark_mm.filter(|_| is_coupled) {
            Some(mark) => format!("square, sleeve mark {} mm from it", crate::measure::decimals(mark, 1)),
            None => "square".to_owned(),
        };
        match ending {
            Ending::Miter(other) => Made::corner(axis, other, at),
            Ending::Square => Made::flat(axis, axis, at, None, square),
            Ending::Lands { body, join, touch, .. } => Made {
                body: Some(body),
                ..self.landed(body, join, touch, axis, at)
            },
        }
    }

    fn landed(&self, body: usize, join: Join, touch: Touch, axis: DVec3, at: DVec3) -> Made {
        let body = &self.bodies[body];
        let outer: Arc<dyn Body + Send + Sync> = body.surface.clone();
        let landing = match (join, body.flat.as_ref().and_then(|flat| flat.inner.as_ref())) {
            (Join::SetIn, Some((inner, _))) => inner(0.0) as Arc<dyn Body + Send + Sync>,
            _ => outer.clone(),
        };
        Made {
            landing,
            weld_skin: outer,
            is_mirrored: false,
            touch,
            front: Some(body.front_of(axis, at)),
            body: None,
            flat_deg: None,
            words: EndWords {
                kind: join.word().to_owned(),
                body: Some(body.name.clone()),
            },
        }
    }

    /// The end that `hole` is for, and the round body on which it would land if its body were round; `None` where the
    /// body is round, or nothing else is known.
    pub fn end_if_round(&self, tube: &TubeInSpace, hole: &HoleInBody) -> Option<(End, Arc<dyn Body + Send + Sync>)> {
        let round = self.bodies[hole.body].if_round.as_ref()?;
        let mut pieces = self.pieces(tube);
        let end = if hole.is_at_start {
            pieces.swap_remove(0).near
        } else {
            pieces.pop()?.far
        };
        let skin = match hole.join {
            Join::SetOn => Some(&round.outer),
            Join::SetIn => round.inner.as_ref(),
        };
        Some((end, skin?.clone()))
    }

    /// The holes that a tube needs.
    pub fn holes(&self, tube: &TubeInSpace) -> Vec<HoleInBody> {
        let ends = tube.ends().into_iter().zip([true, false]);
        ends.filter_map(|(end, is_at_start)| self.hole(tube, &end, is_at_start))
            .collect()
    }

    fn hole(&self, tube: &TubeInSpace, end: &TubeEnd, is_at_start: bool) -> Option<HoleInBody> {
        let Ending::Lands {
            body: index,
            join,
            clearance_mm,
            ..
        } = end.ending
        else {
            return None;
        };
        let (at, axis) = (end.at, end.into_tube());
        let body = &self.bodies[index];
        let flat = body.flat.as_ref()?;
        let stock = &self.stock[tube.stock].tube;
        let (along_mm, round) = body.surface.place_of(at);
        let inner = flat
            .inner
            .as_ref()
            .filter(|_| join == Join::SetIn)
            .map(|(inner, wall)| (inner(round), *wall));
        let section = if join == Join::SetIn {
            stock.section.grown(clearance_mm)
        } else {
            stock.bore()
        };
        let leg = if is_at_start { 0 } else { tube.nodes.len() - 2 };
        let front = self.front_of_leg(tube, leg);
        let frame = Frame::new(at, axis, front.unwrap_or_else(|| body.front_of(axis, at)));
        let drilling = Drilling {
            frame,
            section,
            outer: (flat.outer)(round),
            inner,
        };
        Some(HoleInBody {
            body: index,
            tube: tube.name.clone(),
            is_at_start,
            join,
            clearance_mm,
            drilling,
            round,
            along_mm,
            front: self.front_of_piece(tube, leg),
        })
    }
}

/// `a` to `z`, then `aa`.
fn letters(number: usize) -> String {
    let last = char::from(b'a' + (number % 26) as u8);
    if number < 26 {
        last.to_string()
    } else {
        format!("{}{last}", letters(number / 26 - 1))
    }
}

/// What an end is cut to.
pub(super) struct Made {
    landing: Arc<dyn Body + Send + Sync>,
    weld_skin: Arc<dyn Body + Send + Sync>,
    is_mirrored: bool,
    touch: Touch,
    pub(super) front: Option<DVec3>,
    /// What it lands on, by index.
    body: Option<usize>,
    flat_deg: Option<f64>,
    words: EndWords,
}

impl Made {
    /// A flat cut through `at`, its plane square to `normal`, which points into the tube.
    fn flat(axis: DVec3, normal: DVec3, at: DVec3, front: Option<DVec3>, kind: String) -> Self {
        let x = normal.any_orthonormal_vector();
        let placement = DAffine3::from_mat3_translation(glam::DMat3::from_cols(x, normal.cross(x), normal), at);
        let plane = Arc::new(Placed::new(Plane, placement));
        // By the chord between the two: the cosine can't tell small angles.
        let flat_deg = Some((2.0 * ((axis - normal).length() / 2.0).clamp(0.0, 1.0).asin()).to_degrees());
        Self {
            landing: plane.clone(),
            weld_skin: plane,
            is_mirrored: false,
            touch: Touch::Outside,
            front,
            body: None,
            flat_deg,
            words: EndWords { kind, body: None },
        }
    }

    /// A mitered corner: `axis` leads into this leg, `other` leads from the other leg to the corner.
    fn corner(axis: DVec3, other: DVec3, at: DVec3) -> Self {
        let normal = (axis + other).normalize();
        let outside = other - axis;
        let front = across(outside, axis, COMPUTED);
        let turn = axis.dot(other).clamp(-1.0, 1.0).acos().to_degrees();
        let words = format!("miter, turn {}", crate::measure::show_angle(turn));
        Self {
            is_mirrored: true,
            ..Self::flat(axis, normal, at, front, words)
        }
    }
}
