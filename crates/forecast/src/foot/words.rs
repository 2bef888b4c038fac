//! The words that go with a forecast: what it rests on, what went in, what to beware of.

use super::casting::Casting;
use super::now::{ChildNow, FootNow};
use super::outcomes::Next;
use super::{Basis, Input, Stage};
use crate::learning::ClinicPosterior;
use crate::natural_history::{ClinicHabits, DAYS_PER_YEAR, Note, Parameters};
use crate::{SeenVisit, halves};
use record::Sign;

/// Feet of a clinic from which on it is more than the published prior that talks; a matter of words
/// only, the weights follow from the counts.
const FEW: usize = 20;

/// What the forecasts of a clinic rest on; before the brace, or in it.
pub(crate) fn basis(clinic: &ClinicPosterior, in_brace: bool) -> Basis {
    let feet = clinic.finished_feet;
    let words = match feet {
        0 => "Published cohorts only: no foot of this clinic has finished its first casting yet.".to_owned(),
        1 => "Published cohorts, and the 1 finished foot of this clinic, which changes little.".to_owned(),
        2..FEW => {
            format!("Published cohorts, mostly; the {feet} finished feet of this clinic still weigh little.")
        }
        _ => format!("Published cohorts, brought to this clinic by its own {feet} finished feet."),
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

/// Values that only a foot in the brace is forecast with.
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

/// Values that a forecast does not read, or reads in the brace as before it.
const OF_NEITHER: [&str; 2] = ["leave_per_year", "left_after_tenotomy"];

/// What each value of the prior rests on, as it stands beside the value; those published first.
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

/// The facts that went in.
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
    inputs.push(input("sittings with signs", Some(format!("{scored} of {}", visits.len())), None));
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
    inputs.push(input(
        "next sitting booked",
        now.child.next_day.map(|_| "yes".to_owned()),
        now.child.next_day,
    ));
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
    let told = |what, found: Option<(String, i32)>| {
        let day = found.as_ref().map(|(_, day)| *day);
        input(what, found.map(|(text, _)| text), day)
    };
    vec![
        input("age", age, None),
        input("brace first on", foot.seen.brace_day.map(|_| "yes".to_owned()), foot.seen.brace_day),
        told("hours reported", hours(false)),
        told("hours logged", hours(true)),
    ]
}

/// What to beware of.
pub(crate) fn cautions(now: &ChildNow<'_>, foot: &FootNow<'_>, casting: Option<&Casting>) -> Vec<String> {
    let mut cautions = Vec::new();
    let mut say = |holds: bool, text: &str| {
        if holds {
            cautions.push(text.to_owned());
        }
    };
    let scored = foot.seen.visits.iter().any(|visit| visit.signs.iter().any(Option::is_some));
    let before = foot.stage.before_brace();
    say(before && !scored, "No sign of this foot has been scored: this is what is said of any foot.");
    say(
        foot.stage == Stage::BeforeFirstCast && now.child.next_day.is_none(),
        "No first sitting is booked: it is taken to come within two weeks, and every date moves with it.",
    );
    say(
        casting.is_some_and(|casting| casting.overdue),
        "The next step is later than any seen so far: its day is spread over four weeks from now, without evidence.",
    );
    say(
        foot.stage == Stage::InCasts && foot.next == Next::NoCast,
        "No cast is written at the last sitting, and no decision: the next sitting is taken to find the foot as it was.",
    );
    say(
        rose(foot),
        "A sign was later written a full point worse than before: the forecast takes both as written.",
    );
    say(
        matches!(foot.stage, Stage::FullTimeBracing | Stage::NightTimeBracing)
            && now.child.born_day.is_none(),
        "The day of birth is not written: relapse depends on age and is not forecast.",
    );
    say(
        matches!(foot.stage, Stage::FullTimeBracing | Stage::NightTimeBracing) && now.child.wear.is_empty(),
        "No hours of wear are known: the chance of a relapse is that of the average family.",
    );
    say(
        foot.stage == Stage::AfterRelapse,
        "After a relapse there is little to forecast from: one cohort of 191 avoided a second relapse in 68 % when braced (Sangiorgio 2017); courses of recasting are not published.",
    );
    cautions
}

/// Whether a sign was written 0 and later 1 during casting.
fn rose(foot: &FootNow<'_>) -> bool {
    (0..6).any(|sign| {
        let mut told = foot.seen.visits.iter().filter_map(|visit| visit.signs[sign]);
        let mut least = None;
        told.any(|point| {
            let before = least.unwrap_or(point);
            least = Some(before.min(point));
            point.halves().0 >= before.halves().0 + 2
        })
    })
}
