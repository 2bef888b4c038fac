//! Grades of relapse from the findings (Bhaskar & Patni 2013, 10.4103/0019-5413.114921, read), the criteria
//! for a tendon transfer, and the list of problems.

use crate::story::{Story, day, full_text};
use course::Course;
use guidance::relapse::{RelapseFindings, transfer_criteria};
use guidance::{Protocol, brace_problem};
use record::{
    Assessment, Deformity, Evertors, Helped, Problem, ProblemKind, RelapseGrade, RelapseNoted, RelapseSigns,
    Side,
};
use rstest::rstest;
use std::collections::BTreeSet;

fn braced(best: i16) -> Story {
    Story::rows(&format!(
        "2022-01-08 | | registered | born 2022-01-01
         2022-01-08 | right | cast | |
         2022-03-04 | | brace | full time
         2022-06-03 | right | movement | dorsiflexion {best}"
    ))
}

fn looked(mut story: Story, on: &str, dorsiflexion_deg: Option<i16>, signs: RelapseSigns) -> Story {
    story.add(day(on), Assessment { dorsiflexion_deg, signs, ..Assessment::of(Side::Right) });
    story
}

fn grade(story: &Story) -> Option<RelapseGrade> {
    let course = Course::of(Story::child(), &story.entries, day("2024-12-31"));
    let foot = course.foot(Side::Right).unwrap();
    RelapseFindings::of(foot, day("2022-03-04"), &Protocol::built_in()).grade().map(|found| found.grade)
}

const NOTHING: RelapseSigns = RelapseSigns {
    equinus: None,
    heel_varus: None,
    adductus: None,
    cavus: None,
    dynamic_supination: None,
    early_heel_rise: None,
    evertors: None,
    lateral_cuneiform_ossified: None,
};
const FIXED: Option<Deformity> = Some(Deformity::Fixed);
const FLEXIBLE: Option<Deformity> = Some(Deformity::Flexible);

#[rstest]
#[case::nothing_seen(20, None, NOTHING, None)]
#[case::ia(15, Some(0), NOTHING, Some(RelapseGrade::Ia))]
#[case::ia_within_noise_of_neutral(15, Some(5), NOTHING, Some(RelapseGrade::Ia))]
#[case::not_yet_neutral(20, Some(6), NOTHING, None)]
#[case::never_had_fifteen(14, Some(0), NOTHING, None)]
#[case::short_within_noise_is_not_rigid(20, Some(-5), NOTHING, Some(RelapseGrade::Ia))]
#[case::short_beyond_noise(20, Some(-6), NOTHING, Some(RelapseGrade::Iia))]
#[case::short_but_called_flexible(20, Some(-6), RelapseSigns { equinus: FLEXIBLE, ..NOTHING }, Some(RelapseGrade::Ia))]
#[case::ib_supination(20, None, RelapseSigns { dynamic_supination: Some(true), ..NOTHING }, Some(RelapseGrade::Ib))]
#[case::ib_adduction(20, None, RelapseSigns { adductus: FLEXIBLE, ..NOTHING }, Some(RelapseGrade::Ib))]
#[case::iia(20, None, RelapseSigns { equinus: FIXED, ..NOTHING }, Some(RelapseGrade::Iia))]
#[case::iib(20, None, RelapseSigns { adductus: FIXED, dynamic_supination: Some(true), ..NOTHING }, Some(RelapseGrade::Iib))]
#[case::iii(20, None, RelapseSigns { equinus: FIXED, heel_varus: FIXED, ..NOTHING }, Some(RelapseGrade::Iii))]
#[case::varus_alone_has_no_grade(20, None, RelapseSigns { heel_varus: FIXED, ..NOTHING }, None)]
#[case::weak_evertors_have_no_grade(20, None, RelapseSigns { evertors: Some(Evertors::Weak), ..NOTHING }, None)]
fn the_grade_follows_from_what_was_seen(
    #[case] best: i16,
    #[case] now: Option<i16>,
    #[case] signs: RelapseSigns,
    #[case] expected: Option<RelapseGrade>,
) {
    let story = if now.is_none() && signs.is_empty() {
        braced(best)
    } else {
        looked(braced(best), "2024-05-03", now, signs)
    };
    assert_eq!(grade(&story), expected);
}

