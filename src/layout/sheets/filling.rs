//! Sheets being filled: a few are open, those before them are full and given away.

use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;

use super::frame::{FOOT, GAP, RULER_CORNER, empty_sheet};
use super::packing::FreeSpace;
use super::stray::{Faults, PlacedEnd, faults};
use super::tile::{self, tiles};
use super::way::{Apart, Care, Order, Way};
use kurbo::Rect;

use crate::layout::drawing::Move;
use crate::layout::page::{Area, Sheet};
use crate::layout::panel::{Panel, Role, SheetNumbers};

/// How many sheets a panel may stand before those that are filled just now.
pub(super) const LOOK_BACK: usize = 8;

/// A sheet that may still have room.
#[derive(Clone)]
struct OpenSheet {
    space: FreeSpace,
    /// What its panels take of it, in square millimetres.
    taken: f64,
    sheet: Sheet,
    sheet_numbers: Vec<SheetNumbers>,
}

/// The sheets so far. What is given away is in order, and without its frame and rulers.
#[derive(Clone)]
pub(super) struct Filling {
    area: Area,
    way: Way,
    /// The group that is placed just now.
    group: usize,
    /// The first sheet that its panels may go on.
    from: usize,
    /// The sheets that they are on so far.
    on: BTreeSet<usize>,
    /// Whether the sheets of a group don't follow each other.
    is_torn: bool,
    /// Its panels that are of ends, and earlier wraps on open sheets.
    of_ends: Vec<PlacedEnd>,
    /// What is out of place in earlier groups.
    faults: Faults,
    /// How many were given away.
    given: usize,
    /// Copied when something is put on them: many orders go on from the same sheets.
    open: VecDeque<Arc<OpenSheet>>,
    record: Record,
}

/// What stands where.
#[derive(Clone, Default)]
pub(super) struct Record {
    /// Names of the patterns that were turned.
    pub(super) turned: BTreeSet<Arc<str>>,
    /// Names of the patterns, each with the index of every sheet that it, or a tile of it, is on.
    pub(super) contents: Vec<(Arc<str>, usize)>,
    /// The same of tables.
    pub(super) tables: Vec<(Arc<str>, usize)>,
    /// What tables tell of other sheets, each with the index of its own.
    pub(super) told: Vec<(usize, SheetNumbers)>,
}

impl Record {
    /// What was known before, and this.
    fn behind(mut self, earlier: Self) -> Self {
        let Self {
            turned,
            contents,
            tables,
            told,
        } = earlier;
        self.turned.extend(turned);
        Self {
            turned: self.turned,
            contents: contents.into_iter().chain(self.contents).collect(),
            tables: tables.into_iter().chain(self.tables).collect(),
            told: told.into_iter().chain(self.told).collect(),
        }
    }
}

/// Less is better: sheets of a group that follow each other, then few sheets, then little of a piece's end before its start, then
/// little else that is out of its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Worth {
    is_torn: bool,
    count: usize,
    ends_first: usize,
    others: usize,
}

impl Worth {
    fn new(is_torn: bool, count: usize, faults: Faults) -> Self {
        Self {
            is_torn,
            count,
            ends_first: faults.ends_first,
            others: faults.strays + faults.out_of_order,
        }
    }

    /// Of so many sheets with all in its place.
    pub(super) fn of_sheets(count: usize) -> Self {
        Self::new(false, count, Faults::default())
    }
}

impl Filling {
    pub(super) fn new(area: Area) -> Self {
        Self {
            area,
            way: Way::PLAIN,
            group: 0,
            from: 0,
            on: BTreeSet::new(),
            is_torn: false,
            of_ends: Vec::new(),
            faults: Faults::default(),
            given: 0,
            open: VecDeque::new(),
            record: Record::default(),
        }
    }

    /// The same, going on in another way; what stands where is recorded from here on.
    pub(super) fn going_on(&self, way: Way) -> Self {
        Self {
            way,
            on: self.on.clone(),
            of_ends: self.of_ends.clone(),
            open: self.open.clone(),
            record: Record::default(),
            ..*self
        }
    }

    /// The same, with what was recorded before it went on.
    pub(super) fn recorded_behind(mut self, earlier: &Self) -> Self {
        self.record = self.record.behind(earlier.record.clone());
        self
    }

    /// The group that is placed just now.
    pub(super) fn group(&self) -> usize {
        self.group
    }

    /// Whether the sheets of some group don't follow each other.
    pub(super) fn is_torn(&self) -> bool {
        let span = self.on.first().zip(self.on.last());
        self.is_torn || span.is_some_and(|(first, last)| last - first + 1 > self.on.len())
    }

    /// How much is out of its place.
    fn faults(&self) -> Faults {
        self.faults.and(faults(&self.of_ends, self.group))
    }

