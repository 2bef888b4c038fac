//! `child`: one child's course, next steps with their reasons, and forecasts.

use super::{
    RESTRICTED, Reading,
    child_forecast::{self, ForecastResult},
    print, print_sorted,
};
use crate::{admission::note_command, cli::ChildArgs, exit::Failure};
use clinic::{AccessOutcome, SavedReason};
use course::{AssessmentSeen, FootCourse};
use forecast::foot::FootForecast;
use guidance::{Attention, CAUTION, NextStep, Outlook, Reason, Scope};
use record::{ChildId, Day, EntryId, Halves, Side, UserId};
use serde::Serialize;
use std::fmt::Write as _;

/// Prints one child.
///
/// # Errors
/// When there is no such child, more than one has the number, or the record is restricted.
pub fn child(args: &ChildArgs, person: Option<UserId>) -> Result<(), Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let as_of = args.as_of.unwrap_or_else(|| reading.clock.today());
    let child = find(&reading, &args.id)?;
    let closed = reading.closed_to(person)?.has(child);
    let outcome = if closed { AccessOutcome::Restricted } else { AccessOutcome::Opened };
    note_command(&args.signed.data, person, "child", Some(child), (outcome, ""));
    if closed {
        return Err(Failure::not_allowed(RESTRICTED));
    }
    let entries = reading.records.entries(child)?;
    let outlook = reading.records.outlook(child, &entries, as_of);
    let forecasts = child_forecast::forecasts(&reading.records, &outlook.course)?;
    let result = ChildResult::of(&outlook, &forecasts);
    if args.json { print_sorted(&result) } else { print(&as_text(&result)) }
}

/// The child of an id or a hospital number.
///
/// # Errors
/// When there is none, or more than one.
pub fn find(reading: &Reading, text: &str) -> Result<ChildId, Failure> {
    let none = || Failure::failed(format!("There is no child with the id or number “{text}”."));
    if let Ok(id) = text.parse::<ChildId>() {
        return if reading.records.entries(id)?.is_empty() { Err(none()) } else { Ok(id) };
    }
    match reading.records.by_number(text)?.as_slice() {
        [one] => Ok(*one),
        [] => Err(none()),
        several => {
            let ids: Vec<String> = several.iter().map(ToString::to_string).collect();
            Err(Failure::failed(format!(
                "More than one child has the number “{text}”. Use one of the ids: {}.",
                ids.join(", ")
            )))
        }
    }
}

/// A child's course, next steps and forecasts.
#[derive(Debug, Serialize)]
struct ChildResult<'a> {
    child: ChildId,
    number: Option<&'a str>,
    name: String,
    born: Option<Day>,
    /// The age on the as-of day, in words.
    #[serde(skip)]
    age: Option<String>,
    as_of: Day,
    feet: Vec<FootResult<'a>>,
    next: Option<StepResult>,
    attention: Vec<CallResult>,
    questions: Vec<QuestionResult<'a>>,
    caution: &'static str,
}

/// The course of one foot.
#[derive(Debug, Serialize)]
struct FootResult<'a> {
    side: Side,
    phase: &'static str,
    #[serde(skip)]
    phase_words: &'static str,
    phase_since: Option<Day>,
    episode: u8,
    /// Casts of this episode.
    casts: usize,
    casts_in_all: usize,
    last_cast_on: Option<Day>,
    scores: Vec<ScoreResult>,
    /// The total of the last Pirani score, if it is complete, and its day.
    #[serde(skip)]
    last_pirani: Option<(Option<Halves>, Day)>,
    next: Option<StepResult>,
    forecast: Option<ForecastResult<'a>>,
}

/// One assessment.
#[derive(Debug, Serialize)]
struct ScoreResult {
    on: Day,
    days_since_cast: Option<i32>,
    midfoot: Option<f64>,
    hindfoot: Option<f64>,
    total: Option<f64>,
    stated_total: Option<f64>,
    missing: Vec<&'static str>,
    dimeglio: Option<u8>,
    walking: Option<u8>,
    abduction_deg: Option<i16>,
    dorsiflexion_deg: Option<i16>,
    foot_length_mm: Option<u16>,
    entry: EntryId,
}

