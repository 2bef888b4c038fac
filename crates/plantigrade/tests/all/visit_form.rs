//! The form of a visit while it is filled in: who the child is, what follows from it, and what it asks.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, Page, TODAY, day};
use axum::http::StatusCode;
use record::{
    Anaesthesia, AppointmentMade, Body, CastMaterial, ChildId, Purpose, TenotomyBooked, TenotomyDone,
    WearReported,
};

fn path(child: ChildId) -> String {
    format!("/child/{child}/visit")
}

async fn visit(browser: &mut Browser, child: ChildId, fields: &[(&str, &str)]) -> Page {
    let page = browser.send(&path(child), &path(child), fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.text);
    page
}

/// What the form would have sent to its preview.
async fn preview(browser: &mut Browser, child: ChildId, fields: &[(&str, &str)]) -> Page {
    let mut form = browser.get(&path(child)).await.form(&path(child));
    form.extend(fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
    let fields: Vec<(&str, &str)> =
        form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let page = browser.post(&format!("{}/preview", path(child)), &fields).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    page
}

/// The same as a browser without scripts would ask for.
async fn shown_again(browser: &mut Browser, child: ChildId, fields: &[(&str, &str)]) -> Page {
    let fields: Vec<_> = fields.iter().copied().chain([("show", "days")]).collect();
    let page = browser.send(&path(child), &path(child), &fields).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    page
}

/// The days that can be chosen: no appointment, those proposed, another day.
fn days(page: &Page) -> Vec<String> {
    let html = page.html();
    let found = scraper::Selector::parse("input[name='next.day']").unwrap();
    html.select(&found).map(|radio| radio.attr("value").unwrap().to_owned()).collect()
}

fn body<'a, T>(entries: &'a [record::Entry], of: impl Fn(&'a Body) -> Option<T>) -> Vec<T> {
    entries.iter().filter_map(|entry| of(&entry.body)).collect()
}

const BOTH_CAST: [(&str, &str); 2] = [("right.cast", "correction"), ("left.cast", "correction")];

/// The child is registered on 4 March; the form for 25 February knows the name all the same, and which foot is
/// affected.
#[tokio::test]
async fn a_visit_before_the_registration_shows_who_the_child_is() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let mut fields = AMINA.to_vec();
    fields.iter_mut().find(|(name, _)| *name == "sides").unwrap().1 = "left";
    let child = clinic.child(&mut browser, &fields).await;
    let page = browser.get(&format!("{}?on=2025-02-25", path(child))).await;
    for place in [".band", ".foot-whose", ".save"] {
        assert!(page.shown(place).contains("Amina Vesterholt"), "{place}: {}", page.shown(place));
    }
    assert!(page.shown(".foot-whose").contains("CF-101") && !page.text.contains("No name"));
    // Born on 18 February, a week old on the 25th.
    assert!(page.shown(".foot-whose").contains("7 days"), "{}", page.shown(".foot-whose"));
    assert_eq!((page.count("section.foot"), page.count("details.foot")), (1, 1));
    assert_eq!(page.count("section[aria-labelledby='left-foot']"), 1, "the left foot is the affected one");
    assert!(page.shown("#visit-day").contains("Tuesday 25 February 2025, 7 days ago"));
}

/// Three casts right and one left; a visit of an earlier day with a cast on each foot makes them four and two, so
/// the next are 5 and 3, in the preview as on the page after saving.
#[tokio::test]
async fn a_visit_written_later_counts_the_casts_of_each_foot() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    for (on, feet) in [("2025-02-19", 2), ("2025-02-21", 1), ("2025-03-01", 1)] {
        let mut fields = vec![("on", on)];
        fields.extend(&BOTH_CAST[..feet]);
        visit(&mut browser, child, &fields).await;
    }
    let mut fields = vec![("on", "2025-02-25")];
    fields.extend(BOTH_CAST);
    let foot_steps = |text: &str| {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let after =
            |foot: &str| text.split(foot).nth(1).unwrap_or_default().chars().take(7).collect::<String>();
        [after("Right foot: "), after("Left foot: ")]
    };
    let steps = foot_steps(&preview(&mut browser, child, &fields).await.shown(".preview-steps"));
    assert_eq!(steps, ["Cast 5;", "Cast 3;"]);
    let form = browser.get(&format!("{}?on=2025-02-25", path(child))).await;
    assert!(form.shown("#f-right-cast-off legend").contains("Cast 2, on since 21 February 2025"));
    assert!(form.shown("#f-left-cast-off legend").contains("Cast 1, on since 19 February 2025"));
    visit(&mut browser, child, &fields).await;
    let steps = browser.get(&format!("/child/{child}")).await.shown(".child-next");
    assert!(steps.contains("Cast 5") && steps.contains("Cast 3"), "{steps}");
}

