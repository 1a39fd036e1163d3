//! Pictures held against rays: every starter is made of triangles, rays from the eye find what is seen of them, and wherever
//! what is seen changes a line must be drawn, and nowhere else.
//!
//! Nothing here asks the picture what hides what: the triangles are laid through solved places of the skins, and the nearest
//! one to the eye is what is seen.

mod scenes;
mod triangles;

use std::f64::consts::TAU;

use girthline::layout::{Drawing, Eye, Item, Look, Part, Seen, picture};
use glam::DVec3;
use kurbo::{Line, ParamCurve, ParamCurveNearest, Point, Size, Vec2};
use scenes::SIDES;
use triangles::{Cast, Face, Kind, Model};

/// Of the picture, in millimetres.
const SIZE: Size = Size::new(120.0, 100.0);
/// A line and a change of what is seen are at one place if they are no farther apart than this on the sheet, in millimetres:
/// a third of the line's width.
const SAME: f64 = 0.12;

/// Azimuths and heights spread evenly over the whole sphere.
fn spread(count: u32) -> impl Iterator<Item = (f64, f64)> {
    const GOLDEN: f64 = 137.507_764_05;
    (0..count).map(move |index| {
        let sine = 1.0 - (2.0 * f64::from(index) + 1.0) / f64::from(count);
        ((GOLDEN * f64::from(index)).rem_euclid(360.0), sine.asin().to_degrees())
    })
}

/// What is wrong with a picture.
#[derive(Debug, Default)]
struct Faults {
    /// Places on drawn lines beside which nothing changes.
    drawn: Vec<Point>,
    /// Places where what is seen changes, without a line, and from what to what.
    missing: Vec<(Point, String)>,
    lines: usize,
    changes: usize,
}

/// The edges and outlines that are drawn, in straight pieces.
fn drawn_lines(seen: &Seen) -> Vec<Line> {
    let things = seen
        .parts
        .iter()
        .filter(|(part, _)| matches!(part, Part::Body { .. } | Part::Piece { .. }));
    let items = things.flat_map(|(_, Drawing { items })| items);
    let paths = items.filter_map(|(_, item)| match item {
        Item::Stroke(path, _) => Some(path.segments()),
        _ => None,
    });
    paths
        .flatten()
        .map(|piece| Line::new(piece.start(), piece.end()))
        .collect()
}

fn faults(model: &Model, seen: &Seen, view: (f64, f64), step: f64) -> Faults {
    let cast = Cast::new(model, seen, view);
    let lines = drawn_lines(seen);
    let mut faults = Faults::default();
    check_drawn(&cast, &lines, &mut faults);
    check_changes(&cast, model, &lines, step, &mut faults);
    faults
}

/// On every drawn line what is seen changes from one side to the other.
fn check_drawn(cast: &Cast<'_>, lines: &[Line], faults: &mut Faults) {
    for line in lines {
        let length = (line.p1 - line.p0).hypot();
        if length < 1e-9 {
            continue;
        }
        let aside = (line.p1 - line.p0).turn_90() / length;
        let count = (length / 0.2).ceil() as usize;
        for place in 0..count {
            let at = line.eval((place as f64 + 0.5) / count as f64);
            faults.lines += 1;
            let changes = [0.4, 0.7, 1.0].into_iter().any(|share| {
                let off: Vec2 = share * SAME * aside;
                cast.face(at + off) != cast.face(at - off)
            });
            // At a line's end what is seen changes ahead of it.
            let ends = || {
                (0..8).any(|turn| cast.face(at + SAME * Vec2::from_angle(TAU * f64::from(turn) / 8.0)) != cast.face(at))
            };
            if !changes && !ends() {
                faults.drawn.push(at);
            }
        }
    }
}

/// Wherever what is seen changes a line is drawn.
fn check_changes(cast: &Cast<'_>, model: &Model, lines: &[Line], step: f64, faults: &mut Faults) {
    let (columns, rows) = ((SIZE.width / step) as usize, (SIZE.height / step) as usize);
    // On no edge that is level or upright through a round number.
    let at = |column: usize, row: usize| Point::new((column as f64 + 0.371) * step, (row as f64 + 0.629) * step);
    let near = Near::new(lines);
    for row in 0..rows {
        for column in 0..columns {
            let (here, face) = (at(column, row), cast.face(at(column, row)));
            for next in [at(column + 1, row), at(column, row + 1)] {
                if cast.face(next) == face {
                    continue;
                }
                faults.changes += 1;
                let place = cast.change(here, next);
                let [one, other] = place.faces;
                if near.distance(place.at) > SAME && !is_allowed(model, one, other, &near, &place) {
                    faults
                        .missing
                        .push((place.at, format!("{} / {}", model.name(one), model.name(other))));
                }
            }
        }
    }
}

/// Changes that no line stands for: where two nested drums cross each other (there is no step from one to the other beyond
/// what a grazing ray makes of the width of a line); the middle of a rounded corner whose own
/// outline is drawn beside it.
fn is_allowed(model: &Model, one: Option<Face>, other: Option<Face>, near: &Near, place: &triangles::Change) -> bool {
    let (Some(one), Some(other)) = (one, other) else {
        return false;
    };
    let cross = model.is_drum(one.thing) && model.is_drum(other.thing) && one.thing != other.thing;
    if cross && place.depth_apart < 5.0 {
        return true;
    }
    let is_corner = one.thing == other.thing && [one, other].iter().all(|face| matches!(face.kind, Kind::Skin(_)));
    is_corner && near.distance(place.at) < 0.4
}

