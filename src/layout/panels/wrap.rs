//! The wrap: a tube's skin laid flat, with the cut at one end or at both.

use kurbo::{Affine, BezPath, Point, Rect, Shape};

use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::hatch::hatch;
use crate::layout::label::{Paragraph, SMALL_PT, widest_column, write_column};
use crate::layout::panel::{Panel, Role};
use crate::layout::text::width_mm;
use crate::plan::{CROWN_LINES, PlannedEnd};

/// Width of the tab that is glued under the other edge, in millimetres.
const TAB: f64 = 10.0;
/// Paper left beyond the cut, in millimetres: the waste side.
const WASTE: f64 = 12.0;
/// Room for the crown lines' names under a base line, in millimetres.
const NAMES: f64 = 7.5;
/// Where the crown lines' names stand, under the base line or under the numbers below it, in millimetres.
const NAME: f64 = -5.5;
const NAME_UNDER_NUMBERS: f64 = -8.5;
/// From where to where above the base line the names of fold lines stand, in millimetres.
const FOLD_NAME: (f64, f64) = (9.0, 18.0);
/// A wrap narrower than this has its words beside it, in millimetres.
const NARROW: f64 = 75.0;
/// Width of words beside a wrap, in millimetres.
const BESIDE: f64 = 60.0;
/// Between the hatch lines of waste, in millimetres.
const HATCHING: f64 = 3.0;
const NAME_PT: f64 = 9.0;

/// A cut edge on a wrap: x is the girth from the seam, y is up from the base line, in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CutEdge {
    /// From the left edge to the right one.
    pub path: BezPath,
    /// Its lowest y.
    pub low: f64,
    /// Its highest y.
    pub high: f64,
}

impl CutEdge {
    /// From a solved curve (y is t, growing away from the cut end), `base_t` being where the base line is.
    pub(super) fn above(curve: &crate::solver::EndCurve, base_t: f64) -> Self {
        let flip = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, base_t]);
        Self {
            path: flip * curve.path.clone(),
            low: base_t - curve.highest.0,
            high: base_t - curve.lowest.0,
        }
    }

    /// The same edge at the other end of a piece, below the base line.
    pub(super) fn mirrored_below(&self) -> Self {
        let flip = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 0.0]);
        Self {
            path: flip * self.path.clone(),
            low: -self.high,
            high: -self.low,
        }
    }
}
/// The words on the waste are at most so far apart, in millimetres.
const WASTE_WORDS: f64 = 100.0;

/// Everything that is on a wrap.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wrap {
    /// Names it in the report and on tiles.
    pub name: String,
    /// Its heading.
    pub title: String,
    /// Tube, joint, girth and whatever must be known, a paragraph each.
    pub notes: Vec<String>,
    /// Printed girth in millimetres.
    pub girth_mm: f64,
    /// Azimuth of the left edge in degrees.
    pub seam_deg: f64,
    /// The cut above the base line.
    pub upper: CutEdge,
    /// The cut below it, of a piece with two.
    pub lower: Option<CutEdge>,
    /// Stations round the girth.
    pub stations: usize,
    /// Azimuths of the fold lines in degrees: the corners of a tube with sides.
    pub folds_deg: Vec<f64>,
    /// What else to call the crown lines, by azimuth: ("long side", 0).
    pub also: Vec<(&'static str, f64)>,
    /// Whether the edges are the marks to cut along; else they are cut already, by a saw.
    pub(super) is_to_be_cut: bool,
    /// Whether azimuths run to the left: the far end of a piece, on the girth scale of its near end.
    pub(super) is_far_end: bool,
    /// What the arrow names; `None` where the piece may stand either way up.
    pub(super) up: Option<&'static str>,
    /// What the cut below is, where it has stations of its own.
    pub(super) other_end: Option<&'static str>,
    /// Drawn over the wrap, in its own coordinates.
    pub(super) overlay: Drawing,
}

