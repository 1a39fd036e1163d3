//! Panels on sheets: margins, rulers on every sheet, and as few sheets as fit.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::fewest::fewest;
use super::filling::Filling;
use super::frame::{frames, rulers};
use crate::job::SheetOptions;
use crate::layout::drawing::{Drawing, Move};
use crate::layout::page::{Area, Sheet, drawable};
use crate::layout::panel::{Panel, Role};
use crate::problem::{Place, Problem};

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
    pub turned: BTreeSet<Arc<str>>,
    /// Names of the patterns, each with the index of the sheet that it is on, or begins on.
    pub contents: Vec<(Arc<str>, usize)>,
}

/// All the pages of a job, complete.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheets {
    /// In order.
    pub sheets: Vec<Sheet>,
    /// Names of the patterns that were turned to save paper.
    pub turned: BTreeSet<Arc<str>>,
    /// Names of the patterns, each with the index of the sheet that it is on, or begins on.
    pub contents: Vec<(Arc<str>, usize)>,
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
        // Of a job all but the cover may be placed in another order; of a joint what begins with its first pattern.
        if rest.is_empty() && panel.role != Role::Pattern && panel.group == 0 {
            filling.add(&panel, &mut give);
        } else {
            rest.push(panel);
        }
    }
    if rest.len() <= MOST_TRIED {
        filling = fewest(area, &filling, &rest, &mut give);
    } else {
        for panel in rest {
            filling.add(&panel, &mut give);
        }
        for panel in panels {
            room.take(&panel)?;
            filling.add(&panel, &mut give);
        }
    }
    let (count, record) = filling.finish(&mut give);
    Ok(Laid {
        frames: frames(
            name,
            &options.paper,
            count,
            [&record.contents, &record.tables],
            record.told,
        ),
        rulers: Arc::new(rulers(options)),
        turned: record.turned,
        contents: beginnings(record.contents),
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
        panel.require_numbers()?;
        self.taken += panel.width * panel.height;
        let needed = (self.taken / (self.area.width * self.area.height)).ceil() as usize;
        if needed <= MOST_SHEETS {
            return Ok(());
        }
        Err(Problem::new("this would take too many sheets")
            .at(Place::found(format!("pattern \"{}\"", panel.name), None))
            .figures(format!("{needed} or more, at most {MOST_SHEETS}"))
            .help("use larger paper, or split the job"))
    }
}

/// Of a tiled pattern its first sheet.
fn beginnings(contents: Vec<(Arc<str>, usize)>) -> Vec<(Arc<str>, usize)> {
    let mut begins: Vec<(Arc<str>, usize)> = Vec::with_capacity(contents.len());
    for (name, index) in contents {
        if begins.last().is_none_or(|(last, _)| *last != name) {
            begins.push((name, index));
        }
    }
    begins
}

#[cfg(test)]
mod tests {
    use std::cell::{Cell, RefCell};
    use std::sync::Weak;

    use kurbo::Rect;

    use super::super::filling::LOOK_BACK;
    use super::*;
    use crate::job::resolve;
    use crate::layout::drawing::{Layer, Pen};

    fn options() -> SheetOptions {
        let sheet = resolve::sheet(&crate::job::raw::Sheet::default()).unwrap_or_else(|problems| panic!("{problems}"));
        sheet.sheet
    }

    fn panel(number: usize, role: Role, width: f64, height: f64) -> Panel {
        let (mut drawing, frame) = (Drawing::default(), Rect::new(0.0, 0.0, width, height));
        drawing.stroke(Layer::Notes, Pen::FINE, frame);
        Panel::framed(number.to_string(), role, drawing, frame)
    }

    /// Patterns and tables of many sizes; no two of a kind follow each other all the time.
    fn mixed(count: usize) -> Vec<Panel> {
        let of = |number: usize| {
            let role = if number % 7 < 4 { Role::Table } else { Role::Pattern };
            let size = |step: usize, most: usize| 15.0 + (number * step % most) as f64;
            panel(number, role, size(37, 120), size(53, 160))
        };
        (0..count).map(of).collect()
    }

    #[test]
    fn no_more_drawings_are_kept_than_those_of_the_open_sheets() {
        // One takes a sheet, so that so many are open as drawings are kept.
        let (given, drawn) = (Cell::new(0), RefCell::new(Vec::<Weak<Drawing>>::new()));
        let (most, count) = (Cell::new(0), MOST_TRIED + 500);
        let panels = (0..count).map(|number| {
            if number > MOST_TRIED + 1 {
                assert!(number - given.get() <= LOOK_BACK + 1, "of {number} {}", given.get());
                let kept = drawn
                    .borrow()
                    .iter()
                    .filter(|drawing| drawing.strong_count() > 0)
                    .count();
                most.set(most.get().max(kept));
            }
            let panel = panel(number, Role::Pattern, 150.0, 220.0);
            drawn.borrow_mut().push(Arc::downgrade(&panel.drawing));
            panel
        });
        let laid = lay_out_each("job", panels, &options(), |_| given.set(given.get() + 1)).expect("sheets");
        assert_eq!((given.get(), laid.frames.len()), (count, count));
        assert!((1..=LOOK_BACK + 1).contains(&most.get()), "{}", most.get());
    }

