//! Photographs in a letter to a colleague. They are chosen by a person, recorded with the letter before it is shown, and
//! shown only while the family consents to photographs in letters.

use super::shown::{consent_now, kept_of, shown};
use crate::{
    app::App,
    forms,
    routes::{
        document_pdf::{self, PaperQuery},
        form_drafts,
        letters::{document_of, drawn_with, writer},
        submission::{Draft, Submission},
    },
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::{ChildPhotographs, ChildRecord, KeptPhotograph, KeptSize, PhotographUses};
use letters::{
    ColleagueDocumentKind, LastHanded, LetterPhotograph, handed_with_photographs,
    pdf::{colleague_pdf, photographs_pdf},
};
use maud::{Markup, html};
use pages::{
    CHOSEN_VIEWS, Frame, Here, LetterPair, LetterPhotographsView, RequestError, document_handed::TO,
    fields::Filled, pair_name,
};
use photographs::for_print;
use record::{
    Body, ChildId, CorrectedLog, Day, DocumentHanded, EntryId, FamilyLanguage, PhotographView, Sides,
};

/// The most views of which the photographs go into one letter, two of each.
const MOST_VIEWS: usize = 4;

fn kind_of(key: &str) -> Result<ColleagueDocumentKind, Fail> {
    ColleagueDocumentKind::from_key(key).ok_or_else(Fail::not_found)
}

/// Why no photograph of a child may be in a letter today; `None` where they may.
fn not_allowed(app: &App, known: &ChildRecord) -> Result<Option<String>, Fail> {
    let consent = consent_now(app, known)?;
    if PhotographUses::of(consent, &known.outlook.course).letters {
        return Ok(None);
    }
    Ok(Some(if consent.is_in_force() {
        "The family consents to photographs in the record. It has not said that they may be in letters to colleagues: ask it, and record its answer.".to_owned()
    } else {
        super::shown::consent_words(consent, "photographs").words
    }))
}

/// Of each view of each foot the first and the latest, or the only one.
fn first_and_latest(kept: &ChildPhotographs) -> Vec<(Sides, PhotographView, Vec<&KeptPhotograph>)> {
    let mut found = Vec::new();
    for feet in [Sides::Right, Sides::Left, Sides::Both] {
        for &view in PhotographView::ALL {
            let mut of = kept
                .photographs
                .iter()
                .filter(|one| (one.photograph.side, one.photograph.view) == (feet, view));
            if let Some(first) = of.next() {
                found.push((feet, view, std::iter::once(first).chain(of.next_back()).collect()));
            }
        }
    }
    found
}

/// The form.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, key)): Path<(ChildId, String)>,
) -> PageResult {
    let (kind, user, mut frame) = (kind_of(&key)?, visitor.user()?, app.frame(&visitor, Here::Child));
    let drawn = work(&app, move |app| {
        let known = app.known(child, app.clock.today())?;
        let name = format!("/child/{child}/letters/{}/photographs", kind.key());
        // Without a consent there is no form into which a draft could be filled.
        let filled = match not_allowed(app, &known)? {
            Some(_) => Filled::default(),
            None => form_drafts::begin(app, user, &name, &mut frame, Filled::default())?,
        };
        drawn(app, &frame, &known, kind, filled)
    });
    show(drawn.await?)
}

fn drawn(
    app: &App,
    frame: &Frame,
    known: &ChildRecord,
    kind: ColleagueDocumentKind,
    filled: Filled,
) -> Result<Markup, Fail> {
    let refused = not_allowed(app, known)?;
    let kept = kept_of(app, known, app.clock.today())?;
    let pairs = if refused.is_some() { Vec::new() } else { first_and_latest(&kept) };
    let pairs = pairs.into_iter().map(|(feet, view, photographs)| {
        let photographs = photographs.into_iter().map(|one| shown(app, &kept, one.clone())).collect();
        LetterPair { feet, view, photographs }
    });
    let view = LetterPhotographsView {
        who: app.who(&known.outlook.course),
        letter: (kind.key(), kind.words()),
        refused,
        pairs: pairs.collect(),
        filled,
        once: app.once().to_string(),
    };
    Ok(pages::letter_photographs(frame, &view))
}

