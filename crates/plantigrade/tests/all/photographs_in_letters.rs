//! Photographs in letters to colleagues and in the family's copy: only with the consent that covers them, only those that
//! somebody chose, and recorded.

use crate::{
    clinic::{AMINA, Browser, Clinic, Page, TODAY, day},
    photographs::{answer, consented, jpeg},
};
use axum::http::{StatusCode, header};
use clinic::{KeptSize, NewPicture};
use photographs::{PictureLimits, prepare};
use plantigrade::family_copy;
use record::{
    Body, ChildId, Consent, ConsentMatter, DocumentHanded, Entry, EntryId, HandedDocument, Photograph,
    PhotographView, Sides,
};
use std::io::{Cursor, Read};

const LETTER: &str = "clinic-summary";
/// The name of the form field that chooses the soles of the left foot.
const LEFT_SOLE: &str = "pair.left.sole";

/// The family consents and says what photographs may be used for.
pub async fn allowed(browser: &mut Browser, child: ChildId, letters: &str, teaching: &str) {
    let path = format!("/child/{child}/photographs");
    let fields = [
        ("relation", "mother"),
        ("answer", "given"),
        ("photographs_in_letters", letters),
        ("photographs_in_teaching", teaching),
    ];
    let page = browser.send(&path, &format!("{path}/consent"), &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
}

/// The last consent to photographs.
fn consent(clinic: &Clinic, child: ChildId) -> Consent {
    let said = |entry: Entry| match entry.body {
        Body::Consent(said) if said.matter == ConsentMatter::Photographs => Some(said),
        _ => None,
    };
    clinic.entries(child).into_iter().rev().find_map(said).unwrap()
}

/// A photograph of an earlier day, kept and written like every other.
fn put(
    clinic: &Clinic,
    child: ChildId,
    (on, feet, view): (&str, Sides, PhotographView),
    seed: u32,
) -> EntryId {
    let made = prepare(&jpeg(seed), &PictureLimits::USUAL).unwrap();
    let new = NewPicture { picture: made.jpeg, thumbnail: made.thumbnail };
    clinic.app.pictures().keep(clinic.app.clock.now(), std::slice::from_ref(&new)).unwrap();
    let body = Photograph::of(feet, view, new.hash(), 640, 480).into();
    let like = clinic.entries(child).remove(0);
    let id = EntryId::new(uuid::Uuid::now_v7());
    let entry = Entry { id, body, on: day(on), at: clinic.app.clock.now(), ..like };
    clinic.app.records.append(vec![entry]).unwrap();
    id
}

/// A child whose family consents, with soles of three days and one other view: the ids in that order.
async fn with_photographs() -> (Clinic, Browser, ChildId, [EntryId; 4]) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let sole = |on| (on, Sides::Left, PhotographView::Sole);
    let behind = (TODAY, Sides::Right, PhotographView::Behind);
    let put = |what, seed| put(&clinic, child, what, seed);
    let ids = [put(sole("2025-02-20"), 1), put(sole("2025-02-27"), 2), put(sole(TODAY), 3), put(behind, 4)];
    (clinic, browser, child, ids)
}

/// Sends the form in which photographs are chosen.
async fn choose(browser: &mut Browser, child: ChildId, fields: &[(&str, &str)]) -> Page {
    let path = format!("/child/{child}/letters/{LETTER}/photographs");
    let csrf = browser.get(&format!("/child/{child}/photographs")).await;
    let csrf = csrf.form(&format!("/child/{child}/photographs/consent"))["csrf"].clone();
    let fields: Vec<(&str, &str)> = fields.iter().copied().chain([("csrf", csrf.as_str())]).collect();
    browser.post(&path, &fields).await
}

fn handed(clinic: &Clinic, child: ChildId) -> Vec<(EntryId, DocumentHanded)> {
    let of = |entry: Entry| match entry.body {
        Body::DocumentHanded(handed) => Some((entry.id, handed)),
        _ => None,
    };
    clinic.entries(child).into_iter().filter_map(of).collect()
}

