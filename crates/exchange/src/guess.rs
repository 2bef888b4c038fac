//! What each column means, guessed from its heading and checked against its cells.

pub(crate) mod sums;

use crate::{
    Column, ColumnMap, DateOrder, Meaning,
    doubts::{self, DoubtAnswers},
    profile::{self, Profile},
    sides::{self, SideLetters, SideWord, side_word},
    table::Table,
    text::{fold, tokens},
    words::{self, LANGUAGES, Reading},
};
use record::{DimeglioSign, Side, Sign};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Guesses the meaning of every column.
///
/// A column is believed when its heading is a known word (with or without a side or a visit number) and
/// its cells are of that kind. Where two columns claim the same meaning and nothing tells them apart,
/// neither is believed if it is a measurement, since it may be of either foot.
#[must_use]
pub fn guess(table: &Table) -> ColumnMap {
    let mut map = understood(table);
    doubts::find(table, &mut map, &DoubtAnswers::default());
    map
}

/// The meanings of the columns by themselves.
pub(crate) fn understood(table: &Table) -> ColumnMap {
    let mut map = ColumnMap::blank(table);
    let profiles = profile::of(table);
    let mut all: Vec<Vec<Reading>> = table.headers.iter().map(|header| words::readings(header)).collect();
    prefer_paired_sides(&table.headers, &mut all);
    drop_lone_sides(&mut all);
    map.languages = languages(&all);
    let letters = heading_letters(&all, &map.languages);
    let visits = numbered(&all);
    for (column, readings) in map.columns.iter_mut().zip(&all) {
        let Some(profile) = profiles.get(column.index) else { continue };
        choose(column, readings, profile, &letters, &visits);
    }
    for column in &mut map.columns {
        if let (Some([]), Some(profile)) =
            (all.get(column.index).map(Vec::as_slice), profiles.get(column.index))
        {
            misspelt(column, profile);
        }
    }
    settle_names(&mut map);
    settle_creases(&mut map);
    map.settle_doubles();
    sums::settle(table, &mut map);
    settle_visits(&mut map);
    by_values(&mut map, &profiles, &all);
    settle_number(&mut map, &profiles);
    number_by_names(table, &mut map, &profiles, &all);
    settle_cast_count(&mut map, &profiles);
    header_order(&mut map);
    carried_order(table, &mut map);
    map
}

/// A file of refused rows carries the order its first file was read in.
fn carried_order(table: &Table, map: &mut ColumnMap) {
    let Some(index) = map.find(Meaning::DateOrder).map(|column| column.index) else { return };
    let said: BTreeSet<&str> =
        table.rows().map(|row| table.cell(row, index).trimmed()).filter(|text| !text.is_empty()).collect();
    if let (Some(words), 1) = (said.first(), said.len())
        && let Some(order) = DateOrder::from_words(words)
    {
        map.date_order = Some(order);
        map.date_order_from = Some("the file of refused rows carries it".to_owned());
    }
}

/// Where a heading begins or ends with a word for a side and there is one for the other foot too ("Pirani
/// re" and "Pirani li"), the word is the side and no sign ("RE") and no article ("der"). Without a
/// reading with that side the heading is not understood.
fn prefer_paired_sides(headers: &[String], all: &mut [Vec<Reading>]) {
    let split = |header: &String, first: bool| {
        let mut words = tokens(header);
        let at = if first { 0 } else { words.len().checked_sub(1)? };
        let side = sides::full(words.get(at)?)?;
        words.remove(at);
        (!words.is_empty()).then_some((first, words, side))
    };
    let known: BTreeSet<_> =
        headers.iter().flat_map(|header| [true, false].map(|first| split(header, first))).flatten().collect();
    for (header, readings) in headers.iter().zip(all) {
        let paired = [true, false].into_iter().filter_map(|first| split(header, first));
        let mut paired =
            paired.filter(|(first, words, side)| known.contains(&(*first, words.clone(), side.other())));
        if let Some((.., side)) = paired.next() {
            readings.retain(|reading| reading.side == Some(SideWord::Full(side)));
            readings.iter_mut().for_each(|reading| reading.weak = false);
        }
    }
}

