//! The accessibility rules of axe-core, run within a page.
//!
//! The page's policy forbids scripts from elsewhere, so the rules are brought in through the browser's
//! own console, which no policy touches.

use crate::tab::Tab;
use serde::Deserialize;

const AXE: &str = include_str!("../vendor/axe-core/axe.min.js");

/// WCAG 2.0, 2.1 and 2.2 at A and AA, and what is good practice beside.
const RUN: &str = "axe.run(document, {
    runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] },
    resultTypes: ['violations', 'incomplete'],
}).then((found) => {
    const short = (rules) => rules.flatMap((rule) => rule.nodes.map((node) => ({
        rule: rule.id,
        selector: node.target.flat(9).join(' '),
        why: [...node.any, ...node.all, ...node.none].map((check) => check.message).join('; ') || rule.help,
    })));
    return { violations: short(found.violations), unsure: short(found.incomplete), passed: found.passes.length };
})";

/// What the rules found on a page.
#[derive(Debug, Deserialize)]
pub struct Findings {
    /// What breaks a rule.
    pub violations: Vec<Finding>,
    /// What the rules cannot decide by themselves.
    pub unsure: Vec<Finding>,
    /// How many rules found something to judge and nothing wrong.
    pub passed: usize,
}

/// One element that breaks a rule.
#[derive(Debug, Deserialize)]
pub struct Finding {
    pub rule: String,
    pub selector: String,
    pub why: String,
}

/// Runs the rules on the page as it stands.
pub async fn judge(tab: &Tab) -> Findings {
    if !tab.eval::<bool>("typeof axe !== 'undefined'").await {
        tab.eval::<()>(&format!("{{ {AXE} }}; null")).await;
    }
    tab.eval(RUN).await
}
