//! The check of a text that a clinic writes for a message, before it is used.

use crate::letter_language::{LetterLanguage, sources, texts_with};
use fluent_syntax::{
    ast::{CallArguments, Entry, Expression, InlineExpression, Message, Pattern, PatternElement, Resource},
    parser,
    serializer::serialize,
};
use messages::{Arg, Language, Sentence};
use record::Day;
use std::{
    collections::{BTreeMap, BTreeSet},
    sync::LazyLock,
};

/// The files of messages, each with its words for the staff.
pub const MESSAGE_GROUPS: [(&str, &str); 6] = [
    ("common", "On every document"),
    ("plan", "Family plan"),
    ("cast-sheet", "Cast care sheet"),
    ("brace-sheet", "Brace sheet"),
    ("expect", "What to expect"),
    ("letters", "Letters and wear diary"),
];

/// The longest text, in characters, whatever the length of the text of the program.
const LONGEST: usize = 400;

/// Why a text of a clinic cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TextFault {
    /// The program has no such message.
    #[error("The program has no text with this name.")]
    NoSuchText,
    /// It is blank.
    #[error("The text is empty. To print the text of the program again, go back to it.")]
    Blank,
    /// It is longer than a sheet has room for.
    #[error(
        "The text has {found} characters; at most {most} are printed, so that the sheet keeps its place."
    )]
    TooLong {
        /// Its length.
        found: usize,
        /// The longest.
        most: usize,
    },
    /// It has a character of markup.
    #[error("Line {line}: “{sign}” is not printed. A text has no markup: write words only.")]
    Markup {
        /// The line.
        line: usize,
        /// The character.
        sign: char,
    },
    /// It cannot be read.
    #[error("Line {line} cannot be read: {why}. What is put in stands in braces, such as {{ $name }}.")]
    Syntax {
        /// The line.
        line: usize,
        /// What is wrong.
        why: String,
    },
    /// It asks for something that this message does not get.
    #[error("Line {line}: “${name}” is not known in this text. It can have: {known}.")]
    UnknownVariable {
        /// The line.
        line: usize,
        /// Its name.
        name: String,
        /// What there is.
        known: String,
    },
    /// It refers to a text that is not there.
    #[error("Line {line}: it refers to “{name}”, which does not exist.")]
    UnknownText {
        /// The line.
        line: usize,
        /// Its name.
        name: String,
    },
    /// It refers to itself, perhaps through others.
    #[error("It refers to itself: {0}. A family would never see an end of it.")]
    Loop(String),
    /// Something that the family must be told is not in it.
    #[error("“{{ ${name} }}” is missing, or the text is the same whatever it is: it carries {carries}.")]
    MissingVariable {
        /// Its name.
        name: String,
        /// What it carries.
        carries: &'static str,
    },
    /// It cannot be filled in.
    #[error("It cannot be filled in: {0}.")]
    NotFilled(String),
}

/// A message of a language as a clinic can change it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuiltInText {
    /// Its name.
    pub id: String,
    /// Its text, as it is written with what is put in.
    pub text: String,
}

/// A message of the program with what it refers to.
struct BuiltIn {
    id: &'static str,
    group: &'static str,
    text: String,
    uses: Uses,
}

/// The messages of every language in the order of their files, read once.
static BUILT_IN: LazyLock<Vec<Vec<BuiltIn>>> =
    LazyLock::new(|| Language::ALL.into_iter().map(messages_of_language).collect());

fn messages_of_language(language: Language) -> Vec<BuiltIn> {
    let mut found = Vec::new();
    for (source, (group, _)) in sources(language).iter().copied().zip(MESSAGE_GROUPS) {
        for message in messages_of(source) {
            let (id, uses) = (message.id.name, Uses::of(&message));
            found.push(BuiltIn { id, group, uses, text: text_of(message) });
        }
    }
    found
}

fn built_in(language: Language) -> &'static [BuiltIn] {
    BUILT_IN.get(language as usize).map_or(&[], Vec::as_slice)
}

