//! A section from what can be measured on a used drum.

use std::f64::consts::{PI, TAU};

use super::contour::Contour;
use super::curve::Hollow;

/// Rounds in which places measured with the tape, and the size that gives the girth, settle; each leaves a small share.
const ROUNDS: usize = 200;
/// Until nothing moves by more, in millimetres or radians.
const SETTLED: f64 = 1e-11;

/// Where something was measured on the section, from the zero line to the right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mark {
    /// About the axis, in radians.
    Angle(f64),
    /// With the tape round the skin, in millimetres.
    Arc(f64),
}

impl Mark {
    /// The angle about the axis, of a section that is as good as settled.
    fn on(self, contour: &Contour) -> f64 {
        match self {
            Self::Angle(angle) => angle,
            Self::Arc(arc) => {
                let zero = contour.arc(contour.at_round(0.0));
                contour.round_of(contour.at_arc(zero + arc))
            }
        }
    }

    /// The same on a round section of this girth.
    fn on_round(self, girth: f64) -> f64 {
        match self {
            Self::Angle(angle) => angle,
            Self::Arc(arc) => arc / girth * TAU,
        }
    }
}

impl Contour {
    /// An ellipse of two diameters square to each other, in millimetres, the first one at `mark`.
    pub fn oval(diameters: [f64; 2], mark: Mark) -> Self {
        let level = Self::ellipse(diameters, 0.0);
        // Turn it until the zero line is as far from its first diameter as was measured.
        let turned = match mark {
            Mark::Angle(angle) => angle,
            Mark::Arc(arc) => -Mark::Arc(-arc).on(&level),
        };
        Self::ellipse(diameters, turned)
    }

    /// Through diameters across the axis, in millimetres, two or more, each at a mark and straight across from it.
    ///
    /// # Errors
    /// Where the section would bend inwards.
    pub fn of_diameters(girth: f64, diameters: &[(Mark, f64)]) -> Result<Self, Hollow> {
        let both_ends = |rounds: &[f64]| {
            let ends = rounds.iter().zip(diameters);
            ends.flat_map(|(round, (_, across))| [(*round, across / 2.0), (round + PI, across / 2.0)])
                .collect()
        };
        settle(girth, diameters, both_ends, |_| 0.0)
    }

    /// Through places that stand out of a true circle by so much, in millimetres, inwards below 0; the circle is as
    /// large as gives the section its girth.
    ///
    /// # Errors
    /// Where the section would bend inwards.
    pub fn of_offsets(girth: f64, offsets: &[(Mark, f64)]) -> Result<Self, Hollow> {
        let radius = girth / TAU;
        let places = |rounds: &[f64]| {
            let places = rounds.iter().zip(offsets);
            places.map(|(round, (_, out))| (*round, radius + out)).collect()
        };
        settle(girth, offsets, places, |contour| (girth - contour.girth()) / TAU)
    }
}

/// Places are marked on a section that isn't known before they are: it is made, measured, and made again. `grows` is by
/// how much every radius must grow yet.
fn settle(
    girth: f64,
    measured: &[(Mark, f64)],
    places: impl Fn(&[f64]) -> Vec<(f64, f64)>,
    grows: impl Fn(&Contour) -> f64,
) -> Result<Contour, Hollow> {
    let mut rounds: Vec<f64> = measured.iter().map(|(mark, _)| mark.on_round(girth)).collect();
    let mut more = 0.0;
    let mut contour = through(&places(&rounds), more)?;
    for _ in 0..ROUNDS {
        let found: Vec<f64> = measured.iter().map(|(mark, _)| mark.on(&contour)).collect();
        let growth = grows(&contour);
        let moved = rounds
            .iter()
            .zip(&found)
            .map(|(a, b)| (a - b).abs())
            .fold(growth.abs(), f64::max);
        if moved < SETTLED {
            break;
        }
        (rounds, more) = (found, more + growth);
        contour = through(&places(&rounds), more)?;
    }
    Ok(contour)
}

/// In order round the section, every radius `more` than given.
fn through(places: &[(f64, f64)], more: f64) -> Result<Contour, Hollow> {
    let turned = places
        .iter()
        .map(|(round, radius)| (round.rem_euclid(TAU), radius + more));
    let mut turned: Vec<(f64, f64)> = turned.collect();
    turned.sort_by(|a, b| a.0.total_cmp(&b.0));
    Contour::through(&turned)
}
