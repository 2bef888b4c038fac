//! From an outlook to the row that lists and searches use.

use crate::{cupboard, marks};
use archive::{AppointmentItem, Kept, Options, Summary, WorkItem, WorkKind};
use course::{AppointmentState, Course, Phase, Standing};
use guidance::attention::{
    CallPlace,
    worst::{Lead, leads},
};
use guidance::{Action, NextStep, Outlook, Protocol, Reason};
use record::{Day, Entry, Sides};
use serde::{Deserialize, Serialize};
use std::{borrow::Cow, collections::BTreeSet, sync::Arc};

/// Goes up when summaries are computed differently by the same protocol.
const VERSION: u32 = 3;

/// How the archive is to compute summaries under a protocol.
#[must_use]
pub fn options(protocol: &Arc<Protocol>) -> Options {
    let version = format!("{VERSION}-{}-{}", env!("CARGO_PKG_VERSION"), protocol.fingerprint());
    let protocol = Arc::clone(protocol);
    Options::new(version, move |entries| summary(entries, &protocol))
}

/// The summary of a child's whole log. It depends on no day: rules answer from which day they apply.
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
        kept: cupboard::text(course)
            .map(|text| Kept { topic: cupboard::TOPIC.to_owned(), text })
            .into_iter()
            .collect(),
    }
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

/// Why, as it is kept beside an item, with what a list says of the child beyond its summary.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Detail {
    /// Weeks of gestation, for the corrected age.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gestation_weeks: Option<u8>,
    /// Sex.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sex: Option<record::Sex>,
    /// Reasons.
    #[serde(default)]
    pub because: Vec<Because>,
    /// Where another published rule answers differently.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub otherwise: Vec<Because>,
    /// What to look out for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
}

/// One reason.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Because {
    /// What is the case.
    pub fact: String,
    /// The entry it came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entry: Option<record::EntryId>,
    /// What follows.
    pub rule: String,
    /// Where the rule comes from.
    pub source: String,
}

impl From<&Reason> for Because {
    fn from(reason: &Reason) -> Self {
        Self {
            fact: reason.fact.to_string(),
            entry: reason.entry,
            rule: reason.rule.to_string(),
            source: reason.source.to_string(),
        }
    }
}

impl From<Because> for Reason {
    fn from(because: Because) -> Self {
        Self {
            fact: Cow::Owned(because.fact),
            entry: because.entry,
            rule: Cow::Owned(because.rule),
            source: Cow::Owned(because.source),
        }
    }
}

impl Detail {
    /// Reads what `Detail::text` wrote; nothing where it cannot be read.
    #[must_use]
    pub fn read(text: &str) -> Self {
        serde_json::from_str(text).unwrap_or_default()
    }

    fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    fn of_step(step: &NextStep) -> Self {
        Self {
            because: step.because.iter().map(Because::from).collect(),
            otherwise: step.otherwise.iter().map(Because::from).collect(),
            cautions: step.cautions.iter().map(ToString::to_string).collect(),
            ..Self::default()
        }
    }
}

fn items(outlook: &Outlook) -> Vec<WorkItem> {
    let steps = outlook.steps.iter().filter_map(step);
    let about = &outlook.course.about;
    let who = Detail { gestation_weeks: about.gestation_weeks, sex: about.sex, ..Detail::default() };
    let attention = outlook.attention.iter().filter_map(|call| attention(call, who.clone()));
    let rows = leads(&outlook.attention).into_iter().filter_map(|lead| row(&outlook.attention, lead));
    let questions = outlook.course.questions.iter().map(|question| WorkItem {
        kind: WorkKind::Question,
        rule: question.kind.key().to_owned(),
        urgency: QUESTION_URGENCY,
        side: question.side,
        from: question.on,
        until: None,
        to: None,
        text: question.text.clone(),
        detail: String::new(),
    });
    steps.chain(attention).chain(rows).chain(questions).collect()
}

const QUESTION_URGENCY: u8 = 3;

fn step(step: &NextStep) -> Option<WorkItem> {
    let window = step.window?;
    let side = match step.scope {
        guidance::Scope::Foot(side) => Some(side),
        guidance::Scope::Child => None,
    };
    Some(WorkItem {
        kind: WorkKind::Step,
        rule: step.action.key().to_owned(),
        urgency: u8::from(step.action != Action::SeeUrgently),
        side,
        from: window.from,
        until: None,
        to: Some(window.to),
        text: step.words.to_string(),
        detail: Detail::of_step(step).text(),
    })
}

/// The list in which a call is shown; `None` where it is for the child's visit alone.
fn list_of(call: &guidance::Attention) -> Option<WorkKind> {
    match call.place {
        CallPlace::List => Some(WorkKind::Attention),
        CallPlace::PutOff => Some(WorkKind::PutOff),
        CallPlace::Stock => Some(WorkKind::Stock),
        CallPlace::Lost if call.rule == "contact-lost" => Some(WorkKind::Lost),
        CallPlace::Lost => Some(WorkKind::BesideLost),
        CallPlace::Visit => None,
    }
}

/// The row of the child in the list: the calls themselves are items of their own.
fn row(calls: &[guidance::Attention], lead: Lead) -> Option<WorkItem> {
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

fn attention(call: &guidance::Attention, who: Detail) -> Option<WorkItem> {
    let because = call.because.iter().map(Because::from).collect();
    Some(WorkItem {
        kind: list_of(call)?,
        rule: call.rule.to_owned(),
        urgency: call.urgency.rank(),
        side: call.side,
        from: call.from,
        until: call.until,
        to: None,
        text: call.text.clone(),
        detail: Detail { because, ..who }.text(),
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
    // What ended with the child's care is nobody's to expect.
    course.appointments.iter().filter(|made| made.state != AppointmentState::Ended).map(item).collect()
}

/// The word for what became of an appointment.
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
