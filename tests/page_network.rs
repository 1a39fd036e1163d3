//! Phones: who is let in from the network, over real HTTP. The network is this machine's loopback interface, by name of its
//! address, on a port of its own.

mod served;

use std::io::Write;
use std::net::TcpStream;
use std::process::Command;

use served::{Answer, Page};

/// The page, and its address on the network with the token that was printed.
fn open() -> (Page, Door) {
    let mut page = Page::with(&["--port", "0", "--on-network", "127.0.0.1"]);
    let line = page.next_line();
    let address = line
        .trim()
        .strip_prefix("for one phone, within five minutes: http://127.0.0.1:");
    let (port, token) = address
        .and_then(|address| address.split_once("/phone?token="))
        .expect("an address with a token");
    assert!(page.next_line().contains("The network isn't encrypted"));
    let door = Door {
        port: port.parse().expect("a port"),
        token: token.to_owned(),
    };
    assert_ne!(door.port, page.port);
    (page, door)
}

struct Door {
    port: u16,
    token: String,
}

impl Door {
    fn send(&self, request: &str) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream.write_all(request.as_bytes()).expect("it is sent");
        Answer::read(&mut stream)
    }

    fn get(&self, path: &str, cookie: &str) -> Answer {
        self.send(&format!(
            "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n",
            self.port
        ))
    }

    fn post(&self, path: &str, form: &str, origin: &str) -> Answer {
        self.send(&format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nOrigin: {origin}\r\nUser-Agent: x Mobile x\r\nConnection: close\r\nContent-Length: {}\r\n\r\n{form}",
            self.port,
            form.len()
        ))
    }

    fn origin(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// Trades a token for a cookie.
    fn come_in(&self, token: &str) -> Answer {
        self.post("/phone", &format!("token={token}"), &self.origin())
    }
}

/// `name=secret` of the cookie that an answer sets.
fn cookie(answer: &Answer) -> String {
    let set = answer.header("set-cookie").expect("a cookie");
    set.split(';').next().expect("its name and value").to_owned()
}

/// The token that the page on this machine shows now.
fn shown(page: &Page) -> Option<String> {
    let text = page.get("/phones").text();
    let (_, after) = text.split_once("/phone?token=")?;
    Some(after.chars().take_while(char::is_ascii_hexdigit).collect())
}

#[test]
fn nobody_is_let_in_without_a_token() {
    let (_page, door) = open();
    let guess = "0".repeat(32);
    let forged = format!("girthline-{}={guess}", door.port);
    for path in [
        "/",
        "/saddle",
        "/saddle/answer",
        "/assets/page.css",
        "/phones",
        "/nothing",
        "/phone",
        "/phone/",
        "//phone",
    ] {
        for cookie in ["", "girthline=", forged.as_str()] {
            assert_eq!(door.get(path, cookie).status, 403, "{path} {cookie}");
        }
    }
    assert_eq!(door.get(&format!("/phone?token={guess}"), "").status, 403);
    assert_eq!(door.come_in(&guess).status, 403);
    assert_eq!(door.come_in("").status, 403);
}

#[test]
fn a_token_is_traded_once_for_a_cookie_and_a_clean_address() {
    let (page, door) = open();
    assert!(door.token.len() == 32 && door.token.bytes().all(|byte| byte.is_ascii_hexdigit()));
    // Looking at it, as something that previews addresses does, uses nothing up.
    for _ in 0..3 {
        let looked = door.get(&format!("/phone?token={}", door.token), "");
        assert_eq!(looked.status, 200);
        assert!(looked.header("set-cookie").is_none() && looked.text().contains("isn't encrypted"));
    }
    let traded = door.come_in(&door.token);
    assert_eq!((traded.status, traded.header("location")), (303, Some("/")));
    let set = traded.header("set-cookie").expect("a cookie").to_owned();
    assert!(set.contains("; HttpOnly") && set.contains("; SameSite=Strict"), "{set}");
    assert!(!set.contains(&door.token), "the token is no secret any more");
    let own = cookie(&traded);
    assert_eq!(door.get("/", &own).status, 200);
    let other_first = format!("a=b; {own}");
    let joint = door.get("/saddle/answer?branch=48.3mm+x+2mm&header=300mm", &other_first);
    assert!(joint.json()["title"].is_string());
    // Used up, for everyone.
    assert_eq!(door.come_in(&door.token).status, 403);
    assert_eq!(door.get(&format!("/phone?token={}", door.token), "").status, 403);
    assert_eq!(shown(&page), None);
}

