//! A body's whole skin laid flat from its zero line, and what lies on it.

use std::f64::consts::TAU;
use std::sync::Arc;

use kurbo::{Affine, BezPath, Line, Point, Rect, Shape, Vec2};

use super::outline::polyline;
use crate::body::Development;
use crate::job::{BodyInSpace, HoleInBody, Skin};

/// Straight pieces of an end as it is drawn: on a whole circle they stand off it by 1 part in 100,000.
const STEPS: u32 = 720;

/// (0, 0) is where the zero line meets the body's end, up is along the body; on a plate its point.
pub(crate) struct FlatSkin<'a> {
    pub(super) body: &'a BodyInSpace,
    pub(super) skin: Arc<dyn Skin>,
    pub(crate) shape: Development,
}

impl<'a> FlatSkin<'a> {
    /// None where the body can't be laid flat.
    pub(crate) fn new(body: &'a BodyInSpace) -> Option<Self> {
        let skin = (body.flat.as_ref()?.outer)(0.0);
        Some(Self {
            body,
            shape: skin.development(),
            skin,
        })
    }

    /// Takes a hole as it is laid flat from its own line to the whole skin. Both are flat pictures of one skin, so that
    /// one place and one direction tell how to move the one onto the other.
    pub(crate) fn carry(&self, hole: &HoleInBody) -> Affine {
        self.carry_from(hole.along_mm, hole.round, &hole.drilling.outer)
    }

    /// The same from a skin that is laid flat from the line through a place of it.
    pub(super) fn carry_from(&self, along_mm: f64, round: f64, from: &Arc<dyn Skin>) -> Affine {
        let site = self.body.surface.site(along_mm, round);
        let onto = &self.skin;
        let way = site.normal.any_orthonormal_vector();
        let turn = onto.lay_flat_vector(site.point, way).angle() - from.lay_flat_vector(site.point, way).angle();
        let to = |point: Point| -> Vec2 { point.to_vec2() };
        Affine::translate(to(onto.lay_flat(site.point)))
            * Affine::rotate(turn)
            * Affine::translate(-to(from.lay_flat(site.point)))
    }

    /// Where the zero line meets the far end; none where the body has no ends.
    fn far_end(&self) -> Option<Point> {
        let length = self.body.length_mm()?;
        Some(self.skin.lay_flat(self.body.surface.site(length, 0.0).point))
    }

    /// What is left between a place of the flat skin and the body's nearer end, or a plate's nearest edge, in millimetres,
    /// below 0 past it; none where it has neither.
    pub(crate) fn to_end(&self, place: Point) -> Option<f64> {
        if let Some(edges) = self.edges() {
            let sideways = (place.x - edges.x0).min(edges.x1 - place.x);
            return Some(sideways.min(place.y - edges.y0).min(edges.y1 - place.y));
        }
        let up = self.shape.up(place);
        Some(up.min(self.shape.up(self.far_end()?) - up))
    }

    /// A plate's edges.
    pub(crate) fn edges(&self) -> Option<Rect> {
        let [wide, high] = self.body.outside.edges_mm()?;
        Some(Rect::from_center_size(Point::ORIGIN, (wide, high)))
    }

    /// Where the zero line runs, as far as the body reaches before it is parted; none on a plate.
    pub(crate) fn zero_line(&self) -> Option<Line> {
        let far_end = self.far_end()?;
        let whole = self.body.parting.as_ref().map_or(far_end.y, |parting| parting.whole_mm);
        Some(Line::new(Point::ORIGIN, (far_end.x, whole)))
    }

    /// The skin's edge, slit along the line half round from the zero line; none on a plate that has none.
    pub(crate) fn edge(&self) -> Option<BezPath> {
        if let Some(edges) = self.edges() {
            return Some(edges.to_path(1e-3));
        }
        let zero = self.zero_line()?;
        let mut places = Vec::new();
        let mut run = |from: Point, turns: [f64; 2]| {
            let steps = match self.shape {
                Development::Sector { .. } => STEPS,
                Development::Plane | Development::Strip { .. } => 1,
            };
            for step in 0..=steps {
                let share = f64::from(step) / f64::from(steps);
                places.push(self.shape.turned(turns[0] + share * (turns[1] - turns[0])) * from);
            }
        };
        run(zero.p0, [-0.5, 0.5]);
        run(zero.p1, [0.5, -0.5]);
        places.push(places[0]);
        Some(polyline(&places))
    }

    /// From a place along the skin to the zero line, square to it, and straight to the end: what is measured to mark it.
    pub(crate) fn measured_to(&self, place: Point) -> [Vec<Point>; 2] {
        let Development::Plane = self.shape else {
            let turns = self.shape.turns(Point::ORIGIN, place);
            let steps = (turns.abs() * f64::from(STEPS)).ceil().max(1.0) as u32;
            let round = (0..=steps).map(|step| self.shape.turned(-turns * f64::from(step) / f64::from(steps)) * place);
            return [round.collect(), vec![place, self.shape.foot(place)]];
        };
        [
            vec![place, Point::new(0.0, place.y)],
            vec![place, Point::new(place.x, 0.0)],
        ]
    }

