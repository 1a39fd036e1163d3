//! What is said of a trial fit: what is off, what closes it, what to grind.

mod beyond;
mod called;
mod other_end;
mod places;
mod tables;

use beyond::shows;
pub(crate) use beyond::{beyond, goes_in};
use called::{Called, called};
use other_end::other_end_words;
pub(crate) use places::place_words;
use places::{beside_front, its_side};
pub(crate) use tables::{ground_table, readings_table};

use super::{Fact, Said, lines};
use crate::job::{Thing, WhichEnd};
use crate::measure::{Units, show_angle, show_angle_within};
use crate::plan::{Deciding, Guess, Plan, PutRight, Stray, TrialPlan};

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, of: &TrialPlan) -> Said {
    let units = plan.sheet.units;
    let called = called(of, units);
    let mut notes = plan.warnings.clone();
    notes.extend(at_a_far_end(of));
    notes.push(verdict(of, &called, units));
    notes.extend(deciding(of, &called, units));
    notes.extend(without_grinding(of, units));
    notes.push(to_grind(of, units));
    notes.extend(of_the_other_end(of));
    let facts = facts(of, units);
    let mut summary = vec![called.headline];
    summary.extend(lines(&facts));
    Said {
        title: called.title,
        clashes: Vec::new(),
        questions: plan.questions.clone(),
        notes,
        facts,
        summary,
        ends: Vec::new(),
    }
}

/// Where the lines on the tube are, seen from its far end.
fn at_a_far_end(of: &TrialPlan) -> Option<String> {
    (of.end.which == WhichEnd::Far).then(|| {
        "with this cut end up the tube's LEFT line is to the right of its FRONT, as on its wrap; degrees are counted to the right"
            .to_owned()
    })
}

/// What is known of the other end, and what isn't.
fn of_the_other_end(of: &TrialPlan) -> Option<String> {
    let mut others = of.ways.iter().map(|way| way.other_end).chain([of.other_end]).flatten();
    others.any(|other| other.stands.is_some()).then(|| {
        "what is said of the other end takes all that no gap tells for as the job has it; read the gaps there, too"
            .to_owned()
    })
}

/// A size in its thing's own unit.
fn size(thing: Thing, size: f64, units: Units) -> String {
    if thing.is_in_degrees() {
        show_angle(size)
    } else {
        units.show(size)
    }
}

/// Within how much it is known.
fn within(thing: Thing, within: f64, units: Units) -> String {
    if thing.is_in_degrees() {
        show_angle_within(within)
    } else {
        units.show_within(within)
    }
}

/// `58.7° (within 0.4°) instead of 60°`.
fn is_instead(of: &TrialPlan, guess: &Guess, index: usize, units: Units) -> String {
    let thing = guess.things[index];
    let [asked, is] = of.asked_and_is(guess, thing);
    format!(
        "{} (within {}) instead of {}",
        size(thing, is, units),
        within(thing, guess.within[index], units),
        size(thing, asked, units)
    )
}

/// One thing of a guess, as a statement.
fn is_off(of: &TrialPlan, called: &Called, guess: &Guess, index: usize, units: Units) -> String {
    let thing = guess.things[index];
    let by = guess.misfit.of(thing);
    let is = is_instead(of, guess, index, units);
    let within = within(thing, guess.within[index], units);
    match thing {
        Thing::Angle => {
            format!("it leans {} {}: the angle is {is}", show_angle(by.abs()), leans(of, by))
        }
        Thing::Turned => {
            let turned = show_angle(by.abs());
            let way = format!("its FRONT towards where its {} belongs", beside_front(of, by));
            match of.asked_and_is(guess, thing) {
                // The side says which way; a sign would turn it round again.
                [0.0, _] => format!("it is turned {turned} (within {within}) about its own axis, {way}"),
                _ => format!("it is turned {turned} about its own axis, {way}: by {is}"),
            }
        }
        Thing::Aside if called.has_axis => format!(
            "it stands {} aside {}, or leans {}: the offset is {is}",
            units.show(by.abs()),
            aside(of, by),
            aside(of, -by)
        ),
        Thing::Aside => format!(
            "it stands {} (within {within}) aside {}, or leans {}",
            units.show(by.abs()),
            aside(of, by),
            aside(of, -by)
        ),
        Thing::Radius => {
            let than = if by < 0.0 { "smaller" } else { "larger" };
            format!("{} is {than} than was said: {} is {is}", called.body, called.radius)
        }
        Thing::Sideways => format!("it leans {} (within {within}) {}", show_angle(by.abs()), aside(of, by)),
    }
}

