//! A visit: what is tapped becomes entries, what is not tapped stays unsaid.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, TODAY, day};
use axum::http::StatusCode;
use record::{
    AppointmentAttended, AppointmentMade, Assessment, Body, BraceFitted, CastApplied, CastPurpose,
    CastRemoved, ChildId, Deformity, Entry, Evertors, HalfPoint, Kind, Note, Pirani, Problem, ProblemKind,
    Purpose, Regime, RemovalReason, Side, Sign, TenotomyDone,
};

fn path(child: ChildId) -> String {
    format!("/child/{child}/visit")
}

async fn visit(browser: &mut Browser, child: ChildId, fields: &[(&str, &str)]) -> crate::clinic::Page {
    browser.send(&path(child), &path(child), fields).await
}

/// Six signs of one foot, in the order of the form.
fn signs(side: Side, points: [&'static str; 6]) -> Vec<(String, &'static str)> {
    Sign::ALL.iter().zip(points).map(|(sign, point)| (format!("{side}.{}", sign.key()), point)).collect()
}

fn borrowed<'a>(fields: &'a [(String, &'static str)]) -> Vec<(&'a str, &'a str)> {
    fields.iter().map(|(name, value)| (name.as_str(), *value)).collect()
}

fn bodies(entries: &[Entry]) -> Vec<&Body> {
    entries.iter().map(|entry| &entry.body).collect()
}

/// Signs of relapse are tapped at the visit, foot by foot; one that is not tapped was not looked for.
#[tokio::test]
async fn signs_of_relapse_are_written_with_the_foot_they_were_seen_in() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let form = browser.get(&path(child)).await;
    assert!(form.text.contains("name=\"left.signs.dynamic_supination\""), "the form asks for them");
    let before = clinic.entries(child).len();
    let fields = [
        ("left.signs.dynamic_supination", "yes"),
        ("left.signs.evertors", "weak"),
        ("left.signs.equinus", "absent"),
        ("right.signs.heel_varus", "flexible"),
    ];
    assert_eq!(visit(&mut browser, child, &fields).await.status, StatusCode::SEE_OTHER);
    let mut left = Assessment::of(Side::Left);
    left.signs.dynamic_supination = Some(true);
    left.signs.evertors = Some(Evertors::Weak);
    left.signs.equinus = Some(Deformity::Absent);
    let mut right = Assessment::of(Side::Right);
    right.signs.heel_varus = Some(Deformity::Flexible);
    let written = clinic.entries(child).split_off(before);
    assert_eq!(bodies(&written)[..2], [&Body::from(right), &Body::from(left)]);
}

#[tokio::test]
async fn six_taps_a_foot_and_a_cast_each_become_entries_in_the_order_of_the_visit() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let before = clinic.entries(child).len();
    let mut fields = signs(Side::Right, ["1", "1", "0.5", "1", "1", "0.5"]);
    fields.extend(signs(Side::Left, ["0.5", "0", "0.5", "1", "", ""]));
    fields.extend([
        ("right.abduction_deg".to_owned(), "-10"),
        ("right.dorsiflexion_deg".to_owned(), "−25"),
        ("right.cast".to_owned(), "correction"),
        ("left.cast".to_owned(), "correction"),
        ("left.cast_abduction_deg".to_owned(), "20"),
        ("next.day".to_owned(), "other"),
        ("next.other_day".to_owned(), "2025-03-11"),
        ("next.time".to_owned(), "09:30"),
        ("next.purpose".to_owned(), "cast"),
        ("note".to_owned(), "mother holds, calm"),
    ]);
    let page = visit(&mut browser, child, &borrowed(&fields)).await;
    assert_eq!(
        (page.status, page.location()),
        (StatusCode::SEE_OTHER, format!("/child/{child}?done=visit").as_str()),
        "{}",
        page.text
    );

    let written = clinic.entries(child).split_off(before);
    assert!(written.iter().all(|entry| entry.on == day(TODAY) && entry.child == child));
    let mut right =
        Assessment { abduction_deg: Some(-10), dorsiflexion_deg: Some(-25), ..Assessment::of(Side::Right) };
    let points =
        [HalfPoint::One, HalfPoint::One, HalfPoint::Half, HalfPoint::One, HalfPoint::One, HalfPoint::Half];
    for (sign, point) in Sign::ALL.into_iter().zip(points) {
        right.pirani.set(sign, Some(point));
    }
    // 1 + 1 + 0.5 + 1 + 1 + 0.5 = 5, which is ten halves.
    assert_eq!(right.pirani.total().unwrap().0, 10);
    let mut left = Assessment::of(Side::Left);
    left.pirani = Pirani {
        lateral_border: Some(HalfPoint::Half),
        medial_crease: Some(HalfPoint::Zero),
        talar_head: Some(HalfPoint::Half),
        posterior_crease: Some(HalfPoint::One),
        rigid_equinus: None,
        empty_heel: None,
    };
    assert_eq!(left.pirani.total(), None, "two signs not assessed are not zero");
    let cast = |side| CastApplied { purpose: Some(CastPurpose::Correction), ..CastApplied::on(side) };
    let expected: Vec<Body> = vec![
        right.into(),
        cast(Side::Right).into(),
        left.into(),
        CastApplied { abduction_deg: Some(20), ..cast(Side::Left) }.into(),
        AppointmentMade {
            for_day: day("2025-03-11"),
            time: Some("09:30".into()),
            purpose: Some(Purpose::Cast),
        }
        .into(),
        Note { text: "mother holds, calm".into() }.into(),
        AppointmentAttended::default().into(),
    ];
    assert_eq!(bodies(&written), expected.iter().collect::<Vec<_>>());
}

