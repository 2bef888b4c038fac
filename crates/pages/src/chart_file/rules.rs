//! The rules of the style sheet for charts on light paper, with the value of each custom property put in.

use crate::assets::APP_CSS;
use std::{collections::BTreeMap, sync::LazyLock};

/// What a rule may set that is also an attribute of SVG.
const PROPERTIES: [&str; 13] = [
    "fill",
    "fill-opacity",
    "stroke",
    "stroke-width",
    "stroke-opacity",
    "stroke-dasharray",
    "stroke-linecap",
    "stroke-linejoin",
    "paint-order",
    "font-size",
    "font-weight",
    "font-style",
    "opacity",
];

/// The classes of drawings.
const DRAWINGS: [&str; 6] = ["picture", "plot", "wear-chart", "growth", "weeks", "trust-chart"];

/// One part of a selector: an element with a name, classes, or both.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Part {
    name: String,
    classes: Vec<String>,
}

/// A rule with a plain selector: parts within parts.
#[derive(Debug)]
struct Rule {
    parts: Vec<Part>,
    /// Classes, then names, then the place in the sheet: the higher one wins.
    weight: (usize, usize, usize),
    sets: Vec<(&'static str, String)>,
}

/// An element, for which rules are looked up.
#[derive(Debug, Clone, Default)]
pub(super) struct Element {
    pub name: String,
    pub classes: Vec<String>,
}

static RULES: LazyLock<Vec<Rule>> = LazyLock::new(|| read(APP_CSS));

/// The attributes that the rules give to the last element of a path from the drawing down to it.
pub(super) fn attributes(path: &[Element]) -> BTreeMap<&'static str, &'static str> {
    let mut fitting: Vec<&'static Rule> = RULES.iter().filter(|rule| fits(&rule.parts, path)).collect();
    fitting.sort_by_key(|rule| rule.weight);
    let sets = fitting.into_iter().flat_map(|rule| &rule.sets);
    sets.map(|(property, value)| (*property, value.as_str())).collect()
}

fn fits(parts: &[Part], path: &[Element]) -> bool {
    let (Some((last, outer)), Some((element, around))) = (parts.split_last(), path.split_last()) else {
        return false;
    };
    last.is(element)
        && (outer.is_empty() || (0..around.len()).any(|end| fits(outer, around.get(..=end).unwrap_or(&[]))))
}

impl Part {
    fn is(&self, element: &Element) -> bool {
        (self.name.is_empty() || self.name == element.name)
            && self.classes.iter().all(|class| element.classes.contains(class))
    }

    /// `None` for a selector that no element of a saved drawing can meet, such as `:hover`.
    fn read(text: &str) -> Option<Self> {
        if text.contains([':', '>', '+', '~', '[', '*', '#']) {
            return None;
        }
        let mut pieces = text.split('.');
        let name = pieces.next().unwrap_or_default().to_owned();
        Some(Self { name, classes: pieces.map(str::to_owned).collect() })
    }
}

fn read(css: &str) -> Vec<Rule> {
    let css = without_comments(css);
    let values = custom_properties(&css);
    let mut rules = Vec::new();
    for (place, (selectors, body)) in top_level(&css).into_iter().enumerate() {
        let sets = sets(body, &values);
        if sets.is_empty() {
            continue;
        }
        for selector in selectors.split(',') {
            let parts: Option<Vec<Part>> = selector.split_whitespace().map(Part::read).collect();
            let Some(parts) = parts.filter(|parts| is_of_drawing(parts)) else { continue };
            let classes = parts.iter().map(|part| part.classes.len()).sum();
            let names = parts.iter().filter(|part| !part.name.is_empty()).count();
            rules.push(Rule { parts, weight: (classes, names, place), sets: sets.clone() });
        }
    }
    rules
}

fn is_of_drawing(parts: &[Part]) -> bool {
    let drawing = |class: &String| DRAWINGS.contains(&class.as_str());
    parts.iter().any(|part| part.classes.iter().any(drawing))
}

fn without_comments(css: &str) -> String {
    let mut out = String::with_capacity(css.len());
    let mut rest = css;
    while let Some((before, after)) = rest.split_once("/*") {
        out.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, after)| after);
    }
    out.push_str(rest);
    out
}

/// Selectors and bodies outside every `@media`: those for light paper.
fn top_level(css: &str) -> Vec<(&str, &str)> {
    let mut found = Vec::new();
    let mut rest = css;
    while let Some((head, after)) = rest.split_once('{') {
        let end = block_end(after);
        let (body, next) = after.split_at_checked(end).unwrap_or((after, ""));
        if !head.trim_start().starts_with('@') {
            found.push((head.trim(), body));
        }
        rest = next.strip_prefix('}').unwrap_or("");
    }
    found
}

/// Where the block ends that was opened just before.
fn block_end(text: &str) -> usize {
    let mut depth = 0_usize;
    for (at, letter) in text.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' if depth == 0 => return at,
            '}' => depth -= 1,
            _ => {}
        }
    }
    text.len()
}

/// The values of `:root`.
fn custom_properties(css: &str) -> BTreeMap<&str, &str> {
    let root = top_level(css).into_iter().find(|(selector, _)| *selector == ":root");
    let lines = root.into_iter().flat_map(|(_, body)| body.split(';'));
    lines.filter_map(|line| line.split_once(':')).map(|(name, value)| (name.trim(), value.trim())).collect()
}

fn sets(body: &str, values: &BTreeMap<&str, &str>) -> Vec<(&'static str, String)> {
    let set = |line: &str| {
        let (name, value) = line.split_once(':')?;
        let property = PROPERTIES.into_iter().find(|property| *property == name.trim())?;
        let value = value.trim();
        let known = match value.strip_prefix("var(").and_then(|value| value.strip_suffix(')')) {
            Some(custom) => values.get(custom.trim()).copied()?,
            None => value,
        };
        // Numbers of an attribute have no unit.
        let plain = known.strip_suffix("px").unwrap_or(known);
        Some((property, plain.to_owned()))
    };
    body.split(';').filter_map(set).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn element(name: &str, classes: &str) -> Element {
        Element { name: name.to_owned(), classes: classes.split_whitespace().map(str::to_owned).collect() }
    }

    #[test]
    fn the_more_specific_rule_wins_and_media_are_left_out() {
        let drawing = element("svg", "picture wide");
        let text = attributes(&[drawing.clone(), element("text", "tick")]);
        // `.picture text` has 13px, `.picture .tick` 12px; on a tablet 14.5px, which is within @media.
        assert_eq!(text.get("font-size"), Some(&"12"));
        assert_eq!(text.get("fill"), Some(&"#6a6158"));
        let plain = attributes(&[drawing.clone(), element("text", "lane")]);
        assert_eq!((plain.get("font-size"), plain.get("font-weight")), (Some(&"13"), Some(&"600")));
        let sign = attributes(&[drawing, element("a", ""), element("g", "sign"), element("path", "")]);
        assert_eq!(sign.get("stroke"), Some(&"#9a2f22"));
        assert!(attributes(&[element("p", ""), element("path", "band")]).is_empty(), "outside a drawing");
    }

    #[test]
    fn no_rule_of_a_chart_is_lost_to_a_custom_property() {
        assert!(RULES.len() > 60, "{}", RULES.len());
        for rule in RULES.iter() {
            assert!(rule.sets.iter().all(|(_, value)| !value.contains("var(")), "{rule:?}");
        }
    }
}
