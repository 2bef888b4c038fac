//! What is written of one foot at one visit.

use super::{Reader, Refusal, RowRead, RowVisit, answers::ScorePair};
use crate::{
    ColumnMap, ImportReason, Meaning, Remark, Table,
    lists::DONE_LISTS,
    sided_scores::SidedScores,
    sides::{self, SideCell},
    table::Cell,
    text::{fold, tokens},
    values::{self, Read},
};
use record::{Angle, Assessment, CastMaterial, HalfPoint, Halves, Side, SubScore};
use std::collections::BTreeSet;

/// The values of one foot.
#[derive(Debug, Clone)]
pub(crate) struct FootValues {
    pub(crate) assessment: Assessment,
    pub(crate) cast_number: Option<u8>,
    pub(crate) material: Option<CastMaterial>,
    pub(crate) tenotomy: bool,
    pub(crate) relapse: bool,
    midfoot: Option<(Halves, usize)>,
    hindfoot: Option<(Halves, usize)>,
}

impl FootValues {
    /// Whether everything measured is zero, as of a foot that is not affected.
    pub(super) fn is_all_zero(&self) -> bool {
        let signs = record::Sign::ALL.iter().filter_map(|&sign| self.assessment.pirani.sign(sign));
        let plain = signs.into_iter().all(|point| point == HalfPoint::Zero);
        let total = self.assessment.stated_total.is_none_or(|total| total == Halves(0));
        plain && total && self.cast_number.is_none() && !self.tenotomy && self.assessment.dimeglio.is_empty()
    }

    fn add_note(&mut self, text: &str) {
        let note = self.assessment.note.get_or_insert_default();
        if !note.is_empty() {
            note.push_str("; ");
        }
        note.push_str(text);
    }
}

/// Angle columns in which every value is 0, 1, 2, 3 or 4: points, not degrees.
pub(super) fn columns_of_points(table: &Table, map: &ColumnMap) -> BTreeSet<usize> {
    let angles = map.columns.iter().filter(|column| matches!(column.meaning, Some(Meaning::Angle(_))));
    let points = |column: &&crate::Column| {
        let said = tokens(&column.header);
        if said.iter().any(|word| matches!(word.as_str(), "deg" | "degrees" | "degree"))
            || column.header.contains('°')
            || map.rules.degrees.contains(&column.index)
        {
            return false;
        }
        table.rows().all(|row| match values::number(map.rules.cell(table, row, column.index).trimmed()) {
            Read::Value(value) => (0.0..=4.0).contains(&value) && value.fract() == 0.0,
            _ => true,
        })
    };
    angles.filter(points).map(|column| column.index).collect()
}

