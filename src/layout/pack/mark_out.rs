//! Mark-out sheets: a body's skin laid flat, to scale, with every hole in its place.

use kurbo::{Affine, BezPath, Point, Rect};

use super::placed_hole::PlacedHole;
use super::{if_round, parting};
use crate::job::{Assembly, BodyInSpace, Extent};
use crate::layout::drawing::{Layer, Pen, Text};
use crate::layout::table::rows_panel;
use crate::layout::{Drawing, Panel, Role};
use crate::measure::{Units, show_angle};

/// Room for a drawing on any paper, in millimetres.
const ROOM: (f64, f64) = (165.0, 150.0);
/// Rows of a table of holes.
const ROWS: usize = 40;

/// A drawing and a table for each body with holes.
pub(super) fn mark_out_panels(assembly: &Assembly, holes: &[PlacedHole], units: Units) -> Vec<Panel> {
    let mut panels = Vec::new();
    for (index, body) in assembly.bodies.iter().enumerate() {
        let here: Vec<&PlacedHole> = holes.iter().filter(|hole| hole.hole.body == index).collect();
        if here.is_empty() && body.parting.is_none() {
            continue;
        }
        panels.push(skin_panel(body, &here, units));
        panels.extend(parting::panel(body, units));
        if here.is_empty() {
            continue;
        }
        let rows: Vec<[String; 5]> = here
            .iter()
            .enumerate()
            .map(|(number, hole)| row(number + 1, hole, units))
            .collect();
        let (along, round, under) = if here[0].girth.is_some() {
            let under = "Round: to the right as seen from outside with the far end up, negative to the left.";
            ("along from the end", "round from the zero line", under)
        } else {
            (
                "up from the cross",
                "to the right of it",
                "The cross is the plate's point \"at\"; up is towards its \"zero\".",
            )
        };
        let heads = ["", "tube", along, round, "metal left to the nearest"].map(str::to_owned);
        let under = format!("{under} Both to the tube's axis.");
        panels.extend(
            rows.chunks(ROWS)
                .map(|rows| rows_panel(&format!("Holes in {}", body.name), &heads, rows, &under)),
        );
        panels.extend(if_round::panels(body, &here, units));
    }
    panels
}

fn row(number: usize, hole: &PlacedHole, units: Units) -> [String; 5] {
    let round = if hole.girth.is_some() {
        format!("{} ({})", units.show(hole.round_mm), show_angle(hole.round_deg()))
    } else {
        units.show(hole.round_mm)
    };
    let next = hole
        .next
        .as_ref()
        .map_or_else(|| "-".to_owned(), |(_, left)| units.show(*left));
    [
        number.to_string(),
        hole.name(),
        units.show(hole.hole.along_mm),
        round,
        next,
    ]
}

/// The skin to scale: round across, along up, the zero line in the middle.
fn skin_panel(body: &BodyInSpace, holes: &[&PlacedHole], units: Units) -> Panel {
    let title = format!("MARK-OUT: {} ({})", body.name, body.size);
    let outlines: Vec<&[Point]> = holes.iter().map(|hole| hole.on_skin.points()).collect();
    let around = outlines
        .iter()
        .copied()
        .flatten()
        .fold(Rect::ZERO, |rect, point| rect.union_pt(*point));
    let girth = body.surface.girth(0.0);
    let skin = match (body.extent, girth) {
        (Extent::Round { length, .. }, Some(girth)) => {
            let whole = body.parting.as_ref().map_or(length, |parting| parting.whole_mm);
            Rect::new(-girth / 2.0, 0.0, girth / 2.0, whole)
        }
        _ => around.inflate(30.0, 30.0),
    };
    let shown = skin.union(around);
    let scale = nice_scale((ROOM.0 / shown.width()).min(ROOM.1 / shown.height()));
    let to_sheet = Affine::scale(scale) * Affine::translate((-shown.x0, -shown.y0));
    let at = |x: f64, y: f64| to_sheet * Point::new(x, y);
    let mut drawing = Drawing::default();
    let is_round = girth.is_some();
    drawing.line(Layer::CrownLines, Pen::CROWN, at(0.0, skin.y0), at(0.0, skin.y1));
    if is_round {
        let corners = Rect::from_points(at(skin.x0, skin.y0), at(skin.x1, skin.y1));
        drawing.stroke(Layer::Notes, Pen::PLAIN, corners);
    } else {
        drawing.line(Layer::CrownLines, Pen::CROWN, at(skin.x0, 0.0), at(skin.x1, 0.0));
    }
    for (number, (outline, hole)) in outlines.iter().zip(holes).enumerate() {
        let mut path = BezPath::new();
        for (index, point) in outline.iter().enumerate() {
            let point = to_sheet * *point;
            if index == 0 {
                path.move_to(point)
            } else {
                path.line_to(point)
            }
        }
        path.close_path();
        drawing.stroke(
            Layer::Notes,
            Pen {
                width_mm: 0.35,
                ..Pen::PLAIN
            },
            &path,
        );
        let right = outline.iter().map(|point| point.x).fold(f64::MIN, f64::max);
        let beside = at(right, hole.hole.along_mm);
        drawing.note(Text::new((beside.x + 1.0, beside.y - 0.95), 7.5, (number + 1).to_string()).bold());
    }
    parting::draw(&mut drawing, body, at, skin, units);
    let size = (shown.width() * scale, shown.height() * scale);
    drawing.note(Text::new((0.0, size.1 + 6.5), 10.0, &title).bold());
    let view = match &body.parting {
        Some(parting) => parting::view(parting),
        None if is_round => "The skin from outside, its end (\"from\") at the bottom, the zero line dashed.",
        None => "The plate from outside; the dashed lines cross at its point \"at\". Its edges are not known here.",
    };
    let note = format!("Scale 1 : {:.0}. NOT 1:1. {view}", 1.0 / scale);
    drawing.note(Text::new((0.0, size.1 + 2.0), 7.5, note));
    let width = size.0.max(drawing.bounds().x1);
    Panel::framed(
        &title,
        Role::Table,
        &drawing,
        Rect::new(-0.5, -1.0, width + 0.5, size.1 + 11.0),
    )
}

/// 1 : 1, 2, 5, 10, 20, ... so that a rule can be laid on it.
fn nice_scale(largest: f64) -> f64 {
    let scales = (0..5).flat_map(|power| [1.0, 2.0, 5.0].map(|step| step * 10f64.powi(power)));
    scales
        .map(|parts| 1.0 / parts)
        .find(|scale| *scale <= largest)
        .unwrap_or(largest)
}
