//! Fitting the brace of a child: measuring, the fit, saving it, and the sheet to print.

use super::{
    confirm, form_drafts, stock_of_entry,
    submission::{Draft, Submission},
    visit_outcome::VisitOutcome,
};
use crate::{
    app::App,
    forms, stock_file,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use course::Course;
use growth::{Curves, Growing, Growth};
use guidance::brace::{BraceFit, FootFit, Outgrowing, Stock};
use pages::{
    BraceFittingView, Frame, Here, Message,
    fields::{self, Filled, visit as names},
};
use record::{ChildId, Day, UserId};
use serde::Deserialize;

/// What was just saved.
#[derive(Debug, Deserialize)]
pub struct BraceFittingQuery {
    done: Option<String>,
    /// The fitting that was just saved, of which is said what it took out of stock.
    entry: Option<String>,
}

/// The page.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(asked): Query<BraceFittingQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Child);
    frame.message = match asked.done.as_deref() {
        Some("measured") => {
            Some(Message::Done("The measurements are saved and used for the fit below.".to_owned()))
        }
        Some("fitted") => Some(Message::Done("The settings are saved.".to_owned())),
        _ => None,
    };
    let (entry, user) = (asked.entry.unwrap_or_default(), visitor.user()?);
    let drawn = work(&app, move |app| {
        let stock = stock_of_entry::said(app, child, &entry)?;
        frame.message = frame.message.map(|message| message.with(&stock));
        let [measures, settings] = [MEASURES, SETTINGS].map(|form| form.name(child));
        let measures = form_drafts::restored(app, user, &measures, &mut frame)?;
        let settings = form_drafts::restored(app, user, &settings, &mut frame)?;
        shown(app, &frame, child, measures, settings)
    });
    page(drawn.await?)
}

/// The sheet to print.
pub async fn sheet(State(app): State<Shared>, visitor: Visitor, Path(child): Path<ChildId>) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let drawn = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let stock = stock_file::in_force(app).unwrap_or_default();
        let fit = BraceFit::of(&known.outlook.course, &app.protocol(), &stock);
        let view = view(app, &known, (&fit, &stock), None, (None, None));
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
    let stock = stock_file::in_force(app).unwrap_or_default();
    let course = &known.outlook.course;
    let fit = BraceFit::of(course, &app.protocol(), &stock);
    let outgrowing = Outgrowing::of(course, &app.protocol());
    let mut view = view(app, &known, (&fit, &stock), outgrowing.as_ref(), (measures, settings));
    view.on_photographs = super::photographs::lengths_of(app, &known, app.clock.today())?;
    view.days = VisitOutcome::of_empty(app, child, app.clock.today())?.view().days;
    Ok(pages::brace_fitting(frame, &view))
}

/// The growth of the feet, where the day of birth is known and a foot was measured.
pub(super) fn curves(course: &Course) -> Option<Curves> {
    let growing = Growing::of(course).filter(|child| !child.feet.is_empty());
    growing.map(|child| Growth::of(child).curves())
}

fn view<'a>(
    app: &App,
    known: &'a ChildRecord,
    (fit, stock): (&'a BraceFit, &'a Stock),
    outgrowing: Option<&'a Outgrowing>,
    (measures, settings): (Option<Filled>, Option<Filled>),
) -> BraceFittingView<'a> {
    let course = &known.outlook.course;
    BraceFittingView {
        who: app.who(course),
        course,
        fit,
        outgrowing,
        curves: curves(course),
        on_photographs: Vec::new(),
        stock,
        days: Vec::new(),
        measures: measures.unwrap_or_default().with(fields::DRAFT, MEASURES.name(course.child)),
        settings: settings
            .unwrap_or_else(|| proposed(course, fit, stock))
            .with(fields::DRAFT, SETTINGS.name(course.child)),
        once: [app.once().to_string(), app.once().to_string()],
    }
}

