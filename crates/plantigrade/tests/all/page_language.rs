//! The language in which a person reads pages: chosen once, kept with the account, and never mixed up between people.

use crate::clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, Page, TODAY, day};
use axum::http::StatusCode;
use pages::PageLanguage;
use plantigrade::{
    app::{App, Mode},
    auth::SignedIn,
    clock::Clock,
    routes::{self, DEMO_ACCOUNT},
    serve::demo_app,
    web::Visitor,
};
use record::{Body, Roles, UserId};
use scraper::{ElementRef, Node};
use std::{collections::BTreeSet, fs, path::Path, sync::Arc};

async fn choose(browser: &mut Browser, tag: &str) -> Page {
    browser.send("/account", "/account/language", &[("language", tag)]).await
}

fn language_of(page: &Page) -> String {
    let html = page.html();
    html.root_element().attr("lang").unwrap().to_owned()
}

#[tokio::test]
async fn a_person_reads_the_day_in_the_language_chosen_and_nobody_else_does() {
    let (clinic, mut ida) = Clinic::signed_in().await;
    clinic.account("bo", PASSWORD);
    let mut bo = Browser::new(clinic.router.clone());
    bo.sign_in("bo", PASSWORD).await;
    clinic.child(&mut ida, AMINA).await;
    let english = ida.get("/day").await;
    assert_eq!(language_of(&english), "en");
    let saved = choose(&mut ida, "es").await;
    assert_eq!((saved.status, saved.location()), (StatusCode::SEE_OTHER, "/account?done=language"));
    let account = ida.get("/account?done=language").await;
    assert_eq!(account.form("/account/language")["language"], "es");
    assert_eq!(language_of(&account), "en", "a page that is not translated says that it is English");
    let spanish = ida.get("/day").await;
    assert_eq!(language_of(&spanish), "es");
    assert!(spanish.shown("h1").starts_with("martes, 4 de marzo de 2025"), "{}", spanish.shown("h1"));
    assert!(
        ida.get("/day?done=moved").await.shown(".message.done").contains("La cita está cambiada de día.")
    );
    assert_eq!(language_of(&bo.get("/day").await), "en");
    assert!(bo.get("/day?done=moved").await.shown(".message.done").contains("The appointment is moved."));
}

#[tokio::test]
async fn the_choice_holds_on_other_devices_and_after_a_new_start_and_is_taken_back() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    choose(&mut browser, "es").await;
    let mut elsewhere = Browser::elsewhere(clinic.router.clone());
    elsewhere.sign_in(NAME, PASSWORD).await;
    assert_eq!(language_of(&elsewhere.get("/day").await), "es");
    // A browser of the test holds the records open.
    drop((browser, elsewhere));
    let clinic = clinic.started_again();
    let mut browser = clinic.browser_signed_in().await;
    assert_eq!(language_of(&browser.get("/day").await), "es");
    choose(&mut browser, "en").await;
    assert_eq!(language_of(&browser.get("/day").await), "en");
}

#[tokio::test]
async fn a_language_that_pages_do_not_have_is_refused() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    // French is a language of documents, and not yet of pages.
    for tag in ["fr", "", "xx"] {
        assert_eq!(choose(&mut browser, tag).await.status, StatusCode::NOT_FOUND, "{tag}");
    }
    assert_eq!(language_of(&browser.get("/day").await), "en");
}

/// Of two visitors who differ in nothing but the language neither is given a page that was drawn for the other.
#[tokio::test]
async fn saved_pages_of_two_languages_have_different_keys() {
    let (clinic, _) = Clinic::signed_in().await;
    let visitor = |language| {
        let who = SignedIn {
            user: UserId::new(uuid::Uuid::from_u128(1)),
            name: "Ida".into(),
            roles: Roles::FIRST,
            csrf: "token".into(),
            has_second_factor: true,
            language,
        };
        Visitor { who: Some(Arc::new(who)), ..Visitor::default() }
    };
    let key = |language| clinic.app.reader_key(&visitor(language));
    let keys: BTreeSet<String> = PageLanguage::ALL.into_iter().map(key).collect();
    assert_eq!(keys.len(), PageLanguage::ALL.len(), "{keys:?}");
    assert_eq!(key(PageLanguage::Spanish), key(PageLanguage::Spanish));
}

