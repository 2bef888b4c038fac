//! The first account, through the link printed at the first start.

use super::entering::begin;
use crate::{
    app::App,
    auth::{self, Token},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, work},
};
use axum::extract::{Path, State};
use clinic::Account;
use pages::{Here, StartView, fields::Filled};
use record::{Roles, UserId};

/// The purpose of the link.
pub const LINK: &str = "first-account";

/// Whether the link still works.
pub async fn usable(app: &Shared, text: &str) -> Result<Token, Fail> {
    let token = Token::read(text).ok_or_else(Fail::not_found)?;
    let hash = token.hash();
    let link = work(app, move |app| Ok(app.records.accounts().link(&hash, app.clock.now())?)).await?;
    link.filter(|link| link.purpose == LINK).map(|_| token).ok_or_else(Fail::not_found)
}

fn view(app: &App, token: String, filled: Filled) -> Result<StartView, Fail> {
    let may_restore = may_restore(app)?;
    Ok(StartView { token, password_hint: auth::PASSWORD_HINT, may_restore, filled })
}

/// The form.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(token): Path<String>) -> PageResult {
    usable(&app, &token).await?;
    page(pages::start(&app.frame(&visitor, Here::Elsewhere), &view(&app, token, Filled::default())?))
}

/// Creates the account, uses the link and signs in.
pub async fn set_up(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(text): Path<String>,
    Posted(filled): Posted,
) -> PageResult {
    let token = usable(&app, &text).await?;
    let mut shown = Filled::default();
    for name in ["name", "sign_in_name"] {
        shown = shown.with(name, filled.value(name));
    }
    let Some(account) = NewAccount::of(&app.settings().name, &filled, &mut shown) else {
        return again(pages::start(&app.frame(&visitor, Here::Elsewhere), &view(&app, text, shown)?));
    };
    let user = work(&app, move |app| account.create(app, &token)).await?;
    begin(&app, &visitor, user, pages::encryption::FIRST_PATH).await
}

/// Whether a backup can be restored here: the program can open other records in place of these, and these are empty.
pub fn may_restore(app: &App) -> Result<bool, Fail> {
    Ok(app.orders.is_some() && app.held.is_none() && app.records.mark()?.entries == 0)
}

struct NewAccount {
    name: String,
    sign_in_name: String,
    password: String,
}

impl NewAccount {
    /// The requested account; errors are added to the fields of `shown`.
    fn of(clinic: &str, filled: &Filled, shown: &mut Filled) -> Option<Self> {
        let mut wrong = |field: &str, text: String| *shown = std::mem::take(shown).wrong(field, text);
        for (field, what) in [("name", "Your name"), ("sign_in_name", "The sign-in name")] {
            match filled.given(field).map(|text| text.chars().count()) {
                None => wrong(field, format!("{what} is missing.")),
                Some(length) if length > 100 => wrong(field, format!("{what} has more than 100 characters.")),
                Some(_) => {}
            }
        }
        let (name, first, second) =
            (filled.value("sign_in_name"), filled.value("password"), filled.value("password_again"));
        let own = [name, filled.value("name"), clinic, auth::PROGRAM_WORDS];
        if let Err(error) = auth::judge_password(&own, first, second) {
            let field = if error == auth::PasswordError::Differ { "password_again" } else { "password" };
            wrong(field, error.to_string());
        }
        let account = Self {
            name: filled.given("name")?.to_owned(),
            sign_in_name: filled.given("sign_in_name")?.to_owned(),
            password: first.to_owned(),
        };
        shown.errors.is_empty().then_some(account)
    }

    /// Creates the account. If two people try at the same time, only one can use the link.
    fn create(self, app: &App, token: &Token) -> Result<UserId, Fail> {
        let password_hash =
            auth::hash_password(&self.password).map_err(|error| Fail::fault(&error.to_string()))?;
        let now = app.clock.now();
        app.records.accounts().use_link(token.hash(), now)?.ok_or_else(Fail::not_found)?;
        let id = UserId::new(app.clock.id());
        let account = Account {
            id,
            name: self.sign_in_name,
            display_name: self.name,
            password_hash,
            created_at: now,
            disabled: false,
            roles: Roles::FIRST,
            one_time_until: None,
            last_sign_in: None,
        };
        if app.records.accounts().create_first_account(account)? { Ok(id) } else { Err(Fail::not_found()) }
    }
}
