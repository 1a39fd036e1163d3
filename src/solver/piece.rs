//! A straight piece with two ends on one girth scale: lengths and clocking.

use std::f64::consts::{PI, TAU};

use kurbo::{Affine, BezPath};

use super::cut::EndCurve;
use super::trace::{UNNAMED, passes_beside};
use super::tube_end::{cut_at, solve_end};
use crate::job::Piece;
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted};

/// Places round the girth at which the two cuts are held against each other.
const SAMPLES: usize = 180;

/// Less tube than this between its cuts, in millimetres, can't be clamped or welded.
const SHORTEST: f64 = 1.0;

/// A solved piece.
#[derive(Debug, Clone, PartialEq)]
pub struct SolvedPiece {
    /// The first end.
    pub near: EndCurve,
    /// The far end, seen with its own cut end up: its azimuths run the other way round.
    pub far: EndCurve,
    /// From the farthest point of one end to that of the other, in millimetres.
    pub tip_to_tip_mm: f64,
    /// From the near end's front to the far end's, in degrees, growing with the near end's azimuth, -180 to 180;
    /// `None` where an end has no front.
    pub twist_deg: Option<f64>,
}

/// Solves both ends on a girth of 2 pi `girth_radius_mm`, with the seam at `seam` radians of the near end's azimuth.
///
/// # Errors
/// Where a part of the wall misses what it lands on, or the cuts leave nothing between them.
pub fn solve_piece(piece: &Piece, girth_radius_mm: f64, seam: f64) -> Result<SolvedPiece, Problem> {
    let solved = |side: usize, seam: f64| {
        solve_end(piece.end(side), girth_radius_mm, seam).map_err(|problem| named(problem, piece, side))
    };
    let near = solved(0, seam)?;
    let far = solved(1, -seam - TAU)?;
    let mut shortest = f64::INFINITY;
    for sample in 0..SAMPLES {
        let azimuth = TAU * sample as f64 / SAMPLES as f64;
        let cut = |side: usize, azimuth: f64| {
            let missed = || named(passes_beside(azimuth, None), piece, side);
            cut_at(piece.end(side), azimuth).ok_or_else(missed)
        };
        let between = piece.length_mm - cut(0, azimuth)?.t - cut(1, -azimuth)?.t;
        shortest = shortest.min(between);
    }
    if shortest < SHORTEST {
        return Err(too_short(piece, shortest));
    }
    let tip_to_tip_mm = piece.length_mm - near.lowest.0 - far.lowest.0;
    Ok(SolvedPiece {
        near,
        far,
        tip_to_tip_mm,
        twist_deg: twist_deg(piece),
    })
}

/// The problem of an end, with the names of the bodies that it is cut to.
fn named(problem: Problem, piece: &Piece, side: usize) -> Problem {
    let words = &piece.ends[side];
    let bodies: Vec<String> = words.body.iter().chain(&words.also).map(|name| quoted(name)).collect();
    match bodies.as_slice() {
        [] => problem,
        all => problem.naming(UNNAMED, &all.join(" and ")),
    }
}

/// What is wrong with a piece that has `shortest` millimetres between its cuts.
fn too_short(piece: &Piece, shortest: f64) -> Problem {
    let gaps = [&piece.near, &piece.far].map(|end| end.root_gap_mm);
    let figures = Phrase::default()
        .length(shortest)
        .words(" are left between them, of ")
        .length(piece.length_mm)
        .words(" between its work points");
    let (figures, help) = if gaps == [0.0; 2] {
        (figures, "move its ends apart")
    } else {
        let figures = figures
            .words(", with root gaps of ")
            .length(gaps[0])
            .words(" and ")
            .length(gaps[1]);
        (figures, "move its ends apart, or give less root gap")
    };
    Problem::new("the piece is too short to hold its two cuts")
        .figures(figures)
        .help(help)
        .how_bad(-shortest)
}

fn twist_deg(piece: &Piece) -> Option<f64> {
    let [near, far] = piece.fronts;
    let frame = piece.near.frame;
    let azimuth = |front: glam::DVec3| front.dot(frame.right).atan2(front.dot(frame.front));
    let twist = azimuth(far?) - azimuth(near?);
    // Half a turn is one to the right.
    Some((PI - (PI - twist).rem_euclid(TAU)).to_degrees())
}

impl SolvedPiece {
    /// The far cut on the near end's wrap, as a curve over the same girth from the same seam: y is t counted from the
    /// near end's work point along the piece, in millimetres.
    pub fn far_on_near_wrap(&self, length_mm: f64) -> BezPath {
        let girth = TAU * self.far.girth_radius_mm;
        // Its azimuths run the other way, and so does its t.
        let flip = Affine::new([-1.0, 0.0, 0.0, -1.0, girth, length_mm]);
        (flip * self.far.path.clone()).reverse_subpaths()
    }
}
