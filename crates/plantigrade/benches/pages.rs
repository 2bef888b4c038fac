//! A child's page and the attention page under 16 clients at once, as ratios to a fixed page of the same
//! size answered by the same server in the same run; start to first page; and memory.
//!
//! `CHILDREN` sets how many invented children there are (100,000 where it is not set), `SECONDS` how long
//! each page is asked for (5 where it is not set).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use axum::{Router, routing::get};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    demo, routes, serve,
};
use std::{
    io::{BufRead, BufReader, Read, Write},
    net::{SocketAddr, TcpListener, TcpStream},
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicUsize, Ordering},
    },
    time::{Duration, Instant},
};

const CLIENTS: usize = 16;
/// Children of one story told at a time, so that building the clinic needs little memory.
const TOLD_AT_ONCE: usize = 5_000;

fn setting(name: &str, otherwise: usize) -> usize {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

fn main() {
    let (children, seconds) = (setting("CHILDREN", 100_000), setting("SECONDS", 5));
    let dir = tempfile::tempdir().unwrap();
    build(dir.path(), children);

    let begun = Instant::now();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = App::open(dir.path(), Clock::default(), mode).unwrap();
    let opened = begun.elapsed();
    let path = serve::demo_path(&app).unwrap();
    let app = Arc::new(app);
    let (address, pages) = start(app.clone());
    let mut first = Client::new(address);
    let cookie = first.sign_in(&path);
    let (status, _) = first.ask("/day", &cookie);
    assert_eq!(status, 200);
    println!("children              {children}");
    let (all, opened) = (begun.elapsed().as_secs_f64() * 1e3, opened.as_secs_f64() * 1e3);
    println!(
        "start to first page   {all:.0} ms, {opened:.0} ms of it opening the records (target: under 1000)"
    );
    println!("expected that day     {}", app.archive.expected(app.clock.today()).unwrap().len());
    println!("memory after start    {} MB (target: under 200)", memory_mb());

    let ids: Vec<String> = app
        .archive
        .children(Some(true), None, 0, 2_000)
        .unwrap()
        .0
        .iter()
        .map(|summary| format!("/child/{}", summary.child))
        .collect();
    compare("child's page, another each time", address, &pages, &cookie, &ids, seconds);
    compare("child's page, one child", address, &pages, &cookie, &ids[..1], seconds);
    compare("attention page", address, &pages, &cookie, &["/attention".to_owned()], seconds);
    println!("memory at the end     {} MB", memory_mb());
}

fn build(dir: &Path, children: usize) {
    let clock = Clock::default();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = serve::demo_app(dir, TOLD_AT_ONCE.min(children), 1, clock, mode).unwrap();
    let mut told = TOLD_AT_ONCE.min(children);
    while told < children {
        let some = TOLD_AT_ONCE.min(children - told);
        let seed = 1 + (told / TOLD_AT_ONCE) as u64;
        app.archive.append_many(demo::clinic(some, seed, clock.today()), &mut |_| {}).unwrap();
        told += some;
    }
}

/// The floor: a page of a length, answered by the same server.
type Fixed = Arc<AtomicUsize>;

fn start(app: Arc<App>) -> (SocketAddr, Fixed) {
    let fixed: Fixed = Arc::default();
    let length = fixed.clone();
    let answer = move || {
        let length = length.clone();
        async move { "x".repeat(length.load(Ordering::Relaxed)) }
    };
    let router = routes::router(app).merge(Router::new().route("/fixed", get(answer)));
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    listener.set_nonblocking(true).unwrap();
    let address = listener.local_addr().unwrap();
    std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
        let service = router.into_make_service_with_connect_info::<SocketAddr>();
        runtime.block_on(async { axum_server::from_tcp(listener).unwrap().serve(service).await }).unwrap();
    });
    (address, fixed)
}

fn compare(what: &str, address: SocketAddr, fixed: &Fixed, cookie: &str, paths: &[String], seconds: usize) {
    let (status, length) = Client::new(address).ask(&paths[0], cookie);
    assert_eq!(status, 200, "{}", paths[0]);
    fixed.store(length, Ordering::Relaxed);
    let floor = rate(address, cookie, &["/fixed".to_owned()], seconds);
    let pages = rate(address, cookie, paths, seconds);
    println!(
        "{what}: {length} bytes, {pages:.0} a second, fixed page {floor:.0} a second, ratio {:.2} (target: at most 5)",
        floor / pages
    );
}

/// Answers a second with all clients asking.
fn rate(address: SocketAddr, cookie: &str, paths: &[String], seconds: usize) -> f64 {
    let (done, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    let begun = Instant::now();
    std::thread::scope(|scope| {
        for number in 0..CLIENTS {
            let (done, stop) = (&done, &stop);
            scope.spawn(move || {
                let mut client = Client::new(address);
                let mut place = number * 7_919;
                while !stop.load(Ordering::Relaxed) {
                    place += 1;
                    assert_eq!(client.ask(&paths[place % paths.len()], cookie).0, 200);
                    done.fetch_add(1, Ordering::Relaxed);
                }
            });
        }
        std::thread::sleep(Duration::from_secs(seconds as u64));
        stop.store(true, Ordering::Relaxed);
    });
    done.into_inner() as f64 / begun.elapsed().as_secs_f64()
}

/// One connection kept open.
struct Client {
    stream: BufReader<TcpStream>,
}

impl Client {
    fn new(address: SocketAddr) -> Self {
        let stream = TcpStream::connect(address).unwrap();
        stream.set_nodelay(true).unwrap();
        Self { stream: BufReader::new(stream) }
    }

    /// Status and length of an answer.
    fn ask(&mut self, path: &str, cookie: &str) -> (u16, usize) {
        let (status, headers) = self.head(path, cookie);
        let of = |name: &str| {
            headers.iter().find_map(|line| line.strip_prefix(name)).map(|text| text.trim().to_owned())
        };
        let length = match of("content-length:") {
            Some(text) => {
                let length = text.parse().unwrap();
                std::io::copy(&mut self.stream.by_ref().take(length), &mut std::io::sink()).unwrap();
                length as usize
            }
            None => self.chunks(),
        };
        (status, length)
    }

    fn head(&mut self, path: &str, cookie: &str) -> (u16, Vec<String>) {
        let request = format!("GET {path} HTTP/1.1\r\nhost: localhost\r\ncookie: {cookie}\r\n\r\n");
        self.stream.get_mut().write_all(request.as_bytes()).unwrap();
        let mut lines = Vec::new();
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).unwrap();
            if line.trim().is_empty() {
                break;
            }
            lines.push(line.trim().to_lowercase());
        }
        let status = lines[0].split(' ').nth(1).unwrap().parse().unwrap();
        (status, lines)
    }

    fn chunks(&mut self) -> usize {
        let mut length = 0;
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).unwrap();
            let size = u64::from_str_radix(line.trim(), 16).unwrap();
            std::io::copy(&mut self.stream.by_ref().take(size + 2), &mut std::io::sink()).unwrap();
            length += size as usize;
            if size == 0 {
                return length;
            }
        }
    }

    fn sign_in(&mut self, path: &str) -> String {
        let (_, headers) = self.head(path, "");
        let cookie = headers.iter().find_map(|line| line.strip_prefix("set-cookie: session=")).unwrap();
        format!("session={}", cookie.split(';').next().unwrap())
    }
}

/// Memory held by this process, where the system tells it in /proc; 0 elsewhere.
fn memory_mb() -> usize {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    line.and_then(|text| text.split_whitespace().next())
        .and_then(|text| text.parse::<usize>().ok())
        .unwrap_or(0)
        / 1024
}
