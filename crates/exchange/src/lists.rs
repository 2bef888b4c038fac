//! Words by what they mean, read once from the files in `words/`. A word in no list is not understood.
//!
//! Words are compared as [`fold`] leaves them. Words in other scripts than the Latin one are listed by
//! language.

use crate::text::fold;
use serde::{Deserialize, de::DeserializeOwned};
use std::{
    collections::{BTreeMap, HashSet},
    sync::LazyLock,
};

/// Words of one meaning, folded.
#[derive(Debug, Default, Deserialize)]
#[serde(from = "WrittenWords")]
pub(crate) struct WordSet(HashSet<String>);

/// A list as a file has it.
#[derive(Deserialize)]
#[serde(untagged)]
enum WrittenWords {
    Plain(Vec<String>),
    ByLanguage(BTreeMap<String, Vec<String>>),
}

impl From<WrittenWords> for WordSet {
    fn from(written: WrittenWords) -> Self {
        let words = match written {
            WrittenWords::Plain(words) => words,
            WrittenWords::ByLanguage(languages) => languages.into_values().flatten().collect(),
        };
        Self(words.iter().map(|word| fold(word)).collect())
    }
}

impl WordSet {
    /// Whether a folded word is one of these.
    pub(crate) fn has(&self, word: &str) -> bool {
        self.0.contains(word)
    }

    /// Every word, in no order.
    pub(crate) fn words(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(String::as_str)
    }
}

/// Words for a side, from `words/sides.toml`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SideLists {
    pub(crate) right: WordSet,
    pub(crate) left: WordSet,
    pub(crate) both: WordSet,
    /// Next to a side word they change nothing.
    pub(crate) around: WordSet,
    /// They count only as whole cells.
    pub(crate) not_in_headings: WordSet,
    /// Short forms that are a side in some languages only.
    pub(crate) short: ShortSides,
    /// In a cell of several words.
    pub(crate) within: SideWords,
    /// The whole words at home in each language.
    pub(crate) languages: BTreeMap<String, WordSet>,
    pub(crate) other_scripts: SideWords,
}

/// Short forms by language.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ShortSides {
    pub(crate) right: BTreeMap<String, WordSet>,
    pub(crate) left: BTreeMap<String, WordSet>,
    /// No side at all in these languages.
    pub(crate) plain: BTreeMap<String, WordSet>,
}

/// Words for each side.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SideWords {
    pub(crate) right: WordSet,
    pub(crate) left: WordSet,
    pub(crate) both: WordSet,
}

/// Answers in cells, from `words/answers.toml`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AnswerLists {
    pub(crate) nothing: WordSet,
    /// Words for "the same as above".
    pub(crate) as_above: WordSet,
    pub(crate) yes: WordSet,
    pub(crate) no: WordSet,
    pub(crate) sex: SexWords,
    pub(crate) nature: NatureWords,
    pub(crate) other_scripts: OtherScriptAnswers,
}

/// Words for the sex.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SexWords {
    pub(crate) male: WordSet,
    pub(crate) female: WordSet,
    pub(crate) undetermined: WordSet,
}

/// Words for where a clubfoot comes from.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct NatureWords {
    pub(crate) idiopathic: WordSet,
    pub(crate) syndromic: WordSet,
    pub(crate) neurogenic: WordSet,
    pub(crate) positional: WordSet,
    pub(crate) not_a_clubfoot: WordSet,
    pub(crate) complex: WordSet,
    pub(crate) idiopathic_complex: WordSet,
    pub(crate) no_cause_named: WordSet,
}

/// Answers in other scripts than the Latin one.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct OtherScriptAnswers {
    pub(crate) yes: WordSet,
    pub(crate) no: WordSet,
    pub(crate) male: WordSet,
    pub(crate) female: WordSet,
}

/// Words of headings without a meaning of their own, from `words/headings.toml`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct HeadingLists {
    pub(crate) filler: WordSet,
    pub(crate) joining: WordSet,
    pub(crate) visit: WordSet,
    pub(crate) cast: WordSet,
    pub(crate) first_visit: WordSet,
    pub(crate) ordinal: WordSet,
    pub(crate) group: WordSet,
    pub(crate) family_first: WordSet,
    pub(crate) sum: WordSet,
}

