//! The hole of a tube that is cut to several bodies: only the part that opens into the body it is in.

use std::f64::consts::{FRAC_PI_2, TAU};

use glam::DVec2;
use kurbo::{BezPath, PathEl, Point};

use super::fit::fit;
use super::hole::{HoleOutline, SkinOutline, hole_outline, hole_places, places_on};
use super::trace::{Trace, passes_beside};
use crate::body::Line;
use crate::job::Drilling;
use crate::measure::Tolerance;
use crate::problem::Problem;
use crate::section::Profile;

/// Samples round the tube between which it is noticed that another body begins to cover it.
const SAMPLES: usize = 720;

/// Where that is is found to within this, in radians.
const CLOSE: f64 = 1e-13;

/// Along another body's edge places are so far apart, as a share of the tube's reach.
const STRIDE: f64 = 0.01;

/// And no farther than this, in millimetres: a chord is less than two thousandths of a millimetre off an edge of 20 mm radius.
const LONGEST_STRIDE: f64 = 0.5;

/// No edge has more places.
const MOST_STRIDES: usize = 4000;

/// Headings that are tried about the last one, in steps of 5 degrees to either side.
const HEADINGS: i32 = 32;

/// What of a tube's hole opens into its body.
#[derive(Debug, Clone, PartialEq)]
pub enum Opening {
    /// All of it.
    Whole(HoleOutline),
    /// This part; what else the tube is cut to covers the rest.
    Part(HoleOutline),
    /// None of it.
    Covered,
}

/// Solves the hole, and what of it is covered by what else the tube's end is cut to.
///
/// # Errors
/// As [`hole_outline`]; where what covers it would part the hole in two.
pub fn opening(drilling: &Drilling) -> Result<Opening, Problem> {
    if drilling.others.is_empty() {
        return hole_outline(drilling).map(Opening::Whole);
    }
    let cover = Cover(drilling);
    let arcs = cover.open_arcs()?;
    match arcs.as_slice() {
        [] => Ok(Opening::Covered),
        [(from, to)] if to - from >= TAU => hole_outline(drilling).map(Opening::Whole),
        arcs => cover.outline(arcs).map(Opening::Part),
    }
}

/// The solved places of an opening, as [`HoleOutline::points`]; none where all of it is covered.
///
/// # Errors
/// As [`opening`].
pub fn opening_places(drilling: &Drilling) -> Result<Vec<Point>, Problem> {
    if drilling.others.is_empty() {
        return hole_places(drilling);
    }
    Ok(match opening(drilling)? {
        Opening::Whole(outline) | Opening::Part(outline) => outline.points,
        Opening::Covered => Vec::new(),
    })
}

struct Cover<'a>(&'a Drilling);

