//! What is drawn of a faceted end: the chart of its gap, the wrap with the true curve, the strip to scribe by,
//! and the saw settings.

use std::f64::consts::TAU;

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape};

use super::chart::{Curve, chart_panel};
use super::saw_settings::{rounding_panel, settings_panels};
use super::table::ordinates_panels;
use super::wrap::{CutEdge, EdgesAre, Wrap, of_end};
use crate::job::{Facets, LeftOut, SheetOptions};
use crate::layout::drawing::{Align, Item, Layer, Pen, Text};
use crate::layout::hatch::hatch;
use crate::layout::label::READ_PT;
use crate::layout::{Drawing, Panel};
use crate::measure::Units;
use crate::plan::{FacetStudy, FacetsPlan, Outcome, PlannedEnd, Recipe};
use crate::section::Profile;
use crate::wording::{girth_note, joint_title, ordinates_beside_wrap, saw_both_ways};

/// Chart, wraps, saw settings and ordinates.
pub(super) fn panels(plan: &FacetsPlan, sheet: &SheetOptions) -> Vec<Panel> {
    let (asked, study, end, units) = (&plan.asked, &plan.study, &plan.end, sheet.units);
    let title = joint_title(&asked.joint, units);
    let view = FacetView {
        plan,
        asked,
        end,
        study,
        girth_mm: end.girth_mm(),
        seam_deg: end.seam_deg(),
        stations: sheet.stations,
        units,
    };
    let mut settings = settings_panels(asked, study, units);
    let more = settings.split_off(settings.len().min(2));
    let mut first = vec![view.chart(), view.true_wrap(&title)];
    first.extend(settings);
    let strips = vec![view.first_strip(), view.best_strip()];
    let mut last = more;
    last.push(rounding_panel(study, asked.joint.branch.section.girth(), units));
    if sheet.has(LeftOut::Tables) {
        last.extend(ordinates_panels(&ordinates_beside_wrap("Branch end", end, units)));
    }
    // Groups follow each other, so that the order is the same on every paper.
    let groups = [first, strips, last];
    let groups = groups.into_iter().enumerate();
    groups
        .flat_map(|(group, panels)| panels.into_iter().map(move |panel| panel.in_group(group)))
        .collect()
}

struct FacetView<'a> {
    plan: &'a FacetsPlan,
    asked: &'a Facets,
    end: &'a PlannedEnd,
    study: &'a FacetStudy,
    girth_mm: f64,
    seam_deg: f64,
    stations: usize,
    units: Units,
}

