//! What has to be known before a tenotomy, and whether the record has it.
//!
//! An item is recorded, missing, or stops: refused consent, an entry in doubt, a foot that needs no tenotomy by the
//! clinic's own protocol. What is missing is never taken for fine, and nothing here says that an operation may go
//! ahead: it says what the record shows.

use crate::anaesthetic::WEIGHT_HOLDS_DAYS;
use crate::step::{Action, anaesthetic_watch};
use crate::words::degrees;
use crate::{Outlook, Protocol};
use course::{Course, FootCourse, Question, QuestionKind, Standing};
use record::{AllergyAnswer, Body, ConsentAnswer, ConsentMatter, Day, EntryId, MedicineAnswer, Side};

/// What the record says to one point of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CheckState {
    /// It is recorded.
    Recorded,
    /// It is not recorded, or too old to be used.
    Missing,
    /// What is recorded speaks against it, or contradicts itself.
    Stops,
}

/// One point of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckItem {
    /// What it is about.
    pub what: &'static str,
    /// What the record says to it.
    pub state: CheckState,
    /// In words.
    pub words: String,
    /// The entry it comes from.
    pub entry: Option<EntryId>,
}

/// A foot of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FootCheck {
    /// Which foot.
    pub side: Side,
    /// What the record says about it.
    pub items: Vec<CheckItem>,
    /// Whether a tenotomy of this foot is recorded for the day.
    pub is_done: bool,
    /// Dorsiflexion just after it, degrees.
    pub dorsiflexion_after_deg: Option<i16>,
    /// Whether a cast of this foot is recorded for the day of a tenotomy that is done.
    pub is_cast_after: bool,
}

/// The list for one child and one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TenotomyChecklist {
    /// The day of the operation.
    pub on: Day,
    /// The feet that are booked for that day, or for none yet, and those cut on it; right before left.
    pub feet: Vec<FootCheck>,
    /// What concerns the child.
    pub child: Vec<CheckItem>,
    /// What the anaesthetist is to know about age and breathing, one sentence each.
    pub breathing: Vec<String>,
    /// Feet booked for another day, one sentence each.
    pub other_days: Vec<String>,
}

impl CheckItem {
    fn new(
        what: &'static str,
        state: CheckState,
        words: impl Into<String>,
        entry: impl Into<Option<EntryId>>,
    ) -> Self {
        Self { what, state, words: words.into(), entry: entry.into() }
    }

    fn missing(what: &'static str, words: impl Into<String>) -> Self {
        Self::new(what, CheckState::Missing, words, None)
    }
}

impl TenotomyChecklist {
    /// The day for which the list is made: that of the next tenotomy that is booked, otherwise the day asked on.
    #[must_use]
    pub fn day_for(course: &Course, today: Day) -> Day {
        let planned = course.feet.iter().filter_map(|foot| course.tenotomy_day(foot.tenotomy_plan.as_ref()?));
        planned.filter(|day| *day >= today).min().unwrap_or(today)
    }

    /// The list of a child for a day.
    #[must_use]
    pub fn of(outlook: &Outlook, protocol: &Protocol, on: Day) -> Self {
        let course = &outlook.course;
        let of_day = |foot: &&FootCourse| {
            let day = foot.tenotomy_plan.map(|plan| course.tenotomy_day(&plan));
            matches!(day, Some(None)) || day == Some(Some(on)) || is_cut(foot, on)
        };
        let feet: Vec<&FootCourse> = course.feet.iter().filter(of_day).collect();
        let sides: Vec<Side> = feet.iter().map(|foot| foot.side).collect();
        let mut child = vec![identity(course), sides_item(course, &sides)];
        child.extend([consent(course, on), allergies(course), medicines(course), weight(course, on)]);
        child.push(gestation(course));
        child.extend(ended(course));
        child.extend(course.questions.iter().filter(|asked| stops(asked, &sides)).map(in_doubt));
        Self {
            on,
            feet: feet.into_iter().map(|foot| foot_check(outlook, foot, on)).collect(),
            child,
            breathing: breathing(course, protocol, on),
            other_days: other_days(course, on),
        }
    }

    /// What is missing or stops, that of the child first, with the foot where it is about one.
    pub fn open(&self) -> impl Iterator<Item = (Option<Side>, &CheckItem)> {
        let feet = self.feet.iter().flat_map(|foot| foot.items.iter().map(|item| (Some(foot.side), item)));
        let all = self.child.iter().map(|item| (None, item)).chain(feet);
        all.filter(|(_, item)| item.state != CheckState::Recorded)
    }

    /// Whether nothing is missing and nothing stops, as far as the record goes.
    #[must_use]
    pub fn is_complete(&self) -> bool {
        self.open().next().is_none()
    }

    /// The point with this name.
    #[must_use]
    pub fn item(&self, what: &str) -> Option<&CheckItem> {
        self.child.iter().find(|item| item.what == what)
    }
}

