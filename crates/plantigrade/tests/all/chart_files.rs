//! Charts as files: SVG without anything of a page, PNG with its colours, and no name of a child.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Browser, TODAY, day};
use audit::Measure;
use axum::http::{StatusCode, header};
use plantigrade::{
    app::{App, Mode},
    chart_png,
    clock::Clock,
    routes, serve,
};
use resvg::tiny_skia::Pixmap;
use scraper::Selector;
use std::{fs, path::Path, sync::Arc};

async fn invented() -> (tempfile::TempDir, Arc<App>, Browser) {
    let dir = tempfile::tempdir().unwrap();
    let mode = Mode { invented: true, ..Mode::default() };
    let app = serve::demo_app(dir.path(), 120, 7, Clock::new(Some(day(TODAY))), mode).unwrap();
    let path = serve::demo_path(&app).unwrap();
    let app = Arc::new(app);
    let mut browser = Browser::new(routes::router(app.clone()));
    browser.get(&path).await;
    (dir, app, browser)
}

/// What a file must not have; it is also written to be looked at.
fn check(name: &str, svg: &str) {
    for never in ["class=", "var(", "href=", "aria-", "<style", " style=", "NaN"] {
        assert!(!svg.contains(never), "{name} has {never}");
    }
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("charts");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join(format!("{name}.svg")), svg).unwrap();
    fs::write(folder.join(format!("{name}.png")), chart_png::png(svg).unwrap()).unwrap();
}

/// The addresses of the files that a page offers.
async fn offered(browser: &mut Browser, path: &str) -> Vec<String> {
    let page = browser.get(path).await;
    assert_eq!(page.status, StatusCode::OK, "{path}: {}", page.text);
    let links = Selector::parse(".chart-files a").unwrap();
    page.html().select(&links).filter_map(|link| link.value().attr("href")).map(str::to_owned).collect()
}

