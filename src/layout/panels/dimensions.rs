//! Figures by the holes of a mark-out sheet, where they fit: numbers alone where holes are many.

use kurbo::{Line, Point, Rect, Shape};

use super::leader::{meet, passes, runs_along};
use super::marked::{CROSS, Marked};
use super::standing::{OVER_EDGE, Reach, Site, Size, Stand, apart};
use super::taken::Taken;
use crate::layout::drawing::{Drawing, Layer, Pen, Text};
use crate::layout::label::READ_PT;
use crate::layout::polyline::polyline;
use crate::measure::Units;
use crate::wording::hole_number;

/// More holes than this have their figures in the table alone.
const MOST: usize = 8;
/// Between lines of words, in millimetres.
const LEADING: f64 = 3.2;
/// From the top of a line of words to the middle of its letters, and to where they stand.
const MIDDLE: f64 = 1.4;
const BASE: f64 = 2.4;
/// Kept free round a number within its hole, in millimetres.
const INSIDE: f64 = 1.0;
/// Of very many numbers fewer places each are tried, and so many at least.
const PLACES: usize = 20_000;
const FEWEST: usize = 20;
/// What speaks against figures in one line, and against some in one line and some in two.
const ONE_LINE: f64 = 2.0;
const MIXED: f64 = 4.0;
/// And against a number alone, whose figures are in the table: less than against figures over a line.
const WITHOUT_FIGURES: f64 = 40.0;
/// A shorter dimension line than this, in millimetres, is not drawn.
const SHORTEST: f64 = 5.0;
/// Kept free between one and words or another hole, in millimetres.
const ROUND_WORDS: f64 = 0.3;
/// An arrow's length and half its width, in millimetres.
const ARROW: (f64, f64) = (1.6, 0.35);
/// Of close holes half a cross is so much of their distance.
const CROSS_SHARE: f64 = 0.3;

/// A hole's number and figures, in one line or in several.
struct Label {
    number: String,
    /// The first one stands beside the number.
    lines: Vec<String>,
}

impl Label {
    /// A hole's number alone.
    fn number(index: usize) -> Self {
        Self {
            number: hole_number(index),
            lines: Vec::new(),
        }
    }

    /// A hole's number and figures, under each other or in one line, and its number alone.
    fn with_figures(hole: &Marked<'_>, index: usize, units: Units) -> [Self; 3] {
        let (up, side) = (hole.hole.up_words(units), hole.hole.side_words(units));
        // What is on a line is seen to be.
        let ways = match [up.as_str(), side.as_str()] {
            ["on the line", "on the line"] => [vec!["at the cross".to_owned()], vec!["at the cross".to_owned()]],
            [_, "on the line"] => [vec![up.clone(), side], vec![up]],
            _ => [vec![up.clone(), side.clone()], vec![format!("{up}, {side}")]],
        };
        let [under, beside] = ways.map(|lines| Self {
            number: hole_number(index),
            lines,
        });
        [under, beside, Self::number(index)]
    }

    /// How wide each of its lines is, with the number in the first.
    fn widths(&self) -> Vec<f64> {
        let number = Text::new((0.0, 0.0), READ_PT, &self.number).bold().width();
        let lines = self.lines.iter().enumerate().map(|(index, line)| {
            let indent = if index == 0 { self.indent() } else { 0.0 };
            indent + Text::new((0.0, 0.0), READ_PT, line).width()
        });
        let widths: Vec<f64> = lines.collect();
        if widths.is_empty() { vec![number] } else { widths }
    }

    /// How far its first line is in from the number's start.
    fn indent(&self) -> f64 {
        Text::new((0.0, 0.0), READ_PT, &self.number).bold().width() + 1.2
    }

    fn size(&self) -> Size {
        let widths = self.widths();
        let (longest, width) = widths
            .iter()
            .copied()
            .enumerate()
            .fold((0, 0.0), |most, line| if line.1 > most.1 { line } else { most });
        Size {
            size: (width, LEADING * widths.len() as f64),
            first: MIDDLE,
            longest: MIDDLE + LEADING * longest as f64,
        }
    }

