//! The menus above the columns of a sheet: what a column can mean, under plain headings, and what else is
//! to be said about it.

use crate::import_choices::{AS_WRITTEN, CODING, FOOT, ORDER, REPEATS, UNIT, VISIT, takes_side};
use exchange::{Column, ColumnMap, DateOrder, MapFile, Meaning};
use pages::{Menu, MenuGroup, MenuOption};
use record::Sign;

/// The headings, each with the meanings below it; a meaning that none of them names comes last.
const GROUPS: [(&str, &[Meaning]); 8] = [
    ("Not imported", &[Meaning::Ignore]),
    (
        "The child",
        &[
            Meaning::Number,
            Meaning::Name,
            Meaning::FamilyName,
            Meaning::GivenName,
            Meaning::Born,
            Meaning::Sex,
            Meaning::Carer,
            Meaning::CarerRelation,
            Meaning::Phone,
            Meaning::Language,
            Meaning::Address,
            Meaning::GestationWeeks,
            Meaning::BirthWeight,
            Meaning::ReferralDate,
            Meaning::ReferredFrom,
        ],
    ),
    (
        "The visit",
        &[
            Meaning::VisitDate,
            Meaning::Side,
            Meaning::Done,
            Meaning::SeenBy,
            Meaning::Remarks,
            Meaning::NextAppointment,
            Meaning::Attended,
            Meaning::VisitNumber,
        ],
    ),
    ("Diagnosis", &[Meaning::Nature, Meaning::Complex, Meaning::EarlierTreatment]),
    (
        "Pirani score",
        &[
            Meaning::Sign(Sign::LateralBorder),
            Meaning::Sign(Sign::MedialCrease),
            Meaning::Sign(Sign::TalarHead),
            Meaning::Sign(Sign::PosteriorCrease),
            Meaning::Sign(Sign::RigidEquinus),
            Meaning::Sign(Sign::EmptyHeel),
            Meaning::Total,
            Meaning::Midfoot,
            Meaning::Hindfoot,
            Meaning::ScoreNote,
        ],
    ),
    (
        "Casts and tenotomy",
        &[
            Meaning::CastNumber,
            Meaning::CastDate,
            Meaning::CastCount,
            Meaning::CastMaterial,
            Meaning::Tenotomy,
            Meaning::TenotomyDate,
        ],
    ),
    (
        "Brace and course",
        &[
            Meaning::Brace,
            Meaning::BraceDate,
            Meaning::BraceHours,
            Meaning::RelapseDate,
            Meaning::DischargeDate,
            Meaning::DeathDate,
        ],
    ),
    ("Movement and size", &[Meaning::Abduction, Meaning::Dorsiflexion, Meaning::FootLength]),
];

/// Every meaning that a column can have, under plain headings.
pub fn meanings() -> Vec<MenuGroup> {
    let named = |meaning: &Meaning| GROUPS.iter().any(|(_, listed)| listed.contains(meaning));
    let (dimeglio, rest): (Vec<_>, Vec<_>) =
        Meaning::all().filter(|meaning| !named(meaning)).partition(is_dimeglio);
    let (walking, rest): (Vec<_>, Vec<_>) =
        rest.into_iter().partition(|meaning| matches!(meaning, Meaning::Walking(_)));
    let plain = GROUPS.iter().map(|(head, listed)| group(head, listed));
    let further = [("Dimeglio score", dimeglio), ("Score at walking age", walking), ("Other", rest)];
    plain.chain(further.iter().map(|(head, listed)| group(head, listed))).collect()
}

const fn is_dimeglio(meaning: &Meaning) -> bool {
    matches!(meaning, Meaning::DimeglioTotal | Meaning::Angle(_) | Meaning::DimeglioSign(_))
}

fn group(head: &str, meanings: &[Meaning]) -> MenuGroup {
    let words = |meaning: &Meaning| match meaning {
        Meaning::Ignore => "leave this column out".to_owned(),
        _ => meaning.words(),
    };
    let options = meanings.iter().map(|meaning| option(meaning.key(), words(meaning)));
    MenuGroup { head: head.to_owned(), options: options.collect() }
}

pub fn option(key: impl Into<String>, words: impl Into<String>) -> MenuOption {
    MenuOption { key: key.into(), words: words.into() }
}

/// A menu of a column. What is chosen is always among the answers: otherwise a browser would send another.
fn menu(what: &str, index: usize, label: &str, options: &[(&str, &str)], chosen: &str) -> Menu {
    let mut options: Vec<MenuOption> = options.iter().map(|(key, words)| option(*key, *words)).collect();
    if options.iter().all(|option| option.key != chosen) {
        options.insert(0, option(chosen, chosen));
    }
    Menu { name: format!("{what}-{index}"), label: label.to_owned(), options, chosen: chosen.to_owned() }
}