/// Words of dates, from `words/dates.toml`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct DateLists {
    pub(crate) connector: WordSet,
    pub(crate) months: Months,
    pub(crate) age: AgeWords,
}

/// Units of an age.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AgeWords {
    pub(crate) days: WordSet,
    pub(crate) weeks: WordSet,
    pub(crate) months: WordSet,
    pub(crate) years: WordSet,
    /// They change nothing.
    pub(crate) around: WordSet,
}

/// The names of the twelve months.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Months {
    january: WordSet,
    february: WordSet,
    march: WordSet,
    april: WordSet,
    may: WordSet,
    june: WordSet,
    july: WordSet,
    august: WordSet,
    september: WordSet,
    october: WordSet,
    november: WordSet,
    december: WordSet,
}

impl Months {
    /// In the order of the year.
    pub(crate) fn in_order(&self) -> [&WordSet; 12] {
        [
            &self.january,
            &self.february,
            &self.march,
            &self.april,
            &self.may,
            &self.june,
            &self.july,
            &self.august,
            &self.september,
            &self.october,
            &self.november,
            &self.december,
        ]
    }
}

/// Single words for what was done, from `words/done.toml`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct DoneLists {
    pub(crate) cast: WordSet,
    pub(crate) tenotomy: WordSet,
    pub(crate) brace: WordSet,
    pub(crate) fitted: WordSet,
    pub(crate) review: WordSet,
    /// They change nothing.
    pub(crate) around: WordSet,
    /// They deny, plan, ask or undo.
    pub(crate) doubt: WordSet,
    pub(crate) night: WordSet,
    pub(crate) full_time: WordSet,
    pub(crate) hours: WordSet,
    pub(crate) number_ending: WordSet,
    /// After the figures of an ordinal number.
    pub(crate) ordinal_ending: WordSet,
    /// "Number", between a cast and its number.
    pub(crate) number_word: WordSet,
    /// After a number: how long ago, or for how long.
    pub(crate) duration: WordSet,
    /// The visit before this one.
    pub(crate) last_visit: WordSet,
    pub(crate) around_cast_number: WordSet,
    pub(crate) ordinal: OrdinalWords,
    pub(crate) material: MaterialWords,
    pub(crate) tendon: TendonLists,
}

/// Ordinal numbers as words.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct OrdinalWords {
    first: WordSet,
    second: WordSet,
    third: WordSet,
    fourth: WordSet,
    fifth: WordSet,
    sixth: WordSet,
}

impl OrdinalWords {
    /// The number that a folded word names.
    pub(crate) fn number(&self, word: &str) -> Option<u16> {
        let lists = [&self.first, &self.second, &self.third, &self.fourth, &self.fifth, &self.sixth];
        (1..).zip(lists).find(|(_, list)| list.has(word)).map(|(number, _)| number)
    }
}

/// Words for what a cast is made of.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct MaterialWords {
    pub(crate) plaster: WordSet,
    pub(crate) semirigid: WordSet,
    pub(crate) other: WordSet,
}

/// Words for a tenotomy that are not plain.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct TendonLists {
    pub(crate) tendon: WordSet,
    pub(crate) through_the_skin: WordSet,
    pub(crate) done_to_it: WordSet,
    pub(crate) how_it_is: WordSet,
    pub(crate) and: WordSet,
    /// Parts of words.
    pub(crate) stems: WordSet,
    /// Parts of texts.
    pub(crate) phrases: WordSet,
    pub(crate) denied: WordSet,
}

/// Whole cells that mean one act, from `words/phrases.toml`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PhraseLists {
    pub(crate) phrase: Vec<ActPhrases>,
}

/// The phrases of one act.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ActPhrases {
    /// The key of the act.
    pub(crate) act: String,
    pub(crate) words: WordSet,
}

/// Parts of the headings of a logger's file, in lower case, from `words/logger.toml`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LoggerLists {
    pub(crate) temperature: Vec<String>,
    pub(crate) logger: Vec<String>,
    /// Not the boot's.
    pub(crate) elsewhere: Vec<String>,
}

