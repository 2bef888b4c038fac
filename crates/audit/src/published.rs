//! Results of published series, with their spread: never a target.
//!
//! A figure is given in the words of its own series, because definitions differ. "From memory" marks a
//! figure that was not checked against its source again.

use crate::Measure;
use serde::Serialize;

/// One published figure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PublishedResult {
    /// The figure as printed, in words.
    pub figure: &'static str,
    /// Its range on the scale of the measure, if it can be drawn with the measure.
    pub range: Option<(f64, f64)>,
    /// Population, definition and length of follow-up.
    pub of: &'static str,
    /// The source.
    pub source: &'static str,
}

impl PublishedResult {
    /// Author and year, where both are known; otherwise the first part of the source: "Smythe 2017".
    #[must_use]
    pub fn label(&self) -> String {
        let first = self.source.split(',').next().unwrap_or(self.source).trim();
        let year_in = |text: &str| {
            text.split(|c: char| !c.is_ascii_digit())
                .find(|word| word.len() == 4 && (word.starts_with("19") || word.starts_with("20")))
                .map(str::to_owned)
        };
        // Identifiers hold digits that look like years.
        let spoken = self
            .source
            .split(',')
            .filter(|part| !part.trim_start().starts_with("10."))
            .collect::<Vec<_>>()
            .join(",");
        match (year_in(first), year_in(&spoken)) {
            (None, Some(year)) => format!("{first} {year}"),
            _ => first.to_owned(),
        }
    }
}

const fn one(figure: &'static str, value: f64, of: &'static str, source: &'static str) -> PublishedResult {
    PublishedResult { figure, range: Some((value, value)), of, source }
}

const fn from_to(
    figure: &'static str,
    range: (f64, f64),
    of: &'static str,
    source: &'static str,
) -> PublishedResult {
    PublishedResult { figure, range: Some(range), of, source }
}

const fn words(figure: &'static str, of: &'static str, source: &'static str) -> PublishedResult {
    PublishedResult { figure, range: None, of, source }
}

const SANGIORGIO: &str = "Sangiorgio, J Am Acad Orthop Surg 2017, 10.5435/JAAOS-D-16-00522";
const RICHARDS: &str = "Richards, Faulks, Felton, Karacz, J Pediatr Orthop";
const DROP: &str = "J Foot Ankle Surg 2021, S1067-2516(21)00458-0";
const GELFER: &str = "Gelfer, Bone Joint J 2019, 10.1302/0301-620X.101B6.BJJ-2018-1421.R1";
const ISLAM: &str = "Islam, Clin Orthop Surg 2020, 10.4055/cios.2020.12.1.100";

