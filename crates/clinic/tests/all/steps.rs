//! A whole visit put right, two records joined, and both taken back.

use clinic::{
    ClashChoice, EntryFate, IdentityChoice, JoinChoices, JoinPlan, StepStamp, TakeBack, VisitPlan,
    VisitRemedy, likenesses,
};
use course::{CorrectedLog, Course};
use record::*;
use uuid::Uuid;

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

fn child(number: u128) -> ChildId {
    ChildId::new(Uuid::from_u128(number))
}

const RIGHT_CHILD: u128 = 1;
const WRONG_CHILD: u128 = 2;
const VISIT: &str = "2024-05-07";
const TODAY: &str = "2024-05-10";

/// Entries of a child, numbered in hundreds by the child, written in order.
fn log(of: u128, entries: &[(&str, Body)]) -> Vec<Entry> {
    let entry = |(n, (on, body)): (u128, &(&str, Body))| Entry {
        id: EntryId::new(Uuid::from_u128(of * 100 + n)),
        child: child(of),
        body: body.clone(),
        on: day(on),
        at: Timestamp::from_seconds(1_715_000_000 + i64::try_from(n).unwrap()),
        by: UserId::new(Uuid::from_u128(7)),
        site: SiteId::new(Uuid::from_u128(8)),
        follows: None,
    };
    (0..).zip(entries).map(entry).collect()
}

fn id(of: u128, n: u128) -> EntryId {
    EntryId::new(Uuid::from_u128(of * 100 + n))
}

fn stamp(n: i64) -> StepStamp {
    StepStamp {
        on: day(TODAY),
        at: Timestamp::from_seconds(1_715_300_000 + n),
        by: UserId::new(Uuid::from_u128(9)),
        site: SiteId::new(Uuid::from_u128(8)),
        reason: "typed into the wrong record".to_owned(),
        first_id: Uuid::from_u128(1_000_000 * u128::try_from(n + 1).unwrap()),
    }
}

fn named(given: &str, born: &str) -> Registration {
    Registration {
        given_name: given.into(),
        family_name: "Tolliver".into(),
        born: Some(day(born)),
        ..Registration::default()
    }
}

fn scored(side: Side) -> Assessment {
    let mut seen =
        Assessment { abduction_deg: Some(-20), note: Some("stiff".into()), ..Assessment::of(side) };
    seen.pirani.talar_head = Some(HalfPoint::One);
    seen
}

fn cut(side: Side) -> TenotomyDone {
    TenotomyDone {
        anaesthesia: Some(Anaesthesia::Local),
        dorsiflexion_after_deg: Some(20),
        complication: Some("oozing".into()),
        done_by: Some("Dr Invented".into()),
        ..TenotomyDone::on(side)
    }
}

fn cast(side: Side) -> CastApplied {
    CastApplied {
        number: Some(4),
        abduction_deg: Some(45),
        cast_by: Some("A. Plasterer".into()),
        ..CastApplied::on(side)
    }
}

fn fitted() -> BraceFitted {
    let boots = vec![
        Boot { abduction_deg: Some(65), ..Boot::of(Side::Right) },
        Boot { abduction_deg: Some(35), ..Boot::of(Side::Left) },
    ];
    BraceFitted { brace: Brace { boots, bar_mm: Some(210), ..Brace::default() }, ..BraceFitted::default() }
}

/// Registered, and one visit: assessment, tenotomy, cast, brace, next appointment, a note.
fn visited(of: u128) -> Vec<Entry> {
    let next = AppointmentMade { for_day: day("2024-05-14"), time: None, purpose: Some(Purpose::Cast) };
    log(
        of,
        &[
            (VISIT, named("Bram", "2024-03-14").into()),
            (VISIT, scored(Side::Right).into()),
            (VISIT, cut(Side::Right).into()),
            (VISIT, cast(Side::Right).into()),
            (VISIT, fitted().into()),
            (VISIT, next.into()),
            (VISIT, Note { text: "cried".into() }.into()),
        ],
    )
}

