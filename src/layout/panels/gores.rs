//! A hole's paper strips, true to size, side by side.

use kurbo::{BezPath, Point, Rect, Shape, Vec2};

use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{Paragraph, READ_PT, TITLE_PT, write_column};
use crate::layout::polyline::{polyline, thinned};
use crate::layout::text::MM_PER_POINT;
use crate::layout::{Panel, Role};
use crate::measure::Units;
use crate::plan::{CompassHole, Gore, Gores};
use crate::wording::{gore_number, gores_places, gores_title, gores_words, no_gores};

/// Strips beside each other are no wider together than this, in millimetres: they fit on any paper.
const WIDEST: f64 = 170.0;
/// Between strips, in millimetres.
const APART: f64 = 4.0;
/// The words are no narrower than this, in millimetres.
const WORDS: f64 = 84.0;
/// Curves are drawn this true, in millimetres.
const TRUE: f64 = 0.005;
/// Half of a cross in the middle, in millimetres.
const CROSS: f64 = 3.0;

/// The strips of a hole, which serve `all` with it, as many panels as they need; words alone where there can be none.
pub(super) fn panels(hole: &CompassHole, all: &[&CompassHole], paper_mm: f64, units: Units) -> Vec<Panel> {
    let title = gores_title(hole, all.len());
    let Some(gores) = hole.gores(paper_mm) else {
        let words = [
            Paragraph::strong(title.as_str(), TITLE_PT),
            Paragraph::plain(no_gores()),
        ];
        return vec![framed(&title, Role::Table, Drawing::default(), &words)];
    };
    let rows = rows(&gores);
    let many = rows.len() > 1;
    let panel = |(row, strips): (usize, Vec<usize>)| {
        let name = match many {
            true => format!("{title}, {}", numbers(&strips)),
            false => title.clone(),
        };
        let mut words = vec![Paragraph::strong(name.as_str(), TITLE_PT)];
        if row == 0 {
            words.extend(gores_places(all).map(Paragraph::plain));
            words.extend(gores_words(hole, &gores, units).into_iter().map(Paragraph::plain));
        }
        framed(&name, Role::Pattern, side_by_side(&gores, &strips), &words)
    };
    rows.into_iter().enumerate().map(panel).collect()
}

fn numbers(strips: &[usize]) -> String {
    match strips {
        [one] => gore_number(*one),
        [first, .., last] => format!("{} to {}", gore_number(*first), gore_number(*last)),
        [] => String::new(),
    }
}

/// From where to where a strip reaches, paper and all.
fn bounds(gore: &Gore) -> Rect {
    let places = gore.edges.iter().flatten();
    places.fold(Rect::ZERO, |all, place| all.union_pt(*place))
}

/// Which strips stand beside each other, from the left.
fn rows(gores: &Gores) -> Vec<Vec<usize>> {
    let mut rows: Vec<Vec<usize>> = Vec::new();
    let mut used = f64::INFINITY;
    for (index, gore) in gores.strips.iter().enumerate() {
        let width = bounds(gore).width() + APART;
        if used + width > WIDEST {
            rows.push(Vec::new());
            used = 0.0;
        }
        used += width;
        if let Some(row) = rows.last_mut() {
            row.push(index);
        }
    }
    rows
}

fn side_by_side(gores: &Gores, strips: &[usize]) -> Drawing {
    let (mut drawing, mut x) = (Drawing::default(), 0.0);
    for &index in strips {
        let bounds = bounds(&gores.strips[index]);
        drawing.add(&strip(gores, index), (x - bounds.x0, 0.0));
        x += bounds.width() + APART;
    }
    drawing
}

/// A strip about where its middle line leaves the cross line, up is up.
fn strip(gores: &Gores, index: usize) -> Drawing {
    let gore = &gores.strips[index];
    let mut drawing = Drawing::default();
    let mut paper: Vec<Point> = thinned(&gore.edges[0], TRUE);
    paper.extend(thinned(&gore.edges[1], TRUE).into_iter().rev());
    let mut edge = polyline(&paper);
    edge.close_path();
    drawing.stroke(Layer::Notes, Pen::PLAIN, edge);
    drawing.stroke(Layer::CrownLines, Pen::FINE, polyline(&gore.cross));
    for run in &gore.outline {
        drawing.stroke(Layer::CutLine, Pen::CUT, polyline(&thinned(run, TRUE)));
    }
    if gore.beside == 0 {
        let bounds = bounds(gore);
        drawing.line(Layer::CrownLines, Pen::CROWN, (0.0, bounds.y0), (0.0, bounds.y1));
        for way in [Vec2::new(CROSS, 0.0), Vec2::new(0.0, CROSS)] {
            drawing.line(Layer::CrownLines, Pen::PLAIN, Point::ZERO - way, Point::ZERO + way);
        }
    }
    words(&mut drawing, gores, index);
    drawing
}

