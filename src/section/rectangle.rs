//! A rectangle with rounded corners: square and rectangular hollow sections, and cans folded from sheet.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use glam::{DVec2, DVec3};

use super::round::crossings;
use super::{Profile, Section, WallLine};

/// Places on the girth nearer to each other than this are one, in millimetres.
const SAME: f64 = 1e-9;

/// Four flat sides about the axis, and four equal corners.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    /// From the left side to the right one, in millimetres, above 0: front and back are this wide.
    pub width: f64,
    /// From the front to the back, in millimetres, above 0: the right and left sides are this wide.
    pub height: f64,
    /// Outside radius of the corners in millimetres, from 0 (sharp) to half the lesser of both.
    pub corner: f64,
}

/// A quarter of the skin, from the middle of one side to the middle of the next, seen from its own first side.
struct Quarter {
    /// Which way its first side faces, in radians from the front to the right.
    facing: f64,
    /// From the axis out to its first side.
    ahead: f64,
    /// Of its first side, from the middle to where the corner begins.
    first: f64,
    /// Of its second side, from where the corner ends to the middle.
    second: f64,
}

impl Rectangle {
    /// The quarter of an azimuth, and how far round the skin it is from the quarter's beginning.
    fn quarter_at(&self, azimuth: f64) -> (Quarter, f64) {
        let turns = azimuth.rem_euclid(TAU) / FRAC_PI_2;
        let index = turns.floor().min(3.0);
        (self.quarter(index as u8), (turns - index) * self.girth() / 4.0)
    }

    fn quarter(&self, index: u8) -> Quarter {
        let (height, width) = (self.height / 2.0, self.width / 2.0);
        let (ahead, aside) = if index.is_multiple_of(2) {
            (height, width)
        } else {
            (width, height)
        };
        Quarter {
            facing: f64::from(index) * FRAC_PI_2,
            ahead,
            first: aside - self.corner,
            second: ahead - self.corner,
        }
    }

    /// The azimuth of a place so far along a quarter of the skin, in millimetres.
    fn azimuth_in(&self, index: u8, along: f64) -> f64 {
        f64::from(index) * FRAC_PI_2 + along * TAU / self.girth()
    }

    /// Along the skin round one corner.
    fn bend(&self) -> f64 {
        FRAC_PI_2 * self.corner
    }

    /// The middles of the corners' arcs are this far from the axis, towards the front and to the right.
    fn centre(&self) -> DVec2 {
        DVec2::new(self.height / 2.0 - self.corner, self.width / 2.0 - self.corner)
    }

    /// The line of a flat side `off` millimetres beside its middle, `to_corner` from where the corner begins, walked
    /// towards that corner where `sign` is 1.
    fn on_side(&self, (facing, out): (f64, f64), off: f64, to_corner: f64, sign: f64, wall: f64) -> WallLine {
        let gliding = self.girth() / TAU;
        let to_bisector = self.corner + to_corner;
        let (depth, inner_rise) = if to_bisector < wall {
            (to_bisector, sign * gliding)
        } else {
            (wall, 0.0)
        };
        WallLine {
            origin: turned(DVec2::new(0.0, off), facing),
            facing,
            inner: out - depth,
            outer: out,
            gliding,
            turning: 0.0,
            inner_rise,
        }
    }
}

/// A place seen from a side that faces `facing`, as seen from the front. Quarter turns are exact.
fn turned(place: DVec2, facing: f64) -> DVec2 {
    match (facing / FRAC_PI_2).round() as i64 {
        0 => place,
        1 => DVec2::new(-place.y, place.x),
        2 => -place,
        _ => DVec2::new(place.y, -place.x),
    }
}

impl Profile for Rectangle {
    fn girth(&self) -> f64 {
        2.0 * (self.width + self.height) - (8.0 - TAU) * self.corner
    }

    fn wall_area(&self, wall: f64) -> f64 {
        let inside = |width: f64, height: f64, corner: f64| width * height - (4.0 - PI) * corner.powi(2);
        inside(self.width, self.height, self.corner)
            - inside(
                self.width - 2.0 * wall,
                self.height - 2.0 * wall,
                (self.corner - wall).max(0.0),
            )
    }

    fn wall_line(&self, azimuth: f64, wall: f64) -> WallLine {
        let (quarter, along) = self.quarter_at(azimuth);
        let (bend, past_first) = (self.bend(), along - quarter.first);
        if past_first <= 0.0 {
            let side = (quarter.facing, quarter.ahead);
            return self.on_side(side, along, -past_first, 1.0, wall);
        }
        if past_first >= bend {
            // Before the middle of the next side.
            let (next, past_bend) = ((quarter.facing + FRAC_PI_2) % TAU, past_first - bend);
            let side = (next, quarter.first + self.corner);
            return self.on_side(side, past_bend - quarter.second, past_bend, -1.0, wall);
        }
        WallLine {
            origin: turned(DVec2::new(quarter.second, quarter.first), quarter.facing),
            facing: quarter.facing + past_first / self.corner,
            inner: (self.corner - wall).max(0.0),
            outer: self.corner,
            gliding: 0.0,
            turning: self.girth() / TAU / self.corner,
            inner_rise: 0.0,
        }
    }

