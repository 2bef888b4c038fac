//! The forms of the clinic's settings.

use super::reader::wrong;
use crate::settings::{
    IDLE_MINUTES as PERMITTED_MINUTES, LOCK_MINUTES as PERMITTED_LOCK, RETENTION_YEARS, SecondFactorPolicy,
    Settings, is_telephone,
};
use clinic::Closure;
use letters::pdf::PaperSize;
use pages::fields::{
    FieldError, Filled,
    settings::{
        ANY_DAY, BY_DEFAULT, CLOSED_FROM, CLOSED_TO, CLOSED_WHY, DAYS, IDLE_MINUTES, LOCK_MINUTES, NAME,
        PAPER, RETENTION_AFTER_LAST, RETENTION_AGE, SECOND_FACTOR, SOME_DAYS, TELEPHONE, USE_CODES,
        USE_PASSKEYS, weekday_field,
    },
};
use record::{Day, Weekday};

/// The longest name and the longest reason, in characters.
const LONGEST: usize = 100;
/// The most days of one closure.
const LONGEST_CLOSURE_DAYS: i32 = 366;

/// The settings in the form.
#[must_use]
pub fn settings_filled(settings: &Settings) -> Filled {
    let shown = |years: Option<u16>| years.map_or_else(String::new, |years| years.to_string());
    let days = if settings.weekdays.is_empty() { ANY_DAY } else { SOME_DAYS };
    let filled = Filled::default()
        .with(NAME, &settings.name)
        .with(DAYS, days)
        .with(IDLE_MINUTES, settings.idle_minutes.to_string())
        .with(LOCK_MINUTES, settings.lock_minutes.to_string())
        .with(TELEPHONE, settings.telephone.as_deref().unwrap_or_default())
        .with(PAPER, settings.paper.key())
        .with(RETENTION_AFTER_LAST, shown(settings.retention_years_after_last_entry))
        .with(RETENTION_AGE, shown(settings.retention_until_age));
    settings.weekdays.iter().fold(filled, |filled, day| filled.with(weekday_field(*day), "yes"))
}

/// Reads name, days and, where the form asks for it, the time without use into settings.
///
/// # Errors
/// What is missing, out of range or contradicts itself, with the field of each.
pub fn read_settings(filled: &Filled, into: &mut Settings) -> Result<(), Vec<FieldError>> {
    let mut errors = Vec::new();
    match line(filled, NAME, "The name of the clinic") {
        Ok(name) => into.name = name,
        Err(error) => errors.push(error),
    }
    match weekdays(filled) {
        Ok(days) => into.weekdays = days,
        Err(text) => errors.push(wrong(DAYS, text.to_owned())),
    }
    // The form of the first start does not ask for it.
    if filled.values.contains_key(TELEPHONE) {
        match filled.given(TELEPHONE).map(str::trim).filter(|number| !number.is_empty()) {
            Some(number) if !is_telephone(number) => {
                errors.push(wrong(
                    TELEPHONE,
                    "A telephone number of at most 40 characters is expected.".to_owned(),
                ));
            }
            number => into.telephone = number.map(str::to_owned),
        }
    }
    if let Some(key) = filled.given(PAPER) {
        match PaperSize::from_key(key) {
            Some(paper) => into.paper = paper,
            None => errors.push(wrong(PAPER, "One of the two papers is expected.".to_owned())),
        }
    }
    if filled.values.contains_key(IDLE_MINUTES) {
        minutes(filled, IDLE_MINUTES, PERMITTED_MINUTES, &mut into.idle_minutes, &mut errors);
    }
    if filled.values.contains_key(LOCK_MINUTES) {
        minutes(filled, LOCK_MINUTES, PERMITTED_LOCK, &mut into.lock_minutes, &mut errors);
    }
    if errors.is_empty() && into.lock_minutes > into.idle_minutes {
        let text = "The page has to be locked before the person is signed out, or at the same time.";
        errors.push(wrong(LOCK_MINUTES, text.to_owned()));
    }
    for (field, into) in [
        (RETENTION_AFTER_LAST, &mut into.retention_years_after_last_entry),
        (RETENTION_AGE, &mut into.retention_until_age),
    ] {
        // The form of the first start does not ask for it.
        if filled.values.contains_key(field) {
            match years(filled.given(field)) {
                Ok(years) => *into = years,
                Err(text) => errors.push(wrong(field, text)),
            }
        }
    }
    if errors.is_empty() { Ok(()) } else { Err(errors) }
}

