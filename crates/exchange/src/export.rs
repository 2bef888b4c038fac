//! Children written out as a sheet, one row per foot and visit, with plain headings that the importer
//! reads back without a map. What the plain columns cannot carry is written in full in a row of its own.

mod declared;
mod plain;

use crate::{
    details,
    meaning::FieldColumn,
    written::{guarded, push_row},
};
use declared::{Declared, declared};
use plain::{Plain, plain};
use record::{
    AngleItem, Assessment, Body, CastApplied, CastPurpose, ChildId, CorrectedLog, Day, DimeglioSign, Entry,
    Registration, Side, Sign, WalkingItem,
};
use std::collections::BTreeMap;

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

const CHILD_HEADINGS: [&str; 12] = [
    "Hospital number",
    "Family name",
    "Given name",
    "Date of birth",
    "Sex",
    "Gestation (weeks)",
    "Birth weight (g)",
    "Carer name",
    "Relation",
    "Phone",
    "Language",
    "Address",
];

fn headings(columns: &[FieldColumn]) -> Vec<String> {
    let mut out: Vec<String> = CHILD_HEADINGS.iter().map(|&heading| heading.to_owned()).collect();
    out.extend(["Date of visit", "Side", "Diagnosis", "Complex", "Earlier treatment"].map(str::to_owned));
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
        "Note on the score",
        "Next appointment",
        "Remarks",
        "Entry in full",
    ];
    out.extend(rest.map(str::to_owned));
    out.extend(columns.iter().map(|column| declared::heading(*column)));
    out
}

/// The columns of kinds that declare their own, where one of these children has such an entry.
fn declared_columns(children: &[(ChildId, &[Entry])]) -> Vec<FieldColumn> {
    declared::columns(children.iter().flat_map(|(_, entries)| entries.iter()))
}

/// The record of some children as CSV: one row per foot and visit, dates as year-month-day.
///
/// Only what holds is written: corrected entries in their corrected form, withdrawn ones not at all.
/// Text that a spreadsheet program could take for a formula begins with an apostrophe.
#[must_use]
pub fn export_csv(children: &[(ChildId, &[Entry])]) -> String {
    let mut out = String::from("\u{feff}");
    let columns = declared_columns(children);
    let headings: Vec<String> = headings(&columns).into_iter().map(guarded).collect();
    push_row(&mut out, headings.iter().map(String::as_str));
    for row in rows(children, &columns) {
        let cells: Vec<String> = row.into_iter().map(cell_text).collect();
        push_row(&mut out, cells.iter().map(String::as_str));
    }
    out
}

