//! Panels on sheets: margins, rulers on every sheet, and as few sheets as fit.

use kurbo::{Point, Rect};

use super::drawing::{Align, Drawing, Layer, Move, Text};
use super::label::SMALL_PT;
use super::packing::FreeSpace;
use super::page::{Area, Sheet, drawable};
use super::panel::{Panel, Role};
use super::ruler::{self, Way};
use super::tile::{self, tiles};
use crate::job::{Paper, SheetOptions};

/// Between panels, in millimetres.
const GAP: f64 = 4.0;

/// Where the rulers start, from the lower left of what can be drawn on, in millimetres.
const RULER_CORNER: f64 = ruler::BREADTH + 1.0;
/// Height of the bottom ruler with the words over it, in millimetres.
const FOOT: f64 = ruler::BREADTH + 4.0;

/// All the pages of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheets {
    /// In order.
    pub sheets: Vec<Sheet>,
    /// Names of the patterns that were turned to save paper.
    pub turned: Vec<String>,
    /// Names of the patterns, each with the index of the sheet that it is on, or begins on.
    pub contents: Vec<(String, usize)>,
}

/// Places every panel: the heading first, then the patterns from the largest to the smallest, then the
/// tables. `name` is a short one that every sheet bears. What fits on one sheet is not split; what doesn't is tiled.
pub fn lay_out(name: &str, panels: &[Panel], options: &SheetOptions) -> Sheets {
    let mut stack = Stack::new(drawable(&options.paper));
    let (mut headings, mut patterns, mut tables) = (Vec::new(), Vec::new(), Vec::new());
    for panel in panels {
        match panel.role {
            Role::Heading => headings.push(panel),
            Role::Pattern => patterns.push(panel),
            Role::Table => tables.push(panel),
        }
    }
    for panel in headings {
        stack.place(panel);
    }
    let by_area = |a: &&Panel, b: &&Panel| (b.width * b.height).total_cmp(&(a.width * a.height));
    patterns.sort_by(by_area);
    for panel in patterns {
        if stack.fits_on_a_sheet(panel) {
            stack.place(panel);
        } else {
            stack.place_tiled(panel);
        }
    }
    tables.sort_by(by_area);
    for panel in tables {
        stack.place(panel);
    }
    stack.finish(name, &options.paper)
}

struct Stack {
    area: Area,
    open: Vec<(FreeSpace, Drawing)>,
    turned: Vec<String>,
    contents: Vec<(String, usize)>,
}

impl Stack {
    fn new(area: Area) -> Self {
        Self {
            area,
            open: Vec::new(),
            turned: Vec::new(),
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
        sheet.holds(panel.width, panel.height) || sheet.holds(panel.height, panel.width)
    }

    /// On the first sheet with room, upright if it can be; patterns may be turned.
    fn place(&mut self, panel: &Panel) {
        let ways: &[u8] = if panel.role == Role::Pattern { &[0, 1] } else { &[0] };
        for index in 0..=self.open.len() {
            if index == self.open.len() {
                self.open.push((self.empty_sheet(), Drawing::default()));
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
        let (space, drawing) = &mut self.open[index];
        let Some(place) = space.place(width, height, GAP) else {
            return false;
        };
        let by = if quarter_turns == 1 {
            (place.x0 + panel.height, place.y0)
        } else {
            (place.x0, place.y0)
        };
        drawing.add_moved(
            &panel.drawing,
            Move {
                quarter_turns,
                by: by.into(),
            },
        );
        if panel.role == Role::Pattern && !self.contents.iter().any(|(name, _)| *name == panel.name) {
            self.contents.push((panel.name.clone(), index));
        }
        if quarter_turns == 1 && !self.turned.contains(&panel.name) {
            self.turned.push(panel.name.clone());
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
        let sheets = self
            .open
            .into_iter()
            .enumerate()
            .map(|(index, (_, mut drawing))| {
                furnish(&mut drawing, paper, name, (index + 1, count));
                Sheet { drawing }
            })
            .collect();
        Sheets {
            sheets,
            turned: self.turned,
            contents: self.contents,
        }
    }
}

/// Rulers both ways, the line to measure them, and the sheet's number.
fn furnish(drawing: &mut Drawing, paper: &Paper, name: &str, (number, count): (usize, usize)) {
    let (area, middle) = (drawable(paper), ruler::BREADTH / 2.0);
    ruler::draw(
        drawing,
        Point::new(RULER_CORNER, middle),
        Way::Across,
        ruler::METRIC,
        ruler::INCH,
    );
    ruler::draw(
        drawing,
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
    let sheet = Text::new((area.width, middle - 1.0), 9.0, format!("sheet {number} of {count}"))
        .bold()
        .align(Align::Right);
    drawing.note(sheet);
    drawing.note(Text::new((area.width, middle - 5.0), SMALL_PT, name).align(Align::Right));
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
