//! How each figure is worked out, by the name it has in `figures.toml`.

use super::rows::{FootRow, Row, points, total};
use super::sums::{
    below_hours, correlation, hours_when_good, kappa, late_hours, mean, median, odds_ratio, relapsed_by, sd,
};
use record::Sign;
use serde::Deserialize;

/// How a figure is worked out, and over what.
#[derive(Debug, Clone, Copy)]
pub(super) enum Measure {
    /// Over feet of which the condition holds.
    Feet(Option<Condition>, FeetMeasure),
    /// Over children.
    Children(ChildrenMeasure),
    /// Over feet of one clinic drawn from the spread of habits.
    Centre(FeetMeasure),
    /// Over whole clinics drawn from the spread of habits: of each the first, then over them the second.
    Centres(FeetMeasure, Over),
}

/// What may hold of a foot.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Condition {
    Cut,
    NotCut,
    Right,
    PiraniFrom3,
    PiraniBelow3,
    PiraniFrom4,
    PiraniBelow4,
    PiraniFrom5,
    PiraniBelow5,
    HindfootFrom2_5,
    RigidEquinus,
    NoRigidEquinus,
}

impl Condition {
    pub(super) fn holds(self, foot: &FootRow) -> bool {
        match self {
            Self::Cut => foot.cut,
            Self::NotCut => !foot.cut,
            Self::Right => foot.right,
            Self::PiraniFrom3 => foot.pirani() >= 3.0,
            Self::PiraniBelow3 => foot.pirani() < 3.0,
            Self::PiraniFrom4 => foot.pirani() >= 4.0,
            Self::PiraniBelow4 => foot.pirani() < 4.0,
            Self::PiraniFrom5 => foot.pirani() >= 5.0,
            Self::PiraniBelow5 => foot.pirani() < 5.0,
            Self::HindfootFrom2_5 => foot.hindfoot() >= 2.5,
            Self::RigidEquinus => equinus(foot),
            Self::NoRigidEquinus => !equinus(foot),
        }
    }
}

/// Whether rigid equinus is scored 1 at the start.
fn equinus(foot: &FootRow) -> bool {
    points(&foot.start, &[Sign::RigidEquinus]) >= 1.0
}

/// A figure over feet.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum FeetMeasure {
    AgeMean,
    AgeSd,
    CastsSlipped,
    PiraniMean,
    PiraniSd,
    MidfootMedian,
    HindfootMedian,
    HindfootMean,
    Percent(Condition),
    DorsiflexionMean,
    DorsiflexionSd,
    DorsiflexionAtDecisionMean,
    DorsiflexionAtDecisionSd,
    KappaOfSign(usize),
    KappaMidfoot,
    KappaHindfoot,
    KappaTotal,
    RatersCorrelation,
    RatersGap,
    RatersWithinOne,
    CastsMean,
    CastsSd,
    CastsMedian,
    FourCastsOrMore,
    ThreeCastsOrFewer,
    FiveCastsOrFewer,
    PiraniCastsCorrelation,
    AgeCastsCorrelation,
    FallToDecision,
    FallToBrace,
    PiraniAtDecisionMean,
    PiraniAtDecisionSd,
    PiraniAtBraceMean,
    PiraniAtBraceSd,
    DaysMean,
    DaysSd,
    MetUsualRule,
}

impl FeetMeasure {
    pub(super) fn of(self, feet: &[&FootRow]) -> f64 {
        let all = |value: fn(&FootRow) -> f64| feet.iter().map(move |foot| value(foot));
        let percent = |holds: fn(&FootRow) -> bool| percent(feet, holds);
        match self {
            Self::AgeMean => mean(all(|foot| foot.age_days)),
            Self::AgeSd => sd(all(|foot| foot.age_days)),
            Self::CastsSlipped => {
                100.0 * all(|foot| foot.slips).sum::<f64>() / all(|foot| foot.correcting).sum::<f64>()
            }
            Self::PiraniMean => mean(all(FootRow::pirani)),
            Self::PiraniSd => sd(all(FootRow::pirani)),
            Self::MidfootMedian => median(all(|foot| points(&foot.start, &Sign::ALL[..3]))),
            Self::HindfootMedian => median(all(FootRow::hindfoot)),
            Self::HindfootMean => mean(all(FootRow::hindfoot)),
            Self::Percent(condition) => {
                100.0 * mean(feet.iter().map(|foot| f64::from(u8::from(condition.holds(foot)))))
            }
            Self::DorsiflexionMean => mean(all(|foot| foot.dorsiflexion)),
            Self::DorsiflexionSd => sd(all(|foot| foot.dorsiflexion)),
            Self::DorsiflexionAtDecisionMean => mean(all(|foot| foot.dorsiflexion_at_decision)),
            Self::DorsiflexionAtDecisionSd => sd(all(|foot| foot.dorsiflexion_at_decision)),
            Self::KappaOfSign(sign) => agreed_on(feet, Sign::ALL.get(sign..=sign).unwrap_or_default()),
            Self::KappaMidfoot => agreed_on(feet, &Sign::ALL[..3]),
            Self::KappaHindfoot => agreed_on(feet, &Sign::ALL[3..]),
            Self::KappaTotal => agreed_on(feet, &Sign::ALL),
            Self::RatersCorrelation => {
                correlation(feet.iter().map(|foot| (total(&foot.midway[0]), total(&foot.midway[1]))))
            }
            Self::RatersGap => mean(all(gap)),
            Self::RatersWithinOne => percent(|foot| gap(foot) <= 1.0),
            Self::CastsMean => mean(all(|foot| foot.casts)),
            Self::CastsSd => sd(all(|foot| foot.casts)),
            Self::CastsMedian => median(all(|foot| foot.casts)),
            Self::FourCastsOrMore => percent(|foot| foot.casts >= 4.0),
            Self::ThreeCastsOrFewer => percent(|foot| foot.casts <= 3.0),
            Self::FiveCastsOrFewer => percent(|foot| foot.casts <= 5.0),
            Self::PiraniCastsCorrelation => correlation(feet.iter().map(|foot| (foot.pirani(), foot.casts))),
            Self::AgeCastsCorrelation => correlation(feet.iter().map(|foot| (foot.age_days, foot.casts))),
            Self::FallToDecision => {
                let fallen: f64 = all(|foot| foot.pirani() - total(&foot.decision)).sum();
                fallen / all(|foot| foot.correcting).sum::<f64>()
            }
            Self::FallToBrace => {
                let fallen: f64 = all(|foot| foot.pirani() - total(&foot.at_brace)).sum();
                fallen / all(|foot| foot.casts).sum::<f64>()
            }
            Self::PiraniAtDecisionMean => mean(all(|foot| total(&foot.decision))),
            Self::PiraniAtDecisionSd => sd(all(|foot| total(&foot.decision))),
            Self::PiraniAtBraceMean => mean(all(|foot| total(&foot.at_brace))),
            Self::PiraniAtBraceSd => sd(all(|foot| total(&foot.at_brace))),
            Self::DaysMean => mean(all(|foot| foot.days)),
            Self::DaysSd => sd(all(|foot| foot.days)),
            Self::MetUsualRule => percent(met_usual_rule),
        }
    }
}

