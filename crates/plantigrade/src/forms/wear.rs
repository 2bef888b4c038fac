//! Reads the forms of the family's diary and of the days of a logger.

use pages::{
    HOURS, REASON,
    fields::{FieldError, Filled},
};
use record::{Day, WearLogged, WearReported};
use std::collections::BTreeMap;

/// Days of a diary to be saved.
///
/// A day that is already on record with the same hours is skipped; with other hours it is refused, because a
/// correction is an entry of its own.
///
/// # Errors
/// One sentence for every field that cannot be used.
pub fn diary(
    filled: &Filled,
    recorded: &BTreeMap<Day, f64>,
    today: Day,
) -> Result<Vec<WearReported>, Vec<FieldError>> {
    let (mut days, mut errors) = (Vec::new(), Vec::new());
    for name in filled.values.keys().filter(|name| name.starts_with(HOURS)) {
        let Some(text) = filled.given(name) else { continue };
        let Ok(day) = name[HOURS.len()..].parse::<Day>() else { continue };
        match hours_of(day, text, recorded, today) {
            Ok(Some(hours_per_day)) => {
                let reason = filled.given(&format!("{REASON}{day}")).map(str::to_owned);
                days.push(WearReported { from: day, to: day, hours_per_day, days_without: None, reason });
            }
            Ok(None) => {}
            Err(text) => errors.push(FieldError { field: name.clone(), text }),
        }
    }
    for name in filled.values.keys().filter(|name| name.starts_with(REASON)) {
        let day = &name[REASON.len()..];
        if filled.given(name).is_some() && filled.given(&format!("{HOURS}{day}")).is_none() {
            let text = "A reason without hours: enter the hours of that day, 0 if the brace was not worn."
                .to_owned();
            errors.push(FieldError { field: name.clone(), text });
        }
    }
    if errors.is_empty() { Ok(days) } else { Err(errors) }
}

/// The hours of a day; `None` if they are already on record.
fn hours_of(day: Day, text: &str, recorded: &BTreeMap<Day, f64>, today: Day) -> Result<Option<f64>, String> {
    let shown: String = text.chars().take(20).collect();
    let hours: f64 = text
        .trim_end_matches(['h', ' '])
        .replace(',', ".")
        .parse()
        .map_err(|_| format!("“{shown}” on {} is not a number of hours.", day.words()))?;
    if !(0.0..=24.0).contains(&hours) {
        return Err(format!("{shown} hours on {} cannot be right: a day has 24 hours.", day.words()));
    }
    if day > today {
        return Err(format!("{} is in the future.", day.words()));
    }
    match recorded.get(&day) {
        Some(before) if (before - hours).abs() < 1e-9 => Ok(None),
        Some(before) => Err(format!(
            "For {} {before:.1} hours are already on record as reported. Correct that entry on the child's page instead.",
            day.words()
        )),
        None => Ok(Some(hours)),
    }
}

/// Days in the hidden field of a confirmed logger's form: "2026-01-05=11.25" joined by semicolons.
#[must_use]
pub fn logged(text: &str, label: &str) -> Option<Vec<WearLogged>> {
    let one = |pair: &str| {
        let (day, hours) = pair.split_once('=')?;
        let (day, hours_per_day) = (day.parse::<Day>().ok()?, hours.parse::<f64>().ok()?);
        let logger = Some(label.to_owned()).filter(|label| !label.is_empty());
        Some(WearLogged { from: day, to: day, hours_per_day, days_judged: 1, logger })
    };
    text.split(';').filter(|pair| !pair.is_empty()).map(one).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn day(text: &str) -> Day {
        text.parse().unwrap()
    }

    fn filled(rows: &[(&str, &str, &str)]) -> Filled {
        let pairs = rows.iter().flat_map(|(day, hours, reason)| {
            [(format!("{HOURS}{day}"), (*hours).to_owned()), (format!("{REASON}{day}"), (*reason).to_owned())]
        });
        Filled { values: pairs.collect(), errors: Vec::new() }
    }

    #[test]
    fn a_diary_is_one_entry_a_day_and_an_empty_day_is_none() {
        let form =
            filled(&[("2026-01-05", "11,5", ""), ("2026-01-06", "", ""), ("2026-01-07", "0", "fever")]);
        let days = diary(&form, &BTreeMap::new(), day("2026-01-10")).unwrap();
        let short: Vec<_> =
            days.iter().map(|one| (one.from, one.to, one.hours_per_day, one.reason.clone())).collect();
        let (first, third) = (day("2026-01-05"), day("2026-01-07"));
        assert_eq!(short, [(first, first, 11.5, None), (third, third, 0.0, Some("fever".to_owned()))]);
    }

    #[test]
    fn more_than_24_hours_a_day_to_come_and_words_are_refused_in_words() {
        let form = filled(&[
            ("2026-01-05", "27", ""),
            ("2026-01-06", "much", ""),
            ("2026-01-09", "10", ""),
            ("2026-01-04", "", "forgot"),
        ]);
        let errors = diary(&form, &BTreeMap::new(), day("2026-01-08")).unwrap_err();
        let texts: Vec<&str> = errors.iter().map(|error| error.text.as_str()).collect();
        assert!(
            texts[0].contains("27 hours on 5 January 2026 cannot be right: a day has 24 hours"),
            "{texts:?}"
        );
        assert!(texts[1].contains("“much” on 6 January 2026 is not a number"), "{texts:?}");
        assert!(texts[2].contains("9 January 2026 is in the future"), "{texts:?}");
        assert!(texts[3].contains("A reason without hours"), "{texts:?}");
    }

    #[test]
    fn a_recorded_day_is_skipped_or_refused() {
        let recorded = BTreeMap::from([(day("2026-01-05"), 11.0)]);
        assert_eq!(diary(&filled(&[("2026-01-05", "11", "")]), &recorded, day("2026-01-08")), Ok(Vec::new()));
        let errors = diary(&filled(&[("2026-01-05", "9", "")]), &recorded, day("2026-01-08")).unwrap_err();
        assert!(errors[0].text.contains("11.0 hours are already on record"), "{errors:?}");
    }

    #[test]
    fn carried_days_are_read_or_refused_whole() {
        let days = logged("2026-01-05=11.25;2026-01-06=0", "S-17").unwrap();
        assert_eq!((days.len(), days[0].hours_per_day, days[1].days_judged), (2, 11.25, 1));
        assert_eq!(logged("2026-01-05=11.25;2026-01-06", "S-17"), None);
    }
}
