//! Figures by the holes of a mark-out sheet, where they fit: numbers alone where holes are many.

use kurbo::{Affine, BezPath, Line, Point, Rect, Shape};

use crate::layout::drawing::{Drawing, Item, Layer, Pen, Text};
use crate::layout::label::READ_PT;
use crate::layout::polyline::polyline;
use crate::measure::Units;
use crate::plan::FlatSkin;
use crate::plan::PlacedHole;
use crate::wording::hole_number;

/// More holes than this have their figures in the table alone.
const MOST: usize = 8;
/// Between lines of words, in millimetres.
const LEADING: f64 = 3.2;
/// Kept free round words, in millimetres.
const CLEAR: f64 = 0.5;
/// Places tried for all words together.
const TRIES: usize = 20_000;
/// How far words stay away from other holes, in millimetres.
const ASIDE: f64 = 1.6;
/// A shorter dimension line than this, in millimetres, is not drawn.
const SHORTEST: f64 = 5.0;
/// An arrow's length and half its width, in millimetres.
const ARROW: (f64, f64) = (1.6, 0.35);

/// What words must not be written over.
#[derive(Debug, Clone, Default)]
pub(super) struct Taken {
    pub(super) boxes: Vec<Rect>,
    pub(super) lines: Vec<Line>,
    /// Dashed lines, which words had better not be written over.
    pub(super) guides: Vec<Line>,
    /// Of the boxes those that a dimension line must not pass: words, and what is no hole to be measured.
    pub(super) no_lines: Vec<Rect>,
}

impl Taken {
    pub(super) fn add_path(&mut self, path: &BezPath) {
        let lines = path.segments().filter_map(|segment| segment.as_line());
        self.lines.extend(lines);
    }

    pub(super) fn add_words(&mut self, drawing: &Drawing) {
        let words = drawing.on(Layer::Notes).filter(|item| matches!(item, Item::Words(_)));
        let words: Vec<Rect> = words.map(Item::bounds).collect();
        self.no_lines.extend(&words);
        self.boxes.extend(words);
    }

    fn is_free(&self, place: Rect) -> bool {
        let place = place.inflate(CLEAR, CLEAR);
        !self.boxes.iter().any(|taken| taken.overlaps(place)) && !self.lines.iter().any(|line| passes(*line, place))
    }

    fn is_over_guide(&self, place: Rect) -> bool {
        self.guides.iter().any(|guide| passes(*guide, place))
    }

    /// Writes the first of some words that are over nothing, if there are such; else the first that are over nothing but a guide.
    pub(super) fn write_first_free(&mut self, drawing: &mut Drawing, texts: impl Iterator<Item = Text>) -> bool {
        let free: Vec<Text> = texts.filter(|text| self.is_free(text.bounds())).collect();
        let clear = free.iter().find(|text| !self.is_over_guide(text.bounds()));
        let Some(text) = clear.or(free.first()).cloned() else {
            return false;
        };
        self.boxes.push(text.bounds());
        self.no_lines.push(text.bounds());
        drawing.fill(Layer::Notes, 1.0, text.bounds());
        drawing.note(text);
        true
    }
}

/// Whether a line passes through a box.
fn passes(line: Line, place: Rect) -> bool {
    if !Rect::from_points(line.p0, line.p1).overlaps(place) {
        return false;
    }
    let is_inside = place.contains(line.p0) || place.contains(line.p1);
    is_inside
        || place
            .path_segments(0.1)
            .any(|side| !side.intersect_line(line).is_empty())
}

/// A hole as it is drawn, on the sheet.
pub(super) struct Marked<'a> {
    /// Whole, or what lies on either side of the slit.
    pub(super) parts: Vec<Vec<Point>>,
    hole: &'a PlacedHole,
    middle: Point,
    /// Round to the zero line, and along to the end.
    measured: [Vec<Point>; 2],
}

impl<'a> Marked<'a> {
    pub(super) fn new(parts: Vec<Vec<Point>>, hole: &'a PlacedHole, flat: &FlatSkin<'_>, to_sheet: Affine) -> Self {
        let on_sheet =
            |places: Vec<Point>| -> Vec<Point> { places.into_iter().map(|place| to_sheet * place).collect() };
        let measured = flat.measured_to(hole.middle);
        Self {
            parts: parts.into_iter().map(on_sheet).collect(),
            hole,
            middle: to_sheet * hole.middle,
            measured: measured.map(on_sheet),
        }
    }

