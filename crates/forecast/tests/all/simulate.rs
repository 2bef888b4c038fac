//! Simulated children are the same by seed, whole, and keep the rules of the model.

use forecast::halves;
use forecast::natural_history::{
    Calendar, CastFor, ClinicHabits, Cohort, LAST_VISIT, ModelError, Parameters, SimulatedChild, simulate,
};
use record::Sign;

const CALENDAR: Calendar = Calendar { first_referral: 0, last_referral: 1_500, as_of: 2_000 };

fn children(count: usize, seed: u64) -> Vec<SimulatedChild> {
    let cohort = Cohort::usual(count, seed, CALENDAR);
    simulate(&Parameters::published(), &ClinicHabits::published(), &cohort).unwrap()
}

#[test]
fn the_same_seed_gives_the_same_children_and_a_child_does_not_depend_on_the_others() {
    let many = children(200, 3);
    assert_eq!(many, children(200, 3));
    assert_eq!(many[..50], children(50, 3)[..]);
    assert_ne!(many, children(200, 4));
}

#[test]
fn days_and_casts_stand_in_order() {
    for child in children(2_000, 5) {
        let truth = &child.truth;
        assert!(truth.born_day < truth.referred_day.max(truth.first_cast_day));
        assert!(truth.brace_day < truth.full_time_end_day);
        assert!(truth.cast_visit_days.is_sorted() && truth.cast_visit_days[0] == truth.first_cast_day);
        for foot in &truth.feet {
            assert!(foot.casts.is_sorted_by_key(|cast| cast.day), "{:?}", foot.casts);
            assert!(foot.casts.windows(2).all(|pair| pair[0].day < pair[1].day), "{:?}", foot.casts);
            assert!(foot.casts.iter().all(|cast| cast.day < truth.brace_day), "{truth:?}");
            assert_eq!(foot.correcting_casts() + 1, foot.cast_visits.len());
            assert!(foot.cast_visits.len() <= LAST_VISIT);
            let cuts = foot.casts.iter().filter(|cast| cast.purpose == CastFor::Tenotomy).count();
            assert_eq!(cuts, usize::from(foot.tenotomy_day.is_some()));
            assert!(foot.brace_ready_day <= truth.brace_day);
            assert!(foot.relapse_day.is_none_or(|day| day > truth.brace_day));
        }
    }
}

/// Seven weekly visits and three weeks in the tenotomy cast leave a child never bare: between two
/// casts, or the last cast and the brace, lie at most the longest wait (28 days here).
#[test]
fn a_foot_is_held_from_the_first_cast_to_the_brace() {
    for child in children(2_000, 6) {
        for foot in &child.truth.feet {
            let days: Vec<i32> =
                foot.casts.iter().map(|cast| cast.day).chain([child.truth.brace_day]).collect();
            assert!(days.windows(2).all(|pair| pair[1] - pair[0] <= 28 + 14), "{days:?}");
        }
    }
}

#[test]
fn nothing_is_seen_after_the_as_of_day_or_after_leaving() {
    let mut unfinished = 0;
    let mut left = 0;
    for child in children(3_000, 7) {
        let until = child.truth.leaves_day.map_or(CALENDAR.as_of, |day| day.min(CALENDAR.as_of + 1) - 1);
        let seen = &child.seen;
        assert!(seen.last_day <= until.max(child.truth.referred_day));
        left += usize::from(seen.left_day.is_some());
        for (foot, truth) in seen.feet.iter().zip(&child.truth.feet) {
            unfinished += usize::from(foot.brace_day.is_none());
            assert!(foot.visits.iter().all(|visit| visit.day <= until));
            assert!(usize::from(foot.casts) <= truth.casts.len());
            for day in
                [foot.ready_day, foot.tenotomy_day, foot.brace_day, foot.relapse_day].into_iter().flatten()
            {
                assert!(day <= until);
            }
        }
    }
    assert!(unfinished > 10 && left > 10, "{unfinished} {left}");
}

/// A first visit leads on only where the midfoot is judged 0 or 0.5.
#[test]
fn no_foot_goes_on_at_the_first_visit_with_its_midfoot_uncorrected() {
    let habits = ClinicHabits { go_on: [1.0; 7], ..ClinicHabits::published() };
    let cohort = Cohort::usual(500, 1, CALENDAR);
    for child in simulate(&Parameters::published(), &habits, &cohort).unwrap() {
        for foot in &child.truth.feet {
            let midfoot = halves(&foot.cast_visits[0].judged, &Sign::ALL[..3]).unwrap();
            assert_eq!(foot.cast_visits.len(), if midfoot <= 1 { 1 } else { 2 });
        }
    }
}

#[test]
fn what_cannot_be_simulated_is_refused_in_words() {
    let good = (Parameters::published(), ClinicHabits::published(), Cohort::usual(10, 1, CALENDAR));
    let refused = |change: fn(&mut (Parameters, ClinicHabits, Cohort))| {
        let mut args = good.clone();
        change(&mut args);
        simulate(&args.0, &args.1, &args.2).unwrap_err().to_string()
    };
    assert_eq!(
        simulate(&good.0, &good.1, &Cohort { children: 0, ..good.2.clone() }),
        Err(ModelError::NoChildren)
    );
    assert!(refused(|a| a.0.pace_sd = f64::NAN).starts_with("pace_sd is NaN: a number above 0"));
    assert!(refused(|a| a.0.relapse_per_year[1] = -1.0).starts_with("relapse_per_year is -1"));
    assert!(refused(|a| a.0.leave_per_year[0] = f64::INFINITY).starts_with("leave_per_year is inf"));
    assert!(refused(|a| a.1.go_on[0] = 1.2).contains("a share from 0 to 1"));
    assert!(refused(|a| a.1.interval_days = Vec::new()).starts_with("interval_days gives no day"));
    assert!(refused(|a| a.1.interval_days = vec![1.0]).contains("a day or more"));
    assert!(refused(|a| a.1.full_time_days = vec![0.5, -0.1]).starts_with("full_time_days"));
    assert!(refused(|a| a.2.bilateral = -0.1).starts_with("bilateral is -0.1"));
    assert!(refused(|a| a.2.calendar.last_referral = -5).contains("is before the first"));
    assert!(refused(|a| a.2.calendar.as_of = i32::MAX).contains("within a million"));
    assert!(refused(|a| a.2.oldest_days = i32::MAX).contains("20 years"));
}

/// A clinic that never goes on from casting still ends, at the last visit.
#[test]
fn odd_but_possible_numbers_still_give_whole_children() {
    let habits = ClinicHabits { go_on: [0.0; 7], relapse_factor: 0.0, ..ClinicHabits::published() };
    let parameters = Parameters { leave_per_year: [0.0; 2], wear_sd_hours: 0.0, ..Parameters::published() };
    for child in simulate(&parameters, &habits, &Cohort::usual(50, 1, CALENDAR)).unwrap() {
        assert!(child.truth.leaves_day.is_none());
        assert!(child.truth.feet.iter().all(|foot| foot.cast_visits.len() == LAST_VISIT));
        assert!(child.truth.feet.iter().all(|foot| foot.relapse_day.is_none()));
    }
}
