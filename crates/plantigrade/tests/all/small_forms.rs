//! Registering, and the small form of each kind.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, TODAY, day};
use axum::http::StatusCode;
use record::{Body, Consent, ConsentAnswer, ConsentMatter, Diagnosis, Kind, Nature, Side};

#[tokio::test]
async fn a_registration_with_both_feet_makes_a_diagnosis_of_each() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let entries = clinic.entries(child);
    let kinds: Vec<Kind> = entries.iter().map(record::Entry::kind).collect();
    // Nobody is named who referred: without a referral the wait for the first cast is not known.
    assert_eq!(kinds, [Kind::Registration, Kind::Diagnosis, Kind::Diagnosis]);
    let of = |side| {
        Body::from(Diagnosis {
            side,
            nature: Some(Nature::Idiopathic),
            complex: None,
            earlier_treatment: None,
        })
    };
    assert_eq!((&entries[1].body, &entries[2].body), (&of(Side::Right), &of(Side::Left)));
    let Body::Registration(about) = &entries[0].body else { panic!("{entries:?}") };
    assert_eq!((about.full_name().as_str(), about.born), ("Amina Vesterholt", Some(day("2025-02-18"))));
    assert_eq!(
        (about.gestation_weeks, about.birth_weight_g, about.sex),
        (None, None, None),
        "what is not said stays unsaid"
    );
    assert_eq!(about.numbers, ["CF-101"]);
}

#[tokio::test]
async fn whoever_referred_the_child_makes_a_referral() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields = [AMINA, &[("referred_from", "health post")]].concat();
    let child = clinic.child(&mut browser, &fields).await;
    let kinds: Vec<Kind> = clinic.entries(child).iter().map(record::Entry::kind).collect();
    assert_eq!(kinds, [Kind::Registration, Kind::Referral, Kind::Diagnosis, Kind::Diagnosis]);
}

#[tokio::test]
async fn a_child_who_looks_alike_is_shown_before_anything_is_saved() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    for fields in [
        vec![("family_name", "Vesterhold"), ("given_name", "Amina"), ("born", "2025-02-18")],
        vec![("family_name", "Somebody"), ("given_name", "Else"), ("number", "cf 101")],
        vec![("family_name", "Vesterholt"), ("given_name", "Amina")],
    ] {
        let page = browser.send("/register", "/register", &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(page.shown(".look").contains("Amina Vesterholt"), "{fields:?}: {}", page.text);
        assert!(page.text.contains(&format!("/child/{child}")));
    }
    assert_eq!(clinic.app.records.children_count().unwrap(), 1);
    let sure = [("family_name", "Vesterholt"), ("given_name", "Amina"), ("sure", "yes")];
    clinic.child(&mut browser, &sure).await;
    assert_eq!(clinic.app.records.children_count().unwrap(), 2);
}

#[tokio::test]
async fn a_registration_that_cannot_be_right_goes_back() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    for (fields, sentence) in [
        (vec![("family_name", "")], "name or a hospital number"),
        (vec![("family_name", "A"), ("born", "0202-01-01")], "year 202"),
        (vec![("family_name", "A"), ("born", "2025-03-05")], "after the day of registration"),
        (vec![("family_name", "A"), ("gestation_weeks", "99")], "cannot be right"),
        (vec![("family_name", "A"), ("nature", "idiopathic")], "which foot"),
    ] {
        let page = browser.send("/register", "/register", &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(
            page.shown(".errors").to_lowercase().contains(sentence),
            "{fields:?}: {}",
            page.shown(".errors")
        );
    }
    assert_eq!(clinic.app.records.children_count().unwrap(), 0);
}

/// The form's name in the address, the kind it writes, and what is typed.
type Form = (&'static str, Kind, &'static [(&'static str, &'static str)]);

