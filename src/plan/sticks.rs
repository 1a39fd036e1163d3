//! Which pieces from which stick: the fewest sticks.

use std::collections::BTreeSet;

/// Steps of the exact search before the best found so far is given.
const STEPS: usize = 400_000;

/// What is cut from one stick: indices of pieces, longest first.
pub type Stick = Vec<usize>;

/// A plan, and whether fewer sticks were shown to be impossible.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StickPlan {
    /// Each stick's pieces.
    pub sticks: Vec<Stick>,
    /// Whether no plan has fewer.
    pub is_proved: bool,
}

/// Cuts pieces of `lengths` from sticks of `stick`, each cut taking `kerf`; all in millimetres. A piece that ends where
/// the stick ends needs no cut there. `None` where a piece is longer than a stick.
///
/// From the lower bound up it is asked whether so many sticks are enough, which is found by filling one stick after the
/// other: the longest piece left, then others beside it, never wasting more than there is to waste (bin completion:
/// Korf, AAAI 2003). Exact for what a shop has; past a bounded number of steps the best plan found is given.
pub fn plan_sticks(lengths: &[f64], stick: f64, kerf: f64) -> Option<StickPlan> {
    planned(lengths, stick, kerf).map(|(plan, _)| plan)
}

/// The same with its work: how many sticks, thresholds and pieces were looked at.
fn planned(lengths: &[f64], stick: f64, kerf: f64) -> Option<(StickPlan, usize)> {
    let room = stick + kerf;
    if lengths.iter().any(|length| *length > stick) {
        return None;
    }
    let mut order: Vec<usize> = (0..lengths.len()).collect();
    order.sort_by(|&a, &b| lengths[b].total_cmp(&lengths[a]).then(a.cmp(&b)));
    let needs: Vec<f64> = order.iter().map(|&piece| lengths[piece] + kerf).collect();
    let (mut best, fitted) = best_fit(&needs, room);
    let (fewest, bounded) = lower_bound(&needs, room);
    let mut search = Search::new(&needs, room);
    for count in fewest..best.len() {
        if search.fills(count) {
            best = search.sticks();
            break;
        }
        if search.is_spent() {
            break;
        }
    }
    let sticks = best
        .iter()
        .map(|stick| stick.iter().map(|&place| order[place]).collect())
        .collect();
    let is_proved = !search.is_spent();
    Some((StickPlan { sticks, is_proved }, fitted + bounded + search.steps))
}

/// Each piece into the fullest stick with room; and how many sticks were looked at for it.
fn best_fit(needs: &[f64], room: f64) -> (Vec<Stick>, usize) {
    let (mut sticks, mut looked_at): (Vec<Stick>, usize) = (Vec::new(), 0);
    // What is used of each stick, and its number. Of numbers above 0 the bits are in their order.
    let mut used: BTreeSet<(u64, usize)> = BTreeSet::new();
    for (place, need) in needs.iter().enumerate() {
        let most = (room + SLACK - need).max(0.0).to_bits();
        let mut with_room = used.range(..=(most, usize::MAX)).inspect(|_| looked_at += 1);
        let fullest = with_room.next_back().copied();
        let (before, number) = fullest.unwrap_or((0, sticks.len()));
        used.remove(&(before, number));
        used.insert(((f64::from_bits(before) + need).to_bits(), number));
        if number == sticks.len() {
            sticks.push(Stick::new());
        }
        sticks[number].push(place);
    }
    (sticks, looked_at)
}

/// Rounding of sums must not send a piece that just fits to a new stick, in millimetres.
const SLACK: f64 = 1e-6;

/// Martello and Toth's second lower bound: pieces over half a stick need one each, whatever else fits beside them.
/// `needs` are longest first. And how many thresholds were tried.
fn lower_bound(needs: &[f64], room: f64) -> (usize, usize) {
    // The sum of those before each place.
    let mut sums = vec![0.0];
    for need in needs {
        sums.push(sums[sums.len() - 1] + need);
    }
    let longer_than = |limit: f64| needs.partition_point(|need| *need > limit);
    let large = longer_than(room / 2.0);
    let mut best = (sums[needs.len()] / room - 1e-9).ceil().max(0.0) as usize;
    let (thresholds, mut tried) = (needs[large..].iter().copied().chain([0.0]), 0);
    for small in thresholds {
        tried += 1;
        let alone = longer_than(room - small).min(large);
        let halves = large - alone;
        let not_less = large + needs[large..].partition_point(|need| *need >= small);
        let rest = sums[not_less] - sums[large];
        let left_beside = halves as f64 * room - (sums[large] - sums[alone]);
        let more = ((rest - left_beside) / room - 1e-9).ceil().max(0.0) as usize;
        best = best.max(large + more);
    }
    (best, tried)
}

