//! Holes that are in a body as it was found: their words.

use crate::body::Mark;
use crate::job::limits::MOST_ON_A_SKIN;
use crate::job::raw::{self, Word};
use crate::job::{BodyInSpace, FoundHole};
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::points::{ACROSS_A_PLATE, along_help};
use super::{Reader, mark, round_of};

/// The holes of a body; `None` where a word was refused.
pub(super) fn resolve(reader: &mut Reader, raw: &[raw::FoundHole], body: &BodyInSpace) -> Option<Vec<FoundHole>> {
    if let Some(first) = raw.first().filter(|_| body.flat.is_none()) {
        let problem = Problem::new("a hole as found is told of bodies that can be laid flat: not of a ball or a head");
        return reader.refused(
            &first.here,
            problem.help("leave \"holes\" out, and measure what is left beside it"),
        );
    }
    if let Some(one_more) = raw.get(MOST_ON_A_SKIN) {
        let problem = Problem::new("there are too many holes as found in this body");
        let problem = problem.figures(format!("{}, at most {MOST_ON_A_SKIN}", raw.len()));
        return reader.refused(&one_more.here, problem.help("give those that new holes come near"));
    }
    let all: Vec<Option<FoundHole>> = raw.iter().map(|raw| one(reader, raw, body)).collect();
    all.into_iter().collect()
}

fn one(reader: &mut Reader, raw: &raw::FoundHole, body: &BodyInSpace) -> Option<FoundHole> {
    let (along, round, across) = (raw.along.as_ref(), raw.round.as_ref(), raw.across.as_ref());
    let along_mm = along.and_then(|word| reader.length(word));
    let at = round.map_or(Some(Mark::Arc(0.0)), |word| mark(reader, word));
    let across_mm = across.and_then(|word| reader.length(word));
    let (along_mm, at, across_mm) = (along_mm?, at?, across_mm?);
    let round_word = round.unwrap_or(&raw.here);
    let round = round_of(reader, round_word, at, body, along_mm)?;
    let reach_round = body.outside.edges_mm().map(|[wide, _]| [-wide / 2.0, wide / 2.0]);
    on_the_body(reader, along?, body, (along_mm, body.reach_along()), along_help(body))?;
    on_the_body(reader, round_word, body, (round, reach_round), ACROSS_A_PLATE)?;
    if across_mm <= 0.0 || !round.is_finite() {
        let problem = Problem::new("a hole is wider than nothing").figures(Phrase::default().length(across_mm));
        return reader.refused(across?, problem.help("give how wide it is, measured straight across"));
    }
    Some(FoundHole {
        name: raw.name.as_ref()?.text.clone(),
        along_mm,
        round,
        across_mm,
        place: across?.place.clone(),
    })
}

/// Whether the middle of a hole is on the body one way: where it is, and from where to where the body reaches.
fn on_the_body(
    reader: &mut Reader,
    word: &Word,
    body: &BodyInSpace,
    (at_mm, reach): (f64, Option<[f64; 2]>),
    help: &str,
) -> Option<()> {
    let Some([low, high]) = reach.filter(|[low, high]| at_mm < *low || at_mm > *high) else {
        return Some(());
    };
    let figures = Phrase::default().length(at_mm).words(", the body reaches from ");
    let figures = figures.length(low).words(" to ").length(high);
    let problem = Problem::new(format!("the middle of this hole is not on \"{}\"", body.name)).figures(figures);
    reader.doubt_length(word, [low, high]);
    reader.refused(word, problem.help(help))
}
