//! Which child a row is about. Wrong child is one of the two worst errors: where name or birthday speak
//! against the number the row is asked about or refused, and two records are never made one.

use crate::{
    HoldingEntry, ImportReason, Known, KnownChild,
    names::{Likeness, NameKey},
    reader::Who,
    text::fold,
};
use record::{Body, ChildId, Day, Entry, EntryId, Kind, Regime, Registration};
use std::collections::{HashMap, HashSet};
use uuid::Uuid;

/// A child met in this import.
pub(super) type Slot = usize;

/// A row's child: one already met or known, or a new one.
pub(super) struct Found {
    pub(super) slot: Option<Slot>,
    pub(super) question: Option<(ImportReason, String)>,
}

pub(super) struct Child {
    pub(super) id: ChildId,
    pub(super) known: bool,
    pub(super) registration: Registration,
    registered_on: Day,
    pub(super) name: NameKey,
    /// The place of its registration among the entries of this plan.
    entry: Option<usize>,
    /// Rows that agreed with it to the letter, so that they are not compared again.
    agreed: Option<Who>,
    met: bool,
}

impl Child {
    fn new(id: ChildId, registration: Registration, registered_on: Day, known: bool) -> Self {
        let name = NameKey::of(&registration.family_name, &registration.given_name);
        Self { id, known, registration, registered_on, name, entry: None, agreed: None, met: false }
    }
}

/// The children of this import, by number, name and birthday.
pub(super) struct Children<'a> {
    /// What the user stated about numbers that differ by leading zeros: whether they are of one child.
    pub(super) zeros_are_one: Option<bool>,
    pub(super) known: &'a dyn Known,
    pub(super) list: Vec<Child>,
    /// What a slot that leads nowhere is taken for.
    nobody: Child,
    by_id: HashMap<ChildId, Slot>,
    by_number: HashMap<String, Vec<Slot>>,
    /// By number without its leading zeros.
    pub(super) by_zeroless: HashMap<String, Vec<Slot>>,
    pub(super) by_name: HashMap<NameKey, Vec<Slot>>,
    pub(super) by_born: HashMap<Day, Vec<Slot>>,
    asked: HashSet<String>,
    /// Entries of the record, by child and day.
    logged: HashMap<(Slot, Day), Vec<Body>>,
    /// What holds in the record, by child and day: with its corrections and without what was withdrawn.
    holding: HashMap<(Slot, Day), Vec<(EntryId, Body)>>,
    /// Entries of this plan, by child and day, as places in its list.
    planned: HashMap<(Slot, Day), Vec<usize>>,
    lasting: HashMap<Slot, Vec<Body>>,
    braces: HashMap<Slot, Vec<BraceOn>>,
}

/// Kinds of which a foot or a child has one on a day, unless a person says otherwise.
const ONCE_A_DAY: [Kind; 5] =
    [Kind::Assessment, Kind::CastApplied, Kind::TenotomyDone, Kind::BraceFitted, Kind::BraceChanged];

/// Something on record that a row gives otherwise.
pub(super) struct OnRecord {
    pub(super) entry: EntryId,
    pub(super) body: Body,
    /// Whether there are others of the same kind on that day.
    pub(super) others: bool,
}

type Refused = (ImportReason, String);

/// A day, and the regime and hours of the brace from then on.
pub(super) type BraceOn = (Day, Option<Regime>, Option<u8>);

impl<'a> Children<'a> {
    pub(super) fn new(known: &'a dyn Known) -> Self {
        Self {
            zeros_are_one: None,
            known,
            list: Vec::new(),
            nobody: Child::new(ChildId::new(Uuid::nil()), Registration::default(), Day::FIRST, false),
            by_id: HashMap::new(),
            by_number: HashMap::new(),
            by_zeroless: HashMap::new(),
            by_name: HashMap::new(),
            by_born: HashMap::new(),
            asked: HashSet::new(),
            logged: HashMap::new(),
            holding: HashMap::new(),
            planned: HashMap::new(),
            lasting: HashMap::new(),
            braces: HashMap::new(),
        }
    }

    /// The child of a slot.
    pub(super) fn child(&self, slot: Slot) -> &Child {
        self.list.get(slot).unwrap_or(&self.nobody)
    }

