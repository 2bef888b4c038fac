//! The results of the runs in sentences.

use super::{CaseloadSummary, ComparedMeasure, Comparison, RunBand, Service, ServiceWeek, WaitKind};
use record::Day;

/// The caution below every result.
pub const CAUTION: &str = "A simulation on published averages and this clinic's own children. It supports planning; it says nothing about any one child and orders nothing. Local protocol and the treating clinician take precedence.";

/// The smallest mean difference, days, that counts as one.
const SMALLEST_DIFFERENCE: f64 = 0.05;

/// The answer in a few sentences, the most important first.
#[must_use]
pub fn lead_sentences(summary: &CaseloadSummary) -> Vec<String> {
    let mut of_places = Service::ALL.map(|service| places(summary, service));
    of_places.sort_by_key(|(short, _)| std::cmp::Reverse(*short));
    let mut sentences: Vec<String> = of_places.into_iter().map(|(_, sentence)| sentence).collect();
    sentences.push(windows(summary));
    sentences.extend(waiting(summary));
    sentences
}

/// A sentence on the weeks that are short.
fn places(summary: &CaseloadSummary, service: Service) -> (usize, String) {
    let weeks = summary.service(service);
    if weeks.iter().all(|week| week.places == 0) {
        return (usize::MAX, never_found(weeks, service));
    }
    let what = format!("{}, {} a week,", capital(service.places()), usual_places(weeks));
    let number = weeks.iter().filter(|week| week.short > 0.5).count();
    let sentence = match (number, short_since(weeks)) {
        (0, _) => format!("{what} suffice in every week, in most runs."),
        (number, _) if number == weeks.len() => format!("{what} run short in every week, in most runs."),
        (number, Some(since)) if number > 2 => {
            format!("{what} run short in most weeks from {}, in most runs.", month(since))
        }
        (number, _) => {
            format!(
                "{what} run short in {number} of {} weeks, in most runs, and suffice in the others.",
                weeks.len()
            )
        }
    };
    (number, sentence)
}

fn never_found(weeks: &[ServiceWeek], service: Service) -> String {
    let waiting = weeks.last().map_or(0.0, |week| week.needed.middle);
    format!(
        "No {} was ever found, because the setting has none: {} for one at the end in the typical result.",
        singular(service),
        children_wait(waiting)
    )
}

/// Places of the middle week.
fn usual_places(weeks: &[ServiceWeek]) -> u32 {
    let mut places: Vec<u32> = weeks.iter().map(|week| week.places).collect();
    places.sort_unstable();
    places.get(places.len() / 2).copied().unwrap_or(0)
}

fn children_wait(number: f64) -> String {
    if number == 1.0 { "1 child waits".to_owned() } else { format!("{number:.0} children wait") }
}

const fn singular(service: Service) -> &'static str {
    match service {
        Service::Cast => "cast place",
        Service::Theatre => "tenotomy place",
        Service::Brace => "brace place",
    }
}

/// The first short week from which at least three in four weeks are short.
fn short_since(weeks: &[ServiceWeek]) -> Option<Day> {
    let mut since = None;
    let (mut short, mut all) = (0usize, 0usize);
    for week in weeks.iter().rev() {
        all += 1;
        if week.short > 0.5 {
            short += 1;
            if short * 4 >= all * 3 {
                since = Some(week.from);
            }
        }
    }
    since
}

fn month(day: Day) -> String {
    let (year, month, _) = day.parts();
    format!("{} {year}", Day::month_word(month))
}

fn windows(summary: &CaseloadSummary) -> String {
    match summary.past_window.band {
        None => "No cast was put on, so none stayed on past its window.".to_owned(),
        Some(band) => format!(
            "{} casts would stay on past their window because there is no place ({} to {} in 100 in nine of ten runs).",
            capital(&in_words(band.middle)),
            number(100.0 * band.low90),
            number(100.0 * band.high90)
        ),
    }
}

/// "about 1 in 5", "fewer than 1 in 100".
fn in_words(share: f64) -> String {
    match share {
        share if share <= 0.0 => "no".to_owned(),
        share if share < 0.01 => "fewer than 1 in 100".to_owned(),
        share if share < 0.5 => format!("about 1 in {:.0}", 1.0 / share),
        share => format!("about {:.0} in 10", 10.0 * share),
    }
}

