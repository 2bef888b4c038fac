//! Results of the service, measure by measure: each with its definition, method, numbers and day, compared
//! with published series and over time.

mod agreement;
mod charts;
mod comparison;
mod control;
mod curve;
mod filter;
pub(crate) mod picture;
pub(crate) mod scale;
mod watch;
mod year;

pub use agreement::{AgreementView, agreement};
pub use charts::{agreement_chart, result_chart};
pub use filter::{Choice, ResultsFilter};
pub use watch::{WatchChoice, WatchView};
pub use year::{YearView, year};

use crate::{
    Frame, HelpTopic,
    frame::{self, TOGETHER_PATH},
};
use audit::{
    Breakdown, Estimate, FieldLine, Figure, Group, GroupBy, KnownBy, Measure, MeasureKind, MeasureResult,
    MeasureScale, Selection, Verdict, small, words,
};
use maud::{Markup, html};
use record::{Day, Right};

/// Names of sites and clinicians, by their index.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Names {
    /// Sites.
    pub sites: Vec<Choice>,
    /// Clinicians.
    pub clinicians: Vec<Choice>,
}

impl Names {
    /// The name of a group.
    #[must_use]
    pub fn of(&self, by: GroupBy, code: i32) -> String {
        let of = |list: &[Choice]| {
            usize::try_from(code).ok().and_then(|place| list.get(place)).map(|choice| choice.words.clone())
        };
        let place = usize::try_from(code).unwrap_or(usize::MAX);
        let found = match by {
            GroupBy::Site => of(&self.sites),
            GroupBy::Clinician => of(&self.clinicians),
            GroupBy::Year => Some(code.to_string()),
            GroupBy::Severity => audit::Severity::ALL.get(place).map(|one| one.words().to_owned()),
            GroupBy::Aetiology => audit::Aetiology::ALL.get(place).map(|one| one.words().to_owned()),
            GroupBy::Side => audit::Feet::ALL.get(place).map(|one| one.words().to_owned()),
        };
        found.unwrap_or_else(|| "unknown".to_owned())
    }
}

/// The page of results, or of one measure.
#[derive(Debug, Clone)]
pub struct ResultsView {
    /// The filter.
    pub filter: ResultsFilter,
    /// As of which day.
    pub as_of: Day,
    /// Which entries count as known on that day.
    pub known_by: KnownBy,
    /// Number of children and of feet known on that day, regardless of the filter.
    pub known: (usize, usize),
    /// Names of sites and clinicians.
    pub names: Names,
    /// The results of every measure, or of one.
    pub answers: Vec<MeasureResult>,
    /// The monitoring of the measure child by child, for measures that allow it.
    pub watch: Option<WatchView>,
}

/// The sections of the overview and their measures.
const PARTS: [(&str, &str, &[Measure]); 4] = [
    (
        "casting",
        "Casting and tenotomy",
        &[
            Measure::WaitFirstCast,
            Measure::AgeFirstCast,
            Measure::Casts,
            Measure::DaysCasting,
            Measure::Correction,
            Measure::Tenotomy,
            Measure::WaitTenotomy,
            Measure::WaitBrace,
            Measure::CastProblems,
        ],
    ),
    (
        "bracing",
        "Bracing and follow-up",
        &[
            Measure::BraceTolerance,
            Measure::DropOut,
            Measure::DropOutPublished,
            Measure::WearLogged,
            Measure::WearReported,
        ],
    ),
    (
        "relapse",
        "Relapse and surgery",
        &[
            Measure::RelapseFree,
            Measure::RelapseFreeAge,
            Measure::Relapse,
            Measure::SecondTenotomy,
            Measure::TendonTransfer,
            Measure::MajorSurgery,
        ],
    ),
    ("record", "Completeness of the records", &[Measure::Missing]),
];

/// An interval in words; a dash where there is none.
pub(crate) fn interval_words(scale: MeasureScale, lower: Option<f64>, upper: Option<f64>) -> String {
    match (lower, upper) {
        (Some(lower), Some(upper)) => {
            let (low, high) = (words::value(scale, lower), words::value(scale, upper));
            // The unit is written once, where both limits have the same.
            let units = [" %", " days", " years", " h"];
            let unit = units.into_iter().find(|unit| low.ends_with(unit) && high.ends_with(unit));
            format!("{} to {high}", unit.and_then(|unit| low.strip_suffix(unit)).unwrap_or(&low))
        }
        _ => "–".to_owned(),
    }
}