    fn child_mut(&mut self, slot: Slot) -> &mut Child {
        self.list.get_mut(slot).unwrap_or(&mut self.nobody)
    }

    /// Finds the child of a row.
    pub(super) fn find(&mut self, who: &Who) -> Result<Found, Refused> {
        match &who.number {
            Some(number) => self.by_number(number, who),
            None => self.by_name(who),
        }
    }

    fn by_number(&mut self, number: &str, who: &Who) -> Result<Found, Refused> {
        let key = number_key(number);
        if self.asked.insert(key.clone()) {
            for id in self.known.by_number(number) {
                let slot = self.load(id);
                let slots = self.by_number.entry(key.clone()).or_default();
                if !slots.contains(&slot) {
                    slots.push(slot);
                }
            }
        }
        match self.by_number.get(&key).map(Vec::as_slice).unwrap_or_default() {
            [] => self.no_zeros_lost(number, who),
            &[slot] => self.agree(slot, who),
            slots => {
                let fits: Vec<Slot> = slots.iter().copied().filter(|&slot| self.is_same(slot, who)).collect();
                match *fits {
                    [slot] => Ok(Found { slot: Some(slot), question: None }),
                    _ => Err((
                        ImportReason::WhichChild,
                        format!("{} children have the number {number}.", slots.len()),
                    )),
                }
            }
        }
    }

    /// A new number, unless a child of this file has the same except for leading zeros and the same name: a
    /// spreadsheet program that takes numbers for figures loses them, and the child would be registered
    /// twice.
    fn no_zeros_lost(&self, number: &str, who: &Who) -> Result<Found, Refused> {
        let twins =
            self.by_zeroless.get(zeroless(&number_key(number))).map(Vec::as_slice).unwrap_or_default();
        let name = NameKey::of(&who.family, &who.given);
        let is_twin = |(_, child): &(Slot, &Child)| {
            let births = child.registration.born.zip(who.born);
            !child.known
                && matches!(child.name.likeness(&name), Likeness::Same | Likeness::Similar)
                && births.is_none_or(|(a, b)| a == b)
        };
        let twin = twins.iter().filter_map(|&slot| Some((slot, self.list.get(slot)?))).find(is_twin);
        let (Some((slot, child)), None | Some(true)) = (twin, self.zeros_are_one) else {
            return Ok(Found { slot: None, question: None });
        };
        if self.zeros_are_one == Some(true) {
            return self.agree(slot, who);
        }
        let other = child.registration.numbers.first().map_or("", String::as_str);
        let text = format!(
            "The numbers {number} and {other} of {} differ by leading zeros only: they may be of one child. Write one of them in every row.",
            describe(&child.registration)
        );
        Err((ImportReason::PossibleMatch, text))
    }

    fn is_same(&self, slot: Slot, who: &Who) -> bool {
        let child = self.child(slot);
        let likeness = child.name.likeness(&NameKey::of(&who.family, &who.given));
        likeness == Likeness::Same && child.registration.born.is_some() && child.registration.born == who.born
    }

    /// Whether name and birthday of the row agree with the child that bears its number.
    fn agree(&self, slot: Slot, who: &Who) -> Result<Found, Refused> {
        let child = self.child(slot);
        if child.agreed.as_ref() == Some(who) {
            return Ok(Found { slot: Some(slot), question: None });
        }
        let likeness = child.name.likeness(&NameKey::of(&who.family, &who.given));
        let births = child.registration.born.zip(who.born);
        let birth_differs = births.is_some_and(|(a, b)| a != b);
        let other = || describe(&child.registration);
        let question = match (likeness, birth_differs) {
            (Likeness::Same | Likeness::Unknown, false) => None,
            (Likeness::Same, true) => {
                let text = format!(
                    "This number is also that of {}: the same name, another date of birth. Taken as the same child; check it.",
                    other()
                );
                Some((ImportReason::NumberNameDiffers, text))
            }
            (Likeness::Similar, false) => {
                let text = format!(
                    "This number is also that of {}: the name is written differently. Taken as the same child; check it.",
                    other()
                );
                Some((ImportReason::NumberNameDiffers, text))
            }
            _ => {
                let text = format!(
                    "This number is also that of {}, who has another name or date of birth: check which child this is.",
                    other()
                );
                return Err((ImportReason::NumberNameDiffers, text));
            }
        };
        Ok(Found { slot: Some(slot), question })
    }

