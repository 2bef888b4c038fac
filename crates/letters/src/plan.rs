//! The family plan: where the child is, what comes next, what to look at, when to ring.

use crate::{
    document::{Block, DatedLine, FamilyDocument, FamilyDocumentKind, WayPoint},
    facts::{FamilyFacts, Planned},
    parts::{Going, feet_key, messages, telephone, whose},
    stage::FamilyStage,
};
use forecast::foot::{Chance, FootForecast, Stage};
use messages::Sentence;
use record::{Purpose, Side};

/// The most dates on the plan.
const DATES: usize = 4;
/// A chance is told as a number of ten children.
const OF_TEN: f64 = 10.0;

/// What the clinician chose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PlanChoices {
    /// Whether what is likely is left in.
    pub with_forecast: bool,
}

/// The plan.
#[must_use]
pub fn family_plan(facts: &FamilyFacts<'_>, choices: PlanChoices) -> FamilyDocument {
    let mut blocks = Vec::new();
    if facts.is_urgent() {
        blocks.push(Block::Paragraph(vec![Sentence::new("plan-urgent")]));
    }
    blocks.extend(way(facts));
    blocks.push(Block::Heading(Sentence::new("plan-dates-head")));
    blocks.extend(dates(facts));
    blocks.extend(next_visit(facts));
    blocks.extend(hours(facts));
    blocks.push(Block::Heading(Sentence::new("plan-daily-head")));
    blocks.push(Block::List(daily(facts)));
    if choices.with_forecast {
        blocks.extend(likely(facts));
    }
    blocks.push(Block::Ring(ring(facts)));
    blocks.push(Going::of(facts).emergency());
    blocks.push(telephone(facts));
    let title = Sentence::new("plan-title").with("name", facts.name().as_str());
    FamilyDocument { kind: FamilyDocumentKind::Plan, title, whose: whose(facts), blocks }
}

/// The way with "you are here"; nothing where no foot is on it.
fn way(facts: &FamilyFacts<'_>) -> Vec<Block> {
    let furthest_back = facts.feet.iter().filter_map(|(_, stage)| *stage).min();
    let Some(back) = furthest_back else {
        return vec![Block::Paragraph(vec![Sentence::new("plan-after-operation")])];
    };
    let point = |stage| WayPoint { stage, here: facts.feet_where(|at| at == stage), passed: stage < back };
    let points = FamilyStage::ALL.into_iter().map(point).collect();
    let mut blocks = vec![Block::Heading(Sentence::new("plan-way-head")), Block::Way(points)];
    let sentences: Vec<Sentence> =
        FamilyStage::ALL.into_iter().flat_map(|stage| here(facts, stage)).collect();
    blocks.push(Block::Paragraph(sentences));
    blocks
}

/// What a stage means, for the feet that are in it.
fn here(facts: &FamilyFacts<'_>, stage: FamilyStage) -> Vec<Sentence> {
    let feet = facts.feet_where(|at| at == stage);
    if feet.is_empty() {
        return Vec::new();
    }
    let id = match stage {
        FamilyStage::FirstVisit => "here-first-visit",
        FamilyStage::Casts if is_again(facts, &feet) => "here-casts-again",
        FamilyStage::Casts => "here-casts",
        FamilyStage::HeelCord => "here-heel-cord",
        FamilyStage::LastCast => "here-last-cast",
        FamilyStage::BraceDayAndNight => "here-brace-day-and-night",
        FamilyStage::BraceAtNight => "here-brace-at-night",
        FamilyStage::AfterBrace => "here-after-brace",
    };
    vec![Sentence::new(id).with("feet", feet_key(&feet)).with("name", facts.name().as_str())]
}

/// Whether these casts follow a foot that has turned back.
fn is_again(facts: &FamilyFacts<'_>, feet: &[Side]) -> bool {
    facts.course.feet.iter().any(|foot| feet.contains(&foot.side) && foot.episode > 1)
}

fn dates(facts: &FamilyFacts<'_>) -> Vec<Block> {
    if !facts.planned.is_empty() {
        return vec![Block::Dates(dated(facts.planned.iter().take(DATES)))];
    }
    let sentence = match facts.next {
        Some((_, days)) if days.to <= facts.today => Sentence::new("plan-date-now"),
        Some((_, days)) => {
            Sentence::new("plan-date-between").with("from", days.from.max(facts.today)).with("to", days.to)
        }
        None => Sentence::new("plan-date-open"),
    };
    vec![Block::Paragraph(vec![sentence])]
}

/// The lines of the table of dates.
pub(crate) fn dated<'p>(visits: impl Iterator<Item = &'p Planned>) -> Vec<DatedLine> {
    let line = |visit: &Planned| DatedLine {
        day: visit.day,
        time: visit.time.clone(),
        what: Sentence::new(purpose(visit.purpose)),
    };
    visits.map(line).collect()
}

/// How the brace is put on, in the order of the drawing.
pub(crate) fn putting_on() -> Vec<Sentence> {
    messages(&["brace-on-knee", "brace-on-heel", "brace-on-middle", "brace-on-others", "brace-on-check"])
}

fn purpose(purpose: Option<Purpose>) -> &'static str {
    match purpose {
        Some(Purpose::First) => "visit-first",
        Some(Purpose::Cast) => "visit-cast",
        Some(Purpose::Tenotomy) => "visit-heel-cord",
        Some(Purpose::BraceFitting) => "visit-brace-fitting",
        Some(Purpose::BraceReview) => "visit-brace-review",
        Some(Purpose::Review | Purpose::Other) | None => "visit-review",
    }
}

