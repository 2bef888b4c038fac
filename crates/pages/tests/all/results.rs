//! Results: every figure stands with its method, numbers and day; charts have words and tables.

use crate::sample::results::view;
use audit::{Kind, Measure};
use pages::{Here, ResultsFilter};
use scraper::{Html, Selector};

fn page(measure: Measure) -> (String, Html) {
    let text = pages::result(&crate::sample::frame(Here::Results), &view(&[measure])).into_string();
    let html = Html::parse_document(&text);
    (text, html)
}

fn count(html: &Html, selector: &str) -> usize {
    html.select(&Selector::parse(selector).unwrap()).count()
}

#[test]
fn every_measure_names_method_numbers_day_and_version() {
    for measure in Measure::ALL {
        let view = view(&[*measure]);
        let answer = &view.answers[0];
        let (text, html) = page(*measure);
        let plain: String = html.root_element().text().collect();
        assert!(plain.contains(answer.definition.method), "{}", measure.key());
        assert!(plain.contains("As known on 14 May 2024"), "{}", measure.key());
        assert!(plain.contains(audit::VERSION), "{}", measure.key());
        let n = answer.definition.unit.count(answer.counted.n);
        assert!(plain.to_lowercase().contains(&n), "{}: {n}", measure.key());
        assert!(!text.contains("NaN") && !text.contains("inf\""), "{}", measure.key());
        assert!(!text.contains("<marks>"), "{}", measure.key());
    }
}

#[test]
fn every_chart_has_words_and_a_table_behind_it() {
    for measure in Measure::ALL {
        let view = view(&[*measure]);
        let answer = &view.answers[0];
        let (_, html) = page(*measure);
        let charts = count(&html, "figure.plot-figure svg[role=img]");
        let expected = usize::from(!answer.curves.is_empty())
            + usize::from(answer.chart.is_some())
            + usize::from(answer.definition.kind == Kind::Wear)
            + answer.funnels.len();
        // Each is drawn for a wide and for a narrow screen.
        assert_eq!(charts, 2 * expected, "{}", measure.key());
        assert!(expected > 0 || *measure == Measure::Missing || answer.counted.n == 0, "{}", measure.key());
        let worded = html.select(&Selector::parse("svg[role=img]").unwrap()).all(|svg| {
            svg.value().attr("aria-label").is_some_and(|words| words.len() > 30 && words.contains("table"))
        });
        assert!(worded, "{}", measure.key());
        assert!(count(&html, "table") >= expected, "{}", measure.key());
    }
}

#[test]
fn the_curve_ends_where_its_figures_say() {
    let view = view(&[Measure::RelapseFree]);
    let answer = &view.answers[0];
    let (text, _) = page(Measure::RelapseFree);
    let figure = &answer.figures[0];
    let shown = audit::words::value(audit::Scale::Share, figure.value);
    assert!(figure.value > 0.3 && figure.value < 1.0, "{figure:?}");
    assert!(text.contains(&format!("<strong>{shown}</strong>")), "{shown}");
}

#[test]
fn the_filter_goes_into_every_link_and_comes_back_from_the_address() {
    let pairs: Vec<(String, String)> = [
        ("as_of", "2024-01-31"),
        ("from", "2022-01-01"),
        ("severity", "severe"),
        ("side", "both"),
        ("site", "0190-a"),
        ("clinician", "x\"><script>"),
        ("to", "no day"),
    ]
    .map(|(name, value)| (name.to_owned(), value.to_owned()))
    .into();
    let filter = ResultsFilter::from_pairs(&pairs);
    assert_eq!(filter.clinician, None, "what could break an address is not taken");
    assert_eq!(filter.to, None);
    assert_eq!(filter.query(), "?as_of=2024-01-31&from=2022-01-01&site=0190-a&severity=severe&side=both");
    let mut shown = view(&[]);
    shown.filter = filter;
    let text = pages::results(&crate::sample::frame(Here::Results), &shown).into_string();
    assert!(text.contains("/results/tenotomy?as_of=2024-01-31&amp;from=2022-01-01"), "{text}");
    // A key that names nobody selects nobody.
    assert_eq!(shown.filter.selection(&shown.names).site, Some(u16::MAX));
}

#[test]
fn agreement_names_method_numbers_day_and_version_under_every_figure() {
    let view = crate::sample::results::agreement();
    let text = pages::agreement(&crate::sample::frame(Here::Results), &view).into_string();
    let html = Html::parse_document(&text);
    let captions: Vec<String> = html
        .select(&Selector::parse(".result-caption").unwrap())
        .map(|caption| caption.text().collect())
        .collect();
    // Signs, sums, the spread of two totals, and the raters.
    assert_eq!(captions.len(), 5, "{captions:?}");
    for caption in &captions {
        for part in ["50 feet of 50 children", "as known on 14 May 2024", audit::VERSION, "child"] {
            assert!(caption.contains(part), "{part}: {caption}");
        }
    }
    assert_eq!(count(&html, "svg[role=img]"), 4, "two totals, each for a wide and a narrow screen");
    assert_eq!(count(&html, "table"), 5);
    let plain: String = html.root_element().text().collect();
    for said in [
        "kappa 0.72 (91 feet, Shaheen)",
        "Hanne Kvist",
        "1 pair had a score corrected",
        "1 second score belongs to no first score",
    ] {
        assert!(plain.contains(said), "{said}: {plain}");
    }
    assert!(!text.contains("<marks>") && !text.contains("NaN"));
}

#[test]
fn without_pairs_the_page_says_how_to_begin() {
    let view = crate::sample::results::agreement_of_nobody();
    let text = pages::agreement(&crate::sample::frame(Here::Results), &view).into_string();
    assert!(text.contains("No foot has been scored twice") && !text.contains("<svg class=\"plot"), "{text}");
}
