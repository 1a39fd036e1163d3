//! The mark-out of a dished head or a ball: seen from outside along its axis, to scale, with every hole, and their figures in a table.

use std::f64::consts::{FRAC_PI_2, TAU};

use kurbo::{Affine, Arc, BezPath, Circle, Point, Rect, Shape, Vec2};

use super::leader::around;
use super::mark_out::{one_over_another, rows_under};
use super::skin_sheet::{HOLE, ROOM, front_wedge, nice_scale};
use super::table::rows_panel;
use super::taken::Taken;
use crate::job::BodyInSpace;
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{Paragraph, READ_PT, TITLE_PT, write_column};
use crate::layout::polyline::polyline;
use crate::layout::{Panel, Role, text};
use crate::measure::Units;
use crate::plan::{CompassHole, JobPlan};
use crate::wording::{ClashesOfTubes, hole_number, rim_words, seam_words};

/// Rows of a table.
const ROWS: usize = 40;
/// Kept for the words round the rim, in millimetres: at each side, and over and under it.
const ASIDE: (f64, f64) = (16.0, 8.0);
/// A mark at the rim, in millimetres to each side of it.
const MARK: f64 = 1.5;
/// On the flange FRONT may stand straight under the middle, and is not seen when it is no farther from it than this, in
/// millimetres on the sheet.
const SEEN: f64 = 0.3;
/// Half of the cross at the apex, in millimetres.
const CROSS: f64 = 3.0;
/// Of the arrow that says which way is right: how far outside the rim it is, in millimetres, and from where to where it leads, in
/// radians from the zero line.
const ARROW_OUT: f64 = 5.0;
const ARROW: (f64, f64) = (0.25, 0.60);

/// A hole with its number from 0.
type Numbered<'a> = (usize, &'a CompassHole);

/// What the places of a body are called, and from which side it is seen.
#[derive(Clone, Copy)]
struct Side {
    is_behind: bool,
    /// `apex` or `pole`.
    apex: &'static str,
    /// Where one measures round.
    rim: &'static str,
}

/// Of a head or a ball with holes; nothing of any other body. A ball has a view of each half that has some.
pub(super) fn panels(job: &JobPlan, body: &BodyInSpace, clashes: &ClashesOfTubes<'_>, units: Units) -> Vec<Panel> {
    let here = job.compass_holes.iter().filter(|hole| hole.body[0] == body.name);
    let holes: Vec<Numbered<'_>> = here.enumerate().collect();
    let sides = [false, true].into_iter().flat_map(|is_behind| {
        let seen = holes
            .iter()
            .copied()
            .filter(|(_, hole)| hole.seen.is_behind == is_behind);
        of_side(body, &seen.collect::<Vec<_>>(), clashes, units)
    });
    sides.collect()
}

