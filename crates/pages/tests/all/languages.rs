//! The messages of pages are there in every language, and those in English say what the program says elsewhere.

use crate::{
    calls_in_languages::{english_only, relapse_signs, steps_with},
    sample::day,
};
use course::{Age, Phase};
use fluent_syntax::{ast::Entry, parser, serializer::serialize};
use guidance::{
    CAUTION, CallText, CastNumber, EarlyReviewAsks, Scope, StepText as Step, StillToMeasure as Still, Urgency,
};
use messages::Sentence;
use pages::{PageLanguage, parts, words};
use record::{
    BirthOrder, ContactWay, DayRange, ProblemKind as Problem, Purpose, RelapseGrade, RemovalReason,
    ShoulderWidth, Side, Sides, Sign,
};
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
};

const FILES: [&str; 4] = ["common", "steps", "calls", "day"];
/// Messages that a translation has and English does not need.
const OF_TRANSLATIONS: &str = "translation-";

fn texts_folder(language: PageLanguage) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("texts").join(language.tag())
}

/// The messages of a file, each with its text as it is written.
pub fn file(language: PageLanguage, name: &str) -> BTreeMap<String, String> {
    let source = fs::read_to_string(texts_folder(language).join(format!("{name}.ftl"))).unwrap();
    let resource = parser::parse(source.as_str()).unwrap_or_else(|(_, errors)| panic!("{name}: {errors:?}"));
    let mut found = BTreeMap::new();
    for entry in resource.body {
        if let Entry::Message(message) = entry {
            let id = message.id.name.to_owned();
            let alone = fluent_syntax::ast::Message { comment: None, ..message };
            let text = serialize(&fluent_syntax::ast::Resource { body: vec![Entry::Message(alone)] });
            let text = text.split_once('=').unwrap().1.trim().to_owned();
            assert!(found.insert(id.clone(), text).is_none(), "“{id}” is there twice");
        }
    }
    found
}

/// Every message of a language.
pub fn messages(language: PageLanguage) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    for name in FILES {
        for (id, text) in file(language, name) {
            assert!(all.insert(id.clone(), text).is_none(), "“{id}” is in two files");
        }
    }
    all
}

#[test]
fn every_language_has_every_message_of_every_file_and_no_other() {
    for language in PageLanguage::ALL {
        let there: BTreeSet<_> =
            fs::read_dir(texts_folder(language)).unwrap().map(|e| e.unwrap().file_name()).collect();
        assert_eq!(there.len(), FILES.len(), "a file of {language:?} is not read: {there:?}");
        for name in FILES {
            let mut own: BTreeSet<String> = file(language, name).into_keys().collect();
            let awaits = language.language().awaits_review();
            own.retain(|id| !(awaits && id.starts_with(OF_TRANSLATIONS)));
            let english: BTreeSet<String> = file(PageLanguage::English, name).into_keys().collect();
            assert_eq!(own, english, "{language:?}, {name}");
        }
    }
    assert!(messages(PageLanguage::English).len() > 300, "{}", messages(PageLanguage::English).len());
}

#[test]
fn a_translation_says_in_every_file_that_it_awaits_its_review() {
    for language in PageLanguage::ALL.into_iter().filter(|one| one.language().awaits_review()) {
        for name in FILES {
            let source = fs::read_to_string(texts_folder(language).join(format!("{name}.ftl"))).unwrap();
            assert!(source.starts_with("# Awaits review by a clinician"), "{language:?}, {name}");
        }
    }
}

/// What is put into a message.
fn variables(text: &str) -> BTreeSet<String> {
    let names = text.split('$').skip(1);
    names.map(|rest| rest.chars().take_while(char::is_ascii_alphanumeric).collect()).collect()
}

/// A number, a day or a side that English puts in may not be lost in a translation.
#[test]
fn every_language_puts_in_what_english_puts_in() {
    let english = messages(PageLanguage::English);
    for language in PageLanguage::ALL {
        for (id, text) in messages(language) {
            let Some(of_english) = english.get(&id) else { continue };
            assert_eq!(variables(&text), variables(of_english), "{language:?}, {id}");
        }
    }
}

