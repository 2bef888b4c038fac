//! The brace bench of a child: measuring, the fit, saving it, and the sheet to print.

use super::{
    add::SAVED_ALREADY,
    child::id,
    confirm::{self, Outcome},
    stock,
    write::{self, Draft, Pen, Written},
};
use crate::{
    app::App,
    forms,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use growth::{Growing, Growth};
use guidance::brace::{BraceFit, FootFit, Outgrowing};
use pages::{
    BraceFittingView, Frame, Here, Message,
    fields::{self, Filled, visit as names},
    parts::Who,
};
use record::{ChildId, Day, UserId};
use serde::Deserialize;

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct BraceFittingQuery {
    done: Option<String>,
}

/// The bench.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<String>,
    Query(asked): Query<BraceFittingQuery>,
) -> PageResult {
    let child: ChildId = id(&child)?;
    let mut frame = app.frame(&visitor, Here::Elsewhere);
    frame.message = match asked.done.as_deref() {
        Some("measured") => {
            Some(Message::Done("What was measured is saved. The fit below goes by it.".to_owned()))
        }
        Some("fitted") => Some(Message::Done("The settings are saved.".to_owned())),
        _ => None,
    };
    page(work(&app, move |app| shown(app, &frame, child, None, None)).await?)
}

/// The sheet to print.
pub async fn sheet(State(app): State<Shared>, visitor: Visitor, Path(child): Path<String>) -> PageResult {
    let child: ChildId = id(&child)?;
    let frame = app.frame(&visitor, Here::Elsewhere);
    let drawn = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let stock = stock::in_force(app).unwrap_or_default();
        let fit = BraceFit::of(&known.outlook.course, app.protocol(), &stock);
        let view = view(app, &known, &fit, None, (None, None));
        Ok(pages::brace_sheet(&frame, &view))
    });
    page(drawn.await?)
}

fn shown(
    app: &App,
    frame: &Frame,
    child: ChildId,
    measures: Option<Filled>,
    settings: Option<Filled>,
) -> Result<maud::Markup, Fail> {
    let known = app.known(child, app.clock.today())?;
    let stock = stock::in_force(app).unwrap_or_default();
    let course = &known.outlook.course;
    let fit = BraceFit::of(course, app.protocol(), &stock);
    let outgrowing = Outgrowing::of(course, app.protocol());
    let mut view = view(app, &known, &fit, outgrowing.as_ref(), (measures, settings));
    view.has_stock = !stock.is_empty();
    Ok(pages::brace_fitting(frame, &view))
}

fn view<'a>(
    app: &App,
    known: &'a ChildRecord,
    fit: &'a BraceFit,
    outgrowing: Option<&'a Outgrowing>,
    (measures, settings): (Option<Filled>, Option<Filled>),
) -> BraceFittingView<'a> {
    let course = &known.outlook.course;
    let growing = Growing::of(course).filter(|child| !child.feet.is_empty());
    BraceFittingView {
        who: Who::of(course),
        course,
        fit,
        outgrowing,
        curves: growing.map(|child| Growth::of(child).curves()),
        has_stock: false,
        measures: measures.unwrap_or_default(),
        settings: settings.unwrap_or_else(|| proposed(course, fit)),
        once: [app.once().to_string(), app.once().to_string()],
    }
}

/// The settings that follow from the fit; what could not be worked out stays empty.
fn proposed(course: &course::Course, fit: &BraceFit) -> Filled {
    let mut filled = Filled::default();
    let mut put = |name: String, value: Option<String>| {
        if let Some(value) = value {
            filled.values.insert(name, value);
        }
    };
    let worn = course.brace_now();
    put(names::BRACE.to_owned(), Some(if worn.is_some() { "size" } else { "fitted" }.to_owned()));
    if worn.is_none() {
        put(names::BRACE_REGIME.to_owned(), Some("full_time".to_owned()));
    }
    put(names::BRACE_BAR_MM.to_owned(), fit.bar.length.map(|(mm, _)| mm.to_string()));
    for foot in &fit.feet {
        let name = |what: &str| names::boot(foot.side, what);
        put(name("abduction_deg"), foot.outward.set.map(|span| span.high.to_string()));
        put(name("dorsiflexion_deg"), foot.bend.set.map(|span| span.low.to_string()));
        put(name("length_mm"), inner(foot).map(|mm| mm.to_string()));
        put(name("size"), matched(foot).map(|found| found.boot.label.clone()));
    }
    filled
}

fn matched(foot: &FootFit) -> Option<&guidance::brace::Matched> {
    foot.boot.as_ref()?.matched.as_ref()
}

/// The inside of the boot of the list; without one nothing is proposed, for it must be measured.
fn inner(foot: &FootFit) -> Option<u16> {
    matched(foot).map(|found| found.boot.inner_mm)
}

/// Saves what was measured.
pub async fn measure(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<String>,
    Posted(filled): Posted,
) -> PageResult {
    save(
        &app,
        &visitor,
        &child,
        filled,
        Form { read: forms::bench_measures, back: |filled| (Some(filled), None), done: "measured" },
    )
    .await
}

/// Saves the settings.
pub async fn fit(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<String>,
    Posted(filled): Posted,
) -> PageResult {
    save(
        &app,
        &visitor,
        &child,
        filled,
        Form { read: forms::bench_settings, back: |filled| (None, Some(filled)), done: "fitted" },
    )
    .await
}

/// One of the two forms of the bench.
#[derive(Clone, Copy)]
struct Form {
    read: fn(&Filled, Day) -> Result<forms::Visit, Vec<fields::FieldError>>,
    /// Which of the two forms is shown again with what stood in it.
    back: fn(Filled) -> (Option<Filled>, Option<Filled>),
    done: &'static str,
}

async fn save(app: &Shared, visitor: &Visitor, child: &str, filled: Filled, form: Form) -> PageResult {
    let (child, by): (ChildId, UserId) = (id(child)?, visitor.user()?);
    let frame = app.frame(visitor, Here::Elsewhere);
    let outcome = work(app, move |app| {
        let today = app.clock.today();
        // Nothing is ever written about a child who is not there.
        app.known(child, today)?;
        let read = (form.read)(&filled, today);
        saved(app, (child, by), filled, read).map(|outcome| {
            outcome.map_err(|filled| {
                let (measures, settings) = (form.back)(filled);
                shown(app, &frame, child, measures, settings)
            })
        })
    });
    match outcome.await? {
        Ok(()) => to(&format!("/child/{child}/brace?done={}", form.done)),
        Err(page) => again(page?),
    }
}

/// Writes the entries of a form, or gives the form back with what is wrong.
fn saved(
    app: &App,
    (child, by): (ChildId, UserId),
    filled: Filled,
    read: Result<forms::Visit, Vec<fields::FieldError>>,
) -> Result<Result<(), Filled>, Fail> {
    let visit = match read {
        Ok(visit) => visit,
        Err(errors) => return Ok(Err(Filled { errors, ..filled })),
    };
    let pen = Pen { child, by, once: write::once(app, filled.value(fields::ONCE)) };
    let drafts = visit.drafts.iter().map(|draft| Draft::new(draft.body.clone(), visit.on)).collect();
    let known = app.known(child, app.clock.today())?;
    Ok(match confirm::write(app, pen, &known.entries, drafts, &filled)? {
        Outcome::Done(Written::Now | Written::Before) => Ok(()),
        Outcome::Done(Written::Otherwise) => Err(filled.wrong("", SAVED_ALREADY)),
        Outcome::Ask(asked) => Err(asked),
    })
}
