//! Pages of one child: its record, its documents and the forms about it.

use super::{Stop, Way, refused, stop};

/// Pages of one child. The numbers are those of the plots of the invented clinic, in its order.
pub fn of_a_child() -> Vec<Stop> {
    vec![
        stop("child-new", Way::Child(0, ""), "First visit"),
        stop("child-casting", Way::Child(2, ""), "What comes next"),
        stop("restriction", Way::Child(2, "/restriction"), "Who may open it"),
        stop("erasure-form", Way::Child(2, "/erasure"), "Ask for an erasure"),
        stop(
            "erasure",
            Way::ChildSent(
                2,
                "/erasure",
                "#scope-record",
                &[("#f-reason", "Request of the family."), ("#f-basis", "Article 17")],
                "Ask for this erasure",
            ),
            "another lead has to carry it out",
        ),
        stop("child-casting-both", Way::Child(3, ""), "Left foot"),
        stop("child-tenotomy-cast", Way::Child(8, ""), "In the tenotomy cast"),
        stop("child-full-time", Way::Child(25, ""), "Present brace"),
        stop("child-wear", Way::Child(29, "/wear"), "Week by week"),
        stop("child-wear-sheet", Way::Child(29, "/wear?weeks=4"), "The family's diary"),
        stop("child-wear-logger", Way::LoggerFile(29), "This logger was in the boots of"),
        stop("second-score", Way::OfSomeEntry("SK20", "/second-score/"), "Score what you see and feel"),
        stop("both-scores", Way::OfSomeEntry("SK2", "/both-scores/"), "signs that both scored"),
        stop("child-nights", Way::Child(29, ""), "Night-time bracing"),
        stop("child-relapse", Way::Child(36, ""), "Episode"),
        stop("child-one-ahead", Way::Child(15, ""), "hold"),
        stop("child-discharged", Way::Child(33, ""), "Discharged"),
        stop("child-died", Way::Child(40, ""), "Died"),
        stop("child-corrected", Way::Child(17, ""), "was: "),
        stop("child-entries", Way::Child(33, "?entries=all"), "All entries"),
        stop("child-questions", Way::Child(18, ""), "Open questions"),
        stop("child-no-birth-day", Way::Child(20, ""), "not known"),
        stop("child-as-of-past", Way::Child(29, "?as_of=2023-06-01"), "Shown as known on"),
        stop("child-family", Way::Child(3, "/family"), "Link a brother, sister or twin"),
        stop("child-family-found", Way::ChildFound(3, "/family", "SK2000", &[]), "found because"),
        stop(
            "child-family-link",
            Way::ChildFound(3, "/family", "SK20002", &["a[href*='?with=']"]),
            "Link these two records",
        ),
        stop("whole-visit", Way::ChildLinks(3, "", &[".visit-of"]), "What is wrong with the whole visit?"),
        stop("remedy-foot", Way::ChildLinks(3, "", &[".visit-of", "a[href$='how=foot']"]), "What changes"),
        stop("call", Way::Child(3, "/call"), "Was the family reached?"),
        stop("join-find", Way::ChildFound(3, "/join", "sk200", &[]), "Compare"),
        stop("join", Way::ChildFound(3, "/join", "sk200", &[".found a.button"]), "Both records"),
        stop("child-put-off", Way::Child(6, "/put-off"), "Put off calls until a day"),
        stop("child-saved", Way::Child(29, "?done=visit"), "The visit is saved"),
        stop("bench", Way::Child(29, "/brace"), "Suggested settings"),
        stop("brace-sheet", Way::Child(29, "/brace/sheet"), "At every change"),
        stop("child-trouble", Way::Child(44, "/trouble"), "Open problems"),
        stop("visit-casting", Way::Child(3, "/visit"), "Midfoot contracture score"),
        stop("visit-brace", Way::Child(25, "/visit"), "Brace"),
        stop("visit-walking-age", Way::Child(29, "/visit"), "Score at walking age"),
        refused("visit-refused", Way::Visit(2, &[], "Save visit"), "Nothing was saved yet"),
        stop("entry", Way::Entry(2, "Pirani"), "As written"),
        stop("entry-corrected", Way::Entry(17, "corrected"), "Corrected."),
        stop("entry-withdrawn", Way::Entry(17, "withdrawn"), "Withdrawn."),
    ]
}

/// Documents about one child, and the checklist of a tenotomy.
pub fn of_documents() -> Vec<Stop> {
    vec![
        stop(
            "tenotomy-checklist",
            Way::Child(6, "/tenotomy?lidocaine.conc=1&lidocaine.unit=percent&lidocaine.ml=0.5"),
            "of the ceiling together",
        ),
        stop("tenotomy-incomplete", Way::Child(7, "/tenotomy"), "missing in the record"),
        stop("documents", Way::Child(29, "/documents?lang=sw"), "Family plan"),
        stop(
            "document-handed",
            Way::Child(29, "/handed-over?document=plan&lang=sw"),
            "Was it read through with an interpreter?",
        ),
        stop("diary-scan", Way::Child(29, "/wear/scan"), "A picture of the diary"),
        stop("letters", Way::Child(29, "/letters"), "Clinic summary"),
        stop(
            "letter-photographs",
            Way::Child(29, "/letters/clinic-summary/photographs"),
            "To whom the letter goes",
        ),
        stop("photographs", Way::Child(29, "/photographs"), "How each view is taken"),
        stop(
            "photograph-pair",
            Way::ChildLinks(29, "/photographs", &[".photograph-strip a"]),
            "Show these two",
        ),
        stop(
            "photograph-measure",
            Way::ChildLinks(29, "/photographs", &[".photograph-strip a", "a[href$='/measure']"]),
            "The points as numbers",
        ),
        stop(
            "photograph-length",
            Way::ChildLinks(29, "/photographs", &[".photograph-strip a", "a[href$='/length']"]),
            "Look for the card",
        ),
        stop(
            "photograph-names",
            Way::ChildLinks(29, "/photographs", &["[aria-labelledby=waiting-head] a"]),
            "Which foot or feet",
        ),
        stop("videos", Way::Child(29, "/videos"), "How it is filmed"),
        stop(
            "video-names",
            Way::ChildLinks(29, "/videos", &["[aria-labelledby=waiting-head] a"]),
            "What the child does",
        ),
    ]
}

/// The small forms.
pub fn of_adding() -> Vec<Stop> {
    pages::AddKind::all()
        .iter()
        .map(|kind| {
            let path: &'static str = format!("/add/{}", kind.key()).leak();
            let name: &'static str = format!("add-{}", kind.key()).leak();
            stop(name, Way::Child(25, path), kind.title())
        })
        .collect()
}