impl Reader<'_> {
    /// The values of one foot, or everything that speaks against them.
    pub(super) fn foot(
        &self,
        visit: &RowVisit<'_>,
        side: Side,
        out: &mut RowRead,
    ) -> Result<FootValues, Vec<Remark>> {
        let mut foot = FootValues {
            assessment: Assessment::of(side),
            cast_number: None,
            material: None,
            tenotomy: false,
            relapse: false,
            midfoot: None,
            hindfoot: None,
        };
        let takes_shared = visit.named.is_empty() || visit.named.contains(&side);
        let (mut totals, mut refused) = (Vec::new(), Vec::new());
        for &(of, meaning, at) in &visit.columns.foot {
            let mine = of == Some(side) || (of.is_none() && takes_shared);
            // One of two scores is of its foot, whichever foot the row names.
            let part = if of.is_none() { self.score_of_foot(visit, at, side) } else { None };
            let text = part.unwrap_or_else(|| self.text(visit.row, Some(at)));
            if !(mine || part.is_some()) || text.is_empty() {
                continue;
            }
            match meaning {
                meaning if meaning.is_sum() => totals.push((meaning, at, part)),
                _ => {
                    let read = self.value(visit.row, meaning, at, &mut foot, out);
                    refused.extend(read.err().map(|refusal| *refusal));
                }
            }
        }
        for (meaning, at, part) in totals {
            let read = self.total((visit.row, meaning, at), part, &mut foot, out);
            refused.extend(read.err().map(|refusal| *refusal));
        }
        if !refused.is_empty() {
            return Err(refused);
        }
        self.judge(visit.row, &mut foot, out);
        Ok(foot)
    }

    fn value(
        &self,
        row: usize,
        meaning: Meaning,
        at: usize,
        foot: &mut FootValues,
        out: &mut RowRead,
    ) -> Result<(), Refusal> {
        let cell = self.cell(row, at);
        let text = cell.trimmed();
        let refuse = |why: &str| Err(self.refuse(ImportReason::ImpossibleScore, at, cell, why.to_owned()));
        match meaning {
            Meaning::Sign(sign) => match values::half_point(text) {
                Read::Value(point) => foot.assessment.pirani.set(sign, Some(point)),
                Read::Nothing => {}
                Read::Unreadable => return refuse("A sign is 0, 0.5 or 1."),
            },
            Meaning::ScoreNote => foot.add_note(self.text(row, Some(at))),
            Meaning::Angle(item) => match values::whole(text) {
                Read::Value(value) if self.points.contains(&at) || says_points(text) => {
                    foot.assessment.dimeglio.set_angle(item, Some(Angle::Points(value.clamp(0, 4) as u8)));
                }
                Read::Value(value) if (-180..=180).contains(&value) => {
                    foot.assessment.dimeglio.set_angle(item, Some(Angle::Deg(value as i16)));
                }
                Read::Nothing => {}
                _ => return refuse("An angle in whole degrees, or 0 to 4 points, is expected."),
            },
            Meaning::DimeglioSign(sign) => match values::yes_no(text) {
                Read::Value(present) => foot.assessment.dimeglio.set_sign(sign, Some(present)),
                Read::Nothing => {}
                Read::Unreadable => return refuse("This sign is there (1) or not (0)."),
            },
            Meaning::Walking(item) => match values::whole(text) {
                Read::Value(points @ 0..=3) => foot.assessment.walking.set(item, Some(points as u8)),
                Read::Nothing => {}
                _ => return refuse("Each item at walking age is 0, 1, 2 or 3."),
            },
            _ => self.measure(row, meaning, at, foot, out),
        }
        Ok(())
    }

    /// Values that are kept as words where they cannot be read.
    fn measure(&self, row: usize, meaning: Meaning, at: usize, foot: &mut FootValues, out: &mut RowRead) {
        let cell = self.cell(row, at);
        let text = cell.trimmed();
        let degrees = |text: &str| match values::whole(text) {
            Read::Value(value) => i16::try_from(value).ok(),
            _ => None,
        };
        let read = match meaning {
            Meaning::Abduction => degrees(text).map(|deg| foot.assessment.abduction_deg = Some(deg)),
            Meaning::Dorsiflexion => degrees(text).map(|deg| foot.assessment.dorsiflexion_deg = Some(deg)),
            Meaning::FootLength => length_mm(text).map(|mm| foot.assessment.foot_length_mm = Some(mm)),
            Meaning::CastNumber => cast_number(text).map(|number| foot.cast_number = number),
            Meaning::CastMaterial => material(text).map(|material| foot.material = Some(material)),
            Meaning::Tenotomy => tenotomy(text, foot.assessment.side).map(|done| foot.tenotomy = done),
            Meaning::Relapse => tenotomy(text, foot.assessment.side).map(|seen| foot.relapse = seen),
            _ => Some(()),
        };
        if read.is_none() {
            let why = format!("This cannot be read as {}; it is kept as a note.", meaning.words());
            out.questions.push(self.remark(ImportReason::UnreadableValue, at, cell, why));
            foot.add_note(&format!("{}: {text}", self.column_name(at)));
        }
    }

    /// Reads a total; `part` is what is of this foot where the cell holds more.
    fn total(
        &self,
        (row, meaning, at): (usize, Meaning, usize),
        part: Option<&str>,
        foot: &mut FootValues,
        out: &mut RowRead,
    ) -> Result<(), Refusal> {
        let cell = self.cell(row, at);
        let text = part.unwrap_or(cell.trimmed());
        let refuse = |why: &str| Err(self.refuse(ImportReason::ImpossibleScore, at, cell, why.to_owned()));
        if part.is_none() && SidedScores::is_written(text) {
            return Err(self.foot_of_score(at, cell));
        }
        if meaning == Meaning::DimeglioTotal {
            return match values::whole(text) {
                Read::Value(total @ 0..=20) => {
                    foot.assessment.stated_dimeglio_total = Some(total as u8);
                    Ok(())
                }
                _ => refuse("A Dimeglio total is a whole number from 0 to 20."),
            };
        }
        let signs = foot.assessment.pirani;
        let (most, sum) = match meaning {
            Meaning::Midfoot => (3.0, signs.midfoot()),
            Meaning::Hindfoot => (3.0, signs.hindfoot()),
            _ => (6.0, signs.total()),
        };
        let out_of = if most < 4.0 { 3 } else { 6 };
        if meaning == Meaning::Total && values::has_two_scores(text) {
            return self.total_in_parts(row, at, foot, out);
        }
        match (values::halves(values::without_out_of(text, out_of), most), meaning) {
            (Read::Value(value), Meaning::Midfoot) => foot.midfoot = Some((value, at)),
            (Read::Value(value), Meaning::Hindfoot) => foot.hindfoot = Some((value, at)),
            (Read::Value(value), _) => {
                foot.assessment.stated_total = Some(value);
                if let Some(sum) = sum.filter(|&sum| sum != value) {
                    let text = format!("The total written is {value}, the six signs add up to {sum}.");
                    out.questions.push(self.remark(ImportReason::TotalDisagrees, at, cell, text));
                }
            }
            (Read::Nothing, _) => {}
            // With all its signs there, such a total cannot mislead: it is asked about, not refused.
            (Read::Unreadable, _) if let Some(sum) = sum => {
                let why = format!(
                    "The total written is no score; the signs add up to {sum}. The signs are taken, and the total is kept as a note."
                );
                out.questions.push(self.remark(ImportReason::TotalDisagrees, at, cell, why));
                foot.add_note(&format!("{}: {text}", self.column_name(at)));
            }
            (Read::Unreadable, _) if most < 4.0 => {
                return refuse("A sub-score is 0 to 3 in steps of a half.");
            }
            (Read::Unreadable, _) => return refuse("A total is 0 to 6 in steps of a half."),
        }
        Ok(())
    }

    /// Why scores that name their foot in the cell are not read.
    fn foot_of_score(&self, at: usize, cell: Cell<'_>) -> Refusal {
        self.foot_in_doubt(at, cell).unwrap_or_else(|| {
            let why = "The cell names a foot that the row does not.";
            self.refuse(ImportReason::UnknownSide, at, cell, why)
        })
    }

    /// The question which foot a word next to a score means, where nothing settles it.
    pub(super) fn foot_in_doubt(&self, at: usize, cell: Cell<'_>) -> Option<Refusal> {
        let word = SidedScores::word_in_doubt(cell.trimmed(), &self.cell_sides)?;
        let why = "The cell names the foot of each score, and which foot is meant is not certain.";
        let refusal = self.refuse(ImportReason::UnknownSide, at, cell, why);
        Some(Box::new(self.ask_about_foot_word(&word, at, *refusal)))
    }

    /// A total whose cell has its two parts as well, or two scores of which nothing says what they are.
    fn total_in_parts(
        &self,
        row: usize,
        at: usize,
        foot: &mut FootValues,
        out: &mut RowRead,
    ) -> Result<(), Refusal> {
        let cell = self.cell(row, at);
        if let Some(pair) = values::score_pair(cell.trimmed()) {
            return self.pair_of_scores(row, at, pair, foot);
        }
        let Some(sum) = values::score_sum(cell.trimmed()) else { return Ok(()) };
        if let Some(stated) = sum.stated.filter(|&stated| stated != sum.sum()) {
            let why = format!("The parts add up to {}, and {stated} is written.", sum.sum());
            return Err(self.refuse(ImportReason::TotalDisagrees, at, cell, why));
        }
        foot.assessment.stated_total = Some(sum.sum());
        foot.add_note(&format!("{}: {}", self.column_name(at), cell.trimmed()));
        if let Some(total) = foot.assessment.pirani.total().filter(|&total| total != sum.sum()) {
            let text = format!("The total written is {}, the six signs add up to {total}.", sum.sum());
            out.questions.push(self.remark(ImportReason::TotalDisagrees, at, cell, text));
        }
        Ok(())
    }

    /// Two scores of one cell, as an answer has settled what they are.
    fn pair_of_scores(
        &self,
        row: usize,
        at: usize,
        [first, second]: [Halves; 2],
        foot: &mut FootValues,
    ) -> Result<(), Refusal> {
        let cell = self.cell(row, at);
        let most = Halves(6);
        match self.pairs.get(&at) {
            Some(ScorePair::Parts) if first <= most && second <= most => {
                foot.assessment.stated_total = Some(Halves(first.0.saturating_add(second.0)));
            }
            Some(ScorePair::LeftOut) => {}
            _ => {
                let why = "These are two scores, and nothing says whether they are those of midfoot and hindfoot or of the two feet.";
                let remark = self.remark(ImportReason::ImpossibleScore, at, cell, why);
                return Err(Box::new(self.ask_about_pair(at, remark)));
            }
        }
        foot.add_note(&format!("{}: {}", self.column_name(at), cell.trimmed()));
        Ok(())
    }

    /// What is to be asked about the values together.
    fn judge(&self, row: usize, foot: &mut FootValues, out: &mut RowRead) {
        let pirani = foot.assessment.pirani;
        let missing: Vec<&str> = pirani.missing().map(record::Sign::name).collect();
        if !pirani.is_empty() && !missing.is_empty() {
            let text = format!(
                "Not every sign is there: {} missing. The others are imported; no missing sign is taken as zero.",
                missing.join(", ")
            );
            let at = self.column_of_missing(foot.assessment.side, &pirani);
            out.questions.push(Remark { column: at, ..Remark::on_row(ImportReason::IncompleteScore, text) });
        }
        if let (Some(stated), Some(sum)) =
            (foot.assessment.stated_dimeglio_total, foot.assessment.dimeglio.total())
            && stated != sum
        {
            let text = format!("The Dimeglio total written is {stated}, its items add up to {sum}.");
            let value = Some(stated.to_string());
            out.questions.push(Remark { value, ..Remark::on_row(ImportReason::TotalDisagrees, text) });
        }
        for (part, written, sum) in [
            (SubScore::Midfoot, foot.midfoot, pirani.midfoot()),
            (SubScore::Hindfoot, foot.hindfoot, pirani.hindfoot()),
        ] {
            let Some((written, at)) = written else { continue };
            let disagrees = sum.is_some_and(|sum| sum != written);
            if disagrees {
                let text = format!(
                    "The {} written is {written}, its signs add up otherwise.",
                    part.name().to_lowercase()
                );
                out.questions.push(self.remark(
                    ImportReason::SubScoreDisagrees,
                    at,
                    self.cell(row, at),
                    text,
                ));
            }
            if disagrees || sum.is_none() {
                foot.add_note(&format!("{} as written: {written}", part.name()));
            }
        }
        if let (Some((mid, _)), Some((hind, _)), true, None) =
            (foot.midfoot, foot.hindfoot, pirani.is_empty(), foot.assessment.stated_total)
        {
            foot.assessment.stated_total = Some(Halves(mid.0.saturating_add(hind.0)));
        } else if let (Some(total), Some((mid, at)), Some((hind, _)), true) =
            (foot.assessment.stated_total, foot.midfoot, foot.hindfoot, pirani.is_empty())
            && total.0 != mid.0.saturating_add(hind.0)
        {
            let text = format!("The total written is {total}, the two sub-scores are {mid} and {hind}.");
            out.questions.push(self.remark(ImportReason::TotalDisagrees, at, self.cell(row, at), text));
        }
    }

    fn column_of_missing(&self, side: Side, pirani: &record::Pirani) -> Option<String> {
        let sign = pirani.missing().next()?;
        let column = self.map.columns.iter().find(|column| {
            column.meaning == Some(Meaning::Sign(sign)) && column.side.is_none_or(|of| of == side)
        })?;
        Some(self.column_name(column.index))
    }
}