/// A side word that is also something else in a heading ("Dt" a date) counts only where there is the same heading
/// for the other foot.
fn drop_lone_sides(all: &mut [Vec<Reading>]) {
    let side = |reading: &Reading| match reading.side {
        Some(SideWord::Full(side)) => Some(side),
        _ => None,
    };
    let sided: BTreeSet<(String, Option<u16>, Side)> = all
        .iter()
        .flatten()
        .filter_map(|reading| Some((reading.phrase.clone(), reading.visit, side(reading)?)))
        .collect();
    for readings in all {
        readings.retain(|reading| {
            let other = side(reading).map(Side::other);
            let pair = other.map(|other| (reading.phrase.clone(), reading.visit, other));
            !reading.weak || pair.is_some_and(|pair| sided.contains(&pair))
        });
    }
}

/// The languages whose words the headings are, likeliest first. Words shared by languages count for less.
fn languages(all: &[Vec<Reading>]) -> Vec<&'static str> {
    let mut votes: BTreeMap<&'static str, usize> = BTreeMap::new();
    for reading in all.iter().filter_map(|readings| readings.first()) {
        let languages: BTreeSet<_> = reading.sense.languages.iter().copied().collect();
        for language in &languages {
            *votes.entry(language).or_default() += 60 / languages.len();
        }
    }
    let most = votes.values().copied().max().unwrap_or(0);
    let mut out: Vec<_> = votes.into_iter().filter(|&(_, votes)| votes * 2 > most).collect();
    out.sort_by_key(|&(language, votes)| {
        (std::cmp::Reverse(votes), LANGUAGES.iter().position(|(code, _)| *code == language))
    });
    out.into_iter().map(|(language, _)| language).collect()
}

/// Settles the side letters of the headings. A letter counts only where the same heading comes
/// with another letter as well ("PC D" and "PC I"), or is R or L.
fn heading_letters(all: &[Vec<Reading>], languages: &[&str]) -> SideLetters {
    let mut by_phrase: HashMap<(String, Option<u16>), BTreeSet<char>> = HashMap::new();
    for reading in all.iter().filter(|readings| readings.first().is_some_and(|r| r.side.is_some())).flatten()
    {
        if let Some(SideWord::Letter(letter)) = reading.side.filter(|_| takes_side(reading.sense.meaning)) {
            by_phrase.entry((reading.phrase.clone(), reading.visit)).or_default().insert(letter);
        }
    }
    let paired = by_phrase.values().filter(|letters| letters.len() >= 2).flatten().copied();
    let mut seen: BTreeSet<char> = paired.collect();
    let alone = by_phrase.values().flatten().copied().filter(|letter| matches!(letter, 'r' | 'l'));
    if seen.is_empty() {
        seen.extend(alone);
    }
    let seen: Vec<char> = seen.into_iter().collect();
    SideLetters::settle(&seen, languages)
}

const fn takes_side(meaning: Meaning) -> bool {
    meaning.is_of_foot() || matches!(meaning, Meaning::Done | Meaning::Remarks)
}

/// The visit numbers in the headings of things that belong to a visit.
fn numbered(all: &[Vec<Reading>]) -> BTreeSet<u16> {
    let of_visit = all.iter().flatten().filter(|reading| reading.sense.meaning.is_of_visit());
    of_visit.filter_map(|reading| reading.visit).collect()
}

