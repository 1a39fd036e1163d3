//! How the front of a tube lies on what the tube lands on, as one sees it standing before the body.

use glam::DVec3;

use super::{BodyInSpace, COMPUTED, across};

/// What is nearer to the apex than this is there, in millimetres.
const AT_THE_APEX: f64 = 0.005;

/// At the apex: the way to the zero line, and the way from it.
const TO_ZERO: [&str; 2] = ["towards the zero line", "away from the zero line"];

/// Which way a tube's front points on a body's skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrontOn {
    /// How far it is turned from the way to the far end to the right, as seen from outside, in degrees, above -180 to
    /// 180; on a plane from the way to its zero, on a head or a ball from the line to its apex or pole, and there from the way
    /// to its zero line.
    pub turned_deg: f64,
    /// That way, in words, and the opposite one.
    pub ways: [&'static str; 2],
}

impl BodyInSpace {
    /// How `front` lies on the skin at `at`; `None` where it points into the skin or out of it.
    pub fn front_on(&self, at: DVec3, front: DVec3) -> Option<FrontOn> {
        const STEP: f64 = 1e-3;
        let (along, round) = self.surface.place_of(at);
        let apex = self.apex();
        let is_at_apex = apex.is_some() && along.abs() < AT_THE_APEX;
        // At the apex all ways lead off it; that of the zero line is told.
        let round = if is_at_apex { 0.0 } else { round };
        let normal = self.surface.site(along, round).normal;
        let [before, after] = [along, along + STEP].map(|along| self.surface.site(along, round).point);
        let off = across(after - before, normal, COMPUTED)?;
        let up = if apex.is_some() && !is_at_apex { -off } else { off };
        let (aside, ahead) = (front.dot(up.cross(normal)), front.dot(up));
        (aside.hypot(ahead) > 0.05).then(|| FrontOn {
            turned_deg: aside.atan2(ahead).to_degrees(),
            ways: if is_at_apex {
                TO_ZERO
            } else {
                apex.unwrap_or_else(|| self.ways())
            },
        })
    }

    /// The way to where a head or a ball is measured from, and the way off it.
    fn apex(&self) -> Option<[&'static str; 2]> {
        if self.outside.is_flat() {
            return None;
        }
        if self.outside.rim_mm().is_some() {
            return Some(["to the apex", "away from the apex"]);
        }
        let is_ball = self.outside.ends().is_none();
        is_ball.then_some(["to the pole", "away from the pole"])
    }

    /// The way along it from where it is measured, and the way back.
    fn ways(&self) -> [&'static str; 2] {
        if self.outside.is_flat() {
            return ["towards its zero", "away from its zero"];
        }
        match self.end_names() {
            [_, "TOP END"] => ["to the top end", "to the bottom end"],
            [_, "BOTTOM END"] => ["to the bottom end", "to the top end"],
            [_, "END"] => ["to its END", "to its START"],
            [_, "UPPER END"] => ["to its upper end", "to its lower end"],
            [_, "LOWER END"] => ["to its lower end", "to its upper end"],
            _ => ["to the far end", "to the near end"],
        }
    }

    /// What its ends are called on sheets: the one that tapes measure from, and the far one.
    pub fn end_names(&self) -> [&'static str; 2] {
        const STANDING: f64 = 0.94;
        match self.axis().z {
            // Both ends of a standpipe may look alike: which one is up is seen only where it stands.
            z if self.of_tube.is_some() && z > STANDING => ["LOWER END", "UPPER END"],
            z if self.of_tube.is_some() && z < -STANDING => ["UPPER END", "LOWER END"],
            _ if self.of_tube.is_some() => ["START", "END"],
            z if z > STANDING => ["BOTTOM END", "TOP END"],
            z if z < -STANDING => ["TOP END", "BOTTOM END"],
            _ => ["NEAR END", "FAR END"],
        }
    }

    /// The same; of a tube that stands with the word that its cut list and wraps have.
    pub fn full_end_names(&self) -> [String; 2] {
        let [near, far] = self.end_names();
        if self.of_tube.is_some() && near != "START" {
            return [format!("{near} (START)"), format!("{far} (END)")];
        }
        [near, far].map(str::to_owned)
    }
}
