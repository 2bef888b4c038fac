//! How the clinic is reached and what it prints at the head of its documents, from its settings and its logo.

use crate::{app::App, logo::Logo};
use letters::{ClinicContact, Letterhead};

impl App {
    /// The contact of the clinic, as documents print it.
    #[must_use]
    pub fn contact(&self) -> ClinicContact {
        let settings = self.settings();
        let set = &settings.letterhead;
        ClinicContact {
            name: settings.name.clone(),
            telephone: settings.telephone.clone(),
            letterhead: Letterhead {
                lines: set.lines.clone(),
                logo: Logo::of_clinic(&self.dir).map(|logo| logo.for_documents()),
                signature: set.signature.clone(),
                talk_to: set.talk_to.clone(),
            },
        }
    }
}
