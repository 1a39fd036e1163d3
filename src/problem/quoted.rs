//! What was typed, as a message shows it.

use std::borrow::Cow;

/// More characters of what was typed are not quoted.
const QUOTED: usize = 60;

/// What was typed, in quotes: to 60 characters, and without any that would move the cursor of a terminal.
pub fn quoted(typed: &str) -> String {
    let mut quoted = String::from("\"");
    for c in typed.chars().take(QUOTED) {
        if is_unseen(c) {
            quoted.extend(c.escape_unicode());
        } else {
            quoted.push(c);
        }
    }
    if typed.chars().nth(QUOTED).is_some() {
        quoted.push_str("...");
    }
    quoted.push('"');
    quoted
}

/// What was typed, to as many characters, without quotes.
pub fn shortened(typed: &str) -> Cow<'_, str> {
    match typed.char_indices().nth(QUOTED) {
        Some((end, _)) => Cow::Owned(format!("{}...", &typed[..end])),
        None => Cow::Borrowed(typed),
    }
}

/// What moves or hides other letters instead of being one: control characters, line separators, and the marks that turn the
/// direction of writing.
pub(crate) fn is_unseen(letter: char) -> bool {
    let turns =
        matches!(letter, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}');
    letter.is_control() || turns
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_is_quoted_to_60_characters_and_moves_no_cursor() {
        assert_eq!(quoted("48.3"), "\"48.3\"");
        assert_eq!(quoted("é".repeat(60).as_str()), format!("\"{}\"", "é".repeat(60)));
        assert_eq!(quoted(&"x".repeat(61)), format!("\"{}...\"", "x".repeat(60)));
        assert_eq!(quoted("a\u{1b}[2Jb\n\u{202e}"), "\"a\\u{1b}[2Jb\\u{a}\\u{202e}\"");
    }
}