fn built_in_of(language: Language, id: &str) -> Option<&'static BuiltIn> {
    built_in(language).iter().find(|message| message.id == id)
}

/// The messages of a group in a language, in the order of the document.
#[must_use]
pub fn texts_of_group(language: Language, group: &str) -> Vec<BuiltInText> {
    let messages = built_in(language).iter().filter(|message| message.group == group);
    messages.map(|message| BuiltInText { id: message.id.to_owned(), text: message.text.clone() }).collect()
}

/// The text of the program for a message, with its group; `None` if there is no such message.
#[must_use]
pub fn built_in_text(language: Language, id: &str) -> Option<(&'static str, &'static str)> {
    built_in_of(language, id).map(|message| (message.group, message.text.as_str()))
}

/// The values with which a message is tried and shown: each with the words that say what was put in.
#[must_use]
pub fn samples(language: Language, id: &str) -> Vec<(String, Sentence)> {
    let variables = variables_of(language, id, &BTreeMap::new());
    let side = variables.iter().find(|name| is_side(name));
    let number = variables.iter().find(|name| matches!(arg(id, name, 0), Arg::Number(_)));
    let mut shown = Vec::new();
    let sides: Vec<usize> = match side {
        Some(name) => (0..keys(name).len()).collect(),
        None => vec![0],
    };
    for at in sides {
        for nth in number.map_or(0..1, |_| 0..3) {
            let pick = |name: &str| if is_side(name) { at } else { nth };
            let sentence = filled(id, &variables, &pick);
            let words =
                |name: &&String| (is_side(name) || Some(*name) == number).then(|| put_in(name, &sentence));
            let words: Vec<String> = variables.iter().filter_map(|name| words(&name).flatten()).collect();
            shown.push((words.join(", "), sentence.clone()));
        }
    }
    shown
}

fn put_in(name: &str, sentence: &Sentence) -> Option<String> {
    let (_, arg) = sentence.args.iter().find(|(known, _)| *known == name)?;
    Some(match arg {
        Arg::Key(key) => (*key).to_owned(),
        Arg::Number(number) => format!("{name} {number}"),
        _ => return None,
    })
}

/// Checks a text for a message; `own` has the clinic's other texts in the language.
///
/// # Errors
/// Why it cannot be used, with the line where one is known.
pub fn check_text(
    language: Language,
    id: &str,
    text: &str,
    own: &BTreeMap<String, String>,
) -> Result<(), TextFault> {
    let (_, built_in) = built_in_text(language, id).ok_or(TextFault::NoSuchText)?;
    let found = text.chars().count();
    let most = LONGEST.max(built_in.chars().count() * 2);
    if text.trim().is_empty() {
        return Err(TextFault::Blank);
    }
    if found > most {
        return Err(TextFault::TooLong { found, most });
    }
    if let Some((at, sign)) = markup_in(text) {
        return Err(TextFault::Markup { line: line_at(text, at), sign });
    }
    let source = source_of(id, text);
    let message = parsed(id, &source)?;
    let mut all = own.clone();
    all.insert(id.to_owned(), text.to_owned());
    refers_well(language, id, text, &message, &all)?;
    says_enough(language, id, &all)
}

/// The first character of markup, and where it is. The arrow of a choice is none.
fn markup_in(text: &str) -> Option<(usize, char)> {
    let is_arrow = |at: usize| text.get(..at).is_some_and(|before| before.ends_with('-'));
    text.char_indices().find(|(at, sign)| *sign == '<' || (*sign == '>' && !is_arrow(*at)))
}

/// A text as a message of a file. Every line is indented, so that no line can begin another message.
pub(crate) fn source_of(id: &str, text: &str) -> String {
    let lines: Vec<String> = text.trim_end().lines().map(|line| format!("    {}", line.trim_end())).collect();
    format!("{id} =\n{}\n", lines.join("\n"))
}

