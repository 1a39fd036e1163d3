//! The solver against closed forms and published values. Each check names its source; lengths are in
//! millimetres unless they say inches. "Regression" marks values worked out from exact geometry that
//! are not published.

mod plain;

use std::f64::consts::{PI, TAU};

use approx::assert_abs_diff_eq;
use girthline::job::{Saddle, Touch};
use girthline::solver::{cut_at, dihedral_deg, hole_outline, solve_end};
use kurbo::{ParamCurveArclen, Shape};
use plain::{miter, saddle, t};

/// The promise of the solver against closed forms.
const SOLVER: f64 = 1e-6;
/// The promise for fitted curves.
const FITTED: f64 = 0.005;

#[test]
fn a_thin_square_saddle_follows_the_steinmetz_curve() {
    // Wikipedia, "Steinmetz curve": x = a cos t, z = a sin t, y = sqrt(b^2 - a^2 sin^2 t).
    let joint = saddle((60.0, 0.0), 100.0);
    for degree in 0..360 {
        let sin = f64::from(degree).to_radians().sin();
        assert_abs_diff_eq!(
            t(&joint, f64::from(degree)),
            (50.0f64.powi(2) - (30.0 * sin).powi(2)).sqrt(),
            epsilon = SOLVER
        );
    }
}

#[test]
fn square_saddles_have_the_depths_of_the_regression_table() {
    // Regression: depth below the crown at azimuth 0, 22.5, 45, 67.5, 90; hole width as arc. OD on OD in inches.
    let rows: [((f64, f64), [f64; 5], f64); 7] = [
        ((1.660, 2.375), [0.0, 1.099, 3.941, 7.132, 8.591], 46.687),
        ((1.900, 2.375), [0.0, 1.448, 5.290, 9.845, 12.065], 55.939),
        ((2.375, 2.375), [0.0, 2.296, 8.834, 18.620, 30.163], 94.758),
        ((2.375, 4.500), [0.0, 1.178, 4.129, 7.254, 8.608], 63.549),
        ((3.500, 6.625), [0.0, 1.737, 6.091, 10.703, 12.700], 93.662),
        ((2.375, 573.9 / 25.4), [0.0, 0.232, 0.794, 1.356, 1.590], 60.437),
        ((1.900, 1.900), [0.0, 1.837, 7.067, 14.896, 24.130], 75.807),
    ];
    for ((branch, header), depths, width) in rows {
        let joint = saddle((branch * 25.4, 0.0), header * 25.4);
        for (step, depth) in depths.into_iter().enumerate() {
            assert_abs_diff_eq!(t(&joint, 0.0) - t(&joint, 22.5 * step as f64), depth, epsilon = 0.0006);
        }
        let hole = hole_outline(&joint.drilling()).unwrap_or_else(|problem| panic!("{problem}"));
        assert_abs_diff_eq!(hole.path.bounding_box().width(), width, epsilon = 0.0006 + FITTED);
    }
}

#[test]
fn an_angled_branch_has_the_heights_of_the_regression_table() {
    // Regression: 2 in on 4 in, from the obtuse side every 22.5 degrees, above the lowest point.
    let table = [
        (45.0, [0.0, 0.630, 2.995, 8.361, 17.989, 31.446, 45.651, 56.363, 60.325]),
        (60.0, [0.034, 0.0, 0.367, 2.408, 7.509, 15.736, 24.995, 32.177, 34.863]),
    ];
    for (angle_deg, heights) in table {
        let joint = Saddle {
            turned_deg: 0.0,
            angle_deg,
            ..saddle((60.325, 0.0), 114.3)
        };
        let lowest = if angle_deg == 45.0 {
            t(&joint, 180.0)
        } else {
            t(&joint, 157.5)
        };
        for (step, height) in heights.into_iter().enumerate() {
            assert_abs_diff_eq!(t(&joint, 180.0 - 22.5 * step as f64) - lowest, height, epsilon = 0.0006);
        }
    }
}

