//! `/phones`, on this machine alone: how a phone comes in, which ones are in. `/phone`: where a phone comes in.

use std::time::Duration;

use maud::{Markup, html};

use super::frame;
use crate::page::code;
use crate::page::phones::{Phone, Phones};

/// The code to scan and the phones that are in; `door` is the network's address, such as `http://192.168.1.5:17153`.
pub(in crate::page) fn phones(door: &str, phones: &Phones) -> Markup {
    let main = html! {
        h1 { "Phones" }
        p { "A phone on the same network as this machine can use this page." }
        p {
            strong { "The network isn't encrypted here: " }
            "whoever is on it can read what goes to and fro. Use a network whose people you know."
        }
        @match phones.invitation() {
            Some((token, left)) => (invitation(&format!("{door}/phone?token={}", token.text()), left)),
            None => p { "The code was used, or its five minutes are over. Make a new one for the next phone." }
        }
        form action="/phones/invite" method="post" {
            button type="submit" { "A new code" }
        }
        h2 { "Connected" }
        (connected(&phones.all()))
    };
    frame("Phones", "/phones", None, &main)
}

fn invitation(address: &str, left: Duration) -> Markup {
    html! {
        p { "Scan this with the phone's camera. It lets one phone in, within " (minutes(left)) "." }
        @if let Some((path, side)) = code::as_path(address) {
            svg class="code" viewBox={ "0 0 " (side) " " (side) } role="img" aria-label="The code to scan: the address below" {
                rect width=(side) height=(side) fill="white" {}
                path d=(path) fill="black" {}
            }
        }
        p { "Or type this address there:" }
        code tabindex="0" { (address) }
    }
}

fn connected(phones: &[Phone]) -> Markup {
    html! {
        @if phones.is_empty() {
            p { "No phone is connected." }
        } @else {
            ul class="phones" {
                @for phone in phones {
                    li {
                        span {
                            (phone.kind) " at " (phone.address)
                            ", came " (minutes(phone.came.elapsed())) " ago, asked last " (minutes(phone.seen.elapsed())) " ago"
                        }
                        form action="/phones/send-off" method="post" {
                            input type="hidden" name="number" value=(phone.number);
                            button type="submit" { "Send it off" }
                        }
                    }
                }
            }
        }
    }
}

/// `40 seconds`, `3 minutes`.
fn minutes(time: Duration) -> String {
    match time.as_secs() {
        1 => "1 second".to_owned(),
        seconds @ 0..=89 => format!("{seconds} seconds"),
        seconds => format!("{} minutes", (seconds + 30) / 60),
    }
}

/// What a phone sees that brings a token: one button, so that looking at the address uses nothing up.
pub(in crate::page) fn come_in(token: &str) -> Markup {
    let main = html! {
        h1 { "Use girthline on this phone" }
        p {
            "The page is served by the machine that showed the code. "
            strong { "The network isn't encrypted: " }
            "whoever is on it can read what you type here."
        }
        form action="/phone" method="post" {
            input type="hidden" name="token" value=(token);
            button type="submit" { "Use it on this phone" }
        }
    };
    frame("Use it on this phone", "/phone", None, &main)
}
