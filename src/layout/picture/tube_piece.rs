//! A straight piece of tube, round or with sides, between two ends, open at both.

use std::f64::consts::TAU;
use std::sync::Arc;

use glam::{DAffine3, DMat3, DVec2, DVec3};

use super::Solid;
use super::labels::Label;
use super::line::{Kind, LineInSpace};
use super::sight::{CLEAR, Hollows, Sight, in_section, is_left, shared};
use crate::body::{Body, Line, Placed, Plane};
use crate::job::Frame;
use crate::section::{Profile, Section};

/// Places round an end at which its reach along the tube is looked up.
const SAMPLES: usize = 64;

/// What an end is cut by: the tube ends where it first meets one of these.
pub(in crate::layout) type CutBy = Vec<Arc<dyn Body + Send + Sync>>;

/// A flat cut through `at`; `normal` points out of what is cut away.
pub(in crate::layout) fn flat_cut(at: DVec3, normal: DVec3) -> Arc<dyn Body + Send + Sync> {
    let normal = normal.normalize();
    let (x, y) = normal.any_orthonormal_pair();
    let placement = DAffine3::from_mat3_translation(DMat3::from_cols(x, y, normal), at);
    Arc::new(Placed::new(Plane, placement))
}

/// A hole drilled into a tube from one side.
#[derive(Debug, Clone)]
pub(in crate::layout) struct Drilled {
    /// The drill comes along the axis and ends at the origin.
    pub frame: Frame,
    /// How wide.
    pub section: Section,
}

/// A tube between two ends.
pub(in crate::layout) struct TubePiece {
    /// Where it lies.
    pub frame: Frame,
    section: Section,
    /// Without one it is a bar: nobody knows what is in it.
    bore: Option<Section>,
    near: CutBy,
    far: CutBy,
    /// Holes in it.
    pub drilled: Vec<Drilled>,
    /// Whether its near end, and its far one, are cuts that are told of: drawn bold.
    pub is_cut: [bool; 2],
    /// What to write at the far end of its front line, where that is drawn.
    pub front_label: Option<&'static str>,
    /// Nothing of it lies outside these along its axis, in millimetres.
    limits: (f64, f64),
    /// Between these no end reaches into the wall, in millimetres; of a tube only.
    whole: Option<(f64, f64)>,
    /// From where to where the near end reaches along the axis, in millimetres.
    near_reach: (f64, f64),
}

impl TubePiece {
    /// A tube about the axis of `frame`, from what cuts it at its near end, seen against the axis, to what cuts it at the
    /// far one.
    pub(in crate::layout) fn new(
        frame: Frame,
        section: Section,
        bore: Option<Section>,
        near: CutBy,
        far: CutBy,
    ) -> Self {
        let mut piece = Self {
            frame,
            section,
            bore,
            near,
            far,
            drilled: Vec::new(),
            is_cut: [false; 2],
            front_label: None,
            limits: (0.0, 0.0),
            whole: None,
            near_reach: (0.0, 0.0),
        };
        let reach = |is_near: bool, skin: &Section| {
            let ends =
                (0..SAMPLES).map(|sample| piece.end(is_near, piece.on(skin, TAU * sample as f64 / SAMPLES as f64)));
            ends.fold((f64::MAX, f64::MIN), |(low, high), t| (low.min(t), high.max(t)))
        };
        let ((low, near_high), (far_low, high)) = (reach(true, &section), reach(false, &section));
        // Between the samples it reaches a little farther.
        let more = |span: f64| 0.003 * span + CLEAR;
        let (near_more, far_more) = (more(near_high - low), more(high - far_low));
        let whole = bore.map(|bore| {
            let wall = section.reach() - bore.reach();
            let (near, far) = (reach(true, &bore).1.max(near_high), reach(false, &bore).0.min(far_low));
            (near + near_more + wall, far - far_more - wall)
        });
        piece.near_reach = (low, near_high);
        piece.limits = (low - near_more, high + far_more);
        piece.whole = whole;
        piece
    }

    /// From where to where its near end reaches along its axis, in millimetres.
    pub(in crate::layout) fn cut_reach(&self) -> (f64, f64) {
        self.near_reach
    }

    /// The place of a section at an azimuth, as it sees it.
    #[inline]
    fn on(&self, section: &Section, azimuth: f64) -> DVec2 {
        let line = section.wall_line(azimuth, 0.0);
        line.origin + line.outer * DVec2::from_angle(line.facing)
    }

    #[inline]
    fn at(&self, place: DVec2, t: f64) -> DVec3 {
        self.frame.origin + self.frame.across(place) + t * self.frame.axis
    }

    /// t of an end at a place of the section.
    fn end(&self, is_near: bool, place: DVec2) -> f64 {
        self.deciding(is_near, place).map_or(0.0, |(_, t, _)| t)
    }

