//! What an import found, row by row, in a form for people and for `--json`.

mod alike;
pub(crate) mod grouped;

use crate::{
    Column, DateDecision, FileQuestion, Source, Table,
    written::{guarded, push_row, unguarded},
};
pub use alike::AlikeRows;
use grouped::GroupedQuestions;
use record::{ChildId, Day};
use serde::Serialize;
use std::collections::BTreeMap;

/// What became of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Disposition {
    /// Taken in.
    Imported,
    /// Taken in, with a question for a person.
    Question,
    /// Already there: nothing of it was added.
    Duplicate,
    /// Not taken in.
    Refused,
    /// A sum, a footer or the headings again: no visit.
    #[serde(rename = "passed over")]
    PassedOver,
}

impl Disposition {
    /// In words, "imported with a question".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Imported => "imported",
            Self::Question => "imported with a question",
            Self::Duplicate => "already there",
            Self::Refused => "refused",
            Self::PassedOver => "passed over",
        }
    }
}

macro_rules! reasons {
    ($($(#[$doc:meta])* $name:ident = $key:literal;)*) => {
        /// Why a row did not go in plainly.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
        pub enum ImportReason {
            $($(#[$doc])* #[serde(rename = $key)] $name,)*
        }

        impl ImportReason {
            /// Every reason.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The key, `total-disagrees`.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)* }
            }
        }
    };
}

reasons! {
    /// The total written is not the sum of its signs.
    TotalDisagrees = "total-disagrees";
    /// A sub-score written is not the sum of its signs.
    SubScoreDisagrees = "sub-score-disagrees";
    /// Some of the six signs are missing.
    IncompleteScore = "incomplete-score";
    /// A score that cannot be.
    ImpossibleScore = "impossible-score";
    /// A date that cannot be.
    ImpossibleDate = "impossible-date";
    /// Day and month could be exchanged.
    AmbiguousDate = "ambiguous-date";
    /// No date where one is needed.
    NoDate = "no-date";
    /// A visit that lies in the future.
    InTheFuture = "in-the-future";
    /// A visit before the child was born.
    BeforeBirth = "before-birth";
    /// An age at which few are treated.
    UnlikelyAge = "unlikely-age";
    /// Which foot is not clear.
    UnknownSide = "unknown-side";
    /// A foot scored that the row does not call affected.
    OtherFootScored = "other-foot-scored";
    /// Which child is not said.
    NoChild = "no-child";
    /// More than one child could be meant.
    WhichChild = "which-child";
    /// The number belongs to a child of another name or birthday.
    NumberNameDiffers = "number-name-differs";
    /// The child may be one already known.
    PossibleMatch = "possible-match";
    /// The child was expected and did not come.
    MissedAppointment = "missed-appointment";
    /// Missed by its words, but scored.
    MissedButScored = "missed-but-scored";
    /// The same row comes earlier in the file.
    SameRowAgain = "same-row-again";
    /// The record has other values for the same foot and day.
    ChangedVisit = "changed-visit";
    /// The record has several values for the same foot and day, so that it is not clear which to correct.
    SeveralOnRecord = "several-on-record";
    /// All of it is on record already.
    AlreadyThere = "already-there";
    /// A word that is not known.
    UnknownWord = "unknown-word";
    /// A tenotomy named where none is taken as done.
    TenotomyInWords = "tenotomy-in-words";
    /// A treatment named in a remark, of which nothing is taken as done.
    ActInWords = "act-in-words";
    /// A date named in a remark, of which nothing is taken as done.
    DateInWords = "date-in-words";
    /// A value that cannot be read.
    UnreadableValue = "unreadable-value";
    /// An error of a spreadsheet program, such as a division by zero.
    ErrorValue = "error-value";
    /// A formula whose value is not in the file.
    FormulaWithoutValue = "formula-without-value";
    /// A value outside what is possible.
    ImpossibleValue = "impossible-value";
    /// A value that is possible but unusual.
    UnusualValue = "unusual-value";
    /// A text longer than is kept.
    TextTooLong = "text-too-long";
    /// More cells than headings.
    TooManyCells = "too-many-cells";
    /// Quotation marks that do not close.
    OpenQuote = "open-quote";
    /// Bytes that are no text.
    DamagedText = "damaged-text";
    /// A fact in a column, or a cell, whose meaning is not settled.
    MeaningInDoubt = "meaning-in-doubt";
    /// A row that looks like a sum, a footer or the headings again.
    FooterRow = "footer-row";
    /// Nothing in the row says anything.
    NothingInRow = "nothing-in-row";
}

/// One thing to say about a row: where, what was written there, and one sentence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Remark {
    /// The key of the reason.
    pub reason: ImportReason,
    /// The heading of the column, or its letter where it has none.
    pub column: Option<String>,
    /// What was written in the cell, shortened.
    pub value: Option<String>,
    /// One sentence.
    pub text: String,
    /// The question for the whole file that would settle it, where it has one of its own.
    #[serde(skip)]
    pub(crate) question: Option<Box<FileQuestion>>,
}

impl Remark {
    /// A remark on a row, and on no cell of it.
    pub(crate) fn on_row(reason: ImportReason, text: impl Into<String>) -> Self {
        Self { reason, column: None, value: None, text: text.into(), question: None }
    }
}

/// A row that did not go in plainly.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RowReport {
    /// The row in the file, the first being 1.
    pub row: usize,
    /// The sheet, where several are read together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sheet: Option<String>,
    /// Its number among all rows read.
    #[serde(skip)]
    pub(crate) at: usize,
    /// What became of it.
    pub disposition: Disposition,
    /// How many assessments it added.
    pub assessments: usize,
    /// The first and gravest reason.
    #[serde(flatten)]
    pub remark: Remark,
    /// Whatever else there is to say.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<Remark>,
    /// What of the row was left out where the rest was taken: a foot, a visit, a date. The row is in the
    /// file of refused rows as well.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<String>,
}

/// Two records that may be of one child. Offered to a person, never merged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PossibleMatch {
    /// The first row of the child in this file.
    pub row: usize,
    /// The child as this import would register it.
    pub child: Person,
    /// The other child.
    pub other: Person,
    /// Whether the other child is known from before.
    pub known: bool,
    /// One sentence.
    pub text: String,
}

