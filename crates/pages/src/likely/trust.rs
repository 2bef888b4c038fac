//! How good the forecasts were: every finished foot forecast again from what was known then.

use super::sentences::percent;
use crate::{Frame, frame, ink, parts, words};
use forecast::backtest::{BacktestReport, Decile, WindowScore};
use maud::{Markup, html};
use record::Day;

/// Fewer feet than this say little about how good forecasts are. Assumed: with 30 feet the standard
/// error of a coverage of 90 % is about 5 points.
const FEW_FEET: usize = 30;

/// What is known of how the forecasts did.
#[derive(Debug, Clone)]
pub enum ForecastsView<'a> {
    /// It is being worked out; the page asks again by itself.
    Working {
        /// Children looked at.
        children: usize,
    },
    /// It is known.
    Done {
        /// The report.
        report: &'a BacktestReport,
        /// The day as of which the past was looked at.
        as_of: Day,
        /// What was left out for speed, in a sentence.
        left_out: Option<String>,
    },
}

/// The page on how far to trust a forecast.
#[must_use]
pub fn forecasts(frame: &Frame, view: &ForecastsView<'_>) -> Markup {
    let body = html! {
        h1 { "How good the forecasts were" }
        p.lead {
            "Every foot that came through its first casts here is forecast again as of each day it was seen, from what was written by then and from what the clinic knew of other feet before, and compared with what came."
        }
        @match view {
            ForecastsView::Working { children } => (working(*children)),
            ForecastsView::Done { report, as_of, left_out } => (done(report, *as_of, left_out.as_deref())),
        }
        (parts::caution())
    };
    frame::page(frame, "How good the forecasts were", &body)
}

fn working(children: usize) -> Markup {
    html! {
        p.message.note role="status" {
            "This is being worked out from the records of " (words::count(children as i64, "child", "children"))
            " and takes a moment. " a href="/forecasts" { "Look again" }
        }
    }
}

fn done(report: &BacktestReport, as_of: Day, left_out: Option<&str>) -> Markup {
    html! {
        p.trust-basis {
            (words::count(report.feet as i64, "finished foot", "finished feet")) " of "
            (words::count(report.children as i64, "child", "children")) ", "
            (words::count(report.forecasts as i64, "day", "days")) " forecast again; as of " (words::day(as_of))
            "; program " (report.version) "."
        }
        @if report.feet == 0 {
            p { "No foot has come through its first casts here yet. Until some have, every forecast is the published prior talking." }
        } @else {
            @if report.feet < FEW_FEET {
                p.message.warning { "So few feet say little: one foot more or less moves these figures." }
            }
            (verdicts(report))
            (windows(report))
            (tenotomy(report))
            (casts(report))
        }
        (how(report, left_out))
    }
}

/// The figures in sentences.
fn verdicts(report: &BacktestReport) -> Markup {
    let best = report.tenotomy.baselines.iter().filter_map(|plain| plain.log_score).reduce(f64::min);
    html! {
        section.card aria-labelledby="trust-short" {
            h2 id="trust-short" { "In short" }
            ul.plain {
                @if let Some(share) = report.windows.ninety.coverage {
                    li { "Days said to be nine in ten came true in " strong { (format!("{:.0}", share * 100.0)) " of 100" } "." }
                }
                @if let Some(error) = report.casts.mean_abs_error {
                    li {
                        "The number of casts to come was off by " strong { (format!("{error:.1}")) " casts" } " on average; "
                        (words::join(&report.casts.baselines.iter().filter_map(|plain| Some(format!("the {} by {:.1}", plain.name, plain.mean_abs_error?))).collect::<Vec<_>>())) "."
                    }
                }
                @if let (Some(own), Some(best)) = (report.tenotomy.log_score, best) {
                    li {
                        "Chances of a tenotomy were "
                        strong { @if own < best { "better" } @else { "no better" } }
                        " than both plain ways of guessing (log score " (format!("{own:.3}")) ", the better of the two " (format!("{best:.3}")) "; lower is better)."
                    }
                }
            }
        }
    }
}