fn line_at(text: &str, at: usize) -> usize {
    text.get(..at).unwrap_or(text).matches('\n').count() + 1
}

/// The one message of a source, whose first line is its name.
fn parsed<'a>(id: &str, source: &'a str) -> Result<Message<&'a str>, TextFault> {
    // What is missing at the end is missing in the last line with words.
    let with_words = source.trim_end().len();
    let syntax = |at: usize, why: String| TextFault::Syntax {
        line: line_at(source, at.min(with_words)).saturating_sub(1).max(1),
        why: why.trim_end_matches('.').to_owned(),
    };
    let resource = parser::parse(source).map_err(|(_, errors)| {
        errors.first().map_or_else(
            || syntax(0, "it is no text".into()),
            |error| syntax(error.pos.start, error.kind.to_string()),
        )
    })?;
    let mut entries = resource.body.into_iter();
    match (entries.next(), entries.next()) {
        (Some(Entry::Message(message)), None) if message.id.name == id && message.attributes.is_empty() => {
            Ok(message)
        }
        _ => Err(syntax(
            0,
            "a line begins with a sign that has a meaning of its own, such as a full stop".into(),
        )),
    }
}

fn messages_of(source: &str) -> Vec<Message<&str>> {
    let resource = match parser::parse(source) {
        Ok(resource) | Err((resource, _)) => resource,
    };
    let message = |entry| if let Entry::Message(message) = entry { Some(message) } else { None };
    resource.body.into_iter().filter_map(message).collect()
}

/// The text of a message without its name and its indent.
fn text_of(message: Message<&str>) -> String {
    let written = serialize(&Resource { body: vec![Entry::Message(Message { comment: None, ..message })] });
    let value = written.split_once('=').map_or("", |(_, value)| value);
    let lines: Vec<&str> = value
        .trim_matches([' ', '\n'])
        .lines()
        .map(|line| line.strip_prefix("    ").unwrap_or(line))
        .collect();
    lines.join("\n")
}

/// What a pattern refers to.
#[derive(Debug, Clone, Default)]
struct Uses {
    variables: BTreeSet<String>,
    messages: BTreeSet<String>,
    /// Functions and terms, which no text here has.
    others: BTreeSet<String>,
}

impl Uses {
    fn of(message: &Message<&str>) -> Self {
        let mut uses = Self::default();
        if let Some(pattern) = &message.value {
            uses.pattern(pattern);
        }
        uses
    }

    fn pattern(&mut self, pattern: &Pattern<&str>) {
        for element in &pattern.elements {
            if let PatternElement::Placeable { expression } = element {
                self.expression(expression);
            }
        }
    }

    fn expression(&mut self, expression: &Expression<&str>) {
        match expression {
            Expression::Inline(inline) => self.inline(inline),
            Expression::Select { selector, variants } => {
                self.inline(selector);
                variants.iter().for_each(|variant| self.pattern(&variant.value));
            }
        }
    }

    fn inline(&mut self, inline: &InlineExpression<&str>) {
        match inline {
            InlineExpression::StringLiteral { .. } | InlineExpression::NumberLiteral { .. } => {}
            InlineExpression::VariableReference { id } => {
                self.variables.insert(id.name.to_owned());
            }
            InlineExpression::MessageReference { id, .. } => {
                self.messages.insert(id.name.to_owned());
            }
            InlineExpression::TermReference { id, .. } => {
                self.others.insert(format!("-{}", id.name));
            }
            InlineExpression::FunctionReference { id, arguments } => {
                self.others.insert(format!("{}()", id.name));
                self.arguments(arguments);
            }
            InlineExpression::Placeable { expression } => self.expression(expression),
        }
    }

    fn arguments(&mut self, arguments: &CallArguments<&str>) {
        arguments.positional.iter().for_each(|inline| self.inline(inline));
        arguments.named.iter().for_each(|named| self.inline(&named.value));
    }
}

