//! Who may do what: the one layer through which every route, every command and every written entry passes.
//!
//! A route declares the right that it needs in the list of routes, a command in [`crate::commands`]; what is not
//! declared is refused. Entries are judged once more by their kind when they are written ([`App::append`]),
//! because one form can write several kinds. What a role may do is defined in [`record::Role::rights`];
//! `docs/rights.md` has the table, and a test compares it with what happens.

use crate::{
    app::App,
    backing_up,
    request::{Fail, Visitor},
};
use clinic::{ArchiveError, Receipt};
use guidance::attention::put_off::PutOff;
use pages::{RequestError, RightRefused};
use record::{Body, ConsentMatter, Entry, Right, Rights, UserId};
use std::collections::HashMap;

/// What is needed to come to a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AccessNeed {
    /// Nothing: also strangers may come.
    Nothing,
    /// To be signed in, whatever the role.
    SignIn,
    /// To be signed in with a right.
    Right(Right),
}

impl AccessNeed {
    /// The right that somebody with these rights lacks.
    #[must_use]
    pub fn lacking(self, rights: Rights) -> Option<Right> {
        match self {
            Self::Right(right) if !rights.has(right) => Some(right),
            _ => None,
        }
    }
}

/// The first page of somebody with these rights.
#[must_use]
pub fn first_page(rights: Rights) -> &'static str {
    let pages =
        [(Right::SeeChildren, "/day"), (Right::SeeTheatreList, "/theatre"), (Right::SeeResults, "/results")];
    pages.into_iter().find(|(right, _)| rights.has(*right)).map_or("/account", |(_, page)| page)
}

impl Visitor {
    /// What the visitor may do; nothing before signing in.
    #[must_use]
    pub fn rights(&self) -> Rights {
        self.who.as_ref().map_or(Rights::NONE, |who| who.roles.rights())
    }

    /// Whether the visitor has a right.
    #[must_use]
    pub fn may(&self, right: Right) -> bool {
        self.rights().has(right)
    }
}

impl App {
    /// The refusal of what a person lacks the right for.
    #[must_use]
    pub fn refusal(&self, lacking: Right) -> Fail {
        let accounts = self.records.accounts().all().unwrap_or_default();
        let leads = accounts.into_iter().filter(|one| one.roles.has(record::Role::Lead) && !one.disabled);
        let leads = leads.map(|lead| lead.display_name).collect();
        Fail(RequestError::NoRight(Box::new(RightRefused { right: lacking, leads })))
    }

    /// Appends entries, if each of their writers has the right for each kind. The one door by which a person's
    /// entries are written; the inner result is that of the records.
    ///
    /// # Errors
    /// When a right is lacking; then nothing is written.
    pub fn append(&self, entries: Vec<Entry>) -> Result<Result<Receipt, ArchiveError>, Fail> {
        self.may_write(&entries)?;
        let concerns_consent = self.changes_media_consent(&entries)?;
        let appended = self.records.append(entries);
        if concerns_consent && appended.is_ok() {
            self.tell_withdrawals();
        }
        Ok(appended)
    }

