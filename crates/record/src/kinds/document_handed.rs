//! A document that was handed to the family.

use crate::{Day, Finding};
use crate::field::{KindHooks, KindSpec, field, line};

choice! {
    /// A document for a family, as it is recorded when it is handed over.
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
    /// A document that was handed to the family on the entry's day.
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
}

impl KindHooks for DocumentHanded {
    fn rules(&self, _on: Day, _findings: &mut Vec<Finding>) {}

    fn sentence(&self) -> Option<String> {
        let to = self.to.as_deref().map(str::trim).filter(|to| !to.is_empty());
        let mut sentence = format!("handed over: {}, in {}", self.document.words(), self.language.words());
        if let Some(to) = to {
            sentence.push_str(&format!(", to {to}"));
        }
        match self.with_interpreter {
            Some(true) => sentence.push_str("; read through with an interpreter"),
            Some(false) => sentence.push_str("; not read through with an interpreter"),
            None => {}
        }
        Some(sentence)
    }
}
