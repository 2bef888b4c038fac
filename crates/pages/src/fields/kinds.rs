//! The fields of the small form of every kind of entry.
//!
//! A name is the path of the value in the entry's wire form, so that a form reads back into an entry
//! without a second list; registration and brace, which hold lists, have names of their own.

use super::{FIRST, Field, What};
use record::{
    Anaesthesia, AngleItem, BraceChange, CancelledBy, CastMaterial, CastPurpose, ContactWay, Deformity,
    DimeglioSign, DischargeReason, Evertors, HalfPoint, Helped, Kind, Nature, ProblemKind, Procedure,
    Purpose, Regime, RelapseGrade, RemovalReason, Screened, Sex, ShoulderWidth, Side, Sign, WalkingItem,
    bounds::{self, Bound},
};
use std::{collections::HashMap, sync::LazyLock};

macro_rules! answers {
    ($choice:ty) => {
        What::Choice(<$choice>::ALL.iter().map(|answer| (answer.key(), answer.words())).collect())
    };
}

fn yes_no() -> What {
    What::Choice(vec![("yes", "yes"), ("no", "no")])
}

/// A whole number within its bound.
pub(crate) fn whole(bound: &Bound) -> What {
    // The bounds are whole numbers well within 32 bits.
    #[allow(clippy::cast_possible_truncation)]
    let (min, max) = (bound.possible.0 as i32, bound.possible.1 as i32);
    What::Whole { min, max, unit: bound.unit.trim() }
}

fn side_field() -> Field {
    let sides = vec![("right", "right foot"), ("left", "left foot")];
    Field::new("side", "Which foot", What::Choice(sides)).needed()
}

fn text(name: &'static str, label: &'static str) -> Field {
    Field::new(name, label, What::Text)
}

fn long(name: &'static str, label: &'static str) -> Field {
    Field::new(name, label, What::Long)
}

fn day(name: &'static str, label: &'static str) -> Field {
    Field::new(name, label, What::Day)
}

fn measured(name: &'static str, label: &'static str, bound: &Bound) -> Field {
    Field::new(name, label, whole(bound))
}

/// The fields of a kind, made once.
pub(crate) fn fields_of(kind: Kind) -> &'static [Field] {
    static FIELDS: LazyLock<HashMap<Kind, Vec<Field>>> =
        LazyLock::new(|| Kind::ALL.iter().map(|kind| (*kind, of_kind(*kind))).collect());
    FIELDS.get(&kind).map_or(&[], Vec::as_slice)
}

/// The fields of a kind. Empty for a correction and a withdrawal, which have forms of their own.
#[must_use]
pub fn of_kind(kind: Kind) -> Vec<Field> {
    match kind {
        Kind::Registration => registration_fields(2),
        Kind::Referral => vec![text("from", "Who referred the child"), long("reason", "What they wrote")],
        Kind::Diagnosis => diagnosis(),
        Kind::Screening => screening(),
        Kind::Assessment => assessment(),
        Kind::SecondScore => second_score(),
        Kind::BodyMeasured => body_measured(),
        Kind::CastApplied => cast_applied(),
        Kind::CastRemoved => vec![
            side_field(),
            Field::new("why", "Why it came off", answers!(RemovalReason)).needed(),
            long("note", "Skin, or anything else"),
        ],
        Kind::TenotomyBooked => vec![
            side_field(),
            day("planned_on", "Booked for").hint("Leave empty where no day is fixed yet."),
            text("place", "Where it will be done"),
        ],
        Kind::TenotomyDone => tenotomy_done(),
        Kind::BraceFitted => brace_fitted(),
        Kind::BraceChanged => brace_changed(),
        Kind::WearReported => wear_reported(),
        Kind::WearLogged => wear_logged(),
        Kind::Problem => problem(),
        Kind::AppointmentMade => vec![
            day("for_day", "Expected on").needed(),
            Field::new("time", "Time", What::Time),
            Field::new("purpose", "What for", answers!(Purpose)),
        ],
        Kind::AppointmentAttended => vec![Field::new("time", "Time of arrival", What::Time)],
        Kind::AppointmentMissed => vec![long("reason", "Why, where known")],
        Kind::AppointmentCancelled => vec![
            day("for_day", "The day called off").needed(),
            Field::new("by", "Called off by", answers!(CancelledBy)),
            long("reason", "Why"),
        ],
        Kind::ContactAttempt => vec![
            Field::new("way", "How", answers!(ContactWay)).needed(),
            Field::new("reached", "Was the family reached?", yes_no()).needed(),
            text("whom", "Whom"),
            long("note", "What came of it"),
        ],
        Kind::RelapseNoted => vec![
            side_field(),
            Field::new("grade", "Grade", answers!(RelapseGrade)).hint("After Bhaskar and Patni 2013."),
            long("note", "What was seen"),
        ],
        Kind::OtherSurgery => vec![
            side_field(),
            Field::new("procedure", "What was done", answers!(Procedure)).needed(),
            long("note", "In words"),
        ],
        Kind::Transfer => vec![text("to", "To which clinic")],
        Kind::Death => vec![long("cause", "Cause, where known")],
        Kind::LostDeclared => vec![long("reason", "What was tried")],
        Kind::Discharge => {
            vec![Field::new("reason", "Why", answers!(DischargeReason)).needed(), long("note", "In words")]
        }
        Kind::Note => vec![long("text", "Note").needed()],
        Kind::Correction | Kind::Withdrawal => Vec::new(),
    }
}

