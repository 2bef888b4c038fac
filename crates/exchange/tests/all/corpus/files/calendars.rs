//! Dates written otherwise: eight figures, day numbers, other calendars, and digits of another script.

use super::{ActWords, InventedFile, english::ENGLISH, rows_of_feet, rows_of_visits, side_word, slashed};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, NAMES_EN, NAMES_SW},
    fact::{FactKind, Truth, halves},
    sheet::{Page, csv, points},
};
use record::{Day, Sex, Side, Sides};

pub fn files() -> Vec<InventedFile> {
    vec![compact_dates(), day_numbers(), buddhist_years(), ethiopian_years(), arabic_digits()]
}

const KINDS: [FactKind; 4] = [FactKind::Total, FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];

/// 20240314.
fn compact(day: Day) -> u32 {
    let (year, month, day) = day.parts();
    u32::try_from(year).unwrap() * 10_000 + month * 100 + day
}

/// Days as numbers of eight figures, a line with the year before its visits and a sum after them.
fn compact_dates() -> InventedFile {
    let clinic = Clinic::new(81, 8, &NAMES_EN, |n| format!("Y{:03}", 40 + n * 2));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["Hosp no", "Name", "DOB", "Sex", "Visit date", "Side", "Pirani", "Cast no", "Done"]);
    let (mut year, mut seen) = (0, 0_u32);
    for (patient, visit) in clinic.visits() {
        let of_visit = visit.day.parts().0;
        if of_visit != year {
            if seen > 0 {
                page.row(cells![format!("Total {year}"), "", "", "", "", "", "", "", seen.to_string()]);
            }
            (year, seen) = (of_visit, 0);
            page.row(cells![year.to_string()]);
        }
        for (&side, foot) in &visit.feet {
            seen += 1;
            let place = page.next();
            page.row(cells![
                patient.number.as_str(),
                patient.name(),
                compact(patient.born),
                patient.sex.key(),
                compact(visit.day),
                side_word(Sides::from(side), ["R", "L", ""]),
                points(foot.total()),
                foot.cast,
                ENGLISH.of_foot(visit, foot, false),
            ]);
            patient.tell(&mut truth, place);
            patient.tell_foot(&mut truth, place, visit, side, &KINDS);
            patient.tell_brace(&mut truth, place, visit);
        }
    }
    InventedFile::text("compact_dates.csv", "20240314, years and their sums between", csv(&page, ','), truth)
        .answers(&[("footers", "", "leave out")])
}

/// Days as a spreadsheet program counts them, in a text file.
fn day_numbers() -> InventedFile {
    let clinic = Clinic::new(82, 8, &NAMES_EN, |n| format!("DN-{}", 500 + n * 3));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&[
        "Hosp no",
        "Name",
        "DOB",
        "Sex",
        "Date of visit",
        "Pirani R",
        "Pirani L",
        "Cast no",
        "Done",
    ]);
    // 1 January 1970 is day 25 569 of a workbook.
    let number = |day: Day| u32::try_from(day.number() + 25_569).unwrap();
    rows_of_visits(&clinic, &mut page, &mut truth, &KINDS, |patient, visit| {
        let total = |side| visit.foot(side).map(|foot| points(foot.total())).unwrap_or_default();
        cells![
            patient.number.as_str(),
            patient.name(),
            number(patient.born),
            patient.sex.key(),
            number(visit.day),
            total(Side::Right),
            total(Side::Left),
            visit.feet.values().find_map(|foot| foot.cast),
            ENGLISH.of_visit(visit, ["R", "L", "both"], false),
        ]
    });
    InventedFile::text("day_numbers.csv", "days as 45321 in a text file", csv(&page, ','), truth)
}

