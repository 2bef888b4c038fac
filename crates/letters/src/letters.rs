//! Letters to the family and to those who look after the child by day, and the diary of the hours.

use crate::{
    diary::DiaryCode,
    document::{Block, FamilyDocument, FamilyDocumentKind, FamilyDrawing},
    facts::{FamilyFacts, NoDocument},
    parts::{Going, messages, telephone, whose},
    plan,
};
use course::AppointmentState;
use messages::{Arg, Sentence};
use record::Regime;

/// Weeks on one page of the diary.
const DIARY_WEEKS: u8 = 4;

/// The letter with the next date.
///
/// # Errors
/// Where no visit is planned.
pub fn appointment_letter(facts: &FamilyFacts<'_>) -> Result<FamilyDocument, NoDocument> {
    let next = facts.planned.first().ok_or(NoDocument::NoVisit)?;
    let when = match &next.time {
        Some(time) => {
            Sentence::new("appointment-when-time").with("day", next.day).with("time", Arg::Time(time.clone()))
        }
        None => Sentence::new("appointment-when").with("day", next.day),
    };
    let mut blocks = vec![Block::Paragraph(vec![when])];
    blocks.extend(plan::next_visit(facts));
    blocks.push(Block::Paragraph(messages(&["appointment-change", "appointment-late"])));
    if facts.planned.len() > 1 {
        blocks.push(Block::Heading(Sentence::new("appointment-more-head")));
        blocks.push(Block::Dates(plan::dated(facts.planned.iter().skip(1))));
    }
    blocks.push(Going::of(facts).emergency());
    blocks.push(telephone(facts));
    Ok(finished(facts, FamilyDocumentKind::AppointmentLetter, "appointment-title", blocks))
}

/// The letter after a visit that was missed. It blames nobody.
///
/// # Errors
/// Where the last visit that was planned was not missed.
pub fn missed_visit_letter(facts: &FamilyFacts<'_>) -> Result<FamilyDocument, NoDocument> {
    let mut past = facts.course.appointments.iter().filter(|visit| visit.for_day <= facts.today);
    let counts = |visit: &&course::Appointment| {
        !matches!(visit.state, AppointmentState::Cancelled | AppointmentState::Ended)
    };
    let last = past.rfind(counts);
    let missed =
        last.filter(|visit| visit.state == AppointmentState::Missed).ok_or(NoDocument::NoneMissed)?;
    let going = Going::of(facts);
    let mut ids = vec!["missed-why"];
    match (going.casts, going.brace) {
        (false, false) => ids.push("missed-other"),
        (casts, brace) => {
            ids.extend(casts.then_some("missed-cast"));
            ids.extend(brace.then_some("missed-brace"));
        }
    }
    ids.push("missed-do");
    let mut blocks = vec![Block::Paragraph(vec![Sentence::new("missed-day").with("day", missed.for_day)])];
    blocks.extend(ids.into_iter().map(|id| Block::Paragraph(messages(&[id]))));
    blocks.push(going.emergency());
    blocks.push(telephone(facts));
    Ok(finished(facts, FamilyDocumentKind::MissedVisitLetter, "missed-title", blocks))
}

/// The letter to the nursery.
///
/// # Errors
/// Where no brace is recorded as worn.
pub fn nursery_letter(facts: &FamilyFacts<'_>) -> Result<FamilyDocument, NoDocument> {
    let spell = facts.course.brace_now().ok_or(NoDocument::NoBrace)?;
    let (hours, _) = facts.hours_now.ok_or(NoDocument::NoBrace)?;
    let name = facts.name();
    let named = |id| Sentence::new(id).with("name", name.as_str());
    let id = match spell.regime {
        Regime::FullTime => "nursery-hours-day",
        Regime::NightTime => "nursery-hours-naps",
    };
    let blocks = vec![
        Block::Paragraph(vec![named("nursery-to")]),
        Block::Paragraph(vec![named("nursery-why")]),
        Block::Paragraph(vec![Sentence::new(id).with("hours", i64::from(hours))]),
        Block::Heading(Sentence::new("nursery-on-head")),
        Block::Drawing(FamilyDrawing::HeelAndStraps, plan::putting_on()),
        Block::List(vec![
            Sentence::new("nursery-check"),
            Sentence::new("nursery-note"),
            named("nursery-normal"),
        ]),
        Going { brace: true, ..Going::default() }.emergency(),
        telephone(facts),
    ];
    Ok(finished(facts, FamilyDocumentKind::NurseryLetter, "nursery-title", blocks))
}

/// The diary of the hours for four weeks from today.
///
/// # Errors
/// Where no brace is recorded as worn.
pub fn wear_diary(facts: &FamilyFacts<'_>) -> Result<FamilyDocument, NoDocument> {
    facts.course.brace_now().ok_or(NoDocument::NoBrace)?;
    let code = DiaryCode { child: facts.course.child, from: facts.today, weeks: DIARY_WEEKS };
    let blocks = vec![
        Block::Paragraph(messages(&["diary-how", "diary-wrong", "diary-why"])),
        Block::DiarySheet(code),
        Block::Paragraph(messages(&["diary-bring"])),
        telephone(facts),
    ];
    Ok(finished(facts, FamilyDocumentKind::WearDiary, "diary-title", blocks))
}

fn finished(
    facts: &FamilyFacts<'_>,
    kind: FamilyDocumentKind,
    title: &'static str,
    blocks: Vec<Block>,
) -> FamilyDocument {
    let title = Sentence::new(title).with("name", facts.name().as_str());
    FamilyDocument { kind, title, whose: whose(facts), blocks }
}