impl FacetView<'_> {
    fn chart(&self) -> Panel {
        let dashed = |dash: f64, width_mm: f64| Pen {
            width_mm,
            dash_mm: Some((dash, 1.2)),
            grey: 0.0,
        };
        let study = self.study;
        let curves = [
            Curve {
                name: "as cut".to_owned(),
                values: &study.as_cut.gap.profile,
                pen: Pen {
                    width_mm: 0.5,
                    ..Pen::PLAIN
                },
            },
            Curve {
                name: format!("rounded and pushed in by {}", self.units.show(study.rounded.push_in)),
                values: &study.rounded.gap.profile,
                pen: dashed(3.0, 0.35),
            },
            Curve {
                name: "best pair of cuts".to_owned(),
                values: &study.best.gap.profile,
                pen: dashed(1.2, 0.5),
            },
        ];
        chart_panel(
            "Gap round the girth",
            &curves,
            self.asked.gap_limit_mm,
            self.seam_deg,
            self.units,
        )
    }

    /// A curve over the girth from the seam, `height` giving y at an azimuth in radians.
    fn over_girth(&self, height: impl Fn(f64) -> f64) -> BezPath {
        let places = 720;
        let point = |place: usize| {
            let turn = place as f64 / places as f64;
            Point::new(self.girth_mm * turn, height(self.seam_deg.to_radians() + TAU * turn))
        };
        let mut path = BezPath::new();
        path.move_to(point(0));
        (1..=places).for_each(|place| path.line_to(point(place)));
        path
    }

    /// The true curve to cut along, the facets thin, and what comes off them hatched.
    fn true_wrap(&self, title: &str) -> Panel {
        let base_t = self.end.marks.base_t;
        let as_cut = self.plan.as_cut();
        let pushed = self.study.rounded.gap.shift;
        let outline = self.over_girth(|azimuth| base_t - (as_cut(azimuth) - pushed));
        let mut overlay = Drawing::default();
        for stretch in &self.study.rounded.take_off {
            overlay.stroke(
                Layer::Notes,
                TAKEN_OFF,
                hatch(&self.taken_off(stretch.azimuths_deg.clone()), 1.0),
            );
        }
        overlay.stroke(Layer::Notes, Pen::PLAIN, &outline);
        let notes = vec![format!(
            "Bold: the true curve. Thin: the facets as cut, pushed in as far as they are rounded. Closely hatched: the metal that comes off. Base line to the header's centre: {}. {}",
            self.units.show(base_t),
            girth_note(self.girth_mm, self.units)
        )];
        let title = format!("TRUE CURVE: {title}");
        Wrap {
            overlay,
            ..of_end(self.end, title, notes, self.stations)
        }
        .panel()
    }

    /// The area between the true curve and what stands past it over a stretch of the girth.
    fn taken_off(&self, stretch: std::ops::Range<f64>) -> BezPath {
        let (curve, base_t) = (&self.end.curve, self.end.marks.base_t);
        let gaps = &self.study.as_cut.gap.profile;
        let depth = |degrees: f64| {
            let at = degrees.rem_euclid(360.0);
            let (before, share) = (at.floor() as usize, at.fract());
            let gap = gaps[before] * (1.0 - share) + gaps[(before + 1).min(360)] * share;
            (self.study.rounded.push_in + self.end.end.root_gap_mm - gap).max(0.0)
        };
        let x = |degrees: f64| (degrees - self.seam_deg).rem_euclid(360.0) / 360.0 * self.girth_mm;
        let mut area = BezPath::new();
        let count = ((stretch.end - stretch.start).ceil() as usize).max(2);
        for step in 0..count {
            // A strip a degree wide; one that the seam would tear apart is left out.
            let ends =
                [step, step + 1].map(|step| stretch.start + (stretch.end - stretch.start) * step as f64 / count as f64);
            let (left, right) = (x(ends[0]), x(ends[1]));
            if right <= left {
                continue;
            }
            let seat = |x: f64| base_t - height_on(&curve.path, x);
            area.move_to((left, seat(left)));
            area.line_to((right, seat(right)));
            area.line_to((right, seat(right) + depth(ends[1])));
            area.line_to((left, seat(left) + depth(ends[0])));
            area.close_path();
        }
        area
    }

    /// The strip for the cuts that were asked for.
    fn first_strip(&self) -> Panel {
        let how = format!(
            "First cut the tube parallel to the header: {}. Cut this paper along the thin line FIRST CUT and lay that edge on the tube's cut, front to the acute side. Scribe the bold line",
            saw_both_ways(90.0 - self.asked.joint.angle_deg)
        );
        self.scribe_strip("as asked for", &self.study.as_cut, &how)
    }

    /// The strip for the best ones.
    fn best_strip(&self) -> Panel {
        let how = "Used as the other strip, in its place. Scribe the bold line";
        self.scribe_strip("best pair of cuts", &self.study.best, how)
    }

    /// The line to scribe, and where the blade just touches it; `how` says how it is used.
    fn scribe_strip(&self, name: &str, outcome: &Outcome, how: &str) -> Panel {
        let first = self.plan.after_first_cut();
        let high = first(0.0);
        let Recipe { front, back } = &outcome.recipe;
        let scribe = front[0].0;
        let base_t = (high + scribe + UNDER_SCRIBED).ceil();
        let edge = self.over_girth(|azimuth| base_t - first(azimuth));
        let mut overlay = Drawing::default();
        let line = Affine::translate((0.0, -scribe)) * edge.clone();
        overlay.stroke(
            Layer::Notes,
            Pen {
                width_mm: 0.5,
                ..Pen::PLAIN
            },
            &line,
        );
        for (words, azimuth) in [("front cut", 0.0_f64), ("back cut", 180.0)] {
            let y = base_t - first(azimuth.to_radians()) - scribe;
            self.touching(&mut overlay, words, azimuth, y);
        }
        self.name_first_cut(&mut overlay, &edge);
        let notes = vec![
            format!("{how}, {} from FIRST CUT.", self.units.show(scribe)),
            format!(
                "Front cut {}. Back cut {}. Each just touches the line at its dot and slopes towards the end.",
                saw_both_ways(front[0].1),
                saw_both_ways(back[0].1)
            ),
        ];
        let low = base_t - high;
        let title = format!("SCRIBE STRIP, {name}: leaves {}", self.units.show(outcome.gap.largest));
        let wrap = Wrap {
            name: format!("scribe strip, {name}"),
            upper: CutEdge {
                path: edge,
                low,
                high: base_t + high,
            },
            edges_are: EdgesAre::Sawn,
            overlay,
            ..of_end(self.end, title, notes, self.stations)
        };
        wrap.panel()
    }

    /// Names the edge of the first cut on both sides of the front, where no words of the overlay stand.
    fn name_first_cut(&self, overlay: &mut Drawing, edge: &BezPath) {
        let taken: Vec<Rect> = overlay
            .on(Layer::Notes)
            .filter(|item| matches!(item, Item::Words(_)))
            .map(Item::bounds)
            .collect();
        for side in [-1.0, 1.0] {
            // Half way between front and back, nearer to the front where words of the dots stand there.
            let texts = (0..12).map(|step| {
                let x = (0.5 + side * (0.25 - 0.01 * f64::from(step))) * self.girth_mm;
                let place = (x, height_on(edge, x) + 1.5);
                Text::new(place, READ_PT, "FIRST CUT").bold().align(Align::Middle)
            });
            let is_free = |text: &Text| {
                !taken
                    .iter()
                    .any(|other| other.overlaps(text.bounds().inflate(1.0, 0.6)))
            };
            let Some(text) = texts.clone().find(is_free).or_else(|| texts.clone().next()) else {
                continue;
            };
            overlay.fill(Layer::Notes, 1.0, text.bounds().inflate(0.5, 0.3));
            overlay.note(text);
        }
    }

    /// A dot where a cut touches the line that is scribed, with its words.
    fn touching(&self, overlay: &mut Drawing, words: &str, azimuth_deg: f64, y: f64) {
        let x = (azimuth_deg - self.seam_deg).rem_euclid(360.0) / 360.0 * self.girth_mm;
        let dot = |x: f64| half_within(Circle::new((x, y), 1.6), self.girth_mm);
        overlay.fill(Layer::Notes, 0.0, dot(x));
        if x < 1e-9 {
            overlay.fill(Layer::Notes, 0.0, dot(self.girth_mm));
        }
        let room = self.girth_mm / 2.0 - 6.0;
        let (align, beside) = if x + room > self.girth_mm {
            (Align::Right, -2.6)
        } else {
            (Align::Left, 2.6)
        };
        // The line falls away from the back's dot and rises from the front's: words keep to the free side.
        let off = if azimuth_deg == 0.0 { -4.0 } else { 2.2 };
        let text = |words: String| Text::new((x + beside, y + off), READ_PT, words).align(align);
        let long = text(format!("the {words} touches here"));
        overlay.note(if long.width() > room {
            text(words.to_owned())
        } else {
            long
        });
    }
}

