//! Stacks, and places on them.

use glam::DVec3;

use crate::job::limits::MOST_PARTS;
use crate::job::raw::{self, Named, Word};
use crate::job::{BodyInSpace, Lap, NEAR_MISSES, Parted, PartingLine, Stack, StackPart, Stays, ways_to_part};
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::{Reader, give, given, lengths};

/// So many ways to part a stack are tried, at most.
const MOST_WAYS: usize = 100_000;
/// No vessel in a shop is higher, in millimetres.
const HIGHEST: f64 = 20_000.0;

const STAYS: [(&str, Stays); 2] = [("bottom", Stays::Bottom), ("top", Stays::Top)];

pub(super) fn resolve(reader: &mut Reader, stack: &Named<raw::Stack>) -> Option<Stack> {
    let raw = &stack.thing;
    let room = raw.height.as_ref().and_then(|word| height(reader, word));
    let foot = given(&raw.at, DVec3::ZERO, |words| lengths(reader, words));
    let parts: Vec<Option<StackPart>> = raw
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| self::part(reader, part, index))
        .collect();
    let on_top: Vec<Option<(String, f64)>> = raw.on_top.iter().map(|thing| self::on_top(reader, thing)).collect();
    require_names(reader, raw)?;
    if !(1..=MOST_PARTS).contains(&raw.parts.len()) {
        let problem = Problem::new(format!("a stack has 1 to {MOST_PARTS} parts"))
            .help("list the drums and rings it is made of under \"parts\", from the bottom up");
        return reader.refused(&raw.here, problem.figures(format!("{} given", raw.parts.len())));
    }
    let parts: Vec<StackPart> = parts.into_iter().collect::<Option<_>>()?;
    let on_top: Vec<(String, f64)> = on_top.into_iter().collect::<Option<_>>()?;
    let (room_mm, foot) = (room?, foot?);
    let (ways, near_misses) = ways_within(reader, raw, &parts, &on_top, room_mm)?;
    let taken = match &raw.take {
        None => 0,
        Some(word) => reader.count(word, "ways to part this stack", 1..=ways.len())? - 1,
    };
    Some(Stack {
        name: stack.name.text.clone(),
        foot,
        room_mm,
        parts,
        on_top,
        ways,
        near_misses,
        taken,
    })
}

fn height(reader: &mut Reader, word: &Word) -> Option<f64> {
    let height = reader.length(word)?;
    let problem = Problem::new("this height can't be right");
    reader.within(word, height, [1.0, HIGHEST], problem, give)
}

fn on_top(reader: &mut Reader, raw: &raw::OnTop) -> Option<(String, f64)> {
    let word = raw.height.as_ref()?;
    let adds = reader.length(word)?;
    let problem = Problem::new("what goes on top can't make the stack lower");
    let help = |range: &str| format!("give what it adds: {range}");
    let adds = reader.within(word, adds, [0.0, HIGHEST], problem, help)?;
    Some((raw.what.as_ref()?.text.clone(), adds))
}

fn part(reader: &mut Reader, raw: &raw::StackPart, index: usize) -> Option<StackPart> {
    let height_mm = raw.height.as_ref().and_then(|word| height(reader, word));
    let stays = given(&raw.stays, None, |word| reader.choice(word, &STAYS).map(Some));
    let may_part_at_mm = parting_heights(reader, raw, height_mm);
    let nests_mm = nesting(reader, raw, index, height_mm);
    let may_stay_whole = raw.must_part.as_ref().is_none_or(|word| word.text != "true");
    if let Some(word) = raw
        .must_part
        .as_ref()
        .filter(|_| !may_stay_whole && raw.part_at.is_empty())
    {
        let problem = Problem::new("this part must be parted, and there is no place where it may be");
        return reader.refused(
            word,
            problem.help("give \"part_at\": the heights of its ribs over its bottom"),
        );
    }
    Some(StackPart {
        name: raw.name.as_ref()?.text.clone(),
        height_mm: height_mm?,
        may_part_at_mm: may_part_at_mm?,
        may_stay_whole,
        stays: stays?,
        nests_mm: nests_mm?,
    })
}

fn parting_heights(reader: &mut Reader, raw: &raw::StackPart, height_mm: Option<f64>) -> Option<Vec<f64>> {
    let read = raw.part_at.iter().map(|word| {
        let at = reader.length(word)?;
        // Of a height that is wrong itself nothing more can be said.
        let whole = height_mm?;
        let problem = if at >= whole {
            Problem::new("this parting is above the part's top").help("measure it from the part's bottom, as it stands")
        } else if at <= 0.0 {
            Problem::new("this parting is below the part's bottom")
                .help("measure it from the part's bottom, as it stands")
        } else {
            return Some(at);
        };
        reader.refused(
            word,
            problem.figures(
                Phrase::from("at ")
                    .length(at)
                    .words(", the part is ")
                    .length(whole)
                    .words(" high"),
            ),
        )
    });
    read.collect::<Vec<_>>().into_iter().collect()
}

