//! What every body must do, asked through its traits: a hit lies on the skin, nudged in it is inside, out it
//! is outside, laying flat keeps lengths, and places are found again.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use girthline::body::{Body, Cone, Contour, Cylinder, Line, Locate, OutOfRound, Placed, Plane, Sphere, Unroll};
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
        (Box::new(OutOfRound::new(oval(), 0.0)), |p| {
            40.0 * (p.x.hypot(p.z * 55.0 / 40.0) / 55.0 - 1.0)
        }),
        (Box::new(OutOfRound::new(dented(), 0.0)), |p| {
            p.x.hypot(p.z) - dented_radius(p.x.atan2(p.z))
        }),
    ]
}

/// 110 mm across from side to side, 80 mm through the zero line.
fn oval() -> Arc<Contour> {
    Arc::new(Contour::ellipse([110.0, 80.0], 0.5 * PI))
}

fn dented_radius(round: f64) -> f64 {
    50.0 + 2.0 * (2.0 * round + 0.3).cos() + 0.5 * (3.0 * round).sin()
}

/// So many places of a smooth curve that the spline is the curve, to within a millionth of a millimetre.
fn dented() -> Arc<Contour> {
    let places: Vec<(f64, f64)> = (0..400)
        .map(|place| TAU * f64::from(place) / 400.0)
        .map(|round| (round, dented_radius(round)))
        .collect();
    Arc::new(Contour::through(&places).expect("convex"))
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
    fn an_inner_skin_lies_its_wall_inside_the_outer_one(line in line(), wall in 0.5..20.0_f64) {
        for contour in [oval(), dented()] {
            let (outer, inner) = (OutOfRound::new(contour.clone(), 0.0), OutOfRound::new(contour, wall));
            let Some(hit) = inner.first_hit(&line) else { continue };
            let point = line.at(hit.distance);
            let far = |round: f64| (outer.site(point.y, round).point - point).length();
            let step = TAU / 3600.0;
            let near = (0..3600).map(|look| step * f64::from(look)).min_by(|a, b| far(*a).total_cmp(&far(*b)));
            let near = near.expect("a place") - step;
            let nearest = (0..2000).map(|look| far(near + step * f64::from(look) / 1000.0)).fold(f64::MAX, f64::min);
            prop_assert!((nearest - wall).abs() < 1e-6, "{} for {}", nearest, wall);
            // Carried out through the wall it is on the outer skin, and laid flat it is where that place is.
            let carried = inner.carry(point, wall);
            prop_assert!(((carried - point).length() - wall).abs() < 1e-9);
            prop_assert!((outer.lay_flat(carried) - outer.lay_flat(point)).hypot() < 1e-8);
        }
    }

    #[test]
    fn an_arc_round_a_body_is_its_angle_the_other_way_about(along in -60.0..60.0_f64, round in -9.0..9.0_f64) {
        fn check(body: &impl Locate, along: f64, round: f64) -> Result<(), TestCaseError> {
            let arc = body.arc_of(along, round);
            prop_assert!((body.angle_of(along, arc) - round).abs() < 1e-9, "{} {}", body.angle_of(along, arc), round);
            if let Some(girth) = body.girth(along) {
                prop_assert!((body.arc_of(along, round + TAU) - arc - girth).abs() < 1e-8);
            }
            Ok(())
        }
        check(&Cylinder::new(50.0), along, round)?;
        check(&Cone::new(60.0, -0.7), along, round)?;
        check(&Plane, along, round)?;
        check(&OutOfRound::new(oval(), 0.0), along, round)?;
        check(&OutOfRound::new(dented(), 0.0), along, round)?;
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
        for contour in [oval(), dented()] {
            check(&OutOfRound::new(contour.clone(), 0.0), along, round, way)?;
            check(&OutOfRound::new(contour.clone(), 6.0), along, round, way)?;
            check(&Placed::new(OutOfRound::new(contour, 6.0), DAffine3::from_translation(DVec3::ONE)), along, round, way)?;
        }
    }
}
