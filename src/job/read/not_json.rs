//! What stands where a text stops being JSON, and what is usually meant by it.

use jsonc_parser::errors::ParseErrorKind;

use crate::problem::{Problem, quoted};

/// More of a line than this is not shown.
const SHOWN: usize = 30;

/// The problem of a text that is no JSON from the byte `at` on, and the byte at which the wrong thing stands.
pub(super) fn not_json(text: &str, at: usize, kind: &ParseErrorKind) -> (usize, Problem) {
    let at = (0..=at.min(text.len()))
        .rev()
        .find(|at| text.is_char_boundary(*at))
        .unwrap_or(0);
    let (before, rest) = text.split_at(at);
    let standing = rest.trim_start();
    // With the number that goes on into it: 34-1/2.
    let number = text[..text.len() - standing.len()].trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
    let from = &text[number.len()..];
    let line = from.lines().next().unwrap_or_default();
    let shown: String = line.chars().take(SHOWN).collect();
    let stands = if is_left_open(kind) {
        "this is not closed where the file ends".to_owned()
    } else if shown.is_empty() {
        "the file ends here".to_owned()
    } else {
        format!("here stands {}", quoted(shown.trim_end()))
    };
    let problem = Problem::new("this is not JSON")
        .figures(format!("{stands} ({})", kind.to_string().to_lowercase()))
        .help(usually_meant(before, standing, kind));
    (number.len(), problem)
}

fn is_left_open(kind: &ParseErrorKind) -> bool {
    matches!(
        kind,
        ParseErrorKind::UnterminatedArray | ParseErrorKind::UnterminatedObject
    )
}

/// What people mean who type this.
fn usually_meant(before: &str, rest: &str, kind: &ParseErrorKind) -> &'static str {
    let next = rest.chars().next();
    let last = before.trim_end().chars().next_back();
    if rest.is_empty() || is_left_open(kind) {
        return "a bracket } or ], or a quote \", that was opened is not closed; `girthline new` gives a job to start from";
    }
    if line_of(before, rest).contains(['“', '”', '„', '‘', '’']) {
        return "use plain quotes, \" and \", not curly ones: an editor for plain text doesn't change them";
    }
    if next == Some('\'') || matches!(kind, ParseErrorKind::SingleQuotedStringsNotAllowed) {
        return "put names and texts in double quotes: \"riser\"";
    }
    if last.is_some_and(|last| last.is_ascii_digit()) && is_in_a_value(before) && !matches!(next, Some('}' | ']')) {
        return behind_a_number(rest, next);
    }
    match kind {
        ParseErrorKind::ExpectedStringObjectProperty
        | ParseErrorKind::UnexpectedWord
        | ParseErrorKind::UnexpectedTokenInObject
            if next.is_some_and(char::is_alphabetic) =>
        {
            "put names and texts in double quotes: \"riser\""
        }
        _ if last == Some(',') && next.is_some_and(|next| next.is_ascii_digit()) => {
            "write a decimal point, not a comma: 48.3"
        }
        ParseErrorKind::ExpectedColonAfterObjectKey => "a colon belongs between a key and its value: \"along\": 300",
        ParseErrorKind::ExpectedComma => MISSING_COMMA,
        ParseErrorKind::BareDecimalPointNumbersNotAllowed => "write a 0 before the point, and a digit behind it: 0.5",
        ParseErrorKind::UnaryPlusNumbersNotAllowed => "leave the + out",
        ParseErrorKind::MultipleRootJsonValues => {
            "the job is over with its last }: what stands behind it belongs inside"
        }
        ParseErrorKind::UnexpectedCloseBrace | ParseErrorKind::UnexpectedCloseBracket => {
            "a bracket is closed that was not opened, or one of the other kind was"
        }
        _ if next.is_some_and(|next| next == '.' || next == '/' || next.is_alphabetic()) => {
            "texts, and lengths with a fraction or a unit, stand in quotes: \"set-in\", \"1/2in\"; a number begins with a digit: 0.5"
        }
        _ => "look here and just before this place for a quote, a comma or a bracket too many or too few",
    }
}

/// What is meant where a number is not the whole of a value.
fn behind_a_number(rest: &str, next: Option<char>) -> &'static str {
    let token = rest.split([',', ']', '}', ' ', '\n']).next().unwrap_or_default();
    if next.is_some_and(|next| "-/'\"%°".contains(next) || next.is_alphabetic()) {
        "a length with a fraction or a unit stands in quotes: \"34-1/2\", \"48.3mm\"; write inches as \"34-1/2in\", without the sign"
    } else if token.contains('/') && token.ends_with(|last: char| last.is_alphabetic() || "'\"″′".contains(last)) {
        "a length with a fraction and a unit stands in quotes: \"34 1/2in\""
    } else if token.contains('/') {
        "a length with a fraction stands in quotes: \"34 1/2\""
    } else {
        MISSING_COMMA
    }
}

const MISSING_COMMA: &str = "a comma is missing before this";

/// The line in which the text stops being JSON.
fn line_of<'t>(before: &'t str, rest: &'t str) -> String {
    let start = before.lines().next_back().filter(|_| !before.ends_with('\n'));
    format!(
        "{}{}",
        start.unwrap_or_default(),
        rest.lines().next().unwrap_or_default()
    )
}

/// Whether what comes before is a value that has begun: a number, not the end of a text.
fn is_in_a_value(before: &str) -> bool {
    let number = before
        .trim_end()
        .trim_end_matches(|c: char| c.is_ascii_digit() || "+-.eE".contains(c));
    number.trim_end().ends_with([':', ',', '['])
}
