//! Logs at random: plausible kinds, crowded days, equal instants, amendments of anything.

use proptest::prelude::*;
use record::*;
use uuid::Uuid;

pub const CHILD: u128 = 7;

pub fn child() -> ChildId {
    ChildId::new(Uuid::from_u128(CHILD))
}

/// The dice for one entry.
#[derive(Debug, Clone)]
struct Dice {
    kind: u8,
    day: u16,
    side: bool,
    choice: u8,
    number: u8,
    minute: u8,
    other: u8,
    writer: u8,
}

fn dice(days: u16) -> impl Strategy<Value = Dice> {
    let parts = (0..40u8, 0..days, any::<bool>(), any::<u8>(), any::<u8>(), 0..4u8, any::<u8>(), 0..8u8);
    parts.prop_map(|(kind, day, side, choice, number, minute, other, writer)| Dice {
        kind,
        day,
        side,
        choice,
        number,
        minute,
        other,
        writer,
    })
}

/// A log of up to this many entries within this many days.
pub fn log(entries: usize, days: u16) -> impl Strategy<Value = Vec<Entry>> {
    proptest::collection::vec(dice(days), 0..entries).prop_map(|dice| {
        let number = dice.len();
        dice.iter().enumerate().map(|(i, dice)| entry(i, number, dice)).collect()
    })
}

fn id(i: usize) -> EntryId {
    // Scattered, so that the order of ids is not the order of writing.
    EntryId::new(Uuid::from_u128(1 + (i as u128 * 7919) % 104_729))
}

fn on(dice: &Dice) -> Day {
    Day::from_number(19_723 + i32::from(dice.day)) // 2024-01-01 and later
}

fn entry(i: usize, entries: usize, dice: &Dice) -> Entry {
    let target = id(usize::from(dice.other) % entries);
    let follows = dice.writer.is_multiple_of(3).then_some(target);
    let minutes = i64::from(dice.day) * 1440 + i64::from(dice.minute);
    Entry {
        id: id(i),
        child: child(),
        body: amendment(dice, target).unwrap_or_else(|| plain(dice)),
        on: on(dice),
        at: Timestamp::from_seconds(1_704_067_200 + minutes * 60),
        by: UserId::new(Uuid::from_u128(dice.writer.into())),
        site: SiteId::new(Uuid::from_u128(u128::from(dice.writer == 7))),
        follows,
    }
}

fn amendment(dice: &Dice, entry: EntryId) -> Option<Body> {
    let reason = "at random".to_owned();
    match dice.kind {
        36 | 37 => {
            let body = plain(&Dice { kind: dice.number % 36, ..dice.clone() });
            // Never ahead of the correction itself.
            let on = dice.choice.is_multiple_of(3).then(|| on(dice) - i32::from(dice.number));
            Some(Correction { entry, body: Box::new(body), on, reason }.into())
        }
        38 | 39 => Some(Withdrawal { entry, reason }.into()),
        _ => None,
    }
}

fn pick<T: Copy>(all: &[T], choice: u8) -> T {
    all[usize::from(choice) % all.len()]
}

fn maybe<T: Copy>(all: &[T], choice: u8) -> Option<T> {
    all.get(usize::from(choice) % (all.len() + 1)).copied()
}

fn plain(dice: &Dice) -> Body {
    let side = if dice.side { Side::Right } else { Side::Left };
    let for_day = on(dice) + i32::from(dice.number % 30);
    match dice.kind {
        0 => Registration { born: dice.side.then(|| on(dice) - 9), ..Registration::default() }.into(),
        1 => Referral::default().into(),
        2 => Diagnosis {
            side,
            nature: maybe(Nature::ALL, dice.choice),
            complex: maybe(&[true, false], dice.number),
            earlier_treatment: None,
        }
        .into(),
        3..=6 => assessment(dice, side).into(),
        7 => {
            let seen = assessment(dice, side);
            let first = dice.number.is_multiple_of(2).then(|| id(usize::from(dice.other) % 40));
            SecondScore { first, pirani: seen.pirani, ..SecondScore::of(side) }.into()
        }
        8..=14 => CastApplied {
            purpose: maybe(CastPurpose::ALL, dice.choice),
            number: maybe(&[1, 2, 3, 4], dice.number),
            ..CastApplied::on(side)
        }
        .into(),
        15 | 16 => CastRemoved { side, why: pick(RemovalReason::ALL, dice.choice), note: None }.into(),
        17 => TenotomyBooked { side, planned_on: Some(for_day), place: None }.into(),
        18 | 19 => TenotomyDone::on(side).into(),
        20..=22 => BraceFitted {
            regime: maybe(Regime::ALL, dice.choice),
            hours_prescribed: maybe(&[12, 16, 17, 19, 20, 23], dice.number),
            ..BraceFitted::default()
        }
        .into(),
        23 | 24 => BraceChanged {
            change: pick(BraceChange::ALL, dice.choice),
            brace: None,
            regime: maybe(Regime::ALL, dice.number),
            hours_prescribed: maybe(&[14, 18, 22], dice.other),
            note: None,
        }
        .into(),
        25 => Problem {
            side: dice.side.then_some(side),
            settled: dice.number.is_multiple_of(3),
            ..Problem::of(pick(ProblemKind::ALL, dice.choice))
        }
        .into(),
        26 => AppointmentMade { for_day, time: None, purpose: None }.into(),
        27 => AppointmentAttended::default().into(),
        28 => AppointmentMissed::default().into(),
        29 => AppointmentCancelled { for_day, by: None, reason: None }.into(),
        30 => RelapseNoted { side, grade: None, note: None }.into(),
        31 => OtherSurgery { side, procedure: pick(Procedure::ALL, dice.choice), note: None }.into(),
        32 => Transfer::default().into(),
        33 => LostDeclared::default().into(),
        34 => Discharge { reason: DischargeReason::Completed, note: None }.into(),
        35 if dice.choice < 40 => Death::default().into(),
        _ => Note { text: "at random".to_owned() }.into(),
    }
}

fn assessment(dice: &Dice, side: Side) -> Assessment {
    let mut assessment = Assessment::of(side);
    assessment.dorsiflexion_deg = Some(i16::from(dice.number) - 100);
    for (i, sign) in Sign::ALL.into_iter().enumerate() {
        let halves = (usize::from(dice.choice) + i * usize::from(dice.other)) % 4;
        assessment.pirani.set(sign, HalfPoint::ALL.get(halves).copied());
    }
    assessment
}
