//! Naming what was sent: what the child does, the view and the day; only then an entry names the video.

use super::overview::consent_now;
use crate::{
    app::App,
    forms::{self, Reader},
    routes::submission::{Draft, SaveOutcome, Submission},
    video_uploads::VideoFacts,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as show, to, work},
};
use axum::extract::{Path, State};
use clinic::WaitingVideo;
use maud::Markup;
use pages::{
    Frame, Here, VideoNamesView,
    fields::{ACT, Filled, ON, SURE},
};
use record::{Body, ChildId, Day, GaitActivity, GaitVideo, GaitView};
use uuid::Uuid;

/// A video that waits, of a child whose family consents.
struct SentVideo {
    waiting: WaitingVideo,
    facts: VideoFacts,
}

impl SentVideo {
    fn of(app: &App, child: ChildId, upload: Uuid) -> Result<Self, Fail> {
        let known = app.known(child, app.clock.today())?;
        let found = app.videos().waiting(upload)?.filter(|waiting| waiting.child == child);
        let waiting = found.ok_or_else(Fail::not_found)?;
        if !consent_now(app, &known)?.is_in_force() {
            return Err(Fail::not_found());
        }
        let facts = VideoFacts::read(&waiting.facts).ok_or_else(Fail::not_found)?;
        Ok(Self { waiting, facts })
    }

    /// Today as the day only where the file says so itself; otherwise a person types it.
    fn day_of_today(&self, today: Day) -> Filled {
        match self.facts.file_says() {
            Some((day, _)) if day == today => Filled::default().with(ON, today.to_string()),
            _ => Filled::default(),
        }
    }
}

/// The page.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, upload)): Path<(ChildId, Uuid)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let drawn = work(&app, move |app| {
        let sent = SentVideo::of(app, child, upload)?;
        let filled = sent.day_of_today(app.clock.today());
        drawn(app, &frame, &sent, filled)
    });
    show(drawn.await?)
}

fn drawn(app: &App, frame: &Frame, sent: &SentVideo, filled: Filled) -> Result<Markup, Fail> {
    let WaitingVideo { child, upload, .. } = sent.waiting;
    let known = app.known(child, app.clock.today())?;
    let says = sent.facts.file_says();
    let view = VideoNamesView {
        who: app.who(&known.outlook.course),
        href: format!("/child/{child}/videos/upload/{upload}"),
        findings: sent.facts.findings.clone(),
        file_says: says.as_ref().map(|(day, time)| format!("{}, {time}", day.words())),
        file_time: says.map(|(_, time)| time),
        filled,
        once: app.once().to_string(),
    };
    Ok(pages::video_names(frame, &view))
}

/// Saves or forgets what was sent.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, upload), by, filled }: PostedTo<(ChildId, Uuid)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = work(&app, move |app| {
        let submission = Submission::of_form(app, child, by, &filled);
        if app.videos().waiting(upload)?.is_none() && submission.is_saved(app)? {
            return Ok(Ok("saved"));
        }
        let sent = SentVideo::of(app, child, upload)?;
        if filled.value(ACT) == "forget" {
            app.forget_video(upload)?;
            return Ok(Ok("forgotten"));
        }
        let (body, on) = match named(app, &sent, &filled)? {
            Ok(named) => named,
            Err(filled) => return drawn(app, &frame, &sent, filled).map(Err),
        };
        let saved: SaveOutcome = submission.save(app, vec![Draft::new(body, on)])?;
        if let Err(form) = saved.or_form(&filled) {
            return drawn(app, &frame, &sent, form).map(Err);
        }
        // The entry names the video now: it stays.
        app.forget_video(upload)?;
        Ok(Ok("saved"))
    });
    match done.await? {
        Ok(done) => to(&format!("/child/{child}/videos?done={done}")),
        Err(form) => again(form),
    }
}

/// The entry with its day, or the form with what is wrong.
fn named(app: &App, sent: &SentVideo, filled: &Filled) -> Result<Result<(Body, Day), Filled>, Fail> {
    let mut reader = Reader::of(filled);
    let on = reader.clinical_day(ON, app.clock.today());
    let mut form = Filled { errors: reader.errors, ..filled.clone() };
    let activity = GaitActivity::from_key(form.value("activity"));
    let view = GaitView::from_key(form.value("view"));
    if activity.is_none() {
        form = form.wrong("activity", "Say what the child does.");
    }
    if view.is_none() {
        form = form.wrong("view", "Say from where it was taken.");
    }
    if let Some(on) = on {
        form = doubts(app, sent, form, on)?;
    }
    let (Some(activity), Some(view), Some(on), true) = (activity, view, on, form.errors.is_empty()) else {
        return Ok(Err(form));
    };
    let by_file = sent.facts.file_says().map(|(_, time)| time);
    let said = GaitVideo {
        taken_at: form.given("time").map(str::to_owned).filter(|time| Some(time) == by_file.as_ref()),
        note: form.given("note").map(str::to_owned),
        ..GaitVideo::of(activity, view, sent.waiting.video, sent.facts.size_bytes, sent.facts.duration_ms)
    };
    let body = Body::from(said);
    let refused = forms::refused(&body, on, "activity");
    if refused.is_empty() {
        return Ok(Ok((body, on)));
    }
    Ok(Err(refused.into_iter().fold(form, |form, error| form.wrong(error.field, error.text))))
}

/// The form with what speaks against the day or the child. Doubts are asked about and never decided.
fn doubts(app: &App, sent: &SentVideo, mut form: Filled, on: Day) -> Result<Filled, Fail> {
    let video = sent.waiting.video;
    let known = app.known(sent.waiting.child, app.clock.today())?;
    if !consent_now(app, &known)?.covers(on) {
        form = form.wrong(ON, format!("No consent to videos was in force on {}.", on.words()));
    }
    if let Some(born) = known.outlook.course.about.born.filter(|born| on < *born) {
        form = form.wrong(ON, format!("{} lies before the day of birth, {}.", on.words(), born.words()));
    }
    if form.value(SURE) == "yes" {
        return Ok(form);
    }
    if let Some((day, _)) = sent.facts.file_says().filter(|(day, _)| *day != on) {
        form = form.wrong(SURE, format!("The file says that it was taken on {}.", day.words()));
    }
    if known.videos(Day::LAST).iter().any(|one| one.video.video == video) {
        form = form.wrong(SURE, "This video is on the record of this child already.");
    } else if app.records.names_video(video)? {
        // Whose it is, is not said.
        let text = "This video was kept before, and not for this child: check whom it shows.";
        form = form.wrong(SURE, text);
    }
    Ok(form)
}
