//! Numbers beside the things that they stand for, each with a leader line.

use std::collections::BTreeSet;
use std::f64::consts::TAU;

use glam::DVec3;
use kurbo::{Circle, Line, Point, Rect, Shape, Vec2};

use super::super::drawing::{Align, Drawing, Layer, Pen, Text};
use super::super::label::READ_PT;
use super::drawn::Drawn;
use super::passing::cross;

/// How far from its thing a number may stand, in millimetres; the nearer the better.
const DISTANCES: [f64; 6] = [4.5, 6.0, 8.0, 10.5, 13.5, 17.0];
/// In how many directions a place is looked for.
const DIRECTIONS: usize = 24;
/// Places on a line by which it is told whether it crosses a number.
const TRIED: usize = 24;

/// A number and what it stands for.
pub(in crate::layout) struct Numbered {
    /// Where the leader may end, the best place first: the first one that is seen is taken.
    pub places: Vec<DVec3>,
    /// What is written.
    pub words: String,
}

/// A number that has its place.
#[derive(Clone, Copy)]
struct Written {
    words: Rect,
    leader: Line,
    /// About both.
    around: Rect,
}

impl Written {
    /// Other words, which no number may stand on or lead through.
    fn without_leader(words: Rect) -> Self {
        Self::new(words, words.center())
    }

    /// Words beside a place.
    fn new(words: Rect, at: Point) -> Self {
        let end = Point::new(at.x.clamp(words.x0, words.x1), at.y.clamp(words.y0, words.y1));
        Self {
            words,
            leader: Line::new(at, end),
            around: words.union_pt(at),
        }
    }

    fn is_apart_from(&self, other: &Self) -> bool {
        if !self.around.overlaps(other.around) {
            return true;
        }
        let both = self.words.intersect(other.words);
        let overlap = both.width() > 0.0 && both.height() > 0.0;
        let is_clear = !crosses(self.leader, other.words) && !crosses(other.leader, self.words);
        !overlap && is_clear && !cross(self.leader, other.leader)
    }
}

/// The numbers of what is seen, each with its index, and where its leader ends on the picture: within the frame, in none of the boxes.
pub(super) fn seen<'a>(
    numbers: impl Iterator<Item = &'a Numbered>,
    sees: impl Fn(DVec3) -> bool,
    flat: impl Fn(DVec3) -> Point,
    (frame, boxes): (Rect, &[Rect]),
) -> impl Iterator<Item = (usize, Point, &'a str)> {
    numbers.enumerate().filter_map(move |(index, number)| {
        let mut places = number.places.iter().map(|place| (*place, flat(*place)));
        let is_free = |at: Point| frame.contains(at) && !boxes.iter().any(|taken| taken.contains(at));
        let (_, at) = places.find(|(place, at)| is_free(*at) && sees(*place))?;
        Some((index, at, number.words.as_str()))
    })
}

/// The numbers of what is seen, each with its index, beside what is drawn of it, and within the frame, clear of the boxes. Equal ones may stand
/// for several things: of these the first is written first, and what finds no free place is left out.
pub(super) fn write<'a>(
    drawn_so_far: &Drawn,
    numbers: impl Iterator<Item = &'a Numbered>,
    sees: impl Fn(DVec3) -> bool,
    flat: impl Fn(DVec3) -> Point,
    (frame, boxes): (Rect, &[Rect]),
) -> Vec<(usize, Drawing)> {
    let seen = seen(numbers, sees, flat, (frame, boxes));
    let mut known = BTreeSet::new();
    let (firsts, others): (Vec<_>, Vec<_>) = seen.partition(|(_, _, words)| known.insert(*words));
    let mut written: Vec<Written> = boxes.iter().map(|words| Written::without_leader(*words)).collect();
    let mut drawn = Vec::new();
    for (index, at, words) in firsts.into_iter().chain(others) {
        // Where there is no room for what is said of the thing there may be room for its number.
        let number = words.split(' ').next().filter(|number| *number != words);
        let place = |words| best_place(at, words, drawn_so_far, &written, frame);
        let Some((place, text)) = place(words).or_else(|| place(number?)) else {
            continue;
        };
        let mut drawing = Drawing::default();
        drawing.stroke(Layer::Notes, Pen::FINE, place.leader);
        drawing.fill(Layer::Notes, 0.0, Circle::new(at, 0.4));
        drawing.note(text);
        written.push(place);
        drawn.push((index, drawing));
    }
    drawn
}

