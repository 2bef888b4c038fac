//! Children written out as a sheet, one row per foot and visit, with plain headings that the importer
//! reads back without a map.

use record::{
    AngleItem, Assessment, Body, BraceChange, CastApplied, CastPurpose, ChildId, Day, DimeglioSign, Entry,
    EntryId, Kind, Regime, Registration, Side, Sign, WalkingItem,
};
use std::collections::{BTreeMap, HashMap, HashSet};

use crate::report::push_row;

/// A workbook that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("the workbook could not be written: {0}")]
pub struct ExportError(#[from] rust_xlsxwriter::XlsxError);

/// One cell to be written.
#[derive(Debug, Clone, PartialEq)]
enum Out {
    Blank,
    Text(String),
    Number(f64),
    Date(Day),
}

const CHILD_HEADINGS: [&str; 8] = [
    "Hospital number",
    "Family name",
    "Given name",
    "Date of birth",
    "Sex",
    "Carer name",
    "Phone",
    "Address",
];

fn headings() -> Vec<String> {
    let mut out: Vec<String> = CHILD_HEADINGS.iter().map(|&heading| heading.to_owned()).collect();
    out.extend(["Date of visit", "Side", "Diagnosis", "Complex"].map(str::to_owned));
    out.extend(Sign::ALL.iter().map(|sign| sign.name().to_owned()));
    out.push("Pirani total".to_owned());
    out.extend(AngleItem::ALL.iter().map(|item| format!("Dimeglio {} (degrees)", item.key())));
    out.extend(DimeglioSign::ALL.iter().map(|sign| format!("Dimeglio {}", sign.name().to_lowercase())));
    out.push("Dimeglio total".to_owned());
    out.extend(WalkingItem::ALL.iter().map(|item| format!("Walking {}", item.key())));
    let rest = [
        "Abduction",
        "Dorsiflexion",
        "Foot length",
        "Cast number",
        "Cast material",
        "What was done",
        "Brace hours",
        "Seen by",
        "Next appointment",
        "Remarks",
    ];
    out.extend(rest.map(str::to_owned));
    out
}

/// The record of some children as CSV: one row per foot and visit, dates as year-month-day.
///
/// Only what stands is written: corrected entries in their corrected form, withdrawn ones not at all.
/// Text that a spreadsheet program could take for a formula begins with an apostrophe.
#[must_use]
pub fn export_csv(children: &[(ChildId, &[Entry])]) -> String {
    let mut out = String::from("\u{feff}");
    let headings = headings();
    push_row(&mut out, headings.iter().map(String::as_str));
    for row in rows(children) {
        let cells: Vec<String> = row.into_iter().map(plain).collect();
        push_row(&mut out, cells.iter().map(String::as_str));
    }
    out
}

fn plain(cell: Out) -> String {
    match cell {
        Out::Blank => String::new(),
        Out::Text(text) => guarded(text),
        Out::Number(number) => number.to_string(),
        Out::Date(day) => day.to_string(),
    }
}

/// A text that begins like a formula gets an apostrophe, which the importer takes off again.
fn guarded(text: String) -> String {
    let risky = text.trim_start().starts_with(['=', '+', '-', '@', '\t', '\r', '\'']);
    if risky { format!("'{text}") } else { text }
}

/// As [`export_csv`], as a workbook with real dates and numbers.
///
/// # Errors
/// When the workbook cannot be built, for instance because there are more rows than one sheet holds.
pub fn export_xlsx(children: &[(ChildId, &[Entry])]) -> Result<Vec<u8>, ExportError> {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Visits")?;
    let date = rust_xlsxwriter::Format::new().set_num_format("yyyy-mm-dd");
    let bold = rust_xlsxwriter::Format::new().set_bold();
    for (column, heading) in (0u16..).zip(headings()) {
        sheet.write_string_with_format(0, column, heading, &bold)?;
    }
    for (row, cells) in (1u32..).zip(rows(children)) {
        for (column, cell) in (0u16..).zip(cells) {
            match cell {
                Out::Blank => {}
                // Cells of a workbook are typed: a text stays text and is never run as a formula.
                Out::Text(text) => {
                    sheet.write_string(row, column, text)?;
                }
                Out::Number(number) => {
                    sheet.write_number(row, column, number)?;
                }
                Out::Date(day) => {
                    sheet.write_number_with_format(row, column, f64::from(day.number() + 25_569), &date)?;
                }
            }
        }
    }
    sheet.set_freeze_panes(1, 0)?;
    Ok(book.save_to_buffer()?)
}

fn rows(children: &[(ChildId, &[Entry])]) -> impl Iterator<Item = Vec<Out>> {
    children.iter().flat_map(|(_, entries)| rows_of(entries))
}

/// What stands: day and body, corrections applied, withdrawals left out.
fn standing(entries: &[Entry]) -> Vec<(Day, Body)> {
    let gone: HashSet<EntryId> = entries
        .iter()
        .filter_map(|entry| if let Body::Withdrawal(body) = &entry.body { Some(body.entry) } else { None })
        .collect();
    let mut mended: HashMap<EntryId, (record::Timestamp, Option<Day>, &Body)> = HashMap::new();
    for entry in entries.iter().filter(|entry| !gone.contains(&entry.id)) {
        if let Body::Correction(body) = &entry.body {
            let newer = mended.get(&body.entry).is_none_or(|(at, ..)| *at <= entry.at);
            if newer {
                mended.insert(body.entry, (entry.at, body.on, &body.body));
            }
        }
    }
    let stands = entries.iter().filter(|entry| !gone.contains(&entry.id));
    let own = stands.filter(|entry| !matches!(entry.kind(), Kind::Correction | Kind::Withdrawal));
    let mut out: Vec<(Day, Body)> = own
        .map(|entry| match mended.get(&entry.id) {
            Some((_, on, body)) => (on.unwrap_or(entry.on), (*body).clone()),
            None => (entry.on, entry.body.clone()),
        })
        .collect();
    out.sort_by_key(|(on, _)| *on);
    out
}

/// One row as it fills.
#[derive(Default)]
struct Row {
    assessment: Option<Assessment>,
    cast: Option<CastApplied>,
    done: Vec<String>,
    hours: Option<String>,
    next: Option<Day>,
    remarks: Vec<String>,
    nature: Option<String>,
    complex: Option<bool>,
}

fn rows_of(entries: &[Entry]) -> Vec<Vec<Out>> {
    let standing = standing(entries);
    let registration = standing.iter().rev().find_map(|(_, body)| match body {
        Body::Registration(body) => Some(body.clone()),
        _ => None,
    });
    let registration = registration.unwrap_or_default();
    let mut rows: BTreeMap<(Day, u8), Vec<Row>> = BTreeMap::new();
    for (on, body) in &standing {
        place(&mut rows, *on, body);
    }
    if rows.is_empty() {
        return vec![line(&registration, None, None, Row::default())];
    }
    let each =
        rows.into_iter().flat_map(|((on, side), rows)| rows.into_iter().map(move |row| (on, side, row)));
    each.map(|(on, side, row)| {
        let side = match side {
            0 => Some(Side::Right),
            1 => Some(Side::Left),
            _ => None,
        };
        line(&registration, Some(on), side, row)
    })
    .collect()
}

const fn order(side: Option<Side>) -> u8 {
    match side {
        Some(Side::Right) => 0,
        Some(Side::Left) => 1,
        None => 2,
    }
}

/// Puts an entry into the row of its day and foot; a second one of a kind gets a row of its own.
fn place(rows: &mut BTreeMap<(Day, u8), Vec<Row>>, on: Day, body: &Body) {
    let mut into = |free: &dyn Fn(&Row) -> bool, put: &mut dyn FnMut(&mut Row)| {
        let of_day = rows.entry((on, order(body.side()))).or_default();
        if !of_day.iter().any(free) {
            of_day.push(Row::default());
        }
        if let Some(row) = of_day.iter_mut().find(|row| free(row)) {
            put(row);
        }
    };
    match body {
        Body::Registration(_) => {}
        Body::Assessment(body) => {
            into(&|row| row.assessment.is_none(), &mut |row| row.assessment = Some(body.clone()));
        }
        Body::CastApplied(body) => into(&|row| row.cast.is_none(), &mut |row| row.cast = Some(body.clone())),
        Body::Diagnosis(body) => into(&|row| row.nature.is_none() && row.complex.is_none(), &mut |row| {
            row.nature = body.nature.map(|nature| nature.words().to_owned());
            row.complex = body.complex;
        }),
        Body::AppointmentMade(body) => {
            into(&|row| row.next.is_none(), &mut |row| row.next = Some(body.for_day))
        }
        Body::Note(body) => {
            into(&|row| row.remarks.is_empty(), &mut |row| row.remarks.push(body.text.clone()))
        }
        other => match done_words(other) {
            // One act to a row, save a tenotomy and its cast: several in one cell would be harder to read.
            Some((done, hours)) => into(&|row| row.done.is_empty(), &mut |row| {
                row.done.push(done.clone());
                row.hours.clone_from(&hours);
            }),
            None => into(&|_| true, &mut |row| row.remarks.push(other.kind().words().to_owned())),
        },
    }
}

/// The words the importer reads back as the same entry, and the hours of a brace.
fn done_words(body: &Body) -> Option<(String, Option<String>)> {
    let regime = |regime: Option<Regime>, hours: Option<u8>| match (regime, hours) {
        (_, Some(hours)) => Some(format!("{hours}h")),
        (Some(Regime::FullTime), None) => Some("full time".to_owned()),
        (Some(Regime::NightTime), None) => Some("nights".to_owned()),
        (None, None) => None,
    };
    let plain = |words: &str| Some((words.to_owned(), None));
    match body {
        Body::TenotomyDone(_) => plain("tenotomy"),
        Body::TenotomyBooked(_) => plain("tenotomy booked"),
        Body::CastRemoved(body) => Some((format!("cast off: {}", body.why.words()), None)),
        Body::Problem(body) if !body.settled => Some((format!("problem: {}", body.what.words()), None)),
        Body::OtherSurgery(body) => plain(body.procedure.words()),
        Body::BraceFitted(body) => {
            Some(("brace fitted".to_owned(), regime(body.regime, body.hours_prescribed)))
        }
        Body::BraceChanged(body) if body.change == BraceChange::Hours => {
            Some(("brace".to_owned(), regime(body.regime, body.hours_prescribed)))
        }
        Body::BraceChanged(body) if body.change == BraceChange::Stopped => plain("brace stopped"),
        Body::BraceChanged(body) if body.change == BraceChange::Size => plain("new size"),
        Body::AppointmentMissed(_) => plain("missed"),
        Body::AppointmentAttended(_) => plain("review"),
        Body::RelapseNoted(_) => plain("relapse"),
        Body::Discharge(body) if body.reason == record::DischargeReason::Completed => {
            plain("treatment completed")
        }
        Body::Discharge(_) => plain("discharged"),
        Body::Transfer(_) => plain("transferred"),
        Body::Death(_) => plain("died"),
        Body::LostDeclared(_) => plain("lost to follow up"),
        _ => None,
    }
}

fn cast_words(cast: &CastApplied) -> &'static str {
    match cast.purpose {
        Some(CastPurpose::AfterTenotomy) => "cast after tenotomy",
        Some(CastPurpose::Holding) => "holding cast",
        Some(CastPurpose::Correction) => "cast to correct",
        None => "cast",
    }
}

