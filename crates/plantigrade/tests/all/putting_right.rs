//! A whole visit put right, two records joined, marks taken back, calls and moved appointments, through the
//! pages.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Browser, Clinic, TODAY, day};
use axum::http::StatusCode;
use course::{AppointmentState, Course};
use record::{Body, ChildId, Day, Kind, Side};

const VISIT: &str = "2025-03-03"; // a Monday
const BO: &[(&str, &str)] = &[
    ("family_name", "Quillfeather"),
    ("given_name", "Bo"),
    ("number", "CF-202"),
    ("born", "2025-02-10"),
    ("sides", "both"),
];

/// A child with a visit of yesterday: a score and a cast of the right foot, the next appointment.
async fn visited() -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/visit");
    let fields = [
        ("on", VISIT),
        ("right.talar_head", "1"),
        ("right.cast", "correction"),
        ("next.day", "other"),
        ("next.other_day", "2025-03-11"),
    ];
    let sent = browser.send(&path, &path, &fields).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.shown(".errors"));
    (clinic, browser, child)
}

fn course(clinic: &Clinic, child: ChildId) -> Course {
    clinic.app.outlook(child, &clinic.entries(child), day(TODAY)).course
}

fn casts(clinic: &Clinic, child: ChildId, side: Side) -> Vec<Day> {
    let course = course(clinic, child);
    course.foot(side).map(|foot| foot.casts.iter().map(|cast| cast.on).collect()).unwrap_or_default()
}

fn change(child: ChildId) -> String {
    format!("/child/{child}/visit/{VISIT}/change")
}

/// The entry of a child that lists the last step.
fn step(clinic: &Clinic, child: ChildId) -> String {
    let entries = clinic.entries(child);
    let step = entries.iter().rfind(|entry| entry.body.written_together().is_some()).unwrap();
    format!("/child/{child}/entry/{}", step.id)
}

async fn take_back(browser: &mut Browser, page: &str) {
    let fields = [("take_back_reason", "it was right after all"), ("sure", "yes")];
    let sent = browser.send(page, &format!("{page}/take-back"), &fields).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
}

#[tokio::test]
async fn the_wrong_foot_is_exchanged_in_one_step_and_taken_back_in_one() {
    let (clinic, mut browser, child) = visited().await;
    let page = format!("{}?how=foot", change(child));
    let shown = browser.get(&page).await;
    let changes = shown.shown(".change-list");
    for words in ["Right foot: Pirani", "→ Left foot: Pirani", "→ Left foot: cast applied"] {
        assert!(changes.contains(words), "{words}: {changes}");
    }
    let before = clinic.entries(child);
    let sent = browser.send(&page, &change(child), &[]).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    assert_eq!(casts(&clinic, child, Side::Left), [day(VISIT)]);
    assert_eq!(casts(&clinic, child, Side::Right), []);
    let after = clinic.entries(child);
    assert_eq!(after[..before.len()], before, "nothing that was written is touched");
    // The score, the cast, and the entry that lists both.
    assert_eq!(after.len() - before.len(), 3);
    let reasons: Vec<&str> = after[before.len()..]
        .iter()
        .filter_map(|entry| if let Body::Correction(body) = &entry.body { Some(&*body.reason) } else { None })
        .collect();
    assert_eq!(reasons, ["Recorded for the wrong foot"; 2]);
    let timeline = browser.get(&format!("/child/{child}")).await.shown(".timeline");
    assert!(timeline.contains("Whole visit of 3 March 2025 recorded for the other foot"), "{timeline}");
    let page = step(&clinic, child);
    take_back(&mut browser, &page).await;
    assert_eq!(casts(&clinic, child, Side::Right), [day(VISIT)]);
    assert_eq!(casts(&clinic, child, Side::Left), []);
    assert_eq!(browser.get(&page).await.count("form[action$='take-back']"), 0, "taken back once");
}

