//! Where labels stand, each by its own hole: of all the places that each may have such that no two are in each other's way.

use kurbo::{Line, Point, Rect};

use super::leader::{FARTHEST, Outline, leader, meet, passes, runs_along, stands_bare};
use super::marked::Marked;
use super::taken::{CLEAR, Taken};

/// How far words stay away from other holes, in millimetres.
const ASIDE: f64 = 1.6;
/// A leader begins so far from its words, and is so long at least, in millimetres.
const GAP: f64 = 0.4;
const SHORTEST: f64 = 2.0;
/// A leader keeps so far away from other holes, in millimetres.
const PAST: f64 = 0.3;

/// What speaks against a place, so that the least is taken: over a dashed line or a strip's edge, what a leader is for itself
/// and by the millimetre, the zero line, the skin's edge and other things that it crosses, and each of the places that are better.
const OVER_GUIDE: f64 = 1000.0;
pub(super) const OVER_EDGE: f64 = 400.0;
const LEADER: f64 = 4.0;
const LONG: f64 = 0.35;
const CROSSES_LINE: f64 = 25.0;
const CROSSES: f64 = 6.0;
const LATER: f64 = 0.1;
/// Whatever stands elsewhere has a leader, and at least so much speaks against it.
const LEAST_WITH_LEADER: f64 = LEADER + LONG * SHORTEST;
/// Of two labels that are in each other's way, at first; so many times more with each round in which they are.
const IN_THE_WAY: f64 = 50.0;
const HEAVIER: f64 = 1.5;
/// Rounds in which labels give way to each other, and pairs of places that are held against each other at most: in one order,
/// and in all.
const ROUNDS: usize = 60;
const PAIRS: usize = 3_000_000;
const ALL_PAIRS: usize = 8_000_000;
/// Of more holes in one drawing none has a label but within its own outline: there is no room for so many, and the table has
/// them all.
const MOST_LABELLED: usize = 400;

/// What a label is: how large, and which of its lines a leader on its right leads to, in millimetres from the top.
#[derive(Debug, Clone, Copy)]
pub(super) struct Size {
    pub(super) size: (f64, f64),
    pub(super) first: f64,
    pub(super) longest: f64,
}

/// A place for a label, and the leader that it needs there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stand {
    pub(super) place: Rect,
    pub(super) leader: Option<Line>,
    /// Which of a hole's labels it is.
    pub(super) kind: usize,
    pub(super) cost: f64,
}

impl Stand {
    fn is_apart(&self, other: &Self) -> bool {
        let crosses =
            |leader: Option<Line>, place: Rect| leader.is_some_and(|line| passes(line, place.inflate(CLEAR, CLEAR)));
        let both = self.leader.zip(other.leader);
        !self.place.inflate(CLEAR, CLEAR).overlaps(other.place)
            && !crosses(self.leader, other.place)
            && !crosses(other.leader, self.place)
            && !both.is_some_and(|(a, b)| meet(a, b))
    }
}

/// Where a label's places are looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reach {
    /// Close to its hole.
    Beside,
    /// Farther off, as far as a leader may lead.
    Farther,
}

/// All that a label may stand by and against.
pub(super) struct Site<'a> {
    pub(super) taken: &'a Taken,
    pub(super) holes: &'a [Marked<'a>],
    pub(super) room: Rect,
}

impl Site<'_> {
    /// Where a label of a part of a hole can stand: over nothing but dashed lines and strips' edges.
    pub(super) fn stands(&self, (index, part): (usize, usize), kind: usize, label: Size, reach: Reach) -> Vec<Stand> {
        if self.holes.len() > MOST_LABELLED {
            return Vec::new();
        }
        let (beside, farther) = self.holes[index].places(part, label.size);
        // By its place among all, which tells how likely it is.
        let places: Vec<(usize, Rect)> = match reach {
            Reach::Beside => beside.into_iter().enumerate().collect(),
            Reach::Farther => (beside.len()..).zip(farther).collect(),
        };
        let places = places.into_iter().filter(|(_, place)| is_within(*place, self.room));
        let places: Vec<(usize, Rect)> = places.collect();
        let round = Round::new(self, index, part, &places);
        let free = places.into_iter().filter(|(_, place)| round.is_free(*place));
        free.filter_map(|(rank, place)| round.stand(kind, label, rank, place))
            .collect()
    }
}

fn is_within(place: Rect, room: Rect) -> bool {
    room.x0 <= place.x0 && place.x1 <= room.x1 && room.y0 <= place.y0 && place.y1 <= room.y1
}

/// What is round a part of a hole, as far as a label of it and its leader may reach.
struct Round<'a> {
    hole: &'a Marked<'a>,
    own: &'a Outline,
    middle: Point,
    taken: Taken,
    others: Vec<&'a Outline>,
}

