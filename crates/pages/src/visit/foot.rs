//! One foot of the visit: six signs, movement, what was done. The first sign stands as high as it can, because
//! every visit begins with it.

use super::{VisitView, jump::jump, pointers::Pointers, rest};
use crate::{
    HelpPart,
    fields::{Field, Filled, What, visit as names},
    help,
    parts::{self, Stepper, Tile},
    words,
};
use course::{AssessmentSeen, FootCourse, Phase};
use maud::{Markup, html};
use record::{
    Anaesthesia, AngleItem, CastMaterial, CastPurpose, DimeglioSign, HalfPoint, Pirani, RelapseGrade,
    RemovalReason, Side, Sign, SubScore, Walking, WalkingItem, bounds,
};

/// The section on one foot; closed for a foot that is not affected.
pub(super) fn foot(view: &VisitView<'_>, pointers: &Pointers, side: Side) -> Markup {
    let course = view.outlook.course.foot(side);
    html! {
        @if is_open(view, side) {
            section.foot aria-labelledby={ (side) "-foot" } {
                (head(view, side))
                (inside(view, pointers, side, course))
            }
        } @else {
            details.foot.foot-closed {
                summary id={ (side) "-foot-fold" } { span.foot-closed-name { (side.title()) " foot" } " not recorded as affected. Open to record something about it." }
                (head(view, side))
                (inside(view, pointers, side, course))
            }
        }
    }
}

/// Whether a foot is affected, as known today: a foot known since the day of a visit that is written up later is
/// open, and so is each foot where nobody knows.
fn is_open(view: &VisitView<'_>, side: Side) -> bool {
    let affected = view.who.sides.is_none_or(|sides| sides.each().contains(&side));
    affected || view.outlook.course.foot(side).is_some() || view.filled.any_under(&format!("{side}."))
}

/// The id of the first control of a foot's section.
fn start_id(view: &VisitView<'_>, side: Side) -> String {
    if !is_open(view, side) {
        return format!("{side}-foot-fold");
    }
    // Four answers, of which the last says that the sign was not assessed.
    let sign = Sign::ALL[0];
    let answer = entered(&view.filled, side).sign(sign);
    let place =
        HalfPoint::ALL.iter().position(|point| Some(*point) == answer).unwrap_or(HalfPoint::ALL.len());
    format!("{}-{place}", parts::field_id(&names::sign(side, sign)))
}

/// The head of the section, which stays at the top while the foot is on the screen: foot, child and current score.
fn head(view: &VisitView<'_>, side: Side) -> Markup {
    let pirani = entered(&view.filled, side);
    html! {
        div.foot-head {
            h2 id={ (side) "-foot" } { (side.title()) " foot" }
            (score(side, &Sign::ALL, &pirani, 6, "total"))
            p.foot-whose { (view.who.shown_name()) ", " (view.who.age(view.now.on)) ", " (view.who.number()) }
        }
    }
}

fn inside(view: &VisitView<'_>, pointers: &Pointers, side: Side, course: Option<&FootCourse>) -> Markup {
    let last = course.and_then(FootCourse::last_pirani);
    html! {
        (so_far(view, course, last))
        (signs(&view.filled, side, SubScore::Midfoot, last))
        (signs(&view.filled, side, SubScore::Hindfoot, last))
        (jump(&done_id(view, pointers, side, course), &format!("To what was done to the {side} foot")))
        (how_to_assess(side))
        (movement(&view.filled, side, course))
        (done(view, pointers, side, course))
        (dimeglio(&view.filled, side))
        (walking(view, side))
        (relapse(&view.filled, side, course))
    }
}

fn so_far(view: &VisitView<'_>, course: Option<&FootCourse>, last: Option<&AssessmentSeen>) -> Markup {
    html! {
        p.foot-so-far {
            @match course {
                Some(foot) => { (words::capital(foot.phase.words())) @if foot.episode > 1 { ", episode " (foot.episode) } ". " },
                None => "Nothing is recorded about this foot. ",
            }
            @if let Some(scored) = last {
                @match scored.pirani.total() {
                    Some(total) => { "Last score " strong { (total) } " on " (words::day_and_relative(scored.on, view.now.on)) "." },
                    None => { "Last score incomplete, on " (words::day_and_relative(scored.on, view.now.on)) "." },
                }
            }
        }
    }
}

