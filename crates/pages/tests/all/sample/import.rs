//! Imports with invented data.

use super::frame;
use maud::Markup;
use pages::{
    ColumnMenus, Frame, Here, ImportAnswer, ImportCounts, ImportDone, ImportPreview, ImportQuestion,
    ImportView, KeptRow, Menu, MenuGroup, MenuOption, PastImportRow, PossiblePair, PossiblePairsView,
    RowNote, SavedChoices, SheetMenus, SheetRow, UndoImportView,
};

// Views written out, one after the other.
#[allow(clippy::too_many_lines)]
pub fn pages_of_import() -> Vec<(&'static str, Markup)> {
    let frame = frame(Here::Import);
    let counts = ImportCounts {
        rows: 412,
        children: 61,
        new_children: 58,
        affected_feet: 89,
        assessments: 398,
        imported: 381,
        question: 17,
        duplicate: 5,
        refused: 9,
        passed_over: 2,
    };
    let note = |row: usize, disposition: &str, column: &str, value: &str, reason: &str| RowNote {
        sheet: String::new(),
        rows: row.to_string(),
        count: 1,
        disposition: disposition.into(),
        column: column.into(),
        value: value.into(),
        reason: reason.into(),
    };
    let preview = ImportPreview {
        kept_minutes: 30,
        token: "confirm".into(),
        revision: 3,
        file_name: "quay-visits.csv".into(),
        read_as: vec![
            "Windows-1252, semicolons.".into(),
            "One row per visit and foot.".into(),
            "Days are day/month/year: row 14 holds 23/04/2024.".into(),
        ],
        saved: Some(SavedChoices { when: "3 May 2024".into() }),
        unused: None,
        sheet: sheet_menus(),
        questions: questions(),
        in_place: None,
        trouble: None,
        missed: true,
        counts,
        reasons: vec![
            ("the total written disagrees with its six signs".into(), 17),
            ("there is no such day".into(), 6),
        ],
        rows: vec![
            note(
                33,
                "imported with a question",
                "Total",
                "4",
                "The total written is 4, the six signs add up to 4.5.",
            ),
            note(87, "refused", "Visit date", "31/02/2024", "There is no such day in the calendar."),
            note(
                90,
                "refused",
                "Name",
                "<script>alert(1)</script>",
                "A child needs a name or a hospital number.",
            ),
        ],
        rows_in_all: 26,
        remarks_in_all: 26,
        possible: vec![PossiblePair {
            one: "Ilse Rasmussen, no. 4121".into(),
            other: "Ilse Rasmusen, no. 4127".into(),
            why: "same day of birth, and the name sounds alike".into(),
            other_href: Some("/child/01907e2a-0000-7000-8000-0000000000c1".into()),
            join_href: None,
        }],
        possible_in_all: 812,
    };
    let nothing_new = ImportPreview {
        trouble: Some("The sheet has no row 90 to take the headings from.".into()),
        file_name: "quay-visits.xlsx".into(),
        ..ImportPreview::default()
    };
    let done = ImportDone {
        file_name: "quay-visits.csv".into(),
        counts,
        entries: 1204,
        refused_href: Some("/import/refused?token=confirm".into()),
        choices: Some("Your choices are saved for the next sheet with these headings.".into()),
        token: "confirm".into(),
        possible: vec![possible_pair(4121)],
        possible_in_all: 812,
    };
    vec![
        ("import", pages::import(&frame, &ImportView::default())),
        (
            "import-refused",
            pages::import(
                &frame,
                &ImportView { error: Some("The file has 210 MB; at most 200 MB are read.".into()) },
            ),
        ),
        ("import-preview", pages::import_preview(&frame, &preview)),
        ("import-preview-trouble", pages::import_preview(&frame, &nothing_new)),
        ("import-done", pages::import_done(&frame, &done)),
        ("import-pairs", possible_pairs(&frame)),
        ("past-imports", past_imports(&frame)),
        ("undo-import", undo_import(&frame, None)),
        ("undo-import-refused", undo_import(&frame, Some("A reason is needed."))),
    ]
}

fn option(key: &str, words: &str) -> MenuOption {
    MenuOption { key: key.into(), words: words.into() }
}

fn column(index: usize, letter: &str, header: &str, meaning: &str, why: &str) -> ColumnMenus {
    ColumnMenus {
        index,
        letter: letter.into(),
        header: header.into(),
        meaning: meaning.into(),
        why: why.into(),
        menus: Vec::new(),
        filled: true,
    }
}

