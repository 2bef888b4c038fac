//! An everyday name that a sign of the Pirani score shares with an angle of the Dimeglio score: "Équin",
//! "Spitzfuß". The other columns and its values say which is meant; else it is asked about.

use super::DoubtAnswers;
use crate::{
    Column, ColumnMap, FileQuestion, Meaning, Table,
    questions::QuestionTopic,
    values::{self, Read},
};
use record::{AngleItem, Sign};
use std::collections::BTreeSet;

/// What the values of a column can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Values {
    /// 0, 0.5 and 1, with a half: no angle is written so.
    Points,
    /// Numbers up to 4 without a half: a sign, points of an angle, or degrees.
    Small,
    /// Above 4: degrees.
    Degrees,
    None,
}

/// The id of the question about several such columns.
const EQUINUS: &str = "equinus";

pub(super) fn settle(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
    let mut open = Vec::new();
    for at in 0..map.columns.len() {
        let Some(column) = map.columns.get(at) else { continue };
        let settled = column.confidence == 100 && column.reason == "the map file says so";
        if column.meaning != Some(Meaning::Angle(AngleItem::Equinus)) || settled || says_score(&column.header)
        {
            continue;
        }
        let place = (column.side, column.visit);
        let beside = |test: &dyn Fn(Meaning) -> bool| {
            let of_place = map.columns.iter().filter(|c| c.index != at && (c.side, c.visit) == place);
            of_place.filter(|c| c.meaning.is_some_and(test)).count()
        };
        let signs = beside(&|meaning| matches!(meaning, Meaning::Sign(_)));
        let taken = beside(&|meaning| meaning == Meaning::Sign(Sign::RigidEquinus)) > 0;
        let angles = beside(&|meaning| matches!(meaning, Meaning::Angle(_) | Meaning::DimeglioSign(_)));
        let values = values_of(table, map, at);
        let sign =
            !taken && (values == Values::Points || (values != Values::Degrees && signs >= 4 && angles == 0));
        if sign {
            if let Some(column) = map.columns.get_mut(at) {
                column.meaning = Some(Meaning::Sign(Sign::RigidEquinus));
                column.reason = format!(
                    "{}; its values and the signs in the other columns are of the Pirani score",
                    column.reason
                );
            }
        } else if values == Values::Points || (values == Values::Small && angles == 0 && !taken) {
            open.push(at);
        }
    }
    let answer =
        said.answered(EQUINUS).and_then(Meaning::from_key).filter(|meaning| MEANINGS.contains(meaning));
    match answer {
        Some(meaning) => {
            open.iter().for_each(|&at| give(map, at, meaning));
            map.settle_doubles();
        }
        None => ask(table, map, &open, said),
    }
}

/// What such a name may mean.
const MEANINGS: [Meaning; 3] =
    [Meaning::Sign(Sign::RigidEquinus), Meaning::Angle(AngleItem::Equinus), Meaning::Ignore];

fn give(map: &mut ColumnMap, at: usize, meaning: Meaning) {
    if let Some(column) = map.columns.get_mut(at) {
        (column.meaning, column.confidence) = (Some(meaning), 100);
        "an answer says so".clone_into(&mut column.reason);
    }
}

/// "Dimeglio equinus", "equinus angle", "Equinus °" name what they are.
fn says_score(header: &str) -> bool {
    let words = crate::text::tokens(header);
    let known = ["dimeglio", "angle", "angulo", "winkel", "deg", "degrees", "deviation", "grad", "grados"];
    header.contains('°') || words.iter().any(|word| known.contains(&word.as_str()))
}

fn values_of(table: &Table, map: &ColumnMap, at: usize) -> Values {
    let (mut half, mut most, mut any) = (false, 0.0_f64, false);
    for row in table.rows() {
        if let Read::Value(value) = values::number(map.rules.cell(table, row, at).trimmed()) {
            any = true;
            half |= (value - 0.5).abs() < 1e-9;
            most = most.max(value.abs());
        }
    }
    match (any, half) {
        (false, _) => Values::None,
        (true, true) if most <= 1.0 => Values::Points,
        _ if most <= 4.0 => Values::Small,
        _ => Values::Degrees,
    }
}

/// Asks about the columns: about one by its name, about several at once.
fn ask(table: &Table, map: &mut ColumnMap, open: &[usize], said: &DoubtAnswers) {
    let columns = || open.iter().filter_map(|&at| map.columns.get(at));
    let families: BTreeSet<String> = columns().map(Column::name_of_any_visit).collect();
    let names: Vec<&str> = columns().map(Column::name).collect();
    let topic = match families.first() {
        Some(name) if families.len() == 1 => QuestionTopic::Meaning(name.clone()),
        Some(_) => QuestionTopic::Other(EQUINUS.to_owned()),
        None => return,
    };
    if said.answered(&topic.to_string()).is_some() {
        return;
    }
    let names = names.join(", ");
    let text = format!(
        "“{names}” can be the sign of the Pirani score or the angle of the Dimeglio score. Which is it?"
    );
    let words =
        ["rigid equinus of the Pirani score", "equinus of the Dimeglio score", "neither: leave it out"];
    let question = FileQuestion::new(&topic, text).about(names, None).blocking();
    let mut question = MEANINGS
        .iter()
        .zip(words)
        .fold(question, |question, (meaning, words)| question.choice(meaning.key(), words));
    for &at in open {
        for row in table.rows().filter(|&row| !values::is_nothing(table.cell(row, at).trimmed())) {
            question.count_row(table.row_number(row));
        }
        let why = "This can be a sign of the Pirani score or an angle of the Dimeglio score.";
        map.in_doubt.insert(at, why.to_owned());
    }
    map.questions.push(question);
}
