//! The form with the clinic's setting for capacity.

use super::reader::wrong;
use caseload::{Clinic, Closure, Setting};
use pages::{
    SERVICE_KEYS, WEEKDAY_KEYS,
    fields::{FieldError, Filled},
};
use record::Weekday;

const SERVICE_WORDS: [&str; 3] = ["cast places", "tenotomy places", "brace places"];

/// The setting of the form: the clinic's own with the values of the form.
///
/// # Errors
/// What cannot be read or is out of bounds, with the field of each.
pub fn capacity(filled: &Filled, own: &Setting) -> Result<Setting, Vec<FieldError>> {
    let mut setting = own.clone();
    let mut errors = Vec::new();
    for (n, key) in SERVICE_KEYS.iter().enumerate() {
        for (day, weekday) in WEEKDAY_KEYS.iter().zip(Weekday::ALL) {
            let name = format!("{key}.{day}");
            *clinic_mut(&mut setting, n).places_mut(weekday) = places(filled, &name, &mut errors);
        }
        let absence = share(filled, &format!("{key}.absence"), &mut errors);
        clinic_mut(&mut setting, n).absence = absence.unwrap_or(0.0);
    }
    let referrals = &mut setting.referrals;
    referrals.per_year = number(filled, "per_year", 20_000.0, &mut errors);
    if referrals.per_year.is_some() {
        referrals.births_per_year = None;
    }
    setting.visits.no_show = share(filled, "no_show", &mut errors).unwrap_or(0.0);
    setting.course.tenotomy = share(filled, "tenotomy", &mut errors);
    setting.horizon_weeks = whole(filled, "weeks", 520, &mut errors).unwrap_or(own.horizon_weeks);
    setting.closures = closures(filled, &mut errors);
    if errors.is_empty()
        && let Err(error) = setting.check()
    {
        errors.push(wrong("", crate::exit::sentence(&error.to_string())));
    }
    if errors.is_empty() { Ok(setting) } else { Err(errors) }
}

fn clinic_mut(setting: &mut Setting, service: usize) -> &mut Clinic {
    match service {
        0 => &mut setting.cast_clinic,
        1 => &mut setting.theatre,
        _ => &mut setting.brace_clinic,
    }
}

const fn clinics(setting: &Setting) -> [&Clinic; 3] {
    [&setting.cast_clinic, &setting.theatre, &setting.brace_clinic]
}

/// The most places on one day: more is a slip of the finger and not a clinic.
pub const MOST_PLACES: u32 = 120;

/// Places of one day. A blank field is asked about: no places is a number too.
fn places(filled: &Filled, name: &str, errors: &mut Vec<FieldError>) -> u32 {
    if filled.given(name).is_none() {
        errors.push(wrong(name, "Enter 0 for a day without places.".to_owned()));
        return 0;
    }
    whole(filled, name, MOST_PLACES, errors).unwrap_or(0)
}

fn whole(filled: &Filled, name: &str, most: u32, errors: &mut Vec<FieldError>) -> Option<u32> {
    let text = filled.given(name)?;
    let read = text.parse::<u32>().ok().filter(|&number| number <= most);
    if read.is_none() {
        errors.push(wrong(name, format!("A whole number from 0 to {most} is expected.")));
    }
    read
}

fn number(filled: &Filled, name: &str, most: f64, errors: &mut Vec<FieldError>) -> Option<f64> {
    let text = filled.given(name)?;
    let read = text.replacen(',', ".", 1).parse::<f64>().ok();
    let read = read.filter(|number| number.is_finite() && (0.0..=most).contains(number));
    if read.is_none() {
        errors.push(wrong(name, format!("A number from 0 to {most} is expected.")));
    }
    read
}

fn share(filled: &Filled, name: &str, errors: &mut Vec<FieldError>) -> Option<f64> {
    number(filled, name, 100.0, errors).map(|hundredths| hundredths / 100.0)
}

/// One closure on each line: a day, or two days with "to" between them, and then the reason.
fn closures(filled: &Filled, errors: &mut Vec<FieldError>) -> Vec<Closure> {
    let lines = filled.value("closures").lines().map(str::trim).filter(|line| !line.is_empty());
    let mut found = Vec::new();
    for line in lines {
        match line.parse() {
            Ok(closure) => found.push(closure),
            Err(_) => errors.push(wrong(
                "closures",
                format!(
                    "“{}” is neither a day nor two days, first and last, followed by the reason.",
                    record::quoted(line)
                ),
            )),
        }
    }
    found
}

/// How two settings differ, in words.
#[must_use]
pub fn changes(own: &Setting, other: &Setting) -> Vec<String> {
    let mut changes = Vec::new();
    for ((own, other), words) in clinics(own).into_iter().zip(clinics(other)).zip(SERVICE_WORDS) {
        changes.extend(clinic_changes(own, other, words));
    }
    let per_year = |setting: &Setting| setting.referrals.expected_per_year();
    let words = |of: Option<f64>| of.map_or("those of the last year".to_owned(), |n| n.to_string());
    let (before, now) = (per_year(own), per_year(other));
    if before != now {
        changes.push(format!("{} new children a year instead of {}", words(now), words(before)));
    }
    let (before, now) = (own.visits.no_show, other.visits.no_show);
    if before != now {
        changes.push(format!(
            "{} % of appointments missed instead of {} %",
            hundredths(now),
            hundredths(before)
        ));
    }
    let words =
        |of: Option<f64>| of.map_or("as published".to_owned(), |share| format!("{} %", hundredths(share)));
    let (before, now) = (own.course.tenotomy, other.course.tenotomy);
    if before != now {
        changes.push(format!("feet with a tenotomy {} instead of {}", words(now), words(before)));
    }
    if own.closures != other.closures {
        changes.push("other closed days".to_owned());
    }
    changes
}

/// How one kind of clinic differs, in words.
fn clinic_changes(own: &Clinic, other: &Clinic, words: &str) -> Vec<String> {
    let places = own.by_weekday().into_iter().zip(other.by_weekday()).zip(Weekday::ALL);
    let places = places.filter(|((before, now), _)| before != now);
    let places =
        places.map(|((before, now), day)| format!("{now} {words} on {}s instead of {before}", day.word()));
    let absence = (own.absence != other.absence).then(|| {
        let (before, now) = (hundredths(own.absence), hundredths(other.absence));
        format!("{now} % of days lost to absence for {words} instead of {before} %")
    });
    places.chain(absence).collect()
}

fn hundredths(share: f64) -> f64 {
    (share * 1000.0).round() / 10.0
}
