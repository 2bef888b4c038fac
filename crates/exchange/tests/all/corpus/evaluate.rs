//! Compares what an import would add with what the file says, fact by fact.

use super::fact::{Fact, FactKind, Place, Stated, Truth, halves};
use exchange::{Disposition, Plan};
use record::{Assessment, Body, ChildId, Day, Entry, Registration, Sign};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What became of a fact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    Right,
    /// There, but not all of it: a sign missing, a total in place of the signs, a cast without its number.
    Partial,
    /// Not there; the row was refused.
    Refused,
    /// Not there, or of a child in two records; a person is asked about the row.
    Asked,
    /// Not there, and nothing names the row.
    Silent,
    /// There with another value.
    Wrong,
    /// There, and the file does not say it.
    Extra,
}

/// How many facts had which fate, with examples of the grave ones.
#[derive(Debug, Clone, Default)]
pub struct Tally {
    pub counts: BTreeMap<Fate, usize>,
    pub examples: Vec<String>,
}

impl Tally {
    pub fn of(&self, fate: Fate) -> usize {
        self.counts.get(&fate).copied().unwrap_or_default()
    }

    /// Facts of the file.
    pub fn facts(&self) -> usize {
        self.counts.iter().filter(|(fate, _)| **fate != Fate::Extra).map(|(_, count)| count).sum()
    }

    /// Facts a clinician would never find: wrong, invented or silently missing.
    pub fn grave(&self) -> usize {
        self.of(Fate::Wrong) + self.of(Fate::Extra) + self.of(Fate::Silent)
    }

    pub fn right_percent(&self) -> f64 {
        // A file holds some hundred facts.
        #[allow(clippy::cast_precision_loss)]
        let share = self.of(Fate::Right) as f64 / self.facts().max(1) as f64;
        100.0 * share
    }

    /// Examples of the grave faults.
    pub fn grave_examples(&self) -> impl Iterator<Item = &String> {
        let grave = ["Wrong", "Extra", "Silent"];
        self.examples.iter().filter(move |example| grave.iter().any(|fate| example.starts_with(fate)))
    }

    fn add(&mut self, fate: Fate, example: impl FnOnce() -> String) {
        *self.counts.entry(fate).or_default() += 1;
        if fate != Fate::Right {
            self.examples.push(format!("{fate:?}: {}", example()));
        }
    }
}

/// What a plan adds: every fact with each value it has, and whether a second record of a child holds it.
struct Added {
    facts: BTreeMap<Fact, Vec<String>>,
    /// Children under a second record that the report offers as a possible match.
    offered: BTreeSet<String>,
}

/// Compares a plan with the truth of its file.
pub fn evaluate(plan: &Plan, truth: &Truth) -> Tally {
    let added = added(plan, truth);
    let marked = marked(plan, truth);
    let mut tally = Tally::default();
    for (fact, stated) in &truth.facts {
        let values = added.facts.get(fact).map_or(&[][..], Vec::as_slice);
        let fate = fate(fact, stated, values, &added, &marked);
        tally.add(fate, || {
            format!("{fact:?} is {:?} in rows {:?}, {values:?} here", stated.value, stated.places)
        });
    }
    for (fact, values) in &added.facts {
        let wanted = truth.facts.contains_key(fact);
        let known = usize::from(wanted || truth.allowed.contains(fact) || is_sum(fact, values, truth));
        // A second record of the same child, offered as a possible match, repeats what the first one says.
        if wanted && added.offered.contains(&fact.child) && values.iter().all(|value| *value == values[0]) {
            continue;
        }
        for value in values.iter().skip(known) {
            tally.add(Fate::Extra, || format!("{fact:?} is {value:?} here"));
        }
    }
    tally
}

fn fate(
    fact: &Fact,
    stated: &Stated,
    values: &[String],
    added: &Added,
    marked: &HashMap<Place, Disposition>,
) -> Fate {
    let Some(value) = values.first() else {
        return missing(fact, stated, added, marked);
    };
    if same(fact.kind, value, &stated.value) {
        return Fate::Right;
    }
    match fact.kind {
        FactKind::Signs if is_part(value, &stated.value) => Fate::Partial,
        FactKind::Cast if value.is_empty() => Fate::Partial,
        _ => Fate::Wrong,
    }
}

fn missing(fact: &Fact, stated: &Stated, added: &Added, marked: &HashMap<Place, Disposition>) -> Fate {
    let total = Fact { kind: FactKind::Total, ..fact.clone() };
    if fact.kind == FactKind::Signs
        && added.facts.get(&total).is_some_and(|totals| *totals == [sum(&stated.value)])
    {
        return Fate::Partial;
    }
    let marks: Vec<Disposition> =
        stated.places.iter().filter_map(|place| marked.get(place)).copied().collect();
    if marks.contains(&Disposition::Refused) {
        Fate::Refused
    } else if marks.contains(&Disposition::Question) {
        Fate::Asked
    } else {
        Fate::Silent
    }
}

fn same(kind: FactKind, a: &str, b: &str) -> bool {
    if kind != FactKind::Child {
        return a == b;
    }
    let words = |text: &str| {
        let mut words: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
        words.sort();
        words
    };
    words(a) == words(b)
}

/// Whether some of six signs are the true ones and the others are missing.
fn is_part(found: &str, stated: &str) -> bool {
    found.split(' ').zip(stated.split(' ')).all(|(found, stated)| found == "-" || found == stated)
}

fn sum(signs: &str) -> String {
    let halves_of = |sign: &str| (sign.parse::<f64>().unwrap_or(f64::NAN) * 2.0).round();
    // Six signs of at most two half points each.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let total = signs.split(' ').map(halves_of).sum::<f64>() as u32;
    halves(total)
}

