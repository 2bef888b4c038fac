//! The worked cases: invented children described as stories, each with the phase, the next step, its days
//! and its reasons as a clinician derives them by hand.

use crate::{
    sheet,
    story::{Story, full_text},
};
use course::Course;
use guidance::{NextStep, Outlook, Protocol, Scope};
use record::{Day, Side};
use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

/// Every situation that the cases must cover between them.
const SITUATIONS: &[&str] = &[
    "first visit",
    "mid-casting",
    "plateau",
    "ready for tenotomy, not booked",
    "ready for tenotomy, booked",
    "corrected without tenotomy",
    "missing measurement",
    "rules disagree",
    "tenotomy done",
    "cast off and brace the same day",
    "brace fitting",
    "outgrown boots",
    "relapse graded",
    "early review at 1 week",
    "early review at 6 weeks",
    "early review at 12 weeks",
    "late early review",
    "change to night-time",
    "later review",
    "approaching the end of bracing",
    "end of bracing",
    "after bracing",
    "brace stopped early",
    "relapse",
    "relapse, second tenotomy",
    "relapse, tendon transfer",
    "complex foot",
    "not idiopathic",
    "older child starting late",
    "premature baby",
    "one foot ahead",
    "missed visit with a cast on",
    "cast slipped",
    "transferred",
    "died",
    "discharged",
    "declared lost",
    "after surgery",
    "unknown day of birth",
    "referred again",
    "side in doubt",
    "findings disagree",
    "short after the tenotomy",
];
const LEAST_FILES: usize = 25;

struct Case {
    file: String,
    tags: Vec<String>,
    story: Story,
    expected: Vec<(usize, Vec<String>)>,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases")
}

fn cells(line: &str) -> Vec<String> {
    line.trim().trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect()
}

/// The rows of the table under a heading, with their line numbers; header and rule left out.
fn table<'a>(text: &'a str, heading: &str) -> Vec<(usize, &'a str)> {
    let lines = text.lines().enumerate().map(|(at, line)| (at + 1, line));
    lines
        .skip_while(|(_, line)| line.trim() != heading)
        .skip(1)
        .take_while(|(_, line)| !line.starts_with("## "))
        .filter(|(_, line)| line.starts_with('|'))
        .skip(2)
        .collect()
}

fn read(path: &Path) -> Case {
    let file = path.file_name().unwrap().to_string_lossy().into_owned();
    let text = fs::read_to_string(path).unwrap();
    let tags = text.lines().find_map(|line| line.strip_prefix("Shows: "));
    let tags = tags.unwrap_or_else(|| panic!("{file}: a line “Shows: …” is missing"));
    let born = text.lines().find(|line| line.starts_with("Born: "));
    assert!(born.is_some(), "{file}: a line “Born: …” is missing");
    let mut story = Story::default();
    for (line, row) in table(&text, "## What was written") {
        sheet::write(&mut story, row).unwrap_or_else(|error| panic!("{file}:{line}: {error}"));
    }
    agrees_on_birth(&file, born.unwrap(), &story);
    let expected: Vec<_> =
        table(&text, "## What follows").into_iter().map(|(line, row)| (line, cells(row))).collect();
    assert!(!story.entries.is_empty() && !expected.is_empty(), "{file}: a table is empty");
    let tags = tags.trim_end_matches('.').split("; ").map(str::to_owned).collect();
    Case { file, tags, story, expected }
}

/// The line for the reader and the registration agree.
fn agrees_on_birth(file: &str, line: &str, story: &Story) {
    let born = story.entries.iter().find_map(|entry| match &entry.body {
        record::Body::Registration(body) => body.born,
        _ => None,
    });
    let registered = born.map_or("not known".to_owned(), Day::words);
    assert!(line.contains(&registered), "{file}: “{line}” and the registration ({registered}) differ");
}

fn cases() -> Vec<Case> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder()).unwrap().map(|file| file.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "md"));
    paths.retain(|path| !path.ends_with("README.md"));
    paths.sort();
    paths.iter().map(|path| read(path)).collect()
}

fn scope(cell: &str) -> Option<Scope> {
    match cell {
        "right" => Some(Scope::Foot(Side::Right)),
        "left" => Some(Scope::Foot(Side::Left)),
        "child" => Some(Scope::Child),
        _ => None,
    }
}

