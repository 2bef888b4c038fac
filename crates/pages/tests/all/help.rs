//! The manual agrees with the program: every page leads to a section that exists, every mark of a picture is
//! explained, and every name that the manual gives stands on a page.

use crate::sample::{self, every_page};
use pages::{HelpPart, HelpTopic};
use scraper::{ElementRef, Html, Selector};
use std::{collections::BTreeSet, fs, path::Path};

/// The largest page, so that it is quick on a slow network.
const LARGEST_BYTES: usize = 150_000;

fn select<'a>(html: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    html.select(&Selector::parse(selector).unwrap()).collect()
}

fn part(part: HelpPart) -> String {
    pages::help(&sample::frame(pages::Here::Elsewhere), part).into_string()
}

/// The addresses of the manual: `/help/visit#first-visit`.
fn addresses() -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for one in HelpPart::ALL {
        let html = Html::parse_document(&part(one));
        all.extend(
            select(&html, "main [id]").iter().map(|e| format!("{}#{}", one.href(), e.attr("id").unwrap())),
        );
        all.insert(one.href());
    }
    all
}

#[test]
fn every_topic_has_its_section() {
    let there = addresses();
    for topic in HelpTopic::ALL {
        assert!(there.contains(&topic.href()), "{topic:?}: {} does not exist", topic.href());
    }
}

#[test]
fn every_page_links_to_a_section_about_it() {
    let there = addresses();
    let mut topics = BTreeSet::new();
    for (name, page) in every_page().iter().filter(|(name, _)| *name != "preview-fragment") {
        let html = Html::parse_document(&page.0);
        let links = select(&html, "header a.help-link");
        let hrefs: Vec<&str> = links.iter().filter_map(|link| link.attr("href")).collect();
        assert_eq!(hrefs.len(), 1, "{name}: {hrefs:?}");
        assert!(there.contains(hrefs[0]), "{name}: {} does not exist", hrefs[0]);
        assert!(links[0].text().collect::<String>().contains("Help for this page"), "{name}: no name");
        topics.insert(hrefs[0].to_owned());
    }
    assert!(topics.len() >= 25, "only {} sections are led to: {topics:#?}", topics.len());
}

#[test]
fn links_within_the_manual_lead_somewhere() {
    let there = addresses();
    let mut links = 0;
    for one in HelpPart::ALL {
        let html = Html::parse_document(&part(one));
        for link in select(&html, "main a[href]") {
            let href = link.attr("href").unwrap();
            let address =
                if href.starts_with('#') { format!("{}{href}", one.href()) } else { href.to_owned() };
            assert!(there.contains(&address), "{one:?}: {href} leads nowhere");
            links += 1;
        }
    }
    assert!(links > 60, "only {links} links were seen");
}

#[test]
fn every_part_is_small_and_carries_the_caution() {
    for one in HelpPart::ALL {
        let page = part(one);
        assert!(page.len() < LARGEST_BYTES, "{one:?}: {} bytes", page.len());
        assert!(page.contains("take precedence"), "{one:?} lacks the caution");
        println!("{one:?}: {} bytes", page.len());
    }
}

