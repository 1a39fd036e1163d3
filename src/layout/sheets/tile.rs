//! A pattern that is larger than a sheet, in tiles that overlap and are joined by their crosses.

use kurbo::{BezPath, ParamCurveNearest, Point, Rect, Shape};

use crate::layout::base_line::{BASE_LINE, name_base_line};
use crate::layout::clip::{clip, keep_words_whole};
use crate::layout::drawing::{Align, Drawing, Item, Layer, Pen, Text};
use crate::layout::label::READ_PT;
use crate::layout::panel::Panel;
use crate::layout::text::width_mm;

/// How far neighbours overlap, in millimetres.
pub(super) const OVERLAP: f64 = 10.0;
/// Room under each tile for its number and the map, in millimetres.
pub(super) const STRIP: f64 = 9.0;
/// Room for the width of the lines that a tile ends in, in millimetres.
pub(super) const EDGE: f64 = 0.5;
/// Arms of the crosses, in millimetres; they stay within the overlap.
const CROSS: f64 = 4.0;

/// How many tiles of at most `largest` cover `length`, and how long each is.
pub(super) fn cover(length: f64, largest: f64) -> (usize, f64) {
    if length <= largest {
        return (1, length);
    }
    let count = ((length - OVERLAP) / (largest - OVERLAP)).ceil() as usize;
    (count, (length + (count - 1) as f64 * OVERLAP) / count as f64)
}

/// Cuts a pattern into tiles of at most `largest` width and height in millimetres, its strip not counted.
pub(super) fn tiles(panel: &Panel, largest: (f64, f64)) -> impl Iterator<Item = Panel> {
    let (columns, width) = cover(panel.width, largest.0);
    let (rows, height) = cover(panel.height, largest.1);
    let left = |column: usize| column as f64 * (width - OVERLAP);
    let foot = |row: usize| panel.height - height - row as f64 * (height - OVERLAP);
    let windows: Vec<Rect> = (0..rows)
        .flat_map(|row| (0..columns).map(move |column| (row, column)))
        .map(|(row, column)| Rect::new(left(column), foot(row), left(column) + width, foot(row) + height))
        .collect();
    let mut whole = panel.drawing.as_ref().clone();
    let off_the_trims: Vec<Rect> = windows.iter().map(|window| off_the_trims(panel, *window)).collect();
    keep_words_whole(&mut whole, &off_the_trims);
    crosses(&mut whole, panel, &windows, columns);
    windows.into_iter().enumerate().map(move |(index, window)| {
        let mut drawing = clip(&whole, window);
        name_line(&mut drawing, panel, window);
        trim_lines(&mut drawing, panel, window);
        strip(&mut drawing, panel, window, index, (columns, rows));
        let frame = Rect {
            y0: window.y0 - STRIP,
            ..window.inflate(EDGE, EDGE)
        };
        Panel {
            of_end: panel.of_end.clone(),
            ..Panel::framed(panel.name.clone(), panel.role, drawing, frame).in_group(panel.group)
        }
    })
}

/// The window without a rim along the sides where the pattern goes on, so that words don't touch the trim lines.
fn off_the_trims(panel: &Panel, window: Rect) -> Rect {
    let rim = |goes_on: bool| if goes_on { 1.0 } else { 0.0 };
    Rect {
        x0: window.x0 + rim(window.x0 > 1e-9),
        y0: window.y0 + rim(window.y0 > 1e-9),
        x1: window.x1 - rim(window.x1 < panel.width - 1e-9),
        y1: window.y1 - rim(window.y1 < panel.height - 1e-9),
    }
}

/// Names the base line on a tile on which it is seen without its words.
fn name_line(drawing: &mut Drawing, panel: &Panel, window: Rect) {
    let is_named = |(_, item): &(Layer, Item)| matches!(item, Item::Words(text) if text.words.starts_with(BASE_LINE));
    let is_seen = |y: &f64| (window.y0..=window.y1).contains(y);
    if let Some(y) = panel.base_line.filter(is_seen)
        && !drawing.items.iter().any(is_named)
    {
        name_base_line(drawing, y, off_the_trims(panel, window));
    }
}

/// Crosses in the middle of every overlap, twice along each edge.
fn crosses(drawing: &mut Drawing, panel: &Panel, windows: &[Rect], columns: usize) {
    let kept_off = KeptOff::of(drawing);
    let mut cross = |Point { x, y }: Point| {
        drawing.line(Layer::Notes, Pen::PLAIN, (x - CROSS, y), (x + CROSS, y));
        drawing.line(Layer::Notes, Pen::PLAIN, (x, y - CROSS), (x, y + CROSS));
    };
    for (index, window) in windows.iter().enumerate() {
        if index % columns + 1 < columns {
            let x = window.x1 - OVERLAP / 2.0;
            for share in [0.2, 0.8] {
                let place = |share: f64| Point::new(x, window.y0 + share * window.height());
                cross(place(kept_off.nearest(share, &place)));
            }
        }
        if window.y0 > 1e-9 && panel.height > window.height() {
            let y = window.y0 + OVERLAP / 2.0;
            for share in [0.2, 0.8] {
                let place = |share: f64| Point::new(window.x0 + share * window.width(), y);
                cross(place(kept_off.nearest(share, &place)));
            }
        }
    }
}

/// What crosses stand off: cut lines, base lines, words.
struct KeptOff {
    lines: Vec<BezPath>,
    words: Vec<Rect>,
}