const SIDES: &str = include_str!("words/sides.toml");
const ANSWERS: &str = include_str!("words/answers.toml");
const HEADINGS: &str = include_str!("words/headings.toml");
const DATES: &str = include_str!("words/dates.toml");
const DONE: &str = include_str!("words/done.toml");
const PHRASES: &str = include_str!("words/phrases.toml");
const LOGGER: &str = include_str!("words/logger.toml");

/// The files come with the program, and a test reads each of them.
fn read<T: DeserializeOwned + Default>(text: &str) -> T {
    toml::from_str(text).unwrap_or_default()
}

pub(crate) static SIDE_LISTS: LazyLock<SideLists> = LazyLock::new(|| read(SIDES));
pub(crate) static ANSWER_LISTS: LazyLock<AnswerLists> = LazyLock::new(|| read(ANSWERS));
pub(crate) static HEADING_LISTS: LazyLock<HeadingLists> = LazyLock::new(|| read(HEADINGS));
pub(crate) static DATE_LISTS: LazyLock<DateLists> = LazyLock::new(|| read(DATES));
pub(crate) static DONE_LISTS: LazyLock<DoneLists> = LazyLock::new(|| read(DONE));
pub(crate) static PHRASE_LISTS: LazyLock<PhraseLists> = LazyLock::new(|| read(PHRASES));
pub(crate) static LOGGER_LISTS: LazyLock<LoggerLists> = LazyLock::new(|| read(LOGGER));

#[cfg(test)]
mod tests {
    #![allow(clippy::panic, clippy::unwrap_used)]
    use super::*;

    /// Lists of which no two may share a word. The wrong side is one of the two worst errors.
    fn assert_apart(lists: &[(&str, &[&WordSet])]) {
        for (at, (one, words)) in lists.iter().enumerate() {
            for (other, others) in &lists[at + 1..] {
                let shared: Vec<&str> = words
                    .iter()
                    .flat_map(|set| set.words())
                    .filter(|word| others.iter().any(|set| set.has(word)))
                    .collect();
                assert!(shared.is_empty(), "{shared:?} mean both {one} and {other}");
            }
        }
    }

    #[test]
    fn every_file_has_the_form_of_its_lists() {
        toml::from_str::<SideLists>(SIDES).unwrap();
        toml::from_str::<AnswerLists>(ANSWERS).unwrap();
        toml::from_str::<HeadingLists>(HEADINGS).unwrap();
        toml::from_str::<DateLists>(DATES).unwrap();
        toml::from_str::<DoneLists>(DONE).unwrap();
        toml::from_str::<PhraseLists>(PHRASES).unwrap();
        toml::from_str::<LoggerLists>(LOGGER).unwrap();
    }

    #[test]
    fn parts_of_logger_headings_are_in_lower_case_and_mean_one_thing() {
        let LoggerLists { temperature, logger, elsewhere } = &*LOGGER_LISTS;
        let all: Vec<&String> = [temperature, logger, elsewhere].into_iter().flatten().collect();
        assert!([temperature, logger, elsewhere].iter().all(|list| !list.is_empty()));
        assert!(all.iter().all(|part| !part.trim().is_empty() && part.to_lowercase() == **part), "{all:?}");
        assert_eq!(all.iter().collect::<HashSet<_>>().len(), all.len(), "{all:?}");
    }

    fn lists_of(path: &str, value: &toml::Value, found: &mut Vec<(String, Vec<String>)>) {
        match value {
            toml::Value::Table(table) => {
                table.iter().for_each(|(key, value)| lists_of(&format!("{path}.{key}"), value, found));
            }
            toml::Value::Array(values) if values.iter().all(toml::Value::is_str) => {
                let words = values.iter().filter_map(toml::Value::as_str).map(str::to_owned).collect();
                found.push((path.to_owned(), words));
            }
            toml::Value::Array(values) => values.iter().for_each(|value| lists_of(path, value, found)),
            _ => {}
        }
    }

