//! What tubes land on, with its place in space.

use std::fmt;
use std::sync::Arc;

use glam::{DAffine3, DVec3};

use super::{COMPUTED, FoundHole, KeepOff, Skin, Stays, ZeroLine, across, usual_zero};
use crate::body::{Body, Grow, Locate, Outside};

/// A skin on which places are measured.
pub trait Surface: Body + Locate + Grow + Send + Sync {}
impl<T: Body + Locate + Grow + Send + Sync> Surface for T {}

impl PartialEq for dyn Surface {
    fn eq(&self, other: &Self) -> bool {
        self.is_same(other.as_any())
    }
}

/// Makes a skin in its place that is laid flat from the line so many radians round from the zero line (a plane's from
/// its own lines).
pub type SkinFrom = Arc<dyn Fn(f64) -> Arc<dyn Skin> + Send + Sync>;

/// What of a body is solid, in the body's own coordinates.
pub type SolidThing = Arc<dyn Outside + Send + Sync>;

/// A stretch of a body moved out.
pub struct GrownPart {
    /// Its skin, in its place.
    pub surface: Arc<dyn Surface>,
    /// Its coordinates begin where the stretch does.
    pub outside: SolidThing,
}

/// Makes a stretch of a body, from and to so many millimetres along it, moved out by so many millimetres.
pub type Grown = Arc<dyn Fn(f64, [f64; 2]) -> GrownPart + Send + Sync>;

/// Where a part of a stack lies over another: a hole there would go through both.
#[derive(Debug, Clone, PartialEq)]
pub struct Lap {
    /// From where to where along the body, in millimetres from its end.
    pub along_mm: [f64; 2],
    /// `upper nests in lower`.
    pub words: String,
}

/// How a part of a stack is turned on the part under it.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnedOn {
    /// What that body is called.
    pub name: String,
    /// From that one's zero line to its own, to the right as seen from outside as they stand, in degrees, above -180 to 180.
    pub turned_deg: f64,
    /// The same round the other's skin, in millimetres.
    pub arc_mm: f64,
}

/// The skins of a body that can be laid flat.
#[derive(Clone)]
pub struct FlatSkins {
    /// The outer one.
    pub outer: SkinFrom,
    /// The inner one, where the wall is known, and the wall in millimetres.
    pub inner: Option<(SkinFrom, f64)>,
}

impl FlatSkins {
    /// The inner one as a tube meets it.
    pub(crate) fn inner_body(&self) -> Option<Arc<dyn Body + Send + Sync>> {
        self.inner.as_ref().map(|(inner, _)| inner(0.0) as _)
    }
}

/// What a body that is out of round would be taken for by its girth alone.
#[derive(Clone)]
pub struct TakenForRound {
    /// A true cylinder of the girth that was given, about the same axis.
    pub outer: Arc<dyn Surface>,
    /// Its inner skin, where the wall is known.
    pub inner: Option<Arc<dyn Body + Send + Sync>>,
}

impl PartialEq for TakenForRound {
    fn eq(&self, other: &Self) -> bool {
        *self.outer == *other.outer && self.inner == other.inner
    }
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
    /// Its inner skin, where the wall is known.
    pub inner: Option<Arc<dyn Body + Send + Sync>>,
    /// The skins that can be laid flat, where they can.
    pub flat: Option<FlatSkins>,
    /// What of it is solid, and how far it reaches.
    pub outside: SolidThing,
    /// The tube that it is, by index (of several copies the first), where it is one.
    pub of_tube: Option<usize>,
    /// Which leg of it, where it has several.
    pub of_leg: Option<usize>,
    /// The line from which places round it are told.
    pub zero_line: ZeroLine,
    /// How it is turned on the part of its stack that is under it.
    pub turned_on: Option<TurnedOn>,
    /// The inside floor's distance from the end, in millimetres, where it is known.
    pub floor_mm: Option<f64>,
    /// What its inner skin encloses across the axis, in square millimetres, where that is the same all along and known.
    pub bore_mm2: Option<f64>,
    /// What it would be taken for, where it is out of round.
    pub if_round: Option<TakenForRound>,
    /// Where it is parted: there its length ends.
    pub parting: Option<PartingLine>,
    /// Where other parts of its stack lap over it, or it over them.
    pub laps: Vec<Lap>,
    /// What no hole may come into.
    pub keep_off: Vec<KeepOff>,
    /// Holes that it has already, of no tube.
    pub found: Vec<FoundHole>,
    /// What people should know of it, to be printed on its mark-out sheet.
    pub note: Option<String>,
    /// The body on whose skin it is to be kept off, by index, and how far it stands out of that in millimetres; none of a
    /// body of its own.
    pub of_body: Option<(usize, f64)>,
    /// A stretch of it moved out, where it has ends.
    pub grown: Option<Grown>,
    /// Where it meets the other bodies of its vessel.
    pub seams: Vec<Seam>,
}