fn cell_text(cell: Out) -> String {
    match cell {
        Out::Blank => String::new(),
        Out::Text(text) => guarded(text),
        Out::Number(number) => number.to_string(),
        Out::Date(day) => day.to_string(),
    }
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
    let columns = declared_columns(children);
    for (column, heading) in (0u16..).zip(headings(&columns)) {
        sheet.write_string_with_format(0, column, heading, &bold)?;
    }
    for (row, cells) in (1u32..).zip(rows(children, &columns)) {
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

fn rows(children: &[(ChildId, &[Entry])], columns: &[FieldColumn]) -> impl Iterator<Item = Vec<Out>> {
    children.iter().flat_map(|(_, entries)| rows_of(entries, columns))
}

/// What holds: day and body, corrections applied, withdrawals left out.
fn standing(entries: &[Entry]) -> Vec<(Day, Body)> {
    let log = CorrectedLog::of(entries, Day::LAST);
    let holds = log.lines.into_iter().filter(|line| line.fate.holds() && !line.entry.kind().spec().amends);
    holds.map(|line| (line.on, line.body.clone())).collect()
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
    earlier: Option<String>,
    /// An entry in full; then nothing else of the row is read back.
    entire: Option<String>,
    /// An entry in the columns of its own kind; then the row holds nothing else.
    declared: Option<Declared>,
}

impl Row {
    fn is_undiagnosed(&self) -> bool {
        self.nature.is_none() && self.complex.is_none() && self.earlier.is_none()
    }

    /// Whether nothing else may be written in it.
    fn is_alone(&self) -> bool {
        self.entire.is_some() || self.declared.is_some()
    }

    /// A row of its own for an entry in full. The words in the other columns are for people.
    fn entire(body: &Body) -> Self {
        let done = vec![body.kind().words().to_owned()];
        Self { done, entire: details::write(body), ..Self::default() }
    }
}

type Rows = BTreeMap<(Day, u8), Vec<Row>>;

fn rows_of(entries: &[Entry], columns: &[FieldColumn]) -> Vec<Vec<Out>> {
    let standing = standing(entries);
    let registered = |(on, body): &(Day, Body)| match body {
        Body::Registration(body) => Some((*on, body.clone())),
        _ => None,
    };
    let registration = standing.iter().rev().find_map(registered).map(|(_, body)| body).unwrap_or_default();
    let mut rows = Rows::new();
    for (on, body) in &standing {
        place(&mut rows, *on, body);
    }
    let mut out = Vec::new();
    let since = standing.iter().find_map(registered).map(|(on, _)| on);
    let first = rows.keys().next().map(|&(day, _)| day);
    if first.is_none() || since != first || plain::in_short(&registration) != registration {
        let entire = since.map(|_| Row::entire(&registration.clone().into()));
        out.push(line(&registration, since, None, entire.unwrap_or_default(), columns));
    }
    for ((on, side), of_day) in rows {
        let side = match side {
            0 => Some(Side::Right),
            1 => Some(Side::Left),
            _ => None,
        };
        out.extend(of_day.into_iter().map(|row| line(&registration, Some(on), side, row, columns)));
    }
    out
}

const fn order(side: Option<Side>) -> u8 {
    match side {
        Some(Side::Right) => 0,
        Some(Side::Left) => 1,
        None => 2,
    }
}

/// Puts an entry into the row of its day and foot; a second one of a kind gets a row of its own, and so
/// does an entry that the plain columns cannot carry whole.
fn place(rows: &mut Rows, on: Day, body: &Body) {
    if matches!(body, Body::Registration(_)) {
        return;
    }
    let of_day = rows.entry((on, order(body.side()))).or_default();
    if let Some(values) = declared(body) {
        of_day.push(Row { declared: Some(values), ..Row::default() });
        return;
    }
    let mut into = |free: &dyn Fn(&Row) -> bool, put: &mut dyn FnMut(&mut Row)| {
        let found = of_day.iter().position(|row| !row.is_alone() && free(row));
        let at = found.unwrap_or_else(|| {
            of_day.push(Row::default());
            of_day.len() - 1
        });
        of_day.get_mut(at).into_iter().for_each(put);
    };
    match plain(body) {
        Some(Plain::Assessment(body)) => {
            into(&|row| row.assessment.is_none(), &mut |row| row.assessment = Some(body.clone()));
        }
        Some(Plain::Cast(body)) => {
            into(&|row| row.cast.is_none(), &mut |row| row.cast = Some(body.clone()));
        }
        Some(Plain::Diagnosis(body)) => into(&Row::is_undiagnosed, &mut |row| {
            row.nature = body.nature.map(|nature| nature.words().to_owned());
            row.complex = body.complex;
            row.earlier.clone_from(&body.earlier_treatment);
        }),
        Some(Plain::Next(day)) => into(&|row| row.next.is_none(), &mut |row| row.next = Some(day)),
        Some(Plain::Remark(text)) => {
            into(&|row| row.remarks.is_empty(), &mut |row| row.remarks.push(text.to_owned()));
        }
        // One act to a row, save a tenotomy and its cast: several in one cell would be harder to read.
        Some(Plain::Done(done, hours)) => into(&|row| row.done.is_empty(), &mut |row| {
            row.done.push(done.clone());
            row.hours.clone_from(&hours);
        }),
        None => of_day.push(Row::entire(body)),
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

/// The columns of [`CHILD_HEADINGS`].
fn who(registration: &Registration) -> Vec<Out> {
    let carer = registration.carers.first();
    vec![
        text(registration.numbers.first().cloned()),
        text(Some(registration.family_name.clone())),
        text(Some(registration.given_name.clone())),
        registration.born.map_or(Out::Blank, Out::Date),
        text(registration.sex.map(record::Sex::key)),
        number(registration.gestation_weeks),
        number(registration.birth_weight_g),
        text(carer.map(|carer| carer.name.clone())),
        text(carer.and_then(|carer| carer.relation.clone())),
        text(carer.and_then(|carer| carer.phone.clone())),
        text(carer.and_then(|carer| carer.language.clone())),
        text(registration.address.clone()),
    ]
}

fn line(
    registration: &Registration,
    on: Option<Day>,
    side: Option<Side>,
    row: Row,
    columns: &[FieldColumn],
) -> Vec<Out> {
    let mut out = who(registration);
    let own = columns.iter().map(|column| declared::cell(*column, row.declared.as_ref()));
    let own: Vec<Out> = own.collect();
    out.extend([
        on.map_or(Out::Blank, Out::Date),
        text(side.map(Side::word)),
        text(row.nature),
        text(row.complex.map(|complex| if complex { "yes" } else { "no" })),
        text(row.earlier),
    ]);
    let assessed = row.assessment.unwrap_or_else(|| Assessment::of(Side::Right));
    measured(&assessed, &mut out);
    let mut done = row.done;
    if row.cast.as_ref().is_none_or(|cast| cast.purpose != Some(CastPurpose::AfterTenotomy)) {
        // A tenotomy by itself would be read back with the cast that usually follows.
        done.iter_mut().filter(|done| *done == "tenotomy").for_each(|done| done.push_str(" only"));
    }
    done.extend(row.cast.iter().map(|cast| cast_words(cast).to_owned()));
    out.extend([
        number(row.cast.as_ref().and_then(|cast| cast.number)),
        text(row.cast.as_ref().and_then(|cast| cast.material).map(record::CastMaterial::words)),
        text(Some(done.join(", "))),
        text(row.hours),
        text(assessed.scored_by),
        text(assessed.note),
        row.next.map_or(Out::Blank, Out::Date),
        text(Some(row.remarks.join("\n"))),
        text(row.entire),
    ]);
    out.extend(own);
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
