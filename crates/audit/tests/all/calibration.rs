//! Scoring alike: feet needed, feet proposed, each person beside the others, and conversations.

use crate::rows::on;
use audit::{
    Clinician, ScoredTwice,
    calibration::{
        ClinicCalibration, FEWEST_IN_MONTH, FeetNeeded, FootToScore, MOST_IN_MONTH, PlanningShares,
        SUPPOSED_KAPPA, ScoringPlan, ScoringVisit, SeverityThird, WhyNotProposed, feet_for_width,
        last_scored_twice, scored_so_far, wanted_in_month,
    },
    raters::{NumberedPair, RaterAgreement, RaterScore, feet_until},
};
use course::Course;
use record::{ChildId, Day, DayRange, Halves, Side, Sign, UserId};
use statistics::agreement::{Weights, kappa};
use uuid::Uuid;

fn child(n: u128) -> ChildId {
    ChildId::new(Uuid::from_u128(n))
}

fn who(n: u128) -> Clinician {
    Clinician::User(UserId::new(Uuid::from_u128(n)))
}

/// Even shares from a seed (xorshift, Marsaglia 2003).
struct Shares(u64);

impl Shares {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn level(&mut self, shares: [f64; 3]) -> u32 {
        let at = self.next();
        if at < shares[0] { 0 } else { 1 + u32::from(at >= shares[0] + shares[1]) }
    }
}

/// Two people who agree on purpose with a probability of kappa, and otherwise by chance.
fn scored(chance: &mut Shares, shares: [f64; 3], agreement: f64) -> (u32, u32) {
    let one = chance.level(shares);
    let other = if chance.next() < agreement { one } else { chance.level(shares) };
    (one, other)
}

/// The number of feet holds: with it the limits lie as far from kappa as was asked, and hold the true kappa as often as
/// an interval should.
#[test]
fn the_number_of_feet_gives_the_width_that_was_asked_for() {
    for (shares, truth, within) in [
        ([1.0 / 3.0; 3], 0.5, 0.2),
        ([1.0 / 3.0; 3], 0.7, 0.15),
        ([0.5, 0.3, 0.2], 0.6, 0.15),
        ([0.6, 0.3, 0.1], 0.3, 0.2),
    ] {
        let feet = feet_for_width(truth, PlanningShares::new(shares).unwrap(), within).unwrap().feet;
        let mut chance = Shares(0x9e37_79b9_7f4a_7c15);
        let (mut half, mut held) = (0.0, 0);
        for _ in 0..600 {
            let (one, two): (Vec<u32>, Vec<u32>) =
                (0..feet).map(|_| scored(&mut chance, shares, truth)).unzip();
            let found = kappa(&one, &two, 3, Weights::Linear, 0.95).unwrap().kappa;
            half += (found.upper - found.lower) / 2.0 / 600.0;
            held += u32::from((found.lower..=found.upper).contains(&truth));
        }
        println!(
            "{shares:.2?} kappa {truth}: {feet} feet, half width {half:.3} of {within}, held in {held} of 600"
        );
        assert!((half / within - 1.0).abs() < 0.08, "{half} of {within} with {feet} feet");
        // 95 % of 600 is 570 with a standard error of 5.3; the large-sample interval falls a little short.
        assert!((546..=594).contains(&held), "{held}");
    }
}

/// A clinic that extrapolates from its first feet comes out near the width that it aimed at.
#[test]
fn feet_still_needed_follow_from_the_feet_so_far() {
    let mut chance = Shares(88_172_645_463_325_252);
    let sample = |chance: &mut Shares, feet: usize| {
        let (one, two): (Vec<u32>, Vec<u32>) =
            (0..feet).map(|_| scored(chance, [0.4, 0.3, 0.3], 0.6)).unzip();
        let found = kappa(&one, &two, 3, Weights::Linear, 0.95).unwrap().kappa;
        audit::Estimate::new(found.value, Some((found.lower, found.upper)))
    };
    let mut reached = 0.0;
    for _ in 0..300 {
        let first = sample(&mut chance, 40);
        let still = feet_until(&first, 40, 0.12).unwrap();
        let whole = sample(&mut chance, 40 + still);
        reached += (whole.upper.unwrap() - whole.lower.unwrap()) / 2.0 / 300.0;
    }
    assert!((reached / 0.12 - 1.0).abs() < 0.08, "{reached}");
    assert_eq!(feet_until(&audit::Estimate::new(0.5, None), 40, 0.12), None);
}