    /// Which cut the end is made by at a place of the section, its t, and the normal of the cut there.
    fn deciding(&self, is_near: bool, place: DVec2) -> Option<(usize, f64, DVec3)> {
        let (cuts, sign) = if is_near { (&self.near, -1.0) } else { (&self.far, 1.0) };
        let line = Line {
            origin: self.at(place, 0.0),
            direction: sign * self.frame.axis,
        };
        let hits = cuts
            .iter()
            .enumerate()
            .filter_map(|(index, cut)| Some((index, cut.first_hit(&line)?)));
        let first = hits.min_by(|(_, a), (_, b)| a.distance.total_cmp(&b.distance))?;
        Some((first.0, sign * first.1.distance, first.1.normal))
    }

    /// A vector as the section sees it.
    #[inline]
    fn in_section(&self, vector: DVec3) -> DVec2 {
        DVec2::new(vector.dot(self.frame.front), vector.dot(self.frame.right))
    }

    /// Places on its skin that stand before its axis for an eye in the direction `eye`; first the one half way along.
    pub(in crate::layout) fn before_axis(&self, eye: DVec3) -> Vec<DVec3> {
        let (near, far) = (self.end(true, DVec2::ZERO), self.end(false, DVec2::ZERO));
        let way = self.in_section(eye);
        let out = self.section.crossings(DVec2::ZERO, way).filter(|_| way.length() > 1e-6);
        let out = out.map_or(0.0, |[_, out]| out) * eye;
        [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9]
            .map(|share| self.frame.origin + (near + share * (far - near)) * self.frame.axis + out)
            .to_vec()
    }

    /// What the edges of an end are.
    fn kind(&self, is_near: bool) -> Kind {
        let [near, far] = self.is_cut;
        let is_cut = if is_near { near } else { far };
        if is_cut { Kind::Cut } else { Kind::Edge }
    }

    fn rim(&self, is_near: bool, section: Section) -> LineInSpace<'_> {
        let kind = self.kind(is_near);
        LineInSpace::curve(move |share| {
            let place = self.on(&section, TAU * share);
            self.at(place, self.end(is_near, place))
        })
        .of(kind)
    }

    fn along(&self, section: &Section, azimuth: f64) -> LineInSpace<'_> {
        let place = self.on(section, azimuth);
        LineInSpace::straight(
            self.at(place, self.end(true, place)),
            self.at(place, self.end(false, place)),
        )
    }

    /// The edges of its drilled holes, on its skin and in its bore.
    fn holes(&self) -> impl Iterator<Item = LineInSpace<'_>> {
        let skins = [Some(self.section), self.bore].into_iter().flatten();
        let of_skin = move |hole: &'_ Drilled, skin: Section| {
            let Drilled { frame, section } = hole.clone();
            LineInSpace::curve(move |share| {
                let line = section.wall_line(TAU * share, 0.0);
                let foot = frame.origin + frame.across(line.origin) + line.outer * frame.outward(line.facing);
                let (start, way) = (self.in_section(foot - self.frame.origin), self.in_section(frame.axis));
                let out = in_section(&skin, start, way).map_or(0.0, |(_, out)| out);
                foot + out * frame.axis
            })
            .of(Kind::Cut)
        };
        self.drilled
            .iter()
            .flat_map(move |hole| skins.clone().map(move |skin| of_skin(hole, skin)))
    }

    /// The straight edges in which flat cuts of an end meet, across its wall.
    fn creases(&self, is_near: bool) -> Vec<LineInSpace<'_>> {
        let cuts = if is_near { &self.near } else { &self.far };
        if cuts.len() < 2 {
            return Vec::new();
        }
        let by = |azimuth: f64| self.deciding(is_near, self.on(&self.section, azimuth));
        let azimuths =
            (0..SAMPLES).map(|sample| [sample, sample + 1].map(|sample| TAU * sample as f64 / SAMPLES as f64));
        azimuths
            .filter_map(|[from, to]| self.crease(is_near, by, from, to))
            .collect()
    }

    /// The one that meets the skin between two azimuths.
    fn crease(
        &self,
        is_near: bool,
        by: impl Fn(f64) -> Option<(usize, f64, DVec3)>,
        from: f64,
        to: f64,
    ) -> Option<LineInSpace<'_>> {
        const HALVINGS: usize = 30;
        let ((cut, _, normal), (other, _, other_normal)) = (by(from)?, by(to)?);
        let way = self.in_section(normal.cross(other_normal)).try_normalize()?;
        if cut == other {
            return None;
        }
        let (mut low, mut high) = (from, to);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if by(middle)?.0 == cut {
                low = middle
            } else {
                high = middle
            }
        }
        let skin = self.on(&self.section, low);
        let inwards = -way * way.dot(skin).signum();
        let through = self.section.crossings(skin, inwards)?[1];
        let to_bore = self.bore.and_then(|bore| bore.crossings(skin, inwards));
        let inner = skin + to_bore.map_or(through, |[bore, _]| bore) * inwards;
        let ends = [skin, inner].map(|place| self.at(place, self.end(is_near, place)));
        Some(LineInSpace::straight(ends[0], ends[1]).of(self.kind(is_near)))
    }

    /// What of the line of sight lies in the bore or in drilled holes: there is no metal.
    fn hollows(&self, sight: &Sight, start: DVec2, way: DVec2, clear: f64) -> Hollows {
        let mut hollows = Hollows::new();
        if let Some(bore) = &self.bore {
            hollows.extend(in_section(&bore.grown(clear), start, way));
        }
        for Drilled { frame, section } in &self.drilled {
            let from = sight.from - frame.origin;
            let seen = |vector: DVec3| DVec2::new(vector.dot(frame.front), vector.dot(frame.right));
            let drilled = in_section(&section.grown(clear), seen(from), seen(sight.eye));
            let from_there = Sight { from, ..*sight };
            hollows.extend(shared(drilled, from_there.between(frame.axis, 0.0, f64::MAX)));
        }
        hollows
    }
}

