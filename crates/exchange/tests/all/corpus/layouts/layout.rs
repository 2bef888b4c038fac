//! One way to lay out the records of a clinic, and the file that comes of it.

use super::languages::{LANGUAGES, Language};
use crate::cells;
use crate::corpus::{
    clinic::{Clinic, Dice, Foot, Patient, Visit},
    fact::{Fact, FactKind, Place, Truth, halves},
    sheet::{Page, Put, csv, xlsx},
};
use proptest::prelude::*;
use record::{Day, Sex, Side, Sides};

/// Where the side is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideAt {
    /// A row for each foot, with a column for the side.
    Column,
    /// Columns for each foot, the side over the signs.
    OverSigns,
    /// Columns for each foot, the side under each sign.
    UnderSigns,
    /// Columns for each foot, the side within one heading.
    InHeading,
    /// Both totals in one cell.
    InCell,
}

/// What of the score the sheet has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScoreAs {
    Signs,
    SignsAndTotal,
    Total,
    /// `2.5+3=5.5`.
    Sum,
}

/// How one sign is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coding {
    Points,
    Fraction,
    /// 0, 1 and 2 for 0, 0.5 and 1.
    Codes,
    /// `0.5 - moderate`.
    Labelled,
}

/// How what was done is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ActsAs {
    /// Words, the number of the cast in a column of its own.
    Words,
    /// Words and the number of the cast in one cell.
    Numbered,
    /// A count of casts and a column for the tenotomy, which repeat the state so far.
    Status,
}

/// How a day is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayAs {
    Iso,
    Slashed,
    MonthFirst,
    Dotted,
    Real,
}

/// In which order the rows stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowOrder {
    ByDay,
    ByChild,
    Shuffled,
}

/// A layout.
#[derive(Debug, Clone)]
pub struct Layout {
    pub seed: u64,
    pub children: u32,
    pub language: usize,
    /// Picks among the words of the language.
    pub words: usize,
    pub side: SideAt,
    /// 0 in full, 1 shortened, 2 a letter.
    pub side_words: usize,
    pub score: ScoreAs,
    pub short_signs: bool,
    pub coding: Coding,
    pub acts: ActsAs,
    pub and: usize,
    pub side_first: bool,
    pub day: DayAs,
    pub order: RowOrder,
    pub title: bool,
    pub missing: Option<&'static str>,
    pub footer: usize,
    pub as_above: bool,
    /// 0 comma, 1 semicolon, 2 tab, 3 workbook.
    pub format: usize,
}

const AND: [&str; 4] = [" + ", ", ", " / ", ""];
const MISSING: [&str; 5] = ["99", "n/a", "-", "not seen", "?"];

/// Any layout.
pub fn layouts() -> impl Strategy<Value = Layout> {
    let sides = prop_oneof![
        3 => Just(SideAt::Column),
        1 => Just(SideAt::OverSigns),
        1 => Just(SideAt::UnderSigns),
        2 => Just(SideAt::InHeading),
        1 => Just(SideAt::InCell),
    ];
    let scores = prop_oneof![
        2 => Just(ScoreAs::Signs),
        1 => Just(ScoreAs::SignsAndTotal),
        2 => Just(ScoreAs::Total),
        1 => Just(ScoreAs::Sum),
    ];
    let codings = prop_oneof![
        4 => Just(Coding::Points),
        1 => Just(Coding::Fraction),
        1 => Just(Coding::Codes),
        1 => Just(Coding::Labelled),
    ];
    let acts = prop_oneof![3 => Just(ActsAs::Words), 3 => Just(ActsAs::Numbered), 1 => Just(ActsAs::Status)];
    let days = prop_oneof![
        Just(DayAs::Iso),
        Just(DayAs::Slashed),
        Just(DayAs::MonthFirst),
        Just(DayAs::Dotted),
        Just(DayAs::Real),
    ];
    let orders = prop_oneof![Just(RowOrder::ByDay), Just(RowOrder::ByChild), Just(RowOrder::Shuffled)];
    let missing = proptest::option::weighted(0.3, proptest::sample::select(MISSING.as_slice()));
    let content = (sides, 0..3_usize, scores, any::<bool>(), codings, acts, 0..AND.len(), any::<bool>());
    let frame = (days, orders, any::<bool>(), missing, 0..4_usize, proptest::bool::weighted(0.2), 0..4_usize);
    (0..10_000_u64, 2..5_u32, 0..LANGUAGES.len(), 0..6_usize, content, frame).prop_map(
        |(seed, children, language, words, content, frame)| {
            let (side, side_words, score, short_signs, coding, acts, and, side_first) = content;
            let (day, order, title, missing, footer, as_above, format) = frame;
            Layout {
                seed,
                children,
                language,
                words,
                side,
                side_words,
                score,
                short_signs,
                coding,
                acts,
                and,
                side_first,
                day,
                order,
                title,
                missing,
                footer,
                as_above,
                format,
            }
            .possible()
        },
    )
}