#[test]
fn feet_needed_refuse_what_has_no_answer() {
    assert_eq!(feet_for_width(1.0, PlanningShares::EVEN, 0.2), None);
    assert_eq!(feet_for_width(-0.1, PlanningShares::EVEN, 0.2), None);
    assert_eq!(feet_for_width(0.5, PlanningShares::EVEN, 0.0), None);
    assert_eq!(PlanningShares::new([1.0, 0.0, 0.0]), None, "one level only");
    assert_eq!(PlanningShares::new([0.5, 0.6, -0.1]), None);
    assert_eq!(PlanningShares::of([]), None);
    assert_eq!(PlanningShares::of([0, 0, 2, 1]), PlanningShares::new([0.5, 0.25, 0.25]));
    assert_eq!(PlanningShares::of([0, 5]), None, "there is no such level");
}

fn month() -> DayRange {
    DayRange::new(Day::new(2025, 3, 1).unwrap(), Day::new(2025, 3, 31).unwrap())
}

fn march(day: u32) -> Day {
    Day::new(2025, 3, day).unwrap()
}

fn visit(n: u128, day: u32, totals: &[u8]) -> (ChildId, Result<ScoringVisit, WhyNotProposed>) {
    let feet = Side::BOTH
        .into_iter()
        .zip(totals)
        .map(|(side, total)| FootToScore { side, third: Some(SeverityThird::of(Halves(*total))) });
    let visit =
        ScoringVisit { child: child(n), on: march(day), feet: feet.collect(), seen_by: None, twice_on: None };
    (child(n), Ok(visit))
}

/// Nine children, one a day, most of them mild.
fn children() -> Vec<(ChildId, Result<ScoringVisit, WhyNotProposed>)> {
    [2, 2, 3, 1, 7, 2, 11, 1, 8]
        .iter()
        .enumerate()
        .map(|(n, total)| visit(n as u128, 3 + n as u32, &[*total]))
        .collect()
}

#[test]
fn feet_spread_over_the_severity_and_both_people_differ() {
    let people = [who(1), who(2), who(3)];
    let plan = ScoringPlan::of(month(), children(), &people, &[], 6);
    assert_eq!((plan.proposals.len(), plan.short_of()), (6, 0));
    let in_third = |third| plan.proposals.iter().filter(|one| one.third == Some(third)).count();
    // Six of nine: both of the middle, the severe one, and three of the six mild ones.
    assert_eq!(SeverityThird::ALL.map(in_third), [3, 2, 1]);
    assert!(plan.proposals.iter().all(|one| one.by[0] != one.by[1]));
    // Three couples, six feet: each couple twice.
    for (a, b) in [(1, 2), (1, 3), (2, 3)] {
        let couple =
            plan.proposals.iter().filter(|one| one.by.contains(&who(a)) && one.by.contains(&who(b))).count();
        assert_eq!(couple, 2, "{a} {b}");
    }
    assert!(plan.proposals.is_sorted_by_key(|one| one.on));
    assert_eq!(plan.left_out.len(), 3);
    assert!(plan.left_out.iter().all(|(_, why)| *why == WhyNotProposed::NotNeeded));
}

#[test]
fn what_was_scored_so_far_counts() {
    // Five severe feet were scored by 1 and 2: mild ones and other couples come first.
    let so_far: Vec<_> = (0..5).map(|_| ([who(2), who(1)], Some(SeverityThird::Severe))).collect();
    let plan = ScoringPlan::of(month(), children(), &[who(1), who(2), who(3)], &so_far, 4);
    assert!(plan.proposals.iter().all(|one| one.third != Some(SeverityThird::Severe)));
    assert!(plan.proposals.iter().all(|one| one.by.contains(&who(3))), "{:?}", plan.proposals);
}

