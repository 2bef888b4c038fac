//! The pages of locked records, which have no frame: nothing of the clinic but its name, and everything labelled.

use maud::Markup;
use pages::{
    encryption::{self, KEY, LockedView, RECOVERY, WorkOnRecords},
    fields::Filled,
};
use scraper::{Html, Selector};

const HINT: &str = "At least 12 characters.";

fn locked() -> Vec<(&'static str, Markup)> {
    let clinic = "Harbour Road clinic";
    let plain = LockedView { clinic: clinic.into(), ..LockedView::default() };
    let wrong = LockedView {
        troubles: vec!["The key file /media/stick/start.key cannot be read.".into()],
        filled: Filled::default()
            .wrong(KEY, "This passphrase does not open these records.")
            .wrong(RECOVERY, "There is a typing error in group 3 of the code.")
            .wrong("", "The records are locked."),
        ..plain.clone()
    };
    vec![
        ("locked", encryption::locked(&plain)),
        ("locked-wrong", encryption::locked(&wrong)),
        ("locked-new-passphrase", encryption::new_passphrase(clinic, "token", HINT, &Filled::default())),
        ("working", encryption::working(clinic, WorkOnRecords::Encryption, None)),
        ("working-restore", encryption::working(clinic, WorkOnRecords::Restore, None)),
        (
            "working-stopped",
            encryption::working(clinic, WorkOnRecords::Encryption, Some("The disk is full.")),
        ),
    ]
}

#[test]
fn locked_pages_have_a_title_a_heading_and_labels_and_no_way_anywhere() {
    for (name, page) in locked() {
        let html = Html::parse_document(&page.into_string());
        let all = |selector: &str| html.select(&Selector::parse(selector).unwrap()).count();
        assert_eq!((all("h1"), all("title"), all("html[lang]"), all("main#main")), (1, 1, 1, 1), "{name}");
        assert_eq!(all("nav") + all("[style]") + all("script:not([src])"), 0, "{name}");
        let links: Vec<_> =
            html.select(&Selector::parse("a").unwrap()).filter_map(|link| link.attr("href")).collect();
        assert!(links.iter().all(|href| ["/", "#main"].contains(href)), "{name}: {links:?}");
        for field in html.select(&Selector::parse("input:not([type=hidden])").unwrap()) {
            let id = field.attr("id").unwrap();
            assert_eq!(all(&format!("label[for='{id}']")), 1, "{name}: {id}");
        }
    }
}
