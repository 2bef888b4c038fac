//! The log at its loudest holds nothing of a child, a carer or a person of the clinic: not after every page was opened
//! and every form sent, files were brought in, signing in failed and the program itself failed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Clinic, NAME, PASSWORD, TODAY};
use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use plantigrade::{
    logging::{LogArgs, LogLevel, log_to, panicked, without_contents},
    routes,
};
use record::{ChildId, EntryId};
use std::{
    io::Write,
    panic,
    sync::{Arc, Mutex, PoisonError},
};
use tracing_subscriber::fmt::writer::BoxMakeWriter;

/// The log of this process from now on, at the level that says most.
#[derive(Clone, Default)]
struct Log(Arc<Mutex<Vec<u8>>>);

impl Log {
    fn begin() -> Self {
        let log = Self::default();
        let into = log.clone();
        let args = LogArgs { log: LogLevel::Debug, ..LogArgs::default() };
        log_to(&args, BoxMakeWriter::new(move || into.clone()));
        log
    }

    fn text(&self) -> String {
        let bytes = self.0.lock().unwrap_or_else(PoisonError::into_inner).clone();
        String::from_utf8(bytes).unwrap()
    }
}

impl Write for Log {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// What is recorded of an invented child, in every field that takes a text of its own.
const CHILD: &[(&str, &str)] = &[
    ("family_name", "Zettervall"),
    ("given_name", "Ysolde"),
    ("number", "CF-88231"),
    ("born", "2024-11-23"),
    ("sides", "both"),
    ("nature", "idiopathic"),
    ("carer.1.name", "Quillfeather"),
    ("carer.1.phone", "0770 0900183"),
    ("address", "Brundisium lane"),
    ("referred_from", "Marzipanville"),
];

/// Words that must not be in the log: those of the child, of the files, of forms that are refused, of people.
const SECRETS: &[&str] = &[
    "Zettervall",
    "Ysolde",
    "88231",
    "2024-11-23",
    "Quillfeather",
    "0900183",
    "Brundisium",
    "Marzipanville",
    "Oxbowdale",
    "gooseberry",
    "Thistledown",
    "77412",
    "heliotrope",
    "tamarisk",
    "Wolframite",
    PASSWORD,
];

/// A form with something in every field that takes free text, most of it wrong.
const FORM: &[(&str, &str)] = &[
    ("on", "gooseberry"),
    ("note", "gooseberry"),
    ("said", "gooseberry"),
    ("right.cast", "heliotrope"),
    ("right.foot_length_mm", "tamarisk"),
    ("reason", "gooseberry"),
    ("withdraw_reason", "gooseberry"),
    ("correct_reason", "gooseberry"),
    ("why", "gooseberry"),
    ("family_name", "Oxbowdale"),
    ("name", "Oxbowdale"),
    ("sign_in_name", "Oxbowdale"),
    ("display_name", "Oxbowdale"),
    ("password", "tamarisk"),
    ("pin", "77412"),
    ("code", "77412"),
    ("text", "gooseberry = ["),
    ("q", "Oxbowdale"),
];

struct Tour {
    clinic: Clinic,
    browser: Browser,
    child: ChildId,
    entry: EntryId,
    asked: usize,
}

impl Tour {
    async fn begin() -> Self {
        let (clinic, mut browser) = Clinic::signed_in().await;
        let child = clinic.child(&mut browser, CHILD).await;
        let path = format!("/child/{child}/visit");
        let fields = [("on", TODAY), ("right.lateral_border", "0.5"), ("note", "heliotrope under the cast")];
        assert_eq!(browser.send(&path, &path, &fields).await.status, StatusCode::SEE_OTHER);
        let entry = clinic.entries(child).last().unwrap().id;
        Self { clinic, browser, child, entry, asked: 0 }
    }

    fn address(&self, pattern: &str) -> String {
        pattern
            .replace("{id}", &self.child.to_string())
            .replace("{other}", &self.child.to_string())
            .replace("{entry}", &self.entry.to_string())
            .replace("{first}", &self.entry.to_string())
            .replace("{second}", &self.entry.to_string())
            .replace("{on}", TODAY)
            .replace("{kind}", "diagnosis")
            .replace("{number}", "1")
            .replace("{measure}", "relapse")
            .replace("{part}", "signs")
            .replace("{file}", "app.css")
            .replace("{token}", &"0".repeat(64))
    }

