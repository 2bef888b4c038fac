//! The server measured: this program run again as a process of its own, on records that are there already.

use axum::{extract::Query, http::header, response::IntoResponse, routing::get};
use clinic::Session;
use plantigrade::{
    app::{App, Mode},
    auth::Token,
    cli::DataArgs,
    clock::Clock,
    demo, folder_key, key_slots, reading_ahead, rewriting, routes, serve, unlock,
    web::Shared,
};
use record::{Body, ChildId, Entry, EntryId, Note, Timestamp, UserId};
use safekeeping::KeyFileSecret;
use std::{
    collections::HashMap,
    io::{BufRead, BufReader, Write},
    net::{SocketAddr, TcpListener},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicUsize, Ordering},
    },
    time::{Duration, Instant},
};

/// Names the folder of records to the process that is to serve them.
const RECORDS: &str = "PAGES_BENCH_RECORDS";
/// Set where every page is drawn for each request and none is saved.
const AFRESH: &str = "PAGES_BENCH_AFRESH";
/// Entries written a second while it serves.
const WRITES: &str = "PAGES_BENCH_WRITES";

/// What whoever asks must know.
pub struct Built {
    pub cookie: String,
    pub children: Vec<ChildId>,
}

/// How the server measured shows itself.
pub fn mode() -> Mode {
    Mode { invented: true, ..Mode::default() }
}

/// Builds the invented clinic, once, and signs somebody in.
pub fn build(dir: &Path, children: usize) -> Built {
    let clock = Clock::default();
    unlocked(dir);
    let app = if dir.join(clinic::FILE_NAME).is_file() {
        // As after a day's work: read once, so that it is the server that is measured and not the disk.
        let mut records = std::fs::File::open(dir.join(clinic::FILE_NAME)).unwrap();
        std::io::copy(&mut records, &mut std::io::sink()).unwrap();
        App::open(dir, clock, mode()).unwrap()
    } else {
        let app = serve::demo_app(dir, children, 1, clock, mode()).unwrap();
        if std::env::var_os("ENCRYPTED").is_some() {
            drop(app);
            encrypt(dir);
            App::open(dir, clock, mode()).unwrap()
        } else {
            app
        }
    };
    let (token, now) = (Token::new(), clock.now());
    let accounts = app.records.accounts().all().unwrap();
    let user = accounts.into_iter().find(|account| account.roles.has(record::Role::Lead)).unwrap().id;
    let session = Session {
        token_hash: token.hash(),
        user,
        csrf_token: Token::new().text().to_owned(),
        created_at: now,
        last_used: now,
        expires: Timestamp::from_seconds(now.seconds() + 8 * 3600),
        locked_at: None,
        place: None,
    };
    app.records.accounts().start_session(session).unwrap();
    let (summaries, _) = app.records.children(None, None, 0, children).unwrap();
    let mut children: Vec<_> = summaries.iter().map(|summary| summary.child).collect();
    // By id: the order of birth of many stories told one after the other, and no order of names or place.
    children.sort_unstable_by_key(|child| child.uuid().as_u128().reverse_bits());
    Built { cookie: format!("invented-session={}", token.text()), children }
}

/// The file with which the records of a run are unlocked, beside their folder.
fn key_file(dir: &Path) -> PathBuf {
    dir.with_extension("key")
}

/// Encrypts the records, with a key file.
fn encrypt(dir: &Path) {
    let (mut new, _) = key_slots::new_key("only for measuring").unwrap();
    let secret = KeyFileSecret::new();
    new.slots.set_key_file(&new.key, "bench", &secret).unwrap();
    std::fs::write(key_file(dir), secret.to_text().as_bytes()).unwrap();
    rewriting::rewrite(dir, &new).unwrap();
}

/// Unlocks records that an earlier run, or another process of this one, encrypted.
fn unlocked(dir: &Path) {
    if folder_key::is_encrypted(dir) {
        let data = DataArgs { data: Some(dir.to_owned()), key_file: Some(key_file(dir)), today: None };
        unlock::here(&data).unwrap();
    }
}

/// How a server is to be started.
#[derive(Debug, Clone, Copy, Default)]
pub struct Start {
    /// Whether every page is drawn when it is asked for, and none kept.
    pub afresh: bool,
    /// Entries written a second meanwhile.
    pub writes: usize,
}

/// A server in a process of its own.
pub struct Server {
    process: Child,
    pub address: SocketAddr,
    pub begun: Instant,
}