    fn joins(&self, wall: f64) -> Vec<f64> {
        let mut joins = Vec::new();
        for index in 0..4 {
            let Quarter { first, second, .. } = self.quarter(index);
            let clipped = (wall - self.corner).max(0.0);
            let end = first + self.bend();
            let mut last = -1.0;
            for along in [first - clipped, first, end, end + clipped] {
                // A corner that is as wide as its side begins at the side's middle, where the quarter before ends.
                let is_new = along > last + SAME && along < end + second - SAME;
                if is_new {
                    joins.push(self.azimuth_in(index, along));
                    last = along;
                }
            }
        }
        joins
    }

    fn folds(&self) -> Vec<f64> {
        let middle = |index: u8| self.azimuth_in(index, self.quarter(index).first + self.bend() / 2.0);
        (0..4).map(middle).collect()
    }

    fn bends(&self) -> Vec<f64> {
        let bend = self.bend();
        if bend <= 0.0 {
            return Vec::new();
        }
        let ends = |index: u8| {
            let first = self.quarter(index).first;
            [first, first + bend].map(|along| self.azimuth_in(index, along))
        };
        (0..4).flat_map(ends).collect()
    }

    fn reach_towards(&self, way: DVec2) -> f64 {
        self.centre().dot(way.abs()) + self.corner * way.length()
    }

    fn reach(&self) -> f64 {
        self.centre().length() + self.corner
    }

    fn grown(&self, by: f64) -> Section {
        Section::Rectangle(Self {
            width: self.width + 2.0 * by,
            height: self.height + 2.0 * by,
            corner: (self.corner + by).max(0.0),
        })
    }

    fn outside_by(&self, across: DVec3, front: DVec3, right: DVec3) -> f64 {
        let beyond = DVec2::new(across.dot(front), across.dot(right)).abs() - self.centre();
        beyond.max(DVec2::ZERO).length() + beyond.max_element().min(0.0) - self.corner
    }

    fn crossings(&self, start: DVec2, way: DVec2) -> Option<[f64; 2]> {
        let (half, centre) = (DVec2::new(self.height, self.width) / 2.0, self.centre());
        let mut found = Vec::new();
        for sign in [-1.0, 1.0] {
            let front = (sign * half.x - start.x) / way.x;
            let right = (sign * half.y - start.y) / way.y;
            found.extend(Some(front).filter(|at| (start.y + at * way.y).abs() <= centre.y));
            found.extend(Some(right).filter(|at| (start.x + at * way.x).abs() <= centre.x));
            for other in [-1.0, 1.0] {
                let middle = DVec2::new(sign * centre.x, other * centre.y);
                let of_corner = crossings(start - middle, way, self.corner).into_iter().flatten();
                found.extend(of_corner.filter(|at| {
                    let place = (start + *at * way) * DVec2::new(sign, other);
                    place.x >= centre.x && place.y >= centre.y
                }));
            }
        }
        let low = found.iter().copied().fold(f64::INFINITY, f64::min);
        let high = found.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (low < high).then_some([low, high])
    }

    fn azimuth_of(&self, place: DVec2) -> f64 {
        let index = match (place.x >= 0.0, place.y >= 0.0) {
            (true, true) => 0,
            (false, true) => 1,
            (false, false) => 2,
            (true, false) => 3,
        };
        let quarter = self.quarter(index);
        // As seen from the quarter's own first side.
        let local = turned(place, (TAU - quarter.facing) % TAU);
        let beyond = local - DVec2::new(quarter.second, quarter.first);
        let along = if beyond.y <= 0.0 && beyond.x >= beyond.y {
            local.y
        } else if beyond.x <= 0.0 {
            quarter.first + self.bend() - beyond.x
        } else {
            quarter.first + self.corner * beyond.y.atan2(beyond.x)
        };
        (quarter.facing + along * TAU / self.girth()).rem_euclid(TAU)
    }

