//! `/job`: a whole job. The document is the text of the job file; it comes with every question, and nothing of it stays here.

mod answer;
mod begun;
mod card;
mod disk;
mod drag;
mod edits;
mod end;
mod files;
mod form;
mod kind;
mod land;
mod lengths;
mod mark_out;
mod point;
mod skin;
mod solved;
mod things;
mod told;
mod trial;
mod vessel;
mod view;

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Path, RawQuery, State};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Extension, Router};
use hyper::StatusCode;
use hyper::header::CONTENT_TYPE;
use serde_json::json;

pub(super) use disk::OnDisk;

use super::refused::Refused;
use super::screen;
use super::typed::Typed;
use super::work::Bench;
use crate::job::edit::Tree;
use crate::job::read::{plain, text_of};
use crate::job::starters::STARTERS;
use crate::problem::{Problem, Problems};
use answer::{answer, picture, unreadable};
use solved::Known;
use told::wrongs;
use view::View;

/// What its addresses share: nothing that a question would be answered otherwise for.
struct Jobs {
    known: Known,
    disk: Option<OnDisk>,
}

type Shared = Extension<Arc<Jobs>>;
type AtBench = State<Arc<Bench>>;

/// Its addresses; `disk` is the file that the page was opened with.
pub(super) fn routes(disk: Option<OnDisk>) -> Router<Arc<Bench>> {
    let known = Known::default();
    Router::new()
        .route("/job", get(async || screen::job()))
        .route("/job/answer", post(live))
        .route("/job/picture", post(turned))
        .route("/job/mark-out", post(marked_out))
        .route("/job/trial", post(offered_up))
        .route("/job/edit", post(edit))
        .route("/job/begin", get(begin))
        .route("/job/starter/{name}", get(starter))
        .route("/job/disk", get(opened).post(saved))
        .route("/job/file/{kind}", post(file))
        .layer(Extension(Arc::new(Jobs { known, disk })))
}

async fn live(
    State(bench): AtBench,
    Extension(jobs): Shared,
    RawQuery(query): RawQuery,
    body: Bytes,
) -> Result<Response, Refused> {
    let typed = Typed::of(query.as_deref());
    let view = View::of(&typed);
    bench
        .run(move |wanted| {
            let text = match text_of("the job", body.to_vec()) {
                Ok(text) => text,
                Err(problem) => return as_json(&unreadable(&problem)),
            };
            let asked = typed.text("edits");
            if asked.is_empty() {
                return as_json(&answer(&text, &jobs.known.of(&text, wanted), &view));
            }
            // What would be if it were changed so.
            match edits::edited(&text, asked, &view, || jobs.known.of(&text, wanted)) {
                Ok((changed, _)) => {
                    let known = jobs.known.of(&changed, wanted);
                    let mut answer = answer(&changed, &known, &view);
                    answer.text = Some(changed);
                    as_json(&answer)
                }
                Err(problem) => refused(&text, &problem.into()),
            }
        })
        .await
}

/// The picture alone, while it is turned: no content where nothing can be drawn.
async fn turned(
    State(bench): AtBench,
    Extension(jobs): Shared,
    RawQuery(query): RawQuery,
    body: Bytes,
) -> Result<Response, Refused> {
    let view = View::of(&Typed::of(query.as_deref()));
    let svg = bench.run(move |wanted| {
        let text = text_of("the job", body.to_vec()).ok()?;
        let solved = jobs.known.of(&text, wanted);
        let text = plain(&text);
        let tree = Tree::new(&text).ok();
        let plan = solved.plan.as_ref()?;
        Some(picture(plan, tree.as_ref(), &view).0)
    });
    let shown = svg
        .await?
        .map(|svg| ([(CONTENT_TYPE, "image/svg+xml")], svg).into_response());
    Ok(or_nothing(shown))
}

/// One hole of a vessel, as it is marked there; no content where there is none.
async fn marked_out(
    State(bench): AtBench,
    Extension(jobs): Shared,
    RawQuery(query): RawQuery,
    body: Bytes,
) -> Result<Response, Refused> {
    let typed = Typed::of(query.as_deref());
    let hole = bench.run(move |wanted| {
        let text = text_of("the job", body.to_vec()).ok()?;
        let solved = jobs.known.of(&text, wanted);
        let number = typed.text("hole").parse().unwrap_or_default();
        mark_out::mark_out(solved.plan.as_ref()?, typed.text("body"), number)
    });
    Ok(or_nothing(hole.await?.map(|hole| as_json(&hole))))
}

