//! How deep a tube's wall reaches into what is in its way.

use std::f64::consts::TAU;

use glam::DVec3;

use super::cut_tube::CutTube;

/// Looks along the wall from cut to cut.
const ALONG: usize = 48;

/// Where the search for the deepest place ends, as a share of where it begins.
const LAST_STEP: f64 = 1e-6;

/// A place of the wall: the azimuth in radians, then from cut to cut and from bore to skin, 0 to 1.
type Spot = [f64; 3];

/// The deepest place of the wall, and how deep it lies in millimetres; `depth` is `None` outside of what it lies in. None
/// where no look finds one: then it is less deep than the looks are apart.
pub(in crate::plan) fn deepest(
    tube: &CutTube,
    depth: &impl Fn(DVec3) -> Option<f64>,
    near: f64,
) -> Option<(f64, DVec3)> {
    let mut best: Option<(f64, Spot)> = None;
    let mut look = |spot: Spot, place: DVec3| {
        if let Some(depth) = depth(place).filter(|depth| best.is_none_or(|best| *depth > best.0)) {
            best = Some((depth, spot));
        }
    };
    for slice in tube.slices().iter().chain([&tube.slice(near)]) {
        for step in 0..=ALONG {
            for across in [0.0, 1.0] {
                let along = step as f64 / ALONG as f64;
                look([slice.azimuth, along, across], slice.place(along, across));
            }
        }
    }
    best.map(|(found, spot)| climb(tube, depth, found, spot))
}

/// From a place to the deepest one near it.
fn climb(tube: &CutTube, depth: &impl Fn(DVec3) -> Option<f64>, mut found: f64, mut spot: Spot) -> (f64, DVec3) {
    let steps = [TAU / tube.slices().len() as f64, 1.0 / ALONG as f64, 0.5];
    let at = |[azimuth, along, across]: Spot| tube.slice(azimuth).place(along, across);
    let mut share = 1.0;
    while share > LAST_STEP {
        let mut is_deeper = false;
        for (axis, step) in steps.iter().enumerate() {
            for way in [-share, share] {
                let mut next = spot;
                next[axis] += way * step;
                if axis > 0 {
                    next[axis] = next[axis].clamp(0.0, 1.0);
                }
                if let Some(deeper) = depth(at(next)).filter(|depth| *depth > found) {
                    (found, spot, is_deeper) = (deeper, next, true);
                }
            }
        }
        if !is_deeper {
            share /= 2.0;
        }
    }
    (found, at(spot))
}
