//! Accuracy of the forecasts: every finished foot is forecast again from what was known at the time.

use super::sentences::percent;
use crate::{Frame, HelpTopic, frame, ink, parts, words};
use forecast::backtest::{BacktestReport, Decile, WindowScore};
use maud::{Markup, html};
use record::Day;

/// With fewer feet than this the accuracy is too uncertain to rely on. Assumed: with 30 feet the standard
/// error of a coverage of 90 % is about 5 points.
const FEW_FEET: usize = 30;

/// The accuracy of the forecasts, or that it is being calculated.
#[derive(Debug, Clone)]
pub enum ForecastsView<'a> {
    /// The calculation is running; the page reloads itself.
    Working {
        /// Number of children included.
        children: usize,
    },
    /// The calculation has finished.
    Done {
        /// The report.
        report: &'a BacktestReport,
        /// The day up to which entries were used.
        as_of: Day,
        /// What was left out to save time, in a sentence.
        left_out: Option<String>,
    },
}

/// The page on the accuracy of the forecasts.
#[must_use]
pub fn forecasts(frame: &Frame, view: &ForecastsView<'_>) -> Markup {
    let body = html! {
        h1 { "How accurate the forecasts were" }
        p.lead {
            "For every foot that completed its first series of casts here, a forecast is made as of each day on which it was seen, from what was recorded by then for this foot and for earlier feet of the clinic, and compared with what happened."
        }
        @match view {
            ForecastsView::Working { children } => (working(*children)),
            ForecastsView::Done { report, as_of, left_out } => (done(report, *as_of, left_out.as_deref())),
        }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Forecasts, "How accurate the forecasts were", &body)
}

fn working(children: usize) -> Markup {
    html! {
        p.message.note role="status" {
            "This is being calculated from the records of " (words::count(children as i64, "child", "children"))
            " and takes a moment. " a href="/forecasts" { "Reload" }
        }
    }
}

fn done(report: &BacktestReport, as_of: Day, left_out: Option<&str>) -> Markup {
    html! {
        p.trust-basis {
            (words::count(report.feet as i64, "finished foot", "finished feet")) " of "
            (words::count(report.children as i64, "child", "children")) ", "
            (words::count(report.forecasts as i64, "day", "days")) " with a forecast; as of " (words::day(as_of))
            "; program " (report.version) "."
        }
        @if report.feet == 0 {
            p { "No foot has completed its first series of casts here yet. Until then every forecast is based on published figures only." }
        } @else {
            @if report.feet < FEW_FEET {
                p.message.warning { "With so few feet these figures are uncertain: a single foot changes them." }
            }
            (verdicts(report))
            (windows(report))
            (tenotomy(report))
            (casts(report))
        }
        (how(report, left_out))
    }
}

