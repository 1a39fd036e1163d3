//! The pattern of a hole, with the lines by which it is set on the body.

use kurbo::{Affine, BezPath, ParamCurve, Point, Rect, Shape};

use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::hatch::hatch;
use crate::layout::label::{Paragraph, SMALL_PT, widest_column, write_column};
use crate::layout::panel::{Panel, Role};
use crate::measure::Units;
use crate::solver::HoleOutline;

/// How far the lines reach past the hole round the body and along it, in millimetres.
const REACH_ROUND: f64 = 16.0;
const REACH_ALONG: f64 = 12.0;
/// The paper round the hole is at least this wide, in millimetres, so that the words fit.
const NARROWEST: f64 = 70.0;

/// Above that, for the word that says which way is up, in millimetres.
const TOP: f64 = 5.0;

/// What the lines of a pattern are set by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SetBy {
    /// The joint alone: its front, and where the centre lines cross.
    Joint,
    /// The body's end and zero line; the notes say how far from them.
    Body {
        /// What its far end is called.
        far_end: &'static str,
    },
    /// A plate's cross, which has no ends; the notes say how far from it.
    Plate,
}

/// What a hole's pattern says.
pub(super) struct HolePattern<'a> {
    /// Names it in the report and on tiles.
    pub(super) name: &'a str,
    /// Its heading.
    pub(super) title: &'a str,
    /// What must be known, a paragraph each.
    pub(super) notes: &'a [String],
    /// The solved outline.
    pub(super) outline: &'a HoleOutline,
    /// The printed girth over the body's own, as its paper lies half a sheet above the skin.
    pub(super) girth_scale: f64,
    /// For the distances of lines.
    pub(super) units: Units,
    /// What its lines are set by.
    pub(super) set_by: SetBy,
    /// Where the FRONT line of the tube comes to stand, where its pattern's top doesn't say.
    pub(super) front: Option<Point>,
}

impl HolePattern<'_> {
    /// Draws the hole, front up, with a line along the body and one round it.
    pub(super) fn panel(&self) -> Panel {
        let path = Affine::scale_non_uniform(self.girth_scale, 1.0) * self.outline.path.clone();
        let hole = path.bounding_box();
        let mut drawing = Drawing::default();
        drawing.stroke(Layer::Notes, Pen::HATCH, hatch(&path, 5.0));

        let lines = match self.set_by {
            SetBy::Joint => SettingLines::near(hole, self.girth_scale),
            // The notes say where the place under the tube's axis is.
            SetBy::Body { .. } | SetBy::Plate => SettingLines { cross: Point::ZERO },
        };
        let reach = hole.union_pt(lines.cross).inflate(REACH_ROUND, REACH_ALONG);
        let side = ((NARROWEST - reach.width()) / 2.0).max(0.0);
        let paper = reach.inflate(side, 0.0);
        lines.draw(&mut drawing, reach, paper, self.set_by);
        waste_label(&mut drawing, hole);
        if let Some(front) = self.front {
            let to_paper = Affine::scale_non_uniform(self.girth_scale, 1.0);
            front_mark(&mut drawing, &path, to_paper * front);
        }

        let mut paragraphs = vec![Paragraph::strong(self.title, 10.0)];
        paragraphs.extend(self.notes.iter().map(Paragraph::plain));
        if self.set_by == SetBy::Joint {
            paragraphs.extend(
                lines
                    .words(self.girth_scale, self.units)
                    .into_iter()
                    .map(Paragraph::plain),
            );
        }
        let column = (paper.width() - 4.0).min(widest_column(paper.width()));
        let height = write_column(
            &mut drawing,
            Point::new(paper.x0 + 2.0, paper.y0 - 4.0),
            column,
            &paragraphs,
        );
        let frame = Rect::new(paper.x0, paper.y0 - height - 9.0, paper.x1, paper.y1 + TOP);
        foot_tick(&mut drawing, frame, lines.cross.x);
        drawing.stroke(Layer::Notes, Pen::PLAIN, frame);
        drawing.stroke(Layer::CutLine, Pen::CUT, &path);
        Panel::framed(self.name, Role::Pattern, drawing, frame.inflate(0.5, 0.5))
    }
}

/// The line along the body and the line round it, by which the pattern is set.
struct SettingLines {
    /// Where they cross, on the pattern.
    cross: Point,
}

impl SettingLines {
    /// The body's own zero lines where they pass near the hole; else parallels to them through its
    /// middle, at a whole number of millimetres.
    fn near(hole: Rect, girth_scale: f64) -> Self {
        let near = |low: f64, high: f64, scale: f64| {
            if low - REACH_ALONG <= 0.0 && high + REACH_ALONG >= 0.0 {
                0.0
            } else {
                ((low + high) / 2.0 / scale).round() * scale
            }
        };
        Self {
            cross: Point::new(near(hole.x0, hole.x1, girth_scale), near(hole.y0, hole.y1, 1.0)),
        }
    }

