//! `import`: bring in a spreadsheet.

use super::{import_undo, print, print_json};
use crate::{
    app,
    cli::ImportArgs,
    clock::Clock,
    exit::Failure,
    folder_key,
    importing::{self, UploadedSheet},
};
use clinic::{ArchiveError, ClinicRecords};
use exchange::Report;
use indicatif::{ProgressBar, ProgressStyle};
use record::UserId;
use std::{
    fmt::Write as _,
    path::{Path, PathBuf},
};

/// Remarks on rows, and pairs of children, listed in the text report.
const REMARKS_LISTED: usize = 50;

/// Brings in a file, or says what would be brought in. The entries are written by who signed in to the command.
///
/// # Errors
/// When the file or the records cannot be used; and, after everything else went in, when rows were
/// refused.
pub fn import(args: &ImportArgs, signed_in: Option<UserId>) -> Result<(), Failure> {
    if args.list {
        return import_undo::list(args);
    }
    match (args.undo, &args.file) {
        (Some(id), _) => import_undo::undo(args, id, signed_in),
        (None, Some(file)) => import_file(args, file, signed_in),
        (None, None) => Err(Failure::usage("A file to import is needed.")),
    }
}

fn import_file(args: &ImportArgs, file: &Path, signed_in: Option<UserId>) -> Result<(), Failure> {
    let clock = Clock::new(args.signed.data.today);
    let sheet = read(args, file)?;
    let dir = args.signed.data.dir()?;
    let report =
        if args.check_only { look(&sheet, &dir, clock)? } else { bring_in(&sheet, &dir, clock, signed_in)? };
    let refused = report.dispositions.refused;
    let refused_file = match sheet.refused(&report).filter(|_| !args.check_only) {
        Some(text) => Some(write_refused(file, &dir, &text)?),
        None => None,
    };
    if args.json {
        print_json(&report)?
    } else {
        print(&as_text(&report, args.check_only))?
    }
    let open: Vec<&str> = report
        .questions
        .iter()
        .filter(|question| question.blocks)
        .map(|question| question.text.as_str())
        .collect();
    let open = open.first().map(|first| unanswered(open.len(), first));
    if refused == 0 {
        return open.map_or(Ok(()), |open| Err(Failure::refused(open)));
    }
    let written = refused_file.map(|path| {
        format!(
            " They are in {}, with the reasons, to be corrected and imported again. That file is not encrypted: delete it then.",
            path.display()
        )
    });
    let were = if args.check_only { "would be" } else { "were" };
    let open = open.map(|open| format!(" {open}")).unwrap_or_default();
    Err(Failure::refused(format!("{refused} rows {were} refused.{}{open}", written.unwrap_or_default())))
}

/// What stays out because a question about the file is open.
fn unanswered(count: usize, first: &str) -> String {
    let questions = if count == 1 { "1 question is".to_owned() } else { format!("{count} questions are") };
    crate::exit::sentence(&format!(
        "{questions} open, and what they are about was not taken in: {first} Answer in a map file and import the file again"
    ))
}

fn read(args: &ImportArgs, file: &Path) -> Result<UploadedSheet, Failure> {
    let bytes = importing::read_file(file)?;
    let map = args.columns.as_ref().map(|path| {
        let text = std::fs::read_to_string(path);
        text.map_err(|error| Failure::failed(format!("{} cannot be read: {error}.", path.display())))
    });
    let map = map.transpose()?;
    let map_name = args.columns.as_ref().map(|path| path.display().to_string()).unwrap_or_default();
    let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    UploadedSheet::read(&bytes, &name, map.as_deref().map(|text| (map_name.as_str(), text)))
}

/// What would be brought in. Where there are no records yet every child is new.
fn look(sheet: &UploadedSheet, dir: &Path, clock: Clock) -> Result<Report, Failure> {
    let protocol = app::protocol(dir)?;
    let records = match ClinicRecords::open_for_reading(dir, protocol, folder_key::database_key(dir)?) {
        Ok(records) => Some(records),
        Err(ArchiveError::NoRecords(_)) => None,
        Err(error) => return Err(error.into()),
    };
    let (bar, records) = (bar(sheet), records.as_ref());
    let plan = sheet
        .plan(records, &importing::looking_stamp(clock), clock, &mut |done| bar.set_position(done as u64))?;
    bar.finish_and_clear();
    Ok(plan.report)
}

fn bring_in(
    sheet: &UploadedSheet,
    dir: &Path,
    clock: Clock,
    signed_in: Option<UserId>,
) -> Result<Report, Failure> {
    let records = super::open_to_record(dir, clock)?;
    let stamp = importing::command_line_stamp(&records, clock, signed_in)?;
    let bar = bar(sheet);
    let plan = sheet.plan(Some(&records), &stamp, clock, &mut |done| bar.set_position(done as u64))?;
    bar.set_message("writing entries");
    bar.set_length(plan.entries.len() as u64);
    let about = importing::new_import(&plan.report, &stamp, clock);
    records.import_file(plan.entries, about, &mut |done| bar.set_position(done as u64))?;
    bar.finish_and_clear();
    Ok(plan.report)
}

