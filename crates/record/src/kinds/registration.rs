//! Registration: who the child is.

use crate::{Day, Finding, bounds::{BIRTH_WEIGHT, GESTATION, judge_list}};
use crate::field::{FieldSpec, FieldValue, FormSpec, KindHooks, KindSpec, ShownValues, field, line, lines, part, phone, several, within};

choice! {
    /// Sex as registered.
    Sex {
        /// Female.
        Female = "female", "girl";
        /// Male.
        Male = "male", "boy";
        /// Not determined at birth.
        Undetermined = "undetermined", "sex undetermined";
    }
}

group! {
    /// A person who looks after the child and can be contacted.
    #[derive(Default, Eq)]
    Carer;

    /// Name, as they give it.
    always name: String => line("name");
    /// "mother", "uncle" …
    optional relation: Option<String> => line("relation to the child");
    /// Telephone number, any text.
    optional phone: Option<String> => phone("telephone");
    /// The language that they read or speak best.
    optional language: Option<String> => line("language");
}

/// The form fields of the hospital numbers.
const NUMBERS: &[FieldSpec; 2] = &[
    part::<String>("number", line("Hospital number")),
    part::<String>("other_numbers", line("Other or earlier numbers").hint("With a comma between them.")),
];

entry! {
    with hooks;
    /// Who the child is. A later registration replaces an earlier one completely.
    #[derive(Default, Eq)]
    Registration = KindSpec::new("registration", "registration")
        .form(FormSpec::new(140, "Name and details of the child"))
        .first(&["given_name", "family_name", "numbers", "born", "sex", "gestation_weeks", "birth_weight_g", "address"]);

    /// Family name; may be empty if the child has only one name.
    always family_name: String => line("Family name").hint("Leave empty if the child has only one name.");
    /// Given name or names.
    always given_name: String => line("Given name or names");
    /// Hospital numbers, the current one first.
    optional numbers: Vec<String> => lines(NUMBERS).most_chars(60);
    /// Day of birth, if known. Never guessed.
    optional born: Option<Day> => field("Day of birth").hint("Leave empty if it is not known; never guess it.");
    /// Sex, if known.
    optional sex: Option<Sex> => field("Sex");
    /// Whole weeks of gestation at birth, if known.
    optional gestation_weeks: Option<u8> => within("Gestation at birth", &GESTATION)
        .hint("Whole weeks. For a child born before 37 weeks, the age corrected to term is also shown.");
    /// Birth weight, if known.
    optional birth_weight_g: Option<u16> => within("Birth weight", &BIRTH_WEIGHT);
    /// Carers, in the order in which to call them.
    optional carers: Vec<Carer> => several("Carer to call first", "carer", Carer::FIELDS);
    /// Where the family lives, in its own words.
    optional address: Option<String> => line("Where the family lives");
    /// About when the child was born, reckoned from an age; only where the day is not known. Nothing is
    /// computed from it.
    optional born_about: Option<Day> => field("Born about")
        .hint("Calculated from an age, if the day of birth is not known.").since(6);
}

impl Registration {
    /// "Given Family", or the part that is recorded.
    #[must_use]
    pub fn full_name(&self) -> String {
        format!("{} {}", self.given_name, self.family_name).trim().to_owned()
    }
}

impl KindHooks for Registration {
    fn rules(&self, on: Day, findings: &mut Vec<Finding>) {
        if self.full_name().is_empty() && self.numbers.iter().all(|number| number.trim().is_empty()) {
            findings.push(Finding::refuse("family_name", "A child needs a name or a hospital number."));
        }
        if self.born.is_some_and(|born| born > on) {
            findings.push(Finding::refuse("born", "The day of birth lies after the day of registration."));
        }
        if self.born_about.is_some_and(|born| born > on) {
            findings.push(Finding::refuse("born_about", "The birth would lie after the day of registration."));
        }
    }

    fn sentence(&self) -> Option<String> {
        Some(format!("registered as {}", self.full_name()))
    }
}

impl FieldValue for Vec<Carer> {
    fn is_absent(&self) -> bool {
        self.is_empty()
    }

    /// Problems of a carer are reported for the list, because a form may show the carer under another number.
    fn inspect(&self, spec: &'static FieldSpec, findings: &mut Vec<Finding>) {
        let mut of_carers = Vec::new();
        self.iter().for_each(|carer| carer.inspect_fields(&mut of_carers));
        findings.extend(of_carers.into_iter().map(|finding| Finding { field: spec.key, ..finding }));
        findings.extend(judge_list(spec.key, self.len()));
    }

    fn show(&self, spec: &'static FieldSpec, shown: &mut ShownValues) {
        for (n, carer) in (1..).zip(self) {
            let mut own = ShownValues::default();
            carer.show_fields(&mut own);
            for (key, value) in own.values {
                shown.renamed(&spec.name_of_several(n, &key), |shown| shown.put(value));
            }
        }
    }
}