    /// How a place of the flat skin is measured on the body: along in millimetres, and round in radians, within half a turn of
    /// the zero line; across a plate in millimetres.
    pub(crate) fn measured_at(&self, place: Point) -> (f64, f64) {
        match self.shape {
            Development::Plane => (place.y, place.x),
            Development::Strip { girth } => {
                let arc = place.x - girth * (place.x / girth).round();
                (place.y, self.body.surface.angle_of(place.y, arc))
            }
            Development::Sector { .. } => {
                let length = self.body.length_mm().unwrap_or(0.0);
                let slant = self.far_end().map_or(length, |end| self.shape.up(end));
                let turns = self.shape.turns(Point::ORIGIN, place);
                (self.shape.up(place) * length / slant, TAU * turns)
            }
        }
    }

    /// From the zero line round to a place of the body, and from there straight down to its end, as the skin is slit: what is
    /// measured to mark it. Round goes as far as it is said, past the slit too, but no farther than a turn.
    pub(crate) fn measures(&self, along: f64, round: f64) -> [Vec<Vec<Point>>; 2] {
        let place = self.at(along, round);
        let [_, down] = self.measured_to(place);
        let Some(girth) = self.body.surface.girth(along) else {
            let [across, up] = self.measured_to(place);
            return [vec![across], vec![up]];
        };
        let on_skin = self.shape.turns(Point::ORIGIN, place);
        let said = self.body.surface.arc_of(along, round) / girth;
        let turns = on_skin + (said - on_skin).round().clamp(-1.0, 1.0);
        let steps = (turns.abs() * f64::from(STEPS)).ceil().max(1.0) as u32;
        let (mut parts, mut before): (Vec<Vec<Point>>, _) = (Vec::new(), None);
        for step in 0..=steps {
            let at = turns * f64::from(step) / f64::from(steps);
            let turn = (at + 0.5 - 1e-9 * turns.signum()).floor();
            if before != Some(turn) {
                parts.push(Vec::new());
            }
            before = Some(turn);
            let point = self.shape.turned(at - turn - on_skin) * place;
            parts.last_mut().into_iter().for_each(|part| part.push(point));
        }
        [parts, vec![down]]
    }

