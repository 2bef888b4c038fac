//! The visit: one form for both feet.

use super::{Reader, reader::wrong};
use pages::fields::{self, FieldError, Filled, visit as names};
use record::{
    Anaesthesia, Angle, AngleItem, AppointmentMade, Assessment, Body, Boot, Brace, BraceChange, BraceChanged,
    BraceFitted, CastApplied, CastMaterial, CastPurpose, CastRemoved, Day, Deformity, Dimeglio, DimeglioSign,
    Evertors, Finding, Kind, Note, Pirani, Problem, ProblemKind, Purpose, Regime, RelapseGrade, RelapseNoted,
    RelapseSigns, RemovalReason, Severity, Side, Sign, TenotomyBooked, TenotomyDone, WalkingItem,
    WearReported,
};

/// A visit, ready to be saved.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// The day of the visit.
    pub on: Day,
    /// What was seen and done, in the usual order of a visit.
    pub drafts: Vec<Drafted>,
}

impl Visit {
    /// The day of the next appointment, if one is made.
    #[must_use]
    pub fn appointment(&self) -> Option<Day> {
        let made = |draft: &Drafted| match &draft.body {
            Body::AppointmentMade(made) => Some(made.for_day),
            _ => None,
        };
        self.drafts.iter().find_map(made)
    }
}

/// One body with the prefix of its fields in the form, so that a refusal finds its field.
#[derive(Debug, Clone, PartialEq)]
pub struct Drafted {
    /// What was seen or done.
    pub body: Body,
    place: &'static str,
    side: Option<Side>,
}

impl Drafted {
    pub(super) fn foot(side: Side, place: &'static str, body: impl Into<Body>) -> Self {
        Self { body: body.into(), place, side: Some(side) }
    }

    pub(super) fn child(place: &'static str, body: impl Into<Body>) -> Self {
        Self { body: body.into(), place, side: None }
    }

    /// The name of the form's field that a finding is about.
    #[must_use]
    pub fn field(&self, finding: &Finding) -> String {
        let foot = self.side.map(|side| format!("{side}.")).unwrap_or_default();
        match (self.place, finding.field) {
            ("", key) if AngleItem::ALL.iter().any(|item| item.key() == key) => {
                format!("{foot}dimeglio.{key}")
            }
            ("", key) if WalkingItem::ALL.iter().any(|item| item.key() == key) => {
                format!("{foot}walking.{key}")
            }
            ("", key) => format!("{foot}{key}"),
            ("cast", "abduction_deg") => format!("{foot}cast_abduction_deg"),
            ("brace", "bar_mm") => "brace.bar_mm".to_owned(),
            ("brace", "hours_prescribed") => "brace.hours".to_owned(),
            ("brace", key) if self.boot(key).is_some() => self.boot(key).unwrap_or_default(),
            ("problem", "note") => "problem.note".to_owned(),
            ("shoulders", key) => self.shoulder().unwrap_or_else(|| key.to_owned()),
            (place, key) if Kind::from_wire(place).is_some_and(|kind| kind.spec().visit.is_some()) => {
                format!("{place}.{key}")
            }
            ("next", "time") => "next.time".to_owned(),
            ("wear", "hours_per_day") => names::WEAR_HOURS.to_owned(),
            ("wear", "reason") => names::WEAR_REASON.to_owned(),
            ("wear", _) => names::WEAR_FROM.to_owned(),
            ("tenotomy", "complication") => format!("{foot}tenotomy_complication"),
            ("tenotomy", "done_by") => format!("{foot}tenotomy_by"),
            ("tenotomy", "planned_on") => format!("{foot}tenotomy_on"),
            ("next", _) => fields::visit::NEXT_OTHER_DAY.to_owned(),
            (place, _) => format!("{foot}{place}"),
        }
    }

    /// The field of the width of the shoulders.
    fn shoulder(&self) -> Option<String> {
        let Body::BodyMeasured(measured) = &self.body else { return None };
        measured.shoulder_width.map(pages::brace_fitting::names::shoulder_mm)
    }

