//! The access log, restricted records, erasure and retention.

use super::{day, frame, in_casts};
use maud::Markup;
use pages::{
    AccessLogView, AccessRowShown, ErasureFormView, ErasureRow, ErasureView, ErasuresView, Frame,
    FrameNotices, Here, KindCount, RequestError, RestrictedRefused, RestrictedView, RestrictionRow,
    RestrictionView, RetentionRow, RetentionView,
    fields::Filled,
    parts::{Pager, Who},
    restricted::OpeningRow,
};
use record::{EntryId, UserId};
use uuid::Uuid;

fn closed() -> Who {
    Who::restricted(in_casts("Ilse").who().id, vec!["4121".into()])
}

fn row(number: i64, child: Option<Who>, outcome: &str) -> AccessRowShown {
    AccessRowShown {
        number,
        when: "14 May 2024, 09:12".into(),
        person: "Ole Brandt".into(),
        device: "Tablet, cast room".into(),
        child,
        what: "record: visit".into(),
        outcome: outcome.into(),
        marked: !outcome.is_empty(),
    }
}

fn access_log(given: &str) -> AccessLogView {
    AccessLogView {
        rows: vec![
            row(12, Some(in_casts(given).who()), ""),
            row(11, Some(closed()), "opened although restricted: Emergency care"),
            row(10, None, "refused: may not change how the clinic is run"),
        ],
        filled: Filled::default().with("child", "4121").with("refused", "yes"),
        people: vec![("01".into(), "Ole Brandt".into())],
        devices: vec!["Tablet, cast room".into(), "this computer".into()],
        pager: Pager { page: 1, pages: 2, total: 60, base: "/access-log?".into() },
        query: "child=4121&refused=yes".into(),
        head: Some((60, "3f9a-02c1-77de-5b10".into())),
        checked: Some((vec!["60 rows checked: nothing is wrong.".into()], true)),
        check_words: "The check shows that no row was changed.",
    }
}

fn erasure_row(given: &str, decided: Option<String>) -> ErasureRow {
    ErasureRow {
        number: 1,
        who: in_casts(given).who(),
        scope: "The whole record".into(),
        asked: "Asked for on 14 May 2024, 09:12, by Ole Brandt".into(),
        decided,
    }
}

fn kinds(days: bool) -> Vec<KindCount> {
    let days = days.then(|| (day("2024-04-02"), day("2024-05-07")));
    vec![
        KindCount { kind: "assessment".into(), count: 6, days },
        KindCount { kind: "note".into(), count: 1, days },
    ]
}

fn erasures(given: &str) -> Vec<(&'static str, Markup)> {
    let frame = frame(Here::Protection);
    let form = ErasureFormView {
        who: in_casts(given).who(),
        kinds: kinds(true),
        entries: vec![(EntryId::new(Uuid::from_u128(9)), day("2024-05-07"), "Pirani 3.5, right foot".into())],
        linked: vec![closed()],
        waiting: vec![1],
        hold: Some((day("2030-01-31"), "Court case.".into())),
        only_lead: true,
        filled: Filled::default().wrong("scope", "Choose what is to be erased."),
    };
    let waiting = ErasureView {
        row: erasure_row(given, None),
        reason: "Request of the family.".into(),
        basis: "Article 17".into(),
        kinds: kinds(true),
        typed: "4121".into(),
        own: false,
        only_lead: false,
        held: None,
        copies: vec!["/media/stick/copy (2 May 2024, 17:00)".into()],
        backups: vec![pages::ErasedHolder {
            file: "/media/stick/plantigrade-0a1b2c3d-2024-05-13T153000Z.backup".into(),
            until: "27 May 2026".into(),
        }],
        filled: Filled::default().wrong("number", "This is not the number of the child."),
    };
    let own = ErasureView {
        own: true,
        only_lead: true,
        held: Some("Held.".into()),
        filled: Filled::default(),
        ..waiting.clone()
    };
    let done = "Carried out on 15 May 2024, 08:00, by Hanne Kvist".to_owned();
    let done = ErasureView {
        row: erasure_row(given, Some(done)),
        kinds: kinds(false),
        filled: Filled::default(),
        ..waiting.clone()
    };
    let list = ErasuresView { rows: vec![waiting.row.clone(), done.row.clone()] };
    let rule = Some("for 10 years after the last entry".to_owned());
    let due = RetentionRow { who: in_casts(given).who(), due: day("2024-01-02"), rule: "by the age".into() };
    let retention = RetentionView {
        rule,
        due: vec![due],
        unknown: vec![(closed(), "its day of birth is not recorded".into())],
        held: vec![(closed(), day("2030-01-31"), "Court case.".into())],
        later: (3, Some(day("2025-02-01"))),
    };
    let none = RetentionView {
        rule: None,
        due: Vec::new(),
        unknown: Vec::new(),
        held: Vec::new(),
        later: (0, None),
    };
    vec![
        ("erasure-form", pages::erasure_form(&frame, &form)),
        ("erasure", pages::erasure(&frame, &waiting)),
        ("erasure-own", pages::erasure(&frame, &own)),
        ("erasure-done", pages::erasure(&frame, &done)),
        ("erasures", pages::erasures(&frame, &list)),
        ("retention", pages::retention(&frame, &retention)),
        ("retention-none", pages::retention(&frame, &none)),
    ]
}

pub fn pages(given: &str) -> Vec<(&'static str, Markup)> {
    let log = access_log(given);
    let empty = AccessLogView { rows: Vec::new(), head: None, checked: None, ..log.clone() };
    let notices = FrameNotices {
        restricted_openings: 2,
        log_trouble: Some("Since 14 May.".into()),
        offers_encryption: true,
    };
    let told = Frame { notices, ..frame(Here::Protection) };
    let restriction = RestrictionView {
        who: in_casts(given).who(),
        people: vec![(UserId::new(Uuid::from_u128(1)), "Ole Brandt (lead)".into(), true)],
        restricted: true,
        history: vec![RestrictionRow {
            when: "13 May 2024, 08:04".into(),
            who: "Hanne Kvist".into(),
            what: "Restricted to Ole Brandt".into(),
            reason: "Child of a colleague.".into(),
        }],
        filled: Filled::default().wrong("reason", "Write the reason, at least 10 characters."),
    };
    let opening = OpeningRow {
        who: closed(),
        by: "Ole Brandt".into(),
        when: "14 May 2024, 09:12, until 14 May 2024, 10:12".into(),
        device: "Tablet, cast room".into(),
        reason: "Emergency care".into(),
    };
    let records =
        RestrictedView { records: vec![(closed(), "Ole Brandt".into())], openings: vec![opening], up_to: 3 };
    let refused = RestrictedRefused {
        child: closed().id,
        then: "/child/x".into(),
        filled: Filled::default().wrong("why_opened", "Choose why you open it."),
    };
    let refused = RequestError::Restricted(Box::new(refused));
    let mut all = vec![
        ("access-log", pages::access_log(&frame(Here::AccessLog), &log)),
        ("access-log-empty", pages::access_log(&frame(Here::AccessLog), &empty)),
        ("restriction", pages::restriction(&frame(Here::Child), &restriction)),
        ("restricted-records", pages::restricted_records(&told, &records)),
        ("restricted-refused", pages::error(&frame(Here::Elsewhere), &refused)),
    ];
    all.extend(erasures(given));
    all
}