impl Wrap {
    /// Draws it, cut end up, azimuth growing to the right.
    pub(super) fn panel(&self) -> Panel {
        let mut drawing = Drawing::default();
        let top = self.upper.high.max(self.overlay.bounds().y1) + WASTE;
        drawing.add(&self.overlay, (0.0, 0.0));
        self.waste(&mut drawing, &self.upper, top);
        let bottom = match &self.lower {
            Some(lower) => {
                self.waste(&mut drawing, lower, lower.low - WASTE);
                lower.low - WASTE
            }
            None => -NAMES,
        };
        self.fold_lines(&mut drawing, bottom, top);
        self.crown_lines(&mut drawing, bottom, top);
        self.base_line(&mut drawing);
        let foot = self.write_notes(&mut drawing, bottom, top);
        self.outline(&mut drawing, foot, top);
        let (layer, pen) = if self.is_to_be_cut {
            (Layer::CutLine, Pen::CUT)
        } else {
            (Layer::Notes, Pen::PLAIN)
        };
        for edge in std::iter::once(&self.upper).chain(&self.lower) {
            drawing.stroke(layer, pen, &edge.path);
        }
        let bounds = drawing.bounds();
        let frame = Rect::new(-0.5, bounds.y0 - 0.5, bounds.x1 + 0.5, top + 0.5);
        Panel::framed(self.name.clone(), Role::Pattern, drawing, frame)
    }

    /// x of the tube's azimuth in degrees, from 0 to the girth.
    fn x(&self, azimuth_deg: f64) -> f64 {
        self.x_right_of_front(if self.is_far_end { -azimuth_deg } else { azimuth_deg })
    }

    /// x of what is so many degrees to the right of the front, from 0 to the girth.
    fn x_right_of_front(&self, degrees: f64) -> f64 {
        (degrees - self.seam_deg).rem_euclid(360.0) / 360.0 * self.girth_mm
    }

    /// Hatches what falls off between a cut and the paper's edge at `edge`.
    fn waste(&self, drawing: &mut Drawing, cut: &CutEdge, edge: f64) {
        let mut area = cut.path.clone();
        area.line_to((self.girth_mm, edge));
        area.line_to((0.0, edge));
        area.close_path();
        let word = if self.is_to_be_cut {
            drawing.stroke(Layer::Notes, Pen::HATCH, hatch(&area, HATCHING));
            "WASTE"
        } else {
            "PAST THE END"
        };
        let width = width_mm(word, NAME_PT, true) + 2.0;
        let middle = if edge > cut.high {
            (cut.high + edge) / 2.0
        } else {
            (cut.low + edge) / 2.0
        };
        // Four, between the crown lines; more on a wide wrap, so that no tile goes without.
        let most = 4 * (self.girth_mm / (4.0 * WASTE_WORDS)).ceil() as usize;
        let labels = ((self.girth_mm / (width + 8.0)).floor() as usize).clamp(1, most);
        for label in 0..labels {
            let x = self.girth_mm * (label as f64 + 0.5) / labels as f64;
            over_lines(
                drawing,
                Text::new((x, middle - 1.2), NAME_PT, word).bold().align(Align::Middle),
            );
        }
    }

    /// The lines along the corners, each with its name above the base line where the cut leaves room for it.
    fn fold_lines(&self, drawing: &mut Drawing, bottom: f64, top: f64) {
        for fold in &self.folds_deg {
            let x = self.x(*fold);
            drawing.line(Layer::CrownLines, Pen::DASHED, (x, bottom), (x, top));
            if self.upper.low > FOLD_NAME.1 {
                let middle = (FOLD_NAME.0 + FOLD_NAME.1) / 2.0;
                let name = Text::new((x - 1.0, middle), SMALL_PT, "FOLD")
                    .bold()
                    .align(Align::Middle);
                drawing.words(Layer::CrownLines, name.upwards());
            }
        }
    }