#[tokio::test]
async fn a_changed_day_of_the_visit_is_not_called_today() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let said = |page: &Page, place: &str| page.shown(place).split_whitespace().collect::<Vec<_>>().join(" ");
    for (on, words) in [
        ("2025-02-25", "Tuesday 25 February 2025, 7 days ago"),
        ("2025-03-05", "Wednesday 5 March 2025, tomorrow"),
        ("", "not given"),
        (TODAY, "Tuesday 4 March 2025, today"),
    ] {
        let page = preview(&mut browser, child, &[("on", on)]).await;
        assert_eq!(said(&page, "[data-part='visit-day']"), words);
        assert_eq!(said(&shown_again(&mut browser, child, &[("on", on)]).await, "#visit-day"), words);
    }
}

/// The next cast is due 5 to 10 days after the last (the protocol's range). A visit of today gives 4 + 5 = 9 March
/// and the two days after it, as every day is a clinic day here.
#[tokio::test]
async fn the_days_follow_from_the_form_with_and_without_scripts() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let cast = ["", "2025-03-09", "2025-03-10", "2025-03-11", "other"];
    let empty = browser.get(&path(child)).await;
    assert_eq!(days(&empty), cast, "as if what is due were done");
    let done = [
        ("right.tenotomy", "done"),
        ("left.tenotomy", "done"),
        ("right.cast", "after_tenotomy"),
        ("left.cast", "after_tenotomy"),
    ];
    let nothing_done = [("right.lateral_border", "1")];
    let before = clinic.entries(child);
    let mut seen = Vec::new();
    for fields in [&BOTH_CAST[..], &done, &nothing_done] {
        let scripted = preview(&mut browser, child, fields).await;
        let unscripted = shown_again(&mut browser, child, fields).await;
        assert_eq!(days(&scripted), days(&unscripted), "one computation for both");
        for (name, value) in fields {
            assert_eq!(unscripted.form(&path(child))[*name], *value, "what was filled in stays");
        }
        seen.push(days(&scripted));
    }
    assert_eq!(seen[0], cast);
    // The cast after a tenotomy stays on for about three weeks: no day before 4 + 14 = 18 March.
    assert!(
        seen[1].iter().filter_map(|on| on.parse().ok()).all(|on: record::Day| on >= day("2025-03-18")),
        "{seen:?}"
    );
    // Nothing was done to the feet, so the first cast is still due: tomorrow at the soonest.
    assert_eq!(seen[2][1], "2025-03-05");
    assert_eq!(clinic.entries(child), before, "nothing is saved");
}

/// A visit of 19 February, written up on 4 March, has a window of 24 February to 1 March behind it.
#[tokio::test]
async fn no_day_in_the_past_is_proposed() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let mut fields = vec![("on", "2025-02-19")];
    fields.extend(BOTH_CAST);
    let page = preview(&mut browser, child, &fields).await;
    let proposed: Vec<record::Day> = days(&page).iter().filter_map(|on| on.parse().ok()).collect();
    assert!(!proposed.is_empty() && proposed.iter().all(|on| *on > day(TODAY)), "{proposed:?}");
    let page = browser.get(&format!("{}?on=2025-02-19", path(child))).await;
    let proposed: Vec<record::Day> = days(&page).iter().filter_map(|on| on.parse().ok()).collect();
    assert!(!proposed.is_empty() && proposed.iter().all(|on| *on > day(TODAY)), "{proposed:?}");
}

#[tokio::test]
async fn a_chosen_day_brings_its_purpose_and_stays_chosen() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let mut fields = BOTH_CAST.to_vec();
    fields.push(("next.day", "2025-03-10"));
    visit(&mut browser, child, &fields).await;
    let made = |entries: &[record::Entry]| {
        body(entries, |body| match body {
            Body::AppointmentMade(made) => Some(made.clone()),
            _ => None,
        })
    };
    let cast = AppointmentMade { for_day: day("2025-03-10"), time: None, purpose: Some(Purpose::Cast) };
    assert_eq!(made(&clinic.entries(child)), [cast]);

    // Another purpose that is given holds; another day without a purpose has none.
    let child = clinic
        .child(
            &mut browser,
            &[
                ("family_name", "Lindqvist"),
                ("given_name", "Ottar"),
                ("number", "CF-102"),
                ("born", "2025-02-11"),
                ("sides", "both"),
            ],
        )
        .await;
    visit(
        &mut browser,
        child,
        &[("right.cast", "correction"), ("next.day", "2025-03-10"), ("next.purpose", "review")],
    )
    .await;
    visit(&mut browser, child, &[("note", "x"), ("next.day", "other"), ("next.other_day", "2025-03-12")])
        .await;
    let purposes: Vec<_> = made(&clinic.entries(child)).iter().map(|made| made.purpose).collect();
    assert_eq!(purposes, [Some(Purpose::Review), None]);

    // A day that the form no longer proposes is not dropped behind the person's back.
    let page = preview(&mut browser, child, &[("next.day", "2025-06-02")]).await;
    assert!(page.shown("[data-part='next-days']").contains("chosen before"), "{}", page.text);
    assert_eq!(page.count("input[name='next.day'][value='2025-06-02'][checked]"), 1);
    assert_eq!(page.count("input[name='next.purpose.2025-06-02']"), 0);
}