/// Amina has a right clubfoot only: the same question as at a visit is asked before anything is saved.
#[tokio::test]
async fn an_exchange_that_makes_no_sense_is_asked_about() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let right = [&AMINA[..4], &[("sides", "right"), ("nature", "idiopathic")]].concat();
    let child = clinic.child(&mut browser, &right).await;
    let path = format!("/child/{child}/visit");
    let fields = [("on", TODAY), ("right.cast", "correction")];
    assert_eq!(browser.send(&path, &path, &fields).await.status, StatusCode::SEE_OTHER);
    let before = clinic.entries(child).len();
    let change = format!("/child/{child}/visit/{TODAY}/change");
    let page = format!("{change}?how=foot");
    let unseen = browser.send(&page, &change, &[]).await;
    let said = unseen.shown(".message.warning");
    assert!(said.contains("The visit would be about the left foot; on record is: right foot."), "{said}");
    let asked = browser.send(&page, &change, &[("checked", "yes")]).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(asked.shown(".confirm").contains("Please check before saving"), "{}", asked.text);
    assert_eq!(clinic.entries(child).len(), before);
    let sent = browser
        .send(&page, &change, &[("checked", "yes"), ("confirm", "the left foot, seen again today")])
        .await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    assert_eq!(casts(&clinic, child, Side::Left), [day(TODAY)]);
    // The note that confirms belongs to the step: it is taken back with it.
    take_back(&mut browser, &step(&clinic, child)).await;
    assert_eq!(course(&clinic, child).confirmed, []);
}

