//! Invented children, and every page with invented data, for the tests and for the gallery.
//!
//! Long because it lists every page of the program in one place.

use course::{AppointmentState, Fate, Phase};
use forecast::{
    SeenChild,
    foot::{FootForecast, Forecaster},
    learning::ClinicPosterior,
    natural_history::Parameters,
};
use guidance::{Outlook, Protocol};
use maud::Markup;
use pages::{
    AddKind, AddView, Amendment, AttentionFilter, AttentionRow, AttentionView, BothScoresView, ChildView,
    DayChoice, DayPlaces, DayRow, DayView, EntryView, FindRow, FindView, Frame, Here, LostRow, LostView,
    Message, PasskeySignIn, PossibleChild, PreviewView, ProtocolView, PutOffView, RegisterView, RequestError,
    RuleChoice, ScoreShown, SecondScoreView, SignInView, StartView, StepShown, UrgencyCount, VisitNow,
    VisitView,
    fields::{self, Filled, visit as names},
    parts::{Pager, Who},
};
use record::{Body, Correction, Day, EntryId, HalfPoint, Pirani, Purpose, Rights, Roles, Side, Sign, UserId};
use uuid::Uuid;

mod amend;
mod brace_fitting;
mod capacity;
mod children;
mod devices;
mod documents;
mod encryption;
mod import;
mod letters;
mod people;
mod photographs;
pub mod practice;
mod protection;
pub mod results;
mod second_factor;
mod settings;
mod siblings;
mod tablet;
mod tenotomy;
mod videos;
mod wear;

use siblings::WithFamily;

pub use children::{Invented, in_brace, in_casts, just_registered, overdue};

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// The invented today, a Tuesday.
pub fn today() -> Day {
    day("2024-05-14")
}

pub fn frame(here: Here) -> Frame {
    Frame {
        user: Some("Hanne Kvist".into()),
        rights: Roles::FIRST.rights(),
        today: today(),
        csrf: "token-of-the-form".into(),
        clinic_name: "Harbour Road clinic".into(),
        here,
        message: None,
        invented: true,
        notices: pages::FrameNotices::default(),
        person: "0190a000-0000-7000-8000-0000000000aa".into(),
        drafts: 0,
        restored: Vec::new(),
        standing: Vec::new(),
        cannot_encrypt: false,
        language: pages::PageLanguage::English,
        mark: Some("1a2b3c4d at entry 12840".into()),
    }
}

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

/// Every page, by name. `given` is the given name of the child on them.
pub fn pages_of(given: &str) -> Vec<(&'static str, Markup)> {
    let mut all = signed_out();
    all.extend(encryption::restores());
    all.extend(lists(given));
    all.extend(forms(given));
    all.extend(visits(given));
    all.extend(children(given));
    all.extend(documents::every(given));
    all.extend(photographs::every(given));
    all.extend(videos::every(given));
    all.extend(entries(given));
    all.extend(amend::pages(given));
    all.extend(import::pages_of_import());
    all.extend(capacity::pages());
    all.extend(settings::pages());
    all.extend(letters::pages(given));
    all.extend(wear::pages());
    all.extend(people::pages());
    all.extend(tenotomy::pages(given));
    all.extend(protection::pages(given));
    all.extend(second_factor::pages());
    all.extend(tablet::pages(given));
    all.extend(brace_fitting::pages());
    all.extend(results::pages());
    all.extend(practice::pages(given));
    all.extend(devices::pages(given));
    all.extend(second_scores(given));
    all.extend(request_errors());
    all.extend(manual());
    all
}

/// The parts of the manual; the one that is open to everybody as a stranger sees it.
fn manual() -> Vec<(&'static str, Markup)> {
    let (known, stranger) = (frame(Here::Elsewhere), Frame { user: None, ..frame(Here::Elsewhere) });
    pages::HelpPart::ALL
        .into_iter()
        .map(|part| {
            let name: &'static str = format!("help-{}", part.key()).leak();
            (name.trim_end_matches('-'), pages::help(if part.is_open() { &stranger } else { &known }, part))
        })
        .collect()
}

/// Every page, with an ordinary given name.
#[allow(dead_code, reason = "the gallery and the tests each use a part of this file")]
pub fn every_page() -> Vec<(&'static str, Markup)> {
    pages_of("Ilse")
}

