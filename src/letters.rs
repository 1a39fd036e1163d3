//! The letters of every sheet, regular and bold: which there are and how wide. They go into each PDF, so that it looks alike
//! everywhere (shared/fonts says where they are from).

use std::borrow::Cow;
use std::sync::LazyLock;

use unicode_normalization::{UnicodeNormalization, is_nfc};

use crate::problem::{Problem, is_unseen, quoted};

/// One of the two faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// For most words.
    Regular,
    /// For headings and names.
    Bold,
}

/// A letter of a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glyph {
    /// Its number in the face's file.
    pub id: u16,
    /// How far the next letter is, in shares of the letters' size.
    pub advance: f32,
}

impl Face {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Regular, Self::Bold];

    /// The face of plain or of bold words.
    pub fn of(is_bold: bool) -> Self {
        if is_bold { Self::Bold } else { Self::Regular }
    }

    /// Its name within a PDF.
    pub fn name(self) -> &'static str {
        match self {
            Self::Regular => "Regular",
            Self::Bold => "Bold",
        }
    }

    /// A TrueType file.
    pub fn file(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../shared/fonts/girthline-sans-regular.ttf"),
            Self::Bold => include_bytes!("../shared/fonts/girthline-sans-bold.ttf"),
        }
    }

    /// The letter, where the face has it.
    pub fn glyph(self, letter: char) -> Option<Glyph> {
        GLYPHS[self as usize].get(letter as usize).copied().flatten()
    }
}

/// By code point; they are asked for letter by letter.
static GLYPHS: LazyLock<[Vec<Option<Glyph>>; 2]> = LazyLock::new(|| Face::ALL.map(glyphs));

fn glyphs(face: Face) -> Vec<Option<Glyph>> {
    let mut glyphs = Vec::new();
    // A file that can't be read has no letters; the tests know that it has.
    let Ok(file) = ttf_parser::Face::parse(face.file(), 0) else {
        return glyphs;
    };
    let size = f32::from(file.units_per_em());
    let tables = file.tables().cmap.into_iter().flat_map(|table| table.subtables);
    for table in tables.filter(ttf_parser::cmap::Subtable::is_unicode) {
        table.codepoints(|code| {
            let place = code as usize;
            if glyphs.len() <= place {
                glyphs.resize(place + 1, None);
            }
            glyphs[place] = table.glyph_index(code).map(|id| Glyph {
                id: id.0,
                advance: f32::from(file.glyph_hor_advance(id).unwrap_or(0)) / size,
            });
        });
    }
    glyphs
}

/// Nothing, where the sheets can print all of `words`.
///
/// # Errors
/// The first character that they can't, and where it stands.
pub fn printable(words: &str) -> Result<(), Problem> {
    let lacks = |letter: char| Face::ALL.iter().any(|face| face.glyph(letter).is_none());
    let Some((before, strange)) = words.chars().enumerate().find(|(_, letter)| lacks(*letter)) else {
        return Ok(());
    };
    let code = format!("U+{:04X}", u32::from(strange));
    let shown = if is_unseen(strange) {
        format!("the control character {code}")
    } else {
        format!("{strange:?} ({code})")
    };
    Err(Problem::new(format!("the sheets can't print {shown}"))
        .figures(format!("character {} of {}", before + 1, quoted(words)))
        .help("use Latin, Greek or Cyrillic letters, digits and the usual marks"))
}

/// `words` in one paragraph, a question mark for each letter that the sheets can't print. Of more than `most` letters as many
/// whole words as these hold, and `rest`, which says where the others are.
pub fn as_printable(words: &str, most: usize, rest: &str) -> String {
    let lacks = |letter: char| Face::ALL.iter().any(|face| face.glyph(letter).is_none());
    let words = composed(words);
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    let shown = |words: &str| -> String {
        words
            .chars()
            .map(|letter| if lacks(letter) { '?' } else { letter })
            .collect()
    };
    let Some((end, _)) = words.char_indices().nth(most) else {
        return shown(&words);
    };
    let (room, after) = words.split_at(end);
    let is_whole = after.starts_with(' ');
    // A first word that is longer than all that is printed is cut.
    let whole = room
        .rsplit_once(' ')
        .filter(|_| !is_whole)
        .map_or(room, |(whole, _)| whole);
    format!("{} {rest}", shown(whole))
}