/// 10 March 2025 is a Monday. The clinic has 8 cast places on Mondays by its page Capacity; two children are booked
/// for casts, one for a brace review, one without a purpose.
#[tokio::test]
async fn a_proposed_day_says_how_full_it_is() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    for (n, purpose) in ["cast", "first", "brace_review", ""].into_iter().enumerate() {
        let number = format!("CF-2{n}");
        let fields = [
            ("family_name", "Ostrander"),
            ("given_name", "Pia"),
            ("number", &number),
            ("sure", "yes"),
            ("sides", "both"),
        ];
        let child = clinic.child(&mut browser, &fields).await;
        let add = format!("/child/{child}/add/appointment-made");
        let made =
            browser.send(&add, &add, &[("on", TODAY), ("for_day", "2025-03-10"), ("purpose", purpose)]).await;
        assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text);
    }
    let child = clinic.child(&mut browser, AMINA).await;
    let page = browser.get(&path(child)).await;
    assert!(page.shown("#next-days").contains("4 booked"), "{}", page.shown("#next-days"));
    assert!(!page.shown("#next-days").contains("places"), "the places of an example are not the clinic's");
    std::fs::write(clinic.dir.path().join("capacity.toml"), "[cast_clinic]\nmonday = 8\n").unwrap();
    let page = browser.get(&path(child)).await;
    let shown = page.shown("#next-days");
    assert!(shown.contains("2 of 8 cast places booked, 1 without a purpose"), "{shown}");
    assert!(shown.contains("no cast places on that day"), "a Sunday has none: {shown}");
}

#[tokio::test]
async fn details_of_a_tenotomy_and_of_a_cast_are_saved_with_them() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let fields = [
        ("right.tenotomy", "done"),
        ("right.anaesthesia", "local"),
        ("right.tenotomy_by", "Dr Halvorsen"),
        ("right.tenotomy_complication", "bled for two minutes"),
        ("right.cast", "after_tenotomy"),
        ("right.cast_material", "plaster"),
    ];
    visit(&mut browser, child, &fields).await;
    let done = body(&clinic.entries(child), |body| match body {
        Body::TenotomyDone(done) => Some(done.clone()),
        _ => None,
    });
    let expected = TenotomyDone {
        anaesthesia: Some(Anaesthesia::Local),
        complication: Some("bled for two minutes".into()),
        done_by: Some("Dr Halvorsen".into()),
        ..TenotomyDone::on(record::Side::Right)
    };
    assert_eq!(done, [expected]);
    let casts = body(&clinic.entries(child), |body| match body {
        Body::CastApplied(cast) => Some(cast.material),
        _ => None,
    });
    assert_eq!(casts, [Some(CastMaterial::Plaster)]);

    // Details without the act would be lost: they are asked about.
    let before = clinic.entries(child);
    for (name, value) in [("left.anaesthesia", "local"), ("left.cast_material", "plaster")] {
        let page = browser.send(&path(child), &path(child), &[("note", "x"), (name, value)]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
    }
    assert_eq!(clinic.entries(child), before);
}

