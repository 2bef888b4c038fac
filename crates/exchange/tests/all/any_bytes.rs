//! Nothing panics, whatever the bytes; whatever the table, the plan keeps its promises.

use crate::common::import_table;
use exchange::{MapFile, Nothing, export_csv, read_table, refused_rows_csv};
use proptest::prelude::*;

fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[0-9.,/½-]{0,10}",
        "(0|0.5|1|½|.5|1.5)",
        "[0-3]?[0-9]/[01]?[0-9]/20[12][0-9]",
        "(R|L|B|D|I|G|both|left|derecho|X)",
        "(cast|POP|tenotomy|FAB 23h|review|DNA|no cast|relapse|died)",
        "\\PC{0,12}",
        "(By, Ole|Moe, Ida|Vint)",
    ]
}

const HEADS: [&str; 20] = [
    "Hosp No",
    "Name",
    "DOB",
    "Visit",
    "Side",
    "PC",
    "EH",
    "RE",
    "MC",
    "CLB",
    "LHT",
    "Total",
    "Cast no",
    "Done",
    "Remarks",
    "Date 1",
    "Pirani 1",
    "Cast 1",
    "Brace hours",
    "Tenotomy date",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        if let Ok(table) = read_table(&bytes, "any", None) {
            let plan = import_table(&table, None, &Nothing);
            let _ = refused_rows_csv(&table, &plan.report);
        }
    }

    #[test]
    fn any_text(text in "(\\PC|[,;\t\"\n\r]){0,300}") {
        if let Ok(table) = read_table(text.as_bytes(), "any", None) {
            import_table(&table, None, &Nothing);
        }
        let _ = MapFile::from_toml(&text);
    }

    #[test]
    fn any_table(rows in proptest::collection::vec(proptest::collection::vec(cell(), 20), 1..8)) {
        let mut text = HEADS.join("\t");
        for row in &rows {
            text.push('\n');
            let cells: Vec<String> = row.iter().map(|cell| cell.replace(['\t', '\n', '\r', '"'], " ")).collect();
            text.push_str(&cells.join("\t"));
        }
        if let Ok(table) = read_table(text.as_bytes(), "any", None) {
            let plan = import_table(&table, None, &Nothing);
            let known = crate::common::Memory(plan.entries.clone());
            let again = import_table(&table, None, &known);
            prop_assert_eq!(again.entries, Vec::new());
            let own: Vec<_> = plan.entries.iter().take(1).map(|e| (e.child, plan.entries.as_slice())).collect();
            let _ = export_csv(&own);
        }
    }
}
