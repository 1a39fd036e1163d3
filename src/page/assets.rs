//! What the browser loads besides: a fixed table in the executable.

/// One of them.
pub(super) struct Asset {
    name: &'static str,
    /// Its media type.
    pub(super) kind: &'static str,
    pub(super) bytes: &'static [u8],
}

const STYLE: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";
const DRAWING: &str = "image/svg+xml";

/// Files of `assets/` by their media types.
macro_rules! assets {
    ($($kind:ident: $($name:literal),*;)*) => {
        &[$($(Asset { name: $name, kind: $kind, bytes: include_bytes!(concat!("assets/", $name)) }),*),*]
    };
}

const ASSETS: &[Asset] = assets! {
    STYLE: "page.css", "job.css";
    DRAWING: "mark.svg";
    SCRIPT: "joint.js", "ask.js", "show.js", "kept.js", "turn.js", "readings.js", "slide.js", "ruler.js",
        "job.js", "job_card.js", "job_drag.js", "job_kept.js", "job_trial.js", "job_mark.js", "job_tables.js", "job_turn.js",
        "job_view.js";
};

/// The asset of that name.
pub(super) fn find(name: &str) -> Option<&'static Asset> {
    ASSETS.iter().find(|asset| asset.name == name)
}
