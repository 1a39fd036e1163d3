//! Blocks of words, and the heading of a job's first sheet.

use kurbo::{Point, Rect};

use super::drawing::{Drawing, Layer, Pen, Text};
use super::page::Area;
use super::panel::{Panel, Role};
use super::text;
use crate::job::SheetOptions;

/// The smallest letters on any sheet, in points: what is not read at the tube.
pub(super) const SMALL_PT: f64 = 8.0;

/// What is read at the tube, instructions and figures, in points.
pub(super) const READ_PT: f64 = 9.0;

/// The headings of patterns and tables, in points.
pub(super) const TITLE_PT: f64 = 10.0;

/// The heading of a pack, in points.
const PACK_PT: f64 = 13.0;

/// What can't be built is told in larger letters than the notes, in points.
const CLASH_PT: f64 = 10.5;

/// Words in a column.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Paragraph {
    pub(super) words: String,
    pub(super) size_pt: f64,
    pub(super) bold: bool,
}

impl Paragraph {
    pub(super) fn plain(words: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            size_pt: READ_PT,
            bold: false,
        }
    }

    /// What is not read at the tube.
    pub(super) fn small(words: impl Into<String>) -> Self {
        Self {
            size_pt: SMALL_PT,
            ..Self::plain(words)
        }
    }

    pub(super) fn strong(words: impl Into<String>, size_pt: f64) -> Self {
        Self {
            words: words.into(),
            size_pt,
            bold: true,
        }
    }
}

/// How wide a column of words may be on a pattern of `width` millimetres: one that may be tiled has its
/// words on one tile.
pub(super) fn widest_column(width: f64) -> f64 {
    const MAY_BE_TILED: f64 = 165.0;
    if width > MAY_BE_TILED { 76.0 } else { width }
}

/// From line to line, in sizes of the letters.
const LEADING: f64 = 1.18;

/// Writes paragraphs from `top_left` down in a column of `width` millimetres; the height they take.
pub(super) fn write_column(drawing: &mut Drawing, top_left: Point, width: f64, paragraphs: &[Paragraph]) -> f64 {
    let mut y = top_left.y;
    for Paragraph { words, size_pt, bold } in paragraphs {
        let leading = size_pt * text::MM_PER_POINT * LEADING;
        for line in text::lines(words, *size_pt, *bold, width) {
            y -= leading;
            let line = Text::new((top_left.x, y + 0.2 * leading), *size_pt, line);
            drawing.note(if *bold { line.bold() } else { line });
        }
        y -= 0.25 * leading;
    }
    top_left.y - y
}

/// What holds of every sheet, whoever knows the rest.
const SCALE: &str = "1 Print at 100 % (\"actual size\"), never fitted to the page. 2 Measure both rulers.";

/// What to do with the sheets after that, in the order in which it is done.
const STEPS: &str = "3 Cut out the wrap's box, then along the bold line. 4 Tape it round the tube, printed side out, arrow towards the end to be cut. If its \
    edges don't meet at the seam, measure the tube again. 5 Mark along the bold edge and cut: hatched is waste.";

/// Short, in our own words; the README has them at length.
const CAUTIONS: &str = "CAUTION. Never cut or weld a used drum or tank that is not known to be clean and vented: vapour in \
    one that looks clean explodes and kills. Grind zinc back, ventilate, stay out of the plume. Fuel gas and its condensate \
    hold carbon monoxide, which has no smell: work outdoors, with an alarm; test for leaks. Clamp the tube; guard eyes, ears \
    and hands. Pressure, fuel gas, structures: local rules and licensed people have the last word.";

/// What is said of a whole pack: in letters as large as what it is needs.
fn title_and_label(title: &str, size_pt: f64, sheet: &SheetOptions) -> Vec<Paragraph> {
    let mut paragraphs = vec![Paragraph::strong(title, size_pt)];
    paragraphs.extend(sheet.label.as_ref().map(|label| Paragraph::strong(label, TITLE_PT)));
    paragraphs
}

/// What can't be built is told louder than what must be known.
fn clash_paragraph(clash: &String) -> Paragraph {
    Paragraph::strong(format!("{clash}."), CLASH_PT)
}

fn note_paragraph(note: &String) -> Paragraph {
    Paragraph::plain(format!("Note: {note}."))
}

/// Where something has a dished head, which may have been a bottle's.
const OF_BOTTLES: &str = "CAUTION. Gas stays in an empty bottle, in its valve and its paint: someone licensed must empty it, purge \
    it and make it safe before anything is cut. One that has been cut never holds pressure again.";

