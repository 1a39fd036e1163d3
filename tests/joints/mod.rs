//! Random joints over the whole range that the program takes, and the closed forms they are held to
//! (DEVELOPERS.md, "Geometry"): nothing here uses the solver. Lengths in millimetres, azimuths in radians.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

pub mod nearest;

use std::f64::consts::TAU;

use girthline::job::{Header, Join, Saddle, Touch, Tube};
use kurbo::Point;
use proptest::prelude::*;

/// The largest header, as a radius.
const LARGEST: f64 = 2_000.0;

/// Joints whose cut is decided by one skin of the branch.
pub fn one_skin_joints() -> impl Strategy<Value = Saddle> {
    (joints(), prop_oneof![Just(Touch::Outside), Just(Touch::Inside)])
        .prop_map(|(joint, touch)| Saddle { touch, ..joint })
}

/// Joints whose cut is decided by the whole wall of the branch.
pub fn whole_wall_joints() -> impl Strategy<Value = Saddle> {
    joints().prop_map(|joint| Saddle {
        touch: Touch::Wall,
        ..joint
    })
}

/// Joints with a hole for the whole branch.
pub fn set_in_joints() -> impl Strategy<Value = Saddle> {
    joints_joined(set_ins().prop_map(Some))
}

/// Branches of 6 to 300 mm on or in headers of any size from their own to 4 m, at 10 to 90 degrees, to
/// both sides as far as they go, with any touch and join. Equal tubes, square joints and branches at
/// the header's very side come often.
pub fn joints() -> impl Strategy<Value = Saddle> {
    joints_joined(prop::option::of(set_ins()))
}

fn joints_joined(set_ins: impl Strategy<Value = Option<(f64, f64)>>) -> impl Strategy<Value = Saddle> {
    (branches(), headers(), angles(), sides(), touches(), set_ins).prop_map(
        |(branch, header, angle_deg, side, touch, set_in)| {
            let radius = branch.radius();
            let skin = radius * (LARGEST / radius).powf(header);
            let room = skin - radius;
            let (wall_mm, clearance_mm) = match set_in {
                Some((wall, clearance)) => (Some(wall * skin), (clearance * room * (1.0 - side.abs())).min(25.0)),
                None => (None, 0.0),
            };
            Saddle {
                branch,
                header: Header {
                    od_mm: 2.0 * (skin + wall_mm.unwrap_or(0.0)),
                    wall_mm,
                    name: None,
                },
                turned_deg: 0.0,
                angle_deg,
                offset_mm: side * room,
                touch,
                join: if wall_mm.is_some() { Join::SetIn } else { Join::SetOn },
                clearance_mm,
                root_gap_mm: 0.0,
            }
        },
    )
}

fn branches() -> impl Strategy<Value = Tube> {
    (6.0..300.0, 0.001..0.9).prop_map(|(od_mm, wall)| Tube::round(od_mm, wall * od_mm / 2.0))
}

/// The skin's radius as a share of the way from the branch's own to the largest, by ratio.
fn headers() -> impl Strategy<Value = f64> {
    prop_oneof![5 => 0.0..1.0, 1 => Just(0.0), 1 => 0.0..0.001]
}

fn angles() -> impl Strategy<Value = f64> {
    prop_oneof![4 => 10.0..=90.0, 1 => Just(90.0)]
}

/// The offset as a share of the way to the side.
fn sides() -> impl Strategy<Value = f64> {
    prop_oneof![4 => -1.0..=1.0, 1 => Just(0.0), 1 => Just(1.0), 1 => Just(-1.0)]
}

fn touches() -> impl Strategy<Value = Touch> {
    prop_oneof![Just(Touch::Wall), Just(Touch::Outside), Just(Touch::Inside)]
}

/// A set-in header's wall as a share of its inner radius, and the clearance as a share of the room for it.
fn set_ins() -> impl Strategy<Value = (f64, f64)> {
    (0.001..0.3, prop_oneof![Just(0.0), 0.0..1.0])
}

/// Azimuths round a tube that take in its crown lines, where 4 divides `count`.
pub fn round(count: u32) -> impl Iterator<Item = f64> {
    (0..count).map(move |step| TAU * f64::from(step) / f64::from(count))
}

