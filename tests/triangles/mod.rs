//! A job made of triangles, and rays that find the nearest of them.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

use std::f64::consts::TAU;

use girthline::job::{Assembly, BodyInSpace, End, Piece, Touch};
use girthline::layout::Seen;
use girthline::section::Profile;
use girthline::solver::cut_at;
use glam::{DVec2, DVec3};
use kurbo::Point;

/// Rings on a head from its apex to its rim.
const RINGS: usize = 60;
/// Round a body, and round a tube. An arc is off its chords by less than a hundredth of a millimetre.
const ROUND: usize = 720;
const ROUND_A_TUBE: usize = 240;

/// What of a thing it is that is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A skin; of a tube with sides, from the middle of which corner.
    Skin(usize),
    /// Likewise.
    Bore(usize),
    /// The face of an end, or a lid, or a side of a plate.
    Flat(usize),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Face {
    pub thing: usize,
    pub kind: Kind,
}

pub struct Model {
    triangles: Vec<(Face, [DVec3; 3])>,
    names: Vec<(String, bool)>,
}

impl Model {
    pub fn new(assembly: &Assembly) -> Self {
        let mut model = Self {
            triangles: Vec::new(),
            names: Vec::new(),
        };
        for (index, body) in assembly
            .bodies
            .iter()
            .enumerate()
            .filter(|(_, body)| body.of_tube.is_none())
        {
            model.names.push((body.name.clone(), body.length_mm().is_some()));
            match (body.length_mm(), body.outside.rim_mm()) {
                (Some(length), _) => model.drum(body, length),
                (None, Some(rim)) => model.head(body, rim),
                (None, None) => model.plate(assembly, index, body),
            }
        }
        for tube in &assembly.tubes {
            for piece in assembly.pieces(tube) {
                model.names.push((piece.name.clone(), false));
                model.piece(&piece);
            }
        }
        model
    }

    pub fn name(&self, face: Option<Face>) -> String {
        face.map_or_else(
            || "nothing".to_owned(),
            |face| format!("{} {:?}", self.names[face.thing].0, face.kind),
        )
    }

    pub fn is_drum(&self, thing: usize) -> bool {
        self.names[thing].1
    }

    fn face(&self, kind: Kind) -> Face {
        Face {
            thing: self.names.len() - 1,
            kind,
        }
    }

    /// Between two rows of places.
    fn strip(&mut self, kind: impl Fn(usize) -> Kind, low: &[DVec3], high: &[DVec3]) {
        for (index, (low, high)) in low.windows(2).zip(high.windows(2)).enumerate() {
            let face = self.face(kind(index));
            self.triangles.push((face, [low[0], low[1], high[0]]));
            self.triangles.push((face, [low[1], high[1], high[0]]));
        }
    }

    fn drum(&mut self, body: &BodyInSpace, length: f64) {
        let ring = |along: f64| -> Vec<DVec3> {
            let rounds = (0..=ROUND).map(|step| TAU * step as f64 / ROUND as f64);
            rounds.map(|round| body.surface.site(along, round).point).collect()
        };
        let (low, high) = (ring(0.0), ring(length));
        self.strip(|_| Kind::Skin(0), &low, &high);
        let axis = body.axis();
        for (number, (ring, along)) in [(low, 0.0), (high, length)].into_iter().enumerate() {
            let middle = body.placement.translation + along * axis;
            self.strip(|_| Kind::Flat(number), &ring, &vec![middle; ring.len()]);
        }
    }

    /// Rings from the apex to the rim, which is closed by a flat side.
    fn head(&mut self, body: &BodyInSpace, rim: f64) {
        let ring = |along: f64| -> Vec<DVec3> {
            let rounds = (0..=ROUND).map(|step| TAU * step as f64 / ROUND as f64);
            rounds.map(|round| body.surface.site(along, round).point).collect()
        };
        let on_rim = body.placement.transform_point3(DVec3::new(0.0, 0.0, rim));
        let (far, _) = body.surface.place_of(on_rim);
        let rings: Vec<Vec<DVec3>> = (0..=RINGS).map(|step| ring(far * step as f64 / RINGS as f64)).collect();
        for pair in rings.windows(2) {
            self.strip(|_| Kind::Skin(0), &pair[0], &pair[1]);
        }
        let middle = body.placement.translation;
        self.strip(|_| Kind::Flat(0), &rings[RINGS], &vec![middle; ROUND + 1]);
    }

