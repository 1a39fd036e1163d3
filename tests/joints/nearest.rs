//! How far a point is from a curve that is known place by place, measured without derivatives.

use kurbo::{Line, ParamCurveNearest, Point};

const PARTS: i32 = 16;
const ZOOMS: i32 = 4;

/// The distance of `point` from the places `at` within `reach` of `guess`. Each zoom looks through
/// chords of a sixteenth of the last window's; the last ones are shorter than `reach` / 8000.
pub fn distance(at: impl Fn(f64) -> Point, guess: f64, reach: f64, point: Point) -> f64 {
    let (mut middle, mut window, mut best) = (guess, reach, f64::MAX);
    for _ in 0..ZOOMS {
        let places: Vec<(f64, Point)> = (-PARTS..=PARTS)
            .map(|part| middle + window * f64::from(part) / f64::from(PARTS))
            .map(|azimuth| (azimuth, at(azimuth)))
            .collect();
        for ends in places.windows(2) {
            let near = Line::new(ends[0].1, ends[1].1).nearest(point, 1e-9);
            if near.distance_sq < best {
                best = near.distance_sq;
                middle = ends[0].0 + near.t * (ends[1].0 - ends[0].0);
            }
        }
        window /= 8.0;
    }
    best.sqrt()
}

/// The distance of `point` from the closed curve `at` over a turn: the nearest chords of `coarse`,
/// which are its places at each degree, are searched.
pub fn distance_from_closed(at: impl Fn(f64) -> Point, coarse: &[Point], point: Point) -> f64 {
    let turn = std::f64::consts::TAU;
    let count = coarse.len();
    let mut chords: Vec<(f64, usize)> = (0..count)
        .map(|chord| Line::new(coarse[chord], coarse[(chord + 1) % count]))
        .map(|chord| chord.nearest(point, 1e-9).distance_sq)
        .zip(0..)
        .collect();
    chords.sort_by(|a, b| a.0.total_cmp(&b.0));
    let step = turn / count as f64;
    chords
        .iter()
        .take(6)
        .map(|&(_, chord)| distance(&at, (chord as f64 + 0.5) * step, step, point))
        .fold(f64::MAX, f64::min)
}