/// The main results in sentences.
fn verdicts(report: &BacktestReport) -> Markup {
    let best = report.tenotomy.baselines.iter().filter_map(|plain| plain.log_score).reduce(f64::min);
    html! {
        section.card aria-labelledby="trust-short" {
            h2 id="trust-short" { "Summary" }
            ul.plain {
                @if let Some(share) = report.windows.ninety.coverage {
                    li { "The 90 % windows contained the actual day in " strong { (format!("{:.0}", share * 100.0)) " of 100" } " cases." }
                }
                @if let Some(error) = report.casts.mean_abs_error {
                    li {
                        "The forecast number of remaining casts was wrong by " strong { (format!("{error:.1}")) " casts" } " on average; "
                        (words::join(&report.casts.baselines.iter().filter_map(|plain| Some(format!("for the {} it was {:.1}", plain.name, plain.mean_abs_error?))).collect::<Vec<_>>())) "."
                    }
                }
                @if let (Some(own), Some(best)) = (report.tenotomy.log_score, best) {
                    li {
                        "The forecast chances of a tenotomy were "
                        strong { @if own < best { "better" } @else { "no better" } }
                        " than those of both simple methods (log score " (format!("{own:.3}")) ", the better of the two " (format!("{best:.3}")) "; lower is better)."
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
        ("All events", &report.windows),
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
            h2 id="trust-days" { "Forecast days" }
            p.hint { "How often the actual day was within the forecast window. Visits are a week apart, so a window seldom has a probability of exactly 50 or 90 %; the stated probability is shown next to the observed share." }
            div.scroll tabindex="0" role="group" aria-label="Table: windows of days" {
                table.figures {
                    thead {
                        tr { th scope="col" rowspan="2" { "Event" } th scope="col" rowspan="2" { "Forecasts" } th scope="colgroup" colspan="3" { "50 % windows" } th scope="colgroup" colspan="3" { "90 % windows" } }
                        tr { @for _ in 0..2 { th scope="col" { "Observed" } th scope="col" { "Stated" } th scope="col" { "Width, days" } } }
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
            p.hint { "The share of feet that had a tenotomy, by the chance that was forecast. On the diagonal line both are equal; " (found.n) " forecasts." }
            div.trust-cord {
                (reliability_chart(&found.reliability.table))
                div {
                    (reliability_table(&found.reliability.table))
                    p { "Fitted line: slope " strong { (number(found.reliability.slope, 2)) } " (1 is ideal, below 1 means overconfident), intercept " strong { (number(found.reliability.intercept, 2)) } " (0 is ideal)." }
                }
            }
            table.figures.trust-scores {
                caption { "Scores; lower is better" }
                thead { tr { th scope="col" { "Method" } th scope="col" { "Log score" } th scope="col" { "Brier score" } } }
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
        div.scroll tabindex="0" role="group" aria-label="Table: forecast chance and observed share" { table.figures {
            caption { "Forecast chance and observed share" }
            thead { tr { th scope="col" { "Forecast chance" } th scope="col" { "Forecasts" } th scope="col" { "Mean chance" } th scope="col" { "Had a tenotomy" } } }
            tbody {
                @for row in table.iter().filter(|row| row.n > 0) {
                    tr { th scope="row" { (format!("{:.0}–{:.0} %", row.from * 100.0, row.to * 100.0)) } td { (row.n) } td { (share(row.mean_chance)) } td { (share(row.happened)) } }
                }
            }
        } }
    }
}

/// The chart of calibration: forecast chance on the x-axis, observed share on the y-axis. The area of a point
/// grows with its number of forecasts.
fn reliability_chart(table: &[Decile]) -> Markup {
    const SIDE: f64 = 240.0;
    const LEFT: f64 = 44.0;
    const TOP: f64 = 10.0;
    let at = |stated: f64, observed: f64| (LEFT + SIDE * stated, TOP + SIDE * (1.0 - observed));
    let most = table.iter().map(|row| row.n).max().unwrap_or(1).max(1);
    ink::markup(|ink| {
        ink.tag("<svg class=\"trust-chart\" viewBox=\"0 0 300 296\" role=\"img\" aria-label=\"Forecast chance of a tenotomy and observed share; the same data are in the table next to it\" xmlns=\"http://www.w3.org/2000/svg\">");
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
            let (Some(stated), Some(observed)) = (row.mean_chance, row.happened) else { continue };
            let (x, y) = at(stated, observed);
            let radius = 3.0 + 7.0 * (row.n as f64 / most as f64).sqrt();
            ink.tag("<circle class=\"trust-point\" cx=\"")
                .num(x)
                .tag("\" cy=\"")
                .num(y)
                .tag("\" r=\"")
                .num(radius)
                .tag("\"></circle>");
        }
        ink.tag(
            "<text class=\"tick\" text-anchor=\"middle\" x=\"164\" y=\"288\">forecast chance</text></svg>",
        );
    })
}

fn casts(report: &BacktestReport) -> Markup {
    html! {
        section.trust-part aria-labelledby="trust-casts" {
            h2 id="trust-casts" { "Remaining casts" }
            table.figures.trust-scores {
                caption { "Mean absolute error in casts, " (report.casts.n) " forecasts; lower is better" }
                thead { tr { th scope="col" { "Method" } th scope="col" { "Error, casts" } } }
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
            h2 id="trust-how" { "Method" }
            ul.likely-list {
                @for note in &report.notes { li { (note) } }
                @if let Some(left_out) = left_out { li { (left_out) } }
                @if report.unfinished > 0 { li { (words::count(report.unfinished as i64, "child is", "children are")) " left out: still in casts, or left before the brace." } }
                li { "The same figures on the command line: " code { "plantigrade backtest" } "." }
            }
        }
    }
}