#[tokio::test]
async fn every_small_form_writes_its_kind() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let forms: &[Form] = &[
        ("appointment-made", Kind::AppointmentMade, &[("for_day", "2025-03-11")]),
        ("appointment-cancelled", Kind::AppointmentCancelled, &[("for_day", "2025-03-11"), ("by", "family")]),
        ("contact-attempt", Kind::ContactAttempt, &[("way", "phone"), ("reached", "no")]),
        ("problem", Kind::Problem, &[("what", "cast_slipped"), ("side", "left")]),
        (
            "consent",
            Kind::Consent,
            &[("matter", "messages"), ("answer", "given"), ("relation", "mother"), ("until", "2026-03-04")],
        ),
        ("weighed", Kind::Weighed, &[("weight_g", "5200")]),
        ("allergies", Kind::Allergies, &[("answer", "named"), ("which", "penicillin: rash")]),
        ("medicines", Kind::Medicines, &[("answer", "none")]),
        ("referral", Kind::Referral, &[("from", "health post")]),
        ("diagnosis", Kind::Diagnosis, &[("side", "right"), ("complex", "no")]),
        ("screening", Kind::Screening, &[("hips", "normal")]),
        (
            "wear-reported",
            Kind::WearReported,
            &[("from", "2025-02-20"), ("to", "2025-03-01"), ("hours_per_day", "12,5")],
        ),
        ("tenotomy-booked", Kind::TenotomyBooked, &[("side", "left"), ("planned_on", "2025-03-20")]),
        ("relapse-noted", Kind::RelapseNoted, &[("side", "left"), ("grade", "IB")]),
        ("other-surgery", Kind::OtherSurgery, &[("side", "left"), ("procedure", "other")]),
        ("note", Kind::Note, &[("text", "a note")]),
        ("registration", Kind::Registration, &[("sex", "female")]),
        ("transfer", Kind::Transfer, &[("to", "another clinic")]),
        ("lost-declared", Kind::LostDeclared, &[("reason", "three calls")]),
        ("discharge", Kind::Discharge, &[("reason", "completed")]),
        ("death", Kind::Death, &[]),
    ];
    for (name, kind, fields) in forms {
        let path = format!("/child/{child}/add/{name}");
        let page = browser.send(&path, &path, fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{name}: {}", page.shown(".errors"));
        let last = clinic.entries(child).pop().unwrap();
        assert_eq!((last.kind(), last.on), (*kind, day(TODAY)), "{name}");
    }
    let entries = clinic.entries(child);
    let about = entries.iter().rev().find_map(|entry| match &entry.body {
        Body::Registration(about) => Some(about),
        _ => None,
    });
    assert_eq!(about.unwrap().numbers, ["CF-101"], "a change of one detail keeps the others");
    assert_eq!(browser.get(&format!("/child/{child}/add/cast-applied")).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_consent_is_taken_at_a_visit_and_listed_on_the_childs_page() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/visit");
    assert!(browser.get(&path).await.text.contains("name=\"consent.matter\""));
    assert!(!browser.get(&format!("/child/{child}")).await.text.contains("consent-head"));
    let before = clinic.entries(child).len();
    let half = [("consent.matter", "tenotomy"), ("consent.by_name", "Grace")];
    let page = browser.send(&path, &path, &half).await;
    assert!(page.shown(".errors").contains(": required."), "{}", page.shown(".errors"));
    let over = [
        ("consent.matter", "tenotomy"),
        ("consent.answer", "given"),
        ("consent.by_name", "Grace"),
        ("consent.until", "2025-01-01"),
    ];
    let page = browser.send(&path, &path, &over).await;
    assert!(page.shown(".errors").contains("lies before the day"), "{}", page.shown(".errors"));
    assert!(page.text.contains("f-consent-until-error"), "the sentence stands beside its field");
    assert_eq!(clinic.entries(child).len(), before, "nothing is saved yet");
    let fields =
        [("consent.matter", "tenotomy"), ("consent.answer", "refused"), ("consent.by_name", "Grace")];
    assert_eq!(browser.send(&path, &path, &fields).await.status, StatusCode::SEE_OTHER);
    let written = clinic.entries(child).split_off(before);
    let expected = Consent {
        by_name: Some("Grace".to_owned()),
        ..Consent::of(ConsentMatter::Tenotomy, ConsentAnswer::Refused)
    };
    assert_eq!(written[0].body, Body::from(expected));
    let page = browser.get(&format!("/child/{child}")).await;
    let list = page.shown("section[aria-labelledby=consent-head]");
    assert!(list.contains("Consent: tenotomy, refused, Grace"), "{list}");
    assert!(page.shown(".timeline").contains("Consent: tenotomy, refused, Grace"));
}

#[tokio::test]
async fn a_script_in_a_name_is_text_on_every_page() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let script = "<script>alert(1)</script>";
    let fields = [
        ("family_name", script),
        ("given_name", "\"><img src=x onerror=alert(1)>"),
        ("number", "'\"&<b>"),
        ("sides", "both"),
    ];
    let child = clinic.child(&mut browser, &fields).await;
    let add = format!("/child/{child}/add/appointment-made");
    browser.send(&add, &add, &[("for_day", TODAY), ("time", script)]).await;
    let note = format!("/child/{child}/add/note");
    browser.send(&note, &note, &[("text", script)]).await;
    let entry = clinic.entries(child).pop().unwrap().id;
    let paths = [
        "/day".to_owned(),
        "/attention".to_owned(),
        "/find?q=script".to_owned(),
        format!("/child/{child}"),
        format!("/child/{child}/visit"),
        format!("/child/{child}/entry/{entry}"),
        add,
        format!("/find?q={script}"),
    ];
    for path in &paths {
        let page = browser.open(path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        assert!(
            !page.text.contains("<script>alert") && page.count("img, script:not([src]), b") == 0,
            "{path}"
        );
    }
    assert!(
        browser.get(&format!("/child/{child}")).await.shown("h1").contains(script),
        "shown as it was written"
    );
}

/// A child with an affected right foot only, and one with both.
async fn one_and_both(clinic: &Clinic, browser: &mut Browser) -> [record::ChildId; 2] {
    let both = clinic.child(browser, AMINA).await;
    let fields =
        [("family_name", "Ostwick"), ("given_name", "Tuva"), ("born", "2025-01-30"), ("sure", "yes")];
    let one = clinic.child(browser, &fields).await;
    let path = format!("/child/{one}/add/diagnosis");
    let said = [("on", "2025-03-03"), ("side", "right"), ("nature", "idiopathic")];
    assert_eq!(browser.send(&path, &path, &said).await.status, StatusCode::SEE_OTHER);
    [one, both]
}

#[tokio::test]
async fn both_feet_are_booked_relapsed_or_diagnosed_in_one_form_as_an_entry_each() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let [_, both] = one_and_both(&clinic, &mut browser).await;
    for (kind, words, value) in [
        ("diagnosis", "diagnosis", ("nature", "syndromic")),
        ("tenotomy-booked", "tenotomy booked", ("planned_on", "2025-03-11")),
        ("relapse-noted", "relapse noted", ("grade", "IA")),
    ] {
        let path = format!("/child/{both}/add/{kind}");
        let form = browser.get(&path).await;
        assert_eq!(form.count("input[name='side'][checked]"), 0, "{kind}: no foot is taken for granted");
        let values = [("on", "2025-03-03"), ("side", "both"), value, ("confirm", "seen by two")];
        let before = clinic.entries(both).len();
        let page = browser.send(&path, &path, &values).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{kind}: {}", page.text);
        let entries = clinic.entries(both);
        let sides: Vec<Option<Side>> = entries[before..]
            .iter()
            .filter(|entry| entry.kind() != Kind::Note)
            .map(|entry| entry.body.side())
            .collect();
        assert_eq!(sides, [Some(Side::Right), Some(Side::Left)], "{kind}");
        assert!(
            entries[before].at == entries[before + 1].at
                && entries[before].kind() == entries[before + 1].kind()
        );
        let place = page.location().to_owned();
        let said = browser.get(&place).await.shown(".message.done");
        assert!(said.contains(&format!("Saved: {words}, right foot and left foot.")), "{said}");
    }
}

