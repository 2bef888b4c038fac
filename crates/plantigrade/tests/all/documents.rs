//! Documents for families over HTTP: what there is, each as a page, and for whom none is made.

use crate::clinic::{Clinic, TODAY, day};
use axum::http::StatusCode;
use letters::{FamilyDocumentKind, Language};
use record::{Body, CastApplied, ChildId, Death, Entry, EntryId, Side, UserId};

pub async fn in_casts() -> (Clinic, crate::clinic::Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [("family_name", "Ostwick"), ("given_name", "Tuva"), ("number", "CF-7")];
    let child = clinic.child(&mut browser, &fields).await;
    write(&clinic, child, CastApplied::on(Side::Left).into());
    (clinic, browser, child)
}

fn write(clinic: &Clinic, child: ChildId, body: Body) {
    let written = clinic.entries(child);
    let like = written.first().unwrap();
    let by: UserId = like.by;
    let entry = Entry {
        id: EntryId::new(uuid::Uuid::now_v7()),
        body,
        on: day(TODAY),
        ..Entry { by, ..like.clone() }
    };
    clinic.app.records.append(vec![entry]).unwrap();
}

#[tokio::test]
async fn what_suits_the_stage_comes_first_and_each_opens_in_every_language() {
    let (clinic, mut browser, child) = in_casts().await;
    let list = browser.get(&format!("/child/{child}/documents")).await;
    assert_eq!(list.status, StatusCode::OK, "{}", list.text);
    let first: String = list.shown(".document-list");
    assert!(first.contains("Family plan") && first.contains("Cast care sheet"), "{first}");
    assert!(list.text.contains("telephone is not set"));
    for language in Language::ALL {
        for kind in [FamilyDocumentKind::Plan, FamilyDocumentKind::CastSheet] {
            let path = format!("/child/{child}/documents/{}?lang={}", kind.key(), language.tag());
            let page = browser.get(&path).await;
            assert_eq!(page.status, StatusCode::OK, "{path}: {}", page.text);
            assert!(page.shown("h1").contains("Tuva"), "{path}: {}", page.shown("h1"));
            assert_eq!(page.shown("title"), kind.words(), "no name in a title");
            assert_eq!(page.count("html[dir=rtl]"), usize::from(language == Language::Arabic), "{path}");
        }
    }
    let style = browser.get("/assets/letters.css").await;
    assert!(style.text.contains(".emergency"), "{}", style.status);
    drop(clinic);
}

#[tokio::test]
async fn nothing_is_made_for_a_child_that_has_died() {
    let (clinic, mut browser, child) = in_casts().await;
    write(&clinic, child, Death::default().into());
    let list = browser.get(&format!("/child/{child}/documents")).await;
    assert_eq!(list.count(".document-list a"), 0, "{}", list.text);
    assert!(list.text.contains("this child has died"));
    for kind in FamilyDocumentKind::ALL {
        let page = browser.get(&format!("/child/{child}/documents/{}", kind.key())).await;
        assert!(page.status.is_client_error(), "{}: {}", kind.key(), page.status);
    }
}

#[tokio::test]
async fn an_unknown_language_or_document_is_not_found() {
    let (_clinic, mut browser, child) = in_casts().await;
    for path in ["documents?lang=xx", "documents/plan?lang=xx", "documents/diploma"] {
        let page = browser.get(&format!("/child/{child}/{path}")).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{path}");
    }
}