fn of_side(body: &BodyInSpace, holes: &[Numbered<'_>], clashes: &ClashesOfTubes<'_>, units: Units) -> Vec<Panel> {
    let Some((_, first)) = holes.first() else {
        return Vec::new();
    };
    let is_head = first.apex == "apex";
    let side = Side {
        is_behind: first.seen.is_behind,
        apex: first.apex,
        rim: if is_head { "the rim" } else { "the widest place" },
    };
    let clash = clashes.of_named(holes.iter().map(|(_, hole)| hole.tube.as_str()), &body.name);
    let drawing = view(body, holes, side, clash, units);
    let rows: Vec<[String; 5]> = holes.iter().map(|(index, hole)| row(*index, hole, units)).collect();
    let is_under = rows.len() <= rows_under(&drawing);
    let mut tables = rows.chunks(ROWS).map(|rows| table(body, rows, side));
    let mut panels = match tables.next().filter(|_| is_under) {
        Some(table) => vec![one_over_another(drawing, &table)],
        None => vec![drawing],
    };
    if !is_under {
        panels.extend(rows.chunks(ROWS).map(|rows| table(body, rows, side)));
    }
    panels
}

/// The figures of a hole: all are measured on the body itself.
fn row(index: usize, hole: &CompassHole, units: Units) -> [String; 5] {
    let made = if hole.is_made { ", made already" } else { "" };
    let round = match rim_words(hole, units) {
        _ if hole.along_mm.abs() < 0.005 => "-".to_owned(),
        Some(words) => words,
        None => "on the line".to_owned(),
    };
    [
        hole_number(index),
        format!("{} ({}){made}", hole.tube, hole.end),
        units.show(hole.along_mm),
        round,
        units.show(hole.apex_opening_mm),
    ]
}

fn table(body: &BodyInSpace, rows: &[[String; 5]], side: Side) -> Panel {
    let Side { apex, rim, .. } = side;
    let heads = [
        String::new(),
        "tube".to_owned(),
        format!("over the skin from the {apex}"),
        format!("round {rim} from the zero line"),
        format!("compass, {apex} to middle"),
    ];
    let under = format!(
        "All to the hole's middle, on the tube's axis. Right and left as seen from outside, the {apex} up. Lay one tape \
         round {rim} from the zero line to a mark, the other from the {apex} over the skin to that mark."
    );
    rows_panel(&format!("Holes in {}", body.name), &heads, rows, &under)
}

/// The body from outside: the apex in the middle, or what is across from a ball's pole; the zero line down.
fn view(body: &BodyInSpace, holes: &[Numbered<'_>], side: Side, clash: Option<String>, units: Units) -> Panel {
    let rim_mm = holes.first().map_or(0.0, |(_, hole)| hole.seen.rim_radius_mm);
    let across = 2.0
        * holes
            .iter()
            .flat_map(|(_, hole)| &hole.seen.outline)
            .fold(rim_mm, |far, place| far.max(place.to_vec2().hypot()));
    let scale = nice_scale(((ROOM.0 - 2.0 * ASIDE.0) / across).min((ROOM.1 - 2.0 * ASIDE.1) / across));
    let (mut drawing, mut taken) = (Drawing::default(), Taken::default());
    let rim = scale * rim_mm;
    rim_and_zero(&mut drawing, &mut taken, rim, side.is_behind);
    let outlines: Vec<Vec<Point>> = holes
        .iter()
        .map(|(_, hole)| {
            hole.seen
                .outline
                .iter()
                .map(|place| Affine::scale(scale) * *place)
                .collect()
        })
        .collect();
    for ((_, hole), outline) in holes.iter().zip(&outlines) {
        let seen = &hole.seen;
        let mut closed = polyline(outline);
        closed.close_path();
        drawing.stroke(Layer::Notes, HOLE, closed);
        let middle = Affine::scale(scale) * seen.middle;
        for way in [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)] {
            drawing.line(Layer::Notes, Pen::FINE, middle - way, middle + way);
        }
        taken.boxes.push(around(outline));
        let front = seen.front.map(|front| Affine::scale(scale) * front);
        if let Some(front) = front.filter(|front| front.distance(middle) > SEEN) {
            let wedge = front_wedge(middle, front, 1.0);
            drawing.fill(Layer::Notes, 0.0, &wedge);
            taken.boxes.push(wedge.bounding_box());
        }
    }
    for ((index, hole), outline) in holes.iter().zip(&outlines) {
        name(&mut drawing, &mut taken, *index, &hole.tube, around(outline));
    }
    with_words(drawing, body, clash, (scale, side), units)
}

/// Rim, apex, the zero line, the quarters, and which way is right; `is_behind` of a ball that is seen from across its pole.
fn rim_and_zero(drawing: &mut Drawing, taken: &mut Taken, rim: f64, is_behind: bool) {
    drawing.stroke(Layer::Notes, Pen::PLAIN, Circle::new(Point::ZERO, rim));
    taken.add_path(&polyline_of(Circle::new(Point::ZERO, rim)));
    for way in [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)] {
        drawing.line(
            Layer::Notes,
            Pen::PLAIN,
            Point::ZERO - CROSS * way,
            Point::ZERO + CROSS * way,
        );
    }
    taken
        .boxes
        .push(Rect::from_center_size(Point::ZERO, (2.0 * CROSS, 2.0 * CROSS)));
    drawing.line(Layer::CrownLines, Pen::CROWN, Point::ZERO, at(rim + MARK, 0.0));
    taken.guides.push(kurbo::Line::new(Point::ZERO, at(rim, 0.0)));
    let height = READ_PT * text::MM_PER_POINT;
    let words = [
        ("ZERO", Align::Middle, Vec2::new(0.0, -1.2 - height)),
        (
            if is_behind { "90° left" } else { "90° right" },
            Align::Left,
            Vec2::new(1.2, -0.4 * height),
        ),
        ("180°", Align::Middle, Vec2::new(0.0, 1.2)),
        (
            if is_behind { "90° right" } else { "90° left" },
            Align::Right,
            Vec2::new(-1.2, -0.4 * height),
        ),
    ];
    for (quarter, (words, align, by)) in words.into_iter().enumerate() {
        let round = FRAC_PI_2 * quarter as f64;
        drawing.line(Layer::Notes, Pen::PLAIN, at(rim - MARK, round), at(rim + MARK, round));
        let turned = at(rim + MARK, round) + by;
        let text = Text::new(turned, READ_PT, words).align(align);
        taken.boxes.push(text.bounds());
        drawing.note(if quarter == 0 { text.bold() } else { text });
    }
    arrow_to_right(drawing, taken, rim + ARROW_OUT, is_behind);
}

