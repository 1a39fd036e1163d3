//! The part of the report that speaks of welds.

use serde_json::{Value, json};

use super::json::{joined, without_empty};
use crate::job::{SheetOptions, WeldSize};
use crate::plan::{AllWelds, EndWeld, STEEL_KG_M3, TightPlace, WIRE_LOST};

/// The weld at an end.
pub(super) fn weld_report(weld: &EndWeld) -> Value {
    let tight = |place: &TightPlace| json!({ "azimuth_deg": place.azimuth_deg, "right_mm": place.right_mm, "dihedral_deg": place.angle_deg });
    let report = json!({
        "length_mm": weld.length_mm,
        "metal_kg": weld.mass.map(|mass| mass.metal_kg),
        "wire_kg": weld.mass.map(|mass| mass.wire_kg),
        "shared": weld.is_shared,
        "tight": weld.tight.iter().map(tight).collect::<Value>(),
    });
    without_empty(["metal_kg", "wire_kg"], report)
}

/// All welds of a job.
pub(super) fn all_welds_report(welds: &AllWelds, sheet: &SheetOptions) -> Value {
    let size = sheet.weld.map(|size| match size {
        WeldSize::Leg(leg) => json!({ "leg_mm": leg }),
        WeldSize::Throat(throat) => json!({ "throat_mm": throat }),
    });
    let mass = welds.mass.map(|mass| {
        json!({
            "metal_kg": mass.metal_kg,
            "wire_kg": mass.wire_kg,
            "density_kg_m3": STEEL_KG_M3,
            "wire_lost": WIRE_LOST,
        })
    });
    let length = json!({ "length_mm": welds.length_mm, "mitered_mm": welds.mitered_mm });
    joined([length, size.into(), mass.into()])
}