#[tokio::test]
async fn tenotomy_brace_and_problem_are_recorded_as_said() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let before = clinic.entries(child).len();
    let fields = [
        ("on", "2025-03-03"),
        ("right.cast_off", "slipped"),
        ("right.tenotomy", "done"),
        ("right.cast", "after_tenotomy"),
        ("brace", "fitted"),
        ("brace.regime", "full_time"),
        ("brace.hours", "23"),
        ("brace.bar_mm", "180"),
        ("brace.right.abduction_deg", "60"),
        ("brace.left.abduction_deg", "60"),
        ("problem", "skin_red"),
        ("problem.side", "left"),
        ("problem.note", "over the heel"),
    ];
    let page = visit(&mut browser, child, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    let written = clinic.entries(child).split_off(before);
    assert!(written.iter().all(|entry| entry.on == day("2025-03-03")));
    let boot = |side| record::Boot { abduction_deg: Some(60), ..record::Boot::of(side) };
    let expected: Vec<Body> = vec![
        CastRemoved { side: Side::Right, why: RemovalReason::Slipped, note: None }.into(),
        TenotomyDone::on(Side::Right).into(),
        CastApplied { purpose: Some(CastPurpose::AfterTenotomy), ..CastApplied::on(Side::Right) }.into(),
        BraceFitted {
            brace: record::Brace {
                boots: Side::BOTH.map(boot).to_vec(),
                bar_mm: Some(180),
                ..record::Brace::default()
            },
            regime: Some(Regime::FullTime),
            hours_prescribed: Some(23),
            fitted_by: None,
        }
        .into(),
        Problem {
            side: Some(Side::Left),
            note: Some("over the heel".into()),
            ..Problem::of(ProblemKind::SkinRed)
        }
        .into(),
        AppointmentAttended::default().into(),
    ];
    assert_eq!(bodies(&written), expected.iter().collect::<Vec<_>>());
}

#[tokio::test]
async fn what_cannot_be_believed_goes_back_with_everything_typed_and_writes_nothing() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let before = clinic.entries(child);
    let cases: &[(&str, &str, &str)] = &[
        ("on", "0202-03-04", "the year 202"),
        ("on", "2025-03-05", "is in the future"),
        ("on", "2025-02-30", "not in the calendar"),
        ("on", "", "missing"),
        ("right.foot_length_mm", "7", "cannot be right"),
        ("right.foot_length_mm", "99999999", "is out of range"),
        ("right.dorsiflexion_deg", "twelve", "whole number"),
        ("left.lateral_border", "0.7", "not one of the answers"),
        ("left.cast_abduction_deg", "30", "no new cast"),
        ("brace.hours", "23", "brace"),
        ("problem.note", "sore", "problem"),
        ("next.other_day", "tomorrow", "not a day"),
    ];
    for (field, value, sentence) in cases {
        let fields = [("right.talar_head", "0.5"), ("note", "kept as typed"), (*field, *value)];
        let page = visit(&mut browser, child, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} = {value}");
        let said = page.shown(".errors").to_lowercase();
        assert!(said.contains(&sentence.to_lowercase()), "{field} = {value}: {said}");
        let form = page.form(&path(child));
        assert_eq!(
            (form["right.talar_head"].as_str(), form["note"].as_str()),
            ("0.5", "kept as typed"),
            "{field}"
        );
    }
    assert_eq!(clinic.entries(child), before);
}

#[tokio::test]
async fn an_empty_visit_is_not_saved() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let before = clinic.entries(child);
    assert_eq!(visit(&mut browser, child, &[]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(clinic.entries(child), before);
}

#[tokio::test]
async fn a_form_sent_twice_counts_once() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let mut form = browser.get(&path(child)).await.form(&path(child));
    form.insert("right.cast".into(), "correction".into());
    let send = |form: &std::collections::BTreeMap<String, String>| {
        form.iter().map(|(name, value)| (name.clone(), value.clone())).collect::<Vec<_>>()
    };
    let pairs = send(&form);
    let fields: Vec<(&str, &str)> =
        pairs.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(browser.post(&path(child), &fields).await.status, StatusCode::SEE_OTHER);
    let once = clinic.entries(child);
    let page = browser.post(&path(child), &fields).await;
    assert_eq!(
        (page.status, page.location()),
        (StatusCode::SEE_OTHER, format!("/child/{child}?done=visit").as_str())
    );
    assert_eq!(clinic.entries(child), once);

    // Changed and sent again from the same form: neither lost nor silently added.
    form.insert("left.cast".into(), "correction".into());
    let pairs = send(&form);
    let fields: Vec<(&str, &str)> =
        pairs.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let page = browser.post(&path(child), &fields).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown(".errors").contains("this form was saved before"), "{}", page.text);
    assert_eq!(page.form(&path(child))["left.cast"], "correction");
    assert_eq!(clinic.entries(child), once);
}