/// The place beside `at` where the words stand on no line, within the frame, and apart from all others: one whose leader
/// crosses few lines, of these the nearest.
fn best_place(at: Point, words: &str, drawn: &Drawn, written: &[Written], frame: Rect) -> Option<(Written, Text)> {
    let places = DISTANCES.into_iter().flat_map(|distance| {
        (0..DIRECTIONS).map(move |step| at + distance * Vec2::from_angle(TAU * (step as f64 + 0.5) / DIRECTIONS as f64))
    });
    let text = |middle: Point| {
        let text = Text::new((middle.x, middle.y - 1.1), READ_PT, words);
        text.bold().align(Align::Middle)
    };
    // Words are measured once, not for each of the places.
    let own = text(Point::ORIGIN).bounds().inflate(0.5, 0.3);
    let free = places.filter_map(|middle| {
        let place = Written::new(own + middle.to_vec2(), at);
        let words = place.words;
        let is_free = words.union(frame) == frame
            && written.iter().all(|other| place.is_apart_from(other))
            && drawn
                .touching(words)
                .all(|line| !words.contains(line.p0) && !words.contains(line.p1));
        is_free.then_some((place, middle))
    });
    // Its own outline is always crossed.
    let crossed = |leader: Line| {
        drawn
            .touching(leader.bounding_box())
            .filter(|line| cross(leader, *line))
            .count()
    };
    let best = free.min_by_key(|(place, _)| crossed(place.leader).max(1));
    best.map(|(place, middle)| (place, text(middle)))
}

fn crosses(line: Line, words: Rect) -> bool {
    let share = |step: usize| step as f64 / TRIED as f64;
    (0..=TRIED).any(|step| words.contains(line.p0.lerp(line.p1, share(step))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::drawing::Item;

    const FRAME: Rect = Rect::new(0.0, 0.0, 60.0, 40.0);

    fn written(places: &[(f64, f64)], line: Option<Line>, boxes: &[Rect]) -> Vec<Rect> {
        let numbers: Vec<Numbered> = places
            .iter()
            .enumerate()
            .map(|(index, (x, y))| Numbered {
                places: vec![DVec3::new(*x, *y, 0.0)],
                words: (index + 1).to_string(),
            })
            .collect();
        let mut drawing = Drawing::default();
        if let Some(line) = line {
            drawing.stroke(Layer::Notes, Pen::PLAIN, line);
        }
        let numbers = write(
            &Drawn::of([&drawing].into_iter()),
            numbers.iter(),
            |_| true,
            |place| Point::new(place.x, place.y),
            (FRAME, boxes),
        );
        let items = numbers.iter().flat_map(|(_, drawing)| &drawing.items);
        let words = items.filter_map(|(_, item)| match item {
            Item::Words(text) => Some(text.bounds()),
            _ => None,
        });
        words.collect()
    }

    #[test]
    fn a_number_stands_beside_its_line_and_not_on_it() {
        let line = Line::new((0.0, 20.0), (60.0, 20.0));
        let words = written(&[(30.0, 20.0)], Some(line), &[]);
        assert_eq!(words.len(), 1);
        assert!(words[0].y0 > 20.0 || words[0].y1 < 20.0);
        assert!((words[0].center() - Point::new(30.0, 20.0)).hypot() < 8.0);
    }

    #[test]
    fn numbers_of_crowded_things_never_overlap_and_those_without_room_are_left_out() {
        let crowd: Vec<(f64, f64)> = (0..300).map(|index| (15.0 + 0.1 * f64::from(index), 20.0)).collect();
        let words = written(&crowd, None, &[]);
        assert!(words.len() > 4 && words.len() < 300, "{}", words.len());
        for (index, a) in words.iter().enumerate() {
            assert!(a.union(FRAME) == FRAME);
            for b in &words[..index] {
                let both = a.intersect(*b);
                assert!(both.width() <= 0.0 || both.height() <= 0.0, "{a} {b}");
            }
        }
    }

    #[test]
    fn a_number_stands_alone_where_there_is_no_room_for_what_is_said_of_it() {
        let numbers = [Numbered {
            places: vec![DVec3::new(30.0, 20.0, 0.0)],
            words: "7 made already".to_owned(),
        }];
        let told = |boxes: &[Rect]| {
            let flat = |place: DVec3| Point::new(place.x, place.y);
            let written = write(&Drawn::default(), numbers.iter(), |_| true, flat, (FRAME, boxes));
            let items = written.into_iter().flat_map(|(_, drawing)| drawing.items);
            let words = items.filter_map(|(_, item)| match item {
                Item::Words(text) => Some(text.words),
                _ => None,
            });
            words.collect::<Vec<String>>()
        };
        assert_eq!(told(&[]), ["7 made already"]);
        let sides = [Rect::new(0.0, 0.0, 26.0, 40.0), Rect::new(34.0, 0.0, 60.0, 40.0)];
        assert_eq!(told(&sides), ["7"]);
    }

    #[test]
    fn a_number_stands_neither_in_a_box_nor_under_it() {
        // Beside its place, and large enough that a number has room on no line within.
        let taken = Rect::new(31.0, 14.0, 50.0, 26.0);
        let without = written(&[(30.0, 20.0)], None, &[]);
        let words = written(&[(30.0, 20.0)], None, &[taken]);
        assert!(without[0].overlaps(taken) && words.len() == 1 && !words[0].overlaps(taken));
        // A place in a box is led to by nothing.
        assert!(written(&[(40.0, 20.0)], None, &[taken]).is_empty());
    }
}
