//! How far two convex things are apart, by the places of them that lie farthest in a direction.
//!
//! Their difference is searched for its place nearest to 0 (Gilbert, Johnson, Keerthi, "A fast procedure for computing the
//! distance between complex objects", IEEE Journal of Robotics and Automation 4, 1988, 193-203). Every step also gives a
//! distance that they keep at least, so that a search that is stopped early still says something true.

use glam::DVec3;

/// What is found is this near to the distance, in millimetres.
const PRECISION: f64 = 1e-5;

/// Nearer than this they meet, in millimetres.
const MEETING: f64 = 1e-9;

/// It is usually done after ten steps; flat things that nearly meet may go round and round in rounding.
const MOST_STEPS: usize = 60;

/// Something without a hollow.
pub(super) trait Convex {
    /// Its place farthest along `way`, with a number by which the thing knows it.
    fn farthest(&self, way: DVec3) -> (usize, DVec3);
}

/// The hull of some places.
impl Convex for [DVec3] {
    fn farthest(&self, way: DVec3) -> (usize, DVec3) {
        let mut best = (0, f64::MIN);
        for (index, place) in self.iter().enumerate() {
            let reach = place.dot(way);
            if reach > best.1 {
                best = (index, reach);
            }
        }
        (best.0, self[best.0])
    }
}

/// The nearest places of two things, as far as they were searched for.
#[derive(Debug, Clone, Copy)]
pub(in crate::plan) struct Nearest {
    /// Between them at least, in millimetres.
    pub(super) at_least: f64,
    /// Between the two places, in millimetres.
    pub(super) apart: f64,
    /// On the first and on the second.
    pub(super) places: [DVec3; 2],
    /// Of what known places, by number, each is made, and with which shares.
    pub(super) made_of: [Corner; 4],
}

/// A place of the difference: one of the first thing less one of the second.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::plan) struct Corner {
    /// Their numbers.
    pub(super) of: [usize; 2],
    /// Its share in what is nearest, 0 to 1.
    pub(super) share: f64,
    places: [DVec3; 2],
}

impl Nearest {
    /// A known place of the first thing, and a place of the second, `apart` millimetres from each other.
    pub(super) fn single((number, place): (usize, DVec3), other: DVec3, apart: f64) -> Self {
        let mut made_of = [Corner::default(); 4];
        made_of[0] = Corner {
            of: [number, 0],
            share: 1.0,
            places: [place, other],
        };
        Self {
            at_least: apart,
            apart,
            places: [place, other],
            made_of,
        }
    }

    /// The same where the second thing is grown by `radius` millimetres on all sides.
    pub(super) fn less(self, radius: f64) -> Self {
        let [place, other] = self.places;
        Self {
            at_least: (self.at_least - radius).max(0.0),
            apart: (self.apart - radius).max(0.0),
            places: [place, other.move_towards(place, radius)],
            ..self
        }
    }
}

impl Corner {
    fn difference(&self) -> DVec3 {
        self.places[0] - self.places[1]
    }
}

/// The nearest places of `a` and `b`; no farther searched for once they are known to be more than `enough` apart.
pub(super) fn nearest(a: &(impl Convex + ?Sized), b: &(impl Convex + ?Sized), enough: f64) -> Nearest {
    let corner = |way: DVec3| {
        let ((one, p), (other, q)) = (a.farthest(-way), b.farthest(way));
        Corner {
            of: [one, other],
            share: 1.0,
            places: [p, q],
        }
    };
    let mut simplex = Simplex::new(corner(DVec3::X));
    let (mut at_least, mut way) = (0.0_f64, simplex.nearest_to_0());
    for _ in 0..MOST_STEPS {
        let apart = way.length();
        if apart < MEETING {
            break;
        }
        let next = corner(way);
        at_least = at_least.max(way.dot(next.difference()) / apart);
        if simplex.has(&next) || apart - at_least <= PRECISION || at_least > enough {
            break;
        }
        let nearer = simplex.with(next);
        let there = nearer.nearest_to_0();
        if there.length() >= apart {
            break;
        }
        (simplex, way) = (nearer, there);
    }
    let corners = simplex.corners();
    let place = |side: usize| corners.iter().map(|corner| corner.share * corner.places[side]).sum();
    let mut made_of = [Corner::default(); 4];
    made_of[..corners.len()].copy_from_slice(corners);
    Nearest {
        at_least,
        apart: way.length(),
        places: [place(0), place(1)],
        made_of,
    }
}

/// One to four places of the difference, with their shares in the place of their hull that is nearest to 0.
#[derive(Clone, Copy)]
struct Simplex {
    held: [Corner; 4],
    count: usize,
}

impl Simplex {
    fn new(corner: Corner) -> Self {
        let mut held = [Corner::default(); 4];
        held[0] = corner;
        Self { held, count: 1 }
    }

    fn corners(&self) -> &[Corner] {
        &self.held[..self.count]
    }

    fn has(&self, corner: &Corner) -> bool {
        let is_same = |held: &Corner| held.of == corner.of && held.places == corner.places;
        self.corners().iter().any(is_same)
    }

    fn nearest_to_0(&self) -> DVec3 {
        let parts = self.corners().iter().map(|corner| corner.share * corner.difference());
        parts.sum()
    }

