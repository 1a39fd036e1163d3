//! What is refused before anything is done with it, and what every answer says for safety's sake.

use std::time::Duration;

use axum::body::{Body, Bytes};
use axum::extract::{Request, State};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use http_body_util::{BodyExt, Limited};
use hyper::header::{self, HeaderMap, HeaderName, HeaderValue};
use hyper::{Method, StatusCode};

use super::phones::{Phones, WAY_IN, cookie_name};
use super::screen;

/// A body may be no longer, in bytes.
const LARGEST_BODY: usize = 64 * 1024;
/// A job's text.
const LARGEST_JOB: usize = 1024 * 1024;
/// Nor take longer to arrive.
const BODY_TIME: Duration = Duration::from_secs(10);

/// Only what stands here is loaded or run: all of it comes from the executable, no script stands in a page, nothing may
/// frame it or send it elsewhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Why a request is not answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Refused {
    /// It names another host than this page's.
    OtherHost,
    /// It was sent from another page.
    OtherOrigin,
    /// It comes from the network, from nobody who was let in.
    Stranger,
    /// There is nothing at this address.
    NotHere,
    /// It asks for something to be done that isn't done at this address.
    OtherMethod,
    /// Its body is too large.
    TooLarge,
    /// Its body doesn't arrive.
    TooSlow,
    /// Too many are asking.
    Busy,
    /// The program has a fault.
    Broken,
}

impl Refused {
    fn status(self) -> StatusCode {
        match self {
            Self::OtherHost | Self::OtherOrigin | Self::Stranger => StatusCode::FORBIDDEN,
            Self::NotHere => StatusCode::NOT_FOUND,
            Self::OtherMethod => StatusCode::METHOD_NOT_ALLOWED,
            Self::TooLarge => StatusCode::PAYLOAD_TOO_LARGE,
            Self::TooSlow => StatusCode::REQUEST_TIMEOUT,
            Self::Busy => StatusCode::SERVICE_UNAVAILABLE,
            Self::Broken => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::OtherHost => (
                "This page isn't served under that name.",
                "Use the address that the program printed.",
            ),
            Self::OtherOrigin => (
                "This was sent from another page.",
                "Open this page itself, by the address that the program printed.",
            ),
            Self::Stranger => (
                "This phone isn't let in.",
                "Scan the code that the page shows under \"Phones\" on the machine that serves it: each lets one phone in, within five minutes.",
            ),
            Self::NotHere => ("There is nothing at this address.", "Start at the first page."),
            Self::OtherMethod => ("That can't be done at this address.", "Start at the first page."),
            Self::TooLarge => (
                "This is too much.",
                "A joint's words have room in 64 kB, a job in 1 MiB; `girthline batch` takes larger ones.",
            ),
            Self::TooSlow => ("It didn't arrive within 10 seconds.", "Try again."),
            Self::Busy => ("Too many are asking at once.", "Try again in a second."),
            Self::Broken => (
                "The program has a fault, and this joint was not made.",
                "What you typed is still in the address. Try other figures; the command line can say more.",
            ),
        }
    }
}

impl IntoResponse for Refused {
    fn into_response(self) -> Response {
        let (what, help) = self.words();
        let mut response = (self.status(), screen::plain(what, help)).into_response();
        if self == Self::Busy {
            response
                .headers_mut()
                .insert(header::RETRY_AFTER, HeaderValue::from_static("1"));
        }
        response
    }
}

/// The names that the page may be called by, and whom it lets in.
#[derive(Clone)]
pub(super) struct Door {
    hosts: Vec<String>,
    /// On the network: the name of the cookie, and who has one.
    guests: Option<(String, Phones)>,
}

impl Door {
    /// This machine itself.
    pub(super) fn here(port: u16) -> Self {
        let mut hosts: Vec<String> = ["127.0.0.1", "localhost"]
            .iter()
            .map(|host| format!("{host}:{port}"))
            .collect();
        if port == 80 {
            hosts.extend(["127.0.0.1", "localhost"].map(str::to_owned));
        }
        Self { hosts, guests: None }
    }

    /// The network, by one address alone, such as `192.168.1.5:17153`.
    pub(super) fn network(host: String, port: u16, phones: Phones) -> Self {
        let bare = host.strip_suffix(":80").map(str::to_owned);
        Self {
            hosts: [host].into_iter().chain(bare).collect(),
            guests: Some((cookie_name(port), phones)),
        }
    }

    fn require(&self, request: &Request) -> Result<(), Refused> {
        let headers = request.headers();
        let only = |name: HeaderName| {
            let mut all = headers.get_all(name).iter();
            let first = all.next().and_then(|value| value.to_str().ok());
            first.filter(|_| all.next().is_none())
        };
        let host = only(header::HOST).filter(|host| self.hosts.iter().any(|known| known.eq_ignore_ascii_case(host)));
        let host = host.ok_or(Refused::OtherHost)?;
        let changes_nothing = [Method::GET, Method::HEAD].contains(request.method());
        let is_from_here = || only(header::ORIGIN).is_some_and(|origin| origin == format!("http://{host}"));
        if !changes_nothing && !is_from_here() {
            return Err(Refused::OtherOrigin);
        }
        match &self.guests {
            Some((name, phones)) if request.uri().path() != WAY_IN => is_guest(name, phones, headers),
            _ => Ok(()),
        }
    }
}

fn is_guest(name: &str, phones: &Phones, headers: &HeaderMap) -> Result<(), Refused> {
    let sent = headers.get_all(header::COOKIE).iter();
    let mut cookies = sent
        .filter_map(|value| value.to_str().ok())
        .flat_map(|value| value.split(';'));
    let is_known = cookies.any(|cookie| {
        let own = cookie.trim().split_once('=').filter(|(known, _)| *known == name);
        own.is_some_and(|(_, secret)| phones.knows(secret))
    });
    is_known.then_some(()).ok_or(Refused::Stranger)
}

/// Holds every request against the door, has its body whole before it goes on, and dresses the answer.
pub(super) async fn guard(State(door): State<Door>, request: Request, next: Next) -> Response {
    let response = match admitted(&door, request).await {
        Ok(request) => next.run(request).await,
        Err(refused) => refused.into_response(),
    };
    dressed(response)
}

async fn admitted(door: &Door, request: Request) -> Result<Request, Refused> {
    door.require(&request)?;
    let (head, body) = request.into_parts();
    let largest = if head.uri.path().starts_with("/job/") {
        LARGEST_JOB
    } else {
        LARGEST_BODY
    };
    let whole = tokio::time::timeout(BODY_TIME, Limited::new(body, largest).collect());
    let body: Bytes = match whole.await {
        Ok(Ok(body)) => body.to_bytes(),
        Ok(Err(_)) => return Err(Refused::TooLarge),
        Err(_) => return Err(Refused::TooSlow),
    };
    Ok(Request::from_parts(head, Body::from(body)))
}

fn dressed(mut response: Response) -> Response {
    let says = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::CACHE_CONTROL, "no-store"),
        // With no-referrer the Origin of a form would be null.
        (header::REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    ];
    for (name, value) in says {
        response.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    response
}