/// A consent in which nothing was asked, as every older one, and one with a no: no photograph leaves, whatever is sent.
#[tokio::test]
async fn a_consent_that_says_nothing_of_letters_is_for_the_record_alone() {
    let (clinic, mut browser, child, _) = with_photographs().await;
    assert_eq!(consent(&clinic, child).photographs_in_letters, None);
    let send = [("to", "Dr Invented"), (LEFT_SOLE, "yes")];
    for no in [false, true] {
        if no {
            allowed(&mut browser, child, "no", "yes").await;
            let said = consent(&clinic, child);
            let asked = (said.photographs_in_letters, said.photographs_in_teaching);
            assert_eq!(asked, (Some(false), Some(true)));
        }
        let page = browser.get(&format!("/child/{child}/photographs")).await;
        assert!(page.text.contains("They may not be in letters to colleagues: no yes is recorded."));
        let page = browser.get(&format!("/child/{child}/letters/{LETTER}/photographs")).await;
        assert!(page.text.contains("It has not said that they may be in letters"), "{}", page.text);
        assert_eq!(page.count("input[type=checkbox], .photograph-strip img"), 0);
        let page = choose(&mut browser, child, &send).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
        assert_eq!(handed(&clinic, child), []);
    }
}

#[tokio::test]
async fn the_first_and_the_latest_of_a_view_go_into_a_letter_that_is_recorded() {
    let (clinic, mut browser, child, [first, middle, last, behind]) = with_photographs().await;
    allowed(&mut browser, child, "yes", "").await;
    let plain = format!("/child/{child}/letters/{LETTER}");
    let without = browser.get(&plain).await;
    assert_eq!(without.count("main img, .letter-photographs"), 0, "never by default");
    assert_eq!(without.count(&format!("a[href='{plain}/photographs']")), 1);
    let form = browser.get(&format!("{plain}/photographs")).await;
    assert_eq!(form.count("input[type=checkbox]"), 2);
    assert_eq!(form.count("input[checked]"), 0, "nothing is chosen beforehand");
    assert!(
        form.shown("label").contains("Left foot, sole: 20 February 2025 and 4 March 2025"),
        "{}",
        form.text
    );
    for (fields, missing) in [
        (vec![(LEFT_SOLE, "yes")], "Say to whom the letter goes."),
        (vec![("to", "Dr Invented")], "Choose at least one view"),
        (vec![("to", "Dr Invented"), ("pair.left.front", "yes")], "Choose at least one view"),
    ] {
        let page = choose(&mut browser, child, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
        assert!(page.shown(".errors").contains(missing), "{missing}: {}", page.shown(".errors"));
    }
    let page = choose(&mut browser, child, &[("to", "Dr Invented"), (LEFT_SOLE, "yes")]).await;
    let recorded = handed(&clinic, child);
    let [(entry, said)] = recorded.as_slice() else { panic!("{recorded:?}") };
    assert_eq!((said.document, said.to.as_deref()), (HandedDocument::ClinicSummary, Some("Dr Invented")));
    assert_eq!(said.photographs, [first, last], "not the one between, and not the other view");
    assert_eq!(page.location(), format!("{plain}/with/{entry}"));
    let letter = browser.get(page.location()).await;
    let captions = letter.shown(".letter-photographs figcaption");
    assert!(captions.contains("Photograph: left foot, sole, 20 February 2025"), "{captions}");
    assert!(captions.contains("Photograph: left foot, sole, 4 March 2025"), "{captions}");
    let section = letter.shown(".letter-photographs");
    assert!(section.contains("Amina Vesterholt") && section.contains("not measurements"), "{section}");
    for (id, there) in [(first, 1), (last, 1), (middle, 0), (behind, 0)] {
        let picture = format!(".letter-photographs img[src='/child/{child}/photographs/{id}/whole']");
        assert_eq!(letter.count(&picture), there, "{}", letter.text);
    }
    let images = letter.html();
    let shown = scraper::Selector::parse(".letter-photographs img").unwrap();
    let images = images.select(&shown);
    assert!(
        images
            .map(|image| image.attr("alt").unwrap())
            .all(|alt| alt.starts_with("Photograph: left foot, sole"))
    );
    let pdf = browser.get(&format!("{plain}/with/{entry}/pdf")).await;
    assert_eq!((pdf.status, &pdf.text[..5]), (StatusCode::OK, "%PDF-"));
    assert_eq!(pdf.headers[header::CONTENT_DISPOSITION], "inline; filename=\"photographs.pdf\"");
    let whole = format!("{plain}/with/{entry}/letter/pdf");
    assert_eq!(letter.shown(&format!("a[href='{whole}']")), "as PDF", "{}", letter.text);
    let whole = browser.get(&whole).await;
    assert_eq!((whole.status, &whole.text[..5]), (StatusCode::OK, "%PDF-"), "{}", whole.text);
    let name = "inline; filename=\"clinic-summary-with-photographs.pdf\"";
    assert_eq!(whole.headers[header::CONTENT_DISPOSITION], name);
    assert_eq!(whole.headers[header::CACHE_CONTROL], "no-store");
    assert!(
        !browser.get(&plain).await.text.contains("letter-photographs"),
        "the letter itself stays without"
    );
    let page = browser.get(&format!("/child/{child}/photographs")).await;
    let listed = page.shown("[aria-labelledby=handed-head]");
    assert!(listed.contains("4 March 2025: clinic summary, to Dr Invented, with photographs: left foot, sole, 20 February 2025"), "{listed}");
    assert!(!listed.contains("cannot be called back"), "{listed}");
}

/// The form is kept while it is filled in, given back to the same person, and gone once it is saved. After a withdrawal
/// there is no form, and nothing of the draft is shown.
#[tokio::test]
async fn what_is_chosen_for_a_letter_is_kept_as_a_draft() {
    let (clinic, mut browser, child, _) = with_photographs().await;
    allowed(&mut browser, child, "yes", "").await;
    let path = format!("/child/{child}/letters/{LETTER}/photographs");
    let mut form = browser.get(&path).await.form(&path);
    assert_eq!(form["draft"], path);
    form.insert("to".into(), "Dr Invented".into());
    form.insert(LEFT_SOLE.into(), "yes".into());
    let pairs: Vec<(&str, &str)> = form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let kept = browser.post("/draft", &pairs).await;
    assert_eq!(kept.status, StatusCode::OK, "{}", kept.text);
    let page = browser.get(&path).await;
    assert!(page.shown(".restored").contains("restored: not saved yet"), "{}", page.text);
    let again = page.form(&path);
    assert_eq!((again["to"].as_str(), again[LEFT_SOLE].as_str()), ("Dr Invented", "yes"));
    assert_eq!(page.count("input[checked]"), 1, "{}", page.text);
    // Another letter has a form of its own.
    let other = browser.get(&format!("/child/{child}/letters/transfer-summary/photographs")).await;
    assert_eq!((other.count(".restored"), other.count("input[checked]")), (0, 0));
    answer(&mut browser, child, "withdrawn").await;
    let page = browser.get(&path).await;
    assert_eq!((page.count(".restored"), page.text.contains("Dr Invented")), (0, false), "{}", page.text);
    allowed(&mut browser, child, "yes", "").await;
    let saved = browser.send(&path, &path, &[]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let (_, said) = handed(&clinic, child).remove(0);
    assert_eq!((said.to.as_deref(), said.photographs.len()), (Some("Dr Invented"), 2));
    assert_eq!(browser.get(&path).await.count(".restored"), 0, "the draft of a saved form stays");
}

/// Another letter, another child, an entry that is none: no address leads to photographs that were not chosen there.
#[tokio::test]
async fn a_recorded_letter_opens_under_its_own_address_alone() {
    let (clinic, mut browser, child, [first, ..]) = with_photographs().await;
    allowed(&mut browser, child, "yes", "yes").await;
    choose(&mut browser, child, &[("to", "Dr Invented"), (LEFT_SOLE, "yes")]).await;
    let (entry, _) = handed(&clinic, child).remove(0);
    let other = consented(&clinic, &mut browser, &[("family_name", "Brekke"), ("number", "B-1")]).await;
    allowed(&mut browser, other, "yes", "yes").await;
    for path in [
        format!("/child/{other}/letters/{LETTER}/with/{entry}"),
        format!("/child/{child}/letters/transfer-summary/with/{entry}"),
        format!("/child/{child}/letters/{LETTER}/with/{first}"),
        format!("/child/{child}/letters/diploma/with/{entry}"),
    ] {
        assert_eq!(browser.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        for file in ["pdf", "letter/pdf"] {
            let file = browser.get(&format!("{path}/{file}")).await;
            assert_eq!(file.status, StatusCode::NOT_FOUND, "{path}");
        }
    }
    // A letter cannot name a photograph of another child, also where an entry says so.
    let like = clinic.entries(other).remove(0);
    let forged = DocumentHanded {
        photographs: vec![first],
        ..DocumentHanded::of(HandedDocument::ClinicSummary, record::FamilyLanguage::English)
    };
    let id = EntryId::new(uuid::Uuid::now_v7());
    clinic.app.records.append(vec![Entry { id, body: forged.into(), on: day(TODAY), ..like }]).unwrap();
    let page = browser.get(&format!("/child/{other}/letters/{LETTER}/with/{id}")).await;
    assert!(!page.status.is_success() && !page.text.contains("letter-photographs"), "{}", page.text);
}

#[tokio::test]
async fn a_withdrawal_closes_the_letter_and_lists_what_cannot_be_called_back() {
    let (clinic, mut browser, child, [first, ..]) = with_photographs().await;
    allowed(&mut browser, child, "yes", "").await;
    let page = choose(&mut browser, child, &[("to", "Dr Invented"), (LEFT_SOLE, "yes")]).await;
    let letter = page.location().to_owned();
    // Which photographs a letter has is not corrected by hand.
    let (entry, said) = handed(&clinic, child).remove(0);
    let edit = format!("/child/{child}/entry/{entry}");
    let mut fields = browser.get(&edit).await.form(&format!("{edit}/correct"));
    assert_eq!(fields["photographs"].split(' ').count(), 2, "{fields:?}");
    fields.insert("photographs".into(), first.to_string());
    fields.insert("correct_reason".into(), "only one".into());
    let pairs: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let refused = browser.post(&format!("{edit}/correct"), &pairs).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
    assert_eq!(handed(&clinic, child)[0].1, said);

    answer(&mut browser, child, "withdrawn").await;
    for path in [letter.clone(), format!("{letter}/pdf"), format!("{letter}/letter/pdf")] {
        let page = browser.get(&path).await;
        assert!(!page.status.is_success(), "{path}");
        assert!(!page.text.contains("letter-photographs"), "{path}: {}", page.text);
        assert!(!page.text.starts_with("%PDF-"), "{path}");
    }
    let page = browser.get(&format!("/child/{child}/photographs")).await;
    let listed = page.shown("[aria-labelledby=handed-head]");
    assert!(listed.contains("cannot be called back") && listed.contains("to Dr Invented"), "{listed}");
    assert_eq!(page.count(".letter-with-photographs"), 0);
    // Consent for the record alone does not open it again; one for letters does.
    answer(&mut browser, child, "given").await;
    assert!(!browser.get(&letter).await.status.is_success());
    allowed(&mut browser, child, "yes", "").await;
    assert_eq!(browser.get(&letter).await.status, StatusCode::OK);
    // A photograph that is withdrawn, as one of the wrong child, closes the letter that has it.
    let withdraw = format!("/child/{child}/entry/{first}");
    let fields = [("withdraw_reason", "another child")];
    let page = browser.send(&withdraw, &format!("{withdraw}/withdraw"), &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let page = browser.get(&letter).await;
    assert!(page.text.contains("was withdrawn since"), "{}", page.text);
}

/// Saying more about the uses does not put off the last day of a consent, and saving the form as it is changes nothing.
#[tokio::test]
async fn a_consent_that_is_changed_keeps_its_last_day_and_what_was_said() {
    let (clinic, mut browser, child, _) = with_photographs().await;
    let like = clinic.entries(child).pop().unwrap();
    let until = Some(day("2025-09-01"));
    let said = Consent { until, ..consent(&clinic, child) };
    // By the clock of the clinic, so that what is answered afterwards is later.
    let id = EntryId::new(clinic.app.clock.id());
    let entry = Entry { id, body: said.into(), on: day(TODAY), ..like };
    clinic.app.records.append(vec![entry]).unwrap();
    allowed(&mut browser, child, "yes", "no").await;
    let changed = consent(&clinic, child);
    assert_eq!((changed.until, changed.photographs_in_letters), (until, Some(true)));
    let path = format!("/child/{child}/photographs");
    let page = browser.get(&path).await;
    let form = page.form(&format!("{path}/consent"));
    assert_eq!(
        (form["photographs_in_letters"].as_str(), form["photographs_in_teaching"].as_str()),
        ("yes", "no")
    );
    answer(&mut browser, child, "given").await;
    let same = consent(&clinic, child);
    assert_eq!((same.photographs_in_letters, same.photographs_in_teaching), (Some(true), Some(false)));
}

/// What is in a zip: the names, and one file.
fn unpacked(bytes: &[u8], file: &str) -> (Vec<String>, Vec<u8>) {
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let names: Vec<String> = zip.file_names().map(|name| name.unwrap().into_owned()).collect();
    let mut bytes = Vec::new();
    if names.iter().any(|name| name == file) {
        zip.by_name(file).unwrap().read_to_end(&mut bytes).unwrap();
    }
    (names, bytes)
}

#[tokio::test]
async fn the_familys_copy_has_its_photographs_by_day_foot_and_view_and_none_without_a_consent() {
    let (clinic, mut browser, child, [first, ..]) = with_photographs().await;
    let app = &clinic.app;
    let copy = || app.family_copy(child).unwrap().unwrap();
    let (mut names, bytes) = unpacked(&copy().bytes, "photographs/2025-02-20-left-foot-sole.jpg");
    names.sort();
    let expected = [
        "photographs/2025-02-20-left-foot-sole.jpg",
        "photographs/2025-02-27-left-foot-sole.jpg",
        "photographs/2025-03-04-left-foot-sole.jpg",
        "photographs/2025-03-04-right-foot-from-behind.jpg",
        "record.html",
        "record.json",
    ];
    assert_eq!(names, expected);
    let kept = app.records.photographs_of(child, day(TODAY)).unwrap();
    let hash = kept.photographs.iter().find(|one| one.entry == first).unwrap().photograph.picture;
    assert_eq!(Some(bytes), app.pictures().read(hash, KeptSize::Whole).unwrap(), "as it is kept");
    let (_, page) = unpacked(&copy().bytes, "record.html");
    let page = String::from_utf8(page).unwrap();
    assert!(page.contains("photographs/2025-02-20-left-foot-sole.jpg"), "{page}");
    // One that is not kept is said to be missing, and the others are there.
    put(&clinic, child, ("2025-03-01", Sides::Left, PhotographView::Front), 5);
    let lost = app.records.photographs_of(child, day(TODAY)).unwrap();
    let lost = lost.photographs.iter().find(|one| one.photograph.view == PhotographView::Front).unwrap();
    let connection = rusqlite::Connection::open(clinic.dir.path().join(clinic::PICTURES_FILE)).unwrap();
    let gone = connection.execute("DELETE FROM pictures WHERE hash = ?1", [lost.photograph.picture.bytes()]);
    assert_eq!(gone.unwrap(), 1);
    drop(connection);
    let (names, page) = unpacked(&copy().bytes, "record.html");
    assert_eq!(names.len(), 6);
    assert!(
        String::from_utf8(page).unwrap().contains("1 photograph is not in this copy"),
        "said in the copy"
    );

    answer(&mut browser, child, "withdrawn").await;
    let made = (app.clock.now(), day(TODAY));
    let of = family_copy::of_child(&app.records, &app.pictures(), child, "Invented".into(), made);
    let (names, page) = unpacked(&of.unwrap().unwrap().bytes, "record.html");
    assert_eq!(names.len(), 2, "{names:?}");
    assert!(
        String::from_utf8(page).unwrap().contains("no consent to photographs is in force"),
        "said in the copy"
    );
}
