//! The lines of a wrap: along the tube, and square round it.

use kurbo::Rect;

use crate::layout::base_line::{BASE_LINE, name_base_line};
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{READ_PT, SMALL_PT};
use crate::layout::text::width_mm;
use crate::plan::CROWN_LINES;

use super::{NUMBERS_REACH, WORDS_REACH, Wrap, over_lines};

/// From where to where above the base line the names of fold lines stand, in millimetres.
const FOLD_NAME: (f64, f64) = (9.2, 18.4);

/// From a fold line to the far side of its name, in millimetres.
const FOLD_HIGH: f64 = 3.6;

/// What is told beside a base line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Told {
    /// Its name.
    pub(super) is_line: bool,
    /// Whose its numbers upside down are.
    pub(super) is_other_end: bool,
}

/// Whose the numbers under a base line are.
pub(super) fn upside_down(other: &str) -> String {
    format!("numbers upside down: {other}'s, read with {other} up")
}

impl Wrap {
    /// The lines along the corners, each with its name above the base line where the cut leaves room for it.
    pub(super) fn fold_lines(&self, drawing: &mut Drawing, bottom: f64, top: f64) {
        for fold in &self.folds_deg {
            let x = self.x(*fold);
            drawing.line(Layer::CrownLines, Pen::DASHED, (x, bottom), (x, top));
            if self.upper.low > FOLD_NAME.1 {
                let middle = (FOLD_NAME.0 + FOLD_NAME.1) / 2.0;
                // At the right edge on the line's other side.
                let at = if x + FOLD_HIGH < self.girth_mm {
                    x + 1.0
                } else {
                    x - FOLD_HIGH
                };
                let name = Text::new((at, middle), READ_PT, "FOLD").bold().align(Align::Middle);
                drawing.words(Layer::CrownLines, name.downwards());
            }
        }
    }

    /// The four lines along the tube, the seam's one at both edges, with their names at a height.
    pub(super) fn crown_lines(&self, drawing: &mut Drawing, names: f64, (bottom, top): (f64, f64)) {
        let folds: Vec<f64> = self.folds_deg.iter().map(|fold| self.x(*fold)).collect();
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
            let (words, size) = [(&long, READ_PT), (&long, SMALL_PT), (&name, READ_PT), (&name, SMALL_PT)]
                .into_iter()
                .find(|(words, size)| fits(words, *size))
                .map_or_else(
                    || (name[..1].to_owned(), READ_PT),
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
                Text::new((from, names), size, words).bold().align(align),
            );
        }
    }

    /// The line from which ordinates are measured, with the stations' ticks and numbers, and what of that is told beside it; no
    /// words stand under `bottom`. Stations are numbered to the right with the cut end up: those of a cut below the line are read
    /// with the paper turned over.
    pub(super) fn base_line(&self, drawing: &mut Drawing, bottom: f64) -> Told {
        drawing.line(Layer::Notes, Pen::PLAIN, (0.0, 0.0), (self.girth_mm, 0.0));
        self.station_row(drawing, false);
        if self.other_end.is_some() {
            self.station_row(drawing, true);
        }
        let room = self.girth_mm - 12.0;
        let fits = |words: &&(String, bool)| self.upper.low >= WORDS_REACH && width_mm(&words.0, READ_PT, false) < room;
        let words = self.base_line_words();
        let Some((words, is_other_end)) = words.iter().find(fits) else {
            let within = Rect::new(0.0, bottom, self.girth_mm, self.upper.high);
            return Told {
                is_line: name_base_line(drawing, 0.0, within),
                is_other_end: false,
            };
        };
        let words = Text::new((self.girth_mm / 2.0, 6.6), READ_PT, words).align(Align::Middle);
        // Crown lines and folds are drawn over all notes: only on their own layer do words stand over them.
        drawing.fill(Layer::CrownLines, 1.0, words.bounds().inflate(0.5, 0.3));
        drawing.words(Layer::CrownLines, words);
        Told {
            is_line: true,
            is_other_end: *is_other_end,
        }
    }

    /// What may be written over the base line, the longest first, and whether it tells of the numbers upside down.
    fn base_line_words(&self) -> Vec<(String, bool)> {
        let round = format!("{BASE_LINE}, square round the tube");
        let mut words = match (self.up, self.other_end) {
            (_, Some(_)) if !self.is_numbered_below() => vec![],
            (Some(up), Some(other)) => {
                let both = format!("{BASE_LINE}, square round: stations of {up} above, of {other} below, upside down");
                return vec![
                    (both, true),
                    (format!("{BASE_LINE}; {}", upside_down(other)), true),
                    (BASE_LINE.to_owned(), false),
                ];
            }
            _ => vec![(format!("{round}; stations to the right from 0 at the front"), false)],
        };
        words.extend([round, BASE_LINE.to_owned()].map(|words| (words, false)));
        words
    }

    /// Whether the cut below the line has its numbers there, upside down.
    pub(super) fn is_numbered_below(&self) -> bool {
        self.other_end.is_some() && !self.is_short_of(NUMBERS_REACH)
    }

    /// The ticks and numbers of the cut above the line, or upside down those of the one below it.
    fn station_row(&self, drawing: &mut Drawing, is_below: bool) {
        let spacing = self.girth_mm / self.stations as f64;
        let widest = width_mm(&(self.stations - 1).to_string(), READ_PT, false) + 1.0;
        let every = (widest / spacing).ceil().max(1.0) as usize;
        let way = if is_below { -1.0 } else { 1.0 };
        // From the seam to the right, so that numbers without room are left out.
        let x_of = |station: usize| self.x_right_of_front(way * 360.0 * station as f64 / self.stations as f64);
        let mut places: Vec<(f64, usize)> = (0..self.stations).map(|station| (x_of(station), station)).collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut written_to = f64::MIN;
        let has_room = match is_below {
            // One end's numbers alone would be taken for the other's, which run the other way.
            false => self.upper.low >= NUMBERS_REACH && (self.other_end.is_none() || self.is_numbered_below()),
            true => self.is_numbered_below(),
        };
        for (x, station) in places {
            // Its own width: what is kept for the widest would push a narrow one from the edge into the next.
            let half = width_mm(&station.to_string(), READ_PT, false) / 2.0 + 0.4;
            let at = x.clamp(half + 0.3, self.girth_mm - half - 0.3);
            let is_numbered = has_room && station % every == 0 && at - half >= written_to;
            let reach = if is_numbered { 2.0 } else { 1.2 };
            drawing.line(Layer::Notes, Pen::FINE, (x, -reach), (x, reach));
            if is_numbered {
                let number = Text::new((at, way * 2.9), READ_PT, station.to_string()).align(Align::Middle);
                over_lines(
                    drawing,
                    Text {
                        quarter_turns: if is_below { 2 } else { 0 },
                        ..number
                    },
                );
                written_to = at + half;
            }
        }
    }
}
