//! The pattern of a hole, with the lines by which it is set on the body.

use kurbo::{Affine, BezPath, ParamCurve, PathSeg, Point, Rect, Shape};

use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::hatch::hatch;
use crate::layout::label::{Paragraph, READ_PT, TITLE_PT, widest_column, write_column};
use crate::layout::panel::{Panel, Role};

/// How far the lines reach past the hole round the body and along it, in millimetres.
const REACH: (f64, f64) = (12.0, 9.0);
/// The same where that saves a sheet.
const SHORT_REACH: (f64, f64) = (8.0, 7.0);
/// The same where not even that finds room.
const SHORTEST_REACH: (f64, f64) = (5.0, 6.0);
/// The paper round the hole is at least this wide, in millimetres, so that the words fit: few of them, or many.
const NARROWEST: [f64; 2] = [70.0, 84.0];
/// So many letters are many.
const MANY: usize = 150;

/// Above that, for the word that says which way is up, in millimetres.
const TOP: f64 = 5.0;

/// The same at least where that saves a sheet, in millimetres.
const NARROW: f64 = 52.0;
/// Columns of words beside the hole, in millimetres.
const BESIDE: [f64; 3] = [44.0, 56.0, 72.0];

/// Where the words of a pattern stand.
#[derive(Clone, Copy)]
enum Words {
    /// Under the hole, on paper of at least this width in millimetres.
    Under { narrowest: f64 },
    /// At its right, in a column of this width in millimetres.
    Beside { column: f64 },
}

/// What a hole's pattern says.
pub(super) struct HolePattern<'a> {
    /// Names it in the report and on tiles.
    pub(super) name: &'a str,
    /// Its heading.
    pub(super) title: &'a str,
    /// What can't be built so.
    pub(super) clash: Option<String>,
    /// What must be known, a paragraph each.
    pub(super) notes: &'a [String],
    /// The solved outline, about the place under the tube's axis, where its lines cross.
    pub(super) outline: &'a BezPath,
    /// The printed girth over the body's own, as its paper lies half a sheet above the skin.
    pub(super) girth_scale: f64,
    /// Which way its top goes on the body, in words; none where the front's mark says all.
    pub(super) top: Option<&'a str>,
    /// Where the FRONT line of the tube comes to stand; none where it passes beside the body.
    pub(super) front: Option<Point>,
}