fn nesting(reader: &mut Reader, raw: &raw::StackPart, index: usize, height_mm: Option<f64>) -> Option<f64> {
    let Some(word) = &raw.nests else { return Some(0.0) };
    let nests = reader.length(word)?;
    let whole = height_mm?;
    let problem = if index == 0 {
        Problem::new("the lowest part has nothing to nest in").help("give \"nests\" to the part that goes into another")
    } else if nests < 0.0 {
        Problem::new("a part can't nest by less than nothing")
            .figures(Phrase::default().length(nests))
            .help("give how deep it goes into the part below, or leave \"nests\" out")
    } else if nests >= whole {
        Problem::new("a part can't nest deeper than it is high")
            .figures(
                Phrase::default()
                    .length(nests)
                    .words(" deep, ")
                    .length(whole)
                    .words(" high"),
            )
            .help("measure how far the part goes into the one below it")
    } else {
        return Some(nests);
    };
    reader.refused(word, problem)
}

fn require_names(reader: &mut Reader, raw: &raw::Stack) -> Option<()> {
    let names: Vec<&Word> = raw.parts.iter().filter_map(|part| part.name.as_ref()).collect();
    for (index, name) in names.iter().enumerate() {
        if names[..index].iter().any(|other| other.text == name.text) {
            let problem = Problem::new(format!("there are two parts of the name \"{}\"", name.text));
            return reader.refused(name, problem.help("give each a name of its own"));
        }
    }
    Some(())
}

/// The ways that don't go over, the closest first, and those that go over by the least.
fn ways_within(
    reader: &mut Reader,
    raw: &raw::Stack,
    parts: &[StackPart],
    on_top: &[(String, f64)],
    room_mm: f64,
) -> Option<(Vec<Parted>, Vec<Parted>)> {
    let count = parts
        .iter()
        .fold(1_usize, |count, part| count.saturating_mul(part.choices().len()));
    if count > MOST_WAYS {
        let problem = Problem::new("there are too many ways to part this stack");
        let problem = problem.figures(format!("{count}, at most {MOST_WAYS}"));
        return reader.refused(&raw.here, problem.help("leave out places that are out of the question"));
    }
    let all = ways_to_part(parts, on_top.iter().map(|(_, adds)| adds).sum());
    let Some(lowest) = all.last().map(|way| way.total_mm) else {
        let problem = Problem::new("every way to part this stack leaves a piece no longer than it nests")
            .help("give other places to part it, or parts that nest less deep");
        let units = reader.result_units();
        let nests: Vec<String> = parts.iter().map(|part| units.show(part.nests_mm)).collect();
        return reader.refused(&raw.here, problem.figures(format!("they nest by {}", nests.join(", "))));
    };
    let (over, within): (Vec<Parted>, Vec<Parted>) = all.into_iter().partition(|way| way.is_over(room_mm));
    if within.is_empty() {
        let problem = Problem::new("this stack is too high, however it is parted")
            .figures(
                Phrase::from("it is at least ")
                    .length(lowest)
                    .words(" high, and there are ")
                    .length(room_mm),
            )
            .help("give more places to part it, or fewer parts");
        return reader.refused(raw.height.as_ref().unwrap_or(&raw.here), problem);
    }
    let near_misses = over.into_iter().rev().take(NEAR_MISSES).collect();
    Some((within, near_misses))
}

/// A place in space: three lengths, or a place on a stack.
pub(super) fn spot(reader: &mut Reader, raw: &raw::Spot, stacks: &[Stack]) -> Option<DVec3> {
    let on = match raw {
        raw::Spot::At(words) => return lengths(reader, words),
        raw::Spot::OnStack(on) => on,
    };
    let stack = on.stack.as_ref().and_then(|word| find_stack(reader, word, stacks));
    let above = given(&on.above, 0.0, |word| reader.length(word));
    let aside = on
        .aside
        .as_ref()
        .map_or([Some(0.0); 2], |words| words.each_ref().map(|word| reader.length(word)));
    let height = height_of(reader, on, stack?);
    let ([Some(x), Some(y)], Some(above), Some(height)) = (aside, above, height) else {
        return None;
    };
    Some(stack?.foot + DVec3::new(x, y, height + above))
}

fn find_stack<'a>(reader: &mut Reader, word: &Word, stacks: &'a [Stack]) -> Option<&'a Stack> {
    reader.find(word, "stack").map(|index| &stacks[index])
}

