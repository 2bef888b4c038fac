//! Two records of one child joined: the entries of one are recorded again in the other, each with its origin,
//! and withdrawn where they were. Nothing is deleted, and the step can be taken back ([`crate::TakeBack`]).
//!
//! What both records say is recorded once. Where they contradict each other a person chooses: nothing is
//! chosen silently between two days of birth, two sexes, or two scores of one foot on one day.

use crate::{
    StepStamp,
    visit_remedy::{says_the_same, with_first},
    written_step::StepWriter,
};
use course::{CorrectedLog, Line, visit_part};
use record::{
    Body, ChildId, Day, Entry, EntryId, JoinedPart, Kind, RecordsJoined, Registration, WrittenTogether,
};
use std::collections::BTreeMap;

/// Which of two values holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IdentityChoice {
    /// That of the record that is kept.
    Kept,
    /// That of the other record.
    Other,
}

/// Which of two entries that contradict each other hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClashChoice {
    /// Both: two things were done or measured.
    Both,
    /// Only that of the record that is kept.
    Kept,
    /// Only that of the other record.
    Other,
}

impl ClashChoice {
    /// Every choice.
    pub const ALL: [Self; 3] = [Self::Both, Self::Kept, Self::Other];

    /// Its key in forms.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Both => "both",
            Self::Kept => "kept",
            Self::Other => "other",
        }
    }
}

/// A detail of the child in both records.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IdentityRow {
    /// The key of the field of the registration.
    pub key: &'static str,
    /// Its label.
    pub label: String,
    /// What the record that is kept says, in words.
    pub kept: Option<String>,
    /// What the other says.
    pub other: Option<String>,
    /// Whether both say something and it is not the same.
    pub differs: bool,
    /// Whether a person has to choose: two different children may be meant.
    pub must_choose: bool,
}

/// An entry of each record about the same thing on the same day, with other contents.
#[derive(Debug, Clone, PartialEq)]
pub struct JoinClash {
    /// The day.
    pub on: Day,
    /// The entry of the record that is kept, and what it says.
    pub kept: (EntryId, String),
    /// The entry of the other record, and what it says.
    pub other: (EntryId, String),
}

/// What a person chose.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct JoinChoices {
    /// By the key of a detail.
    pub identity: BTreeMap<String, IdentityChoice>,
    /// By the other record's entry of a clash.
    pub clashes: BTreeMap<EntryId, ClashChoice>,
}

/// What joining two records would do.
#[derive(Debug, Clone)]
pub struct JoinPlan<'e> {
    kept: ChildId,
    other: ChildId,
    about: [Registration; 2],
    kept_registered: Option<Day>,
    /// The details of the child in both records.
    pub identity: Vec<IdentityRow>,
    /// What both records say alike, in words; it is recorded once.
    pub same: Vec<(Day, String)>,
    /// What they say of the same thing on the same day and not alike.
    pub clashes: Vec<JoinClash>,
    /// The other record's entry that the kept record has already, with that entry.
    held: BTreeMap<EntryId, EntryId>,
    /// What holds of the other record.
    lines: Vec<Line<'e>>,
}

/// The details that are compared: key, and whether a difference makes it doubtful that the child is one.
const DETAILS: [(&str, bool); 7] = [
    ("given_name", false),
    ("family_name", false),
    ("born", true),
    ("sex", true),
    ("gestation_weeks", false),
    ("birth_weight_g", false),
    ("address", false),
];

fn holding<'e>(entries: &'e [Entry]) -> Vec<Line<'e>> {
    let log = CorrectedLog::of(entries, Day::LAST);
    let holds = |line: &Line<'e>| line.fate.holds() && visit_part(line.body).is_some();
    log.lines.into_iter().filter(holds).collect()
}

fn about(lines: &[Line<'_>]) -> Registration {
    let registration = |line: &Line<'_>| match line.body {
        Body::Registration(about) => Some(about.clone()),
        _ => None,
    };
    lines.iter().rev().find_map(registration).unwrap_or_default()
}

