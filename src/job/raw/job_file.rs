//! What a job file says, word for word. The descriptions of fields are those of the JSON Schema.

use schemars::JsonSchema;

use super::said::{ByName, Name, Title};
use super::{Section, Sheet, Spot, Stack, Word};
use crate::job::limits::{MOST_ALSO, MOST_BODIES, MOST_ON_A_SKIN, MOST_POINTS, MOST_TUBES};
use crate::measure::Units;

/// Something with a name of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named<T> {
    /// The name, where it is given.
    pub name: Word,
    /// What bears it.
    pub thing: T,
}

/// Bodies in space, tubes between them, and what they are cut from. Lengths are numbers in the file's units, or text with
/// a unit.
#[derive(Debug, Clone, Default, PartialEq, Eq, JsonSchema)]
#[schemars(title = "A job of girthline")]
#[schemars(extend("anyOf" = [{ "required": ["tubes"] }, { "required": ["stacks"] }]))]
pub struct JobFile {
    /// The object as a whole, where it was read from a file.
    #[schemars(skip)]
    pub here: Option<Word>,
    /// Names the job, 120 letters or fewer.
    #[schemars(with = "Option<Title>")]
    pub title: Option<Word>,
    /// Of all bare numbers in this file, needed where there are any; and of the results, unless `--units` asks for others.
    #[schemars(extend("enum" = Units::WORDS.map(|(word, _)| word), "examples" = ["mm", "in"]))]
    pub units: Option<Word>,
    /// Paper, and what is on it.
    #[schemars(with = "Option<Sheet>")]
    pub sheet: Sheet,
    /// Left between every set-on end and its body, square to the body's skin, 0 to 10 mm; 0 where nothing is said.
    pub root_gap: Option<Word>,
    /// The leg of every fillet weld, 0.5 to 50 mm: its metal and wire are told, of steel. Not together with `weld_throat`.
    pub weld_leg: Option<Word>,
    /// The same by the fillet's throat, 0.5 to 50 mm.
    pub weld_throat: Option<Word>,
    /// What tubes are cut from, by name; names of 60 letters or fewer.
    #[schemars(with = "Option<ByName<Stock>>")]
    pub stock: Vec<Named<Stock>>,
    /// Vessels stacked from parts, by name; names of 60 letters or fewer.
    #[schemars(with = "Option<ByName<Stack>>")]
    pub stacks: Vec<Named<Stack>>,
    /// What tubes land on, by name; names of 60 letters or fewer.
    #[schemars(with = "Option<ByName<Body>>", extend("maxProperties" = MOST_BODIES))]
    pub bodies: Vec<Named<Body>>,
    /// By name; later ones may land on earlier straight ones; names of 60 letters or fewer; at most 20000 with all copies,
    /// in at most 50000 pieces.
    #[schemars(with = "Option<ByName<Tube>>", extend("maxProperties" = MOST_TUBES))]
    pub tubes: Vec<Named<Tube>>,
    /// Distances to be kept.
    #[schemars(with = "Option<Vec<KeepClear>>")]
    pub keep_clear: Vec<KeepClear>,
    /// To be printed on the cover.
    #[schemars(skip)]
    pub note: Option<String>,
}

/// Tube as bought.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Stock {
    /// Outside diameter and wall, or a table's name; with sides: "rect 60mm x 40mm x 3mm r 5mm" (width, height, wall,
    /// outside corner radius), "square 50mm x 3mm", "RHS ...", "SHS ...".
    #[schemars(with = "Word")]
    pub size: Option<Word>,
    /// A stick's length; 6 m by default.
    pub stick: Option<Word>,
    /// What a cut takes away; 3 mm by default.
    pub kerf: Option<Word>,
}