    /// How many sheets there are, given away or open.
    pub(super) fn count(&self) -> usize {
        self.given + self.open.len()
    }

    /// What it is worth.
    pub(super) fn worth(&self) -> Worth {
        Worth::new(self.is_torn(), self.count(), self.faults())
    }

    /// What it can be worth at best with panels to come that are so large together, in square millimetres.
    pub(super) fn best_with(&self, to_come: f64) -> Worth {
        let open = self.open.iter().skip(self.from.saturating_sub(self.given));
        let free = open.map(|sheet| self.area.width * self.area.height - sheet.taken);
        let more = sheets_for(to_come - free.sum::<f64>(), self.area);
        // What is torn or out of place in the group that is placed just now may yet be mended.
        Worth::new(self.is_torn, self.count() + more, self.faults)
    }

    /// Places a panel, in tiles where it is larger than a sheet; sheets that nothing can be put on any more go to `give`.
    pub(super) fn add(&mut self, panel: &Panel, give: &mut impl FnMut(Sheet)) {
        match tiles_of(panel, self.area) {
            Some(tiles) => self.add_all(&tiles, give),
            None => self.add_all(std::slice::from_ref(panel), give),
        }
    }

    /// Places panels, none of them larger than a sheet.
    pub(super) fn add_all(&mut self, panels: &[Panel], give: &mut impl FnMut(Sheet)) {
        for panel in panels {
            self.turn_to(panel.group);
            self.place(panel, give);
        }
    }

    fn turn_to(&mut self, group: usize) {
        if group == self.group {
            return;
        }
        self.is_torn = self.is_torn();
        self.faults = self.faults();
        let given = self.given;
        self.of_ends.retain(|of| !of.is_table && of.sheet >= given);
        self.group = group;
        if let (Some(first), Some(last)) = (self.on.first(), self.on.last()) {
            self.from = match self.way.order {
                Order::Strict => *last,
                Order::Loose => *first,
            };
        }
        self.on.clear();
    }

    /// Gives away what is still open; how many sheets there are, and what stands where.
    pub(super) fn finish(mut self, give: &mut impl FnMut(Sheet)) -> (usize, Record) {
        self.give_all_but(0, give);
        (self.given, self.record)
    }

    fn give_all_but(&mut self, open: usize, give: &mut impl FnMut(Sheet)) {
        while self.open.len() > open {
            let Some(full) = self.open.pop_front() else { return };
            let full = Arc::unwrap_or_clone(full);
            let told = full.sheet_numbers.into_iter().map(|numbers| (self.given, numbers));
            self.record.told.extend(told);
            give(full.sheet);
            self.given += 1;
        }
    }

    /// On the first sheet with room, upright if it can be, unless turned ways come first; only patterns may be turned. Where none has
    /// room, in another shape before on a new sheet.
    fn place(&mut self, panel: &Panel, give: &mut impl FnMut(Sheet)) {
        let ways: &[u8] = match (panel.role, self.way.turns_first) {
            (Role::Table, _) => &[0],
            (Role::Pattern, false) => &[0, 1],
            (Role::Pattern, true) => &[1, 0],
        };
        let shapes = self.way.shaping.shapes_of(panel);
        let cares = match panel.of_end {
            Some(_) => self.way.apart.cares(),
            None => Apart::Never.cares(),
        };
        // In another shape rather than with less care, or the other way round.
        let is_care_first = self.way.apart == Apart::Always;
        let is_placed = |filling: &mut Self, cares: &[Care]| {
            let mut place = |shape: &Panel, care: Care| filling.place_on_open(shape, ways, care);
            if is_care_first {
                cares.iter().any(|care| shapes.iter().any(|shape| place(shape, *care)))
            } else {
                shapes.iter().any(|shape| cares.iter().any(|care| place(shape, *care)))
            }
        };
        if !is_placed(self, cares) {
            self.open.push_back(Arc::new(OpenSheet {
                space: empty_sheet(self.area),
                taken: 0.0,
                sheet: Sheet::default(),
                sheet_numbers: Vec::new(),
            }));
            // What is given the wrong way round stays so.
            is_placed(self, Apart::WhereRoom.cares());
        }
        self.give_all_but(LOOK_BACK, give);
    }

    /// Whether it found room on an open sheet.
    fn place_on_open(&mut self, panel: &Panel, ways: &[u8], care: Care) -> bool {
        let sheets = self.from.saturating_sub(self.given)..self.open.len();
        let mut places = sheets.flat_map(|index| ways.iter().map(move |turns| (index, *turns)));
        places.any(|(index, turns)| self.place_on(index, panel, turns, care))
    }

