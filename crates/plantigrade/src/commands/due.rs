//! `due`: who is due, for what, by when and why. One line per child, by the step that leads, and under it the
//! child's worst call. A child whose worst call is for the same day or this week is always listed.

use super::{Reading, child, print, print_json};
use crate::{cli::DueArgs, exit::Failure};
use guidance::{Attention, CAUTION, NextStep, Outlook, Urgency, attention::Place};
use rayon::prelude::*;
use record::{ChildId, Day, Entry};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Children computed at a time, so that memory stays small.
const AT_A_TIME: usize = 2_048;

/// Prints who is due.
///
/// # Errors
/// When the records cannot be read.
pub fn due(args: &DueArgs) -> Result<(), Failure> {
    let reading = Reading::open(&args.data)?;
    let as_of = args.as_of.unwrap_or_else(|| reading.clock.today());
    let horizon = if args.all { None } else { Some(as_of + args.within) };
    let mut rows = Vec::new();
    let mut batch = Vec::with_capacity(AT_A_TIME);
    let compute = |batch: &mut Vec<(ChildId, Vec<Entry>)>, rows: &mut Vec<Row>| {
        let found = batch.par_drain(..).filter_map(|(child, entries)| {
            let outlook = reading.records.outlook(child, &entries, as_of);
            Row::of(&outlook, as_of, horizon)
        });
        rows.par_extend(found);
    };
    reading.records.archive().for_each_child(&mut |child, entries| {
        batch.push((child, entries));
        if batch.len() == AT_A_TIME {
            compute(&mut batch, &mut rows);
        }
    })?;
    compute(&mut batch, &mut rows);
    rows.sort_by(|a, b| a.order.cmp(&b.order));
    if args.json {
        print_json(&rows.into_iter().map(|row| row.json).collect::<Vec<_>>())
    } else {
        print(&as_text(&rows, as_of, horizon))
    }
}

/// One child who is due.
struct Row {
    /// Last day of the window, first day, name: whoever is most overdue comes first.
    order: (Day, Day, String),
    json: Value,
    text: String,
}

impl Row {
    /// The child's line; `None` where nothing falls by the horizon. Without a horizon every child has one,
    /// as long as anything was known of the child by then.
    fn of(outlook: &Outlook, as_of: Day, horizon: Option<Day>) -> Option<Self> {
        let course = &outlook.course;
        let lead = outlook.lead_on(horizon.unwrap_or(as_of));
        let lead = lead.as_deref();
        let window = lead.and_then(|step| step.window);
        let by = |day: Day| horizon.is_none_or(|horizon| day <= horizon);
        // In force on any day from the day asked for up to the horizon.
        let listed =
            |call: &&Attention| call.place == Place::List && by(call.from) && call.lasts_to(course.as_of);
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
        let attention = calls.iter().map(|call| json!({ "rule": call.rule, "from": call.from, "text": call.text, "side": call.side, "urgency": call.urgency.words() }));
        let json = json!({
            "child": course.child,
            "number": course.about.numbers.first(),
            "name": course.about.full_name(),
            "action": lead.map_or("nothing", |step| step.action.key()),
            "words": lead.map(|step| &step.words),
            "from": window.map(|window| window.from),
            "to": window.map(|window| window.to),
            "because": lead.map(|step| child::reasons(&step.because)).unwrap_or_default(),
            "cautions": lead.map(|step| step.cautions.clone()).unwrap_or_default(),
            "attention": attention.collect::<Vec<_>>(),
            "steps": outlook.steps_on(as_of).iter().map(child::step_json).collect::<Vec<_>>(),
        });
        let end = window.map_or((Day::LAST, Day::LAST), |window| (window.to, window.from));
        Some(Self {
            order: (end.0, end.1, course.about.full_name()),
            json,
            text: line(outlook, lead, &calls),
        })
    }
}

fn line(outlook: &Outlook, lead: Option<&NextStep>, calls: &[&Attention]) -> String {
    let course = &outlook.course;
    let number = course.about.numbers.first().map_or("no number", String::as_str);
    let window = lead.and_then(|step| step.window);
    let days = window.map_or_else(String::new, |window| format!("{} to {}", window.from, window.to));
    let what = lead.map_or("nothing is due", |step| step.words.as_ref());
    let mut text = format!("{days:24}  {number:10}  {}: {what}\n", course.about.full_name());
    if let Some(call) = calls.first() {
        let (urgency, since) = (call.urgency.words(), call.from);
        let more = match calls.len() {
            1 => String::new(),
            count => format!(" ({} more)", count - 1),
        };
        // Writing to a string does not fail.
        let _ = writeln!(text, "{:38}{urgency}, since {since}: {}{more}", "", call.text);
    }
    for reason in lead.iter().flat_map(|step| &step.because) {
        // Writing to a string does not fail.
        let _ =
            writeln!(text, "{:38}because {} [{}]", "", crate::exit::sentence(&reason.fact), reason.source);
    }
    text
}

fn as_text(rows: &[Row], as_of: Day, horizon: Option<Day>) -> String {
    let mut text = match horizon {
        Some(horizon) => {
            format!("Due by {} as known on {}: {}\n\n", horizon.words(), as_of.words(), rows.len())
        }
        None => format!("Every child as known on {}: {}\n\n", as_of.words(), rows.len()),
    };
    for row in rows {
        text.push_str(&row.text);
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}