/// A figure and its interval in words; the median of a time is given in days.
#[must_use]
pub fn figure_words(definition: &audit::Definition, figure: &Figure) -> (String, String) {
    let of_time = matches!(definition.kind, MeasureKind::FreeOf | MeasureKind::Incidence)
        && !figure.label.starts_with("at ");
    let scale = if of_time { MeasureScale::Days } else { definition.scale };
    let scale = if definition.kind == MeasureKind::Missing { MeasureScale::Share } else { scale };
    let Estimate { value, lower, upper } = figure.estimate;
    (words::value(scale, value), interval_words(scale, lower, upper))
}

fn words_of(answer: &MeasureResult, figure: &Figure) -> (String, String) {
    figure_words(answer.definition, figure)
}

/// The overview of all measures.
#[must_use]
pub fn results(frame: &Frame, view: &ResultsView) -> Markup {
    let find = |measure: &Measure| view.answers.iter().find(|answer| answer.measure == *measure);
    let body = html! {
        (head(frame, view, "Results", "/results"))
        (signals(view))
        @for (id, title, measures) in PARTS {
            section aria-labelledby=(id) {
                h2 id=(id) { (title) }
                div.result-cards { @for answer in measures.iter().filter_map(find) { (card(view, answer)) } }
            }
        }
        p.caution { "Figures describe the children of this clinic as recorded. Clinics and years differ in whom they treat, in severity and in follow-up. Figures do not replace the judgement of a qualified clinician." }
    };
    frame::page(frame, HelpTopic::Results, "Results", &body)
}

fn head(frame: &Frame, view: &ResultsView, title: &str, action: &str) -> Markup {
    let (children, feet) = view.known;
    let selected = view.filter.words(&view.names.sites, &view.names.clinicians);
    html! {
        header.page-head { div {
            h1 { (title) }
            p.tally {
                "As known on " (crate::words::day(view.as_of)) ", " (view.known_by.words()) " · " (crate::words::count(children as i64, "child", "children")) ", "
                (crate::words::count(feet as i64, "foot", "feet")) " · Plantigrade " (audit::VERSION)
            }
        } p.results-links { a href="/results/year" { "The year in figures" } " · " a href="/results/agreement" { "Agreement of raters" } " · " @if frame.may(Right::SeeClinical) { a href=(TOGETHER_PATH) { "Scoring together" } " · " } a href="/results/definitions" { "Definitions of the measures" } } }
        @if let Some(selected) = selected { p.message.note role="status" { strong { "Shown: " } (selected) } }
        (filter::form(&view.filter, action, frame.today, &view.names.sites, &view.names.clinicians))
    }
}

/// The measures that changed by more than chance; then those with only one of the two signs.
fn signals(view: &ResultsView) -> Markup {
    let of = |verdict: Verdict| -> Vec<&MeasureResult> {
        view.answers.iter().filter(|answer| answer.change.verdict == verdict).collect()
    };
    let list = |answers: &[&MeasureResult]| {
        html! {
            ul.plain-list { @for answer in answers {
                li { a href=(link(view, answer)) { (answer.definition.name) } ": " (answer.change.sentence) }
            } }
        }
    };
    let (changed, one) = (of(Verdict::MoreThanChance), of(Verdict::OneSign));
    html! {
        section.results-moved aria-labelledby="moved" {
            h2 id="moved" { "Changes beyond chance" }
            p.hint { "Shown only where the last year differs from the year before (p below 0.01) and a point of the last year is outside its control limits, both in the same direction." }
            @if changed.is_empty() { p { "None in the last twelve months, as far as the numbers show." } }
            @else { (list(&changed)) }
            @if !one.is_empty() {
                details.more {
                    summary { "Only one of the two signs: " (crate::words::count(one.len() as i64, "measure", "measures")) " to check" }
                    (list(&one))
                }
            }
        }
    }
}

