//! The report, the PDF, the SVG and the DXF of a joint say the same: each is read back by a parser of
//! its own and held against the report.

mod drawn;
mod support;

use drawn::Drawn;
use kurbo::{BezPath, ParamCurve, ParamCurveNearest, Point, Shape};
use serde_json::Value;
use support::Shop;

/// The promise for fitted curves, in millimetres.
const FITTED: f64 = 0.005;

/// Their holes lie near the header's own zero lines. The paper takes every pattern whole.
const SADDLES: [&str; 6] = [
    "saddle --branch 48.3mm_x_2mm --header 60.3mm",
    "saddle --branch 42.4mm_x_2.6mm --header 88.9mm --angle 60 --offset 7mm",
    "saddle --branch 42.4mm_x_2.6mm --header 88.9mm --angle 60 --offset -7mm --seam 25",
    "saddle --branch 60.3mm_x_2.9mm --header 60.3mm --angle 45 --touch outside --stations 7",
    "saddle --branch NPS_2_sch_40 --header NPS_4_sch_40 --join set-in --clearance 1/32in --angle 50",
    "saddle --branch 114.3mm_x_6mm --header 168.3mm --touch inside --paper-thickness 0.2mm --angle 75",
];
const MITERS: [&str; 2] = [
    "miter --tube 48.3mm_x_2mm --turn 90",
    "miter --tube 114.3mm_x_3.6mm --turn 30 --seam 90",
];
const WHOLE: &str = "--paper 1400mmx1400mm --out a.pdf --svg a.svg --dxf a.dxf --report a.json";

/// The report of a joint, and its lines in each format.
fn made(command: &str) -> (Value, [Drawn; 4]) {
    let shop = Shop::open();
    shop.run(&format!("{command} {WHOLE}")).succeeds();
    let drawn = [
        Drawn::in_pdf(&shop.read("a.pdf")),
        Drawn::in_svg(&shop.read("a.svg")),
        Drawn::in_resolved_svg(&shop.read("a.svg")),
        Drawn::in_dxf(&shop.read("a.dxf")),
    ];
    let report = shop.report("a.json");
    assert_eq!(report["ends"][0]["turned"], false, "{command}");
    (report, drawn)
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"))
}

fn points(value: &Value) -> Vec<Point> {
    let list = value.as_array().expect("a list");
    list.iter()
        .map(|pair| Point::new(number(&pair[0]), number(&pair[1])))
        .collect()
}

fn distance(path: &BezPath, point: Point) -> f64 {
    path.segments()
        .map(|segment| segment.nearest(point, 1e-9).distance_sq.sqrt())
        .fold(f64::MAX, f64::min)
}

/// The wrap of the report's first end: its cut, and where its base line starts.
fn wrap<'a>(drawn: &'a Drawn, end: &Value) -> (&'a BezPath, Point) {
    let girth = number(&end["printed_girth_mm"]);
    let as_wide = |width: f64| (width - girth).abs() < 0.001;
    let cut = drawn.only("cut line", |bounds| as_wide(bounds.width()));
    let left = cut.bounding_box().x0;
    let base = drawn.only("notes", |bounds| {
        as_wide(bounds.width()) && bounds.height() < 1e-3 && (bounds.x0 - left).abs() < 0.001
    });
    let start = base.segments().next().expect("a line").start();
    (cut, start)
}

/// The drawn cut against the report's, degree by degree and station by station, from seam and base line.
fn assert_wrap_is_as_reported(command: &str, report: &Value, drawn: &Drawn) {
    let end = &report["ends"][0];
    let (cut, origin) = wrap(drawn, end);
    let (girth, seam) = (number(&end["printed_girth_mm"]), number(&end["seam_deg"]));
    let base = number(&end["base_line_t_mm"]);
    let at = |azimuth: f64, up: f64| {
        let x = (azimuth - seam).rem_euclid(360.0) / 360.0 * girth;
        Point::new(origin.x + x, origin.y + up)
    };
    // A branch's t grows away from the cut end, a miter's towards it.
    let up = |t: f64| if base > 0.0 { base - t } else { t - base };
    let curve = points(&end["curve"]);
    assert_eq!(curve.len(), 361);
    let stations = end["ordinates"].as_array().expect("stations").iter();
    let ordinates = stations.map(|row| at(number(&row["azimuth_deg"]), number(&row["from_base_mm"])));
    for place in curve.iter().map(|row| at(row.x, up(row.y))).chain(ordinates) {
        let off = distance(cut, place);
        assert!(
            off <= FITTED + drawn.rounding,
            "{command}, {}: {off} at {place}",
            drawn.format
        );
    }
}

