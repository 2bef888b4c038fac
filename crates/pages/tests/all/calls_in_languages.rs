//! What calls for attention say: in English as everywhere else, in every language with the same numbers and sides.

use crate::{
    languages::{file, problems, purposes},
    sample::day,
};
use course::{Phase, WearKind};
use guidance::{
    CallText, StepText,
    call_text::{
        AngleKnownBy, AwaitedVisit, BraceCallText, ComplexHint, ContradictionText, FindingCallText, LossSpan,
        LossText, LossWait, OutgrownWindow, ProblemStanding, ReachedAngle, RoundedNumber, SettingText,
        TreatmentCallText, UnbookedSince, UnchangedScore, VisitCallText, WearCallText,
    },
    relapse::{FoundDeformity, RelapseSignKind},
};
use pages::PageLanguage;
use record::{ContactWay, Day, HalfPoint, Halves, Pirani, RelapseGrade, RemovalReason, ShoulderWidth, Side};
use scraper::Html;

/// Three days of different months and years.
fn days() -> [Day; 3] {
    ["2024-05-03", "2023-12-31", "2025-01-02"].map(day)
}

fn treatment() -> Vec<TreatmentCallText> {
    use TreatmentCallText as Call;
    let [on, since, later] = days();
    let mut all = vec![
        Call::CastOnTooLong { number: 5, since, due_off: on },
        Call::CastsUnscored { casts: 1, scored: None },
        Call::CastsUnscored { casts: 2, scored: Some(on) },
        Call::NotHeld(on),
        Call::NoCastAfterTenotomy(on),
        Call::StillInCorrection { casts: 8, on },
        Call::RelapseStillInCorrection { casts: 3, on },
        Call::ReadyForTenotomy(on),
        Call::TenotomyNotDone(later),
        Call::TenotomyWithoutDay(on),
        Call::TenotomyWaits { ready: true, since, planned: later, casts: 0 },
        Call::TenotomyWaits { ready: false, since, planned: later, casts: 1 },
    ];
    all.extend(RemovalReason::ALL.iter().map(|why| Call::NoCastSince { off: on, why: *why }));
    for other in Side::BOTH {
        all.push(Call::Untreated { other, since });
        let phases =
            [(Phase::InCorrection, Phase::FullTimeBracing), (Phase::TenotomyCast, Phase::NightTimeBracing)];
        all.extend(phases.map(|(phase, other_phase)| Call::OtherInBrace {
            phase,
            since,
            other,
            other_phase,
        }));
    }
    all
}

fn contradictions() -> Vec<ContradictionText> {
    use HalfPoint::{Half, One, Zero};
    let [on, ..] = days();
    let whole = Pirani {
        lateral_border: Some(Half),
        medial_crease: Some(Zero),
        talar_head: Some(Zero),
        posterior_crease: Some(One),
        rigid_equinus: Some(One),
        empty_heel: Some(Half),
    };
    let partial = Pirani { medial_crease: None, empty_heel: None, ..whole };
    let mut all = vec![ContradictionText::TotalAndSigns { stated: Halves(9), on, sum: Halves(8) }];
    for pirani in [whole, partial, Pirani { lateral_border: None, ..whole }, Pirani::default()] {
        all.push(ContradictionText::ScoreAndDorsiflexion { pirani, on, deg: 15 });
        all.push(ContradictionText::ScoreAndAbduction { pirani, on, deg: -5 });
    }
    all.extend(HalfPoint::ALL.map(|sign| ContradictionText::EquinusAndDorsiflexion { sign, on, deg: -10 }));
    all
}

/// Every sign of relapse, in the published order.
pub fn relapse_signs() -> Vec<RelapseSignKind> {
    use RelapseSignKind as Sign;
    let mut all = vec![Sign::EarlyHeelRise, Sign::Supination, Sign::EvertorsWeak, Sign::EvertorsNotWorking];
    for found in [FoundDeformity::Flexible, FoundDeformity::Fixed] {
        all.extend([Sign::Equinus, Sign::HeelVarus, Sign::Adductus, Sign::Cavus].map(|of| of(found)));
    }
    all
}

