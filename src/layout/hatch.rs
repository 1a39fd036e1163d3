//! Slanted lines over an area: waste.

use kurbo::{BezPath, Line, PathEl, Point};

/// Slanted lines, `spacing` millimetres apart, over the inside of the closed `area`.
pub(super) fn hatch(area: &BezPath, spacing: f64) -> BezPath {
    let edges = edges(area);
    // Along a line of the hatch x + y is constant.
    let sums = edges
        .iter()
        .flat_map(|edge| [edge.p0, edge.p1])
        .map(|point| point.x + point.y);
    let (low, high) = sums.fold((f64::MAX, f64::MIN), |(low, high), sum| (low.min(sum), high.max(sum)));
    let mut lines = BezPath::new();
    let pitch = spacing * std::f64::consts::SQRT_2;
    let mut sum = low + pitch / 2.0;
    while sum < high {
        let mut crossings: Vec<Point> = edges.iter().filter_map(|edge| crossing(edge, sum)).collect();
        crossings.sort_by(|a, b| a.x.total_cmp(&b.x));
        for pair in crossings.chunks_exact(2) {
            lines.move_to(pair[0]);
            lines.line_to(pair[1]);
        }
        sum += pitch;
    }
    lines
}

fn edges(area: &BezPath) -> Vec<Line> {
    let (mut edges, mut start, mut here) = (Vec::new(), Point::ZERO, Point::ZERO);
    kurbo::flatten(area, 0.05, |element| match element {
        PathEl::MoveTo(point) => (start, here) = (point, point),
        PathEl::LineTo(point) => {
            edges.push(Line::new(here, point));
            here = point;
        }
        _ => {
            edges.push(Line::new(here, start));
            here = start;
        }
    });
    edges
}

/// Where x + y = `sum` crosses an edge; its upper end does not belong to it, so that corners count once.
fn crossing(edge: &Line, sum: f64) -> Option<Point> {
    let (from, to) = (edge.p0.x + edge.p0.y - sum, edge.p1.x + edge.p1.y - sum);
    ((from < 0.0) != (to < 0.0)).then(|| edge.p0.lerp(edge.p1, from / (from - to)))
}