/// `words` with each accent and its letter as one character (Unicode Standard Annex 15, form C).
pub fn composed(words: &str) -> Cow<'_, str> {
    if is_nfc(words) {
        Cow::Borrowed(words)
    } else {
        Cow::Owned(words.nfc().collect())
    }
}

/// `words` for a terminal: what would move or hide other letters is told by its number; lines end as they do.
pub fn seen(words: &str) -> String {
    let mut seen = String::with_capacity(words.len());
    for letter in words.chars() {
        if is_unseen(letter) && letter != '\n' {
            seen.extend(letter.escape_unicode());
        } else {
            seen.push(letter);
        }
    }
    seen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_of_many_languages_can_be_printed() {
        for words in [
            "Größe 48.3 × 2 mm, 45°, 1½″",
            "Đường ống thoát nước, khoảng cách tới mép",
            "σωλήνας Ω, αποστράγγιση",
            "труба стояка, ґрунт, Қазақ",
            "ścięcie żółć, çeşit ığ, ūdens, tvåfärgad",
        ] {
            assert_eq!(printable(words), Ok(()));
        }
    }

    #[test]
    fn accents_typed_by_themselves_join_their_letters() {
        assert_eq!(composed("Gro\u{308}ße u\u{31b}\u{301}"), "Größe ứ");
    }

    #[test]
    fn long_words_end_at_a_word_and_say_where_the_rest_is() {
        let shown = |words: &str, most: usize| as_printable(words, most, "(more)");
        assert_eq!(shown("two  words 管", 11), "two words ?");
        assert_eq!(shown("two words more", 9), "two words (more)");
        for most in 3..9 {
            assert_eq!(shown("two words more", most), "two (more)");
        }
        assert_eq!(shown("ąąąą ąą", 3), "ąąą (more)");
        assert_eq!(shown("", 3), "");
    }

    #[test]
    fn what_cannot_be_printed_is_told_with_its_place() {
        let told = |words: &str| printable(words).expect_err("a problem").to_string();
        assert!(told("riser 管").contains("can't print '管' (U+7BA1)\n   |  character 7 of"));
        assert!(told("a\u{1b}[31mb").contains("the control character U+001B"));
        assert!(!told("a\u{1b}[31mb").contains('\u{1b}'));
        // A line of its own would look like another message.
        assert!(told("a\nerror: b").contains("of \"a\\u{a}error: b\""));
        for unseen in [
            '\u{0}', '\t', '\n', '\u{7f}', '\u{85}', '\u{ad}', '\u{202e}', '\u{fffe}', '\u{301}',
        ] {
            assert!(printable(&format!("a{unseen}")).is_err(), "{unseen:?}");
        }
    }

    /// Helvetica's, in thousandths (Adobe's metrics of the standard 14 fonts, from memory): drawings for other programs name it
    /// beside ours.
    #[test]
    fn letters_are_as_wide_as_those_of_helvetica() {
        let widths = |face: Face, words: &str| -> Vec<i32> {
            let wide = |letter| {
                face.glyph(letter)
                    .map_or(0, |glyph| (1000.0 * glyph.advance).round() as i32)
            };
            words.chars().map(wide).collect()
        };
        assert_eq!(
            widths(Face::Regular, " 0AMailt°"),
            [278, 556, 667, 833, 556, 222, 222, 278, 400]
        );
        assert_eq!(
            widths(Face::Bold, " 0AMailt°"),
            [278, 556, 722, 833, 556, 278, 278, 333, 400]
        );
    }
}
