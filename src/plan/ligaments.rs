//! What is left between the holes of a body, found without holding every hole against every other.

use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};
use std::f64::consts::TAU;
use std::rc::Rc;

use kurbo::Point;

use super::clash::MOST_TOLD;
use super::cores::on_all_cores;
use super::hole::{Near, PlacedHole};
use super::outline::{Outline, clearance_within};

/// So many outlines are kept, each of some 40 kB.
const MOST_KEPT: usize = 300;

/// So many holes that follow each other up their body are looked at by one core: most of their neighbours are among them.
const STRETCH: usize = 32;

/// The holes, each with its ligament and with what overlaps it. `were` are those that an earlier plan knows, and where in its list each
/// of these was, if it is as it was.
pub(super) fn with_ligaments(mut holes: Vec<PlacedHole>, were: (&[PlacedHole], &[Option<usize>])) -> Vec<PlacedHole> {
    for (index, near) in neighbours(&holes, were).into_iter().enumerate() {
        let next = near
            .nearest
            .as_ref()
            .map(|(other, ligament)| (holes[*other].hole.tube.clone(), *ligament));
        let found = holes[index].near_found.nearest.clone();
        let both = next.into_iter().chain(found);
        holes[index].next = both.min_by(|a, b| a.1.total_cmp(&b.1));
        holes[index].near = near;
    }
    holes
}

/// What is near each of the holes, a body after the other and from low to high: outlines with their boxes are large.
fn neighbours(holes: &[PlacedHole], were: (&[PlacedHole], &[Option<usize>])) -> Vec<Near> {
    let mut by_body: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (index, hole) in holes.iter().enumerate() {
        by_body.entry(hole.hole.body).or_default().push(index);
    }
    let mut near = vec![Near::default(); holes.len()];
    for of_body in by_body.values() {
        let changed = Changed::new(holes, of_body, were);
        let row = Row::new(of_body.iter().map(|index| &holes[*index]).collect());
        let known = |(hole, apart): (usize, f64)| (of_body[hole], apart);
        let near_it = |lately: &Lately<'_>, place: usize| {
            let as_it_was = changed.as_ref().and_then(|changed| changed.spares(of_body[place]));
            as_it_was.unwrap_or_else(|| Near {
                nearest: lately.nearest(place).map(known),
                overlaps: lately.overlaps(place).map(known).collect(),
            })
        };
        let all = row.low_to_high();
        let stretches: Vec<&[usize]> = all.chunks(STRETCH).collect();
        let found = on_all_cores(&stretches, |stretch| {
            let lately = Lately::new(&row);
            let near = stretch.iter().map(|place| near_it(&lately, *place));
            near.collect::<Vec<Near>>()
        });
        for (place, found) in all.iter().zip(found.into_iter().flatten()) {
            near[of_body[*place]] = found;
        }
    }
    near
}

/// No more holes of a body than this are looked at as changed: of more each is new.
const MOST_CHANGED: usize = 100;

/// What of a body's holes isn't as it was in an earlier plan.
struct Changed<'a> {
    holes: &'a [PlacedHole],
    earlier: &'a [PlacedHole],
    was: &'a [Option<usize>],
    /// Where a hole is now, by where it was.
    now: HashMap<usize, usize>,
    /// Those that weren't there, and those that are there no more.
    changed: Vec<&'a PlacedHole>,
}

impl<'a> Changed<'a> {
    /// None where all is new.
    fn new(
        holes: &'a [PlacedHole],
        of_body: &[usize],
        (earlier, was): (&'a [PlacedHole], &'a [Option<usize>]),
    ) -> Option<Self> {
        let now: HashMap<usize, usize> = of_body.iter().filter_map(|now| Some((was[*now]?, *now))).collect();
        let body = earlier[*now.keys().next()?].hole.body;
        let new = of_body
            .iter()
            .filter(|now| was[**now].is_none())
            .map(|now| &holes[*now]);
        let gone = (0..earlier.len()).filter(|was| earlier[*was].hole.body == body && !now.contains_key(was));
        let changed: Vec<&PlacedHole> = new
            .chain(gone.map(|was| &earlier[was]))
            .take(MOST_CHANGED + 1)
            .collect();
        (changed.len() <= MOST_CHANGED).then_some(Self {
            holes,
            earlier,
            was,
            now,
            changed,
        })
    }

    /// What is near a hole, as it was: no changed hole can be as near as the one that was the nearest.
    fn spares(&self, hole: usize) -> Option<Near> {
        let near = &self.earlier[self.was[hole]?].near;
        let (nearest, least) = match near.nearest {
            None => (None, f64::INFINITY),
            Some((was, ligament)) => (Some((*self.now.get(&was)?, ligament)), ligament),
        };
        let is_spared =
            near.overlaps.is_empty() && least > 0.0 && self.changed.iter().all(|other| self.least(hole, other) > least);
        is_spared.then_some(Near {
            nearest,
            overlaps: Vec::new(),
        })
    }

    /// A hole is no nearer to another than this, in millimetres, however many turns on it is met.
    fn least(&self, hole: usize, other: &PlacedHole) -> f64 {
        let hole = &self.holes[hole];
        let images = other
            .shape
            .turns_on()
            .iter()
            .map(|turns| other.shape.turned(*turns) * other.middle);
        let apart = images.map(|image| image.distance(hole.middle) - hole.reach - other.reach);
        apart.fold(f64::INFINITY, f64::min)
    }
}

/// The holes of a body.
struct Row<'a> {
    holes: Vec<&'a PlacedHole>,
    /// In the order of their heights there.
    images: Vec<Image>,
    /// The farthest that any of them reaches from its middle, in millimetres.
    reach: f64,
}