fn link(view: &ResultsView, answer: &MeasureResult) -> String {
    format!("/results/{}{}", answer.measure.key(), view.filter.query())
}

/// A figure, one plain sentence and a picture; method, limits and numbers are one tap away.
fn card(view: &ResultsView, answer: &MeasureResult) -> Markup {
    let figure = answer.figures.first().map(|figure| (figure, words_of(answer, figure)));
    html! {
        article.card.result {
            h3 { a href=(link(view, answer)) { (answer.definition.name) } }
            @match &figure {
                None => p.result-none { (answer.why_none.as_deref().unwrap_or("Nothing to compute from.")) },
                Some((figure, (value, _))) => {
                    p.result-figure { strong { (value) } " " span.rel { (figure.label) } }
                    @if let Some(sentence) = answer.measure.plain(value, &figure.label) { p.result-plain { (sentence) } }
                    (picture::small(answer))
                }
            }
            p.result-change { span.verdict { (mark(answer.change.verdict)) " " (crate::words::capital(answer.change.verdict.words())) } }
            details.more.result-method {
                summary { "Method and numbers" span.sr { " of “" (answer.definition.name) "”" } }
                @if let Some((_, (_, interval))) = &figure {
                    p { @if interval == "–" { "Too few for an interval." } @else { "95 % confidence interval " (interval) "." } }
                }
                p.result-caption { (caption(answer)) }
                @if let Some(how) = judged_by(answer) { p { "Change judged by " (how) "." } }
                p { a href={ "/results/definitions#" (answer.measure.key()) } { "Definition" } }
            }
        }
    }
}

/// Method, numbers, day and version in one line; no figure should be quoted without them.
fn caption(answer: &MeasureResult) -> String {
    format!(
        "{} · {} · as known on {}, {} · Plantigrade {}",
        crate::words::capital(answer.measure.method_short()),
        counted_words(answer),
        answer.as_of.words(),
        answer.known_by.words(),
        answer.version
    )
}

/// The basis on which a change is judged: the comparison of two years, and the control chart.
fn judged_by(answer: &MeasureResult) -> Option<String> {
    let years = answer
        .change
        .difference
        .map(|(_, _, _, p)| format!("comparison of two years, {}", words::probability(p)));
    let chart =
        answer.chart.as_ref().map(|chart| format!("{} of {} points", chart.kind.name(), chart.points.len()));
    let both: Vec<String> = years.into_iter().chain(chart).collect();
    (!both.is_empty()).then(|| both.join(" and "))
}

/// A symbol shown with its word, so that the meaning does not depend on colour.
const fn mark(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::MoreThanChance => "◆",
        Verdict::OneSign => "◇",
        Verdict::PerhapsChance => "~",
        Verdict::NoMoreThanChance => "=",
        Verdict::TooFew => "·",
    }
}

/// "120 feet of 84 children, 30 events".
fn counted_words(answer: &MeasureResult) -> String {
    let counted = &answer.counted;
    let mut text = answer.definition.unit.count(counted.n);
    if answer.definition.unit == audit::Unit::Foot {
        text.push_str(&format!(" of {}", crate::words::count(counted.children as i64, "child", "children")));
    }
    if let (Some(events), true) = (counted.events, answer.definition.kind != MeasureKind::Missing) {
        text.push_str(&format!(", {}", crate::words::count(events as i64, "event", "events")));
    }
    text
}

