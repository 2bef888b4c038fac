//! Letters to colleagues: each foot by itself, doubts at the head, nothing smoothed over.

use crate::{
    children::{BRACE, CASTS, RELAPSE, clinic, outlook, with},
    story::{Story, day},
};
use letters::{
    ClinicContact, ClinicLogo, ColleagueDocument, ColleagueDocumentKind, ColleagueFacts, CourseChart,
    Language, Letterhead, NoLetter, PlanChoices, colleague_document, family_plan,
    html::{PageFrame, STYLE, colleague_page},
};
use record::Side;
use scraper::{Html, Selector};
use std::{fs, path::Path};

/// Two different feet: right before left is wrong in every line if the sides are exchanged.
pub const TWO_FEET: &str = "| 2024-09-02 | – | registered | name Ottar; born 2024-08-20; gestation 40 w |
    | 2024-09-02 | right | diagnosis | isolated |
    | 2024-09-02 | left | diagnosis | isolated |
    | 2024-09-02 | right | score | 1 1 1 / 1 1 1; abduction -20; dorsiflexion -30 |
    | 2024-09-02 | left | score | ½ ½ ½ / ½ ½ ½; abduction 10; dorsiflexion -5 |
    | 2024-09-02 | right | cast | |
    | 2024-09-02 | left | cast | |
    | 2024-09-09 | right | cast | |
    | 2024-09-09 | left | cast | |
    | 2024-09-16 | right | score | 0 0 0 / 1 1 1; abduction 60; dorsiflexion 0 |
    | 2024-09-16 | left | score | 0 0 0 / 0 0 0; abduction 65; dorsiflexion 20 |
    | 2024-09-16 | right | tenotomy | dorsiflexion 15 |
    | 2024-09-16 | right | cast | after tenotomy |
    | 2024-09-16 | left | cast | |";

/// A letter, with a small drawing for each affected foot.
pub fn letter(
    rows: &str,
    on: &str,
    kind: ColleagueDocumentKind,
    clinic: &ClinicContact,
) -> Result<ColleagueDocument, NoLetter> {
    let outlook = outlook(rows, on);
    let entries = Story::rows(rows).entries;
    let charts: Vec<CourseChart> = outlook
        .course
        .feet
        .iter()
        .map(|foot| CourseChart { side: foot.side, svg: drawing(foot.side) })
        .collect();
    let facts = ColleagueFacts {
        today: day(on),
        outlook: &outlook,
        entries: &entries,
        clinic,
        charts: &charts,
        writer: "Ida Brandt",
    };
    colleague_document(&facts, kind)
}

fn drawing(side: Side) -> String {
    let square = r##"<rect x="10" y="10" width="20" height="20" fill="#8f5f2f"/>"##;
    format!(
        r#"<svg width="380" height="100" xmlns="http://www.w3.org/2000/svg"><g><title>Cast of the {side} foot</title>{square}</g><text x="40" y="60" font-size="12" font-family="Noto Sans">drawn</text></svg>"#
    )
}

/// The page; it is also written to be looked at.
fn page(document: &ColleagueDocument, clinic: &ClinicContact, name: &str) -> Html {
    let head = clinic.head();
    let frame = PageFrame { style: "letters.css", above: None };
    let html = colleague_page(document, head.as_ref(), frame).unwrap().into_string();
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("letters");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("letters.css"), STYLE).unwrap();
    fs::write(folder.join(format!("{name}.html")), &html).unwrap();
    Html::parse_document(&html)
}

fn shown(page: &Html, selector: &str) -> String {
    let selector = Selector::parse(selector).unwrap();
    let words: Vec<&str> = page.select(&selector).flat_map(|part| part.text()).collect();
    words.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn text(rows: &str, on: &str, kind: ColleagueDocumentKind) -> String {
    let clinic = clinic();
    let document = letter(rows, on, kind, &clinic).unwrap();
    shown(&page(&document, &clinic, &format!("{}-{on}", kind.key())), "main")
}

fn has(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "“{part}” is missing in: {text}");
    }
}

/// What stands between the heading of a foot and the next one.
fn part_of(text: &str, side: Side) -> String {
    let (right, left) = ("Right foot Type", "Left foot Type");
    let (own, other) = if side == Side::Right { (right, left) } else { (left, right) };
    let from = text.find(own).unwrap_or_else(|| panic!("no {own}: {text}"));
    let end = text[from + own.len()..].find(other).or_else(|| text[from..].find("What comes next")).unwrap();
    text[from..from + own.len() + end].to_owned()
}