#[test]
fn equal_tubes_meet_in_planes_at_the_half_angles() {
    // Kittredge, The New Metal Worker Pattern Book, problems 47 and 54; slopes tan(A/2) and cot(A/2).
    for angle_deg in [30.0, 45.0, 60.0, 90.0] {
        let joint = Saddle {
            turned_deg: 0.0,
            angle_deg,
            ..saddle((50.0, 0.0), 50.0)
        };
        let half = f64::to_radians(angle_deg / 2.0);
        for degree in (0..360).step_by(5) {
            let y = 25.0 * f64::from(degree).to_radians().cos();
            let plane = if y > 0.0 { y / half.tan() } else { -y * half.tan() };
            assert_abs_diff_eq!(t(&joint, f64::from(degree)), plane, epsilon = SOLVER);
        }
    }
}

#[test]
fn handbook_ordinates_of_an_equal_tee_in_12_divisions() {
    // Atkins, Practical Sheet and Plate Metal Work, ch. III: R (0, .13397, .5, 1); hole width half the girth.
    let joint = saddle((100.0, 0.0), 100.0);
    for (step, ordinate) in [0.0, 0.13397, 0.5, 1.0].into_iter().enumerate() {
        assert_abs_diff_eq!(
            t(&joint, 0.0) - t(&joint, 30.0 * step as f64),
            50.0 * ordinate,
            epsilon = 5e-4
        );
    }
    let hole = hole_outline(&joint.drilling()).unwrap_or_else(|problem| panic!("{problem}"));
    assert_abs_diff_eq!(hole.path.bounding_box().width(), 50.0 * PI, epsilon = FITTED);
    // From MathWorld, "Steinmetz Solid", eq. 4 (surface 16 r^2, four such holes): area 4 r^2.
    assert_abs_diff_eq!(
        hole.path.area().abs(),
        4.0 * 50.0 * 50.0,
        epsilon = FITTED * hole.path.perimeter(1e-6)
    );
}

#[test]
fn scrap_and_length_of_an_equal_saddle() {
    // Worked out from MathWorld, "Steinmetz Solid": scrap (2 pi - 4) r^2, curve length 7.640396 r, thin wall.
    let end = saddle((50.0, 0.0), 50.0).end();
    let curve = solve_end(&end, 25.0, PI).unwrap_or_else(|problem| panic!("{problem}"));
    let mut under = curve.path.clone();
    under.line_to((TAU * 25.0, 0.0));
    under.line_to((0.0, 0.0));
    under.close_path();
    let scrap = TAU * 25.0 * curve.highest.0 - under.area().abs();
    assert_abs_diff_eq!(scrap, (TAU - 4.0) * 625.0, epsilon = FITTED * 2.0 * TAU * 25.0);
    let length: f64 = curve.path.segments().map(|segment| segment.arclen(1e-6)).sum();
    assert_abs_diff_eq!(length, 7.640396 * 25.0, epsilon = 2.0 * FITTED);
}

#[test]
fn touch_inside_is_the_handbook_convention() {
    // Graves, The Pipe Fitters Blue Book (1973), preface: bore of the branch to the outside of the header.
    let joint = Saddle {
        touch: Touch::Inside,
        ..saddle((60.325, 3.912), 114.3)
    };
    let bore = 60.325 / 2.0 - 3.912;
    for degree in (0..360).step_by(15) {
        let x = bore * f64::from(degree).to_radians().sin();
        assert_abs_diff_eq!(
            t(&joint, f64::from(degree)),
            (57.15f64.powi(2) - x * x).sqrt(),
            epsilon = SOLVER
        );
    }
}

#[test]
fn the_true_depth_of_equal_tubes_is_near_a_third_of_the_diameter() {
    // Common practice: scribe at one third of the diameter. Regression: 15.36 mm, 0.318 OD, at 48.26 x 1.65.
    let joint = Saddle {
        touch: Touch::Wall,
        ..saddle((48.26, 1.65), 48.26)
    };
    assert_abs_diff_eq!(t(&joint, 0.0) - t(&joint, 90.0), 15.36, epsilon = 0.005);
}

