//! The settings as pages: what is saved applies at once, is kept in its file and its history, and what contradicts
//! itself is refused.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, NAME, PASSWORD, TODAY, day};
use axum::http::StatusCode;
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    saved_maps,
    settings::Settings,
};
use record::Weekday;
use std::fs;

const CLINIC_DAYS: &[(&str, &str)] =
    &[("clinic_name", "Hillside"), ("days", "some"), ("weekday.tuesday", "yes"), ("idle_minutes", "20")];

fn file(clinic: &Clinic, name: &str) -> String {
    fs::read_to_string(clinic.dir.path().join(name)).unwrap_or_default()
}

async fn save(browser: &mut Browser, fields: &[(&str, &str)]) -> crate::clinic::Page {
    browser.send("/settings", "/settings", fields).await
}

#[tokio::test]
async fn what_is_saved_applies_at_once_and_is_kept_with_what_was_before() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    fs::write(clinic.dir.path().join("clinic.toml"), "# Ours.\nidle_minutes = 30 # as in the ward\n")
        .unwrap();
    let drawn = browser.get("/results").await;
    assert!(drawn.shown(".mark-clinic").contains("Clubfoot clinic"));
    let saved = save(&mut browser, CLINIC_DAYS).await;
    assert_eq!((saved.status, saved.location()), (StatusCode::SEE_OTHER, "/settings?done=saved"));
    assert!(
        browser.get("/results").await.shown(".mark-clinic").contains("Hillside"),
        "no drawn page is stale"
    );
    let text = file(&clinic, "clinic.toml");
    assert!(text.starts_with("# Ours.\n") && text.contains("idle_minutes = 20 # as in the ward"), "{text}");
    let before = file(&clinic, "clinic.before.toml");
    assert!(
        before.starts_with("# Replaced on 4 March 2025") && before.contains("ida of the clinic"),
        "{before}"
    );
    assert!(before.ends_with("# Ours.\nidle_minutes = 30 # as in the ward\n"), "{before}");
    let history = browser.get("/settings/history").await;
    for words in ["Hillside", "Clubfoot clinic", "any day", "Tuesday", "20 minutes", "ida of the clinic"] {
        assert!(history.shown(".history").contains(words), "{words}: {}", history.text);
    }
    assert_eq!(history.count(".history tbody tr"), 3);
    // The next start reads the same and finds nothing that was changed by hand.
    let Clinic { app, router, dir } = clinic;
    drop((app, router, browser));
    let app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    assert_eq!(app.settings().weekdays, [Weekday::Tuesday]);
    let lines = fs::read_to_string(dir.path().join("clinic.history.jsonl")).unwrap();
    assert_eq!(lines.lines().count(), 3, "{lines}");
}

#[tokio::test]
async fn what_contradicts_itself_or_is_out_of_range_is_refused_beside_its_field() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    for (fields, field, said) in [
        (&[("clinic_name", "Hillside"), ("days", "some")][..], "days", "No weekday is ticked"),
        (&[("days", "any"), ("weekday.monday", "yes")], "days", "weekdays are ticked"),
        (&[("idle_minutes", "3")], "idle-minutes", "from 5 to 720"),
        (&[("clinic_name", " ")], "clinic-name", "is missing"),
    ] {
        let refused = save(&mut browser, fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}: {}", refused.text);
        assert!(refused.shown(&format!("#f-{field}-error")).contains(said), "{field}: {}", refused.text);
    }
    assert_eq!(*clinic.app.settings(), Settings::default());
    assert_eq!(
        file(&clinic, "clinic.toml") + &file(&clinic, "clinic.history.jsonl"),
        "",
        "nothing is written"
    );
}

#[tokio::test]
async fn the_second_of_two_people_sees_the_newer_settings_first() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let open = browser.get("/settings").await.form("/settings");
    save(&mut browser, CLINIC_DAYS).await;
    let sent: Vec<(&str, &str)> = open
        .iter()
        .map(|(name, value)| (name.as_str(), if name == "clinic_name" { "Harbour" } else { value.as_str() }))
        .collect();
    let newer = browser.post("/settings", &sent).await;
    assert_eq!(newer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        newer.shown(".look").contains("ida of the clinic changed this to “20 minutes”"),
        "{}",
        newer.text
    );
    assert_eq!(clinic.app.settings().name, "Hillside");
    // With the newer version seen, the same form is saved.
    let form = newer.form("/settings");
    assert_eq!(form["clinic_name"], "Harbour", "what was typed is kept");
    let again: Vec<(&str, &str)> = form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(browser.post("/settings", &again).await.location(), "/settings?done=saved");
    assert_eq!(clinic.app.settings().name, "Harbour");
}

