//! Requests are counted, by class and time, and figures are written in the text form of OpenMetrics 1.0
//! (prometheus/OpenMetrics, specification/OpenMetrics.md). [`crate::figures`] has all of them.

use axum::http::{Method, StatusCode};
use std::{
    fmt::{self, Write as _},
    sync::atomic::{AtomicU64, Ordering},
    time::Duration,
};

/// The media type of the text.
pub const OPEN_METRICS: &str = "application/openmetrics-text; version=1.0.0; charset=utf-8";

/// A request as far as it is counted: by class, so that a rare page cannot be told from the figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RequestClass {
    /// A page, looked at.
    Page,
    /// A form, sent.
    Form,
    /// A style sheet, script or picture of the program.
    Asset,
    /// Signing in, with all its steps.
    SignIn,
    /// This text and the question whether the program lives.
    Operation,
    /// What the program does not have.
    Unknown,
}

impl RequestClass {
    const ALL: [Self; 6] =
        [Self::Page, Self::Form, Self::Asset, Self::SignIn, Self::Operation, Self::Unknown];

    /// The class of a request, by its method and the pattern of its route.
    #[must_use]
    pub fn of(method: &Method, pattern: Option<&str>) -> Self {
        match pattern {
            None => Self::Unknown,
            Some("/health" | "/metrics") => Self::Operation,
            Some(path) if path.starts_with("/assets/") => Self::Asset,
            Some(path) if ["/sign-in", "/unlock", "/passkey/"].iter().any(|part| path.starts_with(part)) => {
                Self::SignIn
            }
            Some(_) if *method == Method::POST => Self::Form,
            Some(_) => Self::Page,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Page => "page",
            Self::Form => "form",
            Self::Asset => "asset",
            Self::SignIn => "sign_in",
            Self::Operation => "operation",
            Self::Unknown => "unknown",
        }
    }
}

/// The upper bounds of the histogram of times, in milliseconds.
const BOUNDS_MS: [u64; 11] = [5, 10, 25, 50, 100, 250, 500, 1_000, 2_500, 5_000, 10_000];
/// Statuses are counted by their first digit.
const STATUSES: usize = 5;

/// The requests of one class.
#[derive(Default)]
struct ClassCounts {
    statuses: [AtomicU64; STATUSES],
    /// Requests within each bound and not within the one before it; the last are those beyond all bounds.
    within: [AtomicU64; BOUNDS_MS.len() + 1],
    microseconds: AtomicU64,
}

/// The requests since the start.
#[derive(Default)]
pub struct ServerMetrics([ClassCounts; RequestClass::ALL.len()]);

impl ServerMetrics {
    /// Counts an answered request.
    pub fn note(&self, class: RequestClass, status: StatusCode, took: Duration) {
        let Some(counts) = self.0.get(class as usize) else { return };
        let status = usize::from(status.as_u16() / 100).clamp(1, STATUSES) - 1;
        let bound = BOUNDS_MS.partition_point(|bound| u128::from(*bound) * 1_000 < took.as_micros());
        let micros = u64::try_from(took.as_micros()).unwrap_or(u64::MAX);
        let add =
            |counter: Option<&AtomicU64>, by| counter.map(|counter| counter.fetch_add(by, Ordering::Relaxed));
        add(counts.statuses.get(status), 1);
        add(counts.within.get(bound), 1);
        add(Some(&counts.microseconds), micros);
    }

    /// Writes what was counted.
    pub fn write(&self, out: &mut MetricsText) {
        out.family(
            "plantigrade_requests",
            "counter",
            "Requests answered, by class and first digit of the status.",
        );
        for (class, counts) in RequestClass::ALL.iter().zip(&self.0) {
            for (digit, counter) in (1..).zip(&counts.statuses) {
                let labels = format!("class=\"{}\",status=\"{digit}xx\"", class.word());
                out.sample("plantigrade_requests_total", &labels, counter.load(Ordering::Relaxed));
            }
        }
        out.family("plantigrade_request_seconds", "histogram", "Time until the answer began, by class.");
        for (class, counts) in RequestClass::ALL.iter().zip(&self.0) {
            write_times(out, class.word(), counts);
        }
    }
}