#[test]
fn no_child_is_asked_twice_in_a_month_without_need() {
    let mut all = children();
    for (_, visit) in all.iter_mut().take(4) {
        visit.as_mut().unwrap().twice_on = Some(march(1));
    }
    // A child listed twice, and one with both feet, are one child to ask.
    all.push(visit(5, 20, &[2]));
    all.push(visit(6, 20, &[11, 11]));
    let enough = ScoringPlan::of(month(), all.clone(), &[who(1), who(2)], &[], 5);
    assert_eq!(enough.proposals.len(), 5);
    assert!(enough.proposals.iter().all(|one| !one.asked_again));
    let asked: Vec<_> =
        enough.left_out.iter().filter(|(_, why)| *why == WhyNotProposed::AskedThisMonth).collect();
    assert_eq!(asked.len(), 4);

    let needed = ScoringPlan::of(month(), all, &[who(1), who(2)], &[], 7);
    assert_eq!(
        needed.proposals.iter().filter(|one| one.asked_again).count(),
        2,
        "the other five were not enough"
    );
    let mut children: Vec<ChildId> = needed.proposals.iter().map(|one| one.child).collect();
    children.sort_unstable();
    children.dedup();
    assert_eq!(children.len(), 7, "each child once");
}

#[test]
fn one_person_cannot_score_twice() {
    let plan = ScoringPlan::of(month(), children(), &[who(1), who(1)], &[], 5);
    assert!(plan.proposals.is_empty() && plan.too_few_people);
    assert_eq!(plan.left_out.len(), 9, "everybody is accounted for");
}

#[test]
fn who_sees_the_child_scores_first() {
    let mut all = children();
    all[0].1.as_mut().unwrap().seen_by = Some(who(3));
    let plan = ScoringPlan::of(month(), all, &[who(1), who(2), who(3)], &[], 9);
    let first = plan.proposals.iter().find(|one| one.child == child(0)).unwrap();
    assert!(first.by[0] == who(3) && first.by[1] != who(3));
}

#[test]
fn a_foot_without_a_total_comes_last() {
    let (id, mut unknown) = visit(50, 1, &[4]);
    unknown.as_mut().unwrap().feet[0].third = None;
    let mut all = children();
    all.push((id, unknown));
    let nine = ScoringPlan::of(month(), all.clone(), &[who(1), who(2)], &[], 9);
    assert!(nine.proposals.iter().all(|one| one.child != id));
    let ten = ScoringPlan::of(month(), all, &[who(1), who(2)], &[], 10);
    assert_eq!(ten.proposals.iter().find(|one| one.child == id).unwrap().third, None);
}

/// From a course: only what is expected, and never a child whose care has ended.
#[test]
fn a_closed_record_is_never_proposed() {
    use course::{Appointment, AppointmentState, Standing};
    use record::EntryId;
    let mut course = Course::of(child(1), &[], march(5));
    let appointment = |day: u32, state| Appointment {
        entry: EntryId::new(Uuid::from_u128(9)),
        made_on: None,
        for_day: march(day),
        time: None,
        purpose: None,
        state,
        marked_by: None,
    };
    let of = |course: &Course| ScoringVisit::of(course, None, month());
    assert_eq!(of(&course), Err(WhyNotProposed::NotExpected));
    course.appointments = vec![
        appointment(2, AppointmentState::Expected),
        appointment(9, AppointmentState::Cancelled),
        appointment(20, AppointmentState::Expected),
    ];
    assert_eq!(of(&course), Err(WhyNotProposed::NoFoot));
    for ended in [
        Standing::Discharged(march(1)),
        Standing::Transferred(march(1)),
        Standing::Died(march(1)),
        Standing::Lost(march(1)),
    ] {
        course.standing = ended;
        assert_eq!(of(&course), Err(WhyNotProposed::NotFollowed), "{ended:?}");
    }
}