    /// In the two corners where the skin turns away from the eye.
    fn outlines(&self, eye: DVec2) -> Vec<f64> {
        let aside = eye.perp().normalize_or_zero();
        let farthest = |way: DVec2| way.signum() * self.centre() + self.corner * way;
        [aside, -aside].map(|way| self.azimuth_of(farthest(way))).to_vec()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TUBES: [(Rectangle, f64); 5] = [
        (rectangle(60.0, 40.0, 5.0), 3.0),
        (rectangle(60.0, 40.0, 5.0), 8.0),
        (rectangle(20.0, 90.0, 0.0), 2.0),
        (rectangle(50.0, 50.0, 25.0), 4.0),
        (rectangle(50.0, 80.0, 25.0), 4.0),
    ];

    const fn rectangle(width: f64, height: f64, corner: f64) -> Rectangle {
        Rectangle { width, height, corner }
    }

    fn place(line: &WallLine, radius: f64) -> DVec2 {
        line.origin + radius * DVec2::from_angle(line.facing)
    }

    fn azimuths() -> impl Iterator<Item = f64> {
        (0..1440).map(|step| TAU * (f64::from(step) + 0.13) / 1440.0)
    }

    #[test]
    fn the_skin_is_walked_at_an_even_pace_and_closes() {
        for (tube, wall) in TUBES {
            let mut walked = 0.0;
            let at = |azimuth: f64| {
                let line = tube.wall_line(azimuth, wall);
                place(&line, line.outer)
            };
            let mut before = at(0.0);
            assert!((before - DVec2::new(tube.height / 2.0, 0.0)).length() < 1e-12);
            for step in 1..=100_000 {
                let here = at(TAU * f64::from(step) / 100_000.0);
                walked += (here - before).length();
                before = here;
            }
            // By chords; of a sharp corner the chord cuts off less than its own length.
            let within = 4.0 * tube.girth() / 100_000.0;
            assert!((walked - tube.girth()).abs() < within, "{tube:?}: {walked}");
            assert!((at(FRAC_PI_2) - DVec2::new(0.0, tube.width / 2.0)).length() < 1e-9);
        }
    }

    #[test]
    fn every_place_of_a_wall_line_is_nearest_to_its_own_place_of_the_skin() {
        for (tube, wall) in TUBES {
            for azimuth in azimuths() {
                let line = tube.wall_line(azimuth, wall);
                for share in [0.0, 0.3, 1.0] {
                    let radius = line.inner + share * (line.outer - line.inner);
                    let DVec2 { x, y } = place(&line, radius);
                    let outside = tube.outside_by(DVec3::new(x, y, 0.0), DVec3::X, DVec3::Y);
                    assert!(
                        (outside + line.outer - radius).abs() < 1e-9,
                        "{tube:?} at {azimuth}: {outside}"
                    );
                }
                let is_whole = line.outer - line.inner > wall - 1e-9;
                let bore = tube.grown(-wall);
                let DVec2 { x, y } = place(&line, line.inner);
                let from_bore = bore.outside_by(DVec3::new(x, y, 0.0), DVec3::X, DVec3::Y);
                assert!(
                    from_bore > -1e-9 && (!is_whole || from_bore < 1e-9),
                    "{tube:?} at {azimuth}"
                );
            }
        }
    }

    #[test]
    fn paces_are_those_of_the_places() {
        const STEP: f64 = 1e-6;
        for (tube, wall) in TUBES {
            let joins = tube.joins(wall);
            for azimuth in azimuths().filter(|at| joins.iter().all(|join| (join - at).abs() > 1e-3)) {
                let (line, next) = (tube.wall_line(azimuth, wall), tube.wall_line(azimuth + STEP, wall));
                let round = DVec2::from_angle(line.facing).perp();
                let moved = (place(&next, line.outer) - place(&line, line.outer)) / STEP;
                assert!(
                    (moved - line.pace(line.outer) * round).length() < 1e-3,
                    "{tube:?} at {azimuth}"
                );
                assert!(((next.inner - line.inner) / STEP - line.inner_rise).abs() < 1e-3);
            }
        }
    }

    #[test]
    fn nothing_stands_out_farther_aside_than_its_outlines() {
        for (tube, wall) in TUBES {
            for eye in (0..360).map(|degree| DVec2::from_angle(f64::from(degree).to_radians())) {
                let off = |azimuth: f64| {
                    let line = tube.wall_line(azimuth, wall);
                    place(&line, line.outer).dot(eye.perp())
                };
                let mut outlines: Vec<f64> = tube.outlines(eye).into_iter().map(off).collect();
                outlines.sort_by(f64::total_cmp);
                let reach = tube.reach_towards(eye.perp());
                assert!(
                    (outlines[0] + reach).abs() < 1e-9 && (outlines[1] - reach).abs() < 1e-9,
                    "{tube:?} {eye}"
                );
            }
        }
    }

    #[test]
    fn a_place_of_the_skin_knows_its_azimuth_and_a_line_through_the_axis_finds_it() {
        for (tube, wall) in TUBES {
            for azimuth in azimuths() {
                let line = tube.wall_line(azimuth, wall);
                let skin = place(&line, line.outer);
                assert!((tube.azimuth_of(skin) - azimuth).abs() < 1e-9, "{tube:?} at {azimuth}");
                let [back, forth] = tube.crossings(DVec2::ZERO, skin).expect("through the axis");
                assert!(
                    (forth - 1.0).abs() < 1e-9 && (back + 1.0).abs() < 1e-9,
                    "{tube:?} at {azimuth}"
                );
                let reach = tube.reach_towards(DVec2::from_angle(line.facing));
                assert!((reach - skin.dot(DVec2::from_angle(line.facing))).abs() < 1e-9);
            }
        }
    }
}