fn sheet_menus() -> SheetMenus {
    let foot = Menu {
        name: "foot-1".into(),
        label: "Foot".into(),
        options: vec![
            option("", "as the row says"),
            option("right", "right foot"),
            option("left", "left foot"),
        ],
        chosen: "right".into(),
    };
    let header_row = Menu {
        name: "header_row".into(),
        label: "Row of the headings".into(),
        options: vec![option("1", "Row 1"), option("2", "Row 2")],
        chosen: "1".into(),
    };
    let known = "the heading “lat bord” is known (English)";
    let row = |row: usize, cells: [&str; 4]| SheetRow { row, cells: cells.map(str::to_owned).to_vec() };
    SheetMenus {
        whole: vec![header_row],
        meanings: vec![
            MenuGroup {
                head: "Not imported".into(),
                options: vec![option("ignore", "leave this column out")],
            },
            MenuGroup { head: "The child".into(), options: vec![option("number", "hospital number")] },
            MenuGroup {
                head: "Pirani score".into(),
                options: vec![
                    option("lateral_border", "curved lateral border"),
                    option("medial_crease", "medial crease"),
                ],
            },
        ],
        columns: vec![
            column(0, "A", "Kid no", "number", "the heading “kid no” is known (English)"),
            ColumnMenus { menus: vec![foot], ..column(1, "B", "Lat bord R", "lateral_border", known) },
            column(2, "C", "رقم", "", "no word of this heading is known"),
            column(3, "D", "", "ignore", "you chose so"),
        ],
        from: 0,
        columns_in_all: 6,
        rows: vec![row(2, ["4121", "0,5", "٣", "x"]), row(3, ["3977", "½", "٤", "<b>ok</b>"])],
        open: vec![("رقم".into(), 2), ("Col6".into(), 5)],
    }
}

fn questions() -> Vec<ImportQuestion> {
    let answer = |key: &str, words: &str| ImportAnswer { key: key.into(), words: words.into() };
    let word = ImportQuestion {
        id: "word:Pied:sain".into(),
        anchor: "q1".into(),
        columns: vec!["Pied".into(), "Pli".into(), "Équin".into(), "Talon".into(), "Bord".into()],
        value: Some("sain".into()),
        text: "Does it mean that this foot is not affected, or that nothing is known?".into(),
        count: 61,
        rows: vec![4, 7, 9, 12, 15],
        answers: vec![answer("not affected", "not affected"), answer("missing", "missing")],
        chosen: None,
        is_open: true,
        blocks: true,
    };
    let coding = ImportQuestion {
        id: "coding:PC".into(),
        anchor: "q2".into(),
        columns: vec!["PC".into()],
        value: None,
        text: "The cells hold 0, 1 and 2. What do they stand for?".into(),
        count: 1,
        rows: vec![2],
        answers: vec![answer("halves", "0, 0.5 and 1 point"), answer("no", "something else")],
        chosen: Some("halves".into()),
        is_open: false,
        blocks: true,
    };
    let whole = ImportQuestion {
        id: "file:sheets".into(),
        anchor: "q3".into(),
        text: "Does each sheet hold one month?".into(),
        answers: vec![answer("yes", "yes"), answer("no", "no")],
        is_open: true,
        ..ImportQuestion::default()
    };
    let unused = ImportQuestion {
        id: "unused: scores".into(),
        anchor: "q4".into(),
        columns: vec!["MS".into(), "HS".into()],
        text: "2 columns that look like scores would be left out: MS, HS.".into(),
        count: 80,
        answers: vec![answer("leave out", "nothing that is needed")],
        is_open: true,
        ..ImportQuestion::default()
    };
    vec![word, coding, whole, unused]
}

/// Two children of an imported file.
fn possible_pair(number: usize) -> PossiblePair {
    let record = "/child/01907e2a-0000-7000-8000-0000000000c1";
    PossiblePair {
        one: format!("Ilse Rasmussen, no. {number}"),
        other: format!("Ilse Rasmusen, no. {}", number + 1),
        why: "same day of birth, and the name sounds alike".into(),
        other_href: Some(record.into()),
        join_href: Some(format!("{record}/join/01907e2a-0000-7000-8000-0000000000c2")),
    }
}

fn possible_pairs(frame: &Frame) -> Markup {
    let view = PossiblePairsView {
        token: "confirm".into(),
        file_name: "quay-visits.csv".into(),
        pairs: (4121..4141).map(possible_pair).collect(),
        first: 51,
        listed: 500,
        in_all: 812,
        imported: true,
        part: 2,
        parts: 10,
    };
    pages::possible_pairs(frame, &view)
}

fn past_import() -> PastImportRow {
    PastImportRow {
        href: "/import/past/01907e2a-0000-7000-8000-0000000000e1".into(),
        file: "quay-visits.csv".into(),
        when: "3 March 2025, 09:14".into(),
        by: "Maren Holt".into(),
        entries: 1204,
        children: 61,
        undone: None,
    }
}

fn past_imports(frame: &Frame) -> Markup {
    let undone = Some("4 March 2025, 10:02, by Maren Holt: wrong file (1204 withdrawn, 0 kept)".into());
    pages::past_imports(frame, &[past_import(), PastImportRow { undone, ..past_import() }])
}

fn undo_import(frame: &Frame, error: Option<&str>) -> Markup {
    let kept = |what: &str, why: &str| KeptRow {
        href: "/child/01907e2a-0000-7000-8000-0000000000c1/entry/01907e2a-0000-7000-8000-0000000000e1".into(),
        what: what.into(),
        child: "Ilse Rasmussen".into(),
        why: why.into(),
    };
    let view = UndoImportView {
        import: past_import(),
        withdrawn: 1190,
        withdrawn_before: 2,
        children_gone: 58,
        kept: vec![
            kept("assessment, 3 March 2024", "was corrected since"),
            kept("registration, 1 March 2024", "other entries about the child are on record"),
        ],
        kept_in_all: 12,
        reason: String::new(),
        error: error.map(str::to_owned),
    };
    pages::undo_import(frame, &view)
}
