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

/// Breaks `words` into lines no wider than `width` millimetres, at spaces; a word that is wider alone
/// is broken where it must.
pub(super) fn lines(words: &str, size_pt: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let width_of = |words: &str| width_mm(words, size_pt, bold);
    let space = width_of(" ");
    let (mut line, mut filled) = (String::new(), 0.0);
    for word in words.split_whitespace() {
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