    /// Those of its places and one more, up to four, between which what is nearest to 0 lies.
    fn with(&self, next: Corner) -> Self {
        let mut tried = [Corner::default(); 5];
        tried[..self.count].copy_from_slice(self.corners());
        tried[self.count] = next;
        let tried = &tried[..=self.count];
        let mut at = [DVec3::ZERO; 5];
        for (at, corner) in at.iter_mut().zip(tried) {
            *at = corner.difference();
        }
        let mut best: (f64, u32, [f64; 4]) = (f64::INFINITY, 1, [1.0, 0.0, 0.0, 0.0]);
        for chosen in (1_u32..1 << tried.len()).filter(|chosen| chosen.count_ones() <= 4) {
            let (some, count) = those(&at, chosen);
            let Some(shares) = shares(&some[..count]) else { continue };
            let there: DVec3 = some.iter().zip(shares).map(|(at, share)| share * *at).sum();
            if there.length_squared() < best.0 {
                best = (there.length_squared(), chosen, shares);
            }
        }
        let (_, chosen, shares) = best;
        let (mut held, count) = those(tried, chosen);
        for (corner, share) in held.iter_mut().zip(shares) {
            corner.share = share;
        }
        Self { held, count }
    }
}

/// The things whose bits are set in `chosen`, four at most, and how many they are.
fn those<T: Copy + Default>(things: &[T], chosen: u32) -> ([T; 4], usize) {
    let mut some = [T::default(); 4];
    let mut count = 0;
    for (index, thing) in things.iter().enumerate() {
        if chosen & (1 << index) != 0 {
            some[count] = *thing;
            count += 1;
        }
    }
    (some, count)
}

/// The shares with which the places make what of their line, plane or space is nearest to 0; `None` where that lies
/// outside of their hull, or they are as good as fewer places.
fn shares(at: &[DVec3]) -> Option<[f64; 4]> {
    let shares = match *at {
        [_] => [1.0, 0.0, 0.0, 0.0],
        [a, b] => {
            let way = b - a;
            let share = -a.dot(way) / way.length_squared();
            [1.0 - share, share, 0.0, 0.0]
        }
        [a, b, c] => {
            let normal = (b - a).cross(c - a);
            let part = |p: DVec3, q: DVec3| p.cross(q).dot(normal) / normal.length_squared();
            [part(b, c), part(c, a), part(a, b), 0.0]
        }
        [a, b, c, d] => {
            let volume = |p: DVec3, q: DVec3, r: DVec3| p.dot(q.cross(r));
            let whole = volume(b - a, c - a, d - a);
            [volume(b, c, d), -volume(a, c, d), volume(a, b, d), -volume(a, b, c)].map(|part| part / whole)
        }
        _ => return None,
    };
    let is_inside = shares.iter().all(|share| (0.0..=1.0 + 1e-9).contains(share));
    let is_whole = (shares.iter().sum::<f64>() - 1.0).abs() < 1e-9;
    (is_inside && is_whole).then_some(shares)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cube(middle: DVec3, half: f64) -> Vec<DVec3> {
        let signs = [-1.0, 1.0];
        let corners = signs.iter().flat_map(|x| signs.iter().map(move |y| (*x, *y)));
        corners
            .flat_map(|(x, y)| signs.iter().map(move |z| middle + half * DVec3::new(x, y, *z)))
            .collect()
    }

    #[test]
    fn cubes_are_as_far_apart_as_their_faces_edges_and_corners() {
        let one = cube(DVec3::ZERO, 10.0);
        let cases = [
            (DVec3::new(25.0, 3.0, -4.0), 5.0),
            (DVec3::new(23.0, 24.0, 1.0), 5.0),
            (DVec3::new(23.0, -24.0, 32.0), 13.0),
            (DVec3::new(20.5, 0.0, 0.0), 0.5),
            (DVec3::new(19.0, 5.0, 5.0), 0.0),
            (DVec3::new(1.0, 2.0, 3.0), 0.0),
        ];
        for (middle, given) in cases {
            let found = nearest(&one[..], &cube(middle, 10.0)[..], f64::INFINITY);
            assert!((found.apart - given).abs() < 1e-6, "{middle}: {found:?}");
            assert!(
                found.at_least <= given + 1e-9 && found.at_least > given - 1e-4,
                "{middle}: {found:?}"
            );
            let [p, q] = found.places;
            assert!(((p - q).length() - given).abs() < 1e-6, "{middle}: {found:?}");
        }
    }

    #[test]
    fn flat_and_thin_things_are_measured_too() {
        let sheet = [
            DVec3::ZERO,
            10.0 * DVec3::X,
            DVec3::new(10.0, 10.0, 0.0),
            10.0 * DVec3::Y,
        ];
        let rod = |z: f64| [DVec3::new(4.0, 4.0, z), DVec3::new(4.0, 4.0, z + 9.0)];
        assert!((nearest(&sheet[..], &rod(2.0)[..], f64::INFINITY).apart - 2.0).abs() < 1e-9);
        assert!(nearest(&sheet[..], &rod(-3.0)[..], f64::INFINITY).apart < 1e-9);
        assert!((nearest(&rod(0.0)[..], &rod(11.0)[..], f64::INFINITY).apart - 2.0).abs() < 1e-9);
    }
}
