//! `/job`: the bench for a whole job. All that is on it comes with the answers to the script.

use maud::{Markup, html};

use super::field::field;
use super::frame;
use super::round_the_end::readings;
use super::trial::{GAP_LIMIT, READ_WITHIN};
use crate::page::answer::Answer;
use crate::page::suggested;
use crate::page::typed::Typed;

/// What is added, and as which.
const NEW: [(&str, &str); 6] = [
    ("standing drum", "+ a standing drum"),
    ("lying drum", "+ a lying drum"),
    ("plate on the floor", "+ a plate on the floor"),
    ("tube", "+ a tube"),
    ("stock", "+ stock"),
    ("keep clear", "+ keep clear"),
];

/// From where it is seen: what it is called, azimuth and height in degrees.
const VIEWS: [(&str, &str); 4] = [
    ("Front", "-90,0"),
    ("Side", "0,0"),
    ("Above", "-90,90"),
    ("Corner", "30,25"),
];

/// The empty bench.
pub(in crate::page) fn job() -> Markup {
    let main = html! {
        link rel="stylesheet" href="/assets/job.css";
        h1 id="title" { "A whole job" }
        noscript { p { "A whole job needs the script of this page." } }
        p id="where" class="quiet" role="status" {}
        p id="working" class="quiet" role="status" {}
        div id="told" role="alert" {}
        section id="start" class="start" aria-label="Begin" hidden {
            p { "Begin with a vessel, open a job file (or drop one here), or start from one of these:" }
            ul id="starters" class="links" {}
        }
        nav id="sections" class="sections" aria-label="What there is in the job" {}
        div class="links adds" aria-label="Add to the job" role="group" {
            @for (what, words) in NEW { button type="button" data-new=(what) { (words) } }
        }
        form id="between" class="between" hidden {
            span class="gap" { label for="tube-from" { "From" } select id="tube-from" {} }
            span class="gap" { label for="tube-to" { "To" } select id="tube-to" {} }
            button type="submit" { "Put it in" }
            button type="button" id="between-not" { "Not now" }
        }
        div class="bench" {
            section id="card" class="card" aria-label="What is chosen" tabindex="-1" {}
            (picture())
        }
        section class="facts" aria-labelledby="before" {
            h2 id="before" { "Before you cut" }
            ul id="problems" class="problems" {}
            ul id="notes" class="notes" {}
            p id="summary" {}
            div id="tables" {}
        }
        (along())
        dialog id="markout" class="markout" {}
        (offered_up())
        (suggested::lists())
    };
    frame("A whole job", "/job", Some("job.js"), &main)
}

/// The job in space, and from where it is seen.
fn picture() -> Markup {
    html! {
        figure id="picture" class="seen" hidden {
            div id="turned" class="turned" tabindex="0" role="group"
                aria-label="The job in space: arrow keys turn it, plus and minus zoom, shift and arrow keys move it" {}
            p class="links views" {
                @for (words, eye) in VIEWS { button type="button" data-eye=(eye) { (words) } }
                button type="button" data-zoom="1.25" { "Nearer" }
                button type="button" data-zoom="0.8" { "Farther" }
            }
        }
    }
}

/// An end at the trial fit: which one, the gaps round it, and what they say.
fn offered_up() -> Markup {
    let typed = Typed::default();
    html! {
        dialog id="trial" class="offered-up" aria-labelledby="trial-title" {
            header {
                h2 id="trial-title" tabindex="-1" { "At the trial fit" }
                button type="button" id="trial-close" class="small" { "Close" }
            }
            form id="offered" {
                p { label for="which-end" { "The end" } " " select id="which-end" {} }
                (readings(&typed, &Answer::default(), &[]))
                div class="more" {
                    @for gap in [&READ_WITHIN, &GAP_LIMIT] { (field(gap, &typed, &[], &[])) }
                }
            }
            div id="at-odds" role="alert" {}
            section id="explained" class="facts" aria-label="What is off, and what to grind" aria-busy="false" hidden {
                ul class="notes" {}
                dl {}
                div class="tables" {}
                p class="links" { button type="button" id="strip" { "The strip to grind by, PDF" } }
            }
        }
    }
}

/// To undo, open, save and take along.
fn along() -> Markup {
    html! {
        section class="along" aria-label="Undo, open, save, take along" {
            p class="links" {
                button type="button" id="undo" { "Undo" }
                button type="button" id="redo" { "Redo" }
                button type="button" id="save" { "Save" }
                button type="button" data-file="pdf" { "PDF" }
                button type="button" id="open" { "Open" }
                button type="button" id="new" { "New" }
                @for (what, kind) in [("Cut list", "csv"), ("SVG", "svg"), ("DXF", "dxf"), ("Report", "report")] {
                    button type="button" data-file=(kind) { (what) }
                }
            }
            p class="quiet" { "Print at 100 %, then measure both rulers." }
            input type="file" id="file" accept=".json,.jsonc,application/json" aria-label="A job file" hidden;
        }
    }
}
