//! Letters to colleagues and the file of a record over HTTP: what the receiving clinic has after the import is the
//! course that was sent.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{AMINA, Browser, Clinic, TODAY, day},
    document_pdf::media_box,
};
use axum::http::{StatusCode, header};
use course::{Course, FootCourse, Phase};
use exchange::{Nothing, Stamp, guess, plan, read_table};
use plantigrade::{app::Mode, clock::Clock, serve};
use record::{Body, ChildId, Entry, EntryId, Side, TenotomyDone};
use std::{collections::BTreeSet, sync::Arc};

const KINDS: [(&str, &str); 3] = [
    ("referrer-letter", "Letter to the referring doctor"),
    ("clinic-summary", "Clinic summary"),
    ("transfer-summary", "Transfer summary"),
];

/// A child with two different feet, recorded through the form.
async fn two_feet() -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/visit");
    let fields = [
        ("on", TODAY),
        ("right.abduction_deg", "-20"),
        ("right.cast", "correction"),
        ("left.abduction_deg", "35"),
        ("note", "first visit"),
    ];
    let page = browser.send(&path, &path, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    (clinic, browser, child)
}

#[tokio::test]
async fn each_letter_opens_with_each_foot_under_its_name() {
    let (_clinic, mut browser, child) = two_feet().await;
    let list = browser.get(&format!("/child/{child}/letters")).await;
    assert_eq!(list.status, StatusCode::OK, "{}", list.text);
    for (key, name) in KINDS {
        assert!(list.shown(".document-list").contains(name), "{name}: {}", list.text);
        let page = browser.get(&format!("/child/{child}/letters/{key}")).await;
        assert_eq!(page.status, StatusCode::OK, "{key}: {}", page.text);
        assert_eq!(page.shown("head > title"), name, "no name in a title");
        assert!(page.shown("main").contains("Amina Vesterholt"), "{}", page.text);
        assert!(page.shown(".signature").contains("ida of the clinic"), "{}", page.text);
        assert!(!page.text.contains(" style=") && !page.text.contains("<style"), "the policy forbids it");
    }
    let letter = browser.get(&format!("/child/{child}/letters/referrer-letter")).await;
    let whole = letter.shown("main").split_whitespace().collect::<Vec<_>>().join(" ");
    let (right, left) = whole.split_once("Left foot").unwrap();
    let right = right.split_once("Right foot").unwrap().1;
    assert!(right.contains("−20°") && !right.contains("+35°"), "{right}");
    assert!(left.contains("+35°") && !left.contains("−20°"), "{left}");
    let summary = browser.get(&format!("/child/{child}/letters/clinic-summary")).await;
    assert_eq!(summary.count(".charts svg"), 2, "a picture of each foot");
    assert!(!summary.text.contains("href=\"/child/") || summary.count(".charts a") == 0, "no link within");
    let missing = browser.get(&format!("/child/{child}/letters/diploma")).await;
    assert_eq!(missing.status, StatusCode::NOT_FOUND);
}

/// A tenotomy of a foot that was never cast: the page of letters warns, and every letter has the doubt at its head.
#[tokio::test]
async fn a_doubt_is_printed_and_never_smoothed_over() {
    let (clinic, mut browser, child) = two_feet().await;
    let like = clinic.entries(child).first().unwrap().clone();
    let entry = Entry {
        id: EntryId::new(uuid::Uuid::now_v7()),
        body: TenotomyDone::on(Side::Left).into(),
        on: day(TODAY),
        ..like
    };
    clinic.app.records.append(vec![entry]).unwrap();
    let list = browser.get(&format!("/child/{child}/letters")).await;
    assert!(list.text.contains("Every letter prints"), "{}", list.text);
    for (key, _) in KINDS {
        let page = browser.get(&format!("/child/{child}/letters/{key}")).await;
        assert!(page.shown(".doubt").contains("Left foot"), "{key}: {}", page.text);
    }
}

