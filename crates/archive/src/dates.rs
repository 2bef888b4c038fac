//! Days within a search text, in the forms in which people write them.

use crate::fold;
use record::Day;

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Splits a search text into its days, each as the days that it can mean (3/4/2023 has two, May 2023 has 31), and
/// the rest of the text. A month in figures is left in the rest: it may be part of a hospital number.
pub(crate) fn split(query: &str) -> (Vec<Vec<Day>>, String) {
    let pieces: Vec<&str> = query.split_whitespace().collect();
    let (mut days, mut rest) = (Vec::new(), Vec::new());
    let mut at = 0;
    while let Some(&piece) = pieces.get(at) {
        let spelt = pieces.get(at..at + 3).map(|three| three.join(" "));
        if let Some(found) = spelt.map(|text| meanings(&text)).filter(|found| !found.is_empty()) {
            days.push(found);
            at += 3;
            continue;
        }
        let month = pieces.get(at..at + 2).map(|two| days_of_month(&two.join(" ")));
        if let Some(found) = month.filter(|found| !found.is_empty()) {
            days.push(found);
            at += 2;
            continue;
        }
        let found = meanings(piece);
        if found.is_empty() {
            rest.push(piece);
        } else {
            days.push(found);
        }
        at += 1;
    }
    (days, rest.join(" "))
}

/// The days that a text can mean; none if it is not a day.
fn meanings(text: &str) -> Vec<Day> {
    let parts: Vec<String> = fold::fold(text)
        .split(|letter: char| "-/. ,".contains(letter))
        .filter(|part| !part.is_empty())
        .map(str::to_owned)
        .collect();
    let [a, b, c] = parts.as_slice() else { return Vec::new() };
    let mut days: Vec<Day> = match (month(a), month(b)) {
        (None, Some(month)) => vec![day(c, Some(month), a), day(a, Some(month), c)],
        (Some(month), None) => vec![day(c, Some(month), b)],
        (None, None) if a.len() == 4 => vec![day(a, number(b), c)],
        (None, None) => vec![day(c, number(b), a), day(c, number(a), b)],
        _ => Vec::new(),
    }
    .into_iter()
    .flatten()
    .collect();
    days.sort();
    days.dedup();
    days
}

/// Every day of a month in words and a year, "May 2023"; none if the text is anything else.
fn days_of_month(text: &str) -> Vec<Day> {
    let text = fold::fold(text);
    let Some((Some(month), year)) = text.split_once(' ').map(|(name, year)| (month(name), year)) else {
        return Vec::new();
    };
    (1..=31).filter_map(|date: u32| day(year, Some(month), &date.to_string())).collect()
}

fn day(year: &str, month: Option<u32>, day: &str) -> Option<Day> {
    let day = day
        .strip_suffix("st")
        .or(day.strip_suffix("nd"))
        .or(day.strip_suffix("rd"))
        .or(day.strip_suffix("th"))
        .unwrap_or(day);
    if year.len() != 4 || day.len() > 2 {
        return None;
    }
    Day::new(i32::try_from(number(year)?).ok()?, month?, number(day)?).ok()
}

fn number(text: &str) -> Option<u32> {
    text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok()).flatten()
}

/// A month in full, or its first three or more letters.
fn month(text: &str) -> Option<u32> {
    if text.len() < 3 {
        return None;
    }
    let at =
        MONTHS.iter().position(|name| name.starts_with(text) || (text == "sept" && *name == "september"))?;
    u32::try_from(at + 1).ok()
}
