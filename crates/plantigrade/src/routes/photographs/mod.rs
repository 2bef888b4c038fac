//! Photographs of a child: the page, the consent, what is sent, and the pictures themselves.

mod changes;
mod doubts;
mod length;
mod letter;
mod measure;
mod names;
mod overview;
mod pair;
pub(super) mod parts;
mod pictures;
pub(super) mod sending;
mod shown;
mod tapping;

pub use length::{form as length_form, save as length};
pub use letter::{
    form as letter_form, letter as letter_with_photographs, pdf as letter_pdf, save as save_letter,
    whole_pdf as whole_letter_pdf,
};
pub use measure::{form as measure_form, save as measure};
pub use names::{form as names_form, save as save_names};
pub use overview::{answer, page};
pub use pair::page as pair;
pub use parts::{arrived, finish, take};
pub use pictures::{kept as kept_picture, part as picture_part, waiting as waiting_picture};
pub use sending::send;
pub(super) use shown::{angles_of, consent_words, lengths_of, strip};
