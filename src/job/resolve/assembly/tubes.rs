//! Tubes: paths of measured points, corners in pieces, couplings, copies.

use glam::{DAffine3, DQuat, DVec3};

use crate::body::Site;
use crate::job::raw::{self, Named, Word};
use crate::job::{Assembly, BodyInSpace, DrainAsk, Ending, Extent, Join, Touch, TubeInSpace};
use crate::measure::{Size, Units, parse_angle};
use crate::problem::Problem;

use super::{MOST_TUBES, Reader, bodies, find, find_body, lengths};

/// Adds a tube and its copies to the assembly, and the tube as a body that later ones may land on.
pub(super) fn resolve(reader: &mut Reader, tube: &Named<raw::Tube>, assembly: &mut Assembly, is_sound: bool) {
    let raw = &tube.thing;
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
    let nodes = path(reader, &raw.path, assembly);
    let corner = corner(reader, &raw.corner);
    let (Some(stock), [Some(start), Some(end)], Some(nodes), Some(corner)) = (stock, endings, nodes, corner) else {
        return;
    };
    let Some(nodes) = with_corners(reader, raw, &nodes, corner, assembly.stock[stock].tube.radius()) else {
        return;
    };
    let Some((nodes, gaps)) = parted(reader, raw.coupling.as_ref(), nodes) else {
        return;
    };
    let Some(drain) = drain_ask(reader, &raw.path, nodes.len(), assembly) else {
        return;
    };
    let first = TubeInSpace {
        name: tube.name.text.clone(),
        stock,
        nodes,
        start,
        end,
        gaps,
        drain,
    };
    let Some(moves) = copies(reader, raw.repeat.as_ref(), assembly) else {
        return;
    };
    add_as_body(assembly, &first);
    let count = moves.len();
    for (number, placement) in moves.into_iter().enumerate() {
        let name = if count == 1 {
            first.name.clone()
        } else {
            format!("{} {}", first.name, number + 1)
        };
        let nodes = first
            .nodes
            .iter()
            .map(|node| placement.transform_point3(*node))
            .collect();
        assembly.tubes.push(TubeInSpace {
            name,
            nodes,
            ..first.clone()
        });
    }
}

/// A straight tube can be landed on by those that come after it.
fn add_as_body(assembly: &mut Assembly, tube: &TubeInSpace) {
    let [from, to] = tube.nodes[..] else { return };
    let stock = &assembly.stock[tube.stock].tube;
    let axis = (to - from).normalize();
    let zero = assembly.pieces(tube)[0].near.frame.front;
    let placement = DAffine3::from_mat3_translation(glam::DMat3::from_cols(axis.cross(zero), axis, zero), from);
    let size = Size {
        od_mm: stock.od_mm,
        wall_mm: Some(stock.wall_mm),
        name: stock.name.clone(),
        units: Units::Millimetres,
        notes: Vec::new(),
    };
    let body = bodies::round(tube.name.clone(), &size, placement, (to - from).length(), None);
    assembly.bodies.push(body);
}