    /// Without a number a name and a birthday are the child. A name alone is only ever a child that is
    /// itself known by its name alone.
    fn by_name(&mut self, who: &Who) -> Result<Found, Refused> {
        let key = NameKey::of(&who.family, &who.given);
        let asked = format!("{key:?}{:?}", who.born);
        if self.asked.insert(asked) {
            for known in self.known.alike(&who.family, &who.given, who.born) {
                if key.likeness(&NameKey::of(&known.family_name, &known.given_name)) == Likeness::Same {
                    self.load(known.id);
                }
            }
        }
        let of_name = self.by_name.get(&key).map(Vec::as_slice).unwrap_or_default();
        let pick = |test: &dyn Fn(&Registration) -> bool| -> Vec<Slot> {
            of_name.iter().copied().filter(|&slot| test(&self.child(slot).registration)).collect()
        };
        let unnumbered = |child: &Registration| child.numbers.is_empty();
        let tries: [Vec<Slot>; 2] = if who.born.is_some() {
            [pick(&|child| child.born == who.born), pick(&|child| child.born.is_none() && unnumbered(child))]
        } else {
            [pick(&|child| child.born.is_none() && unnumbered(child)), pick(&unnumbered)]
        };
        let found = tries.into_iter().find(|slots| !slots.is_empty()).unwrap_or_default();
        match *found {
            [slot] => Ok(Found { slot: Some(slot), question: None }),
            [] if who.born.is_some() || of_name.is_empty() => Ok(Found { slot: None, question: None }),
            _ => {
                let text =
                    "Other children have this name: the row needs a hospital number or a date of birth.";
                Err((ImportReason::WhichChild, text.to_owned()))
            }
        }
    }

    /// Brings a known child in with all its entries.
    fn load(&mut self, id: ChildId) -> Slot {
        if let Some(&slot) = self.by_id.get(&id) {
            return slot;
        }
        let entries = self.known.entries(id);
        let (registration, on) = latest(&entries);
        let slot = self.add(id, registration, on, true);
        for entry in &entries {
            self.remember(slot, entry.on, &entry.body);
            if let Body::Correction(correction) = &entry.body {
                let original = entries.iter().find(|other| other.id == correction.entry);
                let on = correction.on.or(original.map(|entry| entry.on)).unwrap_or(entry.on);
                self.remember(slot, on, &correction.body);
            }
        }
        for HoldingEntry { id, on, body } in self.known.holding(id) {
            if is_once_a_day(&body) {
                self.holding.entry((slot, on)).or_default().push((id, body));
            }
        }
        slot
    }

    /// What the record has of the kind and foot of a body on a day.
    pub(super) fn on_record(&self, slot: Slot, day: Day, body: &Body) -> Option<OnRecord> {
        let on_day = self.holding.get(&(slot, day))?;
        let is_same =
            |(_, other): &&(EntryId, Body)| other.kind() == body.kind() && other.side() == body.side();
        let mut same = on_day.iter().filter(is_same);
        let (entry, body) = same.next()?;
        Some(OnRecord { entry: *entry, body: body.clone(), others: same.next().is_some() })
    }

    fn add(&mut self, id: ChildId, registration: Registration, on: Day, known: bool) -> Slot {
        let slot = self.list.len();
        let name = NameKey::of(&registration.family_name, &registration.given_name);
        for number in &registration.numbers {
            let key = number_key(number);
            let zeroless = zeroless(&key).to_owned();
            for slots in
                [self.by_number.entry(key).or_default(), self.by_zeroless.entry(zeroless).or_default()]
            {
                if !slots.contains(&slot) {
                    slots.push(slot);
                }
            }
        }
        self.by_name.entry(name).or_default().push(slot);
        if let Some(born) = registration.born {
            self.by_born.entry(born).or_default().push(slot);
        }
        self.by_id.insert(id, slot);
        self.list.push(Child::new(id, registration, on, known));
        slot
    }

    /// Registers a new child.
    pub(super) fn register(
        &mut self,
        who: &Who,
        registration: Registration,
        on: Day,
        new_id: &mut dyn FnMut() -> Uuid,
    ) -> Slot {
        let slot = self.add(ChildId::new(new_id()), registration, on, false);
        self.child_mut(slot).agreed = Some(who.clone());
        slot
    }