/// The radius of the skin that the branch ends at: set-in, it is flush with the header's inner skin.
pub fn landing(joint: &Saddle) -> f64 {
    let inset = match joint.join {
        Join::SetOn => 0.0,
        Join::SetIn => joint.header.wall_mm.unwrap_or(f64::NAN),
    };
    joint.header.od_mm / 2.0 - inset
}

/// Where the wall at radius `rho` and azimuth `a` meets a header's skin of radius `skin`.
pub fn on_skin(joint: &Saddle, skin: f64, rho: f64, a: f64) -> f64 {
    let (sin, cos) = joint.angle_deg.to_radians().sin_cos();
    let x = joint.offset_mm + rho * a.sin();
    (((skin - x) * (skin + x)).max(0.0).sqrt() + rho * a.cos() * cos) / sin
}

/// The place in space of the branch's radius `rho`, azimuth `a` and height `t`.
pub fn place(joint: &Saddle, rho: f64, a: f64, t: f64) -> [f64; 3] {
    let (sin, cos) = joint.angle_deg.to_radians().sin_cos();
    let front = rho * a.cos();
    [
        joint.offset_mm + rho * a.sin(),
        front * sin + t * cos,
        t * sin - front * cos,
    ]
}

/// Distance of a place from the branch's axis.
pub fn from_branch(joint: &Saddle, [x, y, z]: [f64; 3]) -> f64 {
    let (sin, cos) = joint.angle_deg.to_radians().sin_cos();
    (x - joint.offset_mm).hypot(y * sin - z * cos)
}

/// Distance of a place from the header's axis.
pub fn from_header([x, _, z]: [f64; 3]) -> f64 {
    x.hypot(z)
}

/// The radii of the branch that a joint's touch speaks of, from the inner to the outer one.
pub fn touching(joint: &Saddle) -> (f64, f64) {
    let (bore, skin) = (joint.branch.bore_radius(), joint.branch.radius());
    match joint.touch {
        Touch::Wall => (bore, skin),
        Touch::Outside => (skin, skin),
        Touch::Inside => (bore, bore),
    }
}

/// How far a wall line's height may be off: the solver's promise of 1e-6 mm, or, where the line grazes the
/// skin to within a millionth of its radius, what a rounding of the radii moves the foot of the chord by.
pub fn solved_within(joint: &Saddle, rho: f64, a: f64) -> f64 {
    let skin = landing(joint);
    let x = joint.offset_mm + rho * a.sin();
    let half_chord_squared = (skin - x) * (skin + x);
    if half_chord_squared > (1e-6 * skin).powi(2) {
        return 1e-6;
    }
    let rounding = 4.0 * f64::EPSILON.sqrt() * skin;
    1e-6 + rounding / joint.angle_deg.to_radians().sin()
}

/// The radius of what must pass a joint's hole, and the skins whose outlines make it, the outer one first.
pub fn drilled(joint: &Saddle) -> (f64, Vec<f64>) {
    match joint.join {
        Join::SetOn => (joint.branch.bore_radius(), vec![joint.header.radius()]),
        Join::SetIn => (
            joint.branch.radius() + joint.clearance_mm,
            vec![joint.header.radius(), landing(joint)],
        ),
    }
}

/// Where the cylinder of radius `rho` about the branch's axis meets the skin of radius `skin` at azimuth
/// `a`, carried square to the header's outer skin and laid flat.
pub fn on_hole(joint: &Saddle, skin: f64, rho: f64, a: f64) -> Point {
    let [x, y, z] = place(joint, rho, a, on_skin(joint, skin, rho, a));
    Point::new(joint.header.radius() * x.atan2(z), y)
}

/// How far outside the drilled cylinder the place of a hole's pattern lies on the skin of radius `skin`.
pub fn outside_drill(joint: &Saddle, skin: f64, rho: f64, flat: Point) -> f64 {
    let (sin, cos) = (flat.x / joint.header.radius()).sin_cos();
    from_branch(joint, [skin * sin, flat.y, skin * cos]) - rho
}