/// What a message refers to, the clinic's text in front of that of the program.
fn uses_of(language: Language, id: &str, own: &BTreeMap<String, String>) -> Option<Uses> {
    if let Some(text) = own.get(id) {
        return parsed(id, &source_of(id, text)).ok().map(|message| Uses::of(&message));
    }
    built_in_of(language, id).map(|message| message.uses.clone())
}

/// The variables of a message and of all that it refers to.
fn variables_of(language: Language, id: &str, own: &BTreeMap<String, String>) -> BTreeSet<String> {
    let (mut open, mut met, mut found) = (vec![id.to_owned()], BTreeSet::new(), BTreeSet::new());
    while let Some(next) = open.pop() {
        if met.insert(next.clone())
            && let Some(uses) = uses_of(language, &next, own)
        {
            found.extend(uses.variables);
            open.extend(uses.messages);
        }
    }
    found
}

/// Whether everything that a text refers to is there, and it does not come back to itself.
fn refers_well(
    language: Language,
    id: &str,
    text: &str,
    message: &Message<&str>,
    all: &BTreeMap<String, String>,
) -> Result<(), TextFault> {
    let known = known_variables(language, id);
    let uses = Uses::of(message);
    let line = |word: &str| text.find(word).map_or(1, |at| line_at(text, at));
    if let Some(name) = uses.variables.iter().find(|name| !known.contains(*name)) {
        let names: Vec<String> = known.iter().map(|name| format!("{{ ${name} }}")).collect();
        let known = if names.is_empty() { "nothing".to_owned() } else { names.join(", ") };
        return Err(TextFault::UnknownVariable {
            line: line(&format!("${name}")),
            name: name.clone(),
            known,
        });
    }
    if let Some(name) = uses.others.iter().next() {
        return Err(TextFault::UnknownText { line: line(name.trim_end_matches("()")), name: name.clone() });
    }
    if let Some(name) = uses.messages.iter().find(|name| uses_of(language, name, all).is_none()) {
        return Err(TextFault::UnknownText { line: line(name), name: name.clone() });
    }
    match way_back(language, id, all) {
        Some(way) => Err(TextFault::Loop(way.join(" → "))),
        None => {
            let more = variables_of(language, id, all).into_iter().find(|name| !known.contains(name));
            let of_others = |name| TextFault::NotFilled(format!("a text that it refers to needs “${name}”"));
            more.map_or(Ok(()), |name| Err(of_others(name)))
        }
    }
}

/// The way by which a message refers to itself.
fn way_back(language: Language, id: &str, all: &BTreeMap<String, String>) -> Option<Vec<String>> {
    let mut open = vec![vec![id.to_owned()]];
    let mut met = BTreeSet::new();
    while let Some(way) = open.pop() {
        let last = way.last()?.clone();
        for next in uses_of(language, &last, all).map(|uses| uses.messages).unwrap_or_default() {
            let mut longer = way.clone();
            longer.push(next.clone());
            if next == id {
                return Some(longer);
            }
            if met.insert(next) {
                open.push(longer);
            }
        }
    }
    None
}

/// What a message gets: what its text in English or in this language uses.
fn known_variables(language: Language, id: &str) -> BTreeSet<String> {
    let none = BTreeMap::new();
    let mut known = variables_of(Language::English, id, &none);
    known.extend(variables_of(language, id, &none));
    known
}

