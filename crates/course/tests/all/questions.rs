//! Open questions in the log.

use crate::child::{Log, change, day, discharge, scored};
use course::{Question, QuestionKind};
use record::*;
use rstest::rstest;

/// The questions of one kind.
fn asked(log: &Log, kind: QuestionKind) -> Vec<Question> {
    log.course().questions.into_iter().filter(|question| question.kind == kind).collect()
}

/// The only question there is.
fn only(log: &Log) -> Question {
    let questions = log.course().questions;
    assert_eq!(questions.len(), 1, "{questions:#?}");
    questions[0].clone()
}

#[test]
fn the_usual_course_has_no_open_questions() {
    assert_eq!(Log::usual().course().questions, []);
}

#[test]
fn an_empty_log_has_no_open_questions() {
    assert_eq!(Log::new().course().questions, []);
}

#[test]
fn a_score_before_birth() {
    let mut log = Log::registered();
    let early = log.write("2023-12-31", scored(Side::Right, [1; 6]));
    log.write("2023-12-01", Referral::default());
    log.write("2024-01-01", scored(Side::Right, [1; 6]));
    let question = only(&log);
    assert_eq!((question.kind, question.side), (QuestionKind::BeforeBirth, Some(Side::Right)));
    assert_eq!(question.entries, [early], "a referral before birth and a score on the day are in order");
}

#[test]
fn casts_after_the_end_leave_the_phase_as_it_is() {
    let mut log = Log::usual();
    log.write("2024-09-01", discharge());
    let cast = log.write("2024-10-01", CastApplied::on(Side::Right));
    let brace = log.write("2024-10-08", BraceFitted::default());
    let question = only(&log);
    assert_eq!(question.kind, QuestionKind::AfterTheEnd);
    assert_eq!((question.on, question.entries), (day("2024-10-01"), vec![cast, brace]));
    assert_eq!(log.right().phase, course::Phase::Discharged);
    assert_eq!(log.right().casts.len(), 6, "the cast is shown all the same");
}

#[test]
fn a_cast_on_the_last_day_is_not_after_it() {
    let mut log = Log::registered();
    log.write("2024-09-01", Transfer::default());
    log.write("2024-09-01", CastApplied::on(Side::Right));
    assert!(asked(&log, QuestionKind::AfterTheEnd).is_empty());
}

#[test]
fn a_score_after_discharge_is_in_order_and_after_death_is_not() {
    let mut log = Log::usual();
    log.write("2024-09-01", discharge());
    log.write("2025-09-01", scored(Side::Right, [0; 6]));
    assert!(asked(&log, QuestionKind::AfterTheEnd).is_empty());
    log.write("2025-10-01", Death::default());
    let late = log.write("2025-10-02", scored(Side::Right, [0; 6]));
    assert_eq!(asked(&log, QuestionKind::AfterTheEnd)[0].entries, [late]);
}

#[test]
fn two_braces_of_one_day_with_different_settings() {
    let bar = |bar_mm| BraceFitted {
        brace: Brace { bar_mm: Some(bar_mm), ..Brace::default() },
        ..BraceFitted::default()
    };
    let mut log = Log::registered();
    let first = log.write("2024-02-26", bar(200));
    let second = log.write("2024-02-26", bar(200));
    assert_eq!(log.course().questions, [], "the same again is the same");
    let third = log.write("2024-02-26", bar(220));
    let question = only(&log);
    assert_eq!((question.kind, question.entries.clone()), (QuestionKind::TwoBraces, vec![first, third]));
    assert!(!question.entries.contains(&second));
    let course = log.course();
    assert_eq!((course.braces.len(), course.braces[0].brace.bar_mm), (1, Some(220)));
}

#[test]
fn a_brace_from_another_clinic_while_one_is_worn() {
    let mut log = Log::usual();
    let first = log.course().braces[0].entry;
    log.site = 2;
    let second = log.write("2024-04-01", BraceFitted::default());
    let question = only(&log);
    assert_eq!((question.kind, question.entries), (QuestionKind::TwoBraces, vec![first, second]));
}