fn plan(entries: &[Entry], remedy: VisitRemedy, there: &[Entry]) -> VisitPlan {
    VisitPlan::of(entries[0].child, entries, day(VISIT), remedy, (None, there))
}

/// What holds of a log: day and contents, in the order of the record.
fn holding(entries: &[Entry]) -> Vec<(Day, Body)> {
    let log = CorrectedLog::of(entries, Day::LAST);
    let holds = |line: &&course::Line<'_>| line.fate.holds() && line.body.written_together().is_none();
    log.lines.iter().filter(holds).map(|line| (line.on, line.body.clone())).collect()
}

fn with(entries: &[Entry], added: &[Entry], of: u128) -> Vec<Entry> {
    entries.iter().chain(added.iter().filter(|entry| entry.child == child(of))).cloned().collect()
}

#[test]
fn a_visit_is_withdrawn_whole_and_the_registration_of_the_day_stays() {
    let entries = visited(WRONG_CHILD);
    let plan = plan(&entries, VisitRemedy::Withdraw, &[]);
    assert_eq!(plan.changed(), 6, "all but the registration");
    let added = plan.entries(&stamp(0));
    // One that lists, and six withdrawals.
    assert_eq!(added.len(), 7);
    assert!(added.iter().all(|entry| entry.refusal().is_none() && entry.on == day(TODAY)));
    let list = added[0].body.written_together().unwrap();
    assert_eq!(list.entries, added[1..].iter().map(|entry| entry.id).collect::<Vec<_>>());
    let after = with(&entries, &added, WRONG_CHILD);
    assert_eq!(holding(&after), [(day(VISIT), named("Bram", "2024-03-14").into())]);
    let course = Course::of(child(WRONG_CHILD), &after, day(TODAY));
    assert!(course.feet.is_empty() && course.seen_on.is_empty() && course.appointments.is_empty());
    assert_eq!(course.about.given_name, "Bram");
}

#[test]
fn a_visit_of_the_wrong_child_is_recorded_for_the_other_with_every_field() {
    let entries = visited(WRONG_CHILD);
    let there = log(RIGHT_CHILD, &[("2024-04-01", named("Odd", "2024-03-20").into())]);
    let plan = plan(&entries, VisitRemedy::OtherChild(child(RIGHT_CHILD)), &there);
    let added = plan.entries(&stamp(0));
    let left = holding(&with(&entries, &added, WRONG_CHILD));
    assert_eq!(left, [(day(VISIT), named("Bram", "2024-03-14").into())]);
    let arrived = with(&there, &added, RIGHT_CHILD);
    let expected: Vec<(Day, Body)> =
        entries[1..].iter().map(|entry| (day(VISIT), entry.body.clone())).collect();
    assert_eq!(holding(&arrived)[1..], expected);
    // Each log lists its own entries and names the other; each copy leads to the entry it was.
    let lists: Vec<_> =
        added.iter().filter_map(|entry| Some((entry, entry.body.written_together()?))).collect();
    let [(here, away), (in_other, moved)] = lists[..] else { panic!("{} lists", lists.len()) };
    assert_eq!((here.child, in_other.child), (child(WRONG_CHILD), child(RIGHT_CHILD)));
    assert_eq!((away.counterpart, moved.counterpart), (Some(in_other.id), Some(here.id)));
    assert_eq!((away.other, moved.other), (Some(child(RIGHT_CHILD)), Some(child(WRONG_CHILD))));
    assert_eq!(moved.origins, (1..=6).map(|n| id(WRONG_CHILD, n)).collect::<Vec<_>>());
    let course = Course::of(child(RIGHT_CHILD), &arrived, day(TODAY));
    assert_eq!(course.foot(Side::Right).unwrap().tenotomies[0].dorsiflexion_after_deg, Some(20));
}