impl<'e> JoinPlan<'e> {
    /// What joining `other` to `kept` would do, each given with its log.
    #[must_use]
    pub fn of((kept, kept_log): (ChildId, &[Entry]), (other, other_log): (ChildId, &'e [Entry])) -> Self {
        let (own, lines) = (holding(kept_log), holding(other_log));
        let about = [about(&own), about(&lines)];
        let registered = own.iter().filter(|line| matches!(line.body, Body::Registration(_)));
        let mut plan = Self {
            kept,
            other,
            kept_registered: registered.map(|line| line.on).min(),
            identity: identity(&about),
            about,
            same: Vec::new(),
            clashes: Vec::new(),
            held: BTreeMap::new(),
            lines,
        };
        for line in plan.lines.clone() {
            plan.compare(&line, &own);
        }
        plan
    }

    /// Looks for an entry of the kept record about the same as one of the other.
    fn compare(&mut self, line: &Line<'_>, own: &[Line<'_>]) {
        if matches!(line.body, Body::Registration(_)) {
            return;
        }
        let of_day = || own.iter().filter(|own| own.on == line.on);
        let free = |own: &&Line<'_>| !self.held.values().any(|held| *held == own.entry.id);
        let same = |own: &&Line<'_>| says_the_same(own.body, line.body) || says_no_more(line.body, own.body);
        if let Some(same) = of_day().filter(free).find(same) {
            self.held.insert(line.entry.id, same.entry.id);
            self.same.push((line.on, line.body.sentence()));
            return;
        }
        let alike = |own: &&Line<'_>| {
            own.body.kind() == line.body.kind()
                && own.body.side() == line.body.side()
                && is_one_thing(line.body)
        };
        if let Some(clash) = of_day().find(alike) {
            self.clashes.push(JoinClash {
                on: line.on,
                kept: (clash.entry.id, clash.body.sentence()),
                other: (line.entry.id, line.body.sentence()),
            });
        }
    }

    /// The number of entries that are recorded again.
    #[must_use]
    pub fn recorded_again(&self, choices: &JoinChoices) -> usize {
        self.lines.iter().filter(|line| self.is_copied(line, choices)).count()
    }

    /// What still has to be chosen: keys of details, and the other record's entries of clashes.
    #[must_use]
    pub fn unanswered(&self, choices: &JoinChoices) -> (Vec<&'static str>, Vec<EntryId>) {
        let open = |row: &&IdentityRow| row.must_choose && !choices.identity.contains_key(row.key);
        let clashes = self.clashes.iter().map(|clash| clash.other.0);
        (
            self.identity.iter().filter(open).map(|row| row.key).collect(),
            clashes.filter(|entry| !choices.clashes.contains_key(entry)).collect(),
        )
    }

    fn is_copied(&self, line: &Line<'_>, choices: &JoinChoices) -> bool {
        let id = line.entry.id;
        if matches!(line.body, Body::Registration(_)) {
            // An earlier registration says since when the child is known; a later one would replace the
            // details of the kept record, which are merged instead.
            return self.kept_registered.is_none_or(|kept| line.on < kept);
        }
        !self.held.contains_key(&id) && choices.clashes.get(&id) != Some(&ClashChoice::Kept)
    }

    /// The details of the child as they are registered after the join.
    #[must_use]
    pub fn merged(&self, choices: &JoinChoices) -> Registration {
        let [kept, other] = &self.about;
        let (mut values, others) = (Body::from(kept.clone()).values(), Body::from(other.clone()).values());
        for (key, _) in DETAILS {
            let blank = values.get(key).is_none_or(|value| value.trim().is_empty());
            let chosen = choices.identity.get(key) == Some(&IdentityChoice::Other);
            if let Some(value) = others.get(key).filter(|value| !value.trim().is_empty() && (blank || chosen))
            {
                values.insert(key.to_owned(), value.clone());
            }
        }
        let given = |name: &str| values.get(name).filter(|value| !value.is_empty()).cloned();
        let read = Body::from_values(Kind::Registration, &given);
        let mut merged = if let Ok(Body::Registration(merged)) = read { merged } else { kept.clone() };
        merged.numbers = joined(&kept.numbers, &other.numbers, |one, two| one == two);
        merged.carers = joined(&kept.carers, &other.carers, |one, two| {
            plain(&one.name) == plain(&two.name) && one.phone == two.phone
        });
        merged.born_about = kept.born_about.or(other.born_about).filter(|_| merged.born.is_none());
        merged
    }

    /// The entries that join the records; the one of the kept record that lists the others comes first.
    #[must_use]
    pub fn entries(&self, choices: &JoinChoices, stamp: &StepStamp) -> Vec<Entry> {
        let mut writer = StepWriter::new(stamp);
        let (step, counterpart) = (writer.reserve(), writer.reserve());
        let (mut written, origins) = self.copies(choices, &mut writer);
        let replaced = self
            .clashes
            .iter()
            .filter(|clash| choices.clashes.get(&clash.other.0) == Some(&ClashChoice::Other));
        written.extend(replaced.map(|clash| writer.withdraw(self.kept, clash.kept.0)));
        let merged = self.merged(choices);
        if merged != self.about[0] {
            let id = writer.reserve();
            written.push(writer.numbered(id, self.kept, merged));
        }
        let gone: Vec<Entry> =
            self.lines.iter().map(|line| writer.withdraw(self.other, line.entry.id)).collect();
        let list = |part, entries: &[Entry], origins, other, counterpart| {
            let entries = entries.iter().map(|entry| entry.id).collect();
            let together =
                WrittenTogether { entries, origins, other: Some(other), counterpart: Some(counterpart) };
            RecordsJoined::of(part, stamp.reason.clone(), together)
        };
        let kept = list(JoinedPart::Kept, &written, origins, self.other, counterpart);
        let closed = list(JoinedPart::Closed, &gone, Vec::new(), self.kept, step);
        let mut all =
            vec![writer.numbered(step, self.kept, kept), writer.numbered(counterpart, self.other, closed)];
        all.extend(written);
        all.extend(gone);
        all
    }

    fn copies(&self, choices: &JoinChoices, writer: &mut StepWriter<'_>) -> (Vec<Entry>, Vec<EntryId>) {
        let copied: Vec<&Line<'_>> = self.lines.iter().filter(|line| self.is_copied(line, choices)).collect();
        let mut ids = self.held.clone();
        let own: Vec<EntryId> = copied.iter().map(|_| writer.reserve()).collect();
        ids.extend(copied.iter().map(|line| line.entry.id).zip(own.iter().copied()));
        let copy = |(line, id): (&&Line<'_>, &EntryId)| {
            let follows = line.entry.follows.and_then(|follows| ids.get(&follows).copied());
            let body = with_first(line.body.clone(), &ids);
            Entry { on: line.on, follows, ..writer.numbered(*id, self.kept, body) }
        };
        let entries = copied.iter().zip(&own).map(copy).collect();
        (entries, copied.iter().map(|line| line.entry.id).collect())
    }
}

