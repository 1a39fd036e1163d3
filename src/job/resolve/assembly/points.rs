//! Points of a path: places on bodies, steps, coordinates, drains.

use glam::DVec3;

use crate::body::{Mark, Site};
use crate::job::raw::{self, Word};
use crate::job::{Assembly, BodyInSpace, DrainRequest, PathShape};
use crate::measure::SAME_MM;
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::stacks::spot;
use super::{Reader, find_body, given, lengths, mark, round_of, slope};

/// Radians past which a place round a body is a slip.
const MOST_ROUND: f64 = 1e3;

/// How "round" is measured on a plate.
pub(super) const ACROSS_A_PLATE: &str =
    "measure it across the plate from its point \"at\": above 0 to the right, below 0 to the left";

/// How "along" is measured on a body.
pub(super) fn along_help(body: &BodyInSpace) -> &'static str {
    if body.outside.is_flat() {
        "measure it on the plate from its point \"at\": above 0 up, below 0 down"
    } else {
        "measure it along the body from its end"
    }
}

/// The points in space, in order.
pub(super) fn path(reader: &mut Reader, points: &[raw::Point], assembly: &Assembly) -> Option<Vec<DVec3>> {
    let mut nodes: Vec<Option<DVec3>> = Vec::new();
    for point in points {
        let before = nodes.last().copied().flatten();
        let node = match point.fall {
            Some(_) => slope::point(reader, point, before, nodes.is_empty(), assembly),
            None => self::point(reader, point, before, assembly),
        };
        nodes.push(node);
    }
    let nodes: Vec<DVec3> = nodes.into_iter().collect::<Option<_>>()?;
    for (pair, point) in nodes.windows(2).zip(&points[1..]) {
        if (pair[1] - pair[0]).length() < 0.5 {
            return reader.refused(
                &point.here,
                Problem::new("this point is where the one before it is")
                    .figures(Phrase::default().length((pair[1] - pair[0]).length()).words(" from it"))
                    .help(reader.result_units().either(
                        "leave one of the two out, or move it by 0.5 mm or more",
                        "leave one of the two out, or move it by 1/32 in or more",
                    )),
            );
        }
    }
    for (index, three) in nodes.windows(3).enumerate() {
        let turn = (three[1] - three[0]).angle_between(three[2] - three[1]).to_degrees();
        if turn > 160.0 {
            return reader.refused(
                &points[index + 1].here,
                Problem::new("the tube can't turn back on itself")
                    .figures(format!("a turn of {turn:.1} degrees"))
                    .help("turns up to 160 degrees can be cut"),
            );
        }
    }
    Some(nodes)
}

fn point(reader: &mut Reader, raw: &raw::Point, before: Option<DVec3>, assembly: &Assembly) -> Option<DVec3> {
    require_body(reader, raw)?;
    if let Some([first, ..]) = &raw.towards {
        let problem = Problem::new("\"towards\" says which way a tube falls, and this point has no \"fall\"");
        return reader.refused(first, problem.help("leave it out, or give \"fall\""));
    }
    match (&raw.on, &raw.step, &raw.at) {
        (Some(on), None, None) => on_body(reader, raw, on, assembly),
        (None, Some(step), None) => {
            let step = lengths(reader, step)?;
            // A broken point before this one has been reported already.
            Some(before? + step)
        }
        (None, None, Some(at)) => spot(reader, at, &assembly.stacks),
        _ => {
            reader.refused(&raw.here, Problem::new("a point is given in one way").help("\"on\" a body with \"along\" and \"round\"; or a \"step\" from the point before; or \"at\" [x, y, z] or a place on a stack"))
        }
    }
}

/// Some keys say where a point is on a body, and belong to no other.
fn require_body(reader: &mut Reader, raw: &raw::Point) -> Option<()> {
    if raw.on.is_some() {
        return Some(());
    }
    let help = if raw.step.is_some() || raw.at.is_some() {
        "leave it out; or name the body with \"on\" instead of \"step\" or \"at\""
    } else {
        "name the body with \"on\" too; straight out of a landing, say \"on\", \"along\" and \"round\" again with it"
    };
    let keys = [("along", &raw.along), ("round", &raw.round), ("out", &raw.out)];
    let mut is_sound = true;
    for (key, word) in keys {
        let Some(word) = word else { continue };
        let problem = Problem::new(format!("\"{key}\" belongs to a point that is \"on\" a body"));
        reader.refuse(word, problem.help(help));
        is_sound = false;
    }
    is_sound.then_some(())
}