fn text(value: Option<impl Into<String>>) -> Out {
    value.map(Into::into).filter(|text| !text.is_empty()).map_or(Out::Blank, Out::Text)
}

fn number(value: Option<impl Into<f64>>) -> Out {
    value.map_or(Out::Blank, |value| Out::Number(value.into()))
}

fn line(registration: &Registration, on: Option<Day>, side: Option<Side>, row: Row) -> Vec<Out> {
    let Registration { family_name, given_name, numbers, born, sex, carers, address, .. } = registration;
    let carer = carers.first();
    let mut out = vec![
        text(numbers.first().cloned()),
        text(Some(family_name.clone())),
        text(Some(given_name.clone())),
        born.map_or(Out::Blank, Out::Date),
        text(sex.map(record::Sex::key)),
        text(carer.map(|carer| carer.name.clone())),
        text(carer.and_then(|carer| carer.phone.clone())),
        text(address.clone()),
        on.map_or(Out::Blank, Out::Date),
        text(side.map(Side::word)),
        text(row.nature),
        text(row.complex.map(|complex| if complex { "yes" } else { "no" })),
    ];
    let assessed = row.assessment.unwrap_or_else(|| Assessment::of(Side::Right));
    measured(&assessed, &mut out);
    let mut done = row.done;
    if row.cast.is_none() {
        // A tenotomy by itself would be read back with the cast that usually follows.
        done.iter_mut().filter(|done| *done == "tenotomy").for_each(|done| done.push_str(" only"));
    }
    done.extend(row.cast.iter().map(|cast| cast_words(cast).to_owned()));
    let mut remarks = row.remarks;
    remarks.extend(assessed.note.clone());
    out.extend([
        number(row.cast.as_ref().and_then(|cast| cast.number)),
        text(row.cast.as_ref().and_then(|cast| cast.material).map(record::CastMaterial::words)),
        text(Some(done.join(", "))),
        text(row.hours),
        text(assessed.scored_by),
        row.next.map_or(Out::Blank, Out::Date),
        text(Some(remarks.join("\n"))),
    ]);
    out
}

fn measured(assessed: &Assessment, out: &mut Vec<Out>) {
    out.extend(
        Sign::ALL.iter().map(|&sign| number(assessed.pirani.sign(sign).map(|point| point.halves().value()))),
    );
    out.push(number(assessed.stated_total.map(record::Halves::value)));
    out.extend(AngleItem::ALL.iter().map(|&item| match assessed.dimeglio.angle(item) {
        Some(record::Angle::Deg(deg)) => Out::Number(f64::from(deg)),
        Some(record::Angle::Points(points)) => Out::Text(format!("{points} points")),
        None => Out::Blank,
    }));
    let yes = |present: bool| if present { "yes" } else { "no" };
    out.extend(DimeglioSign::ALL.iter().map(|&sign| text(assessed.dimeglio.sign(sign).map(yes))));
    out.push(number(assessed.stated_dimeglio_total));
    out.extend(WalkingItem::ALL.iter().map(|&item| number(assessed.walking.item(item))));
    out.push(number(assessed.abduction_deg));
    out.push(number(assessed.dorsiflexion_deg));
    out.push(number(assessed.foot_length_mm));
}
