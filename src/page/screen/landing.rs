//! Gaps of a tube that lands on another, which several screens have.

use crate::page::gap::{Gap, Kind};

/// The tube.
pub(super) const BRANCH: Gap = Gap::needed(
    "--branch",
    "Branch",
    Kind::Tube,
    "size and wall of the tube that is cut, such as fence 1-7/8 x 0.065in",
);

/// How it leans.
pub(super) const ANGLE: Gap = Gap::new("--angle", "Angle", Kind::Angle, "degrees between the centre lines");

/// How far it stands aside.
pub(super) const OFFSET: Gap = Gap::new(
    "--offset",
    "Offset",
    Kind::Length,
    "how far the centre lines pass each other",
);

/// On the skin or through the hole.
pub(super) const JOIN: Gap = Gap::new(
    "--join",
    "Join",
    Kind::Choice(&[
        ("", "set-on (usual): on the skin, the hole as large as the bore"),
        ("set-in", "set-in: through the hole, flush inside"),
    ]),
    "",
);

/// Which part of the wall touches.
pub(super) const TOUCH: Gap = Gap::new(
    "--touch",
    "Touch",
    Kind::Choice(&[
        ("", "wall (usual): nothing has to be forced"),
        ("outside", "outside: bevelled to a knife edge"),
        ("inside", "inside: as handbooks draw it"),
    ]),
    "",
);

/// Of tube with sides.
pub(super) const TURNED: Gap = Gap::new(
    "--turned",
    "Turned",
    Kind::Angle,
    "of tube with sides, about its own axis to the right",
);
