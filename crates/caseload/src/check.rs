//! Impossible values of a setting, each refused with a sentence.

use super::{Setting, SettingError};

type Outcome = Result<(), SettingError>;

fn wrong(sentence: String) -> Outcome {
    Err(SettingError::Value(sentence))
}

fn between(key: &str, value: f64, low: f64, high: f64) -> Outcome {
    // Written so that NaN is refused too.
    if value.is_finite() && (low..=high).contains(&value) {
        return Ok(());
    }
    wrong(format!("{key} is {value}: {low} to {high} is expected"))
}

fn whole(key: &str, value: u32, low: u32, high: u32) -> Outcome {
    between(key, value.into(), low.into(), high.into())
}

fn share(key: &str, value: f64) -> Outcome {
    between(key, value, 0.0, 1.0)
}

fn ordered(key: &str, [low, high]: [u32; 2], longest: u32) -> Outcome {
    if low > high {
        return wrong(format!("{key} runs from {low} to {high}: the first must not be larger"));
    }
    whole(key, low, 0, longest).and_then(|()| whole(key, high, 1, longest))
}

/// The first impossible value.
fn check(setting: &Setting) -> Outcome {
    whole("horizon_weeks", setting.horizon_weeks, 1, 520)?;
    referrals(setting)?;
    for (key, clinic) in [
        ("cast_clinic", &setting.cast_clinic),
        ("theatre", &setting.theatre),
        ("brace_clinic", &setting.brace_clinic),
    ] {
        share(&format!("{key}.absence"), clinic.absence)?;
        clinic.by_weekday().iter().try_for_each(|&places| whole(key, places, 0, 1000))?;
    }
    share("visits.no_show", setting.visits.no_show)?;
    whole("visits.rebook_after_days", setting.visits.rebook_after_days, 1, 90)?;
    casting(setting)?;
    bracing(setting)?;
    course(setting)?;
    whole("boots.size_step_mm", setting.boots.size_step_mm, 1, 20)?;
    between("boots.outgrown_by_mm", setting.boots.outgrown_by(), 0.0, 30.0)?;
    whole("boots.bar_step_mm", setting.boots.bar_step_mm, 5, 100)?;
    closures(setting)
}

fn referrals(setting: &Setting) -> Outcome {
    let referrals = &setting.referrals;
    if let Some(per_year) = referrals.per_year {
        between("referrals.per_year", per_year, 0.0, 20_000.0)?;
    }
    if let Some(births) = referrals.births_per_year {
        between("referrals.births_per_year", births, 0.0, 5_000_000.0)?;
    }
    if referrals.per_year.is_some() && referrals.births_per_year.is_some() {
        return wrong(
            "referrals has both per_year and births_per_year: give only the one that is known".to_owned(),
        );
    }
    self::incidence(setting)?;
    if referrals.ages.iter().map(|band| band.share).sum::<f64>() <= 0.0 {
        return wrong("referrals.ages has no share of children".to_owned());
    }
    referrals.ages.iter().try_for_each(|band| {
        share("referrals.ages.share", band.share)?;
        ordered("referrals.ages", [band.from_days, band.to_days.max(1)], 2190)
    })
}

fn incidence(setting: &Setting) -> Outcome {
    let referrals = &setting.referrals;
    let incidence = referrals.incidence_per_1000;
    between("referrals.incidence_per_1000", incidence, 0.0, 20.0)?;
    let [low, high] = referrals.incidence_range_per_1000;
    between("referrals.incidence_range_per_1000", low, 0.0, 20.0)?;
    between("referrals.incidence_range_per_1000", high, 0.0, 20.0)?;
    // A file that sets only the incidence uses the built-in interval if that contains it.
    if low > incidence || incidence > high {
        return wrong(format!(
            "referrals.incidence_range_per_1000 runs from {low} to {high} and does not contain the incidence, {incidence}: give both"
        ));
    }
    Ok(())
}

