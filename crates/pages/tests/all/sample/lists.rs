//! The day, calls for attention, the search, and the protocol.

use super::{Invented, day, frame, in_brace, in_casts, just_registered, overdue, today};
use course::{AppointmentState, Phase};
use guidance::{Outlook, Protocol};
use maud::Markup;
use pages::{
    AttentionFilter, AttentionRow, AttentionView, DayRow, DayView, FindRow, FindView, Frame, Here, LostRow,
    LostView, Message, ProtocolView, PutOffView, RuleChoice, UrgencyCount,
    fields::Filled,
    parts::{Pager, Who},
};
use record::{EntryId, Purpose, Side};
use uuid::Uuid;

fn row(child: &Invented, state: AppointmentState, time: &str, purpose: Purpose) -> DayRow {
    let outlook = child.outlook();
    let calls = outlook.attention.iter().filter(|call| call.is_listed(today()));
    let urgent = calls.clone().map(|call| call.urgency).min().map(|urgency| (urgency, calls.count()));
    DayRow {
        who: Who::of(&outlook.course),
        appointment: Some(EntryId::new(Uuid::from_u128(9))),
        time: Some(time.into()),
        purpose: Some(purpose),
        state,
        can_be_undone: matches!(state, AppointmentState::Here | AppointmentState::Missed),
        feet: feet(&outlook),
        scored: vec![(Side::Right, EntryId::new(Uuid::from_u128(10)))],
        steps: outlook.steps,
        attention: urgent,
    }
}

fn feet(outlook: &Outlook) -> Vec<(Side, Phase)> {
    outlook.course.feet.iter().map(|foot| (foot.side, foot.phase)).collect()
}

pub fn lists(given: &str) -> Vec<(&'static str, Markup)> {
    let (casts, brace, overdue, new) = (in_casts(given), in_brace(), overdue(), just_registered());
    let rows = vec![
        row(&casts, AppointmentState::Here, "09:30", Purpose::Cast),
        row(&brace, AppointmentState::Expected, "10:15", Purpose::BraceReview),
        DayRow { appointment: None, time: None, ..row(&new, AppointmentState::Here, "", Purpose::First) },
        row(&overdue, AppointmentState::Missed, "08:45", Purpose::Cast),
    ];
    let day_view = DayView {
        on: today(),
        rows,
        near: vec![(day("2024-05-17"), 6), (day("2024-05-21"), 9)],
        places: Some(14),
        closed: None,
    };
    let done = Frame {
        message: Some(Message::Done(format!("The visit of {given} Rasmussen is saved."))),
        ..frame(Here::Day)
    };
    let spanish = Frame {
        message: pages::day_done(pages::PageLanguage::Spanish, "moved"),
        language: pages::PageLanguage::Spanish,
        ..frame(Here::Day)
    };
    let empty_day = DayView {
        on: day("2024-05-19"),
        rows: Vec::new(),
        near: vec![(day("2024-05-21"), 9)],
        places: None,
        closed: Some("painting".into()),
    };
    let found = [&casts, &brace, &overdue].map(|child| {
        let outlook = child.outlook();
        FindRow {
            who: child.who(),
            feet: feet(&outlook),
            steps: outlook.steps,
            why: (child.child == brace.child).then(|| "sounds alike".into()),
        }
    });
    let find = FindView {
        query: "ra".into(),
        search: "1234".into(),
        rows: found.to_vec(),
        total: 3,
        ..FindView::default()
    };
    let none = FindView { query: "xyzzy".into(), is_over: true, ..FindView::default() };
    let protocol =
        Protocol::with_clinic_file("[casting]\ninterval_days = 5\n").unwrap_or_else(|_| Protocol::built_in());
    vec![
        ("day", pages::day(&done, &day_view)),
        ("day-spanish", pages::day(&spanish, &day_view)),
        ("day-empty", pages::day(&frame(Here::Day), &empty_day)),
        (
            "attention",
            pages::attention(&frame(Here::Attention), &attention_view(&[&casts, &brace, &overdue, &new])),
        ),
        ("lost", pages::lost(&frame(Here::Attention), &lost_view(&overdue))),
        ("put-off", pages::put_off(&frame(Here::Attention), &put_off_view(&overdue))),
        ("find", pages::find(&frame(Here::Find), &find)),
        ("find-none", pages::find(&frame(Here::Find), &none)),
        (
            "protocol",
            pages::protocol(
                &frame(Here::Protocol),
                &ProtocolView { settings: &protocol.settings, clinic_file: Some("protocol.toml".into()) },
            ),
        ),
    ]
}

fn attention_view(children: &[&Invented]) -> AttentionView {
    let row = |child: &&Invented| {
        let mut calls = child.outlook().attention;
        calls.retain(|call| call.is_listed(today()));
        calls.sort_by_key(|call| (call.urgency, call.from));
        let mut calls = calls.into_iter();
        let attention = calls.next()?;
        Some(AttentionRow { who: child.who(), attention, more: calls.collect(), next_visit: None })
    };
    let mut rows: Vec<AttentionRow> = children.iter().filter_map(row).collect();
    rows.sort_by_key(|row| (row.attention.urgency, row.attention.from));
    let counts = guidance::Urgency::ALL.map(|urgency| UrgencyCount {
        urgency,
        count: rows.iter().filter(|row| row.attention.urgency == urgency).count(),
    });
    let rules = guidance::attention::RULES.iter().map(|rule| RuleChoice {
        key: rule.key.into(),
        title: rule.words.into(),
        count: rows.iter().filter(|row| row.attention.rule == rule.key).count(),
    });
    let filter = AttentionFilter::default();
    let pager = Pager { page: 2, pages: 3, total: 97, base: filter.base() };
    let put_off = rows[..1].to_vec();
    AttentionView { filter, rules: rules.collect(), counts: counts.to_vec(), rows, put_off, lost: 3, pager }
}

fn lost_view(child: &Invented) -> LostView {
    let calls = child.outlook().attention;
    let lost = calls[0].clone();
    let rows = vec![LostRow { who: child.who(), lost, open: calls[1..].to_vec() }];
    LostView { rows, pager: Pager { page: 1, pages: 1, total: 1, base: "/attention/lost?".into() } }
}

fn put_off_view(child: &Invented) -> PutOffView {
    let calls = child.outlook().attention;
    let filled = Filled::default().wrong(pages::put_off::UNTIL, "Enter a day from tomorrow on.");
    PutOffView { who: child.who(), calls, filled, once: "once".into() }
}
