//! How wide words are, and where lines break.

/// Millimetres in a point: 1/72 in.
pub(super) const MM_PER_POINT: f64 = 25.4 / 72.0;

/// Advance widths of Helvetica and Helvetica-Bold for the characters from space to tilde, in
/// thousandths of the size (Adobe's metrics of the standard 14 fonts, from memory).
const REGULAR: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
    556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833,
    722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556,
    556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334,
    260, 334, 584,
];
const BOLD: [u16; 95] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
    556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833,
    722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611,
    556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389,
    280, 389, 584,
];

/// Width of `words` in millimetres at `size_pt`. Accented letters count as the widest of their kind.
pub(super) fn width_mm(words: &str, size_pt: f64, bold: bool) -> f64 {
    let table = if bold { &BOLD } else { &REGULAR };
    let width = |c: char| match c {
        ' '..='~' => table[c as usize - 32],
        '°' => 400,
        '·' | '\u{a0}' => 278,
        '×' | '±' => 584,
        'à'..='ÿ' => 611,
        _ => 833,
    };
    words.chars().map(|c| f64::from(width(c))).sum::<f64>() / 1000.0 * size_pt * MM_PER_POINT
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
