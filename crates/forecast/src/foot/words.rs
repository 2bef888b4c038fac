//! The words of a forecast: its basis, its inputs and its cautions.

use super::casting::Casting;
use super::now::{ChildNow, FootNow};
use super::outcomes::Next;
use super::{Basis, Input, Stage};
use crate::learning::ClinicPosterior;
use crate::natural_history::{ClinicHabits, DAYS_PER_YEAR, Note, Parameters};
use crate::{SeenVisit, halves};
use record::Sign;

/// From this number of finished feet on, the words state that the clinic's own feet count more than the published
/// prior. It affects only the words; the weights follow from the counts.
const FEW: usize = 20;

/// What the forecasts of a clinic rest on; before the brace, or in it.
pub(crate) fn basis(clinic: &ClinicPosterior, in_brace: bool) -> Basis {
    let feet = clinic.finished_feet;
    let words = match feet {
        0 => "Published cohorts only: no foot of this clinic has finished its first casting yet.".to_owned(),
        1 => "Published cohorts, and the 1 finished foot of this clinic, which changes little.".to_owned(),
        2..FEW => {
            format!("Mainly published cohorts; the {feet} finished feet of this clinic still change little.")
        }
        _ => format!("Published cohorts, adapted to this clinic by its own {feet} finished feet."),
    };
    Basis {
        finished_feet: feet,
        tenotomy_decisions: clinic.tenotomy_decisions,
        braced_children: clinic.bracing.children,
        own_counts_share: clinic.guard.plain_share(),
        words,
        sources: sources(in_brace),
    }
}

/// Values that are used only for a foot in the brace.
const OF_BRACING: [&str; 8] = [
    "adherent",
    "relapse_ratio",
    "relapse_per_year",
    "wear_hours",
    "wear_share_not_adherent",
    "wear_sd_hours",
    "wear_over_report",
    "relapse_factor",
];

/// Values that a forecast does not use, or uses both in the brace and before it.
const OF_NEITHER: [&str; 2] = ["leave_per_year", "left_after_tenotomy"];

/// The basis and source of each value of the prior, published values first.
fn sources(in_brace: bool) -> Vec<String> {
    let mut notes = Parameters::published().notes();
    notes.extend(ClinicHabits::published().notes());
    notes.retain(|note| OF_BRACING.contains(&note.name) == in_brace && !OF_NEITHER.contains(&note.name));
    notes.sort_by_key(|note| note.basis as u8);
    notes.iter().map(source).collect()
}

fn source(note: &Note) -> String {
    let (what, basis, source) = (upper_first(note.what), note.basis.words(), note.source);
    format!("{what}: {basis}; {source}")
}

fn upper_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn points(halves: u8) -> String {
    record::Halves(halves).to_string()
}

/// The facts that were used.
pub(crate) fn inputs(now: &ChildNow<'_>, foot: &FootNow<'_>) -> Vec<Input> {
    if foot.stage.before_brace() { casting_inputs(now, foot) } else { bracing_inputs(now, foot) }
}

fn input(what: &'static str, found: Option<String>, day: Option<i32>) -> Input {
    Input { what, found, day }
}

fn born(now: &ChildNow<'_>, first: Option<i32>) -> Input {
    let born = now.child.born_day;
    let age = born.zip(first).map(|(born, first)| format!("{} days old", first - born));
    input("age at the first cast", age, first)
}

fn casting_inputs(now: &ChildNow<'_>, foot: &FootNow<'_>) -> Vec<Input> {
    let visits: Vec<&SeenVisit> = foot.seen.visits.iter().filter(|visit| visit.day <= now.as_of).collect();
    let mut inputs = vec![born(now, visits.first().map(|visit| visit.day))];
    let scored = visits.iter().filter(|visit| visit.signs.iter().any(Option::is_some)).count();
    inputs.push(input("visits with signs", Some(format!("{scored} of {}", visits.len())), None));
    if let Some(first) = visits.first() {
        inputs.push(score("first score", first));
    }
    if let Some(last) = visits.last().filter(|_| visits.len() > 1) {
        inputs.push(score("last score", last));
    }
    let measured = visits.iter().find_map(|visit| Some((visit.dorsiflexion_deg?, visit.day)));
    let angle = measured.map(|(deg, _)| format!("{deg:.0}°"));
    inputs.push(input("first dorsiflexion", angle, measured.map(|(_, day)| day)));
    inputs.push(input("casts so far", Some(foot.seen.casts.to_string()), None));
    let slipped = visits.iter().filter(|visit| visit.slipped).count();
    if slipped > 0 {
        inputs.push(input("casts that slipped", Some(slipped.to_string()), None));
    }
    inputs.push(input("next visit booked", now.child.next_day.map(|_| "yes".to_owned()), now.child.next_day));
    if now.feet.len() > 1 {
        inputs.push(input(
            "the other foot",
            Some("used: two feet of one child resemble each other".to_owned()),
            None,
        ));
    }
    inputs
}

