//! A code that a phone scans, for the terminal and for the page.

use std::fmt::Write;

use fast_qr::QRBuilder;

/// White modules round the code, as ISO/IEC 18004 asks.
const QUIET: usize = 4;

/// The modules of the code for `words`, with the white round it: true is black. `None` where the words are too long.
fn modules(words: &str) -> Option<Vec<Vec<bool>>> {
    let code = QRBuilder::new(words).build().ok()?;
    let side = code.size + 2 * QUIET;
    let is_black = |row: usize, column: usize| {
        let (row, column) = (row.checked_sub(QUIET), column.checked_sub(QUIET));
        let within = row
            .zip(column)
            .filter(|(row, column)| *row < code.size && *column < code.size);
        within.is_some_and(|(row, column)| code[row][column].value())
    };
    Some(
        (0..side)
            .map(|row| (0..side).map(|column| is_black(row, column)).collect())
            .collect(),
    )
}

/// In lines for a terminal, two rows of modules in each, black on white whatever the terminal's colours are.
pub(super) fn in_lines(words: &str) -> Option<String> {
    let modules = modules(words)?;
    let mut lines = String::new();
    for two in modules.chunks(2) {
        lines.push_str("\x1b[38;5;16;48;5;231m");
        for (column, upper) in two[0].iter().enumerate() {
            let lower = two.get(1).is_some_and(|row| row[column]);
            lines.push(match (upper, lower) {
                (true, true) => '\u{2588}',
                (true, false) => '\u{2580}',
                (false, true) => '\u{2584}',
                (false, false) => ' ',
            });
        }
        lines.push_str("\x1b[0m\n");
    }
    Some(lines)
}

/// As the path of an SVG, a module a unit, and how many units there are across.
pub(super) fn as_path(words: &str) -> Option<(String, usize)> {
    let modules = modules(words)?;
    let mut path = String::new();
    for (y, row) in modules.iter().enumerate() {
        for (x, is_black) in row.iter().enumerate() {
            if *is_black {
                // Writing to a String can't fail.
                let _ = write!(path, "M{x} {y}h1v1h-1z");
            }
        }
    }
    Some((path, modules.len()))
}