/// What is off at an end at the trial fit, and what to grind.
async fn offered_up(State(bench): AtBench, RawQuery(query): RawQuery, body: Bytes) -> Result<Response, Refused> {
    let typed = Typed::of(query.as_deref());
    bench
        .run(move |_| match text_of("the job", body.to_vec()) {
            Ok(text) => as_json(&trial::answer(&text, &typed)),
            Err(problem) => refused("", &problem.into()),
        })
        .await
}

async fn edit(
    State(bench): AtBench,
    Extension(jobs): Shared,
    RawQuery(query): RawQuery,
    body: Bytes,
) -> Result<Response, Refused> {
    let typed = Typed::of(query.as_deref());
    let view = View::of(&typed);
    bench
        .run(move |wanted| {
            let text = match text_of("the job", body.to_vec()) {
                Ok(text) => text,
                Err(problem) => return refused("", &problem.into()),
            };
            match edits::edited(&text, typed.text("edits"), &view, || jobs.known.of(&text, wanted)) {
                Ok((text, then)) => as_json(&json!({ "text": text, "then": then })),
                Err(problem) => refused(&text, &problem.into()),
            }
        })
        .await
}

/// What can't be done, with its places in the text.
fn refused(text: &str, problems: &Problems) -> Response {
    let json = json!({ "problems": wrongs(text, problems.iter()) });
    (StatusCode::UNPROCESSABLE_ENTITY, as_json(&json)).into_response()
}

/// What an empty page begins with, and the jobs to start from.
async fn begin() -> Response {
    let starters = STARTERS.map(|(name, what, _)| json!({ "name": name, "what": what }));
    as_json(&json!({ "empty": begun::EMPTY, "starters": starters }))
}

async fn starter(Path(name): Path<String>) -> Result<Response, Refused> {
    let found = STARTERS.iter().find(|(known, ..)| *known == name);
    let (_, _, text) = found.ok_or(Refused::NotHere)?;
    Ok(([(CONTENT_TYPE, "application/json")], *text).into_response())
}

/// The file that the page was opened with; no content where it was opened without.
async fn opened(State(bench): AtBench, Extension(jobs): Shared) -> Result<Response, Refused> {
    let read = bench.run(move |_| jobs.disk.as_ref().map(OnDisk::read));
    let shown = read.await?.map(|read| match read {
        Ok(read) => as_json(&read),
        Err(problem) => refused("", &problem.into()),
    });
    Ok(or_nothing(shown))
}

/// Back to that file: 409 where it isn't any more as it was when it was read, unless it is to be written over.
async fn saved(
    State(bench): AtBench,
    Extension(jobs): Shared,
    RawQuery(query): RawQuery,
    body: Bytes,
) -> Result<Response, Refused> {
    let typed = Typed::of(query.as_deref());
    bench
        .run(move |_| {
            let disk = jobs.disk.as_ref().ok_or(Refused::NotHere)?;
            let over = !typed.text("over").is_empty();
            Ok(match disk.write(&body, typed.text("mark"), over) {
                Ok(Some(mark)) => as_json(&json!({ "mark": mark })),
                Ok(None) => StatusCode::CONFLICT.into_response(),
                Err(problem) => refused("", &problem.into()),
            })
        })
        .await?
}

async fn file(
    State(bench): AtBench,
    Path(kind): Path<String>,
    RawQuery(query): RawQuery,
    body: Bytes,
) -> Result<Response, Refused> {
    let typed = Typed::of(query.as_deref());
    bench
        .run(move |_| {
            let text = match text_of("the job", body.to_vec()) {
                Ok(text) => text,
                Err(problem) => return Ok(refused("", &problem.into())),
            };
            let made = files::file(&text, &kind, &typed).ok_or(Refused::NotHere)?;
            Ok(match made {
                Ok((media, bytes)) => ([(CONTENT_TYPE, media)], bytes).into_response(),
                Err(problems) => refused(&text, &problems),
            })
        })
        .await?
}

/// No content where there is none.
fn or_nothing(shown: Option<Response>) -> Response {
    shown.unwrap_or_else(|| StatusCode::NO_CONTENT.into_response())
}

fn as_json(what: &impl serde::Serialize) -> Response {
    match serde_json::to_vec(what) {
        Ok(json) => ([(CONTENT_TYPE, "application/json")], json).into_response(),
        Err(_) => Refused::Broken.into_response(),
    }
}

fn not_understood() -> Problem {
    Problem::new("the page asked for something that the program doesn't know").help("load the page anew")
}