/// A next step with its reasons.
#[derive(Debug, Serialize)]
pub struct StepResult {
    scope: &'static str,
    action: &'static str,
    words: String,
    from: Option<Day>,
    to: Option<Day>,
    because: Vec<SavedReason>,
    otherwise: Vec<SavedReason>,
    cautions: Vec<String>,
}

/// Something that needs attention.
#[derive(Debug, Serialize)]
struct CallResult {
    rule: &'static str,
    urgency: &'static str,
    side: Option<Side>,
    from: Day,
    until: Option<Day>,
    place: &'static str,
    #[serde(skip)]
    place_words: Option<&'static str>,
    applies: bool,
    /// Whether it is open on the as-of day or begins later.
    #[serde(skip)]
    lasts: bool,
    text: String,
    because: Vec<SavedReason>,
}

/// An open question.
#[derive(Debug, Serialize)]
struct QuestionResult<'a> {
    kind: &'static str,
    side: Option<Side>,
    on: Day,
    text: &'a str,
    entries: &'a [EntryId],
}

impl From<&NextStep> for StepResult {
    fn from(step: &NextStep) -> Self {
        Self {
            scope: match step.scope {
                Scope::Foot(side) => side.word(),
                Scope::Child => "child",
            },
            action: step.action.key(),
            words: step.words.to_string(),
            from: step.window.map(|window| window.from),
            to: step.window.map(|window| window.to),
            because: reasons(&step.because),
            otherwise: reasons(&step.otherwise),
            cautions: step.cautions.iter().map(ToString::to_string).collect(),
        }
    }
}

/// Reasons in the form in which they are printed.
pub fn reasons(reasons: &[Reason]) -> Vec<SavedReason> {
    reasons.iter().map(SavedReason::from).collect()
}

impl<'a> ChildResult<'a> {
    fn of(outlook: &'a Outlook, forecasts: &'a [FootForecast]) -> Self {
        let course = &outlook.course;
        let questions = course.questions.iter().map(|question| QuestionResult {
            kind: question.kind.key(),
            side: question.side,
            on: question.on,
            text: &question.text,
            entries: &question.entries,
        });
        Self {
            child: course.child,
            number: course.about.numbers.first().map(String::as_str),
            name: course.about.full_name(),
            born: course.about.born,
            age: course.age_on(course.as_of).map(|age| age.words()),
            as_of: course.as_of,
            feet: course.feet.iter().map(|foot| FootResult::of(outlook, foot, forecasts)).collect(),
            next: outlook.child_step_on(course.as_of).map(|step| StepResult::from(step.as_ref())),
            attention: outlook.attention.iter().map(|call| CallResult::of(call, course.as_of)).collect(),
            questions: questions.collect(),
            caution: CAUTION,
        }
    }
}

impl CallResult {
    fn of(call: &Attention, as_of: Day) -> Self {
        Self {
            rule: call.rule,
            urgency: call.urgency.words(),
            side: call.side,
            from: call.from,
            until: call.until,
            place: call.place.key(),
            place_words: call.place.words(),
            applies: call.applies(as_of),
            lasts: call.lasts_to(as_of),
            text: call.text.words(),
            because: reasons(&call.because),
        }
    }
}

impl<'a> FootResult<'a> {
    fn of(outlook: &Outlook, foot: &'a FootCourse, forecasts: &'a [FootForecast]) -> Self {
        Self {
            side: foot.side,
            phase: foot.phase.key(),
            phase_words: foot.phase.words(),
            phase_since: foot.phase_since,
            episode: foot.episode,
            casts: foot.casts.iter().filter(|cast| cast.episode == foot.episode).count(),
            casts_in_all: foot.casts.len(),
            last_cast_on: foot.last_cast().map(|cast| cast.on),
            scores: foot.scores.iter().map(ScoreResult::from).collect(),
            last_pirani: foot.last_pirani().map(|scored| (scored.pirani.total(), scored.on)),
            next: outlook.foot_step(foot.side).map(StepResult::from),
            forecast: child_forecast::of_side(forecasts, foot.side).map(ForecastResult::from),
        }
    }
}

