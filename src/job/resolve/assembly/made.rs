//! What of a tube's end is there already.

use crate::job::raw;
use crate::job::{Ending, MadeAlready};
use crate::problem::Problem;

use super::Reader;

/// What the word `made` says of an end; nothing where it isn't there, `None` where it was refused.
pub(super) fn made_already(
    reader: &mut Reader,
    (raw, point): (&raw::End, &raw::Point),
    ending: &Ending,
) -> Option<MadeAlready> {
    let Some(word) = &raw.made else {
        return Some(MadeAlready::default());
    };
    let choices = [("end", [true, false]), ("hole", [false, true]), ("both", [true, true])];
    let [end, hole] = reader.choice(word, &choices)?;
    if hole && !matches!(ending, Ending::Lands { .. }) {
        let problem = Problem::new("this end lands on no body, so that it has no hole");
        return reader.refused(
            word,
            problem.help("write \"made\": \"end\", or give the end's point \"on\" a body"),
        );
    }
    if hole && point.drain.is_some() {
        let problem = Problem::new("a hole that is cut already can't be moved to where it drains");
        return reader.refused(
            word,
            problem.help("give its place as measured with \"along\", in place of \"drain\""),
        );
    }
    Some(MadeAlready { end, hole })
}
