//! The straightest line over a skin, as a taut thread or the middle of a strip of paper lies on it.

use glam::DVec3;

use super::{Body, Line, Site};

/// A place of such a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnStraight {
    /// From where the line was begun, in millimetres of the paper laid along it; below 0 behind.
    pub along: f64,
    /// On the skin.
    pub site: Site,
    /// The way of the line there, as a unit vector in the skin.
    pub way: DVec3,
}

impl OnStraight {
    /// To the right of the way as seen from outside.
    pub fn right(&self) -> DVec3 {
        self.way.cross(self.site.normal)
    }
}

/// A straightest line: one that turns neither right nor left in the skin.
///
/// It is walked by steps of equal size. Each goes on in the direction that the way has half a step on, brought back to the skin
/// square to it there, so that what is off grows with the square of a step: on a ball of radius R the length of a turn is off by
/// a share of (step / R)^2 / 24.
pub struct Straight {
    /// In their order.
    places: Vec<OnStraight>,
}

impl Straight {
    /// Through the place of a convex skin at `from`, in the direction `way` laid into it, as far as `reach` millimetres behind and ahead, by
    /// steps of `step`; `lift` is how far the middle of the paper lies above the skin, in millimetres. `None` where the
    /// line leaves the skin.
    pub fn walk(
        skin: &dyn Body,
        from: Site,
        way: DVec3,
        [behind, ahead]: [f64; 2],
        step: f64,
        lift: f64,
    ) -> Option<Self> {
        let way = laid(way, from.normal)?;
        let start = OnStraight {
            along: 0.0,
            site: from,
            way,
        };
        let arm = |start: OnStraight, reach: f64| {
            let mut places = vec![start];
            let mut at = start;
            while at.along < reach {
                at = next(skin, at, step, lift)?;
                places.push(at);
            }
            Some(places)
        };
        let back = arm(OnStraight { way: -way, ..start }, behind)?;
        let turned = back.into_iter().skip(1).rev().map(|place| OnStraight {
            along: -place.along,
            way: -place.way,
            ..place
        });
        Some(Self {
            places: turned.chain(arm(start, ahead)?).collect(),
        })
    }

    /// The steps' own places, in order.
    pub fn places(&self) -> &[OnStraight] {
        &self.places
    }

    /// The place so far along; `None` past the ends.
    pub fn at(&self, along: f64) -> Option<OnStraight> {
        let after = self.places.partition_point(|place| place.along <= along);
        let last = self.places.len() - 1;
        let at = match after {
            0 => return None,
            after if after > last => (self.places[last].along >= along).then_some(last - 1)?,
            after => after - 1,
        };
        let (from, to) = (self.places[at], self.places[at + 1]);
        let length = to.along - from.along;
        let share = (along - from.along) / length;
        // A cubic through both places in both directions, by the length of the skin's own step.
        let (two, three) = (share * share, share * share * share);
        let chord = from.site.point.distance(to.site.point);
        let point = (2.0 * three - 3.0 * two + 1.0) * from.site.point
            + (three - 2.0 * two + share) * chord * from.way
            + (3.0 * two - 2.0 * three) * to.site.point
            + (three - two) * chord * to.way;
        let normal = from.site.normal.lerp(to.site.normal, share).normalize();
        Some(OnStraight {
            along,
            site: Site { point, normal },
            way: laid(from.way.lerp(to.way, share), normal)?,
        })
    }

    /// The place of the line that a place near it is square across from; `None` where it is past the ends.
    pub fn foot(&self, place: DVec3) -> Option<OnStraight> {
        let ahead = |of: &OnStraight| (place - of.site.point).dot(of.way);
        let after = self.places.partition_point(|of| ahead(of) >= 0.0);
        if after == 0 || after == self.places.len() {
            return None;
        }
        let mut foot = self.places[after - 1];
        for _ in 0..STEPS_TO_FOOT {
            foot = self.at(foot.along + ahead(&foot))?;
        }
        Some(foot)
    }
}

/// Steps after which a foot is as near as it gets: each leaves a hundredth of what was left.
const STEPS_TO_FOOT: usize = 5;

fn laid(way: DVec3, normal: DVec3) -> Option<DVec3> {
    (way - way.dot(normal) * normal).try_normalize()
}

fn next(skin: &dyn Body, from: OnStraight, step: f64, lift: f64) -> Option<OnStraight> {
    let on_skin = |place: DVec3, normal: DVec3| {
        let line = Line {
            origin: place,
            direction: -normal,
        };
        let hit = skin.first_hit(&line)?;
        Some(Site {
            point: line.at(hit.distance),
            normal: hit.normal,
        })
    };
    let OnStraight { along, site, way } = from;
    let half = on_skin(site.point + 0.5 * step * way, site.normal)?;
    let way = laid(way, half.normal)?;
    let site_there = on_skin(site.point + step * way, half.normal)?;
    let lifted = |site: Site| site.point + lift * site.normal;
    Some(OnStraight {
        along: along + lifted(site).distance(lifted(site_there)),
        site: site_there,
        way: laid(way, site_there.normal)?,
    })
}
