//! Capacity: the command and the page, over an invented clinic, over an empty one, and over what cannot be.

use crate::{
    clinic::{Clinic, TODAY, day},
    commands::{code, err, out, run},
};
use axum::http::StatusCode;
use caseload::{CAUTION, Setting};
use plantigrade::{app::Mode, clock::Clock, routes, serve};
use serde_json::Value;
use std::{fs, path::Path, sync::Arc};

const SETTING: &str = "\
horizon_weeks = 26
[referrals]
per_year = 30
[cast_clinic]
tuesday = 8
[theatre]
thursday = 2
[brace_clinic]
wednesday = 14
";

fn written(dir: &Path, name: &str, text: &str) -> String {
    let path = dir.join(name);
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn the_command_answers_in_words_and_as_json_and_the_seed_decides() {
    let dir = tempfile::tempdir().unwrap();
    let config = written(dir.path(), "a.toml", SETTING);
    let text = run(dir.path(), &["capacity", &config, "--demo", "--children", "40", "--runs", "60"]);
    assert_eq!(code(&text), 0, "{}", err(&text));
    let text = out(&text);
    for said in
        ["Cast places, 8 a week,", "60 runs of 26 weeks", "Waits in days", "Pairs of boots", "Bars", CAUTION]
    {
        assert!(text.contains(said), "{said} is not in {text}");
    }
    let asked = |seed: &str| {
        let arguments =
            ["capacity", &config, "--demo", "--children", "40", "--runs", "60", "--seed", seed, "--json"];
        let output = run(dir.path(), &arguments);
        serde_json::from_str::<Value>(&out(&output))
            .unwrap_or_else(|error| panic!("{error}: {}", err(&output)))
    };
    let (one, again, two) = (asked("1"), asked("1"), asked("2"));
    assert_eq!(one, again);
    assert_ne!(one["summary"], two["summary"]);
    assert_eq!(one["summary"]["services"][0].as_array().unwrap().len(), 26);
    let taken = one["children"]["taken"].as_u64().unwrap();
    let left_out: u64 = ["after_treatment", "not_seen", "ended"]
        .iter()
        .map(|key| one["children"][key].as_u64().unwrap())
        .sum();
    assert!(taken > 10, "{taken} invented children are in treatment");
    assert_eq!(taken + left_out, 40, "every child is counted once");
}

#[test]
fn two_settings_are_laid_side_by_side() {
    let dir = tempfile::tempdir().unwrap();
    let config = written(dir.path(), "a.toml", SETTING);
    let other = written(dir.path(), "b.toml", &SETTING.replace("tuesday = 8", "tuesday = 8\nfriday = 8"));
    let arguments =
        ["capacity", &config, "--compare", &other, "--demo", "--children", "60", "--runs", "80", "--json"];
    let output = run(dir.path(), &arguments);
    let json: Value = serde_json::from_str(&out(&output)).unwrap();
    let first = &json["comparison"]["differences"][0];
    assert_eq!(first["measure"], "first_cast_days");
    assert!(first["change"]["middle"].as_f64().unwrap() < 0.0, "a day more shortens the wait: {first}");
    assert!(json["comparison"]["says"][0].as_str().unwrap().contains("first cast"));
}

#[test]
fn what_cannot_be_is_refused_with_its_file_and_reason() {
    let dir = tempfile::tempdir().unwrap();
    for (text, said) in [
        ("[cast_clinic]\nmondays = 4\n", "line 2"),
        ("[visits]\nno_show = -0.1\n", "visits.no_show is -0.1"),
        ("[[closures]]\nfrom = \"2026-01-05\"\nto = \"2026-01-01\"\n", "put the first day first"),
    ] {
        let config = written(dir.path(), "a.toml", text);
        let output = run(dir.path(), &["capacity", &config, "--demo", "--children", "1"]);
        assert_eq!(code(&output), 6, "{text}: {}{}", out(&output), err(&output));
        assert!(err(&output).contains(said), "{}", err(&output));
    }
    let output = run(dir.path(), &["capacity", "no-such-file.toml", "--demo"]);
    assert_eq!(code(&output), 6);
    assert!(err(&output).contains("no-such-file.toml cannot be read"), "{}", err(&output));
}

#[test]
fn a_clinic_without_places_is_told_how_many_wait() {
    let dir = tempfile::tempdir().unwrap();
    let config = written(
        dir.path(),
        "a.toml",
        "[referrals]\nper_year = 52\n[cast_clinic]\ntuesday = 0\nfriday = 0\n[theatre]\nthursday = 0\n[brace_clinic]\nwednesday = 0\n",
    );
    let output = run(dir.path(), &["capacity", &config, "--demo", "--children", "5", "--runs", "20"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(out(&output).contains("No cast place was ever found"), "{}", out(&output));
    assert!(!out(&output).contains("NaN"), "{}", out(&output));
}

/// The example in the manual is the built-in setting but for its children and closures.
#[test]
fn the_example_in_the_manual_is_what_is_built_in() {
    let manual = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/capacity.md");
    let text = fs::read_to_string(manual).unwrap();
    let example = text.split("```toml\n").nth(1).unwrap().split("```").next().unwrap();
    let mut setting = Setting::from_toml(example).unwrap();
    assert_eq!(setting.closures.len(), 2);
    setting.closures.clear();
    assert_eq!(setting.referrals.per_year.take(), Some(40.0));
    assert_eq!(setting, Setting::default());
    // The values that are commented out are the built-in ones too.
    let all = example.replace("# incidence", "incidence").replace("# ages", "ages");
    let mut setting = Setting::from_toml(&all).unwrap();
    setting.closures.clear();
    setting.referrals.per_year = None;
    assert_eq!(setting, Setting::default());
}

#[tokio::test]
async fn an_empty_clinic_is_asked_how_many_children_come() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    let page = browser.get("/capacity").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.text.contains("The number of new children a year is not set"), "{}", page.text);
    assert_eq!(page.count("form[action='/capacity/compare']"), 1);
}

#[tokio::test]
async fn the_page_answers_compares_and_keeps() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    fs::write(clinic.dir.path().join("capacity.toml"), SETTING).unwrap();
    let page = browser.get("/capacity").await;
    assert!(page.shown(".capacity-first").contains("places"), "{}", page.text);
    assert!(page.text.contains(CAUTION));
    assert_eq!(page.count("svg.weeks.wide"), 3);
    let compared = browser.send("/capacity", "/capacity/compare", &[("cast.friday", "9")]).await;
    assert_eq!(compared.status, StatusCode::OK, "{}", compared.text);
    let says = compared.shown(".capacity-compare");
    assert!(says.contains("9 cast places on Fridays instead of 0"), "{says}");
    let file = clinic.dir.path().join("capacity.toml");
    assert_eq!(fs::read_to_string(&file).unwrap(), SETTING, "comparing keeps nothing");
    let mut fields = page.form("/capacity/compare");
    fields.insert("cast.friday".to_owned(), "9".to_owned());
    let closed = "2025-12-24 to 2026-01-01 holidays\n2025-05-01".to_owned();
    let mut with_closures = fields.clone();
    with_closures.insert("closures".to_owned(), closed);
    let pairs: Vec<(&str, &str)> =
        with_closures.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let refused = browser.post("/capacity/keep", &pairs).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.shown("#f-closures-error, .errors").contains("page Settings"), "{}", refused.text);
    assert_eq!(browser.post("/capacity/compare", &pairs).await.status, StatusCode::OK);
    let pairs: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let kept = browser.post("/capacity/keep", &pairs).await;
    assert_eq!((kept.status, kept.location()), (StatusCode::SEE_OTHER, "/capacity?done=kept"));
    let setting = Setting::from_toml(&fs::read_to_string(&file).unwrap()).unwrap();
    assert_eq!((setting.cast_clinic.tuesday, setting.cast_clinic.friday), (8, 9));
    assert!(setting.closures.is_empty(), "they are saved with the settings");
    assert_eq!(fs::read_to_string(clinic.dir.path().join("capacity.before.toml")).unwrap(), SETTING);
    assert!(
        browser
            .get("/capacity?done=kept")
            .await
            .text
            .contains("Setting saved. The previous version is in capacity.before.toml.")
    );
    let own = fs::read_to_string(&file).unwrap();
    for friday in [0, 9, 0] {
        let undone = browser.send("/capacity", "/capacity/undo", &[]).await;
        assert_eq!(undone.location(), "/capacity?done=undone", "{}", undone.text);
        let setting = Setting::from_toml(&fs::read_to_string(&file).unwrap()).unwrap();
        assert_eq!(setting.cast_clinic.friday, friday, "each undo can be undone");
    }
    assert_ne!(fs::read_to_string(&file).unwrap(), own);
}