/// Whether an entry says nothing that another of its kind does not say: nothing is lost if only that one is
/// recorded.
fn says_no_more(one: &Body, other: &Body) -> bool {
    let (said, others) = (one.values(), other.values());
    one.kind() == other.kind() && said.iter().all(|(key, value)| others.get(key) == Some(value))
}

/// Whether a kind is recorded once for a foot, or for the child, on a day.
const fn is_one_thing(body: &Body) -> bool {
    matches!(
        body,
        Body::Assessment(_)
            | Body::CastApplied(_)
            | Body::CastRemoved(_)
            | Body::TenotomyBooked(_)
            | Body::TenotomyDone(_)
            | Body::BraceFitted(_)
            | Body::BraceChanged(_)
            | Body::BodyMeasured(_)
            | Body::Weighed(_)
            | Body::RelapseNoted(_)
            | Body::OtherSurgery(_)
            | Body::Diagnosis(_)
            | Body::AppointmentMade(_)
    )
}

fn joined<T: Clone>(kept: &[T], other: &[T], same: impl Fn(&T, &T) -> bool) -> Vec<T> {
    let new = other.iter().filter(|item| !kept.iter().any(|held| same(held, item)));
    kept.iter().chain(new).cloned().collect()
}

/// A text for comparison: without case and without spaces around it.
fn plain(text: &str) -> String {
    text.trim().to_lowercase()
}