    /// A plate without edges is drawn as far as what stands on it needs.
    fn plate(&mut self, assembly: &Assembly, index: usize, body: &BodyInSpace) {
        let to_own = body.placement.inverse();
        let (mut low, mut high) = (DVec2::MAX, DVec2::MIN);
        for tube in &assembly.tubes {
            let reach = assembly.stock[tube.stock].tube.section.reach();
            for end in tube.ends().into_iter().filter(|end| end.body() == Some(index)) {
                let at = to_own.transform_point3(end.at).truncate();
                let sine = to_own.transform_vector3(end.into_tube()).z.abs();
                let half = DVec2::splat(reach / sine + 0.8 * reach);
                (low, high) = (low.min(at - half), high.max(at + half));
            }
        }
        let wall = body
            .flat
            .as_ref()
            .and_then(|flat| flat.inner.as_ref())
            .map_or(0.0, |(_, wall)| *wall);
        let corner = |x: usize, y: usize, z: usize| {
            let pick = |which: usize, low: f64, high: f64| if which == 0 { low } else { high };
            let own = DVec3::new(pick(x, low.x, high.x), pick(y, low.y, high.y), pick(z, -wall, 0.0));
            body.placement.transform_point3(own)
        };
        for side in 0..2 {
            let faces = [
                [
                    corner(side, 0, 0),
                    corner(side, 1, 0),
                    corner(side, 0, 1),
                    corner(side, 1, 1),
                ],
                [
                    corner(0, side, 0),
                    corner(1, side, 0),
                    corner(0, side, 1),
                    corner(1, side, 1),
                ],
                [
                    corner(0, 0, side),
                    corner(1, 0, side),
                    corner(0, 1, side),
                    corner(1, 1, side),
                ],
            ];
            for (number, [a, b, c, d]) in faces.into_iter().enumerate() {
                self.strip(|_| Kind::Flat(2 * number + side), &[a, b], &[c, d]);
            }
        }
    }

    fn piece(&mut self, piece: &Piece) {
        let tube = &piece.near.tube;
        let mut azimuths: Vec<f64> = (0..=ROUND_A_TUBE)
            .map(|step| TAU * step as f64 / ROUND_A_TUBE as f64)
            .collect();
        let folds = tube.section.folds();
        azimuths.extend(&folds);
        azimuths.extend(tube.section.joins(tube.wall_mm));
        azimuths.sort_by(f64::total_cmp);
        let corner = |azimuth: f64| folds.iter().filter(|fold| **fold <= azimuth + 1e-12).count() % 4;
        let corners: Vec<usize> = azimuths.iter().map(|azimuth| corner(*azimuth)).collect();
        // Through the weld: each skin ends on the outer skin of what it lands on.
        let ending = |end: &End, touch: Touch| End {
            landing: end.weld_skin.clone(),
            touch,
            ..end.clone()
        };
        let ring = |is_near: bool, is_bore: bool| -> Vec<DVec3> {
            let touch = if is_bore { Touch::Inside } else { Touch::Outside };
            let end = ending(if is_near { &piece.near } else { &piece.far }, touch);
            let places = azimuths.iter().map(|&azimuth| {
                let line = tube.wall_line(azimuth);
                let radius = if is_bore { line.inner } else { line.outer };
                let frame = &piece.near.frame;
                let foot = frame.origin + frame.across(line.origin) + radius * frame.outward(line.facing);
                let cut = |azimuth: f64| cut_at(&end, azimuth).expect("it is met").t;
                let t = if is_near {
                    cut(azimuth)
                } else {
                    piece.length_mm - cut(-azimuth)
                };
                foot + t * frame.axis
            });
            places.collect()
        };
        let [near, far, near_bore, far_bore] = [(true, false), (false, false), (true, true), (false, true)]
            .map(|(is_near, is_bore)| ring(is_near, is_bore));
        self.strip(|index| Kind::Skin(corners[index]), &near, &far);
        self.strip(|index| Kind::Bore(corners[index]), &near_bore, &far_bore);
        self.strip(|_| Kind::Flat(0), &near, &near_bore);
        self.strip(|_| Kind::Flat(1), &far, &far_bore);
    }
}

/// Where what is seen changes.
pub struct Change {
    pub at: Point,
    /// On this side of it and on that.
    pub faces: [Option<Face>; 2],
    /// By how much the two are apart along the ray, in millimetres.
    pub depth_apart: f64,
}

/// A triangle on the picture: its corners, and how near to the eye each is.
#[derive(Clone, Copy)]
struct Flat {
    face: Face,
    corners: [DVec3; 3],
}

/// Rays along one direction through the picture.
pub struct Cast<'a> {
    flats: Vec<Flat>,
    cells: Vec<Vec<u32>>,
    columns: usize,
    _model: &'a Model,
}

const CELL: f64 = 0.5;

