//! Rectangles on a sheet, none over another.

use kurbo::Rect;

/// The free rectangles of a sheet, each as large as it can be; they overlap each other.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FreeSpace(Vec<Rect>);

impl FreeSpace {
    /// A sheet on which these rectangles are free.
    pub(super) fn new(free: Vec<Rect>) -> Self {
        Self(free)
    }

    /// Whether `width` x `height` could be placed.
    pub(super) fn holds(&self, width: f64, height: f64) -> bool {
        self.0.iter().any(|free| fits(free, width, height))
    }

    /// Where a rectangle comes as high, then as far left, as it can, against what is left of it or where it begins at one of `lefts`;
    /// only at a place that `suits`. `None` where there is no room.
    pub(super) fn place_for(
        &self,
        width: f64,
        height: f64,
        (lefts, suits): (&[f64], impl Fn(Rect) -> bool),
    ) -> Option<Rect> {
        self.0
            .iter()
            .filter(|free| fits(free, width, height))
            .flat_map(|free| {
                let within = lefts.iter().filter(|x| (free.x0..=free.x1 - width).contains(*x));
                let left = within.copied().chain([free.x0]);
                left.map(|x| Rect::new(x, free.y1 - height, x + width, free.y1))
            })
            .filter(|place| suits(*place))
            .max_by(|a, b| a.y1.total_cmp(&b.y1).then(b.x0.total_cmp(&a.x0)))
    }

    /// Splits every free rectangle round `taken`, then drops those within others.
    pub(super) fn take(&mut self, taken: Rect) {
        let (mut kept, mut parts) = (Vec::with_capacity(self.0.len() + 4), Vec::new());
        for free in &self.0 {
            if free.intersect(taken).area() <= 0.0 {
                kept.push(*free);
                continue;
            }
            let of_free = [
                Rect::new(free.x0, free.y0, taken.x0, free.y1),
                Rect::new(taken.x1, free.y0, free.x1, free.y1),
                Rect::new(free.x0, free.y0, free.x1, taken.y0),
                Rect::new(free.x0, taken.y1, free.x1, free.y1),
            ];
            let is_wide = |part: &Rect| part.x1 - part.x0 > 1.0 && part.y1 - part.y0 > 1.0;
            parts.extend(of_free.into_iter().filter(is_wide));
        }
        let is_within = |inner: Rect, outer: &Rect| {
            outer.x0 <= inner.x0 && outer.y0 <= inner.y0 && outer.x1 >= inner.x1 && outer.y1 >= inner.y1
        };
        // What was kept is as large as it can be; a part may lie within it, or within another part, or be there twice.
        let whole = kept.len();
        for (index, part) in parts.iter().enumerate() {
            let is_in = |(other, outer): (usize, &Rect)| {
                other != index && is_within(*part, outer) && (part != outer || other < index)
            };
            if !kept[..whole].iter().any(|outer| is_within(*part, outer)) && !parts.iter().enumerate().any(is_in) {
                kept.push(*part);
            }
        }
        self.0 = kept;
    }
}

fn fits(free: &Rect, width: f64, height: f64) -> bool {
    const ROUNDING: f64 = 1e-9;
    width <= free.width() + ROUNDING && height <= free.height() + ROUNDING
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_placed_over_another_and_all_that_fits_is_placed() {
        let mut space = FreeSpace::new(vec![Rect::new(0.0, 0.0, 100.0, 100.0)]);
        let mut place = || {
            let place = space.place_for(25.0, 25.0, (&[], |_| true))?;
            space.take(place);
            Some(place)
        };
        let placed: Vec<Rect> = (0..16).filter_map(|_| place()).collect();
        assert_eq!(placed.len(), 16);
        assert!(place().is_none());
        for (index, a) in placed.iter().enumerate() {
            assert!(placed[..index].iter().all(|b| a.intersect(*b).area() <= 0.0));
        }
    }
}