/// The real drawing of each foot is in the file of the summary: one that could not be read would be no file at all.
#[tokio::test]
async fn each_letter_is_shown_as_a_file_that_names_no_child() {
    let (_clinic, mut browser, child) = two_feet().await;
    let list = browser.get(&format!("/child/{child}/letters")).await;
    for (key, _) in KINDS {
        let path = format!("/child/{child}/letters/{key}/pdf");
        let link = format!("a[href='{path}']");
        assert_eq!(list.count(&link), 1, "{}", list.text);
        let page = browser.get(&format!("/child/{child}/letters/{key}")).await;
        assert_eq!((page.count(&link), page.shown(&link)), (1, "as PDF".to_owned()), "{}", page.text);
        let file = browser.get(&path).await;
        assert_eq!(file.status, StatusCode::OK, "{path}: {}", file.text);
        assert!(file.text.starts_with("%PDF-1.7"), "{path}");
        assert_eq!(file.headers[header::CONTENT_TYPE], "application/pdf");
        assert_eq!(file.headers[header::CONTENT_DISPOSITION], format!("inline; filename=\"{key}.pdf\""));
        assert_eq!(file.headers[header::CACHE_CONTROL], "no-store");
        // A4 is 841.89 points high, US Letter 612 × 792.
        assert!(media_box(&file.text).contains("841.8"), "{}", media_box(&file.text));
        let on_letter = browser.get(&format!("{path}?paper=letter")).await;
        assert!(media_box(&on_letter.text).contains("612 792"), "{}", media_box(&on_letter.text));
        assert_eq!(browser.get(&path).await.text, file.text, "{path}: the same again");
        assert_eq!(browser.get(&format!("{path}?paper=a3")).await.status, StatusCode::NOT_FOUND);
    }
    let missing = browser.get(&format!("/child/{child}/letters/diploma/pdf")).await;
    assert_eq!(missing.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_letter_that_is_refused_is_refused_as_a_file_in_the_same_words() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, &[("family_name", "Brekke"), ("number", "CF-102")]).await;
    for (key, _) in KINDS {
        let page = browser.get(&format!("/child/{child}/letters/{key}")).await;
        let file = browser.get(&format!("/child/{child}/letters/{key}/pdf")).await;
        assert_eq!(file.status, page.status, "{key}");
        let why = "No affected foot is recorded yet";
        assert!(page.text.contains(why) && file.text.contains(why), "{key}: {}", file.text);
    }
    let list = browser.get(&format!("/child/{child}/letters")).await;
    assert!(!list.text.contains("/pdf"), "{}", list.text);
    // A name in a script without a typeface: the page can be read and printed.
    let fields = [("family_name", "小雨"), ("number", "CF-8"), ("sides", "left")];
    let child = clinic.child(&mut browser, &fields).await;
    for (key, _) in KINDS {
        let file = browser.get(&format!("/child/{child}/letters/{key}/pdf")).await;
        assert!(file.status.is_client_error(), "{key}: {}", file.status);
        assert!(file.text.contains("Open the document as a page instead"), "{key}: {}", file.text);
        let page = browser.get(&format!("/child/{child}/letters/{key}")).await;
        assert_eq!(page.status, StatusCode::OK, "{key}: {}", page.text);
        assert!(page.shown("h1").contains("小雨"), "{key}: {}", page.text);
    }
}

fn told_of(foot: &FootCourse) -> BTreeSet<String> {
    let mut told = BTreeSet::new();
    let side = foot.side;
    told.insert(format!(
        "{side} {:?} {:?} {:?} {:?}",
        foot.nature, foot.complex, foot.earlier_treatment, foot.phase
    ));
    // From when a foot counts as referred follows from the entry that was written first, and a file has the entries
    // in the order of their days.
    told.extend(foot.phases.iter().map(|spell| {
        let from = (spell.phase != Phase::Referred).then_some(spell.from);
        format!("{side} phase {:?} {} {from:?} {:?}", spell.phase, spell.episode, spell.until)
    }));
    told.extend(foot.casts.iter().map(|cast| {
        format!(
            "{side} cast {} {} {} {:?} {:?} {:?}",
            cast.episode, cast.number, cast.on, cast.off, cast.purpose, cast.abduction_deg
        )
    }));
    told.extend(foot.scores.iter().map(|scored| {
        format!(
            "{side} score {} {:?} {:?} {:?} {:?} {:?} {:?}",
            scored.on,
            scored.pirani,
            scored.dimeglio,
            scored.walking,
            scored.abduction_deg,
            scored.dorsiflexion_deg,
            scored.foot_length_mm
        )
    }));
    told.extend(
        foot.tenotomies
            .iter()
            .map(|one| format!("{side} tenotomy {} {:?}", one.on, one.dorsiflexion_after_deg)),
    );
    told.extend(foot.relapses.iter().map(|one| format!("{side} relapse {} {:?}", one.on, one.grade)));
    told.extend(foot.surgery.iter().map(|one| format!("{side} surgery {} {:?}", one.on, one.procedure)));
    told
}