/// Pieces of one length.
struct Kind {
    need: f64,
    /// Its first piece's place among all.
    first: usize,
    /// How many of it are in no stick yet.
    left: usize,
}

/// A piece that was put into a stick, and what to go back to where that leads nowhere.
struct Taken {
    kind: usize,
    /// The longest piece of a stick is put into it without another choice.
    is_longest: bool,
    before: Open,
}

/// The stick that is being filled.
#[derive(Clone, Copy)]
struct Open {
    /// What goes into it next is of this kind or a shorter one.
    from: usize,
    room: f64,
    /// The least of what was passed over though it would have fitted.
    passed: f64,
    /// What may be left over of this stick and those after it.
    waste: f64,
    /// Of longer kinds nothing is left.
    longest: usize,
}

/// One stick after the other is filled; what was decided is a list, not a chain of calls: a job has thousands of pieces.
struct Search {
    /// Longest first.
    kinds: Vec<Kind>,
    pieces: usize,
    all: f64,
    room: f64,
    taken: Vec<Taken>,
    steps: usize,
}

impl Search {
    fn new(needs: &[f64], room: f64) -> Self {
        let mut kinds: Vec<Kind> = Vec::new();
        for (first, &need) in needs.iter().enumerate() {
            match kinds.last_mut().filter(|kind| kind.need - need < SLACK) {
                Some(kind) => kind.left += 1,
                None => kinds.push(Kind { need, first, left: 1 }),
            }
        }
        Self {
            kinds,
            pieces: needs.len(),
            all: needs.iter().sum(),
            room,
            taken: Vec::new(),
            steps: 0,
        }
    }

    /// Whether it was given up.
    fn is_spent(&self) -> bool {
        self.steps >= STEPS
    }

    /// Whether all pieces go into `count` sticks.
    fn fills(&mut self, count: usize) -> bool {
        let mut open = self.begun(0, count as f64 * self.room - self.all);
        loop {
            self.steps += 1;
            if self.is_spent() {
                return false;
            }
            if let Some(kind) = self.next(&open) {
                open = self.take(kind, false, open);
                continue;
            }
            // Nothing more fits: the stick is done. Anything passed over that would still fit is tried elsewhere.
            if open.room <= open.waste + SLACK && open.passed > open.room + SLACK {
                if self.taken.len() == self.pieces {
                    return true;
                }
                open = self.begun(open.longest, open.waste - open.room);
                continue;
            }
            match self.back() {
                Some(before) => open = before,
                None => return false,
            }
        }
    }

    /// A new stick, with the longest piece that is left.
    fn begun(&mut self, from: usize, waste: f64) -> Open {
        let open = Open {
            from,
            room: self.room,
            passed: f64::INFINITY,
            waste,
            longest: from,
        };
        match self.first_left(from) {
            Some(longest) => self.take(longest, true, Open { longest, ..open }),
            None => open,
        }
    }

    fn take(&mut self, kind: usize, is_longest: bool, before: Open) -> Open {
        self.kinds[kind].left -= 1;
        self.taken.push(Taken {
            kind,
            is_longest,
            before,
        });
        Open {
            from: kind,
            room: before.room - self.kinds[kind].need,
            ..before
        }
    }

    /// The longest kind of which some are left, from one on.
    fn first_left(&mut self, from: usize) -> Option<usize> {
        let found = self.kinds[from..].iter().position(|kind| kind.left > 0);
        // Looking for it is work, too.
        self.steps += found.unwrap_or(self.kinds.len() - from) / 64;
        found.map(|passed| from + passed)
    }

    /// The longest piece that fits.
    fn next(&mut self, open: &Open) -> Option<usize> {
        let fits = self.kinds.partition_point(|kind| kind.need > open.room + SLACK);
        self.first_left(fits.max(open.from))
    }