/// Between the base line and the line to scribe there is at least this, in millimetres.
const UNDER_SCRIBED: f64 = 14.0;

const TAKEN_OFF: Pen = Pen {
    width_mm: 0.25,
    dash_mm: None,
    grey: 0.0,
};

/// A dot at the wrap's edge keeps to the wrap.
fn half_within(circle: Circle, girth: f64) -> BezPath {
    let path = circle.to_path(0.01);
    let clamp = |point: Point| Point::new(point.x.clamp(0.0, girth), point.y);
    BezPath::from_vec(
        path.elements()
            .iter()
            .map(|element| match *element {
                kurbo::PathEl::MoveTo(point) => kurbo::PathEl::MoveTo(clamp(point)),
                kurbo::PathEl::LineTo(point) => kurbo::PathEl::LineTo(clamp(point)),
                kurbo::PathEl::QuadTo(a, b) => kurbo::PathEl::QuadTo(clamp(a), clamp(b)),
                kurbo::PathEl::CurveTo(a, b, c) => kurbo::PathEl::CurveTo(clamp(a), clamp(b), clamp(c)),
                kurbo::PathEl::ClosePath => kurbo::PathEl::ClosePath,
            })
            .collect(),
    )
}

/// y of a curve that runs to the right, at `x`.
fn height_on(path: &BezPath, x: f64) -> f64 {
    use kurbo::ParamCurve;
    let segment = path
        .segments()
        .find(|segment| segment.end().x >= x)
        .or_else(|| path.segments().last());
    let Some(segment) = segment else { return f64::NAN };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if segment.eval(middle).x < x {
            low = middle
        } else {
            high = middle
        }
    }
    segment.eval(0.5 * (low + high)).y
}
