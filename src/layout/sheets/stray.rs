//! What may be taken for what it isn't: tables by hand under another end's wrap, and what is of a piece's end before what is of its start.

use std::ops::Not;

use kurbo::Rect;

use crate::layout::panel::{OfEnd, Panel, Role};

/// A wrap of an end, or its table, on its sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlacedEnd {
    pub(super) group: usize,
    pub(super) of: OfEnd,
    pub(super) is_table: bool,
    /// The index of its sheet.
    pub(super) sheet: usize,
    /// In millimetres, y up.
    pub(super) place: Rect,
}

/// How much is out of its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Faults {
    /// Of a piece what is of its end and stands before the same of its start.
    pub(super) ends_first: usize,
    /// What else of a piece isn't in order: the start's wrap, its table, the end's wrap, its table.
    pub(super) out_of_order: usize,
    /// Tables that may be taken for those of another end.
    pub(super) strays: usize,
}

impl Faults {
    /// Those of both.
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            ends_first: self.ends_first + other.ends_first,
            out_of_order: self.out_of_order + other.out_of_order,
            strays: self.strays + other.strays,
        }
    }
}

impl PlacedEnd {
    /// A panel of an end at its place.
    pub(super) fn new(panel: &Panel, of: &OfEnd, sheet: usize, place: Rect) -> Self {
        Self {
            group: panel.group,
            of: of.clone(),
            is_table: panel.role == Role::Table,
            sheet,
            place,
        }
    }

    /// Whether it and another of its piece stand in the wrong order: the start's wrap comes first, then its table, then the end's. If
    /// `is_strict`, of two ends only wraps are held against wraps and tables against tables.
    pub(super) fn is_out_of_order_with(&self, other: &Self, is_strict: bool) -> bool {
        let turn = |of: &Self| (of.of.side, of.is_table);
        let counts = !is_strict || self.is_table == other.is_table;
        self.group == other.group
            && counts
            && match turn(self).cmp(&turn(other)) {
                std::cmp::Ordering::Less => other.is_before(self),
                std::cmp::Ordering::Equal => false,
                std::cmp::Ordering::Greater => self.is_before(other),
            }
    }

    /// Whether the other is its own wrap, on the same sheet.
    pub(super) fn is_on_sheet_of(&self, other: &Self) -> bool {
        !other.is_table && other.sheet == self.sheet && other.of.pattern == self.of.pattern
    }

    /// Whether it is found before another one: on an earlier sheet, or left of it or over it and neither the other way round.
    fn is_before(&self, other: &Self) -> bool {
        let leads = |a: Rect, b: Rect| a.x1 <= b.x0 || a.y0 >= b.y1;
        match self.sheet.cmp(&other.sheet) {
            std::cmp::Ordering::Less => true,
            std::cmp::Ordering::Equal => leads(self.place, other.place) && leads(other.place, self.place).not(),
            std::cmp::Ordering::Greater => false,
        }
    }
}

/// What is out of its place among the panels of a group and the wraps before them. A table is astray under the wrap of another end,
/// and on a sheet that bears a wrap, but not its own.
pub(super) fn faults(placed: &[PlacedEnd], group: usize) -> Faults {
    let pairs = || {
        let of_group = placed.iter().filter(move |of| of.group == group).enumerate();
        of_group.flat_map(move |(index, of)| {
            let others = placed.iter().filter(move |of| of.group == group).take(index);
            others.map(move |other| (of, other))
        })
    };
    let count = |is_strict: bool| {
        let wrong = pairs().filter(|(of, other)| of.is_out_of_order_with(other, is_strict));
        wrong.count()
    };
    let (all, ends_first) = (count(false), count(true));
    let tables = placed.iter().filter(|of| of.is_table);
    Faults {
        ends_first,
        out_of_order: all - ends_first,
        strays: tables.filter(|table| is_stray(placed, table)).count(),
    }
}

