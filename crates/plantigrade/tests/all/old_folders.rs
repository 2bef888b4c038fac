//! Data folders written by earlier versions of the program are opened by this one: every entry is read, nothing is
//! found wrong, and every page of every child opens.

use crate::{
    clinic::{Browser, NAME, PASSWORD, Page},
    house::root,
    trust::Site,
};
use axum::http::StatusCode;
use clinic::{Account, FILE_NAME};
use plantigrade::{app::App, auth, routes};
use record::{ChildId, Roles, UserId};
use scraper::Selector;
use std::{
    fs,
    path::{Path, PathBuf},
    sync::Arc,
};

/// After everything in the folders.
const TODAY: &str = "2026-12-01";
/// Every page of a child that needs nothing else in its address.
const PAGES: [&str; 14] = [
    "",
    "/visit",
    "/wear",
    "/brace",
    "/brace/sheet",
    "/trouble",
    "/family",
    "/add/note",
    "/add/appointment-made",
    "/erasure",
    "/restriction",
    "/call",
    "/photographs",
    "/documents",
];
const CLINIC_PAGES: [&str; 9] =
    ["/day", "/attention", "/results", "/capacity", "/records", "/people", "/settings", "/stock", "/import"];

fn folders() -> Vec<PathBuf> {
    let all = fs::read_dir(root().join("crates/plantigrade/tests/data/folders")).unwrap();
    let mut folders: Vec<PathBuf> =
        all.map(|found| found.unwrap().path()).filter(|path| path.is_dir()).collect();
    folders.sort_by_key(|path| place(path));
    assert!(folders.len() >= 10, "{folders:?}");
    folders
}

/// The number in front of the name of a folder.
fn place(folder: &Path) -> u32 {
    let name = folder.file_name().unwrap().to_string_lossy().into_owned();
    name.split('-').next().unwrap().parse().unwrap()
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for found in fs::read_dir(from).unwrap() {
        let path = found.unwrap().path();
        fs::copy(&path, to.join(path.file_name().unwrap())).unwrap();
    }
}

/// A copy of a folder, as a clinic that is started again.
fn site(folder: &Path) -> Site {
    let site = Site::new();
    copy(&folder.join("data"), &site.dir.path().join("records"));
    if folder.join("witness").is_dir() {
        copy(&folder.join("witness"), &site.dir.path().join("witness"));
    }
    site
}

fn raw(site: &Site) -> rusqlite::Connection {
    rusqlite::Connection::open(site.dir.path().join("records").join(FILE_NAME)).unwrap()
}

fn number(site: &Site, sql: &str) -> i64 {
    raw(site).query_row(sql, [], |row| row.get(0)).unwrap()
}

const LAYOUT: &str = "SELECT max(number) FROM migrations";

/// Every entry by child, as the program reads them.
fn read(app: &App) -> Vec<(ChildId, usize)> {
    let mut read = Vec::new();
    app.records.for_each_child(&mut |child, entries| read.push((child, entries.len()))).unwrap();
    read
}

/// Opens every page, and every photograph on them. How many photographs there are.
async fn pages_open(app: &Arc<App>, children: &[ChildId], named: &str) -> usize {
    let account = Account {
        id: UserId::new(uuid::Uuid::now_v7()),
        name: "somebody else".into(),
        display_name: NAME.into(),
        password_hash: auth::hash_password(PASSWORD).unwrap(),
        created_at: app.clock.now(),
        disabled: false,
        roles: Roles::FIRST,
        one_time_until: None,
        last_sign_in: None,
    };
    app.records.accounts().create_account(account).unwrap();
    let mut browser = Browser::new(routes::router(Arc::clone(app)));
    let page = browser.sign_in("somebody else", PASSWORD).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{named}: {}", page.text);
    let mut pictures = 0;
    for child in children {
        for page in PAGES {
            let path = format!("/child/{child}{page}");
            let shown = browser.get(&path).await;
            // A child whose treatment has ended, or two records joined in one, leads elsewhere.
            let opens = matches!(shown.status, StatusCode::OK | StatusCode::SEE_OTHER);
            assert!(opens, "{named}: {path}: {} {}", shown.status, shown.text);
            if page == "/photographs" {
                pictures += pictures_open(&mut browser, &shown, named).await;
            }
        }
    }
    for path in CLINIC_PAGES {
        let shown = browser.get(path).await;
        assert_eq!(shown.status, StatusCode::OK, "{named}: {path}: {}", shown.text);
    }
    pictures
}

