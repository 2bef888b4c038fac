//! Portuguese, Spanish, French, Swahili and Turkish.

use super::{ActWords, InventedFile, dotted, rows_of_feet, rows_of_visits, side_word, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, NAMES_ES, NAMES_FR, NAMES_PT, NAMES_SW, NAMES_TR},
    fact::{FactKind, Truth, halves},
    sheet::{Page, Put, csv, points},
};
use record::{Sex, Side, Sides};

pub fn files() -> Vec<InventedFile> {
    vec![portuguese(), spanish_status(), french_slash(), swahili(), turkish()]
}

/// A side of `D` and `E`, signs as `0,5 - moderado`, in Windows-1252.
fn portuguese() -> InventedFile {
    let clinic = Clinic::new(11, 8, &NAMES_PT, |n| format!("HC{:04}", 310 + n * 7));
    let words = ActWords {
        cast: "gesso",
        tenotomy: "tenotomia",
        brace: "órtese",
        review: "retorno",
        relapse: "recidiva",
        and: " + ",
    };
    let (mut page, mut truth) = (Page::named("Folha1"), Truth::default());
    page.heads(&[
        "Prontuário",
        "Nome",
        "Data de nascimento",
        "Sexo",
        "Data",
        "Pé",
        "Borda lateral",
        "Prega medial",
        "Cabeça do tálus",
        "Prega posterior",
        "Equino rígido",
        "Calcâneo vazio",
        "Conduta",
    ]);
    let kinds = [FactKind::Signs, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_feet(&clinic, &mut page, &mut truth, &kinds, |patient, visit, side, foot| {
        let sex = if patient.sex == Sex::Female { "F" } else { "M" };
        let mut row = cells![
            patient.number.as_str(),
            patient.name(),
            slashed(patient.born),
            sex,
            slashed(visit.day),
            side_word(Sides::from(side), ["D", "E", ""])
        ];
        row.extend(
            foot.signs.map(|sign| Put::from(["0 - normal", "0,5 - moderado", "1 - grave"][sign as usize])),
        );
        row.push(words.of_foot(visit, foot, true).into());
        row
    });
    let text = csv(&page, ';');
    let mut file =
        InventedFile::text("portuguese.csv", "D/E, “0,5 - moderado”, Windows-1252", String::new(), truth);
    file.bytes = encoding_rs::WINDOWS_1252.encode(&text).0.into_owned();
    file.answers(&[
        ("coding: numbers with words", "", "leading number"),
        ("side", "D", "right"),
        ("side", "E", "left"),
        ("done", "órtese", "brace fitted"),
        ("done", "retorno", "review"),
        ("done", "recidiva", "relapse"),
    ])
}

/// Columns that repeat the state so far.
fn spanish_status() -> InventedFile {
    let mut clinic = Clinic::new(12, 8, &NAMES_ES, |n| format!("{}", 40_120 + n * 13));
    // A second series of casts would go on counting in this sheet; it is left out.
    clinic.without_relapse();
    let (mut page, mut truth) = (Page::named("Hoja1"), Truth::default());
    page.heads(&[
        "Nº historia",
        "Apellidos",
        "Nombre",
        "Fecha nac.",
        "Sexo",
        "Fecha visita",
        "Pie",
        "Pirani",
        "Nº de yesos",
        "Tenotomía",
        "Férula",
    ]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy];
    let yes = |yes: bool| if yes { "Sí" } else { "No" };
    rows_of_feet(&clinic, &mut page, &mut truth, &kinds, |patient, visit, side, foot| {
        let so_far = patient.visits.iter().filter(|other| other.day <= visit.day);
        let feet: Vec<_> = so_far.clone().filter_map(|other| other.foot(side)).collect();
        cells![
            patient.number.as_str(),
            patient.family.as_str(),
            patient.given.as_str(),
            slashed(patient.born),
            if patient.sex == Sex::Female { "Niña" } else { "Niño" },
            slashed(visit.day),
            if side == Side::Right { "Dcho" } else { "Izdo" },
            points(foot.total()),
            feet.iter().filter_map(|foot| foot.cast).max(),
            yes(feet.iter().any(|foot| foot.tenotomy)),
            yes(so_far.clone().any(|other| other.brace)),
        ]
    });
    InventedFile::text("spanish_status.csv", "columns repeat the state so far", csv(&page, ';'), truth)
        .answers(&[("repeats", "", "state")])
}

/// The totals of both feet in one cell, `3/2,5`, under a heading that says which is which.
fn french_slash() -> InventedFile {
    let clinic = Clinic::new(13, 8, &NAMES_FR, |n| format!("P{:03}", 21 + n));
    let words = ActWords {
        cast: "plâtre",
        tenotomy: "ténotomie",
        brace: "attelle posée",
        review: "contrôle",
        relapse: "récidive",
        and: ", ",
    };
    let (mut page, mut truth) = (Page::named("Suivi"), Truth::default());
    page.heads(&[
        "N° dossier",
        "Nom",
        "Prénom",
        "Né(e) le",
        "Sexe",
        "Date",
        "Pirani D/G",
        "Acte",
        "Plâtre n°",
    ]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        let of = |side| {
            visit.foot(side).map_or_else(|| "-".to_owned(), |foot| halves(foot.total()).replace('.', ","))
        };
        cells![
            patient.number.as_str(),
            patient.family.as_str(),
            patient.given.as_str(),
            dotted(patient.born),
            if patient.sex == Sex::Female { "fille" } else { "garçon" },
            dotted(visit.day),
            format!("{}/{}", of(Side::Right), of(Side::Left)),
            words.of_visit(visit, ["D", "G", "D+G"], false),
            visit.feet.values().find_map(|foot| foot.cast),
        ]
    });
    InventedFile::text("french_slash.csv", "both totals in one cell, 3/2,5", csv(&page, ';'), truth)
}

