//! An invented clinic: children whose feet are cast, cut, braced and now and then relapse. The same seed
//! gives the same clinic.

use super::fact::{Fact, FactKind, Place, Truth, halves};
use record::{Day, Sex, Side, Sides};
use std::collections::BTreeMap;

/// Numbers that depend on a seed only.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below `end`, by the mixing function of splitmix64.
    pub fn below(&mut self, end: u32) -> u32 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        u32::try_from((mixed ^ (mixed >> 31)) >> 33).unwrap() % end
    }

    pub fn one_in(&mut self, n: u32) -> bool {
        self.below(n) == 0
    }

    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(u32::try_from(from.len()).unwrap()) as usize]
    }
}

/// Given names of girls and boys and family names, all invented combinations.
pub struct Names {
    pub girls: &'static [&'static str],
    pub boys: &'static [&'static str],
    pub families: &'static [&'static str],
}

pub const NAMES_EN: Names = Names {
    girls: &["Tamsin", "Orla", "Wren", "Isolde"],
    boys: &["Corwin", "Fenn", "Jory", "Alder"],
    families: &["Thistlewood", "Marrable", "Quennell", "Ashgrove", "Penhale", "Dunmore", "Larkspur"],
};
pub const NAMES_PT: Names = Names {
    girls: &["Iracema", "Conceição", "Lúcia"],
    boys: &["Anselmo", "João", "Ubirajara"],
    families: &["Cardoval", "Figueirinha", "Assunção", "Rebelinho", "Tavoleiro"],
};
pub const NAMES_ES: Names = Names {
    girls: &["Ximena", "Itziar", "Rocío"],
    boys: &["Nicanor", "Íñigo", "Amaro"],
    families: &["Valdecerro", "Muñozal", "Peñarrubia", "Ibarlucea", "Quesedo"],
};
pub const NAMES_DE: Names = Names {
    girls: &["Mareike", "Frauke", "Käthe"],
    boys: &["Jörn", "Ansgar", "Tjark"],
    families: &["Öhlenschmied", "Brachvogel", "Süßengut", "Hagedorf", "Wiesental"],
};
pub const NAMES_FR: Names = Names {
    girls: &["Apolline", "Maïwenn", "Solène"],
    boys: &["Gaëtan", "Loïc", "Théodule"],
    families: &["Beauvallon", "Chêneverd", "Marquenoy", "Rivedouce", "Hautefeuil"],
};
pub const NAMES_SW: Names = Names {
    girls: &["Zawadi", "Rehema", "Neema"],
    boys: &["Baraka", "Juma", "Tumaini"],
    families: &["Mwakibete", "Kisimani", "Ngorongo", "Shomvi", "Mtalika"],
};
pub const NAMES_HI: Names = Names {
    girls: &["सुमेधा", "तारिणी", "वाणी"],
    boys: &["निहाल", "ओजस", "कबीर"],
    families: &["देवगढ़ी", "मधुरकर", "सागरवाल", "नीलमणि", "पर्वतिया"],
};
pub const NAMES_TR: Names = Names {
    girls: &["Yağmur", "Defne", "Nilüfer"],
    boys: &["Çınar", "Ozan", "Poyraz"],
    families: &["Demirağaç", "Gökçeli", "Şenyayla", "İncesu", "Kavaklıdere"],
};
pub const NAMES_RU: Names = Names {
    girls: &["Злата", "Мирослава", "Ева"],
    boys: &["Тихон", "Лука", "Глеб"],
    families: &["Берёзкин", "Лугавой", "Снегирь", "Полянко", "Ветрин"],
};

/// One foot at one visit.
#[derive(Debug, Clone, Default)]
pub struct Foot {
    /// Half points, in the order of `Sign::ALL`.
    pub signs: [u32; 6],
    pub cast: Option<u32>,
    pub tenotomy: bool,
    pub relapse: bool,
    pub dimeglio: u32,
}

impl Foot {
    /// Half points.
    pub fn total(&self) -> u32 {
        self.signs.iter().sum()
    }

    pub fn midfoot(&self) -> u32 {
        self.signs[..3].iter().sum()
    }

    pub fn hindfoot(&self) -> u32 {
        self.signs[3..].iter().sum()
    }
}