/// Compares one row; every difference is one line of text.
fn compare(row: &[String], story: &Story, protocol: &Protocol) -> Vec<String> {
    let [as_of, who, phase, action, from, to, because, attention] = row else {
        return vec![format!("eight cells are expected, {} found", row.len())];
    };
    let Ok(as_of) = as_of.parse::<Day>() else { return vec![format!("“{as_of}” is not a day")] };
    let Some(scope) = scope(who) else { return vec![format!("“{who}” is neither a foot nor the child")] };
    let outlook = Outlook::of(Course::of(Story::child(), &story.entries, as_of), protocol);
    let Some(step) = outlook.steps.iter().find(|step| step.scope == scope) else {
        return vec![format!("there is no step for “{who}”")];
    };
    let mut wrong = Vec::new();
    let mut same = |name: &str, expected: &str, found: String| {
        if expected != found {
            wrong.push(format!("{name}: expected “{expected}”, found “{found}”"));
        }
    };
    same("phase", phase, phase_of(&outlook, scope));
    same("next step", action, step.action.key().to_owned());
    let day = |day: Option<Day>| day.map_or("–".to_owned(), |day| day.to_string());
    same("from", from, day(step.window.map(|window| window.from)));
    same("to", to, day(step.window.map(|window| window.to)));
    wrong.extend(words_missing(because, step));
    wrong.extend(attention_differs(attention, &outlook, scope, as_of));
    wrong.extend(unsound(step));
    if !wrong.is_empty() {
        wrong.push(format!("the step is:\n{}", full_text(step)));
    }
    wrong
}

fn phase_of(outlook: &Outlook, scope: Scope) -> String {
    match scope {
        Scope::Child => "–".to_owned(),
        Scope::Foot(side) => {
            outlook.course.foot(side).map_or("no foot", |foot| foot.phase.words()).to_owned()
        }
    }
}

fn words_missing(because: &str, step: &NextStep) -> Vec<String> {
    let text = full_text(step);
    let wanted = because.split(';').map(str::trim).filter(|words| !words.is_empty() && *words != "–");
    wanted.filter(|words| !text.contains(words)).map(|words| format!("“{words}” is missing")).collect()
}

/// An empty cell is not compared; "–" means that no rule applies by that day.
fn attention_differs(cell: &str, outlook: &Outlook, scope: Scope, as_of: Day) -> Vec<String> {
    if cell.is_empty() {
        return Vec::new();
    }
    let side = match scope {
        Scope::Foot(side) => Some(side),
        Scope::Child => None,
    };
    let applies = outlook.attention.iter().filter(|call| call.applies(as_of) && call.side == side);
    let found: BTreeSet<&str> = applies.map(|call| call.rule).collect();
    let expected: BTreeSet<&str> = cell.split(';').map(str::trim).filter(|rule| *rule != "–").collect();
    if found == expected {
        Vec::new()
    } else {
        vec![format!("attention: expected {expected:?}, found {found:?}")]
    }
}

/// What must hold of every step: reasons with all four parts filled.
fn unsound(step: &NextStep) -> Vec<String> {
    let mut wrong = Vec::new();
    if step.because.is_empty() {
        wrong.push("no reason is given".to_owned());
    }
    for reason in step.because.iter().chain(&step.otherwise) {
        if reason.fact.is_empty() || reason.rule.is_empty() || reason.source.is_empty() {
            wrong.push(format!("a reason is not whole: {reason:?}"));
        }
    }
    wrong
}

#[test]
fn every_case_gives_the_expected_answers() {
    let protocol = Protocol::built_in();
    let cases = cases();
    let mut wrong = String::new();
    for case in &cases {
        for (line, row) in &case.expected {
            for what in compare(row, &case.story, &protocol) {
                wrong.push_str(&format!("{}:{line}: {what}\n", case.file));
            }
        }
    }
    println!("{} cases, {} rows", cases.len(), cases.iter().map(|case| case.expected.len()).sum::<usize>());
    assert!(cases.len() >= LEAST_FILES, "only {} cases were found", cases.len());
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn the_cases_cover_every_situation() {
    let cases = cases();
    let shown: BTreeSet<&str> = cases.iter().flat_map(|case| &case.tags).map(String::as_str).collect();
    let listed: BTreeSet<&str> = SITUATIONS.iter().copied().collect();
    let missing: Vec<_> = listed.difference(&shown).collect();
    let unknown: Vec<_> = shown.difference(&listed).collect();
    assert!(missing.is_empty(), "no case shows {missing:?}");
    assert!(unknown.is_empty(), "situations that are not on the list: {unknown:?}");
}

/// The requested day may only decide which entries are visible: between two entries every step stays the
/// same.
#[test]
fn steps_stay_the_same_between_entries() {
    let protocol = Protocol::built_in();
    for case in cases() {
        let mut days: Vec<Day> = case.story.entries.iter().map(|entry| entry.on).collect();
        days.sort();
        days.dedup();
        for (at, &day) in days.iter().enumerate() {
            let next = days.get(at + 1).map_or(day + 400, |&next| next - 1);
            let steps =
                |day| Outlook::of(Course::of(Story::child(), &case.story.entries, day), &protocol).steps;
            let first = steps(day);
            for later in [day + (next - day) / 2, next] {
                assert_eq!(first, steps(later), "{}: {day} and {later} differ", case.file);
            }
        }
    }
}