/// Its number and which way is up, off the hole's line; over the cross line at the edges the strips that join it.
fn words(drawing: &mut Drawing, gores: &Gores, index: usize) {
    let gore = &gores.strips[index];
    let [left, right] = [gore.cross[0].x, gore.cross[gore.cross.len() - 1].x];
    let height = READ_PT * MM_PER_POINT;
    let words = format!("{} UP", gore_number(index));
    let text = Text::new(Point::ZERO, READ_PT, words).bold().upwards();
    let long = text.bounds().height();
    let edges = [left + 0.76 * height + 0.6, right - 0.22 * height - 0.6];
    // Towards the hole's middle, where the outline is farthest off, if it is.
    let across = match gore.beside {
        0 => [0.5 * left + 0.35 * height, edges[0], edges[1]],
        1.. => [edges[0], edges[1], 0.5 * (left + right) + 0.27 * height],
        _ => [edges[1], edges[0], 0.5 * (left + right) + 0.27 * height],
    };
    let feet = [-2.0 - long - ARROW, OVER_NUMBERS];
    let places = feet.into_iter().flat_map(|foot| across.map(|x| Point::new(x, foot)));
    let marks: Vec<(Text, BezPath)> = places.map(|at| up_mark(Text { at, ..text.clone() })).collect();
    let is_clear = |(text, arrow): &&(Text, BezPath)| {
        let around = text.bounds().union(arrow.bounding_box()).inflate(0.5, 0.5);
        !gore.outline.iter().flatten().any(|place| around.contains(*place))
    };
    if let Some((text, arrow)) = marks.iter().find(is_clear).or(marks.first()).cloned() {
        drawing.words(Layer::CrownLines, text);
        drawing.fill(Layer::CrownLines, 0.0, arrow);
    }
    for (side, joins) in gore.joins.into_iter().enumerate() {
        if !joins {
            continue;
        }
        let neighbour = if side == 0 { index - 1 } else { index + 1 };
        let text = Text::new(Point::ZERO, READ_PT, gore_number(neighbour)).upwards();
        let height = READ_PT * MM_PER_POINT;
        let x = [left + 0.76 * height + 0.6, right - 0.22 * height - 0.6][side];
        drawing.words(
            Layer::CrownLines,
            Text {
                at: Point::new(x, 1.2),
                align: Align::Left,
                ..text
            },
        );
    }
}

/// Of the arrowhead behind UP, in millimetres.
const ARROW: f64 = 2.6;
/// Over the cross line and the numbers there, in millimetres.
const OVER_NUMBERS: f64 = 5.0;

/// The words, and the arrowhead over them.
fn up_mark(text: Text) -> (Text, BezPath) {
    let bounds = text.bounds();
    let tip = Point::new(bounds.center().x, text.at.y + bounds.height() + ARROW + 0.8);
    let mut arrow = BezPath::new();
    arrow.move_to(tip);
    arrow.line_to(tip + Vec2::new(-1.2, 0.8 - ARROW));
    arrow.line_to(tip + Vec2::new(1.2, 0.8 - ARROW));
    arrow.close_path();
    (text, arrow)
}

fn framed(name: &str, role: Role, mut drawing: Drawing, words: &[Paragraph]) -> Panel {
    let drawn = drawing.bounds().inflate(2.0, 2.0);
    let width = drawn.width().max(WORDS);
    let left = drawn.center().x - width / 2.0;
    let column = width - 4.0;
    let height = write_column(&mut drawing, Point::new(left + 2.0, drawn.y0), column, words);
    let frame = Rect::new(left, drawn.y0 - height - 2.0, left + width, drawn.y1);
    drawing.stroke(Layer::Notes, Pen::FINE, frame.to_path(1e-3));
    Panel::framed(name, role, drawing, frame.inflate(0.5, 0.5))
}
