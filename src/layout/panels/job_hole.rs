//! The patterns of a job's holes.

use super::hole::HolePattern;
use super::table::hole_ordinates_panel;
use crate::job::{Assembly, BodyInSpace, Join, LeftOut, SheetOptions};
use crate::layout::Panel;
use crate::measure::Units;
use crate::plan::{HoleKind, PlacedHole};
use crate::wording::{ClashesOfTubes, by_hand, hole_ordinates_of_kind};

/// Places told on a hole's own pattern; of more the mark-out sheet tells.
const MOST_PLACES: usize = 3;

impl HoleKind<'_> {
    /// Whether there is a panel of it.
    pub(super) fn has_panel(sheet: &SheetOptions) -> bool {
        sheet.has(LeftOut::Holes) || sheet.has(LeftOut::Tables)
    }

    /// What that is called.
    pub(super) fn panel_name(&self, assembly: &Assembly, sheet: &SheetOptions) -> String {
        let name = self.first.pattern(assembly);
        match sheet.has(LeftOut::Holes) {
            true => name,
            false => by_hand(&name),
        }
    }

    /// Their pattern, with where each of them goes; its ordinates where no patterns of holes are wanted.
    pub(super) fn panel(&self, assembly: &Assembly, clashes: &ClashesOfTubes<'_>, sheet: &SheetOptions) -> Panel {
        if !sheet.has(LeftOut::Holes) {
            return hole_ordinates_panel(&hole_ordinates_of_kind(self, assembly, sheet.units));
        }
        let Self { first, all } = self;
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
            clash: clashes.worst(all.iter().map(|hole| hole.of_tube), |body| body == first.hole.body),
            notes: &notes(first, all, body, sheet.units),
            outline: &first.path,
            girth_scale: first.girth_scale(sheet.paper_thickness_mm),
            top: Some(if body.outside.is_flat() {
                "TOWARDS ZERO"
            } else {
                body.end_names()[1]
            }),
            front: first.front,
        };
        pattern.panel()
    }
}

fn notes(first: &PlacedHole, all: &[&PlacedHole], body: &BodyInSpace, units: Units) -> Vec<String> {
    let how = match first.hole.join {
        Join::SetOn => "set-on.".to_owned(),
        Join::SetIn => format!(
            "set-in, with {} of clearance all round. Cut square to the wall.",
            units.show_given(first.hole.clearance_mm)
        ),
    };
    let mut notes = vec![format!("{}; {how}", body.size)];
    if all.len() > MOST_PLACES {
        notes.push(format!("Lines A and B of all {}: see the mark-out sheet.", all.len()));
        return notes;
    }
    // Right and left change places with what is up.
    let up = body.end_names()[1];
    if body.end_names()[0] == "TOP END" {
        notes.push(format!("With {} turned over, its {} up:", body.name, up.to_lowercase()));
    }
    notes.extend(all.iter().map(|hole| {
        let (along, round) = hole.place_words(units);
        format!("{}: line A {round}, line B {along}.", hole.hole.tube)
    }));
    notes
}