    /// The boot whose value is out of bounds; the finding itself does not name the foot.
    fn boot(&self, key: &str) -> Option<String> {
        let brace = match &self.body {
            Body::BraceFitted(fitted) => Some(&fitted.brace),
            Body::BraceChanged(changed) => changed.brace.as_ref(),
            _ => None,
        }?;
        let refused = |boot: &&Boot| {
            let (bound, value) = match key {
                "abduction_deg" => (record::bounds::BAR_ANGLE, boot.abduction_deg.map(f64::from)),
                "dorsiflexion_deg" => (record::bounds::BAR_BEND, boot.dorsiflexion_deg.map(f64::from)),
                _ => (record::bounds::FOOT_LENGTH, boot.length_mm.map(f64::from)),
            };
            value.and_then(|value| bound.judge("", value)).is_some_and(|f| f.severity == Severity::Refuse)
        };
        let boot = brace.boots.iter().find(refused)?;
        Some(format!("brace.{}.{key}", boot.side))
    }
}

/// Reads the visit form.
///
/// # Errors
/// One sentence for each field that cannot be read or is out of bounds. An empty visit is refused as well.
pub fn visit(filled: &Filled, today: Day) -> Result<Visit, Vec<FieldError>> {
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day("on", today);
    let drafts = drafts(&mut reader, filled, on);
    if drafts.is_empty() && reader.errors.is_empty() && fields::visit::loose_ends(filled).is_empty() {
        reader.wrong("on", "Nothing is filled in yet. If the child came and was not examined, mark the child as here on the page of the day.");
    }
    reader.errors.extend(fields::visit::loose_ends(filled));
    finish(reader, on, drafts)
}

/// What can be read of a form that is still being filled in, without what would be refused and without the next
/// appointment: the days proposed for it follow from the rest. `None` where the day of the visit cannot be read.
#[must_use]
pub fn visit_so_far(filled: &Filled, today: Day) -> Option<Visit> {
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day("on", today)?;
    let mut drafts = drafts(&mut reader, filled, Some(on));
    drafts.retain(|draft| draft.place != "next" && super::kinds::refusals(&draft.body, on).next().is_none());
    Some(Visit { on, drafts })
}

fn drafts(reader: &mut Reader<'_>, filled: &Filled, on: Option<Day>) -> Vec<Drafted> {
    let mut drafts = Vec::new();
    for side in Side::BOTH {
        foot(reader, side, &mut drafts);
    }
    drafts.extend(brace(reader));
    drafts.extend(on.and_then(|on| wear(reader, on)));
    drafts.extend(problem(reader));
    drafts.extend(declared(reader, filled));
    let next = next(reader);
    date_tenotomies(&mut drafts, next.as_ref());
    drafts.extend(next.map(|made| Drafted::child("next", made)));
    drafts.extend(reader.text("note").map(|text| Drafted::child("note", Note { text })));
    drafts
}

/// A tenotomy that is booked without a day of its own is booked for the appointment that is made for it, so that
/// its day is asked once.
fn date_tenotomies(drafts: &mut [Drafted], next: Option<&AppointmentMade>) {
    let Some(made) = next.filter(|made| made.purpose == Some(Purpose::Tenotomy)) else { return };
    for draft in drafts {
        if let Body::TenotomyBooked(booked) = &mut draft.body {
            booked.planned_on.get_or_insert(made.for_day);
        }
    }
}

/// The drafts, or everything that is wrong with them.
pub(super) fn finish(
    reader: Reader<'_>,
    on: Option<Day>,
    drafts: Vec<Drafted>,
) -> Result<Visit, Vec<FieldError>> {
    let mut errors = reader.errors;
    if let Some(on) = on {
        errors.extend(drafts.iter().flat_map(|draft| refusals(draft, on)));
    }
    match on {
        Some(on) if errors.is_empty() => Ok(Visit { on, drafts }),
        _ => Err(errors),
    }
}

/// Every refusal of one body, with its field.
fn refusals(draft: &Drafted, on: Day) -> Vec<FieldError> {
    super::kinds::refusals(&draft.body, on)
        .map(|finding| wrong(draft.field(&finding), crate::exit::sentence(&finding.text)))
        .collect()
}

fn foot(reader: &mut Reader<'_>, side: Side, drafts: &mut Vec<Drafted>) {
    let name = |key: &str| format!("{side}.{key}");
    let off = reader.choice(&name("cast_off"), RemovalReason::from_key);
    drafts.extend(off.map(|why| Drafted::foot(side, "cast_off", CastRemoved { side, why, note: None })));
    let assessment = assessment(reader, side);
    if !assessment.is_empty() {
        drafts.push(Drafted::foot(side, "", assessment));
    }
    let grade = reader.choice(&name("relapse"), |key| match key {
        "ungraded" => Some(None),
        key => RelapseGrade::from_key(key).map(Some),
    });
    drafts
        .extend(grade.map(|grade| Drafted::foot(side, "relapse", RelapseNoted { side, grade, note: None })));
    drafts.extend(tenotomy(reader, side));
    drafts.extend(cast(reader, side));
}