/// How often an end that is not on a body is anything but square: never.
fn ending(reader: &mut Reader, raw: &raw::End, point: &raw::Point, assembly: &Assembly) -> Option<Ending> {
    #[derive(Clone, Copy, PartialEq)]
    enum How {
        Square,
        Body(Join),
    }
    let choices = [
        ("set-on", How::Body(Join::SetOn)),
        ("set-in", How::Body(Join::SetIn)),
        ("square", How::Square),
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
    let touch = raw.touch.as_ref().map_or(Some(Touch::Wall), |word| {
        reader.choice(
            word,
            &[
                ("wall", Touch::Wall),
                ("outside", Touch::Outside),
                ("inside", Touch::Inside),
            ],
        )
    })?;
    let clearance_mm = raw.clearance.as_ref().map_or(Some(0.0), |word| reader.length(word))?;
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

fn path(reader: &mut Reader, points: &[raw::Point], assembly: &Assembly) -> Option<Vec<DVec3>> {
    let mut nodes: Vec<Option<DVec3>> = Vec::new();
    for point in points {
        let before = nodes.last().copied().flatten();
        nodes.push(self::point(reader, point, before, assembly));
    }
    let nodes: Vec<DVec3> = nodes.into_iter().collect::<Option<_>>()?;
    for (pair, point) in nodes.windows(2).zip(&points[1..]) {
        if (pair[1] - pair[0]).length() < 0.5 {
            reader.refuse(&point.here, Problem::new("this point is where the one before it is"));
            return None;
        }
    }
    for (index, three) in nodes.windows(3).enumerate() {
        let turn = (three[1] - three[0]).angle_between(three[2] - three[1]).to_degrees();
        if turn > 160.0 {
            reader.refuse(
                &points[index + 1].here,
                Problem::new("the tube can't turn back on itself")
                    .figures(format!("a turn of {turn:.1} degrees"))
                    .help("turns up to 160 degrees can be cut"),
            );
            return None;
        }
    }
    Some(nodes)
}

fn point(reader: &mut Reader, raw: &raw::Point, before: Option<DVec3>, assembly: &Assembly) -> Option<DVec3> {
    match (&raw.on, &raw.step, &raw.at) {
        (Some(on), None, None) => on_body(reader, raw, on, assembly),
        (None, Some(step), None) => {
            let step = lengths(reader, step)?;
            // A broken point before this one has been reported already.
            Some(before? + step)
        }
        (None, None, Some(at)) => lengths(reader, at),
        _ => {
            reader.refuse(&raw.here, Problem::new("a point is given in one way").help("\"on\" a body with \"along\" and \"round\"; or a \"step\" from the point before; or \"at\" [x, y, z]"));
            None
        }
    }
}

fn on_body(reader: &mut Reader, raw: &raw::Point, on: &Word, assembly: &Assembly) -> Option<DVec3> {
    let body = find_body(reader, on, assembly);
    let along = match (&raw.drain, body) {
        (Some(drain), Some(body)) => drain_along(reader, raw, drain, &assembly.bodies[body]).map(|along| along.1),
        _ => raw.along.as_ref().map_or(Some(0.0), |word| reader.length(word)),
    };
    let out = raw.out.as_ref().map_or(Some(0.0), |word| reader.length(word));
    let round = raw
        .round
        .as_ref()
        .map_or(Some(Round::Arc(0.0)), |word| round(reader, word));
    let (body, along, out) = (&assembly.bodies[body?], along?, out?);
    let angle = match round? {
        Round::Degrees(degrees) => degrees.to_radians(),
        Round::Arc(arc) => body.surface.angle_of(along, arc),
    };
    let Site { point, normal } = body.surface.site(along, angle);
    Some(point + out * normal)
}

/// Where the floor is along a drain's body, and where the hole's low edge must be.
fn drain_along(reader: &mut Reader, point: &raw::Point, drain: &raw::Drain, body: &BodyInSpace) -> Option<(f64, f64)> {
    let above = reader.length(&drain.above_floor)?;
    let up = body.axis().z.signum();
    let is_upright =
        body.axis().z.abs() > 0.5 && matches!(body.extent, Extent::Round { radii, .. } if radii.0 == radii.1);
    let problem = if point.along.is_some() {
        Problem::new("a drain's place along its body is solved for").help("leave \"along\" out, or \"drain\"")
    } else if !is_upright {
        Problem::new("a drain needs a round body that stands")
            .help("on a body that lies, say where the tube lands: \"round\": \"180deg\" is its lowest line")
    } else if above < 0.0 {
        Problem::new("the hole's low edge can't be below the floor").figures(format!("{above:.2} mm"))
    } else if let Some(floor) = body.floor_mm {
        return Some((floor, floor + up * above));
    } else {
        Problem::new(format!("the floor of \"{}\" is not given", body.name))
            .help("add \"floor\" to the body: how far the inside floor is from its end")
    };
    reader.refuse(&drain.above_floor, problem);
    None
}

/// What must be solved for a drain at one end of the path. The points given by steps from it move with it.
fn drain_ask(
    reader: &mut Reader,
    points: &[raw::Point],
    nodes: usize,
    assembly: &Assembly,
) -> Option<Option<DrainAsk>> {
    let Some(at) = points.iter().position(|point| point.drain.is_some()) else {
        return Some(None);
    };
    let (point, last) = (&points[at], points.len() - 1);
    if at != 0 && at != last || point.on.is_none() || points.iter().filter(|point| point.drain.is_some()).count() > 1 {
        reader.refuse(
            &point.here,
            Problem::new("a drain is where a tube begins or ends on a body")
                .help("give \"drain\" to one end of the path, with \"on\" and \"round\""),
        );
        return None;
    }
    let body = &assembly.bodies[assembly
        .bodies
        .iter()
        .position(|body| point.on.as_ref().is_some_and(|on| on.text == body.name))?];
    let (floor_along, low_edge_along) = drain_along(reader, point, point.drain.as_ref()?, body)?;
    // Corners in several pieces make more nodes than points: then all but the far end move.
    let follows = |index: usize| {
        if at == 0 {
            points[1..=index].iter().all(|point| point.step.is_some())
        } else {
            index == at
        }
    };
    let moves = if nodes == points.len() {
        (0..nodes).map(follows).collect()
    } else {
        let all_follow = follows(last);
        (0..nodes)
            .map(|node| all_follow || (at == 0) == (node + 1 < nodes))
            .collect()
    };
    Some(Some(DrainAsk {
        is_at_start: at == 0,
        up: body.axis().z.signum(),
        floor_along,
        low_edge_along,
        moves,
    }))
}

enum Round {
    Degrees(f64),
    Arc(f64),
}

/// Degrees where it says so, else a length.
fn round(reader: &mut Reader, word: &Word) -> Option<Round> {
    let lower = word.text.to_lowercase();
    if lower.contains("deg") || lower.contains('°') {
        return reader.take(word, parse_angle(&word.text)).map(Round::Degrees);
    }
    reader.length(word).map(Round::Arc)
}

fn corner(reader: &mut Reader, raw: &raw::Corner) -> Option<(usize, Option<f64>)> {
    let pieces = raw
        .pieces
        .as_ref()
        .map_or(Some(2), |word| reader.count(word, "pieces", 2..=12));
    let radius = raw.radius.as_ref().map(|word| reader.length(word));
    Some((
        pieces?,
        match radius {
            Some(radius) => Some(radius?),
            None => None,
        },
    ))
}

/// Corners of more than two pieces become several nodes on the polygon round their arc.
fn with_corners(
    reader: &mut Reader,
    raw: &raw::Tube,
    nodes: &[DVec3],
    (pieces, radius): (usize, Option<f64>),
    tube_radius: f64,
) -> Option<Vec<DVec3>> {
    if pieces == 2 {
        return Some(nodes.to_vec());
    }
    let radius = radius.unwrap_or(3.0 * tube_radius);
    if radius <= tube_radius {
        let at = raw.corner.radius.as_ref().unwrap_or(&raw.here);
        reader.refuse(
            at,
            Problem::new("the corners' radius leaves the inside of the turn no length")
                .figures(format!("{radius:.1} mm against the tube's {tube_radius:.1} mm")),
        );
        return None;
    }
    let mut made = vec![nodes[0]];
    for three in nodes.windows(3) {
        let (before, after) = ((three[1] - three[0]).normalize(), (three[2] - three[1]).normalize());
        let turn = before.angle_between(after);
        let cut = turn / (2 * (pieces - 1)) as f64;
        let Some(about) = before.cross(after).try_normalize() else {
            continue;
        };
        let mut at = three[1] - radius * (turn / 2.0).tan() * before + radius * cut.tan() * before;
        made.push(at);
        for piece in 1..pieces - 1 {
            let heading = DQuat::from_axis_angle(about, 2.0 * cut * piece as f64) * before;
            at += 2.0 * radius * cut.tan() * heading;
            made.push(at);
        }
    }
    made.push(nodes[nodes.len() - 1]);
    Some(made)
}

/// A coupling's gap as two more nodes.
fn parted(reader: &mut Reader, raw: Option<&raw::Coupling>, mut nodes: Vec<DVec3>) -> Option<(Vec<DVec3>, Vec<usize>)> {
    let Some(raw) = raw else {
        return Some((nodes, Vec::new()));
    };
    let (at, gap) = (
        raw.at.as_ref().and_then(|word| reader.length(word)),
        raw.gap.as_ref().and_then(|word| reader.length(word)),
    );
    let (at, gap) = (at?, gap?);
    let mut passed = 0.0;
    for leg in 0..nodes.len() - 1 {
        let (from, to) = (nodes[leg], nodes[leg + 1]);
        let length = (to - from).length();
        let (begin, end) = (at - gap / 2.0 - passed, at + gap / 2.0 - passed);
        if gap > 0.0 && begin > 0.0 && end < length {
            let way = (to - from).normalize();
            nodes.splice(leg + 1..leg + 1, [from + begin * way, from + end * way]);
            return Some((nodes, vec![leg + 1]));
        }
        passed += length;
    }
    if let Some(word) = &raw.at {
        reader.refuse(
            word,
            Problem::new("the coupling's gap doesn't lie within one straight leg").figures(format!(
                "{:.1} to {:.1} mm along a path of {passed:.1} mm",
                at - gap / 2.0,
                at + gap / 2.0
            )),
        );
    }
    None
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
