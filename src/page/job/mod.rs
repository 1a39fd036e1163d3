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
use axum::extract::{FromRequest, Path, Request};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Extension, Router};
use hyper::StatusCode;
use serde_json::json;

pub(super) use disk::OnDisk;

use super::refused::Refused;
use super::screen;
use super::sent::{as_json, as_media, or_nothing, svg_or_nothing};
use super::typed::Typed;
use super::work::{Bench, Wanted};
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

/// A question about a job.
struct Asked {
    bench: Arc<Bench>,
    jobs: Arc<Jobs>,
    typed: Typed,
    body: Bytes,
}

impl FromRequest<Arc<Bench>> for Asked {
    type Rejection = Refused;

    async fn from_request(request: Request, bench: &Arc<Bench>) -> Result<Self, Refused> {
        let jobs = request.extensions().get::<Arc<Jobs>>().cloned();
        let (jobs, typed) = (jobs.ok_or(Refused::Broken)?, Typed::of(request.uri().query()));
        let body = Bytes::from_request(request, bench).await;
        Ok(Self {
            bench: bench.clone(),
            jobs,
            typed,
            body: body.map_err(|_| Refused::Broken)?,
        })
    }
}

impl Asked {
    /// What `answer` makes of it, in its turn.
    async fn answered<T: Send + 'static>(
        self,
        answer: impl FnOnce(&Self, &Wanted) -> T + Send + 'static,
    ) -> Result<T, Refused> {
        let bench = self.bench.clone();
        bench.run(move |wanted| answer(&self, wanted)).await
    }

    /// The job's text.
    fn text(&self) -> Result<String, Problem> {
        text_of("the job", self.body.to_vec())
    }

    fn view(&self) -> View {
        View::of(&self.typed)
    }
}

async fn live(asked: Asked) -> Result<Response, Refused> {
    let answered = asked.answered(|asked, wanted| {
        let text = match asked.text() {
            Ok(text) => text,
            Err(problem) => return as_json(&unreadable(&problem)),
        };
        let (known, view) = (|text: &str| asked.jobs.known.of(text, wanted), asked.view());
        let edits = asked.typed.text("edits");
        if edits.is_empty() {
            return as_json(&answer(&text, &known(&text), &view));
        }
        // What would be if it were changed so.
        match edits::edited(&text, edits, &view, || known(&text)) {
            Ok((changed, _)) => {
                let mut answer = answer(&changed, &known(&changed), &view);
                answer.text = Some(changed);
                as_json(&answer)
            }
            Err(problem) => refused(&text, &problem.into()),
        }
    });
    answered.await
}

/// The picture alone, while it is turned: no content where nothing can be drawn.
async fn turned(asked: Asked) -> Result<Response, Refused> {
    let svg = asked.answered(|asked, wanted| {
        let text = asked.text().ok()?;
        let solved = asked.jobs.known.of(&text, wanted);
        let text = plain(&text);
        let tree = Tree::new(&text).ok();
        Some(picture(solved.plan.as_ref()?, tree.as_ref(), &asked.view()).0)
    });
    Ok(svg_or_nothing(svg.await?))
}

/// One hole of a vessel, as it is marked there; no content where there is none.
async fn marked_out(asked: Asked) -> Result<Response, Refused> {
    let hole = asked.answered(|asked, wanted| {
        let (solved, typed) = (asked.jobs.known.of(&asked.text().ok()?, wanted), &asked.typed);
        let number = typed.text("hole").parse().unwrap_or_default();
        mark_out::mark_out(solved.plan.as_ref()?, typed.text("body"), number)
    });
    Ok(or_nothing(hole.await?.map(|hole| as_json(&hole))))
}

/// What is off at an end at the trial fit, and what to grind.
async fn offered_up(asked: Asked) -> Result<Response, Refused> {
    let answered = asked.answered(|asked, _| Ok(as_json(&trial::answer(&asked.text()?, &asked.typed))));
    Ok(or_refused(answered.await?))
}

async fn edit(asked: Asked) -> Result<Response, Refused> {
    let answered = asked.answered(|asked, wanted| {
        let text = asked.text()?;
        let known = || asked.jobs.known.of(&text, wanted);
        Ok(
            match edits::edited(&text, asked.typed.text("edits"), &asked.view(), known) {
                Ok((text, then)) => as_json(&json!({ "text": text, "then": then })),
                Err(problem) => refused(&text, &problem.into()),
            },
        )
    });
    Ok(or_refused(answered.await?))
}

/// The answer, or what is wrong with more than a place of the text.
fn or_refused(answer: Result<Response, Problem>) -> Response {
    answer.unwrap_or_else(|problem| refused("", &problem.into()))
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
    Ok(as_media("application/json", *text))
}

/// The file that the page was opened with; no content where it was opened without.
async fn opened(asked: Asked) -> Result<Response, Refused> {
    let read = asked.answered(|asked, _| {
        let read = asked.jobs.disk.as_ref()?.read();
        Some(or_refused(read.map(|read| as_json(&read))))
    });
    Ok(or_nothing(read.await?))
}

/// Back to that file: 409 where it isn't any more as it was when it was read, unless it is to be written over.
async fn saved(asked: Asked) -> Result<Response, Refused> {
    let written = asked.answered(|asked, _| {
        let (typed, disk) = (&asked.typed, asked.jobs.disk.as_ref().ok_or(Refused::NotHere)?);
        let over = !typed.text("over").is_empty();
        let written = disk
            .write(&asked.body, typed.text("mark"), over)
            .map(|mark| match mark {
                Some(mark) => as_json(&json!({ "mark": mark })),
                None => StatusCode::CONFLICT.into_response(),
            });
        Ok(or_refused(written))
    });
    written.await?
}

async fn file(Path(kind): Path<String>, asked: Asked) -> Result<Response, Refused> {
    let made = asked.answered(move |asked, _| {
        let text = match asked.text() {
            Ok(text) => text,
            Err(problem) => return Ok(refused("", &problem.into())),
        };
        Ok(match files::file(&text, &kind, &asked.typed).ok_or(Refused::NotHere)? {
            Ok((media, bytes)) => as_media(media, bytes),
            Err(problems) => refused(&text, &problems),
        })
    });
    made.await?
}

fn not_understood() -> Problem {
    Problem::new("the page asked for something that the program doesn't know").help("load the page anew")
}
