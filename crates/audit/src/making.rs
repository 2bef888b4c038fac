//! Makes the row of a child from its course.

use crate::{
    ChildHistory, ClinicHistory, Clinician, EndOfCare, ExpectedField, FootHistory, MeanWear, ResultsBasis,
    Wear, brace::Bracing, gaps, history::ScoredTwice, history::WEAR_QUARTERS, losses::FollowUp,
};
use course::{AssessmentSeen, Cause, CorrectedLog, Course, FootCourse, Line, Standing, WearKind, pairing};
use record::{Body, ChildId, Day, Entry, EntryId, ProblemKind, Procedure, Side, SiteId};
use std::collections::HashSet;

/// Problems that count as cast problems.
const OF_THE_CAST: [ProblemKind; 6] = [
    ProblemKind::CastSlipped,
    ProblemKind::ToesNotSeen,
    ProblemKind::ToesColour,
    ProblemKind::Swelling,
    ProblemKind::SkinBroken,
    ProblemKind::Blister,
];
/// Days of a quarter of bracing: a year of 365.25 days divided by four, rounded.
const QUARTER_DAYS: i32 = 91;
/// A score at most this many days old counts as one at the end of casting.
const FRESH_DAYS: i32 = 14;

/// The row of a child before its sites and clinicians have their indices, so that many children can be read
/// in parallel.
#[derive(Debug, Clone, PartialEq)]
pub struct UnnumberedHistory {
    row: ChildHistory,
    named: [Option<(SiteId, Clinician)>; 2],
    pairs: Vec<ScoredTwice<Clinician>>,
}

impl UnnumberedHistory {
    /// Reads a child from its log, as known on a day; `None` without an affected foot.
    #[must_use]
    pub fn of(child: ChildId, entries: &[Entry], basis: &ResultsBasis) -> Option<Self> {
        let as_of = basis.as_of;
        let entries = &*basis.known_by.written(entries);
        let reading = CorrectedLog::of(entries, as_of);
        let course = Course::of_log(child, &reading, as_of);
        let mut row = of_child(&course, entries, &reading, basis);
        let mut named = [None, None];
        for foot in &course.feet {
            let place = usize::from(foot.side == Side::Left);
            row.feet[place] = Some(of_foot(&course, foot, &reading));
            named[place] = first_line(foot, &reading).map(|line| (line.entry.site, who(line)));
        }
        let mut pairs = Vec::new();
        for (_, found) in pairing::pairs(entries, as_of) {
            match found {
                Ok(pair) => pairs.push(ScoredTwice::of(&pair)),
                Err(_) => row.unpaired = row.unpaired.saturating_add(1),
            }
        }
        (!course.feet.is_empty()).then_some(Self { row, named, pairs })
    }
}

impl ClinicHistory {
    /// Gives the sites, clinicians and raters of a row their indices in this clinic.
    pub fn row(&mut self, UnnumberedHistory { mut row, named, pairs }: UnnumberedHistory) -> ChildHistory {
        row.pairs = pairs.into_iter().map(|pair| pair.with_raters(|who| self.rater(who))).collect();
        for (foot, named) in row.feet.iter_mut().zip(named) {
            if let (Some(foot), Some((site, clinician))) = (foot, named) {
                (foot.site, foot.clinician) = (self.site(site), self.clinician(clinician));
            }
        }
        row
    }

    /// Adds a child from its log.
    pub fn add(&mut self, child: ChildId, entries: &[Entry]) {
        if let Some(read) = UnnumberedHistory::of(child, entries, &self.basis()) {
            let row = self.row(read);
            self.children.push(row);
        }
    }
}

fn of_foot(course: &Course, foot: &FootCourse, reading: &CorrectedLog<'_>) -> FootHistory {
    let times = FootDays::of(course, foot, reading);
    let (expected, recorded) = fields(course, foot, &times);
    let mut scores =
        foot.scores.iter().rev().filter(|scored| times.first_cast.is_none_or(|day| scored.on <= day));
    FootHistory {
        side: foot.side,
        site: 0,
        clinician: 0,
        nature: foot.nature,
        complex: foot.complex,
        treated_before: treated_before(foot, &times),
        first_total: scores.find_map(AssessmentSeen::pirani_total),
        first_cast: times.first_cast.into(),
        correcting_casts: foot
            .episodes
            .iter()
            .find(|one| one.number == 1)
            .map_or(0, |one| one.correcting_casts),
        casts: u16::try_from(foot.casts.len()).unwrap_or(u16::MAX),
        cast_problems: cast_problems(course, foot),
        booked: times.booked.into(),
        tenotomy: foot.tenotomies.first().map(|cut| cut.on).into(),
        second_tenotomy: foot.tenotomies.get(1).map(|cut| cut.on).into(),
        brace: times.brace.into(),
        brace_began: times.bracing.began,
        braced_again: times.bracing.again.into(),
        relapse: times.relapse.into(),
        tendon_transfer: surgery(foot, &[Procedure::TendonTransfer]).into(),
        release: surgery(foot, &[Procedure::PosteriorRelease, Procedure::PosteromedialRelease]).into(),
        expected,
        recorded,
    }
}

