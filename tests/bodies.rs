//! What every body must do, asked through its traits: a hit lies on the skin, nudged in it is inside, out it
//! is outside, laying flat keeps lengths, and places are found again.

use girthline::body::{Body, Cone, Cylinder, Line, Locate, Placed, Plane, Sphere, Unroll};
use glam::{DAffine3, DQuat, DVec3};
use proptest::prelude::*;

fn line() -> impl Strategy<Value = Line> {
    let part = || -1.0..1.0_f64;
    let vector = || (part(), part(), part()).prop_map(|(x, y, z)| DVec3::new(x, y, z));
    (vector(), vector()).prop_filter_map("a direction", |(origin, direction)| {
        (direction.length() > 0.1).then(|| Line {
            origin: 80.0 * origin,
            direction: direction.normalize(),
        })
    })
}

fn placement() -> impl Strategy<Value = DAffine3> {
    (0.0..6.2_f64, 0.0..6.2_f64, -500.0..500.0_f64).prop_map(|(a, b, far)| {
        let turn = DQuat::from_rotation_x(a) * DQuat::from_rotation_z(b);
        DAffine3::from_rotation_translation(turn, DVec3::new(far, -far / 2.0, far / 3.0))
    })
}

/// Above 0 outside the body, below inside, in millimetres or near it.
type Outside = fn(DVec3) -> f64;

fn bodies() -> Vec<(Box<dyn Body>, Outside)> {
    vec![
        (Box::new(Plane), |p| p.z),
        (Box::new(Cylinder::new(50.0)), |p| p.x.hypot(p.z) - 50.0),
        (Box::new(Sphere::new(60.0)), |p| p.length() - 60.0),
        (Box::new(Cone::new(40.0, 0.3)), |p| p.x.hypot(p.z) - (40.0 + 0.3 * p.y)),
        (Box::new(Cone::new(40.0, -0.7)), |p| p.x.hypot(p.z) - (40.0 - 0.7 * p.y)),
    ]
}

proptest! {
    #[test]
    fn a_hit_lies_on_the_skin_and_is_where_the_line_enters(line in line()) {
        for (body, outside) in bodies() {
            let Some(hit) = body.first_hit(&line) else { continue };
            let point = line.at(hit.distance);
            prop_assert!(outside(point).abs() < 1e-6 * (1.0 + hit.distance.abs()), "{}", outside(point));
            prop_assert!(outside(point + 1e-3 * hit.normal) > 0.0);
            prop_assert!(outside(point - 1e-3 * hit.normal) < 0.0);
            prop_assert!(hit.normal.dot(line.direction) <= 1e-9, "it enters here");
        }
    }

    #[test]
    fn a_placed_body_is_hit_where_the_body_itself_would_be(line in line(), placement in placement()) {
        let moved = Line { origin: placement.transform_point3(line.origin), direction: placement.transform_vector3(line.direction) };
        let (home, away) = (Cone::new(40.0, 0.3), Placed::new(Cone::new(40.0, 0.3), placement));
        match (home.first_hit(&line), away.first_hit(&moved)) {
            (Some(home), Some(away)) => {
                prop_assert!((home.distance - away.distance).abs() < 1e-6);
                prop_assert!((placement.transform_vector3(home.normal) - away.normal).length() < 1e-6);
            }
            (home, away) => prop_assert_eq!(home.is_some(), away.is_some()),
        }
    }

    #[test]
    fn laying_flat_keeps_the_length_of_a_step_along_the_skin(along in -60.0..60.0_f64, round in -2.5..2.5_f64, way in 0.0..6.2_f64) {
        fn check(body: &(impl Unroll + Locate), along: f64, round: f64, way: f64) -> Result<(), TestCaseError> {
            let step = 1e-5;
            let (here, there) = (body.site(along, round).point, body.site(along + step * way.cos(), round + step * way.sin() / 40.0).point);
            let flat = body.lay_flat(there) - body.lay_flat(here);
            prop_assert!((flat.hypot() - (there - here).length()).abs() < 1e-9, "{} {}", flat.hypot(), (there - here).length());
            let vector = body.lay_flat_vector(here, there - here);
            prop_assert!((vector - flat).hypot() < 1e-9);
            let (found_along, found_round) = body.place_of(here);
            prop_assert!((found_along - along).abs() < 1e-9 && (found_round - round).abs() < 1e-9);
            Ok(())
        }
        check(&Cylinder::new(50.0), along, round, way)?;
        check(&Cone::new(40.0, 0.3), along, round, way)?;
        check(&Cone::new(60.0, -0.7), along, round, way)?;
        check(&Plane, along, round, way)?;
    }
}