#[tokio::test]
async fn a_session_ends_by_the_new_time_without_use() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let token = plantigrade::auth::Token::read(browser.cookie("session").unwrap()).unwrap();
    let later = record::Timestamp::from_seconds(clinic.app.clock.now().seconds() + 10 * 60);
    assert!(clinic.app.sessions.times(&token, later).unwrap().is_some(), "30 minutes are built in");
    let fields = [("clinic_name", "Hillside"), ("days", "any"), ("idle_minutes", "5")];
    assert_eq!(save(&mut browser, &fields).await.location(), "/settings?done=saved");
    let latest = record::Timestamp::from_seconds(later.seconds() + 6 * 60);
    assert!(clinic.app.sessions.times(&token, latest).unwrap().is_none());
}

#[tokio::test]
async fn a_session_is_locked_by_the_new_time_and_never_after_its_end() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let fields =
        [("clinic_name", "Hillside"), ("days", "any"), ("idle_minutes", "10"), ("lock_minutes", "2")];
    assert_eq!(save(&mut browser, &fields).await.location(), "/settings?done=saved");
    let token = plantigrade::auth::Token::read(browser.cookie("session").unwrap()).unwrap();
    let now = clinic.app.clock.now();
    let times = clinic.app.sessions.times(&token, now).unwrap().unwrap();
    assert!((100..=120).contains(&times.locks_in), "{times:?}");
    let wrong =
        [("clinic_name", "Hillside"), ("days", "any"), ("idle_minutes", "10"), ("lock_minutes", "11")];
    let page = save(&mut browser, &wrong).await;
    assert!(page.shown("#f-lock-minutes-error").contains("before the person is signed out"), "{}", page.text);
    let history = browser.get("/settings/history").await;
    assert!(history.shown("main").contains("Lock after") && history.shown("main").contains("2 minutes"));
}

/// Closes days, or opens them again.
async fn closures(browser: &mut Browser, fields: &[(&str, &str)]) -> crate::clinic::Page {
    browser.send("/settings", "/settings/closures", fields).await
}

#[tokio::test]
async fn a_closed_day_is_not_proposed_and_names_who_is_expected_on_it() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    save(&mut browser, CLINIC_DAYS).await;
    let child = clinic.child(&mut browser, AMINA).await;
    let add = format!("/child/{child}/add/appointment-made");
    // 11 March 2025 is a Tuesday.
    let made = browser.send(&add, &add, &[("for_day", "2025-03-11"), ("on", TODAY)]).await;
    assert!(made.status.is_redirection(), "{}", made.text);
    let offered = |page: &crate::clinic::Page| page.count("input[type=radio][value='2025-03-11']") > 0;
    let call = format!("/child/{child}/call");
    assert!(offered(&browser.get(&call).await), "a Tuesday is offered");
    let refused = closures(&mut browser, &[("do", "add"), ("closed_from", "2025-03-11")]).await;
    assert!(refused.shown("#f-closed-why-error").contains("is missing"), "{}", refused.text);
    let fields = [
        ("do", "add"),
        ("closed_from", "2025-03-10"),
        ("closed_to", "2025-03-12"),
        ("closed_why", "training"),
    ];
    assert_eq!(closures(&mut browser, &fields).await.location(), "/settings?done=closed");
    assert!(!offered(&browser.get(&call).await), "a closed day is not offered");
    let page = browser.get("/settings").await;
    assert!(page.shown(".closures").contains("10 March 2025 to 12 March 2025: training"), "{}", page.text);
    assert!(page.shown(".closure-expected").contains("1 child on Tuesday 11 March 2025"), "{}", page.text);
    let day = browser.get("/day?on=2025-03-11").await;
    assert!(day.shown(".message").contains("The clinic is closed: training."), "{}", day.text);
    let twice = closures(&mut browser, &fields).await;
    assert!(twice.text.contains("is on the list already"), "{}", twice.text);
    let gone = [("do", "remove"), ("closure", "2025-03-10 to 2025-03-12 training")];
    assert_eq!(
        browser.send("/settings", "/settings/closures", &gone).await.location(),
        "/settings?done=opened"
    );
    assert!(offered(&browser.get(&call).await));
    let history = browser.get("/settings/history").await.shown(".history");
    assert_eq!(history.matches("2025-03-10 to 2025-03-12 training").count(), 2, "{history}");
}

