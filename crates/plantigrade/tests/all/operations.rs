//! What a person who looks after the computer relies on: health and figures, the log, how the program stops, and what
//! a service manager is told.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{Browser, Clinic, NAME, PASSWORD, Page, TODAY, day},
    commands::{PROGRAM, WITNESSES, opened},
};
use axum::{
    body::Body,
    extract::ConnectInfo,
    http::{Request, StatusCode, header},
};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    routes,
    settings::Settings,
};
use std::{
    net::{IpAddr, SocketAddr},
    sync::Arc,
};
use tower::ServiceExt as _;

const STRANGER: [u8; 4] = [192, 0, 2, 7];

async fn asked(clinic: &Clinic, from: impl Into<IpAddr>, path: &str, headers: &[(&str, &str)]) -> Page {
    let mut request = Request::get(path);
    request = request.header("host", "127.0.0.1");
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    let mut request = request.body(Body::empty()).unwrap();
    request.extensions_mut().insert(ConnectInfo(SocketAddr::new(from.into(), 40_000)));
    let response = clinic.router.clone().oneshot(request).await.unwrap();
    let (parts, body) = response.into_parts();
    let bytes = axum::body::to_bytes(body, usize::MAX).await.unwrap();
    let text = String::from_utf8(bytes.to_vec()).unwrap();
    Page { status: parts.status, headers: parts.headers, text, bytes: bytes.to_vec() }
}

