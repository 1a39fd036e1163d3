//! Gores: strips of paper that carry the outline of a hole in a ball or a head, which no whole paper lies flat on.
//!
//! **Why strips side by side.** A strip bends along its middle line and stays straight across it, so at the distance c from the middle
//! line its edge stands c^2 / 2 R off a skin that curves by 1 / R across it: what stands off 0.2 mm is 2 sqrt(0.4 R) wide, and a hole
//! that reaches r from its middle takes about r / sqrt(0.4 R) such strips. Wedges that meet at the middle would be as wide at the outline, and
//! there go 2 pi r / 2 sqrt(0.4 R) of them round: three times as many, all to be brought together at one point. The strips run towards
//! the apex: a head bends the most that way in its knuckle, which a strip doesn't mind, and the least across. All middle lines leave square one
//! cross line through the hole's middle, so that the strips meet edge to edge, and the middle one is laid on the line that is drawn for the
//! compass anyway: one person tapes it on first, and the others to it.
//!
//! Middle lines, edges and the cross line are straightest lines over the skin ([`Straight`]); on paper a strip's middle line is straight.

use glam::DVec3;
use kurbo::Point;

use crate::body::{OnStraight, Straight};
use crate::job::RoundHole;
use crate::solver::{Direction, compass_outline};

/// No place of a strip stands farther off the place of the skin that it is for, in millimetres.
pub const MOST_OFF_MM: f64 = 0.2;

/// Paper past the outline at a strip's two ends and at the outermost edges, in millimetres: to hold it by.
const END_MM: f64 = 6.0;
const SIDE_MM: f64 = 4.0;

/// Most strips on each side of the middle one.
const MOST_BESIDE: usize = 30;

/// Directions in which the outline is solved.
const ROUND: usize = 720;

/// Steps in which a line is walked from the hole's middle to the farthest place of it.
const STEPS: f64 = 120.0;

/// The outermost edge is beside the outline when it is as near as this, in millimetres.
const BESIDE_MM: f64 = 1e-4;

/// The strips of a hole.
#[derive(Debug, Clone)]
pub struct Gores {
    /// From the left, seen from outside with the apex up.
    pub strips: Vec<Gore>,
    /// The farthest that a place of a strip, bent along its middle line, stands off the place of the skin that it is for, in
    /// millimetres.
    pub off_mm: f64,
    /// Whether up is towards the apex, else (where the hole's middle is the apex) towards the zero line's mark.
    pub is_up_to_apex: bool,
}

/// A strip, flat, its middle line up along x = 0 and y = 0 where that leaves the cross line. Millimetres, printed side out.
#[derive(Debug, Clone)]
pub struct Gore {
    /// How many strips to the right of the middle one it is, below 0 to the left.
    pub beside: isize,
    /// Its left edge and its right one, upwards.
    pub edges: [Vec<Point>; 2],
    /// The parts of the hole's outline on it.
    pub outline: Vec<Vec<Point>>,
    /// The cross line, to the right.
    pub cross: Vec<Point>,
    /// Whether a strip joins it at its left and its right.
    pub joins: [bool; 2],
}

impl Gores {
    /// Those of a hole, for paper of a thickness in millimetres, whose middle lies half of that above the skin; `None` where the hole
    /// goes too far round its body for paper.
    pub fn new(hole: &RoundHole, paper_mm: f64) -> Option<Self> {
        let outline = compass_outline(hole, ROUND).ok()?;
        let skin = Skin::new(hole, &outline, paper_mm)?;
        let half = skin.half_width(&outline)? + SIDE_MM;
        // What stands off grows with the square of the width.
        let whole = skin.strips(&outline, half, 0)?;
        let about = ((whole.off_mm / MOST_OFF_MM).sqrt() - 1.0) / 2.0;
        let first = (about.floor().max(0.0) as usize).saturating_sub(1);
        let mut tries = (first..=MOST_BESIDE).map_while(|beside| skin.strips(&outline, half, beside));
        tries.find(|gores| gores.off_mm <= MOST_OFF_MM)
    }
}

/// A hole's surroundings.
struct Skin<'a> {
    hole: &'a RoundHole,
    /// The line through the middle to the right.
    cross: Straight,
    reach: f64,
    lift: f64,
    is_up_to_apex: bool,
}