/// The signs and the angles of one foot.
pub(super) fn scores(reader: &mut Reader<'_>, side: Side) -> (Pirani, Dimeglio) {
    let (mut pirani, mut dimeglio) = (Pirani::default(), Dimeglio::default());
    for sign in Sign::ALL {
        pirani.set(sign, reader.half(&format!("{side}.{}", sign.key())));
    }
    for item in AngleItem::ALL {
        let deg = reader.whole(&format!("{side}.dimeglio.{}", item.key()));
        dimeglio.set_angle(item, deg.map(Angle::Deg));
    }
    for sign in DimeglioSign::ALL {
        dimeglio.set_sign(sign, reader.yes_no(&format!("{side}.dimeglio.{}", sign.key())));
    }
    (pirani, dimeglio)
}

fn assessment(reader: &mut Reader<'_>, side: Side) -> Assessment {
    let name = |key: &str| format!("{side}.{key}");
    let mut found = Assessment::of(side);
    (found.pirani, found.dimeglio) = scores(reader, side);
    for item in WalkingItem::ALL {
        found.walking.set(item, reader.whole(&format!("{side}.walking.{}", item.key())));
    }
    found.signs = relapse_signs(reader, side);
    found.abduction_deg = reader.whole(&name("abduction_deg"));
    found.dorsiflexion_deg = reader.whole(&name("dorsiflexion_deg"));
    found.foot_length_mm = reader.whole(&name("foot_length_mm"));
    found
}

fn relapse_signs(reader: &mut Reader<'_>, side: Side) -> RelapseSigns {
    let name = |key: &str| format!("{side}.signs.{key}");
    RelapseSigns {
        equinus: reader.choice(&name("equinus"), Deformity::from_key),
        heel_varus: reader.choice(&name("heel_varus"), Deformity::from_key),
        adductus: reader.choice(&name("adductus"), Deformity::from_key),
        cavus: reader.choice(&name("cavus"), Deformity::from_key),
        dynamic_supination: reader.yes_no(&name("dynamic_supination")),
        early_heel_rise: reader.yes_no(&name("early_heel_rise")),
        evertors: reader.choice(&name("evertors"), Evertors::from_key),
        lateral_cuneiform_ossified: reader.yes_no(&name("lateral_cuneiform_ossified")),
    }
}

fn tenotomy(reader: &mut Reader<'_>, side: Side) -> Option<Drafted> {
    let planned_on = reader.day(&format!("{side}.tenotomy_on"));
    let done = reader.choice(&format!("{side}.tenotomy"), |key| match key {
        "done" => Some(true),
        "book" => Some(false),
        _ => None,
    })?;
    Some(if done {
        Drafted::foot(side, "tenotomy", tenotomy_done(reader, side))
    } else {
        Drafted::foot(side, "tenotomy", TenotomyBooked { side, planned_on, place: None })
    })
}

fn tenotomy_done(reader: &mut Reader<'_>, side: Side) -> TenotomyDone {
    TenotomyDone {
        anaesthesia: reader.choice(&names::anaesthesia(side), Anaesthesia::from_key),
        done_by: reader.text(&names::tenotomy_by(side)),
        complication: reader.text(&names::tenotomy_complication(side)),
        ..TenotomyDone::on(side)
    }
}

fn cast(reader: &mut Reader<'_>, side: Side) -> Option<Drafted> {
    let abduction_deg = reader.whole(&format!("{side}.cast_abduction_deg"));
    let purpose = reader.choice(&format!("{side}.cast"), CastPurpose::from_key)?;
    let material = reader.choice(&names::cast_material(side), CastMaterial::from_key);
    let cast = CastApplied { purpose: Some(purpose), abduction_deg, material, ..CastApplied::on(side) };
    Some(Drafted::foot(side, "cast", cast))
}

