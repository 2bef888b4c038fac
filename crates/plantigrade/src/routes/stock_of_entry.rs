//! What a fitting of the brace takes out of the clinic's stock: when it is saved, and afterwards from the page of
//! its entry.
//!
//! The fitting is saved first. What it takes is remembered in the stock list by the id of the entry, so a form that
//! is sent again, also after the program stopped in between, takes exactly once. What is said afterwards is read
//! from the list and not carried along, so it is what the list really holds.

use crate::{
    app::App,
    stock_file,
    web::{Fail, PageResult, PostedTo, Shared, to, work},
};
use axum::extract::State;
use clinic::ChildRecord;
use course::{CorrectedLog, Fate, Line};
use guidance::brace::{Stock, StockWish, TakenItems};
use pages::{
    EntryStock, PUT_BACK, STAYS_OUT, STOCK_STEP, StockReturn, TAKE,
    fields::{Filled, visit as names},
};
use record::{Body, Brace, BraceChange, ChildId, Day, Entry, EntryId, UserId};

/// The most fittings looked at for the list of what could be put back, the latest first.
const LOOKED_AT: usize = 100;

/// The entry of a form that may hand out boots or a bar.
#[must_use]
pub fn handing_out(entries: &[Entry]) -> Option<&Entry> {
    entries.iter().find(|entry| match &entry.body {
        Body::BraceFitted(_) => true,
        Body::BraceChanged(changed) => changed.change == BraceChange::Size,
        _ => false,
    })
}

/// Takes what a fitting that was just saved hands out, if the form says so. The fitting is saved already, so a list
/// that cannot be read or written is no reason to refuse it: the answer then says that nothing was taken.
pub fn taken(app: &App, by: UserId, known: &[Entry], entry: &Entry, filled: &Filled) {
    if filled.given(names::STOCK_TAKE) != Some("yes") {
        return;
    }
    let bar = filled.given(names::STOCK_BAR).map(str::to_owned);
    let _said_by_the_answer = stock_file::change(app, by, |stock| {
        let worn = worn_before(app, known, entry);
        let wish = StockWish::of(&entry.body, worn.as_ref(), stock).map(|wish| wish.with_bar(bar));
        wish.is_some_and(|wish| stock.take(entry.id, &wish))
    });
}

/// The brace that the child wore before an entry.
fn worn_before(app: &App, entries: &[Entry], entry: &Entry) -> Option<Brace> {
    let before: Vec<Entry> = entries.iter().filter(|other| other.id != entry.id).cloned().collect();
    let outlook = app.outlook(entry.child, &before, entry.on);
    outlook.course.brace_now().map(|spell| spell.brace.clone())
}

/// What is said after a fitting was saved; empty if the entry is none of this child.
///
/// # Errors
/// When the records cannot be read.
pub fn said(app: &App, child: ChildId, entry: &str) -> Result<String, Fail> {
    let Ok(entry) = entry.parse::<EntryId>() else { return Ok(String::new()) };
    if let Some(of) = of_entry(app, child, entry)? {
        return Ok(of.lines.join(" "));
    }
    let hands_out = stock_file::in_force(app).is_ok_and(|stock| stock.is_empty())
        && is_fitting(app.known(child, Day::LAST)?.as_ref(), entry);
    Ok(if hands_out { NO_LIST.to_owned() } else { String::new() })
}

/// What an entry took and could take or put back. `None` for an entry that has nothing to do with the stock.
///
/// # Errors
/// When the records cannot be read.
pub fn of_entry(app: &App, child: ChildId, entry: EntryId) -> Result<Option<EntryStock>, Fail> {
    let known = app.known(child, Day::LAST)?;
    let stock = match stock_file::in_force(app) {
        Ok(stock) => stock,
        Err(why) => {
            let lines =
                vec![format!("The stock list cannot be read, so nothing is taken out of stock: {why}")];
            return Ok(is_fitting(&known, entry).then(|| EntryStock { lines, ..EntryStock::default() }));
        }
    };
    let Some((wish, holds_no_more)) = wish_now(app, &known, entry, &stock) else { return Ok(None) };
    let holding = stock.taken_for(entry).filter(|taken| taken.holds());
    let outdated = holding
        .is_some_and(|taken| holds_no_more || taken.boots.iter().any(|label| !wish.boots.contains(label)));
    if stock.is_empty() && holding.is_none() {
        return Ok(None);
    }
    let mut lines = stock.account(entry, &wish);
    if lines.is_empty() {
        lines.push("No new size of the stock list is named: nothing is taken out of stock.".to_owned());
    }
    let untaken = stock.taken_for(entry).is_none_or(TakenItems::can_be_taken_again);
    let can_take = untaken && !holds_no_more && !wish.is_empty();
    Ok(Some(EntryStock { lines, outdated, can_put_back: holding.is_some(), can_take }))
}

