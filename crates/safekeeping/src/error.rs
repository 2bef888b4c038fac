//! What can be wrong with a key, in words for the person who unlocks.

/// Why a key could not be unlocked, read or used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SafekeepingError {
    /// No slot of this kind opens with it.
    #[error("This passphrase does not open these records.")]
    WrongPassphrase,
    /// The same for a recovery code.
    #[error(
        "This recovery code was typed without an error, but it does not open these records. It may be the code of another clinic, or of an earlier sheet."
    )]
    WrongCode,
    /// The same for a key file.
    #[error("This key file does not open these records. It may belong to another clinic.")]
    WrongKeyFile,
    /// There is no slot of that kind.
    #[error("These records have no {0}.")]
    NoSlot(&'static str),
    /// A character that no code has.
    #[error("“{0}” is in no code. A code has the letters a to z without l and o, and the digits 2 to 9.")]
    NotInCode(char),
    /// A group does not fit its check letter.
    #[error("There is a typing error in group {0} of the code.")]
    CodeGroup(usize),
    /// Too short or too long.
    #[error("A code has {expected} groups of five letters; there are {letters} letters here.")]
    CodeLength {
        /// Groups of a whole code.
        expected: usize,
        /// Letters that were typed.
        letters: usize,
    },
    /// Halves of different codes, or the same half twice.
    #[error("{0}")]
    Halves(&'static str),
    /// The text is no key file.
    #[error("This file is no key file: its first line must begin with “{0}”.")]
    NotKeyFile(&'static str),
    /// The list of slots cannot be read.
    #[error("The file {file} cannot be read: {why}. Put back the copy from a backup; every backup has one.")]
    Slots {
        /// Its name.
        file: &'static str,
        /// What is wrong.
        why: String,
    },
    /// Slots made by a later program.
    #[error("The file {0} was written by a newer version of this program.")]
    NewerSlots(&'static str),
    /// A sealed file that was changed, moved or made with another key.
    #[error("The file was changed, belongs in another place, or was encrypted with another key.")]
    NotGenuine,
    /// No memory or no random numbers.
    #[error("The computer could not do the computation: {0}.")]
    Failed(String),
}
