//! What the page refuses, over real HTTP.

mod served;

use std::io::{Read, Write};
use std::process::Command;
use std::time::{Duration, Instant};

use served::{Answer, Page};

fn request(page: &Page, method: &str, more: &str) -> Answer {
    page.send(&format!("{method} /saddle HTTP/1.1\r\nConnection: close\r\n{more}\r\n"))
}

#[test]
fn only_its_own_names_are_answered() {
    let page = Page::open();
    let port = page.port;
    for host in [
        format!("127.0.0.1:{port}"),
        format!("localhost:{port}"),
        format!("LOCALHOST:{port}"),
    ] {
        assert_eq!(
            request(&page, "GET", &format!("Host: {host}\r\n")).status,
            200,
            "{host}"
        );
    }
    for host in [
        "Host: example.test\r\n".to_owned(),
        format!("Host: example.test:{port}\r\n"),
        format!("Host: 127.0.0.1.example.test:{port}\r\n"),
        "Host: 127.0.0.1\r\n".to_owned(),
        format!("Host: 127.0.0.1:{}\r\n", port ^ 1),
        format!("Host: 127.0.0.1:{port}\r\nHost: example.test\r\n"),
        String::new(),
    ] {
        let status = request(&page, "GET", &host).status;
        assert!([400, 403].contains(&status), "{host}: {status}");
    }
    // The host of an absolute address is not a way round it.
    let answer = page.send(&format!(
        "GET http://127.0.0.1:{port}/saddle HTTP/1.1\r\nHost: example.test\r\nConnection: close\r\n\r\n"
    ));
    assert_eq!(answer.status, 403);
}

#[test]
fn what_is_not_a_get_must_come_from_the_page_itself() {
    let page = Page::open();
    let host = format!("Host: 127.0.0.1:{}\r\nContent-Length: 0\r\n", page.port);
    for origin in [
        "",
        "Origin: null\r\n",
        "Origin: http://example.test\r\n",
        "Origin: http://127.0.0.1\r\n",
    ] {
        assert_eq!(
            request(&page, "POST", &format!("{host}{origin}")).status,
            403,
            "{origin}"
        );
    }
    let own = format!("Origin: http://127.0.0.1:{}\r\n", page.port);
    assert_eq!(request(&page, "POST", &format!("{host}{own}")).status, 405);
    assert_eq!(request(&page, "POST", &format!("{host}{own}{own}")).status, 403);
}