/// Records the letter with its photographs, and leads to it.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, key), by, filled }: PostedTo<(ChildId, String)>,
) -> PageResult {
    let (kind, frame, writer) = (kind_of(&key)?, app.frame(&visitor, Here::Child), writer(&visitor));
    let saved = work(&app, move |app| {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        // What refuses the letter itself refuses it before anything is recorded.
        document_of(app, &known, kind, (&writer, today))?;
        let body = match chosen(app, &known, kind, &filled)? {
            Ok(body) => body,
            Err(form) => return drawn(app, &frame, &known, kind, form).map(Err),
        };
        let submission = Submission::of_form(app, child, by, &filled);
        match submission.save(app, vec![Draft::new(body, today)])?.or_form(&filled) {
            Ok(()) => Ok(Ok(submission.saved_first(app)?.ok_or_else(Fail::not_found)?.id)),
            Err(form) => drawn(app, &frame, &known, kind, form).map(Err),
        }
    });
    match saved.await? {
        Ok(entry) => to(&format!("/child/{child}/letters/{key}/with/{entry}")),
        Err(form) => again(form),
    }
}

/// The entry of a form, or the form with what is wrong.
fn chosen(
    app: &App,
    known: &ChildRecord,
    kind: ColleagueDocumentKind,
    filled: &Filled,
) -> Result<Result<Body, Filled>, Fail> {
    if let Some(why) = not_allowed(app, known)? {
        return Ok(Err(filled.clone().wrong("", why)));
    }
    let kept = kept_of(app, known, app.clock.today())?;
    let mut views = first_and_latest(&kept);
    views.retain(|(feet, view, _)| filled.value(&pair_name(*feet, *view)) == "yes");
    let mut form = filled.clone();
    if filled.given(TO).is_none() {
        form = form.wrong(TO, "Say to whom the letter goes.");
    }
    match views.len() {
        0 => {
            form =
                form.wrong(CHOSEN_VIEWS, "Choose at least one view, or open the letter without photographs.")
        }
        1..=MOST_VIEWS => {}
        _ => form = form.wrong(CHOSEN_VIEWS, format!("Choose at most {MOST_VIEWS} views for one letter.")),
    }
    let body = Body::from(DocumentHanded {
        to: filled.given(TO).map(str::to_owned),
        photographs: views.iter().flat_map(|(_, _, two)| two.iter().map(|one| one.entry)).collect(),
        ..DocumentHanded::of(kind.recorded(), FamilyLanguage::English)
    });
    if form.errors.is_empty() {
        let errors = forms::refused(&body, app.clock.today(), TO);
        form = errors.into_iter().fold(form, |form, error| form.wrong(error.field, error.text));
    }
    Ok(if form.errors.is_empty() { Ok(body) } else { Err(form) })
}

/// A letter that was recorded with photographs: the record as of the day on which it was handed over, and the photographs
/// as they are corrected today.
struct RecordedLetter {
    on: Day,
    known: std::sync::Arc<ChildRecord>,
    photographs: Vec<KeptPhotograph>,
}

impl RecordedLetter {
    fn of(app: &App, child: ChildId, kind: ColleagueDocumentKind, entry: EntryId) -> Result<Self, Fail> {
        let today = app.clock.today();
        let known = app.known(child, today)?;
        let found = handed_with_photographs(&CorrectedLog::of(&known.entries, today)).into_iter();
        let LastHanded { on, handed, .. } = found
            .filter(|one| one.handed.document == kind.recorded())
            .find(|one| one.entry == entry)
            .ok_or_else(Fail::not_found)?;
        if let Some(why) = not_allowed(app, &known)? {
            return Err(Fail(RequestError::Refused(why)));
        }
        let kept = kept_of(app, &known, today)?;
        let of = |id: &EntryId| kept.photographs.iter().find(|one| one.entry == *id).cloned();
        let photographs: Option<Vec<KeptPhotograph>> = handed.photographs.iter().map(of).collect();
        let photographs = photographs.ok_or_else(|| {
            let text = "A photograph of this letter was withdrawn since. Make the letter again.";
            Fail(RequestError::Refused(text.to_owned()))
        })?;
        Ok(Self { on, known: app.known(child, on)?, photographs })
    }

