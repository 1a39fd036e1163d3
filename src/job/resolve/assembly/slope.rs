//! Points of a path that are told by how the tube falls on its way there: where it lands is the answer.

use glam::DVec3;

use crate::body::Line;
use crate::job::raw;
use crate::job::{Assembly, BodyInSpace};
use crate::measure::parse_fall;
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::{Reader, direction, find_body, lengths};

/// Shorter than this, in millimetres, a way along the level is none.
const NONE: f64 = 1e-6;

/// Where a point that has `fall` is; `before` is the point before it, where that is sound.
pub(super) fn point(
    reader: &mut Reader,
    raw: &raw::Point,
    before: Option<DVec3>,
    is_first: bool,
    assembly: &Assembly,
) -> Option<DVec3> {
    let word = raw.fall.as_ref()?;
    if is_first {
        let problem = Problem::new("a tube can't fall on its way to its first point");
        return reader.refused(word, problem.help("give \"fall\" to the point that it falls to"));
    }
    let share = reader.read(word, parse_fall);
    match (&raw.on, &raw.step, &raw.at) {
        (None, Some(step), None) => {
            let step = lengths(reader, step)?;
            if step.z != 0.0 {
                let problem = Problem::new("the third number of this step is what the fall gives")
                    .figures(Phrase::default().length(step.z));
                return reader.refused(word, problem.help("make it 0, or leave \"fall\" out"));
            }
            Some(before? + step - share? * step.length() * DVec3::Z)
        }
        (Some(on), None, None) => {
            let body = find_body(reader, on, assembly);
            require_alone(reader, raw)?;
            let towards = raw.towards.as_ref().map(|words| direction(reader, words));
            let (share, body, before) = (share?, &assembly.bodies[body?], before?);
            let level = match towards {
                Some(way) => way?.with_z(0.0),
                None => to_axis(body, before),
            };
            if level.length() < NONE {
                let problem = Problem::new("it is not known which way the tube goes along the level");
                return reader.refused(word, problem.help("give \"towards\": [x, y, 0]"));
            }
            landing(reader, raw, body, before, level.normalize() - share * DVec3::Z)
        }
        _ => {
            let problem = Problem::new("\"fall\" belongs to a step, or to a point \"on\" a body");
            reader.refused(
                word,
                problem.help("leave it out, or name the body that the tube falls to with \"on\""),
            )
        }
    }
}

/// A landing that is found needs no place, and a drain's is another answer.
fn require_alone(reader: &mut Reader, raw: &raw::Point) -> Option<()> {
    let keys = [("along", &raw.along), ("round", &raw.round), ("out", &raw.out)];
    let given = keys.into_iter().find_map(|(key, word)| Some((key, word.as_ref()?)));
    let given = given.or_else(|| Some(("drain", &raw.drain.as_ref()?.above_floor)));
    let Some((key, word)) = given else { return Some(()) };
    let problem = Problem::new(format!(
        "where the tube lands follows from its fall, and \"{key}\" says it too"
    ));
    reader.refused(word, problem.help(format!("leave \"{key}\" out, or \"fall\"")))
}

/// Along the level to the nearest place of the body's axis; to a plate straight.
fn to_axis(body: &BodyInSpace, from: DVec3) -> DVec3 {
    let (foot, axis) = (body.placement.translation, body.axis());
    if body.outside.is_flat() {
        let out = body.placement.transform_vector3(DVec3::Z);
        return (-(from - foot).dot(out) * out).with_z(0.0);
    }
    (foot + (from - foot).dot(axis) * axis - from).with_z(0.0)
}

/// Where a line from a point first meets the body.
fn landing(reader: &mut Reader, raw: &raw::Point, body: &BodyInSpace, origin: DVec3, way: DVec3) -> Option<DVec3> {
    let line = Line {
        origin,
        direction: way.normalize(),
    };
    let word = raw.fall.as_ref()?;
    let Some(hit) = body.surface.first_hit(&line).filter(|hit| hit.distance > 0.0) else {
        let problem = Problem::new(format!("a tube that falls so doesn't meet \"{}\"", body.name));
        return reader.refused(
            word,
            problem.help("change \"fall\" or \"towards\", or the point before"),
        );
    };
    let place = line.at(hit.distance);
    let (along, _) = body.surface.place_of(place);
    if let Some([low, high]) = body.reach_along().filter(|[low, high]| along < *low || along > *high) {
        let figures = Phrase::from("it lands ")
            .length(along)
            .words(" along, the body reaches from ");
        let figures = figures.length(low).words(" to ").length(high);
        let problem = Problem::new(format!("a tube that falls so passes \"{}\" by", body.name)).figures(figures);
        return reader.refused(word, problem.help("change \"fall\", or the point before"));
    }
    Some(place)
}