#[test]
fn a_phone_is_shown_and_can_be_sent_off() {
    let (page, door) = open();
    assert!(page.get("/").text().contains("href=\"/phones\""));
    assert!(page.get("/phones").text().contains("No phone is connected."));
    assert!(page.get("/phones").text().contains("The network isn't encrypted"));
    assert_eq!(shown(&page), Some(door.token.clone()));
    let first = cookie(&door.come_in(&door.token));
    assert_eq!(page.post("/phones/invite", "").status, 303);
    let second = cookie(&door.come_in(&shown(&page).expect("a new token")));
    let text = page.get("/phones").text();
    assert_eq!(text.matches("a phone at 127.0.0.1").count(), 2, "{text}");
    assert_eq!(page.post("/phones/send-off", "number=1").status, 303);
    assert_eq!(door.get("/", &first).status, 403);
    assert_eq!(door.get("/", &second).status, 200);
    // A phone neither invites others nor sends them off.
    for path in ["/phones", "/phones/invite", "/phones/send-off"] {
        assert_eq!(door.get(path, &second).status, 404, "{path}");
    }
}

#[test]
fn each_address_has_its_own_name_and_nothing_is_changed_from_elsewhere() {
    let (page, door) = open();
    for (port, host) in [(door.port, page.port), (page.port, door.port)] {
        let mut stream = TcpStream::connect(("127.0.0.1", port)).expect("it listens");
        let request = format!("GET / HTTP/1.1\r\nHost: 127.0.0.1:{host}\r\nConnection: close\r\n\r\n");
        stream.write_all(request.as_bytes()).expect("it is sent");
        assert_eq!(Answer::read(&mut stream).status, 403, "{port} called {host}");
    }
    // The network's door has its address alone.
    let named = format!(
        "GET /phone?token={} HTTP/1.1\r\nHost: localhost:{}\r\nConnection: close\r\n\r\n",
        door.token, door.port
    );
    assert_eq!(door.send(&named).status, 403);
    for origin in [
        "null",
        "http://example.test",
        &format!("http://127.0.0.1:{}", page.port),
    ] {
        let traded = door.post("/phone", &format!("token={}", door.token), origin);
        assert_eq!(traded.status, 403, "{origin}");
    }
    let invite = format!(
        "POST /phones/invite HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nOrigin: {}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n",
        page.port,
        door.origin()
    );
    assert_eq!(page.send(&invite).status, 403);
    assert_eq!(
        shown(&page),
        Some(door.token.clone()),
        "nothing was used up or made anew"
    );
    assert_eq!(door.come_in(&door.token).status, 303);
}

#[test]
fn without_a_network_there_are_no_phones() {
    let page = Page::open();
    assert!(!page.get("/").text().contains("/phones"));
    assert_eq!(page.get("/phones").status, 404);
}

#[test]
fn a_network_that_is_not_there_is_a_clear_error() {
    for address in ["0.0.0.0", "192.0.2.7", "no-such-interface"] {
        let told = Command::new(env!("CARGO_BIN_EXE_girthline"))
            .args(["page", "--no-browser", "--port", "0", "--on-network", address])
            .output()
            .expect("it runs");
        let said = String::from_utf8_lossy(&told.stderr).into_owned();
        assert_eq!(told.status.code(), Some(1), "{said}");
        assert!(
            said.contains(address) && said.contains("--on-network") && said.contains("127.0.0.1"),
            "{said}"
        );
    }
}