impl Solid for TubePiece {
    fn lines(&self, eye: DVec3) -> Vec<LineInSpace<'_>> {
        let mut lines = Vec::new();
        for is_near in [true, false] {
            lines.extend(
                [Some(self.section), self.bore]
                    .into_iter()
                    .flatten()
                    .map(|skin| self.rim(is_near, skin)),
            );
            lines.extend(self.creases(is_near));
        }
        let eye = self.in_section(eye);
        let mut outlines = Vec::new();
        if eye.length() > 1e-9 {
            outlines = self.section.outlines(eye);
        }
        // A corner that the skin turns away in is drawn by its outline.
        let is_turning = |fold: f64| {
            let corner = |azimuth: f64| self.on(&self.section, azimuth).signum();
            outlines.iter().any(|outline| corner(*outline) == corner(fold))
        };
        let folds = self.section.folds().into_iter().filter(|fold| !is_turning(*fold));
        lines.extend(
            outlines
                .iter()
                .copied()
                .chain(folds)
                .map(|azimuth| self.along(&self.section, azimuth)),
        );
        if let Some(bore) = &self.bore {
            lines.extend(bore.folds().into_iter().map(|azimuth| self.along(bore, azimuth)));
        }
        lines.extend(self.holes());
        lines.extend(self.front_label.map(|_| self.along(&self.section, 0.0).of(Kind::Mark)));
        lines
    }

    /// Whether the line of sight passes through its wall.
    fn hides(&self, sight: &Sight) -> bool {
        let (start, way) = (
            self.in_section(sight.from - self.frame.origin),
            self.in_section(sight.eye),
        );
        // A thin wall is not to vanish.
        let clear = match &self.bore {
            Some(bore) => CLEAR.min(0.25 * (self.section.reach() - bore.reach())),
            None => CLEAR,
        };
        let skin = in_section(&self.section.grown(-clear), start, way);
        let from_origin = Sight {
            from: sight.from - self.frame.origin,
            ..*sight
        };
        let limits = from_origin.between(self.frame.axis, self.limits.0, self.limits.1);
        let Some(stretch) = shared(skin, limits).filter(|stretch| stretch.1 > 0.0) else {
            return false;
        };
        let mut hollows = self.hollows(sight, start, way, clear);
        if !is_left(stretch, &hollows) {
            return false;
        }
        // Most lines of sight meet the wall well between the ends, and what those are cut by is dear to ask.
        let whole = self.whole.filter(|(low, high)| low < high);
        let whole = whole.and_then(|(low, high)| from_origin.between(self.frame.axis, low, high));
        if shared(Some(stretch), whole).is_some_and(|stretch| is_left(stretch, &hollows)) {
            return true;
        }
        for cut in self.near.iter().chain(&self.far) {
            hollows.extend(sight.in_body(cut.as_ref(), clear));
        }
        is_left(stretch, &hollows)
    }

    fn ball(&self) -> (DVec3, f64) {
        let (low, high) = self.limits;
        let middle = self.frame.origin + 0.5 * (low + high) * self.frame.axis;
        (middle, (0.5 * (high - low)).hypot(self.section.reach()))
    }

    fn labels(&self, _eye: DVec3) -> Vec<Label> {
        let place = self.on(&self.section, 0.0);
        let label = self.front_label;
        label
            .map(|words| Label {
                places: vec![self.at(place, self.end(false, place))],
                words,
            })
            .into_iter()
            .collect()
    }
}