#[tokio::test]
async fn the_only_affected_foot_is_chosen_and_both_is_neither_offered_nor_taken() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let [one, _] = one_and_both(&clinic, &mut browser).await;
    for kind in ["tenotomy-booked", "relapse-noted"] {
        let path = format!("/child/{one}/add/{kind}");
        let form = browser.get(&path).await;
        assert_eq!(form.form(&path)["side"], "right", "{kind}");
        assert_eq!(form.count("input[name='side'][value='both']"), 0, "{kind}");
        let before = clinic.entries(one).len();
        let page = browser.send(&path, &path, &[("on", "2025-03-03"), ("side", "both")]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{kind}");
        assert!(page.shown(".errors").contains("where both are on record as affected"), "{}", page.text);
        assert_eq!(clinic.entries(one).len(), before, "{kind}");
    }
    // A diagnosis may be of the other foot, or of both.
    let path = format!("/child/{one}/add/diagnosis");
    let form = browser.get(&path).await;
    assert_eq!(form.count("input[name='side'][checked]"), 0);
    assert_eq!(form.count("input[name='side'][value='both']"), 1);
    let page =
        browser.send(&path, &path, &[("on", "2025-03-03"), ("side", "left"), ("nature", "idiopathic")]).await;
    let place = page.location().to_owned();
    let said = browser.get(&place).await.shown(".message.done");
    assert!(said.contains("Saved: diagnosis, left foot."), "{said}");
}