#[test]
fn the_step_for_a_relapse_gives_its_grade_and_the_criteria_for_a_transfer() {
    let signs = RelapseSigns {
        dynamic_supination: Some(true),
        adductus: FLEXIBLE,
        lateral_cuneiform_ossified: Some(true),
        ..NOTHING
    };
    let mut story = looked(braced(20), "2024-11-01", Some(10), signs);
    story.add(day("2024-11-01"), RelapseNoted { side: Side::Right, grade: None, note: None });
    let outlook = story.on("2024-11-01");
    let text = full_text(outlook.foot_step(Side::Right).unwrap());
    // 34 months old: between the 30 and 60 months of Haile 2025.
    for words in [
        "Grade IB: dynamic adduction or supination",
        "usual age: 34 months",
        "supinates in swing (1 November 2024)",
        "corrects by hand",
        "lateral cuneiform ossified",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[rstest]
#[case(Some(29), "too young: 29 months")]
#[case(Some(30), "usual age: 30 months")]
#[case(Some(60), "usual age: 60 months")]
#[case(Some(61), "older than usual: 61 months")]
#[case(None, "age not known")]
fn the_age_for_a_transfer_is_the_published_window(#[case] months: Option<i32>, #[case] words: &str) {
    let course = Course::of(Story::child(), &braced(20).entries, day("2024-12-31"));
    let criteria = transfer_criteria(
        course.foot(Side::Right).unwrap(),
        day("2022-03-04"),
        months,
        &Protocol::built_in(),
    );
    assert!(criteria[0].starts_with(words), "{criteria:?}");
    assert!(
        criteria[1].contains("not examined") && criteria[3].contains("not recorded"),
        "missing values are not assumed"
    );
}

#[test]
fn the_list_of_problems_is_whole_and_its_keys_are_its_own() {
    let mut keys = BTreeSet::new();
    for problem in brace_problem::all() {
        assert!(!problem.advice.is_empty(), "{:?}", problem.kind);
        for advice in &problem.advice {
            assert!(
                keys.insert(&advice.key) && advice.words.ends_with('.') && !advice.source.is_empty(),
                "{advice:?}"
            );
            assert_eq!(brace_problem::advice_words(&advice.key), advice.words);
        }
    }
    use ProblemKind as P;
    // Every problem of the brace and the family is on it; problems of a cast are not.
    for &kind in P::ALL {
        let of_cast = matches!(kind, P::CastSlipped | P::ToesNotSeen | P::Bleeding);
        assert_eq!(brace_problem::of(kind).is_some(), !of_cast, "{kind:?}");
    }
    for flag in [P::SkinBroken, P::Swelling, P::Fever, P::ToesColour, P::Blister, P::Crying] {
        let text = brace_problem::of(flag).unwrap().red_flag.as_ref().unwrap();
        assert!(text.contains("seen the same day under local policy"), "{text}");
    }
}

#[test]
fn what_helped_before_is_counted_by_problem_and_advice() {
    let mut story = braced(20);
    let heel = |advised: &str, helped| Problem {
        side: Some(Side::Right),
        advised: Some(advised.to_owned()),
        helped,
        ..Problem::of(ProblemKind::HeelSlipsOut)
    };
    let first = story.add(day("2022-06-10"), heel("heel-strap-first", None));
    story.answer(day("2022-06-17"), heel("heel-strap-first", Some(Helped::Yes)), Some(first));
    story.add(day("2023-06-10"), heel("heel-strap-first", Some(Helped::No)));
    story.add(day("2023-07-10"), heel("a folded sock", None));
    let mut tally = brace_problem::AdviceTally::default();
    tally.add(&Course::of(Story::child(), &story.entries, day("2024-12-31")).problems);
    let count = tally.of(ProblemKind::HeelSlipsOut, "heel-strap-first").unwrap();
    assert_eq!(count.words(), "advised 2 times: helped 1, in part 0, not 1");
    let own: Vec<_> =
        tally.in_free_text(ProblemKind::HeelSlipsOut).map(|(words, count)| (words, count.words())).collect();
    assert_eq!(
        own,
        [("a folded sock", "advised once: helped 0, in part 0, not 0; result not recorded for 1".to_owned())]
    );
    assert_eq!(tally.of(ProblemKind::Blister, "heel-strap-first"), None);
}