fn find_part(reader: &mut Reader, word: &Word, stack: &Stack) -> Option<usize> {
    reader.only_names("part", stack.parts.iter().map(|part| part.name.as_str()));
    reader.find(word, "part")
}

/// Over the stack's foot, in millimetres.
fn height_of(reader: &mut Reader, on: &raw::OnStack, stack: &Stack) -> Option<f64> {
    #[derive(Clone, Copy)]
    enum Where {
        Bottom,
        Top,
        Parting,
    }
    let places = [
        ("bottom", Where::Bottom),
        ("top", Where::Top),
        ("parting", Where::Parting),
    ];
    let place = on.place.as_ref().and_then(|word| reader.choice(word, &places))?;
    let Some(part) = &on.part else {
        return match place {
            Where::Bottom => Some(0.0),
            Where::Top => Some(stack.way().total_mm),
            Where::Parting => {
                let problem = Problem::new("a stack has several partings").help("name the \"part\" too");
                reader.refused(on.place.as_ref().unwrap_or(&on.here), problem)
            }
        };
    };
    let part = find_part(reader, part, stack)?;
    let (bottom, top) = stack.reach_of(part);
    Some(match place {
        Where::Bottom => bottom,
        Where::Top => top,
        Where::Parting => stack.parting_of(part),
    })
}

/// Where a body stands that is a part of a stack: from the end that stays to the other, and its parting.
pub(super) fn standing(
    reader: &mut Reader,
    raw: &raw::Body,
    stacks: &[Stack],
) -> Option<(DVec3, DVec3, Option<PartingLine>, Vec<Lap>)> {
    let stack = raw.stack.as_ref().and_then(|word| find_stack(reader, word, stacks))?;
    let Some(part) = &raw.part else {
        let problem = Problem::new("\"part\" is missing here").help("name the part of the stack that this body is");
        return reader.refused(&raw.here, problem);
    };
    for (key, spot) in [("from", &raw.from), ("to", &raw.to)] {
        if let Some(spot) = spot {
            let problem = Problem::new(format!("\"{key}\" is known from the stack")).help("leave it out");
            return reader.refused(spot.word(), problem);
        }
    }
    let index = find_part(reader, part, stack)?;
    let (bottom, top) = stack.reach_of(index);
    let ends = [bottom, top].map(|height| stack.foot + height * DVec3::Z);
    let part = &stack.parts[index];
    let parting = stack.way().kept[index].is_parted.then(|| PartingLine {
        whole_mm: part.height_mm,
        stays: stack.stays(index),
        stack: stack.name.clone(),
        part: part.name.clone(),
    });
    let laps = laps(stack, index);
    Some(match stack.stays(index) {
        Stays::Bottom => (ends[0], ends[1], parting, laps),
        Stays::Top => (ends[1], ends[0], parting, laps),
    })
}

/// Where a part nests in the one below, and the one above in it, along it from the end that stays.
fn laps(stack: &Stack, index: usize) -> Vec<Lap> {
    let (bottom, top) = stack.reach_of(index);
    let stays = stack.stays(index);
    let lap = |upper: usize, from: f64| {
        let upper_part = stack.parts.get(upper).filter(|upper| upper.nests_mm > 0.0)?;
        let ends = [from, from + upper_part.nests_mm];
        let along_mm = match stays {
            Stays::Bottom => ends.map(|height| height - bottom),
            Stays::Top => [top - ends[1], top - ends[0]],
        };
        let words = format!("{} nests in {}", upper_part.name, stack.parts[upper - 1].name);
        Some(Lap { along_mm, words })
    };
    let above = stack.parts.get(index + 1).map_or(0.0, |above| above.nests_mm);
    lap(index, bottom)
        .into_iter()
        .chain(lap(index + 1, top - above))
        .collect()
}

/// Says which partings are on no mark-out sheet, as no body is that part.
pub(super) fn warn_of_unmarked(reader: &mut Reader, stacks: &[Stack], bodies: &[BodyInSpace]) {
    for stack in stacks {
        for (part, kept) in stack.parts.iter().zip(&stack.way().kept) {
            let is_marked = bodies
                .iter()
                .filter_map(|body| body.parting.as_ref())
                .any(|parting| parting.stack == stack.name && parting.part == part.name);
            if kept.is_parted && !is_marked {
                let parted = Phrase::from(format!("part {} of stack {} is parted ", part.name, stack.name));
                reader.warn(parted.length(kept.height_mm).words(format!(
                    " from its {}; no body is this part, so no mark-out sheet shows the line",
                    kept.stays.word()
                )));
            }
        }
    }
}