/// Both feet booked, the day once, with the appointment.
#[tokio::test]
async fn the_day_of_a_booked_tenotomy_is_given_once() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let booked = |entries: &[record::Entry]| {
        body(entries, |body| match body {
            Body::TenotomyBooked(TenotomyBooked { side, planned_on, .. }) => Some((*side, *planned_on)),
            _ => None,
        })
    };
    let fields = [
        ("right.tenotomy", "book"),
        ("left.tenotomy", "book"),
        ("next.day", "other"),
        ("next.other_day", "2025-03-13"),
        ("next.purpose", "tenotomy"),
    ];
    visit(&mut browser, child, &fields).await;
    let on = Some(day("2025-03-13"));
    assert_eq!(booked(&clinic.entries(child)), [(record::Side::Right, on), (record::Side::Left, on)]);

    // An appointment for something else says nothing about the tenotomy.
    let other = clinic
        .child(
            &mut browser,
            &[
                ("family_name", "Lindqvist"),
                ("given_name", "Ottar"),
                ("number", "CF-102"),
                ("born", "2025-02-11"),
                ("sides", "left"),
            ],
        )
        .await;
    visit(
        &mut browser,
        other,
        &[
            ("left.tenotomy", "book"),
            ("next.day", "other"),
            ("next.other_day", "2025-03-13"),
            ("next.purpose", "cast"),
        ],
    )
    .await;
    assert_eq!(booked(&clinic.entries(other)), [(record::Side::Left, None)]);

    // A day given at the foot is the first that is proposed.
    let page =
        preview(&mut browser, other, &[("left.tenotomy", "book"), ("left.tenotomy_on", "2025-03-20")]).await;
    assert_eq!(days(&page)[1], "2025-03-20");
    assert_eq!(page.count("input[name='next.purpose.2025-03-20'][value='tenotomy']"), 1);
}

/// In the brace since 20 February and seen on the 25th: hours are asked for the days since the 25th.
#[tokio::test]
async fn worn_hours_are_reported_at_the_visit() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    assert_eq!(browser.get(&path(child)).await.count("[name='wear.hours']"), 0, "not before the brace");
    visit(&mut browser, child, &[("on", "2025-02-20"), ("brace", "fitted"), ("brace.regime", "full_time")])
        .await;
    visit(&mut browser, child, &[("on", "2025-02-25"), ("right.lateral_border", "0")]).await;
    let form = browser.get(&path(child)).await.form(&path(child));
    assert_eq!((form["wear.from"].as_str(), form["wear.hours"].as_str()), ("2025-02-25", ""));

    let worn = |entries: &[record::Entry]| {
        body(entries, |body| match body {
            Body::WearReported(worn) => Some(worn.clone()),
            _ => None,
        })
    };
    // The day alone says nothing.
    visit(&mut browser, child, &[("on", "2025-03-01"), ("note", "x")]).await;
    assert_eq!(worn(&clinic.entries(child)), []);
    visit(
        &mut browser,
        child,
        &[("wear.from", "2025-02-25"), ("wear.hours", "20.5"), ("wear.reason", "a cold")],
    )
    .await;
    let expected = WearReported {
        from: day("2025-02-25"),
        to: day(TODAY),
        hours_per_day: 20.5,
        days_without: None,
        reason: Some("a cold".into()),
    };
    assert_eq!(worn(&clinic.entries(child)), [expected]);
    let before = clinic.entries(child);
    for wrong in
        [("wear.hours", "25"), ("wear.hours", "many"), ("wear.reason", "lost"), ("wear.from", "2025-04-01")]
    {
        let fields = [("wear.hours", if wrong.0 == "wear.reason" { "" } else { "20" }), ("note", "x"), wrong];
        let page = browser.send(&path(child), &path(child), &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{wrong:?}");
    }
    assert_eq!(clinic.entries(child), before);
}

/// After Back the form is changed and sent again: one message, which leads to what was saved.
#[tokio::test]
async fn a_form_changed_after_it_was_saved_says_one_thing() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let mut form = browser.get(&path(child)).await.form(&path(child));
    form.insert("right.cast".into(), "correction".into());
    form.insert("note".into(), "calm".into());
    let pairs = |form: &std::collections::BTreeMap<String, String>| {
        form.iter().map(|(name, value)| (name.clone(), value.clone())).collect::<Vec<_>>()
    };
    let sent = pairs(&form);
    let sent: Vec<(&str, &str)> = sent.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(browser.post(&path(child), &sent).await.status, StatusCode::SEE_OTHER);
    let saved = clinic.entries(child);
    // One answer changed, and one taken back: neither is what was saved.
    for (name, value) in [("right.cast", "holding"), ("note", "")] {
        let mut changed = form.clone();
        changed.insert(name.into(), value.into());
        let changed = pairs(&changed);
        let changed: Vec<(&str, &str)> =
            changed.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        let page = browser.post(&path(child), &changed).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
        let said = page.shown("[role=alert]");
        assert!(
            said.contains("Nothing was saved now; this form was saved before, for 4 March 2025"),
            "{said}"
        );
        assert_eq!(page.text.matches("saved before").count(), 1, "said once");
        assert!(!page.text.contains("Nothing was saved yet"));
        let link = scraper::Selector::parse("[role=alert] a").unwrap();
        let link = page.html().select(&link).next().unwrap().attr("href").unwrap().to_owned();
        assert!(browser.get(&link).await.shown("main").contains("correction"), "{link}");
        assert_eq!(clinic.entries(child), saved);
    }
}
