//! How the front of a tube lies on what the tube lands on, as one sees it standing before the body.

use glam::{DVec2, DVec3};

use super::{BodyInSpace, COMPUTED, Frame, Skin, Tube, across};
use crate::body::{Body, Line};
use crate::section::Profile;

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

/// Where the line along the front of a tube's skin, `front` being square to its axis, meets a body's; none where it passes
/// beside it. This is what the tube's FRONT is on a body, wherever it is told or marked.
pub(crate) fn front_on_skin(tube: &Tube, frame: &Frame, front: DVec3, skin: &(impl Body + ?Sized)) -> Option<DVec3> {
    let across = DVec2::new(front.dot(frame.front), front.dot(frame.right));
    let line = Line {
        origin: frame.origin + tube.section.reach_towards(across) * front,
        direction: -frame.axis,
    };
    Some(line.at(skin.first_hit(&line)?.distance))
}

/// The way from one place of a skin to another on the skin laid flat: to the right of `up`, which is along it at the first, and
/// along that.
fn laid_flat(skin: &dyn Skin, [from, to]: [DVec3; 2], up: DVec3) -> DVec2 {
    let way = skin.lay_flat(to) - skin.lay_flat(from);
    let up = skin.lay_flat_vector(from, up);
    DVec2::new(way.cross(up), way.dot(up))
}

impl BodyInSpace {
    /// How the front of `tube`, which lands here as `frame` says, lies on the skin; `None` where the tube only grazes it.
    pub fn front_on(&self, tube: &Tube, frame: &Frame) -> Option<FrontOn> {
        const STEP: f64 = 1e-3;
        let (along, round) = self.surface.place_of(frame.origin);
        let apex = self.apex();
        let is_at_apex = apex.is_some() && along.abs() < AT_THE_APEX;
        // At the apex all ways lead off it; that of the zero line is told.
        let round = if is_at_apex { 0.0 } else { round };
        let middle = self.surface.site(along, round);
        let off = self.surface.site(along + STEP, round).point - middle.point;
        let off = across(off, middle.normal, COMPUTED)?;
        let up = if apex.is_some() && !is_at_apex { -off } else { off };
        let seen = |way: DVec3| DVec2::new(way.dot(up.cross(middle.normal)), way.dot(up));
        let way = match front_on_skin(tube, frame, frame.front, self.surface.as_ref()) {
            Some(place) => match &self.flat {
                Some(flat) => laid_flat((flat.outer)(round).as_ref(), [middle.point, place], up),
                None => seen(place - middle.point),
            },
            None => {
                // Past the skin's edge: as it would go on if the skin were flat.
                let rise = Some(frame.axis.dot(middle.normal)).filter(|rise| rise.abs() > COMPUTED)?;
                seen(frame.front - frame.front.dot(middle.normal) / rise * frame.axis)
            }
        };
        Some(FrontOn {
            turned_deg: way.x.atan2(way.y).to_degrees(),
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
            [_, "END"] => ["to that tube's END", "to that tube's START"],
            [_, "UPPER END"] => ["to that tube's upper end", "to that tube's lower end"],
            [_, "LOWER END"] => ["to that tube's lower end", "to that tube's upper end"],
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