/// A row to be written: a visit with one foot or with all that were seen.
struct Line<'a> {
    patient: &'a Patient,
    visit: &'a Visit,
    side: Option<Side>,
}

impl Layout {
    /// The nearest layout that a person could use: one cell holds no six signs, and nobody leaves cells
    /// blank under rows that are not in order.
    fn possible(mut self) -> Self {
        if self.side == SideAt::InCell {
            self.score = ScoreAs::Total;
        }
        if self.order != RowOrder::ByChild {
            self.as_above = false;
        }
        if self.acts == ActsAs::Status && self.side != SideAt::Column {
            self.acts = ActsAs::Words;
        }
        self
    }

    /// Its habits in words, for a survey.
    pub fn habits(&self) -> Vec<String> {
        vec![
            format!("side {:?}", self.side),
            format!("score {:?}", self.score),
            format!("coding {:?}", self.coding),
            format!("acts {:?}", self.acts),
            format!("days {:?}", self.day),
            format!("rows {:?}", self.order),
            format!("missing {:?}", self.missing.unwrap_or_default()),
            format!("footer {}", self.footer),
            format!("as above {}", self.as_above),
            format!("format {}", self.format),
            format!("language {}", self.language),
            format!("short signs {}", self.short_signs),
            format!("side words {}", self.side_words),
            format!("title {}", self.title),
        ]
    }

    /// What of it differs from the plainest layout.
    pub fn unusual(&self) -> String {
        let plain = Self {
            seed: 0,
            children: 2,
            language: 0,
            words: 0,
            side: SideAt::Column,
            side_words: 0,
            score: ScoreAs::Signs,
            short_signs: false,
            coding: Coding::Points,
            acts: ActsAs::Words,
            and: 0,
            side_first: false,
            day: DayAs::Iso,
            order: RowOrder::ByDay,
            title: false,
            missing: None,
            footer: 0,
            as_above: false,
            format: 0,
        };
        let usual = plain.habits();
        self.habits().into_iter().filter(|habit| !usual.contains(habit)).collect::<Vec<_>>().join(", ")
    }

    /// The first rows of the file, for a person who looks into a failure.
    pub fn text(&self) -> String {
        let (bytes, ..) =
            Self { format: if self.format == 3 { 0 } else { self.format }, ..self.clone() }.file();
        String::from_utf8_lossy(&bytes).lines().take(14).collect::<Vec<_>>().join("\n")
    }

