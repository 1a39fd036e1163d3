//! What a job file says, word for word.

use super::{Section, Sheet, Spot, Stack, Word};

/// Something with a name of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named<T> {
    /// The name, where it is given.
    pub name: Word,
    /// What bears it.
    pub thing: T,
}

/// A whole file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct JobFile {
    /// Any text.
    pub title: Option<Word>,
    /// Units, paper and the rest.
    pub sheet: Sheet,
    /// What tubes are cut from.
    pub stock: Vec<Named<Stock>>,
    /// Vessels stacked from parts.
    pub stacks: Vec<Named<Stack>>,
    /// What tubes land on.
    pub bodies: Vec<Named<Body>>,
    /// The tubes.
    pub tubes: Vec<Named<Tube>>,
    /// Distances to be kept.
    pub keep_clear: Vec<KeepClear>,
}

/// Tube as bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stock {
    /// A size.
    pub size: Option<Word>,
    /// A stick's length.
    pub stick: Option<Word>,
    /// What a cut takes away: a length.
    pub kerf: Option<Word>,
}

/// A body in space.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Body {
    /// The object as a whole, for problems with what is missing in it.
    pub here: Word,
    /// `cylinder`, `plane`, `cone` or `sphere`.
    pub shape: Option<Word>,
    /// A size.
    pub size: Option<Word>,
    /// A cone's size at its far end.
    pub size_to: Option<Word>,
    /// Of a cylinder that is out of round.
    pub section: Option<Section>,
    /// The stack that it is a part of.
    pub stack: Option<Word>,
    /// Which part.
    pub part: Option<Word>,
    /// Where the axis begins.
    pub from: Option<Spot>,
    /// Where it ends.
    pub to: Option<Spot>,
    /// A plane's or a sphere's point.
    pub at: Option<Spot>,
    /// Straight out of a plane: three numbers.
    pub out: Option<[Word; 3]>,
    /// Towards the zero line: three numbers.
    pub zero: Option<[Word; 3]>,
    /// Of a plane with edges, across it: a length.
    pub wide: Option<Word>,
    /// Towards its zero: a length.
    pub high: Option<Word>,
    /// How far the inside floor is from the end, for drains: a length.
    pub floor: Option<Word>,
}

/// A tube with its path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tube {
    /// The object as a whole.
    pub here: Word,
    /// A stock's name.
    pub stock: Option<Word>,
    /// Two points or more.
    pub path: Vec<Point>,
    /// How it begins.
    pub start: End,
    /// How it ends.
    pub end: End,
    /// How far a tube with sides is turned about its own axis: an angle.
    pub turned: Option<Word>,
    /// How its corners are made.
    pub corner: Corner,
    /// Where it is parted.
    pub coupling: Option<Coupling>,
    /// How often, and where.
    pub repeat: Option<Repeat>,
}

/// A point of a path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Point {
    /// The object as a whole.
    pub here: Word,
    /// A body's name.
    pub on: Option<Word>,
    /// Along the body from its end: a length.
    pub along: Option<Word>,
    /// Round it from its zero line: a length, or degrees.
    pub round: Option<Word>,
    /// Straight out from the skin: a length.
    pub out: Option<Word>,
    /// From the point before: three lengths.
    pub step: Option<[Word; 3]>,
    /// In space.
    pub at: Option<Spot>,
    /// The hole's low edge over the floor.
    pub drain: Option<Drain>,
}

/// A drain's landing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drain {
    /// Of the hole's low edge over the inside floor: a length.
    pub above_floor: Word,
}

/// How a tube's end is made.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct End {
    /// `set-on`, `set-in`, `square` or `miter`.
    pub join: Option<Word>,
    /// The tube that a mitered end meets.
    pub to: Option<Word>,
    /// `wall`, `outside` or `inside`.
    pub touch: Option<Word>,
    /// Of a set-in hole: a length.
    pub clearance: Option<Word>,
}

/// How corners are made.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Corner {
    /// In each corner, two or more.
    pub pieces: Option<Word>,
    /// Of the centre line: a length.
    pub radius: Option<Word>,
}

/// A place at which a tube is parted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coupling {
    /// Along the path from its start: a length.
    pub at: Option<Word>,
    /// Left between the pieces: a length.
    pub gap: Option<Word>,
    /// The hose's or sleeve's length.
    pub sleeve: Option<Word>,
}

/// Copies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repeat {
    /// In all, a whole number.
    pub times: Option<Word>,
    /// From one to the next: three lengths.
    pub step: Option<[Word; 3]>,
    /// From one to the next, in degrees.
    pub turn: Option<Word>,
    /// The body about whose axis they are turned.
    pub about: Option<Word>,
}

/// A distance to be kept between a tube and a body.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeepClear {
    /// A tube's name.
    pub tube: Option<Word>,
    /// A body's name.
    pub body: Option<Word>,
    /// A length.
    pub by: Option<Word>,
}
