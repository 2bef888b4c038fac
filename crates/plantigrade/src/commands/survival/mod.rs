//! `survival`: time to an event from any table.
//!
//! The keys of the JSON are described in `docs/statistics-commands.md` and do not change.

mod cox;
mod curves;
mod data;
mod results;
mod text;

pub(super) use results::DroppedRows;
pub(super) use text::columns;

use super::{print, print_sorted};
use crate::{
    cli::{Confidence, SurvivalArgs},
    exit::{Failure, sentence},
};
use data::Data;
use results::{ConfidenceResult, CoxResult, SurvivalColumns, SurvivalResult};
use statistics::survival::{Interval, IntervalScale};

/// Prints curves, tests and regression of one table.
///
/// # Errors
/// A file, column, row or setting that cannot be used. If only the regression fails, everything else is
/// printed first.
pub fn survival(args: &SurvivalArgs) -> Result<(), Failure> {
    let data = Data::read(args)?;
    let interval = interval(args)?;
    let mut notes: Vec<String> = Vec::new();
    let curves = curves::curves(&data, &interval, &mut notes)?;
    let (cox, failure) = regression(&data, &interval, &mut notes);
    if args.cluster.is_some() && (args.by.is_some() || !args.causes.is_empty()) {
        notes.push(
            "The log-rank test, Gray's test and the cumulative incidence treat rows as independent; the curves and \
             the regression allow for clusters."
                .to_owned(),
        );
    }
    let whole = SurvivalResult {
        program: "plantigrade",
        version: env!("CARGO_PKG_VERSION"),
        file: args.file.file_name().map(|name| name.to_string_lossy().into_owned()),
        columns: SurvivalColumns::from(args),
        confidence: ConfidenceResult { scale: interval.scale().word(), level: interval.level() },
        rows: data.table.rows,
        cox,
        notes,
        curves,
    };
    if args.json {
        print_sorted(&whole)?
    } else {
        print(&text::text(&whole))?
    }
    failure.map_or(Ok(()), Err)
}

/// The regression if one was requested. If it fails, the reason is a note and the failure of the command.
fn regression(
    data: &Data,
    interval: &Interval,
    notes: &mut Vec<String>,
) -> (Option<CoxResult>, Option<Failure>) {
    if data.args.cox.is_empty() {
        return (None, None);
    }
    match cox::cox(data, interval) {
        Ok(cox) => (Some(cox), None),
        Err(failure) => {
            notes.push(format!("Cox regression: {failure}"));
            (None, Some(failure))
        }
    }
}

impl From<&SurvivalArgs> for SurvivalColumns {
    fn from(args: &SurvivalArgs) -> Self {
        Self {
            time: args.time.clone(),
            event: args.event.clone(),
            start: args.start.clone(),
            by: args.by.clone(),
            strata: args.strata.clone(),
            cluster: args.cluster.clone(),
        }
    }
}

fn interval(args: &SurvivalArgs) -> Result<Interval, Failure> {
    let scale = match args.conf {
        Confidence::LogLog => IntervalScale::LogLog,
        Confidence::Log => IntervalScale::Log,
        Confidence::Plain => IntervalScale::Plain,
    };
    Interval::new(scale, args.level).map_err(refused)
}

/// An error of the statistics as a failure of the command.
fn refused(error: statistics::StatError) -> Failure {
    Failure::refused(sentence(&error.to_string()))
}