/// The signs entered so far. Only the values that the form offers count as an answer.
pub(crate) fn entered(filled: &Filled, side: Side) -> Pirani {
    let mut pirani = Pirani::default();
    for sign in Sign::ALL {
        let value = filled.given(&names::sign(side, sign));
        pirani.set(sign, value.and_then(HalfPoint::from_text));
    }
    pirani
}

/// A sum, computed on the server and updated by the script while the form is filled in.
pub(crate) fn score(side: Side, signs: &[Sign], pirani: &Pirani, most: u8, class: &str) -> Markup {
    let fields: Vec<String> = signs.iter().map(|sign| names::sign(side, *sign)).collect();
    let answered = signs.iter().filter(|sign| pirani.sign(**sign).is_some()).count();
    let sum = match class {
        "total" => pirani.total(),
        "midfoot" => pirani.midfoot(),
        _ => pirani.hindfoot(),
    };
    let live = (class == "total").then_some("polite");
    html! {
        output class={ "score score-" (class) } data-sum=(fields.join(" ")) data-most=(most) aria-live=(live.unwrap_or("off")) {
            @match sum {
                Some(sum) => { (sum) " of " (most) },
                None if answered == 0 => "not scored",
                None => { "incomplete, " (answered) " of " (signs.len()) " signs" },
            }
        }
    }
}

/// The three signs of a part of the score. `last` marks the answers of the last visit, where they may be shown.
pub(crate) fn signs(filled: &Filled, side: Side, part: SubScore, last: Option<&AssessmentSeen>) -> Markup {
    let signs: Vec<Sign> = Sign::ALL.into_iter().filter(|sign| sign.part() == part).collect();
    let (id, class) = match part {
        SubScore::Midfoot => (format!("{side}-midfoot"), "midfoot"),
        SubScore::Hindfoot => (format!("{side}-hindfoot"), "hindfoot"),
    };
    html! {
        div.signs role="group" aria-labelledby=(id) {
            div.signs-head { h3 id=(id) { (part.name()) } (score(side, &signs, &entered(filled, side), 3, class)) }
            @for sign in signs { (one_sign(filled, side, sign, last.and_then(|scored| scored.pirani.sign(sign)))) }
        }
    }
}

fn one_sign(filled: &Filled, side: Side, sign: Sign, last: Option<HalfPoint>) -> Markup {
    let mut tiles: Vec<Tile<'_>> = HalfPoint::ALL
        .into_iter()
        .map(|point| {
            Tile::new(point.text(), point.text()).meaning(sign.meaning(point)).last(last == Some(point))
        })
        .collect();
    tiles.push(Tile::none("not assessed"));
    let legend = html! { span.sr { (side.title()) " foot: " } (sign.name()) };
    html! {
        div.sign {
            (parts::tiles(filled, &names::sign(side, sign), "sign-tiles", &legend, &tiles))
            (how_to_look(sign, "look-link", true))
        }
    }
}

/// The link to the drawings of a sign, in a new tab, so that the form stays as it is. Beside the sign it is for
/// fingers and the mouse: as a stop of the tab key twelve of them would lie between the answers, and the keyboard has
/// the same links in the fold below the signs.
fn how_to_look(sign: Sign, class: &str, pointed_at: bool) -> Markup {
    let href = format!("{}#{}", HelpPart::Signs.href(), help::sign_anchor(sign));
    html! {
        a class=(class) href=(href) target="_blank" rel="noopener" tabindex=[pointed_at.then_some("-1")] {
            "how to look" span.sr { " for: " (sign.name()) ", in a new tab" }
        }
    }
}

/// How each sign is assessed, folded: one stop of the tab key for all six.
pub(crate) fn how_to_assess(side: Side) -> Markup {
    html! {
        details.how {
            summary { "How to assess the six signs" span.sr { ", " (side) " foot" } }
            dl { @for sign in Sign::ALL { dt { (sign.name()) } dd { (sign.how()) "; " (how_to_look(sign, "look-on", false)) "." } } }
        }
    }
}

