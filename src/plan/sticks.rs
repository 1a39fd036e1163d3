//! Which pieces from which stick: the fewest sticks.

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
    let room = stick + kerf;
    if lengths.iter().any(|length| *length > stick) {
        return None;
    }
    let mut order: Vec<usize> = (0..lengths.len()).collect();
    order.sort_by(|&a, &b| lengths[b].total_cmp(&lengths[a]).then(a.cmp(&b)));
    let needs: Vec<f64> = order.iter().map(|&piece| lengths[piece] + kerf).collect();
    let mut best = best_fit(&needs, room);
    let mut search = Search {
        needs: &needs,
        room,
        steps: 0,
    };
    let all: f64 = needs.iter().sum();
    for count in lower_bound(&needs, room)..best.len() {
        let mut sticks = Vec::new();
        if search.fill(
            &(0..needs.len()).collect::<Vec<_>>(),
            count as f64 * room - all,
            &mut sticks,
        ) {
            best = sticks;
            break;
        }
    }
    let sticks = best
        .iter()
        .map(|stick| stick.iter().map(|&place| order[place]).collect())
        .collect();
    Some(StickPlan {
        sticks,
        is_proved: search.steps < STEPS,
    })
}

/// Each piece into the fullest stick with room.
fn best_fit(needs: &[f64], room: f64) -> Vec<Stick> {
    let mut sticks: Vec<(f64, Stick)> = Vec::new();
    for (place, need) in needs.iter().enumerate() {
        let fullest = sticks
            .iter_mut()
            .filter(|(used, _)| used + need <= room + SLACK)
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match fullest {
            Some((used, stick)) => {
                *used += need;
                stick.push(place);
            }
            None => sticks.push((*need, vec![place])),
        }
    }
    sticks.into_iter().map(|(_, stick)| stick).collect()
}

/// Rounding of sums must not send a piece that just fits to a new stick, in millimetres.
const SLACK: f64 = 1e-6;

/// Martello and Toth's second lower bound: pieces over half a stick need one each, whatever else fits beside them.
fn lower_bound(needs: &[f64], room: f64) -> usize {
    let mut best = (needs.iter().sum::<f64>() / room - 1e-9).ceil().max(0.0) as usize;
    let thresholds = needs.iter().copied().filter(|need| *need <= room / 2.0).chain([0.0]);
    for small in thresholds {
        let alone = needs.iter().filter(|need| **need > room - small).count();
        let halves: Vec<f64> = needs
            .iter()
            .copied()
            .filter(|need| *need <= room - small && *need > room / 2.0)
            .collect();
        let rest: f64 = needs
            .iter()
            .filter(|need| **need <= room / 2.0 && **need >= small)
            .sum();
        let left_beside = halves.len() as f64 * room - halves.iter().sum::<f64>();
        let more = ((rest - left_beside) / room - 1e-9).ceil().max(0.0) as usize;
        best = best.max(alone + halves.len() + more);
    }
    best
}

struct Search<'a> {
    needs: &'a [f64],
    room: f64,
    steps: usize,
}

impl Search<'_> {
    /// Whether the pieces `left`, longest first, go into sticks with no more than `waste` left over in all.
    fn fill(&mut self, left: &[usize], waste: f64, sticks: &mut Vec<Stick>) -> bool {
        let Some((&longest, others)) = left.split_first() else {
            return true;
        };
        let (room, mut stick) = (self.room - self.needs[longest], vec![longest]);
        self.beside(others, room, waste, &mut stick, &mut Vec::new(), sticks)
    }

    /// Puts more of `others` beside what is in `stick`, which has `room` left; those `passed` over stay for other sticks.
    /// Where it fails, `stick` and `passed` are as they were.
    fn beside(
        &mut self,
        others: &[usize],
        room: f64,
        waste: f64,
        stick: &mut Stick,
        passed: &mut Vec<usize>,
        sticks: &mut Vec<Stick>,
    ) -> bool {
        self.steps += 1;
        if self.steps >= STEPS {
            return false;
        }
        let next = others.iter().position(|&piece| self.needs[piece] <= room + SLACK);
        let Some(next) = next else {
            // Nothing more fits: the stick is done. Anything passed over that would still fit is tried elsewhere.
            if room > waste + SLACK || passed.iter().any(|&piece| self.needs[piece] <= room + SLACK) {
                return false;
            }
            let mut left = [passed.as_slice(), others].concat();
            left.sort_unstable();
            sticks.push(stick.clone());
            if self.fill(&left, waste - room, sticks) {
                return true;
            }
            sticks.pop();
            return false;
        };
        let (piece, before) = (others[next], passed.len());
        passed.extend(&others[..next]);
        stick.push(piece);
        let room_beside = room - self.needs[piece];
        if self.beside(&others[next + 1..], room_beside, waste, stick, passed, sticks) {
            return true;
        }
        stick.pop();
        // Equal pieces are all alike: passing over one is passing over all.
        let like = others[next..]
            .iter()
            .take_while(|&&other| (self.needs[other] - self.needs[piece]).abs() < SLACK)
            .count();
        passed.extend(&others[next..next + like]);
        let is_full = self.beside(&others[next + like..], room, waste, stick, passed, sticks);
        passed.truncate(before);
        is_full
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
}