#[test]
fn a_brace_from_another_clinic_after_a_transfer_or_a_stop_is_in_order() {
    let mut log = Log::usual();
    log.write("2024-03-01", Transfer::default());
    log.site = 2;
    log.write("2024-03-08", Referral::default());
    log.write("2024-04-01", BraceFitted::default());
    assert_eq!(log.course().questions, []);
    log.write("2024-05-01", change(BraceChange::Stopped));
    log.site = 3;
    log.write("2024-06-01", BraceFitted::default());
    assert_eq!(log.course().questions, []);
}

#[rstest]
#[case::day_42(42, false)]
#[case::day_43(43, true)]
fn a_cast_without_a_recorded_removal_before_the_next(#[case] days: i32, #[case] asks: bool) {
    let mut log = Log::registered();
    let cast = log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write_on(day("2024-01-08") + days, BraceFitted::default());
    let questions = asked(&log, QuestionKind::CastNeverRemoved);
    assert_eq!(questions.len(), usize::from(asks));
    assert!(questions.iter().all(|question| question.entries == [cast]));
}

#[rstest]
#[case::day_42(42, false)]
#[case::day_43(43, true)]
fn a_cast_still_on_when_the_child_is_seen(#[case] days: i32, #[case] asks: bool) {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write_on(day("2024-01-08") + days, scored(Side::Right, [1; 6]));
    assert_eq!(asked(&log, QuestionKind::CastNeverRemoved).len(), usize::from(asks));
}

#[test]
fn a_recorded_late_removal_raises_no_question() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-04-08", CastRemoved { side: Side::Right, why: RemovalReason::ByFamily, note: None });
    log.write("2024-04-09", CastApplied::on(Side::Right));
    assert_eq!(log.course().questions, []);
}

#[test]
fn a_cast_on_at_discharge() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-10", discharge());
    assert_eq!(only(&log).kind, QuestionKind::CastNeverRemoved);
}

#[test]
fn two_people_score_one_foot_differently() {
    let mut log = Log::registered();
    let first = log.write("2024-01-08", scored(Side::Right, [2, 2, 2, 2, 2, 2]));
    log.write("2024-01-08", scored(Side::Left, [1, 1, 1, 1, 1, 1]));
    log.by = 2;
    let second = log.write("2024-01-08", scored(Side::Right, [2, 2, 2, 2, 2, 1]));
    let question = only(&log);
    assert_eq!((question.kind, question.entries), (QuestionKind::Clash, vec![first, second]));
    assert_eq!(log.right().scores.len(), 2, "both remain");
}

#[test]
fn assessments_that_complete_each_other_are_no_clash() {
    let mut log = Log::registered();
    log.write("2024-01-08", scored(Side::Right, [2; 6]));
    log.write("2024-01-08", Assessment { dorsiflexion_deg: Some(-20), ..Assessment::of(Side::Right) });
    assert_eq!(log.course().questions, []);
}

#[rstest]
#[case::at_once_by_two(2, 3600, true)]
#[case::at_once_by_one(1, 3600, false)]
#[case::a_day_apart(2, 86_400, true)]
#[case::more_than_a_day_apart(2, 86_401, false)]
fn two_registrations_with_different_days_of_birth(
    #[case] by: u128,
    #[case] seconds: i64,
    #[case] asks: bool,
) {
    let mut log = Log::registered();
    log.by = by;
    log.write("2024-01-01", Registration { born: Some(day("2023-12-30")), ..Registration::default() });
    log.entries[1].at = Timestamp::from_seconds(log.entries[0].at.seconds() + seconds);
    assert_eq!(asked(&log, QuestionKind::Clash).len(), usize::from(asks));
}

#[test]
fn a_total_that_disagrees_with_its_signs() {
    let mut log = Log::registered();
    // Six signs of 0.5 make 3; ten halves are 5.
    log.write("2024-01-08", Assessment { stated_total: Some(Halves(10)), ..scored(Side::Right, [1; 6]) });
    let question = only(&log);
    assert_eq!(question.kind, QuestionKind::TotalDisagrees);
    assert!(question.text.contains("recorded as 5; its items add up to 3"), "{}", question.text);
}

