//! Entries that may be saved, a line each: written to a spreadsheet and planned from it again. Nothing is written that
//! the reader refuses without a reason, and nothing comes back about another foot or another day.
#![no_main]

use exchange::{MapFile, Nothing, export_csv, plan, read_table};
use libfuzzer_sys::fuzz_target;
use record::{Body, ChildId, Entry};
use uuid::Uuid;

fuzz_target!(|text: &str| {
    let child = ChildId::new(Uuid::from_u128(0xc1));
    let entries: Vec<Entry> = text
        .lines()
        .take(12)
        .zip(1_u128..)
        .filter_map(|(line, number)| {
            let entry = Entry::from_json(line).ok()?;
            let id = record::EntryId::new(Uuid::from_u128(number));
            Some(Entry { id, child, follows: None, ..entry })
        })
        .filter(|entry| entry.refusal().is_none() && entry.on <= fuzz::today())
        .collect();
    let named = |entry: &Entry| matches!(entry.body, Body::Registration(_));
    if !entries.iter().any(named) {
        return;
    }
    let text = export_csv(&[(child, &entries)]);
    let Ok(table) = read_table(text.as_bytes(), "export.csv", None) else { return };
    let columns = MapFile::new().apply(&table).expect("an empty map fits every table");
    let mut next = 1_000_u128;
    let mut new_id = || {
        next += 1;
        Uuid::from_u128(next)
    };
    let plan = plan(&table, &columns, &Nothing, &fuzz::stamp(), &mut new_id, &mut |_| {});
    for entry in &plan.entries {
        fuzz::goes_and_comes_back(entry);
    }
    let what = |entry: &Entry| (entry.on, entry.body.side(), entry.kind());
    for read in
        plan.entries.iter().filter(|entry| matches!(entry.body, Body::CastApplied(_) | Body::TenotomyDone(_)))
    {
        assert!(
            entries.iter().any(|entry| what(entry) == what(read)),
            "{:?} comes back and was not written\n{text}",
            what(read)
        );
    }
});
