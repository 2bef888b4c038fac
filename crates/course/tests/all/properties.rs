//! Properties of every log.

use crate::random::{child, log};
use crate::replay::Replay;
use course::{CorrectedLog, Course};
use proptest::prelude::*;
use record::*;

/// A course as text, without the requested day.
fn course_text(entries: &[Entry], as_of: Day, shown_as: Day) -> String {
    let mut course = Course::of(child(), entries, as_of);
    course.as_of = shown_as;
    format!("{course:#?}")
}

fn last_day(entries: &[Entry]) -> Day {
    entries.iter().map(|entry| entry.on).max().unwrap_or(Day::FIRST)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    /// A slow second implementation, day by day, agrees on phases, casts, episodes and braces.
    #[test]
    fn the_replay_agrees(entries in log(60, 120)) {
        let course = Course::of(child(), &entries, Day::LAST);
        let replay = Replay::of(&entries);
        prop_assert_eq!(replay.braces_of_course(&course), replay.braces());
        for side in Side::BOTH {
            let foot = course.foot(side);
            prop_assert_eq!(Replay::casts_of_course(foot), replay.casts(side));
            prop_assert_eq!(Replay::phases_of_course(foot, &replay.days), replay.phases(side));
        }
    }

    /// The same on few and crowded days, where the order within a day matters most.
    #[test]
    fn the_replay_agrees_on_crowded_days(entries in log(40, 6)) {
        let course = Course::of(child(), &entries, Day::LAST);
        let replay = Replay::of(&entries);
        prop_assert_eq!(replay.braces_of_course(&course), replay.braces());
        for side in Side::BOTH {
            let foot = course.foot(side);
            prop_assert_eq!(Replay::casts_of_course(foot), replay.casts(side));
            prop_assert_eq!(Replay::phases_of_course(foot, &replay.days), replay.phases(side));
        }
    }

    #[test]
    fn the_order_in_which_entries_come_does_not_matter(
        (entries, shuffled) in log(40, 30)
            .prop_flat_map(|entries| (Just(entries.clone()), Just(entries).prop_shuffle())),
    ) {
        let day = Day::LAST;
        prop_assert_eq!(course_text(&entries, day, day), course_text(&shuffled, day, day));
    }

    /// A later requested day only changes which entries are visible.
    #[test]
    fn a_day_only_decides_what_is_seen(entries in log(40, 60), after in 0..60i32, later in 0..400i32) {
        let day = Day::from_number(19_723 + after);
        let seen: Vec<_> = CorrectedLog::of(&entries, day).lines.iter().map(|line| line.entry.id).collect();
        let visible: Vec<_> = entries.iter().filter(|entry| seen.contains(&entry.id)).cloned().collect();
        // An amendment of an entry not yet visible is not an amendment of nothing: exclude those.
        let amends_unseen = entries.iter().filter(|entry| entry.on <= day).any(|entry| {
            let target = match &entry.body {
                Body::Correction(correction) => correction.entry,
                Body::Withdrawal(withdrawal) => withdrawal.entry,
                _ => return false,
            };
            !seen.contains(&target)
        });
        // An entry dated later that a correction moved back is dated later on any day.
        let last = day.max(last_day(&visible)) + later;
        prop_assume!(!amends_unseen);
        prop_assert_eq!(course_text(&entries, day, day), course_text(&visible, last, day));
    }

    #[test]
    fn phases_and_braces_follow_each_other_without_gaps(entries in log(60, 120)) {
        let course = Course::of(child(), &entries, Day::LAST);
        for foot in &course.feet {
            let last = foot.phases.last().unwrap();
            prop_assert_eq!((last.phase, last.until), (foot.phase, None));
            for pair in foot.phases.windows(2) {
                prop_assert_eq!(pair[0].until, Some(pair[1].from));
                prop_assert!(pair[0].from < pair[1].from);
                prop_assert!(pair[0].episode <= pair[1].episode);
            }
            prop_assert!(foot.casts.iter().rev().skip(1).all(|cast| cast.off.is_some()));
            let counted: usize = foot.episodes.iter().map(|episode| usize::from(episode.casts)).sum();
            prop_assert_eq!(counted, foot.casts.len());
        }
        for pair in course.braces.windows(2) {
            let (until, _) = pair[0].until.unwrap();
            prop_assert!(pair[0].from <= until && until <= pair[1].from);
        }
    }

    /// Every question names entries of this log, and occurs once.
    #[test]
    fn questions_name_entries_that_are_there(entries in log(60, 60)) {
        let course = Course::of(child(), &entries, Day::LAST);
        for question in &course.questions {
            prop_assert!(!question.entries.is_empty());
            for id in &question.entries {
                prop_assert!(entries.iter().any(|entry| entry.id == *id));
            }
        }
        for (i, question) in course.questions.iter().enumerate() {
            prop_assert!(!course.questions[..i].contains(question), "{:?}", question);
        }
    }

    /// No log makes it fail, even with odd days and numbers.
    #[test]
    fn odd_days_and_numbers_never_stop_it(
        entries in log(40, 30),
        odd in proptest::collection::vec((any::<u16>(), any::<i32>(), any::<u8>()), 0..40),
    ) {
        let mut entries = entries;
        for (entry, (which, number, byte)) in entries.iter_mut().zip(odd) {
            if which % 3 == 0 {
                entry.on = Day::from_number(number);
            }
            if which % 7 == 0 {
                entry.at = Timestamp::from_seconds(i64::from(number) << 31);
            }
            if let Body::Assessment(assessment) = &mut entry.body {
                assessment.stated_total = Some(Halves(byte));
                assessment.stated_dimeglio_total = Some(byte);
                assessment.dimeglio.equinus = Some(Angle::Points(byte));
                assessment.dimeglio.varus = Some(Angle::Points(byte));
                assessment.dimeglio.derotation = Some(Angle::Points(byte));
                assessment.dimeglio.adduction = Some(Angle::Points(byte));
                for sign in DimeglioSign::ALL {
                    assessment.dimeglio.set_sign(sign, Some(true));
                }
                assessment.walking = Walking { ankle: Some(byte), pain: Some(byte), shoes: None, carer: None };
            }
            if let Body::CastApplied(cast) = &mut entry.body {
                cast.number = Some(byte);
            }
        }
        for as_of in [Day::FIRST, Day::from_number(19_730), Day::LAST] {
            let course = Course::of(child(), &entries, as_of);
            prop_assert_eq!(course.as_of, as_of);
        }
    }
}

#[test]
fn an_empty_log_is_an_empty_course() {
    let course = Course::of(child(), &[], Day::LAST);
    assert!(course.feet.is_empty() && course.questions.is_empty() && course.seen_on.is_empty());
}