#[test]
fn dihedral_angles_follow_the_closed_form() {
    // DEVELOPERS.md, "Geometry": cos psi = -[ b sin^2 a - cos A cos a sqrt(1 - b^2 sin^2 a) ].
    for angle_deg in [30.0, 60.0, 90.0] {
        let joint = Saddle {
            turned_deg: 0.0,
            angle_deg,
            ..saddle((60.0, 3.0), 100.0)
        };
        let (end, b) = (joint.end(), 0.6);
        for degree in (0..360).step_by(10) {
            let (sin, cos) = f64::from(degree).to_radians().sin_cos();
            let form = -(b * sin * sin - f64::to_radians(angle_deg).cos() * cos * (1.0 - b * b * sin * sin).sqrt());
            let solved = dihedral_deg(&end, f64::from(degree).to_radians()).unwrap_or(f64::NAN);
            assert_abs_diff_eq!(solved, form.acos().to_degrees(), epsilon = SOLVER);
        }
    }
}

#[test]
fn cut_angles_of_turns_agree_with_the_handbooks() {
    // Atkins ch. VI; Longfield 1921 p. 96; Kittredge problem 41; Payne 1917: T / (2 (N - 1)).
    for (turn, pieces, cut) in [
        (60.0, 2, 30.0),
        (90.0, 2, 45.0),
        (90.0, 3, 22.5),
        (90.0, 4, 15.0),
        (90.0, 5, 11.25),
        (90.0, 6, 9.0),
    ] {
        assert_abs_diff_eq!(
            miter(50.0, turn, pieces, None).cut_off_square_deg(),
            cut,
            epsilon = 1e-12
        );
    }
    // NAVEDTRA 14251, figs 3-46 and 3-47: total cut-back OD tan c, half above and half below. Regression values.
    for (od, rows) in [
        (60.325, [(2, 30.163), (3, 12.494), (4, 8.082), (5, 6.000)]),
        (114.3, [(2, 57.150), (3, 23.672), (4, 15.313), (5, 11.368)]),
    ] {
        for (pieces, cut_back) in rows {
            let end = miter(od, 90.0, pieces, None).end();
            let at = |degrees: f64| cut_at(&end, degrees.to_radians()).map_or(f64::NAN, |cut| cut.t);
            assert_abs_diff_eq!(-at(0.0), cut_back, epsilon = 0.0006);
            assert_abs_diff_eq!(at(180.0), cut_back, epsilon = 0.0006);
        }
    }
    // Atkins ch. VI: included angle 120, 5 in across, difference of the sides 2.887 in (2.9 as printed).
    let end = miter(127.0, 60.0, 2, None).end();
    let sides = [180.0f64, 0.0].map(|degrees| cut_at(&end, degrees.to_radians()).map_or(f64::NAN, |cut| cut.t));
    assert_abs_diff_eq!((sides[0] - sides[1]) / 25.4, 2.887, epsilon = 0.0005);
}

#[test]
fn pieces_of_a_turn_agree_with_the_sample_calculation() {
    // Piping engineers' sample calculation, "Formula for Miter Fabrication From Pipe": OD 273, radius 381, four cuts.
    let turn = miter(273.0, 90.0, 5, Some(381.0));
    assert_abs_diff_eq!(turn.middle_piece_mm().unwrap_or(0.0), 151.6, epsilon = 0.05);
    assert_abs_diff_eq!(turn.end_piece_mm().unwrap_or(0.0), 75.8, epsilon = 0.05);
    assert_abs_diff_eq!(
        136.5 * turn.cut_off_square_deg().to_radians().tan(),
        27.15,
        epsilon = 0.005
    );
}

#[test]
fn a_miters_cut_unrolls_to_an_ellipses_perimeter() {
    // Length of the cut over its girth, by the complete elliptic integral: 4 (r / cos c) E(sin^2 c) / (2 pi r).
    for (turn, ratio) in [
        (90.0, 1.216007),
        (60.0, 1.078739),
        (45.0, 1.041604),
        (30.0, 1.017715),
        (22.5, 1.009819),
    ] {
        let curve =
            solve_end(&miter(100.0, turn, 2, None).end(), 50.0, 0.0).unwrap_or_else(|problem| panic!("{problem}"));
        let length: f64 = curve.path.segments().map(|segment| segment.arclen(1e-7)).sum();
        assert_abs_diff_eq!(length / (100.0 * PI), ratio, epsilon = 1e-5);
        assert!(curve.path.segments().count() <= 20);
    }
}