/// A place so far from the apex and so far round, in radians to the right from the zero line, which leads down.
fn at(from_apex: f64, round: f64) -> Point {
    Point::new(from_apex * round.sin(), -from_apex * round.cos())
}

fn arrow_to_right(drawing: &mut Drawing, taken: &mut Taken, radius: f64, is_behind: bool) {
    let (from, to) = ARROW;
    let mirror = if is_behind { Affine::FLIP_X } else { Affine::IDENTITY };
    let arc = Arc::new(Point::ZERO, (radius, radius), from - FRAC_PI_2, to - from, 0.0);
    drawing.stroke(Layer::Notes, Pen::PLAIN, mirror * arc.to_path(0.01));
    let (tip, along) = (at(radius, to), Vec2::new(to.cos(), to.sin()));
    let mut head = BezPath::new();
    head.move_to(tip + 2.5 * along);
    head.line_to(tip + along.turn_90());
    head.line_to(tip - along.turn_90());
    head.close_path();
    drawing.fill(Layer::Notes, 0.0, mirror * head);
    let place = at(radius + 1.5, to + 0.06) + Vec2::new(2.5, -1.0);
    let align = if is_behind { Align::Right } else { Align::Left };
    let text = Text::new(mirror * place, READ_PT, "to the right").align(align);
    taken.boxes.push(text.bounds());
    drawing.note(text);
}

fn polyline_of(circle: Circle) -> BezPath {
    let places: Vec<Point> = (0..=72)
        .map(|step| circle.center + circle.radius * Vec2::from_angle(TAU * f64::from(step) / 72.0))
        .collect();
    polyline(&places)
}

/// Its number and tube beside it, else its number alone; farther off where the cross at the apex is in the way.
fn name(drawing: &mut Drawing, taken: &mut Taken, index: usize, tube: &str, outline: Rect) {
    let height = READ_PT * text::MM_PER_POINT;
    let number = hole_number(index);
    let texts = [format!("{number} {tube}"), number].into_iter().flat_map(|words| {
        let places = [1.2, 1.2 + CROSS].into_iter().flat_map(|gap| {
            let (x, y) = (outline.center().x, outline.center().y - 0.38 * height);
            [
                ((outline.x1 + gap, y), Align::Left),
                ((outline.x0 - gap, y), Align::Right),
                ((x, outline.y1 + gap), Align::Middle),
                ((x, outline.y0 - gap - 0.7 * height), Align::Middle),
            ]
        });
        places.map(move |(at, align)| Text::new(at, READ_PT, words.clone()).align(align).bold())
    });
    taken.write_first_free(drawing, texts);
}

fn with_words(
    mut drawing: Drawing,
    body: &BodyInSpace,
    clash: Option<String>,
    (scale, side): (f64, Side),
    units: Units,
) -> Panel {
    let from = match side.is_behind {
        true => format!(
            "from across the {}, the place across from it in the middle; right on the skin is left here",
            side.apex
        ),
        false => format!("from outside along the axis, the {} in the middle", side.apex),
    };
    let title = format!("MARK-OUT: {}, {}", body.name, body.size);
    let parts = 1.0 / scale;
    let mut paragraphs = vec![Paragraph::strong(title.clone(), TITLE_PT)];
    paragraphs.extend(clash.map(|clash| Paragraph::strong(clash, READ_PT)));
    paragraphs.push(Paragraph::plain(format!(
        "Seen {from}, to scale 1 : {parts:.0}. A VIEW, NOT A PATTERN: don't tape it on. Wedge: the tube's FRONT. \
             Lengths are shorter here than on the skin: use the table's."
    )));
    paragraphs.extend(body.seams.iter().map(|seam| Paragraph::plain(seam_words(seam, units))));
    let drawn = drawing.bounds();
    let width = drawn.width().max(140.0);
    let left = drawn.center().x - width / 2.0;
    let height = text_height(&paragraphs, width);
    write_column(
        &mut drawing,
        Point::new(left, drawn.y1 + 3.0 + height),
        width,
        &paragraphs,
    );
    let frame = drawing.bounds().inflate(0.5, 0.5);
    Panel::framed(title.as_str(), Role::Table, drawing, frame)
}

/// How high a column of words is, in millimetres.
fn text_height(paragraphs: &[Paragraph], width: f64) -> f64 {
    write_column(&mut Drawing::default(), Point::ZERO, width, paragraphs)
}
