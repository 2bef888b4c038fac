//! Ditto marks, visits across over the two feet, visits in columns, and a form a child.

use super::{InventedFile, english::ENGLISH, side_word, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, NAMES_DE, NAMES_EN, NAMES_ES},
    fact::{FactKind, Truth, halves},
    sheet::{Page, Put, csv, points},
};
use record::{Sex, Side, Sides};

pub fn files() -> Vec<InventedFile> {
    vec![ditto_marks(), visits_over_feet(), visits_in_columns(), forms()]
}

/// "2½" and "½", as a person writes halves.
fn with_half(total: u32) -> String {
    match (total / 2, total % 2) {
        (0, 1) => "½".to_owned(),
        (whole, 1) => format!("{whole}½"),
        (whole, _) => whole.to_string(),
    }
}

/// A mark for "the same as above" in the cells of the child, casts as "3/6", halves as "½".
fn ditto_marks() -> InventedFile {
    let clinic = Clinic::new(91, 8, &NAMES_EN, |n| format!("DT{:02}", 20 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "DOB", "Sex", "Date", "Side", "Pirani", "Cast no", "Done"]);
    for (nth, patient) in clinic.patients.iter().enumerate() {
        let mark = ["\"", "〃", "ditto"][nth % 3];
        let casts =
            |side| patient.visits.iter().filter_map(|visit| visit.foot(side)?.cast).max().unwrap_or(0);
        for (n, visit) in patient.visits.iter().enumerate() {
            for (m, (&side, foot)) in visit.feet.iter().enumerate() {
                let of_child = |text: String| if n + m == 0 { text } else { mark.to_owned() };
                let place = page.next();
                page.row(cells![
                    of_child(patient.number.clone()),
                    of_child(patient.name()),
                    of_child(slashed(patient.born)),
                    of_child(patient.sex.key().to_owned()),
                    if m == 0 { slashed(visit.day) } else { mark.to_owned() },
                    side.word(),
                    with_half(foot.total()),
                    foot.cast.map(|cast| format!("{cast}/{}", casts(side))),
                    ENGLISH.of_foot(visit, foot, false),
                ]);
                if n + m == 0 {
                    patient.tell(&mut truth, place);
                }
                let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
                patient.tell_foot(&mut truth, place, visit, side, &kinds);
                patient.tell_brace(&mut truth, place, visit);
            }
        }
    }
    InventedFile::text("ditto_marks.csv", "ditto marks, casts as 3/6, 2½", csv(&page, ','), truth)
        .answers(&[("blank rows", "", "as above"), ("Cast no", "", "the number")])
}

/// A row a child; over the visits "Visit 1", "Visit 2" …, below them the day and the scores of the two feet.
fn visits_over_feet() -> InventedFile {
    let mut clinic = Clinic::new(92, 9, &NAMES_EN, |n| format!("VF{}", 100 + n));
    clinic.without_relapse();
    let most = clinic.patients.iter().map(|patient| patient.visits.len()).max().unwrap_or_default();
    let (mut page, mut truth) = (Page::named("Register"), Truth::default());
    let mut top = cells!["", "", "", "", ""];
    let mut under = cells!["Hosp no", "Name", "DOB", "Sex", "Affected side"];
    for n in 0..most {
        page.merged.push((0, 5 + 4 * n, 8 + 4 * n));
        top.extend(cells![format!("Visit {}", n + 1), "", "", ""]);
        under.extend(cells!["Date", "R", "L", "Cast no"]);
    }
    top.extend(cells!["Tenotomy date", "", "Brace date"]);
    under.extend(cells!["R", "L", ""]);
    page.merged.push((0, 5 + 4 * most, 6 + 4 * most));
    page.row(top);
    page.row(under);
    for patient in &clinic.patients {
        let place = page.next();
        let mut row = cells![
            patient.number.as_str(),
            patient.name(),
            patient.born,
            patient.sex.key(),
            side_word(patient.sides, ["R", "L", "B"]),
        ];
        for n in 0..most {
            let visit = patient.visits.get(n);
            let total = |side| visit.and_then(|visit| visit.foot(side)).map(|foot| points(foot.total()));
            row.extend(cells![visit.map(|visit| visit.day)]);
            row.extend([Side::Right, Side::Left].map(|side| total(side).unwrap_or_default()));
            row.extend(cells![visit.and_then(|visit| visit.feet.values().find_map(|foot| foot.cast))]);
        }
        for side in Side::BOTH {
            let cut = patient.visits.iter().find(|visit| visit.foot(side).is_some_and(|foot| foot.tenotomy));
            row.extend(cells![cut.map(|visit| visit.day)]);
        }
        row.extend(cells![patient.visits.iter().find(|visit| visit.brace).map(|visit| visit.day)]);
        page.row(row);
        patient.tell(&mut truth, place);
        for visit in &patient.visits {
            for &side in visit.feet.keys() {
                let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy];
                patient.tell_foot(&mut truth, place, visit, side, &kinds);
            }
            patient.tell_brace(&mut truth, place, visit);
        }
    }
    InventedFile::book(
        "visits_over_feet.xlsx",
        "two rows of headings: visit over day and feet",
        &[page],
        truth,
    )
}

