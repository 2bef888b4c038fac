//! The rows of `rows.toml`.

use super::products::{LocalAnaesthetic, TopicalProduct};
use std::sync::LazyLock;
use toml_edit::{ArrayOfTables, Document, Table};

/// How well a row is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EvidenceStatus {
    /// The source was read.
    Read,
    /// Quoted from memory: gives no number.
    Memory,
    /// Worked out from other rows: gives no number.
    Derived,
}

/// A published ceiling of a drug that is injected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CeilingRow {
    /// The drug.
    pub drug: LocalAnaesthetic,
    /// The group as the source names it.
    pub group: String,
    /// First month of age.
    pub from_months: i32,
    /// First month of age for which it does not hold any more.
    pub until_months: i32,
    /// Micrograms for each kilogram.
    pub ug_per_kg: u32,
    /// What the source adds.
    pub note: String,
    /// The source.
    pub source: String,
    /// How well it is known.
    pub status: EvidenceStatus,
}

/// A published cut of every ceiling of an amide in young infants.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutRow {
    /// The group as the source names it.
    pub group: String,
    /// First month of age for which it does not hold any more.
    pub until_months: i32,
    /// What is left, per cent.
    pub keep_percent: u32,
    /// The source.
    pub source: String,
    /// How well it is known.
    pub status: EvidenceStatus,
}

/// A published limit of a cream or gel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TopicalRow {
    /// The product.
    pub product: TopicalProduct,
    /// The group as the source names it.
    pub group: String,
    /// First month of age.
    pub from_months: i32,
    /// First month of age for which it does not hold any more.
    pub until_months: i32,
    /// Thousandths of a gram of cream, or of a tube of gel.
    pub most: u32,
    /// Area, time and number of applications.
    pub terms: String,
    /// The source.
    pub source: String,
    /// How well it is known.
    pub status: EvidenceStatus,
}

struct Rows {
    ceilings: Vec<CeilingRow>,
    cuts: Vec<CutRow>,
    topical: Vec<TopicalRow>,
}

// As with the built-in protocol: the file is part of the program, and a test reads it.
static ROWS: LazyLock<Rows> = LazyLock::new(|| match read(include_str!("rows.toml")) {
    Some(rows) => rows,
    None => unreachable!("the ceilings of local anaesthetics cannot be read"),
});

/// Every ceiling, of every status.
#[must_use]
pub fn ceiling_rows() -> &'static [CeilingRow] {
    &ROWS.ceilings
}

/// Every cut, of every status.
#[must_use]
pub fn cut_rows() -> &'static [CutRow] {
    &ROWS.cuts
}

/// Every limit of a cream or gel, of every status.
#[must_use]
pub fn topical_rows() -> &'static [TopicalRow] {
    &ROWS.topical
}

impl EvidenceStatus {
    /// Its word in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Memory => "memory",
            Self::Derived => "derived",
        }
    }

    fn from_key(key: &str) -> Option<Self> {
        [Self::Read, Self::Memory, Self::Derived].into_iter().find(|status| status.key() == key)
    }
}

fn read(text: &'static str) -> Option<Rows> {
    let document = Document::parse(text).ok()?;
    let list = |name: &str| document.get(name)?.as_array_of_tables();
    Some(Rows {
        ceilings: each(list("ceiling")?, ceiling)?,
        cuts: each(list("cut")?, cut)?,
        topical: each(list("topical")?, topical)?,
    })
}

fn each<T>(tables: &ArrayOfTables, read: impl Fn(&Table) -> Option<T>) -> Option<Vec<T>> {
    tables.iter().map(read).collect()
}

fn text(table: &Table, name: &str) -> Option<String> {
    Some(table.get(name)?.as_str()?.to_owned())
}

fn number<T: TryFrom<i64>>(table: &Table, name: &str) -> Option<T> {
    T::try_from(table.get(name)?.as_integer()?).ok()
}

fn status(table: &Table) -> Option<EvidenceStatus> {
    EvidenceStatus::from_key(table.get("status")?.as_str()?)
}

fn ceiling(table: &Table) -> Option<CeilingRow> {
    Some(CeilingRow {
        drug: LocalAnaesthetic::from_key(table.get("drug")?.as_str()?)?,
        group: text(table, "group")?,
        from_months: number(table, "from_months")?,
        until_months: number(table, "until_months")?,
        ug_per_kg: number(table, "ug_per_kg")?,
        note: text(table, "note")?,
        source: text(table, "source")?,
        status: status(table)?,
    })
}

fn cut(table: &Table) -> Option<CutRow> {
    Some(CutRow {
        group: text(table, "group")?,
        until_months: number(table, "until_months")?,
        keep_percent: number(table, "keep_percent").filter(|percent| *percent <= 100)?,
        source: text(table, "source")?,
        status: status(table)?,
    })
}

fn topical(table: &Table) -> Option<TopicalRow> {
    Some(TopicalRow {
        product: TopicalProduct::from_key(table.get("product")?.as_str()?)?,
        group: text(table, "group")?,
        from_months: number(table, "from_months")?,
        until_months: number(table, "until_months")?,
        most: number(table, "most").filter(|most| *most > 0)?,
        terms: text(table, "terms")?,
        source: text(table, "source")?,
        status: status(table)?,
    })
}
