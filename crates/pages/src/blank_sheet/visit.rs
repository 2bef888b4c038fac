//! The sheet of a visit, in the order of its form.

use super::{AnswerRoom, ChildRow, FootRow, SheetPart, room_of, ticks};
use crate::fields::{Field, visit as names};
use record::{
    Anaesthesia, AngleItem, BraceChange, CastMaterial, CastPurpose, DimeglioSign, HalfPoint, ProblemKind,
    Purpose, Regime, RelapseGrade, RemovalReason, Side, Sign, SubScore, WalkingItem,
};

pub(super) fn parts() -> Vec<SheetPart> {
    let of_feet = [
        ("Pirani score", signs()),
        ("Movement and length", movement()),
        ("Done at this visit", done()),
        ("Dimeglio score, if used: degrees that remain after gentle correction", dimeglio()),
        ("Walking age", walking()),
        ("Relapse", relapse()),
        ("Boots", boots()),
    ];
    let mut of_child = vec![("Brace", brace()), ("Problem", problem())];
    let kinds = names::declared_kinds();
    of_child.extend(kinds.map(|(kind, heading)| (heading, declared(&names::declared_fields(kind)))));
    of_child.push(("Next appointment, and note", next()));
    let of_feet = of_feet.into_iter().map(|(caption, rows)| SheetPart::Feet(caption, rows));
    of_feet.chain(of_child.into_iter().map(|(caption, rows)| SheetPart::Child(caption, rows))).collect()
}

fn yes_no() -> AnswerRoom {
    ticks(["yes", "no"])
}

fn signs() -> Vec<FootRow> {
    let of = |part: SubScore| {
        let signs = Sign::ALL.into_iter().filter(move |sign| sign.part() == part);
        signs.map(|sign| {
            FootRow::new(
                sign.name(),
                |side| names::sign(side, sign),
                ticks(HalfPoint::ALL.map(HalfPoint::text)),
            )
        })
    };
    of(SubScore::Midfoot).chain(of(SubScore::Hindfoot)).collect()
}

fn movement() -> Vec<FootRow> {
    vec![
        FootRow::new("Abduction", names::abduction_deg, AnswerRoom::Number("°")),
        FootRow::new("Dorsiflexion, knee straight", names::dorsiflexion_deg, AnswerRoom::Number("°")),
        FootRow::new("Foot length", names::foot_length_mm, AnswerRoom::Number("mm")),
    ]
}

fn done() -> Vec<FootRow> {
    vec![
        FootRow::new(
            "Cast came off",
            names::cast_off,
            ticks(RemovalReason::ALL.iter().map(|why| why.words())),
        ),
        FootRow::new("Heel-cord tenotomy", names::tenotomy, ticks(["done", "booked"])),
        FootRow::new("If booked: for", names::tenotomy_on, AnswerRoom::Day),
        FootRow::new(
            "If done: anaesthetic",
            names::anaesthesia,
            ticks(Anaesthesia::ALL.iter().map(|way| way.words())),
        ),
        FootRow::new("If done: by", names::tenotomy_by, AnswerRoom::Line),
        FootRow::new("If done: complications", names::tenotomy_complication, AnswerRoom::Line),
        FootRow::new(
            "New cast: purpose",
            names::cast,
            ticks(CastPurpose::ALL.iter().map(|purpose| purpose.words())),
        ),
        FootRow::new(
            "New cast: material",
            names::cast_material,
            ticks(CastMaterial::ALL.iter().map(|one| one.words())),
        ),
        FootRow::new("New cast: abduction", names::cast_abduction_deg, AnswerRoom::Number("°")),
    ]
}

fn dimeglio() -> Vec<FootRow> {
    let angles = AngleItem::ALL
        .into_iter()
        .map(|item| FootRow::new(item.name(), move |side| names::angle(side, item), AnswerRoom::Number("°")));
    let signs = DimeglioSign::ALL
        .into_iter()
        .map(|sign| FootRow::new(sign.name(), move |side| names::dimeglio_sign(side, sign), yes_no()));
    angles.chain(signs).collect()
}

