//! A measure as a table that may leave the clinic: small numbers are withheld.

use audit::{
    CaseCounts, ClinicHistory, Clinician, Estimate, Figure, KnownBy, MeasureKind, MeasureResult, small, words,
};
use pages::{Choice, Names};
use record::{SiteId, UserId};

/// The head of the table. Keys are stable; docs/results.md explains each.
pub const HEAD: [&str; 14] = [
    "measure", "name", "as_of", "version", "part", "class", "n", "children", "events", "figure", "value",
    "lower", "upper", "note",
];
/// Shown instead of a number that is withheld.
pub const WITHHELD: &str = "withheld";

/// The table as CSV.
#[must_use]
pub fn csv(answers: &[MeasureResult], names: &Names, selected: Option<&str>) -> String {
    let mut text = line(&HEAD.map(str::to_owned));
    for answer in answers {
        for row in rows(answer, names) {
            text.push_str(&line(&row));
        }
    }
    let written = answers.first().filter(|answer| answer.known_by != KnownBy::ClinicalDay);
    let notes = [
        Some(small::RULE.to_owned()),
        selected.map(|selected| format!("Selected: {selected}.")),
        written.map(|answer| format!("As known on {}, {}.", answer.as_of.words(), answer.known_by.words())),
    ];
    for note in notes.into_iter().flatten() {
        let mut row = vec![String::new(); HEAD.len()];
        (row[4], row[13]) = ("note".to_owned(), note);
        text.push_str(&line(&row));
    }
    text
}

/// One line of cells. A text that a spreadsheet could read as a formula begins with an apostrophe.
pub(crate) fn line(cells: &[String]) -> String {
    let cells: Vec<String> = cells.iter().map(|text| exchange::guarded(text.clone())).collect();
    let mut line = String::new();
    exchange::push_row(&mut line, cells.iter().map(String::as_str));
    line
}

/// The names of sites and clinicians, in the order of their numbers.
pub fn named(
    clinic: &ClinicHistory,
    own: SiteId,
    own_name: &str,
    site_name: impl Fn(SiteId) -> Option<String>,
    name_of: impl Fn(UserId) -> String,
) -> Names {
    let site = |site: &SiteId| {
        let key = site.to_string();
        let end = key.get(key.len().saturating_sub(4)..).unwrap_or_default();
        // If everything was written at one site, that site is this clinic, even if its records had another name.
        let words = if *site == own || clinic.sites.len() == 1 {
            own_name.to_owned()
        } else {
            site_name(*site).unwrap_or_else(|| format!("site ending {end}"))
        };
        Choice { key, words }
    };
    Names {
        sites: clinic.sites.iter().map(site).collect(),
        clinicians: clinic.clinicians.iter().map(|who| clinician(who, &name_of)).collect(),
    }
}

/// The name of a clinician, and its word in an address.
pub fn clinician(who: &Clinician, name_of: impl Fn(UserId) -> String) -> Choice {
    match who {
        Clinician::User(user) => Choice { key: user.to_string(), words: name_of(*user) },
        Clinician::Named(name) => {
            let key =
                name.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '_' }).collect();
            Choice { key, words: name.clone() }
        }
    }
}

struct Row<'a> {
    part: &'a str,
    class: String,
    counted: Option<CaseCounts>,
    figure: Option<&'a Figure>,
    shown: bool,
    note: String,
}

fn rows(answer: &MeasureResult, names: &Names) -> Vec<Vec<String>> {
    let all = !small::is_small(&answer.counted);
    let note = |shown: bool| if shown { String::new() } else { WITHHELD.to_owned() };
    let mut rows = Vec::new();
    // For wear and fields each line has other children, so each line is checked by itself below.
    let by_line = matches!(answer.definition.kind, MeasureKind::Wear | MeasureKind::Missing);
    for figure in answer.figures.iter().filter(|_| !by_line) {
        rows.push(Row {
            part: "all",
            class: String::new(),
            counted: Some(answer.counted),
            figure: Some(figure),
            shown: all,
            note: note(all),
        });
    }
    for one in &answer.by {
        let counted: Vec<CaseCounts> = one.groups.iter().map(|group| group.counted).collect();
        let may_leave = small::may_leave(&counted);
        for (group, shown) in one.groups.iter().zip(may_leave) {
            let shown = shown && all;
            rows.push(Row {
                part: one.by.key(),
                class: names.of(one.by, group.code),
                counted: Some(group.counted),
                figure: group.figure.as_ref(),
                shown,
                note: note(shown),
            });
        }
    }
    let mut lines: Vec<Vec<String>> = rows.into_iter().map(|row| cells(answer, row)).collect();
    if all {
        lines.extend(curve_rows(answer));
    }
    lines.extend(wear_rows(answer));
    lines.extend(field_rows(answer));
    lines
}

