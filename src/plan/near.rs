//! Which boxes in space overlap, found in boxes within boxes: of many things only those near each other are held against
//! each other.

use std::collections::HashMap;
use std::ops::Range;

use glam::DVec3;

/// The lower and the upper corner, in millimetres.
pub(super) type Bounds = (DVec3, DVec3);

/// A box that holds no more boxes than this isn't parted.
const FEW: usize = 4;

/// Boxes in boxes. Each belongs to somebody, a tube for its legs, who may have had enough.
pub(super) struct Boxes {
    bounds: Vec<Bounds>,
    owners: Vec<usize>,
    /// The boxes in the order of the tree.
    order: Vec<usize>,
    nodes: Vec<Node>,
    /// For each box the node that it is in.
    node_of: Vec<usize>,
}

struct Node {
    bounds: Bounds,
    parent: Option<usize>,
    /// What it holds, in `order`.
    holds: Range<usize>,
    /// The two that it is parted into; none where it holds few.
    parts: Option<[usize; 2]>,
    /// The highest number of a box in it.
    last: usize,
    /// How many of its boxes' owners are not yet told of, and how many have not had enough.
    untold: usize,
    open: usize,
}

/// With how many others every owner is told.
pub(super) struct Told {
    counts: Vec<usize>,
    /// How often two owners are told together, the lower number first: their boxes may meet at several places.
    pairs: HashMap<[usize; 2], usize>,
    /// So many others are enough, and so many places of two.
    most: usize,
}

impl Told {
    pub(super) fn new(owners: usize, most: usize) -> Self {
        Self {
            counts: vec![0; owners],
            pairs: HashMap::new(),
            most,
        }
    }

    fn is_untold(&self, owner: usize) -> bool {
        self.counts[owner] == 0
    }

    fn is_open(&self, owner: usize) -> bool {
        self.counts[owner] < self.most
    }

    /// Two owners who are both told of are told of again only where neither has had enough.
    fn is_wanted(&self, one: usize, other: usize) -> bool {
        let is_wanted = self.is_untold(one) || self.is_untold(other) || self.is_open(one) && self.is_open(other);
        is_wanted
            && self
                .pairs
                .get(&sorted(one, other))
                .is_none_or(|times| *times < self.most)
    }

    /// Whether the two are told together for the first time.
    fn pair(&mut self, one: usize, other: usize) -> bool {
        let times = self.pairs.entry(sorted(one, other)).or_insert(0);
        *times += 1;
        *times == 1
    }
}

impl Boxes {
    /// Boxes with their owners; the boxes of one owner follow each other.
    pub(super) fn new(bounds: Vec<Bounds>, owners: Vec<usize>) -> Self {
        let count = bounds.len();
        let mut boxes = Self {
            order: (0..count).collect(),
            node_of: vec![0; count],
            nodes: Vec::new(),
            bounds,
            owners,
        };
        if count > 0 {
            boxes.part(0..count, None);
        }
        boxes
    }

