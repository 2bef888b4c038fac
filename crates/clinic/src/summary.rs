//! Computes the summary row of a child, for lists and searches, from its outlook.

use crate::{marks, worn_text};
use archive::{AppointmentItem, Options, SavedText, Summary, WorkItem, WorkKind};
use course::{AppointmentState, CorrectedLog, Course, Phase, Standing};
use guidance::attention::{
    CallPlace, RULES,
    worst::{Lead, leads},
};
use guidance::{Attention, CallText, NextStep, Outlook, Protocol, Reason, Urgency};
use record::{Body, Day, Entry, Sides};
use serde::{Deserialize, Serialize};
use std::{borrow::Cow, collections::BTreeSet, sync::Arc};

/// Goes up when summaries are computed differently by the same protocol.
const VERSION: u32 = 5;

/// The options with which the archive computes summaries under a protocol.
#[must_use]
pub(crate) fn options(protocol: &Arc<Protocol>) -> Options {
    let version = format!("{VERSION}-{}-{}", env!("CARGO_PKG_VERSION"), protocol.fingerprint());
    let protocol = Arc::clone(protocol);
    Options::new(version, move |entries| summary(entries, &protocol))
}

/// The summary of a child's whole log. It depends on no day: rules return the day from which they apply.
#[must_use]
pub fn summary(entries: &[Entry], protocol: &Protocol) -> Summary {
    let Some(first) = entries.first() else {
        return Summary::empty(record::ChildId::new(uuid::Uuid::nil()));
    };
    of_outlook(entries, &Outlook::of(Course::of(first.child, entries, Day::LAST), protocol))
}

fn of_outlook(entries: &[Entry], outlook: &Outlook) -> Summary {
    let course = &outlook.course;
    let (phase, phase_key) = phase(course);
    Summary {
        child: course.child,
        family_name: course.about.family_name.clone(),
        given_name: course.about.given_name.clone(),
        numbers: course.about.numbers.clone(),
        carers: course.about.carers.iter().map(|carer| carer.name.clone()).collect(),
        phones: course.about.carers.iter().filter_map(|carer| carer.phone.clone()).collect(),
        born: course.about.born,
        sides: course.affected().map(Sides::words).unwrap_or_default().to_owned(),
        phase,
        phase_key: phase_key.to_owned(),
        active: matches!(course.standing, Standing::Active),
        last_seen: course.last_seen(),
        next_visit: course
            .next_appointment(course.last_seen().unwrap_or(Day::FIRST))
            .map(|made| made.for_day),
        items: items(outlook),
        appointments: appointments(course),
        marks: marks::of(entries, course),
        texts: worn_text::text(course)
            .map(|text| SavedText { topic: worn_text::TOPIC.to_owned(), text })
            .into_iter()
            .collect(),
        listed: holds_anything(entries),
    }
}

/// Whether a log has any valid entry, which is not so if every entry was withdrawn.
fn holds_anything(entries: &[Entry]) -> bool {
    let withdraws = |entry: &Entry| matches!(entry.body, Body::Withdrawal(_));
    if !entries.iter().any(withdraws) {
        return true;
    }
    let log = CorrectedLog::of(entries, Day::LAST);
    log.lines.iter().any(|line| {
        // An entry that only lists what was done with others says nothing about the child.
        line.fate.holds() && line.body.written_together().is_none()
    })
}

/// The phase in words, foot by foot where they differ, and the key of the less advanced one.
fn phase(course: &Course) -> (String, &'static str) {
    let distinct: BTreeSet<Phase> = course.feet.iter().map(|foot| foot.phase).collect();
    let key = distinct.first().map_or("", |phase| phase.key());
    if distinct.len() < 2 {
        return (distinct.first().map_or("", |phase| phase.words()).to_owned(), key);
    }
    let each: Vec<String> =
        course.feet.iter().map(|foot| format!("{} {}", foot.side, foot.phase.words())).collect();
    (each.join(", "), key)
}

/// The affected feet of a summary.
#[must_use]
pub fn sides_of(words: &str) -> Option<Sides> {
    [Sides::Right, Sides::Left, Sides::Both].into_iter().find(|sides| sides.words() == words)
}

/// The saved detail of a list item: its reasons, and facts about the child that are not in the summary.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct ItemDetail {
    /// Weeks of gestation, for the corrected age.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gestation_weeks: Option<u8>,
    /// Sex.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sex: Option<record::Sex>,
    /// The records linked as those of twins.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub twins: Vec<record::ChildId>,
    /// The birth order of the child, of twins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub birth_order: Option<record::BirthOrder>,
    /// Reasons.
    #[serde(default)]
    pub because: Vec<SavedReason>,
    /// Other published rules with a different result.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub otherwise: Vec<SavedReason>,
    /// Cautions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
}

/// A reason in the form in which it is saved.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct SavedReason {
    /// The fact.
    pub fact: String,
    /// The entry from which the fact comes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entry: Option<record::EntryId>,
    /// The rule.
    pub rule: String,
    /// The source of the rule.
    pub source: String,
}

impl From<&Reason> for SavedReason {
    fn from(reason: &Reason) -> Self {
        Self {
            fact: reason.fact.to_string(),
            entry: reason.entry,
            rule: reason.rule.to_string(),
            source: reason.source.to_string(),
        }
    }
}

impl From<SavedReason> for Reason {
    fn from(because: SavedReason) -> Self {
        Self {
            fact: Cow::Owned(because.fact),
            entry: because.entry,
            rule: Cow::Owned(because.rule),
            source: Cow::Owned(because.source),
        }
    }
}

