//! Whatever is asked of the page, it answers, and with no fault of its own: random words in every gap, random addresses and
//! headers, over real HTTP. `FUZZ_CASES=100000 cargo test --test page_fuzz` tries longer.

mod served;
mod spoiled;

use std::io::{Read, Write};
use std::time::{Duration, Instant};

use bolero::check;
use served::Page;
use spoiled::{Choices, words};

/// A request that takes longer hangs; the machine may be busy.
const LONGEST: Duration = Duration::from_secs(10);
/// More memory than this is too much, in kilobytes.
const MOST_KB: u64 = 500_000;

const GAPS: [&str; 30] = [
    "branch",
    "header",
    "angle",
    "offset",
    "join",
    "touch",
    "clearance",
    "turned",
    "tube",
    "turn",
    "pieces",
    "radius",
    "scribe",
    "saw",
    "saw-front",
    "saw-back",
    "saw-limit",
    "gap",
    "round",
    "paper",
    "units",
    "stations",
    "seam",
    "eye",
    "gaps",
    "front",
    "back-left",
    "right",
    "read-within",
    "root-gap",
];
const PATHS: [&str; 15] = [
    "/saddle/answer",
    "/miter/answer",
    "/facets/answer",
    "/saddle",
    "/saddle/picture",
    "/facets/picture",
    "/saddle/pdf",
    "/saddle/report",
    "/miter/dxf",
    "/facets/svg",
    "/ruler/pdf",
    "/ruler",
    "/trial",
    "/trial/answer",
    "/trial/pdf",
];
/// What makes a joint, so that not all are refused by their first word.
const JOINTS: [&str; 4] = [
    "branch=48.3mm+x+2mm&header=300mm",
    "tube=48.3mm+x+2mm&turn=45",
    "branch=fence+1-7/8+x+0.065in&header=fence+1-7/8",
    "branch=48.3mm+x+2mm&header=88.9mm&angle=60&front=0&right=1.2&back=2.6&left=1.1",
];

fn cases(usual: usize) -> usize {
    let asked = std::env::var("FUZZ_CASES").ok();
    asked.and_then(|count| count.parse().ok()).unwrap_or(usual)
}

/// What comes back for a request, to its end. Who `ends` it wants nothing more: to the server that is a browser that went away.
fn answer(page: &Page, request: &[u8], ends: bool) -> Vec<u8> {
    let begin = Instant::now();
    let mut stream = page.connect();
    // A request that is refused at once may be closed while it is still sent.
    let _ = stream.write_all(request);
    if ends {
        let _ = stream.shutdown(std::net::Shutdown::Write);
    }
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    let shown = String::from_utf8_lossy(request);
    assert!(begin.elapsed() < LONGEST, "it hangs: {shown:?}");
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(200)]).into_owned();
    assert!(!head.starts_with("HTTP/1.1 5"), "{shown:?}: {head}");
    bytes
}

/// The most that the program has had, where the system tells.
fn most_memory_kb(page: &Page) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{}/status", page.id())).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse().ok())
        .unwrap_or(0)
}

#[test]
fn words_in_any_gap_are_answered() {
    let page = Page::shared();
    check!()
        .with_iterations(cases(300))
        .with_max_len(200)
        .for_each(|bytes: &[u8]| {
            let mut choices = Choices::new(bytes);
            let path = PATHS[choices.below(PATHS.len())];
            let mut query = JOINTS[choices.below(JOINTS.len())].to_owned();
            for _ in 0..choices.below(4) {
                let gap = GAPS[choices.below(GAPS.len())];
                let typed: String = form_urlencoded::byte_serialize(words(&mut choices).as_bytes()).collect();
                // The first of two counts: sometimes the joint's own word, sometimes the spoilt one.
                query = format!("{gap}={typed}&{query}");
            }
            let port = page.port;
            let request = format!("GET {path}?{query} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n");
            let told = answer(&page, request.as_bytes(), false);
            assert!(told.starts_with(b"HTTP/1.1 "), "{request:?}: no answer");
            let kb = most_memory_kb(&page);
            assert!(kb <= MOST_KB, "it takes {kb} kB: {request:?}");
        });
}

#[test]
fn bytes_of_any_kind_are_refused_and_the_page_lives_on() {
    let page = Page::shared();
    check!()
        .with_iterations(cases(1_000))
        .with_max_len(600)
        .for_each(|bytes: &[u8]| {
            let mut choices = Choices::new(bytes);
            let host = format!("Host: 127.0.0.1:{}\r\n", page.port);
            let rest = String::from_utf8_lossy(bytes).into_owned();
            let request = match choices.below(5) {
                0 => bytes.to_vec(),
                1 => format!("GET /{rest} HTTP/1.1\r\n{host}Connection: close\r\n\r\n").into_bytes(),
                2 => format!("GET /saddle HTTP/1.1\r\n{host}{rest}\r\n\r\n").into_bytes(),
                3 => format!("{rest} /saddle HTTP/1.1\r\n{host}\r\n").into_bytes(),
                _ => format!(
                    "POST /saddle HTTP/1.1\r\n{host}Content-Length: {}\r\n\r\n{rest}",
                    rest.len()
                )
                .into_bytes(),
            };
            answer(&page, &request, true);
        });
    assert_eq!(page.get("/").status, 200);
}
