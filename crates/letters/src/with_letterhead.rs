//! Documents with the head of the clinic, and with the people to whom families may talk.

use crate::{
    document::{Block, FamilyDocument, FamilyDocumentKind},
    facts::ClinicContact,
    letterhead::{DocumentHead, Letterhead},
};
use messages::Sentence;

impl ClinicContact {
    /// The head that is printed above a document; `None` where the clinic has set neither lines nor a picture.
    #[must_use]
    pub fn head(&self) -> Option<DocumentHead> {
        let Letterhead { lines, logo, .. } = &self.letterhead;
        let set = !lines.is_empty() || logo.is_some();
        set.then(|| DocumentHead { clinic: self.name.clone(), lines: lines.clone(), logo: logo.clone() })
    }
}

impl FamilyDocument {
    /// With the head of the clinic and, on the plan and the sheets that say what to expect, the people to whom the
    /// family may talk.
    #[must_use]
    pub fn with_letterhead(mut self, clinic: &ClinicContact) -> Self {
        if let Some(head) = clinic.head() {
            self.blocks.insert(0, Block::Head(head));
        }
        let talks = matches!(self.kind, FamilyDocumentKind::Plan | FamilyDocumentKind::Expect(_));
        let people = &clinic.letterhead.talk_to;
        if talks && !people.is_empty() {
            let line = |text: &String| Sentence::new("talk-to-line").with("text", text.as_str());
            self.blocks.push(Block::Heading(Sentence::new("talk-to-head")));
            self.blocks.push(Block::List(people.iter().map(line).collect()));
        }
        self
    }
}