fn casting(setting: &Setting) -> Outcome {
    let casting = &setting.casting;
    window("casting", casting.interval_days, casting.window_days, 60)?;
    window("casting.tenotomy_cast", casting.tenotomy_cast_days, casting.tenotomy_cast_window_days, 90)?;
    between("casting.slip", casting.slip, 0.0, 0.5)?;
    between("casting.slip_complex", casting.slip_complex, 0.0, 0.5)
}

fn window(key: &str, target: u32, window: [u32; 2], longest: u32) -> Outcome {
    ordered(&format!("{key} window_days"), window, longest)?;
    whole(key, target, 1, longest)?;
    if (window[0]..=window[1]).contains(&target) {
        return Ok(());
    }
    wrong(format!("{key}: {target} days are outside the window from {} to {} days", window[0], window[1]))
}

fn bracing(setting: &Setting) -> Outcome {
    let bracing = &setting.bracing;
    if bracing.review_days.len() > 20 || bracing.review_days.windows(2).any(|pair| pair[0] >= pair[1]) {
        return wrong("bracing.review_days must rise from one to the next, 20 at most".to_owned());
    }
    bracing.review_days.iter().try_for_each(|&days| whole("bracing.review_days", days, 1, 730))?;
    whole("bracing.later_review_days", bracing.later_review_days, 7, 730)?;
    between("bracing.until_years", bracing.until_years, 1.0, 8.0)?;
    relapse(setting)?;
    share("bracing.lost_in_casting", bracing.lost_in_casting)?;
    between("bracing.lost_in_bracing", bracing.lost_in_bracing, 0.0, 0.99)
}

fn relapse(setting: &Setting) -> Outcome {
    let bracing = &setting.bracing;
    let (from, rates) = (&bracing.relapse_from_years, &bracing.relapse_per_year);
    if from.is_empty() || from.len() != rates.len() || from.len() > 10 {
        return wrong(
            "bracing.relapse_from_years and relapse_per_year need as many values, 1 to 10".to_owned(),
        );
    }
    from.iter().try_for_each(|&years| between("bracing.relapse_from_years", years, 0.0, 10.0))?;
    rates.iter().try_for_each(|&rate| between("bracing.relapse_per_year", rate, 0.0, 20.0))?;
    if from.windows(2).any(|pair| pair[0] >= pair[1]) {
        return wrong("bracing.relapse_from_years must rise from one to the next".to_owned());
    }
    between("bracing.second_relapse_factor", bracing.second_relapse_factor, 0.0, 20.0)?;
    ordered("bracing.relapse_casts", bracing.relapse_casts, 20)?;
    whole("bracing.relapse_casts", bracing.relapse_casts[0], 1, 20)?;
    share("bracing.relapse_tenotomy", bracing.relapse_tenotomy)
}

fn course(setting: &Setting) -> Outcome {
    let course = &setting.course;
    share("course.bilateral", course.bilateral)?;
    share("course.complex", course.complex)?;
    between("course.casts_mean", course.casts_mean, 1.0, 20.0)?;
    between("course.casts_sd", course.casts_sd, 0.3, 10.0)?;
    between("course.casts_sd_between", course.casts_sd_between, 0.0, 5.0)?;
    course.tenotomy.map_or(Ok(()), |tenotomy| share("course.tenotomy", tenotomy))
}

fn closures(setting: &Setting) -> Outcome {
    if setting.closures.len() > 1000 {
        return wrong("closures has more than 1,000 rows".to_owned());
    }
    let reversed = setting.closures.iter().find(|closure| closure.last() < closure.from);
    reversed.map_or(Ok(()), |closure| {
        wrong(format!("closures: {} is later than {}; put the first day first", closure.from, closure.last()))
    })
}

impl Setting {
    /// Whether every value is possible.
    ///
    /// # Errors
    /// The first value that is not, in a sentence.
    pub fn check(&self) -> Result<(), SettingError> {
        check(self)
    }
}
