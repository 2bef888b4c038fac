//! A document that was handed to the family, or a letter with photographs to a colleague.

use crate::{
    Day, EntryId, Finding,
    field::{KindHooks, KindSpec, field, line},
};

choice! {
    /// A document for a family, as it is recorded when it is handed over; and a letter to a colleague, which is recorded
    /// where it has photographs.
    HandedDocument {
        /// The family plan.
        Plan = "plan", "family plan";
        /// Care of the cast.
        CastSheet = "cast-sheet", "cast care sheet";
        /// The brace.
        BraceSheet = "brace-sheet", "brace sheet";
        /// What to expect of the first casts.
        FirstCasts = "first-casts", "what to expect: first casts";
        /// What to expect of the tenotomy.
        HeelCord = "heel-cord", "what to expect: the day of the tenotomy";
        /// What to expect of the first week of the brace.
        FirstWeekOfBrace = "first-week-of-brace", "what to expect: first week of the brace";
        /// What to expect of nights and naps.
        NightsAndNaps = "nights-and-naps", "what to expect: nights and naps";
        /// Making the brace a habit.
        Habit = "habit", "making the brace a habit";
        /// Growing out of the boots.
        Boots = "boots", "growing out of the boots";
        /// When the brace is difficult.
        Troubles = "troubles", "when the brace is difficult";
        /// Signs that the foot is turning back.
        TurningBack = "turning-back", "signs that the foot is turning back";
        /// What to expect of the last year.
        LastYear = "last-year", "what to expect: the last year";
        /// The letter with the next visit.
        AppointmentLetter = "appointment-letter", "appointment letter";
        /// The letter after a visit that was missed.
        MissedVisitLetter = "missed-visit-letter", "missed-visit letter";
        /// The letter to the nursery.
        NurseryLetter = "nursery-letter", "letter to the nursery";
        /// The diary of the hours.
        WearDiary = "wear-diary", "wear diary";
        /// The letter to the doctor who referred the child.
        ReferrerLetter = "referrer-letter", "letter to the referring doctor", since 10;
        /// The summary on one page.
        ClinicSummary = "clinic-summary", "clinic summary", since 10;
        /// The summary for a clinic that continues the treatment.
        TransferSummary = "transfer-summary", "transfer summary", since 10;
    }
}

choice! {
    /// The language of a document, by its tag (BCP 47), with its name in English.
    FamilyLanguage {
        /// English.
        English = "en", "English";
        /// Spanish.
        Spanish = "es", "Spanish";
        /// French.
        French = "fr", "French";
        /// Portuguese.
        Portuguese = "pt", "Portuguese";
        /// Swahili.
        Swahili = "sw", "Swahili";
        /// Hindi.
        Hindi = "hi", "Hindi";
        /// Bengali.
        Bengali = "bn", "Bengali";
        /// Arabic.
        Arabic = "ar", "Arabic";
        /// Amharic.
        Amharic = "am", "Amharic";
    }
}

entry! {
    with hooks;
    /// A document that was handed over on the entry's day: to the family, or a letter with photographs to a colleague.
    #[derive(Eq)]
    DocumentHanded = KindSpec::new("document_handed", "document handed over").since(8)
        .day_label("Handed over on").list("Documents handed over");

    /// Which.
    required document: HandedDocument => field("Document");
    /// In which language.
    required language: FamilyLanguage => field("Language");
    /// To whom, if it was recorded.
    optional to: Option<String> => line("Handed to");
    /// Whether it was read through with an interpreter; `None` if nobody said so. It is asked where the translation
    /// awaits review.
    optional with_interpreter: Option<bool> => field("Was it read through with an interpreter?");
    /// The entries of the photographs that are in it. Only letters to colleagues have any, and only such letters are
    /// recorded.
    optional photographs: Vec<EntryId> => field("Photographs in it").since(10);
}

impl HandedDocument {
    /// Whether it is a letter to a colleague.
    #[must_use]
    pub const fn is_for_colleagues(self) -> bool {
        matches!(self, Self::ReferrerLetter | Self::ClinicSummary | Self::TransferSummary)
    }
}

impl KindHooks for DocumentHanded {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        let text = match (self.document.is_for_colleagues(), self.photographs.is_empty()) {
            (true, true) => "A letter to a colleague is recorded here only with the photographs that are in it.",
            (false, false) => "A document for a family has no photographs.",
            _ => return,
        };
        findings.push(Finding::refuse("photographs", text));
    }

    fn sentence(&self) -> Option<String> {
        let to = self.to.as_deref().map(str::trim).filter(|to| !to.is_empty());
        let mut sentence = format!("handed over: {}, in {}", self.document.words(), self.language.words());
        if let Some(to) = to {
            sentence.push_str(&format!(", to {to}"));
        }
        match self.photographs.len() {
            0 => {}
            1 => sentence.push_str("; with one photograph"),
            several => sentence.push_str(&format!("; with {several} photographs")),
        }
        match self.with_interpreter {
            Some(true) => sentence.push_str("; read through with an interpreter"),
            Some(false) => sentence.push_str("; not read through with an interpreter"),
            None => {}
        }
        Some(sentence)
    }
}