/// A hole as it is met on the flat skin, there or a turn on.
struct Image {
    hole: usize,
    turns: f64,
    middle: Point,
}

impl<'a> Row<'a> {
    fn new(holes: Vec<&'a PlacedHole>) -> Self {
        let image = |(index, hole): (usize, &&PlacedHole)| {
            let turns = hole.shape.turns_on();
            let (shape, middle) = (hole.shape, hole.middle);
            turns.iter().map(move |turns| Image {
                hole: index,
                turns: *turns,
                middle: shape.turned(*turns) * middle,
            })
        };
        let mut images: Vec<Image> = holes.iter().enumerate().flat_map(image).collect();
        images.sort_by(|a, b| a.middle.y.total_cmp(&b.middle.y));
        Self {
            images,
            reach: holes.iter().map(|hole| hole.reach).fold(0.0, f64::max),
            holes,
        }
    }

    /// All of them, so that those that come after each other have the same neighbours.
    fn low_to_high(&self) -> Vec<usize> {
        let mut all: Vec<usize> = (0..self.holes.len()).collect();
        all.sort_by(|a, b| self.holes[*a].middle.y.total_cmp(&self.holes[*b].middle.y));
        all
    }

    /// The other holes, those that are nearest in height first, and the least that they can be apart.
    fn around(&self, index: usize) -> impl Iterator<Item = (&Image, Least)> {
        let hole = self.holes[index];
        let (below, above) = self
            .images
            .split_at(self.images.partition_point(|image| image.middle.y < hole.middle.y));
        let (mut below, mut above) = (below.iter().rev().peekable(), above.iter().peekable());
        let off = |image: &&Image| (image.middle.y - hole.middle.y).abs();
        let outwards = std::iter::from_fn(move || match (below.peek(), above.peek()) {
            (Some(lower), Some(upper)) if off(lower) <= off(upper) => below.next(),
            (Some(_), None) => below.next(),
            _ => above.next(),
        });
        outwards
            .filter(move |image| image.hole != index && self.is_straight(hole, image))
            .map(move |image| {
                let other = self.holes[image.hole];
                let least = Least {
                    any: (image.middle.y - hole.middle.y).abs() - hole.reach - self.reach,
                    of_this: image.middle.distance(hole.middle) - hole.reach - other.reach,
                };
                (image, least)
            })
    }

    /// Whether the straight line to an image lies on the skin.
    fn is_straight(&self, hole: &PlacedHole, image: &Image) -> bool {
        let round = self.holes[image.hole].hole.round - hole.hole.round;
        hole.shape.spans(round / TAU + image.turns)
    }
}

/// The holes of a body, and the outlines of those that were asked for lately.
struct Lately<'a> {
    row: &'a Row<'a>,
    /// On its whole skin laid flat.
    outlines: RefCell<BTreeMap<usize, Rc<Outline>>>,
}

impl<'a> Lately<'a> {
    fn new(row: &'a Row<'a>) -> Self {
        Self {
            row,
            outlines: RefCell::default(),
        }
    }

    /// On the whole skin laid flat.
    fn outline(&self, index: usize) -> Rc<Outline> {
        let mut lately = self.outlines.borrow_mut();
        if lately.len() == MOST_KEPT {
            lately.clear();
        }
        let outline = lately
            .entry(index)
            .or_insert_with(|| Rc::new(Outline::new(self.row.holes[index].on_skin())));
        Rc::clone(outline)
    }

    /// The nearest other hole, and the ligament to it in millimetres.
    fn nearest(&self, index: usize) -> Option<(usize, f64)> {
        // The one that may be nearest gives a limit, within which the others are looked for.
        let mut likely: Option<(&Image, f64)> = None;
        for (image, least) in self.row.around(index) {
            if likely.is_some_and(|(_, known)| known <= least.any) {
                break;
            }
            let least = least.of_this;
            if likely.is_none_or(|(_, known)| least < known) {
                likely = Some((image, least));
            }
        }
        let (first, _) = likely?;
        let mut best = (first.hole, self.ligament(index, first, f64::INFINITY));
        for (image, least) in self.row.around(index) {
            // How deep a hole reaches into others is nobody's measure: one is enough.
            if best.1 <= least.any || best.1 < 0.0 {
                break;
            }
            if least.of_this < best.1 {
                let ligament = self.ligament(index, image, best.1);
                if ligament < best.1 {
                    best = (image.hole, ligament);
                }
            }
        }
        Some(best)
    }

    /// The holes before this one that overlap it, [`MOST_TOLD`] of them, and by how much in millimetres, below 0.
    fn overlaps(&self, index: usize) -> impl Iterator<Item = (usize, f64)> {
        let mut found: BTreeMap<usize, f64> = BTreeMap::new();
        let near = self.row.around(index).take_while(|(_, least)| least.any <= 0.0);
        for (image, least) in near {
            if found.len() == MOST_TOLD {
                break;
            }
            if image.hole < index && least.of_this <= 0.0 {
                let apart = self.ligament(index, image, f64::INFINITY);
                if apart <= 0.0 {
                    let known = found.entry(image.hole).or_insert(apart);
                    *known = known.min(apart);
                }
            }
        }
        found.into_iter()
    }

    /// What is left between a hole and an image, where it is below `limit`.
    fn ligament(&self, index: usize, image: &Image, limit: f64) -> f64 {
        let (mine, other) = (self.outline(index), self.outline(image.hole));
        if image.turns == 0.0 {
            return clearance_within(&mine, &other, limit);
        }
        let turned = self.row.holes[image.hole].shape.turned(image.turns);
        clearance_within(&mine, &other.moved(turned), limit)
    }
}

/// The least that outlines can be apart, in millimetres.
#[derive(Clone, Copy)]
struct Least {
    /// This and all that come after it.
    any: f64,
    of_this: f64,
}