fn percent(feet: &[&FootRow], holds: impl Fn(&FootRow) -> bool) -> f64 {
    100.0 * mean(feet.iter().map(|foot| f64::from(u8::from(holds(foot)))))
}

/// How far apart the totals of two raters lie at the start, points.
fn gap(foot: &FootRow) -> f64 {
    (foot.pirani() - total(&foot.start_again)).abs()
}

/// Midfoot 0 and hindfoot above 1 at the decision.
fn met_usual_rule(foot: &FootRow) -> bool {
    points(&foot.decision, &Sign::ALL[..3]) == 0.0 && points(&foot.decision, &Sign::ALL[3..]) > 1.0
}

fn agreed_on(feet: &[&FootRow], signs: &[Sign]) -> f64 {
    kappa(feet.iter().map(|foot| (points(&foot.midway[0], signs), points(&foot.midway[1], signs))))
}

/// A figure over children.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum ChildrenMeasure {
    BothFeet,
    Boys,
    Complex,
    /// Mean logged hours of a quarter, from 0, of children without a relapse at two years.
    HoursInQuarter(usize),
    /// Share of these below so many hours in months 16 to 18.
    BelowHours(f64),
    HoursOfRelapsed,
    HoursOfOthers,
    ReportedForLogged,
    /// Kaplan-Meier, by an age in years.
    RelapsedBy(f64),
    RelapseAgeMedian,
    OddsRatioNotAdherent,
    RelapsedOfNotAdherent,
    NotAdherent,
    LeftCare,
    LeftInBrace,
}

impl ChildrenMeasure {
    pub(super) fn of(self, children: &[&Row]) -> f64 {
        let percent = |holds: fn(&Row) -> bool| {
            100.0 * mean(children.iter().map(|child| f64::from(u8::from(holds(child)))))
        };
        match self {
            Self::BothFeet => percent(|child| child.feet.len() == 2),
            Self::Boys => percent(|child| child.boy),
            Self::Complex => percent(|child| child.complex),
            Self::HoursInQuarter(quarter) => hours_when_good(children, quarter),
            Self::BelowHours(hours) => below_hours(children, 5, hours),
            Self::HoursOfRelapsed => late_hours(children, true),
            Self::HoursOfOthers => late_hours(children, false),
            Self::ReportedForLogged => median(children.iter().filter_map(|child| child.reported_for_logged)),
            Self::RelapsedBy(years) => relapsed_by(children, years),
            Self::RelapseAgeMedian => relapse_age_months(children),
            Self::OddsRatioNotAdherent => odds_ratio(children, 3.0),
            Self::RelapsedOfNotAdherent => {
                let whose = children.iter().filter(|child| !child.adherent);
                let relapsed = |child: &Row| child.relapse_age_days.is_some_and(|age| age <= 1_096.0);
                100.0 * mean(whose.map(|child| f64::from(u8::from(relapsed(child)))))
            }
            Self::NotAdherent => percent(|child| !child.adherent),
            Self::LeftCare => percent(|child| child.left_in_brace.is_some()),
            Self::LeftInBrace => {
                let left = children.iter().filter_map(|child| child.left_in_brace);
                100.0 * mean(left.map(|in_brace| f64::from(u8::from(in_brace))))
            }
        }
    }
}

/// Median age at the first relapse among children with one while followed, months.
fn relapse_age_months(children: &[&Row]) -> f64 {
    let seen = |child: &&Row| child.relapse_age_days.filter(|age| *age <= child.followed_to_days);
    median(children.iter().filter_map(seen)) / 30.4375
}

/// A figure over centres.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Over {
    Mean,
    Sd,
    Least,
    Most,
}

impl Over {
    pub(super) fn of(self, values: &[f64]) -> f64 {
        let values = values.iter().copied();
        match self {
            Self::Mean => mean(values),
            Self::Sd => sd(values),
            Self::Least => values.fold(f64::INFINITY, f64::min),
            Self::Most => values.fold(f64::NEG_INFINITY, f64::max),
        }
    }
}