fn choose(
    column: &mut Column,
    readings: &[Reading],
    profile: &Profile,
    letters: &SideLetters,
    visits: &BTreeSet<u16>,
) {
    let mut why_not = None;
    for reading in readings {
        let side = reading.side.map(|word| letters.resolve(word));
        if side == Some(None) {
            why_not.get_or_insert_with(|| {
                "the letter for the side could mean either foot in this file".to_owned()
            });
            continue;
        }
        if side.is_some() && !takes_side(reading.sense.meaning) {
            continue;
        }
        if reading.visit.is_some_and(|visit| !visits.contains(&visit) || !reading.sense.meaning.is_of_visit())
        {
            continue;
        }
        if reading.phrase.is_empty() && !profile.all_scores() {
            continue;
        }
        let Some(meaning) = profile.fits(reading.sense.meaning) else {
            let words = reading.sense.meaning.words();
            why_not.get_or_insert_with(|| {
                format!("the heading says {words}, the cells do not ({})", profile.words())
            });
            continue;
        };
        column.meaning = Some(meaning);
        column.side = side.flatten();
        column.visit = reading.visit;
        column.confidence = if profile.filled == 0 { reading.confidence.min(70) } else { reading.confidence };
        column.reason = because(reading, meaning);
        return;
    }
    if let Some(reason) = why_not {
        column.reason = reason;
    }
}

fn because(reading: &Reading, meaning: Meaning) -> String {
    let language =
        reading.sense.languages.first().and_then(|code| LANGUAGES.iter().find(|(known, _)| known == code));
    let language = language.map_or("", |(_, name)| name);
    let phrase = &reading.phrase;
    if meaning == reading.sense.meaning {
        format!("the heading “{phrase}” is known ({language})")
    } else {
        format!("the heading “{phrase}” is known ({language}) and the cells show which kind")
    }
}

fn misspelt(column: &mut Column, profile: &Profile) {
    // A side letter at the end must not be taken for a slip of the pen.
    if column.meaning.is_some() || tokens(&column.header).iter().any(|word| side_word(word).is_some()) {
        return;
    }
    let Some((sense, phrase)) = words::nearest(&column.header) else { return };
    if let Some(meaning) = profile.fits(sense.meaning) {
        column.meaning = Some(meaning);
        column.confidence = 60;
        column.reason = format!("the heading is nearly “{phrase}”");
    }
}

/// "Name" together with "First name" is the family name; a family or given name alone is the whole name.
fn settle_names(map: &mut ColumnMap) {
    let has = |map: &ColumnMap, meaning| map.find(meaning).is_some();
    let (whole, family, given) =
        (has(map, Meaning::Name), has(map, Meaning::FamilyName), has(map, Meaning::GivenName));
    let change = match (whole, family, given) {
        (true, false, true) => Some((Meaning::Name, Meaning::FamilyName)),
        (true, true, false) => Some((Meaning::Name, Meaning::GivenName)),
        (false, true, false) => Some((Meaning::FamilyName, Meaning::Name)),
        (false, false, true) => Some((Meaning::GivenName, Meaning::Name)),
        _ => None,
    };
    let Some((from, to)) = change else { return };
    for column in map.columns.iter_mut().filter(|column| column.meaning == Some(from)) {
        column.meaning = Some(to);
        column.reason = format!("{}, next to the other name columns", column.reason);
    }
}

/// Creases together with the Dimeglio angles, without the rest of the Pirani signs, belong to Dimeglio.
fn settle_creases(map: &mut ColumnMap) {
    let angles = map.columns.iter().any(|column| matches!(column.meaning, Some(Meaning::Angle(_))));
    let pirani = [Sign::EmptyHeel, Sign::RigidEquinus, Sign::LateralBorder, Sign::TalarHead];
    if !angles || pirani.iter().any(|&sign| map.find(Meaning::Sign(sign)).is_some()) {
        return;
    }
    for column in &mut map.columns {
        column.meaning = match column.meaning {
            Some(Meaning::Sign(Sign::PosteriorCrease)) => {
                Some(Meaning::DimeglioSign(DimeglioSign::PosteriorCrease))
            }
            Some(Meaning::Sign(Sign::MedialCrease)) => {
                Some(Meaning::DimeglioSign(DimeglioSign::MedialCrease))
            }
            other => other,
        };
    }
}

