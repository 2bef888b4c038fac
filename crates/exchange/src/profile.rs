//! What kind of thing the cells of a column are.

use crate::{
    Meaning, coding,
    dates::{self, DateCell},
    sided_scores::SidedScores,
    sides::{self, SideCell},
    table::{CellKind, Table},
    values::{self, Read},
    words::done,
};

/// Rows looked at for a column.
const LOOKED_AT: usize = 300;
/// Numbers that no score can be and that many sheets write for "not measured" (common practice, no source).
const MISSING_CODES: [f64; 4] = [99.0, 999.0, -9.0, -99.0];
/// Rows looked at where there are very many columns.
const LOOKED_AT_WIDE: usize = 40;

/// Counts over a sample of the cells that hold anything.
#[derive(Debug, Clone, Default)]
pub(crate) struct Profile {
    pub(crate) filled: usize,
    dates: usize,
    numbers: usize,
    scores: usize,
    /// Scores with words after them: "0,5 - moderado".
    worded_scores: usize,
    halves: usize,
    above_one: usize,
    /// Numbers that many sheets write where nothing was measured.
    missing_codes: usize,
    small: usize,
    sides: usize,
    done: usize,
    yes_no: usize,
    long: usize,
    typed_dates: usize,
    distinct: usize,
    /// Whether the cells count 1, 2, 3 …
    pub(crate) counts_up: bool,
}

pub(crate) fn of(table: &Table) -> Vec<Profile> {
    let most = if table.headers.len() > 200 { LOOKED_AT_WIDE } else { LOOKED_AT };
    let rows: Vec<usize> = table.rows().take(most * 4).collect();
    (0..table.headers.len()).map(|column| profile(table, &rows, column, most)).collect()
}

fn profile(table: &Table, rows: &[usize], column: usize, most: usize) -> Profile {
    let mut out = Profile { counts_up: true, ..Profile::default() };
    let mut last = None;
    let mut seen = std::collections::HashSet::new();
    for &row in rows {
        let cell = table.cell(row, column);
        let text = cell.trimmed();
        if values::is_nothing(text) || values::is_as_above(text) {
            continue;
        }
        out.filled += 1;
        out.distinct += usize::from(seen.insert(text));
        let date = dates::read(cell, 2100);
        out.dates +=
            usize::from(matches!(date, DateCell::Day(_) | DateCell::Figures(_) | DateCell::Impossible));
        out.typed_dates += usize::from(cell.kind == CellKind::Date);
        let number = values::number(values::without_out_of(values::without_out_of(text, 6), 3));
        let score =
            matches!(number, Read::Value(_)) || values::has_two_scores(text) || values::is_half_a_pair(text);
        out.numbers += usize::from(score && cell.kind != CellKind::Date);
        out.scores += usize::from(matches!(values::halves(text, 6.0), Read::Value(_)));
        if let Read::Value(value) = number {
            out.halves += usize::from((value * 2.0).fract() == 0.0 && value.fract() != 0.0);
            let is_code = MISSING_CODES.contains(&value);
            out.missing_codes += usize::from(is_code);
            out.above_one += usize::from(value > 1.0 && !is_code);
            out.small += usize::from((0.0..=20.0).contains(&value));
        } else {
            let worded = coding::leading_number(text);
            out.numbers += usize::from(worded.is_some() || SidedScores::is_written(text));
            if let Some(Read::Value(score)) = worded.map(|number| values::halves(&number, 6.0)) {
                out.worded_scores += 1;
                out.halves += usize::from(score.0 % 2 == 1);
                out.above_one += usize::from(score.0 > 2);
            }
        }
        out.sides += usize::from(sides::read(text) != SideCell::Unknown);
        out.done += usize::from(done::is_known(text));
        out.yes_no += usize::from(matches!(values::yes_no(text), Read::Value(_)));
        out.long += usize::from(text.chars().count() > 60);
        let value = if let Read::Value(value) = number { Some(value) } else { None };
        out.counts_up &=
            value.is_some_and(|value| last.is_none_or(|last: f64| (value - last - 1.0).abs() < 1e-9));
        last = value;
        if out.filled >= most {
            break;
        }
    }
    out
}

impl Profile {
    fn mostly(&self, count: usize) -> bool {
        count * 10 >= self.filled * 6
    }

