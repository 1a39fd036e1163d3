//! Tubes and their copies.

use std::collections::BTreeMap;

use glam::{DAffine3, DVec3};

use crate::job::limits::{MOST_PIECES, MOST_TUBES};
use crate::job::raw::{self, Named, Word};
use crate::job::{
    Assembly, BodyInSpace, CentreLine, DrainRequest, Ending, KeepOff, Piece, Strip, TubeInSpace, ZeroLine,
};
use crate::measure::Size;
use crate::phrase::{Phrase, stretches};
use crate::problem::Problem;

use super::corners::{path_shape, shape_word, sleeve_mark};
use super::ends::ending;
use super::leads_out::leads_out;
use super::made::made_already;
use super::points::{drain_request, path};
use super::seams::over_seams;
use super::{Reader, bodies, find_body, lengths};

/// Adds a tube and its copies to the assembly, and the tube as a body that later ones may land on.
pub(super) fn resolve(reader: &mut Reader, tube: &Named<raw::Tube>, assembly: &mut Assembly, is_sound: bool) {
    let raw = &tube.thing;
    let Some(first) = first(reader, tube, assembly, is_sound) else {
        return;
    };
    let Some(moves) = copies(reader, raw.repeat.as_ref(), assembly) else {
        return;
    };
    // A drain has yet to find its place: nothing can land on it.
    if first.drain.is_none() {
        add_as_bodies(reader, assembly, &first);
    }
    let Some(()) = require_room(reader, raw, &first, moves.len(), assembly) else {
        return;
    };
    let count = moves.len();
    let mut off = BTreeMap::new();
    for (number, placement) in moves.into_iter().enumerate() {
        let name = if count == 1 {
            first.name.clone()
        } else {
            format!("{} {}", first.name, number + 1)
        };
        let copy = TubeInSpace {
            name,
            ..moved(&first, placement)
        };
        let Some(copy) = over_seams(reader, raw, copy, assembly) else {
            return;
        };
        leaves_bodies(&copy, assembly, &mut off);
        if off.is_empty() {
            reader.name("tube so far", &copy.shared_name);
            assembly.tubes.push(copy);
        }
    }
    refuse_off_bodies(reader, raw, &first.name, off, assembly);
}

/// The tube before it is copied; `None` where something in its words was refused, or in those of what it stands on.
fn first(reader: &mut Reader, tube: &Named<raw::Tube>, assembly: &Assembly, is_sound: bool) -> Option<TubeInSpace> {
    let raw = &tube.thing;
    require_own_name(reader, &tube.name, assembly)?;
    let stock = raw.stock.as_ref().and_then(|word| reader.find(word, "stock"));
    let stock = stock.filter(|_| is_sound);
    if raw.path.len() < 2 {
        return reader.refused(
            &raw.here,
            Problem::new("a tube's path needs two points or more")
                .figures(format!("{} given", raw.path.len()))
                .help("give where it begins and where it ends"),
        );
    }
    let endings = [
        ending(reader, &tube.name, (&raw.start, &raw.path[0]), assembly),
        ending(reader, &tube.name, (&raw.end, &raw.path[raw.path.len() - 1]), assembly),
    ];
    let points = path(reader, &raw.path, assembly);
    let section = stock.map(|stock| &assembly.stock[stock].tube.section);
    let turned = reader.turned(raw.turned.as_ref(), section);
    let (stock, [Some(start), Some(end)], points, turned) = (stock?, endings, points?, turned?) else {
        return None;
    };
    let made = [
        made_already(reader, (&raw.start, &raw.path[0]), &start),
        made_already(reader, (&raw.end, &raw.path[raw.path.len() - 1]), &end),
    ];
    let [Some(at_start), Some(at_end)] = made else {
        return None;
    };
    let of_stock = &assembly.stock[stock].tube;
    let shape = path_shape(reader, raw, of_stock.across_mm() / 2.0)?;
    let CentreLine { nodes, gaps } = reader.take(shape_word(raw), shape.centre_line(&points))?;
    let sleeve_mark_mm = sleeve_mark(reader, raw.coupling.as_ref(), of_stock.across_mm())?;
    let drain = drain_request(reader, &raw.path, &points, shape, assembly)?;
    require_still_miters(reader, raw, drain.as_ref(), [&start, &end])?;
    let first = TubeInSpace {
        name: tube.name.text.clone(),
        shared_name: tube.name.text.clone(),
        stock,
        nodes,
        start,
        end,
        made: [at_start, at_end],
        falls_to_end: raw.path[raw.path.len() - 1].fall.is_some(),
        gaps,
        sleeve_mark_mm,
        drain,
        turned_deg: Some(turned).filter(|_| of_stock.has_sides()),
    };
    leads_out(reader, raw, &first, assembly).then_some(first)
}

