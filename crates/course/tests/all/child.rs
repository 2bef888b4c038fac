//! An invented child and its entries.

use course::{Course, FootCourse};
use record::*;

/// A day from "2024-01-31".
pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// The log of one invented child: entries get ids and instants in the order of recording.
#[derive(Debug, Clone)]
pub struct Log {
    pub child: ChildId,
    pub entries: Vec<Entry>,
    /// The person who records, and the site, until changed.
    pub by: u128,
    pub site: u128,
}

impl Log {
    /// An empty log.
    pub fn new() -> Self {
        let child = ChildId::new(uuid::Uuid::from_u128(7));
        Self { child, entries: Vec::new(), by: 1, site: 1 }
    }

    /// A child registered on 2024-01-01, born that day.
    pub fn registered() -> Self {
        let mut log = Self::new();
        let born = Some(day("2024-01-01"));
        let given_name = "Ilse".to_owned();
        log.write("2024-01-01", Registration { given_name, born, ..Registration::default() });
        log
    }

    /// Records an entry and returns its id.
    pub fn write(&mut self, on: &str, body: impl Into<Body>) -> EntryId {
        self.write_on(day(on), body)
    }

    /// Records an entry and returns its id.
    pub fn write_on(&mut self, on: Day, body: impl Into<Body>) -> EntryId {
        let number = self.entries.len() as i64;
        let id = EntryId::new(uuid::Uuid::from_u128(1000 + number as u128));
        self.entries.push(Entry {
            id,
            child: self.child,
            body: body.into(),
            on,
            at: Timestamp::from_seconds(1_700_000_000 + number * 60),
            by: UserId::new(uuid::Uuid::from_u128(self.by)),
            site: SiteId::new(uuid::Uuid::from_u128(self.site)),
            follows: None,
        });
        id
    }

    /// Records an entry that follows another and returns its id.
    pub fn answer(&mut self, on: &str, to: EntryId, body: impl Into<Body>) -> EntryId {
        let id = self.write(on, body);
        self.entries.last_mut().unwrap().follows = Some(to);
        id
    }

    /// Corrects an entry, on the same day as the last entry; the id of the correction.
    pub fn correct(&mut self, entry: EntryId, body: impl Into<Body>) -> EntryId {
        let on = self.entries.last().unwrap().on;
        let (body, reason) = (Box::new(body.into()), "slip of the pen".to_owned());
        self.write_on(on, Correction { entry, body, on: None, reason })
    }

    /// Corrects an entry and its day.
    pub fn move_to(&mut self, entry: EntryId, to: &str, body: impl Into<Body>) -> EntryId {
        let on = self.entries.last().unwrap().on;
        let (body, reason) = (Box::new(body.into()), "wrong day".to_owned());
        self.write_on(on, Correction { entry, body, on: Some(day(to)), reason })
    }

    /// Withdraws an entry, on the same day as the last entry; the id of the withdrawal.
    pub fn withdraw(&mut self, entry: EntryId) -> EntryId {
        let on = self.entries.last().unwrap().on;
        self.write_on(on, Withdrawal { entry, reason: "another child's".to_owned() })
    }

    /// The course as of the last day there is.
    pub fn course(&self) -> Course {
        Course::of(self.child, &self.entries, Day::LAST)
    }

    /// The course as of a day.
    pub fn course_on(&self, on: &str) -> Course {
        Course::of(self.child, &self.entries, day(on))
    }

    /// The right foot's course.
    pub fn right(&self) -> FootCourse {
        self.course().foot(Side::Right).unwrap().clone()
    }

    /// This many weekly correcting casts on one foot, beginning on a day.
    pub fn casts(&mut self, from: &str, number: i32, side: Side) {
        for week in 0..number {
            self.write_on(day(from) + week * 7, CastApplied::on(side));
        }
    }

    /// The usual course of a right foot: five weekly casts from 2024-01-08, tenotomy with the fifth on
    /// 2024-02-05, brace on 2024-02-26.
    pub fn usual() -> Self {
        let mut log = Self::registered();
        log.casts("2024-01-08", 5, Side::Right);
        log.write("2024-02-05", TenotomyDone::on(Side::Right));
        log.write("2024-02-26", BraceFitted::default());
        log
    }
}

/// A change of the brace without details.
pub fn change(change: BraceChange) -> BraceChanged {
    BraceChanged { change, brace: None, regime: None, hours_prescribed: None, note: None }
}

/// A change to a regime.
pub fn to(regime: Regime) -> BraceChanged {
    BraceChanged { regime: Some(regime), ..change(BraceChange::Hours) }
}

/// A relapse of a foot.
pub fn relapse(side: Side) -> RelapseNoted {
    RelapseNoted { side, grade: None, note: None }
}

/// A discharge.
pub fn discharge() -> Discharge {
    Discharge { reason: DischargeReason::Completed, note: None }
}

/// An assessment with the six signs in half points, in the order in which they are entered.
pub fn scored(side: Side, halves: [u8; 6]) -> Assessment {
    let mut assessment = Assessment::of(side);
    for (sign, halves) in Sign::ALL.into_iter().zip(halves) {
        assessment.pirani.set(sign, HalfPoint::from_value(f64::from(halves) / 2.0));
    }
    assessment
}

#[test]
fn lengths_of_both_feet_and_the_shoulder_width_are_recorded_and_make_no_foot_affected() {
    let mut log = Log::registered();
    let length = |side, mm| Assessment { foot_length_mm: Some(mm), ..Assessment::of(side) };
    log.write("2024-03-01", length(Side::Left, 88));
    log.write("2024-03-01", length(Side::Right, 85));
    let width = Some(ShoulderWidth::Biacromial);
    log.write("2024-03-01", BodyMeasured { shoulder_mm: Some(150), shoulder_width: width, note: None });
    let course = log.course();
    let lengths: Vec<_> = course.foot_lengths.iter().map(|length| (length.side, length.mm)).collect();
    assert_eq!(lengths, [(Side::Left, 88), (Side::Right, 85)]);
    assert_eq!((course.shoulders[0].mm, course.shoulders[0].width), (150, width));
    assert!(course.feet.is_empty());
    assert_eq!(course.last_seen(), Some(day("2024-03-01")));
}
