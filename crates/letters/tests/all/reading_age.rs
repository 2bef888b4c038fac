//! The English texts can be read by a child of eleven, by two published formulas.
//!
//! Both give a grade of schools in the United States. Grade g is entered at the age of g + 5 (common practice, no
//! source), so that a reader of eleven has entered grade 6.
//!
//! - Flesch–Kincaid: 0.39 words/sentences + 11.8 syllables/words − 15.59 (Kincaid, Fishburne, Rogers, Chissom:
//!   Derivation of new readability formulas for Navy enlisted personnel. Research Branch Report 8-75, 1975).
//! - Automated readability index: 4.71 letters/words + 0.5 words/sentences − 21.43 (Smith, Senter: Automated
//!   Readability Index. AMRL-TR-66-220, 1967).
//!
//! Coefficients from memory. Syllables are counted by a rule, and the rule is tried on words below.

use crate::pdf::one_of_each;
use letters::{Block, FamilyDocument, Language, LetterLanguage, Sentence};

/// The age at which the texts are to be understood.
const AGE_YEARS: f64 = 11.0;
/// The age at which grade 0 is entered.
const GRADE_ZERO_YEARS: f64 = 5.0;

/// What is counted of a text.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Counts {
    letters: f64,
    syllables: f64,
    words: f64,
    sentences: f64,
}

impl Counts {
    fn of(text: &str) -> Self {
        let mut counts = Self::default();
        for sentence in text.split(['.', '?', '!', '\n']) {
            let words: Vec<&str> = sentence
                .split(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’')
                .filter(|word| !word.is_empty())
                .collect();
            if words.is_empty() {
                continue;
            }
            counts.sentences += 1.0;
            for word in words {
                counts.words += 1.0;
                counts.letters += word.chars().filter(|c| c.is_alphanumeric()).count() as f64;
                counts.syllables += f64::from(syllables(word));
            }
        }
        counts
    }

    fn flesch_kincaid(self) -> f64 {
        0.39 * self.words / self.sentences + 11.8 * self.syllables / self.words - 15.59
    }

    fn automated(self) -> f64 {
        4.71 * self.letters / self.words + 0.5 * self.words / self.sentences - 21.43
    }
}

/// Groups of vowels, without a silent e at the end; at least one.
fn syllables(word: &str) -> u32 {
    let word = word.to_lowercase();
    let is_vowel = |c: char| "aeiouy".contains(c);
    let letters: Vec<char> = word.chars().filter(|c| c.is_alphabetic()).collect();
    let begins =
        letters.iter().enumerate().filter(|(n, c)| is_vowel(**c) && (*n == 0 || !is_vowel(letters[n - 1])));
    let mut count = u32::try_from(begins.count()).unwrap();
    let silent = match letters.as_slice() {
        // "table", "little": the e is spoken.
        [.., before, 'l', 'e'] => is_vowel(*before),
        [.., before, 'e'] => !is_vowel(*before),
        // "makes", "loved", but "noses", "needed".
        [.., before, 'e', 's'] => !is_vowel(*before) && !"szxhcg".contains(*before),
        [.., before, 'e', 'd'] => !is_vowel(*before) && !"td".contains(*before),
        _ => false,
    };
    count -= u32::from(silent && count > 1);
    count.max(1)
}

/// The running text: paragraphs, lists, questions. Each item of a list is a sentence.
fn running(document: &FamilyDocument) -> String {
    let mut all: Vec<Sentence> = Vec::new();
    for block in &document.blocks {
        match block {
            Block::Heading(sentence) => all.push(sentence.clone()),
            Block::Paragraph(texts) | Block::List(texts) | Block::Ring(texts) | Block::Drawing(_, texts) => {
                all.extend(texts.clone());
            }
            Block::Emergency(signs) => all.extend(signs.iter().map(|(_, sentence)| sentence.clone())),
            Block::Question(question, answer) => all.extend([question.clone(), answer.clone()]),
            Block::Table(_)
            | Block::Dates(_)
            | Block::Way(_)
            | Block::DiarySheet(_)
            | Block::Head(_)
            | Block::ForColleagues(_)
            | Block::Telephone(_) => {}
        }
    }
    let texts: Vec<String> = all.iter().map(|sentence| Language::English.text(sentence).unwrap()).collect();
    texts.join("\n")
}

#[test]
fn syllables_of_known_words() {
    let known = [
        ("foot", 1),
        ("baby", 2),
        ("table", 2),
        ("little", 2),
        ("makes", 1),
        ("noses", 2),
        ("needed", 2),
        ("loved", 1),
        ("emergency", 4),
        ("hospital", 3),
        ("knee", 1),
        ("today", 2),
        ("heel", 1),
        ("the", 1),
        ("blister", 2),
    ];
    for (word, count) in known {
        assert_eq!(syllables(word), count, "{word}");
    }
}

/// By hand: "The cat sat on the mat." has 6 words, 17 letters and 6 syllables in one sentence:
/// 0.39 × 6 + 11.8 × 1 − 15.59 = −1.45; 4.71 × 17 / 6 + 0.5 × 6 − 21.43 = −5.085.
#[test]
fn the_formulas_by_hand() {
    let counts = Counts::of("The cat sat on the mat.");
    assert_eq!(counts, Counts { letters: 17.0, syllables: 6.0, words: 6.0, sentences: 1.0 });
    assert!((counts.flesch_kincaid() + 1.45).abs() < 1e-9);
    assert!((counts.automated() + 5.085).abs() < 1e-9);
    let hard = Counts::of(
        "Postoperative immobilisation necessitates uninterrupted orthotic compliance notwithstanding considerable inconvenience.",
    );
    assert!(hard.flesch_kincaid() > 20.0 && hard.automated() > 20.0, "{hard:?}");
}

#[test]
fn a_reader_of_eleven_can_read_every_english_text() {
    let mut too_hard = Vec::new();
    for document in one_of_each() {
        let text = running(&document);
        let counts = Counts::of(&text);
        assert!(counts.words > 25.0, "{}: {text}", document.kind.key());
        let (kincaid, automated) = (counts.flesch_kincaid(), counts.automated());
        let ages = [kincaid + GRADE_ZERO_YEARS, automated + GRADE_ZERO_YEARS];
        println!("{}: Flesch–Kincaid {kincaid:.1}, automated {automated:.1}", document.kind.key());
        if ages.iter().any(|age| *age > AGE_YEARS) {
            too_hard.push(format!("{}: ages {ages:.1?}", document.kind.key()));
        }
    }
    assert!(too_hard.is_empty(), "{too_hard:#?}");
}
