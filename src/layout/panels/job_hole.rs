//! The patterns of a job's holes.

use std::collections::BTreeMap;

use super::hole::{HolePattern, SetBy};
use crate::job::{Assembly, Extent, SheetOptions};
use crate::layout::Panel;
use crate::measure::Units;
use crate::plan::{LIKE_MM, PlacedHole};

/// Places told on a hole's own pattern; of more the mark-out sheet tells.
const MOST_PLACES: usize = 8;

/// A pattern for each kind of hole, with where each of them goes.
pub(super) fn hole_panels<'a>(
    assembly: &'a Assembly,
    holes: &'a [PlacedHole],
    sheet: &'a SheetOptions,
) -> impl Iterator<Item = Panel> + 'a {
    kinds_of(holes).into_iter().map(|(first, all)| {
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
                _ => SetBy::Body {
                    far_end: body.end_names()[1],
                },
            },
            front: first.front,
        };
        pattern.panel()
    })
}

/// Holes that one pattern serves, with the first of them. Like ones reach equally far to within `LIKE_MM`, so that only
/// kinds in cells of that size next to a hole's own need be looked at.
fn kinds_of(holes: &[PlacedHole]) -> Vec<(&PlacedHole, Vec<&PlacedHole>)> {
    let mut kinds: Vec<(&PlacedHole, Vec<&PlacedHole>)> = Vec::new();
    let mut by_reach: BTreeMap<(usize, i64), Vec<usize>> = BTreeMap::new();
    for hole in holes {
        let (body, cell) = (hole.hole.body, (hole.reach / LIKE_MM).floor() as i64);
        let near = (cell - 1..=cell + 1).filter_map(|cell| by_reach.get(&(body, cell)));
        let like = near.flatten().copied().filter(|kind| kinds[*kind].0.is_like(hole));
        if let Some(kind) = like.min() {
            kinds[kind].1.push(hole);
        } else {
            by_reach.entry((body, cell)).or_default().push(kinds.len());
            kinds.push((hole, vec![hole]));
        }
    }
    kinds
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
