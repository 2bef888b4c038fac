//! Clients: connections kept open that ask for one page after the other.

use std::{
    io::{BufRead, BufReader, Read, Write},
    net::{SocketAddr, TcpStream},
    sync::atomic::{AtomicBool, AtomicUsize, Ordering},
    time::{Duration, Instant},
};

pub const CLIENTS: usize = 16;

/// What was answered while all clients asked.
#[derive(Debug, Clone, Copy)]
pub struct Answered {
    pub pages: usize,
    pub bytes: usize,
    pub seconds: f64,
}

impl Answered {
    pub fn rate(self) -> f64 {
        self.pages as f64 / self.seconds
    }

    pub fn length(self) -> usize {
        self.bytes / self.pages.max(1)
    }
}

/// All clients ask for some time; `path` gives the n-th address asked for.
pub fn ask_all(
    address: SocketAddr,
    cookie: &str,
    seconds: f64,
    path: &(dyn Fn(usize) -> String + Sync),
) -> Answered {
    let (next, pages, bytes) = (AtomicUsize::new(0), AtomicUsize::new(0), AtomicUsize::new(0));
    let stop = AtomicBool::new(false);
    let begun = Instant::now();
    std::thread::scope(|scope| {
        for _ in 0..CLIENTS {
            scope.spawn(|| {
                let mut client = Client::new(address);
                while !stop.load(Ordering::Relaxed) {
                    let path = path(next.fetch_add(1, Ordering::Relaxed));
                    let (status, length) = client.ask(&path, cookie);
                    assert_eq!(status, 200, "{path}");
                    pages.fetch_add(1, Ordering::Relaxed);
                    bytes.fetch_add(length, Ordering::Relaxed);
                }
            });
        }
        std::thread::sleep(Duration::from_secs_f64(seconds));
        stop.store(true, Ordering::Relaxed);
    });
    let seconds = begun.elapsed().as_secs_f64();
    Answered { pages: pages.into_inner(), bytes: bytes.into_inner(), seconds }
}

/// One connection kept open.
pub struct Client {
    stream: BufReader<TcpStream>,
}

impl Client {
    pub fn new(address: SocketAddr) -> Self {
        let stream = TcpStream::connect(address).unwrap();
        stream.set_nodelay(true).unwrap();
        Self { stream: BufReader::new(stream) }
    }

    /// Status and length of an answer.
    pub fn ask(&mut self, path: &str, cookie: &str) -> (u16, usize) {
        let (status, length, _) = self.ask_again(path, cookie);
        (status, length)
    }

    /// As [`Self::ask`], and whether the page is to be asked for again because it is still being worked on.
    pub fn ask_again(&mut self, path: &str, cookie: &str) -> (u16, usize, bool) {
        let request = format!("GET {path} HTTP/1.1\r\nhost: localhost\r\ncookie: {cookie}\r\n\r\n");
        self.stream.get_mut().write_all(request.as_bytes()).unwrap();
        let (status, length, again) = self.head();
        std::io::copy(&mut self.stream.by_ref().take(length as u64), &mut std::io::sink()).unwrap();
        (status, length, again)
    }

    fn head(&mut self) -> (u16, usize, bool) {
        let (mut status, mut length, mut again, mut line) = (0, None, false, String::new());
        loop {
            line.clear();
            self.stream.read_line(&mut line).unwrap();
            let text = line.trim();
            if text.is_empty() {
                // Every page is answered with its length; anything else is not what is measured here.
                return (status, length.unwrap(), again);
            }
            if let Some(rest) = text.strip_prefix("HTTP/1.1 ") {
                status = rest.split(' ').next().unwrap().parse().unwrap();
            }
            again |= text.to_ascii_lowercase().starts_with("refresh:");
            if let Some((name, value)) = text.split_once(": ")
                && name.eq_ignore_ascii_case("content-length")
            {
                length = Some(value.parse().unwrap());
            }
        }
    }
}
