//! Everything stored in addition to the log agrees with the log after any entry, correction, withdrawal or erasure.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{AMINA, Clinic, NAME, PASSWORD, TODAY, day};
use course::{Course, Standing};
use guidance::{
    brace::{ChildNeed, Need, Needs, Outgrowing, Stock},
    brace_problem::AdviceTally,
};
use plantigrade::{app::App, demo};
use record::{
    Assessment, Body, ChildId, Correction, Day, DayRange, Entry, EntryId, Helped, Problem, ProblemKind, Side,
    Timestamp, UserId, Withdrawal,
};

fn today() -> Day {
    day(TODAY)
}

fn window() -> DayRange {
    DayRange::new(today(), today() + 91)
}

fn stock() -> Stock {
    let boots: String = (80..=180)
        .step_by(10)
        .map(|mm| format!("[[boots]]\nlabel = \"boot {mm}\"\ninner_mm = {mm}\nin_store = 2\n"))
        .collect();
    Stock::read(&boots).unwrap()
}

type Told = (Vec<Need>, (f64, (u16, u16)), (usize, usize));

fn told(needs: &Needs, stock: &Stock) -> Told {
    (needs.boots(stock), needs.bars(), (needs.counted, needs.unmeasured))
}

/// From every log, one after the other, in the order of children.
fn from_nothing(app: &App, stock: &Stock) -> (Told, AdviceTally) {
    let (mut shares, mut tally) = (Vec::new(), AdviceTally::default());
    app.records
        .for_each_child(&mut |child, entries| {
            let course = Course::of(child, &entries, today());
            tally.add(&course.problems);
            if matches!(course.standing, Standing::Active) && course.brace_now().is_some() {
                let outgrowing = Outgrowing::of(&course, &app.protocol());
                shares.push((child, ChildNeed::of(outgrowing.as_ref(), window(), &app.protocol(), stock)));
            }
        })
        .unwrap();
    shares.sort_by_key(|(child, _)| *child);
    let mut needs = Needs::default();
    shares.iter().for_each(|(_, share)| needs.add(*share));
    (told(&needs, stock), tally)
}

fn agree(app: &App, stock: &Stock) -> (Told, AdviceTally) {
    let kept = told(&app.records.stock_needs(stock, window()).unwrap(), stock);
    let (needs, tally) = from_nothing(app, stock);
    assert_eq!(kept, needs);
    assert_eq!(app.records.advice_tally(today()).unwrap(), tally);
    (needs, tally)
}

struct Writer<'a> {
    app: &'a App,
    child: ChildId,
}

impl Writer<'_> {
    /// As a form writes.
    fn write(&self, body: impl Into<Body>, follows: Option<EntryId>) -> EntryId {
        let entry = Entry {
            id: EntryId::new(self.app.clock.id()),
            child: self.child,
            body: body.into(),
            on: today(),
            at: self.app.clock.now(),
            by: UserId::new(self.app.clock.id()),
            site: self.app.site,
            follows,
        };
        let id = entry.id;
        self.app.records.append(vec![entry]).unwrap();
        id
    }

    fn long_foot(&self, side: Side, mm: u16) -> EntryId {
        self.write(Assessment { foot_length_mm: Some(mm), ..Assessment::of(side) }, None)
    }
}

/// An invented clinic, and a child of it in boots of known size with the last length of its foot.
fn planted() -> (Clinic, ChildId, (Side, u16)) {
    let clinic = Clinic::new();
    clinic.app.records.import(demo::clinic(60, 1, today()), &mut |_| {}).unwrap();
    let mut braced = None;
    clinic
        .app
        .records
        .for_each_child(&mut |child, entries| {
            let course = Course::of(child, &entries, today());
            let followed = matches!(course.standing, Standing::Active);
            let found = Outgrowing::of(&course, &clinic.app.protocol()).filter(|_| followed);
            // Outgrown neither surely nor hardly within the quarter, so that a few millimetres tell.
            let open = |boot: &guidance::brace::BootOutgrown| {
                boot.days.by_50.is_some_and(|day| (75..=150).contains(&(day - today())))
            };
            let close = found.and_then(|found| found.first().copied().filter(open));
            if let (None, Some(boot)) = (braced, close) {
                braced = Some((child, (boot.side, boot.measured.0)));
            }
        })
        .unwrap();
    let (child, foot) = braced.expect("somebody in boots of known size");
    (clinic, child, foot)
}

