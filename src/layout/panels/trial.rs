//! What is drawn of a trial fit: the strip to grind by, its ordinates, the chart of the gap, and the readings.

use kurbo::{BezPath, Point};

use super::chart::{Curve, Marked, marked_chart_panel};
use super::table::{ordinates_panels, rows_panel};
use super::wrap::{CutEdge, EdgesAre, Wrap, of_end};
use crate::job::{LeftOut, SheetOptions};
use crate::layout::drawing::{Layer, Pen};
use crate::layout::hatch::hatch;
use crate::layout::polyline::thinned;
use crate::layout::{Drawing, Panel};
use crate::measure::Units;
use crate::plan::TrialPlan;
use crate::wording::{Said, beyond, girth_note, goes_in, ground_table, readings_table};

/// Straight lines stand for the new edge no farther off than this, in millimetres.
const STRAIGHT: f64 = 0.001;

/// Between the hatch lines of metal that comes off, in millimetres.
const HATCHING: f64 = 0.8;

/// Less metal than this can't be shown, in millimetres.
const SHOWN: f64 = 0.02;

const OLD_EDGE: Pen = Pen {
    width_mm: 0.3,
    dash_mm: Some((2.5, 1.0)),
    grey: 0.0,
};

const TAKEN_OFF: Pen = Pen {
    width_mm: 0.2,
    dash_mm: None,
    grey: 0.0,
};

/// Chart and readings, and where something has to come off the strip and its ordinates.
pub(super) fn panels(plan: &TrialPlan, sheet: &SheetOptions, said: &Said) -> Vec<Panel> {
    let units = sheet.units;
    let mut panels = Vec::new();
    let is_ground = plan.grind.moves_in_mm > 0.0;
    if is_ground {
        panels.push(strip(plan, sheet, said));
    }
    panels.push(chart(plan, units));
    let read = readings_table(plan, units);
    panels.push(rows_panel(&read.title, &read.heads, &read.rows, &read.under));
    if sheet.has(LeftOut::Tables) {
        panels.extend(ground_table(plan, units).iter().flat_map(ordinates_panels));
    }
    panels
}

/// The new edge to grind to, on the lines that are on the tube already.
fn strip(plan: &TrialPlan, sheet: &SheetOptions, said: &Said) -> Panel {
    let (end, grind, units) = (&plan.end, &plan.grind, sheet.units);
    let [new, old] = [0, 1].map(|edge| heights(plan, edge));
    let mut overlay = Drawing::default();
    overlay.stroke(Layer::Notes, TAKEN_OFF, hatch(&between(&new, &old), HATCHING));
    overlay.stroke(Layer::Notes, OLD_EDGE, line(&old));
    let marks = &grind.marks;
    let notes = vec![
        "Lay the BASE LINE and the crown lines of this strip on those that are on the tube already. What stands past the bold edge comes off: closely hatched, up to the dashed edge as it was cut.".to_owned(),
        format!(
            "Grind up to {}. The tube then {} and loses {} of its length.",
            units.show(grind.depths_mm.iter().copied().fold(0.0, f64::max)),
            goes_in(plan, units),
            units.show(grind.length_lost_mm)
        ),
        format!(
            "Base line to the new edge: longest {}, shortest {}.",
            units.show(marks.longest_mm),
            units.show(marks.shortest_mm)
        ),
        girth_note(end.girth_mm(), units),
    ];
    let wrap = Wrap {
        upper: CutEdge {
            path: line(&new),
            low: marks.shortest_mm,
            high: marks.longest_mm,
        },
        edges_are: EdgesAre::ToBeGround,
        overlay,
        ..of_end(end, format!("GRINDING STRIP: {}", said.title), notes, sheet.stations)
    };
    wrap.panel()
}

/// The new edge (0) or the old one (1) over the girth from the seam: up from the base line, at every quarter of a degree.
fn heights(plan: &TrialPlan, edge: usize) -> Vec<Point> {
    let (end, edges) = (&plan.end, &plan.grind.edges_t);
    let count = edges.len();
    let (base, girth) = (plan.grind.marks.base_t, end.girth_mm());
    let seam = end.seam_deg().rem_euclid(360.0) / 360.0 * count as f64;
    let height = |place: f64| {
        let (before, share) = (place.floor() as usize, place.fract());
        let [from, to] = [before, before + 1].map(|place| base - edges[place % count][edge]);
        from + share * (to - from)
    };
    let first = seam.ceil();
    let whole = (0..count).map(|step| first + step as f64);
    let inside = whole.filter(|place| *place > seam && *place < seam + count as f64);
    let places = std::iter::once(seam).chain(inside).chain([seam + count as f64]);
    places
        .map(|place| Point::new((place - seam) / count as f64 * girth, height(place)))
        .collect()
}

fn line(places: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (index, place) in thinned(places, STRAIGHT).into_iter().enumerate() {
        if index == 0 {
            path.move_to(place)
        } else {
            path.line_to(place)
        }
    }
    path
}

/// The metal between the new edge and the old one, a closed area for each stretch.
fn between(new: &[Point], old: &[Point]) -> BezPath {
    let mut area = BezPath::new();
    let comes_off = |index: usize| old[index].y - new[index].y > SHOWN;
    let mut index = 0;
    while index < new.len() {
        let end = (index..new.len()).find(|&next| !comes_off(next)).unwrap_or(new.len());
        if end > index + 1 {
            area.move_to(new[index]);
            new[index + 1..end].iter().for_each(|place| area.line_to(*place));
            old[index..end].iter().rev().for_each(|place| area.line_to(*place));
            area.close_path();
        }
        index = end.max(index) + 1;
    }
    area
}

fn chart(plan: &TrialPlan, units: Units) -> Panel {
    let pen = |width_mm: f64, dash_mm: Option<(f64, f64)>| Pen {
        width_mm,
        dash_mm,
        grey: 0.0,
    };
    let explained = if plan.stray.is_some() {
        "as read, even between the readings"
    } else {
        "as explained"
    };
    let mut curves = vec![Curve {
        name: explained.to_owned(),
        values: &plan.gap_mm,
        pen: pen(0.5, None),
    }];
    if plan.grind.moves_in_mm > 0.0 {
        curves.push(Curve {
            name: match plan.leaves_a_gap {
                true => format!("after grinding,{}", beyond(plan)),
                false => format!("after grinding, pushed in by {}", units.show(plan.grind.moves_in_mm)),
            },
            values: &plan.grind.left_mm,
            pen: pen(0.4, Some((3.0, 1.2))),
        });
    }
    let places: Vec<(f64, f64)> = plan
        .asked
        .readings
        .iter()
        .map(|reading| (reading.azimuth_deg, reading.gap_mm))
        .collect();
    let marked = Marked {
        name: "as read",
        places: &places,
    };
    marked_chart_panel(
        "Gap round the girth",
        &curves,
        &marked,
        plan.asked.gap_limit_mm,
        (plan.end.seam_deg(), plan.end.which),
        units,
    )
}
