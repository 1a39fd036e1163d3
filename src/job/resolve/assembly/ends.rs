//! How tubes end: on bodies, square, mitered to each other.

use glam::DVec3;

use crate::job::raw::{self, Named, Word};
use crate::job::{Assembly, Ending, Join, TubeInSpace};
use crate::problem::Problem;

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
                .figures(format!("{clearance_mm:.2} mm, {}", join.word())),
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
    let ends = |tube: &TubeInSpace, is_start: bool| {
        let last = tube.nodes.len() - 1;
        if is_start {
            (tube.nodes[0], tube.nodes[1], tube.start)
        } else {
            (tube.nodes[last], tube.nodes[last - 1], tube.end)
        }
    };
    let is_of = |tube: &TubeInSpace, name: &str| {
        tube.name == name || tube.name.strip_prefix(name).is_some_and(|rest| rest.starts_with(' '))
    };
    for raw in tubes {
        for (end, is_start) in [(&raw.thing.start, true), (&raw.thing.end, false)] {
            let Some(to) = end.to.as_ref() else { continue };
            for index in (0..assembly.tubes.len())
                .filter(|&index| is_of(&assembly.tubes[index], &raw.name.text))
                .collect::<Vec<_>>()
            {
                let (at, _, ending) = ends(&assembly.tubes[index], is_start);
                if !matches!(ending, Ending::Miter(_)) {
                    reader.refuse(
                        to,
                        Problem::new("only a mitered end has a tube that it meets").help("add \"join\": \"miter\""),
                    );
                    break;
                }
                let others = assembly
                    .tubes
                    .iter()
                    .enumerate()
                    .filter(|(other, tube)| *other != index && is_of(tube, &to.text));
                let others = others.flat_map(|(_, other)| [ends(other, true), ends(other, false)]);
                let met = others
                    .filter(|(_, _, ending)| matches!(ending, Ending::Miter(_)))
                    .find(|(node, _, _)| (*node - at).length() < MEET);
                let Some((_, before, _)) = met else {
                    let problem = Problem::new(format!("no mitered end of \"{}\" is where this one is", to.text));
                    reader.refuse(
                        to,
                        problem
                            .figures(format!("[{:.1}, {:.1}, {:.1}]", at.x, at.y, at.z))
                            .help(
                                "both tubes must end in one point, each with \"join\": \"miter\" and the other's name",
                            ),
                    );
                    break;
                };
                let way = (at - before).normalize();
                if !can_be_mitered(reader, to, assembly, index, (at, way, is_start)) {
                    break;
                }
                let ending = Ending::Miter(way);
                if is_start {
                    assembly.tubes[index].start = ending
                } else {
                    assembly.tubes[index].end = ending
                }
            }
        }
    }
}

/// Whether the turn can be cut, and the two tubes are alike.
fn can_be_mitered(
    reader: &mut Reader,
    to: &Word,
    assembly: &Assembly,
    index: usize,
    (at, way, is_start): (DVec3, DVec3, bool),
) -> bool {
    let tube = &assembly.tubes[index];
    let next = if is_start {
        tube.nodes[1]
    } else {
        tube.nodes[tube.nodes.len() - 2]
    };
    let turn = way.angle_between((next - at).normalize()).to_degrees();
    let od = |tube: &TubeInSpace| assembly.stock[tube.stock].tube.od_mm;
    let other = assembly.tubes.iter().enumerate().find(|(other, tube)| {
        let ends = [tube.nodes[0], tube.nodes[tube.nodes.len() - 1]];
        *other != index
            && (tube.name == to.text || tube.name.starts_with(&format!("{} ", to.text)))
            && ends.iter().any(|end| (*end - at).length() < MEET)
    });
    let problem = if turn > 160.0 {
        Problem::new("these tubes turn back on each other")
            .figures(format!("a turn of {turn:.1} degrees"))
            .help("turns up to 160 degrees can be cut")
    } else if let Some((_, other)) = other.filter(|(_, other)| (od(other) - od(tube)).abs() > 0.01) {
        let figures = format!("{:.2} mm and {:.2} mm across", od(tube), od(other));
        Problem::new("tubes of two sizes can't be mitered to each other")
            .figures(figures)
            .help("use one stock for both, or land the one on the other")
    } else {
        return true;
    };
    reader.refuse(to, problem);
    false
}

/// Ends this near to each other are one corner, in millimetres.
const MEET: f64 = 0.5;