#[test]
fn what_the_other_child_has_already_is_not_recorded_twice() {
    let entries = visited(WRONG_CHILD);
    let there = log(
        RIGHT_CHILD,
        &[("2024-04-01", named("Odd", "2024-03-20").into()), (VISIT, cast(Side::Right).into())],
    );
    let plan = plan(&entries, VisitRemedy::OtherChild(child(RIGHT_CHILD)), &there);
    assert_eq!(plan.held_there, [cast_words()]);
    let fates: Vec<&EntryFate> = plan.rows.iter().map(|row| &row.fate).collect();
    assert_eq!(fates[3], &EntryFate::SaidThere);
    let arrived = with(&there, &plan.entries(&stamp(0)), RIGHT_CHILD);
    let casts = holding(&arrived).into_iter().filter(|(_, body)| body.kind() == Kind::CastApplied);
    assert_eq!(casts.count(), 1);
}

fn cast_words() -> String {
    Body::from(cast(Side::Right)).sentence()
}

#[test]
fn the_feet_of_a_visit_are_exchanged_boots_and_all() {
    let entries = visited(WRONG_CHILD);
    let plan = plan(&entries, VisitRemedy::OtherFoot, &[]);
    // Assessment, tenotomy, cast and brace name a foot; appointment and note do not.
    assert_eq!(plan.changed(), 4);
    let after = with(&entries, &plan.entries(&stamp(0)), WRONG_CHILD);
    let now = holding(&after);
    assert_eq!(now[1].1, scored(Side::Left).into());
    assert_eq!(now[2].1, cut(Side::Left).into());
    assert_eq!(now[3].1, cast(Side::Left).into());
    let Body::BraceFitted(brace) = &now[4].1 else { panic!("{:?}", now[4]) };
    let boots: Vec<_> = brace.brace.boots.iter().map(|boot| (boot.side, boot.abduction_deg)).collect();
    assert_eq!(boots, [(Side::Right, Some(35)), (Side::Left, Some(65))]);
    assert_eq!(brace.brace.bar_mm, Some(210));
    assert_eq!(now[5..], holding(&entries)[5..]);
    let course = Course::of(child(WRONG_CHILD), &after, day(TODAY));
    assert!(course.foot(Side::Right).is_none() && course.foot(Side::Left).is_some());
}

/// A note that follows an entry confirmed it for the foot that was named then.
#[test]
fn a_confirmation_of_the_wrong_foot_does_not_confirm_the_other() {
    let mut entries = visited(WRONG_CHILD);
    entries[6].follows = Some(id(WRONG_CHILD, 2));
    let plan = plan(&entries, VisitRemedy::OtherFoot, &[]);
    assert_eq!(plan.rows[6].fate, EntryFate::Withdrawn);
    let after = with(&entries, &plan.entries(&stamp(0)), WRONG_CHILD);
    assert_eq!(Course::of(child(WRONG_CHILD), &after, day(TODAY)).confirmed, []);
}

#[test]
fn a_visit_is_moved_to_the_day_on_which_it_was_and_to_no_other_foot_or_child() {
    let entries = visited(WRONG_CHILD);
    let to = day("2024-05-06");
    let plan = plan(&entries, VisitRemedy::OtherDay(to), &[]);
    let now = holding(&with(&entries, &plan.entries(&stamp(0)), WRONG_CHILD));
    let moved: Vec<(Day, Body)> = entries[1..].iter().map(|entry| (to, entry.body.clone())).collect();
    assert_eq!(now[..6], moved);
    assert_eq!(now[6], (day(VISIT), entries[0].body.clone()));
}

#[test]
fn an_entry_that_was_not_chosen_stays() {
    let entries = visited(WRONG_CHILD);
    let chosen = [id(WRONG_CHILD, 2), id(WRONG_CHILD, 3)];
    let remedy = VisitRemedy::Withdraw;
    let plan = VisitPlan::of(child(WRONG_CHILD), &entries, day(VISIT), remedy, (Some(&chosen), &[]));
    assert_eq!(plan.changed(), 2);
    // What choosing the registration would do is known before it is chosen.
    assert_eq!((&plan.rows[0].fate, &plan.rows[0].if_chosen), (&EntryFate::Stays, &EntryFate::Withdrawn));
    assert_eq!(holding(&with(&entries, &plan.entries(&stamp(0)), WRONG_CHILD)).len(), 5);
}

