//! How a tube with sides is turned about its own axis, from leg to leg of its path.

use glam::DVec3;

use super::{Assembly, COMPUTED, Frame, TubeInSpace, across, usual_zero};

impl Assembly {
    /// Which way the front side of a tube with sides points on a leg; `None` of round tube.
    ///
    /// It is set by its start where that has a front of its own, else by its end, else by its first corner, else by
    /// the usual zero of its first leg. There it is turned to the right, as seen with that end's cut up. At every corner it is
    /// mirrored in the cut, so that the faces meet.
    pub fn front_of_leg(&self, tube: &TubeInSpace, leg: usize) -> Option<DVec3> {
        let turn = tube.turned_deg?.to_radians();
        let axis = |leg: usize| (tube.nodes[leg + 1] - tube.nodes[leg]).normalize();
        let last = tube.nodes.len() - 2;
        let own = |leg: usize, is_near: bool| {
            let (axis, at) = if is_near {
                (axis(leg), tube.nodes[leg])
            } else {
                (-axis(leg), tube.nodes[leg + 1])
            };
            let front = self.landing(tube, leg, axis, at, is_near).front?;
            Some((leg, Frame::new(at, axis, front)))
        };
        let first_corner = || (0..last).find_map(|leg| own(leg, false));
        let set_by = own(0, true).or_else(|| own(last, false)).or_else(first_corner);
        let (mut here, frame) = set_by.unwrap_or_else(|| (0, Frame::new(tube.nodes[0], axis(0), usual_zero(axis(0)))));
        let mut front = frame.turned(turn).front;
        while here != leg {
            let next = if here < leg { here + 1 } else { here - 1 };
            let cut = (axis(here) + axis(next)).normalize();
            front -= 2.0 * front.dot(cut) * cut;
            here = next;
        }
        across(front, axis(leg), COMPUTED)
    }
}
