//! The lines of a pattern as each format has them, y up, in millimetres.

#![allow(unreachable_pub, reason = "shared by tests")]

use dxf::entities::{EntityType, LwPolyline, Spline};
use kurbo::{Affine, BezPath, Point, Rect, Shape};
use svg::node::element::tag::Type;
use svg::parser::Event;

use crate::support::Pdf;

/// Every line with the name of its layer.
pub struct Drawn {
    pub format: &'static str,
    /// Half of what the format's numbers are rounded to, for both coordinates together.
    pub rounding: f64,
    pub lines: Vec<(String, BezPath)>,
}

impl Drawn {
    pub fn in_pdf(bytes: &[u8]) -> Self {
        let strokes = Pdf::read(bytes).strokes;
        Self {
            format: "PDF",
            // Single precision: a ten-thousandth of a millimetre on the largest page.
            rounding: 2e-4,
            lines: strokes
                .into_iter()
                .map(|stroke| (stroke.layer.replace('-', " "), stroke.path))
                .collect(),
        }
    }

    pub fn in_svg(bytes: &[u8]) -> Self {
        let text = std::str::from_utf8(bytes).expect("text");
        let (mut layer, mut lines) = (String::new(), Vec::new());
        for event in svg::read(text).expect("an SVG") {
            let Event::Tag(name, kind, attributes) = event else {
                continue;
            };
            match (name, kind) {
                ("g", Type::Start) => layer = attributes["id"].to_string().replace('-', " "),
                ("path", _) if attributes.contains_key("stroke") => {
                    let path = BezPath::from_svg(&attributes["d"]).expect("path data");
                    lines.push((layer.clone(), Affine::FLIP_Y * path));
                }
                _ => {}
            }
        }
        // Four decimals.
        let rounding = 1e-4;
        Self {
            format: "SVG",
            rounding,
            lines,
        }
    }

    /// As a browser would have it: by usvg, which resolves units and every transform.
    pub fn in_resolved_svg(bytes: &[u8]) -> Self {
        let tree = usvg::Tree::from_data(bytes, &usvg::Options::default()).expect("an SVG");
        // Pixels of 96 to the inch (CSS), y down.
        let to_mm = Affine::FLIP_Y * Affine::scale(25.4 / 96.0);
        let mut lines = Vec::new();
        resolved_lines(tree.root(), "", to_mm, &mut lines);
        Self {
            format: "resolved SVG",
            // Four decimals, then single precision: an eight-thousandth of a millimetre two metres away.
            rounding: 1e-4 + 2.5e-4,
            lines,
        }
    }

    pub fn in_dxf(mut bytes: &[u8]) -> Self {
        let file = dxf::Drawing::load(&mut bytes).expect("a DXF");
        let lines = file.entities().filter_map(|entity| {
            let path = match &entity.specific {
                EntityType::LwPolyline(line) => polyline(line),
                EntityType::Spline(spline) => cubics(spline),
                _ => return None,
            };
            Some((entity.common.layer.clone(), path))
        });
        Self {
            format: "DXF",
            rounding: 1e-6,
            lines: lines.collect(),
        }
    }

    /// The lines of one layer that fit.
    pub fn on(&self, layer: &str, fits: impl Fn(Rect) -> bool) -> Vec<&BezPath> {
        let on = self.lines.iter().filter(|(name, _)| name == layer);
        on.map(|(_, path)| path)
            .filter(|path| fits(path.bounding_box()))
            .collect()
    }

    /// The one line that fits.
    #[track_caller]
    pub fn only(&self, layer: &str, fits: impl Fn(Rect) -> bool) -> &BezPath {
        let found = self.on(layer, fits);
        assert_eq!(found.len(), 1, "{layer} in the {}: {found:?}", self.format);
        found[0]
    }
}

fn resolved_lines(group: &usvg::Group, layer: &str, to_mm: Affine, lines: &mut Vec<(String, BezPath)>) {
    let layer = if group.id().is_empty() {
        layer.to_owned()
    } else {
        group.id().replace('-', " ")
    };
    for node in group.children() {
        match node {
            usvg::Node::Group(inner) => resolved_lines(inner, &layer, to_mm, lines),
            usvg::Node::Path(path) if path.stroke().is_some() => {
                let t = path.abs_transform();
                let place = [t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from);
                lines.push((layer.clone(), to_mm * Affine::new(place) * resolved_path(path.data())));
            }
            _ => {}
        }
    }
}

fn resolved_path(data: &usvg::tiny_skia_path::Path) -> BezPath {
    use usvg::tiny_skia_path::PathSegment;
    let point = |point: usvg::tiny_skia_path::Point| Point::new(f64::from(point.x), f64::from(point.y));
    let mut path = BezPath::new();
    for segment in data.segments() {
        match segment {
            PathSegment::MoveTo(end) => path.move_to(point(end)),
            PathSegment::LineTo(end) => path.line_to(point(end)),
            PathSegment::QuadTo(control, end) => path.quad_to(point(control), point(end)),
            PathSegment::CubicTo(first, second, end) => path.curve_to(point(first), point(second), point(end)),
            PathSegment::Close => path.close_path(),
        }
    }
    path
}

fn polyline(line: &LwPolyline) -> BezPath {
    let mut path = BezPath::new();
    for (index, vertex) in line.vertices.iter().enumerate() {
        let point = Point::new(vertex.x, vertex.y);
        if index == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    if line.flags & 1 == 1 {
        path.close_path();
    }
    path
}

/// A cubic spline whose inner knots stand three times is cubics end to end.
fn cubics(spline: &Spline) -> BezPath {
    assert_eq!(spline.degree_of_curve, 3);
    let points: Vec<Point> = spline
        .control_points
        .iter()
        .map(|point| Point::new(point.x, point.y))
        .collect();
    let spans = (points.len() - 1) / 3;
    assert_eq!(points.len(), 3 * spans + 1);
    let mut knots = vec![0.0];
    knots.extend((0..=spans).flat_map(|knot| [knot as f64; 3]));
    knots.push(spans as f64);
    assert_eq!(spline.knot_values, knots);
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for span in points[1..].chunks(3) {
        path.curve_to(span[0], span[1], span[2]);
    }
    path
}
