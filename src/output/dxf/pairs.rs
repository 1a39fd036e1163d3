//! A DXF is a list of pairs: a code that says what the value is, and the value, each on a line of its own.

use std::fmt::Display;
use std::io::{self, Write};

use kurbo::Point;

/// Writes pairs to a file.
pub(super) struct Pairs<'a>(pub(super) &'a mut dyn Write);

impl Pairs<'_> {
    /// A word, a whole number or a handle.
    pub(super) fn put(&mut self, code: u16, value: impl Display) -> io::Result<()> {
        write!(self.0, "{code:>3}\r\n{value}\r\n")
    }

    /// A number, to a billionth of a millimetre.
    pub(super) fn number(&mut self, code: u16, value: f64) -> io::Result<()> {
        let rounded = (value * 1e9).round() / 1e9 + 0.0;
        let point = if rounded.fract() == 0.0 { ".0" } else { "" };
        self.put(code, format_args!("{rounded}{point}"))
    }

    /// A place: y's code is ten more than x's.
    pub(super) fn place(&mut self, code: u16, place: Point) -> io::Result<()> {
        self.number(code, place.x)?;
        self.number(code + 10, place.y)
    }

    /// A place at the height of the drawing.
    pub(super) fn place_in_space(&mut self, code: u16, place: Point) -> io::Result<()> {
        self.place(code, place)?;
        self.number(code + 20, 0.0)
    }

    /// Words as people read them.
    pub(super) fn words(&mut self, code: u16, words: &str) -> io::Result<()> {
        self.put(code, escaped(words))
    }

    /// What is the same in every file: a line for each thing, its pairs apart by ` | `, code and value by a space.
    pub(super) fn all(&mut self, fixed: &str) -> io::Result<()> {
        let pairs = fixed.lines().flat_map(|line| line.split(" | "));
        for (code, value) in pairs.filter_map(|pair| pair.trim().split_once(' ')) {
            write!(self.0, "{code:>3}\r\n{value}\r\n")?;
        }
        Ok(())
    }
}

/// Words with what would be read as more than letters: a file of 2000 is in one byte a letter, the others are `\U+` and their
/// code; `^` begins a control character, `%%` a sign.
fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '^' => out.push_str("^ "),
            '\\' => out.push_str("\\U+005C"),
            ' '..='~' => out.push(letter),
            _ => out.extend(
                letter
                    .encode_utf16(&mut [0; 2])
                    .iter()
                    .map(|unit| format!("\\U+{unit:04X}")),
            ),
        }
    }
    // `%%%` is the sign itself.
    out.replace("%%", "%%%%%%")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(write: impl Fn(&mut Pairs<'_>) -> io::Result<()>) -> String {
        let mut bytes = Vec::new();
        write(&mut Pairs(&mut bytes)).expect("memory");
        String::from_utf8(bytes).expect("ASCII")
    }

    #[test]
    fn numbers_have_a_point_and_never_a_sign_of_nothing() {
        let numbers = |value: f64| written(|pairs| pairs.number(40, value));
        for (value, text) in [
            (3.0, "3.0"),
            (-0.0, "0.0"),
            (-1e-12, "0.0"),
            (280_036.782_500_018_7, "280036.782500019"),
            (1e-9, "0.000000001"),
        ] {
            assert_eq!(numbers(value), format!(" 40\r\n{text}\r\n"));
        }
    }

    #[test]
    fn words_are_read_as_they_were_written() {
        for (words, text) in [
            ("Bank 3 / a+b", "Bank 3 / a+b"),
            ("Żółw", "\\U+017B\\U+00F3\\U+0142w"),
            ("a\\U+0041^J", "a\\U+005CU+0041^ J"),
            ("40%%d", "40%%%%%%d"),
        ] {
            assert_eq!(written(|pairs| pairs.words(1, words)), format!("  1\r\n{text}\r\n"));
        }
    }

    #[test]
    fn what_is_the_same_in_every_file_is_pairs_too() {
        let text = written(|pairs| pairs.all("\n  0 TABLE | 2 LAYER\n  70 1\n"));
        assert_eq!(text, "  0\r\nTABLE\r\n  2\r\nLAYER\r\n 70\r\n1\r\n");
    }
}