impl From<&AssessmentSeen> for ScoreResult {
    fn from(scored: &AssessmentSeen) -> Self {
        let value = |halves: Option<Halves>| halves.map(Halves::value);
        Self {
            on: scored.on,
            days_since_cast: scored.days_since_cast,
            midfoot: value(scored.pirani.midfoot()),
            hindfoot: value(scored.pirani.hindfoot()),
            total: value(scored.pirani.total()),
            stated_total: value(scored.stated_total),
            missing: scored.pirani.missing().map(record::Sign::key).collect(),
            dimeglio: scored.dimeglio.total(),
            walking: scored.walking.total(),
            abduction_deg: scored.abduction_deg,
            dorsiflexion_deg: scored.dorsiflexion_deg,
            foot_length_mm: scored.foot_length_mm,
            entry: scored.entry,
        }
    }
}

// Writing to a string does not fail, so the results are ignored.
fn as_text(child: &ChildResult<'_>) -> String {
    let mut text = String::new();
    let _ = writeln!(text, "{}, {}", child.name, child.number.unwrap_or("no number"));
    let _ = writeln!(text, "{}", child.child);
    let born = match (child.born, &child.age) {
        (Some(born), Some(age)) => format!("Born {}, {age} old on {}", born.words(), child.as_of.words()),
        _ => format!("Date of birth not known; as of {}", child.as_of.words()),
    };
    let _ = writeln!(text, "{born}");
    for foot in &child.feet {
        let _ = writeln!(text, "\n{}", foot_line(foot));
        text.extend(foot.next.iter().map(step_text));
        text.extend(foot.forecast.iter().map(child_forecast::text));
    }
    if let Some(step) = &child.next {
        let _ = writeln!(text, "\nThe child:");
        text.push_str(&step_text(step));
    }
    let calls = child.attention.iter().filter(|call| call.lasts).map(|call| call_line(call, child.as_of));
    list(&mut text, "Needs attention", calls);
    let questions = child.questions.iter();
    let questions =
        questions.map(|question| format!("{}{}: {}", side(question.side), question.on, question.text));
    list(&mut text, "Open questions", questions);
    let _ = writeln!(text, "\n{}", child.caution);
    text
}

fn call_line(call: &CallResult, as_of: Day) -> String {
    let when = if call.from <= as_of { "since" } else { "from" };
    let place = call.place_words.map(|words| format!(", {words}")).unwrap_or_default();
    format!("{}{} ({}, {when} {}{place})", side(call.side), call.text, call.urgency, call.from)
}

fn side(side: Option<Side>) -> String {
    side.map(|side| format!("{} foot: ", side.title())).unwrap_or_default()
}

fn foot_line(foot: &FootResult<'_>) -> String {
    let last = foot.last_cast_on.map(|day| format!(", last cast on {day}")).unwrap_or_default();
    let since = foot.phase_since.map(|day| format!(" since {day}")).unwrap_or_default();
    let score = match foot.last_pirani {
        Some((Some(total), on)) => format!(", score {total} on {on}"),
        Some((None, on)) => format!(", score incomplete on {on}"),
        None => String::new(),
    };
    format!(
        "{} foot: {}{since}, episode {}, {} casts{last}{score}",
        foot.side.title(),
        foot.phase_words,
        foot.episode,
        foot.casts
    )
}

fn step_text(step: &StepResult) -> String {
    let mut text = String::new();
    let window = step.from.zip(step.to).map(|(from, to)| format!(", {from} to {to}")).unwrap_or_default();
    let _ = writeln!(text, "  Next: {}{window}", step.words);
    for reason in &step.because {
        let fact = crate::exit::sentence(&reason.fact);
        let _ = writeln!(text, "    because {fact} {} [{}]", reason.rule, reason.source);
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
