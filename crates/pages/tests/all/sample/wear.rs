//! The wear pages of an invented child.

use super::{children::in_brace, frame, today};
use forecast::SeenChild;
use forecast::relapse::RelapseByWear;
use guidance::Protocol;
use maud::Markup;
use pages::{
    DiaryScanView, HOURS, Here, LoggedDay, LoggerPreview, WearView, diary_scan, fields::Filled,
    logger_preview, parts::Who, wear,
};
use record::{WearLogged, WearReported};
use wear::adherence::{Adherence, monday};

fn other_diary(who: Who) -> DiaryScanView {
    DiaryScanView { who, error: Some("This is the diary of another child.".into()) }
}

/// Four weeks with both reported and logged hours, and a diary with an error.
pub fn pages() -> Vec<(&'static str, Markup)> {
    let mut child = in_brace();
    for week in 0..4 {
        let from = today() - 35 + 7 * week;
        let to = from + 6;
        let hours_per_day = 20.0 - f64::from(week);
        child.wrote(
            &to.to_string(),
            WearReported { from, to, hours_per_day, days_without: None, reason: None },
        );
        let logged =
            WearLogged { from, to, hours_per_day: 15.0, days_judged: 7, logger: Some("S-17".into()) };
        child.wrote(&to.to_string(), logged);
    }
    let outlook = child.outlook();
    let prescribed = Protocol::built_in().prescribed();
    let who = Who::of(&outlook.course);
    let good = WearView {
        who: who.clone(),
        adherence: Adherence::of(&outlook.course, prescribed),
        prescribed: prescribed.on(&outlook.course.braces, today()),
        risk: RelapseByWear::of(&SeenChild::of(&outlook.course).child, today()),
        finished_feet: 12,
        weeks: (monday(today() - 7), 1),
        filled: Filled::default(),
        file_error: None,
        once: "0190".into(),
    };
    let field = format!("{HOURS}{}", monday(today() - 7));
    let filled = Filled::default()
        .with(field.clone(), "27")
        .wrong(field, "27 hours cannot be right: a day has 24 hours.");
    let bad = WearView {
        filled,
        file_error: Some("The file is empty.".into()),
        weeks: (good.weeks.0, 4),
        ..good.clone()
    };
    let day = |after: i32, left_out: Option<&'static str>| LoggedDay {
        day: today() - 20 + after,
        worn: 11.3,
        undecided: 0.2,
        missing: 0.0,
        confidence: Some(0.99),
        because: left_out.map(|_| "the boot warmed more slowly than with a foot in it".to_owned()),
        left_out,
    };
    let preview = LoggerPreview {
        who,
        file_name: "boot.csv".into(),
        label: "S-17, file 0123456789ab".into(),
        days: vec![day(0, None), day(1, Some("no: undecided"))],
        notes: vec!["The time goes backwards once, first at row 3. All rows were sorted by time.".into()],
        carried: "2024-04-24=11.30".into(),
        once: "0190".into(),
    };
    let many = LoggerPreview {
        notes: (1..=7).map(|row| format!("Invented note {row} on the file.")).collect(),
        ..preview.clone()
    };
    let frame = frame(Here::Elsewhere);
    vec![
        ("wear", wear(&frame, &good)),
        ("wear-refused", wear(&frame, &bad)),
        ("diary-scan", diary_scan(&frame, &other_diary(preview.who.clone()))),
        ("wear-logger", logger_preview(&frame, &preview)),
        ("wear-logger-odd", logger_preview(&frame, &many)),
    ]
}
