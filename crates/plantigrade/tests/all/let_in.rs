//! What is said by every route, what is left on the disk, and what is forgotten again.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, Page, TODAY, day},
    commands::{code, err, run},
    importing::{SHEET, csrf, upload},
};
use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    headers::POLICY,
    plans::{KEPT_EACH, KEPT_MINUTES},
    routes,
};
use std::{collections::BTreeSet, fs, path::Path, sync::Arc};

/// An address of a route, with parameters of this child, and others that fit nothing.
fn filled(pattern: &str, child: &str) -> String {
    let parts = pattern.split('/').map(|part| match part {
        "{id}" if pattern.starts_with("/child") => child.to_owned(),
        "{file}" => "app.css".to_owned(),
        "{part}" => "sign-in".to_owned(),
        "{kind}" => "note".to_owned(),
        "{measure}" => "relapse".to_owned(),
        "{on}" => TODAY.to_owned(),
        "{number}" => "1".to_owned(),
        "{token}" => "0".repeat(64),
        "{key}" => "casting.interval_days".to_owned(),
        other if other.starts_with('{') => "01907e2a-0000-7000-8000-0000000000e1".to_owned(),
        other => other.to_owned(),
    });
    parts.collect::<Vec<_>>().join("/")
}

fn header<'a>(page: &'a Page, name: &str) -> &'a str {
    page.headers.get(name).map_or("", |value| value.to_str().unwrap())
}

/// What is wrong with the headers of an answer.
fn wrong(page: &Page, path: &str, secure: bool) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut check = |holds: bool, what: &str| {
        if !holds {
            wrong.push(format!("{path}: {what}: {:?}", page.headers));
        }
    };
    check(header(page, "content-security-policy") == POLICY, "policy");
    check(header(page, "x-content-type-options") == "nosniff", "nosniff");
    check(header(page, "referrer-policy") == "same-origin", "referrer");
    check(header(page, "x-frame-options") == "DENY", "frames");
    check(header(page, "permissions-policy").contains("camera=()"), "permissions");
    check(header(page, "cross-origin-opener-policy") == "same-origin", "opener");
    check(header(page, "cross-origin-resource-policy") == "same-origin", "resource");
    check(header(page, "server").is_empty() && header(page, "x-powered-by").is_empty(), "names a program");
    check(header(page, "strict-transport-security").is_empty() != secure, "encryption");
    check(header(page, "access-control-allow-origin").is_empty(), "other origins");
    let is_file = path.starts_with("/assets/");
    let cache = header(page, "cache-control");
    check(cache == "no-store" || (is_file && !cache.is_empty()), "cache");
    let has_body = !page.text.is_empty();
    let kind = header(page, "content-type");
    let is_text = kind.starts_with("text/") || kind.contains("json") || kind.contains("toml");
    check(!has_body || !is_text || kind.contains("charset=utf-8") || kind.contains("json"), "character set");
    let name = header(page, "content-disposition");
    let plain = |byte: u8| byte.is_ascii_graphic() || byte == b' ';
    let safe = name.is_empty()
        || (name.bytes().all(plain)
            && (name.starts_with("attachment; filename=\"") || name.starts_with("inline; filename=\""))
            && !name.contains(['/', '\\']));
    check(safe, "name of a file");
    for who in ["Vesterholt", "Amina"] {
        check(!name.contains(who), "a name in the name of a file");
    }
    wrong
}

#[tokio::test]
async fn every_route_of_the_program_sends_the_same_headers() {
    for secure in [false, true] {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join("clinic.toml"), "second_factor = \"optional\"\n").unwrap();
        let mode = Mode { secure, ..Mode::default() };
        let app = Arc::new(App::open(dir.path(), Clock::new(Some(day(TODAY))), mode).unwrap());
        let clinic = Clinic { router: routes::router(app.clone()), app, dir };
        clinic.account(NAME, PASSWORD);
        let mut lead = clinic.browser_signed_in().await;
        let child = clinic.child(&mut lead, AMINA).await.to_string();
        let mut found = Vec::new();
        let mut statuses = BTreeSet::new();
        for (pattern, method, _) in routes::declared() {
            // It would sign the browser out.
            if pattern == "/sign-out" || pattern.starts_with("/session/lock") {
                continue;
            }
            let path = filled(pattern, &child);
            for browser in [&mut lead, &mut Browser::new(clinic.router.clone())] {
                let page = if method == Method::GET {
                    browser.get(&path).await
                } else {
                    browser.post(&path, &[("csrf", "0")]).await
                };
                assert_ne!(page.status, StatusCode::INTERNAL_SERVER_ERROR, "{method} {path}: {}", page.text);
                statuses.insert(page.status.as_u16());
                found.extend(wrong(&page, &path, secure));
            }
        }
        for path in ["/nowhere", "/child/nobody", "/day?on=never", "/%ff"] {
            found.extend(wrong(&lead.get(path).await, path, secure));
        }
        let odd = Request::builder().method("TRACE").uri("/day").body(Body::empty()).unwrap();
        found.extend(wrong(&lead.request(odd).await, "TRACE /day", secure));
        assert!(found.is_empty(), "{}", found.join("\n"));
        assert!(
            statuses.contains(&200) && statuses.contains(&303) && statuses.contains(&403),
            "{statuses:?}"
        );
    }
}

