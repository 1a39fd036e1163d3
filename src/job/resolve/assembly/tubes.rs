//! Tubes and their copies.

use glam::{DAffine3, DVec3};

use crate::job::raw::{self, Named, Word};
use crate::job::{Assembly, BodyInSpace, CentreLine, DrainAsk, Ending, Extent, TubeInSpace};
use crate::measure::{Size, Units};
use crate::problem::Problem;

use super::corners::{path_shape, shape_word, sleeve_mark};
use super::ends::ending;
use super::points::{drain_ask, path};
use super::{MOST_TUBES, Reader, bodies, find, find_body, lengths};

/// Adds a tube and its copies to the assembly, and the tube as a body that later ones may land on.
pub(super) fn resolve(reader: &mut Reader, tube: &Named<raw::Tube>, assembly: &mut Assembly, is_sound: bool) {
    let raw = &tube.thing;
    if assembly
        .bodies
        .iter()
        .any(|body| body.of_tube.is_none() && body.name == tube.name.text)
    {
        reader.refuse(
            &tube.name,
            Problem::new(format!("\"{}\" is the name of a body already", tube.name.text))
                .help("tubes can be landed on too: give each a name of its own"),
        );
        return;
    }
    let names: Vec<&str> = assembly.stock.iter().map(|stock| stock.name.as_str()).collect();
    let stock = if is_sound {
        raw.stock.as_ref().and_then(|word| find(reader, word, "stock", &names))
    } else {
        None
    };
    if raw.path.len() < 2 {
        reader.refuse(
            &raw.here,
            Problem::new("a tube's path needs two points or more").help("give where it begins and where it ends"),
        );
        return;
    }
    let endings = [
        ending(reader, &raw.start, &raw.path[0], assembly),
        ending(reader, &raw.end, &raw.path[raw.path.len() - 1], assembly),
    ];
    let points = path(reader, &raw.path, assembly);
    let section = stock.map(|stock| &assembly.stock[stock].tube.section);
    let turned = reader.turned(raw.turned.as_ref(), section);
    let (Some(stock), [Some(start), Some(end)], Some(points), Some(turned)) = (stock, endings, points, turned) else {
        return;
    };
    let shape = path_shape(reader, raw, assembly.stock[stock].tube.across_mm() / 2.0);
    let Some(shape) = shape else { return };
    let CentreLine { nodes, gaps } = match shape.centre_line(&points) {
        Ok(line) => line,
        Err(problem) => {
            reader.refuse(shape_word(raw), problem);
            return;
        }
    };
    let sleeve = sleeve_mark(reader, raw.coupling.as_ref(), assembly.stock[stock].tube.across_mm());
    let Some(sleeve_mark_mm) = sleeve else { return };
    let Some(drain) = drain_ask(reader, &raw.path, &points, shape, assembly) else {
        return;
    };
    let moves_miter = drain.as_ref().is_some_and(|drain: &DrainAsk| {
        let other = if drain.is_at_start {
            (end, drain.moves.len() - 1)
        } else {
            (start, 0)
        };
        matches!(other.0, Ending::Miter(_)) && drain.moves[other.1]
    });
    if moves_miter {
        reader.refuse(
            &raw.here,
            Problem::new("a drain that is mitered to another tube can't be moved")
                .help("give the mitered end as \"at\" [x, y, z]"),
        );
        return;
    }
    let first = TubeInSpace {
        name: tube.name.text.clone(),
        shared_name: tube.name.text.clone(),
        stock,
        nodes,
        start,
        end,
        gaps,
        sleeve_mark_mm,
        drain,
        turned_deg: Some(turned).filter(|_| assembly.stock[stock].tube.has_sides()),
    };
    if !leads_out(reader, raw, &first, assembly) {
        return;
    }
    let Some(moves) = copies(reader, raw.repeat.as_ref(), assembly) else {
        return;
    };
    // A drain has yet to find its place: nothing can land on it.
    if first.drain.is_none() {
        add_as_body(assembly, &first);
    }
    let count = moves.len();
    if assembly.tubes.len() + count > MOST_TUBES {
        reader.refuse(
            times_word(raw),
            Problem::new("this job has too many tubes")
                .figures(format!("more than {MOST_TUBES} with all copies"))
                .help("split it into several jobs"),
        );
        return;
    }
    for (number, placement) in moves.into_iter().enumerate() {
        let name = if count == 1 {
            first.name.clone()
        } else {
            format!("{} {}", first.name, number + 1)
        };
        let moved = |places: &[DVec3]| places.iter().map(|place| placement.transform_point3(*place)).collect();
        let copy = TubeInSpace {
            name,
            nodes: moved(&first.nodes),
            drain: first.drain.as_ref().map(|drain| DrainAsk {
                points: moved(&drain.points),
                ..drain.clone()
            }),
            ..first.clone()
        };
        if !stays_on_bodies(reader, raw, &copy, assembly) {
            return;
        }
        assembly.tubes.push(copy);
    }
}

