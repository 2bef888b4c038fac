//! No address and no title holds who a child is: both stay in histories, logs and bookmarks, on the screen of a shared
//! computer and in the header of a print.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, Page, TODAY, day};
use axum::http::StatusCode;
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    routes::{self, DEMO_ACCOUNT},
    serve::demo_app,
};
use record::{Body, ChildId};
use scraper::{Html, Selector};
use std::{
    collections::{BTreeSet, VecDeque},
    sync::Arc,
};
use tempfile::TempDir;

/// Pages looked at of one pattern: the children of the invented clinic differ in what their pages link to.
const PER_PATTERN: usize = 8;

async fn invented() -> (TempDir, Arc<App>, Browser) {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = Arc::new(demo_app(dir.path(), 60, 1, Clock::invented(Some(day(TODAY))), mode).unwrap());
    let mut browser = Browser::new(routes::router(app.clone()));
    assert_eq!(browser.sign_in(DEMO_ACCOUNT.0, DEMO_ACCOUNT.1).await.status, StatusCode::SEE_OTHER);
    (dir, app, browser)
}

/// Who a child is: the words of its names and those of its carers, its numbers, and their telephones.
struct Identity {
    child: ChildId,
    words: BTreeSet<String>,
    full_name: String,
    number: String,
    phone: String,
}

fn identities(app: &App) -> Vec<Identity> {
    let children = app.records.children(None, None, 0, 10_000).unwrap().0;
    children.iter().map(|row| identity(app, row.child)).collect()
}

fn identity(app: &App, child: ChildId) -> Identity {
    let mut identity = Identity {
        child,
        words: BTreeSet::new(),
        full_name: String::new(),
        number: String::new(),
        phone: String::new(),
    };
    for entry in app.records.entries(child).unwrap() {
        let Body::Registration(about) = &entry.body else { continue };
        for name in [&about.family_name, &about.given_name] {
            identity.words.extend(words_of(name));
        }
        identity.full_name = format!("{} {}", about.given_name, about.family_name).trim().to_owned();
        identity.words.extend(about.numbers.iter().map(|number| number.to_lowercase()));
        identity.number = about.numbers.first().cloned().unwrap_or_default();
        for carer in &about.carers {
            identity.words.extend(words_of(&carer.name));
            identity.phone = carer.phone.clone().unwrap_or_default();
            identity.words.extend(carer.phone.as_deref().map(digits));
        }
    }
    identity.words.retain(|word| word.len() > 2 && !USUAL.contains(&word.as_str()));
    identity
}

/// Words of carers that tell nobody.
const USUAL: [&str; 6] = ["mother", "father", "aunt", "grandmother", "the", "child"];

fn words_of(text: &str) -> Vec<String> {
    text.split(|char: char| !char.is_alphanumeric()).map(str::to_lowercase).collect()
}

fn digits(phone: &str) -> String {
    phone.chars().filter(char::is_ascii_digit).collect()
}

/// The words that identify somebody within a text, whether it is an address or a title.
fn tells<'a>(all: &'a BTreeSet<String>, text: &str) -> Vec<&'a str> {
    let decoded: String = plantigrade::access_noting::decoded(text).to_lowercase();
    // Tokens and ids are random; a word within them means nothing.
    let parts: BTreeSet<&str> = decoded.split(|char: char| !char.is_alphanumeric()).collect();
    let in_full = |word: &&String| {
        word.len() > 5 && word.contains(|char: char| !char.is_alphabetic()) && digits_within(&decoded, word)
    };
    all.iter().filter(|word| parts.contains(word.as_str()) || in_full(word)).map(String::as_str).collect()
}

fn digits_within(text: &str, word: &str) -> bool {
    text.split(['/', '?', '&', '='])
        .any(|part| part == word || digits(part) == digits(word) && part.len() < 20)
}

/// The addresses on a page: of links, of forms, of pictures and files.
fn addresses(page: &Html) -> Vec<String> {
    let of = |selector: &str, name: &str| -> Vec<String> {
        let selector = Selector::parse(selector).unwrap();
        page.select(&selector).filter_map(|element| Some(element.attr(name)?.to_owned())).collect()
    };
    [of("a[href]", "href"), of("form[action]", "action"), of("[src]", "src"), of("link[href]", "href")]
        .concat()
        .into_iter()
        .filter(|address| address.starts_with('/'))
        .collect()
}

/// What kind of page an address leads to: without what differs from one child and one day to the next.
fn pattern(address: &str) -> String {
    let varies = |part: &&str| part.len() >= 20 || part.contains(|char: char| char.is_ascii_digit());
    let parts: Vec<&str> =
        address.split(['/', '?', '&', '=']).map(|part| if varies(&part) { "*" } else { part }).collect();
    parts.join("/")
}