    /// `index` counts the open sheets.
    fn place_on(&mut self, index: usize, panel: &Panel, quarter_turns: u8, care: Care) -> bool {
        let (width, height) = if quarter_turns == 1 {
            (panel.height, panel.width)
        } else {
            (panel.width, panel.height)
        };
        let number = self.given + index;
        let space = &self.open[index].space;
        if !space.holds(width, height) {
            return false;
        }
        let place = match panel.of_end.as_ref().filter(|_| care != Care::Nothing) {
            None => space.place_for(width, height, (&[], |_| true)),
            Some(of_end) => {
                let of_ends = &self.of_ends;
                let own = of_ends
                    .iter()
                    .filter(|of| of.sheet == number && of.of.pattern == of_end.pattern);
                // Under its own wrap.
                let lefts: Vec<f64> = own.map(|of| of.place.x0).collect();
                let suits = |place: Rect| care.suits(of_ends, &PlacedEnd::new(panel, of_end, number, place));
                space.place_for(width, height, (&lefts, suits))
            }
        };
        let Some(place) = place else {
            return false;
        };
        let sheet = Arc::make_mut(&mut self.open[index]);
        sheet.space.take(place.inflate(GAP, GAP));
        let by = if quarter_turns == 1 {
            (place.x0 + panel.height, place.y0)
        } else {
            (place.x0, place.y0)
        };
        let how = Move {
            quarter_turns,
            by: by.into(),
        };
        sheet.sheet.add(Arc::clone(&panel.drawing), how);
        sheet.taken += width * height;
        let of_end = panel.of_end.as_ref();
        self.of_ends
            .extend(of_end.map(|of_end| PlacedEnd::new(panel, of_end, number, place)));
        let numbers = panel.sheet_numbers.iter().cloned();
        sheet.sheet_numbers.extend(numbers.map(|numbers| numbers.moved(how)));
        let contents = match panel.role {
            Role::Pattern => &mut self.record.contents,
            Role::Table => &mut self.record.tables,
        };
        contents.push((Arc::clone(&panel.name), number));
        self.on.insert(number);
        if quarter_turns == 1 {
            self.record.turned.insert(Arc::clone(&panel.name));
        }
        true
    }
}

/// How many sheets panels fill at least that are so large together, in square millimetres.
pub(super) fn sheets_for(panels: f64, area: Area) -> usize {
    /// A part of a sheet.
    const ROUNDING: f64 = 1e-9;
    (panels / (area.width * area.height) - ROUNDING).max(0.0).ceil() as usize
}

/// The tiles of a panel that is larger than a sheet, in the fewer of the two ways round; none of one that fits on a sheet.
pub(super) fn tiles_of(panel: &Panel, area: Area) -> Option<Vec<Panel>> {
    let sheet = empty_sheet(area);
    let fits_turned = panel.role == Role::Pattern && sheet.holds(panel.height, panel.width);
    if fits_turned || sheet.holds(panel.width, panel.height) {
        return None;
    }
    let room = (
        area.width - RULER_CORNER - 2.0 * tile::EDGE,
        area.height - FOOT - 2.0 * tile::EDGE,
    );
    // A tile's strip stands under it, turned or not.
    let upright = (room.0, room.1 - tile::STRIP);
    let turned = (room.1, room.0 - tile::STRIP);
    let count = |largest: (f64, f64)| tile::cover(panel.width, largest.0).0 * tile::cover(panel.height, largest.1).0;
    let largest = if count(turned) < count(upright) {
        turned
    } else {
        upright
    };
    Some(tiles(panel, largest).collect())
}

#[cfg(test)]
mod tests {
    use kurbo::Rect;

    use super::*;
    use crate::layout::drawing::{Drawing, Layer, Pen};

    fn of_end(pattern: &str, role: Role, (width, height): (f64, f64)) -> Panel {
        let (mut drawing, frame) = (Drawing::default(), Rect::new(0.0, 0.0, width, height));
        drawing.stroke(Layer::Notes, Pen::FINE, frame);
        Panel::framed(pattern, role, drawing, frame).of_end(pattern, usize::from(pattern == "end"))
    }

    /// The place under the START's wrap is the first that is free.
    #[test]
    fn the_table_of_an_end_does_not_stand_under_the_wrap_of_the_other() {
        let area = Area {
            width: 200.0,
            height: 280.0,
        };
        let panels = [
            of_end("start", Role::Pattern, (95.0, 80.0)),
            of_end("end", Role::Pattern, (95.0, 90.0)),
            of_end("end", Role::Table, (60.0, 70.0)),
            of_end("start", Role::Table, (60.0, 70.0)),
        ];
        let strays = |apart: Apart| {
            let mut filling = Filling::new(area).going_on(Way { apart, ..Way::PLAIN });
            panels.iter().for_each(|panel| filling.add(panel, &mut |_| {}));
            assert_eq!(filling.count(), 1);
            filling.faults().strays
        };
        assert_eq!([strays(Apart::WhereRoom), strays(Apart::Never)], [0, 2]);
    }
}
