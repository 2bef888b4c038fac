//! The basis and source of every value of the natural history, for the page that lists them.

use super::{ClinicHabits, HabitSpread, Parameters, TenotomyBy};

/// The basis of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ParameterBasis {
    /// Read in a source, or worked out from one.
    Published,
    /// Fitted here so that the whole model meets published figures.
    Fitted,
    /// A fact of the trade without a source, or one from a handbook from memory.
    CommonPractice,
    /// Assumed.
    Assumed,
}

impl ParameterBasis {
    /// The human words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Fitted => "fitted here",
            Self::CommonPractice => "common practice, no source",
            Self::Assumed => "assumed",
        }
    }
}

/// One value with its basis and source.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Note {
    /// The field.
    pub name: &'static str,
    /// In words.
    pub what: &'static str,
    /// Its value, or values.
    pub value: String,
    /// Unit, or nothing.
    pub unit: &'static str,
    /// Spread as published, or nothing.
    pub spread: &'static str,
    /// Its basis.
    pub basis: ParameterBasis,
    /// The source, or the figures it was fitted to, or why it was assumed.
    pub source: &'static str,
}

/// Values as a row of text.
trait Values {
    fn text(&self) -> String;
}

impl Values for f64 {
    fn text(&self) -> String {
        format!("{self}").replace('-', "−")
    }
}

impl Values for TenotomyBy {
    fn text(&self) -> String {
        match self {
            Self::Decision => "those at the decision".to_owned(),
            Self::FirstScore => "those of the first visit".to_owned(),
        }
    }
}

impl<const N: usize> Values for [f64; N] {
    fn text(&self) -> String {
        self.iter().map(Values::text).collect::<Vec<_>>().join(", ")
    }
}

impl Values for Vec<f64> {
    /// The days with a chance: "7: 66 %, 8: 10 %".
    fn text(&self) -> String {
        let sum: f64 = self.iter().sum();
        let days = self.iter().enumerate().filter(|(_, chance)| **chance > 0.0);
        days.map(|(day, chance)| format!("{day}: {:.0} %", 100.0 * chance / sum))
            .collect::<Vec<_>>()
            .join(", ")
    }
}

/// One note for each field, in order. The struct is destructured completely, so that a new field without a note does
/// not compile.
macro_rules! notes {
    ($of:ident { $($name:ident: $what:literal, $unit:literal, $spread:literal, $basis:ident, $source:literal;)* }) => {
        impl $of {
            /// The basis and source of each value, in the order of the fields.
            #[must_use]
            pub fn notes(&self) -> Vec<Note> {
                let Self { $($name),* } = self;
                vec![$(Note {
                    name: stringify!($name),
                    what: $what,
                    value: $name.text(),
                    unit: $unit,
                    spread: $spread,
                    basis: ParameterBasis::$basis,
                    source: $source,
                }),*]
            }
        }
    };
}