/// One visit of a child.
#[derive(Debug, Clone)]
pub struct Visit {
    pub day: Day,
    /// Whether the brace was fitted.
    pub brace: bool,
    pub feet: BTreeMap<Side, Foot>,
}

impl Visit {
    pub fn foot(&self, side: Side) -> Option<&Foot> {
        self.feet.get(&side)
    }

    /// The feet of which something holds.
    pub fn sides(&self, of: impl Fn(&Foot) -> bool) -> Option<Sides> {
        let there = |side| self.foot(side).filter(|foot| of(foot)).map(|_| ());
        Sides::of(there(Side::Right), there(Side::Left))
    }
}

/// A child and its visits in order of day.
#[derive(Debug, Clone)]
pub struct Patient {
    pub number: String,
    pub given: String,
    pub family: String,
    pub born: Day,
    pub sex: Sex,
    pub sides: Sides,
    pub visits: Vec<Visit>,
}

impl Patient {
    pub fn name(&self) -> String {
        format!("{} {}", self.given, self.family)
    }

    fn key<'a>(&'a self, truth: &Truth, name: &'a str) -> &'a str {
        if truth.by_name { name } else { &self.number }
    }

    /// Adds name, birth and sex of the child.
    pub fn tell(&self, truth: &mut Truth, place: Place) {
        self.tell_some(truth, place, &[FactKind::Child, FactKind::Born, FactKind::Sex]);
    }

    /// Adds some of name, birth and sex.
    pub fn tell_some(&self, truth: &mut Truth, place: Place, kinds: &[FactKind]) {
        let name = self.name();
        let key = self.key(truth, &name).to_owned();
        for &kind in kinds {
            let value = match kind {
                FactKind::Child => name.clone(),
                FactKind::Born => self.born.to_string(),
                FactKind::Sex => self.sex.key().to_owned(),
                other => panic!("{other:?} is no fact of a child"),
            };
            truth.put(Fact::of_child(kind, &key), value, place);
        }
    }

    /// Adds what a row says of one foot at a visit.
    pub fn tell_foot(&self, truth: &mut Truth, place: Place, visit: &Visit, side: Side, kinds: &[FactKind]) {
        let Some(foot) = visit.foot(side) else { return };
        let name = self.name();
        let key = self.key(truth, &name).to_owned();
        for &kind in kinds {
            let value = match kind {
                FactKind::Signs => Some(foot.signs.map(halves).join(" ")),
                FactKind::Total => Some(halves(foot.total())),
                FactKind::Dimeglio => Some(foot.dimeglio.to_string()),
                FactKind::Cast => foot.cast.map(|number| number.to_string()),
                FactKind::Tenotomy => foot.tenotomy.then(|| "yes".to_owned()),
                FactKind::Relapse => foot.relapse.then(|| "yes".to_owned()),
                other => panic!("{other:?} is no fact of a foot"),
            };
            if let Some(value) = value {
                truth.put(Fact::of_foot(kind, &key, side, visit.day), value, place);
            }
        }
    }

    /// Adds that the brace was fitted.
    pub fn tell_brace(&self, truth: &mut Truth, place: Place, visit: &Visit) {
        if visit.brace {
            let name = self.name();
            let key = self.key(truth, &name).to_owned();
            truth.put(Fact::of_day(FactKind::Brace, &key, visit.day), "yes", place);
        }
    }
}

/// An invented clinic.
pub struct Clinic {
    pub patients: Vec<Patient>,
}

impl Clinic {
    /// `count` children numbered by `number`, seen from January 2024 on.
    pub fn new(seed: u64, count: u32, names: &Names, number: impl Fn(u32) -> String) -> Self {
        let mut dice = Dice::new(seed);
        let patients = (0..count).map(|n| patient(&mut dice, names, n, number(n))).collect();
        Self { patients }
    }

    /// Takes the relapses out, with their casts.
    pub fn without_relapse(&mut self) {
        let visits = self.patients.iter_mut().flat_map(|patient| &mut patient.visits);
        for foot in visits.flat_map(|visit| visit.feet.values_mut()).filter(|foot| foot.relapse) {
            (foot.relapse, foot.cast) = (false, None);
        }
    }