    pub(super) fn registered_at(&mut self, slot: Slot, entry: usize) {
        self.child_mut(slot).entry = Some(entry);
    }

    /// Notes that a row of the child was accepted.
    pub(super) fn meet(&mut self, slot: Slot, who: &Who) {
        let child = self.child_mut(slot);
        child.met = true;
        let agrees = child.agreed.is_none()
            && child.registration.born == who.born
            && child.name == NameKey::of(&who.family, &who.given);
        if agrees {
            child.agreed = Some(who.clone());
        }
    }

    pub(super) fn registered_on(&self, slot: Slot) -> Day {
        self.child(slot).registered_on
    }

    pub(super) fn registration(&self, slot: Slot) -> &Registration {
        &self.child(slot).registration
    }

    /// The registration with what it lacks taken from a later row; `None` where it lacks nothing.
    pub(super) fn filled(&self, slot: Slot, from: &Registration) -> Option<Registration> {
        let old = &self.child(slot).registration;
        let nameless = old.family_name.is_empty() && old.given_name.is_empty();
        let named = !from.family_name.is_empty() || !from.given_name.is_empty();
        let lacks = (nameless && named)
            || (old.born.is_none() && from.born.is_some())
            || (old.born.is_none() && old.born_about.is_none() && from.born_about.is_some())
            || (old.sex.is_none() && from.sex.is_some())
            || (old.gestation_weeks.is_none() && from.gestation_weeks.is_some())
            || (old.birth_weight_g.is_none() && from.birth_weight_g.is_some())
            || (old.address.is_none() && from.address.is_some())
            || (old.carers.is_empty() && !from.carers.is_empty());
        if !lacks {
            return None;
        }
        let mut new = old.clone();
        if nameless {
            (new.family_name, new.given_name) = (from.family_name.clone(), from.given_name.clone());
        }
        new.born = new.born.or(from.born);
        new.born_about = new.born_about.or(from.born_about).filter(|_| new.born.is_none());
        new.sex = new.sex.or(from.sex);
        new.gestation_weeks = new.gestation_weeks.or(from.gestation_weeks);
        new.birth_weight_g = new.birth_weight_g.or(from.birth_weight_g);
        new.address = new.address.or_else(|| from.address.clone());
        if new.carers.is_empty() {
            new.carers.clone_from(&from.carers);
        }
        Some(new)
    }

    /// Takes on a filled registration; where this import wrote its entry, says which.
    pub(super) fn fill(&mut self, slot: Slot, filled: Registration) -> Option<usize> {
        let child = self.list.get_mut(slot)?;
        if let (None, Some(born)) = (child.registration.born, filled.born) {
            self.by_born.entry(born).or_default().push(slot);
        }
        if child.name.is_empty() {
            child.name = NameKey::of(&filled.family_name, &filled.given_name);
            self.by_name.entry(child.name.clone()).or_default().push(slot);
        }
        child.registration = filled;
        child.agreed = None;
        child.entry
    }

    /// Dates the registration of a new child by its earliest day in this file.
    pub(super) fn takes_place(&mut self, slot: Slot, day: Option<Day>, entries: &mut [Entry]) {
        let child = self.child_mut(slot);
        let (Some(day), Some(at), false) = (day, child.entry, child.known) else { return };
        if day < child.registered_on && child.registration.born.is_none_or(|born| born <= day) {
            child.registered_on = day;
            if let Some(entry) = entries.get_mut(at) {
                entry.on = day;
            }
        }
    }

    /// Where an entry is: `Some(true)` in the record, `Some(false)` earlier in this file.
    pub(super) fn there(&self, slot: Slot, day: Day, body: &Body, entries: &[Entry]) -> Option<bool> {
        if self.logged.get(&(slot, day)).is_some_and(|there| there.contains(body)) {
            return Some(true);
        }
        let planned = self.planned.get(&(slot, day))?;
        let same = |&at: &usize| entries.get(at).is_some_and(|entry| entry.body == *body);
        planned.iter().any(same).then_some(false)
    }

    /// Whether the record or this file already says something that holds for good.
    pub(super) fn says(&self, slot: Option<Slot>, body: &Body) -> bool {
        slot.and_then(|slot| self.lasting.get(&slot)).is_some_and(|bodies| bodies.contains(body))
    }

