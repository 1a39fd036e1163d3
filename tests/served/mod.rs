//! The program as it serves its page, asked over real HTTP with nothing but a socket.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::time::Duration;

use serde_json::Value;

/// The program, serving until it is dropped.
pub struct Page {
    child: Child,
    pub port: u16,
    /// What it printed first.
    pub line: String,
    out: BufReader<ChildStdout>,
}

impl Page {
    /// On any free port, no browser opened.
    pub fn open() -> Self {
        Self::with(&["--port", "0"])
    }

    /// One for all tests that run at a time; it ends with the last of them.
    pub fn shared() -> Arc<Self> {
        static SHARED: Mutex<Weak<Page>> = Mutex::new(Weak::new());
        let mut shared = SHARED.lock().unwrap_or_else(PoisonError::into_inner);
        shared.upgrade().unwrap_or_else(|| {
            let page = Arc::new(Self::open());
            *shared = Arc::downgrade(&page);
            page
        })
    }

    pub fn with(flags: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_girthline"))
            .args(["page", "--no-browser"])
            .args(flags)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        let mut out = BufReader::new(child.stdout.take().expect("its standard output"));
        out.read_line(&mut line).expect("it prints its address");
        let address = line.trim().strip_prefix("girthline page: http://127.0.0.1:");
        let port = address
            .and_then(|address| address.strip_suffix('/'))
            .expect("an address");
        Self {
            port: port.parse().expect("a port"),
            child,
            line,
            out,
        }
    }

    /// The next line that it prints.
    pub fn next_line(&mut self) -> String {
        let mut line = String::new();
        self.out.read_line(&mut line).expect("it prints another line");
        line
    }

    /// The answer to a GET.
    pub fn get(&self, path: &str) -> Answer {
        self.send(&format!(
            "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
            self.port
        ))
    }

    /// The answer to a POST from the page itself.
    pub fn post(&self, path: &str, body: impl AsRef<[u8]>) -> Answer {
        let body = body.as_ref();
        let mut stream = self.connect();
        let (port, length) = (self.port, body.len());
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n"
        );
        stream.write_all(head.as_bytes()).expect("it is sent");
        // What is refused by its head may close before all of it is sent.
        let _ = stream.write_all(body);
        Answer::read(&mut stream)
    }

    /// The answer to a request as it is.
    pub fn send(&self, request: &str) -> Answer {
        let mut stream = self.connect();
        stream.write_all(request.as_bytes()).expect("it is sent");
        Answer::read(&mut stream)
    }

    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        let time = Some(Duration::from_secs(60));
        stream.set_read_timeout(time).expect("a time to wait");
        stream
    }

    pub fn id(&self) -> u32 {
        self.child.id()
    }

    /// Waits for the program to end by itself.
    pub fn ended(&mut self, within: Duration) -> bool {
        let until = std::time::Instant::now() + within;
        while std::time::Instant::now() < until {
            if self.child.try_wait().expect("it can be asked").is_some() {
                return true;
            }
            std::thread::sleep(Duration::from_millis(10));
        }
        false
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Status, headers and body.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Answer {
    /// All that comes until the other side closes.
    pub fn read(stream: &mut TcpStream) -> Self {
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n");
        let end = end.unwrap_or_else(|| panic!("no answer: {:?}", String::from_utf8_lossy(&bytes)));
        let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok());
        Self {
            status: status.expect("a status"),
            head,
            body: bytes[end + 4..].to_vec(),
        }
    }

    pub fn header(&self, name: &str) -> Option<&str> {
        let lines = self.head.lines().skip(1).filter_map(|line| line.split_once(": "));
        let mut found = lines.filter(|(known, _)| known.eq_ignore_ascii_case(name));
        found.next().map(|(_, value)| value)
    }

    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|error| panic!("{error}: {}", self.text()))
    }
}
