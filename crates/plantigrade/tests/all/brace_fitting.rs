//! Fitting the brace, the stock and brace problems, over the web.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Clinic};
use axum::http::StatusCode;
use record::{Body, Helped, ProblemKind, Side};

#[tokio::test]
async fn what_is_measured_gives_the_fit_and_the_settings_are_kept_and_printed() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/brace");
    let page = browser.get(&path).await;
    assert!(
        page.text.contains("Measurements missing") && page.text.contains("Missing values are not guessed"),
        "{}",
        page.text
    );
    let measured = [
        ("on", "2025-03-03"),
        ("right.foot_length_mm", "84"),
        ("right.abduction_deg", "65"),
        ("right.dorsiflexion_deg", "20"),
        ("left.foot_length_mm", "82"),
        ("left.abduction_deg", "50"),
        ("left.dorsiflexion_deg", "15"),
        ("shoulder_mm.bideltoid", "165"),
    ];
    let page = browser.send(&path, &format!("{path}/measure"), &measured).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let page = browser.get(&path).await;
    // 84 + 10 to 84 + 15; the left foot reached 50° and 60–70° are wanted.
    for words in ["94–99 mm", "165 mm", "Set no more than 50°", "Mondopoint 85", "60–65°"] {
        assert!(page.text.contains(words), "{words}: {}", page.text);
    }
    let settings = [
        ("on", "2025-03-03"),
        ("brace", "fitted"),
        ("brace.regime", "full_time"),
        ("brace.hours", "23"),
        ("brace.bar_mm", "165"),
        ("brace.right.abduction_deg", "65"),
        ("brace.right.length_mm", "98"),
        ("brace.right.size", "boot A"),
        ("brace.left.abduction_deg", "50"),
    ];
    let page = browser.send(&path, &format!("{path}/fit"), &settings).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let entries = clinic.entries(child);
    let Some(Body::BraceFitted(fitted)) = entries.last().map(|entry| &entry.body) else {
        panic!("{entries:?}")
    };
    assert_eq!(fitted.brace.bar_mm, Some(165));
    assert_eq!(fitted.brace.boots[0].size.as_deref(), Some("boot A"));
    assert_eq!((fitted.brace.boots[1].side, fitted.brace.boots[1].abduction_deg), (Side::Left, Some(50)));
    let sheet = browser.get(&format!("{path}/sheet")).await;
    for words in ["Amina Vesterholt", "RIGHT", "LEFT", "boot A", "165 mm", "23 hours", "seen the same day"] {
        assert!(sheet.text.contains(words), "{words}: {}", sheet.text);
    }
}

#[tokio::test]
async fn what_cannot_be_right_on_the_bench_goes_back_and_writes_nothing() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let (path, before) = (format!("/child/{child}/brace"), clinic.entries(child).len());
    for (fields, sentence) in [
        (vec![("on", "2025-03-03")], "Nothing is filled in yet"),
        (vec![("on", "2025-03-03"), ("right.foot_length_mm", "8")], "Foot length 8 mm cannot be right"),
        (vec![("on", "2025-03-03"), ("shoulder_mm.bideltoid", "16")], "centimetres are not millimetres"),
    ] {
        let page = browser.send(&path, &format!("{path}/measure"), &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(page.text.contains(sentence), "{sentence}: {}", page.text);
    }
    assert_eq!(clinic.entries(child).len(), before);
}

/// The page has two forms, each with its own day: the errors of a form lead to its fields.
#[tokio::test]
async fn a_wrong_day_leads_to_the_day_of_its_own_form() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/brace");
    // 5 March 2025 has not come.
    let tomorrow = ("on", "2025-03-05");
    let measured = [tomorrow, ("right.foot_length_mm", "84")];
    let settings = [tomorrow, ("brace", "fitted"), ("brace.bar_mm", "165")];
    for (form, fields, field) in [("measure", &measured[..], "f-on"), ("fit", &settings[..], "f-settings-on")]
    {
        let page = browser.send(&path, &format!("{path}/{form}"), fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
        let html = page.html();
        let count = |selector: String| html.select(&scraper::Selector::parse(&selector).unwrap()).count();
        assert_eq!(count(format!(".errors a[href='#{field}']")), 1, "{}", page.text);
        assert_eq!(count(".errors a".to_owned()), 1);
        let within = format!("form[action='{path}/{form}']");
        assert_eq!(
            count(format!("{within} input#{field}[aria-describedby='{field}-error'][value='2025-03-05']")),
            1
        );
        assert_eq!(count(format!("{within} #{field}-error")), 1);
        assert_eq!(count("[id='f-on']".to_owned()) + count("[id='f-settings-on']".to_owned()), 2);
    }
}

#[tokio::test]
async fn advice_and_whether_it_helped_are_written_on_the_problem_and_counted() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let add = format!("/child/{child}/add/problem");
    let problem = [("on", "2025-03-03"), ("what", "heel_slips_out"), ("side", "left")];
    browser.send(&add, &add, &problem).await;
    let id = clinic.entries(child).last().unwrap().id.to_string();
    let problems = format!("/child/{child}/trouble");
    let advised = [("problem", id.as_str()), ("advised", "heel-strap-first")];
    assert_eq!(browser.send(&problems, &problems, &advised).await.status, StatusCode::SEE_OTHER);
    let helped = [("problem", id.as_str()), ("advised", "heel-strap-first"), ("helped", "helped")];
    assert_eq!(browser.send(&problems, &problems, &helped).await.status, StatusCode::SEE_OTHER);
    let entries = clinic.entries(child);
    let Some(Body::Problem(last)) = entries.last().map(|entry| &entry.body) else { panic!("{entries:?}") };
    assert_eq!(
        (last.what, last.side, last.helped),
        (ProblemKind::HeelSlipsOut, Some(Side::Left), Some(Helped::Yes))
    );
    let page = browser.get("/trouble").await;
    assert!(page.text.contains("here advised once: helped 1, in part 0, not 0"), "{}", page.text);
    assert!(page.text.contains("seen the same day under local policy"));
    let elsewhere = [("problem", "01907e2a-0000-7000-8000-0000000000e1"), ("advised", "x")];
    assert_eq!(browser.send(&problems, &problems, &elsewhere).await.status, StatusCode::NOT_FOUND);
}
