//! Reads the entry table of a case: `| day | foot | what | details |`, details split by semicolons.

use crate::story::Story;
use record::*;

type Read<T> = Result<T, String>;

/// Records one row in the story.
pub fn write(story: &mut Story, row: &str) -> Read<()> {
    let cells: Vec<&str> = row.trim().trim_matches('|').split('|').map(str::trim).collect();
    let [on, foot, what, details] = cells[..] else {
        return Err(format!("four cells are expected, {} found", cells.len()));
    };
    let on: Day = on.parse().map_err(|error: DayError| error.to_string())?;
    let details: Vec<&str> = details.split(';').map(str::trim).filter(|part| !part.is_empty()).collect();
    match feet(foot)? {
        None => {
            let body = of_child(what, &details)?;
            story.answer(on, body, answered(story, what));
        }
        Some(sides) => {
            for &side in sides.each() {
                let body = of_foot(what, side, &details)?;
                story.add(on, body);
            }
        }
    }
    Ok(())
}

/// A rebooking follows the last appointment made, a confirmation the entry before it.
fn answered(story: &Story, what: &str) -> Option<EntryId> {
    if what == "confirmed" {
        return story.entries.last().map(|entry| entry.id);
    }
    let made = |entry: &&Entry| entry.kind() == Kind::AppointmentMade;
    (what == "appointment moved")
        .then(|| story.entries.iter().rev().find(made).map(|entry| entry.id))
        .flatten()
}

fn feet(cell: &str) -> Read<Option<Sides>> {
    Ok(Some(match cell {
        "right" => Sides::Right,
        "left" => Sides::Left,
        "both" => Sides::Both,
        "" | "–" => return Ok(None),
        other => return Err(format!("“{other}” is no foot")),
    }))
}

/// The rest of the first detail that begins with a word.
fn after<'a>(details: &[&'a str], word: &str) -> Option<&'a str> {
    details.iter().find_map(|detail| Some(detail.strip_prefix(word)?.trim()))
}

fn number<T: std::str::FromStr>(details: &[&str], word: &str) -> Read<Option<T>> {
    let text = after(details, word).map(|text| text.trim_end_matches([' ', '°', 'h', 'g', 'm', 'w']));
    let text = text.map(|text| text.replace('−', "-"));
    text.map(|text| text.parse().map_err(|_| format!("“{text}” after “{word}” is no number"))).transpose()
}

fn a_day(details: &[&str], word: &str) -> Read<Option<Day>> {
    after(details, word).map(|text| text.parse().map_err(|e: DayError| e.to_string())).transpose()
}

/// One of a closed list, by its words.
fn one_of<T: Copy>(all: &[T], words: impl Fn(T) -> &'static str, details: &[&str]) -> Option<T> {
    all.iter().copied().find(|&choice| details.contains(&words(choice)))
}

fn point(text: &str) -> Read<Option<HalfPoint>> {
    Ok(Some(match text {
        "0" => HalfPoint::Zero,
        "½" | "0.5" => HalfPoint::Half,
        "1" => HalfPoint::One,
        "–" => return Ok(None),
        other => return Err(format!("“{other}” is no answer to a sign: 0, ½, 1 or –")),
    }))
}

/// "1 1 ½ / 1 1 1": lateral border, medial crease, head of talus / posterior crease, rigid equinus,
/// empty heel.
fn signs(details: &[&str]) -> Read<Pirani> {
    let mut pirani = Pirani::default();
    let Some(text) = details.iter().find(|detail| detail.contains('/')) else { return Ok(pirani) };
    let points: Vec<&str> = text.split([' ', '/']).filter(|part| !part.is_empty()).collect();
    if points.len() != 6 {
        return Err(format!("six signs are expected, {} found", points.len()));
    }
    for (sign, text) in Sign::ALL.into_iter().zip(points) {
        pirani.set(sign, point(text)?);
    }
    Ok(pirani)
}

/// "supination in swing", "early heel rise", and a deformity with "fixed" or "by hand": "adductus fixed".
fn relapse_signs(details: &[&str]) -> RelapseSigns {
    let deformity = |name: &str| {
        let value = after(details, name)?;
        Some(if value == "fixed" { Deformity::Fixed } else { Deformity::Flexible })
    };
    let there = |name: &str| details.contains(&name).then_some(true);
    RelapseSigns {
        equinus: deformity("equinus"),
        heel_varus: deformity("varus"),
        adductus: deformity("adductus"),
        dynamic_supination: there("supination in swing"),
        early_heel_rise: there("early heel rise"),
        evertors: details.contains(&"evertors weak").then_some(Evertors::Weak),
        ..RelapseSigns::default()
    }
}

/// "boots 105": the inside length of both boots; "bar 200".
fn brace(details: &[&str]) -> Read<Brace> {
    let length_mm: Option<u16> = number(details, "boots")?;
    let boots = Side::BOTH.map(|side| Boot { length_mm, ..Boot::of(side) });
    let boots = if length_mm.is_some() { boots.to_vec() } else { Vec::new() };
    Ok(Brace { boots, bar_mm: number(details, "bar")?, ..Brace::default() })
}

fn regime(details: &[&str]) -> Option<Regime> {
    one_of(Regime::ALL, Regime::words, details)
}