fn movement(filled: &Filled, side: Side, course: Option<&FootCourse>) -> Markup {
    let whole = |bound: (f64, f64)| {
        // The bounds are whole numbers well within 32 bits.
        #[allow(clippy::cast_possible_truncation)]
        (bound.0 as i32, bound.1 as i32)
    };
    let last_length =
        course.and_then(|foot| foot.scores.iter().rev().find_map(|scored| scored.foot_length_mm));
    let steppers = [
        (
            names::abduction_deg(side),
            "Abduction",
            "°",
            5,
            bounds::ABDUCTION.possible,
            course.and_then(FootCourse::last_abduction).map(|(_, deg)| deg.into()),
        ),
        (
            names::dorsiflexion_deg(side),
            "Dorsiflexion",
            "°",
            5,
            bounds::DORSIFLEXION.possible,
            course.and_then(FootCourse::last_dorsiflexion).map(|(_, deg)| deg.into()),
        ),
        (
            names::foot_length_mm(side),
            "Foot length",
            "mm",
            1,
            bounds::FOOT_LENGTH.possible,
            last_length.map(i32::from),
        ),
    ];
    html! {
        div.movement role="group" aria-label={ (side.title()) " foot: movement and length" } {
            @for (name, label, unit, step, bound, last) in &steppers {
                (parts::stepper(filled, Stepper { name, label, unit, step: *step, bounds: whole(*bound), last: *last }))
            }
        }
    }
}

fn cast_removal(
    view: &VisitView<'_>,
    pointers: &Pointers,
    side: Side,
    course: Option<&FootCourse>,
) -> Markup {
    let name = names::cast_off(side);
    let on = course.and_then(FootCourse::cast_on);
    let mut tiles = vec![Tile::none(if on.is_some() { "still on" } else { "none came off" })];
    tiles.extend(RemovalReason::ALL.iter().map(|why| {
        Tile::new(why.key(), why.words()).proposed(*why == RemovalReason::Planned && pointers.cast_off(side))
    }));
    let legend = html! {
        span.sr { (side.title()) " foot: " }
        @match on {
            Some(cast) => { "Cast " (cast.number) ", on since " (words::day(cast.on)) " (" (words::span(view.now.on - cast.on)) "): came off" },
            None => "Cast came off",
        }
    };
    let tiles = parts::tiles_with_more(
        &view.filled,
        &name,
        "words",
        &legend,
        &tiles,
        2,
        "It came off for another reason",
    );
    html! {
        @if on.is_some() || view.filled.any_under(&name) { (tiles) }
        @else { details.more { summary { "A cast came off" span.sr { ", " (side) " foot" } } (tiles) } }
    }
}

/// Whether the section on what was done is folded, as for a foot whose casting has ended.
fn is_done_folded(
    view: &VisitView<'_>,
    pointers: &Pointers,
    side: Side,
    course: Option<&FootCourse>,
) -> bool {
    let over = course.is_some_and(|foot| {
        matches!(foot.phase, Phase::FullTimeBracing | Phase::NightTimeBracing | Phase::AfterBracing)
    });
    let proposed = ["done", "book"].iter().any(|answer| pointers.tenotomy(side, answer))
        || CastPurpose::ALL.iter().any(|purpose| pointers.cast(side, purpose.key()));
    let answered = [names::tenotomy(side), names::cast(side), names::cast_off(side)];
    over && !proposed && !answered.iter().any(|name| view.filled.any_under(name))
}

/// The id of the first control on what was done.
fn done_id(view: &VisitView<'_>, pointers: &Pointers, side: Side, course: Option<&FootCourse>) -> String {
    if is_done_folded(view, pointers, side, course) {
        return format!("{side}-done");
    }
    let cast_on = course.and_then(FootCourse::cast_on).is_some();
    let first = if cast_on { names::cast_off(side) } else { names::tenotomy(side) };
    format!("{}-0", parts::field_id(&first))
}

