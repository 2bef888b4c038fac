//! Every value of the model says what it rests on.

use forecast::natural_history::{ClinicHabits, HabitSpread, Note, ParameterBasis, Parameters};
use std::collections::BTreeSet;

fn notes() -> Vec<Note> {
    [Parameters::published().notes(), ClinicHabits::published().notes(), HabitSpread::published().notes()]
        .concat()
}

/// Taken apart without `..`: a field added to a struct does not compile here, and the number of notes
/// must follow.
#[test]
fn every_field_has_its_note() {
    let Parameters {
        initial_mean: _,
        initial_by_severity: _,
        initial_sd: _,
        severity_correlation: _,
        fall: _,
        pace_sd: _,
        pace_correlation: _,
        pace_by_age_year: _,
        pace_by_severity: _,
        pace_complex: _,
        rating_slip: _,
        cast_slip: _,
        dorsiflexion_free_deg: _,
        dorsiflexion_by_equinus_deg: _,
        dorsiflexion_sd_deg: _,
        dorsiflexion_reading_sd_deg: _,
        left_after_tenotomy: _,
        tenotomy_by_hindfoot: _,
        tenotomy_by_equinus: _,
        adherent: _,
        relapse_ratio: _,
        relapse_per_year: _,
        leave_per_year: _,
        wear_hours: _,
        wear_share_not_adherent: _,
        wear_sd_hours: _,
        wear_over_report: _,
    } = Parameters::published();
    let ClinicHabits {
        tenotomy_intercept: _,
        tenotomy_by: _,
        tenotomy_slope: _,
        pace_shift: _,
        go_on: _,
        interval_days: _,
        tenotomy_wait_days: _,
        tenotomy_to_brace_days: _,
        ready_to_brace_days: _,
        full_time_days: _,
        relapse_factor: _,
    } = ClinicHabits::published();
    let HabitSpread {
        tenotomy_intercept_mean: _,
        tenotomy_intercept_sd: _,
        pace_shift_sd: _,
        go_on_logit_sd: _,
        quick_clinics: _,
        cut_at_once: _,
        relapse_log_sd: _,
    } = HabitSpread::published();
    assert_eq!(Parameters::published().notes().len(), 27);
    assert_eq!(ClinicHabits::published().notes().len(), 11);
    assert_eq!(HabitSpread::published().notes().len(), 7);
    let names: BTreeSet<&str> = notes().iter().map(|note| note.name).collect();
    assert_eq!(names.len(), 45);
}

#[test]
fn a_note_says_the_value_and_names_its_source() {
    for note in notes() {
        assert!(!note.value.is_empty() && !note.what.is_empty() && note.source.len() > 5, "{note:?}");
        if note.basis == ParameterBasis::Published {
            let named = note.source.contains("20") || note.source.contains("10.1");
            assert!(named, "no paper is named: {note:?}");
        }
    }
    let wear = notes().into_iter().find(|note| note.name == "wear_over_report").unwrap();
    assert_eq!((wear.value.as_str(), wear.basis), ("1.3", ParameterBasis::Published));
    let interval = notes().into_iter().find(|note| note.name == "full_time_days").unwrap();
    assert_eq!(interval.value, "84: 70 %, 91: 20 %, 98: 10 %");
}
