//! Panels on sheets: margins, rulers on every sheet, and as few sheets as fit.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use kurbo::{Point, Rect};

use super::drawing::{Align, Drawing, Layer, Move, Text};
use super::label::SMALL_PT;
use super::packing::FreeSpace;
use super::page::{Area, Sheet, drawable};
use super::panel::{Panel, Role, SheetNumbers};
use super::ruler::{self, Way};
use super::text;
use super::tile::{self, tiles};
use crate::job::{Paper, SheetOptions};

/// Of more panels only the order in which they are given is tried.
const MOST_TRIED: usize = 400;

/// How many sheets a panel may stand before those that are filled just now.
const LOOK_BACK: usize = 8;

/// Between panels, in millimetres.
const GAP: f64 = 4.0;

/// Where the rulers start, from the lower left of what can be drawn on, in millimetres.
const RULER_CORNER: f64 = ruler::BREADTH + 1.0;
/// Height of the bottom ruler with the words over it, in millimetres.
const FOOT: f64 = ruler::BREADTH + 4.0;

/// Lines of a sheet's name beside its ruler.
const NAME_LINES: usize = 3;

/// All the pages of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheets {
    /// In order.
    pub sheets: Vec<Sheet>,
    /// Names of the patterns that were turned to save paper.
    pub turned: BTreeSet<String>,
    /// Names of the patterns, each with the index of the sheet that it is on, or begins on.
    pub contents: Vec<(String, usize)>,
}

/// A lower bound of the sheets that the panels take, for a quick look before they are placed.
pub fn sheets_at_least(panels: &[Panel], options: &SheetOptions) -> usize {
    let area = drawable(&options.paper);
    let panels: f64 = panels.iter().map(|panel| panel.width * panel.height).sum();
    (panels / (area.width * area.height)).ceil() as usize
}

/// Places the panels on as few sheets as a few orders find; what comes before the first pattern stays in front. `name` is
/// what every sheet bears. What fits on one sheet is not split; what doesn't is tiled.
pub fn lay_out(name: &str, panels: &[Panel], options: &SheetOptions) -> Sheets {
    let first_pattern = panels.iter().position(|panel| panel.role == Role::Pattern);
    let (front, rest) = panels.split_at(first_pattern.unwrap_or(panels.len()));
    let mut best = Stack::filled(front, &as_given(rest), options);
    if rest.len() <= MOST_TRIED {
        for order in [tables_last(rest), largest_first(rest)] {
            let other = Stack::filled(front, &order, options);
            if other.open.len() < best.open.len() {
                best = other;
            }
        }
    }
    best.finish(name, &options.paper)
}

/// Every table beside its pattern, if there is room: what is looked for together is together.
fn as_given(panels: &[Panel]) -> Vec<&Panel> {
    panels.iter().collect()
}

/// Patterns, then tables.
fn tables_last(panels: &[Panel]) -> Vec<&Panel> {
    let mut order = as_given(panels);
    order.sort_by_key(|panel| panel.role != Role::Pattern);
    order
}

/// The same from the largest to the smallest, which leaves the smaller gaps.
fn largest_first(panels: &[Panel]) -> Vec<&Panel> {
    let mut order = as_given(panels);
    order.sort_by(|a, b| (b.width * b.height).total_cmp(&(a.width * a.height)));
    order.sort_by_key(|panel| panel.role != Role::Pattern);
    order
}

/// A sheet that may still have room.
struct OpenSheet {
    space: FreeSpace,
    sheet: Sheet,
    sheet_numbers: Vec<SheetNumbers>,
}

struct Stack {
    area: Area,
    open: Vec<OpenSheet>,
    turned: BTreeSet<String>,
    contents: Vec<(String, usize)>,
}

impl Stack {
    fn filled(front: &[Panel], rest: &[&Panel], options: &SheetOptions) -> Self {
        let mut stack = Self::new(drawable(&options.paper));
        for panel in front.iter().chain(rest.iter().copied()) {
            if stack.fits_on_a_sheet(panel) {
                stack.place(panel);
            } else {
                stack.place_tiled(panel);
            }
        }
        stack
    }

