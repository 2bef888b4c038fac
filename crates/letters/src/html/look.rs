//! How a document is printed: in which words, beside which, how large, and with what first.

use crate::{document::Block, wording::Wording};

/// The look of a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct DocumentLook {
    /// Large letters, for readers who see badly.
    pub large: bool,
    /// The pictures first and large, for readers who read little.
    pub pictures_first: bool,
}

/// What a document is printed with.
#[derive(Clone, Copy)]
pub struct Printed<'a> {
    /// The texts of its language.
    pub wording: &'a Wording,
    /// The texts that stand beside them, sentence by sentence, until the translation is confirmed.
    pub beside: Option<&'a Wording>,
    /// Its look.
    pub look: DocumentLook,
}

/// The blocks with the signs for which the child is brought in at once in front, and whom to ring. In two languages a
/// document can need a second sheet, and these signs must not be on it.
pub(super) fn signs_first(blocks: &[Block]) -> Vec<Block> {
    let mut sorted = blocks.to_vec();
    sorted.sort_by_key(|block| rank(block).min(2));
    sorted
}

/// The blocks with those that have pictures in front: signs for which the child is brought in at once, whom to ring,
/// drawings, the way; then the others in their order. A heading stays with what it is the heading of.
pub(super) fn pictures_first(blocks: &[Block]) -> Vec<Block> {
    let mut groups: Vec<(u8, Vec<Block>)> = Vec::new();
    let mut group = Vec::new();
    for block in blocks {
        group.push(block.clone());
        if !matches!(block, Block::Heading(_)) {
            groups.push((rank(block), std::mem::take(&mut group)));
        }
    }
    groups.push((OTHERS, group));
    groups.sort_by_key(|(rank, _)| *rank);
    groups.into_iter().flat_map(|(_, blocks)| blocks).collect()
}

/// Of everything without a picture.
const OTHERS: u8 = 4;

const fn rank(block: &Block) -> u8 {
    match block {
        Block::Emergency(_) => 0,
        Block::Telephone(_) => 1,
        Block::Drawing(..) => 2,
        Block::Way(_) => 3,
        _ => OTHERS,
    }
}
