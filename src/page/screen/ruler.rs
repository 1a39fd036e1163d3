//! `/ruler`: what the printer does to lengths.

use maud::{Markup, html};

use super::field::{field, wrong_words};
use super::frame;
use crate::page::answer::Wrong;
use crate::page::gap::SHEET;
use crate::page::typed::Typed;

/// The ruler to print, and the gap for what it reads. `wrong` is what was wrong with what was typed.
pub(in crate::page) fn ruler(typed: &Typed, wrong: &[Wrong]) -> Markup {
    let main = html! {
        h1 { "The printer" }
        p { "Printers are often off by a little, and not by the same across the sheet and down it." }
        (wrong_words(wrong))
        form action="/ruler/pdf" method="get" id="ruler" {
            ol class="steps" {
                li {
                    "Print the ruler at 100 % (\"actual size\"), never fitted to the page. "
                    @for gap in SHEET.iter().filter(|gap| ["--paper", "--units"].contains(&gap.flag)) {
                        (field(gap, typed, &[], wrong))
                    }
                    button type="submit" { "PDF of the ruler" }
                }
                li {
                    "Measure both 150 mm rulers (or 6 in), across the sheet and down it, and type what they read."
                    p class="readings" {
                        span class="gap" {
                            label for="across" { "Across" }
                            input id="across" inputmode="decimal" autocomplete="off" placeholder="150";
                        }
                        span class="gap" {
                            label for="down" { "Down" }
                            input id="down" inputmode="decimal" autocomplete="off" placeholder="150";
                        }
                    }
                    p id="printer-said" role="status" {}
                    p {
                        button type="button" id="keep-readings" { "Remember it in this browser" }
                        button type="button" id="forget-readings" { "Forget it" }
                    }
                }
            }
        }
        p class="quiet without-script" {
            "Without scripts nothing can be remembered: put the two readings into the gap "
            "\"Ruler reads\" of each joint, with a comma between them."
        }
    };
    frame("The printer", "/ruler", Some("ruler.js"), &main)
}