    /// Few are kept and tried in several orders, many are given away as they come.
    #[test]
    fn every_panel_is_on_one_sheet_and_patterns_are_where_the_contents_say() {
        for count in [1, 40, MOST_TRIED, 3 * MOST_TRIED] {
            let (panels, mut sheets) = (mixed(count), Vec::new());
            let laid = lay_out_each("job", panels.clone(), &options(), |sheet| sheets.push(sheet)).expect("sheets");
            assert_eq!(laid.frames.len(), sheets.len());
            let is_on = |panel: &Panel, sheet: &Sheet| {
                let of_panel = Arc::as_ptr(&panel.drawing);
                sheet.parts().filter(|part| std::ptr::eq(*part, of_panel)).count()
            };
            for panel in &panels {
                let places: usize = sheets.iter().map(|sheet| is_on(panel, sheet)).sum();
                assert_eq!(places, 1, "{} of {count}", panel.name);
                let at = laid.contents.iter().find(|(name, _)| *name == panel.name);
                assert_eq!(at.is_some(), panel.role == Role::Pattern, "{} of {count}", panel.name);
                assert!(
                    at.is_none_or(|(_, sheet)| is_on(panel, &sheets[*sheet]) == 1),
                    "{} of {count}",
                    panel.name
                );
            }
        }
    }

    /// A table that is too high for what is left of a sheet goes there in a lower shape, and only where that saves a sheet.
    #[test]
    fn a_table_takes_another_shape_rather_than_a_sheet() {
        let wide = drawable(&options().paper).width - 20.0;
        let mut table = panel(1, Role::Table, 50.0, 80.0);
        let lower = panel(1, Role::Table, 104.0, 45.0);
        table.shapes = vec![lower.clone()];
        let laid = |high: f64, table: &Panel| {
            let panels = [panel(0, Role::Pattern, wide, high), table.clone()];
            lay_out("job", panels, &options()).expect("sheets").sheets
        };
        let has = |sheet: &Sheet, panel: &Panel| {
            sheet
                .parts()
                .any(|part| std::ptr::eq(part, Arc::as_ptr(&panel.drawing)))
        };
        let saved = laid(200.0, &table);
        assert!(saved.len() == 1 && has(&saved[0], &lower) && !has(&saved[0], &table));
        let as_it_is = laid(100.0, &table);
        assert!(as_it_is.len() == 1 && has(&as_it_is[0], &table));
        assert_eq!(laid(250.0, &table).len(), 2);
        table.shapes.clear();
        assert_eq!(laid(200.0, &table).len(), 2);
    }

    #[test]
    fn kept_sheets_are_those_given_away_with_frame_and_rulers() {
        for count in [40, 2 * MOST_TRIED] {
            let mut given = Vec::new();
            let laid = lay_out_each("job", mixed(count), &options(), |sheet| given.push(sheet)).expect("sheets");
            let kept = lay_out("job", mixed(count), &options()).expect("sheets");
            assert_eq!((&kept.turned, &kept.contents), (&laid.turned, &laid.contents));
            assert_eq!(kept.sheets.len(), given.len());
            for ((kept, given), frame) in kept.sheets.iter().zip(given).zip(&laid.frames) {
                let mut whole = given.drawing();
                whole.add(frame, (0.0, 0.0));
                whole.add(&laid.rulers, (0.0, 0.0));
                assert_eq!(kept.drawing(), whole);
            }
        }
    }

    #[test]
    fn too_many_sheets_are_refused_before_they_are_made() {
        let refused = |panels: &mut dyn Iterator<Item = Panel>| {
            let mut given = 0;
            let problem = lay_out_each("job", panels, &options(), |_| given += 1).expect_err("too many");
            assert!(problem.to_string().contains("at most 30000"), "{problem}");
            given
        };
        // A million tiles.
        let mut large = panel(0, Role::Pattern, 100.0, 100.0);
        (large.width, large.height) = (2e5, 2.5e5);
        assert_eq!(refused(&mut std::iter::once(large.clone())), 0);
        let small = panel(0, Role::Pattern, 150.0, 220.0);
        assert_eq!(refused(&mut std::iter::repeat_n(small.clone(), 3).chain([large])), 0);
        // Panels without end, each on a sheet of its own, which it doesn't fill.
        let area = drawable(&options().paper);
        let most = MOST_SHEETS as f64 * area.width * area.height / (small.width * small.height);
        assert!(refused(&mut std::iter::repeat(small)) as f64 <= most);
    }
}