/// What will happen at the next visit, and what to bring. The booked purpose counts before what is due.
pub(crate) fn next_visit(facts: &FamilyFacts<'_>) -> Vec<Block> {
    let booked = facts.planned.first().and_then(|visit| visit.purpose);
    let due = facts.next.map(|(action, _)| action.purpose());
    let (what, bring): (&[&'static str], &[&'static str]) = match booked.or(due) {
        Some(Purpose::First) => (&["next-first"], &["bring-feed", "bring-papers"]),
        Some(Purpose::Cast) => (&["next-cast", "next-cast-off"], &["bring-feed", "bring-loose-clothes"]),
        Some(Purpose::Tenotomy) => {
            (&["next-heel-cord", "next-heel-cord-after"], &["bring-feeding-times", "bring-two"])
        }
        Some(Purpose::BraceFitting) => {
            (&["next-brace-fitting", "next-brace-learn"], &["bring-socks", "bring-everybody"])
        }
        Some(Purpose::BraceReview) => (&["next-brace-review"], &["bring-brace", "bring-hours"]),
        Some(Purpose::Review | Purpose::Other) | None => (&["next-review"], &["bring-questions"]),
    };
    vec![
        Block::Heading(Sentence::new("plan-next-head")),
        Block::Paragraph(messages(what)),
        Block::List(messages(bring)),
    ]
}

fn hours(facts: &FamilyFacts<'_>) -> Vec<Block> {
    let Some((now, _)) = facts.hours_now else { return Vec::new() };
    let mut sentences = vec![Sentence::new("hours-now").with("hours", i64::from(now))];
    match facts.hours_later {
        Some((later, Some(from))) => sentences
            .push(Sentence::new("hours-later-from").with("hours", i64::from(later)).with("day", from)),
        Some((later, None)) => sentences.push(Sentence::new("hours-later").with("hours", i64::from(later))),
        None => {}
    }
    if let Some(until) = facts.brace_until {
        sentences.push(Sentence::new("hours-until").with("day", until));
    }
    sentences.push(Sentence::new("hours-why"));
    vec![Block::Heading(Sentence::new("hours-head")), Block::Paragraph(sentences)]
}

fn daily(facts: &FamilyFacts<'_>) -> Vec<Sentence> {
    let mut ids = Vec::new();
    if !facts.feet_where(|stage| stage.is_cast()).is_empty() {
        ids.extend(["daily-toes", "daily-cast-dry", "daily-cast-soft"]);
    }
    if !facts.feet_where(|stage| stage.is_brace()).is_empty() {
        ids.extend(["daily-heel", "daily-skin", "daily-toe-edge"]);
    }
    if ids.is_empty() {
        ids.extend(["daily-walk", "daily-heel-touches"]);
    }
    messages(&ids)
}

fn ring(facts: &FamilyFacts<'_>) -> Vec<Sentence> {
    let mut ids = Vec::new();
    if !facts.feet_where(|stage| stage.is_cast()).is_empty() {
        ids.extend(["ring-cast-wet", "ring-cast-loose"]);
    }
    if !facts.feet_where(|stage| stage.is_brace()).is_empty() {
        ids.extend(["ring-red", "ring-heel", "ring-brace-off", "ring-brace-broken"]);
    }
    ids.push("ring-cannot-come");
    if facts.feet_where(|stage| stage.is_cast()).is_empty() {
        ids.push("ring-foot-turns");
    }
    messages(&ids)
}

/// What is likely, where it helps: about how many casts, and how often the heel cord is cut. Where the feet differ each
/// is told by itself.
fn likely(facts: &FamilyFacts<'_>) -> Vec<Block> {
    let sentences: Vec<Sentence> = facts.forecasts.iter().flat_map(likely_for).collect();
    if sentences.is_empty() {
        return Vec::new();
    }
    let mut all = sentences;
    all.push(Sentence::new("likely-not-promise"));
    vec![Block::Heading(Sentence::new("likely-head")), Block::Paragraph(all)]
}

fn likely_for(forecast: &FootForecast) -> Vec<Sentence> {
    if !matches!(forecast.stage, Stage::BeforeFirstCast | Stage::InCasts) {
        return Vec::new();
    }
    let casts = forecast.correcting_casts_to_come.as_ref().map(|count| {
        let window = count.window90;
        let sentence = Sentence::new("likely-casts").with("foot", forecast.side);
        sentence
            .with("from", i64::try_from(window.from).unwrap_or(0))
            .with("to", i64::try_from(window.to).unwrap_or(0))
            .with("children", of_ten(window.chance))
    });
    let cut = forecast.tenotomy.map(|chance| cut(forecast.side, chance));
    casts.into_iter().chain(cut).collect()
}

fn cut(foot: Side, chance: Chance) -> Sentence {
    let (low, high) = (of_ten(chance.low), of_ten(chance.high));
    let sentence =
        Sentence::new("likely-heel-cord").with("foot", foot).with("children", of_ten(chance.value));
    sentence.with("low", low.min(high)).with("high", high)
}

/// A chance as a number of ten children, rounded.
#[allow(clippy::cast_possible_truncation)]
fn of_ten(chance: f64) -> i64 {
    (chance.clamp(0.0, 1.0) * OF_TEN).round() as i64
}