impl ItemDetail {
    /// Parses the text of `ItemDetail::text`; empty if it cannot be parsed.
    #[must_use]
    pub fn read(text: &str) -> Self {
        serde_json::from_str(text).unwrap_or_default()
    }

    fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    fn of_child(course: &Course) -> Self {
        Self {
            gestation_weeks: course.about.gestation_weeks,
            sex: course.about.sex,
            twins: course.twin_links().map(|link| link.other).collect(),
            birth_order: course.birth_order(),
            ..Self::default()
        }
    }

    fn of_step(step: &NextStep) -> Self {
        Self {
            because: step.because.iter().map(SavedReason::from).collect(),
            otherwise: step.otherwise.iter().map(SavedReason::from).collect(),
            cautions: step.cautions.iter().map(ToString::to_string).collect(),
            ..Self::default()
        }
    }
}

fn items(outlook: &Outlook) -> Vec<WorkItem> {
    let steps = outlook.steps.iter().filter_map(step);
    let who = ItemDetail::of_child(&outlook.course);
    let attention = outlook.attention.iter().filter_map(|call| attention(call, who.clone()));
    let rows = leads(&outlook.attention).into_iter().filter_map(|lead| row(&outlook.attention, lead));
    let questions = outlook.course.questions.iter().map(|question| WorkItem {
        kind: WorkKind::Question,
        rule: question.kind.key().to_owned(),
        urgency: Urgency::Watch.rank(),
        side: question.side,
        from: question.on,
        until: None,
        to: None,
        text: question.text.clone(),
        detail: String::new(),
    });
    steps.chain(attention).chain(rows).chain(questions).collect()
}

fn step(step: &NextStep) -> Option<WorkItem> {
    let window = step.window?;
    let side = match step.scope {
        guidance::Scope::Foot(side) => Some(side),
        guidance::Scope::Child => None,
    };
    Some(WorkItem {
        kind: WorkKind::Step,
        rule: step.action.key().to_owned(),
        urgency: step.action.rank(),
        side,
        from: window.from,
        until: None,
        to: Some(window.to),
        text: step.words.to_string(),
        detail: ItemDetail::of_step(step).text(),
    })
}

/// The list in which a call is shown; `None` if only the child's visit shows it.
fn list_of(call: &Attention) -> Option<WorkKind> {
    match call.place {
        CallPlace::List => Some(WorkKind::Attention),
        CallPlace::PutOff => Some(WorkKind::PutOff),
        CallPlace::Stock => Some(WorkKind::Stock),
        CallPlace::Lost if call.rule == "contact-lost" => Some(WorkKind::Lost),
        CallPlace::Lost => Some(WorkKind::FurtherLost),
        CallPlace::Visit => None,
    }
}

/// The row of the child in the list; the calls are separate items.
fn row(calls: &[Attention], lead: Lead) -> Option<WorkItem> {
    let call = calls.get(lead.call)?;
    Some(WorkItem {
        kind: WorkKind::Row,
        rule: call.rule.to_owned(),
        urgency: call.urgency.rank(),
        side: call.side,
        from: lead.from,
        until: lead.until,
        to: None,
        text: String::new(),
        detail: String::new(),
    })
}

fn attention(call: &Attention, who: ItemDetail) -> Option<WorkItem> {
    let because = call.because.iter().map(SavedReason::from).collect();
    Some(WorkItem {
        kind: list_of(call)?,
        rule: call.rule.to_owned(),
        urgency: call.urgency.rank(),
        side: call.side,
        from: call.from,
        until: call.until,
        to: None,
        text: call.text.words(),
        detail: ItemDetail { because, ..who }.text(),
    })
}

fn appointments(course: &Course) -> Vec<AppointmentItem> {
    let item = |made: &course::Appointment| AppointmentItem {
        entry: made.entry,
        for_day: made.for_day,
        time: made.time.clone(),
        purpose: made.purpose.map(record::Purpose::words).unwrap_or_default().to_owned(),
        state: state_key(made.state).to_owned(),
    };
    // An appointment that ended with the child's care is no longer expected.
    course.appointments.iter().filter(|made| made.state != AppointmentState::Ended).map(item).collect()
}

/// The key of the state of an appointment.
#[must_use]
pub const fn state_key(state: AppointmentState) -> &'static str {
    match state {
        AppointmentState::Expected => "expected",
        AppointmentState::Here => "here",
        AppointmentState::Seen => "seen",
        AppointmentState::Missed => "missed",
        AppointmentState::Cancelled => "cancelled",
        AppointmentState::Ended => "ended",
    }
}

/// The call that was saved as a list item, with its detail. `None` for a rule that this program does not know, which
/// does not happen, because summaries of another program version are computed again at the start.
#[must_use]
pub fn saved_call(item: WorkItem) -> Option<(Attention, ItemDetail)> {
    let rule = RULES.iter().find(|rule| rule.key == item.rule)?.key;
    let urgency = Urgency::of_rank(item.urgency)?;
    let mut detail = ItemDetail::read(&item.detail);
    let because = std::mem::take(&mut detail.because).into_iter().map(Reason::from).collect();
    let place = place_of(item.kind);
    let WorkItem { side, from, until, .. } = item;
    let text = CallText::English(item.text);
    Some((Attention { rule, urgency, side, from, until, place, text, because }, detail))
}

const fn place_of(list: WorkKind) -> CallPlace {
    match list {
        WorkKind::PutOff => CallPlace::PutOff,
        WorkKind::Lost | WorkKind::FurtherLost => CallPlace::Lost,
        WorkKind::Stock => CallPlace::Stock,
        _ => CallPlace::List,
    }
}
