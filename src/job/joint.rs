//! The joints that can be asked for one at a time, and the ends and holes that they are made of.

use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;

use super::{Drilling, End, Frame, Header, Join, Touch, Tube};
use crate::body::{Cylinder, Plane};
use crate::section::Profile;

/// A branch on a header, at home in the frame of DEVELOPERS.md, "Geometry".
#[derive(Debug, Clone, PartialEq)]
pub struct Saddle {
    /// The tube that is coped.
    pub branch: Tube,
    /// What it lands on; its wall is known for a set-in join.
    pub header: Header,
    /// How far the branch is turned about its own axis, in degrees: its front side from the side of the acute angle
    /// towards the right.
    pub turned_deg: f64,
    /// Between the axes, in degrees, 10 to 90.
    pub angle_deg: f64,
    /// Of the branch's axis sideways, along +x, in millimetres.
    pub offset_mm: f64,
    /// Which part of the wall decides.
    pub touch: Touch,
    /// On the header or in it.
    pub join: Join,
    /// Added to the radius of a set-in hole, in millimetres.
    pub clearance_mm: f64,
    /// Left between a set-on end and the header, square to the header's skin, in millimetres; 0 to 10.
    pub root_gap_mm: f64,
}

impl Saddle {
    /// Where the branch lies, the header's axis along +y.
    pub fn frame(&self) -> Frame {
        Frame::branch(self.angle_deg.to_radians(), self.offset_mm).turned(self.turned_deg.to_radians())
    }

    /// How far the branch reaches to either side of its axis across the header, in millimetres.
    pub fn half_across(&self) -> f64 {
        // Across the header, seen from the branch's own front.
        self.branch.section.reach_at(FRAC_PI_2 - self.turned_deg.to_radians())
    }

    /// Radius of the skin that the branch ends at, without the root gap: the outer one, or the inner one for set-in.
    pub fn landing_radius(&self) -> f64 {
        match self.join {
            Join::SetOn => self.header.radius(),
            Join::SetIn => self.header.radius() - self.header_wall(),
        }
    }

    /// The branch's end.
    pub fn end(&self) -> End {
        End {
            tube: self.branch.clone(),
            frame: self.frame(),
            landing: Arc::new(Cylinder::new(self.landing_radius() + self.root_gap_mm)),
            weld_skin: Arc::new(Cylinder::new(self.header.radius())),
            is_mirrored: false,
            touch: self.touch,
            root_gap_mm: self.root_gap_mm,
        }
    }

    /// The hole in the header.
    pub fn drilling(&self) -> Drilling {
        let (section, inner) = match self.join {
            Join::SetOn => (self.branch.bore(), None),
            Join::SetIn => {
                let skin = Cylinder::new(self.landing_radius());
                (
                    self.branch.section.grown(self.clearance_mm),
                    Some((Arc::new(skin) as Arc<_>, self.header_wall())),
                )
            }
        };
        Drilling {
            frame: self.frame(),
            section,
            outer: Arc::new(Cylinder::new(self.header.radius())),
            inner,
            others: Vec::new(),
        }
    }

    fn header_wall(&self) -> f64 {
        self.header.wall_mm.unwrap_or(0.0)
    }
}

/// A turn made of equal tubes, cut flat.
#[derive(Debug, Clone, PartialEq)]
pub struct Miter {
    /// Every piece is cut from it.
    pub tube: Tube,
    /// By how much the centre line turns in all, in degrees, above 0 and below 180.
    pub turn_deg: f64,
    /// 2 or more.
    pub pieces: usize,
    /// How far the tube is turned about its own axis, in degrees: its front side from the long side towards the right.
    pub turned_deg: f64,
    /// Of the centre line's arc, in millimetres, above the tube's half depth; always there from three pieces on.
    pub radius_mm: Option<f64>,
}

impl Miter {
    /// How far off square each cut is, in degrees: T / (2 (N - 1)).
    pub fn cut_off_square_deg(&self) -> f64 {
        self.turn_deg / (2.0 * (self.pieces - 1) as f64)
    }

    /// From the tangent point to the first cut along the centre line, in millimetres.
    pub fn end_piece_mm(&self) -> Option<f64> {
        self.radius_mm
            .map(|radius| radius * self.cut_off_square_deg().to_radians().tan())
    }

    /// From cut to cut of a middle piece along the centre line, in millimetres.
    pub fn middle_piece_mm(&self) -> Option<f64> {
        self.end_piece_mm().map(|end| 2.0 * end)
    }

    /// From the axis to the tube's outside of the turn, in millimetres.
    pub fn half_depth(&self) -> f64 {
        self.tube.section.reach_at(-self.turned_deg.to_radians())
    }

    /// A cut end, its long side in front unless it is turned.
    pub fn end(&self) -> End {
        End {
            tube: self.tube.clone(),
            frame: Frame::miter(self.cut_off_square_deg().to_radians()).turned(self.turned_deg.to_radians()),
            landing: Arc::new(Plane),
            weld_skin: Arc::new(Plane),
            is_mirrored: true,
            touch: Touch::Outside,
            root_gap_mm: 0.0,
        }
    }
}

/// A flat cut of one side of a round branch's end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SawCut {
    /// How far the scribed line that it touches stands back from the first cut, in millimetres, above 0.
    pub scribe_mm: f64,
    /// In degrees off square, 0 to 80.
    pub saw_deg: f64,
}

/// How a round branch's end was cut flat on a chop saw, after the first cut parallel to the header.
#[derive(Debug, Clone, PartialEq)]
pub struct FlatCuts {
    /// The cuts of the front, usually one.
    pub front: Vec<SawCut>,
    /// Those of the back. One side at least has a cut.
    pub back: Vec<SawCut>,
    /// How far the tube can be pushed in past its first touch by what was rounded off, in millimetres, at least 0.
    pub rounded_mm: f64,
}

impl FlatCuts {
    /// One cut a side, both of which touch one scribed line; nothing rounded off.
    pub fn pair(scribe_mm: f64, saw_front_deg: f64, saw_back_deg: f64) -> Self {
        let cut = |saw_deg: f64| vec![SawCut { scribe_mm, saw_deg }];
        Self {
            front: cut(saw_front_deg),
            back: cut(saw_back_deg),
            rounded_mm: 0.0,
        }
    }

    /// The scribe depth and both saw angles where it is such a pair.
    pub fn as_pair(&self) -> Option<(f64, [f64; 2])> {
        let ([front], [back]) = (self.front.as_slice(), self.back.as_slice()) else {
            return None;
        };
        (front.scribe_mm == back.scribe_mm).then_some((front.scribe_mm, [front.saw_deg, back.saw_deg]))
    }
}

/// A branch whose end is cut flat on a chop saw instead of coped.
#[derive(Debug, Clone, PartialEq)]
pub struct Facets {
    /// The joint: set-on, without offset, `touch = wall`.
    pub joint: Saddle,
    /// How far the scribed line stands back from the first cut, in millimetres, at least 0.
    pub scribe_mm: f64,
    /// Saw angle of the front cut in degrees off square, 0 to 80.
    pub saw_front_deg: f64,
    /// Saw angle of the back cut, likewise.
    pub saw_back_deg: f64,
    /// The steepest that the saw can be set, in degrees off square, likewise.
    pub saw_limit_deg: f64,
    /// The widest gap that can be welded, in millimetres, above 0.
    pub gap_limit_mm: f64,
    /// How far the tube is pushed in by rounding the corners off, in millimetres, where it was given.
    pub round_mm: Option<f64>,
}