/// Years of a retention period; none for an empty field.
fn years(given: Option<&str>) -> Result<Option<u16>, String> {
    let Some(text) = given else { return Ok(None) };
    let years = text.parse().ok().filter(|years| RETENTION_YEARS.contains(years));
    years.map(Some).ok_or_else(|| {
        format!(
            "A whole number of years from {} to {} is expected, or nothing.",
            RETENTION_YEARS.start(),
            RETENTION_YEARS.end()
        )
    })
}

/// The second factor in the form.
#[must_use]
pub fn second_factor_filled(settings: &Settings) -> Filled {
    let yes = |allowed: bool| if allowed { "yes" } else { "" };
    Filled::default()
        .with(SECOND_FACTOR, settings.second_factor.map_or(BY_DEFAULT, SecondFactorPolicy::key))
        .with(USE_CODES, yes(settings.second_factor_codes))
        .with(USE_PASSKEYS, yes(settings.second_factor_passkeys))
}

/// Reads who needs a second factor, and which kinds may be set up, into settings.
///
/// # Errors
/// What is missing or contradicts itself, a sentence.
pub fn read_second_factor(filled: &Filled, into: &mut Settings) -> Result<(), String> {
    let policy = match filled.value(SECOND_FACTOR) {
        BY_DEFAULT => None,
        key => Some(SecondFactorPolicy::read(key).ok_or("Choose who needs a second factor.")?),
    };
    let (codes, passkeys) = (filled.value(USE_CODES) == "yes", filled.value(USE_PASSKEYS) == "yes");
    if policy != Some(SecondFactorPolicy::Optional) && !codes && !passkeys {
        return Err("Who needs a second factor must be able to set one up: allow codes or passkeys, or choose “optional”.".to_owned());
    }
    into.second_factor = policy;
    (into.second_factor_codes, into.second_factor_passkeys) = (codes, passkeys);
    Ok(())
}

/// Reads a number of minutes into a setting.
fn minutes(
    filled: &Filled,
    field: &str,
    permitted: std::ops::RangeInclusive<u32>,
    into: &mut u32,
    errors: &mut Vec<FieldError>,
) {
    let minutes = filled.value(field).trim().parse().ok();
    match minutes.filter(|minutes| permitted.contains(minutes)) {
        Some(minutes) => *into = minutes,
        None => {
            let (from, to) = (permitted.start(), permitted.end());
            errors.push(wrong(field, format!("A whole number of minutes from {from} to {to} is expected.")));
        }
    }
}

/// The weekdays; none if any day is possible. What contradicts itself is not settled by a guess.
fn weekdays(filled: &Filled) -> Result<Vec<Weekday>, &'static str> {
    let ticked = |day: &Weekday| !filled.value(&weekday_field(*day)).is_empty();
    let days: Vec<Weekday> = Weekday::ALL.into_iter().filter(ticked).collect();
    match (filled.value(DAYS), days.is_empty()) {
        (SOME_DAYS, false) => Ok(days),
        (SOME_DAYS, true) => {
            Err("No weekday is ticked. Tick the days of the clinic, or choose “on any day”.")
        }
        (ANY_DAY, true) => Ok(days),
        (ANY_DAY, false) => Err(
            "“On any day” is chosen, and weekdays are ticked. Choose “on these weekdays”, or untick them.",
        ),
        _ => Err("Choose when the clinic is held."),
    }
}

/// A line that is not empty.
fn line(filled: &Filled, field: &str, what: &str) -> Result<String, FieldError> {
    let text = filled.value(field).split_whitespace().collect::<Vec<_>>().join(" ");
    match text.chars().count() {
        0 => Err(wrong(field, format!("{what} is missing."))),
        n if n > LONGEST => Err(wrong(field, format!("{what} has more than {LONGEST} characters."))),
        _ if text.chars().any(char::is_control) => {
            Err(wrong(field, format!("{what} has a character that cannot be shown.")))
        }
        _ => Ok(text),
    }
}