notes! { Parameters {
    initial_mean: "true level of the six signs before the first cast, mean: lateral border, medial crease, head of talus, posterior crease, rigid equinus, empty heel", "points", "Pirani total 4.2 to 5.0 in seven cohorts", Fitted, "Pirani mean at the start (Islam 2020, Williams 2022, Bob-Manuel 2022, 10.1097/BPO.0000000000002338) and before the tenotomy (Williams 2022), with the number of casts";
    initial_by_severity: "fall of every sign's mean per SD of severity", "points", "", Fitted, "SD of Pirani at the start, 0.73 to 1.68 in six cohorts; correlation of Pirani and casts, 0.225 to 0.675";
    initial_sd: "SD of a sign given severity", "points", "", Fitted, "as for severity";
    severity_correlation: "correlation of severity between two feet of one child", "", "", Assumed, "no source gave it";
    fall: "half the mean number of quarter points by which a cast takes each sign down", "", "", Fitted, "casts 5.63, SD 1.51 (674 feet, five arms); Pirani falls 0.41 a cast to the decision (Williams 2022). Order of the signs after Lampasi 2017, 10.1177/2309499017713916: medial crease early, midfoot steadily, hindfoot little";
    pace_sd: "SD of the logarithm of pace between feet of one clinic", "", "", Fitted, "within-arm SD of casts, 1.19 to 1.63 in five arms; limited to 0.16 or more, because with a smaller one all feet would be alike";
    pace_correlation: "correlation of pace between two feet of one child", "", "", Assumed, "no source gave it";
    pace_by_age_year: "shift of log pace per year of age at the first cast", "per year", "", Fitted, "7.0 casts at one to six years (260 feet, Spiegel 2009); correlation of age and casts 0.178 (Mengesha)";
    pace_by_severity: "shift of log pace per SD of severity", "", "", Fitted, "correlation of Pirani and casts";
    pace_complex: "shift of log pace of a complex foot, or of one with another cause", "", "casts 5.0, 5.12 and 7.68 in three series", Assumed, "between the three series (Ponseti 2006, 10.1007/s43465-023-00910-w, Yadav 2023), which contradict each other";
    rating_slip: "chance of writing the neighbouring answer for a sign squarely on one", "", "", Fitted, "mean gap between raters 0.65 points (411 feet, Cosma & Vasilescu 2015) and kappas 0.50 to 0.72 (91 feet, Shaheen), which contradict each other; a low value was chosen, because a higher one would make the spread of the score at the brace larger than in Khan 2017";
    cast_slip: "chance that a cast slips and corrects nothing", "", "4 of 128; 13 in some 170; 0 in some 680 casts", Published, "10.1007/s43465-023-00910-w and two further series, pooled; casts of the last two counted at five a foot";
    dorsiflexion_free_deg: "dorsiflexion of a foot whose rigid equinus is truly 0", "°", "", Fitted, "dorsiflexion −40.4 (22.3) at the start (125 feet, 10.1097/BPO.0000000000002338) and −28 (19) before the tenotomy (22 feet)";
    dorsiflexion_by_equinus_deg: "degrees lost by a full point of rigid equinus", "°", "", Fitted, "as for dorsiflexion";
    dorsiflexion_sd_deg: "SD between feet of dorsiflexion given equinus", "°", "", Fitted, "as for dorsiflexion";
    dorsiflexion_reading_sd_deg: "SD of reading the angle", "°", "", Assumed, "no source read for infants";
    left_after_tenotomy: "most that the tenotomy and its cast leave of a hindfoot sign, mean: posterior crease, rigid equinus, empty heel", "points", "", Fitted, "Pirani at the brace 1.1 (0.55) and 1.2 (0.58), 1,055 feet, Khan 2017";
    tenotomy_by_hindfoot: "logit of tenotomy per written hindfoot point above 2 at the decision", "per point", "odds ratios 4.4 (1.2–17) and 8.3 (3.7–19) between bands", Fitted, "bands of Scher 2004, the Calabar group and Menon";
    tenotomy_by_equinus: "logit of tenotomy for rigid equinus written 1 at the decision, taken off again for 0", "", "51 of 52 v 0 of 7", Fitted, "bands of Menon, Scher 2004 and the Calabar group";
    adherent: "share of children with an adherent family", "", "34 to 61 % not adherent", Published, "71 of 116: 10.1097/BPO.0000000000000870 (derived); range Alves 2019";
    relapse_ratio: "ratio of relapse hazards, not adherent to adherent", "", "odds ratio 10 (5–21)", Fitted, "odds ratio 10 (van Schelven 2022) and 10.3 (2.7–39; 10.1097/BPO.0000000000000870) by the age of three";
    relapse_per_year: "relapse hazard of an adherent foot at 0–2, 2–4 and from 4 years", "per year", "", Fitted, "30, 45 and 52 % of children by 2, 4 and 6 years (191 children, Sangiorgio 2017)";
    leave_per_year: "hazard of leaving care, in casts and in the brace", "per year", "", Fitted, "16.06 % of 965 left, 88.4 % of them in the brace (S1067-2516(21)00458-0)";
    wear_hours: "hours worn by an adherent family, quarters 1 to 6 of a year of bracing", "h/day", "", Fitted, "19.8, 11.9, 9.6, 8.6, 7.9 and 7.7 h logged in 124 children without a relapse at two (Richards 2020)";
    wear_share_not_adherent: "hours of a family that is not adherent, as a share", "", "5 h with and 8 h without a relapse", Assumed, "after Sangiorgio 2016 (44 children): relapsed 5 h, not 8 h";
    wear_sd_hours: "SD of a family's mean hours in a quarter", "h/day", "", Fitted, "a third below 6 h and nearly half below 8 h in months 16–18 (Richards 2020)";
    wear_over_report: "hours reported for an hour logged", "", "", Published, "logged = 0.77 of reported, median (44 children, Sangiorgio 2016)";
} }