impl HolePattern<'_> {
    /// The hole, its top up, with a line along the body and one round it, its words under it.
    pub(super) fn panel(&self) -> Panel {
        let narrowest = self.narrowest();
        self.drawn(Words::Under { narrowest }, REACH)
    }

    /// The same, and with its words beside it or in a narrower column, where that is no wider than `widest` millimetres.
    pub(super) fn panel_in_shapes(&self, widest: f64) -> Panel {
        let others = BESIDE.map(|column| Words::Beside { column });
        let narrower = Words::Under { narrowest: NARROW };
        let shapes = others
            .into_iter()
            .chain([narrower])
            .map(|words| self.drawn(words, SHORT_REACH))
            .chain([self.drawn(narrower, SHORTEST_REACH)]);
        Panel {
            shapes: shapes.filter(|panel| panel.width <= widest).collect(),
            ..self.panel()
        }
    }

    /// How wide its paper is at least, in millimetres.
    fn narrowest(&self) -> f64 {
        let letters: usize = self.notes.iter().chain(&self.clash).map(String::len).sum();
        NARROWEST[usize::from(letters > MANY)]
    }

    fn drawn(&self, words: Words, (round, along): (f64, f64)) -> Panel {
        let path = Affine::scale_non_uniform(self.girth_scale, 1.0) * self.outline.clone();
        let hole = path.bounding_box();
        let mut drawing = Drawing::default();
        drawing.stroke(Layer::Notes, Pen::HATCH, hatch(&path, 5.0));

        let to_paper = Affine::scale_non_uniform(self.girth_scale, 1.0);
        let front = self.front.map(|front| FrontMark::new(&path, to_paper * front));
        let reach = hole.union_pt(Point::ZERO).inflate(round, along);
        // A thick wall that is set on stands far outside its hole.
        let reach = front.as_ref().map_or(reach, |front| reach.union(front.bounds()));
        let side = match words {
            Words::Under { narrowest } => ((narrowest - reach.width()) / 2.0).max(0.0),
            Words::Beside { .. } => 0.0,
        };
        let paper = reach.inflate(side, 0.0);
        let is_front_at_right = front
            .as_ref()
            .is_some_and(|front| front.arrow.bounding_box().x0 > hole.x1);
        self.setting_lines(&mut drawing, reach, paper, is_front_at_right);
        waste_label(&mut drawing, &path);
        if let Some(front) = front {
            front.draw(&mut drawing);
        }

        let mut paragraphs = vec![Paragraph::strong(self.title, TITLE_PT)];
        paragraphs.extend(self.clash.iter().map(|clash| Paragraph::strong(clash, READ_PT)));
        paragraphs.extend(self.notes.iter().map(Paragraph::plain));
        let frame = match words {
            Words::Under { .. } => {
                let column = (paper.width() - 4.0).min(widest_column(paper.width()));
                let corner = Point::new(paper.x0 + 2.0, paper.y0 - 3.0);
                let height = write_column(&mut drawing, corner, column, &paragraphs);
                let frame = Rect::new(paper.x0, paper.y0 - height - 7.0, paper.x1, paper.y1 + TOP);
                foot_tick(&mut drawing, frame);
                frame
            }
            Words::Beside { column } => {
                let corner = Point::new(paper.x1 + 2.0, paper.y1 + TOP - 1.0);
                let foot = corner.y - write_column(&mut drawing, corner, column, &paragraphs) - 1.0;
                let right = corner.x + column + SIDE_TICK + 2.0;
                let frame = Rect::new(paper.x0, paper.y0.min(foot), right, paper.y1 + TOP);
                if foot < paper.y0 {
                    drawing.line(Layer::CrownLines, Pen::CROWN, (0.0, foot), (0.0, paper.y0));
                }
                side_tick(&mut drawing, frame);
                frame
            }
        };
        drawing.stroke(Layer::Notes, Pen::PLAIN, frame);
        drawing.stroke(Layer::CutLine, Pen::CUT, &path);
        Panel::framed(self.name, Role::Pattern, drawing, frame.inflate(0.5, 0.5))
    }

    /// The line A along the body and the line B round it, by which the pattern is set.
    fn setting_lines(&self, drawing: &mut Drawing, reach: Rect, paper: Rect, is_front_at_right: bool) {
        let crown = Layer::CrownLines;
        // To the paper's edge on every side where there are no words, so that they can be laid on lines of the body.
        drawing.line(crown, Pen::CROWN, (0.0, reach.y0), (0.0, paper.y1 + TOP));
        drawing.line(crown, Pen::CROWN, (paper.x0, 0.0), (paper.x1, 0.0));
        if let Some(top) = self.top {
            drawing.words(crown, Text::new((1.5, reach.y1 + 1.2), READ_PT, top).bold());
        }
        drawing.words(
            crown,
            Text::new((-1.5, reach.y1 + 1.2), READ_PT, "A").align(Align::Right),
        );
        let b = if is_front_at_right {
            Text::new((paper.x0 + 1.5, 1.2), READ_PT, "B")
        } else {
            Text::new((paper.x1 - 1.5, 1.2), READ_PT, "B").align(Align::Right)
        };
        drawing.words(crown, b);
    }
}

/// An arrowhead outside the hole, pointing away from it where the tube's FRONT line comes to stand, with the word.
struct FrontMark {
    arrow: BezPath,
    word: Text,
}

impl FrontMark {
    fn new(hole: &BezPath, front: Point) -> Self {
        const GAP: f64 = 1.2;
        const LENGTH: f64 = 5.0;
        const HALF_WIDTH: f64 = 2.4;
        /// How high the word is.
        const CAPITALS: f64 = 2.4;
        let way = front.to_vec2() / front.to_vec2().hypot();
        let aside = way.turn_90();
        let reach = hole.segments().flat_map(|segment| [segment.start(), segment.eval(0.5)]);
        let near = reach.filter(|place| place.to_vec2().cross(way).abs() < 0.35 * place.to_vec2().hypot());
        let edge = near
            .map(|place| place.to_vec2().dot(way))
            .fold(front.to_vec2().dot(way), f64::max)
            + GAP;
        let foot = Point::ZERO + edge * way;
        let mut arrow = BezPath::new();
        arrow.move_to(foot + HALF_WIDTH * aside);
        arrow.line_to(foot + LENGTH * way);
        arrow.line_to(foot - HALF_WIDTH * aside);
        arrow.close_path();
        let (middle, tip) = (foot + LENGTH / 2.0 * way, foot + LENGTH * way);
        let aside = HALF_WIDTH + 1.2;
        let (outwards, align) = match way.x > 0.0 {
            true => (1.0, Align::Left),
            false => (-1.0, Align::Right),
        };
        let (over, under) = (middle.y + HALF_WIDTH + 1.0, middle.y - HALF_WIDTH - 1.0 - CAPITALS);
        let beyond = if way.y > 0.0 {
            tip.y + 1.0
        } else {
            tip.y - 1.0 - CAPITALS
        };
        // Right or left of an arrow that points up or down; else from its foot outwards. Then past its tip.
        let places = if way.y.abs() > way.x.abs() {
            [
                ((middle.x + aside, middle.y - CAPITALS / 2.0), Align::Left),
                ((middle.x - aside, middle.y - CAPITALS / 2.0), Align::Right),
                ((tip.x, beyond), Align::Middle),
            ]
        } else {
            [
                ((foot.x + outwards, over), align),
                ((foot.x + outwards, under), align),
                ((tip.x + outwards, tip.y - CAPITALS / 2.0), align),
            ]
        };
        let words = places.map(|(at, align)| Text::new(at, READ_PT, "FRONT").align(align).bold());
        let clear = |word: &&Text| is_clear(word.bounds().inflate(0.8, 0.6), hole, &arrow);
        let word = words.iter().find(clear).unwrap_or(&words[2]).clone();
        Self { arrow, word }
    }