/// A child, named for a report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Person {
    /// Id.
    pub id: ChildId,
    /// "Family, Given".
    pub name: String,
    /// Hospital number.
    pub number: Option<String>,
    /// Day of birth.
    pub born: Option<Day>,
}

/// How many rows went which way.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Dispositions {
    /// Taken in.
    pub imported: usize,
    /// Taken in with a question.
    pub question: usize,
    /// Already there.
    pub duplicate: usize,
    /// Refused.
    pub refused: usize,
    /// Sums, footers and headings in between: no visits.
    #[serde(skip_serializing_if = "is_none")]
    pub passed_over: usize,
}

/// Passed rows are counted only where there are any, so that the counts of other files stay as they were.
fn is_none(count: &usize) -> bool {
    *count == 0
}

/// What an import found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Report {
    /// Rows under the header that hold anything.
    pub rows: usize,
    /// Children in the rows not refused.
    pub children: usize,
    /// Of these, children not known before.
    pub new_children: usize,
    /// Feet assessed or treated in the rows not refused.
    pub affected_feet: usize,
    /// Assessments added, one foot at one visit each.
    pub assessments: usize,
    /// Entries added, of every kind.
    pub entries: usize,
    /// Pairs of records that may be of one child.
    pub possible_matches: usize,
    /// How many rows went which way.
    pub dispositions: Dispositions,
    /// How many rows by the key of their first reason.
    pub reasons: BTreeMap<&'static str, usize>,
    /// The rows that did not go in plainly, in the order of the file.
    pub not_plain: Vec<RowReport>,
    /// The first of the pairs counted above, at most 500.
    pub matches: Vec<PossibleMatch>,
    /// How day and month were told apart.
    pub dates: DateDecision,
    /// What each column was taken to mean.
    pub columns: Vec<Column>,
    /// How the file was read.
    pub source: Source,
    /// Sentences about the file as a whole.
    pub remarks: Vec<String>,
    /// Questions about the file, grouped by column and value, those first without whose answer facts would
    /// be lost.
    pub questions: Vec<FileQuestion>,
    #[serde(skip)]
    pub(crate) grouped: GroupedQuestions,
    /// Further rows of the file that make up a row, by the number of its first.
    #[serde(skip)]
    put_together: BTreeMap<usize, Vec<usize>>,
}