/// Which way a tube leans whose angle is so much larger: towards the acute side where it is less.
fn leans(of: &TrialPlan, by: f64) -> String {
    format!("towards {}", its_side(of, if by < 0.0 { 0.0 } else { 180.0 }))
}

/// Square to that, to the right of the acute side or below 0 to its left.
fn aside(of: &TrialPlan, by: f64) -> String {
    format!("towards {}", its_side(of, if by < 0.0 { 270.0 } else { 90.0 }))
}

/// A guess as a statement.
fn guess_words(of: &TrialPlan, called: &Called, guess: &Guess, units: Units) -> String {
    let all: Vec<String> = (0..guess.things.len())
        .map(|index| is_off(of, called, guess, index, units))
        .collect();
    all.join("; and ")
}

/// The names of the things of a guess.
fn names(called: &Called, guess: &Guess) -> String {
    let name = |thing: &Thing| match thing {
        Thing::Angle => "it leans",
        Thing::Turned => "it is turned",
        Thing::Aside => "it stands aside",
        Thing::Radius => called.body_size.as_str(),
        Thing::Sideways => "it leans sideways",
    };
    let all: Vec<&str> = guess.things.iter().map(name).collect();
    all.join(" and ")
}

fn verdict(of: &TrialPlan, called: &Called, units: Units) -> String {
    if let Some(stray) = &of.stray {
        return strays(of, called, stray, units);
    }
    if of.guess.things.is_empty() {
        let nothing = format!(
            "nothing is off that gaps read within {} can tell",
            units.show_within(of.asked.read_within_mm)
        );
        return match shows(of) {
            Some(light) => format!("{nothing}: {light}"),
            None => nothing,
        };
    }
    let first = guess_words(of, called, &of.guess, units);
    let Some((last, others)) = of.others.split_last() else {
        return first;
    };
    let others = others
        .iter()
        .chain([last])
        .map(|guess| format!("or {}", guess_words(of, called, guess, units)));
    let others: Vec<String> = others.collect();
    format!(
        "the readings can't tell which of {}: {first}; {}",
        of.others.len() + 1,
        others.join("; ")
    )
}

fn strays(of: &TrialPlan, called: &Called, stray: &Stray, units: Units) -> String {
    let place = |reading: &usize| place_words(of.asked.readings[*reading].azimuth_deg, of.end.which);
    let at = place(&stray.reading);
    let by = units.show(stray.by_mm.abs());
    let how = if stray.by_mm < 0.0 {
        format!("metal stands out there by {by}")
    } else {
        format!("{by} too much is off there")
    };
    if !stray.is_alone {
        return format!(
            "no lean, turn, offset or size explains the readings: the cut itself strays, most of all at {at}, where the gap is {by} {} than the nearest guess has it",
            if stray.by_mm < 0.0 { "less" } else { "more" }
        );
    }
    let rest = if of.guess.things.is_empty() {
        "otherwise nothing is off".to_owned()
    } else {
        format!("otherwise {}", guess_words(of, called, &of.guess, units))
    };
    let or: String = stray
        .or_readings
        .iter()
        .map(|other| format!(", or as well at {}", place(other)))
        .collect();
    format!(
        "no lean, turn, offset or size explains the readings: the cut itself strays at {at} ({how}){or}, or the gap was misread there; {rest}"
    )
}

fn deciding(of: &TrialPlan, called: &Called, units: Units) -> Option<String> {
    let Deciding {
        azimuth_deg,
        gaps_mm,
        is_told,
    } = of.deciding.as_ref()?;
    let guesses = std::iter::once(&of.guess).chain(&of.others);
    let each: Vec<String> = guesses
        .zip(gaps_mm)
        .map(|(guess, gap)| format!("{} if {}", units.show(*gap), names(called, guess)))
        .collect();
    let at = place_words(*azimuth_deg, of.end.which);
    Some(if *is_told {
        format!("to decide, read the gap at {at}: {}", each.join(", "))
    } else {
        format!(
            "no single reading as good as these decides; they differ most at {at}: {}",
            each.join(", ")
        )
    })
}

/// What is changed, as something to do.
fn change(of: &TrialPlan, thing: Thing, by: f64, units: Units) -> String {
    match thing {
        Thing::Angle => format!("tilt it {} {}", show_angle(by.abs()), leans(of, by)),
        Thing::Sideways => format!("tilt it {} {}", show_angle(by.abs()), aside(of, by)),
        Thing::Turned => {
            format!(
                "turn it {} about its own axis, its FRONT towards where its {} is",
                show_angle(by.abs()),
                beside_front(of, by)
            )
        }
        Thing::Aside | Thing::Radius => format!("move it {} {}", units.show(by.abs()), aside(of, by)),
    }
}