/// The hole's outline, and where its two lines cross.
fn hole<'a>(drawn: &'a Drawn, wrap: &BezPath) -> (&'a BezPath, Point) {
    let beside = wrap.bounding_box();
    let outline = drawn.only("cut line", |bounds| bounds != beside);
    let bounds = outline.bounding_box();
    // Both lines reach past the hole at both ends, and pass it near by.
    let reach = bounds.inflate(20.0, 20.0);
    let along = drawn.only("crown lines", |line| {
        let passes = line.y0 < bounds.y0 && line.y1 > bounds.y1 && reach.contains(line.center());
        line.width() < 1e-3 && passes
    });
    let round = drawn.only("crown lines", |line| {
        let passes = line.x0 < bounds.x0 && line.x1 > bounds.x1 && reach.contains(line.center());
        line.height() < 1e-3 && passes
    });
    (outline, Point::new(along.bounding_box().x0, round.bounding_box().y0))
}

fn assert_hole_is_as_reported(command: &str, report: &Value, drawn: &Drawn) {
    let (cut, _) = wrap(drawn, &report["ends"][0]);
    let (outline, cross) = hole(drawn, cut);
    let od = number(&report["ends"][0]["od_mm"]);
    // The paper round the header lies half a sheet above its skin.
    let paper = number(&report["ends"][0]["printed_girth_mm"]) / std::f64::consts::PI - od;
    let scale = 1.0 + paper / header_od(command);
    let site = axis_on_skin(command);
    for place in points(&report["holes"][0]["outline"]) {
        let printed = Point::new(cross.x + scale * (place.x - site.x), cross.y + place.y - site.y);
        let off = distance(outline, printed);
        assert!(
            off <= FITTED + drawn.rounding,
            "{command}, {}: {off} at {place}",
            drawn.format
        );
    }
}

/// Where the branch's axis comes through the header's skin, from the work point: a pattern's lines cross there. By hand:
/// so far round as the arc over the offset, and so far along as the axis has gone when it is at the skin.
fn axis_on_skin(command: &str) -> Point {
    let typed = |flag: &str, otherwise: f64| {
        let word = command.split(flag).nth(1).and_then(|rest| rest.split(' ').next());
        word.map_or(otherwise, |word| word.trim_end_matches("mm").parse().expect("a number"))
    };
    let (radius, offset) = (header_od(command) / 2.0, typed("--offset ", 0.0));
    let angle = typed("--angle ", 90.0).to_radians();
    let depth = (radius * radius - offset * offset).sqrt();
    Point::new(radius * (offset / radius).asin(), depth * angle.cos() / angle.sin())
}

/// As typed; of the tables, ASME B36.10M's.
fn header_od(command: &str) -> f64 {
    let word = command
        .split("--header ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next());
    match word.expect("a header") {
        "NPS_4_sch_40" => 114.3,
        word => word.trim_end_matches("mm").parse().expect("a number"),
    }
}

/// The largest distance between two drawings of one path, moved onto each other's starts.
fn apart(one: &BezPath, other: &BezPath) -> f64 {
    let curves = |path: &BezPath| -> Vec<_> {
        let segments = path.segments().map(|segment| segment.to_cubic());
        segments.filter(|cubic| cubic.p0.distance(cubic.p3) > 1e-3).collect()
    };
    let (one, other) = (curves(one), curves(other));
    assert_eq!(one.len(), other.len());
    let moved = one[0].p0 - other[0].p0;
    let pairs = one.iter().zip(&other);
    pairs
        .flat_map(|(a, b)| (0..=20).map(move |step| (a.eval(f64::from(step) / 20.0), b.eval(f64::from(step) / 20.0))))
        .map(|(a, b)| a.distance(b + moved))
        .fold(0.0, f64::max)
}

#[test]
fn every_format_draws_the_cut_of_the_report() {
    for command in SADDLES.iter().chain(&MITERS) {
        let (report, formats) = made(command);
        for drawn in &formats {
            assert_wrap_is_as_reported(command, &report, drawn);
        }
    }
}

#[test]
fn every_format_draws_the_hole_of_the_report() {
    for command in SADDLES {
        let (report, formats) = made(command);
        for drawn in &formats {
            assert_hole_is_as_reported(command, &report, drawn);
        }
    }
}

#[test]
fn every_format_draws_the_same_curves() {
    for command in SADDLES {
        let (report, formats) = made(command);
        let cuts: Vec<&BezPath> = formats.iter().map(|drawn| wrap(drawn, &report["ends"][0]).0).collect();
        let holes: Vec<&BezPath> = formats
            .iter()
            .zip(&cuts)
            .map(|(drawn, cut)| hole(drawn, cut).0)
            .collect();
        for paths in [cuts, holes] {
            for (other, drawn) in formats[..3].iter().enumerate() {
                // The start is rounded, and so is every other place.
                let apart = apart(paths[3], paths[other]);
                assert!(apart <= 2.0 * drawn.rounding, "{command}, {}: {apart}", drawn.format);
            }
        }
    }
}
