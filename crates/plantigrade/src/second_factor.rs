//! The second factor of this clinic: who needs one, where passkeys can be used, and the way to the one function that
//! judges a sign-in.

use crate::{
    app::App,
    auth::{self, AttemptFrom, SignInCheck, SignInResult, passkey::PasskeyPlace},
    clock::Clock,
    request::{Fail, Visitor},
    settings::{SecondFactorPolicy, host_of},
};
use pages::RequestError;
use record::{Role, Roles};
use std::net::SocketAddr;

/// Who needs a second factor where the clinic did not decide.
#[must_use]
pub const fn default_policy(beyond_this_computer: bool, invented: bool) -> SecondFactorPolicy {
    if beyond_this_computer && !invented { SecondFactorPolicy::Leads } else { SecondFactorPolicy::Optional }
}

/// Whether somebody with these roles needs one.
#[must_use]
pub fn is_required(policy: SecondFactorPolicy, roles: Roles) -> bool {
    match policy {
        SecondFactorPolicy::Optional => false,
        SecondFactorPolicy::Leads => roles.has(Role::Lead),
        SecondFactorPolicy::Everybody => true,
    }
}

impl App {
    /// Whether other computers can reach the pages.
    #[must_use]
    pub fn is_reachable_from_elsewhere(&self) -> bool {
        let listens_wide = self.mode.here.is_some_and(|here| !here.ip().is_loopback());
        self.network.is_some() || self.mode.behind_proxy || listens_wide
    }

    /// Who needs a second factor as long as the clinic does not decide.
    #[must_use]
    pub fn default_policy(&self) -> SecondFactorPolicy {
        default_policy(self.is_reachable_from_elsewhere(), self.mode.invented)
    }

    /// Whether somebody with these roles needs a second factor.
    #[must_use]
    pub fn requires_second_factor(&self, roles: Roles) -> bool {
        is_required(self.settings().second_factor.unwrap_or_else(|| self.default_policy()), roles)
    }

    /// Whether the visitor is signed in, needs a second factor and has none: nothing else opens before it is set up.
    #[must_use]
    pub fn lacks_second_factor(&self, visitor: &Visitor) -> bool {
        let who = visitor.who.as_ref().filter(|who| !who.has_second_factor);
        who.is_some_and(|who| self.requires_second_factor(who.roles))
    }

    /// What is needed to judge a sign-in.
    #[must_use]
    pub fn sign_in_check<'a>(&'a self, accounts: &'a clinic::Accounts, from: AttemptFrom) -> SignInCheck<'a> {
        let (throttle, unix_seconds) = (Some(&self.throttle), Clock::machine_seconds());
        SignInCheck { accounts, throttle, from, now: self.clock.now(), unix_seconds }
    }

    /// Judges a sign-in: name, password and, where it is sent along, the code. Every page that asks for a password
    /// comes here. It takes the time of a password hash: acquire [`App::hashing`] before, and call it within
    /// [`work`](crate::web::work).
    ///
    /// # Errors
    /// When the records cannot be read or written.
    pub fn authenticate(
        &self,
        from: AttemptFrom,
        name: &str,
        password: &str,
        code: Option<&str>,
    ) -> Result<SignInResult, Fail> {
        let accounts = self.records.accounts();
        Ok(auth::authenticate(&self.sign_in_check(&accounts, from), name, password, code)?)
    }

    /// Whether a password is that of a person who is signed in or whose session is locked, with the throttle of the
    /// sign-in: a session left open is no place to guess.
    ///
    /// # Errors
    /// When there were too many attempts, or the records cannot be read or written.
    pub fn is_password_of(
        &self,
        from: AttemptFrom,
        account: &clinic::Account,
        typed: &str,
    ) -> Result<bool, Fail> {
        match self.authenticate(from, &account.name, typed, None)? {
            SignInResult::SignedIn(found) | SignInResult::CodeNeeded(found, _) => Ok(found.id == account.id),
            SignInResult::Throttled => Err(Fail(RequestError::TooMany)),
            _ => Ok(false),
        }
    }

    /// Where the visitor can use passkeys, if the page was opened by a name for which they can be made.
    #[must_use]
    pub fn passkey_place(&self, visitor: &Visitor) -> Option<PasskeyPlace> {
        let named = |place: &PasskeyPlace| {
            let host = place.origin.split_once("://").map_or("", |(_, host)| host);
            // A proxy need not pass the name on; the browser states it in what is signed.
            (self.mode.behind_proxy && !visitor.by_network) || host.eq_ignore_ascii_case(&visitor.host)
        };
        self.passkey_places(visitor.by_network).into_iter().find(named)
    }

    /// Where passkeys can be used, by one of the two doors: this computer by the name that every computer has for
    /// itself, or the clinic's network by its stable name; with a proxy or a certificate of the clinic's own, by the
    /// address in its settings.
    #[must_use]
    pub fn passkey_places(&self, by_network: bool) -> Vec<PasskeyPlace> {
        if by_network {
            let network = self.network.iter();
            return network
                .map(|network| place("https", network.authority().name(), network.place().listens.port()))
                .collect();
        }
        let own = |here: SocketAddr| here.ip().is_loopback() || here.ip().is_unspecified();
        let here = self.mode.here.filter(|here| own(*here) && !self.mode.behind_proxy);
        let scheme = if self.mode.secure { "https" } else { "http" };
        let public = self.settings().public_address.clone().filter(|_| self.mode.secure);
        let public = public.and_then(|origin| {
            let rp_id = host_of(&origin)?.to_owned();
            Some(PasskeyPlace { origin, rp_id })
        });
        here.map(|here| place(scheme, "localhost", here.port())).into_iter().chain(public).collect()
    }
}

/// An origin as browsers write it: the usual port of a scheme is left out.
fn place(scheme: &str, name: &str, port: u16) -> PasskeyPlace {
    let origin = match (scheme, port) {
        ("http", 80) | ("https", 443) => format!("{scheme}://{name}"),
        _ => format!("{scheme}://{name}:{port}"),
    };
    PasskeyPlace { origin, rp_id: name.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_default_leads_need_one_where_others_can_reach_the_pages() {
        assert_eq!(default_policy(false, false), SecondFactorPolicy::Optional);
        assert_eq!(default_policy(true, false), SecondFactorPolicy::Leads);
        assert_eq!(default_policy(true, true), SecondFactorPolicy::Optional, "the invented clinic");
        let (lead, other) = (Roles::NONE.with(Role::Lead), Roles::NONE.with(Role::Clinician));
        let needed = |policy| (is_required(policy, lead), is_required(policy, other));
        assert_eq!(needed(SecondFactorPolicy::Optional), (false, false));
        assert_eq!(needed(SecondFactorPolicy::Leads), (true, false));
        assert_eq!(needed(SecondFactorPolicy::Everybody), (true, true));
    }

    #[test]
    fn an_origin_leaves_the_usual_port_out() {
        assert_eq!(place("http", "localhost", 8460).origin, "http://localhost:8460");
        assert_eq!(place("https", "desk.local", 443).origin, "https://desk.local");
        assert_eq!(place("http", "localhost", 443).origin, "http://localhost:443");
    }
}
