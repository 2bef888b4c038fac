//! Acts that were not done, a register with a row a child, children without numbers, and totals with their
//! side in the cell.

use super::{InventedFile, english::ENGLISH, rows_of_visits, side_word, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, NAMES_EN, NAMES_FR, Patient, Visit},
    fact::{Fact, FactKind, Truth, halves},
    sheet::{Page, Put, csv, points},
};
use record::{Day, Side, Sides};

pub fn files() -> Vec<InventedFile> {
    vec![acts_not_done(), register(), twins_without_numbers(), number_typed_twice(), side_in_the_cell()]
}

const NOT_DONE: [&str; 6] = [
    "no cast today",
    "tenotomy not needed",
    "?tenotomy",
    "mother refused tenotomy",
    "brace not available",
    "cast removed at home",
];
const WITH_A_CAST: [&str; 4] =
    ["tenotomy planned next week", "no tenotomy yet", "brace ordered", "?TA next visit"];

/// Planned, refused and missing acts next to those that were done.
fn acts_not_done() -> InventedFile {
    let clinic = Clinic::new(71, 9, &NAMES_EN, |n| format!("ND{:02}", 50 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "DOB", "Sex", "Date", "Side", "Pirani", "Done"]);
    let mut n = 0_usize;
    for (patient, visit) in clinic.visits() {
        for (&side, foot) in &visit.feet {
            n += 1;
            let done = ENGLISH.of_foot(visit, foot, true);
            let done = match (foot.tenotomy || foot.relapse || visit.brace, foot.cast) {
                (true, _) => done,
                (_, Some(_)) => format!("{done}, {}", WITH_A_CAST[n % WITH_A_CAST.len()]),
                (_, None) => NOT_DONE[n % NOT_DONE.len()].to_owned(),
            };
            let place = page.next();
            page.row(cells![
                patient.number.as_str(),
                patient.name(),
                slashed(patient.born),
                patient.sex.key(),
                slashed(visit.day),
                side_word(Sides::from(side), ["R", "L", ""]),
                points(foot.total()),
                done,
            ]);
            patient.tell(&mut truth, place);
            let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
            patient.tell_foot(&mut truth, place, visit, side, &kinds);
            patient.tell_brace(&mut truth, place, visit);
            for kind in ["tenotomy_booked", "cast_removed", "problem"] {
                truth.allowed.insert(Fact::of_day(FactKind::Other(kind), &patient.number, visit.day));
            }
        }
    }
    InventedFile::text("acts_not_done.csv", "planned, refused and missing acts", csv(&page, ','), truth)
        .answers(&[
            ("piece", "", "nothing"),
            ("done", "no tenotomy yet", "note"),
            ("done", "brace ordered", "note"),
            ("done", "?TA next visit", "note"),
            ("done", "?tenotomy", "note"),
            ("done", "tenotomy planned next week", "note"),
            ("done", "no cast today", "note"),
            ("done", "tenotomy not needed", "note"),
            ("done", "mother refused tenotomy", "note"),
            ("done", "brace not available", "note"),
            ("done", "cast removed at home", "cast off"),
        ])
}

/// A row a child: the first score, how many casts in all, and the days of tenotomy and brace. The last
/// score has no day.
fn register() -> InventedFile {
    let mut clinic = Clinic::new(72, 20, &NAMES_EN, |n| format!("{}/24", 101 + n));
    clinic.without_relapse();
    let (mut page, mut truth) = (Page::named("Register"), Truth::default());
    page.heads(&[
        "Reg no",
        "Name of child",
        "DOB",
        "Sex",
        "Affected foot",
        "First visit",
        "Initial Pirani R",
        "Initial Pirani L",
        "Total no of casts",
        "Tenotomy date R",
        "Tenotomy date L",
        "Brace date",
        "Final Pirani R",
        "Final Pirani L",
    ]);
    for patient in &clinic.patients {
        let place = page.next();
        let (first, last) = (&patient.visits[0], &patient.visits[patient.visits.len() - 1]);
        let score = |visit: &Visit, side| visit.foot(side).map_or(Put::Blank, |foot| points(foot.total()));
        page.row(cells![
            patient.number.as_str(),
            patient.name(),
            slashed(patient.born),
            patient.sex.key(),
            side_word(patient.sides, ["Right", "Left", "Bilateral"]),
            slashed(first.day),
            score(first, Side::Right),
            score(first, Side::Left),
            patient.visits.iter().flat_map(|visit| visit.feet.values()).filter_map(|foot| foot.cast).max(),
            cut(patient, Side::Right).map(slashed),
            cut(patient, Side::Left).map(slashed),
            patient.visits.iter().find(|visit| visit.brace).map(|visit| slashed(visit.day)),
            score(last, Side::Right),
            score(last, Side::Left),
        ]);
        patient.tell(&mut truth, place);
        for &side in patient.sides.each() {
            patient.tell_foot(&mut truth, place, first, side, &[FactKind::Total]);
            for visit in &patient.visits {
                patient.tell_foot(&mut truth, place, visit, side, &[FactKind::Tenotomy]);
                patient.tell_brace(&mut truth, place, visit);
            }
        }
    }
    InventedFile::text("register.csv", "a row a child, first and last score", csv(&page, ','), truth)
        .answers(&[("unused", "", "leave out")])
}