/// The numbers of docs/security.md are those of the program.
#[test]
fn the_limits_of_the_manual_are_those_of_the_program() {
    use plantigrade::{auth, connections::ConnectionLimits, web};
    let text = fs::read_to_string(crate::house::root().join("docs/security.md")).unwrap();
    let limits = ConnectionLimits::default();
    let seconds = |time: std::time::Duration| time.as_secs();
    for expected in [
        format!("| {} attempts in a row, then one in {} seconds", auth::BURST, auth::EVERY_SECONDS),
        format!("| {} attempts in a row, then one in", auth::BURST_PER_ADDRESS),
        format!("an allowance of its own of {} attempts", auth::BURST),
        format!("| {} failures in a row: then it opens only at such a device", auth::FAILURES_AT_MOST),
        format!("| {} failures in a row: then it is known no longer", auth::KNOWN_FAILURES),
        format!("{} tries, 5 minutes", auth::CODE_TRIES),
        format!("{} wrong tries, then the password", auth::PIN_TRIES),
        format!("| {} MB, 20,000 fields", web::FORM_BYTES >> 20),
        format!("| {} MB; unpacked size", web::FILE_BYTES >> 20),
        format!("| files at a time | {} |", plantigrade::app::UPLOADS_AT_ONCE),
        format!("forgotten after {KEPT_MINUTES} minutes; {KEPT_EACH} of one person"),
        format!(
            "{} kB, {} headers, {} seconds for the first request, {} seconds for later ones",
            limits.head_bytes >> 10,
            limits.headers,
            seconds(limits.first_head),
            seconds(limits.next_head)
        ),
        format!(
            "{} seconds, and longer only at {} kB a second or more, {} minutes at most",
            seconds(limits.body_grace),
            limits.body_bytes_per_second >> 10,
            seconds(limits.body_at_most) / 60
        ),
        format!("an answer that nobody reads | {} seconds", seconds(limits.stalled)),
        format!("{} of one address, {} in all", limits.per_address, limits.in_all),
        format!("{} in a row, then {} a second", auth::REQUEST_BURST, auth::REQUESTS_PER_SECOND),
        format!("| {} characters, without control characters", record::QUOTED_CHARS),
    ] {
        assert!(text.contains(&expected), "docs/security.md does not say: {expected}");
    }
    assert_eq!(web::MOST_FIELDS, 20_000);
}

#[tokio::test]
async fn a_form_with_too_much_is_refused() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let csrf = browser.get("/register").await.form("/register")["csrf"].clone();
    let send = async |browser: &mut Browser, body: String| {
        let request = Request::post("/register")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header("sec-fetch-site", "same-origin")
            .body(Body::from(body))
            .unwrap();
        browser.request(request).await
    };
    let fields = |count: usize| -> String { (0..count).map(|n| format!("&f{n}=")).collect() };
    let most = plantigrade::web::MOST_FIELDS;
    let page = send(&mut browser, format!("csrf={csrf}{}", fields(most))).await;
    assert_eq!(page.status, StatusCode::PAYLOAD_TOO_LARGE, "one field over: {}", page.text);
    let page = send(&mut browser, format!("csrf={csrf}{}", fields(most - 1))).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "the most: {}", page.text);
    assert!(
        !page.shown("main").contains("At most"),
        "refused for want of a name, not for the number of fields"
    );
    let long = "x".repeat(plantigrade::web::FORM_BYTES + 1);
    let page = send(&mut browser, format!("csrf={csrf}&family_name={long}")).await;
    assert_eq!(page.status, StatusCode::PAYLOAD_TOO_LARGE, "one byte over");
}