#[tokio::test]
async fn closed_days_of_the_capacity_file_count_and_are_moved_with_the_first_change() {
    let (clinic, browser) = Clinic::signed_in().await;
    let Clinic { app, router, dir } = clinic;
    drop((app, router, browser));
    let text = "# Ours.\nhorizon_weeks = 26\n\n[[closures]]\nfrom = \"2025-04-18\"\nwhy = \"holiday\"\n";
    fs::write(dir.path().join("capacity.toml"), text).unwrap();
    let app = App::open(dir.path(), Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    assert_eq!(app.settings().days().closure(day("2025-04-18")).unwrap().why, "holiday");
    let app = std::sync::Arc::new(app);
    let clinic = Clinic { router: plantigrade::routes::router(app.clone()), app, dir };
    let mut browser = clinic.browser_signed_in().await;
    // Saving the places keeps the closed days.
    let form = browser.get("/capacity").await.form("/capacity/compare");
    let mut pairs: Vec<(&str, &str)> = form.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    pairs.push(("per_year", "30"));
    assert_eq!(browser.post("/capacity/keep", &pairs).await.location(), "/capacity?done=kept");
    assert_eq!(Settings::read(clinic.dir.path()).unwrap().closures.len(), 1);
    let fields = [("do", "add"), ("closed_from", "2025-05-01"), ("closed_why", "public holiday")];
    assert_eq!(closures(&mut browser, &fields).await.location(), "/settings?done=closed");
    let capacity = file(&clinic, "capacity.toml");
    assert!(capacity.contains("horizon_weeks = 26") && !capacity.contains("closures"), "{capacity}");
    let settings = Settings::read(clinic.dir.path()).unwrap();
    assert_eq!(settings.closures.len(), 2);
    assert!(browser.get("/capacity").await.shown("#f-closures").contains("2025-04-18 holiday"));
}

#[tokio::test]
async fn weekdays_and_places_that_disagree_are_named() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    fs::write(
        clinic.dir.path().join("capacity.toml"),
        "[cast_clinic]\nfriday = 8\ntuesday = 0\n[theatre]\n[brace_clinic]\n",
    )
    .unwrap();
    assert_eq!(browser.get("/settings").await.count(".look"), 0, "any day is possible");
    save(&mut browser, CLINIC_DAYS).await;
    let page = browser.get("/settings").await;
    let doubts = page.shown(".look");
    assert!(doubts.contains("places on Fridays, on which the clinic is not held"), "{doubts}");
    assert!(doubts.contains("held on Tuesdays, for which the capacity page has no places"), "{doubts}");
}