async fn pictures_open(browser: &mut Browser, page: &Page, named: &str) -> usize {
    let images = Selector::parse("img[src^='/child/']").unwrap();
    let sources: Vec<String> =
        page.html().select(&images).map(|image| image.value().attr("src").unwrap().to_owned()).collect();
    for source in &sources {
        let picture = browser.get(source).await;
        assert_eq!(picture.status, StatusCode::OK, "{named}: {source}");
        assert!(picture.text.contains("JFIF"), "{named}: {source} is no picture");
    }
    sources.len()
}

#[tokio::test]
async fn every_earlier_folder_opens_with_every_entry_and_page() {
    let mut layouts = Vec::new();
    for folder in folders() {
        let named = folder.file_name().unwrap().to_string_lossy().into_owned();
        let site = site(&folder);
        let entries = number(&site, "SELECT count(*) FROM entries WHERE wire IS NOT NULL");
        let before = number(&site, LAYOUT);
        assert!(entries > 20, "{named}: {entries}");
        let app = site.start(TODAY).unwrap_or_else(|sentence| panic!("{named}: {sentence}"));
        assert!(app.saving_refused().is_none(), "{named}");
        let report = app.records.verify().unwrap();
        assert!(report.is_sound() && report.summaries_compared, "{named}: {report}");
        let children = read(&app);
        assert_eq!(children.iter().map(|(_, entries)| *entries).sum::<usize>() as i64, entries, "{named}");
        let children: Vec<ChildId> = children.into_iter().map(|(child, _)| child).collect();
        let pictures = pages_open(&app, &children, &named).await;
        // The invented child with photographs is in the tenth folder.
        assert_eq!(pictures > 0, place(&folder) >= 10, "{named}: {pictures} pictures");
        drop(app);
        layouts.push((before, number(&site, LAYOUT)));
        // And once more, as records of this program.
        let app = site.start(TODAY).unwrap_or_else(|sentence| panic!("{named}: {sentence}"));
        assert!(app.records.verify().unwrap().is_sound(), "{named}");
    }
    let latest = layouts.iter().map(|(_, after)| *after).max().unwrap();
    assert!(layouts.iter().all(|(_, after)| *after == latest), "{layouts:?}");
    let mut earlier: Vec<i64> = layouts.iter().map(|(before, _)| *before).collect();
    earlier.dedup();
    assert!(earlier.len() >= 6 && earlier[0] == 3, "six layouts or more: {layouts:?}");
}

#[test]
fn a_folder_of_a_later_version_is_refused_with_a_sentence() {
    let folder = folders().pop().unwrap();
    let site = site(&folder);
    drop(site.start(TODAY).unwrap());
    let latest = number(&site, LAYOUT);
    raw(&site)
        .execute("INSERT INTO migrations VALUES (?1, 'later', '2030-01-01T00:00:00Z')", [latest + 1])
        .unwrap();
    let before = fs::read(site.dir.path().join("records").join(FILE_NAME)).unwrap();
    let sentence = site.start(TODAY).map(|_| ()).unwrap_err();
    assert!(sentence.contains("newer version of the program"), "{sentence}");
    let after = fs::read(site.dir.path().join("records").join(FILE_NAME)).unwrap();
    assert!(before == after, "nothing was changed");
}
