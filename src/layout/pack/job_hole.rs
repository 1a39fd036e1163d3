//! The patterns of a job's holes.

use super::Pack;
use super::placed_hole::PlacedHole;
use crate::job::{Assembly, Extent, SheetOptions};
use crate::layout::hole::{HolePattern, SetBy};
use crate::measure::Units;

/// Places told on a hole's own pattern; of more the mark-out sheet tells.
const MOST_PLACES: usize = 8;

/// A pattern for each kind of hole, with where each of them goes.
pub(super) fn hole_patterns(pack: &mut Pack, assembly: &Assembly, holes: &[PlacedHole], sheet: &SheetOptions) {
    let mut kinds: Vec<(&PlacedHole, Vec<&PlacedHole>)> = Vec::new();
    for hole in holes {
        match kinds.iter_mut().find(|(first, _)| first.is_like(hole)) {
            Some((_, all)) => all.push(hole),
            None => kinds.push((hole, vec![hole])),
        }
    }
    for (first, all) in kinds {
        let body = &assembly.bodies[first.hole.body];
        let more = match all.len() {
            1 => String::new(),
            count => format!(" and {} more", count - 1),
        };
        let pattern = HolePattern {
            name: &first.pattern(assembly),
            title: &format!(
                "HOLE in {} for {}{more}, make {}: cut inside the line",
                body.name,
                first.name(),
                all.len()
            ),
            notes: &notes(first, &all, &body.size, sheet.units),
            outline: &first.outline,
            girth_scale: first.girth_scale(sheet.paper_thickness_mm),
            units: sheet.units,
            set_by: match body.extent {
                Extent::Flat => SetBy::Plate,
                _ => SetBy::Body,
            },
        };
        pack.panels.push(pattern.panel());
    }
}

fn notes(first: &PlacedHole, all: &[&PlacedHole], size: &str, units: Units) -> Vec<String> {
    let mut notes = vec![format!("{size}; {}. Printed side out.", first.hole.join.word())];
    notes.extend(all.iter().take(MOST_PLACES).map(|hole| {
        let (along, round) = hole.place_words(units);
        format!("{}: line A {round}, line B {along}.", hole.hole.tube)
    }));
    if all.len() > MOST_PLACES {
        notes.push(format!("And {} more: see the mark-out sheet.", all.len() - MOST_PLACES));
    }
    notes
}
