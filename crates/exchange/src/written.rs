//! How cells are written to delimited text: quoted, and so that no spreadsheet program runs them.

/// One row of CSV, every line ended as spreadsheet programs expect.
pub fn push_row<'a>(out: &mut String, cells: impl Iterator<Item = &'a str>) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            out.push(',');
        }
        if cell.contains([',', '"', '\n', '\r', ';', '\t', '|']) {
            out.push('"');
            out.push_str(&cell.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(cell);
        }
    }
    out.push_str("\r\n");
}

/// A text that begins like a formula gets an apostrophe, which the importer takes off again. A number stays one: -5 is
/// no formula.
#[must_use]
pub fn guarded(text: String) -> String {
    if begins_like_formula(&text) && text.trim().parse::<f64>().is_err() { format!("'{text}") } else { text }
}

/// Without the apostrophe that guards a text which begins like a formula.
pub(crate) fn unguarded(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| begins_like_formula(rest)).unwrap_or(text)
}

/// Whether a spreadsheet program could take a text for a formula: its first character that is seen is one with which
/// formulas begin, also in the wide form of East Asian keyboards, or the text begins with a character that moves to
/// another cell. A text that begins with an apostrophe counts too, so that its own is not taken for the guard.
fn begins_like_formula(text: &str) -> bool {
    let moves = text.starts_with(['\t', '\r', '\n']);
    let skipped = |char: char| char.is_whitespace() || char.is_control() || record::is_invisible(char);
    moves || text.trim_start_matches(skipped).starts_with(FORMULA_BEGINNINGS)
}

/// Equals, plus, minus and at, as they are, in full width and small; the minus sign; and the apostrophe.
const FORMULA_BEGINNINGS: [char; 14] = [
    '=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}', '\u{fe66}', '\u{fe62}', '\u{fe63}',
    '\u{fe6b}', '\u{2212}', '\'',
];