#[test]
fn a_half_entered_score_names_what_it_lacks() {
    let mut log = Log::registered();
    let mut half = scored(Side::Right, [1; 6]);
    half.pirani.empty_heel = None;
    log.write("2024-01-08", half);
    let question = only(&log);
    assert_eq!(question.kind, QuestionKind::IncompleteScore);
    assert!(question.text.contains("Empty heel"), "{}", question.text);
    assert_eq!(log.right().scores[0].pirani.total(), None);
}

#[rstest]
#[case::agrees(&[1, 2, 3], 0)]
#[case::one_slip_is_asked_about_once(&[1, 3, 4, 5], 1)]
#[case::two_slips(&[1, 3, 4, 6], 2)]
#[case::slip_and_back(&[1, 3, 3], 1)]
#[case::counts_on_from_elsewhere(&[4, 5, 7], 0)]
fn the_clinics_own_cast_numbers(#[case] numbers: &[u8], #[case] questions: usize) {
    let mut log = Log::registered();
    for (week, &number) in (0..).zip(numbers) {
        let cast = CastApplied { number: Some(number), ..CastApplied::on(Side::Right) };
        log.write_on(day("2024-01-08") + 7 * week, cast);
    }
    assert_eq!(asked(&log, QuestionKind::CastNumber).len(), questions);
}

#[test]
fn no_day_of_birth_is_never_guessed() {
    let mut log = Log::new();
    let entry = log.write("2024-01-01", Registration::default());
    let question = only(&log);
    assert_eq!((question.kind, question.entries), (QuestionKind::NoBirthDay, vec![entry]));
    assert_eq!(log.course().age_on(day("2024-02-01")), None);
}

#[test]
fn a_tenotomy_before_the_first_cast() {
    let mut log = Log::registered();
    log.write("2024-01-08", TenotomyDone::on(Side::Right));
    assert_eq!(only(&log).kind, QuestionKind::OutOfOrder);
    log.write(
        "2024-01-08",
        Diagnosis {
            side: Side::Right,
            nature: None,
            complex: None,
            earlier_treatment: Some("six casts elsewhere".to_owned()),
        },
    );
    assert_eq!(log.course().questions, [], "the casts were put on elsewhere");
}

#[test]
fn a_brace_on_a_foot_cast_the_same_day() {
    let mut log = Log::registered();
    let cast = log.write("2024-01-08", CastApplied::on(Side::Right));
    let brace = log.write("2024-01-08", BraceFitted::default());
    let question = only(&log);
    assert_eq!((question.kind, question.entries), (QuestionKind::OutOfOrder, vec![cast, brace]));
}

#[test]
fn a_change_of_a_brace_that_was_never_fitted() {
    let mut log = Log::registered();
    log.write("2024-01-08", change(BraceChange::Size));
    assert_eq!(only(&log).kind, QuestionKind::OutOfOrder);
    assert!(log.course().braces.is_empty());
}

#[test]
fn bracing_begun_while_a_tenotomy_was_booked() {
    let mut log = Log::registered();
    log.casts("2024-01-08", 2, Side::Right);
    log.write("2024-01-15", TenotomyBooked { side: Side::Right, planned_on: None, place: None });
    log.write("2024-01-29", BraceFitted::default());
    assert_eq!(only(&log).kind, QuestionKind::OutOfOrder);
    assert!(log.right().tenotomy_plan.is_some(), "a booking is never dropped silently");
}

#[rstest]
#[case::at_the_usual_end(80, 0)]
#[case::beyond(81, 1)]
fn an_unusual_value(#[case] abduction_deg: i16, #[case] questions: usize) {
    let mut log = Log::registered();
    let cast = CastApplied { abduction_deg: Some(abduction_deg), ..CastApplied::on(Side::Right) };
    let entry = log.write("2024-01-08", cast);
    let asked = asked(&log, QuestionKind::Unusual);
    assert_eq!(asked.len(), questions);
    assert!(asked.iter().all(|question| question.entries == [entry]));
}