    /// Makes a node of some boxes, halved along the way in which their middles are strewn farthest.
    fn part(&mut self, holds: Range<usize>, parent: Option<usize>) -> usize {
        let held = &mut self.order[holds.clone()];
        let bounds = held.iter().map(|number| self.bounds[*number]);
        let bounds = bounds.fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |all, one| {
            (all.0.min(one.0), all.1.max(one.1))
        });
        let node = self.nodes.len();
        self.nodes.push(Node {
            bounds,
            parent,
            parts: None,
            last: held.iter().copied().max().unwrap_or(0),
            untold: held.len(),
            open: held.len(),
            holds: holds.clone(),
        });
        if held.len() <= FEW {
            held.iter().for_each(|number| self.node_of[*number] = node);
            return node;
        }
        let middle = |number: usize| self.bounds[number].0 + self.bounds[number].1;
        let strewn = held.iter().fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |all, number| {
            (all.0.min(middle(*number)), all.1.max(middle(*number)))
        });
        let along = (strewn.1 - strewn.0).max_position();
        let half = held.len() / 2;
        held.select_nth_unstable_by(half, |a, b| {
            middle(*a)[along].total_cmp(&middle(*b)[along]).then(a.cmp(b))
        });
        let between = holds.start + half;
        let parts = [holds.start..between, between..holds.end].map(|holds| self.part(holds, Some(node)));
        self.nodes[node].parts = Some(parts);
        node
    }

    /// Gives each pair of boxes that overlap and whose owners want to be told of, the lower number first. `is_told` says
    /// whether there was anything to tell.
    pub(super) fn each_pair(mut self, told: &mut Told, mut is_told: impl FnMut(usize, usize) -> bool) {
        let mut ahead = Vec::new();
        for number in 0..self.bounds.len() {
            ahead.clear();
            ahead.extend((!self.nodes.is_empty()).then_some(0));
            while let Some(node) = ahead.pop() {
                if !self.is_worth_a_look(number, &self.nodes[node], told) {
                    continue;
                }
                if let Some([first, second]) = self.nodes[node].parts {
                    ahead.extend([second, first]);
                    continue;
                }
                for place in self.nodes[node].holds.clone() {
                    let other = self.order[place];
                    let owners = [self.owners[number], self.owners[other]];
                    let is_near = other > number && overlap(self.bounds[number], self.bounds[other]);
                    if is_near
                        && told.is_wanted(owners[0], owners[1])
                        && is_told(number, other)
                        && told.pair(owners[0], owners[1])
                    {
                        owners.into_iter().for_each(|owner| self.tell(owner, told));
                    }
                }
            }
        }
    }

    fn is_worth_a_look(&self, number: usize, node: &Node, told: &Told) -> bool {
        let owner = self.owners[number];
        let is_wanted = told.is_untold(owner) || node.untold > 0 || node.open > 0 && told.is_open(owner);
        is_wanted && node.last > number && overlap(self.bounds[number], node.bounds)
    }

    fn tell(&mut self, owner: usize, told: &mut Told) {
        let before = (told.is_untold(owner), told.is_open(owner));
        told.counts[owner] += 1;
        let after = (told.is_untold(owner), told.is_open(owner));
        if before == after {
            return;
        }
        let own = self.owners.partition_point(|other| *other < owner);
        for number in (own..self.owners.len()).take_while(|number| self.owners[*number] == owner) {
            let mut node = Some(self.node_of[number]);
            while let Some(above) = node {
                let above = &mut self.nodes[above];
                above.untold -= usize::from(before.0 != after.0);
                above.open -= usize::from(before.1 != after.1);
                node = above.parent;
            }
        }
    }
}

fn sorted(one: usize, other: usize) -> [usize; 2] {
    [one.min(other), one.max(other)]
}

fn overlap(one: Bounds, other: Bounds) -> bool {
    one.0.cmple(other.1).all() && one.1.cmpge(other.0).all()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Cubes of 1 to 3 mm strewn over 20 mm, from a linear congruential generator (Knuth, MMIX).
    fn cubes(count: usize) -> Vec<Bounds> {
        let mut state = 7_u64;
        let mut random = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 40) as f64 / (1_u64 << 24) as f64
        };
        (0..count)
            .map(|_| {
                let low = 20.0 * DVec3::new(random(), random(), random());
                (low, low + 1.0 + 2.0 * random())
            })
            .collect()
    }

    fn found(bounds: &[Bounds], most: usize) -> Vec<(usize, usize)> {
        let mut pairs = Vec::new();
        let boxes = Boxes::new(bounds.to_vec(), (0..bounds.len()).collect());
        boxes.each_pair(&mut Told::new(bounds.len(), most), |a, b| {
            pairs.push((a, b));
            true
        });
        pairs.sort_unstable();
        pairs
    }

    #[test]
    fn every_pair_is_found_that_all_against_all_finds() {
        let bounds = cubes(400);
        let pairs = (0..bounds.len()).flat_map(|a| (a + 1..bounds.len()).map(move |b| (a, b)));
        let all: Vec<(usize, usize)> = pairs.filter(|(a, b)| overlap(bounds[*a], bounds[*b])).collect();
        assert!(all.len() > 500, "{}", all.len());
        assert_eq!(found(&bounds, usize::MAX), all);
        assert_eq!(found(&[], 8), []);
    }

    #[test]
    fn two_that_meet_at_many_places_leave_room_for_others() {
        // Three tubes of twelve legs each, all in one place.
        let legs = vec![(DVec3::ZERO, DVec3::ONE); 36];
        let mut met = std::collections::BTreeMap::new();
        Boxes::new(legs, (0..36).map(|leg| leg / 12).collect()).each_pair(&mut Told::new(3, 8), |a, b| {
            if a / 12 == b / 12 {
                return false;
            }
            *met.entry((a / 12, b / 12)).or_insert(0) += 1;
            true
        });
        assert_eq!(met, [((0, 1), 8), ((0, 2), 8), ((1, 2), 8)].into());
    }

    #[test]
    fn a_pile_is_told_in_few_pairs_and_nobody_is_left_out() {
        let pile = vec![(DVec3::ZERO, DVec3::ONE); 3000];
        let pairs = found(&pile, 8);
        assert!(pairs.len() < 8 * pile.len(), "{}", pairs.len());
        let mut is_told = vec![false; pile.len()];
        pairs
            .iter()
            .for_each(|(a, b)| (is_told[*a], is_told[*b]) = (true, true));
        assert!(is_told.iter().all(|is_told| *is_told));
    }
}
