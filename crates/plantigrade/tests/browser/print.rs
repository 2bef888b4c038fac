//! Pages on paper: what is asked of a person is gone, what is told stands, in dark ink on white.

use crate::{
    TODAY,
    clinic::Clinic,
    run, screens, stops,
    tab::{Browsing, Tab},
};

/// Whether any of these can be seen on the page as printed.
const ON_SCREEN_ONLY: &str = "[...document.querySelectorAll('.nav, .help-link, .help-jumps, .own-pages, .seek, .theme, .top-end, .skip, main button, .child-actions, .filter, .turn')].filter((e) => e.checkVisibility()).map((e) => e.outerHTML.slice(0, 80))";
/// A4 in pixels, less the browser's usual margins.
const PAPER: (u32, u32) = (718, 1000);
/// Lightness of paper and ink, 0 to 255.
const INK_AND_PAPER: &str = "(() => {
    const grey = (colour) => { const [r, g, b, a] = [...colour.match(/[\\d.]+/g).map(Number), 1]; return a === 0 ? 255 : (r + g + b) / 3; };
    const style = getComputedStyle(document.body);
    return [grey(style.color), grey(style.backgroundColor)]; })()";

#[test]
fn child_attention_and_day_can_be_printed() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.go(&clinic.link).await;
        let child = stops::child(&tab, 29).await;
        tab.size(PAPER.0, PAPER.1).await;
        for (name, path, says) in [
            ("child", child.as_str(), "What comes next"),
            ("attention", "/attention", "Needs attention"),
            ("day", "/day", "Expected"),
            ("capacity", "/capacity", "Places needed, week by week"),
            ("help", "/help/signs", "Curved lateral border"),
        ] {
            for theme in ["light", "dark"] {
                tab.media("print", theme).await;
                tab.go(&clinic.at(path)).await;
                on_paper(&tab, name, says, theme).await;
            }
        }
        println!("Printed pages are in {}", screens::folder().display());
        browsing.close().await;
    });
}

/// Numbers of invented children in different stages: in casts, with a tenotomy, corrected entries, in the brace,
/// relapsed, long in care.
const CHILDREN: [u32; 6] = [2, 3, 17, 25, 29, 44];
/// The bottom of the picture of the course, in pixels from the top of the page.
const PICTURE_ENDS: &str = "Math.max(...[...document.querySelectorAll('.course-picture svg')].filter((e) => e.checkVisibility()).map((e) => e.getBoundingClientRect().bottom + scrollY))";

/// The page of a child needs three sheets at most, with the picture of the course on the first; letters and sheets for
/// a power cut need those that they promise.
#[test]
fn a_child_and_its_letters_fit_their_sheets() {
    run(async {
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.go(&clinic.link).await;
        tab.size(PAPER.0, PAPER.1).await;
        let mut too_long = Vec::new();
        for number in CHILDREN {
            tab.media("", "light").await;
            tab.go(&clinic.at("/day")).await;
            let child = stops::child(&tab, number).await;
            tab.media("print", "light").await;
            tab.go(&clinic.at(&child)).await;
            let ends: f64 = tab.eval(PICTURE_ENDS).await;
            if ends > f64::from(PAPER.1) {
                too_long.push(format!("child {number}: the picture ends at {ends}"));
            }
            for (path, most) in [
                ("", 3),
                ("/letters/clinic-summary", 1),
                ("/letters/transfer-summary", 2),
                ("/letters/referrer-letter", 2),
            ] {
                let sheets =
                    sheets_of(&tab, &clinic.at(&format!("{child}{path}")), &format!("{number}{path}")).await;
                if sheets > most {
                    too_long.push(format!("child {number}{path}: {sheets} sheets, at most {most}"));
                }
            }
        }
        for (path, most) in [("/sheets/visit", 3), ("/sheets/tenotomy", 1), ("/calls", 4)] {
            let sheets = sheets_of(&tab, &clinic.at(path), path).await;
            if sheets > most {
                too_long.push(format!("{path}: {sheets} sheets, at most {most}"));
            }
        }
        assert!(too_long.is_empty(), "{too_long:#?}");
        browsing.close().await;
    });
}

/// The number of sheets of a page on paper.
async fn sheets_of(tab: &Tab, url: &str, name: &str) -> usize {
    tab.media("", "light").await;
    tab.go(url).await;
    assert_eq!(tab.status().await, 200, "{url}");
    let pdf = tab.paper().await;
    screens::keep(&format!("fits{}.pdf", name.replace('/', "-")), &pdf);
    let sheets = pdf.windows(12).filter(|part| *part == b"/Type /Page\n").count();
    assert!(sheets >= 1, "{url} gives no sheet");
    sheets
}

async fn on_paper(tab: &Tab, name: &str, says: &str, theme: &str) {
    let text = tab.text().await;
    assert!(text.contains(says), "{name} on paper lacks “{says}”:\n{text}");
    assert!(text.contains("clinician"), "{name} on paper lacks the caution:\n{text}");
    // The day names the steps alone, the manual none; wherever reasons can be unfolded on the screen, paper gives them.
    assert!(
        matches!(name, "day" | "capacity" | "help") || text.contains("Source:"),
        "{name} on paper gives no reasons:\n{text}"
    );
    let left: Vec<String> = tab.eval(ON_SCREEN_ONLY).await;
    assert!(left.is_empty(), "{name} prints what only a screen can use: {left:?}");
    let [ink, paper]: [f64; 2] = tab.eval(INK_AND_PAPER).await;
    assert!(ink < 60.0 && paper > 250.0, "{name}, {theme}: ink {ink}, paper {paper}");
    screens::keep(&format!("print-{name}-{theme}.png"), &tab.whole_picture(PAPER).await);
    tab.media("", theme).await;
    let pdf = tab.paper().await;
    screens::keep(&format!("print-{name}-{theme}.pdf"), &pdf);
    assert!(pdf.starts_with(b"%PDF-"), "{name} gives no PDF");
    let sheets = pdf.windows(12).filter(|part| *part == b"/Type /Page\n").count();
    assert!(sheets >= 1 && pdf.len() > 10_000, "{name}: {sheets} sheets, {} bytes", pdf.len());
}
