//! What is likely, in words and in the picture.

use crate::sample::{in_brace, in_casts, likely};
use forecast::foot::{Chance, CountForecast, DateForecast, HeldHere, Stage};
use pages::likely::sentences::{coverage_words, forecast_lines, in_ten, percent};
use record::Day;
use rstest::rstest;
use scraper::{Html, Selector};

#[rstest]
#[case(0.004, "fewer than 1 in 100")]
#[case(0.04, "about 1 in 25")] // 1 / 0.04 = 25
#[case(0.72, "about 7 in 10")]
#[case(0.95, "about 95 in 100")]
#[case(0.996, "more than 99 in 100")]
fn a_chance_is_given_as_a_natural_frequency(#[case] chance: f64, #[case] words: &str) {
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

/// 148 of 163 is 9.08 of 10, 82 of 163 is 5.03 of 10; fewer than 20 windows are too few.
#[rstest]
#[case(Some((163, 82, 148)), "In this clinic 90 % windows like this were right in 148 of 163 cases (about 9 of 10), 50 % windows in 82 of 163 (about 5 of 10).")]
#[case(Some((20, 20, 20)), "In this clinic 90 % windows like this were right in 20 of 20 cases (about 10 of 10), 50 % windows in 20 of 20 (about 10 of 10).")]
#[case(Some((19, 19, 19)), "Only 19 windows like this checked in this clinic so far: too few to tell how often they are right.")]
#[case(Some((1, 0, 0)), "Only 1 window like this checked in this clinic so far: too few to tell how often they are right.")]
#[case(Some((0, 0, 0)), "No such window has been checked in this clinic yet, so how often they are right here is unknown.")]
#[case(None, "How often such windows are right in this clinic has not been measured.")]
fn the_coverage_of_windows_is_given_in_words(
    #[case] here: Option<(usize, usize, usize)>,
    #[case] words: &str,
) {
    let here = here.map(|(windows, held50, held90)| HeldHere { windows, held50, held90 });
    assert_eq!(coverage_words(here), words);
}

#[test]
fn every_window_is_given_with_its_coverage() {
    let outlook = in_casts("Elowen").outlook();
    let mut forecast = likely(&outlook).remove(0);
    let brace = forecast.brace.as_mut().unwrap();
    brace.here = Some(HeldHere { windows: 163, held50: 82, held90: 148 });
    let all = forecast_lines(&forecast);
    let windows = all.iter().filter(|line| line.what != "Heel-cord tenotomy");
    assert!(windows.clone().count() >= 4 && windows.clone().all(|line| line.coverage.is_some()), "{all:?}");
    let html = pages::likely::likely(outlook.course.child, &[forecast]).into_string();
    assert!(html.contains("148 of 163"), "{html}");
}

#[test]
fn every_forecast_is_given_with_its_interval() {
    let outlook = in_casts("Elowen").outlook();
    let mut forecast = likely(&outlook).remove(0);
    assert_eq!(forecast.stage, Stage::InCasts);
    // The median of 1, 2 and 3 casts with 30, 40 and 30 % is 2. A range of one count holds at most 40 %, of two
    // 70 %, of three 100 %.
    forecast.casts_to_come = CountForecast::of(&[0.0, 0.3, 0.4, 0.3]);
    forecast.tenotomy = Some(Chance { value: 0.72, low: 0.55, high: 0.84 });
    let day = Day::new(2024, 6, 3).unwrap();
    forecast.brace = DateForecast::of(day.number(), &[0.25, 0.5, 0.25]);
    let all = forecast_lines(&forecast);
    let of = |what: &str| all.iter().find(|line| line.what == what).unwrap_or_else(|| panic!("{what}"));
    assert_eq!(of("Remaining casts").answer, "about 2 more casts");
    assert!(of("Remaining casts").interval.contains("1 to 3"), "{:?}", of("Remaining casts"));
    let cord = of("Heel-cord tenotomy");
    assert_eq!(cord.answer, "about 7 in 10");
    assert!(cord.interval.contains("72 %") && cord.interval.contains("55 % to 84 %"), "{cord:?}");
    // The middle day has a chance of 50 %.
    assert_eq!(of("Brace fitted").answer, "4 June 2024");
    assert!(of("Brace fitted").interval.contains("3–5 June 2024"), "{:?}", of("Brace fitted"));
}

#[test]
fn without_finished_feet_the_page_states_that_the_forecast_is_based_on_published_figures() {
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