fn second_scores(given: &str) -> Vec<(&'static str, Markup)> {
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

fn signed_out() -> Vec<(&'static str, Markup)> {
    let frame = Frame { user: None, rights: Rights::NONE, ..frame(Here::Elsewhere) };
    let start = StartView {
        may_restore: true,
        token: "one-time".into(),
        password_hint: "At least 15 characters.",
        filled: Filled::default()
            .with("name", "Hanne Kvist")
            .wrong("password", "The password needs at least 15 characters."),
    };
    let plain = SignInView {
        filled: Filled::default(),
        then: "/day".into(),
        kept: None,
        can_unlock: false,
        demo_account: Some(("guest".into(), "three-words-here".into())),
        demo_others: vec![("liv".into(), "clinic coordinator".into())],
        passkeys: PasskeySignIn::At("http://localhost:8460".into()),
    };
    let wrong = SignInView {
        filled: Filled::default()
            .with("sign_in_name", "hanne")
            .wrong("", "Name and password do not belong together."),
        then: "/day".into(),
        kept: None,
        can_unlock: false,
        demo_account: None,
        demo_others: Vec::new(),
        passkeys: PasskeySignIn::Here,
    };
    vec![
        ("start", pages::start(&frame, &start)),
        ("sign-in", pages::sign_in(&frame, &plain)),
        ("sign-in-refused", pages::sign_in(&frame, &wrong)),
    ]
}

fn lists(given: &str) -> Vec<(&'static str, Markup)> {
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

fn forms(given: &str) -> Vec<(&'static str, Markup)> {
    let casts = in_casts(given);
    let blank = RegisterView { filled: Filled::default(), possible: Vec::new() };
    let again = RegisterView {
        filled: Filled::default()
            .with("given_name", given)
            .with("born", "2024-03-26")
            .with("sides", "both")
            .wrong("born", "The day of birth lies after the day of registration."),
        possible: vec![PossibleChild {
            who: casts.who(),
            why: "same day of birth, and the name sounds alike".into(),
        }],
    };
    let mut all = vec![
        ("register", pages::register(&frame(Here::Register), &blank)),
        ("register-again", pages::register(&frame(Here::Register), &again)),
    ];
    for &kind in AddKind::all() {
        let filled = Filled::default().with("on", today().to_string());
        let filled =
            if kind.key() == "problem" { filled.wrong("what", "Problem: required.") } else { filled };
        let filled = if kind.key() == "registration" {
            fields::values_of(&casts.entries[0].body).with("on", today().to_string())
        } else {
            filled
        };
        let view = AddView {
            who: casts.who(),
            kind,
            filled,
            once: "once".into(),
            follows: None,
            both_feet: kind.takes_both_feet(),
        };
        let name: &'static str = Box::leak(format!("add-{}", kind.key()).into_boxed_str());
        all.push((name, pages::add(&frame(Here::Elsewhere), &view)));
    }
    all
}

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

/// A visit half entered: the right foot complete, the left with four of six signs.
pub fn half_entered() -> Filled {
    let mut filled = Filled::default();
    for (n, sign) in Sign::ALL.into_iter().enumerate() {
        filled = filled.with(names::sign(Side::Right, sign), ["0.5", "0.5", "0.5", "1", "1", "0.5"][n]);
        filled = filled.with(names::sign(Side::Left, sign), ["0", "0", "0", "1", "", ""][n]);
    }
    filled
        .with(names::abduction_deg(Side::Right), "45")
        .with(names::cast_off(Side::Right), "planned")
        .with(names::cast(Side::Right), "correction")
        .with(names::cast_abduction_deg(Side::Right), "99")
        .wrong(
            names::cast_abduction_deg(Side::Right),
            "abduction 99° cannot be right: -60 to 90° is expected.",
        )
}

fn visits(given: &str) -> Vec<(&'static str, Markup)> {
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

/// The forecast of a child from published feet alone.
pub fn likely(outlook: &Outlook) -> Vec<FootForecast> {
    let published = ClinicPosterior::published(&Parameters::published());
    let seen = SeenChild::of(&outlook.course).child;
    Forecaster::new(&published).of(&seen, outlook.course.as_of.number())
}

fn children(given: &str) -> Vec<(&'static str, Markup)> {
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

fn entries(given: &str) -> Vec<(&'static str, Markup)> {
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

fn request_errors() -> Vec<(&'static str, Markup)> {
    let frame = frame(Here::Elsewhere);
    let page = |error: &RequestError| pages::error(&frame, error);
    vec![
        ("error-not-found", page(&RequestError::NotFound)),
        (
            "error-refused",
            page(&RequestError::Refused(
                "foot length 20 mm cannot be right: 50 to 260 mm is expected.".into(),
            )),
        ),
        ("error-stale", page(&RequestError::Stale)),
        (
            "error-no-right",
            pages::error(
                &people::coordinator(Here::Elsewhere),
                &RequestError::NoRight(Box::new(pages::RightRefused {
                    right: record::Right::SeeClinical,
                    leads: vec!["Hanne Kvist".into(), "Ole Brandt".into()],
                })),
            ),
        ),
        (
            "error-conflict",
            page(&RequestError::Conflict(
                "Two entries say different things about the right foot on 14 May 2024.".into(),
            )),
        ),
        ("error-too-many", page(&RequestError::TooMany)),
        (
            "error-too-large",
            page(&RequestError::TooLarge(
                "A note has at most 20,000 characters; this one has 1,048,576.".into(),
            )),
        ),
        (
            "error-damaged",
            page(&RequestError::Damaged("Entry 1,207 does not follow from the one before it.".into())),
        ),
        (
            "error-not-saved-now",
            page(&RequestError::NotSavedNow(
                "The records end at entry 1,204, but entry 1,219 was saved.".into(),
            )),
        ),
        ("error-disk-full", page(&RequestError::DiskFull)),
        ("error-busy", page(&RequestError::Busy)),
        ("error-fault", page(&RequestError::Fault("f3a9".into()))),
    ]
}