impl<'a> Round<'a> {
    fn new(site: &Site<'a>, index: usize, part: usize, places: &[(usize, Rect)]) -> Self {
        let hole = &site.holes[index];
        let (own, middle) = (&hole.outlines[part], hole.middle_of(part));
        let reach = places
            .iter()
            .fold(own.around.union_pt(middle), |reach, (_, place)| reach.union(*place))
            .inflate(FARTHEST, FARTHEST);
        let others = site.holes.iter().enumerate().filter(|(other, _)| *other != index);
        let others = others.flat_map(|(_, hole)| &hole.outlines);
        Self {
            hole,
            own,
            middle,
            taken: site.taken.reaching_into(reach),
            others: others.filter(|other| other.around.overlaps(reach)).collect(),
        }
    }

    fn others(&self) -> impl Iterator<Item = &'a Outline> {
        self.others.iter().copied()
    }

    fn is_free(&self, place: Rect) -> bool {
        self.taken.is_free(place)
            && !self
                .others()
                .any(|other| other.around.inflate(ASIDE, ASIDE).overlaps(place))
    }

    fn stand(&self, kind: usize, label: Size, rank: usize, place: Rect) -> Option<Stand> {
        let over = [
            (self.taken.is_over_guide(place), OVER_GUIDE),
            (self.taken.is_over_edge(place), OVER_EDGE),
        ];
        let cost: f64 = over.iter().filter(|(is_over, _)| *is_over).map(|(_, cost)| cost).sum();
        if stands_bare(place, self.own, self.others()) {
            return Some(Stand {
                place,
                leader: None,
                kind,
                cost: cost + LATER * rank as f64,
            });
        }
        let line = leader(start(label, place, self.middle), self.own, self.middle);
        self.can_lead(line).then(|| Stand {
            place,
            leader: Some(line),
            kind,
            cost: cost + LEADER + LONG * line.length() + self.crossed(line),
        })
    }

    fn can_lead(&self, line: Line) -> bool {
        line.length() >= SHORTEST
            && self.taken.is_free_for_leader(line, self.own.around)
            && !self.others().any(|other| other.is_passed(line, PAST))
    }

    /// What speaks against a leader for what it crosses: dashed lines, the skin's edge, wedges and what is measured.
    fn crossed(&self, line: Line) -> f64 {
        let taken = &self.taken;
        let met = |lines: &[Line]| lines.iter().filter(|other| meet(**other, line)).count();
        let boxes = taken.boxes.iter().filter(|taken| passes(line, **taken)).count();
        // Its own hole is one of them.
        let others = boxes.saturating_sub(1) + usize::from(self.is_along_measure(line));
        CROSSES_LINE * (met(&taken.guides) + met(&taken.lines)) as f64 + CROSSES * others as f64
    }

    /// Whether a leader lies so nearly along one of its hole's own measures that the two can't be told apart.
    fn is_along_measure(&self, line: Line) -> bool {
        let measured = self.hole.measured.iter();
        let mut pieces = measured.flat_map(|places| places.windows(2).map(|ends| Line::new(ends[0], ends[1])));
        pieces.any(|piece| runs_along(line, piece))
    }
}

/// Where a leader begins: at the first line of words on the hole's right, the longest of those on its left; over or under the
/// hole in the middle, or as near to above it as the words reach.
fn start(label: Size, place: Rect, middle: Point) -> Point {
    if place.x0 >= middle.x {
        return Point::new(place.x0 - GAP, place.y1 - label.first);
    }
    if place.x1 <= middle.x {
        return Point::new(place.x1 + GAP, place.y1 - label.longest);
    }
    let x = middle
        .x
        .clamp(place.x0 + place.width() / 4.0, place.x1 - place.width() / 4.0);
    let y = if place.y0 > middle.y {
        place.y0 - GAP
    } else {
        place.y1 + GAP
    };
    Point::new(x, y)
}

/// One of each label's places, no two in each other's way; none for those that find no place. Where all can stand bare beside
/// their holes, over nothing, no others are looked for: none is better.
pub(super) fn apart(mut choices: impl FnMut(Reach) -> Vec<Vec<Stand>>) -> Vec<Option<Stand>> {
    let mut all = choices(Reach::Beside);
    let beside = apart_among(&all);
    let is_best = |stand: &Option<Stand>| stand.is_some_and(|stand| stand.cost < LEAST_WITH_LEADER);
    if beside.iter().all(is_best) {
        return beside;
    }
    for (stands, farther) in all.iter_mut().zip(choices(Reach::Farther)) {
        stands.extend(farther);
    }
    apart_among(&all)
}

