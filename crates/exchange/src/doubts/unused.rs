//! Columns that look like scores, dates or acts and are not used: a blocking question for each kind, and
//! every row that holds something in them is asked about.

mod meanings;

use super::DoubtAnswers;
use crate::{
    Column, ColumnMap, FileQuestion, Meaning, Table, profile::Profile, questions::QuestionTopic,
    sides::side_word, text::tokens, words,
};
use std::collections::{BTreeMap, BTreeSet, HashMap};

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

/// Columns that are not used and look like facts, each with what it looks like. The same column for the other
/// foot or another visit looks alike, whatever its few cells.
fn looking_like_facts(table: &Table, map: &ColumnMap, profiles: &[Profile]) -> Vec<(Looks, usize)> {
    let unused = map.columns.iter().filter(|column| column.meaning.is_none());
    let unused = unused.filter(|column| !map.in_doubt.contains_key(&column.index));
    let filled = |at: usize| profiles.get(at).is_some_and(|profile| profile.filled > 0);
    let unused: Vec<&Column> = unused.filter(|column| filled(column.index)).collect();
    let looks = by_themselves(table, map, profiles, &unused);
    let alike: HashMap<String, Looks> = looks.iter().map(|&(looks, at)| (family(map, at), looks)).collect();
    let found: BTreeSet<usize> = looks.iter().map(|&(_, at)| at).collect();
    let siblings = unused.iter().map(|column| column.index).filter(|at| !found.contains(at));
    let siblings = siblings.filter_map(|at| Some((*alike.get(&family(map, at))?, at)));
    looks.iter().copied().chain(siblings).collect()
}

fn by_themselves(
    table: &Table,
    map: &ColumnMap,
    profiles: &[Profile],
    unused: &[&Column],
) -> Vec<(Looks, usize)> {
    let acts_known = map.columns.iter().any(|column| column.meaning == Some(Meaning::Done));
    let looks = unused.iter().filter_map(|column| {
        let profile = profiles.get(column.index)?;
        let words = || !acts_known && profile.is_words() && varies_within_children(table, map, column.index);
        let looks = looks_like(column, profile).or_else(|| words().then_some(Looks::Acts))?;
        Some((looks, column.index))
    });
    looks.collect()
}

/// Columns of one kind, those put together that differ by their foot or visit only.
struct UnusedColumns {
    word: &'static str,
    /// By what their headings share.
    families: BTreeMap<String, Vec<usize>>,
    /// Among them sums with short headings, which have a meaning that is not believed.
    alike: Vec<usize>,
}

impl UnusedColumns {
    /// The topics of the questions about them: one for all, or one for each family where a person says so.
    fn topics(&self, said: &DoubtAnswers) -> Vec<(QuestionTopic, Vec<usize>)> {
        let topic = QuestionTopic::Unused(self.word.to_owned());
        let all = || {
            let mut all: Vec<usize> = self.families.values().flatten().copied().collect();
            all.sort_unstable();
            all
        };
        if self.families.len() < 2 || said.answered(&topic.to_string()) != Some(EACH) {
            return vec![(topic, all())];
        }
        let of_family = |(name, columns): (&String, &Vec<usize>)| {
            (QuestionTopic::Unused(format!("{}: {name}", self.word)), columns.clone())
        };
        self.families.iter().map(of_family).collect()
    }

    /// Whether the columns of a topic differ by their foot or visit only, so that they can have one meaning.
    fn are_one_family(&self, columns: &[usize]) -> bool {
        self.families.values().any(|family| family == columns)
    }
}

/// The answer that asks about each of several columns.
pub(crate) const EACH: &str = "each";

