//! Photographs that are not for everybody: those of a restricted record, and those whose consent was taken back.

use crate::{
    access_log::rows,
    clinic::{AMINA, Browser, Clinic, Page, TODAY},
    photographs::{answer, consented, jpeg, kept, photographs, picture},
    restricted::{Restricted, is_refused},
};
use axum::{
    body::Body as RequestBody,
    http::{Request, StatusCode, header},
};
use clinic::AccessOutcome;
use record::{
    ChildId, Entry, EntryId, PhotographAngle, PhotographAngleMeasured, PhotographView, PictureTaps, Side,
};

/// Asks for a small picture as a browser does that has stored one before.
async fn asked_again(browser: &mut Browser, child: ChildId, entry: EntryId, tags: &str) -> Page {
    let request = Request::get(format!("/child/{child}/photographs/{entry}/small"))
        .header(header::IF_NONE_MATCH, tags)
        .body(RequestBody::empty())
        .unwrap();
    browser.request(request).await
}

fn head(page: &Page, name: header::HeaderName) -> &str {
    page.headers.get(name).map_or("", |value| value.to_str().unwrap())
}

/// A browser may store a small picture, has to ask each time, and is told that it has gone after a withdrawal. A whole
/// picture is stored by nobody.
#[tokio::test]
async fn a_stored_thumbnail_is_asked_for_each_time_and_refused_after_a_withdrawal() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = consented(&clinic, &mut browser, AMINA).await;
    let two = [("left", PhotographView::Sole, jpeg(1)), ("right", PhotographView::Sole, jpeg(2))];
    kept(&mut browser, child, TODAY, &two).await;
    let on_record = photographs(&clinic, child);
    let (entry, other) = (on_record[0].0, on_record[1].0);
    let first = picture(&mut browser, child, entry, "small").await;
    let tag = head(&first, header::ETAG).to_owned();
    assert_eq!((first.status, head(&first, header::CACHE_CONTROL)), (StatusCode::OK, "private, no-cache"));
    assert!(tag.contains(&on_record[0].1.picture.to_string()), "{tag}");
    for tags in [tag.clone(), format!("W/{tag}"), format!("\"another\", {tag}")] {
        let again = asked_again(&mut browser, child, entry, &tags).await;
        assert_eq!((again.status, again.text.len()), (StatusCode::NOT_MODIFIED, 0), "{tags}");
        assert_eq!(head(&again, header::CACHE_CONTROL), "private, no-cache");
        assert_eq!(head(&again, header::ETAG), tag);
    }
    for tags in ["\"another\"", ""] {
        assert_eq!(asked_again(&mut browser, child, entry, tags).await.status, StatusCode::OK, "{tags}");
    }
    // The tag of one picture does not answer for another one.
    assert_eq!(asked_again(&mut browser, child, other, &tag).await.status, StatusCode::OK);
    let whole = picture(&mut browser, child, entry, "whole").await;
    assert_eq!((head(&whole, header::CACHE_CONTROL), head(&whole, header::ETAG)), ("no-store", ""));

    let path = format!("/child/{child}/photographs");
    let fields = [("relation", "mother"), ("answer", "withdrawn")];
    let withdrawn = browser.send(&path, &format!("{path}/consent"), &fields).await;
    assert_eq!(withdrawn.headers["clear-site-data"], "\"cache\"", "what this browser stored goes at once");
    let hash = on_record[0].1.picture;
    let gone = asked_again(&mut browser, child, entry, &tag).await;
    assert_eq!((gone.status, head(&gone, header::ETAG)), (StatusCode::NOT_FOUND, ""));
    assert_eq!(head(&gone, header::CACHE_CONTROL), "no-store");
    for guessed in [format!("{path}/{hash}/small"), format!("{path}/{hash}/whole"), format!("{path}/{hash}")]
    {
        assert_eq!(browser.get(&guessed).await.status, StatusCode::NOT_FOUND, "{guessed}");
    }
    // A withdrawn entry takes its picture along, whatever a browser has stored.
    answer(&mut browser, child, "given").await;
    let withdraw = format!("/child/{child}/entry/{entry}");
    let fields = [("withdraw_reason", "the other foot")];
    let page = browser.send(&withdraw, &format!("{withdraw}/withdraw"), &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    assert_eq!(asked_again(&mut browser, child, entry, &tag).await.status, StatusCode::NOT_FOUND);
    assert_eq!(picture(&mut browser, child, other, "small").await.status, StatusCode::OK);
}

/// An angle on a photograph, written by whoever wrote the photograph.
fn angle(clinic: &Clinic, child: ChildId, photograph: EntryId) {
    let like = clinic.entries(child).into_iter().find(|entry| entry.id == photograph).unwrap();
    let taps = PictureTaps::new(vec![(100, 400), (100, 300), (120, 100)]).unwrap();
    let measured = PhotographAngleMeasured::of(
        photograph,
        Side::Left,
        PhotographAngle::ForefootAdduction,
        17.0,
        2.5,
        taps,
    );
    let entry = Entry { id: EntryId::new(uuid::Uuid::now_v7()), body: measured.into(), ..like };
    clinic.app.records.append(vec![entry]).unwrap();
}

