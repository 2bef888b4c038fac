//! Names, joined by chance.

use rand::{RngExt, rngs::StdRng};
use record::{Carer, Registration};

/// Who refers.
pub const WARD: &str = "Skarholm maternity ward";

/// Where tenotomies are done.
pub const THEATRE: &str = "day theatre";

/// Name, hospital number and carer of a child; birth and sex are left to the story.
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