/// Where two bodies meet that are one vessel: a cylinder and its head.
#[derive(Debug, Clone, PartialEq)]
pub struct Seam {
    /// The other body, by index.
    pub other: usize,
    /// Its name.
    pub name: String,
    /// Along this one, in millimetres: of a head over the skin from its apex.
    pub along_mm: f64,
}

impl fmt::Debug for BodyInSpace {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_struct("BodyInSpace")
            .field("name", &self.name)
            .field("size", &self.size)
            .finish_non_exhaustive()
    }
}

impl BodyInSpace {
    /// A body of its own of which nothing is known but its skin and what of it is solid.
    pub fn new(
        name: String,
        size: String,
        placement: DAffine3,
        surface: Arc<dyn Surface>,
        outside: SolidThing,
    ) -> Self {
        Self {
            name,
            size,
            placement,
            surface,
            outside,
            inner: None,
            flat: None,
            of_tube: None,
            of_leg: None,
            zero_line: ZeroLine::OfBody,
            turned_on: None,
            floor_mm: None,
            bore_mm2: None,
            if_round: None,
            parting: None,
            laps: Vec::new(),
            keep_off: Vec::new(),
            found: Vec::new(),
            note: None,
            of_body: None,
            grown: None,
            seams: Vec::new(),
        }
    }

    /// Whether tubes are cut to it, and holes in it are marked, as with the other: the places of other things in the lists of
    /// their assemblies may differ, and so may what is only said of it.
    pub fn is_cut_to_as(&self, other: &Self) -> bool {
        // A new field must be thought of here.
        let Self {
            name,
            size,
            placement,
            surface,
            inner,
            flat,
            outside,
            of_tube,
            of_leg,
            zero_line,
            floor_mm,
            bore_mm2,
            if_round,
            parting,
            laps,
            keep_off,
            found,
            of_body,
            seams,
            note: _,
            turned_on: _,
            // It follows from the skin.
            grown: _,
        } = self;
        let wall = |flat: &Option<FlatSkins>| flat.as_ref().map(|flat| flat.inner.as_ref().map(|(_, wall)| *wall));
        let met = |seams: &[Seam]| -> Vec<(String, f64)> {
            let met = seams.iter().map(|seam| (seam.name.clone(), seam.along_mm));
            met.collect()
        };
        let holes = |found: &[FoundHole]| -> Vec<(String, [f64; 3])> {
            let figures = |hole: &FoundHole| [hole.along_mm, hole.round, hole.across_mm];
            found.iter().map(|hole| (hole.name.clone(), figures(hole))).collect()
        };
        *name == other.name
            && *size == other.size
            && *placement == other.placement
            && **surface == *other.surface
            && *inner == other.inner
            && wall(flat) == wall(&other.flat)
            && **outside == *other.outside
            && of_tube.is_some() == other.of_tube.is_some()
            && *of_leg == other.of_leg
            && *zero_line == other.zero_line
            && *floor_mm == other.floor_mm
            && *bore_mm2 == other.bore_mm2
            && *if_round == other.if_round
            && *parting == other.parting
            && *laps == other.laps
            && *keep_off == other.keep_off
            && holes(found) == holes(&other.found)
            && of_body.map(|(_, out_mm)| out_mm) == other.of_body.map(|(_, out_mm)| out_mm)
            && met(seams) == met(&other.seams)
    }

    /// Between its two ends, in millimetres; none where it has none.
    pub fn length_mm(&self) -> Option<f64> {
        Some(self.outside.ends()?.length_mm)
    }

    /// The direction of its axis; of a plane, the direction along it.
    pub fn axis(&self) -> DVec3 {
        self.placement.transform_vector3(DVec3::Y)
    }

    /// Which direction a tube along `axis` that lands at `at` calls its front: the side of the acute angle.
    pub fn front_of(&self, axis: DVec3, at: DVec3) -> DVec3 {
        let lean = if self.outside.ends().is_some() {
            self.axis() * if self.axis().dot(axis) < -1e-9 { -1.0 } else { 1.0 }
        } else {
            let (along, round) = self.surface.place_of(at);
            let normal = self.surface.site(along, round).normal;
            let lean = axis - axis.dot(normal) * normal;
            if lean.length() > 1e-9 { lean } else { self.axis() }
        };
        across(lean, axis, COMPUTED).unwrap_or_else(|| usual_zero(axis))
    }

    /// From where to where along it places can be, before it is parted, in millimetres; none where it has no ends.
    pub fn reach_along(&self) -> Option<[f64; 2]> {
        if let Some([_, high]) = self.outside.edges_mm() {
            return Some([-high / 2.0, high / 2.0]);
        }
        let whole = self.parting.as_ref().map(|parting| parting.whole_mm);
        Some([0.0, whole.or(self.length_mm())?])
    }

    /// Whether it is the same all along its axis.
    pub fn is_straight(&self) -> bool {
        let ends = self.outside.ends();
        ends.is_some_and(|ends| ends.reach_mm[0] == ends.reach_mm[1])
    }
}
