//! Sections of tube: the closed curve of the outer skin, square across the axis. Pure geometry in millimetres.
//!
//! A section is walked by its azimuth: a whole turn is once round the girth, at an even pace, from the middle of the
//! front to the right, so that the crown lines are at 0, 90, 180 and 270 degrees. On round tube that is the angle about
//! the axis too; on a tube with sides it is not.
//!
//! Places are given from the axis: x towards the front, y to the right.
//!
//! Every place of the skin answers for the part of the wall that is nearer to it than to any other place of the skin: a
//! straight [`WallLine`] square to the skin. It ends at the bore, or in a corner that is rounded less than the wall is
//! thick where the lines of the other side begin, i.e. on the corner's bisector. So a cut along the lines goes square
//! through the wall, meets itself in the corners, and leaves no part of the wall out.
//!
//! A new section is a new file with [`Profile`], and a line in this one.

mod rectangle;
mod round;

use glam::{DVec2, DVec3};

pub use rectangle::Rectangle;
pub use round::Round;

/// The section of a tube's outer skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Section {
    /// A circle.
    Round(Round),
    /// Four sides and four corners.
    Rectangle(Rectangle),
}

/// The straight line through the wall at one place of the girth, square to the skin. Places on it are told by their
/// radius, which grows outwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallLine {
    /// Where the radius is 0.
    pub origin: DVec2,
    /// Which way it leads out, in radians from the front to the right.
    pub facing: f64,
    /// Radius at its inner end, in millimetres.
    pub inner: f64,
    /// Radius at the skin, in millimetres.
    pub outer: f64,
    /// How fast the line moves along the girth as a whole, in millimetres per radian of azimuth.
    pub(crate) gliding: f64,
    /// How fast it turns about its origin, per radian of azimuth.
    pub(crate) turning: f64,
    /// How fast its inner end moves outwards, in millimetres per radian of azimuth.
    pub(crate) inner_rise: f64,
}

impl WallLine {
    /// How fast its place at `radius` moves along the girth, in millimetres per radian of azimuth.
    pub fn pace(&self, radius: f64) -> f64 {
        self.gliding + self.turning * radius
    }
}

/// What a section answers for itself. Azimuths are in radians.
pub trait Profile {
    /// Once round the skin, in millimetres.
    fn girth(&self) -> f64;

    /// What a wall of `wall` millimetres covers of the section, in square millimetres.
    fn wall_area(&self, wall: f64) -> f64;

    /// The line through a wall of `wall` millimetres at an azimuth.
    fn wall_line(&self, azimuth: f64, wall: f64) -> WallLine;

    /// Azimuths from 0 to a turn at which the skin's bend or the depth of the wall is not smooth, rising.
    fn joins(&self, wall: f64) -> Vec<f64>;

    /// Azimuths from 0 to a turn of the corners' middles, rising; none on round tube.
    fn folds(&self) -> Vec<f64>;

    /// Azimuths from 0 to a turn at which the corners' rounds begin and end, rising; none on round tube and at sharp corners.
    fn bends(&self) -> Vec<f64> {
        Vec::new()
    }

    /// How far the section reaches towards a direction, from the axis, times the direction's length.
    fn reach_towards(&self, way: DVec2) -> f64;

    /// From the axis to the farthest place of the skin, in millimetres.
    fn reach(&self) -> f64;

    /// The section whose skin lies `by` millimetres outside this one everywhere, or inside where `by` is below 0.
    fn grown(&self, by: f64) -> Section;

    /// How far a place lies outside the skin, in millimetres; below 0 inside. `across` leads to it square from the axis;
    /// `front` and `right` are where the section's own point.
    fn outside_by(&self, across: DVec3, front: DVec3, right: DVec3) -> f64;

    /// Where a straight line from `start` along `way` enters and leaves, in multiples of `way`.
    fn crossings(&self, start: DVec2, way: DVec2) -> Option<[f64; 2]>;

    /// The azimuth of the place of the skin under `place`, from 0 to a turn.
    fn azimuth_of(&self, place: DVec2) -> f64;

    /// Azimuths of the lines along the tube that a picture shows to an eye in the direction `eye`.
    fn outlines(&self, eye: DVec2) -> Vec<f64>;
}

impl Section {
    /// A circle of a diameter in millimetres, above 0.
    pub fn round(od_mm: f64) -> Self {
        Self::Round(Round { radius: od_mm / 2.0 })
    }

    /// Its diameter in millimetres, where it has one.
    pub fn od_mm(&self) -> Option<f64> {
        match self {
            Self::Round(round) => Some(2.0 * round.radius),
            Self::Rectangle(_) => None,
        }
    }

    /// How far it reaches from the axis in a direction, in millimetres; `facing` in radians from the front to the right.
    pub fn reach_at(&self, facing: f64) -> f64 {
        self.reach_towards(DVec2::from_angle(facing))
    }

    /// Its sides and corners, where it has them.
    pub fn sides(&self) -> Option<&Rectangle> {
        match self {
            Self::Round(_) => None,
            Self::Rectangle(rectangle) => Some(rectangle),
        }
    }

    fn profile(&self) -> &dyn Profile {
        match self {
            Self::Round(round) => round,
            Self::Rectangle(rectangle) => rectangle,
        }
    }
}

impl Profile for Section {
    fn girth(&self) -> f64 {
        self.profile().girth()
    }

    fn wall_area(&self, wall: f64) -> f64 {
        self.profile().wall_area(wall)
    }

    fn wall_line(&self, azimuth: f64, wall: f64) -> WallLine {
        self.profile().wall_line(azimuth, wall)
    }

    fn joins(&self, wall: f64) -> Vec<f64> {
        self.profile().joins(wall)
    }

    fn folds(&self) -> Vec<f64> {
        self.profile().folds()
    }

    fn bends(&self) -> Vec<f64> {
        self.profile().bends()
    }

    fn reach_towards(&self, way: DVec2) -> f64 {
        self.profile().reach_towards(way)
    }

    fn reach(&self) -> f64 {
        self.profile().reach()
    }

    fn grown(&self, by: f64) -> Section {
        self.profile().grown(by)
    }

    fn outside_by(&self, across: DVec3, front: DVec3, right: DVec3) -> f64 {
        self.profile().outside_by(across, front, right)
    }

    fn crossings(&self, start: DVec2, way: DVec2) -> Option<[f64; 2]> {
        self.profile().crossings(start, way)
    }

    fn azimuth_of(&self, place: DVec2) -> f64 {
        self.profile().azimuth_of(place)
    }

    fn outlines(&self, eye: DVec2) -> Vec<f64> {
        self.profile().outlines(eye)
    }
}
