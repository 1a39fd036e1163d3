//! How deep a tube's wall reaches into what is in its way.

use std::f64::consts::{PI, TAU};

use glam::DVec3;

use super::cut_tube::CutTube;

/// Samples along the wall from cut to cut.
const ALONG: usize = 48;

/// Samples to either side of where the two meet, round the wall and along it, up to where the others are.
const BESIDE: i32 = 8;

/// The deepest samples from which the deepest place is searched for: there may be several hollows.
const STARTS: usize = 6;

/// Samples within so many steps of a deeper one lead to the same place.
const SAME_HOLLOW: f64 = 3.5;

/// So far to either side of a place, in steps between samples, a deeper one is searched for.
const WINDOW: f64 = 1.5;

/// So often the search goes on from the deeper place that it found at the window's edge.
const MOST_WINDOWS: usize = 12;

/// The window in which the deepest place of all is searched for again, with more rounds.
const LAST_WINDOW: f64 = 0.25;

/// Rounds of the golden section, first and last: what is left of a window is 0.618 to their power.
const ROUNDS: [usize; 2] = [14, 30];

/// A place of the wall: the azimuth in radians, then from cut to cut and from bore to skin, 0 to 1.
type Spot = [f64; 3];

/// The deepest place of the wall, and how deep it lies in millimetres; `depth` is `None` outside of what it lies in. None
/// where no sample finds a place inside: then it is less deep than the samples are apart.
///
/// A body is looked into about `meeting`, too, where the two meet: an overlap may be smaller than what is between samples. A
/// tube isn't: a wall that only comes past its tip lies far inside its skin, though the tip reaches in by little.
pub(in crate::plan) fn deepest(
    tube: &CutTube,
    depth: &impl Fn(DVec3) -> Option<f64>,
    meeting: Option<DVec3>,
) -> Option<(f64, DVec3)> {
    let mut samples: Vec<(f64, Spot)> = Vec::new();
    let mut sample = |spot: Spot, place: DVec3| samples.extend(depth(place).map(|depth| (depth, spot)));
    for slice in tube.slices() {
        for step in 0..=ALONG {
            let along = step as f64 / ALONG as f64;
            for across in [0.0, 1.0] {
                sample([slice.azimuth, along, across], slice.place(along, across));
            }
        }
    }
    if let Some(meeting) = meeting {
        sample_about(tube, meeting, &mut sample);
    }
    let search = Search { tube, depth };
    let found = starts(tube, samples).into_iter();
    let deepest = found
        .map(|start| search.climb(start))
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (found, [azimuth, along, across]) = search.close(deepest);
    Some((found, tube.slice(azimuth).place(along, across)))
}

/// Looks at the wall closely about the place where it is nearest to `meeting`.
fn sample_about(tube: &CutTube, meeting: DVec3, sample: &mut impl FnMut(Spot, DVec3)) {
    let (azimuth, along) = nearest(tube, meeting);
    let [round_step, along_step, _] = steps(tube);
    let beside = |step: i32| f64::from(step) / f64::from(BESIDE);
    for turn in -BESIDE..=BESIDE {
        let slice = tube.slice(azimuth + beside(turn) * round_step);
        for step in -BESIDE..=BESIDE {
            let along = (along + beside(step) * along_step).clamp(0.0, 1.0);
            for across in [0.0, 0.5, 1.0] {
                sample([slice.azimuth, along, across], slice.place(along, across));
            }
        }
    }
}

/// How far samples are apart.
fn steps(tube: &CutTube) -> [f64; 3] {
    [TAU / tube.slices().len() as f64, 1.0 / ALONG as f64, 0.5]
}

/// The azimuth of the slice whose skin is nearest to a place, and how far along it that is.
fn nearest(tube: &CutTube, place: DVec3) -> (f64, f64) {
    let on_slices = tube.slices().iter().map(|slice| {
        let [_, near, far, _] = slice.corners;
        let run = far - near;
        let along = ((place - near).dot(run) / run.length_squared()).clamp(0.0, 1.0);
        ((near + along * run - place).length(), (slice.azimuth, along))
    });
    let nearest = on_slices.min_by(|a, b| a.0.total_cmp(&b.0));
    nearest.map_or((0.0, 0.0), |(_, spot)| spot)
}

