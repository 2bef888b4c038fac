//! The page of the own second factor: codes, passkeys and recovery codes.

use super::{gate::SECOND_FACTOR, passkeys};
use crate::{
    app::App,
    auth::{
        self, AttemptFrom, CODE_DIGITS, Token, TypedCode, matching_step, new_recovery_codes, new_secret,
        passkey::PasskeyPlace,
    },
    clock::{self, Clock},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use clinic::{Account, CodeSecret, FactorCounts, Passkey, TokenHash};
use data_encoding::HEXLOWER;
use maud::Markup;
use pages::{
    AccountEventRow, Frame, Here, Message, NewCodesView, OLD_PASSWORD, PasskeyRow, RecoveryCodesView,
    RequestError, SecondFactorView,
    fields::{ACT, Filled},
    second_factor::{CODE, CREDENTIAL, PASSKEY, PASSKEY_NAME},
};
use record::UserId;
use serde::Deserialize;

/// The longest name of a passkey, in characters.
const NAME_CHARS: usize = 60;
/// The most passkeys of one person.
const PASSKEYS_AT_MOST: usize = 20;

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct SecondFactorQuery {
    done: Option<String>,
}

/// Who asks, and where.
struct Asking {
    frame: Frame,
    user: UserId,
    session: TokenHash,
    holder: TokenHash,
    from: AttemptFrom,
    missing: bool,
    place: Option<PasskeyPlace>,
    addresses: Vec<String>,
}

impl Asking {
    fn of(app: &App, visitor: &Visitor) -> Result<Self, Fail> {
        let places = app.passkey_places(visitor.by_network).into_iter();
        Ok(Self {
            frame: app.frame(visitor, Here::Account),
            user: visitor.user()?,
            session: visitor.token.as_ref().map(Token::hash).ok_or(Fail(RequestError::Stale))?,
            holder: visitor.holder(),
            from: visitor.attempt(),
            missing: app.lacks_second_factor(visitor),
            place: app.passkey_place(visitor),
            addresses: places.map(|place| place.origin).collect(),
        })
    }

    fn account(&self, app: &App) -> Result<Account, Fail> {
        app.records.accounts().account(self.user)?.ok_or_else(Fail::not_found)
    }
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<SecondFactorQuery>,
) -> PageResult {
    let mut asking = Asking::of(&app, &visitor)?;
    asking.frame.message = query.done.as_deref().and_then(message);
    let drawn = work(&app, move |app| {
        Ok(pages::second_factor_page(&asking.frame, &view(app, &asking, Filled::default())?))
    });
    shown(drawn.await?)
}

fn message(done: &str) -> Option<Message> {
    let text = match done {
        "codes" => "Codes are set up: from now on you need one when you sign in.",
        "codes-removed" => "The codes are removed.",
        "passkey" => "The passkey is added.",
        "passkey-removed" => {
            "The passkey is removed: it signs nobody in any more. Delete it on the device too."
        }
        _ => return None,
    };
    Some(Message::Done(text.to_owned()))
}

fn view(app: &App, asking: &Asking, filled: Filled) -> Result<SecondFactorView, Fail> {
    let (accounts, settings) = (app.records.accounts(), app.settings());
    let codes = accounts.code_secret(asking.user)?;
    Ok(SecondFactorView {
        missing: asking.missing,
        confirmed: app.open_steps.is_confirmed(&asking.session, Clock::machine_seconds()),
        codes: codes.map(|secret| clock::local_words(secret.set_up_at)),
        may_codes: settings.second_factor_codes,
        passkeys: accounts.passkeys(asking.user)?.iter().map(passkey_row).collect(),
        may_passkeys: settings.second_factor_passkeys,
        passkeys_here: asking.place.is_some(),
        passkey_addresses: asking.addresses.clone(),
        recovery_left: accounts.factors(asking.user)?.recovery_codes,
        history: history(app, asking.user)?,
        filled,
    })
}

fn passkey_row(passkey: &Passkey) -> PasskeyRow {
    let used = passkey.last_used.map(|at| format!(", last used {}", clock::local_words(at)));
    PasskeyRow {
        key: HEXLOWER.encode(&passkey.id),
        name: passkey.name.clone(),
        place: passkey.rp_id.clone(),
        words: format!("Added {}{}", clock::local_words(passkey.created_at), used.unwrap_or_default()),
    }
}

/// What happened to the ways in which a person signs in.
pub(super) fn history(app: &App, user: UserId) -> Result<Vec<AccountEventRow>, Fail> {
    let events = app.records.accounts().events(user)?.into_iter();
    let row = |event: clinic::AccountEvent| AccountEventRow {
        when: clock::local_words(event.at),
        who: event.by.map_or_else(|| "by a command on the computer".to_owned(), |by| app.name_of(by)),
        what: event.what,
        why: event.why,
    };
    Ok(events.map(row).collect())
}

/// Which second factors somebody has, in words.
#[must_use]
pub(super) fn words(factors: FactorCounts) -> String {
    let passkeys = match factors.passkeys {
        0 => None,
        1 => Some("1 passkey".to_owned()),
        n => Some(format!("{n} passkeys")),
    };
    let kinds: Vec<String> = factors.codes.then(|| "codes".to_owned()).into_iter().chain(passkeys).collect();
    if kinds.is_empty() {
        return "No second factor".to_owned();
    }
    format!("Second factor: {}; {} recovery codes left", kinds.join(", "), factors.recovery_codes)
}

/// What a form leads to.
enum Outcome {
    To(&'static str),
    Page(Markup),
    Again(Markup),
}

/// Changes something about the own second factor.
pub async fn change(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let asking = Asking::of(&app, &visitor)?;
    let _permit = app.hashing.acquire().await;
    match work(&app, move |app| act(app, &asking, &filled)).await? {
        Outcome::To(path) => to(path),
        Outcome::Page(page) => shown(page),
        Outcome::Again(page) => again(page),
    }
}

fn act(app: &App, asking: &Asking, filled: &Filled) -> Result<Outcome, Fail> {
    let act = filled.value(ACT);
    if act == "password" {
        return password(app, asking, filled);
    }
    if !app.open_steps.is_confirmed(&asking.session, Clock::machine_seconds()) {
        return wrong(
            app,
            asking,
            OLD_PASSWORD,
            "Type your password again: it was typed more than ten minutes ago.",
        );
    }
    match act {
        "codes" => show_secret(app, asking),
        "codes-confirm" => confirm_codes(app, asking, filled),
        "codes-remove" => remove_codes(app, asking, filled),
        "recovery" => {
            new_recovery(app, asking, "New recovery codes are made. The earlier ones no longer work.")
        }
        "passkey-add" => add_passkey(app, asking, filled),
        "passkey-remove" => remove_passkey(app, asking, filled),
        _ => Err(Fail(RequestError::Refused("This is not a form of this program.".to_owned()))),
    }
}

/// The page again, with what was wrong.
fn wrong(app: &App, asking: &Asking, field: &str, text: &str) -> Result<Outcome, Fail> {
    let filled = Filled::default().wrong(field, text);
    Ok(Outcome::Again(pages::second_factor_page(&asking.frame, &view(app, asking, filled)?)))
}

fn password(app: &App, asking: &Asking, filled: &Filled) -> Result<Outcome, Fail> {
    let account = asking.account(app)?;
    if !app.is_password_of(asking.from, &account, filled.value(OLD_PASSWORD))? {
        return wrong(app, asking, OLD_PASSWORD, "The password is wrong.");
    }
    app.open_steps.confirm(asking.session, Clock::machine_seconds());
    Ok(Outcome::To(SECOND_FACTOR))
}

fn show_secret(app: &App, asking: &Asking) -> Result<Outcome, Fail> {
    if !app.settings().second_factor_codes {
        return wrong(app, asking, "", "Your clinic has turned codes off.");
    }
    let secret = new_secret();
    app.open_steps.propose_secret(asking.user, secret.clone(), Clock::machine_seconds());
    Ok(Outcome::Page(set_up(app, asking, &secret, Filled::default())?))
}

fn set_up(app: &App, asking: &Asking, secret: &[u8], filled: Filled) -> Result<Markup, Fail> {
    let (clinic, account) = (app.settings().name.clone(), asking.account(app)?);
    let address = auth::secret_address(secret, &clinic, &account.name);
    Ok(pages::new_codes(&asking.frame, &NewCodesView { secret: auth::secret_words(secret), address, filled }))
}

fn confirm_codes(app: &App, asking: &Asking, filled: &Filled) -> Result<Outcome, Fail> {
    let now = Clock::machine_seconds();
    let Some(secret) = app.open_steps.proposed_secret(asking.user, now) else {
        return wrong(app, asking, "", "Setting up the codes took longer than 15 minutes. Begin again.");
    };
    let step = match TypedCode::read(filled.value(CODE)) {
        Some(TypedCode::Time(digits)) => matching_step(&secret, &digits, now, 0),
        _ => None,
    };
    let Some(last_step) = step else {
        let text = format!(
            "This is not the code of this secret: {CODE_DIGITS} digits are expected. If it is wrong again, set the clock of the telephone, or of this computer, right."
        );
        let filled = Filled::default().wrong(CODE, text);
        return Ok(Outcome::Again(set_up(app, asking, &secret, filled)?));
    };
    let set_up_at = app.clock.now();
    app.records.accounts().set_code_secret(asking.user, CodeSecret { secret, set_up_at, last_step })?;
    app.open_steps.forget_secret(asking.user, now);
    first_factor(app, asking, "Codes are set up.", "/account/second-factor?done=codes")
}

/// After a second factor is set up: recovery codes, if there are none yet.
fn first_factor(app: &App, asking: &Asking, done: &str, path: &'static str) -> Result<Outcome, Fail> {
    match app.records.accounts().factors(asking.user)?.recovery_codes {
        0 => new_recovery(app, asking, done),
        _ => Ok(Outcome::To(path)),
    }
}

fn new_recovery(app: &App, asking: &Asking, done: &str) -> Result<Outcome, Fail> {
    let accounts = app.records.accounts();
    if !accounts.factors(asking.user)?.any() {
        return wrong(app, asking, "", "Set up codes or a passkey first: recovery codes stand in for them.");
    }
    let (codes, stored) = new_recovery_codes().map_err(|error| Fail::fault(&error.to_string()))?;
    accounts.set_recovery_codes(asking.user, stored, app.clock.now())?;
    let view = RecoveryCodesView { name: asking.account(app)?.display_name, codes };
    // What was closed until a second factor was there is open from now on.
    let message = Some(Message::Done(done.to_owned()));
    let frame = Frame { rights: asking.account(app)?.roles.rights(), message, ..asking.frame.clone() };
    Ok(Outcome::Page(pages::recovery_codes(&frame, &view)))
}

fn remove_codes(app: &App, asking: &Asking, filled: &Filled) -> Result<Outcome, Fail> {
    let (accounts, name) = (app.records.accounts(), asking.account(app)?.name);
    if !app.throttle.allows(&name, asking.from, Clock::machine_seconds()) {
        return Err(Fail(RequestError::TooMany));
    }
    let check = app.sign_in_check(&accounts, asking.from);
    if !auth::second_step(&check, asking.user, filled.value(CODE))? {
        let text = "The codes are not removed: this code is wrong, was used already, or its time is over.";
        return wrong(app, asking, CODE, text);
    }
    accounts.remove_codes(asking.user, app.clock.now())?;
    Ok(Outcome::To("/account/second-factor?done=codes-removed"))
}

fn add_passkey(app: &App, asking: &Asking, filled: &Filled) -> Result<Outcome, Fail> {
    let accounts = app.records.accounts();
    let Some(place) = asking.place.as_ref().filter(|_| app.settings().second_factor_passkeys) else {
        return wrong(app, asking, "", "No passkey can be added here.");
    };
    let name = filled.value(PASSKEY_NAME).split_whitespace().collect::<Vec<_>>().join(" ");
    if !(1..=NAME_CHARS).contains(&name.chars().count()) {
        return wrong(app, asking, PASSKEY_NAME, "A name of at most 60 characters is needed.");
    }
    if accounts.factors(asking.user)?.passkeys >= PASSKEYS_AT_MOST {
        return wrong(app, asking, "", "You have 20 passkeys: remove one that you no longer use.");
    }
    let made = match passkeys::made(app, place, asking.holder, asking.user, filled.value(CREDENTIAL)) {
        Ok(made) => made,
        Err(why) => return wrong(app, asking, "", &why),
    };
    let passkey = Passkey {
        id: made.id,
        account: asking.user,
        name,
        rp_id: place.rp_id.clone(),
        public_key: made.public_key,
        sign_count: made.sign_count,
        backup_eligible: made.backup_eligible,
        created_at: app.clock.now(),
        last_used: None,
    };
    if !accounts.add_passkey(passkey)? {
        return wrong(app, asking, "", "This passkey is known already.");
    }
    first_factor(app, asking, "The passkey is added.", "/account/second-factor?done=passkey")
}

fn remove_passkey(app: &App, asking: &Asking, filled: &Filled) -> Result<Outcome, Fail> {
    let id = HEXLOWER.decode(filled.value(PASSKEY).as_bytes()).unwrap_or_default();
    let removed = app.records.accounts().remove_passkey(asking.user, id, app.clock.now())?;
    // Removed already is as good; that of another person is not found.
    Ok(Outcome::To(if removed.is_some() {
        "/account/second-factor?done=passkey-removed"
    } else {
        SECOND_FACTOR
    }))
}