/// A page that is saved is drawn anew for who has chosen another language, and from memory for who chose none.
#[tokio::test(flavor = "multi_thread")]
async fn a_saved_page_is_drawn_again_in_another_language() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    clinic.child(&mut browser, AMINA).await;
    browser.get("/attention").await;
    let drawn = clinic.app.drawing.drawn();
    browser.get("/attention").await;
    assert_eq!(clinic.app.drawing.drawn(), drawn, "saved");
    choose(&mut browser, "es").await;
    browser.get("/attention").await;
    assert_eq!(clinic.app.drawing.drawn(), drawn + 1);
}

fn words(text: &str) -> impl Iterator<Item = String> {
    text.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty()).map(str::to_lowercase)
}

/// The words of the messages of a language, without the names of what is put in and the keys of choices.
fn vocabulary(tag: &str) -> BTreeSet<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../pages/texts").join(tag);
    let mut found = BTreeSet::new();
    for file in fs::read_dir(folder).unwrap() {
        let text = fs::read_to_string(file.unwrap().path()).unwrap();
        for line in text.lines().filter(|line| !line.starts_with('#')) {
            let words_of_line = line.split_once(" = ").map_or(line, |(_, text)| text).split_whitespace();
            let is_syntax = |part: &str| part.starts_with(['$', '[']) || part.starts_with("*[");
            words_of_line.filter(|part| !is_syntax(part)).for_each(|part| found.extend(words(part)));
        }
    }
    found
}

/// Every text outside the parts marked as English.
fn texts(element: ElementRef<'_>, english: bool, found: &mut Vec<String>) {
    let english = element.attr("lang").map_or(english, |lang| lang == "en");
    if !english {
        found.extend(element.attr("aria-label").map(str::to_owned));
    }
    for child in element.children() {
        if let Some(element) = ElementRef::wrap(child) {
            texts(element, english, found);
        } else if let (Node::Text(text), false) = (child.value(), english) {
            found.push(text.to_string());
        }
    }
}

/// The given and family names of every child.
fn names(app: &App) -> BTreeSet<String> {
    let children = app.records.children(None, None, 0, 10_000).unwrap().0;
    let mut found = BTreeSet::new();
    for row in children {
        for entry in app.records.entries(row.child).unwrap() {
            if let Body::Registration(about) = &entry.body {
                found.extend(words(&about.given_name).chain(words(&about.family_name)));
            }
        }
    }
    found
}

/// Five weeks of the invented clinic: whatever is on a day there, no English word stands outside what is marked.
#[tokio::test]
async fn days_of_the_invented_clinic_have_no_english_word_outside_what_is_marked() {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = Arc::new(demo_app(dir.path(), 60, 1, Clock::invented(Some(day(TODAY))), mode).unwrap());
    let mut browser = Browser::new(routes::router(app.clone()));
    browser.sign_in(DEMO_ACCOUNT.0, DEMO_ACCOUNT.1).await;
    choose(&mut browser, "es").await;
    let mut typed = names(&app);
    typed.extend(words(&app.settings().name));
    let (of_english, of_spanish) = (vocabulary("en"), vocabulary("es"));
    let english: BTreeSet<&String> =
        of_english.iter().filter(|word| !of_spanish.contains(*word) && !typed.contains(*word)).collect();
    assert!(english.len() > 200, "{}", english.len());
    let (mut rows, mut steps, mut called, mut named) = (0, 0, 0, 0);
    for number in -21..14 {
        let on = day(TODAY) + number;
        let page = browser.get(&format!("/day?on={on}")).await;
        assert_eq!((page.status, language_of(&page).as_str()), (StatusCode::OK, "es"), "{}", page.text);
        let mut found = Vec::new();
        texts(page.html().root_element(), false, &mut found);
        for text in found {
            let wrong: Vec<String> = words(&text).filter(|word| english.contains(word)).collect();
            assert!(wrong.is_empty(), "{on}: {wrong:?} in “{text}”");
            // What stands before the words of a call within a step.
            called += usize::from(text.contains("se adelanta: ") || text.starts_with("Hoy: "));
        }
        rows += page.count(".day-row");
        steps += page.count(".step-line");
        named += words(&page.shown(".who-name")).filter(|word| typed.contains(word)).count();
    }
    assert!(rows > 40 && steps > 20 && called > 0 && named >= rows, "{rows} {steps} {called} {named}");
}