    /// Its number and figures, under each other or in one line.
    fn labels(&self, index: usize, units: Units) -> [Label; 2] {
        let (up, side) = (self.hole.up_words(units), self.hole.side_words(units));
        // What is on a line is seen to be.
        let ways = match [up.as_str(), side.as_str()] {
            ["on the line", "on the line"] => [vec!["at the cross".to_owned()], vec!["at the cross".to_owned()]],
            [_, "on the line"] => [vec![up.clone(), side], vec![up]],
            _ => [vec![up.clone(), side.clone()], vec![format!("{up}, {side}")]],
        };
        ways.map(|lines| Label {
            number: hole_number(index),
            lines,
        })
    }

    fn boxes(&self) -> impl Iterator<Item = Rect> {
        self.parts.iter().map(|part| around(part))
    }

    /// The box of the part with the middle.
    fn main_box(&self) -> Rect {
        let held = self.boxes().find(|part| part.inflate(1e-6, 1e-6).contains(self.middle));
        held.unwrap_or(Rect::from_points(self.middle, self.middle))
    }
}

/// The box round some places.
pub(super) fn around(places: &[Point]) -> Rect {
    let first = Rect::from_points(places[0], places[0]);
    places.iter().fold(first, |rect, place| rect.union_pt(*place))
}