/// Whether earlier treatment is recorded, or a brace or tenotomy before the first cast here.
fn treated_before(foot: &FootCourse, times: &FootDays) -> bool {
    let recorded_before = foot.earlier_treatment.as_deref().is_some_and(|text| !text.trim().is_empty());
    let cut = foot.tenotomies.first().map(|cut| cut.on);
    let before = |day: Option<Day>| day.zip(times.first_cast).is_some_and(|(day, cast)| day < cast);
    recorded_before || before(times.brace) || before(cut)
}

/// The first day on which the row changes although nothing new is written: an entry dated ahead, a drop-out,
/// three months of bracing.
fn changes_on(course: &Course, entries: &[Entry], followed: &FollowUp) -> Option<Day> {
    let ahead = entries.iter().map(|entry| entry.on);
    let months = course.feet.iter().flat_map(|foot| &foot.phases).map(|spell| spell.from + QUARTER_DAYS);
    let days = ahead.chain(gaps::next_gap(course)).chain(followed.changes_on).chain(months);
    days.filter(|day| *day > course.as_of).min()
}

/// The entry of the first cast, otherwise the first entry about the foot.
fn first_line<'a, 'b>(foot: &FootCourse, reading: &'b CorrectedLog<'a>) -> Option<&'b Line<'a>> {
    let cast: Option<EntryId> = foot.casts.first().map(|cast| cast.entry);
    let by_cast = cast.and_then(|id| reading.lines.iter().find(|line| line.entry.id == id));
    let of_foot =
        |line: &&Line<'_>| line.body.side() == Some(foot.side) && !matches!(line.body, Body::SecondScore(_));
    by_cast.or_else(|| reading.lines.iter().find(of_foot))
}

fn who(line: &Line<'_>) -> Clinician {
    match line.body {
        Body::CastApplied(body) => body.cast_by.as_deref().map(str::trim).filter(|name| !name.is_empty()),
        _ => None,
    }
    .map_or(Clinician::User(line.entry.by), |name| Clinician::Named(name.to_owned()))
}

fn surgery(foot: &FootCourse, which: &[Procedure]) -> Option<Day> {
    foot.surgery.iter().find(|surgery| which.contains(&surgery.procedure)).map(|surgery| surgery.on)
}

/// The days of a foot that several fields are computed from.
struct FootDays {
    first_cast: Option<Day>,
    booked: Option<Day>,
    bracing: Bracing,
    brace: Option<Day>,
    relapse: Option<Day>,
}

impl FootDays {
    fn of(course: &Course, foot: &FootCourse, reading: &CorrectedLog<'_>) -> Self {
        let bracing = Bracing::of(course, foot);
        Self {
            first_cast: foot.casts.first().map(|cast| cast.on),
            booked: booked(foot, reading),
            bracing,
            brace: bracing.from,
            relapse: bracing.from.and_then(|brace| relapse(foot, brace)),
        }
    }
}

/// The first return of the deformity after a brace.
fn relapse(foot: &FootCourse, brace: Day) -> Option<Day> {
    let noted = foot.relapses.iter().map(|relapse| relapse.on);
    let cast_again = foot.episodes.iter().filter(|one| one.number > 1).map(|one| one.from);
    let operated = foot.surgery.iter().map(|surgery| surgery.on);
    noted.chain(cast_again).chain(operated).filter(|day| *day >= brace).min()
}

/// The first booking that was not withdrawn and was recorded on or before the first tenotomy.
fn booked(foot: &FootCourse, reading: &CorrectedLog<'_>) -> Option<Day> {
    let cut = foot.tenotomies.first().map(|cut| cut.on);
    let holds = |line: &&Line<'_>| line.fate.holds();
    let bookings = reading.lines.iter().filter(holds).filter_map(|line| match line.body {
        Body::TenotomyBooked(body) if body.side == foot.side => Some(line.on),
        _ => None,
    });
    bookings.filter(|day| cut.is_none_or(|cut| *day <= cut)).min()
}

