//! Pages of the clinic's network: what must and what must not be on them.

use crate::sample::every_page;
use scraper::{ElementRef, Html, Selector};
use std::collections::BTreeSet;

fn page(wanted: &str) -> Html {
    let (_, markup) = every_page().into_iter().find(|(name, _)| *name == wanted).unwrap();
    Html::parse_document(&markup.0)
}

fn count(html: &Html, selector: &str) -> usize {
    html.select(&Selector::parse(selector).unwrap()).count()
}

#[test]
fn every_device_that_is_not_removed_yet_can_be() {
    let (served, off) = (page("devices"), page("devices-off"));
    let (enrol, remove) = ("form[action='/devices']", "form[action$='/remove']");
    assert_eq!(
        (count(&served, enrol), count(&off, enrol)),
        (1, 0),
        "a code is made only where it can be used"
    );
    assert_eq!(
        (count(&served, "tbody tr"), count(&served, remove)),
        (4, 3),
        "one of four is removed already"
    );
}

#[test]
fn before_it_is_enrolled_a_device_is_shown_no_way_elsewhere() {
    for name in ["enrol", "enrol-refused", "not-enrolled", "trust"] {
        let html = page(name);
        let links = Selector::parse("main a").unwrap();
        for link in html.select(&links) {
            let href = link.attr("href").unwrap();
            assert!(["/enrol", "/trust", "/trust/clinic-network.crt"].contains(&href), "{name}: {href}");
        }
        assert_eq!(count(&html, ".fingerprint, nav"), 0, "{name}");
    }
}

/// The modules of a picture that are dark, and its width with the margin.
fn drawn(svg: ElementRef<'_>) -> (BTreeSet<(usize, usize)>, usize) {
    let side = svg.attr("viewBox").unwrap().rsplit(' ').next().unwrap().parse().unwrap();
    let path = svg.select(&Selector::parse("path").unwrap()).next().unwrap();
    let modules = path.attr("d").unwrap().split('M').skip(1).map(|step| {
        let (x, y) = step.strip_suffix("h1v1h-1z").unwrap().split_once(' ').unwrap();
        (x.parse().unwrap(), y.parse().unwrap())
    });
    (modules.collect(), side)
}

/// Another library reads what is drawn, as the camera of a tablet does.
#[test]
fn the_picture_of_each_address_is_read_as_that_address() {
    let html = page("devices");
    let mut read = Vec::new();
    for svg in html.select(&Selector::parse("svg.qr").unwrap()) {
        let (dark, side) = drawn(svg);
        let inside = |at: &usize| (4..side - 4).contains(at);
        assert!(dark.iter().all(|(x, y)| inside(x) && inside(y)), "the margin is empty");
        let grid = rqrr::SimpleGrid::from_func(side - 8, |x, y| dark.contains(&(x + 4, y + 4)));
        let (_, text) = rqrr::Grid::new(grid).decode().unwrap();
        assert_eq!(svg.attr("aria-label").unwrap(), format!("Code for the camera: {text}"));
        read.push(text);
    }
    assert_eq!(read, ["https://desk.local:8461/trust", "https://192.168.7.20:8461/trust"]);
}