/// What else is to be said about a column of its meaning.
pub fn further(column: &Column, map: &ColumnMap, file: &MapFile) -> Vec<Menu> {
    let Some(meaning) = column.meaning else { return Vec::new() };
    let mut menus = Vec::new();
    if takes_side(meaning) {
        menus.push(foot(column));
    }
    if meaning.is_of_visit() && map.columns.iter().any(|column| column.visit.is_some()) {
        menus.push(visit(column, map));
    }
    if let Some(codings) = codings(meaning) {
        let chosen = file.coding(column).unwrap_or(AS_WRITTEN);
        menus.push(menu(CODING, column.index, "Coding", codings, chosen));
    }
    if let Some(units) = units(meaning) {
        menus.push(menu(UNIT, column.index, "Unit", units, file.unit(column).unwrap_or_default()));
    }
    if may_repeat(meaning) {
        let chosen = match file.first_change(column) {
            None => "",
            Some(true) => "state",
            Some(false) => "act",
        };
        menus.push(menu(REPEATS, column.index, "In each row", &REPEATING, chosen));
    }
    if meaning.is_date() {
        menus.push(date_order(column.index, map.date_order));
    }
    menus
}

const REPEATING: [(&str, &str); 3] = [
    ("", "as the column itself shows"),
    ("act", "what was done on that day"),
    ("state", "the state so far, repeated"),
];

/// How the values of a meaning can be coded, by the keys of a map file.
const fn codings(meaning: Meaning) -> Option<&'static [(&'static str, &'static str)]> {
    match meaning {
        Meaning::Sign(_) | Meaning::Total | Meaning::Midfoot | Meaning::Hindfoot => Some(&[
            (AS_WRITTEN, "points as written"),
            ("0/1/2", "0, 1, 2 for 0, 0.5, 1 point"),
            ("leading number", "a number with words after it"),
        ]),
        Meaning::Sex => Some(&[
            (AS_WRITTEN, "as written"),
            ("1 male 2 female", "1 is a boy, 2 a girl"),
            ("1 female 2 male", "1 is a girl, 2 a boy"),
        ]),
        Meaning::Side => Some(&[
            (AS_WRITTEN, "as written"),
            ("1 right 2 left 3 both", "1 right, 2 left, 3 both"),
            ("1 left 2 right 3 both", "1 left, 2 right, 3 both"),
        ]),
        _ => None,
    }
}

/// The units of a meaning, by the keys of a map file.
const fn units(meaning: Meaning) -> Option<&'static [(&'static str, &'static str)]> {
    match meaning {
        Meaning::FootLength => {
            Some(&[("", "as the values show"), ("mm", "millimetres"), ("cm", "centimetres")])
        }
        Meaning::BirthWeight => Some(&[("", "as the values show"), ("g", "grams"), ("kg", "kilograms")]),
        Meaning::Angle(_) => {
            Some(&[("", "as the values show"), ("degrees", "degrees"), ("points", "points 1 to 4")])
        }
        _ => None,
    }
}

/// Whether a column of a meaning can repeat the state so far in every row.
const fn may_repeat(meaning: Meaning) -> bool {
    matches!(meaning, Meaning::Tenotomy | Meaning::CastNumber | Meaning::CastCount | Meaning::Brace)
}

fn foot(column: &Column) -> Menu {
    let options = [("", "as the row says"), ("right", "right foot"), ("left", "left foot")];
    let chosen = column.side.map(|side| side.to_string()).unwrap_or_default();
    menu(FOOT, column.index, "Foot", &options, &chosen)
}

fn visit(column: &Column, map: &ColumnMap) -> Menu {
    let last = map.columns.iter().filter_map(|column| column.visit).max().unwrap_or(0);
    let mut options = vec![option("", "every visit in the row")];
    options.extend((1..=last.saturating_add(1)).map(|n| option(n.to_string(), format!("visit {n}"))));
    Menu {
        name: format!("{VISIT}-{}", column.index),
        label: "Visit".to_owned(),
        options,
        chosen: column.visit.map(|visit| visit.to_string()).unwrap_or_default(),
    }
}

/// One order holds for every date of the file; it can be chosen above each column of dates.
fn date_order(index: usize, order: Option<DateOrder>) -> Menu {
    let options = [
        ("", "as the dates themselves show"),
        ("day first", "day, month, year"),
        ("month first", "month, day, year"),
        ("year first", "year, month, day"),
    ];
    menu(ORDER, index, "Order of all dates", &options, order.map_or("", DateOrder::words))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use std::collections::BTreeMap;

    #[test]
    fn every_meaning_is_in_the_menu_once() {
        let mut seen: BTreeMap<String, usize> = BTreeMap::new();
        for option in meanings().into_iter().flat_map(|group| group.options) {
            *seen.entry(option.key).or_default() += 1;
        }
        let twice: Vec<_> = seen.iter().filter(|(_, times)| **times > 1).collect();
        assert!(twice.is_empty(), "{twice:?}");
        let missing: Vec<_> =
            Meaning::all().map(Meaning::key).filter(|key| !seen.contains_key(key)).collect();
        assert!(missing.is_empty(), "{missing:?}");
    }

    #[test]
    fn the_order_of_dates_uses_the_words_of_a_map_file() {
        for option in date_order(0, None).options.iter().filter(|option| !option.key.is_empty()) {
            assert_eq!(DateOrder::from_words(&option.key).unwrap().words(), option.key);
        }
    }
}