/// The page of one measure.
#[must_use]
pub fn result(frame: &Frame, view: &ResultsView) -> Markup {
    let Some(answer) = view.answers.first() else { return results(frame, view) };
    let path = format!("/results/{}", answer.measure.key());
    let links = |key: &str, of: &str| charts::links(view, answer, key, of);
    let body = html! {
        nav.back aria-label="Back" { a href={ "/results" (view.filter.query()) } { "All results" } }
        (head(frame, view, answer.definition.name, &path))
        p.lead { (answer.definition.question) }
        (figures(view, answer))
        p.actions { a.button href={ "/results/" (answer.measure.key()) ".csv" (view.filter.query()) } { "Save as a table (CSV)" }
            span.hint { " Small numbers are withheld in it: " (small::RULE) } }
        @if !answer.curves.is_empty() && answer.counted.n > 0 {
            section { h2 { "Over time" } (curve::figure(answer)) (links(charts::CURVE, "the curve")) (curve::table(answer)) }
        }
        @if answer.definition.kind == MeasureKind::Wear { section { h2 { "By quarter of bracing" } (control::wear(answer)) (links(charts::WEAR, "hours by quarter")) } }
        @if !answer.fields.is_empty() { (fields(&answer.fields)) }
        (over_time(view, answer))
        (watch::section(view, answer, &links(charts::WATCH, "the cumulative sum")))
        @for funnel in &answer.funnels { section { (control::funnel(answer, funnel, &view.names)) (links(&charts::funnel_key(funnel.by), "the funnel plot")) } }
        @if !answer.by.is_empty() { section { h2 { "By group" } @for one in &answer.by { (broken_down(view, answer, one)) } } }
        @if answer.definition.kind != MeasureKind::Missing { (comparison::comparison(answer, &links(charts::PUBLISHED, "the comparison"))) }
        (definition(answer))
    };
    frame::page(frame, HelpTopic::Results, answer.definition.name, &body)
}

fn figures(view: &ResultsView, answer: &MeasureResult) -> Markup {
    html! {
        section.result-head aria-label="Figures" {
            @if let Some(why) = &answer.why_none { p.message.note { (why) } }
            @else {
                dl.counts { @for figure in answer.figures.iter().take(if answer.definition.kind == MeasureKind::Wear { 0 } else { 6 }) {
                    @let (value, interval) = words_of(answer, figure);
                    div { dt { (figure.label) } dd { strong { (value) } @if interval != "–" { " " span.rel { "(" (interval) ")" } } } }
                } }
            }
            @if let Some(other) = &answer.other {
                p { "By the other definition: " a href={ "/results/" (other.measure.key()) (view.filter.query()) } { (other.name) }
                    @for figure in &other.figures { @let (value, interval) = figure_words(other.measure.definition(), figure);
                        "; " (figure.label) " " (value) @if interval != "–" { " (" (interval) ")" } } "." }
            }
            p { (crate::words::capital(&counted_words(answer))) "."
                @for left in &answer.left_out { " " (left.n) " left out, " (left.reason.words()) "." }
                @for note in answer.notes() { " " (note) }
            }
            p.rel { (answer.definition.method) " As known on " (answer.as_of.words()) ", " (answer.known_by.words()) "; Plantigrade " (answer.version) "." }
        }
    }
}

fn over_time(view: &ResultsView, answer: &MeasureResult) -> Markup {
    html! {
        section aria-labelledby="over-time" {
            h2 id="over-time" { "Change over time" }
            p { span.verdict { (mark(answer.change.verdict)) " " (crate::words::capital(answer.change.verdict.words())) ". " } (answer.change.sentence) }
            @if let Some(chart) = &answer.chart {
                (control::figure(answer))
                (charts::links(view, answer, charts::CONTROL, "the control chart"))
                p.rel { (chart.why()) " Design effect " (words::number(chart.design_effect)) "." }
                (control::table(chart))
            } @else if !matches!(answer.definition.kind, MeasureKind::Wear | MeasureKind::Missing) {
                p.rel { "No control chart: there are data for fewer than six points." }
            }
        }
    }
}

fn broken_down(view: &ResultsView, answer: &MeasureResult, one: &Breakdown) -> Markup {
    let row = |group: &Group| {
        html! {
            tr {
                th scope="row" { (crate::words::capital(&view.names.of(one.by, group.code))) }
                td { (group.counted.n) }
                td { (group.counted.children) }
                td { @match group.counted.events { Some(events) => (events), None => "–" } }
                @match &group.figure {
                    Some(figure) => { @let (value, interval) = words_of(answer, figure); td { (value) } td { (interval) } td { (figure.label) } },
                    None if !group.recorded => { td { "not recorded" } td { "–" } td { "–" } },
                    None => { td { "too few followed up" } td { "–" } td { "–" } },
                }
            }
        }
    };
    html! {
        h3 { (one.by.words()) }
        div.scroll tabindex="0" role="group" aria-label={ "Table: " (one.by.words()) } {
            table.numbers {
                thead { tr {
                    th scope="col" { "Group" } th scope="col" { (crate::words::capital(answer.definition.unit.words())) } th scope="col" { "Children" }
                    th scope="col" { "Events" } th scope="col" { "Value" } th scope="col" { "95 % CI" } th scope="col" { "Figure" }
                } }
                tbody { @for group in &one.groups { (row(group)) } }
            }
        }
    }
}