fn findings() -> Vec<FindingCallText> {
    use FindingCallText as Call;
    let [on, before, _] = days();
    let mut all = vec![
        Call::MaybeComplex(ComplexHint::CastsSlipped { casts: 2, last: on }),
        Call::MaybeComplex(ComplexHint::SignsUnchanged { casts: 4, on }),
        Call::Unchanged { what: UnchangedScore::Midfoot, casts: 3, until: on },
        Call::Unchanged { what: UnchangedScore::Total, casts: 1, until: on },
        Call::ShortAfterTenotomy { deg: -5, on, cut: before },
        Call::ScoreWorse { now: Halves(5), on, was: Halves(2), before },
        Call::Dorsiflexion { deg: -5, on, best: None },
        Call::Dorsiflexion { deg: 10, on, best: Some((25, before)) },
        Call::RelapseSigns { signs: relapse_signs(), grade: None },
        Call::WalkingScoreLow { total: 8, on },
    ];
    all.extend(contradictions().into_iter().map(Call::Contradiction));
    let graded = |grade: &RelapseGrade| Call::RelapseSigns {
        signs: vec![RelapseSignKind::Supination],
        grade: Some(*grade),
    };
    all.extend(RelapseGrade::ALL.iter().map(graded));
    all
}

fn visits() -> Vec<VisitCallText> {
    use VisitCallText as Call;
    let [on, earlier, later] = days();
    let mut all = vec![
        Call::Attended(on),
        Call::Missed { on, purpose: None, next: None },
        Call::Missed { on, purpose: None, next: Some(later) },
        Call::Passed { on, purpose: None },
        Call::EarlyReviewOverdue { week: 1, due: on },
        Call::EarlyReviewOverdue { week: 6, due: on },
        Call::ReviewOverdue { seen: earlier, due: on },
        Call::DeclaredLost(on),
    ];
    all.extend(purposes().map(|purpose| Call::Passed { on, purpose: Some(purpose) }));
    for since in [UnbookedSince::LastSeen(on), UnbookedSince::Referred(on), UnbookedSince::ReferredAgain(on)]
    {
        all.extend([None, Some(later)].map(|cancelled| Call::NoneBooked { since, cancelled }));
    }
    for late in [false, true] {
        all.extend([None, Some(earlier)].map(|born| Call::NeverSeen { late, referred: on, born }));
    }
    let visits =
        [AwaitedVisit::Booked, AwaitedVisit::EndOfTenotomyCast, AwaitedVisit::NextCast, AwaitedVisit::Review];
    let mut waits = vec![None, Some(LossWait::Appointment(later))];
    waits.extend(visits.map(|visit| Some(LossWait::Planned(visit, later))));
    for span in [LossSpan::Casting(21), LossSpan::Tenotomy(28), LossSpan::Bracing(6), LossSpan::Bracing(1)] {
        let loss = |waits_for| Call::CountsAsLost(LossText { seen: earlier, span, ended: on, waits_for });
        all.extend(waits.iter().copied().map(loss));
    }
    all
}

fn settings(side: Side) -> Vec<SettingText> {
    let [on, ..] = days();
    let mut all = vec![
        SettingText::WideOnComplex { side, deg: 65 },
        SettingText::WideOnUnaffected { side, deg: 60 },
        SettingText::WideOnUnaffectedBarUnknown { side, deg: 60 },
        SettingText::Exchanged { clubfoot: side, own_deg: 35, other_deg: 70 },
        SettingText::OneBoot(side),
    ];
    for how in [AngleKnownBy::Cast, AngleKnownBy::Measured, AngleKnownBy::Tenotomy] {
        let reached = ReachedAngle { deg: -5, how, on };
        all.push(SettingText::OutwardBeyondReached { side, deg: 60, reached });
        all.push(SettingText::BendBeyondReached { side, deg: 15, reached });
    }
    all.extend(ShoulderWidth::ALL.iter().map(|width| SettingText::BarLength {
        bar_mm: 240,
        shoulders_mm: 180,
        on,
        width: *width,
    }));
    all
}

fn brace() -> Vec<BraceCallText> {
    use BraceCallText as Call;
    let [on, from, to] = days();
    let windows = [
        OutgrownWindow::Already(on),
        OutgrownWindow::Between { likely: Some(on), from, to },
        OutgrownWindow::Between { likely: None, from, to },
        OutgrownWindow::NotBefore { likely: Some(on), from },
        OutgrownWindow::NotBefore { likely: None, from },
    ];
    let mut all = vec![
        Call::Stopped { on, planned: None },
        Call::Stopped { on, planned: Some(to) },
        Call::FullTimeEndedEarly { on, lasted: 34, planned: 84 },
        Call::NightTimeDue { since: from, weeks: 12, until: on },
        Call::NightTimeDue { since: from, weeks: 1, until: on },
        Call::EndDue { on: to, years: 5 },
    ];
    all.extend(windows.map(|window| Call::BarTooNarrow { bar_mm: 200, window }));
    for side in Side::BOTH {
        all.push(Call::BootTooSmall { side, inner_mm: 105, foot_mm: 106, on });
        all.extend(windows.map(|window| Call::BootOutgrown { side, inner_mm: 105, window }));
        all.extend(windows.map(|window| Call::OrderBoots { by: on, side, inner_mm: 105, window }));
        all.extend(settings(side).into_iter().map(Call::Setting));
    }
    all
}

