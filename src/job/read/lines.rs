//! Where a byte of a text stands: its line and column, told quickly even where a job of thousands of tubes is one line.

/// Bytes between places at which characters are counted once and for all.
const STRIDE: usize = 1024;

/// The lines of a text.
pub(super) struct Lines<'a> {
    text: &'a str,
    /// The byte at which each line starts.
    starts: Vec<usize>,
    /// How many characters start before each multiple of `STRIDE`.
    counted: Vec<usize>,
}

impl<'a> Lines<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        let starts = text.match_indices('\n').map(|(at, _)| at + 1);
        let strides = text.as_bytes().chunks(STRIDE).scan(0, |count, stride| {
            *count += starting_in(stride);
            Some(*count)
        });
        Self {
            text,
            starts: std::iter::once(0).chain(starts).collect(),
            counted: std::iter::once(0).chain(strides).collect(),
        }
    }

    /// Line and column of the character that starts at a byte of the text, both from 1; of its end from there on.
    pub(super) fn place(&self, at: usize) -> (usize, usize) {
        let at = at.min(self.text.len());
        let line = self.starts.partition_point(|start| *start <= at);
        let column = self.before(at) - self.before(self.starts[line - 1]) + 1;
        (line, column)
    }

    /// How many characters start before a byte.
    fn before(&self, at: usize) -> usize {
        let stride = at / STRIDE;
        self.counted[stride] + starting_in(&self.text.as_bytes()[stride * STRIDE..at])
    }
}

/// How many characters start in some bytes of UTF-8.
fn starting_in(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0xc0 != 0x80).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_are_those_that_one_counts() {
        let texts = [String::new(), "é°\n\n1½ in\r\n".repeat(700), "Größe 90° ".repeat(900)];
        for text in texts {
            let lines = Lines::new(&text);
            let (mut line, mut column) = (1, 1);
            for (at, character) in text.char_indices() {
                assert_eq!(lines.place(at), (line, column), "byte {at}");
                (line, column) = if character == '\n' {
                    (line + 1, 1)
                } else {
                    (line, column + 1)
                };
            }
            assert_eq!(lines.place(text.len()), (line, column));
            assert_eq!(lines.place(text.len() + 1), (line, column));
        }
    }
}
