//! Rules for every page: one main heading, labels, landmarks, no inline style or script.

use crate::sample::every_page;
use scraper::{ElementRef, Html, Selector};
use std::collections::HashSet;

fn select<'a>(html: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    html.select(&Selector::parse(selector).unwrap()).collect()
}

/// Every whole page, parsed.
fn pages() -> Vec<(&'static str, Html)> {
    let whole = every_page().into_iter().filter(|(name, _)| *name != "preview-fragment");
    whole.map(|(name, markup)| (name, Html::parse_document(&markup.0))).collect()
}

#[test]
fn enough_pages_are_rendered() {
    assert!(pages().len() >= 45, "only {} pages are rendered", pages().len());
}

/// The pages that must be among those that are tried.
const WANTED: [&str; 88] = [
    "start",
    "sign-in",
    "day",
    "day-spanish",
    "attention",
    "find",
    "register",
    "child",
    "visit",
    "preview-fragment",
    "add-note",
    "entry",
    "protocol",
    "protocol-value",
    "settings",
    "first-steps",
    "capacity",
    "results",
    "result-relapse",
    "import",
    "import-preview",
    "import-done",
    "import-pairs",
    "past-imports",
    "undo-import",
    "whole-visit",
    "remedy-foot",
    "join",
    "call",
    "calls",
    "move-appointment",
    "encryption-plain",
    "encryption-on",
    "first-encryption",
    "recovery-sheet",
    "recovery-sheet-halves",
    "devices",
    "devices-code",
    "enrol",
    "not-enrolled",
    "trust",
    "error-not-found",
    "error-no-right",
    "people",
    "person-new",
    "account",
    "choose-password",
    "second-factor",
    "second-factor-codes",
    "second-factor-recovery",
    "second-step",
    "theatre",
    "theatre-day",
    "tenotomy",
    "tenotomy-open",
    "documents",
    "document-handed",
    "photographs",
    "photographs-refused",
    "photograph-names",
    "photograph-pair",
    "photograph-measure",
    "letter-photographs",
    "letter-photographs-refused",
    "photograph-length",
    "photograph-length-of-no-view",
    "videos",
    "videos-refused",
    "video-names",
    "document-languages",
    "document-texts",
    "document-text",
    "letters",
    "letterhead",
    "sheets",
    "sheet-visit",
    "sheet-tenotomy",
    "child-contact",
    "practice",
    "practice-exercise",
    "practice-answer",
    "practice-levels",
    "practice-level",
    "practice-photograph",
    "practice-photographs",
    "practice-progress",
    "practice-record",
    "scoring-together",
];

#[test]
fn every_expected_page_is_rendered() {
    let there: Vec<&str> = every_page().iter().map(|(name, _)| *name).collect();
    let missing: Vec<_> = WANTED.iter().filter(|name| !there.contains(name)).collect();
    assert!(missing.is_empty(), "missing: {missing:?}");
}

#[test]
fn every_page_has_one_h1_with_text_and_skips_no_heading_level() {
    for (name, html) in pages() {
        let h1 = select(&html, "h1");
        assert_eq!(h1.len(), 1, "{name}");
        assert!(!h1[0].text().collect::<String>().trim().is_empty(), "{name}");
        let mut before = 1;
        for heading in select(&html, "h1, h2, h3, h4, h5, h6") {
            let level: u8 = heading.value().name()[1..].parse().unwrap();
            assert!(level <= before + 1, "{name}: h{level} after h{before}");
            before = level;
        }
    }
}

#[test]
fn every_page_has_landmarks_a_title_a_language_and_a_skip_link() {
    for (name, html) in pages() {
        let language = if name.ends_with("-spanish") { "html[lang=es]" } else { "html[lang=en]" };
        for selector in
            [language, "head > title", "main#main", "header.top", "footer", "a.skip[href='#main']"]
        {
            assert_eq!(select(&html, selector).len(), 1, "{name}: {selector}");
        }
    }
}

#[test]
fn every_form_that_changes_data_sends_the_token() {
    let mut forms = 0;
    for (name, html) in pages() {
        for form in select(&html, "form") {
            let token = Selector::parse("input[type=hidden][name=csrf]").unwrap();
            let tokens: Vec<_> = form.select(&token).filter_map(|input| input.attr("value")).collect();
            match form.attr("method") {
                Some("post") => {
                    assert_eq!(tokens, ["token-of-the-form"], "{name}: {:?}", form.attr("action"))
                }
                Some("get") => assert!(tokens.is_empty(), "{name}: the token would be in the URL"),
                other => panic!("{name}: method {other:?}"),
            }
            forms += 1;
        }
    }
    assert!(forms > 60, "only {forms} forms were seen");
}

