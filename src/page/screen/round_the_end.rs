//! The gaps of a trial fit: a field at each of eight places round a drawing of the end, and a line for others.

use maud::{Markup, PreEscaped, html};

use super::field::{field, wrong_words};
use crate::page::answer::{Answer, Wrong, end_svg};
use crate::page::readings::{Field, LINE, ROUND};
use crate::page::typed::Typed;

/// All of them, with what is wrong.
pub(super) fn readings(typed: &Typed, answer: &Answer, wrong: &[Wrong]) -> Markup {
    let four = ROUND
        .iter()
        .filter(|field| field.between.is_some())
        .all(|field| typed.text(field.gap.flag).trim().is_empty());
    let is_any = ROUND.iter().any(|field| !typed.text(field.gap.flag).trim().is_empty());
    html! {
        fieldset class="readings-round" {
            legend { "The gaps" }
            p class="quiet" {
                "Hold the tube with the cut end up, its FRONT towards you. Push it in until it first touches, and read each gap along the tube: 0 where it touches."
            }
            p class="how-many" hidden {
                label for="how-many" { "Read at" }
                " "
                select id="how-many" {
                    option value="8" selected[!(is_any && four)] { "8 places" }
                    option value="4" selected[is_any && four] { "4 places" }
                }
            }
            div class="round" {
                div id="end" class="end" {
                    @if let Some(svg) = &answer.end { (PreEscaped(svg)) }
                    @else { (PreEscaped(end_svg(None))) }
                }
                @for field in &ROUND { (at_place(field, typed, answer, wrong)) }
            }
            div class="round-wrong" {
                @for field in &ROUND { (what_is_wrong(field, wrong)) }
            }
            div class="elsewhere" { (field(&LINE, typed, &answer.understood, wrong)) }
        }
    }
}

/// A field with its label; its problems stand under all of them, where there is room.
fn at_place(of: &Field, typed: &Typed, answer: &Answer, wrong: &[Wrong]) -> Markup {
    let name = of.gap.name();
    let heard = answer.understood.iter().find(|heard| heard.name == name);
    html! {
        // Read in the order round the end, and placed by the style.
        span class="at" data-at=(of.place) data-between[of.between.is_some()] {
            label for=(name) {
                (of.gap.label)
                @if let Some(between) = of.between { span class="unseen" { ", " (between) } }
            }
            input id=(name) name=(name) value=(typed.text(of.gap.flag)) data-place=(of.place) type="text" inputmode="text"
                autocomplete="off" autocapitalize="off" spellcheck="false"
                aria-describedby={ (name) "-heard " (name) "-wrong" }
                aria-invalid=[wrong_at(name, wrong).next().map(|_| "true")];
            span class="heard" id={ (name) "-heard" } {
                @if let Some(heard) = heard { (heard.words) }
            }
        }
    }
}

fn what_is_wrong(of: &Field, wrong: &[Wrong]) -> Markup {
    let name = of.gap.name();
    let wrong: Vec<&Wrong> = wrong_at(name, wrong).collect();
    html! {
        span class="wrong" id={ (name) "-wrong" } data-label=(of.gap.label) role="alert" { (wrong_words(&wrong)) }
    }
}

fn wrong_at<'a>(name: &'a str, wrong: &'a [Wrong]) -> impl Iterator<Item = &'a Wrong> {
    wrong.iter().filter(move |wrong| wrong.at.iter().any(|at| at == name))
}
