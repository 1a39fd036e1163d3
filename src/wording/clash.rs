//! Clashes in words: copies that are in one way are told in one line.

use std::collections::{BTreeMap, HashMap};

use super::place::whereabouts_words;
use crate::job::{Assembly, BodyInSpace, Ending};
use crate::measure::Units;
use crate::phrase::stretches;
use crate::plan::{Clash, InTheWay, JobPlan, LandingPart, Move, Over, Towards, Whereabouts};

/// No more lines than these, of which a sheet has room; then how many more there are.
const MOST_LINES: usize = 20;

/// Fewer clashes of one kind are told one by one.
const FEW: usize = 3;

/// What is in the way of what: `riser 1 against riser 2`.
pub fn clash_name(assembly: &Assembly, way: InTheWay) -> String {
    name(assembly, way, &|tube| assembly.tubes[tube].name.clone())
}

/// The same with the tubes' names given by `tube`.
fn name(assembly: &Assembly, way: InTheWay, tube: &dyn Fn(usize) -> String) -> String {
    let body = |body: usize| &assembly.bodies[body].name;
    match way {
        InTheWay::Tubes([one, other]) | InTheWay::SamePlace([one, other]) => {
            format!("{} against {}", tube(one), tube(other))
        }
        InTheWay::TubeAndBody { tube: of, body: other } => format!("{} against {}", tube(of), body(other)),
        InTheWay::Holes {
            tubes: [one, other],
            body: of,
        } => format!("the holes for {} and {} in {}", tube(one), tube(other), body(of)),
        InTheWay::Landing {
            tube: of,
            body: on,
            part,
            over,
        } => {
            let part = match part {
                LandingPart::Hole => "the hole for",
                LandingPart::Wall => "the wall of",
                LandingPart::HoleAndWall => "the hole and wall of",
            };
            let over = match over {
                Over::End if assembly.bodies[on].outside.edges_mm().is_some() => "the edge",
                Over::End => "the end",
                Over::Floor => "the floor",
                Over::KeptOff(index) => &assembly.bodies[on].keep_off[index].name,
                Over::Found(index) => &assembly.bodies[on].found[index].name,
            };
            format!("{part} {} against {over} of {}", tube(of), body(on))
        }
    }
}

/// A line for each clash, or for all those of one kind.
pub(super) fn clash_notes(assembly: &Assembly, clashes: &[Clash], units: Units) -> Vec<String> {
    let near = |clash: &Clash| {
        let place = Whereabouts::of(assembly, clash);
        format!(", {}", whereabouts_words(&place, units))
    };
    let groups = grouped(assembly, clashes);
    let told = groups.iter().take(MOST_LINES).map(|group| match group.as_slice() {
        [one] => words(assembly, one, &near(one), units),
        many => group_words(assembly, many, &near, units),
    });
    let left: usize = groups.iter().skip(MOST_LINES).map(Vec::len).sum();
    let more = (left > 0).then(|| format!("CLASH: {left} more like these; the report lists them"));
    told.chain(more).collect()
}

/// The clashes of a job by the tubes that are in them, for the sheets of those tubes.
pub(crate) struct ClashesOfTubes<'a> {
    job: &'a JobPlan,
    units: Units,
    /// Their places in the list.
    by_tube: HashMap<usize, Vec<usize>>,
}

impl<'a> ClashesOfTubes<'a> {
    pub(crate) fn new(job: &'a JobPlan, units: Units) -> Self {
        let mut by_tube: HashMap<usize, Vec<usize>> = HashMap::new();
        for (index, clash) in job.cut_list.clashes.iter().enumerate() {
            for tube in clash.way.tubes() {
                by_tube.entry(tube).or_default().push(index);
            }
        }
        Self { job, units, by_tube }
    }

    /// The same of tubes, and of a body, by their names.
    pub(crate) fn of_named<'n>(&self, names: impl Iterator<Item = &'n str>, on: &str) -> Option<String> {
        if self.by_tube.is_empty() {
            return None;
        }
        let Assembly { tubes, bodies, .. } = &self.job.assembly;
        self.worst(
            names.filter_map(|name| tubes.iter().position(|tube| tube.name == name)),
            |body| bodies[body].name == on,
        )
    }

    /// The worst that any of these tubes is in, and how many more there are: `CLASH: riser 1 against riser 2, overlap by
    /// 3.00 mm; 2 more`. What is to be changed on bodies that are here, by their places in the assembly's list, comes before what is
    /// to be changed on others, of which no move is told.
    pub(crate) fn worst(&self, tubes: impl Iterator<Item = usize>, is_here: impl Fn(usize) -> bool) -> Option<String> {
        let mut all: Vec<usize> = tubes
            .filter_map(|tube| self.by_tube.get(&tube))
            .flatten()
            .copied()
            .collect();
        all.sort_unstable();
        all.dedup();
        let assembly = &self.job.assembly;
        let is_elsewhere = |clash: &Clash| {
            let landing = clash.way.of_landing_on(assembly);
            landing.is_some_and(|body| !is_here(body))
        };
        let clashes = all.iter().map(|index| &self.job.cut_list.clashes[*index]);
        let too_near = |clash: &Clash| clash.apart_mm - clash.asked_mm;
        let worse = |a: &Clash, b: &Clash| {
            let own_first = is_elsewhere(a).cmp(&is_elsewhere(b));
            own_first.then(too_near(a).total_cmp(&too_near(b)))
        };
        let worst = clashes.min_by(|a, b| worse(a, b))?;
        let told = Clash {
            leaves: worst.leaves.filter(|_| !is_elsewhere(worst)),
            ..worst.clone()
        };
        let more = match all.len() - 1 {
            0 => String::new(),
            more => format!("; {more} more"),
        };
        Some(format!("{}{more}.", words(assembly, &told, "", self.units)))
    }
}