/// The wrong side is the worst error: every value of a foot stands under its own name and not under the other.
#[test]
fn every_value_stands_under_its_own_foot() {
    let text = text(TWO_FEET, "2024-09-16", ColleagueDocumentKind::ReferrerLetter);
    let (right, left) = (part_of(&text, Side::Right), part_of(&text, Side::Left));
    has(
        &right,
        &[
            "Pirani 6 of 6 (midfoot 3, hindfoot 3) on 2 September 2024",
            "Pirani 3 of 6 (midfoot 0, hindfoot 3) on 16 September 2024",
            "+60° on 16 September 2024",
            "heel cord cut on 16 September 2024, dorsiflexion just after +15°",
            "in the tenotomy cast since 16 September 2024",
        ],
    );
    has(
        &left,
        &[
            "Pirani 3 of 6 (midfoot 1.5, hindfoot 1.5) on 2 September 2024",
            "Pirani 0 of 6 (midfoot 0, hindfoot 0) on 16 September 2024",
            "+65° on 16 September 2024",
            "+20° on 16 September 2024",
        ],
    );
    assert!(!left.contains("heel cord cut"), "{left}");
    assert!(!right.contains("+65°") && !left.contains("+60°"), "{text}");
    // The angle just after the tenotomy is in the line of the tenotomy, not in that of the last angle.
    has(&right, &["Dorsiflexion 0° on 16 September 2024"]);
}

/// The same in the table of the transfer summary, whose caption names the foot.
#[test]
fn the_course_of_each_foot_has_its_own_table() {
    let clinic = clinic();
    let document = letter(TWO_FEET, "2024-09-16", ColleagueDocumentKind::TransferSummary, &clinic).unwrap();
    let page = page(&document, &clinic, "transfer-two-feet");
    let tables = Selector::parse("table.wide").unwrap();
    let texts: Vec<String> =
        page.select(&tables).map(|table| table.text().collect::<Vec<_>>().join(" ")).collect();
    let of =
        |side: &str| texts.iter().find(|text| text.contains(&format!("Course of the {side} foot"))).unwrap();
    has(of("right"), &["heel-cord tenotomy", "−30°", "0 + 3"]);
    has(of("left"), &["−5°", "1.5 + 1.5"]);
    assert!(!of("left").contains("tenotomy"), "{}", of("left"));
}

#[test]
fn a_foot_that_is_not_affected_is_named() {
    let text = text(CASTS, "2025-02-10", ColleagueDocumentKind::ReferrerLetter);
    has(&text, &["Right foot Not recorded as affected.", "Left foot Type not recorded"]);
    has(
        &text,
        &["About Solveig", "Dear colleague,", "Thank you for sending us Solveig", "Monday 17 February 2025"],
    );
    has(&text, &["toes that are dark", "Ida Brandt", "0155 20 18 44", "does not replace"]);
    assert!(!text.contains("brace that is not worn"), "no brace yet: {text}");
}

/// A tenotomy on a foot that is not on record as a clubfoot: the doubt comes first, and nothing is advised for it.
#[test]
fn what_is_in_doubt_is_at_the_head_of_every_letter() {
    let rows = format!("{CASTS}\n| 2025-02-17 | right | tenotomy | dorsiflexion 20 |");
    let clinic = clinic();
    for kind in ColleagueDocumentKind::ALL {
        let document = letter(&rows, "2025-02-17", kind, &clinic).unwrap();
        let page = page(&document, &clinic, &format!("doubt-{}", kind.key()));
        let doubt = shown(&page, ".doubt");
        has(&doubt, &["In doubt: please check", "Right foot, 17 February 2025:"]);
        let whole = shown(&page, "main");
        let (at, next) = (whole.find("In doubt").unwrap(), whole.find("What comes next").unwrap());
        assert!(at < next, "{kind:?}");
    }
}

#[test]
fn after_a_death_no_letter_speaks_of_a_next_step() {
    let rows = format!("{CASTS}\n| 2025-02-12 | – | died | |");
    let clinic = clinic();
    let made = |kind| letter(&rows, "2025-02-12", kind, &clinic);
    assert_eq!(made(ColleagueDocumentKind::ReferrerLetter), Err(NoLetter::Died));
    assert_eq!(made(ColleagueDocumentKind::TransferSummary), Err(NoLetter::Died));
    let summary = made(ColleagueDocumentKind::ClinicSummary).unwrap();
    let text = shown(&page(&summary, &clinic, "summary-died"), "main");
    has(&text, &["The child died on 12 February 2025."]);
    assert!(!text.contains("What comes next") && !text.contains("Planned visits"), "{text}");
}