impl Report {
    /// Rows refused.
    pub fn refused(&self) -> impl Iterator<Item = &RowReport> {
        self.not_plain.iter().filter(|row| row.disposition == Disposition::Refused)
    }

    /// Gives every row the number it has in its sheet, where several sheets were read together.
    pub(crate) fn name_sheets(&mut self, table: &Table) {
        if table.sheets_together().is_empty() {
            return;
        }
        for row in &mut self.not_plain {
            let (sheet, number) = table.place_of(row.at);
            (row.sheet, row.row) = (sheet.map(str::to_owned), number);
        }
        self.matches.iter_mut().for_each(|pair| pair.row = table.place_of(pair.row).1);
        for question in &mut self.questions {
            question.rows.iter_mut().for_each(|row| *row = table.place_of(*row).1);
        }
        let names = table.sheets_together().join(", ");
        self.remarks.push(format!("{} sheets were read together: {names}.", table.sheets_together().len()));
    }

    pub(crate) fn new(table: &Table, columns: Vec<Column>, dates: DateDecision) -> Self {
        Self {
            rows: 0,
            children: 0,
            new_children: 0,
            affected_feet: 0,
            assessments: 0,
            entries: 0,
            possible_matches: 0,
            dispositions: Dispositions::default(),
            reasons: BTreeMap::new(),
            not_plain: Vec::new(),
            matches: Vec::new(),
            dates,
            columns,
            source: table.source.clone(),
            remarks: Vec::new(),
            questions: Vec::new(),
            grouped: GroupedQuestions::default(),
            put_together: put_together(table),
        }
    }

    /// Rows of which all or a part is left out, and which can be mended.
    pub fn to_mend(&self) -> impl Iterator<Item = &RowReport> {
        let mended = |row: &&RowReport| row.disposition == Disposition::Refused || !row.left_out.is_empty();
        self.not_plain.iter().filter(mended)
    }

    pub(crate) fn add(
        &mut self,
        row: usize,
        disposition: Disposition,
        assessments: usize,
        mut said: Vec<Remark>,
        left_out: Vec<String>,
    ) {
        let count = match disposition {
            Disposition::Imported => &mut self.dispositions.imported,
            Disposition::Question => &mut self.dispositions.question,
            Disposition::Duplicate => &mut self.dispositions.duplicate,
            Disposition::Refused => &mut self.dispositions.refused,
            Disposition::PassedOver => &mut self.dispositions.passed_over,
        };
        *count += 1;
        self.rows += 1;
        self.assessments += assessments;
        for remark in &mut said {
            self.grouped.note(row, remark, &self.columns);
            // Counted: a remark of every row need not carry it.
            remark.question = None;
        }
        for other in self.put_together.remove(&row).unwrap_or_default() {
            self.add(other, disposition, 0, said.clone(), left_out.clone());
        }
        let mut said = grouped(said).into_iter();
        let Some(remark) = said.next() else { return };
        *self.reasons.entry(remark.reason.key()).or_default() += 1;
        self.not_plain.push(RowReport {
            row,
            sheet: None,
            at: row,
            disposition,
            assessments,
            remark,
            also: said.collect(),
            left_out,
        });
    }
}

