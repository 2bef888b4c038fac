//! What the fitting of a brace takes out of stock, and how it is put back.
//!
//! Each fitting takes at most once: the list remembers the entry for which it was taken, together with the counts
//! and in the same file, also after it was put back. A count never falls below zero. A size that is not on the
//! list, not counted or not in stock is not taken, and [`Stock::account`] says so.

use super::stock::{MOST_COUNTED, Stock, TakenItems, TakenState};
use record::{Body, Brace, BraceChange, EntryId};
use std::collections::BTreeSet;

/// What a fitting asks of the stock, by the labels of the list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct StockWish {
    /// Sizes of boot, each once: two boots of one size are a pair.
    pub boots: Vec<String>,
    /// The bar.
    pub bar: Option<String>,
}

impl StockWish {
    /// The boots of a brace that has been saved, without those of the brace worn before when only a size was
    /// changed. `None` if the entry hands out no boots: neither a fitting nor a change of size.
    #[must_use]
    pub fn of(body: &Body, worn: Option<&Brace>, stock: &Stock) -> Option<Self> {
        let (brace, worn) = match body {
            Body::BraceFitted(fitted) => (Some(&fitted.brace), None),
            Body::BraceChanged(changed) if changed.change == BraceChange::Size => {
                (changed.brace.as_ref(), worn)
            }
            _ => return None,
        };
        let mut boots: Vec<String> = Vec::new();
        for boot in brace.into_iter().flat_map(|brace| &brace.boots) {
            let Some(label) = &boot.size else { continue };
            let before = worn.and_then(|worn| worn.boots.iter().find(|old| old.side == boot.side));
            let same = before.is_some_and(|old| match &old.size {
                Some(old) => old == label,
                None => old.length_mm.is_some() && old.length_mm == stock.inner_mm(label),
            });
            if !same && !boots.contains(label) {
                boots.push(label.clone());
            }
        }
        Some(Self { boots, bar: None })
    }

    /// The same with a bar.
    #[must_use]
    pub fn with_bar(self, bar: Option<String>) -> Self {
        Self { bar, ..self }
    }

    /// Whether nothing is asked for.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.boots.is_empty() && self.bar.is_none()
    }
}

impl Stock {
    /// Length inside of a size on the list, mm.
    #[must_use]
    pub fn inner_mm(&self, label: &str) -> Option<u16> {
        self.boots.iter().find(|boot| boot.label == label).map(|boot| boot.inner_mm)
    }

    /// What was taken for an entry, also once it was put back.
    #[must_use]
    pub fn taken_for(&self, entry: EntryId) -> Option<&TakenItems> {
        self.taken.iter().find(|taken| taken.entry == entry)
    }

    /// Takes what a fitting asks for, as far as the list has it. Returns whether the list changed: nothing is taken
    /// a second time for one entry.
    pub fn take(&mut self, entry: EntryId, wish: &StockWish) -> bool {
        if self.is_empty() || wish.is_empty() || self.taken_for(entry).is_some() {
            return false;
        }
        let boots = wish.boots.iter().filter(|label| take_one(self.boot_count(label))).cloned().collect();
        let (bars, missing_bars) =
            wish.bar.iter().cloned().partition(|label| take_one(self.bar_count(label)));
        self.taken.push(TakenItems { entry, boots, bars, missing_bars, state: TakenState::Out });
        true
    }

    /// The same where a person asks for it again, after it was put back or when nothing was in stock.
    pub fn take_again(&mut self, entry: EntryId, wish: &StockWish) -> bool {
        self.taken.retain(|taken| taken.entry != entry || !taken.can_be_taken_again());
        self.take(entry, wish)
    }

    /// Puts back what was taken for an entry. Returns whether the list changed: nothing is put back twice.
    pub fn put_back(&mut self, entry: EntryId) -> bool {
        let Some(taken) = self.taken.iter_mut().find(|taken| taken.entry == entry && taken.holds()) else {
            return false;
        };
        taken.state = TakenState::PutBack;
        let TakenItems { boots, bars, .. } = taken.clone();
        boots.iter().for_each(|label| put_one(self.boot_count(label)));
        bars.iter().for_each(|label| put_one(self.bar_count(label)));
        true
    }

    /// Notes that what was taken for an entry stays out of stock although the entry was withdrawn or corrected, as
    /// when it was recorded again elsewhere. Returns whether the list changed.
    pub fn stays_out(&mut self, entry: EntryId) -> bool {
        let taken = self.taken.iter_mut().find(|taken| taken.entry == entry && taken.holds());
        taken.map(|taken| taken.state = TakenState::StaysOut).is_some()
    }

    fn boot_count(&mut self, label: &str) -> Option<&mut u16> {
        self.boots.iter_mut().find(|boot| boot.label == label)?.in_store.as_mut()
    }

    fn bar_count(&mut self, label: &str) -> Option<&mut u16> {
        self.bars.iter_mut().find(|bar| bar.label == label)?.in_store.as_mut()
    }

    /// What was taken for an entry and what the list now has, one sentence for each size and bar.
    #[must_use]
    pub fn account(&self, entry: EntryId, wish: &StockWish) -> Vec<String> {
        let nothing = TakenItems::nothing_for(entry);
        let taken = self.taken_for(entry).unwrap_or(&nothing);
        let labels = |wished: &[String], taken: &[String]| -> BTreeSet<String> {
            wished.iter().chain(taken).cloned().collect()
        };
        let wished_bars: Vec<String> = wish.bar.iter().chain(&taken.missing_bars).cloned().collect();
        let boots = labels(&wish.boots, &taken.boots).into_iter().map(|label| {
            let now = self.boots.iter().find(|boot| boot.label == label).map(|boot| boot.in_store);
            sentence(&label, taken, taken.boots.contains(&label), now, ("1 pair", "pair", "pairs"))
        });
        let bars = labels(&wished_bars, &taken.bars).into_iter().map(|label| {
            let now = self.bars.iter().find(|bar| bar.label == label).map(|bar| bar.in_store);
            sentence(&label, taken, taken.bars.contains(&label), now, ("1 bar", "bar", "bars"))
        });
        boots.chain(bars).collect()
    }
}

fn take_one(count: Option<&mut u16>) -> bool {
    match count {
        Some(count) if *count > 0 => {
            *count -= 1;
            true
        }
        _ => false,
    }
}

fn put_one(count: Option<&mut u16>) {
    if let Some(count) = count {
        *count = count.saturating_add(1).min(MOST_COUNTED);
    }
}

/// "shelf 145: 1 pair taken out of stock, 2 pairs left."
#[allow(clippy::option_option)]
fn sentence(
    label: &str,
    taken: &TakenItems,
    is_taken: bool,
    now: Option<Option<u16>>,
    (unit, one, many): (&str, &str, &str),
) -> String {
    let counted = |count: u16| match count {
        0 => format!("no {one}"),
        1 => format!("1 {one}"),
        count => format!("{count} {many}"),
    };
    let here = match now {
        None => "it is not on the stock list".to_owned(),
        Some(None) => "the stock list does not count it".to_owned(),
        Some(Some(count)) => format!("{} in stock now", counted(count)),
    };
    match (is_taken, taken.state) {
        (false, _) => format!("{label}: nothing taken out of stock; {here}."),
        (true, TakenState::Out) => format!("{label}: {unit} taken out of stock; {here}."),
        (true, TakenState::PutBack) => format!("{label}: {unit} put back; {here}."),
        (true, TakenState::StaysOut) => format!("{label}: {unit} taken out of stock, and stays out; {here}."),
    }
}
