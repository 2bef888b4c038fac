//! The visit form, its preview, and a score by a second rater.

use super::{Invented, day, frame, half_entered, in_brace, in_casts, just_registered, today};
use maud::Markup;
use pages::{
    BothScoresView, DayChoice, DayPlaces, Here, PreviewView, ScoreShown, SecondScoreView, VisitNow,
    VisitView, fields::Filled,
};
use record::{EntryId, HalfPoint, Pirani, Purpose, Side};
use uuid::Uuid;

fn visit_of(child: &Invented, filled: Filled, walking_age: bool) -> Markup {
    let outlook = child.outlook();
    let as_if_saved = !filled.values.is_empty();
    let choice = |on: &str, why: &str, booked, places| DayChoice {
        day: day(on),
        purpose: Purpose::Cast,
        why: why.into(),
        places: DayPlaces { booked, without_purpose: 0, places, closed: None },
    };
    let days = vec![
        choice(
            "2024-05-21",
            "the next cast is due 19–23 May; clinic on Tuesdays",
            7,
            Some(("cast places", 12)),
        ),
        choice("2024-05-17", "the clinic day before", 3, None),
    ];
    let preview = PreviewView { child: child.child, steps: &outlook.steps, as_if_saved, remarks: Vec::new() };
    let stock = guidance::brace::Stock::read("[[boots]]\nlabel = \"boot A\"\ninner_mm = 105\nin_store = 1\n[[bars]]\nlabel = \"short\"\nfrom_mm = 150\nto_mm = 220").unwrap();
    let view = VisitView {
        who: child.who(),
        outlook: &outlook,
        filled,
        seen: child.entries.len(),
        once: "once".into(),
        walking_age,
        stock: &stock,
        now: VisitNow { on: today(), preview, days },
    };
    pages::visit(&frame(Here::Elsewhere), &view)
}

pub fn visits(given: &str) -> Vec<(&'static str, Markup)> {
    let casts = in_casts(given);
    let outlook = casts.outlook();
    let fragment = PreviewView {
        child: casts.child,
        steps: &outlook.steps,
        as_if_saved: true,
        remarks: vec!["The total written is 4, the six signs add up to 4.5.".into()],
    };
    vec![
        ("visit", visit_of(&casts, Filled::default(), false)),
        ("visit-half", visit_of(&casts, half_entered(), false)),
        ("visit-brace", visit_of(&in_brace(), Filled::default(), true)),
        ("visit-first", visit_of(&just_registered(), Filled::default(), false)),
        ("preview-fragment", pages::preview(&fragment, today())),
    ]
}

pub fn second_scores(given: &str) -> Vec<(&'static str, Markup)> {
    let child = in_casts(given);
    let (first, second) = (EntryId::new(Uuid::from_u128(21)), EntryId::new(Uuid::from_u128(22)));
    let form = SecondScoreView {
        who: child.who(),
        side: Side::Left,
        on: today(),
        first,
        filled: Filled::default()
            .with("left.medial_crease", "0.5")
            .wrong("left.lateral_border", "No sign is scored yet."),
        once: "once".into(),
    };
    let score = |entry, by: &str, talar_head| ScoreShown {
        entry,
        by: by.into(),
        pirani: Pirani {
            talar_head: Some(talar_head),
            empty_heel: Some(HalfPoint::One),
            ..Pirani::default()
        },
        dimeglio: record::Dimeglio { cavus: Some(true), ..record::Dimeglio::default() },
    };
    let scores = [score(first, "Hanne Kvist", HalfPoint::Half), score(second, "Ole Brandt", HalfPoint::One)];
    let both =
        BothScoresView { who: child.who(), side: Side::Left, on: today(), scores: Ok(scores), amended: true };
    let none = BothScoresView { scores: Err("The first score was withdrawn.".into()), ..both.clone() };
    let frame = frame(Here::Elsewhere);
    vec![
        ("second-score", pages::second_score(&frame, &form)),
        ("both-scores", pages::both_scores(&frame, &both)),
        ("both-scores-none", pages::both_scores(&frame, &none)),
    ]
}
