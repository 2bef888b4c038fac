//! What is likely, in words and in the picture.

use crate::sample::{in_brace, in_casts, likely};
use forecast::foot::{Chance, CountForecast, DateForecast, Stage};
use pages::likely::sentences::{in_ten, percent, said};
use record::Day;
use rstest::rstest;
use scraper::{Html, Selector};

#[rstest]
#[case(0.004, "fewer than 1 in 100")]
#[case(0.04, "about 1 in 25")] // 1 / 0.04 = 25
#[case(0.72, "about 7 in 10")]
#[case(0.95, "about 95 in 100")]
#[case(0.996, "more than 99 in 100")]
fn a_chance_is_said_in_counts(#[case] chance: f64, #[case] words: &str) {
    assert_eq!(in_ten(chance), words);
}

#[rstest]
#[case(0.0, "0 %")]
#[case(0.004, "under 1 %")]
#[case(0.724, "72 %")]
#[case(0.996, "over 99 %")]
#[case(1.0, "100 %")]
fn a_percentage_never_rounds_to_certainty(#[case] chance: f64, #[case] words: &str) {
    assert_eq!(percent(chance), words);
}

#[test]
fn every_forecast_is_said_with_its_interval() {
    let outlook = in_casts("Elowen").outlook();
    let mut forecast = likely(&outlook).remove(0);
    assert_eq!(forecast.stage, Stage::InCasts);
    // Median of 1, 2 and 3 casts at 30, 40 and 30 %: 2. Any run of two holds 70 %, of one 40 %, of three all.
    forecast.casts_to_come = CountForecast::of(&[0.0, 0.3, 0.4, 0.3]);
    forecast.tenotomy = Some(Chance { value: 0.72, low: 0.55, high: 0.84 });
    let day = Day::new(2024, 6, 3).unwrap();
    forecast.brace = DateForecast::of(day.number(), &[0.25, 0.5, 0.25]);
    let all = said(&forecast);
    let of = |what: &str| all.iter().find(|said| said.what == what).unwrap_or_else(|| panic!("{what}"));
    assert_eq!(of("Casts still to come").answer, "about 2 more casts");
    assert!(of("Casts still to come").interval.contains("1 to 3"), "{:?}", of("Casts still to come"));
    let cord = of("Heel-cord tenotomy");
    assert_eq!(cord.answer, "about 7 in 10");
    assert!(cord.interval.contains("72 %") && cord.interval.contains("55 % to 84 %"), "{cord:?}");
    // The middle day holds half.
    assert_eq!(of("Brace goes on").answer, "4 June 2024");
    assert!(of("Brace goes on").interval.contains("3–5 June 2024"), "{:?}", of("Brace goes on"));
}

#[test]
fn without_feet_of_its_own_the_clinic_is_told_that_the_published_prior_speaks() {
    let outlook = in_casts("Elowen").outlook();
    let forecasts = likely(&outlook);
    let html = pages::likely::likely(outlook.course.child, &forecasts).into_string();
    assert!(forecasts.iter().all(|forecast| forecast.basis.finished_feet == 0));
    assert!(html.to_lowercase().contains("published"), "{html}");
}

#[test]
fn the_fan_is_drawn_for_a_foot_in_casts_and_not_for_one_in_the_brace() {
    let fans = |outlook: &guidance::Outlook| {
        let forecasts = likely(outlook);
        let forecast = forecasts.first().unwrap();
        let side = forecast.side;
        let html = pages::picture::course_picture(outlook, side, Some(forecast)).into_string();
        let page = Html::parse_fragment(&html);
        let count = |css: &str| page.select(&Selector::parse(css).unwrap()).count();
        (count("polygon.fan"), count("line.likely"), count("g[role=img][aria-label^=Forecast]"))
    };
    // Two widths of picture, two bands each; one text for each fan.
    let (bands, windows, texts) = fans(&in_casts("Elowen").outlook());
    assert_eq!((bands, texts), (4, 2));
    assert!(windows >= 4, "a window of the brace in each width: {windows}");
    let (bands, _, texts) = fans(&in_brace().outlook());
    assert_eq!((bands, texts), (0, 0));
}
