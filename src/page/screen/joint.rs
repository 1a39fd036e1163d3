//! A joint's screen: the sentence with its gaps, and the answer beside it. Works without the script.

use maud::{Markup, PreEscaped, html};

use super::field::{field, wrong_words};
use super::frame;
use super::round_the_end::readings;
use crate::page::answer::{Answer, Card, Wrong};
use crate::page::gap::{Gap, Kind, RULER_READS, SHEET};
use crate::page::question::{Part, Question};
use crate::page::suggested;
use crate::page::typed::Typed;
use crate::wording::Ordinates;

/// The screen with what was typed and what is answered to it.
pub(in crate::page) fn joint(question: &Question, typed: &Typed, answer: &Answer) -> Markup {
    let here = format!("/{}", question.name);
    let is_empty = question.flags().all(|flag| typed.text(flag).trim().is_empty());
    let shown: &[Wrong] = if is_empty { &[] } else { &answer.problems };
    let main = html! {
        h1 { (question.title) }
        form id="sentence" action=(here) method="get" data-name=(question.name) {
            p class="sentence" {
                @for part in question.sentence {
                    @match part {
                        Part::Words(words) => { span class="said" { (words) } " " }
                        Part::Gap(gap) => { (field(gap, typed, &answer.understood, shown)) " " }
                    }
                }
            }
            @if question.has_readings { (readings(typed, answer, shown)) }
            details open[is_any_typed(question.more, typed)] {
                summary { "More about this joint" }
                div class="more" {
                    @for gap in question.more.iter().chain(&SHEET) {
                        (field(gap, typed, &answer.understood, shown))
                    }
                    (ruler_reads(typed, shown))
                }
            }
            p class="without-script" {
                button type="submit" { "Show it" }
                button type="submit" formaction={ (here) "/pdf" } { "PDF" }
                a href={ (here) "?" (question.example) } { "An example" }
            }
            (suggested::lists())
        }
        p id="example" hidden {
            a href={ (here) "?" (question.example) } { "Show me an example" }
        }
        p id="corrected" class="corrected" hidden {
            span {}
            " "
            button type="button" { "Clear it" }
        }
        div id="at-odds" role="alert" { (wrong_words(&unplaced(shown))) }
        div id="answer" class="answer" aria-busy="false" hidden[answer.title.is_none()] {
            @if question.has_readings {
                (facts(question, answer))
                (drawings(answer))
            } @else {
                (drawings(answer))
                (facts(question, answer))
            }
        }
        details id="as-command" hidden[answer.title.is_none()] {
            summary { "As a command" }
            code id="command" tabindex="0" { (answer.command) }
            button type="button" id="copy" hidden { "Copy" }
        }
        (take_along(&here, answer))
    };
    let main = html! { div class=[question.has_readings.then_some("trial")] { (main) } };
    frame(question.title, &here, Some("joint.js"), &main)
}

fn is_any_typed(gaps: &[Gap], typed: &Typed) -> bool {
    gaps.iter().any(|gap| !typed.text(gap.flag).trim().is_empty())
}

/// Those that stand at no gap.
fn unplaced(wrong: &[Wrong]) -> Vec<&Wrong> {
    wrong.iter().filter(|wrong| wrong.at.is_empty()).collect()
}

/// What the rulers read: the script fills it with what the browser remembers.
fn ruler_reads(typed: &Typed, wrong: &[Wrong]) -> Markup {
    const GAP: Gap = Gap::new(
        RULER_READS,
        "Ruler reads",
        Kind::Text,
        "across and down, such as 149.3,150.2",
    );
    field(&GAP, typed, &[], wrong)
}

/// What is drawn.
fn drawings(answer: &Answer) -> Markup {
    html! {
        section class="drawings" aria-label="Drawings" {
            figure id="picture" hidden[answer.picture.is_none()] {
                div id="view" class="turned" tabindex="0" role="group" aria-label="The joint in space: turn it with the arrow keys" {
                    @if let Some(svg) = &answer.picture { (PreEscaped(svg)) }
                }
                figcaption { "The joint: drag it or use the arrow keys to turn it" }
            }
            @for drawn in &answer.drawings {
                figure data-name=(drawn.name) {
                    (PreEscaped(&drawn.svg))
                    figcaption { (drawn.name) }
                }
            }
        }
    }
}

/// What is told.
fn facts(question: &Question, answer: &Answer) -> Markup {
    html! {
        section class="facts" aria-labelledby="before" {
            h2 id="before" { (question.tells) }
            ul class="notes" {
                @for note in &answer.notes { li { (note) } }
            }
            dl {
                @for fact in &answer.facts {
                    dt { (fact.name) }
                    dd { (fact.words) }
                }
            }
            div class="tables" {
                @for table in &answer.tables { (by_hand(table)) }
            }
            div class="ways" {
                @for way in &answer.ways { (card(way)) }
            }
        }
    }
}

/// The ordinates of an end.
fn by_hand(table: &Ordinates) -> Markup {
    html! {
        details data-title=(table.title) {
            summary { (table.title) }
            table {
                thead { tr { @for head in &table.heads { th scope="col" { (head) } } } }
                tbody { @for row in &table.rows { tr { @for cell in row { td { (cell) } } } } }
            }
            p class="quiet" { (table.under) }
        }
    }
}

fn card(way: &Card) -> Markup {
    html! {
        article {
            h3 { (way.name) }
            p { "gap " strong { (way.gap) } }
            p class="quiet" { (way.within) }
            ul { @for cut in &way.cuts { li { (cut) } } }
        }
    }
}

/// The row that takes the joint along.
fn take_along(here: &str, answer: &Answer) -> Markup {
    let is_there = answer.title.is_some();
    html! {
        section class="along" id="along" aria-label="Take it along" hidden[!is_there] {
            p class="quiet" { "Print at 100 %, then measure both rulers." }
            p class="links" {
                @for (what, path) in [("PDF", "pdf"), ("SVG", "svg"), ("DXF", "dxf"), ("Report", "report")] {
                    a href={ (here) "/" (path) "?" (answer.query) } data-path={ (here) "/" (path) } { (what) }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::page::screen::QUESTIONS;
    use crate::page::typed::name;

    #[test]
    fn no_gap_has_the_name_of_another() {
        for question in &QUESTIONS {
            let mut names: Vec<&str> = question.flags().map(name).collect();
            let count = names.len();
            names.sort_unstable();
            names.dedup();
            assert_eq!(names.len(), count, "{}", question.name);
        }
    }
}