#[test]
fn a_visit_follows_from_the_entries_of_a_child() {
    use record::{AppointmentMade, Assessment, Body, Entry, EntryId, HalfPoint, Pirani, SiteId, Timestamp};
    let entry = |n: u128, day: u32, body: Body| Entry {
        id: EntryId::new(Uuid::from_u128(n)),
        child: child(1),
        on: march(day),
        at: Timestamp::from_seconds(1_740_000_000 + n as i64),
        by: UserId::new(Uuid::from_u128(1)),
        site: SiteId::new(Uuid::from_u128(1)),
        follows: None,
        body,
    };
    let mut pirani = Pirani::default();
    Sign::ALL.into_iter().for_each(|sign| pirani.set(sign, Some(HalfPoint::One)));
    let scored = Assessment { pirani, ..Assessment::of(Side::Left) };
    let entries = [entry(1, 1, scored.into()), entry(2, 2, AppointmentMade::of(march(20)).into())];
    let course = Course::of(child(1), &entries, march(5));
    let visit = ScoringVisit::of(&course, Some(march(1)), month()).unwrap();
    assert_eq!((visit.on, visit.twice_on), (march(20), Some(march(1))));
    // Six signs of 1 are a total of 6.
    assert_eq!(visit.feet, [FootToScore { side: Side::Left, third: Some(SeverityThird::Severe) }]);
}

fn pair(child: u32, day: i32, raters: [u16; 2], levels: [u8; 2]) -> NumberedPair {
    let scores = levels.map(|level| RaterScore { signs: [Some(level); 6], total: None, dimeglio: None });
    (child, ScoredTwice { side: Side::Right, on: on(day), raters, scores, amended: false })
}

#[test]
fn a_month_asks_for_the_feet_that_are_needed_within_its_limits() {
    let wanted = |pairs: &[NumberedPair]| wanted_in_month(&RaterAgreement::of(pairs, on(500)));
    // Without a foot more are needed than a month has.
    let in_all = feet_for_width(SUPPOSED_KAPPA, PlanningShares::EVEN, 0.2).unwrap().feet;
    assert_eq!(FeetNeeded::of(None, 0.2), FeetNeeded::InAll(in_all));
    assert!(in_all > MOST_IN_MONTH, "{in_all}");
    assert_eq!(wanted(&[]), MOST_IN_MONTH);
    // 120 children at three levels, one in twelve judged a step apart: kappa is known to within far less than 0.2.
    let level = |n: u32| (n % 3) as u8;
    let other = |n: u32| if n.is_multiple_of(12) { level(n).abs_diff(1) } else { level(n) };
    let many: Vec<NumberedPair> = (0..120).map(|n| pair(n, 0, [0, 1], [level(n), other(n)])).collect();
    assert_eq!(wanted(&many), FEWEST_IN_MONTH);
    // A quarter of months at the least has the five children below which nothing is said about it.
    const { assert!(3 * FEWEST_IN_MONTH >= audit::calibration::FEWEST_IN_QUARTER) };
}

/// Rater 0 gives every sign half a point more than rater 1 in the second quarter and the same in the first.
fn drifting() -> Vec<NumberedPair> {
    (0..16).map(|n| pair(n, n as i32 * 10, [0, 1], if n < 9 { [1, 1] } else { [2, 1] })).collect()
}

#[test]
fn what_was_scored_so_far_is_read_from_the_rows_of_a_clinic() {
    use crate::rows::{child as row, clinic, foot};
    let mut one = row(1, [Some(foot(Side::Right)), None]);
    let score = |level: u8| RaterScore { signs: [Some(level); 6], total: None, dimeglio: None };
    let scored = |day: i32, raters, level| ScoredTwice {
        side: Side::Right,
        on: on(day),
        raters,
        scores: [score(level), score(2)],
        amended: false,
    };
    let mut all = clinic(on(400), Vec::new());
    let numbers = [all.rater(who(8)), all.rater(who(7))];
    one.pairs = Box::new([scored(10, numbers, 2), scored(90, numbers, 0), scored(50, numbers, 1)]);
    assert_eq!(last_scored_twice(&one), Some(on(90)));
    all.children = vec![one, row(2, [Some(foot(Side::Left)), None])];
    assert_eq!(last_scored_twice(&all.children[1]), None);
    // From day 20 on: levels 1 and 0 of six signs are totals of 3 and 0.
    let found = scored_so_far(&all, on(20));
    assert!(found.iter().all(|(by, _)| *by == [who(8), who(7)]), "the first score is named first");
    let thirds: Vec<_> = found.iter().map(|(_, third)| third.unwrap()).collect();
    assert_eq!(thirds.len(), 2);
    assert!(thirds.contains(&SeverityThird::Mild) && thirds.contains(&SeverityThird::Middle));
}