/// What of a record's photographs somebody sees who asks for everything.
async fn seen(browser: &mut Browser, clinic: &Restricted, entries: &[EntryId]) -> Vec<String> {
    let (child, open) = (clinic.child, clinic.open_child);
    let mut seen = Vec::new();
    let pages = ["", "/photographs", "/photographs/view/left/sole", "?entries=all", "/letters", "/documents"];
    for page in pages.map(|page| format!("/child/{child}{page}")) {
        let answer = browser.get(&page).await;
        for word in ["photograph-strip", "on record and not shown", "17°", "Left foot, sole"] {
            if answer.text.contains(word) {
                seen.push(format!("{page}: {word}"));
            }
        }
        if !is_refused(&answer) {
            seen.push(format!("{page}: {}", answer.status));
        }
    }
    for entry in entries {
        for size in ["small", "whole"] {
            for of in [child, open] {
                let answer = picture(browser, of, *entry, size).await;
                if answer.headers[header::CONTENT_TYPE] == "image/jpeg" || answer.status == StatusCode::OK {
                    seen.push(format!("{size} picture of {entry}"));
                }
            }
        }
        let measure = browser.get(&format!("/child/{child}/photographs/{entry}/measure")).await;
        if !is_refused(&measure) {
            seen.push(format!("measuring on {entry}"));
        }
    }
    seen
}

#[tokio::test]
async fn whoever_is_not_named_sees_no_photograph_of_a_restricted_record_and_no_count() {
    let mut clinic = Restricted::new().await;
    let (child, open) = (clinic.child, clinic.open_child);
    answer(&mut clinic.named, child, "given").await;
    let two = [("left", PhotographView::Sole, jpeg(1)), ("right", PhotographView::Sole, jpeg(2))];
    kept(&mut clinic.named, child, TODAY, &two).await;
    let on_record = photographs(&clinic.clinic, child);
    let entries: Vec<EntryId> = on_record.iter().map(|(entry, _)| *entry).collect();
    angle(&clinic.clinic, child, entries[0]);
    let page = clinic.named.get(&format!("/child/{child}")).await;
    assert_eq!(page.count(".photograph-strip img"), 2, "who is named sees them: {}", page.text);
    let tag = head(&picture(&mut clinic.named, child, entries[0], "small").await, header::ETAG).to_owned();

    let mut other = std::mem::replace(&mut clinic.other, Browser::new(clinic.clinic.router.clone()));
    assert_eq!(seen(&mut other, &clinic, &entries).await, Vec::<String>::new());
    let again = asked_again(&mut other, child, entries[0], &tag).await;
    assert!(is_refused(&again), "not even that it is unchanged: {}", again.status);
    let hash = on_record[0].1.picture;
    for of in [child, open] {
        for guessed in [format!("{hash}/small"), format!("{hash}/whole"), hash.to_string()] {
            let page = other.get(&format!("/child/{of}/photographs/{guessed}")).await;
            assert!(!page.status.is_success(), "{guessed}: {}", page.status);
        }
    }
    for list in ["/day", "/attention", "/results", "/register"] {
        let page = other.get(list).await;
        assert!(!page.text.contains("photograph-strip") && !page.text.contains("17°"), "{list}");
    }

    let path = format!("/child/{child}/open-restricted");
    let mut form = other.get(&format!("/child/{child}/photographs")).await.form(&path);
    form.insert("why_opened".into(), "covering".into());
    form.insert("reason".into(), "Cast is wet.".into());
    let pairs: Vec<(&str, &str)> = form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let before = rows(&clinic.clinic).len();
    assert_eq!(other.post(&path, &pairs).await.status, StatusCode::SEE_OTHER);
    let page = other.get(&format!("/child/{child}/photographs")).await;
    assert_eq!(page.count(".photograph-strip img"), 2, "{}", page.text);
    assert_eq!(picture(&mut other, child, entries[0], "small").await.status, StatusCode::OK);
    assert_eq!(asked_again(&mut other, child, entries[0], &tag).await.status, StatusCode::NOT_MODIFIED);
    let noted = rows(&clinic.clinic).split_off(before);
    let about = |what: &str, outcome: AccessOutcome| {
        noted.iter().any(|one| one.what == what && one.child == Some(child) && one.outcome == outcome)
    };
    assert!(noted.iter().any(|one| one.outcome == AccessOutcome::OpenedRestricted), "{noted:?}");
    assert!(about("/child/{id}/photographs", AccessOutcome::Opened), "{noted:?}");
    assert!(about("/child/{id}/photographs/{entry}/{size}", AccessOutcome::Opened), "{noted:?}");
}
