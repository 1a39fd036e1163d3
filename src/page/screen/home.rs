//! `/`: what do you want to make?

use maud::{Markup, PreEscaped, html};

use super::{QUESTIONS, frame};
use crate::page::answer::end_svg;
use crate::page::eye::picture;
use crate::page::question::Question;

/// What can be made, each with a drawing of it; where the page is on a network, how phones come in.
pub(in crate::page) fn home(has_phones: bool) -> Markup {
    let main = html! {
        h1 { "What do you want to make?" }
        ul class="choices" {
            @for question in &QUESTIONS {
                li {
                    a href={ "/" (question.name) } {
                        span class="drawing" data-of=(question.name) aria-hidden="true" { (drawing(question)) }
                        strong { (question.title) }
                        span { (in_words(question.name)) }
                    }
                }
            }
            li {
                a href="/job" {
                    strong { "A whole job" }
                    span { "Drums, tubes between them, cut list and sticks: built by tape measure, or a job file opened." }
                }
            }
            li {
                a href="/ruler" {
                    strong { "A ruler, to check the printer" }
                    span { "Print it once, measure it, and say what it reads: every pattern is corrected by it." }
                }
            }
            @if has_phones {
                li {
                    a href="/phones" {
                        strong { "Phones" }
                        span { "Use this page on a phone in the shop: the code to scan, and which phones are connected." }
                    }
                }
            }
        }
        p class="quiet" {
            "Nothing that you type leaves this machine, and nothing is kept but in this browser. "
            "Print at 100 %, measure both rulers on the sheet, then cut."
        }
    };
    frame("What do you want to make?", "/", None, &main)
}

fn in_words(name: &str) -> &'static str {
    match name {
        "saddle" => "The wrap for a tube's end where it lands on a drum or another tube, and the hole.",
        "miter" => "A bend made of straight pieces: wraps, saw settings, lengths.",
        "trial" => "Light shows on one side: what is off by the gaps that you read, and what to grind.",
        _ => "How far off flat saw cuts would be, and which settings do better.",
    }
}

/// What the example of it looks like.
fn drawing(question: &Question) -> Markup {
    let typed = question.typed(Some(question.example));
    let plan = (question.plan)(&typed);
    let drawn = plan.map(|plan| match plan.trial() {
        Some(of) => end_svg(Some(of)),
        None => picture(&plan, question.title, &typed),
    });
    PreEscaped(drawn.unwrap_or_default())
}
