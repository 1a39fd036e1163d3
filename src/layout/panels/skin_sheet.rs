//! The drawing of a mark-out sheet: the skin laid flat, to scale, with every hole where it goes.

use kurbo::{Affine, BezPath, Line, Point, Rect, Shape};

use super::leader::around;
use super::marked::Marked;
use super::taken::Taken;
use super::{dimensions, found, parting, strips};
use crate::body::Development;
use crate::job::{BodyInSpace, Stays, ZeroLine};
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{READ_PT, TITLE_PT};
use crate::layout::polyline::{polyline, thinned};
use crate::layout::{Panel, Role, text};
use crate::measure::Units;
use crate::plan::{Datum, FlatSkin, PlacedHole};
use crate::wording::turned_on_words;

/// Room for a drawing on any paper, in millimetres.
pub(super) const ROOM: (f64, f64) = (156.0, 144.0);
/// The height of the drawing of a plate without edges, in millimetres.
const ENDLESS: f64 = 80.0;
/// Shown round the holes of a plate without edges, in millimetres.
const ROUND_HOLES: f64 = 30.0;
/// A hole's line is drawn with no more places than keep it this near to its outline, in millimetres on the sheet.
const NEAR: f64 = 0.0001;
/// A hole's line.
pub(super) const HOLE: Pen = Pen {
    width_mm: 0.35,
    ..Pen::PLAIN
};

/// What is shown of a skin, and how it comes to the sheet.
struct Shown {
    /// The skin itself, and it with all holes.
    skin: Rect,
    all: Rect,
    scale: f64,
    to_sheet: Affine,
    /// On the sheet.
    size: (f64, f64),
}

impl Shown {
    /// With all that is `drawn`; of a plate without `edge` little but the way from its cross to the holes.
    fn new<'p>(edge: Option<&BezPath>, drawn: impl Iterator<Item = &'p Point>) -> Self {
        let drawn = drawn.fold(Rect::ZERO, |rect, point| rect.union_pt(*point));
        let skin = edge.map_or_else(|| drawn.inflate(ROUND_HOLES, ROUND_HOLES), Shape::bounding_box);
        let all = skin.union(drawn);
        let high = if edge.is_some() { ROOM.1 } else { ENDLESS };
        let scale = nice_scale((ROOM.0 / all.width()).min(high / all.height()));
        Self {
            skin,
            all,
            scale,
            to_sheet: Affine::scale(scale) * Affine::translate((-all.x0, -all.y0)),
            size: (all.width() * scale, all.height() * scale),
        }
    }
}

/// The skin to scale, the zero line in the middle.
pub(super) fn skin_panel(
    body: &BodyInSpace,
    flat: &FlatSkin<'_>,
    holes: &[&PlacedHole],
    clash: Option<&str>,
    units: Units,
) -> Panel {
    let slit = holes.iter().map(|hole| flat.slit(&hole.on_skin(), hole.middle));
    let slit: Vec<Vec<Vec<Point>>> = slit.collect();
    let (edge, found) = (flat.edge(), found::outlines(flat));
    let made = found.iter().flat_map(|(_, parts)| parts.iter().flatten());
    let shown = Shown::new(edge.as_ref(), slit.iter().flatten().flatten().chain(made));
    let Shown { to_sheet, size, .. } = shown;

    let (mut drawing, mut taken) = (Drawing::default(), Taken::default());
    draw_skin(&mut drawing, &mut taken, body, flat, (edge, &shown), units);
    let datum = holes.first().and_then(|hole| hole.datum);
    if let Some(datum) = datum {
        draw_datum(&mut drawing, &mut taken, datum, &shown);
    }
    let marked = slit.into_iter().zip(holes);
    let marked = marked.map(|(parts, hole)| Marked::new(parts, hole, flat, to_sheet));
    let marked: Vec<Marked<'_>> = marked.collect();
    draw_holes(&mut drawing, &mut taken, flat, &marked, &shown);
    found::draw(&mut drawing, &mut taken, &found, to_sheet);
    name_ends(&mut drawing, &mut taken, flat, body, to_sheet, size);
    strips::name(&mut drawing, &mut taken, body, flat, shown.all, to_sheet);
    let aside = (ROOM.0 - size.0) / 2.0;
    let room = Rect::new(-aside, 0.0, size.0 + aside, size.1);
    let left_out = dimensions::write(&mut drawing, taken, &marked, room, units);
    let datum = datum.map_or_else(String::new, |datum| {
        format!(" Up and down are measured from {}, dashed across.", datum.name())
    });
    let words = words(body, flat, (shown.scale, left_out), units);
    with_heading(drawing, body, &format!("{words}{datum}"), clash)
}