/// Whether a total is the sum of signs that the file holds.
fn is_sum(fact: &Fact, values: &[String], truth: &Truth) -> bool {
    let signs = Fact { kind: FactKind::Signs, ..fact.clone() };
    let stated = truth.facts.get(&signs).filter(|_| fact.kind == FactKind::Total);
    stated.is_some_and(|stated| values.first() == Some(&sum(&stated.value)))
}

/// The rows about which a person hears.
fn marked(plan: &Plan, truth: &Truth) -> HashMap<Place, Disposition> {
    let rows = plan.report.not_plain.iter();
    let of_sheet = |sheet: &Option<String>| {
        let named = |sheet: &String| truth.sheets.iter().position(|name| name == sheet);
        sheet.as_ref().and_then(named).unwrap_or_default()
    };
    rows.filter(|row| matches!(row.disposition, Disposition::Question | Disposition::Refused))
        .map(|row| ((of_sheet(&row.sheet), row.row), row.disposition))
        .collect()
}

fn added(plan: &Plan, truth: &Truth) -> Added {
    let mut last: BTreeMap<ChildId, &Registration> = BTreeMap::new();
    for entry in &plan.entries {
        if let Body::Registration(body) = &entry.body {
            last.insert(entry.child, body);
        }
    }
    let offered = plan.report.matches.iter().flat_map(|pair| [pair.child.id, pair.other.id]);
    let offered: BTreeSet<String> =
        offered.filter_map(|id| last.get(&id)).map(|body| key(body, truth)).collect();
    let mut facts: BTreeMap<Fact, Vec<String>> = BTreeMap::new();
    let mut put = |fact: Fact, value: String| facts.entry(fact).or_default().push(value);
    for body in last.values() {
        let child = key(body, truth);
        of_child(body, &child, &mut put);
        if let Some(about) = body.born_about.filter(|about| !is_near(*about, truth.born_about.get(&child))) {
            put(Fact::of_child(FactKind::Other("approximate birth"), &child), about.to_string());
        }
    }
    for entry in &plan.entries {
        let child = last.get(&entry.child).map(|body| key(body, truth)).unwrap_or_default();
        of_entry(entry, &child, &mut put);
    }
    Added { facts, offered }
}

/// Whether an approximate birth is the true one, as nearly as an age in weeks can tell.
fn is_near(about: Day, born: Option<&Day>) -> bool {
    born.is_some_and(|born| (about.number() - born.number()).abs() <= 7)
}

/// The number, or the name where the file has none; another number of the same child counts as its own.
fn key(body: &Registration, truth: &Truth) -> String {
    let number = body.numbers.first().filter(|_| !truth.by_name);
    let key = number.cloned().unwrap_or_else(|| body.full_name());
    truth.also_as.get(&key).cloned().unwrap_or(key)
}

fn of_child(body: &Registration, child: &str, put: &mut impl FnMut(Fact, String)) {
    put(Fact::of_child(FactKind::Child, child), body.full_name());
    if let Some(born) = body.born {
        put(Fact::of_child(FactKind::Born, child), born.to_string());
    }
    if let Some(sex) = body.sex {
        put(Fact::of_child(FactKind::Sex, child), sex.key().to_owned());
    }
}

fn of_entry(entry: &Entry, child: &str, put: &mut impl FnMut(Fact, String)) {
    let on = entry.on;
    let mut of_day = |kind, value: &str| put(Fact::of_day(kind, child, on), value.to_owned());
    match &entry.body {
        Body::Assessment(body) => of_assessment(body, entry, child, put),
        Body::CastApplied(body) => put(
            Fact::of_foot(FactKind::Cast, child, body.side, on),
            body.number.map(|number| number.to_string()).unwrap_or_default(),
        ),
        Body::TenotomyDone(body) => {
            put(Fact::of_foot(FactKind::Tenotomy, child, body.side, on), "yes".to_owned());
        }
        Body::RelapseNoted(body) => {
            put(Fact::of_foot(FactKind::Relapse, child, body.side, on), "yes".to_owned());
        }
        Body::BraceFitted(_) => of_day(FactKind::Brace, "yes"),
        // What somebody plans, says or attends carries no fact of treatment.
        Body::Registration(_)
        | Body::Note(_)
        | Body::AppointmentAttended(_)
        | Body::AppointmentMade(_)
        | Body::Diagnosis(_)
        | Body::Referral(_) => {}
        other => of_day(FactKind::Other(other.kind().wire()), "yes"),
    }
}

fn of_assessment(body: &Assessment, entry: &Entry, child: &str, put: &mut impl FnMut(Fact, String)) {
    let mut of_foot = |kind, value: String| put(Fact::of_foot(kind, child, body.side, entry.on), value);
    if !body.pirani.is_empty() {
        let signs = Sign::ALL.map(|sign| {
            body.pirani.sign(sign).map_or_else(|| "-".to_owned(), |point| halves(u32::from(point.halves().0)))
        });
        of_foot(FactKind::Signs, signs.join(" "));
        // A total next to the signs must be their sum; it is no fact of its own.
        if body.total_disagrees() {
            of_foot(FactKind::Other("total that disagrees"), String::new());
        }
    } else if let Some(total) = body.stated_total {
        of_foot(FactKind::Total, total.to_string());
    }
    if let Some(total) = body.stated_dimeglio_total {
        of_foot(FactKind::Dimeglio, total.to_string());
    }
    if !body.dimeglio.is_empty() {
        of_foot(FactKind::Other("item of Dimeglio"), String::new());
    }
    if !body.walking.is_empty() {
        of_foot(FactKind::Other("item of the walking-age score"), String::new());
    }
    if body.abduction_deg.is_some() || body.dorsiflexion_deg.is_some() {
        of_foot(FactKind::Other("angle"), String::new());
    }
}
