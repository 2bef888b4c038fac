//! `due`: who is due, for what, by when and why. One line per child, by the leading step, and under it the
//! child's most urgent call. A child whose most urgent call is for the same day or this week is always listed.

use super::{
    Reading,
    child::{StepResult, reasons},
    print, print_sorted,
};
use crate::{cli::DueArgs, exit::Failure};
use clinic::SavedReason;
use guidance::{Attention, CAUTION, Outlook, Urgency, attention::CallPlace};
use pages::parts::RESTRICTED_NAME;
use rayon::prelude::*;
use record::{ChildId, Day, Entry, Side, UserId};
use serde::Serialize;
use std::fmt::Write as _;

/// Children computed at a time, to limit memory.
const AT_A_TIME: usize = 2_048;

/// Prints who is due.
///
/// # Errors
/// When the records cannot be read.
pub fn due(args: &DueArgs, person: Option<UserId>) -> Result<(), Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let closed = reading.closed_to(person)?;
    let as_of = args.as_of.unwrap_or_else(|| reading.clock.today());
    let horizon = if args.all { None } else { Some(as_of + args.within) };
    let mut rows = Vec::new();
    let mut batch = Vec::with_capacity(AT_A_TIME);
    let compute = |batch: &mut Vec<(ChildId, Vec<Entry>)>, rows: &mut Vec<DueRow>| {
        let found = batch.par_drain(..).filter_map(|(child, entries)| {
            let outlook = reading.records.outlook(child, &entries, as_of);
            let row = DueRow::of(&outlook, as_of, horizon)?;
            Some(if closed.has(child) { row.closed() } else { row })
        });
        rows.par_extend(found);
    };
    reading.records.for_each_child(&mut |child, entries| {
        batch.push((child, entries));
        if batch.len() == AT_A_TIME {
            compute(&mut batch, &mut rows);
        }
    })?;
    compute(&mut batch, &mut rows);
    rows.sort_by(|a, b| a.order.cmp(&b.order));
    if args.json { print_sorted(&rows) } else { print(&as_text(&rows, as_of, horizon)) }
}

/// One child who is due.
#[derive(Debug, Serialize)]
struct DueRow {
    /// Last day of the window, first day, name: the most overdue child comes first.
    #[serde(skip)]
    order: (Day, Day, String),
    child: ChildId,
    number: Option<String>,
    name: String,
    /// The leading step.
    action: &'static str,
    words: Option<String>,
    from: Option<Day>,
    to: Option<Day>,
    because: Vec<SavedReason>,
    cautions: Vec<String>,
    /// Calls, the most urgent first.
    attention: Vec<DueCall>,
    steps: Vec<StepResult>,
}

/// A call of a child who is due.
#[derive(Debug, Serialize)]
struct DueCall {
    rule: &'static str,
    from: Day,
    text: String,
    side: Option<Side>,
    urgency: &'static str,
}

impl From<&Attention> for DueCall {
    fn from(call: &Attention) -> Self {
        let Attention { rule, from, side, urgency, .. } = *call;
        Self { rule, from, text: call.text.words(), side, urgency: urgency.words() }
    }
}

impl DueRow {
    /// The child's line; `None` if nothing is due by the horizon. Without a horizon every child has a line, if
    /// anything about the child was known on the day.
    fn of(outlook: &Outlook, as_of: Day, horizon: Option<Day>) -> Option<Self> {
        let course = &outlook.course;
        let lead = outlook.lead_on(horizon.unwrap_or(as_of));
        let lead = lead.as_deref();
        let window = lead.and_then(|step| step.window);
        let by = |day: Day| horizon.is_none_or(|horizon| day <= horizon);
        // Open on any day from the requested day to the horizon.
        let listed =
            |call: &&Attention| call.place == CallPlace::List && by(call.from) && call.lasts_to(course.as_of);
        let mut calls: Vec<_> = outlook.attention.iter().filter(listed).collect();
        calls.sort_by_key(|call| (call.urgency, call.from));
        let worst = calls.first().copied();
        let called = worst.filter(|call| call.urgency <= Urgency::ThisWeek);
        let known = course.registered.is_some() || !course.seen_on.is_empty() || course.referred_on.is_some();
        let wanted = match (window, horizon) {
            (Some(window), Some(_)) => by(window.from) || called.is_some(),
            (None, Some(_)) => !calls.is_empty(),
            (_, None) => known,
        };
        if !wanted {
            return None;
        }
        let name = course.about.full_name();
        let end = window.map_or((Day::LAST, Day::LAST), |window| (window.to, window.from));
        Some(Self {
            order: (end.0, end.1, name.clone()),
            child: course.child,
            number: course.about.numbers.first().cloned(),
            name,
            action: lead.map_or("nothing", |step| step.action.key()),
            words: lead.map(|step| step.words.to_string()),
            from: window.map(|window| window.from),
            to: window.map(|window| window.to),
            because: lead.map(|step| reasons(&step.because)).unwrap_or_default(),
            cautions: lead.iter().flat_map(|step| &step.cautions).map(ToString::to_string).collect(),
            attention: calls.into_iter().map(DueCall::from).collect(),
            steps: outlook.steps_on(as_of).iter().map(StepResult::from).collect(),
        })
    }
}

impl DueRow {
    /// The line of a record that is closed to whoever runs the command: the number, and by when something is due.
    fn closed(self) -> Self {
        Self {
            order: (self.order.0, self.order.1, String::new()),
            name: RESTRICTED_NAME.to_owned(),
            action: "restricted",
            words: Some("something is due; ask somebody who may open this record".to_owned()),
            because: Vec::new(),
            cautions: Vec::new(),
            attention: Vec::new(),
            steps: Vec::new(),
            ..self
        }
    }
}

fn line(row: &DueRow) -> String {
    let number = row.number.as_deref().unwrap_or("no number");
    let days = row.from.zip(row.to).map_or_else(String::new, |(from, to)| format!("{from} to {to}"));
    let what = row.words.as_deref().unwrap_or("nothing is due");
    let mut text = format!("{days:24}  {number:10}  {}: {what}\n", row.name);
    if let Some(call) = row.attention.first() {
        let more = match row.attention.len() {
            1 => String::new(),
            count => format!(" ({} more)", count - 1),
        };
        // Writing to a string does not fail.
        let _ = writeln!(text, "{:38}{}, since {}: {}{more}", "", call.urgency, call.from, call.text);
    }
    for reason in &row.because {
        // Writing to a string does not fail.
        let _ =
            writeln!(text, "{:38}because {} [{}]", "", crate::exit::sentence(&reason.fact), reason.source);
    }
    text
}

fn as_text(rows: &[DueRow], as_of: Day, horizon: Option<Day>) -> String {
    let mut text = match horizon {
        Some(horizon) => {
            format!("Due by {} as known on {}: {}\n\n", horizon.words(), as_of.words(), rows.len())
        }
        None => format!("Every child as known on {}: {}\n\n", as_of.words(), rows.len()),
    };
    for row in rows {
        text.push_str(&line(row));
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}