    /// A closed outline on the skin as it is slit: whole, or what of it lies on either side of the slit.
    pub(crate) fn slit(&self, outline: &[Point], middle: Point) -> Vec<Vec<Point>> {
        let start = self.shape.turns(Point::ORIGIN, middle);
        let round = |place: Point| start + self.shape.turns(middle, place);
        // The turn to which a place belongs: 0 on the skin, 1 past its right edge.
        let turn = |place: Point| (round(place) + 0.5).floor();
        let Some(first) = outline.iter().position(|place| turn(*place) != turn(outline[0])) else {
            let onto = self.shape.turned(-turn(outline[0]));
            let mut whole: Vec<Point> = outline.iter().map(|place| onto * *place).collect();
            whole.extend(whole.first().copied());
            return vec![whole];
        };
        // From where it first crosses the slit.
        let (mut parts, mut part): (Vec<Vec<Point>>, Vec<Point>) = (Vec::new(), Vec::new());
        let mut before = outline[first - 1];
        for index in 0..=outline.len() {
            let place = outline[(first + index) % outline.len()];
            let (was, is) = (turn(before), turn(place));
            if was != is {
                let slit = was.max(is) - 0.5;
                let share = (slit - round(before)) / (round(place) - round(before));
                let crossing = before.lerp(place, share);
                part.push(self.shape.turned(-was) * crossing);
                parts.push(std::mem::take(&mut part));
                part.push(self.shape.turned(-is) * crossing);
            }
            if index < outline.len() {
                part.push(self.shape.turned(-is) * place);
            }
            before = place;
        }
        // The first part is only where the walk began.
        parts.remove(0);
        parts
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::job::read::read_job;
    use crate::job::resolve::job_file;

    fn body(words: &str) -> BodyInSpace {
        let text = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "20mm x 2mm" }} }}, "bodies": {{ "body": {{ {words}, "from": [0, 0, 0], "to": [0, 0, 300] }} }},
            "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "at": [900, 0, 0] }}, {{ "at": [990, 0, 0] }} ], "start": {{ "join": "square" }}, "end": {{ "join": "square" }} }} }} }}"#
        );
        let job = read_job("job.json", &text).unwrap_or_else(|problems| panic!("{problems}"));
        let mut resolved = job_file(&job, &job.sheet).unwrap_or_else(|problems| panic!("{problems}"));
        resolved.joint.bodies.remove(0)
    }

    const BODIES: [(&str, f64, f64); 3] = [
        (r#""shape": "cylinder", "size": "200mm x 2mm""#, 100.0, 100.0),
        (
            r#""shape": "cone", "size": "200mm x 2mm", "size_to": "640mm x 2mm""#,
            100.0,
            320.0,
        ),
        (
            r#""shape": "cone", "size": "640mm x 2mm", "size_to": "200mm x 2mm""#,
            320.0,
            100.0,
        ),
    ];

    #[test]
    fn a_skin_has_the_area_and_edges_of_its_body() {
        for (words, radius, radius_to) in BODIES {
            let body = body(words);
            let flat = FlatSkin::new(&body).expect("it can be laid flat");
            let edge = flat.edge().expect("it has ends");
            // A frustum's side: pi (r + R) times the slant.
            let slant = (radius_to - radius).hypot(300.0);
            let (area, round) = (PI * (radius + radius_to) * slant, 2.0 * PI * (radius + radius_to));
            assert!((edge.area().abs() / area - 1.0).abs() < 3e-5, "{words}");
            assert!(
                (edge.perimeter(1e-6) / (round + 2.0 * slant) - 1.0).abs() < 3e-5,
                "{words}"
            );
        }
    }

    #[test]
    fn places_measured_on_the_body_lie_in_its_skin_as_far_up_and_round() {
        for (words, ..) in BODIES {
            let body = body(words);
            let flat = FlatSkin::new(&body).expect("it can be laid flat");
            for (along, round) in [(0.0, -3.0), (40.0, 0.5), (200.0, 2.9), (300.0, -1.0)] {
                let place = flat.skin.lay_flat(body.surface.site(along, round).point);
                let [to_zero, to_end] = flat.measured_to(place);
                let length = |places: &[Point]| polyline(places).perimeter(1e-9);
                assert!(
                    (length(&to_zero) - body.surface.arc_of(along, round).abs()).abs() < 0.01,
                    "{words}"
                );
                assert!((length(&to_end) - flat.shape.up(place)).abs() < 1e-9, "{words}");
                let on_axis = flat.skin.lay_flat(body.surface.site(along, 0.0).point);
                assert!(to_zero[to_zero.len() - 1].distance(on_axis) < 1e-9, "{words}");
            }
        }
    }

    #[test]
    fn a_place_of_the_flat_skin_is_measured_as_it_was_told() {
        for (words, ..) in BODIES {
            let body = body(words);
            let flat = FlatSkin::new(&body).expect("it can be laid flat");
            for (along, round) in [(0.0, -3.0), (40.0, 0.5), (200.0, 2.9), (300.0, -1.0)] {
                let (up, on) = flat.measured_at(flat.at(along, round));
                assert!(
                    (up - along).abs() < 1e-9 && (on - round).abs() < 1e-9,
                    "{words}: {up} {on}"
                );
            }
        }
    }

    #[test]
    fn what_is_measured_round_goes_as_far_as_it_is_said() {
        for (words, ..) in BODIES {
            let body = body(words);
            let flat = FlatSkin::new(&body).expect("it can be laid flat");
            let girth = body.surface.girth(120.0).expect("it is round");
            for (round, parts) in [(1.0, 1), (-3.0, 1), (3.5, 2), (-4.0, 2), (6.0, 2)] {
                let [across, down] = flat.measures(120.0, round);
                assert_eq!(across.len(), parts, "{words} {round}");
                let long: f64 = across.iter().map(|part| polyline(part).perimeter(1e-9)).sum();
                // A step is as good as lost where the skin is slit.
                let lost = (parts as f64 - 1.0) * girth / f64::from(STEPS);
                assert!(
                    (long - girth * round.abs() / TAU).abs() < 0.05 + lost,
                    "{words} {round}: {long}"
                );
                let (last, place) = (across[parts - 1].last().expect("places"), flat.at(120.0, round));
                assert!(
                    last.distance(place) < 1e-6 && down[0][0].distance(place) < 1e-9,
                    "{words} {round}"
                );
                assert!(across[0][0].distance(flat.at(120.0, 0.0)) < 1e-6, "{words} {round}");
            }
        }
    }

    #[test]
    fn what_is_slit_is_whole_again_when_it_is_put_together() {
        for (words, ..) in BODIES {
            let body = body(words);
            let flat = FlatSkin::new(&body).expect("it can be laid flat");
            for (round, count) in [(0.4, 1), (3.1, 2), (-3.1, 2), (PI, 2)] {
                let middle = flat.skin.lay_flat(body.surface.site(150.0, round).point);
                let circle: Vec<Point> = (0..720)
                    .map(|step| middle + 30.0 * Vec2::from_angle(f64::from(step).to_radians() / 2.0))
                    .collect();
                let parts = flat.slit(&circle, middle);
                assert_eq!(parts.len(), count, "{words} {round}");
                let areas = parts.iter().map(|part| {
                    let mut path = polyline(part);
                    path.close_path();
                    path.area()
                });
                let whole = PI * 30.0 * 30.0;
                assert!((areas.sum::<f64>() / whole - 1.0).abs() < 1e-4, "{words} {round}");
                let inside = |place: &Point| flat.shape.turns(Point::ORIGIN, *place).abs() < 0.5 + 1e-6;
                assert!(parts.iter().flatten().all(inside), "{words} {round}");
            }
        }
    }
}