#[test]
fn a_correction_settles_an_unusual_value() {
    let mut log = Log::registered();
    let cast = |deg| CastApplied { abduction_deg: Some(deg), ..CastApplied::on(Side::Right) };
    let entry = log.write("2024-01-08", cast(85));
    assert_eq!(asked(&log, QuestionKind::Unusual).len(), 1);
    log.correct(entry, cast(58));
    assert_eq!(log.course().questions, []);
    log.correct(entry, cast(86));
    assert!(only(&log).text.contains("86"));
}

#[rstest]
#[case(None, 16, 0)]
#[case(None, 17, 1)]
#[case(None, 19, 1)]
#[case(None, 20, 0)]
#[case(Some(Regime::FullTime), 17, 0)]
#[case(Some(Regime::FullTime), 16, 1)]
#[case(Some(Regime::NightTime), 19, 0)]
#[case(Some(Regime::NightTime), 20, 1)]
fn hours_that_do_not_fit_the_regime(#[case] regime: Option<Regime>, #[case] hours: u8, #[case] asks: usize) {
    let mut log = Log::registered();
    log.write("2024-02-26", BraceFitted { regime, hours_prescribed: Some(hours), ..BraceFitted::default() });
    assert_eq!(asked(&log, QuestionKind::Unusual).len(), asks);
}

#[test]
fn a_question_reads_the_same_on_every_later_day() {
    let mut log = Log::registered();
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-03-08", scored(Side::Right, [1; 6]));
    assert_eq!(log.course_on("2024-03-08").questions, log.course_on("2030-01-01").questions);
}

fn reported(from: &str, to: &str) -> WearReported {
    WearReported { from: day(from), to: day(to), hours_per_day: 20.0, days_without: None, reason: None }
}

/// The day of recording may be the last of the span, a later one may not.
#[rstest]
#[case("2024-03-31", 0)]
#[case("2024-04-01", 0)]
#[case("2024-04-02", 1)]
fn wear_beyond_the_day_on_which_it_is_recorded(#[case] to: &str, #[case] asks: usize) {
    let mut log = Log::registered();
    log.write("2024-04-01", reported("2024-03-01", to));
    let asked = asked(&log, QuestionKind::Unusual);
    assert_eq!(asked.len(), asks);
    if let [question] = &asked[..] {
        assert!(question.text.contains("2 April 2024, lies after the day of the report, 1 April 2024"));
    }
}

/// Spans from visit to visit share the day of the visit; two shared days are days recorded twice.
#[rstest]
#[case("2024-03-02", "2024-03-31", 0)]
#[case("2024-03-01", "2024-03-31", 0)]
#[case("2024-02-29", "2024-03-31", 1)]
#[case("2024-02-05", "2024-02-10", 1)]
#[case("2024-02-01", "2024-03-01", 1)]
fn wear_recorded_twice_for_the_same_days(#[case] from: &str, #[case] to: &str, #[case] asks: usize) {
    let mut log = Log::registered();
    let first = log.write("2024-03-01", reported("2024-02-01", "2024-03-01"));
    let second = log.write("2024-04-01", reported(from, to));
    let asked = asked(&log, QuestionKind::WearOverlaps);
    assert_eq!(asked.len(), asks, "{asked:?}");
    if let [question] = &asked[..] {
        assert_eq!((question.on, question.entries.len()), (day("2024-04-01"), 2));
        assert!(question.entries.contains(&first) && question.entries.contains(&second));
    }
}

#[test]
fn a_long_span_is_compared_with_every_later_one_and_a_logger_only_with_itself() {
    let mut log = Log::registered();
    log.write("2024-07-01", reported("2024-02-01", "2024-06-30"));
    log.write("2024-07-01", reported("2024-02-10", "2024-02-20"));
    log.write("2024-07-01", reported("2024-05-01", "2024-05-10"));
    let (from, to) = (day("2024-02-01"), day("2024-06-30"));
    log.write("2024-07-01", WearLogged { from, to, hours_per_day: 18.0, days_judged: 90, logger: None });
    assert_eq!(asked(&log, QuestionKind::WearOverlaps).len(), 2);
}