fn write_times(out: &mut MetricsText, class: &str, counts: &ClassCounts) {
    let mut sum = 0;
    let bounds = BOUNDS_MS.iter().map(|bound| (*bound as f64 / 1_000.0).to_string());
    for (bound, within) in bounds.chain(["+Inf".to_owned()]).zip(&counts.within) {
        sum += within.load(Ordering::Relaxed);
        let labels = format!("class=\"{class}\",le=\"{bound}\"");
        out.sample("plantigrade_request_seconds_bucket", &labels, sum);
    }
    let labels = format!("class=\"{class}\"");
    out.sample("plantigrade_request_seconds_count", &labels, sum);
    let seconds = counts.microseconds.load(Ordering::Relaxed) as f64 / 1e6;
    out.sample("plantigrade_request_seconds_sum", &labels, seconds);
}

/// The text, family by family.
#[derive(Default)]
pub struct MetricsText(String);

impl MetricsText {
    /// Begins a family: its name, its type and what it is.
    pub fn family(&mut self, name: &str, kind: &str, help: &str) {
        // Writing to a string does not fail.
        let _ = writeln!(self.0, "# TYPE {name} {kind}\n# HELP {name} {help}");
    }

    /// A figure of the family; the labels as they are written.
    pub fn sample(&mut self, name: &str, labels: &str, value: impl fmt::Display) {
        let labels = if labels.is_empty() { String::new() } else { format!("{{{labels}}}") };
        let _ = writeln!(self.0, "{name}{labels} {value}");
    }

    /// A figure that may fall; left out where it is not known.
    pub fn gauge(&mut self, name: &str, help: &str, value: Option<impl fmt::Display>) {
        let Some(value) = value else { return };
        self.family(name, "gauge", help);
        self.sample(name, "", value);
    }

    /// A figure that only rises.
    pub fn counter(&mut self, name: &str, help: &str, value: u64) {
        self.family(name, "counter", help);
        self.sample(&format!("{name}_total"), "", value);
    }

    /// The whole text.
    #[must_use]
    pub fn finish(mut self) -> String {
        self.0.push_str("# EOF\n");
        self.0
    }

    /// 1 where it is so.
    pub fn flag(&mut self, name: &str, help: &str, is_so: bool) {
        self.gauge(name, help, Some(u8::from(is_so)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_counted_within_their_bounds_and_all_below() {
        let metrics = ServerMetrics::default();
        for milliseconds in [1, 5, 6, 700, 20_000] {
            metrics.note(RequestClass::Page, StatusCode::OK, Duration::from_millis(milliseconds));
        }
        metrics.note(RequestClass::Form, StatusCode::SEE_OTHER, Duration::ZERO);
        let mut out = MetricsText::default();
        metrics.write(&mut out);
        let has = |line: &str| assert!(out.0.lines().any(|own| own == line), "{line}\n{}", out.0);
        has("plantigrade_requests_total{class=\"page\",status=\"2xx\"} 5");
        has("plantigrade_requests_total{class=\"form\",status=\"3xx\"} 1");
        has("plantigrade_request_seconds_bucket{class=\"page\",le=\"0.005\"} 2");
        has("plantigrade_request_seconds_bucket{class=\"page\",le=\"0.01\"} 3");
        has("plantigrade_request_seconds_bucket{class=\"page\",le=\"1\"} 4");
        has("plantigrade_request_seconds_bucket{class=\"page\",le=\"10\"} 4");
        has("plantigrade_request_seconds_bucket{class=\"page\",le=\"+Inf\"} 5");
        has("plantigrade_request_seconds_count{class=\"page\"} 5");
        has("plantigrade_request_seconds_sum{class=\"page\"} 20.712");
    }

    #[test]
    fn requests_are_counted_by_class_and_not_by_page() {
        let of = |method: Method, pattern: Option<&str>| RequestClass::of(&method, pattern);
        assert_eq!(of(Method::GET, Some("/child/{id}")), RequestClass::Page);
        assert_eq!(of(Method::POST, Some("/child/{id}/erasure")), RequestClass::Form);
        assert_eq!(of(Method::POST, Some("/sign-in/second/{token}")), RequestClass::SignIn);
        assert_eq!(of(Method::GET, Some("/metrics")), RequestClass::Operation);
        assert_eq!(of(Method::GET, Some("/assets/{file}")), RequestClass::Asset);
        assert_eq!(of(Method::GET, None), RequestClass::Unknown);
    }
}
