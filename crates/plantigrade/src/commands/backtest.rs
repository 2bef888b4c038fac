//! `backtest`: how well the forecasts would have done on the clinic's own past.

use super::{Reading, print, print_sorted};
use crate::{cli::BacktestArgs, clock::Clock, demo, exit::Failure};
use forecast::backtest::{BacktestReport, Followed, WindowScore, Windows, backtest as replay};
use forecast::natural_history::Parameters;
use guidance::CAUTION;
use record::{ChildId, Day, Entry};
use serde::Serialize;
use std::{collections::BTreeMap, fmt::Write as _};

/// Children read at a time, to limit memory.
const AT_A_TIME: usize = 2_048;

/// Tests the forecasts on the past and prints the result.
///
/// # Errors
/// When the records cannot be read.
pub fn backtest(args: &BacktestArgs) -> Result<(), Failure> {
    let today = Clock::new(args.signed.data.today).today();
    let (followed, what) = if args.demo {
        let what = format!("invented clinic, seed {}, {} children", args.seed, args.children);
        (invented(args, today), what)
    } else {
        (recorded(args, today)?, "the clinic's records".to_owned())
    };
    let report = replay(&Parameters::published(), &followed, today.number());
    let result = BacktestResult { report, as_of: today, of: what };
    if args.json { print_sorted(&result) } else { print(&as_text(&result)) }
}

/// The result of the test.
#[derive(Debug, Serialize)]
struct BacktestResult {
    #[serde(flatten)]
    report: BacktestReport,
    as_of: Day,
    /// Which clinic it was, in words.
    of: String,
}

/// Children of the invented clinic.
fn invented(args: &BacktestArgs, today: Day) -> Vec<Followed> {
    let mut children: BTreeMap<ChildId, Vec<Entry>> = BTreeMap::new();
    for entry in demo::clinic(args.children as usize, args.seed, today) {
        children.entry(entry.child).or_default().push(entry);
    }
    Followed::of_clinic(&children.into_iter().collect::<Vec<_>>(), today)
}

fn recorded(args: &BacktestArgs, today: Day) -> Result<Vec<Followed>, Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let (mut followed, mut batch) = (Vec::new(), Vec::with_capacity(AT_A_TIME));
    reading.records.for_each_child(&mut |child, entries| {
        batch.push((child, entries));
        if batch.len() == AT_A_TIME {
            followed.extend(Followed::of_clinic(&batch, today));
            batch.clear();
        }
    })?;
    followed.extend(Followed::of_clinic(&batch, today));
    Ok(followed)
}

/// A figure with `digits` decimal places, or a dash if there is none.
fn figure(value: Option<f64>, digits: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{value:.digits$}"))
}

fn percent(value: Option<f64>) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{:.1} %", 100.0 * value))
}

fn as_text(result: &BacktestResult) -> String {
    let BacktestResult { report, as_of, of } = result;
    let mut text = format!(
        "How well the forecasts would have done: {of}, as known on {}.\n\
         {} finished feet of {} children, forecast again on {} days of their casting; {} children unfinished.\n\n",
        as_of.words(),
        report.feet,
        report.children,
        report.forecasts,
        report.unfinished
    );
    windows(&mut text, report);
    // Writing to a string does not fail.
    let casts = &report.casts;
    let _ = writeln!(text, "\nCasts still to come, mean error in casts ({} forecasts)", casts.n);
    let _ = writeln!(text, "  {:28}{:>8}", "forecast", figure(casts.mean_abs_error, 2));
    for plain in &casts.baselines {
        let _ = writeln!(text, "  {:28}{:>8}", plain.name, figure(plain.mean_abs_error, 2));
    }
    tenotomy(&mut text, report);
    let _ = writeln!(
        text,
        "\nShare of the forecast taken from the clinic's own counts: {}",
        percent(Some(report.own_counts_share))
    );
    for note in &report.notes {
        let _ = writeln!(text, "- {note}");
    }
    let _ = writeln!(text, "\nVersion {}. {CAUTION}", report.version);
    text
}

fn windows(text: &mut String, report: &BacktestReport) {
    let _ = writeln!(
        text,
        "Windows {:>26}{:>10}{:>10}{:>10}{:>10}{:>10}",
        "number", "50 %", "stated", "90 %", "stated", "days"
    );
    let rows: [(&str, &Windows); 6] = [
        ("all", &report.windows),
        ("end of casting", &report.by_event.ready),
        ("tenotomy", &report.by_event.tenotomy),
        ("brace", &report.by_event.brace),
        ("first 50 feet", &report.first_windows),
        ("after 100 feet", &report.later_windows),
    ];
    for (name, both) in rows {
        let WindowScore { n, coverage, stated, .. } = both.fifty;
        let ninety = both.ninety;
        let _ = writeln!(
            text,
            "  {name:20}{n:>12}{:>10}{:>10}{:>10}{:>10}{:>10}",
            percent(coverage),
            percent(stated),
            percent(ninety.coverage),
            percent(ninety.stated),
            figure(ninety.mean_days, 1)
        );
    }
}

fn tenotomy(text: &mut String, report: &BacktestReport) {
    let tenotomy = &report.tenotomy;
    let _ =
        writeln!(text, "\nTenotomy, lower is better ({} forecasts){:>9}{:>8}", tenotomy.n, "log", "Brier");
    let _ = writeln!(
        text,
        "  {:38}{:>8}{:>8}",
        "forecast",
        figure(tenotomy.log_score, 3),
        figure(tenotomy.brier, 3)
    );
    for plain in &tenotomy.baselines {
        let _ = writeln!(
            text,
            "  {:38}{:>8}{:>8}",
            plain.name,
            figure(plain.log_score, 3),
            figure(plain.brier, 3)
        );
    }
    let reliability = &tenotomy.reliability;
    let _ = writeln!(
        text,
        "  reliability: slope {} (best 1), intercept {} (best 0)",
        figure(reliability.slope, 2),
        figure(reliability.intercept, 2)
    );
    let _ = writeln!(text, "  chance given{:>14}{:>12}{:>12}", "number", "mean given", "happened");
    for row in reliability.table.iter().filter(|row| row.n > 0) {
        let band = format!("{:.0}–{:.0} %", 100.0 * row.from, 100.0 * row.to);
        let _ = writeln!(
            text,
            "  {band:16}{:>10}{:>12}{:>12}",
            row.n,
            percent(row.mean_chance),
            percent(row.happened)
        );
    }
}
