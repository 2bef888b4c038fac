//! The list of children to call, the results and the caseload give one answer to whether a child is lost.

use audit::{ClinicHistory, KnownBy, LossDefinition, UnnumberedHistory};
use caseload::Setting;
use clinic::{CountedBy, OwnCaseload, results_basis};
use course::{Course, LossStage, Standing};
use forecast::{
    foot::Forecaster,
    learning::ClinicPosterior,
    natural_history::{
        Calendar, ChildTruth, ClinicHabits, Cohort, Parameters,
        entries::{Clerk, entries},
        simulate,
    },
};
use guidance::{Outlook, Protocol};
use record::{
    AppointmentAttended, Assessment, BraceFitted, CastApplied, ChildId, Day, Entry, EntryId, Kind, Regime,
    Registration, Side, SiteId, Timestamp, UserId,
};
use uuid::Uuid;

/// What each says: lost or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Lost {
    attention: bool,
    results: bool,
    caseload: bool,
}

struct Asked {
    protocol: Protocol,
    setting: Setting,
    forecaster: Forecaster,
}

impl Asked {
    fn new() -> Self {
        let clinic = ClinicPosterior::published(&Parameters::published());
        let (protocol, setting) = (Protocol::built_in(), Setting::default());
        Self { protocol, setting, forecaster: Forecaster::new(&clinic) }
    }

    fn outlook(&self, log: &[Entry], as_of: Day) -> Outlook {
        Outlook::of(Course::of(log[0].child, log, as_of), &self.protocol)
    }

    fn lost(&self, log: &[Entry], outlook: &Outlook, as_of: Day) -> Lost {
        let call = |call: &&guidance::Attention| call.rule == "contact-lost" && call.applies(as_of);
        let basis = results_basis(&self.protocol, as_of, KnownBy::ClinicalDay);
        let read = UnnumberedHistory::of(log[0].child, log, &basis).expect("a child with a foot");
        let row = ClinicHistory::new(basis).row(read);
        let by = CountedBy { setting: &self.setting, protocol: &self.protocol, forecaster: &self.forecaster };
        let mut own = OwnCaseload::default();
        own.add(outlook, &by);
        Lost {
            attention: outlook.attention.iter().any(|one| call(&one)),
            results: row.loss(LossDefinition::ByPlannedInterval).is_some(),
            caseload: own.counts.not_seen == 1,
        }
    }
}

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// A four-year-old, in the brace at night since its first year, reviewed yearly, last seen on 1 May 2024.
fn four_years_old() -> Vec<Entry> {
    let child = ChildId::new(Uuid::from_u128(4));
    let mut number = 0;
    let mut entry = |on: &str, body: record::Body| {
        number += 1;
        Entry {
            id: EntryId::new(Uuid::from_u128(number)),
            child,
            body,
            on: day(on),
            at: Timestamp::from_seconds(1_500_000_000 + number as i64),
            by: UserId::new(Uuid::from_u128(7)),
            site: SiteId::new(Uuid::from_u128(1)),
            follows: None,
        }
    };
    let registration = Registration { born: Some(day("2020-04-01")), ..Registration::default() };
    let mut log = vec![entry("2020-04-10", registration.into())];
    for on in ["2020-04-10", "2020-04-17", "2020-04-24", "2020-05-01", "2020-05-08"] {
        log.push(entry(on, CastApplied::on(Side::Left).into()));
    }
    let night = Some(Regime::NightTime);
    log.push(entry("2020-05-15", BraceFitted { regime: night, ..BraceFitted::default() }.into()));
    for on in ["2020-05-22", "2020-06-26", "2020-10-01", "2021-02-01", "2021-06-01", "2021-10-01"] {
        log.push(entry(on, AppointmentAttended::default().into()));
        log.push(entry(on, Assessment { dorsiflexion_deg: Some(20), ..Assessment::of(Side::Left) }.into()));
    }
    for on in
        ["2022-02-01", "2022-06-01", "2022-10-01", "2023-02-01", "2023-05-01", "2023-11-01", "2024-05-01"]
    {
        log.push(entry(on, AppointmentAttended::default().into()));
        log.push(entry(on, Assessment { dorsiflexion_deg: Some(20), ..Assessment::of(Side::Left) }.into()));
    }
    log
}

