//! Stacks, and places on them.

use glam::DVec3;

use crate::job::raw::{self, Named, Word};
use crate::job::{BodyInSpace, Parted, PartingLine, Stack, StackPart, Stays, ways_to_part};
use crate::problem::Problem;

use super::{Reader, find, lengths};

const MOST_PARTS: usize = 12;
/// So many ways to part a stack are tried, at most.
const MOST_WAYS: usize = 100_000;
/// No vessel in a shop is higher, in millimetres.
const HIGHEST: f64 = 20_000.0;

const STAYS: [(&str, Stays); 2] = [("bottom", Stays::Bottom), ("top", Stays::Top)];

pub(super) fn resolve(reader: &mut Reader, stack: &Named<raw::Stack>) -> Option<Stack> {
    let raw = &stack.thing;
    let room = raw.height.as_ref().and_then(|word| height(reader, word));
    let foot = raw
        .at
        .as_ref()
        .map_or(Some(DVec3::ZERO), |words| lengths(reader, words));
    let parts: Vec<Option<StackPart>> = raw
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| self::part(reader, part, index))
        .collect();
    let on_top: Vec<Option<(String, f64)>> = raw.on_top.iter().map(|thing| self::on_top(reader, thing)).collect();
    require_names(reader, raw)?;
    if !(1..=MOST_PARTS).contains(&raw.parts.len()) {
        let problem = Problem::new(format!("a stack has 1 to {MOST_PARTS} parts"));
        reader.refuse(&raw.here, problem.figures(format!("{} given", raw.parts.len())));
        return None;
    }
    let parts: Vec<StackPart> = parts.into_iter().collect::<Option<_>>()?;
    let on_top: Vec<(String, f64)> = on_top.into_iter().collect::<Option<_>>()?;
    let (room_mm, foot) = (room?, foot?);
    let ways = ways_within(reader, raw, &parts, &on_top, room_mm)?;
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
        taken,
    })
}

fn height(reader: &mut Reader, word: &Word) -> Option<f64> {
    let height = reader.length(word)?;
    let can_be = (1.0..=HIGHEST).contains(&height);
    let problem = Problem::new("this height can't be right")
        .figures(format!("{height:.1} mm"))
        .help(format!("give 1 to {HIGHEST:.0} mm"));
    reader.take(word, can_be.then_some(height).ok_or(problem))
}

fn on_top(reader: &mut Reader, raw: &raw::OnTop) -> Option<(String, f64)> {
    let word = raw.height.as_ref()?;
    let adds = reader.length(word)?;
    let can_be = (0.0..=HIGHEST).contains(&adds);
    let problem = Problem::new("what goes on top can't make the stack lower").figures(format!("{adds:.1} mm"));
    let adds = reader.take(word, can_be.then_some(adds).ok_or(problem))?;
    Some((raw.what.as_ref()?.text.clone(), adds))
}

fn part(reader: &mut Reader, raw: &raw::StackPart, index: usize) -> Option<StackPart> {
    let height_mm = raw.height.as_ref().and_then(|word| height(reader, word));
    let stays = raw
        .stays
        .as_ref()
        .map_or(Some(Stays::Bottom), |word| reader.choice(word, &STAYS));
    let may_part_at_mm = parting_heights(reader, raw, height_mm);
    let nests_mm = nesting(reader, raw, index, height_mm);
    let may_stay_whole = raw.must_part.as_ref().is_none_or(|word| word.text != "true");
    if let Some(word) = raw
        .must_part
        .as_ref()
        .filter(|_| !may_stay_whole && raw.part_at.is_empty())
    {
        let problem = Problem::new("this part must be parted, and there is no place where it may be");
        reader.refuse(
            word,
            problem.help("give \"part_at\": the heights of its ribs over its bottom"),
        );
        return None;
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
        reader.refuse(
            word,
            problem.figures(format!("at {at:.1} mm, the part is {whole:.1} mm high")),
        );
        None
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
        Problem::new("a part can't nest by less than nothing").figures(format!("{nests:.1} mm"))
    } else if nests >= whole {
        Problem::new("a part can't nest deeper than it is high")
            .figures(format!("{nests:.1} mm deep, {whole:.1} mm high"))
    } else {
        return Some(nests);
    };
    reader.refuse(word, problem);
    None
}

