//! The page of a child, and the pages of its entries.

use super::{
    Invented, frame, in_brace, in_casts, just_registered, likely, overdue, people, photographs,
    siblings::{self, WithFamily},
};
use course::Fate;
use maud::Markup;
use pages::{
    Amendment, ChildView, EntryView, Frame, Here, StepShown,
    fields::{self, Filled},
    parts::Who,
};
use record::{Body, Correction, HalfPoint, UserId};
use uuid::Uuid;

pub fn children(given: &str) -> Vec<(&'static str, Markup)> {
    let writers = std::iter::once((UserId::new(Uuid::from_u128(7)), "Hanne Kvist".to_owned())).collect();
    let drawn_for =
        |frame: &Frame, child: &Invented, family: WithFamily, draw: fn(&Frame, &ChildView<'_>) -> Markup| {
            let outlook = child.outlook();
            let forecasts = likely(&outlook);
            draw(
                frame,
                &ChildView {
                    who: Who { twins: family.twins(), ..Who::of(&outlook.course) },
                    outlook: &outlook,
                    forecasts: &forecasts,
                    entries: &child.entries,
                    writers: &writers,
                    family: family.view(),
                    photographs: Some(photographs::strip(child)),
                    angles: &photographs::angles(&outlook),
                },
            )
        };
    let drawn = |child: &Invented, family, draw| drawn_for(&frame(Here::Child), child, family, draw);
    let page = |child: &Invented, family| drawn(child, family, pages::child);
    let coordinator = people::coordinator(Here::Child);
    vec![
        ("child-contact", drawn_for(&coordinator, &overdue(), WithFamily::Nobody, pages::child)),
        ("all-entries", drawn(&in_casts(given), WithFamily::Nobody, pages::all_entries)),
        ("child", page(&in_casts(given), WithFamily::Nobody)),
        ("child-brace", page(&in_brace(), WithFamily::Nobody)),
        ("child-new", page(&just_registered(), WithFamily::Nobody)),
        ("child-twin", page(&siblings::without_carers(), WithFamily::Twin)),
        ("siblings-search", siblings::page(given, false)),
        ("siblings-link", siblings::page(given, true)),
    ]
}

pub fn entries(given: &str) -> Vec<(&'static str, Markup)> {
    let mut child = in_casts(given);
    let scored =
        child.entries.iter().find(|entry| matches!(entry.body, Body::Assessment(_))).unwrap().clone();
    let mut right = scored.body.clone();
    if let Body::Assessment(seen) = &mut right {
        seen.pirani.empty_heel = Some(HalfPoint::Half);
    }
    let correction = Correction {
        entry: scored.id,
        body: Box::new(right.clone()),
        on: None,
        reason: "Empty heel was read off the wrong line.".into(),
    };
    child.wrote("2024-05-13", correction);
    let who = child.who();
    let plain = EntryView {
        who: who.clone(),
        entry: &scored,
        by: "Hanne Kvist".into(),
        written: "16 April 2024 at 10:00".into(),
        fate: Fate::Unchanged,
        amendments: Vec::new(),
        current: Some((scored.on, &scored.body)),
        correct: fields::values_of(&scored.body).with("on", scored.on.to_string()),
        withdraw: Filled::default(),
        once: "once".into(),
        step: None,
        origin: None,
        of_a_visit: true,
        stock: Some(pages::EntryStock {
            lines: vec!["boot A: 1 pair taken out of stock; 1 pair in stock now.".into()],
            outdated: true,
            can_put_back: true,
            can_take: false,
        }),
    };
    let last = child.entries.last().unwrap();
    let amended = EntryView {
        fate: Fate::Corrected { by: last.id },
        amendments: vec![Amendment {
            entry: last,
            by: "Hanne Kvist".into(),
            written: "13 May 2024 at 10:00".into(),
        }],
        current: Some((scored.on, &right)),
        correct: fields::values_of(&right)
            .with("on", scored.on.to_string())
            .wrong(fields::CORRECT_REASON, "A reason is needed, so that others can follow what happened."),
        ..plain.clone()
    };
    let moved = EntryView {
        current: None,
        step: Some(StepShown {
            entries: vec![(scored.id, scored.body.sentence())],
            other: Some((format!("{}/entry/{}", who.href(), scored.id), "Bo Quillfeather".into())),
            can_be_taken_back: true,
            since: vec!["“Left foot: cast applied” was corrected on 12 May 2024".into()],
            filled: Filled::default()
                .wrong(fields::SURE, "Something was recorded since. Check it, then confirm."),
            seen: "12+3".into(),
        }),
        origin: Some((format!("{}/entry/{}", who.href(), last.id), "written there by Hanne Kvist".into())),
        of_a_visit: false,
        ..plain.clone()
    };
    vec![
        ("entry-step", pages::entry(&frame(Here::Elsewhere), &moved)),
        ("entry", pages::entry(&frame(Here::Elsewhere), &plain)),
        ("entry-corrected", pages::entry(&frame(Here::Elsewhere), &amended)),
    ]
}