/// Reads a new closure.
///
/// # Errors
/// What is missing, or cannot be, with the field of each.
pub fn closure(filled: &Filled, today: Day) -> Result<Closure, Vec<FieldError>> {
    let mut errors = Vec::new();
    let mut day = |field: &str| -> Option<Day> {
        let read = filled.given(field)?.parse();
        read.map_err(|_| errors.push(wrong(field, "A day is expected, as in 2026-12-25.".to_owned()))).ok()
    };
    let (from, to) = (day(CLOSED_FROM), day(CLOSED_TO));
    if filled.given(CLOSED_FROM).is_none() {
        errors.push(wrong(CLOSED_FROM, "The first day is missing.".to_owned()));
    }
    let why = line(filled, CLOSED_WHY, "The reason").map_err(|error| errors.push(error)).unwrap_or_default();
    if let Some(from) = from {
        let last = to.unwrap_or(from);
        if last < from {
            errors.push(wrong(CLOSED_TO, "The last day lies before the first.".to_owned()));
        } else if last < today {
            errors.push(wrong(CLOSED_FROM, format!("{} lies in the past.", last.words())));
        } else if last - from >= LONGEST_CLOSURE_DAYS {
            errors.push(wrong(CLOSED_TO, "These are more days than a year has.".to_owned()));
        }
    }
    match (from, errors.is_empty()) {
        (Some(from), true) => Ok(Closure { from, to: to.filter(|to| *to != from), why }.normal()),
        _ => Err(errors),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn filled(pairs: &[(&str, &str)]) -> Filled {
        pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect()
    }

    #[test]
    fn what_is_shown_is_read_again() {
        let settings = Settings {
            network_name: None,
            name: "Hillside".into(),
            weekdays: vec![Weekday::Tuesday, Weekday::Friday],
            idle_minutes: 20,
            retention_years_after_last_entry: Some(10),
            retention_until_age: None,
            lock_minutes: 4,
            closures: Vec::new(),
            ..Settings::default()
        };
        let mut read = Settings::default();
        read_settings(&settings_filled(&settings), &mut read).unwrap();
        assert_eq!(read, settings);
    }

    #[test]
    fn days_that_contradict_themselves_are_refused() {
        for (pairs, said) in [
            (&[("days", "some")][..], "No weekday is ticked."),
            (&[("days", "any"), ("weekday.monday", "yes")], "weekdays are ticked"),
            (&[("weekday.monday", "yes")], "Choose when the clinic is held."),
        ] {
            let form = filled(pairs).with(NAME, "Hillside");
            let errors = read_settings(&form, &mut Settings::default()).unwrap_err();
            assert!(errors.len() == 1 && errors[0].text.contains(said), "{pairs:?}: {errors:?}");
            assert_eq!(errors[0].field, DAYS);
        }
    }

    #[test]
    fn minutes_out_of_range_are_refused_with_the_range() {
        for minutes in ["4", "721", "", "ten", "7.5", "-30"] {
            let form = filled(&[("days", "any"), ("clinic_name", "Hillside"), ("idle_minutes", minutes)]);
            let errors = read_settings(&form, &mut Settings::default()).unwrap_err();
            assert!(errors[0].text.contains("5 to 720"), "{minutes}: {errors:?}");
        }
    }

    #[test]
    fn a_closure_that_cannot_be_is_refused_beside_its_field() {
        let today = "2026-12-01".parse().unwrap();
        let read = |from: &str, to: &str, why: &str| {
            let form = filled(&[("closed_from", from), ("closed_to", to), ("closed_why", why)]);
            closure(&form, today).map_err(|errors| errors[0].field.clone())
        };
        assert_eq!(read("2026-12-25", "", "Christmas").unwrap().to_string(), "2026-12-25 Christmas");
        assert_eq!(
            read("2026-12-24", "2027-01-01", "x").unwrap().days(),
            "24 December 2026 to 1 January 2027"
        );
        for (from, to, why, field) in [
            ("2026-12-25", "2026-12-24", "x", CLOSED_TO),
            ("2026-11-25", "", "x", CLOSED_FROM),
            ("2026-12-25", "2028-12-25", "x", CLOSED_TO),
            ("2026-12-25", "", " ", CLOSED_WHY),
            ("", "", "x", CLOSED_FROM),
            ("soon", "", "x", CLOSED_FROM),
        ] {
            assert_eq!(read(from, to, why), Err(field.to_owned()), "{from} {to}");
        }
    }
}