/// The text of a page as it reads, and what can be pressed on it.
fn words_of(html: &Html) -> String {
    let text: String = html.root_element().text().collect::<Vec<_>>().join(" ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The sources of the pages, apart from the manual.
fn sources(folder: &Path) -> String {
    let mut text = String::new();
    for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if path.is_dir() && !path.ends_with("help") {
            text += &sources(&path);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            text += &fs::read_to_string(path).unwrap();
        }
    }
    text
}

/// A name that the manual gives stands on some page, so that a reader finds what is named. What no invented page
/// shows, such as a rare question, begins a text in the source of a page.
#[test]
fn every_name_in_the_manual_stands_on_a_page() {
    let pages: Vec<String> = every_page()
        .iter()
        .filter(|(name, _)| !name.starts_with("help"))
        .map(|(_, page)| words_of(&Html::parse_document(&page.0)).to_lowercase())
        .collect();
    let sources = sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"));
    let mut names = BTreeSet::new();
    for one in HelpPart::ALL.into_iter().filter(|part| *part != HelpPart::Words) {
        let html = Html::parse_document(&part(one));
        names.extend(select(&html, "main em").iter().map(|e| e.text().collect::<String>()));
    }
    assert!(names.len() > 90, "only {} names were seen", names.len());
    let shown = |name: &str| pages.iter().any(|page| page.contains(&name.to_lowercase()));
    let hidden: Vec<&String> = names.iter().filter(|name| !shown(name)).collect();
    assert!(hidden.len() < 10, "the invented pages do not show {hidden:#?}");
    let missing: Vec<_> = hidden.iter().filter(|name| !sources.contains(&format!("\"{name}"))).collect();
    assert!(missing.is_empty(), "no page has {missing:#?}");
}

/// What is drawn in a picture: element and class, apart from words.
fn marks(html: &Html, within: &str) -> BTreeSet<String> {
    let shapes = ["line", "polyline", "polygon", "rect", "circle", "path", "g.sign"];
    let all = shapes.iter().flat_map(|shape| select(html, &format!("{within} {shape}"))).filter_map(|e| {
        let class = e.attr("class").unwrap_or_default();
        // A symbol is drawn as a path without a class within its group; its path tells the symbols apart.
        let path = if class.is_empty() { e.attr("d")? } else { class };
        (class != "sign-ground" && class != "sign").then(|| format!("{} {path}", e.value().name()))
    });
    all.collect()
}

#[test]
fn every_mark_of_the_course_picture_is_explained() {
    let help = marks(&Html::parse_document(&part(HelpPart::Picture)), "svg.picture.sample");
    let mut drawn = BTreeSet::new();
    for (_, page) in every_page() {
        drawn.extend(marks(&Html::parse_document(&page.0), ".course-picture svg.picture"));
    }
    assert!(drawn.len() >= 20, "only {} marks were drawn: {drawn:#?}", drawn.len());
    let unexplained: Vec<&String> = drawn.difference(&help).collect();
    assert!(unexplained.is_empty(), "the manual does not explain {unexplained:#?}");
}

#[test]
fn every_mark_of_the_small_pictures_of_results_is_explained() {
    let help = marks(&Html::parse_document(&part(HelpPart::Picture)), "svg.plot.sample");
    let mut drawn = BTreeSet::new();
    for (_, page) in every_page() {
        drawn.extend(marks(&Html::parse_document(&page.0), "svg.spark"));
    }
    drawn.remove("line grid");
    assert!(drawn.len() >= 4, "only {} marks were drawn: {drawn:#?}", drawn.len());
    let unexplained: Vec<&String> = drawn.difference(&help).collect();
    assert!(unexplained.is_empty(), "the manual does not explain {unexplained:#?}");
}

#[test]
fn every_drawing_has_a_text_alternative_and_every_sign_its_three_levels() {
    let html = Html::parse_document(&part(HelpPart::Signs));
    let drawings = select(&html, "svg.foot-drawing");
    let told: BTreeSet<&str> = drawings.iter().filter_map(|drawing| drawing.attr("aria-label")).collect();
    assert_eq!(told.len(), drawings.len(), "two drawings are described alike");
    assert!(told.iter().all(|words| words.len() > 25), "{told:#?}");
    for sign in record::Sign::ALL {
        let id = sign.key().replace('_', "-");
        let levels = select(&html, &format!("#{id} figure"));
        assert_eq!(levels.len(), 3, "{id}");
        for (level, point) in levels.iter().zip(record::HalfPoint::ALL) {
            let words: String = level.text().collect();
            assert!(words.contains(point.text()) && words.contains(sign.meaning(point)), "{id}: {words}");
        }
    }
}

/// In the form of a visit each sign leads to its drawings, without a further stop of the tab key between answers.
#[test]
fn each_sign_of_the_visit_form_leads_to_its_drawings() {
    let there = addresses();
    let mut forms = 0;
    for (name, page) in every_page().iter().filter(|(name, _)| name.starts_with("visit")) {
        let html = Html::parse_document(&page.0);
        let beside = select(&html, ".sign a.look-link");
        if beside.is_empty() {
            continue;
        }
        forms += 1;
        assert_eq!(beside.len(), select(&html, ".sign fieldset").len(), "{name}");
        for link in beside.iter().chain(&select(&html, ".how a")) {
            assert!(there.contains(link.attr("href").unwrap()), "{name}: {:?}", link.attr("href"));
            assert_eq!(link.attr("target"), Some("_blank"), "{name}: the form would be lost");
        }
        assert!(beside.iter().all(|link| link.attr("tabindex") == Some("-1")), "{name}");
        assert!(select(&html, ".how a").iter().all(|link| link.attr("tabindex").is_none()), "{name}");
    }
    assert!(forms >= 2, "only {forms} forms of a visit were seen");
}