fn identity([kept, other]: &[Registration; 2]) -> Vec<IdentityRow> {
    let (kept, other) = (Body::from(kept.clone()).values(), Body::from(other.clone()).values());
    let fields = Kind::Registration.form_fields(1);
    let row = |(key, must_agree): (&'static str, bool)| {
        let field = fields.iter().find(|field| field.name == key)?;
        let said = |values: &BTreeMap<String, String>| {
            values.get(key).map(|value| value.trim()).filter(|value| !value.is_empty()).map(str::to_owned)
        };
        let (kept, other) = (said(&kept), said(&other));
        let differs = matches!((&kept, &other), (Some(kept), Some(other)) if plain(kept) != plain(other));
        let words = |value: Option<String>| value.map(|value| field.spec.words(&value));
        Some(IdentityRow {
            key,
            label: field.label.clone(),
            kept: words(kept),
            other: words(other),
            differs,
            must_choose: differs && must_agree,
        })
    };
    DETAILS.into_iter().filter_map(row).collect()
}

/// What speaks for and against two records being of one child.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RecordLikeness {
    /// What is alike: "same hospital number".
    pub alike: Vec<&'static str>,
    /// What differs: "other given name".
    pub differs: Vec<&'static str>,
    /// Whether they look like twins or siblings: the same family, and another given name or another sex.
    pub may_be_siblings: bool,
}

/// What speaks for and against two records being of one child.
#[must_use]
pub fn likenesses(one: &Registration, other: &Registration) -> RecordLikeness {
    let mut found = RecordLikeness::default();
    let mut say = |same: Option<bool>, alike, differs| match same {
        Some(true) => found.alike.push(alike),
        Some(false) => found.differs.push(differs),
        None => {}
    };
    let texts = |one: &str, two: &str| {
        let (one, two) = (plain(one), plain(two));
        (!one.is_empty() && !two.is_empty()).then(|| one == two)
    };
    let given = texts(&one.given_name, &other.given_name);
    let family = texts(&one.family_name, &other.family_name);
    let born = one.born.zip(other.born).map(|(one, two)| one == two);
    let sex = one.sex.zip(other.sex).map(|(one, two)| one == two);
    let shared = |same: bool| same.then_some(true);
    say(given, "same given name", "other given name");
    say(family, "same family name", "other family name");
    say(born, "same date of birth", "other date of birth");
    say(sex, "same sex", "other sex");
    say(shared(one.numbers.iter().any(|number| other.numbers.contains(number))), "same hospital number", "");
    let phones = |about: &Registration| -> Vec<String> {
        let digits = |phone: &String| phone.chars().filter(char::is_ascii_digit).collect::<String>();
        about
            .carers
            .iter()
            .filter_map(|carer| carer.phone.as_ref().map(digits))
            .filter(|d| !d.is_empty())
            .collect()
    };
    let (own, others) = (phones(one), phones(other));
    let phone = own.iter().any(|phone| others.contains(phone));
    say(shared(phone), "same telephone", "");
    let family = family == Some(true) || phone;
    found.may_be_siblings = family && (given == Some(false) || sex == Some(false) || born == Some(false));
    found
}