    fn draw(&self, drawing: &mut Drawing, reach: Rect, paper: Rect, set_by: SetBy) {
        let Point { x, y } = self.cross;
        let crown = Layer::CrownLines;
        // To the paper's edge on every side where there are no words, so that they can be laid on lines of the body.
        drawing.line(crown, Pen::CROWN, (x, reach.y0), (x, paper.y1 + TOP));
        drawing.line(crown, Pen::CROWN, (paper.x0, y), (paper.x1, y));
        let up = match set_by {
            SetBy::Joint => "FRONT",
            SetBy::Body { far_end } => far_end,
            SetBy::Plate => "TOWARDS ZERO",
        };
        drawing.words(crown, Text::new((x + 1.5, reach.y1 + 1.2), 9.0, up).bold());
        drawing.words(
            crown,
            Text::new((x - 1.5, reach.y1 + 1.2), SMALL_PT, "A").align(Align::Right),
        );
        drawing.words(
            crown,
            Text::new((paper.x1 - 1.5, y + 1.2), SMALL_PT, "B").align(Align::Right),
        );
    }

    /// Where the lines are on the body.
    fn words(&self, girth_scale: f64, units: Units) -> [String; 2] {
        let Point { x, y } = self.cross;
        let u = x / girth_scale;
        let along = match u {
            0.0 => "the header's line that faces the branch".to_owned(),
            _ => format!(
                "{} round the header to the {} of its line that would face a branch without offset",
                units.show(u.abs()),
                if u > 0.0 { "right" } else { "left" }
            ),
        };
        let round = match y {
            0.0 => "goes round through the point where the centre lines cross, or pass nearest".to_owned(),
            _ => format!(
                "goes round {} {} the point where the centre lines cross",
                units.show(y.abs()),
                if y > 0.0 { "in front of" } else { "behind" }
            ),
        };
        [format!("Line A runs along {along}."), format!("Line B {round}.")]
    }
}

/// An arrowhead outside the hole, pointing away from it where the tube's FRONT line comes to stand, with the word.
fn front_mark(drawing: &mut Drawing, hole: &BezPath, front: Point) {
    const GAP: f64 = 1.2;
    const LENGTH: f64 = 5.0;
    const HALF_WIDTH: f64 = 2.4;
    let way = front.to_vec2() / front.to_vec2().hypot();
    let aside = way.turn_90();
    let reach = hole.segments().flat_map(|segment| [segment.start(), segment.eval(0.5)]);
    let near = reach.filter(|place| place.to_vec2().cross(way).abs() < 0.35 * place.to_vec2().hypot());
    let edge = near
        .map(|place| place.to_vec2().dot(way))
        .fold(front.to_vec2().dot(way), f64::max)
        + GAP;
    let foot = Point::ZERO + edge * way;
    let mut arrow = BezPath::new();
    arrow.move_to(foot + HALF_WIDTH * aside);
    arrow.line_to(foot + LENGTH * way);
    arrow.line_to(foot - HALF_WIDTH * aside);
    arrow.close_path();
    drawing.fill(Layer::CrownLines, 0.0, arrow);
    let middle = foot + LENGTH / 2.0 * way;
    let text = if way.y.abs() > way.x.abs() {
        Text::new((middle.x + HALF_WIDTH + 1.2, middle.y - 1.2), 9.0, "FRONT")
    } else {
        Text::new((middle.x, middle.y + HALF_WIDTH + 1.0), 9.0, "FRONT").align(Align::Middle)
    };
    let text = text.bold();
    drawing.fill(Layer::CrownLines, 1.0, text.bounds().inflate(0.6, 0.4));
    drawing.words(Layer::CrownLines, text);
}

/// Line A at the foot of the paper, under the words.
fn foot_tick(drawing: &mut Drawing, frame: Rect, x: f64) {
    const LENGTH: f64 = 3.5;
    drawing.line(Layer::CrownLines, Pen::PLAIN, (x, frame.y0), (x, frame.y0 + LENGTH));
    drawing.words(
        Layer::CrownLines,
        Text::new((x - 1.2, frame.y0 + 0.8), SMALL_PT, "A").align(Align::Right),
    );
}

/// The inside falls out. A wide hole, which may be tiled, says so on both sides of its middle.
fn waste_label(drawing: &mut Drawing, hole: Rect) {
    const WIDE: f64 = 110.0;
    let shares: &[f64] = if hole.width() > WIDE { &[0.25, 0.75] } else { &[0.5] };
    for share in shares {
        let at = (hole.x0 + share * hole.width(), hole.center().y + 2.0);
        let text = Text::new(at, 9.0, "WASTE").bold().align(Align::Middle);
        let white = text.bounds().inflate(1.0, 0.6);
        if white.width() + 6.0 < hole.width() && hole.height() > 12.0 {
            drawing.fill(Layer::Notes, 1.0, white);
            drawing.note(text);
        }
    }
}
