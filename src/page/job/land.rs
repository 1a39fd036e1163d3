//! Where a tube lands: as the text says it, and the words by which the text says another place of the same body.

use kurbo::{Point, Vec2};

use super::form::below;
use super::lengths::{figure, units};
use crate::body::Development;
use crate::job::BodyInSpace;
use crate::job::edit::{Edit, Key, Tree, Way};
use crate::measure::{Fractions, MM_PER_INCH, SAME_MM, Units, parse_angle, parse_length};
use crate::plan::{FlatSkin, JobPlan};

/// Sixteenths of an inch.
const SIXTEENTHS: f64 = 16.0;
/// Steps round in degrees: the first that is about as long on the skin as a step along, or shorter.
const DEGREES: [f64; 4] = [1.0, 0.5, 0.2, 0.1];
const ABOUT: f64 = 1.5;

/// A point of a tube's path on a body.
pub(super) struct Landing<'a> {
    pub(super) job: &'a JobPlan,
    /// By index.
    pub(super) body: usize,
    /// Along in millimetres and round in radians, across a plate in millimetres; none where the words tell no place.
    pub(super) place: Option<(f64, f64)>,
    /// What of it is measured, and not solved for: along and round.
    pub(super) is_told: [bool; 2],
}

impl<'a> Landing<'a> {
    /// Of the point at such a place of the text; none where it isn't on a body that is there.
    pub(super) fn of(tree: &Tree<'_>, job: &'a JobPlan, at: &[Key]) -> Option<Self> {
        let on = tree.typed(&below(at, "on"))?;
        let bodies = &job.assembly.bodies;
        let body = bodies
            .iter()
            .position(|body| body.name == on && body.of_body.is_none())?;
        let has = |key: &str| tree.has(&below(at, key));
        let is_told = [!has("drain") && !has("fall"), !has("fall")];
        let place = match is_told {
            [true, true] => told(tree, &bodies[body], at),
            _ => solved(tree, job, &bodies[body], at),
        };
        Some(Self {
            job,
            body,
            place,
            is_told,
        })
    }

    pub(super) fn in_space(&self) -> &'a BodyInSpace {
        &self.job.assembly.bodies[self.body]
    }

    /// The edits with which it lands elsewhere, by a place of the body's skin laid flat; none where it can't be.
    pub(super) fn on_skin(&self, tree: &Tree<'_>, at: &[Key], place: Point) -> Option<Vec<Edit>> {
        let flat = FlatSkin::new(self.in_space())?;
        // What is pointed at past the slit is meant to be on it.
        let place = match flat.shape {
            Development::Strip { girth } => Point::new(place.x.clamp(-girth / 2.0, girth / 2.0), place.y),
            _ => place,
        };
        let (along, round) = flat.measured_at(place);
        Some(self.elsewhere(tree, at, along, round))
    }

    /// The same by along in millimetres and round in radians, across a plate in millimetres: whole steps, in the units and the
    /// way in which the text says them. Points of the path straight over it, or under it, go with it.
    pub(super) fn elsewhere(&self, tree: &Tree<'_>, at: &[Key], along: f64, round: f64) -> Vec<Edit> {
        let path = &at[..at.len().saturating_sub(1)];
        let points = (0..tree.count(path)).map(|index| below(path, index));
        let is_straight_over = |point: &Way| {
            let is_same = tree.typed(&below(point, "on")) == tree.typed(&below(at, "on"))
                && !["drain", "fall"].iter().any(|key| tree.has(&below(point, *key)));
            let place = is_same.then(|| told(tree, self.in_space(), point)).flatten();
            self.place
                .zip(place)
                .is_some_and(|((along, round), (other, other_round))| {
                    (along - other).abs() < SAME_MM && (round - other_round).abs() < SAME_MM
                })
        };
        let with_it = points.filter(|point| point != at && is_straight_over(point));
        std::iter::once(at.to_vec())
            .chain(with_it)
            .flat_map(|point| self.edits(tree, &point, (along, round)))
            .collect()
    }

    fn edits(&self, tree: &Tree<'_>, at: &[Key], place: (f64, f64)) -> Vec<Edit> {
        let words = ["along", "round"].into_iter().zip(self.words(tree, at, place));
        let told = words.zip(self.is_told).filter(|(_, is_told)| *is_told);
        told.map(|((key, words), _)| Edit::Type {
            at: below(at, key),
            words,
        })
        .collect()
    }

    /// Along and round in words: on the body, in whole steps.
    pub(super) fn words(&self, tree: &Tree<'_>, at: &[Key], (along, round): (f64, f64)) -> [String; 2] {
        let body = self.in_space();
        let [reach, edges] = [
            body.reach_along(),
            body.outside.edges_mm().map(|[wide, _]| [-wide / 2.0, wide / 2.0]),
        ];
        let within = |value: f64, ends: Option<[f64; 2]>| ends.map_or(value, |[low, high]| value.clamp(low, high));
        let (along, round) = (within(along, reach), within(round, edges));
        let [before_along, before] = ["along", "round"].map(|key| tree.typed(&below(at, key)).unwrap_or_default());
        let units = tree.has(&["units".into()]).then(|| units(tree));
        let round = match body.surface.girth(along) {
            Some(girth) if before.is_empty() || degrees_at(&before).is_some() => {
                degrees_like(&before, round.to_degrees(), girth, units)
            }
            Some(_) => length_like(&before, body.surface.arc_of(along, round), units),
            None => length_like(&before, round, units),
        };
        [length_like(&before_along, along, units), round]
    }
}

