//! What pictures are tried on: every starter, and joints of each kind.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

use girthline::job::raw::{self, Word};
use girthline::job::{Assembly, read, resolve};
use girthline::layout::{Eye, Look};
use girthline::plan::{self, Plan};

/// Azimuths and heights in degrees: level, from above and below, straight down and up.
pub const SIDES: [(f64, f64); 10] = [
    (30.0, 25.0),
    (120.0, 25.0),
    (210.0, 25.0),
    (300.0, 25.0),
    (0.0, 0.0),
    (270.0, 0.0),
    (75.0, -30.0),
    (200.0, 60.0),
    (270.0, 90.0),
    (0.0, -90.0),
];

pub fn look(azimuth: f64, height: f64) -> Look {
    Look::new(Eye::new(azimuth, height).expect("finite"), 120.0, 100.0)
}

/// The starters, by name.
pub const STARTERS: [(&str, &str); 6] = [
    ("cooler-bank", include_str!("../../templates/cooler-bank.json")),
    ("drain-standpipe", include_str!("../../templates/drain-standpipe.json")),
    ("node-frame", include_str!("../../templates/node-frame.json")),
    ("plate-frame", include_str!("../../templates/plate-frame.json")),
    ("stacked-hopper", include_str!("../../templates/stacked-hopper.json")),
    ("used-bottle", include_str!("../../templates/used-bottle.json")),
];

pub fn jobs() -> Vec<(String, Plan)> {
    STARTERS
        .into_iter()
        .map(|(name, text)| (name.to_owned(), job(text)))
        .collect()
}

/// A starter's tubes and bodies where they stand, and what is known of it.
pub fn starter(name: &str) -> (Assembly, Plan) {
    let (_, text) = STARTERS
        .into_iter()
        .find(|(starter, _)| *starter == name)
        .expect("a starter");
    let read = read::read_job("job.json", text).expect("it reads");
    let resolved = resolve::job_file(&read, &read.sheet).expect("it resolves");
    let (assembly, _) = plan::solve_drains(&resolved.joint).expect("it drains");
    (assembly.into_owned(), job(text))
}

pub fn job(text: &str) -> Plan {
    let job = read::read_job("job.json", text).expect("it reads");
    let job = resolve::job_file(&job, &job.sheet).expect("it resolves");
    plan::batch(&job, &|_, _| {}).expect("it is solved")
}

/// Joints of each kind, by name.
pub fn joints() -> Vec<(String, Plan)> {
    let saddles = [
        (
            "fence on drum",
            "fence 1-7/8 x 0.065in",
            "girth 1803mm x 1.2mm",
            "60",
            "set-on",
        ),
        ("equal tubes", "60.3mm x 2mm", "60.3mm x 2mm", "45", "set-on"),
        ("let in", "48.3mm x 2.6mm", "114.3mm x 3.6mm", "75", "set-in"),
        (
            "square on tube",
            "rect 60mm x 40mm x 3mm r 5mm",
            "114.3mm x 3.6mm",
            "70",
            "set-on",
        ),
    ];
    let saddles =
        saddles.map(|(name, branch, header, angle, join)| (name.to_owned(), saddle(branch, header, angle, join)));
    let miters = [("turn of two", "60", "2"), ("turn of four", "90", "4")];
    let miters = miters.map(|(name, turn, pieces)| (name.to_owned(), miter(turn, pieces)));
    let facets = ("chop saw".to_owned(), facets("48.3mm x 2mm", "60.3mm x 2mm", "60"));
    saddles.into_iter().chain(miters).chain([facets]).collect()
}

fn word(text: &str) -> Word {
    Word::flag("--any", text)
}

pub fn saddle(branch: &str, header: &str, angle: &str, join: &str) -> Plan {
    let saddle = raw::Saddle {
        branch: word(branch),
        header: word(header),
        turned: None,
        angle: Some(word(angle)),
        offset: None,
        touch: None,
        join: Some(word(join)),
        clearance: (join == "set-in").then(|| word("1mm")),
        root_gap: None,
    };
    let saddle = resolve::saddle(&saddle, &raw::Sheet::default()).expect("a joint");
    plan::saddle(&saddle).expect("it is solved")
}

pub fn miter(turn: &str, pieces: &str) -> Plan {
    let miter = raw::Miter {
        tube: word("60.3mm x 2mm"),
        turn: word(turn),
        turned: None,
        pieces: Some(word(pieces)),
        radius: Some(word("150mm")),
    };
    let miter = resolve::miter(&miter, &raw::Sheet::default()).expect("a turn");
    plan::miter(&miter).expect("it is solved")
}

pub fn facets(branch: &str, header: &str, angle: &str) -> Plan {
    let facets = raw::Facets {
        branch: word(branch),
        header: word(header),
        angle: Some(word(angle)),
        cuts: raw::FlatCuts::default(),
        saw_limit: None,
        gap: None,
        root_gap: None,
        round: None,
    };
    let facets = resolve::facets(&facets, &raw::Sheet::default()).expect("a joint");
    plan::facets(&facets).expect("it is solved")
}