    /// Every page and every form, as they are and with words in the query.
    async fn every_route(&mut self) {
        // What ends the session comes last.
        let last = ["/sign-out", "/session/lock", "/account/end"];
        let mut all = routes::declared();
        all.sort_by_key(|(path, ..)| last.contains(path));
        for (pattern, method, _) in all {
            let path = self.address(pattern);
            let page = if method == Method::GET {
                let _ = self.browser.get(&format!("{path}?q=Oxbowdale&as_of=gooseberry&on=Ysolde")).await;
                self.browser.get(&path).await
            } else {
                let csrf = self.csrf();
                let mut fields = vec![("csrf", csrf.as_str())];
                fields.extend_from_slice(FORM);
                let _ = self.browser.post(&path, FORM).await;
                self.browser.post(&path, &fields).await
            };
            assert_ne!(page.status, StatusCode::INTERNAL_SERVER_ERROR, "{method} {path}: {}", page.text);
            self.asked += 1;
        }
        for path in ["/Zettervall", "/child/Zettervall", "/child/CF-88231/visit", "/help/Ysolde"] {
            let _ = self.browser.get(path).await;
        }
    }

    fn csrf(&self) -> String {
        let token = plantigrade::auth::Token::read(self.browser.cookie("session").unwrap_or_default());
        let who =
            token.and_then(|token| self.clinic.app.sessions.who(&token, self.clinic.app.clock.now()).ok()?);
        who.map(|who| who.csrf.clone()).unwrap_or_default()
    }

    async fn upload(&mut self, path: &str, field: &str, file: &str, contents: &str) {
        let csrf = self.csrf();
        let body = format!(
            "--edge\r\nContent-Disposition: form-data; name=\"csrf\"\r\n\r\n{csrf}\r\n--edge\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"{file}\"\r\n\r\n{contents}\r\n--edge--\r\n"
        );
        let request = Request::post(path)
            .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
            .header("sec-fetch-site", "same-origin")
            .body(Body::from(body))
            .unwrap();
        let page = self.browser.request(request).await;
        assert_ne!(page.status, StatusCode::INTERNAL_SERVER_ERROR, "{}", page.text);
    }

    async fn files(&mut self) {
        let sheet =
            "Hosp No;Name;DOB;Visit;Side;PC\n77412;Thistledown, Ysolde;2024-11-23;2025-02-04;R;heliotrope\n";
        self.upload("/import", "file", "Thistledown.csv", sheet).await;
        self.upload("/import", "map", "map.toml", "[columns]\nThistledown = \"tamarisk\"\n").await;
        let logger = "Thistledown\n2025-02-04 10:00,heliotrope\n";
        let path = format!("/child/{}/wear/logger", self.child);
        self.upload(&path, "boot", "Thistledown.csv", logger).await;
        for settings in ["protocol.toml", "stock.toml", "capacity.toml"] {
            let path = self.clinic.dir.path().join(settings);
            std::fs::write(path, "Thistledown = \"gooseberry\"\n").unwrap();
        }
        for page in ["/protocol", "/stock", "/capacity", "/settings"] {
            let _ = self.browser.get(page).await;
        }
    }

    async fn failing_sign_ins(&self) {
        for (name, password) in [("Oxbowdale", "tamarisk"), (NAME, "tamarisk"), ("Zettervall", PASSWORD)] {
            let page = Browser::elsewhere(self.clinic.router.clone()).sign_in(name, password).await;
            assert_ne!(page.status, StatusCode::SEE_OTHER);
        }
    }
}

/// What a panic quotes, as slicing a name in the middle of a letter would.
fn fail_in_the_program() {
    let before = panic::take_hook();
    panic::set_hook(Box::new(panicked));
    let failed = panic::catch_unwind(|| panic!("byte 1 is not a boundary of `Wolframite`"));
    panic::set_hook(before);
    assert!(failed.is_err());
}

#[tokio::test]
async fn the_log_at_its_loudest_names_no_child_no_carer_and_no_word_that_was_typed() {
    let log = Log::begin();
    let mut tour = Tour::begin().await;
    tour.files().await;
    tour.failing_sign_ins().await;
    tour.every_route().await;
    fail_in_the_program();
    let why = "invalid value: string \"heliotrope\"".to_owned();
    let error = clinic::ArchiveError::Unreadable { entry: tour.entry, why };
    tracing::error!("{}", without_contents(&error));
    let text = log.text();
    let routes = text.lines().filter(|line| line.contains("route=")).count();
    println!("{} routes asked, {} lines of log, {routes} of requests", tour.asked, text.lines().count());
    assert!(tour.asked > 100 && routes > 2 * 100, "the log was not written: {text}");
    assert!(text.contains("/child/{id}/visit"), "requests are logged by the pattern of their route");
    assert!(text.contains("quiet_log.rs"), "the place of a panic is logged");
    let child = tour.child.to_string();
    let session = tour.browser.cookie("session").unwrap_or("no session").to_owned();
    for secret in SECRETS.iter().copied().chain([child.as_str(), session.as_str()]) {
        let line = text.lines().find(|line| line.to_lowercase().contains(&secret.to_lowercase()));
        assert_eq!(line, None, "{secret}");
    }
}