    fn new(area: Area) -> Self {
        Self {
            area,
            open: Vec::new(),
            turned: BTreeSet::new(),
            contents: Vec::new(),
        }
    }

    /// What the rulers leave free.
    fn empty_sheet(&self) -> FreeSpace {
        let Area { width, height } = self.area;
        let ruler_top = RULER_CORNER + ruler::INCH + ruler::OVERHANG + GAP;
        FreeSpace::new(vec![
            Rect::new(0.0, ruler_top, width, height),
            Rect::new(RULER_CORNER, FOOT, width, height),
        ])
    }

    fn fits_on_a_sheet(&self, panel: &Panel) -> bool {
        let sheet = self.empty_sheet();
        sheet.holds(panel.width, panel.height)
            || (panel.role == Role::Pattern && sheet.holds(panel.height, panel.width))
    }

    /// On the first sheet with room, upright if it can be; patterns may be turned.
    fn place(&mut self, panel: &Panel) {
        let ways: &[u8] = if panel.role == Role::Pattern { &[0, 1] } else { &[0] };
        for index in self.open.len().saturating_sub(LOOK_BACK)..=self.open.len() {
            if index == self.open.len() {
                self.open.push(OpenSheet {
                    space: self.empty_sheet(),
                    sheet: Sheet::default(),
                    sheet_numbers: Vec::new(),
                });
            }
            for &turns in ways {
                if self.place_on(index, panel, turns) {
                    return;
                }
            }
        }
    }

    fn place_on(&mut self, index: usize, panel: &Panel, quarter_turns: u8) -> bool {
        let (width, height) = if quarter_turns == 1 {
            (panel.height, panel.width)
        } else {
            (panel.width, panel.height)
        };
        let sheet = &mut self.open[index];
        let Some(place) = sheet.space.place(width, height, GAP) else {
            return false;
        };
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
        let numbers = panel.sheet_numbers.iter().cloned();
        sheet.sheet_numbers.extend(numbers.map(|numbers| numbers.moved(how)));
        if panel.role == Role::Pattern {
            self.contents.push((panel.name.clone(), index));
        }
        if quarter_turns == 1 {
            self.turned.insert(panel.name.clone());
        }
        true
    }

    /// In the fewer tiles of the two ways round.
    fn place_tiled(&mut self, panel: &Panel) {
        let room = (
            self.area.width - RULER_CORNER - 2.0 * tile::EDGE,
            self.area.height - FOOT - 2.0 * tile::EDGE,
        );
        // A tile's strip stands under it, turned or not.
        let upright = (room.0, room.1 - tile::STRIP);
        let turned = (room.1, room.0 - tile::STRIP);
        let count =
            |largest: (f64, f64)| tile::cover(panel.width, largest.0).0 * tile::cover(panel.height, largest.1).0;
        let largest = if count(turned) < count(upright) {
            turned
        } else {
            upright
        };
        for tile in tiles(panel, largest) {
            self.place(&tile);
        }
    }

    fn finish(self, name: &str, paper: &Paper) -> Sheets {
        let count = self.open.len();
        let (contents, rulers) = (self.contents, Arc::new(rulers(paper)));
        let mut sheets_of: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (name, index) in &contents {
            sheets_of.entry(name).or_default().push(index + 1);
        }
        let sheets = self
            .open
            .into_iter()
            .enumerate()
            .map(|(index, open)| {
                let (mut sheet, mut drawing) = (open.sheet, Drawing::default());
                for SheetNumbers { of, text } in open.sheet_numbers {
                    let numbers = of.iter().filter_map(|name| sheets_of.get(name.as_str())).flatten();
                    let words = sheet_words(numbers.copied().collect());
                    drawing.note(Text { words, ..text });
                }
                name_sheet(&mut drawing, paper, name, (index + 1, count));
                sheet.add(Arc::new(drawing), Move::by((0.0, 0.0)));
                sheet.add(Arc::clone(&rulers), Move::by((0.0, 0.0)));
                sheet
            })
            .collect();
        drop(sheets_of);
        // Of a tiled pattern its first sheet.
        let mut begins: Vec<(String, usize)> = Vec::with_capacity(contents.len());
        for (name, index) in contents {
            if begins.last().is_none_or(|(last, _)| *last != name) {
                begins.push((name, index));
            }
        }
        Sheets {
            sheets,
            turned: self.turned,
            contents: begins,
        }
    }
}

