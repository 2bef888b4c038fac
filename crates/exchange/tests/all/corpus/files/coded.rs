//! Codes instead of words, ages instead of days of birth, and one measurement a row.

use super::{InventedFile, rows_of_feet, side_word, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, Foot, NAMES_EN, NAMES_SW, Patient, Visit},
    fact::{Fact, FactKind, Truth, halves},
    sheet::{Page, csv, points},
};
use record::{Sex, Side, Sides};

pub fn files() -> Vec<InventedFile> {
    vec![code_book(), age_in_weeks(), long_with_side_in_item()]
}

const CODE_BOOK: [[&str; 3]; 11] = [
    ["Variable", "Code", "Meaning"],
    ["SEX", "1", "Male"],
    ["SEX", "2", "Female"],
    ["FOOT", "1", "Right"],
    ["FOOT", "2", "Left"],
    ["FOOT", "3", "Both"],
    ["PROC", "1", "Cast"],
    ["PROC", "2", "Tenotomy and cast"],
    ["PROC", "3", "Brace fitted"],
    ["PROC", "4", "Review"],
    ["PROC", "5", "Relapse, cast"],
];

fn procedure(visit: &Visit, foot: &Foot) -> u32 {
    match (foot.relapse, foot.tenotomy, foot.cast, visit.brace) {
        (true, ..) => 5,
        (_, true, ..) => 2,
        (_, _, Some(_), _) => 1,
        (.., true) => 3,
        _ => 4,
    }
}

/// Sex, side and procedure as numbers, with a sheet that says what they mean.
fn code_book() -> InventedFile {
    let clinic = Clinic::new(41, 8, &NAMES_SW, |n| format!("{}", 2001 + n));
    let (mut page, mut truth) = (Page::named("Data"), Truth::default());
    page.heads(&["ID", "NAME", "DOB", "SEX", "VISIT_DATE", "FOOT", "PIRANI", "CAST_NO", "PROC"]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_feet(&clinic, &mut page, &mut truth, &kinds, |patient, visit, side, foot| {
        cells![
            patient.number.parse::<u32>().unwrap(),
            patient.name(),
            patient.born,
            if patient.sex == Sex::Female { 2 } else { 1 },
            visit.day,
            if side == Side::Right { 1 } else { 2 },
            points(foot.total()),
            foot.cast,
            procedure(visit, foot),
        ]
    });
    let mut codes = Page::named("Codes");
    for row in CODE_BOOK {
        codes.heads(&row);
    }
    InventedFile::book(
        "code_book.xlsx",
        "sex, side and act as codes, with a code book",
        &[page, codes],
        truth,
    )
    .answers(&[
        ("coding: SEX", "", "1 male 2 female"),
        ("coding: FOOT", "", "1 right 2 left 3 both"),
        ("unused: scores", "", "done"),
        ("PROC", "1", "cast"),
        ("PROC", "2", "tenotomy and cast"),
        ("PROC", "3", "brace fitted"),
        ("PROC", "4", "review"),
        ("PROC", "5", "relapse and cast"),
    ])
}

/// The age at each visit in weeks, and no day of birth.
fn age_in_weeks() -> InventedFile {
    let clinic = Clinic::new(42, 8, &NAMES_EN, |n| format!("AW{:02}", 40 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "Age (weeks)", "Sex", "Date", "Side", "Pirani", "Cast no", "Done"]);
    for (patient, visit) in clinic.visits() {
        for (&side, foot) in &visit.feet {
            let place = page.next();
            let weeks = u32::try_from(visit.day.number() - patient.born.number()).unwrap() / 7;
            page.row(cells![
                patient.number.as_str(),
                patient.name(),
                weeks,
                if patient.sex == Sex::Female { "girl" } else { "boy" },
                visit.day,
                side_word(Sides::from(side), ["Rt", "Lt", ""]),
                points(foot.total()),
                foot.cast,
                super::english::ENGLISH.of_foot(visit, foot, false),
            ]);
            patient.tell_some(&mut truth, place, &[FactKind::Child, FactKind::Sex]);
            truth.born_about.insert(patient.number.clone(), patient.born);
            let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
            patient.tell_foot(&mut truth, place, visit, side, &kinds);
            patient.tell_brace(&mut truth, place, visit);
        }
    }
    InventedFile::text("age_in_weeks.csv", "age in weeks, no day of birth", csv(&page, ','), truth)
}

/// One measurement a row, and the side within the name of what was measured.
fn long_with_side_in_item() -> InventedFile {
    let clinic = Clinic::new(43, 5, &NAMES_EN, |n| format!("L{:02}", 60 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["patient_id", "patient_name", "birth_date", "sex", "visit_date", "measurement", "result"]);
    for (patient, visit) in clinic.visits() {
        for (side, foot) in &visit.feet {
            let what = |what: &str| format!("{what} {}", side.word());
            let mut put = |item: String, value: String, kind: FactKind, told: String| {
                let place = page.next();
                page.row(long_row(patient, visit, item, value));
                patient.tell(&mut truth, place);
                truth.put(Fact::of_foot(kind, &patient.number, *side, visit.day), told, place);
            };
            let total = halves(foot.total());
            put(what("Pirani total"), total.clone(), FactKind::Total, total);
            if let Some(number) = foot.cast {
                put(what("Cast number"), number.to_string(), FactKind::Cast, number.to_string());
            }
            if foot.tenotomy {
                put(what("Tenotomy"), "yes".to_owned(), FactKind::Tenotomy, "yes".to_owned());
            }
            if foot.relapse {
                put(what("Relapse"), "yes".to_owned(), FactKind::Relapse, "yes".to_owned());
            }
        }
        if visit.brace {
            let place = page.next();
            page.row(long_row(patient, visit, "Brace fitted".to_owned(), "yes".to_owned()));
            patient.tell_brace(&mut truth, place, visit);
        }
    }
    InventedFile::text(
        "long_items.csv",
        "one measurement a row, side within the item",
        csv(&page, ','),
        truth,
    )
}

fn long_row(patient: &Patient, visit: &Visit, item: String, value: String) -> Vec<crate::corpus::sheet::Put> {
    cells![
        patient.number.as_str(),
        patient.name(),
        slashed(patient.born),
        patient.sex.key(),
        slashed(visit.day),
        item,
        value,
    ]
}
