//! What is said of welds: how long, what metal and wire, where the skins are too close.

use crate::job::{SheetOptions, WeldSize};
use crate::measure::{Units, decimals, show_angle};
use crate::plan::{AllWelds, CROWN_LINES, EndWeld, Kind, SIDES, STEEL_KG_M3, TightPlace, WIRE_LOST, WeldMass};

/// `158.30 mm along the outer skin; a fillet with legs of 5.00 mm takes ..`, of one end.
pub(super) fn weld_words(weld: &EndWeld, sheet: &SheetOptions) -> String {
    let length = sheet.units.show(weld.length_mm);
    let fillet = weld.mass.zip(sheet.weld).map_or_else(String::new, |(mass, size)| {
        format!("; a fillet {}", fillet_words(mass, size, weld.fills_gap, sheet.units))
    });
    format!("{length} along the outer skin{fillet}")
}

/// Of a whole job; none where nothing is welded.
pub(crate) fn all_welds(welds: &AllWelds, sheet: &SheetOptions) -> Option<String> {
    let units = sheet.units;
    if welds.length_mm == 0.0 {
        return None;
    }
    let mitered = if welds.mitered_mm > 0.0 {
        format!(", {} of it mitered seams", units.show_stock(welds.mitered_mm))
    } else {
        String::new()
    };
    let fillets = welds.mass.zip(sheet.weld).map_or_else(String::new, |(mass, size)| {
        let butt = if welds.mitered_mm > 0.0 {
            "; mitered seams are butt welds, whose metal is not counted"
        } else {
            ""
        };
        format!("; fillets {}{butt}", fillet_words(mass, size, welds.fills_gaps, units))
    });
    let length = units.show_stock(welds.length_mm);
    Some(format!("{length} of weld along the outer skins{mitered}{fillets}"))
}

/// `with legs of 5.00 mm take 85.3 g of weld metal, ..`.
fn fillet_words(mass: WeldMass, size: WeldSize, fills_gap: bool, units: Units) -> String {
    let size = match size {
        WeldSize::Leg(leg) => format!("legs of {}", units.show(leg)),
        WeldSize::Throat(throat) => format!("a throat of {}", units.show(throat)),
    };
    let gap = if fills_gap {
        " besides what fills the root gap"
    } else {
        ""
    };
    format!(
        "with {size}: {} of weld metal{gap}, {} of wire (steel of {}; {} % of the wire lost, common practice)",
        units.show_small_mass(mass.metal_kg),
        units.show_small_mass(mass.wire_kg),
        units.show_density(STEEL_KG_M3),
        decimals(100.0 * WIRE_LOST, 0)
    )
}

/// What the wrap of a single joint says of its weld.
pub(crate) fn weld_sentence(weld: &EndWeld, sheet: &SheetOptions) -> String {
    format!("Weld: {}.", weld_words(weld, sheet))
}

/// What a wrap of a job says of a weld, `side` being said where the wrap has two ends: its metal is in the cut list.
pub(crate) fn short_weld(side: Option<&str>, weld: &EndWeld, sheet: &SheetOptions) -> String {
    let length = sheet.units.show(weld.length_mm);
    match side {
        Some(side) => format!("The {side}: weld {length}."),
        None => format!("Weld {length}."),
    }
}

/// What a wrap says where the skins at its end are too close.
pub(crate) fn tight_sentence(weld: &EndWeld, sheet: &SheetOptions) -> Option<String> {
    let places = tight_places(weld, sheet)?;
    Some(format!("SKINS MEET at only {places}: hard to weld."))
}

/// Where the skins of a single joint are too close.
pub(super) fn tight_weld(weld: &EndWeld, sheet: &SheetOptions) -> Option<String> {
    tight(weld, sheet).map(|words| format!("the skins {words}"))
}

/// The same of a job's pieces.
pub(super) fn tight_welds(kinds: &[Kind], sheet: &SheetOptions) -> Vec<String> {
    let of_kind = |kind: &Kind| -> Vec<String> {
        let ends = kind.welds.iter().zip(SIDES);
        let words = ends.filter_map(|(weld, side)| Some((side, tight(weld.as_ref()?, sheet)?)));
        words
            .map(|(side, words)| format!("piece {}, its {side}: the skins {words}", kind.label()))
            .collect()
    };
    kinds.iter().flat_map(of_kind).collect()
}

/// `meet at only 22.5° at the front (station 0): that is hard to weld; try it on scrap first`.
fn tight(weld: &EndWeld, sheet: &SheetOptions) -> Option<String> {
    let places = tight_places(weld, sheet)?;
    Some(format!(
        "meet at only {places}: that is hard to weld; try it on scrap first"
    ))
}

fn tight_places(weld: &EndWeld, sheet: &SheetOptions) -> Option<String> {
    let one = |place: &TightPlace| format!("{} {}", show_angle(place.angle_deg), tight_place(place, sheet));
    let places: Vec<String> = weld.tight.iter().map(one).collect();
    (!places.is_empty()).then(|| super::node::listed(&places))
}

/// Off a crown line or a station by less than this, in degrees or stations, is on it.
const ON_IT: f64 = 1e-6;

/// `at the front (station 0)`, `at 12.30 mm round from FRONT to the right (between stations 3 and 4)`.
fn tight_place(place: &TightPlace, sheet: &SheetOptions) -> String {
    let off = |azimuth: f64| (place.azimuth_deg - azimuth + 180.0).rem_euclid(360.0) - 180.0;
    let crown = CROWN_LINES.iter().find(|(_, azimuth)| off(*azimuth).abs() < ON_IT);
    let at = match crown {
        Some((crown, _)) => format!("at the {crown}"),
        None => format!("at {} round from FRONT to the right", sheet.units.show(place.right_mm)),
    };
    let station = place.turn * sheet.stations as f64;
    let nearest = station.round();
    let number = |station: f64| station as usize % sheet.stations;
    if (station - nearest).abs() < ON_IT {
        format!("{at} (station {})", number(nearest))
    } else {
        let (before, after) = (number(station.floor()), number(station.ceil()));
        format!("{at} (between stations {before} and {after})")
    }
}
