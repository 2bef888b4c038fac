//! The stock that the children in a brace will need.
//!
//! The summary of a child in a brace has its measurements and its present brace as a short text, so that the stock
//! page reads no log. The share of each child is computed from these texts once for a range of days and a list of
//! sizes, and saved in the cache. For a later generation of the log only the shares of children with new entries
//! are computed again.

use crate::{
    ClinicRecords,
    worn_text::{TOPIC, WornText},
};
use archive::{ArchiveError, CacheKey, CacheValue, Outdated, RecomputeCost};
use guidance::{
    Protocol,
    brace::{ChildNeed, Needs, Outgrowing, Stock},
};
use rayon::prelude::*;
use record::{ChildId, DayRange};
use std::{collections::BTreeMap, fmt::Write as _, sync::Arc};

/// Texts in memory at once while all shares are computed.
const AT_ONCE: usize = 8_192;

/// What each child in a brace will need, in order of child, so that sums are reproducible.
#[derive(Clone)]
struct StockShares(BTreeMap<ChildId, ChildNeed>);

/// What the shares depend on except the children.
#[derive(Clone, Copy)]
struct SharesFor<'a> {
    records: &'a ClinicRecords,
    protocol: &'a Protocol,
    stock: &'a Stock,
    window: DayRange,
}

impl ClinicRecords {
    /// What the children in a brace will need within a range of days, of a list of boots and bars.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn stock_needs(&self, stock: &Stock, window: DayRange) -> Result<Needs, ArchiveError> {
        let generation = self.archive().generation()?;
        let shares_for = SharesFor { records: self, protocol: &self.protocol(), stock, window };
        let shares =
            self.cache().once(&shares_for.key(), generation, |outdated| shares_for.shares(outdated))?;
        let mut needs = Needs::default();
        shares.0.values().for_each(|share| needs.add(*share));
        Ok(needs)
    }
}

impl SharesFor<'_> {
    /// The key has the days and the sizes of the list; the numbers in stock change no share.
    fn key(self) -> CacheKey {
        let mut detail = self.window.to.to_string();
        for boot in &self.stock.boots {
            // Writing to a string does not fail.
            let _ = write!(detail, " {}", boot.inner_mm);
        }
        CacheKey::clinic("stock shares").as_of(self.window.from).with(detail)
    }

    fn share(self, text: &str) -> ChildNeed {
        let worn: Option<WornText> = serde_json::from_str(text).ok().flatten();
        let outgrowing = worn.and_then(|text| Outgrowing::of_worn(text.into(), self.protocol));
        ChildNeed::of(outgrowing.as_ref(), self.window, self.protocol, self.stock)
    }

    fn shares(
        self,
        outdated: Option<Outdated<StockShares>>,
    ) -> Result<CacheValue<StockShares>, ArchiveError> {
        let shares = match outdated {
            Some(outdated) => match self.records.archive().written_since(outdated.generation)? {
                Some(written) => self.again(Arc::unwrap_or_clone(outdated.value), written)?,
                None => self.all()?,
            },
            None => self.all()?,
        };
        let bytes = shares.0.len() * (size_of::<(ChildId, ChildNeed)>() + 16);
        Ok(CacheValue { value: shares, bytes, cost: RecomputeCost::Slow })
    }

    fn again(self, mut shares: StockShares, written: Vec<ChildId>) -> Result<StockShares, ArchiveError> {
        for child in written {
            match self.records.archive().saved_text(TOPIC, child)? {
                Some(text) => shares.0.insert(child, self.share(&text)),
                None => shares.0.remove(&child),
            };
        }
        Ok(shares)
    }

    fn all(self) -> Result<StockShares, ArchiveError> {
        let mut shares = BTreeMap::new();
        let mut held: Vec<(ChildId, String)> = Vec::with_capacity(AT_ONCE);
        let mut take = |held: &mut Vec<(ChildId, String)>| {
            let done: Vec<_> = held.par_iter().map(|(child, text)| (*child, self.share(text))).collect();
            shares.extend(done);
            held.clear();
        };
        self.records.archive().for_each_saved_text(TOPIC, &mut |child, text| {
            held.push((child, text.to_owned()));
            if held.len() >= AT_ONCE {
                take(&mut held);
            }
        })?;
        take(&mut held);
        Ok(StockShares(shares))
    }
}
