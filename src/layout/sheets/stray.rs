//! Tables by hand that may be taken for those of another end.

use kurbo::Rect;

/// A wrap of an end, or its table, on its sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OfEnd {
    /// The name of the end's pattern.
    pub(super) pattern: String,
    pub(super) is_table: bool,
    /// The index of its sheet.
    pub(super) sheet: usize,
    /// In millimetres, y up.
    pub(super) place: Rect,
}

/// Of the panels of one group and the wraps before them, how many tables may be taken for another end's: those that stand under the wrap of another
/// end, and those on a sheet that bears a wrap, but not their own.
pub(super) fn strays(of_ends: &[OfEnd]) -> usize {
    let tables = of_ends.iter().filter(|of| of.is_table);
    tables
        .filter(|table| is_stray(of_ends, &table.pattern, table.sheet, table.place))
        .count()
}

/// Whether the table of a pattern's end may be taken for another end's at a place of a sheet.
pub(super) fn is_stray(of_ends: &[OfEnd], pattern: &str, sheet: usize, place: Rect) -> bool {
    let wraps = of_ends.iter().filter(|of| !of.is_table && of.sheet == sheet);
    let over = wraps.clone().filter(|wrap| is_over(wrap.place, place));
    match over.min_by(|a, b| a.place.y0.total_cmp(&b.place.y0)) {
        Some(wrap) => wrap.pattern != pattern,
        None => wraps.clone().count() > 0 && wraps.clone().all(|wrap| wrap.pattern != pattern),
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

    fn of(pattern: &str, is_table: bool, sheet: usize, place: [f64; 4]) -> OfEnd {
        let [x0, y0, x1, y1] = place;
        OfEnd {
            pattern: pattern.to_owned(),
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
            let all: Vec<OfEnd> = wraps.iter().cloned().chain([of(pattern, true, sheet, place)]).collect();
            strays(&all)
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
}