/// Hours that are not whole, one of which lies between two decimals: 11.25 is said as "11.2".
fn wear() -> Vec<WearCallText> {
    use WearCallText as Call;
    let [day, from, to] = days();
    let [reported, logged, prescribed] = [12.0, 11.25, 23.0].map(RoundedNumber);
    let mut all = vec![
        Call::NotRecorded { known: true, day },
        Call::NotRecorded { known: false, day },
        Call::BelowReported { days: 7, reported, logged, times: Some(RoundedNumber(12.0 / 11.25)) },
        Call::BelowReported { days: 7, reported, logged: RoundedNumber(0.0), times: None },
    ];
    for how in [WearKind::Reported, WearKind::Logged] {
        all.push(Call::NotWorn { days: 3, from, to, how });
        all.push(Call::Fell { how, before: reported, after: logged, week: day });
        let percent = RoundedNumber(100.0 * 11.25 / 23.0);
        all.push(Call::Low { how, hours: logged, prescribed, percent, from, to });
    }
    all
}

/// A call of every kind that is translated, with several values.
pub fn calls() -> Vec<CallText> {
    let [on, seen, from] = days();
    let mut all = vec![CallText::BirthDateMissing];
    for side in Side::BOTH {
        all.extend(treatment().into_iter().map(|call| CallText::Treatment(side, call)));
        all.extend(findings().into_iter().map(|call| CallText::Finding(side, call)));
    }
    all.extend(visits().into_iter().map(CallText::Visit));
    all.extend(brace().into_iter().map(CallText::Brace));
    all.extend(wear().into_iter().map(CallText::Wear));
    for side in [None, Some(Side::Right), Some(Side::Left)] {
        let standings =
            [ProblemStanding::Noted, ProblemStanding::AdviceNotHelped, ProblemStanding::Seen(seen)];
        for what in problems() {
            all.extend(standings.map(|standing| CallText::Problem { side, what, on, standing }));
        }
    }
    let ways = ContactWay::ALL.iter().map(|way| Some(*way)).chain([None]);
    for (next, tried) in ways.flat_map(|way| [1, 2].map(|tried| (way, tried))) {
        let call = Box::new(CallText::Visit(VisitCallText::DeclaredLost(on)));
        all.push(CallText::OnLostList { call, tried, next, from });
    }
    all
}

/// Calls whose words are in English only.
pub fn english_only() -> [CallText; 3] {
    let question = "Weight is not recorded.".to_owned();
    [
        CallText::InDoubt(Some(Side::Right), question.clone()),
        CallText::InDoubt(None, question.clone()),
        CallText::English(question),
    ]
}

fn shown(language: PageLanguage, call: &CallText) -> String {
    Html::parse_fragment(&language.call(call).into_string()).root_element().text().collect()
}

#[test]
fn english_calls_are_worded_as_everywhere_else() {
    for call in calls().into_iter().chain(english_only()) {
        assert_eq!(shown(PageLanguage::English, &call), call.words());
        assert!(!PageLanguage::English.call(&call).into_string().contains("lang="), "{call:?}");
    }
}

/// What stands in a message between the things that are put in.
fn fixed_parts(text: &str) -> Vec<String> {
    let (mut parts, mut depth) = (vec![String::new()], 0_usize);
    for c in text.chars() {
        match c {
            '{' => {
                depth += 1;
                parts.push(String::new());
            }
            '}' => depth -= 1,
            c if depth == 0 => parts.last_mut().unwrap().push(c),
            _ => {}
        }
    }
    parts.retain(|part| part.chars().any(char::is_alphabetic));
    parts
}

fn has_in_order(words: &str, parts: &[String]) -> bool {
    let mut rest = words;
    parts.iter().all(|part| {
        let Some((_, after)) = rest.split_once(part.as_str()) else { return false };
        rest = after;
        true
    })
}

