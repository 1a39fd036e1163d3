//! A trial fit of a job's end: which one, and the gaps that were read.

use std::sync::Arc;

use crate::job::raw::{self, Word};
use crate::job::{Assembly, EndRequest, Ending, TubeInSpace, WhichEnd};
use crate::problem::{Problem, quoted};

use super::Reader;
use super::readings::{self, Read};

/// What an end is called, by 0 for the start and 1 for the end.
const SIDES: [(&str, usize); 2] = [("start", 0), ("end", 1)];

pub(super) fn resolve(reader: &mut Reader, raw: &raw::EndTrial, assembly: Option<Assembly>) -> Option<EndRequest> {
    // Names that a broken job lacks are not at fault.
    let assembly = assembly.filter(|_| reader.problems.is_empty());
    let tube = assembly
        .as_ref()
        .and_then(|assembly| find_tube(reader, &raw.tube, assembly));
    let side = reader.choice(&raw.end, &SIDES);
    let of = assembly
        .as_ref()
        .zip(tube)
        .map(|(assembly, tube)| &assembly.tubes[tube]);
    let radius_mm = assembly
        .as_ref()
        .zip(of)
        .map(|(assembly, tube)| assembly.stock[tube.stock].tube.radius());
    let read = readings::resolve(reader, &raw.read, radius_mm, WhichEnd::BOTH[side.unwrap_or(0)]);
    let (of, side) = (of?, side?);
    if let Some(problem) = no_gap(of, side) {
        return reader.refused(&raw.end, problem);
    }
    let Read {
        readings,
        read_within_mm,
        gap_limit_mm,
    } = read?;
    Some(EndRequest {
        tube: tube?,
        assembly: Arc::new(assembly?),
        side,
        readings,
        read_within_mm,
        gap_limit_mm,
    })
}

/// By the name of a copy, or by that which all copies share: then the first of them.
fn find_tube(reader: &mut Reader, word: &Word, assembly: &Assembly) -> Option<usize> {
    let tubes = &assembly.tubes;
    let copies = tubes.iter().map(|tube| tube.name.as_str());
    let shared = tubes.iter().map(|tube| tube.shared_name.as_str());
    reader.only_names("tube", copies.chain(shared));
    let found = reader.find(word, "tube")?;
    Some(found % tubes.len())
}

/// Why no gap can be read at an end, where none can.
fn no_gap(tube: &TubeInSpace, side: usize) -> Option<Problem> {
    if tube.can_be_offered(side) {
        return None;
    }
    let what = match tube.ends()[side].ending {
        Ending::Lands { .. } => "a set-in end goes through its hole: it leaves no gap that could be read",
        Ending::Square | Ending::Miter(_) => "this end is cut square and lands on nothing: it leaves no gap",
    };
    let problem = Problem::new(what).figures(format!("the {} of {}", SIDES[side].0, quoted(&tube.name)));
    Some(if tube.can_be_offered(1 - side) {
        problem.help(format!("read the gaps of its {}", SIDES[1 - side].0))
    } else {
        problem.help("read the gaps of a tube that is set on something, or mitered")
    })
}