    /// The four lines along the tube, the seam's one at both edges, with their names under the base line.
    fn crown_lines(&self, drawing: &mut Drawing, bottom: f64, top: f64) {
        let folds: Vec<f64> = self.folds_deg.iter().map(|fold| self.x(*fold)).collect();
        let below = if self.other_end.is_some() {
            NAME_UNDER_NUMBERS
        } else {
            NAME
        };
        for (name, azimuth) in CROWN_LINES {
            let x = self.x(azimuth);
            // To the next line on either side.
            let next = folds
                .iter()
                .map(|fold| (fold - x).abs().min(self.girth_mm - (fold - x).abs()));
            let room = next.fold(self.girth_mm / 4.0, f64::min) - 3.0;
            let at_seam = x < 1e-9;
            drawing.line(Layer::CrownLines, Pen::CROWN, (x, bottom), (x, top));
            if at_seam {
                drawing.line(
                    Layer::CrownLines,
                    Pen::CROWN,
                    (self.girth_mm, bottom),
                    (self.girth_mm, top),
                );
            }
            let also = self.also.iter().find(|(_, at)| *at == azimuth).map(|(words, _)| *words);
            let name = name.to_uppercase();
            let long = also.map_or_else(|| name.clone(), |also| format!("{name} · {also}"));
            let fits = |words: &str, size: f64| width_mm(words, size, true) <= room;
            let (words, size) = [(&long, NAME_PT), (&long, SMALL_PT), (&name, NAME_PT), (&name, SMALL_PT)]
                .into_iter()
                .find(|(words, size)| fits(words, *size))
                .map_or_else(
                    || (name[..1].to_owned(), SMALL_PT),
                    |(words, size)| (words.clone(), size),
                );
            // A line near the right edge has its name on its left.
            let (from, align) = if x + room > self.girth_mm {
                (x - 1.5, Align::Right)
            } else {
                (x + 1.5, Align::Left)
            };
            drawing.words(
                Layer::CrownLines,
                Text::new((from, below), size, words).bold().align(align),
            );
        }
    }

    /// The line from which ordinates are measured, with the stations' ticks and numbers. Stations are numbered to the right
    /// with the cut end up: those of a cut below the line are read with the paper turned over.
    fn base_line(&self, drawing: &mut Drawing) {
        drawing.line(Layer::Notes, Pen::PLAIN, (0.0, 0.0), (self.girth_mm, 0.0));
        self.station_row(drawing, false);
        if self.other_end.is_some() {
            self.station_row(drawing, true);
        }
        let words = match (self.up, self.other_end) {
            (Some(up), Some(other)) => {
                format!("BASE LINE, square round: stations of {up} above, of {other} below, upside down")
            }
            _ => "BASE LINE, square round the tube; stations to the right from 0 at the front".to_owned(),
        };
        let room = self.girth_mm - 12.0;
        let fits = |words: &&str| width_mm(words, SMALL_PT, false) < room;
        if let Some(words) = [words.as_str(), "BASE LINE"].into_iter().find(fits) {
            over_lines(
                drawing,
                Text::new((self.girth_mm / 2.0, 6.6), SMALL_PT, words).align(Align::Middle),
            );
        }
    }

    /// The ticks and numbers of the cut above the line, or upside down those of the one below it.
    fn station_row(&self, drawing: &mut Drawing, is_below: bool) {
        let spacing = self.girth_mm / self.stations as f64;
        let widest = width_mm(&(self.stations - 1).to_string(), SMALL_PT, false) + 1.0;
        let every = (widest / spacing).ceil().max(1.0) as usize;
        let way = if is_below { -1.0 } else { 1.0 };
        // From the seam to the right, so that numbers without room are left out.
        let x_of = |station: usize| self.x_right_of_front(way * 360.0 * station as f64 / self.stations as f64);
        let mut places: Vec<(f64, usize)> = (0..self.stations).map(|station| (x_of(station), station)).collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut written_to = f64::MIN;
        for (x, station) in places {
            let at = x.clamp(widest / 2.0 + 0.3, self.girth_mm - widest / 2.0 - 0.3);
            let is_numbered = station % every == 0 && at - widest / 2.0 >= written_to;
            let reach = if is_numbered { 2.0 } else { 1.2 };
            drawing.line(Layer::Notes, Pen::FINE, (x, -reach), (x, reach));
            if is_numbered {
                let number = Text::new((at, way * 2.9), SMALL_PT, station.to_string()).align(Align::Middle);
                over_lines(
                    drawing,
                    Text {
                        quarter_turns: if is_below { 2 } else { 0 },
                        ..number
                    },
                );
                written_to = at + widest / 2.0;
            }
        }
    }