#[test]
fn needs_and_advice_follow_every_kind_of_writing() {
    let (clinic, child, (side, mm)) = planted();
    let (app, stock) = (&*clinic.app, stock());
    let writer = Writer { app, child };
    let mut seen = vec![agree(app, &stock)];
    assert!(seen[0].0.2.0 > 5, "{:?}", seen[0]);
    // A foot longer than before, then the word that it was a slip, then that word taken back.
    let long = writer.long_foot(side, mm + 7);
    seen.push(agree(app, &stock));
    let corrected = Assessment { foot_length_mm: Some(mm), ..Assessment::of(side) };
    let correction = writer.write(
        Correction { entry: long, body: Box::new(corrected.into()), reason: "slip".into(), on: None },
        Some(long),
    );
    seen.push(agree(app, &stock));
    writer.write(Withdrawal { entry: correction, reason: "no slip".into() }, Some(correction));
    seen.push(agree(app, &stock));
    writer.write(Withdrawal { entry: long, reason: "another child".into() }, Some(long));
    seen.push(agree(app, &stock));
    let problem = writer.write(Problem::of(ProblemKind::HeelSlipsOut), None);
    let advice = Problem {
        advised: Some("a/word of/our own".into()),
        helped: Some(Helped::Partly),
        ..Problem::of(ProblemKind::HeelSlipsOut)
    };
    let advised = writer.write(advice, Some(problem));
    seen.push(agree(app, &stock));
    let count = seen[5].1.of(ProblemKind::HeelSlipsOut, "a/word of/our own").unwrap();
    assert_eq!((count.advised, count.partly), (1, 1));
    let by = UserId::new(app.clock.id());
    app.records.erase(advised, "asked for by the family", by, Timestamp::from_seconds(0)).unwrap();
    seen.push(agree(app, &stock));
    assert_eq!(seen[6].1.of(ProblemKind::HeelSlipsOut, "a/word of/our own"), None);
    for (at, pair) in seen.windows(2).enumerate() {
        assert_ne!(pair[0], pair[1], "writing {at} changed nothing, so that nothing was tried");
    }
    assert_eq!(seen[1].0, seen[3].0, "a withdrawn correction falls back");
    // Another list of sizes, the same children.
    agree(app, &Stock::default());
    // A summary thrown away and computed again gives the same.
    assert!(app.records.verify().unwrap().is_sound());
}

#[tokio::test]
async fn the_pages_show_what_is_kept() {
    let (clinic, ..) = planted();
    clinic.account(NAME, PASSWORD);
    let mut browser = clinic.browser_signed_in().await;
    let ((_, _, (counted, _)), _) = agree(&clinic.app, &Stock::default());
    let told = |counted: usize| format!("Forecast from the growth of {counted} children in the brace");
    assert!(browser.get("/stock").await.text.contains(&told(counted)));
    let child = clinic.child(&mut browser, AMINA).await;
    let bench = format!("/child/{child}/brace");
    let measured = [("on", TODAY), ("right.foot_length_mm", "84"), ("left.foot_length_mm", "82")];
    let sent = browser.send(&bench, &format!("{bench}/measure"), &measured).await;
    assert!(sent.status.is_redirection(), "{}", sent.text);
    let settings =
        [("on", TODAY), ("brace", "fitted"), ("brace.right.length_mm", "98"), ("brace.left.length_mm", "98")];
    let sent = browser.send(&bench, &format!("{bench}/fit"), &settings).await;
    assert!(sent.status.is_redirection(), "{}", sent.text);
    assert!(browser.get("/stock").await.text.contains(&told(counted + 1)), "what was written shows at once");
    agree(&clinic.app, &Stock::default());
}
