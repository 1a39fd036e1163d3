//! Rulers: what the printer did to the sheet.

use kurbo::{Point, Rect, Vec2};

use crate::job::SheetOptions;
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{Paragraph, READ_PT, write_column};
use crate::layout::page::{Sheet, drawable};
use crate::measure::{MM_PER_INCH, Units};

/// Length of the metric ruler on every sheet, in millimetres.
pub(super) const METRIC: f64 = 150.0;
/// Length of the inch ruler on every sheet, in millimetres.
pub(super) const INCH: f64 = 6.0 * MM_PER_INCH;
/// What a ruler takes across its length, in millimetres.
pub(super) const BREADTH: f64 = 13.0;
/// What it takes beyond its start and end for figures, in millimetres.
pub(super) const OVERHANG: f64 = 1.5;

/// What the ruler of the job's units measures.
pub(super) fn length_words(units: Units) -> &'static str {
    units.either("150 mm", "6 in")
}

/// What it measured, across and down, where the printer is corrected.
pub(super) fn read_as(sheet: &SheetOptions) -> (String, String) {
    let length = sheet.units.either(METRIC, INCH);
    let read = |scale: f64| sheet.units.decimal(length / scale);
    (read(sheet.paper.across), read(sheet.paper.down))
}

/// Which way a ruler runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Across,
    Down,
}

impl Way {
    /// `along` the ruler and `off` its line, towards the millimetre side.
    fn vector(self, along: f64, off: f64) -> Vec2 {
        match self {
            Self::Across => Vec2::new(along, off),
            Self::Down => Vec2::new(-off, along),
        }
    }
}

/// Draws a ruler of whole centimetres up to `metric` mm on one side and of whole inches up to `inch` mm
/// on the other, from `start`.
pub(super) fn draw(drawing: &mut Drawing, start: Point, way: Way, metric: f64, inch: f64) {
    let at = |along: f64, off: f64| start + way.vector(along, off);
    drawing.line(Layer::Rulers, Pen::PLAIN, at(0.0, 0.0), at(metric.max(inch), 0.0));
    let reach = |index: usize, half: usize| match index {
        _ if index.is_multiple_of(2 * half) => 3.2,
        _ if index.is_multiple_of(half) => 2.4,
        _ => 1.6,
    };
    // One pen after the other.
    for is_major in [false, true] {
        let pen = if is_major { Pen::PLAIN } else { Pen::FINE };
        let mut tick = |along: f64, to: f64| drawing.line(Layer::Rulers, pen, at(along, 0.0), at(along, to));
        for mm in (0..=metric.round() as usize).filter(|mm| (mm % 10 == 0) == is_major) {
            tick(mm as f64, reach(mm, 5));
        }
        let eighths = 0..=(inch / MM_PER_INCH * 8.0).round() as usize;
        for eighth in eighths.filter(|eighth| (eighth % 8 == 0) == is_major) {
            tick(eighth as f64 * MM_PER_INCH / 8.0, -reach(eighth, 4));
        }
    }
    let figure = |along: f64, off: f64, words: String| {
        let nudge = match way {
            Way::Across => Vec2::new(0.0, -1.1),
            Way::Down => Vec2::new(1.1, 0.0),
        };
        let text = Text::new(at(along, off) + nudge, READ_PT, words).align(Align::Middle);
        if way == Way::Down { text.upwards() } else { text }
    };
    let last_mm = (metric / 10.0).round() as usize;
    // The last one takes the room of the one before it.
    for cm in (0..=last_mm).filter(|cm| cm + 1 != last_mm) {
        let words = if cm == last_mm {
            format!("{} mm", cm * 10)
        } else {
            (cm * 10).to_string()
        };
        drawing.words(
            Layer::Rulers,
            figure(cm as f64 * 10.0 - if cm == last_mm { 1.0 } else { 0.0 }, 4.7, words),
        );
    }
    let last_inch = (inch / MM_PER_INCH).round() as usize;
    for number in 0..=last_inch {
        let words = if number == last_inch {
            format!("{number} in")
        } else {
            number.to_string()
        };
        let back = if number == last_inch { 1.5 } else { 0.0 };
        drawing.words(Layer::Rulers, figure(number as f64 * MM_PER_INCH - back, -4.7, words));
    }
}

/// A sheet with the longest rulers that fit, and how to use them.
pub fn ruler_sheets(options: &SheetOptions) -> Vec<Sheet> {
    let area = drawable(&options.paper);
    let mut drawing = Drawing::default();
    let corner = Point::new(BREADTH + 1.0, BREADTH + 1.0);
    let room = (area.width - corner.x - OVERHANG, area.height - corner.y - OVERHANG);
    let whole = |room: f64, unit: f64| (room / unit).floor() * unit;
    draw(
        &mut drawing,
        Point::new(corner.x, BREADTH / 2.0),
        Way::Across,
        whole(room.0, 10.0),
        whole(room.0, MM_PER_INCH),
    );
    draw(
        &mut drawing,
        Point::new(BREADTH / 2.0, corner.y),
        Way::Down,
        whole(room.1, 10.0),
        whole(room.1, MM_PER_INCH),
    );

    let box_side = 100.0;
    let square = Rect::new(
        corner.x + 20.0,
        corner.y + 12.0,
        corner.x + 20.0 + box_side,
        corner.y + 12.0 + box_side,
    );
    drawing.stroke(Layer::Rulers, Pen::PLAIN, square);
    let label = Text::new((square.center().x, square.center().y), READ_PT, "100 mm square").align(Align::Middle);
    drawing.words(Layer::Rulers, label);
    let at = Point::new(corner.x + 6.0, area.height);
    write_column(&mut drawing, at, area.width - corner.x - 12.0, &how_to_use(options));
    vec![drawing.into()]
}

/// What is done with the ruler sheet.
fn how_to_use(options: &SheetOptions) -> [Paragraph; 7] {
    let (paper, correction) = (&options.paper, (options.paper.across, options.paper.down));
    let corrected = if correction == (1.0, 1.0) {
        "This sheet is not corrected.".to_owned()
    } else {
        format!(
            "This sheet is corrected: across x {:.5}, down x {:.5}. Both rulers should now be true.",
            correction.0, correction.1
        )
    };
    let step = |words: &str| Paragraph {
        size_pt: 10.0,
        ..Paragraph::plain(words)
    };
    let [mark, closely, reads] = match options.units {
        Units::Millimetres => ["150 mm", "to a quarter of a millimetre", "149.3,150.2"],
        Units::Inches(_) => ["6 in", "to 1/64 in", "5.97,6.01"],
    };
    [
        Paragraph::strong("Ruler sheet", 16.0),
        Paragraph::strong(
            format!(
                "{} paper, {} x {}",
                paper.name,
                options.units.show_limit(paper.width_mm),
                options.units.show_limit(paper.height_mm)
            ),
            10.0,
        ),
        step(
            "1  Print this sheet at 100 % (\"actual size\", no fitting to the page), on the printer and the paper that the wraps will use.",
        ),
        step(&format!(
            "2  Lay a steel rule or a good tape along the ruler at the bottom, then along the one at the left. Read both at the {mark} mark, {closely}.",
        )),
        step(&format!(
            "3  If {mark} measures {mark} both ways, there is nothing to do. If not, say what the rulers read, across first, then down: on the page under \"The printer\", or in a command as --ruler-reads {reads}. Each direction is then corrected on its own.",
        )),
        step(
            "4  Print again with the readings and check once more. A reading that is more than a tenth off means that the printer fitted the page: look for that setting first.",
        ),
        Paragraph::strong(corrected, 10.0),
    ]
}
