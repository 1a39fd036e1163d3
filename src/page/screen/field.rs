//! A gap as a field, with what was understood and what is wrong.

use maud::{Markup, html};

use crate::page::answer::{Named, Wrong};
use crate::page::gap::{Gap, Kind};
use crate::page::suggested;
use crate::page::typed::Typed;

/// A gap with its label, what was understood, and what is wrong.
pub(super) fn field(gap: &Gap, typed: &Typed, understood: &[Named], wrong: &[Wrong]) -> Markup {
    let (name, text) = (gap.name(), typed.text(gap.flag));
    let heard = understood.iter().find(|heard| heard.name == name);
    let wrong: Vec<&Wrong> = wrong
        .iter()
        .filter(|wrong| wrong.at.iter().any(|at| at == name))
        .collect();
    let described = format!("{name}-heard {name}-wrong");
    html! {
        span class="gap" data-kind=(kind_word(gap.kind)) {
            label for=(name) { (gap.label) }
            @match gap.kind {
                Kind::Choice(choices) => {
                    select id=(name) name=(name) aria-describedby=(described) aria-invalid=[(!wrong.is_empty()).then_some("true")] {
                        @for (word, said) in choices {
                            option value=(word) selected[*word == text.trim()] { (said) }
                        }
                    }
                }
                _ => {
                    input id=(name) name=(name) value=(text) type="text" inputmode="text" autocomplete="off"
                        autocapitalize="off" spellcheck="false" list=[suggested::list_for(gap.kind)]
                        required[gap.is_needed] aria-describedby=(described)
                        aria-invalid=[(!wrong.is_empty()).then_some("true")];
                }
            }
            span class="heard" id={ (name) "-heard" } title=(gap.hint) {
                @if let Some(heard) = heard { (heard.words) } @else { (gap.hint) }
            }
            span class="wrong" id={ (name) "-wrong" } role="alert" { (wrong_words(&wrong)) }
        }
    }
}

fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Tube | Kind::Body => "size",
        Kind::Saw => "saw",
        Kind::Scribe => "scribe",
        Kind::Choice(_) => "choice",
        _ => "short",
    }
}

/// Problems in words: what, with which figures, how to mend it.
pub(super) fn wrong_words<W: std::borrow::Borrow<Wrong>>(wrong: &[W]) -> Markup {
    html! {
        @for wrong in wrong.iter().map(std::borrow::Borrow::borrow) {
            span class="problem" {
                strong { (wrong.what) }
                @if let Some(figures) = &wrong.figures { " " span class="figures" { (figures) } }
                @if let Some(help) = &wrong.help { " " span class="help" { (help) } }
            }
        }
    }
}