    fn language(&self) -> &'static Language {
        &LANGUAGES[self.language]
    }

    fn word(&self, from: &[&'static str]) -> &'static str {
        from[self.words % from.len()]
    }

    fn side_word(&self, side: Side) -> &'static str {
        self.language().sides[self.side_words][usize::from(side == Side::Left)]
    }

    /// The bytes of the file, its name, and the truth behind it.
    pub fn file(&self) -> (Vec<u8>, &'static str, Truth) {
        let clinic = self.clinic();
        let feet = clinic.patients.iter().flat_map(|patient| &patient.visits).flat_map(|v| v.feet.values());
        // Codes of which none is a 2 are points to everybody.
        if self.coding == Coding::Codes && !feet.clone().any(|foot| foot.signs.contains(&2)) {
            return Self { coding: Coding::Points, ..self.clone() }.file_of(&clinic);
        }
        self.file_of(&clinic)
    }

    fn clinic(&self) -> Clinic {
        let mut clinic =
            Clinic::new(self.seed, self.children, self.language().names, |n| format!("Z{:03}", 120 + n * 7));
        if self.acts == ActsAs::Status {
            clinic.without_relapse();
        }
        clinic
    }

    fn file_of(&self, clinic: &Clinic) -> (Vec<u8>, &'static str, Truth) {
        let (mut page, mut truth) = (Page::named("Sheet"), Truth::default());
        self.headings(&mut page);
        let mut dice = Dice::new(self.seed ^ 0x5eed);
        let mut above: Option<(String, Day)> = None;
        for line in self.lines(clinic) {
            let place = page.next();
            let row = self.row(&line, above.as_ref(), &mut dice, &mut truth, place);
            page.row(row);
            above = Some((line.patient.number.clone(), line.visit.day));
        }
        self.footer(&mut page);
        let (bytes, name) = match self.format {
            0 => (csv(&page, ',').into_bytes(), "layout.csv"),
            1 => (csv(&page, ';').into_bytes(), "layout.csv"),
            2 => (csv(&page, '\t').into_bytes(), "layout.csv"),
            _ => (xlsx(&[page]), "layout.xlsx"),
        };
        (bytes, name, truth)
    }

    fn lines<'a>(&self, clinic: &'a Clinic) -> Vec<Line<'a>> {
        let mut visits = clinic.visits();
        match self.order {
            RowOrder::ByDay => {}
            RowOrder::ByChild => visits.sort_by_key(|(patient, visit)| (patient.number.clone(), visit.day)),
            RowOrder::Shuffled => {
                let mut dice = Dice::new(self.seed);
                visits.sort_by_cached_key(|_| dice.below(1 << 30));
            }
        }
        let mut lines = Vec::new();
        for (patient, visit) in visits {
            if self.side == SideAt::Column {
                lines.extend(visit.feet.keys().map(|&side| Line { patient, visit, side: Some(side) }));
            } else {
                lines.push(Line { patient, visit, side: None });
            }
        }
        lines
    }

    /// The headings of the score of one foot.
    fn score_heads(&self) -> Vec<&'static str> {
        let language = self.language();
        let total = self.word(language.total);
        let signs = language.signs.map(|sign| sign[usize::from(self.short_signs)]);
        match self.score {
            ScoreAs::Signs => signs.to_vec(),
            ScoreAs::SignsAndTotal => signs.into_iter().chain([total]).collect(),
            ScoreAs::Total | ScoreAs::Sum => vec![total],
        }
    }

    fn headings(&self, page: &mut Page) {
        let language = self.language();
        if self.title {
            page.heads(&["2024"]);
            page.row(vec![]);
        }
        let first: Vec<String> = [language.number, language.name, language.born, language.sex, language.date]
            .map(|words| self.word(words).to_owned())
            .to_vec();
        let last = match self.acts {
            ActsAs::Words => vec![self.word(language.cast_number), self.word(language.done)],
            ActsAs::Numbered => vec![self.word(language.done)],
            ActsAs::Status => vec![self.word(language.cast_number), self.word(language.tenotomy)],
        };
        let heads = self.score_heads();
        let [right, left] = Side::BOTH.map(|side| self.side_word(side));
        let (mut over, mut under) = (vec![String::new(); 5], first.clone());
        match self.side {
            SideAt::Column => {
                under.push(self.word(language.side).to_owned());
                under.extend(heads.iter().map(|&head| head.to_owned()));
            }
            SideAt::InHeading => {
                for side in [right, left] {
                    under.extend(heads.iter().map(|head| format!("{head} {side}")));
                }
            }
            SideAt::InCell => under.push(format!("{} {right}/{left}", heads[0])),
            SideAt::OverSigns => {
                for side in [right, left] {
                    over.push(side.to_owned());
                    over.extend(vec![String::new(); heads.len() - 1]);
                    under.extend(heads.iter().map(|&head| head.to_owned()));
                }
            }
            SideAt::UnderSigns => {
                for head in &heads {
                    over.extend([(*head).to_owned(), String::new()]);
                    under.extend([right.to_owned(), left.to_owned()]);
                }
            }
        }
        under.extend(last.iter().map(|&head| head.to_owned()));
        if matches!(self.side, SideAt::OverSigns | SideAt::UnderSigns) {
            page.row(over.into_iter().map(Put::from).collect());
        }
        page.row(under.into_iter().map(Put::from).collect());
    }

    fn day(&self, day: Day) -> Put {
        let (year, month, of_month) = day.parts();
        match self.day {
            DayAs::Iso => Put::from(day.to_string()),
            DayAs::Slashed => Put::from(format!("{of_month}/{month}/{year}")),
            DayAs::MonthFirst => Put::from(format!("{month:02}/{of_month:02}/{year}")),
            DayAs::Dotted => Put::from(format!("{of_month:02}.{month:02}.{year}")),
            DayAs::Real => Put::Date(day),
        }
    }

    fn points(&self, halves_of: u32) -> String {
        halves(halves_of).replace('.', &self.language().decimal.to_string())
    }

    fn sign(&self, sign: u32) -> Put {
        match self.coding {
            Coding::Points => Put::from(self.points(sign)),
            Coding::Fraction => Put::from(["0", "½", "1"][sign as usize]),
            Coding::Codes => Put::Number(f64::from(sign)),
            Coding::Labelled => Put::from(format!(
                "{} - {}",
                self.points(sign),
                ["normal", "moderate", "severe"][sign as usize]
            )),
        }
    }

    /// The cells of the score of one foot, and what they say. One score in six has a missing cell.
    fn score(&self, foot: &Foot, dice: &mut Dice) -> (Vec<Put>, Option<(FactKind, String)>) {
        let gap = self.missing.filter(|_| dice.one_in(6));
        let total = || Put::from(self.points(foot.total()));
        let or_gap = |put: Put| gap.map_or(put, Put::from);
        let of_total = || gap.is_none().then(|| (FactKind::Total, halves(foot.total())));
        match self.score {
            ScoreAs::Total => (vec![or_gap(total())], of_total()),
            ScoreAs::Sum => {
                let parts = [foot.midfoot(), foot.hindfoot(), foot.total()].map(|part| self.points(part));
                (vec![or_gap(Put::from(format!("{}+{}={}", parts[0], parts[1], parts[2])))], of_total())
            }
            ScoreAs::Signs | ScoreAs::SignsAndTotal => {
                let at = dice.below(6) as usize;
                let mut cells = foot.signs.map(|sign| self.sign(sign)).to_vec();
                let mut told = foot.signs.map(halves);
                if let Some(gap) = gap {
                    cells[at] = Put::from(gap);
                    "-".clone_into(&mut told[at]);
                }
                if self.score == ScoreAs::SignsAndTotal {
                    cells.push(if gap.is_some() { Put::Blank } else { total() });
                }
                (cells, Some((FactKind::Signs, told.join(" "))))
            }
        }
    }

    fn row(
        &self,
        line: &Line<'_>,
        above: Option<&(String, Day)>,
        dice: &mut Dice,
        truth: &mut Truth,
        place: Place,
    ) -> Vec<Put> {
        let &Line { patient, visit, side } = line;
        let language = self.language();
        let same_child = self.as_above && above.is_some_and(|(number, _)| *number == patient.number);
        let same_day = same_child && above.is_some_and(|(_, day)| *day == visit.day);
        let mut row = cells![
            patient.number.as_str(),
            patient.name(),
            self.day(patient.born),
            if patient.sex == Sex::Female { language.girl } else { language.boy },
            self.day(visit.day),
        ];
        if same_child {
            row[..4].fill(Put::Blank);
        } else {
            patient.tell(truth, place);
        }
        if same_day {
            row[4] = Put::Blank;
        }
        let feet: Vec<Side> = side.map_or(visit.feet.keys().copied().collect(), |side| vec![side]);
        let mut scores = Vec::new();
        for side in Side::BOTH.into_iter().filter(|side| feet.contains(side)) {
            let (cells, told) = self.score(&visit.feet[&side], dice);
            if let Some((kind, value)) = told {
                truth.put(Fact::of_foot(kind, &patient.number, side, visit.day), value, place);
            }
            scores.push((side, cells));
        }
        row.extend(self.score_cells(side, &scores));
        row.extend(self.acts(line));
        let kinds = [FactKind::Cast, FactKind::Tenotomy, FactKind::Relapse];
        for side in feet {
            patient.tell_foot(truth, place, visit, side, &kinds);
        }
        if self.acts != ActsAs::Status {
            patient.tell_brace(truth, place, visit);
        }
        row
    }

    fn score_cells(&self, side: Option<Side>, scores: &[(Side, Vec<Put>)]) -> Vec<Put> {
        if let (Some(side), Some((_, cells))) = (side, scores.first()) {
            return [Put::from(self.side_word(side))].into_iter().chain(cells.iter().cloned()).collect();
        }
        let width = self.score_heads().len();
        let of = |side| {
            let found = scores.iter().find(|(of, _)| *of == side);
            found.map_or_else(|| vec![Put::Blank; width], |(_, cells)| cells.clone())
        };
        let (right, left) = (of(Side::Right), of(Side::Left));
        let text = |cells: &[Put]| match cells.first() {
            Some(Put::Text(text)) => text.clone(),
            _ => "-".to_owned(),
        };
        match self.side {
            SideAt::InCell => vec![Put::from(format!("{}/{}", text(&right), text(&left)))],
            SideAt::UnderSigns => {
                right.into_iter().zip(left).flat_map(|(right, left)| [right, left]).collect()
            }
            _ => right.into_iter().chain(left).collect(),
        }
    }

    fn acts(&self, line: &Line<'_>) -> Vec<Put> {
        let &Line { patient, visit, side } = line;
        let language = self.language();
        if self.acts == ActsAs::Status {
            let side = side.unwrap_or(Side::Right);
            let so_far: Vec<_> =
                patient.visits.iter().filter(|v| v.day <= visit.day).filter_map(|v| v.foot(side)).collect();
            let cut = so_far.iter().any(|foot| foot.tenotomy);
            return cells![
                so_far.iter().filter_map(|foot| foot.cast).max(),
                if cut { language.yes } else { language.no }
            ];
        }
        let of_side = |of: &dyn Fn(&Foot) -> bool| match side {
            Some(side) => visit.foot(side).filter(|foot| of(foot)).map(|_| Sides::from(side)),
            None => visit.sides(of),
        };
        let casts = of_side(&|foot| foot.cast.is_some());
        let of_cast = |side: &Side| visit.foot(*side).and_then(|foot| foot.cast);
        let number = casts.and_then(|sides| sides.each().iter().find_map(of_cast));
        let mut acts = Vec::new();
        acts.extend(of_side(&|foot| foot.relapse).map(|sides| self.act(language.relapse, sides, side)));
        acts.extend(
            of_side(&|foot| foot.tenotomy).map(|sides| self.act(self.word(language.cut), sides, side)),
        );
        acts.extend(casts.map(|sides| {
            let word = self.act(self.word(language.cast), sides, side);
            let number = number.filter(|_| self.acts == ActsAs::Numbered);
            number.map_or_else(|| word.clone(), |number| format!("{word} {number}"))
        }));
        if acts.is_empty() {
            acts.push(if visit.brace { language.brace } else { language.review }.to_owned());
        }
        let and = if AND[self.and].is_empty() { language.and } else { AND[self.and] };
        let words = Put::from(acts.join(and));
        if self.acts == ActsAs::Words { vec![number.into(), words] } else { vec![words] }
    }

    /// An act, with its side where the row is about the whole child.
    fn act(&self, word: &str, sides: Sides, row: Option<Side>) -> String {
        if row.is_some() {
            return word.to_owned();
        }
        let at = match sides {
            Sides::Right => 0,
            Sides::Left => 1,
            Sides::Both => 2,
        };
        let side = self.language().sides[self.side_words][at];
        if self.side_first { format!("{side} {word}") } else { format!("{word} {side}") }
    }

    fn footer(&self, page: &mut Page) {
        let [total, mean, by] = self.language().footer;
        match self.footer {
            0 => {}
            1 => drop(page.row(cells![total, page.rows.len().to_string()])),
            2 => {
                page.row(vec![]);
                page.row(cells![mean, "", "", "", "", "", "2.5"]);
            }
            _ => drop(page.row(cells![format!("{by}, 12/05/2025")])),
        }
    }
}
