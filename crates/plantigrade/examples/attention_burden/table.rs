//! What was measured, as the tables of `docs/attention.md`.

use super::{
    burden::Burden,
    sensitivity::{Called, Sensitivity},
    world::World,
};
use guidance::attention::RULES;
use std::fmt::Write as _;

/// One world with what was found in it.
pub struct Measured {
    pub world: World,
    pub burden: Burden,
    pub sensitivity: Sensitivity,
}

fn share(part: usize, whole: usize) -> f64 {
    100.0 * part as f64 / whole.max(1) as f64
}

// Writing to a string does not fail, so its result is let go throughout.
pub fn markdown(measured: &[Measured]) -> String {
    let mut text = String::new();
    let _ = writeln!(
        text,
        "| | children in care | with an open call, % | same day | this week | soon | new rows a clinic day, mean (most) | of this week older than 14 days, % | the same without the planted children, % | on the lost list |"
    );
    let _ = writeln!(text, "|---|---|---|---|---|---|---|---|---|---|");
    for Measured { world, burden, .. } in measured {
        let each = |sum: usize| sum as f64 / burden.clinics.max(1) as f64;
        let (mean, most) = burden.new_rows_a_day();
        let _ = writeln!(
            text,
            "| {} | {:.0} | {:.1} | {:.1} | {:.1} | {:.1} | {mean:.1} ({most}) | {:.1} | {:.1} | {:.1} |",
            world.words(),
            each(burden.in_care),
            share(burden.open, burden.in_care),
            each(burden.worst[0]),
            each(burden.worst[1]),
            each(burden.worst[2]),
            share(burden.this_week.1, burden.this_week.0),
            share(burden.simulated.1, burden.simulated.0),
            each(burden.lost),
        );
    }
    sensitivity(&mut text, measured);
    rules(&mut text, measured);
    text
}

fn sensitivity(text: &mut String, measured: &[Measured]) {
    let _ = writeln!(
        text,
        "\n| | left care, called within 14 days of the visit they missed | came, called for contact all the same | do not keep to the brace, called in the first year | keep to it, called all the same |"
    );
    let _ = writeln!(text, "|---|---|---|---|---|");
    let cell = |called: Called| format!("{:.0} % ({} of {})", called.share(), called.called, called.all);
    for Measured { world, sensitivity, .. } in
        measured.iter().filter(|one| one.world != World::ClosedForAMonth)
    {
        let Sensitivity { left, came, not_keeping, keeping } = *sensitivity;
        let [left, came, not_keeping, keeping] = [left, came, not_keeping, keeping].map(cell);
        let _ = writeln!(text, "| {} | {left} | {came} | {not_keeping} | {keeping} |", world.words());
    }
}

fn rules(text: &mut String, measured: &[Measured]) {
    let _ = writeln!(
        text,
        "\nOpen calls in the list, of these older than 14 days, and rows led, each as the mean of a clinic; new calls a clinic day.\n"
    );
    let names: Vec<&str> = measured.iter().map(|one| one.world.words()).collect();
    let _ = writeln!(text, "| rule | {} |", names.join(" | "));
    let _ = writeln!(text, "|---|{}", "---|".repeat(names.len()));
    for rule in RULES {
        let cells = measured.iter().map(|one| {
            let Some(found) = one.burden.rules.get(rule.key) else { return "–".to_owned() };
            let each = |sum: usize| sum as f64 / one.burden.clinics.max(1) as f64;
            let new = found.new as f64 / one.burden.new_rows.len().max(1) as f64;
            format!(
                "{:.1} open, {:.1} old, {:.1} lead, {new:.2} new",
                each(found.open),
                each(found.old),
                each(found.leads)
            )
        });
        let _ =
            writeln!(text, "| {} (`{}`) | {} |", rule.words, rule.key, cells.collect::<Vec<_>>().join(" | "));
    }
}
