//! Sections that are not round: girths against the complete elliptic integral, hits against the quadratic, areas, and
//! sections through measured places.

use std::f64::consts::{FRAC_PI_2, PI, TAU};
use std::sync::Arc;

use girthline::body::{Body, Contour, Line, Locate, Mark, OutOfRound, Unroll};
use glam::DVec3;

/// A girth by the arithmetic-geometric mean (Gauss; Abramowitz and Stegun, Handbook of Mathematical Functions, 1964,
/// 17.6): 4 a E(m) with m = 1 - (b / a)^2.
fn girth_by_mean(a: f64, b: f64) -> f64 {
    let (mut x, mut y, mut c, mut power) = (a, b, (a * a - b * b).sqrt(), 0.5);
    let mut sum = 0.0;
    while c.abs() > 1e-12 * a {
        sum += power * c * c;
        (x, y, c) = (0.5 * (x + y), (x * y).sqrt(), 0.5 * (x - y));
        power *= 2.0;
    }
    TAU / x * (a * a - sum)
}

#[test]
fn a_girth_is_four_half_diameters_times_the_complete_elliptic_integral() {
    // E(m), Abramowitz and Stegun, table 17.1, to the digits that are remembered of it; m = 0 is a circle.
    for (m, integral) in [
        (0.0, FRAC_PI_2),
        (0.1, 1.530_757_64),
        (0.5, 1.350_643_88),
        (0.9, 1.104_774_73),
    ] {
        let (a, b) = (300.0, 300.0 * f64::sqrt(1.0 - m));
        let girth = Contour::ellipse([2.0 * a, 2.0 * b], 0.0).girth();
        assert!(
            (girth / (4.0 * a) - integral).abs() < 1e-8,
            "{m}: {}",
            girth / (4.0 * a)
        );
        assert!(
            (girth - girth_by_mean(a, b)).abs() < 1e-9,
            "{girth} against {}",
            girth_by_mean(a, b)
        );
    }
    for share in [0.999, 0.97, 0.8, 0.5, 0.34] {
        for turned in [0.0, 0.4, -2.0] {
            let girth = Contour::ellipse([600.0, 600.0 * share], turned).girth();
            assert!(
                (girth - girth_by_mean(300.0, 300.0 * share)).abs() < 1e-8,
                "{share}: {girth}"
            );
        }
    }
}

#[test]
fn a_line_meets_an_oval_where_the_quadratic_says() {
    let (a, b) = (300.0, 270.0);
    let drum = OutOfRound::new(Arc::new(Contour::ellipse([2.0 * b, 2.0 * a], 0.0)), 0.0);
    for step in 0..4000 {
        let (turn, shift, lean) = (
            0.77 * f64::from(step),
            299.0 * (1.3 * f64::from(step)).sin(),
            0.9 * (0.3 * f64::from(step)).sin(),
        );
        let line = Line {
            origin: DVec3::new(shift * turn.cos(), 12.0, -shift * turn.sin()),
            direction: DVec3::new(turn.sin() * lean.cos(), lean.sin(), turn.cos() * lean.cos()),
        };
        // (x / a)^2 + (z / b)^2 = 1 along the line.
        let (o, d) = (line.origin, line.direction);
        let two = (d.x / a).powi(2) + (d.z / b).powi(2);
        let one = o.x * d.x / (a * a) + o.z * d.z / (b * b);
        let none = (o.x / a).powi(2) + (o.z / b).powi(2) - 1.0;
        let square = one * one - two * none;
        match drum.first_hit(&line) {
            Some(hit) => {
                let distance = (-one - square.max(0.0).sqrt()) / two;
                assert!(
                    (hit.distance - distance).abs() < 1e-6,
                    "{} against {distance}",
                    hit.distance
                );
            }
            None => assert!(square < 1e-9, "{square}"),
        }
    }
}

#[test]
fn an_area_is_that_of_the_ellipse_and_of_its_parallel_curve() {
    let contour = Arc::new(Contour::ellipse([600.0, 540.0], 0.3));
    assert!((contour.area() - PI * 300.0 * 270.0).abs() < 1e-6);
    // The strip between the two skins is the wall times the girth half way through it (Pappus).
    let (outer, inner) = (
        OutOfRound::new(contour.clone(), 0.0),
        OutOfRound::new(contour.clone(), 4.0),
    );
    assert!((outer.area() - inner.area() - 4.0 * (contour.girth() - TAU * 2.0)).abs() < 1e-6);
}

#[test]
fn a_section_goes_through_what_was_measured_wherever_it_was_measured() {
    let girth = 1800.0;
    let diameters = [
        (Mark::Angle(0.2), 580.0),
        (Mark::Arc(400.0), 566.0),
        (Mark::Arc(-350.0), 572.0),
    ];
    let drum = OutOfRound::new(Arc::new(Contour::of_diameters(girth, &diameters).expect("convex")), 0.0);
    for (mark, across) in diameters {
        let round = match mark {
            Mark::Angle(angle) => angle,
            Mark::Arc(arc) => drum.angle_of(0.0, arc),
        };
        let ends = [round, round + PI].map(|round| drum.site(0.0, round).point);
        assert!(((ends[0] - ends[1]).length() - across).abs() < 1e-8);
        if let Mark::Arc(arc) = mark {
            assert!((drum.lay_flat(ends[0]).x - arc).abs() < 1e-8, "{arc}");
        }
    }
}

#[test]
fn offsets_are_from_a_circle_that_gives_the_section_its_girth() {
    let girth = 1800.0;
    let offsets = [
        (Mark::Angle(0.0), 4.0),
        (Mark::Arc(450.0), -6.0),
        (Mark::Angle(PI), 3.0),
        (Mark::Arc(-450.0), -2.0),
    ];
    let contour = Contour::of_offsets(girth, &offsets).expect("convex");
    assert!((contour.girth() - girth).abs() < 1e-8, "{}", contour.girth());
    let drum = OutOfRound::new(Arc::new(contour), 0.0);
    let radius = |mark: Mark| {
        let round = match mark {
            Mark::Angle(angle) => angle,
            Mark::Arc(arc) => drum.angle_of(0.0, arc),
        };
        drum.site(0.0, round).point.length()
    };
    for (mark, out) in offsets {
        assert!(
            (radius(mark) - radius(offsets[0].0) - (out - 4.0)).abs() < 1e-8,
            "{out}"
        );
    }
}

#[test]
fn an_oval_measured_with_the_tape_lies_where_the_tape_says() {
    for arc in [-700.0, -120.0, 0.0, 300.0] {
        let drum = OutOfRound::new(Arc::new(Contour::oval([620.0, 540.0], Mark::Arc(arc))), 0.0);
        let long = drum.site(0.0, drum.angle_of(0.0, arc)).point.length();
        assert!((long - 310.0).abs() < 1e-8, "{long}");
    }
}

#[test]
fn a_hollow_is_told_with_its_place_and_its_depth() {
    let places = [
        (0.0, 300.0),
        (0.5, 300.0),
        (1.0, 270.0),
        (1.5, 300.0),
        (3.0, 300.0),
        (4.5, 300.0),
    ];
    let hollow = Contour::through(&places).expect_err("a dent");
    assert!((hollow.round - 1.0).abs() < 0.05, "{hollow:?}");
    // By hand: the chord from 0.5 to 1.5 lies at 300 cos 0.5 = 263.3, so that a dent to 270 stays outside of it; the
    // hollow lies under edges between the bulges on both sides of it.
    assert!((0.5..20.0).contains(&hollow.deep_mm), "{hollow:?}");
}
