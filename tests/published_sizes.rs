//! Sizes of pipe, fence pipe, gauges and drums against published tables. Each check names its source; "from memory" says
//! that the text was not seen.

use std::f64::consts::PI;

use approx::assert_abs_diff_eq;
use girthline::measure::{Size, parse_size};

const MM_PER_INCH: f64 = 25.4;

#[track_caller]
fn size(words: &str) -> Size {
    parse_size(words, None).unwrap_or_else(|problem| panic!("{problem}"))
}

#[test]
fn an_inch_is_25_4_mm_exactly() {
    // US Federal Register, 1959.
    assert_eq!(size("1in x 0.1in").od_mm, 25.4);
}

#[test]
fn pipe_has_the_outside_diameters_of_the_standard() {
    // ASME B36.10M and B36.19M; from 14 in on the diameter is the nominal size.
    let rows = [
        ("1/2", 0.840),
        ("3/4", 1.050),
        ("1", 1.315),
        ("1-1/4", 1.660),
        ("1-1/2", 1.900),
        ("2", 2.375),
        ("2-1/2", 2.875),
        ("3", 3.500),
        ("3-1/2", 4.000),
        ("4", 4.500),
        ("5", 5.563),
        ("6", 6.625),
        ("8", 8.625),
        ("10", 10.750),
        ("12", 12.750),
        ("14", 14.0),
        ("16", 16.0),
        ("18", 18.0),
        ("20", 20.0),
        ("24", 24.0),
    ];
    for (nps, inches) in rows {
        assert_abs_diff_eq!(
            size(&format!("NPS {nps} sch STD")).od_mm,
            inches * MM_PER_INCH,
            epsilon = 1e-9
        );
    }
}

#[test]
fn above_10_in_schedule_40_is_not_the_standard_wall() {
    // ASME B36.10M: 12 in, 10.31 against 9.53 mm.
    let wall = |words: &str| size(words).wall_mm.expect("a wall");
    assert_abs_diff_eq!(wall("NPS 12 sch 40"), 10.31, epsilon = 0.005);
    assert_abs_diff_eq!(wall("NPS 12 sch STD"), 9.53, epsilon = 0.006);
    assert_eq!(wall("NPS 10 sch 40"), wall("NPS 10 sch STD"));
}

#[test]
fn girths_are_those_of_a_printed_table() {
    // Hawkins, Self-Help Mechanical Drawing: inches of girth by nominal size. Its 4.134 for 1 in is the girth of 1.316 in.
    let rows = [
        ("1-1/4", 5.215),
        ("1-1/2", 5.969),
        ("2", 7.461),
        ("3", 10.996),
        ("4", 14.137),
        ("6", 20.813),
        ("8", 27.096),
    ];
    for (nps, girth) in rows {
        assert_abs_diff_eq!(
            size(&format!("NPS {nps} sch 40")).od_mm * PI / MM_PER_INCH,
            girth,
            epsilon = 0.0006
        );
    }
    assert_abs_diff_eq!(size("NPS 1 sch 40").od_mm * PI / MM_PER_INCH, 4.134, epsilon = 0.004);
}

#[test]
fn metric_pipe_is_not_inch_pipe() {
    // ISO 4200 and EN 10220, series 1: to 60.3 seen, from 76.1 on from memory.
    let rows = [
        (15, 21.3),
        (20, 26.9),
        (25, 33.7),
        (32, 42.4),
        (40, 48.3),
        (50, 60.3),
        (65, 76.1),
        (80, 88.9),
        (100, 114.3),
        (125, 139.7),
        (150, 168.3),
        (200, 219.1),
        (250, 273.0),
        (300, 323.9),
    ];
    for (dn, od_mm) in rows {
        assert_eq!(size(&format!("EN DN {dn} x 3mm")).od_mm, od_mm, "DN {dn}");
    }
    // The same names in inches are other pipe: 73.0 and 141.3 mm.
    assert_abs_diff_eq!(size("NPS 2-1/2 sch 40").od_mm, 73.0, epsilon = 0.05);
    assert_abs_diff_eq!(size("NPS 5 sch 40").od_mm, 141.3, epsilon = 0.05);
}

#[test]
fn fence_pipe_is_as_wide_as_the_standard_says_and_says_so() {
    // ASTM F1043 and F1083; the trade names from memory.
    for (trade, inches) in [
        ("1-3/8", 1.315),
        ("1-5/8", 1.660),
        ("1-7/8", 1.900),
        ("2-3/8", 2.375),
        ("2-7/8", 2.875),
    ] {
        let size = size(&format!("fence {trade} x 0.065in"));
        assert_abs_diff_eq!(size.od_mm, inches * MM_PER_INCH, epsilon = 1e-9);
    }
    // Light tube is often truly 1.875 in, from memory: 2 mm of girth apart.
    let apart = (size("fence 1-7/8 x 0.065in").od_mm - 1.875 * MM_PER_INCH) * PI;
    assert_abs_diff_eq!(apart, 2.0, epsilon = 0.01);
}

#[test]
fn a_gauge_is_a_wall_of_its_own_in_each_family() {
    // Manufacturers' Standard, galvanized, BWG and 15 USC 206, in inches. Tube given in gauge is BWG.
    let rows = [
        ("16ga", 0.065),
        ("18ga", 0.049),
        ("20ga", 0.035),
        ("22ga", 0.028),
        ("16ga sheet", 0.0598),
        ("18ga sheet", 0.0478),
        ("20ga sheet", 0.0359),
        ("22ga sheet", 0.0299),
        ("16ga galvanized", 0.0635),
        ("18ga galvanized", 0.0516),
        ("20ga galvanized", 0.0396),
        ("16ga statutory", 0.0625),
        ("18ga statutory", 0.05),
        ("20ga statutory", 0.0375),
    ];
    for (gauge, inches) in rows {
        let wall = size(&format!("2in x {gauge}")).wall_mm.expect("a wall");
        assert_abs_diff_eq!(wall, inches * MM_PER_INCH, epsilon = 1e-9);
    }
}

#[test]
fn a_steel_drum_has_the_girth_of_its_inside_diameter_and_sheet() {
    // Suppliers' data: 571.5 mm (22.5 in) inside, sheet 0.9 to 1.5 mm. Regression: 573.9 mm and 1802.96 mm at 1.2 mm.
    let drum = size("drum 55 gal");
    let wall = drum.wall_mm.expect("a wall");
    assert!((0.9..=1.5).contains(&wall));
    assert_abs_diff_eq!(drum.od_mm - 2.0 * wall, 22.5 * MM_PER_INCH, epsilon = 1e-9);
    assert_abs_diff_eq!(drum.od_mm * PI, 1802.96, epsilon = 0.005);
}

#[test]
fn a_pipes_tolerance_on_its_diameter_moves_its_girth_by_millimetres() {
    // ASTM A53: 1 % from NPS 2 on. Regression: 3.6 mm of a 4 in pipe's girth; so the girth is to be measured.
    assert_abs_diff_eq!(0.01 * PI * size("NPS 4 sch 40").od_mm, 3.6, epsilon = 0.05);
}
