//! A second score: the signs of one foot, and nothing else.

use super::{
    Reader,
    visit::{Drafted, finish, scores},
};
use pages::fields::{self, FieldError, Filled};
use record::{Day, EntryId, SecondScore, Side, Sign};

/// Reads the form of a second score of a foot.
///
/// # Errors
/// One sentence for each field that cannot be read or is out of bounds. A form without a sign, or about the
/// other foot than `side`, is refused.
pub fn second_score(
    filled: &Filled,
    side: Side,
    first: EntryId,
    on: Day,
) -> Result<SecondScore, Vec<FieldError>> {
    let mut reader = Reader::of(filled);
    if filled.given(fields::SIDE) != Some(side.word()) || filled.any_under(&format!("{}.", side.other())) {
        reader.wrong("", format!("This form is not about the {side} foot, which has the first score. Open it again from the child's page."));
    }
    let (pirani, dimeglio) = scores(&mut reader, side);
    let note = reader.text(fields::visit::NOTE);
    let body = SecondScore { first: Some(first), pirani, dimeglio, note, ..SecondScore::of(side) };
    if pirani.is_empty() && dimeglio.is_empty() && reader.errors.is_empty() {
        let field = fields::visit::sign(side, Sign::LateralBorder);
        return Err(vec![FieldError { field, text: "No sign is scored yet.".to_owned() }]);
    }
    finish(reader, Some(on), vec![Drafted::foot(side, "", body.clone())]).map(|_| body)
}
