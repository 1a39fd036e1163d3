//! How tubes end: on bodies, square, mitered to each other.

use glam::{DVec2, DVec3};

use crate::job::raw::{self, Named};
use crate::job::{Assembly, Ending, Frame, Join, TubeEnd, TubeInSpace};
use crate::measure::Units;
use crate::problem::Problem;
use crate::section::Profile;

use super::{Reader, find_body};

/// How an end is made: on a body it is set on unless it says otherwise, elsewhere it is square.
pub(super) fn ending(reader: &mut Reader, raw: &raw::End, point: &raw::Point, assembly: &Assembly) -> Option<Ending> {
    #[derive(Clone, Copy, PartialEq)]
    enum How {
        Square,
        Miter,
        Body(Join),
    }
    let choices = [
        ("set-on", How::Body(Join::SetOn)),
        ("set-in", How::Body(Join::SetIn)),
        ("square", How::Square),
        ("miter", How::Miter),
    ];
    let is_on_body = point.on.is_some() && point.out.is_none();
    let usual = if is_on_body {
        How::Body(Join::SetOn)
    } else {
        How::Square
    };
    let how = raw
        .join
        .as_ref()
        .map_or(Some(usual), |word| reader.choice(word, &choices))?;
    let touch = reader.touch(raw.touch.as_ref())?;
    let clearance_mm = raw.clearance.as_ref().map_or(Some(0.0), |word| reader.length(word))?;
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
        reader.refuse(
            at,
            Problem::new("this end lands on nothing").help("give its point \"on\" a body, or make the end square"),
        );
        return None;
    };
    let body = find_body(reader, on, assembly)?;
    if let Some(word) = raw
        .clearance
        .as_ref()
        .filter(|_| join == Join::SetOn || !(0.0..=25.0).contains(&clearance_mm))
    {
        reader.refuse(
            word,
            Problem::new("a clearance of 0 to 25 mm belongs to a set-in end")
                .figures(format!("{clearance_mm:.2} mm, {}", join.word()))
                .help("give 0 to 25 mm with \"join\": \"set-in\", or leave \"clearance\" out"),
        );
        return None;
    }
    let has_inner = assembly.bodies[body]
        .flat
        .as_ref()
        .is_some_and(|flat| flat.inner.is_some());
    if join == Join::SetIn && !has_inner {
        let at = raw.join.as_ref().unwrap_or(&point.here);
        reader.refuse(
            at,
            Problem::new(format!(
                "a set-in end needs the wall of \"{}\"",
                assembly.bodies[body].name
            ))
            .help("add it to the body's size, e.g. \"300mm x 2mm\""),
        );
        return None;
    }
    Some(Ending::Lands {
        body,
        join,
        touch,
        clearance_mm,
    })
}

/// Some keys are of ends that land on bodies alone.
fn refuse_of_landings(reader: &mut Reader, raw: &raw::End) -> Option<()> {
    let keys = [("touch", &raw.touch), ("clearance", &raw.clearance)];
    let mut is_sound = true;
    for (key, word) in keys {
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
        reader.refuse(
            at,
            Problem::new("an end on a body can't be mitered to a tube")
                .help("give its point \"at\" [x, y, z], or as a \"step\""),
        );
        return None;
    }
    if raw.to.is_none() {
        reader.refuse(
            at,
            Problem::new("a mitered end meets another tube").help("name it: \"to\": \"its name\""),
        );
        return None;
    }
    Some(Ending::Miter(DVec3::ZERO))
}

/// Gives every mitered end the direction of the tube that it meets: the one that was named, or that copy of it which
/// ends in the same place.
pub(super) fn link_miters(reader: &mut Reader, tubes: &[Named<raw::Tube>], assembly: &mut Assembly) {
    for raw in tubes {
        for (end, side) in [(&raw.thing.start, 0), (&raw.thing.end, 1)] {
            let Some(to) = end.to.as_ref() else { continue };
            for index in 0..assembly.tubes.len() {
                if assembly.tubes[index].shared_name != raw.name.text {
                    continue;
                }
                // One word about all copies is enough.
                let Some(way) = reader.take(to, way_of_other(assembly, index, side, &to.text)) else {
                    break;
                };
                let tube = &mut assembly.tubes[index];
                *[&mut tube.start, &mut tube.end][side] = Ending::Miter(way);
            }
        }
    }
    require_sides_to_meet(reader, tubes, assembly);
}

