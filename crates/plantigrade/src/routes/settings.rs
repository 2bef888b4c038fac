//! The clinic's settings: name, days, closed days, and the history of them.

use crate::{
    app::App,
    clinic_history, clock, forms,
    setting_changes::{self, ChangeOutcome},
    setting_history::{ReadHistory, SettingChange},
    settings::{SecondFactorPolicy, Settings},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use clinic::Closure;
use pages::{
    ClosureRow, Frame, HelpTopic, Here, HistoryRow, HistoryView, Message, SecondFactorSettings, SettingsView,
    fields::{self, Filled, settings as names},
};
use record::{Day, DayRange, Weekday};
use serde::Deserialize;

/// What was just saved.
#[derive(Debug, Deserialize)]
pub struct SettingsQuery {
    done: Option<String>,
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<SettingsQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Settings);
    frame.message = asked.done.as_deref().and_then(message);
    shown(work(&app, move |app| drawn(app, &frame, SentForms::default())).await?)
}

fn message(done: &str) -> Option<Message> {
    Some(match done {
        "saved" => Message::Done("The settings are saved and apply from now on.".to_owned()),
        "same" => Message::Note("Nothing differs from what was saved before.".to_owned()),
        "closed" => Message::Done("The closed days are saved.".to_owned()),
        "opened" => Message::Done("The closed days are removed. They stay in the history.".to_owned()),
        _ => return None,
    })
}

/// Saves name, days and the time without use.
pub async fn save(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Settings));
    let done = work(&app, move |app| {
        let mut read = Settings::clone(&app.settings());
        if let Err(errors) = forms::read_settings(&filled, &mut read) {
            return drawn(app, &frame, SentForms::clinic(Filled { errors, ..filled }, None)).map(Err);
        }
        let seen = filled.value(fields::SEEN).to_owned();
        let outcome = setting_changes::change(app, by, Some(&seen), |settings| {
            (settings.name, settings.weekdays) = (read.name, read.weekdays);
            (settings.idle_minutes, settings.lock_minutes) = (read.idle_minutes, read.lock_minutes);
            settings.retention_years_after_last_entry = read.retention_years_after_last_entry;
            settings.retention_until_age = read.retention_until_age;
            (settings.telephone, settings.paper) = (read.telephone, read.paper);
            Ok(())
        })?;
        match outcome {
            ChangeOutcome::Saved => Ok(Ok("/settings?done=saved")),
            ChangeOutcome::Same => Ok(Ok("/settings?done=same")),
            ChangeOutcome::Newer(text) => drawn(app, &frame, SentForms::clinic(filled, Some(text))).map(Err),
            ChangeOutcome::Refused(text) => {
                drawn(app, &frame, SentForms::clinic(filled.wrong("", text), None)).map(Err)
            }
        }
    });
    answered(done.await?)
}

fn answered(done: Result<&str, maud::Markup>) -> PageResult {
    match done {
        Ok(path) => to(path),
        Err(form) => again(form),
    }
}

/// Adds a closure or removes one.
pub async fn closures(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Settings));
    let done = work(&app, move |app| {
        let remove = filled.value(names::DO) == "remove";
        let closure = if remove {
            filled.value(names::CLOSURE).parse().map_err(|_| Fail::not_found())?
        } else {
            match forms::closure(&filled, app.clock.today()) {
                Ok(closure) => closure,
                Err(errors) => {
                    let sent = SentForms::closure(Filled { errors, ..filled });
                    return drawn(app, &frame, sent).map(Err);
                }
            }
        };
        let done = if remove { "/settings?done=opened" } else { "/settings?done=closed" };
        match setting_changes::change(app, by, None, |settings| put(settings, closure, remove))? {
            ChangeOutcome::Saved => Ok(Ok(done)),
            // Somebody removed it a moment ago.
            ChangeOutcome::Same => Ok(Ok("/settings?done=same")),
            ChangeOutcome::Refused(text) | ChangeOutcome::Newer(text) => {
                let sent = SentForms::closure(filled.wrong(names::CLOSED_FROM, text));
                drawn(app, &frame, sent).map(Err)
            }
        }
    });
    answered(done.await?)
}

