//! Panels on sheets: margins, rulers on every sheet, and as few sheets as fit.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::drawing::{Drawing, Move};
use super::filling::Filling;
use super::frame::{frames, rulers};
use super::page::{Area, Sheet, drawable};
use super::panel::{Panel, Role};
use crate::job::SheetOptions;
use crate::problem::Problem;

/// Of more panels only the order in which they are given is tried.
const MOST_TRIED: usize = 400;

/// More than any shop prints at once.
const MOST_SHEETS: usize = 30_000;

/// What is known when all panels have their places.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// For each sheet what it bears besides its panels: its number, what it belongs to, the numbers of other sheets.
    pub frames: Vec<Drawing>,
    /// On every sheet.
    pub rulers: Arc<Drawing>,
    /// Names of the patterns that were turned to save paper.
    pub turned: BTreeSet<String>,
    /// Names of the patterns, each with the index of the sheet that it is on, or begins on.
    pub contents: Vec<(String, usize)>,
}

/// All the pages of a job, complete.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheets {
    /// In order.
    pub sheets: Vec<Sheet>,
    /// Names of the patterns that were turned to save paper.
    pub turned: BTreeSet<String>,
    /// Names of the patterns, each with the index of the sheet that it is on, or begins on.
    pub contents: Vec<(String, usize)>,
}

/// The same as [`lay_out_each`], the sheets kept and complete.
///
/// # Errors
/// Where there are more panels than 30,000 sheets hold.
pub fn lay_out(name: &str, panels: impl IntoIterator<Item = Panel>, options: &SheetOptions) -> Result<Sheets, Problem> {
    let mut sheets = Vec::new();
    let laid = lay_out_each(name, panels, options, |sheet| sheets.push(sheet))?;
    for (sheet, frame) in sheets.iter_mut().zip(laid.frames) {
        sheet.add(Arc::new(frame), Move::by((0.0, 0.0)));
        sheet.add(Arc::clone(&laid.rulers), Move::by((0.0, 0.0)));
    }
    Ok(Sheets {
        sheets,
        turned: laid.turned,
        contents: laid.contents,
    })
}

/// Places the panels on as few sheets as a few orders find; what comes before the first pattern stays in front. `name` is
/// what every sheet bears. What fits on one sheet is not split; what doesn't is tiled.
///
/// Every sheet goes to `give` in its turn, as soon as nothing can be put on it any more, with neither frame nor rulers. Of
/// more than a few hundred panels only those on the sheets that are still open are kept.
///
/// # Errors
/// Where there are more panels than 30,000 sheets hold; some sheets may have been given away by then.
pub fn lay_out_each(
    name: &str,
    panels: impl IntoIterator<Item = Panel>,
    options: &SheetOptions,
    mut give: impl FnMut(Sheet),
) -> Result<Laid, Problem> {
    let area = drawable(&options.paper);
    let mut room = Room { area, taken: 0.0 };
    let mut panels = panels.into_iter();
    let mut filling = Filling::new(area);
    let mut rest: Vec<Panel> = Vec::new();
    while rest.len() <= MOST_TRIED
        && let Some(panel) = panels.next()
    {
        room.take(&panel)?;
        if rest.is_empty() && panel.role != Role::Pattern {
            filling.add(&panel, &mut give);
        } else {
            rest.push(panel);
        }
    }
    if rest.len() <= MOST_TRIED {
        filling = fewest(&filling, &rest, &mut give);
    } else {
        for panel in rest {
            filling.add(&panel, &mut give);
        }
        for panel in panels {
            room.take(&panel)?;
            filling.add(&panel, &mut give);
        }
    }
    let filled = filling.finish(&mut give);
    Ok(Laid {
        frames: frames(name, &options.paper, filled.count, &filled.contents, filled.told),
        rulers: Arc::new(rulers(&options.paper)),
        turned: filled.turned,
        contents: beginnings(filled.contents),
    })
}

/// What the panels so far take of all the sheets that may be made.
struct Room {
    area: Area,
    /// In square millimetres.
    taken: f64,
}

impl Room {
    fn take(&mut self, panel: &Panel) -> Result<(), Problem> {
        self.taken += panel.width * panel.height;
        let needed = (self.taken / (self.area.width * self.area.height)).ceil() as usize;
        if needed <= MOST_SHEETS {
            return Ok(());
        }
        Err(Problem::new("this would take too many sheets")
            .figures(format!("{needed} or more, at most {MOST_SHEETS}"))
            .help("use larger paper, or split the job"))
    }
}

/// Goes on with the order that takes the fewest sheets.
fn fewest(front: &Filling, rest: &[Panel], give: &mut impl FnMut(Sheet)) -> Filling {
    let filled = |order: Vec<&Panel>| {
        let (mut filling, mut given) = (front.clone(), Vec::new());
        for panel in order {
            filling.add(panel, &mut |sheet| given.push(sheet));
        }
        (filling, given)
    };
    let mut best = filled(as_given(rest));
    for order in [tables_last(rest), largest_first(rest)] {
        let other = filled(order);
        if other.0.count() < best.0.count() {
            best = other;
        }
    }
    best.1.into_iter().for_each(give);
    best.0
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

/// Of a tiled pattern its first sheet.
fn beginnings(contents: Vec<(String, usize)>) -> Vec<(String, usize)> {
    let mut begins: Vec<(String, usize)> = Vec::with_capacity(contents.len());
    for (name, index) in contents {
        if begins.last().is_none_or(|(last, _)| *last != name) {
            begins.push((name, index));
        }
    }
    begins
}