fn require_own_name(reader: &mut Reader, name: &Word, assembly: &Assembly) -> Option<()> {
    let body = reader.number("body", &name.text).map(|body| &assembly.bodies[body]);
    if body.is_some_and(|body| body.of_tube.is_none()) {
        let problem = Problem::new(format!("\"{}\" is the name of a body already", name.text))
            .help("tubes can be landed on too: give each a name of its own");
        return reader.refused(name, problem);
    }
    Some(())
}

/// What a drain's landing takes with it when it finds its place must not be mitered to another tube.
fn require_still_miters(
    reader: &mut Reader,
    raw: &raw::Tube,
    drain: Option<&DrainRequest>,
    [start, end]: [&Ending; 2],
) -> Option<()> {
    let moves_miter = drain.is_some_and(|drain| {
        let (other, point) = if drain.is_at_start {
            (end, drain.moves.len() - 1)
        } else {
            (start, 0)
        };
        matches!(other, Ending::Miter(_)) && drain.moves[point]
    });
    if moves_miter {
        let problem = Problem::new("a drain that is mitered to another tube can't be moved")
            .help("give the mitered end as \"at\" [x, y, z]");
        return reader.refused(&raw.here, problem);
    }
    Some(())
}

/// Room in the job for so many copies and their pieces, which are counted here.
fn require_room(
    reader: &mut Reader,
    raw: &raw::Tube,
    tube: &TubeInSpace,
    count: usize,
    assembly: &Assembly,
) -> Option<()> {
    if assembly.tubes.len() + count > MOST_TUBES {
        let problem = Problem::new("this job has too many tubes")
            .figures(format!("more than {MOST_TUBES} with all copies"))
            .help("split it into several jobs");
        return reader.refused(times_word(raw), problem);
    }
    reader.pieces += count * (tube.nodes.len() - 1 - tube.gaps.len());
    if reader.pieces > MOST_PIECES {
        let problem = Problem::new("this job has too many pieces")
            .figures(format!("more than {MOST_PIECES} with all corners and copies"))
            .help("split it into several jobs, or make corners in fewer pieces");
        return reader.refused(times_word(raw), problem);
    }
    Some(())
}

/// The tube somewhere else.
fn moved(tube: &TubeInSpace, placement: DAffine3) -> TubeInSpace {
    let moved = |places: &[DVec3]| places.iter().map(|place| placement.transform_point3(*place)).collect();
    TubeInSpace {
        nodes: moved(&tube.nodes),
        drain: tube.drain.as_ref().map(|drain| DrainRequest {
            points: moved(&drain.points),
            ..drain.clone()
        }),
        ..tube.clone()
    }
}

/// Copies of a tube whose ends are off a body that they land on, by the body: the numbers of those that have one, and how far
/// the farthest is off, in millimetres.
type OffBodies = BTreeMap<usize, (Vec<usize>, f64)>;

/// Which of a copy's ends are off the bodies that they land on by more than a millimetre.
fn leaves_bodies(copy: &TubeInSpace, assembly: &Assembly, found: &mut OffBodies) {
    for end in copy.ends() {
        let Some(index) = end.body() else { continue };
        let surface = &assembly.bodies[index].surface;
        let (along, round) = surface.place_of(end.at);
        let off = (surface.site(along, round).point - end.at).length();
        if off > 1.0 {
            let (numbers, farthest) = found.entry(index).or_default();
            numbers.extend(copy.copy_number());
            *farthest = farthest.max(off);
        }
    }
}

