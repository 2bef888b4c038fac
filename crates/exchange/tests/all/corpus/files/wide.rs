//! Visits across, the side under each sign, and days across with the signs down.

use super::{ActWords, InventedFile, english::ENGLISH, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, NAMES_EN, NAMES_FR},
    fact::{FactKind, Truth},
    sheet::{Page, Put, csv, points},
};
use record::{Sex, Side};

pub fn files() -> Vec<InventedFile> {
    vec![visits_across(), side_under_sign(), french_part_over_sign()]
}

/// A row for each foot of a child, the visits across, and the days of tenotomy and brace at the end.
fn visits_across() -> InventedFile {
    let mut clinic = Clinic::new(61, 9, &NAMES_EN, |n| format!("W{:03}", 300 + n));
    clinic.without_relapse();
    let most = clinic.patients.iter().map(|patient| patient.visits.len()).max().unwrap_or_default();
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    let mut heads: Vec<String> = ["Hosp no", "Name", "DOB", "Sex", "Foot"].map(str::to_owned).to_vec();
    for n in 1..=most {
        heads.extend([format!("V{n} date"), format!("V{n} Pirani"), format!("V{n} cast no")]);
    }
    heads.extend(["Tenotomy date", "Brace date"].map(str::to_owned));
    page.heads(&heads.iter().map(String::as_str).collect::<Vec<_>>());
    for patient in &clinic.patients {
        for &side in patient.sides.each() {
            let place = page.next();
            let mut row = cells![
                patient.number.as_str(),
                patient.name(),
                patient.born,
                if patient.sex == Sex::Female { "F" } else { "M" },
                side.word()
            ];
            for n in 0..most {
                let visit = patient.visits.get(n);
                let foot = visit.and_then(|visit| visit.foot(side));
                row.extend(cells![
                    visit.map(|visit| visit.day),
                    foot.map(|foot| points(foot.total())).unwrap_or_default(),
                    foot.and_then(|foot| foot.cast)
                ]);
            }
            let cut = patient.visits.iter().find(|visit| visit.foot(side).is_some_and(|foot| foot.tenotomy));
            row.push(cut.map(|visit| visit.day).into());
            row.push(patient.visits.iter().find(|visit| visit.brace).map(|visit| visit.day).into());
            page.row(row);
            patient.tell(&mut truth, place);
            for visit in &patient.visits {
                let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy];
                patient.tell_foot(&mut truth, place, visit, side, &kinds);
                patient.tell_brace(&mut truth, place, visit);
            }
        }
    }
    InventedFile::book("visits_across.xlsx", "a row a foot, visits across as V1 … Vn", &[page], truth)
}

/// Each sign over two columns, `R` and `L` beneath it.
fn side_under_sign() -> InventedFile {
    let clinic = Clinic::new(62, 9, &NAMES_EN, |n| format!("SU{:02}", 10 + n));
    let (mut page, mut truth) = (Page::named("Clinic"), Truth::default());
    let signs = [
        "Lateral border",
        "Medial crease",
        "Talar head",
        "Posterior crease",
        "Rigid equinus",
        "Empty heel",
        "Total",
    ];
    let mut top = cells!["Hosp no", "Name", "DOB", "Sex", "Date"];
    let mut under = cells!["", "", "", "", ""];
    for (n, sign) in signs.into_iter().enumerate() {
        top.extend(cells![sign, ""]);
        under.extend(cells!["R", "L"]);
        page.merged.push((0, 5 + 2 * n, 6 + 2 * n));
    }
    top.extend(cells!["Cast no", "Procedure"]);
    page.row(top);
    page.row(under);
    let kinds = [FactKind::Signs, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    super::rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        let mut row =
            cells![patient.number.as_str(), patient.name(), patient.born, patient.sex.key(), visit.day];
        let of = |side, n: Option<usize>| {
            let foot = visit.foot(side);
            foot.map(|foot| points(n.map_or_else(|| foot.total(), |n| foot.signs[n]))).unwrap_or_default()
        };
        for n in (0..6).map(Some).chain([None]) {
            row.extend([of(Side::Right, n), of(Side::Left, n)]);
        }
        row.push(visit.feet.values().find_map(|foot| foot.cast).into());
        row.push(ENGLISH.of_visit(visit, ["R", "L", "both"], false).into());
        row
    });
    InventedFile::book("side_under_sign.xlsx", "the side under each sign, merged", &[page], truth)
}

/// Three rows of headings without merged cells: the foot, the part of the foot and a short sign.
fn french_part_over_sign() -> InventedFile {
    let clinic = Clinic::new(63, 8, &NAMES_FR, |n| format!("F{:03}", 41 + n * 2));
    let words = ActWords {
        cast: "plâtre",
        tenotomy: "ténotomie",
        brace: "attelle posée",
        review: "contrôle",
        relapse: "récidive",
        and: " + ",
    };
    let (mut page, mut truth) = (Page::named("Suivi"), Truth::default());
    page.heads(&["", "", "", "", "", "Pied droit", "", "", "", "", "", "Pied gauche"]);
    let parts = ["Médio-pied", "", "", "Arrière-pied", "", ""];
    page.heads(&[["", "", "", "", ""].as_slice(), &parts, &parts].concat());
    let signs =
        ["Bord latéral", "Pli médial", "Tête du talus", "Pli postérieur", "Équin rigide", "Talon vide"];
    let first = ["N° dossier", "Nom complet", "Date de naissance", "Sexe", "Date"];
    page.heads(&[first.as_slice(), &signs, &signs, &["Plâtre n°", "Acte"]].concat());
    let kinds = [FactKind::Signs, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    super::rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        let mut row = cells![
            patient.number.as_str(),
            patient.name(),
            slashed(patient.born),
            if patient.sex == Sex::Female { "F" } else { "M" },
            slashed(visit.day)
        ];
        for side in Side::BOTH {
            let foot = visit.foot(side);
            row.extend((0..6).map(|n| foot.map_or(Put::Blank, |foot| points(foot.signs[n]))));
        }
        row.push(visit.feet.values().find_map(|foot| foot.cast).into());
        row.push(words.of_visit(visit, ["droit", "gauche", "les deux"], false).into());
        row
    });
    InventedFile::text(
        "french_part_over_sign.csv",
        "three rows of headings, nothing merged",
        csv(&page, ';'),
        truth,
    )
}