    fn write(&self, drawing: &mut Drawing, taken: &mut Taken, stand: Stand) {
        let place = stand.place;
        taken.make_room(drawing, place);
        let base = place.y1 - BASE;
        drawing.note(Text::new((place.x0, base), READ_PT, &self.number).bold());
        for (index, line) in self.lines.iter().enumerate().filter(|(_, line)| !line.is_empty()) {
            let indent = if index == 0 { self.indent() } else { 0.0 };
            let at = (place.x0 + indent, base - LEADING * index as f64);
            drawing.note(Text::new(at, READ_PT, line));
        }
        if let Some(leader) = stand.leader {
            taken.add_leader(drawing, leader);
        }
    }
}

/// Writes every hole's figures, or where they don't fit their numbers alone; how many numbers there was no room for.
pub(super) fn write(drawing: &mut Drawing, mut taken: Taken, holes: &[Marked<'_>], room: Rect, units: Units) -> usize {
    let site = Site {
        taken: &taken,
        holes,
        room,
    };
    let figures = if holes.len() <= MOST {
        with_figures(&site, units)
    } else {
        None
    };
    let has_figures = figures.is_some();
    let labels = figures.unwrap_or_else(|| numbers(&site));
    let left_out = labels.iter().filter(|label| label.is_none()).count();
    for (stand, label) in labels.into_iter().flatten() {
        label.write(drawing, &mut taken, stand);
    }
    number_rest(drawing, &mut taken, holes, room);
    if has_figures {
        dimension_lines(drawing, &taken, holes);
    }
    left_out
}

/// A hole's label and where it stands; none where there is no room.
type Placed = Option<(Stand, Label)>;

/// All holes with their figures, but for those that have clear room for their numbers alone; none where one finds no place.
fn with_figures(site: &Site<'_>, units: Units) -> Option<Vec<Placed>> {
    let labels = site.holes.iter().enumerate();
    let labels: Vec<[Label; 3]> = labels
        .map(|(index, hole)| Label::with_figures(hole, index, units))
        .collect();
    let mut known = Known::default();
    // All alike where that is as good.
    let kinds: [(&[usize], f64); 4] = [(&[0], 0.0), (&[1], ONE_LINE), (&[0, 1], MIXED), (&[0, 1, 2], MIXED)];
    let mut best: Option<(f64, Vec<Stand>)> = None;
    for (kinds, cost) in kinds {
        if best
            .as_ref()
            .is_some_and(|(least, _)| *least < cost || kinds.len() > 2 && *least < OVER_EDGE)
        {
            break;
        }
        let chosen = apart(|reach| known.of_kinds(site, &labels, kinds, reach));
        let Some(chosen) = chosen.into_iter().collect::<Option<Vec<Stand>>>() else {
            continue;
        };
        let cost = cost + chosen.iter().map(|stand| stand.cost).sum::<f64>();
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, chosen));
        }
    }
    let placed = best?.1.into_iter().zip(labels).map(|(stand, labels)| {
        let label = labels.into_iter().nth(stand.kind)?;
        Some((stand, label))
    });
    Some(placed.collect())
}

/// Where labels with figures can stand, as far as that was looked for: a kind and how far, for each hole.
#[derive(Default)]
struct Known(Vec<(usize, Reach, Vec<Vec<Stand>>)>);

impl Known {
    /// For each hole where its label can stand, of some kinds.
    fn of_kinds(&mut self, site: &Site<'_>, labels: &[[Label; 3]], kinds: &[usize], reach: Reach) -> Vec<Vec<Stand>> {
        let mut all = vec![Vec::new(); labels.len()];
        for kind in kinds {
            for (all, stands) in all.iter_mut().zip(self.of_kind(site, labels, *kind, reach)) {
                all.extend_from_slice(stands);
            }
        }
        all
    }