/// The same among some places. Those over nothing come first, then those over strips' edges: only where labels find no place so,
/// or one has no other, may they be over dashed lines.
fn apart_among(choices: &[Vec<Stand>]) -> Vec<Option<Stand>> {
    if choices.iter().all(Vec::is_empty) {
        return vec![None; choices.len()];
    }
    let (mut best, mut pairs) = (Vec::<Option<Stand>>::new(), 0);
    for limit in [OVER_EDGE, OVER_GUIDE, f64::MAX] {
        let allowed = choices.iter().map(|stands| {
            let has_some = stands.iter().any(|stand| stand.cost < limit);
            let stands = stands.iter().filter(|stand| !has_some || stand.cost < limit);
            stands.copied().collect()
        });
        let chosen = in_best_order(&allowed.collect::<Vec<_>>(), &mut pairs);
        let count = |chosen: &[Option<Stand>]| chosen.iter().flatten().count();
        if best.is_empty() || count(&chosen) > count(&best) {
            best = chosen;
        }
        if best.iter().all(Option::is_some) || pairs > ALL_PAIRS {
            break;
        }
    }
    best
}

/// The orders in which labels give way to each other are tried one after another, until all find a place or too many pairs of
/// places have been held against each other.
fn in_best_order(choices: &[Vec<Stand>], pairs: &mut usize) -> Vec<Option<Stand>> {
    let index: Vec<usize> = (0..choices.len()).collect();
    let at = |which: usize| {
        choices[which]
            .first()
            .map_or(Point::ORIGIN, |stand| stand.place.center())
    };
    let sorted = |by: fn(Point) -> f64| {
        let mut order = index.clone();
        order.sort_by(|a, b| by(at(*a)).total_cmp(&by(at(*b))));
        order
    };
    let orders: [fn(Point) -> f64; 4] = [|_| 0.0, |at| at.y, |at| -at.y, |at| at.x];
    let mut best: Vec<Option<Stand>> = Vec::new();
    for by in orders {
        let mut search = Search::new(choices);
        let chosen = search.chosen(&sorted(by));
        *pairs += search.pairs;
        if best.is_empty() || chosen.iter().flatten().count() > best.iter().flatten().count() {
            best = chosen;
        }
        if best.iter().all(Option::is_some) || *pairs > ALL_PAIRS {
            break;
        }
    }
    best
}

/// Labels that give way to each other.
struct Search<'a> {
    choices: &'a [Vec<Stand>],
    at: Vec<Option<usize>>,
    /// What speaks against two labels' being in each other's way.
    weights: Vec<Vec<f64>>,
    pairs: usize,
}

impl<'a> Search<'a> {
    fn new(choices: &'a [Vec<Stand>]) -> Self {
        Self {
            choices,
            at: vec![None; choices.len()],
            weights: vec![vec![IN_THE_WAY; choices.len()]; choices.len()],
            pairs: 0,
        }
    }

    fn stand(&self, label: usize) -> Option<&'a Stand> {
        self.at[label].map(|place| &self.choices[label][place])
    }

    /// The others that a label is in the way of at a place.
    fn in_the_way(&self, label: usize, stand: &Stand) -> impl Iterator<Item = usize> {
        let others = (0..self.choices.len()).filter(move |other| *other != label);
        others.filter(|other| self.stand(*other).is_some_and(|other| !stand.is_apart(other)))
    }

    fn best(&self, label: usize) -> Option<usize> {
        let costs = self.choices[label].iter().map(|stand| {
            let others = self.in_the_way(label, stand).map(|other| self.weights[label][other]);
            stand.cost + others.sum::<f64>()
        });
        let best = costs.enumerate().min_by(|a, b| a.1.total_cmp(&b.1));
        best.map(|(place, _)| place)
    }

    /// Each goes where least speaks against, until none moves; those who are in each other's way count for more each time.
    fn chosen(&mut self, order: &[usize]) -> Vec<Option<Stand>> {
        for _ in 0..ROUNDS {
            let mut has_moved = false;
            for label in order {
                let best = self.best(*label);
                self.pairs += self.choices[*label].len() * self.choices.len();
                has_moved |= best != self.at[*label];
                self.at[*label] = best;
            }
            let has_some = self.weigh();
            if !has_moved && !has_some || self.pairs > PAIRS {
                break;
            }
        }
        self.drop_worst();
        self.at
            .iter()
            .enumerate()
            .map(|(label, place)| place.map(|place| self.choices[label][place]))
            .collect()
    }

    /// Makes it count for more that two are in each other's way; whether any are.
    fn weigh(&mut self) -> bool {
        let mut has_some = false;
        for label in 0..self.choices.len() {
            let Some(stand) = self.stand(label) else { continue };
            let others: Vec<usize> = self.in_the_way(label, stand).collect();
            for other in others {
                self.weights[label][other] *= HEAVIER;
                has_some = true;
            }
        }
        has_some
    }

    /// Takes away those that are in the way of most, until none is.
    fn drop_worst(&mut self) {
        loop {
            let counts = (0..self.choices.len()).map(|label| {
                let stand = self.stand(label);
                (stand.map_or(0, |stand| self.in_the_way(label, stand).count()), label)
            });
            match counts.max() {
                Some((count, label)) if count > 0 => self.at[label] = None,
                _ => return,
            }
        }
    }
}
