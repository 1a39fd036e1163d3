//! Tubes that are mitered to each other: each such end is given the direction of the tube that it meets.

use std::collections::HashMap;
use std::ops::Range;

use glam::{DVec2, DVec3};

use crate::job::raw::{self, Named};
use crate::job::{Assembly, Ending, Frame, TubeInSpace};
use crate::measure::Units;
use crate::phrase::Phrase;
use crate::problem::Problem;
use crate::section::Profile;

use super::Reader;

/// Ends this near to each other are one corner, in millimetres.
const MEET: f64 = 0.5;

/// Gives every mitered end the direction of the tube that it meets: the one that was named, or that copy of it which
/// ends in the same place.
pub(super) fn link_miters(reader: &mut Reader, tubes: &[Named<raw::Tube>], assembly: &mut Assembly) {
    let copies = Copies::of(assembly);
    for raw in tubes {
        for (end, side) in [(&raw.thing.start, 0), (&raw.thing.end, 1)] {
            let Some(to) = end.to.as_ref() else { continue };
            if reader.is_broken("body", &to.text) {
                continue;
            }
            let units = reader.result_units();
            for index in copies.named(&raw.name.text) {
                // One word about all copies is enough.
                let Some(way) = reader.take(to, way_of_other(assembly, &copies, (index, side), &to.text, units)) else {
                    break;
                };
                let tube = &mut assembly.tubes[index];
                *[&mut tube.start, &mut tube.end][side] = Ending::Miter(way);
            }
        }
    }
    require_sides_to_meet(reader, tubes, assembly, &copies);
}

/// Whether the sides of mitered tubes go on from the one to the other. Every miter is linked.
fn require_sides_to_meet(reader: &mut Reader, tubes: &[Named<raw::Tube>], assembly: &Assembly, copies: &Copies) {
    for raw in tubes {
        for (end, side) in [(&raw.thing.start, 0), (&raw.thing.end, 1)] {
            let Some(to) = end.to.as_ref() else { continue };
            let own = copies.named(&raw.name.text).next();
            let Some(twist) = own.and_then(|own| twist_at_miter(assembly, copies, own, side, &to.text)) else {
                continue;
            };
            if twist.abs() > 0.05 {
                let problem = Problem::new("the sides of two mitered tubes don't meet");
                let problem = problem.figures(format!("they are turned {:.2} degrees apart", twist.abs()));
                reader.refuse(
                    to,
                    problem.help("turn one of the tubes about its own axis by that much: \"turned\""),
                );
            }
        }
    }
}

/// How far a tube with sides would have to be turned at its mitered end for its sides to meet the other's, in degrees.
fn twist_at_miter(assembly: &Assembly, copies: &Copies, index: usize, side: usize, to: &str) -> Option<f64> {
    let own = &assembly.tubes[index];
    let sides = assembly.stock[own.stock].tube.section.sides()?;
    let end = &own.ends()[side];
    let (other, other_side) = copies.meeting(assembly, (index, side), to)?;
    let other = &assembly.tubes[other];
    let front = |tube: &TubeInSpace, side: usize| assembly.front_of_leg(tube, side * (tube.nodes.len() - 2));
    let (own_front, other_front) = (front(own, side)?, front(other, other_side)?);
    let cut = (end.into_tube() - other.ends()[other_side].into_tube()).normalize();
    let mirrored = other_front - 2.0 * other_front.dot(cut) * cut;
    let frame = Frame::new(end.at, end.into_tube(), own_front);
    let twist = mirrored.dot(frame.right).atan2(mirrored.dot(frame.front)).to_degrees();
    // A section with sides looks the same after half a turn, a square one after a quarter.
    let same = if sides.width == sides.height { 90.0 } else { 180.0 };
    Some(twist - (twist / same).round() * same)
}

