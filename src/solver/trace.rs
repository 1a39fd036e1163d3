//! A flat curve that is known point by point: what the creases are looked for in, and what is fitted.

use std::f64::consts::TAU;

use kurbo::{Point, Vec2};

use crate::measure::decimals;
use crate::phrase::Phrase;
use crate::problem::Problem;
use crate::section::WallLine;

/// A place on a traced curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// In millimetres.
    pub point: Point,
    /// By how much the point moves per radian.
    pub speed: Vec2,
    /// What it is a place of.
    pub part: Part,
    /// Above 0, and the smaller the nearer another part is to taking over; infinite where there is none.
    pub margin: f64,
}

/// Which part of a tube's wall makes a place; where another takes over the curve goes on, but bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The one there is.
    Only,
    /// The bore, or what the wall has inmost.
    Inner,
    /// A place within the wall.
    Within,
    /// The outer skin.
    Outer,
}

/// Below this cosine between the normal and the tube's lines they only graze the skin, and its normal doesn't show how the
/// curve goes on.
const GRAZING: f64 = 1e-6;

/// To either side of a place, in radians, where its speed is taken from its neighbours.
const NEIGHBOUR: f64 = 1e-3;

/// How fast `value` changes along a flat side that lies along the skin; `None` elsewhere, where the skin's normal shows it.
/// `side` gives the line through the wall at an azimuth.
pub(super) fn along_a_grazing_side(
    azimuth: f64,
    facing: f64,
    side: impl Fn(f64) -> WallLine,
    value: impl Fn(f64) -> Option<Vec2>,
) -> Option<Vec2> {
    let here = side(azimuth);
    if facing > GRAZING || here.turning != 0.0 {
        return None;
    }
    let on_side = |at: &f64| side(*at).facing == here.facing && side(*at).turning == 0.0;
    let neighbours: Vec<f64> = [azimuth - NEIGHBOUR, azimuth, azimuth + NEIGHBOUR]
        .into_iter()
        .filter(on_side)
        .collect();
    let (first, last) = (*neighbours.first()?, *neighbours.last()?);
    (last > first).then_some((value(last)? - value(first)?) / (last - first))
}

/// What stands in a problem for the body, which is not known by name where the problem is found.
pub(super) const UNNAMED: &str = "what it lands on";

/// A part of the tube's wall misses what it lands on, at `azimuth` radians, `by` so many millimetres where that is known.
pub(super) fn passes_beside(azimuth: f64, by: Option<f64>) -> Problem {
    /// A tube as wide as its body that misses by less was meant to meet it, in millimetres.
    const MEANT: f64 = 0.05;
    let help = match by {
        Some(by) if by < MEANT => {
            "give \"round\" and the points with more decimals, so that the two centre lines meet; or use a narrower tube"
        }
        _ => "use a narrower tube or a wider body, or bring their axes nearer",
    };
    let problem = Problem::new("a part of the tube's wall passes beside what it lands on")
        .figures(at_azimuth(azimuth, by))
        .help(help);
    match by {
        Some(by) => problem.how_bad(by),
        None => problem,
    }
}

/// Places round the girth at which it is looked for where the wall is farthest past.
const STEPS: usize = 720;

/// Where a wall that misses at `azimuth` is farthest past, and by how much where that is known: that shows how much narrower
/// it must be.
pub(super) fn farthest_past(azimuth: f64, past: impl Fn(f64) -> Option<f64>) -> (f64, Option<f64>) {
    let all_round = (0..STEPS).map(|step| TAU * step as f64 / STEPS as f64);
    let all_past = all_round.chain([azimuth]).filter_map(|at| Some((at, past(at)?)));
    let farthest = all_past.max_by(|a, b| a.1.total_cmp(&b.1));
    farthest.map_or((azimuth, None), |(at, by)| (at, Some(by)))
}

/// Where something misses, and by how much where that is known.
pub(super) fn at_azimuth(azimuth: f64, by: Option<f64>) -> Phrase {
    let at = decimals(azimuth.to_degrees().rem_euclid(360.0), 1);
    let place = Phrase::from(format!("{at}° round from FRONT to the right"));
    match by {
        Some(by) => place.words(", by ").length(by),
        None => place,
    }
}

/// A flat curve over the azimuth.
pub trait Trace {
    /// The place at `azimuth` radians; `None` where there is none, since a line misses the body.
    fn at(&self, azimuth: f64) -> Option<Place>;

    /// Azimuths from 0 to a turn, in radians and rising, at which what is traced is known not to be smooth; it may have
    /// corners elsewhere too.
    fn joins(&self) -> Vec<f64> {
        Vec::new()
    }

    /// What is wrong where there is no place, at `azimuth` radians.
    fn miss(&self, azimuth: f64) -> Problem {
        passes_beside(azimuth, None)
    }
}