pub(crate) fn rounded(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn cells(answer: &MeasureResult, row: Row<'_>) -> Vec<String> {
    let count = |of: fn(&CaseCounts) -> Option<usize>| match row.counted.as_ref().and_then(of) {
        Some(n) if row.shown => n.to_string(),
        Some(_) => WITHHELD.to_owned(),
        None => String::new(),
    };
    let value = |of: fn(&Figure) -> Option<f64>| {
        row.figure.filter(|_| row.shown).and_then(of).map(rounded).unwrap_or_default()
    };
    vec![
        answer.measure.key().to_owned(),
        answer.definition.name.to_owned(),
        answer.as_of.to_string(),
        answer.version.to_owned(),
        row.part.to_owned(),
        row.class,
        count(|counted| Some(counted.n)),
        count(|counted| Some(counted.children)),
        count(|counted| counted.events),
        row.figure.map(|figure| figure.label.clone()).unwrap_or_default(),
        value(|figure| Some(figure.estimate.value)),
        value(|figure| figure.estimate.lower),
        value(|figure| figure.estimate.upper),
        row.note,
    ]
}

/// Curves at half years in whole per cent, as long as five are at risk. The number at risk is rounded down to a
/// multiple of five, so that it does not reveal when a single child left.
fn curve_rows(answer: &MeasureResult) -> Vec<Vec<String>> {
    let mut lines = Vec::new();
    for curve in &answer.curves {
        for (days, at_risk) in curve.at_risk.iter().filter(|(_, n)| *n >= small::FEWEST_SHOWN as f64) {
            let step = curve.at(*days);
            let share = step.map_or(if curve.falls { 1.0 } else { 0.0 }, |step| step.share);
            let whole = |share: f64| format!("{:.2}", share);
            let limit =
                |of: fn(&audit::CurveStep) -> Option<f64>| step.and_then(of).map(whole).unwrap_or_default();
            lines.push(vec![
                answer.measure.key().to_owned(),
                answer.definition.name.to_owned(),
                answer.as_of.to_string(),
                answer.version.to_owned(),
                "curve".to_owned(),
                curve.name.to_owned(),
                format!("{:.0}", (at_risk / 5.0).floor() * 5.0),
                String::new(),
                String::new(),
                format!("after {} years", words::number(days / 365.25)),
                whole(share),
                limit(|step| step.lower),
                limit(|step| step.upper),
                String::new(),
            ]);
        }
    }
    lines
}

fn wear_rows(answer: &MeasureResult) -> Vec<Vec<String>> {
    let row = |line: &audit::WearLine| {
        let counted = CaseCounts { n: line.children, children: line.children, ..CaseCounts::default() };
        let shown = !small::is_small(&counted);
        let figure = line.hours.map(|value| Figure {
            label: "hours a day".to_owned(),
            estimate: Estimate { value, lower: line.lower, upper: line.upper },
        });
        cells(
            answer,
            Row {
                part: "wear",
                class: line.label.clone(),
                counted: Some(counted),
                figure: figure.as_ref(),
                shown,
                note: if shown { String::new() } else { WITHHELD.to_owned() },
            },
        )
    };
    answer.wear.iter().map(row).collect()
}

fn field_rows(answer: &MeasureResult) -> Vec<Vec<String>> {
    let row = |line: &audit::FieldLine| {
        let counted = CaseCounts {
            n: line.n,
            children: line.children,
            events: Some(line.written),
            event_children: None,
            free_children: None,
        };
        let missing = line.n.saturating_sub(line.written);
        let few = |n: usize| (1..small::FEWEST_SHOWN).contains(&n);
        let shown = !small::is_small(&counted) && !few(line.written) && !few(missing);
        cells(
            answer,
            Row {
                part: "field",
                class: line.words.to_owned(),
                counted: Some(counted),
                figure: line.share.as_ref(),
                shown,
                note: if shown { String::new() } else { WITHHELD.to_owned() },
            },
        )
    };
    answer.fields.iter().map(row).collect()
}