impl<'a> Cast<'a> {
    pub fn new(model: &'a Model, seen: &Seen, view: (f64, f64)) -> Self {
        let [eye, right, up] = super::basis(view);
        let scale = seen.flat(right) - seen.flat(DVec3::ZERO);
        let origin = seen.flat(DVec3::ZERO);
        assert!(scale.x > 0.0 && scale.y.abs() < 1e-9, "right is to the right: {scale}");
        let upwards = seen.flat(up) - origin;
        assert!(
            (upwards.y - scale.x).abs() < 1e-9 && upwards.x.abs() < 1e-9,
            "up is up: {upwards}"
        );
        let flat = |place: DVec3| {
            DVec3::new(
                origin.x + scale.x * place.dot(right),
                origin.y + scale.x * place.dot(up),
                place.dot(eye),
            )
        };
        let flats: Vec<Flat> = model
            .triangles
            .iter()
            .map(|(face, corners)| Flat {
                face: *face,
                corners: corners.map(flat),
            })
            .collect();
        let (columns, rows) = (
            (seen.size.width / CELL) as usize + 2,
            (seen.size.height / CELL) as usize + 2,
        );
        let mut cells = vec![Vec::new(); columns * rows];
        for (index, flat) in flats.iter().enumerate() {
            flat.each_cell(columns, rows, |cell| cells[cell].push(index as u32));
        }
        Self {
            flats,
            cells,
            columns,
            _model: model,
        }
    }

    /// What the ray through a place of the picture meets first, and how near to the eye.
    fn first(&self, at: Point) -> Option<(Face, f64)> {
        let (column, row) = ((at.x / CELL).floor(), (at.y / CELL).floor());
        if column < 0.0 || row < 0.0 || column as usize >= self.columns {
            return None;
        }
        let cell = self.cells.get(row as usize * self.columns + column as usize)?;
        let hits = cell.iter().filter_map(|&index| {
            let flat = &self.flats[index as usize];
            Some((flat.face, flat.depth(at)?))
        });
        hits.max_by(|(_, a), (_, b)| a.total_cmp(b))
    }

    pub fn face(&self, at: Point) -> Option<Face> {
        self.first(at).map(|(face, _)| face)
    }

    /// Between two places at which something else is seen.
    pub fn change(&self, from: Point, to: Point) -> Change {
        let (mut low, mut high) = (from, to);
        let first = self.face(from);
        for _ in 0..9 {
            let middle = low.midpoint(high);
            if self.face(middle) == first {
                low = middle
            } else {
                high = middle
            }
        }
        let depth = |at: Point| self.first(at).map_or(f64::NEG_INFINITY, |(_, depth)| depth);
        Change {
            at: low.midpoint(high),
            faces: [self.face(low), self.face(high)],
            depth_apart: (depth(low) - depth(high)).abs(),
        }
    }
}

impl Flat {
    /// How near to the eye it is at a place of the picture, where it is there.
    fn depth(&self, at: Point) -> Option<f64> {
        let [a, b, c] = self.corners;
        let (to_b, to_c, to_at) = (
            (b - a).truncate(),
            (c - a).truncate(),
            DVec2::new(at.x - a.x, at.y - a.y),
        );
        let area = to_b.perp_dot(to_c);
        if area.abs() < 1e-12 {
            return None;
        }
        let (v, w) = (to_at.perp_dot(to_c) / area, to_b.perp_dot(to_at) / area);
        let slack = -1e-9;
        (v >= slack && w >= slack && v + w <= 1.0 - slack).then_some(a.z + v * (b.z - a.z) + w * (c.z - a.z))
    }

    /// Every cell that it reaches into, row by row.
    fn each_cell(&self, columns: usize, rows: usize, mut found: impl FnMut(usize)) {
        let corners = self.corners.map(|corner| corner.truncate() / CELL);
        let (low, high) = (
            corners[0].min(corners[1]).min(corners[2]),
            corners[0].max(corners[1]).max(corners[2]),
        );
        if high.x < 0.0 || high.y < 0.0 {
            return;
        }
        for row in (low.y.floor().max(0.0) as usize)..=(high.y.floor() as usize).min(rows - 1) {
            let (under, over) = (row as f64 - 1e-6, row as f64 + 1.0 + 1e-6);
            let (mut from, mut to) = (f64::MAX, f64::MIN);
            for side in 0..3 {
                let (a, b) = (corners[side], corners[(side + 1) % 3]);
                let mut take = |x: f64| (from, to) = (from.min(x), to.max(x));
                for corner in [a, b] {
                    if corner.y >= under && corner.y <= over {
                        take(corner.x);
                    }
                }
                for line in [under, over] {
                    if (a.y - line) * (b.y - line) < 0.0 {
                        take(a.x + (b.x - a.x) * (line - a.y) / (b.y - a.y));
                    }
                }
            }
            if from > to || to < 0.0 {
                continue;
            }
            for column in (from.floor().max(0.0) as usize)..=(to.floor() as usize).min(columns - 1) {
                found(row * columns + column);
            }
        }
    }
}