fn way_words(of: &TrialPlan, way: &PutRight, units: Units) -> String {
    let changes: Vec<String> = way
        .changes
        .iter()
        .map(|(thing, by)| change(of, *thing, *by, units))
        .collect();
    let left = units.show(way.largest_mm);
    let does = if way.largest_mm <= of.asked.gap_limit_mm {
        format!("that closes it to {left}{}", beyond(of))
    } else {
        format!("that leaves {left}{}, still too wide", beyond(of))
    };
    let other = way
        .other_end
        .map(|other| other_end_words(&other, of.asked.read_within_mm, units));
    let other = other.map_or_else(String::new, |words| format!("; {words}"));
    format!("{}: {does}{other}", changes.join(" and "))
}

fn without_grinding(of: &TrialPlan, units: Units) -> Option<String> {
    if of.stray.is_some() || widest(of) <= of.asked.gap_limit_mm {
        return None;
    }
    Some(match of.ways.as_slice() {
        [] => "turning, tilting or moving it closes nothing".to_owned(),
        ways => {
            let all: Vec<String> = ways.iter().map(|way| way_words(of, way, units)).collect();
            format!("without grinding, {}", all.join("; or "))
        }
    })
}

fn widest(of: &TrialPlan) -> f64 {
    of.beyond_mm.iter().copied().fold(0.0, f64::max)
}

fn to_grind(of: &TrialPlan, units: Units) -> String {
    let (grind, limit) = (&of.grind, units.show(of.asked.gap_limit_mm));
    let gap = units.show(widest(of));
    if grind.moves_in_mm <= 0.0 {
        let beyond = beyond(of);
        return format!("nothing has to come off: the widest gap{beyond} is {gap}, and {limit} can be welded");
    }
    let stretch = |off: &crate::plan::TakeOff| {
        let [from, to] =
            [off.azimuths_deg.start, off.azimuths_deg.end].map(|azimuth| place_words(azimuth, of.end.which));
        let at = place_words(off.deepest_at_deg, of.end.which);
        if off.azimuths_deg.end - off.azimuths_deg.start >= 360.0 {
            format!("all round, at most {} at {at}", units.show(off.deepest))
        } else {
            format!("from {from} to {to}, at most {} at {at}", units.show(off.deepest))
        }
    };
    let all: Vec<String> = grind.take_off.iter().map(stretch).collect();
    let doubt = units.show(grind.doubt_mm);
    let sure = if grind.is_sure {
        let limit = units.show_within(of.asked.gap_limit_mm);
        format!("and within {limit} for all that the readings leave in doubt, {doubt}")
    } else {
        format!(
            "but only if that is what is off: the readings leave {doubt} in doubt, so read more of them before you grind"
        )
    };
    let other = of
        .other_end
        .map(|other| other_end_words(&other, of.asked.read_within_mm, units));
    let other = other.map_or_else(String::new, |words| format!("; {words}"));
    format!(
        "to grind, {}; the tube then {} and loses {} of its length; the widest gap{}, {gap} now, is {} then, {sure}{other}",
        all.join("; "),
        goes_in(of, units),
        units.show(grind.length_lost_mm),
        beyond(of),
        units.show(grind.largest_left_mm)
    )
}

fn facts(of: &TrialPlan, units: Units) -> Vec<Fact> {
    let (most, at) = of.unexplained();
    let read: Vec<String> = of
        .asked
        .readings
        .iter()
        .map(|reading| {
            format!(
                "{} {}",
                place_words(reading.azimuth_deg, of.end.which),
                units.decimal(reading.gap_mm)
            )
        })
        .collect();
    let stands = if of.is_in_mm < 0.0 { "short of" } else { "past" };
    let flat = of.flat.as_ref().map(|flat| {
        let at = place_words(flat.at_deg.round(), of.end.which);
        (
            "flat cuts",
            format!("leave {} by themselves, most at {at}", units.show(flat.leaves_mm)),
        )
    });
    let facts = vec![
        ("readings", format!("{} {}", read.join(", "), units.name())),
        (
            "unexplained",
            format!(
                "{} at most, at {}",
                units.show(most),
                place_words(of.asked.readings[at].azimuth_deg, of.end.which)
            ),
        ),
        (
            "how far in",
            format!("{} {stands} where it was to stand", units.show(of.is_in_mm.abs())),
        ),
        ("widest gap", format!("{}{}", units.show(widest(of)), beyond(of))),
    ];
    facts.into_iter().chain(flat).collect()
}