/// What a course says, without the ids of entries, which the receiving clinic gives anew.
fn told(course: &Course) -> BTreeSet<String> {
    let mut told = BTreeSet::new();
    let about = &course.about;
    told.insert(format!(
        "{} {:?} {:?} {:?} {:?}",
        about.full_name(),
        about.born,
        about.numbers,
        about.sex,
        about.address
    ));
    told.extend(about.carers.iter().map(|carer| format!("carer {carer:?}")));
    told.insert(format!("standing {:?}", course.standing));
    course.feet.iter().for_each(|foot| told.extend(told_of(foot)));
    told.extend(course.braces.iter().map(|spell| {
        format!(
            "brace {} {:?} {:?} {:?} {:?}",
            spell.from, spell.until, spell.regime, spell.hours_prescribed, spell.brace
        )
    }));
    told.extend(
        course
            .wear
            .iter()
            .map(|span| format!("wear {:?} {} {} {}", span.kind, span.from, span.to, span.hours_per_day)),
    );
    told.extend(
        course
            .problems
            .iter()
            .map(|one| format!("problem {} {:?} {:?} {:?}", one.on, one.side, one.what, one.note)),
    );
    told.extend(
        course
            .appointments
            .iter()
            .map(|one| format!("appointment {} {:?} {:?}", one.for_day, one.purpose, one.state)),
    );
    told.extend(
        course.contacts.iter().map(|one| format!("contact {} {:?} {}", one.on, one.way, one.reached)),
    );
    told.insert(format!("screening {:?}", course.screening));
    told
}

/// The entries that a clinic has after it imported a file that it had not seen before.
fn imported(bytes: &[u8], name: &str, like: &Entry) -> Vec<Entry> {
    let table = read_table(bytes, name, None).unwrap();
    let map = guess(&table);
    let at = record::Timestamp::from_seconds(like.at.seconds() + 86_400 * 4000);
    let stamp = Stamp { at, today: day(TODAY), by: like.by, site: like.site };
    let mut ids = || uuid::Uuid::now_v7();
    let plan = plan(&table, &map, &Nothing, &stamp, &mut ids, &mut |_| {});
    assert_eq!(plan.report.dispositions.refused, 0, "{:?}", plan.report.not_plain);
    plan.entries
}

/// Every child of the invented clinic, by workbook and by CSV.
#[tokio::test]
async fn the_receiving_clinic_has_the_same_course() {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = Arc::new(serve::demo_app(dir.path(), 40, 7, Clock::new(Some(day(TODAY))), mode).unwrap());
    let (children, _) = app.records.children(None, None, 0, 1000).unwrap();
    let (mut compared, mut differing) = (0, Vec::new());
    for child in children.iter().map(|one| one.child) {
        let entries = app.records.entries(child).unwrap();
        let sent = Course::of(child, &entries, day(TODAY));
        let one = [(child, entries.as_slice())];
        let files = [
            ("record.csv", exchange::export_csv(&one).into_bytes()),
            ("record.xlsx", exchange::export_xlsx(&one).unwrap()),
        ];
        for (name, bytes) in files {
            let came = imported(&bytes, name, &entries[0]);
            let ids: BTreeSet<ChildId> = came.iter().map(|entry| entry.child).collect();
            assert_eq!(ids.len(), 1, "one child stays one child: {name}");
            let received = Course::of(came[0].child, &came, day(TODAY));
            let (sent, received) = (told(&sent), told(&received));
            compared += sent.len();
            let lost: Vec<&String> = sent.difference(&received).collect();
            let new: Vec<&String> = received.difference(&sent).collect();
            if !lost.is_empty() || !new.is_empty() {
                differing.push(format!("{name} of {child}: lost {lost:?}, new {new:?}"));
            }
        }
    }
    assert!(compared > 2_000, "{compared}");
    assert!(differing.is_empty(), "{} files: {}", differing.len(), differing.join("\n"));
}

#[tokio::test]
async fn the_file_is_a_download_whose_name_names_nobody() {
    let (clinic, mut browser, child) = two_feet().await;
    for file in ["record.csv", "record.xlsx"] {
        let page = browser.get(&format!("/child/{child}/record-file/{file}")).await;
        assert_eq!(page.status, StatusCode::OK);
        let disposition = page.headers[header::CONTENT_DISPOSITION].to_str().unwrap();
        assert_eq!(disposition, format!("attachment; filename=\"plantigrade-{file}\""));
        assert_eq!(page.headers[header::CACHE_CONTROL], "no-store");
    }
    let csv = browser.get(&format!("/child/{child}/record-file/record.csv")).await;
    let came = imported(csv.text.as_bytes(), "record.csv", &clinic.entries(child)[0]);
    assert!(
        came.iter()
            .any(|entry| matches!(entry.body, Body::CastApplied(ref cast) if cast.side == Side::Right))
    );
    assert!(
        !came
            .iter()
            .any(|entry| matches!(entry.body, Body::CastApplied(ref cast) if cast.side == Side::Left))
    );
    let other = browser.get(&format!("/child/{child}/record-file/record.exe")).await;
    assert_eq!(other.status, StatusCode::NOT_FOUND);
}