fn cut(patient: &Patient, side: Side) -> Option<Day> {
    let cut = |visit: &&Visit| visit.foot(side).is_some_and(|foot| foot.tenotomy);
    patient.visits.iter().find(cut).map(|visit| visit.day)
}

/// No numbers; two children of one family are born on the same day.
fn twins_without_numbers() -> InventedFile {
    let mut clinic = Clinic::new(73, 8, &NAMES_FR, |n| format!("{n}"));
    let (family, born) = (clinic.patients[0].family.clone(), clinic.patients[0].born);
    let twin = &mut clinic.patients[1];
    (twin.family, twin.born, twin.given) = (family, born, "Philémon".to_owned());
    for visit in &mut twin.visits {
        visit.day = visit.day.plus_days(30);
    }
    twin.visits.retain(|visit| visit.day > born && visit.day < Day::new(2025, 5, 20).unwrap());
    let (mut page, mut truth) = (Page::named("Feuille1"), Truth { by_name: true, ..Truth::default() });
    page.heads(&["Nom", "Prénom", "Né(e) le", "Sexe", "Date", "Pirani droit", "Pirani gauche", "Acte"]);
    let words = super::ActWords {
        cast: "plâtre",
        tenotomy: "ténotomie",
        brace: "attelle posée",
        review: "contrôle",
        relapse: "récidive",
        and: " + ",
    };
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        let total = |side| visit.foot(side).map(|foot| points(foot.total())).unwrap_or_default();
        cells![
            patient.family.as_str(),
            patient.given.as_str(),
            slashed(patient.born),
            if patient.sex == record::Sex::Female { "F" } else { "M" },
            slashed(visit.day),
            total(Side::Right),
            total(Side::Left),
            words.of_visit(visit, ["D", "G", "bilatéral"], true),
        ]
    });
    InventedFile::text("twins.csv", "no numbers, twins of one family", csv(&page, ';'), truth)
}

/// The number of one child is in one row of another.
fn number_typed_twice() -> InventedFile {
    let clinic = Clinic::new(74, 16, &NAMES_EN, |n| format!("TW{}", 500 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "DOB", "Sex", "Date", "Pirani R", "Pirani L", "Done"]);
    let other = clinic.patients[2].number.clone();
    let count = std::cell::Cell::new(0);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        count.set(count.get() + 1);
        let total = |side| visit.foot(side).map(|foot| points(foot.total())).unwrap_or_default();
        let mistyped = count.get() == 40 && patient.number != other;
        cells![
            if mistyped { other.as_str() } else { patient.number.as_str() },
            patient.name(),
            slashed(patient.born),
            patient.sex.key(),
            slashed(visit.day),
            total(Side::Right),
            total(Side::Left),
            ENGLISH.of_visit(visit, ["R", "L", "both"], true),
        ]
    });
    InventedFile::text("number_typed_twice.csv", "another child's number in one row", csv(&page, ','), truth)
        .answers(&[("number", "", "name")])
}

/// `R 4.5 L 3` in one cell, `4.5 (R)` where one foot was seen.
fn side_in_the_cell() -> InventedFile {
    let clinic = Clinic::new(75, 8, &NAMES_EN, |n| format!("{}-C", 31 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "DOB", "Sex", "Date", "Pirani score", "Done"]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        let total = |side| visit.foot(side).map(|foot| halves(foot.total()));
        let score = match (total(Side::Right), total(Side::Left)) {
            (Some(right), Some(left)) => format!("R {right} L {left}"),
            (Some(right), None) => format!("{right} (R)"),
            (None, Some(left)) => format!("{left} (L)"),
            (None, None) => String::new(),
        };
        cells![
            patient.number.as_str(),
            patient.name(),
            slashed(patient.born),
            patient.sex.key(),
            slashed(visit.day),
            score,
            ENGLISH.of_visit(visit, ["R", "L", "both"], true),
        ]
    });
    InventedFile::text("side_in_the_cell.csv", "“R 4.5 L 3” in one cell", csv(&page, ','), truth)
}
