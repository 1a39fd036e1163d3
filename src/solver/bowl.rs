//! The true seat of flat cuts as a bowl, and lines over it.
//!
//! Seen from the side, each flat cut is a straight line, and the tube ends at the highest of them. With the slope of the first
//! cut taken off, the first cut is level. The seat is then a bowl over y: along the bore it is convex, and from there to the
//! crown lines it stays as high as at the bore's edge, along which nothing of the wall is nearer to what lies under it. An end
//! that is pushed in until it touches is nowhere under the bowl, from one crown line to the other; the largest gap is how far
//! it is over the bowl along the bore.

use super::line::Lines;
use crate::job::End;

/// Places along the bore at which the bowl is known; between them it is straight.
const PLACES: usize = 1200;

/// The height over the first cut's slope at y = 0, and the slope.
#[derive(Clone, Copy)]
pub(super) struct Chord {
    pub(super) height: f64,
    pub(super) slope: f64,
}

impl Chord {
    pub(super) fn at(&self, y: f64) -> f64 {
        self.height + self.slope * y
    }
}

/// The true seat along the bore's edge, over the slope of the first cut, from its lowest place up: convex.
pub(super) struct Bowl {
    bore: f64,
    pub(super) radius: f64,
    step: f64,
    /// Evenly from y = -bore to bore.
    heights: Vec<f64>,
}

impl Bowl {
    pub(super) fn new(end: &End, lean: f64) -> Self {
        let (bore, radius) = (end.tube.bore_radius(), end.tube.radius());
        let lines = Lines::at_the_body(&end.frame, end.landing.as_ref());
        let step = 2.0 * bore / PLACES as f64;
        let mut heights: Vec<f64> = (0..=PLACES)
            .map(|place| {
                let y = place as f64 * step - bore;
                let wall = end.tube.wall_line((y / bore).clamp(-1.0, 1.0).acos());
                lines.through(&wall).meet(bore).map_or(f64::NAN, |hit| hit.t) - lean * y
            })
            .collect();
        let lowest = heights.iter().copied().fold(f64::MAX, f64::min);
        heights.iter_mut().for_each(|height| *height -= lowest);
        Self {
            bore,
            radius,
            step,
            heights,
        }
    }

    fn y(&self, place: usize) -> f64 {
        place as f64 * self.step - self.bore
    }

    fn slope_after(&self, place: usize) -> f64 {
        (self.heights[place + 1] - self.heights[place]) / self.step
    }

    /// Beyond the bore it is as high as at its edge.
    pub(super) fn height(&self, y: f64) -> f64 {
        let along = ((y + self.bore) / self.step).clamp(0.0, PLACES as f64);
        let before = (along as usize).min(PLACES - 1);
        self.heights[before] + (along - before as f64) * (self.heights[before + 1] - self.heights[before])
    }

    /// The first place from `from` on for which it is so; from there on it is so. The last where it never is.
    fn first(from: usize, is_so: impl Fn(usize) -> bool) -> usize {
        let (mut low, mut high) = (from, PLACES);
        while low < high {
            let middle = usize::midpoint(low, high);
            if is_so(middle) { high = middle } else { low = middle + 1 }
        }
        low
    }

    /// The place at which a line of `slope` under the bowl touches it.
    fn touched(&self, slope: f64) -> usize {
        Self::first(0, |place| place < PLACES && self.slope_after(place) >= slope)
    }

    /// The steepest slope of a line that is not under the bowl at `y` and beside it, and nowhere over bowl + `gap`.
    pub(super) fn steepest_from(&self, y: f64, gap: f64) -> f64 {
        let steepest = self.tangent_from(y, gap);
        if y < -self.bore && steepest < 0.0 {
            // It falls towards the bore's edge, where the bowl is as high as here.
            return self.tangent_from(-self.bore, gap);
        }
        steepest
    }

    /// The slope of the line from the bowl at `y` that touches bowl + `gap` farther right; any slope where there is none.
    fn tangent_from(&self, y: f64, gap: f64) -> f64 {
        let first = ((y + self.bore) / self.step + 1e-9).floor() + 1.0;
        if first > PLACES as f64 {
            return f64::INFINITY;
        }
        let here = self.height(y);
        let slope_to = |place: usize| (self.heights[place] + gap - here) / (self.y(place) - y);
        let place = Self::first(first.max(0.0) as usize, |place| {
            place < PLACES && self.slope_after(place) >= slope_to(place)
        });
        slope_to(place)
    }

    /// The highest line of `slope` that is nowhere over bowl + `above`.
    pub(super) fn highest(&self, slope: f64, above: f64) -> Chord {
        let place = self.touched(slope);
        Chord {
            height: self.heights[place] + above - slope * self.y(place),
            slope,
        }
    }

    /// How far to the right the highest line of `slope` under bowl + `gap` is above the bowl.
    pub(super) fn reach(&self, slope: f64, gap: f64) -> f64 {
        let line = self.highest(slope, gap);
        let over = |place: usize| line.at(self.y(place)) - self.heights[place];
        if over(PLACES) >= 0.0 {
            // Beyond the bore the bowl is level.
            let beyond = if slope < 0.0 {
                over(PLACES) / -slope
            } else {
                f64::INFINITY
            };
            return self.radius.min(self.bore + beyond);
        }
        let after = Self::first(self.touched(slope) + 1, |place| over(place) < 0.0);
        let (before, beyond) = (over(after - 1), -over(after));
        self.y(after - 1) + self.step * before / (before + beyond)
    }

    /// How deep it is.
    pub(super) fn depth(&self) -> f64 {
        self.heights.iter().copied().fold(0.0, f64::max)
    }

    /// How steeply a line may fall, at most, that ends level with the first cut at the front's crown line and is nowhere over
    /// bowl + `above`.
    pub(super) fn steepest_fall(&self, above: f64) -> f64 {
        let places = (0..=PLACES).filter(|&place| self.y(place) < self.radius);
        let fall = places.map(|place| (self.heights[place] + above) / (self.radius - self.y(place)));
        fall.fold(f64::INFINITY, f64::min)
    }

    /// How far a line of `slope` through the middle, at the height 0, is over the bowl at most.
    pub(super) fn rise_of(&self, slope: f64) -> f64 {
        -self.highest(slope, 0.0).height
    }

    /// How far the highest of `lines` is over the bowl where it is least so; below 0 where it is under it.
    ///
    /// Over a convex bowl a straight line is nearest at an end of its stretch.
    pub(super) fn least_over(&self, lines: &[Chord]) -> f64 {
        let over = |y: f64| lines.iter().map(|line| line.at(y)).fold(f64::MIN, f64::max) - self.height(y);
        let edges = [-self.radius, -self.bore, self.bore, self.radius].map(over);
        let mut least = edges.into_iter().fold(f64::MAX, f64::min);
        for (index, one) in lines.iter().enumerate() {
            for other in &lines[index + 1..] {
                let meet = (other.height - one.height) / (one.slope - other.slope);
                if meet.abs() < self.radius {
                    least = least.min(over(meet));
                }
            }
        }
        least
    }
}