/// What was done: cast off, tenotomy, new cast.
fn done(view: &VisitView<'_>, pointers: &Pointers, side: Side, course: Option<&FootCourse>) -> Markup {
    let questions = html! {
        (cast_removal(view, pointers, side, course))
        (tenotomy(view, pointers, side))
        (new_cast(view, pointers, side))
    };
    html! {
        @if is_done_folded(view, pointers, side, course) {
            details.more { summary id={ (side) "-done" } { "Tenotomy or cast" span.sr { ", " (side) " foot" } } (questions) }
        } @else {
            div.done-today role="group" aria-label={ (side.title()) " foot: what was done at this visit" } { h3 { "Done at this visit" } (questions) }
        }
    }
}

fn new_cast(view: &VisitView<'_>, pointers: &Pointers, side: Side) -> Markup {
    let mut casts = vec![Tile::none("no new cast")];
    casts.extend(
        CastPurpose::ALL
            .iter()
            .map(|each| Tile::new(each.key(), each.words()).proposed(pointers.cast(side, each.key()))),
    );
    let of_foot = html! { span.sr { (side.title()) " foot: " } };
    let abduction = names::cast_abduction_deg(side);
    let label = "Abduction of the foot in the cast";
    let stepper = Stepper { name: &abduction, label, unit: "°", step: 5, bounds: (-60, 90), last: None };
    let mut materials = vec![Tile::none("not recorded")];
    materials.extend(CastMaterial::ALL.iter().map(|each| Tile::new(each.key(), each.words())));
    let (target, words) = match side {
        Side::Right => (start_id(view, Side::Left), "To the left foot"),
        Side::Left => (rest::start_id(), "To the next appointment"),
    };
    html! {
        div.asked {
            (parts::tiles(&view.filled, &names::cast(side), "words", &html! { (of_foot) "New cast: purpose" }, &casts))
            (jump(&target, words))
            div.under.when-chosen {
                (parts::tiles(&view.filled, &names::cast_material(side), "words", &html! { (of_foot) "Cast material" }, &materials))
                (parts::stepper(&view.filled, stepper))
            }
        }
    }
}

fn tenotomy(view: &VisitView<'_>, pointers: &Pointers, side: Side) -> Markup {
    let words = [("done", "done"), ("book", "booked")];
    let mut tiles = vec![Tile::none("none")];
    tiles.extend(words.map(|(key, word)| Tile::new(key, word).proposed(pointers.tenotomy(side, key))));
    let day = names::tenotomy_on(side);
    let id = parts::field_id(&day);
    let plan = view.outlook.course.foot(side).and_then(|foot| foot.tenotomy_plan);
    let legend = html! {
        span.sr { (side.title()) " foot: " } "Heel-cord tenotomy"
        @if let Some(plan) = plan { span.hint { "Booked on " (words::day(plan.booked_on)) @if let Some(day) = plan.planned_on { " for " (words::day(day)) } "." } }
    };
    html! {
        div.asked {
            (parts::tiles(&view.filled, &names::tenotomy(side), "words", &legend, &tiles))
            div.under.when-done { (tenotomy_details(&view.filled, side)) }
            div.under.field.short.when-booked {
                label for=(id) { "If booked: date" }
                input id=(id) name=(day) type="date" value=(view.filled.value(&day)) min=(view.now.on) aria-describedby={ (id) "-hint" };
                p.hint id={ (id) "-hint" } { "Leave it empty if the next appointment below is made for the tenotomy: its date counts." }
                (parts::field_error(&view.filled, &day))
            }
        }
    }
}

/// Asked once a tenotomy was done; its day is that of the visit.
fn tenotomy_details(filled: &Filled, side: Side) -> Markup {
    let mut ways = vec![Tile::none("not recorded")];
    ways.extend(Anaesthesia::ALL.iter().map(|each| Tile::new(each.key(), each.words())));
    let legend = html! { span.sr { (side.title()) " foot: " } "Anaesthetic" };
    let of_foot = |what: &str| format!("{what}, {side} foot");
    html! {
        (parts::tiles(filled, &names::anaesthesia(side), "words", &legend, &ways))
        (parts::field(filled, &Field::new(names::tenotomy_by(side), of_foot("Done by (if not you)"), What::Text)))
        (parts::field(filled, &Field::new(names::tenotomy_complication(side), of_foot("Complications"), What::Text)))
    }
}

