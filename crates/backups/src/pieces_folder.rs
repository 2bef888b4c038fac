//! The name of the folder of pieces beside the backups of a clinic.

use crate::beside_list::list_name;
use safekeeping::RecordsKey;

/// The end of the name of a folder of pieces.
pub const PIECES_END: &str = ".pictures";

/// The name of the folder of pieces of a clinic, for backups with this key.
#[must_use]
pub fn pieces_folder_name(clinic: &str, key: &RecordsKey) -> String {
    list_name(clinic, key, PIECES_END)
}