/// Every text between quotation marks in the sources that has the form of a name.
fn quoted(folder: &Path, found: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            quoted(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let text = fs::read_to_string(path).unwrap();
            let is_name = |piece: &&str| piece.chars().all(|c| c.is_ascii_lowercase() || c == '-');
            found.extend(text.split('"').filter(is_name).map(str::to_owned));
        }
    }
}

#[test]
fn every_message_is_used() {
    let mut used = BTreeSet::new();
    quoted(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut used);
    for language in PageLanguage::ALL {
        let unused: Vec<_> = messages(language).into_keys().filter(|id| !used.contains(id)).collect();
        assert!(unused.is_empty(), "{language:?}: no page uses {unused:?}");
    }
}

/// What stands in a source right after one of these is the name of a message.
const ASKING: [&str; 3] = ["named(\"", "counted(\"", "Sentence::new(\""];

#[test]
fn every_message_that_a_page_asks_for_is_there() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut asked = BTreeSet::new();
    // There every quoted name with a dash is a message.
    quoted(&src.join("in_language"), &mut asked);
    asked.retain(|id| id.contains('-'));
    for file in ["day.rs", "frame.rs", "account.rs", "parts/band.rs", "parts/print.rs", "parts/reasons.rs"] {
        let text = fs::read_to_string(src.join(file)).unwrap();
        let after = ASKING.iter().flat_map(|asking| text.split(asking).skip(1));
        asked.extend(after.filter_map(|rest| Some(rest.split_once('"')?.0.to_owned())));
        let named =
            text.split('"').filter(|piece| ["day-", "message-"].iter().any(|begin| piece.starts_with(begin)));
        asked.extend(
            named.filter(|piece| !piece.contains([' ', '{']) && !piece.ends_with('-')).map(str::to_owned),
        );
    }
    let (english, spanish) = (messages(PageLanguage::English), messages(PageLanguage::Spanish));
    let there =
        |id: &str| english.contains_key(id) || id.starts_with(OF_TRANSLATIONS) && spanish.contains_key(id);
    let missing: Vec<_> = asked.iter().filter(|id| !there(id)).collect();
    assert!(asked.len() > 300 && missing.is_empty(), "{} asked for, missing: {missing:?}", asked.len());
}

/// A message with something for everything that is put into it.
fn filled_in(id: &str, text: &str, foot: Side) -> Sentence {
    let name: &'static str = id.to_owned().leak();
    variables(text).into_iter().fold(Sentence::new(name), |sentence, variable| {
        let variable: &'static str = variable.leak();
        match variable {
            "n" | "episode" => sentence.with(variable, 2),
            "foot" => sentence.with(variable, foot),
            _ => sentence.with(variable, "X"),
        }
    })
}

/// Every message of every language can be filled in.
#[test]
fn every_message_can_be_filled_in() {
    for language in PageLanguage::ALL {
        for (id, text) in messages(language) {
            let filled = language.checked(&filled_in(&id, &text, Side::Left));
            assert!(
                filled.as_ref().is_ok_and(|text| !text.trim().is_empty()),
                "{language:?} {id}: {filled:?}"
            );
        }
    }
}