fn number(value: Option<f64>, digits: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{value:.digits$}").replace('-', "−"))
}

fn share(value: Option<f64>) -> String {
    value.map_or_else(|| "–".to_owned(), percent)
}

fn windows(report: &BacktestReport) -> Markup {
    let events = [
        ("All together", &report.windows),
        ("End of casting for correction", &report.by_event.ready),
        ("Tenotomy", &report.by_event.tenotomy),
        ("Brace", &report.by_event.brace),
        ("The first 50 feet", &report.first_windows),
        ("After 100 finished feet", &report.later_windows),
    ];
    let cells = |score: &WindowScore| {
        html! { td { (share(score.coverage)) } td { (share(score.stated)) } td { (number(score.mean_days, 1)) } }
    };
    html! {
        section.trust-part aria-labelledby="trust-days" {
            h2 id="trust-days" { "Days" }
            p.hint { "How often the day fell in the window that was given for it. Days come in weeks, so a window seldom holds just half or nine in ten; what it was said to hold stands beside it." }
            div.scroll tabindex="0" role="group" aria-label="Table: windows of days" {
                table.figures {
                    thead {
                        tr { th scope="col" rowspan="2" { "Of what" } th scope="col" rowspan="2" { "Forecasts" } th scope="colgroup" colspan="3" { "Windows of half" } th scope="colgroup" colspan="3" { "Windows of nine in ten" } }
                        tr { @for _ in 0..2 { th scope="col" { "came true" } th scope="col" { "said" } th scope="col" { "days wide" } } }
                    }
                    tbody {
                        @for (name, windows) in events {
                            tr { th scope="row" { (name) } td { (windows.ninety.n) } (cells(&windows.fifty)) (cells(&windows.ninety)) }
                        }
                    }
                }
            }
        }
    }
}

fn tenotomy(report: &BacktestReport) -> Markup {
    let found = &report.tenotomy;
    html! {
        section.trust-part aria-labelledby="trust-cord" {
            h2 id="trust-cord" { "Heel-cord tenotomy" }
            p.hint { "Of the feet given a chance, how many had a tenotomy. On the slanting line the chances mean what they say; " (found.n) " forecasts." }
            div.trust-cord {
                (reliability_chart(&found.reliability.table))
                div {
                    (reliability_table(&found.reliability.table))
                    p { "Line through them: slope " strong { (number(found.reliability.slope, 2)) } " (1 is right, below 1 too sure), intercept " strong { (number(found.reliability.intercept, 2)) } " (0 is right)." }
                }
            }
            table.figures.trust-scores {
                caption { "Scores; lower is better" }
                thead { tr { th scope="col" { "Way of forecasting" } th scope="col" { "Log score" } th scope="col" { "Brier score" } } }
                tbody {
                    tr { th scope="row" { strong { "This program" } } td { (number(found.log_score, 3)) } td { (number(found.brier, 3)) } }
                    @for plain in &found.baselines {
                        tr { th scope="row" { (words::capital(plain.name)) } td { (number(plain.log_score, 3)) } td { (number(plain.brier, 3)) } }
                    }
                }
            }
        }
    }
}

fn reliability_table(table: &[Decile]) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: chances given and what happened" { table.figures {
            caption { "Chances given and what happened" }
            thead { tr { th scope="col" { "Chance given" } th scope="col" { "Forecasts" } th scope="col" { "Mean chance" } th scope="col" { "Had a tenotomy" } } }
            tbody {
                @for row in table.iter().filter(|row| row.n > 0) {
                    tr { th scope="row" { (format!("{:.0}–{:.0} %", row.from * 100.0, row.to * 100.0)) } td { (row.n) } td { (share(row.said)) } td { (share(row.happened)) } }
                }
            }
        } }
    }
}