#[tokio::test]
async fn an_import_map_is_listed_with_what_it_covers_deleted_and_restored() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    assert!(browser.get("/settings/maps").await.text.contains("No map is saved."));
    let headings = ["Dossier".to_owned(), "Pied".to_owned()];
    let map = "date_order = \"day first\"\n\n[columns]\n\"Pied\" = \"side\"\n";
    saved_maps::save(clinic.dir.path(), &headings, map, "3 May 2024 by Ida").unwrap();
    let page = browser.get("/settings/maps").await;
    let shown = page.shown(".import-map");
    assert!(shown.contains("Saved 3 May 2024 by Ida") && shown.contains("Pied"), "{shown}");
    assert!(shown.contains("1 answer about"), "{shown}");
    let key = page.form("/settings/maps")["map"].clone();
    assert!(browser.get(&format!("/settings/maps/{key}")).await.text.ends_with(map));
    assert_eq!(browser.get("/settings/maps/no-such-map").await.status, StatusCode::NOT_FOUND);
    let deleted = browser.send("/settings/maps", "/settings/maps", &[("do", "delete")]).await;
    assert_eq!(deleted.location(), "/settings/maps?done=deleted");
    assert_eq!(saved_maps::find(clinic.dir.path(), &headings).unwrap(), None);
    let restored = browser.send("/settings/maps", "/settings/maps", &[("do", "restore")]).await;
    assert_eq!(restored.location(), "/settings/maps?done=restored");
    assert!(saved_maps::find(clinic.dir.path(), &headings).unwrap().is_some());
    let twice = browser
        .post(
            "/settings/maps",
            &[("csrf", &page.form("/settings/maps")["csrf"]), ("map", &key), ("do", "restore")],
        )
        .await;
    assert_eq!(twice.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn a_copy_is_made_checked_and_noted_and_can_be_opened() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    clinic.child(&mut browser, AMINA).await;
    save(&mut browser, CLINIC_DAYS).await;
    let safe = tempfile::tempdir().unwrap();
    let into = |text: &str| text.to_owned();
    let own = clinic.dir.path().display().to_string();
    for (folder, said) in [
        (into(""), "Enter the folder"),
        (into("backups"), "the whole path"),
        (into("/no/such/folder"), "There is no such folder"),
        (own.clone(), "This is the folder of the records"),
        (format!("{own}/clinic.toml"), "This is a file"),
    ] {
        let refused = browser.send("/settings/copies", "/settings/copies", &[("folder", &folder)]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{folder}");
        assert!(refused.shown("#f-folder-error").contains(said), "{folder}: {}", refused.text);
    }
    assert!(browser.get("/settings/copies").await.text.contains("None was made on this page."));
    let folder = safe.path().display().to_string();
    let made = browser.send("/settings/copies", "/settings/copies", &[("folder", &folder)]).await;
    assert_eq!(made.location(), "/settings/copies?done=made", "{}", made.text);
    let page = browser.get("/settings/copies").await;
    assert!(
        page.text.contains("by ida of the clinic") && page.text.contains("of 1 children checked"),
        "{}",
        page.text
    );
    let copy = fs::read_dir(safe.path()).unwrap().next().unwrap().unwrap().path();
    assert!(copy.join("clinic.toml").exists() && copy.join("clinic.history.jsonl").exists());
    let app = App::open(&copy, Clock::new(Some(day(TODAY))), Mode::default()).unwrap();
    assert_eq!(app.settings().name, "Hillside");
    assert_eq!(app.records.children(None, None, 0, 10).unwrap().0.len(), 1);
    let mut other = Browser::new(plantigrade::routes::router(std::sync::Arc::new(app)));
    assert!(other.sign_in(NAME, PASSWORD).await.status.is_redirection(), "the accounts are in it");
}

#[tokio::test]
async fn settings_changed_in_the_file_while_the_program_runs_are_not_written_over() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let path = clinic.dir.path().join("clinic.toml");
    fs::write(&path, "weekdays = [\"tusday\"]\n").unwrap();
    let refused = save(&mut browser, CLINIC_DAYS).await;
    assert!(refused.text.contains("was changed and cannot be used"), "{}", refused.text);
    fs::write(&path, "weekdays = [\"monday\"]\n").unwrap();
    let newer = save(&mut browser, CLINIC_DAYS).await;
    assert!(newer.shown(".look").contains("“Monday”"), "shown before it is changed: {}", newer.text);
    assert_eq!(clinic.app.settings().weekdays, [Weekday::Monday]);
    let history = browser.get("/settings/history").await;
    assert!(history.shown(".history").contains("changed in the file"), "{}", history.text);
    assert_eq!(save(&mut browser, CLINIC_DAYS).await.location(), "/settings?done=saved");
}

#[test]
fn a_file_with_a_byte_order_mark_is_read_and_written_over() {
    for text in ["\u{feff}# Ours.\n", "\u{feff}idle_minutes = 30\n"] {
        let settings = Settings::parse(text).unwrap();
        let other = Settings { name: "Hillside".to_owned(), ..settings };
        let over = other.written_over(text).unwrap();
        assert_eq!(Settings::parse(&over), Ok(other), "{over}");
    }
    assert!(Settings::parse("\u{feff}\u{feff}# Ours.\n").is_err(), "one mark only: no editor writes two");
}