fn fields(lines: &[FieldLine]) -> Markup {
    html! {
        section {
            h2 { "Field by field" }
            div.scroll tabindex="0" role="group" aria-label="Table: fields recorded" {
                table.numbers {
                    thead { tr { @for head in ["Field", "Expected for", "Number", "Recorded", "Missing", "Share recorded", "95 % CI"] { th scope="col" { (head) } } } }
                    tbody { @for line in lines {
                        tr {
                            th scope="row" { (crate::words::capital(line.words)) }
                            td { (line.when) } td { (line.n) } td { (line.written) } td { (line.n - line.written.min(line.n)) }
                            @match &line.share {
                                Some(share) => { td { (words::value(MeasureScale::Share, share.estimate.value)) } td { (interval_words(MeasureScale::Share, share.estimate.lower, share.estimate.upper)) } },
                                None => { td { "–" } td { "–" } },
                            }
                        }
                    } }
                }
            }
        }
    }
}

fn definition(answer: &MeasureResult) -> Markup {
    html! {
        section aria-labelledby="definition" {
            h2 id="definition" { "Definition" }
            dl.definition { @for (term, text) in lines(answer.definition) { div { dt { (term) } dd { (text) } } } }
        }
    }
}

fn lines(one: &audit::Definition) -> [(&'static str, &'static str); 8] {
    [
        ("Unit", one.unit.words()),
        ("Included", one.who),
        ("Time zero", one.time_zero),
        ("Event", one.event),
        ("Followed until", one.censoring),
        ("Competing events", one.competing),
        ("Method", one.method),
        ("Source of the definition", one.source),
    ]
}

/// The page of all definitions.
#[must_use]
pub fn definitions(frame: &Frame) -> Markup {
    let body = html! {
        nav.back aria-label="Back" { a href="/results" { "All results" } }
        header.page-head { div { h1 { "Definitions of the measures" } p.tally { "Two feet of one child are never counted as independent in any interval." } } }
        @for measure in Measure::ALL {
            @let one = measure.definition();
            section.card aria-labelledby=(one.key) {
                h2 id=(one.key) { (one.name) }
                p { (one.question) }
                dl.definition { @for (term, text) in lines(one) { div { dt { (term) } dd { (text) } } } }
            }
        }
        section.card { h2 { "When a table leaves the clinic" } p { (small::RULE) } }
    };
    frame::page(frame, HelpTopic::Results, "Definitions of the measures", &body)
}

/// The page shown while the records are read.
#[must_use]
pub fn results_working(frame: &Frame, children: usize) -> Markup {
    let body = html! {
        header.page-head { div { h1 { "Results" } } }
        p.message.note role="status" { "The records of " (crate::words::count(children as i64, "child", "children")) " are being read. This page reloads itself. The records are read only once." }
    };
    frame::page(frame, HelpTopic::Results, "Results", &body)
}

impl ResultsFilter {
    /// The selection, with sites and clinicians by their index in the lists of names. An unknown key selects
    /// nobody.
    #[must_use]
    pub fn selection(&self, names: &Names) -> Selection {
        let place = |key: &Option<String>, list: &[Choice]| {
            let key = key.as_ref()?;
            let place = list.iter().position(|choice| choice.key == *key);
            Some(place.and_then(|place| u16::try_from(place).ok()).unwrap_or(u16::MAX))
        };
        Selection {
            from: self.from,
            to: self.to,
            site: place(&self.site, &names.sites),
            clinician: place(&self.clinician, &names.clinicians),
            severity: self.severity,
            aetiology: self.aetiology,
            feet: self.side,
        }
    }
}