/// Saves who needs a second factor.
pub async fn second_factor(
    State(app): State<Shared>,
    visitor: Visitor,
    Posted(filled): Posted,
) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Settings));
    let done = work(&app, move |app| {
        let outcome =
            setting_changes::change(app, by, None, |settings| forms::read_second_factor(&filled, settings))?;
        match outcome {
            ChangeOutcome::Saved => Ok(Ok("/settings?done=saved")),
            ChangeOutcome::Same => Ok(Ok("/settings?done=same")),
            ChangeOutcome::Refused(text) | ChangeOutcome::Newer(text) => {
                let sent = SentForms::second_factor(filled.wrong(names::SECOND_FACTOR, text));
                drawn(app, &frame, sent).map(Err)
            }
        }
    });
    answered(done.await?)
}

/// The card of the second factor, with a form that was sent or the saved settings.
fn second_factor_card(app: &App, sent: Option<Filled>) -> Result<SecondFactorSettings, Fail> {
    let accounts = app.records.accounts();
    let mut without = Vec::new();
    for account in accounts.all()?.into_iter().filter(|account| !account.disabled) {
        if app.requires_second_factor(account.roles) && !accounts.factors(account.id)?.any() {
            without.push(account.display_name);
        }
    }
    Ok(SecondFactorSettings {
        filled: sent.unwrap_or_else(|| forms::second_factor_filled(&app.settings())),
        default: app.default_policy().words(),
        answers: SecondFactorPolicy::ALL.map(|policy| (policy.key(), policy.words())).to_vec(),
        without,
    })
}

fn put(settings: &mut Settings, closure: Closure, remove: bool) -> Result<(), String> {
    if remove {
        settings.closures.retain(|there| *there != closure);
        return Ok(());
    }
    let same_days = |there: &&Closure| (there.from, there.last()) == (closure.from, closure.last());
    if let Some(there) = settings.closures.iter().find(same_days) {
        return Err(format!("{} is on the list already: {}.", there.days(), there.reason()));
    }
    settings.closures.push(closure);
    settings.closures.sort_by_key(|closure| (closure.from, closure.last()));
    Ok(())
}

/// The history of the settings.
pub async fn history(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Settings);
    let read = work(&app, |app| {
        clinic_history::history(&app.dir).map_err(|error| Fail::fault(&format!("the history: {error}")))
    });
    let view = HistoryView {
        topic: HelpTopic::Settings,
        title: "History of the settings",
        about: "Every change of the clinic’s name, its days, its closed days, the times without use and the second factor. Nothing here can be changed.",
        back: ("/settings", "Settings"),
        file: clinic_history::SETTINGS_HISTORY,
        ..history_view(&read.await?, |change| (label(&change.key).to_owned(), None))
    };
    shown(pages::setting_history(&frame, &view))
}

fn label(key: &str) -> &str {
    match key {
        "name" => "Name of the clinic",
        "weekdays" => "Clinic days",
        "idle_minutes" => "Sign out after",
        "lock_minutes" => "Lock after",
        "closures" => "Closed days",
        "backups" => "Backups",
        "retention_years_after_last_entry" => "Keep records after the last entry",
        "retention_until_age" => "Keep records until the age of",
        "network_name" => "Name on the clinic’s network",
        "host_names" => "Names that browsers may ask for",
        "telephone" => "Telephone for families",
        "letter_lines" => "Lines under the name of the clinic",
        "letter_signature" => "Lines under the signature",
        "people_to_talk_to" => "People families may talk to",
        "logo" => "Logo",
        "paper" => "Paper for documents",
        "proxy" => "Address of the proxy",
        "commands_require_sign_in" => "Commands ask who runs them",
        "second_factor" => "Second factor",
        "second_factor_codes" => "Codes from a telephone",
        "second_factor_passkeys" => "Passkeys",
        other => other,
    }
}

/// The most changes on one page.
const CHANGES_SHOWN: usize = 200;

