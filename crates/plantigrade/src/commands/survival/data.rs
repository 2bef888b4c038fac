//! From columns of a table to the input of the methods.

use super::results::DroppedRows;
use crate::{
    cli::SurvivalArgs,
    columns::{ColumnKind, DataColumn, DataTable, UsedRows},
    exit::Failure,
};
use std::borrow::Cow;

/// The table with the options of the command.
pub struct Data<'a> {
    pub args: &'a SurvivalArgs,
    pub table: DataTable,
    /// 0 censored, else the event or the number of the cause; also 0 if the code is missing, which
    /// [`DataTable::complete`] knows.
    cause: Vec<u32>,
    pub causes: Vec<String>,
}

/// Rows with a value in every column that a method needs.
pub struct Rows<'a> {
    pub start: Option<Cow<'a, [f64]>>,
    pub stop: Cow<'a, [f64]>,
    pub cause: Cow<'a, [u32]>,
    pub event: Vec<bool>,
    pub strata: Option<Cow<'a, [u32]>>,
    pub cluster: Option<Cow<'a, [u32]>>,
    pub clusters: usize,
    pub rows: UsedRows,
    /// What was left out and why.
    pub dropped: DroppedRows,
}

impl<'a> Data<'a> {
    pub fn read(args: &'a SurvivalArgs) -> Result<Self, Failure> {
        let mut wanted: Vec<(&str, ColumnKind)> =
            vec![(&args.time, ColumnKind::Number), (&args.event, ColumnKind::Level)];
        wanted.extend(args.start.iter().map(|name| (name.as_str(), ColumnKind::Number)));
        let levels = [&args.by, &args.strata, &args.cluster];
        wanted.extend(levels.into_iter().flatten().map(|name| (name.as_str(), ColumnKind::Level)));
        for name in &args.cox {
            // A column may both group and be a covariate; then it is read as levels.
            if !wanted.iter().any(|(known, _)| known == name) {
                wanted.push((name, ColumnKind::Either));
            }
        }
        if args.event == args.time || args.start.as_ref() == Some(&args.time) {
            return Err(Failure::usage("The time, the start and the event must be different columns."));
        }
        let table = DataTable::read(&args.file, &wanted)?;
        if table.rows == 0 {
            return Err(Failure::refused("There are no rows below the header."));
        }
        let mut data = Self { args, table, cause: Vec::new(), causes: args.causes.clone() };
        data.cause = data.read_causes()?;
        data.check_times()?;
        Ok(data)
    }

    /// The meaning of each row's event code.
    fn read_causes(&self) -> Result<Vec<u32>, Failure> {
        let DataColumn::Levels(levels, codes) = self.table.column(&self.args.event)? else {
            return Err(Failure::failed("The event was not read as codes."));
        };
        for cause in &self.causes {
            if !levels.iter().any(|level| same_code(level, cause)) {
                return Err(Failure::refused(format!(
                    "The cause {cause} never occurs in column {}. Its codes are: {}.",
                    self.args.event,
                    levels.join(", ")
                )));
            }
        }
        let meanings: Vec<Option<u32>> = levels.iter().map(|level| self.meaning(level)).collect();
        let read = |(row, code): (usize, &u32)| match meanings.get(*code as usize) {
            None => Ok(0),
            Some(Some(meaning)) => Ok(*meaning),
            Some(None) => Err(self.unknown_code(row, &levels[*code as usize])),
        };
        codes.iter().enumerate().map(read).collect()
    }

    fn meaning(&self, level: &str) -> Option<u32> {
        if same_code(level, &self.args.censored_code) {
            return Some(0);
        }
        if let Some(at) = self.causes.iter().position(|cause| same_code(level, cause)) {
            return Some(at as u32 + 1);
        }
        if !self.causes.is_empty() {
            return None;
        }
        let usual = self.args.event_code == "1" && self.args.censored_code == "0";
        match level.to_lowercase().as_str() {
            _ if same_code(level, &self.args.event_code) => Some(1),
            "true" | "yes" if usual => Some(1),
            "false" | "no" if usual => Some(0),
            _ => None,
        }
    }