/// A body in space.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Body {
    /// The object as a whole, for problems with what is missing in it.
    #[schemars(skip)]
    pub here: Word,
    /// What it is.
    #[schemars(with = "Word", extend("enum" = ["cylinder", "plane", "cone", "sphere", "head"]))]
    pub shape: Option<Word>,
    /// Of a head, its curve outside: DIN 28011, DIN 28013, ASME F&D, ellipsoidal 2:1, hemisphere; or crown and knuckle
    /// radius; or ratio, half the diameter over the depth; or depth (an ellipsoid), with knuckle too the torisphere of
    /// that depth.
    pub dish: Option<Dish>,
    /// Of a cylinder: the curve of the head that closes it where its axis begins, as for dish. The cylinder ends at the seam, and the
    /// head's flange goes on from there. Tubes land on the head by the cylinder's name and "from head", such as "drum from head".
    pub from_head: Option<Dish>,
    /// The same where its axis ends: "drum to head".
    pub to_head: Option<Dish>,
    /// Of a head, and of the heads of a cylinder: how high the straight part below the rim is, 0 where nothing is said.
    pub flange: Option<Word>,
    /// Outside diameter and wall; a plane's thickness.
    pub size: Option<Word>,
    /// A cone's size at its far end.
    pub size_to: Option<Word>,
    /// Of a cylinder that is out of round, in one of three ways: oval, diameters or offsets. The girth and wall are those of
    /// "size"; a girth that differs by more than 1 % from that of the oval or the diameters is refused.
    pub section: Option<Section>,
    /// Of a cylinder that is a part of a stack, instead of from and to: from is the end that stays.
    pub stack: Option<Word>,
    /// Which part of it.
    pub part: Option<Word>,
    /// Where the axis begins: the body's end.
    pub from: Option<Spot>,
    /// Where the axis ends.
    pub to: Option<Spot>,
    /// A point of a plane; the middle of a sphere; the middle of a head's rim.
    pub at: Option<Spot>,
    /// Straight out of a plane; a sphere's pole; from a head's rim towards its apex.
    pub out: Option<[Word; 3]>,
    /// Towards the zero line; up where nothing is said.
    pub zero: Option<[Word; 3]>,
    /// Of a plane with edges: across it, its point in the middle; with high.
    pub wide: Option<Word>,
    /// Of a plane with edges: towards its zero, its point in the middle; with wide.
    pub high: Option<Word>,
    /// How far the inside floor is from the end, for drains.
    pub floor: Option<Word>,
    /// Round holes that the body has already, as measured: what is left beside them is told, and no new hole may come into
    /// them.
    #[schemars(with = "Option<Vec<FoundHole>>", extend("maxItems" = MOST_ON_A_SKIN))]
    pub holes: Vec<FoundHole>,
    /// Strips of the skin that holes must not come into; "keep_clear" can name them as its body. Each has along, or round
    /// and wide.
    #[schemars(with = "Option<Vec<KeepOff>>", extend("maxItems" = MOST_ON_A_SKIN))]
    pub keep_off: Vec<KeepOff>,
    /// To be printed on its mark-out sheet.
    #[schemars(skip)]
    pub note: Option<String>,
}

/// The curve of a head.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
#[schemars(untagged)]
pub enum Dish {
    /// By a name.
    Named(Word),
    /// By what is measured.
    Measured(Box<MeasuredDish>),
}

impl Dish {
    /// Where it stands.
    pub fn word(&self) -> &Word {
        match self {
            Self::Named(word) => word,
            Self::Measured(measured) => &measured.here,
        }
    }
}

/// Lengths, and a number, of a head's outer skin.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct MeasuredDish {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// The radius of its middle.
    pub crown: Option<Word>,
    /// The radius between that and the flange.
    pub knuckle: Option<Word>,
    /// Half the diameter over the depth.
    pub ratio: Option<Word>,
    /// From rim to apex.
    pub depth: Option<Word>,
}

/// A rib, a seam, a lip, a clamp ring.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct KeepOff {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// What it is: a rib, a seam, a lip, a clamp ring.
    #[schemars(with = "Name")]
    pub name: Option<Word>,
    /// Of what runs round the body: from where to where along it, measured from its end, on a cone along its axis, not over
    /// its skin; on a plane from its point towards its zero.
    pub along: Option<[Word; 2]>,
    /// Of what runs along the body: where its middle is, round from the zero line: a length along the skin, or degrees such
    /// as "30deg"; on a plane a length across it. With wide.
    pub round: Option<Word>,
    /// How wide it is along the skin; with round.
    pub wide: Option<Word>,
    /// How far it stands out of the skin; 0 by default. Tubes are held against what stands out.
    pub out: Option<Word>,
}

/// A hole that a body has already.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct FoundHole {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// What it is: an old bung, a filler.
    #[schemars(with = "Name")]
    pub name: Option<Word>,
    /// Along the body from its end to the hole's middle, on a cone along its axis, not over its skin; on a plane from its point
    /// towards its zero.
    #[schemars(with = "Word")]
    pub along: Option<Word>,
    /// Round from the zero line to its middle: a length along the skin, or degrees such as "30deg"; on a plane a length
    /// across it; 0 by default.
    pub round: Option<Word>,
    /// How wide it is, straight across.
    #[schemars(with = "Word")]
    pub across: Option<Word>,
}