/// As the words say.
fn told(tree: &Tree<'_>, body: &BodyInSpace, at: &[Key]) -> Option<(f64, f64)> {
    let typed = |key: &str| tree.typed(&below(at, key)).filter(|typed| !typed.is_empty());
    let length = |words: Option<String>| words.map_or(Some(0.0), |words| parse_length(&words, Some(units(tree))).ok());
    let along = length(typed("along"))?;
    let round = typed("round");
    let round = match &round {
        Some(words) if degrees_at(words).is_some() => parse_angle(words).ok()?.to_radians(),
        words => body.surface.angle_of(along, length(words.clone())?),
    };
    Some((along, round))
}

/// As it was solved for, at a tube's first point or its last.
fn solved(tree: &Tree<'_>, job: &JobPlan, body: &BodyInSpace, at: &[Key]) -> Option<(f64, f64)> {
    let [_, Key::Name(name), path @ .., Key::Index(index)] = at else {
        return None;
    };
    let tube = job.assembly.tubes.iter().find(|tube| tube.shared_name == *name)?;
    let last = tree.count(&[&at[..2], path].concat()).checked_sub(1)?;
    let node = match index {
        0 => tube.nodes.first(),
        index if *index == last => tube.nodes.last(),
        _ => None,
    };
    node.map(|node| body.surface.place_of(*node))
}

/// Where degrees begin in words that are told in them, the space before them included.
fn degrees_at(words: &str) -> Option<usize> {
    let lower = words.to_lowercase();
    let at = ["deg", "°"].iter().filter_map(|mark| lower.find(mark)).min()?;
    Some(lower[..at].trim_end().len())
}

/// Degrees to a step that is about as long on the skin as one of a length.
fn degrees_like(before: &str, degrees: f64, girth: f64, units: Option<Units>) -> String {
    let step = units
        .unwrap_or(Units::Millimetres)
        .either(1.0, MM_PER_INCH / SIXTEENTHS);
    let is_fine = |degrees: &&f64| **degrees / 360.0 * girth <= ABOUT * step;
    let by = DEGREES.iter().find(is_fine).unwrap_or(&DEGREES[3]);
    let unit = degrees_at(before).map_or("deg", |at| &before[at..]);
    let degrees = match (degrees / by).round() * by {
        left if left <= -180.0 => left + 360.0,
        degrees => degrees + 0.0,
    };
    format!("{}{unit}", figure(degrees))
}

/// A length to a whole step, in the unit of the words before it, else in the file's; with a unit where the file has none.
fn length_like(before: &str, mm: f64, file: Option<Units>) -> String {
    let before = before.trim().to_lowercase();
    let has_unit = parse_length(&before, None).is_ok();
    let (units, unit) = match (has_unit, file) {
        (true, _) if before.ends_with("mm") => (Units::Millimetres, "mm"),
        (true, _) if before.ends_with("in") || before.ends_with('"') => (Units::INCHES, "in"),
        (_, Some(units)) if !has_unit => (units, ""),
        (_, units) => units.map_or((Units::Millimetres, "mm"), |units| (units, units.name())),
    };
    let words = match units {
        Units::Millimetres => figure(mm.round() + 0.0),
        Units::Inches(_) => {
            let sixteenths = (mm / MM_PER_INCH * SIXTEENTHS).round();
            if before.contains('.') {
                figure(sixteenths / SIXTEENTHS + 0.0)
            } else {
                let told = Units::Inches(Fractions::Sixteenths).show(sixteenths / SIXTEENTHS * MM_PER_INCH);
                told.split(" in").next().unwrap_or("0").to_owned()
            }
        }
    };
    format!("{words}{unit}")
}

/// A place on the skin as the page says it: right and up from where the zero line meets the end.
pub(super) fn skin_place([right, up]: [f64; 2]) -> Option<Point> {
    (right.is_finite() && up.is_finite()).then(|| Vec2::new(right, up).to_point())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_written_as_the_one_before_it() {
        let mm = Some(Units::Millimetres);
        let inches = Some(Units::INCHES);
        for (before, mm, file, words) in [
            ("110", 123.4, mm, "123"),
            ("110mm", 123.4, inches, "123mm"),
            ("4-1/2", 123.825, inches, "4-7/8"),
            ("4.5", 123.825, inches, "4.875"),
            ("-4", -101.7, inches, "-4"),
            ("4-1/2in", 12.7, mm, "1/2in"),
            ("4 in", -12.7, mm, "-1/2in"),
            ("", -0.2, mm, "0"),
            ("", 31.0, None, "31mm"),
            ("1'", 310.0, inches, "12-3/16in"),
            ("11cm", 310.2, mm, "310mm"),
        ] {
            assert_eq!(length_like(before, mm, file), words, "{before} {mm}");
        }
    }

    #[test]
    fn degrees_stay_degrees_and_are_no_finer_than_a_step_on_the_skin() {
        let mm = Some(Units::Millimetres);
        // 1 degree of 360 mm round is 1 mm, of 1,800 mm it is 5.
        assert_eq!(degrees_like("-18deg", 12.34, 360.0, mm), "12deg");
        assert_eq!(degrees_like("-18 °", 12.34, 1800.0, mm), "12.4 °");
        assert_eq!(degrees_like("", -0.04, 1800.0, mm), "0deg");
        // 1/16 in is 1.59 mm.
        assert_eq!(
            degrees_like("3 degrees", 12.34, 1800.0, Some(Units::INCHES)),
            "12.4 degrees"
        );
        assert_eq!(degrees_like("3deg", 12.34, 700.0, Some(Units::INCHES)), "12deg");
    }
}
