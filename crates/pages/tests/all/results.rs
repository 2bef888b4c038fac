//! Results: every figure is shown with its method, numbers and day; charts have a description and a table.

use crate::sample::results::view;
use audit::{Measure, MeasureKind};
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
fn every_chart_has_a_description_and_a_table() {
    for measure in Measure::ALL {
        let view = view(&[*measure]);
        let answer = &view.answers[0];
        let (_, html) = page(*measure);
        let charts = count(&html, "figure.plot-figure svg[role=img]");
        let expected = usize::from(!answer.curves.is_empty())
            + usize::from(answer.chart.is_some())
            + usize::from(answer.definition.kind == MeasureKind::Wear)
            + usize::from(view.watch.as_ref().is_some_and(|shown| shown.watch.is_ok()))
            + answer.funnels.len();
        // Each is drawn for a wide and for a narrow screen.
        assert_eq!(charts, 2 * expected, "{}", measure.key());
        assert!(expected > 0 || *measure == Measure::Missing || answer.counted.n == 0, "{}", measure.key());
        let described = html.select(&Selector::parse("svg[role=img]").unwrap()).all(|svg| {
            svg.value().attr("aria-label").is_some_and(|words| words.len() > 30 && words.contains("table"))
        });
        assert!(described, "{}", measure.key());
        assert!(count(&html, "table") >= expected, "{}", measure.key());
    }
}

#[test]
fn the_page_shows_the_figure_of_the_answer() {
    let view = view(&[Measure::RelapseFree]);
    let answer = &view.answers[0];
    let (text, _) = page(Measure::RelapseFree);
    let figure = answer.figures[0].estimate;
    let shown = audit::words::value(audit::MeasureScale::Share, figure.value);
    assert!(figure.value > 0.3 && figure.value < 1.0, "{figure:?}");
    assert!(text.contains(&format!("<strong>{shown}</strong>")), "{shown}");
}

#[test]
fn the_filter_is_written_into_every_link_and_read_from_the_url() {
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
    assert_eq!(filter.clinician, None, "characters that could break a URL are refused");
    assert_eq!(filter.to, None);
    assert_eq!(filter.query(), "?as_of=2024-01-31&from=2022-01-01&site=0190-a&severity=severe&side=both");
    let mut shown = view(&[]);
    shown.filter = filter;
    let text = pages::results(&crate::sample::frame(Here::Results), &shown).into_string();
    assert!(text.contains("/results/tenotomy?as_of=2024-01-31&amp;from=2022-01-01"), "{text}");
    // An unknown key selects nobody.
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
    for text in [
        "kappa 0.72 (91 feet, Shaheen)",
        "Hanne Kvist",
        "1 pair had a score corrected",
        "1 second score belongs to no valid first score",
    ] {
        assert!(plain.contains(text), "{text}: {plain}");
    }
    assert!(!text.contains("<marks>") && !text.contains("NaN"));
}

#[test]
fn without_pairs_the_page_explains_how_to_begin() {
    let view = crate::sample::results::agreement_of_nobody();
    let text = pages::agreement(&crate::sample::frame(Here::Results), &view).into_string();
    assert!(text.contains("No foot has been scored twice") && !text.contains("<svg class=\"plot"), "{text}");
}

#[test]
fn every_card_names_method_numbers_day_and_version() {
    let text = pages::results(&crate::sample::frame(Here::Results), &view(&[])).into_string();
    let html = Html::parse_document(&text);
    let card = Selector::parse("article.result").unwrap();
    let caption = Selector::parse(".result-caption").unwrap();
    let cards: Vec<_> = html.select(&card).collect();
    assert_eq!(cards.len(), Measure::ALL.len());
    for card in cards {
        let name: String =
            card.select(&Selector::parse("h3").unwrap()).flat_map(|head| head.text()).collect();
        let measure = Measure::ALL.iter().find(|one| one.definition().name == name).unwrap();
        let captions: Vec<String> = card.select(&caption).map(|one| one.text().collect()).collect();
        assert_eq!(captions.len(), 1, "{name}");
        let caption = captions[0].to_lowercase();
        let method = measure.method_short().to_lowercase();
        for part in [method.as_str(), "as known on 14 may 2024", audit::VERSION] {
            assert!(caption.contains(part), "{name}: {part} in {caption}");
        }
        let answer = view(&[*measure]).answers.remove(0);
        assert!(caption.contains(&answer.definition.unit.count(answer.counted.n)), "{name}: {caption}");
        let events = answer.counted.events.filter(|_| answer.definition.kind != MeasureKind::Missing);
        assert!(
            events.is_none_or(|events| caption.contains(&format!("{events} event"))),
            "{name}: {caption}"
        );
    }
}