const AGE: &[PublishedResult] = &[
    one(
        "3.5 months (median)",
        106.5,
        "children who stayed in care; those who dropped out began at 7 to 9.5 months",
        DROP,
    ),
    one("15.3 weeks (mean)", 107.1, "526 children, Ethiopia", "Mengesha, Ethiop Med J"),
    one("28 days (mean, SD 15)", 28.0, "54 children", "Lampasi, Int Orthop 2018, 10.1007/s00264-018-3873-3"),
    from_to("2 to 6 weeks", (14.0, 42.0), "when to begin, British consensus", "Bone Joint J 2022"),
];
const CASTS: &[PublishedResult] = &[
    one("5.54 (SD 1.63)", 5.54, "424 feet, Ethiopia", "J Craniofac Surg"),
    one(
        "5.71 (SD 2.28)",
        5.71,
        "148 children, China",
        "BMC Musculoskelet Disord 2022, 10.1186/s12891-022-05039-9",
    ),
    one("6.3 (SD 1.2), weekly casts", 6.3, "81 feet", ISLAM),
    one("6.1 (SD 1.4), casts twice a week", 6.1, "77 feet", ISLAM),
    one("4.00 (SD 1.19)", 4.0, "58 feet", "Bob-Manuel 2022, 10.13107/ijpo.2022.v08.i03.143"),
    one("5.2", 5.2, "201 feet, Lagos", "Lagos State University Teaching Hospital 2013–15, PMC6016751"),
    one("6.9 (SD 1.4), semirigid", 6.9, "34 feet", "Williams 2022, 10.7759/cureus.22683"),
    one("7", 7.0, "260 feet begun at 1 to 6 years", "Spiegel 2009, 10.1007/s11999-008-0600-1"),
    one("11.84", 11.84, "75 children, an outlier", "Eusebio and Sumpaico, Philippine General Hospital"),
];
const DAYS: &[PublishedResult] = &[
    one("58.2 days, weekly casts, the last cast in it", 58.2, "81 feet", ISLAM),
    one("39.5 days, casts twice a week, the last cast in it", 39.5, "77 feet", ISLAM),
    from_to(
        "14 to 24 days, without the last cast",
        (14.0, 24.0),
        "256 feet, Iowa (from memory)",
        "Morcuende, Pediatrics 2004",
    ),
];
const TENOTOMY: &[PublishedResult] = &[
    one("76.4 %", 0.764, "148 children, China", "BMC Musculoskelet Disord 2022, 10.1186/s12891-022-05039-9"),
    one("61.1 %", 0.611, "Israel 2006–14", "as cited in the service series"),
    one(
        "74.4 % (93 of 125 feet)",
        0.744,
        "children under five",
        "J Pediatr Orthop, 10.1097/BPO.0000000000002338",
    ),
    one("86 % (51 of 59 feet)", 0.86, "up to one year old", "Menon and Thokaloath"),
    one(
        "60.9 % (643 feet of 1,055)",
        0.609,
        "one tertiary centre 2011–16",
        "Khan, Iowa Orthop J 2017, PMC5508266",
    ),
    one("51.6 % (33 of 64 feet)", 0.5156, "up to two years old, Nigeria", "Ugwuowo, Nig Q J Hosp Med"),
    one(
        "22.4 % (45 of 201 feet; 23.1 % printed)",
        0.224,
        "Lagos 2013–15",
        "Lagos State University Teaching Hospital 2013–15, PMC6016751",
    ),
    one("79 % (205 of 260 feet)", 0.788, "begun at 1 to 6 years", "Spiegel 2009, 10.1007/s11999-008-0600-1"),
];
const CORRECTION: &[PublishedResult] = &[
    one("98 %", 0.98, "initial correction, 256 feet (from memory)", "Morcuende, Pediatrics 2004"),
    from_to(
        "68 to 98 %",
        (0.68, 0.98),
        "“success”, each in its own words: 22 papers, sub-Saharan Africa",
        "Smythe, BMC Musculoskelet Disord 2017",
    ),
];
const CAST_PROBLEMS: &[PublishedResult] = &[
    one(
        "3.1 slips per 100 casts (1.2 to 7.8)",
        3.1,
        "128 casts of complex feet",
        "Indian J Orthop 2023, 10.1007/s43465-023-00910-w",
    ),
    one("0 recorded", 0.0, "136 feet", "Monforte, J Pediatr Orthop 2021"),
    words(
        "17.6 % of feet (6 of 34)",
        "any complication, semirigid; counted by foot, not by cast",
        "Williams 2022, 10.7759/cureus.22683",
    ),
];
const TOLERANCE: &[PublishedResult] = &[
    from_to(
        "39 to 66 % adherent",
        (0.39, 0.66),
        "review; 34 to 61 % of children not adherent",
        "Alves, J Child Orthop 2019",
    ),
    one(
        "66.9 % adherent",
        0.669,
        "148 children, China, mean 7.3 years",
        "BMC Musculoskelet Disord 2022, 10.1186/s12891-022-05039-9",
    ),
    from_to(
        "47 % rigid bar, 81 % jointed bar",
        (0.47, 0.81),
        "57 and 57 children, two years",
        "Garg and Porter 2009, 10.1007/s11832-009-0182-9",
    ),
    from_to(
        "46 % bar, 91 % unilateral leg brace",
        (0.46, 0.91),
        "45 children",
        "BMC Musculoskelet Disord 2018, 10.1186/s12891-018-2160-1",
    ),
];
const DROP_OUT: &[PublishedResult] = &[
    one(
        "16.1 % (155 of 965 children), 88 % of them in bracing",
        0.1606,
        "six years of one clinic, by this definition; not by time",
        DROP,
    ),
    words(
        "31 % seen at 3.5 to 5 years (68 of 218)",
        "Harare",
        "Smythe, BMC Musculoskelet Disord 2018, 10.1186/s12891-018-2365-3",
    ),
];
const DROP_OUT_OTHERWISE: &[PublishedResult] = &[
    words(
        "16.1 % (155 of 965 children), 88 % of them in bracing",
        "six years of one clinic, by fixed intervals: see “Drop-out, by the published definition”; not by time",
        DROP,
    ),
    words(
        "31 % seen at 3.5 to 5 years (68 of 218)",
        "Harare",
        "Smythe, BMC Musculoskelet Disord 2018, 10.1186/s12891-018-2365-3",
    ),
];
const RELAPSE_FREE: &[PublishedResult] = &[
    words("70, 55 and 48 % free at 2, 4 and 6 years of age", "191 children; by age, not by time", SANGIORGIO),
    from_to(
        "55 to 98 % free",
        (0.55, 0.981),
        "84 studies, 10,535 feet, mixed follow-up; 57 % of them defined relapse",
        GELFER,
    ),
    from_to("52 to 74 % free", (0.52, 0.74), "34 studies", "van Schelven, PMC8815420"),
    one(
        "78.4 % free (32 of 148 relapsed)",
        0.784,
        "China, mean 7.3 years",
        "BMC Musculoskelet Disord 2022, 10.1186/s12891-022-05039-9",
    ),
    one(
        "78 % free (17 of 76 relapsed)",
        0.776,
        "Canada, mean 5 years",
        "Nahle, J Child Orthop 2022, PMC9124915",
    ),
    one(
        "35.8 % free (61 of 95 relapsed)",
        0.358,
        "United States 2012–22",
        "Martinez, J Pediatr Orthop 2024, 10.1097/BPO.0000000000002686",
    ),
];
const RELAPSE_FREE_AGE: &[PublishedResult] = &[
    one("55 % free at 4 years", 0.55, "191 children, Kaplan–Meier; 70 % at 2, 48 % at 6", SANGIORGIO),
    from_to("55 to 98 % free", (0.55, 0.981), "84 studies, mixed follow-up", GELFER),
];
const RELAPSE: &[PublishedResult] = &[
    words(
        "30, 45 and 52 % by 2, 4 and 6 years of age",
        "191 children; Kaplan–Meier, drop-out taken as censored",
        SANGIORGIO,
    ),
    from_to("1.9 to 45 %", (0.019, 0.45), "84 studies, 10,535 feet", GELFER),
    from_to("26 to 48 %", (0.26, 0.48), "34 studies", "van Schelven, PMC8815420"),
    one(
        "21.6 % (32 of 148)",
        0.216,
        "China, mean 7.3 years",
        "BMC Musculoskelet Disord 2022, 10.1186/s12891-022-05039-9",
    ),
    one(
        "32 %, 87 % of them after the brace ended",
        0.32,
        "72 children to 7 years",
        "Manousaki 2021, PMC8161945",
    ),
    one(
        "64.2 % (61 of 95)",
        0.642,
        "United States 2012–22",
        "Martinez, J Pediatr Orthop 2024, 10.1097/BPO.0000000000002686",
    ),
];
const TRANSFER: &[PublishedResult] = &[
    one(
        "28.4 % of feet (42 of 148)",
        0.284,
        "later tendon procedure, two years and more",
        "as cited in the correction series",
    ),
    one(
        "42 % of feet (25 of 60)",
        0.417,
        "1950–67, followed 37 to 55 years",
        "Holt 2015, 10.2106/JBJS.N.00525",
    ),
    words(
        "89 % of feet that relapsed after four",
        "33 of 37 feet",
        "J Pediatr Orthop 2012, 10.1097/BPO.0b013e318256117c",
    ),
];
const MAJOR: &[PublishedResult] = &[
    from_to("1.4 to 53.3 %", (0.014, 0.533), "84 studies, rising with follow-up", GELFER),
    one(
        "12.3 % of feet",
        0.123,
        "radical release, 133 feet, one United Kingdom unit",
        "Ranson, J Foot Ankle Surg 2021",
    ),
];
const WAIT_BRACE: &[PublishedResult] = &[from_to(
    "21 days in the cast, 42 past two years of age",
    (21.0, 42.0),
    "the cast after the tenotomy in published protocols; the rest is waiting",
    "as cited in the correction series",
)];
const LOGGED: &[PublishedResult] = &[
    words(
        "19.8, 11.9, 9.6, 8.6, 7.9, 7.7 hours a day in the six quarters",
        "124 children, all still corrected at two years",
        RICHARDS,
    ),
    words(
        "8 hours a day without a relapse, 5 with one",
        "44 children",
        "Sangiorgio, J Bone Joint Surg Am 2016",
    ),
];
const REPORTED: &[PublishedResult] = &[words(
    "reported hours are 1.30 times logged hours (median)",
    "44 children",
    "Sangiorgio, J Bone Joint Surg Am 2016",
)];