/// A history as its page shows it; `what` names a setting and gives its page.
pub(super) fn history_view(
    read: &ReadHistory,
    what: impl Fn(&SettingChange) -> (String, Option<String>),
) -> HistoryView {
    let row = |change: &SettingChange| {
        let (what, href) = what(change);
        let SettingChange { at, name, from, to, why, .. } = change.clone();
        HistoryRow { what, href, when: clock::local_words(at), who: name, from, to, why }
    };
    HistoryView {
        topic: HelpTopic::Settings,
        title: "History",
        about: "",
        back: ("/settings", "Settings"),
        rows: read.changes.iter().rev().take(CHANGES_SHOWN).map(row).collect(),
        left_out: read.changes.len().saturating_sub(CHANGES_SHOWN),
        unreadable: read.unreadable,
        file: "",
    }
}

/// Contents of the forms that differ from the saved settings.
#[derive(Default)]
struct SentForms {
    clinic: Option<Filled>,
    closure: Option<Filled>,
    second_factor: Option<Filled>,
    newer: Option<String>,
}

impl SentForms {
    fn clinic(filled: Filled, newer: Option<String>) -> Self {
        Self { clinic: Some(filled), newer, ..Self::default() }
    }

    fn second_factor(filled: Filled) -> Self {
        Self { second_factor: Some(filled), ..Self::default() }
    }

    fn closure(filled: Filled) -> Self {
        Self { closure: Some(filled), ..Self::default() }
    }
}

fn drawn(app: &App, frame: &Frame, sent: SentForms) -> Result<maud::Markup, Fail> {
    let (settings, today) = (app.settings(), app.clock.today());
    let (mut over, coming): (Vec<Closure>, Vec<Closure>) =
        settings.closures.iter().cloned().partition(|closure| closure.last() < today);
    over.sort_by_key(|closure| std::cmp::Reverse(closure.from));
    let mut closures = coming.into_iter().map(|closure| closure_row(app, closure, today));
    let mut closures = closures.by_ref().collect::<Result<Vec<_>, _>>()?;
    closures.sort_by_key(|row| row.closure.from);
    let version = setting_changes::version(app).map_err(|error| Fail::fault(&error.to_string()))?;
    // A form keeps the version from which it was made; after a newer change it is the version just shown.
    let of_form = sent.clinic.as_ref().and_then(|form| form.given(fields::SEEN)).map(str::to_owned);
    let view = SettingsView {
        seen: of_form.filter(|_| sent.newer.is_none()).unwrap_or(version),
        filled: sent.clinic.unwrap_or_else(|| forms::settings_filled(&settings)),
        newer: sent.newer,
        closures,
        past: over,
        new_closure: sent.closure.unwrap_or_default(),
        doubts: doubts(app, &settings.weekdays),
        second_factor: second_factor_card(app, sent.second_factor)?,
    };
    Ok(pages::settings(frame, &view))
}

/// The most days of a closure that are listed with the children expected on them.
const DAYS_LISTED: usize = 10;

fn closure_row(app: &App, closure: Closure, today: Day) -> Result<ClosureRow, Fail> {
    let days = DayRange::new(closure.from.max(today), closure.last());
    let (clinic, mut expected) = (app.clinic_days(), Vec::new());
    for (day, _) in app.records.appointments_per_day(days)? {
        let booked = app.records.room(&clinic, day, None)?.bookings.booked;
        if booked > 0 && expected.len() < DAYS_LISTED {
            expected.push((day, booked));
        }
    }
    Ok(ClosureRow { closure, expected })
}

/// Where the clinic's weekdays and the places of its setting for capacity disagree. Tenotomy lists are often on days
/// without a clinic.
fn doubts(app: &App, weekdays: &[Weekday]) -> Vec<String> {
    let Some(setting) = app.capacity().filter(|_| !weekdays.is_empty()) else { return Vec::new() };
    let doubt = |day: Weekday| {
        let clinics = setting.cast_clinic.places(day) + setting.brace_clinic.places(day);
        let (held, word) = (weekdays.contains(&day), day.word());
        if !held && clinics > 0 {
            return Some(format!(
                "The capacity page has places on {word}s, on which the clinic is not held."
            ));
        }
        let none = held && clinics + setting.theatre.places(day) == 0;
        none.then(|| format!("The clinic is held on {word}s, for which the capacity page has no places."))
    };
    Weekday::ALL.into_iter().filter_map(doubt).collect()
}