/// Who the child is, with room for so many carers.
#[must_use]
pub fn registration_fields(carers: usize) -> Vec<Field> {
    let mut fields = vec![
        text("given_name", "Given name or names"),
        text("family_name", "Family name").hint("Leave empty where the child has one name only."),
        text("number", "Hospital number"),
        text("other_numbers", "Other or earlier numbers").hint("With a comma between them."),
        day("born", "Day of birth").hint("Leave empty where it is not known; never guess it."),
        Field::new("sex", "Sex", answers!(Sex)),
        measured("gestation_weeks", "Gestation at birth", &bounds::GESTATION)
            .hint("Whole weeks. Born before 37, the age corrected to term is shown too."),
        measured("birth_weight_g", "Birth weight", &bounds::BIRTH_WEIGHT),
        text("address", "Where the family lives"),
    ];
    for n in 1..=carers.max(1) {
        fields.extend(carer_fields(n));
    }
    fields
}

/// Names of one carer's fields, the first carer's without a number.
pub(crate) fn carer_name(n: usize, what: &str) -> String {
    if n == 1 { format!("carer_{what}") } else { format!("carer_{n}_{what}") }
}

fn carer_fields(n: usize) -> [Field; 4] {
    let who = if n == 1 { "Carer to call first".to_owned() } else { format!("Carer {n}") };
    [
        ("name", "name", What::Text),
        ("relation", "who this is to the child", What::Text),
        ("phone", "telephone", What::Phone),
        ("language", "language", What::Text),
    ]
    .map(|(what, label, takes)| Field::new(carer_name(n, what), format!("{who}: {label}"), takes))
}

fn diagnosis() -> Vec<Field> {
    vec![
        side_field(),
        Field::new("nature", "Where it comes from", answers!(Nature)),
        Field::new("complex", "Atypical or complex foot", yes_no()),
        text("earlier_treatment", "Treatment before this clinic"),
    ]
}

fn screening() -> Vec<Field> {
    vec![
        Field::new("hips", "Hips", answers!(Screened)),
        Field::new("spine", "Spine", answers!(Screened)),
        Field::new("nerve_and_muscle", "Nerve and muscle", answers!(Screened)),
        long("note", "What was found"),
    ]
}

fn pirani() -> impl Iterator<Item = Field> {
    Sign::ALL.into_iter().map(|sign| {
        let points = HalfPoint::ALL.map(|point| (point.text(), sign.meaning(point)));
        Field::new(format!("pirani.{}", sign.key()), sign.name(), What::Choice(points.to_vec()))
    })
}