/// A sheet a child: the signs below each other, a column for each visit. Its place is the number of the column.
fn visits_in_columns() -> InventedFile {
    let clinic = Clinic::new(93, 6, &NAMES_ES, |n| format!("VC-{:02}", 51 + n));
    let labels =
        ["Lateral border", "Medial crease", "Talar head", "Posterior crease", "Rigid equinus", "Empty heel"];
    let (mut pages, mut truth) = (Vec::new(), Truth::default());
    for (at, patient) in clinic.patients.iter().enumerate() {
        let mut page = Page::named(&patient.number);
        page.row(cells!["Name:", patient.name()]);
        page.row(cells!["Hospital no:", patient.number.as_str(), "DOB:", patient.born]);
        page.row(cells!["Sex:", if patient.sex == Sex::Female { "F" } else { "M" }]);
        page.row(vec![]);
        let line = |label: String, cell: &dyn Fn(usize) -> Put| {
            let cells = (0..patient.visits.len()).map(cell);
            std::iter::once(Put::from(label)).chain(cells).collect::<Vec<_>>()
        };
        page.row(line("Date".to_owned(), &|n| patient.visits[n].day.into()));
        for side in Side::BOTH {
            for (sign, label) in labels.iter().enumerate() {
                let cell = |n: usize| {
                    let foot = patient.visits[n].foot(side);
                    foot.map(|foot| points(foot.signs[sign])).unwrap_or_default()
                };
                page.row(line(format!("{label} {}", side.word()), &cell));
            }
        }
        let cast = |n: usize| patient.visits[n].feet.values().find_map(|foot| foot.cast).into();
        page.row(line("Cast no".to_owned(), &cast));
        page.row(line("Done".to_owned(), &|n| {
            ENGLISH.of_visit(&patient.visits[n], ["R", "L", "both"], false).into()
        }));
        for (n, visit) in patient.visits.iter().enumerate() {
            let place = (at, n + 2);
            patient.tell(&mut truth, place);
            for &side in visit.feet.keys() {
                let kinds = [FactKind::Signs, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
                patient.tell_foot(&mut truth, place, visit, side, &kinds);
            }
            patient.tell_brace(&mut truth, place, visit);
        }
        pages.push(page);
    }
    InventedFile::book("visits_in_columns.xlsx", "a sheet a child, visits in columns", &pages, truth)
}

/// A form a child for its first visit: the label on the left, what was written on its right.
fn forms() -> InventedFile {
    let clinic = Clinic::new(94, 9, &NAMES_DE, |n| format!("FM{}", 400 + n));
    let (mut pages, mut truth) = (Vec::new(), Truth::default());
    for (at, patient) in clinic.patients.iter().enumerate() {
        let visit = &patient.visits[0];
        let mut page = Page::named(&format!("Form {}", at + 1));
        page.row(cells!["Clubfoot clinic: first visit"]);
        page.row(vec![]);
        page.row(cells!["Hospital number", patient.number.as_str()]);
        page.row(cells!["Name of child", patient.name()]);
        page.row(cells!["Date of birth", patient.born]);
        page.row(cells!["Sex", patient.sex.key()]);
        page.row(cells!["Date of visit", visit.day]);
        page.row(cells!["Affected side", side_word(patient.sides, ["right", "left", "both"])]);
        for side in Side::BOTH {
            let total = visit.foot(side).map(|foot| halves(foot.total()));
            page.row(cells![format!("Pirani score {}", side.word()), total]);
        }
        let casts = visit.sides(|foot| foot.cast.is_some());
        let done = casts.map(|casts: Sides| format!("cast {}", side_word(casts, ["R", "L", "both"])));
        page.row(cells!["Treatment today", done]);
        page.row(cells!["Cast number", visit.feet.values().find_map(|foot| foot.cast)]);
        let place = (at, 2);
        patient.tell(&mut truth, place);
        for &side in visit.feet.keys() {
            patient.tell_foot(&mut truth, place, visit, side, &[FactKind::Total, FactKind::Cast]);
        }
        pages.push(page);
    }
    InventedFile::book("forms.xlsx", "a form a child, label left and value right", &pages, truth)
}
