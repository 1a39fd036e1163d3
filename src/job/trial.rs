//! The trial fit: an end as it was cut, offered up to what it really meets, and the gaps that were read.

use std::ops::RangeInclusive;
use std::sync::Arc;

use glam::DVec3;

use super::{End, EndOfJob, FlatCuts, Frame, Saddle, Touch};
use crate::body::{Body, Cylinder};

/// A thing that may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// The angle between the tube and what it lands on: it leans. In degrees.
    Angle,
    /// The tube about its own axis, from the front to the right. In degrees.
    Turned,
    /// Its axis stands aside, to the right. In millimetres.
    Aside,
    /// The radius of what it lands on. In millimetres.
    Radius,
    /// It leans to the right, where standing aside would change nothing. In degrees.
    Sideways,
}

impl Thing {
    /// All of them, in the order in which they are told.
    pub const ALL: [Self; 5] = [Self::Angle, Self::Turned, Self::Aside, Self::Radius, Self::Sideways];

    /// The word for it in the report.
    pub fn word(self) -> &'static str {
        match self {
            Self::Angle => "angle",
            Self::Turned => "turned",
            Self::Aside => "aside",
            Self::Radius => "radius",
            Self::Sideways => "sideways",
        }
    }

    /// Whether it is told in degrees; else in millimetres.
    pub fn is_in_degrees(self) -> bool {
        matches!(self, Self::Angle | Self::Turned | Self::Sideways)
    }
}

/// By how much each thing is off from what the end was cut for, in its own unit.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Misfit([f64; Thing::ALL.len()]);

impl Misfit {
    /// By how much one thing is off.
    pub fn of(&self, thing: Thing) -> f64 {
        self.0[thing as usize]
    }

    /// The same with `thing` off by `by`.
    #[must_use]
    pub fn with(mut self, thing: Thing, by: f64) -> Self {
        self.0[thing as usize] = by;
        self
    }
}

/// A gap that was read along the tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// From the front to the right with the cut end up, in degrees, at least 0 and below 360.
    pub azimuth_deg: f64,
    /// In millimetres, at least 0.
    pub gap_mm: f64,
}

/// Makes the skin that is really there, so many millimetres larger than was said and without a root gap; none where there is no
/// such skin.
pub type Regrown = Arc<dyn Fn(f64) -> Option<Arc<dyn Body + Send + Sync>> + Send + Sync>;

/// An end as it was asked for, and how it may meet what it lands on in another way.
#[derive(Clone)]
pub struct OfferedUp {
    /// As it was asked for, and cut, unless that was flat. Round it places are told from its front to the right with the cut end up, of a far end too.
    pub end: End,
    /// How it was cut, where that was flat.
    pub flat: Option<FlatCuts>,
    /// Towards the side of the acute angle, a unit vector square to the tube.
    pub acute: DVec3,
    /// What it lands on, of another radius.
    pub regrown: Regrown,
    /// What was asked for of each thing, in its own unit, by [`Thing::ALL`]; none where it can't be off.
    pub asked: [Option<f64>; Thing::ALL.len()],
}

/// What is offered up.
#[derive(Clone)]
pub enum TrialOf {
    /// A branch on a header.
    Joint(Box<Saddle>),
    /// An end of a job.
    End(Box<EndOfJob>),
}

/// No tube that was set by eye leans or is turned by more than this from what was asked, in degrees.
const MOST_LEAN_DEG: f64 = 15.0;
const MOST_TURN_DEG: f64 = 30.0;
/// Nor is a body's radius farther from what was said, as a share of it.
const MOST_RADIUS: f64 = 0.4;

impl OfferedUp {
    /// Where the acute side is round the tube, in degrees from its front to the right with the cut end up, 0 to 360.
    pub fn acute_deg(&self) -> f64 {
        let frame = self.end.frame;
        let (front, right) = (self.acute.dot(frame.front), self.acute.dot(frame.right));
        right.atan2(front).to_degrees().rem_euclid(360.0)
    }

    /// What was asked for of a thing; none where it can't be off.
    pub fn asked(&self, thing: Thing) -> Option<f64> {
        self.asked[thing as usize]
    }

    /// By how much a thing may be off, in its own unit.
    pub fn limits(&self, thing: Thing) -> RangeInclusive<f64> {
        let most = match thing {
            Thing::Angle | Thing::Sideways => MOST_LEAN_DEG,
            Thing::Turned => MOST_TURN_DEG,
            Thing::Aside => self.end.tube.radius(),
            Thing::Radius => MOST_RADIUS * self.asked(thing).unwrap_or(0.0),
        };
        -most..=most
    }

    /// The end where it really is, on what is really there; none where there is no such body. Its azimuths are the tube's
    /// own, as they are when it is cut.
    pub fn met(&self, misfit: &Misfit) -> Option<End> {
        let own = self.end.frame;
        let right = self.acute.cross(own.axis);
        let turned = own.front.dot(right).atan2(own.front.dot(self.acute)) + misfit.of(Thing::Turned).to_radians();
        // A larger angle takes the axis away from the acute side.
        let (sin, cos) = misfit.of(Thing::Angle).to_radians().sin_cos();
        let upright = cos * own.axis - sin * self.acute;
        let acute = cos * self.acute + sin * own.axis;
        let (sin, cos) = misfit.of(Thing::Sideways).to_radians().sin_cos();
        let axis = cos * upright + sin * right;
        let origin = own.origin + misfit.of(Thing::Aside) * right;
        let landing = (self.regrown)(misfit.of(Thing::Radius))?;
        // Of an end that was cut by the handbook's line the rest of the wall is there, too, and may touch first.
        let touch = match self.end.touch {
            Touch::Inside => Touch::Wall,
            touch => touch,
        };
        Some(End {
            frame: Frame::new(origin, axis, acute).turned(turned),
            landing,
            touch,
            ..self.end.clone()
        })
    }
}

/// A trial fit as it was asked about.
#[derive(Clone)]
pub struct Trial {
    /// What it is of, for words and pictures: nothing that is worked out asks for it.
    pub of: TrialOf,
    /// Its end.
    pub offered: OfferedUp,
    /// 4 to 32, the least of them 0, from the front to the right.
    pub readings: Vec<Reading>,
    /// How well they were read: the standard error of each, in millimetres, above 0.
    pub read_within_mm: f64,
    /// The widest gap that can be welded, in millimetres, above 0.
    pub gap_limit_mm: f64,
}

impl Saddle {
    /// The branch's end, to be offered up as it was coped or cut flat.
    pub fn offered_up(&self, flat: Option<FlatCuts>) -> OfferedUp {
        let radius = self.landing_radius();
        let least = 0.5 * self.half_across();
        OfferedUp {
            end: self.end(),
            flat,
            acute: Frame::branch(self.angle_deg.to_radians(), self.offset_mm).front,
            regrown: Arc::new(move |by| {
                let grown = radius + by;
                (grown > least).then(|| Arc::new(Cylinder::new(grown)) as _)
            }),
            asked: [
                Some(self.angle_deg),
                Some(self.turned_deg),
                Some(self.offset_mm),
                Some(self.header.radius()),
                None,
            ],
        }
    }
}
