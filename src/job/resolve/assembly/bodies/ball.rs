//! A ball.

use std::sync::Arc;

use glam::DVec3;

use super::{Reader, direction, frame, given, header_size, needed_at, zero_line};
use crate::body::{Placed, SolidBall, Sphere};
use crate::job::{BodyInSpace, Header, Stack, raw};

pub(super) fn ball(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let at = needed_at(reader, raw, "the middle of the ball: [x, y, z]", stacks);
    let pole = given(&raw.out, DVec3::Z, |words| direction(reader, words));
    let zero = raw.zero.as_ref().map(|words| direction(reader, words));
    let pole = pole?;
    let (size, at, zero) = (
        size?,
        at?,
        zero_line(reader, raw, zero, pole, "the ball's pole, \"out\"")?,
    );
    let placement = frame(at, pole, zero);
    let radius = size.od_mm / 2.0;
    let skin = |radius: f64| Arc::new(Placed::new(Sphere::new(radius), placement));
    let surface: Arc<dyn crate::job::Surface> = skin(radius);
    debug_assert!(surface.site(0.0, 0.0).normal.dot(pole) > 0.99);
    let words = format!("ball, {}", Header::from(size.clone()).describe(size.units));
    let outside = Arc::new(SolidBall { radius_mm: radius });
    Some(BodyInSpace {
        inner: size.wall_mm.map(|wall| skin(radius - wall) as _),
        ..BodyInSpace::new(name, words, placement, surface, outside)
    })
}