/// One problem for each body, however many copies leave it.
fn refuse_off_bodies(reader: &mut Reader, raw: &raw::Tube, name: &str, found: OffBodies, assembly: &Assembly) {
    for (index, (numbers, farthest)) in found {
        let body = &assembly.bodies[index].name;
        let problem = match numbers.as_slice() {
            [] => Problem::new(format!("this tube ends off \"{body}\", on which it lands"))
                .figures(Phrase::from("by ").length(farthest))
                .help("change \"along\" or \"round\" to a place on the body"),
            [one] => Problem::new(format!("a copy leaves \"{body}\", on which it lands"))
                .figures(Phrase::from(format!("{name} {one} by ")).length(farthest))
                .help("step along the body, or turn about it"),
            many => {
                let names = format!("{name} {}, by up to ", stretches(many.iter().copied()));
                Problem::new(format!("copies leave \"{body}\", on which they land"))
                    .figures(Phrase::from(names).length(farthest))
                    .help("step along the body, or turn about it")
            }
        };
        reader.refuse(times_word(raw), problem);
    }
}

/// Where copies are asked for.
fn times_word(raw: &raw::Tube) -> &Word {
    raw.repeat
        .as_ref()
        .and_then(|repeat| repeat.times.as_ref())
        .unwrap_or(&raw.here)
}

/// The straight legs of a round tube can be landed on by those that come after it; it is the next to be added. A tube of one
/// leg is a body of its own name, the legs of another bear the names of their pieces.
fn add_as_bodies(reader: &mut Reader, assembly: &mut Assembly, tube: &TubeInSpace) {
    let stock = &assembly.stock[tube.stock].tube;
    let Some(od_mm) = stock.section.od_mm() else { return };
    let size = Size {
        od_mm,
        wall_mm: Some(stock.wall_mm),
        name: stock.name.clone(),
        units: reader.result_units(),
        notes: Vec::new(),
    };
    let (pieces, of_tube) = (assembly.pieces(tube), Some(assembly.tubes.len()));
    let is_straight = pieces.len() == 1;
    let legs = (0..tube.nodes.len() - 1).filter(|leg| !tube.gaps.contains(leg));
    for (piece, leg) in pieces.into_iter().zip(legs) {
        // What has the name already is not to be hidden by a leg.
        if !is_straight && reader.number("body", &piece.name).is_some() {
            continue;
        }
        let (from, to) = (tube.nodes[leg], tube.nodes[leg + 1]);
        let (axis, zero) = ((to - from).normalize(), piece.near.frame.front);
        let placement = DAffine3::from_mat3_translation(glam::DMat3::from_cols(axis.cross(zero), axis, zero), from);
        let body = bodies::round(piece.name.clone(), &size, placement, (to - from).length());
        reader.name("body", &body.name);
        assembly.bodies.push(BodyInSpace {
            of_tube,
            of_leg: (!is_straight).then_some(leg),
            zero_line: zero_line(&piece),
            keep_off: corners(&piece, od_mm / 2.0),
            ..body
        });
    }
}

/// A piece with two square ends has no wraps, and any line along it will do.
fn zero_line(piece: &Piece) -> ZeroLine {
    let is_plain = piece.flat_cuts_deg == [Some(0.0); 2];
    if is_plain { ZeroLine::OfBody } else { ZeroLine::Front }
}

/// Where a leg is cut off by its corners: from the place where the centre lines meet to where it is shortest.
fn corners(piece: &Piece, radius_mm: f64) -> Vec<KeepOff> {
    let cuts = piece.flat_cuts_deg.iter().zip(&piece.ends).enumerate();
    let corners = cuts.filter_map(|(end, (cut, words))| {
        let back = radius_mm * cut.filter(|_| words.body.is_none())?.to_radians().tan();
        let strip = match end {
            0 => [0.0, back],
            _ => [piece.length_mm - back, piece.length_mm],
        };
        (back > 0.0).then(|| KeepOff {
            name: ["the corner at its start", "the corner at its end"][end].to_owned(),
            strip: Strip::Round(strip),
            out_mm: 0.0,
        })
    });
    corners.collect()
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
            if body.outside.is_flat() {
                return reader.refused(
                    about,
                    Problem::new("a plate has no axis to turn about").help("turn about a round body, or use \"step\""),
                );
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