/// Whether a text tells everything apart that the text of the program does: another day, number or foot must give
/// another text.
fn says_enough(language: Language, id: &str, all: &BTreeMap<String, String>) -> Result<(), TextFault> {
    let variables = known_variables(language, id);
    let sources: Vec<String> = all.iter().map(|(id, text)| source_of(id, text)).collect();
    let sources: Vec<&str> = sources.iter().map(String::as_str).collect();
    let texts = texts_with(language, &sources);
    let own =
        |sentence: &Sentence| texts.text(sentence).map_err(|fault| TextFault::NotFilled(fault.to_string()));
    let names: Vec<&String> = variables.iter().collect();
    for base in 0..3 {
        own(&filled(id, &variables, &|_| base))?;
    }
    for name in names {
        let Some(carries) = carries(id, name) else { continue };
        for (one, two) in [(0, 1), (0, 2), (1, 2)] {
            let with = |nth: usize| filled(id, &variables, &|other| if other == name { nth } else { 1 });
            let differs = |texts: [Option<String>; 2]| texts[0] != texts[1];
            let built_in = [one, two].map(|nth| language.text(&with(nth)).ok());
            let clinic = [own(&with(one))?, own(&with(two))?].map(Some);
            if differs(built_in) && !differs(clinic) {
                return Err(TextFault::MissingVariable { name: name.clone(), carries });
            }
        }
    }
    Ok(())
}

/// A message with what is put in; `pick` says which sample of each variable.
fn filled(id: &str, variables: &BTreeSet<String>, pick: &dyn Fn(&str) -> usize) -> Sentence {
    let named = |name: &String| VARIABLES.iter().find(|known| *known == name).copied();
    let args = variables.iter().filter_map(|name| Some((named(name)?, arg(id, name, pick(name))))).collect();
    Sentence { id: message_name(id), args }
}

/// The name of a message for as long as the program runs. A translation has one that English does not need.
fn message_name(id: &str) -> &'static str {
    let all = [Language::English, Language::Spanish].into_iter();
    all.flat_map(built_in).map(|message| message.id).find(|name| *name == id).unwrap_or("")
}

/// Everything that is put into messages.
const VARIABLES: [&str; 18] = [
    "name", "day", "time", "number", "clinic", "feet", "foot", "hours", "mm", "deg", "size", "children",
    "from", "to", "low", "high", "weeks", "text",
];

fn is_side(name: &str) -> bool {
    !keys(name).is_empty()
}

fn keys(name: &str) -> &'static [&'static str] {
    match name {
        "feet" => &["left", "right", "both"],
        "foot" => &["left", "right"],
        _ => &[],
    }
}

/// The nth sample of what is put in for a variable.
fn arg(id: &str, name: &str, nth: usize) -> Arg {
    // 4 March 2025, the day after, and a week later.
    let day = || Arg::Day(Day::from_number([20_151, 20_152, 20_158].get(nth).copied().unwrap_or(20_158)));
    match name {
        "feet" | "foot" => {
            Arg::Key(keys(name).get(nth).or_else(|| keys(name).last()).copied().unwrap_or("left"))
        }
        "name" => Arg::Text(["Solveig", "Amina", "Tarek"].get(nth).copied().unwrap_or("Tarek").to_owned()),
        "text" => Arg::Text(format!("Ida Brandt, nurse, 0155 20 18 4{nth}")),
        "clinic" => Arg::Text("Clubfoot clinic, Harbour Hospital".to_owned()),
        "number" => Arg::Text(format!("CF-10{nth}")),
        "size" => Arg::Text(format!("{}", nth + 3)),
        "time" => Arg::Time(format!("{:02}:30", 9 + nth)),
        "day" => day(),
        "from" | "to" if id == "plan-date-between" => day(),
        _ => Arg::Number([1, 2, 5].get(nth).copied().unwrap_or(5)),
    }
}

/// What a variable carries that a family must be told; `None` for a name, without which a text still says enough.
fn carries(id: &str, name: &str) -> Option<&'static str> {
    match (name, arg(id, name, 0)) {
        ("name", _) => (id == "whose-name").then_some("whose the document is"),
        ("clinic", _) => None,
        ("text", _) => Some("what the clinic wrote"),
        (_, Arg::Key(_)) => Some("which foot"),
        (_, Arg::Day(_) | Arg::Date(_)) => Some("a day"),
        (_, Arg::Time(_)) => Some("a time"),
        (_, Arg::Number(_)) => Some("a number"),
        (_, Arg::Text(_)) => Some("a number or size"),
    }
}