/// The settings that follow from the fit; what could not be calculated stays empty.
fn proposed(course: &course::Course, fit: &BraceFit, stock: &Stock) -> Filled {
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
        put(name("size"), matched(foot).map(|found| found.boot.label.clone()));
    }
    put(names::STOCK_TAKE.to_owned(), (!stock.is_empty()).then(|| "yes".to_owned()));
    // A first brace needs a bar; a new size may be of the boots alone.
    let bar = fit.bar.matched.iter().find(|bar| worn.is_none() && bar.in_store != Some(0));
    put(names::STOCK_BAR.to_owned(), bar.map(|bar| bar.label.clone()));
    filled
}

fn matched(foot: &FootFit) -> Option<&guidance::brace::Matched> {
    foot.boot.as_ref()?.matched.as_ref()
}

/// Saves what was measured.
pub async fn measure(State(app): State<Shared>, visitor: Visitor, form: PostedTo<ChildId>) -> PageResult {
    save(&app, &visitor, form, MEASURES).await
}

/// Saves the settings.
pub async fn fit(State(app): State<Shared>, visitor: Visitor, form: PostedTo<ChildId>) -> PageResult {
    save(&app, &visitor, form, SETTINGS).await
}

/// One of the two forms of the page.
#[derive(Clone, Copy)]
struct Form {
    read: fn(&Filled, Day) -> Result<forms::Visit, Vec<fields::FieldError>>,
    /// The two forms of the page, this one as it was sent.
    back: fn(Filled) -> (Option<Filled>, Option<Filled>),
    done: &'static str,
    /// The last part of the path to which it is sent.
    path: &'static str,
}

impl Form {
    /// The name of the form for its draft.
    fn name(&self, child: ChildId) -> String {
        format!("/child/{child}/brace/{}", self.path)
    }
}

const MEASURES: Form = Form {
    read: forms::brace_measures,
    back: |filled| (Some(filled), None),
    done: "measured",
    path: "measure",
};
const SETTINGS: Form =
    Form { read: forms::brace_settings, back: |filled| (None, Some(filled)), done: "fitted", path: "fit" };

async fn save(app: &Shared, visitor: &Visitor, sent: PostedTo<ChildId>, form: Form) -> PageResult {
    let PostedTo { path: child, by, filled } = sent;
    let frame = app.frame(visitor, Here::Child);
    let outcome = work(app, move |app| {
        let today = app.clock.today();
        // Nothing may be saved about a child who is not on record.
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
        Ok(fitted) => to(&format!("/child/{child}/brace?done={}{fitted}", form.done)),
        Err(page) => again(page?),
    }
}

/// Saves the entries of a form and takes what they hand out of stock, or returns the form with what is wrong. Once
/// it is saved the result is the part of the address that names the fitting.
fn saved(
    app: &App,
    (child, by): (ChildId, UserId),
    filled: Filled,
    read: Result<forms::Visit, Vec<fields::FieldError>>,
) -> Result<Result<String, Filled>, Fail> {
    let stock = stock_file::in_force(app).unwrap_or_default();
    let visit = match read.and_then(|visit| forms::with_listed_lengths(visit, &stock)) {
        Ok(visit) => visit,
        Err(errors) => return Ok(Err(Filled { errors, ..filled })),
    };
    let submission = Submission::of_form(app, child, by, &filled);
    let drafts: Vec<Draft> =
        visit.drafts.iter().map(|draft| Draft::new(draft.body.clone(), visit.on)).collect();
    let known = app.known(child, app.clock.today())?;
    let entries = submission.entries(app, drafts.clone());
    let outcome = confirm::save(app, submission, &known.entries, drafts, &filled)?.or_form(&filled);
    let fitted = stock_of_entry::handing_out(&entries).map_or_else(String::new, |entry| {
        if outcome.is_ok() {
            stock_of_entry::taken(app, by, &known.entries, entry, &filled);
        }
        format!("&entry={}", entry.id)
    });
    Ok(outcome.map(|()| fitted))
}
