//! Photographs: the page with and without consent, naming, two days, measuring.

use super::{Invented, frame, in_casts, today};
use guidance::Outlook;
use maud::Markup;
use pages::{
    ConsentShown, EnlargedPart, HOW_FOUND, HandedLetterShown, Here, LengthView, LetterPair,
    LetterPhotographsView, MeasureChoice, MeasureView, NamedPicture, PhotographNamesView, PhotographPairView,
    PhotographShown, PhotographStripView, PhotographsView, WaitingShown,
    document_handed::TO,
    fields::{Filled, SURE},
    how_set, name_field,
    picture::AngleOnPhotograph,
};
use record::{EntryId, PhotographAngle, PhotographView, Side, Sides};
use uuid::Uuid;

fn shown(number: u128, days_ago: i32, feet: Sides, view: PhotographView) -> PhotographShown {
    PhotographShown {
        entry: EntryId::new(Uuid::from_u128(number)),
        on: today() - days_ago,
        feet,
        view,
        taken_at: (number == 1).then(|| "09:10".to_owned()),
        note: (number == 2).then(|| "in a bright room".to_owned()),
        measured: Vec::new(),
    }
}

fn on_record() -> Vec<PhotographShown> {
    vec![
        shown(1, 21, Sides::Left, PhotographView::Sole),
        shown(2, 7, Sides::Left, PhotographView::Sole),
        shown(3, 7, Sides::Both, PhotographView::BothFeet),
    ]
}

fn consent(in_force: bool) -> ConsentShown {
    let words = if in_force {
        "The family consents to photographs since 1 February 2025."
    } else {
        "The family took its consent to photographs back on 3 March 2025."
    };
    ConsentShown { in_force, words: words.to_owned() }
}

pub fn strip(_: &Invented) -> PhotographStripView {
    PhotographStripView { consent: consent(true), photographs: on_record(), hidden: 0 }
}

/// One on each foot, on the day as of which the child is shown.
pub fn angles(outlook: &Outlook) -> Vec<AngleOnPhotograph> {
    let on = outlook.course.as_of;
    let angle = |side, degrees| AngleOnPhotograph {
        entry: EntryId::new(Uuid::from_u128(9)),
        on,
        side,
        angle: PhotographAngle::HeelVarus,
        degrees,
        error_deg: 2.25,
    };
    vec![angle(Side::Right, 12.0), angle(Side::Left, -7.5)]
}

/// Every page about photographs.
pub fn every(given: &str) -> Vec<(&'static str, Markup)> {
    vec![
        ("photographs", page(given, true)),
        ("photographs-refused", page(given, false)),
        ("photograph-names", names(given)),
        ("photograph-pair", pair(given)),
        ("photograph-measure", measure(given)),
        ("letter-photographs", letter(given, None)),
        (
            "letter-photographs-refused",
            letter(given, Some("No answer of the family about photographs is recorded.")),
        ),
        ("photograph-length", length(given, true)),
        ("photograph-length-of-no-view", length(given, false)),
    ]
}

fn page(given: &str, in_force: bool) -> Markup {
    let view = PhotographsView {
        who: in_casts(given).who(),
        consent: consent(in_force),
        photographs: if in_force { on_record() } else { Vec::new() },
        hidden: if in_force { 0 } else { 3 },
        uses: if in_force { vec!["They may be in letters to colleagues.".into()] } else { Vec::new() },
        handed: vec![HandedLetterShown {
            entry: on_record()[0].entry,
            words: format!("3 March 2025: clinic summary, to {given}, with photographs: left foot, sole"),
            letter: in_force.then(|| "/child/x/letters/clinic-summary/with/y".to_owned()),
        }],
        waiting: vec![WaitingShown {
            href: "/child/x/photographs/upload/y".into(),
            words: "2 pictures".into(),
        }],
        answer: Filled::default(),
        error: in_force.then(|| "30 pictures were chosen, and at most 24 are taken at once.".to_owned()),
        most_at_once: 24,
        most_bytes: 24 << 20,
        once: "once".into(),
    };
    pages::photographs(&frame(Here::Child), &view)
}

