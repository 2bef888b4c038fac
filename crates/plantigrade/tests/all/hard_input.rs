//! Harder cases of bad input: files under a wrong name, files too large to hold, a disk that fills while
//! the pages are in use, a proxy that does not encrypt.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    bad_input::{Server, one_sentence},
    clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, TODAY, day},
    commands::{PROGRAM, WITNESSES, code, err, out, run},
    importing::SHEET,
};
use axum::{
    body::{Body, Bytes},
    extract::ConnectInfo,
    http::{Request, StatusCode, header},
};
use futures::{StreamExt as _, stream};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    routes,
};
use std::{
    fs,
    net::SocketAddr,
    path::Path,
    process::Command,
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
};
use tower::ServiceExt as _;

/// The same rows as a workbook, by way of the export.
fn workbook(dir: &Path) -> Vec<u8> {
    let (sheet, book) = (dir.join("visits.csv"), dir.join("out.xlsx"));
    fs::write(&sheet, SHEET).unwrap();
    let data = dir.join("for-the-workbook");
    run(&data, &["import", sheet.to_str().unwrap()]);
    assert_eq!(code(&run(&data, &["export", book.to_str().unwrap()])), 0);
    fs::read(book).unwrap()
}

#[test]
fn a_sheet_under_the_name_of_another_kind_is_read_and_that_is_said() {
    let dir = tempfile::tempdir().unwrap();
    let cases = [("text.xlsx", SHEET.as_bytes().to_vec(), "CSV"), ("book.csv", workbook(dir.path()), "XLSX")];
    for (name, bytes, kind) in cases {
        let file = dir.path().join(name);
        fs::write(&file, bytes).unwrap();
        for json in [&[][..], &["--json"][..]] {
            let mut args = vec!["import", file.to_str().unwrap(), "--check-only"];
            args.extend(json);
            let output = run(&dir.path().join("data"), &args);
            let said = format!(
                "By its contents {name} is {kind}, which its name does not say; it was read as such."
            );
            assert!(out(&output).contains(&said), "{}{}", out(&output), err(&output));
        }
    }
    let plain = dir.path().join("visits.csv");
    let output = run(&dir.path().join("data"), &["import", plain.to_str().unwrap(), "--check-only"]);
    assert!(!out(&output).contains("its name does not say"), "{}", out(&output));
}

#[test]
fn records_without_a_single_byte_are_not_taken_for_a_new_clinic() {
    let dir = tempfile::tempdir().unwrap();
    let sheet = dir.path().join("visits.csv");
    fs::write(&sheet, SHEET).unwrap();
    let data = dir.path().join("data");
    fs::create_dir(&data).unwrap();
    fs::write(data.join("protocol.toml"), "").unwrap();
    let file = data.join(clinic::FILE_NAME);
    fs::write(&file, b"").unwrap();
    for args in [
        &["serve", "--no-open", "--listen", "127.0.0.1:0"][..],
        &["import", sheet.to_str().unwrap()][..],
        &["due"][..],
        &["verify"][..],
    ] {
        let output = run(&data, args);
        assert_eq!(code(&output), 4, "{args:?}: {}", err(&output));
        one_sentence(&output);
        assert!(err(&output).contains("is empty, which the records never are"), "{}", err(&output));
    }
    assert_eq!(fs::metadata(&file).unwrap().len(), 0, "it was left as it was");
    // Deleted, as the sentence says, the folder is a new clinic.
    fs::remove_file(&file).unwrap();
    let output = run(&data, &["import", sheet.to_str().unwrap()]);
    assert_eq!(code(&output), 3, "one row of the sheet is refused, as ever: {}", err(&output));
    assert!(fs::metadata(&file).unwrap().len() > 0);
}

