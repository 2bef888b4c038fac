//! Papers that the clinic prints for itself, as PDF: each says what its page says, to the same reader.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[allow(dead_code)]
#[path = "../../../letters/tests/all/pdf/reading.rs"]
mod reading;

use crate::{
    access_log::person,
    clinic::{Browser, Clinic, Page, TODAY},
    document_pdf::media_box,
    restricted::Restricted,
};
use axum::http::{StatusCode, header};
use reading::{ReadPdf, dictionary};
use record::{ChildId, Role};
use scraper::Selector;

/// The day of the operations, two days after today.
const ON: &str = "2025-03-06";

async fn add(browser: &mut Browser, child: ChildId, kind: &str, fields: &[(&str, &str)]) {
    let path = format!("/child/{child}/add/{kind}");
    let page = browser.send(&path, &path, fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{kind}: {}", page.shown(".errors"));
}

/// Two children with a tenotomy on the day: the right foot of Per, weighed and with refused consent, at a quarter past
/// eight; the left foot of Sunniva.
async fn two_booked() -> (Clinic, Browser, [ChildId; 2]) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let mut children = Vec::new();
    for (family, given, number, side) in
        [("Aas", "Per", "CF-111", "right"), ("Vesterholt", "Sunniva", "CF-110", "left")]
    {
        let fields = [
            ("family_name", family),
            ("given_name", given),
            ("number", number),
            ("born", "2025-01-14"),
            ("gestation_weeks", "40"),
            ("sides", side),
            ("nature", "idiopathic"),
        ];
        let child = clinic.child(&mut browser, &fields).await;
        add(&mut browser, child, "tenotomy-booked", &[("side", side), ("planned_on", ON)]).await;
        children.push(child);
    }
    let [per, sunniva] = children[..] else { panic!("two") };
    let made = [("for_day", ON), ("time", "08:15"), ("purpose", "tenotomy")];
    add(&mut browser, per, "appointment-made", &made).await;
    add(&mut browser, per, "weighed", &[("weight_g", "4800")]).await;
    let refused = [("matter", "tenotomy"), ("answer", "refused"), ("relation", "mother")];
    add(&mut browser, per, "consent", &refused).await;
    (clinic, browser, [per, sunniva])
}

/// Without spaces and places to break a word: lines are broken elsewhere than on the page. Without room to write, which
/// a page shows by signs and a paper draws.
fn tight(text: &str) -> String {
    let kept =
        |c: &char| !c.is_whitespace() && !matches!(c, '\u{200B}'..='\u{200D}' | '\u{AD}' | '☐' | '_' | '/');
    text.chars().filter(kept).collect()
}

fn has(text: &str, words: &str) -> bool {
    tight(text).contains(&tight(words))
}

/// The pieces of text that a page prints within these elements.
fn pieces(page: &Page, selector: &str) -> Vec<String> {
    let html = page.html();
    let mut found = Vec::new();
    for element in html.select(&Selector::parse(selector).unwrap()) {
        for node in element.descendants() {
            let Some(text) = node.value().as_text() else { continue };
            let is_hidden = |outer: &scraper::Node| {
                outer
                    .as_element()
                    .is_some_and(|one| one.classes().any(|class| class == "sr" || class == "no-print"))
            };
            let hidden = node.ancestors().any(|outer| is_hidden(outer.value()));
            if !hidden && text.chars().any(char::is_alphanumeric) {
                found.push(text.trim().to_owned());
            }
        }
    }
    found
}

async fn read(browser: &mut Browser, path: &str) -> ReadPdf {
    let file = browser.get(path).await;
    assert_eq!(file.status, StatusCode::OK, "{path}: {}", file.text);
    assert_eq!(file.headers[header::CONTENT_TYPE], "application/pdf", "{path}");
    assert_eq!(file.headers[header::CACHE_CONTROL], "no-store", "{path}");
    ReadPdf::of(&file.bytes)
}

/// That the paper has every piece of these elements of its page, which are so many at least.
async fn says_the_page(browser: &mut Browser, (page, pdf): (&str, &str), selector: &str, least: usize) {
    let shown = browser.open(page).await;
    assert!(shown.text.contains(&format!("href=\"{}", pdf.split('?').next().unwrap())), "{page} has no link");
    let file = read(browser, pdf).await;
    // What is at the head and the foot of each page is drawn and not read aloud.
    let text = format!("{} {}", file.text(), file.page_texts.join(" "));
    let pieces = pieces(&shown, selector);
    assert!(pieces.len() >= least, "{page}: {pieces:?}");
    for piece in pieces {
        assert!(has(&text, &piece), "{pdf}: “{piece}” is missing in {text}");
    }
}

