//! Names, joined by chance.

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