/// Whether a table may be taken for another end's at its place.
pub(super) fn is_stray(placed: &[PlacedEnd], table: &PlacedEnd) -> bool {
    let wraps = placed.iter().filter(|of| !of.is_table && of.sheet == table.sheet);
    let over = wraps.clone().filter(|wrap| is_over(wrap.place, table.place));
    let is_own = |wrap: &PlacedEnd| wrap.of.pattern == table.of.pattern;
    match over.min_by(|a, b| a.place.y0.total_cmp(&b.place.y0)) {
        Some(wrap) => !is_own(wrap),
        None => wraps.clone().count() > 0 && !wraps.clone().any(is_own),
    }
}

/// Whether `upper` stands over `lower`, by more than a corner.
fn is_over(upper: Rect, lower: Rect) -> bool {
    const CORNER: f64 = 5.0;
    upper.y0 >= lower.y1 && upper.x1.min(lower.x1) - upper.x0.max(lower.x0) > CORNER
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(pattern: &str, is_table: bool, sheet: usize, place: [f64; 4]) -> PlacedEnd {
        let [x0, y0, x1, y1] = place;
        PlacedEnd {
            group: 1,
            of: OfEnd {
                pattern: pattern.into(),
                side: usize::from(pattern == "end"),
            },
            is_table,
            sheet,
            place: Rect::new(x0, y0, x1, y1),
        }
    }

    #[test]
    fn a_table_strays_under_another_ends_wrap_or_to_its_sheet() {
        let wraps = [
            of("start", false, 0, [0.0, 200.0, 90.0, 280.0]),
            of("end", false, 0, [94.0, 200.0, 184.0, 280.0]),
            of("end", false, 1, [0.0, 200.0, 90.0, 280.0]),
        ];
        let under_start = [0.0, 100.0, 60.0, 190.0];
        let under_end = [100.0, 100.0, 160.0, 190.0];
        let count = |pattern: &str, sheet: usize, place: [f64; 4]| {
            let all: Vec<PlacedEnd> = wraps.iter().cloned().chain([of(pattern, true, sheet, place)]).collect();
            faults(&all, 1).strays
        };
        assert_eq!([count("start", 0, under_start), count("end", 0, under_end)], [0, 0]);
        assert_eq!([count("end", 0, under_start), count("start", 0, under_end)], [1, 1]);
        // On a sheet of the other end's wrap alone; on one without wraps.
        let beside = [100.0, 200.0, 160.0, 280.0];
        assert_eq!(
            [
                count("start", 1, beside),
                count("end", 1, beside),
                count("start", 2, beside)
            ],
            [1, 0, 0]
        );
    }

    #[test]
    fn the_start_comes_first_left_over_or_on_an_earlier_sheet() {
        let [upper_left, upper_right, lower_left] = [
            [0.0, 200.0, 90.0, 280.0],
            [94.0, 200.0, 184.0, 280.0],
            [0.0, 100.0, 90.0, 190.0],
        ];
        let count = |is_table: bool, start: (usize, [f64; 4]), end: (usize, [f64; 4])| {
            let [start, end] =
                [("start", start), ("end", end)].map(|(name, (sheet, place))| of(name, is_table, sheet, place));
            faults(&[end, start], 1).ends_first
        };
        for is_table in [false, true] {
            assert_eq!(count(is_table, (0, upper_left), (0, upper_right)), 0);
            assert_eq!(count(is_table, (0, upper_right), (0, upper_left)), 1);
            assert_eq!(count(is_table, (0, upper_left), (0, lower_left)), 0);
            assert_eq!(count(is_table, (0, lower_left), (0, upper_left)), 1);
            // Down a column or along a row: either is read so.
            assert_eq!(count(is_table, (0, lower_left), (0, upper_right)), 0);
            assert_eq!(count(is_table, (0, upper_right), (0, lower_left)), 0);
            assert_eq!(count(is_table, (1, upper_left), (0, lower_left)), 1);
        }
        let table_first = [of("start", true, 0, upper_left), of("start", false, 0, upper_right)];
        let found = faults(&table_first, 1);
        assert_eq!((found.ends_first, found.out_of_order), (0, 1));
        assert_eq!(faults(&table_first, 2).out_of_order, 0);
    }
}
