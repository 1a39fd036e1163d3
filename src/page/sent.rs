//! What is sent back.

use axum::response::{IntoResponse, Response};
use hyper::StatusCode;
use hyper::header::CONTENT_TYPE;
use serde::Serialize;

use super::refused::Refused;

/// Bytes or text of a media type.
pub(super) fn as_media(media: &'static str, bytes: impl IntoResponse) -> Response {
    ([(CONTENT_TYPE, media)], bytes).into_response()
}

pub(super) fn as_json(what: &impl Serialize) -> Response {
    match serde_json::to_vec(what) {
        Ok(json) => as_media("application/json", json),
        Err(_) => Refused::Broken.into_response(),
    }
}

/// No content where there is none.
pub(super) fn or_nothing(shown: Option<Response>) -> Response {
    shown.unwrap_or_else(|| StatusCode::NO_CONTENT.into_response())
}

/// A picture; no content where nothing can be drawn.
pub(super) fn svg_or_nothing(svg: Option<String>) -> Response {
    or_nothing(svg.map(|svg| as_media("image/svg+xml", svg)))
}