/// What is to be kept off, the lines to measure from, the edge, where it is parted.
fn draw_skin(
    drawing: &mut Drawing,
    taken: &mut Taken,
    body: &BodyInSpace,
    flat: &FlatSkin<'_>,
    (edge, shown): (Option<BezPath>, &Shown),
    units: Units,
) {
    let to_sheet = shown.to_sheet;
    strips::draw(drawing, taken, body, flat, (shown.all, to_sheet));
    for line in guides(flat, shown.skin) {
        let line = to_sheet * line;
        drawing.stroke(Layer::CrownLines, Pen::CROWN, line);
        taken.guides.push(line);
    }
    if let Some(edge) = edge.map(|edge| to_sheet * edge) {
        drawing.stroke(Layer::Notes, Pen::PLAIN, &edge);
        taken.add_path(&edge);
    }
    let parted = parting::draw(drawing, body, |x, y| to_sheet * Point::new(x, y), shown.skin, units);
    taken.lines.extend(parted);
    taken.add_words(drawing);
}

/// A line round a tube, from which its holes are measured.
fn draw_datum(drawing: &mut Drawing, taken: &mut Taken, datum: Datum, shown: &Shown) {
    let Rect { x0, x1, .. } = shown.skin;
    let line = shown.to_sheet * Line::new((x0, datum.along_mm), (x1, datum.along_mm));
    drawing.stroke(Layer::CrownLines, Pen::CROWN, line);
    taken.lines.push(line);
}

/// The outlines of holes, and a wedge for each tube's FRONT.
fn draw_holes(drawing: &mut Drawing, taken: &mut Taken, flat: &FlatSkin<'_>, marked: &[Marked<'_>], shown: &Shown) {
    let to_sheet = shown.to_sheet;
    for part in marked.iter().flat_map(|hole| &hole.parts) {
        drawing.stroke(Layer::Notes, HOLE, polyline(&thinned(part, NEAR)));
        taken.boxes.push(around(part));
    }
    for (index, hole) in marked.iter().enumerate() {
        for (middle, front) in fronts_shown(flat, hole.hole, shown.all) {
            let front = to_sheet * front;
            let wedge = front_wedge(to_sheet * middle, front, wedge_share(marked, index, front));
            drawing.fill(Layer::Notes, 0.0, &wedge);
            taken.boxes.push(wedge.bounding_box());
        }
    }
}

/// What the drawing is, and what there is no room for in it.
fn words(body: &BodyInSpace, flat: &FlatSkin<'_>, (scale, left_out): (f64, usize), units: Units) -> String {
    let left_out = match left_out {
        0 => String::new(),
        1 => " 1 number doesn't fit here: see the table.".to_owned(),
        more => format!(" {more} numbers don't fit here: see the table."),
    };
    let turned = body.turned_on.as_ref();
    let turned = turned.map_or_else(String::new, |on| format!(" {}", turned_on_words(on, units)));
    let note = body.note.as_ref();
    let note = note.map_or_else(String::new, |note| format!(" Note: {}.", note.trim_end_matches('.')));
    let view = view(body, flat);
    let wedge = match body.zero_line {
        ZeroLine::OfBody => "Wedge: the tube's FRONT",
        ZeroLine::Front => "Wedge: FRONT of what lands",
    };
    format!("{} {view} {wedge}.{turned}{left_out}{note}", scale_words(scale))
}

/// The zero line, or the cross through a plate's point.
fn guides(flat: &FlatSkin<'_>, plate: Rect) -> Vec<Line> {
    match flat.zero_line() {
        Some(zero) => vec![zero],
        None => vec![
            Line::new((0.0, plate.y0), (0.0, plate.y1)),
            Line::new((plate.x0, 0.0), (plate.x1, 0.0)),
        ],
    }
}