impl KeptOff {
    fn of(drawing: &Drawing) -> Self {
        let (mut lines, mut words) = (Vec::new(), Vec::new());
        for (layer, item) in &drawing.items {
            match item {
                Item::Stroke(path, _) if *layer == Layer::CutLine => lines.push(path.clone()),
                Item::Stroke(path, _) if is_level(path) => lines.push(path.clone()),
                Item::Words(text) => words.push(text.bounds()),
                Item::Stroke(..) | Item::Fill(..) => {}
            }
        }
        Self { lines, words }
    }

    /// The share nearest to the one wanted at which a cross stands off all of them; failing that, off the lines.
    fn nearest(&self, wanted: f64, place: &dyn Fn(f64) -> Point) -> f64 {
        let off_lines = |share: f64| {
            let (at, room) = (place(share), CROSS + 1.5);
            let near = |segment: kurbo::PathSeg| segment.nearest(at, 1e-2).distance_sq < room * room;
            !self.lines.iter().flat_map(BezPath::segments).any(near)
        };
        let off_words = |share: f64| {
            let cross = Rect::from_center_size(place(share), (2.0 * CROSS + 1.0, 2.0 * CROSS + 1.0));
            !self.words.iter().any(|words| overlap(cross, *words))
        };
        let steps = (0..=7).flat_map(|step| [1.0, -1.0].map(|side| wanted + side * 0.025 * f64::from(step)));
        let steps = steps.filter(|share| (0.1..=0.9).contains(share) && off_lines(*share));
        let free = steps.clone().find(|share| off_words(*share));
        free.or_else(|| steps.clone().next()).unwrap_or(wanted)
    }
}

/// A base line, or a setting line of a hole, that an arm of a cross would be mistaken for.
fn is_level(path: &BezPath) -> bool {
    const LONG: f64 = 40.0;
    let bounds = path.bounding_box();
    bounds.height() < 1e-6 && bounds.width() > LONG
}

fn overlap(a: Rect, b: Rect) -> bool {
    let both = a.intersect(b);
    both.width() > 0.0 && both.height() > 0.0
}

/// Dashed where the pattern goes on in another tile.
fn trim_lines(drawing: &mut Drawing, panel: &Panel, window: Rect) {
    let mut trims = BezPath::new();
    let mut side = |goes_on: bool, from: (f64, f64), to: (f64, f64)| {
        if goes_on {
            trims.move_to(from);
            trims.line_to(to);
        }
    };
    side(window.x0 > 1e-9, (window.x0, window.y0), (window.x0, window.y1));
    side(
        window.x1 < panel.width - 1e-9,
        (window.x1, window.y0),
        (window.x1, window.y1),
    );
    side(window.y0 > 1e-9, (window.x0, window.y0), (window.x1, window.y0));
    side(
        window.y1 < panel.height - 1e-9,
        (window.x0, window.y1),
        (window.x1, window.y1),
    );
    drawing.stroke(Layer::Notes, Pen::DASHED, &trims);
}

/// Number, name and a map of the tiles, under the tile.
fn strip(drawing: &mut Drawing, panel: &Panel, window: Rect, index: usize, (columns, rows): (usize, usize)) {
    let cell = (6.0_f64.min(window.width() / 3.0 / columns as f64), 6.5 / rows as f64);
    let map_left = window.x1 - cell.0 * columns as f64 - 0.5;
    for number in 0..columns * rows {
        let (column, row) = ((number % columns) as f64, (number / columns) as f64);
        let corner = (
            map_left + column * cell.0,
            window.y0 - STRIP + 0.8 + (rows as f64 - 1.0 - row) * cell.1,
        );
        let place = Rect::new(corner.0, corner.1, corner.0 + cell.0, corner.1 + cell.1);
        if number == index {
            drawing.fill(Layer::Notes, 0.35, place);
        }
        drawing.stroke(Layer::Notes, Pen::FINE, place);
    }
    let room = map_left - window.x0 - 2.0;
    let count = columns * rows;
    let number = format!("tile {} of {count}", index + 1);
    let named = format!("{}: {number}", panel.name);
    let lines = lines(&named, &number, room);
    let foot = if lines.len() > 1 { 1.3 } else { 2.6 };
    for (line, words) in (0..).zip(lines) {
        let at = (window.x0 + 0.5, window.y0 - STRIP + foot + LINE * f64::from(line));
        drawing.note(Text::new(at, READ_PT, words).bold().align(Align::Left));
    }
}

/// From one line of a strip to that over it, in millimetres.
const LINE: f64 = 3.7;

/// Which tile it is and how tiles are joined, in one line or in two, the lower first: as much as has room.
fn lines(named: &str, number: &str, room: f64) -> Vec<String> {
    const JOINED: [&str; 3] = [
        "Lay the tiles over each other, cross on cross, and tape them.",
        "Lay them cross on cross, tape them.",
        "Lay cross on cross.",
    ];
    let is_room = |words: &&str| width_mm(words, READ_PT, true) <= room;
    let whole = format!("{named}. {}", JOINED[0]);
    if is_room(&whole.as_str()) {
        return vec![whole];
    }
    let joined = JOINED.into_iter().find(is_room);
    let which = [named, number].into_iter().find(is_room);
    joined.into_iter().chain(which).map(str::to_owned).collect()
}
