//! `child`: one child's course, next steps with their reasons, and what is likely.

use super::{Reading, child_forecast, print, print_json};
use crate::{cli::ChildArgs, exit::Failure};
use clinic::SavedReason;
use course::{FootCourse, Scored};
use forecast::foot::FootForecast;
use guidance::{CAUTION, NextStep, Outlook, Reason, Scope};
use record::{ChildId, Day, Side};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Prints one child.
///
/// # Errors
/// When there is no such child, or more than one bears the number.
pub fn child(args: &ChildArgs) -> Result<(), Failure> {
    let reading = Reading::open(&args.data)?;
    let as_of = args.as_of.unwrap_or_else(|| reading.clock.today());
    let child = find(&reading, &args.id)?;
    let entries = reading.records.archive().entries(child)?;
    let outlook = reading.records.outlook(child, &entries, as_of);
    let forecasts = child_forecast::forecasts(&reading.records, &outlook.course)?;
    if args.json { print_json(&as_json(&outlook, &forecasts)) } else { print(&as_text(&outlook, &forecasts)) }
}

/// By id, or by hospital number.
fn find(reading: &Reading, text: &str) -> Result<ChildId, Failure> {
    let none = || Failure::failed(format!("There is no child with the id or number “{text}”."));
    if let Ok(id) = text.parse::<ChildId>() {
        return if reading.records.archive().entries(id)?.is_empty() { Err(none()) } else { Ok(id) };
    }
    match reading.records.archive().by_number(text)?.as_slice() {
        [one] => Ok(*one),
        [] => Err(none()),
        several => {
            let ids: Vec<String> = several.iter().map(ToString::to_string).collect();
            Err(Failure::failed(format!(
                "More than one child has the number “{text}”: say which id: {}.",
                ids.join(", ")
            )))
        }
    }
}

/// A day range's ends, reasons and cautions of a step.
pub fn step_json(step: &NextStep) -> Value {
    json!({
        "scope": scope(step.scope),
        "action": step.action.key(),
        "words": step.words,
        "from": step.window.map(|window| window.from),
        "to": step.window.map(|window| window.to),
        "because": reasons(&step.because),
        "otherwise": reasons(&step.otherwise),
        "cautions": step.cautions,
    })
}

fn scope(scope: Scope) -> &'static str {
    match scope {
        Scope::Foot(side) => side.word(),
        Scope::Child => "child",
    }
}

/// Reasons as JSON.
pub fn reasons(reasons: &[Reason]) -> Vec<SavedReason> {
    reasons.iter().map(SavedReason::from).collect()
}

fn as_json(outlook: &Outlook, forecasts: &[FootForecast]) -> Value {
    let course = &outlook.course;
    let attention = outlook.attention.iter().map(|call| {
        json!({
            "rule": call.rule,
            "urgency": call.urgency.words(),
            "side": call.side,
            "from": call.from,
            "until": call.until,
            "place": call.place.key(),
            "applies": call.applies(course.as_of),
            "text": call.text,
            "because": reasons(&call.because),
        })
    });
    let questions = course.questions.iter().map(|question| {
        json!({
            "kind": question.kind.key(),
            "side": question.side,
            "on": question.on,
            "text": question.text,
            "entries": question.entries,
        })
    });
    json!({
        "child": course.child,
        "number": course.about.numbers.first(),
        "name": course.about.full_name(),
        "born": course.about.born,
        "as_of": course.as_of,
        "feet": course.feet.iter().map(|foot| foot_json(outlook, foot, forecasts)).collect::<Vec<_>>(),
        "next": outlook.child_step_on(course.as_of).map(|step| step_json(&step)),
        "attention": attention.collect::<Vec<_>>(),
        "questions": questions.collect::<Vec<_>>(),
        "caution": CAUTION,
    })
}

fn foot_json(outlook: &Outlook, foot: &FootCourse, forecasts: &[FootForecast]) -> Value {
    json!({
        "side": foot.side,
        "phase": foot.phase.key(),
        "phase_since": foot.phase_since,
        "episode": foot.episode,
        "casts": foot.casts.iter().filter(|cast| cast.episode == foot.episode).count(),
        "casts_in_all": foot.casts.len(),
        "last_cast_on": foot.last_cast().map(|cast| cast.on),
        "scores": foot.scores.iter().map(score_json).collect::<Vec<_>>(),
        "next": outlook.foot_step(foot.side).map(step_json),
        "forecast": child_forecast::of_side(forecasts, foot.side).map(child_forecast::json),
    })
}