fn cast_problems(course: &Course, foot: &FootCourse) -> u16 {
    let cast_on =
        |day: Day| foot.casts.iter().any(|cast| cast.on <= day && cast.off.is_none_or(|(off, _)| day <= off));
    let own = course.problems.iter().filter(|problem| {
        OF_THE_CAST.contains(&problem.what)
            && problem.side.is_none_or(|side| side == foot.side)
            && cast_on(problem.on)
    });
    u16::try_from(own.count()).unwrap_or(u16::MAX)
}

/// The fields expected of a foot, and those of them that are recorded, as bits.
fn fields(course: &Course, foot: &FootCourse, times: &FootDays) -> (u16, u16) {
    let all = of_measurements(foot, times).into_iter().chain(of_care(course, foot, times));
    let bits = |sum: (u16, u16), (field, recorded): (ExpectedField, Option<bool>)| match recorded {
        Some(true) => (sum.0 | field.bit(), sum.1 | field.bit()),
        Some(false) => (sum.0 | field.bit(), sum.1),
        None => sum,
    };
    all.fold((0, 0), bits)
}

/// Whether each field is recorded; `None` if it is not expected.
type Recorded = (ExpectedField, Option<bool>);

fn of_measurements(foot: &FootCourse, times: &FootDays) -> [Recorded; 5] {
    let cut = foot.tenotomies.first();
    let done = cut.map(|cut| cut.on).or(times.brace);
    let braced = |recorded: bool| times.brace.map(|_| recorded);
    let dorsiflexion = measured_in_casts(foot, times, |scored| scored.dorsiflexion_deg.is_some());
    let abduction = measured_in_casts(foot, times, |scored| scored.abduction_deg.is_some());
    [
        (ExpectedField::FirstScore, times.first_cast.map(|day| is_scored_in(foot, Day::FIRST, day))),
        (ExpectedField::LastScore, done.map(|day| is_scored_in(foot, day - FRESH_DAYS, day))),
        (ExpectedField::Dorsiflexion, braced(dorsiflexion)),
        (ExpectedField::Abduction, braced(abduction)),
        (ExpectedField::AfterTenotomy, cut.map(|cut| cut.dorsiflexion_after_deg.is_some())),
    ]
}

fn of_care(course: &Course, foot: &FootCourse, times: &FootDays) -> [Recorded; 6] {
    let braced_long = times.brace.is_some_and(|day| course.as_of - day >= QUARTER_DAYS);
    let noted = times.relapse.and_then(|_| foot.relapses.first());
    let hours = course.braces.first().map(|spell| spell.hours_prescribed.is_some());
    [
        (ExpectedField::Born, Some(course.about.born.is_some())),
        (ExpectedField::Sex, Some(course.about.sex.is_some())),
        (ExpectedField::Nature, Some(foot.nature.is_some())),
        (ExpectedField::Hours, hours),
        (ExpectedField::Wear, braced_long.then_some(!course.wear.is_empty())),
        (ExpectedField::RelapseGrade, noted.map(|noted| noted.grade.is_some())),
    ]
}

/// Whether a score with all six signs lies between two days.
fn is_scored_in(foot: &FootCourse, from: Day, to: Day) -> bool {
    let complete = |scored: &AssessmentSeen| scored.pirani.total().is_some();
    foot.scores.iter().any(|scored| scored.on >= from && scored.on <= to && complete(scored))
}

/// Whether something was measured from the first cast to the brace.
fn measured_in_casts(foot: &FootCourse, times: &FootDays, measured: fn(&AssessmentSeen) -> bool) -> bool {
    let from_cast = |day: Day| times.first_cast.is_none_or(|cast| day >= cast);
    let to_brace = |day: Day| times.brace.is_none_or(|brace| day <= brace);
    foot.scores.iter().any(|scored| measured(scored) && from_cast(scored.on) && to_brace(scored.on))
}

fn of_child(
    course: &Course,
    entries: &[Entry],
    reading: &CorrectedLog<'_>,
    basis: &ResultsBasis,
) -> ChildHistory {
    let brace = course.braces.first().map(|spell| spell.from);
    let first_cast = course.feet.iter().filter_map(|foot| foot.casts.first()).map(|cast| cast.on).min();
    let followed = FollowUp::of(course, &basis.plan, first_cast.into_iter().chain(brace).min());
    ChildHistory {
        child: course.child,
        born: course.about.born.into(),
        referred: referred(reading, course, first_cast).into(),
        known_from: course.referred_on.into(),
        last_seen: course.last_seen().into(),
        left: left(course),
        over: followed.over.into(),
        lost: followed.lost,
        settled_until: followed.settled_until.into(),
        gap: first_cast.and_then(|day| gaps::first_gap(course, day)),
        brace: brace.into(),
        not_tolerated: brace.and_then(|brace| not_tolerated(course, brace)).into(),
        tolerance_written: brace.is_some_and(|brace| tolerance_written(course, brace)),
        wear: brace.and_then(|brace| wear(course, brace)),
        pairs: Box::default(),
        unpaired: 0,
        changes_on: changes_on(course, entries, &followed).into(),
        feet: [None, None],
    }
}