/// Whether a copy's ends are still on the bodies that they land on, to within a millimetre.
fn stays_on_bodies(reader: &mut Reader, raw: &raw::Tube, copy: &TubeInSpace, assembly: &Assembly) -> bool {
    for end in copy.ends() {
        let Some(body) = end.body().map(|body| &assembly.bodies[body]) else {
            continue;
        };
        let (along, round) = body.surface.place_of(end.at);
        let off = (body.surface.site(along, round).point - end.at).length();
        if off > 1.0 {
            let problem = Problem::new(format!("a copy leaves \"{}\", on which it lands", body.name));
            let problem = problem
                .figures(format!("by {off:.1} mm"))
                .help("step along the body, or turn about it");
            reader.refuse(times_word(raw), problem);
            return false;
        }
    }
    true
}

/// Where copies are asked for.
fn times_word(raw: &raw::Tube) -> &Word {
    raw.repeat
        .as_ref()
        .and_then(|repeat| repeat.times.as_ref())
        .unwrap_or(&raw.here)
}

/// Whether each end that lands on a body leads out of it, not through it.
fn leads_out(reader: &mut Reader, raw: &raw::Tube, tube: &TubeInSpace, assembly: &Assembly) -> bool {
    let mut all_do = true;
    for (end, point) in tube
        .ends()
        .into_iter()
        .zip([&raw.path[0], &raw.path[raw.path.len() - 1]])
    {
        let Some(body) = end.body().map(|body| &assembly.bodies[body]) else {
            continue;
        };
        let (along, round) = body.surface.place_of(end.at);
        let normal = body.surface.site(along, round).normal;
        let rise = end.into_tube().dot(normal).clamp(-1.0, 1.0).asin().to_degrees();
        if rise < 1.0 {
            let problem = Problem::new(format!(
                "from here the tube leads into \"{}\", not out of it",
                body.name
            ))
            .figures(format!("{rise:.1} degrees over its skin"));
            let help = "land on the side that faces the next point: change \"round\", or the step";
            reader.refuse(&point.here, problem.help(help));
            all_do = false;
        }
    }
    all_do
}

/// A straight round tube can be landed on by those that come after it; it is the next to be added.
fn add_as_body(assembly: &mut Assembly, tube: &TubeInSpace) {
    let [from, to] = tube.nodes[..] else { return };
    let stock = &assembly.stock[tube.stock].tube;
    let Some(od_mm) = stock.section.od_mm() else { return };
    let axis = (to - from).normalize();
    let zero = assembly.pieces(tube)[0].near.frame.front;
    let placement = DAffine3::from_mat3_translation(glam::DMat3::from_cols(axis.cross(zero), axis, zero), from);
    let size = Size {
        od_mm,
        wall_mm: Some(stock.wall_mm),
        name: stock.name.clone(),
        units: Units::Millimetres,
        notes: Vec::new(),
    };
    let body = bodies::round(tube.name.clone(), &size, placement, (to - from).length());
    let of_tube = Some(assembly.tubes.len());
    assembly.bodies.push(BodyInSpace { of_tube, ..body });
}

/// Where each copy goes: the first stays.
fn copies(reader: &mut Reader, raw: Option<&raw::Repeat>, assembly: &Assembly) -> Option<Vec<DAffine3>> {
    let Some(raw) = raw else {
        return Some(vec![DAffine3::IDENTITY]);
    };
    let times = raw
        .times
        .as_ref()
        .and_then(|word| reader.count(word, "copies", 1..=MOST_TUBES))?;
    match (&raw.step, &raw.turn, &raw.about) {
        (Some(step), None, None) => {
            let step = lengths(reader, step)?;
            Some(
                (0..times)
                    .map(|copy| DAffine3::from_translation(copy as f64 * step))
                    .collect(),
            )
        }
        (None, Some(turn), Some(about)) => {
            let (turn, body) = (reader.angle(turn), find_body(reader, about, assembly));
            let (turn, body) = (turn?.to_radians(), &assembly.bodies[body?]);
            if body.extent == Extent::Flat {
                reader.refuse(
                    about,
                    Problem::new("a plate has no axis to turn about").help("turn about a round body, or use \"step\""),
                );
                return None;
            }
            let (axis, origin) = (body.axis(), body.placement.translation);
            let turned = |copy: usize| {
                DAffine3::from_translation(origin)
                    * DAffine3::from_axis_angle(axis, turn * copy as f64)
                    * DAffine3::from_translation(-origin)
            };
            Some((0..times).map(turned).collect())
        }
        _ => {
            if let Some(word) = &raw.times {
                reader.refuse(
                    word,
                    Problem::new("copies are stepped or turned")
                        .help("give \"step\": [x, y, z]; or \"turn\" in degrees with \"about\" a body"),
                );
            }
            None
        }
    }
}