fn second_score() -> Vec<Field> {
    let mut fields = vec![side_field(), Field::new(FIRST, "First score", What::Entry)];
    fields.extend(pirani());
    fields.extend(dimeglio_items());
    fields.push(text("scored_by", "Scored by, where it was not the writer"));
    fields.push(long("note", "Anything else"));
    fields
}

fn assessment() -> Vec<Field> {
    let mut fields = vec![side_field()];
    fields.extend(pirani());
    let total = What::Decimal { min: 0, max: 6, unit: "" };
    fields.push(Field::new("stated_total", "Pirani total as written on a sheet", total));
    fields.push(measured("abduction_deg", "Abduction", &bounds::ABDUCTION));
    fields.push(measured("dorsiflexion_deg", "Dorsiflexion, knee straight", &bounds::DORSIFLEXION));
    fields.push(measured("foot_length_mm", "Foot length", &bounds::FOOT_LENGTH));
    fields.extend(dimeglio());
    fields.extend(walking());
    fields.extend(relapse_signs());
    fields.push(text("scored_by", "Scored by, where it was not the writer"));
    fields.push(long("note", "Anything else"));
    fields
}

fn dimeglio() -> Vec<Field> {
    let mut fields = dimeglio_items();
    let total = What::Whole { min: 0, max: 20, unit: "" };
    fields.push(Field::new("stated_dimeglio_total", "Dimeglio total as written on a sheet", total));
    fields
}

fn dimeglio_items() -> Vec<Field> {
    let mut fields = Vec::new();
    for item in AngleItem::ALL {
        let (key, name) = (item.key(), item.name());
        let points = whole(&bounds::ANGLE_POINTS);
        fields.push(Field::new(
            format!("dimeglio.{key}.deg"),
            format!("Dimeglio: {name}"),
            whole(&bounds::DIMEGLIO_ANGLE),
        ));
        fields.push(Field::new(
            format!("dimeglio.{key}.points"),
            format!("Dimeglio: {name}, points only"),
            points,
        ));
    }
    for sign in DimeglioSign::ALL {
        fields.push(Field::new(
            format!("dimeglio.{}", sign.key()),
            format!("Dimeglio: {}", sign.name()),
            yes_no(),
        ));
    }
    fields
}

fn walking() -> Vec<Field> {
    let keys = ["0", "1", "2", "3"];
    WalkingItem::ALL
        .map(|item| {
            let answers = keys.into_iter().zip(item.meanings()).collect();
            Field::new(
                format!("walking.{}", item.key()),
                format!("Walking age: {}", item.name()),
                What::Choice(answers),
            )
        })
        .to_vec()
}

/// Signs of relapse, by their path below `signs.`.
pub(crate) fn relapse_signs() -> Vec<Field> {
    vec![
        Field::new("signs.equinus", "Relapse: equinus", answers!(Deformity))
            .hint("Corrects by hand: up to neutral and not to 10°. Fixed: not to neutral."),
        Field::new("signs.heel_varus", "Relapse: heel turned in", answers!(Deformity)),
        Field::new("signs.adductus", "Relapse: forefoot turned in", answers!(Deformity)),
        Field::new("signs.cavus", "Relapse: high arch", answers!(Deformity)),
        Field::new("signs.dynamic_supination", "Relapse: forefoot supinates in swing", yes_no())
            .hint("The outer border touches the ground first."),
        Field::new("signs.early_heel_rise", "Relapse: heel rises early", yes_no()),
        Field::new("signs.evertors", "Relapse: muscles that turn the foot out", answers!(Evertors)),
        Field::new("signs.lateral_cuneiform_ossified", "Relapse: lateral cuneiform ossified", yes_no())
            .hint("On a radiograph."),
    ]
}

fn body_measured() -> Vec<Field> {
    vec![
        measured("shoulder_mm", "Shoulder width", &bounds::SHOULDER_WIDTH).needed(),
        Field::new("shoulder_width", "Which width", answers!(ShoulderWidth))
            .hint("The two differ by some 3 cm; a width that is not said is not used for the bar."),
        long("note", "Anything else"),
    ]
}

