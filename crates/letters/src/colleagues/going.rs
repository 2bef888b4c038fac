//! What is going on: what is in doubt, the next steps, the dates, what to watch for, how the clinic is reached.

use super::{ColleagueBlock, ColleagueFacts, date, heading, own, said};
use crate::{
    document::Block,
    facts,
    parts::{messages, telephone_of},
    plan,
};
use course::{Phase, Question, Standing};
use guidance::{Action, CAUTION, NextStep, Scope, without_echo};
use messages::Sentence;

/// Questions that are printed; the file of the record has all.
const QUESTIONS: usize = 8;
/// Dates that are printed.
const DATES: usize = 4;

/// What is in doubt in the record. The steps of a foot in doubt are held by the outlook; here the reader learns why.
pub(super) fn doubt(facts: &ColleagueFacts<'_>) -> Option<Block> {
    let questions = &facts.course().questions;
    if questions.is_empty() {
        return None;
    }
    let mut sentences: Vec<Sentence> = in_order(questions).take(QUESTIONS).map(question).collect();
    let more = questions.len().saturating_sub(QUESTIONS);
    if more > 0 {
        let more = i64::try_from(more).unwrap_or(i64::MAX);
        sentences.push(Sentence::new("clinic-doubt-more").with("count", more));
    }
    Some(own(ColleagueBlock::Doubt(sentences)))
}

/// Questions about the side or the sense of a treatment first.
fn in_order(questions: &[Question]) -> impl Iterator<Item = &Question> {
    let of = |grave: bool| questions.iter().filter(move |one| one.kind.asks_confirmation() == grave);
    of(true).chain(of(false))
}

fn question(question: &Question) -> Sentence {
    let sentence = match question.side {
        Some(side) => Sentence::new("clinic-doubt-foot").with("foot", side),
        None => Sentence::new("clinic-doubt"),
    };
    sentence.with("day", date(question.on)).with("text", question.text.as_str())
}

/// Where care has ended, how.
pub(super) fn standing(facts: &ColleagueFacts<'_>) -> Option<Block> {
    let (id, day) = match facts.course().standing {
        Standing::Active => return None,
        Standing::Discharged(day) => ("clinic-discharged", day),
        Standing::Transferred(day) => ("clinic-transferred", day),
        Standing::Died(day) => ("clinic-died", day),
        Standing::Lost(day) => ("clinic-lost", day),
    };
    Some(Block::Paragraph(vec![Sentence::new(id).with("day", date(day))]))
}

/// The next steps, each with the foot it is about; with reasons where the reader decides.
pub(super) fn steps(facts: &ColleagueFacts<'_>, with_reasons: bool) -> Vec<Block> {
    if facts.has_died() {
        return Vec::new();
    }
    let steps = facts.outlook.steps_on(facts.today);
    let due: Vec<&NextStep> =
        without_echo(&steps).into_iter().filter(|step| step.action != Action::Nothing).collect();
    let mut sentences: Vec<Sentence> = match due.as_slice() {
        [] => vec![Sentence::new("clinic-no-step")],
        due => due.iter().flat_map(|step| step_lines(step, with_reasons)).collect(),
    };
    sentences.extend(cautions(&due));
    vec![heading("clinic-next-head"), Block::List(sentences)]
}

fn step_lines(step: &NextStep, with_reasons: bool) -> Vec<Sentence> {
    let one_day = step.window.is_some_and(|window| window.from == window.to);
    let id = match (step.scope, step.window.is_some()) {
        (Scope::Child, true) if one_day => "clinic-step-child-day",
        (Scope::Child, true) => "clinic-step-child",
        (Scope::Child, false) => "clinic-step-child-open",
        (Scope::Foot(_), true) if one_day => "clinic-step-foot-day",
        (Scope::Foot(_), true) => "clinic-step-foot",
        (Scope::Foot(_), false) => "clinic-step-foot-open",
    };
    // A day follows the words of the step.
    let mut sentence = Sentence::new(id).with("step", step.words.trim_end_matches('.'));
    if let Scope::Foot(side) = step.scope {
        sentence = sentence.with("foot", side);
    }
    if let Some(window) = step.window {
        sentence = sentence.with("from", date(window.from)).with("to", date(window.to));
    }
    let mut lines = vec![sentence];
    let reasons = step.because.iter().filter(|_| with_reasons);
    lines.extend(reasons.map(|reason| {
        Sentence::new("clinic-reason")
            .with("fact", &*closed(&reason.fact))
            .with("rule", &*closed(&reason.rule))
            .with("source", &*reason.source)
    }));
    lines
}

/// The text with a full stop, where it ends without one.
fn closed(text: &str) -> String {
    let text = text.trim_end();
    if text.is_empty() || text.ends_with(['.', '?', '!', ':']) { text.to_owned() } else { format!("{text}.") }
}

/// The cautions of all steps, each once; one that holds for a single foot of two names it.
fn cautions(due: &[&NextStep]) -> Vec<Sentence> {
    let mut once: Vec<&str> = Vec::new();
    for caution in due.iter().flat_map(|step| &step.cautions) {
        if !once.contains(&&**caution) {
            once.push(caution);
        }
    }
    once.into_iter().map(|text| caution(due, text)).collect()
}

fn caution(due: &[&NextStep], text: &str) -> Sentence {
    let has = |step: &&NextStep| step.cautions.iter().any(|caution| caution == text);
    let mut scopes: Vec<Scope> = due.iter().copied().filter(has).map(|step| step.scope).collect();
    scopes.dedup();
    match scopes.as_slice() {
        [Scope::Foot(side)] if due.len() > 1 => {
            Sentence::new("clinic-caution-foot").with("foot", *side).with("text", text)
        }
        _ => Sentence::new("clinic-caution").with("text", text),
    }
}

/// The visits that are planned.
pub(super) fn dates(facts: &ColleagueFacts<'_>) -> Vec<Block> {
    let planned = facts::planned(facts.course(), facts.today);
    if planned.is_empty() || facts.has_died() {
        return Vec::new();
    }
    vec![heading("clinic-dates-head"), Block::Dates(plan::dated(planned.iter().take(DATES)))]
}

/// What a colleague who sees the child in between should look for.
pub(super) fn watch(facts: &ColleagueFacts<'_>) -> Vec<Block> {
    let course = facts.course();
    let in_phase = |phases: &[Phase]| course.feet.iter().any(|foot| phases.contains(&foot.phase));
    let mut ids = Vec::new();
    if course.feet.iter().any(|foot| foot.cast_on().is_some()) {
        ids.push("clinic-watch-cast");
    }
    if in_phase(&[Phase::FullTimeBracing, Phase::NightTimeBracing]) {
        ids.extend(["clinic-watch-brace", "clinic-watch-skin"]);
    }
    ids.push("clinic-watch-relapse");
    vec![heading("clinic-watch-head"), Block::List(messages(&ids))]
}

/// The telephone of the clinic, who signs, and the caution.
pub(super) fn closing(facts: &ColleagueFacts<'_>) -> Vec<Block> {
    let mut signed = vec![facts.writer.to_owned()];
    signed.extend(facts.clinic.letterhead.signature.clone());
    signed.push(facts.clinic.name.clone());
    signed.retain(|line| !line.trim().is_empty());
    vec![
        telephone_of(facts.clinic),
        own(ColleagueBlock::Signature(signed)),
        own(ColleagueBlock::Small(vec![said(CAUTION)])),
    ]
}
