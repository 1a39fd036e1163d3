//! The part of the report that speaks of welds.

use serde::Serialize;

use crate::job::{SheetOptions, WeldSize};
use crate::plan::{AllWelds, EndWeld, STEEL_KG_M3, TightPlace, WIRE_LOST};

/// The weld at an end.
#[derive(Serialize)]
pub(super) struct WeldReport {
    length_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    metal_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wire_kg: Option<f64>,
    shared: bool,
    tight: Vec<TightReport>,
}

#[derive(Serialize)]
struct TightReport {
    azimuth_deg: f64,
    right_mm: f64,
    dihedral_deg: f64,
}

/// All welds of a job.
#[derive(Serialize)]
pub(super) struct AllWeldsReport {
    length_mm: f64,
    mitered_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    leg_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    throat_mm: Option<f64>,
    #[serde(flatten)]
    mass: Option<MassReport>,
}

#[derive(Serialize)]
struct MassReport {
    metal_kg: f64,
    wire_kg: f64,
    density_kg_m3: f64,
    wire_lost: f64,
}

impl WeldReport {
    pub(super) fn new(weld: &EndWeld) -> Self {
        let tight = |place: &TightPlace| TightReport {
            azimuth_deg: place.azimuth_deg,
            right_mm: place.right_mm,
            dihedral_deg: place.angle_deg,
        };
        Self {
            length_mm: weld.length_mm,
            metal_kg: weld.mass.map(|mass| mass.metal_kg),
            wire_kg: weld.mass.map(|mass| mass.wire_kg),
            shared: weld.is_shared,
            tight: weld.tight.iter().map(tight).collect(),
        }
    }
}

impl AllWeldsReport {
    pub(super) fn new(welds: &AllWelds, sheet: &SheetOptions) -> Self {
        let (leg_mm, throat_mm) = match sheet.weld {
            None => (None, None),
            Some(WeldSize::Leg(leg)) => (Some(leg), None),
            Some(WeldSize::Throat(throat)) => (None, Some(throat)),
        };
        Self {
            length_mm: welds.length_mm,
            mitered_mm: welds.mitered_mm,
            leg_mm,
            throat_mm,
            mass: welds.mass.map(|mass| MassReport {
                metal_kg: mass.metal_kg,
                wire_kg: mass.wire_kg,
                density_kg_m3: STEEL_KG_M3,
                wire_lost: WIRE_LOST,
            }),
        }
    }
}
