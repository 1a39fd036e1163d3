//! Handbooks, standards and facts of the trade: areas, volumes, lengths, elbows, set-in branches, clocking. Each check
//! names its source; lengths are in millimetres unless they say inches.

mod plain;

use std::f64::consts::{PI, SQRT_2, TAU};

use approx::assert_abs_diff_eq;
use girthline::job::read::read_job;
use girthline::job::resolve;
use girthline::job::{Frame, Header, Join, Saddle, Touch};
use girthline::solver::{cut_at, hole_outline, solve_end, solve_piece};
use kurbo::{ParamCurve, Shape};
use plain::{miter, saddle, t};

/// The promise of the solver against closed forms.
const SOLVER: f64 = 1e-6;
/// The promise for fitted curves.
const FITTED: f64 = 0.005;

/// The volume that two thin tubes through each other share, from the heights of cuts at ever smaller radii: both ways
/// from the header's axis, over the branch's round.
fn shared_volume(branch: f64, header: f64) -> f64 {
    const RINGS: usize = 400;
    const SPOKES: usize = 360;
    let ring = branch / RINGS as f64;
    let rings = (0..RINGS).map(|ring_number| {
        let radius = (ring_number as f64 + 0.5) * ring;
        let joint = saddle((2.0 * radius, 0.0), 2.0 * header);
        let heights = (0..SPOKES).map(|spoke| 2.0 * t(&joint, (spoke as f64 + 0.5) * 360.0 / SPOKES as f64));
        heights.sum::<f64>() / SPOKES as f64 * TAU * radius * ring
    });
    rings.sum()
}

/// Complete elliptic integrals K and E of modulus k, by the arithmetic-geometric mean.
fn elliptic(k: f64) -> (f64, f64) {
    let (mut a, mut b, mut c, mut power, mut sum) = (1.0_f64, (1.0 - k * k).sqrt(), k, 0.5, 0.5 * k * k);
    while c.abs() > 1e-16 {
        (a, b, c) = (0.5 * (a + b), (a * b).sqrt(), 0.5 * (a - b));
        power *= 2.0;
        sum += power * c * c;
    }
    let k_integral = PI / (2.0 * a);
    (k_integral, k_integral * (1.0 - sum))
}

#[test]
fn two_equal_tubes_share_the_volume_of_a_steinmetz_solid() {
    // MathWorld, "Steinmetz Solid", eqs 3 and 4: 16 r^3 / 3. The sum over rings is good to a few millionths.
    let r: f64 = 25.0;
    assert_abs_diff_eq!(shared_volume(r, r) / (16.0 * r.powi(3) / 3.0), 1.0, epsilon = 2e-5);
}

#[test]
fn two_unequal_tubes_share_the_volume_of_the_elliptic_integrals() {
    // MathWorld, "Steinmetz Solid", and CRC Concise Encyclopedia (after Bowman 1961):
    // (8/3) a [(a^2 + b^2) E(k) - (a^2 - b^2) K(k)], k = b / a. Regression: 314,875.9 mm^3.
    let (a, b) = (57.15_f64, 30.1625_f64);
    let (k, e) = elliptic(b / a);
    let form = 8.0 / 3.0 * a * ((a * a + b * b) * e - (a * a - b * b) * k);
    let shared = shared_volume(b, a);
    assert_abs_diff_eq!(shared / form, 1.0, epsilon = 2e-5);
    assert_abs_diff_eq!(shared / 314_875.9, 1.0, epsilon = 2e-5);
}

#[test]
fn equal_tubes_at_45_degrees_meet_in_planes_of_slope_1_and_root_2() {
    // A derivation seen in a forum: slopes 1 + sqrt 2 and 1 - sqrt 2, 67.5 and -22.5 degrees.
    let joint = Saddle {
        angle_deg: 45.0,
        ..saddle((50.0, 0.0), 50.0)
    };
    for degree in (0..360).step_by(15) {
        let y = 25.0 * f64::from(degree).to_radians().cos();
        let slope = if y > 0.0 { 1.0 + SQRT_2 } else { 1.0 - SQRT_2 };
        assert_abs_diff_eq!(t(&joint, f64::from(degree)), y * slope, epsilon = SOLVER);
    }
    assert_abs_diff_eq!((t(&joint, 0.0) / 25.0).atan().to_degrees(), 67.5, epsilon = 1e-6);
    assert_abs_diff_eq!((t(&joint, 180.0) / 25.0).atan().to_degrees(), 22.5, epsilon = 1e-6);
}

#[test]
fn a_flat_cut_unrolls_to_a_sine_curve() {
    // Apostol and Mnatsakanian, "Unwrapping Curves from Cylinders and Cones", Amer. Math. Monthly 114 (2007):
    // h sin(x / r), h = r tan c. From the long side it is the cosine.
    let (r, c) = (50.0_f64, 22.5_f64.to_radians());
    let curve = solve_end(&miter(2.0 * r, 45.0, 2, None).end(), r, 0.0).unwrap_or_else(|problem| panic!("{problem}"));
    for segment in curve.path.segments() {
        for step in 0..=20 {
            let point = segment.eval(f64::from(step) / 20.0);
            assert_abs_diff_eq!(-point.y, r * c.tan() * (point.x / r).cos(), epsilon = FITTED);
        }
    }
}

