//! Hindi and Russian.

use super::{ActWords, InventedFile, dotted, rows_of_feet, rows_of_visits, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, NAMES_HI, NAMES_RU},
    fact::{FactKind, Truth, halves},
    sheet::{Page, csv, points},
};
use record::{Sex, Side};

pub fn files() -> Vec<InventedFile> {
    vec![hindi(), russian()]
}

/// A text with the digits of the Devanagari script.
fn devanagari(text: &str) -> String {
    let digit = |c: char| c.to_digit(10).and_then(|digit| char::from_u32(0x966 + digit)).unwrap_or(c);
    text.chars().map(digit).collect()
}

/// Everything in Devanagari, digits too.
fn hindi() -> InventedFile {
    let clinic = Clinic::new(21, 8, &NAMES_HI, |n| format!("{}", 1200 + n * 9));
    let words = ActWords {
        cast: "प्लास्टर",
        tenotomy: "टेनोटॉमी",
        brace: "ब्रेस",
        review: "जाँच",
        relapse: "पुनरावृत्ति",
        and: " + ",
    };
    let (mut page, mut truth) = (Page::named("रोगी"), Truth::default());
    page.heads(&[
        "मरीज संख्या",
        "बच्चे का नाम",
        "जन्म तिथि",
        "लिंग",
        "तारीख",
        "पिरानी दायाँ",
        "पिरानी बायाँ",
        "प्लास्टर संख्या",
        "क्या किया गया",
    ]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        let total = |side| visit.foot(side).map(|foot| devanagari(&halves(foot.total())));
        let number = visit.feet.values().find_map(|foot| foot.cast);
        cells![
            devanagari(&patient.number),
            patient.name(),
            devanagari(&slashed(patient.born)),
            if patient.sex == Sex::Female { "महिला" } else { "पुरुष" },
            devanagari(&slashed(visit.day)),
            total(Side::Right),
            total(Side::Left),
            number.map(|number| devanagari(&number.to_string())),
            words.of_visit(visit, ["दायाँ", "बायाँ", "दोनों"], false),
        ]
    });
    InventedFile::book("hindi.xlsx", "Devanagari words and digits", &[page], truth).answers(&[
        ("done", "ब्रेस", "brace fitted"),
        ("done", "जाँच", "review"),
        ("done", "पुनरावृत्ति", "relapse"),
    ])
}

/// `П` and `Л` for the sides, in UTF-16.
fn russian() -> InventedFile {
    let clinic = Clinic::new(22, 8, &NAMES_RU, |n| format!("ДО-{:03}", 71 + n * 2));
    let words = ActWords {
        cast: "гипс",
        tenotomy: "ахиллотомия",
        brace: "брейсы",
        review: "осмотр",
        relapse: "рецидив",
        and: ", ",
    };
    let (mut page, mut truth) = (Page::named("Лист1"), Truth::default());
    page.heads(&[
        "№ истории болезни",
        "ФИО",
        "Дата рождения",
        "Пол",
        "Дата визита",
        "Стопа",
        "Балл Пирани",
        "№ гипса",
        "Что сделано",
    ]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_feet(&clinic, &mut page, &mut truth, &kinds, |patient, visit, side, foot| {
        cells![
            patient.number.as_str(),
            format!("{} {}", patient.family, patient.given),
            dotted(patient.born),
            if patient.sex == Sex::Female { "ж" } else { "м" },
            dotted(visit.day),
            if side == Side::Right { "П" } else { "Л" },
            points(foot.total()),
            foot.cast,
            words.of_foot(visit, foot, false),
        ]
    });
    let text = csv(&page, ';');
    let mut file = InventedFile::text("russian.csv", "П/Л, Cyrillic words, UTF-16", String::new(), truth);
    file.bytes = [0xff, 0xfe].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    file.answers(&[
        ("side", "П", "right"),
        ("side", "Л", "left"),
        ("done", "гипс", "cast"),
        ("done", "ахиллотомия", "tenotomy"),
        ("done", "ахиллотомия, гипс", "tenotomy and cast"),
        ("done", "брейсы", "brace fitted"),
        ("done", "осмотр", "review"),
        ("done", "рецидив", "relapse"),
    ])
}
