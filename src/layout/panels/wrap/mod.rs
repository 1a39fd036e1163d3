//! The wrap: a tube's skin laid flat, with the cut at one end or at both.

mod edge;
mod lines;
mod notes;

use kurbo::{BezPath, Rect};

use crate::job::WhichEnd;
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::hatch::hatch;
use crate::layout::label::{READ_PT, widest_column};
use crate::layout::panel::{Panel, Role};
use crate::layout::text::{self, width_mm};
use crate::measure::show_angle;
use crate::plan::{CROWN_LINES, PlannedEnd};

pub(super) use edge::CutEdge;

/// Width of the tab that is glued under the other edge, in millimetres; with more than two lines of words it is wider.
const TAB: f64 = 10.0;
/// Height of a line of words on it, in millimetres.
const TAB_LINE: f64 = 3.7;
/// By so much its outer edge is shorter at either end, in millimetres.
const TAPER: f64 = 4.0;
/// Paper left beyond the cut, in millimetres: the waste side.
const WASTE: f64 = 12.0;
/// The same where that saves a sheet.
const LITTLE_WASTE: f64 = 8.0;
/// Room for the crown lines' names under a base line, in millimetres.
const NAMES: f64 = 7.5;
/// Where the names of the crown lines stand under the base line, in millimetres.
const NAME: f64 = -5.5;
/// The same under the numbers below it.
const NAME_UNDER_NUMBERS: f64 = -8.5;
/// Between these names and a cut below them there is at least so much, in millimetres.
const UNDER_NAMES: f64 = 1.2;
/// Numbers beside the base line reach so far from it, in millimetres.
const NUMBERS_REACH: f64 = 5.8;
/// Its words over them reach so far.
const WORDS_REACH: f64 = 9.8;
/// Between the hatch lines of waste, in millimetres.
const HATCHING: f64 = 3.0;

/// The words on the waste are at most so far apart, in millimetres.
const WASTE_WORDS: f64 = 100.0;

/// What the edges of a wrap are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum EdgesAre {
    /// The marks to cut along: what is past them is waste.
    ToBeCut,
    /// Cut already, by a saw.
    Sawn,
    /// The marks to grind to: the overlay shows what comes off, and past that there is no tube.
    ToBeGround,
}