/// A bar on standard error; the library shows none where that is no terminal.
fn bar(sheet: &UploadedSheet) -> ProgressBar {
    let bar = ProgressBar::new(sheet.table.rows().count() as u64).with_message("reading rows");
    let style = ProgressStyle::with_template("{msg} {wide_bar} {pos}/{len}");
    bar.with_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()))
}

/// Writes the refused rows beside the file, or with the records where that folder may not be written; never over a file
/// that is there. They are written as they are, for a spreadsheet, and so never into the folder of encrypted records.
fn write_refused(file: &Path, dir: &Path, text: &str) -> Result<PathBuf, Failure> {
    let stem = file.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let beside = file.parent().map(Path::to_path_buf).unwrap_or_default();
    let else_here =
        |error| if folder_key::is_encrypted(dir) { Err(error) } else { write_new(dir, &stem, text) };
    write_new(&beside, &stem, text).or_else(else_here).map_err(|error| {
        Failure::failed(format!(
            "The rows went in, but the file of refused rows could not be written: {error}."
        ))
    })
}

fn write_new(dir: &Path, stem: &str, text: &str) -> std::io::Result<PathBuf> {
    use std::io::Write as _;
    for number in 1..1000 {
        let name =
            if number == 1 { format!("{stem}.refused.csv") } else { format!("{stem}.refused-{number}.csv") };
        let path = dir.join(name);
        match clinic::private_options().write(true).create_new(true).open(&path) {
            Ok(mut out) => {
                return out.write_all(text.as_bytes()).and_then(|()| out.sync_all()).map(|()| path);
            }
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(std::io::ErrorKind::AlreadyExists.into())
}

// Writing to a string does not fail, so its result is let go throughout.
fn as_text(report: &Report, check_only: bool) -> String {
    let mut text = String::new();
    let counts = report.dispositions;
    let _ = writeln!(text, "{}{}", report.source.file, if check_only { ": nothing was written" } else { "" });
    for line in importing::read_as(report) {
        let _ = writeln!(text, "  {line}");
    }
    let _ = writeln!(text, "\nColumns");
    for column in &report.columns {
        let header = if column.header.is_empty() { &column.letter } else { &column.header };
        let _ = writeln!(text, "  {:4} {header:20} {} ({})", column.letter, column.words(), column.reason);
    }
    let _ = writeln!(
        text,
        "\n{} rows: {} imported, {} imported with a question, {} already there, {} refused",
        report.rows, counts.imported, counts.question, counts.duplicate, counts.refused
    );
    let _ = writeln!(
        text,
        "{} children ({} new), {} affected feet, {} assessments, {} entries",
        report.children, report.new_children, report.affected_feet, report.assessments, report.entries
    );
    for question in &report.questions {
        let choices: Vec<&str> = question.choices.iter().map(|choice| choice.key.as_str()).collect();
        let rows: Vec<String> = question.rows.iter().map(ToString::to_string).collect();
        let _ = writeln!(
            text,
            "  question “{}” (× {}, rows {} …): {} [{}]",
            question.id,
            question.count,
            rows.join(", "),
            question.text,
            choices.join(" | ")
        );
    }
    remarks_as_text(report, &mut text);
    for pair in report.matches.iter().take(REMARKS_LISTED) {
        let _ = writeln!(text, "  may be the same child: {}", pair.text);
    }
    if report.possible_matches > REMARKS_LISTED {
        let _ = writeln!(text, "  and {} more pairs", report.possible_matches - REMARKS_LISTED);
    }
    text
}

/// The remarks on rows, a line for all rows with the same one.
fn remarks_as_text(report: &Report, text: &mut String) {
    let alike_rows = report.alike_rows();
    for alike in alike_rows.iter().take(REMARKS_LISTED) {
        let (remark, rows) = (alike.remark, if alike.rows.len() == 1 { "row" } else { "rows" });
        let sheet = alike.sheet.map(|sheet| format!("sheet “{sheet}”, ")).unwrap_or_default();
        let column = remark.column.as_ref().map(|column| format!(", column {column}")).unwrap_or_default();
        let value = remark.value.as_ref().filter(|value| !value.is_empty());
        let value = value.map(|value| format!(" “{value}”")).unwrap_or_default();
        let _ = writeln!(
            text,
            "  {sheet}{rows} {}{column}{value}: {}: {}",
            alike.rows_words(),
            alike.disposition.words(),
            remark.text
        );
    }
    if alike_rows.len() > REMARKS_LISTED {
        let _ = writeln!(text, "  and {} more remarks; --json lists all", alike_rows.len() - REMARKS_LISTED);
    }
}