/// The eight items of the Dimeglio score, folded.
pub(crate) fn dimeglio(filled: &Filled, side: Side) -> Markup {
    html! {
        details.more open[filled.any_under(&format!("{side}.dimeglio."))] {
            summary { "Dimeglio score" span.sr { ", " (side) " foot" } }
            p.hint { "Degrees of deformity that remain after gentle correction; below zero is past neutral. An angle on the edge of a band counts in the more severe band. The total is calculated when you save." }
            @for item in AngleItem::ALL {
                @let name = names::angle(side, item);
                (parts::stepper(filled, Stepper { name: &name, label: item.name(), unit: "°", step: 5, bounds: (-60, 110), last: None }))
                p.hint { (item.how()) "." }
            }
            @for sign in DimeglioSign::ALL {
                (parts::tiles(filled, &names::dimeglio_sign(side, sign), "words",
                    &html! { span.sr { (side.title()) " foot: " } (sign.name()) span.hint { (sign.how()) "." } },
                    &[Tile::none("not assessed"), Tile::new("yes", "yes"), Tile::new("no", "no")]))
            }
        }
    }
}

fn walking(view: &VisitView<'_>, side: Side) -> Markup {
    let names: Vec<String> = WalkingItem::ALL.iter().map(|item| names::walking(side, *item)).collect();
    let mut entered = Walking::default();
    for (item, name) in WalkingItem::ALL.into_iter().zip(&names) {
        entered.set(item, view.filled.given(name).and_then(|points| points.parse().ok()));
    }
    let answered = WalkingItem::ALL.iter().filter(|item| entered.item(**item).is_some()).count();
    html! {
        details.more open[view.walking_age || answered > 0] {
            summary { "Score at walking age" span.sr { ", " (side) " foot" } }
            p.signs-head { span { "Four questions, 12 is best" }
                output.score data-sum=(names.join(" ")) data-most="12" aria-live="off" {
                    @match entered.total() { Some(total) => { (total) " of 12" }, None if answered == 0 => "not scored", None => { "incomplete, " (answered) " of 4 signs" } }
                }
            }
            @for (item, name) in WalkingItem::ALL.into_iter().zip(&names) { (walking_item(&view.filled, side, item, name)) }
        }
    }
}

fn walking_item(filled: &Filled, side: Side, item: WalkingItem, name: &str) -> Markup {
    let mut tiles: Vec<Tile<'_>> = ["0", "1", "2", "3"]
        .into_iter()
        .zip(item.meanings())
        .map(|(points, meaning)| Tile::new(points, points).meaning(meaning))
        .collect();
    tiles.push(Tile::none("not assessed"));
    parts::tiles(filled, name, "four", &html! { span.sr { (side.title()) " foot: " } (item.name()) }, &tiles)
}

fn relapse(filled: &Filled, side: Side, course: Option<&FootCourse>) -> Markup {
    let name = names::relapse(side);
    let mut tiles = vec![Tile::none("none recorded"), Tile::new("ungraded", "relapse, not graded")];
    tiles.extend(RelapseGrade::ALL.iter().map(|grade| Tile::new(grade.key(), grade.words())));
    let braced = course.is_some_and(|foot| foot.episodes.iter().any(|episode| episode.until.is_some()));
    html! {
        details.more open[filled.any_under(&name) || filled.any_under(&format!("{side}.signs."))] {
            summary { "Relapse" @if !braced { span.rel { " (not yet in a brace)" } } span.sr { ", " (side) " foot" } }
            (parts::tiles(filled, &name, "words tall",
                &html! { span.sr { (side.title()) " foot: " } "Relapse" span.hint { "Grades after Bhaskar and Patni 2013." } }, &tiles))
            p.signs-head { span { "Signs of relapse" } span.hint { "Signs that were not assessed stay “not recorded”." } }
            @for field in names::relapse_signs(side) { (parts::field(filled, &field)) }
        }
    }
}