#[test]
fn what_was_written_since_is_named_and_its_correction_is_what_moves() {
    let mut entries = visited(WRONG_CHILD);
    let corrected = Correction {
        entry: id(WRONG_CHILD, 1),
        body: Box::new(Assessment { abduction_deg: Some(-10), ..scored(Side::Right) }.into()),
        on: None,
        reason: "misread".into(),
    };
    let later = log(
        WRONG_CHILD,
        &[("2024-05-08", corrected.into()), ("2024-05-14", AppointmentAttended::default().into())],
    );
    for (n, entry) in (20..).zip(later) {
        let follows = (n == 21).then(|| id(WRONG_CHILD, 5));
        entries.push(Entry { id: id(WRONG_CHILD, n), follows, ..entry });
    }
    let plan = plan(&entries, VisitRemedy::OtherFoot, &[]);
    // The appointment that the child came to names no foot, so it does not change and nothing is asked.
    let since = plan.since();
    assert_eq!(since.len(), 1, "{since:?}");
    assert!(since[0].contains("was corrected on 8 May 2024"), "{since:?}");
    let now = holding(&with(&entries, &plan.entries(&stamp(0)), WRONG_CHILD));
    assert_eq!(now[1].1, Assessment { abduction_deg: Some(-10), ..scored(Side::Left) }.into());
    let withdrawn = self::plan(&entries, VisitRemedy::Withdraw, &[]).since();
    assert!(withdrawn.iter().any(|text| text.contains("Appointment attended")), "{withdrawn:?}");
}

/// Every remedy, taken back, leaves what held before, in both logs.
#[test]
fn every_remedy_can_be_taken_back() {
    let entries = visited(WRONG_CHILD);
    let there = log(RIGHT_CHILD, &[("2024-04-01", named("Odd", "2024-03-20").into())]);
    let remedies = [
        VisitRemedy::Withdraw,
        VisitRemedy::OtherChild(child(RIGHT_CHILD)),
        VisitRemedy::OtherFoot,
        VisitRemedy::OtherDay(day("2024-05-06")),
    ];
    for remedy in remedies {
        let added = plan(&entries, remedy, &there).entries(&stamp(0));
        let logs = [(RIGHT_CHILD, &there), (WRONG_CHILD, &entries)].map(|(of, log)| with(log, &added, of));
        assert_ne!(holding(&logs[1]), holding(&entries), "{remedy:?}");
        let back = take_back(&added, &logs);
        assert_eq!(holding(&with(&logs[1], &back, WRONG_CHILD)), holding(&entries), "{remedy:?}");
        assert_eq!(holding(&with(&logs[0], &back, RIGHT_CHILD)), holding(&there), "{remedy:?}");
        // A second time there is nothing to take back.
        let again = with(&logs[1], &back, WRONG_CHILD);
        let step = added.iter().find(|entry| entry.child == child(WRONG_CHILD)).unwrap().id;
        assert_eq!(TakeBack::of(child(WRONG_CHILD), &again, step), None);
    }
}

/// The entries that take back every step listed among `added`.
fn take_back(added: &[Entry], logs: &[Vec<Entry>; 2]) -> Vec<Entry> {
    let steps = added.iter().filter(|entry| entry.body.written_together().is_some());
    let of = |entry: &Entry| {
        let log = logs.iter().find(|log| log[0].child == entry.child).unwrap();
        TakeBack::of(entry.child, log, entry.id).unwrap()
    };
    TakeBack::entries(&steps.map(of).collect::<Vec<_>>(), &stamp(5))
}