/// Names of points that a list shows beside each other.
pub mod points {
    /// The consent to the tenotomy.
    pub const CONSENT: &str = "Consent to the tenotomy";
    /// Allergies.
    pub const ALLERGIES: &str = "Allergies";
    /// Medicines.
    pub const MEDICINES: &str = "Medicines";
    /// Weight.
    pub const WEIGHT: &str = "Weight";
}

fn is_cut(foot: &FootCourse, on: Day) -> bool {
    foot.tenotomies.iter().any(|cut| cut.on == on)
}

fn identity(course: &Course) -> CheckItem {
    const WHAT: &str = "Who the child is";
    let about = &course.about;
    let Some(born) = about.born else {
        return CheckItem::missing(WHAT, "The day of birth is not recorded.");
    };
    let number = about.numbers.first().map_or("no number".to_owned(), |number| format!("no. {number}"));
    let words = format!("{}, born {}, {number}", about.full_name(), born.words());
    CheckItem::new(WHAT, CheckState::Recorded, words, course.registered)
}

fn sides_item(course: &Course, booked: &[Side]) -> CheckItem {
    const WHAT: &str = "Which foot";
    let words = match booked {
        [] => return CheckItem::missing(WHAT, "No tenotomy is booked for this day: no foot is named."),
        [one] => {
            let other = one.other();
            let affected = if course.foot(other).is_some() { "affected, not booked" } else { "not affected" };
            format!("{} foot only. The {other} foot: {affected}.", one.title().to_uppercase())
        }
        _ => "BOTH feet, right and left.".to_owned(),
    };
    CheckItem::new(WHAT, CheckState::Recorded, words, None)
}

fn consent(course: &Course, on: Day) -> CheckItem {
    const WHAT: &str = points::CONSENT;
    let Some(seen) = course.preparation.consent(ConsentMatter::Tenotomy) else {
        return CheckItem::missing(WHAT, "No consent to the tenotomy is recorded.");
    };
    let sentence = Body::from(seen.said.clone()).sentence();
    let words = format!("{sentence}, {}", seen.on.words());
    let state = match (seen.said.answer, seen.holds_on(on)) {
        (ConsentAnswer::Refused | ConsentAnswer::Withdrawn, _) => CheckState::Stops,
        (ConsentAnswer::Given, true) => CheckState::Recorded,
        (ConsentAnswer::Given, false) => CheckState::Missing,
    };
    let ended = if state == CheckState::Missing { ": no longer valid on this day" } else { "" };
    CheckItem::new(WHAT, state, format!("{words}{ended}"), seen.entry)
}

fn allergies(course: &Course) -> CheckItem {
    const WHAT: &str = points::ALLERGIES;
    let Some(seen) = course.preparation.allergies() else {
        return CheckItem::missing(WHAT, "Allergies are not recorded: unknown is not none. Ask.");
    };
    let words = match seen.said.answer {
        AllergyAnswer::NoneKnown => "None known".to_owned(),
        AllergyAnswer::Named => {
            seen.said.which.as_deref().map_or("named, but not which", str::trim).to_owned()
        }
    };
    CheckItem::new(WHAT, CheckState::Recorded, format!("{words} (asked on {})", seen.on.words()), seen.entry)
}

fn medicines(course: &Course) -> CheckItem {
    const WHAT: &str = points::MEDICINES;
    let Some(seen) = &course.preparation.medicines else {
        return CheckItem::missing(WHAT, "Medicines are not recorded: unknown is not none. Ask.");
    };
    let words = match seen.said.answer {
        MedicineAnswer::None => "None".to_owned(),
        MedicineAnswer::Named => {
            seen.said.which.as_deref().map_or("named, but not which", str::trim).to_owned()
        }
    };
    CheckItem::new(WHAT, CheckState::Recorded, format!("{words} (asked on {})", seen.on.words()), seen.entry)
}

fn weight(course: &Course, on: Day) -> CheckItem {
    const WHAT: &str = points::WEIGHT;
    let Some(weight) = course.preparation.weight_by(on) else {
        return CheckItem::missing(WHAT, "No weight is recorded. The weight at birth does not count.");
    };
    let words = format!("{} g on {}", weight.grams, weight.on.words());
    if on - weight.on > WEIGHT_HOLDS_DAYS {
        let words = format!(
            "{words}: more than {WEIGHT_HOLDS_DAYS} days before {}. Weigh the child again.",
            on.words()
        );
        return CheckItem::new(WHAT, CheckState::Missing, words, weight.entry);
    }
    CheckItem::new(WHAT, CheckState::Recorded, words, weight.entry)
}

fn gestation(course: &Course) -> CheckItem {
    const WHAT: &str = "Weeks of gestation";
    match course.about.gestation_weeks {
        Some(weeks) => {
            CheckItem::new(WHAT, CheckState::Recorded, format!("Born at {weeks} weeks"), course.registered)
        }
        None => CheckItem::missing(
            WHAT,
            "Weeks of gestation are not recorded: whether the child was born early is not known.",
        ),
    }
}