impl Server {
    pub fn start(dir: &Path, how: Start) -> Self {
        let begun = Instant::now();
        let mut command = Command::new(std::env::current_exe().unwrap());
        command.env(RECORDS, dir).env(WRITES, how.writes.to_string()).stdout(Stdio::piped());
        if how.afresh {
            command.env(AFRESH, "1");
        }
        let mut process = command.spawn().unwrap();
        let mut line = String::new();
        BufReader::new(process.stdout.take().unwrap()).read_line(&mut line).unwrap();
        Self { process, address: line.trim().parse().unwrap(), begun }
    }

    /// Memory held now and the most held so far, in MB; `None` where the system does not tell.
    pub fn memory_mb(&self) -> Option<[usize; 2]> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.process.id())).ok()?;
        let field = |name: &str| {
            let line = status.lines().find_map(|line| line.strip_prefix(name))?;
            Some(line.split_whitespace().next()?.parse::<usize>().ok()? / 1024)
        };
        Some([field("VmRSS:")?, field("VmHWM:")?])
    }

    /// Processor time used so far by the server; 0 where the system does not tell.
    pub fn cpu_seconds(&self) -> f64 {
        let text = std::fs::read_to_string(format!("/proc/{}/stat", self.process.id())).unwrap_or_default();
        // After the name, which may hold spaces: state, ten more, then time in user and in system mode.
        let fields = text.rsplit(')').next().unwrap_or_default().split_whitespace();
        let ticks: f64 = fields.skip(11).take(2).filter_map(|field| field.parse::<f64>().ok()).sum();
        ticks / 100.0
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// Serves, where this process was started for that; otherwise gives back at once.
pub fn serve_if_told() {
    let Some(dir) = std::env::var_os(RECORDS) else { return };
    let number = |name: &str| std::env::var(name).ok().and_then(|text| text.parse::<usize>().ok());
    unlocked(Path::new(&dir));
    let mut app = App::open(Path::new(&dir), Clock::default(), mode()).unwrap();
    app.saves_pages = std::env::var_os(AFRESH).is_none();
    let app = Arc::new(app);
    // As the program itself does.
    reading_ahead::start(&app);
    if let Some(writes @ 1..) = number(WRITES) {
        let app = Arc::clone(&app);
        std::thread::spawn(move || keep_writing(&app, writes));
    }
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    listener.set_nonblocking(true).unwrap();
    let address = listener.local_addr().unwrap();
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
    let fixed = vec![routes::looks("/fixed", routes::AccessNeed::SignIn, get(fixed))];
    let service = routes::router_with(app, fixed).into_make_service_with_connect_info::<SocketAddr>();
    println!("{address}");
    std::io::stdout().flush().unwrap();
    runtime.block_on(async { axum_server::from_tcp(listener).unwrap().serve(service).await }).unwrap();
    std::process::exit(0);
}

/// The floor: a page of so many bytes, made once and answered through the gate and every layer.
async fn fixed(Query(asked): Query<HashMap<String, usize>>) -> impl IntoResponse {
    static MADE: Mutex<Option<axum::body::Bytes>> = Mutex::new(None);
    let length = asked.get("bytes").copied().unwrap_or(0);
    let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
    let page = match made.take().filter(|page| page.len() == length) {
        Some(page) => page,
        None => axum::body::Bytes::from("x".repeat(length)),
    };
    *made = Some(page.clone());
    ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], page)
}

/// A note about one child after the other, each on disk before the next.
fn keep_writing(app: &Shared, a_second: usize) {
    let (summaries, _) = app.records.children(Some(true), None, 0, 5_000).unwrap();
    let written = AtomicUsize::new(0);
    let begun = Instant::now();
    loop {
        let number = written.fetch_add(1, Ordering::Relaxed);
        let due = Duration::from_secs_f64(number as f64 / a_second as f64);
        std::thread::sleep(due.saturating_sub(begun.elapsed()));
        let child = summaries[number % summaries.len()].child;
        let entry = Entry {
            id: EntryId::new(app.clock.id()),
            child,
            body: Body::from(Note { text: "Seen in passing; nothing new.".to_owned() }),
            on: app.clock.today(),
            at: app.clock.now(),
            by: UserId::new(demo::STAFF[0].1),
            site: app.site,
            follows: None,
        };
        app.records.append(vec![entry]).unwrap();
    }
}