const NO_LIST: &str = "The clinic has no stock list: nothing is taken out of stock.";

fn is_fitting(known: &ChildRecord, entry: EntryId) -> bool {
    known.entries.iter().any(|one| one.id == entry && handing_out(std::slice::from_ref(one)).is_some())
}

/// What an entry asks of the stock by its contents in force, and whether it was withdrawn.
fn wish_now(app: &App, known: &ChildRecord, id: EntryId, stock: &Stock) -> Option<(StockWish, bool)> {
    let reading = CorrectedLog::of(&known.entries, Day::LAST);
    let line: &Line<'_> = reading.lines.iter().find(|line| line.entry.id == id)?;
    let wish = StockWish::of(line.body, worn_before(app, &known.entries, line.entry).as_ref(), stock);
    let withdrawn = matches!(line.fate, Fate::Withdrawn { .. });
    match wish {
        Some(_) if withdrawn => Some((StockWish::default(), true)),
        // A change of angles takes nothing; if it took something before it was corrected, that is still out.
        None if stock.taken_for(id).is_some() => Some((StockWish::default(), true)),
        wish => wish.map(|wish| (wish, false)),
    }
}

/// Whether an entry was withdrawn or corrected while what it took is still out of stock.
///
/// # Errors
/// When the records cannot be read.
pub fn is_outdated(app: &App, child: ChildId, entry: EntryId) -> Result<bool, Fail> {
    Ok(of_entry(app, child, entry)?.is_some_and(|of| of.outdated))
}

/// The latest fittings that no longer hold while what they took is still out of stock.
///
/// # Errors
/// When the records cannot be read.
pub fn returns(app: &App, stock: &Stock) -> Result<Vec<StockReturn>, Fail> {
    let mut returns = Vec::new();
    for taken in stock.taken.iter().rev().filter(|taken| taken.holds()).take(LOOKED_AT) {
        // An entry of an erased child is gone.
        let Some(entry) = app.records.entry(taken.entry)? else { continue };
        let Some(of) = of_entry(app, entry.child, entry.id)?.filter(|of| of.outdated) else { continue };
        // What was handed out is part of the record.
        if app.is_closed(entry.child) {
            continue;
        }
        let who = app.who(&app.known(entry.child, app.clock.today())?.outlook.course);
        returns.push(StockReturn { who, entry: entry.id, lines: of.lines });
    }
    Ok(returns)
}

/// Puts back what an entry took, or takes what it names.
pub async fn save(
    State(app): State<Shared>,
    PostedTo { path: (child, entry), by, filled }: PostedTo<(ChildId, EntryId)>,
) -> PageResult {
    work(&app, move |app| {
        let known = app.known(child, Day::LAST)?;
        if !is_fitting(&known, entry) {
            return Err(Fail::not_found());
        }
        match filled.value(STOCK_STEP) {
            PUT_BACK => stock_file::change(app, by, |stock| stock.put_back(entry)),
            STAYS_OUT => stock_file::change(app, by, |stock| stock.stays_out(entry)),
            TAKE => stock_file::change(app, by, |stock| {
                let wish = wish_now(app, &known, entry, stock).filter(|(_, withdrawn)| !withdrawn);
                wish.is_some_and(|(wish, _)| stock.take_again(entry, &wish))
            }),
            _ => Err(Fail(pages::RequestError::Stale)),
        }
    })
    .await?;
    to(&format!("/child/{child}/entry/{entry}#stock"))
}