#[test]
fn taking_back_names_what_was_written_since() {
    let entries = visited(WRONG_CHILD);
    let there = log(RIGHT_CHILD, &[("2024-04-01", named("Odd", "2024-03-20").into())]);
    let added = plan(&entries, VisitRemedy::OtherChild(child(RIGHT_CHILD)), &there).entries(&stamp(0));
    let mut arrived = with(&there, &added, RIGHT_CHILD);
    let copy = arrived.iter().find(|entry| entry.kind() == Kind::CastApplied).unwrap().id;
    let mended =
        Correction { entry: copy, body: Box::new(cast(Side::Left).into()), on: None, reason: "r".into() };
    arrived.push(Entry { id: id(9, 9), ..arrived[0].clone() });
    let last = arrived.last_mut().unwrap();
    (last.body, last.on) = (mended.into(), day("2024-05-11"));
    let step = added.iter().find(|entry| entry.child == child(RIGHT_CHILD)).unwrap().id;
    let back = TakeBack::of(child(RIGHT_CHILD), &arrived, step).unwrap();
    assert_eq!(back.since.len(), 1, "{:?}", back.since);
    assert!(back.since[0].contains("was corrected on 11 May 2024"), "{:?}", back.since);
}

/// The same child registered twice: once with a visit, once with another and the first again.
fn twice() -> (Vec<Entry>, Vec<Entry>) {
    let kept = Registration { numbers: vec!["K-1".into()], ..named("Bram", "2024-03-14") };
    let other = Registration {
        numbers: vec!["K-9".into()],
        sex: Some(Sex::Male),
        carers: vec![Carer { name: "Ada".into(), phone: Some("+00 555 0101".into()), ..Carer::default() }],
        ..named("Bram", "2024-03-15")
    };
    let differently = Assessment { abduction_deg: Some(-5), ..scored(Side::Right) };
    (
        log(
            RIGHT_CHILD,
            &[
                ("2024-04-01", kept.into()),
                (VISIT, cast(Side::Right).into()),
                (VISIT, scored(Side::Right).into()),
            ],
        ),
        log(
            WRONG_CHILD,
            &[
                ("2024-03-20", other.into()),
                ("2024-04-30", cast(Side::Right).into()),
                (VISIT, cast(Side::Right).into()),
                (VISIT, differently.into()),
            ],
        ),
    )
}

fn join<'e>(kept: &[Entry], other: &'e [Entry]) -> JoinPlan<'e> {
    JoinPlan::of((child(RIGHT_CHILD), kept), (child(WRONG_CHILD), other))
}

#[test]
fn contradictory_identity_and_two_scores_of_one_day_are_asked_about() {
    let (kept, other) = twice();
    let plan = join(&kept, &other);
    assert_eq!(plan.same.len(), 1, "the cast of the day is in both: {:?}", plan.same);
    assert_eq!(plan.clashes.len(), 1);
    let score = plan.clashes[0].other.0;
    let (details, clashes) = plan.unanswered(&JoinChoices::default());
    assert_eq!((details, clashes), (vec!["born"], vec![score]));
    let mut choices = JoinChoices::default();
    choices.identity.insert("born".into(), IdentityChoice::Other);
    choices.clashes.insert(score, ClashChoice::Kept);
    assert_eq!(plan.unanswered(&choices), (vec![], vec![]));
    let merged = plan.merged(&choices);
    assert_eq!((merged.born, merged.sex), (Some(day("2024-03-15")), Some(Sex::Male)));
    assert_eq!(merged.numbers, ["K-1", "K-9"]);
    assert_eq!(merged.carers.len(), 1);
}

