//! Jobs to start from.

/// The starters: name, what it is, and the job.
pub const STARTERS: [(&str, &str, &str); 6] = [
    (
        "cooler-bank",
        "leaning risers between two drums",
        include_str!("../../templates/cooler-bank.json"),
    ),
    (
        "drain-standpipe",
        "a drain flush with the floor, a standpipe with branches; in inches",
        include_str!("../../templates/drain-standpipe.json"),
    ),
    (
        "node-frame",
        "braces that land on a rail and on each other; in inches",
        include_str!("../../templates/node-frame.json"),
    ),
    (
        "plate-frame",
        "a bent rail, a post and a stay on plates; in inches",
        include_str!("../../templates/plate-frame.json"),
    ),
    (
        "stacked-hopper",
        "two drums that are out of round, parted, nested and stacked",
        include_str!("../../templates/stacked-hopper.json"),
    ),
    (
        "used-bottle",
        "a used gas bottle with dished ends, a filler and a drain on them",
        include_str!("../../templates/used-bottle.json"),
    ),
];