    /// The meaning of the heading, or the related one that the cells show; `None` where they are of
    /// another kind altogether.
    pub(crate) fn fits(&self, meaning: Meaning) -> Option<Meaning> {
        if self.filled == 0 {
            return Some(meaning);
        }
        let (dates, numbers) = (self.mostly(self.dates), self.mostly(self.numbers));
        match meaning {
            Meaning::VisitDate if !dates && numbers => Some(Meaning::VisitNumber),
            Meaning::VisitDate if !dates && self.mostly(self.done) => Some(Meaning::Done),
            Meaning::NextAppointment => Some(meaning),
            Meaning::BraceDate if !dates && self.mostly(self.done) => Some(Meaning::Done),
            Meaning::TenotomyDate if !dates && self.mostly(self.yes_no) => Some(Meaning::Tenotomy),
            Meaning::Brace if dates => Some(Meaning::BraceDate),
            Meaning::Brace if !self.mostly(self.yes_no) && self.mostly(self.done) => Some(Meaning::Done),
            Meaning::BraceDate if !dates && self.mostly(self.yes_no) => Some(Meaning::Brace),
            Meaning::Tenotomy if dates => Some(Meaning::TenotomyDate),
            Meaning::RelapseDate if !dates && self.mostly(self.yes_no) => Some(Meaning::Relapse),
            Meaning::Relapse if dates => Some(Meaning::RelapseDate),
            Meaning::CastNumber if dates && self.looks_dated() => Some(Meaning::CastDate),
            Meaning::CastNumber | Meaning::CastCount if !numbers && self.mostly(self.done) => {
                Some(Meaning::Done)
            }
            Meaning::Side if self.sides * 2 < self.filled => None,
            Meaning::Done if dates && !self.mostly(self.done) => None,
            Meaning::SeenBy if dates => None,
            _ if meaning.is_date() => (self.dates * 2 >= self.filled || self.filled < 3).then_some(meaning),
            _ if meaning.is_measured() || meaning == Meaning::CastNumber => {
                (self.numbers * 2 >= self.filled || self.yes_no * 2 >= self.filled || self.filled < 5)
                    .then_some(meaning)
                    .filter(|_| self.filled < 3 || !self.looks_dated())
            }
            _ => Some(meaning),
        }
    }

    /// Small numbers are no dates, though a five-figure number may be one.
    fn looks_dated(&self) -> bool {
        self.mostly(self.typed_dates) || (self.mostly(self.dates) && !self.mostly(self.numbers))
    }

    pub(crate) fn all_scores(&self) -> bool {
        self.filled > 0 && self.scores == self.filled
    }

    /// Whether its cells are 0, 0.5 and 1 only, as those of a sign are, but for codes for missing values.
    pub(crate) fn are_points(&self) -> bool {
        let scores = self.scores + self.worded_scores;
        scores > 0 && scores + self.missing_codes == self.filled && self.above_one == 0
    }

    /// Whether values come more than once, as a child's number does in a sheet of visits.
    pub(crate) const fn repeats(&self) -> bool {
        self.distinct < self.filled
    }

    pub(crate) fn all_sides(&self) -> bool {
        self.filled >= 2 && self.sides * 10 >= self.filled * 9
    }

    pub(crate) fn all_dates(&self) -> bool {
        self.filled >= 1 && self.dates * 10 >= self.filled * 9 && self.looks_dated()
    }

    pub(crate) fn all_done(&self) -> bool {
        self.filled >= 3 && self.done * 10 >= self.filled * 7 && self.long == 0
    }

    /// Whether its cells are values of a score: halves up to 6, or whole numbers up to 6 under a short heading.
    pub(crate) fn looks_scored(&self, header: &str) -> bool {
        let scores = self.scores + self.worded_scores;
        let scores = self.filled > 1 && scores * 10 >= self.filled * 9 && !self.counts_up;
        let short = crate::text::fold(header).chars().count() <= 4;
        scores
            && !self.looks_dated()
            && (self.halves > 0 || (short && self.above_one > 0 && self.distinct > 2))
    }

    /// Whether its cells are numbers up to 20.
    pub(crate) fn is_small_numbers(&self) -> bool {
        self.small * 10 >= self.filled * 9 && !self.looks_dated() && !self.counts_up
    }

    pub(crate) fn mostly_done(&self) -> bool {
        self.filled > 1 && self.mostly(self.done) && !self.mostly(self.numbers) && !self.mostly(self.yes_no)
    }

    /// Whether its cells are a few words that come again and again.
    pub(crate) fn is_words(&self) -> bool {
        let other = [self.numbers, self.dates, self.yes_no, self.sides];
        self.filled > 4
            && self.distinct * 3 <= self.filled
            && self.long == 0
            && !other.iter().any(|&count| self.mostly(count))
    }

    pub(crate) fn mostly_yes_no(&self) -> bool {
        self.mostly(self.yes_no)
    }

    /// "dates", "numbers", "text".
    pub(crate) fn words(&self) -> &'static str {
        if self.looks_dated() {
            "dates"
        } else if self.mostly(self.numbers) {
            "numbers"
        } else {
            "text"
        }
    }
}
