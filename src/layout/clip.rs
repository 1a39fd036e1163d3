//! The part of a drawing within a rectangle: really cut, not hidden, so that nothing is left outside
//! for a reader that looks at the lines alone.

use kurbo::{Affine, BezPath, Line, ParamCurve, PathSeg, Point, Rect, Shape};

use super::drawing::{Drawing, Item, Text};

/// What of `drawing` lies within `window`. Words are kept whole or not at all.
pub(super) fn clip(drawing: &Drawing, window: Rect) -> Drawing {
    let mut clipped = Drawing::default();
    for (layer, item) in &drawing.items {
        match item {
            Item::Stroke(path, pen) => {
                let path = clip_stroke(path, window);
                if !path.elements().is_empty() {
                    clipped.items.push((*layer, Item::Stroke(path, *pen)));
                }
            }
            Item::Fill(path, _) if holds(window, path.bounding_box()) => clipped.items.push((*layer, item.clone())),
            Item::Words(text) if holds(window, text.bounds()) => clipped.items.push((*layer, item.clone())),
            Item::Fill(..) | Item::Words(_) => {}
        }
    }
    clipped
}

/// Moves words that stand across the edges of all `windows` into the nearest one, so that none are lost. The white just before
/// them, which keeps lines off them, goes with them.
pub(super) fn keep_words_whole(drawing: &mut Drawing, windows: &[Rect]) {
    for index in 0..drawing.items.len() {
        let (before, from) = drawing.items.split_at_mut(index);
        let Some((_, Item::Words(text))) = from.first_mut() else {
            continue;
        };
        let bounds = text.bounds();
        if windows.iter().any(|window| holds(*window, bounds)) {
            continue;
        }
        let shift = |window: &Rect| {
            Point::new(
                shift_into(bounds.x0, bounds.x1, window.x0, window.x1),
                shift_into(bounds.y0, bounds.y1, window.y0, window.y1),
            )
        };
        let nearest = windows
            .iter()
            .map(shift)
            .min_by(|a, b| a.to_vec2().hypot().total_cmp(&b.to_vec2().hypot()));
        if let Some(shift) = nearest {
            *text = Text {
                at: text.at + shift.to_vec2(),
                ..text.clone()
            };
            if let Some((_, Item::Fill(white, _))) = before.last_mut()
                && is_round(white.bounding_box(), bounds)
            {
                white.apply_affine(Affine::translate(shift.to_vec2()));
            }
        }
    }
}

/// Whether `outer` is what words within `inner` stand on: little more than they take.
fn is_round(outer: Rect, inner: Rect) -> bool {
    const MARGIN: f64 = 1.0;
    holds(outer, inner) && holds(inner.inflate(MARGIN, MARGIN), outer)
}

fn shift_into(low: f64, high: f64, from: f64, to: f64) -> f64 {
    const CLEAR: f64 = 0.5;
    if low < from + CLEAR {
        from + CLEAR - low
    } else if high > to - CLEAR {
        to - CLEAR - high
    } else {
        0.0
    }
}

fn holds(outer: Rect, inner: Rect) -> bool {
    outer.x0 <= inner.x0 && outer.y0 <= inner.y0 && outer.x1 >= inner.x1 && outer.y1 >= inner.y1
}

/// Splits each segment where it crosses the window's sides and keeps the parts inside.
fn clip_stroke(path: &BezPath, window: Rect) -> BezPath {
    let mut kept = BezPath::new();
    let mut pen: Option<Point> = None;
    for segment in path.segments() {
        let mut cuts = vec![0.0, 1.0];
        let reach = window.inflate(1.0, 1.0);
        if !holds(window, segment.bounding_box()) {
            let sides = [
                Line::new((window.x0, reach.y0), (window.x0, reach.y1)),
                Line::new((window.x1, reach.y0), (window.x1, reach.y1)),
                Line::new((reach.x0, window.y0), (reach.x1, window.y0)),
                Line::new((reach.x0, window.y1), (reach.x1, window.y1)),
            ];
            cuts.extend(
                sides
                    .into_iter()
                    .flat_map(|side| segment.intersect_line(side))
                    .map(|hit| hit.segment_t.clamp(0.0, 1.0)),
            );
            cuts.sort_by(f64::total_cmp);
        }
        for span in cuts.windows(2).filter(|span| span[1] - span[0] > 1e-12) {
            let part = segment.subsegment(span[0]..span[1]);
            if window.inflate(1e-9, 1e-9).contains(part.eval(0.5)) {
                if pen.is_none_or(|at| at.distance(part.start()) > 1e-9) {
                    kept.move_to(part.start());
                }
                push(&mut kept, part);
                pen = Some(part.end());
            }
        }
    }
    kept
}

fn push(path: &mut BezPath, segment: PathSeg) {
    path.push(segment.as_path_el());
}

#[cfg(test)]
mod tests {
    use kurbo::{Circle, ParamCurveArclen};

    use super::*;
    use crate::layout::drawing::Layer;

    #[test]
    fn a_circle_through_four_windows_is_whole_again_in_their_sum() {
        let circle = Circle::new((0.3, 0.2), 10.0).to_path(1e-6);
        let length = |path: &BezPath| path.segments().map(|segment| segment.arclen(1e-9)).sum::<f64>();
        let windows =
            [(-20.0, -20.0), (0.0, -20.0), (-20.0, 0.0), (0.0, 0.0)].map(|(x, y)| Rect::new(x, y, x + 20.0, y + 20.0));
        let sum: f64 = windows
            .iter()
            .map(|window| length(&clip_stroke(&circle, *window)))
            .sum();
        assert!((sum - length(&circle)).abs() < 1e-6, "{sum}");
    }

    /// What keeps lines off words must not stay behind where a tile's edge moves them.
    #[test]
    fn the_white_behind_words_goes_with_them() {
        let mut drawing = Drawing::default();
        let words = Text::new((95.0, 10.0), 9.0, "upside down");
        let white = words.bounds().inflate(0.5, 0.3);
        // A mark that only happens to stand before them stays.
        let mark = Rect::new(60.0, 0.0, 140.0, 40.0);
        for before in [white, mark] {
            drawing.fill(Layer::CrownLines, 1.0, before);
            drawing.words(Layer::CrownLines, words.clone());
        }
        keep_words_whole(&mut drawing, &[Rect::new(0.0, 0.0, 100.0, 100.0)]);
        let [
            (_, Item::Fill(white, _)),
            (_, Item::Words(words)),
            (_, Item::Fill(still, _)),
            _,
        ] = &drawing.items[..]
        else {
            panic!("{drawing:?}");
        };
        assert!(words.bounds().x1 < 100.0);
        assert!(holds(white.bounding_box(), words.bounds()), "{white:?}");
        assert!((still.bounding_box().x0 - 60.0).abs() < 1e-9);
    }
}