/// The first referral; for a child with a first cast only one on or before it, because a later one does
/// not show how long the child had waited.
fn referred(reading: &CorrectedLog<'_>, course: &Course, first_cast: Option<Day>) -> Option<Day> {
    let referrals = reading.lines.iter().filter(|line| {
        matches!(line.body, Body::Referral(_))
            && line.on <= course.as_of
            && line.fate.holds()
            && line.entry.child == course.child
    });
    let first = referrals.map(|line| line.on).min();
    first.filter(|day| first_cast.is_none_or(|cast| *day <= cast))
}

fn left(course: &Course) -> Option<(Day, EndOfCare)> {
    match course.standing {
        Standing::Active => None,
        Standing::Discharged(day) => Some((day, EndOfCare::Discharged)),
        Standing::Transferred(day) => Some((day, EndOfCare::Transferred)),
        Standing::Died(day) => Some((day, EndOfCare::Died)),
        Standing::Lost(day) => Some((day, EndOfCare::DeclaredLost)),
    }
}

/// The first day on which the brace was recorded as not tolerated, or was stopped before the fourth birthday
/// (the fourth year of bracing if the day of birth is unknown). Bracing that starts again does not undo it.
/// A brace that ended because the child was discharged or died does not count as not tolerated.
fn not_tolerated(course: &Course, brace: Day) -> Option<Day> {
    let until = course.about.born.unwrap_or(brace).plus_years(4);
    noted_not_tolerated(course, brace).chain(stopped(course).filter(|day| *day < until)).min()
}

fn noted_not_tolerated(course: &Course, brace: Day) -> impl Iterator<Item = Day> + '_ {
    let noted = course.problems.iter().filter(|problem| problem.what == ProblemKind::NotTolerated);
    noted.map(|problem| problem.on).filter(move |day| *day >= brace)
}

/// The days on which bracing was stopped while care continued.
fn stopped(course: &Course) -> impl Iterator<Item = Day> + '_ {
    let over = |day: Day| gaps::ended_from(course, day) == Some(day);
    course.braces.iter().filter_map(move |spell| match spell.until {
        Some((day, Cause::Stopped)) if !over(day) => Some(day),
        _ => None,
    })
}

/// Whether it is recorded how the brace was tolerated.
fn tolerance_written(course: &Course, brace: Day) -> bool {
    course.wear.iter().any(|span| span.to >= brace)
        || noted_not_tolerated(course, brace).next().is_some()
        || stopped(course).next().is_some()
}

/// Mean wear by quarter of bracing. Each span counts in every quarter it covers, weighted by its days there;
/// of two overlapping spans both count.
fn wear(course: &Course, brace: Day) -> Option<Box<Wear>> {
    if course.wear.is_empty() {
        return None;
    }
    let mut sums = [[(0_i32, 0.0_f64); WEAR_QUARTERS]; 2];
    for span in &course.wear {
        let kind = usize::from(span.kind == WearKind::Reported);
        for (quarter, sum) in sums[kind].iter_mut().enumerate() {
            let from = brace + QUARTER_DAYS * quarter as i32;
            let days = span.to.min(from + (QUARTER_DAYS - 1)) - span.from.max(from) + 1;
            if days > 0 {
                sum.0 += days;
                sum.1 += f64::from(days) * span.hours_per_day;
            }
        }
    }
    let worn = |(days, hours): (i32, f64)| match days {
        0 => MeanWear::default(),
        days => MeanWear {
            days: u16::try_from(days).unwrap_or(u16::MAX),
            hours: (hours / f64::from(days)) as f32,
        },
    };
    Some(Box::new(Wear { logged: sums[0].map(worn), reported: sums[1].map(worn) }))
}

impl ClinicHistory {
    /// Moves the clinic on to a later day. Returns the children whose row changes by that day: their logs
    /// must be read again.
    pub fn move_to(&mut self, day: Day) -> HashSet<ChildId> {
        self.as_of = day;
        let due = |row: &&ChildHistory| row.changes_on.number().is_some_and(|on| on <= day.number());
        self.children.iter().filter(due).map(|row| row.child).collect()
    }
}