#[test]
fn every_answer_says_what_a_browser_may_do_with_it() {
    let page = Page::open();
    let addresses = ["/", "/saddle/answer", "/assets/page.css", "/nothing", "/saddle/pdf"];
    let refused = page.send("GET / HTTP/1.1\r\nHost: example.test\r\nConnection: close\r\n\r\n");
    for answer in addresses.map(|address| page.get(address)).into_iter().chain([refused]) {
        let policy = answer.header("content-security-policy").expect("a policy").to_owned();
        assert!(
            policy.starts_with("default-src 'none'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert_eq!(answer.header("cache-control"), Some("no-store"));
        assert_eq!(answer.header("referrer-policy"), Some("same-origin"));
        assert_eq!(answer.header("access-control-allow-origin"), None);
    }
}

#[test]
fn bodies_and_heads_that_are_too_large_are_refused() {
    let page = Page::open();
    let (port, large) = (page.port, 64 * 1024 + 1);
    let own = format!("Host: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n");
    let mut stream = page.connect();
    let head = format!("POST /saddle HTTP/1.1\r\nConnection: close\r\n{own}Content-Length: {large}\r\n\r\n");
    stream.write_all(head.as_bytes()).expect("it is sent");
    let _ = stream.write_all(&vec![b'x'; large]);
    assert_eq!(Answer::read(&mut stream).status, 413);
    let long = "x".repeat(70_000);
    let status = page.get(&format!("/saddle?branch={long}")).status;
    assert!([414, 431].contains(&status), "{status}");
}

#[test]
fn a_request_that_never_ends_is_given_up() {
    let page = Page::open();
    let begin = Instant::now();
    let mut half = page.connect();
    half.write_all(b"GET /saddle HTTP/1.1\r\nHost: 127")
        .expect("it is sent");
    let mut body = page.connect();
    let own = format!("Host: 127.0.0.1:{0}\r\nOrigin: http://127.0.0.1:{0}\r\n", page.port);
    let head = format!("POST /saddle HTTP/1.1\r\nConnection: close\r\n{own}Content-Length: 10\r\n\r\nxx");
    body.write_all(head.as_bytes()).expect("it is sent");
    let mut rest = Vec::new();
    let _ = half.read_to_end(&mut rest);
    assert_eq!(Answer::read(&mut body).status, 408);
    let took = begin.elapsed();
    assert!(
        (Duration::from_secs(8)..Duration::from_secs(20)).contains(&took),
        "{took:?}"
    );
}

#[test]
fn a_port_that_is_taken_is_a_clear_error_only_where_it_was_asked_for() {
    let page = Page::open();
    let taken = Command::new(env!("CARGO_BIN_EXE_girthline"))
        .args(["page", "--no-browser", "--port", &page.port.to_string()])
        .output()
        .expect("it runs");
    let said = String::from_utf8_lossy(&taken.stderr).into_owned();
    assert_eq!(taken.status.code(), Some(1), "{said}");
    assert!(
        said.contains("--port") && said.contains("help: give another port"),
        "{said}"
    );
    assert!(taken.stdout.is_empty());
    // Whichever of these comes first has the usual port, and the other one a free one.
    let (one, other) = (Page::with(&[]), Page::with(&[]));
    assert_ne!(one.port, other.port);
    assert!(one.get("/").status == 200 && other.get("/").status == 200);
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_it_within_two_seconds_even_with_connections_open() {
    let mut page = Page::open();
    let mut idle = page.connect();
    idle.write_all(b"GET /").expect("it is sent");
    let sent = Command::new("kill").args(["-INT", &page.id().to_string()]).status();
    assert!(sent.expect("a signal").success());
    assert!(page.ended(Duration::from_secs(2)), "it still runs");
}

/// Two hundred clients for as many seconds as LOAD_SECONDS says, or for a few.
#[test]
fn many_at_once_each_get_their_own_joint_or_are_told_to_try_again() {
    const CLIENTS: usize = 200;
    /// More memory than this is too much, in kilobytes.
    const MOST_KB: u64 = 200_000;
    let asked = std::env::var("LOAD_SECONDS").ok();
    let seconds = asked.and_then(|seconds| seconds.parse().ok()).unwrap_or(4);
    let until = Instant::now() + Duration::from_secs(seconds);
    let page = Page::open();
    let clients = (0..CLIENTS).map(|client| {
        let port = page.port;
        std::thread::spawn(move || {
            let mut served = 0;
            while served == 0 || Instant::now() < until {
                let angle = 20 + (client + 37 * served) % 71;
                if has_own_joint(port, angle) {
                    served += 1;
                } else {
                    std::thread::sleep(Duration::from_millis(100));
                }
            }
            served
        })
    });
    let clients: Vec<_> = clients.collect();
    let served = clients
        .into_iter()
        .map(|client| client.join().expect("every client is served in the end"));
    let served: usize = served.sum();
    let kb = most_memory_kb(&page);
    println!("{served} joints in {seconds} s, at most {kb} kB");
    assert!(kb <= MOST_KB, "it took {kb} kB");
}

/// The most that the program has had, where the system tells.
fn most_memory_kb(page: &Page) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{}/status", page.id())).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse().ok())
        .unwrap_or(0)
}

/// Whether it was served, and not told to try again.
fn has_own_joint(port: u16, angle: usize) -> bool {
    let mut stream = std::net::TcpStream::connect(("127.0.0.1", port)).expect("it listens");
    let joint = format!("branch=48.3mm+x+2mm&header=300mm&angle={angle}");
    let request = format!("GET /saddle/answer?{joint} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).expect("it is sent");
    let answer = Answer::read(&mut stream);
    if answer.status == 503 {
        assert_eq!(answer.header("retry-after"), Some("1"));
        return false;
    }
    assert_eq!(answer.status, 200, "{}", answer.text());
    let json = answer.json();
    let command = json["command"].as_str().unwrap_or_default().to_owned();
    assert!(command.ends_with(&format!("--angle={angle}")), "{command}");
    true
}
