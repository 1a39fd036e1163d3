//! What is to be kept off on a body, and where parts of a stack lap over each other: grey on its mark-out sheet, by name.

use kurbo::{Affine, BezPath, Rect, Shape};

use super::table::rows_panel;
use super::taken::Taken;
use crate::job::{BodyInSpace, Strip};
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::READ_PT;
use crate::layout::{Panel, text};
use crate::measure::Units;
use crate::plan::{FlatSkin, PlacedHole};
use crate::wording::{KEEP_OFF_HEADS, keep_off_rows, measured_from};

/// How light the strips are, 1 being white.
const GREY: f64 = 0.85;

/// The strips with their names, on the sheet.
fn strips(body: &BodyInSpace, flat: &FlatSkin<'_>, shown: Rect, to_sheet: Affine) -> Vec<(String, Vec<BezPath>)> {
    let kept = body
        .keep_off
        .iter()
        .map(|keep| (format!("keep off: {}", keep.name), keep.strip));
    let laps = body.laps.iter();
    let laps = laps.map(|lap| (format!("lap: {}", lap.words), Strip::Round(lap.along_mm)));
    let all = kept.chain(laps);
    all.map(|(name, strip)| {
        let areas = flat.areas(strip, shown).into_iter().map(|area| to_sheet * area);
        (name, areas.collect())
    })
    .collect()
}

/// Their areas, beneath all else; other words had better not be written over them.
pub(super) fn draw(
    drawing: &mut Drawing,
    taken: &mut Taken,
    body: &BodyInSpace,
    flat: &FlatSkin<'_>,
    (shown, to_sheet): (Rect, Affine),
) {
    for area in strips(body, flat, shown, to_sheet)
        .into_iter()
        .flat_map(|(_, areas)| areas)
    {
        drawing.fill(Layer::Notes, GREY, &area);
        drawing.stroke(Layer::Notes, Pen::FINE, &area);
        taken.edges.extend(area.segments().filter_map(|side| side.as_line()));
    }
}

/// Their names, where there is room: in the strip, or beside it.
pub(super) fn name(
    drawing: &mut Drawing,
    taken: &mut Taken,
    body: &BodyInSpace,
    flat: &FlatSkin<'_>,
    shown: Rect,
    to_sheet: Affine,
) {
    let height = READ_PT * text::MM_PER_POINT;
    for (name, areas) in strips(body, flat, shown, to_sheet) {
        let boxes = areas.iter().map(Shape::bounding_box);
        let places = boxes.flat_map(|area| {
            // In a strip that is lower than the words its edges would go through them.
            let inside = Some(area.center().y - 0.38 * height).filter(|_| area.height() > height + 0.6);
            let level = inside.into_iter().chain([area.y1 + 0.6, area.y0 - height]);
            let along = [(area.x0 + 1.5, Align::Left), (area.x1 - 1.5, Align::Right)];
            level.flat_map(move |y| along.map(|(x, align)| ((x, y), align)))
        });
        let texts = places.map(|(at, align)| Text::new(at, READ_PT, &name).align(align));
        let texts: Vec<Text> = texts.collect();
        taken.write_first_free(drawing, texts.into_iter());
    }
}

/// Where what is to be kept off is, how far it stands out, and what is left beside it.
pub(super) fn panel(body: &BodyInSpace, here: &[&PlacedHole], units: Units) -> Option<Panel> {
    // A tube's are its own corners, which are cut away.
    if body.of_tube.is_some() {
        return None;
    }
    let rows = keep_off_rows(body, here, units);
    let title = format!("Keep off on {}", body.name);
    let measured = if body.outside.is_flat() {
        "Up, right and left: from the cross.".to_owned()
    } else {
        measured_from(body, " to its middle")
    };
    let under = format!(
        "Grey on the mark-out of {}. {measured} What is left is along the skin.",
        body.name
    );
    (!rows.is_empty()).then(|| rows_panel(&title, &KEEP_OFF_HEADS.map(str::to_owned), &rows, &under))
}