fn score_json(scored: &Scored) -> Value {
    let halves = |halves: Option<record::Halves>| halves.map(record::Halves::value);
    json!({
        "on": scored.on,
        "days_since_cast": scored.days_since_cast,
        "midfoot": halves(scored.pirani.midfoot()),
        "hindfoot": halves(scored.pirani.hindfoot()),
        "total": halves(scored.pirani.total()),
        "stated_total": halves(scored.stated_total),
        "missing": scored.pirani.missing().map(record::Sign::key).collect::<Vec<_>>(),
        "dimeglio": scored.dimeglio.total(),
        "walking": scored.walking.total(),
        "abduction_deg": scored.abduction_deg,
        "dorsiflexion_deg": scored.dorsiflexion_deg,
        "foot_length_mm": scored.foot_length_mm,
        "entry": scored.entry,
    })
}

// Writing to a string does not fail, so its result is let go throughout.
fn as_text(outlook: &Outlook, forecasts: &[FootForecast]) -> String {
    let course = &outlook.course;
    let mut text = String::new();
    let number = course.about.numbers.first().map_or("no number", String::as_str);
    let _ = writeln!(text, "{}, {number}", course.about.full_name());
    let _ = writeln!(text, "{}", course.child);
    let born = match (course.about.born, course.age_on(course.as_of)) {
        (Some(born), Some(age)) => {
            format!("Born {}, {} old on {}", born.words(), age.words(), course.as_of.words())
        }
        _ => format!("Day of birth not known; as of {}", course.as_of.words()),
    };
    let _ = writeln!(text, "{born}");
    for foot in &course.feet {
        let _ = writeln!(text, "\n{}", foot_line(foot));
        if let Some(step) = outlook.foot_step(foot.side) {
            text.push_str(&step_text(step));
        }
        if let Some(forecast) = child_forecast::of_side(forecasts, foot.side) {
            text.push_str(&child_forecast::text(forecast));
        }
    }
    if let Some(step) = outlook.child_step_on(course.as_of) {
        let _ = writeln!(text, "\nThe child:");
        text.push_str(&step_text(&step));
    }
    list(
        &mut text,
        "Needs attention",
        outlook.attention.iter().filter(|call| call.lasts_to(course.as_of)).map(|call| {
            let when = if call.from <= course.as_of { "since" } else { "from" };
            let place = call.place.words().map(|words| format!(", {words}")).unwrap_or_default();
            format!(
                "{}{} ({}, {when} {}{place})",
                side(call.side),
                call.text,
                call.urgency.words(),
                call.from
            )
        }),
    );
    list(
        &mut text,
        "Open questions",
        course
            .questions
            .iter()
            .map(|question| format!("{}{}: {}", side(question.side), question.on, question.text)),
    );
    let _ = writeln!(text, "\n{CAUTION}");
    text
}

fn side(side: Option<Side>) -> String {
    side.map(|side| format!("{} foot: ", side.title())).unwrap_or_default()
}

fn foot_line(foot: &FootCourse) -> String {
    let casts = foot.casts.iter().filter(|cast| cast.episode == foot.episode).count();
    let last = foot.last_cast().map(|cast| format!(", last cast on {}", cast.on)).unwrap_or_default();
    let since = foot.phase_since.map(|day: Day| format!(" since {day}")).unwrap_or_default();
    let score = foot.last_pirani().map(|scored| match scored.pirani.total() {
        Some(total) => format!(", score {total} on {}", scored.on),
        None => format!(", score incomplete on {}", scored.on),
    });
    let score = score.unwrap_or_default();
    format!(
        "{} foot: {}{since}, episode {}, {casts} casts{last}{score}",
        foot.side.title(),
        foot.phase.words(),
        foot.episode
    )
}

fn step_text(step: &NextStep) -> String {
    let mut text = String::new();
    let window = step.window.map(|window| format!(", {} to {}", window.from, window.to)).unwrap_or_default();
    let _ = writeln!(text, "  Next: {}{window}", step.words);
    for reason in &step.because {
        let _ = writeln!(
            text,
            "    because {} {} [{}]",
            crate::exit::sentence(&reason.fact),
            reason.rule,
            reason.source
        );
    }
    for reason in &step.otherwise {
        let _ = writeln!(text, "    another rule: {} {} [{}]", reason.fact, reason.rule, reason.source);
    }
    for caution in &step.cautions {
        let _ = writeln!(text, "    take care: {caution}");
    }
    text
}

fn list(text: &mut String, title: &str, lines: impl Iterator<Item = String>) {
    for (index, line) in lines.enumerate() {
        if index == 0 {
            let _ = writeln!(text, "\n{title}");
        }
        let _ = writeln!(text, "- {line}");
    }
}