fn on_body(reader: &mut Reader, raw: &raw::Point, on: &Word, assembly: &Assembly) -> Option<DVec3> {
    let body = find_body(reader, on, assembly);
    let along = match (&raw.drain, body) {
        (Some(drain), Some(body)) => drain_along(reader, raw, drain, &assembly.bodies[body]).map(|along| along.1),
        _ => given(&raw.along, 0.0, |word| reader.length(word)),
    };
    let out = given(&raw.out, 0.0, |word| reader.length(word));
    let round = given(&raw.round, Mark::Arc(0.0), |word| mark(reader, word));
    let (body, along, out) = (&assembly.bodies[body?], along?, out?);
    let word = raw.round.as_ref().unwrap_or(&raw.here);
    let angle = round_of(reader, word, round?, body, along)?;
    if matches!(round, Some(Mark::Angle(_))) && angle.abs() > MOST_ROUND {
        let problem = Problem::new("this place is many times round the body")
            .figures(format!("{:.0} degrees", angle.to_degrees()))
            .help("once round is 360 degrees");
        return reader.refused(word, problem);
    }
    if !(body.outside.is_flat() || angle.abs() < MOST_ROUND) {
        let problem = Problem::new("there is no girth here to measure round")
            .help("give \"round\" in degrees, or another \"along\"");
        return reader.refused(word, problem);
    }
    // What is not moved out lands there.
    let off_it = body
        .reach_along()
        .filter(|[low, high]| out == 0.0 && !(*low..=*high).contains(&along));
    if let (Some(reach), Some(word)) = (off_it, &raw.along) {
        reader.doubt_length(word, reach);
    }
    let Site { point, normal } = body.surface.site(along, angle);
    require_on_head(reader, raw.along.as_ref().unwrap_or(&raw.here), body, point)?;
    Some(point + out * normal)
}

/// A head that closes nothing ends with its flange.
fn require_on_head(reader: &mut Reader, word: &Word, body: &BodyInSpace, point: DVec3) -> Option<()> {
    let past = -body.placement.inverse().transform_point3(point).y;
    if body.outside.rim_mm().is_none() || !body.seams.is_empty() || past <= SAME_MM {
        return Some(());
    }
    let problem = Problem::new(format!("this place is past the end of \"{}\"", body.name))
        .figures(Phrase::from("by ").length(past))
        .help("measure it from the apex over the skin; a cylinder's \"from_head\" or \"to_head\" makes one vessel of both");
    reader.refused(word, problem)
}

/// Where the floor is along a drain's body, and where the hole's low edge must be.
fn drain_along(reader: &mut Reader, point: &raw::Point, drain: &raw::Drain, body: &BodyInSpace) -> Option<(f64, f64)> {
    let above = reader.length(&drain.above_floor)?;
    let up = body.axis().z.signum();
    let is_upright = body.axis().z.abs() > 0.5 && body.is_straight();
    let problem = if point.along.is_some() {
        Problem::new("a drain's place along its body is solved for").help("leave \"along\" out, or \"drain\"")
    } else if !is_upright {
        Problem::new("a drain needs a round body that stands")
            .help("on a body that lies, say where the tube lands: \"round\": \"180deg\" is its lowest line")
    } else if above < 0.0 {
        Problem::new("the hole's low edge can't be below the floor")
            .figures(Phrase::default().length(above))
            .help("give 0 or more; measure the floor again where it is lower")
    } else if let Some(floor) = body.floor_mm {
        return Some((floor, floor + up * above));
    } else {
        Problem::new(format!("the floor of \"{}\" is not given", body.name))
            .help("add \"floor\" to the body: how far the inside floor is from its end")
    };
    reader.refused(&drain.above_floor, problem)
}

/// What must be solved for a drain at one end of the path. The points given by steps from it move with it.
pub(super) fn drain_request(
    reader: &mut Reader,
    points: &[raw::Point],
    places: &[DVec3],
    shape: PathShape,
    assembly: &Assembly,
) -> Option<Option<DrainRequest>> {
    let Some(at) = points.iter().position(|point| point.drain.is_some()) else {
        return Some(None);
    };
    let (point, last) = (&points[at], points.len() - 1);
    if at != 0 && at != last || point.on.is_none() || points.iter().filter(|point| point.drain.is_some()).count() > 1 {
        return reader.refused(
            &point.here,
            Problem::new("a drain is where a tube begins or ends on a body")
                .help("give \"drain\" to one end of the path, with \"on\" and \"round\""),
        );
    }
    let body = &assembly.bodies[assembly
        .bodies
        .iter()
        .position(|body| point.on.as_ref().is_some_and(|on| on.text == body.name))?];
    let (floor_along, low_edge_along) = drain_along(reader, point, point.drain.as_ref()?, body)?;
    for falling in points.iter().filter(|point| point.fall.is_some() && point.on.is_some()) {
        require_upright(reader, falling, body, assembly)?;
    }
    // Points given by steps from the landing move with it, and what it falls to.
    let follows = |index: usize| match at {
        0 => points[1..=index]
            .iter()
            .all(|point| point.step.is_some() || point.fall.is_some()),
        _ => index == at,
    };
    Some(Some(DrainRequest {
        is_at_start: at == 0,
        up: body.axis().z.signum(),
        floor_along,
        low_edge_along,
        points: places.to_vec(),
        moves: (0..points.len()).map(follows).collect(),
        shape,
    }))
}

/// A drain finds its own place up or down its body: what it falls to must be met as far up or down as well.
fn require_upright(reader: &mut Reader, point: &raw::Point, drained: &BodyInSpace, assembly: &Assembly) -> Option<()> {
    let on = point.on.as_ref()?;
    let body = &assembly.bodies[find_body(reader, on, assembly)?];
    let is_alongside = body.is_straight() && body.axis().cross(drained.axis()).length() < 1e-9;
    if !is_alongside {
        let problem = Problem::new(format!(
            "a drain falls only to what stands as \"{}\" does",
            drained.name
        ));
        return reader.refused(
            on,
            problem.help("give the drain's \"along\" in place of \"drain\", or where it lands in place of \"fall\""),
        );
    }
    Some(())
}
