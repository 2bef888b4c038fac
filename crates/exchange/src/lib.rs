//! Spreadsheets in and out.
//!
//! [`read_table`] turns the bytes of a CSV, XLSX, XLS or ODS file into a [`Table`]; [`guess`] says what
//! each column means and why; [`plan`] turns the rows into entries and a [`Report`] without writing
//! anything; [`refused_rows_csv`] gives back what was not taken in; [`export_csv`] and [`export_xlsx`]
//! write what this importer reads back. [`logger`] reads the files of temperature loggers. All text with
//! delimiters is cut into cells by [`delimited`].
//!
//! It never writes to a store or reads a clock, never guesses a side, a date or a score, and never merges
//! two children. What is already known comes in through [`Known`]. Every row ends as imported, imported
//! with a question, already there, or refused with the reason.
//!
//! Start reading at [`plan`], then `reader` (one row) and `evidence` (the order of day and month).

#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

mod ages;
mod calendars;
mod cell_rules;
mod changed_visits;
mod coding;
mod columns;
mod dates;
pub mod delimited;
mod details;
mod doubts;
mod evidence;
mod export;
mod guess;
mod known;
mod layout;
mod lists;
pub mod logger;
mod map_file;
mod meaning;
mod names;
mod opening;
mod plan;
mod profile;
mod questions;
mod reader;
mod report;
mod sided_scores;
mod sides;
mod table;
mod text;
mod values;
mod words;
mod written;

pub use changed_visits::ChangedVisits;
pub use columns::{Column, ColumnMap};
pub use dates::DateOrder;
pub use evidence::DateDecision;
pub use export::{ExportError, export_csv, export_xlsx};
pub use guess::guess;
pub use known::{HoldingEntry, Known, KnownChild, Nothing, Stamp};
pub use map_file::{MapContents, MapError, MapFile};
pub use meaning::Meaning;
pub use opening::{read_mapped, shaped};
pub use plan::{Plan, plan};
pub use questions::{AnswerChoice, FileQuestion};
pub use report::{
    ADDED_HEADINGS, AlikeRows, Disposition, Dispositions, ImportReason, Person, PossibleMatch, Remark,
    Report, RowReport, refused_rows_csv,
};
pub use table::{
    Cell, CellKind, MOST_BYTES, MOST_CELLS, MOST_COLUMNS, MOST_ROWS, MOST_TEXT_BYTES, ReadError, Source,
    Table, read_table,
};
pub use text::column_letter;
pub use written::{guarded, push_row};