    fn in_letter(&self) -> Vec<LetterPhotograph> {
        let child = self.known.outlook.course.child;
        let of = |one: &KeptPhotograph| LetterPhotograph {
            on: one.on,
            feet: one.photograph.side,
            view: one.photograph.view,
            src: format!("/child/{child}/photographs/{}/whole", one.entry),
        };
        self.photographs.iter().map(of).collect()
    }

    /// The photographs for paper, in their order.
    fn jpegs(&self, app: &App) -> Result<Vec<Vec<u8>>, Fail> {
        let mut jpegs = Vec::new();
        for one in &self.photographs {
            let kept = app.pictures().read(one.photograph.picture, KeptSize::Whole)?.ok_or_else(not_kept)?;
            jpegs.push(for_print(&kept).map_err(|_| not_kept())?);
        }
        Ok(jpegs)
    }
}

/// The letter with its photographs.
pub async fn letter(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, key, entry)): Path<(ChildId, String, EntryId)>,
) -> PageResult {
    let (kind, writer) = (kind_of(&key)?, writer(&visitor));
    let markup = work(&app, move |app| {
        let letter = RecordedLetter::of(app, child, kind, entry)?;
        let address = format!("/child/{child}/letters/{}/with/{entry}", kind.key());
        let above = html! {
            p {
                a href={ "/child/" (child) "/letters/" (kind.key()) } { "Back to the letter without photographs" }
                " · Recorded as handed over on " (letter.on.words()) ". Read it, then print this page with the browser, or open it "
                a href={ (address) "/letter/pdf" } { "as PDF" }
                ". · " a href={ (address) "/pdf" } { "The photographs as PDF" }
                " · " a href={ "/child/" (child) "/entry/" (entry) } { "It was not handed over: withdraw the entry" }
            }
        };
        drawn_with(app, &letter.known, kind, (&writer, letter.on), letter.in_letter(), &above)
    });
    show(markup.await?)
}

/// The photographs of the letter as PDF, each reduced.
pub async fn pdf(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, key, entry)): Path<(ChildId, String, EntryId)>,
) -> PageResult {
    let (kind, writer) = (kind_of(&key)?, writer(&visitor));
    let bytes = work(&app, move |app| {
        let letter = RecordedLetter::of(app, child, kind, entry)?;
        let whose = document_of(app, &letter.known, kind, (&writer, letter.on))?.whose;
        let photographs = letter.in_letter().into_iter().zip(letter.jpegs(app)?).collect();
        photographs_pdf(&whose, photographs, app.settings().paper, letter.on).map_err(document_pdf::refused)
    });
    Ok(document_pdf::answer("photographs", bytes.await?))
}

/// The letter with its photographs behind it as PDF, each photograph reduced.
pub async fn whole_pdf(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, key, entry)): Path<(ChildId, String, EntryId)>,
    Query(on): Query<PaperQuery>,
) -> PageResult {
    let (kind, writer, paper) = (kind_of(&key)?, writer(&visitor), on.paper(app.settings().paper)?);
    let bytes = work(&app, move |app| {
        let letter = RecordedLetter::of(app, child, kind, entry)?;
        let document = document_of(app, &letter.known, kind, (&writer, letter.on))?;
        let (document, jpegs) = (document.with_photographs(letter.in_letter()), letter.jpegs(app)?);
        let head = app.contact().head();
        colleague_pdf(&document, head.as_ref(), jpegs, paper, letter.on).map_err(document_pdf::refused)
    });
    Ok(document_pdf::answer(&format!("{}-with-photographs", kind.key()), bytes.await?))
}

fn not_kept() -> Fail {
    let text = "A photograph of this letter is not among those that are kept, or it is damaged.";
    Fail(RequestError::Refused(text.to_owned()))
}
