//! Consent: what a family was asked to consent to, and its answer.

use crate::{
    Day, Finding,
    field::{FormSpec, KindHooks, KindSpec, field, line},
};

choice! {
    /// What the family was asked to consent to.
    ConsentMatter {
        /// Treatment as a whole.
        Treatment = "treatment", "treatment";
        /// Tenotomy.
        Tenotomy = "tenotomy", "tenotomy";
        /// An anaesthetic.
        Anaesthetic = "anaesthetic", "anaesthetic";
        /// Photographs.
        Photographs = "photographs", "photographs";
        /// Videos. A family may agree to pictures of the feet and not to a film of the child.
        Videos = "videos", "videos", since 10;
        /// Messages to the family.
        Messages = "messages", "messages to the family";
        /// Use of the child's data for research.
        Research = "research", "use of data for research";
    }
}

choice! {
    /// The answer of the family.
    ConsentAnswer {
        /// It consents.
        Given = "given", "given";
        /// It does not.
        Refused = "refused", "refused";
        /// It withdrew an earlier consent.
        Withdrawn = "withdrawn", "withdrawn";
    }
}

choice! {
    /// How the answer was given.
    ConsentForm {
        /// Signed.
        Signed = "signed", "signed";
        /// Spoken.
        Spoken = "spoken", "spoken";
    }
}

entry! {
    with hooks;
    /// An answer of the family on the entry's day. Each matter has its own entries; a later answer on the same
    /// matter replaces an earlier one.
    #[derive(Eq)]
    Consent = KindSpec::new("consent", "consent").since(5).day_label("Answered on")
        .form(FormSpec::new(45, "Consent")).visit("Consent").list("Consent");

    /// To what.
    required matter: ConsentMatter => field("Consent to what")
        .columns(&["consent to", "consent for", "consent to what", "type of consent", "consent type"]);
    /// Given, refused or withdrawn.
    required answer: ConsentAnswer => field("The family’s answer")
        .columns(&["consent answer", "consent status", "answer to consent"]);
    /// The name of the person who answered.
    optional by_name: Option<String> => line("Answered by: name")
        .columns(&["consent by", "consent given by", "consented by", "consent name"]);
    /// The relation of this person to the child.
    optional relation: Option<String> => line("Answered by: relation to the child")
        .columns(&["consent relation", "relation of consenter", "consenter relation"]);
    /// Signed or spoken.
    optional how: Option<ConsentForm> => field("How").columns(&["consent how", "how consented", "consent signed or spoken"]);
    /// Who took the consent, if it was not the writer.
    optional taken_by: Option<String> => line("Taken by (if not the writer)")
        .columns(&["consent taken by", "consent obtained by", "consent witnessed by"]);
    /// The last day on which it is valid; `None` if it has no end.
    optional until: Option<Day> => field("Until").hint("Leave empty if it has no end date.")
        .columns(&["consent until", "consent valid until", "consent expires", "consent expiry"]);
    /// Whether photographs may be in letters to colleagues; `None` if it was not asked. A consent in which it was not
    /// asked, as in every older one, is for the record alone.
    optional photographs_in_letters: Option<bool> => field("Photographs: may they be in letters to colleagues?")
        .hint("Only for photographs. Without a yes they stay in the record.").since(10);
    /// Whether photographs may be shown in teaching; `None` if it was not asked, and then they may not.
    optional photographs_in_teaching: Option<bool> => field("Photographs: may they be shown in teaching?")
        .hint("Only for photographs. Without a yes they stay in the record.").since(10);
}

impl KindHooks for Consent {
    /// The name may be blank if the relation is given: often only "the mother" is known.
    fn rules(&self, on: Day, findings: &mut Vec<Finding>) {
        let blank = |text: &Option<String>| text.as_deref().is_none_or(|text| text.trim().is_empty());
        if blank(&self.by_name) && blank(&self.relation) {
            let text = "Who answered is missing: a name, or relation to the child.";
            findings.push(Finding::refuse("by_name", text));
        }
        self.judge_uses(findings);
        let Some(until) = self.until else { return };
        if self.answer != ConsentAnswer::Given {
            let text = format!("A consent that was {} has no last day.", self.answer.words());
            findings.push(Finding::refuse("until", text));
        } else if until < on {
            let text = format!(
                "The last day, {}, lies before the day on which consent was given, {}.",
                until.words(),
                on.words()
            );
            findings.push(Finding::refuse("until", text));
        }
    }
}

impl Consent {
    /// What photographs may be used for is part of a consent to photographs and of nothing else.
    fn judge_uses(&self, findings: &mut Vec<Finding>) {
        let of_photographs =
            self.matter == ConsentMatter::Photographs && self.answer == ConsentAnswer::Given;
        if of_photographs {
            return;
        }
        for (field, asked) in [
            ("photographs_in_letters", self.photographs_in_letters),
            ("photographs_in_teaching", self.photographs_in_teaching),
        ] {
            if asked.is_some() {
                let text = "What photographs may be used for is asked only where the family consents to photographs. Leave it empty here.";
                findings.push(Finding::refuse(field, text));
            }
        }
    }
}