/// Everything that is on a wrap.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wrap {
    /// Names it in the report and on tiles.
    pub name: String,
    /// Its heading.
    pub title: String,
    /// What can't be built so.
    pub clash: Option<String>,
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
    /// What the edges are.
    pub(super) edges_are: EdgesAre,
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
        self.drawn(widest_column(self.girth_mm), WASTE)
    }

    /// The same, and lower: with less waste, and with its words as wide as it is, which no tile would hold.
    pub(super) fn panel_in_shapes(&self) -> Panel {
        Panel {
            shapes: vec![self.drawn(self.girth_mm, LITTLE_WASTE)],
            ..self.panel()
        }
    }

    /// Draws it with the words under it in a column of at most `widest` millimetres, and so much paper left beyond the cuts.
    fn drawn(&self, widest: f64, waste: f64) -> Panel {
        let mut drawing = Drawing::default();
        let top = self.upper.high.max(self.overlay.bounds().y1) + waste;
        drawing.add(&self.overlay, (0.0, 0.0));
        self.waste(&mut drawing, &self.upper, top);
        let mut bottom = match &self.lower {
            Some(lower) => {
                self.waste(&mut drawing, lower, lower.low - waste);
                lower.low - waste
            }
            None => -NAMES,
        };
        let mut names = if self.other_end.is_some() {
            NAME_UNDER_NUMBERS
        } else {
            NAME
        };
        if self.is_short_of(UNDER_NAMES - names) {
            // A short piece's names stand past its waste.
            names = bottom + NAME;
            bottom -= NAMES;
        }
        self.fold_lines(&mut drawing, bottom, top);
        self.crown_lines(&mut drawing, names, (bottom, top));
        // Before the line's name, which keeps off them.
        let (layer, pen) = match self.edges_are {
            EdgesAre::Sawn => (Layer::Notes, Pen::PLAIN),
            EdgesAre::ToBeCut | EdgesAre::ToBeGround => (Layer::CutLine, Pen::CUT),
        };
        for edge in std::iter::once(&self.upper).chain(&self.lower) {
            drawing.stroke(layer, pen, &edge.path);
        }
        let told = self.base_line(&mut drawing, bottom);
        let foot = self.write_notes(&mut drawing, (bottom, top), (widest, told));
        self.outline(&mut drawing, foot, top);
        let bounds = drawing.bounds();
        let frame = Rect::new(-0.5, bounds.y0 - 0.5, bounds.x1 + 0.5, top + 0.5);
        Panel {
            base_line: Some(-frame.y0),
            ..Panel::framed(self.name.clone(), Role::Pattern, drawing, frame)
        }
    }

    /// Whether the cut below the base line leaves less than this under it, in millimetres.
    fn is_short_of(&self, below: f64) -> bool {
        self.lower.as_ref().is_some_and(|lower| -lower.high < below)
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
        let word = if self.edges_are == EdgesAre::ToBeCut {
            drawing.stroke(Layer::Notes, Pen::HATCH, hatch(&area, HATCHING));
            "WASTE"
        } else {
            "PAST THE END"
        };
        let width = width_mm(word, READ_PT, true) + 2.0;
        let middle = if edge > cut.high {
            // Over what the overlay shows past the cut.
            (cut.high.max(self.overlay.bounds().y1) + edge) / 2.0
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
                Text::new((x, middle - 1.2), READ_PT, word).bold().align(Align::Middle),
            );
        }
    }

    /// The paper's edge, the seam and the tab.
    fn outline(&self, drawing: &mut Drawing, foot: f64, top: f64) {
        let girth = self.girth_mm;
        drawing.stroke(Layer::Notes, Pen::PLAIN, Rect::new(0.0, foot, girth, top));
        let lines = self.tab_lines(top - foot);
        let wide = tab_width(lines.len());
        let mut tab = BezPath::new();
        tab.move_to((girth, top));
        tab.line_to((girth + wide, top - TAPER));
        tab.line_to((girth + wide, foot + TAPER));
        tab.line_to((girth, foot));
        drawing.stroke(Layer::Notes, Pen::DASHED, &tab);
        // Downwards, the first line is the one on the right.
        let mut x = girth + (wide + TAB_LINE * lines.len() as f64) / 2.0 + 0.9;
        for words in lines {
            x -= TAB_LINE;
            let words = Text::new((x, (top + foot) / 2.0), READ_PT, words);
            drawing.note(words.align(Align::Middle).downwards());
        }
    }

    /// What is written on the tab of a wrap of this height, in lines.
    fn tab_lines(&self, height: f64) -> Vec<String> {
        let seam = self.seam_name();
        let room = height - 2.0 * TAPER;
        let long = format!("TAB: glue under the left edge, which meets the line here: the SEAM, {seam}");
        match text::lines(&long, READ_PT, false, room) {
            lines if lines.len() <= 2 => lines,
            _ => text::lines(
                &format!("TAB: glue under the left edge. SEAM {seam}"),
                READ_PT,
                false,
                room,
            ),
        }
    }

    /// Where the seam is: `at the BACK`, or so many degrees round.
    fn seam_name(&self) -> String {
        let is_at = |azimuth: f64| self.x(azimuth) < 1e-9;
        let crown = CROWN_LINES.into_iter().find(|(_, azimuth)| is_at(*azimuth));
        crown.map_or_else(
            || format!("{} from the FRONT", show_angle(self.seam_deg)),
            |(name, _)| format!("at the {}", name.to_uppercase()),
        )
    }
}

/// The wrap of an end, to be cut along the curve.
pub(super) fn of_end(end: &PlannedEnd, title: String, notes: Vec<String>, stations: usize) -> Wrap {
    Wrap {
        name: end.pattern.clone(),
        title,
        clash: None,
        notes,
        girth_mm: end.girth_mm(),
        seam_deg: end.seam_deg(),
        upper: CutEdge::above(&end.curve, end.marks.base_t),
        lower: None,
        stations,
        folds_deg: end.marks.folds.iter().map(|fold| fold.azimuth_deg).collect(),
        also: Vec::new(),
        edges_are: EdgesAre::ToBeCut,
        is_far_end: end.which == WhichEnd::Far,
        up: Some("CUT END"),
        other_end: None,
        overlay: Drawing::default(),
    }
}

/// Of a tab with so many lines of words, in millimetres.
fn tab_width(lines: usize) -> f64 {
    TAB.max(TAB_LINE * lines as f64 + 1.5)
}

/// Words on white, so that crown lines don't run through them.
fn over_lines(drawing: &mut Drawing, text: Text) {
    drawing.fill(Layer::Notes, 1.0, text.bounds().inflate(0.5, 0.3));
    drawing.note(text);
}