/// Lines, found by where they are.
struct Near {
    cells: Vec<Vec<Line>>,
}

impl Near {
    const CELL: f64 = 1.0;
    const COLUMNS: usize = 130;

    fn new(lines: &[Line]) -> Self {
        let mut cells = vec![Vec::new(); Self::COLUMNS * Self::COLUMNS];
        for line in lines {
            let count = ((line.p1 - line.p0).hypot() / (0.5 * Self::CELL)).ceil().max(1.0) as usize;
            for part in 0..count {
                let (from, to) = (part as f64 / count as f64, (part + 1) as f64 / count as f64);
                let piece = Line::new(line.eval(from), line.eval(to));
                let cell = Self::cell(piece.eval(0.5));
                cells[cell].push(piece);
            }
        }
        Self { cells }
    }

    fn cell(at: Point) -> usize {
        let index = |value: f64| ((value / Self::CELL).floor() + 2.0).clamp(1.0, Self::COLUMNS as f64 - 2.0) as usize;
        index(at.y) * Self::COLUMNS + index(at.x)
    }

    /// To the nearest line, in millimetres, as far as a millimetre.
    fn distance(&self, at: Point) -> f64 {
        let middle = Self::cell(at);
        let around = [-1_isize, 0, 1]
            .into_iter()
            .flat_map(|row| [-1, 0, 1].map(|column| row * Self::COLUMNS as isize + column));
        let lines = around.flat_map(|by| &self.cells[middle.wrapping_add_signed(by)]);
        lines
            .map(|line| line.nearest(at, 1e-9).distance_sq.sqrt())
            .fold(1.0, f64::min)
    }
}

/// What is wrong with the pictures of a starter, a line for every view that has faults.
fn hold(name: &str, views: impl Iterator<Item = (f64, f64)>, step: f64) -> Vec<String> {
    let (assembly, plan) = scenes::starter(name);
    let model = Model::new(&assembly);
    let (mut lines, mut changes, mut count) = (0, 0, 0);
    let mut wrong = Vec::new();
    for (azimuth, height) in views {
        let eye = Eye::new(azimuth, height).expect("finite");
        let seen = picture(&plan, &Look::new(eye, SIZE.width, SIZE.height));
        let found = faults(&model, &seen, (azimuth, height), step);
        (lines, changes, count) = (lines + found.lines, changes + found.changes, count + 1);
        if !found.drawn.is_empty() || !found.missing.is_empty() {
            wrong.push(format!(
                "{name} from {azimuth:.1} {height:.1}: {} places drawn that aren't seen {:.2?}, {} missing {:.2?}",
                found.drawn.len(),
                found.drawn.iter().take(4).collect::<Vec<_>>(),
                found.missing.len(),
                found.missing.iter().take(4).collect::<Vec<_>>()
            ));
        }
    }
    println!(
        "{name}: {count} views, {lines} places on lines, {changes} changes, {} views with faults",
        wrong.len()
    );
    assert!(lines > 200 * count && changes > 100 * count, "too little was looked at");
    wrong
}

#[test]
fn what_rays_see_is_what_is_drawn() {
    let wrong = scenes::STARTERS
        .map(|(name, _)| hold(name, SIDES.into_iter().step_by(2).chain(spread(3)), 0.5))
        .concat();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// `cargo test --release --test picture_rays -- --ignored --nocapture`
#[test]
#[ignore = "takes a minute"]
fn what_rays_see_is_what_is_drawn_from_everywhere() {
    let wrong = scenes::STARTERS
        .map(|(name, _)| hold(name, SIDES.into_iter().chain(spread(120)), 0.5))
        .concat();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The test itself finds a line that is left out, one that is too many, and one that is off by a little.
#[test]
fn a_picture_that_is_wrong_is_found_out() {
    let (assembly, plan) = scenes::starter("cooler-bank");
    let model = Model::new(&assembly);
    let view = (33.0, 20.0);
    let look = Look::new(Eye::new(view.0, view.1).expect("finite"), SIZE.width, SIZE.height);
    let right = picture(&plan, &look);
    let count = |seen: &Seen| {
        let faults = faults(&model, seen, view, 0.5);
        (faults.drawn.len(), faults.missing.len())
    };
    assert_eq!(count(&right), (0, 0));
    let changed = |change: &dyn Fn(&mut Drawing)| {
        let mut seen = right.clone();
        change(&mut seen.parts[0].1);
        count(&seen)
    };
    let (_, missing) = changed(&|drawing| drop(drawing.items.remove(0)));
    assert!(missing > 10, "{missing}");
    let (drawn, _) = changed(&|drawing| {
        let line = Line::new((55.0, 50.0), (65.0, 50.0));
        drawing.stroke(girthline::layout::Layer::Notes, girthline::layout::Pen::PLAIN, line);
    });
    assert!(drawn > 10, "{drawn}");
    let (drawn, missing) =
        changed(&|drawing| *drawing = drawing.clone().moved(girthline::layout::Move::by((0.3, 0.2))));
    assert!(drawn > 10 && missing > 10, "{drawn} {missing}");
}

/// To the eye, to the right and up on the picture, by the rule in words: up is up, and from straight above away from where one
/// stands.
fn basis((azimuth, height): (f64, f64)) -> [DVec3; 3] {
    let (azimuth, height) = (azimuth.to_radians(), height.to_radians());
    let out = DVec3::new(azimuth.cos(), azimuth.sin(), 0.0);
    let eye = height.cos() * out + height.sin() * DVec3::Z;
    let up = height.cos() * DVec3::Z - height.sin() * out;
    [eye, up.cross(eye), up]
}
