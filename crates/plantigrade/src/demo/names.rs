//! Invented names, drawn at random.

use rand::{RngExt, rngs::StdRng};
use record::{Carer, Registration};

/// Where children are referred from.
pub const WARD: &str = "Skarholm maternity ward";

/// Where tenotomies are done.
pub const THEATRE: &str = "day theatre";

/// Name, hospital number and carer of a child; the story adds birth and sex.
pub fn registration(rng: &mut StdRng, number: usize) -> Registration {
    let family_name = pick(&FAMILY, rng);
    let carer = Carer {
        name: format!("{} {family_name}", pick(&GIVEN, rng)),
        relation: Some(pick(&RELATION, rng)),
        phone: Some(format!("0700 {:03} {:03}", number % 1000, rng.random_range(100..1000))),
        language: None,
    };
    Registration {
        given_name: pick(&GIVEN, rng),
        family_name,
        numbers: vec![format!("SK{:05}", 20_000 + number)],
        carers: vec![carer],
        ..Registration::default()
    }
}

/// The same registration with a given name that matches the child's sex, and a carer's name that matches the
/// relation.
pub fn suited(mut registration: Registration, boy: bool) -> Registration {
    registration.given_name = given(&registration.given_name, boy);
    for carer in &mut registration.carers {
        let man = carer.relation.as_deref() == Some("father");
        let (first, family) = carer.name.split_once(' ').unwrap_or((&carer.name, ""));
        carer.name = format!("{} {family}", given(first, man));
    }
    registration
}

/// A name if it matches the sex, otherwise the name at the same position of the other list.
fn given(name: &str, boy: bool) -> String {
    let of_boy = BOYS.contains(&name);
    if EITHER.contains(&name) || of_boy == boy {
        return name.to_owned();
    }
    let place = GIVEN.iter().position(|one| *one == name).unwrap_or(0);
    let girls: Vec<&str> =
        GIVEN.iter().copied().filter(|one| !BOYS.contains(one) && !EITHER.contains(one)).collect();
    let list: &[&str] = if boy { &BOYS } else { &girls };
    list[place % list.len()].to_owned()
}

/// Given names of boys.
const BOYS: [&str; 19] = [
    "Amir", "Anselm", "Ayaan", "Benedek", "Callum", "Chidi", "Emeka", "Finlo", "Ingvar", "Iolo", "Kaito",
    "Lorcan", "Malik", "Mirza", "Oskar", "Quillan", "Rasmus", "Tariq", "Zubin",
];

/// Given names of girls and boys.
const EITHER: [&str; 4] = ["Bilge", "Dilan", "Noor", "Senna"];

fn pick(list: &[&str], rng: &mut StdRng) -> String {
    list[rng.random_range(0..list.len())].to_owned()
}

/// Given names.
pub const GIVEN: [&str; 48] = [
    "Adaeze", "Alba", "Amir", "Anselm", "Aoife", "Ayaan", "Benedek", "Bilge", "Callum", "Chidi", "Dagny",
    "Dilan", "Edda", "Emeka", "Esme", "Fadma", "Finlo", "Gaia", "Hana", "Ingvar", "Iolo", "Jaya", "Jorun",
    "Kaito", "Keziah", "Leocadia", "Lorcan", "Malik", "Marit", "Mirza", "Nalini", "Noor", "Odalys", "Oskar",
    "Perpetua", "Quillan", "Rania", "Rasmus", "Saoirse", "Senna", "Tariq", "Thandi", "Ursel", "Vilde",
    "Wanjiru", "Yara", "Ysolde", "Zubin",
];

/// Family names.
pub const FAMILY: [&str; 40] = [
    "Aldermoor",
    "Anquetil",
    "Brackwater",
    "Carrowmere",
    "Dunsinane",
    "Eskdale",
    "Falkenrath",
    "Fenwolde",
    "Gossamer",
    "Greyholt",
    "Hallowind",
    "Harkaway",
    "Inverleith",
    "Juniperus",
    "Kettleness",
    "Kilbrannan",
    "Larkspur",
    "Lindisholm",
    "Marrowby",
    "Mellstock",
    "Netherby",
    "Northolme",
    "Ollerenshaw",
    "Oxendale",
    "Pellworm",
    "Quarrington",
    "Ravensby",
    "Rookhope",
    "Saltmarsh",
    "Skelwith",
    "Stormway",
    "Tarnbrook",
    "Thistlewood",
    "Underhay",
    "Vesterby",
    "Wainfleet",
    "Whinfell",
    "Winterslow",
    "Yarrowick",
    "Zennor",
];

/// How carers are related.
pub const RELATION: [&str; 4] = ["mother", "father", "grandmother", "aunt"];
