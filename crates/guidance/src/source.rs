//! Sources of rules, one line each, so that a page can print them in full.

/// Common practice for which no paper was read.
pub(crate) const COMMON: &str = "common practice, no source";
/// The handbook of the method.
pub(crate) const HANDBOOK: &str = "Ponseti handbook, 3rd edition (from memory)";
/// The course of the sub-scores during casting.
pub(crate) const TRAJECTORY: &str =
    "Lampasi 2017, 10.1177/2309499017713916; Lampasi 2016 (hindfoot flat until tenotomy)";
/// Leaflets for parents on casts.
pub(crate) const LEAFLETS: &str = "leaflets for parents of several clinics";
/// Score rule: head of talus.
pub(crate) const LAMPASI: &str = "Lampasi 2017, J Orthop Surg 25(2), 10.1177/2309499017713916";
/// Score rule: midfoot zero.
pub(crate) const MENGESHA: &str = "Mengesha, Ethiop Med J (emjema.org 1799)";
/// Score rule: midfoot under one with the head covered.
pub(crate) const INDIAN: &str =
    "Indian series, quoted at second hand (hindfoot > 1, midfoot < 1, head of talus covered)";
/// Angle rule: less than 5°.
pub(crate) const MACNEILLE: &str = "MacNeille 2016, J Child Orthop 10:19, 10.1007/s11832-016-0710-3";
/// Angle rule: less than 15°.
pub(crate) const SCHER: &str = "Scher 2004, J Pediatr Orthop 24:349 (citation from memory)";
/// End point.
pub(crate) const KHAN: &str = "Khan 2017: at least 15° dorsiflexion and 70° abduction";
/// End point in feet that are not idiopathic.
pub(crate) const MEHTA: &str = "Mehta 2021, J Foot Ankle Surg AP 8:110, 10.5005/jp-journals-10040-1170";
/// Full time for three months.
pub(crate) const FULL_TIME: &str =
    "Int J Environ Res Public Health 2023;20:6846: 23 hours for 12 weeks, then sleep";
/// The effect of not wearing the brace.
pub(crate) const UNBRACED: &str = "van Schelven 2022, PMC8815420: relapse 10 times as likely (odds ratio, 5 to 21) where the brace is not worn";
/// The order in which the signs of a relapse appear.
pub(crate) const RELAPSE: &str =
    "review in Orthop J Madhya Pradesh: dorsiflexion is lost first, then heel varus and adductus";
/// Complex foot.
pub(crate) const COMPLEX: &str = "Ponseti 2006, 10.1097/01.blo.0000224062.39990.48; the figures from memory";