#[tokio::test]
async fn figures_are_for_this_computer_and_the_addresses_that_the_settings_name() {
    let clinic = Clinic::new();
    for here in [IpAddr::from([127, 0, 0, 1]), "::1".parse().unwrap(), "::ffff:127.0.0.1".parse().unwrap()] {
        assert_eq!(asked(&clinic, here, "/metrics", &[]).await.status, StatusCode::OK, "{here}");
    }
    assert_eq!(asked(&clinic, STRANGER, "/metrics", &[]).await.status, StatusCode::NOT_FOUND);
    let unknown = Browser::new(clinic.router.clone()).get("/metrics").await;
    assert_eq!(
        unknown.status,
        StatusCode::NOT_FOUND,
        "an address that is not known is no reason to show them"
    );
    let named = Settings::parse("metrics_from = [\"192.0.2.7\"]").unwrap();
    assert_eq!(named.metrics_from, [IpAddr::from(STRANGER)]);
    assert!(Settings::parse("metrics_from = [\"monitor\"]").is_err(), "a name is no address");
    clinic.app.change_settings(named).unwrap();
    assert_eq!(asked(&clinic, STRANGER, "/metrics", &[]).await.status, StatusCode::OK);
    assert_eq!(asked(&clinic, [192, 0, 2, 8], "/metrics", &[]).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn behind_a_proxy_the_visitor_counts_and_not_the_proxy() {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { behind_proxy: true, secure: true, ..Mode::default() };
    let app = Arc::new(App::open(dir.path(), Clock::new(Some(day(TODAY))), mode).unwrap());
    let clinic = Clinic { router: routes::router(app.clone()), app, dir };
    let proxied = [("x-forwarded-for", "192.0.2.7"), ("x-forwarded-proto", "https")];
    assert_eq!(asked(&clinic, [127, 0, 0, 1], "/metrics", &proxied).await.status, StatusCode::NOT_FOUND);
    // Whoever writes the header in front of the proxy's own value is no nearer.
    let lied = [("x-forwarded-for", "127.0.0.1, 192.0.2.7"), ("x-forwarded-proto", "https")];
    assert_eq!(asked(&clinic, [127, 0, 0, 1], "/metrics", &lied).await.status, StatusCode::NOT_FOUND);
    assert_eq!(
        asked(&clinic, [127, 0, 0, 1], "/metrics", &[]).await.status,
        StatusCode::OK,
        "past the proxy"
    );
}

#[tokio::test]
async fn health_tells_strangers_only_that_the_program_lives() {
    let clinic = Clinic::new();
    let here: [u8; 4] = [127, 0, 0, 1];
    assert_eq!(asked(&clinic, here, "/health", &[]).await.text, "ok");
    clinic.app.records.note_damage("an entry of Amina is damaged");
    assert_eq!(asked(&clinic, here, "/health", &[]).await.text, "reading only");
    assert_eq!(asked(&clinic, STRANGER, "/health", &[]).await.text, "ok");
    let figures = asked(&clinic, here, "/metrics", &[]).await.text;
    assert!(figures.contains("\nplantigrade_saving_refused 1\n"), "{figures}");
    assert!(figures.contains("\nplantigrade_records_damaged 1\n"), "{figures}");
    assert!(!figures.contains("Amina"), "{figures}");
}

/// The text by the rules of OpenMetrics 1.0: every sample belongs to the family in front of it, a family stands once,
/// a counter ends in `_total`, buckets rise, and the last line is `# EOF`.
fn samples(text: &str) -> Vec<(String, f64)> {
    let body = text.strip_suffix("# EOF\n").expect("the text ends with # EOF");
    let mut found: Vec<(String, f64)> = Vec::new();
    let mut families: Vec<(String, String)> = Vec::new();
    let mut last_bucket = 0.0;
    for line in body.lines() {
        if let Some(rest) = line.strip_prefix("# TYPE ") {
            let (name, kind) = rest.split_once(' ').unwrap();
            assert!(families.iter().all(|(known, _)| known != name), "{name} stands twice");
            families.push((name.to_owned(), kind.to_owned()));
            continue;
        }
        let (family, kind) = families.last().expect("a sample before its family");
        if let Some(rest) = line.strip_prefix("# HELP ") {
            assert!(rest.starts_with(&format!("{family} ")), "{line}");
            continue;
        }
        let (name, value) = line.rsplit_once(' ').unwrap_or_else(|| panic!("{line}"));
        let bare = name.split('{').next().unwrap();
        let endings: &[&str] = match kind.as_str() {
            "counter" => &["_total"],
            "histogram" => &["_bucket", "_count", "_sum"],
            "info" => &["_info"],
            "gauge" => &[""],
            other => panic!("{other}"),
        };
        assert!(endings.iter().any(|ending| format!("{family}{ending}") == bare), "{line} in {family}");
        let value: f64 = value.parse().unwrap_or_else(|_| panic!("{line}"));
        if name.contains("le=\"0.005\"") {
            last_bucket = 0.0;
        }
        if bare.ends_with("_bucket") {
            assert!(value >= last_bucket, "{line}");
            last_bucket = value;
        }
        found.push((name.to_owned(), value));
    }
    found
}

#[tokio::test]
async fn figures_count_requests_and_writes_and_nothing_about_children() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let here: [u8; 4] = [127, 0, 0, 1];
    let before = samples(&asked(&clinic, here, "/metrics", &[]).await.text);
    for number in 0..3 {
        let number = format!("CF-77{number}");
        clinic.child(&mut browser, &[("family_name", "Quist"), ("number", &number), ("sure", "yes")]).await;
    }
    assert_eq!(browser.get("/nowhere").await.status, StatusCode::NOT_FOUND);
    let page = asked(&clinic, here, "/metrics", &[]).await;
    assert_eq!(
        page.headers[header::CONTENT_TYPE],
        "application/openmetrics-text; version=1.0.0; charset=utf-8"
    );
    let after = samples(&page.text);
    let rose = |name: &str| {
        let of = |all: &[(String, f64)]| {
            all.iter().find(|(own, _)| own == name).unwrap_or_else(|| panic!("{name}")).1
        };
        of(&after) - of(&before)
    };
    assert!(rose("plantigrade_requests_total{class=\"form\",status=\"3xx\"}") >= 3.0);
    assert!(rose("plantigrade_requests_total{class=\"page\",status=\"2xx\"}") >= 3.0);
    assert!(rose("plantigrade_requests_total{class=\"unknown\",status=\"4xx\"}") >= 1.0);
    assert!(rose("plantigrade_writes_total") >= 3.0 && rose("plantigrade_commits_total") >= 1.0);
    for word in ["child", "Quist", "CF-77", "account", "{id}", "entries"] {
        assert!(!page.text.contains(word), "{word}: {}", page.text);
    }
    if let Some(file) = std::env::var_os("PLANTIGRADE_KEEP_METRICS") {
        std::fs::write(file, &page.text).unwrap();
    }
}

/// What is in force while the program runs.
#[cfg(unix)]
mod running {
    use super::*;
    use clinic::ClinicRecords;
    use std::{
        io::{BufRead as _, BufReader, ErrorKind, Read as _, Write as _},
        net::TcpStream,
        os::unix::net::UnixDatagram,
        path::Path,
        process::{Child, Command, ExitStatus, Stdio},
        time::{Duration, Instant},
    };

    /// A clinic with somebody signed in, closed again: its folder, and the cookie and token of the session.
    struct Closed {
        dir: tempfile::TempDir,
        cookie: String,
        csrf: String,
    }

    fn closed() -> Closed {
        let dir = tempfile::tempdir().unwrap();
        let app = Arc::new(App::open(dir.path(), Clock::new(None), Mode::default()).unwrap());
        let clinic = Clinic { router: routes::router(app.clone()), app: app.clone(), dir };
        let user = clinic.account(NAME, PASSWORD);
        let now = app.clock.now();
        let token = app.sessions.begin(user, now).unwrap();
        let csrf = app.sessions.who(&token, now).unwrap().unwrap().csrf.clone();
        Closed { dir: clinic.dir, cookie: format!("session={}", token.text()), csrf }
    }

    struct Program {
        process: Child,
        address: String,
    }

    impl Program {
        fn start(dir: &Path, more: impl FnOnce(&mut Command)) -> Self {
            let mut command = Command::new(PROGRAM);
            command.env(WITNESSES.0, WITNESSES.1).args([
                "serve",
                "--listen",
                "127.0.0.1:0",
                "--no-open",
                "--data",
            ]);
            more(command.arg(dir));
            let mut process = command.stdout(Stdio::piped()).spawn().unwrap();
            let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
            let address = loop {
                let line = lines.next().expect("the server ended before it told its address").unwrap();
                if let Some((_, rest)) = line.split_once("http://") {
                    break rest.split('/').next().unwrap().to_owned();
                }
            };
            // What it tells afterwards is read, so that it can be told.
            std::thread::spawn(move || lines.for_each(drop));
            Self { process, address }
        }

        fn signal(&self) {
            let sent = Command::new("kill").args(["-TERM", &self.process.id().to_string()]).status().unwrap();
            assert!(sent.success());
        }

        fn ended_within(&mut self, seconds: u64) -> Option<ExitStatus> {
            let until = Instant::now() + Duration::from_secs(seconds);
            while Instant::now() < until {
                if let Some(status) = self.process.try_wait().unwrap() {
                    return Some(status);
                }
                std::thread::sleep(Duration::from_millis(20));
            }
            None
        }
    }

    impl Drop for Program {
        fn drop(&mut self) {
            let _ = self.process.kill();
            let _ = self.process.wait();
        }
    }

    /// A form on its way: its head and the first half of its body.
    fn begun(program: &Program, clinic: &Closed) -> (TcpStream, String) {
        let fields = [
            ("csrf", clinic.csrf.as_str()),
            ("family_name", "Slowfield"),
            ("number", "CF-501"),
            ("sure", "yes"),
            ("once", "01907e2a-0000-7000-8000-0000000000f1"),
        ];
        let body = crate::clinic::encode(fields.into_iter());
        let (first, rest) = body.split_at(body.len() / 2);
        let mut stream = TcpStream::connect(&program.address).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
        write!(
            stream,
            "POST /register HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nSec-Fetch-Site: same-origin\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{first}",
            program.address,
            clinic.cookie,
            body.len()
        )
        .unwrap();
        // The server has begun to read it.
        std::thread::sleep(Duration::from_millis(300));
        (stream, rest.to_owned())
    }

    fn children(dir: &Path) -> usize {
        let protocol = plantigrade::app::protocol(dir).unwrap();
        let records = ClinicRecords::open_for_reading(dir, protocol, None).unwrap();
        records.search("Slowfield", 9).unwrap().len()
    }

    #[test]
    fn a_form_on_its_way_is_saved_before_the_program_ends() {
        let clinic = closed();
        let mut program = Program::start(clinic.dir.path(), |_| {});
        let (mut stream, rest) = begun(&program, &clinic);
        program.signal();
        std::thread::sleep(Duration::from_millis(500));
        let refused = TcpStream::connect(&program.address).map_err(|error| error.kind());
        assert_eq!(refused.err(), Some(ErrorKind::ConnectionRefused), "nobody new is let in");
        assert!(program.process.try_wait().unwrap().is_none(), "it waits for the form");
        stream.write_all(rest.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
        assert_eq!(program.ended_within(12).map(|status| status.code()), Some(Some(0)));
        assert_eq!(children(clinic.dir.path()), 1);
        // Everything is in the main file: the last one to close it empties the log beside it.
        let wal = clinic.dir.path().join(format!("{}-wal", clinic::FILE_NAME));
        assert!(
            std::fs::metadata(&wal).map_or(0, |file| file.len()) == 0,
            "the write-ahead log is not empty"
        );
        assert!(!clinic.dir.path().join("address.txt").exists());
    }

    #[test]
    fn what_was_opened_is_noted_to_the_last_when_the_program_ends() {
        let clinic = closed();
        let mut program = Program::start(clinic.dir.path(), |_| {});
        let (mut stream, rest) = begun(&program, &clinic);
        stream.write_all(rest.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        let (_, place) = answer.split_once("\r\nlocation: ").unwrap();
        let place = place.split("\r\n").next().unwrap();
        let mut stream = TcpStream::connect(&program.address).unwrap();
        write!(
            stream,
            "GET {place} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nConnection: close\r\n\r\n",
            program.address, clinic.cookie
        )
        .unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        // At once, before the thread of the log writes by itself.
        program.signal();
        assert_eq!(program.ended_within(12).map(|status| status.code()), Some(Some(0)));
        let app = opened(clinic.dir.path(), Clock::new(None));
        let rows = app.access_log.rows(&clinic::AccessFilter::default(), 0, 9).unwrap().0;
        assert!(rows.iter().any(|row| row.event.child.is_some()), "{rows:?}");
        let report = app.access_log.check().unwrap();
        assert!(report.faults.is_empty(), "{report:?}");
    }

    #[test]
    fn a_second_signal_ends_the_program_at_once() {
        let clinic = closed();
        let mut program = Program::start(clinic.dir.path(), |_| {});
        let (_stream, _) = begun(&program, &clinic);
        program.signal();
        assert!(program.ended_within(1).is_none(), "it waits for the form");
        program.signal();
        let status = program.ended_within(3).expect("it ended");
        assert_eq!(status.code(), Some(1));
        assert_eq!(children(clinic.dir.path()), 0);
    }

    #[test]
    fn a_form_that_never_comes_holds_the_program_for_some_seconds_only() {
        let clinic = closed();
        let mut program = Program::start(clinic.dir.path(), |_| {});
        let (_stream, _) = begun(&program, &clinic);
        program.signal();
        assert_eq!(program.ended_within(25).map(|status| status.code()), Some(Some(0)));
    }

    #[test]
    fn a_service_manager_hears_that_the_program_is_ready_lives_and_stops() {
        let clinic = closed();
        let place = tempfile::tempdir().unwrap();
        let path = place.path().join("notify");
        let socket = UnixDatagram::bind(&path).unwrap();
        socket.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
        let mut program = Program::start(clinic.dir.path(), |command| {
            command.env("NOTIFY_SOCKET", &path).env("WATCHDOG_USEC", "200000");
        });
        let heard = || {
            let mut bytes = [0; 100];
            let length = socket.recv(&mut bytes).unwrap();
            String::from_utf8(bytes[..length].to_vec()).unwrap()
        };
        assert_eq!(heard(), "READY=1");
        assert_eq!((heard(), heard()), ("WATCHDOG=1".to_owned(), "WATCHDOG=1".to_owned()));
        program.signal();
        while heard() != "STOPPING=1" {}
        assert_eq!(program.ended_within(12).map(|status| status.code()), Some(Some(0)));
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn a_service_manager_is_told_by_a_socket_without_a_file_too() {
        use std::os::{linux::net::SocketAddrExt as _, unix::net::SocketAddr};
        let clinic = closed();
        let name = format!("plantigrade-test-{}", std::process::id());
        let socket = UnixDatagram::bind_addr(&SocketAddr::from_abstract_name(&name).unwrap()).unwrap();
        socket.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
        let _program = Program::start(clinic.dir.path(), |command| {
            command.env("NOTIFY_SOCKET", format!("@{name}"));
        });
        let mut bytes = [0; 100];
        let length = socket.recv(&mut bytes).unwrap();
        assert_eq!(&bytes[..length], b"READY=1");
    }

    #[test]
    fn the_log_has_its_place_its_level_and_its_form_by_options() {
        let clinic = closed();
        let log = clinic.dir.path().join("program.log");
        let mut program = Program::start(clinic.dir.path(), |command| {
            command.args(["--log", "info", "--log-json", "--log-file"]).arg(&log);
        });
        let mut stream = TcpStream::connect(&program.address).unwrap();
        write!(
            stream,
            "GET /child/CF-501?q=Slowfield HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nConnection: close\r\n\r\n",
            program.address, clinic.cookie
        )
        .unwrap();
        stream.read_to_string(&mut String::new()).unwrap();
        program.signal();
        assert_eq!(program.ended_within(12).map(|status| status.code()), Some(Some(0)));
        let text = std::fs::read_to_string(&log).unwrap();
        let lines: Vec<serde_json::Value> =
            text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
        let messages: Vec<&str> =
            lines.iter().filter_map(|line| line["fields"]["message"].as_str()).collect();
        assert_eq!(messages.first(), Some(&"ready"), "{text}");
        assert_eq!(messages.last(), Some(&"stopped"), "{text}");
        let request = lines.iter().find(|line| line["fields"]["message"] == "request").unwrap();
        assert_eq!(request["fields"]["route"], "/child/{id}", "{request}");
        assert!(!text.contains("CF-501") && !text.contains("Slowfield"), "{text}");
        use std::os::unix::fs::PermissionsExt as _;
        assert_eq!(std::fs::metadata(&log).unwrap().permissions().mode() & 0o777, 0o600);
    }
}
