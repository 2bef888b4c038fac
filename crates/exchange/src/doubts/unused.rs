//! Columns that look like scores, dates or acts and are not used: a blocking question for each kind, and
//! every row that holds something in them is asked about.

use super::DoubtAnswers;
use crate::{
    Column, ColumnMap, FileQuestion, Meaning, Table, profile::Profile, questions::QuestionTopic,
    text::tokens, words,
};

use std::collections::{BTreeSet, HashMap};

/// What a column looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Looks {
    Scores,
    Dates,
    Acts,
}

const KINDS: [(Looks, &str); 3] = [(Looks::Scores, "scores"), (Looks::Dates, "dates"), (Looks::Acts, "acts")];

/// Letters of a short heading at most.
const SHORT: usize = 3;

/// Columns named in the text of a question.
const NAMED: usize = 12;

pub(super) fn find(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers, profiles: &[Profile]) {
    let unused = map.columns.iter().filter(|column| column.meaning.is_none());
    let unused = unused.filter(|column| !map.in_doubt.contains_key(&column.index));
    let acts_known = map.columns.iter().any(|column| column.meaning == Some(Meaning::Done));
    let looks: Vec<(Looks, usize)> = unused
        .filter_map(|column| {
            let profile = profiles.get(column.index)?;
            let words =
                || !acts_known && profile.is_words() && varies_within_children(table, map, column.index);
            let looks = looks_like(column, profile).or_else(|| words().then_some(Looks::Acts))?;
            Some((looks, column.index))
        })
        .collect();
    for (kind, word) in KINDS {
        let of_kind = looks.iter().filter(|(looks, _)| *looks == kind).map(|(_, at)| *at);
        let mut columns: Vec<usize> = of_kind.collect();
        let alike = if kind == Looks::Scores { short_sums(map, &columns) } else { Vec::new() };
        columns.extend(&alike);
        columns.sort_unstable();
        let topic = QuestionTopic::Unused(word.to_owned());
        if columns.is_empty() {
            continue;
        }
        if let ([at], Some("done")) = (&columns[..], said.answered(&topic.to_string())) {
            done_in_codes(map, *at);
            continue;
        }
        let left_out = said.answered(&topic.to_string()) == Some("leave out");
        if !left_out {
            map.in_doubt.extend(columns.iter().map(|&at| {
                (at, format!("This column looks like {word} and is not used: what it means is not known."))
            }));
            let question = question(map, &topic, word, &columns, profiles);
            map.questions.push(question);
        } else {
            map.columns.iter_mut().filter(|column| alike.contains(&column.index)).for_each(|column| {
                column.meaning = None;
                "its short heading stands among others that are left out".clone_into(&mut column.reason);
            });
        }
    }
}

/// A column of codes is what was done, as a person has said; what each code stands for is asked about like a
/// word that is not known.
fn done_in_codes(map: &mut ColumnMap, at: usize) {
    if let Some(column) = map.columns.get_mut(at) {
        (column.meaning, column.confidence) = (Some(Meaning::Done), 100);
        "an answer says that its numbers are codes for what was done".clone_into(&mut column.reason);
    }
}

/// Sums whose headings are as short as those of several scores that are not understood: "MF" among "LR", "TK"
/// and "RS" is more likely a sign like them than a sum of signs.
fn short_sums(map: &ColumnMap, unused: &[usize]) -> Vec<usize> {
    let short = |column: &&Column| {
        let words = tokens(&column.header);
        !words.is_empty() && words.iter().all(|word| word.chars().count() <= SHORT)
    };
    let others = map.columns.iter().filter(|column| unused.contains(&column.index)).filter(short).count();
    if others < 2 {
        return Vec::new();
    }
    let settled = |column: &Column| column.confidence == 100 && column.reason == "the map file says so";
    let sums = map.columns.iter().filter(|column| {
        matches!(column.meaning, Some(Meaning::Total | Meaning::Midfoot | Meaning::Hindfoot))
            && !settled(column)
    });
    sums.filter(short).map(|column| column.index).collect()
}

fn question(
    map: &ColumnMap,
    topic: &QuestionTopic,
    word: &str,
    columns: &[usize],
    profiles: &[Profile],
) -> FileQuestion {
    let names: Vec<&str> = columns.iter().filter_map(|&at| map.columns.get(at)).map(Column::name).collect();
    let named = names.iter().take(NAMED).copied().collect::<Vec<_>>().join(", ");
    let more = names.len().saturating_sub(NAMED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let text = match names.len() {
        1 => format!("1 column that looks like {word} would be left out: {named}. What does it mean?"),
        count => format!(
            "{count} columns that look like {word} would be left out: {named}{more}. What do they mean?"
        ),
    };
    let count = columns.iter().filter_map(|&at| profiles.get(at)).map(|profile| profile.filled).sum();
    let question = FileQuestion::new(topic, text).about(names.join(", "), None).blocking();
    let question =
        FileQuestion { count, ..question }.choice("leave out", "nothing that is needed: leave them out");
    let codes = |at: &usize| profiles.get(*at).is_some_and(Profile::is_whole_small_numbers);
    let acts_known = map.columns.iter().any(|column| column.meaning == Some(Meaning::Done));
    match columns {
        [at] if codes(at) && !acts_known => question.choice("done", "codes for what was done"),
        _ => question,
    }
}

fn looks_like(column: &Column, profile: &Profile) -> Option<Looks> {
    if profile.filled == 0 {
        return None;
    }
    let meant = words::readings(&column.header).into_iter().map(|reading| reading.sense.meaning);
    let meant: Vec<Meaning> = meant.collect();
    if meant.iter().any(|meaning| meaning.is_measured()) {
        return Some(Looks::Scores);
    }
    if profile.all_dates() {
        return Some(Looks::Dates);
    }
    if profile.looks_scored(&column.header) || (profile.is_small_numbers() && names_score(&column.header)) {
        return Some(Looks::Scores);
    }
    let acts = profile.mostly_done() || (profile.mostly_yes_no() && names_act(&column.header));
    acts.then_some(Looks::Acts)
}

/// Whether the word of a column changes from visit to visit, as what is done does, and a district does not.
fn varies_within_children(table: &Table, map: &ColumnMap, at: usize) -> bool {
    let who = [Meaning::Number, Meaning::Name, Meaning::FamilyName].into_iter().find_map(|m| map.find(m));
    let Some(who) = who else { return false };
    let mut words: HashMap<&str, (usize, BTreeSet<&str>)> = HashMap::new();
    for row in table.rows().take(2000) {
        let (child, word) = (table.cell(row, who.index).trimmed(), table.cell(row, at).trimmed());
        if !child.is_empty() && !word.is_empty() {
            let of_child = words.entry(child).or_default();
            of_child.0 += 1;
            of_child.1.insert(word);
        }
    }
    let seen = words.values().filter(|(rows, _)| *rows > 2);
    let (varies, all) =
        seen.fold((0, 0), |(varies, all), (_, words)| (varies + usize::from(words.len() > 1), all + 1));
    all > 1 && varies * 2 >= all
}

fn names_score(header: &str) -> bool {
    let known = ["score", "total", "dimeglio", "dim", "pirani", "pts", "points", "puntaje", "punkte"];
    tokens(header).iter().any(|word| known.contains(&word.as_str()))
}

fn names_act(header: &str) -> bool {
    words::done::is_known(header) && !tokens(header).is_empty()
}
