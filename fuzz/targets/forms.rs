//! Forms as names and values, a line each (`name=value`): for a visit, a new child, each kind of entry, wear, stock,
//! settings and the choices of an import. The first byte chooses the kind of entry.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pages::fields::Filled;
use plantigrade::{forms, settings::Settings};
use record::Kind;
use std::collections::BTreeMap;

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    let Ok(text) = std::str::from_utf8(rest) else { return };
    let filled: Filled = text
        .lines()
        .filter_map(|line| line.split_once('='))
        .map(|(name, value)| (name.to_owned(), value.replace('\u{1}', "\n")))
        .collect();
    let today = fuzz::today();
    visit(&filled);
    let _ = forms::visit_so_far(&filled, today);
    let kind = Kind::ALL[usize::from(*first) % Kind::ALL.len()];
    if let Ok(body) = forms::body_of(kind, &filled, today) {
        assert_eq!(body.kind(), kind);
        let entry = fuzz::entry_of(body, today);
        assert_eq!(entry.refusal(), None, "{entry:?}");
        fuzz::goes_and_comes_back(&entry);
    }
    if let Ok(days) = forms::wear::diary(&filled, &BTreeMap::new(), today) {
        for worn in days {
            fuzz::goes_and_comes_back(&fuzz::entry_of(worn.into(), today));
        }
    }
    let _ = forms::wear::logged(filled.value("days"), "logger");
    let _ = forms::person(&filled, today);
    let _ = forms::stock(&filled);
    let _ = forms::closure(&filled, today);
    let mut settings = Settings::default();
    if forms::read_settings(&filled, &mut settings).is_ok() {
        let text = settings.written_over("").expect("what a form may set can be written");
        assert_eq!(Settings::parse(&text).expect("and read"), settings);
    }
    let _ = forms::read_second_factor(&filled, &mut settings);
});

fn visit(filled: &Filled) {
    let Ok(visit) = forms::visit(filled, fuzz::today()) else { return };
    assert!(visit.on <= fuzz::today(), "a visit in the future");
    for draft in &visit.drafts {
        let entry = fuzz::entry_of(draft.body.clone(), visit.on);
        assert_eq!(entry.refusal(), None, "{entry:?}");
        fuzz::goes_and_comes_back(&entry);
        // What is recorded of one foot was filled in for that foot.
        if let Some(side) = draft.body.side() {
            let of_foot = |name: &String| name.contains(&side.to_string()) || name.contains("both");
            let named = |value: &String| value.contains(&side.to_string()) || value.contains("both");
            assert!(filled.values.keys().any(of_foot) || filled.values.values().any(named), "{entry:?}");
        }
    }
}
