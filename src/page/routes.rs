//! The addresses, and what is answered at each.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, RawQuery, State};
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use hyper::StatusCode;
use hyper::header::{CONTENT_DISPOSITION, CONTENT_TYPE, HeaderName};

use super::answer::{Answer, answer, wrong, wrong_by_flag};
use super::kept::Kept;
use super::made::{File, file, ruler_pdf};
use super::question::Question;
use super::refused::{Door, Refused, guard};
use super::screen::{self, QUESTIONS};
use super::sent::{as_json, as_media, svg_or_nothing};
use super::typed::Typed;
use super::work::{Bench, Wanted};
use super::{assets, eye};
use crate::wording::said;

/// All of them, behind the door; `more` are those of whole jobs and of phones, of which the first page tells where
/// `has_phones` says so.
pub(super) fn router(door: Door, bench: Arc<Bench>, has_phones: bool, more: Router<Arc<Bench>>) -> Router {
    let mut router = more
        .route("/", get(move |bench| home(bench, has_phones)))
        .route("/ruler", get(ruler_screen))
        .route("/ruler/pdf", get(ruler_file))
        .route("/assets/{name}", get(asset));
    for question in &QUESTIONS {
        let at = |rest: &str| format!("/{}{rest}", question.name);
        router = router
            .route(&at(""), get(move |bench, query| joint_screen(question, bench, query)))
            .route(
                &at("/answer"),
                get(move |bench, query| live_answer(question, bench, query)),
            )
            .route(
                &at("/picture"),
                get(move |bench, query| joint_picture(question, bench, query)),
            )
            .route(
                &at("/{kind}"),
                get(move |bench, kind, query| joint_file(question, bench, kind, query)),
            );
    }
    router
        .fallback(async || Refused::NotHere)
        .method_not_allowed_fallback(async || Refused::OtherMethod)
        .with_state(bench)
        .layer(from_fn_with_state(door, guard))
}

type AtBench = State<Arc<Bench>>;

async fn home(State(bench): AtBench, has_phones: bool) -> Result<Response, Refused> {
    let page = bench.run(move |_| screen::home(has_phones)).await?;
    Ok(page.into_response())
}

async fn asset(Path(name): Path<String>) -> Result<Response, Refused> {
    let asset = assets::find(&name).ok_or(Refused::NotHere)?;
    Ok(as_media(asset.kind, asset.bytes))
}

/// What `answered` makes of what was typed, with the plans that lie on the bench.
async fn asked<T: Send + 'static>(
    question: &Question,
    (State(bench), RawQuery(query)): (AtBench, RawQuery),
    answered: impl FnOnce(&Typed, &Kept, &Wanted) -> T + Send + 'static,
) -> Result<T, Refused> {
    let typed = question.typed(query.as_deref());
    let at = bench.clone();
    bench.run(move |wanted| answered(&typed, &at.kept, wanted)).await
}

async fn joint_screen(question: &'static Question, bench: AtBench, query: RawQuery) -> Result<Response, Refused> {
    let page = asked(question, (bench, query), |typed, kept, wanted| {
        screen::joint(question, typed, &answer(question, typed, kept, wanted))
    });
    Ok(page.await?.into_response())
}

async fn live_answer(question: &'static Question, bench: AtBench, query: RawQuery) -> Result<Response, Refused> {
    asked(question, (bench, query), |typed, kept, wanted| {
        as_json(&answer(question, typed, kept, wanted))
    })
    .await
}

/// The picture alone, while it is turned: no content where the words make no joint.
async fn joint_picture(question: &'static Question, bench: AtBench, query: RawQuery) -> Result<Response, Refused> {
    let svg = asked(question, (bench, query), |typed, kept, _| {
        let plan = kept.plan(question, typed).ok()?;
        Some(eye::picture(&plan, &said(&plan).title, typed))
    });
    Ok(svg_or_nothing(svg.await?))
}

async fn joint_file(
    question: &'static Question,
    bench: AtBench,
    Path(kind): Path<String>,
    query: RawQuery,
) -> Result<Response, Refused> {
    let made = asked(question, (bench, query), move |typed, kept, _| {
        Ok(match file(question, typed, kept, &kind).ok_or(Refused::NotHere)? {
            Ok(file) => sent(file),
            Err(problems) => {
                let problems = wrong(question, typed, &problems);
                let answer = Answer {
                    problems,
                    ..answer_without_drawings(question, typed, kept)
                };
                let page = screen::joint(question, typed, &answer);
                (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
            }
        })
    });
    made.await?
}

/// What can be said of words that make no joint.
fn answer_without_drawings(question: &Question, typed: &Typed, kept: &Kept) -> Answer {
    Answer {
        drawings: Vec::new(),
        title: None,
        ..answer(question, typed, kept, &Wanted::default())
    }
}

async fn ruler_screen(State(bench): AtBench, RawQuery(query): RawQuery) -> Result<Response, Refused> {
    let typed = Typed::of(query.as_deref());
    let page = bench.run(move |_| screen::ruler(&typed, &[])).await?;
    Ok(page.into_response())
}

async fn ruler_file(State(bench): AtBench, RawQuery(query): RawQuery) -> Result<Response, Refused> {
    let typed = Typed::of(query.as_deref());
    let made = bench.run(move |_| match ruler_pdf(&typed) {
        Ok(file) => sent(file),
        Err(problems) => {
            let page = screen::ruler(&typed, &wrong_by_flag(&problems));
            (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
        }
    });
    made.await
}

fn sent(file: File) -> Response {
    let headers: [(HeaderName, String); 2] = [
        (CONTENT_TYPE, file.kind.to_owned()),
        (CONTENT_DISPOSITION, format!("{}; filename=\"{}\"", file.how, file.name)),
    ];
    (headers, file.bytes).into_response()
}