fn ended(course: &Course) -> Option<CheckItem> {
    let words = match course.standing {
        Standing::Active => return None,
        Standing::Discharged(day) => format!("The child was discharged on {}.", day.words()),
        Standing::Transferred(day) => format!("The child was transferred on {}.", day.words()),
        Standing::Died(day) => format!("The child died on {}.", day.words()),
        Standing::Lost(day) => format!("The child was declared lost to follow-up on {}.", day.words()),
    };
    Some(CheckItem::new("Care in this clinic", CheckState::Stops, words, None))
}

/// Whether an open question stops the list: about who the child is, the side or sense of a treatment of these feet,
/// or what a dose rests on.
fn stops(asked: &Question, feet: &[Side]) -> bool {
    let about_them = asked.side.is_none_or(|side| feet.is_empty() || feet.contains(&side));
    let kind = asked.kind;
    let grave = matches!(
        kind,
        QuestionKind::BeforeBirth
            | QuestionKind::AfterTheEnd
            | QuestionKind::Clash
            | QuestionKind::OutOfOrder
    );
    about_them && (grave || (kind.asks_confirmation() && kind != QuestionKind::BraceSettings))
}

fn in_doubt(asked: &Question) -> CheckItem {
    CheckItem::new("In doubt", CheckState::Stops, asked.text.clone(), asked.entries.last().copied())
}

fn foot_check(outlook: &Outlook, foot: &FootCourse, on: Day) -> FootCheck {
    let cut = foot.tenotomies.iter().rfind(|cut| cut.on == on);
    let mut items = vec![before_cut(foot, on)];
    items.extend(earlier_cut(foot, on));
    items.extend(protocol_against(outlook, foot.side).filter(|_| cut.is_none()));
    FootCheck {
        side: foot.side,
        items,
        is_done: cut.is_some(),
        dorsiflexion_after_deg: cut.and_then(|cut| cut.dorsiflexion_after_deg),
        is_cast_after: cut.is_some() && foot.casts.iter().any(|cast| cast.on == on),
    }
}

/// The last dorsiflexion before the cut, of the present episode.
fn before_cut(foot: &FootCourse, on: Day) -> CheckItem {
    const WHAT: &str = "Dorsiflexion before";
    let began = foot.episodes.last().map_or(Day::FIRST, |episode| episode.from);
    let mut measured = foot.scores.iter().rev().filter(|score| score.on <= on && score.on >= began);
    let Some((score, deg)) = measured.find_map(|score| Some((score, score.dorsiflexion_deg?))) else {
        return CheckItem::missing(
            WHAT,
            "Dorsiflexion was not measured in these casts: measure it before the cut.",
        );
    };
    let words = format!("{} on {}", degrees(deg), score.on.words());
    CheckItem::new(WHAT, CheckState::Recorded, words, score.entry)
}

fn earlier_cut(foot: &FootCourse, on: Day) -> Option<CheckItem> {
    let last = foot.tenotomies.iter().rfind(|cut| cut.on < on)?;
    let words = format!("A tenotomy of this foot was done on {}.", last.on.words());
    Some(CheckItem::new("Earlier tenotomy", CheckState::Recorded, words, last.entry))
}

/// What the clinic's own protocol says against a tenotomy of the foot now.
fn protocol_against(outlook: &Outlook, side: Side) -> Option<CheckItem> {
    const WHAT: &str = "What comes next for this foot";
    let corrected = outlook.feet.iter().any(|foot| foot.side == side && foot.corrected == Some(true));
    if corrected {
        let words = "The dorsiflexion and abduction that the protocol asks for are reached: no tenotomy is advised any more. Examine the foot again.";
        return Some(CheckItem::new(WHAT, CheckState::Stops, words, None));
    }
    let step = outlook.foot_step(side)?;
    let first = matches!(step.action, Action::SeeUrgently | Action::LookAgain | Action::AssessAfterTenotomy);
    first.then(|| CheckItem::new(WHAT, CheckState::Stops, format!("First: {}.", step.words), None))
}

fn breathing(course: &Course, protocol: &Protocol, on: Day) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    all.extend(anaesthetic_watch(course, protocol, on).map(std::borrow::Cow::into_owned));
    all.push("Ask about apnoea: the program does not record it. Under 44 weeks from conception, born early, or apnoea before were the reasons for watching the breathing in 21 of 137 babies (Parada 2009).".to_owned());
    all.push("Whether and how long the child is watched after sedation or an anaesthetic, the anaesthetist and the local protocol decide: no number of hours was read.".to_owned());
    all
}

fn other_days(course: &Course, on: Day) -> Vec<String> {
    let other = |foot: &FootCourse| {
        let day = course.tenotomy_day(foot.tenotomy_plan.as_ref()?)?;
        (day != on).then(|| format!("{} foot: booked for {}.", foot.side.title(), day.words()))
    };
    course.feet.iter().filter_map(other).collect()
}
