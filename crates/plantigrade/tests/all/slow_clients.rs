//! Clients that take their time: silent ones, slow headers, slow bodies, connections that are held for nothing, and
//! more connections than one address may have.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::Clinic;
use axum_server::{Handle, accept::DefaultAcceptor};
use plantigrade::connections::{self, ConnectionLimits};
use std::{
    io::{ErrorKind, Read, Write},
    net::{SocketAddr, TcpListener, TcpStream},
    time::{Duration, Instant},
};

/// Limits that a test can wait for.
const SHORT: ConnectionLimits = ConnectionLimits {
    first_head: Duration::from_secs(2),
    next_head: Duration::from_secs(3),
    body_grace: Duration::from_secs(2),
    body_bytes_per_second: 1024,
    body_at_most: Duration::from_secs(5),
    stalled: Duration::from_secs(2),
    per_address: 3,
    in_all: 3,
    head_bytes: 16 << 10,
    headers: 50,
};

/// A server that is ended with its guard.
struct SlowServer {
    address: SocketAddr,
    handle: Handle<SocketAddr>,
    _clinic: Clinic,
    _runtime: tokio::runtime::Runtime,
}

impl SlowServer {
    fn start(limits: ConnectionLimits) -> Self {
        let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
        let (clinic, handle) = (Clinic::new(), Handle::new());
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let address = listener.local_addr().unwrap();
        let acceptor = DefaultAcceptor::new();
        let router = plantigrade::routes::router_within(clinic.app.clone(), limits);
        let served = connections::serve(listener, acceptor, router, limits, handle.clone());
        runtime.spawn(async move { served.await.unwrap() });
        Self { address, handle, _clinic: clinic, _runtime: runtime }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(self.address).unwrap();
        stream.set_read_timeout(Some(Duration::from_millis(100))).unwrap();
        stream
    }
}

impl Drop for SlowServer {
    fn drop(&mut self) {
        self.handle.shutdown();
    }
}

/// Sends a byte every half second until the server ends the connection; after how long it did, with its answer.
fn trickle(mut stream: TcpStream, first: &[u8], each: &[u8]) -> (Duration, String) {
    let (began, mut answer) = (Instant::now(), Vec::new());
    stream.write_all(first).unwrap();
    loop {
        assert!(began.elapsed() < Duration::from_secs(20), "held for twenty seconds");
        let mut piece = [0; 4096];
        match stream.read(&mut piece) {
            Ok(0) => break,
            Ok(n) => answer.extend_from_slice(&piece[..n]),
            Err(error) if matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => {
                std::thread::sleep(Duration::from_millis(400));
                if stream.write_all(each).is_err() {
                    break;
                }
            }
            Err(_) => break,
        }
    }
    (began.elapsed(), String::from_utf8_lossy(&answer).into_owned())
}

const HEAD: &[u8] = b"GET /health HTTP/1.1\r\nHost: localhost\r\n";

#[test]
fn who_says_nothing_or_sends_headers_byte_by_byte_is_cut_off() {
    let server = SlowServer::start(SHORT);
    for (first, each) in [(&b""[..], &b""[..]), (b"G", b""), (b"PRI * HTTP/2.0\r\n", b""), (HEAD, b"x")] {
        let (after, answer) = trickle(server.connect(), first, each);
        assert!(after < Duration::from_secs(6), "{first:?}: {after:?}");
        assert!(!answer.starts_with("HTTP/1.1 200"), "{answer}");
    }
}

#[test]
fn a_connection_that_is_held_for_nothing_ends() {
    let server = SlowServer::start(SHORT);
    let (after, answer) = trickle(server.connect(), &[HEAD, b"\r\n"].concat(), b"");
    assert!(answer.starts_with("HTTP/1.1 200") && answer.ends_with("ok"), "{answer}");
    assert!(after > Duration::from_secs(2) && after < Duration::from_secs(8), "{after:?}");
}

#[test]
fn a_body_that_comes_byte_by_byte_is_answered_and_cut_off() {
    let server = SlowServer::start(SHORT);
    let head = "POST /sign-in HTTP/1.1\r\nHost: localhost\r\nsec-fetch-site: same-origin\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 100000\r\n\r\n";
    let (after, answer) = trickle(server.connect(), head.as_bytes(), b"a");
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    assert!(answer.contains("This came too slowly"), "{answer}");
    assert!(after < Duration::from_secs(8), "{after:?}");
}

#[test]
fn headers_without_end_are_refused() {
    let server = SlowServer::start(SHORT);
    let many: String = (0..60).map(|n| format!("x-{n}: 1\r\n")).collect();
    let long = format!("x-long: {}\r\n", "a".repeat(20 << 10));
    for more in [many, long] {
        let (_, answer) = trickle(server.connect(), &[HEAD, more.as_bytes(), b"\r\n"].concat(), b"");
        assert!(answer.starts_with("HTTP/1.1 431"), "{answer}");
    }
}

#[test]
fn one_address_holds_a_few_connections_and_may_open_others_once_they_end() {
    let server = SlowServer::start(SHORT);
    let ask = |stream: &mut TcpStream| {
        let mut answer = [0; 12];
        stream.set_read_timeout(Some(Duration::from_secs(2))).unwrap();
        let sent = stream.write_all(&[HEAD, b"\r\n"].concat());
        sent.and_then(|()| stream.read_exact(&mut answer)).is_ok_and(|()| &answer == b"HTTP/1.1 200")
    };
    let mut held: Vec<TcpStream> = (0..SHORT.per_address).map(|_| server.connect()).collect();
    assert!(held.iter_mut().all(ask), "as many as are allowed");
    assert!(!ask(&mut server.connect()), "one more");
    held.pop();
    std::thread::sleep(Duration::from_millis(500));
    assert!(ask(&mut server.connect()), "after one ended");
}

/// Whoever asks for much and reads nothing does not hold the connection for ever.
#[test]
fn who_reads_nothing_is_cut_off() {
    let server = SlowServer::start(ConnectionLimits { next_head: Duration::from_secs(60), ..SHORT });
    let mut stream = server.connect();
    stream.set_write_timeout(Some(Duration::from_millis(500))).unwrap();
    let ask = format!("GET {} HTTP/1.1\r\nHost: localhost\r\n\r\n", pages::assets::css_href());
    let began = Instant::now();
    // More answers than any buffer between the two holds.
    let ended = loop {
        match stream.write_all(ask.as_bytes()) {
            Ok(()) => {}
            Err(error) if matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => {}
            Err(_) => break began.elapsed(),
        }
        assert!(began.elapsed() < Duration::from_secs(20), "held for twenty seconds");
    };
    assert!(ended > Duration::from_secs(1), "{ended:?}");
}