#[test]
fn a_cylindrical_wedge_has_its_area_and_volume() {
    // VIAS, Computational Geometry: a wedge through a diameter has a lateral area of 2 r h and a volume of (2/3) r^2 h;
    // a truncated cylinder pi r^2 (hmax + hmin) / 2.
    let (r, turn) = (40.0_f64, 60.0);
    let h = r * (turn / 2.0_f64).to_radians().tan();
    let curve = solve_end(&miter(2.0 * r, turn, 2, None).end(), r, 0.0).unwrap_or_else(|problem| panic!("{problem}"));
    // The half girth where the cut is past the diameter: from a quarter to three quarters.
    let quarter = r * PI / 2.0;
    let mut under = curve.path.clone();
    under.line_to((4.0 * quarter, -2.0 * h));
    under.line_to((0.0, -2.0 * h));
    under.close_path();
    assert_abs_diff_eq!(under.area().abs(), TAU * r * 2.0 * h, epsilon = FITTED * TAU * r);
    const RINGS: usize = 200;
    let height = |radius: f64, degrees: f64| {
        let end = miter(2.0 * radius, turn, 2, None).end();
        -cut_at(&end, degrees.to_radians()).map_or(f64::NAN, |cut| cut.t)
    };
    let (mut area, mut wedge, mut cylinder) = (0.0, 0.0, 0.0);
    for ring in 0..RINGS {
        let radius = (ring as f64 + 0.5) * r / RINGS as f64;
        for degree in 0..360 {
            let up = height(radius, f64::from(degree) + 0.5);
            let patch = radius * r / RINGS as f64 * TAU / 360.0;
            wedge += up.max(0.0) * patch;
            cylinder += (up + 100.0) * patch;
        }
    }
    for degree in 0..360 {
        area += height(r, f64::from(degree) + 0.5).max(0.0) * r * TAU / 360.0;
    }
    assert_abs_diff_eq!(area / (2.0 * r * h), 1.0, epsilon = 1e-4);
    assert_abs_diff_eq!(wedge / (2.0 / 3.0 * r * r * h), 1.0, epsilon = 1e-4);
    assert_abs_diff_eq!(cylinder / (PI * r * r * (200.0) / 2.0), 1.0, epsilon = 1e-9);
}

#[test]
fn welds_are_as_long_as_the_structural_code_estimates() {
    // AWS D1.1, tubular structures, from memory, for d / D to 0.9; only a check of sense, to 2 %: pi d Ka,
    // Ka = x + y + 3 sqrt(x^2 + y^2), x = 1 / (2 pi sin A), y = (3 - b^2) / (3 pi (2 - b^2)).
    for angle_deg in [30.0_f64, 45.0, 60.0, 90.0] {
        for b in [0.2, 0.5, 0.8, 0.9] {
            let (branch, header) = (100.0 * b, 100.0);
            let joint = Saddle {
                angle_deg,
                ..saddle((branch, 0.0), header)
            };
            let Frame { origin, axis, .. } = joint.frame();
            let place = |degree: i32| {
                let out = joint.frame().outward(f64::from(degree).to_radians());
                origin + branch / 2.0 * out + t(&joint, f64::from(degree)) * axis
            };
            let length: f64 = (0..360)
                .map(|degree| (place(degree + 1) - place(degree)).length())
                .sum();
            let x = 1.0 / (TAU * angle_deg.to_radians().sin());
            let y = (3.0 - b * b) / (3.0 * PI * (2.0 - b * b));
            let estimate = PI * branch * (x + y + 3.0 * x.hypot(y));
            assert!(
                (length / estimate - 1.0).abs() < 0.02,
                "{angle_deg}, {b}: {length} against {estimate}"
            );
        }
    }
}

#[test]
fn a_sleeve_on_a_roof_has_the_long_side_of_the_worked_example() {
    // Rose, Layout Procedures for Metals (Open Oregon 2019): roof at 30 degrees, 6 in across, short side 6 in, long 9.46.
    let end = miter(6.0 * 25.4, 60.0, 2, None).end();
    let side = |degrees: f64| cut_at(&end, degrees.to_radians()).map_or(f64::NAN, |cut| -cut.t) / 25.4;
    assert_abs_diff_eq!(6.0 + side(0.0) - side(180.0), 9.46, epsilon = 0.005);
}