impl Measure {
    /// Results of published series for this measure.
    #[must_use]
    pub const fn published(self) -> &'static [PublishedResult] {
        match self {
            Self::AgeFirstCast => AGE,
            Self::Casts => CASTS,
            Self::DaysCasting => DAYS,
            Self::Tenotomy => TENOTOMY,
            Self::Correction => CORRECTION,
            Self::CastProblems => CAST_PROBLEMS,
            Self::BraceTolerance => TOLERANCE,
            Self::DropOut => DROP_OUT_OTHERWISE,
            Self::DropOutPublished => DROP_OUT,
            Self::RelapseFree => RELAPSE_FREE,
            Self::RelapseFreeAge => RELAPSE_FREE_AGE,
            Self::Relapse => RELAPSE,
            Self::TendonTransfer => TRANSFER,
            Self::MajorSurgery => MAJOR,
            Self::WaitBrace => WAIT_BRACE,
            Self::WearLogged => LOGGED,
            Self::WearReported => REPORTED,
            Self::WaitFirstCast | Self::WaitTenotomy | Self::SecondTenotomy | Self::Missing => &[],
        }
    }
}

/// Mean logged hours by quarter of bracing, to be drawn with the clinic's own (Richards).
pub const LOGGED_BY_QUARTER: [f64; 6] = [19.8, 11.9, 9.6, 8.6, 7.9, 7.7];