    fn of_kind(&mut self, site: &Site<'_>, labels: &[[Label; 3]], kind: usize, reach: Reach) -> &[Vec<Stand>] {
        let is_it = |(of, within, _): &(usize, Reach, _)| (*of, *within) == (kind, reach);
        let place = self.0.iter().position(is_it).unwrap_or_else(|| {
            let stands = labels.iter().enumerate().map(|(index, labels)| {
                let label = &labels[kind];
                let mut stands = site.stands((index, site.holes[index].main()), kind, label.size(), reach);
                if label.lines.is_empty() {
                    stands.iter_mut().for_each(|stand| stand.cost += WITHOUT_FIGURES);
                }
                stands
            });
            self.0.push((kind, reach, stands.collect()));
            self.0.len() - 1
        });
        &self.0[place].2
    }
}

/// Numbers in their holes where they have room, else beside them.
fn numbers(site: &Site<'_>) -> Vec<Placed> {
    let most = (PLACES / site.holes.len().max(1)).max(FEWEST);
    let of_hole = |index: usize, hole: &Marked<'_>, reach: Reach| {
        let (part, size) = (hole.main(), Label::number(index).size());
        if let Some(stand) = within_hole(hole.outlines[part].around, size) {
            return if reach == Reach::Beside {
                vec![stand]
            } else {
                Vec::new()
            };
        }
        let mut stands = site.stands((index, part), 0, size, reach);
        stands.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        stands.truncate(most);
        stands
    };
    let holes = || site.holes.iter().enumerate();
    let chosen = apart(|reach| holes().map(|(index, hole)| of_hole(index, hole, reach)).collect());
    let placed = chosen.into_iter().enumerate();
    placed
        .map(|(index, stand)| Some((stand?, Label::number(index))))
        .collect()
}

fn within_hole(around: Rect, Size { size, .. }: Size) -> Option<Stand> {
    let is_within = size.0 + 2.0 * INSIDE < around.width() && size.1 + 2.0 * INSIDE < around.height();
    is_within.then(|| Stand {
        place: Rect::from_center_size(around.center(), size),
        leader: None,
        kind: 0,
        cost: 0.0,
    })
}

/// Numbers what lies on the other side of the slit, where there is room.
fn number_rest(drawing: &mut Drawing, taken: &mut Taken, holes: &[Marked<'_>], room: Rect) {
    for (index, hole) in holes.iter().enumerate() {
        let rests = (0..hole.outlines.len()).filter(|part| *part != hole.main());
        for part in rests {
            let (label, site) = (Label::number(index), Site { taken, holes, room });
            let chosen = apart(|reach| vec![site.stands((index, part), 0, label.size(), reach)]);
            if let Some(stand) = chosen[0] {
                label.write(drawing, taken, stand);
            }
        }
    }
}

/// The lines that are measured along, where they pass no words, no leader and no other hole.
fn dimension_lines(drawing: &mut Drawing, taken: &Taken, holes: &[Marked<'_>]) {
    for (index, hole) in holes.iter().enumerate() {
        let others = holes.iter().enumerate().filter(|(other, _)| *other != index);
        let others: Vec<&Marked<'_>> = others.map(|(_, other)| other).collect();
        let nearest = others.iter().map(|other| other.middle.distance(hole.middle));
        cross(
            drawing,
            hole.middle,
            CROSS.min(CROSS_SHARE * nearest.fold(f64::MAX, f64::min)),
        );
        let mut in_the_way = taken.no_lines.clone();
        in_the_way.extend(others.iter().flat_map(|other| &other.outlines).map(|part| part.around));
        let is_clear = |piece: Line| {
            !in_the_way
                .iter()
                .any(|other| passes(piece, other.inflate(ROUND_WORDS, ROUND_WORDS)))
                && !taken
                    .leaders
                    .iter()
                    .any(|leader| meet(*leader, piece) || runs_along(*leader, piece))
        };
        for line in &hole.measured {
            let path = polyline(line);
            let mut pieces = path.segments().filter_map(|segment| segment.as_line());
            if pieces.all(is_clear) && path.perimeter(1e-3) >= SHORTEST {
                dimension_line(drawing, line);
            }
        }
    }
}

/// A small cross at a hole's middle.
fn cross(drawing: &mut Drawing, middle: Point, half: f64) {
    for (x, y) in [(half, 0.0), (0.0, half)] {
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