/// A visit number is worth something only where that visit has a date.
fn settle_visits(map: &mut ColumnMap) {
    let is_date = |column: &&Column| matches!(column.meaning, Some(Meaning::VisitDate | Meaning::CastDate));
    // "Initial Pirani" together with one "Date of first visit".
    let only_first = map.columns.iter().all(|column| column.visit.is_none_or(|visit| visit == 1));
    let plain_date = map.columns.iter().any(|c| c.meaning == Some(Meaning::VisitDate) && c.visit.is_none());
    if only_first && plain_date {
        map.columns.iter_mut().for_each(|column| column.visit = None);
        map.settle_doubles();
    }
    let dated: BTreeSet<u16> = map.columns.iter().filter(is_date).filter_map(|column| column.visit).collect();
    for column in &mut map.columns {
        if column.visit.is_some_and(|visit| !dated.contains(&visit)) {
            column.reason = format!("visit {} has no date column", column.visit.unwrap_or(0));
            (column.meaning, column.visit, column.confidence) = (None, None, 0);
        }
    }
    let undated = !dated.is_empty()
        && !map
            .columns
            .iter()
            .any(|c| matches!(c.meaning, Some(Meaning::VisitDate | Meaning::CastDate)) && c.visit.is_none());
    // "Visit date" together with "Date 2", "Date 3": the one without a number is the first.
    let first_free = !dated.is_empty() && !dated.contains(&1);
    let plain = map.columns.iter().any(|c| c.meaning == Some(Meaning::VisitDate) && c.visit.is_none());
    if first_free && plain {
        for column in
            map.columns.iter_mut().filter(|c| c.meaning == Some(Meaning::VisitDate) && c.visit.is_none())
        {
            column.visit = Some(1);
        }
    }
    for column in map.columns.iter_mut().filter(|c| undated && c.visit.is_none()) {
        if column.meaning.is_some_and(Meaning::is_measured) {
            "it has no visit number, and there is no date for it".clone_into(&mut column.reason);
            (column.meaning, column.confidence) = (None, 0);
        }
    }
}

/// Columns without a known heading, where the cells leave no doubt.
fn by_values(map: &mut ColumnMap, profiles: &[Profile], all: &[Vec<Reading>]) {
    let sided = map.columns.iter().any(|column| column.side.is_some());
    let open = |map: &ColumnMap, test: &dyn Fn(&Profile) -> bool| -> Vec<usize> {
        let free = map
            .columns
            .iter()
            .filter(|column| column.meaning.is_none() && all.get(column.index).is_some_and(Vec::is_empty));
        free.map(|column| column.index).filter(|&index| profiles.get(index).is_some_and(test)).collect()
    };
    let take = |map: &mut ColumnMap, found: Vec<usize>, meaning: Meaning, words: &str| {
        if let [index] = found[..]
            && let Some(column) = map.columns.get_mut(index)
        {
            (column.meaning, column.confidence) = (Some(meaning), 50);
            column.reason = format!("its cells are {words}, and no other column says {}", meaning.words());
        }
    };
    if !sided && map.find(Meaning::Side).is_none() {
        take(map, open(map, &Profile::all_sides), Meaning::Side, "words for a side");
    }
    if map.find(Meaning::VisitDate).is_none() && map.find(Meaning::CastDate).is_none() {
        take(map, open(map, &Profile::all_dates), Meaning::VisitDate, "dates");
    }
    if map.find(Meaning::Done).is_none() {
        take(map, open(map, &Profile::all_done), Meaning::Done, "words for what was done");
    }
}

/// "No" counts rows in one file and is the hospital number in another; the cells tell.
fn settle_number(map: &mut ColumnMap, profiles: &[Profile]) {
    if map.find(Meaning::Number).is_some() {
        return;
    }
    let is_no = |column: &&Column| {
        matches!(fold(&column.header).as_str(), "no" | "number" | "nr" | "n" | "num")
            && column.meaning == Some(Meaning::Ignore)
            && profiles.get(column.index).is_some_and(|profile| !profile.counts_up && profile.filled > 0)
    };
    let found: Vec<usize> = map.columns.iter().filter(is_no).map(|column| column.index).collect();
    if let [index] = found[..]
        && let Some(column) = map.columns.get_mut(index)
    {
        (column.meaning, column.confidence) = (Some(Meaning::Number), 60);
        "its cells do not count the rows, and no other column says hospital number"
            .clone_into(&mut column.reason);
    }
}