#[test]
fn without_an_affected_foot_there_is_nothing_to_write() {
    let rows = "| 2025-02-03 | – | registered | name Solveig; born 2025-01-20 |";
    for kind in ColleagueDocumentKind::ALL {
        assert_eq!(letter(rows, "2025-02-03", kind, &clinic()), Err(NoLetter::NoFoot));
    }
}

#[test]
fn the_summary_has_the_reasons_and_the_transfer_the_brace() {
    let summary = text(BRACE, "2024-11-11", ColleagueDocumentKind::ClinicSummary);
    has(&summary, &["Because:", "Source:", "full-time bracing since 11 November 2024"]);
    let transfer = text(BRACE, "2024-11-11", ColleagueDocumentKind::TransferSummary);
    has(&transfer, &["22 h a day prescribed", "bar 220 mm", "left boot 85 mm", "No screening of hips"]);
    let relapse = text(RELAPSE, "2025-02-24", ColleagueDocumentKind::TransferSummary);
    has(&relapse, &["Relapse noted on 24 February 2025", "Casts again", "cast 1 of episode 2"]);
}

/// A long course keeps its first and last days, and says how many are left out.
#[test]
fn a_long_course_says_what_it_leaves_out() {
    let mut rows = CASTS.to_owned();
    let mut on = day("2025-02-17");
    for _ in 0..60 {
        rows.push_str(&format!("\n| {on} | left | cast | |"));
        on = on + 7;
    }
    let text = text(&rows, &on.to_string(), ColleagueDocumentKind::TransferSummary);
    // 62 days with a cast, of which 40 are kept.
    has(&text, &["22 days are left out here and are in the file", "3 February 2025", &(on - 7).words()]);
}

#[test]
fn the_letterhead_is_above_the_title() {
    let clinic = ClinicContact {
        letterhead: Letterhead {
            lines: vec!["4 Harbour Road".to_owned(), "<b>not bold</b>".to_owned()],
            logo: Some(ClinicLogo::new(b"\x89PNG\r\n\x1a\n")),
            signature: vec!["Clubfoot clinic, Harbour Hospital".to_owned()],
            talk_to: vec!["Ana: 0155 20 18 45".to_owned()],
        },
        ..clinic()
    };
    let document = letter(CASTS, "2025-02-10", ColleagueDocumentKind::ReferrerLetter, &clinic).unwrap();
    let page = page(&document, &clinic, "letterhead");
    has(
        &shown(&page, ".clinic-head"),
        &["Clubfoot clinic, Harbour Hospital", "4 Harbour Road", "<b>not bold</b>"],
    );
    let image = Selector::parse(".clinic-head img").unwrap();
    let sources: Vec<_> = page.select(&image).map(|image| image.value().attr("src").unwrap()).collect();
    // The eight bytes in base 64 (RFC 4648, section 4).
    assert_eq!(sources, ["data:image/png;base64,iVBORw0KGgo="]);
    assert_eq!(page.select(&Selector::parse(".clinic-head b").unwrap()).count(), 0, "text, never markup");
    assert!(!shown(&page, "main").contains("Ana:"), "families' contacts are not for colleagues");
}

/// On a document for a family: the head above the title, the people at the end, in every language.
#[test]
fn families_read_to_whom_they_can_talk() {
    let clinic = ClinicContact {
        letterhead: Letterhead {
            lines: vec!["4 Harbour Road".to_owned()],
            talk_to: vec!["Ana, mother of Leo: 0155 20 18 45".to_owned()],
            ..Letterhead::default()
        },
        ..clinic()
    };
    with(CASTS, "2025-02-10", |facts| {
        let plan = family_plan(&facts.unwrap(), PlanChoices::default()).with_letterhead(&clinic);
        for language in Language::ALL {
            let frame = PageFrame { style: "letters.css", above: None };
            let html = letters::html::page(&plan, language, frame).unwrap().into_string();
            let page = Html::parse_document(&html);
            has(&shown(&page, "main > div.clinic-head:first-child"), &["4 Harbour Road"]);
            has(&shown(&page, "main"), &["Ana, mother of Leo: 0155 20 18 45"]);
        }
    });
}
