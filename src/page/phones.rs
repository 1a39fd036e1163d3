//! Who is let in from the network: whoever brought the token of an invitation, until they are sent off.

use std::net::IpAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// Where phones come in.
pub(super) const WAY_IN: &str = "/phone";

/// Cookies of one machine are shared by all its ports.
pub(super) fn cookie_name(port: u16) -> String {
    format!("girthline-{port}")
}

/// An invitation that nobody used is dead after this.
const INVITED: Duration = Duration::from_secs(5 * 60);
/// More phones than this are not let in at once.
const MOST: usize = 16;
/// Of tokens and cookies, in bytes.
const SECRET: usize = 16;

/// 128 bits of the system's randomness, as 32 letters.
#[derive(Clone)]
pub(super) struct Secret(String);

impl Secret {
    fn new() -> Option<Self> {
        let mut bytes = [0; SECRET];
        getrandom::fill(&mut bytes).ok()?;
        Some(Self(bytes.iter().map(|byte| format!("{byte:02x}")).collect()))
    }

    /// To be sent to whom it is for.
    pub(super) fn text(&self) -> &str {
        &self.0
    }

    /// In the same time wherever they differ.
    fn is(&self, other: &str) -> bool {
        let differ = self.0.bytes().zip(other.bytes()).fold(0, |all, (a, b)| all | (a ^ b));
        self.0.len() == other.len() && differ == 0
    }
}

/// A phone that was let in.
#[derive(Debug, Clone)]
pub(super) struct Phone {
    /// By which it is sent off.
    pub(super) number: usize,
    pub(super) address: IpAddr,
    /// What its browser says that it is.
    pub(super) kind: &'static str,
    /// When it was let in, and when it asked last.
    pub(super) came: Instant,
    pub(super) seen: Instant,
}

#[derive(Default)]
struct Book {
    invitation: Option<(Secret, Instant)>,
    phones: Vec<(Secret, Phone)>,
    count: usize,
}

/// All of them, and the one invitation that is open.
#[derive(Clone, Default)]
pub(super) struct Phones(Arc<Mutex<Book>>);

impl Phones {
    /// A new invitation, which ends the one before; `None` where the system has no randomness to give.
    pub(super) fn invite(&self) -> Option<Secret> {
        let token = Secret::new()?;
        self.book().invitation = Some((token.clone(), Instant::now()));
        Some(token)
    }

    /// The token that still lets somebody in, and for how long.
    pub(super) fn invitation(&self) -> Option<(Secret, Duration)> {
        let book = self.book();
        let (token, since) = book.invitation.as_ref()?;
        let left = INVITED.checked_sub(since.elapsed()).filter(|left| !left.is_zero())?;
        Some((token.clone(), left))
    }

    /// Whether `token` would let somebody in. Changes nothing.
    pub(super) fn is_invited(&self, token: &str) -> bool {
        self.invitation().is_some_and(|(known, _)| known.is(token))
    }

    /// Trades the token, which is used up, for the secret of a cookie.
    pub(super) fn let_in(&self, token: &str, address: IpAddr, kind: &'static str) -> Option<Secret> {
        let mut book = self.book();
        let (_, since) = book.invitation.as_ref().filter(|(known, _)| known.is(token))?;
        let is_alive = since.elapsed() < INVITED;
        book.invitation = None;
        if !is_alive || book.phones.len() >= MOST {
            return None;
        }
        let cookie = Secret::new()?;
        book.count += 1;
        let phone = Phone {
            number: book.count,
            address,
            kind,
            came: Instant::now(),
            seen: Instant::now(),
        };
        book.phones.push((cookie.clone(), phone));
        Some(cookie)
    }

    /// Whether whoever brings this cookie is in, and that it was seen now.
    pub(super) fn knows(&self, cookie: &str) -> bool {
        let mut book = self.book();
        let found = book.phones.iter_mut().find(|(known, _)| known.is(cookie));
        found.map(|(_, phone)| phone.seen = Instant::now()).is_some()
    }

    /// The phone of that number is known no more.
    pub(super) fn send_off(&self, number: usize) {
        self.book().phones.retain(|(_, phone)| phone.number != number);
    }

    /// All that are in, the first one first.
    pub(super) fn all(&self) -> Vec<Phone> {
        self.book().phones.iter().map(|(_, phone)| phone.clone()).collect()
    }

    fn book(&self) -> MutexGuard<'_, Book> {
        // Nothing is done under the lock that could leave it half done.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use std::net::Ipv4Addr;

    use super::*;

    const HERE: IpAddr = IpAddr::V4(Ipv4Addr::LOCALHOST);

    #[test]
    fn a_token_lets_in_once_and_a_newer_one_ends_it() {
        let phones = Phones::default();
        let first = phones.invite().expect("randomness");
        let second = phones.invite().expect("randomness");
        assert_eq!(first.text().len(), 2 * SECRET);
        assert_ne!(first.text(), second.text());
        assert!(phones.let_in(first.text(), HERE, "phone").is_none());
        let cookie = phones.let_in(second.text(), HERE, "phone").expect("let in");
        assert!(phones.let_in(second.text(), HERE, "phone").is_none(), "it is used up");
        assert!(phones.knows(cookie.text()) && !phones.knows(second.text()) && !phones.knows(""));
        phones.send_off(1);
        assert!(!phones.knows(cookie.text()) && phones.all().is_empty());
    }

    #[test]
    fn a_token_is_dead_after_five_minutes() {
        let phones = Phones::default();
        let token = phones.invite().expect("randomness");
        let long_ago = |by: Duration| {
            let then = Instant::now().checked_sub(by).expect("the machine runs for so long");
            phones.book().invitation = Some((token.clone(), then));
        };
        long_ago(Duration::from_secs(299));
        assert!(phones.is_invited(token.text()));
        long_ago(Duration::from_secs(301));
        assert!(!phones.is_invited(token.text()));
        assert!(phones.let_in(token.text(), HERE, "phone").is_none());
    }

    #[test]
    fn no_more_than_a_few_are_let_in() {
        let phones = Phones::default();
        for number in 0..=MOST {
            let token = phones.invite().expect("randomness");
            let is_in = phones.let_in(token.text(), HERE, "phone").is_some();
            assert_eq!(is_in, number < MOST);
        }
    }
}