#[tokio::test]
async fn a_few_files_are_read_at_a_time() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let csrf = csrf(&mut browser).await;
    let turns: Vec<_> =
        (0..plantigrade::app::UPLOADS_AT_ONCE).map(|_| clinic.app.uploads.try_acquire().unwrap()).collect();
    let page = upload(&mut browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    assert_eq!(page.status, StatusCode::SERVICE_UNAVAILABLE);
    assert!(page.text.contains("Several files are being read"), "{}", page.text);
    drop(turns);
    let page = upload(&mut browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
}

#[tokio::test]
async fn a_preview_is_forgotten_after_a_time_and_where_there_are_too_many() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let csrf = csrf(&mut browser).await;
    let look = async |browser: &mut Browser| {
        let page = upload(browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
        assert!(page.text.contains(&format!("forgotten {KEPT_MINUTES} minutes after")), "{}", page.text);
        page.form("/import/confirm")["token"].clone()
    };
    let token = look(&mut browser).await;
    let path = format!("/import/look?token={token}");
    assert_eq!(browser.get(&path).await.status, StatusCode::OK);
    clinic.app.plans.forget_old(Clock::machine_seconds() + KEPT_MINUTES * 60 - 2);
    assert_eq!(browser.get(&path).await.status, StatusCode::OK, "just before");
    clinic.app.plans.forget_old(Clock::machine_seconds() + KEPT_MINUTES * 60);
    let page = browser.get(&path).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("It is forgotten: choose it once more"), "{}", page.text);
    let refused = browser.get(&format!("/import/refused?token={token}")).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "nor a file of it");
    let first = look(&mut browser).await;
    for _ in 0..KEPT_EACH {
        look(&mut browser).await;
    }
    let page = browser.get(&format!("/import/look?token={first}")).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "the first of {} files", KEPT_EACH + 1);
}

/// Every file and folder below a folder that others than its owner may open.
#[cfg(unix)]
fn open_to_others(folder: &Path) -> Vec<String> {
    use std::os::unix::fs::PermissionsExt;
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let mode = fs::metadata(&path).unwrap().permissions().mode();
        if mode & 0o077 != 0 {
            found.push(format!("{} {:o}", path.display(), mode & 0o777));
        }
        if path.is_dir() {
            found.extend(open_to_others(&path));
        }
    }
    found
}

/// Everything that a clinic's day leaves on the disk is for its owner alone: records, log, settings, histories, import
/// maps, copies, and what commands write.
#[cfg(unix)]
#[tokio::test]
async fn nothing_that_is_written_can_be_read_by_other_users() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let dir = clinic.dir.path().to_owned();
    clinic.child(&mut browser, AMINA).await;
    let csrf = csrf(&mut browser).await;
    let page = upload(&mut browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    let form = page.form("/import/confirm");
    let fields: Vec<(&str, &str)> =
        form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(browser.post("/import/confirm", &fields).await.status, StatusCode::OK);
    browser.send("/settings", "/settings", &[("clinic_name", "Hillside")]).await;
    browser.send("/settings", "/settings", &[("clinic_name", "Harbour")]).await;
    Browser::new(clinic.router.clone()).sign_in(NAME, "not the password").await;
    let copies = tempfile::tempdir().unwrap();
    let into = copies.path().to_str().unwrap();
    let page = browser.send("/settings/copies", "/settings/copies", &[("folder", into)]).await;
    assert!(page.status.is_success() || page.status == StatusCode::SEE_OTHER, "{}", page.text);
    for name in [
        "records.sqlite",
        "records.sqlite-wal",
        "access.sqlite",
        "clinic.toml",
        "clinic.before.toml",
        "sign-in-attempts.json",
    ] {
        assert!(
            dir.join(name).exists(),
            "{name} is not there: {:?}",
            fs::read_dir(&dir).unwrap().collect::<Vec<_>>()
        );
    }
    assert_eq!(open_to_others(&dir), Vec::<String>::new());
    assert!(fs::read_dir(copies.path()).unwrap().count() > 0);
    assert_eq!(open_to_others(copies.path()), Vec::<String>::new());
    drop((browser, clinic));
    let written = tempfile::tempdir().unwrap();
    let data = written.path().join("data");
    let sheet = written.path().join("visits.csv");
    fs::write(&sheet, SHEET).unwrap();
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(&sheet, fs::Permissions::from_mode(0o600)).unwrap();
    let imported = run(&data, &["import", sheet.to_str().unwrap()]);
    assert!(written.path().join("visits.refused.csv").exists(), "{}", err(&imported));
    for file in ["out.csv", "out.xlsx"] {
        let exported = run(&data, &["export", written.path().join(file).to_str().unwrap()]);
        assert_eq!(code(&exported), 0, "{}", err(&exported));
    }
    assert_eq!(open_to_others(written.path()), Vec::<String>::new());
}

/// Files of an earlier version, or that a person copied there, are closed at the start; those that are not ours stay.
#[cfg(unix)]
#[test]
fn files_that_others_could_read_are_closed_at_the_start() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let open = || App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    drop(open());
    let letter = dir.path().join("letter.txt");
    fs::write(dir.path().join("protocol.toml"), "").unwrap();
    fs::write(&letter, "not ours").unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    for entry in fs::read_dir(dir.path()).unwrap() {
        fs::set_permissions(entry.unwrap().path(), fs::Permissions::from_mode(0o644)).unwrap();
    }
    drop(open());
    assert_eq!(mode(&letter), 0o644);
    fs::remove_file(&letter).unwrap();
    assert_eq!(open_to_others(dir.path()), Vec::<String>::new());
}
