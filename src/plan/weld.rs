//! Welds: how long they are, what metal and wire they take, where the skins are too close for one.

use std::f64::consts::TAU;

use crate::job::{End, WeldSize, WhichEnd};
use crate::section::Profile;
use crate::solver::weld;

/// Steel, in kilograms per cubic metre (common practice).
pub(crate) const STEEL_KG_M3: f64 = 7850.0;
/// The same per cubic millimetre.
pub(crate) const STEEL: f64 = STEEL_KG_M3 / 1e9;

/// What of the wire doesn't become weld metal: spatter, and what is cut off (common practice).
pub(crate) const WIRE_LOST: f64 = 0.1;

/// What a weld of steel takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeldMass {
    /// What is laid, in kilograms.
    pub metal_kg: f64,
    /// What is bought for it, in kilograms: a tenth of it is lost.
    pub wire_kg: f64,
}

impl WeldMass {
    fn of_kg(metal_kg: f64) -> Self {
        Self {
            metal_kg,
            wire_kg: metal_kg / (1.0 - WIRE_LOST),
        }
    }
}

/// Where the skins are too close to get a weld in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TightPlace {
    /// The tube's azimuth, in degrees of which 360 are the whole girth.
    pub azimuth_deg: f64,
    /// From the front to the right with the cut end up, as a share of the girth.
    pub turn: f64,
    /// The same round the tube's own skin, in millimetres.
    pub right_mm: f64,
    /// Between the skins, in degrees.
    pub angle_deg: f64,
}

/// The weld at an end.
#[derive(Debug, Clone, PartialEq)]
pub struct EndWeld {
    /// Where the outer skins meet, in millimetres.
    pub length_mm: f64,
    /// Of its fillet, where its size is known; none of a mitered seam, which is a butt weld.
    pub mass: Option<WeldMass>,
    /// Whether it is one seam with the end of another piece.
    pub is_shared: bool,
    /// Whether it fills a root gap, whose metal is not in the fillet.
    pub fills_gap: bool,
    /// The tightest places.
    pub tight: Vec<TightPlace>,
}

impl EndWeld {
    /// Of a solved end, `which` of its piece it is.
    pub(crate) fn new(end: &End, size: Option<WeldSize>, which: WhichEnd) -> Option<Self> {
        let found = weld(end, size)?;
        let tight = found.tight.iter().map(|tight| TightPlace {
            azimuth_deg: which.turned(tight.azimuth.to_degrees()).rem_euclid(360.0),
            turn: tight.azimuth / TAU,
            right_mm: end.tube.section.girth() * tight.azimuth / TAU,
            angle_deg: tight.angle_deg,
        });
        Some(Self {
            length_mm: found.length_mm,
            mass: found.metal_mm3.map(|metal| WeldMass::of_kg(metal * STEEL)),
            is_shared: end.is_mirrored,
            fills_gap: end.root_gap_mm > 0.0,
            tight: tight.collect(),
        })
    }

    /// Its share of the seam in the cut list, in millimetres: a seam between two pieces counts half at each.
    pub(crate) fn counted_mm(&self) -> f64 {
        if self.is_shared {
            self.length_mm / 2.0
        } else {
            self.length_mm
        }
    }
}

/// All welds of a job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AllWelds {
    /// Every seam once, in millimetres.
    pub length_mm: f64,
    /// Of the mitered seams among them, in millimetres.
    pub mitered_mm: f64,
    /// Whether any fills a root gap.
    pub fills_gaps: bool,
    /// What the fillets take, where their size is known.
    pub mass: Option<WeldMass>,
}

impl AllWelds {
    /// Of the welds of all pieces, each with how many of it there are.
    pub(crate) fn new<'a>(welds: impl Iterator<Item = (&'a EndWeld, usize)>, size: Option<WeldSize>) -> Self {
        let (mut length_mm, mut mitered_mm, mut metal_kg, mut fills_gaps) = (0.0, 0.0, 0.0, false);
        for (weld, quantity) in welds {
            let quantity = quantity as f64;
            length_mm += quantity * weld.counted_mm();
            mitered_mm += if weld.is_shared {
                quantity * weld.counted_mm()
            } else {
                0.0
            };
            metal_kg += quantity * weld.mass.map_or(0.0, |mass| mass.metal_kg);
            fills_gaps |= weld.fills_gap;
        }
        Self {
            length_mm,
            mitered_mm,
            fills_gaps,
            mass: size.map(|_| WeldMass::of_kg(metal_kg)),
        }
    }
}