    fn ground(&self) -> Rect {
        self.word.bounds().inflate(0.6, 0.4)
    }

    fn bounds(&self) -> Rect {
        self.arrow.bounding_box().union(self.ground()).inflate(1.0, 1.0)
    }

    fn draw(self, drawing: &mut Drawing) {
        let ground = self.ground();
        drawing.fill(Layer::CrownLines, 0.0, self.arrow);
        drawing.fill(Layer::CrownLines, 1.0, ground);
        drawing.words(Layer::CrownLines, self.word);
    }
}

/// Whether a box is outside the hole, off its line and off the arrow.
fn is_clear(around: Rect, hole: &BezPath, arrow: &BezPath) -> bool {
    hole.winding(around.center()) == 0 && !is_crossed(around, hole) && !is_crossed(around, arrow)
}

/// Whether a line comes into a box.
fn is_crossed(around: Rect, line: &BezPath) -> bool {
    const PARTS: u32 = 24;
    let parts = |segment: PathSeg| (0..PARTS).map(move |part| segment.eval(f64::from(part) / f64::from(PARTS)));
    line.segments().flat_map(parts).any(|place| around.contains(place))
}

/// Line A at the foot of the paper, under the words.
fn foot_tick(drawing: &mut Drawing, frame: Rect) {
    const LENGTH: f64 = 3.5;
    drawing.line(Layer::CrownLines, Pen::PLAIN, (0.0, frame.y0), (0.0, frame.y0 + LENGTH));
    drawing.words(
        Layer::CrownLines,
        Text::new((-1.2, frame.y0 + 0.8), READ_PT, "A").align(Align::Right),
    );
}

/// Length of line B's tick at the right edge of the paper, in millimetres.
const SIDE_TICK: f64 = 3.5;

/// Line B at the right edge of the paper, past the words.
fn side_tick(drawing: &mut Drawing, frame: Rect) {
    drawing.line(
        Layer::CrownLines,
        Pen::PLAIN,
        (frame.x1 - SIDE_TICK, 0.0),
        (frame.x1, 0.0),
    );
    drawing.words(
        Layer::CrownLines,
        Text::new((frame.x1 - 0.8, 1.2), READ_PT, "B").align(Align::Right),
    );
}

/// The inside falls out. A wide hole, which may be tiled, says so on both sides of its middle.
fn waste_label(drawing: &mut Drawing, path: &BezPath) {
    const WIDE: f64 = 110.0;
    /// How far off the middle it is looked for where that is not within the hole, in shares of the hole.
    const OFF: [f64; 5] = [0.0, 0.1, -0.1, 0.22, -0.22];
    let hole = path.bounding_box();
    let shares: &[f64] = if hole.width() > WIDE { &[0.25, 0.75] } else { &[0.5] };
    for share in shares {
        let at = |(x, y): (f64, f64)| {
            let x = hole.x0 + (share + x) * hole.width();
            let text = Text::new((x, hole.center().y + 2.0 + y * hole.height()), READ_PT, "WASTE");
            text.bold().align(Align::Middle)
        };
        let white = |text: &Text| text.bounds().inflate(1.0, 0.6);
        let is_within = |text: &Text| {
            let around = white(text).inflate(1.0, 1.0);
            path.winding(around.center()) != 0 && !is_crossed(around, path)
        };
        let mut texts = OFF.iter().flat_map(|y| OFF.iter().map(|x| at((*x, *y))));
        // In a small hole there is no room for it, and hatching has to do.
        if let Some(text) = texts.find(is_within) {
            drawing.fill(Layer::Notes, 1.0, white(&text));
            drawing.note(text);
        }
    }
}