/// A hole's middle and where its tube's FRONT line comes to stand, as often as that is within what is shown: past the slit it
/// is met again at the other side, and on the slit at both.
fn fronts_shown(flat: &FlatSkin<'_>, hole: &PlacedHole, shown: Rect) -> Vec<(Point, Point)> {
    /// What is no farther past the slit is on it, in turns.
    const ON_IT: f64 = 1e-9;
    let Some(front) = hole.front_on_skin() else {
        return Vec::new();
    };
    let is_shown = |front: Point| match flat.shape {
        Development::Plane => shown.contains(front),
        shape => shape.turns(Point::ORIGIN, front).abs() <= 0.5 + ON_IT && (shown.y0..=shown.y1).contains(&front.y),
    };
    let images = flat.shape.turns_on().iter().map(|turns| flat.shape.turned(*turns));
    let images = images.map(|turned| (turned * hole.middle, turned * front));
    images.filter(|(_, front)| is_shown(*front)).collect()
}

/// How long the wedge at a hole's front is, in millimetres, and half its width.
const WEDGE: (f64, f64) = (2.2, 1.1);

/// How much of its size a wedge has: of close holes so much less that none lies over the next one.
fn wedge_share(holes: &[Marked<'_>], index: usize, front: Point) -> f64 {
    /// Of what is left to the next hole; and what can still be seen.
    const OF_ROOM: f64 = 0.7;
    const SMALLEST: f64 = 0.35;
    let others = holes.iter().enumerate().filter(|(other, _)| *other != index);
    let at = Rect::from_points(front, front);
    let others = others.flat_map(|(_, hole)| &hole.outlines);
    let enough = WEDGE.0 / OF_ROOM;
    let nearest = others
        .map(|outline| outline.distance_up_to(enough, at))
        .fold(enough, f64::min);
    (OF_ROOM * nearest / WEDGE.0).clamp(SMALLEST, 1.0)
}

/// Outside a hole, where the tube's FRONT line comes to stand, in so much of its size.
pub(super) fn front_wedge(middle: Point, front: Point, share: f64) -> BezPath {
    let way = (front - middle).normalize();
    let aside = share * WEDGE.1 * way.turn_90();
    let mut wedge = BezPath::new();
    wedge.move_to(front + aside);
    wedge.line_to(front + share * WEDGE.0 * way);
    wedge.line_to(front - aside);
    wedge.close_path();
    wedge
}

/// What the ends and sides are called.
fn name_ends(
    drawing: &mut Drawing,
    taken: &mut Taken,
    flat: &FlatSkin<'_>,
    body: &BodyInSpace,
    to_sheet: Affine,
    size: (f64, f64),
) {
    let [below, above] = match &body.parting {
        Some(parting) if parting.stays == Stays::Bottom => ["BOTTOM END, stays", "TOP END"].map(str::to_owned),
        Some(_) => ["TOP END, stays", "BOTTOM END"].map(str::to_owned),
        None if flat.shape == Development::Plane => ["", "UP"].map(str::to_owned),
        None => ends_and_seams(body),
    };
    let zero = flat.zero_line().map_or_else(
        || Line::new((size.0 / 2.0, 0.0), (size.0 / 2.0, size.1)),
        |zero| to_sheet * zero,
    );
    // Outside its end where there is room, which there is not within a narrow end's arc; else within the skin.
    let height = READ_PT * text::MM_PER_POINT;
    for (words, at, out) in [(below, zero.p0, -1.0), (above, zero.p1, 1.0)] {
        let places = [1.0, 2.0, 3.5, 5.0].map(|gap| (Align::Middle, 0.0, out * (gap + height / 2.0)));
        let inside = [(Align::Left, 1.5, -out * 2.5), (Align::Right, -1.5, -out * 2.5)];
        let texts = places.into_iter().chain(inside).map(|(align, x, y)| {
            let at = (at.x + x, at.y + y - 0.27 * height);
            Text::new(at, READ_PT, words.as_str()).align(align)
        });
        taken.write_first_free(drawing, texts);
    }
    let [right, left] = body.zero_line.sides();
    for (words, x) in [(left, -1.2), (right, size.0 + 1.2 + height * 0.76)] {
        let text = Text::new((x, size.1 / 2.0), READ_PT, words)
            .align(Align::Middle)
            .upwards();
        taken.write_first_free(drawing, [text].into_iter());
    }
}

/// What its ends are called, and where a head begins.
fn ends_and_seams(body: &BodyInSpace) -> [String; 2] {
    let mut names = body.full_end_names();
    for seam in &body.seams {
        let far = body.length_mm().is_some_and(|length| seam.along_mm > length / 2.0);
        let name = &mut names[usize::from(far)];
        *name = format!("{name}: SEAM to {}", seam.name);
    }
    names
}

/// What the drawing shows, and from where it is seen.
fn view(body: &BodyInSpace, flat: &FlatSkin<'_>) -> String {
    let [near, _] = body.full_end_names();
    let line = match body.zero_line {
        ZeroLine::OfBody => "the zero line",
        ZeroLine::Front => "the line of its own FRONT",
    };
    let corners = match body.of_tube {
        Some(_) if !body.keep_off.is_empty() => " Grey: where its corners cut it off.",
        _ => "",
    };
    let from_outside = format!("From outside, {near} down, {line} dashed.{corners}");
    let words = match (&body.parting, flat.shape) {
        (Some(parting), _) => parting::view(parting),
        (None, Development::Strip { .. }) => return from_outside,
        (None, Development::Sector { .. }) => {
            return format!("{from_outside} Round is on the arc, up along the skin.");
        }
        (None, Development::Plane) if body.outside.edges_mm().is_some() => {
            "The plate from outside; the dashed lines cross at its point \"at\"."
        }
        (None, Development::Plane) => {
            "The plate from outside; the dashed lines cross at its point \"at\". Its edges are not known: \"wide\" and \"high\" tell them."
        }
    };
    words.to_owned()
}

/// Height of a line of the words over it, in millimetres.
const LINE: f64 = 3.8;

/// The title over it, what clashes, and what there is to know.
fn with_heading(mut drawing: Drawing, body: &BodyInSpace, words: &str, clash: Option<&str>) -> Panel {
    let title = format!("MARK-OUT: {}, {}", body.name, body.size);
    let drawn = drawing.bounds();
    let width = drawn
        .width()
        .max(Text::new((0.0, 0.0), TITLE_PT, &title).bold().width())
        .max(120.0);
    let clash = clash.map_or_else(Vec::new, |clash| text::lines(clash, READ_PT, true, width));
    let lines = text::lines(words, READ_PT, false, width);
    // From the top down, as they are read.
    let mut y = drawn.y1 + 2.0 + LINE * (clash.len() + lines.len()) as f64;
    drawing.note(Text::new((drawn.x0, y + 1.1), TITLE_PT, &title).bold());
    for (words, is_bold) in clash
        .into_iter()
        .map(|line| (line, true))
        .chain(lines.into_iter().map(|line| (line, false)))
    {
        y -= LINE;
        let line = Text::new((drawn.x0, y), READ_PT, words);
        drawing.note(if is_bold { line.bold() } else { line });
    }
    let frame = drawing.bounds().inflate(0.5, 0.5);
    Panel::framed(title.as_str(), Role::Table, drawing, frame)
}

/// That it is no pattern, at whatever scale.
fn scale_words(scale: f64) -> String {
    match 1.0 / scale {
        parts if parts < 1.5 => "In true size, to show the places; each hole has a pattern of its own.".to_owned(),
        parts => format!("1 : {parts:.0}, not a pattern."),
    }
}

/// 1 : 1, 2, 5, 10, 20, ... so that a rule can be laid on it.
pub(super) fn nice_scale(largest: f64) -> f64 {
    let scales = (0..5).flat_map(|power| [1.0, 2.0, 5.0].map(|step| step * 10f64.powi(power)));
    scales
        .map(|parts| 1.0 / parts)
        .find(|scale| *scale <= largest)
        .unwrap_or(largest)
}