/// Above the limit a file is refused by its size alone: the process may use less memory than the file has
/// bytes, so that reading it first would end it.
#[test]
fn a_file_above_the_limit_is_refused_before_it_is_read() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("visits.csv");
    fs::File::create(&file).unwrap().set_len(exchange::MOST_BYTES as u64 + 1).unwrap(); // sparse: no room on the disk
    let output = if cfg!(unix) {
        let limited = "ulimit -v 500000; exec \"$0\" import \"$1\" --data \"$2\"";
        let data = dir.path().join("data");
        Command::new("sh")
            .env(WITNESSES.0, WITNESSES.1)
            .args(["-c", limited, PROGRAM])
            .arg(&file)
            .arg(&data)
            .output()
            .unwrap()
    } else {
        run(&dir.path().join("data"), &["import", file.to_str().unwrap()])
    };
    assert_eq!(code(&output), 3, "{}", err(&output));
    one_sentence(&output);
    assert!(
        err(&output).contains(&format!("at most {} MB are read", exchange::MOST_BYTES >> 20)),
        "{}",
        err(&output)
    );
}

/// An upload of 200 MB, generated while it is sent, with or without its size stated in advance.
async fn upload(clinic: &Clinic, browser: &Browser, told: bool) -> (StatusCode, String, usize) {
    let sent = Arc::new(AtomicUsize::new(0));
    let (counter, piece) = (sent.clone(), Bytes::from(vec![b'x'; 1 << 20]));
    let head = Bytes::from_static(
        b"--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"visits.csv\"\r\n\r\n",
    );
    let pieces = stream::iter(0..200).map(move |_| {
        counter.fetch_add(1, Ordering::SeqCst);
        Ok::<_, std::io::Error>(piece.clone())
    });
    let body = Body::from_stream(stream::iter([Ok(head.clone())]).chain(pieces));
    let mut request = Request::post("/import")
        .header(header::HOST, "localhost")
        .header(header::COOKIE, format!("session={}", browser.cookie("session").unwrap()))
        .header("sec-fetch-site", "same-origin")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge");
    if told {
        request = request.header(header::CONTENT_LENGTH, head.len() + (200 << 20));
    }
    let response = clinic.router.clone().oneshot(request.body(body).unwrap()).await.unwrap();
    let status = response.status();
    let text = axum::body::to_bytes(response.into_body(), 1 << 20).await.unwrap();
    (status, String::from_utf8(text.to_vec()).unwrap(), sent.load(Ordering::SeqCst))
}

#[tokio::test]
async fn two_hundred_megabytes_through_the_page_are_refused_in_one_sentence() {
    let (clinic, browser) = Clinic::signed_in().await;
    for told in [true, false] {
        let (status, text, pieces) = upload(&clinic, &browser, told).await;
        assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE, "{text}");
        assert!(text.contains("At most 64 MB are accepted at once."), "{text}");
        // Told beforehand it is let go by to its end, so that the browser shows the page; else it ends soon
        // after the limit.
        assert!(if told { pieces == 200 } else { pieces <= 66 }, "{pieces}");
    }
}

/// The disk fills while the pages are in use: each page says so, what was acknowledged is there, and
/// nothing is there by half.
#[tokio::test]
async fn a_disk_that_fills_is_said_on_the_page_and_loses_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let open = |most_pages| {
        let clock = Clock::new(Some(day(TODAY)));
        // Work begun by the last request may hold the records a moment longer than the answer took.
        let app = (0..100).find_map(|_| {
            let app = App::open_with(dir.path(), clock, Mode::default(), most_pages);
            app.inspect_err(|_| std::thread::sleep(std::time::Duration::from_millis(50))).ok()
        });
        let app = Arc::new(app.expect("the records are free again"));
        (routes::router(app.clone()), app)
    };
    let (router, app) = open(None);
    let clinic = Clinic { router, app, dir: tempfile::tempdir().unwrap() };
    clinic.account(NAME, PASSWORD);
    let mut browser = clinic.browser_signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    drop((clinic, browser));
    let pages = fs::metadata(dir.path().join(clinic::FILE_NAME)).unwrap().len() / 4096;
    let (router, app) = open(Some(u32::try_from(pages).unwrap() + 12));
    let clinic = Clinic { router, app, dir: tempfile::tempdir().unwrap() };
    let mut browser = clinic.browser_signed_in().await;
    let (path, note) = (format!("/child/{child}/add/note"), "a long day ".repeat(700));
    let before = clinic.entries(child).len();
    let mut kept = 0;
    let full = loop {
        let page = browser.send(&path, &path, &[("text", &format!("{kept} {note}"))]).await;
        if page.status != StatusCode::SEE_OTHER {
            break page;
        }
        kept += 1;
        assert!(kept < 200, "the disk never filled");
    };
    assert_eq!(full.status, StatusCode::INSUFFICIENT_STORAGE, "{}", full.text);
    assert_eq!(full.shown("h1"), "The disk is full");
    assert!(full.text.contains("was not saved. Everything saved earlier is safe"), "{}", full.text);
    assert_eq!(clinic.entries(child).len(), before + kept);
    let visit = format!("/child/{child}/visit");
    let other = browser.send(&visit, &visit, &[("note", &note)]).await;
    assert_eq!(other.status, StatusCode::INSUFFICIENT_STORAGE, "{}", other.text);
    assert_eq!(clinic.entries(child).len(), before + kept, "nothing of the visit was written");
    assert_eq!(browser.get(&format!("/child/{child}")).await.status, StatusCode::OK, "reading goes on");
    drop((clinic, browser));
    let (_, app) = open(None);
    assert_eq!(app.records.entries(child).unwrap().len(), before + kept, "all of it after a new start");
    drop(app);
    assert_eq!(code(&run(dir.path(), &["verify"])), 0);
}