/// The direction in which the tube that a mitered end meets comes to it.
fn way_of_other(
    assembly: &Assembly,
    copies: &Copies,
    (index, side): Side,
    to: &str,
    units: Units,
) -> Result<DVec3, Problem> {
    let tube = &assembly.tubes[index];
    let end = &tube.ends()[side];
    if !end.is_mitered() {
        return Err(Problem::new("only a mitered end has a tube that it meets").help("add \"join\": \"miter\""));
    }
    let Some((other, other_side)) = copies.meeting(assembly, (index, side), to) else {
        return Err(Problem::new(format!("no mitered end of \"{to}\" is where this one is"))
            .figures(format!("it ends at {}", units.show_place(end.at.to_array())))
            .help("both tubes must end in one point, each with \"join\": \"miter\" and the other's name"));
    };
    let other = &assembly.tubes[other];
    let way = (end.at - other.ends()[other_side].next).normalize();
    let turn = way.angle_between(end.into_tube()).to_degrees();
    if turn > 160.0 {
        return Err(Problem::new("these tubes turn back on each other")
            .figures(format!("a turn of {turn:.1} degrees"))
            .help("turns up to 160 degrees can be cut"));
    }
    let [own, met] = [tube, other].map(|tube| &assembly.stock[tube.stock].tube);
    let is_alike = [DVec2::X, DVec2::Y, DVec2::ONE.normalize()]
        .into_iter()
        .all(|way| (own.section.reach_towards(way) - met.section.reach_towards(way)).abs() <= 0.005);
    if !is_alike {
        // Both ends are told the same, so that it is told once.
        let figures = match (own.section.od_mm(), met.section.od_mm()) {
            (Some(own), Some(met)) => Phrase::default()
                .length(own.min(met))
                .words(" and ")
                .length(own.max(met))
                .words(" across"),
            _ => {
                let mut both = [own, met].map(|tube| tube.describe(units));
                both.sort();
                both.join(" and ").into()
            }
        };
        return Err(Problem::new("tubes of two sizes can't be mitered to each other")
            .figures(figures)
            .help("use one stock for both, or land the one on the other"));
    }
    Ok(way)
}

/// A tube's end: the tube by its index, and which of its sides.
type Side = (usize, usize);

/// Which tubes are copies of one, which follow each other, and where their mitered ends are.
struct Copies {
    by_name: HashMap<String, Range<usize>>,
    /// The mitered ends, by the first copy of their tube and the cell of space they are in.
    mitered: HashMap<(usize, [i64; 3]), Vec<Side>>,
}

impl Copies {
    fn of(assembly: &Assembly) -> Self {
        let mut copies = Self {
            by_name: HashMap::new(),
            mitered: HashMap::new(),
        };
        for (index, tube) in assembly.tubes.iter().enumerate() {
            let range = copies.by_name.entry(tube.shared_name.clone()).or_insert(index..index);
            range.end = index + 1;
            let first = range.start;
            let ends = tube.ends().into_iter().enumerate().filter(|(_, end)| end.is_mitered());
            for (side, end) in ends {
                let in_cell = copies.mitered.entry((first, cell(end.at))).or_default();
                in_cell.push((index, side));
            }
        }
        copies
    }

    /// The indices of all copies of a name; none of an unknown one.
    fn named(&self, name: &str) -> Range<usize> {
        self.by_name.get(name).cloned().unwrap_or_default()
    }

    /// The mitered end of a copy of `to` that is where this end is, as a tube and its side.
    fn meeting(&self, assembly: &Assembly, (index, side): Side, to: &str) -> Option<Side> {
        let tube = &assembly.tubes[index];
        let (at, all) = (tube.ends()[side].at, self.named(to));
        // The copy that has the same number in its row most often is the one that is looked for.
        let likeliest = all.start + (index - self.named(&tube.shared_name).start);
        let likeliest = [0, 1].map(|side| (likeliest, side));
        let near = cells_round(at).flat_map(|cell| self.mitered.get(&(all.start, cell)).into_iter().flatten());
        let is_met = |&(other, side): &Side| {
            let end = &assembly.tubes[other].ends()[side];
            other != index && end.is_mitered() && end.at.distance(at) < MEET
        };
        let likeliest = likeliest.into_iter().filter(|(other, _)| all.contains(other));
        likeliest.chain(near.copied()).find(is_met)
    }
}

/// The cube of space that a place is in; what meets is in one cube or in two that touch.
fn cell(at: DVec3) -> [i64; 3] {
    (at / MEET).floor().to_array().map(|number| number as i64)
}

/// The cube that a place is in, and those that touch it.
fn cells_round(at: DVec3) -> impl Iterator<Item = [i64; 3]> {
    let [x, y, z] = cell(at);
    (0..27).map(move |number| [x + number % 3 - 1, y + number / 3 % 3 - 1, z + number / 9 - 1])
}