/// A step of every kind.
pub fn steps() -> Vec<Step> {
    let cast = |later_episode| CastNumber { number: 5, later_episode };
    let boxed = |step: Step| Box::new(step);
    let mut all = vec![
        Step::FirstVisit,
        Step::FirstVisitAndCast,
        Step::WaitForTerm(day("2024-06-03")),
        Step::Positional,
        Step::SeeAgain,
        Step::Cast(cast(None), None),
        Step::Cast(cast(Some(2)), None),
        Step::CastUntilTenotomy(cast(None)),
        Step::CastAndReviewPlan(cast(Some(3))),
        Step::MissedInCast,
        Step::CastAfterTenotomy,
        Step::BraceWithoutTenotomy,
        Step::CastOffAndBrace,
        Step::CastOffTooSoon,
        Step::BraceOutOfCast,
        Step::AssessAfterTenotomy,
        Step::BraceReview,
        Step::BraceReviewWornTooLittle,
        Step::BraceReviewAndDecide,
        Step::NightsAndNaps,
        Step::EndOfBracing(day("2028-01-03")),
        Step::ResumeBracing,
        Step::ReviewAfterBracing,
        Step::ReviewAfterSurgery,
        Step::Relapse,
        Step::CheckRecord,
        Step::LookAgain,
        Step::Nothing,
        Step::Discharged,
        Step::Transferred,
        Step::DeclaredLost,
        Step::NoFoot,
        Step::OfFoot(Side::Left, boxed(Step::Cast(cast(None), None))),
        Step::BothFeet(boxed(Step::BookTenotomy { second: true })),
        Step::EachFoot([(Side::Right, boxed(Step::BraceReview)), (Side::Left, boxed(Step::Relapse))]),
    ];
    all.extend(steps_with(&CallText::BirthDateMissing));
    all.extend(english_only().iter().flat_map(steps_with));
    let measured = [Still::RestOfScore, Still::Score, Still::Movement, Still::Dorsiflexion, Still::Abduction];
    all.extend(measured.map(|what| Step::Cast(cast(None), Some(what))));
    all.extend(problems().map(Step::SeeTheSameDay));
    for second in [false, true] {
        all.push(Step::BookTenotomy { second });
        all.push(Step::TenotomyBooked { second, on: day("2024-05-21") });
        all.push(Step::TenotomyWithoutDay { second });
    }
    for side in Side::BOTH {
        all.extend([false, true].map(|after_tenotomy| Step::HoldFor { other: side, after_tenotomy }));
        all.push(Step::WatchWhile(side));
    }
    let asks = [EarlyReviewAsks::Nothing, EarlyReviewAsks::NightsAndNaps, EarlyReviewAsks::WornTooLittle];
    all.extend(asks.into_iter().flat_map(|asks| [1, 6].map(|week| Step::EarlyReview(week, asks))));
    all.extend(purposes().map(Step::ToBook));
    all
}

pub fn problems() -> impl Iterator<Item = Problem> {
    Problem::ALL.iter().copied()
}

pub fn purposes() -> impl Iterator<Item = Purpose> {
    Purpose::ALL.iter().copied()
}

#[test]
fn english_steps_are_worded_as_everywhere_else() {
    for step in steps() {
        let html = scraper::Html::parse_fragment(&PageLanguage::English.step(&step).into_string());
        assert_eq!(html.root_element().text().collect::<String>(), step.words());
    }
}

#[test]
fn english_choices_are_worded_as_everywhere_else() {
    let english = PageLanguage::English;
    let phases = [
        Phase::Referred,
        Phase::InCorrection,
        Phase::WaitingForTenotomy,
        Phase::TenotomyCast,
        Phase::FullTimeBracing,
        Phase::NightTimeBracing,
        Phase::AfterBracing,
        Phase::AfterSurgery,
        Phase::Discharged,
        Phase::Transferred,
        Phase::LostToFollowUp,
        Phase::Died,
    ];
    phases.iter().for_each(|phase| assert_eq!(english.phase(*phase), phase.words()));
    purposes().for_each(|purpose| assert_eq!(english.purpose(purpose), purpose.words()));
    problems().for_each(|problem| assert_eq!(english.problem(problem), problem.words()));
    Urgency::ALL.iter().for_each(|urgency| assert_eq!(english.urgency(*urgency), urgency.words()));
    for sides in [None, Some(Sides::Right), Some(Sides::Left), Some(Sides::Both)] {
        assert_eq!(english.feet(sides), parts::feet_words(sides));
    }
    for scope in [Scope::Foot(Side::Right), Scope::Foot(Side::Left), Scope::Child] {
        assert_eq!(english.scope(scope), parts::scope_words(scope));
    }
    for order in BirthOrder::ALL {
        assert_eq!(english.birth_order(Some(*order)), order.words());
    }
    for why in RemovalReason::ALL {
        assert_eq!(english.removal_reason(*why), why.words());
    }
    for way in ContactWay::ALL {
        assert_eq!(english.contact_way(*way), way.words());
    }
    for grade in RelapseGrade::ALL {
        assert_eq!(english.relapse_grade(*grade), grade.words());
    }
    for width in ShoulderWidth::ALL {
        assert_eq!(english.shoulder_width(*width), width.words());
    }
    Sign::ALL.iter().for_each(|sign| assert_eq!(english.score_sign(*sign), sign.name().to_lowercase()));
    relapse_signs().iter().for_each(|sign| assert_eq!(english.relapse_sign(*sign), sign.words()));
    Side::BOTH.iter().for_each(|side| assert_eq!(english.boot(*side), format!("{} boot", side.title())));
    assert_eq!(english.named("caution"), CAUTION);
    assert_eq!(english.named("who-restricted"), parts::RESTRICTED_NAME);
    assert_eq!(english.named("who-restricted-hint"), parts::RESTRICTED_HINT);
}

