//! The pieces that tubes are made of, and the holes that their ends need.

use std::sync::Arc;

use glam::{DAffine3, DVec3};

use super::opening::Opening;
use super::{Assembly, COMPUTED, Drilling, End, Ending, Frame, FrontOn, Join, Touch, TubeInSpace, across, usual_zero};
use crate::body::{Body, Placed, Plane, Several};
use crate::phrase::Phrase;

/// What an end of a piece is, in words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct EndWords {
    /// `set-on`, `miter, turn 45°`, `square`: pieces are alike only where this is equal.
    pub kind: Phrase,
    /// The body that it lands on.
    pub body: Option<String>,
    /// What else it is cut to.
    pub also: Vec<String>,
    /// Whether it is cut already.
    pub is_made: bool,
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

impl Piece {
    /// Its first end by 0, its far one by 1.
    pub fn end(&self, side: usize) -> &End {
        if side == 0 { &self.near } else { &self.far }
    }
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
    /// Whether it is cut already.
    pub is_made: bool,
    /// How it joins.
    pub join: Join,
    /// In millimetres.
    pub clearance_mm: f64,
    /// What else the end is cut to, by name: it may cover a part of the hole, or all of it.
    pub covered_by: Vec<String>,
    /// What is cut out, laid flat about the place under the tube's axis.
    pub drilling: Drilling,
    /// Round the body from the zero line to that place, in radians (across a plane, in millimetres).
    pub round: f64,
    /// Along it from its end, in millimetres.
    pub along_mm: f64,
    /// Which way the front of the tube's piece points here, as a unit vector square to the tube.
    pub front: DVec3,
}

/// The legs that are tube, by the first of their nodes.
fn legs_of(tube: &TubeInSpace) -> Vec<usize> {
    (0..tube.nodes.len() - 1)
        .filter(|leg| !tube.gaps.contains(leg))
        .collect()
}

/// What the piece of that number is called, of so many.
fn name_of(tube: &TubeInSpace, number: usize, count: usize) -> String {
    if count == 1 {
        tube.name.clone()
    } else {
        format!("{} {}", tube.name, letters(number))
    }
}

impl Assembly {
    /// The pieces of a tube, in order.
    pub fn pieces(&self, tube: &TubeInSpace) -> Vec<Piece> {
        let legs = legs_of(tube);
        let made = |(number, leg): (usize, &usize)| self.piece(tube, *leg, name_of(tube, number, legs.len()));
        legs.iter().enumerate().map(made).collect()
    }

    /// The piece with a tube's first end, else with its last; `None` of a tube without any.
    pub fn end_piece(&self, tube: &TubeInSpace, is_at_start: bool) -> Option<Piece> {
        let legs = legs_of(tube);
        let number = if is_at_start { 0 } else { legs.len().checked_sub(1)? };
        Some(self.piece(tube, *legs.get(number)?, name_of(tube, number, legs.len())))
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
            root_gap_mm: made.root_gap_mm,
        };
        let ends = [end(&near, from, axis), end(&far, to, -axis)];
        let fronts_on = [(near.body, &ends[0]), (far.body, &ends[1])]
            .map(|(body, end)| self.bodies[body?].front_on(&end.tube, &end.frame));
        let [near_end, far_end] = ends;
        Piece {
            name,
            stock: tube.stock,
            length_mm: (to - from).length(),
            near: near_end,
            far: far_end,
            fronts: [near.front, far.front],
            fronts_on,
            flat_cuts_deg: [near.flat_deg, far.flat_deg],
            ends: [
                EndWords {
                    is_made: leg == 0 && tube.made[0].end,
                    ..near.words
                },
                EndWords {
                    is_made: leg + 2 == tube.nodes.len() && tube.made[1].end,
                    ..far.words
                },
            ],
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

    /// The front of the piece with a tube's first end, or with its last.
    pub(super) fn front_at_end(&self, tube: &TubeInSpace, is_at_start: bool) -> DVec3 {
        self.front_of_piece(tube, if is_at_start { 0 } else { tube.nodes.len() - 2 })
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
            tube.start.clone()
        } else if node + 1 == tube.nodes.len() {
            tube.end.clone()
        } else {
            Ending::Square
        };
        let is_coupled =
            (is_near && tube.gaps.contains(&(leg.wrapping_sub(1)))) || (!is_near && tube.gaps.contains(&(leg + 1)));
        let square = match tube.sleeve_mark_mm.filter(|_| is_coupled) {
            Some(mark) => Phrase::from("square, sleeve mark ").length(mark).words(" from it"),
            None => "square".into(),
        };
        match ending {
            Ending::Miter(other) => Made::corner(axis, other, at),
            Ending::Square => Made::flat(axis, axis, at, None, square),
            Ending::Lands {
                body,
                join,
                touch,
                root_gap_mm,
                also,
                ..
            } => Made {
                body: Some(body),
                touch,
                ..self
                    .landed(body, join, root_gap_mm, axis, at)
                    .cut_to(self, &also, root_gap_mm)
            },
        }
    }

