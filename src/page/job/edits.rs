//! What the page asks to be changed, as changes of the text.

use std::sync::Arc;

use serde::Deserialize;

use super::begun::begun;
use super::land::{Landing, skin_place};
use super::not_understood;
use super::solved::Solved;
use super::vessel::measured;
use super::view::View;
use crate::job::edit::{Edit, Key, Tree, Way, edited as changed};
use crate::layout::Sights;
use crate::plan::Plan;
use crate::problem::Problem;

/// One wish.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Wish {
    /// A measure of a vessel that stands in several places of the text.
    Measure { at: Way, what: String, words: String },
    /// A new thing; of a tube the vessels that it goes between, or empty.
    Begin {
        what: String,
        #[serde(default)]
        from: String,
        #[serde(default)]
        to: String,
    },
    /// A tube is to land elsewhere: where the body's skin laid flat is pointed at, or so far from where it does on the picture; right
    /// and up, in millimetres of the skin or of the picture.
    Land {
        at: Way,
        #[serde(default)]
        skin: Option<[f64; 2]>,
        #[serde(default)]
        by: Option<[f64; 2]>,
    },
    /// A change by place.
    #[serde(untagged)]
    Edit(Edit),
}

/// The text with all that is asked, and what is to be chosen then. What is known of the text is asked only where it is needed.
///
/// # Errors
/// What can't be done.
pub(super) fn edited(
    text: &str,
    asked: &str,
    view: &View,
    known: impl Fn() -> Arc<Solved>,
) -> Result<(String, Option<Way>), Problem> {
    let wishes: Vec<Wish> = serde_json::from_str(asked).map_err(|_| not_understood())?;
    let (mut text, mut then) = (text.to_owned(), None);
    for wish in wishes {
        let plain = text.trim_start_matches('\u{feff}');
        let edits = match wish {
            Wish::Edit(edit) => {
                if let Edit::Rename { at, name } = &edit {
                    then = Some(vec![
                        at.first().cloned().unwrap_or_else(|| 0.into()),
                        name.as_str().into(),
                    ]);
                }
                vec![edit]
            }
            Wish::Measure { at, what, words } => measured(&Tree::new(plain)?, &at, &what, &words)?,
            Wish::Land { at, skin, by } => landed(&Tree::new(plain)?, &known(), view, &at, (skin, by))?,
            Wish::Begin { what, from, to } => {
                let solved = known();
                let begun = begun(&Tree::new(plain)?, solved.plan.as_ref(), &what, &from, &to);
                let (edits, way) = begun.ok_or_else(|| {
                    Problem::new(format!("a {what} can't be begun here"))
                        .help("mend what is wrong with the vessels first, or choose others")
                })?;
                then = Some(way);
                edits
            }
        };
        text = changed(&text, &edits)?;
    }
    Ok((text, then))
}

/// The edits with which a tube lands elsewhere.
fn landed(
    tree: &Tree<'_>,
    solved: &Solved,
    view: &View,
    at: &[Key],
    to: (Option<[f64; 2]>, Option<[f64; 2]>),
) -> Result<Vec<Edit>, Problem> {
    let job = solved.plan.as_ref().and_then(Plan::job).ok_or_else(nowhere)?;
    let landing = Landing::of(tree, job, at).ok_or_else(nowhere)?;
    let edits = match (to, view.look.frame) {
        ((Some(skin), None), _) => landing.on_skin(tree, at, skin_place(skin).ok_or_else(not_understood)?),
        ((None, Some(by)), Some(frame)) => landing.dragged(tree, at, &Sights::new(&view.look, frame), by),
        _ => return Err(not_understood()),
    };
    edits.ok_or_else(nowhere)
}

fn nowhere() -> Problem {
    Problem::new("what the tube lands on can't be drawn as it stands").help("mend what is wrong with it first")
}