notes! { ClinicHabits {
    tenotomy_intercept: "logit of tenotomy at a written hindfoot of 2 with rigid equinus 0.5", "", "22 to 86 % of feet in ten centres", Fitted, "mean share of ten centres, 67.7 % (Lagos, Ugwuowo, Khan, Calabar, Scher, Williams, 10.1097/BPO.0000000000002338, Islam twice, Menon)";
    tenotomy_by: "which signs the decision on tenotomy goes by", "", "", Assumed, "no source says it; in one paper the first score alone foretold it in 58 of 59 feet (Menon). A forecast always takes those at the decision";
    tenotomy_slope: "factor on both logits of tenotomy: how far the clinic goes by the signs", "", "", Assumed, "1 is the published average; one paper's clinic cut by rigid equinus alone (Menon), others hardly by score";
    pace_shift: "shift of log pace of the whole clinic", "", "means of 4.0 to 6.9 casts", Assumed, "0 is the published average, 5.63 casts (674 feet, five arms)";
    go_on: "chance of going on from casting by the written midfoot, 0, 0.5 … 3", "", "midfoot 0, midfoot under 1, or head of talus 0 as rules", Assumed, "three published rules that differ (Mengesha; an Indian series; Lampasi 2017); 32 % of tenotomies met the first in its own programme";
    interval_days: "days from cast to cast", "days", "7.0 and 3.6 in one trial", Published, "Islam 2020 (weekly); the spread, and 14 days after a missed visit, are assumed";
    tenotomy_wait_days: "days from the decision to the tenotomy", "days", "", Assumed, "no source gave it; most published series cut at the visit or within the week";
    tenotomy_to_brace_days: "days from the tenotomy to the brace", "days", "14 to 24; 21 in most", Published, "10.1097/BPO.0b013e31825611a6 (three weeks); the spread is assumed";
    ready_to_brace_days: "days from the decision to the brace without a tenotomy", "days", "", Assumed, "no source gave it";
    full_time_days: "days of full-time bracing", "days", "84 to 120", Published, "12 weeks: IJERPH 2023;20:6846; three to four months: Gupta & Agarwal 2021; the spread is assumed";
    relapse_factor: "factor on the relapse hazard", "", "", Assumed, "1 is the published average";
} }

notes! { HabitSpread {
    tenotomy_intercept_mean: "tenotomy intercept, mean of clinics", "", "", Fitted, "mean share of ten centres, 67.7 %";
    tenotomy_intercept_sd: "tenotomy intercept, SD over clinics", "", "", Fitted, "SD of the shares of ten centres, 19.2 %, lowest 22 %, highest 86 %";
    pace_shift_sd: "shift of log pace, SD over clinics", "", "", Fitted, "means of casts of fourteen centres, 4.0 to 6.9, SD 0.8, about 5.4";
    go_on_logit_sd: "logit of going on from casting at a midfoot of 0.5 or 1, SD over clinics", "", "", Assumed, "three published rules that differ";
    quick_clinics: "share of clinics that change casts twice a week, and every five days", "", "", Assumed, "accelerated casting is published (Islam 2020, Harnett 2011); how many use it is not";
    cut_at_once: "share of clinics that cut at the visit at which it is decided", "", "", Assumed, "no source gave it";
    relapse_log_sd: "logarithm of the relapse factor, SD over clinics", "", "relapse 1.9 to 45 % in 84 studies", Assumed, "after Gelfer 2019; narrower, as follow-up and definition explain much of that range";
} }