/// Goes through every page that the pages lead to, and hands each to `look`.
async fn tour(browser: &mut Browser, mut look: impl FnMut(&str, &Page)) -> usize {
    let mut seen = BTreeSet::new();
    let mut of_pattern = std::collections::BTreeMap::<String, usize>::new();
    let mut open: VecDeque<String> = ["/day", "/account", "/drafts", "/help"].map(str::to_owned).into();
    while let Some(address) = open.pop_front() {
        let count = of_pattern.entry(pattern(&address)).or_default();
        if *count >= PER_PATTERN || !seen.insert(address.clone()) {
            continue;
        }
        *count += 1;
        let page = browser.get(&address).await;
        assert_ne!(page.status, StatusCode::INTERNAL_SERVER_ERROR, "{address}: {}", page.text);
        look(&address, &page);
        if !page.location().is_empty() {
            open.push_back(page.location().to_owned());
        }
        open.extend(addresses(&page.html()));
    }
    seen.len()
}

#[tokio::test]
async fn no_address_and_no_title_holds_a_name_a_number_or_a_telephone() {
    let (_dir, app, mut browser) = invented().await;
    let people = identities(&app);
    let all: BTreeSet<String> = people.iter().flat_map(|who| who.words.iter().cloned()).collect();
    assert!(all.len() > 150, "{}", all.len());
    let mut wrong = BTreeSet::new();
    let (mut titles, mut checked) = (BTreeSet::new(), BTreeSet::new());
    let pages = tour(&mut browser, |address, page| {
        let title = page.shown("title");
        let mut check = |what: &str, text: &str| {
            let found = tells(&all, text);
            if !found.is_empty() {
                wrong.insert(format!("{what} of {address}: {text}: {found:?}"));
            }
        };
        check("title", &title);
        check("location", page.location());
        for named in addresses(&page.html()) {
            check("link", &named);
            checked.insert(named);
        }
        titles.insert(title);
    })
    .await;
    println!("{pages} pages, {} titles, {} addresses", titles.len(), checked.len());
    assert!(wrong.is_empty(), "{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
    assert!(pages > 150 && titles.len() > 40 && checked.len() > 500);
    let child = people.iter().find(|who| who.full_name.len() > 6).unwrap();
    let page = browser.get(&format!("/child/{}", child.child)).await;
    assert!(
        page.shown("h1").contains(&child.full_name),
        "the page itself says whose it is: {}",
        page.shown("h1")
    );
    // The check can fail.
    assert!(!tells(&all, &format!("/find?q={}", child.full_name.replace(' ', "+"))).is_empty());
    assert!(!tells(&all, &format!("Visit: {}", child.full_name)).is_empty());
    assert!(!tells(&all, &format!("/find?q={}", child.number)).is_empty());
}

#[tokio::test]
async fn a_search_leads_to_an_address_without_what_was_typed_and_can_be_gone_back_to() {
    let (_dir, app, mut browser) = invented().await;
    let people = identities(&app);
    let child = people.iter().find(|who| !who.phone.is_empty() && who.full_name.len() > 6).unwrap();
    let other = people.iter().find(|who| who.child != child.child).unwrap().child;
    let on = app.records.entries(other).unwrap().last().unwrap().on;
    for typed in [&child.full_name, &child.number, &child.phone] {
        for page in [
            "/find".to_owned(),
            format!("/child/{other}/join"),
            format!("/child/{other}/family"),
            format!("/child/{other}/visit/{on}/change?how=child"),
        ] {
            let csrf = browser.get("/day").await.form("/find")["csrf"].clone();
            let fields = [("csrf", csrf.as_str()), ("page", page.as_str()), ("q", typed.as_str())];
            let led = browser.post("/find", &fields).await;
            let address = led.location().to_owned();
            assert_eq!(led.status, StatusCode::SEE_OTHER, "{page}: {}", led.text);
            assert!(address.starts_with(&page) && address.contains("search="), "{address}");
            assert_eq!(tells(&child.words, &address), Vec::<&str>::new(), "{address}");
            for turn in ["at first", "gone back to"] {
                let found = browser.get(&address).await;
                assert!(found.text.contains(&child.child.to_string()), "{turn}: {page}, {typed}");
            }
        }
    }
    let forgotten = browser.get("/find?search=000000000000000000000000").await;
    assert!(forgotten.text.contains("not remembered any more"), "{}", forgotten.text);
    let csrf = browser.get("/day").await.form("/find")["csrf"].clone();
    for elsewhere in ["//elsewhere.example/join", "https://elsewhere.example", "/people", "/child/1/erasure"]
    {
        let led = browser.post("/find", &[("csrf", &csrf), ("page", elsewhere), ("q", "a")]).await;
        assert_eq!(led.status, StatusCode::NOT_FOUND, "{elsewhere}");
    }
    assert_eq!(browser.post("/find", &[("q", "a")]).await.status, StatusCode::FORBIDDEN, "without the token");
}