    /// Words in Latin letters are written as they are compared, so that a list can be read and searched; a
    /// word that folds to nothing would match a cell of marks.
    #[test]
    fn no_list_is_empty_no_word_is_listed_twice_and_every_word_can_be_met() {
        for text in [SIDES, ANSWERS, HEADINGS, DATES, DONE, PHRASES] {
            let mut lists = Vec::new();
            lists_of("", &toml::from_str(text).unwrap(), &mut lists);
            assert!(lists.len() > 5, "{lists:?}");
            for (list, words) in lists {
                assert!(!words.is_empty(), "{list}");
                let mut seen = HashSet::new();
                for word in words {
                    let folded = fold(&word);
                    assert!(!folded.is_empty(), "{list}: {word:?}");
                    assert!(!word.is_ascii() || folded == word, "{list}: {word:?} is compared as {folded:?}");
                    assert!(seen.insert(word.clone()), "{list}: {word:?} twice");
                }
            }
        }
    }

    #[test]
    fn no_word_has_two_meanings() {
        let (sides, answers) = (&*SIDE_LISTS, &*ANSWER_LISTS);
        let other = &sides.other_scripts;
        assert_apart(&[
            ("right", &[&sides.right, &other.right]),
            ("left", &[&sides.left, &other.left]),
            ("both", &[&sides.both, &other.both]),
            ("nothing", &[&sides.around]),
        ]);
        let within = &sides.within;
        assert_apart(&[("right", &[&within.right]), ("left", &[&within.left]), ("both", &[&within.both])]);
        let (sex, other) = (&answers.sex, &answers.other_scripts);
        assert_apart(&[
            ("male", &[&sex.male, &other.male]),
            ("female", &[&sex.female, &other.female]),
            ("undetermined", &[&sex.undetermined]),
        ]);
        assert_apart(&[
            ("yes", &[&answers.yes, &other.yes]),
            ("no", &[&answers.no, &other.no]),
            ("nothing", &[&answers.nothing]),
        ]);
        let nature = &answers.nature;
        assert_apart(&[
            ("idiopathic", &[&nature.idiopathic]),
            ("syndromic", &[&nature.syndromic]),
            ("neurogenic", &[&nature.neurogenic]),
            ("positional", &[&nature.positional]),
            ("not a clubfoot", &[&nature.not_a_clubfoot]),
            ("complex", &[&nature.complex]),
            ("idiopathic and complex", &[&nature.idiopathic_complex]),
            ("no cause", &[&nature.no_cause_named]),
        ]);
        let age = &DATE_LISTS.age;
        assert_apart(&[
            ("days", &[&age.days]),
            ("weeks", &[&age.weeks]),
            ("months", &[&age.months]),
            ("years", &[&age.years]),
            ("nothing", &[&age.around]),
        ]);
        let names = DATE_LISTS.months.in_order().map(|month| [month]);
        let months: Vec<(&str, &[&WordSet])> = names.iter().map(|month| ("a month", &month[..])).collect();
        assert_apart(&months);
    }

    #[test]
    fn no_word_for_what_was_done_has_two_meanings() {
        let done = &*DONE_LISTS;
        assert_apart(&[
            ("cast", &[&done.cast]),
            ("tenotomy", &[&done.tenotomy]),
            ("brace", &[&done.brace]),
            ("fitted", &[&done.fitted]),
            ("review", &[&done.review]),
            ("doubt", &[&done.doubt]),
            ("night", &[&done.night]),
        ]);
        let (material, tendon) = (&done.material, &done.tendon);
        assert_apart(&[
            ("plaster", &[&material.plaster]),
            ("semirigid", &[&material.semirigid]),
            ("other", &[&material.other]),
        ]);
        assert_apart(&[
            ("the tendon", &[&tendon.tendon]),
            ("through the skin", &[&tendon.through_the_skin]),
            ("done to it", &[&tendon.done_to_it]),
            ("how it is", &[&tendon.how_it_is]),
            ("denied", &[&tendon.denied]),
        ]);
        let phrases: Vec<[&WordSet; 1]> = PHRASE_LISTS.phrase.iter().map(|one| [&one.words]).collect();
        let acts = PHRASE_LISTS.phrase.iter().zip(&phrases);
        let acts: Vec<(&str, &[&WordSet])> =
            acts.map(|(one, words)| (one.act.as_str(), &words[..])).collect();
        assert_apart(&acts);
    }
}