/// A point with very little exposure lies outside the axis, is marked there, and stays in the table.
#[test]
fn a_point_with_little_exposure_does_not_flatten_the_chart() {
    let mut view = view(&[Measure::Relapse]);
    let whole = Html::parse_document(&page(Measure::Relapse).0);
    let before = count(&whole, "svg.plot.wide .beyond");
    let chart = view.answers[0].chart.as_mut().unwrap();
    let points = chart.points.len();
    let point = &mut chart.points[points / 2];
    (point.of, point.value, point.upper, point.outside) = (0.01, 9_876.0, 5_432.0, true);
    let text = pages::result(&crate::sample::frame(Here::Results), &view).into_string();
    let html = Html::parse_document(&text);
    let text_of = |selector: &str| -> String {
        html.select(&Selector::parse(selector).unwrap()).flat_map(|one| one.text()).collect()
    };
    let ticks = text_of("svg.plot.wide .tick");
    assert!(!ticks.contains("5432") && !ticks.contains("9876") && !ticks.contains("10000"), "{ticks}");
    assert_eq!(count(&html, "svg.plot.wide .beyond"), before + 1);
    assert!(
        text.contains(&format!("{} outside the axis.", before + 1))
            && text.contains("marked ▲ or ▼ at the edge"),
        "{text}"
    );
    let rows = text_of("[aria-label='Table: points of the control chart'] td");
    assert!(rows.contains("9876") && rows.contains("5432"), "{rows}");
    assert_eq!(count(&html, "[aria-label='Table: points of the control chart'] tbody tr"), points);
}

#[test]
fn the_yearly_report_gives_method_numbers_day_and_version_and_withholds_small_numbers() {
    let view = crate::sample::results::year(2022);
    let text = pages::year(&crate::sample::frame(Here::Results), &view).into_string();
    let html = Html::parse_document(&text);
    let lines: Vec<String> = html
        .select(&Selector::parse("article.year-line").unwrap())
        .map(|line| line.text().collect())
        .collect();
    assert_eq!(lines.len(), Measure::ALL.len());
    for line in &view.report.lines {
        let shown = lines.iter().find(|shown| shown.starts_with(line.name)).unwrap();
        for part in ["as known on 14 May 2024", audit::VERSION, line.of_whom] {
            assert!(shown.contains(part), "{}: {part}", line.name);
        }
        assert!(shown.to_lowercase().contains(&line.measure.method_short().to_lowercase()), "{shown}");
        match line.n {
            Some(n) => assert!(shown.contains(&line.measure.definition().unit.count(n)), "{shown}"),
            None => assert!(shown.contains("numbers withheld"), "{shown}"),
        }
    }
    assert!(text.contains(audit::small::RULE));
    // For a year in which no child started, the measures of the year have no figure.
    let none = crate::sample::results::year(2010);
    let text = pages::year(&crate::sample::frame(Here::Results), &none).into_string();
    assert!(text.contains("No cases match this measure"), "{text}");
}

#[test]
fn a_share_is_monitored_with_choices_as_links_and_its_run_length_in_words() {
    for measure in [Measure::Tenotomy, Measure::Relapse, Measure::CastProblems, Measure::DropOut] {
        let shown = view(&[measure]);
        let watch = shown.watch.as_ref().unwrap();
        let (text, html) = page(measure);
        let plain: String = html.root_element().text().collect();
        let links = count(&html, ".watch-choices a[href*='acceptable=']");
        let current = count(&html, ".watch-choices [aria-current]");
        let own = usize::from(watch.own.is_some());
        assert_eq!(links + current, measure.acceptable_choices().len() + own + 3 + 4, "{}", measure.key());
        assert!(plain.contains("a false alarm comes about every 200 children"), "{}", measure.key());
        assert!(plain.contains("Bernoulli CUSUM, Steiner and others 2000"), "{}", measure.key());
        assert!(!text.contains("NaN"), "{}", measure.key());
        assert!(count(&html, "[aria-label='Table: the cumulative sum'] tbody tr") > 10, "{}", measure.key());
    }
    let (_, html) = page(Measure::Casts);
    assert_eq!(count(&html, "#watch"), 0, "a number of casts is not a share");
}
