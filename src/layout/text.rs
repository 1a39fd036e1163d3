//! How wide words are, and where lines break.

use crate::letters::Face;

/// Millimetres in a point: 1/72 in.
pub(super) const MM_PER_POINT: f64 = 25.4 / 72.0;

/// Width of `words` in millimetres at `size_pt`.
pub(super) fn width_mm(words: &str, size_pt: f64, bold: bool) -> f64 {
    let face = Face::of(bold);
    let width = |letter| face.glyph(letter).map_or(0.0, |glyph| f64::from(glyph.advance));
    words.chars().map(width).sum::<f64>() * size_pt * MM_PER_POINT
}

/// Breaks `words` into lines no wider than `width` millimetres, at spaces; a word that is wider alone is broken where it must. A
/// measure (`1.9 x 0.065 in`) is broken only where whole it would take more lines.
pub(super) fn lines(words: &str, size_pt: f64, bold: bool, width: f64) -> Vec<String> {
    let lines = filled(words.split_whitespace(), size_pt, bold, width);
    let is_broken = |pair: &[String]| {
        let ends = (pair[0].split_whitespace().last(), pair[1].split_whitespace().next());
        matches!(ends, (Some(last), Some(next)) if are_one(last, next))
    };
    if !lines.windows(2).any(is_broken) {
        return lines;
    }
    let whole = lines_of_whole(words, size_pt, bold, width);
    if whole.len() > lines.len() { lines } else { whole }
}

/// The same with no measure broken that fits on a line.
pub(super) fn lines_of_whole(words: &str, size_pt: f64, bold: bool, width: f64) -> Vec<String> {
    let whole = measures(words).flat_map(|measure| {
        let is_broken = width_mm(measure, size_pt, bold) > width;
        let parts = measure.split_whitespace().filter(move |_| is_broken);
        Some(measure).filter(|_| !is_broken).into_iter().chain(parts)
    });
    filled(whole, size_pt, bold, width)
}

/// Lines as full as they go, of words that are not parted where they fit.
fn filled<'a>(words: impl Iterator<Item = &'a str>, size_pt: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let width_of = |words: &str| width_mm(words, size_pt, bold);
    let space = width_of(" ");
    let (mut line, mut filled) = (String::new(), 0.0);
    for word in words {
        let before = if line.is_empty() { 0.0 } else { filled + space };
        let longer = before + width_of(word);
        if longer <= width {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
            filled = longer;
            continue;
        }
        lines.extend(Some(std::mem::take(&mut line)).filter(|line| !line.is_empty()));
        filled = 0.0;
        for c in word.chars() {
            let wide = width_of(c.encode_utf8(&mut [0; 4]));
            if !line.is_empty() && filled + wide > width {
                lines.push(std::mem::take(&mut line));
                filled = 0.0;
            }
            line.push(c);
            filled += wide;
        }
    }
    lines.extend(Some(line).filter(|line| !line.is_empty()));
    lines
}

/// The same for words of several phrases with semicolons between them: a line ends between phrases wherever it can.
pub(super) fn lines_of_phrases(words: &str, size_pt: f64, bold: bool, width: f64) -> Vec<String> {
    // Nearly all cells of tables are one line.
    if is_one_line(words, size_pt, bold, width) {
        return vec![words.to_owned()];
    }
    let mut together: Vec<String> = Vec::new();
    for phrase in words.split_inclusive("; ").map(str::trim_end) {
        let longer = together.last().map(|line| format!("{line} {phrase}"));
        match (longer, together.last_mut()) {
            (Some(longer), Some(line)) if width_mm(&longer, size_pt, bold) <= width => *line = longer,
            _ => together.push(phrase.to_owned()),
        }
    }
    together
        .iter()
        .flat_map(|line| lines(line, size_pt, bold, width))
        .collect()
}

/// Whether words are one line as they stand.
fn is_one_line(words: &str, size_pt: f64, bold: bool, width: f64) -> bool {
    let is_plain = !words.is_empty() && words.trim() == words && !words.contains("  ");
    is_plain && width_mm(words, size_pt, bold) <= width
}

/// Words one by one, those of a measure together: a number with its unit, and what is `x` each other.
fn measures(words: &str) -> impl Iterator<Item = &str> {
    let mut rest = words.trim();
    std::iter::from_fn(move || {
        let mut next = rest.split_whitespace();
        let mut last = next.next()?;
        let mut end = last.len();
        // One space apart: then they are one stretch of the words.
        for word in next {
            let is_one_on = rest[end..].strip_prefix(' ').is_some_and(|rest| rest.starts_with(word));
            if !(is_one_on && are_one(last, word)) {
                break;
            }
            end += 1 + word.len();
            last = word;
        }
        let (measure, behind) = rest.split_at(end);
        rest = behind.trim_start();
        Some(measure)
    })
}

/// Whether a word and the next belong to one measure.
fn are_one(word: &str, next: &str) -> bool {
    let unit = next.trim_end_matches(|c: char| !c.is_alphanumeric());
    let is_number = word.ends_with(|c: char| c.is_ascii_digit());
    let is_times = word == "x" && next.starts_with(|c: char| c.is_ascii_digit());
    is_times || is_number && matches!(unit, "in" | "mm" | "x")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_measure_is_broken_only_where_a_line_has_no_room_for_it() {
        let words = "gap on NPS 3 (3.500 x 0.216 in) and 12.5 mm, 6 x no. 2";
        let told: Vec<&str> = measures(words).collect();
        assert_eq!(
            told,
            [
                "gap",
                "on",
                "NPS",
                "3",
                "(3.500 x 0.216 in)",
                "and",
                "12.5 mm,",
                "6 x",
                "no.",
                "2"
            ]
        );
        let long = width_mm("(3.500 x 0.216 in)", 8.0, false);
        for (room, parted) in [(long + 0.1, false), (long - 0.1, true)] {
            let lines = lines_of_whole(words, 8.0, false, room);
            assert_eq!(lines.join(" "), words);
            assert_eq!(lines.iter().any(|line| line.ends_with("0.216")), parted, "{lines:?}");
        }
        // Elsewhere no measure costs a line.
        let as_many = |words: &str, room: f64| {
            let found = lines(words, 8.0, false, room);
            assert!(
                found.len() == filled(words.split_whitespace(), 8.0, false, room).len(),
                "{found:?}"
            );
            found
        };
        let room = width_mm("from here on 12.5", 8.0, false) + 0.1;
        assert_eq!(
            as_many("from here on 12.5 mm it is", room),
            ["from here on", "12.5 mm it is"]
        );
        assert_eq!(
            as_many("from here on 12.5 mm it is so far", room),
            ["from here on 12.5", "mm it is so far"]
        );
    }
}