#[test]
fn each_person_is_compared_with_the_others_quarter_by_quarter() {
    let people = vec![who(1), who(2), who(3)];
    let found = ClinicCalibration::of_pairs(&drifting(), people, on(400));
    assert_eq!(found.raters.len(), 2, "the third scored no foot twice");
    let [first, second] = &found.raters[..] else { panic!("two raters") };
    // Seven of sixteen feet differ by six half points: 3 points · 7/16 = 1.3125.
    assert!((first.bias.unwrap().value - 1.3125).abs() < 1e-12);
    assert!((second.bias.unwrap().value + 1.3125).abs() < 1e-12, "the other way round");
    for lean in &first.signs {
        assert!((lean.mean.unwrap().value - 0.5 * 7.0 / 16.0).abs() < 1e-12, "{lean:?}");
    }
    let feet: usize = first.quarters.iter().map(|quarter| quarter.n).sum();
    assert_eq!(feet, 16);
    for quarter in &first.quarters {
        assert_eq!(quarter.mean.is_some(), quarter.children >= 5, "{quarter:?}");
        assert!(quarter.from.parts().2 == 1 && [1, 4, 7, 10].contains(&quarter.from.parts().1));
    }
    assert_eq!(found.by_quarter.iter().map(|(_, agreement)| agreement.n).sum::<usize>(), 16);
}

#[test]
fn two_people_who_differ_are_proposed_a_conversation_that_blames_neither() {
    let mut pairs = drifting();
    // Raters 0 and 2 agree throughout; 1 and 2 scored too few feet.
    pairs.extend((20..40).map(|n| pair(n, 5, [2, 0], [1, 1])));
    pairs.extend((40..44).map(|n| pair(n, 5, [2, 1], [2, 1])));
    let talks = ClinicCalibration::of_pairs(&pairs, vec![who(1), who(2), who(3)], on(400)).talks;
    assert_eq!(talks.len(), 1);
    let talk = talks[0];
    assert_eq!(
        (talk.sign, talk.raters, talk.n, talk.differ, talk.higher),
        (Sign::LateralBorder, [0, 1], 16, 7, [7, 0])
    );
    let words = talk.sentence(["Ada Example", "Bo Sample"]);
    assert!(
        words.contains("different levels for 7 of 16 feet; Ada Example gave the higher level in all 7"),
        "{words}"
    );
    assert!(words.ends_with("cannot be told from this."));
    for blame in ["wrong", "worse", "better", "poor", "error", "mistake", "should have"] {
        assert!(!words.to_lowercase().contains(blame), "{blame}");
    }
}

#[test]
fn the_order_of_people_says_nothing_about_how_they_score() {
    // The same pairs with the numbers of the two raters exchanged: the list keeps the order of the numbers.
    let swapped: Vec<NumberedPair> =
        drifting().into_iter().map(|(child, pair)| (child, ScoredTwice { raters: [1, 0], ..pair })).collect();
    for (pairs, higher) in [(drifting(), [7, 0]), (swapped, [0, 7])] {
        let found = ClinicCalibration::of_pairs(&pairs, vec![who(1), who(2)], on(400));
        assert_eq!(found.raters.iter().map(|rater| rater.rater).collect::<Vec<_>>(), [0, 1]);
        assert_eq!((found.talks[0].raters, found.talks[0].higher), ([0, 1], higher), "whoever scored first");
    }
}