    /// Every visit with its child, in order of day.
    pub fn visits(&self) -> Vec<(&Patient, &Visit)> {
        let mut all: Vec<_> = self
            .patients
            .iter()
            .flat_map(|patient| patient.visits.iter().map(move |visit| (patient, visit)))
            .collect();
        all.sort_by_key(|(patient, visit)| (visit.day, patient.number.clone()));
        all
    }
}

fn patient(dice: &mut Dice, names: &Names, n: u32, number: String) -> Patient {
    let sex = if dice.one_in(2) { Sex::Female } else { Sex::Male };
    let given = if sex == Sex::Female { names.girls } else { names.boys };
    let start = Day::new(2024, 1, 2).unwrap().plus_days(i32::try_from(dice.below(300)).unwrap());
    let born = start.plus_days(-i32::try_from(5 + dice.below(50)).unwrap());
    let sides = *dice.pick(&[Sides::Right, Sides::Left, Sides::Both, Sides::Both]);
    // Each pair of names is used once, so that no two children are alike by chance.
    let family = names.families[n as usize % names.families.len()];
    let given = given[(n as usize / names.families.len()) % given.len()];
    Patient {
        number,
        given: given.to_owned(),
        family: family.to_owned(),
        born,
        sex,
        sides,
        visits: visits(dice, sides, start),
    }
}

/// The state of a foot while it is treated.
struct Treated {
    side: Side,
    signs: [u32; 6],
    casts: u32,
    cut: bool,
}

fn visits(dice: &mut Dice, sides: Sides, start: Day) -> Vec<Visit> {
    let mut feet: Vec<Treated> = sides
        .each()
        .iter()
        .map(|&side| Treated { side, signs: [0; 6].map(|_| 1 + dice.below(2)), casts: 0, cut: false })
        .collect();
    let mut out = Vec::new();
    let mut day = start;
    while feet.iter().any(|foot| !foot.cut) {
        out.push(Visit { day, brace: false, feet: feet.iter_mut().map(|foot| cast(dice, foot)).collect() });
        day = day.plus_days(7 + i32::try_from(dice.below(3)).unwrap());
    }
    day = day.plus_days(14);
    out.push(follow_up(dice, &feet, day, true));
    for months in [1, 3, 6] {
        out.push(follow_up(dice, &feet, day.plus_months(months).plus_days(2), false));
    }
    relapse(dice, &mut out);
    // The record knows no later day than 2 June 2025.
    out.retain(|visit| visit.day < Day::new(2025, 5, 20).unwrap());
    out
}

/// One visit in correction: the foot is scored, then cast, and cut once it is nearly corrected.
fn cast(dice: &mut Dice, foot: &mut Treated) -> (Side, Foot) {
    foot.casts += 1;
    let tenotomy = !foot.cut && foot.casts > 2 && foot.signs.iter().sum::<u32>() <= 4;
    foot.cut |= tenotomy;
    let seen = seen(foot, Some(foot.casts), tenotomy);
    for sign in &mut foot.signs {
        if dice.below(5) < 2 {
            *sign = sign.saturating_sub(1);
        }
    }
    (foot.side, seen)
}

fn seen(foot: &Treated, cast: Option<u32>, tenotomy: bool) -> Foot {
    let total: u32 = foot.signs.iter().sum();
    Foot { signs: foot.signs, cast, tenotomy, relapse: false, dimeglio: 1 + total * 3 / 2 }
}

fn follow_up(dice: &mut Dice, feet: &[Treated], day: Day, brace: bool) -> Visit {
    let feet = feet.iter().map(|foot| {
        let signs = [0; 6].map(|_| u32::from(dice.one_in(6)));
        let foot = Treated { signs, ..*foot };
        (foot.side, seen(&foot, None, false))
    });
    Visit { day, brace, feet: feet.collect() }
}

/// One foot in six relapses at the last visit and is cast again, counted from 1.
fn relapse(dice: &mut Dice, visits: &mut [Visit]) {
    let Some(last) = visits.last_mut() else { return };
    for foot in last.feet.values_mut() {
        if dice.one_in(6) {
            (foot.relapse, foot.cast) = (true, Some(1));
            foot.signs = [1, 1, 1, 1, 2, 1];
        }
    }
}
