//! The screens, each in a file of its own, and the frame that they share.

pub(super) mod facets;
mod field;
mod home;
mod job;
mod joint;
mod landing;
pub(super) mod miter;
mod phones;
mod round_the_end;
mod ruler;
pub(super) mod saddle;
pub(super) mod trial;

use maud::{DOCTYPE, Markup, html};

use super::question::Question;

pub(super) use home::home;
pub(super) use job::job;
pub(super) use joint::joint;
pub(super) use phones::{come_in, phones};
pub(super) use ruler::ruler;

/// All that can be made.
pub(super) static QUESTIONS: [Question; 4] = [saddle::QUESTION, miter::QUESTION, facets::QUESTION, trial::QUESTION];

/// A whole page: `here` is its address, and `module` the script that it runs, if any.
fn frame(title: &str, here: &str, module: Option<&str>, main: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " - girthline" }
                link rel="icon" href="/assets/mark.svg" type="image/svg+xml";
                link rel="stylesheet" href="/assets/page.css";
                @if let Some(module) = module {
                    script type="module" src={ "/assets/" (module) } {}
                }
            }
            body {
                a class="skip" href="#main" { "To the sentence" }
                header {
                    a class="home" href="/" { "girthline" }
                    nav aria-label="What to make" {
                        @for question in &QUESTIONS {
                            @let path = format!("/{}", question.name);
                            a href=(path) aria-current=[(path == here).then_some("page")] { (question.title) }
                        }
                        a href="/job" aria-current=[(here == "/job").then_some("page")] { "A whole job" }
                        a href="/ruler" aria-current=[(here == "/ruler").then_some("page")] { "The printer" }
                    }
                }
                main id="main" { (main) }
            }
        }
    }
}

/// A page that says one thing.
pub(super) fn plain(what: &str, help: &str) -> Markup {
    let main = html! {
        h1 { (what) }
        p { (help) }
        p { a href="/" { "What do you want to make?" } }
    };
    frame(what, "", None, &main)
}
