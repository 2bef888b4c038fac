//! A table for the statistics commands: columns of numbers and of levels.
#![no_main]

use libfuzzer_sys::fuzz_target;
use plantigrade::columns::{ColumnKind, DataColumn, DataTable};
use std::{fs, path::PathBuf, sync::LazyLock};

static FILE: LazyLock<PathBuf> = LazyLock::new(|| {
    let memory = PathBuf::from("/dev/shm");
    let folder = if memory.is_dir() { memory } else { std::env::temp_dir() };
    folder.join(format!("fuzz-table-{}.csv", std::process::id()))
});

fuzz_target!(|bytes: &[u8]| {
    fs::write(&*FILE, bytes).expect("a file in memory");
    let wanted = [("time", ColumnKind::Number), ("group", ColumnKind::Level), ("x", ColumnKind::Either)];
    for columns in [&wanted[..], &wanted[..1], &wanted[1..2]] {
        let Ok(table) = DataTable::read(&FILE, columns) else { continue };
        assert!(table.rows <= bytes.len(), "more rows than bytes");
        for (name, _) in columns {
            match table.column(name) {
                Ok(DataColumn::Numbers(numbers)) => {
                    assert_eq!(numbers.len(), table.rows);
                    assert!(numbers.iter().all(|number| number.is_nan() || number.is_finite()));
                }
                Ok(DataColumn::Levels(levels, codes)) => {
                    assert_eq!(codes.len(), table.rows);
                    let known = |code: &u32| *code == u32::MAX || (*code as usize) < levels.len();
                    assert!(codes.iter().all(known));
                }
                Err(failure) => panic!("{failure}"),
            }
        }
    }
});
