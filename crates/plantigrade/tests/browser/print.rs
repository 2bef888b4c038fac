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
