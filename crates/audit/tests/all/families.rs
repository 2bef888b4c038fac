//! Simulated families whose true course is known: an independent generator, of which the program reads
//! only the entries.
//!
//! A family comes to every visit of the plan in `rows::plan`, at most as late as the days of grace allow,
//! until the day on which it leaves for good, if it does. Some stay away once and come back.

use crate::{
    rows::{id, on},
    simulated::Chance,
};
use record::{
    Assessment, Body, Brace, BraceChange, BraceChanged, BraceFitted, CastApplied, ChildId, Day, Discharge,
    DischargeReason, Entry, EntryId, HalfPoint, Pirani, Referral, Regime, Registration, RelapseNoted, Side,
    Sign, SiteId, TenotomyDone, Timestamp, UserId,
};

/// The behaviour of families, per year or as a share.
#[derive(Clone, Copy)]
pub struct Habits {
    /// Leaving for good, a year.
    pub leave: f64,
    /// Share that stays away once for 200 to 500 days past a review and comes back.
    pub stay_away: f64,
    /// Relapse found at a review, and at the visit with which a family comes back.
    pub relapse: [f64; 2],
}

/// Families that come to every review.
pub const OBEDIENT: Habits = Habits { leave: 0.0, stay_away: 0.0, relapse: [0.03, 0.03] };

/// A child with its true course.
pub struct Family {
    pub child: ChildId,
    pub entries: Vec<Entry>,
    pub first_cast: Day,
    /// The true day on which the family left, before the end of treatment.
    pub left: Option<Day>,
    pub relapse: Option<Day>,
    pub second_tenotomy: Option<Day>,
}

/// Writes the entries of one family until the as-of day.
struct Pen<'a> {
    chance: &'a mut Chance,
    number: u128,
    until: Day,
    entries: Vec<Entry>,
}

impl Pen<'_> {
    fn write(&mut self, day: Day, body: impl Into<Body>) {
        if day > self.until {
            return;
        }
        let line = self.entries.len() as u128;
        self.entries.push(Entry {
            id: EntryId::new(id(1_000_000 + 1_000 * self.number + line)),
            child: ChildId::new(id(self.number)),
            body: body.into(),
            on: day,
            at: Timestamp::from_seconds(i64::from(day.number()) * 86_400 + 36_000 + line as i64),
            by: UserId::new(id(501)),
            site: SiteId::new(id(601)),
            follows: None,
        });
    }

    fn late(&mut self, most: i32) -> i32 {
        (f64::from(most + 1) * self.chance.next()) as i32
    }

    fn scored(&mut self, day: Day) {
        let mut pirani = Pirani::default();
        Sign::ALL.into_iter().for_each(|sign| pirani.set(sign, Some(HalfPoint::Zero)));
        self.write(day, Assessment { pirani, ..Assessment::of(Side::Right) });
    }

    fn brace(&mut self, day: Day) {
        let brace = Brace::default();
        self.write(
            day,
            BraceFitted { brace, regime: Some(Regime::FullTime), hours_prescribed: None, fitted_by: None },
        );
    }
}

/// Months to the next later review, as a published protocol gives them by age.
fn months(born: Day, last: Day) -> i32 {
    match born.months_to(last) {
        ..36 => 4,
        36..48 => 6,
        _ => 12,
    }
}

/// One family that begins on a day.
pub fn family(chance: &mut Chance, number: u128, first_cast: Day, as_of: Day, habits: Habits) -> Family {
    let leaves = if habits.leave > 0.0 { Some(first_cast + chance.exponential(habits.leave)) } else { None };
    let until = leaves.map_or(as_of, |day| (day - 1).min(as_of));
    let mut pen = Pen { chance, number, until, entries: Vec::new() };
    let born = first_cast - 20;
    let mut family = Family {
        child: ChildId::new(id(number)),
        entries: Vec::new(),
        first_cast,
        left: leaves,
        relapse: None,
        second_tenotomy: None,
    };
    let given_name = format!("Child {number}");
    pen.write(first_cast - 6, Registration { given_name, born: Some(born), ..Registration::default() });
    pen.write(first_cast - 6, Referral { from: None, reason: None });
    (0..5).for_each(|week| pen.write(first_cast + 7 * week, CastApplied::on(Side::Right)));
    pen.write(first_cast + 35, TenotomyDone::on(Side::Right));
    pen.write(first_cast + 35, CastApplied::on(Side::Right));
    let mut last = braced(&mut pen, first_cast + 56);
    let stays_away = pen.chance.next() < habits.stay_away;
    let mut away_at = if stays_away { 1 + pen.late(7) } else { -1 };
    let end = born.plus_years(5);
    loop {
        let due = last.plus_months(months(born, last));
        let due = if end > last && end <= due + 28 { end } else { due };
        away_at -= 1;
        let away = if away_at == 0 { 228 + pen.late(272) } else { 0 };
        last = due + away + if away == 0 { pen.late(28) } else { 0 };
        if last > until {
            break;
        }
        pen.scored(last);
        if last >= end {
            let stopped = BraceChange::Stopped;
            pen.write(
                last,
                BraceChanged {
                    change: stopped,
                    brace: None,
                    regime: None,
                    hours_prescribed: None,
                    note: None,
                },
            );
            pen.write(last, Discharge { reason: DischargeReason::Completed, note: None });
            family.left = None;
            break;
        }
        if family.relapse.is_none() && pen.chance.next() < habits.relapse[usize::from(away > 0)] {
            last = relapsed(&mut pen, &mut family, last);
        }
    }
    family.entries = pen.entries;
    family
}

/// The brace and its early reviews, none later than a week; the day of the last.
fn braced(pen: &mut Pen<'_>, day: Day) -> Day {
    pen.brace(day);
    let mut last = day;
    for week in [1, 6, 12] {
        last = day + 7 * week + pen.late(7);
        pen.scored(last);
    }
    last
}

/// A relapse found on a day: three weekly casts, in three of ten a second tenotomy, the brace again.
fn relapsed(pen: &mut Pen<'_>, family: &mut Family, day: Day) -> Day {
    pen.write(day, RelapseNoted { side: Side::Right, grade: None, note: None });
    family.relapse = Some(day);
    (0..3).for_each(|week| pen.write(day + 7 * week, CastApplied::on(Side::Right)));
    let mut off = day + 21;
    if pen.chance.next() < 0.3 {
        pen.write(off, TenotomyDone::on(Side::Right));
        pen.write(off, CastApplied::on(Side::Right));
        family.second_tenotomy = (off <= pen.until).then_some(off);
        off = off + 21;
    }
    braced(pen, off)
}

/// Families that begin evenly over three years.
pub fn families(count: usize, seed: u64, as_of: Day, habits: Habits) -> Vec<Family> {
    let mut chance = Chance(seed);
    (0..count)
        .map(|number| {
            let first_cast = on((1_095.0 * chance.next()) as i32);
            family(&mut chance, number as u128 + 1, first_cast, as_of, habits)
        })
        .collect()
}