fn require_names(reader: &mut Reader, raw: &raw::Stack) -> Option<()> {
    let names: Vec<&Word> = raw.parts.iter().filter_map(|part| part.name.as_ref()).collect();
    for (index, name) in names.iter().enumerate() {
        if names[..index].iter().any(|other| other.text == name.text) {
            let problem = Problem::new(format!("there are two parts of the name \"{}\"", name.text));
            reader.refuse(name, problem.help("give each a name of its own"));
            return None;
        }
    }
    Some(())
}

/// The ways that don't go over, the closest first.
fn ways_within(
    reader: &mut Reader,
    raw: &raw::Stack,
    parts: &[StackPart],
    on_top: &[(String, f64)],
    room_mm: f64,
) -> Option<Vec<Parted>> {
    let count = parts
        .iter()
        .fold(1_usize, |count, part| count.saturating_mul(part.choices().len()));
    if count > MOST_WAYS {
        let problem = Problem::new("there are too many ways to part this stack");
        let problem = problem.figures(format!("{count}, at most {MOST_WAYS}"));
        reader.refuse(&raw.here, problem.help("leave out places that are out of the question"));
        return None;
    }
    let all = ways_to_part(parts, on_top.iter().map(|(_, adds)| adds).sum());
    let Some(lowest) = all.last().map(|way| way.total_mm) else {
        let problem = Problem::new("no way to part this stack leaves pieces longer than they nest");
        let nests: Vec<String> = parts.iter().map(|part| format!("{:.1} mm", part.nests_mm)).collect();
        reader.refuse(&raw.here, problem.figures(format!("they nest by {}", nests.join(", "))));
        return None;
    };
    let within: Vec<Parted> = all.into_iter().filter(|way| !way.is_over(room_mm)).collect();
    if within.is_empty() {
        let problem = Problem::new("this stack is too high, however it is parted")
            .figures(format!("at least {lowest:.1} mm, {room_mm:.1} mm there are"))
            .help("give more places to part it, or fewer parts");
        reader.refuse(raw.height.as_ref().unwrap_or(&raw.here), problem);
        return None;
    }
    Some(within)
}

/// A place in space: three lengths, or a place on a stack.
pub(super) fn spot(reader: &mut Reader, raw: &raw::Spot, stacks: &[Stack]) -> Option<DVec3> {
    let on = match raw {
        raw::Spot::At(words) => return lengths(reader, words),
        raw::Spot::OnStack(on) => on,
    };
    let stack = on.stack.as_ref().and_then(|word| find_stack(reader, word, stacks));
    let above = on.above.as_ref().map_or(Some(0.0), |word| reader.length(word));
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
    let names: Vec<&str> = stacks.iter().map(|stack| stack.name.as_str()).collect();
    find(reader, word, "stack", &names).map(|index| &stacks[index])
}

fn find_part(reader: &mut Reader, word: &Word, stack: &Stack) -> Option<usize> {
    let names: Vec<&str> = stack.parts.iter().map(|part| part.name.as_str()).collect();
    find(reader, word, "part", &names)
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
                reader.refuse(on.place.as_ref().unwrap_or(&on.here), problem);
                None
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
) -> Option<(DVec3, DVec3, Option<PartingLine>)> {
    let stack = raw.stack.as_ref().and_then(|word| find_stack(reader, word, stacks))?;
    let Some(part) = &raw.part else {
        let problem = Problem::new("\"part\" is missing here").help("name the part of the stack that this body is");
        reader.refuse(&raw.here, problem);
        return None;
    };
    for (key, is_there) in [("from", raw.from.is_some()), ("to", raw.to.is_some())] {
        if is_there {
            let problem = Problem::new(format!("\"{key}\" is known from the stack")).help("leave it out");
            reader.refuse(&raw.here, problem);
            return None;
        }
    }
    let index = find_part(reader, part, stack)?;
    let (bottom, top) = stack.reach_of(index);
    let ends = [bottom, top].map(|height| stack.foot + height * DVec3::Z);
    let part = &stack.parts[index];
    let parting = stack.way().kept[index].is_parted.then(|| PartingLine {
        whole_mm: part.height_mm,
        stays: part.stays,
        stack: stack.name.clone(),
        part: part.name.clone(),
    });
    Some(match part.stays {
        Stays::Bottom => (ends[0], ends[1], parting),
        Stays::Top => (ends[1], ends[0], parting),
    })
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
                reader.warn(format!(
                    "part {} of stack {} is parted {:.1} mm from its {}; no body is this part, so that no mark-out sheet shows the line",
                    part.name,
                    stack.name,
                    kept.height_mm,
                    part.stays.word()
                ));
            }
        }
    }
}