#[tokio::test]
async fn two_who_write_at_once_both_stand_and_are_told() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let mut other = clinic.browser_signed_in().await;
    let mut form = browser.get(&path(child)).await.form(&path(child));
    assert_eq!(
        visit(&mut other, child, &[("note", "Seen by the other")]).await.status,
        StatusCode::SEE_OTHER
    );
    form.insert("note".into(), "Seen by me".into());
    let fields: Vec<(&str, &str)> =
        form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let page = browser.post(&path(child), &fields).await;
    assert_eq!(page.location(), format!("/child/{child}?done=both"));
    let shown = browser.get(&format!("/child/{child}?done=both")).await;
    assert!(shown.shown(".message").contains("both are saved"));
    assert!(shown.text.contains("Seen by the other") && shown.text.contains("Seen by me"));
}

#[tokio::test]
async fn the_preview_says_what_would_follow_and_writes_nothing() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let before = clinic.entries(child);
    let csrf = browser.get(&path(child)).await.form(&path(child))["csrf"].clone();
    let preview = format!("{}/preview", path(child));
    let fields =
        [("csrf", csrf.as_str()), ("on", TODAY), ("right.cast", "correction"), ("left.cast", "correction")];
    let page = browser.post(&preview, &fields).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("if saved now") && !page.text.contains("<html"), "{}", page.text);
    // The built-in protocol changes the cast after a week: 4 March + 7 days.
    assert!(page.text.contains("Cast 2"), "{}", page.text);
    assert_eq!(clinic.entries(child), before);
    let page = browser
        .post(&preview, &[("csrf", csrf.as_str()), ("on", "0202-01-01"), ("right.cast", "correction")])
        .await;
    assert!(page.text.contains("The year 202 cannot be right"), "{}", page.text);
}

#[tokio::test]
async fn the_arrival_marked_on_the_day_is_not_written_twice_by_the_visit() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let add = format!("/child/{child}/add/appointment-made");
    let made = browser
        .send(
            &add,
            &add,
            &[("on", "2025-03-03"), ("for_day", TODAY), ("time", "10:00"), ("purpose", "first")],
        )
        .await;
    assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text);
    let appointment =
        clinic.entries(child).iter().find(|entry| entry.kind() == Kind::AppointmentMade).unwrap().id;
    assert!(browser.get("/day").await.shown(".day-group h2").contains("Expected"));

    for _ in 0..2 {
        let csrf = browser.get("/day").await.form("/sign-out")["csrf"].clone();
        let fields = [
            ("csrf", csrf.as_str()),
            ("child", &child.to_string()),
            ("appointment", &appointment.to_string()),
            ("on", TODAY),
        ];
        let page = browser.post("/day/arrived", &fields).await;
        assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/day?on=2025-03-04"));
    }
    assert!(browser.get("/day").await.shown(".day-group h2").contains("Here now"));
    visit(&mut browser, child, &[("right.cast", "correction")]).await;
    let arrivals: Vec<Entry> =
        clinic.entries(child).into_iter().filter(|entry| entry.kind() == Kind::AppointmentAttended).collect();
    assert_eq!(arrivals.len(), 1);
    assert_eq!(arrivals[0].follows, Some(appointment));
    assert!(browser.get("/day").await.shown(".day-group h2").contains("Seen"));
}

#[tokio::test]
async fn who_did_not_come_is_marked_missed() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let add = format!("/child/{child}/add/appointment-made");
    browser.send(&add, &add, &[("on", "2025-03-03"), ("for_day", TODAY)]).await;
    let page = browser.send("/day", "/day/missed", &[]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER);
    assert!(browser.get("/day").await.shown(".day-group h2").contains("Missed"));
    assert_eq!(clinic.entries(child).last().unwrap().kind(), Kind::AppointmentMissed);
}

#[tokio::test]
async fn a_visit_of_a_child_that_is_not_there_is_not_found() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    for id in ["nobody", "0190a000-0000-7000-8000-000000000000"] {
        assert_eq!(browser.get(&format!("/child/{id}/visit")).await.status, StatusCode::NOT_FOUND);
        assert_eq!(browser.get(&format!("/child/{id}")).await.status, StatusCode::NOT_FOUND);
    }
}