#[tokio::test]
async fn a_visit_of_the_wrong_child_is_found_a_home_and_brought_back() {
    let (clinic, mut browser, child) = visited().await;
    let other = clinic.child(&mut browser, BO).await;
    let found = browser.open(&format!("{}?how=child&q=Quilfether", change(child))).await;
    assert!(found.shown(".found").contains("Bo Quillfeather"), "{}", found.text);
    let page = format!("{}?how=child&to={other}", change(child));
    let names = browser.get(&page).await.shown(".from-to");
    assert!(names.contains("Amina Vesterholt") && names.contains("Bo Quillfeather"), "{names}");
    assert_eq!(browser.send(&page, &change(child), &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(casts(&clinic, child, Side::Right), []);
    assert_eq!(casts(&clinic, other, Side::Right), [day(VISIT)]);
    let states =
        |child| course(&clinic, child).appointments.iter().map(|made| made.for_day).collect::<Vec<_>>();
    assert_eq!((states(child).len(), states(other).contains(&day("2025-03-11"))), (0, true));
    let copy = clinic.entries(other).into_iter().find(|entry| entry.kind() == Kind::CastApplied).unwrap();
    let shown = browser.get(&format!("/child/{other}/entry/{}", copy.id)).await;
    assert!(shown.text.contains("Recorded again from"), "{}", shown.text);
    // From the record that received it.
    take_back(&mut browser, &step(&clinic, other)).await;
    assert_eq!(casts(&clinic, child, Side::Right), [day(VISIT)]);
    assert_eq!(casts(&clinic, other, Side::Right), []);
}

#[tokio::test]
async fn a_visit_is_moved_to_its_day_or_withdrawn_and_sent_twice_is_saved_once() {
    let (clinic, mut browser, child) = visited().await;
    let page = format!("{}?how=day&to=2025-03-01", change(child));
    let shown = browser.get(&page).await;
    let mut values = shown.form(&change(child));
    values.insert("reason".to_owned(), "typed on Monday".to_owned());
    let pairs: Vec<(&str, &str)> = values.iter().map(|(name, value)| (&**name, &**value)).collect();
    for _ in 0..2 {
        let sent = browser.post(&change(child), &pairs).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    }
    assert_eq!(casts(&clinic, child, Side::Right), [day("2025-03-01")]);
    let steps = clinic.entries(child).into_iter().filter(|entry| entry.kind() == Kind::VisitAmended);
    assert_eq!(steps.count(), 1);
    for to in ["2025-03-05", "2025-03-03", "yesterday"] {
        let refused = browser.get(&format!("{}?how=day&to={to}", change(child))).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{to}");
    }
    let change = format!("/child/{child}/visit/2025-03-01/change");
    let refused = browser.send(&format!("{change}?how=withdraw"), &change, &[]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "only the person knows why");
    // The move to 1 March was written since, and is asked about.
    assert!(refused.shown(".errors").contains("Something has to be checked first"), "{}", refused.text);
    let sent = browser
        .send(&format!("{change}?how=withdraw"), &change, &[("reason", "never seen"), ("checked", "yes")])
        .await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
    let course = course(&clinic, child);
    assert!(course.seen_on.is_empty() && course.appointments.is_empty(), "{:?}", course.appointments);
    assert_eq!(course.about.given_name, "Amina");
}

/// A form as it was opened, so that it can be sent more than once.
struct Opened {
    action: String,
    values: std::collections::BTreeMap<String, String>,
}

impl Opened {
    async fn at(browser: &mut Browser, page: &str, action: &str) -> Self {
        let shown = browser.get(page).await;
        assert_eq!(shown.status, StatusCode::OK, "{}", shown.text);
        Self { action: action.to_owned(), values: shown.form(action) }
    }

    fn with(mut self, name: &str, value: &str) -> Self {
        self.values.insert(name.to_owned(), value.to_owned());
        self
    }

    async fn send(&self, browser: &mut Browser) -> crate::clinic::Page {
        let pairs: Vec<(&str, &str)> = self.values.iter().map(|(name, value)| (&**name, &**value)).collect();
        browser.post(&self.action, &pairs).await
    }
}

const SAVED_BEFORE: &str = "Nothing was saved now; this step was saved before, on 4 March 2025";

/// Sends a form twice, which saves it once, and then changed: it is not reported as saved.
async fn changed_after_it_was_saved(
    clinic: &Clinic,
    browser: &mut Browser,
    child: ChildId,
    form: Opened,
    (name, value): (&str, &str),
) {
    let saved = form.send(browser).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let entries = clinic.entries(child);
    let again = form.send(browser).await;
    assert_eq!(again.status, StatusCode::SEE_OTHER, "unchanged: {}", again.text);
    let changed = form.with(name, value).send(browser).await;
    assert_eq!(changed.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", changed.text);
    let errors = changed.shown(".errors");
    assert!(errors.contains(SAVED_BEFORE), "{errors}");
    assert_eq!(changed.count(&format!(".errors a[href^='/child/{child}/entry/']")), 1, "{}", changed.text);
    assert_eq!(clinic.entries(child), entries, "nothing was added");
}

#[tokio::test]
async fn a_step_changed_after_it_was_saved_is_not_reported_as_saved() {
    let (clinic, mut browser, child) = visited().await;
    let page = change(child);
    let form = Opened::at(&mut browser, &format!("{page}?how=withdraw"), &page).await;
    let form = form.with("reason", "never seen");
    changed_after_it_was_saved(&clinic, &mut browser, child, form, ("reason", "the wrong clinic")).await;
    let page = step(&clinic, child);
    let form = Opened::at(&mut browser, &page, &format!("{page}/take-back")).await;
    let form = form.with("take_back_reason", "it was seen");
    changed_after_it_was_saved(&clinic, &mut browser, child, form, ("take_back_reason", "")).await;
    // A tick taken away is a change too.
    let cast = clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::CastApplied).unwrap();
    let page = change(child);
    let form = Opened::at(&mut browser, &format!("{page}?how=foot"), &page).await;
    let tick = format!("entry.{}", cast.id);
    assert_eq!(form.values.get(&tick).map(String::as_str), Some("yes"));
    changed_after_it_was_saved(&clinic, &mut browser, child, form, (&tick, "no")).await;
    assert_eq!(casts(&clinic, child, Side::Left), [day(VISIT)]);
}

#[tokio::test]
async fn a_join_changed_after_it_was_saved_is_not_reported_as_saved() {
    let (clinic, mut browser, kept) = visited().await;
    let other = clinic.child(&mut browser, BO).await;
    let page = format!("/child/{kept}/join/{other}");
    let form = Opened::at(&mut browser, &page, &page).await;
    let form = form.with("reason", "both cards shown").with("sure", "yes").with("detail.born", "kept");
    changed_after_it_was_saved(&clinic, &mut browser, kept, form, ("detail.born", "other")).await;
    assert_eq!(course(&clinic, kept).about.born, Some(day("2025-02-18")));
}

/// Somebody writes about the child between opening the form and sending it.
#[tokio::test]
async fn a_step_made_before_another_entry_is_shown_again_with_it() {
    let (clinic, mut browser, child) = visited().await;
    let page = change(child);
    let form = Opened::at(&mut browser, &format!("{page}?how=foot"), &page).await;
    let visit = format!("/child/{child}/visit");
    let note = [("on", VISIT), ("left.talar_head", "0.5")];
    assert_eq!(browser.send(&visit, &visit, &note).await.status, StatusCode::SEE_OTHER);
    let entries = clinic.entries(child);
    let asked = form.send(&mut browser).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", asked.text);
    assert!(asked.shown(".errors").contains("Something was recorded here in the meantime"), "{}", asked.text);
    assert!(asked.shown(".change-list").contains("Left foot: Pirani"), "{}", asked.shown(".change-list"));
    assert_eq!(clinic.entries(child), entries, "nothing was saved");
    let again = Opened { action: page.clone(), values: asked.form(&page) };
    let saved = again.send(&mut browser).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.shown(".errors"));
    // The same for joining two records, of which the other is written about.
    let other = clinic.child(&mut browser, BO).await;
    let page = format!("/child/{child}/join/{other}");
    let form = Opened::at(&mut browser, &page, &page).await;
    let form = form.with("reason", "both cards shown").with("sure", "yes").with("detail.born", "kept");
    let visit = format!("/child/{other}/visit");
    let cast = [("on", VISIT), ("left.cast", "correction")];
    assert_eq!(browser.send(&visit, &visit, &cast).await.status, StatusCode::SEE_OTHER);
    let asked = form.send(&mut browser).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", asked.text);
    assert!(asked.shown(".errors").contains("Something was recorded here in the meantime"), "{}", asked.text);
    assert_eq!(asked.count("input[name='sure'][checked]"), 0, "what was confirmed was another state");
    // And for taking a step back.
    let page = step(&clinic, child);
    let form = Opened::at(&mut browser, &page, &format!("{page}/take-back")).await;
    let form = form.with("take_back_reason", "it was right");
    let visit = format!("/child/{child}/visit");
    assert_eq!(browser.send(&visit, &visit, &[("note", "seen again")]).await.status, StatusCode::SEE_OTHER);
    let asked = form.send(&mut browser).await;
    assert!(asked.shown(".errors").contains("Something was recorded here in the meantime"), "{}", asked.text);
}

/// Expected today, made a week ago.
async fn expected() -> (Clinic, Browser, ChildId) {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let path = format!("/child/{child}/add/appointment-made");
    let fields = [("for_day", TODAY), ("time", "09:30"), ("purpose", "cast")];
    assert_eq!(browser.send(&path, &path, &fields).await.status, StatusCode::SEE_OTHER);
    (clinic, browser, child)
}

fn state(clinic: &Clinic, child: ChildId) -> Vec<AppointmentState> {
    course(clinic, child).appointments.iter().map(|made| made.state).collect()
}

#[tokio::test]
async fn a_mark_of_the_day_is_taken_back_with_one_tap_and_stays_readable() {
    let (clinic, mut browser, child) = expected().await;
    for (action, marked) in
        [("/day/arrived", AppointmentState::Here), ("/day/missed", AppointmentState::Missed)]
    {
        assert_eq!(browser.send("/day", action, &[]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&clinic, child), [marked]);
        let sent = browser.send("/day", "/day/undo", &[]).await;
        assert_eq!(sent.location(), format!("/day?on={TODAY}&done=undone"));
        assert_eq!(state(&clinic, child), [AppointmentState::Expected], "{action}");
        let last = clinic.entries(child).pop().unwrap();
        assert_eq!(last.kind(), Kind::Withdrawal, "as an entry");
    }
    // Nothing is marked: a second tap does nothing.
    let before = clinic.entries(child).len();
    let csrf = browser.get("/day").await.form("/sign-out")["csrf"].clone();
    let fields = [("csrf", &*csrf), ("child", &child.to_string()), ("on", TODAY)];
    assert_eq!(browser.post("/day/undo", &fields).await.status, StatusCode::SEE_OTHER);
    assert_eq!(clinic.entries(child).len(), before);
}

#[tokio::test]
async fn who_did_not_come_is_called_and_gets_a_new_day_in_one_form() {
    let (clinic, mut browser, child) = expected().await;
    let carer = format!("/child/{child}/add/registration");
    let fields = [("carer_phone", "+00 555 0100")];
    assert_eq!(browser.send(&carer, &carer, &fields).await.status, StatusCode::SEE_OTHER);
    assert_eq!(browser.send("/day", "/day/missed", &[]).await.status, StatusCode::SEE_OTHER);
    let list = browser.get("/calls").await;
    assert!(list.shown(".to-call").contains("Did not come (cast)."), "{}", list.text);
    assert!(list.text.contains("href=\"tel:+005550100\""), "{}", list.text);
    assert!(!list.shown(".carers").contains(", +00"), "a carer without a name begins with no comma");
    let missed = course(&clinic, child).appointments[0].entry;
    let page = format!("/child/{child}/call?back=day-{TODAY}&follows={missed}");
    let action = format!("/child/{child}/call");
    let refused = browser.send(&page, &action, &[("day", "2025-03-05")]).await;
    assert!(refused.shown(".errors").contains("Choose whether the family was reached"), "{}", refused.text);
    let past = [("reached", "yes"), ("day", "other"), ("other_day", "2025-03-01")];
    let refused = browser.send(&page, &action, &past).await;
    assert!(refused.shown(".errors").contains("has passed"), "{}", refused.text);
    let before = clinic.entries(child).len();
    let fields = [("reached", "yes"), ("said", "the bus did not run"), ("day", "2025-03-05")];
    let sent = browser.send(&page, &action, &fields).await;
    assert_eq!(sent.location(), format!("/day?on={TODAY}&done=called"), "{}", sent.text);
    let written = clinic.entries(child).split_off(before);
    let Body::ContactAttempt(attempt) = &written[0].body else { panic!("{written:?}") };
    assert_eq!((attempt.reached, attempt.note.as_deref()), (true, Some("the bus did not run")));
    let Body::AppointmentMade(made) = &written[1].body else { panic!("{written:?}") };
    assert_eq!((made.for_day, made.purpose), (day("2025-03-05"), Some(record::Purpose::Cast)));
    assert_eq!(written[1].follows, Some(missed));
    assert_eq!(state(&clinic, child), [AppointmentState::Missed, AppointmentState::Expected]);
    let list = browser.get("/calls").await;
    assert!(list.shown(".tally").contains("0 to call · 1 called"), "{}", list.shown(".tally"));
}

/// A cast that slipped is one form: the same entry, and the same call, as from the form for a problem.
#[tokio::test]
async fn a_problem_told_by_telephone_is_recorded_with_the_call() {
    let (clinic, mut browser, child) = visited().await;
    let (call, add) = (format!("/child/{child}/call"), format!("/child/{child}/add/problem"));
    let side_only = [("reached", "yes"), ("problem_side", "right")];
    let refused = browser.send(&call, &call, &side_only).await;
    assert!(refused.shown(".errors").contains("A foot is chosen and no problem"), "{}", refused.text);
    let other = browser.send(&call, &call, &[("reached", "yes"), ("problem", "other")]).await;
    assert!(other.shown(".errors").contains("Enter what the problem is"), "{}", other.text);
    let fields = [
        ("reached", "yes"),
        ("problem", "cast_slipped"),
        ("problem_side", "right"),
        ("day", "2025-03-05"),
        ("back", "attention"),
    ];
    let form = fields
        .iter()
        .fold(Opened::at(&mut browser, &call, &call).await, |form, (name, value)| form.with(name, value));
    for _ in 0..2 {
        let sent = form.send(&mut browser).await;
        assert_eq!(sent.location(), format!("/child/{child}?done=called"), "{}", sent.shown(".errors"));
    }
    let written: Vec<Kind> = clinic.entries(child).iter().rev().take(3).map(record::Entry::kind).collect();
    assert_eq!(written, [Kind::AppointmentMade, Kind::Problem, Kind::ContactAttempt]);
    let called = browser.get(&format!("/child/{child}")).await;
    assert!(called.text.contains("See the child the same day: cast slipped"), "{}", called.text);
    // From the form of its own, for another child: the entry differs in nothing.
    let twin = clinic.child(&mut browser, BO).await;
    let visit = format!("/child/{twin}/visit");
    let cast = [("on", VISIT), ("right.cast", "correction")];
    assert_eq!(browser.send(&visit, &visit, &cast).await.status, StatusCode::SEE_OTHER);
    let add = add.replace(&child.to_string(), &twin.to_string());
    let fields = [("what", "cast_slipped"), ("side", "right")];
    assert_eq!(browser.send(&add, &add, &fields).await.status, StatusCode::SEE_OTHER);
    let problem = |of| clinic.entries(of).into_iter().find(|entry| entry.kind() == Kind::Problem).unwrap();
    let (told, own) = (problem(child), problem(twin));
    assert_eq!((told.body, told.on, told.follows), (own.body, own.on, own.follows));
}

#[tokio::test]
async fn an_appointment_is_moved_and_the_old_one_is_cancelled() {
    let (clinic, mut browser, child) = expected().await;
    let made = course(&clinic, child).appointments[0].entry;
    let path = format!("/child/{child}/appointment/{made}/move");
    let page = browser.get(&path).await;
    assert!(page.text.contains("0 booked"), "what is booked on each day is shown: {}", page.text);
    let refused = browser.send(&path, &path, &[]).await;
    assert!(refused.shown(".errors").contains("Choose the day."), "{}", refused.text);
    let sent = browser.send(&path, &path, &[("day", "2025-03-06")]).await;
    assert_eq!(sent.location(), format!("/day?on={TODAY}&done=moved"), "{}", sent.text);
    assert_eq!(state(&clinic, child), [AppointmentState::Cancelled, AppointmentState::Expected]);
    let moved = course(&clinic, child).appointments.pop().unwrap();
    assert_eq!((moved.time.as_deref(), moved.purpose), (Some("09:30"), Some(record::Purpose::Cast)));
    assert_eq!(browser.get(&path).await.status, StatusCode::CONFLICT, "it was moved already");
}

#[tokio::test]
async fn two_records_of_one_child_are_joined_and_parted() {
    let (clinic, mut browser, kept) = visited().await;
    let again = [
        ("family_name", "Vesterhold"),
        ("given_name", "Amina"),
        ("number", "CF-909"),
        ("born", "2025-02-19"),
        ("sides", "both"),
        ("sure", "yes"),
    ];
    let other = clinic.child(&mut browser, &again).await;
    let path = format!("/child/{other}/visit");
    let fields = [("on", VISIT), ("right.talar_head", "0.5"), ("left.cast", "correction")];
    assert_eq!(browser.send(&path, &path, &fields).await.status, StatusCode::SEE_OTHER);
    let found = browser.get(&format!("/child/{kept}/join")).await.shown(".found");
    assert!(found.contains("CF-909") && found.contains("other date of birth"), "{found}");
    let page = format!("/child/{kept}/join/{other}");
    let asked = browser.send(&page, &page, &[("reason", "both cards shown"), ("sure", "yes")]).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    let errors = asked.shown(".errors");
    assert!(errors.contains("disagree") && errors.contains("contradict"), "{errors}");
    let scored = |child| {
        let entries = clinic.entries(child);
        entries.into_iter().find(|entry| entry.kind() == Kind::Assessment).unwrap().id
    };
    let clash = format!("clash.{}", scored(other));
    let fields = [("reason", "both cards shown"), ("sure", "yes"), ("detail.born", "kept"), (&clash, "kept")];
    let sent = browser.send(&page, &page, &fields).await;
    assert_eq!(sent.location(), format!("/child/{kept}?done=joined"), "{}", sent.text);
    assert_eq!(casts(&clinic, kept, Side::Right), [day(VISIT)]);
    assert_eq!(casts(&clinic, kept, Side::Left), [day(VISIT)]);
    let joined = course(&clinic, kept);
    assert_eq!(
        (joined.about.born, joined.foot(Side::Right).unwrap().scores.len()),
        (Some(day("2025-02-18")), 1)
    );
    assert_eq!(joined.about.numbers, ["CF-101", "CF-909"]);
    // The other record is no child any more, and leads here.
    assert_eq!(
        browser.get(&format!("/child/{other}")).await.location(),
        format!("/child/{kept}?done=joined-here")
    );
    let found = browser.open("/find?q=CF-909").await;
    assert_eq!(found.count(".found-list .found"), 1, "{}", found.text);
    let late = browser.send(&path, &path, &[("on", VISIT), ("note", "typed late")]).await;
    assert_eq!(late.status, StatusCode::CONFLICT, "a form that was open before the join: {}", late.text);
    let step = step(&clinic, kept);
    take_back(&mut browser, &step).await;
    assert_eq!(casts(&clinic, kept, Side::Left), []);
    assert_eq!(casts(&clinic, other, Side::Left), [day(VISIT)]);
    assert_eq!(course(&clinic, kept).about.numbers, ["CF-101"]);
    assert_eq!(browser.get(&format!("/child/{other}")).await.status, StatusCode::OK);
}

/// The form to correct shows what is filled; the rest is folded, and nothing is lost.
#[tokio::test]
async fn a_correction_begins_with_what_is_filled() {
    let (clinic, mut browser, child) = visited().await;
    let entry = clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::Assessment).unwrap();
    let page = browser.get(&format!("/child/{child}/entry/{}", entry.id)).await;
    let form = format!("form[action='/child/{child}/entry/{}/correct']", entry.id);
    assert_eq!(page.count(&format!("{form} > fieldset#f-pirani-talar-head")), 1, "{}", page.text);
    assert_eq!(page.count(&format!("{form} > details fieldset#f-pirani-empty-heel")), 1);
    assert_eq!(page.count(&format!("{form} > .amend-bar #f-correct-reason")), 1);
    assert!(page.text.contains(&format!("/child/{child}/visit/{VISIT}/change")));
}