/// Seen on 1 May 2024 at four years: the next review is planned a year later, on 1 May 2025, when bracing
/// ends or soon after, and may be 28 days late. Seven months without a visit are no loss, though the published
/// definition calls it one after six.
#[test]
fn a_four_year_old_on_a_yearly_plan_seven_months_unseen_is_lost_for_none_of_them() {
    let (asked, log) = (Asked::new(), four_years_old());
    let as_of = day("2024-12-01");
    let outlook = asked.outlook(&log, as_of);
    let found = asked.lost(&log, &outlook, as_of);
    assert_eq!(found, Lost { attention: false, results: false, caseload: false });
    let basis = results_basis(&asked.protocol, as_of, KnownBy::ClinicalDay);
    let row =
        ClinicHistory::new(basis.clone()).row(UnnumberedHistory::of(log[0].child, &log, &basis).unwrap());
    assert!(row.loss(LossDefinition::AsPublished).is_some(), "a named definition of its own");
}

const CALENDAR: Calendar = Calendar { first_referral: 18_518, last_referral: 20_659, as_of: 20_782 };

fn names(child: &ChildTruth) -> Registration {
    Registration { numbers: vec![format!("X{}", child.number)], ..Registration::default() }
}

/// Days after the last visit on which the three are asked: around the ends of 3 weeks, 4 weeks and 6 months,
/// of a review after 4, 6 and 12 months with its 28 days of grace, and of an appointment.
const GAPS_DAYS: [i32; 27] = [
    7, 14, 20, 21, 22, 23, 25, 28, 29, 30, 36, 60, 147, 150, 152, 178, 180, 182, 184, 186, 205, 209, 210,
    213, 240, 393, 400,
];

/// Whether all three speak of the child: in treatment, of known age, with every foot in casts, around its
/// tenotomy or in the brace, before the planned end of bracing, and with no appointment ahead, for which the
/// list and the caseload wait and results do not.
fn all_speak(outlook: &Outlook, protocol: &Protocol) -> bool {
    let course = &outlook.course;
    let Some(ends) = protocol.bracing_ends(course.about.born) else { return false };
    course.standing == Standing::Active
        && !course.feet.is_empty()
        && course.feet.iter().all(|foot| LossStage::of(foot.phase).is_some())
        && course.last_seen().is_some_and(|seen| seen + i32::from(protocol.review_days_after) < ends)
        && course.next_appointment(course.as_of).is_none()
}

/// What was written of a child by a day, as if it had never come again.
fn until(log: &[Entry], last: Day) -> Vec<Entry> {
    log.iter().filter(|entry| entry.on <= last && entry.kind() != Kind::LostDeclared).cloned().collect()
}

#[test]
fn list_results_and_caseload_agree_on_who_is_lost() {
    let (asked, staff) = (Asked::new(), [UserId::new(Uuid::from_u128(5))]);
    let cohort = Cohort { other_cause: 0.05, movement_measured: 0.8, ..Cohort::usual(60, 21, CALENDAR) };
    let children = simulate(&Parameters::published(), &ClinicHabits::published(), &cohort).unwrap();
    let clerk = Clerk {
        seed: 9,
        as_of: CALENDAR.as_of,
        site: SiteId::new(Uuid::from_u128(1)),
        staff: &staff,
        registration: &names,
        referred_from: None,
        tenotomy_place: None,
    };
    let (mut compared, mut lost) = ([0; 2], [0; 2]);
    for child in &children {
        let log = entries(child, &clerk);
        let whole = asked.outlook(&log, Day::from_number(CALENDAR.as_of));
        for last in whole.course.seen_on.iter().step_by(3) {
            let log = until(&log, *last);
            for as_of in GAPS_DAYS.map(|gap| *last + gap) {
                let outlook = asked.outlook(&log, as_of);
                if !all_speak(&outlook, &asked.protocol) {
                    continue;
                }
                let found = asked.lost(&log, &outlook, as_of);
                let course = &outlook.course;
                let phases: Vec<_> = course.feet.iter().map(|foot| foot.phase).collect();
                assert!(
                    found.attention == found.results && found.results == found.caseload,
                    "{found:?} as of {as_of}, last seen {:?}, {phases:?}, born {:?}, {:?}",
                    course.last_seen(),
                    course.about.born,
                    course.appointments.last()
                );
                let braced = usize::from(course.brace_now().is_some());
                compared[braced] += 1;
                lost[braced] += usize::from(found.attention);
            }
        }
    }
    let enough = lost.iter().zip(&compared).all(|(lost, of)| *lost > 100 && of - lost > 100);
    assert!(enough, "in casts and in the brace: compared {compared:?}, of which lost {lost:?}");
}