/// The deepest samples, no two in the same hollow.
fn starts(tube: &CutTube, mut samples: Vec<(f64, Spot)>) -> Vec<(f64, Spot)> {
    samples.sort_by(|a, b| b.0.total_cmp(&a.0));
    let [round_step, along_step, _] = steps(tube);
    let mut starts: Vec<(f64, Spot)> = Vec::new();
    for (depth, spot) in samples {
        if starts.len() == STARTS {
            break;
        }
        let is_beside = |&(_, other): &(f64, Spot)| {
            let turn = (spot[0] - other[0] + PI).rem_euclid(TAU) - PI;
            turn.abs() < SAME_HOLLOW * round_step && (spot[1] - other[1]).abs() < SAME_HOLLOW * along_step
        };
        if !starts.iter().any(is_beside) {
            starts.push((depth, spot));
        }
    }
    starts
}

/// What the wall of `tube` lies in is convex across a line, or nearly: along it the depth rises to one place and falls beyond.
/// Its highest place there may be a ridge, past which no step along one of the wall's three measures alone gets deeper, so
/// they are searched one within the other.
struct Search<'a, D> {
    tube: &'a CutTube,
    depth: &'a D,
}

impl<D: Fn(DVec3) -> Option<f64>> Search<'_, D> {
    /// From a place to the deepest one near it.
    fn climb(&self, (mut found, mut spot): (f64, Spot)) -> (f64, Spot) {
        for _ in 0..MOST_WINDOWS {
            let next = self.deepest_about(spot, WINDOW, ROUNDS[0], &[0.0, 0.5, 1.0]);
            if next.0 <= found {
                break;
            }
            let [round_step, along_step, _] = steps(self.tube);
            let is_at_the_edge = (next.1[0] - spot[0]).abs() > 0.9 * WINDOW * round_step
                || (next.1[1] - spot[1]).abs() > 0.9 * WINDOW * along_step;
            (found, spot) = next;
            if !is_at_the_edge {
                break;
            }
        }
        (found, spot)
    }

    /// The same more closely, and anywhere between bore and skin.
    fn close(&self, (found, spot): (f64, Spot)) -> (f64, Spot) {
        let across = |share: f64| self.deepest_about(spot, LAST_WINDOW, ROUNDS[0], &[share]).0;
        let (_, share) = highest(across, [0.0, 1.0], ROUNDS[0]);
        let next = self.deepest_about(spot, LAST_WINDOW, ROUNDS[1], &[0.0, share, 1.0]);
        if next.0 > found { next } else { (found, spot) }
    }

    /// The deepest place within so many steps of `spot`, at one of some shares of the way from bore to skin.
    fn deepest_about(&self, spot: Spot, window: f64, rounds: usize, shares: &[f64]) -> (f64, Spot) {
        let [round, along, _] = steps(self.tube).map(|step| window * step);
        let stretch = [(spot[1] - along).max(0.0), (spot[1] + along).min(1.0)];
        let of_slice = |azimuth: f64| {
            let slice = self.tube.slice(azimuth);
            let of_share = |share: &f64| {
                let depth = |along: f64| self.depth_or(slice.place(along, *share), along - spot[1]);
                let (found, along) = highest(depth, stretch, rounds);
                (found, [azimuth, along, *share])
            };
            let deepest = shares.iter().map(of_share).max_by(|a, b| a.0.total_cmp(&b.0));
            deepest.unwrap_or((f64::NEG_INFINITY, spot))
        };
        let depth = |azimuth: f64| match of_slice(azimuth).0 {
            found if found > 0.0 => found,
            _ => -(azimuth - spot[0]).abs(),
        };
        let (_, azimuth) = highest(depth, [spot[0] - round, spot[0] + round], rounds);
        of_slice(azimuth)
    }

    /// Outside it is the less the farther from where one came, so that a search finds back.
    fn depth_or(&self, place: DVec3, away: f64) -> f64 {
        (self.depth)(place).unwrap_or_else(|| -away.abs())
    }
}

/// The highest value of what rises to one place and falls beyond, and where that is: by golden section, the ends looked at too.
fn highest(f: impl Fn(f64) -> f64, [mut low, mut high]: [f64; 2], rounds: usize) -> (f64, f64) {
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let ends = [(f(low), low), (f(high), high)];
    let sample = |at: f64| (f(at), at);
    let mut below = sample(high - golden * (high - low));
    let mut above = sample(low + golden * (high - low));
    for _ in 0..rounds {
        if below.0 > above.0 {
            (high, above) = (above.1, below);
            below = sample(high - golden * (high - low));
        } else {
            (low, below) = (below.1, above);
            above = sample(low + golden * (high - low));
        }
    }
    let best = |a: (f64, f64), b: (f64, f64)| if b.0 > a.0 { b } else { a };
    ends.into_iter().fold(best(below, above), best)
}