/// Said across, happened up; a point's area grows with its number of forecasts.
fn reliability_chart(table: &[Decile]) -> Markup {
    const SIDE: f64 = 240.0;
    const LEFT: f64 = 44.0;
    const TOP: f64 = 10.0;
    let at = |said: f64, happened: f64| (LEFT + SIDE * said, TOP + SIDE * (1.0 - happened));
    let most = table.iter().map(|row| row.n).max().unwrap_or(1).max(1);
    ink::markup(|ink| {
        ink.tag("<svg class=\"trust-chart\" viewBox=\"0 0 300 296\" role=\"img\" aria-label=\"Chances of a tenotomy given, and how many had one; the same stands in the table beside it\" xmlns=\"http://www.w3.org/2000/svg\">");
        for (share, text) in [(0.0, "0"), (0.5, "50 %"), (1.0, "100 %")] {
            let (x, y) = at(share, share);
            ink.tag("<line class=\"grid\" x1=\"").num(LEFT).tag("\" x2=\"").num(LEFT + SIDE);
            ink.tag("\" y1=\"")
                .num(y)
                .tag("\" y2=\"")
                .num(y)
                .tag("\"></line><text class=\"tick\" text-anchor=\"end\" x=\"");
            ink.num(LEFT - 5.0).tag("\" y=\"").num(y + 4.0).tag("\">").tag(text);
            ink.tag("</text><text class=\"tick\" text-anchor=\"middle\" x=\"")
                .num(x)
                .tag("\" y=\"")
                .num(TOP + SIDE + 16.0);
            ink.tag("\">").tag(text).tag("</text>");
        }
        let ((x0, y0), (x1, y1)) = (at(0.0, 0.0), at(1.0, 1.0));
        ink.tag("<line class=\"ideal\" x1=\"").num(x0).tag("\" y1=\"").num(y0).tag("\" x2=\"").num(x1);
        ink.tag("\" y2=\"").num(y1).tag("\"></line>");
        for row in table {
            let (Some(said), Some(happened)) = (row.said, row.happened) else { continue };
            let (x, y) = at(said, happened);
            let radius = 3.0 + 7.0 * (row.n as f64 / most as f64).sqrt();
            ink.tag("<circle class=\"trust-point\" cx=\"")
                .num(x)
                .tag("\" cy=\"")
                .num(y)
                .tag("\" r=\"")
                .num(radius)
                .tag("\"></circle>");
        }
        ink.tag("<text class=\"tick\" text-anchor=\"middle\" x=\"164\" y=\"288\">chance given</text></svg>");
    })
}

fn casts(report: &BacktestReport) -> Markup {
    html! {
        section.trust-part aria-labelledby="trust-casts" {
            h2 id="trust-casts" { "Casts still to come" }
            table.figures.trust-scores {
                caption { "Casts off on average, " (report.casts.n) " forecasts; lower is better" }
                thead { tr { th scope="col" { "Way of forecasting" } th scope="col" { "Casts off" } } }
                tbody {
                    tr { th scope="row" { strong { "This program" } } td { (number(report.casts.mean_abs_error, 2)) } }
                    @for plain in &report.casts.baselines {
                        tr { th scope="row" { (words::capital(plain.name)) } td { (number(plain.mean_abs_error, 2)) } }
                    }
                }
            }
        }
    }
}

fn how(report: &BacktestReport, left_out: Option<&str>) -> Markup {
    html! {
        section.trust-part aria-labelledby="trust-how" {
            h2 id="trust-how" { "How it was done" }
            ul.likely-list {
                @for note in &report.notes { li { (note) } }
                @if let Some(left_out) = left_out { li { (left_out) } }
                @if report.unfinished > 0 { li { (words::count(report.unfinished as i64, "child is", "children are")) " left out: still in casts, or gone before the brace." } }
                li { "The same on the command line: " code { "plantigrade backtest" } "." }
            }
        }
    }
}