/// Every fifth day of a year on either side, and windows of up to 40 days over the end of months and of a year.
#[test]
fn english_days_are_worded_as_everywhere_else() {
    let (english, today) = (PageLanguage::English, day("2024-05-14"));
    for days in (-370..370).step_by(5) {
        let on = today + days;
        assert_eq!(english.weekday(on), words::weekday(on));
        assert_eq!((english.date(on), english.relative(on, today)), (on.words(), words::relative(on, today)));
        for length in [0, 1, 6, 40] {
            let window = DayRange::new(on, on + length);
            assert_eq!(english.range(window), words::range(window));
            assert_eq!(english.window_state(window, today), words::window_state(window, today));
        }
        let age = Age::on(today, on, None);
        assert_eq!(english.age(age.said()), age.words());
    }
    let old = Age::on(today, day("2021-03-14"), None);
    assert_eq!(english.age(old.said()), "3 years 2 months");
}

/// The plural rules and the patterns of days are those of CLDR; the words are those of the file.
#[test]
fn spanish_numbers_days_and_windows() {
    let (spanish, today) = (PageLanguage::Spanish, day("2024-05-14"));
    assert_eq!([0, 1, 2].map(|n| spanish.counted("count-months", n)), ["0 meses", "1 mes", "2 meses"]);
    assert_eq!(spanish.weekday(today), "martes, 14 de mayo de 2024");
    assert_eq!(spanish.relative(today + 1, today), "mañana");
    assert_eq!(spanish.relative(today + 28, today), "dentro de 4 semanas");
    assert_eq!(spanish.relative(today - 1, today), "ayer");
    let range = |from, to| spanish.range(DayRange::new(day(from), day(to)));
    assert_eq!(range("2024-05-21", "2024-05-21"), "21 de mayo de 2024");
    assert_eq!(range("2024-05-21", "2024-05-28"), "21–28 de mayo de 2024");
    assert_eq!(range("2024-05-28", "2024-06-04"), "28 de mayo – 4 de junio de 2024");
    assert_eq!(range("2024-12-28", "2025-01-04"), "28 de diciembre de 2024 – 4 de enero de 2025");
    let window = DayRange::new(today - 9, today - 1);
    assert_eq!(spanish.window_state(window, today), "plazo vencido hace 1 día");
}

/// The words for the sides in each language, in lower case.
const SIDES: [(PageLanguage, &str, &str); 2] =
    [(PageLanguage::English, "left", "right"), (PageLanguage::Spanish, "izquierd", "derech")];

#[test]
fn left_and_right_are_never_exchanged() {
    for (language, left, right) in SIDES {
        let mut sided = 0;
        let sided_messages = messages(language).into_iter().filter(|(_, text)| text.contains("$foot"));
        for (id, text) in sided_messages {
            let of = |side| language.text(&filled_in(&id, &text, side)).to_lowercase();
            let (of_left, of_right) = (of(Side::Left), of(Side::Right));
            assert!(of_left.contains(left) && !of_left.contains(right), "{language:?} {id}: {of_left}");
            assert!(of_right.contains(right) && !of_right.contains(left), "{language:?} {id}: {of_right}");
            sided += 1;
        }
        assert_eq!(sided, 9, "{language:?}");
        for (side, own, other) in [(Side::Left, left, right), (Side::Right, right, left)] {
            let named =
                [language.scope(Scope::Foot(side)), language.feet(Some(side.into())), language.boot(side)];
            for words in named {
                let words = words.to_lowercase();
                assert!(words.contains(own) && !words.contains(other), "{language:?}: {words}");
            }
        }
    }
}
