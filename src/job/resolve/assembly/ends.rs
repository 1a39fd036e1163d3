//! How tubes end: on bodies, square, mitered to each other.

use glam::DVec3;

use crate::job::raw::{self, Word};
use crate::job::{Assembly, Ending, Join, MOST_CLEARANCE_MM};
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::also::also;
use super::{Reader, find_body, given};

/// What an end is made to.
#[derive(Clone, Copy, PartialEq)]
enum How {
    Square,
    Miter,
    Body(Join),
}

const HOW: [(&str, How); 4] = [
    ("set-on", How::Body(Join::SetOn)),
    ("set-in", How::Body(Join::SetIn)),
    ("square", How::Square),
    ("miter", How::Miter),
];

/// How an end is made: on a body it is set on unless it says otherwise, elsewhere it is square.
pub(super) fn ending(
    reader: &mut Reader,
    tube: &Word,
    (raw, point): (&raw::End, &raw::Point),
    assembly: &Assembly,
) -> Option<Ending> {
    let is_on_body = point.on.is_some() && point.out.is_none();
    let usual = if is_on_body {
        How::Body(Join::SetOn)
    } else {
        How::Square
    };
    let how = given(&raw.join, usual, |word| reader.choice(word, &HOW))?;
    let touch = reader.touch(raw.touch.as_ref())?;
    if !matches!(how, How::Body(_)) {
        refuse_of_landings(reader, raw)?;
    }
    if how == How::Miter {
        return mitered(reader, raw, point, is_on_body);
    }
    let How::Body(join) = how else {
        return Some(Ending::Square);
    };
    let Some(on) = point.on.as_ref().filter(|_| is_on_body) else {
        let at = raw.join.as_ref().unwrap_or(&point.here);
        return reader.refused(
            at,
            Problem::new("this end lands on nothing").help("give its point \"on\" a body, or make the end square"),
        );
    };
    let body = find_body(reader, on, assembly)?;
    let clearance_mm = clearance(reader, raw, join)?;
    if join == Join::SetIn && assembly.bodies[body].inner.is_none() {
        let at = raw.join.as_ref().unwrap_or(&point.here);
        let name = &assembly.bodies[body].name;
        let problem = Problem::new(format!("a set-in end needs the wall of \"{name}\""));
        let help = reader.result_units().either(
            "add it to the body's size, e.g. \"300mm x 2mm\"",
            "add it to the body's size, e.g. \"12in x 1/16in\"",
        );
        return reader.refused(at, problem.help(help));
    }
    let usual_gap = if join == Join::SetOn { assembly.root_gap_mm } else { 0.0 };
    let root_gap_mm = reader.root_gap_of(raw.root_gap.as_ref(), Some(join))?;
    Some(Ending::Lands {
        body,
        join,
        touch,
        clearance_mm,
        root_gap_mm: root_gap_mm.unwrap_or(usual_gap),
        also: also(reader, raw, tube, (body, join), assembly)?,
    })
}

/// What is added to the radius of a set-in hole, in millimetres.
fn clearance(reader: &mut Reader, raw: &raw::End, join: Join) -> Option<f64> {
    let Some(word) = &raw.clearance else { return Some(0.0) };
    let clearance_mm = reader.length(word)?;
    let [least, most] = reader.result_units().round_range([0.0, MOST_CLEARANCE_MM]);
    if join == Join::SetOn || !(least..=most).contains(&clearance_mm) {
        let range = reader.result_units().show_range(least, most);
        return reader.refused(
            word,
            Problem::new(format!("a clearance of {range} belongs to a set-in end"))
                .figures(
                    Phrase::default()
                        .length(clearance_mm)
                        .words(format!(", {}", join.word())),
                )
                .help(format!(
                    "give {range} with \"join\": \"set-in\", or leave \"clearance\" out"
                )),
        );
    }
    Some(clearance_mm)
}

/// Some keys are of ends that land on bodies alone.
fn refuse_of_landings(reader: &mut Reader, raw: &raw::End) -> Option<()> {
    let keys = [
        ("touch", &raw.touch),
        ("clearance", &raw.clearance),
        ("root_gap", &raw.root_gap),
    ];
    let keys = keys.map(|(key, word)| (key, word.as_ref()));
    let also = raw.also.first().map(|word| ("also", Some(word)));
    let mut is_sound = true;
    for (key, word) in keys.into_iter().chain(also) {
        let Some(word) = word else { continue };
        let problem = Problem::new(format!("\"{key}\" belongs to an end that lands on a body"));
        reader.refuse(
            word,
            problem.help("leave it out, or give the end's point \"on\" a body"),
        );
        is_sound = false;
    }
    is_sound.then_some(())
}

/// The direction of the other tube is found when all tubes are known.
fn mitered(reader: &mut Reader, raw: &raw::End, point: &raw::Point, is_on_body: bool) -> Option<Ending> {
    let at = raw.join.as_ref().unwrap_or(&point.here);
    if is_on_body {
        return reader.refused(
            at,
            Problem::new("an end on a body can't be mitered to a tube")
                .help("give its point \"at\" [x, y, z], or as a \"step\""),
        );
    }
    if raw.to.is_none() {
        return reader.refused(
            at,
            Problem::new("a mitered end meets another tube").help("name it: \"to\": \"its name\""),
        );
    }
    Some(Ending::Miter(DVec3::ZERO))
}