fn score(what: &'static str, visit: &SeenVisit) -> Input {
    let midfoot = halves(&visit.signs, &Sign::ALL[..3]);
    let hindfoot = halves(&visit.signs, &Sign::ALL[3..]);
    let part = |score: Option<u8>| score.map_or_else(|| "incomplete".to_owned(), points);
    let any = visit.signs.iter().any(Option::is_some);
    let text = any.then(|| format!("midfoot {}, hindfoot {}", part(midfoot), part(hindfoot)));
    input(what, text, Some(visit.day))
}

fn bracing_inputs(now: &ChildNow<'_>, foot: &FootNow<'_>) -> Vec<Input> {
    let child = now.child;
    let age = child.born_day.map(|born| format!("{:.1} years", f64::from(now.as_of - born) / DAYS_PER_YEAR));
    let hours = |logged: bool| {
        let spans: Vec<_> =
            child.wear.iter().filter(|span| span.logged == logged && span.to_day <= now.as_of).collect();
        let last = spans.last()?;
        Some((format!("{} spans, the last {:.1} hours a day", spans.len(), last.hours_per_day), last.to_day))
    };
    let hours_of = |what, found: Option<(String, i32)>| {
        let day = found.as_ref().map(|(_, day)| *day);
        input(what, found.map(|(text, _)| text), day)
    };
    vec![
        input("age", age, None),
        input("brace first on", foot.seen.brace_day.map(|_| "yes".to_owned()), foot.seen.brace_day),
        hours_of("hours reported", hours(false)),
        hours_of("hours logged", hours(true)),
    ]
}

/// The cautions.
pub(crate) fn cautions(now: &ChildNow<'_>, foot: &FootNow<'_>, casting: Option<&Casting>) -> Vec<String> {
    let mut cautions = Vec::new();
    let mut add = |applies: bool, text: &str| {
        if applies {
            cautions.push(text.to_owned());
        }
    };
    let scored = foot.seen.visits.iter().any(|visit| visit.signs.iter().any(Option::is_some));
    let before = foot.stage.before_brace();
    add(before && !scored, "No sign of this foot has been scored: this is the forecast of an average foot.");
    add(
        foot.stage == Stage::BeforeFirstCast && now.child.next_day.is_none(),
        "No first visit is booked: one within two weeks is assumed, and every date depends on it.",
    );
    add(
        casting.is_some_and(|casting| casting.overdue),
        "The next step is later than any known so far: its day is spread over the next four weeks, without evidence.",
    );
    add(
        foot.stage == Stage::InCasts && foot.next == Next::NoCast,
        "Neither a cast nor a decision is recorded for the last visit: the foot is assumed unchanged at the next visit.",
    );
    add(
        rose(foot),
        "A sign was later recorded a full point worse than before: the forecast uses both values.",
    );
    add(
        matches!(foot.stage, Stage::FullTimeBracing | Stage::NightTimeBracing)
            && now.child.born_day.is_none(),
        "The day of birth is not recorded: relapse depends on age and is not forecast.",
    );
    add(
        matches!(foot.stage, Stage::FullTimeBracing | Stage::NightTimeBracing) && now.child.wear.is_empty(),
        "No hours of wear are known: the chance of a relapse is that of an average family.",
    );
    add(
        foot.stage == Stage::AfterRelapse,
        "After a relapse there is little to forecast from: in one cohort of 191 children a second relapse was avoided in 68 % when braced (Sangiorgio 2017); courses of recasting are not published.",
    );
    cautions
}

/// Whether a sign was written 0 and later 1 during casting.
fn rose(foot: &FootNow<'_>) -> bool {
    (0..6).any(|sign| {
        let mut points = foot.seen.visits.iter().filter_map(|visit| visit.signs[sign]);
        let mut least = None;
        points.any(|point| {
            let before = least.unwrap_or(point);
            least = Some(before.min(point));
            point.halves().0 >= before.halves().0 + 2
        })
    })
}
