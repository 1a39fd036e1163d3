//! Chords over a convex curve, none higher above it than can be helped.
//!
//! A faceted end stands over the true seat as chords over a curve: neighbouring facets meet on the seat
//! and the gap is largest between. With all of those gaps equal no other chords do better.

/// One side of the seat, from its lowest place outwards: y from 0 to the radius, and how much higher
/// than there it is, both in millimetres.
pub(super) struct Relief {
    /// Evenly spaced y, rising, from 0.
    pub(super) step: f64,
    /// The height at each.
    pub(super) heights: Vec<f64>,
}

/// A straight line: the height at the outer end, and the slope there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Chord {
    pub(super) at_end: f64,
    pub(super) slope: f64,
}

impl Relief {
    fn y(&self, index: usize) -> f64 {
        self.step * index as f64
    }

    fn slope(&self, from: usize, to: usize) -> f64 {
        (self.heights[to] - self.heights[from]) / (self.y(to) - self.y(from))
    }

    /// How high the chord stands over the curve at most.
    fn rise(&self, from: usize, to: usize) -> f64 {
        let slope = self.slope(from, to);
        (from..=to)
            .map(|at| self.heights[from] + slope * (self.y(at) - self.y(from)) - self.heights[at])
            .fold(0.0, f64::max)
    }

    /// The farthest place that a chord from `from` reaches without rising over `gap`.
    fn reach(&self, from: usize, gap: f64) -> usize {
        let (mut low, mut high) = (from + 1, self.heights.len() - 1);
        if self.rise(from, high) <= gap {
            return high;
        }
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            if self.rise(from, middle) <= gap {
                low = middle
            } else {
                high = middle
            }
        }
        low
    }

    /// At most `count` chords beyond a level one, each rising at most `gap`, from the inner one outwards;
    /// `None` where they don't reach the end.
    pub(super) fn chords(&self, count: usize, gap: f64) -> Option<Vec<Chord>> {
        let end = self.heights.len() - 1;
        let mut from = self.heights.iter().rposition(|height| *height <= gap)?.min(end - 1);
        let mut chords = Vec::new();
        while from < end && chords.len() < count {
            let to = self.reach(from, gap);
            let slope = self.slope(from, to);
            chords.push(Chord {
                at_end: self.heights[from] + slope * (self.y(end) - self.y(from)),
                slope,
            });
            from = to;
        }
        (from == end).then_some(chords)
    }
}

/// The smallest gap with which `count` chords reach the end of both sides, and the chords of each.
pub(super) fn level(sides: [&Relief; 2], count: usize) -> (f64, [Vec<Chord>; 2]) {
    let highest = sides.iter().flat_map(|side| &side.heights).copied().fold(0.0, f64::max);
    let both = |gap: f64| Some([sides[0].chords(count, gap)?, sides[1].chords(count, gap)?]);
    let (mut low, mut high) = (0.0, highest.max(1e-9));
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if both(middle).is_some() {
            high = middle
        } else {
            low = middle
        }
    }
    (high, both(high).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chords_over_a_parabola_have_a_gap_that_falls_with_the_square_of_their_number() {
        // Over y^2 / 2 a chord of length l rises l^2 / 8; the level one reaches both ways, half of it here.
        let side = Relief {
            step: 0.001,
            heights: (0..=1000)
                .map(|index| (0.001 * f64::from(index)).powi(2) / 2.0)
                .collect(),
        };
        for count in 1..4_u32 {
            let (gap, chords) = level([&side, &side], count as usize);
            let chord = 1.0 / (f64::from(count) + 0.5);
            assert!((gap - chord * chord / 8.0).abs() < 2e-4, "{count}: {gap}");
            assert_eq!(chords[0].len(), count as usize);
        }
    }
}