impl Cover<'_> {
    /// A place of the tube's section, seen along the tube.
    fn on_section(&self, azimuth: f64) -> DVec2 {
        let line = self.0.section.wall_line(azimuth, 0.0);
        line.origin + line.outer * DVec2::from_angle(line.facing)
    }

    fn line(&self, place: DVec2) -> Line {
        let frame = &self.0.frame;
        Line {
            origin: frame.origin + frame.across(place),
            direction: -frame.axis,
        }
    }

    /// Whether the line along the tube through a place meets the body, and before all others; `None` where it meets nothing.
    fn is_open(&self, place: DVec2) -> Option<bool> {
        let line = self.line(place);
        let others = self.0.others.iter().filter_map(|other| other.first_hit(&line));
        let other = others.map(|hit| hit.distance).reduce(f64::min);
        match (self.0.outer.first_hit(&line), other) {
            (Some(own), Some(other)) => Some(own.distance <= other),
            (Some(_), None) => Some(true),
            (None, Some(_)) => Some(false),
            (None, None) => None,
        }
    }

    /// Within the tube, and open.
    fn is_open_inside(&self, place: DVec2) -> bool {
        let frame = &self.0.frame;
        let outside = self.0.section.outside_by(frame.across(place), frame.front, frame.right);
        outside < 0.0 && self.is_open(place) == Some(true)
    }

    /// Where the tube's own outline opens into the body: from and to, in radians; one of a whole turn where it does all round.
    fn open_arcs(&self) -> Result<Vec<(f64, f64)>, Problem> {
        let is_open = |azimuth: f64| {
            self.is_open(self.on_section(azimuth))
                .ok_or_else(|| passes_beside(azimuth, None))
        };
        let at = |sample: usize| TAU * (sample as f64 + 0.29) / SAMPLES as f64;
        let samples = (0..=SAMPLES).map(|sample| is_open(at(sample)));
        let samples: Vec<bool> = samples.collect::<Result<_, _>>()?;
        let mut changes = Vec::new();
        for (sample, pair) in samples.windows(2).enumerate() {
            let [mut low, mut high] = [at(sample), at(sample + 1)];
            while pair[0] != pair[1] && high - low > CLOSE * high {
                let middle = 0.5 * (low + high);
                if middle <= low || middle >= high {
                    break;
                }
                if is_open(middle)? == pair[0] {
                    low = middle
                } else {
                    high = middle
                }
            }
            if pair[0] != pair[1] {
                // The one of the two that is open.
                changes.push(if pair[1] { (high, true) } else { (low, false) });
            }
        }
        if changes.is_empty() {
            return Ok(if samples[0] { vec![(0.0, TAU)] } else { Vec::new() });
        }
        let opens = changes.iter().enumerate().filter(|(_, change)| change.1);
        Ok(opens
            .map(|(index, &(from, _))| {
                let to = changes[(index + 1) % changes.len()].0;
                (from, if to > from { to } else { to + TAU })
            })
            .collect())
    }

    /// The outline along the tube's arcs, and between them along the edges of what covers the rest.
    fn outline(&self, arcs: &[(f64, f64)]) -> Result<HoleOutline, Problem> {
        let own = SkinOutline::new(self.0, self.0.outer.as_ref());
        let (mut path, mut points) = (BezPath::new(), Vec::new());
        let (mut arc, mut walked) = (0, 0);
        loop {
            let (from, to) = arcs[arc];
            let piece = fit(&own, from..to, Tolerance::FILE)?.path;
            path.extend(piece.into_iter().skip(usize::from(!path.is_empty())));
            points.extend(places_on(&[(&own, from, to)])?);
            points.extend(own.at(to).map(|place| place.point));
            walked += 1;
            let (edge, next) = self.edge(arcs, to).ok_or_else(lost)?;
            for place in edge {
                let place = self.on_skin(place).ok_or_else(lost)?;
                path.line_to(place);
                points.push(place);
            }
            arc = next;
            if arc == 0 || walked > arcs.len() {
                break;
            }
            path.push(PathEl::LineTo(
                self.on_skin(self.on_section(arcs[arc].0)).ok_or_else(lost)?,
            ));
        }
        if walked != arcs.len() {
            return Err(Problem::new("what else this tube is cut to parts its hole in two")
                .figures(format!("{} of {} openings are one", walked, arcs.len()))
                .help("leave it out of \"also\", and cut the tube for it by hand"));
        }
        path.close_path();
        Ok(HoleOutline {
            path,
            points,
            stands_in_mm: 0.0,
        })
    }

    fn on_skin(&self, place: DVec2) -> Option<Point> {
        let line = self.line(place);
        let hit = self.0.outer.first_hit(&line)?;
        Some(self.0.outer.lay_flat(line.at(hit.distance)))
    }

    /// Along the edge of what covers the tube from the end of an arc to the beginning of another: places, and which arc. What
    /// is open stays to the left, as on the arcs themselves.
    fn edge(&self, arcs: &[(f64, f64)], from: f64) -> Option<(Vec<DVec2>, usize)> {
        let stride = (STRIDE * self.0.section.reach()).min(LONGEST_STRIDE);
        let begins = |place: DVec2| {
            arcs.iter()
                .position(|arc| self.on_section(arc.0).distance(place) < 1.2 * stride)
        };
        let start = self.on_section(from);
        let tangent = self.on_section(from) - self.on_section(from - 1e-4);
        let mut heading = tangent.y.atan2(tangent.x) + FRAC_PI_2;
        let (mut place, mut places) = (start, Vec::new());
        for _ in 0..MOST_STRIDES {
            if let Some(next) = begins(place) {
                return Some((places, next));
            }
            let at = |heading: f64| place + stride * DVec2::from_angle(heading);
            heading = self.turn(heading, at)?;
            place = at(heading);
            places.push(place);
        }
        None
    }

    /// The heading next to the last one at which what is to the left is open and what is to the right is not.
    fn turn(&self, last: f64, at: impl Fn(f64) -> DVec2) -> Option<f64> {
        let tried = |number: i32| last + f64::from(number) * 5_f64.to_radians();
        let open: Vec<bool> = (-HEADINGS..=HEADINGS)
            .map(|number| self.is_open_inside(at(tried(number))))
            .collect();
        let opens = (-HEADINGS..HEADINGS).filter(|number| {
            let index = (number + HEADINGS) as usize;
            !open[index] && open[index + 1]
        });
        let nearest = opens.min_by_key(|number| (2 * number + 1).abs())?;
        let (mut low, mut high) = (tried(nearest), tried(nearest + 1));
        while high - low > CLOSE * 10.0 {
            let middle = 0.5 * (low + high);
            if self.is_open_inside(at(middle)) {
                high = middle
            } else {
                low = middle
            }
        }
        Some(high)
    }
}

fn lost() -> Problem {
    Problem::new("the edge of what covers this hole was lost")
        .help("move the tube's landing a little, or name less in \"also\"")
}
