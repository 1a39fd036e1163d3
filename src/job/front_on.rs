//! How the front of a tube lies on what the tube lands on, as one sees it standing before the body.

use glam::DVec3;

use super::{BodyInSpace, COMPUTED, across};

/// Which way a tube's front points on a body's skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrontOn {
    /// How far it is turned from the way to the far end to the right, as seen from outside, in degrees, above -180 to
    /// 180; on a plane from the way to its zero, on a ball from the way off its pole.
    pub turned_deg: f64,
    /// That way, in words, and the opposite one.
    pub ways: [&'static str; 2],
}

impl BodyInSpace {
    /// How `front` lies on the skin at `at`; `None` where it points into the skin or out of it.
    pub fn front_on(&self, at: DVec3, front: DVec3) -> Option<FrontOn> {
        const STEP: f64 = 1e-3;
        let (along, round) = self.surface.place_of(at);
        let normal = self.surface.site(along, round).normal;
        let [before, after] = [along, along + STEP].map(|along| self.surface.site(along, round).point);
        let up = across(after - before, normal, COMPUTED)?;
        let (aside, ahead) = (front.dot(up.cross(normal)), front.dot(up));
        (aside.hypot(ahead) > 0.05).then(|| FrontOn {
            turned_deg: aside.atan2(ahead).to_degrees(),
            ways: self.ways(),
        })
    }

    /// The way along it from where it is measured, and the way back.
    fn ways(&self) -> [&'static str; 2] {
        if self.outside.is_flat() {
            return ["towards its zero", "away from its zero"];
        }
        if self.outside.rim_mm().is_some() {
            return ["away from its apex", "to its apex"];
        }
        if self.outside.ends().is_none() {
            return ["away from its pole", "to its pole"];
        }
        match self.end_names() {
            [_, "TOP END"] => ["to the top end", "to the bottom end"],
            [_, "BOTTOM END"] => ["to the bottom end", "to the top end"],
            [_, "END"] => ["to its END", "to its START"],
            [_, "UPPER END (END)"] => ["to its upper end", "to its lower end"],
            [_, "LOWER END (END)"] => ["to its lower end", "to its upper end"],
            _ => ["to the far end", "to the near end"],
        }
    }

    /// What its ends are called on sheets: the one that tapes measure from, and the far one.
    pub fn end_names(&self) -> [&'static str; 2] {
        const STANDING: f64 = 0.94;
        match self.axis().z {
            // Both ends of a standpipe may look alike: which one is up is seen only where it stands.
            z if self.of_tube.is_some() && z > STANDING => ["LOWER END (START)", "UPPER END (END)"],
            z if self.of_tube.is_some() && z < -STANDING => ["UPPER END (START)", "LOWER END (END)"],
            _ if self.of_tube.is_some() => ["START", "END"],
            z if z > STANDING => ["BOTTOM END", "TOP END"],
            z if z < -STANDING => ["TOP END", "BOTTOM END"],
            _ => ["NEAR END", "FAR END"],
        }
    }
}
