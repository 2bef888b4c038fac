//! `survival`: time to an event from any table.
//!
//! The keys of the JSON are described in `docs/statistics-commands.md` and do not change.

mod cox;
mod curves;
mod data;
mod text;

pub(super) use text::columns;

use super::{print, print_json};
use crate::{
    cli::{Confidence, SurvivalArgs},
    exit::{Failure, sentence},
};
use data::Data;
use serde_json::{Value, json};
use statistics::survival::{Interval, IntervalScale};

/// Prints curves, tests and regression of one table.
///
/// # Errors
/// A file, column, row or setting that cannot be used. Where only the regression cannot be done, all
/// else is printed first.
pub fn survival(args: &SurvivalArgs) -> Result<(), Failure> {
    let data = Data::read(args)?;
    let interval = interval(args)?;
    let mut notes: Vec<String> = Vec::new();
    let curves = curves::curves(&data, &interval, &mut notes)?;
    let (cox, failure) = match (args.cox.is_empty(), cox::cox(&data, &interval)) {
        (true, _) => (Value::Null, None),
        (false, Ok(cox)) => (cox, None),
        (false, Err(failure)) => {
            notes.push(format!("Cox regression: {failure}"));
            (Value::Null, Some(failure))
        }
    };
    if args.cluster.is_some() && (args.by.is_some() || !args.causes.is_empty()) {
        notes.push(
            "The log-rank test, Gray's test and the cumulative incidence take every row as independent of the \
             others; the curves and the regression allow for clusters."
                .to_owned(),
        );
    }
    let mut whole = json!({
        "program": "plantigrade",
        "version": env!("CARGO_PKG_VERSION"),
        "file": args.file.file_name().map(|name| name.to_string_lossy()),
        "columns": { "time": args.time, "event": args.event, "start": args.start, "by": args.by, "strata": args.strata, "cluster": args.cluster },
        "confidence": { "scale": interval.scale().word(), "level": interval.level() },
        "rows": data.table.rows,
        "cox": cox,
        "notes": notes,
    });
    if let (Value::Object(whole), Value::Object(curves)) = (&mut whole, curves) {
        whole.extend(curves);
    }
    if args.json {
        print_json(&whole)?
    } else {
        print(&text::text(&whole))?
    }
    failure.map_or(Ok(()), Err)
}

fn interval(args: &SurvivalArgs) -> Result<Interval, Failure> {
    let scale = match args.conf {
        Confidence::LogLog => IntervalScale::LogLog,
        Confidence::Log => IntervalScale::Log,
        Confidence::Plain => IntervalScale::Plain,
    };
    Interval::new(scale, args.level).map_err(said)
}

/// What the statistics say, as the command says it.
fn said(error: statistics::StatError) -> Failure {
    Failure::refused(sentence(&error.to_string()))
}