    fn landed(&self, body: usize, join: Join, root_gap_mm: f64, axis: DVec3, at: DVec3) -> Made {
        let body = &self.bodies[body];
        let outer: Arc<dyn Body + Send + Sync> = body.surface.clone();
        let landing = match (join, &body.inner) {
            (Join::SetIn, Some(inner)) => inner.clone(),
            _ if root_gap_mm > 0.0 => body.surface.grown(root_gap_mm),
            _ => outer.clone(),
        };
        Made {
            landing,
            weld_skin: outer,
            is_mirrored: false,
            touch: Touch::Wall,
            root_gap_mm,
            front: Some(body.front_of(axis, at)),
            body: None,
            flat_deg: None,
            words: EndWords {
                kind: join.word().into(),
                body: Some(body.name.clone()),
                ..EndWords::default()
            },
        }
    }

    /// The end that `hole` is for, and the round body on which it would land if its body were round; `None` where the
    /// body is round, or nothing else is known.
    pub fn end_if_round(&self, tube: &TubeInSpace, hole: &HoleInBody) -> Option<(End, Arc<dyn Body + Send + Sync>)> {
        let round = self.bodies[hole.body]
            .if_round
            .as_ref()
            .filter(|_| hole.drilling.others.is_empty())?;
        let piece = self.end_piece(tube, hole.is_at_start)?;
        let end = if hole.is_at_start { piece.near } else { piece.far };
        let skin = match hole.join {
            Join::SetOn => round.outer.grown(end.root_gap_mm),
            Join::SetIn => round.inner.clone()?,
        };
        Some((end, skin))
    }

    /// The holes that a tube needs.
    pub fn holes(&self, tube: &TubeInSpace) -> Vec<HoleInBody> {
        self.openings(tube)
            .filter_map(|opening| self.hole(tube, opening))
            .collect()
    }

    fn hole(&self, tube: &TubeInSpace, opening: Opening<'_>) -> Option<HoleInBody> {
        let Opening { body, join, .. } = opening;
        let (at, axis) = (opening.end.at, opening.end.into_tube());
        let flat = body.flat.as_ref()?;
        let (along_mm, round) = body.surface.place_of(at);
        let inner = flat
            .inner
            .as_ref()
            .filter(|_| join == Join::SetIn)
            .map(|(inner, wall)| (inner(round), *wall));
        let leg = if opening.is_at_start { 0 } else { tube.nodes.len() - 2 };
        let front = self.front_of_leg(tube, leg);
        let frame = Frame::new(at, axis, front.unwrap_or_else(|| body.front_of(axis, at)));
        let drilling = Drilling {
            frame,
            section: opening.section,
            outer: (flat.outer)(round),
            inner,
            others: opening.others,
        };
        Some(HoleInBody {
            body: opening.index,
            covered_by: opening.covered_by,
            tube: tube.name.clone(),
            is_at_start: opening.is_at_start,
            is_made: opening.is_made,
            join,
            clearance_mm: opening.clearance_mm,
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
    root_gap_mm: f64,
    pub(super) front: Option<DVec3>,
    /// What it lands on, by index.
    body: Option<usize>,
    flat_deg: Option<f64>,
    words: EndWords,
}

impl Made {
    /// A flat cut through `at`, its plane square to `normal`, which points into the tube.
    fn flat(axis: DVec3, normal: DVec3, at: DVec3, front: Option<DVec3>, kind: Phrase) -> Self {
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
            root_gap_mm: 0.0,
            front,
            body: None,
            flat_deg,
            words: EndWords {
                kind,
                ..EndWords::default()
            },
        }
    }

    /// The same, cut to other bodies as well.
    fn cut_to(self, assembly: &Assembly, also: &[usize], root_gap_mm: f64) -> Self {
        if also.is_empty() {
            return self;
        }
        let bodies = || also.iter().map(|body| &assembly.bodies[*body]);
        let all = |first: Arc<dyn Body + Send + Sync>, by: f64| -> Arc<dyn Body + Send + Sync> {
            let others = bodies().map(|body| {
                if by > 0.0 {
                    body.surface.grown(by)
                } else {
                    body.surface.clone() as _
                }
            });
            Arc::new(Several::new(std::iter::once(first).chain(others).collect()))
        };
        Self {
            landing: all(self.landing, root_gap_mm),
            weld_skin: all(self.weld_skin, 0.0),
            words: EndWords {
                also: bodies().map(|body| body.name.clone()).collect(),
                ..self.words
            },
            ..self
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
            ..Self::flat(axis, normal, at, front, words.into())
        }
    }
}
