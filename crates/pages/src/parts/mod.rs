//! The parts that pages share.

mod attention;
mod band;
mod code_groups;
mod entry_body;
mod field;
mod labels;
mod lists;
mod paper;
mod print;
mod reasons;
mod stock_choice;
mod telephone;
mod tiles;

pub use attention::{attention_row, child_row, more_calls, question_row};
pub(crate) use band::born_words;
pub use band::{
    RESTRICTED_HINT, RESTRICTED_NAME, Twin, Who, band, feet_words, name_words, who_line, who_line_in,
};
pub use code_groups::code_groups;
pub use entry_body::{entry_body, entry_facts};
pub use field::{closed_seen, confirmation, csrf, draft, error_summary, field, hidden, query_value};
pub use labels::{field_error, field_id, label};
pub use lists::{Pager, empty, pager};
pub(crate) use paper::{paper_lines, paper_text, unescaped, who_cell, words_of};
pub use print::{pdf_link, pdf_link_in, print_button, print_button_in};
pub use reasons::{
    caution, caution_in, feet_lines, reason_list, scope_words, step_card, step_cards, step_line,
};
pub use stock_choice::{bar_choice, other_size, size_choice, take_choice};
pub use telephone::{carer_line, telephone};
pub use tiles::{Stepper, Tile, stepper, tiles, tiles_with_more};
