//! The hash chain of each site.
//!
//! For an entry with wire bytes `w` and a random salt `s`: `content = blake3(s ‖ w)` and
//! `hash = blake3(previous hash ‖ id ‖ child ‖ content)`; for the first entry the previous hash is a hash of
//! the site's id. Erasing an entry removes its body and its salt, so that a guess at the erased body cannot be
//! tested against the hash, and the chain stays valid.

use record::{ChildId, EntryId, SiteId, Timestamp, UserId};

pub(crate) type Hash = [u8; 32];
pub(crate) type Salt = [u8; 16];

/// The hash before the first entry of a site.
pub(crate) fn beginning(site: SiteId) -> Hash {
    hash(&[b"chain of entries", site.uuid().as_bytes()])
}

/// The hash before the first erasure.
pub(crate) fn beginning_of_erasures() -> Hash {
    hash(&[b"chain of erasures"])
}

pub(crate) fn content(salt: &[u8], wire: &str) -> Hash {
    // Most entries are short; hashing them in one piece from the stack takes half the time.
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

// Every part except the last has a fixed length, so different lists of parts give different bytes.
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