impl<'a> Skin<'a> {
    fn new(hole: &'a RoundHole, outline: &[Direction], paper_mm: f64) -> Option<Self> {
        let far = outline.iter().map(|direction| direction.opening_mm).fold(0.0, f64::max);
        // No arc up to half a turn is longer than its chord by more.
        let reach = std::f64::consts::FRAC_PI_2 * far + 2.0 * (END_MM + SIDE_MM);
        let lift = paper_mm / 2.0;
        let up = hole.to_apex.unwrap_or(hole.to_zero);
        let site = hole.outer.site(hole.along_mm, hole.round);
        let cross = Straight::walk(
            &hole.outer,
            site,
            up.cross(site.normal),
            [reach; 2],
            reach / STEPS,
            lift,
        )?;
        Some(Self {
            hole,
            cross,
            reach,
            lift,
            is_up_to_apex: hole.to_apex.is_some(),
        })
    }

    /// Square up from the cross line, so far to the right of the middle.
    fn upwards(&self, right: f64) -> Option<Straight> {
        let on_cross = self.cross.at(right)?;
        let up = on_cross.site.normal.cross(on_cross.way);
        let step = self.reach / STEPS;
        Straight::walk(&self.hole.outer, on_cross.site, up, [self.reach; 2], step, self.lift)
    }

    /// How far to the right or the left the outline reaches, over the skin along the cross line.
    fn half_width(&self, outline: &[Direction]) -> Option<f64> {
        let farthest = |side: f64| {
            let mut right = 0.0;
            for _ in 0..MOST_BESIDE {
                let line = self.upwards(side * right)?;
                let beyond = outline.iter().map(|direction| {
                    let (_, aside) = flat_place(&line, direction.place)?;
                    Some(side * aside)
                });
                let beyond = beyond
                    .collect::<Option<Vec<f64>>>()?
                    .into_iter()
                    .fold(f64::MIN, f64::max);
                if beyond.abs() < BESIDE_MM {
                    return Some(right);
                }
                right += beyond;
            }
            None
        };
        Some(farthest(1.0)?.max(farthest(-1.0)?))
    }

    /// So many strips on each side of the middle one, over `half` millimetres to the right and the left.
    fn strips(&self, outline: &[Direction], half: f64, beside: usize) -> Option<Gores> {
        let width = 2.0 * half / (2 * beside + 1) as f64;
        let numbers = -(beside as isize)..=beside as isize;
        let edges = numbers
            .clone()
            .map(|number| self.upwards((number as f64 - 0.5) * width));
        let mut edges: Vec<Straight> = edges.collect::<Option<_>>()?;
        edges.push(self.upwards(half)?);
        let (mut strips, mut off_mm) = (Vec::new(), 0.0_f64);
        for (index, number) in numbers.enumerate() {
            let middle = self.upwards(number as f64 * width)?;
            let strip = Strip {
                middle: &middle,
                edges: [&edges[index], &edges[index + 1]],
            };
            let (gore, off) = strip.gore(number, outline, &self.cross)?;
            off_mm = off_mm.max(off);
            // The middle one carries the lines by which all are set.
            if number == 0 || !gore.outline.is_empty() {
                strips.push(gore);
            }
        }
        let there: Vec<isize> = strips.iter().map(|gore| gore.beside).collect();
        for gore in &mut strips {
            gore.joins = [-1, 1].map(|way| there.contains(&(gore.beside + way)));
        }
        Some(Gores {
            strips,
            off_mm,
            is_up_to_apex: self.is_up_to_apex,
        })
    }
}

/// Where a place is beside a line: along it and square to its right.
fn flat_place(line: &Straight, place: DVec3) -> Option<(OnStraight, f64)> {
    let foot = line.foot(place)?;
    Some((foot, (place - foot.site.point).dot(foot.right())))
}

/// A strip of the skin.
struct Strip<'a> {
    middle: &'a Straight,
    edges: [&'a Straight; 2],
}

