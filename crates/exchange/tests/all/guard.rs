//! No file that this program writes runs in a spreadsheet program, and what was guarded comes back as it was.

use crate::common::{day, import, import_table, stamp, table};
use exchange::{Nothing, export_csv, guarded, read_table, refused_rows_csv};
use record::*;
use uuid::Uuid;

/// Texts that a spreadsheet program could run, or that begin as such ones do.
const RISKY: [&str; 16] = [
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "\t=1+1",
    "\r=1+1",
    "  =1+1",
    "\u{a0}=1+1",
    "\u{200b}=1+1",
    "\u{202e}\u{feff}=1+1",
    "\u{ff1d}1+1",
    "\u{ff0b}1+1",
    "\u{ff0d}1+1",
    "\u{ff20}SUM(A1)",
    "=cmd|' /C calc'!A0",
    "'=1+1",
];

/// The cells of a line of CSV that was quoted as this program does.
fn cells(line: &str) -> Vec<String> {
    let (mut cells, mut cell, mut quoted) = (Vec::new(), String::new(), false);
    let mut chars = line.chars().peekable();
    while let Some(char) = chars.next() {
        match char {
            '"' if quoted && chars.peek() == Some(&'"') => cell.extend(chars.next()),
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(std::mem::take(&mut cell)),
            other => cell.push(other),
        }
    }
    cells.push(cell);
    cells
}

/// The first character that a person sees, as a spreadsheet program may look at it.
fn runs(cell: &str) -> bool {
    let seen = cell.trim_start_matches(|char: char| {
        char.is_whitespace() || char.is_control() || "\u{200b}\u{202e}\u{feff}".contains(char)
    });
    let begins = seen.starts_with(['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}']);
    (begins || cell.starts_with(['\t', '\r', '\n'])) && cell.trim().parse::<f64>().is_err()
}

#[test]
fn what_begins_like_a_formula_is_guarded_and_numbers_stay_numbers() {
    for text in RISKY {
        assert!(runs(text) || text.starts_with('\''), "the test knows it: {text:?}");
        assert_eq!(guarded(text.to_owned()), format!("'{text}"));
        assert!(!runs(&guarded(text.to_owned())), "{text:?}");
    }
    for text in ["-5", "+5", "-0.5", " -5", "1e3", "12.5", "2025-02-18", "Amina", "5 - 6", "a=b", "", "–"] {
        assert_eq!(guarded(text.to_owned()), text);
    }
}

#[test]
fn an_export_runs_nothing_and_comes_back_as_it_was() {
    for text in RISKY {
        let stamp = stamp();
        let child = ChildId::new(Uuid::from_u128(5));
        let entry = |id: u128, body: Body| Entry {
            id: EntryId::new(Uuid::from_u128(id)),
            child,
            body,
            on: day("2025-01-13"),
            at: stamp.at,
            by: stamp.by,
            site: stamp.site,
            follows: None,
        };
        let born = Registration {
            family_name: text.trim().to_owned(),
            given_name: "Ole".to_owned(),
            numbers: vec!["0041".to_owned()],
            address: Some(text.trim().to_owned()),
            ..Registration::default()
        };
        let entries = vec![entry(1, born.into())];
        let csv = export_csv(&[(child, &entries)]);
        let wrong: Vec<String> = csv
            .trim_start_matches('\u{feff}')
            .split("\r\n")
            .flat_map(cells)
            .filter(|cell| runs(cell))
            .collect();
        assert_eq!(wrong, Vec::<String>::new(), "{text:?}");
        assert!(csv.contains(&format!("'{}", text.trim().replace('"', "\"\""))), "{text:?}: {csv}");
    }
}

#[test]
fn refused_rows_run_nothing_and_are_read_again_as_they_came() {
    let head = "Hosp No,Name,Date,Side,Total,Remarks,=HYPERLINK(1)\n";
    for text in RISKY {
        let quoted = format!("\"{}\"", text.replace('"', "\"\""));
        let sheet = format!("{head}1,{quoted},2024-01-13,R,99,{quoted},x\n2,Bo Vint,2024-01-13,R,4,,\n");
        let first = import(&sheet);
        let refused = refused_rows_csv(&table(&sheet), &first.report);
        assert!(!refused.is_empty(), "{text:?}");
        let lines = refused.trim_start_matches('\u{feff}').split("\r\n");
        let wrong: Vec<String> = lines.flat_map(cells).filter(|cell| runs(cell)).collect();
        assert_eq!(wrong, Vec::<String>::new(), "{text:?}: {refused}");
        // Once more, as after it was opened and saved: the guard does not grow.
        let again = read_table(refused.as_bytes(), "again.csv", None).unwrap();
        let second = import_table(&again, None, &Nothing);
        let twice = refused_rows_csv(&again, &second.report);
        let guards = |text: &str| text.matches("''").count();
        assert_eq!(guards(&twice), guards(&refused), "{text:?}: {twice}");
    }
}