#[tokio::test]
async fn each_paper_says_what_its_page_says() {
    let (_clinic, mut browser, [per, _]) = two_booked().await;
    let child = format!("/child/{per}/tenotomy");
    let typed = "lidocaine.conc=1&lidocaine.unit=percent&lidocaine.ml=0.5";
    let checklist = format!("{child}?on={ON}&{typed}");
    let checklist_pdf = format!("{child}/pdf?on={ON}&{typed}");
    let of_checklist = ".checklist-day strong, .checklist-sides, table.checklist th, table.checklist td, \
        .by-hand, .ceiling-drug summary, .ceiling-mg, .ceiling-sum, .ceiling .caution";
    says_the_page(&mut browser, (&checklist, &checklist_pdf), of_checklist, 40).await;
    let (day, day_pdf) = (format!("/theatre/day?on={ON}"), format!("/theatre/day/pdf?on={ON}"));
    // Seven heads, and of each child at least time, name, facts, foot and what is missing.
    says_the_page(&mut browser, (&day, &day_pdf), "h1, table.theatre-day", 7 + 2 * 5).await;
    let (day, day_pdf) = (format!("/day?on={ON}"), format!("/day/pdf?on={ON}"));
    let of_day = ".clock, .purpose, .who-name, .feet-lines li, .day-steps .step-line strong, .day-call";
    says_the_page(&mut browser, (&day, &day_pdf), of_day, 5).await;
    add(&mut browser, per, "appointment-made", &[("for_day", TODAY), ("purpose", "cast")]).await;
    assert_eq!(browser.send("/day", "/day/missed", &[]).await.status, StatusCode::SEE_OTHER);
    says_the_page(&mut browser, ("/calls", "/calls/pdf"), "h1, .who-name, .call-text, .call-what > p", 4)
        .await;
    says_the_page(&mut browser, ("/stock", "/stock/pdf"), "h1, .tally, #needs-head, #bars-head", 4).await;
}

/// The sheets have every question and every answer of their page, which has those of the form.
#[tokio::test]
async fn the_blank_sheets_have_every_question_and_answer() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    for (key, pages, least) in [("visit", 3, 150), ("tenotomy", 1, 30)] {
        let (page, pdf) = (format!("/sheets/{key}"), format!("/sheets/{key}/pdf"));
        says_the_page(&mut browser, (&page, &pdf), ".blank-sheet", least).await;
        for paper in ["a4", "letter"] {
            let read = read(&mut browser, &format!("{pdf}?paper={paper}")).await;
            assert!(read.pages() <= pages, "{key} on {paper}: {} pages", read.pages());
            for page in &read.page_texts {
                assert!(
                    has(page, "Right foot") || !has(page, "Left foot"),
                    "{key}: a foot without the other"
                );
            }
        }
    }
    let page = browser.get("/sheets/wish-list/pdf").await;
    assert_eq!(page.status, StatusCode::NOT_FOUND);
}

/// The foot, the name, the number and the day of birth are on each page; the title of the file names nobody.
#[tokio::test]
async fn the_checklist_names_foot_and_child_on_every_page() {
    let (_clinic, mut browser, [per, sunniva]) = two_booked().await;
    for (child, foot, name, number) in
        [(per, "RIGHT foot", "Per Aas", "CF-111"), (sunniva, "LEFT foot", "Sunniva Vesterholt", "CF-110")]
    {
        let file = read(&mut browser, &format!("/child/{child}/tenotomy/pdf?on={ON}")).await;
        for page in &file.page_texts {
            for words in [foot, name, number, "14 January 2025", "Made on 4 March 2025"] {
                assert!(has(page, words), "{words}: {page}");
            }
        }
        let other = if foot.starts_with("RIGHT") { "LEFT" } else { "RIGHT" };
        assert!(!has(&file.page_texts.join(" "), other), "the other foot is named in capitals");
        let info = dictionary(&file.file, file.file.trailer.get(b"Info").unwrap());
        let title = lopdf::decode_text_string(info.get(b"Title").unwrap()).unwrap();
        assert_eq!(title, "Tenotomy checklist");
    }
}