fn waiting(summary: &CaseloadSummary) -> Option<String> {
    let wait = summary.wait(WaitKind::FirstCast)?;
    let Some(mean) = wait.mean_days else {
        return Some(match wait.still_waiting.middle {
            0.0 => "No child waited for a first cast.".to_owned(),
            waiting => format!("No first cast was put on: {} at the end.", children_wait(waiting)),
        });
    };
    Some(format!(
        "From referral to the first cast a child waits {} days on average ({} to {} in nine of ten runs); {} still at the end.",
        number(mean.middle),
        number(mean.low90),
        number(mean.high90),
        children_wait(wait.still_waiting.middle)
    ))
}

/// What the other setting changes, in sentences with their intervals: the waits for the first cast and the
/// tenotomy and the casts past their window in any case, every other measure where its difference is larger
/// than the error of the simulation.
#[must_use]
pub fn difference_sentence(comparison: &Comparison) -> Vec<String> {
    let change = |measure: ComparedMeasure| Some((measure, comparison.difference(measure)?.change?));
    let is_named = |(measure, change): &(ComparedMeasure, RunBand)| {
        is_headline(*measure) || change.low90 > SMALLEST_DIFFERENCE || change.high90 < -SMALLEST_DIFFERENCE
    };
    let (first, others): (Vec<_>, Vec<_>) = ComparedMeasure::ALL
        .into_iter()
        .filter_map(change)
        .filter(is_named)
        .partition(|(of, _)| is_headline(*of));
    first.into_iter().chain(others).map(|(measure, change)| difference(measure, change)).collect()
}

const fn is_headline(measure: ComparedMeasure) -> bool {
    matches!(
        measure,
        ComparedMeasure::FirstCastDays | ComparedMeasure::TenotomyDays | ComparedMeasure::PastWindowPercent
    )
}

/// The measure as the subject of a sentence, and the unit of its change.
const fn subject(measure: ComparedMeasure) -> (&'static str, &'static str) {
    match measure {
        ComparedMeasure::FirstCastDays => ("the wait from referral to the first cast would be", " days"),
        ComparedMeasure::TenotomyDays => ("the wait from ready to tenotomy would be", " days"),
        ComparedMeasure::FittingDays => ("the wait from ready to the brace would be", " days"),
        ComparedMeasure::ReviewDays => ("the delay of reviews would be", " days"),
        ComparedMeasure::PastWindowPercent => {
            ("casts past their window for lack of a place would be", " in 100")
        }
        ComparedMeasure::HoldingCasts => ("holding casts would be", ""),
        ComparedMeasure::WaitingAtEnd => ("children waiting for a first cast at the end would be", ""),
    }
}

fn difference(measure: ComparedMeasure, change: RunBand) -> String {
    let (what, unit) = subject(measure);
    if change.low90.abs() < SMALLEST_DIFFERENCE && change.high90.abs() < SMALLEST_DIFFERENCE {
        return format!("With the other setting {what} the same.");
    }
    let interval = interval(measure, change, unit);
    if change.middle.abs() < SMALLEST_DIFFERENCE {
        return format!("With the other setting {what} much the same (nine of ten runs: {interval}).");
    }
    format!(
        "With the other setting {what} {}{unit} {} (nine of ten runs: {interval}; the same simulated children in both).",
        number(change.middle.abs()),
        direction(measure, change.middle)
    )
}

/// "shorter" or "longer" for times, "fewer" or "more" for casts and children.
fn direction(measure: ComparedMeasure, by: f64) -> &'static str {
    let is_count = matches!(
        measure,
        ComparedMeasure::PastWindowPercent | ComparedMeasure::HoldingCasts | ComparedMeasure::WaitingAtEnd
    );
    match (is_count, by < 0.0) {
        (true, true) => "fewer",
        (true, false) => "more",
        (false, true) => "shorter",
        (false, false) => "longer",
    }
}

/// The range of a change in nine of ten runs.
fn interval(measure: ComparedMeasure, change: RunBand, unit: &str) -> String {
    let (low, high) = (change.low90.abs(), change.high90.abs());
    let [one, other] = [change.low90, change.high90].map(|by| direction(measure, by));
    if one == other {
        format!("{} to {}{unit} {one}", number(low.min(high)), number(low.max(high)))
    } else {
        format!("{}{unit} {one} to {}{unit} {other}", number(low), number(high))
    }
}

/// One place after the point below ten, none above.
fn number(value: f64) -> String {
    let value = if value.abs() < SMALLEST_DIFFERENCE { 0.0 } else { value };
    if value.abs() < 10.0 && value != value.trunc() { format!("{value:.1}") } else { format!("{value:.0}") }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
