//! Importing twice adds nothing, whatever came between.

use crate::common::{Memory, import, import_table, of_row, table};
use exchange::{Disposition, refused_rows_csv};
use record::{Body, Correction, Entry, EntryId};

const FILE: &str = "Hosp No,Name,DOB,Date,Side,PC,EH,RE,MC,CLB,LHT,Done,Remarks\n\
    1,\"By, Ole\",2024-01-05,2024-02-01,R,1,1,1,1,1,1,cast,\n\
    1,\"By, Ole\",2024-01-05,2024-02-01,L,1,1,1,1,1,1,cast,first\n\
    1,\"By, Ole\",2024-01-05,2024-02-08,R,1,1,1,0.5,1,1,tenotomy and cast,\n\
    1,\"By, Ole\",2024-01-05,2024-03-01,B,0,0,0,0,0,0,FAB 23h,\n\
    1,\"By, Ole\",2024-01-05,2024-06-01,B,0,0,0,0,0,0,FAB nights,\n\
    2,\"Moe, Ida\",2024-01-09,2024-02-01,,,,,,,,DNA,\n\
    2,\"Moe, Ida\",2024-01-09,2024-02-20,R,7,1,1,1,1,1,cast,\n";

#[test]
fn the_same_file_again() {
    let first = import(FILE);
    let second = import_table(&table(FILE), None, &Memory(first.entries.clone()));
    assert_eq!(second.entries, Vec::new());
    assert_eq!((second.report.dispositions.duplicate, second.report.dispositions.refused), (6, 1));
    assert!(second.report.not_plain.iter().take(6).all(|row| row.remark.reason.key() == "already-there"));
}

#[test]
fn the_same_file_with_rows_added() {
    let known = Memory(import(FILE).entries);
    let longer = format!("{FILE}1,\"By, Ole\",2024-01-05,2024-09-01,B,0,0,0,0,0,0,review,\n");
    let plan = import_table(&table(&longer), None, &known);
    // Two feet assessed, one attendance.
    assert_eq!(plan.entries.len(), 3);
    assert_eq!(plan.report.dispositions.imported, 1);
}

#[test]
fn a_refused_row_mended_and_imported_again() {
    let table_ = table(FILE);
    let first = import(FILE);
    let refused = refused_rows_csv(&table_, &first.report);
    assert!(refused.contains("A sign is 0, 0.5 or 1."), "{refused}");
    let mended = refused.replace(",7,1,1", ",1,1,1");
    let plan = import_table(&table(&mended), None, &Memory(first.entries.clone()));
    assert_eq!((plan.report.rows, plan.report.dispositions.imported, plan.report.assessments), (1, 1, 1));
    assert_eq!(plan.report.columns.iter().filter(|c| c.meaning.is_none()).count(), 0);
    let whole = Memory([first.entries, plan.entries].concat());
    assert_eq!(import_table(&table(&mended), None, &whole).entries, Vec::new());
}

#[test]
fn the_file_of_refused_rows_carries_the_order_of_its_dates() {
    let text = "Hosp No,Name,Date,Side,PC\n1,Ole By,13/02/2024,R,1\n1,Ole By,05/03/2024,R,9\n";
    let first = import(text);
    let refused = refused_rows_csv(&table(text), &first.report).replace(",9,", ",1,");
    let plan = import_table(&table(&refused), None, &Memory(first.entries));
    assert_eq!(plan.entries.iter().map(|e| e.on.to_string()).collect::<Vec<_>>(), ["2024-03-05"]);
}

#[test]
fn an_entry_corrected_since_is_still_there() {
    let mut known = Memory(import(FILE).entries);
    let wrong = known.0.iter().find(|entry| matches!(entry.body, Body::Assessment(_))).unwrap().clone();
    let Body::Assessment(mut body) = wrong.body.clone() else { unreachable!() };
    body.abduction_deg = Some(20);
    let correction =
        Correction { entry: wrong.id, body: Box::new(body.into()), on: None, reason: "misread".to_owned() };
    let id = EntryId::new(uuid::Uuid::from_u128(99));
    known.0.push(Entry { id, body: correction.into(), ..wrong });
    assert_eq!(import_table(&table(FILE), None, &known).entries, Vec::new());
}

#[test]
fn the_same_row_twice_in_one_file() {
    let text = "Hosp No,Name,Date,Side,Total\n1,Ole By,2024-02-13,R,4\n1,Ole By,2024-02-13,L,4\n1,Ole By,2024-02-13,R,4\n";
    let plan = import(text);
    assert_eq!(of_row(&plan, 4), Some((Disposition::Duplicate, "same-row-again")));
    assert_eq!(plan.report.assessments, 2);
}