/// What the names of the tubes in a clash begin with where they are copies of one tube, and their numbers.
fn copies<'a>(assembly: &'a Assembly, clash: &Clash) -> Option<(&'a str, Vec<usize>)> {
    let named: Option<Vec<_>> = clash.way.tubes().map(|tube| assembly.tubes[tube].numbered()).collect();
    let named = named?;
    let (first, _) = *named.first()?;
    let is_one = named.iter().all(|(name, _)| *name == first);
    is_one.then(|| (first, named.into_iter().map(|(_, number)| number).collect()))
}

/// Clashes of copies of one tube that are of one kind, in the order of the first of each; those that are few, and all
/// others, by themselves.
fn grouped<'c>(assembly: &Assembly, clashes: &'c [Clash]) -> Vec<Vec<&'c Clash>> {
    let (mut groups, mut known): (Vec<Vec<&Clash>>, HashMap<_, usize>) = (Vec::new(), HashMap::new());
    for clash in clashes {
        let Some((tube, _)) = copies(assembly, clash) else {
            groups.push(vec![clash]);
            continue;
        };
        let kind = (tube, clash.way.of_any_tube(), clash.asked_mm.to_bits());
        let group = *known.entry(kind).or_insert_with(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        groups[group].push(clash);
    }
    let mut parted = Vec::new();
    for group in groups.into_iter().flat_map(|group| connected(assembly, group)) {
        if group.len() < FEW {
            parted.extend(group.into_iter().map(|clash| vec![clash]));
        } else {
            parted.push(group);
        }
    }
    parted
}

/// Copies that clash with each other are one group only where each leads to each.
fn connected<'c>(assembly: &Assembly, group: Vec<&'c Clash>) -> Vec<Vec<&'c Clash>> {
    let numbers = |clash: &Clash| copies(assembly, clash).map_or_else(Vec::new, |(_, numbers)| numbers);
    let is_mutual = group.iter().all(|clash| numbers(clash).len() > 1);
    if group.len() < FEW || !is_mutual {
        return vec![group];
    }
    let mut leads_to: BTreeMap<usize, usize> = BTreeMap::new();
    fn root(leads_to: &mut BTreeMap<usize, usize>, number: usize) -> usize {
        let mut at = number;
        while let Some(next) = leads_to.get(&at).copied().filter(|next| *next != at) {
            // Shortened on the way, so that ways stay short.
            let beyond = leads_to.get(&next).copied().unwrap_or(next);
            leads_to.insert(at, beyond);
            at = next;
        }
        at
    }
    for clash in &group {
        let mut roots: Vec<usize> = numbers(clash)
            .into_iter()
            .map(|number| root(&mut leads_to, number))
            .collect();
        roots.sort_unstable();
        for one in &roots {
            leads_to.insert(*one, roots[0]);
        }
    }
    let mut parts: BTreeMap<usize, Vec<&Clash>> = BTreeMap::new();
    for clash in group {
        let first = numbers(clash).first().copied().unwrap_or(0);
        parts.entry(root(&mut leads_to, first)).or_default().push(clash);
    }
    parts.into_values().collect()
}

fn group_words(assembly: &Assembly, group: &[&Clash], near: &dyn Fn(&Clash) -> String, units: Units) -> String {
    let Some(worst) = group.iter().min_by(|a, b| a.apart_mm.total_cmp(&b.apart_mm)) else {
        return String::new();
    };
    let named: Vec<_> = group.iter().filter_map(|clash| copies(assembly, clash)).collect();
    let tube = named.first().map_or("", |(tube, _)| tube);
    let names = format!(
        "{tube} {}",
        stretches(named.into_iter().flat_map(|(_, numbers)| numbers))
    );
    let by = format!("by up to {}", units.show(-worst.apart_mm));
    match worst.way {
        InTheWay::SamePlace(_) => format!("CLASH: {names} are in the same place{}", near(worst)),
        InTheWay::Tubes(_) => format!("CLASH: {names} overlap each other {by}{}", near(worst)),
        InTheWay::Holes { body, .. } => {
            let how = if worst.apart_mm == 0.0 {
                "are in the same place".to_owned()
            } else {
                format!("overlap each other {by}")
            };
            let body = &assembly.bodies[body].name;
            format!("CLASH: the holes for {names} in {body} {how}{}", near(worst))
        }
        // What is said of one, said of all.
        InTheWay::TubeAndBody { .. } | InTheWay::Landing { .. } => {
            let what = name(assembly, worst.way, &|_| names.clone());
            let moved = worst
                .leaves
                .map_or_else(String::new, |leaves| moved_words(assembly, worst, leaves, units));
            let how = if worst.apart_mm <= 0.0 && worst.leaves.is_some() {
                "overlap".to_owned()
            } else if worst.apart_mm < 0.0 {
                format!("overlap {by}")
            } else {
                let bound = if worst.is_bound { "at least " } else { "" };
                format!("the nearest {bound}{} apart", units.show(worst.apart_mm))
            };
            format!("CLASH: {what}, {how}{}{}{moved}", asked(worst, units), near(worst))
        }
    }
}