#[test]
fn elbows_are_parted_as_in_the_pattern_books() {
    // Sheet Metal Drafting (Longfield 1921, the name from memory), p. 96: a three-piece elbow has its miter lines at the
    // 1st and 3rd of four parts of the arc, 22.5 and 67.5 degrees.
    let three = miter(50.0, 90.0, 3, Some(100.0));
    assert_abs_diff_eq!(three.cut_off_square_deg(), 22.5, epsilon = 1e-12);
    // The middle piece touches the arc between the two, so that it is twice E tan 22.5 long.
    let middle = three.middle_piece_mm().expect("a middle");
    assert_abs_diff_eq!((middle / 200.0).atan().to_degrees(), 22.5, epsilon = 1e-9);
    // Kittredge, The New Metal Worker Pattern Book, problem 41; Payne, Popular Science 1917: four pieces, the arc divided
    // in three, cuts of 15 degrees, the end pieces half the middle ones.
    let four = miter(50.0, 90.0, 4, Some(100.0));
    assert_abs_diff_eq!(four.cut_off_square_deg(), 15.0, epsilon = 1e-12);
    let (end, middle) = (
        four.end_piece_mm().expect("ends"),
        four.middle_piece_mm().expect("middles"),
    );
    assert_abs_diff_eq!(2.0 * end, middle, epsilon = SOLVER);
    // Common practice: two cuts of 22.5 degrees make a turn of 45.
    assert_abs_diff_eq!(miter(50.0, 45.0, 2, None).cut_off_square_deg(), 22.5, epsilon = 1e-12);
}

#[test]
fn three_equal_tubes_at_120_degrees_are_cut_back_alike() {
    // NAVEDTRA 14251 (US Navy Steelworker Vol. 2, 1996), fig. 3-54, and Atkins, Practical Sheet and Plate Metal Work: one
    // pattern for all three; cut-back (D / 2) / tan(open / 2), 0.28868 D. Two of the three turn by 60 degrees.
    let end = miter(100.0, 60.0, 2, None).end();
    let side = |degrees: f64| cut_at(&end, degrees.to_radians()).map_or(f64::NAN, |cut| cut.t);
    assert_abs_diff_eq!(side(180.0), 28.868, epsilon = 0.0005);
    assert_abs_diff_eq!(side(180.0), 50.0 / 60_f64.to_radians().tan(), epsilon = SOLVER);
}

#[test]
fn a_holes_width_is_an_arc_along_the_header() {
    // Atkins, Practical Sheet and Plate Metal Work, ch. III: arcs, not chords.
    let (r, header) = (30.0_f64, 50.0_f64);
    let hole =
        hole_outline(&saddle((2.0 * r, 0.0), 2.0 * header).drilling()).unwrap_or_else(|problem| panic!("{problem}"));
    let width = hole.path.bounding_box().width();
    assert_abs_diff_eq!(width, 2.0 * header * (r / header).asin(), epsilon = FITTED);
    assert!(width > 2.0 * r + 4.0, "not the chord");
}

#[test]
fn a_set_in_branch_reaches_the_headers_inner_surface() {
    // NAVEDTRA 14251, fig. 3-50 ff., and ASME B31.3 328.4.3(c)(2): the smaller branch is set in as far as the header's
    // inner surface.
    let joint = Saddle {
        header: Header {
            od_mm: 114.3,
            wall_mm: Some(6.0),
            name: None,
        },
        join: Join::SetIn,
        touch: Touch::Outside,
        ..saddle((60.3, 3.0), 114.3)
    };
    for degree in (0..360).step_by(10) {
        let x = 30.15 * f64::from(degree).to_radians().sin();
        assert_abs_diff_eq!(
            t(&joint, f64::from(degree)),
            (51.15_f64.powi(2) - x * x).sqrt(),
            epsilon = SOLVER
        );
    }
}

#[test]
fn a_branchs_angle_is_between_the_centre_lines() {
    // NAVEDTRA 14251, ch. 3. The header's axis is +y.
    for angle_deg in [10.0_f64, 45.0, 60.0, 90.0] {
        let joint = Saddle {
            angle_deg,
            ..saddle((50.0, 0.0), 100.0)
        };
        let between = joint.frame().axis.y.acos().to_degrees();
        assert_abs_diff_eq!(between, angle_deg, epsilon = 1e-12);
    }
}

#[test]
fn a_piece_between_two_bends_carries_the_angle_between_their_planes() {
    // Kittredge, The New Metal Worker Pattern Book, double elbow in two planes. The long sides are outside of the turns:
    // up at the first bend, and away from the third leg at the second.
    for lean in [0.0_f64, 30.0, 75.0] {
        let (sin, cos) = lean.to_radians().sin_cos();
        let text = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "48.3mm x 2.6mm" }} }}, "bodies": {{}}, "tubes": {{ "p": {{
                "stock": "a", "start": {{ "join": "square" }}, "end": {{ "join": "square" }}, "path": [
                {{ "at": [0, 0, 0] }}, {{ "at": [0, 0, 500] }}, {{ "at": [500, 0, 500] }},
                {{ "step": [0, {}, {}] }} ] }} }} }}"#,
            400.0 * cos,
            400.0 * sin
        );
        let raw = read_job("job", &text).unwrap_or_else(|problems| panic!("{problems}"));
        let job = resolve::job_file(&raw, &raw.sheet).unwrap_or_else(|problems| panic!("{problems}"));
        let pieces = job.joint.pieces(&job.joint.tubes[0]);
        let middle = solve_piece(&pieces[1], 24.2, 0.0).unwrap_or_else(|problem| panic!("{problem}"));
        assert_abs_diff_eq!(middle.twist_deg.expect("bends").abs(), 90.0 + lean, epsilon = 1e-9);
    }
}