fn put_together(table: &Table) -> BTreeMap<usize, Vec<usize>> {
    let mut out = BTreeMap::new();
    for row in table.rows().filter(|_| table.is_put_together()) {
        let mut numbers = table.row_numbers(row);
        if let Some(first) = numbers.next() {
            out.insert(first, numbers.collect());
        }
    }
    out
}

/// The remarks of a row, those that say the same of several columns as one.
fn grouped(said: Vec<Remark>) -> Vec<Remark> {
    let mut out: Vec<(Remark, Vec<String>)> = Vec::with_capacity(said.len());
    for remark in said {
        let same = |(known, _): &&mut (Remark, Vec<String>)| {
            known.reason == remark.reason && known.value == remark.value && known.text == remark.text
        };
        match out.iter_mut().find(same) {
            Some((known, others)) => {
                let new = remark.column.filter(|column| Some(column) != known.column.as_ref());
                others.extend(new);
            }
            None => out.push((remark, Vec::new())),
        }
    }
    out.into_iter().map(|(remark, others)| with_columns(remark, &others)).collect()
}

/// Columns named by a remark that several share.
const COLUMNS_NAMED: usize = 6;

fn with_columns(mut remark: Remark, others: &[String]) -> Remark {
    if !others.is_empty() {
        let named: Vec<String> =
            others.iter().take(COLUMNS_NAMED).map(|column| format!("“{column}”")).collect();
        remark.text.push_str(&format!(" The same in {}", named.join(", ")));
        let more = others.len().saturating_sub(COLUMNS_NAMED);
        remark.text.push_str(&if more > 0 { format!(" and {more} more.") } else { ".".to_owned() });
    }
    remark
}

/// The headings this program adds to a file of refused rows; on the way back they are known and not kept.
pub const ADDED_HEADINGS: [&str; 5] =
    ["Why refused", "Refused column", "Refused value", "Row in the first file", "Date order"];

/// The rows of which all or a part is left out as they came, with their headings and every reason, as a CSV
/// file that can be mended and imported again. Empty where nothing was left out.
#[must_use]
pub fn refused_rows_csv(table: &Table, report: &Report) -> String {
    let table = table.as_it_came();
    let refused: Vec<&RowReport> = report.to_mend().collect();
    if refused.is_empty() {
        return String::new();
    }
    let own = |header: &str| ADDED_HEADINGS.contains(&header);
    let headers = table.headers.iter().enumerate();
    let kept: Vec<(usize, &String)> = headers.filter(|(_, header)| !own(header)).collect();
    let widest = refused.iter().map(|row| table.width_of(row.at - 1)).max().unwrap_or(0);
    let mut out = String::from("\u{feff}");
    let headings = kept.iter().map(|(_, header)| header.as_str()).chain(ADDED_HEADINGS);
    let headings: Vec<String> = headings.map(|heading| guarded(unguarded(heading).to_owned())).collect();
    push_row(&mut out, headings.iter().map(String::as_str));
    let order = report.dates.order.map_or("", crate::DateOrder::words);
    for row in refused {
        let cells = kept.iter().map(|&(column, _)| table.cell(row.at - 1, column).text.to_owned());
        let number = row.row.to_string();
        let reasons: Vec<&str> =
            std::iter::once(&row.remark).chain(&row.also).map(|remark| remark.text.as_str()).collect();
        let why = [
            reasons.join(" "),
            row.remark.column.clone().unwrap_or_default(),
            row.remark.value.clone().unwrap_or_default(),
            number,
            order.to_owned(),
        ];
        let spare =
            (table.headers.len()..widest).map(|column| table.cell(row.at - 1, column).text.to_owned());
        let spare: Vec<String> = spare.filter(|text| !text.trim().is_empty()).collect();
        // What came with a guard keeps the one that it has.
        let guard = |text: String| guarded(unguarded(&text).to_owned());
        let cells: Vec<String> = cells.chain(why).chain(spare).map(guard).collect();
        push_row(&mut out, cells.iter().map(String::as_str));
    }
    out
}