    /// Takes the last piece out of its stick that needn't be there, for the stick to be filled without its kind.
    fn back(&mut self) -> Option<Open> {
        while let Some(Taken {
            kind,
            is_longest,
            before,
        }) = self.taken.pop()
        {
            self.kinds[kind].left += 1;
            if !is_longest {
                return Some(Open {
                    from: kind + 1,
                    passed: self.kinds[kind].need,
                    ..before
                });
            }
        }
        None
    }

    /// What was found.
    fn sticks(&self) -> Vec<Stick> {
        let mut next: Vec<usize> = self.kinds.iter().map(|kind| kind.first).collect();
        let mut sticks: Vec<Stick> = Vec::new();
        for taken in &self.taken {
            if taken.is_longest {
                sticks.push(Stick::new());
            }
            if let Some(stick) = sticks.last_mut() {
                stick.push(next[taken.kind]);
                next[taken.kind] += 1;
            }
        }
        sticks
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(lengths: &[f64], stick: f64, kerf: f64) -> usize {
        let plan = plan_sticks(lengths, stick, kerf).expect("it can be cut");
        let mut all: Vec<usize> = plan.sticks.concat();
        all.sort_unstable();
        assert_eq!(all, (0..lengths.len()).collect::<Vec<_>>(), "each piece once");
        for stick_pieces in &plan.sticks {
            let sum: f64 = stick_pieces.iter().map(|&piece| lengths[piece]).sum();
            assert!(sum + kerf * (stick_pieces.len() as f64 - 1.0) <= stick + 1e-6);
        }
        assert!(plan.is_proved);
        plan.sticks.len()
    }

    #[test]
    fn the_fewest_sticks_where_longest_first_needs_more() {
        // Three sticks filled to the last millimetre; longest first, each into the first with room, needs four.
        assert_eq!(
            count(&[55.0, 35.0, 10.0, 45.0, 30.0, 25.0, 45.0, 35.0, 20.0], 100.0, 0.0),
            3
        );
        // 20 triplets that each fill a stick, cut from known sticks (built so that the optimum is known).
        let triplets: Vec<f64> = (0..20)
            .flat_map(|k| {
                [
                    501.0 + f64::from(k),
                    260.0 - f64::from(k) / 2.0,
                    239.0 - f64::from(k) / 2.0,
                ]
            })
            .collect();
        assert_eq!(count(&triplets, 1000.0, 0.0), 20);
    }

    #[test]
    fn kerf_counts_between_pieces_and_not_after_the_last() {
        assert_eq!(count(&[499.0, 498.0], 1000.0, 3.0), 1);
        assert_eq!(count(&[499.0, 498.1], 1000.0, 3.0), 2);
        assert_eq!(count(&[], 1000.0, 3.0), 0);
        assert_eq!(plan_sticks(&[1000.5], 1000.0, 3.0), None);
    }

    /// Lengths of which hardly two are equal, and for which best fit needs more sticks than the bound.
    fn different(count: usize) -> Vec<f64> {
        (0..count)
            .map(|k| 900.0 + ((k * 7919) % 220_000) as f64 / 100.0)
            .collect()
    }

    #[test]
    fn thousands_of_pieces_need_no_deep_stack() {
        let plan = || plan_sticks(&different(20_000), 6000.0, 3.0).expect("it can be cut");
        let small = std::thread::Builder::new().stack_size(256 * 1024).spawn(plan);
        let plan = small.expect("a thread").join().expect("a plan");
        let mut all: Vec<usize> = plan.sticks.concat();
        all.sort_unstable();
        assert_eq!(all, (0..20_000).collect::<Vec<_>>(), "each piece once");
    }

    #[test]
    fn eight_times_as_many_pieces_are_no_more_than_eight_times_the_work() {
        let work = |lengths: &[f64]| planned(lengths, 6000.0, 3.0).expect("it can be cut").1;
        let equal = [5_000, 40_000].map(|count| work(&vec![409.3; count]));
        assert!(equal[0] > 5_000 && equal[1] <= 8 * equal[0], "{equal:?}");
        // The search is given up after a number of steps; each of its looks past what is left is a step, too.
        let different = [5_000, 40_000].map(|count| work(&different(count)));
        assert!(
            different[1] <= 8 * different[0] && different[1] < 2 * STEPS,
            "{different:?}"
        );
    }
}
