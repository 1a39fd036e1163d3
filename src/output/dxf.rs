//! DXF in millimetres, 1:1, with one layer for each kind of line. Curves are cubic splines.

use dxf::entities::{Entity, EntityType, LwPolyline, Spline, Text as DxfText};
use dxf::enums::{AcadVersion, DrawingUnits, HorizontalTextJustification, Units};
use dxf::tables::Layer as DxfLayer;
use dxf::{Color, LwPolylineVertex, Point as DxfPoint};
use kurbo::{BezPath, CubicBez, PathSeg, Point};

use crate::layout::{Align, Drawing, Item, Layer, Text};
use crate::problem::Problem;

const MM_PER_POINT: f64 = 25.4 / 72.0;
/// Height of capitals in ems: DXF measures letters by them.
const CAPITALS: f64 = 0.72;

/// The drawing as a DXF, the same bytes for the same drawing.
///
/// # Errors
/// Where the drawing can't be put into bytes.
pub fn dxf_bytes(drawing: &Drawing) -> Result<Vec<u8>, Problem> {
    let mut file = dxf::Drawing::new();
    let header = &mut file.header;
    header.version = AcadVersion::R2000;
    header.default_drawing_units = Units::Millimeters;
    header.drawing_units = DrawingUnits::Metric;
    let bounds = drawing.bounds();
    header.minimum_drawing_extents = DxfPoint::new(bounds.x0, bounds.y0, 0.0);
    header.maximum_drawing_extents = DxfPoint::new(bounds.x1, bounds.y1, 0.0);
    // Fixed, so that the same job gives the same bytes.
    header.creation_date = Default::default();
    header.creation_date_universal = Default::default();
    header.update_date = Default::default();
    header.update_date_universal = Default::default();
    header.version_guid = Default::default();
    header.fingerprint_guid = Default::default();
    for (layer, color) in Layer::ALL.into_iter().zip([8, 5, 3, 1]) {
        let name = layer.name().to_owned();
        file.add_layer(DxfLayer {
            name,
            color: Color::from_index(color),
            ..Default::default()
        });
        for item in drawing.on(layer) {
            for kind in entities(item) {
                let mut entity = Entity::new(kind);
                layer.name().clone_into(&mut entity.common.layer);
                file.add_entity(entity);
            }
        }
    }
    let mut bytes = Vec::new();
    file.save(&mut bytes)
        .map_err(|error| Problem::output("the DXF can't be written").figures(error.to_string()))?;
    let text = String::from_utf8(bytes)
        .map_err(|error| Problem::output("the DXF can't be written").figures(error.to_string()))?;
    Ok(with_table_handles(&text).into_bytes())
}

/// Gives each table a handle (group 5), which R2000 wants and the writer leaves out: the next free ones.
fn with_table_handles(text: &str) -> String {
    let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let lines: Vec<&str> = text.lines().collect();
    let pairs: Vec<(&str, &str)> = lines.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect();
    let is = |pair: (&str, &str), code: &str, value: &str| pair.0.trim() == code && pair.1 == value;
    let seed = pairs
        .iter()
        .position(|pair| is(*pair, "9", "$HANDSEED"))
        .map(|at| at + 1);
    let mut free = seed
        .and_then(|at| u64::from_str_radix(pairs[at].1.trim(), 16).ok())
        .unwrap_or(0xF000);
    let tables = pairs.iter().filter(|pair| is(**pair, "0", "TABLE")).count() as u64;
    let mut out = String::with_capacity(text.len() + 256);
    let mut put = |code: &str, value: &str| out.extend([code, newline, value, newline]);
    for (at, (code, value)) in pairs.iter().enumerate() {
        if Some(at) == seed {
            put(code, &format!("{:X}", free + tables));
        } else if at > 0 && (is(pairs[at - 1], "9", "$TDCREATE") || is(pairs[at - 1], "9", "$TDUPDATE")) {
            // The writer counts these from the local midnight; fixed, as the others are.
            put(code, "2440588.0");
        } else {
            put(code, value);
        }
        if at > 0 && is(pairs[at - 1], "0", "TABLE") {
            put("  5", &format!("{free:X}"));
            free += 1;
        }
    }
    out
}

fn entities(item: &Item) -> Vec<EntityType> {
    match item {
        Item::Stroke(path, _) => subpaths(path).iter().map(|segments| entity(segments)).collect(),
        // White fills only make room for words on paper.
        Item::Fill(path, shade) if *shade < 1.0 => subpaths(path).iter().map(|segments| entity(segments)).collect(),
        Item::Fill(..) => Vec::new(),
        Item::Words(text) => vec![EntityType::Text(words(text))],
    }
}

/// The segments of each connected part of a path.
fn subpaths(path: &BezPath) -> Vec<Vec<PathSeg>> {
    let mut parts: Vec<Vec<PathSeg>> = Vec::new();
    let mut end = None;
    for segment in path.segments() {
        use kurbo::ParamCurve;
        match parts.last_mut() {
            Some(part) if end == Some(segment.start()) => part.push(segment),
            _ => parts.push(vec![segment]),
        }
        end = Some(segment.end());
    }
    parts
}

fn entity(segments: &[PathSeg]) -> EntityType {
    if segments.iter().all(|segment| matches!(segment, PathSeg::Line(_))) {
        return EntityType::LwPolyline(polyline(segments));
    }
    EntityType::Spline(spline(segments))
}

fn polyline(segments: &[PathSeg]) -> LwPolyline {
    use kurbo::ParamCurve;
    let ends = segments.iter().map(PathSeg::end);
    let mut points: Vec<Point> = segments.first().map(PathSeg::start).into_iter().chain(ends).collect();
    let is_closed = points.len() > 3 && points.first() == points.last();
    if is_closed {
        points.pop();
    }
    let vertices = points
        .iter()
        .map(|point| LwPolylineVertex {
            x: point.x,
            y: point.y,
            ..Default::default()
        })
        .collect();
    LwPolyline {
        flags: i32::from(is_closed),
        vertices,
        ..Default::default()
    }
}

/// Cubics end to end as one spline: inner knots three times, so that each cubic is one span of it.
fn spline(segments: &[PathSeg]) -> Spline {
    let cubics: Vec<CubicBez> = segments.iter().map(PathSeg::to_cubic).collect();
    let start = cubics.first().map(|cubic| cubic.p0);
    let points = start
        .into_iter()
        .chain(cubics.iter().flat_map(|cubic| [cubic.p1, cubic.p2, cubic.p3]));
    let mut knots = vec![0.0];
    for knot in 0..=cubics.len() {
        knots.extend([knot as f64; 3]);
    }
    knots.push(cubics.len() as f64);
    Spline {
        degree_of_curve: 3,
        // Planar.
        flags: 8,
        knot_values: knots,
        control_points: points.map(|point| DxfPoint::new(point.x, point.y, 0.0)).collect(),
        ..Default::default()
    }
}

fn words(text: &Text) -> DxfText {
    let at = DxfPoint::new(text.at.x, text.at.y, 0.0);
    DxfText {
        location: at.clone(),
        second_alignment_point: at,
        text_height: text.size_pt * MM_PER_POINT * CAPITALS,
        value: text.words.clone(),
        rotation: 90.0 * f64::from(text.quarter_turns % 4),
        horizontal_text_justification: match text.align {
            Align::Left => HorizontalTextJustification::Left,
            Align::Middle => HorizontalTextJustification::Center,
            Align::Right => HorizontalTextJustification::Right,
        },
        ..Default::default()
    }
}