/// The usual reasons of a correction are one tap; words are as good, and nothing at all is refused.
#[tokio::test]
async fn a_usual_reason_of_a_correction_is_one_tap() {
    let (clinic, mut browser, child) = visited().await;
    let entry = clinic.entries(child).into_iter().find(|entry| entry.kind() == Kind::Assessment).unwrap();
    let page = format!("/child/{child}/entry/{}", entry.id);
    let correct = format!("{page}/correct");
    let cases = [
        (vec![("pirani.talar_head", "0.5"), ("correct_why", "value")], Some("Wrong value typed")),
        (
            vec![("pirani.talar_head", "0"), ("correct_why", "day"), ("correct_reason", "it was Sunday")],
            Some("Wrong day: it was Sunday"),
        ),
        (
            vec![("correct_why", "other"), ("correct_reason", "read from the old card")],
            Some("read from the old card"),
        ),
        (vec![("correct_why", "other")], None),
        (vec![("pirani.talar_head", "1")], None),
        (vec![("correct_why", "elsewhere")], None),
    ];
    for (fields, reason) in cases {
        let before = clinic.entries(child).len();
        let sent = browser.send(&page, &correct, &fields).await;
        let written = clinic.entries(child).split_off(before);
        let found = written.iter().find_map(|entry| match &entry.body {
            Body::Correction(correction) => Some(correction.reason.as_str()),
            _ => None,
        });
        assert_eq!(found, reason, "{fields:?}: {}", sent.shown(".errors"));
        let status = if reason.is_some() { StatusCode::SEE_OTHER } else { StatusCode::UNPROCESSABLE_ENTITY };
        assert_eq!(sent.status, status, "{fields:?}");
    }
}

/// Registered again, a child is offered with the way to its record.
#[tokio::test]
async fn who_may_be_registered_already_is_one_tap_away() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let asked = browser.send("/register", "/register", AMINA).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", asked.text);
    let link = asked.shown(&format!(".look a.button[href='/child/{child}']"));
    assert_eq!(link, "Open the record of Amina Vesterholt", "{}", asked.text);
}