/// Records lengths of the right foot; returns the days of those in question.
fn lengths_asked(lengths: &[(&str, u16)]) -> Vec<Day> {
    let mut log = Log::registered();
    for &(on, mm) in lengths {
        log.write(on, Assessment { foot_length_mm: Some(mm), ..Assessment::of(Side::Right) });
    }
    let course = log.course();
    let asked = course.questions.iter().filter(|question| question.kind == QuestionKind::LengthImplausible);
    asked.map(|question| question.on).collect()
}

#[rstest]
#[case::one_less(&[("2024-06-01", 100), ("2024-07-01", 93)], &[])]
#[case::eight_shorter(&[("2024-06-01", 100), ("2024-07-01", 92)], &["2024-07-01"])]
#[case::fast(&[("2024-06-01", 100), ("2024-07-01", 114)], &[])] // 8 + 30 × 0.2 = 14
#[case::faster(&[("2024-06-01", 100), ("2024-07-01", 115)], &["2024-07-01"])]
#[case::the_wrong_one_is_not_compared_with(&[("2024-06-01", 100), ("2024-07-01", 70), ("2024-08-01", 104)], &["2024-07-01"])]
fn an_implausible_length_raises_a_question(#[case] lengths: &[(&str, u16)], #[case] asked: &[&str]) {
    assert_eq!(lengths_asked(lengths), asked.iter().map(|on| day(on)).collect::<Vec<_>>());
}

#[test]
fn shoulders_are_compared_only_with_the_same_width() {
    let mut log = Log::registered();
    let width = |mm, width| BodyMeasured { shoulder_mm: Some(mm), shoulder_width: Some(width), note: None };
    log.write("2024-06-01", width(200, ShoulderWidth::Bideltoid));
    log.write("2024-07-01", width(170, ShoulderWidth::Biacromial));
    log.write("2024-08-01", width(175, ShoulderWidth::Bideltoid));
    let course = log.course();
    let asked: Vec<_> =
        course.questions.iter().filter(|question| question.kind == QuestionKind::LengthImplausible).collect();
    assert_eq!(asked.len(), 1);
    assert!(
        asked[0].text.starts_with("The shoulder width: 175 mm on 1 August 2024 after 200 mm"),
        "{}",
        asked[0].text
    );
}

/// A child born on 1 January 2024 at 3200 g is weighed; the days of the weights in question.
fn weights_asked(weights: &[(&str, u16)]) -> Vec<Day> {
    let mut log = Log::new();
    let (born, birth_weight_g) = (Some(day("2024-01-01")), Some(3200));
    let given_name = "Ada".to_owned();
    log.write("2024-01-02", Registration { born, birth_weight_g, given_name, ..Registration::default() });
    for &(on, grams) in weights {
        log.write(on, Weighed::grams(grams));
    }
    asked(&log, QuestionKind::WeightImplausible).iter().map(|question| question.on).collect()
}

#[rstest]
#[case::usual(&[("2024-02-01", 4300), ("2024-03-01", 5200)], &[])]
// 3200 + 500 + 31 × 60 = 5560 g on the 31st day.
#[case::most(&[("2024-02-01", 5560)], &[])]
#[case::more_than_that_since_birth(&[("2024-02-01", 5561)], &["2024-02-01"])]
// Two completed months: 9500 g is the highest weight before the third month is complete.
#[case::pounds_or_a_digit_too_many(&[("2024-03-01", 11_400), ("2024-03-02", 52_000)], &["2024-03-01", "2024-03-02"])]
// 15 % of 5200 g are 780 g.
#[case::lost_fifteen_per_cent(&[("2024-03-01", 5200), ("2024-03-08", 4420)], &[])]
#[case::lost_more(&[("2024-03-01", 5200), ("2024-03-08", 4419)], &["2024-03-08"])]
#[case::another_on_the_same_day(&[("2024-03-01", 5200), ("2024-03-01", 5701)], &["2024-03-01"])]
// The weight in question is not compared with: 5300 g fits 5200 g.
#[case::the_wrong_one_is_left_out(&[("2024-03-01", 5200), ("2024-03-08", 2600), ("2024-03-09", 5300)], &["2024-03-08"])]
fn an_implausible_weight_raises_a_question(#[case] weights: &[(&str, u16)], #[case] expected: &[&str]) {
    assert_eq!(weights_asked(weights), expected.iter().map(|on| day(on)).collect::<Vec<_>>());
}

