//! A job file's bytes to its text.

use crate::problem::{Place, Problem};

/// The text of a job file called `name`: UTF-8, with a byte order mark or without.
///
/// # Errors
/// UTF-16, and bytes that are no text, with the place of the first.
pub fn text_of(name: &str, bytes: Vec<u8>) -> Result<String, Problem> {
    if is_utf_16(&bytes) {
        return Err(
            Problem::new("the job file can't be read: it is UTF-16, and job files are UTF-8")
                .at(Place::File(name.to_owned()))
                .figures(format!(
                    "it begins with the bytes {}",
                    hex(&bytes[..bytes.len().min(4)])
                ))
                .help("save it again as UTF-8: an editor's \"Save as\" has a field for the encoding"),
        );
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = 1 + error.as_bytes()[..at].iter().filter(|byte| **byte == b'\n').count();
        Problem::new("the job file can't be read: it is not text in UTF-8")
            .at(Place::File(name.to_owned()))
            .figures(format!(
                "line {line} holds the byte {}",
                hex(&error.as_bytes()[at..=at])
            ))
            .help("save it again as UTF-8: an editor's \"Save as\" has a field for the encoding")
    })
}

/// Two bytes a letter: by its byte order mark, or as every second byte of a job's first bracket and what follows is 0.
fn is_utf_16(bytes: &[u8]) -> bool {
    matches!(
        bytes,
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] | [b'{', 0, ..] | [0, b'{', ..]
    )
}

fn hex(bytes: &[u8]) -> String {
    let bytes: Vec<String> = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
    bytes.join(" ")
}