pub(super) fn brace(reader: &mut Reader<'_>) -> Option<Drafted> {
    let brace = Brace {
        boots: boots(reader),
        bar_mm: reader.whole("brace.bar_mm"),
        bar_per_side: reader.yes_no(fields::visit::BRACE_BAR_PER_SIDE),
        label: None,
    };
    let regime = reader.choice("brace.regime", Regime::from_key);
    let hours_prescribed = reader.whole("brace.hours");
    let Some(change) = reader.choice("brace", brace_event)? else {
        let fitted = BraceFitted { brace, regime, hours_prescribed, fitted_by: None };
        return Some(Drafted::child("brace", fitted));
    };
    let brace = (brace != Brace::default()).then_some(brace);
    Some(Drafted::child("brace", BraceChanged { change, brace, regime, hours_prescribed, note: None }))
}

/// `fitted` is a fitting; every other key is a change.
fn brace_event(key: &str) -> Option<Option<BraceChange>> {
    if key == "fitted" { Some(None) } else { BraceChange::from_key(key).map(Some) }
}

fn boots(reader: &mut Reader<'_>) -> Vec<Boot> {
    let mut boots = Vec::new();
    for side in Side::BOTH {
        let name = |key: &str| format!("brace.{side}.{key}");
        let (abduction, dorsiflexion, length) =
            (name("abduction_deg"), name("dorsiflexion_deg"), name("length_mm"));
        let boot = Boot {
            abduction_deg: reader.whole(&abduction),
            dorsiflexion_deg: reader.whole(&dorsiflexion),
            length_mm: reader.whole(&length),
            size: size(reader, side),
            ..Boot::of(side)
        };
        if boot != Boot::of(side) {
            boots.push(boot);
        }
    }
    boots
}

/// The size of a boot: chosen from the clinic's list, or typed because it is not on it.
fn size(reader: &mut Reader<'_>, side: Side) -> Option<String> {
    let other = pages::parts::other_size(side);
    let (chosen, typed) = (reader.text(&names::boot(side, "size")), reader.text(&other));
    if let (Some(chosen), Some(_)) = (&chosen, &typed) {
        let text =
            format!("{} boot: {chosen} is chosen from the list. Leave one of the two empty.", side.title());
        reader.wrong(&other, text);
    }
    chosen.or(typed)
}

fn problem(reader: &mut Reader<'_>) -> Option<Drafted> {
    let side = reader.choice("problem.side", side_of);
    let note = reader.text("problem.note");
    let what = reader.choice("problem", ProblemKind::from_key);
    Some(Drafted::child("problem", Problem { side, note, ..Problem::of(what?) }))
}

/// The kinds whose fields the form shows as they are declared.
fn declared(reader: &mut Reader<'_>, filled: &Filled) -> Vec<Drafted> {
    let mut drafts = Vec::new();
    for (kind, _) in fields::visit::declared_kinds() {
        let prefix = fields::visit::declared_prefix(kind);
        if filled.any_under(&prefix) {
            match fields::body_below(kind, filled, &prefix) {
                Ok(body) => drafts.push(Drafted::child(kind.wire(), body)),
                Err(errors) => reader.errors.extend(errors),
            }
        }
    }
    drafts
}

/// The hours that the family reports, up to the day of the visit.
fn wear(reader: &mut Reader<'_>, on: Day) -> Option<Drafted> {
    let from = reader.day(names::WEAR_FROM);
    let hours_per_day = reader.decimal(names::WEAR_HOURS);
    let reason = reader.text(names::WEAR_REASON);
    let hours_per_day = hours_per_day?;
    if from.is_none() && !reader.has(names::WEAR_FROM) {
        reader.wrong(names::WEAR_FROM, "From which day on were these hours worn?");
    }
    let worn = WearReported { from: from?, to: on, hours_per_day, days_without: None, reason };
    Some(Drafted::child("wear", worn))
}

/// The next appointment. A proposed day says on the form what it is for, which holds unless another purpose is
/// given.
pub(super) fn next(reader: &mut Reader<'_>) -> Option<AppointmentMade> {
    let purpose = reader.choice(names::NEXT_PURPOSE, Purpose::from_key);
    let time = reader.text(names::NEXT_TIME);
    let field = reader.next_day_field();
    let for_day = reader.day(field)?;
    let proposed = (field == names::NEXT_DAY && purpose.is_none()).then(|| names::next_purpose_of(for_day));
    let purpose = purpose.or_else(|| reader.choice(&proposed?, Purpose::from_key));
    Some(AppointmentMade { for_day, time, purpose })
}

fn side_of(key: &str) -> Option<Side> {
    Side::BOTH.into_iter().find(|side| side.word() == key)
}