#[test]
fn a_note_answers_for_one_weight_and_not_for_the_next() {
    let mut log = Log::registered();
    log.write("2024-06-01", Weighed::grams(5000));
    let odd = log.write("2024-06-02", Weighed::grams(6500));
    log.answer("2024-06-02", odd, Note { text: "weighed twice, the scales before were wrong".into() });
    assert_eq!(asked(&log, QuestionKind::WeightImplausible), []);
    log.write("2024-06-03", Weighed::grams(8000));
    let still = asked(&log, QuestionKind::WeightImplausible);
    assert_eq!(still.len(), 1, "{still:?}");
    assert!(still[0].text.starts_with("Weight 8000 g on 3 June 2024 after 6500 g on 2 June 2024"));
}

#[test]
fn an_allergy_does_not_vanish_unasked() {
    let mut log = Log::registered();
    let named = Allergies { which: Some("latex".into()), ..Allergies::of(AllergyAnswer::Named) };
    log.write("2024-06-01", Allergies::of(AllergyAnswer::NoneKnown));
    log.write("2024-06-02", named);
    assert_eq!(asked(&log, QuestionKind::AllergyGone), [], "a new allergy is news");
    let none = log.write("2024-06-09", Allergies::of(AllergyAnswer::NoneKnown));
    let open = asked(&log, QuestionKind::AllergyGone);
    assert_eq!((open.len(), open[0].on), (1, day("2024-06-09")));
    assert!(open[0].text.contains("after “latex” on 2 June 2024"), "{}", open[0].text);
    log.answer("2024-06-09", none, Note { text: "tested; it was not latex".into() });
    assert_eq!(asked(&log, QuestionKind::AllergyGone), []);
}

#[test]
fn what_is_known_before_an_operation_is_the_last_answer_and_the_lowest_weight_of_its_day() {
    let mut log = Log::registered();
    let given = |on, until| Consent {
        relation: Some("mother".into()),
        until,
        ..Consent::of(ConsentMatter::Tenotomy, on)
    };
    log.write("2024-06-01", given(ConsentAnswer::Refused, None));
    log.write("2024-06-02", given(ConsentAnswer::Given, Some(day("2024-06-30"))));
    log.write("2024-06-02", Weighed::grams(5200));
    log.write("2024-06-02", Weighed::grams(5100));
    log.write("2024-06-01", Weighed::grams(4900));
    let prepared = log.course().preparation;
    assert_eq!(
        prepared.weight_by(day("2024-06-03")).map(|weight| (weight.on, weight.grams)),
        Some((day("2024-06-02"), 5100))
    );
    let consent = prepared.consent(ConsentMatter::Tenotomy).expect("consent");
    assert!(consent.holds_on(day("2024-06-30")) && !consent.holds_on(day("2024-07-01")));
    assert_eq!((prepared.allergies(), prepared.medicines.as_ref()), (None, None), "unknown is not none");
    assert_eq!(prepared.consent(ConsentMatter::Anaesthetic), None);
}

#[test]
fn a_foot_that_nothing_puts_on_record_is_not_named_as_affected() {
    let mut log = Log::registered();
    log.write("2024-01-08", scored(Side::Right, [1; 6]));
    log.write("2024-01-08", CastApplied::on(Side::Right));
    log.write("2024-01-15", TenotomyBooked { side: Side::Left, planned_on: None, place: None });
    assert_eq!(asked(&log, QuestionKind::FootNotOnRecord).len(), 1);
    assert_eq!(log.course().affected(), Some(Sides::Right));
    log.write("2024-01-16", scored(Side::Left, [1; 6]));
    assert_eq!(log.course().affected(), Some(Sides::Both));
}