    /// Whether entries may take back a consent to photographs or to videos.
    fn changes_media_consent(&self, entries: &[Entry]) -> Result<bool, Fail> {
        let media = [ConsentMatter::Photographs, ConsentMatter::Videos];
        let is_consent = |body: &Body| matches!(body, Body::Consent(said) if media.contains(&said.matter));
        for entry in entries {
            let amended = entry.body.amends().map(|id| self.records.entry(id)).transpose()?.flatten();
            if is_consent(&entry.body) || amended.is_some_and(|amended| is_consent(&amended.body)) {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Has the lists beside the backups know which consents to photographs and videos are taken back, without waiting for it.
    fn tell_withdrawals(&self) {
        let (dir, records) = (self.dir.clone(), self.records.clone());
        let (settings, today) = (self.settings(), self.clock.today());
        if settings.backups.folders.is_empty() {
            return;
        }
        let telling = move || backing_up::give_withdrawals_to(&dir, &records, &settings, today);
        if let Err(error) = std::thread::Builder::new().name("withdrawals".into()).spawn(telling) {
            tracing::warn!("the lists of consents taken back are brought up to date later: {error}");
        }
    }

    /// Refuses entries if one of their writers lacks the right for one of their kinds; for entries that are
    /// appended in another way than by [`App::append`].
    ///
    /// # Errors
    /// The refusal.
    pub fn may_write(&self, entries: &[Entry]) -> Result<(), Fail> {
        if let Some(closed) = entries.iter().map(|entry| entry.child).find(|child| self.is_closed(*child)) {
            return Err(Fail::restricted(closed, format!("/child/{closed}")));
        }
        let mut known: HashMap<UserId, Rights> = HashMap::new();
        for entry in entries {
            let rights = match known.get(&entry.by) {
                Some(rights) => *rights,
                None => *known.entry(entry.by).or_insert(self.rights_of(entry.by)?),
            };
            if let Some(lacking) = self.lacking(entry, to_write(&entry.body), rights, entries)? {
                return Err(self.refusal(lacking));
            }
        }
        Ok(())
    }

    /// Refuses an entry to who may not see it: what belongs to the treatment, or amends something that does.
    ///
    /// # Errors
    /// The refusal.
    pub fn may_see(&self, rights: Rights, entry: &Entry) -> Result<(), Fail> {
        let contact: Rights = [Right::RecordContact].into_iter().collect();
        if rights.has(Right::SeeClinical)
            || self.lacking(entry, to_amend(&entry.body), contact, &[])?.is_none()
        {
            return Ok(());
        }
        Err(self.refusal(Right::SeeClinical))
    }

    /// Whether a person has a right now.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn has_right(&self, user: UserId, right: Right) -> Result<bool, Fail> {
        Ok(self.rights_of(user)?.has(right))
    }

    /// What a person may do now; nothing if the account is disabled or unknown.
    fn rights_of(&self, user: UserId) -> Result<Rights, Fail> {
        let account = self.records.accounts().account(user)?.filter(|account| !account.disabled);
        Ok(account.map_or(Rights::NONE, |account| account.roles.rights()))
    }

    /// The right that is lacking to write an entry. What amends an entry needs the right for that one too,
    /// however long the chain.
    fn lacking(
        &self,
        entry: &Entry,
        mut needed: Right,
        rights: Rights,
        written: &[Entry],
    ) -> Result<Option<Right>, Fail> {
        let mut body = entry.body.clone();
        loop {
            if !rights.has(needed) {
                return Ok(Some(needed));
            }
            let Some(amended) = body.amends() else { return Ok(None) };
            let now = written.iter().find(|other| other.id == amended && other.id != entry.id).cloned();
            match now.map_or_else(|| self.records.entry(amended), |found| Ok(Some(found)))? {
                Some(found) => {
                    needed = to_amend(&found.body);
                    body = found.body;
                }
                // What an unknown entry holds cannot be judged.
                None => return Ok((!rights.has(Right::RecordClinical)).then_some(Right::RecordClinical)),
            }
        }
    }
}

/// The right to write these contents. To put a call for attention off is a decision, though it is written as an
/// attempt to reach the family.
fn to_write(body: &Body) -> Right {
    match body {
        // Who answers the telephone hears first that a cast has slipped; that it is settled is a decision.
        Body::Problem(problem) if !problem.settled => Right::RecordContact,
        _ => to_amend(body),
    }
}

/// The right to amend an entry with these contents, or to read it.
fn to_amend(body: &Body) -> Right {
    let inner = if let Body::Correction(correction) = body { &*correction.body } else { body };
    match inner {
        Body::ContactAttempt(attempt) if attempt.note.as_deref().and_then(PutOff::read).is_some() => {
            Right::RecordClinical
        }
        _ => Right::to_write(body),
    }
}