    /// The arrow and the notes: under the wrap, or beside a narrow one. Gives the y of the wrap's foot.
    fn write_notes(&self, drawing: &mut Drawing, bottom: f64, top: f64) -> f64 {
        let mut paragraphs = vec![Paragraph::strong(self.title.clone(), 10.0)];
        paragraphs.extend(self.notes.iter().map(Paragraph::plain));
        if self.girth_mm < NARROW {
            let x = self.girth_mm + TAB + 4.0;
            if let Some(up) = self.up {
                arrow(drawing, Point::new(x + 5.0, top - 20.0), up);
            }
            write_column(drawing, Point::new(x + 14.5, top), BESIDE, &paragraphs);
            return bottom;
        }
        let indent = if self.up.is_some() { 17.0 } else { 2.0 };
        let column = widest_column(self.girth_mm).min(self.girth_mm - indent - 2.0);
        let height = write_column(drawing, Point::new(indent, bottom - 0.5), column, &paragraphs);
        let Some(up) = self.up else {
            return bottom - height - 1.0;
        };
        arrow(drawing, Point::new(7.5, bottom - 20.0), up);
        bottom - height.max(20.0) - 1.0
    }

    /// The paper's edge, the seam and the tab.
    fn outline(&self, drawing: &mut Drawing, foot: f64, top: f64) {
        let girth = self.girth_mm;
        drawing.stroke(Layer::Notes, Pen::PLAIN, Rect::new(0.0, foot, girth, top));
        let mut tab = BezPath::new();
        tab.move_to((girth, top));
        tab.line_to((girth + TAB, top - 4.0));
        tab.line_to((girth + TAB, foot + 4.0));
        tab.line_to((girth, foot));
        drawing.stroke(Layer::Notes, Pen::DASHED, &tab);
        let (long, short) = (
            "TAB: glue under the left edge, which meets the line here: the SEAM",
            "TAB: SEAM",
        );
        let room = top - foot - 10.0;
        let words = if width_mm(long, SMALL_PT, false) < room {
            long
        } else {
            short
        };
        drawing.note(
            Text::new((girth + 6.2, (top + foot) / 2.0), SMALL_PT, words)
                .align(Align::Middle)
                .upwards(),
        );
    }
}

/// The wrap of an end, to be cut along the curve.
pub(super) fn of_end(end: &PlannedEnd, title: String, notes: Vec<String>, stations: usize) -> Wrap {
    Wrap {
        name: end.pattern.clone(),
        title,
        notes,
        girth_mm: end.girth_mm(),
        seam_deg: end.seam_deg(),
        upper: CutEdge::above(&end.curve, end.marks.base_t),
        lower: None,
        stations,
        folds_deg: end.marks.folds.iter().map(|fold| fold.azimuth_deg).collect(),
        also: Vec::new(),
        is_to_be_cut: true,
        is_far_end: end.runs < 0.0,
        up: Some("CUT END"),
        other_end: None,
        overlay: Drawing::default(),
    }
}

/// Words on white, so that crown lines don't run through them.
fn over_lines(drawing: &mut Drawing, text: Text) {
    drawing.fill(Layer::Notes, 1.0, text.bounds().inflate(0.5, 0.3));
    drawing.note(text);
}

/// A broad arrow, tip up, 16 mm high, its foot's middle at `foot`, with its words.
fn arrow(drawing: &mut Drawing, foot: Point, what: &str) {
    let outline = [
        (-1.6, 0.0),
        (-1.6, 7.0),
        (-4.0, 7.0),
        (0.0, 12.5),
        (4.0, 7.0),
        (1.6, 7.0),
        (1.6, 0.0),
    ];
    let mut path = BezPath::new();
    for (index, corner) in outline.into_iter().enumerate() {
        let point = foot + kurbo::Vec2::from(corner);
        if index == 0 {
            path.move_to(point)
        } else {
            path.line_to(point)
        }
    }
    path.close_path();
    drawing.fill(Layer::Notes, 0.15, path.into_path(0.1));
    for (words, above) in [(what, 16.0), ("UP", 13.2)] {
        let text = Text::new(foot + kurbo::Vec2::new(0.0, above), SMALL_PT, words)
            .bold()
            .align(Align::Middle);
        drawing.note(text);
    }
}