    /// Notes an entry of this plan, at the place `at` in its list.
    pub(super) fn log(&mut self, slot: Slot, day: Day, body: &Body, at: usize) {
        self.note_lasting(slot, day, body);
        self.planned.entry((slot, day)).or_default().push(at);
    }

    fn remember(&mut self, slot: Slot, day: Day, body: &Body) {
        if !matches!(body, Body::Registration(_)) {
            self.note_lasting(slot, day, body);
            self.logged.entry((slot, day)).or_default().push(body.clone());
        }
    }

    fn note_lasting(&mut self, slot: Slot, day: Day, body: &Body) {
        if matches!(body, Body::Diagnosis(_) | Body::Note(_)) {
            self.lasting.entry(slot).or_default().push(body.clone());
        }
        if let Some(brace) = brace_of(day, body) {
            self.braces.entry(slot).or_default().push(brace);
        }
    }

    /// The braces of a child before a day.
    pub(super) fn braces(&self, slot: Slot, before: Day) -> Vec<BraceOn> {
        let all = self.braces.get(&slot).map(Vec::as_slice).unwrap_or_default();
        all.iter().filter(|(on, ..)| *on < before).copied().collect()
    }

    pub(super) fn id(&self, slot: Slot) -> ChildId {
        self.child(slot).id
    }

    pub(super) fn is_known(&self, slot: Slot) -> bool {
        self.child(slot).known
    }

    pub(super) fn born(&self, slot: Slot) -> Option<Day> {
        self.child(slot).registration.born
    }

    pub(super) fn count(&self) -> usize {
        self.list.iter().filter(|child| child.met).count()
    }

    pub(super) fn count_new(&self) -> usize {
        self.list.iter().filter(|child| child.met && !child.known).count()
    }
}

/// Whether a foot or a child has at most one of a kind on a day.
fn is_once_a_day(body: &Body) -> bool {
    ONCE_A_DAY.contains(&body.kind())
}

/// The day, regime and hours of an entry about a brace.
pub(super) fn brace_of(day: Day, body: &Body) -> Option<BraceOn> {
    match body {
        Body::BraceFitted(fitted) => Some((day, fitted.regime, fitted.hours_prescribed)),
        Body::BraceChanged(changed) if changed.regime.is_some() || changed.hours_prescribed.is_some() => {
            Some((day, changed.regime, changed.hours_prescribed))
        }
        _ => None,
    }
}

/// "4100" and " 4100 " are one number, and so are "ab 12" and "AB12".
pub(super) fn number_key(number: &str) -> String {
    let plain: String = number.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    if plain.is_empty() { fold(number) } else { plain }
}

/// A number of figures without its leading zeros; any other as it is.
pub(super) fn zeroless(key: &str) -> &str {
    let figures = !key.is_empty() && key.bytes().all(|byte| byte.is_ascii_digit());
    if figures { key.trim_start_matches('0') } else { key }
}

/// Whether two numbers differ by leading zeros only.
pub(super) fn differ_by_zeros(a: &str, b: &str) -> bool {
    let (a, b) = (number_key(a), number_key(b));
    a != b && zeroless(&a) == zeroless(&b)
}

fn latest(entries: &[Entry]) -> (Registration, Day) {
    let registrations = entries.iter().filter_map(|entry| match &entry.body {
        Body::Registration(body) => Some((entry.on, entry.at, body)),
        Body::Correction(correction) => match &*correction.body {
            Body::Registration(body) => Some((correction.on.unwrap_or(entry.on), entry.at, body)),
            _ => None,
        },
        _ => None,
    });
    let last = registrations.max_by_key(|&(on, at, _)| (at, on));
    last.map_or((Registration::default(), Day::FIRST), |(on, _, body)| (body.clone(), on))
}

pub(super) fn describe(registration: &Registration) -> String {
    let name = registration.full_name();
    let name = if name.is_empty() { "a child without a name".to_owned() } else { name };
    registration.born.map_or_else(|| name.clone(), |born| format!("{name}, born {}", born.words()))
}

pub(super) fn describe_known(known: &KnownChild) -> Registration {
    Registration {
        family_name: known.family_name.clone(),
        given_name: known.given_name.clone(),
        numbers: known.numbers.clone(),
        born: known.born,
        ..Registration::default()
    }
}
