//! Where lines of a picture pass each other.

use kurbo::{Line, ParamCurveNearest, Rect};

use super::traced::Traced;

/// Lines that come this near to each other pass, in millimetres on the sheet.
const NEAR: f64 = 0.1;
/// Lines are found by squares of this size, in millimetres on the sheet.
const CELL: f64 = 1.5;

/// Which line of the picture, and which stretch of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Which {
    pub(super) line: usize,
    pub(super) stretch: usize,
}

impl Which {
    /// Whether they are one stretch, or follow each other.
    fn is_beside(self, other: Self) -> bool {
        self.line == other.line && self.stretch.abs_diff(other.stretch) <= 1
    }
}

/// A straight stretch of a line, and the box about it.
struct Stretch {
    which: Which,
    ends: Line,
    around: Rect,
}

/// The stretches of all lines within a frame, found by where they are.
pub(super) struct Passing {
    cells: Cells,
    stretches: Vec<Stretch>,
    /// Which stretches lie in each cell, cell after cell.
    in_cells: Vec<u32>,
    /// Where those of each cell begin, and where the last one's end.
    starts: Vec<u32>,
}

impl Passing {
    /// `lines` in the order in which they are numbered.
    pub(super) fn new<'a>(lines: impl Iterator<Item = &'a Traced<'a>>, frame: Rect) -> Self {
        let cells = Cells::new(frame);
        let all = lines.enumerate().flat_map(|(line, traced)| {
            let stretches = traced.stretches().enumerate();
            stretches.map(move |(stretch, ends)| Stretch {
                which: Which { line, stretch },
                ends,
                around: about(ends),
            })
        });
        let stretches: Vec<Stretch> = all.filter(|one| cells.window.overlaps(one.around)).collect();
        let mut starts = vec![0; cells.count() + 1];
        for cell in stretches.iter().flat_map(|one| cells.of(one.around)) {
            starts[cell] += 1;
        }
        // Each cell's end for now: it is filled from there to its start.
        let mut end = 0;
        for start in &mut starts {
            end += *start;
            *start = end;
        }
        let mut in_cells = vec![0; end as usize];
        for (index, one) in (0..).zip(&stretches) {
            for cell in cells.of(one.around) {
                starts[cell] -= 1;
                in_cells[starts[cell] as usize] = index;
            }
        }
        Self {
            cells,
            stretches,
            in_cells,
            starts,
        }
    }

    /// Whether any other line passes a stretch, or another part of the same one.
    pub(super) fn is_passed(&self, which: Which, ends: Line) -> bool {
        let around = about(ends);
        self.cells.of(around).any(|cell| {
            let found = &self.in_cells[self.starts[cell] as usize..self.starts[cell + 1] as usize];
            found.iter().any(|index| {
                let other = &self.stretches[*index as usize];
                around.overlaps(other.around) && !which.is_beside(other.which) && pass(ends, other.ends)
            })
        })
    }
}

/// Squares over a window, numbered row by row.
struct Cells {
    window: Rect,
    columns: usize,
    rows: usize,
}

impl Cells {
    fn new(frame: Rect) -> Self {
        let count = |size: f64| (size / CELL).ceil().max(1.0) as usize;
        Self {
            window: frame,
            columns: count(frame.width()),
            rows: count(frame.height()),
        }
    }

    fn count(&self) -> usize {
        self.columns * self.rows
    }

    /// Those that a box lies in; of one outside the window the nearest.
    fn of(&self, around: Rect) -> impl Iterator<Item = usize> {
        let index = |at: f64, count: usize| ((at / CELL).max(0.0) as usize).min(count - 1);
        let column = |x: f64| index(x - self.window.x0, self.columns);
        let row = |y: f64| index(y - self.window.y0, self.rows);
        let (from, to) = (column(around.x0), column(around.x1));
        let columns = self.columns;
        (row(around.y0)..=row(around.y1)).flat_map(move |row| (from..=to).map(move |column| row * columns + column))
    }
}

/// A box about a stretch, half as far about it as lines pass.
fn about(ends: Line) -> Rect {
    Rect::from_points(ends.p0, ends.p1).inflate(0.5 * NEAR, 0.5 * NEAR)
}

fn pass(a: Line, b: Line) -> bool {
    let is_near = |line: Line, other: Line| {
        [other.p0, other.p1]
            .into_iter()
            .any(|end| line.nearest(end, 1e-9).distance_sq < NEAR * NEAR)
    };
    cross(a, b) || is_near(a, b) || is_near(b, a)
}

/// Whether two straight lines cross.
pub(super) fn cross(a: Line, b: Line) -> bool {
    let parts = |line: Line, other: Line| {
        let way = line.p1 - line.p0;
        way.cross(other.p0 - line.p0) * way.cross(other.p1 - line.p0) <= 0.0
    };
    parts(a, b) && parts(b, a)
}

#[cfg(test)]
mod tests {
    use glam::DVec3;
    use kurbo::Point;

    use super::super::line::LineInSpace;
    use super::*;

    /// Of each line the stretches that are passed.
    fn passed(lines: &[[(f64, f64); 2]]) -> Vec<Vec<usize>> {
        let space = |(x, y): (f64, f64)| DVec3::new(x, y, 0.0);
        let lines: Vec<LineInSpace<'_>> = lines
            .iter()
            .map(|[from, to]| LineInSpace::straight(space(*from), space(*to)))
            .collect();
        let flat = |place: DVec3| Point::new(place.x, place.y);
        let frame = Rect::new(0.0, 0.0, 60.0, 40.0);
        let traced: Vec<Traced<'_>> = lines.iter().map(|line| Traced::new(line, flat, frame)).collect();
        let passing = Passing::new(traced.iter(), frame);
        let of_line = |(line, traced): (usize, &Traced<'_>)| {
            let stretches = traced.stretches().enumerate();
            let passed = stretches.filter(|(stretch, ends)| {
                passing.is_passed(
                    Which {
                        line,
                        stretch: *stretch,
                    },
                    *ends,
                )
            });
            passed.map(|(stretch, _)| stretch).collect()
        };
        traced.iter().enumerate().map(of_line).collect()
    }

    #[test]
    fn lines_pass_where_they_cross_and_nowhere_else() {
        let level = [(5.0, 20.0), (35.0, 20.0)];
        let upright = [(12.4, 5.0), (12.4, 35.0)];
        assert_eq!(
            passed(&[level, upright]),
            [vec![7], vec![14, 15]],
            "at a stop both stretches"
        );
        assert!(passed(&[level])[0].is_empty(), "none passes itself");
    }

    #[test]
    fn lines_beside_each_other_pass_as_far_as_they_are_near() {
        let level = [(5.0, 20.0), (15.0, 20.0)];
        let beside = |by: f64| [(5.0, 20.0 + by), (15.0, 20.0 + by)];
        assert_eq!(passed(&[level, beside(0.05)])[0].len(), 10);
        assert!(passed(&[level, beside(0.15)])[0].is_empty());
    }
}
