//! English sheets: missing words and footers, acts in a remark, a mistyped date, lost zeros, dates in notes.

use super::{ActWords, InventedFile, rows_of_feet, rows_of_visits, side_word, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, NAMES_EN, Patient, Visit},
    fact::{Fact, FactKind, Truth},
    sheet::{Page, Put, csv, points},
};
use record::{Sex, Side, Sides};

pub const ENGLISH: ActWords = ActWords {
    cast: "cast",
    tenotomy: "tenotomy",
    brace: "brace fitted",
    review: "review",
    relapse: "relapse",
    and: " + ",
};

pub fn files() -> Vec<InventedFile> {
    vec![missing_words(), remark_acts(), mistyped_date(), lost_zeros(), dates_in_notes(), both_and_one_date()]
}

fn sex(patient: &Patient) -> &'static str {
    if patient.sex == Sex::Female { "F" } else { "M" }
}

/// 99 for a sign not taken, `n/a`, a sum in the middle and footers.
fn missing_words() -> InventedFile {
    let clinic = Clinic::new(31, 9, &NAMES_EN, |n| format!("CF{:03}", 101 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&[
        "Hosp no",
        "Name",
        "DOB",
        "Sex",
        "Visit date",
        "Foot",
        "CLB",
        "MC",
        "LHT",
        "PC",
        "RE",
        "EH",
        "Total",
        "Cast no",
        "Action",
    ]);
    let mut seen = 0;
    for (patient, visit) in clinic.visits() {
        for (&side, foot) in &visit.feet {
            seen += 1;
            // One foot in five was not scored.
            let scored = seen % 5 != 0;
            let place = page.next();
            let mut row = cells![
                patient.number.as_str(),
                patient.name(),
                slashed(patient.born),
                sex(patient),
                slashed(visit.day),
                if side == Side::Right { "R" } else { "L" }
            ];
            row.extend(foot.signs.map(|sign| if scored { points(sign) } else { Put::Number(99.0) }));
            row.push(if scored { points(foot.total()) } else { Put::Number(99.0) });
            row.push(foot.cast.map_or(Put::from("n/a"), Put::from));
            row.push(ENGLISH.of_foot(visit, foot, false).into());
            page.row(row);
            patient.tell(&mut truth, place);
            let kinds = [FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
            patient.tell_foot(&mut truth, place, visit, side, &kinds);
            if scored {
                patient.tell_foot(&mut truth, place, visit, side, &[FactKind::Signs]);
            }
            patient.tell_brace(&mut truth, place, visit);
        }
        if page.rows.len() % 40 == 0 {
            page.row(cells!["Subtotal", "", "", "", "", "", "", "", "", "", "", "", "87.5"]);
        }
    }
    page.row(vec![]);
    page.row(cells!["Total feet", page.rows.len().to_string()]);
    page.row(cells!["Mean", "", "", "", "", "", "0.5", "", "", "", "", "", "2.3"]);
    page.row(cells!["Prepared by the records clerk, 12/05/2025"]);
    InventedFile::text(
        "missing_words.csv",
        "99 and n/a for missing, sums and footers",
        csv(&page, ','),
        truth,
    )
    .answers(&[("value", "99", "missing"), ("footers", "", "leave out")])
}

/// Everything that was done is in one remark, in words that change from row to row.
fn remark_acts() -> InventedFile {
    let clinic = Clinic::new(32, 9, &NAMES_EN, |n| format!("{}", 5501 + n * 4));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Reg no", "Child", "DOB", "Sex", "Seen on", "Pirani R", "Pirani L", "Notes"]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        let total = |side| visit.foot(side).map(|foot| points(foot.total()));
        cells![
            patient.number.as_str(),
            patient.name(),
            slashed(patient.born),
            sex(patient),
            slashed(visit.day),
            total(Side::Right).unwrap_or_default(),
            total(Side::Left).unwrap_or_default(),
            note(visit),
        ]
    });
    InventedFile::text("remark_acts.csv", "all acts in one remark", csv(&page, ','), truth).answers(&[
        ("meaning: Notes", "", "done"),
        ("done", "TAL", "tenotomy"),
        ("done", "doing", "nothing"),
        ("done", "review. Brace worn at night", "review"),
    ])
}

/// The acts of a visit as a busy person writes them.
fn note(visit: &Visit) -> String {
    let style = visit.day.number() % 3;
    let number = visit.feet.values().find_map(|foot| foot.cast).unwrap_or_default();
    let short = ["R", "L", "both"];
    let casts = visit.sides(|foot| foot.cast.is_some());
    let mut acts = Vec::new();
    if let Some(sides) = visit.sides(|foot| foot.relapse) {
        acts.push(format!("relapse {}", side_word(sides, short)));
    }
    if let Some(sides) = visit.sides(|foot| foot.tenotomy) {
        let word = ["TA", "tenotomy", "TAL"][style as usize];
        let side = side_word(sides, short);
        acts.push(if style == 1 { format!("{side} {word}") } else { format!("{word} {side}") });
    }
    if let Some(sides) = casts {
        let side = side_word(sides, short);
        acts.push(match style {
            0 => format!("POP {number} {side}"),
            1 => format!("{side} cast no {number}"),
            _ => format!("cast #{number} {side}"),
        });
    }
    if visit.brace {
        acts.push("FAB fitted, 23 hrs".to_owned());
    }
    if acts.is_empty() {
        return ["review, doing well", "reviewed", "review. Brace worn at night"][style as usize].to_owned();
    }
    acts.join([" + ", ", ", " and "][style as usize])
}

