//! Results: every figure stands with its method, numbers and day; charts have words and tables.

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
fn every_chart_has_words_and_a_table_behind_it() {
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
    let shown = audit::words::value(audit::MeasureScale::Share, figure.value);
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
        let said = captions[0].to_lowercase();
        let method = measure.method_short().to_lowercase();
        for part in [method.as_str(), "as known on 14 may 2024", audit::VERSION] {
            assert!(said.contains(part), "{name}: {part} in {said}");
        }
        let answer = view(&[*measure]).answers.remove(0);
        assert!(said.contains(&answer.definition.unit.count(answer.counted.n)), "{name}: {said}");
        let events = answer.counted.events.filter(|_| answer.definition.kind != MeasureKind::Missing);
        assert!(events.is_none_or(|events| said.contains(&format!("{events} event"))), "{name}: {said}");
    }
}

/// A point with hardly any exposure: it leaves the axis, says so, and stays in the table.
#[test]
fn a_point_that_rests_on_next_to_nothing_does_not_flatten_the_chart() {
    let mut view = view(&[Measure::Relapse]);
    let whole = Html::parse_document(&page(Measure::Relapse).0);
    let before = count(&whole, "svg.plot.wide .beyond");
    let chart = view.answers[0].chart.as_mut().unwrap();
    let points = chart.points.len();
    let point = &mut chart.points[points / 2];
    (point.of, point.value, point.upper, point.outside) = (0.01, 9_876.0, 5_432.0, true);
    let text = pages::result(&crate::sample::frame(Here::Results), &view).into_string();
    let html = Html::parse_document(&text);
    let said = |selector: &str| -> String {
        html.select(&Selector::parse(selector).unwrap()).flat_map(|one| one.text()).collect()
    };
    let ticks = said("svg.plot.wide .tick");
    assert!(!ticks.contains("5432") && !ticks.contains("9876") && !ticks.contains("10000"), "{ticks}");
    assert_eq!(count(&html, "svg.plot.wide .beyond"), before + 1);
    assert!(
        text.contains(&format!("{} leave the axis.", before + 1))
            && text.contains("marked ▲ or ▼ at the edge"),
        "{text}"
    );
    let rows = said("[aria-label='Table: points of the control chart'] td");
    assert!(rows.contains("9876") && rows.contains("5432"), "{rows}");
    assert_eq!(count(&html, "[aria-label='Table: points of the control chart'] tbody tr"), points);
}

#[test]
fn the_year_tells_every_measure_with_method_numbers_day_and_version_and_nothing_small() {
    let view = crate::sample::results::year(2022);
    let text = pages::year(&crate::sample::frame(Here::Results), &view).into_string();
    let html = Html::parse_document(&text);
    let lines: Vec<String> = html
        .select(&Selector::parse("article.year-line").unwrap())
        .map(|line| line.text().collect())
        .collect();
    assert_eq!(lines.len(), Measure::ALL.len());
    for line in &view.report.lines {
        let said = lines.iter().find(|said| said.starts_with(line.name)).unwrap();
        for part in ["as known on 14 May 2024", audit::VERSION, line.of_whom] {
            assert!(said.contains(part), "{}: {part}", line.name);
        }
        assert!(said.to_lowercase().contains(&line.measure.method_short().to_lowercase()), "{said}");
        match line.n {
            Some(n) => assert!(said.contains(&line.measure.definition().unit.count(n)), "{said}"),
            None => assert!(said.contains("numbers withheld"), "{said}"),
        }
    }
    assert!(text.contains(audit::small::RULE));
    // Of a year in which nobody began, nothing is told of the year's own.
    let none = crate::sample::results::year(2010);
    let text = pages::year(&crate::sample::frame(Here::Results), &none).into_string();
    assert!(text.contains("No cases match this measure"), "{text}");
}

#[test]
fn a_share_is_watched_with_choices_as_links_and_its_run_length_in_words() {
    for measure in [Measure::Tenotomy, Measure::Relapse, Measure::CastProblems, Measure::DropOut] {
        let shown = view(&[measure]);
        let watch = shown.watch.as_ref().unwrap();
        let (text, html) = page(measure);
        let plain: String = html.root_element().text().collect();
        let links = count(&html, ".watch-choices a[href*='acceptable=']");
        let held = count(&html, ".watch-choices [aria-current]");
        let own = usize::from(watch.own.is_some());
        assert_eq!(links + held, measure.acceptable_choices().len() + own + 3 + 4, "{}", measure.key());
        assert!(plain.contains("a false alarm comes about every 200 children"), "{}", measure.key());
        assert!(plain.contains("Bernoulli CUSUM, Steiner and others 2000"), "{}", measure.key());
        assert!(!text.contains("NaN"), "{}", measure.key());
        assert!(count(&html, "[aria-label='Table: the cumulative sum'] tbody tr") > 10, "{}", measure.key());
    }
    let (_, html) = page(Measure::Casts);
    assert_eq!(count(&html, "#watch"), 0, "a number of casts is no share");
}