/// A blank cell means the same as the cell above it.
fn swahili() -> InventedFile {
    let clinic = Clinic::new(14, 8, &NAMES_SW, |n| format!("MH-{:03}", 5 + n * 3));
    let words = ActWords {
        cast: "plasta",
        tenotomy: "tenotomi",
        brace: "brace",
        review: "kliniki",
        relapse: "relapse",
        and: " na ",
    };
    let (mut page, mut truth) = (Page::named("Watoto"), Truth::default());
    page.heads(&[
        "Namba ya hospitali",
        "Jina la mtoto",
        "Tarehe ya kuzaliwa",
        "Jinsia",
        "Tarehe",
        "Mguu",
        "Pirani",
        "Namba ya plasta",
        "Kilichofanyika",
    ]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    for patient in &clinic.patients {
        for (n, visit) in patient.visits.iter().enumerate() {
            for (m, (&side, foot)) in visit.feet.iter().enumerate() {
                let first = n == 0 && m == 0;
                let of_child = |text: String| if first { text } else { String::new() };
                let place = page.next();
                page.row(cells![
                    of_child(patient.number.clone()),
                    of_child(patient.name()),
                    of_child(slashed(patient.born)),
                    of_child(if patient.sex == Sex::Female { "KE" } else { "ME" }.to_owned()),
                    if m == 0 { slashed(visit.day) } else { String::new() },
                    if side == Side::Right { "kulia" } else { "kushoto" },
                    points(foot.total()),
                    foot.cast,
                    words.of_foot(visit, foot, false),
                ]);
                if first {
                    patient.tell(&mut truth, place);
                }
                patient.tell_foot(&mut truth, place, visit, side, &kinds);
                patient.tell_brace(&mut truth, place, visit);
            }
        }
    }
    InventedFile::text("swahili_as_above.csv", "blank means as above", csv(&page, ','), truth).answers(&[(
        "blank rows",
        "",
        "as above",
    )])
}

/// `E` and `K` for a boy and a girl, Turkish words.
fn turkish() -> InventedFile {
    let clinic = Clinic::new(15, 8, &NAMES_TR, |n| format!("{}", 90_011 + n * 101));
    let words = ActWords {
        cast: "alçı",
        tenotomy: "tenotomi",
        brace: "cihaz takıldı",
        review: "kontrol",
        relapse: "nüks",
        and: " + ",
    };
    let (mut page, mut truth) = (Page::named("Sayfa1"), Truth::default());
    page.heads(&[
        "Protokol no",
        "Adı soyadı",
        "Doğum tarihi",
        "Cinsiyet",
        "Muayene tarihi",
        "Taraf",
        "Pirani",
        "Alçı no",
        "Yapılan işlem",
    ]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_feet(&clinic, &mut page, &mut truth, &kinds, |patient, visit, side, foot| {
        cells![
            patient.number.as_str(),
            patient.name(),
            dotted(patient.born),
            if patient.sex == Sex::Female { "K" } else { "E" },
            dotted(visit.day),
            if side == Side::Right { "Sağ" } else { "Sol" },
            points(foot.total()),
            foot.cast,
            words.of_foot(visit, foot, false),
        ]
    });
    InventedFile::text("turkish.csv", "K/E for girl and boy, Sağ/Sol", csv(&page, ';'), truth).answers(&[
        ("done", "cihaz takıldı", "brace fitted"),
        ("done", "kontrol", "review"),
        ("done", "nüks", "relapse"),
    ])
}
