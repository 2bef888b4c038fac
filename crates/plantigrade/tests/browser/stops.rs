//! Every page of the program, how to come to it in the invented clinic, and what it must say there.
//!
//! Long because it lists every page of the program in one place.

use crate::tab::{Finger, Tab};

/// A page to look at.
pub struct Stop {
    /// Its name in reports and files.
    pub name: &'static str,
    /// How to come there.
    pub way: Way,
    /// The status with which it comes.
    pub status: u16,
    /// What it says, so that no error page is taken for it.
    pub says: &'static str,
}

/// How to come to a page.
pub enum Way {
    /// By a path.
    Path(&'static str),
    /// By a path below the page of the child with this number in the invented clinic.
    Child(u32, &'static str),
    /// To the entry of a child whose line on the child's page says this.
    Entry(u32, &'static str),
    /// By a path, and then by sending a form of it: the button says this, after these fields are filled.
    Sent(&'static str, &'static [(&'static str, &'static str)], &'static str),
    /// By a path below the page of a child, and then by sending a form of it, as with [`Way::Sent`]; the first field
    /// is pressed and not typed into.
    ChildSent(u32, &'static str, &'static str, &'static [(&'static str, &'static str)], &'static str),
    /// By a path, and then by sending a form of it, as with [`Way::Sent`], after this is pressed.
    Pressed(&'static str, &'static str, &'static [(&'static str, &'static str)], &'static str),
    /// By sending the visit form of a child.
    Visit(u32, &'static [(&'static str, &'static str)], &'static str),
    /// To the first page below the children whose number begins so, out of those whose address is made from
    /// the address of an entry by this replacement, that answers with 200 and does not lead elsewhere.
    OfSomeEntry(&'static str, &'static str),
    /// By choosing the file of a logger for this child.
    LoggerFile(u32),
    /// By choosing a file of this name and contents to bring in.
    File(&'static str, &'static str),
    /// By choosing a file of very many children who may be the same, and asking for more of them.
    Pairs,
    /// By confirming it.
    Confirm,
    /// By showing a preview again with what is chosen in it.
    ShowAgain,
    /// By a path, and then by the first link of this kind on its page.
    Link(&'static str, &'static str),
    /// By a path below the page of a child, and then by the first of each of these on each page.
    ChildLinks(u32, &'static str, &'static [&'static str]),
    /// By a path below the page of a child, by typing this into the search there and sending it, and then by the first
    /// of each of these.
    ChildFound(u32, &'static str, &'static str, &'static [&'static str]),
    /// By locking the device.
    Locked,
    /// By filling in this field of a form until it is saved as a draft, and opening the form again.
    Draft(&'static str, &'static str, &'static str),
    /// To the page that moves the first appointment of the day that can be moved.
    MoveAppointment,
}

pub const fn stop(name: &'static str, way: Way, says: &'static str) -> Stop {
    Stop { name, way, status: 200, says }
}

pub const fn refused(name: &'static str, way: Way, says: &'static str) -> Stop {
    Stop { name, way, status: 422, says }
}

/// A spreadsheet with a row of every fate. Invented.
pub const SHEET: &str = "\
number,name,date of birth,side,date,lateral border,medial crease,talar head,posterior crease,rigid equinus,empty heel,total
H901,Ottoline Farrow,02/03/2024,R,25/03/2024,1,1,0.5,1,1,1,5.5
H901,Ottoline Farrow,02/03/2024,R,01/04/2024,0.5,0.5,0.5,1,1,1,4.5
H902,Bram Tolliver,14/03/2024,L,25/03/2024,1,1,1,1,1,1,4
H903,Sunniva Okafor-Lund,20/03/2024,both,02/04/2024,0.5,1,1,1,1,1,
H904,Ignatius Vane,20/03/2024,R,02/04/2024,3,1,1,1,1,1,
H905,Ottoline Farow,02/03/2024,R,31/02/2024,1,1,1,1,1,1,6
";

/// A spreadsheet in words that must be asked about. Invented.
pub const OTHER_WORDS: &str = "\
Dossier;Nom;Né le;Visite;Pied;Xa;Pirani;Geste;حالة
H951;Farrow Ottoline;02/03/2024;25/03/2024;D;1;5,5;plâtre;جيد
H951;Farrow Ottoline;02/03/2024;28/03/2024;D;0,5;4,5;zinzolin;جيد
H952;Tolliver Bram;14/03/2024;25/03/2024;G;1;sain;plâtre;
H953;Okafor-Lund Sunniva;20/03/2024;02/04/2024;D;0,5;5;plâtre;جيد
";

/// Pages seen without signing in.
pub fn outside() -> Vec<Stop> {
    vec![
        stop("sign-in", Way::Path("/sign-in"), "Sign in"),
        stop("help-sign-in", Way::Path("/help/sign-in"), "The first account"),
        refused(
            "sign-in-refused",
            Way::Sent(
                "/sign-in",
                &[("#f-sign-in-name", "maren"), ("#f-password", "not the password")],
                "Sign in",
            ),
            "Not signed in",
        ),
    ]
}

/// The page behind the link of a first start.
pub fn first_start(link: &str) -> Vec<Stop> {
    vec![
        stop("first-account", Way::Path(link.to_owned().leak()), "have no users yet"),
        stop("first-restore", Way::Path(format!("{link}/restore").leak()), "comes to this computer"),
    ]
}

/// Pages of the clinic's network, from the first account on: those of the lead on the computer, and those that a
/// device sees at its own address before it is enrolled.
pub fn of_the_network(start: &str, network: &str) -> Vec<Stop> {
    let path = |path: &str| Way::Path(format!("{network}{path}").leak());
    let account: &[(&str, &str)] = &[
        ("#f-name", "Ida Maren"),
        ("#f-sign-in-name", "ida"),
        ("#f-password", "plaster and patience"),
        ("#f-password-again", "plaster and patience"),
    ];
    let not_enrolled = "Only devices enrolled by a lead";
    vec![
        stop(
            "first-encryption",
            Way::Sent(start.to_owned().leak(), account, "Create this account"),
            "Encrypt the records?",
        ),
        recovery_sheet(),
        stop("first-clinic", Way::Path("/first-steps/clinic"), "When the clinic is held"),
        stop("devices", Way::Path("/devices"), "No device is enrolled"),
        refused(
            "devices-refused",
            Way::Sent("/devices", &[("#f-device", "   ")], "Make a one-time code"),
            "A name is needed",
        ),
        stop(
            "devices-code",
            Way::Sent("/devices", &[("#f-device", "Tablet, cast room")], "Make a one-time code"),
            "Code for Tablet, cast room",
        ),
        stop("devices-enrol-here", Way::Path("/enrol"), "needs no enrolment"),
        stop("devices-trust-here", Way::Path("/trust"), "Compare the fingerprint"),
        Stop { name: "devices-not-enrolled", way: path("/day"), status: 403, says: not_enrolled },
        stop("devices-trust", path("/trust"), "Compare the fingerprint"),
        stop("devices-enrol", path("/enrol"), "One-time code"),
    ]
}

/// The page behind a one-time password.
pub fn one_time_password(password: String) -> Vec<Stop> {
    let password: &str = password.leak();
    let fields = vec![("#f-sign-in-name", "ole"), ("#f-password", password)];
    vec![stop("choose-password", Way::Sent("/sign-in", fields.leak(), "Sign in"), "was accepted")]
}

/// The second step of a person who has one, with this name and password.
pub fn second_step() -> Vec<Stop> {
    let fields = &[("#f-sign-in-name", "ida"), ("#f-password", "plaster and patience")];
    vec![stop("second-step", Way::Sent("/sign-in", fields, "Sign in"), "Now the code")]
}

/// Pages as a person sees them who makes appointments and sees no treatment.
pub fn of_a_coordinator() -> Vec<Stop> {
    let sign_in = &[("#f-sign-in-name", "liv"), ("#f-password", "invented clinic")];
    vec![
        stop("coordinator-day", Way::Sent("/sign-in", sign_in, "Sign in"), "Expected"),
        stop("coordinator-find", Way::Sent("/find", &[("#q", "sk200")], "Find"), "children"),
        stop("coordinator-child", Way::Child(2, ""), "Due"),
        stop("coordinator-call", Way::Child(2, "/call"), "Was the family reached"),
        stop("coordinator-stock", Way::Path("/stock"), "own list"),
        Stop {
            status: 403,
            ..stop("coordinator-refused", Way::Path("/attention"), "Your role does not allow this")
        },
    ]
}

/// Pages of lists, of finding, registering and of the clinic.
pub fn of_the_clinic() -> Vec<Stop> {
    let mut stops = of_lists();
    stops.extend(of_practice());
    stops.extend(of_running());
    stops.extend(of_backups());
    stops.extend(of_the_manual());
    stops.extend(of_imports());
    stops.extend(of_errors());
    stops
}

fn of_lists() -> Vec<Stop> {
    vec![
        stop("day", Way::Path("/day"), "Expected"),
        stop("day-empty", Way::Path("/day?on=2030-01-06"), "Nobody is expected"),
        stop("day-before", Way::Path("/day?on=2024-05-12"), "Missed"),
        stop("calls", Way::Path("/calls"), "to call"),
        stop("move-appointment", Way::MoveAppointment, "Move to"),
        stop("attention", Way::Path("/attention"), "Needs attention"),
        stop("attention-page-2", Way::Path("/attention?page=2"), "Page 2 of"),
        stop("attention-lost", Way::Path("/attention/lost"), "Lost list"),
        stop("attention-narrowed", Way::Path("/attention?urgency=today"), "Show everything"),
        stop(
            "attention-nothing",
            Way::Path("/attention?rule=cast-on-too-long&phase=after-surgery"),
            "Nothing matches",
        ),
        stop("find", Way::Path("/find"), "Find a child"),
        stop("results", Way::Path("/results"), "Changes beyond chance"),
        stop("results-watched", Way::Path("/results/drop-out"), "Monitoring child by child"),
        stop("results-agreement", Way::Path("/results/agreement"), "Drift of each rater"),
        stop("results-year", Way::Path("/results/year"), "in figures"),
        stop("results-definitions", Way::Path("/results/definitions"), "Two feet of one child"),
        stop("find-results", Way::Sent("/find", &[("#q", "sk200")], "Find"), "children"),
        stop("find-nothing", Way::Sent("/find", &[("#q", "qqqqqq")], "Find"), "No child found"),
        stop("register", Way::Path("/register"), "Register a child"),
        refused(
            "register-refused",
            Way::Sent("/register", &[], "Register this child"),
            "Nothing was saved yet",
        ),
        refused(
            "register-possible-match",
            Way::Sent(
                "/register",
                &[("#f-family-name", "Harbourless"), ("#f-given-name", "Unnamed"), ("#f-number", "SK20002")],
                "Register this child",
            ),
            "Is it one of these children?",
        ),
        stop("stock", Way::Path("/stock"), "own list"),
        stop("trouble", Way::Path("/trouble"), "All problems"),
        stop("capacity", Way::Path("/capacity"), "Places needed, week by week"),
        stop(
            "capacity-compared",
            Way::Sent("/capacity", &[("#f-cast-monday", "6")], "Compare with the present setting"),
            "Comparison",
        ),
        refused(
            "capacity-refused",
            Way::Sent("/capacity", &[("#f-closures", "Christmas")], "Compare with the present setting"),
            "is neither a day",
        ),
    ]
}

/// Pages of learning to score and of scoring alike.
fn of_practice() -> Vec<Stop> {
    let (exercise, level) = ("/practice/sign/medial_crease", "/practice/levels/empty_heel/0.5");
    let half = "input[name='level'][value='0.5'] + label";
    let source = &[("#f-source", "Invented handbook of scoring, 2021, page 12")];
    vec![
        stop("practice", Way::Path("/practice"), "What this can and cannot teach"),
        stop("practice-exercise", Way::Path(exercise), "Which level?"),
        refused("practice-exercise-refused", Way::Sent(exercise, &[], "Answer"), "Choose a level"),
        stop("practice-answer", Way::Pressed(exercise, half, &[], "Answer"), "1 of 3 feet of this set"),
        stop("practice-levels", Way::Path("/practice/levels"), "The numbers behind the drawings"),
        stop("practice-level", Way::Path(level), "It was never confirmed."),
        stop(
            "practice-level-confirmed",
            Way::Pressed(level, "label[for='f-compared']", source, "Confirm this level"),
            "Take the confirmation back",
        ),
        stop(
            "practice-photographs",
            Way::Path("/practice/photographs"),
            "Your agreement with the examination",
        ),
        stop(
            "practice-photograph",
            Way::Link("/practice/photographs", "main a[href*='/score/']"),
            "Whose foot it is does not matter here",
        ),
        stop("practice-progress", Way::Path("/practice/progress"), "Your last answers"),
        stop("practice-record", Way::Path("/practice/record"), "What this record says"),
        stop("scoring-together", Way::Path("/practice/together"), "How many more feet"),
    ]
}

/// Pages by which the clinic is run: protocol, people, settings.
fn of_running() -> Vec<Stop> {
    vec![
        stop("protocol", Way::Path("/protocol"), "Protocol in force"),
        stop("theatre", Way::Path("/theatre"), "Booked tenotomies"),
        stop("theatre-day", Way::Link("/theatre", "a[href^='/theatre/day']"), "Missing, and to know"),
        stop("people", Way::Path("/people"), "can sign in"),
        stop("access-log", Way::Path("/access-log"), "Who opened which record"),
        stop("access-log-checked", Way::Sent("/access-log", &[], "Check every row"), "nothing is wrong"),
        stop("restricted", Way::Path("/restricted"), "No record is restricted"),
        stop("erasures", Way::Path("/erasures"), "No erasure was asked for"),
        stop("retention", Way::Path("/retention"), "No retention period is set"),
        refused(
            "people-refused",
            Way::Sent("/people", &[("#f-name", "Ole"), ("#f-sign-in-name", "ole")], "Add this person"),
            "Choose at least one role",
        ),
        stop("person", Way::Link("/people", "a[href^='/people/']"), "Sessions"),
        stop("account", Way::Path("/account"), "Where you are signed in"),
        stop("second-factor", Way::Path("/account/second-factor"), "Your password first"),
        stop(
            "second-factor-open",
            Way::Sent("/account/second-factor", &[("#f-old-password", "invented clinic")], "Go on"),
            "Set up codes",
        ),
        stop(
            "second-factor-secret",
            Way::Sent("/account/second-factor", &[], "Set up codes"),
            "Or type this secret",
        ),
        stop("protocol-value", Way::Path("/protocol/value/casting.interval_range_days"), "Change it"),
        refused(
            "protocol-value-refused",
            Way::Sent(
                "/protocol/value/casting.interval_range_days",
                &[("#f-value", "9"), ("#f-value-to", "8"), ("#f-why", "Weekly clinic")],
                "Save",
            ),
            "the smaller first",
        ),
        stop(
            "protocol-value-saved",
            Way::Sent(
                "/protocol/value/casting.interval_range_days",
                &[("#f-value", "6"), ("#f-value-to", "8"), ("#f-why", "Weekly clinic")],
                "Save",
            ),
            "The value is saved.",
        ),
        stop("protocol-history", Way::Path("/protocol/history"), "Weekly clinic"),
        stop("settings", Way::Path("/settings"), "Closed days"),
        stop(
            "settings-closed",
            Way::Sent(
                "/settings",
                &[("#f-closed-from", "2024-05-21"), ("#f-closed-why", "training")],
                "Add these days",
            ),
            "21 May 2024",
        ),
        stop("settings-history", Way::Path("/settings/history"), "training"),
        stop("first-steps", Way::Path("/first-steps"), "How do you want to begin?"),
        stop("first-steps-clinic", Way::Path("/first-steps/clinic"), "When the clinic is held"),
        stop("records", Way::Path("/records"), "How they are checked"),
        stop("copies", Way::Path("/settings/copies"), "Make a copy now"),
        refused(
            "copies-refused",
            Way::Sent("/settings/copies", &[("#f-folder", "backups")], "Make a copy"),
            "the whole path",
        ),
        stop("forecasts", Way::Path("/forecasts"), "Heel-cord tenotomy"),
    ]
}

fn of_backups() -> Vec<Stop> {
    vec![
        stop("backups-begin", Way::Path("/backups"), "First: a passphrase"),
        refused(
            "backups-refused",
            Way::Sent("/backups", &[("#f-backup-folder-1", "backups")], "Save"),
            "the whole path",
        ),
        stop(
            "backup-code",
            Way::Sent(
                "/backups",
                &[
                    ("#f-backup-passphrase", "four quiet herons wading"),
                    ("#f-backup-passphrase-again", "four quiet herons wading"),
                ],
                "Set up backups",
            ),
            "Recovery code of the backups",
        ),
        stop(
            "backups-saved",
            Way::Sent("/backups", vec![("#f-backup-folder-1", stick())].leak(), "Save"),
            "The next backup is made by this.",
        ),
        stop("backups-made", Way::Sent("/backups", &[], "Make a backup now"), "read back and checked"),
        stop("backups", Way::Sent("/backups", &[], "Try the newest backup now"), "Passed on"),
    ]
}

/// An empty folder for backups.
fn stick() -> &'static str {
    let folder = concat!(env!("CARGO_TARGET_TMPDIR"), "/stick");
    let _ = std::fs::remove_dir_all(folder);
    std::fs::create_dir_all(folder).unwrap();
    folder
}

/// The sheet of a clinic that is not encrypted yet; a build that cannot encrypt has none.
fn recovery_sheet() -> Stop {
    if !clinic::CAN_ENCRYPT {
        return stop("first-encryption-again", Way::Path("/first-steps/encryption"), "cannot encrypt");
    }
    let fields: &[(&str, &str)] = &[
        ("#f-passphrase", "heron quay lantern"),
        ("#f-passphrase-again", "heron quay lantern"),
        ("#f-own-password", "plaster and patience"),
    ];
    stop(
        "recovery-sheet",
        Way::Sent("/first-steps/encryption", fields, "Show the recovery sheet"),
        "Recovery code of the records",
    )
}

fn of_the_manual() -> Vec<Stop> {
    pages::HelpPart::ALL
        .into_iter()
        .map(|part| {
            let (path, title) = (part.href().leak(), part.title());
            stop(format!("help-{}", part.key()).leak(), Way::Path(path), title)
        })
        .collect()
}

/// Pages about encryption, and of bringing in a sheet, in the order in which a person meets them.
fn of_imports() -> Vec<Stop> {
    vec![
        stop("encryption", Way::Path("/settings/encryption"), "Encryption"),
        stop("first-steps-encryption", Way::Path("/first-steps/encryption"), "Encrypt the records?"),
        stop("import", Way::Path("/import"), "What happens next"),
        refused("import-refused", Way::File("letter.xlsx", "Dear colleague,"), "letter.xlsx"),
        stop("import-pairs", Way::Pairs, "pairs 51 to 60 of 60"),
        stop("import-preview", Way::File("clinic-sheet.csv", SHEET), "nothing is saved yet"),
        stop("import-done", Way::Confirm, "Import finished"),
        stop(
            "import-questions",
            Way::File("other-words.csv", OTHER_WORDS),
            "Import without what is still open?",
        ),
        stop("import-look", Way::ShowAgain, "Each answer counts for every row"),
        stop("import-maps", Way::Path("/settings/maps"), "Import maps"),
        stop("document-languages", Way::Path("/documents/languages"), "Languages of documents"),
        stop(
            "document-texts",
            Way::Path("/documents/texts?lang=sw&group=plan"),
            "Every sentence that a family reads",
        ),
        stop("document-text", Way::Path("/documents/texts/en/you-are-here"), "As it is printed"),
        stop("letterhead", Way::Path("/settings/letterhead"), "People families may talk to"),
        stop("sheets", Way::Path("/sheets"), "When the power is back"),
        stop("past-imports", Way::Path("/import/past"), "clinic-sheet.csv"),
        stop("undo-import", Way::Link("/import/past", "tbody a"), "What would happen"),
    ]
}

fn of_errors() -> Vec<Stop> {
    vec![
        Stop {
            name: "error-not-found",
            way: Way::Path("/no-such-page"),
            status: 404,
            says: "Page not found",
        },
        Stop {
            name: "error-refused",
            way: Way::Path("/day?on=yesterday"),
            status: 422,
            says: "not accepted",
        },
    ]
}

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

impl Stop {
    /// Goes there.
    pub async fn come(&self, tab: &Tab, at: &dyn Fn(&str) -> String) {
        match &self.way {
            Way::Path(path) => tab.go(&at(path)).await,
            Way::Child(number, below) => tab.go(&at(&format!("{}{below}", child(tab, *number).await))).await,
            Way::Entry(number, says) => {
                tab.go(&at(&child(tab, *number).await)).await;
                to_entry(tab, says).await;
            }
            Way::Sent(path, fields, button) => {
                tab.go(&at(path)).await;
                send(tab, fields, button).await;
            }
            Way::ChildSent(number, below, pressed, fields, button) => {
                tab.go(&at(&format!("{}{below}", child(tab, *number).await))).await;
                tab.press(Finger::Mouse, pressed).await;
                send(tab, fields, button).await;
            }
            Way::Pressed(path, pressed, fields, button) => {
                press_and_send(tab, &at(path), pressed, fields, button).await;
            }
            Way::Visit(number, fields, button) => {
                tab.go(&at(&format!("{}/visit", child(tab, *number).await))).await;
                send(tab, fields, button).await;
            }
            Way::OfSomeEntry(numbers, below) => {
                tab.go(&some_entry(tab, numbers, below).await).await;
                // Addresses tried before this one were answered with a refusal.
                tab.troubles();
            }
            Way::LoggerFile(_) | Way::File(..) | Way::Confirm | Way::ShowAgain | Way::Pairs => {
                self.come_with_a_file(tab, at).await;
            }
            Way::ChildLinks(number, below, links) => {
                tab.go(&at(&format!("{}{below}", child(tab, *number).await))).await;
                for link in *links {
                    tab.click_on(link).await;
                }
            }
            Way::ChildFound(number, below, typed, links) => {
                tab.go(&at(&format!("{}{below}", child(tab, *number).await))).await;
                tab.type_into("#q", typed).await;
                tab.click_on("form.find button").await;
                for link in *links {
                    tab.click_on(link).await;
                }
            }
            Way::Locked => {
                let lock = "fetch('/session/lock', { method: 'POST', body: new URLSearchParams({ part: 1, csrf: document.querySelector('[name=csrf]').value }) }).then(() => null)";
                tab.eval::<()>(lock).await;
                tab.go(&at("/unlock?then=/day")).await;
            }
            Way::Draft(path, selector, text) => {
                tab.go(&at(path)).await;
                tab.type_into(selector, text).await;
                tab.part_says(".draft-state", "Draft saved").await;
                tab.go(&at(path)).await;
            }
            Way::MoveAppointment => {
                tab.go(&at("/day")).await;
                let href: String = tab.eval("document.querySelector('a[href$=\"/move\"]').href").await;
                tab.go(&href).await;
            }
            Way::Link(path, link) => {
                tab.go(&at(path)).await;
                tab.click_on(link).await;
            }
        }
        tab.says(self.says).await;
        assert_eq!(tab.status().await, self.status, "{}", self.name);
    }

    /// Goes to a page of a file that is sent, or of an import.
    async fn come_with_a_file(&self, tab: &Tab, at: &dyn Fn(&str) -> String) {
        match &self.way {
            Way::LoggerFile(number) => {
                tab.go(&at(&format!("{}/wear", child(tab, *number).await))).await;
                choose(tab, "#f-boot", "boot.csv", &logger_file()).await;
                tab.click_on("form[action$='/wear/logger'] button[type=submit]").await;
            }
            Way::File(name, contents) => {
                tab.go(&at("/import")).await;
                choose(tab, "input[name=file]", name, contents).await;
                send(tab, &[], "Read the file").await;
            }
            Way::Confirm => tab.click_on("#confirm button.primary").await,
            Way::ShowAgain => tab.click_on(&tab.named("Show again with these choices").await).await,
            Way::Pairs => {
                tab.go(&at("/import")).await;
                choose(tab, "input[name=file]", "twins.csv", &alike()).await;
                send(tab, &[], "Read the file").await;
                tab.click_on("a[href^='/import/pairs']").await;
            }
            _ => unreachable!("this way sends no file"),
        }
    }
}

async fn press_and_send(tab: &Tab, url: &str, pressed: &str, fields: &[(&str, &str)], button: &str) {
    tab.go(url).await;
    tab.press(Finger::Mouse, pressed).await;
    send(tab, fields, button).await;
}

async fn send(tab: &Tab, fields: &[(&str, &str)], button: &str) {
    for (selector, text) in fields {
        // A field for a day takes its parts one by one.
        if text.parse::<record::Day>().is_ok() {
            tab.type_day(selector, text).await;
        } else {
            tab.type_into(selector, text).await;
        }
    }
    let meant = tab.named(button).await;
    tab.click_on(&meant).await;
}

/// Chooses a file; it is gone once the page has read it, so that its folder lives as long as the tests.
pub async fn choose(tab: &Tab, selector: &str, name: &str, contents: &str) {
    let file = tempfile::tempdir().unwrap().keep().join(name);
    std::fs::write(&file, contents).unwrap();
    tab.choose_file(selector, file.to_str().unwrap()).await;
}

/// Sixty names that each stand under two numbers. Invented.
fn alike() -> String {
    let mut text = "number,name,date of birth,side,date,total\n".to_owned();
    for number in 0..120 {
        let pair = number / 2;
        let (day, month) = (pair % 28 + 1, pair / 28 + 1);
        text += &format!("P{number},Ottoline Twinly{pair:02}x,{day:02}/{month:02}/2024,R,25/04/2024,4\n");
    }
    text
}

/// A logger in a boot over three days, every half hour: warm and a little restless at night, room
/// temperature by day. Invented.
fn logger_file() -> String {
    let mut text = "serial,time,temp C\n".to_owned();
    for sample in 0..3 * 48 {
        let (day, half_hour) = (10 + sample / 48, sample % 48);
        let night = !(16..40).contains(&half_hour);
        let celsius =
            if night { 31.0 + 0.3 * f64::from(sample * 7 % 5) } else { 20.0 + 0.1 * f64::from(sample % 3) };
        let (hour, minute) = (half_hour / 2, half_hour % 2 * 30);
        text += &format!("K-9,2024-02-{day:02} {hour:02}:{minute:02}:00,{celsius:.1}\n");
    }
    text
}

/// A function of the page that returns the list of what a search finds.
const SEARCH: &str = "(q) => fetch('/find', { method: 'POST', body: new URLSearchParams({ q, part: 1, csrf: document.querySelector('[name=csrf]').value }) }).then((answer) => answer.text())";

/// The address made from that of an entry, of some child, that answers as a page of its own.
async fn some_entry(tab: &Tab, numbers: &str, below: &str) -> String {
    let search = SEARCH;
    let expression = format!(
        "(async () => {{
           const parsed = (text) => new DOMParser().parseFromString(text, 'text/html');
           const read = async (path) => parsed(await (await fetch(path)).text());
           const found = [...parsed(await ({search})('{numbers}')).querySelectorAll('.found .who-name')];
           for (const child of found) {{
             const page = await read(child.getAttribute('href'));
             for (const link of page.querySelectorAll('.timeline .entry a')) {{
               if (!link.closest('.entry').textContent.includes('Pirani')) continue;
               const path = link.getAttribute('href').replace('/entry/', '{below}');
               const answer = await fetch(path);
               if (answer.status === 200 && !answer.redirected) return new URL(path, location.href).href;
             }}
           }}
           return null; }})()"
    );
    let found: Option<String> = tab.eval(&expression).await;
    found.unwrap_or_else(|| panic!("no entry of a child {numbers}… has a page {below}"))
}

/// The path of a child of the invented clinic by its number there.
pub async fn child(tab: &Tab, number: u32) -> String {
    // The planted child whose day of birth is unknown has a number apart: its registration was replaced.
    let number = if number == 20 { "SK19999".to_owned() } else { format!("SK{}", 20_000 + number) };
    let search = SEARCH;
    let expression = format!(
        "({search})('{number}').then((text) => {{
           const page = new DOMParser().parseFromString(text, 'text/html');
           return [...page.querySelectorAll('.found')].filter((e) => e.textContent.includes('{number}')).map((e) => e.querySelector('.who-name').getAttribute('href')); }})"
    );
    let found: Vec<String> = tab.eval(&expression).await;
    assert_eq!(found.len(), 1, "children with the number {number}: {found:?}");
    found[0].clone()
}

/// Opens everything that is folded.
pub async fn open_all(tab: &Tab) {
    tab.eval::<()>("document.querySelectorAll('details:not([open])').forEach((e) => { e.open = true; e.dataset.opened = ''; })").await;
}

/// Folds it again.
pub async fn close_again(tab: &Tab) {
    tab.eval::<()>("document.querySelectorAll('details[data-opened]').forEach((e) => { e.open = false; e.removeAttribute('data-opened'); })").await;
}

/// From the page of a child to the entry whose line says this.
async fn to_entry(tab: &Tab, says: &str) {
    open_all(tab).await;
    let entry = format!(
        "[...document.querySelectorAll('.timeline .entry')].find((e) => e.innerText.includes({says:?})).querySelector('a').href"
    );
    let href: String = tab.eval(&entry).await;
    tab.go(&href).await;
}