/// All dates day first but one, which names a month that does not exist.
fn mistyped_date() -> InventedFile {
    let clinic = Clinic::new(33, 9, &NAMES_EN, |n| format!("K{:02}", 11 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "DOB", "Sex", "Date", "Side", "Pirani", "Cast no", "Done"]);
    let mistyped = std::cell::Cell::new(false);
    rows_of_feet(
        &clinic,
        &mut page,
        &mut truth,
        &[FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse],
        |patient, visit, side, foot| {
            let (year, month, day) = visit.day.parts();
            let swap = day > 12 && !mistyped.get() && visit.day.number() % 7 == 3;
            if swap {
                mistyped.set(true);
            }
            cells![
                patient.number.as_str(),
                patient.name(),
                slashed(patient.born),
                sex(patient),
                if swap { format!("{month:02}/{day:02}/{year}") } else { slashed(visit.day) },
                side.word(),
                points(foot.total()),
                foot.cast,
                ENGLISH.of_foot(visit, foot, false),
            ]
        },
    );
    assert!(mistyped.get() && page.rows.len() > 50, "one date of many is mistyped");
    InventedFile::text(
        "mistyped_date.csv",
        "one date month first among many day first",
        csv(&page, ','),
        truth,
    )
    .answers(&[("contrary dates", "", "read")])
}

/// A spreadsheet program has taken the zeros off every other hospital number.
fn lost_zeros() -> InventedFile {
    let clinic = Clinic::new(34, 7, &NAMES_EN, |n| format!("{:06}", 4471 + n * 31));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "DOB", "Sex", "Date", "Side", "Pirani", "Cast no", "Done"]);
    let count = std::cell::Cell::new(0);
    for patient in &clinic.patients {
        let short = patient.number.trim_start_matches('0').to_owned();
        truth.also_as.insert(short, patient.number.clone());
    }
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
    rows_of_feet(&clinic, &mut page, &mut truth, &kinds, |patient, visit, side, foot| {
        count.set(count.get() + 1);
        let whole = count.get() % 2 == 0;
        cells![
            if whole { patient.number.as_str() } else { patient.number.trim_start_matches('0') },
            patient.name(),
            slashed(patient.born),
            sex(patient),
            slashed(visit.day),
            side.word(),
            points(foot.total()),
            foot.cast,
            ENGLISH.of_foot(visit, foot, false),
        ]
    });
    InventedFile::text(
        "lost_zeros.csv",
        "hospital numbers with and without leading zeros",
        csv(&page, ','),
        truth,
    )
    .answers(&[("leading zeros", "", "one child")])
}

/// A tenotomy done elsewhere, named with its day in the remark of a later visit; and days of the next visit.
fn dates_in_notes() -> InventedFile {
    let clinic = Clinic::new(35, 8, &NAMES_EN, |n| format!("NT{:02}", 31 + n));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "DOB", "Sex", "Date", "Side", "Pirani", "Cast no", "Done", "Remarks"]);
    for (patient, visit) in clinic.visits() {
        for (&side, foot) in &visit.feet {
            let place = page.next();
            let later = visit.day.plus_days(2);
            let remark = match (foot.tenotomy, foot.cast) {
                (true, _) => format!("tenotomy done {} at the district hospital", slashed(later)),
                (_, Some(_)) => format!("next visit {}", slashed(visit.day.plus_days(7))),
                _ => String::new(),
            };
            let mut done = foot.clone();
            done.tenotomy = false;
            page.row(cells![
                patient.number.as_str(),
                patient.name(),
                slashed(patient.born),
                sex(patient),
                slashed(visit.day),
                side.word(),
                points(foot.total()),
                foot.cast,
                ENGLISH.of_foot(visit, &done, false),
                remark,
            ]);
            patient.tell(&mut truth, place);
            let kinds = [FactKind::Total, FactKind::Cast, FactKind::Relapse];
            patient.tell_foot(&mut truth, place, visit, side, &kinds);
            patient.tell_brace(&mut truth, place, visit);
            if foot.tenotomy {
                truth.put(Fact::of_foot(FactKind::Tenotomy, &patient.number, side, later), "yes", place);
            }
        }
    }
    InventedFile::text("dates_in_notes.csv", "a tenotomy with its day in a remark", csv(&page, ','), truth)
        .answers(&[("dates", "", "note"), ("tenotomy", "", "done")])
}

/// A row for both feet, with one column for the day of the tenotomy.
fn both_and_one_date() -> InventedFile {
    let mut clinic = Clinic::new(36, 9, &NAMES_EN, |n| format!("{}", 880 + n));
    clinic.without_relapse();
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&[
        "Hosp no",
        "Name",
        "DOB",
        "Sex",
        "Date",
        "Side",
        "Pirani R",
        "Pirani L",
        "Cast no",
        "Tenotomy date",
        "Brace date",
    ]);
    let kinds = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy];
    rows_of_visits(&clinic, &mut page, &mut truth, &kinds, |patient, visit| {
        let total = |side| visit.foot(side).map(|foot| points(foot.total())).unwrap_or_default();
        cells![
            patient.number.as_str(),
            patient.name(),
            slashed(patient.born),
            sex(patient),
            slashed(visit.day),
            side_word(patient.sides, ["R", "L", "B"]),
            total(Side::Right),
            total(Side::Left),
            visit.feet.values().find_map(|foot| foot.cast),
            visit.sides(|foot| foot.tenotomy).map(|_: Sides| slashed(visit.day)),
            visit.brace.then(|| slashed(visit.day)),
        ]
    });
    InventedFile::text("both_one_date.csv", "side “both” and one date of a tenotomy", csv(&page, ','), truth)
        .answers(&[("one date", "", "leave out")])
}
