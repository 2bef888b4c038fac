//! Pages of lists, of finding, registering and learning, and of how the clinic is run.

use super::{Stop, Way, bringing_in::of_imports, refused, stop};

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

fn of_the_manual() -> Vec<Stop> {
    pages::HelpPart::ALL
        .into_iter()
        .map(|part| {
            let (path, title) = (part.href().leak(), part.title());
            stop(format!("help-{}", part.key()).leak(), Way::Path(path), title)
        })
        .collect()
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