/// The cautions, the one of bottles first where there may be one.
fn cautions(may_be_bottle: bool) -> impl Iterator<Item = Paragraph> {
    let of_bottles = Some(OF_BOTTLES).filter(|_| may_be_bottle);
    of_bottles.into_iter().chain([CAUTIONS]).map(Paragraph::small)
}

/// What the heading of the first sheet says.
pub(super) struct Heading<'a> {
    /// What is made.
    pub(super) title: &'a str,
    /// What who made the job wants to be known.
    pub(super) note: Option<&'a str>,
    /// What can't be built.
    pub(super) clashes: &'a [String],
    /// What else must be known.
    pub(super) notes: Vec<&'a String>,
    /// Whether a part of it may have been a gas bottle.
    pub(super) may_be_bottle: bool,
}

/// The top of the first sheet where no cover is wanted: what nobody may do without. Clashes, the scale and the cautions.
pub(super) fn short_heading_panel(heading: &Heading<'_>, sheet: &SheetOptions, rooms: [Area; 2]) -> Vec<Panel> {
    let mut paragraphs = title_and_label(heading.title, TITLE_PT, sheet);
    paragraphs.extend(heading.clashes.iter().map(clash_paragraph));
    let more = match heading.notes.len() {
        0 => String::new(),
        1 => " A note more is on the terminal and in the report.".to_owned(),
        more => format!(" {more} notes more are on the terminal and in the report."),
    };
    paragraphs.push(Paragraph::plain(format!("{SCALE}{more}")));
    paragraphs.extend(cautions(heading.may_be_bottle));
    in_rooms(&paragraphs, None, rooms)
}

/// The top of the first sheet: what is made, what must be known, the picture, the steps and the cautions. `rooms` is what a
/// panel may take of a sheet: of its whole width, and beside the upright ruler.
pub(super) fn heading_panel(
    heading: &Heading<'_>,
    picture: &Drawing,
    sheet: &SheetOptions,
    rooms: [Area; 2],
) -> Vec<Panel> {
    let mut paragraphs = title_and_label(heading.title, PACK_PT, sheet);
    // What can't be built comes first.
    paragraphs.extend(heading.clashes.iter().map(clash_paragraph));
    paragraphs.extend(heading.note.map(Paragraph::small));
    paragraphs.extend(heading.notes.iter().copied().map(note_paragraph));
    paragraphs.push(Paragraph::plain(format!("{SCALE} {STEPS}")));
    paragraphs.extend(cautions(heading.may_be_bottle));
    in_rooms(&paragraphs, Some(picture), rooms)
}

/// Words with a picture at their right in the first room that is high enough for them; where neither is, as many as the second
/// holds, and the rest on a panel of its own.
fn in_rooms(paragraphs: &[Paragraph], picture: Option<&Drawing>, rooms: [Area; 2]) -> Vec<Panel> {
    let fits = |panel: &Panel, room: Area| panel.height <= room.height;
    for room in rooms {
        let panel = words_beside(paragraphs, picture, room.width);
        if fits(&panel, room) {
            return vec![panel];
        }
    }
    let room = rooms[1];
    let counts = (1..paragraphs.len()).rev();
    let parts = counts.map(|count| (count, words_beside(&paragraphs[..count], picture, room.width)));
    match parts.into_iter().find(|(_, panel)| fits(panel, room)) {
        Some((count, panel)) => std::iter::once(panel)
            .chain(in_rooms(&paragraphs[count..], None, rooms))
            .collect(),
        None => vec![words_beside(paragraphs, picture, room.width)],
    }
}

fn words_beside(paragraphs: &[Paragraph], picture: Option<&Drawing>, width: f64) -> Panel {
    let picture_box = picture.map(Drawing::bounds);
    let picture_height = picture_box.map_or(0.0, |picture| picture.height() + 2.0);
    let column = width - picture_box.map_or(0.0, |picture| picture.width() + 4.0);
    let mut drawing = Drawing::default();
    let mut words = 0.0;
    for paragraph in paragraphs {
        // Under the picture there is the whole width.
        let room = if words < picture_height { column } else { width };
        words += write_column(
            &mut drawing,
            Point::new(0.0, -words),
            room,
            std::slice::from_ref(paragraph),
        );
    }
    if let (Some(picture), Some(about)) = (picture, picture_box) {
        drawing.add(picture, (width - about.x1, -1.0 - about.y1));
    }
    let height = words.max(picture_height) + 1.0;
    drawing.line(Layer::Notes, Pen::FINE, (0.0, -height), (width, -height));
    Panel::framed("heading", Role::Table, drawing, Rect::new(0.0, -height, width, 0.0))
}