/// A column under an unknown heading that holds one number for each child, where children have several rows.
/// Without it children would be told apart by their names alone.
fn number_by_names(table: &Table, map: &mut ColumnMap, profiles: &[Profile], all: &[Vec<Reading>]) {
    let names: Vec<usize> = [Meaning::Name, Meaning::FamilyName, Meaning::GivenName]
        .into_iter()
        .filter_map(|meaning| map.find(meaning).map(|column| column.index))
        .collect();
    if names.is_empty() || map.find(Meaning::Number).is_some() {
        return;
    }
    let unknown = map.columns.iter().filter(|column| column.meaning.is_none());
    let open = unknown.filter(|column| all.get(column.index).is_some_and(Vec::is_empty));
    let found: Vec<usize> = open
        .map(|column| column.index)
        .filter(|&at| profiles.get(at).is_some_and(Profile::repeats) && is_one_for_each(table, at, &names))
        .collect();
    if let ([index], true) = (&found[..], map.find(Meaning::VisitDate).is_some())
        && let Some(column) = map.columns.get_mut(*index)
    {
        (column.meaning, column.confidence) = (Some(Meaning::Number), 60);
        "each child has one of its own, and no other column says hospital number"
            .clone_into(&mut column.reason);
    }
}

/// Whether each name has one value of a column, and each value one name; at least three of them, with digits.
fn is_one_for_each(table: &Table, at: usize, names: &[usize]) -> bool {
    let (mut by_name, mut by_value) = (HashMap::new(), HashMap::new());
    for row in table.rows().take(2000) {
        let value = table.cell(row, at).trimmed();
        let name: Vec<&str> = names.iter().map(|&name| table.cell(row, name).trimmed()).collect();
        if value.is_empty() || name.iter().all(|name| name.is_empty()) {
            continue;
        }
        let number = value.chars().any(|c| c.is_ascii_digit()) && value.chars().count() >= 3;
        if !number
            || *by_name.entry(name.clone()).or_insert(value) != value
            || *by_value.entry(value).or_insert_with(|| name.clone()) != name
        {
            return false;
        }
    }
    by_value.len() >= 3
}

/// "No. of casts" counts up from visit to visit where a child has several rows.
fn settle_cast_count(map: &mut ColumnMap, profiles: &[Profile]) {
    let who = [Meaning::Number, Meaning::Name, Meaning::FamilyName]
        .into_iter()
        .find_map(|meaning| map.find(meaning));
    let several = who.and_then(|column| profiles.get(column.index)).is_some_and(Profile::repeats);
    let visits = map.find(Meaning::VisitDate).is_some_and(|column| column.visit.is_none());
    if !several || !visits || map.find(Meaning::CastNumber).is_some() {
        return;
    }
    for column in map.columns.iter_mut().filter(|column| column.meaning == Some(Meaning::CastCount)) {
        column.meaning = Some(Meaning::CastNumber);
        column.reason.push_str("; children have several rows, so it is the number of the cast at the visit");
    }
}

/// "Date (dd/mm/yyyy)" says the order of the parts.
fn header_order(map: &mut ColumnMap) {
    let mut said = BTreeSet::new();
    for column in map.columns.iter().filter(|column| column.meaning.is_some_and(Meaning::is_date)) {
        let words = tokens(&column.header);
        let at = |names: &[&str]| words.iter().position(|word| names.contains(&word.as_str()));
        if let (Some(day), Some(month)) = (at(&["dd", "jj", "tt", "gg"]), at(&["mm"])) {
            said.insert(if day < month { 0 } else { 1 });
        }
        let joined = words.join(" ");
        let ends = |form: &str| joined.split(' ').any(|word| word == form);
        if ends("ddmmyyyy") || ends("dmy") {
            said.insert(0);
        }
        if ends("mmddyyyy") || ends("mdy") {
            said.insert(1);
        }
    }
    if said.len() == 1 {
        let order = if said.contains(&0) { DateOrder::DayFirst } else { DateOrder::MonthFirst };
        map.date_order = Some(order);
        map.date_order_from = Some("a heading says so".to_owned());
    }
}
