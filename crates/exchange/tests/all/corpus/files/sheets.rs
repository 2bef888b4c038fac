//! Several sheets: one a month, one a child, one a foot.

use super::{ActWords, InventedFile, dotted, side_word, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, NAMES_DE, NAMES_EN, NAMES_ES},
    fact::{FactKind, Truth},
    sheet::{Page, points},
};
use record::{Sex, Side, Sides};

pub fn files() -> Vec<InventedFile> {
    vec![spanish_months(), german_children(), one_sheet_a_foot()]
}

const MONTHS_ES: [&str; 12] = [
    "Enero",
    "Febrero",
    "Marzo",
    "Abril",
    "Mayo",
    "Junio",
    "Julio",
    "Agosto",
    "Septiembre",
    "Octubre",
    "Noviembre",
    "Diciembre",
];

/// A sheet a month under a title; only some months have a day that settles the order of the dates.
fn spanish_months() -> InventedFile {
    let clinic = Clinic::new(51, 9, &NAMES_ES, |n| format!("H-{:03}", 201 + n));
    let words = ActWords {
        cast: "yeso",
        tenotomy: "tenotomía",
        brace: "férula colocada",
        review: "control",
        relapse: "recidiva",
        and: " + ",
    };
    let (mut pages, mut truth): (Vec<Page>, _) = (Vec::new(), Truth::default());
    for (patient, visit) in clinic.visits() {
        let (year, month, _) = visit.day.parts();
        let name = format!("{} {year}", MONTHS_ES[month as usize - 1]);
        if pages.last().is_none_or(|page| page.name != name) {
            let mut page = Page::named(&name);
            page.heads(&[&format!("Consulta de pie equinovaro, {name}")]);
            page.heads(&[
                "Historia",
                "Paciente",
                "Fecha de nacimiento",
                "Sexo",
                "Fecha",
                "Pirani D",
                "Pirani I",
                "Yeso nº",
                "Procedimiento",
            ]);
            pages.push(page);
        }
        let at = pages.len() - 1;
        let page = &mut pages[at];
        let place = (at, page.rows.len() + 1);
        let total = |side| visit.foot(side).map(|foot| points(foot.total())).unwrap_or_default();
        page.row(cells![
            patient.number.as_str(),
            patient.name(),
            slashed(patient.born),
            if patient.sex == Sex::Female { "M" } else { "H" },
            slashed(visit.day),
            total(Side::Right),
            total(Side::Left),
            visit.feet.values().find_map(|foot| foot.cast),
            words.of_visit(visit, ["D", "I", "ambos"], false),
        ]);
        patient.tell(&mut truth, place);
        let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
        for &side in visit.feet.keys() {
            patient.tell_foot(&mut truth, place, visit, side, &kinds);
        }
        patient.tell_brace(&mut truth, place, visit);
    }
    InventedFile::book("spanish_months.xlsx", "a sheet a month, hombre/mujer as H/M", &pages, truth)
        .answers(&[("Sexo", "M", "female"), ("Sexo", "H", "male")])
}

/// A sheet a child, who is named above the table and nowhere in it.
fn german_children() -> InventedFile {
    let clinic = Clinic::new(52, 6, &NAMES_DE, |n| format!("K-{:04}", 102 + n * 5));
    let words = ActWords {
        cast: "Gips",
        tenotomy: "Achillotenotomie",
        brace: "Schiene angepasst",
        review: "Kontrolle",
        relapse: "Rezidiv",
        and: " + ",
    };
    let (mut pages, mut truth) = (Vec::new(), Truth::default());
    for (at, patient) in clinic.patients.iter().enumerate() {
        let mut page = Page::named(&format!("{}, {}", patient.family, patient.given));
        page.row(cells!["Name:", format!("{}, {}", patient.family, patient.given)]);
        page.row(cells!["Geburtsdatum:", patient.born]);
        page.row(cells!["Patientennummer:", patient.number.as_str()]);
        page.row(cells!["Geschlecht:", if patient.sex == Sex::Female { "w" } else { "m" }]);
        page.row(vec![]);
        page.heads(&["Datum", "Seite", "Pirani", "Gips Nr.", "Maßnahme"]);
        for visit in &patient.visits {
            for (&side, foot) in &visit.feet {
                let place = (at, page.rows.len() + 1);
                page.row(cells![
                    dotted(visit.day),
                    side_word(Sides::from(side), ["re", "li", "bds"]),
                    points(foot.total()),
                    foot.cast,
                    words.of_foot(visit, foot, false),
                ]);
                patient.tell(&mut truth, place);
                let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
                patient.tell_foot(&mut truth, place, visit, side, &kinds);
                patient.tell_brace(&mut truth, place, visit);
            }
        }
        pages.push(page);
    }
    InventedFile::book("german_children.xlsx", "a sheet a child, named above the table", &pages, truth)
}

/// One sheet for right feet and one for left feet; no column says which.
fn one_sheet_a_foot() -> InventedFile {
    let clinic = Clinic::new(53, 8, &NAMES_EN, |n| format!("{}", 7100 + n * 3));
    let mut pages = [Page::named("Right"), Page::named("Left")];
    let mut truth = Truth::default();
    for (at, (page, side)) in pages.iter_mut().zip(Side::BOTH).enumerate() {
        page.heads(&["Hosp no", "Name", "DOB", "Sex", "Date", "Pirani", "Cast no", "Done"]);
        for (patient, visit) in clinic.visits() {
            let Some(foot) = visit.foot(side) else { continue };
            let place = (at, page.rows.len() + 1);
            page.row(cells![
                patient.number.as_str(),
                patient.name(),
                patient.born,
                patient.sex.key(),
                visit.day,
                points(foot.total()),
                foot.cast,
                super::english::ENGLISH.of_foot(visit, foot, false),
            ]);
            patient.tell(&mut truth, place);
            let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
            patient.tell_foot(&mut truth, place, visit, side, &kinds);
            patient.tell_brace(&mut truth, place, visit);
        }
    }
    InventedFile::book("one_sheet_a_foot.xlsx", "the foot is in the name of the sheet only", &pages, truth)
}
