//! The filter of results, in the query of the URL and in the form.

use audit::{Aetiology, Feet, Severity};
use maud::{Markup, html};
use record::Day;

/// An option of the form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// Its key in the URL.
    pub key: String,
    /// Its text.
    pub words: String,
}

/// The filter from the URL. Values that are not understood are ignored.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ResultsFilter {
    /// As of which day.
    pub as_of: Option<Day>,
    /// Only entries that had been written by the end of that day.
    pub as_written: bool,
    /// Time zero from.
    pub from: Option<Day>,
    /// Time zero to.
    pub to: Option<Day>,
    /// Key of a site.
    pub site: Option<String>,
    /// Key of a clinician.
    pub clinician: Option<String>,
    /// Severity.
    pub severity: Option<Severity>,
    /// Aetiology.
    pub aetiology: Option<Aetiology>,
    /// Side.
    pub side: Option<Feet>,
}

impl ResultsFilter {
    /// The filter from the query parameters.
    #[must_use]
    pub fn from_pairs(pairs: &[(String, String)]) -> Self {
        let value = |name: &str| {
            pairs
                .iter()
                .find(|(key, value)| key == name && !value.trim().is_empty())
                .map(|(_, value)| value.trim())
        };
        let day = |name: &str| value(name).and_then(|text| text.parse().ok());
        // Keys are written back into URLs: letters, digits, dash, dot, colon and underscore only.
        let plain =
            |text: &str| text.chars().all(|letter| letter.is_alphanumeric() || "-.:_".contains(letter));
        let key = |name: &str| value(name).filter(|text| plain(text)).map(str::to_owned);
        Self {
            as_of: day("as_of"),
            as_written: value("known_by") == Some(WRITTEN),
            from: day("from"),
            to: day("to"),
            site: key("site"),
            clinician: key("clinician"),
            severity: value("severity").and_then(Severity::of_key),
            aetiology: value("aetiology").and_then(Aetiology::of_key),
            side: value("side").and_then(Feet::of_key),
        }
    }

    /// The same filter with only its days.
    #[must_use]
    pub fn days(&self) -> Self {
        let Self { as_of, as_written, from, to, .. } = *self;
        Self { as_of, as_written, from, to, ..Self::default() }
    }

    /// The query of a URL: empty, or starting with `?`.
    #[must_use]
    pub fn query(&self) -> String {
        let day = |day: Option<Day>| day.map(|day| day.to_string());
        let pairs = [
            ("as_of", day(self.as_of)),
            ("known_by", self.as_written.then(|| WRITTEN.to_owned())),
            ("from", day(self.from)),
            ("to", day(self.to)),
            ("site", self.site.clone()),
            ("clinician", self.clinician.clone()),
            ("severity", self.severity.map(|one| one.key().to_owned())),
            ("aetiology", self.aetiology.map(|one| one.key().to_owned())),
            ("side", self.side.map(|one| one.key().to_owned())),
        ];
        let parameters: Vec<String> =
            pairs.into_iter().filter_map(|(name, value)| Some(format!("{name}={}", value?))).collect();
        if parameters.is_empty() { String::new() } else { format!("?{}", parameters.join("&")) }
    }

    /// What is selected, in words; `None` where everyone is.
    #[must_use]
    pub fn words(&self, sites: &[Choice], clinicians: &[Choice]) -> Option<String> {
        let named = |key: &Option<String>, choices: &[Choice]| {
            let key = key.as_ref()?;
            choices.iter().find(|choice| choice.key == *key).map(|choice| choice.words.clone())
        };
        let mut parts: Vec<String> = Vec::new();
        match (self.from, self.to) {
            (Some(from), Some(to)) => {
                parts.push(format!("time zero from {} to {}", from.words(), to.words()))
            }
            (Some(from), None) => parts.push(format!("time zero from {}", from.words())),
            (None, Some(to)) => parts.push(format!("time zero up to {}", to.words())),
            (None, None) => {}
        }
        parts.extend(named(&self.site, sites));
        parts.extend(named(&self.clinician, clinicians).map(|name| format!("first cast by {name}")));
        parts.extend(self.severity.map(|one| one.words().to_owned()));
        parts.extend(self.aetiology.map(|one| one.words().to_owned()));
        parts.extend(self.side.map(|one| {
            if one == Feet::Both { "both feet affected".to_owned() } else { format!("{} foot", one.words()) }
        }));
        (!parts.is_empty()).then(|| parts.join("; "))
    }
}