/// Writes every hole's figures, or where they don't fit their numbers alone; how many numbers there was no room for.
pub(super) fn write(drawing: &mut Drawing, taken: Taken, holes: &[Marked<'_>], room: Rect, units: Units) -> usize {
    if holes.len() <= MOST
        && let Some(dimensions) = with_figures(&taken, holes, room, units)
    {
        drawing.items.extend(dimensions.items);
        return 0;
    }
    numbers(drawing, taken, holes)
}

/// All holes with their figures; none where those of one find no place.
fn with_figures(taken: &Taken, holes: &[Marked<'_>], room: Rect, units: Units) -> Option<Drawing> {
    let labels: Vec<[Label; 2]> = holes
        .iter()
        .enumerate()
        .map(|(index, hole)| hole.labels(index, units))
        .collect();
    // Over no guide and all alike where that can be.
    let kinds: [&[usize]; 3] = [&[0], &[1], &[0, 1]];
    let ways = [false, true]
        .into_iter()
        .flat_map(|over| kinds.map(|kinds| (over, kinds)));
    let places = ways.into_iter().find_map(|(over_guides, kinds)| {
        let choices = labels.iter().enumerate().map(|(index, labels)| {
            let labels = kinds.iter().map(|kind| &labels[*kind]);
            let places = label_places(taken, holes, index, labels, room);
            let (over, clear): (Vec<_>, Vec<_>) =
                places.into_iter().partition(|(place, _)| taken.is_over_guide(*place));
            // Where one must stand over a guide, the others need not.
            let over = over.into_iter().filter(|_| over_guides);
            clear.into_iter().chain(over).collect()
        });
        apart(&choices.collect::<Vec<_>>())
    })?;
    let mut taken = taken.clone();
    let mut drawing = Drawing::default();
    for (place, label) in places {
        taken.boxes.push(place);
        label.write(&mut drawing, place);
    }
    for (index, hole) in holes.iter().enumerate() {
        number_rest(&mut drawing, &mut taken, hole, index);
    }
    dimension_lines(&mut drawing, &taken.no_lines, holes);
    Some(drawing)
}

/// Where a hole's labels can stand: over nothing but guides, and not so near to another hole that they might be its own.
fn label_places<'a>(
    taken: &Taken,
    holes: &[Marked<'_>],
    index: usize,
    labels: impl Iterator<Item = &'a Label>,
    room: Rect,
) -> Vec<(Rect, &'a Label)> {
    let others = holes.iter().enumerate().filter(|(other, _)| *other != index);
    let others: Vec<Rect> = others
        .flat_map(|(_, hole)| hole.boxes().map(|part| part.inflate(ASIDE, ASIDE)))
        .collect();
    let places = labels.flat_map(|label| label.places(&holes[index]).map(move |place| (place, label)));
    places
        .filter(|(place, _)| within(room, *place) && taken.is_free(*place))
        .filter(|(place, _)| !others.iter().any(|other| other.overlaps(*place)))
        .collect()
}

/// A hole's number and figures, in one line or in several.
struct Label {
    number: String,
    /// The first one stands beside the number.
    lines: Vec<String>,
}

impl Label {
    /// How far its first line is in from the number's start.
    fn indent(&self) -> f64 {
        Text::new((0.0, 0.0), READ_PT, &self.number).bold().width() + 1.2
    }

    fn size(&self) -> (f64, f64) {
        let indents = std::iter::once(self.indent()).chain(std::iter::repeat(0.0));
        let widths = self.lines.iter().zip(indents);
        let width = widths.map(|(line, indent)| indent + Text::new((0.0, 0.0), READ_PT, line).width());
        (width.fold(0.0, f64::max), LEADING * self.lines.len() as f64)
    }

    /// Where it may go, the likeliest first: beside its hole, off the lines that lead from the middle.
    fn places(&self, hole: &Marked<'_>) -> impl Iterator<Item = Rect> + use<> {
        let (width, height) = self.size();
        let (main, middle, off) = (hole.main_box(), hole.middle, CLEAR + 0.2);
        let right = main.x1.max(middle.x) + off;
        let left = main.x0.min(middle.x) - off - width;
        let (above, below) = (main.y1 + off, main.y0 - off - height);
        let (upper, lower) = (middle.y + off, middle.y - off - height);
        let (beside_right, beside_left) = (middle.x + off, middle.x - off - width);
        let level = middle.y - height / 2.0;
        let outwards = if hole.hole.round_mm < 0.0 {
            [(left, level), (right, level)]
        } else {
            [(right, level), (left, level)]
        };
        let corners = [
            (right, upper),
            (left, upper),
            (right, lower),
            (left, lower),
            (beside_right, above),
            (beside_left, above),
            (beside_right, below),
            (beside_left, below),
            (right, above),
            (left, above),
            (right, below),
            (left, below),
        ];
        // Past a strip that the hole is at.
        let farther = [2.0, 4.0, 7.0, 10.0].map(|by| [above + by, below - by]);
        let columns = [right, left, beside_right, beside_left];
        let farther = farther.into_iter().flatten().flat_map(move |y| columns.map(|x| (x, y)));
        outwards
            .into_iter()
            .chain(corners)
            .chain(farther)
            .map(move |(x, y)| Rect::new(x, y, x + width, y + height))
    }

    fn write(&self, drawing: &mut Drawing, place: Rect) {
        // Over a guide, which is beneath all notes.
        drawing.fill(Layer::Notes, 1.0, place);
        let base = place.y1 - 2.4;
        drawing.note(Text::new((place.x0, base), READ_PT, &self.number).bold());
        for (index, line) in self.lines.iter().enumerate().filter(|(_, line)| !line.is_empty()) {
            let indent = if index == 0 { self.indent() } else { 0.0 };
            let at = (place.x0 + indent, base - LEADING * index as f64);
            drawing.note(Text::new(at, READ_PT, line));
        }
    }
}

/// One of each one's places, no two over each other; none where none are found within `TRIES`.
fn apart<T: Copy>(choices: &[Vec<(Rect, T)>]) -> Option<Vec<(Rect, T)>> {
    let (mut chosen, mut next, mut tries) = (Vec::<(Rect, T)>::new(), vec![0; choices.len()], 0);
    while chosen.len() < choices.len() {
        let at = chosen.len();
        tries += 1;
        if let Some(choice) = choices[at].get(next[at]).filter(|_| tries < TRIES) {
            next[at] += 1;
            let room = choice.0.inflate(CLEAR, CLEAR);
            if !chosen.iter().any(|(other, _)| other.overlaps(room)) {
                chosen.push(*choice);
            }
        } else {
            // The one before must go elsewhere.
            next[at] = 0;
            chosen.pop()?;
            if tries >= TRIES {
                return None;
            }
        }
    }
    Some(chosen)
}

/// The lines that are measured along, where they pass no words and no other hole.
fn dimension_lines(drawing: &mut Drawing, no_lines: &[Rect], holes: &[Marked<'_>]) {
    let mut words: Vec<Rect> = drawing.items.iter().map(|(_, item)| item.bounds()).collect();
    words.extend(no_lines);
    for (index, hole) in holes.iter().enumerate() {
        cross(drawing, hole.middle);
        let others = holes.iter().enumerate().filter(|(other, _)| *other != index);
        let mut in_the_way = words.clone();
        in_the_way.extend(others.flat_map(|(_, other)| other.boxes()));
        for line in &hole.measured {
            let path = polyline(line);
            let mut pieces = path.segments().filter_map(|segment| segment.as_line());
            let is_free = !pieces.any(|piece| in_the_way.iter().any(|other| passes(piece, other.inflate(0.3, 0.3))));
            if is_free && path.perimeter(1e-3) >= SHORTEST {
                dimension_line(drawing, line);
            }
        }
    }
}

/// Numbers in their holes where they have room, else beside them; how many there was no room for.
fn numbers(drawing: &mut Drawing, mut taken: Taken, holes: &[Marked<'_>]) -> usize {
    let mut left_out = 0;
    for (index, hole) in holes.iter().enumerate() {
        let number = number(index);
        let (main, size) = (hole.main_box(), number.bounds());
        if size.width() + 2.0 < main.width() && size.height() + 2.0 < main.height() {
            let text = centred(&number, main.center());
            drawing.fill(Layer::Notes, 1.0, text.bounds().inflate(0.3, 0.2));
            drawing.note(text);
        } else if !taken.write_first_free(drawing, beside(&number, main).into_iter()) {
            left_out += 1;
        }
        number_rest(drawing, &mut taken, hole, index);
    }
    left_out
}

/// Numbers what lies on the other side of the slit, where there is room.
fn number_rest(drawing: &mut Drawing, taken: &mut Taken, hole: &Marked<'_>, index: usize) {
    let main = hole.main_box();
    for rest in hole.boxes().filter(|part| *part != main) {
        taken.write_first_free(drawing, beside(&number(index), rest).into_iter());
    }
}

fn number(index: usize) -> Text {
    Text::new((0.0, 0.0), READ_PT, hole_number(index)).bold()
}

/// Words at the origin moved until their middle is at a place.
fn centred(words: &Text, place: Point) -> Text {
    Text {
        at: place - words.bounds().center().to_vec2(),
        ..words.clone()
    }
}

/// Words to the right of a box, to its left, above and below it.
fn beside(words: &Text, around: Rect) -> [Text; 4] {
    let (size, middle) = (words.bounds(), around.center());
    let (aside, over) = (CLEAR + size.width() / 2.0 + 0.2, CLEAR + size.height() / 2.0 + 0.2);
    let places = [
        (around.x1 + aside, middle.y),
        (around.x0 - aside, middle.y),
        (middle.x, around.y1 + over),
        (middle.x, around.y0 - over),
    ];
    places.map(|place| centred(words, place.into()))
}

fn within(room: Rect, place: Rect) -> bool {
    room.x0 <= place.x0 && place.x1 <= room.x1 && room.y0 <= place.y0 && place.y1 <= room.y1
}

/// A small cross at a hole's middle.
fn cross(drawing: &mut Drawing, middle: Point) {
    for (x, y) in [(1.0, 0.0), (0.0, 1.0)] {
        drawing.line(Layer::Notes, Pen::FINE, middle - (x, y), middle + (x, y));
    }
}

/// A thin line with an arrow at each end.
fn dimension_line(drawing: &mut Drawing, places: &[Point]) {
    drawing.stroke(Layer::Notes, Pen::FINE, polyline(places));
    let last = places.len() - 1;
    for (tip, next) in [(places[0], places[1]), (places[last], places[last - 1])] {
        let back = (next - tip) * (ARROW.0 / (next - tip).hypot());
        let aside = back.turn_90() * (ARROW.1 / ARROW.0);
        let mut arrow = polyline(&[tip, tip + back + aside, tip + back - aside]);
        arrow.close_path();
        drawing.fill(Layer::Notes, 0.0, arrow);
    }
}
