//! The hash chain of each site.
//!
//! For an entry with wire bytes `w` and a random salt `s`: `content = blake3(s ‖ w)` and
//! `hash = blake3(previous hash ‖ id ‖ child ‖ content)`, the first one following a hash of the site's
//! id. The salt goes with the body when an entry is erased, so that what remains cannot be used to
//! test guesses at what was erased, and the chain still closes over it.

use record::{ChildId, EntryId, SiteId, Timestamp, UserId};

pub(crate) type Hash = [u8; 32];
pub(crate) type Salt = [u8; 16];

/// What the first entry of a site follows.
pub(crate) fn beginning(site: SiteId) -> Hash {
    hash(&[b"chain of entries", site.uuid().as_bytes()])
}

/// What the first erasure follows.
pub(crate) fn beginning_of_erasures() -> Hash {
    hash(&[b"chain of erasures"])
}

pub(crate) fn content(salt: &[u8], wire: &str) -> Hash {
    // Most entries are short: hashed in one piece from the stack they cost half.
    let (from, length) = (salt.len(), salt.len() + wire.len());
    let mut piece = [0; 1_024];
    if let Some(filled) = piece.get_mut(..length) {
        let (before, after) = filled.split_at_mut(from);
        before.copy_from_slice(salt);
        after.copy_from_slice(wire.as_bytes());
        return *blake3::hash(filled).as_bytes();
    }
    hash(&[salt, wire.as_bytes()])
}

pub(crate) fn link(previous: &Hash, id: EntryId, child: ChildId, content: &Hash) -> Hash {
    hash(&[previous, id.uuid().as_bytes(), child.uuid().as_bytes(), content])
}

pub(crate) fn erasure_link(previous: &Hash, id: EntryId, by: UserId, at: Timestamp, reason: &str) -> Hash {
    hash(&[
        previous,
        id.uuid().as_bytes(),
        by.uuid().as_bytes(),
        &at.seconds().to_be_bytes(),
        reason.as_bytes(),
    ])
}

// Every part but the last has a fixed length, so no two lists of parts give the same bytes.
fn hash(parts: &[&[u8]]) -> Hash {
    let mut hasher = blake3::Hasher::new();
    for part in parts {
        hasher.update(part);
    }
    *hasher.finalize().as_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contents_hash_alike_in_one_piece_and_in_parts() {
        let salt = [7; 16];
        for length in [0, 1, 47, 48, 500, 1_007, 1_008, 1_009, 5_000] {
            let wire = "x".repeat(length);
            assert_eq!(content(&salt, &wire), hash(&[&salt, wire.as_bytes()]), "{length}");
        }
    }
}