/// `2, 4-6`; `-` for none.
fn sheet_words(mut numbers: Vec<usize>) -> String {
    numbers.sort_unstable();
    numbers.dedup();
    let runs = numbers.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
        [only] => only.to_string(),
        [first, .., last] => format!("{first}-{last}"),
        [] => String::new(),
    });
    let words = runs.collect::<Vec<_>>().join(", ");
    if words.is_empty() { "-".to_owned() } else { words }
}

/// Rulers both ways, and the line to measure them: the same on every sheet.
fn rulers(paper: &Paper) -> Drawing {
    let (mut drawing, middle) = (Drawing::default(), ruler::BREADTH / 2.0);
    ruler::draw(
        &mut drawing,
        Point::new(RULER_CORNER, middle),
        Way::Across,
        ruler::METRIC,
        ruler::INCH,
    );
    ruler::draw(
        &mut drawing,
        Point::new(middle, RULER_CORNER),
        Way::Down,
        ruler::METRIC,
        ruler::INCH,
    );
    let measure = if paper.across == 1.0 && paper.down == 1.0 {
        "MEASURE BOTH RULERS BEFORE CUTTING: 150 mm or 6 in, across and down. If off: --ruler-reads ACROSS,DOWN"
            .to_owned()
    } else {
        let (across, down) = (ruler::METRIC / paper.across, ruler::METRIC / paper.down);
        format!("MEASURE BOTH RULERS: corrected for a printer that read {across:.2},{down:.2}; now both must be true")
    };
    drawing.words(
        Layer::Rulers,
        Text::new((RULER_CORNER, ruler::BREADTH + 0.6), SMALL_PT, measure).bold(),
    );
    drawing
}

/// The sheet's number and what it belongs to.
fn name_sheet(drawing: &mut Drawing, paper: &Paper, name: &str, (number, count): (usize, usize)) {
    let area = drawable(paper);
    let sheet = Text::new((area.width, FOOT - 4.0), 9.0, format!("sheet {number} of {count}"))
        .bold()
        .align(Align::Right);
    drawing.note(sheet);
    let room = area.width - RULER_CORNER - ruler::INCH - ruler::OVERHANG - GAP;
    let mut lines = text::lines(name, SMALL_PT, false, room);
    if lines.len() > NAME_LINES {
        lines.truncate(NAME_LINES);
        if let Some(last) = lines.last_mut() {
            last.push_str(" ...");
        }
    }
    for (line, words) in lines.into_iter().enumerate() {
        let y = FOOT - 7.6 - 3.2 * line as f64;
        drawing.note(Text::new((area.width, y), SMALL_PT, words).align(Align::Right));
    }
}

/// The patterns alone, one over the other, with a ruler: for a cutter that knows no pages.
pub fn cutter_drawing(panels: &[Panel]) -> Drawing {
    let mut drawing = Drawing::default();
    ruler::draw(
        &mut drawing,
        Point::new(0.0, ruler::BREADTH / 2.0),
        Way::Across,
        ruler::METRIC,
        ruler::INCH,
    );
    let mut y = ruler::BREADTH + GAP;
    for panel in panels.iter().filter(|panel| panel.role == Role::Pattern) {
        drawing.add(&panel.drawing, (0.0, y));
        y += panel.height + 2.0 * GAP;
    }
    drawing
}