/// By what move a landing is clear: `: clear when moved 15.00 mm over the skin to the right, the whole tube with it`. Where a drain lands along its body
/// follows from its height over the floor.
fn moved_words(assembly: &Assembly, clash: &Clash, leaves: Move, units: Units) -> String {
    let tube = &assembly.tubes[leaves.tube];
    let drain = if tube.drain.is_some() && leaves.towards.is_along() {
        "; a drain is moved by its height over the floor"
    } else {
        ""
    };
    let lands = |ending: &Ending| matches!(ending, Ending::Lands { .. });
    let is_between = lands(&tube.start) && lands(&tube.end);
    let are_many = tube.copy_number().is_some();
    let about = if leaves.is_near { "about " } else { "" };
    let then = if leaves.is_near { ", then check again" } else { "" };
    // A tube between two things leans otherwise when one of its landings is moved.
    let rest = match (is_between, are_many) {
        (true, false) => "; its other end stays where it is, so check again".to_owned(),
        (true, true) => "; their other ends stay where they are, so check again".to_owned(),
        (false, false) => format!(", the whole tube with it{then}"),
        (false, true) => format!(", each as a whole{then}"),
    };
    let of = match leaves.clears {
        1 => String::new(),
        2 => " of this and one more".to_owned(),
        more => format!(" of this and {} more", more - 1),
    };
    let who = match clash.way {
        _ if are_many => format!("all of {} are ", tube.shared_name),
        InTheWay::Holes { .. } => format!("{} is ", tube.shared_name),
        _ => String::new(),
    };
    let way = clash.way.on(assembly);
    let way = way.map_or_else(String::new, |body| format!(" {}", way_words(leaves.towards, body)));
    let by = units.show_enough(leaves.by_mm);
    format!(": clear{of} when {who}moved {about}{by} over the skin{way}{rest}{drain}")
}

/// How far apart or how deep, how far was asked for, where, and by what move it is clear.
fn words(assembly: &Assembly, clash: &Clash, near: &str, units: Units) -> String {
    let what = clash_name(assembly, clash.way);
    let is_same_hole = matches!(clash.way, InTheWay::Holes { .. }) && clash.apart_mm == 0.0;
    let apart = if matches!(clash.way, InTheWay::SamePlace(_)) || is_same_hole {
        "in the same place".to_owned()
    } else if clash.apart_mm <= 0.0 && clash.leaves.is_some() {
        "overlap".to_owned()
    } else if clash.apart_mm < 0.0 {
        format!("overlap by {}", units.show(-clash.apart_mm))
    } else {
        let bound = if clash.is_bound { "at least " } else { "" };
        format!("{bound}{} apart", units.show(clash.apart_mm))
    };
    let moved = clash
        .leaves
        .map_or_else(String::new, |leaves| moved_words(assembly, clash, leaves, units));
    format!("CLASH: {what}, {apart}{}{near}{moved}", asked(clash, units))
}

/// `towards the bottom end`; `to the right`.
fn way_words(towards: Towards, body: &BodyInSpace) -> String {
    let is_flat = body.outside.is_flat();
    let end = |end: &str| format!("towards the {}", end.to_lowercase());
    let [near, far] = body.end_names();
    // As on the mark-out, whose far end is up; of what stands on its bottom that goes without saying.
    let side = |side: &str| match far {
        "TOP END" => format!("to the {side}"),
        _ if is_flat => format!("to the {side}"),
        _ => format!("to the {side}, seen with the {} up", far.to_lowercase()),
    };
    match towards {
        Towards::NearEnd if is_flat => "down".to_owned(),
        Towards::FarEnd if is_flat => "up".to_owned(),
        Towards::NearEnd => end(near),
        Towards::FarEnd => end(far),
        Towards::Right => side("right"),
        Towards::Left => side("left"),
    }
}

/// What was asked for; of what has no move of its own by how much it is too near.
fn asked(clash: &Clash, units: Units) -> String {
    if clash.asked_mm == 0.0 {
        return String::new();
    }
    let too_near = clash.asked_mm - clash.apart_mm;
    let by = if clash.leaves.is_none() && clash.apart_mm >= 0.0 && !clash.is_bound {
        format!(", too near by {}", units.show_enough(too_near))
    } else {
        String::new()
    };
    format!(", {} asked for{by}", units.show_given(clash.asked_mm))
}
