//! Every value of a setting in words, with the source of its built-in value.

use super::Setting;

/// One value of a setting, for the reader.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingValue {
    /// Its key in the file.
    pub key: &'static str,
    /// The label.
    pub label: &'static str,
    /// The current value.
    pub value: String,
    /// The source of the built-in value, or "assumed".
    pub source: &'static str,
    /// Whether the clinic's own value differs from the built-in one.
    pub changed: bool,
}

/// Every value except places and closures, which are always the clinic's own.
#[must_use]
pub fn setting_values(setting: &Setting) -> Vec<SettingValue> {
    let built_in = values(&Setting::default());
    let mut current = values(setting);
    for (value, built_in) in current.iter_mut().zip(built_in) {
        value.changed = value.value != built_in.value;
    }
    current
}

fn entry(key: &'static str, label: &'static str, value: String, source: &'static str) -> SettingValue {
    SettingValue { key, label, value, source, changed: false }
}

fn percent(share: f64) -> String {
    let percent = (share * 1000.0).round() / 10.0;
    format!("{percent} %")
}

fn list(values: &[u32]) -> String {
    values.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

fn range([low, high]: [u32; 2]) -> String {
    format!("{low} to {high}")
}

fn numbers(values: &[f64]) -> String {
    values.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

fn values(setting: &Setting) -> Vec<SettingValue> {
    let mut values = arrivals(setting);
    values.extend(casts(setting));
    values.extend(braces(setting));
    values
}

fn arrivals(setting: &Setting) -> Vec<SettingValue> {
    let (referrals, visits) = (&setting.referrals, &setting.visits);
    let ages = referrals
        .ages
        .iter()
        .map(|band| format!("{} at {} to {} days", percent(band.share), band.from_days, band.to_days));
    let [low, high] = referrals.incidence_range_per_1000;
    vec![
        entry(
            "referrals.incidence_per_1000",
            "Children with clubfoot per 1,000 births, where births are given",
            format!("{} ({low} to {high})", referrals.incidence_per_1000),
            "Smythe 2023, EClinicalMedicine S2589537023003553: 1.18 (1.00–1.36) over 44.8 million births; SE Asia 1.80, Africa 1.31, China 0.51, Turkey 2.03",
        ),
        entry(
            "referrals.ages",
            "Ages at referral",
            ages.collect::<Vec<_>>().join("; "),
            "assumed; published means at the first cast run from 24 days to 15.3 weeks",
        ),
        entry("visits.no_show", "Children who do not come to a place", percent(visits.no_show), "assumed"),
        entry(
            "visits.rebook_after_days",
            "Days until such a child is due again",
            visits.rebook_after_days.to_string(),
            "assumed",
        ),
        entry(
            "visits.order",
            "Who goes first where places are short",
            match visits.order {
                super::Order::ChangesFirst => {
                    "children in a cast before first casts, fittings before reviews".to_owned()
                }
                super::Order::FirstCome => "whoever fell due first".to_owned(),
            },
            "assumed",
        ),
    ]
}

// A flat table: one row per value.
#[allow(clippy::too_many_lines)]
fn casts(setting: &Setting) -> Vec<SettingValue> {
    let (casting, course) = (&setting.casting, &setting.course);
    vec![
        entry(
            "casting.interval_days",
            "Days from one cast to the next",
            casting.interval_days.to_string(),
            "Islam 2020, 10.4055/cios.2020.12.1.100 (7.0 days a cast in the weekly arm); Harnett 2011, JBJS Br 93-B:404",
        ),
        entry(
            "casting.window_days",
            "In time between, days",
            range(casting.window_days),
            "common practice, no source",
        ),
        entry(
            "casting.tenotomy_cast_days",
            "Days in the cast after a tenotomy",
            casting.tenotomy_cast_days.to_string(),
            "3 weeks, one office series 2012, 10.1097/BPO.0b013e31825611a6",
        ),
        entry(
            "casting.tenotomy_cast_window_days",
            "It comes off in time between, days",
            range(casting.tenotomy_cast_window_days),
            "assumed; 2 to 3 weeks is common practice, a week more is allowed here",
        ),
        entry(
            "casting.slip",
            "Correcting casts that slip",
            percent(casting.slip),
            "assumed, between none in 136 feet (Monforte 2021) and 4 of 128 casts in complex feet",
        ),
        entry(
            "casting.slip_complex",
            "The same in a complex foot",
            percent(casting.slip_complex),
            "4 of 128 casts, Indian J Orthop 2023, 10.1007/s43465-023-00910-w",
        ),
        entry(
            "course.casts_mean",
            "Correcting casts of a foot",
            if super::learned::own_casts(course) {
                format!(
                    "mean {} (SD {} within and {} between clinics), whatever was learned here",
                    course.casts_mean, course.casts_sd, course.casts_sd_between
                )
            } else {
                "from the natural history of the foot, as this clinic's own finished feet have taught it"
                    .to_owned()
            },
            "published first, then the clinic's own: all casts to the brace, the one after a tenotomy and holding casts among them, 5.63, SD 1.51 within and 1.64 in all (674 feet in 5 cohorts, computed from figures read)",
        ),
        entry(
            "course.tenotomy",
            "Feet with a tenotomy",
            course.tenotomy.map_or_else(
                || {
                    "as this clinic's own decisions have taught; each run draws a share that they still allow"
                        .to_owned()
                },
                percent,
            ),
            "before the clinic has decisions of its own: ten centres, 22 to 86 %; the centre decides more than the score",
        ),
        entry(
            "course.bilateral",
            "Children with both feet affected",
            percent(course.bilateral),
            "about 50 % in reviews; 18 and 40 % in two treated series",
        ),
        entry(
            "course.complex",
            "Children with a complex foot",
            percent(course.complex),
            "50 of 762, Ponseti 2006, 10.1097/01.blo.0000224062.39990.48 (referral-biased)",
        ),
    ]
}

// A flat table: one row per value.
#[allow(clippy::too_many_lines)]
fn braces(setting: &Setting) -> Vec<SettingValue> {
    let (bracing, boots) = (&setting.bracing, &setting.boots);
    vec![
        entry(
            "bracing.review_days",
            "First reviews, days after the fitting",
            list(&bracing.review_days),
            "common practice, no source",
        ),
        entry(
            "bracing.later_review_days",
            "Days between later reviews",
            bracing.later_review_days.to_string(),
            "common practice, no source; a handbook gives every 4 months to 3 years (from memory)",
        ),
        entry(
            "bracing.until_years",
            "Followed to the age of, years",
            bracing.until_years.to_string(),
            "4 to 5 years, Gupta and Agarwal 2021, 10.5005/jp-journals-10040-1172",
        ),
        entry(
            "bracing.relapse_per_year",
            "Relapses per child-year",
            format!(
                "{} from {} years of age",
                numbers(&bracing.relapse_per_year),
                numbers(&bracing.relapse_from_years)
            ),
            "30, 45 and 52 % by 2, 4 and 6 years, Sangiorgio 2017, 10.5435/JAAOS-D-16-00522 (n 191); hazards computed: −ln(.70)/1.75, −ln(.55/.70)/2, −ln(.48/.55)/2",
        ),
        entry(
            "bracing.second_relapse_factor",
            "The same after a first relapse, times",
            bracing.second_relapse_factor.to_string(),
            "second relapse avoided in 68 % (the same): −ln(.68) over the hazard left from 20 months, the median age of a first relapse, to 6 years, .386/.437 (computed)",
        ),
        entry(
            "bracing.relapse_casts",
            "Casts for a relapse",
            range(bracing.relapse_casts),
            "2 to 3, handbook (from memory)",
        ),
        entry(
            "bracing.relapse_tenotomy",
            "Relapses with another tenotomy",
            percent(bracing.relapse_tenotomy),
            "assumed; later tendon procedures in 42 of 148 feet over two and more years, of all feet",
        ),
        entry(
            "bracing.lost_in_casting",
            "Children lost in casting",
            percent(bracing.lost_in_casting),
            "16.1 % (155 of 965), 88 % of it in bracing, S1067-2516(21)00458-0: .12 × 16.1 %",
        ),
        entry(
            "bracing.lost_in_bracing",
            "Braced children lost by the end, at an even rate",
            percent(bracing.lost_in_bracing),
            "the same: .88 × 16.1 % of the 98.1 % who come to the brace; the even rate is assumed",
        ),
        entry(
            "boots.size_step_mm",
            "From one boot size to the next, mm",
            boots.size_step_mm.to_string(),
            "Mondopoint, ISO 9407: 5 mm (or 7.5), size is the foot's length in mm (from memory)",
        ),
        entry(
            "boots.outgrown_by_mm",
            "A boot is changed when the foot is longer than its size by, mm",
            boots.outgrown_by().to_string(),
            "toe room 10–15 mm when new (a shoe maker's page, low grade), and changed as the protocol says a boot is outgrown: open boots when no room is left (a children's hospital's handout), closed ones below 5 mm (the shoe maker's page)",
        ),
        entry(
            "boots.bar_step_mm",
            "From one bar length to the next, mm",
            boots.bar_step_mm.to_string(),
            "assumed; the length is the width between the acromia (bar about as long as the shoulders are wide, Gupta and Agarwal 2021), estimated, low grade",
        ),
    ]
}