#[tokio::test]
async fn the_page_states_first_when_it_rests_on_example_places() {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = serve::demo_app(dir.path(), 20, 7, Clock::new(Some(day(TODAY))), mode).unwrap();
    let path = serve::demo_path(&app).unwrap();
    let mut browser = crate::clinic::Browser::new(routes::router(Arc::new(app)));
    browser.get(&path).await;
    let page = browser.get("/capacity").await;
    assert!(page.shown(".capacity-first").starts_with("With example places: "), "{}", page.text);
    fs::write(dir.path().join("capacity.toml"), SETTING).unwrap();
    let page = browser.get("/capacity").await;
    assert!(!page.shown(".capacity-answer").contains("example"), "{}", page.text);
}

#[tokio::test]
async fn a_form_that_cannot_be_read_goes_back_and_keeps_nothing() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    for (field, value, said) in [
        ("cast.monday", "-1", "A whole number from 0"),
        ("cast.monday", "2.5", "A whole number from 0"),
        ("cast.monday", "", "Enter 0 for a day without places"),
        ("cast.monday", "800", "A whole number from 0 to 120"),
        ("no_show", "NaN", "A number from 0 to 100"),
        ("closures", "Christmas", "is neither a day nor"),
        ("closures", "2026-01-02 to 2026-01-01", "is neither a day nor"),
        ("weeks", "0", "1 to 520 is expected"),
    ] {
        for action in ["/capacity/compare", "/capacity/keep"] {
            let page = browser.get("/capacity").await;
            let mut fields = page.form("/capacity/compare");
            fields.insert(field.to_owned(), value.to_owned());
            let pairs: Vec<(&str, &str)> =
                fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
            let page = browser.post(action, &pairs).await;
            assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {value}: {}", page.text);
            assert!(page.text.contains(said), "{field} {value}: {}", page.text);
        }
    }
    assert!(!clinic.dir.path().join("capacity.toml").exists());
    let page = browser.post("/capacity/keep", &[("cast.monday", "3")]).await;
    assert_ne!(page.status, StatusCode::SEE_OTHER, "a form without its token keeps nothing");
}

#[tokio::test]
async fn a_file_that_cannot_be_used_is_told_with_its_line_and_stops_nothing_else() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    fs::write(clinic.dir.path().join("capacity.toml"), "# ours\n[cast_clinic]\nmonday = \"many\"\n").unwrap();
    let page = browser.get("/capacity").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("line 3") && page.text.contains("built-in example"), "{}", page.text);
    assert_eq!(browser.get("/day").await.status, StatusCode::OK);
}

#[tokio::test]
async fn the_invented_clinic_begins_with_its_own_children() {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = serve::demo_app(dir.path(), 60, 7, Clock::new(Some(day(TODAY))), mode).unwrap();
    let path = serve::demo_path(&app).unwrap();
    let mut browser = crate::clinic::Browser::new(routes::router(Arc::new(app)));
    browser.get(&path).await;
    let page = browser.get("/capacity").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.text.contains("children in treatment"), "{}", page.text);
    assert!(page.text.contains("the number referred here in the last year"), "{}", page.text);
}