/// Years of the Buddhist calendar, 543 more than those of the Gregorian one.
fn buddhist_years() -> InventedFile {
    let clinic = Clinic::new(83, 8, &NAMES_EN, |n| format!("{}/67", 11 + n * 5));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&[
        "HN",
        "Name",
        "Date of birth",
        "Sex",
        "Date",
        "Foot",
        "Pirani score",
        "Cast no",
        "Treatment",
    ]);
    let written = |day: Day| {
        let (year, month, day) = day.parts();
        format!("{day}/{month}/{}", year + 543)
    };
    rows_of_feet(&clinic, &mut page, &mut truth, &KINDS, |patient, visit, side, foot| {
        cells![
            patient.number.as_str(),
            patient.name(),
            written(patient.born),
            if patient.sex == Sex::Female { "F" } else { "M" },
            written(visit.day),
            side.word(),
            points(foot.total()),
            foot.cast,
            ENGLISH.of_foot(visit, foot, false),
        ]
    });
    InventedFile::text("buddhist_years.csv", "years such as 2567", csv(&page, ','), truth)
        .answers(&[("calendar", "", "buddhist")])
}

/// A day of the Ethiopian calendar: twelve months of 30 days and one of five or six. Its year 2000 began on 12
/// September 2007, and the year after one that is 3 by the remainder of 4 begins a day later.
fn ethiopian(day: Day) -> String {
    let begin = |year: i32| {
        let years = year - 2000;
        Day::new(2007, 9, 12).unwrap().plus_days(years * 365 + years.div_euclid(4))
    };
    let guess = day.parts().0 - 8;
    let year = if day >= begin(guess + 1) { guess + 1 } else { guess };
    let since = day.number() - begin(year).number();
    format!("{:02}/{:02}/{year}", since % 30 + 1, since / 30 + 1)
}

/// Amharic headings, and every day in the Ethiopian calendar.
fn ethiopian_years() -> InventedFile {
    let clinic = Clinic::new(84, 8, &NAMES_SW, |n| format!("{}", 3001 + n * 7));
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&["የካርድ ቁጥር", "ስም", "የትውልድ ቀን", "ጾታ", "ቀን", "ጎን", "ፒራኒ", "Cast no", "Done"]);
    rows_of_feet(&clinic, &mut page, &mut truth, &KINDS, |patient, visit, side, foot| {
        cells![
            patient.number.as_str(),
            patient.name(),
            ethiopian(patient.born),
            if patient.sex == Sex::Female { "ሴት" } else { "ወንድ" },
            ethiopian(visit.day),
            if side == Side::Right { "ቀኝ" } else { "ግራ" },
            points(foot.total()),
            foot.cast,
            ENGLISH.of_foot(visit, foot, false),
        ]
    });
    InventedFile::text("ethiopian_years.csv", "Amharic headings, Ethiopian days", csv(&page, ','), truth)
        .answers(&[("calendar", "", "ethiopian")])
}

/// Digits and the decimal mark of the Arabic script.
fn arabic(text: &str) -> String {
    let digit = |c: char| c.to_digit(10).and_then(|digit| char::from_u32(0x660 + digit));
    text.chars().map(|c| digit(c).unwrap_or(if c == '.' { '\u{66b}' } else { c })).collect()
}

/// Arabic words and digits, the day first with strokes.
fn arabic_digits() -> InventedFile {
    let clinic = Clinic::new(85, 8, &NAMES_SW, |n| format!("{}", 700 + n * 11));
    let words = ActWords {
        cast: "جبس",
        tenotomy: "قطع وتر أخيل",
        brace: "تسليم الجهاز",
        review: "متابعة",
        relapse: "انتكاس",
        and: " + ",
    };
    let (mut page, mut truth) = (Page::named("Sheet1"), Truth::default());
    page.heads(&[
        "رقم الملف",
        "الاسم",
        "تاريخ الميلاد",
        "الجنس",
        "التاريخ",
        "الجهة",
        "بيراني",
        "رقم الجبس",
        "الإجراء",
    ]);
    rows_of_feet(&clinic, &mut page, &mut truth, &KINDS, |patient, visit, side, foot| {
        cells![
            arabic(&patient.number),
            patient.name(),
            arabic(&slashed(patient.born)),
            if patient.sex == Sex::Female { "أنثى" } else { "ذكر" },
            arabic(&slashed(visit.day)),
            if side == Side::Right { "يمين" } else { "يسار" },
            arabic(&halves(foot.total())),
            foot.cast.map(|cast| arabic(&cast.to_string())),
            words.of_foot(visit, foot, false),
        ]
    });
    InventedFile::text("arabic_digits.csv", "digits of the Arabic script", csv(&page, ';'), truth)
}