/// Whether the sides of mitered tubes go on from the one to the other. Every miter is linked.
fn require_sides_to_meet(reader: &mut Reader, tubes: &[Named<raw::Tube>], assembly: &Assembly) {
    for raw in tubes {
        for (end, side) in [(&raw.thing.start, 0), (&raw.thing.end, 1)] {
            let Some(to) = end.to.as_ref() else { continue };
            let own = assembly.tubes.iter().find(|tube| tube.shared_name == raw.name.text);
            let Some(twist) = own.and_then(|own| twist_at_miter(assembly, own, side, &to.text)) else {
                continue;
            };
            if twist.abs() > 0.05 {
                let problem = Problem::new(format!("the sides of these tubes don't meet those of \"{}\"", to.text));
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
fn twist_at_miter(assembly: &Assembly, own: &TubeInSpace, side: usize, to: &str) -> Option<f64> {
    let end = own.ends()[side];
    let (other, other_side) = assembly
        .tubes
        .iter()
        .filter(|other| other.shared_name == to && !std::ptr::eq(*other, own))
        .find_map(|other| {
            let met = other.ends().iter().position(|met| (met.at - end.at).length() < MEET)?;
            Some((other, met))
        })?;
    let front = |tube: &TubeInSpace, side: usize| assembly.front_of_leg(tube, side * (tube.nodes.len() - 2));
    let (own_front, other_front) = (front(own, side)?, front(other, other_side)?);
    let cut = (end.into_tube() - other.ends()[other_side].into_tube()).normalize();
    let mirrored = other_front - 2.0 * other_front.dot(cut) * cut;
    let frame = Frame::new(end.at, end.into_tube(), own_front);
    let twist = mirrored.dot(frame.right).atan2(mirrored.dot(frame.front)).to_degrees();
    // A section with sides looks the same after half a turn, a square one after a quarter.
    let sides = assembly.stock[own.stock].tube.section.sides()?;
    let same = if sides.width == sides.height { 90.0 } else { 180.0 };
    Some(twist - (twist / same).round() * same)
}

/// The direction in which the tube that a mitered end meets comes to it.
fn way_of_other(assembly: &Assembly, index: usize, side: usize, to: &str) -> Result<DVec3, Problem> {
    let is_mitered = |end: &TubeEnd| matches!(end.ending, Ending::Miter(_));
    let tube = &assembly.tubes[index];
    let end = tube.ends()[side];
    if !is_mitered(&end) {
        return Err(Problem::new("only a mitered end has a tube that it meets").help("add \"join\": \"miter\""));
    }
    let others = assembly
        .tubes
        .iter()
        .enumerate()
        .filter(|(other, tube)| *other != index && tube.shared_name == to);
    let mut ends = others.flat_map(|(_, other)| other.ends().map(|end| (other, end)));
    let met = ends.find(|(_, other)| is_mitered(other) && (other.at - end.at).length() < MEET);
    let Some((other, other_end)) = met else {
        let DVec3 { x, y, z } = end.at;
        return Err(Problem::new(format!("no mitered end of \"{to}\" is where this one is"))
            .figures(format!("[{x:.1}, {y:.1}, {z:.1}]"))
            .help("both tubes must end in one point, each with \"join\": \"miter\" and the other's name"));
    };
    let way = (end.at - other_end.next).normalize();
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
        let figures = match (own.section.od_mm(), met.section.od_mm()) {
            (Some(own), Some(met)) => format!("{own:.2} mm and {met:.2} mm across"),
            _ => [own, met].map(|tube| tube.describe(Units::Millimetres)).join(" and "),
        };
        return Err(Problem::new("tubes of two sizes can't be mitered to each other")
            .figures(figures)
            .help("use one stock for both, or land the one on the other"));
    }
    Ok(way)
}

/// Ends this near to each other are one corner, in millimetres.
const MEET: f64 = 0.5;