fn letter(given: &str, refused: Option<&str>) -> Markup {
    let photographs: Vec<PhotographShown> =
        on_record().into_iter().filter(|one| one.feet == Sides::Left).collect();
    let name = pages::pair_name(Sides::Left, PhotographView::Sole);
    let view = LetterPhotographsView {
        who: in_casts(given).who(),
        letter: ("clinic-summary", "Clinic summary"),
        refused: refused.map(str::to_owned),
        pairs: vec![LetterPair { feet: Sides::Left, view: PhotographView::Sole, photographs }],
        filled: Filled::default().with(name, "yes").wrong(TO, "Say to whom the letter goes."),
        once: "once".into(),
    };
    pages::letter_photographs(&frame(Here::Child), &view)
}

fn names(given: &str) -> Markup {
    let picture = |number: u16, fault: Option<&str>| NamedPicture {
        number,
        fault: fault.map(str::to_owned),
        findings: vec!["The file said where it was taken; that was removed.".to_owned()],
        camera_says: Some("3 March 2025, 09:10".to_owned()),
        camera_time: Some("09:10".to_owned()),
        src: format!("/child/x/photographs/upload/y/{number}"),
    };
    let filled = Filled::default()
        .with(name_field("feet", 1), "left")
        .wrong(name_field("view", 1), "Picture 1: say which view it is.")
        .wrong(SURE, "The camera says that picture 1 was taken on 3 March 2025.");
    let view = PhotographNamesView {
        who: in_casts(given).who(),
        href: "/child/x/photographs/upload/y".into(),
        pictures: vec![picture(1, None), picture(2, Some("This picture is damaged.")), picture(3, None)],
        filled,
        once: "once".into(),
    };
    pages::photograph_names(&frame(Here::Child), &view)
}

fn pair(given: &str) -> Markup {
    let photographs: Vec<PhotographShown> =
        on_record().into_iter().filter(|one| one.feet == Sides::Left).collect();
    let view = PhotographPairView {
        who: in_casts(given).who(),
        feet: Sides::Left,
        view: PhotographView::Sole,
        chosen: (photographs[0].entry, photographs[1].entry),
        photographs,
    };
    pages::photograph_pair(&frame(Here::Child), &view)
}

fn measure(given: &str) -> Markup {
    let view = MeasureView {
        who: in_casts(given).who(),
        photograph: shown(2, 7, Sides::Left, PhotographView::Sole),
        size: (1500, 2000),
        guide: Some(MeasureChoice {
            words: "adduction of the forefoot",
            sign: "Above zero the forefoot is turned in.",
            published: "No figures were found.",
            taps: vec![("heel, back", "Tap it."), ("heel, front", "Tap it."), ("forefoot", "Tap it.")],
        }),
        filled: Filled::default().with("x_1", "3").wrong("y_1", "Tap this point, or type where it is."),
        part: None,
        answer: vec!["Adduction of the forefoot, left foot: 17° ± 3°.".into()],
        once: "once".into(),
    };
    pages::measure_photograph(&frame(Here::Child), &view)
}

fn length(given: &str, measurable: bool) -> Markup {
    let filled = Filled::default()
        .with("x_1", "300")
        .with("y_1", "400")
        .with("how_1", how_set(HOW_FOUND, (300, 400)))
        .wrong("seen_1", "Look at corner 1 in the enlarged part and tick it, or move it.");
    let view = LengthView {
        who: in_casts(given).who(),
        photograph: shown(2, 7, Sides::Left, PhotographView::Sole),
        size: (1500, 2000),
        measurable,
        filled: if measurable { filled } else { Filled::default() },
        part: measurable.then_some(EnlargedPart { point: 1, middle: (30, 40), span: 320 }),
        found: measurable.then(|| "This may be the card.".to_owned()),
        answer: vec!["Length, left foot: 92 mm ± 2 mm.".into()],
        once: "once".into(),
    };
    pages::measure_length(&frame(Here::Child), &view)
}
