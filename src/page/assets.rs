//! What the browser loads besides: a fixed table in the executable.

/// One of them.
pub(super) struct Asset {
    name: &'static str,
    /// Its media type.
    pub(super) kind: &'static str,
    pub(super) bytes: &'static [u8],
}

const SCRIPT: &str = "text/javascript; charset=utf-8";

const ASSETS: [Asset; 20] = [
    Asset {
        name: "page.css",
        kind: "text/css; charset=utf-8",
        bytes: include_bytes!("assets/page.css"),
    },
    Asset {
        name: "mark.svg",
        kind: "image/svg+xml",
        bytes: include_bytes!("assets/mark.svg"),
    },
    script("joint.js", include_bytes!("assets/joint.js")),
    script("ask.js", include_bytes!("assets/ask.js")),
    script("show.js", include_bytes!("assets/show.js")),
    script("kept.js", include_bytes!("assets/kept.js")),
    script("turn.js", include_bytes!("assets/turn.js")),
    script("readings.js", include_bytes!("assets/readings.js")),
    script("slide.js", include_bytes!("assets/slide.js")),
    Asset {
        name: "job.css",
        kind: "text/css; charset=utf-8",
        bytes: include_bytes!("assets/job.css"),
    },
    script("job.js", include_bytes!("assets/job.js")),
    script("job_card.js", include_bytes!("assets/job_card.js")),
    script("job_drag.js", include_bytes!("assets/job_drag.js")),
    script("job_kept.js", include_bytes!("assets/job_kept.js")),
    script("job_trial.js", include_bytes!("assets/job_trial.js")),
    script("job_mark.js", include_bytes!("assets/job_mark.js")),
    script("job_tables.js", include_bytes!("assets/job_tables.js")),
    script("job_turn.js", include_bytes!("assets/job_turn.js")),
    script("job_view.js", include_bytes!("assets/job_view.js")),
    script("ruler.js", include_bytes!("assets/ruler.js")),
];

const fn script(name: &'static str, bytes: &'static [u8]) -> Asset {
    Asset {
        name,
        kind: SCRIPT,
        bytes,
    }
}

/// The asset of that name.
pub(super) fn find(name: &str) -> Option<&'static Asset> {
    ASSETS.iter().find(|asset| asset.name == name)
}