    fn unknown_code(&self, row: usize, level: &str) -> Failure {
        let place = self.table.place(row, &self.args.event);
        let censored = &self.args.censored_code;
        Failure::refused(if self.causes.is_empty() {
            format!(
                "“{level}” in {place} is neither {} for the event nor {censored} for censored. If other codes \
                 have these meanings, give them with --event-code and --censored-code, or with --causes if there are \
                 several kinds of event.",
                self.args.event_code
            )
        } else {
            format!(
                "“{level}” in {place} is neither {censored} for censored nor one of the causes {}.",
                self.causes.join(", ")
            )
        })
    }

    fn check_times(&self) -> Result<(), Failure> {
        let time = self.numbers(&self.args.time)?;
        if let Some(row) = time.iter().position(|time| *time < 0.0) {
            let place = self.table.place(row, &self.args.time);
            return Err(Failure::refused(format!("The time {} in {place} is below zero.", time[row])));
        }
        let Some(name) = &self.args.start else { return Ok(()) };
        let start = self.numbers(name)?;
        match start.iter().zip(time).position(|(start, stop)| start >= stop) {
            None => Ok(()),
            Some(row) => Err(Failure::refused(format!(
                "The start {} in {} is not before the time {}.",
                start[row],
                self.table.place(row, name),
                time[row]
            ))),
        }
    }

    fn numbers(&self, name: &str) -> Result<&[f64], Failure> {
        match self.table.column(name)? {
            DataColumn::Numbers(numbers) => Ok(numbers),
            DataColumn::Levels(..) => Err(Failure::failed(format!("Column {name} was not read as numbers."))),
        }
    }

    /// The levels of a column, and those of some rows.
    pub fn levels(&self, name: &str, rows: &UsedRows) -> Result<(&[String], Cow<'_, [u32]>), Failure> {
        match self.table.column(name)? {
            DataColumn::Levels(levels, codes) => Ok((levels, rows.of(codes))),
            DataColumn::Numbers(_) => Err(Failure::failed(format!("Column {name} was not read as levels."))),
        }
    }

    /// The rows with a value in these columns and in those of times and events.
    pub fn rows(&self, also: &[&str]) -> Result<Rows<'_>, Failure> {
        let args = self.args;
        let mut names: Vec<&str> = vec![&args.time, &args.event];
        names.extend(args.start.as_deref());
        names.extend(also);
        let (rows, lacking) = self.table.complete(&names)?;
        let left_out = self.table.rows - rows.len();
        if left_out > 0 && args.missing == crate::cli::Missing::Refuse {
            let words: Vec<String> =
                lacking.iter().map(|(name, count)| format!("{name} in {count} rows")).collect();
            return Err(Failure::refused(format!("Values are missing: {}.", words.join(", "))));
        }
        if rows.is_empty() {
            return Err(Failure::refused("No row has a value in every column that is needed."));
        }
        let stop = rows.of(self.numbers(&args.time)?);
        let start = args.start.as_ref().map(|name| self.numbers(name)).transpose()?;
        let start = start.map(|start| rows.of(start));
        let cause = rows.of(&self.cause);
        let code = |name: &Option<String>| match name {
            Some(name) if also.contains(&name.as_str()) => self.levels(name, &rows).map(Some),
            _ => Ok(None),
        };
        let strata = code(&args.strata)?.map(|(_, codes)| codes);
        let (clusters, cluster) =
            code(&args.cluster)?.map_or((0, None), |(levels, codes)| (levels.len(), Some(codes)));
        let event = cause.iter().map(|cause| *cause > 0).collect();
        let dropped = DroppedRows { rows: left_out, missing_by_column: lacking.into_iter().collect() };
        Ok(Rows { start, stop, cause, event, strata, cluster, clusters, rows, dropped })
    }
}

/// Codes are compared as numbers where both are: 1 and 1.0 are the same.
fn same_code(one: &str, two: &str) -> bool {
    one == two || matches!((one.parse::<f64>(), two.parse::<f64>()), (Ok(a), Ok(b)) if a == b)
}