/// A tube with its path.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Tube {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// A name under stock.
    #[schemars(with = "Word")]
    pub stock: Option<Word>,
    /// Where it begins, turns and ends.
    #[schemars(extend("minItems" = 2, "maxItems" = MOST_POINTS))]
    pub path: Vec<Point>,
    /// How its first end is made.
    #[schemars(with = "Option<End>")]
    pub start: End,
    /// How its last end is made.
    #[schemars(with = "Option<End>")]
    pub end: End,
    /// How far a tube with sides is turned about its own axis, in degrees to the right, as seen with the cut end up: its
    /// front side from the front of its first end, else of its last, else from the long side of its first corner, else
    /// from up (towards +x of what stands upright).
    pub turned: Option<Word>,
    /// How its corners are made.
    #[schemars(with = "Option<Corner>")]
    pub corner: Corner,
    /// Where it is parted.
    pub coupling: Option<Coupling>,
    /// How many copies of it there are, and where.
    pub repeat: Option<Repeat>,
}

/// A point of a path.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Point {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// The name of a body, or of an earlier tube.
    pub on: Option<Word>,
    /// Along the body from its end; on a cone along its axis, not over its skin; on a head from its apex over the skin; on a
    /// tube from where its centre line begins.
    pub along: Option<Word>,
    /// Round it from its zero line, on a tube from its FRONT: a length along the girth there, or degrees such as "30deg". On a
    /// cone or a head the girth is another at each place: degrees are surer.
    pub round: Option<Word>,
    /// Straight out from the skin.
    pub out: Option<Word>,
    /// From the point before.
    pub step: Option<[Word; 3]>,
    /// In space.
    pub at: Option<Spot>,
    /// How the tube falls on its way from the point before: down over what it goes along the level, such as 20mm/m,
    /// 1/4in/ft, 2% or 4deg; below 0 it rises. With on, where it lands is the answer; with a step whose third number is 0,
    /// how far it goes down.
    pub fall: Option<Word>,
    /// Which way it goes along the level, where that is not to the body's axis; with fall.
    pub towards: Option<[Word; 3]>,
    /// A drain's hole, in place of along.
    pub drain: Option<Drain>,
}

/// A drain's landing.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Drain {
    /// How high the hole's low edge is over the inside floor.
    pub above_floor: Word,
}

/// How a tube's end is made.
#[derive(Debug, Clone, Default, PartialEq, Eq, JsonSchema)]
pub struct End {
    /// How it meets what it is on.
    #[schemars(extend("enum" = ["set-on", "set-in", "square", "miter"]))]
    pub join: Option<Word>,
    /// Which part of the wall touches.
    #[schemars(extend("enum" = ["wall", "outside", "inside"]))]
    pub touch: Option<Word>,
    /// Added to the radius of a set-in hole.
    pub clearance: Option<Word>,
    /// Bodies and tubes, earlier in the file, that a set-on end is cut to as well: each line of its wall goes to whichever it
    /// meets first.
    #[schemars(with = "Option<Vec<Word>>", extend("maxItems" = MOST_ALSO))]
    pub also: Vec<Word>,
    /// Left between a set-on end and the body, square to the body's skin, 0 to 10 mm; in place of the job's.
    pub root_gap: Option<Word>,
    /// What is there already, so that no pattern of it is printed: this end of the tube is cut, or its hole, or both. It is
    /// drawn and measured as any other.
    #[schemars(extend("enum" = ["end", "hole", "both"]))]
    pub made: Option<Word>,
    /// The tube that a mitered end meets, mitered to this one.
    pub to: Option<Word>,
}

/// How corners are made.
#[derive(Debug, Clone, Default, PartialEq, Eq, JsonSchema)]
pub struct Corner {
    /// In each corner, 2 to 12.
    pub pieces: Option<Word>,
    /// Of the centre line.
    pub radius: Option<Word>,
}

/// A place at which a tube is parted.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Coupling {
    /// Along the path from its start.
    #[schemars(with = "Word")]
    pub at: Option<Word>,
    /// Left between the pieces.
    #[schemars(with = "Word")]
    pub gap: Option<Word>,
    /// The hose's or sleeve's length; twice the diameter by default.
    pub sleeve: Option<Word>,
}

/// Copies.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Repeat {
    /// How many there are in all.
    #[schemars(with = "Word")]
    pub times: Option<Word>,
    /// From one to the next.
    pub step: Option<[Word; 3]>,
    /// Degrees from one to the next.
    pub turn: Option<Word>,
    /// The body about whose axis they are turned.
    pub about: Option<Word>,
}

/// A distance to be kept between a tube and a body.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct KeepClear {
    /// Its name.
    #[schemars(with = "Word")]
    pub tube: Option<Word>,
    /// Its name.
    #[schemars(with = "Word")]
    pub body: Option<Word>,
    /// Between their skins.
    #[schemars(with = "Word")]
    pub by: Option<Word>,
}
