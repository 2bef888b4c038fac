//! The files of invented clinics, each with a habit of its own and with the truth behind it.

mod awkward;
mod calendars;
mod coded;
mod english;
mod latin;
mod scripts;
mod sheets;
mod turned;
mod wide;

use super::{
    clinic::{Clinic, Foot, Patient, Visit},
    fact::{FactKind, Truth},
    sheet::{Page, Put, xlsx},
};
use record::{Day, Side, Sides};

/// What a person of the clinic would answer to a question of the import.
#[derive(Debug, Clone, Copy)]
pub struct TrueAnswer {
    /// Part of the column that the question names, or the beginning of its id; empty for any.
    pub column: &'static str,
    /// The value that the question names; empty for any.
    pub value: &'static str,
    /// Key or words of the choice.
    pub choice: &'static str,
}

/// A file, the truth behind it, and what a person of the clinic would say about it.
pub struct InventedFile {
    pub name: &'static str,
    /// What makes it differ from other files.
    pub habit: &'static str,
    pub bytes: Vec<u8>,
    pub truth: Truth,
    pub answers: Vec<TrueAnswer>,
}

impl InventedFile {
    fn text(name: &'static str, habit: &'static str, text: String, truth: Truth) -> Self {
        Self { name, habit, bytes: text.into_bytes(), truth, answers: Vec::new() }
    }

    fn book(name: &'static str, habit: &'static str, pages: &[Page], mut truth: Truth) -> Self {
        truth.sheets = pages.iter().map(|page| page.name.clone()).collect();
        Self { name, habit, bytes: xlsx(pages), truth, answers: Vec::new() }
    }

    /// Answers to questions about a column or with an id that begins so, about a value: the choice.
    fn answers(mut self, answers: &[(&'static str, &'static str, &'static str)]) -> Self {
        let answers = answers.iter().map(|&(column, value, choice)| TrueAnswer { column, value, choice });
        self.answers.extend(answers);
        self
    }
}

/// Every file.
pub fn all() -> Vec<InventedFile> {
    let mut files = Vec::new();
    files.extend(latin::files());
    files.extend(scripts::files());
    files.extend(english::files());
    files.extend(coded::files());
    files.extend(sheets::files());
    files.extend(wide::files());
    files.extend(awkward::files());
    files.extend(calendars::files());
    files.extend(turned::files());
    files
}

/// 13/02/2024.
fn slashed(day: Day) -> String {
    let (year, month, day) = day.parts();
    format!("{day:02}/{month:02}/{year}")
}

/// 13.02.2024.
fn dotted(day: Day) -> String {
    slashed(day).replace('/', ".")
}

/// The word of the sides of which something holds.
fn side_word(sides: Sides, words: [&'static str; 3]) -> &'static str {
    match sides {
        Sides::Right => words[0],
        Sides::Left => words[1],
        Sides::Both => words[2],
    }
}

/// The words of a language for what is done at a visit.
struct ActWords {
    cast: &'static str,
    tenotomy: &'static str,
    brace: &'static str,
    review: &'static str,
    relapse: &'static str,
    /// Between two acts.
    and: &'static str,
}

impl ActWords {
    /// What was done to one foot, without a side, with the number of the cast where `numbered`.
    fn of_foot(&self, visit: &Visit, foot: &Foot, numbered: bool) -> String {
        let mut acts = Vec::new();
        if foot.relapse {
            acts.push(self.relapse.to_owned());
        }
        if foot.tenotomy {
            acts.push(self.tenotomy.to_owned());
        }
        if let Some(number) = foot.cast {
            acts.push(if numbered { format!("{} {number}", self.cast) } else { self.cast.to_owned() });
        }
        self.or_visit(acts, visit)
    }

    /// What was done to both feet, each act with its side.
    fn of_visit(&self, visit: &Visit, sides: [&'static str; 3], numbered: bool) -> String {
        let mut acts = Vec::new();
        let mut act = |word: &str, of: &dyn Fn(&Foot) -> bool| {
            if let Some(done) = visit.sides(of) {
                acts.push(format!("{word} {}", side_word(done, sides)));
            }
        };
        act(self.relapse, &|foot| foot.relapse);
        act(self.tenotomy, &|foot| foot.tenotomy);
        let number = visit.feet.values().find_map(|foot| foot.cast).filter(|_| numbered);
        let cast = number.map_or_else(|| self.cast.to_owned(), |number| format!("{} {number}", self.cast));
        act(&cast, &|foot| foot.cast.is_some());
        self.or_visit(acts, visit)
    }

    fn or_visit(&self, acts: Vec<String>, visit: &Visit) -> String {
        match (acts.is_empty(), visit.brace) {
            (false, _) => acts.join(self.and),
            (true, true) => self.brace.to_owned(),
            (true, false) => self.review.to_owned(),
        }
    }
}

/// Writes one row for each foot of each visit, in the order of the days, and says what it holds.
fn rows_of_feet(
    clinic: &Clinic,
    page: &mut Page,
    truth: &mut Truth,
    kinds: &[FactKind],
    row: impl Fn(&Patient, &Visit, Side, &Foot) -> Vec<Put>,
) {
    for (patient, visit) in clinic.visits() {
        for (&side, foot) in &visit.feet {
            let place = page.next();
            page.row(row(patient, visit, side, foot));
            patient.tell(truth, place);
            patient.tell_foot(truth, place, visit, side, kinds);
            patient.tell_brace(truth, place, visit);
        }
    }
}

/// Writes one row for each visit, in the order of the days, and says what it holds.
fn rows_of_visits(
    clinic: &Clinic,
    page: &mut Page,
    truth: &mut Truth,
    kinds: &[FactKind],
    row: impl Fn(&Patient, &Visit) -> Vec<Put>,
) {
    for (patient, visit) in clinic.visits() {
        let place = page.next();
        page.row(row(patient, visit));
        patient.tell(truth, place);
        for &side in visit.feet.keys() {
            patient.tell_foot(truth, place, visit, side, kinds);
        }
        patient.tell_brace(truth, place, visit);
    }
}