fn says_points(text: &str) -> bool {
    let lower = text.trim_end().to_lowercase();
    ["point", "points", "pt", "pts"].iter().any(|unit| lower.ends_with(unit))
}

/// Millimetres; a number below 30 is centimetres, since no foot is 30 mm long.
fn length_mm(text: &str) -> Option<u16> {
    let Read::Value(value) = values::number(text) else { return None };
    let mm = if (3.0..30.0).contains(&value) { value * 10.0 } else { value };
    ((mm - mm.round()).abs() < 1e-6 && (0.0..=60_000.0).contains(&mm)).then(|| mm.round() as u16)
}

/// "4", "POP 4", "4th"; `Some(None)` where the cell says that there was none.
fn cast_number(text: &str) -> Option<Option<u8>> {
    if let Read::Value(value) = values::whole(text) {
        return if value == 0 { Some(None) } else { u8::try_from(value).ok().map(Some) };
    }
    let words = tokens(text);
    let numbers: Vec<&String> =
        words.iter().filter(|word| word.bytes().all(|b| b.is_ascii_digit())).collect();
    let known = words.iter().all(|word| DONE_LISTS.around_cast_number.has(word) || numbers.contains(&word));
    match numbers[..] {
        [number] if known && !text.contains(['/', '.', ',', '-']) => number.parse().ok().map(Some),
        _ => None,
    }
}

fn material(text: &str) -> Option<CastMaterial> {
    let (words, folded) = (&DONE_LISTS.material, fold(text));
    let lists = [
        (&words.plaster, CastMaterial::Plaster),
        (&words.semirigid, CastMaterial::Semirigid),
        (&words.other, CastMaterial::Other),
    ];
    lists.into_iter().find(|(words, _)| words.has(&folded)).map(|(_, material)| material)
}

/// Yes, no, or the foot on which it was done.
fn tenotomy(text: &str, side: Side) -> Option<bool> {
    match (values::yes_no(text), sides::read(text)) {
        (Read::Value(done), _) => Some(done),
        (_, SideCell::Known(sides)) => Some(sides.each().contains(&side)),
        (_, SideCell::Letter('r')) => Some(side == Side::Right),
        (_, SideCell::Letter('l')) => Some(side == Side::Left),
        _ => None,
    }
}
