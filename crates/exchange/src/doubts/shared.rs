//! An everyday name that a sign of the Pirani score shares with an angle of the Dimeglio score: "Équin",
//! "Spitzfuß". The columns beside it and its values say which is meant; else it is asked about.

use super::DoubtAnswers;
use crate::{
    ColumnMap, FileQuestion, Meaning, Table,
    questions::QuestionTopic,
    values::{self, Read},
};
use record::{AngleItem, Sign};

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

pub(super) fn settle(table: &Table, map: &mut ColumnMap, said: &DoubtAnswers) {
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
                column.reason =
                    format!("{}; its values and the signs beside it are of the Pirani score", column.reason);
            }
        } else if values == Values::Points || (values == Values::Small && angles == 0 && !taken) {
            ask(table, map, at, said);
        }
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

fn ask(table: &Table, map: &mut ColumnMap, at: usize, said: &DoubtAnswers) {
    let Some(column) = map.columns.get(at) else { return };
    let name = column.name().to_owned();
    let topic = QuestionTopic::Meaning(name.clone());
    if said.answered(&topic.to_string()).is_some() {
        return;
    }
    let text = format!(
        "“{name}” can be the sign of the Pirani score or the angle of the Dimeglio score. Which is it?"
    );
    let mut question = FileQuestion::new(&topic, text)
        .about(name, None)
        .choice(Meaning::Sign(Sign::RigidEquinus).key(), "rigid equinus of the Pirani score")
        .choice(Meaning::Angle(AngleItem::Equinus).key(), "equinus of the Dimeglio score")
        .choice(Meaning::Ignore.key(), "neither: leave it out")
        .blocking();
    for row in table.rows().filter(|&row| !values::is_nothing(table.cell(row, at).trimmed())) {
        question.count_row(table.row_number(row));
    }
    map.in_doubt
        .insert(at, "This can be a sign of the Pirani score or an angle of the Dimeglio score.".to_owned());
    map.questions.push(question);
}