impl Strip<'_> {
    /// Where a place of the skin is on the strip laid flat, and how far the strip, bent along its middle line and straight across
    /// it, stands off it there.
    fn flat(&self, place: DVec3) -> Option<(Point, f64)> {
        let (foot, aside) = flat_place(self.middle, place)?;
        let bent = foot.site.point + aside * foot.right();
        Some((Point::new(aside, foot.along), bent.distance(place)))
    }

    fn flat_line(&self, line: &Straight) -> Option<Vec<(Point, f64)>> {
        let places = line.places().iter().map(|place| self.flat(place.site.point));
        // Far from the hole a line may lie past the middle line's ends: nothing is cut there.
        let flat: Vec<_> = places.flatten().collect();
        (flat.len() > 1).then_some(flat)
    }

    fn gore(&self, beside: isize, outline: &[Direction], cross: &Straight) -> Option<(Gore, f64)> {
        let edges = [self.flat_line(self.edges[0])?, self.flat_line(self.edges[1])?];
        let lines = edges
            .each_ref()
            .map(|edge| edge.iter().map(|(at, _)| *at).collect::<Vec<_>>());
        let flat: Vec<(Point, f64)> = outline.iter().map(|at| self.flat(at.place)).collect::<Option<_>>()?;
        let is_within = |at: Point| Some(at.x >= x_at(&lines[0], at.y)? && at.x <= x_at(&lines[1], at.y)?);
        let (mut runs, mut run) = (Vec::new(), Vec::new());
        let (mut low, mut high) = (0.0_f64, 0.0_f64);
        for index in 0..flat.len() {
            let next = (index + 1) % flat.len();
            let piece = clipped([flat[index].0, flat[next].0], &lines);
            let is_covered = outline[index].is_covered || outline[next].is_covered;
            let Some([from, to]) = piece else {
                close(&mut runs, &mut run);
                continue;
            };
            low = low.min(from.y.min(to.y));
            high = high.max(from.y.max(to.y));
            if is_covered {
                close(&mut runs, &mut run);
                continue;
            }
            if run.last().is_none_or(|last: &Point| last.distance(from) > 1e-9) {
                close(&mut runs, &mut run);
                run.push(from);
            }
            run.push(to);
        }
        close(&mut runs, &mut run);
        join_ends(&mut runs);
        let ends = [low - END_MM, high + END_MM];
        let off_edges = edges
            .iter()
            .flatten()
            .filter(|(at, _)| (ends[0]..=ends[1]).contains(&at.y));
        let off_outline = flat.iter().filter(|(at, _)| is_within(*at) == Some(true));
        let off = off_edges
            .chain(off_outline)
            .fold(0.0_f64, |most, (_, off)| most.max(*off));
        let cross = self.flat_line(cross)?;
        let cross: Vec<Point> = cross.into_iter().map(|(at, _)| at).collect();
        let gore = Gore {
            beside,
            edges: [between(&lines[0], ends)?, between(&lines[1], ends)?],
            outline: runs,
            cross: cross
                .windows(2)
                .filter_map(|pair| clipped([pair[0], pair[1]], &lines))
                .flatten()
                .collect(),
            joins: [false; 2],
        };
        Some((gore, off))
    }
}

/// Ends a run that has something in it.
fn close(runs: &mut Vec<Vec<Point>>, run: &mut Vec<Point>) {
    let run = std::mem::take(run);
    if run.len() > 1 {
        runs.push(run);
    }
}

/// The outline has no beginning: what ends where the first run begins goes before it.
fn join_ends(runs: &mut Vec<Vec<Point>>) {
    let (Some(first), Some(last)) = (runs.first(), runs.last()) else {
        return;
    };
    if runs.len() > 1 && last[last.len() - 1].distance(first[0]) < 1e-9 {
        let first = runs.remove(0);
        if let Some(last) = runs.last_mut() {
            last.extend(first.into_iter().skip(1));
        }
    }
}

/// How far to the right a line that leads up is at a height; `None` over or under it.
fn x_at(line: &[Point], y: f64) -> Option<f64> {
    let after = line.partition_point(|place| place.y <= y);
    if after == 0 || after == line.len() {
        return None;
    }
    let (from, to) = (line[after - 1], line[after]);
    Some(from.lerp(to, (y - from.y) / (to.y - from.y)).x)
}

/// What of a short straight piece lies between two lines that lead up.
fn clipped([from, to]: [Point; 2], [left, right]: &[Vec<Point>; 2]) -> Option<[Point; 2]> {
    let past = |at: Point| {
        let (low, high) = (x_at(left, at.y)?, x_at(right, at.y)?);
        Some([low - at.x, at.x - high])
    };
    let (a, b) = (past(from)?, past(to)?);
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for side in 0..2 {
        match (a[side] > 0.0, b[side] > 0.0) {
            (true, true) => return None,
            (true, false) => start = start.max(a[side] / (a[side] - b[side])),
            (false, true) => end = end.min(a[side] / (a[side] - b[side])),
            (false, false) => {}
        }
    }
    (start < end).then(|| [from.lerp(to, start), from.lerp(to, end)])
}

/// The part of a line that leads up between two heights.
fn between(line: &[Point], [low, high]: [f64; 2]) -> Option<Vec<Point>> {
    let end = |y: f64| Some(Point::new(x_at(line, y)?, y));
    let inside = line.iter().copied().filter(|at| at.y > low && at.y < high);
    let mut part = vec![end(low)?];
    part.extend(inside);
    part.push(end(high)?);
    Some(part)
}
