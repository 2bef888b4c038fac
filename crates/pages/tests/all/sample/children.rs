//! Invented children, entry by entry.

use super::{day, today};
use course::Course;
use guidance::{Outlook, Protocol};
use pages::parts::Who;
use record::{
    AppointmentMade, Assessment, Body, BraceFitted, Carer, CastApplied, CastPurpose, CastRemoved, ChildId,
    Diagnosis, Entry, EntryId, HalfPoint, Nature, Pirani, Problem, ProblemKind, Purpose, Regime,
    Registration, RemovalReason, Sex, Side, Sign, SiteId, TenotomyDone, Timestamp, UserId,
};
use uuid::Uuid;

/// An invented child with its entries.
pub struct Invented {
    pub child: ChildId,
    pub entries: Vec<Entry>,
}

impl Invented {
    pub fn new(number: u128, given: &str, family: &str, born: &str, sex: Sex) -> Self {
        let mut child = Self { child: ChildId::new(Uuid::from_u128(number << 32)), entries: Vec::new() };
        let about = Registration {
            given_name: given.into(),
            family_name: family.into(),
            numbers: vec![number.to_string()],
            born: Some(day(born)),
            sex: Some(sex),
            carers: vec![Carer {
                name: format!("Mother of {given}"),
                phone: Some("070 000 0000".into()),
                ..Carer::default()
            }],
            ..Registration::default()
        };
        child.wrote(born, about);
        child
    }

    pub fn wrote(&mut self, on: &str, body: impl Into<Body>) -> EntryId {
        let id = EntryId::new(Uuid::from_u128(self.child.uuid().as_u128() + self.entries.len() as u128 + 1));
        self.entries.push(Entry {
            id,
            child: self.child,
            body: body.into(),
            on: day(on),
            at: Timestamp::from_seconds(i64::from(day(on).number()) * 86_400 + 36_000),
            by: UserId::new(Uuid::from_u128(7)),
            site: SiteId::new(Uuid::from_u128(8)),
            follows: None,
        });
        id
    }

    /// An assessment: six signs in half points, abduction and dorsiflexion.
    pub fn scored(
        &mut self,
        on: &str,
        side: Side,
        halves: [u8; 6],
        abduction: i16,
        dorsiflexion: i16,
    ) -> EntryId {
        let seen = Assessment {
            pirani: pirani(halves),
            abduction_deg: Some(abduction),
            dorsiflexion_deg: Some(dorsiflexion),
            ..Assessment::of(side)
        };
        self.wrote(on, seen)
    }

    pub fn cast(&mut self, on: &str, side: Side, purpose: CastPurpose) -> EntryId {
        self.wrote(on, CastApplied { purpose: Some(purpose), ..CastApplied::on(side) })
    }

    pub fn outlook(&self) -> Outlook {
        Outlook::of(Course::of(self.child, &self.entries, today()), &Protocol::built_in())
    }

    pub fn who(&self) -> Who {
        Who::of(&self.outlook().course)
    }
}

fn pirani(halves: [u8; 6]) -> Pirani {
    let mut pirani = Pirani::default();
    for (sign, half) in Sign::ALL.into_iter().zip(halves) {
        pirani.set(sign, Some(HalfPoint::ALL[usize::from(half)]));
    }
    pirani
}

/// Both feet in casts for four weeks; the left is ahead.
pub fn in_casts(given: &str) -> Invented {
    let mut child = Invented::new(4121, given, "Rasmussen", "2024-03-26", Sex::Female);
    for side in Side::BOTH {
        child.wrote(
            "2024-04-09",
            Diagnosis {
                side,
                nature: Some(Nature::Idiopathic),
                complex: Some(false),
                earlier_treatment: None,
            },
        );
    }
    let weeks = ["2024-04-16", "2024-04-23", "2024-04-30", "2024-05-07"];
    let right = [[2, 2, 2, 2, 2, 2], [2, 2, 1, 2, 2, 2], [2, 1, 1, 2, 2, 1], [2, 1, 1, 2, 2, 1]];
    let left = [[2, 2, 1, 2, 2, 2], [1, 1, 1, 2, 2, 2], [1, 1, 0, 2, 2, 1], [1, 1, 0, 2, 2, 1]];
    for (n, on) in weeks.into_iter().enumerate() {
        child.scored(on, Side::Right, right[n], 10 + 10 * n as i16, -30 + 5 * n as i16);
        child.cast(on, Side::Right, CastPurpose::Correction);
        child.scored(on, Side::Left, left[n], 20 + 10 * n as i16, -20 + 5 * n as i16);
        child.cast(on, Side::Left, CastPurpose::Correction);
    }
    child.wrote(
        "2024-05-07",
        AppointmentMade { for_day: today(), time: Some("09:30".into()), purpose: Some(Purpose::Cast) },
    );
    child
}

/// The left foot in the brace, full time.
pub fn in_brace() -> Invented {
    let mut child = Invented::new(3977, "Noor", "Haddad", "2024-01-03", Sex::Male);
    child.wrote(
        "2024-01-16",
        Diagnosis {
            side: Side::Left,
            nature: Some(Nature::Idiopathic),
            complex: None,
            earlier_treatment: None,
        },
    );
    for (on, halves) in [
        ("2024-01-16", [2, 2, 2, 2, 2, 1]),
        ("2024-01-23", [1, 1, 1, 2, 2, 1]),
        ("2024-01-30", [0, 1, 0, 2, 2, 1]),
    ] {
        child.scored(on, Side::Left, halves, 30, -10);
        child.cast(on, Side::Left, CastPurpose::Correction);
    }
    child.wrote("2024-02-13", TenotomyDone::on(Side::Left));
    child.cast("2024-02-13", Side::Left, CastPurpose::AfterTenotomy);
    child.wrote("2024-03-05", CastRemoved { side: Side::Left, why: RemovalReason::Planned, note: None });
    child.wrote(
        "2024-03-05",
        BraceFitted { regime: Some(Regime::FullTime), hours_prescribed: Some(23), ..BraceFitted::default() },
    );
    child.scored("2024-03-12", Side::Left, [0, 0, 0, 1, 0, 0], 65, 20);
    child
}

/// A slipped cast that has been on too long.
pub fn overdue() -> Invented {
    let mut child = Invented::new(4090, "Tomas", "Brandvold", "2024-02-20", Sex::Male);
    child.wrote(
        "2024-03-26",
        Diagnosis { side: Side::Right, nature: None, complex: None, earlier_treatment: None },
    );
    child.scored("2024-04-09", Side::Right, [2, 2, 2, 2, 2, 2], 0, -40);
    child.cast("2024-04-09", Side::Right, CastPurpose::Correction);
    child.wrote("2024-04-11", Problem { side: Some(Side::Right), ..Problem::of(ProblemKind::CastSlipped) });
    child
}

/// Just registered; the affected foot is not recorded.
pub fn just_registered() -> Invented {
    Invented::new(4133, "Amina", "Okello", "2024-05-02", Sex::Female)
}