/// Every chart of a measure and of the agreement of raters.
#[tokio::test]
async fn every_chart_of_results_is_a_file_with_method_numbers_and_day() {
    let (_dir, app, mut browser) = invented().await;
    while app
        .records
        .results(&clinic::results_basis(&app.protocol(), day(TODAY), audit::KnownBy::ClinicalDay))
        .unwrap()
        .is_none()
    {
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    let mut pages: Vec<String> =
        Measure::ALL.iter().map(|measure| format!("/results/{}", measure.key())).collect();
    pages.push("/results/agreement".to_owned());
    let mut kinds = std::collections::BTreeSet::new();
    for path in pages {
        let html = browser.get(&path).await;
        let drawings = html.count("figure.plot-figure svg.wide") + html.count("svg.plot.strip");
        let files = offered(&mut browser, &path).await;
        assert_eq!(files.len(), 2 * drawings, "{path}: each chart as SVG and as PNG: {files:?}");
        for file in files {
            let page = browser.get(&file).await;
            assert_eq!(page.status, StatusCode::OK, "{file}: {}", page.text);
            let kind = page.headers[header::CONTENT_TYPE].to_str().unwrap();
            let disposition = page.headers[header::CONTENT_DISPOSITION].to_str().unwrap();
            assert!(disposition.starts_with("attachment; filename=\"plantigrade-"), "{disposition}");
            if kind == "image/png" {
                continue;
            }
            assert_eq!(kind, "image/svg+xml", "{file}");
            let name = file.split('?').next().unwrap().replace('/', "-");
            check(name.trim_matches('-').trim_end_matches(".svg"), &page.text);
            // Notes are broken into lines anywhere.
            let pieces = page.text.split('<').filter_map(|piece| piece.split_once('>'));
            let words: Vec<&str> = pieces.flat_map(|(_, text)| text.split_whitespace()).collect();
            let words = words.join(" ");
            assert!(words.contains("4 March 2025"), "{file} lacks the day: {words}");
            assert!(words.contains("Source: records of"), "{file} lacks its source: {words}");
            assert!(words.contains(" of ") && words.contains("child"), "{file} lacks its numbers: {words}");
            kinds.insert(name.rsplit('-').next().unwrap().to_owned());
        }
    }
    for kind in ["curve.svg", "control.svg", "published.svg", "wear.svg", "cusum.svg"] {
        assert!(kinds.contains(kind), "no chart {kind}: {kinds:?}");
    }
    for path in [
        "/results/relapse/chart/portrait.svg",
        "/results/relapse/chart/curve.gif",
        "/results/none/chart/curve.svg",
    ] {
        assert_eq!(browser.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
}

/// The course of each foot: the side in the title, no name, the number only where it is asked for.
#[tokio::test]
async fn the_course_of_a_foot_is_a_file_without_a_name() {
    let (_dir, app, mut browser) = invented().await;
    let (children, _) = app.records.children(None, None, 0, 1000).unwrap();
    let mut seen = 0;
    for child in children.iter().take(12).map(|one| one.child) {
        let known = app.records.child(child, day(TODAY)).unwrap().unwrap();
        let about = &known.outlook.course.about;
        let files = offered(&mut browser, &format!("/child/{child}")).await;
        assert_eq!(files.len(), 2 * known.outlook.course.feet.len(), "{files:?}");
        for foot in &known.outlook.course.feet {
            let file = format!("/child/{child}/chart/{}.svg?as_of={TODAY}", foot.side);
            assert!(files.contains(&file), "{files:?}");
            let svg = browser.get(&file).await.text;
            check(&format!("course-{}-{seen}", foot.side), &svg);
            assert!(svg.contains(&format!("Course of the {} foot<", foot.side)), "{svg}");
            for name in [
                about.given_name.as_str(),
                about.family_name.as_str(),
                about.numbers.first().map_or("", String::as_str),
            ] {
                assert!(name.is_empty() || !svg.contains(name), "the file names {name}");
            }
            let numbered = browser.get(&format!("{file}&number=on")).await.text;
            if let Some(number) = about.numbers.first() {
                assert!(numbered.contains(number.as_str()) && !numbered.contains(&about.given_name));
            }
            seen += 1;
        }
    }
    assert!(seen > 12, "{seen}");
}

/// The pixels of a picture: the colours of the style sheet for light paper are there, on white.
#[tokio::test]
async fn a_picture_has_the_colours_of_the_page() {
    let (_dir, app, mut browser) = invented().await;
    let (children, _) = app.records.children(None, None, 0, 1000).unwrap();
    let braced = children.iter().map(|one| one.child).find(|child| {
        let known = app.records.child(*child, day(TODAY)).unwrap().unwrap();
        known.outlook.course.brace_now().is_some()
            && known.outlook.course.feet.iter().any(|foot| foot.casts.len() > 3)
    });
    let child = braced.unwrap();
    let known = app.records.child(child, day(TODAY)).unwrap().unwrap();
    let side = known.outlook.course.feet[0].side;
    let svg = browser.get(&format!("/child/{child}/chart/{side}.svg")).await.text;
    let picture = Pixmap::decode_png(&chart_png::png(&svg).unwrap()).unwrap();
    let pixels = |wanted: (u8, u8, u8)| {
        picture.pixels().iter().filter(|pixel| (pixel.red(), pixel.green(), pixel.blue()) == wanted).count()
    };
    let all = picture.pixels().len();
    assert!(pixels((255, 255, 255)) > all / 3, "white paper");
    // `.picture .band.in-correction`, `.picture .cast`, `.picture .grid` of the style sheet.
    for (what, colour) in
        [("band", (0xec, 0xd9, 0xb8)), ("cast", (0x8f, 0x5f, 0x2f)), ("grid", (0xdd, 0xd4, 0xc8))]
    {
        assert!(pixels(colour) > 50, "{what}: {} of {all} pixels", pixels(colour));
    }
    // Text is drawn: without a typeface there would be no dark pixel in the title, the top 40 units of the file.
    let title = picture.width() as usize * 80;
    let dark = picture.pixels()[..title].iter().filter(|pixel| pixel.red() < 60).count();
    assert!(dark > 400, "{dark} dark pixels in the title");
    assert_eq!(
        picture.pixels().iter().filter(|pixel| pixel.alpha() < 255).count(),
        0,
        "nothing is transparent"
    );
}