fn of_foot(what: &str, side: Side, details: &[&str]) -> Read<Body> {
    Ok(match what {
        "diagnosis" => Diagnosis {
            side,
            nature: one_of(Nature::ALL, Nature::words, details),
            complex: details.contains(&"complex").then_some(true),
            earlier_treatment: after(details, "earlier:").map(str::to_owned),
        }
        .into(),
        "score" | "movement" => Assessment {
            pirani: signs(details)?,
            abduction_deg: number(details, "abduction")?,
            dorsiflexion_deg: number(details, "dorsiflexion")?,
            foot_length_mm: number(details, "length")?,
            signs: relapse_signs(details),
            stated_total: number::<f64>(details, "total")?.map(|points| Halves((2.0 * points) as u8)),
            ..Assessment::of(side)
        }
        .into(),
        "cast" => CastApplied {
            purpose: one_of(CastPurpose::ALL, CastPurpose::words, details),
            abduction_deg: number(details, "abduction")?,
            ..CastApplied::on(side)
        }
        .into(),
        "cast off" => {
            let why = one_of(RemovalReason::ALL, RemovalReason::words, details);
            CastRemoved { side, why: why.ok_or("why the cast came off is missing")?, note: None }.into()
        }
        "tenotomy booked" => TenotomyBooked { side, planned_on: a_day(details, "for")?, place: None }.into(),
        "tenotomy" => TenotomyDone {
            dorsiflexion_after_deg: number(details, "dorsiflexion")?,
            ..TenotomyDone::on(side)
        }
        .into(),
        "relapse" => {
            RelapseNoted { side, grade: after(details, "grade").and_then(RelapseGrade::from_key), note: None }
                .into()
        }
        "surgery" => {
            let procedure = one_of(Procedure::ALL, Procedure::words, details);
            OtherSurgery { side, procedure: procedure.ok_or("which surgery is missing")?, note: None }.into()
        }
        "problem" => problem(Some(side), details)?,
        other => return Err(format!("“{other}” is not something that happens to a foot")),
    })
}

fn problem(side: Option<Side>, details: &[&str]) -> Read<Body> {
    let what = one_of(ProblemKind::ALL, ProblemKind::words, details).ok_or("which problem is missing")?;
    Ok(Problem { side, settled: details.contains(&"settled"), ..Problem::of(what) }.into())
}

fn purpose(details: &[&str]) -> Option<Purpose> {
    one_of(Purpose::ALL, Purpose::words, details)
}

fn of_child(what: &str, details: &[&str]) -> Read<Body> {
    Ok(match what {
        "registered" => Registration {
            given_name: after(details, "name").unwrap_or("Invented").to_owned(),
            born: a_day(details, "born")?,
            gestation_weeks: number(details, "gestation")?,
            ..Registration::default()
        }
        .into(),
        "referred" => Referral::default().into(),
        "screened" => Screening { hips: Some(Screened::Normal), ..Screening::default() }.into(),
        "brace" => BraceFitted {
            regime: regime(details),
            hours_prescribed: number(details, "hours")?,
            brace: brace(details)?,
            ..BraceFitted::default()
        }
        .into(),
        "brace changed" => BraceChanged {
            change: one_of(BraceChange::ALL, BraceChange::words, details).ok_or("which change is missing")?,
            brace: None,
            regime: regime(details),
            hours_prescribed: number(details, "hours a day")?,
            note: None,
        }
        .into(),
        "shoulders" => BodyMeasured {
            shoulder_mm: number(details, "width")?,
            shoulder_width: one_of(ShoulderWidth::ALL, ShoulderWidth::words, details)
                .or(details.contains(&"over the arms").then_some(ShoulderWidth::Bideltoid)),
            note: None,
        }
        .into(),
        "appointment" | "appointment moved" => AppointmentMade {
            for_day: a_day(details, "for")?.ok_or("the day of the appointment is missing")?,
            time: None,
            purpose: purpose(details),
        }
        .into(),
        "attended" => AppointmentAttended::default().into(),
        "missed" => AppointmentMissed::default().into(),
        "contact" => ContactAttempt {
            way: one_of(ContactWay::ALL, ContactWay::words, details).ok_or("how is missing")?,
            reached: details.contains(&"reached"),
            whom: None,
            note: None,
        }
        .into(),
        "problem" => problem(None, details)?,
        "transferred" => Transfer::default().into(),
        "died" => Death::default().into(),
        "declared lost" => LostDeclared::default().into(),
        "discharged" => Discharge { reason: DischargeReason::Completed, note: None }.into(),
        "wear logged" | "wear reported" => wear(what, details)?,
        "note" | "confirmed" => Note { text: details.join("; ") }.into(),
        other => return Err(format!("“{other}” is not something that happens to a child")),
    })
}

/// "from 2024-05-01; to 2024-05-28; hours 9".
fn wear(what: &str, details: &[&str]) -> Read<Body> {
    let from = a_day(details, "from")?.ok_or("the first day is missing")?;
    let to = a_day(details, "to")?.ok_or("the last day is missing")?;
    let hours_per_day = number(details, "hours")?.ok_or("the hours are missing")?;
    Ok(match what {
        "wear logged" => {
            let days_judged = u16::try_from(to - from + 1).map_err(|_| "the span runs backwards")?;
            WearLogged { from, to, hours_per_day, days_judged, logger: None }.into()
        }
        _ => WearReported { from, to, hours_per_day, days_without: None, reason: None }.into(),
    })
}