#[test]
fn every_field_has_a_label_and_a_fieldset_its_legend() {
    for (name, html) in pages() {
        let labelled: HashSet<&str> =
            select(&html, "label[for]").iter().filter_map(|label| label.attr("for")).collect();
        for field in select(&html, "input:not([type=hidden]), select, textarea") {
            let id = field.attr("id").unwrap_or_else(|| panic!("{name}: {:?} has no id", field.attr("name")));
            assert!(labelled.contains(id), "{name}: {id} has no label");
        }
        for set in select(&html, "fieldset") {
            let first = set.child_elements().next().map(|element| element.value().name().to_owned());
            assert_eq!(first.as_deref(), Some("legend"), "{name}");
        }
    }
}

#[test]
fn ids_are_unique_and_every_reference_leads_somewhere() {
    for (name, html) in pages() {
        let mut ids = HashSet::new();
        for element in select(&html, "[id]") {
            let id = element.attr("id").unwrap();
            assert!(ids.insert(id.to_owned()), "{name}: id {id} twice");
        }
        for attribute in ["aria-describedby", "aria-labelledby", "for"] {
            for element in select(&html, &format!("[{attribute}]")) {
                for id in element.attr(attribute).unwrap().split_whitespace() {
                    assert!(ids.contains(id), "{name}: {attribute} names {id}, which does not exist");
                }
            }
        }
        for link in select(&html, "a[href^='#']") {
            assert!(
                ids.contains(&link.attr("href").unwrap()[1..]),
                "{name}: {:?} leads nowhere",
                link.attr("href")
            );
        }
    }
}

#[test]
fn an_error_is_linked_to_its_field() {
    let mut errors = 0;
    for (name, html) in pages() {
        for error in select(&html, ".field-error") {
            let id = error.attr("id").unwrap();
            let described = select(&html, &format!("[aria-describedby~='{id}']"));
            assert_eq!(described.len(), 1, "{name}: {id} describes {} fields", described.len());
            errors += 1;
        }
    }
    assert!(errors >= 5, "only {errors} errors were seen");
}

#[test]
fn no_page_has_an_inline_style_or_script() {
    for (name, html) in pages() {
        assert!(select(&html, "style, [style]").is_empty(), "{name}: an inline style");
        for script in select(&html, "script") {
            assert!(script.attr("src").is_some_and(|src| src.starts_with("/assets/app.js?v=")), "{name}");
            assert_eq!(script.text().collect::<String>(), "", "{name}: an inline script");
        }
        for element in select(&html, "*") {
            for (attribute, value) in element.value().attrs() {
                assert!(!attribute.starts_with("on") || attribute == "on", "{name}: {attribute}");
                assert!(
                    !value.trim_start().to_lowercase().starts_with("javascript:"),
                    "{name}: {attribute}={value}"
                );
            }
        }
    }
}

#[test]
fn nothing_is_loaded_from_another_server() {
    for (name, html) in pages() {
        for element in select(&html, "[href], [src], [action], [formaction]") {
            for attribute in ["href", "src", "action", "formaction"] {
                if let Some(address) = element.attr(attribute) {
                    // The same pages under the name of the computer.
                    let by_name = element.value().classes().any(|class| class == "own-address");
                    if by_name && attribute == "href" {
                        continue;
                    }
                    let own = ["/", "#", "data:image/svg+xml", "data:image/png;base64,", "tel:"]
                        .iter()
                        .any(|start| address.starts_with(start));
                    assert!(own && !address.starts_with("//"), "{name}: {attribute}={address}");
                }
            }
        }
    }
}

#[test]
fn the_tab_order_follows_the_page() {
    for (name, html) in pages() {
        for element in select(&html, "[tabindex]") {
            let place: i32 = element.attr("tabindex").unwrap().parse().unwrap();
            assert!(place <= 0, "{name}: tabindex {place}");
        }
    }
}

#[test]
fn tables_have_headers() {
    let mut tables = 0;
    for (name, html) in pages() {
        for table in select(&html, "table") {
            let heads = table.select(&Selector::parse("th[scope=col]").unwrap()).count();
            let rows = table.select(&Selector::parse("tbody tr").unwrap()).count();
            let row_heads = table.select(&Selector::parse("tbody th[scope=row]").unwrap()).count();
            // On a sheet to fill in by hand every row has its question, and what is written needs no head.
            let by_hand = table.value().classes().any(|class| class.starts_with("blank-"));
            assert!(
                (heads > 1 || by_hand && heads == 0) && rows == row_heads,
                "{name}: {heads} column heads, {row_heads} of {rows} rows have a head"
            );
            tables += 1;
        }
    }
    assert!(tables >= 3, "only {tables} tables were seen");
}

#[test]
fn the_urls_of_style_and_script_contain_the_hash_of_their_contents() {
    assert!(pages::assets::css_href().contains(&format!("{:016x}", pages::assets::CSS_HASH)));
    assert!(pages::assets::js_href().contains(&format!("{:016x}", pages::assets::JS_HASH)));
    assert_ne!(pages::assets::CSS_HASH, pages::assets::JS_HASH);
    // FNV-1a of the bytes, computed independently.
    let plain = pages::APP_JS.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    assert_eq!(plain, pages::assets::JS_HASH);
}
