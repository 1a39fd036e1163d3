//! What every SVG is made of: numbers, lines, words as XML holds them.

use kurbo::{Affine, BezPath, PathEl, Point};

use crate::layout::Align;

/// Letters as wide as those by which words are measured, then others.
pub(super) const FONTS: &str = "Liberation Sans, Arimo, Helvetica, Arial, sans-serif";
pub(super) const MM_PER_POINT: f64 = 25.4 / 72.0;

/// A number has so many decimals at the most.
const DECIMALS: u32 = 4;

pub(super) fn anchor(align: Align) -> &'static str {
    match align {
        Align::Left => "start",
        Align::Middle => "middle",
        Align::Right => "end",
    }
}

/// A path's `d` (W3C SVG 1.1, 8.3).
pub(super) fn data(path: &BezPath, flip: Affine) -> String {
    let mut data = String::with_capacity(20 * path.elements().len());
    for element in path.elements() {
        match flip * *element {
            PathEl::MoveTo(end) => push_points(&mut data, 'M', &[end]),
            PathEl::LineTo(end) => push_points(&mut data, 'L', &[end]),
            PathEl::QuadTo(control, end) => push_points(&mut data, 'Q', &[control, end]),
            PathEl::CurveTo(first, second, end) => push_points(&mut data, 'C', &[first, second, end]),
            PathEl::ClosePath => data.push('Z'),
        }
    }
    data
}

fn push_points(data: &mut String, command: char, points: &[Point]) {
    let mut before = command;
    for value in points.iter().flat_map(|point| [point.x, point.y]) {
        data.push(before);
        push_number(data, value);
        before = ' ';
    }
}

/// To a ten-thousandth of a millimetre, no needless zeros.
pub(super) fn number(value: f64) -> String {
    let mut text = String::new();
    push_number(&mut text, value);
    text
}

/// By whole ten-thousandths: paths are long, and the general way takes several times as long.
fn push_number(text: &mut String, value: f64) {
    /// Beyond this a number has fewer decimals than that anyway.
    const LARGE: f64 = 1e9;
    let unit = 10_i64.pow(DECIMALS);
    let parts = (value * unit as f64).round();
    let is_usual = value.abs() < LARGE;
    if !is_usual {
        text.push_str(&(parts / unit as f64 + 0.0).to_string());
        return;
    }
    let mut parts = parts as i64;
    if parts < 0 {
        text.push('-');
        parts = -parts;
    }
    text.push_str(&(parts / unit).to_string());
    let (mut rest, mut place) = (parts % unit, unit / 10);
    if rest != 0 {
        text.push('.');
    }
    while rest != 0 {
        text.push(char::from(b'0' + (rest / place) as u8));
        rest %= place;
        place /= 10;
    }
}

/// As XML holds it, also within quotes. What it can't hold at all is left out (XML 1.0, 2.2).
pub(super) fn escaped(words: &str) -> String {
    let mut escaped = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\t' | '\n' | '\r' => escaped.push(' '),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {}
            _ => escaped.push(letter),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The standard library's own shortest form of the rounded number.
    #[test]
    fn a_number_is_its_shortest_form() {
        for scale in [1e-4, 1e-2, 1.0, 300.0, 1e6, 1e12] {
            for step in -5000..=5000 {
                let value = scale * (f64::from(step) * 0.618_033_988_7).fract();
                let rounded = (value * 1e4).round() / 1e4 + 0.0;
                assert_eq!(number(value), rounded.to_string());
            }
        }
        assert_eq!([0.0, -0.00004, 10.5, -3.0].map(number), ["0", "0", "10.5", "-3"]);
    }

    #[test]
    fn a_path_is_written_as_the_standard_says() {
        let mut path = BezPath::new();
        path.move_to((1.0, -0.00004));
        path.line_to((2.5, 0.1));
        path.curve_to((0.0, 1.0), (2.0, 3.0), (4.0, -5.25));
        path.close_path();
        assert_eq!(data(&path, Affine::IDENTITY), "M1 0L2.5 0.1C0 1 2 3 4 -5.25Z");
    }
}