#[test]
fn joined_records_hold_every_entry_once_and_can_be_parted_again() {
    let (kept, other) = twice();
    let plan = join(&kept, &other);
    let score = plan.clashes[0].other.0;
    for (choice, scores) in
        [(ClashChoice::Both, vec![-20, -5]), (ClashChoice::Kept, vec![-20]), (ClashChoice::Other, vec![-5])]
    {
        let mut choices = JoinChoices::default();
        choices.identity.insert("born".into(), IdentityChoice::Kept);
        choices.clashes.insert(score, choice);
        let added = plan.entries(&choices, &stamp(0));
        assert!(added.iter().all(|entry| entry.refusal().is_none()));
        let logs = [with(&kept, &added, RIGHT_CHILD), with(&other, &added, WRONG_CHILD)];
        assert_eq!(holding(&logs[1]), [], "nothing holds in the record that was closed");
        assert_eq!(course::joined_into(&logs[1]), Some(child(RIGHT_CHILD)));
        assert_eq!(course::joined_into(&logs[0]), None);
        let course = Course::of(child(RIGHT_CHILD), &logs[0], day(TODAY));
        let foot = course.foot(Side::Right).unwrap();
        let seen: Vec<i16> = foot.scores.iter().filter_map(|seen| seen.abduction_deg).collect();
        assert_eq!(seen, scores, "{choice:?}");
        // 30 April from the other record, 7 May once.
        assert_eq!(
            foot.casts.iter().map(|cast| cast.on).collect::<Vec<_>>(),
            [day("2024-04-30"), day(VISIT)]
        );
        // Known since the earlier registration; the details are those that were chosen.
        assert_eq!(
            (course.referred_on, course.about.born),
            (Some(day("2024-03-20")), Some(day("2024-03-14")))
        );
        let back = take_back(&added, &logs);
        assert_eq!(holding(&with(&logs[0], &back, RIGHT_CHILD)), holding(&kept), "{choice:?}");
        assert_eq!(holding(&with(&logs[1], &back, WRONG_CHILD)), holding(&other), "{choice:?}");
        assert_eq!(course::joined_into(&with(&logs[1], &back, WRONG_CHILD)), None);
    }
}

#[test]
fn twins_and_siblings_are_named_as_such() {
    let one = Registration { sex: Some(Sex::Male), ..named("Bram", "2024-03-14") };
    let twin = Registration { sex: Some(Sex::Female), ..named("Saskia", "2024-03-14") };
    let found = likenesses(&one, &twin);
    assert_eq!(found.differs, ["other given name", "other sex"]);
    assert_eq!(found.alike, ["same family name", "same date of birth"]);
    assert!(found.may_be_siblings);
    let again = Registration { sex: None, ..one.clone() };
    assert_eq!(likenesses(&one, &again).differs, Vec::<&str>::new());
    assert!(!likenesses(&one, &again).may_be_siblings);
}

/// A diagnosis that names only the foot says nothing that the fuller one does not say.
#[test]
fn an_entry_that_says_less_is_no_contradiction() {
    let diagnosis =
        |nature| Body::from(Diagnosis { side: Side::Right, nature, complex: None, earlier_treatment: None });
    let kept = log(RIGHT_CHILD, &[(VISIT, diagnosis(Some(Nature::Idiopathic)))]);
    let less = log(WRONG_CHILD, &[(VISIT, diagnosis(None))]);
    let plan = join(&kept, &less);
    assert_eq!((plan.same.len(), plan.clashes.len()), (1, 0));
    // The other way round the fuller one would be lost, so it is asked about.
    let plan = JoinPlan::of((child(WRONG_CHILD), &less), (child(RIGHT_CHILD), &kept));
    assert_eq!((plan.same.len(), plan.clashes.len()), (0, 1));
}

/// A visit of a right foot, where the other record has the left foot, and for a day before birth.
#[test]
fn a_foot_that_is_not_on_record_and_a_day_before_birth_are_named() {
    let entries = visited(WRONG_CHILD);
    let diagnosis = Diagnosis { side: Side::Left, nature: None, complex: None, earlier_treatment: None };
    let there = log(
        RIGHT_CHILD,
        &[("2024-05-08", named("Odd", "2024-05-08").into()), ("2024-05-08", diagnosis.into())],
    );
    let moved = plan(&entries, VisitRemedy::OtherChild(child(RIGHT_CHILD)), &there);
    assert_eq!(
        moved.misfits,
        [
            "The visit would be about the right foot; on record is: left foot.",
            "The visit would lie before the day of birth, 8 May 2024.",
        ]
    );
    assert_eq!(moved.to_check(), moved.misfits);
    // Without the visit nothing is known of the child's feet, so nothing speaks against either.
    assert_eq!(plan(&entries, VisitRemedy::OtherFoot, &[]).misfits, Vec::<String>::new());
    // Born on 14 March.
    let early = plan(&entries, VisitRemedy::OtherDay(day("2024-03-13")), &[]);
    assert_eq!(early.misfits, ["The visit would lie before the day of birth, 14 March 2024."]);
}