/// The list has the time and the foot of each child; who may not see treatment is not told why a point stops it.
#[tokio::test]
async fn the_theatre_reads_its_list_and_nothing_of_treatment() {
    let (clinic, mut browser, [per, _]) = two_booked().await;
    let (path, checklist) = (format!("/theatre/day/pdf?on={ON}"), format!("/child/{per}/tenotomy/pdf"));
    let text = read(&mut browser, &path).await.text();
    for words in ["08:15", "Per Aas", "RIGHT", "4800 g", "Sunniva Vesterholt", "LEFT", "no time"] {
        assert!(has(&text, words), "{words}: {text}");
    }
    let ask = "Consent to the tenotomy: ask the treating clinician";
    assert!(has(&text, "Stop: Consent to the tenotomy") && !has(&text, ask), "{text}");
    let (_, mut theatre) = person(&clinic, "theo", Role::Theatre).await;
    let text = read(&mut theatre, &path).await.text();
    assert!(has(&text, "Per Aas") && has(&text, ask), "{text}");
    for path in [checklist.as_str(), "/day/pdf", "/calls/pdf", "/stock/pdf"] {
        assert_eq!(theatre.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    let (_, mut coordinator) = person(&clinic, "liv", Role::Coordinator).await;
    for path in [checklist.as_str(), path.as_str()] {
        assert_eq!(coordinator.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    // The phase of the foot is treatment; the page of the day does not tell it to a coordinator either.
    let day = format!("/day/pdf?on={ON}");
    let (own, full) = (read(&mut coordinator, &day).await.text(), read(&mut browser, &day).await.text());
    let phases = pieces(&browser.get(&format!("/day?on={ON}")).await, ".feet-lines li");
    assert!(phases.len() >= 2 && has(&own, "Per Aas"), "{phases:?}: {own}");
    for piece in phases {
        assert!(has(&full, &piece) && !has(&own, &piece), "“{piece}”: {full} | {own}");
    }
}

/// Of a closed record a paper has the number and what the page says in place of the rest.
#[tokio::test]
async fn a_restricted_record_is_closed_on_paper_too() {
    let mut clinic = Restricted::new().await;
    let booked = [("side", "right"), ("planned_on", ON)];
    add(&mut clinic.named, clinic.child, "tenotomy-booked", &booked).await;
    let path = format!("/theatre/day/pdf?on={ON}");
    let closed = read(&mut clinic.other, &path).await.text();
    assert!(has(&closed, "CF-777") && has(&closed, "Restricted record"), "{closed}");
    assert!(has(&closed, "This record is restricted."), "{closed}");
    let named = read(&mut clinic.named, &path).await.text();
    assert!(has(&named, "Quillfeather") && has(&named, "RIGHT"), "{named}");
    let day = read(&mut clinic.other, &format!("/day/pdf?on={TODAY}")).await.text();
    for (paper, text) in [("theatre", &closed), ("day", &day)] {
        for word in ["Quillfeather", "Hildegund", "18 February 2025", "RIGHT", "right foot"] {
            assert!(!has(text, word), "{paper} tells {word}: {text}");
        }
    }
    let checklist = format!("/child/{}/tenotomy/pdf", clinic.child);
    assert_eq!(clinic.other.get(&checklist).await.status, StatusCode::FORBIDDEN);
    assert_eq!(clinic.named.get(&checklist).await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_name_without_a_typeface_is_refused_and_the_page_shows_it() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [("family_name", "小雨"), ("number", "CF-8"), ("sides", "left")];
    let child = clinic.child(&mut browser, &fields).await;
    add(&mut browser, child, "tenotomy-booked", &[("side", "left"), ("planned_on", ON)]).await;
    for path in [format!("/child/{child}/tenotomy"), "/theatre/day".to_owned()] {
        let file = browser.get(&format!("{path}/pdf?on={ON}")).await;
        assert!(file.status.is_client_error(), "{path}: {}", file.status);
        assert!(file.text.contains("Open the document as a page instead"), "{}", file.text);
        assert!(browser.get(&format!("{path}?on={ON}")).await.text.contains("小雨"), "{path}");
    }
}

#[tokio::test]
async fn a_paper_is_on_the_paper_of_the_clinic_unless_another_is_named() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    for path in ["/theatre/day/pdf", "/day/pdf", "/calls/pdf", "/stock/pdf", "/sheets/tenotomy/pdf"] {
        assert!(
            media_box(&browser.get(path).await.text).contains("841.8"),
            "{path}: A4 is 841.89 points high"
        );
        let letter = browser.get(&format!("{path}?paper=letter")).await;
        assert!(media_box(&letter.text).contains("612 792"), "{path}: {}", media_box(&letter.text));
        assert_eq!(browser.get(&format!("{path}?paper=a3")).await.status, StatusCode::NOT_FOUND, "{path}");
    }
}