pub(super) fn find(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers, profiles: &[Profile]) {
    let looks = looking_like_facts(table, map, profiles);
    for (kind, word) in KINDS {
        let of_kind = looks.iter().filter(|(looks, _)| *looks == kind).map(|(_, at)| *at);
        let mut columns: Vec<usize> = of_kind.collect();
        let alike = if kind == Looks::Scores { short_sums(map, &columns, profiles) } else { Vec::new() };
        columns.extend(&alike);
        columns.sort_unstable();
        let mut families: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for &at in &columns {
            families.entry(family(map, at)).or_default().push(at);
        }
        let unused = UnusedColumns { word, families, alike };
        for (topic, columns) in unused.topics(said).into_iter().filter(|(_, columns)| !columns.is_empty()) {
            settle(table, map, said, profiles, &unused, &topic, &columns);
        }
    }
}

/// Gives the columns of a topic the meaning that an answer names, leaves them out, or asks about them.
fn settle(
    table: &Table,
    map: &mut ColumnMap,
    said: &DoubtAnswers,
    profiles: &[Profile],
    unused: &UnusedColumns,
    topic: &QuestionTopic,
    columns: &[usize],
) {
    let word = unused.word;
    let meanings = if unused.are_one_family(columns) {
        meanings::plausible(table, map, columns, profiles)
    } else {
        Vec::new()
    };
    let answer = said.answered(&topic.to_string());
    let meant = answer.and_then(Meaning::from_key).filter(|meaning| meanings.contains(meaning));
    if let Some(meaning) = meant {
        return meanings::give(map, columns, meaning);
    }
    if answer == Some("leave out") {
        let left = map.columns.iter_mut().filter(|column| columns.contains(&column.index));
        for column in left.filter(|column| unused.alike.contains(&column.index)) {
            column.meaning = None;
            "it is left out with others that have a heading as short".clone_into(&mut column.reason);
        }
        return;
    }
    map.in_doubt.extend(columns.iter().map(|&at| {
        (at, format!("This column looks like {word} and is not used: what it means is not known."))
    }));
    let mut question = question(map, topic, word, columns, profiles);
    for meaning in meanings {
        let words = if meaning == Meaning::Done && word == "scores" {
            "codes for what was done".to_owned()
        } else {
            meaning.words()
        };
        question = question.choice(meaning.key(), words);
    }
    if !unused.are_one_family(columns) {
        question = question.choice(EACH, "ask about each of them");
    }
    map.questions.push(question);
}

/// The words of a heading without those for a foot and without numbers.
fn own_words(header: &str) -> Vec<String> {
    let own = |word: &String| side_word(word).is_none() && !word.bytes().all(|b| b.is_ascii_digit());
    tokens(header).into_iter().filter(own).collect()
}

/// What the headings of the same column for the other foot or another visit share.
fn family(map: &ColumnMap, at: usize) -> String {
    let words = own_words(map.columns.get(at).map_or("", |column| column.header.as_str()));
    match (words.is_empty(), map.columns.get(at)) {
        (true, Some(column)) => column.name().to_lowercase(),
        _ => words.join(" "),
    }
}

/// Sums whose headings are as short as those of several scores that are not understood: "MF" among "LR", "TK"
/// and "RS" is more likely a sign like them than a sum of signs.
fn short_sums(map: &ColumnMap, unused: &[usize], profiles: &[Profile]) -> Vec<usize> {
    // A heading that is nothing but a short word for a foot may be a sign too: "LF".
    let short = |column: &&Column| {
        let own = own_words(&column.header);
        let words = if own.is_empty() { tokens(&column.header) } else { own };
        !words.is_empty() && words.iter().all(|word| word.chars().count() <= SHORT)
    };
    // A few cells may all be 0 or 1, which many things are.
    let points = |at: usize| profiles.get(at).is_some_and(Profile::are_points);
    let may_be_sign = |column: &&Column| {
        unused.contains(&column.index) || (column.meaning.is_none() && points(column.index))
    };
    let others = map.columns.iter().filter(may_be_sign).filter(short).count();
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
    FileQuestion { count, ..question }.choice("leave out", "nothing that is needed: leave them out")
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
