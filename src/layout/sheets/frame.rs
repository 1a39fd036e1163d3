//! What a sheet bears besides its panels: the rulers, its number and its name, and which sheets its tables speak of.

use std::collections::BTreeMap;
use std::ops::Bound;
use std::sync::Arc;

use kurbo::{Point, Rect};

use super::packing::FreeSpace;
use super::ruler::{self, Way};
use crate::job::{Paper, SheetOptions};
use crate::layout::drawing::{Align, Drawing, Layer, Text};
use crate::layout::label::{READ_PT, SMALL_PT};
use crate::layout::page::{Area, drawable};
use crate::layout::panel::SheetNumbers;
use crate::layout::text;

/// Between panels, in millimetres.
pub(super) const GAP: f64 = 4.0;
/// Where the rulers start, from the lower left of what can be drawn on, in millimetres.
pub(super) const RULER_CORNER: f64 = ruler::BREADTH + 1.0;
/// Height of the bottom ruler with the words over it, in millimetres.
pub(super) const FOOT: f64 = ruler::BREADTH + 4.0;

/// Lines of a sheet's name beside its ruler.
const NAME_LINES: usize = 4;
/// From one of them to the next, in millimetres.
const NAME_LEADING: f64 = 3.0;

/// What a panel may take of a sheet: of its whole width, over the upright ruler, and beside that.
pub(in crate::layout) fn rooms(paper: &Paper) -> [Area; 2] {
    let Area { width, height } = drawable(paper);
    [
        Area {
            width,
            height: height - UPRIGHT_TOP,
        },
        Area {
            width: width - RULER_CORNER,
            height: height - FOOT,
        },
    ]
}

/// Where the upright ruler ends, with what is kept free over it, in millimetres.
const UPRIGHT_TOP: f64 = RULER_CORNER + ruler::INCH + ruler::OVERHANG + GAP;

/// What the rulers leave free.
pub(super) fn empty_sheet(area: Area) -> FreeSpace {
    let Area { width, height } = area;
    FreeSpace::new(vec![
        Rect::new(0.0, UPRIGHT_TOP, width, height),
        Rect::new(RULER_CORNER, FOOT, width, height),
    ])
}

/// The frames of all sheets. `contents` say on which sheets each pattern and each table is, `told` what the tables of each sheet tell of
/// them, by the sheets' indices.
pub(super) fn frames(
    name: &str,
    paper: &Paper,
    count: usize,
    contents: [&[(Arc<str>, usize)]; 2],
    told: Vec<(usize, SheetNumbers)>,
) -> Vec<Drawing> {
    let mut sheets_of: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (name, index) in contents.into_iter().flatten() {
        sheets_of.entry(name).or_default().push(index + 1);
    }
    let mut frames = vec![Drawing::default(); count];
    for (index, SheetNumbers { of, text }) in told {
        let numbers = of.iter().flat_map(|name| sheets_named(&sheets_of, name));
        let words = sheet_words(numbers.collect());
        frames[index].note(Text { words, ..text });
    }
    for (index, frame) in frames.iter_mut().enumerate() {
        name_sheet(frame, paper, name, (index + 1, count));
    }
    frames
}

/// Where the panel of a name is; what takes several has them called by it, a comma, and which they are.
fn sheets_named(sheets_of: &BTreeMap<&str, Vec<usize>>, name: &str) -> Vec<usize> {
    let from = sheets_of.range::<str, _>((Bound::Included(name), Bound::Unbounded));
    let alike = from.map_while(|(other, sheets)| Some((other.strip_prefix(name)?, sheets)));
    let meant = alike.filter(|(rest, _)| rest.is_empty() || rest.starts_with(", "));
    meant.flat_map(|(_, sheets)| sheets.iter().copied()).collect()
}

/// `2, 4-6`; `-` for none.
fn sheet_words(mut numbers: Vec<usize>) -> String {
    numbers.sort_unstable();
    numbers.dedup();
    let runs = numbers.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
        [only] => only.to_string(),
        [first, .., last] => format!("{first}-{last}"),
        [] => String::new(),
    });
    let words = runs.collect::<Vec<_>>().join(", ");
    if words.is_empty() { "-".to_owned() } else { words }
}

/// Rulers both ways, and the line to measure them: the same on every sheet.
pub(super) fn rulers(sheet: &SheetOptions) -> Drawing {
    let paper = &sheet.paper;
    let (mut drawing, middle) = (Drawing::default(), ruler::BREADTH / 2.0);
    ruler::draw(
        &mut drawing,
        Point::new(RULER_CORNER, middle),
        Way::Across,
        ruler::METRIC,
        ruler::INCH,
    );
    ruler::draw(
        &mut drawing,
        Point::new(middle, RULER_CORNER),
        Way::Down,
        ruler::METRIC,
        ruler::INCH,
    );
    let measure = if paper.across == 1.0 && paper.down == 1.0 {
        format!(
            "MEASURE BOTH RULERS BEFORE CUTTING: {} each. If off, print again with \"ruler reads\"",
            ruler::length_words(sheet.units)
        )
    } else {
        let (across, down) = ruler::read_as(sheet);
        format!("MEASURE BOTH RULERS: corrected for {across},{down}, so both must be true now")
    };
    drawing.words(
        Layer::Rulers,
        Text::new((RULER_CORNER, ruler::BREADTH + 0.7), READ_PT, measure).bold(),
    );
    drawing
}

/// The sheet's number and what it belongs to.
fn name_sheet(drawing: &mut Drawing, paper: &Paper, name: &str, (number, count): (usize, usize)) {
    let area = drawable(paper);
    let sheet = Text::new((area.width, FOOT - 4.0), READ_PT, format!("sheet {number} of {count}"))
        .bold()
        .align(Align::Right);
    drawing.note(sheet);
    let room = area.width - RULER_CORNER - ruler::INCH - ruler::OVERHANG - GAP;
    let mut lines = text::lines_of_whole(name, SMALL_PT, false, room);
    if lines.len() > NAME_LINES {
        lines.truncate(NAME_LINES);
        if let Some(last) = lines.last_mut() {
            last.push_str(" ...");
        }
    }
    for (line, words) in lines.into_iter().enumerate() {
        let y = FOOT - 7.6 - NAME_LEADING * line as f64;
        drawing.note(Text::new((area.width, y), SMALL_PT, words).align(Align::Right));
    }
}