fn walking() -> Vec<FootRow> {
    let row = |item: WalkingItem| {
        let meanings = (0..).zip(item.meanings()).map(|(points, meaning)| format!("{points} {meaning}"));
        let meanings: Vec<String> = meanings.collect();
        FootRow::new(item.name(), move |side| names::walking(side, item), ticks(["0", "1", "2", "3"]))
            .hint(meanings.join("; "))
    };
    WalkingItem::ALL.into_iter().map(row).collect()
}

fn relapse() -> Vec<FootRow> {
    let grades = std::iter::once("not graded").chain(RelapseGrade::ALL.iter().map(|grade| grade.words()));
    let mut rows = vec![FootRow::new("Relapse noted", names::relapse, ticks(grades))];
    let [right, left] = Side::BOTH.map(names::relapse_signs);
    rows.extend(right.iter().zip(&left).map(|(right, left)| FootRow {
        label: without_foot(right),
        hint: String::new(),
        names: [right.name.to_string(), left.name.to_string()],
        room: room_of(&right.what),
    }));
    rows
}

/// The label without the name of the foot, which is in the head of the column.
fn without_foot(field: &Field) -> String {
    let label = field.label.rsplit_once(": ").map_or(&*field.label, |(_, label)| label);
    crate::words::capital(label)
}

fn boots() -> Vec<FootRow> {
    let boot = |what: &'static str| move |side: Side| names::boot(side, what);
    vec![
        FootRow::new("Boot turned out", boot("abduction_deg"), AnswerRoom::Number("°")),
        FootRow::new("Boot bent up", boot("dorsiflexion_deg"), AnswerRoom::Number("°")),
        FootRow::new("Boot: inner length", boot("length_mm"), AnswerRoom::Number("mm")),
        FootRow::new("Boot: size as labelled", boot("size"), AnswerRoom::Line),
    ]
}

fn brace() -> Vec<ChildRow> {
    let changes = std::iter::once("brace fitted").chain(BraceChange::ALL.iter().map(|change| change.words()));
    vec![
        ChildRow::new("Since", names::WEAR_FROM, AnswerRoom::Day),
        ChildRow::new("Hours a day, as the family reports", names::WEAR_HOURS, AnswerRoom::Number("h")),
        ChildRow::new("Why it was worn less", names::WEAR_REASON, AnswerRoom::Line),
        ChildRow::new("Brace today", names::BRACE, ticks(changes)),
        ChildRow::new(
            "Wear from now on",
            names::BRACE_REGIME,
            ticks(Regime::ALL.iter().map(|regime| regime.words())),
        ),
        ChildRow::new("Hours a day prescribed", names::BRACE_HOURS, AnswerRoom::Number("h")),
        ChildRow::new("Bar, heel to heel", names::BRACE_BAR_MM, AnswerRoom::Number("mm")),
        ChildRow::new("Each boot can be set to its own angle", names::BRACE_BAR_PER_SIDE, yes_no()),
        ChildRow::new("Bar, as labelled", names::STOCK_BAR, AnswerRoom::Line),
    ]
}

fn problem() -> Vec<ChildRow> {
    vec![
        ChildRow::new("Problem", names::PROBLEM, ticks(ProblemKind::ALL.iter().map(|kind| kind.words()))),
        ChildRow::new(
            "Concerns",
            names::PROBLEM_SIDE,
            ticks(["the child or both feet", "right foot", "left foot"]),
        ),
        ChildRow::new("Description, and advice given", names::PROBLEM_NOTE, AnswerRoom::Lines),
    ]
}

fn declared(fields: &[Field]) -> Vec<ChildRow> {
    fields.iter().map(|field| ChildRow::new(&*field.label, &*field.name, room_of(&field.what))).collect()
}

fn next() -> Vec<ChildRow> {
    vec![
        ChildRow::new("Next appointment on", names::NEXT_OTHER_DAY, AnswerRoom::Day),
        ChildRow::new("Time", names::NEXT_TIME, AnswerRoom::Line),
        ChildRow::new(
            "Purpose",
            names::NEXT_PURPOSE,
            ticks(Purpose::ALL.iter().map(|purpose| purpose.words())),
        ),
        ChildRow::new("Note", names::NOTE, AnswerRoom::Lines),
    ]
}
