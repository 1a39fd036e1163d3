//! What is answered about phones: on this machine how they come in and who is in, from the network how one comes in.

use std::net::IpAddr;
use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::RawQuery;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Router};
use hyper::HeaderMap;
use hyper::header::{SET_COOKIE, USER_AGENT};

use super::phones::{Phones, WAY_IN, cookie_name};
use super::refused::Refused;
use super::screen;
use super::typed::Typed;
use super::work::Bench;

/// Who asks.
#[derive(Debug, Clone, Copy)]
pub(super) struct Peer(pub(super) IpAddr);

/// On this machine: the code for the next phone, and the phones that are in. `door` is the network's address.
pub(super) fn here(phones: &Phones, door: &str) -> Router<Arc<Bench>> {
    let (shown, inviting, sending) = (phones.clone(), phones.clone(), phones.clone());
    let door = door.to_owned();
    let show = async move || screen::phones(&door, &shown);
    let invite = async move || {
        inviting.invite().ok_or(Refused::Broken)?;
        Ok::<_, Refused>(Redirect::to("/phones"))
    };
    let send_off = async move |body: Bytes| {
        if let Ok(number) = form(&body).text("number").parse() {
            sending.send_off(number);
        }
        Redirect::to("/phones")
    };
    Router::new()
        .route("/phones", get(show))
        .route("/phones/invite", post(invite))
        .route("/phones/send-off", post(send_off))
}

/// From the network: a token is traded for a cookie by a button, so that looking at an address uses nothing up.
pub(super) fn from_network(phones: &Phones, port: u16) -> Router<Arc<Bench>> {
    let (looking, trading) = (phones.clone(), phones.clone());
    let look = async move |RawQuery(query): RawQuery| {
        let typed = Typed::of(query.as_deref());
        let token = typed.text("token");
        if looking.is_invited(token) {
            Ok(screen::come_in(token))
        } else {
            Err(Refused::Stranger)
        }
    };
    let trade = async move |Extension(Peer(address)): Extension<Peer>, headers: HeaderMap, body: Bytes| {
        let cookie = trading.let_in(form(&body).text("token"), address, kind(&headers));
        let cookie = cookie.ok_or(Refused::Stranger)?;
        let (name, secret) = (cookie_name(port), cookie.text());
        let set = format!("{name}={secret}; HttpOnly; SameSite=Strict; Path=/; Max-Age=86400");
        Ok::<Response, Refused>(([(SET_COOKIE, set)], Redirect::to("/")).into_response())
    };
    Router::new().route(WAY_IN, get(look).post(trade))
}

fn form(body: &[u8]) -> Typed {
    Typed::of(std::str::from_utf8(body).ok())
}

fn kind(headers: &HeaderMap) -> &'static str {
    let said = headers.get(USER_AGENT).and_then(|value| value.to_str().ok());
    if said.is_some_and(|said| said.contains("Mobi")) {
        "a phone"
    } else {
        "a browser"
    }
}