fn cast_applied() -> Vec<Field> {
    vec![
        side_field(),
        Field::new("purpose", "What for", answers!(CastPurpose)),
        measured("number", "Number as the clinic counts", &bounds::CAST_NUMBER),
        Field::new("material", "Material", answers!(CastMaterial)),
        measured("abduction_deg", "Held in abduction", &bounds::ABDUCTION),
        measured("dorsiflexion_deg", "Held in dorsiflexion", &bounds::DORSIFLEXION),
        text("cast_by", "Cast by, where it was not the writer"),
    ]
}

fn tenotomy_done() -> Vec<Field> {
    vec![
        side_field(),
        Field::new("anaesthesia", "Kept free of pain by", answers!(Anaesthesia)),
        measured("dorsiflexion_after_deg", "Dorsiflexion just after", &bounds::DORSIFLEXION),
        long("complication", "Anything that went wrong"),
        text("done_by", "Done by, where it was not the writer"),
    ]
}

fn brace() -> Vec<Field> {
    let mut fields = Vec::new();
    for side in Side::BOTH {
        let title = side.title();
        fields.push(Field::new(
            format!("brace.{side}.boot"),
            format!("{title} boot on the bar"),
            What::Choice(vec![("yes", "yes")]),
        ));
        let parts = [
            ("abduction_deg", "turned out", &bounds::BAR_ANGLE),
            ("dorsiflexion_deg", "bend up", &bounds::BAR_BEND),
            ("length_mm", "inner length", &bounds::FOOT_LENGTH),
        ];
        fields.extend(parts.map(|(key, label, bound)| {
            Field::new(format!("brace.{side}.{key}"), format!("{title} boot: {label}"), whole(bound))
        }));
        fields.push(Field::new(format!("brace.{side}.size"), format!("{title} boot: size"), What::Text));
    }
    fields.push(measured("brace.bar_mm", "Bar, heel to heel", &bounds::BAR_LENGTH));
    fields.push(Field::new("brace.bar_per_side", "Bar: each boot can be set to its own angle", yes_no()));
    fields.push(text("brace.label", "The clinic's own label"));
    fields.push(Field::new("regime", "To be worn", answers!(Regime)));
    fields.push(measured("hours_prescribed", "Hours a day prescribed", &bounds::WEAR_HOURS));
    fields
}

fn brace_fitted() -> Vec<Field> {
    let mut fields = brace();
    fields.push(text("fitted_by", "Fitted by, where it was not the writer"));
    fields
}

fn brace_changed() -> Vec<Field> {
    let mut fields = vec![Field::new("change", "What changed", answers!(BraceChange)).needed()];
    fields.extend(brace());
    fields.push(long("note", "Why"));
    fields
}

fn hours() -> What {
    What::Decimal { min: 0, max: 24, unit: "h" }
}

fn wear_reported() -> Vec<Field> {
    vec![
        day("from", "First day").needed(),
        day("to", "Last day").needed(),
        Field::new("hours_per_day", "Hours a day, as the family says", hours()).needed(),
        Field::new("days_without", "Days without the brace", What::Whole { min: 0, max: 2000, unit: "" }),
        long("reason", "Why it was worn less"),
    ]
}

fn wear_logged() -> Vec<Field> {
    vec![
        day("from", "First day").needed(),
        day("to", "Last day").needed(),
        Field::new("hours_per_day", "Hours a day, as logged", hours()).needed(),
        Field::new("days_judged", "Days that could be judged", What::Whole { min: 0, max: 2000, unit: "" })
            .needed(),
        text("logger", "The clinic's label of the logger"),
    ]
}

fn problem() -> Vec<Field> {
    let sides = vec![("right", "right foot"), ("left", "left foot")];
    vec![
        Field::new("what", "What is the problem", answers!(ProblemKind)).needed(),
        Field::new("side", "Which foot", What::Choice(sides))
            .hint("Leave where it is about the child or both feet."),
        Field::new("settled", "Is it settled?", What::Choice(vec![("yes", "yes, settled")])),
        text("advised", "What was advised"),
        Field::new("helped", "Whether that helped", answers!(Helped)),
        long("note", "In words"),
    ]
}