/// So that no kind of call is left out above: every message about calls is said by one of them, in every language.
#[test]
fn every_message_about_calls_is_said_by_a_call() {
    for language in PageLanguage::ALL {
        let said: Vec<String> = calls().iter().map(|call| shown(language, call)).collect();
        let mut looked_at = 0;
        for (id, text) in file(language, "calls") {
            let parts = fixed_parts(&text);
            if parts.is_empty() {
                continue;
            }
            assert!(said.iter().any(|words| has_in_order(words, &parts)), "{language:?} {id}: {parts:?}");
            looked_at += 1;
        }
        assert!(looked_at > 130, "{language:?}: {looked_at}");
    }
}

/// Numbers within a text in order of size: days of the month, years, casts, degrees, whole hours and their tenths.
fn numbers(text: &str) -> Vec<u32> {
    let digits = text.split(|c: char| !c.is_ascii_digit()).filter(|digits| !digits.is_empty());
    let mut found: Vec<u32> = digits.map(|digits| digits.parse().unwrap()).collect();
    found.sort_unstable();
    found
}

/// A call may not lose a number, a day, a minus or a foot in a translation, nor exchange the feet.
#[test]
fn every_language_says_the_same_numbers_and_feet() {
    let months = ["May", "December", "January"];
    for call in calls() {
        let (english, spanish) = (call.words(), shown(PageLanguage::Spanish, &call));
        assert_eq!(numbers(&english), numbers(&spanish), "{english} / {spanish}");
        let minus = |text: &str| text.matches('−').count();
        assert_eq!(minus(&english), minus(&spanish), "{english} / {spanish}");
        let lower = (english.to_lowercase(), spanish.to_lowercase());
        for (word, translated) in [("right", "derech"), ("left", "izquierd")] {
            let count = |text: &str, word: &str| text.matches(word).count();
            assert_eq!(count(&lower.0, word), count(&lower.1, translated), "{english} / {spanish}");
        }
        for word in ["foot", "cast", "brace", "child"].into_iter().chain(months) {
            let mut words = spanish.split(|c: char| !c.is_alphabetic());
            assert!(words.all(|found| found != word), "“{word}” in “{spanish}”");
        }
    }
}

#[test]
fn spanish_numbers_in_calls_agree_and_have_a_comma() {
    let [on, ..] = days();
    let said = |call| shown(PageLanguage::Spanish, &CallText::Treatment(Side::Left, call));
    let unscored = |casts| said(TreatmentCallText::CastsUnscored { casts, scored: None });
    assert_eq!(unscored(1), "Pie izquierdo: 1 yeso sin puntuación; pie nunca puntuado.");
    assert_eq!(unscored(2), "Pie izquierdo: 2 yesos sin puntuación; pie nunca puntuado.");
    let worse = FindingCallText::ScoreWorse { now: Halves(5), on, was: Halves(2), before: on - 7 };
    assert_eq!(
        shown(PageLanguage::Spanish, &CallText::Finding(Side::Right, worse)),
        "Pie derecho: total de Pirani 2,5 el 3 de mayo de 2024; 1 el 26 de abril de 2024."
    );
    let fell = WearCallText::Fell {
        how: WearKind::Logged,
        before: RoundedNumber(11.875),
        after: RoundedNumber(8.0),
        week: on,
    };
    assert_eq!(
        shown(PageLanguage::Spanish, &CallText::Wear(fell)),
        "El uso de la férula, según el sensor, bajó de 11,9 a 8,0 horas al día en la semana del 3 de mayo de 2024."
    );
    let boot = BraceCallText::BootTooSmall { side: Side::Left, inner_mm: 105, foot_mm: 106, on };
    assert_eq!(
        shown(PageLanguage::Spanish, &CallText::Brace(boot)),
        "Bota izquierda, 105 mm por dentro, es demasiado pequeña: el pie medía 106 mm el 3 de mayo de 2024."
    );
}

/// Only the question itself and words that were saved stay English; the foot before them is translated.
#[test]
fn what_stays_english_is_marked() {
    let [of_foot, of_child, saved] =
        english_only().map(|call| PageLanguage::Spanish.call(&call).into_string());
    let marked = "<span lang=\"en\">Weight is not recorded.</span>";
    assert_eq!(of_foot, format!("Pie derecho: {marked}"));
    assert_eq!((of_child.as_str(), saved.as_str()), (marked, marked));
    for call in calls() {
        assert!(!PageLanguage::Spanish.call(&call).into_string().contains("lang="), "{call:?}");
    }
}

/// A call for every step in which one can stand.
pub fn steps_with(call: &CallText) -> [StepText; 3] {
    [
        StepText::Call(call.clone()),
        StepText::CallToday(call.clone()),
        StepText::BroughtForward(Box::new(StepText::BraceReview), call.clone()),
    ]
}