fn behind_proxy() -> Clinic {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { secure: true, behind_proxy: true, invented: false, here: None };
    let app = Arc::new(App::open(dir.path(), Clock::new(Some(day(TODAY))), mode).unwrap());
    Clinic { router: routes::router(app.clone()), app, dir }
}

/// Only what the proxy received encrypted is answered, and the cookies are for encrypted connections only.
#[tokio::test]
async fn behind_a_proxy_only_encrypted_requests_are_answered() {
    let clinic = behind_proxy();
    let proxy = ConnectInfo(SocketAddr::from(([127, 0, 0, 1], 40_000)));
    let ask = async |proto: Option<&str>, path: &str| {
        let mut request = Request::get(path).header(header::HOST, "localhost").extension(proxy);
        if let Some(proto) = proto {
            request = request.header("x-forwarded-proto", proto);
        }
        clinic.router.clone().oneshot(request.body(Body::empty()).unwrap()).await.unwrap()
    };
    let good = ask(Some("https"), "/sign-in").await;
    assert_eq!(good.status(), StatusCode::OK);
    let cookies: Vec<&str> =
        good.headers().get_all(header::SET_COOKIE).iter().map(|value| value.to_str().unwrap()).collect();
    assert!(!cookies.is_empty() && cookies.iter().all(|cookie| cookie.contains("Secure")), "{cookies:?}");
    for (proto, said) in [
        (None, "set the header X-Forwarded-Proto to https"),
        (Some("http"), "without encryption"),
        // The visitor's own value is first, the proxy's last.
        (Some("https, http"), "without encryption"),
    ] {
        let refused = ask(proto, "/sign-in").await;
        assert_eq!(refused.status(), StatusCode::UNPROCESSABLE_ENTITY, "{proto:?}");
        assert!(refused.headers().get(header::SET_COOKIE).is_none(), "{proto:?}");
        let text = axum::body::to_bytes(refused.into_body(), 1 << 20).await.unwrap();
        assert!(String::from_utf8_lossy(&text).contains(said), "{proto:?}");
    }
    assert_eq!(ask(None, "/health").await.status(), StatusCode::OK, "the proxy may ask whether it lives");
}

/// Without a desktop, and with one that is announced but missing, the program still serves.
#[test]
fn a_browser_that_cannot_be_opened_holds_nothing_up() {
    for display in [None, Some(":93")] {
        let dir = tempfile::tempdir().unwrap();
        let mut command = Command::new(PROGRAM);
        command.env(WITNESSES.0, WITNESSES.1);
        command.args(["serve", "--listen", "127.0.0.1:0", "--data"]).arg(dir.path()).env("PATH", dir.path());
        for name in ["DISPLAY", "WAYLAND_DISPLAY", "SSH_CONNECTION", "SSH_TTY", "BROWSER"] {
            command.env_remove(name);
        }
        if let Some(display) = display {
            command.env("DISPLAY", display);
        }
        let server = Server::of(&mut command);
        assert!(server.get("/health").ends_with("ok"), "{display:?}: {}", server.told);
    }
}