/// The key of [`audit::KnownBy::DayOfWriting`] in a URL.
const WRITTEN: &str = "day-of-writing";

/// The choice of which entries count as known on the day.
pub(super) fn known_by(filter: &ResultsFilter) -> Markup {
    let choices =
        [("clinical-day", "by clinical day, whenever written"), (WRITTEN, "as it was written by that day")];
    let choices = choices.map(|(key, words)| Choice { key: key.to_owned(), words: words.to_owned() });
    let chosen = if filter.as_written { WRITTEN } else { "clinical-day" };
    choose_needed("known_by", "What was known", chosen, &choices)
}

/// The form; `action` is the URL of the page.
pub(super) fn form(
    filter: &ResultsFilter,
    action: &str,
    today: Day,
    sites: &[Choice],
    clinicians: &[Choice],
) -> Markup {
    let classes = |all: &[(&'static str, &'static str)]| -> Vec<Choice> {
        all.iter()
            .map(|(key, words)| Choice { key: (*key).to_owned(), words: crate::words::capital(words) })
            .collect()
    };
    let severities: Vec<_> = Severity::ALL.iter().map(|one| (one.key(), one.words())).collect();
    let aetiologies: Vec<_> = Aetiology::ALL.iter().map(|one| (one.key(), one.words())).collect();
    let sides: Vec<_> = Feet::ALL.iter().map(|one| (one.key(), one.words())).collect();
    let fields = html! {
        (day("as_of", "As known on", filter.as_of, today))
        (known_by(filter))
        (day("from", "Time zero from", filter.from, today))
        (day("to", "Time zero up to", filter.to, today))
        (choose("site", "Site", filter.site.as_deref(), sites))
        (choose("clinician", "First cast by", filter.clinician.as_deref(), clinicians))
        (choose("severity", "Severity at the first cast", filter.severity.map(Severity::key), &classes(&severities)))
        (choose("aetiology", "Aetiology", filter.aetiology.map(Aetiology::key), &classes(&aetiologies)))
        (choose("side", "Side", filter.side.map(Feet::key), &classes(&sides)))
    };
    chooser(filter, action, ["Choose period, patients and day", "Everyone, today"], &fields)
}

/// The form with days only.
pub(super) fn days(filter: &ResultsFilter, action: &str, today: Day) -> Markup {
    let fields = html! {
        (day("as_of", "As known on", filter.as_of, today))
        (known_by(filter))
        (day("from", "Scored from", filter.from, today))
        (day("to", "Scored up to", filter.to, today))
    };
    chooser(filter, action, ["Choose the days", "All, today"], &fields)
}

/// A folded form with these fields and a link that resets them.
fn chooser(filter: &ResultsFilter, action: &str, [summary, back]: [&str; 2], fields: &Markup) -> Markup {
    let open = filter.query().len() > 1;
    html! {
        details.more.results-filter open[open] {
            summary { (summary) }
            form method="get" action=(action) {
                div.grid { (fields) }
                div.actions { button.primary type="submit" { "Show" } a.button href=(action) { (back) } }
            }
        }
    }
}

pub(super) fn day(name: &str, label: &str, value: Option<Day>, today: Day) -> Markup {
    html! {
        div.field { label for={ "r-" (name) } { (label) } input id={ "r-" (name) } type="date" name=(name) max=(today) value=[value]; }
    }
}

/// A choice without the option "All".
pub(super) fn choose_needed(name: &str, label: &str, value: &str, choices: &[Choice]) -> Markup {
    html! {
        div.field {
            label for={ "r-" (name) } { (label) }
            select id={ "r-" (name) } name=(name) {
                @for choice in choices { option value=(choice.key) selected[value == choice.key] { (choice.words) } }
            }
        }
    }
}

pub(super) fn choose(name: &str, label: &str, value: Option<&str>, choices: &[Choice]) -> Markup {
    html! {
        div.field {
            label for={ "r-" (name) } { (label) }
            select id={ "r-" (name) } name=(name) {
                option value="" { "All" }
                @for choice in choices { option value=(choice.key) selected[value == Some(choice.key.as_str())] { (choice.words) } }
            }
        }
    }
}
